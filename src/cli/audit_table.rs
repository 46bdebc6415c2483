//! What catalogs say under `[audit]`, as far as it is a run's; the command line stands above it.
//!
//! A catalog may come from anybody, so the reports it asks for lie in its own folder and take the place of nothing but
//! earlier reports, and no more threads work than the machine has cores.

use std::path::{Component, Path, PathBuf};

use super::Failure;
use super::audit::Report;
use super::files::{self, place};
use super::output;

/// The tables of a run's catalogs.
pub(super) struct Said<'a> {
    all: &'a [files::Said],
}

impl<'a> Said<'a> {
    pub fn of(all: &'a [files::Said]) -> Said<'a> {
        Said { all }
    }

    /// What those tables say that say something; nothing where none does.
    ///
    /// # Errors
    /// They say different things, and a run can do one.
    fn one<T: PartialEq>(
        &self,
        key: &str,
        get: impl Fn(&files::Said) -> Option<T>,
    ) -> Result<Option<T>, Failure> {
        let mut said = self.all.iter().filter_map(|one| Some((one, get(one)?)));
        let Some((first, value)) = said.next() else {
            return Ok(None);
        };
        match said.find(|(_, other)| *other != value) {
            None => Ok(Some(value)),
            Some((other, _)) => Err(Failure::Unanswerable(format!(
                "{} and {} differ in `{key}` under `[audit]`; --{key} says what counts",
                first.path, other.path
            ))),
        }
    }

    /// How many threads to work with.
    ///
    /// # Errors
    /// As [`one`](Said::one).
    pub fn jobs(&self) -> Result<Option<usize>, Failure> {
        let cores = std::thread::available_parallelism().map_or(1, usize::from);
        let jobs = self.one("jobs", |said| said.settings.jobs)?;
        Ok(jobs.map(|jobs| jobs.min(cores)))
    }

    /// The most characters of a Markdown report.
    ///
    /// # Errors
    /// As [`one`](Said::one).
    pub fn limit(&self) -> Result<Option<usize>, Failure> {
        self.one("limit", |said| said.settings.limit)
    }

    /// The reports to write.
    ///
    /// # Errors
    /// As [`one`](Said::one); or one would lie elsewhere, or take the place of something that is no report.
    pub fn reports(&self) -> Result<Vec<Report>, Failure> {
        let own = |said: &files::Said| {
            let folder = Path::new(&said.path).parent().unwrap_or(Path::new(""));
            let named = said.settings.output.iter();
            let named: Vec<(PathBuf, String)> = named
                .map(|text| (folder.to_path_buf(), text.clone()))
                .collect();
            (!named.is_empty()).then_some(named)
        };
        let asked = self.one("output", own)?.unwrap_or_default();
        let report = |(folder, text): (PathBuf, String)| {
            let mut report = Report::of(&text, None)?;
            let path = folder.join(&report.path);
            held(&path, &report.path)?;
            report.path = path;
            Ok(report)
        };
        asked.into_iter().map(report).collect()
    }
}

/// That `path`, which a catalog calls `named`, lies in the catalog's folder and is free for a report.
fn held(path: &Path, named: &Path) -> Result<(), Failure> {
    let refused = |why: &str| {
        Err(Failure::Unwritable {
            path: path.display().to_string(),
            why: format!("`output` under `[audit]` names it, and {why}"),
        })
    };
    let is_plain = |part: Component| match part {
        Component::Normal(name) => !name.to_string_lossy().starts_with('.'),
        _ => false,
    };
    let folder = path.ancestors().nth(named.components().count());
    let folder = place(&folder.unwrap_or(Path::new("")).join("catalog.toml"));
    let inside = folder
        .parent()
        .is_some_and(|own| place(path).starts_with(own));
    if named.as_os_str().is_empty() || !named.components().all(is_plain) || !inside {
        return refused(
            "what a catalog asks for lies in its own folder and has no name with a dot before it",
        );
    }
    if path.exists() && !output::is_own_report(path, u64::MAX) {
        return refused("something lies there that is no report of this program");
    }
    Ok(())
}
