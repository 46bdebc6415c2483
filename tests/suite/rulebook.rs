//! `nameplate rulebook`: every rule is listed and explained, in both formats.

use std::process::{Command, Output};

use nameplate::assumptions::Assumptions;
use nameplate::rules::FAMILIES;
use unicode_width::UnicodeWidthStr;

fn run(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_nameplate"))
        .arg("rulebook")
        .args(arguments)
        .env_remove("NO_COLOR")
        .env_remove("COLUMNS")
        .env("LC_ALL", "C.UTF-8")
        .output()
        .unwrap()
}

fn printed(arguments: &[&str]) -> String {
    let output = run(arguments);
    assert_eq!(output.status.code(), Some(0), "{arguments:?}");
    assert_eq!(output.stderr, b"");
    String::from_utf8(output.stdout).unwrap()
}

/// Lines that are wider than the page. A line of an example stays as it is.
fn too_wide(text: &str) -> Vec<&str> {
    let lines = text.lines();
    lines
        .filter(|line| line.width() > 100 && !line.starts_with("    "))
        .collect()
}

#[test]
fn the_list_has_every_family_and_rule() {
    let text = printed(&[]);
    for family in FAMILIES {
        assert!(
            text.lines().any(|line| line == family.name),
            "{}",
            family.name
        );
        for rule in family.rules {
            let row = text
                .lines()
                .find(|line| line.trim_start().starts_with(&format!("{} ", rule.name)));
            assert!(
                row.is_some_and(|row| row.contains(rule.level.as_str())),
                "{}",
                rule.name
            );
        }
    }
    assert_eq!(too_wide(&text), Vec::<&str>::new());
    let table = printed(&["--format", "markdown"]);
    assert_eq!(
        table.lines().count(),
        2 + FAMILIES
            .iter()
            .map(|family| family.rules.len())
            .sum::<usize>()
    );
}

#[test]
fn every_rule_is_explained() {
    for family in FAMILIES {
        for rule in family.rules {
            let text = printed(&[rule.name]);
            for heading in [
                "The promise",
                "The physics",
                "What would settle it",
                "How to fix it",
                "Examples",
            ] {
                assert!(
                    text.lines().any(|line| line == heading),
                    "{}: {heading}",
                    rule.name
                );
            }
            assert!(text.contains(&format!("# here: {}", rule.name)) || text.contains(rule.name));
            assert!(
                !text.contains('\u{1b}') && !text.contains("```"),
                "{}",
                rule.name
            );
            assert_eq!(too_wide(&text), Vec::<&str>::new(), "{}", rule.name);
            let page = printed(&[rule.name, "--format", "markdown"]);
            assert!(page.starts_with(&format!("# {}\n", rule.name)) && page.contains("```toml\n"));
        }
        let text = printed(&[family.name]);
        assert!(family.rules.iter().all(|rule| text.contains(rule.name)));
    }
}

#[test]
fn the_ranges_are_listed_with_their_sources() {
    let (text, table) = (
        printed(&["--assumptions"]),
        printed(&["--assumptions", "--format", "markdown"]),
    );
    let joined = text.split_whitespace().collect::<Vec<_>>().join(" ");
    for range in Assumptions::builtin().iter() {
        assert!(text.contains(range.name.as_str()), "{}", range.name);
        assert!(table.contains(&format!("| `{}`", range.name)) && table.contains(&range.source));
        let words: Vec<&str> = range.source.split_whitespace().collect();
        assert!(joined.contains(&words.join(" ")), "{}", range.source);
    }
}

#[test]
fn colours_are_there_only_when_asked_for() {
    assert!(printed(&["kit.valves", "--color", "always"]).contains('\u{1b}'));
    assert!(!printed(&["kit.valves"]).contains('\u{1b}'));
    assert!(printed(&["unit", "--ascii"]).is_ascii());
}

#[test]
fn a_name_that_is_none_is_refused_with_the_nearest() {
    let output = run(&["kit.vavles"]);
    assert_eq!(output.status.code(), Some(2));
    let said = String::from_utf8(output.stderr).unwrap();
    assert!(
        said.contains("no rule or family `kit.vavles`; the nearest name is `kit.valves`"),
        "{said}"
    );
}
