//! What is audited together: the catalog that an open text belongs to, or the text alone.

use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Arc;

use serde_json::{Value, json};

use crate::catalog::Catalog;
use crate::document::Document;
use crate::engine::{self, Input, Memo, Options, Outcome};
use crate::text::{FileId, Span};

use super::lines::{Encoding, Lines};
use super::{Files, Open, show, uri};

/// How much of it has to be done again.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Stale {
    /// Nothing.
    No,
    /// Texts changed.
    Texts,
    /// Other files may be there.
    Files,
}

/// Texts that are audited together.
pub(super) struct Unit {
    memo: Memo,
    inputs: Vec<Input>,
    places: HashMap<String, usize>,
    options: Options,
    pub stale: Stale,
    /// The catalogs of the last audit, once somebody asked about them.
    catalogs: Option<Arc<Vec<Catalog>>>,
    /// What was last said of each file, by its path.
    said: BTreeMap<String, Value>,
}

impl Default for Unit {
    fn default() -> Self {
        Unit {
            memo: Memo::new(),
            inputs: Vec::new(),
            places: HashMap::new(),
            options: Options::default(),
            stale: Stale::Files,
            catalogs: None,
            said: BTreeMap::new(),
        }
    }
}

impl Unit {
    /// Takes in its files anew.
    pub fn take(&mut self, files: Files) {
        self.places = { files.inputs.iter().enumerate() }
            .map(|(place, input)| (input.path.clone(), place))
            .collect();
        self.inputs = files.inputs;
        self.options = Options {
            as_of: Some(files.today),
            documents: Some(files.documents),
            pages: files.pages,
            ..Options::default()
        };
        self.stale = self.stale.max(Stale::Texts);
    }

    pub fn holds(&self, path: &str) -> bool {
        self.places.contains_key(path)
    }

    pub fn inputs(&self) -> &[Input] {
        &self.inputs
    }

    pub fn options(&self) -> &Options {
        &self.options
    }

    /// Puts another text in place of a file's; whether other files may belong to it now.
    pub fn change(&mut self, path: &str, text: &str) {
        let Some(&place) = self.places.get(path) else {
            self.stale = Stale::Files;
            return;
        };
        let input = &mut self.inputs[place];
        input.bytes = text.as_bytes().to_vec();
        // The head of a catalog says which files it has.
        let is_head = path.ends_with("catalog.toml") || input.alone;
        let stale = if is_head && !engine::is_sheet(path) {
            Stale::Files
        } else {
            Stale::Texts
        };
        self.stale = self.stale.max(stale);
    }

    /// Audits it as it stands; false where the program failed at it.
    pub fn audit(&mut self) -> bool {
        self.stale = Stale::No;
        self.catalogs = None;
        let audited = catch_unwind(AssertUnwindSafe(|| {
            self.memo.audit(self.inputs.clone(), &self.options);
        }));
        audited.is_ok()
    }

    pub fn outcome(&self) -> Option<&Outcome> {
        self.memo.outcome()
    }

    /// Its catalogs, read and not judged.
    pub fn catalogs(&mut self) -> Arc<Vec<Catalog>> {
        let memo = &mut self.memo;
        let read = self
            .catalogs
            .get_or_insert_with(|| Arc::new(memo.catalogs()));
        read.clone()
    }

    /// The number of a file of the last audit.
    pub fn file(&self, path: &str) -> Option<FileId> {
        let sources = &self.outcome()?.sources;
        sources
            .iter()
            .find(|(_, source)| source.name() == path)
            .map(|(id, _)| id)
    }

    /// The tree of a catalog's file.
    pub fn document(&self, file: FileId) -> Option<&Document> {
        self.memo.documents().get(file.0 as usize)
    }

    pub fn text(&self, file: FileId) -> &str {
        self.outcome()
            .map_or("", |outcome| outcome.sources.get(file).text())
    }

    pub fn path(&self, file: FileId) -> &str {
        self.outcome()
            .map_or("", |outcome| outcome.sources.get(file).name())
    }

    /// A place as the protocol writes it, by its file.
    pub fn location(&self, at: Span, open: &BTreeMap<String, Open>, encoding: Encoding) -> Value {
        let path = self.path(at.file);
        let lines = Lines::of(self.text(at.file), encoding);
        json!({ "uri": uri::shown(path, open), "range": lines.range(at.range()) })
    }

    /// Edits of several files, as the protocol writes them.
    pub fn edits(
        &self,
        all: &[(Span, String)],
        open: &BTreeMap<String, Open>,
        encoding: Encoding,
    ) -> Value {
        let mut changes: BTreeMap<String, Vec<Value>> = BTreeMap::new();
        for (at, with) in all {
            let lines = Lines::of(self.text(at.file), encoding);
            let edit = json!({ "range": lines.range(at.range()), "newText": with });
            let uri = uri::shown(self.path(at.file), open);
            changes.entry(uri).or_default().push(edit);
        }
        json!({ "changes": changes })
    }

    /// What is to be said of files now, where that isn't what was said before: path and list of diagnostics.
    pub fn news(
        &mut self,
        open: &BTreeMap<String, Open>,
        encoding: Encoding,
    ) -> Vec<(String, Value)> {
        let Some(outcome) = self.memo.outcome() else {
            return Vec::new();
        };
        let now = show::by_file(outcome, open, encoding);
        let paths: BTreeSet<&String> = self.said.keys().chain(now.keys()).collect();
        let none = json!([]);
        let mut news = Vec::new();
        for path in paths {
            let list = now.get(path).unwrap_or(&none);
            if self.said.get(path).unwrap_or(&none) != list {
                news.push((path.clone(), list.clone()));
            }
        }
        self.said = now;
        news
    }

    /// The files of which something was said.
    pub fn told(&self) -> impl Iterator<Item = &String> {
        self.said.keys()
    }
}
