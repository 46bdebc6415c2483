//! The manual: a page for each topic, embedded as it stands in this folder.

/// A page of the manual.
pub struct Page {
    /// What it is asked for by.
    pub topic: &'static str,
    /// The page, as Markdown.
    pub text: &'static str,
}

impl Page {
    /// Its heading.
    #[must_use]
    pub fn title(&self) -> &'static str {
        let line = self.text.lines().next().unwrap_or_default();
        line.trim_start_matches('#').trim()
    }
}

macro_rules! pages {
    ($($topic:literal: $file:literal,)*) => {
        /// All pages, in the order in which they are listed.
        pub static PAGES: &[Page] = &[
            $(Page { topic: $topic, text: include_str!($file) },)*
        ];
    };
}

pages! {
    "start": "start.md",
    "format": "format.md",
    "intake": "intake.md",
    "keys": "../../schemas/catalog-format.md",
    "units": "units.md",
    "verdicts": "verdicts.md",
    "assumptions": "assumptions.md",
    "packages": "packages.md",
    "ponds": "ponds.md",
    "desk": "desk.md",
    "sheets": "sheets.md",
    "printing": "printing.md",
    "feeds": "feeds.md",
    "editor": "editor.md",
    "fixing": "fixing.md",
    "evidence": "evidence.md",
    "changes": "changes.md",
    "pipelines": "pipelines.md",
    "reports": "reports.md",
    "options": "options.md",
    "rules": "rules.md",
    "status": "status.md",
    "limits": "limits.md",
}
