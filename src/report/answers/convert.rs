//! A quantity in other units, for people: a table, or one line where one unit is asked for.

use crate::answers::convert::{Converted, Counted, Place, Row};
use crate::report::terminal::Look;
use crate::units::show::significant;
use crate::units::{Quantity, System, Unit};

use super::page::{Page, heads, row};

/// Every unit, below what the quantity is counted as; it ends with a line feed.
pub fn table(quantity: &Quantity, all: &[Converted], at: &Place, look: Look) -> String {
    let system = System::of(quantity.unit()).unwrap_or(System::Metric);
    let mut page = Page::new(look, system);
    page.line(&format!("{} is", quantity.text()));
    for one in all {
        if let Some(counted) = one.counted {
            page.heading(&words(counted, at));
        }
        let mut rows = vec![heads(
            ["unit", "value", "from", "to", "if meant exactly"].map(String::from),
        )];
        rows.extend(one.rows.iter().map(|one| {
            let (low, high) = &one.from;
            row([
                one.unit.to_string(),
                one.value.clone(),
                low.clone(),
                high.clone(),
                one.exact.clone(),
            ])
        }));
        page.table(&rows);
    }
    page.gap();
    page.says("The value has as many digits as the figure was known to; from and to bound what is rounded to it.");
    page.done()
}

/// The one value asked for, with what it is counted as; it ends with a line feed.
pub fn line(one: &Converted, row: &Row, at: &Place) -> String {
    let (low, high) = &row.from;
    // A fraction is exact, and nothing is rounded to it.
    let range = (low != high).then(|| format!("{low} to {high}"));
    let counted = one.counted.map(|counted| words(counted, at));
    let exact = (range.is_some() && row.exact != row.value)
        .then(|| format!("{} if the figure is meant exactly", row.exact));
    let beside: Vec<String> = range.into_iter().chain(exact).chain(counted).collect();
    match beside.is_empty() {
        true => format!("{} {}\n", row.value, row.unit),
        false => format!("{} {} ({})\n", row.value, row.unit, beside.join(", ")),
    }
}

/// What a quantity is counted as at a place.
fn words(counted: Counted, at: &Place) -> String {
    let celsius = |kelvin: f64| format!("{} degC", significant(kelvin - 273.15, 4));
    let height = format!("{} m above the sea", significant(at.altitude, 5));
    let air = format!("{height} and {}", celsius(at.air));
    match counted {
        Counted::Amount => format!("as an amount of dry air, drawn in at {air}"),
        Counted::FreeAir => format!("as free air, drawn in at {air}"),
        Counted::AboveVacuum => format!("above vacuum, {height}"),
        Counted::AboveAir => format!("above the air around, {height}"),
        Counted::Depth => format!("as a depth of fresh water of {}", celsius(at.water)),
        Counted::Weight => format!("as the weight of fresh water of {}", celsius(at.water)),
    }
}

/// Why a quantity can't be written in a unit.
pub fn refusal(quantity: &Quantity, to: Unit) -> String {
    if let (Some(from), Some(to)) = (quantity.unit().currency(), to.currency()) {
        return format!(
            "{} is in {}, and the program knows no rate to {}",
            quantity.text(),
            from.code(),
            to.code()
        );
    }
    format!(
        "{} is {}, and {to} is the unit of {}",
        quantity.text(),
        quantity.dimension().words(),
        to.dimension().words()
    )
}
