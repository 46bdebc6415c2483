//! A revision as Markdown, for a comment on a change.

use crate::claims::Grade;
use crate::report::markdown::escape;
use crate::revise::{Direction, Revision};

use super::words::{self, ThingText, VerdictText};

/// The whole report, ending with a line feed.
pub fn render(revision: &Revision) -> String {
    let mut text = format!("## {}\n\n", escape(&words::title(revision)));
    text.push_str(&escape(&words::summary(revision)));
    text.push('\n');
    let unread = words::unread(revision);
    if !unread.is_empty() {
        text.push('\n');
        for sentence in unread {
            text.push_str(&format!("- {}\n", escape(&sentence)));
        }
    }
    let effects = words::effects(revision);
    let (told, silent): (Vec<_>, Vec<_>) = effects.iter().partition(|one| one.does_something());
    for effect in told {
        let heads: Vec<String> = effect
            .things
            .iter()
            .map(|one| escape(&one.heading))
            .collect();
        let head = match heads.len() {
            0 => "Without a change of facts".to_string(),
            // A heading names no more than can be read at a glance.
            1..=3 => heads.join(", "),
            many => format!("{many} changes"),
        };
        text.push_str(&format!("\n### {head}\n\n"));
        for thing in &effect.things {
            self::thing(&mut text, thing);
        }
        if !effect.says.is_empty() {
            text.push_str(&format!("\n{}\n", escape(&effect.says)));
        }
        if !effect.verdicts.is_empty() {
            text.push('\n');
            table(&mut text, &effect.verdicts);
        }
        if !effect.findings.is_empty() {
            text.push('\n');
        }
        for finding in &effect.findings {
            text.push_str(&format!(
                "- {}: {} ({})\n",
                escape(&finding.label),
                escape(finding.about.as_ref().unwrap_or(&finding.message)),
                escape(&finding.place)
            ));
        }
    }
    if !silent.is_empty() {
        text.push_str("\n### What else changed, and turned nothing\n\n");
        for one in silent.iter().flat_map(|one| &one.things) {
            thing(&mut text, one);
        }
    }
    let figures = words::figures(revision);
    if !figures.is_empty() {
        text.push_str("\n### The same verdicts with other figures\n\n");
        table(&mut text, &figures);
    }
    text
}

fn thing(text: &mut String, thing: &ThingText) {
    let title = thing
        .title
        .as_ref()
        .map(|title| format!(", {}", escape(title)));
    text.push_str(&format!(
        "- **{}**{}",
        escape(&thing.heading),
        title.unwrap_or_default()
    ));
    if !thing.says.is_empty() {
        text.push_str(&format!(
            ": {} ({})",
            escape(&thing.says),
            escape(&thing.place)
        ));
    }
    text.push('\n');
    for fact in &thing.facts {
        let growth = match fact.growth.as_str() {
            "" => String::new(),
            growth => format!(", {}", escape(growth)),
        };
        text.push_str(&format!(
            "  - {}: {}{growth} ({})\n",
            escape(&fact.key),
            escape(&fact.says),
            escape(&fact.place)
        ));
    }
}

fn table(text: &mut String, verdicts: &[VerdictText]) {
    text.push_str("| package | promise | grade | figures |\n| --- | --- | --- | --- |\n");
    for verdict in verdicts {
        let turn = words::turn(verdict, |grade| match (grade, verdict.direction) {
            (Grade::Contradicted, Direction::Worse) => format!("**{grade}**"),
            _ => grade.to_string(),
        });
        let mut figures = escape(&verdict.figures);
        if !verdict.by.is_empty() {
            figures = format!("{}; {figures}", escape(&verdict.by));
        }
        text.push_str(&format!(
            "| {} | {} | {turn} | {figures} |\n",
            escape(&verdict.package),
            escape(&verdict.promise),
        ));
    }
}
