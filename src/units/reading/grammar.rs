//! The grammar: from a text to its numbers and the spellings of its units.
//!
//! Nothing is judged here. What is read may be of the wrong dimension, reversed or
//! ambiguous; the caller finds out.

use std::ops::Range;

use super::super::dimension::Dimension;
use super::super::fault::Link;
use super::super::number::{Number, Style};
use super::super::scan::{self, BadNumber, Scan};
use super::super::spelling::{self, Found, LONGEST, is_blank};
use super::super::table::Unit;
use super::super::written::{Amount, Shape, Spread, Unusable};
use super::super::{money, offers};
use super::Reader;

/// What was read before its unit is judged.
pub(super) struct Draft {
    /// What is stated, by the numbers; the units within are known ones.
    pub(super) shape: Shape,
    pub(super) unit: Found,
    pub(super) number_at: Range<usize>,
    pub(super) unit_at: Range<usize>,
    pub(super) styles: Vec<Style>,
    /// Other spellings of units beside the first: of inches, of a tolerance.
    pub(super) spelled: Vec<(Unit, Range<usize>)>,
}

/// Why reading stopped.
pub(super) enum Stop {
    Nothing(Range<usize>),
    Bad(BadNumber, Range<usize>),
    NoUnit(Range<usize>),
    /// It can't be calculated with.
    Unusable(Unusable, Dimension, Range<usize>),
    Unknown {
        unit_at: Range<usize>,
        offered: Option<Unit>,
    },
    Two {
        first: String,
        second: String,
        link: Link,
    },
}

/// A number, and where it ends.
struct Read {
    number: Number,
    end: usize,
}

impl Reader<'_> {
    /// The text up to the last character that isn't blank.
    fn upto(&self) -> &str {
        &self.text[..self.body.end]
    }

    fn skip(&self, at: usize) -> usize {
        let rest = &self.upto()[at..];
        self.body.end - rest.trim_start_matches(is_blank).len()
    }

    fn number(&self, at: usize, styles: &mut Vec<Style>) -> Result<Option<Read>, Stop> {
        match scan::scan(self.upto(), at) {
            Scan::Nothing => Ok(None),
            Scan::Number(number, end, unusual) => {
                styles.extend(unusual);
                Ok(Some(Read { number, end }))
            }
            Scan::Bad(bad, end) => Err(Stop::Bad(bad, at..end)),
        }
    }

    pub(super) fn draft(&self) -> Result<Draft, Stop> {
        let mut styles = Vec::new();
        if self.body != (0..self.text.len()) {
            styles.push(Style::Spacing);
        }
        let mut start = self.body.start;
        let nothing = || Stop::Nothing(self.body.clone());
        let mut prefix = None;
        let first = match self.number(start, &mut styles)? {
            Some(first) => first,
            None => {
                let any_code = self.expected.iter().any(|dimension| dimension.is_money());
                let sign = money::prefix(&self.upto()[start..], any_code).ok_or_else(nothing)?;
                prefix = Some(start..start + sign);
                styles.push(Style::MoneyFirst);
                start = self.skip(start + sign);
                self.number(start, &mut styles)?.ok_or_else(nothing)?
            }
        };
        match prefix {
            Some(prefix) => self.money_first(prefix, start, first, styles),
            None => self.number_first(start, first, styles),
        }
    }

    /// `$6.50/month`, `USD 5 to 7`.
    fn money_first(
        &self,
        prefix: Range<usize>,
        start: usize,
        first: Read,
        mut styles: Vec<Style>,
    ) -> Result<Draft, Stop> {
        let mut end = first.end;
        let mut upper = None;
        if let Some(joint) = self.range_joint(first.end) {
            let mut at = joint.next;
            // The sign may stand before either end.
            if self.upto()[at..].starts_with(&self.text[prefix.clone()]) {
                at = self.skip(at + prefix.len());
            }
            if let Some(second) = self.number(at, &mut styles)? {
                end = second.end;
                upper = Some(second.number);
            }
        }
        let period = &self.upto()[end..];
        let nothing = || Stop::Nothing(self.body.clone());
        if period.len() > LONGEST {
            return Err(nothing());
        }
        let spelled = format!("{}{period}", &self.text[prefix.clone()]);
        let unit = spelling::find(&spelled, self.expected, self.conventions).ok_or_else(nothing)?;
        let single = |number| Amount {
            number,
            lesser: None,
        };
        Ok(Draft {
            shape: match upper {
                None => Shape::Single(single(first.number)),
                Some(upper) => Shape::Range(single(first.number), Box::new(single(upper))),
            },
            unit,
            number_at: start..end,
            unit_at: prefix,
            styles,
            spelled: Vec::new(),
        })
    }

    fn number_first(
        &self,
        start: usize,
        first: Read,
        mut styles: Vec<Style>,
    ) -> Result<Draft, Stop> {
        // `40 to 60 W` and `75 ± 4 W`: the unit stands behind both numbers.
        if let Some(joint) = self.range_joint(first.end)
            && let Some(second) = self.number(joint.next, &mut styles)?
        {
            if !joint.plain {
                styles.push(Style::RangeJoint);
            }
            let number_at = start..second.end;
            let (unit, unit_at) = self.unit_after(second.end, &number_at, &mut styles)?;
            let at = unit_at.end;
            let draft = Draft {
                shape: Shape::Range(plain(first.number), Box::new(plain(second.number))),
                unit,
                number_at,
                unit_at,
                styles,
                spelled: Vec::new(),
            };
            return self.close(draft, at);
        }
        if let Some(joint) = self.tolerance_joint(first.end)
            && let Some(second) = self.number(joint.next, &mut styles)?
        {
            let number_at = start..second.end;
            let (unit, unit_at) = self.unit_after(second.end, &number_at, &mut styles)?;
            styles.push(Style::Tolerance);
            let Some(known) = settled(&unit) else {
                return Err(Stop::Nothing(self.body.clone()));
            };
            let at = unit_at.end;
            let spread = Box::new(Spread::Absolute(second.number, known));
            let draft = Draft {
                shape: Shape::Tolerance(plain(first.number), spread),
                unit,
                number_at,
                unit_at,
                styles,
                spelled: Vec::new(),
            };
            return self.close(draft, at);
        }
        self.unit_first(start, first, styles)
    }

    /// The number is followed by its unit, and perhaps by more.
    fn unit_first(&self, start: usize, first: Read, mut styles: Vec<Style>) -> Result<Draft, Stop> {
        let mut number_at = start..first.end;
        let (unit, unit_at) = self.unit_after(first.end, &number_at, &mut styles)?;
        let mut draft = Draft {
            shape: Shape::Single(plain(first.number)),
            number_at: number_at.clone(),
            unit_at: unit_at.clone(),
            unit,
            styles,
            spelled: Vec::new(),
        };
        let mut amount = match &draft.shape {
            Shape::Single(amount) => amount.clone(),
            _ => return Err(Stop::Nothing(self.body.clone())),
        };
        let mut at = unit_at.end;
        if let Some(lesser) = self.lesser(&draft.unit, at) {
            at = lesser.end;
            number_at.end = lesser.number_end;
            amount.lesser = Some(Box::new(lesser.note(&mut draft)));
        }
        if let Some(joint) = self.range_joint(at)
            && let Some(second) = self.number(joint.next, &mut draft.styles)?
        {
            return self.second_end(draft, amount, joint, second);
        }
        if let Some(joint) = self.tolerance_joint(at)
            && let Some(second) = self.number(joint.next, &mut draft.styles)?
        {
            return self.spread(draft, amount, joint, second);
        }
        draft.number_at = number_at;
        draft.shape = Shape::Single(amount);
        self.close(draft, at)
    }

    /// The second end of a range whose first end has a unit of its own.
    fn second_end(
        &self,
        mut draft: Draft,
        amount: Amount,
        joint: Joint,
        second: Read,
    ) -> Result<Draft, Stop> {
        draft.number_at.end = second.end;
        let whole = draft.number_at.clone();
        let (again, again_at) = self.unit_after(second.end, &whole, &mut draft.styles)?;
        if !joint.plain {
            draft.styles.push(Style::RangeJoint);
        }
        let known = (settled(&draft.unit), settled(&again));
        if draft.unit != again && (known.0.is_none() || known.0 != known.1) {
            return Err(Stop::Nothing(again_at));
        }
        let mut upper = plain(second.number);
        let mut at = again_at.end;
        if let Some(lesser) = self.lesser(&again, at) {
            at = lesser.end;
            upper.lesser = Some(Box::new(lesser.note(&mut draft)));
        }
        if amount.lesser.is_none() && upper.lesser.is_none() {
            draft.styles.push(Style::UnitTwice);
        }
        // Of two spellings the one that isn't the format's is reported.
        if !matches!(again, Found::Exact(_)) {
            draft.unit = again;
            draft.unit_at = again_at;
        }
        draft.shape = Shape::Range(amount, Box::new(upper));
        self.close(draft, at)
    }

    /// The tolerance of an amount.
    fn spread(
        &self,
        mut draft: Draft,
        amount: Amount,
        joint: Joint,
        second: Read,
    ) -> Result<Draft, Stop> {
        if !joint.plain {
            draft.styles.push(Style::Tolerance);
        }
        let number_at = joint.next..second.end;
        let (found, at) = self.unit_after(second.end, &number_at, &mut draft.styles)?;
        let Some(unit) = settled(&found) else {
            return Err(Stop::Nothing(at));
        };
        if !matches!(found, Found::Exact(_)) {
            draft.spelled.push((unit, at.clone()));
        }
        let same_kind = settled(&draft.unit).is_some_and(|own| own.is_comparable(unit));
        let spread = if unit.dimension() == Dimension::Share && !same_kind {
            Spread::Percent(second.number)
        } else if same_kind {
            Spread::Absolute(second.number, unit)
        } else {
            return Err(Stop::Nothing(at));
        };
        draft.shape = Shape::Tolerance(amount, Box::new(spread));
        self.close(draft, at.end)
    }

    /// A draft that must end with the text.
    fn close(&self, draft: Draft, at: usize) -> Result<Draft, Stop> {
        let rest = self.skip(at)..self.body.end;
        if rest.is_empty() {
            return Ok(draft);
        }
        if let Some(two) = self.two(at) {
            return Err(two);
        }
        // `5 ft 6`: the second number lacks its unit.
        if let Scan::Number(_, end, _) = scan::scan(self.upto(), rest.start)
            && end == self.body.end
        {
            return Err(Stop::NoUnit(rest));
        }
        if !self.text[rest.clone()].starts_with(char::is_alphabetic) {
            return Err(Stop::Nothing(rest));
        }
        // It may be that the unit was misspelt and only begins like a known one, as
        // `ft of watr` does.
        let unit_at = draft.unit_at.start..self.body.end;
        match offers::nearest(&self.text[unit_at.clone()], self.expected) {
            Some(offered) => Err(Stop::Unknown {
                unit_at,
                offered: Some(offered),
            }),
            None => Err(Stop::Nothing(rest)),
        }
    }

    /// A second quantity after a first one that ends at `at`: `(2.7 m)`, `at 5 psi`.
    fn two(&self, at: usize) -> Option<Stop> {
        let rest = self.upto()[at..].trim_start_matches(is_blank);
        // A quantity within a quantity is looked for once, and not in prose.
        if self.depth > 0 || rest.len() > 2 * LONGEST {
            return None;
        }
        let word = |word: &str| {
            let after = rest
                .get(..word.len())
                .filter(|w| w.eq_ignore_ascii_case(word));
            after.and_then(|_| rest[word.len()..].strip_prefix(is_blank))
        };
        let (second, link) = if let Some(rest) = word("at").or(rest.strip_prefix('@')) {
            (rest, Link::Condition)
        } else if let Some(rest) = word("or") {
            (rest, Link::Other)
        } else if let Some(rest) = rest.strip_prefix('(').and_then(|r| r.strip_suffix(')')) {
            (rest, Link::Other)
        } else {
            (rest.strip_prefix(['/', '=', ',', ';', '≈'])?, Link::Other)
        };
        let canonical = |text: &str| {
            let reading = Reader::new(text, &[], self.conventions, self.depth + 1).read();
            let correction = reading.correction.filter(|_| reading.quantity.is_some());
            correction
                .map(|correction| correction.text)
                .or_else(|| reading.quantity.map(|quantity| quantity.canonical()))
        };
        Some(Stop::Two {
            first: canonical(&self.text[self.body.start..at])?,
            second: canonical(second)?,
            link,
        })
    }

    /// The lesser unit of a compound, if one follows at `at`: `6 in` after `5 ft`.
    fn lesser(&self, unit: &Found, at: usize) -> Option<Lesser> {
        let (greater, lesser) = settled(unit).and_then(compound)?;
        let mut start = self.skip(at);
        // `5'-6"` is how a drawing has it.
        let hyphen = self.upto()[start..].starts_with('-');
        if hyphen {
            start = self.skip(start + 1);
        }
        let follows = self.upto()[start..].chars().next()?;
        if !follows.is_numeric() {
            return None;
        }
        let Scan::Number(number, number_end, mut styles) = scan::scan(self.upto(), start) else {
            return None;
        };
        let (found, end) = self.longest_unit(self.skip(number_end), false)?;
        // 5 ft 14 in is no way to write a length: one of its numbers is wrong.
        let whole = greater.factor().checked_div(lesser.factor())?;
        if settled(&found) != Some(lesser) || number.exact()?.magnitude() >= whole {
            return None;
        }
        let unit_at = self.skip(number_end)..end;
        let blanks = [at..start, number_end..unit_at.start];
        if blanks.into_iter().any(|blank| self.text[blank] != *" ") {
            styles.push(Style::Spacing);
        }
        Some(Lesser {
            number,
            unit: lesser,
            number_end,
            end,
            styles,
            spelled: (!matches!(found, Found::Exact(_))).then_some(unit_at),
        })
    }

    /// The unit after a number that ends at `at`.
    fn unit_after(
        &self,
        at: usize,
        number_at: &Range<usize>,
        styles: &mut Vec<Style>,
    ) -> Result<(Found, Range<usize>), Stop> {
        let mut start = self.skip(at);
        if start >= self.body.end {
            return Err(Stop::NoUnit(number_at.clone()));
        }
        if self.range_joint(at).is_some() || self.tolerance_joint(at).is_some() {
            return Err(Stop::Nothing(start..self.body.end));
        }
        let mut spaced = self.upto()[at..start] == *" ";
        // `100-ft roll`: the hyphen joins number and unit in English.
        let hyphenated = self.upto()[start..].strip_prefix('-');
        if start == at && hyphenated.is_some_and(|rest| rest.starts_with(char::is_alphabetic)) {
            start += 1;
            spaced = false;
        }
        match self.longest_unit(start, true) {
            Some((found, end)) => {
                if !spaced {
                    styles.push(Style::Spacing);
                }
                Ok((found, start..end))
            }
            None => {
                if let Some((meant, end)) = self.letters_for_digits(at, number_at) {
                    let number_at = number_at.start..end;
                    return Err(Stop::Bad(BadNumber::Letter { meant }, number_at));
                }
                let unit_at = start..self.unit_end(start);
                let spelled = &self.text[unit_at.clone()];
                Err(Stop::Unknown {
                    offered: offers::nearest(spelled, self.expected),
                    unit_at,
                })
            }
        }
    }

    /// The number that goes on at `at` with letters for digits, read with digits alone, and where it ends: `29O m2`.
    /// What follows must be a blank, the end or a unit, or the letters are those of a word.
    fn letters_for_digits(&self, at: usize, number_at: &Range<usize>) -> Option<(String, usize)> {
        let digit = |c: char| match c {
            'O' | 'o' => Some('0'),
            'I' | 'l' => Some('1'),
            '0'..='9' | '.' => Some(c),
            _ => None,
        };
        let rest = &self.upto()[at..];
        let length = rest.find(|c| digit(c).is_none()).unwrap_or(rest.len());
        let end = at + length;
        let after = &self.upto()[end..];
        let has_letter = rest[..length].contains(char::is_alphabetic);
        let ends = after.is_empty() || after.starts_with(is_blank);
        if !has_letter || !(ends || self.longest_unit(end, true).is_some()) {
            return None;
        }
        let written = &self.text[number_at.start..end];
        let sign = usize::from(written.starts_with(['-', '+']));
        let meant: Option<String> = written[sign..].chars().map(digit).collect();
        Some((format!("{}{}", &written[..sign], meant?), end))
    }

    /// The longest stretch of text from `start` on that is a unit. A lesser unit may
    /// follow it directly only if it is not itself one.
    fn longest_unit(&self, start: usize, may_compound: bool) -> Option<(Found, usize)> {
        let rest = &self.upto()[start..];
        let mut ends = Vec::new();
        let mut before = None;
        for (at, c) in rest.char_indices() {
            if at > LONGEST {
                break;
            }
            let word = is_blank(c);
            let digit = c.is_ascii_digit() && before.is_some_and(|b: char| !b.is_ascii_digit());
            let joint = "-–—−±+~…‑‐(@=,;".contains(c);
            if at > 0 && (word || joint || digit) {
                ends.push((at, word));
            }
            before = Some(c);
        }
        if rest.len() <= LONGEST {
            ends.push((rest.len(), true));
        }
        for (length, word) in ends.into_iter().rev() {
            let spelled = rest[..length].trim_end_matches(is_blank);
            let end = start + spelled.len();
            // A hyphen at the end joins what follows, it is no part of the unit.
            if spelled.ends_with('-') {
                continue;
            }
            let Some(found) = spelling::find(spelled, self.expected, self.conventions) else {
                continue;
            };
            // Within a word only what continues the quantity may end a unit, lest the
            // metre be found in a misspelt `m3/hx`.
            let continues = word
                || self.range_joint(end).is_some()
                || self.tolerance_joint(end).is_some()
                || (may_compound && self.lesser(&found, end).is_some())
                || self.two(end).is_some();
            if continues {
                return Some((found, end));
            }
        }
        None
    }

    /// Where an unknown unit ends: before the next end of a range, or with the text.
    fn unit_end(&self, start: usize) -> usize {
        let rest = &self.upto()[start..];
        let stop = rest
            .char_indices()
            .take_while(|(at, _)| *at <= 2 * LONGEST)
            .find(|(at, c)| {
                *at > 0
                    && (is_blank(*c) || matches!(c, '–' | '—' | '±'))
                    && (self.range_joint(start + at).is_some()
                        || self.tolerance_joint(start + at).is_some())
            });
        start + stop.map_or(rest.len(), |(at, _)| at)
    }

    /// What joins the ends of a range at `at`, if a number follows it.
    fn range_joint(&self, at: usize) -> Option<Joint> {
        let text = self.upto();
        let start = self.skip(at);
        let rest = &text[start..];
        let word = rest
            .get(..2)
            .filter(|word| word.eq_ignore_ascii_case("to") && start > at);
        let length = match rest.chars().next()? {
            _ if word.is_some() => 2,
            '.' if rest.starts_with("...") => 3,
            '.' if rest.starts_with("..") => 2,
            c @ ('-' | '–' | '—' | '−' | '‐' | '‑' | '~' | '…') => c.len_utf8(),
            _ => return None,
        };
        let next = self.skip(start + length);
        let plain =
            word == Some("to") && text[at..start] == *" " && text[start + length..next] == *" ";
        self.starts_number(next).then_some(Joint { next, plain })
    }

    /// What stands before a tolerance at `at`, if a number follows it.
    fn tolerance_joint(&self, at: usize) -> Option<Joint> {
        let start = self.skip(at);
        let signs = [
            ("±", true),
            ("+/-", true),
            ("+/−", false),
            ("+-", false),
            ("-/+", false),
        ];
        let (sign, known) = signs
            .iter()
            .find(|(sign, _)| self.upto()[start..].starts_with(sign))?;
        let next = self.skip(start + sign.len());
        let text = self.upto();
        let plain = *known && text[at..start] == *" " && text[start + sign.len()..next] == *" ";
        self.starts_number(next).then_some(Joint { next, plain })
    }

    /// Whether a number begins here: a look at two characters, not a reading.
    fn starts_number(&self, at: usize) -> bool {
        let mut ahead = self.upto()[at..].chars();
        let mut next = ahead.next();
        if matches!(next, Some('-' | '+' | '−' | '$' | '€' | '£')) {
            next = ahead.next();
        }
        if next == Some('.') {
            next = ahead.next();
        }
        next.is_some_and(|c| c.is_numeric())
    }
}

/// What stands between two numbers.
struct Joint {
    /// Where the second number begins.
    next: usize,
    /// Whether it is written as the format has it.
    plain: bool,
}

/// The lesser part of a compound.
struct Lesser {
    number: Number,
    unit: Unit,
    number_end: usize,
    end: usize,
    styles: Vec<Style>,
    /// Where its unit stands, if it is another spelling.
    spelled: Option<Range<usize>>,
}

impl Lesser {
    /// Its number and unit; what is unusual about it goes into the draft.
    fn note(self, draft: &mut Draft) -> (Number, Unit) {
        draft.styles.extend(self.styles);
        draft.spelled.extend(self.spelled.map(|at| (self.unit, at)));
        (self.number, self.unit)
    }
}

fn plain(number: Number) -> Amount {
    Amount {
        number,
        lesser: None,
    }
}

/// The unit, where there is one only.
pub(super) fn settled(found: &Found) -> Option<Unit> {
    match found {
        Found::Exact(unit) | Found::Spelled(unit) | Found::Lossy(unit) => Some(*unit),
        Found::Either(_) => None,
    }
}

/// The lesser unit that may follow a unit: inches after feet, ounces after pounds.
fn compound(unit: Unit) -> Option<(Unit, Unit)> {
    let lesser = match unit.to_string().as_str() {
        "ft" => "in",
        "lb" => "oz",
        _ => return None,
    };
    Some((unit, Unit::listed(lesser)?))
}
