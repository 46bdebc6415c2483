//! The report for the ear tells what the one for the eye tells, in sentences.

use nameplate::finding::Level;
use nameplate::report::terminal::{self, Detail, Look};

use super::{report_baseline, report_formats, report_sample, reports};

fn look(detail: Detail, unicode: bool) -> Look {
    Look {
        width: 60,
        color: true,
        unicode,
        detail,
    }
}

#[test]
fn every_line_is_a_sentence_without_boxes_columns_and_colours() {
    for outcome in [
        report_sample::outcome(),
        reports::audited(),
        report_baseline::compared(),
        report_formats::hostile(),
    ] {
        for detail in [Detail::Lines(Level::Error), Detail::Usual, Detail::All] {
            let text = terminal::read_aloud(&outcome, look(detail, true));
            assert!(
                !text.chars().any(|one| one.is_control() && one != '\n'),
                "{text}"
            );
            for line in text.lines() {
                assert!(line.ends_with(['.', '!', '?', ':']), "{line}");
                assert!(!line.starts_with(' '), "{line}");
                let signs = ['━', '┆', '▔', '●', '◐', '○', '·', '│', '─'];
                assert!(!line.contains(signs), "{line}");
            }
            assert!(!text.contains("  "), "{text}");
            let spoken = |text: &str| {
                let text = terminal::safe(text).into_owned();
                let words: Vec<&str> = text.split(' ').filter(|word| !word.is_empty()).collect();
                words.join(" ")
            };
            for finding in &outcome.findings {
                let is_shown = detail != Detail::Lines(Level::Error)
                    || (finding.counts() && finding.level == nameplate::finding::Level::Error);
                let message = spoken(&finding.message);
                assert_eq!(
                    text.contains(message.trim_end_matches('.')),
                    is_shown,
                    "{message}\n{text}"
                );
            }
            if detail != Detail::Lines(Level::Error) {
                for verdict in &outcome.verdicts {
                    assert!(text.contains(&spoken(&verdict.stated)));
                }
            }
        }
        assert!(terminal::read_aloud(&outcome, look(Detail::All, false)).is_ascii());
    }
}
