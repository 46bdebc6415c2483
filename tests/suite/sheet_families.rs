//! Families of layouts and phrases that pages have, each on a sheet written for it. None was read as it is here before
//! its family was.

use nameplate::engine::{self, Input, Options};
use nameplate::spec_sheet::{self, Kind};
use nameplate::text::Source;

/// Claims of a text: figure, attribute, comparator and conditions.
fn claims(kind: Kind, text: &str) -> Vec<String> {
    let sheet = spec_sheet::read(kind, &Source::new("sheet", text.as_bytes().to_vec()));
    let shown = sheet.claims.iter().map(|claim| {
        let figure = &sheet.passages[claim.passage()].text[claim.place()];
        let condition = &claim.condition;
        let all = [
            &condition.pressure,
            &condition.depth,
            &condition.distance,
            &condition.tariff,
        ];
        let under = all
            .into_iter()
            .flatten()
            .map(|quantity| format!(" at {}", quantity.canonical()));
        let quantity = claim.quantity.as_ref().map_or(String::new(), |quantity| {
            format!(" = {}", quantity.canonical())
        });
        let also = claim
            .also
            .as_ref()
            .map_or(String::new(), |also| format!(" also {}", also.text));
        format!(
            "{figure} {} {}{quantity}{}{also}",
            claim.attribute.as_str(),
            claim.comparator.as_str(),
            under.collect::<String>()
        )
    });
    shown.collect()
}

#[track_caller]
fn reads(kind: Kind, text: &str, expected: &[&str]) {
    assert_eq!(claims(kind, text), expected, "{text}");
}

/// What the things are called that a page is taken to speak of.
fn packages(name: &str, text: &str) -> Vec<String> {
    let input = Input {
        path: name.into(),
        bytes: text.into(),
        alone: true,
        borrowed: false,
    };
    let outcome = engine::audit(vec![input], &Options::default());
    let mut names: Vec<String> = outcome
        .verdicts
        .iter()
        .map(|verdict| verdict.package.clone())
        .collect();
    names.sort();
    names.dedup();
    names
}

#[test]
fn heads_name_units_without_a_blank() {
    reads(
        Kind::Markdown,
        "| Set | Depth,m | Air,L/min |\n|--|--|--|\n| Rail | 2.5 | 55 |\n",
        &["2.5 depth exact = 2.5 m", "55 flow exact = 55 L/min"],
    );
    reads(
        Kind::Csv,
        "set,depth_m,run_ft,noise_dba\nRail,2.5,100,38\n",
        &[
            "2.5 depth exact = 2.5 m",
            "100 airline-length exact = 100 ft",
            "38 sound exact = 38 dB(A)",
        ],
    );
}

#[test]
fn marks_of_footnotes_are_no_part_of_a_head() {
    reads(
        Kind::Markdown,
        "| Set | Power, W ¹ | Depth, m 2) |\n|--|--|--|\n| Rail | 60 | 2.5 |\n",
        &["60 power exact = 60 W", "2.5 depth exact = 2.5 m"],
    );
}

#[test]
fn the_sentence_before_a_table_names_its_units() {
    reads(
        Kind::Markdown,
        "All depths in feet, air in cfm, power in watts.\n\n| Set | Depth | Air | Power |\n|--|--|--|--|\n| Rail | 8 | 2.0 | 60 |\n",
        &[
            "8 depth exact = 8 ft",
            "2.0 flow exact = 2.0 cfm",
            "60 power exact = 60 W",
        ],
    );
}

#[test]
fn a_list_between_strokes_shares_its_unit() {
    reads(
        Kind::Text,
        "The three sizes take 60/120/180 W.",
        &[
            "60 power exact = 60 W",
            "120 power exact = 120 W",
            "180 W power exact = 180 W",
        ],
    );
    reads(
        Kind::Markdown,
        "| | Small / middle / large |\n|--|--|\n| Sound at 1 m, dB(A) | 50/52/56 |\n",
        &[
            "50 sound exact = 50 dB(A) at 1 m",
            "52 sound exact = 52 dB(A) at 1 m",
            "56 sound exact = 56 dB(A) at 1 m",
        ],
    );
}

#[test]
fn conditions_have_a_column_of_their_own() {
    reads(
        Kind::Markdown,
        "| Quantity | Value | Condition |\n|--|--|--|\n| Air flow | 90 L/min | at 2 m |\n| Pond area | 900 m² | 2 m deep |\n",
        &[
            "90 L/min flow exact = 90 L/min at 2 m",
            "900 m² area exact = 900 m2 at 2 m",
        ],
    );
}

#[test]
fn thousands_may_be_parted_by_blanks() {
    reads(
        Kind::Text,
        "Pond volume: to 1 500 000 L.",
        &["1 500 000 L volume at-most = 1500000 L"],
    );
}

#[test]
fn ordinals_count_nothing_and_contracts_cost_no_electricity() {
    reads(
        Kind::Text,
        "The 2nd machine costs 30 EUR.",
        &["30 EUR price exact = 30 EUR"],
    );
    reads(
        Kind::Text,
        "The service plan costs $99 a year. The extended warranty is 45 EUR a year.",
        &[],
    );
    reads(
        Kind::Text,
        "The timer turns it on every 2 hours and off every 10 minutes.",
        &[],
    );
}

#[test]
fn a_pond_may_be_turned_over_in_minutes() {
    reads(
        Kind::Text,
        "Wälzt einen Teich alle 10 Minuten um.",
        &["10 Minuten turnover exact = 10 min"],
    );
}

#[test]
fn a_mass_with_its_box_is_no_second_listing() {
    reads(
        Kind::Text,
        "Weight 24 lb (12 kg boxed).",
        &["24 lb mass exact = 24 lb", "12 kg mass exact = 12 kg"],
    );
}

#[test]
fn bounds_stand_behind_thin_blanks() {
    reads(
        Kind::Html,
        "<dl><dt>Pressure</dt><dd>&le;&thinsp;30&nbsp;kPa</dd></dl>",
        &["30\u{a0}kPa pressure at-most = 30 kPa"],
    );
}

#[test]
fn a_line_lies_between_two_places() {
    reads(
        Kind::Text,
        "Bury the pipe 18 in deep, and up to 600 ft may lie between shed and shore.",
        &["600 ft airline-length at-most = 600 ft"],
    );
}

#[test]
fn horses_are_counted_in_parts() {
    reads(
        Kind::Text,
        "Kept going by a quarter-horse pump.",
        &["quarter-horse power exact = 1/4 hp"],
    );
}

#[test]
fn parts_of_any_page_are_no_things_for_sale() {
    let page = "# Ralle 2\n\n## Technische Daten\n\n- Leistung: 120 W\n- Tiefe: bis 4 m\n- Preis: 549 €\n\n## Allgemeine Daten\n\n- Leistung: 120 W\n- Tiefe: bis 4 m\n- Preis: 549 €\n";
    assert_eq!(packages("ralle.md", page), ["ralle.md"]);
    let two = page
        .replace("Technische Daten", "Ralle 1")
        .replace("Allgemeine Daten", "Ralle 2 lang");
    assert_eq!(packages("ralle.md", &two), ["Ralle 1", "Ralle 2 lang"]);
}
