//! Which of its supplies a compressor runs on in a package.

use crate::catalog::{Catalog, Compressor, Current, Figure, Given, Package, Supply};

use super::missing::Missing;
use super::way::Way;

/// The supply a compressor is listed on, and its others.
pub fn all(part: &Compressor) -> impl Iterator<Item = &Supply> {
    std::iter::once(&part.supply).chain(&part.variants)
}

/// Whether it is the supply a compressor is listed on: open flow and rated flow are of that one.
pub fn is_first(part: &Compressor, supply: &Supply) -> bool {
    std::ptr::eq(&part.supply, supply)
}

/// Hertz of a supply: 0 for direct current, nothing where it isn't known.
pub fn hertz(supply: &Supply) -> Option<f64> {
    match supply.kind {
        Current::Direct => Some(0.0),
        _ => supply.frequency.known().map(Figure::si),
    }
}

/// Between one phase and earth no public supply has more volts than this and its tolerance.
const MOST_ON_ONE_PHASE: f64 = 300.0;

/// Whether a supply has three phases; nothing where only its volts hint at it.
pub fn is_three_phase(supply: &Supply) -> Option<bool> {
    match supply.kind {
        Current::ThreePhase => Some(true),
        Current::Direct => Some(false),
        Current::Alternating => {
            let volts = supply.voltage.known().map(Figure::si)?;
            (volts <= MOST_ON_ONE_PHASE).then_some(false)
        }
    }
}

/// Least and most that the product of volts and amperes is to be taken times: between two of three phases it is
/// the square root of 3.
pub fn phase_factor(supply: &Supply) -> (f64, f64) {
    let three = 3f64.sqrt();
    match is_three_phase(supply) {
        Some(true) => (three, three),
        Some(false) => (1.0, 1.0),
        None => (1.0, three),
    }
}

/// A supply as a sentence has it.
pub fn words(supply: &Supply) -> String {
    let text = |given: &Given<Figure>| {
        let figure = given.known();
        figure.map_or("an unknown".to_string(), |figure| figure.text().to_string())
    };
    match supply.kind {
        Current::Direct => format!("{} direct current", text(&supply.voltage)),
        Current::Alternating => {
            format!("{} at {}", text(&supply.voltage), text(&supply.frequency))
        }
        Current::ThreePhase => format!(
            "{} at {}, three-phase",
            text(&supply.voltage),
            text(&supply.frequency)
        ),
    }
}

/// Whether two supplies can be one: the same frequency and phases, and 110 to 127 V apart from 200 to 240 V.
/// What isn't known keeps nothing apart.
fn can_be_one(one: &Supply, other: &Supply) -> bool {
    let phases = is_three_phase(one).zip(is_three_phase(other));
    same_frequency(one, other)
        && phases.is_none_or(|(a, b)| a == b)
        && class(one, 1.0)
            .zip(class(other, 1.0))
            .is_none_or(|(a, b)| a == b)
}

/// Whether what is made for one phase runs on `three`, between two of its phases or between one and neutral.
fn runs_on_a_phase(own: &Supply, three: &Supply) -> bool {
    let one_phase = own.kind == Current::Alternating && is_three_phase(own) == Some(false);
    let has_three = is_three_phase(three) != Some(false);
    let fits = |times: f64| class(own, 1.0).zip(class(three, times));
    one_phase
        && has_three
        && same_frequency(own, three)
        && [1.0, 1.0 / 3f64.sqrt()]
            .into_iter()
            .any(|times| fits(times).is_none_or(|(a, b)| a == b))
}

fn same_frequency(one: &Supply, other: &Supply) -> bool {
    let frequencies = hertz(one).zip(hertz(other));
    frequencies.is_none_or(|(a, b)| (a - b).abs() <= 0.05 * a.max(b))
}

/// Voltages that go by one name, from `times` the supply's volts.
fn class(supply: &Supply, times: f64) -> Option<i64> {
    let volts = supply.voltage.known().map(Figure::si)? * times;
    Some(match supply.kind {
        Current::Direct => (volts / 12.0).round() as i64,
        _ => i64::from(volts > 150.0) + i64::from(volts > MOST_ON_ONE_PHASE),
    })
}

/// Whether what is made for `own` runs on `on`, or on one of its phases.
pub fn runs_on(own: &Supply, on: &Supply) -> bool {
    can_be_one(own, on) || runs_on_a_phase(own, on)
}

/// The supply of a compressor that is `on`, or that `on` gives with one of its phases; by volts the nearest.
pub fn nearest<'c>(part: &'c Compressor, on: &Supply) -> Option<&'c Supply> {
    let apart = |supply: &Supply| {
        let volts = supply
            .voltage
            .known()
            .zip(on.voltage.known())
            .map(|(own, on)| (own.si() - on.si()).abs());
        volts.unwrap_or(0.0)
    };
    let same = all(part).filter(|own| can_be_one(own, on));
    let nearest = same.min_by(|a, b| apart(a).total_cmp(&apart(b)));
    nearest.or_else(|| all(part).find(|own| runs_on_a_phase(own, on)))
}

/// The first supply of `parts` that all of them have.
pub fn shared<'c>(parts: &[&'c Compressor]) -> Option<&'c Supply> {
    parts
        .iter()
        .flat_map(|part| all(part))
        .find(|on| parts.iter().all(|part| nearest(part, on).is_some()))
}

/// The compressors of a way, as far as they are known.
pub fn machines<'c>(
    catalog: &'c Catalog,
    package: &'c Package,
    way: Way<'c>,
) -> Vec<&'c Compressor> {
    let uses = way.compressors(package).known().into_iter().flatten();
    uses.filter_map(|one| catalog.compressors.get(&one.part.id))
        .collect()
}

/// The supply on which a compressor of a way runs: the one the way or package is sold for, else the first that
/// all of its compressors have.
///
/// # Errors
/// A supply that can't be read, or that the compressor hasn't; `power.supply` says so.
pub fn of<'c>(
    catalog: &'c Catalog,
    package: &'c Package,
    way: Way<'c>,
    part: &'c Compressor,
) -> Result<&'c Supply, Missing> {
    match way.supply(package) {
        Given::Known(chosen) => nearest(part, chosen).ok_or_else(|| {
            let fact = format!("compressor {} for {}", part.entry.id, words(chosen));
            Missing::unusable(fact, chosen.at).of_key("supply")
        }),
        Given::Unreadable => Err(Missing::unusable("the supply", None).of_key("supply")),
        Given::Absent => {
            let on = shared(&machines(catalog, package, way));
            Ok(on.and_then(|on| nearest(part, on)).unwrap_or(&part.supply))
        }
    }
}

/// What may choose a supply: each option, or the package without any.
pub fn offers(package: &Package) -> impl Iterator<Item = Way<'_>> {
    let own = package.options.is_empty().then_some(Way::Own);
    own.into_iter()
        .chain(package.options.iter().map(Way::Supplied))
}

/// The supplies for which a compressor is sold in a package: those its ways choose, and all of them where one
/// chooses none.
pub fn sold<'c>(package: &'c Package, part: &'c Compressor) -> Vec<&'c Supply> {
    let chosen = offers(package).map(|way| way.supply(package).known());
    let chosen: Option<Vec<&Supply>> = chosen.collect();
    match chosen.filter(|chosen| !chosen.is_empty()) {
        None => all(part).collect(),
        Some(chosen) => all(part)
            .filter(|own| {
                let is = |on: &&Supply| nearest(part, on).is_some_and(|it| std::ptr::eq(it, *own));
                chosen.iter().any(is)
            })
            .collect(),
    }
}

/// `fact` with the supply it is of, where that isn't the first.
pub fn of_supply(fact: String, part: &Compressor, supply: &Supply) -> String {
    if is_first(part, supply) {
        fact
    } else {
        format!("{fact} on {}", words(supply))
    }
}
