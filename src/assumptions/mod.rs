//! The ranges the verdicts stand on, as data, and the rating basis beside them.
//!
//! A *range* is something no catalog can know: how far a diffuser reaches, how much a
//! coil of line costs. Each has an end unfavourable to a promise, a central value and a
//! favourable end, a source and a [`Mark`]. All of them stand in `ranges.toml`; a catalog
//! may replace one with a source of its own.
//!
//! The *rating basis* ([`Rating`]) is no range but a declared set of values, as a plate
//! states its rating conditions.
//!
//! Nothing is used here; who uses a range decides which end is its bad one for the
//! question at hand.

use std::sync::LazyLock;

use serde::Deserialize;

use crate::units::Mark;

/// Names the ranges once, for the type and for the data file.
macro_rules! names {
    ($($variant:ident = $name:literal),* $(,)?) => {
        /// The name of a range.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        #[allow(missing_docs, reason = "each is described by `what` in ranges.toml")]
        pub enum Name { $($variant),* }

        impl Name {
            /// Every name, in the order of the data file.
            pub const ALL: &'static [Name] = &[$(Name::$variant),*];

            /// As a catalog writes it.
            pub fn as_str(self) -> &'static str {
                match self { $(Name::$variant => $name),* }
            }
        }
    };
}

names! {
    CurveTolerance = "curve-tolerance",
    DiffuserLoss = "diffuser-loss",
    DiffuserLossDefault = "diffuser-loss-default",
    CheckValveOpening = "check-valve-opening",
    BarbsPerLine = "barbs-per-line",
    Bore = "bore",
    BoreNominal = "bore-nominal",
    Friction = "friction",
    AltitudeModel = "altitude-model",
    PlateBound = "plate-bound",
    StatedRange = "stated-range",
    Humidity = "humidity",
    InletRise = "inlet-rise",
    LeastFlowFine = "least-flow-fine",
    LeastFlowCoarse = "least-flow-coarse",
    Entrainment = "entrainment",
    BubbleSpread = "bubble-spread",
    SlipVelocity = "slip-velocity",
    MomentumAmplification = "momentum-amplification",
    SourceRadius = "source-radius",
    ReachPerDepth = "reach-per-depth",
    Coverage = "coverage",
    RimSpeed = "rim-speed",
    DiffuserDepth = "diffuser-depth",
    MeanDepthBowl = "mean-depth-bowl",
    MeanDepthCone = "mean-depth-cone",
    MeanDepthFlat = "mean-depth-flat",
    TurnoversNeeded = "turnovers-needed",
    MixingAir = "mixing-air",
    TransferFine = "transfer-fine",
    TransferCoarse = "transfer-coarse",
    Alpha = "alpha",
    Beta = "beta",
    Fouling = "fouling",
    OxygenTarget = "oxygen-target",
    AirPathEfficiency = "air-path-efficiency",
    CabinetReduction = "cabinet-reduction",
    SoundTolerance = "sound-tolerance",
    WornDiffuserLoss = "worn-diffuser-loss",
    WornCurve = "worn-curve",
    WornFilter = "worn-filter",
    LowVoltage = "low-voltage",
    SagWater = "sag-water",
}

/// Ranges that had another name, before and now: catalogs that use the old one stay valid.
const RENAMED: &[(&str, &str)] = &[("slip", "slip-velocity")];

impl Name {
    /// The range of that name, or of one that it had before.
    pub fn parse(name: &str) -> Option<Name> {
        let renamed = RENAMED.iter().find(|(before, _)| *before == name);
        let name = renamed.map_or(name, |(_, now)| now);
        Name::ALL.iter().copied().find(|n| n.as_str() == name)
    }
}

impl std::fmt::Display for Name {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.as_str())
    }
}

/// Which value of a range.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum End {
    /// The end that is bad for a promise.
    Unfavourable,
    /// The best single value.
    Central,
    /// The end that is good for a promise.
    Favourable,
}

impl End {
    /// The other end.
    pub const fn other(self) -> End {
        match self {
            End::Unfavourable => End::Favourable,
            End::Central => End::Central,
            End::Favourable => End::Unfavourable,
        }
    }
}

/// An end for each range.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Ends([End; Name::ALL.len()]);

impl std::ops::Index<Name> for Ends {
    type Output = End;
    fn index(&self, name: Name) -> &End {
        &self.0[name as usize]
    }
}

impl Ends {
    /// Everything at its central value.
    pub const CENTRAL: Ends = Ends::all(End::Central);
    /// Everything against a promise.
    pub const UNFAVOURABLE: Ends = Ends::all(End::Unfavourable);
    /// Everything for a promise.
    pub const FAVOURABLE: Ends = Ends::all(End::Favourable);

    /// The same end for every range.
    pub const fn all(end: End) -> Ends {
        Ends([end; Name::ALL.len()])
    }

    /// The same, but for `names`, which are at `end`.
    #[must_use]
    pub const fn but(mut self, names: &[Name], end: End) -> Ends {
        let mut at = 0;
        while at < names.len() {
            self.0[names[at] as usize] = end;
            at += 1;
        }
        self
    }

    /// Every range at its other end.
    #[must_use]
    pub const fn other(mut self) -> Ends {
        let mut at = 0;
        while at < self.0.len() {
            self.0[at] = self.0[at].other();
            at += 1;
        }
        self
    }
}

/// One range.
#[derive(Debug, Clone, PartialEq)]
pub struct Assumption {
    /// Its name.
    pub name: Name,
    /// The end that is bad for a promise.
    pub unfavourable: f64,
    /// The best single value.
    pub central: f64,
    /// The end that is good for a promise.
    pub favourable: f64,
    /// Unit of the three; empty for a plain number.
    pub unit: String,
    /// What no measurement could leave: judgement, and no range of a catalog goes beyond it.
    pub possible: [f64; 2],
    /// How its centre is known.
    pub mark: Mark,
    /// How its unfavourable and its favourable end are known.
    pub end_marks: (Mark, Mark),
    /// Whether more of it favours a promise.
    pub more_favours: bool,
    /// Past this value a published range is this project's judgement.
    pub judgement_beyond: Option<f64>,
    /// Author, year, place; or what it was judged on.
    pub source: String,
    /// What it is, in half a sentence.
    pub what: String,
    /// Whether a catalog may replace it.
    pub fixed: bool,
    /// Whether a catalog did.
    pub replaced: bool,
}

impl Assumption {
    /// The value at `end`.
    pub fn at(&self, end: End) -> f64 {
        match end {
            End::Unfavourable => self.unfavourable,
            End::Central => self.central,
            End::Favourable => self.favourable,
        }
    }

    /// Whether a measurement could give such a range.
    pub fn could_be(&self, low: f64, high: f64) -> bool {
        let [least, most] = self.possible;
        least <= low && high <= most
    }

    /// The lesser of the two ends.
    pub fn low(&self) -> f64 {
        self.unfavourable.min(self.favourable)
    }

    /// The greater of the two ends.
    pub fn high(&self) -> f64 {
        self.unfavourable.max(self.favourable)
    }

    /// How `value` of this range is known: judgement past `judgement_beyond`, on either side of the centre
    /// as that end is.
    pub fn mark_at(&self, value: f64) -> Mark {
        let to_favour = |from: f64| {
            if self.more_favours {
                value - from
            } else {
                from - value
            }
        };
        match self.judgement_beyond {
            Some(limit) if to_favour(limit) > 0.0 => Mark::Judgement,
            _ if to_favour(self.central) > 0.0 => self.end_marks.1,
            _ if to_favour(self.central) < 0.0 => self.end_marks.0,
            _ => self.mark,
        }
    }
}

/// What a catalog puts in place of a built-in range.
#[derive(Debug, Clone, PartialEq)]
pub struct Replacement {
    /// Which range.
    pub name: Name,
    /// Numerically lower end.
    pub low: f64,
    /// Central value.
    pub central: f64,
    /// Numerically higher end.
    pub high: f64,
    /// Where it comes from; a range without a source isn't taken.
    pub source: String,
}

/// One value for each range: what one calculation assumes.
#[derive(Debug, Clone, PartialEq)]
pub struct Values([f64; Name::ALL.len()]);

impl std::ops::Index<Name> for Values {
    type Output = f64;
    fn index(&self, name: Name) -> &f64 {
        &self.0[name as usize]
    }
}

impl Values {
    /// The same with `name` at `value`.
    #[must_use]
    pub fn with(mut self, name: Name, value: f64) -> Values {
        self.0[name as usize] = value;
        self
    }
}

/// All ranges, with a catalog's replacements in place.
#[derive(Debug, Clone, PartialEq)]
pub struct Assumptions {
    all: Vec<Assumption>,
    /// The same as [`Values`]: every range at its unfavourable end, centre and favourable end. A
    /// corner is asked for again and again, and a row is mostly words.
    ends: [Values; 3],
}

impl std::ops::Index<Name> for Assumptions {
    type Output = Assumption;
    fn index(&self, name: Name) -> &Assumption {
        &self.all[name as usize]
    }
}

impl Assumptions {
    /// The built-in ranges.
    pub fn builtin() -> &'static Assumptions {
        static BUILTIN: LazyLock<Assumptions> = LazyLock::new(|| read(include_str!("ranges.toml")));
        &BUILTIN
    }

    /// The built-in ranges with `replacements`; one of a fixed range is left out.
    pub fn with(replacements: &[Replacement]) -> Assumptions {
        let mut rows = Assumptions::builtin().all.clone();
        for new in replacements {
            let old = &mut rows[new.name as usize];
            if old.fixed {
                continue;
            }
            // The names of the ends stay; which number is which follows the built-in row.
            let (least, most) = (new.low, new.high);
            (old.unfavourable, old.favourable) = if old.more_favours {
                (least, most)
            } else {
                (most, least)
            };
            old.central = new.central;
            old.source = new.source.clone();
            old.mark = Mark::Stated;
            old.end_marks = (Mark::Stated, Mark::Stated);
            old.judgement_beyond = None;
            old.replaced = true;
        }
        Assumptions::of(rows)
    }

    /// Of the rows, in the order of the data file.
    fn of(all: Vec<Assumption>) -> Assumptions {
        let ends = [End::Unfavourable, End::Central, End::Favourable];
        let ends = ends.map(|end| Values(std::array::from_fn(|i| all[i].at(end))));
        Assumptions { all, ends }
    }

    /// All ranges, in the order of the data file.
    pub fn iter(&self) -> impl Iterator<Item = &Assumption> {
        self.all.iter()
    }

    /// Every range at its central value.
    pub fn central(&self) -> Values {
        self.ends[End::Central as usize].clone()
    }

    /// Every range at its own of `ends`.
    pub fn ends(&self, ends: &Ends) -> Values {
        let mut values = self.central();
        for (at, (value, &end)) in values.0.iter_mut().zip(&ends.0).enumerate() {
            *value = self.ends[end as usize].0[at];
        }
        values
    }
}

/// The declared basis on which capacities are rated and packages compared.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rating {
    /// Share of the stirred circles that counts as pond: all of it, as the trade counts circles as area.
    pub coverage: f64,
    /// Oxygen taken up in clean water for each foot of depth, %: top of the published range, for fine and
    /// for coarse bubbles.
    pub transfer: (f64, f64),
    /// Radius a diffuser is rated to stir, in depths. 7: top of the published range; it makes the
    /// trade's eighth of an acre a diffuser at 6 ft.
    pub reach_per_depth: f64,
    /// Turnovers of the pond's volume a day.
    pub turnovers_per_day: f64,
    /// Air that keeps a pond of 3 m or more mixed, scfm/acre.
    pub mixing_air: f64,
    /// Share of the flow that a run may cost, %.
    pub line_loss: f64,
}

impl Default for Rating {
    fn default() -> Self {
        Rating {
            coverage: 1.0,
            transfer: (3.0, 1.0),
            reach_per_depth: 7.0,
            turnovers_per_day: 1.0,
            mixing_air: 1.3,
            line_loss: 15.0,
        }
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    range: Vec<Row>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    name: String,
    unfavourable: f64,
    central: f64,
    favourable: f64,
    unit: String,
    possible: Option<[f64; 2]>,
    mark: RowMark,
    source: String,
    what: String,
    judgement_beyond: Option<f64>,
    mark_unfavourable: Option<RowMark>,
    mark_favourable: Option<RowMark>,
    favours: Option<Favours>,
    #[serde(default)]
    fixed: bool,
}

#[derive(Deserialize, Clone, Copy, PartialEq)]
#[serde(rename_all = "lowercase")]
enum Favours {
    More,
    Less,
}

#[derive(Deserialize, Clone, Copy)]
enum RowMark {
    #[serde(rename = "exact")]
    Exact,
    #[serde(rename = "published")]
    Published,
    #[serde(rename = "from memory")]
    FromMemory,
    #[serde(rename = "common practice")]
    CommonPractice,
    #[serde(rename = "judgement")]
    Judgement,
}

impl From<RowMark> for Mark {
    fn from(mark: RowMark) -> Mark {
        match mark {
            RowMark::Exact => Mark::Exact,
            RowMark::Published => Mark::Published,
            RowMark::FromMemory => Mark::FromMemory,
            RowMark::CommonPractice => Mark::CommonPractice,
            RowMark::Judgement => Mark::Judgement,
        }
    }
}

/// Reads the data file, which is part of the program: a fault in it is one of ours, and
/// every test fails at once.
fn read(text: &str) -> Assumptions {
    let file: File = toml::from_str(text).unwrap_or_else(|error| panic!("ranges.toml: {error}"));
    let rows = file.range;
    assert_eq!(rows.len(), Name::ALL.len(), "ranges.toml: number of rows");
    let all = rows
        .into_iter()
        .zip(Name::ALL)
        .map(|(row, &name)| {
            assert_eq!(row.name, name.as_str(), "ranges.toml: order of rows");
            assert!(
                row.favours.is_some() == (row.favourable == row.unfavourable),
                "ranges.toml: `favours` belongs to rows with equal ends ({})",
                row.name
            );
            Assumption {
                name,
                unfavourable: row.unfavourable,
                central: row.central,
                favourable: row.favourable,
                unit: row.unit,
                possible: row.possible.unwrap_or([row.unfavourable, row.favourable]),
                mark: row.mark.into(),
                end_marks: (
                    row.mark_unfavourable.unwrap_or(row.mark).into(),
                    row.mark_favourable.unwrap_or(row.mark).into(),
                ),
                more_favours: row
                    .favours
                    .map_or(row.favourable > row.unfavourable, |favours| {
                        favours == Favours::More
                    }),
                judgement_beyond: row.judgement_beyond,
                source: row.source,
                what: row.what,
                fixed: row.fixed,
                replaced: false,
            }
        })
        .collect();
    Assumptions::of(all)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_data_file_is_read_and_every_centre_lies_between_its_ends() {
        for row in Assumptions::builtin().iter() {
            assert!(
                row.low() <= row.central && row.central <= row.high(),
                "{}",
                row.name
            );
            assert!(
                row.fixed || row.could_be(row.low(), row.high()),
                "{}",
                row.name
            );
            assert!(
                !row.source.is_empty() && !row.what.is_empty(),
                "{}",
                row.name
            );
        }
    }

    #[test]
    fn a_replacement_keeps_which_end_is_the_bad_one() {
        let own = |name| Replacement {
            name,
            low: 1.0,
            central: 2.0,
            high: 3.0,
            source: "own".into(),
        };
        let with = Assumptions::with(&[
            own(Name::ReachPerDepth),
            own(Name::DiffuserLoss),
            own(Name::AltitudeModel),
        ]);
        assert_eq!(with[Name::ReachPerDepth].at(End::Unfavourable), 1.0);
        assert_eq!(with[Name::DiffuserLoss].at(End::Unfavourable), 3.0);
        assert!(!with[Name::AltitudeModel].replaced);
        assert_eq!(with.central()[Name::ReachPerDepth], 2.0);
    }

    #[test]
    fn a_range_with_equal_ends_keeps_its_direction() {
        let own = Replacement {
            name: Name::TurnoversNeeded,
            low: 0.5,
            central: 1.0,
            high: 2.0,
            source: "own".into(),
        };
        let with = Assumptions::with(&[own]);
        assert_eq!(with[Name::TurnoversNeeded].at(End::Unfavourable), 2.0);
        assert_eq!(with[Name::TurnoversNeeded].at(End::Favourable), 0.5);
    }

    #[test]
    fn the_ends_have_marks_of_their_own() {
        let spread = &Assumptions::builtin()[Name::BubbleSpread];
        assert_eq!(spread.mark_at(0.8), Mark::Published);
        assert_eq!(spread.mark_at(0.4), Mark::Judgement);
        assert_eq!(spread.mark_at(1.0), Mark::Judgement);
    }

    #[test]
    fn past_the_published_range_it_is_judgement() {
        let reach = &Assumptions::builtin()[Name::ReachPerDepth];
        assert_eq!(reach.mark_at(6.9), Mark::Published);
        assert_eq!(reach.mark_at(8.0), Mark::Judgement);
    }
}
