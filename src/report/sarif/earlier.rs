//! Reading an earlier SARIF report of this program as a baseline.

use serde_json::Value;

use crate::engine::{Baseline, Earlier, Known, Places};
use crate::finding::{Level, name_now};

use super::{FINGERPRINT, MOVABLE};

/// The fingerprint of versions before, which didn't tell one catalog from another.
const OLDER: &str = "ruleSubjectText/v1";

/// The findings that an earlier report of this program holds; those it tells as gone are left out.
///
/// # Errors
/// The text is no SARIF 2.1.0 report of this program; the error says why.
pub fn read(text: &str) -> Result<Baseline, String> {
    let log: Value = serde_json::from_str(text.trim_start_matches('\u{feff}'))
        .map_err(|error| format!("it isn't JSON (line {})", error.line()))?;
    if log["version"] != "2.1.0" || !log["runs"].is_array() {
        return Err("it isn't a SARIF 2.1.0 report".into());
    }
    let runs = log["runs"].as_array().into_iter().flatten();
    let own: Vec<&Value> = runs
        .filter(|run| run["tool"]["driver"]["name"] == "nameplate")
        .collect();
    if own.is_empty() {
        return Err("it holds no run of nameplate".into());
    }
    if let Some(many) = own
        .iter()
        .find_map(|run| run["properties"]["resultsLeftOut"].as_u64())
    {
        return Err(format!(
            "it left out {many} results, so what is new can't be told by it; --since holds against a revision instead"
        ));
    }
    let results = own
        .iter()
        .flat_map(|run| run["results"].as_array().into_iter().flatten());
    let mut findings = Vec::new();
    for result in results.filter(|result| result["baselineState"] != "absent") {
        if result["partialFingerprints"][OLDER].is_string() {
            return Err(
                "an older version wrote it, which knew findings by less; write it anew".into(),
            );
        }
        findings.extend(one(result));
    }
    Ok(Baseline {
        places: places(&own),
        findings,
    })
}

/// What the runs audited.
fn places(runs: &[&Value]) -> Places {
    let list = |key: &'static str| {
        let lists = runs.iter().map(move |run| match key {
            "catalogs" => &run["properties"][key],
            key => &run[key],
        });
        lists.flat_map(|list| list.as_array().into_iter().flatten())
    };
    let text = |value: &Value| value.as_str().map(str::to_string);
    Places {
        catalogs: list("catalogs")
            .filter_map(|one| Some((text(&one["name"])?, text(&one["title"]))))
            .collect(),
        files: list("artifacts")
            .filter_map(|one| one["location"]["uri"].as_str().map(path))
            .collect(),
    }
}

/// One result; nothing for one that doesn't carry what we know findings by.
fn one(result: &Value) -> Option<Earlier> {
    let place = &result["locations"][0]["physicalLocation"];
    let prints = &result["partialFingerprints"];
    let waived = result["suppressions"]
        .as_array()
        .is_some_and(|all| !all.is_empty());
    // SARIF's own default where a result states none.
    let level = result["level"]
        .as_str()
        .and_then(Level::parse)
        .unwrap_or(Level::Warning);
    let file = place["artifactLocation"]["uri"].as_str().map(path);
    let is_known_by_file = result["properties"]["knownByFile"] == true;
    Some(Earlier {
        print: prints[FINGERPRINT].as_str()?.to_string(),
        known: Known {
            catalog: result["properties"]["catalog"].as_str()?.to_string(),
            file: file
                .clone()
                .filter(|_| is_known_by_file)
                .unwrap_or_default(),
            kind: u64::from_str_radix(prints[MOVABLE].as_str()?, 16).ok()?,
            weight: (!waived, level),
        },
        rule: name_now(result["ruleId"].as_str()?).to_string(),
        level,
        message: result["message"]["text"]
            .as_str()
            .unwrap_or_default()
            .to_string(),
        file,
        line: place["region"]["startLine"]
            .as_u64()
            .and_then(|line| usize::try_from(line).ok()),
        waived,
    })
}

/// The path that a relative URI stands for.
fn path(uri: &str) -> String {
    percent_encoding::percent_decode_str(uri)
        .decode_utf8_lossy()
        .into_owned()
}
