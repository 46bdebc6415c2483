//! Nothing slips past a gate: whatever is done to a catalog, each error that an audit of all would newly find is
//! found by an audit since then, and by one held against the earlier report.
//!
//! What is new is counted here by other means than the program's: by rule, subject, file and the letters that
//! stand at the place, in both audits of all.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;

use nameplate::engine::{self, Input, Options, Outcome};
use nameplate::finding::{Finding, Level};
use nameplate::report::sarif;
use nameplate::revise::{self, Before};
use rayon::prelude::*;

use crate::air_packages::Draw;
use crate::scratch;

const CASES: u64 = 250;

/// The files of a folder, by path; documents that are cited are files like others.
type Files = BTreeMap<String, String>;

/// What a change called otherwise: paths, and IDs within a folder, as `(was, is)`.
#[derive(Default)]
struct Otherwise {
    paths: Vec<(String, String)>,
    ids: Vec<(&'static str, String, String)>,
}

fn parts(draw: &mut Draw) -> String {
    let mut text = String::new();
    for id in ["one", "two"] {
        let _ = write!(
            text,
            "[compressor.{id}]\ntechnology = \"linear-diaphragm\"\nvoltage = \"230 V\"\nfrequency = \"50 Hz\"\npower = {{ is = \"{} W\", at = \"14 kPa\", source = \"evidence.log\" }}\nmax_pressure = \"{} kPa\"\ninlet_filter = true\ncurve = [{{ pressure = \"0 kPa\", flow = \"{} L/min\" }}, {{ pressure = \"33 kPa\", flow = \"0 L/min\" }}]\n\n",
            30 + draw.below(60),
            12 + draw.below(20),
            50 + draw.below(60),
        );
    }
    for id in ["disc", "plate"] {
        let _ = write!(
            text,
            "[diffuser.{id}]\nflow = \"{} to {} L/min\"\ncheck_valve = true\n\n",
            5 + draw.below(10),
            30 + draw.below(40)
        );
    }
    text.push_str("[airline.half]\nsize = \"1/2 in\"\n\n[evidence.log]\nfile = \"log.csv\"\nkind = \"own-test\"\ndate = 2026-02-01\n\n");
    text
}

fn package(id: &str, draw: &mut Draw) -> String {
    let machine = ["one", "two"][draw.below(2) as usize];
    let diffuser = ["disc", "plate"][draw.below(2) as usize];
    let depth = 5 + draw.below(25);
    format!(
        "[package.{id}]\ncompressor = \"{machine}\"\ndiffuser = \"{diffuser}\"\nabove_water = true\n\n[package.{id}.claim]\ndepth = \"{}.{} m\"\npower = \"{} W\"\nrunning_cost = \"{} EUR/month\"\n\n[[package.{id}.option]]\nid = \"with-airline\"\nairline = {{ part = \"half\", length = \"{} m\" }}\n\n",
        depth / 10,
        depth % 10,
        30 + draw.below(60),
        4 + draw.below(12),
        10 + draw.below(60),
    )
}

fn page(id: &str, draw: &mut Draw) -> String {
    format!(
        "+++\npackage = \"{id}\"\n+++\nFor ponds up to {}.{} m deep, at {} W. Connect it to an outlet behind a residual-current device.\n",
        1 + draw.below(2),
        draw.below(10),
        30 + draw.below(60)
    )
}

fn catalogs(draw: &mut Draw) -> Files {
    let mut files = Files::new();
    for name in ["brook", "weir"] {
        let level = [
            "",
            "[level]\nkit = \"note\"\n",
            "[level]\nclaim.power = \"error\"\n",
        ];
        files.insert(
            format!("{name}/catalog.toml"),
            format!(
                "[catalog]\nformat = 1\ntitle = \"Otter Mill Water\"\n\n[site]\ntariff = \"0.{} EUR/kWh\"\n\n{}\n{}",
                15 + draw.below(20),
                level[draw.below(3) as usize],
                parts(draw)
            ),
        );
        let packages = ["mill", "ford"].map(|id| package(id, draw));
        files.insert(format!("{name}/packages.toml"), packages.concat());
        files.insert(format!("{name}/mill.md"), page("mill", draw));
        files.insert(format!("{name}/ford.md"), page("ford", draw));
        files.insert(format!("{name}/log.csv"), "day,read\n".into());
    }
    files
}

fn any<'a, T>(all: &'a [T], draw: &mut Draw) -> &'a T {
    &all[draw.below(all.len() as u64) as usize]
}

/// The blocks of a file: each from a header of one word after the dot to the next.
fn blocks(text: &str) -> Vec<&str> {
    let mut starts: Vec<usize> = text
        .match_indices("\n[")
        .map(|(at, _)| at + 1)
        .filter(|&at| {
            let line = text[at..].lines().next().unwrap_or_default();
            line.matches('.').count() < 2
        })
        .collect();
    starts.insert(0, 0);
    starts.push(text.len());
    starts
        .windows(2)
        .map(|pair| &text[pair[0]..pair[1]])
        .collect()
}

/// One random edit. A file is moved at most once in a case, so that it is known which one it was.
fn edit(files: &mut Files, other: &mut Otherwise, may_move: &mut bool, draw: &mut Draw) -> String {
    let names: Vec<String> = files.keys().cloned().collect();
    let name = any(&names, draw).clone();
    let text = files[&name].clone();
    let lines: Vec<&str> = text.lines().collect();
    match draw.below(16) {
        // Another figure.
        0..=3 => {
            let digits: Vec<usize> = text
                .char_indices()
                .filter(|(_, letter)| letter.is_ascii_digit())
                .map(|(at, _)| at)
                .collect();
            if digits.is_empty() {
                return "nothing".into();
            }
            let at = *any(&digits, draw);
            let mut new = text.clone();
            new.replace_range(at..=at, &draw.below(10).to_string());
            files.insert(name.clone(), new);
            format!("a digit at {at} of {name}")
        }
        // A line less.
        4 => {
            let gone = draw.below(lines.len().max(1) as u64) as usize;
            let kept: Vec<&str> = lines
                .iter()
                .enumerate()
                .filter(|(at, _)| *at != gone)
                .map(|(_, line)| *line)
                .collect();
            files.insert(name.clone(), kept.join("\n") + "\n");
            format!("line {gone} of {name} gone")
        }
        // A block less, twice, or in another file.
        5..=7 => {
            let how = draw.below(3);
            let all = blocks(&text);
            let block = any(&all, draw).to_string();
            if how != 1 {
                files.insert(name.clone(), text.replacen(&block, "", 1));
            }
            let to = any(&names, draw).clone();
            if how != 0 && to.ends_with(".toml") && name.ends_with(".toml") {
                let target = files.get_mut(&to).unwrap();
                target.push('\n');
                target.push_str(&block);
            }
            format!(
                "block {:?} of {name}, way {how}, {to}",
                block.lines().next()
            )
        }
        // A file less, twice, or elsewhere.
        8 | 9 => {
            if !std::mem::take(may_move) {
                return "nothing".into();
            }
            let how = draw.below(3);
            let (folder, base) = name.split_once('/').unwrap();
            let to = format!("{folder}/{}{base}", ["a-", "z-"][draw.below(2) as usize]);
            if how != 1 {
                files.remove(&name);
            }
            if how != 0 {
                files.insert(to.clone(), text);
            }
            if how == 2 {
                other.paths.push((name.clone(), to));
            }
            format!("file {name}, way {how}")
        }
        // A level, a waiver, or something that all depends on.
        10 => {
            let levels = [
                "claim = \"error\"",
                "sheet = \"error\"",
                "kit = \"error\"",
                "claim.depth = \"note\"",
                "reference = \"none\"",
            ];
            let head = files.entry("brook/catalog.toml".into()).or_default();
            let level = any(&levels, draw);
            // Those of the catalog, or those that stand above them.
            let table = *any(&["[level]\n", "[audit.level]\n"], draw);
            match head.contains(table) {
                true => *head = head.replacen(table, &format!("{table}{level}\n"), 1),
                false => {
                    let _ = write!(head, "\n{table}{level}\n");
                }
            }
            format!("level {level}")
        }
        11 => {
            let rule = any(&["claim.depth", "claim", "claim.power", "sheet"], draw);
            let until = any(&["2026-06-01", "2027-06-01"], draw);
            let on = any(&["package.mill", "package.ford", "catalog"], draw);
            let file = files.entry("weir/packages.toml".into()).or_default();
            let _ = write!(
                file,
                "\n[[waiver]]\nrule = \"{rule}\"\non = \"{on}\"\nreason = \"as sold\"\nuntil = {until}\n"
            );
            format!("waiver of {rule} on {on} until {until}")
        }
        12 => {
            let head = files.entry("weir/catalog.toml".into()).or_default();
            let with = any(
                &[
                    "exclude = [\"packages.toml\"]",
                    "files = [\"none/*.toml\"]",
                    "sources_required = true",
                    "currency = \"EUR\"",
                ],
                draw,
            );
            *head = head.replacen("format = 1\n", &format!("format = 1\n{with}\n"), 1);
            format!("head {with}")
        }
        // Another ID, everywhere.
        13 => {
            let id = any(&["mill", "one", "disc", "ford"], draw);
            let new = format!("{id}-b");
            let folder = *any(&["brook", "weir"], draw);
            if other
                .ids
                .iter()
                .any(|(of, was, _)| (*of, was.as_str()) == (folder, *id))
            {
                return "nothing".into();
            }
            for (_, text) in files
                .iter_mut()
                .filter(|(name, _)| name.starts_with(folder))
            {
                *text = text
                    .replace(&format!(".{id}]"), &format!(".{new}]"))
                    .replace(&format!(".{id}."), &format!(".{new}."))
                    .replace(&format!("\"{id}\""), &format!("\"{new}\""))
                    .replace(&format!("package.{id}\""), &format!("package.{new}\""));
            }
            other.ids.push((folder, (*id).to_string(), new));
            format!("{id} renamed in {folder}")
        }
        // What one catalog says, the other now says: mended here, broken there.
        14 => {
            let base = *any(&["packages.toml", "mill.md", "ford.md"], draw);
            let names = ["brook", "weir"].map(|folder| format!("{folder}/{base}"));
            let texts = names.clone().map(|name| files.remove(&name));
            let [first, second] = texts;
            for (name, text) in names.into_iter().zip([second, first]) {
                files.extend(text.map(|text| (name, text)));
            }
            format!("{base} swapped")
        }
        // What can't be read.
        _ => {
            let at = draw.below(lines.len().max(1) as u64) as usize;
            let mut all: Vec<&str> = lines.clone();
            all.insert(at, "depth = = \"oops");
            files.insert(name.clone(), all.join("\n") + "\n");
            format!("line {at} of {name} broken")
        }
    }
}

fn inputs(files: &Files) -> Vec<Input> {
    let input = |(path, text): (&String, &String)| scratch::input(path.clone(), text.clone());
    files.iter().map(input).collect()
}

fn options(files: &Files) -> Options {
    Options {
        as_of: Some("2026-07-01".into()),
        documents: Some(files.keys().cloned().collect::<BTreeSet<_>>()),
        ..Options::default()
    }
}

/// Errors by what can be seen of them, with how many there are.
type Seen = BTreeMap<[String; 5], usize>;

fn errors(outcome: &Outcome, other: &Otherwise, counts: impl Fn(&Finding) -> bool) -> Seen {
    let mut seen = Seen::new();
    for finding in &outcome.findings {
        if finding.level != Level::Error || finding.waived.is_some() || !counts(finding) {
            continue;
        }
        let path = outcome.sources.get(finding.at.file).name();
        // A named thing may lie in any file of its catalog.
        let place = match finding.on.contains('.') && path.ends_with(".toml") {
            true => path.split('/').next().unwrap_or_default(),
            false => path,
        };
        let mut place = place.to_string();
        for (was, is) in &other.paths {
            if place == *was {
                place.clone_from(is);
            }
        }
        let text = outcome.sources.slice(finding.at);
        let text = text.lines().next().unwrap_or_default().trim();
        let named = |text: &str| {
            let own = other.ids.iter().filter(|(of, ..)| path.starts_with(of));
            own.fold(text.to_string(), |text, (_, was, is)| {
                text.replace(was.as_str(), is)
            })
        };
        let key = [
            finding.rule.name.to_string(),
            place,
            named(&finding.on),
            named(text),
            finding.level.as_str().to_string(),
        ];
        *seen.entry(key).or_default() += 1;
    }
    seen
}

/// What is in `after` more often than in `before`, and in `shown` not so often.
fn lacking(before: &Seen, after: &Seen, shown: &Seen) -> Vec<String> {
    let of = |seen: &Seen, key| seen.get(key).copied().unwrap_or_default();
    after
        .iter()
        .filter(|(key, many)| many.saturating_sub(of(before, *key)) > of(shown, *key))
        .map(|(key, _)| key.join(" | "))
        .collect()
}

/// What slipped past in a case, with what was done.
fn case(seed: u64) -> (Vec<String>, usize) {
    let mut draw = Draw(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) ^ 0x2545_f491);
    let old = catalogs(&mut draw);
    let mut new = old.clone();
    let mut other = Otherwise::default();
    let mut may_move = true;
    let mut done = Vec::new();
    for _ in 0..=draw.below(4) {
        done.push(edit(&mut new, &mut other, &mut may_move, &mut draw));
    }
    let before = engine::audit(inputs(&old), &options(&old));
    let after = engine::audit(inputs(&new), &options(&new));
    let since = revise::since(
        inputs(&new),
        Before {
            name: "then".into(),
            inputs: inputs(&old),
            documents: options(&old).documents,
            ..Before::default()
        },
        &options(&new),
    );
    let baseline = sarif::read_baseline(&sarif::render(&before)).unwrap();
    let held = engine::audit(
        inputs(&new),
        &Options {
            baseline: Some(baseline),
            ..options(&new)
        },
    );
    let was = errors(&before, &other, |_| true);
    let is = errors(&after, &Otherwise::default(), |_| true);
    let mut slipped = Vec::new();
    for (name, shown) in [
        ("since", errors(&since, &Otherwise::default(), |_| true)),
        (
            "baseline",
            errors(&held, &Otherwise::default(), Finding::counts),
        ),
    ] {
        for one in lacking(&was, &is, &shown) {
            slipped.push(format!("seed {seed}, {name}: {one}\n  after {done:?}"));
        }
        // What it shows an audit of all finds as well.
        let alone = lacking(&Seen::new(), &shown, &is);
        // Why a page differs only the earlier state tells.
        for one in alone.iter().filter(|one| !one.starts_with("sheet.stale")) {
            slipped.push(format!(
                "seed {seed}, {name} alone: {one}\n  after {done:?}"
            ));
        }
    }
    let new = is
        .iter()
        .map(|(key, many)| many.saturating_sub(was.get(key).copied().unwrap_or_default()));
    (slipped, new.sum())
}

#[test]
fn no_new_error_is_missing_whatever_was_changed() {
    let cases: Vec<(Vec<String>, usize)> = (0..CASES).into_par_iter().map(case).collect();
    let slipped: Vec<&String> = cases.iter().flat_map(|(slipped, _)| slipped).collect();
    assert!(
        slipped.is_empty(),
        "{} slipped past, first ones:\n{}",
        slipped.len(),
        slipped
            .iter()
            .take(8)
            .map(|one| one.as_str())
            .collect::<Vec<_>>()
            .join("\n")
    );
    // Most edits break something, else this would show little.
    let breaking = cases.iter().filter(|(_, new)| *new > 0).count() as u64;
    assert!(
        3 * breaking > CASES,
        "{breaking} of {CASES} changes made an error"
    );
}

#[test]
fn where_nothing_changed_nothing_is_shown() {
    for seed in 0..20 {
        let mut draw = Draw(seed ^ 0x1234_5678);
        let files = catalogs(&mut draw);
        let before = Before {
            name: "then".into(),
            inputs: inputs(&files),
            documents: options(&files).documents,
            ..Before::default()
        };
        let since = revise::since(inputs(&files), before, &options(&files));
        assert!(since.findings.is_empty() && since.verdicts.is_empty());
        let partial = since.partial.unwrap();
        assert_eq!((partial.packages, since.summary.packages), (4, 0));
        assert!(partial.standing > 0);
    }
}
