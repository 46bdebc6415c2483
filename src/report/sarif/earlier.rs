//! Reading an earlier SARIF report of this program as a baseline.

use serde_json::Value;

use crate::engine::{Baseline, Earlier};
use crate::finding::Level;

use super::FINGERPRINT;

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
    let results = own
        .iter()
        .flat_map(|run| run["results"].as_array().into_iter().flatten());
    let findings = results
        .filter(|result| result["baselineState"] != "absent")
        .filter_map(one)
        .collect();
    Ok(Baseline { findings })
}

/// One result; nothing for one that carries no fingerprint of ours.
fn one(result: &Value) -> Option<Earlier> {
    let place = &result["locations"][0]["physicalLocation"];
    let suppressions = result["suppressions"].as_array();
    Some(Earlier {
        print: result["partialFingerprints"][FINGERPRINT]
            .as_str()?
            .to_string(),
        rule: result["ruleId"].as_str()?.to_string(),
        // SARIF's own default where a result states none.
        level: result["level"]
            .as_str()
            .and_then(Level::parse)
            .unwrap_or(Level::Warning),
        message: result["message"]["text"]
            .as_str()
            .unwrap_or_default()
            .to_string(),
        file: place["artifactLocation"]["uri"].as_str().map(path),
        line: place["region"]["startLine"]
            .as_u64()
            .and_then(|line| usize::try_from(line).ok()),
        waived: suppressions.is_some_and(|all| !all.is_empty()),
    })
}

/// The path that a relative URI stands for.
fn path(uri: &str) -> String {
    percent_encoding::percent_decode_str(uri)
        .decode_utf8_lossy()
        .into_owned()
}
