//! How much of the physics is held to the outside: the rows of `tests/published`, and whose figures they are.

use std::collections::{BTreeMap, BTreeSet};

use crate::published_rows::{self, Row};

/// Where a figure comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Kind {
    /// Printed by somebody else, and read, there or where others print it again.
    Printed,
    /// Read off a drawn figure.
    Drawn,
    /// What a general library answers.
    Library,
    /// Worked out from a formula by this project's own scripts.
    Worked,
    /// Remembered, and not found again.
    Remembered,
    /// What the trade does, without a source.
    Practice,
}

/// Whose printed figures the tables hold. A row counts for the first of these that its source names.
const PRINTED: &[&str] = &[
    "NIST SP 811",
    "TP-410",
    "Hendricks",
    "textbook example with methane",
    "veryfocus.net",
    "EN 25814",
    "Boyd, Overview of mechanical pond aeration",
    "Handbook of Chemistry and Physics, 53rd",
    "Handbook of Chemistry and Physics 62nd",
    "ASHRAE Handbook",
    "Milgram 1983",
    "Fannelop & Sjoen 1980",
    "Milgram & Van Houten 1982",
    "Kobus 1968",
    "Topham 1975",
    "McKeon et al. 2004",
    "Behnisch, Schwarz & Wagner 2020",
    "Riess & Fannelop 1998",
    "Liang, Dadd & Bailey",
    "Meijer & Avnimelech 1999",
    "Steeby, Hargreaves, Tucker & Cathcart 2004",
];

/// Libraries whose own answers the tables hold. Otherwise scipy solves this project's equations, and
/// what it gives is worked.
const LIBRARIES: &[&str] = &[
    "CoolProp",
    "fluids",
    "gsw",
    "pint",
    "scipy 1.17.1 PchipInterpolator",
];

fn source(row: &Row) -> String {
    match row.table.as_str() {
        "units_nist.csv" => "NIST SP 811".into(),
        "measured/friction.csv" => "McKeon et al. 2004".into(),
        "measured/speeds.csv" | "measured/lifted.csv" => "Kobus 1968".into(),
        // Solved by the script beside it with all three.
        "air_networks.csv" | "pond_choice.csv" | "sweep.csv" => {
            "scipy, with CoolProp 8.0.0 and fluids 1.3.1".into()
        }
        "pond_survey.csv" | "pond_places.csv" => "scipy, with shapely 2.2.0".into(),
        "pond_degrees.csv" => "pyproj 3.7.2".into(),
        _ => row
            .cell(&["source", "from", "study"])
            .unwrap_or("")
            .to_string(),
    }
}

fn kind(row: &Row) -> Kind {
    let source = source(row);
    // A table that a script beside it writes says so in its name, or each row in its place.
    let made = |row: &Row| {
        let script = row.table.replace(".csv", ".py");
        published_rows::names("", "py").contains(&script)
    };
    let by_a_script = row
        .cell(&["place"])
        .is_some_and(|place| place.contains(".py"));
    let calculated = if LIBRARIES.iter().any(|name| source.starts_with(name)) {
        Kind::Library
    } else {
        Kind::Worked
    };
    match row.cell(&["mark"]) {
        Some("common practice") => Kind::Practice,
        Some("read off a figure") => Kind::Drawn,
        _ if by_a_script => calculated,
        Some("from memory") => Kind::Remembered,
        _ if made(row) => calculated,
        Some("worked") => Kind::Worked,
        Some("library") => Kind::Library,
        Some("published" | "read" | "second hand" | "abstract") => Kind::Printed,
        None => calculated,
        Some(other) => panic!("{}, line {}: mark {other}", row.table, row.line),
    }
}

fn of_folder(below: &str) -> Vec<Row> {
    let names = published_rows::names(below, "csv");
    let tables = names.iter().map(|name| match below {
        "" => name.clone(),
        _ => format!("{below}/{name}"),
    });
    tables
        .flat_map(|table| published_rows::rows(&table))
        .collect()
}

/// Every row, the measured ones last.
fn all() -> Vec<Row> {
    let mut rows = of_folder("");
    rows.extend(of_folder("measured"));
    rows
}

/// How many rows are of each kind, and how many of the printed ones are of each source.
fn counted() -> (BTreeMap<Kind, usize>, BTreeMap<&'static str, usize>) {
    let mut kinds = BTreeMap::new();
    let mut sources = BTreeMap::new();
    for row in all() {
        let kind = kind(&row);
        *kinds.entry(kind).or_default() += 1;
        if kind == Kind::Printed {
            let source = source(&row);
            let whose = PRINTED.iter().copied().find(|name| source.contains(name));
            let whose = whose.unwrap_or_else(|| {
                panic!("{}, line {}: whose is {source:?}?", row.table, row.line)
            });
            *sources.entry(whose).or_default() += 1;
        }
    }
    (kinds, sources)
}

/// What the guide says of them.
pub fn table() -> String {
    let (kinds, sources) = counted();
    let measured = of_folder("measured");
    let measured = measured
        .iter()
        .filter(|row| kind(row) == Kind::Printed)
        .count();
    let count = |kind: Kind| kinds.get(&kind).copied().unwrap_or(0);
    format!(
        "| figures | rows | whose |\n\
         | --- | --- | --- |\n\
         | printed by others, and read | {} | {} sources; {measured} of the rows are measurements in plumes, tubes and tests |\n\
         | read off drawn figures by others | {} | Kobus 1968 |\n\
         | answers of general libraries | {} | CoolProp, fluids, gsw, pint |\n\
         | worked out by this project's own scripts | {} | formulas, solved apart from the program |\n\
         | remembered, not found again | {} | marked so |\n\
         | common practice | {} | no source |\n",
        count(Kind::Printed),
        sources.len(),
        count(Kind::Drawn),
        count(Kind::Library),
        count(Kind::Worked),
        count(Kind::Remembered),
        count(Kind::Practice),
    )
}

#[test]
fn at_least_150_printed_figures_come_from_at_least_20_sources() {
    let (kinds, sources) = counted();
    let printed = kinds[&Kind::Printed];
    assert!(
        printed >= 150 && sources.len() >= 20,
        "{kinds:?} {sources:#?}"
    );
    // A name that no row bears is a slip of the list above.
    let unused: Vec<&&str> = PRINTED
        .iter()
        .filter(|name| !sources.contains_key(**name))
        .collect();
    assert!(unused.is_empty(), "{unused:?}");
    // Those that tests hold row by row, without the measurements that ranges cover.
    let held = of_folder("");
    let held = held.iter().filter(|row| kind(row) == Kind::Printed).count();
    assert!(held >= 150, "{held}");
}

/// Every row says where it comes from and how exact it is; one from memory says so in its mark.
#[test]
fn every_row_has_its_source_place_digits_tolerance_and_mark() {
    let scripts: BTreeSet<String> = published_rows::names("", "py")
        .iter()
        .filter_map(|name| Some(name.strip_suffix(".py")?.to_string()))
        .collect();
    let mut faults = Vec::new();
    for row in of_folder("") {
        let mut fault =
            |what: &str| faults.push(format!("{}, line {}: {what}", row.table, row.line));
        if source(&row).is_empty() {
            fault("no source");
        }
        // A table of a library's figures has its place in the script that makes it, or in its head.
        let made = scripts.contains(row.table.trim_end_matches(".csv"));
        let made = made || row.table == "units_air.csv";
        let place = row.cell(&["place", "quantity"]);
        if place.is_none_or(str::is_empty) && !made {
            fault("no place");
        }
        let digits = row.cell(&[
            "printed",
            "value",
            "density",
            "mantissa",
            "numerator",
            "manifold_gauge_pa",
            "manifold_low_pa",
            "volume_m3",
            "spread",
            "around_m",
        ]);
        // A numerator may be longer than a double holds; its digits are what is compared.
        let is_number = |text: &str| text.parse::<f64>().is_ok_and(f64::is_finite);
        if !digits.is_some_and(is_number) {
            fault("no digits");
        }
        // Exact factors, the networks and the ponds have theirs in the test that reads them.
        let exact = [
            "units_nist.csv",
            "units_pint.csv",
            "air_networks.csv",
            "pond_choice.csv",
            "sweep.csv",
            "pond_survey.csv",
            "pond_places.csv",
            "pond_degrees.csv",
        ];
        let tolerance = row.cell(&["tolerance"]).unwrap_or("");
        if tolerance.is_empty() && !exact.contains(&row.table.as_str()) {
            fault("no tolerance");
        }
        let mark = row.cell(&["mark"]);
        if mark.is_some_and(str::is_empty) {
            fault("no mark");
        }
        // The source of a row that is only formed from memory says so itself.
        let remembered = source(&row).contains("answer from memory");
        if remembered && mark != Some("from memory") {
            fault("from memory, and its mark says otherwise");
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

/// A source says who: not only what kind of book it stood in.
#[test]
fn no_source_is_nameless() {
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut files = vec![
        root.join("src/assumptions/ranges.toml"),
        root.join("src/units/air.rs"),
    ];
    let physics = std::fs::read_dir(root.join("src/physics")).unwrap();
    files.extend(physics.map(|entry| entry.unwrap().path()));
    let nameless = ["encyclopedia", "magazine", "tutorial page", "as a glossary"];
    let mut found = Vec::new();
    for file in files.iter().filter(|file| file.is_file()) {
        let text = std::fs::read_to_string(file).unwrap();
        for (number, line) in text.lines().enumerate() {
            if nameless.iter().any(|word| line.contains(word)) {
                found.push(format!("{}:{}: {line}", file.display(), number + 1));
            }
        }
    }
    assert!(found.is_empty(), "{}", found.join("\n"));
}
