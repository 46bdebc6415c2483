//! The levels a catalog sets for its rules.

use crate::catalog::{Catalog, LevelSetting, LevelWord};
use crate::finding::{Finding, Level};

/// Applies `[level]`: a setting for a rule wins over one for its family.
///
/// A level is the rule's highest: a finding below it stays where it is. `none` takes the rule's
/// findings away.
pub fn apply(catalog: &Catalog, findings: &mut Vec<Finding>) {
    if catalog.levels.is_empty() {
        return;
    }
    findings.retain_mut(
        |finding| match setting(&catalog.levels, finding.rule.name) {
            None => true,
            Some(LevelSetting { level: None, .. }) => false,
            Some(LevelSetting {
                level: Some(word), ..
            }) => {
                let level = match word {
                    LevelWord::Error => Level::Error,
                    LevelWord::Warning => Level::Warning,
                    LevelWord::Note => Level::Note,
                };
                let highest = finding.level == finding.rule.level;
                finding.level = if highest {
                    level
                } else {
                    finding.level.min(level)
                };
                true
            }
        },
    );
}

/// The setting for a rule: its own, else its family's; the last one of equals.
fn setting<'c>(levels: &'c [LevelSetting], rule: &str) -> Option<&'c LevelSetting> {
    let family = rule.split('.').next().unwrap_or(rule);
    let named = |name: &str| {
        levels
            .iter()
            .rev()
            .find(|setting| setting.name.text == name)
    };
    named(rule).or_else(|| named(family))
}
