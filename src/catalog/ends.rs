//! Ends of lines and fittings, as the trade writes them: `1/2 in barb`.

use crate::text::Span;
use crate::units::{self, Dimension};

use super::model::End;

/// The kinds of end the format knows.
pub const KINDS: &[&str] = &[
    "barb",
    "npt",
    "bsp",
    "push-in",
    "compression",
    "quick-connect",
    "cam-lock",
];

/// Reads `SIZE KIND [GENDER]`, or `cam-lock SIZE`; `at` is where it stands.
///
/// # Errors
/// In words, what was expected.
pub fn read(text: &str, at: Span) -> Result<End, String> {
    let words: Vec<&str> = text.split_whitespace().collect();
    let is_kind = |word: &&str| KINDS.contains(word);
    let Some(place) = words.iter().position(is_kind) else {
        return Err(format!("an end: a size and one of {}", KINDS.join(", ")));
    };
    let (size, gender) = if place == 0 {
        (words[1..].join(" "), None)
    } else {
        (words[..place].join(" "), words.get(place + 1).copied())
    };
    if !matches!(gender, None | Some("male" | "female")) || (place > 0 && words.len() > place + 2) {
        return Err("an end: after its kind only male or female".into());
    }
    let reading = units::read(&size, &[Dimension::Length]);
    match reading.quantity {
        Some(quantity) if reading.faults.is_empty() && quantity.si_central() > 0.0 => Ok(End {
            size: quantity.si_central(),
            kind: words[place].to_string(),
            gender: gender.map(str::to_string),
            text: text.to_string(),
            at,
        }),
        _ => Err("an end: a size such as 1/2 in or 10 mm, then its kind".into()),
    }
}
