//! The rulebook as Markdown: the table of rules, and a rule's or family's page.

use crate::engine::{FAMILIES, Family};
use crate::finding::Rule;

use super::rule_text;

/// All rules as a Markdown table; with `pages`, each linked to its family's page from the repository's root.
pub fn table(pages: bool) -> String {
    let mut text = String::from("| rule | level | speaks about |\n| --- | --- | --- |\n");
    for family in FAMILIES {
        for rule in family.rules {
            text.push_str(&row(family, rule, pages));
        }
    }
    text
}

fn row(family: &Family, rule: &Rule, pages: bool) -> String {
    let (name, level, speaks) = (rule.name, rule.level, rule.speaks);
    if pages {
        let page = format!("src/rules/{}.md", family.name);
        format!("| [`{name}`]({page}) | {level} | {speaks} |\n")
    } else {
        format!("| `{name}` | {level} | {speaks} |\n")
    }
}

/// What a family asks, and the table of its rules.
pub fn family(family: &Family) -> String {
    let mut text = format!(
        "# The family `{}`\n\n{}\n\n| rule | level | speaks about |\n| --- | --- | --- |\n",
        family.name,
        rule_text::preface(family.page)
    );
    for rule in family.rules {
        text.push_str(&row(family, rule, false));
    }
    text
}

/// A rule's page: its level and when it speaks, then what its family's page says of it, examples included.
pub fn rule(family: &Family, rule: &Rule) -> String {
    let page = rule_text::section(family.page, rule.name, true).unwrap_or_default();
    format!(
        "# {}\n\nLevel: {}. It reports: {}.\n\n{page}\n",
        rule.name, rule.level, rule.speaks
    )
}
