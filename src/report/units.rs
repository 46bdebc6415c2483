//! The table of units, for people.

use crate::units::table;

/// Every unit of the format, by dimension, with what it is.
pub fn table() -> String {
    let mut text = String::new();
    for (dimension, units) in table::by_dimension() {
        let listed: Vec<_> = units.into_iter().filter(|unit| unit.is_listed()).collect();
        if listed.is_empty() {
            continue;
        }
        text.push_str(dimension.words());
        text.push('\n');
        for unit in listed {
            let factor = format!("{}", unit.to_si(1.0));
            text.push_str(&format!(
                "  {:<12} {} ({} {})\n",
                unit.to_string(),
                unit.description(),
                factor,
                dimension.si_unit()
            ));
        }
    }
    text
}
