//! Reading a written quantity.
//!
//! ```
//! use nameplate::units::{Dimension, read};
//!
//! let reading = read("5 ft 6 in", &[Dimension::Length]);
//! let depth = reading.quantity.expect("a length");
//! assert_eq!(depth.si_central(), 1.6764);
//! assert!(reading.faults.is_empty());
//!
//! let reading = read("1,500 sq ft", &[Dimension::Area]);
//! assert!(reading.quantity.is_none());
//! assert_eq!(reading.correction.expect("an offer").text, "1500 ft2");
//! ```
//!
//! The grammar, loosely:
//!
//! ```text
//! quantity  = amount | amount "to" amount | amount "±" (number "%" | number unit)
//! amount    = number unit [number lesser-unit]
//! number    = [sign] (digits ["." digits] ["e" power] | [digits] fraction)
//! ```
//!
//! What people write beside it is understood where it has one meaning, reported, and
//! corrected. Reading takes time in proportion to the text and never fails.

use std::ops::Range;

use compact_str::CompactString;

use super::dimension::Dimension;
use super::fault::{Fault, FaultKind, Link};
use super::number::Style;
use super::offers;
use super::scan::{BadNumber, Scan, scan};
use super::spelling::{Conventions, Found, is_blank};
use super::table::Unit;
use super::written::{Amount, Quantity, Shape, Unusable};
use grammar::{Draft, Stop, settled};

/// What was understood of a text, and what is wrong with it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Reading {
    /// The quantity, if it is one of those expected.
    pub quantity: Option<Quantity>,
    /// A quantity, but not one of those expected.
    pub misfit: Option<Quantity>,
    /// What it is under each unit it may be written in, where it is ambiguous.
    pub alternatives: Vec<Quantity>,
    /// What is wrong; empty if nothing is.
    pub faults: Vec<Fault>,
    /// What to write in place of the whole text.
    pub correction: Option<Correction>,
}

/// What to write in place of the whole text.
#[derive(Debug, Clone, PartialEq)]
pub struct Correction {
    /// The text.
    pub text: String,
    /// Whether it can't change the meaning. Otherwise a person has to choose it.
    pub sure: bool,
}

/// Reads a quantity of one of the `expected` dimensions; of any, if none is given.
pub fn read(text: &str, expected: &[Dimension]) -> Reading {
    read_under(text, expected, Conventions::default())
}

/// Reads a quantity in a text that follows known conventions.
pub fn read_under(text: &str, expected: &[Dimension], conventions: Conventions) -> Reading {
    Reader::new(text, expected, conventions, 0).read()
}

/// The quantity of a number in the format's writing and a unit: what [`read`] gives for both with a space
/// between, without looking for the unit.
pub fn of_unit(number: &str, unit: Unit) -> Option<Quantity> {
    let code = unit.currency().map_or("", |currency| currency.code());
    let mut text = CompactString::from(number);
    for part in [" ", code, unit.spelling()] {
        text.push_str(part);
    }
    // A fraction may be two ratings, and a whole number may have one after it.
    let digits = |part: &str| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit());
    let is_decimal = match number.split_once('.') {
        Some((whole, decimals)) => digits(whole) && digits(decimals),
        None => digits(number),
    };
    if is_decimal
        && let Scan::Number(written, end, styles) = scan(number, 0)
        && end == number.len()
        && styles.is_empty()
    {
        let shape = Shape::Single(Amount {
            number: written,
            lesser: None,
        });
        let unit_at = end + 1..text.len();
        return Quantity::new(text, shape, unit, 0..end, unit_at).ok();
    }
    read(&text, &[]).quantity
}

/// The text without blanks around it.
fn body(text: &str) -> Range<usize> {
    let start = text.len() - text.trim_start_matches(is_blank).len();
    let end = text.trim_end_matches(is_blank).len();
    start..end.max(start)
}

struct Reader<'a> {
    text: &'a str,
    body: Range<usize>,
    expected: &'a [Dimension],
    conventions: Conventions,
    /// How many texts this one was made from: corrections tried, parts of a text.
    depth: u8,
}

impl<'a> Reader<'a> {
    fn new(
        text: &'a str,
        expected: &'a [Dimension],
        conventions: Conventions,
        depth: u8,
    ) -> Reader<'a> {
        Reader {
            text,
            body: body(text),
            expected,
            conventions,
            depth,
        }
    }

    fn read(&self) -> Reading {
        match self.draft() {
            Ok(draft) => self.judge(draft),
            Err(stop) => self.stopped(stop),
        }
    }

    fn judge(&self, draft: Draft) -> Reading {
        if let Some(two) = two_ratings(&draft, self.text) {
            return self.stopped(two);
        }
        let mut reading = Reading::default();
        let whole = self.body.start..self.body.end;
        let build = |unit: Unit, shape: Shape| {
            let (number_at, unit_at) = (draft.number_at.clone(), draft.unit_at.clone());
            Quantity::new(self.text.into(), shape, unit, number_at, unit_at)
        };
        let fits =
            |unit: &Unit| self.expected.is_empty() || self.expected.contains(&unit.dimension());

        // Which end is greater doesn't depend on which of several units is meant.
        if let (Shape::Range(from, to), Some(unit)) = (&draft.shape, any_of(&draft.unit))
            && let Ok(quantity) = build(unit, draft.shape.clone())
            && quantity.si_low() > quantity.si_high()
        {
            let turned = build(unit, Shape::Range((**to).clone(), Box::new(from.clone())));
            reading.correction = turned
                .ok()
                .filter(|turned| fits(&turned.unit()))
                .map(|turned| Correction {
                    text: in_the_list(&turned),
                    sure: false,
                });
            reading.faults.push(Fault {
                kind: FaultKind::Reversed,
                at: draft.number_at,
            });
            return reading;
        }
        let unit = match &draft.unit {
            Found::Exact(unit) | Found::Spelled(unit) | Found::Lossy(unit) => *unit,
            Found::Either(units) => {
                let fitting: Vec<Unit> = units.iter().copied().filter(fits).collect();
                match (fitting.as_slice(), units.first()) {
                    // Whatever it means, it doesn't belong here.
                    ([], Some(first)) => *first,
                    _ => {
                        reading.alternatives = fitting
                            .iter()
                            .filter_map(|unit| build(*unit, draft.shape.clone()).ok())
                            .collect();
                        reading.faults.push(Fault {
                            kind: FaultKind::Ambiguous {
                                candidates: fitting,
                            },
                            at: draft.unit_at.clone(),
                        });
                        reading.correction =
                            reading.alternatives.first().map(|likeliest| Correction {
                                text: in_the_list(likeliest),
                                sure: false,
                            });
                        return reading;
                    }
                }
            }
        };
        let quantity = match build(unit, draft.shape.clone()) {
            Ok(quantity) => quantity,
            Err(why) => {
                return self.stopped(Stop::Unusable(why, unit.dimension(), draft.number_at));
            }
        };
        if !fits(&unit) {
            let offered = offers::sibling(unit, self.expected);
            // Inches after feet of water, say, would be no quantity.
            let text = offered.map(|offered| quantity.canonical_in(offered));
            reading.correction = text
                .filter(|text| {
                    let (expected, conventions) = (self.expected, self.conventions);
                    let again = Reader::new(text, expected, conventions, self.depth + 1).read();
                    again.faults.is_empty()
                })
                .map(|text| Correction { text, sure: false });
            reading.faults.push(Fault {
                kind: FaultKind::WrongDimension {
                    found: unit.dimension(),
                    expected: self.expected.to_vec(),
                    offered,
                },
                at: draft.unit_at,
            });
            reading.misfit = Some(quantity);
            return reading;
        }

        let mut text = None;
        if !unit.is_listed() {
            let (restated, exact) = quantity.restated();
            text = Some(restated.clone());
            reading.faults.push(Fault {
                kind: FaultKind::UnitUnlisted {
                    unit,
                    restated,
                    exact,
                },
                at: draft.unit_at.clone(),
            });
        } else if !matches!(draft.unit, Found::Exact(_)) {
            reading.faults.push(Fault {
                kind: FaultKind::UnitSpelling {
                    canonical: unit,
                    loses: matches!(draft.unit, Found::Lossy(_)),
                },
                at: draft.unit_at.clone(),
            });
        }
        for (canonical, at) in draft.spelled {
            reading.faults.push(Fault {
                kind: FaultKind::UnitSpelling {
                    canonical,
                    loses: false,
                },
                at,
            });
        }
        let mut styles = draft.styles;
        // What the correction of the unit mends anyway needs no word of its own.
        if !reading.faults.is_empty() {
            styles.retain(|style| !matches!(style, Style::Spacing | Style::MoneyFirst));
        }
        let mut said = Vec::new();
        for style in styles {
            if !said.contains(&style) {
                said.push(style);
                reading.faults.push(Fault {
                    kind: FaultKind::Writing(style),
                    at: whole.clone(),
                });
            }
        }
        if !reading.faults.is_empty() {
            reading.correction = Some(Correction {
                text: text.unwrap_or_else(|| quantity.canonical()),
                sure: reading.faults.iter().all(|fault| fault.kind.is_sure()),
            });
        }
        reading.quantity = Some(quantity);
        reading
    }

    fn stopped(&self, stop: Stop) -> Reading {
        let expected = self.expected.to_vec();
        let (kind, at, replacement) = match stop {
            Stop::Nothing(at) => (FaultKind::NotAQuantity { expected }, at, None),
            Stop::NoUnit(at) => (FaultKind::UnitMissing { expected }, at, None),
            Stop::Unusable(Unusable::NotFinite, _, at) => (FaultKind::NotFinite, at, None),
            Stop::Unusable(Unusable::BeyondScale, dimension, at) => {
                (FaultKind::BeyondScale(dimension), at, None)
            }
            Stop::Two {
                first,
                second,
                link,
            } => {
                let kind = FaultKind::TwoQuantities {
                    first,
                    second,
                    link,
                };
                (kind, self.body.clone(), None)
            }
            Stop::Unknown { unit_at, offered } => {
                let replacement = offered.map(|unit| unit.to_string());
                (FaultKind::UnitUnknown { offered }, unit_at, replacement)
            }
            Stop::Bad(bad, at) => match bad {
                BadNumber::Thousands { meant, or } => {
                    let replacement = Some(meant.clone());
                    (FaultKind::ThousandsSeparator { meant, or }, at, replacement)
                }
                BadNumber::Comma { meant } => {
                    let replacement = Some(meant.clone());
                    (FaultKind::DecimalComma { meant }, at, replacement)
                }
                BadNumber::Letter { meant } => {
                    let replacement = Some(meant.clone());
                    (FaultKind::LetterForDigit { meant }, at, replacement)
                }
                BadNumber::NotFinite => (FaultKind::NotFinite, at, None),
                BadNumber::Unreadable => (FaultKind::NotAQuantity { expected }, at, None),
            },
        };
        // An offer is made only if the text can be read with it.
        let correction = replacement.and_then(|replacement| {
            // Two numbers and two units are the most that one text can need mending.
            if self.depth >= 4 {
                return None;
            }
            let mut mended = self.text.to_owned();
            mended.replace_range(at.clone(), &replacement);
            let (expected, conventions) = (self.expected, self.conventions);
            let again = Reader::new(&mended, expected, conventions, self.depth + 1).read();
            let text = match again.correction {
                Some(correction) => correction.text,
                None => again.quantity?.canonical(),
            };
            Some(Correction { text, sure: false })
        });
        Reading {
            faults: vec![Fault { kind, at }],
            correction,
            ..Reading::default()
        }
    }
}

/// Two ratings with a stroke between them, which look like a fraction: `115/230 V`,
/// `50/60 Hz`. Voltages, frequencies, temperatures and sound levels are never written
/// as fractions; of other quantities the denominators are those of scales and of
/// motors' horsepower.
fn two_ratings(draft: &Draft, text: &str) -> Option<Stop> {
    let (Shape::Single(amount), Some(unit)) = (&draft.shape, any_of(&draft.unit)) else {
        return None;
    };
    let (above, below) = amount.number.text().split_once('/')?;
    if above.contains(' ') {
        return None;
    }
    let never = matches!(
        unit.dimension(),
        Dimension::Voltage
            | Dimension::Frequency
            | Dimension::Temperature
            | Dimension::SoundLevel
            | Dimension::WeightedSoundLevel
    );
    let scale = matches!(below, "2" | "3" | "4" | "5" | "6" | "7" | "8" | "9" | "10")
        || matches!(below, "12" | "16" | "20" | "32" | "64");
    let unusual = !scale && above.trim_start_matches(['+', '-']) != "1";
    // Which of several units is meant doesn't matter to that.
    let unit = match settled(&draft.unit) {
        Some(unit) => unit.to_string(),
        None => text[draft.unit_at.clone()].to_string(),
    };
    (never || unusual).then(|| Stop::Two {
        first: format!("{above} {unit}"),
        second: format!("{below} {unit}"),
        link: Link::Other,
    })
}

/// A quantity in the format's writing and a unit of its list.
fn in_the_list(quantity: &Quantity) -> String {
    if quantity.unit().is_listed() {
        quantity.canonical()
    } else {
        quantity.restated().0
    }
}

/// The unit, or the first of several.
fn any_of(found: &Found) -> Option<Unit> {
    match found {
        Found::Either(units) => units.first().copied(),
        found => settled(found),
    }
}

mod grammar;
#[cfg(test)]
mod tests;
