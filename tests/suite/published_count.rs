//! How much of the physics is held to the outside: the rows of `tests/published`, and whose figures they are.

use std::collections::{BTreeMap, BTreeSet};
use std::path::PathBuf;

/// Whose figures the tables hold. A row counts for the first of these that its source names: printed pages,
/// standards and papers before the libraries that evaluate their formulas.
const SOURCES: &[&str] = &[
    "NIST SP 811",
    "TP-410",
    "Hendricks",
    "Metcalf and Eddy",
    "ISA-75.01",
    "Colebrook",
    "Haaland",
    "Schedule 40 PVC",
    "textbook example with methane",
    "tutorial page on scfm",
    "Standard Methods",
    "Benson & Krause",
    "Kobus 1968",
    "Lorenzen & Fast 1977",
    "McDougall 1978",
    "Morton, Taylor & Turner 1956",
    "Wuest, Brooks & Imboden 1992",
    "EPA/625/1-89/023",
    "ASCE/EWRI 2",
    "Tanaka et al. 2001",
    "Riess & Fannelop 1998",
    "Rajaratnam 1976",
    "Garcia & Gordon 1992",
    "CoolProp 8.0.0",
    "fluids 1.3.1",
    "gsw 3.6.23",
    "scipy",
    "pint",
];

/// Tables of which no row counts: figures of this project's own, and common practice, which has no source.
const OWN: &[&str] = &["water_packages.csv", "water_practice.csv"];

struct Row {
    table: String,
    line: usize,
    cells: BTreeMap<String, String>,
}

impl Row {
    /// The first of the columns of that name, which differ from table to table.
    fn cell(&self, names: &[&str]) -> Option<&str> {
        let found = names.iter().find_map(|name| self.cells.get(*name));
        found.map(String::as_str)
    }

    fn source(&self) -> String {
        match self.table.as_str() {
            "units_nist.csv" => "NIST SP 811".into(),
            // Solved by the script beside it with all three.
            "air_networks.csv" => "scipy, with CoolProp 8.0.0 and fluids 1.3.1".into(),
            _ => self.cell(&["source", "from"]).unwrap_or("").to_string(),
        }
    }

    /// Whose figure it is; nothing where the project worked the formula out itself.
    fn whose(&self) -> Option<&'static str> {
        let source = self.source();
        if OWN.contains(&self.table.as_str()) || source.starts_with("arithmetic") {
            return None;
        }
        SOURCES.iter().copied().find(|name| source.contains(name))
    }
}

fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/published")
}

/// The cells of a line; a cell in quotes may hold commas.
fn cells(line: &str) -> Vec<String> {
    let mut cells = vec![String::new()];
    let mut quoted = false;
    for character in line.chars() {
        match character {
            '"' => quoted = !quoted,
            ',' if !quoted => cells.push(String::new()),
            other => cells.last_mut().unwrap().push(other),
        }
    }
    cells
}

fn rows() -> Vec<Row> {
    let mut names: Vec<String> = std::fs::read_dir(folder())
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .filter(|name| name.ends_with(".csv"))
        .collect();
    names.sort();
    let mut rows = Vec::new();
    for table in names {
        let text = std::fs::read_to_string(folder().join(&table)).unwrap();
        let mut lines = text
            .lines()
            .enumerate()
            .filter(|(_, line)| !line.is_empty() && !line.starts_with('#'));
        let heads = cells(lines.next().unwrap().1);
        for (line, text) in lines {
            let own = cells(text);
            assert_eq!(own.len(), heads.len(), "{table}, line {}", line + 1);
            rows.push(Row {
                table: table.clone(),
                line: line + 1,
                cells: heads.iter().cloned().zip(own).collect(),
            });
        }
    }
    rows
}

#[test]
fn at_least_250_values_come_from_at_least_15_named_sources() {
    let mut whose: BTreeMap<&str, usize> = BTreeMap::new();
    for row in rows() {
        if let Some(name) = row.whose() {
            *whose.entry(name).or_default() += 1;
        }
    }
    let values: usize = whose.values().sum();
    assert!(values >= 250 && whose.len() >= 15, "{values}: {whose:#?}");
    // A name that no row bears is a slip of the list above.
    let unused: Vec<&&str> = SOURCES
        .iter()
        .filter(|name| !whose.contains_key(**name))
        .collect();
    assert!(unused.is_empty(), "{unused:?}");
    // Not all of it is a library's: these are printed figures, and the formulas of papers.
    let libraries = [
        "CoolProp 8.0.0",
        "fluids 1.3.1",
        "gsw 3.6.23",
        "scipy",
        "pint",
    ];
    let printed: usize = whose
        .iter()
        .filter(|(name, _)| !libraries.contains(name))
        .map(|(_, rows)| rows)
        .sum();
    assert!(printed >= 250, "{printed}: {whose:#?}");
}

/// Every row says where it comes from and how exact it is; one from memory says so in its mark.
#[test]
fn every_row_has_its_source_place_digits_tolerance_and_mark() {
    let scripts: BTreeSet<String> = std::fs::read_dir(folder())
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .filter_map(|name| Some(name.strip_suffix(".py")?.to_string()))
        .collect();
    let mut faults = Vec::new();
    for row in rows() {
        let mut fault =
            |what: &str| faults.push(format!("{}, line {}: {what}", row.table, row.line));
        if row.source().is_empty() {
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
        ]);
        // A numerator may be longer than a double holds; its digits are what is compared.
        let is_number = |text: &str| text.parse::<f64>().is_ok_and(f64::is_finite);
        if !digits.is_some_and(is_number) {
            fault("no digits");
        }
        // Exact factors and the networks have theirs in the test that reads them.
        let exact = ["units_nist.csv", "units_pint.csv", "air_networks.csv"];
        let tolerance = row.cell(&["tolerance"]).unwrap_or("");
        if tolerance.is_empty() && !exact.contains(&row.table.as_str()) {
            fault("no tolerance");
        }
        let mark = row.cell(&["mark"]);
        if mark.is_some_and(str::is_empty) {
            fault("no mark");
        }
        // The source of a row that is only formed from memory says so itself.
        let remembered = row.source().contains("answer from memory");
        if remembered && mark != Some("from memory") {
            fault("from memory, and its mark says otherwise");
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}
