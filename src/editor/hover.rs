//! What is known of what stands at a place.

use serde_json::{Value, json};

use crate::answers::convert::{Place, convert};
use crate::catalog::{Catalog, Kind, nearest};
use crate::document::Item;
use crate::engine;
use crate::finding::Finding;
use crate::report;
use crate::text::Span;
use crate::units;

use super::names::{self, Name};
use super::spot::{Spot, item_at};
use super::unit::Unit;
use super::{Answer, Asked};

/// Lines shown of a part.
const MOST_LINES: usize = 16;

pub(super) fn at(request: &mut Asked) -> Answer {
    let at = request.at()?;
    let (unit, file) = (&mut *request.unit, request.file);
    let mut texts: Vec<String> = Vec::new();
    let mut place = None;
    let holds =
        |span: Span| span.file == file && span.start as usize <= at && at <= span.end as usize;
    if let Some(outcome) = unit.outcome() {
        for verdict in outcome.verdicts.iter().filter(|one| holds(one.at)) {
            place.get_or_insert(verdict.at);
            texts.push(report::hover::promise(verdict));
        }
    }
    let name = names::at(unit, file, at);
    if let Some(name) = &name {
        place.get_or_insert(name.at);
        texts.extend(thing(unit, name));
    }
    let catalogs = unit.catalogs();
    if let Some(document) = unit.document(file) {
        let item = item_at(document, at);
        let is_on = item.header_span().is_none() && item.whole_span().end as usize >= at;
        if is_on {
            texts.extend(quantity(item, &catalogs, &mut place));
            texts.extend(rule(item, at, &mut place));
            if name.is_none() {
                texts.extend(key(item, at, &mut place));
            }
        }
    }
    if let Some(outcome) = unit.outcome() {
        let spoken = outcome.findings.iter().filter(|one| holds(one.at));
        texts.extend(spoken.map(said));
    }
    if texts.is_empty() {
        return Ok(Value::Null);
    }
    let text = texts.join("\n---\n\n");
    let mut hover = json!({ "contents": { "kind": "markdown", "value": text } });
    if let Some(at) = place {
        hover["range"] = request.lines().range(at.range());
    }
    Ok(hover)
}

/// A quantity in other units, where the catalog's site is.
fn quantity(item: Item, catalogs: &[Catalog], place: &mut Option<Span>) -> Option<String> {
    let text = item.as_str()?;
    let reading = units::read(text, &[]);
    let quantity = reading.quantity.filter(|_| reading.faults.is_empty())?;
    let file = item.span().file.0 as usize;
    let own = catalogs
        .iter()
        .find(|catalog| catalog.documents.contains(&file));
    let site = own.map(|catalog| catalog.site.clone()).unwrap_or_default();
    let at = Place {
        altitude: site.altitude_m(),
        air: site.air_k(),
        water: site.water_k(),
    };
    let all = convert(&quantity, None, &at);
    if all.is_empty() {
        return None;
    }
    place.get_or_insert(item.span());
    Some(report::hover::units(text, &all, &at))
}

/// The page of a rule that is named.
fn rule(item: Item, at: usize, place: &mut Option<Span>) -> Option<String> {
    let on_key = item
        .key()
        .filter(|(_, span)| (span.start as usize..=span.end as usize).contains(&at));
    let (named, span) = on_key.or_else(|| Some((item.as_str()?, item.span())))?;
    let rule = engine::rule_named(named)?;
    let family = engine::FAMILIES
        .iter()
        .find(|family| family.name == rule.family())?;
    place.get_or_insert(span);
    Some(report::rulebook::rule(family, rule))
}

/// What a key says.
fn key(item: Item, at: usize, place: &mut Option<Span>) -> Option<String> {
    let (key, span) = item.key()?;
    let on_key = span.start as usize <= at && at <= span.end as usize;
    let field = Spot::of(item).field.filter(|_| on_key)?;
    place.get_or_insert(span);
    Some(format!(
        "**{key}**: {}\n\nFor example `{} = {}`\n",
        field.says, field.key, field.example
    ))
}

/// What a catalog says of a thing, and who uses it.
fn thing(unit: &mut Unit, name: &Name) -> Option<String> {
    let catalogs = unit.catalogs();
    let mut catalogs = catalogs.iter();
    let found = catalogs.find_map(|catalog| Some((catalog, catalog.entry(name.kind, &name.id)?)));
    let Some((catalog, entry)) = found else {
        return Some(unknown(unit, name));
    };
    let title = entry.title.as_ref().map(|title| format!(": {title}"));
    let mut text = format!(
        "**{} `{}`**{}\n",
        name.kind.words(),
        name.id,
        title.unwrap_or_default()
    );
    let number = u32::try_from(entry.document).ok()?;
    let document = unit.document(crate::text::FileId(number))?;
    let facts = document
        .item(entry.node)
        .entries()
        .filter(|item| item.header_span().is_none());
    let facts = facts.filter_map(|item| Some((item.key()?.0, item.written())));
    let facts: Vec<(&str, &str)> = facts.filter(|(key, _)| *key != "title").collect();
    if !facts.is_empty() {
        text.push_str("\n```toml\n");
        for (key, written) in facts.iter().take(MOST_LINES) {
            let line: Vec<&str> = written.split_whitespace().collect();
            text.push_str(&format!("{key} = {}\n", line.join(" ")));
        }
        text.push_str("```\n");
    }
    if name.kind != Kind::Package {
        let users = catalog
            .mentions
            .of(&name.id)
            .filter(|one| one.kinds.contains(&name.kind));
        let users: std::collections::BTreeSet<&str> = users.map(|one| one.on.as_str()).collect();
        text.push_str(&match users.len() {
            0 => "\nNothing uses it.\n".to_string(),
            1 => "\nOne thing uses it.\n".to_string(),
            many => format!("\n{many} things use it.\n"),
        });
    }
    Some(text)
}

fn unknown(unit: &mut Unit, name: &Name) -> String {
    let catalogs = unit.catalogs();
    let known = catalogs
        .iter()
        .flat_map(|catalog| catalog.entries(name.kind));
    let near = nearest(&name.id, known.map(|entry| entry.id.as_str()));
    let near = near.map(|near| format!(" The nearest is `{near}`."));
    format!(
        "There is no {} `{}`.{}\n",
        name.kind.words(),
        name.id,
        near.unwrap_or_default()
    )
}

/// What a rule says here, and when it speaks.
fn said(finding: &Finding) -> String {
    let (name, speaks) = (finding.rule.name, finding.rule.speaks);
    format!(
        "`{name}` ({}): {speaks}. `nameplate rulebook {name}` explains it.\n",
        finding.level
    )
}
