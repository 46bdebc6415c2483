//! Warnings without which a page of this trade may hurt somebody.
//!
//! They are looked for over everything that is said of a package, in the words of its market. What a page must say
//! where, local codes and licensed people decide; these rules only hear whether it says it at all.

use crate::derive::pond::LAYERS_FROM;
use crate::finding::{Finding, Level, Rule};
use crate::spec_sheet::{Attribute, Hazard, Hazards, Sheet};
use crate::text::Span;

use super::Family;
use super::sheet::Page;

static RULES: &[Rule] = &[ELECTRICAL, ICE, START_UP, HOT];

const ELECTRICAL: Rule = Rule {
    name: "caution.electrical",
    level: Level::Warning,
    speaks: "mains equipment near water without a word about its protection or who connects it, or with the word that none is needed",
};
const ICE: Rule = Rule {
    name: "caution.ice",
    level: Level::Warning,
    speaks: "winter use without a word about thin ice, or with the word that the ice is safe",
};
const START_UP: Rule = Rule {
    name: "caution.start-up",
    level: Level::Note,
    speaks: "no advice to start by stages in a stratified pond",
};
const HOT: Rule = Rule {
    name: "caution.hot-discharge",
    level: Level::Note,
    speaks: "discharge above 60 degC without a word about burns",
};

pub(super) const FAMILY: Family = Family {
    name: "caution",
    rules: RULES,
    page: include_str!("caution.md"),
    // Cautions are looked for in sheets; the engine hands these to `package`.
    check: |_, _| {},
};

/// All that is said of one package.
pub struct Told<'a> {
    /// The sheets, in the run's order.
    pub pages: Vec<&'a Page<'a>>,
    /// Hottest discharge of its compressors at the claimed depth, K, where the engine knows it.
    pub discharge: Option<f64>,
    /// Whether the catalog's compressor runs on mains.
    pub mains: bool,
    /// As a waiver names the package; empty for a sheet of none.
    pub on: String,
}

/// What is said of one package, with what each page says of its hazards.
struct Read<'a> {
    told: &'a Told<'a>,
    hazards: Vec<Hazards>,
}

impl Read<'_> {
    /// Whether any page warns of one of two hazards.
    fn warns(&self, of: fn(&Hazards) -> [&Hazard; 2]) -> bool {
        self.hazards
            .iter()
            .any(|one| of(one).iter().any(|heard| heard.warned))
    }

    /// Whether any page says something.
    fn says(&self, what: fn(&Hazards) -> bool) -> bool {
        self.hazards.iter().any(what)
    }

    /// Where a page denies a hazard, and doesn't itself warn of it.
    fn denied(&self, of: fn(&Hazards) -> &Hazard) -> Option<Span> {
        self.told
            .pages
            .iter()
            .zip(&self.hazards)
            .find_map(|(page, hazards)| {
                let heard = of(hazards);
                let at = heard.denied.clone().filter(|_| !heard.warned)?;
                Some(match at.is_empty() {
                    true => page.first,
                    false => Span::new(page.file, at.start, at.end),
                })
            })
    }
}

/// What is missing in everything that is said of one package.
pub fn package(told: &Told, findings: &mut Vec<Finding>) {
    // A list of prices or an offer goes with other papers.
    let is_bare = |page: &&&Page| {
        let kind = page.kind.map(str::to_string);
        let kind = kind.or_else(|| kind_by_its_look(page.sheet).map(str::to_string));
        matches!(kind.as_deref(), Some("price-list" | "quote"))
    };
    let Some(first) = told.pages.iter().find(|page| !is_bare(page)) else {
        return;
    };
    let read = Read {
        told,
        hazards: told.pages.iter().map(|page| page.sheet.hazards()).collect(),
    };
    electrical(&read, first, findings);
    ice(&read, first, findings);
    let mut speak = |rule: &'static Rule, message: &str, mend: &str| {
        findings.push(
            Finding::new(rule, first.first, message)
                .mend(mend)
                .on(told.on.clone()),
        );
    };
    if is_for_deep_water(told) && !read.says(|heard| heard.staged) {
        speak(
            &START_UP,
            "Nothing is said of starting by stages: bottom water of a layered pond that comes up at once can kill its fish.",
            "Say to begin with a short time on the first day and to run longer each day for about a week.",
        );
    }
    if told.discharge.is_some_and(|kelvins| kelvins > 333.15) && !read.says(|heard| heard.burns) {
        speak(
            &HOT,
            "The air leaves its compressor at more than 60 degC, and nothing is said of burns.",
            "Say that the outlet and the first metre of line get hot, and to let them cool before touching them.",
        );
    }
}

/// Speaks where nothing is said of protection from mains, and where a page says that none is needed.
fn electrical(read: &Read, first: &Page, findings: &mut Vec<Finding>) {
    let told = read.told;
    let device = match market(told) {
        Market::America => "a ground-fault protected outlet (GFCI)",
        Market::Elsewhere => "a residual-current device (RCD)",
    };
    let mend = format!(
        "Say that it belongs on {device}, and that a licensed electrician connects it by the local code."
    );
    let denied = read.denied(|hazards| &hazards.device);
    // `no RCD needed` is right of a machine on 12 V, and of none whose volts nobody knows.
    if let Some(at) = denied.filter(|_| is_on_mains(told) || !states_volts(told)) {
        findings.push(
            Finding::new(
                &ELECTRICAL,
                at,
                format!("It says that a machine beside water needs no {}. A fault there can kill within a second.", short(device)),
            )
            .mend(format!("Take that out. {mend}"))
            .on(told.on.clone()),
        );
        return;
    }
    if !is_on_mains(told) || read.warns(|hazards| [&hazards.device, &hazards.person]) {
        return;
    }
    let (at, message, mend) = match read.denied(|hazards| &hazards.person) {
        Some(at) => (
            at,
            "It says that a mains machine beside water needs no electrician, and not how it is made safe.",
            format!("Take that out. {mend}"),
        ),
        None => (
            first.first,
            "It offers a mains machine beside water, but doesn't say how that is made safe.",
            mend,
        ),
    };
    findings.push(
        Finding::new(&ELECTRICAL, at, message)
            .mend(mend)
            .on(told.on.clone()),
    );
}

/// A device by its short name: `RCD`.
fn short(device: &str) -> &str {
    device.rsplit(['(', ')']).nth(1).unwrap_or(device)
}

/// Speaks of winter without a word about thin ice, and of a page that says the ice is safe.
fn ice(read: &Read, first: &Page, findings: &mut Vec<Finding>) {
    let mend = "Say that ice over moving water is thin, and to keep people and animals off it.";
    let finding = match read.denied(|hazards| &hazards.ice) {
        Some(at) => Finding::new(
            &ICE,
            at,
            "It says that the ice is safe. Moving water makes ice thin, also where it can't be seen.",
        )
        .mend(format!("Take that out. {mend}")),
        None if read.says(|heard| heard.winter)
            && !read.warns(|hazards| [&hazards.ice, &hazards.ice]) =>
        {
            Finding::new(
                &ICE,
                first.first,
                "It mentions winter, but not the thin ice that moving water makes.",
            )
            .mend(mend)
        }
        None => return,
    };
    findings.push(finding.on(read.told.on.clone()));
}

/// Volts from which mains begin.
const MAINS: f64 = 60.0;

fn is_on_mains(told: &Told) -> bool {
    if told.mains {
        return true;
    }
    let mut claims = told.pages.iter().flat_map(|page| &page.sheet.claims);
    claims.any(|claim| match claim.attribute {
        Attribute::Voltage => claim.si.bounds().is_some_and(|(_, high)| high > MAINS),
        Attribute::Frequency => true,
        _ => false,
    })
}

/// Whether a page states its machine's volts.
fn states_volts(told: &Told) -> bool {
    let mut claims = told.pages.iter().flat_map(|page| &page.sheet.claims);
    claims.any(|claim| claim.attribute == Attribute::Voltage)
}

fn is_for_deep_water(told: &Told) -> bool {
    let mut claims = told.pages.iter().flat_map(|page| &page.sheet.claims);
    claims.any(|claim| {
        claim.attribute == Attribute::Depth
            && claim
                .si
                .bounds()
                .is_some_and(|(_, high)| high >= LAYERS_FROM)
    })
}

/// Whose words count.
enum Market {
    America,
    Elsewhere,
}

fn market(told: &Told) -> Market {
    let stated = told.pages.iter().find_map(|page| page.market);
    match stated {
        Some("US" | "CA" | "MX") => Market::America,
        Some(_) => Market::Elsewhere,
        None if told.pages.iter().any(|page| page.sheet.is_us) => Market::America,
        None => Market::Elsewhere,
    }
}

/// What a sheet is by its look: a price in each row makes a list of prices, a heading that says so an offer.
fn kind_by_its_look(sheet: &Sheet) -> Option<&'static str> {
    use crate::spec_sheet::Role;
    let heading = sheet
        .passages
        .iter()
        .find(|passage| matches!(passage.role, Role::Heading(_)))
        .or(sheet.passages.first());
    let heading = heading
        .map(|passage| passage.text.to_lowercase())
        .unwrap_or_default();
    if [
        "quotation",
        "quote",
        "offer ",
        "offer:",
        "angebot",
        "kostenvoranschlag",
        "offerte",
        "devis",
    ]
    .iter()
    .any(|word| heading.contains(word))
    {
        return Some("quote");
    }
    let in_rows = |attribute: Attribute| {
        let claims = sheet
            .claims
            .iter()
            .filter(move |claim| claim.attribute == attribute);
        let rows = claims.filter_map(|claim| match sheet.passages.get(claim.passage())?.role {
            Role::Cell { table, row, .. } => Some((table, row)),
            _ => None,
        });
        rows.collect::<std::collections::BTreeSet<_>>().len()
    };
    let prices = in_rows(Attribute::Price);
    let rows: std::collections::BTreeSet<(u32, u32)> = sheet
        .passages
        .iter()
        .filter_map(|passage| match passage.role {
            Role::Cell { table, row, .. } if row > 0 => Some((table, row)),
            _ => None,
        })
        .collect();
    (prices >= 3 && prices * 10 >= rows.len() * 8).then_some("price-list")
}
