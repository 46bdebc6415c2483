//! What catalogs say under `[audit]`, as far as it is a run's; the command line stands above it.
//!
//! A catalog may come from anybody, so the reports it asks for lie in its own folder and take the place of nothing but
//! earlier reports, and no more threads work than the machine has cores.

use std::path::{Component, Path, PathBuf};

use super::Failure;
use super::audit::Report;
use super::files::{self, place};
use super::output;
use crate::engine::Settings;

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
            let settings: &Settings = &said.settings;
            let folder = Path::new(&said.path).parent().unwrap_or(Path::new(""));
            let named = settings.output.iter().map(|text| Report::of(text));
            let named: Vec<Report> = named.collect();
            let paths: Vec<PathBuf> = named.iter().map(|one| folder.join(&one.path)).collect();
            (!named.is_empty()).then_some(Asked { paths, named })
        };
        let asked = self.one("output", own)?;
        let Some(Asked { paths, named }) = asked else {
            return Ok(Vec::new());
        };
        let mut reports = Vec::new();
        for (path, mut report) in paths.into_iter().zip(named) {
            held(&path, &report.path)?;
            report.path = path;
            reports.push(report);
        }
        Ok(reports)
    }
}

/// Reports that a catalog asks for.
struct Asked {
    paths: Vec<PathBuf>,
    named: Vec<Report>,
}

impl PartialEq for Asked {
    fn eq(&self, other: &Asked) -> bool {
        self.paths == other.paths
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
