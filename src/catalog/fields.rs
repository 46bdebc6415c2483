//! The one list of the format's tables and keys.
//!
//! The reader, the JSON Schema, "did you mean" and the reference all come from it; a key
//! that isn't here doesn't exist. A table's fields stand in the order in which people write
//! them.

use crate::units::Dimension;

/// The kinds of things a catalog names by ID.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[allow(missing_docs, reason = "each is the table of that name")]
pub enum Kind {
    Compressor,
    Diffuser,
    Airline,
    Manifold,
    Fitting,
    CheckValve,
    Cabinet,
    Spare,
    Package,
    Evidence,
}

impl Kind {
    /// Every kind of part, in the order of the format's page.
    pub const PARTS: &'static [Kind] = &[
        Kind::Compressor,
        Kind::Diffuser,
        Kind::Airline,
        Kind::Manifold,
        Kind::Fitting,
        Kind::CheckValve,
        Kind::Cabinet,
        Kind::Spare,
    ];

    /// The name of its table.
    pub fn table(self) -> &'static str {
        match self {
            Kind::Compressor => "compressor",
            Kind::Diffuser => "diffuser",
            Kind::Airline => "airline",
            Kind::Manifold => "manifold",
            Kind::Fitting => "fitting",
            Kind::CheckValve => "check-valve",
            Kind::Cabinet => "cabinet",
            Kind::Spare => "spare",
            Kind::Package => "package",
            Kind::Evidence => "evidence",
        }
    }

    /// As a sentence has it.
    pub fn words(self) -> &'static str {
        match self {
            Kind::CheckValve => "check valve",
            Kind::Spare => "spare part",
            Kind::Evidence => "evidence document",
            other => other.table(),
        }
    }
}

/// A table of the format.
#[derive(Debug)]
pub struct Table {
    /// The name of its definition in the JSON Schema.
    pub name: &'static str,
    /// What it describes.
    pub says: &'static str,
    /// Its keys.
    pub fields: &'static [Field],
    /// Groups of keys of which at least one must be there whole; empty if there is no such need.
    pub either: &'static [&'static [&'static str]],
}

impl Table {
    /// The field of that key.
    pub fn field(&self, key: &str) -> Option<&'static Field> {
        self.fields.iter().find(|f| f.key == key)
    }
}

/// A key of a table.
#[derive(Debug)]
pub struct Field {
    /// As it is written.
    pub key: &'static str,
    /// What may stand there.
    pub shape: Shape,
    /// Whether the table is incomplete without it.
    pub need: Need,
    /// What it says.
    pub says: &'static str,
    /// One example of the value, as TOML.
    pub example: &'static str,
}

/// Whether a table is incomplete without a key.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Need {
    /// It may be left out.
    No,
    /// It must be there.
    Yes,
    /// It must be there unless that key has that word.
    Unless(&'static str, &'static str),
}

/// What may stand at a key.
#[derive(Debug, Clone, Copy)]
pub enum Shape {
    /// A quantity of one of these dimensions: a string, an array of strings that list the same
    /// figure in several units, or `{ is, at, source }`.
    Quantity(&'static [Dimension]),
    /// A quantity, or several rows of `{ is, at }`; `per = "diffuser"` may stand in a row.
    Promise(&'static [Dimension]),
    /// A bare number, for what has no unit.
    Number,
    /// A whole number from the first on.
    Count(i64),
    /// `true` or `false`.
    Flag,
    /// Words of the writer.
    Text,
    /// Words of the writer, which may be blank.
    Remark,
    /// Several of them.
    Texts,
    /// A quantity, or a list of several that differ.
    Quantities(&'static [Dimension]),
    /// Corners of an outline, each `[x, y]` in metres.
    Corners,
    /// A place of an outline, `[x, y]`.
    Place,
    /// One of these words.
    Words(&'static [&'static str]),
    /// A date without time.
    Date,
    /// The ID of a thing of one of these kinds.
    Id(&'static [Kind]),
    /// Several IDs.
    Ids(&'static [Kind]),
    /// An ID, or `{ part, count }`.
    Part(&'static Table),
    /// An ID, a table or an array of tables.
    Parts(&'static Table),
    /// An end of a line or fitting: `1/2 in barb`.
    End,
    /// A supply that parts have: `115 V 60 Hz`.
    Supply,
    /// A table.
    One(&'static Table),
    /// An array of tables.
    Many(&'static Table),
    /// A table, or an array of tables.
    OneOrMany(&'static Table),
    /// A table of tables, each named by its ID.
    ById(Kind, &'static Table),
    /// A table of tables, each named by a word of the writer.
    ByName(&'static Table),
    /// A table whose values are levels of rules.
    Levels,
    /// The owner's own keys, which nobody judges.
    Own,
}

use Dimension as D;
use Shape as S;

pub(super) const fn field(
    key: &'static str,
    shape: Shape,
    says: &'static str,
    example: &'static str,
) -> Field {
    Field {
        key,
        shape,
        need: Need::No,
        says,
        example,
    }
}

pub(super) const fn needed(
    key: &'static str,
    shape: Shape,
    says: &'static str,
    example: &'static str,
) -> Field {
    Field {
        key,
        shape,
        need: Need::Yes,
        says,
        example,
    }
}

/// A flow of air: a volume at the inlet, or an amount.
pub const AIR: &[Dimension] = &[D::VolumeFlow, D::AirAmount];
pub(super) const LENGTH: &[Dimension] = &[D::Length];
/// What a pressure may be.
pub const PRESSURE: &[Dimension] = &[D::GaugePressure, D::AbsolutePressure];
pub(super) const COST: &[Dimension] = &[D::MoneyPerTime];
/// What a level of sound may be.
pub const SOUND: &[Dimension] = &[D::WeightedSoundLevel, D::SoundLevel];

/// What a condition may be: the dimension says which.
pub const CONDITION: &[Dimension] = &[
    D::GaugePressure,
    D::AbsolutePressure,
    D::Length,
    D::MoneyPerEnergy,
    D::Temperature,
];

/// Keys every table may have, and those that identify a part, package or option.
macro_rules! fields {
    (plain: $($f:expr),* $(,)?) => { &[
        $($f,)*
        field("title", S::Text, "name people know it by", "\"Linear compressor, 38 W\""),
        field("notes", S::Remark, "remarks; not judged", "\"mounts on rubber feet\""),
        field("source", S::Text, "where the figures come from: words, or evidence.ID", "\"evidence.bench-test\""),
        field("own", S::Own, "the owner's own keys; not judged", "{ bin = \"C4\" }"),
    ] };
    (identity: $($f:expr),* $(,)?) => { fields!(plain: $($f,)*
        field("sku", S::Text, "the seller's stock number", "\"OM-38\""),
        field("model", S::Text, "model name", "\"38\""),
        field("gtin", S::Text, "trade item number: 8, 12, 13 or 14 digits", "\"4006381333931\""),
        field("status", S::Words(&["current", "discontinued", "planned"]), "whether it is sold", "\"current\""),
        field("since", S::Date, "first day it was sold", "2026-03-01"),
        field("replaced_by", S::Text, "ID of what took its place", "\"linear-40\""),
        field("origin", S::Text, "country of origin, ISO 3166", "\"DE\""),
        field("mass", S::Quantity(&[D::Mass]), "mass of the thing itself", "\"2.4 kg\""),
        field("packed", S::One(&PACKED), "mass and size as packed", "{ mass = \"3.1 kg\" }"),
        field("image", S::One(&IMAGE), "a picture", "{ file = \"img/a.png\", alt = \"front\" }"),
        field("warranty", S::Quantity(&[D::Time]), "length of the warranty", "\"2 year\""),
        field("price", S::Quantity(&[D::Money]), "price of one", "\"420 USD\""),
    ) };
}

static PACKED: Table = Table {
    name: "packed",
    says: "mass and size of the carton",
    fields: &[
        field(
            "mass",
            S::Quantity(&[D::Mass]),
            "mass with its packing",
            "\"3.1 kg\"",
        ),
        field("length", S::Quantity(LENGTH), "longest side", "\"400 mm\""),
        field("width", S::Quantity(LENGTH), "second side", "\"300 mm\""),
        field("height", S::Quantity(LENGTH), "third side", "\"250 mm\""),
    ],
    either: &[],
};

static IMAGE: Table = Table {
    name: "image",
    says: "a picture and what it shows",
    fields: &[
        needed(
            "file",
            S::Text,
            "path of the picture",
            "\"img/cabinet.png\"",
        ),
        field(
            "alt",
            S::Text,
            "what it shows, in words",
            "\"cabinet, front\"",
        ),
    ],
    either: &[],
};

/// `at` as a table of several conditions.
pub static CONDITIONS: Table = Table {
    name: "conditions",
    says: "the conditions under which a value holds",
    fields: &[
        field(
            "pressure",
            S::Quantity(PRESSURE),
            "at this pressure",
            "\"15 kPa\"",
        ),
        field(
            "depth",
            S::Quantity(LENGTH),
            "with the diffusers at this depth",
            "\"2 m\"",
        ),
        field(
            "distance",
            S::Quantity(LENGTH),
            "heard at this distance",
            "\"1 m\"",
        ),
        field(
            "tariff",
            S::Quantity(&[D::MoneyPerEnergy]),
            "at this price of electricity",
            "\"0.21 USD/kWh\"",
        ),
        field(
            "hours_per_day",
            S::Number,
            "running so many hours a day",
            "24",
        ),
        field(
            "altitude",
            S::Quantity(LENGTH),
            "at this height above the sea",
            "\"500 m\"",
        ),
        field(
            "temperature",
            S::Quantity(&[D::Temperature]),
            "at this temperature",
            "\"20 degC\"",
        ),
    ],
    either: &[],
};

static CATALOG_TABLE: Table = Table {
    name: "catalog",
    says: "the catalog itself",
    fields: fields!(plain:
        needed("format", S::Count(1), "version of the format: 1", "1"),
        field("currency", S::Text, "usual currency, ISO 4217: that of `$`, `¢`, `ct` and `kr` where they may be it", "\"USD\""),
        field("sources", S::Words(&["required"]), "whether every measured fact and claim needs a source", "\"required\""),
        field("rulebook", S::Text, "version of the rulebook that it was checked by; a check by another one is reported", "\"1\""),
        field("files", S::Texts, "which files are read, as globs", "[\"**/*.toml\"]"),
        field("exclude", S::Texts, "which aren't", "[\"old/**\"]"),
        field("parts", S::Texts, "folders whose parts are borrowed", "[\"../shared-parts\"]"),
    ),
    either: &[],
};

static AUDIT: Table = Table {
    name: "audit",
    says: "how `audit` goes about this catalog; its command line stands above this",
    fields: &[
        field(
            "level",
            S::Levels,
            "levels of rules over those of `[level]`",
            "{ \"kit.intake-filter\" = \"note\" }",
        ),
        field(
            "output",
            S::Texts,
            "reports to write, by paths from this file",
            "[\"promises.sarif\", \"report.html\"]",
        ),
        field(
            "exclude",
            S::Texts,
            "what isn't read in this folder, as globs",
            "[\"drafts/**\"]",
        ),
        field("jobs", S::Count(1), "threads to work with", "2"),
        field(
            "limit",
            S::Count(1),
            "characters that a Markdown report has at most",
            "65000",
        ),
    ],
    either: &[],
};

/// Where a catalog's claims are made for, and where a pond lies, are told with the same keys.
pub(super) const SITE_ALTITUDE: Field = field(
    "altitude",
    S::Quantity(LENGTH),
    "height above the sea; 0 m unless stated",
    "\"120 m\"",
);
pub(super) const SITE_AIR: Field = field(
    "air",
    S::Quantity(&[D::Temperature]),
    "air temperature; 20 degC unless stated",
    "\"20 degC\"",
);
pub(super) const SITE_WATER: Field = field(
    "water",
    S::Quantity(&[D::Temperature]),
    "water temperature; 20 degC unless stated",
    "\"15 degC\"",
);

static SITE: Table = Table {
    name: "site",
    says: "the conditions the claims are made for",
    fields: &[
        SITE_ALTITUDE,
        SITE_AIR,
        SITE_WATER,
        field(
            "basin",
            S::Words(&["flat", "bowl", "cone"]),
            "shape of the pond; bowl unless stated",
            "\"bowl\"",
        ),
        field(
            "shape",
            S::Number,
            "length of the pond over its width; not taken into account unless stated",
            "2.5",
        ),
        field(
            "hours_per_day",
            S::Number,
            "running hours a day; 24 unless stated",
            "24",
        ),
        field(
            "tariff",
            S::Quantity(&[D::MoneyPerEnergy]),
            "price of electricity",
            "\"0.21 USD/kWh\"",
        ),
    ],
    either: &[],
};

static RATING: Table = Table {
    name: "rating",
    says: "the declared basis on which capacities are rated",
    fields: &[
        field(
            "reach_per_depth",
            S::Number,
            "radius a diffuser is rated to stir, in depths; 7 unless stated",
            "7",
        ),
        field(
            "turnovers_per_day",
            S::Number,
            "turnovers of the volume a day; 1 unless stated",
            "1",
        ),
        field(
            "mixing_air",
            S::Quantity(&[D::AirAmountPerArea]),
            "air that keeps a deep pond mixed; 1.3 scfm/acre unless stated",
            "\"1.3 scfm/acre\"",
        ),
        field(
            "line_loss",
            S::Quantity(&[D::Share]),
            "share of the flow a run may cost; 15 % unless stated",
            "\"15 %\"",
        ),
    ],
    either: &[],
};

static ASSUMPTION: Table = Table {
    name: "assumption",
    says: "a range put in place of a built-in one",
    fields: &[
        needed("low", S::Number, "lower end", "3.0"),
        needed("central", S::Number, "best single value", "5.0"),
        needed("high", S::Number, "upper end", "7.0"),
        needed(
            "source",
            S::Text,
            "where it comes from: words, or evidence.ID",
            "\"own dye tests, 2026\"",
        ),
        field("notes", S::Remark, "remarks", "\"three ponds\""),
    ],
    either: &[],
};

static SHEET: Table = Table {
    name: "sheet",
    says: "a spec sheet, and the package it speaks of, if a catalog has it",
    fields: &[
        needed(
            "file",
            S::Text,
            "path of the sheet, from this file",
            "\"sheets/mill-pair.md\"",
        ),
        field(
            "package",
            S::Id(&[Kind::Package]),
            "ID of the package",
            "\"mill-pair\"",
        ),
        field(
            "kind",
            S::Words(&[
                "web-page",
                "brochure",
                "price-list",
                "quote",
                "manual",
                "listing",
            ]),
            "what it is",
            "\"web-page\"",
        ),
        field("language", S::Text, "language, BCP 47", "\"en\""),
        field(
            "market",
            S::Text,
            "country whose usual words and cautions count, ISO 3166",
            "\"US\"",
        ),
        field("captured", S::Date, "day the copy was taken", "2026-05-02"),
        field(
            "url",
            S::Text,
            "address it was taken from",
            "\"https://example.org/pair\"",
        ),
        field("hash", S::Text, "hash of the copy", "\"sha256:…\""),
        field("notes", S::Remark, "remarks", "\"spring issue\""),
    ],
    either: &[],
};

static EVIDENCE: Table = Table {
    name: "evidence",
    says: "a document a claim or a range may cite",
    fields: &[
        needed(
            "file",
            S::Text,
            "path of the document, from this file",
            "\"evidence/dye-test.pdf\"",
        ),
        needed(
            "kind",
            S::Words(&[
                "own-test",
                "independent-test",
                "maker-data",
                "standard",
                "customer-report",
            ]),
            "what it is",
            "\"own-test\"",
        ),
        needed("date", S::Date, "its date", "2026-05-04"),
        field(
            "covers",
            S::Texts,
            "what it speaks of",
            "[\"package.mill-pair\"]",
        ),
        field("title", S::Text, "its title", "\"Dye test, three ponds\""),
        field("notes", S::Remark, "remarks", "\"calm days only\""),
    ],
    either: &[],
};

static WAIVER: Table = Table {
    name: "waiver",
    says: "a finding that is accepted, with a reason",
    fields: &[
        needed("rule", S::Text, "name of the rule", "\"claim.area\""),
        needed(
            "on",
            S::Text,
            "what it is about: a part, package, option, sheet, or catalog",
            "\"package.mill-pair\"",
        ),
        field(
            "value",
            S::Text,
            "the figure that is accepted; the waiver lapses when it changes",
            "\"600 m2\"",
        ),
        field("owner", S::Text, "who accepted it", "\"product data\""),
        field("reason", S::Remark, "why", "\"measured by dye test\""),
        field("until", S::Date, "last day it holds", "2027-05-01"),
    ],
    either: &[],
};

static CURVE_POINT: Table = Table {
    name: "curve-point",
    says: "a point of a compressor's curve",
    fields: &[
        needed(
            "pressure",
            S::Quantity(PRESSURE),
            "gauge pressure",
            "\"10 kPa\"",
        ),
        needed(
            "flow",
            S::Quantity(AIR),
            "free air delivered at it",
            "\"55 L/min\"",
        ),
        field(
            "power",
            S::Quantity(&[D::Power]),
            "electrical power taken at it",
            "\"36 W\"",
        ),
    ],
    either: &[],
};

static SUPPLY: Table = Table {
    name: "supply",
    says: "the same machine on another supply",
    fields: &[
        needed(
            "voltage",
            S::Quantity(&[D::Voltage]),
            "nominal voltage",
            "\"115 V\"",
        ),
        field(
            "frequency",
            S::Quantity(&[D::Frequency]),
            "mains frequency",
            "\"60 Hz\"",
        ),
        field("supply", S::Words(SUPPLIES), SUPPLY_SAYS, "\"ac\""),
        field(
            "power",
            S::Quantity(&[D::Power]),
            "electrical power",
            "\"42 W\"",
        ),
        field(
            "current",
            S::Quantity(&[D::Current]),
            "current",
            "\"0.7 A\"",
        ),
        field(
            "curve",
            S::Many(&CURVE_POINT),
            "its own curve",
            "[{ pressure = \"0 psi\", flow = \"2.6 cfm\" }]",
        ),
        field("notes", S::Remark, "remarks", "\"for export\""),
    ],
    either: &[],
};

static SERVICE: Table = Table {
    name: "service",
    says: "a part that is replaced from time to time",
    fields: &[
        needed(
            "part",
            S::Id(&[Kind::Spare]),
            "the spare part",
            "\"diaphragm-kit\"",
        ),
        needed("every", S::Quantity(&[D::Time]), "how often", "\"2 year\""),
        field(
            "price",
            S::Quantity(&[D::Money]),
            "what it costs",
            "\"28 USD\"",
        ),
    ],
    either: &[],
};

static COMPRESSOR: Table = Table {
    name: "compressor",
    says: "a small compressor or blower",
    fields: fields!(identity:
        needed("technology", S::Words(TECHNOLOGIES), "how it moves air", "\"linear-diaphragm\""),
        needed("voltage", S::Quantity(&[D::Voltage]), "nominal voltage", "\"230 V\""),
        Field {
            need: Need::Unless("supply", "dc"),
            ..field("frequency", S::Quantity(&[D::Frequency]), "mains frequency; needed unless supply is dc", "\"50 Hz\"")
        },
        field("supply", S::Words(SUPPLIES), SUPPLY_SAYS, "\"ac\""),
        needed("power", S::Quantity(&[D::Power]), "electrical power, best with the pressure it was measured at", "{ is = \"38 W\", at = \"15 kPa\" }"),
        field("current", S::Quantity(&[D::Current]), "current", "\"0.32 A\""),
        field("starting_current", S::Quantity(&[D::Current]), "current at start", "\"1.9 A\""),
        field("curve", S::Many(&CURVE_POINT), "free air against gauge pressure", "[{ pressure = \"0 kPa\", flow = \"68 L/min\" }]"),
        field("rated", S::Quantity(AIR), "flow at one stated pressure", "{ is = \"48 L/min\", at = \"15 kPa\" }"),
        field("open_flow", S::Quantity(AIR), "flow against no pressure", "\"68 L/min\""),
        needed("max_pressure", S::Quantity(PRESSURE), "greatest pressure for continuous running", "\"24 kPa\""),
        field("relief", S::Quantity(PRESSURE), "setting of its relief valve", "\"30 kPa\""),
        field("flow_basis", S::Words(&["inlet", "standard"]), "whether bare cfm is air at the inlet or standard air; inlet unless stated", "\"inlet\""),
        field("conditions", S::One(&CONDITIONS), "altitude and air the curve was taken at; 0 m and 20 degC unless stated", "{ altitude = \"0 m\" }"),
        field("sound", S::Quantity(SOUND), "sound level, with the distance", "{ is = \"38 dB(A)\", at = \"1 m\" }"),
        field("inlet_filter", S::Flag, "whether it has an intake filter", "true"),
        field("outlet", S::End, "its outlet", "\"1/2 in barb\""),
        field("plugs", S::Count(0), "plugs it needs; 1 unless stated", "1"),
        field("ambient_limit", S::Quantity(&[D::Temperature]), "hottest air it may run in", "\"40 degC\""),
        field("lowest_ambient", S::Quantity(&[D::Temperature]), "coldest air it may run in", "\"-10 degC\""),
        field("enclosure", S::Text, "protection, IP or NEMA", "\"IP44\""),
        field("listing", S::Text, "safety mark", "\"tested to IEC 60335\""),
        field("service", S::Many(&SERVICE), "parts replaced from time to time", "[{ part = \"diaphragm-kit\", every = \"2 year\" }]"),
        field("variant", S::Many(&SUPPLY), "the same machine on another supply", "[{ voltage = \"115 V\", frequency = \"60 Hz\" }]"),
    ),
    either: &[&["curve"], &["rated"], &["open_flow"]],
};

/// The kinds of supply the format knows.
pub const SUPPLIES: &[&str] = &["ac", "three-phase", "dc"];

const SUPPLY_SAYS: &str = "kind of supply; ac unless stated, which above 300 V may be three-phase";

/// The compressor technologies the format knows.
pub const TECHNOLOGIES: &[&str] = &[
    "linear-diaphragm",
    "linear-piston",
    "diaphragm",
    "rocking-piston",
    "rotary-vane",
    "regenerative-blower",
];

static LOSS_POINT: Table = Table {
    name: "loss-point",
    says: "pressure that a flow costs",
    fields: &[
        needed("flow", S::Quantity(AIR), "flow of free air", "\"10 L/min\""),
        needed(
            "pressure",
            S::Quantity(PRESSURE),
            "pressure across it",
            "\"2.1 kPa\"",
        ),
    ],
    either: &[],
};

static DIFFUSER: Table = Table {
    name: "diffuser",
    says: "what lets the bubbles out",
    fields: fields!(identity:
        needed("flow", S::Quantity(AIR), "working range of flow", "\"10 to 45 L/min\""),
        field("loss", S::Many(&LOSS_POINT), "pressure across it when wet; a usual range unless stated", "[{ flow = \"10 L/min\", pressure = \"2.1 kPa\" }]"),
        field("bubble", S::Words(&["fine", "coarse"]), "size of its bubbles; fine unless stated", "\"fine\""),
        field("check_valve", S::Flag, "whether it closes against water", "true"),
        field("volume", S::Quantity(&[D::Volume]), "water it displaces while running, trapped air included", "\"1.1 L\""),
        field("source_radius", S::Quantity(LENGTH), "radius the bubbles start from", "\"120 mm\""),
        field("stand", S::Quantity(LENGTH), "height of the bubbles above the bottom", "\"150 mm\""),
        field("inlet", S::End, "its inlet", "\"1/2 in barb\""),
    ),
    either: &[],
};

static AIRLINE: Table = Table {
    name: "airline",
    says: "tubing that carries the air",
    fields: fields!(identity:
        field("size", S::Quantity(LENGTH), "the name it is sold by", "\"1/2 in\""),
        field("size_means", S::Words(&["hose", "pipe", "tube"]), "hose: named by bore; pipe: nominal pipe size; tube: named by outside diameter; hose unless stated", "\"hose\""),
        field("bore", S::Quantity(LENGTH), "inside diameter as measured; the size unless stated", "\"12.7 mm\""),
        field("outside", S::Quantity(LENGTH), "outside diameter", "\"22.5 mm\""),
        field("mass_per_length", S::Quantity(&[D::MassPerLength]), "mass of a length of it, empty", "\"0.42 kg/m\""),
        field("self_sinking", S::Flag, "whether it is sold as lying on the bottom by itself", "true"),
        field("max_pressure", S::Quantity(PRESSURE), "pressure it is rated for", "\"400 kPa\""),
        field("max_temperature", S::Quantity(&[D::Temperature]), "temperature it is rated for", "\"60 degC\""),
        field("roll", S::Quantity(LENGTH), "length of a roll as sold", "\"50 m\""),
        field("price_per_length", S::Quantity(&[D::MoneyPerLength]), "price of a length of it", "\"1.90 USD/m\""),
    ),
    either: &[&["bore"], &["size"]],
};

static MANIFOLD: Table = Table {
    name: "manifold",
    says: "what shares the air out to the lines",
    fields: fields!(identity:
        needed("outlets", S::Count(1), "number of outlets", "2"),
        field("valve", S::Words(&["ball", "needle", "gate", "globe", "none"]), "valve at each outlet; none unless stated", "\"ball\""),
        field("cv", S::Number, "flow coefficient of each outlet, US", "2.5"),
        field("kv", S::Number, "flow coefficient of each outlet, metric", "2.2"),
        field("loss", S::Many(&LOSS_POINT), "pressure across an outlet", "[{ flow = \"30 L/min\", pressure = \"0.2 kPa\" }]"),
        field("inlet", S::End, "its inlet", "\"3/4 in barb\""),
        field("outlet", S::End, "each outlet", "\"1/2 in barb\""),
        field("max_pressure", S::Quantity(PRESSURE), "pressure it is rated for", "\"600 kPa\""),
        field("max_temperature", S::Quantity(&[D::Temperature]), "temperature it is rated for", "\"80 degC\""),
    ),
    either: &[],
};

static FITTING: Table = Table {
    name: "fitting",
    says: "what joins two ends",
    fields: fields!(identity:
        needed("from", S::End, "one end", "\"1/2 in barb\""),
        needed("to", S::End, "the other end", "\"3/8 in barb\""),
    ),
    either: &[],
};

static CHECK_VALVE: Table = Table {
    name: "check-valve",
    says: "what lets air through one way",
    fields: fields!(identity:
        field("opening", S::Quantity(PRESSURE), "pressure that opens it", "\"0.4 kPa\""),
        field("cv", S::Number, "flow coefficient, US", "3"),
        field("kv", S::Number, "flow coefficient, metric", "2.6"),
    ),
    either: &[],
};

static CABINET: Table = Table {
    name: "cabinet",
    says: "the box the compressor stands in",
    fields: fields!(identity:
        field("fan_flow", S::Quantity(&[D::VolumeFlow]), "air its fan moves", "\"60 m3/h\""),
        field("fan_power", S::Quantity(&[D::Power]), "power of its fan", "\"12 W\""),
        field("fan_sound", S::Quantity(SOUND), "sound level of its fan", "{ is = \"34 dB(A)\", at = \"1 m\" }"),
        field("receptacles", S::Count(0), "plugs it takes", "2"),
        field("plugs", S::Count(0), "plugs its own fan needs; 1 with a fan unless stated", "1"),
        field("sound_reduction", S::Quantity(SOUND), "sound it takes off", "\"8 dB\""),
    ),
    either: &[],
};

static SPARE: Table = Table {
    name: "spare",
    says: "a spare part",
    fields: fields!(identity:
        needed("fits", S::Texts, "IDs of the parts it fits", "[\"linear-38\"]"),
        field("kind", S::Words(&["diaphragm", "filter", "cup", "valve", "fan", "other"]), "what it is", "\"diaphragm\""),
    ),
    either: &[],
};

static COMPRESSOR_USE: Table = Table {
    name: "compressor-use",
    says: "a compressor of a package",
    fields: &[
        needed(
            "part",
            S::Id(&[Kind::Compressor]),
            "its ID",
            "\"linear-38\"",
        ),
        field("count", S::Count(1), "how many; 1 unless stated", "1"),
    ],
    either: &[],
};

static DIFFUSER_USE: Table = Table {
    name: "diffuser-use",
    says: "diffusers of a package that lie alike",
    fields: &[
        needed("part", S::Id(&[Kind::Diffuser]), "its ID", "\"tube-300\""),
        field("count", S::Count(1), "how many; 1 unless stated", "2"),
        field(
            "depth",
            S::Quantity(LENGTH),
            "depth of these; the claimed one unless stated",
            "\"2 m\"",
        ),
        field(
            "run",
            S::Quantity(LENGTH),
            "airline to each of these; the option's unless stated",
            "\"30 m\"",
        ),
        field(
            "airline",
            S::Id(&[Kind::Airline]),
            "airline of these; the option's unless stated",
            "\"sinking-half\"",
        ),
    ],
    either: &[],
};

static SEGMENT: Table = Table {
    name: "segment",
    says: "a length of one airline",
    fields: &[
        needed(
            "part",
            S::Id(&[Kind::Airline]),
            "the airline",
            "\"poly-half\"",
        ),
        needed("length", S::Quantity(LENGTH), "its length", "\"20 m\""),
    ],
    either: &[],
};

static AIRLINE_USE: Table = Table {
    name: "airline-use",
    says: "runs of an option that are laid alike",
    fields: &[
        field(
            "part",
            S::Id(&[Kind::Airline]),
            "the airline",
            "\"sinking-half\"",
        ),
        field(
            "length",
            S::Quantity(LENGTH),
            "length of each run",
            "\"25 m\"",
        ),
        field(
            "segments",
            S::Many(&SEGMENT),
            "lengths in series, from the compressor on, in place of part and length",
            "[{ part = \"poly-half\", length = \"10 m\" }]",
        ),
        field("count", S::Count(1), "number of runs; 1 unless stated", "2"),
        field(
            "per_run",
            S::Count(1),
            "diffusers on each run; 1 unless stated",
            "1",
        ),
    ],
    either: &[&["part", "length"], &["segments"]],
};

static TRUNK: Table = Table {
    name: "trunk",
    says: "airline from the compressor to a manifold at the shore",
    fields: &[
        field(
            "part",
            S::Id(&[Kind::Airline]),
            "the airline",
            "\"poly-one-inch\"",
        ),
        field("length", S::Quantity(LENGTH), "its length", "\"60 m\""),
        field(
            "segments",
            S::Many(&SEGMENT),
            "lengths in series, from the compressor on",
            "[{ part = \"poly-one-inch\", length = \"60 m\" }]",
        ),
    ],
    either: &[&["part", "length"], &["segments"]],
};

static ALLOWS: Table = Table {
    name: "allows",
    says: "what the seller tells the buyer to fit",
    fields: &[
        needed("size", S::Quantity(LENGTH), "nominal bore", "\"3/8 in\""),
        needed(
            "up_to",
            S::Quantity(LENGTH),
            "longest run for each diffuser",
            "\"30 m\"",
        ),
    ],
    either: &[],
};

static HOT_SECTION: Table = Table {
    name: "hot-section",
    says: "the first stretch, before the plastic line",
    fields: &[
        needed(
            "material",
            S::Words(&["metal", "hose"]),
            "what it is made of",
            "\"metal\"",
        ),
        field("length", S::Quantity(LENGTH), "its length", "\"1 m\""),
    ],
    either: &[],
};

static PACKAGE: Table = Table {
    name: "package",
    says: "what is sold together",
    fields: fields!(identity:
        needed("compressor", S::Parts(&COMPRESSOR_USE), "its compressor or compressors", "\"linear-38\""),
        needed("diffuser", S::Parts(&DIFFUSER_USE), "its diffusers", "{ part = \"tube-300\", count = 2 }"),
        field("supply", S::Supply, "supply it is sold for; the first that all its compressors have unless stated", "\"115 V 60 Hz\""),
        field("manifold", S::Part(&MANIFOLD_USE), "what shares the air out; needed for more than one diffuser", "\"two-way\""),
        field("cabinet", S::Part(&CABINET_USE), "the box the compressor stands in", "\"small\""),
        field("fittings", S::Ids(&[Kind::Fitting]), "fittings in the box", "[\"half-to-three-eighths\"]"),
        field("check_valves", S::Ids(&[Kind::CheckValve]), "check valves in the box", "[\"flap-half\"]"),
        field("hot_section", S::One(&HOT_SECTION), "metal or hose before the plastic line", "{ material = \"metal\", length = \"1 m\" }"),
        field("bleed", S::Quantity(AIR), "air let off at the manifold, best with the pressure it was set at", "{ is = \"5 L/min\", at = \"15 kPa\" }"),
        field("hours_per_day", S::Number, "running hours a day; the site's unless stated", "24"),
        field("above_water", S::Flag, "whether the compressor stands above the water", "true"),
        field("requires", S::Text, "what the buyer must have", "\"a level pad\""),
        field("claim", S::One(&CLAIM), "what the seller promises of it", "{ depth = \"1.5 m\" }"),
        field("option", S::Many(&OPTION), "the ways to buy it", "[{ id = \"own-airline\", allows = [{ size = \"1/2 in\", up_to = \"30 m\" }] }]"),
    ),
    either: &[],
};

static MANIFOLD_USE: Table = Table {
    name: "manifold-use",
    says: "a manifold of a package",
    fields: &[
        needed("part", S::Id(&[Kind::Manifold]), "its ID", "\"two-way\""),
        field("count", S::Count(1), "how many; 1 unless stated", "1"),
    ],
    either: &[],
};

static CABINET_USE: Table = Table {
    name: "cabinet-use",
    says: "a cabinet of a package",
    fields: &[
        needed("part", S::Id(&[Kind::Cabinet]), "its ID", "\"small\""),
        field("count", S::Count(1), "how many; 1 unless stated", "1"),
    ],
    either: &[],
};

static CLAIM: Table = Table {
    name: "claim",
    says: "what a seller promises of a package",
    fields: &[
        field(
            "depth",
            S::Promise(LENGTH),
            "greatest depth of a diffuser",
            "\"1.5 m\"",
        ),
        field(
            "area",
            S::Promise(&[D::Area]),
            "largest pond, at the claimed depth unless at its own",
            "\"600 m2\"",
        ),
        field(
            "flow",
            S::Promise(AIR),
            "air delivered",
            "{ is = \"38 L/min\", at = \"1.5 m\" }",
        ),
        field("power", S::Promise(&[D::Power]), "power taken", "\"45 W\""),
        field(
            "running_cost",
            S::Promise(COST),
            "what it costs to run",
            "\"6.50 USD/month\"",
        ),
        field(
            "sound",
            S::Promise(SOUND),
            "how loud it is, with the distance",
            "{ is = \"40 dB(A)\", at = \"1 m\" }",
        ),
        field(
            "turnover",
            S::Promise(&[D::PerTime]),
            "how often the pond's volume is lifted",
            "\"1 /day\"",
        ),
        field(
            "oxygen",
            S::Promise(&[D::MassRate]),
            "oxygen given to clean water free of oxygen, as the standard test measures it",
            "\"0.1 kg/h\"",
        ),
        field(
            "oxygen_uptake",
            S::Promise(&[D::MassRate]),
            "oxygen that the pond's own water takes up",
            "\"0.05 kg/h\"",
        ),
        field(
            "transfer_efficiency",
            S::Promise(&[D::SharePerLength, D::Share]),
            "share of the oxygen taken up",
            "\"1.5 %/ft\"",
        ),
        field(
            "volume",
            S::Promise(&[D::Volume]),
            "volume of the pond it serves",
            "\"450 m3\"",
        ),
        field(
            "water_moved",
            S::Promise(&[D::VolumeFlow]),
            "water lifted",
            "\"900 L/min\"",
        ),
        field(
            "winter_opening",
            S::Promise(&[D::Area, D::Length]),
            "open water in ice",
            "\"10 m2\"",
        ),
        field(
            "warranty",
            S::Promise(&[D::Time]),
            "length of the warranty",
            "\"2 year\"",
        ),
        field(
            "service_interval",
            S::Promise(&[D::Time]),
            "time between services",
            "\"1 year\"",
        ),
        field(
            "packed_mass",
            S::Promise(&[D::Mass]),
            "mass as packed",
            "\"21 kg\"",
        ),
        field(
            "source",
            S::Text,
            "what the claims rest on",
            "\"evidence.dye-test-2026\"",
        ),
        field("notes", S::Remark, "remarks", "\"calm weather\""),
        field(
            "own",
            S::Own,
            "the owner's own keys; not judged",
            "{ page = 3 }",
        ),
    ],
    either: &[],
};

pub(super) static OPTION: Table = Table {
    name: "option",
    says: "one way to buy a package",
    fields: fields!(identity:
        needed("id", S::Text, "its ID, unique in the package", "\"with-airline\""),
        field("airline", S::OneOrMany(&AIRLINE_USE), "the runs supplied", "{ part = \"sinking-half\", length = \"25 m\", count = 2 }"),
        field("trunk", S::One(&TRUNK), "airline from the compressor to the manifold", "{ part = \"poly-one-inch\", length = \"60 m\" }"),
        field("allows", S::Many(&ALLOWS), "what the buyer may fit", "[{ size = \"3/8 in\", up_to = \"30 m\" }]"),
        field("compressor", S::Parts(&COMPRESSOR_USE), "in place of the package's", "\"linear-60\""),
        field("supply", S::Supply, "in place of the package's", "\"230 V 50 Hz\""),
        field("manifold", S::Part(&MANIFOLD_USE), "in place of the package's", "\"four-way\""),
        field("cabinet", S::Part(&CABINET_USE), "in place of the package's", "\"large\""),
        field("fittings", S::Ids(&[Kind::Fitting]), "in place of the package's", "[\"half-to-five-eighths\"]"),
    ),
    // Whether an option needs airline depends on the package's diffusers; `kit.airline-count` knows.
    either: &[],
};

/// A whole file.
pub static ROOT: Table = Table {
    name: "file",
    says: "a file of a catalog",
    fields: &[
        field(
            "catalog",
            S::One(&CATALOG_TABLE),
            "the catalog itself",
            "{ format = 1 }",
        ),
        field(
            "site",
            S::One(&SITE),
            "the conditions the claims are made for",
            "{ altitude = \"120 m\" }",
        ),
        field(
            "rating",
            S::One(&RATING),
            "the basis on which capacities are rated",
            "{ reach_per_depth = 7 }",
        ),
        field(
            "level",
            S::Levels,
            "levels of rules in this catalog; a contradicted promise stays an error, which only a waiver accepts",
            "{ \"kit.intake-filter\" = \"note\" }",
        ),
        field(
            "audit",
            S::One(&AUDIT),
            "how it is audited",
            "{ exclude = [\"drafts/**\"] }",
        ),
        field(
            "assumption",
            S::ByName(&ASSUMPTION),
            "ranges in place of built-in ones",
            "{ reach-per-depth = { low = 3.0, central = 5.0, high = 7.0, source = \"own dye tests, 2026\" } }",
        ),
        field(
            "sheet",
            S::Many(&SHEET),
            "spec sheets",
            "[{ file = \"sheets/mill-pair.md\", package = \"mill-pair\" }]",
        ),
        field(
            "evidence",
            S::ById(Kind::Evidence, &EVIDENCE),
            "documents that may be cited",
            "{ dye-test = { file = \"evidence/dye-test.pdf\", kind = \"own-test\", date = 2026-05-04 } }",
        ),
        field(
            "waiver",
            S::Many(&WAIVER),
            "findings that are accepted",
            "[{ rule = \"claim.area\", on = \"package.mill-pair\", reason = \"measured by dye test\" }]",
        ),
        field(
            "compressor",
            S::ById(Kind::Compressor, &COMPRESSOR),
            "compressors and blowers",
            "{ linear-38 = { technology = \"linear-diaphragm\", voltage = \"230 V\", frequency = \"50 Hz\", power = \"38 W\", max_pressure = \"24 kPa\", open_flow = \"68 L/min\" } }",
        ),
        field(
            "diffuser",
            S::ById(Kind::Diffuser, &DIFFUSER),
            "diffusers",
            "{ tube-300 = { flow = \"10 to 45 L/min\" } }",
        ),
        field(
            "airline",
            S::ById(Kind::Airline, &AIRLINE),
            "airlines",
            "{ sinking-half = { size = \"1/2 in\", bore = \"12.7 mm\" } }",
        ),
        field(
            "manifold",
            S::ById(Kind::Manifold, &MANIFOLD),
            "manifolds",
            "{ two-way = { outlets = 2, valve = \"ball\" } }",
        ),
        field(
            "fitting",
            S::ById(Kind::Fitting, &FITTING),
            "fittings",
            "{ half-to-three-eighths = { from = \"1/2 in barb\", to = \"3/8 in barb\" } }",
        ),
        field(
            "check-valve",
            S::ById(Kind::CheckValve, &CHECK_VALVE),
            "check valves",
            "{ flap-half = { opening = \"0.4 kPa\" } }",
        ),
        field(
            "cabinet",
            S::ById(Kind::Cabinet, &CABINET),
            "cabinets",
            "{ small = { fan_flow = \"60 m3/h\", receptacles = 2 } }",
        ),
        field(
            "spare",
            S::ById(Kind::Spare, &SPARE),
            "spare parts",
            "{ diaphragm-kit = { fits = [\"linear-38\"], kind = \"diaphragm\" } }",
        ),
        field(
            "package",
            S::ById(Kind::Package, &PACKAGE),
            "packages",
            "{ mill-pair = { compressor = \"linear-38\", diffuser = { part = \"tube-300\", count = 2 }, manifold = \"two-way\" } }",
        ),
    ],
    either: &[],
};

/// Whether a field's figure means nothing at 0: a bore of no width, a line without mass, a machine that takes no watts.
pub fn is_above_nothing(field: &Field) -> bool {
    matches!(
        field.key,
        "bore"
            | "size"
            | "outside"
            | "mass"
            | "mass_per_length"
            | "voltage"
            | "frequency"
            | "power"
            | "roll"
            | "every"
    )
}

/// The definition of a single table or of a list's rows, by its key at the top of a file.
pub fn table_of(key: &str) -> &'static Table {
    match ROOT.field(key).map(|field| field.shape) {
        Some(
            Shape::One(table) | Shape::Many(table) | Shape::ById(_, table) | Shape::ByName(table),
        ) => table,
        _ => &ROOT,
    }
}

/// The table behind a field, if tables stand there.
pub fn table_behind(field: &Field) -> Option<&'static Table> {
    match field.shape {
        Shape::One(table)
        | Shape::Many(table)
        | Shape::OneOrMany(table)
        | Shape::Part(table)
        | Shape::Parts(table)
        | Shape::ById(_, table)
        | Shape::ByName(table) => Some(table),
        _ => None,
    }
}
