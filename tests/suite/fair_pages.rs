//! Pages that tell the truth and pages that can't, written before their reader and without it: what an audit accuses.
//!
//! As they were first read, by the reader that was there when the first lot was written, 15 of 188 honest pages were
//! accused and 26 of 81 impossible ones heard. The second lot (`second.txt`, 40 pages) was written after what the first
//! taught: 2 were accused as first read, 5 by the reader before.
//!
//! The third lot (`honest/third.txt`, 43 pages; `impossible/second.txt`, 20) was written before what the lot of winter taught was
//! tried on it: 1 was accused as first read, and 16 of the 20 were heard.
//!
//! `honest/fourth.txt` came with the reader that it tries, and says nothing of how a new page is read: the families that
//! accused honest sellers in the second unread lot, in seven languages.
//!
//! `honest/fifth.txt` (41 pages) and `impossible/third.txt` (24) were written without a look at the reader's words: 4 honest ones
//! were accused as first read, and 12 of the impossible ones heard.
//!
//! `honest/sixth.txt` came with the reader that it tries: letters with other goods, visits and questions of readers in them.
//!
//! A file of `tests/pages/honest` and `tests/pages/impossible` holds many pages. `%% NAME [KIND] [| FIGURE]` begins
//! one; KIND is its ending (`md` where nothing is said), FIGURE what of it is impossible, as it is written.

use std::path::Path;

use crate::scratch;
use nameplate::engine::{self, Options, Outcome};
use nameplate::finding::{Finding, Level};

/// A page of the two files.
pub struct Page {
    pub name: String,
    ending: String,
    figure: Option<String>,
    pub text: String,
}

pub fn pages(folder: &str) -> Vec<Page> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/pages")
        .join(folder);
    let files = walkdir::WalkDir::new(folder).sort_by_file_name();
    let mut pages = Vec::new();
    for file in files.into_iter().map(|entry| entry.unwrap().into_path()) {
        if file.extension().is_none_or(|ending| ending != "txt") {
            continue;
        }
        let text = std::fs::read_to_string(file).unwrap();
        for block in text.split("%% ").skip(1) {
            let (head, body) = block.split_once('\n').unwrap();
            let (head, figure) = match head.split_once('|') {
                Some((head, figure)) => (head, Some(figure.trim().to_owned())),
                None => (head, None),
            };
            let mut words = head.split_whitespace();
            pages.push(Page {
                name: words.next().unwrap().to_owned(),
                ending: words.next().unwrap_or("md").to_owned(),
                figure,
                text: body.to_owned(),
            });
        }
    }
    pages
}

pub fn audit(page: &Page) -> Outcome {
    let input = scratch::alone(format!("{}.{}", page.name, page.ending), page.text.clone());
    engine::audit(vec![input], &Options::default())
}

fn line(outcome: &Outcome, page: &Page, finding: &Finding) -> String {
    let at = outcome
        .sources
        .get(finding.at.file)
        .slice(finding.at.range());
    format!(
        "{} | {} | {} | {at:?} | {}\n",
        page.name,
        finding.level.as_str(),
        finding.rule.name,
        finding.message
    )
}

fn is_over(page: &Page, finding: &Finding) -> bool {
    let Some(figure) = &page.figure else {
        return true;
    };
    let places = page.text.match_indices(figure.as_str());
    let (start, end) = (finding.at.start as usize, finding.at.end as usize);
    places
        .map(|(at, text)| at..at + text.len())
        .any(|place| place.start < end && start < place.end)
}

/// No honest page is accused but those that stand in `tests/pages/accused.list` with the reason, and each warning on one is listed in `tests/pages/warnings.list`,
/// where a person has found it true.
#[test]
fn honest_pages_are_not_accused() {
    let (mut accused, mut warnings) = (Vec::new(), String::new());
    let pages = pages("honest");
    assert!(pages.len() >= 150);
    for page in &pages {
        let outcome = audit(page);
        for finding in &outcome.findings {
            match finding.level {
                Level::Error => accused.push(line(&outcome, page, finding)),
                Level::Warning => warnings += &line(&outcome, page, finding),
                Level::Note => {}
            }
        }
    }
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/pages");
    let listed = std::fs::read_to_string(folder.join("accused.list")).unwrap();
    let names = || listed.lines().filter_map(|line| line.split_once(" |"));
    let known = |line: &String| names().any(|(name, _)| line.starts_with(&format!("{name} |")));
    let new: Vec<&String> = accused.iter().filter(|line| !known(line)).collect();
    assert!(new.is_empty(), "{new:#?}");
    for (name, _) in names() {
        let is_accused = accused
            .iter()
            .any(|line| line.starts_with(&format!("{name} |")));
        assert!(is_accused, "{name} is accused no longer");
    }
    let list = folder.join("warnings.list");
    if std::env::var_os("NAMEPLATE_WRITE").is_some() {
        std::fs::write(&list, &warnings).unwrap();
    }
    assert_eq!(warnings, std::fs::read_to_string(&list).unwrap());
}

/// Every impossible figure is an error at it, but those that stand in `tests/pages/unheard.list` with the reason.
#[test]
fn impossible_pages_are_heard() {
    let pages = pages("impossible");
    assert!(pages.len() >= 80);
    let unheard: Vec<String> = pages
        .iter()
        .filter(|page| {
            let outcome = audit(page);
            let mut errors = outcome
                .findings
                .iter()
                .filter(|one| one.level == Level::Error);
            !errors.any(|one| is_over(page, one))
        })
        .map(|page| format!("{} | {}", page.name, page.figure.as_deref().unwrap_or("")))
        .collect();
    let list = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/pages/unheard.list");
    let listed = std::fs::read_to_string(list).unwrap();
    let with_reason = listed.lines().map(|line| {
        let (page, reason) = line.rsplit_once(" | ").unwrap();
        assert!(reason.len() > 20, "{line}");
        page
    });
    assert_eq!(unheard, with_reason.collect::<Vec<_>>());
}
