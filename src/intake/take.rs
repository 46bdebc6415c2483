//! Rows as entries of a catalog, by a mapping.
//!
//! First every table that makes things is gone through for their names, so that a package may name a compressor of a
//! later table. Then the cells are read. Tables that only join something to what is there come last.

use std::collections::{BTreeMap, BTreeSet, HashMap, HashSet};

use globset::Glob;

use crate::catalog::fields::{CONDITION, Field, Shape};
use crate::catalog::mapping::{ColumnEntry, Mapping, TableEntry, Target};
use crate::catalog::{Catalog, Kind, id_of};
use crate::units::read;

use super::grid::{Cell, Formula, Grid, Row, Sheet, Value};
use super::headings;
use super::merge::Record;
use super::names::{Called, Found, Known, Names};
use super::shapes::{self, Column, Problem, Toml};
use super::told::{Account, At, Fate, Told, What};

/// A file of tables by its name.
#[derive(Debug)]
pub struct File {
    /// What reports call it.
    pub path: String,
    /// What stands in it.
    pub grid: Grid,
}

/// What an intake is made of.
#[derive(Debug)]
pub struct Taking<'t> {
    /// The files, in order.
    pub files: &'t [File],
    /// Which column is what.
    pub mapping: &'t Mapping,
    /// What is there already.
    pub catalog: &'t Catalog,
    /// What an earlier intake took.
    pub record: &'t Record,
    /// Whether offers are taken.
    pub offered: bool,
}

/// What came of the rows.
#[derive(Debug, Default)]
pub struct Taken {
    /// What the rows say, by kind and ID.
    pub entries: Vec<Draft>,
    /// What became of each row.
    pub accounts: Vec<Account>,
    /// What was found.
    pub told: Vec<Told>,
}

/// A thing as the tables have it.
#[derive(Debug)]
pub struct Draft {
    /// What it is.
    pub kind: Kind,
    /// Its ID.
    pub id: String,
    /// Whether a table makes it, and doesn't only add to it.
    pub made: bool,
    /// The row that is about it first.
    pub at: At,
    /// The file that it goes to if the catalog hasn't got it.
    pub write: String,
    /// What is said of it, by key.
    pub values: Vec<Stated>,
}

impl Draft {
    /// As a waiver names it.
    #[must_use]
    pub fn on(&self) -> String {
        format!("{}.{}", self.kind.table(), self.id)
    }
}

/// A value with its key and the cell it comes from.
#[derive(Debug, Clone)]
pub struct Stated {
    /// The key, with dots.
    pub key: String,
    /// The fields on the way to it.
    pub way: Vec<&'static Field>,
    /// The value.
    pub toml: Toml,
    /// Where it comes from.
    pub at: At,
}

/// Takes the rows of all tables.
pub fn take(taking: &Taking) -> Taken {
    let mut run = Run {
        taking,
        names: Names::of(taking.catalog),
        known: Known::of(taking.catalog),
        drafts: Vec::new(),
        by_id: HashMap::new(),
        numbers: HashMap::new(),
        taken: Taken::default(),
    };
    for file in taking.files {
        for remark in &file.grid.remarks {
            let at = At {
                file: file.path.clone(),
                ..At::default()
            };
            run.tell(at, What::File(remark.clone()), None);
        }
    }
    let mut jobs = run.jobs();
    for job in &mut jobs {
        run.columns(job);
    }
    for job in jobs.iter_mut().filter(|job| job.makes()) {
        run.identify(job);
    }
    let (makers, joiners): (Vec<Job>, Vec<Job>) = jobs.into_iter().partition(Job::makes);
    for mut job in makers.into_iter().chain(joiners) {
        run.rows(&mut job);
        run.taken.accounts.push(job.account);
    }
    run.taken.entries = run.drafts;
    run.taken
}

/// The key that names a way to buy.
const OPTION_ID: &str = "option.id";

struct Run<'t> {
    taking: &'t Taking<'t>,
    names: Names,
    known: Known,
    drafts: Vec<Draft>,
    by_id: HashMap<(Kind, String), usize>,
    /// The stock number of each thing that a table makes, folded.
    numbers: HashMap<(Kind, String), String>,
    taken: Taken,
}

/// A sheet under one table of the mapping.
struct Job<'t> {
    table: &'t TableEntry,
    file: &'t str,
    sheet: &'t Sheet,
    columns: Vec<Placed<'t>>,
    /// Which thing each row is about, by its place in the sheet.
    about: HashMap<usize, (Kind, String)>,
    fates: BTreeMap<usize, Fate>,
    account: Account,
}

/// A mapped column with its place in the sheet.
struct Placed<'t> {
    entry: &'t ColumnEntry,
    column: u32,
    unit_from: Option<u32>,
    says: Column,
}

impl Job<'_> {
    fn makes(&self) -> bool {
        self.table.join.is_none()
    }

    fn at(&self, row: u32, column: Option<&Placed>) -> At {
        At {
            file: self.file.to_string(),
            sheet: self.sheet.name.clone(),
            row,
            column: column.map(|placed| placed.column),
            heading: column.map_or_else(String::new, |placed| placed.entry.heading.clone()),
        }
    }

    /// The columns with something in them and no heading, which are named by their letters alone.
    fn without_heading(&self, headings: &[(u32, String)]) -> Vec<(u32, String)> {
        let headed: HashSet<u32> = headings.iter().map(|(column, _)| *column).collect();
        let rows = self.sheet.rows.iter();
        let below = rows.filter(|row| row.number > self.table.heading_row);
        let columns = below.flat_map(|row| row.cells.iter().map(|cell| cell.column));
        let bare: BTreeSet<u32> = columns.filter(|column| !headed.contains(column)).collect();
        bare.into_iter()
            .map(|column| (column, String::new()))
            .collect()
    }

    /// What a row calls its thing.
    fn called(&self, row: &Row) -> Called {
        let mut called = Called::default();
        for &key in Called::keys() {
            let own = self.columns.iter().find(|placed| {
                placed
                    .entry
                    .key
                    .as_ref()
                    .is_some_and(|said| said.text == key)
            });
            let text = own.and_then(|placed| row.at(placed.column));
            let text = text.filter(|cell| !shapes::is_blank(&cell.value));
            let text = text.and_then(|cell| shapes::text(&cell.value).ok());
            if let Some(text) = text.filter(|text| !text.is_empty()) {
                called.by.push((key, text));
            }
        }
        called
    }

    /// The ID of the way to buy that a row is about, where a column names it.
    fn option(&self, row: &Row) -> Option<String> {
        let is_id = |placed: &&Placed| {
            let key = placed.entry.key.as_ref();
            key.is_some_and(|said| said.text == OPTION_ID)
        };
        let placed = self.columns.iter().find(is_id)?;
        let text = shapes::text(&row.at(placed.column)?.value).ok()?;
        Some(id_of(&text)).filter(|id| !id.is_empty())
    }

    /// What becomes of a row whatever is called what in it.
    fn fate_by_place(&self, row: &Row) -> Option<Fate> {
        let heading = self.table.heading_row;
        if row.number < heading {
            return Some(Fate::Above);
        }
        let is_heading = |placed: &Placed| {
            let cell = row.at(placed.column).map(|cell| cell.value.shown());
            cell.is_some_and(|text| same(&text, &placed.entry.heading))
        };
        let repeated = self
            .columns
            .iter()
            .filter(|placed| is_heading(placed))
            .count();
        if row.number == heading || repeated >= 2 {
            return Some(Fate::Headings);
        }
        let first = row.cells.iter().find(|cell| !shapes::is_blank(&cell.value));
        if first.is_some_and(|cell| headings::is_of_sums(&cell.value.shown())) {
            return Some(Fate::Sum);
        }
        (row.cells.len() == 1 && self.columns.len() > 2).then_some(Fate::Note)
    }
}

/// Whether two headings are the same but for blanks and case.
fn same(a: &str, b: &str) -> bool {
    let words = |text: &str| {
        text.split_whitespace()
            .map(str::to_lowercase)
            .collect::<Vec<_>>()
    };
    words(a) == words(b)
}

impl<'t> Run<'t> {
    fn tell(&mut self, at: At, what: What, offer: Option<String>) {
        self.taken.told.push(Told { at, what, offer });
    }

    /// Every sheet under every table of the mapping that speaks of it; sheets of which none does are told.
    fn jobs(&mut self) -> Vec<Job<'t>> {
        let taking = self.taking;
        let mut jobs = Vec::new();
        let mut used = HashSet::new();
        for (file, sheet) in taking
            .files
            .iter()
            .flat_map(|file| file.grid.sheets.iter().map(move |sheet| (file, sheet)))
        {
            let tables = taking.mapping.tables.iter().enumerate();
            let mut is_mapped = false;
            for (number, table) in
                tables.filter(|(_, table)| speaks_of(table, &file.path, &sheet.name))
            {
                is_mapped = true;
                used.insert(number);
                jobs.push(Job {
                    table,
                    file: &file.path,
                    sheet,
                    columns: Vec::new(),
                    about: HashMap::new(),
                    fates: BTreeMap::new(),
                    account: Account {
                        file: file.path.clone(),
                        sheet: sheet.name.clone(),
                        kind: table.kind.map(Kind::table),
                        ..Account::default()
                    },
                });
            }
            if !is_mapped {
                let rows = sheet.rows.iter().map(|row| (row.number, Fate::Unmapped));
                self.taken.accounts.push(Account {
                    file: file.path.clone(),
                    sheet: sheet.name.clone(),
                    kind: None,
                    rows: rows.collect(),
                    unknown: Vec::new(),
                });
            }
        }
        let tables = taking.mapping.tables.iter().enumerate();
        for (_, table) in tables.filter(|(number, _)| !used.contains(number)) {
            self.unused(table);
        }
        jobs
    }

    /// Tells of a table of the mapping that is nowhere, unless it may be in a file that can't be read.
    fn unused(&mut self, table: &TableEntry) {
        let mut unread = self.taking.files.iter();
        if unread.any(|file| file.grid.sheets.is_empty() && is_of(table, &file.path)) {
            return;
        }
        let stated = [&table.file, &table.sheet];
        let named = stated.into_iter().flatten();
        let named: Vec<&str> = named.map(|said| said.text.as_str()).collect();
        let named = match named.is_empty() {
            true => table.kind.map_or("any table", Kind::table).to_string(),
            false => named.join(", sheet "),
        };
        self.tell(At::default(), What::NoTable { named }, None);
    }

    /// Finds the columns of a job by their headings; those that aren't mapped are kept for the account.
    fn columns(&mut self, job: &mut Job<'t>) {
        let mut rows = job.sheet.rows.iter();
        let row = rows.find(|row| row.number == job.table.heading_row);
        let cells = row.into_iter().flat_map(|row| &row.cells);
        let headings: Vec<(u32, String)> = cells
            .map(|cell| (cell.column, cell.value.shown()))
            .collect();
        let mut free = headings.clone();
        let mut units_from = HashSet::new();
        for entry in job.table.columns.iter().filter(|entry| entry.key.is_some()) {
            let Some(found) = free.iter().position(|(_, own)| same(own, &entry.heading)) else {
                let heading = entry.heading.clone();
                let at = job.at(job.table.heading_row, None);
                self.tell(at, What::NoColumn { heading }, None);
                continue;
            };
            let (column, _) = free.remove(found);
            let unit_from = entry.unit_from.as_ref().and_then(|said| {
                let mut headings = headings.iter();
                let own = headings.find(|(_, own)| same(own, &said.text))?;
                Some(own.0)
            });
            units_from.extend(unit_from);
            job.columns.push(Placed {
                entry,
                column,
                unit_from,
                says: Column {
                    unit: entry.unit.as_ref().map(|said| said.text.clone()),
                    condition: entry.condition.as_ref().map(|said| said.text.clone()),
                    decimal: job.table.decimal,
                },
            });
        }
        free.retain(|(column, _)| !units_from.contains(column));
        free.extend(job.without_heading(&headings));
        job.account.unknown = free;
    }

    /// Gives every row of a table that makes things the ID of its thing.
    fn identify(&mut self, job: &mut Job<'t>) {
        let Some(kind) = job.table.kind else {
            return;
        };
        let mut options: HashSet<(String, String)> = HashSet::new();
        for (place, row) in job.sheet.rows.iter().enumerate() {
            if let Some(fate) = job.fate_by_place(row) {
                job.fates.insert(place, fate);
                continue;
            }
            let called = job.called(row);
            let Some(id) = self.id(kind, &called) else {
                job.fates.insert(place, Fate::NoName);
                self.tell(job.at(row.number, None), What::NoName, None);
                continue;
            };
            // Another way to buy what an earlier row is about.
            let option = job.option(row);
            let is_repeated = option.is_none_or(|option| !options.insert((id.clone(), option)));
            if let Some(&draft) = self.by_id.get(&(kind, id.clone()))
                && !is_repeated
                && self.drafts[draft].at.file == job.file
            {
                job.about.insert(place, (kind, id));
                continue;
            }
            if let Some(&draft) = self.by_id.get(&(kind, id.clone())) {
                let first = &self.drafts[draft];
                let what = What::Duplicate {
                    on: first.on(),
                    row: first.at.row,
                };
                job.fates.insert(place, Fate::Duplicate);
                self.tell(job.at(row.number, None), what, None);
                continue;
            }
            for (_, name) in &called.by {
                self.names.add(kind, &id, name);
            }
            self.names.add(kind, &id, &id);
            self.by_id.insert((kind, id.clone()), self.drafts.len());
            if let Some(sku) = called.get("sku") {
                self.numbers.insert((kind, id.clone()), id_of(sku));
            }
            let written = job.table.write.as_ref().map(|said| said.text.clone());
            self.drafts.push(Draft {
                kind,
                id: id.clone(),
                made: true,
                at: job.at(row.number, None),
                write: written.unwrap_or_else(|| format!("{}.toml", kind.table())),
                values: Vec::new(),
            });
            job.about.insert(place, (kind, id));
        }
    }

    /// The ID of a thing that is called so: the catalog's, an earlier intake's, else one made of its name.
    fn id(&self, kind: Kind, called: &Called) -> Option<String> {
        if called.get("id").is_none() {
            // A number is surer than a name, and what was taken before keeps its ID whatever it is called by now.
            let known = ["sku", "gtin", "title", "model"].iter().find_map(|key| {
                let name = called.get(key)?;
                let id = self
                    .known
                    .id_of(kind, key, name)
                    .or_else(|| self.taking.record.known.id_of(kind, key, name))?;
                // Two things may have one title; they have two numbers.
                let is_another = called.get("sku").is_some_and(|sku| {
                    let own = self
                        .known
                        .sku_of(kind, &id)
                        .or_else(|| self.taking.record.known.sku_of(kind, &id));
                    own.is_some_and(|own| own != id_of(sku))
                });
                (!is_another).then_some(id)
            });
            if known.is_some() {
                return known;
            }
        }
        let id = called.id()?;
        let own = (kind, id.clone());
        let is_taken = self.by_id.contains_key(&own) || self.known.has(kind, &id);
        match called.get("sku").filter(|_| called.get("id").is_none()) {
            // The same title with another number is another thing.
            Some(sku) if is_taken && self.numbers.get(&own) != Some(&id_of(sku)) => {
                Some(format!("{id}-{}", id_of(sku)))
            }
            _ => Some(id),
        }
    }

    /// Reads the rows of a job.
    fn rows(&mut self, job: &mut Job<'t>) {
        for (place, row) in job.sheet.rows.iter().enumerate() {
            let fate = match job.fates.get(&place) {
                Some(&fate) => fate,
                None => self.row(job, place, row),
            };
            job.account.rows.push((row.number, fate));
        }
    }

    fn row(&mut self, job: &mut Job<'t>, place: usize, row: &Row) -> Fate {
        let about = match job.about.get(&place) {
            Some(about) => about.clone(),
            None => match self.joined(job, row) {
                Ok(about) => about,
                Err(fate) => return fate,
            },
        };
        let before = self.taken.told.len();
        if row.hidden {
            self.tell(job.at(row.number, None), What::Hidden, None);
        }
        let (kind, id) = about;
        let draft = self.draft(kind, id, job.at(row.number, None));
        self.cells(job, draft, kind, row);
        self.fixed(job, draft, kind, row);
        match self.taken.told.len() > before {
            true => Fate::WithFinding,
            false => Fate::Taken,
        }
    }

    /// The place of a thing among the drafts; one that only the catalog has is put there.
    fn draft(&mut self, kind: Kind, id: String, at: At) -> usize {
        let next = self.drafts.len();
        let draft = *self.by_id.entry((kind, id.clone())).or_insert(next);
        if draft == next {
            self.drafts.push(Draft {
                kind,
                id,
                made: false,
                at,
                write: format!("{}.toml", kind.table()),
                values: Vec::new(),
            });
        }
        draft
    }

    /// Reads the cells of a row.
    fn cells(&mut self, job: &Job<'t>, draft: usize, kind: Kind, row: &Row) {
        let join = job.table.join.as_ref().map(|join| join.text.as_str());
        let option = job.option(row);
        let mut points: BTreeMap<String, Points> = BTreeMap::new();
        for placed in &job.columns {
            // What only finds the thing says nothing of it.
            let key = placed.entry.key.as_ref().map(|key| key.text.as_str());
            let key = key.filter(|key| *key != "id" && Some(*key) != join);
            let key = key.map(|key| of_option(key, option.as_deref()));
            let target = key.as_ref().and_then(|key| Target::of(kind, key));
            let (Some(key), Some(target), Some(cell)) = (key, target, row.at(placed.column)) else {
                continue;
            };
            let key = key.as_str();
            let at = job.at(row.number, Some(placed));
            let Some(toml) = self.cell(cell, &target, placed, row, &at) else {
                continue;
            };
            match target.field().shape {
                Shape::Many(_) => {
                    let points = points.entry(key.to_string()).or_insert_with(|| Points {
                        way: target.way.clone(),
                        at,
                        rows: Vec::new(),
                    });
                    points.rows.push(toml);
                }
                _ => self.state(draft, key, &target.way, toml, at),
            }
        }
        for (key, points) in points {
            let (way, at) = (points.way.clone(), points.at.clone());
            let toml = points.toml();
            self.state(draft, &key, &way, toml, at);
        }
    }

    /// The thing that a row of a joining table is about.
    fn joined(&mut self, job: &Job<'t>, row: &Row) -> Result<(Kind, String), Fate> {
        if let Some(fate) = job.fate_by_place(row) {
            return Err(fate);
        }
        let called = job.called(row);
        let key = job
            .table
            .join
            .as_ref()
            .map_or("title", |join| join.text.as_str());
        let Some(name) = called.get(key) else {
            self.tell(job.at(row.number, None), What::NoName, None);
            return Err(Fate::NoName);
        };
        match self.names.find(&job.table.kinds(), name) {
            Found::One(kind, id) => Ok((kind, id)),
            found => {
                let found_name = name.to_string();
                let what = match found {
                    Found::Several => What::SeveralParts { found: found_name },
                    _ => What::NoMatch { found: found_name },
                };
                self.tell(job.at(row.number, None), what, None);
                Err(Fate::NoMatch)
            }
        }
    }

    /// What a cell says; what is wrong with it is told.
    fn cell(
        &mut self,
        cell: &Cell,
        target: &Target,
        placed: &Placed,
        row: &Row,
        at: &At,
    ) -> Option<Toml> {
        if shapes::is_blank(&cell.value) {
            if cell.value == Value::Nothing {
                self.tell(at.clone(), What::NeverCalculated, None);
            }
            return None;
        }
        if let Value::Error(error) = &cell.value {
            self.tell(
                at.clone(),
                What::Failed {
                    found: error.clone(),
                },
                None,
            );
            return None;
        }
        if cell.formula == Some(Formula::Elsewhere) {
            self.tell(at.clone(), What::Elsewhere, None);
        }
        let unit = placed.unit_from.and_then(|column| row.at(column));
        let unit = unit.map(|cell| cell.value.shown().trim().to_string());
        let column = Column {
            unit: unit
                .filter(|unit| !unit.is_empty())
                .or_else(|| placed.says.unit.clone()),
            ..placed.says.clone()
        };
        match shapes::read(&cell.value, target.field(), &column, &self.names) {
            Ok(toml) => Some(toml),
            Err(problem) => self.problem(problem, at),
        }
    }

    /// Tells a problem; what is taken all the same.
    fn problem(&mut self, problem: Problem, at: &At) -> Option<Toml> {
        let Problem { what, taken, offer } = problem;
        let (shown, offered) = offer.map(|both| *both).unzip();
        self.tell(at.clone(), *what, shown);
        taken.or_else(|| offered.filter(|_| self.taking.offered))
    }

    /// Puts a value to a thing, or tells that another cell says otherwise.
    fn state(&mut self, draft: usize, key: &str, way: &[&'static Field], toml: Toml, at: At) {
        let earlier = self.drafts[draft]
            .values
            .iter_mut()
            .find(|value| value.key == key);
        let Some(earlier) = earlier else {
            self.drafts[draft].values.push(Stated {
                key: key.to_string(),
                way: way.to_vec(),
                toml,
                at,
            });
            return;
        };
        if earlier.toml == toml {
            return;
        }
        // Two columns of one figure in two units are two listings of it; the audit holds them to each other.
        let is_figure = matches!(
            way.last().map(|field| field.shape),
            Some(Shape::Quantity(_) | Shape::Promise(_))
        );
        if is_figure
            && earlier.at.row == at.row
            && earlier.at.sheet == at.sheet
            && let (Toml::Text(first), Toml::Text(second)) = (&earlier.toml, &toml)
        {
            earlier.toml = Toml::List(vec![Toml::text(first), Toml::text(second)]);
            return;
        }
        let what = What::OtherTable {
            taken: earlier.toml.written(),
            found: toml.written(),
            other: earlier.at.words(),
        };
        self.tell(at, what, None);
    }

    /// What the mapping says of every row.
    fn fixed(&mut self, job: &Job<'t>, draft: usize, kind: Kind, row: &Row) {
        for (key, text) in &job.table.fixed {
            let has = self.drafts[draft]
                .values
                .iter()
                .any(|value| value.key == key.text);
            let Some(target) = Target::of(kind, &key.text).filter(|_| !has) else {
                continue;
            };
            let at = job.at(row.number, None);
            let column = Column::default();
            let value = Value::Text(text.clone());
            match shapes::read(&value, target.field(), &column, &self.names) {
                Ok(toml) => self.state(draft, &key.text, &target.way, toml, at),
                Err(problem) => {
                    if let Some(toml) = self.problem(problem, &at) {
                        self.state(draft, &key.text, &target.way, toml, at);
                    }
                }
            }
        }
    }
}

/// A key of the ways to buy as one of the way that the row names: `option.price` as `option.complete.price`.
fn of_option(key: &str, option: Option<&str>) -> String {
    match (key.strip_prefix("option."), option) {
        (Some(rest), Some(option)) => format!("option.{option}.{rest}"),
        _ => key.to_string(),
    }
}

/// Points of a curve, one from each column of a row.
struct Points {
    way: Vec<&'static Field>,
    at: At,
    rows: Vec<Toml>,
}

impl Points {
    /// From the lowest pressure on, as a curve is written.
    fn toml(mut self) -> Toml {
        let pressure = |row: &Toml| match row {
            Toml::At(_, at) => read(at, CONDITION)
                .quantity
                .map_or(f64::MAX, |at| at.si_central()),
            _ => f64::MAX,
        };
        self.rows
            .sort_by(|a, b| pressure(a).total_cmp(&pressure(b)));
        let points = self.rows.iter().filter_map(|row| match row {
            Toml::At(flow, pressure) => Some(Toml::Table(vec![
                ("pressure".into(), Toml::text(pressure)),
                ("flow".into(), Toml::text(flow)),
            ])),
            _ => None,
        });
        Toml::List(points.collect())
    }
}

/// Whether a table of the mapping is about that sheet.
fn speaks_of(table: &TableEntry, path: &str, sheet: &str) -> bool {
    let stated = table.sheet.as_ref();
    is_of(table, path) && stated.is_none_or(|said| same(&said.text, sheet))
}

/// Whether a table of the mapping is in that file.
fn is_of(table: &TableEntry, path: &str) -> bool {
    let name = path.rsplit('/').next().unwrap_or(path);
    table.file.as_ref().is_none_or(|said| {
        let glob = Glob::new(&said.text);
        glob.is_ok_and(|glob| glob.compile_matcher().is_match(name))
    })
}
