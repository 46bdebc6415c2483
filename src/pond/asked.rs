//! The pond in SI, and a catalog at its site.

use std::sync::Arc;

use crate::catalog::pond::PondEntry;
use crate::catalog::{
    Basin, Catalog, Claims, Figure, Given, Package, Plain, RangeEntry, Site, Supply, Text,
};
use crate::claims::Sense;
use crate::claims::water;
use crate::derive::{Way, supply};
use crate::text::{FileId, Span};
use crate::units::{self, Dimension, System, math};

use super::ground::Ground;
use super::layout::Layouts;
use super::survey::Survey;

/// What a pond needs, SI throughout.
#[derive(Debug, Clone)]
pub struct Pond {
    /// What it is called.
    pub title: Option<String>,
    /// Surface, m2.
    pub area: f64,
    /// Greatest depth, m.
    pub depth: f64,
    /// Volume over area, m, where that is known.
    pub mean_depth: Option<f64>,
    /// Shape of the bottom.
    pub basin: Basin,
    /// Length of the airline to each diffuser, m; none where packages are laid as they are sold, or the cabinet's place
    /// tells.
    pub runs: Vec<f64>,
    /// Supply at the cabinet.
    pub supply: Option<Supply>,
    /// Running hours a day.
    pub hours_a_day: Option<f64>,
    /// Distance to the nearest ear, m.
    pub ear: Option<f64>,
    /// Whether it freezes over.
    pub ice: Option<bool>,
    /// First day of running, `YYYY-MM-DD`.
    pub start: Option<String>,
    /// The most that running may cost.
    pub running_cost: Option<Figure>,
    /// The loudest level allowed at the ear.
    pub sound: Option<Figure>,
    /// Oxygen that it must take up.
    pub oxygen_uptake: Option<Figure>,
    /// The units it is described in.
    pub system: System,
    /// Where it lies.
    pub site: Site,
    /// Its water, and where diffusers go in it.
    pub layouts: Arc<Layouts>,
}

/// Something that has to be known of a pond.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lack {
    /// Neither an area nor an outline.
    Area,
    /// A place of the cabinet without an outline that it is a place of.
    Shore,
    /// A place of the cabinet far from any shore.
    FarCabinet,
    /// An area that isn't the outline's.
    TwoAreas,
    /// No depth.
    Depth,
    /// A level without the distance of the ear it is for.
    Ear,
    /// A mean depth beyond the greatest.
    MeanDepth,
    /// A cost without the price of electricity in its currency.
    Tariff,
}

impl Lack {
    /// Where the statement stands that can't be answered; for what isn't stated, the pond's table.
    pub fn at(self, entry: &PondEntry) -> Option<Span> {
        let of = |figure: &Given<Figure>| figure.known().map(|figure| figure.at);
        let own = match self {
            Lack::Area | Lack::Depth => None,
            Lack::Shore | Lack::FarCabinet => entry.cabinet.known().map(|place| place.at),
            Lack::TwoAreas => of(&entry.area),
            Lack::Ear => of(&entry.sound),
            Lack::MeanDepth => of(&entry.mean_depth),
            Lack::Tariff => of(&entry.running_cost),
        };
        own.or(entry.at)
    }
}

impl std::fmt::Display for Lack {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Lack::Area => {
                "the pond's area is missing: give `area` in the pond file, or --area \"1200 m2\""
            }
            Lack::Depth => {
                "the pond's greatest depth is missing: give `depth` in the pond file, or --depth \"2 m\""
            }
            Lack::Shore => {
                "the place of the cabinet needs the outline that it is a place of: give `outline` in the pond file, or `run` \
                 instead of the place"
            }
            Lack::FarCabinet => {
                "the place of the cabinet is more than 10 km from the shore: give it as [x, y], in metres or in degrees as the \
                 outline has them"
            }
            Lack::TwoAreas => {
                "the area isn't that of the outline or of the soundings: give one of the two"
            }
            Lack::Ear => {
                "a limit of sound needs the distance of the ear: give `ear` in the pond file, or --ear \"15 m\""
            }
            Lack::MeanDepth => {
                "the mean depth is more than the greatest depth: one of the two is wrong"
            }
            Lack::Tariff => {
                "a limit of cost needs the price of electricity in the same currency: give `tariff` in the pond file, or \
                 --tariff"
            }
        })
    }
}

/// A stated area and that of an outline are the same within this share.
const SAME_AREA: f64 = 0.1;
/// No cabinet stands farther from the shore, m.
const FARTHEST_CABINET: f64 = 10_000.0;

/// What isn't written anywhere has no place.
fn nowhere() -> Span {
    Span::new(FileId(0), 0, 0)
}

/// A quantity with so many digits that the last one leaves nothing open: a promise is read in its favour, but a pond
/// is as deep as it is.
pub(super) fn exact(value: f64, unit: &str) -> Option<Figure> {
    let text = format!("{value:.9} {unit}");
    let quantity = units::read(&text, &[]).quantity?;
    Some(Figure::bare(quantity, nowhere()))
}

/// The same of a figure, at the end of its range that asks for most.
fn strict(figure: &Figure, sense: Sense) -> Figure {
    let unit = figure.quantity.unit();
    let si = match sense {
        Sense::AtLeast => figure.high(),
        Sense::AtMost => figure.low(),
    };
    exact(unit.from_si(si), &unit.to_string()).unwrap_or_else(|| figure.clone())
}

impl Pond {
    /// The pond that `entry` states, and `survey` where it has one. The cabinet's place is in metres by then.
    ///
    /// # Errors
    /// What has to be known beside it.
    pub fn of(entry: &PondEntry, survey: Option<&Survey>) -> Result<Pond, Lack> {
        let high = |figure: &Given<Figure>| figure.known().map(Figure::high);
        let si = |figure: &Given<Figure>| figure.known().map(Figure::si);
        let (stated, measured) = (high(&entry.area), survey.map(|survey| survey.area));
        if let (Some(stated), Some(measured)) = (stated, measured)
            && (stated / measured - 1.0).abs() > SAME_AREA
        {
            return Err(Lack::TwoAreas);
        }
        let area = stated.or(measured);
        let depth = high(&entry.depth).or(survey.and_then(|survey| survey.depth));
        let area = area.filter(|area| *area > 0.0).ok_or(Lack::Area)?;
        let depth = depth.filter(|depth| *depth > 0.0).ok_or(Lack::Depth)?;
        let surveyed = survey.and_then(|survey| Some(survey.volume? / survey.area));
        let mean_depth = si(&entry.mean_depth).or(surveyed);
        if mean_depth.is_some_and(|mean| mean > depth) {
            return Err(Lack::MeanDepth);
        }
        let cabinet = entry.cabinet.known().map(|place| place.value);
        if cabinet.is_some() && survey.is_none() {
            return Err(Lack::Shore);
        }
        let far = cabinet
            .zip(survey)
            .map(|(at, survey)| survey.shore.nearest(at).1);
        if far.is_some_and(|far| far > FARTHEST_CABINET) {
            return Err(Lack::FarCabinet);
        }
        let ear = si(&entry.ear);
        let sound = entry
            .sound
            .known()
            .map(|figure| strict(figure, Sense::AtMost));
        if sound.is_some() && ear.is_none() {
            return Err(Lack::Ear);
        }
        let running_cost = entry.running_cost.known().cloned();
        let currency = |figure: &Figure| figure.quantity.unit().currency();
        let tariff = entry.tariff.known();
        if running_cost
            .as_ref()
            .is_some_and(|cost| tariff.and_then(currency) != currency(cost))
        {
            return Err(Lack::Tariff);
        }
        let runs = entry.run.known().into_iter().flatten().map(Figure::si);
        let figures = [&entry.depth, &entry.area]
            .into_iter()
            .filter_map(Given::known);
        let basin = entry.basin();
        let ground = match survey {
            Some(survey) => Ground::of(survey, basin, depth),
            None => Ground::circle(area, basin, depth),
        };
        let mut systems = figures.filter_map(|figure| System::of(figure.quantity.unit()));
        Ok(Pond {
            title: entry.title.known().map(|title| title.text.clone()),
            area,
            depth,
            mean_depth,
            basin,
            runs: runs.collect(),
            supply: entry.supply.known().cloned(),
            hours_a_day: entry.hours_per_day.known().map(|hours| hours.value),
            ear,
            ice: entry.ice.known().map(|ice| ice.value),
            start: entry.start.known().map(|day| day.text.clone()),
            running_cost,
            sound,
            oxygen_uptake: entry
                .oxygen_uptake
                .known()
                .map(|figure| strict(figure, Sense::AtLeast)),
            system: systems.next().unwrap_or(System::Metric),
            site: Site {
                altitude: entry.altitude.clone(),
                air: entry.air.clone(),
                water: entry.water.clone(),
                basin: entry.basin.clone(),
                shape: entry.shape.clone(),
                hours_per_day: entry.hours_per_day.clone(),
                tariff: entry.tariff.clone(),
            },
            layouts: Arc::new(Layouts::new(ground, cabinet)),
        })
    }

    /// The length that is stated for a run, m, by its number: the last counts for the rest.
    pub fn stated_run(&self, number: usize) -> Option<f64> {
        self.runs.get(number).or(self.runs.last()).copied()
    }

    /// `catalog` at the pond's site, every package promising what the pond needs.
    pub fn put_to(&self, mut catalog: Catalog) -> Catalog {
        catalog.site = self.site.clone();
        catalog.ranges.extend(self.known_mean_depth());
        let fed: Vec<bool> = catalog
            .packages
            .iter()
            .map(|package| self.may_choose_supply(&catalog, package))
            .collect();
        let claims = self.claims();
        for (package, fed) in catalog.packages.iter_mut().zip(fed) {
            package.claims = claims.clone();
            if let Given::Known(hours) = &self.site.hours_per_day {
                package.hours_per_day = Given::Known(*hours);
            }
            if let Some(supply) = self.supply.as_ref().filter(|_| fed) {
                package.supply = Given::Known(supply.clone());
            }
        }
        catalog
    }

    /// The part of the pond that each of `count` alike packages serves: as deep, of so much less area, oxygen and
    /// cost, and so much quieter that all together are no louder.
    pub(super) fn shared_by(&self, count: u32) -> Pond {
        let share = 1.0 / f64::from(count);
        let of = |figure: &Figure, si: f64| {
            let unit = figure.quantity.unit();
            exact(unit.from_si(si), &unit.to_string()).unwrap_or_else(|| figure.clone())
        };
        let mut part = self.clone();
        part.area *= share;
        part.running_cost = self
            .running_cost
            .as_ref()
            .map(|most| of(most, most.low() * share));
        part.oxygen_uptake = self
            .oxygen_uptake
            .as_ref()
            .map(|least| of(least, least.high() * share));
        let quieter = 10.0 * math::log10(f64::from(count));
        part.sound = self
            .sound
            .as_ref()
            .map(|most| of(most, most.low() - quieter));
        part
    }

    /// What the pond needs, as a package would promise it.
    pub(super) fn claims(&self) -> Claims {
        let rows =
            |figure: Option<Figure>| figure.map_or(Given::Absent, |row| Given::Known(vec![row]));
        let sound = self
            .sound
            .clone()
            .zip(self.ear)
            .and_then(|(mut sound, ear)| {
                sound.conditions.distance = Some(Box::new(exact(ear, "m")?));
                Some(sound)
            });
        Claims {
            depth: rows(exact(self.depth, "m")),
            area: rows(exact(self.area, "m2")),
            sound: rows(sound),
            oxygen_uptake: rows(self.oxygen_uptake.clone()),
            ..Claims::default()
        }
    }

    /// The range of the mean depth that a known one leaves: none.
    fn known_mean_depth(&self) -> Option<RangeEntry> {
        let ratio = self.mean_depth? / self.depth;
        let number = || {
            Given::Known(Plain {
                value: ratio,
                at: nowhere(),
            })
        };
        let text = |text: &str| Text {
            text: text.to_string(),
            at: nowhere(),
        };
        Some(RangeEntry {
            name: text(water::mean_depth(self.basin).as_str()),
            low: number(),
            central: number(),
            high: number(),
            source: Given::Known(text("the pond's own mean depth")),
        })
    }

    /// Whether a package leaves its supply to the buyer, and all of its machines run on the pond's.
    fn may_choose_supply(&self, catalog: &Catalog, package: &Package) -> bool {
        let Some(on) = &self.supply else { return false };
        let mut offers = supply::offers(package);
        package.supply.is_absent()
            && offers.all(|way| {
                let mut machines = supply::machines(catalog, package, way).into_iter();
                way.supply(package).is_absent()
                    && machines.all(|part| supply::nearest(part, on).is_some())
            })
    }

    /// Whether a way runs on the pond's supply; nothing where either isn't known.
    pub(super) fn runs(&self, catalog: &Catalog, package: &Package, way: Way) -> Option<bool> {
        let on = self.supply.as_ref()?;
        match way.supply(package) {
            Given::Known(chosen) => Some(supply::runs_on(chosen, on)),
            Given::Unreadable => None,
            Given::Absent => {
                let machines = supply::machines(catalog, package, way);
                let mut machines = machines.iter();
                (machines.len() > 0)
                    .then(|| machines.all(|part| supply::nearest(part, on).is_some()))
            }
        }
    }

    /// Price of a kilowatt-hour and its currency.
    pub(super) fn tariff(&self) -> Option<(f64, String)> {
        let tariff = self.site.tariff.known()?;
        let currency = tariff.quantity.unit().currency()?.code().to_string();
        (tariff.dimension() == Dimension::MoneyPerEnergy).then(|| (tariff.si() * 3.6e6, currency))
    }
}
