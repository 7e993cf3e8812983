//! Looks in workbooks of the `OpenDocument` format.
//!
//! Authority: `OpenDocument` 1.2 part 1: number styles, default styles of cells, lines through text (from memory).

use std::collections::{BTreeMap, HashMap};
use std::io::{BufReader, Read, Seek};

use quick_xml::Reader as XmlReader;
use quick_xml::events::{BytesStart, Event};
use restrand_kit::recognise::{Look, Sheet, look_of_format};
use zip::ZipArchive;

use super::xml::attribute;
use crate::reading::{COLUMNS, ROWS};

/// The looks of the styles of cells, by their names.
type Looks = HashMap<String, Look>;
/// What number styles write behind the number, by their names.
type Behind = BTreeMap<String, Written>;

/// What a number style writes behind the number.
#[derive(Default)]
struct Written {
    text: String,
    /// Whether it shows the number in hundredths.
    per_cent: bool,
}

/// Tells sheets what their cells do not say.
pub(crate) fn of_ods<'s, R: Read + Seek>(
    archive: &mut ZipArchive<R>,
    sheets: impl Iterator<Item = &'s mut Sheet>,
) {
    let mut waiting: BTreeMap<String, &mut Sheet> =
        sheets.map(|sheet| (sheet.name.clone(), sheet)).collect();
    if waiting.is_empty() {
        return;
    }
    let (mut looks, mut behind) = (Looks::new(), Behind::new());
    for part in ["styles.xml", "content.xml"] {
        if styles(archive, part, &mut looks, &mut behind).is_none() {
            return;
        }
    }
    if looks.values().any(|look| *look != Look::default()) {
        let _ = cells(archive, &looks, &mut waiting);
    }
}

/// Reads the styles of cells in a part, with the units in the number styles that they name.
fn styles<R: Read + Seek>(
    archive: &mut ZipArchive<R>,
    part: &str,
    looks: &mut Looks,
    behind: &mut Behind,
) -> Option<()> {
    let Ok(content) = archive.by_name(part) else { return Some(()) };
    let mut xml = XmlReader::from_reader(BufReader::with_capacity(64 * 1024, content));
    let mut buffer = Vec::new();
    let mut number: Option<(String, bool)> = None;
    let mut in_text = false;
    let mut cell: Option<String> = None;
    loop {
        buffer.clear();
        let event = xml.read_event_into(&mut buffer).ok()?;
        let is_empty = matches!(event, Event::Empty(_));
        match event {
            Event::Start(start) | Event::Empty(start) => match start.name().as_ref() {
                "number:number-style" => {
                    number = attribute(&start, "name").map(|name| (name, false));
                }
                // Its numbers are shown in hundredths.
                "number:percentage-style" => {
                    if let Some(name) = attribute(&start, "name") {
                        behind.entry(name).or_default().per_cent = true;
                    }
                }
                "number:number" => {
                    if let Some((_, has_number)) = &mut number {
                        *has_number = true;
                    }
                }
                "number:text" => in_text = !is_empty,
                "style:style" => {
                    let of_cells = attribute(&start, "family").is_some_and(|of| of == "table-cell");
                    let name = attribute(&start, "name").filter(|_| of_cells);
                    if let Some(name) = &name {
                        let look = look_of(&start, looks, behind);
                        looks.insert(name.clone(), look);
                    }
                    cell = name.filter(|_| !is_empty);
                }
                "style:text-properties" => {
                    let through = ["text-line-through-style", "text-line-through-type"]
                        .iter()
                        .find_map(|name| attribute(&start, name));
                    if let (Some(cell), Some(through)) = (&cell, through)
                        && let Some(look) = looks.get_mut(cell)
                    {
                        look.struck = through != "none";
                    }
                }
                // The tables come behind all styles.
                "office:body" => return Some(()),
                _ => {}
            },
            Event::Text(text) if in_text => {
                if let Some((name, true)) = &number {
                    behind.entry(name.clone()).or_default().text.push_str(&text.xml10_content());
                }
            }
            Event::End(end) => match end.name().as_ref() {
                "number:text" => in_text = false,
                "number:number-style" => number = None,
                "style:style" => cell = None,
                _ => {}
            },
            Event::Eof => return Some(()),
            _ => {}
        }
    }
}

/// What a style says at its beginning: the look of the style that it follows, and the unit of its own numbers.
fn look_of(start: &BytesStart<'_>, looks: &Looks, behind: &Behind) -> Look {
    let parent = attribute(start, "parent-style-name");
    let mut look = parent.and_then(|parent| looks.get(&parent).copied()).unwrap_or_default();
    if let Some(style) = attribute(start, "data-style-name") {
        let written = behind.get(&style);
        let text = written.map_or("", |written| written.text.trim());
        look.unit = look_of_format(&format!("0\"{text}\"")).unit;
        look.per_cent = written.is_some_and(|written| written.per_cent);
    }
    look
}

/// Tells the cells of sheets their looks.
fn cells<R: Read + Seek>(
    archive: &mut ZipArchive<R>,
    looks: &Looks,
    sheets: &mut BTreeMap<String, &mut Sheet>,
) -> Option<()> {
    let content = archive.by_name("content.xml").ok()?;
    let mut xml = XmlReader::from_reader(BufReader::with_capacity(64 * 1024, content));
    let mut buffer = Vec::new();
    let mut name: Option<String> = None;
    // The styles of columns without one of their own cells: the first column behind each, and the style.
    let mut columns: Vec<(u32, Option<Look>)> = Vec::new();
    let (mut row, mut column, mut times) = (0_u32, 0_u32, 1_u32);
    let mut of_row: Option<Look> = None;
    let look =
        |style: Option<String>| style.map(|style| looks.get(&style).copied().unwrap_or_default());
    loop {
        buffer.clear();
        match xml.read_event_into(&mut buffer).ok()? {
            Event::Start(start) | Event::Empty(start) => match start.name().as_ref() {
                "table:table" => {
                    name = attribute(&start, "name");
                    columns.clear();
                    (row, times) = (0, 0);
                }
                "table:table-column" => {
                    let before = columns.last().map_or(0, |(end, _)| *end);
                    let end = before.saturating_add(count(&start, "number-columns-repeated"));
                    columns.push((end, look(attribute(&start, "default-cell-style-name"))));
                }
                "table:table-row" => {
                    row = row.saturating_add(times).min(ROWS);
                    times = count(&start, "number-rows-repeated");
                    column = 0;
                    of_row = look(attribute(&start, "default-cell-style-name"));
                }
                "table:table-cell" | "table:covered-table-cell" => {
                    let repeated = count(&start, "number-columns-repeated");
                    let end = column.saturating_add(repeated).min(COLUMNS);
                    let own = look(attribute(&start, "style-name")).or(of_row);
                    if let Some(sheet) = name.as_ref().and_then(|name| sheets.get_mut(name)) {
                        tell(sheet, (row, times), column..end, own, &columns);
                    }
                    column = end;
                }
                _ => {}
            },
            Event::Eof => return Some(()),
            _ => {}
        }
    }
}

/// Tells some cells of some rows their look, or that of their columns; only those that hold something have one.
fn tell(
    sheet: &mut Sheet,
    (row, times): (u32, u32),
    cells: std::ops::Range<u32>,
    own: Option<Look>,
    columns: &[(u32, Option<Look>)],
) {
    let rows = row..row.saturating_add(times).min(ROWS);
    let from = sheet.rows.partition_point(|one| one.number < rows.start);
    let speaking: Vec<(u32, u32)> = sheet.rows[from..]
        .iter()
        .take_while(|one| rows.contains(&one.number))
        .flat_map(|one| one.cells.range(cells.clone()).map(|(column, _)| (one.number, *column)))
        .collect();
    for (row, column) in speaking {
        let of_column =
            || columns.iter().find(|(end, _)| column < *end).and_then(|(_, look)| *look);
        if let Some(look) = own.or_else(of_column).filter(|look| *look != Look::default()) {
            sheet.set_look(row, column, look);
        }
    }
}

fn count(start: &BytesStart<'_>, name: &str) -> u32 {
    attribute(start, name).and_then(|text| text.trim().parse().ok()).unwrap_or(1)
}
