//! `duty`, `limits` and `gauge` as they are called: what they answer, what they refuse, and their formats.

use std::path::Path;
use std::process::{Command, Output};

use serde_json::Value;
use tempfile::TempDir;

use crate::made;
use crate::schemas::printed;

/// A catalog with one package on two runs, whose figures are invented.
const PARTS: &str = r#"
[catalog]
format = 1
title = "Otter Mill Water"

[site]
altitude = "0 m"
air = "20 degC"
water = "15 degC"
tariff = "0.16 USD/kWh"

[compressor.linear-66]
technology = "linear-diaphragm"
voltage = "120 V"
frequency = "60 Hz"
power = "66 W"
open_flow = "5.6 cfm"
max_pressure = "5.2 psi"
sound = { is = "47 dB(A)", at = "2 m" }
curve = [
  { pressure = "0 psi", flow = "5.6 cfm" },
  { pressure = "8.2 psi", flow = "0 cfm" },
]

[diffuser.disc-9]
flow = "0.4 to 2.5 cfm"
loss = [
  { flow = "0 cfm", pressure = "0.30 psi" },
  { flow = "5 cfm", pressure = "0.50 psi" },
]
bubble = "fine"

[airline.poly-half]
size = "1/2 in"
bore = "1/2 in"

[manifold.two-way]
outlets = 2
valve = "ball"

[package.mill-pair]
compressor = "linear-66"
diffuser = { part = "disc-9", count = 2 }
manifold = "two-way"

[package.mill-pair.claim]
depth = "5 ft"

[[package.mill-pair.option]]
id = "with-airline"
airline = { part = "poly-half", length = "80 ft", count = 2 }
"#;

fn catalog(text: &str) -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("catalog.toml"), text).unwrap();
    folder
}

fn run_in(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_nameplate"))
        .args(arguments)
        .current_dir(folder)
        .env_remove("COLUMNS")
        .env_remove("NO_COLOR")
        .env("LC_ALL", "C.UTF-8")
        .output()
        .expect("runs")
}

/// The answer as JSON, held to its schema.
fn json(folder: &Path, arguments: &[&str]) -> Value {
    let arguments = [arguments, &["--format", "json"]].concat();
    let output = run_in(folder, &arguments);
    let said = String::from_utf8(output.stderr.clone()).unwrap();
    assert_eq!(output.status.code(), Some(0), "{arguments:?}: {said}");
    let value: Value = serde_json::from_slice(&output.stdout).unwrap();
    let schema: Value = serde_json::from_str(&printed(arguments[0])).unwrap();
    let validator = jsonschema::validator_for(&schema).unwrap();
    let faults: Vec<String> = validator
        .iter_errors(&value)
        .map(|fault| format!("{}: {fault}", fault.instance_path()))
        .collect();
    assert!(faults.is_empty(), "{}", faults.join("\n"));
    value
}

fn terminal(folder: &Path, arguments: &[&str]) -> String {
    let output = run_in(folder, arguments);
    assert_eq!(output.status.code(), Some(0), "{arguments:?}");
    String::from_utf8(output.stdout).unwrap()
}

/// The sentence of a refusal: status 2, nothing on standard output.
fn refused(folder: &Path, arguments: &[&str]) -> String {
    let output = run_in(folder, arguments);
    let sentence = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(2), "{arguments:?}: {sentence}");
    assert!(output.stdout.is_empty());
    assert_eq!(sentence.lines().count(), 1, "{sentence}");
    sentence
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap()
}

#[test]
fn the_committed_schemas_are_the_printed_ones_and_are_of_2020_12() {
    for name in ["duty", "limits", "gauge", "sweep", "pond-answer"] {
        let printed = printed(name);
        let committed = made::committed(&format!("schemas/{name}.schema.json"));
        assert_eq!(committed, printed, "{name}");
        let schema: Value = serde_json::from_str(&printed).unwrap();
        assert!(jsonschema::draft202012::meta::validate(&schema).is_ok());
    }
}

/// Each part of the budget by hand: the machine's straight line, the head of 6 ft, the diffuser's straight
/// line, and the line's loss scaled from the table of losses for each 100 ft.
#[test]
fn a_duty_point_is_what_its_parts_come_to_by_hand() {
    let folder = catalog(PARTS);
    let answer = json(folder.path(), &["duty", "mill-pair"]);
    let psi = 6894.757;
    // By hand, at the answer's own flow: the machine's straight line gives the flow at the pressure.
    let pressure = number(&answer["manifold_gauge_pa"]) / psi;
    let flow = number(&answer["free_air_m3_per_s"]) / 4.719_474e-4;
    assert!((flow - 5.6 * (1.0 - pressure / 8.2)).abs() < 1e-6);
    // Water 0.43314 psi/ft at 15 degC, diffuser 0.30 + 0.04 psi/cfm, line as solved for 2 scfm of 20 degC in 1/2
    // in: 0.3481 psi for 100 ft, growing as q^1.75.
    let each = flow / 2.0;
    let branch = &answer["branches"][0];
    let head = number(&branch["water_head_pa"]) / psi;
    assert!((head - 5.0 * 0.43314).abs() < 2e-4, "{head}");
    let diffuser = number(&branch["diffuser_loss_pa"]) / psi;
    assert!((diffuser - (0.30 + 0.04 * each)).abs() < 1e-3, "{diffuser}");
    let line = number(&branch["line_loss_pa"]) / psi;
    // Air at 15 degC loses 0.979 of that, and what lies behind the line raises the pressure in it.
    let mean = (14.696 + 2.599 + 0.174) / (14.696 + head + diffuser + line / 2.0);
    let grows = nameplate::units::math::powf(each / 2.0, 1.75);
    // Free air at 15 degC and 60 % holds 1.01 % of vapour, and loses as its dry share does.
    let moist = nameplate::units::math::powf(0.9899, 1.75);
    let scaled = 0.3481 * 0.80 * grows * 0.979 * mean * moist;
    assert!((line / scaled - 1.0).abs() < 0.005, "{line} {scaled}");
    assert!((head + diffuser + line - pressure).abs() < 1e-6);
    assert_eq!(answer["power_w"], 66.0);
    assert_eq!(answer["dead_headed"], false);
}

/// One entry for each diffuser, and the four losses of each sum to the manifold's pressure.
#[test]
fn every_budget_sums_to_the_manifold_in_every_package_of_the_sound_catalog() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let cases = [
        ("mill-single", Some("with-airline")),
        ("mill-single", Some("own-airline")),
        ("mill-pair", Some("with-airline")),
        ("mill-pair", Some("long-bank")),
        ("weir-two-depths", None),
        ("mill-quad", None),
        ("sluice-deep", None),
        ("lock-vane", None),
    ];
    for (package, option) in cases {
        let mut arguments = vec!["duty", package, "--catalog", "catalog-examples/sound"];
        if let Some(option) = option {
            arguments.extend(["--option", option]);
        }
        let answer = json(root, &arguments);
        let manifold = number(&answer["manifold_gauge_pa"]);
        let branches = answer["branches"].as_array().unwrap();
        assert!(!branches.is_empty());
        let mut air = 0.0;
        for branch in branches {
            let sum: f64 = [
                "water_head_pa",
                "trunk_loss_pa",
                "line_loss_pa",
                "fitting_loss_pa",
                "diffuser_loss_pa",
            ]
            .iter()
            .map(|key| number(&branch[*key]))
            .sum();
            let short = number(&branch["short_by_pa"]);
            assert!(
                (sum - short - manifold).abs() < 1e-3 * manifold,
                "{package}"
            );
            air += number(&branch["free_air_m3_per_s"]);
        }
        let drawn = number(&answer["free_air_m3_per_s"]) - number(&answer["bled_m3_per_s"]);
        assert!((air / drawn - 1.0).abs() < 1e-6, "{package}: {air} {drawn}");
    }
}

#[test]
fn a_machine_that_is_too_weak_is_dead_headed_and_that_is_an_answer() {
    let folder = catalog(PARTS);
    let answer = json(folder.path(), &["duty", "mill-pair", "--depth", "20 ft"]);
    assert_eq!(answer["dead_headed"], true);
    assert_eq!(answer["free_air_m3_per_s"], 0.0);
    assert_eq!(answer["branches"].as_array().unwrap().len(), 2);
    assert_eq!(answer["branches"][0]["free_air_m3_per_s"], 0.0);
    assert_eq!(answer["branches"][0]["reynolds"], 0.0);
    let manifold = number(&answer["manifold_gauge_pa"]);
    assert!((manifold / (8.2 * 6894.757) - 1.0).abs() < 1e-6);
    let page = terminal(folder.path(), &["duty", "mill-pair", "--depth", "20 ft"]);
    assert!(page.contains("dead-headed"));
}

#[test]
fn what_an_answer_needs_and_does_not_find_is_named() {
    let without = |from: &str, to: &str| {
        let text = PARTS.replace(from, to);
        assert_ne!(text, PARTS);
        catalog(&text)
    };
    let curve = &PARTS[PARTS.find("curve = [").unwrap()..PARTS.find("[diffuser").unwrap()];
    let folder = without(curve, "");
    let sentence = refused(folder.path(), &["duty", "mill-pair"]);
    assert!(
        sentence.contains("`curve`") && sentence.contains("5.6 cfm"),
        "{sentence}"
    );

    // A curve that ends below what is needed.
    let folder = without("8.2 psi\", flow = \"0 cfm", "2 psi\", flow = \"3.5 cfm");
    let sentence = refused(folder.path(), &["duty", "mill-pair"]);
    assert!(sentence.contains("ends at 2 psi"), "{sentence}");

    let folder = catalog(PARTS);
    let sentence = refused(folder.path(), &["duty", "mill-pear"]);
    assert!(sentence.contains("mill-pair"), "{sentence}");
    let sentence = refused(folder.path(), &["duty", "mill-pair", "--option", "x"]);
    assert!(sentence.contains("with-airline"), "{sentence}");

    let folder = without("depth = \"5 ft\"", "");
    let sentence = refused(folder.path(), &["duty", "mill-pair"]);
    assert!(sentence.contains("--depth"), "{sentence}");
    json(folder.path(), &["duty", "mill-pair", "--depth", "1.5 m"]);

    let folder = without("diffuser = { part = \"disc-9\", count = 2 }\n", "");
    let sentence = refused(folder.path(), &["duty", "mill-pair"]);
    assert!(sentence.contains("`diffuser`"), "{sentence}");
}

/// A plate with two numbers and no curve is judged by bounds: a machine of that plate with any curve that bows
/// outwards lies between them.
#[test]
fn the_bounds_of_a_plate_hold_every_machine_of_that_plate() {
    let start = PARTS.find("curve = [").unwrap();
    let end = PARTS.find("[diffuser").unwrap();
    let verdict = |curve: &str| {
        let text = format!("{}{curve}\n{}", &PARTS[..start], &PARTS[end..]);
        let text = text.replace("power = \"66 W\"", "power = \"90 W\"");
        let folder = catalog(&text.replace(
            "depth = \"5 ft\"",
            "depth = \"5 ft\"\nflow = { is = \"3.2 cfm\", at = \"5 ft\" }",
        ));
        let output = run_in(folder.path(), &["audit", ".", "--format", "json"]);
        let report: Value = serde_json::from_slice(&output.stdout).unwrap();
        let verdicts = report["verdicts"].as_array().unwrap().clone();
        verdicts
            .into_iter()
            .find(|one| one["claim"] == "flow")
            .unwrap()
    };
    let bounded = verdict("");
    assert_eq!(bounded["verdict"], "undecided");
    assert!(
        bounded["central"].is_null(),
        "a flow was made up: {bounded}"
    );
    let (low, high) = (number(&bounded["low"]), number(&bounded["high"]));
    assert!(low > 0.0 && low < high);
    // Curves from 5.6 cfm that end between the greatest continuous pressure and twice it, from straight to very
    // full; watts allow them.
    for end in [5.3, 6.0, 7.5] {
        for bow in [1.0, 1.5, 2.0, 3.0] {
            let points: Vec<String> = (0..=12)
                .map(|place| {
                    let share = f64::from(place) / 12.0;
                    let flow = 5.6 * (1.0 - nameplate::units::math::powf(share, bow));
                    format!(
                        "{{ pressure = \"{:.4} psi\", flow = \"{flow:.5} cfm\" }}",
                        end * share
                    )
                })
                .collect();
            let known = verdict(&format!("curve = [ {} ]", points.join(", ")));
            assert!(number(&known["low"]) >= low * 0.999, "{end} {bow}: {known}");
            assert!(
                number(&known["high"]) <= high * 1.001,
                "{end} {bow}: {known}"
            );
        }
    }
}

/// Water heavier than the greatest continuous pressure refutes a depth without any curve.
#[test]
fn a_plate_refutes_a_depth_by_its_pressure_alone() {
    let start = PARTS.find("curve = [").unwrap();
    let end = PARTS.find("[diffuser").unwrap();
    let text = format!("{}\n{}", &PARTS[..start], &PARTS[end..]);
    let outcome = |depth: &str| {
        let text = text.replace("power = \"66 W\"", "power = \"90 W\"");
        let folder = catalog(&text.replace("depth = \"5 ft\"", &format!("depth = \"{depth}\"")));
        let output = run_in(folder.path(), &["audit", ".", "--format", "json"]);
        let report: Value = serde_json::from_slice(&output.stdout).unwrap();
        report["verdicts"][0].clone()
    };
    // 5.2 psi are 12 ft of water.
    assert_eq!(outcome("13 ft")["verdict"], "contradicted");
    let open = outcome("10 ft");
    assert_eq!(open["verdict"], "undecided");
    assert!(
        open["missing"]
            .to_string()
            .contains("curve of compressor linear-66")
    );
}

#[test]
fn quantities_are_read_as_in_a_catalog() {
    let folder = catalog(PARTS);
    let run = |depth: &str| json(folder.path(), &["duty", "mill-pair", "--depth", depth]);
    let feet = run("4 ft");
    assert_eq!(feet, run("4'"));
    assert!((number(&feet["branches"][0]["depth_m"]) - 1.2192).abs() < 1e-9);
    for (text, says) in [
        ("5", "with its unit"),
        ("5 psi", "a length"),
        ("1 to 2 m", "not a range"),
        ("-2 m", "more than nothing"),
        ("", "a length"),
    ] {
        let argument = format!("--depth={text}");
        let sentence = refused(folder.path(), &["duty", "mill-pair", &argument]);
        assert!(sentence.contains(says), "{text}: {sentence}");
    }
}

/// Of what the buyer may fit, the smallest size that may be laid so far; without a run the first at its length.
#[test]
fn the_buyers_airline_follows_the_run_that_is_asked_for() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let laid = |more: &[&str]| {
        let about = [
            "duty",
            "mill-single",
            "--option",
            "own-airline",
            "--catalog",
            "catalog-examples/sound",
        ];
        let answer = json(root, &[&about[..], more].concat());
        let branch = &answer["branches"][0];
        let millimetres = (number(&branch["bore_m"]) * 1000.0).round();
        (number(&branch["run_m"]).round(), millimetres)
    };
    assert_eq!(laid(&[]), (20.0, 10.0));
    assert_eq!(laid(&["--run", "12 m"]), (12.0, 10.0));
    assert_eq!(laid(&["--run", "21 m"]), (21.0, 13.0));
    assert_eq!(laid(&["--run", "90 m"]), (90.0, 13.0));
    assert_eq!(laid(&["--run", "21 m", "--bore", "16 mm"]), (21.0, 16.0));
}

/// Faults of other entries, and of keys that a duty point doesn't need, don't stop it.
#[test]
fn other_faults_of_the_catalog_do_not_stop_an_answer() {
    let sound = catalog(PARTS);
    let faulty = catalog(&format!(
        "{PARTS}\n[package.other]\ncompressor = \"gone\"\ndifuser = 3\n\n[compressor.odd]\npower = \"much\"\n"
    ));
    let arguments = ["duty", "mill-pair"];
    assert_eq!(
        json(sound.path(), &arguments),
        json(faulty.path(), &arguments)
    );
}

#[test]
fn power_and_efficiency_are_null_without_a_power() {
    let folder = catalog(&PARTS.replace("power = \"66 W\"\n", ""));
    let answer = json(folder.path(), &["duty", "mill-pair"]);
    assert!(answer["power_w"].is_null() && answer["wire_to_air"].is_null());
    assert!(answer["cost"].is_null());
}

#[test]
fn every_equation_of_an_explained_answer_has_its_figures_and_its_source() {
    let folder = catalog(PARTS);
    let answer = json(folder.path(), &["duty", "mill-pair", "--explain"]);
    let steps = answer["equations"].as_array().unwrap();
    let of = |name: &str| {
        let mut steps = steps.iter();
        steps
            .find(|step| step["equation"] == name)
            .unwrap_or_else(|| panic!("no {name}"))
    };
    assert_eq!(
        of("duty point")["gives"]["value"],
        answer["manifold_gauge_pa"]
    );
    assert_eq!(
        of("wire-to-air efficiency")["gives"]["value"],
        answer["wire_to_air"]
    );
    assert!(steps.len() > 8);
    for step in steps {
        assert!(!step["source"].as_str().unwrap().is_empty());
        assert!(!step["formula"].as_str().unwrap().is_empty());
    }
    let page = terminal(folder.path(), &["duty", "mill-pair", "--explain"]);
    for step in steps {
        assert!(page.contains(step["equation"].as_str().unwrap()));
    }
}

/// Discs with depths of their own keep them: a pond is as large to `limits` as to the audit of the claim.
#[test]
fn limits_lay_discs_as_the_audit_does() {
    let text = PARTS.replace(
        "diffuser = { part = \"disc-9\", count = 2 }",
        "diffuser = [ { part = \"disc-9\", depth = \"5 ft\" }, { part = \"disc-9\", depth = \"4 ft\" } ]",
    );
    let text = text.replace(
        "depth = \"5 ft\"\n",
        "depth = \"5 ft\"\narea = \"0.2 acre\"\n",
    );
    let folder = catalog(&text);
    let limits = json(folder.path(), &["limits", "mill-pair"]);
    let audit = run_in(folder.path(), &["audit", ".", "--format", "json"]);
    let audit: Value = serde_json::from_slice(&audit.stdout).unwrap();
    let verdicts = audit["verdicts"].as_array().unwrap();
    let area = verdicts.iter().find(|one| one["claim"] == "area").unwrap();
    assert_eq!(limits["area_m2"]["rated"], area["rated"]);
    assert_eq!(limits["area_m2"]["low"], area["allows"]["low"]);
    assert_eq!(limits["area_m2"]["high"], area["allows"]["high"]);
}

#[test]
fn limits_are_ordered_and_a_package_within_them_runs() {
    let folder = catalog(PARTS);
    let answer = json(folder.path(), &["limits", "mill-pair"]);
    let ordered = |limit: &Value| {
        let [low, central, high] = ["low", "central", "high"].map(|key| number(&limit[key]));
        assert!(low <= central && central <= high, "{limit}");
    };
    ordered(&answer["depth_m"]);
    ordered(&answer["area_m2"]);
    for run in answer["run_m"].as_array().unwrap() {
        ordered(run);
    }
    assert!(answer["run_m"].as_array().unwrap().len() >= 6);
    // At the central limit the pressure is what the machine may run at.
    let deepest = format!("{} m", number(&answer["depth_m"]["central"]));
    let duty = json(folder.path(), &["duty", "mill-pair", "--depth", &deepest]);
    let pressure = number(&duty["manifold_gauge_pa"]) / (5.2 * 6894.757);
    assert!(pressure <= 1.0 && pressure > 0.999, "{pressure}");
    assert_eq!(answer["depth_m"]["binds"], "pressure");
    // The pond of the largest area is stirred as far as the central reach goes.
    let water = &answer["water"];
    assert_eq!(water["area_m2"], answer["area_m2"]["central"]);
    if answer["area_m2"]["binds"] == "reach" {
        // Central: five depths, 0.83 of the circles, and two diffusers half way from 0.820 of a bowl's depth to all
        // of it; as rated: all of the circles, all at the greatest depth.
        let rated = 5.0 * 0.83f64.sqrt() * f64::midpoint(0.820, 1.0);
        let needed = number(&water["reach_per_depth_needed"]);
        assert!((needed - rated).abs() < 2e-3, "{needed} {rated}");
    }
    let turnovers = number(&water["turnovers_per_day"]["central"]);
    let lifted = number(&water["lifted_m3_per_s"]["central"]) * 86_400.0;
    assert!((turnovers / (lifted / number(&water["volume_m3"])) - 1.0).abs() < 1e-9);
    // Explained limits and readings carry the equations of the duty point; and without asking they don't.
    for command in ["limits", "gauge"] {
        let explained = json(folder.path(), &[command, "mill-pair", "--explain"]);
        let steps = explained["equations"].as_array().unwrap();
        assert!(
            steps.iter().any(|step| step["equation"] == "duty point"),
            "{command}"
        );
        assert!(
            json(folder.path(), &[command, "mill-pair"])
                .get("equations")
                .is_none()
        );
    }
}

#[test]
fn a_gauge_that_reads_as_expected_fits_a_sound_installation() {
    let folder = catalog(PARTS);
    let expected = json(folder.path(), &["gauge", "mill-pair"]);
    assert!(expected["reads_pa"].is_null() && expected["fits_expected"].is_null());
    let central = number(&expected["expected_pa"]["central"]);
    let duty = json(folder.path(), &["duty", "mill-pair"]);
    assert_eq!(central, number(&duty["manifold_gauge_pa"]));
    let reads = format!("{central} Pa");
    let answer = json(folder.path(), &["gauge", "mill-pair", "--reads", &reads]);
    assert_eq!(answer["fits_expected"], true);
}

/// What a fault does to a gauge is calculated by the program's other command, and the fault is among those
/// that fit.
#[test]
fn a_reading_of_a_fault_fits_that_fault() {
    let folder = catalog(PARTS);
    let names = |answer: &Value| -> Vec<String> {
        let fits = answer["fits"].as_array().unwrap().iter();
        fits.map(|one| one["fault"].as_str().unwrap().to_string())
            .collect()
    };
    // Half a metre deeper than the 5 ft that are stated.
    let deeper = json(folder.path(), &["gauge", "mill-pair", "--depth", "2.024 m"]);
    let pascals = |value: &Value| format!("{} Pa", number(value));
    let reads = pascals(&deeper["expected_pa"]["central"]);
    let shut = pascals(&deeper["expected_one_shut_pa"]["central"]);
    let arguments = ["gauge", "mill-pair", "--reads", &reads];
    let one = json(folder.path(), &arguments);
    assert_eq!(one["fits_expected"], false);
    assert!(names(&one).contains(&"diffusers lie deeper than stated".to_string()));
    // Less air at the machine lowers the gauge, so it can't be that.
    assert!(!names(&one).contains(&"worn compressor".to_string()));
    // Water in a sag takes the same as depth: no reading tells them apart, and the answer says so.
    let deep = one["fits"].as_array().unwrap().iter();
    let deep = deep
        .clone()
        .find(|fit| fit["fault"] == "diffusers lie deeper than stated")
        .unwrap();
    assert!(deep["alike"].to_string().contains("water in a sag"));
    assert!(
        deep["told_apart_by"]
            .as_str()
            .unwrap()
            .contains("and so do")
    );
    // The second reading leaves no more than the first, and its own fault among them.
    let two = json(
        folder.path(),
        &[&arguments[..], &["--one-shut", &shut]].concat(),
    );
    let (first, second) = (names(&one), names(&two));
    assert!(
        second.iter().all(|name| first.contains(name)),
        "{first:?} {second:?}"
    );
    assert!(second.contains(&"diffusers lie deeper than stated".to_string()));
    for fit in two["fits"].as_array().unwrap() {
        let range = &fit["one_shut_pa"];
        let given = number(&deeper["expected_one_shut_pa"]["central"]);
        assert!(number(&range["low"]) <= 1.01 * given && number(&range["high"]) >= 0.99 * given);
    }
}

#[test]
fn a_shut_line_reads_like_one_valve_shut() {
    let folder = catalog(PARTS);
    let expected = json(folder.path(), &["gauge", "mill-pair"]);
    let faults = expected["fits"].as_array().unwrap();
    let shut = faults
        .iter()
        .find(|one| one["fault"] == "one line shut or blocked")
        .unwrap();
    assert_eq!(shut["reads_pa"], expected["expected_one_shut_pa"]);
    // Each fault moves the gauge the way it must.
    let central = |name: &str| {
        let fault = faults.iter().find(|one| one["fault"] == name).unwrap();
        number(&fault["reads_pa"]["central"])
    };
    let sound = number(&expected["expected_pa"]["central"]);
    for name in [
        "all diffusers fouled",
        "one diffuser fouled",
        "line of the next smaller bore",
    ] {
        assert!(central(name) > sound, "{name}");
    }
    for name in [
        "worn compressor",
        "intake filter clogged",
        "leak before the diffusers",
        "diffusers lie shallower than stated",
        "line of the next larger bore",
    ] {
        assert!(central(name) < sound, "{name}");
    }
}

/// Below the weight of the water over the diffusers none of them can bubble: the fault lies before them.
#[test]
fn a_gauge_below_the_weight_of_the_water_means_that_the_air_is_lost() {
    let folder = catalog(PARTS);
    // 5 ft of water weigh 2.16 psi (0.433 psi a foot, as handbooks print).
    let answer = json(folder.path(), &["gauge", "mill-pair", "--reads", "0.5 psi"]);
    let faults = answer["fits"].as_array().unwrap();
    let named: Vec<&str> = faults
        .iter()
        .filter_map(|one| one["fault"].as_str())
        .collect();
    assert_eq!(
        named,
        ["hose off or split, relief valve open, or compressor stopped"]
    );
    let above = json(folder.path(), &["gauge", "mill-pair", "--reads", "2.4 psi"]);
    let faults = above["fits"].as_array().unwrap();
    assert!(faults.iter().all(|one| one["fault"] != named[0]), "{above}");
}

/// Through a package without air nothing can be told by its gauge, and limits of nothing say what to change.
#[test]
fn what_gets_no_air_is_told_so() {
    let deep = PARTS.replace("depth = \"5 ft\"", "depth = \"25 ft\"");
    let folder = catalog(&deep);
    let says = refused(folder.path(), &["gauge", "mill-pair"]);
    assert!(says.contains("no air comes through"), "{says}");
    let weak = PARTS.replace("flow = \"0.4 to 2.5 cfm\"", "flow = \"4 to 9 cfm\"");
    let folder = catalog(&weak);
    let says = terminal(folder.path(), &["limits", "mill-pair"]);
    assert!(
        says.contains("No depth is reached, because a diffuser"),
        "{says}"
    );
}
