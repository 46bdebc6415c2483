//! A feed as a workbook. Every cell is a text, so that nothing is calculated and no date is made of `3/8`.

use rust_xlsxwriter::{DocProperties, ExcelDateTime, Format, Workbook, XlsxError};

use crate::feed::Table;
use crate::report::terminal::safe;

/// Most letters of a cell; the format's own limit.
const LONGEST: usize = 32_767;

/// The table as the bytes of an XLSX file, the same for the same table.
///
/// # Errors
/// More rows or columns than a sheet holds, in a sentence.
pub fn render(table: &Table) -> Result<Vec<u8>, String> {
    written(table).map_err(|error| error.to_string())
}

fn written(table: &Table) -> Result<Vec<u8>, XlsxError> {
    let mut book = Workbook::new();
    // No clock: two runs on one catalog give one file.
    book.set_properties(
        &DocProperties::new().set_creation_datetime(&ExcelDateTime::from_ymd(2000, 1, 1)?),
    );
    let name = table.kind.map_or("feed", crate::catalog::Kind::table);
    let sheet = book.add_worksheet().set_name(name)?;
    let text = Format::new().set_num_format("@");
    let bold = Format::new().set_bold().set_num_format("@");
    let mut put = |row: usize, column: usize, cell: &str, format: &Format| {
        let (row, column) = (u32::try_from(row), u16::try_from(column));
        let (Ok(row), Ok(column)) = (row, column) else {
            return Err(XlsxError::RowColumnLimitError);
        };
        let cell: String = safe(cell).chars().take(LONGEST).collect();
        sheet
            .write_string_with_format(row, column, &cell, format)
            .map(|_| ())
    };
    for (number, column) in table.columns.iter().enumerate() {
        put(0, number, &column.heading(), &bold)?;
    }
    for (line, row) in table.rows.iter().enumerate() {
        for (number, cell) in row.iter().enumerate().filter(|(_, cell)| !cell.is_empty()) {
            put(line + 1, number, cell, &text)?;
        }
    }
    sheet.set_freeze_panes(1, 0)?;
    book.save_to_buffer()
}
