//! Holds the texts to the style page in `DEVELOPERS.md`: turns that made people read twice don't come back.

use std::collections::BTreeSet;
use std::path::Path;
use std::process::Command;

use crate::made;

/// Turns that nobody says, in lower case. What to write in their place stands in `DEVELOPERS.md`.
const BANNED: &[&str] = &[
    "isn't served",
    "is served at",
    "doesn't pay for",
    "hangs on",
    "hangs from",
    "mends it",
    "to mend",
    "would mend",
    "is mended",
    "mending",
    "is told by",
    "is told as",
    "it is told",
    "be told when",
    "what weighs most",
    "weighs most",
    "nothing within what was looked at",
    "turns most on",
    "can hardly be meant",
    "whatever came of it",
    "comes of it",
    "for want of",
    "graver than",
    "over the whole of",
    "are others",
    "in place of the findings",
    "decide with",
    "worth most with",
    "what settles it",
    "costs the pressure",
    "here belongs",
    "belongs here",
    "there stands",
    "first mend",
    "rests on it",
    "at the least:",
    "the format writes",
    "the format puts",
    "stands in place of",
    "would come nearer",
    "is no mend",
    "what binds",
];

/// Messages that still have such a turn, by file. A pair that is gone must be struck off.
const PENDING: &[(&str, &str)] = &[];

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// The turns in `text`.
fn turns(text: &str) -> BTreeSet<&'static str> {
    let words: Vec<&str> = text.split_whitespace().collect();
    let text = words.join(" ").to_lowercase().replace('’', "'");
    let is_there = |turn: &&&str| text.contains(**turn);
    BANNED.iter().filter(is_there).copied().collect()
}

/// Fails on any of `texts`, each with its name, that has a turn.
fn hold(texts: impl Iterator<Item = (String, String)>) {
    let mut faults = Vec::new();
    let mut count = 0;
    for (name, text) in texts {
        faults.extend(turns(&text).iter().map(|turn| format!("{name}: {turn}")));
        count += 1;
    }
    assert!(count > 0, "nothing was read");
    assert!(faults.is_empty(), "\n{}", faults.join("\n"));
}

fn printed(arguments: &[&str]) -> String {
    let output = Command::new(env!("CARGO_BIN_EXE_nameplate"))
        .args(arguments)
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(0), "{arguments:?}");
    String::from_utf8(output.stdout).unwrap()
}

/// A page without what the program made of it: that is held where it is made.
fn by_hand(path: &str) -> (String, String) {
    let page = made::committed(path);
    let mut is_made = false;
    let mut text = String::new();
    for line in page.lines() {
        is_made |= line.starts_with("<!-- made: ");
        if !is_made {
            text.push_str(line);
            text.push('\n');
        }
        is_made &= line != "<!-- end -->";
    }
    (path.to_string(), text)
}

#[test]
fn the_front_page_and_the_guide_are_plain() {
    let pages = crate::guide::all_files().into_iter();
    hold(
        pages
            .chain(["README.md".to_string()])
            .map(|path| by_hand(&path)),
    );
}

#[test]
fn the_rules_pages_are_plain() {
    let families = nameplate::rules::FAMILIES.iter();
    hold(families.map(|family| (family.name.to_string(), family.page.to_string())));
}

#[test]
fn what_each_command_says_of_itself_is_plain() {
    let commands = crate::shells::commands();
    let helps = commands
        .into_iter()
        .map(|name| (name.clone(), printed(&["help", &name])));
    hold(helps);
}

#[test]
fn the_schemas_are_plain() {
    let names = [
        "catalog",
        "audit",
        "duty",
        "limits",
        "sweep",
        "gauge",
        "record",
        "revision",
        "pond",
        "pond-answer",
    ];
    hold(
        names
            .map(|name| (name.to_string(), printed(&["schema", name])))
            .into_iter(),
    );
}

/// What a file says in its texts: no comments, no tests, and texts of several lines joined.
fn messages(code: &str) -> String {
    let code = code.split("\n#[cfg(test)]").next().unwrap();
    let lines = code
        .lines()
        .filter(|line| !line.trim_start().starts_with("//"));
    lines
        .map(|line| line.trim().trim_end_matches('\\'))
        .collect::<Vec<_>>()
        .join(" ")
}

/// The room that reads pages lists what other people write, so it isn't looked at.
const LISTENS: &str = "src/spec_sheet";

#[test]
fn the_messages_are_plain_but_for_those_that_are_known() {
    let mut found: BTreeSet<(String, &str)> = BTreeSet::new();
    for entry in walkdir::WalkDir::new(root().join("src")) {
        let path = entry.unwrap().into_path();
        let name = path.strip_prefix(root()).unwrap().to_str().unwrap();
        let name = name.replace('\\', "/");
        if path.extension().is_some_and(|end| end == "rs") && !name.starts_with(LISTENS) {
            let code = std::fs::read_to_string(&path).unwrap();
            let turns = turns(&messages(&code)).into_iter();
            found.extend(turns.map(|turn| (name.clone(), turn)));
        }
    }
    let pending: BTreeSet<(String, &str)> = PENDING
        .iter()
        .map(|(file, turn)| (file.to_string(), *turn))
        .collect();
    let new: Vec<_> = found.difference(&pending).collect();
    assert!(new.is_empty(), "{new:#?}");
    let gone: Vec<_> = pending.difference(&found).collect();
    assert!(gone.is_empty(), "strike these off the list: {gone:#?}");
}

/// The style page has ten pairs, and no sentence it recommends has a banned turn.
#[test]
fn the_style_page_keeps_to_itself() {
    let page = made::committed("DEVELOPERS.md");
    let style = page.split("## Style\n").nth(1).unwrap();
    let style = style.split("\n## ").next().unwrap();
    let rows: Vec<Vec<&str>> = style
        .lines()
        .filter(|line| line.starts_with("| "))
        .map(|line| line.trim_matches('|').split('|').map(str::trim).collect())
        .collect();
    let pairs = &rows[2..];
    assert_eq!(pairs.len(), 10, "{pairs:?}");
    for pair in pairs {
        assert_eq!(turns(pair[1]), BTreeSet::new());
        assert_ne!(pair[0], pair[1]);
    }
}

#[test]
fn a_turn_would_be_seen() {
    let code = "fn a() {\n    // hangs on\n    say(\"It hangs \\\n        on it\");\n}\n#[cfg(test)]\nmod tests { \"mends it\" }\n";
    assert_eq!(turns(&messages(code)), BTreeSet::from(["hangs on"]));
    assert_eq!(
        turns("A pond isn’t\nserved"),
        BTreeSet::from(["isn't served"])
    );
}
