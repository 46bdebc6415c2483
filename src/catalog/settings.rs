//! What a catalog's own file says under `[audit]` of how it is audited: options of the run, and none of its facts.
//!
//! They are taken before anything is judged. What hasn't the right shape is left out here and told by the schema.

use crate::document::{Document, Item};

/// The options under `[audit]` that are a run's and no rule's.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Settings {
    /// Reports to write, by their paths from the catalog's file.
    pub output: Vec<String>,
    /// Globs of what is left unread in the catalog's folder.
    pub exclude: Vec<String>,
    /// How many threads to work with.
    pub jobs: Option<usize>,
    /// The most characters of a Markdown report.
    pub limit: Option<usize>,
}

impl Settings {
    /// What `document` says; nothing where it has no `[audit]`.
    pub fn of(document: &Document) -> Option<Settings> {
        let table = document.root().get("audit")?;
        let texts = |key: &str| -> Vec<String> {
            let list = table.get(key).into_iter().flat_map(Item::items);
            list.filter_map(|one| Some(one.as_str()?.to_string()))
                .collect()
        };
        let count = |key: &str| {
            let number = table.get(key).and_then(Item::as_i64);
            number.and_then(|number| usize::try_from(number).ok())
        };
        Some(Settings {
            output: texts("output"),
            exclude: texts("exclude"),
            jobs: count("jobs").filter(|count| *count > 0),
            limit: count("limit").filter(|count| *count > 0),
        })
    }
}
