//! The logic around the formulas: what a promise is read as, what refutes it, what may speak in its place.
//!
//! Each test holds one rule of judging, on invented packages, and failed before the rule was there.

use crate::scratch;
use nameplate::claims::{Claim, Outcome as Word, Verdict};
use nameplate::engine::{Options, Outcome, audit};
use nameplate::finding::{Finding, Level};

/// A sound catalog whose parts each test takes, with `{…}` marks for what it changes.
const PARTS: &str = r#"[catalog]
format = 1
title = "Otter Mill Water"
[site]
water = "15 degC"
tariff = "0.20 USD/kWh"
[compressor.linear]
technology = "linear-diaphragm"
voltage = "230 V"
frequency = "50 Hz"
power = "44 W"
max_pressure = "24 kPa"
curve = [
  { pressure = "0 kPa", flow = "74 L/min" },
  { pressure = "14 kPa", flow = "51 L/min" },
  { pressure = "22 kPa", flow = "35 L/min" },
  { pressure = "33 kPa", flow = "0 L/min" },
]
sound = { is = "40 dB(A)", at = "1 m" }
inlet_filter = true
[compressor.plate]
technology = "rocking-piston"
voltage = "115 V"
frequency = "60 Hz"
power = "120 W"
open_flow = "3 cfm"
max_pressure = "15 psi"
inlet_filter = true
[diffuser.disc]
flow = "8 to 45 L/min"
loss = [ { flow = "10 L/min", pressure = "2.0 kPa" }, { flow = "45 L/min", pressure = "3.0 kPa" } ]
check_valve = true
[airline.half]
bore = "12.7 mm"
[airline.small]
size = "3/8 in"
[manifold.two]
outlets = 2
valve = "ball"
"#;

fn run(text: &str) -> Outcome {
    let input = scratch::alone("mill.toml", text.as_bytes().to_vec());
    audit(vec![input], &Options::default())
}

/// A package of one linear compressor with two discs and half-inch line, with `claims` and what else is given.
fn package(claims: &str) -> String {
    format!(
        "{PARTS}[package.kit]\ncompressor = \"linear\"\ndiffuser = {{ part = \"disc\", count = 2 }}\nmanifold = \"two\"\n\
         {claims}\n[[package.kit.option]]\nid = \"with-airline\"\nairline = {{ part = \"half\", length = \"20 m\", count = 2 }}\n"
    )
}

fn verdict(outcome: &Outcome, claim: Claim) -> &Verdict {
    let mut all = outcome.verdicts.iter();
    all.find(|one| one.claim == claim)
        .unwrap_or_else(|| panic!("no verdict on {claim:?}"))
}

fn of(text: &str, claim: Claim) -> Verdict {
    verdict(&run(text), claim).clone()
}

/// Whether an error stands at the promise of a verdict.
fn is_heard(outcome: &Outcome, verdict: &Verdict) -> bool {
    let errors = |one: &&Finding| one.level == Level::Error;
    let mut errors = outcome.findings.iter().filter(errors);
    errors.any(|one| one.at == verdict.at)
}

// ── 1. Every contradicted promise is heard ────────────────────────────────────

/// Forty-four watts typed as kilowatts explain a depth that can't be, and lower nothing.
#[test]
fn a_slip_of_units_explains_an_error_and_never_lowers_it() {
    let text = package("claim.depth = \"60 ft\"");
    let outcome = run(&text);
    let depth = verdict(&outcome, Claim::Depth);
    assert_eq!(depth.outcome, Word::Contradicted);
    assert!(is_heard(&outcome, depth));
    let kilowatts = text.replace("power = \"44 W\"", "power = \"44 kW\"");
    let outcome = run(&kilowatts);
    assert!(is_heard(&outcome, verdict(&outcome, Claim::Depth)));
    let cost = package("claim.running_cost = \"9 USD/month\"").replace("\"44 W\"", "\"44 kW\"");
    let outcome = run(&cost);
    let cost = verdict(&outcome, Claim::RunningCost);
    assert_eq!(cost.outcome, Word::Contradicted);
    assert!(is_heard(&outcome, cost));
    // The slip is the likeliest cause, named beside it.
    let slip = outcome
        .findings
        .iter()
        .find(|one| one.rule.name == "unit.slip");
    if let Some(slip) = slip {
        let beside = outcome
            .findings
            .iter()
            .filter(|one| one.level == Level::Error);
        assert!(
            beside
                .flat_map(|one| &one.related)
                .any(|related| related.at == slip.at)
        );
    }
}

/// Watts too few for the air are hardly horsepower if no machine of that many would be so weak.
#[test]
fn a_slip_to_horsepower_is_one_that_a_machine_could_have() {
    let guessed = |power: &str| {
        let text = package("claim.depth = \"4 ft\"");
        let outcome = run(&text.replace(
            "power = \"44 W\"",
            &format!("power = {{ is = \"{power}\", at = \"14 kPa\" }}"),
        ));
        let slips = outcome
            .findings
            .iter()
            .filter(|one| one.rule.name == "unit.slip");
        slips.map(|one| one.message.clone()).collect::<Vec<_>>()
    };
    assert_eq!(guessed("4.4 W"), Vec::<String>::new());
    let told = guessed("0.06 W");
    assert!(told.iter().any(|one| one.contains("0.06 hp")), "{told:?}");
}

/// Over every example, generated catalog and sheet of the tests: what is contradicted has an error at its place,
/// or a waiver that accepts it there.
#[test]
fn whatever_is_contradicted_is_an_error_where_it_stands() {
    let mut outcomes = crate::catalog_examples::outcomes();
    let honest = |seed: u64| crate::generated::honest::catalog(seed).text();
    // Ten times every depth and area of honest catalogs: promises that mostly can't be kept.
    for seed in 0..40 {
        let text = honest(seed);
        outcomes.push(run(&text));
        let bold: Vec<String> = text
            .lines()
            .map(|line| {
                match line.trim_start().starts_with("depth = \"") || line.starts_with("area = \"") {
                    true => line.replacen("= \"", "= \"9", 1),
                    false => line.to_string(),
                }
            })
            .collect();
        outcomes.push(run(&bold.join("\n")));
    }
    for path in crate::sheet_corpus::sheets() {
        let input = scratch::alone(
            path.file_name().unwrap().to_string_lossy().into_owned(),
            std::fs::read(&path).unwrap(),
        );
        outcomes.push(audit(vec![input], &Options::default()));
    }
    let (mut contradicted, mut silent) = (0, Vec::new());
    for outcome in &outcomes {
        let refuted = |one: &&Verdict| one.outcome == Word::Contradicted;
        for verdict in outcome.verdicts.iter().filter(refuted) {
            contradicted += 1;
            let errors = |one: &&Finding| one.level == Level::Error || one.waived.is_some();
            let mut errors = outcome.findings.iter().filter(errors);
            if !errors.any(|one| one.at == verdict.at) {
                let file = outcome.sources.get(verdict.at.file).name();
                silent.push(format!(
                    "{file}: {:?} {} of {}",
                    verdict.claim, verdict.stated, verdict.package
                ));
            }
        }
    }
    assert!(contradicted > 60, "{contradicted}");
    assert!(
        silent.is_empty(),
        "{} of {contradicted}: {silent:#?}",
        silent.len()
    );
}

/// A disc that starves makes the depth impossible: the depth is told, and the branch is beside it.
#[test]
fn a_starved_branch_is_told_at_the_depth() {
    let text = package("claim.depth = \"1.5 m\"").replace("8 to 45 L/min", "70 to 120 L/min");
    let outcome = run(&text);
    let depth = verdict(&outcome, Claim::Depth);
    assert_eq!(depth.outcome, Word::Contradicted);
    assert!(is_heard(&outcome, depth));
    let told = outcome
        .findings
        .iter()
        .find(|one| one.rule.name == "claim.depth")
        .unwrap();
    assert!(!told.related.is_empty());
    assert!(
        !outcome
            .findings
            .iter()
            .any(|one| one.rule.name == "duty.starved")
    );
}

// ── 2. The last digit ─────────────────────────────────────────────────────────

/// What lies within half a digit beyond the most that is possible isn't refuted: a depth, a cost, a flow.
#[test]
fn a_figure_is_read_with_its_last_digit_in_its_favour() {
    let (_, most) = of(&package("claim.depth = \"1.5 m\""), Claim::Depth)
        .range
        .unwrap();
    let depth = |metres: f64, digits: usize| {
        of(
            &package(&format!("claim.depth = \"{metres:.digits$} m\"")),
            Claim::Depth,
        )
    };
    // Written to the tenth, up to half a tenth beyond the limit passes; to the millimetre it doesn't.
    let tenth = (most * 10.0).floor() / 10.0 + 0.1;
    if tenth - 0.05 < most {
        assert_ne!(
            depth(tenth, 1).outcome,
            Word::Contradicted,
            "{tenth} {most}"
        );
        assert!(depth(tenth, 1).read_as.is_some());
    } else {
        assert_eq!(
            depth(tenth, 1).outcome,
            Word::Contradicted,
            "{tenth} {most}"
        );
    }
    assert_eq!(depth(most + 0.04, 3).outcome, Word::Contradicted);
    assert_ne!(depth(most - 0.002, 3).outcome, Word::Contradicted);
    // 44 W all day for 30 days at 0.20 cost 6.336.
    let cost = |text: &str| {
        of(
            &package(&format!("claim.running_cost = \"{text}/month\"")),
            Claim::RunningCost,
        )
    };
    assert_eq!(cost("6.33 USD").outcome, Word::Contradicted);
    assert_eq!(cost("6.3 USD").outcome, Word::Supported, "read as 6.35");
    assert_eq!(
        cost("6.34 USD").outcome,
        Word::Supported,
        "a month of 30 days"
    );
    assert_eq!(cost("7 USD").outcome, Word::Supported);
}

/// A month is no range: nothing is undecided by it.
#[test]
fn a_month_makes_nothing_undecided() {
    for cents in 600..700 {
        let text = package(&format!(
            "claim.running_cost = \"{}.{:02} USD/month\"",
            cents / 100,
            cents % 100
        ));
        let outcome = of(&text, Claim::RunningCost).outcome;
        assert!(
            matches!(outcome, Word::Supported | Word::Contradicted),
            "{cents}"
        );
    }
}

// ── 3. The absurd ─────────────────────────────────────────────────────────────

#[test]
fn an_absurd_area_is_refuted_with_a_curve_and_with_a_plate_alone() {
    let one = |compressor: &str, count: u32, depth: &str, area: &str| {
        format!(
            "{PARTS}[package.kit]\ncompressor = \"{compressor}\"\ndiffuser = {{ part = \"disc\", count = {count} }}\n\
             manifold = \"two\"\nclaim.depth = \"{depth}\"\nclaim.area = \"{area}\"\n[[package.kit.option]]\n\
             id = \"with-airline\"\nairline = {{ part = \"half\", length = \"20 m\", count = {count} }}\n"
        )
    };
    for (compressor, count, depth, area) in [
        ("plate", 2, "8 ft", "6000 acre"),
        ("plate", 2, "3 ft", "10 acre"),
        ("plate", 1, "4 ft", "1.16 acre"),
        ("linear", 2, "1.5 m", "6000 acre"),
        ("linear", 2, "3 ft", "10 acre"),
        ("linear", 1, "4 ft", "1.16 acre"),
        // Where the plume's equation ends, in very shallow water, the absurd stays absurd.
        ("linear", 1, "0.5 m", "1 acre"),
    ] {
        let outcome = run(&one(compressor, count, depth, area));
        let area_verdict = verdict(&outcome, Claim::Area);
        assert_eq!(
            area_verdict.outcome,
            Word::Contradicted,
            "{area} at {depth} on {compressor}"
        );
        assert!(is_heard(&outcome, area_verdict));
    }
    // What the trade makes passes: an eighth of an acre a disc at 6 ft.
    let honest = run(&one("linear", 2, "6 ft", "0.25 acre"));
    assert_ne!(verdict(&honest, Claim::Area).outcome, Word::Contradicted);
    assert!(!is_heard(&honest, verdict(&honest, Claim::Area)));
}

/// What is shown as possible is where the verdict changes.
#[test]
fn what_is_possible_agrees_with_the_verdict() {
    let area = |square_metres: f64| {
        of(
            &package(&format!(
                "claim.depth = \"1.5 m\"\nclaim.area = \"{square_metres:.3} m2\""
            )),
            Claim::Area,
        )
    };
    let (low, high) = area(300.0).range.unwrap();
    for (at, word) in [
        (low * 0.99, Word::Supported),
        (low * 1.01, Word::Undecided),
        (high * 0.99, Word::Undecided),
        (high * 1.01, Word::Contradicted),
    ] {
        assert_eq!(area(at).outcome, word, "{at} in {low}..{high}");
    }
}

// ── 4. Bounds that need no machine ────────────────────────────────────────────

#[test]
fn what_no_machine_could_do_is_refuted_without_one() {
    // The airline isn't there, so nothing can be solved.
    let open = |claims: &str| {
        package(claims).replace("airline = { part = \"half\"", "airline = { part = \"gone\"")
    };
    for (claims, claim) in [
        ("claim.depth = \"9 m\"", Claim::Depth),
        (
            "claim.flow = { is = \"900 L/min\", at = \"1 m\" }",
            Claim::Flow,
        ),
        (
            "claim.depth = \"1.5 m\"\nclaim.oxygen = \"300 lb/d\"",
            Claim::Oxygen,
        ),
        (
            "claim.depth = \"1.5 m\"\nclaim.area = \"75 acre\"",
            Claim::Area,
        ),
        (
            "claim.depth = \"1.5 m\"\nclaim.area = \"500 m2\"\nclaim.volume = \"900 m3\"",
            Claim::Volume,
        ),
    ] {
        let outcome = run(&open(claims));
        assert_eq!(
            verdict(&outcome, claim).outcome,
            Word::Contradicted,
            "{claims}"
        );
        assert!(is_heard(&outcome, verdict(&outcome, claim)), "{claims}");
    }
    // Half of it leaves everything open.
    for (claims, claim) in [
        ("claim.depth = \"1.5 m\"", Claim::Depth),
        (
            "claim.flow = { is = \"60 L/min\", at = \"1 m\" }",
            Claim::Flow,
        ),
        (
            "claim.depth = \"1.5 m\"\nclaim.oxygen = \"0.02 kg/h\"",
            Claim::Oxygen,
        ),
        (
            "claim.depth = \"1.5 m\"\nclaim.area = \"400 m2\"",
            Claim::Area,
        ),
    ] {
        assert_eq!(
            of(&open(claims), claim).outcome,
            Word::NotEvaluated,
            "{claims}"
        );
    }
}

#[test]
fn a_level_below_any_compressors_and_watts_below_the_least_work_are_refuted() {
    let silent = |level: &str| {
        let claims = format!("claim.sound = {{ is = \"{level}\", at = \"1 m\" }}");
        package(&claims).replace("sound = { is = \"40 dB(A)\", at = \"1 m\" }\n", "")
    };
    assert_eq!(
        of(&silent("3 dB(A)"), Claim::Sound).outcome,
        Word::Contradicted
    );
    assert_eq!(
        of(&silent("35 dB(A)"), Claim::Sound).outcome,
        Word::NotEvaluated
    );
    let watts = |watts: &str| {
        let claims = format!(
            "claim.power = \"{watts}\"\nclaim.flow = {{ is = \"60 L/min\", at = \"20 kPa\" }}\nclaim.depth = \"1.5 m\""
        );
        package(&claims).replace("power = \"44 W\"\nmax", "max")
    };
    // 60 L/min to 20 kPa take 18.3 W at the least: p V ln(1 + 20/101.3).
    assert_eq!(of(&watts("15 W"), Claim::Power).outcome, Word::Contradicted);
    assert_eq!(of(&watts("40 W"), Claim::Power).outcome, Word::NotEvaluated);
}

// ── 5. Options ────────────────────────────────────────────────────────────────

/// The best option speaks; one that comes with its airline and can't keep the promise is heard all the same.
#[test]
fn an_option_that_fails_is_heard_though_another_holds() {
    let text = format!(
        "{}[[package.kit.option]]\nid = \"thin\"\nairline = {{ part = \"thin\", length = \"60 m\", count = 2 }}\n\
         [airline.thin]\nbore = \"5 mm\"\n",
        package("claim.depth = \"1.5 m\"")
    );
    let outcome = run(&text);
    let depth = verdict(&outcome, Claim::Depth);
    assert_ne!(depth.outcome, Word::Contradicted);
    let words: Vec<(&str, Word)> = depth
        .ways
        .iter()
        .map(|one| (one.way.as_str(), one.outcome))
        .collect();
    assert!(words.contains(&("thin", Word::Contradicted)), "{words:?}");
    let errors = outcome
        .findings
        .iter()
        .filter(|one| one.level == Level::Error);
    assert!(
        errors
            .clone()
            .any(|one| one.on == "package.kit.option.thin"),
        "{:?}",
        outcome.findings
    );
}

// ── 6. One basis ──────────────────────────────────────────────────────────────

/// At the rated area each diffuser needs to stir just what is rated: seven depths.
#[test]
fn what_is_rated_and_what_is_needed_are_of_one_basis() {
    let at = |area: f64| {
        let text = package(&format!(
            "claim.depth = \"1.5 m\"\nclaim.area = \"{area:.4} m2\""
        ));
        of(&text, Claim::Area)
    };
    let rated = at(300.0).rated.unwrap();
    let verdict = at(rated);
    let needed = verdict.evidence.iter().find_map(|one| match one.value {
        nameplate::finding::Value::Number(value, _)
            if one.name == nameplate::claims::area::REACH_NEEDED =>
        {
            Some(value)
        }
        _ => None,
    });
    assert!((needed.unwrap() - 7.0).abs() < 1e-3, "{needed:?}");
}

// ── 7. Hours ──────────────────────────────────────────────────────────────────

#[test]
fn eight_hours_a_day_give_a_third_of_what_a_day_gives() {
    let claims = "claim.depth = \"2.6 m\"\nclaim.area = \"400 m2\"\nclaim.turnover = \"1 /day\"\nclaim.oxygen = \"0.4 kg/d\"";
    let machine =
        |text: String| text.replace("max_pressure = \"24 kPa\"", "max_pressure = \"32 kPa\"");
    let whole = run(&machine(package(claims)));
    let third = run(&machine(package(&format!("hours_per_day = 8\n{claims}"))));
    for claim in [Claim::Turnover, Claim::Oxygen] {
        let (all, some) = (
            verdict(&whole, claim).range.unwrap(),
            verdict(&third, claim).range.unwrap(),
        );
        assert!((some.1 / all.1 - 1.0 / 3.0).abs() < 1e-9, "{claim:?}");
    }
    // A rate for an hour is one while it runs.
    let hourly = claims.replace("0.4 kg/d", "0.02 kg/h");
    let (all, some) = (
        of(&machine(package(&hourly)), Claim::Oxygen).range,
        of(
            &machine(package(&format!("hours_per_day = 8\n{hourly}"))),
            Claim::Oxygen,
        )
        .range,
    );
    assert_eq!(all, some);
    // The air that keeps a layered pond mixed is a day's.
    let mixing = |outcome: &Outcome| {
        let criteria = &verdict(outcome, Claim::Area).criteria;
        criteria
            .iter()
            .find(|one| one.name == "mixing")
            .unwrap()
            .central
            .unwrap()
    };
    assert!((mixing(&third) / mixing(&whole) - 1.0 / 3.0).abs() < 1e-9);
}

// ── 10. The air ───────────────────────────────────────────────────────────────

/// 0.15 scfm through a disc rated at 1 is no support, though nobody stated a least.
#[test]
fn a_diffuser_with_one_flow_has_a_usual_least() {
    let text = package("claim.depth = \"1.5 m\"")
        .replace("flow = \"8 to 45 L/min\"", "flow = \"1 scfm\"")
        .replace("count = 2 }\nmanifold", "count = 8 }\nmanifold");
    let depth = of(&text, Claim::Depth);
    let flow = depth
        .criteria
        .iter()
        .find(|one| one.name == "flow")
        .unwrap();
    assert_ne!(flow.outcome, Word::Supported, "{flow:?}");
}

// ── 11. Lines ─────────────────────────────────────────────────────────────────

/// A fifth of the flow lost is beyond the rating, and contradicts nothing while machine and disc can stand it.
#[test]
fn what_a_line_costs_is_a_matter_of_the_rating() {
    let long = |metres: u32| {
        let text = package("claim.depth = \"0.6 m\"")
            .replace("length = \"20 m\"", &format!("length = \"{metres} m\""));
        of(&text, Claim::AirlineLength)
    };
    let run = long(2000);
    let loss = run
        .criteria
        .iter()
        .find(|one| one.name == "line-loss")
        .unwrap();
    assert!(loss.central.unwrap() > 0.15);
    assert_ne!(run.outcome, Word::Contradicted);
    assert_eq!(run.within_rating, Some(false));
    assert!(run.rated.unwrap() < 2000.0 && run.range.unwrap().1 >= 2000.0);
}

#[test]
fn a_trunk_is_a_line_with_a_verdict_of_its_own() {
    let text = package("claim.depth = \"1.5 m\"").replace(
        "id = \"with-airline\"",
        "id = \"with-airline\"\ntrunk = { part = \"small\", length = \"300 m\" }",
    );
    let outcome = run(&text);
    let trunk = outcome
        .verdicts
        .iter()
        .find(|one| one.stated.contains("trunk"))
        .unwrap();
    assert_eq!(trunk.claim, Claim::AirlineLength);
    assert!(trunk.rated.is_some_and(|rated| rated < 300.0), "{trunk:?}");
}

// ── 12. What is drawn in ──────────────────────────────────────────────────────

/// Humid and warm air holds less dry air: at 35 degC and 60 % some 8 % less than dry air at 20 degC and the site's
/// pressure would, of which 3.3 % are the vapour's (saturation 5.63 kPa at 35 degC, steam tables).
#[test]
fn humidity_and_the_cabinets_warmth_reach_the_inlet() {
    let open = package("claim.depth = \"1.5 m\"\nclaim.oxygen = \"0.02 kg/h\"");
    let boxed = open.replace(
        "manifold = \"two\"\n",
        "manifold = \"two\"\ncabinet = \"box\"\n",
    ) + "[cabinet.box]\nfan_flow = \"8 m3/h\"\nfan_power = \"4 W\"\n";
    let most = |text: &str| of(text, Claim::Oxygen).range.unwrap().1;
    // 48 W in 8 m3/h of air warm it by some 18 K: 6 % less air.
    let share = most(&boxed) / most(&open);
    assert!((0.90..0.97).contains(&share), "{share}");
    let dry = |humidity: f64| {
        open.clone()
            + &format!(
                "[assumption.humidity]\nlow = {humidity}\ncentral = {humidity}\nhigh = {humidity}\nsource = \"a hygrometer\"\n"
            )
    };
    let share = most(&dry(0.9)) / most(&dry(0.0));
    assert!((0.97..0.99).contains(&share), "{share}");
}

#[test]
fn a_nominal_bore_is_less_sure_than_a_measured_one() {
    let spread = |line: &str| {
        let text = package("claim.depth = \"1.5 m\"").replace("bore = \"12.7 mm\"", line);
        let (low, high) = of(&text, Claim::AirlineLength).range.unwrap();
        high / low
    };
    assert!(spread("size = \"1/2 in\"") > spread("bore = \"12.7 mm\"") * 1.05);
}

// ── 13. In service ────────────────────────────────────────────────────────────

#[test]
fn what_holds_only_new_is_told() {
    let new = package("claim.depth = \"2.0 m\"");
    let outcome = run(&new);
    let depth = verdict(&outcome, Claim::Depth);
    let worn = depth.in_service.as_ref().unwrap();
    assert!(worn.depth[0] <= worn.depth[1] && worn.depth[1] <= worn.depth[2]);
    assert!(worn.depth[1].unwrap() < depth.rated.unwrap());
    assert!(
        outcome
            .findings
            .iter()
            .any(|one| one.rule.name == "duty.margin")
    );
    let shallow = run(&package("claim.depth = \"1.1 m\""));
    assert!(
        !shallow
            .findings
            .iter()
            .any(|one| one.rule.name == "duty.margin")
    );
}

// ── 14. Sound ─────────────────────────────────────────────────────────────────

#[test]
fn levels_have_a_tolerance_when_carried_and_a_weighting_always() {
    let level = |claim: &str, machine: &str| {
        let text = package(&format!("claim.sound = {claim}")).replace(
            "sound = { is = \"40 dB(A)\", at = \"1 m\" }",
            &format!("sound = {machine}"),
        );
        of(&text, Claim::Sound)
    };
    let machine = "{ is = \"46 dB(A)\", at = \"1 m\" }";
    // 46 dB(A) at 1 m are 40 at 2 m in the open: 20 lg 2 = 6.02.
    let word = |level_there: &str| level(level_there, machine).outcome;
    assert_eq!(word("{ is = \"45 dB(A)\", at = \"2 m\" }"), Word::Supported);
    assert_eq!(word("{ is = \"39 dB(A)\", at = \"2 m\" }"), Word::Undecided);
    assert_eq!(
        word("{ is = \"35 dB(A)\", at = \"2 m\" }"),
        Word::Contradicted
    );
    // Not carried, it is what it is.
    assert_eq!(
        word("{ is = \"44 dB(A)\", at = \"1 m\" }"),
        Word::Contradicted
    );
    // A stated range is judged as one, not by its worse end.
    let range = "{ is = \"42 to 48 dB(A)\", at = \"1 m\" }";
    assert_eq!(
        level("{ is = \"45 dB(A)\", at = \"1 m\" }", range).outcome,
        Word::Undecided
    );
    // Without a weighting nothing is compared.
    let bare = level("{ is = \"44 dB\", at = \"1 m\" }", machine);
    assert_eq!(bare.outcome, Word::NotEvaluated);
    assert!(bare.missing.unwrap().fact.contains("A-weighted"));
}

// ── 15. A flow without a condition ────────────────────────────────────────────

#[test]
fn a_flow_without_a_condition_is_asked_for_it() {
    // Open flow, as a plate has it: true against no pressure, false at the depth.
    let outcome = run(&package(
        "claim.depth = \"1.5 m\"\nclaim.flow = \"74 L/min\"",
    ));
    let flow = verdict(&outcome, Claim::Flow);
    assert_eq!(flow.outcome, Word::Undecided);
    assert!(!is_heard(&outcome, flow));
    let asks = outcome
        .findings
        .iter()
        .find(|one| one.rule.name == "claim.flow")
        .unwrap();
    assert!(
        asks.message.contains("State the pressure or depth"),
        "{}",
        asks.message
    );
    let beyond = run(&package(
        "claim.depth = \"1.5 m\"\nclaim.flow = \"90 L/min\"",
    ));
    assert!(is_heard(&beyond, verdict(&beyond, Claim::Flow)));
    let there = run(&package(
        "claim.depth = \"1.5 m\"\nclaim.flow = { is = \"74 L/min\", at = \"1.5 m\" }",
    ));
    assert!(is_heard(&there, verdict(&there, Claim::Flow)));
}

// ── 16. Oxygen ────────────────────────────────────────────────────────────────

#[test]
fn the_standard_rate_and_a_ponds_uptake_are_two_things() {
    let outcome = run(&package(
        "claim.depth = \"1.5 m\"\nclaim.oxygen = \"0.03 kg/h\"\nclaim.oxygen_uptake = \"0.03 kg/h\"",
    ));
    let (standard, pond) = (
        verdict(&outcome, Claim::Oxygen),
        verdict(&outcome, Claim::OxygenUptake),
    );
    assert!(pond.rated.unwrap() < 0.8 * standard.rated.unwrap());
    // At the best a pond's water is clean and free of oxygen, as a test's is.
    assert!(pond.range.unwrap().1 <= standard.range.unwrap().1 * 1.05);
    let coarse = package("claim.depth = \"1.5 m\"\nclaim.oxygen = \"0.03 kg/h\"").replace(
        "check_valve = true\n[airline",
        "check_valve = true\nbubble = \"coarse\"\n[airline",
    );
    let coarse = of(&coarse, Claim::Oxygen);
    assert!(coarse.rated.unwrap() < 0.5 * standard.rated.unwrap());
}

/// No range is without effect: each, put elsewhere, moves a verdict, a capacity or what is left in service.
#[test]
fn every_range_reaches_something_that_is_told() {
    let claims = "claim.depth = \"2.6 m\"\nclaim.area = \"500 m2\"\nclaim.flow = { is = \"40 L/min\", at = \"2.6 m\" }\n\
                  claim.turnover = \"1 /day\"\nclaim.water_moved = \"900 L/min\"\nclaim.oxygen = \"0.03 kg/h\"\n\
                  claim.oxygen_uptake = \"0.02 kg/h\"\nclaim.transfer_efficiency = \"1.5 %/ft\"\n\
                  claim.sound = { is = \"36 dB(A)\", at = \"3 m\" }\nclaim.volume = \"600 m3\"";
    let text = |basin: &str, more: &str| {
        package(claims)
            .replace("max_pressure = \"24 kPa\"", "max_pressure = \"32 kPa\"")
            .replace(
                "[site]\n",
                &format!("[site]\nbasin = \"{basin}\"\naltitude = \"900 m\"\n"),
            )
            .replace(
                "diffuser = { part = \"disc\", count = 2 }",
                "diffuser = [ { part = \"disc\" }, { part = \"bare\" } ]",
            )
            .replace(
                "manifold = \"two\"\n",
                "manifold = \"two\"\ncabinet = \"box\"\n",
            )
            + "[[package.kit.option]]\nid = \"own\"\nallows = [ { size = \"1/2 in\", up_to = \"20 m\" } ]\n\
               [cabinet.box]\n[diffuser.bare]\nflow = \"20 L/min\"\nbubble = \"coarse\"\ncheck_valve = true\ninlet = \"1/2 in barb\"\n"
            + more
    };
    let seen = |basin: &str, more: &str| {
        // A name that is no basin asks for fine bubbles everywhere.
        let all_fine = basin == "fine";
        let text = text(if all_fine { "bowl" } else { basin }, more);
        let bubble = if all_fine { "\"fine\"" } else { "\"coarse\"" };
        let outcome = run(&text.replace("\"coarse\"", bubble));
        let told = |one: &Verdict| {
            format!(
                "{:?} {:?} {:?} {:?} {:?} {:?}",
                one.claim, one.outcome, one.rated, one.range, one.criteria, one.in_service
            )
        };
        outcome.verdicts.iter().map(told).collect::<Vec<String>>()
    };
    let mut without = Vec::new();
    for range in nameplate::assumptions::Assumptions::builtin().iter() {
        // These two are open to no catalog; that of the discharge's warmth decides a rating of the line, not a claim.
        if range.fixed || range.name == nameplate::assumptions::Name::AirPathEfficiency {
            continue;
        }
        let basin = match range.name {
            nameplate::assumptions::Name::LeastFlowFine => "fine",
            nameplate::assumptions::Name::MeanDepthCone => "cone",
            nameplate::assumptions::Name::MeanDepthFlat => "flat",
            _ => "bowl",
        };
        // Narrower by a tenth at both ends, as a measurement makes it; a range of one value moves.
        let span = (range.high() - range.low()) * 0.1;
        let (low, high) = match span > 0.0 {
            true => (range.low() + span, range.high() - span),
            false => (range.low() * 1.1, range.high() * 1.1),
        };
        let more = format!(
            "[assumption.{}]\nlow = {}\ncentral = {}\nhigh = {}\nsource = \"a test\"\n",
            range.name,
            low,
            (range.central + 0.1 * span).clamp(low, high),
            high
        );
        if seen(basin, &more) == seen(basin, "") {
            without.push(range.name.to_string());
        }
    }
    assert!(without.is_empty(), "without effect: {without:?}");
}

// ── 17. The plume's start ─────────────────────────────────────────────────────

/// Stating a disc's radius says how wide its bubbles may start; it doubles nothing.
#[test]
fn a_stated_radius_is_a_range_from_a_point_to_it() {
    let lifted = |radius: &str| {
        let text = package("claim.depth = \"1.5 m\"\nclaim.water_moved = \"900 L/min\"").replace(
            "check_valve = true\n[airline",
            &format!("check_valve = true\n{radius}[airline"),
        );
        let verdict = of(&text, Claim::WaterMoved);
        (verdict.rated.unwrap(), verdict.range.unwrap().1)
    };
    let (bare, most) = lifted("");
    let (stated, wide) = lifted("source_radius = \"150 mm\"\n");
    assert_eq!(bare, stated);
    assert_eq!(most, wide);
    let (_, small) = lifted("source_radius = \"50 mm\"\n");
    assert!(small < wide);
}

// ── 18, 19. The pond ──────────────────────────────────────────────────────────

#[test]
fn mixing_begins_where_ponds_layer_and_not_in_winter() {
    let decides = |depth: &str, more: &str| {
        let text = package(&format!(
            "claim.depth = \"{depth}\"\nclaim.area = \"400 m2\"\n{more}"
        ))
        .replace("max_pressure = \"24 kPa\"", "max_pressure = \"32 kPa\"");
        of(&text, Claim::Area)
            .criteria
            .iter()
            .any(|one| one.name == "mixing")
    };
    assert!(!decides("2.3 m", ""));
    assert!(decides("2.4 m", ""));
    assert!(!decides("2.4 m", "claim.winter_opening = \"20 m2\""));
}

#[test]
fn a_long_pond_and_a_bowl_take_something_off() {
    let rated = |site: &str, diffuser: &str| {
        let text = package("claim.depth = \"1.5 m\"\nclaim.area = \"300 m2\"")
            .replace("[site]\n", &format!("[site]\n{site}"))
            .replace("diffuser = { part = \"disc\", count = 2 }", diffuser);
        of(&text, Claim::Area)
    };
    let two = "diffuser = { part = \"disc\", count = 2 }";
    let round = rated("", two);
    // Two discs in a row serve a pond twice as long as wide as well; one eight times as long not.
    assert_eq!(rated("shape = 2\n", two).rated, round.rated);
    assert!(rated("shape = 8\n", two).rated.unwrap() < 0.7 * round.rated.unwrap());
    // In a bowl the two can't both lie at its greatest depth; where each states its depth, they lie there.
    let own = rated(
        "",
        "diffuser = [ { part = \"disc\", depth = \"1.5 m\" }, { part = \"disc\", depth = \"1.5 m\" } ]",
    );
    assert!(round.range.unwrap().0 < own.range.unwrap().0);
    let says = round
        .evidence
        .iter()
        .any(|one| one.source.contains("where the basin has them"));
    assert!(says, "{:?}", round.evidence);
}

// ── Ranges ────────────────────────────────────────────────────────────────────

/// A range promises its upper end too: it must be possible at all, however modest the lower end.
#[test]
fn the_upper_end_of_a_range_is_a_promise() {
    for (claims, claim) in [
        (
            "claim.flow = { is = \"20 to 5000 L/min\", at = \"1.2 m\" }",
            Claim::Flow,
        ),
        (
            "claim.depth = \"1.2 m\"\nclaim.oxygen = \"0.01 to 50 kg/h\"",
            Claim::Oxygen,
        ),
        (
            "claim.depth = \"1.2 m\"\nclaim.water_moved = \"0.3 to 900 m3/min\"",
            Claim::WaterMoved,
        ),
        (
            "claim.depth = \"1.2 m\"\nclaim.area = \"300 m2\"\nclaim.turnover = \"4 to 5000 /day\"",
            Claim::Turnover,
        ),
        (
            "claim.depth = \"1.2 m\"\nclaim.transfer_efficiency = \"1 to 90 %/ft\"",
            Claim::TransferEfficiency,
        ),
    ] {
        let outcome = run(&package(claims));
        assert_eq!(
            verdict(&outcome, claim).outcome,
            Word::Contradicted,
            "{claims}"
        );
        assert!(is_heard(&outcome, verdict(&outcome, claim)), "{claims}");
    }
    // Each end of a range has digits of its own.
    let fine = of(&package("claim.depth = \"1 to 2.5 m\""), Claim::Depth);
    assert_eq!(
        fine.outcome,
        of(&package("claim.depth = \"2.5 m\""), Claim::Depth).outcome
    );
}

/// What lies beyond area times depth is refuted by arithmetic, and no hair of judgement is in it.
#[test]
fn a_volume_beyond_area_times_depth_is_refuted() {
    let of = |volume: &str| {
        let text = package(&format!(
            "claim.depth = \"1.20 m\"\nclaim.area = \"101 m2\"\nclaim.volume = \"{volume}\""
        ));
        of(
            &text.replace("[site]\n", "[site]\nbasin = \"flat\"\n"),
            Claim::Volume,
        )
        .outcome
    };
    assert_eq!(of("149 m3"), Word::Contradicted);
    assert_ne!(of("121 m3"), Word::Contradicted);
}

/// A deeper diffuser on a shorter line may get the same air: without valves that is a warning.
#[test]
fn unlike_runs_that_share_fairly_are_no_error() {
    let text = |depths: (&str, &str), lengths: (&str, &str)| {
        format!(
            "{PARTS}[manifold.plain]\noutlets = 2\n[package.kit]\ncompressor = \"linear\"\nmanifold = \"plain\"\n\
             diffuser = [ {{ part = \"disc\", depth = \"{}\" }}, {{ part = \"disc\", depth = \"{}\" }} ]\n\
             [[package.kit.option]]\nid = \"a\"\nairline = [ {{ part = \"half\", length = \"{}\" }}, \
             {{ part = \"half\", length = \"{}\" }} ]\n",
            depths.0, depths.1, lengths.0, lengths.1
        )
    };
    let level = |text: &str| {
        let outcome = run(text);
        let valves = outcome
            .findings
            .iter()
            .find(|one| one.rule.name == "kit.valves")
            .unwrap();
        valves.level
    };
    assert_eq!(
        level(&text(("1.42 m", "1.40 m"), ("10 m", "40 m"))),
        Level::Warning
    );
    assert_eq!(
        level(&text(("1.0 m", "1.6 m"), ("20 m", "20 m"))),
        Level::Error
    );
}

/// Watts that are stated at a low pressure don't do the work at a high one: 46 L/min against 150 kPa take 71 W by
/// p V ln(1 + 150/101.3), and a claim of 40 W, or of what 40 W cost, is refuted.
#[test]
fn no_package_takes_less_than_the_work_it_does() {
    let text = package(
        "claim.depth = \"14.0 m\"\nclaim.power = \"40 W\"\nclaim.running_cost = \"5.80 USD/month\"",
    )
    .replace(
        "power = \"44 W\"",
        "power = { is = \"40 W\", at = \"15 kPa\" }",
    )
    .replace("max_pressure = \"24 kPa\"", "max_pressure = \"200 kPa\"")
    .replace(
        "\"14 kPa\", flow = \"51 L/min\"",
        "\"100 kPa\", flow = \"60 L/min\"",
    )
    .replace(
        "\"22 kPa\", flow = \"35 L/min\"",
        "\"200 kPa\", flow = \"40 L/min\"",
    )
    .replace(
        "\"33 kPa\", flow = \"0 L/min\"",
        "\"250 kPa\", flow = \"0 L/min\"",
    );
    let outcome = run(&text);
    for claim in [Claim::Power, Claim::RunningCost] {
        assert_eq!(
            verdict(&outcome, claim).outcome,
            Word::Contradicted,
            "{claim:?}"
        );
    }
}

/// A list of parts may name each by its ID alone, as the format says.
#[test]
fn a_list_of_ids_is_a_list_of_parts() {
    let text = package("claim.depth = \"1.2 m\"")
        .replace(
            "diffuser = { part = \"disc\", count = 2 }",
            "diffuser = [\"disc\", \"disc\"]",
        )
        .replace("compressor = \"linear\"", "compressor = [\"linear\"]");
    let outcome = run(&text);
    assert!(
        !outcome
            .findings
            .iter()
            .any(|one| one.rule.name == "schema.wrong-type"),
        "{:?}",
        outcome.findings
    );
    assert_eq!(verdict(&outcome, Claim::Depth).outcome, Word::Supported);
}

/// A machine of which only the plate is known may hold 15 psi and no more: at that, 500 m of 1/8 in let through a
/// few tenths of a litre a minute (Poiseuille), whatever the machine's curve.
#[test]
fn a_line_that_lets_nothing_through_is_refuted_without_a_curve() {
    let text = |size: &str, length: &str| {
        format!(
            "{PARTS}[airline.thin]\nbore = \"{size}\"\n[package.kit]\ncompressor = \"plate\"\ndiffuser = \"disc\"\n\
             claim.depth = \"1.2 m\"\n[[package.kit.option]]\nid = \"a\"\n\
             airline = {{ part = \"thin\", length = \"{length}\" }}\n"
        )
    };
    let outcome = run(&text("1/8 in", "500 m"));
    let line = verdict(&outcome, Claim::AirlineLength);
    assert_eq!(line.outcome, Word::Contradicted);
    assert!(is_heard(&outcome, line));
    assert_ne!(
        of(&text("1/2 in", "30 m"), Claim::AirlineLength).outcome,
        Word::Contradicted
    );
}

/// Diffusers that are stated to lie deeper than the package promises are judged there, and the message says so.
#[test]
fn a_depth_that_its_own_diffusers_exceed_names_theirs() {
    let text = package("claim.depth = \"1.2 m\"").replace(
        "{ part = \"disc\", count = 2 }\nmanifold",
        "[ { part = \"disc\", count = 2, depth = \"5 m\" } ]\nmanifold",
    );
    let outcome = run(&text);
    let told = outcome
        .findings
        .iter()
        .find(|one| one.rule.name == "claim.depth")
        .unwrap();
    assert!(
        told.message.contains("stated to lie at 5 m"),
        "{}",
        told.message
    );
    assert!(told.correction.is_none());
}

/// Without any depth all the machine's air, as deep as its pressure could push it, still lifts only so much.
#[test]
fn water_beyond_all_the_air_could_lift_is_refuted_without_a_depth() {
    for (claims, claim, word) in [
        (
            "claim.water_moved = \"5000 m3/min\"",
            Claim::WaterMoved,
            Word::Contradicted,
        ),
        (
            "claim.water_moved = \"0.5 m3/min\"",
            Claim::WaterMoved,
            Word::NotEvaluated,
        ),
        (
            "claim.volume = \"100000000 m3\"",
            Claim::Volume,
            Word::Contradicted,
        ),
        (
            "claim.volume = \"400 m3\"",
            Claim::Volume,
            Word::NotEvaluated,
        ),
        (
            "claim.volume = \"400 m3\"\nclaim.turnover = \"100000 /h\"",
            Claim::Turnover,
            Word::Contradicted,
        ),
        (
            "claim.area = \"5000 acre\"",
            Claim::Area,
            Word::Contradicted,
        ),
    ] {
        let outcome = run(&package(claims));
        assert_eq!(verdict(&outcome, claim).outcome, word, "{claims}");
        assert_eq!(
            is_heard(&outcome, verdict(&outcome, claim)),
            word == Word::Contradicted,
            "{claims}"
        );
    }
}

/// A check valve that states no opening may be a poppet of 0.5 psi: against flaps of 0.15 psi at the most that costs
/// 0.35 psi, which is 0.246 m of water (2 413 Pa over 999.1 kg/m3 and 9.80665 m/s2), wherever the pressure decides.
#[test]
fn a_check_valve_may_be_a_poppet() {
    let text = package("claim.depth = \"1.5 m\"");
    let flaps = text.clone()
        + "[assumption.check-valve-opening]\nlow = 0.02\ncentral = 0.05\nhigh = 0.15\nsource = \"a gauge\"\n";
    let least = |text: &str| of(text, Claim::Depth).range.unwrap().0;
    let costs = least(&flaps) - least(&text);
    assert!((0.23..0.26).contains(&costs), "{costs}");
}

/// How a curve holds at altitude is bracketed by two models, and the centre lies between them.
#[test]
fn the_centre_at_altitude_lies_between_the_two_models() {
    use nameplate::assumptions::{Assumptions, Name};
    let range = &Assumptions::builtin()[Name::AltitudeModel];
    assert_eq!(
        range.central,
        f64::midpoint(range.unfavourable, range.favourable)
    );
    let text = package("claim.flow = { is = \"40 L/min\", at = \"1.5 m\" }")
        .replace("[site]\n", "[site]\naltitude = \"1800 m\"\n");
    let flow = of(&text, Claim::Flow);
    let (low, high) = flow.range.unwrap();
    assert!(low < flow.rated.unwrap() && flow.rated.unwrap() < high);
}

// ── What no level silences, and bounds where a fact is missing ────────────────

/// A catalog may hear less of its rules; a contradicted promise stays an error, and the setting is shown beside it.
#[test]
fn no_level_silences_a_contradicted_promise() {
    let text = package("claim.depth = \"60 ft\"");
    for set in ["claim = \"none\"", "\"claim.depth\" = \"note\""] {
        let outcome = run(&format!("{text}[level]\n{set}\n"));
        let depth = verdict(&outcome, Claim::Depth);
        assert_eq!(depth.outcome, Word::Contradicted);
        assert!(is_heard(&outcome, depth), "{set}");
        assert!(outcome.fails(Level::Error), "{set}");
        let mut findings = outcome.findings.iter();
        let told = findings.find(|one| one.at == depth.at).unwrap();
        assert!(
            told.related
                .iter()
                .any(|other| other.says.contains("waiver"))
        );
        let waiver = "[[waiver]]\nrule = \"claim.depth\"\non = \"package.kit\"\nreason = \"the old leaflet\"\n";
        let outcome = run(&format!("{text}[level]\n{set}\n{waiver}"));
        assert!(!outcome.fails(Level::Error), "{set}");
    }
    // What isn't contradicted is heard as the catalog sets it.
    let unsure = package("claim.area = \"600 m2\"\nclaim.depth = \"1.2 m\"");
    let warned = |text: &str| {
        let outcome = run(text);
        let area = verdict(&outcome, Claim::Area).clone();
        assert_eq!(
            (area.outcome, area.within_rating),
            (Word::Undecided, Some(false))
        );
        outcome.findings.iter().any(|one| one.at == area.at)
    };
    assert!(warned(&unsure));
    assert!(!warned(&format!("{unsure}[level]\nclaim = \"none\"\n")));
}

/// Turnovers beyond those of the smallest pond, or of an area as deep as the machine could serve it.
#[test]
fn turnovers_are_bounded_without_a_depth_or_a_pond() {
    let outcome = |claims: &str| of(&package(claims), Claim::Turnover).outcome;
    assert_eq!(
        outcome("claim.turnover = \"100000 /h\""),
        Word::Contradicted
    );
    assert_eq!(outcome("claim.turnover = \"2 /d\""), Word::NotEvaluated);
    let over = |turnovers: &str| {
        outcome(&format!(
            "claim.area = \"200 m2\"\nclaim.turnover = \"{turnovers}\""
        ))
    };
    assert_eq!(over("5000 /h"), Word::Contradicted);
    assert_eq!(over("2 /d"), Word::NotEvaluated);
}

/// A line through which not even a diffuser at the surface gets its air needs no depth to be refuted.
#[test]
fn a_line_is_bounded_without_a_depth() {
    let line = |bore: &str, length: &str| {
        let text = package("").replace("bore = \"12.7 mm\"", &format!("bore = \"{bore}\""));
        of(
            &text.replace("length = \"20 m\"", &format!("length = \"{length}\"")),
            Claim::AirlineLength,
        )
        .outcome
    };
    assert_eq!(line("1/8 in", "1 km"), Word::Contradicted);
    assert_eq!(line("12.7 mm", "20 m"), Word::NotEvaluated);
}

/// A plate is believed up to the pressures its technology runs at, doubted above, and refuted where nothing of its
/// kind gives air (judgement: five times the greatest pressure met).
#[test]
fn a_plate_with_more_pressure_than_its_kind_has_is_not_believed() {
    let at = |technology: &str, watts: &str, pressure: &str, depth: &str| {
        let text = PARTS
            .replace(
                "technology = \"rocking-piston\"",
                &format!("technology = \"{technology}\""),
            )
            .replace("power = \"120 W\"", &format!("power = \"{watts}\""))
            .replace(
                "max_pressure = \"15 psi\"",
                &format!("max_pressure = \"{pressure}\""),
            );
        let text = format!(
            "{text}[package.kit]\ncompressor = \"plate\"\ndiffuser = {{ part = \"disc\", count = 2 }}\nmanifold = \"two\"\n\
             claim.depth = \"{depth}\"\n[[package.kit.option]]\nid = \"with-airline\"\n\
             airline = {{ part = \"half\", length = \"20 m\", count = 2 }}\n"
        );
        of(&text, Claim::Depth).outcome
    };
    let linear = |pressure: &str, depth: &str| at("linear-diaphragm", "120 W", pressure, depth);
    assert_eq!(linear("4 bar", "30 m"), Word::Contradicted);
    assert_eq!(linear("4 bar", "5 m"), Word::Undecided);
    assert_eq!(linear("4 bar", "1.5 m"), Word::Supported);
    assert_eq!(linear("30 kPa", "1.5 m"), Word::Supported);
    assert_eq!(
        at("rocking-piston", "300 W", "25 psi", "8 m"),
        Word::Supported
    );
    // Watts that couldn't keep up the chord at any efficiency met leave it open, and don't support it.
    assert_ne!(
        at("rocking-piston", "20 W", "25 psi", "8 m"),
        Word::Supported
    );
}

/// A depth that no air reaches doesn't shield what no depth could make true.
#[test]
fn an_absurd_promise_is_heard_beside_a_depth_out_of_reach() {
    let text = package(
        "claim.depth = \"40 ft\"\nclaim.area = \"300 acre\"\nclaim.turnover = \"90000 /d\"\nclaim.volume = \"900 m3\"",
    );
    let outcome = run(&text);
    for claim in [Claim::Depth, Claim::Area, Claim::Turnover] {
        let found = verdict(&outcome, claim);
        assert_eq!(found.outcome, Word::Contradicted, "{claim:?}");
        assert!(is_heard(&outcome, found), "{claim:?}");
    }
    // A depth beyond all is no ground to reach farther from.
    let deep = package(
        "claim.depth = \"140 m\"\nclaim.area = \"200 ha\"\nclaim.water_moved = \"20 m3/s\"",
    );
    for claim in [Claim::Area, Claim::WaterMoved] {
        assert_eq!(of(&deep, claim).outcome, Word::Contradicted, "{claim:?}");
    }
    let modest = package("claim.depth = \"40 ft\"\nclaim.area = \"300 m2\"");
    assert_eq!(of(&modest, Claim::Area).outcome, Word::NotEvaluated);
}

/// What is in a box is in its mass.
#[test]
fn a_box_lighter_than_its_machine_is_an_error() {
    let boxed = |mass: &str| {
        let text = package(&format!("packed = {{ mass = \"{mass}\" }}"));
        let text = text.replace("power = \"44 W\"", "power = \"44 W\"\nmass = \"8 kg\"");
        run(&text).fails(Level::Error)
    };
    assert!(boxed("3 kg"));
    assert!(!boxed("9 kg"));
}

// ── What is stated, as it is stated ──────────────────────────────────────────

/// A series that states a range of watts refutes only what lies below all of it.
#[test]
fn a_range_of_watts_is_judged_as_a_range() {
    let claimed = |claim: &str, of: Claim| {
        let text = package(claim).replace("power = \"44 W\"", "power = \"40 to 50 W\"");
        let outcome = run(&text);
        (verdict(&outcome, of).outcome, outcome.fails(Level::Error))
    };
    let power = |watts: &str| claimed(&format!("claim.power = \"{watts} W\""), Claim::Power);
    assert_eq!(power("50"), (Word::Supported, false));
    assert_eq!(power("45"), (Word::Undecided, false));
    assert_eq!(power("38"), (Word::Contradicted, true));
    // 40 W cost 5.76 USD in 30 days at 0.20 USD/kWh, 50 W 7.20.
    let cost = |usd: &str| {
        let claim = format!("claim.running_cost = \"{usd} USD/month\"");
        claimed(&claim, Claim::RunningCost)
    };
    assert_eq!(cost("7.20"), (Word::Supported, false));
    assert_eq!(cost("6.00"), (Word::Undecided, false));
    assert_eq!(cost("5.70"), (Word::Contradicted, true));
}

/// Watts, cost and level are those of the option that keeps them, and of an option that doesn't its own error says so.
#[test]
fn an_option_with_another_machine_is_judged_by_that_machine() {
    let other = "[compressor.small]\ntechnology = \"linear-diaphragm\"\nvoltage = \"230 V\"\nfrequency = \"50 Hz\"\n\
                 power = \"30 W\"\nmax_pressure = \"24 kPa\"\ninlet_filter = true\nsound = { is = \"36 dB(A)\", at = \"1 m\" }\n\
                 curve = [ { pressure = \"0 kPa\", flow = \"60 L/min\" }, { pressure = \"30 kPa\", flow = \"0 L/min\" } ]\n";
    let claims = "claim.power = \"30 W\"\nclaim.running_cost = \"4.50 USD/month\"\nclaim.sound = { is = \"36 dB(A)\", at = \"1 m\" }";
    let text = package(claims).replace("[package.kit]", &format!("{other}[package.kit]"))
        + "[[package.kit.option]]\nid = \"quiet\"\ncompressor = \"small\"\n";
    let outcome = run(&text);
    for claim in [Claim::Power, Claim::RunningCost, Claim::Sound] {
        let found = verdict(&outcome, claim);
        assert_eq!(found.outcome, Word::Supported, "{claim:?}");
        let errors = outcome.findings.iter().filter(|one| one.at == found.at);
        let messages: Vec<&str> = errors.map(|one| one.message.as_str()).collect();
        assert_eq!(messages.len(), 1, "{messages:?}");
        assert!(
            messages[0].starts_with("Option with-airline does not keep"),
            "{messages:?}"
        );
    }
    let none = run(&text.replace("claim.power = \"30 W\"", "claim.power = \"20 W\""));
    assert_eq!(verdict(&none, Claim::Power).outcome, Word::Contradicted);
}

/// Area times depth is what a basin with upright sides holds; whose sides slope holds less.
#[test]
fn a_basin_that_nobody_describes_may_have_upright_sides() {
    let volume = |volume: &str, site: &str| {
        let claims = format!(
            "claim.depth = \"1.5 m\"\nclaim.area = \"20 m2\"\nclaim.volume = \"{volume} m3\""
        );
        let text = package(&claims).replace("[site]\n", &format!("[site]\n{site}"));
        of(&text, Claim::Volume).outcome
    };
    assert_eq!(volume("30", ""), Word::Undecided);
    assert_eq!(volume("33", ""), Word::Contradicted);
    assert_eq!(volume("30", "basin = \"bowl\"\n"), Word::Contradicted);
    assert_eq!(volume("30", "basin = \"flat\"\n"), Word::Undecided);
}

/// Of an option that nobody knows enough about, nobody knows that it fails too.
#[test]
fn an_option_that_cannot_be_calculated_refutes_nothing() {
    let thin = "[[package.kit.option]]\nid = \"thin\"\nallows = [{ size = \"1/8 in\", up_to = \"500 m\" }]\n";
    let only = package("claim.depth = \"1.5 m\"").replace(
        "[[package.kit.option]]\nid = \"with-airline\"\nairline = { part = \"half\", length = \"20 m\", count = 2 }\n",
        thin,
    );
    assert_eq!(of(&only, Claim::Depth).outcome, Word::Contradicted);
    let unknown = only
        + "[[package.kit.option]]\nid = \"other\"\nairline = { part = \"nobody-knows\", length = \"20 m\", count = 2 }\n";
    assert_eq!(of(&unknown, Claim::Depth).outcome, Word::NotEvaluated);
    // What no airline could make true is refuted all the same.
    let absurd = unknown.replace("claim.depth = \"1.5 m\"", "claim.depth = \"15 m\"");
    assert_eq!(of(&absurd, Claim::Depth).outcome, Word::Contradicted);
}

/// A promise whose condition can't be read isn't judged under another, nor under hours that nobody could read.
#[test]
fn what_cannot_be_read_is_no_ground_to_accuse_on() {
    for (claim, figure) in [
        (
            Claim::Area,
            "area = { is = \"300 acre\", at = \"shallow\" }",
        ),
        (
            Claim::WaterMoved,
            "water_moved = { is = \"900 m3/h\", at = \"deep\" }",
        ),
        (
            Claim::RunningCost,
            "running_cost = { is = \"1 USD/month\", at = { tariff = \"0.20 USD/kWh\", hours_per_day = 30 } }",
        ),
    ] {
        let text = package(&format!("claim.depth = \"1.5 m\"\nclaim.{figure}"));
        assert_eq!(of(&text, claim).outcome, Word::NotEvaluated, "{figure}");
    }
    for hours in ["\"eight\"", "0", "25"] {
        let text = package(&format!(
            "hours_per_day = {hours}\nclaim.running_cost = \"3 USD/month\""
        ));
        let outcome = run(&text);
        let cost = verdict(&outcome, Claim::RunningCost);
        assert_eq!(cost.outcome, Word::NotEvaluated, "{hours}");
        assert!(outcome.fails(Level::Error));
    }
}

/// The air of a machine against no pressure takes no work: a flow without a condition bounds no watts.
#[test]
fn a_flow_without_a_condition_bounds_no_watts() {
    let power = |flow: &str| {
        let claims = format!("claim.depth = \"2 m\"\nclaim.flow = {flow}\nclaim.power = \"20 W\"");
        let text = package(&claims).replace("power = \"44 W\"\n", "");
        of(&text, Claim::Power).outcome
    };
    assert_eq!(power("\"74 L/min\""), Word::NotEvaluated);
    assert_eq!(
        power("{ is = \"74 L/min\", at = \"2 m\" }"),
        Word::Contradicted
    );
}

/// A curve that ends while air still comes says nothing of the pressure at which none would.
#[test]
fn the_last_point_of_a_curve_is_no_greatest_pressure() {
    let depth = |last: &str| {
        let text = package("claim.depth = \"3.0 m\"")
            .replace(
                "max_pressure = \"24 kPa\"\ncurve",
                "max_pressure = \"much\"\ncurve",
            )
            .replace("{ pressure = \"33 kPa\", flow = \"0 L/min\" }", last);
        of(&text, Claim::Depth).outcome
    };
    assert_eq!(depth(""), Word::NotEvaluated);
    assert_eq!(
        depth("{ pressure = \"25 kPa\", flow = \"0 L/min\" }"),
        Word::Contradicted
    );
}

/// More air than a diffuser's loss is stated for makes that loss less certain, and the machine no larger.
#[test]
fn air_beyond_a_diffusers_points_never_exceeds_the_machines() {
    let text =
        package("claim.flow = { is = \"60 L/min\", at = \"0.5 m\" }\nclaim.depth = \"0.5 m\"")
            .replace(
                "{ flow = \"45 L/min\", pressure = \"3.0 kPa\" }",
                "{ flow = \"12 L/min\", pressure = \"2.2 kPa\" }",
            );
    let found = of(&text, Claim::Flow);
    assert!(!found.breaches.is_empty());
    let (_, most) = found.range.unwrap();
    assert!(most * 60e3 <= 74.0 * 1.07, "{}", most * 60e3);
}

/// A quarter beyond a tolerance is a quarter of the tolerance, not of the hose.
#[test]
fn a_pressure_over_the_makers_own_limit_in_every_case_is_no_hair() {
    let long = |length: &str| {
        let text = package("claim.depth = \"1.5 m\"")
            .replace(
                "[airline.small]\nsize = \"3/8 in\"",
                "[airline.small]\nsize = \"6 mm\"",
            )
            .replace(
                "part = \"half\", length = \"20 m\"",
                &format!("part = \"small\", length = \"{length} m\""),
            );
        of(&text, Claim::Depth)
    };
    let found = long("60");
    let pressure = found
        .criteria
        .iter()
        .find(|one| one.name == "pressure")
        .unwrap();
    assert!(pressure.high.unwrap() > pressure.needed, "{pressure:?}");
    assert_eq!(found.outcome, Word::Contradicted);
    assert_eq!(long("3").outcome, Word::Supported);
}

/// A part that states less than any machine is heard at bears no promise of it.
#[test]
fn a_level_that_no_machine_has_is_refuted_though_a_part_states_it() {
    let sound = |level: &str| {
        let claims = format!("claim.sound = {{ is = \"{level} dB(A)\", at = \"1 m\" }}");
        let text = package(&claims).replace("40 dB(A)", &format!("{level} dB(A)"));
        of(&text, Claim::Sound).outcome
    };
    assert_eq!(sound("10"), Word::Contradicted);
    assert_eq!(sound("34"), Word::Supported);
}

/// A machine whose curve states its watts takes those of its duty point, not the most of its plate.
#[test]
fn watts_on_the_curve_count_at_the_duty_point() {
    let power = |watts: &str| {
        let text = package(&format!(
            "claim.depth = \"1.5 m\"\nclaim.power = \"{watts} W\""
        ));
        let points = [
            ("74 L/min", "30 W"),
            ("51 L/min", "36 W"),
            ("35 L/min", "40 W"),
        ];
        let text = points.iter().fold(text, |text, (flow, watts)| {
            text.replace(
                &format!("flow = \"{flow}\" }}"),
                &format!("flow = \"{flow}\", power = \"{watts}\" }}"),
            )
        });
        of(&text, Claim::Power).outcome
    };
    assert_eq!(power("44"), Word::Supported);
    assert_eq!(power("39"), Word::Undecided);
    assert_eq!(power("30"), Word::Contradicted);
}

/// A range that no measurement could give whitewashes nothing: it is an error, and the built-in one stays.
#[test]
fn a_range_beyond_what_can_be_measured_is_not_taken() {
    let with = |low: f64, central: f64, high: f64| {
        let range = format!(
            "[assumption.curve-tolerance]\nlow = {low}\ncentral = {central}\nhigh = {high}\nsource = \"our bench\"\n"
        );
        let claims = "claim.depth = \"1.5 m\"\nclaim.flow = { is = \"300 L/min\", at = \"1.5 m\" }";
        run(&package(claims).replace(
            "[compressor.linear]",
            &format!("{range}[compressor.linear]"),
        ))
    };
    let usual = run(&package("claim.depth = \"1.5 m\""));
    let depth = |outcome: &Outcome| verdict(outcome, Claim::Depth).range;
    let bold = with(1.0, 5.0, 10.0);
    assert_eq!(verdict(&bold, Claim::Flow).outcome, Word::Contradicted);
    assert_eq!(depth(&bold), depth(&usual));
    let errors = bold.findings.iter().filter(|one| one.level == Level::Error);
    let on: Vec<&str> = errors.map(|one| one.on.as_str()).collect();
    assert!(on.contains(&"assumption.curve-tolerance"), "{on:?}");
    let measured = with(0.98, 1.0, 1.02);
    assert_ne!(depth(&measured), depth(&usual));
    assert!(
        !measured
            .findings
            .iter()
            .any(|one| one.on == "assumption.curve-tolerance")
    );
}

/// Two discs at 4 and 6 ft, each on 50 ft of 3/8 in, share a straight curve's air without valves: more is lost in the
/// lines, and the deep one gains. Its corners must hold 0.224 to 0.927 scfm (from the report that lines turn both ways
/// here, not from outside).
#[test]
fn corners_of_two_depths_without_valves_hold_what_the_lines_do_either_way() {
    let text = PARTS
        .replace(
            "[compressor.linear]",
            "[compressor.straight]\ntechnology = \"linear-diaphragm\"\nvoltage = \"230 V\"\nfrequency = \"50 Hz\"\n\
             power = \"120 W\"\nmax_pressure = \"7 psi\"\ninlet_filter = true\noutlet = \"1/2 in barb\"\ncurve = [\n\
             { pressure = \"0 psi\", flow = \"4.85 cfm\" },\n{ pressure = \"2.5 psi\", flow = \"3.233333 cfm\" },\n\
             { pressure = \"5 psi\", flow = \"1.616667 cfm\" },\n{ pressure = \"7.5 psi\", flow = \"0 cfm\" },\n]\n[compressor.linear]",
        );
    let text = format!(
        "{text}[diffuser.open]\nflow = \"0.1 to 3 scfm\"\ncheck_valve = true\ninlet = \"3/8 in barb\"\n\
         [manifold.open]\noutlets = 2\nvalve = \"none\"\n[package.kit]\ncompressor = \"straight\"\nmanifold = \"open\"\n\
         diffuser = [ {{ part = \"open\", depth = \"4 ft\" }}, {{ part = \"open\", depth = \"6 ft\" }} ]\n\
         claim.depth = \"6 ft\"\n[[package.kit.option]]\nid = \"a\"\n\
         airline = {{ part = \"small\", length = \"50 ft\", count = 2 }}\n"
    );
    let found = of(&text, Claim::Depth);
    let flow = found
        .criteria
        .iter()
        .find(|one| one.name == "flow")
        .unwrap();
    let scfm = |si: f64| si / 4.719_474_432e-4;
    let (least, most) = (scfm(flow.low.unwrap()), scfm(flow.high.unwrap()));
    assert!(least <= 0.224 && most >= 0.927, "{least} to {most}");
}

/// A relief valve that opens below the pressure a depth needs lets the air off before it gets there.
#[test]
fn a_relief_valve_bounds_the_pressure() {
    let depth = |relief: &str| {
        let text = package("claim.depth = \"1.5 m\"");
        let stated = format!("max_pressure = \"24 kPa\"\nrelief = \"{relief} kPa\"");
        of(
            &text.replace("max_pressure = \"24 kPa\"", &stated),
            Claim::Depth,
        )
        .outcome
    };
    assert_eq!(depth("28"), Word::Supported);
    assert_eq!(depth("12"), Word::Contradicted);
}

/// Watts that couldn't compress it refute a flow at any depth, also where the machine's curve isn't known that far.
#[test]
fn a_flow_is_held_to_the_watts_where_it_is_promised() {
    let flow = |depth: &str| {
        let text = package(&format!(
            "claim.flow = {{ is = \"74 L/min\", at = \"{depth} m\" }}"
        ))
        .replace("  { pressure = \"33 kPa\", flow = \"0 L/min\" },\n", "");
        of(&text, Claim::Flow).outcome
    };
    assert_eq!(flow("1.5"), Word::Contradicted);
    assert_eq!(flow("6.0"), Word::Contradicted);
}

/// A flow at a depth where the machine would be beyond what it may hold is no flow that can be promised.
#[test]
fn a_flow_at_a_depth_is_held_to_the_machines_pressure_there() {
    let flow = |depth: &str, flow: &str| {
        let text = package(&format!(
            "claim.flow = {{ is = \"{flow} L/min\", at = \"{depth} m\" }}"
        ));
        let found = of(&text, Claim::Flow);
        (found.outcome, found.within_rating)
    };
    assert_eq!(flow("2.9", "5"), (Word::Contradicted, Some(false)));
    assert_eq!(flow("1.5", "30").1, Some(true));
}

/// Which option keeps a promise and which can't stands in the table, whatever the best of them does.
#[test]
fn the_table_shows_options_that_differ() {
    let text = package("claim.depth = \"1.5 m\"")
        + "[[package.kit.option]]\nid = \"thin\"\nairline = { part = \"small\", length = \"300 m\", count = 2 }\n";
    let outcome = run(&text.replace("size = \"3/8 in\"", "size = \"1/8 in\""));
    assert_eq!(verdict(&outcome, Claim::Depth).outcome, Word::Supported);
    let look = nameplate::report::terminal::Look {
        width: 100,
        color: false,
        unicode: false,
        detail: nameplate::report::terminal::Detail::Usual,
    };
    let page = nameplate::report::terminal::render(&outcome, look);
    let rows: Vec<&str> = page.lines().map(str::trim).collect();
    assert!(
        rows.iter()
            .any(|row| row.starts_with("thin ") && row.contains("contradicted")),
        "{page}"
    );
    assert!(
        rows.iter()
            .any(|row| row.starts_with("with-airline ") && row.contains("holds")),
        "{page}"
    );
}

/// Horsepower is what a shaft gives: what the motor draws, and so what it costs, nobody has said.
#[test]
fn a_motors_size_is_no_bill() {
    let text = package("claim.running_cost = \"2 USD/month\"");
    assert_eq!(of(&text, Claim::RunningCost).outcome, Word::Contradicted);
    let sized = text.replace("power = \"44 W\"", "power = \"1/4 hp\"");
    assert_eq!(of(&sized, Claim::RunningCost).outcome, Word::NotEvaluated);
}
