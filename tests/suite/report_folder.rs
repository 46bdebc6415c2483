//! A report in HTML on many packages: an index and pages, all of which can be reached and none of which is large.

use std::collections::{BTreeMap, BTreeSet};

use nameplate::engine::{self, Options, Outcome};
use nameplate::report::html::{Folder, MOST};

use super::{report_formats, report_html};
use crate::scratch::{self, run};

/// A catalog with so many packages, each promising too much, and a part that isn't used.
fn catalog(title: &str, count: usize) -> String {
    let mut text = format!(
        "[catalog]\nformat = 1\ntitle = \"{title}\"\n[diffuser.disc]\nflow = \"10 to 60 L/min\"\ncheck_valve = true\n\
         [airline.half]\nsize = \"1/2 in\"\n[airline.unused]\nsize = \"3/8 in\"\n[compressor.one]\n\
         technology = \"linear-diaphragm\"\nvoltage = \"230 V\"\nfrequency = \"50 Hz\"\npower = {{ is = \"44 W\", at = \"14 kPa\" }}\n\
         max_pressure = \"24 kPa\"\ninlet_filter = true\ncurve = [{{ pressure = \"0 kPa\", flow = \"74 L/min\" }}, \
         {{ pressure = \"33 kPa\", flow = \"0 L/min\" }}]\n"
    );
    for number in 0..count {
        text.push_str(&format!(
            "[package.kit-{number}]\ncompressor = \"one\"\ndiffuser = \"disc\"\nabove_water = true\n\
             claim = {{ depth = \"9.{number} m\" }}\n[[package.kit-{number}.option]]\nid = \"with-airline\"\n\
             airline = {{ part = \"half\", length = \"20 m\" }}\n"
        ));
    }
    text
}

fn audited(files: &[(&str, String)]) -> Outcome {
    let inputs = files
        .iter()
        .map(|(path, text)| scratch::input(*path, text.clone()));
    let options = Options {
        charts: true,
        ..Options::default()
    };
    engine::audit(inputs.collect(), &options)
}

/// One large catalog, two small ones, and pages of text about the large one's packages.
fn many() -> Outcome {
    let page =
        |id: &str| format!("+++\npackage = \"{id}\"\n+++\nFor ponds up to 9 m deep, 44 W.\n");
    let mut files = vec![
        (
            "large/catalog.toml".to_string(),
            catalog("Otter Mill, all of it", MOST),
        ),
        (
            "small/catalog.toml".to_string(),
            catalog("Small & <b>bold</b>", 3),
        ),
        ("odd name #1/catalog.toml".to_string(), catalog("Odd", 2)),
    ];
    for number in 0..60 {
        files.push((
            format!("large/sheet-{number}.md"),
            page(&format!("kit-{number}")),
        ));
    }
    let files: Vec<(&str, String)> = files
        .iter()
        .map(|(path, text)| (path.as_str(), text.clone()))
        .collect();
    audited(&files)
}

fn pages(folder: &Folder) -> BTreeMap<String, String> {
    let all = (0..folder.len()).filter_map(|number| folder.page(number));
    let all: Vec<(String, String)> = all.collect();
    let count = all.len();
    let all: BTreeMap<String, String> = all.into_iter().collect();
    assert_eq!(all.len(), count, "each page has a name of its own");
    all
}

#[test]
fn every_finding_and_every_package_stands_on_a_page() {
    let outcome = many();
    let folder = Folder::of(&outcome, "report.html", "report-pages").unwrap();
    let all = pages(&folder);
    let mut told = BTreeSet::new();
    let mut shown = 0;
    for (name, page) in &all {
        // What a browser opens at once.
        assert!(page.len() < 3_000_000, "{name}: {} bytes", page.len());
        assert!(page.contains("Written by nameplate "), "{name}");
        told.extend(report_html::told(page));
        shown += page.matches("<section class=\"package\"").count();
    }
    assert_eq!(told, report_formats::told(&outcome));
    let packages = outcome.catalogs.iter().map(|one| one.packages().count());
    assert_eq!(shown, packages.sum::<usize>());
    assert!(all.len() > MOST / 50);
}

/// In a report on so many packages only those in doubt have pictures, and the index says so.
#[test]
fn packages_in_doubt_are_pictured_among_many() {
    let sound = |text: String| text.replace("depth = \"9.", "depth = \"0.");
    let outcome = audited(&[
        ("bold/catalog.toml", catalog("Too deep", 3)),
        ("sound/catalog.toml", sound(catalog("Otter Mill", MOST))),
    ]);
    let pictured = |place: usize| outcome.catalogs[place].charts.len();
    assert_eq!((pictured(0), pictured(1)), (3, 0));
    let folder = Folder::of(&outcome, "report.html", "report-pages").unwrap();
    assert!(folder.index().contains("shows the evidence of promises"));
    let few = audited(&[("sound/catalog.toml", sound(catalog("Otter Mill", 3)))]);
    assert_eq!(few.catalogs[0].charts.len(), 3);
}

/// Every link leads to a file of the folder and to a place in it, and all pages are linked.
#[test]
fn every_link_leads_somewhere() {
    let outcome = many();
    let folder = Folder::of(&outcome, "a report.html", "a report-pages").unwrap();
    let mut all: BTreeMap<String, String> = BTreeMap::new();
    for (name, page) in pages(&folder) {
        all.insert(format!("a report-pages/{name}"), page);
    }
    all.insert("a report.html".into(), folder.index());
    let mut linked = BTreeSet::new();
    for (name, page) in &all {
        for href in page.split("href=\"").skip(1) {
            let href = href.split('"').next().unwrap().replace("%20", " ");
            let (file, place) = href.split_once('#').unwrap_or((&href, ""));
            let target = match (file.strip_prefix("../"), name.rsplit_once('/')) {
                _ if file.is_empty() => name.clone(),
                (Some(above), Some(_)) => above.to_string(),
                (None, Some((folder, _))) => format!("{folder}/{file}"),
                (_, None) => file.to_string(),
            };
            let text = all
                .get(&target)
                .unwrap_or_else(|| panic!("{name} links to {href}"));
            let id = format!("id=\"{place}\"");
            assert!(
                place.is_empty() || text.contains(&id),
                "{name} links to {href}"
            );
            if target != *name {
                linked.insert(target);
            }
        }
    }
    assert_eq!(linked.len(), all.len());
    // What is wrong stands on the index as well, the gravest first.
    let index = folder.index();
    let gravest = &index[index.find("id=\"gravest\"").unwrap()..];
    let first = gravest.find("<li><strong>error</strong>").unwrap();
    assert!(
        gravest
            .find("<li><strong>note")
            .is_none_or(|note| note > first)
    );
}

#[test]
fn few_packages_stay_on_one_page() {
    let outcome = audited(&[("list/catalog.toml", catalog("Few", 5))]);
    assert!(Folder::of(&outcome, "r.html", "r-pages").is_none());
}

#[test]
fn a_folder_of_pages_is_written_whole_and_over_nothing_else() {
    let at = tempfile::tempdir().unwrap();
    std::fs::create_dir(at.path().join("list")).unwrap();
    let write = |count: usize| {
        std::fs::write(at.path().join("list/catalog.toml"), catalog("Many", count)).unwrap();
    };
    let files = || -> BTreeSet<String> {
        let all = std::fs::read_dir(at.path().join("r-pages")).unwrap();
        all.map(|file| file.unwrap().file_name().to_string_lossy().into_owned())
            .collect()
    };
    write(MOST + 60);
    let audit = |more: &[&str]| run(at.path(), &[&["audit", "list"][..], more].concat());
    let output = audit(&["--output", "r.html"]);
    assert_eq!(output.status.code(), Some(1), "{output:?}");
    let many = files();
    // Fewer packages, fewer pages: those of the earlier report are gone.
    write(MOST + 1);
    audit(&["--output", "r.html"]);
    assert!(files().is_subset(&many) && files().len() < many.len());
    assert!(
        std::fs::read_to_string(at.path().join("r.html"))
            .unwrap()
            .contains("r-pages/c1.html")
    );
    // Reports in the catalog's folder are no part of it.
    let inside = audit(&["--output", "list/r.html"]);
    let again = audit(&[]);
    assert_eq!(inside.status.code(), again.status.code());
    let shown = String::from_utf8_lossy(&again.stdout).into_owned();
    let words: Vec<&str> = shown.split_whitespace().collect();
    assert!(
        words.join(" ").contains("a report of this program"),
        "{shown}"
    );
    // What isn't ours stays, and nothing is written then.
    std::fs::write(at.path().join("r-pages/mine.html"), "mine").unwrap();
    std::fs::remove_file(at.path().join("r.html")).unwrap();
    let refused = audit(&["--output", "r.html", "--output", "r.json"]);
    assert_eq!(refused.status.code(), Some(2), "{refused:?}");
    assert!(String::from_utf8_lossy(&refused.stderr).contains("holds something else"));
    assert!(!at.path().join("r.html").exists() && !at.path().join("r.json").exists());
    assert_eq!(
        std::fs::read(at.path().join("r-pages/mine.html")).unwrap(),
        b"mine"
    );
    // Standard output takes no folder.
    let piped = audit(&["--format", "html"]);
    assert_eq!(piped.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&piped.stderr).contains("needs --output FILE"));
    assert!(piped.stdout.is_empty());
    // Nothing is left lying about.
    let left = std::fs::read_dir(at.path()).unwrap().count();
    assert_eq!(left, 2, "the catalog and the pages");
}
