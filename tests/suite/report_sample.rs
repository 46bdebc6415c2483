//! One outcome that has everything a report can show, put together by hand: what the engine and the
//! rules say may change without it.

use nameplate::assumptions::{Assumptions, Name};
use nameplate::claims::{Claim, Decision, Judged, Outcome as Word, Sense, Verdict, WayOutcome};
use nameplate::derive::Missing;
use nameplate::engine::{Audited, Named, Outcome, Summary};
use nameplate::finding::{Evidence, Finding, Level, Rule, Value, Waived};
use nameplate::physics::{Breach, Equation, Range};
use nameplate::text::{FileId, Source, Sources, Span};
use nameplate::units::{Dimension, Mark, System, Unit};

const CATALOG: &str = "\u{feff}[catalog]\r\nformat = 1\r\ntitle = \"Otter Mill Water, sample\"\r\n\r\n[site]\r\ntariff = \"0.21 USD/kWh\"\r\n";

/// Tabs, letters of two and three bytes, and characters that must not reach a terminal.
const PACKAGES: &str = "[package.mill-pair]
title = \"Small pond, two diffusers\"
[package.mill-pair.claim]
depth = \"1.5 m\"
area = \"600 m2\"   # ½ of the Müller pond, \u{1b}[31mred\u{1b}[0m \u{202e}turned\u{202c}
\tflow = \"38 L/min\"
running_cost = \"4.00 USD/month\"
sound = \"40 dB(A)\"
[[package.mill-pair.option]]
id = \"own-airline\"
allows = [{ size = \"3/8 in\", up_to = \"60 m\" }]
[package.weir-one]
title = \"Weir, one \u{9b}31mdiffuser\u{200b}\"
";

static AREA: Rule = rule("claim.area", Level::Error);
static COST: Rule = rule("claim.running-cost", Level::Error);
static KEY: Rule = rule("schema.unknown-key", Level::Error);
static TOML: Rule = rule("syntax.toml", Level::Error);
static UNUSED: Rule = rule("reference.unused", Level::Note);

const fn rule(name: &'static str, level: Level) -> Rule {
    Rule {
        name,
        level,
        speaks: "a rule of the sample",
    }
}

static EQUATION: Equation = Equation {
    name: "bubble plume",
    formula: "of no matter here",
    source: "a source of the sample",
    mark: Mark::Published,
    ranges: &[],
};

/// The place of the `nth` (from 0) `text` in a file.
fn at(sources: &Sources, file: FileId, text: &str, nth: usize) -> Span {
    let whole = sources.get(file).text();
    let start = whole.match_indices(text).nth(nth).expect("is in it").0;
    Span::new(file, start, start + text.len())
}

fn judged(name: &'static str, sense: Sense, numbers: [f64; 4], dimension: Dimension) -> Judged {
    let [low, central, high, needed] = numbers;
    Judged {
        name,
        says: name,
        dimension,
        sense,
        outcome: Word::Undecided,
        needed,
        low: Some(low),
        central: Some(central),
        high: Some(high),
        holds_centrally: None,
        decided_by: None,
        weakest: Mark::Judgement,
        breaches: Vec::new(),
        depends: vec![Name::ReachPerDepth],
    }
}

fn verdict(claim: Claim, word: Word, stated: &str, si: f64, unit: &str, at: Span) -> Verdict {
    let unit = Unit::known(unit).expect("is a unit");
    Verdict {
        package: "mill-pair".into(),
        title: None,
        option: None,
        claim,
        outcome: word,
        stated: stated.into(),
        si,
        dimension: unit.dimension(),
        currency: unit.currency().map(|currency| currency.code().to_string()),
        at,
        unit,
        system: System::Metric,
        rated: None,
        within_rating: None,
        range: None,
        criteria: Vec::new(),
        decision: None,
        weakest: Mark::Judgement,
        by_a_hair: false,
        missing: None,
        way: None,
        read_as: None,
        in_service: None,
        unjudged: None,
        evidence: Vec::new(),
        ways: Vec::new(),
        breaches: Vec::new(),
        size: None,
    }
}

fn verdicts(sources: &Sources) -> Vec<Verdict> {
    let file = FileId(1);
    let mut depth = verdict(
        Claim::Depth,
        Word::Supported,
        "1.5 m",
        1.5,
        "m",
        at(sources, file, "\"1.5 m\"", 0),
    );
    depth.rated = Some(2.17);
    depth.within_rating = Some(true);
    depth.range = Some((1.98, 2.27));
    depth.criteria = vec![judged(
        "pressure",
        Sense::AtMost,
        [19_700.0, 17_700.0, 16_700.0, 24_000.0],
        Dimension::GaugePressure,
    )];
    depth.ways = vec![
        WayOutcome {
            way: "with-airline".into(),
            supplied: Some("with-airline".into()),
            outcome: Word::Supported,
        },
        WayOutcome {
            way: "own-airline, 60 m of 3/8 in".into(),
            supplied: None,
            outcome: Word::Undecided,
        },
    ];
    depth.evidence = vec![Evidence::derived(
        "water over the diffuser",
        Value::Quantity(14_700.0, Dimension::GaugePressure),
        "hydrostatics",
        Mark::Exact,
    )];

    let mut area = verdict(
        Claim::Area,
        Word::Undecided,
        "600 m2",
        600.0,
        "m2",
        at(sources, file, "\"600 m2\"", 0),
    );
    area.rated = Some(590.0);
    area.within_rating = Some(false);
    area.range = Some((56.5, 1410.0));
    area.criteria = vec![judged(
        "reach",
        Sense::AtLeast,
        [56.5, 293.0, 1410.0, 600.0],
        Dimension::Area,
    )];
    area.decision = Some(Decision {
        by: "reach-per-depth".into(),
        what: "radius a diffuser stirs, in depths".into(),
        from: true,
        needs: Some(7.15),
        unit: String::new(),
        mark: Mark::Judgement,
    });
    area.breaches = vec![Breach {
        equation: &EQUATION,
        range: Range {
            quantity: "air for each diffuser",
            low: 0.056,
            high: 2.85,
            unit: "g/s",
        },
        value: 0.035,
    }];

    let month = Unit::known("USD/month").expect("is a unit");
    let mut cost = verdict(
        Claim::RunningCost,
        Word::Contradicted,
        "4.00 USD/month",
        month.to_si(4.0),
        "USD/month",
        at(sources, file, "\"4.00 USD/month\"", 0),
    );
    cost.rated = Some(month.to_si(5.83));
    cost.within_rating = Some(false);
    cost.range = Some((month.to_si(5.75), month.to_si(5.94)));
    cost.weakest = Mark::Exact;

    let mut sound = verdict(
        Claim::Sound,
        Word::NotEvaluated,
        "40 dB(A)",
        40.0,
        "dB(A)",
        at(sources, file, "\"40 dB(A)\"", 0),
    );
    sound.missing = Some(Missing::absent("the distance it is heard at", None));

    let mut run = verdict(
        Claim::AirlineLength,
        Word::Undecided,
        "60 m of 3/8 in",
        60.0,
        "m",
        at(sources, file, "\"60 m\"", 0),
    );
    run.option = Some("own-airline".into());
    run.size = Some(0.009_525);
    vec![depth, area, cost, sound, run]
}

fn findings(sources: &Sources) -> Vec<Finding> {
    let (catalog, packages) = (FileId(0), FileId(1));
    let of_area = |corner: &str, m2: f64, mark: Mark| {
        Evidence::derived(
            format!("area the diffusers stir, {corner}"),
            Value::Quantity(m2, Dimension::Area),
            "the engine, over the ranges",
            mark,
        )
    };
    let area = Finding::new(&AREA, at(sources, packages, "\"600 m2\"", 0), "A pond of 600 m2 isn't served: each diffuser would have to stir to 9.8 times its depth, and cells of 2.5 to 7 depths are published.")
        .level(Level::Warning)
        .on("package.mill-pair")
        .mend("Up to 590 m2 it is within the rating.")
        .related(at(sources, packages, "\"1.5 m\"", 0), "the depth it is claimed at")
        .related(at(sources, catalog, "title = \"Otter Mill Water, sample\"", 0), "the catalog's \u{2066}title")
        .evidence([
            of_area("unfavourable", 56.5, Mark::Published),
            of_area("central", 293.0, Mark::Published),
            of_area("favourable", 1410.0, Mark::Judgement),
            of_area("needed at least", 600.0, Mark::Stated),
            Evidence::derived("reach needed of each diffuser, in depths", Value::Number(9.8, "".into()), "geometry", Mark::Exact),
            Evidence::derived("air on the pond, of its area", Value::Number(0.187, "scfm/acre".into()), "Lorenzen & Fast 1977 (from memory)", Mark::FromMemory),
            Evidence::derived("turnovers of that pond a day", Value::Quantity(1.55e-5, Dimension::PerTime), "integral bubble plume (Wüest, Brooks & Imboden 1992)", Mark::Published),
            Evidence::derived("with own-airline", Value::Words("undecided".into()), "the engine", Mark::Published),
            Evidence::derived("water over the diffuser", Value::Quantity(14_700.0, Dimension::GaugePressure), "hydrostatics", Mark::Exact),
            Evidence::derived("friction that isn't known", Value::Quantity(f64::NAN, Dimension::GaugePressure), "nobody", Mark::Judgement),
            Evidence::derived("outside an equation's range", Value::Words("bubble plume: air for each diffuser 0.035 g/s is outside 0.056 to 2.85 g/s".into()), "a source of the sample", Mark::Published),
        ]);
    let month = Unit::known("USD/month").expect("is a unit");
    let cost = Finding::new(&COST, at(sources, packages, "\"4.00 USD/month\"", 0), "4.00 USD/month doesn't pay for it: with these watts, hours and tariff it is 5.83 USD/month.")
        .on("package.mill-pair")
        .evidence([
            Evidence::derived("cost of running, central", Value::Quantity(month.to_si(5.83), Dimension::MoneyPerTime), "the engine, over the ranges", Mark::Exact),
            Evidence::stated("price of electricity", Value::Number(0.21, "USD/kWh".into()), Some(at(sources, catalog, "\"0.21 USD/kWh\"", 0))),
        ]);
    let key = at(sources, packages, "flow", 0);
    let key = Finding::new(
        &KEY,
        key,
        "`flow` isn't a key of a package's claims; the nearest is `flows`.",
    )
    .on("package.mill-pair")
    .correct(false, key, "flows");
    let mut waived = Finding::new(
        &COST,
        at(sources, packages, "\"3/8 in\"", 0),
        "3/8 in is too narrow.",
    )
    .on("package.mill-pair.option.own-airline");
    waived.waived = Some(Waived {
        reason: "measured on three ponds".into(),
        owner: Some("product data".into()),
        until: Some("2027-05-01".into()),
        at: at(sources, catalog, "[site]", 0),
    });
    let note = Finding::new(
        &UNUSED,
        at(sources, packages, "[package.weir-one]", 0),
        "No catalog page shows package weir-one \u{1b}]0;x\u{7}.",
    )
    .on("package.weir-one");
    let end = sources.get(packages).text().len();
    let end = Finding::new(
        &TOML,
        Span::new(packages, end, end),
        "The file ends too soon.",
    );
    vec![area, key, cost, waived, note, end]
}

/// The outcome.
pub fn outcome() -> Outcome {
    let mut sources = Sources::default();
    sources.add(Source::new("otter/catalog.toml", CATALOG.into()));
    sources.add(Source::new("otter/packages.toml", PACKAGES.into()));
    let verdicts = verdicts(&sources);
    let named = |on: &str, title: &str| Named {
        on: on.into(),
        title: Some(title.into()),
        system: Some(System::Metric),
    };
    let catalog = Audited {
        name: "otter".into(),
        title: Some("Otter Mill Water, sample".into()),
        system: System::Metric,
        files: vec![FileId(0), FileId(1)],
        entries: vec![
            named("package.mill-pair", "Small pond, two diffusers"),
            named("package.weir-one", "Weir, one \u{9b}31mdiffuser\u{200b}"),
        ],
        verdicts: 0..verdicts.len(),
        assumptions: std::sync::Arc::new(Assumptions::builtin().clone()),
        charts: Vec::new(),
        record: Vec::new(),
        is_sheet: false,
        remarks: Vec::new(),
    };
    Outcome {
        left_out: vec![nameplate::engine::LeftOut {
            path: "otter/drafts".into(),
            why: "an ignore file names it",
        }],
        heard: Default::default(),
        asks: None,
        findings: findings(&sources),
        catalogs: vec![catalog],
        as_of: Some("2026-05-02".into()),
        day: Some("2026-05-02".into()),
        gone: None,
        partial: None,
        record: None,
        sheets: Vec::new(),
        summary: Summary {
            files: 2,
            catalogs: 1,
            sheets: 0,
            claims: 0,
            packages: 2,
            errors: 3,
            warnings: 1,
            notes: 1,
            waived: 1,
            verdicts: [1, 2, 1, 1],
        },
        verdicts,
        sources,
    }
}
