//! The page for reviewers: it tells what every format tells, whatever a catalog holds stays words in it, and
//! its pictures show the engine's numbers.

use std::collections::BTreeSet;
use std::path::Path;
use std::process::Command;

use nameplate::engine::{self, Input, Options, Outcome};
use nameplate::report::html;
use nameplate::units::Unit;

use super::{report_baseline, report_formats, report_sample, reports};

/// A tag with its name and attributes, and the text after it.
struct Piece {
    tag: String,
    attributes: Vec<(String, String)>,
    text: String,
}

fn plain(text: &str) -> String {
    let text = text.replace("&lt;", "<").replace("&gt;", ">");
    text.replace("&quot;", "\"").replace("&amp;", "&")
}

/// The page in pieces, without its style sheet. It is as strict as the page is written: a `<` begins a tag,
/// attributes have quotation marks or no value.
fn pieces(page: &str) -> Vec<Piece> {
    let style = page.find("<style>").unwrap()..page.find("</style>").unwrap();
    let page = format!("{}{}", &page[..style.start], &page[style.end..]);
    let mut pieces = Vec::new();
    for part in page.split('<').skip(1) {
        let mut rest = part;
        let name = rest.find([' ', '>']).unwrap();
        let tag = rest[..name].to_string();
        rest = &rest[name..];
        let mut attributes = Vec::new();
        while let Some(more) = rest.strip_prefix(' ') {
            let end = more.find(['=', ' ', '>']).unwrap();
            let name = more[..end].to_string();
            rest = &more[end..];
            let mut value = String::new();
            if let Some(quoted) = rest.strip_prefix("=\"") {
                let end = quoted.find('"').unwrap();
                value = plain(&quoted[..end]);
                rest = &quoted[end + 1..];
            }
            attributes.push((name, value));
        }
        let text = rest.strip_prefix('>').unwrap_or_else(|| panic!("<{part}"));
        pieces.push(Piece {
            tag,
            attributes,
            text: plain(text),
        });
    }
    pieces
}

impl Piece {
    fn value(&self, name: &str) -> Option<&str> {
        let mut all = self.attributes.iter();
        all.find(|(of, _)| of == name)
            .map(|(_, value)| value.as_str())
    }

    fn number(&self, name: &str) -> f64 {
        self.value(name).unwrap().parse().unwrap()
    }
}

/// Rule, file, line and column of each finding that the page tells.
pub fn told(page: &str) -> BTreeSet<(String, String, u64, u64)> {
    let pieces = pieces(page);
    let mut told = BTreeSet::new();
    for pair in pieces.windows(2) {
        let Some(place) = pair[0].text.strip_suffix(" · rule ") else {
            continue;
        };
        let at = place.rfind(", line ").unwrap();
        let numbers = place[at..].trim_start_matches(", line ");
        let (line, column) = numbers.split_once(", column ").unwrap();
        let rule = pair[1].text.split(',').next().unwrap();
        told.insert((
            rule.into(),
            place[..at].into(),
            line.parse().unwrap(),
            column.parse().unwrap(),
        ));
    }
    told
}

#[test]
fn the_page_tells_every_finding_and_verdict() {
    let own = [
        report_sample::outcome(),
        reports::audited(),
        report_baseline::compared(),
        report_formats::hostile(),
    ];
    let all = own.into_iter();
    for outcome in all.chain(super::catalog_examples::outcomes()) {
        let page = html::render(&outcome);
        assert_eq!(told(&page), report_formats::told(&outcome));
        let text: String = pieces(&page)
            .iter()
            .map(|piece| piece.text.as_str())
            .collect();
        for finding in &outcome.findings {
            let message = nameplate::report::terminal::safe(&finding.message).into_owned();
            assert!(text.contains(&message), "{message}");
        }
        for verdict in &outcome.verdicts {
            assert!(text.contains(&verdict.stated), "{}", verdict.stated);
        }
    }
}

/// Every tag and attribute is one of the page's own, whatever the catalog is full of.
#[test]
fn markup_in_a_catalog_stays_words_on_the_page() {
    let page = html::render(&report_formats::hostile());
    let mut tags = BTreeSet::new();
    let mut attributes = BTreeSet::new();
    for piece in pieces(&page) {
        tags.insert(piece.tag.trim_start_matches('/').to_string());
        for (name, value) in &piece.attributes {
            attributes.insert(name.clone());
            if name == "href" {
                assert!(value.starts_with('#'), "{value}");
            }
        }
    }
    for tag in [
        "script", "img", "s", "b", "i", "u", "iframe", "object", "link",
    ] {
        assert!(!tags.contains(tag), "{tag}");
    }
    let foreign: Vec<&String> = attributes
        .iter()
        .filter(|name| name.starts_with("on") || *name == "src" || *name == "style")
        .collect();
    assert!(foreign.is_empty(), "{foreign:?}");
    assert!(page.contains("&lt;script&gt;alert(1)&lt;/script&gt;"));
    assert!(!page.contains("<script") && !page.contains("<svg/"));
}

#[test]
fn the_policy_lets_in_the_pages_own_style_and_nothing_else() {
    use base64::Engine as _;
    use sha2::{Digest, Sha256};
    let page = html::render(&report_sample::outcome());
    let style = page
        .split("<style>")
        .nth(1)
        .unwrap()
        .split("</style>")
        .next()
        .unwrap();
    let hash = base64::engine::general_purpose::STANDARD.encode(Sha256::digest(style));
    let policy = format!(
        "default-src 'none'; style-src 'sha256-{hash}'; base-uri 'none'; form-action 'none'"
    );
    assert!(page.contains(&format!("content=\"{policy}\"")));
    assert!(!style.contains("url(") && !style.contains("@import"));
}

// ---- pictures ------------------------------------------------------------------------------------

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn drawn(example: &str) -> (Outcome, String) {
    let path = format!("catalog-examples/faulty/{example}");
    let input = Input {
        bytes: std::fs::read(root().join(&path)).unwrap(),
        path,
        alone: true,
        borrowed: false,
    };
    let options = Options {
        charts: true,
        ..Options::default()
    };
    let outcome = engine::audit(vec![input], &options);
    let page = html::render(&outcome);
    (outcome, page)
}

/// The pieces of a picture.
fn picture<'p>(all: &'p [Piece], id: &str) -> &'p [Piece] {
    let from = all
        .iter()
        .position(|piece| piece.tag == "svg" && piece.value("id") == Some(id));
    let from = from.unwrap_or_else(|| panic!("no picture {id}"));
    let to = all[from..]
        .iter()
        .position(|piece| piece.tag == "/svg")
        .unwrap();
    &all[from..from + to]
}

/// How a coordinate is read as a value along an axis, as an eye does it: from two of the axis's ticks.
/// Lines of the grid stand where their ticks do.
fn reading(picture: &[Piece], axis: &str, by_factors: bool) -> impl Fn(f64) -> f64 {
    let ticks: Vec<(f64, f64)> = picture
        .iter()
        .zip(picture.iter().skip(2))
        .filter(|(line, text)| {
            line.tag == "line" && text.value("class") == Some(&format!("tick {axis}"))
        })
        .map(|(line, text)| (line.number(&format!("{axis}1")), text.text.parse().unwrap()))
        .collect();
    let (first, last) = (ticks[0], *ticks.last().unwrap());
    assert!(ticks.len() >= 2 && first.0 != last.0, "{ticks:?}");
    move |at: f64| {
        let share = (at - first.0) / (last.0 - first.0);
        if by_factors {
            first.1 * nameplate::units::math::powf(last.1 / first.1, share)
        } else {
            first.1 + share * (last.1 - first.1)
        }
    }
}

fn close(read: f64, value: f64, within: f64, what: &str) {
    assert!(
        (read / value - 1.0).abs() < within,
        "{what}: read {read}, the engine says {value}"
    );
}

/// Three numbers read off the pictures of a package: its duty point, the flow its run costs, the share of the
/// water in the manifold's pressure. The engine's come from its verdicts, not from the charts.
#[test]
fn numbers_read_off_the_pictures_are_the_engines() {
    let (outcome, page) = drawn("too-deep-for-a-linear.toml");
    let all = pieces(&page);
    let verdict = |claim: &str| {
        outcome
            .verdicts
            .iter()
            .find(|one| one.claim.as_str() == claim)
            .unwrap()
    };
    let criterion = |claim: &str, name: &str| {
        let criteria = &verdict(claim).criteria;
        criteria
            .iter()
            .find(|one| one.name == name)
            .unwrap()
            .central
            .unwrap()
    };
    let kilopascals = Unit::known("kPa").unwrap();
    let litres = Unit::known("L/min").unwrap();

    // One diffuser, so its air is all the air.
    let duty = picture(&all, "c1-p1-duty");
    let mark = duty
        .iter()
        .find(|piece| piece.value("class") == Some("mark duty"))
        .unwrap();
    let air = reading(duty, "x", false)(mark.number("cx"));
    let pressure = reading(duty, "y", false)(mark.number("cy"));
    close(air, litres.from_si(criterion("depth", "flow")), 0.01, "air");
    close(
        pressure,
        kilopascals.from_si(criterion("depth", "pressure")),
        0.01,
        "pressure",
    );
    let limit = duty
        .iter()
        .find(|piece| piece.value("class") == Some("line limit"))
        .unwrap();
    close(
        reading(duty, "y", false)(limit.number("y1")),
        16.0,
        0.01,
        "limit",
    );

    let runs = picture(&all, "c1-p1-runs");
    let mark = runs
        .iter()
        .find(|piece| piece.value("class") == Some("mark duty"))
        .unwrap();
    close(
        reading(runs, "x", false)(mark.number("cx")),
        25.0,
        0.01,
        "length",
    );
    let lost = reading(runs, "y", false)(mark.number("cy"));
    close(
        lost,
        100.0 * criterion("airline-length", "line-loss"),
        0.03,
        "flow lost",
    );

    let budget = picture(&all, "c1-p1-budget");
    let parts: Vec<&Piece> = budget
        .iter()
        .filter(|piece| piece.value("data-part").is_some())
        .collect();
    let whole: f64 = parts.iter().map(|part| part.number("width")).sum();
    let water = parts
        .iter()
        .find(|part| part.value("data-part") == Some("water over the diffuser"))
        .unwrap();
    // 2.2 m of water at the site's temperature, less the height of the bubbles over the bottom, which is none here.
    let share = 998.2 * 9.80665 * 2.2 / criterion("depth", "pressure");
    close(
        water.number("width") / whole,
        share,
        0.005,
        "share of the water",
    );
}

#[test]
fn the_area_and_depth_read_off_their_picture_are_the_promised_ones() {
    let (outcome, page) = drawn("a-roll-and-a-bit.toml");
    let all = pieces(&page);
    let verdicts = outcome.verdicts.iter();
    let of = |claim: &str| {
        let mut verdicts = verdicts.clone();
        verdicts.find(|one| one.claim.as_str() == claim).unwrap()
    };
    let area = picture(&all, "c1-p1-area");
    let mark = area
        .iter()
        .find(|piece| piece.value("class") == Some("mark undecided"))
        .unwrap();
    let middle = |at: &str, size: &str| mark.number(at) + mark.number(size) / 2.0;
    close(
        reading(area, "x", false)(middle("x", "width")),
        of("depth").si,
        0.01,
        "depth",
    );
    close(
        reading(area, "y", true)(middle("y", "height")),
        250.0,
        0.02,
        "area",
    );
    let says = area.iter().find(|piece| piece.tag == "desc").unwrap();
    let rated = of("area").rated.unwrap();
    let rated = nameplate::units::show::significant(rated, 3);
    assert!(
        says.text.contains(&format!("{rated} m2 is rated")),
        "{}",
        says.text
    );
}

#[test]
fn unlike_branches_have_a_picture_of_their_own() {
    let (_, page) = drawn("shallow-disc-takes-the-air.toml");
    let all = pieces(&page);
    let bars = picture(&all, "c1-p1-branches");
    let bars: Vec<f64> = bars
        .iter()
        .filter(|piece| piece.value("class") == Some("part air"))
        .map(|piece| piece.number("width"))
        .collect();
    // What `duty.unbalanced` says in words.
    assert_eq!(bars.len(), 2);
    assert!(
        page.contains("gets 1.7 times as much air"),
        "the example has changed"
    );
    close(bars[1] / bars[0], 1.7, 0.03, "ratio");
}

#[test]
fn every_picture_has_words_and_no_name_twice() {
    let (_, page) = drawn("shallow-disc-takes-the-air.toml");
    let all = pieces(&page);
    let ids: Vec<&str> = all.iter().filter_map(|piece| piece.value("id")).collect();
    let once: BTreeSet<&str> = ids.iter().copied().collect();
    assert_eq!(ids.len(), once.len());
    for piece in all.iter().filter(|piece| piece.tag == "svg") {
        for name in ["aria-labelledby", "aria-describedby"] {
            assert!(once.contains(piece.value(name).unwrap()));
        }
    }
    for piece in &all {
        if let Some(to) = piece.value("href") {
            assert!(
                once.contains(to.trim_start_matches('#')),
                "{to} leads nowhere"
            );
        }
    }
}

#[test]
fn the_page_of_the_sound_example_is_small_and_always_the_same() {
    let run = || {
        let output = Command::new(env!("CARGO_BIN_EXE_nameplate"))
            .args([
                "audit",
                "catalog-examples/sound",
                "--format",
                "html",
                "--as-of",
                "2026-07-01",
            ])
            .current_dir(root())
            .output()
            .unwrap();
        assert_eq!(output.status.code(), Some(0));
        output.stdout
    };
    let page = run();
    assert!(page.len() < 1_000_000, "{}", page.len());
    assert!(page.len() > 100_000, "{}", page.len());
    assert!(page == run());
    let text = String::from_utf8(page).unwrap();
    for sign in ["http://", "https://", "src=", "@import", "url(h"] {
        assert!(!text.contains(sign), "{sign}");
    }
}
