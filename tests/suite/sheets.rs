//! Spec sheets through the whole flow: bound to a package, judged by themselves, told apart, reported.

use nameplate::engine::{self, Input, Options, Outcome};
use nameplate::finding::{Finding, Level};
use nameplate::report::{html, json, junit, markdown, sarif, terminal};
use nameplate::spec_sheet::Extract;
use nameplate::text::{Frame, Word};
use serde_json::Value;

/// A catalog with one package whose claims hold, and another that shares its parts.
pub const CATALOG: &str = r#"
[catalog]
format = 1
title = "Otter Mill Water, pages"

[site]
altitude = "0 m"
air = "20 degC"
water = "15 degC"

[compressor.linear-40]
technology = "linear-diaphragm"
voltage = "230 V"
frequency = "50 Hz"
power = { is = "40 W", at = "15 kPa" }
current = "0.32 A"
curve = [
  { pressure = "0 kPa", flow = "70 L/min" },
  { pressure = "10 kPa", flow = "57 L/min" },
  { pressure = "20 kPa", flow = "40 L/min" },
  { pressure = "33 kPa", flow = "0 L/min" },
]
max_pressure = "24 kPa"
sound = { is = "40 dB(A)", at = "1 m" }
inlet_filter = true
outlet = "1/2 in barb"

[diffuser.disc-230]
flow = "10 to 45 L/min"
loss = [ { flow = "10 L/min", pressure = "2.0 kPa" }, { flow = "40 L/min", pressure = "3.0 kPa" } ]
check_valve = true
inlet = "1/2 in barb"

[airline.sinking-12]
size = "1/2 in"
bore = "12.7 mm"
outside = "22.5 mm"
mass_per_length = "0.45 kg/m"
self_sinking = true
max_pressure = "600 kPa"

[manifold.twin]
outlets = 2
valve = "ball"
inlet = "1/2 in barb"
outlet = "1/2 in barb"

[package.brook-two]
title = "Brook Two"
compressor = "linear-40"
diffuser = { part = "disc-230", count = 2 }
manifold = "twin"
above_water = true
price = "420 EUR"
warranty = "2 year"
[package.brook-two.claim]
depth = "1.5 m"
area = { is = "300 m2", at = "1.5 m" }
running_cost = { is = "9.50 EUR/month", at = "0.30 EUR/kWh" }
[[package.brook-two.option]]
id = "with-airline"
airline = { part = "sinking-12", length = "20 m", count = 2 }

[package.brook-one]
title = "Brook One"
compressor = "linear-40"
diffuser = "disc-230"
above_water = true
bleed = "20 L/min"
[package.brook-one.claim]
depth = "1.2 m"
[[package.brook-one.option]]
id = "with-airline"
airline = { part = "sinking-12", length = "30 m" }
"#;

/// What every page says, so that only its own subject speaks.
const SAFE: &str = "\n\nPlug it into an outlet behind a residual-current device (RCD).\n";

fn input(path: &str, text: impl Into<Vec<u8>>) -> Input {
    Input {
        path: path.into(),
        bytes: text.into(),
        alone: false,
        borrowed: false,
    }
}

fn audit(inputs: Vec<Input>) -> Outcome {
    engine::audit(inputs, &Options::default())
}

/// A page of `package` beside the catalog.
fn page(package: &str, body: &str) -> Outcome {
    let text = format!("+++\npackage = \"{package}\"\n+++\n{body}{SAFE}");
    audit(vec![
        input("shop/catalog.toml", CATALOG),
        input("shop/page.md", text),
    ])
}

/// A page by itself, named on the command line.
fn alone(body: &str) -> Outcome {
    let text = format!("{body}{SAFE}");
    audit(vec![Input {
        alone: true,
        ..input("page.md", text)
    }])
}

fn of_sheets(outcome: &Outcome) -> Vec<&Finding> {
    let is_sheet = |one: &&Finding| engine::is_sheet(outcome.sources.get(one.at.file).name());
    let findings = outcome.findings.iter().filter(is_sheet);
    findings
        .filter(|one| one.rule.name != "sheet.unbound")
        .collect()
}

/// Rule and the text at its place, for errors and warnings in sheets.
fn spoken(outcome: &Outcome) -> Vec<(&'static str, String)> {
    let grave = of_sheets(outcome)
        .into_iter()
        .filter(|one| one.level > Level::Note);
    grave
        .map(|one| {
            (
                one.rule.name,
                outcome
                    .sources
                    .slice(one.at)
                    .trim_end_matches('.')
                    .to_string(),
            )
        })
        .collect()
}

#[test]
fn the_catalog_of_these_tests_is_sound() {
    let outcome = audit(vec![input("shop/catalog.toml", CATALOG)]);
    let grave: Vec<&Finding> = outcome
        .findings
        .iter()
        .filter(|one| one.level > Level::Note)
        .collect();
    assert!(grave.is_empty(), "{grave:?}");
}

#[test]
fn what_a_page_says_as_the_catalog_does_is_silent() {
    let same = [
        "For ponds up to 1.5 m deep.",
        "For ponds up to 5 ft deep.",
        "It serves ponds of up to 300 m² at 1.5 m.",
        // Less than what is promised, in a table beside it.
        "For ponds up to 1.5 m deep; it serves 300 m² at 1.5 m and 120 m² at 1 m.",
        // The same in cells that are equally long.
        "| Depth | |\n|--|--|\n| Greatest pond depth with koi | 1.2 m |\n| Greatest pond depth | 1.5 m |\n",
        "It takes 40 W, on 230 V and 50 Hz, with 0.32 A.",
        "It costs less than 10 € a month at 0.30 €/kWh.",
        "The continuous pressure is 24 kPa (3.5 psi).",
        "It gives 40 L/min of air at 20 kPa.",
        "Two membrane diffusers, 20 m of 1/2 in airline for each.",
        "The price is 420 €, with a warranty of 2 years.",
        "40 dB(A) at 1 m.",
    ];
    for body in same {
        assert_eq!(spoken(&page("brook-two", body)), [], "{body}");
    }
}

#[test]
fn what_a_page_says_otherwise_is_told_with_both_places() {
    let otherwise = [
        ("For ponds up to 2.1 m deep.", "2.1 m", "1.5 m"),
        ("It takes 25 W.", "25 W", "40 W"),
        ("It runs on 115 V.", "115 V", "230 V"),
        ("The price is 390 €.", "390 €", "420 EUR"),
        ("It has a warranty of 5 years.", "5 years", "2 year"),
        (
            "It gives 60 L/min of air at 20 kPa.",
            "60 L/min",
            "40 L/min",
        ),
        ("It comes with three membrane diffusers.", "three", "2"),
        ("30 dB(A) at 1 m.", "30 dB(A)", "40 dB(A)"),
    ];
    for (body, figure, catalog) in otherwise {
        let outcome = page("brook-two", body);
        assert_eq!(
            spoken(&outcome),
            [("sheet.contradicts-catalog", figure.to_string())],
            "{body}"
        );
        let finding = of_sheets(&outcome)[0];
        assert!(finding.message.contains(catalog), "{}", finding.message);
        let related = finding.related.first().expect("names the catalog's place");
        assert_eq!(
            outcome.sources.get(related.at.file).name(),
            "shop/catalog.toml"
        );
        assert_eq!(finding.on, "package.brook-two");
    }
}

/// A claim that stands in the page alone is judged by the physics of the package.
#[test]
fn a_promise_of_the_page_alone_is_held_to_the_package() {
    // 40 W day and night in a month of 720 h are 28.8 kWh, 8.64 at 0.30; in one of 730.5 h 8.77 (watts times hours).
    let outcome = page("brook-one", "It costs 3 € a month at 0.30 €/kWh.");
    assert_eq!(
        spoken(&outcome),
        [("sheet.claim", "3 € a month".to_string())]
    );
    assert!(of_sheets(&outcome)[0].message.contains("8.77"));
    let outcome = page("brook-one", "It costs 9 € a month at 0.30 €/kWh.");
    assert_eq!(spoken(&outcome), []);
}

/// A linear machine doesn't push air under 9 m of water, whoever made it: 9 m weigh 88 kPa, and the greatest such
/// machines hold 35 kPa (hydrostatics; the pressure is judgement of the ranges).
#[test]
fn a_page_by_itself_is_judged_at_its_best() {
    let outcome =
        alone("The 60 W linear compressor gives 60 L/min of air at 1 m, for ponds up to 9 m deep.");
    assert_eq!(spoken(&outcome), [("sheet.claim", "9 m".to_string())]);
    let finding = of_sheets(&outcome)
        .into_iter()
        .find(|one| one.rule.name == "sheet.claim")
        .unwrap();
    assert!(
        finding.message.contains("best machine"),
        "{}",
        finding.message
    );
    // A piston machine may.
    let outcome = alone(
        "The 300 W rocking piston compressor gives 60 L/min of air at 1 m, for ponds up to 9 m deep.",
    );
    assert_eq!(spoken(&outcome), []);
    // And where nothing says what it is, it may be one.
    let outcome =
        alone("The 300 W compressor gives 60 L/min of air at 1 m, for ponds up to 9 m deep.");
    assert_eq!(spoken(&outcome), []);
}

/// A sentence that names a figure which isn't known would have a hole in it.
/// A flow that the watts can't keep up is bounded by them at both ends, so that the least is no more than the most.
#[test]
fn the_least_air_of_a_page_is_no_more_than_the_most() {
    let outcome = alone("Gives 300 cfm at 8 ft from 40 W.\n");
    let verdicts = parsed(&outcome)["verdicts"].as_array().unwrap().clone();
    let flow = verdicts
        .iter()
        .find(|verdict| verdict["claim"] == "flow")
        .unwrap();
    assert_eq!(flow["verdict"], "contradicted");
    let (low, high) = (
        flow["low"].as_f64().unwrap(),
        flow["high"].as_f64().unwrap(),
    );
    assert!(low <= high, "{flow}");
    // No machine gives more than its watts compress without loss: V = W / (p ln(1 + h/p)), isothermal, for
    // the water over the diffuser alone (ideal gas law; rho g h of fresh water, 9.79 kPa a metre).
    let (ambient, head) = (101_325.0_f64, 9_790.0 * 8.0 * 0.3048);
    let most = 40.0 / (ambient * nameplate::units::math::ln(1.0 + head / ambient));
    assert!(high <= most, "{high} of {most} m3/s");
}

#[test]
fn no_sentence_about_a_page_has_a_hole() {
    let body = "The 40 W linear compressor gives 100 L/min of air at 1.5 m, with two diffusers, for ponds up to 1.5 m \
                deep and 100 m², and turns them over 5000 times a day.";
    let outcome = alone(body);
    let of = of_sheets(&outcome);
    assert!(
        of.iter().any(|one| one.rule.name == "sheet.claim"),
        "{of:?}"
    );
    for finding in of {
        let hole = [" ,", " .", "  ", ": ,"]
            .iter()
            .any(|hole| finding.message.contains(hole));
        assert!(!hole, "{}", finding.message);
    }
}

/// Watts that can't compress the air, by the least work there is: 200 L/min from 101.3 kPa to 100 kPa more takes at
/// least 0.00333 m3/s x 101 325 Pa x ln 1.987 = 232 W (isothermal work of an ideal gas).
#[test]
fn watts_of_a_page_are_held_to_its_air() {
    let outcome = alone("It gives 200 L/min of air at 100 kPa, on only 150 W.");
    let names: Vec<&str> = spoken(&outcome).iter().map(|one| one.0).collect();
    assert_eq!(names, ["power.impossible"]);
}

#[test]
fn several_packages_on_a_page_are_told_apart() {
    let table = "| | Brook One | Brook Two |\n|---|---|---|\n| Max. depth | 1.2 m | 1.5 m |\n| Diffusers | 1 | 2 |\n";
    let outcome = page("brook-two", table);
    assert_eq!(spoken(&outcome), [], "{table}");
    let rows = "| Model | Max. depth | Diffusers |\n|---|---|---|\n| Brook One | 1.2 m | 1 |\n| Brook Two | 1.5 m | 2 |\n";
    assert_eq!(spoken(&page("brook-two", rows)), [], "{rows}");
    let headings = "## Brook One\n\nFor ponds up to 1.2 m deep.\n\n## Brook Two\n\nFor ponds up to 1.5 m deep.\n";
    assert_eq!(spoken(&page("brook-two", headings)), [], "{headings}");
    let text = "For ponds up to 1.5 m deep. The Brook One is for ponds up to 1.2 m deep.";
    assert_eq!(spoken(&page("brook-two", text)), [], "{text}");
    // The same in the wrong column.
    let swapped = table.replace("1.2 m | 1.5 m", "1.5 m | 1.2 m");
    let outcome = page("brook-two", &swapped);
    let on: Vec<&str> = of_sheets(&outcome)
        .iter()
        .map(|one| one.on.as_str())
        .collect();
    assert_eq!(on, ["package.brook-one", "package.brook-two"]);
    let claims = parsed(&outcome)["claims"].clone();
    let of: Vec<&str> = claims
        .as_array()
        .unwrap()
        .iter()
        .map(|one| one["package"].as_str().unwrap())
        .collect();
    assert_eq!(of, ["brook-one", "brook-two", "brook-one", "brook-two"]);
}

/// Who says what a page is about: the command line, then the catalog, then the page.
#[test]
fn the_nearest_word_binds() {
    let text = |package: &str| {
        format!("+++\npackage = \"{package}\"\n+++\nFor ponds up to 1.2 m deep.{SAFE}")
    };
    let listed = format!("{CATALOG}\n[[sheet]]\nfile = \"page.md\"\npackage = \"brook-one\"\n");
    let run = |catalog: &str, package: &str, option: Option<&str>| {
        let inputs = vec![
            input("shop/catalog.toml", catalog),
            input("shop/page.md", text(package)),
        ];
        let options = Options {
            package: option.map(str::to_string),
            ..Options::default()
        };
        let outcome = engine::audit(inputs, &options);
        outcome.sheets[0].package.clone()
    };
    assert_eq!(
        run(CATALOG, "brook-two", None).as_deref(),
        Some("brook-two")
    );
    assert_eq!(
        run(&listed, "brook-two", None).as_deref(),
        Some("brook-one")
    );
    assert_eq!(
        run(&listed, "brook-one", Some("brook-two")).as_deref(),
        Some("brook-two")
    );
    assert_eq!(run(CATALOG, "lake-nine", None), None);
    let html = r#"<html><head><meta name="package" content="brook-one"></head><body><p>For ponds up to 1.2 m deep.</p></body></html>"#;
    let outcome = audit(vec![
        input("shop/catalog.toml", CATALOG),
        input("shop/page.html", html),
    ]);
    assert_eq!(outcome.sheets[0].package.as_deref(), Some("brook-one"));
}

/// A file that nobody named is a sheet only if it promises something; a document that claims cite is none.
#[test]
fn other_texts_are_left_alone() {
    let notes = "Meeting of 3 May: order 40 discs, call the printer.";
    let outcome = audit(vec![
        input("shop/catalog.toml", CATALOG),
        input("shop/notes.txt", notes),
    ]);
    assert_eq!(outcome.summary.sheets, 0);
    let cited = format!(
        "{CATALOG}\n[evidence.dye]\nfile = \"dye.txt\"\nkind = \"own-test\"\ndate = 2026-05-04\n"
    );
    let test = "The pond was 3 m deep and the machine gave 90 L/min of air.";
    let outcome = audit(vec![
        input("shop/catalog.toml", cited.as_str()),
        input("shop/dye.txt", test),
    ]);
    assert_eq!(outcome.summary.sheets, 0);
    let outcome = audit(vec![
        input("shop/catalog.toml", CATALOG),
        input("shop/dye.txt", test),
    ]);
    assert_eq!(outcome.summary.sheets, 1);
}

/// What is said once anywhere of a package needn't be said on each of its pages.
#[test]
fn cautions_are_looked_for_over_all_pages_of_a_package() {
    let bare = "+++\npackage = \"brook-two\"\n+++\nFor ponds up to 1.5 m deep, in winter too.";
    let manual =
        format!("+++\npackage = \"brook-two\"\n+++\nThe ice near it is thin: keep off.{SAFE}");
    let one = audit(vec![
        input("shop/catalog.toml", CATALOG),
        input("shop/a.md", bare),
    ]);
    let names: Vec<&str> = spoken(&one).iter().map(|one| one.0).collect();
    assert_eq!(names, ["caution.electrical", "caution.ice"]);
    let both = audit(vec![
        input("shop/catalog.toml", CATALOG),
        input("shop/a.md", bare),
        input("shop/b.md", manual),
    ]);
    assert_eq!(spoken(&both), []);
    // A list of prices goes with other papers.
    let prices = "Model;Price;Watts\nBrook Two;420 €;40 W\nBrook One;380 €;40 W\nWeir;510 €;62 W\n";
    let list = audit(vec![
        input("shop/catalog.toml", CATALOG),
        input("shop/prices.csv", prices),
    ]);
    assert!(
        !spoken(&list)
            .iter()
            .any(|one| one.0.starts_with("caution.")),
        "{:?}",
        spoken(&list)
    );
}

#[test]
fn a_waiver_accepts_what_stands_in_a_sheet() {
    let waived = format!(
        "{CATALOG}\n[[waiver]]\nrule = \"sheet.contradicts-catalog\"\non = \"sheet.page.md\"\nreason = \"reprint in autumn\"\n"
    );
    let text = format!("+++\npackage = \"brook-two\"\n+++\nFor ponds up to 2.1 m deep.{SAFE}");
    let outcome = audit(vec![
        input("shop/catalog.toml", waived),
        input("shop/page.md", text),
    ]);
    let finding = of_sheets(&outcome)[0];
    assert_eq!(finding.rule.name, "sheet.contradicts-catalog");
    assert!(finding.waived.is_some());
    assert_eq!(outcome.summary.errors, 0, "{:?}", outcome.findings);
}

fn parsed(outcome: &Outcome) -> Value {
    serde_json::from_str(&json::render(outcome)).unwrap()
}

/// A reviewer finds each figure that was read beside its place and its words, on the page for reviewers too.
#[test]
fn the_page_for_reviewers_lists_what_was_read() {
    let outcome = page("brook-two", "Takes 40 W.\nFor ponds up to 1.5 m deep.\n");
    let report = html::render(&outcome);
    let row = |place: &str, attribute: &str, value: &str, words: &str| {
        format!(
            "<th role=\"rowheader\" scope=\"row\">{place}</th><td role=\"cell\" data-label=\"attribute\">{attribute}</td>\
             <td role=\"cell\" data-label=\"read as\">{value}</td><td role=\"cell\" data-label=\"in the text\">{words}</td>"
        )
    };
    assert!(report.contains("shop/page.md, about brook-two: 2 claims"));
    assert!(report.contains(&row("4:7", "power", "40 W", "40 W")));
    assert!(report.contains(&row("5:17", "depth", "at most 1.5 m", "up to 1.5 m")));
    assert!(report.contains("href=\"#read\""));
    // A run without sheets has no such part.
    let report = html::render(&audit(vec![input("shop/catalog.toml", CATALOG)]));
    assert!(!report.contains("#read"));
}

/// A page with every kind of condition, listing and gap.
pub const EVERYTHING: &str = r#"# Everything

Ponds of up to ¼ acre (1,000 m²). It gives 2.1 CFM at 6 ft and 1.8 cfm at 2 psi, each diffuser takes 0.9 CFM per diffuser.
It is heard with 44 dBA @ 10', costs $5 a month at 15 cents per kWh, 24 hours a day, and 2 x 25 m of 3/8" airline come with it.
The compressor runs at 40 °C; the outlet is 60 °C at 10 psi. Half the power of a fountain. 2 to 3 CFM at 20 °C.

![](figures.png)
"#;

/// The report of that page; the schema's test asks for every key.
pub fn everything() -> Outcome {
    let entry = "[[sheet]]\nfile = \"page.md\"\npackage = \"brook-two\"\ncaptured = 2026-05-02\nurl = \"https://otter-mill.example/\"\n";
    let catalog = format!("{CATALOG}\n{entry}");
    audit(vec![
        input("shop/catalog.toml", catalog),
        input("shop/page.md", EVERYTHING),
    ])
}

/// The report of a file of pages, each word in a box of its own; the schema's test asks for every key.
pub fn paged() -> Outcome {
    let text = "A pond 6 ft (2.4 m) deep, with 2 cfm at 6 ft.";
    let mut words = Vec::new();
    let mut at = 0;
    for word in text.split(' ') {
        let end = at + word.len();
        let (start, x) = (u32::try_from(at).unwrap(), at as f64);
        words.push(Word {
            start,
            end: u32::try_from(end).unwrap(),
            frame: Frame {
                x0: 6.0 * x,
                y0: 700.0,
                x1: 6.0 * end as f64,
                y1: 712.0,
            },
            bold: false,
        });
        at = end + 1;
    }
    let extract = Extract {
        text: text.into(),
        words,
        unread: Vec::new(),
    };
    let options = Options {
        pages: [("page.pdf".to_string(), extract)].into(),
        ..Options::default()
    };
    let file = Input {
        alone: true,
        ..input("page.pdf", "%PDF-1.7")
    };
    engine::audit(vec![file], &options)
}

/// The values that the claims of a page are read as. An acre is 4046.8726 m2 by the US survey foot and 4046.8564 m2
/// by the international one, a foot 0.3048 m, a psi 6894.757 Pa (NIST SP 811, appendix B).
#[test]
fn claims_carry_their_values_in_si() {
    let report = parsed(&everything());
    let claims = report["claims"].as_array().unwrap();
    let find = |attribute: &str, place: usize| {
        let mut own = claims.iter().filter(|one| one["attribute"] == attribute);
        own.nth(place)
            .unwrap_or_else(|| panic!("no {attribute} {place} in {claims:#?}"))
            .clone()
    };
    let near = |value: &Value, wanted: f64| {
        let value = value.as_f64().unwrap_or_else(|| panic!("{value}"));
        assert!((value / wanted - 1.0).abs() < 1e-4, "{value} for {wanted}");
    };
    let area = find("area", 0);
    near(&area["si"]["value"], 1011.714);
    assert_eq!(area["comparator"], "at-most");
    near(&area["also"]["si"]["value"], 1000.0);
    assert_eq!(
        (area["line"].as_u64(), area["package"].as_str()),
        (Some(3), Some("brook-two"))
    );
    let flow = find("flow", 0);
    near(&flow["si"]["value"], 2.1 * 0.028_316_846_592 / 60.0);
    near(&flow["condition"]["depth"]["value"], 6.0 * 0.3048);
    near(
        &find("flow", 1)["condition"]["pressure"]["value"],
        2.0 * 6894.757,
    );
    assert_eq!(find("flow", 2)["condition"]["per"], "diffuser");
    let sound = find("sound", 0);
    near(&sound["si"]["value"], 44.0);
    near(&sound["condition"]["distance"]["value"], 3.048);
    let cost = find("cost", 0);
    near(&cost["si"]["value"], 5.0);
    assert_eq!(
        (cost["currency"].as_str(), cost["per"].as_str()),
        (Some("USD"), Some("month"))
    );
    near(&cost["condition"]["tariff"]["value"], 0.15);
    near(&cost["condition"]["hours_per_day"], 24.0);
    let run = find("airline-length", 0);
    near(&run["si"]["value"], 25.0);
    near(&run["count"], 2.0);
    assert_eq!(find("power", 0)["si"], Value::Null);
    // The copy can be judged again: its hash, and by what it was read.
    let sheet = &report["sheets"][0];
    assert_eq!(sheet["url"], "https://otter-mill.example/");
    assert_eq!(sheet["program"], env!("CARGO_PKG_VERSION"));
    assert!(sheet["hash"].as_str().unwrap().starts_with("sha256:"));
    assert_eq!(sheet["unread"][0]["what"], "picture");
}

/// What one format shows of a page, all show.
#[test]
fn every_format_carries_what_is_found_in_a_page() {
    let outcome = everything();
    let rules: Vec<&str> = of_sheets(&outcome)
        .iter()
        .map(|one| one.rule.name)
        .collect();
    assert!(rules.len() > 4, "{rules:?}");
    let look = terminal::Look {
        width: 100,
        color: false,
        unicode: true,
        detail: terminal::Detail::All,
    };
    let texts = [
        json::render(&outcome),
        sarif::render(&outcome),
        junit::render(&outcome, Some(Level::Note)),
        markdown::render(&outcome, markdown::LIMIT),
        terminal::render(&outcome, look),
        nameplate::report::html::render(&outcome),
    ];
    for rule in rules {
        for (place, text) in texts.iter().enumerate() {
            assert!(text.contains(rule), "format {place} has no {rule}");
        }
    }
    for text in &texts[3..] {
        assert!(
            text.contains("otter-mill.example"),
            "where the copy is from"
        );
    }
}

/// Every beginning of a page is audited; nothing panics, whatever stands at the end.
#[test]
fn every_beginning_of_a_page_is_audited() {
    let catalog = input("shop/catalog.toml", CATALOG);
    let text = format!("+++\npackage = \"brook-two\"\n+++\n{EVERYTHING}");
    for end in (0..=text.len()).step_by(3) {
        let outcome = audit(vec![
            catalog.clone(),
            input("shop/page.md", &text.as_bytes()[..end]),
        ]);
        assert_eq!(outcome.summary.catalogs, 1, "{end} bytes");
    }
}

/// Markup and control characters of a page come out of no report as such.
#[test]
fn a_hostile_page_is_only_text() {
    let text = "# <script>alert(1)</script> \u{1b}[31m\n\nFor any pond, up to 9 m deep\u{1b}]8;;x\u{7}, by \"><img src=x onerror=alert(1)>, with no algae.\n";
    let outcome = audit(vec![Input {
        alone: true,
        ..input("a\u{1b}[2J.md", text)
    }]);
    let html = nameplate::report::html::render(&outcome);
    assert!(!html.contains("<script>alert") && !html.contains("<img src=x"));
    let look = terminal::Look {
        width: 80,
        color: false,
        unicode: true,
        detail: terminal::Detail::All,
    };
    for text in [
        terminal::render(&outcome, look),
        terminal::claims(&outcome, look),
        markdown::render(&outcome, markdown::LIMIT),
    ] {
        assert!(
            !text.contains('\u{1b}') && !text.contains('\u{7}'),
            "{text}"
        );
    }
}

/// A folder of captures alone is a file of pages to audit: none of its sheets needs a package, and each is judged by
/// what it says. 25 ft of water weigh 10.8 psi (0.433 psi a foot).
#[test]
fn a_catalog_of_captures_alone_is_a_file_of_pages() {
    let catalog = "[catalog]\nformat = 1\ntitle = \"Captures\"\n\n[[sheet]]\nfile = \"pages/a.md\"\n\
                   url = \"https://shop.example/a\"\ncaptured = 2026-05-02\n";
    let page = format!("For ponds to 25 ft. Linear pump, maximum pressure 4 psi.{SAFE}");
    let outcome = audit(vec![
        input("cap/catalog.toml", catalog),
        input("cap/pages/a.md", page),
    ]);
    let errors: Vec<&Finding> = outcome
        .findings
        .iter()
        .filter(|one| one.level == Level::Error)
        .collect();
    let rules: Vec<&str> = errors.iter().map(|one| one.rule.name).collect();
    assert_eq!(rules, ["sheet.claim"]);
    assert_eq!(
        outcome.sheets[0].copy.url.as_deref(),
        Some("https://shop.example/a")
    );
}

/// Horsepower is the size of a motor, and no watts from the socket: neither the catalog's watts nor the technology's
/// efficiency from wire to air speak against it.
#[test]
fn horsepower_is_of_the_shaft() {
    for body in [
        "A 1/15 hp machine for ponds up to 1.5 m deep.",
        "Brook Two: 1/15 hp motor, 40 W from the socket.",
    ] {
        let outcome = page("brook-two", body);
        assert_eq!(spoken(&outcome), [], "{body}");
    }
    let alone = |body: &str| {
        let text = format!("{body}{SAFE}");
        let outcome = audit(vec![input("page.md", text)]);
        let powers = spoken(&outcome).into_iter().map(|one| one.0.to_string());
        powers
            .filter(|name| name.starts_with("power."))
            .collect::<Vec<_>>()
    };
    // 4.0 cfm to 40 psi take 305 W without any loss or cooling: 82 % of half a horsepower, and of the socket's watts
    // more than any rocking piston reaches.
    let piston = "Our rocking piston compressor delivers 4.0 cfm at 40 psi";
    assert!(alone(&format!("{piston} with a 1/2 hp motor.")).is_empty());
    assert_eq!(
        alone(&format!("{piston} and draws 373 W.")),
        ["power.implausible"]
    );
    // What no shaft of that size can give stays impossible.
    assert_eq!(
        alone(&format!("{piston} with a 1/8 hp motor.")),
        ["power.impossible"]
    );
}

/// What a page repeats is held to the catalog's promise under the same condition; figures that only touch differ.
#[test]
fn warranties_and_flows_are_compared() {
    let named = |body: &str| {
        let outcome = page("brook-two", body);
        let names = spoken(&outcome).into_iter().map(|one| one.0.to_string());
        names.collect::<Vec<_>>()
    };
    assert_eq!(
        named("Brook Two. Warranty: 3 years."),
        ["sheet.contradicts-catalog"]
    );
    assert!(named("Brook Two. Warranty: 2 years.").is_empty());
    assert!(named("Brook Two. Warranty: 24 months.").is_empty());
    let claimed = CATALOG.replacen(
        "depth = \"1.5 m\"",
        "depth = \"1.5 m\"\nflow = { is = \"40 L/min\", at = \"1.5 m\" }",
        1,
    );
    let against = |body: &str| {
        let text = format!("+++\npackage = \"brook-two\"\n+++\n{body}{SAFE}");
        let outcome = audit(vec![
            input("shop/catalog.toml", claimed.clone()),
            input("shop/page.md", text),
        ]);
        spoken(&outcome)
            .iter()
            .any(|one| one.0 == "sheet.contradicts-catalog")
    };
    // A point of the curve at another pressure says nothing of the air at that depth.
    assert!(against("Brook Two gives 57 L/min at 1.5 m."));
    assert!(!against("Brook Two gives 40 L/min at 1.5 m."));
}

/// A bound is no rounded figure: what costs 1.40 isn't less than 1.
#[test]
fn less_than_so_much_is_read_as_a_bound() {
    let errors = |words: &str| {
        let page =
            format!("A 12 W linear compressor runs 24 hours a day {words} at 16 cents per kWh.\n");
        let outcome = alone(&page);
        let mut findings = outcome.findings.iter();
        findings.any(|one| one.level == nameplate::finding::Level::Error)
    };
    assert!(errors("for less than $1 a month"));
    assert!(!errors("for about $1 a month"));
    assert!(!errors("for less than $1.50 a month"));
}

/// The sound examples replace a range by one that cites a document: a page about a package is judged by it too.
#[test]
fn a_page_is_judged_by_the_ranges_of_its_catalog() {
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
    let output = crate::scratch::run(
        root,
        &[
            "audit",
            "catalog-examples/sound",
            "--as-of",
            "2026-07-01",
            "--format",
            "json",
        ],
    );
    let report: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    let verdicts = report["verdicts"].as_array().unwrap();
    let ranges: Vec<&serde_json::Value> = verdicts
        .iter()
        .filter(|one| one["claim"] == "area" && one["package"] == "mill-pair")
        .filter(|one| one["stated"].as_str().unwrap().starts_with("700 m2"))
        .map(|one| &one["allows"])
        .collect();
    assert!(ranges.len() >= 2 && ranges[0].is_object(), "{ranges:?}");
    assert!(ranges.iter().all(|one| *one == ranges[0]), "{ranges:?}");
}
