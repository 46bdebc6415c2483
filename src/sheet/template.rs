//! The parts of a sheet by name, and a template that puts them among words of others.
//!
//! A line that holds `@` and the name of a part, and nothing else, stands for that part. A line that begins with `@@`
//! is the writer's own, with one `@`. Every other line stays as it is.

use crate::catalog::nearest;

/// A part of a sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[allow(missing_docs, reason = "the parts of those names; see the table")]
pub enum Part {
    Head,
    Title,
    Promises,
    Options,
    Supply,
    Card,
    Service,
    Cautions,
    Rating,
}

impl Part {
    /// Every part with its name and what it holds, in the order of a sheet without a template.
    pub const ALL: [(Part, &'static str, &'static str); 9] = [
        (
            Part::Head,
            "head",
            "which package it is about, for the audit; in HTML also title and style",
        ),
        (
            Part::Title,
            "title",
            "title, stock number and trade item number",
        ),
        (
            Part::Promises,
            "promises",
            "every promise within the rating, with its conditions",
        ),
        (
            Part::Options,
            "options",
            "each option: price, what is in the box, what the buyer may fit",
        ),
        (
            Part::Supply,
            "supply",
            "the compressors: supply, watts, amperes, greatest pressure",
        ),
        (
            Part::Cautions,
            "cautions",
            "the usual cautions; no sheet is written without them",
        ),
        (
            Part::Card,
            "card",
            "the card for the cabinet's door: what the gauge should read",
        ),
        (
            Part::Service,
            "service",
            "spare parts, and how often one is due",
        ),
        (
            Part::Rating,
            "rating",
            "the site and the basis on which it is rated",
        ),
    ];

    /// Of its name.
    pub fn of(name: &str) -> Option<Part> {
        let mut all = Part::ALL.iter();
        all.find(|(_, own, _)| *own == name).map(|(part, ..)| *part)
    }
}

/// A template, or a part of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Line {
    /// Words of the writer, with the end of the line.
    Words(String),
    /// A part of the sheet.
    Part(Part),
}

/// What is wrong with a template.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Wrong {
    /// A line, from 1, names a part that there isn't; the nearest there is.
    Unknown(usize, String, Option<&'static str>),
    /// It has no place for the cautions.
    NoCautions,
}

impl std::fmt::Display for Wrong {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Wrong::Unknown(line, name, Some(near)) => {
                write!(f, "line {line}: there is no part `@{name}`; the nearest is `@{near}`")
            }
            Wrong::Unknown(line, name, None) => {
                let known = Part::ALL.map(|(_, name, _)| format!("@{name}"));
                write!(
                    f,
                    "line {line}: there is no part `@{name}`; there are {}. A line of your own that begins with @ begins with @@",
                    known.join(", ")
                )
            }
            Wrong::NoCautions => f.write_str(
                "it has no line `@cautions`, and no sheet is written without them: people can be hurt",
            ),
        }
    }
}

/// The lines of a template.
///
/// # Errors
/// It names a part that there isn't, or leaves out the cautions.
pub fn read(text: &str) -> Result<Vec<Line>, Wrong> {
    let lines: Result<Vec<Line>, Wrong> = text
        .trim_start_matches('\u{feff}')
        .split_inclusive('\n')
        .enumerate()
        .map(|(number, line)| one(number + 1, line))
        .collect();
    let lines = lines?;
    match lines.contains(&Line::Part(Part::Cautions)) {
        true => Ok(lines),
        false => Err(Wrong::NoCautions),
    }
}

fn one(number: usize, line: &str) -> Result<Line, Wrong> {
    let own = || Ok(Line::Words(line.to_string()));
    let Some(name) = line.trim().strip_prefix('@') else {
        return own();
    };
    if name.starts_with('@') {
        return Ok(Line::Words(line.replacen("@@", "@", 1)));
    }
    // `@media print {` and an address are no names.
    if !name
        .chars()
        .all(|c| c.is_ascii_alphanumeric() || c == '-' || c == '_')
    {
        return own();
    }
    match Part::of(name) {
        Some(part) => Ok(Line::Part(part)),
        None => {
            let known = Part::ALL.iter().map(|(_, name, _)| *name);
            Err(Wrong::Unknown(
                number,
                name.to_string(),
                nearest(name, known),
            ))
        }
    }
}

/// The template of a sheet without one: every part.
pub fn whole() -> Vec<Line> {
    Part::ALL
        .iter()
        .map(|(part, ..)| Line::Part(*part))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_with_a_name_alone_is_a_part() {
        let read = read("Own words @title\n  @cautions \n@@handle\n@media print {\n").unwrap();
        assert_eq!(
            read,
            [
                Line::Words("Own words @title\n".into()),
                Line::Part(Part::Cautions),
                Line::Words("@handle\n".into()),
                Line::Words("@media print {\n".into()),
            ]
        );
    }

    #[test]
    fn a_name_that_there_is_not_and_missing_cautions_are_refused() {
        assert_eq!(
            read("@cautions\n@promise\n"),
            Err(Wrong::Unknown(2, "promise".into(), Some("promises")))
        );
        assert_eq!(read("@title\n"), Err(Wrong::NoCautions));
    }
}
