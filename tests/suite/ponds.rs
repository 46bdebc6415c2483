//! Ponds: which package serves, held to another calculation of the same and to what must be so of any pond.

use std::path::Path;

use nameplate::catalog::{Basin, Catalog};
use nameplate::claims::{self, Grade};
use nameplate::derive::Derived;
use nameplate::engine;
use nameplate::pond::degrees::Degrees;
use nameplate::pond::fit::{Fit, Judge, rank, serves};
use nameplate::pond::ground::Ground;
use nameplate::pond::layout::{self, Layouts, Placed};
use nameplate::pond::survey::{self, Survey};
use nameplate::pond::{Answer, Pond, Rank, Read, geojson, mend, offers};
use proptest::prelude::*;
use serde_json::Value;
use tempfile::TempDir;

use crate::published_rows::{Row, rows};
use crate::schemas::printed;
use crate::scratch;

/// The catalogs in `text`.
pub fn catalog(text: &str) -> Catalog {
    let mut catalogs = engine::read(vec![scratch::alone("catalog.toml", text)]).catalogs;
    assert_eq!(catalogs.len(), 1);
    catalogs.remove(0)
}

/// The pond in `text`, which has no fault.
pub fn pond(text: &str) -> Pond {
    let read = Read::of("pond.toml", text.as_bytes().to_vec());
    let said: Vec<&str> = read
        .findings
        .iter()
        .map(|one| one.message.as_str())
        .collect();
    assert!(read.findings.is_empty(), "{text}\n{said:?}");
    Pond::of(&read.entry, None).unwrap()
}

/// What comes of a pond and a catalog; `look` gets the answer.
pub fn asked<T>(
    pond: &Pond,
    text: &str,
    by: Option<Rank>,
    look: impl FnOnce(&[Judge], &Answer) -> T,
) -> T {
    let catalog = pond.put_to(catalog(text));
    let judges = [Judge::new(&catalog, pond)];
    let answer = offers::answer(&judges, by, usize::MAX);
    look(&judges, &answer)
}

/// How the only way to buy the only package serves.
fn only_fit(pond: &Pond, text: &str) -> Fit {
    asked(pond, text, None, |_, answer| {
        assert_eq!(answer.offers.len(), 1);
        answer.offers[0].fit.clone()
    })
}

// ---- another calculation ---------------------------------------------------------------------

/// The machines of `tests/published/pond_choice.py`: technology, open flow L/min, shut-off kPa, limit kPa, W, dB(A).
const MACHINES: [(&str, &str, [f64; 5]); 4] = [
    ("linear", "linear-diaphragm", [95.0, 48.0, 26.0, 58.0, 42.0]),
    (
        "piston",
        "rocking-piston",
        [110.0, 260.0, 130.0, 185.0, 58.0],
    ),
    ("vane", "rotary-vane", [240.0, 180.0, 80.0, 330.0, 61.0]),
    (
        "blower",
        "regenerative-blower",
        [900.0, 24.0, 17.0, 560.0, 64.0],
    ),
];

/// A package of so many diffusers on one of these machines.
pub fn package(machine: &str, diffusers: u32, bore: f64, run: f64) -> String {
    let (_, technology, [open, shut, limit, watts, level]) =
        MACHINES.iter().find(|(name, ..)| *name == machine).unwrap();
    let middle = (open / 2.0, shut / 2.0);
    format!(
        r#"[catalog]
format = 1

[compressor.machine]
technology = "{technology}"
voltage = "230 V"
frequency = "50 Hz"
power = "{watts} W"
curve = [
  {{ pressure = "0 kPa", flow = "{open} L/min" }},
  {{ pressure = "{} kPa", flow = "{} L/min" }},
  {{ pressure = "{shut} kPa", flow = "0 L/min" }},
]
max_pressure = "{limit} kPa"
sound = {{ is = "{level} dB(A)", at = "1 m" }}
outlet = "1/2 in barb"

[diffuser.disc]
flow = "10 to 60 L/min"
loss = [
  {{ flow = "10 L/min", pressure = "2.2 kPa" }},
  {{ flow = "60 L/min", pressure = "3.6 kPa" }},
]
check_valve = true
bubble = "fine"
inlet = "1/2 in barb"

[airline.line]
bore = "{} mm"

[package.it]
compressor = "machine"
diffuser = {{ part = "disc", count = {diffusers} }}

[[package.it.option]]
id = "with-line"
airline = {{ part = "line", length = "{run} m", count = {diffusers} }}
"#,
        middle.1,
        middle.0,
        bore * 1e3
    )
}

/// Holds `is` to lie between two figures, give or take so much.
pub fn within(what: &str, is: Option<f64>, low: f64, high: f64, off: f64) {
    let is = is.unwrap_or_else(|| panic!("{what} isn't known"));
    assert!(
        low * (1.0 - off) <= is && is <= high * (1.0 + off),
        "{what}: {is}, and {low} to {high} elsewhere"
    );
}

/// `tests/published/pond_choice.csv`, which `pond_choice.py` beside it makes with other libraries. The duty point may
/// be 0.5 % off, as the real air of CoolProp isn't ideal; the plume 2 %, as the program's is a fit of the integral.
#[test]
fn forty_eight_ponds_are_answered_as_another_calculation_answers_them() {
    let (mut count, mut serving) = (0, 0);
    for row in rows("pond_choice.csv") {
        let line = row.line;
        let cell = |head: &str| row.text(head);
        let number = |head: &str| row.number(head).unwrap();
        let diffusers: u32 = cell("diffusers").parse().unwrap();
        let text = package(
            cell("machine"),
            diffusers,
            number("bore_m"),
            number("run_m"),
        );
        let pond = pond(&format!(
            "[pond]\narea = \"{} m2\"\ndepth = \"{} m\"\naltitude = \"{} m\"\nwater = \"{} K\"\nhours_per_day = {}\n\
             tariff = \"{} EUR/kWh\"\nrunning_cost = \"{} EUR/month\"\near = \"{} m\"\nsound = \"{} dB(A)\"\nrun = \"{} m\"\n",
            cell("area_m2"),
            cell("depth_m"),
            cell("altitude_m"),
            cell("water_k"),
            cell("hours"),
            cell("tariff"),
            cell("budget"),
            cell("ear_m"),
            cell("allowed_dba"),
            cell("run_m"),
        ));
        let (fit, month) = asked(&pond, &text, None, |_, answer| {
            let offer = &answer.offers[0];
            (offer.fit.clone(), offer.month.clone().unwrap())
        });
        let typical = |name: &str| {
            fit.need(name)
                .unwrap_or_else(|| panic!("{name} in {line}"))
                .given[1]
        };
        let (low, high) = (number("manifold_low_pa"), number("manifold_high_pa"));
        within("manifold", typical("pressure"), low, high, 0.005);
        let (low, high) = (number("air_low_m3_per_s"), number("air_high_m3_per_s"));
        within("air", typical("flow"), low, high, 0.005);
        let stirred = number("stirred_rated_m2");
        within(
            "stirred",
            fit.need("reach").unwrap().rated,
            stirred,
            stirred,
            1e-6,
        );
        let (low, high) = (number("turnovers_low"), number("turnovers_high"));
        within(
            "turnovers",
            typical("turnover").map(|rate| rate * 86_400.0),
            low,
            high,
            0.02,
        );
        if let Some(mixing) = fit.need("mixing") {
            let (low, high) = (number("mixed_low_m2"), number("mixed_high_m2"));
            within("mixed", mixing.given[1], low, high, 0.005);
        }
        assert_eq!(fit.need("mixing").is_some(), number("depth_m") >= 2.4);
        let cost = number("cost_a_month");
        within("cost", Some(month.sum), cost, cost, 1e-6);
        let level = number("level_dba");
        within("level", typical("sound"), level, level, 1e-6);
        // Which needs fall short of what is rated.
        let named = [
            "pressure", "flow", "reach", "turnover", "cost", "sound", "mixing",
        ];
        let short: Vec<&str> = named
            .into_iter()
            .filter(|name| fit.need(name).is_some_and(|need| !serves(need.grade)))
            .collect();
        assert_eq!(short.join(" "), cell("short"), "{line}");
        count += 1;
        serving += usize::from(serves(fit.grade()));
        assert_eq!(serves(fit.grade()), short.is_empty(), "{line}");
    }
    assert_eq!(count, 48);
    assert!((10..=30).contains(&serving), "{serving} serve");
}

// ---- the same as an audit ---------------------------------------------------------------------

/// A catalog with machines of every kind, some of which serve any pond of usual size.
const STOCK: &str = include_str!("ponds/stock.toml");

/// Promises written with so many digits that the last leaves nothing open.
fn promising(text: &str, area: f64, depth: f64) -> String {
    let claim = format!("depth = \"{depth:.9} m\"\narea = \"{area:.9} m2\"\n");
    text.lines()
        .map(|line| {
            match line
                .strip_prefix("[package.")
                .and_then(|rest| rest.strip_suffix(']'))
            {
                Some(id) if !id.contains('.') => format!(
                    "{line}\nclaim = {{ {} }}\n",
                    claim.trim().replace('\n', ", ")
                ),
                _ => format!("{line}\n"),
            }
        })
        .collect()
}

/// A pond is answered what an audit says of a package that promises it.
#[test]
fn a_pond_gets_the_grades_that_promises_of_it_get() {
    let mut seen = std::collections::BTreeMap::new();
    for (area, depth) in [
        (90.0, 0.9),
        (400.0, 1.4),
        (900.0, 1.9),
        (2500.0, 2.6),
        (6000.0, 4.2),
        (60_000.0, 3.0),
    ] {
        let catalog = catalog(&promising(STOCK, area, depth));
        let derived = Derived::of(&catalog);
        let pond = pond(&format!(
            "[pond]\narea = \"{area} m2\"\ndepth = \"{depth} m\"\n"
        ));
        asked(&pond, STOCK, None, |_, answer| {
            for facts in &derived.packages {
                let id = &facts.package.entry.id;
                let verdicts = claims::judge(&catalog, &derived, facts);
                let mut own = answer
                    .offers
                    .iter()
                    .filter(|offer| offer.package.entry.id == *id);
                let offer = own.next().unwrap();
                // Packages of one way, so that the package's verdict is the way's.
                assert!(own.next().is_none(), "{id}");
                for (claim, needs) in [
                    (claims::Claim::Depth, &["pressure", "flow", "head"][..]),
                    (
                        claims::Claim::Area,
                        &["reach", "farthest", "served", "turnover", "mixing"],
                    ),
                ] {
                    let verdict = verdicts
                        .iter()
                        .find(|verdict| verdict.claim == claim)
                        .unwrap();
                    let grades = needs.iter().filter_map(|name| offer.fit.need(name));
                    let worst = grades
                        .map(|need| need.grade)
                        .max_by_key(|grade| rank(*grade));
                    if verdict.missing.is_none() {
                        assert_eq!(
                            worst,
                            Some(verdict.grade()),
                            "{id} {claim:?} {area} {depth}"
                        );
                        *seen.entry(verdict.grade()).or_insert(0) += 1;
                    }
                }
            }
        });
    }
    let grades = [
        Grade::Holds,
        Grade::WithinRating,
        Grade::BeyondRating,
        Grade::Contradicted,
    ];
    assert!(
        grades.iter().all(|grade| seen.contains_key(grade)),
        "{seen:?}"
    );
}

// ---- what must be so of any pond ----------------------------------------------------------------

/// The stock in a pond of so large an area, so deep, with so long a run.
fn stock(area: f64, depth: f64, run: f64) -> Vec<(String, Fit)> {
    let text = format!("[pond]\narea = \"{area} m2\"\ndepth = \"{depth} m\"\nrun = \"{run} m\"\n");
    asked(&pond(&text), STOCK, None, |_, answer| {
        let mut fits: Vec<(String, Fit)> = answer
            .offers
            .iter()
            .map(|offer| (offer.package.entry.id.clone(), offer.fit.clone()))
            .collect();
        fits.sort_by(|a, b| a.0.cmp(&b.0));
        fits
    })
}

/// Holds every package to fit no better in `harder` than in `easier`, by these needs.
fn no_better(easier: &[(String, Fit)], harder: &[(String, Fit)], names: &[&str]) {
    assert!(!easier.is_empty());
    for ((id, easy), (_, hard)) in easier.iter().zip(harder) {
        for name in names {
            let (Some(easy), Some(hard)) = (easy.need(name), hard.need(name)) else {
                continue;
            };
            assert!(
                rank(easy.grade) <= rank(hard.grade),
                "{id} {name}: {:?}, then {:?}",
                easy.grade,
                hard.grade
            );
            if let (Some(easy), Some(hard)) = (easy.margin(), hard.margin()) {
                assert!(
                    hard <= easy + 1e-9,
                    "{id} {name}: {easy} to spare, then {hard}"
                );
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn more_area_never_fits_better(area in 50.0..5000.0f64, more in 1.01..20.0f64, depth in 0.6..5.0f64, run in 0.0..150.0f64) {
        let (small, large) = (stock(area, depth, run), stock(area * more, depth, run));
        no_better(&small, &large, &["reach", "turnover", "mixing"]);
        // Pressure and air know nothing of the area.
        for ((_, small), (_, large)) in small.iter().zip(&large) {
            for name in ["pressure", "flow"] {
                prop_assert_eq!(small.need(name), large.need(name));
            }
        }
    }

    #[test]
    fn deeper_never_raises_the_air_nor_lowers_the_pressure(area in 50.0..5000.0f64, depth in 0.6..4.0f64, more in 1.01..1.5f64, run in 0.0..150.0f64) {
        no_better(&stock(area, depth, run), &stock(area, depth * more, run), &["pressure", "flow"]);
    }

    #[test]
    fn a_longer_run_never_fits_better(area in 50.0..5000.0f64, depth in 0.6..4.0f64, run in 0.0..150.0f64, more in 1.0..200.0f64) {
        let needs = ["pressure", "flow", "turnover", "mixing"];
        no_better(&stock(area, depth, run), &stock(area, depth, run + more), &needs);
    }
}

// ---- many packages ------------------------------------------------------------------------------

/// All that an answer tells of an offer.
fn told(offer: &nameplate::pond::Offer) -> String {
    format!(
        "{} {} {:?} {:?} {:?} {:?} {:?} {:?}",
        offer.catalog,
        offer.package.entry.id,
        offer.way,
        offer.fit,
        offer.price,
        offer.month,
        offer.noise,
        offer.line_short
    )
}

/// Of many packages only the best are looked at closely. What is told of them, and how many serve, is the same as if all
/// were: over catalogs drawn at random, ponds of every size and limit, and every way to rank.
#[test]
fn a_glance_at_many_packages_tells_what_a_close_look_at_all_tells() {
    let drawn = (0..120).map(|seed| crate::generated::honest::catalog(seed).text());
    let texts: Vec<String> = drawn.chain([STOCK.to_string()]).collect();
    let (mut many, mut few, mut cheaper) = (0, 0, 0);
    for needs in [
        "area = \"60 m2\"\ndepth = \"0.8 m\"",
        "area = \"300 m2\"\ndepth = \"1.4 m\"\nrun = [\"12 m\", \"30 m\", \"45 m\"]",
        "area = \"900 m2\"\ndepth = \"2.1 m\"\nrun = \"25 m\"\naltitude = \"900 m\"",
        "area = \"2500 m2\"\ndepth = \"2.6 m\"\nhours_per_day = 12\nsupply = \"120 V 60 Hz\"",
        "area = \"900 m2\"\ndepth = \"1.6 m\"\ntariff = \"0.3 EUR/kWh\"\nrunning_cost = \"12 EUR/month\"",
        "area = \"700 m2\"\ndepth = \"1.7 m\"\near = \"12 m\"\nsound = \"32 dB(A)\"\nsupply = \"230 V 50 Hz\"",
        "area = \"500 m2\"\ndepth = \"1.5 m\"\noxygen_uptake = \"1 kg/d\"",
        "area = \"40000 m2\"\ndepth = \"5 m\"",
    ] {
        let pond = pond(&format!("[pond]\n{needs}\n"));
        let catalogs: Vec<Catalog> = texts
            .iter()
            .map(|text| pond.put_to(catalog(text)))
            .collect();
        let judges: Vec<Judge> = catalogs.iter().map(|one| Judge::new(one, &pond)).collect();
        for by in [
            None,
            Some(Rank::Price),
            Some(Rank::Cost),
            Some(Rank::Noise),
            Some(Rank::Margin),
        ] {
            let whole = offers::answer(&judges, by, usize::MAX);
            for closely in [1, 6, 12] {
                let quick = offers::answer(&judges, by, closely);
                assert_eq!(
                    (quick.count, quick.serving, quick.by, quick.asked),
                    (
                        whole.offers.len(),
                        whole.serving().count(),
                        whole.by,
                        whole.asked
                    ),
                    "{needs}"
                );
                let first = |answer: &Answer| -> Vec<String> {
                    answer.offers.iter().take(closely).map(told).collect()
                };
                assert_eq!(first(&quick), first(&whole), "{needs} {by:?} {closely}");
                let alike = |answer: &Answer| -> Vec<String> {
                    answer
                        .as_good_as_the_first()
                        .into_iter()
                        .map(told)
                        .collect()
                };
                assert_eq!(alike(&quick), alike(&whole), "{needs} {by:?}");
                let next = |answer: &Answer| answer.next_cheaper.as_ref().map(told);
                assert_eq!(next(&quick), next(&whole), "{needs} {by:?}");
                cheaper += usize::from(next(&quick).is_some());
                // The short cut is one: most aren't looked at.
                if whole.serving > 40 && by != Some(Rank::Margin) {
                    many += usize::from(quick.offers.len() < whole.serving);
                } else {
                    few += 1;
                }
            }
        }
    }
    assert!(
        many > 10 && few > 10 && cheaper > 10,
        "{many} {few} {cheaper}"
    );
}

// ---- changes ------------------------------------------------------------------------------------

/// What is said to make a package serve does so when a catalog or a pond says it.
#[test]
fn every_change_that_is_named_makes_it_serve() {
    let mut seen = std::collections::BTreeMap::new();
    for (machine, diffusers, bore, run, area, depth) in [
        ("linear", 1, 0.0127, 20.0, 500.0, 1.6),
        ("linear", 2, 0.0127, 20.0, 2000.0, 2.0),
        ("linear", 4, 0.0064, 90.0, 300.0, 1.5),
        ("linear", 6, 0.0095, 90.0, 900.0, 1.8),
        ("linear", 2, 0.0064, 60.0, 900.0, 2.2),
        ("linear", 2, 0.0127, 20.0, 300.0, 2.9),
        ("piston", 1, 0.0064, 300.0, 1500.0, 4.0),
        ("piston", 12, 0.0127, 40.0, 1500.0, 4.0),
        ("vane", 2, 0.0095, 250.0, 2500.0, 3.2),
        ("vane", 3, 0.0064, 250.0, 500.0, 2.6),
        ("blower", 10, 0.0127, 60.0, 1200.0, 1.3),
        ("blower", 8, 0.0095, 60.0, 400.0, 1.1),
    ] {
        let text = package(machine, diffusers, bore, run);
        let pond_text = |run: f64, depth: f64| {
            format!("[pond]\narea = \"{area} m2\"\ndepth = \"{depth} m\"\nrun = \"{run} m\"\n")
        };
        let own = pond(&pond_text(run, depth));
        let (mends, grade) = asked(&own, &text, None, |judges, answer| {
            let offer = &answer.offers[0];
            (mend::mends(&judges[0], offer), offer.grade())
        });
        assert!(mends.is_empty() || !serves(grade));
        for mend in mends {
            let again = match mend.change {
                mend::Change::Bore(bore) => only_fit(&own, &package(machine, diffusers, bore, run)),
                mend::Change::Run(run) => only_fit(&pond(&pond_text(run, depth)), &text),
                mend::Change::Diffusers(count) => {
                    only_fit(&own, &package(machine, count, bore, run))
                }
                mend::Change::Packages(count) => {
                    let share = area / f64::from(count);
                    let part = format!(
                        "[pond]\narea = \"{share} m2\"\ndepth = \"{depth} m\"\nrun = \"{run} m\"\n"
                    );
                    only_fit(&pond(&part), &text)
                }
                // Water that is left below the diffusers is no pond of that depth.
                mend::Change::Depth(_) | mend::Change::Ear(_) | mend::Change::Hours(_) => {
                    *seen
                        .entry(
                            format!("{:?}", mend.change)
                                .split('(')
                                .next()
                                .unwrap()
                                .to_string(),
                        )
                        .or_insert(0) += 1;
                    continue;
                }
            };
            assert!(
                serves(again.grade()),
                "{machine} {mend:?}: {:?}",
                again.needs
            );
            assert_eq!(again.grade(), mend.grade, "{machine} {mend:?}");
            *seen
                .entry(
                    format!("{:?}", mend.change)
                        .split('(')
                        .next()
                        .unwrap()
                        .to_string(),
                )
                .or_insert(0) += 1;
        }
    }
    for change in ["Bore", "Run", "Diffusers", "Packages"] {
        assert!(seen.contains_key(change), "{seen:?}");
    }
}

#[test]
fn a_limit_of_sound_or_cost_names_the_place_and_the_hours_that_keep_it() {
    let text = package("linear", 2, 0.0127, 20.0);
    let at = |more: &str| {
        pond(&format!(
            "[pond]\narea = \"400 m2\"\ndepth = \"1.5 m\"\n{more}"
        ))
    };
    // 42 dB(A) at 1 m are 36 at 2 m, carried there 39 in the worst case: 34 at the most from 3.55 m on.
    let loud = at("ear = \"2 m\"\nsound = \"34 dB(A)\"\n");
    let mends = asked(&loud, &text, None, |judges, answer| {
        mend::mends(&judges[0], &answer.offers[0])
    });
    assert_eq!(mends.len(), 1);
    assert_eq!(mends[0].change, mend::Change::Ear(4.0));
    assert!(serves(
        only_fit(&at("ear = \"4 m\"\nsound = \"34 dB(A)\"\n"), &text).grade()
    ));
    // 58 W all day for a month of 730.5 h are 42.4 kWh.
    let dear = at("tariff = \"0.50 EUR/kWh\"\nrunning_cost = \"15 EUR/month\"\n");
    let mends = asked(&dear, &text, None, |judges, answer| {
        mend::mends(&judges[0], &answer.offers[0])
    });
    assert_eq!(mends.len(), 1);
    assert_eq!(mends[0].change, mend::Change::Hours(16.0));
    let less =
        at("tariff = \"0.50 EUR/kWh\"\nrunning_cost = \"15 EUR/month\"\nhours_per_day = 16\n");
    assert!(serves(only_fit(&less, &text).grade()));
}

/// Each option is answered for itself: a louder machine in one is no fault of the other.
#[test]
fn an_option_with_another_machine_is_answered_for_itself() {
    let text = package("linear", 2, 0.0127, 20.0);
    let loud = package("linear", 2, 0.0127, 20.0);
    let machine = loud.split("[compressor.machine]").nth(1).unwrap();
    let machine = machine
        .split("[diffuser.disc]")
        .next()
        .unwrap()
        .replace("42 dB(A)", "62 dB(A)");
    let text = format!(
        "{text}\n[compressor.loud]{machine}\n[[package.it.option]]\nid = \"with-loud\"\ncompressor = \"loud\"\n\
         airline = {{ part = \"line\", length = \"20 m\", count = 2 }}\n"
    );
    let at =
        pond("[pond]\narea = \"300 m2\"\ndepth = \"1.5 m\"\near = \"2 m\"\nsound = \"45 dB(A)\"\n");
    let of = |by: Rank| {
        asked(&at, &text, Some(by), |_, answer| {
            let offers = answer.offers.iter();
            let grades = offers.map(|offer| {
                (
                    offer.option().unwrap().to_string(),
                    offer.fit.need("sound").unwrap().grade,
                )
            });
            grades.collect::<Vec<_>>()
        })
    };
    let expected = [
        ("with-line".to_string(), Grade::Holds),
        ("with-loud".to_string(), Grade::Contradicted),
    ];
    assert_eq!(of(Rank::Noise), expected);
}

// ---- hostile files ------------------------------------------------------------------------------

/// Whatever bytes a pond is, it is answered, lacks something or is told at its place.
pub fn answered(bytes: &[u8]) {
    let read = Read::of("pond.toml", bytes.to_vec());
    for finding in &read.findings {
        assert!(finding.at.end as usize <= read.sources.get(finding.at.file).text().len());
        assert!(!finding.message.is_empty());
    }
    if read.is_faulty() {
        return;
    }
    let Ok(pond) = Pond::of(&read.entry, None) else {
        return;
    };
    asked(&pond, STOCK, None, |judges, answer| {
        for offer in &answer.offers {
            let _ = mend::reach(&judges[0], offer);
        }
        let first = &answer.offers[0];
        let _ = mend::mends(&judges[0], first);
    });
}

/// Outlines and soundings of any numbers end with a fault or a layout.
#[test]
fn odd_outlines_and_soundings_are_told_or_laid_out() {
    let odd = [0.0, 1e-300, 1e-9, 0.3, 7.0, 90.0, 180.0, 1e7, -1e7];
    for (number, &x) in odd.iter().enumerate() {
        for &y in &odd {
            let other = odd[(number + 3) % odd.len()];
            let corners = [[x, y], [other, y], [other, x], [x, 5.0]];
            let all: Vec<[f64; 2]> = match Degrees::of(&corners) {
                Some(degrees) => corners.iter().map(|&at| degrees.metres(at)).collect(),
                None => corners.to_vec(),
            };
            let rows = format!("{other},{y},1\n{x},{x},2\n3,4,0.5\n");
            let soundings = survey::soundings(&rows);
            for soundings in [None, soundings.as_deref().ok()] {
                let Ok(survey) = Survey::of(Some(&all), soundings) else {
                    continue;
                };
                let layouts = Layouts::new(Ground::of(&survey, Basin::Cone, 2.0), Some([y, x]));
                for layout in [layouts.of(&[None]), layouts.of(&[None, Some(0.2)])]
                    .into_iter()
                    .flatten()
                {
                    assert!(layout.places.iter().all(|one| one.depth >= 0.0));
                }
            }
        }
    }
    let polygon = r#"{"type":"Polygon","coordinates":[[[0,0],[4,0],[4,3],[0,0]]]}"#;
    for end in 0..polygon.len() {
        assert!(geojson::outline(&polygon[..end]).is_err());
    }
    let deep = format!("{}1{}", "[".repeat(100_000), "]".repeat(100_000));
    assert!(geojson::outline(&deep).is_err());
}

#[test]
fn every_beginning_of_a_pond_file_is_told_or_answered() {
    let whole = include_bytes!("../../catalog-examples/ponds/village.toml");
    for end in 0..whole.len() {
        answered(&whole[..end]);
    }
}

#[test]
fn figures_beyond_sense_are_told_or_answered() {
    let keys = [
        "area",
        "depth",
        "mean_depth",
        "altitude",
        "air",
        "water",
        "run",
        "ear",
        "sound",
        "oxygen_uptake",
    ];
    let units = [
        "m2", "m", "m", "m", "degC", "degC", "m", "m", "dB(A)", "kg/day",
    ];
    for (key, unit) in keys.iter().zip(units) {
        for number in [
            "0",
            "-1",
            "1e-300",
            "1e300",
            "1e9999",
            "nan",
            "inf",
            "0.000001",
            "999999999999",
        ] {
            let usual = [("area", "400 m2"), ("depth", "1.5 m"), ("ear", "9 m")];
            let others = usual.iter().filter(|(other, _)| other != key);
            let others: String = others
                .map(|(other, value)| format!("{other} = \"{value}\"\n"))
                .collect();
            answered(format!("[pond]\n{key} = \"{number} {unit}\"\n{others}").as_bytes());
        }
    }
    answered(b"[pond]\narea = \"400 m2\"\ndepth = \"1.5 m\"\nhours_per_day = 0\n");
    answered(b"[pond]\narea = \"400 m2\"\ndepth = \"1.5 m\"\nshape = 1e12\n");
}

// ---- outlines and soundings ---------------------------------------------------------------------

/// `tests/published/pond_survey.csv`, which `pond_survey.py` beside it makes with shapely and scipy. Volumes may be 1 %
/// off: that one samples a grid, and the program sums prisms.
#[test]
fn ten_ponds_are_surveyed_as_other_libraries_survey_them() {
    let mut count = 0;
    for row in rows("pond_survey.csv") {
        let own = surveyed(&row);
        let near = |what: &str, is: Option<f64>, off: f64| {
            let should = row.number(what).unwrap();
            within(what, is, should, should, off);
        };
        near("area_m2", Some(own.area), 1e-8);
        near("depth_m", own.depth, 1e-9);
        near("volume_m3", own.volume, 0.01);
        count += 1;
    }
    assert_eq!(count, 10);
}

/// The corners and the soundings of a row of `tests/published/pond_survey.csv`.
fn surveyed(row: &Row) -> Survey {
    let rows = row.text("soundings").replace(' ', ",").replace(';', "\n");
    let soundings = survey::soundings(&format!("x,y,depth\n{rows}\n")).unwrap();
    Survey::of(Some(&places(row.text("outline"))), Some(&soundings)).unwrap()
}

/// Places as the tables have them: `x y;x y`.
fn places(cell: &str) -> Vec<[f64; 2]> {
    cell.split(';')
        .map(|place| {
            let (x, y) = place.split_once(' ').unwrap();
            [x.parse().unwrap(), y.parse().unwrap()]
        })
        .collect()
}

/// `tests/published/pond_places.csv`, which `pond_places.py` beside it makes with scipy and shapely: an optimum sought
/// in another way over other places, the depth and the run there, and the area of circles.
#[test]
fn diffusers_lie_as_well_as_another_search_lays_them() {
    let ponds = rows("pond_survey.csv");
    let mut count = 0;
    for row in rows("pond_places.csv") {
        let number = |what: &str| row.number(what).unwrap();
        let survey = surveyed(&ponds[number("pond") as usize]);
        let ground = Ground::of(&survey, Basin::Bowl, 9.0);
        let theirs = places(row.text("places"));
        let (depth, run) = (number("depth_m"), number("run_m"));
        let own = ground.depth_at(theirs[0]);
        within("depth", Some(own), depth, depth, 0.01);
        let own = ground.run(survey.shore.corners()[0], theirs[0]).length;
        within("run", Some(own), run, run, 0.005);
        let placed: Vec<Placed> = theirs
            .iter()
            .map(|&at| Placed {
                at,
                depth: ground.depth_at(at),
                own_depth: None,
                run: None,
                over_land: 0.0,
            })
            .collect();
        for (reach, what) in [(3.0, "within_3"), (5.0, "within_5")] {
            let (own, their) = (layout::covered(&ground, &placed, reach), number(what));
            assert!(
                (own - their).abs() < 0.012,
                "{own} {what}, line {}",
                row.line
            );
        }
        let layouts = Layouts::new(ground, None);
        let own = layouts.of(&vec![None; placed.len()]).unwrap();
        // Places lie on a lattice, theirs anywhere; neither search promises the very best.
        let spread = number("spread");
        within(
            "spread",
            Some(own.spread),
            0.95 * spread,
            1.03 * spread,
            0.0,
        );
        count += 1;
    }
    assert_eq!(count, 30);
}

/// `tests/published/pond_degrees.csv`: areas and shores along the geodesics of pyproj.
#[test]
fn degrees_are_as_many_metres_as_another_library_measures() {
    let mut count = 0;
    for row in rows("pond_degrees.csv") {
        let corners = places(row.text("outline"));
        let degrees = Degrees::of(&corners).unwrap();
        let corners: Vec<[f64; 2]> = corners.into_iter().map(|at| degrees.metres(at)).collect();
        let survey = Survey::of(Some(&corners), None).unwrap();
        let around: f64 = survey
            .shore
            .edges()
            .map(|(a, b)| f64::hypot(b[0] - a[0], b[1] - a[1]))
            .sum();
        let number = |what: &str| row.number(what).unwrap();
        let (area, shore) = (number("area_m2"), number("around_m"));
        within("area", Some(survey.area), area, area, 1e-5);
        within("around", Some(around), shore, shore, 1e-4);
        count += 1;
    }
    assert_eq!(count, 10);
}

// ---- the command --------------------------------------------------------------------------------

/// A folder with the stock and such a pond file.
fn place(text: &str) -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("catalog.toml"), STOCK).unwrap();
    std::fs::write(folder.path().join("pond.toml"), text).unwrap();
    folder
}

fn run(folder: &Path, arguments: &[&str]) -> (Option<i32>, String, String) {
    let output = scratch::run(folder, &[&["pond"], arguments].concat());
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    (
        output.status.code(),
        text(output.stdout),
        text(output.stderr),
    )
}

/// The answer as JSON, held to its schema.
fn json(folder: &Path, arguments: &[&str]) -> Value {
    let (_, out, said) = run(folder, &[arguments, &["--format", "json"]].concat());
    let value: Value = serde_json::from_str(&out).unwrap_or_else(|_| panic!("{said}"));
    let schema: Value = serde_json::from_str(&printed("pond-answer")).unwrap();
    let validator = jsonschema::validator_for(&schema).unwrap();
    let faults: Vec<String> = validator
        .iter_errors(&value)
        .map(|fault| format!("{}: {fault}", fault.instance_path()))
        .collect();
    assert!(faults.is_empty(), "{}", faults.join("\n"));
    value
}

/// Every key, so that every part of an answer is there.
const WHOLE: &str = r#"[pond]
title = "Mill pond"
area = "700 m2"
depth = "2.5 m"
mean_depth = "1.2 m"
basin = "bowl"
shape = 1.4
altitude = "120 m"
air = "18 degC"
water = "16 degC"
ice = true
run = ["18 m", "26 m"]
supply = "230 V 50 Hz"
tariff = "0.31 EUR/kWh"
running_cost = "60 EUR/month"
hours_per_day = 20
ear = "14 m"
sound = "40 dB(A)"
oxygen_uptake = "1 kg/d"
start = 2027-04-12
"#;

#[test]
fn options_are_the_keys_of_the_file_and_count_before_it() {
    let folder = place(WHOLE);
    let of_file = json(folder.path(), &["pond.toml", "catalog.toml"]);
    let table: toml::Table = toml::from_str(WHOLE).unwrap();
    let mut arguments = vec!["catalog.toml".to_string()];
    for (key, value) in table["pond"].as_table().unwrap() {
        let values = value
            .as_array()
            .cloned()
            .unwrap_or_else(|| vec![value.clone()]);
        for value in values {
            let text = value
                .as_str()
                .map_or_else(|| value.to_string(), str::to_string);
            arguments.extend([format!("--{}", key.replace('_', "-")), text]);
        }
    }
    let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
    assert_eq!(json(folder.path(), &arguments), of_file);
    let over = json(
        folder.path(),
        &["pond.toml", "catalog.toml", "--area", "7000 m2"],
    );
    assert_eq!(over["pond"]["area_m2"], 7000.0);
    assert_eq!(over["pond"]["depth_m"], of_file["pond"]["depth_m"]);
}

#[test]
fn an_answer_says_what_serves_when_and_why_the_next_cheaper_one_fails() {
    let folder = place(WHOLE);
    let (status, text, _) = run(folder.path(), &["pond.toml", "catalog.toml"]);
    assert_eq!(status, Some(0));
    let first = text.lines().next().unwrap();
    assert!(
        first.contains(" serves") && first.contains("Mill pond"),
        "{first}"
    );
    for said in [
        "Why not the next cheaper one",
        "on 2027-04-13",
        "Winter",
        "electrician",
        "thin the ice",
    ] {
        assert!(text.contains(said), "{said} in\n{text}");
    }
    let answer = json(folder.path(), &["pond.toml", "catalog.toml"]);
    assert_eq!(answer["ranked_by"], "price");
    let listed = answer["listed"].as_array().unwrap();
    let prices: Vec<f64> = listed
        .iter()
        .filter(|one| one["serves"] == true)
        .map(|one| one["price"]["sum"].as_f64().unwrap())
        .collect();
    assert!(!prices.is_empty() && prices.is_sorted(), "{prices:?}");
    // What serves comes first, and what doesn't says why.
    let serves: Vec<bool> = listed.iter().map(|one| one["serves"] == true).collect();
    assert!(serves.is_sorted_by(|a, b| a >= b));
    assert!(
        listed
            .iter()
            .all(|one| one["why"].is_string() == (one["serves"] == false))
    );
    assert_eq!(answer["season"]["days"][1]["date"], "2027-04-13");
    // The schedule ends at the hours that the pond is to have.
    let days = answer["season"]["days"].as_array().unwrap();
    assert_eq!(days.last().unwrap()["hours"], 20.0);
}

#[test]
fn each_rank_puts_the_best_by_it_first() {
    let folder = place("[pond]\narea = \"300 m2\"\ndepth = \"1.2 m\"\n");
    let of = |by: &str, key: &dyn Fn(&Value) -> f64| {
        let answer = json(
            folder.path(),
            &["pond.toml", "catalog.toml", "--rank", by, "--most", "0"],
        );
        assert_eq!(answer["listed"].as_array().unwrap().len(), 0);
        let answer = json(
            folder.path(),
            &["pond.toml", "catalog.toml", "--rank", by, "--most", "99"],
        );
        assert_eq!(answer["ranked_by"], by);
        let listed = answer["listed"].as_array().unwrap();
        assert_eq!(listed.len(), answer["offers"].as_u64().unwrap() as usize);
        let serving = listed.iter().filter(|one| one["serves"] == true);
        let keys: Vec<f64> = serving.map(key).collect();
        assert!(keys.len() > 2 && keys.is_sorted(), "{by}: {keys:?}");
    };
    let number = |value: &Value| value.as_f64().unwrap();
    of("price", &|one| number(&one["price"]["sum"]));
    of("cost", &|one| number(&one["energy_kwh_per_month"]));
    of("noise", &|one| number(&one["sound_dba"]));
    of("margin", &|one| -number(&one["margin"]));
}

#[test]
fn what_keeps_a_pond_from_being_answered_is_told() {
    let folder = place("[pond]\nara = \"3 m2\"\ndepth = 3\nrun = [\"4 m\", \"x\"]\n");
    let (status, out, said) = run(folder.path(), &["pond.toml", "catalog.toml"]);
    assert_eq!((status, out.as_str()), (Some(2), ""));
    for part in [
        "the nearest is `area`",
        "pond.toml, line 2, column 1",
        "line 3, column 9",
        "line 4, column 16",
    ] {
        assert!(said.contains(part), "{part} in\n{said}");
    }
    let refused = |arguments: &[&str], says: &str| {
        let (status, out, said) = run(folder.path(), arguments);
        assert_eq!((status, out.as_str()), (Some(2), ""), "{arguments:?}");
        assert!(said.contains(says), "{says} in {said}");
    };
    refused(
        &["catalog.toml", "--depth", "2 m"],
        "the pond's area is missing",
    );
    refused(
        &["catalog.toml", "--area", "20 m2"],
        "the pond's greatest depth is missing",
    );
    refused(
        &["catalog.toml", "--area", "20 m2", "--depth", "2"],
        "has no unit",
    );
    let pond = ["catalog.toml", "--area", "20 m2", "--depth", "2 m"];
    refused(
        &[&pond[..], &["--sound", "30 dB(A)"]].concat(),
        "needs the distance of the ear",
    );
    refused(
        &[&pond[..], &["--mean-depth", "3 m"]].concat(),
        "more than the greatest depth",
    );
    refused(
        &[&pond[..], &["--running-cost", "3 EUR/month"]].concat(),
        "needs the price of electricity",
    );
    let other = ["--running-cost", "3 EUR/month", "--tariff", "0.2 USD/kWh"];
    refused(&[&pond[..], &other].concat(), "in the same currency");
    std::fs::write(folder.path().join("second.toml"), "[pond]\n").unwrap();
    refused(
        &["pond.toml", "second.toml", "catalog.toml"],
        "is a second pond",
    );
    // What a file states is told with its place, what options state without one.
    let placed = |text: &str, says: &str| {
        std::fs::write(folder.path().join("pond.toml"), text).unwrap();
        refused(&["pond.toml", "catalog.toml"], says);
    };
    let size = "[pond]\narea = \"20 m2\"\ndepth = \"2 m\"\n";
    placed(
        &format!("{size}mean_depth = \"3 m\"\n"),
        "pond.toml, line 4, column 14: the mean depth is more",
    );
    placed(
        "[pond]\ndepth = \"2 m\"\n",
        "pond.toml, line 1, column 2: the pond's area",
    );
    placed(
        &format!("{size}cabinet = [2, 3]\n"),
        "pond.toml, line 4, column 11: the place of the cabinet needs the outline",
    );
    placed(
        "[pond]\ndepth = \"2 m\"\noutline = [\n  [0, 0],\n  [5, 5],\n  [5, 0],\n  [0, 6],\n]\n",
        "pond.toml, line 4, column 3: the outline crosses itself",
    );
    let square = "[pond]\ndepth = \"2 m\"\noutline = [[0, 0], [20, 0], [20, 20], [0, 20]]\n";
    placed(
        &square.replace("[20, 0]", "[20, nan]"),
        "pond.toml, line 3, column 25",
    );
    placed(
        &square.replace("[20, 0]", "[1e9, 0]"),
        "line 3, column 12: the outline has a corner more than 10000 km",
    );
    placed(
        &format!("{square}cabinet = [20000, 3]\n"),
        "line 4, column 11: the place of the cabinet is more than 10 km",
    );
    placed(
        &format!("{square}area = \"300 m2\"\n"),
        "line 4, column 8: the area isn't that of the outline",
    );
    placed(
        &format!("{square}outline_file = \"shore.geojson\"\n"),
        "line 4, column 16: the outline is there twice",
    );
    placed(
        "[pond]\ndepth = \"2 m\"\noutline_file = \"shore.geojson\"\n",
        "shore.geojson",
    );
    std::fs::write(folder.path().join("shore.geojson"), "{\"type\":\"Point\"}").unwrap();
    placed(
        "[pond]\ndepth = \"2 m\"\noutline_file = \"shore.geojson\"\n",
        "shore.geojson: it has no Polygon",
    );
    refused(&["nowhere", "--area", "20 m2", "--depth", "2 m"], "nowhere");
}

#[test]
fn where_nothing_serves_the_status_says_so() {
    let folder = place("[pond]\narea = \"50 ha\"\ndepth = \"9 m\"\nsupply = \"12 V dc\"\n");
    let (status, text, _) = run(folder.path(), &["pond.toml", "catalog.toml"]);
    assert_eq!(status, Some(1));
    assert!(
        text.starts_with("No package in the catalog serves"),
        "{text}"
    );
    assert!(
        text.contains("doesn't run on 12 V direct current"),
        "{text}"
    );
    let answer = json(folder.path(), &["pond.toml", "catalog.toml"]);
    assert_eq!(answer["serving"], 0);
    assert_eq!(answer["season"], Value::Null);
}

#[test]
fn soundings_lie_beside_the_pond_file() {
    let folder = place(
        "[pond]\noutline = [[0, 0], [30, 0], [30, 20], [0, 20]]\nsoundings = \"poles.csv\"\n",
    );
    let missing = run(folder.path(), &["pond.toml", "catalog.toml"]);
    assert_eq!(missing.0, Some(2));
    assert!(missing.2.contains("poles.csv"), "{}", missing.2);
    std::fs::write(folder.path().join("poles.csv"), "x;y;depth\n15;10;1.5\n").unwrap();
    let answer = json(folder.path(), &["pond.toml", "catalog.toml"]);
    assert_eq!(answer["pond"]["area_m2"], 600.0);
    assert_eq!(answer["pond"]["depth_m"], 1.5);
    // A roof's volume: a third of area and height, for the four faces meet above the middle.
    let mean = answer["pond"]["mean_depth_m"].as_f64().unwrap();
    assert!((mean - 0.5).abs() < 1e-9, "{mean}");
    std::fs::write(folder.path().join("poles.csv"), "x;y;depth\n15;10\n").unwrap();
    let (status, _, said) = run(folder.path(), &["pond.toml", "catalog.toml"]);
    assert_eq!(status, Some(2));
    assert!(
        said.contains("poles.csv: line 2 of the soundings"),
        "{said}"
    );
}

/// A shore that is only the hull of the soundings may have as many corners as there are soundings.
#[test]
fn soundings_all_round_a_pond_are_its_shore() {
    let corner = |number: u32| {
        let angle = f64::from(number) / 3000.0 * std::f64::consts::TAU;
        format!("{:.6},{:.6},0.1\n", 20.0 * angle.cos(), 20.0 * angle.sin())
    };
    let folder = place("[pond]\nsoundings = \"poles.csv\"\n");
    let poles: String = (0..3000).map(corner).collect();
    std::fs::write(folder.path().join("poles.csv"), poles + "0,0,2\n").unwrap();
    let answer = json(folder.path(), &["pond.toml", "catalog.toml"]);
    let area = answer["pond"]["area_m2"].as_f64();
    let disc = std::f64::consts::PI * 400.0;
    within("area", area, disc, disc, 1e-4);
}

/// What stands beside the figures so that nobody takes them for more than they are.
#[test]
fn what_an_answer_assumes_is_said_beside_it() {
    let square = "[pond]\ndepth = \"1.4 m\"\noutline = [[0, 0], [20, 0], [20, 20], [0, 20]]\n";
    let says = |more: &str, said: &str, is: bool| {
        let folder = place(&format!("{square}{more}\n"));
        for format in ["terminal", "html"] {
            let arguments = ["pond.toml", "catalog.toml", "--format", format];
            let (_, text, _) = run(folder.path(), &arguments);
            let words: Vec<&str> = text.split_whitespace().collect();
            assert_eq!(words.join(" ").contains(said), is, "{said} in\n{text}");
        }
    };
    let assumed = "How far the nearest ear is isn't known, so sound is compared at 10 m";
    says("", assumed, true);
    says("ear = \"12 m\"", assumed, false);
    let shallower = "The grades count on every diffuser at 1.4 m, the greatest depth; here the shallowest lies at";
    says("basin = \"cone\"", shallower, true);
    says("basin = \"flat\"", shallower, false);
    let wet = "The place of the cabinet lies in the water";
    says("cabinet = [10, 9]", wet, true);
    says("cabinet = [-1, 9]", wet, false);
}

/// The first of several that cost the same isn't said to cost less than they do.
#[test]
fn a_tie_is_told() {
    let own = |id: &str| {
        let text = package("linear", 2, 0.0127, 25.0);
        let (_, own) = text.split_once("[package.it]").unwrap();
        let own = own.replace("package.it.", &format!("package.{id}."));
        format!("\n[package.{id}]{own}")
    };
    let text = package("linear", 2, 0.0127, 25.0);
    let folder = place("[pond]\narea = \"300 m2\"\ndepth = \"1.5 m\"\n");
    let first = |text: &str| {
        std::fs::write(folder.path().join("two.toml"), text).unwrap();
        let answer = json(folder.path(), &["pond.toml", "two.toml"]);
        answer["answer"].as_str().unwrap().to_string()
    };
    let two = first(&format!("{text}{}", own("twin")));
    assert!(
        two.ends_with("2 ways to buy serve; this one and twin, with-line cost the least to run."),
        "{two}"
    );
    let three = first(&format!("{text}{}{}", own("twin"), own("third")));
    assert!(
        three.ends_with("3 ways to buy serve; this one and 2 others cost the least to run."),
        "{three}"
    );
}

/// No air flows against too much water: the answer says so, and nothing of shares of no air.
#[test]
fn a_pond_too_deep_for_any_air_is_told_so() {
    let folder = place("[pond]\narea = \"400 m2\"\ndepth = \"60 m\"\n");
    let (status, text, _) = run(
        folder.path(),
        &["pond.toml", "catalog.toml", "--most", "99"],
    );
    assert_eq!(status, Some(1));
    assert!(
        text.contains("no air flows: the water over its diffusers presses"),
        "{text}"
    );
    assert!(
        !text.contains("gets 0 L/min") && !text.contains(" 0 % of the air"),
        "{text}"
    );
    // The one that goes deepest comes nearest.
    let answer = json(
        folder.path(),
        &["pond.toml", "catalog.toml", "--most", "99"],
    );
    let depth = |one: &Value| one["reach"]["rated_depth_m"].as_f64().unwrap_or(0.0);
    let listed = answer["listed"].as_array().unwrap();
    let deepest = listed.iter().map(depth).fold(0.0, f64::max);
    assert_eq!(depth(&listed[0]), deepest);
}

/// The same shore in metres, in degrees and as GeoJSON is the same pond, and the cabinet's place gives the runs.
#[test]
fn an_outline_may_be_a_file_and_in_degrees() {
    let corners = [
        [0.0, 0.0],
        [40.0, 0.0],
        [46.0, 18.0],
        [22.0, 31.0],
        [-3.0, 20.0],
    ];
    let cabinet = [-8.0, 4.0];
    // So near the equator a degree is as long both ways as the ellipsoid's radii say: 111.320 and 110.574 km.
    let degree = |[x, y]: [f64; 2]| [-30.0 + x / 111_319.491, y / 110_574.276];
    let written = |all: &[[f64; 2]]| {
        let all: Vec<String> = all
            .iter()
            .map(|[x, y]| format!("[{x:.9}, {y:.9}]"))
            .collect();
        all.join(", ")
    };
    let file = |outline: String, cabinet: [f64; 2]| {
        format!(
            "[pond]\ndepth = \"1.8 m\"\n{outline}\ncabinet = {}\n",
            written(&[cabinet])
        )
    };
    let of = |text: &str| {
        let folder = place(text);
        let shore = corners.map(degree);
        let ring = [&shore[..], &shore[..1]].concat();
        let shore = format!(
            r#"{{"type":"Polygon","coordinates":[[{}]]}}"#,
            written(&ring)
        );
        std::fs::write(folder.path().join("shore.geojson"), shore).unwrap();
        json(folder.path(), &["pond.toml", "catalog.toml"])
    };
    let metres = of(&file(format!("outline = [{}]", written(&corners)), cabinet));
    let degrees = of(&file(
        format!("outline = [{}]", written(&corners.map(degree))),
        degree(cabinet),
    ));
    let geojson = of(&file(
        "outline_file = \"shore.geojson\"".into(),
        degree(cabinet),
    ));
    assert_eq!(degrees, geojson);
    let area = |answer: &Value| answer["pond"]["area_m2"].as_f64().unwrap();
    within(
        "area",
        Some(area(&degrees)),
        area(&metres),
        area(&metres),
        1e-4,
    );
    let ends = |answer: &Value| answer["layout"]["ends"].as_array().unwrap().clone();
    assert_eq!(ends(&metres).len(), ends(&degrees).len());
    for (one, other) in ends(&metres).iter().zip(ends(&degrees)) {
        let run = |end: &Value| end["run_m"].as_f64().unwrap();
        within("run", Some(run(&other)), run(one), run(one), 0.05);
        assert!(one["longitude_latitude"].is_null() && other["longitude_latitude"].is_array());
    }
    // A run that is stated counts before one that is measured.
    let stated = of(&format!(
        "{}run = \"99 m\"\n",
        file(format!("outline = [{}]", written(&corners)), cabinet)
    ));
    assert!(ends(&stated).iter().all(|end| end["run_m"] == 99.0));
    assert_eq!(stated["listed"][0]["reach"]["run_m"], 99.0);
    // The runs are those that the package is judged with.
    let longest = ends(&metres)
        .iter()
        .map(|end| end["run_m"].as_f64().unwrap())
        .fold(0.0, f64::max);
    let judged = metres["listed"][0]["reach"]["run_m"].as_f64().unwrap();
    assert!((longest - judged).abs() < 1e-9, "{longest} {judged}");
}

/// What catalogs and ponds say stands on the page as text, and the page holds what the terminal says.
#[test]
fn the_page_has_the_answer_and_nothing_that_runs() {
    let hostile = WHOLE.replace("Mill pond", "<script>alert(1)</script> & pond");
    let folder = place(&hostile);
    let asked = ["pond.toml", "catalog.toml", "--format", "html"];
    let (status, page, _) = run(folder.path(), &asked);
    assert_eq!(status, Some(0));
    assert!(
        !page.contains("<script") && page.contains("&lt;script&gt;"),
        "escaped"
    );
    for part in [
        "default-src 'none'",
        "electrician",
        "thin the ice",
        "Plan of the pond",
        "id=\"plan\"",
        "In pictures",
    ] {
        assert!(page.contains(part), "{part}");
    }
    let answer = json(folder.path(), &["pond.toml", "catalog.toml"]);
    for one in answer["listed"].as_array().unwrap() {
        let package = one["package"].as_str().unwrap();
        assert!(page.contains(package), "{package}");
    }
    let again = run(folder.path(), &asked).1;
    assert_eq!(page, again);
}

/// A package for 399 EUR with 25 m for each of two runs, where the pond takes 18 and 30.5 m; airline in rolls of 25 m for
/// 2.90 EUR/m; a coupler for 3.40 EUR; spares for 12.25 EUR every 5 months. All sums by hand.
fn sold() -> String {
    let sold = package("linear", 2, 0.0127, 25.0)
        .replace("[package.it]", "[package.it]\nprice = \"399 EUR\"\ntitle = \"=1+1, a \\\"pair\\\"\"")
        .replace(
            "bore = \"12.7 mm\"",
            "size = \"1/2 in\"\nbore = \"12.7 mm\"\nroll = \"25 m\"\nprice_per_length = \"2.90 EUR/m\"\nmass_per_length = \"0.36 kg/m\"",
        )
        .replace("[diffuser.disc]", "service = [{ part = \"kit\", every = \"5 month\" }]\n\n[diffuser.disc]\nmass = \"2.9 kg\"");
    format!(
        "{sold}\n[fitting.joint]\nfrom = \"1/2 in barb\"\nto = \"1/2 in barb\"\nprice = \"3.40 EUR\"\n\n\
         [spare.kit]\nfits = [\"machine\"]\nprice = \"12.25 EUR\"\n\n[spare.other]\nfits = [\"disc\"]\n"
    )
}

#[test]
fn an_order_has_whole_rolls_and_only_prices_of_the_catalog() {
    let folder =
        place("[pond]\narea = \"300 m2\"\ndepth = \"1.5 m\"\nrun = [\"18 m\", \"30.5 m\"]\n");
    std::fs::write(folder.path().join("sold.toml"), sold()).unwrap();
    let answer = json(folder.path(), &["pond.toml", "sold.toml"]);
    let order = &answer["order"];
    let line = |group: &str, part: &str| {
        let lines = order["lines"].as_array().unwrap();
        let mut own = lines
            .iter()
            .filter(|line| line["group"] == group && line["part"] == part);
        own.next().cloned().unwrap_or(Value::Null)
    };
    // 5.5 m more for the second run: one roll.
    let roll = line("beside-it", "line");
    assert_eq!(
        (&roll["count"], &roll["unit"], &roll["roll_m"]),
        (&1.0.into(), &"roll".into(), &25.0.into())
    );
    assert_eq!(roll["sum"]["sum"], 72.5);
    assert!((roll["mass_kg"].as_f64().unwrap() - 9.0).abs() < 1e-9);
    let joint = line("beside-it", "joint");
    assert_eq!(
        (&joint["count"], &joint["sum"]["sum"]),
        (&1.0.into(), &3.4.into())
    );
    // Two in a year of 12 months, at 5 months each.
    let kit = line("spares", "kit");
    assert_eq!(
        (&kit["count"], &kit["sum"]["sum"]),
        (&2.0.into(), &24.5.into())
    );
    assert_eq!(line("with-it", "line")["count"], 50.0);
    assert_eq!(line("with-it", "disc")["sum"], Value::Null);
    assert_eq!(order["sums"][0]["sum"], 474.9);
    assert_eq!(order["spares"][0]["sum"], 24.5);
    assert_eq!(order["unpriced"], 0);
    // 2 discs, 50 m and a roll; machine and joint have no mass.
    assert!((order["mass_kg"].as_f64().unwrap() - (5.8 + 18.0 + 9.0)).abs() < 1e-9);
    assert_eq!(order["unweighed"], 2);
    assert_eq!(order["more_spares"][0], "other");
    let clamps = &order["not_in_the_catalog"][0];
    assert_eq!(
        (&clamps["what"], &clamps["count"]),
        (&"clamps".into(), &2.into())
    );
    // The same as text, page and table.
    let of = |format: &str| {
        run(
            folder.path(),
            &["pond.toml", "sold.toml", "--format", format],
        )
        .1
    };
    for format in ["terminal", "html"] {
        let text = of(format);
        for part in [
            "474.90 EUR",
            "1 roll of 25 m",
            "2 clamps for barbed ends",
            "24.50 EUR",
        ] {
            assert!(text.contains(part), "{part} in {format}");
        }
    }
    let csv = of("csv");
    assert!(
        csv.contains("beside-it,line,,airline,,,1,roll,25,72.5,72.5,EUR,9\r\n"),
        "{csv}"
    );
    // A title that a spreadsheet would calculate is text.
    assert!(csv.contains("\"'=1+1, a \"\"pair\"\"\""), "{csv}");
}

/// Where the buyer lays his own line, all of it is ordered; without a known run nothing is guessed.
#[test]
fn an_order_for_ones_own_line_takes_all_of_it() {
    let sold = sold().replace(
        "airline = { part = \"line\", length = \"25 m\", count = 2 }",
        "allows = [{ size = \"1/2 in\", up_to = \"60 m\" }]",
    );
    let folder = place("[pond]\narea = \"300 m2\"\ndepth = \"1.5 m\"\n");
    std::fs::write(folder.path().join("sold.toml"), sold).unwrap();
    let of = |more: &[&str]| json(folder.path(), &[&["pond.toml", "sold.toml"], more].concat());
    let unknown = of(&[]);
    assert_eq!(unknown["order"]["not_in_the_catalog"][0]["what"], "runs");
    let known = of(&["--run", "18 m", "--run", "30.5 m"]);
    let lines = known["order"]["lines"].as_array().unwrap();
    let beside = lines.iter().filter(|line| line["group"] == "beside-it");
    let beside: Vec<(&str, f64)> = beside
        .map(|line| {
            (
                line["part"].as_str().unwrap(),
                line["count"].as_f64().unwrap(),
            )
        })
        .collect();
    // 25 + 5.5 m and 18 m: the rest of the second roll holds 18 m. The long run has one joint.
    assert_eq!(beside, [("line", 2.0), ("joint", 1.0)]);
    let clamps = &known["order"]["not_in_the_catalog"][0];
    assert_eq!(clamps["count"], 6);
}

/// One that doesn't serve can be asked about, and the answer says that it doesn't.
#[test]
fn a_package_that_is_asked_about_is_shown_in_full() {
    let folder = place(WHOLE);
    let all = json(
        folder.path(),
        &["pond.toml", "catalog.toml", "--most", "99"],
    );
    let listed = all["listed"].as_array().unwrap();
    let fails = listed
        .iter()
        .find(|one| one["serves"] == false && one["reach"].is_object())
        .unwrap();
    let id = fails["package"].as_str().unwrap();
    let of_it = ["pond.toml", "catalog.toml", "--package", id];
    let answer = json(folder.path(), &of_it);
    assert_eq!(answer["order"]["package"], id);
    let (_, text, _) = run(folder.path(), &of_it);
    assert!(
        text.contains(&format!("{id}, with-line, in this pond")),
        "{text}"
    );
    assert!(text.contains("doesn't serve this pond: "), "{text}");
    let (status, _, said) = run(
        folder.path(),
        &["pond.toml", "catalog.toml", "--package", "nothing"],
    );
    assert_eq!(status, Some(2));
    assert!(said.contains("there is no package `nothing`"), "{said}");
}

/// The examples are ponds without a fault, and an audit leaves them alone.
#[test]
fn the_example_ponds_are_answered_and_no_catalog() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    for name in ["village", "farm", "weir", "quarry"] {
        let file = format!("catalog-examples/ponds/{name}.toml");
        let (status, text, said) = run(root, &[&file, "catalog-examples/sound"]);
        assert_eq!((status, said.as_str()), (Some(0), ""), "{name}: {text}");
    }
    let paths = ["catalog-examples/ponds", "catalog-examples/sound"];
    let audit = scratch::run(root, &[&["audit", "--verbose"], &paths[..]].concat());
    let text = String::from_utf8(audit.stdout).unwrap();
    assert!(!text.contains("ponds/village.toml, line"), "{text}");
}

/// Lines no wider than the terminal, and none in ASCII that isn't.
#[test]
fn the_page_keeps_to_its_width() {
    let folder = place(WHOLE);
    let (_, text, _) = run(folder.path(), &["pond.toml", "catalog.toml", "--ascii"]);
    assert!(text.is_ascii());
    assert!(text.lines().all(|line| line.len() <= 100), "{text}");
}

/// The first day lasts no longer than it takes to lift a tenth of the water, whatever is usual: what comes up from
/// below may hold no oxygen.
#[test]
fn the_first_day_is_no_longer_than_the_fish_can_bear() {
    let folder = place("[pond]\narea = \"300 m2\"\ndepth = \"2.5 m\"\n");
    let answer = json(folder.path(), &["pond.toml", "."]);
    let season = &answer["season"];
    let first_run = season["first_run_s"].as_f64().unwrap();
    let hours = season["days"][0]["hours"].as_f64().unwrap();
    assert!(
        first_run < 1800.0 && (hours - first_run / 3600.0).abs() < 1e-9,
        "{season}"
    );
}
