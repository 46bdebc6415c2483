//! A run held against an earlier SARIF report: what is new, unchanged, changed in level, gone.

use nameplate::engine::{self, Options, Outcome};
use nameplate::finding::{Level, State};
use nameplate::report::{json, sarif};
use serde_json::Value;

use super::reports::{check, parsed, sarif_schema};
use crate::scratch;

const HEAD: &str =
    "[catalog]\nformat = 1\ntitle = \"Otter Mill Water\"\n[site]\ntariff = \"0.21 USD/kWh\"\n";
const PARTS: &str = "[diffuser.disc]\nflow = \"10 to 60 L/min\"\ncheck_valve = true\n[airline.half]\nsize = \"1/2 in\"\n[compressor.one]\ntechnology = \"linear-diaphragm\"\nvoltage = \"230 V\"\nfrequency = \"50 Hz\"\npower = { is = \"44 W\", at = \"14 kPa\" }\nmax_pressure = \"24 kPa\"\ninlet_filter = true\ncurve = [{ pressure = \"0 kPa\", flow = \"74 L/min\" }, { pressure = \"22 kPa\", flow = \"35 L/min\" }, { pressure = \"33 kPa\", flow = \"0 L/min\" }]\n";

fn package(id: &str, claims: &str) -> String {
    format!(
        "[package.{id}]\ncompressor = \"one\"\ndiffuser = \"disc\"\nabove_water = true\n[package.{id}.claim]\n{claims}\n[[package.{id}.option]]\nid = \"with-airline\"\nairline = {{ part = \"half\", length = \"20 m\" }}\n"
    )
}

fn audit(files: &[(&str, String)], baseline: Option<engine::Baseline>) -> Outcome {
    let inputs = files
        .iter()
        .map(|(path, text)| scratch::input(*path, text.clone()));
    let options = Options {
        as_of: Some("2026-05-02".into()),
        baseline,
        ..Options::default()
    };
    engine::audit(inputs.collect(), &options)
}

fn earlier() -> Outcome {
    let packages = [
        package("weir", "depth = \"3 m\"\nrunning_cost = \"4.00 USD/month\""),
        package("mill", "depth = \"2.9 m\""),
    ];
    audit(
        &[
            ("otter/catalog.toml", format!("{HEAD}{PARTS}")),
            ("otter/packages.toml", packages.concat()),
        ],
        None,
    )
}

/// The later state: the cost is mended, a new promise is bad, a level is lowered, lines and files moved.
pub fn compared() -> Outcome {
    let baseline = sarif::read_baseline(&sarif::render(&earlier())).unwrap();
    let weir = package("weir", "depth = \"3 m\"\nrunning_cost = \"9.00 USD/month\"");
    let mill = package("mill", "depth = \"2.9 m\"\npower = \"20 W\"");
    audit(
        &[
            ("otter/a-mill.toml", format!("# moved\n\n\n{mill}")),
            (
                "otter/catalog.toml",
                format!("# a line more\n{HEAD}{PARTS}[level]\nkit = \"note\"\n"),
            ),
            ("otter/z-weir.toml", weir),
        ],
        Some(baseline),
    )
}

fn told(outcome: &Outcome, state: State) -> Vec<(&str, &str)> {
    let findings = outcome.findings.iter();
    findings
        .filter(|finding| finding.state == Some(state))
        .map(|finding| (finding.rule.name, finding.on.as_str()))
        .collect()
}

#[test]
fn what_an_earlier_report_held_is_known_again_though_lines_and_files_moved() {
    let outcome = compared();
    assert_eq!(
        told(&outcome, State::New),
        [("claim.power", "package.mill")]
    );
    let unchanged = told(&outcome, State::Unchanged);
    assert!(
        unchanged.contains(&("duty.start-up", "package.weir")),
        "{unchanged:?}"
    );
    assert!(
        unchanged.contains(&("claim.depth", "package.mill")),
        "{unchanged:?}"
    );
    let gone: Vec<&str> = outcome
        .gone
        .iter()
        .flatten()
        .map(|one| one.rule.as_str())
        .collect();
    assert_eq!(gone, ["claim.running-cost"]);
    let one = &outcome.gone.as_ref().unwrap()[0];
    assert_eq!(one.file.as_deref(), Some("otter/packages.toml"));
    assert!(one.line.is_some() && !one.message.is_empty());
    assert_eq!(
        outcome
            .findings
            .iter()
            .filter(|f| f.state.is_none())
            .count(),
        0
    );
}

#[test]
fn the_order_of_files_and_lines_is_no_change_at_all() {
    let before = earlier();
    let baseline = sarif::read_baseline(&sarif::render(&before)).unwrap();
    let packages = [
        package("mill", "depth = \"2.9 m\""),
        "\n\n# between\n".to_string(),
        package("weir", "running_cost = \"4.00 USD/month\"\ndepth = \"3 m\""),
    ];
    let after = audit(
        &[
            ("otter/b.toml", packages.concat()),
            ("otter/a.toml", PARTS.to_string()),
            ("otter/catalog.toml", HEAD.to_string()),
        ],
        Some(baseline),
    );
    let same = |finding: &nameplate::finding::Finding| finding.state == Some(State::Unchanged);
    assert!(
        after.findings.iter().all(same),
        "{:?}",
        told(&after, State::New)
    );
    assert_eq!(after.findings.len(), before.findings.len());
    assert!(after.gone.as_ref().is_some_and(Vec::is_empty));
}

#[test]
fn only_what_is_new_or_graver_fails() {
    let before = earlier();
    assert!(before.fails(Level::Error));
    let report = sarif::render(&before);
    let again = |report: &str| {
        let baseline = sarif::read_baseline(report).unwrap();
        let packages = [
            package("weir", "depth = \"3 m\"\nrunning_cost = \"4.00 USD/month\""),
            package("mill", "depth = \"2.9 m\""),
        ];
        let files = [
            ("otter/catalog.toml", format!("{HEAD}{PARTS}")),
            ("otter/packages.toml", packages.concat()),
        ];
        audit(&files, Some(baseline))
    };
    assert!(!again(&report).fails(Level::Note));
    // One that was a warning then is an error now.
    let mut log = parsed(&report);
    let results = log["runs"][0]["results"].as_array_mut().unwrap();
    let error = results
        .iter_mut()
        .find(|one| one["level"] == "error")
        .unwrap();
    error["level"] = "warning".into();
    let milder = log.to_string();
    let outcome = again(&milder);
    assert!(outcome.fails(Level::Error));
    assert_eq!(told(&outcome, State::Graver).len(), 1);
    // One that a waiver accepted then speaks now.
    let mut log = parsed(&report);
    log["runs"][0]["results"][0]["suppressions"] = serde_json::json!([{ "kind": "inSource" }]);
    let outcome = again(&log.to_string());
    assert_eq!(told(&outcome, State::Graver).len(), 1);
}

#[test]
fn a_compared_report_is_valid_and_tells_every_state() {
    let outcome = compared();
    let log = parsed(&sarif::render(&outcome));
    check(&sarif_schema(), &log);
    let results = log["runs"][0]["results"].as_array().unwrap();
    let count = |state: &str| {
        results
            .iter()
            .filter(|one| one["baselineState"] == state)
            .count()
    };
    assert_eq!(
        count("new") + count("unchanged") + count("updated") + count("absent"),
        results.len()
    );
    assert_eq!(count("absent"), 1);
    assert_eq!(count("new"), told(&outcome, State::New).len());
    let report = parsed(&json::render(&outcome));
    check(&parsed(json::SCHEMA), &report);
    assert_eq!(report["gone"][0]["rule"], "claim.running-cost");
    // What is gone isn't carried on for ever.
    let next = sarif::read_baseline(&log.to_string()).unwrap();
    assert_eq!(next.findings.len(), outcome.findings.len());
}

#[test]
fn what_is_no_report_of_ours_is_refused() {
    for (text, why) in [
        ("", "JSON"),
        ("{}", "SARIF"),
        ("{\"version\":\"2.1.0\",\"runs\":[]}", "nameplate"),
        ("{\"version\":\"2.0.0\",\"runs\":[]}", "SARIF"),
        (
            "{\"version\":\"2.1.0\",\"runs\":[{\"tool\":{\"driver\":{\"name\":\"another\"}}}]}",
            "nameplate",
        ),
    ] {
        let error = sarif::read_baseline(text).unwrap_err();
        assert!(error.contains(why), "{error}");
    }
    // Whatever else it holds is passed over.
    let known = serde_json::json!({"placeRuleSubjectText/v2": "x", "ruleSubjectText/v2": "0f"});
    let older = serde_json::json!({"ruleSubjectText/v1": "x"});
    let with = |result: Value| {
        let runs = serde_json::json!([{"tool": {"driver": {"name": "nameplate"}}, "results": [1, {}, {"ruleId": 3}, result]}]);
        sarif::read_baseline(&serde_json::json!({"version": "2.1.0", "runs": runs}).to_string())
    };
    let one = serde_json::json!({"ruleId": "a", "partialFingerprints": known, "properties": {"catalog": "c"}});
    assert_eq!(with(one).unwrap().findings.len(), 1);
    // One whose fingerprints mean something else would make all of them new.
    let error = with(serde_json::json!({"ruleId": "a", "partialFingerprints": older})).unwrap_err();
    assert!(error.contains("write it anew"), "{error}");
}

fn of(folder: &str, claims: &str) -> Vec<(String, String)> {
    vec![
        (format!("{folder}/catalog.toml"), format!("{HEAD}{PARTS}")),
        (format!("{folder}/packages.toml"), package("weir", claims)),
    ]
}

fn news(before: &[Vec<(String, String)>], after: &[Vec<(String, String)>]) -> Vec<String> {
    let run = |files: &[Vec<(String, String)>], baseline| {
        let files = files.iter().flatten();
        let files: Vec<(&str, String)> = files
            .map(|(path, text)| (path.as_str(), text.clone()))
            .collect();
        audit(&files, baseline)
    };
    let baseline = sarif::read_baseline(&sarif::render(&run(before, None))).unwrap();
    let outcome = run(after, Some(baseline));
    let news = outcome
        .findings
        .iter()
        .filter(|one| one.level == Level::Error && one.counts());
    news.map(|one| format!("{} {}", one.identity.catalog, one.rule.name))
        .collect()
}

/// What was mended in one place hides nothing that was broken in another; what moved, or is written otherwise, is
/// nothing new.
#[test]
fn a_finding_is_known_by_its_place() {
    let (good, bad) = ("depth = \"1 m\"", "depth = \"2.9 m\"");
    let swapped = news(
        &[of("a", bad), of("b", good)],
        &[of("a", good), of("b", bad)],
    );
    assert_eq!(swapped, ["b claim.depth"]);
    assert!(news(&[of("a", bad)], &[of("moved", bad)]).is_empty());
    assert!(news(&[of("a", bad)], &[of("a", "depth = '2.90 m'")]).is_empty());
    assert!(news(&[of("a", bad)], &[of("a", "depth = \"290 cm\"")]).is_empty());
    assert_eq!(
        news(&[of("a", bad)], &[of("a", "depth = \"2.95 m\"")]),
        ["a claim.depth"]
    );
    // A string that can't be read, mended in one file and made in another.
    let broken = "[spare.kit]\nnotes = \"oops\n".to_string();
    let sound = "[spare.kit]\nnotes = \"oops\"\n".to_string();
    let with = |one: &String, two: &String| {
        let mut files = of("a", good);
        files.push(("a/one.toml".into(), one.clone()));
        files.push(("a/two.toml".into(), two.replace("kit", "set")));
        files
    };
    let other = news(&[with(&broken, &sound)], &[with(&sound, &broken)]);
    assert!(other.iter().any(|one| one.contains("syntax.")), "{other:?}");
    let mut moved = with(&broken, &sound);
    moved[2].0 = "a/zz.toml".into();
    assert!(news(&[with(&broken, &sound)], &[moved]).is_empty());
}
