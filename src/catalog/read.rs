//! From a document's tree to typed entries.
//!
//! Shapes are judged by the schema ([`super::shape`]); here what has the right shape is taken,
//! and what hasn't is [`Given::Unreadable`] without another word. What stands inside a
//! quantity's text is judged here, since no schema can.

use std::sync::Arc;

use crate::document::{Document, Item, Kind as Node};
use crate::text::Span;
use crate::units::{self, Conventions, Dimension, Quantity};

use super::fault::{CatalogFault, FaultKind};
use super::fields::{self, CONDITION, CONDITIONS, Field, Kind, Shape, Table};
use super::model::*;
use super::pond::{POND, PondEntry};
use super::{Catalog, Mention, ends, supplies};

/// How large a plain number may be, be it above 0 or below.
const PLAIN: std::ops::RangeInclusive<f64> = 1e-12..=1e12;

/// What a file is to the catalog that reads it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Of {
    /// The catalog's own file: `catalog.toml`, or the single file.
    Head,
    /// Another file of its folder.
    Folder,
    /// A file of a folder whose parts it borrows.
    Borrowed,
}

/// Reads what `document`, the run's number `index`, says beside its entries into `catalog`.
pub(super) fn read(catalog: &mut Catalog, document: &Document, index: usize, of: Of) {
    let root = document.root();
    let mut reader = Reader::new(catalog, index, "catalog");
    match of {
        Of::Head => reader.head(root),
        Of::Folder => reader.out_of_place(root),
        Of::Borrowed => {}
    }
    if of != Of::Borrowed {
        reader.lists(root);
    }
}

/// An entry as it was read of its document, before it is one of a catalog.
#[derive(Debug)]
pub(super) struct ReadEntry {
    /// Where its ID stands.
    at: Span,
    on: String,
    id: String,
    part: Part,
    mentions: Vec<Mention>,
    faults: Vec<CatalogFault>,
}

/// A part or package, by its kind.
#[derive(Debug, Clone)]
enum Part {
    Compressor(Arc<Compressor>),
    Diffuser(Arc<Diffuser>),
    Airline(Arc<Airline>),
    Manifold(Arc<Manifold>),
    Fitting(Arc<Fitting>),
    CheckValve(Arc<CheckValve>),
    Cabinet(Arc<Cabinet>),
    Spare(Arc<Spare>),
    Package(Arc<Package>),
    Evidence(Arc<EvidenceEntry>),
}

/// Reads the entries of `document`, the run's number `index`; `own` where the catalog that reads them is the one in
/// whose folder it lies, with the currency that a sign of money means there.
pub(super) fn entries(
    document: &Document,
    index: usize,
    own: bool,
    currency: Option<&Text>,
) -> Vec<ReadEntry> {
    // What is read is put together by the catalog; here it only knows what its signs of money mean.
    let mut alone = Catalog {
        documents: if own { vec![index] } else { Vec::new() },
        currency: currency.cloned(),
        ..Catalog::default()
    };
    let mut all = Vec::new();
    for section in document.root().entries() {
        let Some((key, _)) = section.key() else {
            continue;
        };
        let Some(field) = fields::ROOT.field(key) else {
            continue;
        };
        let Shape::ById(kind, table) = field.shape else {
            continue;
        };
        if !own && !Kind::PARTS.contains(&kind) {
            continue;
        }
        for item in section.entries() {
            if item.kind() == Node::Table {
                all.push(entry(&mut alone, index, kind, table, item));
            }
        }
    }
    all
}

/// Reads one entry.
fn entry(
    alone: &mut Catalog,
    index: usize,
    kind: Kind,
    table: &'static Table,
    item: Item,
) -> ReadEntry {
    let (id, at) = item.key().map_or(("", item.span()), |(id, at)| (id, at));
    let id = id.to_string();
    let on = format!("{}.{id}", kind.table());
    let reader = Reader::new(alone, index, on.clone());
    let mut t = reader.table(item, table);
    let part = match kind {
        Kind::Compressor => Part::Compressor(Arc::new(compressor(&mut t))),
        Kind::Diffuser => Part::Diffuser(Arc::new(diffuser(&mut t))),
        Kind::Airline => Part::Airline(Arc::new(airline(&mut t))),
        Kind::Manifold => Part::Manifold(Arc::new(manifold(&mut t))),
        Kind::Fitting => Part::Fitting(Arc::new(Fitting {
            entry: t.entry(kind),
            from: t.end("from"),
            to: t.end("to"),
        })),
        Kind::CheckValve => Part::CheckValve(Arc::new(CheckValve {
            entry: t.entry(kind),
            opening: t.figure("opening"),
            cv: t.number("cv"),
            kv: t.number("kv"),
        })),
        Kind::Cabinet => Part::Cabinet(Arc::new(Cabinet {
            entry: t.entry(kind),
            fan_flow: t.figure("fan_flow"),
            fan_power: t.figure("fan_power"),
            fan_sound: t.figure("fan_sound"),
            receptacles: t.count("receptacles"),
            plugs: t.count("plugs"),
            sound_reduction: t.figure("sound_reduction"),
        })),
        Kind::Spare => {
            let part = Spare {
                entry: t.entry(kind),
                fits: t.texts("fits"),
            };
            t.reader.mention_fits(&part.fits);
            Part::Spare(Arc::new(part))
        }
        Kind::Package => Part::Package(Arc::new(package(&mut t))),
        Kind::Evidence => Part::Evidence(Arc::new(EvidenceEntry {
            entry: t.entry(kind),
            file: t.text("file"),
            kind: t.text("kind"),
            date: t.date("date"),
            covers: t.texts("covers").into_iter().collect(),
        })),
    };
    ReadEntry {
        at,
        on,
        id,
        part,
        mentions: std::mem::take(&mut alone.mentions).into_all(),
        faults: std::mem::take(&mut alone.faults),
    }
}

impl Catalog {
    /// Puts entries in their lists; of two with one ID the first counts.
    pub(super) fn put(&mut self, entries: &[ReadEntry]) {
        for read in entries {
            self.faults.extend(read.faults.iter().cloned());
            for mention in &read.mentions {
                self.mentions.push(mention.clone());
            }
            let id = &read.id;
            let first = match &read.part {
                Part::Compressor(part) => {
                    self.compressors.share(id, part).map(|first| &first.entry)
                }
                Part::Diffuser(part) => self.diffusers.share(id, part).map(|first| &first.entry),
                Part::Airline(part) => self.airlines.share(id, part).map(|first| &first.entry),
                Part::Manifold(part) => self.manifolds.share(id, part).map(|first| &first.entry),
                Part::Fitting(part) => self.fittings.share(id, part).map(|first| &first.entry),
                Part::CheckValve(part) => {
                    self.check_valves.share(id, part).map(|first| &first.entry)
                }
                Part::Cabinet(part) => self.cabinets.share(id, part).map(|first| &first.entry),
                Part::Spare(part) => self.spares.share(id, part).map(|first| &first.entry),
                Part::Package(part) => self.packages.share(id, part).map(|first| &first.entry),
                Part::Evidence(part) => self.evidence.share(id, part).map(|first| &first.entry),
            };
            let Some(first) = first else { continue };
            let kind = FaultKind::Duplicate {
                kind: first.kind,
                id: id.clone(),
                first: first.header,
            };
            self.faults.push(CatalogFault {
                at: read.at,
                on: read.on.clone(),
                kind,
            });
        }
    }
}

fn compressor(t: &mut TableReader) -> Compressor {
    Compressor {
        entry: t.entry(Kind::Compressor),
        technology: t.text("technology"),
        supply: t.supply(false),
        variants: t.each("variant", |v| v.supply(true)).or(Vec::new()),
        starting_current: t.figure("starting_current"),
        rated: t.figure("rated"),
        open_flow: t.figure("open_flow"),
        max_pressure: t.figure("max_pressure"),
        relief: t.figure("relief"),
        flow_basis: t.text("flow_basis"),
        conditions: t.sub("conditions", |c| c.conditions()).unwrap_or_default(),
        sound: t.figure("sound"),
        inlet_filter: t.flag("inlet_filter"),
        outlet: t.end("outlet"),
        plugs: t.count("plugs"),
        ambient_limit: t.figure("ambient_limit"),
        lowest_ambient: t.figure("lowest_ambient"),
        service: t
            .each("service", |s| {
                let part = s.reference("part");
                let (every, price) = (s.figure("every"), s.figure("price"));
                part.known()
                    .cloned()
                    .map(|part| Service { part, every, price })
            })
            .or(Vec::new())
            .into_iter()
            .flatten()
            .collect(),
    }
}

fn diffuser(t: &mut TableReader) -> Diffuser {
    Diffuser {
        entry: t.entry(Kind::Diffuser),
        flow: t.figure("flow"),
        loss: t.points("loss"),
        bubble: t.text("bubble"),
        check_valve: t.flag("check_valve"),
        volume: t.figure("volume"),
        source_radius: t.figure("source_radius"),
        stand: t.figure("stand"),
        inlet: t.end("inlet"),
    }
}

fn airline(t: &mut TableReader) -> Airline {
    Airline {
        entry: t.entry(Kind::Airline),
        size: t.figure("size"),
        size_means: t.text("size_means"),
        bore: t.figure("bore"),
        outside: t.figure("outside"),
        mass_per_length: t.figure("mass_per_length"),
        self_sinking: t.flag("self_sinking"),
        max_pressure: t.figure("max_pressure"),
        max_temperature: t.figure("max_temperature"),
        roll: t.figure("roll"),
        price_per_length: t.figure("price_per_length"),
    }
}

fn manifold(t: &mut TableReader) -> Manifold {
    Manifold {
        entry: t.entry(Kind::Manifold),
        outlets: t.count("outlets"),
        valve: t.text("valve"),
        cv: t.number("cv"),
        kv: t.number("kv"),
        loss: t.points("loss"),
        inlet: t.end("inlet"),
        outlet: t.end("outlet"),
        max_pressure: t.figure("max_pressure"),
        max_temperature: t.figure("max_temperature"),
    }
}

fn package(t: &mut TableReader) -> Package {
    Package {
        entry: t.entry(Kind::Package),
        compressor: t.uses("compressor"),
        supply: t.chosen_supply("supply"),
        diffuser: t.diffuser_uses("diffuser"),
        manifold: t.one_use("manifold"),
        cabinet: t.one_use("cabinet"),
        fittings: t.references("fittings"),
        check_valves: t.references("check_valves"),
        hot_section: match t.sub("hot_section", |h| HotSection {
            material: h.text("material"),
            length: h.figure("length"),
        }) {
            Some(hot) => Given::Known(hot),
            None if t.is_there("hot_section") => Given::Unreadable,
            None => Given::Absent,
        },
        bleed: t.figure("bleed"),
        hours_per_day: t.number("hours_per_day"),
        above_water: t.flag("above_water"),
        claims: t.sub("claim", claims).unwrap_or_default(),
        options: t.each("option", option).or(Vec::new()),
    }
}

fn claims(t: &mut TableReader) -> Claims {
    let mut unread = Vec::new();
    Claims {
        at: Some(t.item.name_span()),
        depth: t.promise("depth", &mut unread),
        area: t.promise("area", &mut unread),
        flow: t.promise("flow", &mut unread),
        power: t.promise("power", &mut unread),
        running_cost: t.promise("running_cost", &mut unread),
        sound: t.promise("sound", &mut unread),
        turnover: t.promise("turnover", &mut unread),
        oxygen: t.promise("oxygen", &mut unread),
        oxygen_uptake: t.promise("oxygen_uptake", &mut unread),
        transfer_efficiency: t.promise("transfer_efficiency", &mut unread),
        volume: t.promise("volume", &mut unread),
        water_moved: t.promise("water_moved", &mut unread),
        winter_opening: t.promise("winter_opening", &mut unread),
        warranty: t.promise("warranty", &mut unread),
        service_interval: t.promise("service_interval", &mut unread),
        packed_mass: t.promise("packed_mass", &mut unread),
        source: t.text("source").known().cloned(),
        unread,
    }
}

fn option(t: &mut TableReader) -> PackageOption {
    let id = t.text("id");
    let header = t.item.name_span();
    PackageOption {
        at: id.known().map_or(header, |id| id.at),
        id: id.known().map(|id| id.text.clone()).unwrap_or_default(),
        header,
        node: t.item.id(),
        airline: t.airline_uses("airline"),
        trunk: match t.sub("trunk", trunk) {
            Some(Some(trunk)) => Given::Known(trunk),
            _ if t.is_there("trunk") => Given::Unreadable,
            _ => Given::Absent,
        },
        allows: t.each("allows", |a| Allow {
            size: a.figure("size"),
            up_to: a.figure("up_to"),
            at: a.item.span(),
        }),
        compressor: t.uses("compressor"),
        supply: t.chosen_supply("supply"),
        manifold: t.one_use("manifold"),
        cabinet: t.one_use("cabinet"),
        fittings: t.references("fittings"),
        identity: t.identity(),
    }
}

fn airline_use(t: &mut TableReader) -> Option<AirlineUse> {
    let count = t.whole("count", 1)?;
    let per_run = t.whole("per_run", 1)?;
    line(t, count, per_run)
}

/// A trunk is one run, and no diffuser hangs on it: its table has no keys for either.
fn trunk(t: &mut TableReader) -> Option<AirlineUse> {
    line(t, 1, 1)
}

fn line(t: &mut TableReader, count: u32, per_run: u32) -> Option<AirlineUse> {
    let at = t.item.span();
    let segments = match t.each("segments", segment) {
        Given::Known(segments) => segments.into_iter().collect::<Option<Vec<_>>>()?,
        Given::Unreadable => return None,
        Given::Absent => vec![segment(t)?],
    };
    (!segments.is_empty()).then_some(AirlineUse {
        segments,
        count,
        per_run,
        at,
    })
}

fn segment(t: &mut TableReader) -> Option<Segment> {
    let part = t.reference("part");
    let length = t.figure("length");
    part.known().cloned().map(|part| Segment { part, length })
}

/// What reading an entry needs beside its table.
struct Reader<'c> {
    catalog: &'c mut Catalog,
    index: usize,
    on: String,
}

impl<'c> Reader<'c> {
    fn new(catalog: &'c mut Catalog, index: usize, on: impl Into<String>) -> Self {
        Reader {
            catalog,
            index,
            on: on.into(),
        }
    }

    fn table<'d>(self, item: Item<'d>, table: &'static Table) -> TableReader<'c, 'd> {
        TableReader {
            reader: self,
            item,
            table,
        }
    }

    /// What signs of money mean here: the catalog says so of its own files, and of no others.
    fn conventions(&self) -> Conventions {
        let own = self.catalog.documents.binary_search(&self.index).is_ok();
        let currency = self.catalog.currency.as_ref().filter(|_| own);
        currency.map_or(Conventions::default(), |code| {
            Conventions::of_currency(&code.text)
        })
    }

    fn fault(&mut self, at: Span, kind: FaultKind) {
        self.catalog.faults.push(CatalogFault {
            at,
            on: self.on.clone(),
            kind,
        });
    }

    fn mention(&mut self, kinds: &'static [Kind], reference: &Reference) {
        self.mention_as(kinds, reference, false);
    }

    fn mention_as(&mut self, kinds: &'static [Kind], reference: &Reference, is_use: bool) {
        let on = self.on.clone();
        self.catalog.mentions.push(Mention {
            kinds,
            id: reference.id.clone(),
            at: reference.at,
            on,
            is_use,
        });
    }

    fn mention_fits(&mut self, fits: &[Text]) {
        for part in fits {
            self.mention(
                FITTABLE,
                &Reference {
                    id: part.text.clone(),
                    at: part.at,
                },
            );
        }
    }

    /// The tables that stand once in a catalog.
    fn head(&mut self, root: Item) {
        let sub = |name: &str| root.get(name).filter(|item| item.kind() == Node::Table);
        if let Some(item) = sub("catalog") {
            self.catalog.header.get_or_insert(item.name_span());
            let mut t = self.borrow().table(item, fields::table_of("catalog"));
            let title = t.text("title").known().map(|title| title.text.clone());
            let sources = t.text("sources").known().is_some();
            let format = t.count("format");
            let rulebook = t.text("rulebook").known().cloned();
            let catalog = &mut *t.reader.catalog;
            catalog.title = catalog.title.take().or(title);
            catalog.sources_required |= sources;
            catalog.rulebook = catalog.rulebook.take().or(rulebook);
            if let Given::Known(format) = format
                && format.value != 1
            {
                t.reader.fault(
                    format.at,
                    FaultKind::FormatVersion {
                        found: format.value,
                    },
                );
            }
        }
        if let Some(item) = sub("site") {
            let mut t = self.borrow().table(item, fields::table_of("site"));
            let site = Site {
                altitude: t.figure("altitude"),
                air: t.figure("air"),
                water: t.figure("water"),
                basin: t.text("basin"),
                shape: t.number("shape"),
                hours_per_day: t.number("hours_per_day"),
                tariff: t.figure("tariff"),
            };
            t.reader.catalog.site = site;
        }
        if let Some(item) = sub("rating") {
            let mut t = self.borrow().table(item, fields::table_of("rating"));
            let rating = RatingEntry {
                reach_per_depth: t.number("reach_per_depth"),
                turnovers_per_day: t.number("turnovers_per_day"),
                mixing_air: t.figure("mixing_air"),
                line_loss: t.figure("line_loss"),
            };
            t.reader.catalog.rating = rating;
        }
        // Of equals the later counts, so what stands under `[audit]` stands above.
        let over = sub("audit").and_then(|audit| audit.get("level"));
        for item in sub("level").into_iter().chain(over) {
            self.levels(item);
        }
    }

    fn levels(&mut self, table: Item) {
        for setting in table.entries() {
            let Some((name, at)) = setting.key() else {
                continue;
            };
            let Some(word) = setting.as_str() else {
                continue;
            };
            if let Some(level) = super::LevelWord::parse(word) {
                let name = Text {
                    text: name.to_string(),
                    at,
                };
                self.catalog.levels.push(LevelSetting { name, level });
            }
        }
    }

    /// The tables that stand only in the catalog's own file have no effect in another.
    fn out_of_place(&mut self, root: Item) {
        for table in ["catalog", "site", "rating", "level", "audit"] {
            if let Some(item) = root.get(table) {
                let belongs = "catalog.toml".to_string();
                self.fault(item.name_span(), FaultKind::NotHere { table, belongs });
            }
        }
    }

    /// What may stand in any file: ranges, sheets, waivers.
    fn lists(&mut self, root: Item) {
        let ranges = root
            .get("assumption")
            .filter(|item| item.kind() == Node::Table);
        for item in ranges.into_iter().flat_map(Item::entries) {
            let Some((name, at)) = item.key() else {
                continue;
            };
            if item.kind() != Node::Table {
                continue;
            }
            let on = format!("assumption.{name}");
            let mut t = Reader::new(self.catalog, self.index, on)
                .table(item, fields::table_of("assumption"));
            let range = RangeEntry {
                name: Text {
                    text: name.to_string(),
                    at,
                },
                low: t.number("low"),
                central: t.number("central"),
                high: t.number("high"),
                source: t.text("source"),
            };
            t.reader.catalog.ranges.push(range);
        }
        for item in tables_of(root, "sheet") {
            let mut t = self.borrow().table(item, fields::table_of("sheet"));
            let sheet = SheetEntry {
                file: t.text("file"),
                package: t.reference("package"),
                kind: t.text("kind"),
                language: t.text("language"),
                market: t.text("market"),
                captured: t.date("captured"),
                url: t.text("url"),
                hash: t.text("hash"),
                at: item.name_span(),
                document: t.reader.index,
            };
            t.reader.catalog.sheets.push(sheet);
        }
        for item in tables_of(root, "waiver") {
            let mut t = self.borrow().table(item, fields::table_of("waiver"));
            let waiver = Waiver {
                rule: t.text("rule"),
                on: t.text("on"),
                value: t.text("value"),
                owner: t.text("owner"),
                reason: t.text_or_blank("reason"),
                until: t.date("until"),
                at: item.name_span(),
                document: t.reader.index,
            };
            t.reader.catalog.waivers.push(waiver);
        }
    }

    fn borrow(&mut self) -> Reader<'_> {
        Reader {
            catalog: self.catalog,
            index: self.index,
            on: self.on.clone(),
        }
    }
}

/// The `[pond]` of a pond file, and what is wrong with its values.
pub(super) fn pond(document: &Document) -> (PondEntry, Vec<CatalogFault>) {
    let mut nothing = Catalog::default();
    let root = document.root();
    let table = root.get("pond").filter(|item| item.kind() == Node::Table);
    let pond = table.map(|item| {
        let mut t = Reader::new(&mut nothing, 0, "pond").table(item, &POND);
        PondEntry {
            at: Some(item.name_span()),
            title: t.text("title"),
            area: t.above_nothing("area"),
            outline: t.corners("outline"),
            outline_file: t.text("outline_file"),
            soundings: t.text("soundings"),
            cabinet: t.place("cabinet"),
            depth: t.above_nothing("depth"),
            mean_depth: t.above_nothing("mean_depth"),
            basin: t.text("basin"),
            shape: t.number("shape"),
            altitude: t.figure("altitude"),
            air: t.figure("air"),
            water: t.figure("water"),
            ice: t.flag("ice"),
            run: t.figures("run"),
            supply: t.chosen_supply("supply"),
            tariff: t.figure("tariff"),
            running_cost: t.figure("running_cost"),
            hours_per_day: t.number("hours_per_day"),
            ear: t.above_nothing("ear"),
            sound: t.figure("sound"),
            oxygen_uptake: t.figure("oxygen_uptake"),
            start: t.date("start"),
        }
    });
    (pond.unwrap_or_default(), nothing.faults)
}

/// A place of an outline: two numbers and no more.
fn place(item: Item) -> Option<Plain<[f64; 2]>> {
    let mut numbers = item.items().map(|number| number.as_f64());
    let value = [numbers.next()??, numbers.next()??];
    let is_place = numbers.next().is_none() && value.iter().all(|one| one.is_finite());
    is_place.then(|| Plain {
        value,
        at: item.span(),
    })
}

/// What a spare part may fit.
const FITTABLE: &[Kind] = &[
    Kind::Compressor,
    Kind::Diffuser,
    Kind::Airline,
    Kind::Manifold,
    Kind::CheckValve,
    Kind::Cabinet,
];

fn tables_of<'d>(root: Item<'d>, key: &str) -> impl Iterator<Item = Item<'d>> {
    root.get(key)
        .into_iter()
        .flat_map(Item::items)
        .filter(|item| item.kind() == Node::Table)
}

/// Whether a level is expected: what it is heard at is a distance, not a depth.
fn is_sound(expected: &[Dimension]) -> bool {
    expected.contains(&Dimension::WeightedSoundLevel)
}

/// Whether a quantity can lie below its zero: a temperature, a level in decibels.
fn may_be_negative(dimension: Dimension) -> bool {
    matches!(
        dimension,
        Dimension::Temperature | Dimension::SoundLevel | Dimension::WeightedSoundLevel
    )
}

/// A promise as it stands there.
fn unread_promise(key: &'static str, row: Item) -> UnreadPromise {
    let figure = row.get("is").unwrap_or(row);
    let at = figure.span();
    let written = || figure.document().text()[at.range()].to_string();
    UnreadPromise {
        key,
        text: figure.as_str().map_or_else(written, str::to_string),
        at,
    }
}

/// A table being read by its list of fields.
struct TableReader<'c, 'd> {
    reader: Reader<'c>,
    item: Item<'d>,
    table: &'static Table,
}

impl<'c, 'd> TableReader<'c, 'd> {
    /// The field and what stands there.
    fn at(&self, key: &str) -> (&'static Field, Option<Item<'d>>) {
        let field = self.table.field(key);
        debug_assert!(field.is_some(), "{} has no field {key}", self.table.name);
        (field.unwrap_or(&fields::ROOT.fields[0]), self.item.get(key))
    }

    fn is_there(&self, key: &str) -> bool {
        self.item.get(key).is_some()
    }

    /// Turns what stands at `key` into a value by `take`; nothing there is absent, and nothing
    /// taken is unreadable.
    fn given<T>(
        &mut self,
        key: &str,
        take: impl FnOnce(&mut Self, &'static Field, Item<'d>) -> Option<T>,
    ) -> Given<T> {
        let (field, item) = self.at(key);
        match item {
            // What couldn't be read may hold any key.
            None if self.item.damaged() => Given::Unreadable,
            None => Given::Absent,
            Some(item) => match take(self, field, item) {
                Some(value) => Given::Known(value),
                None => Given::Unreadable,
            },
        }
    }

    fn text(&mut self, key: &str) -> Given<Text> {
        match self.text_or_blank(key) {
            Given::Known(text) if text.text.trim().is_empty() => Given::Unreadable,
            given => given,
        }
    }

    fn text_or_blank(&mut self, key: &str) -> Given<Text> {
        self.given(key, |_, field, item| {
            let text = item.as_str()?;
            if let Shape::Words(words) = field.shape
                && !words.contains(&text)
            {
                return None;
            }
            Some(Text {
                text: text.to_string(),
                at: item.span(),
            })
        })
    }

    fn texts(&mut self, key: &str) -> Vec<Text> {
        self.given(key, |_, _, item| {
            let one = |item: Item| {
                Some(Text {
                    text: item.as_str()?.to_string(),
                    at: item.span(),
                })
            };
            Some(item.items().filter_map(one).collect())
        })
        .or(Vec::new())
    }

    fn date(&mut self, key: &str) -> Given<Text> {
        self.given(key, |_, _, item| {
            // A date in quotes is read as well: no other reading is possible.
            let text = item.as_str().or(item.as_date().map(|(text, _)| text))?;
            let date: toml_datetime::Datetime = text.parse().ok()?;
            (date.date.is_some() && date.time.is_none()).then(|| Text {
                text: text.to_string(),
                at: item.span(),
            })
        })
    }

    fn flag(&mut self, key: &str) -> Given<Plain<bool>> {
        self.given(key, |_, _, item| {
            Some(Plain {
                value: item.as_bool()?,
                at: item.span(),
            })
        })
    }

    fn number(&mut self, key: &str) -> Given<Plain<f64>> {
        self.given(key, |t, field, item| {
            let value = item.as_f64().filter(|value| value.is_finite())?;
            let expected = match key {
                _ if value != 0.0 && !PLAIN.contains(&value.abs()) => {
                    "a number between 1e-12 and 1e12, or below 0 between -1e12 and -1e-12"
                }
                "cv" | "kv" | "shape" if value <= 0.0 => "a number above 0",
                "hours_per_day" if !(value > 0.0 && value <= 24.0) => "hours above 0, up to 24",
                _ => "",
            };
            if !expected.is_empty() {
                let kind = FaultKind::WrongShape {
                    expected: expected.to_string(),
                    found: item.written().to_string(),
                    example: field.example,
                    offered: None,
                };
                t.reader.fault(item.span(), kind);
                return None;
            }
            Some(Plain {
                value,
                at: item.span(),
            })
        })
    }

    fn count(&mut self, key: &str) -> Given<Plain<i64>> {
        self.given(key, |_, field, item| {
            let least = match field.shape {
                Shape::Count(least) => least,
                _ => 0,
            };
            let value = item.as_i64().filter(|value| *value >= least)?;
            Some(Plain {
                value,
                at: item.span(),
            })
        })
    }

    /// A count as a number of things; `usual` where it isn't stated, and nothing where it can't be
    /// read: what would be worked out from a guess would be found fault with in vain.
    fn whole(&mut self, key: &str, usual: u32) -> Option<u32> {
        match self.count(key) {
            // More than that many of anything isn't a package; the duty point must stay cheap.
            Given::Known(count) => u32::try_from(count.value.clamp(0, 1000)).ok(),
            Given::Absent => Some(usual),
            Given::Unreadable => None,
        }
    }

    fn reference(&mut self, key: &str) -> Given<Reference> {
        self.given(key, |t, field, item| {
            let reference = Reference {
                id: item.as_str()?.to_string(),
                at: item.span(),
            };
            if let Shape::Id(kinds) = field.shape {
                t.reader.mention(kinds, &reference);
            }
            Some(reference)
        })
    }

    fn references(&mut self, key: &str) -> Given<Vec<Reference>> {
        self.given(key, |t, field, item| {
            if item.kind() != Node::Array {
                return None;
            }
            let mut all = Vec::new();
            for one in item.items() {
                let Some(id) = one.as_str() else { continue };
                let reference = Reference {
                    id: id.to_string(),
                    at: one.span(),
                };
                if let Shape::Ids(kinds) = field.shape {
                    t.reader.mention(kinds, &reference);
                }
                all.push(reference);
            }
            Some(all)
        })
    }

    /// The table at `key`.
    fn sub<T>(&mut self, key: &str, take: impl FnOnce(&mut TableReader<'_, 'd>) -> T) -> Option<T> {
        let (field, item) = self.at(key);
        let item = item.filter(|item| item.kind() == Node::Table)?;
        let (Shape::One(table)
        | Shape::OneOrMany(table)
        | Shape::Parts(table)
        | Shape::Part(table)) = field.shape
        else {
            return None;
        };
        Some(take(&mut self.reader.borrow().table(item, table)))
    }

    /// Each table of the array at `key`, or the one table.
    fn each<T>(
        &mut self,
        key: &str,
        mut take: impl FnMut(&mut TableReader<'_, 'd>) -> T,
    ) -> Given<Vec<T>> {
        self.given(key, |t, field, item| {
            let (Shape::Many(table) | Shape::OneOrMany(table) | Shape::Parts(table)) = field.shape
            else {
                return None;
            };
            let mut one = |item: Item<'d>| match item.kind() {
                Node::Table => Some(take(&mut t.reader.borrow().table(item, table))),
                _ => None,
            };
            match item.kind() {
                Node::Table => Some(vec![one(item)?]),
                // One element that can't be read leaves the whole list unknown.
                Node::Array if !item.damaged() => {
                    let mut all = Vec::with_capacity(item.len());
                    for inner in item.items() {
                        all.push(one(inner)?);
                    }
                    Some(all)
                }
                _ => None,
            }
        })
    }

    fn points(&mut self, key: &str) -> Given<Vec<Point>> {
        let points = self.each(key, |p| {
            let (pressure, flow) = (p.figure("pressure"), p.figure("flow"));
            let power = match p.table.field("power") {
                Some(_) => p.figure("power").known().cloned(),
                None => None,
            };
            match (pressure, flow) {
                (Given::Known(pressure), Given::Known(flow)) => Some(Point {
                    pressure,
                    flow,
                    power,
                }),
                _ => None,
            }
        });
        match points {
            Given::Known(points) => match points.into_iter().collect::<Option<Vec<_>>>() {
                Some(points) if !points.is_empty() => Given::Known(points),
                _ => Given::Unreadable,
            },
            Given::Unreadable => Given::Unreadable,
            Given::Absent => Given::Absent,
        }
    }

    fn supply(&mut self, own_place: bool) -> Supply {
        Supply {
            at: own_place.then(|| self.item.name_span()),
            voltage: self.figure("voltage"),
            frequency: self.figure("frequency"),
            kind: self
                .text("supply")
                .known()
                .and_then(|word| Current::of(&word.text))
                .unwrap_or_default(),
            power: self.figure("power"),
            current: self.figure("current"),
            curve: self.points("curve"),
        }
    }

    /// A supply as a package names it.
    fn chosen_supply(&mut self, key: &str) -> Given<Supply> {
        self.given(key, |t, field, item| {
            let supply = supplies::read(item.as_str()?, item.span());
            if supply.is_none() {
                let kind = FaultKind::WrongShape {
                    expected: "a supply: volts, then hertz or dc, then three-phase if it is".into(),
                    found: item.written().to_string(),
                    example: field.example,
                    offered: None,
                };
                t.reader.fault(item.span(), kind);
            }
            supply
        })
    }

    fn end(&mut self, key: &str) -> Given<End> {
        self.given(key, |t, _, item| {
            let text = item.as_str()?;
            match ends::read(text, item.span()) {
                Ok(end) => Some(end),
                Err(expected) => {
                    let found = format!("\"{text}\"");
                    let kind = FaultKind::WrongShape {
                        expected,
                        found,
                        example: "\"1/2 in barb\"",
                        offered: None,
                    };
                    t.reader.fault(item.span(), kind);
                    None
                }
            }
        })
    }

    fn one_use(&mut self, key: &str) -> Given<Use> {
        match self.uses(key) {
            Given::Known(mut uses) => uses.pop().map_or(Given::Unreadable, Given::Known),
            Given::Unreadable => Given::Unreadable,
            Given::Absent => Given::Absent,
        }
    }

    fn uses(&mut self, key: &str) -> Given<Vec<Use>> {
        self.any_uses(key, |t, part, count, at| {
            let _ = t;
            Use { part, count, at }
        })
    }

    fn diffuser_uses(&mut self, key: &str) -> Given<Vec<DiffuserUse>> {
        self.any_uses(key, |t, part, count, at| DiffuserUse {
            part,
            count,
            depth: t.as_mut().map_or(Given::Absent, |t| t.figure("depth")),
            run: t.as_mut().map_or(Given::Absent, |t| t.figure("run")),
            airline: t.as_mut().map_or(Given::Absent, |t| t.reference("airline")),
            at,
        })
    }

    /// An ID, a table or an array of tables; `take` gets the table where there is one.
    fn any_uses<T>(
        &mut self,
        key: &str,
        mut take: impl FnMut(&mut Option<TableReader<'_, 'd>>, Reference, u32, Span) -> T,
    ) -> Given<Vec<T>> {
        self.given(key, |t, field, item| {
            let (Shape::Parts(table) | Shape::Part(table)) = field.shape else {
                return None;
            };
            let kinds = match table.field("part").map(|field| field.shape) {
                Some(Shape::Id(kinds)) => kinds,
                _ => &[],
            };
            let mut one = |item: Item<'d>| match item.kind() {
                Node::String => {
                    let part = Reference {
                        id: item.as_str()?.to_string(),
                        at: item.span(),
                    };
                    t.reader.mention_as(kinds, &part, true);
                    Some(take(&mut None, part, 1, item.span()))
                }
                Node::Table => {
                    let mut inner = t.reader.borrow().table(item, table);
                    let part = inner.reference("part").known().cloned()?;
                    let count = inner.whole("count", 1)?;
                    Some(take(&mut Some(inner), part, count, item.span()))
                }
                _ => None,
            };
            match item.kind() {
                Node::Array if item.is_empty() || item.damaged() => None,
                Node::Array => item.items().map(one).collect(),
                _ => Some(vec![one(item)?]),
            }
        })
    }

    fn airline_uses(&mut self, key: &str) -> Given<Vec<AirlineUse>> {
        match self.each(key, airline_use) {
            Given::Known(uses) => match uses.into_iter().collect::<Option<Vec<_>>>() {
                Some(uses) if !uses.is_empty() => Given::Known(uses),
                _ => Given::Unreadable,
            },
            Given::Unreadable => Given::Unreadable,
            Given::Absent => Given::Absent,
        }
    }

    fn entry(&mut self, kind: Kind) -> Entry {
        let text = |t: &mut Self, key: &str| t.text(key).known().cloned();
        Entry {
            kind,
            id: self
                .item
                .key()
                .map_or(String::new(), |(id, _)| id.to_string()),
            header: self.item.name_span(),
            document: self.reader.index,
            node: self.item.id(),
            damaged: self.item.damaged(),
            title: text(self, "title").map(|title| title.text),
            source: match self.table.field("source") {
                Some(_) => text(self, "source"),
                None => None,
            },
            identity: match self.table.field("sku") {
                Some(_) => self.identity(),
                None => Identity::default(),
            },
        }
    }

    fn identity(&mut self) -> Identity {
        Identity {
            sku: self.text("sku"),
            model: self.text("model"),
            gtin: self.text("gtin"),
            status: self.text("status"),
            since: self.date("since"),
            replaced_by: self.text("replaced_by"),
            mass: self.figure("mass"),
            packed_mass: self.sub("packed", |p| p.figure("mass")).unwrap_or_default(),
            price: self.figure("price"),
            warranty: self.figure("warranty"),
        }
    }

    // ── Figures ────────────────────────────────────────────────────────────

    fn figure(&mut self, key: &str) -> Given<Figure> {
        self.given(key, |t, field, item| match field.shape {
            Shape::Quantity(dimensions) => t.stated(item, dimensions, field),
            _ => None,
        })
    }

    /// The same of what means nothing at 0.
    fn above_nothing(&mut self, key: &str) -> Given<Figure> {
        let figure = self.figure(key);
        match figure.known().filter(|figure| figure.low() <= 0.0) {
            Some(none) => {
                let (field, _) = self.at(key);
                let kind = FaultKind::WrongShape {
                    expected: format!("{} of more than nothing", none.dimension().words()),
                    found: none.text().to_string(),
                    example: field.example,
                    offered: None,
                };
                self.reader.fault(none.at, kind);
                Given::Unreadable
            }
            None => figure,
        }
    }

    /// A quantity, or each of a list.
    fn figures(&mut self, key: &str) -> Given<Vec<Figure>> {
        self.given(key, |t, field, item| {
            let Shape::Quantities(dimensions) = field.shape else {
                return None;
            };
            let all: Vec<Item> = match item.kind() {
                Node::Array if item.damaged() => return None,
                Node::Array => item.items().collect(),
                _ => vec![item],
            };
            let figures = all.into_iter().map(|one| {
                let quantity = t.quantity(one, dimensions, field)?;
                Some(Figure::bare(quantity, one.span()))
            });
            // Each is read, so that the faults of all are told.
            let figures: Vec<Option<Figure>> = figures.collect();
            let figures = figures.into_iter().collect::<Option<Vec<Figure>>>()?;
            (!figures.is_empty()).then_some(figures)
        })
    }

    /// The corners of an outline.
    fn corners(&mut self, key: &str) -> Given<Vec<Plain<[f64; 2]>>> {
        self.given(key, |_, _, item| {
            if item.kind() != Node::Array || item.damaged() {
                return None;
            }
            item.items().map(place).collect()
        })
    }

    fn place(&mut self, key: &str) -> Given<Plain<[f64; 2]>> {
        self.given(key, |_, _, item| place(item))
    }

    /// The rows of a promise; those that can't be read go to `unread`, and leave the others.
    fn promise(
        &mut self,
        key: &'static str,
        unread: &mut Vec<UnreadPromise>,
    ) -> Given<Vec<Figure>> {
        self.given(key, |t, field, item| {
            let Shape::Promise(dimensions) = field.shape else {
                return None;
            };
            let is_rows =
                item.kind() == Node::Array && item.items().any(|row| row.kind() == Node::Table);
            let all: Vec<Item> = match is_rows {
                true => item.items().collect(),
                false => vec![item],
            };
            let mut rows: Vec<Figure> = Vec::with_capacity(all.len());
            for row in all {
                match t.stated(row, dimensions, field) {
                    Some(figure) => rows.push(figure),
                    None => unread.push(unread_promise(key, row)),
                }
            }
            (!rows.is_empty()).then_some(rows)
        })
    }

    /// A quantity as text, as several listings, or as `{ is, at, source }`.
    fn stated(
        &mut self,
        item: Item<'d>,
        expected: &'static [Dimension],
        field: &'static Field,
    ) -> Option<Figure> {
        if item.kind() != Node::Table {
            return self.listings(item, expected, field);
        }
        let mut figure = self.listings(item.get("is")?, expected, field)?;
        if let Some(at) = item.get("at") {
            figure.conditions = self.condition(at, is_sound(expected));
        } else {
            // What couldn't be read may have been the condition.
            figure.conditions.unreadable = item.damaged();
        }
        figure.source = item.get("source").and_then(|s| {
            Some(Text {
                text: s.as_str()?.to_string(),
                at: s.span(),
            })
        });
        figure.per_diffuser = item.get("per").and_then(Item::as_str) == Some("diffuser");
        Some(figure)
    }

    /// One figure, or the same in several units; the first counts.
    fn listings(
        &mut self,
        item: Item<'d>,
        expected: &'static [Dimension],
        field: &'static Field,
    ) -> Option<Figure> {
        let of = Figure::bare;
        if item.kind() != Node::Array {
            return Some(of(self.quantity(item, expected, field)?, item.span()));
        }
        let mut all = item
            .items()
            .map(|one| (self.quantity(one, expected, field), one.span()));
        let (first, at) = all.next()?;
        let others: Vec<(Option<Quantity>, Span)> = all.collect();
        let mut figure = of(first?, at);
        figure.also = others
            .into_iter()
            .filter_map(|(quantity, at)| Some((quantity?, at)))
            .collect();
        self.compare_listings(&figure);
        Some(figure)
    }

    /// Whether the listings of one figure say the same, with no more digits than they can carry.
    fn compare_listings(&mut self, figure: &Figure) {
        for (other, at) in &figure.also {
            let Some(agreement) = units::agree(&figure.quantity, other) else {
                continue;
            };
            if !agreement.holds() {
                let kind = FaultKind::ListingsDisagree {
                    first: Box::new(figure.quantity.clone()),
                    first_at: figure.at,
                    other: Box::new(other.clone()),
                    agreement,
                };
                self.reader.fault(*at, kind);
            } else if let Some(too_fine) = units::false_precision(&figure.quantity, other) {
                let (fine, round, at) = if too_fine.first {
                    (&figure.quantity, other, figure.at)
                } else {
                    (other, &figure.quantity, *at)
                };
                let kind = FaultKind::FalsePrecision {
                    text: fine.text().to_string(),
                    of: round.text().to_string(),
                    restated: too_fine.restated,
                };
                self.reader.fault(at, kind);
            }
        }
    }

    fn quantity(
        &mut self,
        item: Item<'d>,
        expected: &'static [Dimension],
        field: &'static Field,
    ) -> Option<Quantity> {
        let text = match item.kind() {
            Node::String => item.as_str()?,
            Node::Integer | Node::Float => {
                let found = item.written().to_string();
                let kind = FaultKind::NoUnit {
                    found,
                    expected,
                    example: field.example,
                };
                self.reader.fault(item.span(), kind);
                return None;
            }
            _ => return None,
        };
        if item.is_suspect() {
            return None;
        }
        let reading = units::read_under(text, expected, self.reader.conventions());
        let correction = reading.correction;
        for fault in reading.faults {
            let at = item.part_span(fault.at.start, fault.at.end);
            let at = if at.is_empty() { item.span() } else { at };
            let kind = FaultKind::Unit {
                text: text.to_string(),
                fault,
                expected,
                whole: item.span(),
                correction: correction.clone(),
            };
            self.reader.fault(at, kind);
        }
        let quantity = reading.quantity?;
        let low = quantity.si_low();
        let (too_low, least) = if fields::is_above_nothing(field) {
            (low <= 0.0, "more than nothing")
        } else {
            (low < 0.0, "nothing or more")
        };
        if too_low && !may_be_negative(quantity.dimension()) && field.key != "altitude" {
            let kind = FaultKind::WrongShape {
                expected: format!("{} of {least}", quantity.dimension().words()),
                found: quantity.text().to_string(),
                example: field.example,
                offered: None,
            };
            self.reader.fault(item.span(), kind);
            return None;
        }
        Some(quantity)
    }

    /// `at`: one quantity whose dimension says what it is, or a table of several.
    fn condition(&mut self, item: Item<'d>, of_sound: bool) -> Conditions {
        if item.kind() == Node::Table {
            let mut t = self.reader.borrow().table(item, &CONDITIONS);
            let conditions = t.conditions();
            return conditions;
        }
        let mut conditions = Conditions {
            at: Some(item.span()),
            ..Conditions::default()
        };
        // The dimension decides which condition it is, and no single field has them all.
        static ANY: Field = Field {
            key: "at",
            shape: Shape::Quantity(CONDITION),
            need: fields::Need::No,
            says: "the condition it holds under",
            example: "\"15 kPa\"",
        };
        let Some(figure) = self.listings(item, CONDITION, &ANY) else {
            conditions.unreadable = true;
            return conditions;
        };
        let place = match figure.dimension() {
            Dimension::Length => {
                // A sound level's length is a distance, any other's a depth.
                if of_sound {
                    &mut conditions.distance
                } else {
                    &mut conditions.depth
                }
            }
            Dimension::MoneyPerEnergy => &mut conditions.tariff,
            Dimension::Temperature => &mut conditions.temperature,
            _ => &mut conditions.pressure,
        };
        *place = Some(Box::new(figure));
        conditions
    }

    fn conditions(&mut self) -> Conditions {
        let mut unreadable = false;
        let fields = [
            "pressure",
            "depth",
            "distance",
            "tariff",
            "altitude",
            "temperature",
        ];
        let [pressure, depth, distance, tariff, altitude, temperature] =
            fields.map(|key| match self.figure(key) {
                Given::Known(figure) => Some(Box::new(figure)),
                Given::Absent => None,
                Given::Unreadable => {
                    unreadable = true;
                    None
                }
            });
        let hours = self.number("hours_per_day");
        unreadable |= matches!(hours, Given::Unreadable);
        Conditions {
            pressure,
            depth,
            distance,
            tariff,
            altitude,
            temperature,
            hours_per_day: hours.known().map(|hours| hours.value),
            at: Some(self.item.span()),
            unreadable,
        }
    }
}
