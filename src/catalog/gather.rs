//! Which files make up a catalog, and reading them as one.

use std::collections::{HashMap, HashSet};

use globset::{Glob, GlobSet, GlobSetBuilder};

use crate::document::{Document, Item};

use super::read::{self, Of, ReadEntry};
use super::{Catalog, CatalogFault, Text, fields, nearest, shape};

/// A file that was read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct File {
    /// Path as the report calls it, with forward slashes.
    pub path: String,
    /// Named alone on the command line: a catalog of its own, whatever lies around it.
    pub alone: bool,
    /// Read only because a catalog borrows its folder's parts.
    pub borrowed: bool,
}

/// The catalogs among the files, and the files that belong to none.
#[derive(Debug, Default)]
pub struct Gathered {
    /// In the order of their first files.
    pub catalogs: Vec<Catalog>,
    /// Numbers of the files that no catalog holds, and why.
    pub others: Vec<(usize, &'static str)>,
    /// Folders of catalogs, with what they exclude.
    excludes: Vec<(String, GlobSet)>,
}

impl Gathered {
    /// Whether the catalog in whose folder a file lies excludes it.
    pub fn excludes(&self, path: &str) -> bool {
        let own = self.excludes.iter();
        let own = own.filter(|(folder, _)| is_within(path, folder));
        let nearest = own.max_by_key(|(folder, _)| folder.len());
        nearest.is_some_and(|(folder, globs)| {
            globs.is_match(path[folder.len()..].trim_start_matches('/'))
        })
    }
}

/// The folders whose parts the catalog at `document`, lying in `folder`, borrows.
pub fn borrows(document: &Document, folder: &str) -> Vec<String> {
    let listed = document
        .root()
        .get("catalog")
        .and_then(|catalog| catalog.get("parts"));
    let paths = listed
        .into_iter()
        .flat_map(Item::items)
        .filter_map(Item::as_str);
    paths.map(|path| join(folder, path)).collect()
}

/// The paths of the documents that the file at `path` describes under `[evidence]`.
pub fn evidence_files(document: &Document, path: &str) -> Vec<String> {
    let register = document.root().get("evidence");
    let files = register.into_iter().flat_map(Item::entries);
    let files = files.filter_map(|entry| entry.get("file").and_then(Item::as_str));
    files.map(|file| join(folder(path), file)).collect()
}

/// The paths of the spec sheets that the file at `path` names under `[[sheet]]`.
pub fn sheet_files(document: &Document, path: &str) -> Vec<String> {
    let sheets = document.root().get("sheet");
    let files = sheets.into_iter().flat_map(Item::items);
    let files = files.filter_map(|entry| entry.get("file").and_then(Item::as_str));
    files.map(|file| join(folder(path), file)).collect()
}

/// The path of a `file` that the file at `path` names.
pub fn beside(path: &str, file: &str) -> String {
    join(folder(path), file)
}

/// Whether `path` lies in the folder `root` of a catalog.
pub fn lies_in(path: &str, root: &str) -> bool {
    let outside = path == ".." || path.starts_with("../") || path.starts_with('/');
    match root {
        "" | "." => !outside,
        root => is_within(path, root),
    }
}

/// Reads `documents` (one for each of `files`) as the catalogs they make up.
///
/// A folder with `catalog.toml` is one catalog, down to the next folder that has its own. A file
/// named alone is one. Elsewhere each file with a `[catalog]` table is one. A file whose top table is
/// `[pond]` or `[intake]` belongs to none.
pub fn gather(files: &[File], documents: &[Document]) -> Gathered {
    gather_again(files, documents, &mut Lowered::default())
}

/// What was made of documents that may be there again, by their numbers.
#[derive(Debug, Default)]
pub struct Lowered {
    shapes: HashMap<usize, (Vec<CatalogFault>, usize)>,
    /// The entries of a catalog's own documents and of those it borrows, under its currency: what a sign of money means is
    /// the catalog's to say.
    entries: HashMap<(usize, bool), (Option<Text>, Vec<ReadEntry>)>,
}

impl Lowered {
    /// Forgets what was made of documents that are others now.
    pub fn keep(&mut self, still: impl Fn(usize) -> bool) {
        self.shapes.retain(|&index, _| still(index));
        self.entries.retain(|&(index, _), _| still(index));
    }

    fn shape(&mut self, document: &Document, index: usize) -> &(Vec<CatalogFault>, usize) {
        let made = self.shapes.entry(index);
        made.or_insert_with(|| shape::check(document))
    }

    fn entries(
        &mut self,
        document: &Document,
        index: usize,
        own: bool,
        currency: Option<&Text>,
    ) -> &[ReadEntry] {
        let read = || {
            let entries = read::entries(document, index, own, currency);
            (currency.cloned(), entries)
        };
        let made = self.entries.entry((index, own)).or_insert_with(read);
        if made.0.as_ref() != currency {
            *made = read();
        }
        &made.1
    }
}

/// The same, with what was made of documents that are still the same.
pub fn gather_again(files: &[File], documents: &[Document], lowered: &mut Lowered) -> Gathered {
    let mut gathered = Gathered::default();
    let mut roots: Vec<Root> = Vec::new();
    let mut by_folder: HashMap<&str, usize> = HashMap::new();
    for (index, file) in files.iter().enumerate() {
        if !file.borrowed && !file.alone && base(&file.path) == "catalog.toml" {
            by_folder.insert(folder(&file.path), roots.len());
            roots.push(Root::new(folder(&file.path), &documents[index]));
        }
    }
    for (index, file) in files.iter().enumerate() {
        let document = &documents[index];
        if file.borrowed {
            continue;
        }
        if is_another_thing(document.root()) {
            gathered
                .others
                .push((index, "a pond or the mapping of a table, and no catalog's"));
            continue;
        }
        // The nearest folder above that has a catalog of its own.
        let own = (!file.alone)
            .then(|| above(&file.path).find_map(|folder| by_folder.get(folder)))
            .flatten();
        let root = match own {
            Some(&own) => roots.get_mut(own),
            None => None,
        };
        match root {
            Some(root) if !root.takes(&file.path) => {
                gathered.others.push((index, "its catalog leaves it out"));
            }
            // What a catalog claims by `files` is its own, whatever it holds.
            Some(root) if root.only.is_none() && is_foreign(document) => {
                gathered
                    .others
                    .push((index, "it holds nothing of a catalog"));
            }
            Some(root) => root.files.push(index),
            None if file.alone || document.root().get("catalog").is_some() => {
                let mut own = Root::new(folder(&file.path), document);
                own.name = file.path.clone();
                own.single = true;
                own.files.push(index);
                roots.push(own);
            }
            None => gathered.others.push((index, "it belongs to no catalog")),
        }
    }
    for root in &roots {
        if let Some(globs) = root.except.clone().filter(|_| !root.single) {
            gathered.excludes.push((root.folder.clone(), globs));
        }
        let mut catalog = Catalog {
            name: root.name.clone(),
            documents: root.files.clone(),
            currency: root.currency.clone(),
            ..Catalog::default()
        };
        for &index in &root.files {
            let of = if root.is_own(&files[index].path) {
                Of::Head
            } else {
                Of::Folder
            };
            take(&mut catalog, &documents[index], index, of, lowered);
        }
        let own: HashSet<usize> = root.files.iter().copied().collect();
        let others = files.iter().enumerate();
        for (index, file) in others.filter(|_| !root.borrows.is_empty()) {
            let wanted = root
                .borrows
                .iter()
                .any(|folder| is_within(&file.path, folder));
            if wanted && !own.contains(&index) {
                take(
                    &mut catalog,
                    &documents[index],
                    index,
                    Of::Borrowed,
                    lowered,
                );
            }
        }
        if !root.borrows.is_empty() {
            catalog.leave_out_unused_borrowed();
        }
        gathered.catalogs.push(catalog);
    }
    gathered
}

fn take(catalog: &mut Catalog, document: &Document, index: usize, of: Of, lowered: &mut Lowered) {
    let own = of != Of::Borrowed;
    if own {
        let (faults, more) = lowered.shape(document, index);
        catalog.faults.extend(faults.iter().cloned());
        if *more > 0 {
            catalog.unlisted.push((index, *more));
        }
    }
    read::read(catalog, document, index, of);
    // Signs of money mean nothing in what is borrowed.
    let currency = catalog.currency.clone().filter(|_| own);
    catalog.put(lowered.entries(document, index, own, currency.as_ref()));
}

/// Whether a file stands for itself: it is a catalog of its own, or is no catalog's at all.
pub fn is_whole(document: &Document) -> bool {
    let root = document.root();
    root.get("catalog").is_some() || is_another_thing(root)
}

/// Whether a file in a catalog's folder was written for something else: it has tables, and none of them bears a name
/// that a catalog knows, or nearly so. What can't be read isn't known to be anything else.
fn is_foreign(document: &Document) -> bool {
    let root = document.root();
    let known = || fields::ROOT.fields.iter().map(|field| field.key);
    let mut names = root.entries().filter_map(|item| item.key());
    let is_own = |name: &str| known().any(|one| one == name) || nearest(name, known()).is_some();
    document.is_sound() && !root.is_empty() && !names.any(|(name, _)| is_own(name))
}

/// Whether a file is a pond or a table's mapping, not a catalog's.
fn is_another_thing(root: Item) -> bool {
    let first = root.entries().next().and_then(|item| item.key());
    matches!(first, Some(("pond" | "intake", _)))
}

/// A catalog being put together.
struct Root {
    folder: String,
    name: String,
    /// Of one file, which its neighbours are no part of.
    single: bool,
    only: Option<GlobSet>,
    except: Option<GlobSet>,
    borrows: Vec<String>,
    /// Known before its files are read: money anywhere in them may be written with a sign.
    currency: Option<Text>,
    files: Vec<usize>,
}

impl Root {
    fn new(folder: &str, document: &Document) -> Root {
        let table = document.root().get("catalog");
        let globs = |key: &str| {
            let list = table.and_then(|table| table.get(key))?;
            let mut set = GlobSetBuilder::new();
            let mut any = false;
            // A glob that isn't one chooses nothing; the shape check has no word for it, and the
            // catalog's own file is always read.
            for text in list.items().filter_map(Item::as_str) {
                if let Ok(glob) = Glob::new(text) {
                    set.add(glob);
                    any = true;
                }
            }
            if any { set.build().ok() } else { None }
        };
        Root {
            folder: folder.to_string(),
            name: if folder.is_empty() {
                ".".into()
            } else {
                folder.to_string()
            },
            single: false,
            only: globs("files"),
            except: globs("exclude"),
            borrows: borrows(document, folder),
            currency: table
                .and_then(|table| table.get("currency"))
                .and_then(|item| {
                    let text = item.as_str()?.to_string();
                    Some(Text {
                        text,
                        at: item.span(),
                    })
                }),
            files: Vec::new(),
        }
    }

    /// Whether `path` is the catalog's own file.
    fn is_own(&self, path: &str) -> bool {
        self.name == path || (folder(path) == self.folder && base(path) == "catalog.toml")
    }

    fn takes(&self, path: &str) -> bool {
        let inside = path[self.folder.len()..].trim_start_matches('/');
        if inside == "catalog.toml" {
            return true;
        }
        let only = self.only.as_ref().is_none_or(|set| set.is_match(inside));
        let except = self.except.as_ref().is_some_and(|set| set.is_match(inside));
        only && !except
    }
}

/// The folders that a file lies in, the nearest first; the last is that of the run, without a name.
fn above(path: &str) -> impl Iterator<Item = &str> {
    std::iter::successors(Some(folder(path)), |&below| {
        (!below.is_empty()).then(|| folder(below))
    })
}

fn folder(path: &str) -> &str {
    path.rsplit_once('/').map_or("", |(folder, _)| folder)
}

fn base(path: &str) -> &str {
    path.rsplit_once('/').map_or(path, |(_, base)| base)
}

fn is_within(path: &str, folder: &str) -> bool {
    folder.is_empty()
        || path
            .strip_prefix(folder)
            .is_some_and(|rest| rest.starts_with('/'))
}

/// `path` seen from `folder`, with `.` and `..` taken out.
fn join(folder: &str, path: &str) -> String {
    let mut parts: Vec<&str> = folder.split('/').filter(|part| !part.is_empty()).collect();
    let absolute = folder.starts_with('/');
    for part in path.split('/') {
        match part {
            "" | "." => {}
            ".." if parts.last().is_some_and(|last| *last != "..") => {
                parts.pop();
            }
            other => parts.push(other),
        }
    }
    let joined = parts.join("/");
    if absolute {
        format!("/{joined}")
    } else {
        joined
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn files_with_a_catalog_table_side_by_side_are_catalogs_of_their_own() {
        let text = "[catalog]\nformat = 1\n\n[fitting.one]\nfrom = \"1/2 in barb\"\nto = \"3/8 in barb\"\n";
        let names = ["a/one.toml", "a/two.toml", "a/deep/three.toml"];
        let sources: Vec<crate::text::Source> = names
            .iter()
            .map(|name| crate::text::Source::new(*name, text.into()))
            .collect();
        let documents: Vec<Document> = (0..)
            .zip(&sources)
            .map(|(number, source)| crate::document::read(crate::text::FileId(number), source))
            .collect();
        let files: Vec<File> = names
            .iter()
            .map(|name| File {
                path: (*name).into(),
                alone: false,
                borrowed: false,
            })
            .collect();
        let gathered = gather(&files, &documents);
        let found: Vec<(&str, usize)> = gathered
            .catalogs
            .iter()
            .map(|catalog| (catalog.name.as_str(), catalog.documents.len()))
            .collect();
        assert_eq!(found, names.map(|name| (name, 1)));
        assert!(gathered.catalogs.iter().all(|c| c.faults.is_empty()));
    }

    #[test]
    fn paths_join_without_dots() {
        assert_eq!(join("a/b", "../shared"), "a/shared");
        assert_eq!(join("", "../shared"), "../shared");
        assert_eq!(join("/x/y", "./z"), "/x/y/z");
        assert!(is_within("a/b/c.toml", "a/b"));
        assert!(!is_within("a/bc.toml", "a/b"));
    }
}
