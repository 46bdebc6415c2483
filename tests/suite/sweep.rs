//! `sweep`: each point against `duty` and `limits`, and against another calculation; its formats and refusals.

use std::path::Path;
use std::process::{Command, Output};

use serde_json::Value;

use crate::ponds::{package, within};
use crate::published_rows::rows;
use crate::schemas::printed;

fn run(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_nameplate"))
        .args(arguments)
        .current_dir(folder)
        .env("LC_ALL", "C.UTF-8")
        .output()
        .expect("runs")
}

fn text(folder: &Path, arguments: &[&str]) -> String {
    let output = run(folder, arguments);
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert_eq!(output.status.code(), Some(0), "{arguments:?}: {said}");
    String::from_utf8(output.stdout).unwrap()
}

/// The answer as JSON, held to its schema.
fn json(folder: &Path, arguments: &[&str]) -> Value {
    let value = text(folder, &[arguments, &["--format", "json"]].concat());
    let value: Value = serde_json::from_str(&value).unwrap();
    let schema: Value = serde_json::from_str(&printed(arguments[0])).unwrap();
    let validator = jsonschema::validator_for(&schema).unwrap();
    let faults: Vec<String> = validator
        .iter_errors(&value)
        .map(|fault| format!("{}: {fault}", fault.instance_path()))
        .collect();
    assert!(faults.is_empty(), "{}", faults.join("\n"));
    value
}

fn sound() -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("catalog-examples/sound")
}

const MILL: [&str; 3] = ["mill-pair", "--option", "with-airline"];

/// Every figure of every point, to the last digit.
#[test]
fn each_point_is_what_duty_and_limits_say_of_it() {
    let folder = sound();
    let ranges = [
        ("depth", "m", &[("depth", "1.2 to 3.3 m")][..]),
        ("run", "m", &[("run", "5 to 200 m")]),
        ("bore", "m", &[("bore", "6 to 16 mm")]),
        ("altitude", "m", &[("altitude", "0 to 2400 m")]),
        (
            "both",
            "m",
            &[("depth", "1 to 2.5 m"), ("bore", "8 to 13 mm")],
        ),
    ];
    let (mut count, mut dry) = (0, 0);
    for (_, unit, range) in ranges {
        let options: Vec<String> = range
            .iter()
            .flat_map(|(name, value)| [format!("--{name}"), value.to_string()])
            .chain(["--steps".into(), "3".into()])
            .collect();
        let mut arguments = vec!["sweep"];
        arguments.extend(MILL);
        arguments.extend(options.iter().map(String::as_str));
        let sweep = json(&folder, &arguments);
        for point in sweep["points"].as_array().unwrap() {
            let at: Vec<String> = point["at"]
                .as_object()
                .unwrap()
                .iter()
                .flat_map(|(key, value)| {
                    let name = key.trim_end_matches("_m");
                    [
                        format!("--{name}"),
                        format!("{} {unit}", value.as_f64().unwrap()),
                    ]
                })
                .collect();
            let asked = |command: &'static str| {
                let mut arguments = vec![command];
                arguments.extend(MILL);
                arguments.extend(at.iter().map(String::as_str));
                json(&folder, &arguments)
            };
            let (duty, limits) = (asked("duty"), asked("limits"));
            let same = |what: &str, own: &Value, other: &Value| {
                assert_eq!(own, other, "{what} at {at:?}");
            };
            same(
                "pressure",
                &point["manifold_gauge_pa"]["central"],
                &duty["manifold_gauge_pa"],
            );
            for end in ["low", "high"] {
                same(
                    "pressure",
                    &point["manifold_gauge_pa"][end],
                    &duty["manifold_gauge_range_pa"][end],
                );
                same(
                    "air",
                    &point["delivered_m3_per_s"][end],
                    &duty["delivered_range_m3_per_s"][end],
                );
            }
            // One is the machine's, the other what comes out, which rounds apart.
            let air = |value: &Value| value.as_f64().unwrap();
            let (own, drawn) = (
                air(&point["delivered_m3_per_s"]["central"]),
                air(&duty["free_air_m3_per_s"]),
            );
            assert!((own - drawn).abs() <= 1e-12 * drawn, "air at {at:?}");
            same("power", &point["power_w"], &duty["power_w"]);
            same("cost", &point["cost_per_month"], &duty["cost"]["per_month"]);
            same(
                "limit",
                &point["continuous_limit_pa"],
                &duty["continuous_limit_pa"],
            );
            for end in ["low", "central", "high"] {
                same("deepest", &point["deepest_m"][end], &limits["depth_m"][end]);
            }
            // Where the depth isn't reached `limits` tells of the deepest, and a point of none.
            let depth = limits["area_m2"]["at_depth_m"].as_f64();
            let laid = duty["branches"][0]["depth_m"].as_f64();
            if depth == laid && !point["area_m2"]["central"].is_null() {
                for end in ["low", "central", "high"] {
                    same("area", &point["area_m2"][end], &limits["area_m2"][end]);
                }
                same(
                    "rated",
                    &point["rated_area_m2"],
                    &limits["area_m2"]["rated"],
                );
            } else {
                dry += 1;
            }
            // The grade is that of the depth's limits.
            let limit = |end: &str| limits["depth_m"][end].as_f64().unwrap();
            let verdict = match laid.unwrap() {
                depth if depth <= limit("low") => "supported",
                depth if depth > limit("high") => "contradicted",
                _ => "undecided",
            };
            assert_eq!(point["verdict"], verdict, "{at:?}");
            assert_eq!(
                point["within_rating"],
                laid.unwrap() <= limit("central"),
                "{at:?}"
            );
            count += 1;
        }
    }
    assert!(
        count >= 20 && (2..count / 2).contains(&dry),
        "{dry} of {count}"
    );
}

/// Diffusers and hours, which `duty` has no option for, against catalogs that state them.
#[test]
fn diffusers_and_hours_are_those_of_a_catalog_that_has_them() {
    let folder = tempfile::tempdir().unwrap();
    let stated = |count: u32, hours: f64| {
        let text = package("piston", count, 0.0127, 30.0);
        let more = format!(
            "[site]\ntariff = \"0.2 EUR/kWh\"\nhours_per_day = {hours}\n[package.it.claim]\ndepth = \"2.6 m\"\n"
        );
        let path = folder.path().join("catalog.toml");
        std::fs::write(path, text + &more).unwrap();
    };
    stated(2, 24.0);
    let swept = json(
        folder.path(),
        &[
            "sweep",
            "it",
            "--diffusers",
            "1 to 5",
            "--hours",
            "6 to 24",
            "--steps",
            "4",
        ],
    );
    let points = swept["points"].as_array().unwrap();
    assert_eq!(
        (points.len(), &swept["sold_with_diffusers"]),
        (20, &2.into())
    );
    for point in points {
        let number = |key: &str| point["at"][key].as_f64().unwrap();
        stated(number("diffusers") as u32, number("hours_per_day"));
        let duty = json(folder.path(), &["duty", "it"]);
        let limits = json(folder.path(), &["limits", "it"]);
        assert_eq!(
            point["manifold_gauge_pa"]["central"],
            duty["manifold_gauge_pa"]
        );
        assert_eq!(point["cost_per_month"], duty["cost"]["per_month"]);
        assert_eq!(point["deepest_m"]["high"], limits["depth_m"]["high"]);
        assert_eq!(point["rated_area_m2"], limits["area_m2"]["rated"]);
    }
}

/// `tests/published/sweep.csv`, which `sweep.py` beside it makes with other libraries. Tolerances are those of the ponds:
/// the duty point 0.5 %, as the real air of CoolProp isn't ideal; an area 2 %, as the program's plume is a fit.
#[test]
fn sweeps_run_as_another_calculation_runs_them() {
    let all = rows("sweep.csv");
    let folder = tempfile::tempdir().unwrap();
    let (mut count, mut failing) = (0, 0);
    let alike = |row: &crate::published_rows::Row| {
        let base = [
            "machine",
            "diffusers",
            "bore_m",
            "run_m",
            "depth_m",
            "variable",
        ];
        base.map(|key| row.text(key).to_string())
    };
    for rows in all.chunk_by(|a, b| alike(a) == alike(b)) {
        let first = &rows[0];
        let number = |key: &str| first.number(key).unwrap();
        let catalog = package(
            first.text("machine"),
            number("diffusers") as u32,
            number("bore_m"),
            number("run_m"),
        );
        let site = format!(
            "[site]\nwater = \"{} K\"\naltitude = \"{} m\"\nhours_per_day = {}\ntariff = \"0.31 EUR/kWh\"\n\
             [package.it.claim]\ndepth = \"{} m\"\n",
            number("water_k"),
            number("altitude_m"),
            number("hours"),
            number("depth_m")
        );
        std::fs::write(folder.path().join("catalog.toml"), catalog + &site).unwrap();
        for row in rows {
            let (variable, value) = (row.text("variable"), row.number("value").unwrap());
            // A range from the value on, so that its first point is the value itself.
            let (name, range) = match variable {
                "diffusers" => ("diffusers", format!("{value} to {}", value + 1.0)),
                "hours" => ("hours", format!("{} to {value}", value - 1.0)),
                key => (
                    key.trim_end_matches("_m"),
                    format!("{value:.6} to {:.6} m", value * 1.02 + 0.001),
                ),
            };
            let option = format!("--{name}");
            let sweep = json(
                folder.path(),
                &["sweep", "it", &option, &range, "--steps", "2"],
            );
            let place = if variable == "hours" { 1 } else { 0 };
            let point = &sweep["points"][place];
            let at = point["at"].as_object().unwrap().values().next().unwrap();
            assert!((at.as_f64().unwrap() - value).abs() < 1e-6, "{at} {value}");
            let of = |key: &str| row.number(key).unwrap();
            let what = format!("{variable} of {value} for a {}", row.text("machine"));
            let pressure = point["manifold_gauge_pa"]["central"].as_f64();
            within(
                &what,
                pressure,
                of("manifold_low_pa"),
                of("manifold_high_pa"),
                0.005,
            );
            let each = point["least_fed_m3_per_s"]["central"].as_f64();
            within(
                &what,
                each,
                of("air_low_m3_per_s"),
                of("air_high_m3_per_s"),
                0.005,
            );
            let cost = of("cost_a_month");
            within(&what, point["cost_per_month"].as_f64(), cost, cost, 1e-6);
            let serves = point["within_rating"].as_bool().unwrap();
            match row.text("serves") {
                "yes" => assert!(serves, "{what}"),
                "no" => assert!(!serves, "{what}"),
                _ => {}
            }
            if let Some(area) = point["rated_area_m2"].as_f64() {
                let (low, high) = (of("rated_area_low_m2"), of("rated_area_high_m2"));
                within(&what, Some(area), low, high, 0.02);
            } else {
                assert!(!serves, "{what}");
            }
            count += 1;
            failing += usize::from(!serves);
        }
    }
    assert!(
        count > 100 && (10..count / 2).contains(&failing),
        "{failing} of {count}"
    );
}

#[test]
fn every_format_has_every_point() {
    let folder = sound();
    let arguments = [
        &["sweep"][..],
        &MILL,
        &["--depth", "1 to 3 m", "--run", "10 to 100 m"],
    ]
    .concat();
    let value = json(&folder, &arguments);
    let points = value["points"].as_array().unwrap();
    assert_eq!(points.len(), 49);
    let csv = text(&folder, &[&arguments[..], &["--format", "csv"]].concat());
    let mut lines = csv.lines();
    let heads: Vec<&str> = lines.next().unwrap().split(',').collect();
    let place = heads
        .iter()
        .position(|head| *head == "delivered_m3_per_s_central")
        .unwrap();
    for (line, point) in lines.by_ref().zip(points) {
        let cells: Vec<&str> = line.split(',').collect();
        assert_eq!(cells.len(), heads.len());
        let air = point["delivered_m3_per_s"]["central"].as_f64().unwrap();
        assert!((cells[place].parse::<f64>().unwrap() / air - 1.0).abs() < 1e-8);
        let depth: f64 = cells[0].parse().unwrap();
        assert!((depth - point["at"]["depth_m"].as_f64().unwrap()).abs() < 1e-9);
    }
    assert!(lines.next().is_none());
    let shown = text(&folder, &arguments);
    assert!(
        shown.contains("within rating") && shown.contains("10 m"),
        "{shown}"
    );
}

/// An SVG file stands by itself: well-formed, told in words, without a script or an address to load from.
#[test]
fn a_picture_is_a_file_of_its_own() {
    let folder = sound();
    for (range, figure) in [
        (&["--depth", "1 to 4 m"][..], "pressure"),
        (&["--depth", "1 to 4 m"], "area"),
        (&["--hours", "2 to 24"], "cost"),
        (
            &["--depth", "1 to 3 m", "--run", "10 to 100 m"],
            "least-fed",
        ),
        (
            &[
                "--depth",
                "1 to 3 m",
                "--altitude",
                "0 to 2000 m",
                "--steps",
                "40",
            ],
            "air",
        ),
    ] {
        let more = ["--figure", figure, "--format", "svg"];
        let svg = text(&folder, &[&["sweep"][..], &MILL, range, &more].concat());
        let mut reader = quick_xml::Reader::from_str(&svg);
        let mut elements = Vec::new();
        loop {
            match reader.read_event().unwrap() {
                quick_xml::events::Event::Start(start) => {
                    elements.push(start.name().as_ref().to_string());
                }
                quick_xml::events::Event::Eof => break,
                _ => {}
            }
        }
        assert_eq!(elements[0], "svg");
        assert!(
            !elements
                .iter()
                .any(|one| one == "script" || one == "image" || one == "a")
        );
        assert!(elements.iter().any(|one| one == "desc"), "{figure}");
        assert!(!svg.contains("NaN") && !svg.contains("inf"), "{figure}");
        assert_eq!(
            svg.matches("http").count(),
            1,
            "only the name of the format"
        );
    }
}

#[test]
fn what_a_catalog_says_is_text_in_a_picture() {
    let folder = tempfile::tempdir().unwrap();
    let catalog = package("linear", 1, 0.0127, 20.0).replace("\"with-line\"", "\"<script>x\"");
    let path = folder.path().join("catalog.toml");
    std::fs::write(path, catalog).unwrap();
    let output = run(
        folder.path(),
        &["sweep", "it", "--depth", "1 to 2 m", "--format", "svg"],
    );
    assert!(
        !String::from_utf8(output.stdout)
            .unwrap()
            .contains("<script")
    );
}

#[test]
fn what_cannot_be_swept_is_refused_in_a_sentence() {
    let folder = sound();
    for (more, says) in [
        (&[][..], "as ranges, such as --depth \"1 to 4 m\", not 0"),
        (
            &["--depth", "1 m"],
            "as ranges, such as --depth \"1 to 4 m\", not 0",
        ),
        (
            &[
                "--depth",
                "1 to 2 m",
                "--run",
                "1 to 9 m",
                "--bore",
                "8 to 13 mm",
            ],
            "as ranges, such as --depth \"1 to 4 m\", not 3",
        ),
        (&["--depth", "3 to 1 m"], "perhaps \"1 to 3 m\""),
        (&["--depth", "1 to 2"], "with its unit"),
        (&["--depth=-2 to 2 m"], "more than nothing"),
        (&["--depth", "1 to 2 m", "--steps", "1"], "2 to 101"),
        (
            &["--depth", "1 to 2 m", "--run", "1 to 9 m", "--steps", "90"],
            "--steps 50",
        ),
        (&["--diffusers", "0 to 3"], "within 1 to 200"),
        (&["--diffusers", "1.5 to 3"], "whole numbers"),
        (&["--diffusers", "some"], "write a number"),
        (&["--hours", "20 to 30"], "within 0 to 24"),
    ] {
        let output = run(&folder, &[&["sweep"][..], &MILL, more].concat());
        let said = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(2), "{more:?}: {said}");
        assert!(
            output.stdout.is_empty() && said.lines().count() == 1,
            "{said}"
        );
        assert!(said.contains(says), "{more:?}: {said}");
    }
    // Runs that differ can't be counted again.
    let output = run(
        &folder,
        &[
            "sweep",
            "weir-two-depths",
            "--option",
            "complete",
            "--diffusers",
            "1 to 3",
        ],
    );
    let said = String::from_utf8(output.stderr).unwrap();
    assert!(said.contains("runs differ"), "{said}");
}
