//! The mapping by which an intake takes a feed in again.

use crate::feed::Table;

/// The mapping of a table.
pub fn render(table: &Table) -> String {
    let kind = table.kind.map_or("package", crate::catalog::Kind::table);
    let columns = table.columns.iter().map(|column| {
        let text = |text: &str| serde_json::Value::from(text).to_string();
        let key = match (column.taken, &column.at) {
            (false, _) => String::new(),
            (true, None) => format!(", key = {}", text(&column.key)),
            (true, Some(at)) => format!(", key = {}, at = {}", text(&column.key), text(at)),
        };
        format!("  {{ heading = {}{key} }},\n", text(&column.heading()))
    });
    let columns: String = columns.collect();
    format!(
        "[intake]\nformat = 1\n\n[[table]]\nkind = \"{kind}\"\ndecimal = \"point\"\ncolumn = [\n{columns}]\n"
    )
}
