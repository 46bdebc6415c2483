//! `nameplate feed`: taken in again it gives the catalog's values; nothing is calculated; what is beyond the rating isn't
//! in it.

use std::collections::BTreeMap;
use std::path::Path;

use calamine::{Data, Reader, Xlsx, open_workbook};
use nameplate::catalog::{Catalog, Figure, Given};
use nameplate::engine;
use serde_json::Value as Json;

use crate::scratch::{Scratch, input, run};

const KINDS: [&str; 9] = [
    "compressor",
    "diffuser",
    "airline",
    "manifold",
    "fitting",
    "check-valve",
    "cabinet",
    "spare",
    "package",
];

fn catalog(folder: &Path) -> Catalog {
    let files = walkdir::WalkDir::new(folder)
        .sort_by_file_name()
        .into_iter()
        .map(|entry| entry.unwrap().into_path());
    let files = files.filter(|path| path.extension().is_some_and(|ending| ending == "toml"));
    let files = files.filter(|path| !path.to_string_lossy().contains("highland"));
    let inputs = files.map(|path| {
        let name = path
            .strip_prefix(folder)
            .unwrap()
            .to_string_lossy()
            .into_owned();
        input(format!("list/{name}"), std::fs::read(&path).unwrap())
    });
    engine::read(inputs.collect()).catalogs.swap_remove(0)
}

/// A figure with its condition, as plainly as can be.
fn told(figure: &Figure) -> String {
    let under = &figure.conditions;
    let under: Vec<String> = [
        &under.pressure,
        &under.depth,
        &under.distance,
        &under.tariff,
    ]
    .into_iter()
    .flatten()
    .map(|one| one.text().to_string())
    .collect();
    let hours = figure.conditions.hours_per_day;
    let also: Vec<&str> = figure.also.iter().map(|(also, _)| also.text()).collect();
    format!(
        "{} {also:?} at {under:?} {hours:?} {}",
        figure.text(),
        figure.per_diffuser
    )
}

fn rows(given: &Given<Vec<Figure>>) -> Vec<String> {
    given.known().into_iter().flatten().map(told).collect()
}

/// What is promised of each package, what it is made of, and what its options cost.
fn stated(catalog: &Catalog) -> BTreeMap<String, Vec<String>> {
    let packages = catalog.packages.iter().map(|package| {
        let claims = &package.claims;
        let mut all: Vec<String> = [
            &claims.depth,
            &claims.area,
            &claims.flow,
            &claims.power,
            &claims.running_cost,
            &claims.sound,
            &claims.turnover,
        ]
        .into_iter()
        .flat_map(rows)
        .collect();
        all.extend(package.entry.title.clone());
        all.extend(
            package
                .entry
                .identity
                .sku
                .known()
                .map(|sku| sku.text.clone()),
        );
        let compressors = package.compressor.known().into_iter().flatten();
        all.extend(compressors.map(|one| format!("{} x {}", one.count, one.part.id)));
        // Diffusers at depths of their own have no cell.
        if package.entry.id != "weir-two-depths" {
            all.push(format!("{} diffusers", package.diffuser_count()));
        }
        for option in &package.options {
            let price = option.identity.price.known().map(told);
            all.push(format!("option {} {price:?}", option.id));
        }
        (package.entry.id.clone(), all)
    });
    packages.collect()
}

/// The whole catalog as tables, taken into an empty one: the same promises, and machines with the same curves.
#[test]
fn an_intake_of_a_feed_gives_the_catalog_again() {
    let scratch = Scratch::new();
    let folder = scratch.path("");
    std::fs::create_dir(folder.join("again")).unwrap();
    std::fs::write(folder.join("again/catalog.toml"), "[catalog]\nformat = 1\n").unwrap();
    for (kind, ending) in KINDS.iter().zip(["csv", "xlsx"].iter().cycle()) {
        let (table, mapping) = (format!("{kind}.{ending}"), format!("{kind}.map.toml"));
        let feed = [
            "feed",
            "--catalog",
            "list",
            "--kind",
            kind,
            "--output",
            &table,
            "--mapping",
            &mapping,
        ];
        let output = run(&folder, &feed);
        assert_eq!(
            output.status.code(),
            Some(0),
            "{kind}: {}",
            String::from_utf8_lossy(&output.stderr)
        );
        let take = [
            "intake",
            &table,
            "--mapping",
            &mapping,
            "--catalog",
            "again",
            "--format",
            "json",
        ];
        let output = run(&folder, &take);
        let report: Json = serde_json::from_slice(&output.stdout).unwrap();
        assert_eq!(report["findings"], Json::Array(Vec::new()), "{kind}");
    }
    let (before, after) = (
        catalog(&scratch.path("list")),
        catalog(&scratch.path("again")),
    );
    let (stated, again) = (stated(&before), stated(&after));
    assert_eq!(stated.len(), 12);
    for (id, all) in &stated {
        assert_eq!(again.get(id), Some(all), "{id}");
    }
    assert_eq!(before.compressors.len(), after.compressors.len());
    let mut curves = 0;
    for part in before.compressors.iter() {
        let other = after.compressors.get(&part.entry.id).unwrap();
        let curve = |part: &nameplate::catalog::Compressor| {
            let points = part.supply.curve.known().into_iter().flatten();
            points
                .map(|point| {
                    (
                        point.pressure.text().to_string(),
                        point.flow.text().to_string(),
                    )
                })
                .collect::<Vec<_>>()
        };
        // Watts along a curve have no cell.
        let points = part.supply.curve.known().into_iter().flatten();
        if points.clone().all(|point| point.power.is_none()) {
            curves += points.count();
            assert_eq!(curve(part), curve(other), "{}", part.entry.id);
        }
        assert_eq!(
            part.supply.power.known().map(told),
            other.supply.power.known().map(told),
            "{}",
            part.entry.id
        );
    }
    assert!(curves > 20, "{curves}");
    // Taken once more nothing changes.
    let take = [
        "intake",
        "package.csv",
        "--mapping",
        "package.map.toml",
        "--catalog",
        "again",
        "--dry-run",
    ];
    let output = run(&folder, &take);
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    assert!(text.contains("0 values to be"), "{text}");
}

/// Rows of CSV, by their headings.
fn records(text: &str) -> Vec<BTreeMap<String, String>> {
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let rows = reader.deserialize();
    rows.map(Result::unwrap).collect()
}

#[test]
fn a_promise_beyond_the_rating_is_left_out_unless_all_is_wanted() {
    let scratch = Scratch::new();
    let file = scratch.path("list/packages/metric.toml");
    let text = std::fs::read_to_string(&file).unwrap();
    std::fs::write(
        &file,
        text.replacen("area = \"160 m2\"", "area = \"16000 m2\"", 1),
    )
    .unwrap();
    let feed = |more: &[&str]| {
        run(
            &scratch.path(""),
            &[&["feed", "--catalog", "list"], more].concat(),
        )
    };
    let output = feed(&[]);
    let told = String::from_utf8_lossy(&output.stderr).into_owned();
    assert_eq!(output.status.code(), Some(1), "{told}");
    assert!(told.contains("The pond area, 16000 m2, isn't printed: it can't be true; up to 169 m2 is within the rating."), "{told}");
    let rows = records(&String::from_utf8(output.stdout).unwrap());
    let single: Vec<_> = rows
        .iter()
        .filter(|row| row["id"] == "mill-single")
        .collect();
    assert_eq!(single.len(), 2);
    assert!(
        single
            .iter()
            .all(|row| row["claim.area"].is_empty() && row["claim.depth"] == "1.2 m")
    );
    let output = feed(&["--all"]);
    assert_eq!(output.status.code(), Some(0));
    assert!(
        records(&String::from_utf8(output.stdout).unwrap())
            .iter()
            .any(|row| row["claim.area"] == "16000 m2")
    );
}

#[test]
fn nothing_in_a_feed_is_calculated() {
    let scratch = Scratch::new();
    let file = scratch.path("list/packages/metric.toml");
    let text = std::fs::read_to_string(&file).unwrap();
    let text = text.replacen(
        "title = \"One disc for a garden pond\"",
        "title = '=HYPERLINK(\"http://b.example\",\"x\")'",
        1,
    );
    std::fs::write(&file, text.replacen("\"OMW-1001\"", "\"@SUM(1,1)\"", 1)).unwrap();
    let output = run(&scratch.path(""), &["feed", "--catalog", "list"]);
    let rows = records(&String::from_utf8(output.stdout).unwrap());
    assert_eq!(rows[0]["title"], "'=HYPERLINK(\"http://b.example\",\"x\")");
    assert_eq!(rows[0]["sku"], "'@SUM(1,1)");
    let feed = ["feed", "--catalog", "list", "--output", "feed.xlsx"];
    assert_eq!(run(&scratch.path(""), &feed).status.code(), Some(0));
    let again = ["feed", "--catalog", "list", "--output", "again.xlsx"];
    assert_eq!(run(&scratch.path(""), &again).status.code(), Some(0));
    let bytes = |name: &str| std::fs::read(scratch.path(name)).unwrap();
    assert!(
        bytes("feed.xlsx") == bytes("again.xlsx"),
        "two feeds of one catalog differ"
    );
    let mut book: Xlsx<_> = open_workbook(scratch.path("feed.xlsx")).unwrap();
    let sheet = book.worksheet_range("package").unwrap();
    let formulas = book.worksheet_formula("package").unwrap();
    assert!(formulas.cells().all(|(_, _, formula)| formula.is_empty()));
    assert!(
        sheet
            .used_cells()
            .all(|(_, _, cell)| matches!(cell, Data::String(_)))
    );
    assert_eq!(sheet.height(), rows.len() + 1);
    let title = Data::String("=HYPERLINK(\"http://b.example\",\"x\")".into());
    assert!(sheet.used_cells().any(|(_, _, cell)| *cell == title));
}

/// Units by the published codes: FOT is the foot, ACR the acre, 2L the cubic foot a minute (UN/ECE Recommendation No. 20).
#[test]
fn data_for_machines_has_codes_of_units_and_passes_the_audit() {
    let scratch = Scratch::new();
    let feed = ["feed", "--catalog", "list", "--output", "feed.jsonld"];
    assert_eq!(run(&scratch.path(""), &feed).status.code(), Some(0));
    let text = std::fs::read_to_string(scratch.path("feed.jsonld")).unwrap();
    let document: Json = serde_json::from_str(&text).unwrap();
    assert_eq!(document["@context"], "https://schema.org");
    let products = document["@graph"].as_array().unwrap();
    let own = products
        .iter()
        .find(|one| one["@id"] == "#package-heron-one-with-airline")
        .unwrap();
    assert_eq!(own["sku"], "OMW-2001");
    assert_eq!(own["offers"]["price"], 365);
    assert_eq!(own["offers"]["priceCurrency"], "USD");
    let property = |id: &str| {
        let mut all = own["additionalProperty"].as_array().unwrap().iter();
        all.find(|one| one["propertyID"] == id).unwrap()
    };
    assert_eq!(
        (
            &property("claim.depth")["value"],
            &property("claim.depth")["unitCode"]
        ),
        (&5.into(), &"FOT".into())
    );
    assert_eq!(property("claim.area")["unitCode"], "ACR");
    let flow = property("claim.flow");
    assert_eq!(
        (&flow["value"], &flow["unitCode"]),
        (&1.2.into(), &"2L".into())
    );
    assert_eq!(flow["valueReference"][0]["unitCode"], "FOT");
    // On a page of the package an audit finds nothing in it.
    let page = format!(
        "<html lang=\"en\"><head><meta name=\"package\" content=\"heron-one\"><script type=\"application/ld+json\">{}</script></head><body><p>Plug it into an outlet with a ground-fault circuit interrupter (GFCI).</p></body></html>",
        serde_json::json!({ "@context": "https://schema.org", "@graph": [own] })
    );
    std::fs::remove_dir_all(scratch.path("list/sheets")).unwrap();
    std::fs::write(scratch.path("list/heron-one.html"), page).unwrap();
    let output = run(
        &scratch.path(""),
        &["audit", "list", "--format", "json", "--as-of", "2026-07-01"],
    );
    let report: Json = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(report["findings"], Json::Array(Vec::new()));
}
