//! Numbers in the reader's own units.

use crate::claims::Verdict;
use crate::finding::Value;
use crate::units::show::{show, show_alike, show_in, show_money, significant};
use crate::units::{Dimension, System, Unit};

/// In which units a reader has figures.
#[derive(Debug, Clone, Copy)]
pub struct Reader {
    system: System,
    /// The unit a claim is written in: figures of its dimension are shown in it.
    claim: Option<Unit>,
}

impl Reader {
    /// The units a claim is written in.
    pub fn of_verdict(verdict: &Verdict) -> Reader {
        Reader {
            system: verdict.system,
            claim: Some(verdict.unit),
        }
    }

    /// The units of what isn't about one claim.
    pub fn of_system(system: System) -> Reader {
        Reader {
            system,
            claim: None,
        }
    }

    /// A quantity.
    pub fn figure(self, si: f64, dimension: Dimension) -> String {
        if !si.is_finite() {
            return "not known".into();
        }
        match self.claim.filter(|unit| unit.dimension() == dimension) {
            Some(unit) if dimension.is_money() => show_money(unit, si),
            Some(unit) => show_in(unit, si, 3),
            None => show(dimension, si, self.system),
        }
    }

    /// Some quantities of one dimension in one unit.
    pub fn alike(self, si: &[f64], dimension: Dimension) -> Vec<String> {
        let is_claims = self.claim.is_some_and(|unit| unit.dimension() == dimension);
        match is_claims || si.iter().any(|one| !one.is_finite()) {
            true => si.iter().map(|one| self.figure(*one, dimension)).collect(),
            false => show_alike(dimension, si, self.system),
        }
    }

    /// What pieces of evidence say of one quantity, in one unit.
    pub fn values(self, values: &[&Value]) -> Vec<String> {
        let first = match values.first() {
            Some(Value::Quantity(_, dimension)) => *dimension,
            _ => return values.iter().map(|one| self.value(one)).collect(),
        };
        let numbers = values.iter().map(|one| match one {
            Value::Quantity(si, dimension) if *dimension == first && si.is_finite() => Some(*si),
            _ => None,
        });
        match numbers.collect::<Option<Vec<f64>>>() {
            Some(numbers) => self.alike(&numbers, first),
            None => values.iter().map(|one| self.value(one)).collect(),
        }
    }

    /// What a piece of evidence says.
    pub fn value(self, value: &Value) -> String {
        match value {
            Value::Quantity(si, dimension) => self.figure(*si, *dimension),
            Value::Number(number, unit) if unit.is_empty() => significant(*number, 3),
            Value::Number(number, unit) => format!("{} {unit}", significant(*number, 3)),
            Value::Words(words) => words.to_string(),
        }
    }
}

/// Figures of one quantity in a row, their unit once if it is the same: `1.98 to 2.27 m`.
pub fn joined(figures: &[String], between: &str) -> String {
    let (first, rest) = match figures {
        [first, rest @ ..] => (first, rest),
        [] => return String::new(),
    };
    if rest.iter().all(|figure| figure == first) {
        return first.clone();
    }
    // Nothing is nothing in every unit.
    let bare = |figure: &str| {
        figure
            .split_once(' ')
            .is_some_and(|(number, _)| number == "0")
    };
    let unit = |figure: &str| {
        figure
            .split_once(' ')
            .map(|(_, unit)| unit.to_string())
            .unwrap_or_default()
    };
    let last = figures.iter().rev().find(|figure| !bare(figure));
    let common = last.or(figures.last()).map(|figure| unit(figure));
    let common = common.unwrap_or_default();
    let same = figures
        .iter()
        .all(|figure| bare(figure) || unit(figure) == common);
    if !same || common.is_empty() {
        return figures.join(between);
    }
    let numbers: Vec<&str> = figures
        .iter()
        .map(|figure| figure.split(' ').next().unwrap_or(""))
        .collect();
    format!("{} {common}", numbers.join(between))
}

/// A time in words: minutes up to two hours.
pub fn duration(seconds: f64) -> String {
    let minutes = seconds / 60.0;
    if minutes < 120.0 {
        format!("{} min", significant(minutes, 2))
    } else {
        format!("{} h", significant(minutes / 60.0, 2))
    }
}

#[cfg(test)]
mod tests {
    use super::joined;

    #[test]
    fn a_common_unit_stands_once() {
        let of = |figures: &[&str]| {
            let figures: Vec<String> = figures.iter().map(|f| f.to_string()).collect();
            joined(&figures, " to ")
        };
        assert_eq!(of(&["1.98 m", "2.27 m"]), "1.98 to 2.27 m");
        assert_eq!(of(&["0 mm2", "2.27 ha"]), "0 to 2.27 ha");
        assert_eq!(of(&["600 ft2", "0.3 acre"]), "600 ft2 to 0.3 acre");
        assert_eq!(of(&["0 mm", "0 mm"]), "0 mm");
        assert_eq!(
            of(&["5.74 USD/month", "5.94 USD/month"]),
            "5.74 to 5.94 USD/month"
        );
        assert_eq!(of(&["1", "2"]), "1 to 2");
    }
}
