//! Numbers as spreadsheets of several countries write them, turned into the format's own writing.

/// The text with its numbers in the format's writing: powers of ten written out, and, where it is known which sign
/// stands before the decimals, thousands without their separators.
pub fn plain(text: &str, decimal: Option<char>) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(start) = rest.find(|c: char| c.is_ascii_digit()) {
        out.push_str(&rest[..start]);
        let part = &rest[start..];
        let end = part.find(|c: char| !c.is_ascii_digit() && !is_mark(c));
        let mut number = &part[..end.unwrap_or(part.len())];
        number = number.trim_end_matches(is_mark);
        let follows_letter = out.ends_with(|c: char| c.is_alphabetic());
        let power = power_of(&part[number.len()..]).filter(|_| !follows_letter);
        let own = decimal.and_then(|decimal| without_separators(number, decimal));
        let own = own.unwrap_or_else(|| number.to_string());
        match power.and_then(|(power, _)| shifted(&own, power)) {
            Some(whole) => {
                out.push_str(&whole);
                rest = &part[number.len() + power.map_or(0, |(_, length)| length)..];
            }
            None => {
                out.push_str(&own);
                rest = &part[number.len()..];
            }
        }
    }
    out.push_str(rest);
    out
}

fn is_mark(c: char) -> bool {
    matches!(c, '.' | ',' | '\'' | '\u{2019}' | '\u{a0}' | '\u{202f}')
}

/// A number without what parts its thousands and with a point before its decimals; nothing if its groups aren't three
/// digits each.
fn without_separators(number: &str, decimal: char) -> Option<String> {
    let (whole, decimals) = match number.rsplit_once(decimal) {
        Some((whole, decimals)) => (whole, Some(decimals)),
        None => (number, None),
    };
    if whole.contains(decimal)
        || decimals.is_some_and(|all| !all.bytes().all(|b| b.is_ascii_digit()))
    {
        return None;
    }
    let mut groups = whole.split(is_mark);
    let first = groups.next()?;
    let mut digits = first.to_string();
    for group in groups {
        if group.len() != 3 || first.len() > 3 {
            return None;
        }
        digits.push_str(group);
    }
    if let Some(decimals) = decimals.filter(|all| !all.is_empty()) {
        digits.push('.');
        digits.push_str(decimals);
    }
    Some(digits)
}

/// The power of ten that a text begins with, `E+01`, and how long it is.
fn power_of(text: &str) -> Option<(i32, usize)> {
    let rest = text.strip_prefix(['e', 'E'])?;
    let digits = rest.trim_start_matches(['+', '-']);
    if rest.len() - digits.len() > 1 {
        return None;
    }
    let length = digits.bytes().take_while(u8::is_ascii_digit).count();
    let is_end = !digits[length..].starts_with(|c: char| c.is_alphanumeric());
    let end = text.len() - digits.len() + length;
    let power: i32 = rest[..end - 1].parse().ok()?;
    (length > 0 && is_end && power.abs() <= 30).then_some((power, end))
}

/// A number in the format's writing with its point moved; the digits stay those that were written.
fn shifted(number: &str, power: i32) -> Option<String> {
    let (whole, decimals) = number.split_once('.').unwrap_or((number, ""));
    let digits = format!("{whole}{decimals}");
    if !digits.bytes().all(|byte| byte.is_ascii_digit()) {
        return None;
    }
    let point = i32::try_from(whole.len()).ok()? + power;
    let text = match usize::try_from(point) {
        Ok(point) if point >= digits.len() => format!("{digits:0<point$}"),
        Ok(point) if point > 0 => format!("{}.{}", &digits[..point], &digits[point..]),
        _ => {
            let noughts = usize::try_from(-point).ok()?;
            format!("0.{}{digits}", "0".repeat(noughts))
        }
    };
    let trimmed = text.trim_start_matches('0');
    Some(match trimmed.starts_with('.') || trimmed.is_empty() {
        true => format!("0{trimmed}"),
        false => trimmed.to_string(),
    })
}

/// Whether a text is one number that lost its digits: `4.00639E+12`.
pub fn is_power(text: &str) -> bool {
    let text = text.trim();
    let number = text
        .bytes()
        .take_while(|b| b.is_ascii_digit() || matches!(b, b'.' | b','));
    let length = number.count();
    length > 0 && power_of(&text[length..]).is_some_and(|(_, end)| length + end == text.len())
}

/// Which sign stands before the decimals of these numbers, where one of them tells.
pub fn decimal_of<'t>(texts: impl Iterator<Item = &'t str>) -> Option<char> {
    let (mut point, mut comma) = (0usize, 0usize);
    for text in texts {
        // A power of ten is written with a point by programs that show everything else with a comma.
        if is_power(text) {
            continue;
        }
        for word in text.split(|c: char| !c.is_ascii_digit() && !matches!(c, '.' | ',')) {
            let word = word.trim_matches(['.', ',']);
            let Some(at) = word.rfind(['.', ',']) else {
                continue;
            };
            let (sign, other) = match word.as_bytes()[at] {
                b',' => (&mut comma, '.'),
                _ => (&mut point, ','),
            };
            // `5..15`, `8.3.2026`: no number.
            if word[..at].contains(char::from(word.as_bytes()[at])) {
                continue;
            }
            let behind = word.len() - at - 1;
            // `1.234,5` tells; `1,234` may be either.
            if word[..at].contains(other) || behind != 3 {
                *sign += 1;
            }
        }
    }
    match (point, comma) {
        (0, 0) => None,
        (point, comma) if point > 0 && comma > 0 => None,
        (0, _) => Some(','),
        _ => Some('.'),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn powers_are_written_out_with_their_digits() {
        assert_eq!(plain("1.5E+01 cfm", None), "15 cfm");
        assert_eq!(plain("1.50E+01", None), "15.0");
        assert_eq!(plain("2.5e-3 m", None), "0.0025 m");
        assert_eq!(plain("6E2", None), "600");
        assert_eq!(plain("1.5 each", None), "1.5 each");
        assert_eq!(plain("IP44", None), "IP44");
    }

    #[test]
    fn separators_go_where_the_decimals_are_known() {
        assert_eq!(plain("1.234,5 L/min", Some(',')), "1234.5 L/min");
        assert_eq!(plain("0,40", Some(',')), "0.40");
        assert_eq!(plain("1,500", Some('.')), "1500");
        assert_eq!(plain("1,5", Some('.')), "1,5");
        assert_eq!(
            plain("1\u{a0}500,00 \u{20ac}", Some(',')),
            "1500.00 \u{20ac}"
        );
        assert_eq!(plain("12'500", Some('.')), "12500");
        assert_eq!(plain("1,500", None), "1,500");
        assert_eq!(plain("10-45", Some(',')), "10-45");
    }

    #[test]
    fn decimals_are_known_by_what_can_be_no_thousands() {
        let of = |texts: &[&str]| decimal_of(texts.iter().copied());
        assert_eq!(of(&["1,5", "12,0"]), Some(','));
        assert_eq!(of(&["1.234,5"]), Some(','));
        assert_eq!(of(&["1,234", "2,500"]), None);
        assert_eq!(of(&["1.5", "1,5"]), None);
        assert_eq!(of(&["1.5", "1,234"]), Some('.'));
        assert_eq!(of(&["39,90", "5..15", "8.3.2026"]), Some(','));
    }

    #[test]
    fn a_number_that_lost_its_digits_is_known() {
        assert!(is_power("4.00639E+12") && is_power("4,00639E+12"));
        assert!(!is_power("OM-38") && !is_power("38") && !is_power("1E"));
    }
}
