//! The keys of a pond file, and the pond that is read from them.
//!
//! The same list makes the options of `nameplate pond`: an option is a key of `[pond]` with hyphens.

use crate::document::Document;
use crate::text::Span;
use crate::units::Dimension as D;

use super::fields::{
    COST, Field, LENGTH, SITE_AIR, SITE_ALTITUDE, SITE_WATER, SOUND, Shape as S, Table, field,
    needed,
};
use super::model::{Basin, Figure, Given, Plain, Supply, Text};
use super::{CatalogFault, read, shape};

/// The root of a pond file.
pub static POND_FILE: Table = Table {
    name: "pond-file",
    says: "a pond that an aerator is sought for",
    fields: &[needed(
        "pond",
        S::One(&POND),
        "the pond",
        "{ area = \"1200 m2\", depth = \"2 m\" }",
    )],
    either: &[],
};

/// The pond.
pub static POND: Table = Table {
    name: "pond",
    says: "its size, its site, and what its owner asks for",
    fields: &[
        field(
            "area",
            S::Quantity(&[D::Area]),
            "surface of the water, unless an outline or soundings give it",
            "\"1200 m2\"",
        ),
        field(
            "outline",
            S::Corners,
            "corners of the shore as [x, y] in metres, or as [longitude, latitude] in degrees, in order around it",
            "[[0, 0], [40, 0], [40, 30], [0, 30]]",
        ),
        field(
            "outline_file",
            S::Text,
            "path, from this file, of a GeoJSON file with the outline, in place of `outline`",
            "\"shore.geojson\"",
        ),
        field(
            "soundings",
            S::Text,
            "path, from this file, of a CSV file of soundings: x and y as the outline has them, and depth in metres",
            "\"soundings.csv\"",
        ),
        field(
            "cabinet",
            S::Place,
            "where the cabinet stands, as [x, y] of the outline: runs are then measured, unless `run` gives them",
            "[12.5, -2]",
        ),
        field(
            "depth",
            S::Quantity(LENGTH),
            "greatest depth, where the diffusers are to lie, unless soundings give it",
            "\"2 m\"",
        ),
        field(
            "mean_depth",
            S::Quantity(LENGTH),
            "volume over area, unless soundings give it; else the basin tells",
            "\"1.1 m\"",
        ),
        field(
            "basin",
            S::Words(&["flat", "bowl", "cone"]),
            "shape of the bottom; bowl unless stated",
            "\"bowl\"",
        ),
        field(
            "shape",
            S::Number,
            "length of the pond over its width; not taken into account unless stated",
            "2.5",
        ),
        SITE_ALTITUDE,
        SITE_AIR,
        SITE_WATER,
        field("ice", S::Flag, "whether it freezes over in winter", "true"),
        field(
            "run",
            S::Quantities(LENGTH),
            "airline from the cabinet to each diffuser: one length for all, or a list; as sold unless stated",
            "[\"20 m\", \"35 m\"]",
        ),
        field(
            "supply",
            S::Supply,
            "electrical supply at the cabinet",
            "\"230 V 50 Hz\"",
        ),
        field(
            "tariff",
            S::Quantity(&[D::MoneyPerEnergy]),
            "price of electricity",
            "\"0.31 EUR/kWh\"",
        ),
        field(
            "running_cost",
            S::Quantity(COST),
            "the most that running may cost",
            "\"20 EUR/month\"",
        ),
        field(
            "hours_per_day",
            S::Number,
            "running hours a day; as the package says unless stated, else 24",
            "24",
        ),
        field(
            "ear",
            S::Quantity(LENGTH),
            "distance from the cabinet to the nearest ear",
            "\"15 m\"",
        ),
        field(
            "sound",
            S::Quantity(SOUND),
            "the loudest level allowed at that ear",
            "\"35 dB(A)\"",
        ),
        field(
            "oxygen_uptake",
            S::Quantity(&[D::MassRate]),
            "oxygen that the water must take up",
            "\"4 kg/d\"",
        ),
        field(
            "start",
            S::Date,
            "first day of running, for a schedule with dates",
            "2027-04-15",
        ),
        field("title", S::Text, "what it is called", "\"Mill pond\""),
        field(
            "notes",
            S::Remark,
            "remarks; not used",
            "\"reeds on the north bank\"",
        ),
        field(
            "own",
            S::Own,
            "the owner's own keys; not used",
            "{ plot = \"C4\" }",
        ),
    ],
    either: &[],
};

/// The keys that are options too.
pub fn options() -> impl Iterator<Item = &'static Field> {
    let is_option = |field: &&Field| {
        !matches!(
            field.key,
            "outline" | "outline_file" | "soundings" | "cabinet" | "notes" | "own"
        )
    };
    POND.fields.iter().filter(is_option)
}

/// A pond as it is stated.
#[derive(Debug, Clone, Default)]
#[allow(missing_docs, reason = "the keys of that name; see the list of fields")]
pub struct PondEntry {
    /// Its table.
    pub at: Option<Span>,
    pub title: Given<Text>,
    pub area: Given<Figure>,
    pub outline: Given<Vec<Plain<[f64; 2]>>>,
    pub outline_file: Given<Text>,
    pub soundings: Given<Text>,
    pub cabinet: Given<Plain<[f64; 2]>>,
    pub depth: Given<Figure>,
    pub mean_depth: Given<Figure>,
    pub basin: Given<Text>,
    pub shape: Given<Plain<f64>>,
    pub altitude: Given<Figure>,
    pub air: Given<Figure>,
    pub water: Given<Figure>,
    pub ice: Given<Plain<bool>>,
    pub run: Given<Vec<Figure>>,
    pub supply: Given<Supply>,
    pub tariff: Given<Figure>,
    pub running_cost: Given<Figure>,
    pub hours_per_day: Given<Plain<f64>>,
    pub ear: Given<Figure>,
    pub sound: Given<Figure>,
    pub oxygen_uptake: Given<Figure>,
    pub start: Given<Text>,
}

impl PondEntry {
    /// Reads the `[pond]` of `document`, and tells what is wrong with it, in the order of the text. `more` faults
    /// than are listed are counted.
    pub fn read(document: &Document) -> ReadPond {
        let (mut faults, more) = shape::check_pond(document);
        let (pond, of_values) = read::pond(document);
        faults.extend(of_values);
        faults.sort_by_key(|fault| fault.at);
        ReadPond { pond, faults, more }
    }

    /// What `over` states, and this where it states nothing.
    #[must_use]
    pub fn under(self, over: PondEntry) -> PondEntry {
        PondEntry {
            // The first is the file's, where there is one.
            at: self.at.or(over.at),
            title: over.title.or_else(self.title),
            area: over.area.or_else(self.area),
            outline: over.outline.or_else(self.outline),
            outline_file: over.outline_file.or_else(self.outline_file),
            soundings: over.soundings.or_else(self.soundings),
            cabinet: over.cabinet.or_else(self.cabinet),
            depth: over.depth.or_else(self.depth),
            mean_depth: over.mean_depth.or_else(self.mean_depth),
            basin: over.basin.or_else(self.basin),
            shape: over.shape.or_else(self.shape),
            altitude: over.altitude.or_else(self.altitude),
            air: over.air.or_else(self.air),
            water: over.water.or_else(self.water),
            ice: over.ice.or_else(self.ice),
            run: over.run.or_else(self.run),
            supply: over.supply.or_else(self.supply),
            tariff: over.tariff.or_else(self.tariff),
            running_cost: over.running_cost.or_else(self.running_cost),
            hours_per_day: over.hours_per_day.or_else(self.hours_per_day),
            ear: over.ear.or_else(self.ear),
            sound: over.sound.or_else(self.sound),
            oxygen_uptake: over.oxygen_uptake.or_else(self.oxygen_uptake),
            start: over.start.or_else(self.start),
        }
    }

    /// Shape of the bottom: a bowl unless stated.
    pub fn basin(&self) -> Basin {
        Basin::of(self.basin.known())
    }
}

/// A pond file, read.
#[derive(Debug, Clone)]
pub struct ReadPond {
    /// What it states.
    pub pond: PondEntry,
    /// What is wrong with it.
    pub faults: Vec<CatalogFault>,
    /// How many more faults there are than are listed.
    pub more: usize,
}
