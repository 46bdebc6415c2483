//! Warnings without which a page of this trade may hurt somebody.
//!
//! They are looked for over everything that is said of a package, in the words of its market. What a page must say
//! where, local codes and licensed people decide; these rules only hear whether it says it at all.

use crate::derive::pond::LAYERS_FROM;
use crate::finding::{Finding, Level, Rule};
use crate::spec_sheet::{Attribute, Sheet};

use super::Family;
use super::sheet::Page;

static RULES: &[Rule] = &[ELECTRICAL, ICE, START_UP, HOT];

const ELECTRICAL: Rule = Rule {
    name: "caution.electrical",
    level: Level::Warning,
    speaks: "mains equipment near water without a word about its protection or who connects it",
};
const ICE: Rule = Rule {
    name: "caution.ice",
    level: Level::Warning,
    speaks: "winter use without a word about thin ice",
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

/// Words that say how the mains are made safe, or by whom.
const PROTECTION: &[&str] = &[
    "gfci",
    "gfi",
    "ground fault",
    "ground-fault",
    "rcd",
    "residual current",
    "residual-current",
    "rcbo",
    "elcb",
    "licensed electrician",
    "qualified electrician",
    "licenced electrician",
    "registered electrician",
    "competent electrician",
    "electrician",
    "electrical code",
    "local code",
    "local codes",
    "wiring rules",
    "wiring regulations",
    "building code",
    "fi-schutzschalter",
    "fi-schalter",
    "fehlerstrom",
    "elektrofachkraft",
    "elektriker",
    "elektroinstallateur",
    "différentiel",
    "électricien",
    "aardlekschakelaar",
    "elektricien",
];
/// Words that speak of winter.
const WINTER: &[&str] = &[
    "winter",
    "ice",
    "frozen",
    "freeze",
    "freezing",
    "frost",
    "eis",
    "gefriert",
    "zufrieren",
    "hiver",
];
/// Words that, in one sentence with ice, warn of it.
const ICE_WORDS: &[&str] = &["ice", "eis", "eisfläche", "eisdecke", "glace", "ijs"];
/// What such a sentence says of it.
const DANGER: &[&str] = &[
    "thin",
    "weak",
    "weaken",
    "danger",
    "unsafe",
    "stay off",
    "keep off",
    "off the",
    "trust",
    "walk",
    "caution",
    "warning",
    "fall through",
    "break through",
    "dünn",
    "betreten",
    "gefahr",
    "einbruch",
    "mince",
    "dun ",
    "gevaar",
];
/// Words that advise to begin little by little.
const STAGES: &[&str] = &[
    "first day",
    "gradually",
    "in stages",
    "step by step",
    "an hour the first",
    "minutes the first",
    "start-up procedure",
    "startup procedure",
    "start up slowly",
    "increase each day",
    "double the time",
    "run time each day",
    "short periods",
    "first week",
    "staged start",
    "stufenweise",
    "schrittweise",
    "nach und nach",
    "am ersten tag",
    "erste woche",
];
/// Words that warn of burns.
const BURNS: &[&str] = &[
    "burn",
    "hot surface",
    "hot surfaces",
    "gets hot",
    "is hot",
    "too hot to touch",
    "verbrennung",
    "heiß",
    "heisse",
    "heiße",
];

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
    let text: String = told
        .pages
        .iter()
        .map(|page| words(page.sheet))
        .collect::<Vec<_>>()
        .join("\n");
    let has = |list: &[&str]| list.iter().any(|word| begins(&text, word));
    let mut speak = |rule: &'static Rule, message: &str, mend: &str| {
        findings.push(
            Finding::new(rule, first.first, message)
                .mend(mend)
                .on(told.on.clone()),
        );
    };
    if is_on_mains(told) && !has(PROTECTION) {
        let device = match market(told) {
            Market::America => "a ground-fault protected outlet (GFCI)",
            Market::Elsewhere => "a residual-current device (RCD)",
        };
        speak(
            &ELECTRICAL,
            "It offers a machine on mains beside water, and says nothing of how that is made safe.",
            &format!(
                "Say that it belongs on {device}, and that a licensed electrician connects it by the local code."
            ),
        );
    }
    if has_winter(&text) && !warns_of_ice(&text) {
        speak(
            &ICE,
            "It speaks of winter, and not of the thin ice that moving water makes.",
            "Say that ice over moving water is thin, and to keep people and animals off it.",
        );
    }
    if is_for_deep_water(told) && !has(STAGES) {
        speak(
            &START_UP,
            "Nothing is said of starting by stages: bottom water of a layered pond that comes up at once can kill its fish.",
            "Say to begin with a short time on the first day and to run longer each day for about a week.",
        );
    }
    if told.discharge.is_some_and(|kelvins| kelvins > 333.15) && !has(BURNS) {
        speak(
            &HOT,
            "The air leaves its compressor at more than 60 degC, and nothing is said of burns.",
            "Say that the outlet and the first metre of line get hot, and to let them cool before touching them.",
        );
    }
}

/// The text of a sheet in small letters.
fn words(sheet: &Sheet) -> String {
    let mut text = String::new();
    for passage in &sheet.passages {
        text.push_str(&passage.text.to_lowercase());
        text.push('\n');
    }
    text
}

/// Whether a word or phrase begins somewhere at the beginning of a word.
fn begins(text: &str, word: &str) -> bool {
    text.match_indices(word).any(|(at, _)| {
        let before = text[..at].chars().next_back();
        !before.is_some_and(char::is_alphanumeric)
    })
}

/// Whether a sentence speaks of ice as of something to keep off.
fn warns_of_ice(text: &str) -> bool {
    // A sentence of plain text runs over the ends of its lines.
    let text = text.replace('\n', " ");
    text.split(['.', '!', '?']).any(|sentence| {
        let ice = ICE_WORDS.iter().any(|word| begins(sentence, word));
        ice && DANGER.iter().any(|word| begins(sentence, word))
    })
}

fn has_winter(text: &str) -> bool {
    WINTER.iter().any(|word| {
        text.match_indices(word).any(|(at, _)| {
            let inside = |c: Option<char>| c.is_some_and(char::is_alphanumeric);
            let before = text[..at].chars().next_back();
            let after = text[at + word.len()..].chars().next();
            // `winterize` is about winter too; `iced` and `rice` aren't about ice.
            !inside(before) && (!inside(after) || *word == "winter")
        })
    })
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
