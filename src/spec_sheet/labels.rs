//! What the heads of a table, a label before a colon or an element beside it name for a bare number.

use crate::units::{self, Dimension, Unit};

use super::claims::{Above, Finder};
use super::layout::Role;
use super::measure::{Habits, Measure, Period};
use super::tokens::{Kind, Token};
use super::unit_words;
use super::vocabulary::Topic;

/// What a head names for the bare numbers under it.
#[derive(Clone, Copy)]
pub enum Named {
    /// A unit.
    Unit(Unit),
    /// Money, and what it is paid for.
    Money(Unit, Option<Period>),
    /// Money in a unit that isn't known: no number under it is read.
    Nothing,
}

/// Longest text of a figure that has its unit elsewhere.
const LONGEST_FIGURE: usize = 32;

/// Longest label or caption.
const LONGEST_LABEL: usize = 48;

/// How many elements a row of figures and captions is followed back.
const FARTHEST: usize = 24;

impl Finder<'_> {
    /// Gives bare numbers the unit that is named for them elsewhere.
    pub(super) fn with_named_units(
        &mut self,
        number: usize,
        measures: &mut [Measure<'_>],
        tokens: &[Token],
        above: &Above,
    ) {
        if !measures
            .iter()
            .any(|measure| measure.quantity.is_none() && !measure.is_size)
        {
            return;
        }
        let passages = self.passages;
        let text = passages[number].text.as_str();
        for measure in measures
            .iter_mut()
            .filter(|measure| measure.quantity.is_none() && !measure.is_size)
        {
            if let Some(label) = label_of(text, tokens, measure)
                && let Some(named) = named(label, self.habits)
            {
                give(measure, named);
            }
        }
        if text.len() > LONGEST_FIGURE {
            return;
        }
        // The figure stands alone, with at most a word that bounds it.
        let first = measures.first().map_or(0, |measure| measure.tokens.start);
        let other = |token: &&Token| token.is_word() && token.topic().is_none();
        if tokens[..first].iter().any(|token| other(&token))
            || tokens[first..].iter().filter(other).count() > 1
        {
            return;
        }
        // `VOLTS/HZ/PH | 115/60/1`: a unit for each.
        if let Some(row) = above.row
            && measures.len() > 1
            && text.contains('/')
        {
            let head = passages[row as usize].text.trim_end_matches([':', ' ']);
            let parts = head.split('/');
            if parts.clone().count() == measures.len() {
                for (measure, part) in measures.iter_mut().zip(parts) {
                    if let Some(unit) = unit_words::whole(part.trim())
                        && measure.quantity.is_none()
                    {
                        measure.quantity =
                            units::of_unit(&measure.number, unit.unit(self.habits.british));
                    }
                }
                return;
            }
        }
        // Under a head of its own, even `m` and `W` are units.
        let under = || match above.columns {
            [Some(near), Some(_)] => unit_words::whole(&passages[near as usize].text)
                .map(|unit| Named::Unit(unit.unit(self.habits.british))),
            _ => None,
        };
        let named = self.named_beside(number).or_else(under).or_else(|| {
            above
                .columns
                .into_iter()
                .chain([above.row])
                .flatten()
                .find_map(|head| self.named(head))
        });
        let Some(named) = named else {
            return;
        };
        match measures {
            [measure] if measure.quantity.is_none() && !measure.is_size => give(measure, named),
            [low, high] if low.quantity.is_none() && high.quantity.is_none() && !low.is_size => {
                let between = text.get(low.at.end..high.at.start).unwrap_or("").trim();
                let is_range = matches!(
                    between,
                    "–" | "-" | "—" | "−" | "‑" | "to" | "bis" | "tot" | "à" | "..."
                );
                if let Named::Unit(unit) = named
                    && is_range
                {
                    low.quantity =
                        units::read(&format!("{} to {} {unit}", low.number, high.number), &[])
                            .quantity;
                    low.at.end = high.at.end;
                    low.tokens.end = high.tokens.end;
                    high.is_size = true;
                }
            }
            _ => {}
        }
    }

    /// The unit in the cell or element beside a number: `12 | ft`, `4.2` with `CFM at 6 ft` under it.
    fn named_beside(&self, number: usize) -> Option<Named> {
        let british = self.habits.british;
        let passage = &self.passages[number];
        let next = self.passages.get(number + 1);
        let Role::Cell {
            table, row, column, ..
        } = passage.role
        else {
            let caption = self.caption(number)?;
            let text = &self.passages[caption as usize].text;
            let (unit, _) = unit_words::at(text, 0)?;
            return (caption as usize > number).then(|| Named::Unit(unit.unit(british)));
        };
        let in_row = |cell: &super::layout::Passage| match cell.role {
            Role::Cell {
                table: t,
                row: r,
                column,
                ..
            } if (t, r) == (table, row) => Some(column),
            _ => None,
        };
        if let Some(next) = next
            && in_row(next) == Some(column + 1)
            && let Some(unit) = unit_words::whole(next.text.trim())
        {
            return Some(Named::Unit(unit.unit(british)));
        }
        let second = self.passages[..number]
            .iter()
            .rev()
            .take(FARTHEST)
            .take_while(|cell| in_row(cell).is_some())
            .find(|cell| in_row(cell) == Some(1))?;
        unit_words::whole(second.text.trim()).map(|unit| Named::Unit(unit.unit(british)))
    }

    /// What a head names for the bare numbers under it.
    fn named(&mut self, head: u32) -> Option<Named> {
        if let Some(&known) = self.names.get(&head) {
            return known;
        }
        let named = named(&self.passages[head as usize].text, self.habits);
        self.names.insert(head, named);
        named
    }

    /// The element that says what a figure in an element of its own is: before it or after it, whichever way
    /// the page has them.
    pub(super) fn caption(&self, number: usize) -> Option<u32> {
        if !self.is_figure(number) {
            return None;
        }
        // Figures and captions take turns; what the row begins with tells which belongs to which.
        let mut first = number;
        while first > 0 && number - first < FARTHEST {
            let before = first - 1;
            if self.is_figure(first) && !self.is_caption(before)
                || !self.is_figure(first) && !self.is_figure(before)
            {
                break;
            }
            first = before;
        }
        let place = if self.is_figure(first) {
            number + 1
        } else {
            number.checked_sub(1)?
        };
        self.is_caption(place).then_some(place as u32)
    }

    fn is_figure(&self, number: usize) -> bool {
        let Some(passage) = self.passages.get(number) else {
            return false;
        };
        let text = passage.text.as_str();
        matches!(passage.role, Role::Text | Role::Heading(_))
            && text.len() <= LONGEST_FIGURE
            && text.starts_with(|c: char| {
                c.is_ascii_digit()
                    || matches!(c, '¼' | '½' | '¾' | '⅓' | '⅛' | '.' | '<' | '≤' | '~')
            })
            && text.split_whitespace().count() <= 3
    }

    fn is_caption(&self, number: usize) -> bool {
        let Some(passage) = self.passages.get(number) else {
            return false;
        };
        let text = passage.text.as_str();
        passage.role == Role::Text
            && text.len() <= LONGEST_LABEL
            && text.starts_with(char::is_alphabetic)
            && !text.ends_with(['.', '!', '?'])
            && text.split_whitespace().count() <= 6
    }
}

/// Gives a bare number what was named for it.
fn give(measure: &mut Measure<'_>, named: Named) {
    match named {
        Named::Nothing => {}
        Named::Money(unit, period) => {
            measure.quantity = units::of_unit(&measure.number, unit);
            measure.period = period;
        }
        Named::Unit(unit) => measure.quantity = units::of_unit(&measure.number, unit),
    }
}

/// The label of a number that stands right behind a colon and ends what it begins: `Watts: 145`.
fn label_of<'a>(text: &'a str, tokens: &[Token], measure: &Measure<'_>) -> Option<&'a str> {
    let ends = match tokens.get(measure.tokens.end).map(|token| token.kind) {
        None | Some(Kind::Stop | Kind::Sign(',' | '(' | '|')) => true,
        Some(_) => false,
    };
    if !ends {
        return None;
    }
    let mut colon = measure.tokens.start.checked_sub(1)?;
    while matches!(
        tokens[colon].topic(),
        Some(Topic::AtMost | Topic::AtLeast | Topic::About)
    ) || tokens[colon].kind == Kind::Sign('.')
    {
        colon = colon.checked_sub(1)?;
    }
    if tokens[colon].is_word() {
        return bare_label(text, tokens, colon);
    }
    // `Noise (dBA at 1 m) - 42`
    let dash = matches!(tokens[colon].kind, Kind::Sign('-' | '–' | '—'))
        && text.get(..tokens[colon].start as usize)?.ends_with(' ');
    if !dash && !matches!(tokens[colon].kind, Kind::Sign(':' | '=')) {
        return None;
    }
    let end = tokens[colon].start as usize;
    let first = tokens[..colon]
        .iter()
        .rev()
        .take(8)
        .take_while(|token| !matches!(token.kind, Kind::Stop | Kind::Sign(';' | '|')))
        .last()?;
    let label = text.get(first.start as usize..end)?;
    (label.len() <= LONGEST_LABEL).then_some(label)
}

/// A unit or a quantity that has only one, in front of its number: `Amps 1.2, HP 1/8`.
fn bare_label<'a>(text: &'a str, tokens: &[Token], at: usize) -> Option<&'a str> {
    let begins = at.checked_sub(1).is_none_or(|before| {
        matches!(
            tokens[before].kind,
            Kind::Stop | Kind::Sign(',' | ';' | '|' | '(' | '/')
        )
    });
    let label = text.get(tokens[at].range())?;
    let is_unit = || {
        label.len() > 1
            && unit_words::whole(label).is_some_and(|unit| {
                !matches!(
                    unit.unit(false).dimension(),
                    Dimension::Time
                        | Dimension::Length
                        | Dimension::Mass
                        | Dimension::Volume
                        | Dimension::Money
                )
            })
    };
    (begins && (of_quantity(&label.to_lowercase()).is_some() || is_unit())).then_some(label)
}

/// What the text of a head names for the bare numbers under it.
fn named(head: &str, habits: Habits) -> Option<Named> {
    if let Some((found, _)) = unit_words::of_head(head) {
        return Some(Named::Unit(found.unit(habits.british)));
    }
    let small = head.to_lowercase();
    let says = |code: &str| {
        small
            .split(|c: char| !c.is_alphanumeric())
            .any(|word| word == code)
    };
    let code = if head.contains('€') || says("eur") || says("euro") {
        "EUR"
    } else if head.contains('£') || says("gbp") {
        "GBP"
    } else if head.contains('$') || says("usd") {
        habits.dollar.code()
    } else if says("cad") {
        "CAD"
    } else {
        return of_quantity(&small);
    };
    let periods = [
        ("month", Period::Month),
        ("mo", Period::Month),
        ("year", Period::Year),
        ("day", Period::Day),
        ("dai", Period::Day),
        ("monat", Period::Month),
        ("jahr", Period::Year),
        ("kwh", Period::KilowattHour),
        ("ft", Period::Foot),
        ("foot", Period::Foot),
    ];
    let parts = small.split(|c: char| !c.is_alphanumeric());
    let period = periods
        .into_iter()
        .find(|(word, _)| {
            parts.clone().any(|part| {
                part.strip_prefix(word)
                    .is_some_and(|rest| matches!(rest, "" | "ly"))
            })
        })
        .map(|(_, period)| period);
    let tail = period.map_or_else(String::new, |period| format!("/{}", period.word()));
    Some(
        Unit::known(&format!("{code}{tail}"))
            .map_or(Named::Nothing, |unit| Named::Money(unit, period)),
    )
}

/// The unit of a quantity that the trade gives in one unit only, by the quantity's name.
fn of_quantity(small: &str) -> Option<Named> {
    let unit = small
        .split(|c: char| !c.is_alphanumeric())
        .find_map(|word| {
            Some(match word {
                "voltage" | "volt" | "volts" | "vac" | "spannung" | "netzspannung" | "tension"
                | "spanning" => "V",
                "amperage" | "amps" | "amp" | "ampere" | "amperes" | "stromaufnahme" | "fla" => "A",
                "wattage" | "watt" | "watts" => "W",
                "frequency" | "frequenz" | "hertz" | "fréquence" | "frequentie" => "Hz",
                "horsepower" => "hp",
                _ => return None,
            })
        })?;
    Unit::known(unit).map(Named::Unit)
}

#[cfg(test)]
mod tests {
    use super::super::Kind;
    use super::super::shown::{claims_of, is};

    #[test]
    fn a_label_names_the_unit() {
        is("Watts: 145", "145 power exact");
        is(
            "Amps 1.2, Volts 115",
            "1.2 current exact; 115 voltage exact",
        );
        is("FULL LOAD AMPS........ 5.2", "5.2 current exact");
        is("Noise (dBA at 1 m) - 42", "42 sound exact at 1 m");
        is(
            "VOLTS/HZ/PH:    115/60/1",
            "115 voltage exact; 60 frequency exact",
        );
    }

    #[test]
    fn a_neighbour_names_the_unit() {
        let csv = "Item,Value,Unit\nAir flow,65,l/min\nTube bore,9,mm\n";
        assert_eq!(
            claims_of(Kind::Csv, csv),
            ["65 flow exact", "9 airline-size exact"]
        );
        let cards = "<h1>Pair</h1><div>4.2</div><div>CFM at 6 ft</div><div>¼ acre</div><div>Max pond size</div><div>8 ft</div><div>Maximum depth</div>";
        assert_eq!(
            claims_of(Kind::Html, cards),
            [
                "4.2 flow exact at 6 ft",
                "¼ acre area at-most",
                "8 ft depth at-most"
            ]
        );
        let reversed = "<h1>Pair</h1><p>Maximum depth</p><p>8 ft</p><p>Airline</p><p>50 ft</p>";
        assert_eq!(
            claims_of(Kind::Html, reversed),
            ["8 ft depth at-most", "50 ft airline-length exact"]
        );
    }

    #[test]
    fn ranges_and_curves_under_heads() {
        let csv = "Package;Pond (m²);Depth (m)\nGrebe;250–500;0.8–1.5\n";
        assert_eq!(
            claims_of(Kind::Csv, csv),
            ["250–500 area range", "0.8–1.5 depth range"]
        );
        let curve = "Depth (ft),Pressure (psi),Flow (cfm)\n6,3.1,5.9\n10,4.9,5.4\n";
        assert_eq!(
            claims_of(Kind::Csv, curve),
            [
                "5.9 flow exact at 3.1 psi at 6 ft",
                "5.4 flow exact at 4.9 psi at 10 ft"
            ]
        );
        let theirs = "| | Ours | Theirs |\n|--|--|--|\n| Power | 45 W | 120 W |\n";
        assert_eq!(claims_of(Kind::Markdown, theirs), ["45 W power exact"]);
    }
}
