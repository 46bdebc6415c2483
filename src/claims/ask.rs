//! What to ask whom: for each claim that isn't settled, the one document or measurement that would settle
//! it.
//!
//! A range that decides has somebody who can narrow it; a fact that is missing has somebody who knows it.
//! Who that is is common practice, no source.

use crate::assumptions::Name;

use super::{Outcome, Verdict};

/// Who could supply something.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Supplier {
    /// Who makes the part.
    Maker,
    /// Who lays the lines and tries the package.
    Installer,
    /// Whose pond it is.
    PondOwner,
    /// Who sells the electricity.
    Utility,
    /// Who writes the catalog.
    Seller,
}

impl Supplier {
    /// Everybody, in the order of the list.
    pub const ALL: [Supplier; 5] = [
        Supplier::Maker,
        Supplier::Installer,
        Supplier::PondOwner,
        Supplier::Utility,
        Supplier::Seller,
    ];

    /// As a heading has it.
    pub fn words(self) -> &'static str {
        match self {
            Supplier::Maker => "the maker of the part",
            Supplier::Installer => "the installer",
            Supplier::PondOwner => "the owner of the pond",
            Supplier::Utility => "the electricity supplier",
            Supplier::Seller => "whoever writes the catalog",
        }
    }

    /// For a program.
    pub fn as_str(self) -> &'static str {
        match self {
            Supplier::Maker => "maker",
            Supplier::Installer => "installer",
            Supplier::PondOwner => "pond-owner",
            Supplier::Utility => "utility",
            Supplier::Seller => "seller",
        }
    }
}

/// A document or measurement, and what it would settle.
#[derive(Debug, Clone, PartialEq)]
pub struct Ask {
    /// Who could supply it.
    pub of: Supplier,
    /// What it is, as a noun with its article.
    pub what: String,
    /// The range it narrows, or the fact it states.
    pub about: String,
    /// The verdicts it would settle, by their place among those handed in.
    pub settles: Vec<usize>,
}

/// The list for `verdicts`: one entry for each document, by who could supply it, then by how much it
/// settles.
pub fn list(verdicts: &[Verdict]) -> Vec<Ask> {
    let mut asks: Vec<Ask> = Vec::new();
    for (place, verdict) in verdicts.iter().enumerate() {
        let Some((of, what, about)) = wanted(verdict) else {
            continue;
        };
        let same = |ask: &&mut Ask| ask.of == of && ask.what == what && ask.about == about;
        match asks.iter_mut().find(same) {
            Some(ask) => ask.settles.push(place),
            None => asks.push(Ask {
                of,
                what,
                about,
                settles: vec![place],
            }),
        }
    }
    // A stable sort: of equals the first in the catalog stays first.
    asks.sort_by_key(|ask| (ask.of, std::cmp::Reverse(ask.settles.len())));
    asks
}

/// Who is to be asked for what about a claim, and which range or fact that is.
fn wanted(verdict: &Verdict) -> Option<(Supplier, String, String)> {
    match verdict.outcome {
        Outcome::Supported | Outcome::Contradicted => None,
        Outcome::NotEvaluated => {
            let missing = verdict
                .missing
                .as_ref()
                .filter(|one| one.can_be_asked_for());
            let fact = &missing?.fact;
            Some((who_knows(fact), fact.clone(), fact.clone()))
        }
        Outcome::Undecided => {
            let by = verdict.decision.as_ref()?.by.as_str();
            let (of, what) = match by {
                "tariff" => (Supplier::Utility, "the tariff sheet or a recent bill"),
                name => by_range(Name::parse(name)?),
            };
            Some((of, what.to_string(), by.to_string()))
        }
    }
}

/// Who can narrow a range, and with what.
fn by_range(name: Name) -> (Supplier, &'static str) {
    use Supplier::{Installer, Maker, PondOwner};
    match name {
        Name::CurveTolerance => (
            Maker,
            "a test report of a machine as delivered: its flow at the working pressure",
        ),
        Name::StatedRange => (
            Maker,
            "the watts or the level of the machine itself, in place of the range that its series states",
        ),
        Name::PlateBound => (
            Maker,
            "the machine's curve: its flow at several pressures, up to the one at which none is left",
        ),
        Name::DiffuserLoss => (
            Maker,
            "the pressure the diffuser takes when wet, measured at its working flow, with the spread between pieces",
        ),
        Name::DiffuserLossDefault => (
            Maker,
            "the pressure the diffuser takes when wet, at two flows or more (`loss`)",
        ),
        Name::CheckValveOpening => (Maker, "the pressure that opens the check valve (`opening`)"),
        Name::BarbsPerLine => (
            Installer,
            "a list of the ends and fittings in each line as it is laid",
        ),
        Name::Bore | Name::BoreNominal => (
            Maker,
            "the inside diameter of the airline as measured, with its tolerance",
        ),
        Name::Friction => (
            Installer,
            "a reading of the gauge at the manifold, with the lines laid and the machine at work",
        ),
        Name::AltitudeModel => (Maker, "the machine's curve at the altitude of the site"),
        Name::Humidity => (
            Installer,
            "temperature and humidity where the machine draws its air",
        ),
        Name::InletRise => (
            Maker,
            "the cabinet's fan flow (`fan_flow`), or how warm it gets inside",
        ),
        Name::LeastFlowFine | Name::LeastFlowCoarse => (
            Maker,
            "the diffuser's working range: its least and its most air (`flow`)",
        ),
        Name::Entrainment
        | Name::BubbleSpread
        | Name::SlipVelocity
        | Name::MomentumAmplification => (
            Installer,
            "a measurement of the water that one diffuser lifts at a known depth and flow, by current meter or dye",
        ),
        Name::SourceRadius => (
            Maker,
            "the radius from which the diffuser's bubbles start (`source_radius`)",
        ),
        Name::ReachPerDepth | Name::RimSpeed => (
            Installer,
            "a dye test of how far one diffuser stirs, with the depth it lay at",
        ),
        Name::Coverage | Name::DiffuserDepth => (
            Installer,
            "a plan of the pond with the diffusers in it, and the depth of each",
        ),
        Name::MeanDepthBowl | Name::MeanDepthCone | Name::MeanDepthFlat => (
            PondOwner,
            "soundings of the pond on a grid, for its mean depth",
        ),
        Name::TurnoversNeeded | Name::MixingAir => (
            PondOwner,
            "a summer's profiles of temperature and oxygen over the depth, with the package running",
        ),
        Name::TransferFine | Name::TransferCoarse => (
            Maker,
            "a clean-water oxygen transfer test of the diffuser, with depth and flow",
        ),
        Name::Alpha | Name::Beta => (PondOwner, "an oxygen transfer test in the pond's own water"),
        Name::Fouling => (
            Maker,
            "an oxygen transfer test of a diffuser that has been at work for a season",
        ),
        Name::OxygenTarget => (
            PondOwner,
            "a word on the least oxygen that is to be kept, and for which fish",
        ),
        Name::AirPathEfficiency => (
            Maker,
            "the temperature of the air behind the machine at the working pressure",
        ),
        Name::CabinetReduction => (
            Maker,
            "the sound level of the machine with and without its cabinet, at one distance",
        ),
        Name::SoundTolerance => (
            Maker,
            "the sound level measured at the claimed distance, with its uncertainty",
        ),
        Name::WornDiffuserLoss
        | Name::WornCurve
        | Name::WornFilter
        | Name::LowVoltage
        | Name::SagWater => (
            Installer,
            "a reading of the gauge at the manifold after a season at work",
        ),
    }
}

/// Who knows a fact that the catalog doesn't state: what is measured of a part its maker, what is paid the
/// supplier, and what a promise is made of whoever makes it.
fn who_knows(fact: &str) -> Supplier {
    const MEASURED: [&str; 7] = [
        "the curve of",
        "the power of",
        "the loss of",
        "the sound level of",
        "the current of",
        "the voltage of",
        "the distance at which",
    ];
    if MEASURED.iter().any(|measured| fact.starts_with(measured)) {
        Supplier::Maker
    } else if fact.contains("price of electricity") {
        Supplier::Utility
    } else {
        Supplier::Seller
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_fact_is_known_to_somebody() {
        for (fact, who) in [
            ("the curve of compressor linear-38", Supplier::Maker),
            ("a price of electricity in EUR", Supplier::Utility),
            ("the price of electricity", Supplier::Utility),
            (
                "the distance at which compressor x is heard",
                Supplier::Maker,
            ),
            ("the depth", Supplier::Seller),
        ] {
            assert_eq!(who_knows(fact), who, "{fact}");
        }
    }
}
