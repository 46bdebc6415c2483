//! Tables taken into a catalog: a workbook as a person keeps one, hostile files, a second intake.

use std::collections::{BTreeMap, BTreeSet};
use std::io::Write;
use std::path::Path;
use std::process::Output;

use nameplate::intake::grid::Value;
use nameplate::intake::{self, Remark};
use rust_xlsxwriter::{ExcelDateTime, Format, Formula, Workbook, Worksheet};
use serde_json::Value as Json;

use crate::made;
use crate::scratch::run;

/// A mapping of a table with names and sizes.
const AIRLINES: &str = "[intake]\nformat = 1\n[[table]]\nkind = \"airline\"\ncolumn = [{ heading = \"Name\", key = \"title\" }, { heading = \"Size\", key = \"size\", unit = \"in\" }]\n";

/// Takes `tables` by `list.toml` into `ponds`, with more options.
fn take(folder: &Path, tables: &[&str], more: &[&str]) -> Output {
    let fixed = ["--mapping", "list.toml", "--catalog", "ponds"];
    run(folder, &[&["intake"], tables, &fixed, more].concat())
}

fn json(output: &Output) -> Json {
    assert_eq!(String::from_utf8_lossy(&output.stderr), "");
    let report: Json = serde_json::from_slice(&output.stdout).unwrap();
    let schema: Json =
        serde_json::from_str(&made::committed("schemas/intake.schema.json")).unwrap();
    let faults: Vec<String> = jsonschema::validator_for(&schema)
        .unwrap()
        .iter_errors(&report)
        .map(|fault| fault.to_string())
        .collect();
    assert_eq!(faults, Vec::<String>::new());
    report
}

/// What was found, as `sheet row column what`.
fn found(report: &Json) -> BTreeSet<String> {
    let findings = report["findings"].as_array().unwrap().iter();
    let line = |one: &Json| {
        let text = |key: &str| one[key].as_str().unwrap_or("-").to_string();
        format!(
            "{} {} {} {}",
            text("sheet"),
            one["row"],
            text("column"),
            text("what")
        )
    };
    findings.map(line).collect()
}

/// A workbook being filled, with what an intake must say of each row and cell of it.
struct Book {
    workbook: Workbook,
    fates: BTreeMap<(String, u32), &'static str>,
    findings: BTreeSet<String>,
    seed: u64,
}

impl Book {
    fn new() -> Book {
        Book {
            workbook: Workbook::new(),
            fates: BTreeMap::new(),
            findings: BTreeSet::new(),
            seed: 42,
        }
    }

    /// Whether something happens that happens once in so many times; the same in every run.
    fn chance(&mut self, of: u64) -> bool {
        self.seed = self
            .seed
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.seed >> 33).is_multiple_of(of)
    }

    fn row(&mut self, sheet: &str, row: u32, fate: &'static str) {
        self.fates.insert((sheet.to_string(), row + 1), fate);
    }

    /// Something that an intake must find, in a row that it takes all the same.
    fn plant(&mut self, sheet: &str, row: u32, column: &str, what: &str) {
        self.findings
            .insert(format!("{sheet} {} {column} {what}", row + 1));
        self.row(sheet, row, "taken-with-finding");
    }
}

const HEADS: [(&str, &[&str]); 4] = [
    (
        "Compressors",
        &[
            "Model",
            "Stock no",
            "Watts",
            "Flow",
            "Volts",
            "Hz",
            "Max pressure (kPa)",
            "Sound at 1 m",
            "Remarks",
            "Colour",
        ],
    ),
    ("Hoses", &["Name", "Stock no", "Size", "Roll (m)"]),
    (
        "Packages",
        &[
            "Kit",
            "Stock no",
            "Compressor",
            "Diffusers",
            "Depth",
            "Price",
            "Currency",
        ],
    ),
    ("Prices", &["Stock no", "New price"]),
];

fn put(sheet: &mut Worksheet, row: u32, column: u16, text: impl Into<String>) {
    sheet.write_string(row, column, text).unwrap();
}

/// One cell over several.
fn put_over(sheet: &mut Worksheet, from: (u32, u16), to: (u32, u16), text: &str) {
    let format = Format::new();
    sheet
        .merge_range(from.0, from.1, to.0, to.1, text, &format)
        .unwrap();
}

/// A title over merged cells, an empty row, headings.
fn head(book: &mut Book, sheet: &mut Worksheet, name: &str) {
    let heads = HEADS.iter().find(|(own, _)| *own == name).unwrap().1;
    let last = u16::try_from(heads.len() - 1).unwrap();
    sheet.set_name(name).unwrap();
    put_over(sheet, (0, 0), (0, last), "Otter Mill Water, spring list");
    book.row(name, 0, "above-headings");
    headings(book, sheet, name, 2);
}

fn headings(book: &mut Book, sheet: &mut Worksheet, name: &str, row: u32) {
    let heads = HEADS.iter().find(|(own, _)| *own == name).unwrap().1;
    for (column, heading) in heads.iter().enumerate() {
        put(sheet, row, u16::try_from(column).unwrap(), *heading);
    }
    book.row(name, row, "headings");
}

fn march(sheet: &mut Worksheet, row: u32, column: u16) {
    let format = Format::new().set_num_format("d-mmm");
    let day = ExcelDateTime::from_ymd(2026, 3, 8).unwrap();
    sheet
        .write_datetime_with_format(row, column, &day, &format)
        .unwrap();
}

fn compressors(book: &mut Book, count: u32) {
    let name = "Compressors";
    let mut sheet = Worksheet::new();
    head(book, &mut sheet, name);
    let mut row = 3;
    for number in 0..count {
        if number % 400 == 399 {
            headings(book, &mut sheet, name, row);
            row += 1;
        }
        if number % 100 == 0 {
            let title = format!("Series {}", number / 100);
            put_over(&mut sheet, (row, 0), (row, 9), &title);
            book.row(name, row, "one-cell");
            row += 1;
        }
        if number % 150 == 149 {
            // The same machine, typed again.
            put(&mut sheet, row, 0, format!("Linear {}", number - 1));
            put(&mut sheet, row, 1, format!("OM-{}", number - 1));
            sheet.write_number(row, 2, 38).unwrap();
            book.row(name, row, "same-again");
            book.findings
                .insert(format!("{name} {} - same-again", row + 1));
            row += 1;
        }
        book.row(name, row, "taken");
        put(&mut sheet, row, 0, format!("Linear {number}"));
        put(&mut sheet, row, 1, format!("OM-{number}"));
        match number % 4 {
            0 => sheet.write_string(row, 2, "38").unwrap(),
            1 => sheet.write_string(row, 2, "3,8E+01").unwrap(),
            2 => sheet.write_string(row, 2, "38 W").unwrap(),
            _ => sheet.write_number(row, 2, 38).unwrap(),
        };
        if book.chance(30) {
            sheet.write_number(row, 3, 68).unwrap();
            book.plant(name, row, "D", "no-unit");
        } else {
            let flow = ["68 L/min", "2,4 cfm", "4.1 m³/h"][number as usize % 3];
            put(&mut sheet, row, 3, flow.replace('.', ","));
        }
        put(&mut sheet, row, 4, "230 V");
        sheet.write_number(row, 5, 50).unwrap();
        if book.chance(40) {
            sheet
                .write_formula(row, 6, Formula::new("=1/0").set_result("#DIV/0!"))
                .unwrap();
            book.plant(name, row, "G", "failed-calculation");
        } else {
            sheet
                .write_formula(row, 6, Formula::new("=20+4.5").set_result("24.5"))
                .unwrap();
        }
        if book.chance(25) {
            put(&mut sheet, row, 7, "on request");
            book.plant(name, row, "H", "not-stated");
        } else {
            put(&mut sheet, row, 7, "38 dB(A)");
        }
        put(&mut sheet, row, 9, "green");
        if book.chance(60) {
            sheet.set_row_hidden(row).unwrap();
            book.plant(name, row, "-", "hidden-row");
        }
        row += 1;
    }
    book.workbook.push_worksheet(sheet);
}

fn hoses(book: &mut Book, count: u32) {
    let name = "Hoses";
    let mut sheet = Worksheet::new();
    head(book, &mut sheet, name);
    for number in 0..count {
        let row = 3 + number;
        book.row(name, row, "taken");
        put(&mut sheet, row, 0, format!("Hose {number}"));
        put(&mut sheet, row, 1, format!("H-{number}"));
        match number % 5 {
            0 => {
                march(&mut sheet, row, 2);
                book.plant(name, row, "C", "fraction-as-date");
            }
            1 => {
                put(&mut sheet, row, 2, "08-Mar");
                book.plant(name, row, "C", "fraction-as-date");
            }
            2 => {
                // The day's number, as it stands there once the format is gone.
                sheet.write_number(row, 2, 46_089).unwrap();
                book.plant(name, row, "C", "fraction-as-date");
            }
            3 => {
                put(&mut sheet, row, 2, "3/8");
            }
            _ => {
                sheet.write_number(row, 2, 0.5).unwrap();
            }
        }
        sheet.write_number(row, 3, 50).unwrap();
    }
    book.workbook.push_worksheet(sheet);
}

fn packages(book: &mut Book, count: u32, compressors: u32) {
    let name = "Packages";
    let mut sheet = Worksheet::new();
    head(book, &mut sheet, name);
    for number in 0..count {
        let row = 3 + number;
        book.row(name, row, "taken");
        if number % 200 == 199 {
            put(&mut sheet, row, 2, "Linear 1");
            put(&mut sheet, row, 4, "1,5 m");
            book.row(name, row, "no-name");
            book.findings
                .insert(format!("{name} {} - no-name", row + 1));
            continue;
        }
        put(&mut sheet, row, 0, format!("Mill kit {number}"));
        put(&mut sheet, row, 1, format!("K-{number}"));
        if book.chance(50) {
            put(&mut sheet, row, 2, "Rotor 9");
            book.plant(name, row, "C", "unknown-part");
        } else {
            let of = number % compressors;
            let called = if number % 2 == 0 {
                format!("Linear {of}")
            } else {
                format!("om-{of}")
            };
            put(&mut sheet, row, 2, called);
        }
        put(
            &mut sheet,
            row,
            3,
            if number % 2 == 0 {
                "2 x Disc 220"
            } else {
                "Disc 220"
            },
        );
        if book.chance(45) {
            put(&mut sheet, row, 4, "ca. 1,5 m (calm)");
            book.plant(name, row, "E", "doubtful");
        } else {
            put(
                &mut sheet,
                row,
                4,
                ["1,5 m", "5 ft", "1,52 m (5,0 ft)"][number as usize % 3],
            );
        }
        if book.chance(50) {
            let formula = Formula::new("='[prices.xlsx]Sheet1'!A1").set_result("640");
            sheet.write_formula(row, 5, formula).unwrap();
            book.plant(name, row, "F", "other-workbook");
        } else {
            sheet.write_number(row, 5, 649.5).unwrap();
        }
        put(
            &mut sheet,
            row,
            6,
            if number % 2 == 0 { "EUR" } else { "GBP" },
        );
    }
    book.workbook.push_worksheet(sheet);
}

fn prices(book: &mut Book, count: u32) {
    let name = "Prices";
    let mut sheet = Worksheet::new();
    head(book, &mut sheet, name);
    for number in 0..count {
        let row = 3 + number;
        book.row(name, row, "taken");
        if book.chance(20) {
            put(&mut sheet, row, 0, format!("X-{number}"));
            book.row(name, row, "no-match");
            book.findings
                .insert(format!("{name} {} - no-match", row + 1));
        } else {
            put(&mut sheet, row, 0, format!("H-{number}"));
        }
        sheet.write_number(row, 1, 12.5).unwrap();
    }
    book.workbook.push_worksheet(sheet);
}

const LIST: &str = r#"
[intake]
format = 1

[[table]]
sheet = "Compressors"
kind = "compressor"
heading_row = 3
decimal = "comma"
column = [
  { heading = "Model", key = "model" },
  { heading = "Stock no", key = "sku" },
  { heading = "Watts", key = "power", unit = "W" },
  { heading = "Flow", key = "open_flow" },
  { heading = "Volts", key = "voltage" },
  { heading = "Hz", key = "frequency", unit = "Hz" },
  { heading = "Max pressure (kPa)", key = "max_pressure", unit = "kPa" },
  { heading = "Sound at 1 m", key = "sound", at = "1 m" },
  { heading = "Remarks", key = "notes" },
]
fixed = { technology = "linear-diaphragm", inlet_filter = "yes" }

[[table]]
sheet = "Hoses"
kind = "airline"
heading_row = 3
column = [
  { heading = "Name", key = "title" },
  { heading = "Stock no", key = "sku" },
  { heading = "Size", key = "size", unit = "in" },
  { heading = "Roll (m)", key = "roll", unit = "m" },
]

[[table]]
sheet = "Packages"
kind = "package"
heading_row = 3
decimal = "comma"
column = [
  { heading = "Kit", key = "title" },
  { heading = "Stock no", key = "sku" },
  { heading = "Compressor", key = "compressor" },
  { heading = "Diffusers", key = "diffuser" },
  { heading = "Depth", key = "claim.depth" },
  { heading = "Price", key = "price", unit_from = "Currency" },
]

[[table]]
sheet = "Prices"
join = "sku"
heading_row = 3
column = [
  { heading = "Stock no", key = "sku" },
  { heading = "New price", key = "price", unit = "EUR" },
]
"#;

/// A catalog that has what the workbook's packages name and no sheet of it brings.
fn ponds(folder: &Path) {
    std::fs::create_dir(folder.join("ponds")).unwrap();
    let head = "[catalog]\nformat = 1\n\n[diffuser.disc-220]\ntitle = \"Disc 220\"\nflow = \"10 to 60 L/min\"\n";
    std::fs::write(folder.join("ponds/catalog.toml"), head).unwrap();
}

#[test]
fn a_workbook_of_five_thousand_rows_is_accounted_for_row_by_row() {
    let mut book = Book::new();
    compressors(&mut book, 2000);
    hoses(&mut book, 500);
    packages(&mut book, 2000, 2000);
    prices(&mut book, 500);
    assert!(book.fates.len() > 5000, "{} rows", book.fates.len());
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    book.workbook.save(folder.join("list.xlsx")).unwrap();
    std::fs::write(folder.join("list.toml"), LIST).unwrap();
    ponds(folder);
    let output = take(folder, &["list.xlsx"], &["--format", "json"]);
    let report = json(&output);
    assert_eq!(output.status.code(), Some(1));

    let mut fates = BTreeMap::new();
    for table in report["tables"].as_array().unwrap() {
        for row in table["rows"].as_array().unwrap() {
            let at = (
                table["sheet"].as_str().unwrap().to_string(),
                u32::try_from(row["row"].as_u64().unwrap()).unwrap(),
            );
            assert_eq!(
                fates.insert(at, row["fate"].as_str().unwrap().to_string()),
                None
            );
        }
    }
    let wrong: Vec<_> = book
        .fates
        .iter()
        .filter(|(at, fate)| fates.get(*at).map(String::as_str) != Some(**fate))
        .map(|(at, fate)| (at, fate, fates.get(at)))
        .collect();
    assert!(
        wrong.is_empty(),
        "{} rows: {:?}",
        wrong.len(),
        &wrong[..wrong.len().min(5)]
    );
    assert_eq!(fates.len(), book.fates.len());
    let summary = &report["summary"];
    let number = |key: &str| usize::try_from(summary[key].as_u64().unwrap()).unwrap();
    assert_eq!(number("rows"), book.fates.len());
    assert_eq!(
        number("rows"),
        number("taken") + number("taken_with_finding") + number("not_taken")
    );
    let planted = |fate: &str| book.fates.values().filter(|own| **own == fate).count();
    assert_eq!(number("taken"), planted("taken"));
    assert_eq!(number("taken_with_finding"), planted("taken-with-finding"));

    let mut told = found(&report);
    // The file as a whole is told of its links where it has a part for them; this library writes none.
    told.retain(|line| !line.ends_with("links-elsewhere"));
    let more: Vec<&String> = told.difference(&book.findings).take(5).collect();
    let fewer: Vec<&String> = book.findings.difference(&told).take(5).collect();
    assert!(
        more.is_empty() && fewer.is_empty(),
        "too many: {more:?}, too few: {fewer:?}"
    );
    let offers = report["findings"].as_array().unwrap().iter();
    let offers = offers.filter(|one| one["what"] == "fraction-as-date");
    assert!(offers.clone().count() == 300 && offers.clone().all(|one| one["offer"] == "3/8 in"));
    let unknown = &report["tables"][0]["columns_not_taken"];
    assert_eq!(unknown[0]["heading"], "Colour");

    // Again, and nothing changes.
    let again = json(&take(folder, &["list.xlsx"], &["--format", "json"]));
    assert_eq!(again["changes"].as_array().map(Vec::len), Some(0));
    assert_eq!(found(&again), found(&report));
}

/// The examples' tables, and how they are taken.
fn examples() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    crate::readme::put_tables(folder.path());
    folder
}

const TABLES: [&str; 5] = [
    "tables/airlines.csv",
    "tables/compressors.csv",
    "tables/diffusers.csv",
    "tables/packages.csv",
    "tables/prices.csv",
];

fn take_examples(folder: &Path, more: &[&str]) -> Output {
    let fixed = ["--mapping", "tables/list.toml", "--catalog", "ponds"];
    run(folder, &[&["intake"], &TABLES[..], &fixed, more].concat())
}

fn text(folder: &Path, file: &str) -> String {
    std::fs::read_to_string(folder.join(file)).unwrap()
}

fn edit(folder: &Path, file: &str, old: &str, new: &str) {
    let before = text(folder, file);
    assert!(before.contains(old), "{old} isn't in {file}");
    std::fs::write(folder.join(file), before.replacen(old, new, 1)).unwrap();
}

/// All files below a folder with their bytes.
fn state(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let files = walkdir::WalkDir::new(folder)
        .into_iter()
        .map(Result::unwrap);
    let files = files.filter(|entry| entry.file_type().is_file());
    files
        .map(|entry| {
            (
                entry.path().display().to_string(),
                std::fs::read(entry.path()).unwrap(),
            )
        })
        .collect()
}

#[test]
fn a_second_intake_replaces_what_the_table_changed_and_keeps_what_a_person_did() {
    let folder = examples();
    let folder = folder.path();
    assert_eq!(take_examples(folder, &["--offered"]).status.code(), Some(1));
    let (parts, kits) = ("ponds/compressor.toml", "ponds/package.toml");
    edit(
        folder,
        parts,
        "power = \"38 W\"",
        "power = { is = \"38 W\", at = \"15 kPa\" }   # on the bench",
    );
    edit(folder, parts, "power = \"58 W\"", "power = \"55 W\"");
    edit(
        folder,
        kits,
        "area = \"250 m2\"",
        "area = \"240 m2\" # dye test",
    );
    edit(
        folder,
        parts,
        "voltage = \"230 V\"\n",
        "voltage = \"230 V\"\n\n",
    );
    // The next list: other watts and pressure for the first, another area for the first package, one package gone.
    edit(
        folder,
        "tables/compressors.csv",
        "OM-38;38;68;230 V;50 Hz;24 kPa",
        "OM-38;39;68;230 V;50 Hz;25 kPa",
    );
    edit(folder, "tables/packages.csv", "250 m2", "260 m2");
    let list = text(folder, "tables/packages.csv");
    let kept: Vec<&str> = list
        .lines()
        .filter(|line| !line.starts_with("Mill Single"))
        .collect();
    std::fs::write(folder.join("tables/packages.csv"), kept.join("\n")).unwrap();
    edit(folder, "tables/prices.csv", "P-2,799.50\n", "");
    let (parts_before, kits_before) = (text(folder, parts), text(folder, kits));
    let report = json(&take_examples(folder, &["--format", "json"]));
    let changes: Vec<String> = report["changes"]
        .as_array()
        .unwrap()
        .iter()
        .map(|one| {
            format!(
                "{} {} {} {}",
                one["on"].as_str().unwrap(),
                one["key"],
                one["was"],
                one["is"]
            )
        })
        .collect();
    assert_eq!(
        changes,
        [
            "compressor.linear-38 \"power\" \"\\\"38 W\\\"\" \"\\\"39 W\\\"\"",
            "compressor.linear-38 \"max_pressure\" \"\\\"24 kPa\\\"\" \"\\\"25 kPa\\\"\"",
        ]
    );
    let expected = parts_before
        .replacen("is = \"38 W\"", "is = \"39 W\"", 1)
        .replacen("24 kPa", "25 kPa", 1);
    assert_eq!(text(folder, parts), expected);
    assert_eq!(text(folder, kits), kits_before);
    let told = found(&report);
    assert!(told.contains("- 2 F changed-in-both"), "{told:?}");
    let gone = report["findings"].as_array().unwrap().iter();
    let gone: Vec<&str> = gone
        .filter(|one| one["what"] == "gone")
        .filter_map(|one| one["message"].as_str())
        .collect();
    assert_eq!(gone.len(), 1);
    assert!(
        gone[0].starts_with("package.mill-single is in no table"),
        "{gone:?}"
    );
    assert_eq!(report["summary"]["values_kept"], 1);
    // It is told again until somebody decides.
    let again = json(&take_examples(folder, &["--format", "json"]));
    assert!(found(&again).contains("- 2 F changed-in-both"));
    let decided = json(&take_examples(folder, &["--format", "json", "--keep"]));
    assert_eq!(decided["changes"].as_array().map(Vec::len), Some(0));
    let settled = json(&take_examples(folder, &["--format", "json"]));
    assert!(!found(&settled).contains("- 2 F changed-in-both"));
    assert_eq!(text(folder, kits), kits_before);
}

#[test]
fn ids_stay_when_titles_change_and_when_they_were_renamed_by_hand() {
    let folder = examples();
    let folder = folder.path();
    take_examples(folder, &[]);
    edit(
        folder,
        "ponds/compressor.toml",
        "[compressor.linear-38]",
        "[compressor.garden-38]",
    );
    edit(
        folder,
        "ponds/package.toml",
        "compressor = \"linear-38\"",
        "compressor = \"garden-38\"",
    );
    edit(
        folder,
        "tables/compressors.csv",
        "Linear 60;",
        "Linear 60 Silent;",
    );
    edit(folder, "tables/packages.csv", "Linear 38", "OM-38");
    let report = json(&take_examples(folder, &["--format", "json"]));
    let changes = report["changes"].as_array().unwrap();
    assert_eq!(changes.len(), 1, "{changes:?}");
    assert_eq!(changes[0]["on"], "compressor.linear-60");
    assert_eq!(changes[0]["is"], "\"Linear 60 Silent\"");
}

/// Makes the files below a folder those.
fn restore(files: &BTreeMap<String, Vec<u8>>) {
    for (path, bytes) in files {
        std::fs::write(path, bytes).unwrap();
    }
}

#[test]
fn a_run_that_ended_between_two_files_is_gone_on_with() {
    let folder = examples();
    let folder = folder.path();
    take_examples(folder, &[]);
    edit(folder, "tables/compressors.csv", "OM-38;38;", "OM-38;39;");
    edit(folder, "tables/packages.csv", "250 m2", "260 m2");
    edit(folder, "tables/diffusers.csv", "10-60", "10-65");
    let before = state(folder);
    take_examples(folder, &[]);
    let after = state(folder);
    let changed = |path: &&String| before[*path] != after[*path];
    let changed: Vec<&String> = after.keys().filter(changed).collect();
    let files: Vec<&&String> = changed
        .iter()
        .filter(|path| path.ends_with(".toml"))
        .collect();
    assert_eq!((changed.len(), files.len()), (4, 3), "{changed:?}");
    // As a run leaves it that is killed when some of its files have their places. The record comes last.
    for mask in 0..1 << files.len() {
        restore(&before);
        let there = (0..files.len()).filter(|place| mask >> place & 1 == 1);
        let there: BTreeSet<&str> = there.map(|place| files[place].as_str()).collect();
        for path in &there {
            std::fs::write(path, &after[*path]).unwrap();
        }
        let report = json(&take_examples(folder, &["--format", "json"]));
        assert!(state(folder) == after, "{there:?}");
        let changes = report["changes"].as_array().unwrap();
        assert_eq!(changes.len(), files.len() - there.len(), "{there:?}");
    }
}

#[cfg(unix)]
#[test]
fn all_files_are_written_or_none() {
    let folder = examples();
    let folder = folder.path();
    take_examples(folder, &[]);
    edit(folder, "tables/compressors.csv", "OM-38;38;", "OM-38;39;");
    edit(folder, "tables/packages.csv", "250 m2", "260 m2");
    let kits = folder.join("ponds/package.toml");
    let mut permissions = std::fs::metadata(&kits).unwrap().permissions();
    permissions.set_readonly(true);
    std::fs::set_permissions(&kits, permissions).unwrap();
    let before = state(folder);
    let output = take_examples(folder, &[]);
    assert_eq!(output.status.code(), Some(2));
    let told = String::from_utf8_lossy(&output.stderr);
    assert!(
        told.contains("package.toml can't be written: it is marked as read-only"),
        "{told}"
    );
    assert_eq!(state(folder), before);
}

#[test]
fn a_dry_run_writes_nothing() {
    let folder = examples();
    let before = state(folder.path());
    let output = take_examples(folder.path(), &["--dry-run"]);
    assert_eq!(output.status.code(), Some(1));
    assert!(String::from_utf8_lossy(&output.stdout).contains("Nothing was written."));
    assert_eq!(state(folder.path()), before);
}

/// Headings of one table in each language that is known, and the keys they are.
const LANGUAGES: [(&str, &str); 7] = [
    (
        "Model,SKU,Power (W),Air flow (L/min),Voltage,Max pressure,Noise,Price (EUR)",
        "Compressors",
    ),
    (
        "Modell;Artikelnummer;Leistung (W);Luftmenge (L/min);Spannung;Max. Druck;Lautstärke;Preis (EUR)",
        "Verdichter",
    ),
    (
        "Modèle;Référence;Puissance (W);Débit d'air (L/min);Tension;Pression max;Niveau sonore;Prix (EUR)",
        "Compresseurs",
    ),
    (
        "Model;Artikelcode;Vermogen (W);Luchtopbrengst (L/min);Spanning;Max. druk;Geluidsniveau;Prijs (EUR)",
        "Compressoren",
    ),
    (
        "Modelo;Referencia;Potencia (W);Caudal de aire (L/min);Voltaje;Presión máxima;Nivel sonoro;Precio (EUR)",
        "Compresores",
    ),
    (
        "Type;Varenummer;Effekt (W);Luftmængde (L/min);Spænding;Maks. tryk;Lydniveau;Pris (EUR)",
        "Kompressorer",
    ),
    (
        "Modello;Codice articolo;Potenza (W);Portata d'aria (L/min);Tensione;Pressione max;Rumorosità;Prezzo (EUR)",
        "Compressori",
    ),
];

#[test]
fn a_first_mapping_is_guessed_in_seven_languages() {
    let folder = tempfile::tempdir().unwrap();
    for (headings, name) in LANGUAGES {
        let sign = if headings.contains(';') { ";" } else { "," };
        let row = [
            "Linear 38",
            "OM-38",
            "38",
            "68",
            "230 V",
            "24 kPa",
            "38 dB(A)",
            "420",
        ]
        .join(sign);
        let table = format!("{name}.csv");
        std::fs::write(folder.path().join(&table), format!("{headings}\n{row}\n")).unwrap();
        let guess = format!("{name}.toml");
        let output = run(folder.path(), &["intake", &table, "--guess", &guess]);
        assert_eq!(
            output.status.code(),
            Some(0),
            "{}",
            String::from_utf8_lossy(&output.stderr)
        );
        let mapping: toml::Table = toml::from_str(&text(folder.path(), &guess)).unwrap();
        let table = &mapping["table"][0];
        assert_eq!(table["kind"].as_str(), Some("compressor"), "{name}");
        let keys: Vec<&str> = table["column"]
            .as_array()
            .unwrap()
            .iter()
            .map(|column| {
                column
                    .get("key")
                    .and_then(toml::Value::as_str)
                    .unwrap_or("-")
            })
            .collect();
        assert_eq!(
            keys,
            [
                "model",
                "sku",
                "power",
                "open_flow",
                "voltage",
                "max_pressure",
                "sound",
                "price"
            ],
            "{name}"
        );
        assert_eq!(table["column"][3]["unit"].as_str(), Some("L/min"), "{name}");
        // Nothing that is there is overwritten.
        assert_eq!(
            run(
                folder.path(),
                &["intake", &format!("{name}.csv"), "--guess", &guess]
            )
            .status
            .code(),
            Some(2)
        );
    }
}

#[test]
fn a_mapping_that_names_what_the_format_has_not_is_refused_at_its_place() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    std::fs::write(folder.join("a.csv"), "Name\nx\n").unwrap();
    let refused = |mapping: &str, said: &str| {
        std::fs::write(
            folder.join("list.toml"),
            format!("[intake]\nformat = 1\n{mapping}"),
        )
        .unwrap();
        let output = take(folder, &["a.csv"], &[]);
        let told = String::from_utf8_lossy(&output.stderr).to_string();
        assert_eq!(output.status.code(), Some(2), "{told}");
        assert!(told.contains(said) && told.contains("list.toml"), "{told}");
        assert!(!folder.join("ponds").exists());
    };
    let table = |rest: &str| format!("[[table]]\nkind = \"compressor\"\n{rest}");
    refused(
        &table("column = [{ heading = \"Name\", key = \"powr\" }]"),
        "power",
    );
    refused(
        &table("column = [{ heading = \"Name\", key = \"power\", unit = \"L/min\" }]"),
        "power",
    );
    refused(
        &table(
            "column = [{ heading = \"Name\", key = \"curve\", unit = \"cfm\", at = \"10 ft\" }]",
        ),
        "ftH2O",
    );
    refused(&table("colum = []"), "column");
    refused(
        &table("write = \"../x.toml\"\ncolumn = [{ heading = \"Name\", key = \"title\" }]"),
        "within the catalog",
    );
    refused("[[table]]\ncolumn = []", "kind");
    refused(
        &table("column = [{ heading = \"Name\", key = \"own.old price\" }]"),
        "own.old price",
    );
}

/// An archive with those parts.
fn archive(parts: &[(&str, &str)]) -> Vec<u8> {
    let mut archive = zip::ZipWriter::new(std::io::Cursor::new(Vec::new()));
    for (name, text) in parts {
        archive
            .start_file(*name, zip::write::SimpleFileOptions::default())
            .unwrap();
        archive.write_all(text.as_bytes()).unwrap();
    }
    archive.finish().unwrap().into_inner()
}

/// A text document of spreadsheets with one sheet that holds those rows.
fn ods(rows: &str) -> Vec<u8> {
    let names = "xmlns:office=\"urn:oasis:names:tc:opendocument:xmlns:office:1.0\" \
                 xmlns:table=\"urn:oasis:names:tc:opendocument:xmlns:table:1.0\" \
                 xmlns:text=\"urn:oasis:names:tc:opendocument:xmlns:text:1.0\"";
    let content = format!(
        "<?xml version=\"1.0\"?><office:document-content {names}><office:body><office:spreadsheet>\
         <table:table table:name=\"Hoses\">{rows}</table:table></office:spreadsheet></office:body></office:document-content>"
    );
    let manifest = "<?xml version=\"1.0\"?><manifest:manifest \
                    xmlns:manifest=\"urn:oasis:names:tc:opendocument:xmlns:manifest:1.0\"/>";
    archive(&[
        ("mimetype", "application/vnd.oasis.opendocument.spreadsheet"),
        ("content.xml", &content),
        ("META-INF/manifest.xml", manifest),
    ])
}

/// A workbook with one sheet of those rows, and more parts.
fn xlsx(rows: &str, more: &[(&str, &str)]) -> Vec<u8> {
    const MAIN: &str = "http://schemas.openxmlformats.org/spreadsheetml/2006/main";
    const TO: &str = "http://schemas.openxmlformats.org/officeDocument/2006/relationships";
    const PACKED: &str = "http://schemas.openxmlformats.org/package/2006/relationships";
    let book = format!(
        "<workbook xmlns=\"{MAIN}\" xmlns:r=\"{TO}\"><sheets><sheet name=\"Hoses\" sheetId=\"1\" r:id=\"rId1\"/></sheets></workbook>"
    );
    let links = format!(
        "<Relationships xmlns=\"{PACKED}\"><Relationship Id=\"rId1\" Type=\"{TO}/worksheet\" Target=\"worksheets/sheet1.xml\"/></Relationships>"
    );
    let sheet = format!("<worksheet xmlns=\"{MAIN}\"><sheetData>{rows}</sheetData></worksheet>");
    let start = format!(
        "<Relationships xmlns=\"{PACKED}\"><Relationship Id=\"rId1\" Type=\"{TO}/officeDocument\" Target=\"xl/workbook.xml\"/></Relationships>"
    );
    let parts = [
        ("_rels/.rels", start.as_str()),
        ("xl/workbook.xml", &book),
        ("xl/_rels/workbook.xml.rels", &links),
        ("xl/worksheets/sheet1.xml", &sheet),
    ];
    archive(&[&parts, more].concat())
}

#[test]
fn formulas_without_a_value_links_and_notes_are_told() {
    let word =
        |at: &str, text: &str| format!("<c r=\"{at}\" t=\"inlineStr\"><is><t>{text}</t></is></c>");
    let rows = [
        "<row r=\"1\">".to_string() + &word("A1", "Name") + &word("B1", "Size") + "</row>",
        "<row r=\"2\">".to_string() + &word("A2", "Hose") + "<c r=\"B2\"><f>1/2</f></c></row>",
        "<row r=\"3\">".to_string()
            + &word("A3", "Other")
            + "<c r=\"B3\"><f>[1]Sheet1!A1</f><v>0.5</v></c></row>",
    ];
    let parts = [
        ("xl/externalLinks/externalLink1.xml", "<externalLink/>"),
        ("xl/comments1.xml", "<comments/>"),
    ];
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    std::fs::write(folder.join("list.xlsx"), xlsx(&rows.concat(), &parts)).unwrap();
    std::fs::write(folder.join("list.toml"), AIRLINES).unwrap();
    let told = found(&json(&take(folder, &["list.xlsx"], &["--format", "json"])));
    let expected = [
        "- null - links-elsewhere",
        "- null - notes-on-cells",
        "Hoses 2 B never-calculated",
        "Hoses 3 B other-workbook",
    ];
    assert_eq!(told, expected.map(str::to_string).into());
    assert_eq!(
        text(folder, "ponds/airline.toml"),
        "[airline.hose]\ntitle = \"Hose\"\n\n[airline.other]\ntitle = \"Other\"\nsize = \"0.5 in\"\n"
    );
}

#[test]
fn cells_merged_in_a_column_hold_for_each_of_their_rows() {
    let mut sheet = Worksheet::new();
    for (column, heading) in (0..).zip(["Name", "Size"]) {
        put(&mut sheet, 0, column, heading);
    }
    for (row, name) in (1..).zip(["Short", "Long", "Thick"]) {
        put(&mut sheet, row, 0, name);
    }
    put_over(&mut sheet, (1, 1), (2, 1), "1/2 in");
    put(&mut sheet, 3, 1, "3/4 in");
    // What is merged beyond the last row makes no rows.
    put_over(&mut sheet, (3, 2), (9, 2), "far");
    let mut workbook = Workbook::new();
    workbook.push_worksheet(sheet);
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    workbook.save(folder.join("list.xlsx")).unwrap();
    std::fs::write(folder.join("list.toml"), AIRLINES).unwrap();
    let report = json(&take(folder, &["list.xlsx"], &["--format", "json"]));
    assert_eq!(found(&report), BTreeSet::new());
    let written: toml::Table = toml::from_str(&text(folder, "ponds/airline.toml")).unwrap();
    let size = |id: &str| written["airline"][id]["size"].as_str();
    assert_eq!(
        ["short", "long", "thick"].map(size),
        ["1/2 in", "1/2 in", "3/4 in"].map(Some)
    );
    assert_eq!(written["airline"].as_table().map(toml::Table::len), Some(3));
}

#[test]
fn the_cells_of_an_open_document_are_read() {
    let row = |cells: &str| format!("<table:table-row>{cells}</table:table-row>");
    let word = |text: &str| {
        format!(
            "<table:table-cell office:value-type=\"string\"><text:p>{text}</text:p></table:table-cell>"
        )
    };
    let rows = [
        row(&(word("Name") + &word("Size"))),
        row(&(word("Hose")
            + "<table:table-cell office:value-type=\"date\" office:date-value=\"2026-03-08\"><text:p>08.03.</text:p></table:table-cell>")),
        "<table:table-row table:visibility=\"collapse\">".to_string()
            + &word("Other")
            + "<table:table-cell office:value-type=\"float\" office:value=\"0.5\"><text:p>0,5</text:p></table:table-cell></table:table-row>",
    ];
    let grid = intake::read(&ods(&rows.concat()));
    assert_eq!(grid.remarks, []);
    let sheet = &grid.sheets[0];
    assert_eq!(sheet.name, "Hoses");
    let day = Value::Date {
        year: 2026,
        month: 3,
        day: 8,
    };
    assert_eq!(sheet.rows[1].cells[1].value, day);
    assert_eq!(sheet.rows[2].cells[1].value, Value::Number("0.5".into()));
    assert_eq!(
        [false, false, true],
        [0, 1, 2].map(|row| sheet.rows[row].hidden)
    );
}

#[test]
fn hostile_and_damaged_files_are_findings_and_the_other_tables_are_taken() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    let mut sheet = Worksheet::new();
    put(&mut sheet, 0, 0, "Name");
    put(&mut sheet, 0, 1, "Size");
    put(&mut sheet, 1, 0, "Hose");
    put(&mut sheet, 1, 1, "1/2 in");
    // Far out, where a table of all cells between would fill the memory.
    put(&mut sheet, 1_048_575, 16_383, "far");
    let mut workbook = Workbook::new();
    workbook.push_worksheet(sheet);
    let sound = workbook.save_to_buffer().unwrap();
    let cell = "<table:table-cell table:number-columns-repeated=\"16384\" office:value-type=\"string\"><text:p>x</text:p></table:table-cell>";
    let bomb =
        format!("<table:table-row table:number-rows-repeated=\"1048576\">{cell}</table:table-row>");
    let long = "x".repeat(40_000);
    let files: [(&str, Vec<u8>, &str); 8] = [
        ("bomb.ods", ods(&bomb), "damaged"),
        ("cut.xlsx", sound[..sound.len() / 2].to_vec(), "damaged"),
        (
            "other.xlsx",
            archive(&[("a.txt", "no workbook")]),
            "damaged",
        ),
        (
            "old.xls",
            b"\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1rest".to_vec(),
            "old-or-locked",
        ),
        ("zeros.csv", vec![0; 5000], "damaged"),
        ("empty.csv", Vec::new(), "no-column"),
        (
            "open.csv",
            b"Name,Size\n\"Open,1/2 in\nLost,1/2 in\n".to_vec(),
            "open-quote",
        ),
        (
            "long.csv",
            format!("Name,Size\n{long},1/2 in\n").into(),
            "long-cells",
        ),
    ];
    std::fs::write(folder.join("sound.xlsx"), &sound).unwrap();
    std::fs::write(folder.join("list.toml"), AIRLINES).unwrap();
    let mut tables = vec!["sound.xlsx"];
    for (name, bytes, _) in &files {
        std::fs::write(folder.join(name), bytes).unwrap();
        tables.push(name);
    }
    let output = take(folder, &tables, &["--format", "json"]);
    let report = json(&output);
    assert_eq!(output.status.code(), Some(1));
    for (name, _, what) in &files {
        let mut findings = report["findings"].as_array().unwrap().iter();
        assert!(
            findings.any(|one| one["file"] == *name && one["what"] == *what),
            "{name}: {:?}",
            found(&report)
        );
    }
    assert_eq!(
        text(folder, "ponds/airline.toml"),
        "[airline.hose]\ntitle = \"Hose\"\nsize = \"1/2 in\"\n"
    );
}

#[test]
fn no_damage_to_a_workbook_ends_the_run() {
    let mut sheet = Worksheet::new();
    for row in 0..20 {
        put(&mut sheet, row, 0, format!("Hose {row}"));
        sheet.write_number(row, 1, f64::from(row)).unwrap();
    }
    let mut workbook = Workbook::new();
    workbook.push_worksheet(sheet);
    let sound = workbook.save_to_buffer().unwrap();
    let folder = tempfile::tempdir().unwrap();
    let mut names = Vec::new();
    for number in 0..40usize {
        let mut bytes = sound.clone();
        let place = number * 7919 % bytes.len();
        match number % 2 {
            0 => bytes[place] ^= 0x55,
            _ => drop(bytes.drain(place..(place + 9).min(sound.len()))),
        }
        let name = format!("{number}.xlsx");
        std::fs::write(folder.path().join(&name), bytes).unwrap();
        names.push(name);
    }
    std::fs::write(
        folder.path().join("list.toml"),
        "[intake]\nformat = 1\n[[table]]\nkind = \"airline\"\ncolumn = [{ heading = \"Hose 0\", key = \"title\" }]\n",
    )
    .unwrap();
    let tables: Vec<&str> = names.iter().map(String::as_str).collect();
    let output = take(folder.path(), &tables, &["--format", "json", "--dry-run"]);
    let report = json(&output);
    let files: BTreeSet<&str> = report["findings"]
        .as_array()
        .unwrap()
        .iter()
        .filter_map(|one| one["file"].as_str())
        .collect();
    assert!(files.len() > 20, "{files:?}");
    // In this process too, where a fault of a reader would be seen.
    assert!(!intake::read(&sound).remarks.contains(&Remark::Damaged));
}

/// Cells put together of what people type and spreadsheets make of it.
#[test]
fn whatever_stands_in_the_cells_the_catalog_can_be_read() {
    const PIECES: [&str; 28] = [
        "3/8",
        "08-Mar",
        "1.5E+01",
        "½",
        " ",
        "(",
        ")",
        "@",
        "1,5",
        "1.234,5",
        "€",
        "x",
        "\u{1f41f}",
        "\"\"",
        "\\",
        "'",
        "L/min",
        "m",
        "ft",
        "kPa",
        "-",
        "2 x ",
        "Linear 1",
        "#",
        "\u{7f}",
        "e+9",
        "9",
        "W",
    ];
    let mut seed = 7u64;
    let mut next = |of: usize| {
        seed = seed
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        usize::try_from(seed >> 33).unwrap() % of
    };
    let heads = [
        "title",
        "sku",
        "power",
        "open_flow",
        "voltage",
        "max_pressure",
        "sound",
        "price",
        "notes",
        "outlet",
        "inlet_filter",
        "own.bin",
        "since",
        "plugs",
    ];
    let mut list = heads.join(",") + "\n";
    for row in 0..1500 {
        let mut cells = vec![format!("Linear {row}")];
        for _ in 1..heads.len() {
            let cell: String = (0..next(5)).map(|_| PIECES[next(PIECES.len())]).collect();
            cells.push(format!("\"{cell}\""));
        }
        list.push_str(&(cells.join(",") + "\n"));
    }
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    std::fs::write(folder.join("list.csv"), list).unwrap();
    let columns = heads.map(|head| format!("{{ heading = \"{head}\", key = \"{head}\" }}"));
    let mapping = format!(
        "[intake]\nformat = 1\n[[table]]\nkind = \"compressor\"\ncolumn = [{}]\n",
        columns.join(", ")
    );
    std::fs::write(folder.join("list.toml"), mapping).unwrap();
    let report = || {
        json(&take(
            folder,
            &["list.csv"],
            &["--format", "json", "--offered"],
        ))
    };
    assert_eq!(report()["summary"]["rows"], 1501);
    // A reader that isn't ours.
    let written: toml::Table = toml::from_str(&text(folder, "ponds/compressor.toml")).unwrap();
    assert!(written["compressor"].as_table().unwrap().len() > 1000);
    // Again, and nothing changes.
    let before = state(folder);
    assert_eq!(report()["changes"].as_array().map(Vec::len), Some(0));
    assert_eq!(state(folder), before);
}

#[test]
fn a_sum_of_rows_is_no_thing() {
    let at = tempfile::tempdir().unwrap();
    let mapping = "[intake]\nformat = 1\n[[table]]\nfile = \"list.csv\"\nkind = \"compressor\"\nheading_row = 1\n\
                   column = [{ heading = \"Model\", key = \"title\" }, { heading = \"Watts\", key = \"power\" }]\n";
    std::fs::write(at.path().join("list.toml"), mapping).unwrap();
    let table = "Model,Watts\nTotal Calm 40,40 W\nTotal,40 W\nZwischensumme,40 W\nI alt,40 W\n";
    std::fs::write(at.path().join("list.csv"), table).unwrap();
    let report = json(&take(at.path(), &["list.csv"], &["--format", "json"]));
    let fates = report["tables"][0]["rows"].as_array().unwrap().iter();
    let fates: Vec<&str> = fates.map(|row| row["fate"].as_str().unwrap()).collect();
    assert_eq!(fates, ["headings", "taken", "sum", "sum", "sum"]);
}
