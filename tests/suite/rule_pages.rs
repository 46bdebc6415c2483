//! Holds every rule to its page, and every page to its rule.
//!
//! A page `src/rules/FAMILY.md` documents a family and is its test. Under `### Examples` of a
//! rule stand fenced `toml` blocks:
//!
//! - a marker `# here: RULE` on the line after a value says that this rule speaks at the line
//!   before it; several rules stand apart by commas;
//! - all rules run on every block; errors and warnings must be those marked, no more and no
//!   fewer. A note needn't be marked, but a marked one must be there;
//! - a block without a `[catalog]` table is completed by `src/rules/header.toml`;
//! - a line `# file: NAME` begins another file of the same catalog; one that is a spec sheet by its name has
//!   its markers as `<!-- here: RULE -->`;
//! - a file `before/NAME` is what NAME was before a change, and the example is read with what has changed since;
//! - in a block fenced ```` ```toml bytes ```` a pair of hexadecimal digits between `<` and `>` is
//!   that byte, for texts that no Markdown file can hold.

use std::collections::BTreeMap;
use std::path::PathBuf;

use nameplate::engine::{self, Input};
use nameplate::finding::{Level, Rule};
use nameplate::rules::{FAMILIES, Family, HEADER};

/// The headings of a rule's section, in order.
const HEADINGS: [&str; 5] = [
    "The promise",
    "The physics",
    "What would settle it",
    "How to fix it",
    "Examples",
];

/// The day on which the examples are read: the tests look at no calendar.
const AS_OF: &str = "2026-07-01";

/// An example of a page.
struct Example {
    /// Line of the page on which its text begins, from 1.
    line: usize,
    /// Whether `<FF>` stands for a byte.
    bytes: bool,
    text: String,
}

/// A rule's section of a page.
#[derive(Default)]
struct Section {
    rule: String,
    /// Headings and the prose under each.
    parts: Vec<(String, String)>,
    examples: Vec<Example>,
}

#[derive(Default)]
struct Page {
    title: String,
    preface: String,
    sections: Vec<Section>,
}

/// Reads a page. Blocks that stand elsewhere than under Examples are prose.
fn parse(text: &str) -> Page {
    let mut page = Page::default();
    let mut open: Option<Example> = None;
    for (index, line) in text.lines().enumerate() {
        if let Some(example) = &mut open {
            if line.trim_end() == "```" {
                let example = open.take().unwrap();
                if let Some(section) = page.sections.last_mut() {
                    section.examples.push(example);
                }
            } else {
                example.text.push_str(line);
                example.text.push('\n');
            }
            continue;
        }
        if let Some(fence) = line.strip_prefix("```toml") {
            open = Some(Example {
                line: index + 2,
                bytes: fence.trim() == "bytes",
                text: String::new(),
            });
        } else if let Some(heading) = line.strip_prefix("### ") {
            if let Some(section) = page.sections.last_mut() {
                section
                    .parts
                    .push((heading.trim().to_string(), String::new()));
            }
        } else if let Some(rule) = line.strip_prefix("## ") {
            page.sections.push(Section {
                rule: rule.trim().to_string(),
                ..Section::default()
            });
        } else if let Some(title) = line.strip_prefix("# ") {
            page.title = title.trim().to_string();
        } else if let Some(section) = page.sections.last_mut() {
            if let Some((_, prose)) = section.parts.last_mut() {
                prose.push_str(line);
                prose.push('\n');
            }
        } else {
            page.preface.push_str(line);
            page.preface.push('\n');
        }
    }
    page
}

/// What of a page hasn't the form of one.
fn faults_of_form(page: &Page, name: &str, rules: &[&str]) -> Vec<String> {
    let mut faults = Vec::new();
    if page.title != format!("The family `{name}`") {
        faults.push(format!("the title is `{}`", page.title));
    }
    if page.preface.trim().len() < 60 {
        faults.push("the paragraph that says what the family asks is missing".into());
    }
    let sections: Vec<&str> = page.sections.iter().map(|s| s.rule.as_str()).collect();
    if sections != rules {
        faults.push(format!("sections {sections:?}, but rules {rules:?}"));
    }
    for section in &page.sections {
        let rule = &section.rule;
        let headings: Vec<&str> = section.parts.iter().map(|(h, _)| h.as_str()).collect();
        if headings != HEADINGS {
            faults.push(format!("{rule}: headings {headings:?}"));
        }
        for (heading, prose) in &section.parts {
            if heading != "Examples" && prose.trim().len() < 5 {
                faults.push(format!("{rule}: nothing stands under {heading}"));
            }
        }
        let speaks = |example: &&Example| {
            markers(&example.text).any(|(_, named)| named.split(',').any(|n| n.trim() == rule))
        };
        let speaking = section.examples.iter().filter(speaks).count();
        let silent = section
            .examples
            .iter()
            .filter(|e| markers(&e.text).next().is_none())
            .count();
        if speaking < 2 || silent < 2 {
            faults.push(format!(
                "{rule}: {speaking} examples on which it speaks and {silent} silent ones; two of each are needed"
            ));
        }
    }
    faults
}

/// The markers of a text: the line each stands on, from 1, and what it names.
fn markers(text: &str) -> impl Iterator<Item = (usize, &str)> {
    text.lines().enumerate().filter_map(|(index, line)| {
        let line = line.trim();
        let in_prose = || line.strip_prefix("<!-- here:")?.strip_suffix("-->");
        let named = line.strip_prefix("# here:").or_else(in_prose)?;
        Some((index + 1, named.trim()))
    })
}

/// One file of an example.
struct File {
    /// Path below the catalog's folder.
    name: String,
    /// Line of the page before its first line.
    before: usize,
    text: String,
}

/// The files of a text in which lines `# file: NAME` begin another.
fn split(text: &str, first: &str, line: usize) -> Vec<File> {
    let mut files = vec![File {
        name: first.to_string(),
        before: line - 1,
        text: String::new(),
    }];
    for (index, line_text) in text.lines().enumerate() {
        if let Some(name) = line_text.trim().strip_prefix("# file:") {
            files.push(File {
                name: name.trim().to_string(),
                before: line + index,
                text: String::new(),
            });
        } else if let Some(file) = files.last_mut() {
            file.text.push_str(line_text);
            file.text.push('\n');
        }
    }
    files.retain(|file| !file.text.trim().is_empty());
    files
}

/// The bytes of a text in which `<FF>` stands for a byte.
fn bytes(text: &str, escaped: bool) -> Vec<u8> {
    let mut all = Vec::with_capacity(text.len());
    let mut rest = text.as_bytes();
    while let [first, tail @ ..] = rest {
        let digits = match rest {
            [b'<', a, b, b'>', ..] if escaped => std::str::from_utf8(&[*a, *b])
                .ok()
                .and_then(|pair| u8::from_str_radix(pair, 16).ok()),
            _ => None,
        };
        match digits {
            Some(byte) => {
                all.push(byte);
                rest = &rest[4..];
            }
            None => {
                all.push(*first);
                rest = tail;
            }
        }
    }
    all
}

/// A place in an example: file and line.
type Place = (String, usize);

/// The folder the example's catalog lies in.
const FOLDER: &str = "catalog/";

fn input(file: &File, escaped: bool) -> Input {
    let borrowed = file.name.starts_with("../");
    let path = match file.name.strip_prefix("../") {
        Some(outside) => outside.to_string(),
        None => format!("{FOLDER}{}", file.name),
    };
    Input {
        path,
        bytes: bytes(&file.text, escaped),
        alone: false,
        borrowed,
    }
}

/// The texts of every example of every page, with its rule and line for a name.
pub fn texts_of_examples() -> Vec<(String, Vec<Input>)> {
    let mut all = Vec::new();
    for family in FAMILIES {
        for section in parse(&page_of(family)).sections {
            for example in &section.examples {
                let name = format!("{}.md, line {}", family.name, example.line);
                all.push((name, texts(example).1));
            }
        }
    }
    all
}

/// The files of an example, and the texts of the catalog they make with the header.
fn texts(example: &Example) -> (Vec<File>, Vec<Input>) {
    let own = example
        .text
        .lines()
        .any(|line| line.trim_start().starts_with("[catalog]"));
    let first = if own { "catalog.toml" } else { "example.toml" };
    let files = split(&example.text, first, example.line);
    let header = split(HEADER, "header", 1);
    // The stock of parts is there for every example; the head only where there is none.
    let completed = header
        .iter()
        .filter(|file| file.name.starts_with("../") || (!own && file.name == "catalog.toml"));
    let inputs = files
        .iter()
        .map(|file| input(file, example.bytes))
        .chain(completed.map(|file| input(file, false)))
        .collect();
    (files, inputs)
}

/// What is wrong with an example, each with a line of the page.
fn faults_of_example(example: &Example) -> Vec<String> {
    let (files, inputs) = texts(example);
    // Files of the folder `before` are how the same catalog was before a change.
    let earlier = format!("{FOLDER}before/");
    let (before, inputs): (Vec<Input>, Vec<Input>) = inputs
        .into_iter()
        .partition(|input| input.path.starts_with(&earlier));
    let earlier = (!before.is_empty()).then(|| {
        let before = before.into_iter().map(|input| Input {
            path: input.path.replacen(&earlier, FOLDER, 1),
            ..input
        });
        let stay = |input: &&Input| input.borrowed || input.path.ends_with("catalog.toml");
        before.chain(inputs.iter().filter(stay).cloned()).collect()
    });
    let options = engine::Options {
        as_of: Some(AS_OF.into()),
        earlier,
        ..Default::default()
    };
    let outcome = engine::audit(inputs, &options);
    let mut spoken: BTreeMap<Place, Vec<(&Rule, Level, String)>> = BTreeMap::new();
    for finding in outcome.findings.iter().filter(|one| one.waived.is_none()) {
        let name = outcome.sources.get(finding.at.file).name();
        let name = name.strip_prefix(FOLDER).unwrap_or(name).to_string();
        let line = outcome.sources.position(finding.at).line;
        let words = format!("{} {}", finding.message, finding.mend);
        spoken
            .entry((name, line))
            .or_default()
            .push((finding.rule, finding.level, words));
    }
    let mut faults = Vec::new();
    for file in &files {
        for (line, named) in markers(&file.text) {
            for rule in named.split(',').map(str::trim) {
                let place = (file.name.clone(), line.saturating_sub(1));
                let found = spoken.get_mut(&place).and_then(|all| {
                    let at = all.iter().position(|(spoke, ..)| spoke.name == rule)?;
                    Some(all.remove(at))
                });
                if found.is_none() {
                    let line = file.before + line - 1;
                    faults.push(format!("line {line}: {rule} is silent"));
                }
            }
        }
    }
    for ((name, line), all) in spoken {
        for (rule, level, words) in all {
            if level > Level::Note {
                let line = match files.iter().find(|file| file.name == name) {
                    Some(file) => format!("line {}", file.before + line),
                    None => format!("{name}, line {line}, of the header"),
                };
                faults.push(format!("{line}: {} ({level}): {words}", rule.name));
            }
        }
    }
    faults
}

fn page_of(family: &Family) -> String {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR"))
        .join("src/rules")
        .join(format!("{}.md", family.name));
    std::fs::read_to_string(path).unwrap()
}

fn names(family: &Family) -> Vec<&'static str> {
    family.rules.iter().map(|rule| rule.name).collect()
}

#[test]
fn every_family_has_its_page() {
    let mut faults = Vec::new();
    for family in FAMILIES {
        let page = parse(&page_of(family));
        for fault in faults_of_form(&page, family.name, &names(family)) {
            faults.push(format!("{}.md: {fault}", family.name));
        }
    }
    assert!(faults.is_empty(), "\n{}", faults.join("\n"));
}

#[test]
fn the_record_holds_the_page() {
    for family in FAMILIES {
        assert!(family.page == page_of(family), "{}.md", family.name);
    }
}

#[test]
fn every_example_says_what_its_markers_say() {
    let mut faults = Vec::new();
    for family in FAMILIES {
        let page = parse(&page_of(family));
        for section in &page.sections {
            for fault in section.examples.iter().flat_map(faults_of_example) {
                faults.push(format!("{}.md, {}, {fault}", family.name, section.rule));
            }
        }
    }
    assert!(faults.is_empty(), "\n{}", faults.join("\n"));
}

// ── The harness itself ─────────────────────────────────────────────────────

fn example(text: &str) -> Example {
    Example {
        line: 1,
        bytes: false,
        text: text.to_string(),
    }
}

/// A compressor whose curve rises at its third line of points.
const RISING: &str = r#"[compressor.a]
technology = "linear-diaphragm"
voltage = "230 V"
frequency = "50 Hz"
power = "40 W"
max_pressure = "20 kPa"
curve = [
  { pressure = "0 kPa", flow = "50 L/min" },
  { pressure = "10 kPa", flow = "55 L/min" },
  # here: curve.rising
  { pressure = "30 kPa", flow = "0 L/min" },
]
"#;

#[test]
fn a_marker_in_its_place_is_enough() {
    assert_eq!(faults_of_example(&example(RISING)), Vec::<String>::new());
}

#[test]
fn a_finding_without_marker_is_seen() {
    let bare = RISING.replace("  # here: curve.rising\n", "");
    let faults = faults_of_example(&example(&bare));
    assert_eq!(faults.len(), 1, "{faults:?}");
    assert!(faults[0].starts_with("line 9: curve.rising (error)"));
}

#[test]
fn a_marker_on_a_wrong_line_is_seen() {
    let moved = RISING.replace("  # here: curve.rising\n", "") + "# here: curve.rising\n";
    let faults = faults_of_example(&example(&moved));
    assert_eq!(faults.len(), 2, "{faults:?}");
    assert_eq!(faults[0], "line 11: curve.rising is silent");
}

#[test]
fn a_marker_of_another_rule_is_seen() {
    let other = RISING.replace("curve.rising", "curve.disagrees");
    assert_eq!(faults_of_example(&example(&other)).len(), 2);
    let both = RISING.replace("curve.rising", "curve.rising, curve.disagrees");
    assert_eq!(faults_of_example(&example(&both)).len(), 1);
}

#[test]
fn a_note_may_stand_unmarked_and_a_marked_one_must_be_there() {
    let sound = r#"[diffuser.spare]
flow = "10 to 45 L/min"
[package.a]
compressor = "linear-40"
diffuser = "disc-230"
"#;
    assert_eq!(faults_of_example(&example(sound)), Vec::<String>::new());
    let marked = sound.replacen("spare]\n", "spare]\n# here: reference.unused\n", 1);
    assert_eq!(faults_of_example(&example(&marked)), Vec::<String>::new());
    let wrong = marked.replacen("spare", "disc-230", 1);
    assert!(!faults_of_example(&example(&wrong)).is_empty());
}

#[test]
fn a_waived_finding_does_not_count() {
    let bare = RISING.replace("  # here: curve.rising\n", "");
    let waiver =
        "[[waiver]]\nrule = \"curve.rising\"\non = \"compressor.a\"\nreason = \"measured so\"\n";
    let until = |day: &str| format!("{waiver}until = {day}\n{bare}");
    assert_eq!(
        faults_of_example(&example(&until(AS_OF))),
        Vec::<String>::new()
    );
    let marked = format!("{waiver}{RISING}");
    let faults = faults_of_example(&example(&marked));
    assert_eq!(faults, ["line 13: curve.rising is silent"]);
    // The day before is past: the waiver speaks, and so does what it accepted.
    let faults = faults_of_example(&example(&until("2026-06-30")));
    assert_eq!(faults.len(), 2, "{faults:?}");
}

#[test]
fn bytes_and_files_are_read_as_written() {
    assert_eq!(bytes("a<FF>b<zz>", true), b"a\xFFb<zz>");
    assert_eq!(bytes("a<FF>", false), b"a<FF>");
    let files = split(
        "x = 1\n# file: parts.toml\ny = 2\n# here: schema.unknown-key\n",
        "a",
        10,
    );
    assert_eq!(files.len(), 2);
    assert_eq!(
        (files[1].name.as_str(), files[1].before),
        ("parts.toml", 11)
    );
}

#[test]
fn a_page_out_of_form_is_seen() {
    let sound = "# The family `x`\n\nWhat a family of rules asks, in a paragraph that is long enough to say it.\n\n\
        ## x.y\n\n### The promise\n\nWords that say what is promised.\n\n### The physics\n\nWords that say what is so.\n\n\
        ### What would settle it\n\nWords that say what settles.\n\n### How to fix it\n\nWords that say how it's fixed.\n\n\
        ### Examples\n\n```toml\na\n# here: x.y\n```\n```toml\nb\n# here: z.z, x.y\n```\n```toml\nc\n```\n```toml\nd\n```\n";
    let faults = |text: &str| faults_of_form(&parse(text), "x", &["x.y"]).len();
    assert_eq!(faults(sound), 0);
    assert_eq!(faults(&sound.replace("family `x`", "family `z`")), 1);
    assert_eq!(faults(&sound.replace("## x.y", "## x.z")), 2);
    assert_eq!(
        faults(&sound.replace("### The physics", "### The physic")),
        1
    );
    assert_eq!(
        faults(&sound.replace("Words that say what settles.", "")),
        1
    );
    assert_eq!(faults(&sound.replace("z.z, x.y", "z.z")), 1);
    assert_eq!(faults(&sound.replace("```toml\nd\n```\n", "")), 1);
}
