//! What of a sheet wasn't read: silence about it would be taken for a clean bill.

use crate::finding::Finding;
use crate::spec_sheet::UnreadKind;
use crate::text::Span;

use super::{Page, UNREAD, UNREADABLE};

/// One finding for each kind of thing that wasn't read, at the first of them.
pub fn speak(page: &Page, findings: &mut Vec<Finding>) {
    let mut kinds: Vec<UnreadKind> = page.sheet.unread.iter().map(|one| one.what).collect();
    kinds.sort();
    kinds.dedup();
    for kind in kinds {
        let places: Vec<Span> = page
            .sheet
            .unread
            .iter()
            .filter(|one| one.what == kind)
            .map(|one| Span::new(page.file, one.at.start, one.at.end))
            .collect();
        let Some(&first) = places.first() else {
            continue;
        };
        let (rule, message, mend) = words(kind, places.len());
        let mut finding = Finding::new(rule, first, message).mend(mend);
        for &place in places.iter().skip(1).take(8) {
            finding = finding.related(place, "another one");
        }
        findings.push(finding);
    }
}

/// That the program itself failed at judging the page.
pub fn failed(page: &Page) -> Finding {
    let (rule, message, mend) = words(UnreadKind::Failed, 1);
    Finding::new(rule, page.first, message).mend(mend)
}

fn words(kind: UnreadKind, count: usize) -> (&'static crate::finding::Rule, String, &'static str) {
    let pictures = |one: &str, many: &str| match count {
        1 => format!("{one} isn't read: it has no text in its place."),
        count => format!("{count} {many} aren't read: they have no text in their place."),
    };
    match kind {
        UnreadKind::Picture => (
            &UNREAD,
            pictures("A picture", "pictures"),
            "Look at it yourself: figures in it are claims too. An alternative text would be read.",
        ),
        UnreadKind::ScannedPage => (
            &UNREAD,
            match count {
                1 => "A page holds no text, only a picture of it; it isn't read.".into(),
                count => format!("{count} pages hold no text, only a picture of it; they aren't read."),
            },
            "Read these pages yourself, or have their text recognised first.",
        ),
        UnreadKind::Language => (
            &UNREAD,
            "Text in a language whose words aren't known here: only figures whose unit tells what they are were read.".into(),
            "Have somebody read it who knows the language; its cautions weren't looked for.",
        ),
        UnreadKind::TooLarge => (
            &UNREADABLE,
            "The sheet is larger than the limit; from here on nothing was read.".into(),
            "Split it, one sheet for each package.",
        ),
        UnreadKind::Encoding => (
            &UNREADABLE,
            "The text isn't UTF-8, so signs like `²` or `½` may be missing from what was read.".into(),
            "Save it as UTF-8.",
        ),
        UnreadKind::Damaged => (
            &UNREADABLE,
            "The file is damaged, so its text couldn't be read whole.".into(),
            "Get the file again from where it came, or print it anew.",
        ),
        UnreadKind::Encrypted => (
            &UNREADABLE,
            "The file is encrypted, so nothing of it was read.".into(),
            "Save a copy without a password.",
        ),
        UnreadKind::TooMuchWork => (
            &UNREADABLE,
            "Reading this file took more time or memory than a sheet is given, so it was given up.".into(),
            "Print the file anew, or hand over its text.",
        ),
        UnreadKind::CrowdedTag => (
            &UNREADABLE,
            "This tag has too many attributes, so the HTML after it wasn't read.".into(),
            "Save the page anew without them.",
        ),
        UnreadKind::Failed => (
            &UNREADABLE,
            "The program itself failed at this file, so nothing is known of it.".into(),
            "Check this file yourself, and report it to the makers of the program.",
        ),
        UnreadKind::Kind => (
            &UNREADABLE,
            "This build of the program doesn't read files of this kind.".into(),
            "Hand over its text.",
        ),
    }
}
