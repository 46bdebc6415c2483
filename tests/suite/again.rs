//! An audit that keeps what didn't change finds what a fresh one finds, byte for byte, whatever is done to the texts.

use std::collections::BTreeMap;

use nameplate::engine::{self, Input, Memo, Options, Outcome};
use rayon::prelude::*;

use crate::air_packages::Draw;
use crate::generated::honest;
use crate::{catalog_examples, scratch};

/// Catalogs that are edited, and how often each.
const CATALOGS: u64 = 48;
const EDITS: usize = 20;

type Files = BTreeMap<String, Vec<u8>>;

/// The blocks of a catalog in one file, shared out to the files of a folder.
fn parted(text: &str, draw: &mut Draw) -> Files {
    let mut files = Files::new();
    let mut name = "a/catalog.toml";
    for line in text.split_inclusive('\n') {
        if line.starts_with('[') && !line.contains(".claim") && !line.contains(".option") {
            name = match line {
                _ if line.starts_with("[package.") => {
                    ["a/packages/one.toml", "a/packages/two.toml"][draw.below(2) as usize]
                }
                _ if ["[catalog", "[site", "[rating", "[assumption", "[level"]
                    .iter()
                    .any(|head| line.starts_with(head)) =>
                {
                    "a/catalog.toml"
                }
                _ => ["a/parts.toml", "a/packages/one.toml"][draw.below(2) as usize],
            };
        }
        files.entry(name.into()).or_default().extend(line.bytes());
    }
    files
}

/// Texts to begin with: catalogs drawn at random, some of several files, and all examples.
fn bases(number: u64, draw: &mut Draw) -> Files {
    match number % 4 {
        0 => Files::from([(
            "a/catalog.toml".into(),
            honest::catalog(number).text().into(),
        )]),
        1 => {
            let mut two = parted(&honest::catalog(number).text(), draw);
            two.insert(
                "b/catalog.toml".into(),
                honest::catalog(number + 1).text().into(),
            );
            two.insert(
                "a/page.md".into(),
                b"For ponds up to 30 ft deep, at 90 W.\n".to_vec(),
            );
            two
        }
        2 => parted(&honest::catalog(number).text(), draw),
        _ => {
            let folder = ["sound", "faulty"][draw.below(2) as usize];
            catalog_examples::files(folder).into_iter().collect()
        }
    }
}

fn edit(files: &mut Files, draw: &mut Draw) {
    let names: Vec<String> = files.keys().cloned().collect();
    let name = names[draw.below(names.len() as u64) as usize].clone();
    let mut text = files[&name].clone();
    let lines: Vec<Vec<u8>> = text
        .split_inclusive(|b| *b == b'\n')
        .map(<[u8]>::to_vec)
        .collect();
    if lines.is_empty() {
        files.remove(&name);
        return;
    }
    let line = draw.below(lines.len() as u64) as usize;
    match draw.below(14) {
        // Another digit: the usual keystroke.
        0..=5 => {
            let digits: Vec<usize> = (0..text.len())
                .filter(|&at| text[at].is_ascii_digit())
                .collect();
            if let Some(&at) = digits.get(draw.below(digits.len().max(1) as u64) as usize) {
                text[at] = b'0' + draw.below(10) as u8;
            }
        }
        6 | 7 => {
            let at = draw.below(text.len() as u64) as usize;
            text.insert(at, b"7 .\"[]=\n\xffx#"[draw.below(11) as usize]);
        }
        8 => {
            text.remove(draw.below(text.len() as u64) as usize);
        }
        9 => text = [&lines[..line], &lines[line + 1..]].concat().concat(),
        10 => text = [&lines[..=line], &lines[line..]].concat().concat(),
        11 => {
            // What one line calls something another does too.
            let other = &lines[draw.below(lines.len() as u64) as usize];
            let mut changed = lines.clone();
            changed[line].clone_from(other);
            text = changed.concat();
        }
        12 => {
            files.remove(&name);
            return;
        }
        _ => {
            let folder = name.rsplit_once('/').map_or("", |(folder, _)| folder);
            files.insert(format!("{folder}/more-{}.toml", draw.below(3)), text);
            return;
        }
    }
    files.insert(name, text);
}

fn inputs(files: &Files) -> Vec<Input> {
    let input = |(path, bytes): (&String, &Vec<u8>)| scratch::input(path.clone(), bytes.clone());
    files.iter().map(input).collect()
}

/// All that a program reads of an outcome, and the rest of its findings.
fn told(outcome: &Outcome) -> String {
    format!(
        "{}\n{:#?}",
        nameplate::report::json::render(outcome),
        outcome.findings
    )
}

#[test]
fn an_audit_that_keeps_things_finds_what_a_fresh_one_finds() {
    (0..CATALOGS).into_par_iter().for_each(|number| {
        let mut draw = Draw(number);
        let mut files = bases(number, &mut draw);
        let options = Options {
            as_of: Some("2026-07-01".into()),
            ..Options::default()
        };
        let mut memo = Memo::new();
        for round in 0..EDITS {
            let fresh = told(&engine::audit(inputs(&files), &options));
            let kept = told(memo.audit(inputs(&files), &options));
            if let Some((fresh, kept)) = fresh.lines().zip(kept.lines()).find(|(a, b)| a != b) {
                panic!("catalog {number}, edit {round}: kept\n{kept}\nfresh\n{fresh}");
            }
            assert_eq!(fresh, kept, "catalog {number}, edit {round}");
            if files.is_empty() {
                break;
            }
            edit(&mut files, &mut draw);
        }
    });
}

#[test]
fn levels_of_another_run_are_heard() {
    let text = "[catalog]\nformat = 1\ntitle = \"Otter Mill Water\"\n\n[compressor.a]\nsku = \"OM 1\"\nsku2 = 3\n";
    let input = || vec![scratch::alone("a.toml", text)];
    let mut memo = Memo::new();
    let usual = Options::default();
    let silent = Options {
        heard: engine::Heard {
            silent: vec!["schema".into()],
            ..Default::default()
        },
        ..Options::default()
    };
    for options in [&usual, &silent, &usual] {
        let fresh = told(&engine::audit(input(), options));
        assert_eq!(fresh, told(memo.audit(input(), options)));
    }
    assert!(
        memo.outcome()
            .is_some_and(|outcome| !outcome.findings.is_empty())
    );
}
