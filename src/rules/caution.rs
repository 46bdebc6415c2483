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
    "freezes",
    "frost",
    "eis",
    "eisfrei",
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
    "caution",
    "warning",
    "fall through",
    "break through",
    "dünn",
    "gefahr",
    "einbruch",
    "mince",
    "dun ",
    "gevaar",
];
/// What such a sentence says not to do.
const FORBIDDEN: &[&str] = &[
    "trust",
    "walk",
    "step onto",
    "betreten",
    "marcher",
    "betreed",
];
/// Words that deny what follows them.
const DENIALS: &[&str] = &[
    "no", "not", "never", "without", "cannot", "nor", "kein", "keine", "keinen", "nicht", "nie",
    "niemals", "ohne", "pas", "jamais", "sans", "aucun", "geen", "niet", "nooit", "zonder",
];
/// What is said, after a denial, of something that one is told to do without.
const NEEDED: &[&str] = &[
    "required",
    "needed",
    "necessary",
    "nötig",
    "erforderlich",
    "notwendig",
    "nécessaire",
    "nodig",
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
    if is_on_mains(told) && !asks_for_protection(&text) {
        let device = match market(told) {
            Market::America => "a ground-fault protected outlet (GFCI)",
            Market::Elsewhere => "a residual-current device (RCD)",
        };
        speak(
            &ELECTRICAL,
            "It offers a mains machine beside water, but doesn't say how that is made safe.",
            &format!(
                "Say that it belongs on {device}, and that a licensed electrician connects it by the local code."
            ),
        );
    }
    if has_winter(&text) && !warns_of_ice(&text) {
        speak(
            &ICE,
            "It mentions winter, but not the thin ice that moving water makes.",
            "Say that ice over moving water is thin, and to keep people and animals off it.",
        );
    }
    if is_for_deep_water(told) && !has(STAGES) {
        speak(
            &START_UP,
            "It doesn't say to start in stages: bottom water of a layered pond that comes up all at once can kill fish.",
            "Say to begin with a short time on the first day and to run longer each day for about a week.",
        );
    }
    if told.discharge.is_some_and(|kelvins| kelvins > 333.15) && !has(BURNS) {
        speak(
            &HOT,
            "The air leaves the compressor at more than 60 degC, but nothing warns of burns.",
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

/// Whether a clause speaks of a protection and doesn't say that it can be done without.
fn asks_for_protection(text: &str) -> bool {
    let clauses = text.split(['.', '!', '?', ';', ':', ',', '\n']);
    clauses.into_iter().any(|clause| {
        let mut words = PROTECTION.iter();
        words.any(|word| places(clause, word).any(|at| !is_denied(clause, at, word.len())))
    })
}

/// Whether a sentence speaks of ice as of something to keep off.
fn warns_of_ice(text: &str) -> bool {
    // A sentence of plain text runs over the ends of its lines.
    let text = text.replace('\n', " ");
    text.split(['.', '!', '?']).any(|sentence| {
        let says = |list: &[&str], denied: bool| {
            let mut words = list.iter();
            words.any(|word| {
                places(sentence, word).any(|at| is_denied(sentence, at, word.len()) == denied)
            })
        };
        let ice = ICE_WORDS.iter().any(|word| begins(sentence, word));
        ice && (says(DANGER, false) || says(FORBIDDEN, true))
    })
}

/// Where a word or phrase begins at the beginning of a word.
fn places<'t>(text: &'t str, word: &'t str) -> impl Iterator<Item = usize> + 't {
    let places = text.match_indices(word).map(|(at, _)| at);
    places.filter(|&at| {
        let before = text[..at].chars().next_back();
        !before.is_some_and(char::is_alphanumeric)
    })
}

/// Whether what stands at a place is denied: by a word shortly before it, unless that is itself denied (`never without
/// an RCD`), or by what follows (`an RCD isn't needed`).
fn is_denied(text: &str, at: usize, length: usize) -> bool {
    let denies = |word: &&str| {
        let word = word.trim_matches(|c: char| !c.is_alphanumeric() && c != '\'' && c != '’');
        DENIALS.contains(&word) || word.ends_with("n't") || word.ends_with("n’t")
    };
    let clause = text[..at].rfind([',', ';', ':']).map_or(0, |end| end + 1);
    let before: Vec<&str> = text[clause..at].split_whitespace().collect();
    const NEAR: usize = 4;
    let is_near = before.iter().rev().take(NEAR).any(|word| denies(word));
    let denials = before.iter().filter(|word| denies(word)).count();
    let after = text[at + length..].split_whitespace().take(NEAR + 1);
    let after: Vec<&str> = after.collect();
    let not_needed = after.iter().any(|word| denies(word))
        && after
            .iter()
            .any(|word| NEEDED.contains(&word.trim_matches(|c: char| !c.is_alphanumeric())));
    (is_near && denials % 2 == 1) || not_needed
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

#[cfg(test)]
mod tests {
    use super::{asks_for_protection, has_winter, warns_of_ice};

    #[test]
    fn who_denies_a_protection_asks_for_none() {
        for asks in [
            "connect it to a gfci outlet",
            "must be on an rcd, and a licensed electrician connects it",
            "never run it without an rcd",
            "do not ever plug it in without a gfci",
            "not for pools, use an rcd",
            "anschluss nur durch eine elektrofachkraft",
        ] {
            assert!(asks_for_protection(asks), "{asks}");
        }
        for denies in [
            "never needs an rcd",
            "no gfci required, simply plug it in",
            "no electrician needed",
            "an rcd isn't needed",
            "works without a gfci",
            "kein elektriker nötig",
        ] {
            assert!(!asks_for_protection(denies), "{denies}");
        }
    }

    #[test]
    fn who_calls_ice_safe_warns_of_none() {
        for warns in [
            "the ice above is thin",
            "do not walk on the ice",
            "never trust ice near the bubbles",
            "keep children off the ice",
            "eisfläche nicht betreten",
        ] {
            assert!(warns_of_ice(warns), "{warns}");
        }
        for safe in [
            "safe to walk on the ice, it is not thin",
            "the ice is never weak",
            "walk on the ice all winter",
        ] {
            assert!(!warns_of_ice(safe), "{safe}");
        }
        assert!(has_winter("hält garantiert eisfrei bis -30 °c") && has_winter("it never freezes"));
    }
}
