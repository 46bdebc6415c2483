//! A feed by schema.org, as JSON-LD: a `Product` for each thing that is sold, its figures as `PropertyValue`.

use serde_json::{Map, Value, json};

use crate::catalog::Kind;
use crate::catalog::fields::{AIR, CONDITION, PRESSURE, Shape};
use crate::catalog::mapping::Target;
use crate::feed::{Column, Table, codes};
use crate::report::json_text;
use crate::report::terminal::safe;
use crate::units::{Dimension, Quantity, read};

/// Keys that schema.org has a property of its own for.
const OWN: [(&str, &str); 4] = [
    ("title", "name"),
    ("sku", "sku"),
    ("gtin", "gtin"),
    ("model", "model"),
];

/// The table as one document.
pub fn render(table: &Table) -> String {
    let products: Vec<Value> = table.rows.iter().map(|row| product(table, row)).collect();
    json_text(&json!({ "@context": "https://schema.org", "@graph": products }))
}

/// What stands at a key; for a thing sold in several ways the way's own counts.
fn at<'t>(columns: &[Column], row: &'t [String], key: &str) -> Option<&'t str> {
    let of = |key: &str| {
        let place = columns
            .iter()
            .position(|column| column.key == key && column.at.is_none())?;
        row.get(place)
            .map(String::as_str)
            .filter(|text| !text.is_empty())
    };
    of(&format!("option.{key}")).or_else(|| of(key))
}

fn product(table: &Table, row: &[String]) -> Value {
    let columns = table.columns.as_slice();
    let kind = table.kind.unwrap_or(Kind::Package);
    let mut product = Map::new();
    let text = |text: &str| Value::from(safe(text).into_owned());
    let place = columns.iter().position(|column| column.key == "id");
    let id = place
        .and_then(|place| row.get(place))
        .map_or("", String::as_str);
    let place = columns.iter().position(|column| column.key == "option.id");
    let option = place
        .and_then(|place| row.get(place))
        .filter(|option| !option.is_empty());
    let option = option.map_or(String::new(), |option| format!("-{option}"));
    product.insert("@type".into(), "Product".into());
    product.insert(
        "@id".into(),
        text(&format!("#{}-{id}{option}", kind.table())),
    );
    for (key, property) in OWN {
        if let Some(value) = at(columns, row, key) {
            product.insert(property.into(), text(value));
        }
    }
    product.entry("name").or_insert_with(|| text(id));
    product.insert("category".into(), kind.words().into());
    if let Some(mass) = at(columns, row, "mass").and_then(|mass| quantity(mass, &[Dimension::Mass]))
    {
        product.insert("weight".into(), value("QuantitativeValue", &mass));
    }
    if let Some(price) =
        at(columns, row, "price").and_then(|price| quantity(price, &[Dimension::Money]))
    {
        let currency = price.unit().currency().map(|currency| currency.code());
        product.insert(
            "offers".into(),
            json!({
                "@type": "Offer",
                "price": number(price.central()),
                "priceCurrency": currency,
            }),
        );
    }
    let cells = columns.iter().zip(row).filter(|(_, cell)| !cell.is_empty());
    let properties = cells.flat_map(|(column, cell)| properties_of(table, row, column, cell));
    let properties: Vec<Value> = properties.collect();
    if !properties.is_empty() {
        product.insert("additionalProperty".into(), properties.into());
    }
    Value::Object(product)
}

/// Promises by the names that people read, where their keys alone don't say enough.
const SPOKEN: [(&str, &str); 4] = [
    ("claim.depth", "depth of the diffusers"),
    ("claim.area", "pond area"),
    ("claim.flow", "air flow"),
    ("claim.sound", "sound level"),
];

/// Promises that are for the claimed depth unless they state another condition.
const AT_DEPTH: [&str; 8] = [
    "claim.area",
    "claim.volume",
    "claim.flow",
    "claim.turnover",
    "claim.water_moved",
    "claim.oxygen",
    "claim.oxygen_uptake",
    "claim.transfer_efficiency",
];

/// What a key is called.
fn name(key: &str) -> String {
    if let Some((_, spoken)) = SPOKEN.iter().find(|(own, _)| *own == key) {
        return (*spoken).to_string();
    }
    let bare = ["claim.", "option."]
        .iter()
        .find_map(|before| key.strip_prefix(before));
    bare.unwrap_or(key).replace(['_', '.'], " ")
}

/// The condition of a figure that states none: the claimed depth, the site's tariff, and for how many hours a day.
fn usual(table: &Table, row: &[String], key: &str, own: Option<&str>) -> Option<String> {
    if AT_DEPTH.contains(&key) {
        let depth = at(&table.columns, row, "claim.depth");
        let depth = depth.map(|depth| {
            depth
                .split([';', '('])
                .next()
                .unwrap_or(depth)
                .trim()
                .to_string()
        });
        return own.map(str::to_string).or(depth);
    }
    let is_whole = own.is_some_and(|own| own.ends_with(HOURS));
    if key != "claim.running_cost" || is_whole {
        return own.map(str::to_string);
    }
    let tariff = own.or(table.tariff.as_deref())?;
    let hours = at(&table.columns, row, "hours_per_day").unwrap_or(&table.hours);
    Some(format!("{tariff} and {hours}{HOURS}"))
}

const HOURS: &str = " hours a day";

/// The figures of a cell; a cell that holds none has no property of its own. The condition stands in the name too, as
/// few programs look further.
fn properties_of(table: &Table, row: &[String], column: &Column, cell: &str) -> Vec<Value> {
    let key = column.key.as_str();
    let is_named =
        OWN.iter().any(|(own, _)| *own == key) || ["mass", "price", "option.price"].contains(&key);
    let kind = table.kind.unwrap_or(Kind::Package);
    let Some(target) = Target::of(kind, key).filter(|_| !is_named) else {
        return Vec::new();
    };
    let expected = match target.field().shape {
        Shape::Quantity(expected) | Shape::Promise(expected) => expected,
        Shape::Many(_) => AIR,
        _ => return Vec::new(),
    };
    let rows = cell.split(';').filter_map(|piece| {
        let (piece, each) = match piece.trim().strip_suffix(" per diffuser") {
            Some(rest) => (rest, " for each diffuser"),
            None => (piece.trim(), ""),
        };
        let (is, own) = piece
            .split_once(" at ")
            .map_or((piece, column.at.as_deref()), |(is, at)| (is, Some(at)));
        let is = is.split(" (").next().unwrap_or(is);
        let figure = quantity(is, expected)?;
        let under = usual(table, row, key, own);
        let at = under.as_ref().map_or(String::new(), |under| {
            format!(" at {}", under.replace(" and ", ", "))
        });
        let mut property = value("PropertyValue", &figure);
        let map = property.as_object_mut()?;
        map.insert("name".into(), format!("{}{each}{at}", name(key)).into());
        map.insert("propertyID".into(), key.into());
        let under: Vec<Value> = under
            .iter()
            .flat_map(|under| conditions(under, key))
            .collect();
        if !under.is_empty() {
            map.insert("valueReference".into(), under.into());
        }
        Some(property)
    });
    rows.collect()
}

/// What a figure holds under: `0.31 EUR/kWh and 24 hours a day`.
fn conditions(text: &str, key: &str) -> Vec<Value> {
    let pieces = text.split(" and ").filter_map(|piece| {
        let hours = piece.strip_suffix(HOURS).map(|hours| format!("{hours} h"));
        let (text, name) = match &hours {
            Some(hours) => (hours.as_str(), Some("hours a day")),
            None => (piece, None),
        };
        let all: Vec<Dimension> = CONDITION
            .iter()
            .chain(PRESSURE)
            .copied()
            .chain([Dimension::Time])
            .collect();
        let figure = read(text, &all).quantity?;
        let name = name.unwrap_or(match figure.dimension() {
            Dimension::GaugePressure | Dimension::AbsolutePressure => "pressure",
            Dimension::Length if key.ends_with("sound") => "distance",
            Dimension::Length => "depth",
            Dimension::Temperature => "temperature",
            _ => "tariff",
        });
        let mut property = value("PropertyValue", &figure);
        property.as_object_mut()?.insert("name".into(), name.into());
        Some(property)
    });
    pieces.collect()
}

fn quantity(text: &str, expected: &[Dimension]) -> Option<Quantity> {
    read(text, expected).quantity
}

/// A figure with its unit: by its code where the list has one, and always as the trade writes it.
fn value(kind: &str, figure: &Quantity) -> Value {
    let mut map = Map::new();
    map.insert("@type".into(), kind.into());
    if figure.is_range() {
        map.insert("minValue".into(), number(figure.low()));
        map.insert("maxValue".into(), number(figure.high()));
    } else {
        map.insert("value".into(), number(figure.central()));
    }
    if let Some(code) = codes::of(figure.unit()) {
        map.insert("unitCode".into(), code.into());
    }
    map.insert("unitText".into(), figure.unit().to_string().into());
    Value::Object(map)
}

/// A whole number without a point.
fn number(value: f64) -> Value {
    let is_whole = value.fract() == 0.0 && value.abs() < 1e15;
    if is_whole {
        return Value::from(value as i64);
    }
    serde_json::Number::from_f64(value).map_or(Value::Null, Value::Number)
}
