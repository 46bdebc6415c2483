//! Verdicts of two states, claim by claim.

use std::collections::HashMap;

use crate::claims::{Outcome as Word, Verdict};

/// What a reader takes a verdict for: undecided within the rating is what the trade promises, beyond it
/// somebody should look.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    /// Supported.
    Supported,
    /// Undecided, and not known to be beyond the rating.
    Undecided,
    /// Undecided and beyond the rating.
    Beyond,
    /// Contradicted.
    Contradicted,
    /// Not evaluated, for want of a fact.
    NotEvaluated,
}

impl Standing {
    /// Of a verdict.
    pub fn of(verdict: &Verdict) -> Standing {
        match (verdict.outcome, verdict.within_rating) {
            (Word::Supported, _) => Standing::Supported,
            (Word::Undecided, Some(false)) => Standing::Beyond,
            (Word::Undecided, _) => Standing::Undecided,
            (Word::Contradicted, _) => Standing::Contradicted,
            (Word::NotEvaluated, _) => Standing::NotEvaluated,
        }
    }

    /// How bad it is for the promise, from 0.
    pub fn rank(self) -> u8 {
        match self {
            Standing::Supported => 0,
            Standing::Undecided => 1,
            Standing::Beyond => 2,
            // To lose sight of a promise is worse than to doubt it.
            Standing::NotEvaluated => 3,
            Standing::Contradicted => 4,
        }
    }
}

/// What became of a claim's verdict.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shift {
    /// It is another.
    Turned,
    /// The claim is new.
    Came,
    /// The claim is made no more.
    Went,
    /// It is the same, with other figures.
    Figures,
}

impl Shift {
    /// As a machine format has it.
    pub fn as_str(self) -> &'static str {
        match self {
            Shift::Turned => "turned",
            Shift::Came => "came",
            Shift::Went => "went",
            Shift::Figures => "figures",
        }
    }
}

/// Whether that is worse for whoever made the promise.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Direction {
    /// Worse.
    Worse,
    /// Neither.
    Neither,
    /// Better.
    Better,
}

impl Direction {
    /// As a machine format has it.
    pub fn as_str(self) -> &'static str {
        match self {
            Direction::Worse => "worse",
            Direction::Neither => "neither",
            Direction::Better => "better",
        }
    }
}

/// A claim whose verdict isn't what it was.
#[derive(Debug, Clone)]
pub struct VerdictChange {
    /// The number of the catalog among those compared.
    pub catalog: usize,
    /// ID of the package as it is called now.
    pub package: String,
    /// Which of the old run's verdicts it was.
    pub was: Option<usize>,
    /// Which of the new run's verdicts it is.
    pub is: Option<usize>,
    /// What became of it.
    pub shift: Shift,
    /// Whether that is worse.
    pub direction: Direction,
    /// What accounts for it; nothing for one that only has other figures.
    pub cause: Option<super::Cause>,
}

/// The claims of one catalog whose verdicts differ, and how many stay as they are.
///
/// `package` gives a package of the old state the name it has now; both lists come with the numbers of
/// their first verdicts in the run.
pub(super) fn compare(
    catalog: usize,
    (old, old_from): (&[Verdict], usize),
    (new, new_from): (&[Verdict], usize),
    package: impl Fn(&str) -> String,
) -> (Vec<VerdictChange>, usize) {
    let mut open: Vec<bool> = vec![true; old.len()];
    let mut exact: HashMap<_, Vec<usize>> = HashMap::new();
    let mut near: HashMap<_, Vec<usize>> = HashMap::new();
    let slot = |package: String, one: &Verdict| (package, one.claim, one.option.clone());
    for (place, one) in old.iter().enumerate().rev() {
        let slot = slot(package(&one.package), one);
        near.entry(slot.clone()).or_default().push(place);
        exact
            .entry((slot, one.stated.clone()))
            .or_default()
            .push(place);
    }
    // A claim that is stated as before is the same claim; of those left over, one in the same place is taken
    // for the same, stated otherwise.
    let mut matched: Vec<Option<usize>> = new
        .iter()
        .map(|one| {
            let slot = slot(one.package.clone(), one);
            let place = exact.get_mut(&(slot, one.stated.clone()))?.pop()?;
            open[place] = false;
            Some(place)
        })
        .collect();
    for (one, was) in new.iter().zip(&mut matched) {
        if was.is_none() {
            let places = near.get_mut(&slot(one.package.clone(), one));
            *was = places.and_then(|places| {
                places.retain(|place| open[*place]);
                places.pop()
            });
            if let Some(place) = *was {
                open[place] = false;
            }
        }
    }
    let mut changes = Vec::new();
    let mut kept = 0;
    for (place, (one, was)) in new.iter().zip(&matched).enumerate() {
        let before = was.map(|was| &old[was]);
        let Some((shift, direction)) = shift(before, Some(one)) else {
            kept += 1;
            continue;
        };
        kept += usize::from(shift == Shift::Figures);
        changes.push(VerdictChange {
            catalog,
            package: one.package.clone(),
            was: was.map(|was| was + old_from),
            is: Some(place + new_from),
            shift,
            direction,
            cause: None,
        });
    }
    let went = open.iter().enumerate().filter(|(_, open)| **open);
    changes.extend(went.map(|(place, _)| VerdictChange {
        catalog,
        package: package(&old[place].package),
        was: Some(place + old_from),
        is: None,
        shift: Shift::Went,
        direction: Direction::Neither,
        cause: None,
    }));
    (changes, kept)
}

fn shift(was: Option<&Verdict>, is: Option<&Verdict>) -> Option<(Shift, Direction)> {
    match (was, is) {
        (None, Some(is)) => {
            let standing = Standing::of(is);
            let bad = matches!(standing, Standing::Contradicted | Standing::Beyond);
            let direction = if bad {
                Direction::Worse
            } else {
                Direction::Neither
            };
            Some((Shift::Came, direction))
        }
        (Some(was), Some(is)) => {
            let (before, now) = (Standing::of(was), Standing::of(is));
            if before != now {
                return Some((Shift::Turned, direction(before, now)));
            }
            let figures = was.stated != is.stated
                || !same(was.rated, is.rated)
                || !same(was.range.map(|one| one.0), is.range.map(|one| one.0))
                || !same(was.range.map(|one| one.1), is.range.map(|one| one.1));
            figures.then_some((Shift::Figures, Direction::Neither))
        }
        _ => None,
    }
}

fn direction(was: Standing, is: Standing) -> Direction {
    // A promise that was contradicted and can't be judged any more is mended by nothing.
    if (was, is) == (Standing::Contradicted, Standing::NotEvaluated) {
        return Direction::Neither;
    }
    if is.rank() > was.rank() {
        Direction::Worse
    } else {
        Direction::Better
    }
}

fn same(a: Option<f64>, b: Option<f64>) -> bool {
    match (a, b) {
        (Some(a), Some(b)) => a == b || (a - b).abs() <= 1e-9 * a.abs().max(b.abs()),
        (a, b) => a.is_none() && b.is_none(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_worse() {
        use Standing::*;
        for (was, is, expected) in [
            (Supported, Undecided, Direction::Worse),
            (Undecided, Beyond, Direction::Worse),
            (Beyond, Contradicted, Direction::Worse),
            (Supported, NotEvaluated, Direction::Worse),
            (NotEvaluated, Contradicted, Direction::Worse),
            (Contradicted, NotEvaluated, Direction::Neither),
            (Contradicted, Beyond, Direction::Better),
            (NotEvaluated, Undecided, Direction::Better),
        ] {
            assert_eq!(direction(was, is), expected, "{was:?} {is:?}");
        }
    }
}
