//! The outline in a GeoJSON file (RFC 7946).

use serde_json::Value;

/// Why a file has no outline.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Fault {
    /// It isn't JSON, with the line.
    NotJson(usize),
    /// It has so many polygons, and not one.
    Polygons(usize),
    /// Its polygon has islands.
    Islands,
    /// A corner isn't two numbers.
    Corner,
}

impl std::fmt::Display for Fault {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Fault::NotJson(line) => write!(f, "it isn't JSON, line {line}"),
            Fault::Polygons(0) => f.write_str("it has no Polygon, which an outline is"),
            Fault::Polygons(count) => {
                write!(f, "it has {count} polygons; a pond has one outline")
            }
            Fault::Islands => f.write_str(
                "its polygon has an island, which isn't taken into account: leave the inner rings out",
            ),
            Fault::Corner => f.write_str("a corner of its polygon isn't two numbers, [x, y]"),
        }
    }
}

/// The corners of the only polygon in `text`.
///
/// # Errors
/// Why there is none.
pub fn outline(text: &str) -> Result<Vec<[f64; 2]>, Fault> {
    let root: Value = serde_json::from_str(text.trim_start_matches('\u{feff}'))
        .map_err(|fault| Fault::NotJson(fault.line()))?;
    let polygons = polygons(&root);
    let [rings] = polygons.as_slice() else {
        return Err(Fault::Polygons(polygons.len()));
    };
    let [ring] = rings.as_slice() else {
        return Err(if rings.is_empty() {
            Fault::Corner
        } else {
            Fault::Islands
        });
    };
    let corner = |corner: &Value| {
        let number = |at: usize| corner.get(at)?.as_f64().filter(|number| number.is_finite());
        Some([number(0)?, number(1)?])
    };
    let corners = ring.as_array().into_iter().flatten().map(corner);
    corners.collect::<Option<Vec<_>>>().ok_or(Fault::Corner)
}

/// The rings of each polygon of an object, through features, collections and geometries of several parts. The reader
/// of JSON goes no deeper than 128 levels, so this doesn't either.
fn polygons(object: &Value) -> Vec<&Vec<Value>> {
    let list = |key: &str| {
        object
            .get(key)
            .and_then(Value::as_array)
            .into_iter()
            .flatten()
    };
    match object.get("type").and_then(Value::as_str) {
        Some("FeatureCollection") => list("features").flat_map(polygons).collect(),
        Some("Feature") => object.get("geometry").map(polygons).unwrap_or_default(),
        Some("GeometryCollection") => list("geometries").flat_map(polygons).collect(),
        Some("MultiPolygon") => list("coordinates").filter_map(Value::as_array).collect(),
        Some("Polygon") => object
            .get("coordinates")
            .and_then(Value::as_array)
            .into_iter()
            .collect(),
        _ => Vec::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_polygon_is_found_wherever_it_is() {
        let polygon = r#"{"type":"Polygon","coordinates":[[[0,0],[4,0,9],[4,3],[0,0]]]}"#;
        let corners = vec![[0.0, 0.0], [4.0, 0.0], [4.0, 3.0], [0.0, 0.0]];
        let feature = format!(r#"{{"type":"Feature","properties":null,"geometry":{polygon}}}"#);
        let point =
            r#"{"type":"Feature","properties":{},"geometry":{"type":"Point","coordinates":[1,1]}}"#;
        let collection =
            format!(r#"{{"type":"FeatureCollection","features":[{point},{feature}]}}"#);
        for text in [polygon, &feature, &collection] {
            assert_eq!(outline(text), Ok(corners.clone()));
        }
        let two = format!(r#"{{"type":"FeatureCollection","features":[{feature},{feature}]}}"#);
        assert_eq!(outline(&two), Err(Fault::Polygons(2)));
        assert_eq!(outline(point), Err(Fault::Polygons(0)));
        assert_eq!(outline("[1,\n2"), Err(Fault::NotJson(2)));
        let island =
            r#"{"type":"Polygon","coordinates":[[[0,0],[4,0],[4,3]],[[1,1],[2,1],[2,2]]]}"#;
        assert_eq!(outline(island), Err(Fault::Islands));
        let odd = r#"{"type":"Polygon","coordinates":[[[0,0],["a",0],[4,3]]]}"#;
        assert_eq!(outline(odd), Err(Fault::Corner));
        assert_eq!(
            outline(r#"{"type":"Polygon","coordinates":[]}"#),
            Err(Fault::Corner)
        );
    }
}
