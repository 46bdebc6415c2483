//! Workbooks: XLSX and ODS.
//!
//! Cells come from a library that reads both kinds; what it doesn't tell, which rows are hidden and what else lies in
//! the file, comes from the file's own parts. All of this runs in a process with limits, so that a file that was made
//! to do harm ends that process and nothing else.

use std::collections::{BTreeMap, HashMap, HashSet};
use std::io::{BufReader, Cursor};

use calamine::{Data, DataRef, Ods, Reader, Xlsx};
use quick_xml::events::{BytesStart, Event};
use zip::ZipArchive;

use super::grid::{Cell, Formula, Grid, Remark, Row, Sheet, Value, digits};

/// Most cells of a workbook that are read: a hundred thousand rows of thirty columns.
const MOST_CELLS: usize = 3_000_000;

type Bytes<'b> = Cursor<&'b [u8]>;
type Parts<'b> = ZipArchive<Bytes<'b>>;

/// Why a workbook isn't read.
struct Unread(Remark);

impl From<Remark> for Unread {
    fn from(why: Remark) -> Unread {
        Unread(why)
    }
}

/// Reads a workbook.
pub fn read(bytes: &[u8]) -> Grid {
    parts(bytes).unwrap_or_else(|Unread(why)| Grid::unread(why))
}

fn parts(bytes: &[u8]) -> Result<Grid, Unread> {
    let mut parts = ZipArchive::new(Cursor::new(bytes)).map_err(|_| Remark::Damaged)?;
    let names = parts.file_names().flatten();
    let names: Vec<String> = names.map(std::borrow::Cow::into_owned).collect();
    let has = |part: &str| names.iter().any(|name| name.starts_with(part));
    let mut grid = if has("xl/workbook.xml") {
        let hidden = hidden_of_xlsx(&mut parts).unwrap_or_default();
        xlsx(bytes, &hidden)?
    } else if has("content.xml") {
        let hidden = hidden_of_ods(&mut parts).unwrap_or_default();
        ods(bytes, &hidden)?
    } else {
        return Err(Remark::Damaged.into());
    };
    if has("xl/externalLinks/") {
        grid.remarks.push(Remark::LinksElsewhere);
    }
    if has("xl/comments") || has("xl/threadedComments") {
        grid.remarks.push(Remark::NotesOnCells);
    }
    Ok(grid)
}

/// The hidden rows of each sheet, from 0.
type Hidden = HashMap<String, HashSet<u32>>;

/// Cells by row and column while a sheet is read.
#[derive(Default)]
struct Cells {
    rows: BTreeMap<u32, Vec<Cell>>,
    count: usize,
}

impl Cells {
    fn put(
        &mut self,
        (row, column): (u32, u32),
        value: Value,
        formula: Option<&str>,
    ) -> Result<(), Unread> {
        if matches!(&value, Value::Text(text) if text.trim().is_empty())
            || value == Value::Nothing && formula.is_none()
        {
            return Ok(());
        }
        self.count += 1;
        if self.count > MOST_CELLS {
            return Err(Remark::TooMuchWork.into());
        }
        self.rows.entry(row).or_default().push(Cell {
            column,
            value,
            formula: formula.map(|formula| match is_elsewhere(formula) {
                true => Formula::Elsewhere,
                false => Formula::Own,
            }),
        });
        Ok(())
    }

    /// What stands in the first of several cells in a column that were made one holds for all of them.
    fn spread(&mut self, from: (u32, u32), to: (u32, u32)) -> Result<(), Unread> {
        let ((top, column), (bottom, last)) = (from, to);
        // Across columns it is a title.
        if column != last || bottom.saturating_sub(top) > 10_000 {
            return Ok(());
        }
        let own = |cells: &Vec<Cell>| cells.iter().find(|cell| cell.column == column).cloned();
        let Some(cell) = self.rows.get(&top).and_then(own) else {
            return Ok(());
        };
        for row in top + 1..=bottom {
            // Only rows that hold something themselves are rows of the table.
            let Some(cells) = self.rows.get_mut(&row) else {
                continue;
            };
            if cells.iter().all(|one| one.column != column) {
                cells.push(cell.clone());
                self.count += 1;
            }
            if self.count > MOST_CELLS {
                return Err(Remark::TooMuchWork.into());
            }
        }
        Ok(())
    }

    fn sheet(self, name: String, hidden: &Hidden) -> Sheet {
        let hidden = hidden.get(&name);
        let rows = self.rows.into_iter().map(|(row, mut cells)| {
            cells.sort_by_key(|cell| cell.column);
            cells.dedup_by_key(|cell| cell.column);
            Row {
                number: row + 1,
                hidden: hidden.is_some_and(|hidden| hidden.contains(&row)),
                cells,
            }
        });
        Sheet {
            rows: rows.collect(),
            name,
        }
    }
}

/// Whether a formula asks another workbook: `'[prices.xlsx]Sheet1'!A1`, or `file:///…` in ODS.
fn is_elsewhere(formula: &str) -> bool {
    formula.contains(".xls") || formula.contains("file:") || {
        let inner = formula
            .split('[')
            .nth(1)
            .and_then(|rest| rest.split(']').next());
        inner.is_some_and(|inner| {
            !inner.is_empty() && inner.bytes().all(|byte| byte.is_ascii_digit())
        })
    }
}

fn xlsx(bytes: &[u8], hidden: &Hidden) -> Result<Grid, Unread> {
    let mut book: Xlsx<Bytes> = Xlsx::new(Cursor::new(bytes)).map_err(|_| Remark::Damaged)?;
    let mut grid = Grid::default();
    let mut count = 0;
    for name in book.sheet_names() {
        let mut cells = Cells {
            count,
            ..Cells::default()
        };
        let Some(is_read) = cells_of(&mut book, &name, &mut cells)? else {
            grid.remarks.push(Remark::SheetDamaged(name));
            continue;
        };
        if !is_read {
            grid.remarks.push(Remark::SheetDamaged(name.clone()));
        }
        for merged in book.merge_cells_by_sheet_name(&name).unwrap_or_default() {
            cells.spread(merged.start, merged.end)?;
        }
        count = cells.count;
        grid.sheets.push(cells.sheet(name, hidden));
    }
    Ok(grid)
}

/// Reads the cells of a sheet; whether to its end, nothing where it can't even be begun.
fn cells_of(book: &mut Xlsx<Bytes>, name: &str, cells: &mut Cells) -> Result<Option<bool>, Unread> {
    let Ok(mut reader) = book.worksheet_cells_reader(name) else {
        return Ok(None);
    };
    loop {
        match reader.next_cell_with_formula() {
            Ok(Some(cell)) => cells.put(cell.pos, of_ref(cell.value), cell.formula.as_deref())?,
            Ok(None) => return Ok(Some(true)),
            Err(_) => return Ok(Some(false)),
        }
    }
}

fn ods(bytes: &[u8], hidden: &Hidden) -> Result<Grid, Unread> {
    let mut book: Ods<Bytes> = Ods::new(Cursor::new(bytes)).map_err(|_| Remark::Damaged)?;
    let mut grid = Grid::default();
    let mut count = 0;
    for name in book.sheet_names() {
        let Ok(range) = book.worksheet_range(&name) else {
            grid.remarks.push(Remark::SheetDamaged(name));
            continue;
        };
        let formulas = book.worksheet_formula(&name).unwrap_or_default();
        let (top, left) = range.start().unwrap_or_default();
        let mut cells = Cells {
            count,
            ..Cells::default()
        };
        for (row, column, value) in range.used_cells() {
            let at = (
                top + u32::try_from(row).unwrap_or(u32::MAX),
                left + u32::try_from(column).unwrap_or(u32::MAX),
            );
            let formula = formulas.get_value(at).filter(|formula| !formula.is_empty());
            cells.put(at, of_owned(value), formula.map(String::as_str))?;
        }
        count = cells.count;
        grid.sheets.push(cells.sheet(name, hidden));
    }
    Ok(grid)
}

fn of_ref(value: DataRef) -> Value {
    match value {
        DataRef::SharedString(text) => Value::Text(text.to_string()),
        other => of_owned(&Data::from(other)),
    }
}

fn of_owned(value: &Data) -> Value {
    match value {
        Data::Int(number) => Value::Number(number.to_string()),
        Data::Float(number) => Value::Number(digits(*number)),
        Data::String(text) => Value::Text(text.clone()),
        Data::Bool(flag) => Value::Flag(*flag),
        Data::DateTime(date) if date.is_duration() => Value::Text(digits(date.as_f64())),
        Data::DateTime(date) => {
            let (year, month, day, ..) = date.to_ymd_hms_milli();
            Value::Date {
                year: i32::from(year),
                month,
                day,
            }
        }
        Data::DateTimeIso(text) => iso(text).unwrap_or_else(|| Value::Text(text.clone())),
        Data::DurationIso(text) => Value::Text(text.clone()),
        Data::Error(error) => Value::Error(error.to_string()),
        Data::Empty => Value::Nothing,
    }
}

/// A day as ISO 8601 writes it, with or without a time behind it.
fn iso(text: &str) -> Option<Value> {
    let mut parts = text.get(..10)?.splitn(3, '-');
    Some(Value::Date {
        year: parts.next()?.parse().ok()?,
        month: parts.next()?.parse().ok()?,
        day: parts.next()?.parse().ok()?,
    })
}

/// Goes through the elements of a part of the file, as long as `see` wants more; nothing where it has no such part.
fn elements(parts: &mut Parts, name: &str, mut see: impl FnMut(&BytesStart)) -> Option<()> {
    let part = parts.by_name(name).ok()?;
    let mut reader = quick_xml::Reader::from_reader(BufReader::new(part));
    let mut buffer = Vec::new();
    loop {
        buffer.clear();
        match reader.read_event_into(&mut buffer).ok()? {
            Event::Start(element) | Event::Empty(element) => see(&element),
            Event::Eof => return Some(()),
            _ => {}
        }
    }
}

/// An attribute of an element.
fn attribute(element: &BytesStart, name: &str) -> Option<String> {
    let found = element.attributes().flatten();
    let mut found = found.filter(|one| AsRef::<str>::as_ref(&one.key) == name);
    let value = found
        .next()?
        .normalized_value(quick_xml::XmlVersion::default())
        .ok()?;
    Some(value.into_owned())
}

fn hidden_of_xlsx(parts: &mut Parts) -> Option<Hidden> {
    let mut sheets: Vec<(String, String)> = Vec::new();
    elements(parts, "xl/workbook.xml", |element| {
        if element.local_name().as_ref() == "sheet"
            && let (Some(name), Some(id)) = (attribute(element, "name"), attribute(element, "r:id"))
        {
            sheets.push((name, id));
        }
    })?;
    let mut targets: HashMap<String, String> = HashMap::new();
    elements(parts, "xl/_rels/workbook.xml.rels", |element| {
        if let (Some(id), Some(target)) = (attribute(element, "Id"), attribute(element, "Target")) {
            let path = match target.strip_prefix('/') {
                Some(absolute) => absolute.to_string(),
                None => format!("xl/{target}"),
            };
            targets.insert(id, path);
        }
    })?;
    let mut hidden = Hidden::new();
    for (name, id) in sheets {
        let rows = hidden.entry(name).or_default();
        let Some(path) = targets.get(&id) else {
            continue;
        };
        elements(parts, path, |element| {
            if element.local_name().as_ref() == "row"
                && attribute(element, "hidden").is_some_and(|word| word == "1" || word == "true")
                && let Some(row) = attribute(element, "r").and_then(|row| row.parse::<u32>().ok())
            {
                rows.insert(row.saturating_sub(1));
            }
        });
    }
    Some(hidden)
}

fn hidden_of_ods(parts: &mut Parts) -> Option<Hidden> {
    let mut hidden = Hidden::new();
    let mut sheet = String::new();
    let mut row = 0u32;
    elements(parts, "content.xml", |element| {
        match element.name().as_ref() {
            "table:table" => {
                sheet = attribute(element, "table:name").unwrap_or_default();
                row = 0;
            }
            "table:table-row" => {
                let count = attribute(element, "table:number-rows-repeated");
                let count = count
                    .and_then(|count| count.parse::<u32>().ok())
                    .unwrap_or(1);
                let is_hidden = attribute(element, "table:visibility")
                    .is_some_and(|word| word == "collapse" || word == "filter");
                // What is repeated further holds nothing.
                if is_hidden && count < 10_000 {
                    hidden
                        .entry(sheet.clone())
                        .or_default()
                        .extend(row..row + count);
                }
                row = row.saturating_add(count);
            }
            _ => {}
        }
    })?;
    Some(hidden)
}
