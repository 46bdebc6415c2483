//! What can be done about findings: their corrections, and waivers.

use serde_json::{Value, json};

use crate::amend::{self, Scope};
use crate::finding::{Finding, capital};
use crate::text::{FileId, Span};

use super::lines::Lines;
use super::{Answer, Asked, uri};

pub(super) fn of(request: &mut Asked, params: &Value) -> Answer {
    let range = params
        .get("range")
        .and_then(|range| request.lines().bytes(range));
    let range = range.ok_or(super::Refusal::Arguments)?;
    let only = params.pointer("/context/only").and_then(Value::as_array);
    let wants = |kind: &str| {
        only.is_none_or(|only| {
            let mut only = only.iter().filter_map(Value::as_str);
            only.any(|one| kind == one || kind.starts_with(&format!("{one}.")))
        })
    };
    let mut all = Vec::new();
    if wants("quickfix") {
        all.extend(quick(request, range));
    }
    // It audits again and again, so it is worked out only where it is asked for.
    if only.is_some() && wants("source.fixAll") {
        all.extend(every(request));
    }
    Ok(Value::Array(all))
}

/// What can be done about the findings in a range.
fn quick(request: &mut Asked, range: std::ops::Range<usize>) -> Vec<Value> {
    let catalogs = request.unit.catalogs();
    let unit = &*request.unit;
    let Some(outcome) = unit.outcome() else {
        return Vec::new();
    };
    let touches = |at: Span| {
        let (start, end) = (at.start as usize, at.end as usize);
        at.file == request.file && start <= range.end && range.start <= end
    };
    let own: Vec<&Finding> = { outcome.findings.iter() }
        .filter(|one| one.waived.is_none() && touches(one.at))
        .collect();
    let mut all = Vec::new();
    for finding in &own {
        let Some(correction) = &finding.correction else {
            continue;
        };
        let edits = correction
            .edits
            .iter()
            .map(|edit| (edit.at, edit.with.clone()));
        let edits: Vec<(Span, String)> = edits.collect();
        all.push(json!({
            "title": format!("{} ({})", capital(&correction.says), finding.rule.name),
            "kind": "quickfix",
            "isPreferred": correction.sure,
            "edit": unit.edits(&edits, request.open, request.encoding),
        }));
    }
    for finding in own {
        let of_own = { catalogs.iter() }.find(|catalog| catalog.name == finding.identity.catalog);
        let first = of_own.and_then(|catalog| catalog.documents.first());
        // A page is a sheet of a catalog, which accepts what is found in it.
        let file = match unit.document(request.file) {
            Some(_) => Some(request.file),
            None => first
                .and_then(|&first| u32::try_from(first).ok())
                .map(FileId),
        };
        let document = file
            .and_then(|file| unit.document(file))
            .filter(|one| one.is_sound());
        let (Some(document), false) = (document, finding.on.is_empty()) else {
            continue;
        };
        // Who accepts has to say why.
        if matches!(finding.rule.family(), "waiver" | "syntax") {
            continue;
        }
        let text = document.text();
        let gap = if text.ends_with('\n') || text.is_empty() {
            "\n"
        } else {
            "\n\n"
        };
        let waiver = format!(
            "{gap}[[waiver]]\nrule = \"{}\"\non = \"{}\"\nreason = \"\"\n",
            finding.rule.name, finding.on
        );
        let end = Span::new(document.file(), text.len(), text.len());
        all.push(json!({
            "title": format!("Accept {} for {} by a waiver; write the reason into it", finding.rule.name, finding.on),
            "kind": "quickfix",
            "edit": unit.edits(&[(end, waiver)], request.open, request.encoding),
        }));
    }
    all
}

/// What `amend` would write into the file: all corrections that can't change the meaning.
fn every(request: &mut Asked) -> Option<Value> {
    let unit = &*request.unit;
    let amended = amend::amend(unit.inputs().to_vec(), unit.options(), Scope::Sure);
    let path = unit.path(request.file);
    let file = amended.files.iter().find(|file| file.path == path)?;
    let after = String::from_utf8_lossy(&file.after);
    let before = request.text;
    let same = |a: (char, char)| a.0 == a.1;
    let start: usize = { before.chars().zip(after.chars()) }
        .take_while(|pair| same(*pair))
        .map(|(letter, _)| letter.len_utf8())
        .sum();
    let end: usize = {
        before[start..]
            .chars()
            .rev()
            .zip(after[start..].chars().rev())
    }
    .take_while(|pair| same(*pair))
    .map(|(letter, _)| letter.len_utf8())
    .sum();
    let lines = Lines::of(before, request.encoding);
    let edit = json!({
        "range": lines.range(start..before.len() - end),
        "newText": &after[start..after.len() - end],
    });
    let uri = uri::shown(path, request.open);
    Some(json!({
        "title": "Write all safe fixes",
        "kind": "source.fixAll",
        "edit": { "changes": { uri: [edit] } },
    }))
}
