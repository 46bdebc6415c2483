//! JUnit and Markdown carry the findings that every other format carries, and whatever a catalog holds
//! stays words in them.

use std::collections::BTreeSet;

use nameplate::engine::{self, Options, Outcome};
use nameplate::finding::Level;
use nameplate::report::{code_quality, junit, markdown, sarif, workflow_commands};
use pulldown_cmark::{Event, Parser, Tag};
use quick_junit::{Report, TestCase, TestCaseStatus};

use super::{catalog_examples, report_baseline, report_sample, reports};
use crate::scratch;

/// Rule, file, line and column of a finding, as a line of words tells them.
pub type Told = (String, String, u64, u64);

pub fn told(outcome: &Outcome) -> BTreeSet<Told> {
    outcome
        .findings
        .iter()
        .map(|finding| {
            let position = outcome.sources.position(finding.at);
            let file = outcome.sources.get(finding.at.file).name().to_string();
            let (line, column) = (position.line as u64, position.column as u64);
            (finding.rule.name.to_string(), file, line, column)
        })
        .collect()
}

fn outcomes() -> Vec<Outcome> {
    let own = [
        report_sample::outcome(),
        reports::audited(),
        report_baseline::compared(),
        hostile(),
    ];
    let all = own.into_iter();
    all.chain(catalog_examples::outcomes()).collect()
}

/// A catalog full of markup.
pub fn hostile() -> Outcome {
    let text = r##"
[catalog]
format = 1
title = "<script>alert(1)</script> | # @someone ![x](http://a.example/x.png) ]]> &amp; www.a.example"

[compressor."<b>one</b>"]
technology = "`linear`"
power = "<img src=x onerror=alert(1)> W"

[package."</style><svg/onload=alert(2)>"]
title = "\"><script src=//a.example></script> *bold* _x_ [link](javascript:alert(3)) \n# heading\n\n- list\n| a | b |\n<!-- "
compressor = "<i>gone</i>"
"onclick=\"alert(4)\"" = 1
[package."</style><svg/onload=alert(2)>".claim]
depth = "<s>2 m</s>"
area = "600 m2"

[[waiver]]
rule = "claim.area"
on = "package.</style><svg/onload=alert(2)>"
reason = "</details><script>alert(5)</script>"
"##;
    let input = scratch::alone("a&b/<u>odd</u> \"name\".toml", text);
    let options = Options {
        as_of: Some("2026-05-02".into()),
        ..Options::default()
    };
    let outcome = engine::audit(vec![input], &options);
    assert!(outcome.findings.len() >= 5);
    outcome
}

/// The place that a line of words names: `RULE… at FILE, line N, column N:`.
fn place(line: &str) -> Told {
    let (head, rest) = line.split_once(" at ").unwrap();
    let rule = head.split(' ').nth(1).unwrap().trim_end_matches(',');
    let at = rest.find(", line ").unwrap();
    let numbers: Vec<u64> = rest[at..]
        .split(|c: char| !c.is_ascii_digit())
        .filter_map(|number| number.parse().ok())
        .collect();
    (rule.into(), rest[..at].into(), numbers[0], numbers[1])
}

fn lines_of(case: &TestCase) -> Vec<String> {
    let mut lines = Vec::new();
    if let TestCaseStatus::NonSuccess {
        description: Some(text),
        ..
    } = &case.status
    {
        lines.extend(text.as_str().lines().map(str::to_string));
    }
    let output = case.system_out.as_ref();
    let output = output.map_or("", |text| text.as_str()).lines();
    // What is told of a verdict begins with its word.
    let findings = output.filter(|line| Level::parse(line.split(' ').next().unwrap()).is_some());
    lines.extend(findings.map(str::to_string));
    lines
}

#[test]
fn a_junit_report_has_a_case_for_each_package_and_promise_and_tells_every_finding() {
    for outcome in outcomes() {
        let text = junit::render(&outcome, Some(Level::Error));
        let report =
            Report::deserialize_from_str(&text).expect("is read by the crate that wrote it");
        let cases: Vec<&TestCase> = report
            .test_suites
            .iter()
            .flat_map(|suite| &suite.test_cases)
            .collect();
        let packages = outcome.catalogs.iter().flat_map(|one| &one.entries);
        let packages = packages
            .filter(|one| one.on.starts_with("package."))
            .count();
        assert!(cases.len() >= packages + outcome.verdicts.len());
        let found: BTreeSet<Told> = cases
            .iter()
            .flat_map(|case| lines_of(case))
            .map(|line| place(&line))
            .collect();
        assert_eq!(found, told(&outcome), "{text}");
        // It fails where the audit fails.
        let fails = |case: &&&TestCase| matches!(case.status, TestCaseStatus::NonSuccess { .. });
        let failing = cases.iter().filter(fails).count();
        assert_eq!(failing > 0, outcome.fails(Level::Error));
        assert_eq!(report.failures, failing);
    }
}

/// What forges understand beyond CommonMark, but for quotation marks made round.
fn extensions() -> pulldown_cmark::Options {
    pulldown_cmark::Options::all() - pulldown_cmark::Options::ENABLE_SMART_PUNCTUATION
}

/// What a reader of the page sees: its texts, and what isn't text.
fn seen(page: &str) -> (String, Vec<String>) {
    let mut text = String::new();
    let mut others = Vec::new();
    for event in Parser::new_ext(page, extensions()) {
        match event {
            Event::Text(words) => text.push_str(&words),
            Event::Start(Tag::Heading { .. }) => text.push('\n'),
            Event::End(pulldown_cmark::TagEnd::Item | pulldown_cmark::TagEnd::TableCell) => {
                text.push('\n');
            }
            Event::Start(
                Tag::Item
                | Tag::List(_)
                | Tag::Table(_)
                | Tag::TableHead
                | Tag::TableRow
                | Tag::TableCell
                | Tag::Emphasis
                | Tag::Strong
                | Tag::Paragraph,
            )
            | Event::End(_) => {}
            Event::SoftBreak => text.push(' '),
            other => others.push(format!("{other:?}")),
        }
    }
    (text, others)
}

#[test]
fn a_markdown_report_tells_every_finding_and_verdict() {
    for outcome in outcomes() {
        let page = markdown::render(&outcome, markdown::LIMIT);
        let (text, _) = seen(&page);
        for finding in &outcome.findings {
            let message = nameplate::report::terminal::safe(&finding.message).into_owned();
            assert!(text.contains(&message), "{message} isn't in\n{page}");
        }
        let found: BTreeSet<Told> = text
            .lines()
            .filter_map(|line| line.strip_suffix(')')?.rsplit_once(", line "))
            .map(|(head, rest)| {
                let file = head.rsplit_once(" (").unwrap().1;
                let (numbers, rule) = rest.split_once("; ").unwrap();
                let (line, column) = numbers.split_once(", column ").unwrap();
                let rule = rule.split(',').next().unwrap();
                (
                    rule.into(),
                    file.into(),
                    line.parse().unwrap(),
                    column.parse().unwrap(),
                )
            })
            .collect();
        assert_eq!(found, told(&outcome), "{page}");
        for verdict in &outcome.verdicts {
            assert!(
                text.contains(&verdict.stated),
                "{} isn't in\n{page}",
                verdict.stated
            );
        }
        let rows = page.lines().filter(|line| line.starts_with("| ")).count();
        let tables = page
            .lines()
            .filter(|line| line.starts_with("| --- |"))
            .count();
        assert_eq!(rows, outcome.verdicts.len() + 2 * tables);
    }
}

#[test]
fn a_markdown_report_says_what_is_new_and_what_is_gone() {
    let page = markdown::render(&report_baseline::compared(), markdown::LIMIT);
    let headings: Vec<&str> = page
        .lines()
        .filter_map(|line| line.strip_prefix("### "))
        .collect();
    assert_eq!(headings, ["New", "Gone", "Unchanged", "Promises"]);
    assert!(page.contains("1 gone."), "{page}");
}

#[test]
fn markup_in_a_catalog_stays_words_in_markdown() {
    let page = markdown::render(&hostile(), markdown::LIMIT);
    // The mark by which a report is known, which no reader shows.
    let mark = format!(
        "<!-- Written by nameplate {} -->\n\n",
        env!("CARGO_PKG_VERSION")
    );
    let (text, others) = seen(page.strip_prefix(&mark).unwrap());
    assert!(others.is_empty(), "{others:?}\n{page}");
    assert!(
        text.contains("<script>alert(1)</script> | # @someone ![x](http://a.example/x.png)"),
        "{text}"
    );
    // Addresses and mentions that a forge would find in plain text aren't there as such.
    for sign in ["@someone", "://", "www.a", "<script", "]("] {
        assert!(!page.contains(sign), "{sign}\n{page}");
    }
}

#[test]
fn the_level_that_fails_a_junit_case_is_chosen() {
    let failures = |level: Option<Level>| -> usize {
        outcomes()
            .iter()
            .map(|outcome| junit::render(outcome, level).matches("<failure").count())
            .sum()
    };
    assert_eq!(failures(None), 0);
    assert!(failures(Some(Level::Error)) > 0);
    assert!(failures(Some(Level::Warning)) > failures(Some(Level::Error)));
}

/// What a runner reads of a command line, undone in the order in which it was done.
fn command(line: &str) -> (String, std::collections::BTreeMap<String, String>, String) {
    let undo = |text: &str| {
        let text = text.replace("%2C", ",").replace("%3A", ":");
        text.replace("%0A", "\n").replace("%25", "%")
    };
    let (head, message) = line.strip_prefix("::").unwrap().split_once("::").unwrap();
    let (word, properties) = head.split_once(' ').unwrap();
    let properties = properties.split(',').map(|pair| {
        let (key, value) = pair.split_once('=').unwrap();
        (key.to_string(), undo(value))
    });
    (word.into(), properties.collect(), undo(message))
}

#[test]
fn workflow_commands_tell_every_finding_and_nothing_of_a_catalog_is_one() {
    for outcome in outcomes() {
        let text = workflow_commands::render(&outcome);
        let lines: Vec<&str> = text.lines().filter(|line| line.starts_with("::")).collect();
        assert_eq!(lines.len(), outcome.findings.len());
        let beside = text.lines().count() - lines.len();
        assert!(
            beside == 1 || beside == 2 && text.contains("in this log alone"),
            "{text}"
        );
        let mut found = BTreeSet::new();
        // The gravest first, else in their order.
        let mut findings: Vec<_> = outcome.findings.iter().collect();
        findings.sort_by_key(|one| (!one.counts(), std::cmp::Reverse(one.level)));
        for (line, finding) in lines.iter().zip(findings) {
            let (word, properties, message) = command(line);
            let grave = match finding.level {
                Level::Error => "error",
                Level::Warning => "warning",
                Level::Note => "notice",
            };
            let expected = if finding.counts() { grave } else { "notice" };
            assert_eq!(word, expected, "{line}");
            let said = nameplate::report::terminal::safe(&finding.message);
            assert!(message.starts_with(said.as_ref()), "{line}");
            let number = |key: &str| properties[key].parse::<u64>().unwrap();
            let position = outcome.sources.position(finding.at);
            if let Some(column) = properties.get("col") {
                assert_eq!(column.parse::<usize>().unwrap(), position.column);
                assert!(number("endColumn") >= number("col"));
            }
            found.insert((
                properties["title"].split(',').next().unwrap().to_string(),
                properties["file"].clone(),
                number("line"),
                position.column as u64,
            ));
        }
        assert_eq!(found, told(&outcome));
    }
}

/// What the forge's documentation asks of the list (from memory).
const CODE_QUALITY: &str = r#"{
  "type": "array",
  "items": {
    "type": "object",
    "required": ["description", "check_name", "fingerprint", "severity", "location"],
    "properties": {
      "description": { "type": "string", "minLength": 1 },
      "check_name": { "type": "string", "pattern": "^[a-z-]+(\\.[a-z-]+)+$" },
      "fingerprint": { "type": "string", "minLength": 1 },
      "severity": { "enum": ["info", "minor", "major", "critical", "blocker"] },
      "location": {
        "type": "object",
        "required": ["path", "lines"],
        "properties": {
          "path": { "type": "string", "not": { "pattern": "^\\./" } },
          "lines": {
            "type": "object",
            "required": ["begin"],
            "properties": { "begin": { "type": "integer", "minimum": 1 } }
          }
        }
      }
    }
  }
}"#;

#[test]
fn a_code_quality_list_has_the_form_and_tells_every_finding() {
    let schema: serde_json::Value = serde_json::from_str(CODE_QUALITY).unwrap();
    let schema = jsonschema::validator_for(&schema).unwrap();
    for outcome in outcomes() {
        let list: serde_json::Value =
            serde_json::from_str(&code_quality::render(&outcome)).unwrap();
        let faults: Vec<String> = schema
            .iter_errors(&list)
            .map(|fault| fault.to_string())
            .collect();
        assert!(faults.is_empty(), "{faults:?}");
        let issues = list.as_array().unwrap();
        assert_eq!(issues.len(), outcome.findings.len());
        let prints: BTreeSet<&str> = issues
            .iter()
            .map(|one| one["fingerprint"].as_str().unwrap())
            .collect();
        assert_eq!(prints.len(), issues.len(), "each has its own");
        for (issue, finding) in issues.iter().zip(&outcome.findings) {
            assert_eq!(issue["check_name"], finding.rule.name);
            assert_eq!(
                issue["location"]["path"],
                outcome.sources.get(finding.at.file).name()
            );
            assert_eq!(
                issue["location"]["lines"]["begin"],
                outcome.sources.position(finding.at).line
            );
            assert_eq!(
                issue["severity"] == "critical",
                finding.counts() && finding.level == Level::Error
            );
        }
    }
}

/// A report with far more findings than anybody reads: warnings first, in the order of their places.
fn very_many() -> Outcome {
    let mut outcome = report_sample::outcome();
    let of = |wanted: Level| {
        let mut findings = outcome.findings.iter().filter(|one| one.counts());
        findings.find(|one| one.level == wanted).cloned().unwrap()
    };
    let (warning, error) = (of(Level::Warning), of(Level::Error));
    outcome.findings = std::iter::repeat_n(warning, 5_500)
        .chain(std::iter::repeat_n(error, 500))
        .collect();
    outcome
}

#[test]
fn a_report_that_is_cut_keeps_what_is_graver_and_counts_the_rest() {
    let many = very_many();
    let limit = 20_000;
    let page = markdown::render(&many, limit);
    assert!(page.chars().count() <= limit && page.chars().count() > limit / 2);
    let shown = page.lines().filter(|line| line.starts_with("- ")).count();
    let errors = page
        .lines()
        .filter(|line| line.starts_with("- **error**"))
        .count();
    assert_eq!(shown, errors);
    let left_out = format!(
        "{} findings and {} promises.",
        6_000 - shown,
        many.verdicts.len()
    );
    assert!(
        page.ends_with(&format!("cut at {limit} characters: {left_out}\n")),
        "{page}"
    );
    let log: serde_json::Value = serde_json::from_str(&sarif::render(&many)).unwrap();
    let run = &log["runs"][0];
    let results = run["results"].as_array().unwrap();
    assert_eq!(
        (results.len(), &run["properties"]["resultsLeftOut"]),
        (5_000, &1_000.into())
    );
    let errors = results.iter().filter(|one| one["level"] == "error").count();
    assert_eq!(errors, 500);
    assert_eq!(run["automationDetails"]["id"], "nameplate/whole/");
    // What it left out would all be new to a baseline.
    let error = sarif::read_baseline(&log.to_string()).unwrap_err();
    assert!(error.contains("it left out 1000 results"), "{error}");
    let log = workflow_commands::render(&many);
    assert!(log.starts_with("::error "));
    assert!(
        log.contains("5980 findings stand in this log alone"),
        "{}",
        log.lines().last().unwrap()
    );
}

/// What is gone since a baseline counts as well, in a comment and among results.
#[test]
fn what_is_gone_and_does_not_fit_is_counted() {
    let mut outcome = report_baseline::compared();
    let one = outcome.gone.as_ref().unwrap()[0].clone();
    outcome.gone = Some(vec![one; 6_000]);
    let page = markdown::render(&outcome, 20_000);
    let (before, last) = page.trim_end().rsplit_once("characters: ").unwrap();
    let shown = before.matches("\n- ").count();
    let all = outcome.findings.len() + 6_000;
    let numbers: Vec<usize> = last
        .split(' ')
        .filter_map(|word| word.parse().ok())
        .collect();
    assert!(last.contains("findings that are gone"), "{last}");
    let promises = numbers.last().unwrap();
    assert_eq!(
        shown + numbers.iter().sum::<usize>() - promises,
        all,
        "{last}"
    );
    let log: serde_json::Value = serde_json::from_str(&sarif::render(&outcome)).unwrap();
    let run = &log["runs"][0];
    assert_eq!(run["results"].as_array().unwrap().len(), 5_000);
    assert_eq!(run["properties"]["resultsLeftOut"], all - 5_000);
}

/// Results of a partial run take the place of no whole one's.
#[test]
fn a_partial_run_has_an_id_of_its_own() {
    let id = |outcome: &Outcome| -> String {
        let log: serde_json::Value = serde_json::from_str(&sarif::render(outcome)).unwrap();
        log["runs"][0]["automationDetails"]["id"]
            .as_str()
            .unwrap()
            .to_string()
    };
    let mut outcome = report_sample::outcome();
    let whole = id(&outcome);
    outcome.partial = Some(engine::Partial {
        since: "main".into(),
        packages: 1,
        sheets: 0,
        standing: 0,
    });
    assert_eq!(
        (whole.as_str(), id(&outcome).as_str()),
        ("nameplate/whole/", "nameplate/partial/")
    );
}

/// A service shows a rule by its name, its description and its help; each says something, and no two the same.
#[test]
fn rules_of_a_sarif_report_have_names_and_descriptions() {
    let log: serde_json::Value = serde_json::from_str(&sarif::render(&hostile())).unwrap();
    let driver = &log["runs"][0]["tool"]["driver"];
    let home = env!("CARGO_PKG_HOMEPAGE");
    assert_eq!(driver["informationUri"].as_str().unwrap_or_default(), home);
    let rules = driver["rules"].as_array().unwrap();
    let mut names = BTreeSet::new();
    for rule in rules {
        let name = rule["name"].as_str().unwrap();
        assert!(
            name.chars().all(|letter| letter.is_ascii_alphanumeric()),
            "{name}"
        );
        let bare = rule["id"].as_str().unwrap().replace(['.', '-'], "");
        assert_eq!(name.to_lowercase(), bare);
        assert!(names.insert(name), "{name} twice");
        let full = rule["fullDescription"]["text"].as_str().unwrap();
        assert!(full.ends_with('.') && full.len() > 20, "{full}");
        assert!(
            rule["help"]["markdown"].as_str().unwrap().len() > 100,
            "{name}"
        );
    }
    assert!(names.contains("ClaimArea"));
}

/// Packages of one ID in two catalogs of one title are different cases.
#[test]
fn junit_cases_of_several_catalogs_are_told_apart() {
    let text = "[catalog]\nformat = 1\ntitle = \"Otter Mill\"\n[package.kit]\ncompressor = \"gone\"\nclaim = { depth = \"2 m\" }\n";
    let inputs =
        ["spring/catalog.toml", "summer/catalog.toml"].map(|path| scratch::input(path, text));
    let outcome = engine::audit(inputs.into(), &Options::default());
    let report =
        Report::deserialize_from_str(&junit::render(&outcome, Some(Level::Error))).unwrap();
    let cases = report
        .test_suites
        .iter()
        .flat_map(|suite| &suite.test_cases);
    let names: Vec<String> = cases
        .map(|case| {
            format!(
                "{}: {}",
                case.classname.as_ref().unwrap().as_str(),
                case.name.as_str()
            )
        })
        .collect();
    let once: BTreeSet<&String> = names.iter().collect();
    assert!(names.len() >= 4 && once.len() == names.len(), "{names:?}");
}

/// A promise whose figure changes stays the same case of a pipeline's statistics.
#[test]
fn a_junit_case_is_called_without_its_figure() {
    for outcome in outcomes() {
        let report = Report::deserialize_from_str(&junit::render(&outcome, None)).unwrap();
        for suite in &report.test_suites {
            let names: Vec<&str> = suite
                .test_cases
                .iter()
                .map(|case| case.name.as_str())
                .collect();
            let once: BTreeSet<&&str> = names.iter().collect();
            assert_eq!(once.len(), names.len(), "{names:?}");
            for verdict in &outcome.verdicts {
                assert!(
                    names.iter().all(|name| !name.contains(&verdict.stated)),
                    "{names:?}"
                );
            }
        }
    }
}
