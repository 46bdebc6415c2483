//! Speed, as ratios in one run: what an audit takes beside what reading the same bytes takes.
//!
//! `cargo bench` prints its tables; `cargo bench -- 50` makes the catalog 50 MB, `cargo bench -- sheets`
//! reads spec sheets alone, `cargo bench -- pieces` asks the physics alone, `cargo bench -- again` edits one figure. `script/ratio.py` sets the whole
//! program beside a script of a weekend. Nothing here is asserted: a busy machine must not fail a test.

#![allow(clippy::print_stdout, reason = "a bench prints")]

mod again;
mod generator;
mod pieces;
mod sheets;

use std::time::{Duration, Instant};

use nameplate::document;
use nameplate::engine::{self, Input};
use nameplate::spec_sheet::{self, Kind};
use nameplate::text::{FileId, Source};

fn main() {
    let mut numbers = std::env::args().filter_map(|argument| argument.parse().ok());
    let number: Option<usize> = numbers.next();
    let megabytes = number.unwrap_or(10);
    let asked = |name: &str| std::env::args().any(|argument| argument == name);
    if asked("again") {
        return again::all(number);
    }
    if !asked("sheets") {
        pieces::all();
    }
    if asked("pieces") {
        return;
    }
    if !asked("sheets") {
        catalog(megabytes);
    }
    spec_sheets(megabytes.min(10));
}

fn catalog(megabytes: usize) {
    let text = generator::catalog(megabytes * 1_000_000);
    println!(
        "one catalog of {:.1} MB, {} threads",
        text.len() as f64 / 1e6,
        rayon::current_num_threads()
    );
    let source = Source::new("catalog.toml", text.clone().into_bytes());
    let parse = best(5, || {
        let document = document::read(FileId(0), &source);
        assert!(document.is_sound());
    });
    let after_parse = peak();
    let mut counts = None;
    let audit = best(2, || {
        let input = Input {
            path: "catalog.toml".into(),
            bytes: text.clone().into_bytes(),
            alone: true,
            borrowed: false,
        };
        counts = Some(engine::audit(vec![input], &engine::Options::default()).summary);
    });
    if let Some(counts) = counts {
        println!("{counts:?}");
    }
    let row = |name: &str, time: Duration| {
        let ratio = time.as_secs_f64() / parse.as_secs_f64();
        println!(
            "{name:<28} {:>9.1} ms {ratio:>8.2} x",
            time.as_secs_f64() * 1e3
        );
    };
    row("reading to a tree", parse);
    row("the whole audit", audit);
    println!(
        "peak memory: {after_parse} MB after reading, {} MB after the audit",
        peak()
    );
}

/// Spec sheets on one thread, beside parting the same bytes into words and looking each up.
fn spec_sheets(megabytes: usize) {
    use sheets::{Format, Matter};
    let formats = [
        ("Markdown", Kind::Markdown, Format::Markdown),
        ("HTML", Kind::Html, Format::Html),
        ("text", Kind::Text, Format::Text),
    ];
    let bytes = megabytes * 1_000_000;
    for (name, matter) in [
        ("made up, a figure in every forty bytes", Matter::Figures),
        ("made up, with the talk of a shop around them", Matter::Talk),
    ] {
        println!("spec sheets of {megabytes} MB, 1 thread: {name}");
        for (name, kind, format) in formats {
            row(name, kind, &[sheets::pages(format, matter, bytes)], 1);
        }
    }
    println!("the tests' sheets, each by itself");
    for (name, kind, format) in formats {
        let sheets = sheets::as_written(format);
        let size: usize = sheets.iter().map(String::len).sum();
        row(name, kind, &sheets, bytes / size.max(1) + 1);
    }
    println!("peak memory: {} MB", peak());
}

/// Reads sheets `times` over, and prints how long that takes.
fn row(name: &str, kind: Kind, texts: &[String], times: usize) {
    let size = (texts.iter().map(String::len).sum::<usize>() * times) as f64 / 1e6;
    let known: std::collections::HashMap<&str, usize> = ["pond", "ft", "depth", "CFM"]
        .into_iter()
        .zip(0..)
        .collect();
    let words = best(5, || {
        for text in (0..times).flat_map(|_| texts) {
            let words = text.split_whitespace();
            let found = words.filter(|word| known.contains_key(word)).count();
            assert!(found <= text.len());
        }
    });
    let sources: Vec<Source> = texts
        .iter()
        .map(|text| Source::new(name, text.clone().into_bytes()))
        .collect();
    let mut claims = 0;
    let read = best(5, || {
        let all = (0..times).flat_map(|_| &sources);
        claims = all
            .map(|source| spec_sheet::read(kind, source).claims.len())
            .sum();
    });
    println!(
        "{name:<10} {claims:>8} claims {:>9.1} ms {:>7.1} MB/s, {:>6.1} x its words looked up",
        read.as_secs_f64() * 1e3,
        size / read.as_secs_f64(),
        read.as_secs_f64() / words.as_secs_f64()
    );
}

/// The best of `times` runs: what the work takes when nothing else interferes.
fn best(times: usize, mut work: impl FnMut()) -> Duration {
    (0..times)
        .map(|_| {
            let start = Instant::now();
            work();
            start.elapsed()
        })
        .min()
        .unwrap_or_default()
}

/// Peak memory of this process in MB, where the system tells; 0 elsewhere.
fn peak() -> u64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    line.and_then(|line| line.split_whitespace().next()?.parse::<u64>().ok())
        .unwrap_or(0)
        / 1024
}
