//! Everything that reads what others wrote, fed with damaged copies of what is usual.
//!
//! Each target has a folder of seeds in `tests/fuzz`, to which the repository's own catalogs and sheets are added; an
//! input that once broke something is kept there. A draw is a seed, a piece of another one put into it, and some
//! damage; it depends on nothing but its number. A few hundred of each are run with all tests; `tests/run` goes on for
//! two minutes, and `NAMEPLATE_FUZZ=TARGET NAMEPLATE_FUZZ_SECONDS=3600 cargo test --test suite goes_on -- --ignored`
//! for as long as anybody likes.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use nameplate::amend::{self, Scope};
use nameplate::engine::{self, Options};
use nameplate::report;
use nameplate::spec_sheet::{Extract, Kind, read};
use nameplate::text::Source;
use nameplate::units;

use crate::scratch;
use crate::sheet_robustness::{Numbers, mutated};

/// One thing that reads.
struct Target {
    /// Its name, and its folder in `tests/fuzz`.
    name: &'static str,
    /// Where else seeds are, and how their names end.
    also: &'static [(&'static str, &'static str)],
    run: fn(&[u8]),
}

static TARGETS: [Target; 11] = [
    Target {
        name: "catalog",
        also: &[("catalog-examples", "toml")],
        run: catalog,
    },
    Target {
        name: "pond",
        also: &[("catalog-examples/ponds", "toml")],
        run: crate::ponds::answered,
    },
    Target {
        name: "quantity",
        also: &[],
        run: quantity,
    },
    Target {
        name: "markdown",
        also: &[("tests/sheets", "md"), ("README.md", "md")],
        run: |bytes| page("page.md", bytes),
    },
    Target {
        name: "html",
        also: &[("tests/sheets", "html")],
        run: |bytes| page("page.html", bytes),
    },
    Target {
        name: "text",
        also: &[("tests/sheets", "txt")],
        run: |bytes| page("page.txt", bytes),
    },
    Target {
        name: "csv",
        also: &[("tests/sheets", "csv")],
        run: |bytes| page("page.csv", bytes),
    },
    Target {
        name: "waivers",
        also: &[],
        run: waivers,
    },
    Target {
        name: "baseline",
        also: &[],
        run: |bytes| {
            drop(report::sarif::read_baseline(&String::from_utf8_lossy(
                bytes,
            )))
        },
    },
    Target {
        name: "record",
        also: &[],
        run: record,
    },
    Target {
        name: "pages",
        also: &[],
        run: |bytes| drop(Extract::parse(bytes)),
    },
];

/// Audits a text, shows it in all formats that programs read, and holds the numbers in them to be numbers.
fn audit(path: &str, bytes: &[u8]) {
    let input = scratch::alone(path, bytes.to_vec());
    let options = Options {
        as_of: Some("2026-07-01".into()),
        ask: true,
        charts: true,
        ..Options::default()
    };
    let outcome = engine::audit(vec![input], &options);
    // What a page breaks is contained and told; here that counts as broken.
    let broken =
        { outcome.findings.iter() }.find(|one| one.message.contains("program itself failed"));
    assert!(broken.is_none(), "{broken:?}");
    let json = report::json::render(&outcome);
    serde_json::from_str::<serde_json::Value>(&json).unwrap();
    assert!(!json.contains("inf ") && !json.contains("NaN"), "{json}");
    report::sarif::render(&outcome);
    report::junit::render(&outcome, None);
    report::markdown::render(&outcome, report::markdown::LIMIT);
    report::html::render(&outcome);
}

fn catalog(bytes: &[u8]) {
    audit("catalog.toml", bytes);
    let input = scratch::alone("catalog.toml", bytes.to_vec());
    amend::amend(vec![input], &Options::default(), Scope::Offered);
}

fn quantity(bytes: &[u8]) {
    let text = String::from_utf8_lossy(bytes);
    let reading = units::read(&text, &[]);
    if let Some(quantity) = reading.quantity {
        assert!(
            quantity.si_low().is_finite() && quantity.si_high().is_finite(),
            "{text:?}"
        );
        let again = units::read(&quantity.canonical(), &[quantity.dimension()]);
        assert!(
            again.quantity.is_some(),
            "{text:?} is {}",
            quantity.canonical()
        );
    }
}

fn page(path: &str, bytes: &[u8]) {
    let kind = Kind::of(path).unwrap();
    let source = Source::new(path, bytes.to_vec());
    let length = source.text().len();
    for claim in read(kind, &source).claims {
        let place = claim.place();
        assert!(place.start <= place.end, "{place:?} of {length}");
    }
    audit(path, bytes);
}

/// Waivers beside something that they may be about.
fn waivers(bytes: &[u8]) {
    const HEAD: &str = "[catalog]\nformat = 1\n[diffuser.d]\nflow = \"8 to 45 L/min\"\nbore = 1\n";
    audit("catalog.toml", &[HEAD.as_bytes(), bytes].concat());
}

fn record(bytes: &[u8]) {
    if let Ok(lines) = report::record::read(&String::from_utf8_lossy(bytes)) {
        let again = report::record::read(&report::record::render(&lines));
        assert_eq!(again, Ok(lines));
    }
}

/// The seeds of a target.
fn seeds(target: &Target) -> Vec<Vec<u8>> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let own = root.join("tests/fuzz").join(target.name);
    let also = target
        .also
        .iter()
        .map(|(path, ending)| (root.join(path), *ending));
    let mut paths: Vec<PathBuf> = Vec::new();
    for (path, ending) in also.chain([(own, "")]) {
        let entries = walkdir::WalkDir::new(path).sort_by_file_name().into_iter();
        let files = entries
            .map(|one| one.unwrap().into_path())
            .filter(|path| path.is_file());
        paths.extend(
            files.filter(|path| {
                ending.is_empty() || path.extension().is_some_and(|own| own == ending)
            }),
        );
    }
    paths
        .iter()
        .map(|path| std::fs::read(path).unwrap())
        .collect()
}

/// The input of that number. The first ones are the seeds as they are.
fn draw(seeds: &[Vec<u8>], number: u64) -> Vec<u8> {
    if let Some(seed) = usize::try_from(number)
        .ok()
        .and_then(|number| seeds.get(number))
    {
        return seed.clone();
    }
    let mut numbers = Numbers(number);
    let mut bytes = seeds[numbers.below(seeds.len())].clone();
    let other = &seeds[numbers.below(seeds.len())];
    let (at, from) = (
        numbers.below(bytes.len() + 1),
        numbers.below(other.len() + 1),
    );
    let piece = &other[from..(from + numbers.below(200)).min(other.len())];
    // A piece so often shows what grows with it.
    let piece = piece.repeat(1 + numbers.below(6));
    bytes.splice(at..at, piece);
    mutated(&bytes, &mut numbers)
}

/// Runs one draw; what breaks is kept under `target/` and named.
fn hold(target: &Target, seeds: &[Vec<u8>], number: u64) {
    let bytes = draw(seeds, number);
    let Err(why) = catch_unwind(AssertUnwindSafe(|| (target.run)(&bytes))) else {
        return;
    };
    let why = why.downcast_ref::<String>().cloned();
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("target/fuzz");
    std::fs::create_dir_all(&folder).unwrap();
    let kept = folder.join(format!("{}-{number}", target.name));
    std::fs::write(&kept, bytes).unwrap();
    panic!(
        "{}, draw {number}, kept in {}: {why:?}",
        target.name,
        kept.display()
    );
}

#[test]
fn damaged_copies_break_nothing() {
    for target in &TARGETS {
        let seeds = seeds(target);
        assert!(
            seeds.len() >= 3,
            "{} has {} seeds",
            target.name,
            seeds.len()
        );
        for number in 0..(seeds.len() as u64).max(20) + 20 {
            hold(target, &seeds, number);
        }
    }
}

#[test]
#[ignore = "goes on for as long as NAMEPLATE_FUZZ_SECONDS says: tests/run starts it"]
#[allow(clippy::print_stdout, reason = "how much was tried is what came of it")]
fn goes_on() {
    let seconds: u64 = std::env::var("NAMEPLATE_FUZZ_SECONDS")
        .unwrap()
        .parse()
        .unwrap();
    let wanted = std::env::var("NAMEPLATE_FUZZ").unwrap_or_default();
    let chosen: Vec<&Target> = TARGETS
        .iter()
        .filter(|one| one.name.contains(&wanted))
        .collect();
    for target in &chosen {
        let seeds = seeds(target);
        let end =
            Instant::now() + Duration::from_secs(seconds) / u32::try_from(chosen.len()).unwrap();
        // Other draws in each version, the same in each run of it.
        let first = seeds.iter().map(Vec::len).sum::<usize>() as u64;
        let mut tried = 0;
        while Instant::now() < end {
            hold(target, &seeds, first * 1_000_003 + tried);
            tried += 1;
        }
        println!("{}: {tried} draws from {} seeds", target.name, seeds.len());
        assert!(tried > 0);
    }
}
