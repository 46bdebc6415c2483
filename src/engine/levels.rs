//! Which rules are heard and how loud: what a catalog sets, and what the run sets over it.

use crate::catalog::{Catalog, LevelSetting, LevelWord, Text, nearest};
use crate::finding::{Finding, Level, Related, name_now};
use crate::rules;
use crate::text::{FileId, Span};

/// A level that a run sets for a rule, a family, or `RULE.undecided`; nothing for `none`.
pub type Setting = (String, Option<Level>);

/// Which rules and families are heard.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Heard {
    /// Only these, unless it is empty.
    pub only: Vec<String>,
    /// These not.
    pub silent: Vec<String>,
}

impl Heard {
    /// Whether every rule is heard.
    pub fn is_all(&self) -> bool {
        self.only.is_empty() && self.silent.is_empty()
    }

    /// Whether the rule `name` is heard. What names the rule itself counts before what names its family.
    pub fn hears(&self, name: &str) -> bool {
        let family = family(name);
        let names = |list: &[String], name: &str| list.iter().any(|one| one == name);
        if names(&self.silent, name) {
            false
        } else if names(&self.only, name) {
            true
        } else if names(&self.silent, family) {
            false
        } else {
            self.only.is_empty() || names(&self.only, family)
        }
    }
}

/// A name that is neither a rule's nor a family's, with the nearest one that is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UnknownName {
    /// As given.
    pub name: String,
    /// The nearest.
    pub nearest: Option<&'static str>,
}

/// The name that the rule or family `name` has now.
///
/// # Errors
/// It is neither.
pub fn known(name: &str) -> Result<&str, UnknownName> {
    let names = || {
        let families = rules::FAMILIES.iter().map(|family| family.name);
        families.chain(rules::rules().map(|rule| rule.name))
    };
    let now = name_now(name);
    if names().any(|one| one == now) {
        return Ok(now);
    }
    Err(UnknownName {
        name: name.to_string(),
        nearest: nearest(name, names()),
    })
}

/// Puts what the run sets over what the catalog sets: the later of equals counts, and a family set by the
/// run counts before a rule of it that the catalog set.
pub fn set(catalog: &mut Catalog, settings: &[Setting]) {
    for (name, level) in settings {
        catalog
            .levels
            .retain(|one| family(&one.name.text) != name || name_now(&one.name.text) == name);
        catalog.levels.push(LevelSetting {
            name: Text {
                text: name.clone(),
                // It stands in no text; its name was looked at when it was given.
                at: Span::new(FileId(0), 0, 0),
            },
            level: level.map(|level| match level {
                Level::Error => LevelWord::Error,
                Level::Warning => LevelWord::Warning,
                Level::Note => LevelWord::Note,
            }),
        });
    }
}

/// Applies the levels set: a setting for a rule wins over one for its family.
///
/// A level is the rule's highest: a finding below it stays where it is. `none` takes the rule's
/// findings away. A contradicted promise stays an error whatever is set: whoever accepts it signs a waiver.
pub fn apply(catalog: &Catalog, findings: &mut Vec<Finding>) {
    if catalog.levels.is_empty() {
        return;
    }
    findings.retain_mut(|finding| {
        let Some(set) = setting(&catalog.levels, finding.rule.name) else {
            return true;
        };
        let level = set.level.map(|word| match word {
            LevelWord::Error => Level::Error,
            LevelWord::Warning => Level::Warning,
            LevelWord::Note => Level::Note,
        });
        if finding.contradicts {
            if level != Some(finding.level) && !set.name.at.is_empty() {
                finding.related.push(Related {
                    at: set.name.at,
                    says: "This level doesn't lower a contradicted promise: only a waiver accepts one."
                        .into(),
                });
            }
            return true;
        }
        let highest = finding.level == finding.rule.level;
        match level {
            Some(level) if highest => finding.level = level,
            Some(level) => finding.level = finding.level.min(level),
            None => return false,
        }
        true
    });
}

/// The setting for a rule: its own, else its family's; the last one of equals.
fn setting<'c>(levels: &'c [LevelSetting], rule: &str) -> Option<&'c LevelSetting> {
    let family = family(rule);
    let named = |name: &str| {
        levels
            .iter()
            .rev()
            .find(|setting| name_now(&setting.name.text) == name)
    };
    named(rule).or_else(|| named(family))
}

fn family(rule: &str) -> &str {
    rule.split('.').next().unwrap_or(rule)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn heard(only: &[&str], silent: &[&str]) -> Heard {
        let list = |names: &[&str]| names.iter().map(|name| (*name).to_string()).collect();
        Heard {
            only: list(only),
            silent: list(silent),
        }
    }

    #[test]
    fn a_rule_counts_before_its_family() {
        let all = |heard: &Heard| {
            ["kit.valves", "kit.intake-filter", "claim.area"].map(|name| heard.hears(name))
        };
        assert_eq!(all(&heard(&[], &[])), [true; 3]);
        assert_eq!(all(&heard(&["kit"], &[])), [true, true, false]);
        assert_eq!(all(&heard(&["kit"], &["kit.valves"])), [false, true, false]);
        assert_eq!(all(&heard(&["kit.valves"], &["kit"])), [true, false, false]);
        assert_eq!(all(&heard(&[], &["kit"])), [false, false, true]);
    }

    #[test]
    fn an_unknown_name_has_a_nearest() {
        assert_eq!(known("kit"), Ok("kit"));
        assert_eq!(known("kit.valves"), Ok("kit.valves"));
        let unknown = known("kit.vavles").unwrap_err();
        assert_eq!(unknown.nearest, Some("kit.valves"));
        assert_eq!(known("zzzzzzzzz").unwrap_err().nearest, None);
    }
}
