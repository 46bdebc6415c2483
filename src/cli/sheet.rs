//! `nameplate sheet`: a spec sheet of one package, written from its catalog and audited before it is.

use std::path::{Path, PathBuf};

use super::look::{self, Signs};
use super::{FOUND, Failure, SOUND, files, output};
use crate::answers::choose;
use crate::engine::{self, Input, Outcome};
use crate::finding::{Finding, Level};
use crate::report::sheet::{self as shown, Form};
use crate::report::terminal::{self, Detail};
use crate::sheet::Sheet;
use crate::sheet::template::{self, Line, Part};
use crate::text::Sources;

/// Write a spec sheet of a package, with the card for its cabinet's door.
///
/// Every figure is the catalog's or calculated from it, in both systems of units and with its conditions. Only promises that
/// hold or are within the rating are printed. If one isn't, it is refused on standard error with what is within,
/// and nothing is written; --leave-out writes the sheet without it. The sheet is audited before it is written, and so
/// is every figure of a template.
///
/// For paper or PDF write HTML and print it from a browser: it has rules for pages.
///
/// The exit status is 0 if the sheet was written, 1 if a promise was refused or the audit found something to fix, and 2
/// if a file couldn't be read or written.
#[derive(Debug, clap::Args)]
#[command(after_help = examples())]
pub(crate) struct SpecSheet {
    /// ID of the package; may be left out if there is only one.
    #[arg(value_name = "PACKAGE")]
    package: Option<String>,

    /// Folder that holds a catalog.toml, or a single TOML file with a [catalog] table.
    #[arg(long, default_value = ".", value_name = "PATH")]
    catalog: PathBuf,

    /// Print this option alone; all of them if not given.
    #[arg(long, value_name = "ID")]
    option: Option<String>,

    /// What it is written as; by the ending of --output or --template if not given, else Markdown.
    #[arg(long, value_enum, value_name = "FORMAT")]
    format: Option<Format>,

    /// Your own words, logo and style, with a line `@NAME` where each part of the sheet belongs.
    #[arg(long, value_name = "FILE")]
    template: Option<PathBuf>,

    /// Write the sheet to this file, whole or not at all.
    #[arg(long, value_name = "FILE")]
    output: Option<PathBuf>,

    /// Write the sheet without the promises and options that are refused.
    #[arg(long)]
    leave_out: bool,

    #[command(flatten)]
    signs: Signs,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
enum Format {
    /// Markdown.
    Markdown,
    /// HTML, with rules for printing.
    Html,
}

/// The parts that a template may name, and how the command is called.
fn examples() -> String {
    let parts = Part::ALL
        .iter()
        .map(|(_, name, says)| format!("  @{name:<10} {says}\n"));
    let parts: String = parts.collect();
    format!(
        "Parts for a template, each on a line of its own:\n{parts}\nExamples:\n  nameplate sheet mill-pair --catalog ponds --output mill-pair.html\n  nameplate \
         sheet mill-pair --catalog ponds --template house.md --output mill-pair.md"
    )
}

impl SpecSheet {
    /// Runs it; the exit status.
    ///
    /// # Errors
    /// A file that can't be read or written, or no such package.
    pub(crate) fn run(self) -> Result<u8, Failure> {
        let form = self.form()?;
        let lines = self.lines()?;
        let mut inputs = files::inputs(std::slice::from_ref(&self.catalog))?;
        // What is said of the package elsewhere is audited elsewhere.
        inputs.retain(|input| !engine::is_sheet(&input.path));
        let texts = inputs.iter().map(|input| PathBuf::from(&input.path));
        let written: Vec<&Path> = self.output.as_deref().into_iter().collect();
        output::spare(&written, texts.chain(self.template.clone()))?;
        let read = engine::read(inputs.clone());
        if read.catalogs.is_empty() {
            return Err(Failure::NothingToAudit(self.catalog.display().to_string()));
        }
        let refused = |why: choose::Unanswerable| Failure::Unanswerable(why.to_string());
        let id = match &self.package {
            Some(id) => id.clone(),
            None => choose::only_package(&read.catalogs).map_err(refused)?,
        };
        let catalog = choose::catalog(read.catalogs, &id).map_err(refused)?;
        let sheet = Sheet::of(&catalog, &id, self.option.as_deref()).map_err(refused)?;
        if self.is_refused(&sheet, &read.sources) {
            return Ok(FOUND);
        }
        let page = shown::render(&sheet, &lines, form);
        let name = self.name(&id, form);
        if self.is_faulty(&sheet, inputs, &name, &page) {
            return Ok(FOUND);
        }
        match &self.output {
            Some(path) => output::write(path, &page)?,
            None => output::print(&page)?,
        }
        Ok(SOUND)
    }

    /// What the sheet is written as.
    fn form(&self) -> Result<Form, Failure> {
        let of = |path: &Option<PathBuf>| {
            let ending = path.as_ref()?.extension()?.to_str()?.to_lowercase();
            match ending.as_str() {
                "html" | "htm" => Some(Form::Html),
                "md" | "markdown" => Some(Form::Markdown),
                _ => None,
            }
        };
        let asked = self.format.map(|format| match format {
            Format::Markdown => Form::Markdown,
            Format::Html => Form::Html,
        });
        let template = of(&self.template);
        let form = asked
            .or(of(&self.output))
            .or(template)
            .unwrap_or(Form::Markdown);
        match template.is_some_and(|template| template != form) {
            true => Err(Failure::Arguments(
                "the template and the sheet are of two formats; a template in HTML makes a sheet in HTML, and one in Markdown a \
                 sheet in Markdown"
                    .into(),
            )),
            false => Ok(form),
        }
    }

    /// The lines of the template; without one every part.
    fn lines(&self) -> Result<Vec<Line>, Failure> {
        let Some(path) = &self.template else {
            return Ok(template::whole());
        };
        let name = files::shown(path);
        let unreadable = |why: String| Failure::Unreadable {
            path: name.clone(),
            why,
        };
        let bytes = files::regular(path, &name)?;
        let text = String::from_utf8(bytes).map_err(|_| unreadable("it isn't UTF-8".into()))?;
        template::read(&text).map_err(|wrong| unreadable(wrong.to_string()))
    }

    /// What findings call the page.
    fn name(&self, id: &str, form: Form) -> String {
        match (&self.output, form) {
            (Some(path), _) if engine::is_sheet(&files::shown(path)) => files::shown(path),
            (_, Form::Markdown) => format!("{id}.md"),
            (_, Form::Html) => format!("{id}.html"),
        }
    }

    /// Tells what is refused; whether nothing is to be written.
    fn is_refused(&self, sheet: &Sheet, sources: &Sources) -> bool {
        for refused in &sheet.refused {
            let place = sources.position(refused.at);
            output::tell(&format!(
                "{}:{}:{}: {}",
                sources.get(refused.at.file).name(),
                place.line,
                place.column,
                shown::refused(refused)
            ));
        }
        let is_empty = sheet.promises.is_empty() && sheet.offers.is_empty();
        let is_without_ways = sheet.ways.is_empty() && !sheet.package.options.is_empty();
        if is_empty || is_without_ways {
            output::tell("nothing is left to be printed, so no sheet was written.");
            return true;
        }
        if !sheet.refused.is_empty() && !self.leave_out {
            output::tell(
                "no sheet was written. Fix what is refused (`nameplate audit` says why), or print the rest with --leave-out.",
            );
            return true;
        }
        false
    }

    /// Tells what the audit finds in the page, and errors of what it is about; whether nothing is to be written.
    fn is_faulty(&self, sheet: &Sheet, mut inputs: Vec<Input>, name: &str, page: &str) -> bool {
        inputs.push(Input {
            path: name.to_string(),
            bytes: page.as_bytes().to_vec(),
            alone: true,
            borrowed: false,
        });
        let options = engine::Options {
            as_of: Some(super::today::today(None)),
            documents: Some(files::documents(&inputs)),
            package: Some(sheet.package.entry.id.clone()),
            ..engine::Options::default()
        };
        let outcome = engine::audit(inputs, &options);
        let found: Vec<Finding> = outcome
            .findings
            .iter()
            .filter(|finding| is_about(sheet, finding, &outcome, name))
            .cloned()
            .collect();
        if !found.is_empty() {
            let look = look::of(self.signs, Detail::Usual, true);
            output::tell_lines(&terminal::faults(&outcome.sources, &found, look));
        }
        let is_faulty = found.iter().any(|finding| finding.level > Level::Note);
        if is_faulty {
            output::tell("no sheet was written: fix what was found first.");
        }
        is_faulty
    }
}

/// Whether a finding is of the page, or an error of the package or of a part in it that isn't a promise refused already.
fn is_about(sheet: &Sheet, finding: &Finding, outcome: &Outcome, name: &str) -> bool {
    if outcome.sources.get(finding.at.file).name() == name {
        return true;
    }
    // Of a file that can't be read whole nobody knows what it was to say.
    if finding.level == Level::Error
        && finding.rule.family() == "syntax"
        && finding.at.file.0 as usize == sheet.package.entry.document
    {
        return true;
    }
    let own = sheet.package.entry.on();
    let is_part = || {
        let mut parts = sheet.catalog.mentions.within(&own);
        parts.any(|mention| {
            let mut kinds = mention.kinds.iter();
            kinds.any(|kind| finding.on == format!("{}.{}", kind.table(), mention.id))
        })
    };
    finding.level == Level::Error
        && finding.counts()
        && (finding.on == own || is_part())
        && !sheet.refused.iter().any(|refused| refused.at == finding.at)
}
