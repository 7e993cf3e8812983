//! Looks in workbooks of XML parts.

use std::collections::BTreeMap;
use std::io::{BufReader, Read, Seek};

use calamine::Xlsx;
use quick_xml::Reader as XmlReader;
use quick_xml::events::{BytesStart, Event};
use restrand_kit::Part;
use restrand_kit::archive::source;
use restrand_kit::recognise::{Look, Merged, Sheet, look_of_format};
use zip::ZipArchive;

use super::runs::{self, Shared};
use crate::reading::{COLUMNS, ROWS};
use crate::refusal::guarded;

/// Bytes of the lists that name the part of a sheet.
const LIST: u64 = 16_000_000;

/// Tells a sheet what its cells do not say.
pub(crate) fn of_xlsx<RS: Read + Seek>(
    workbook: &mut Xlsx<RS>,
    part: &dyn Part,
    shared: &Shared,
    sheet: &mut Sheet,
) {
    if let Ok(Ok(merged)) = guarded(|| workbook.merge_cells_by_sheet_name(&sheet.name)) {
        sheet.merged =
            merged.iter().map(|one| Merged { first: one.start, last: one.end }).collect();
    }
    let _ = guarded(|| styles(workbook, sheet));
    let path = ZipArchive::new(source(part))
        .ok()
        .and_then(|mut archive| path_of(&mut archive, &sheet.name));
    if let Some(path) = path {
        hidden(part, &path, sheet);
        runs::of_sheet(part, &path, shared, sheet);
    }
}

fn styles<RS: Read + Seek>(workbook: &mut Xlsx<RS>, sheet: &mut Sheet) {
    let name = sheet.name.clone();
    let Ok(mut cells) = workbook.worksheet_cells_reader(&name) else { return };
    let looks: Vec<Look> = cells
        .styles()
        .iter()
        .map(|style| {
            let format = style.number_format.as_ref();
            Look {
                struck: style.font.as_ref().is_some_and(calamine::Font::has_strikethrough),
                ..format.map(|format| look_of_format(&format.format_code)).unwrap_or_default()
            }
        })
        .collect();
    if looks.iter().all(|look| *look == Look::default()) {
        return;
    }
    while let Ok(Some((row, column, style))) = cells.next_style_id() {
        if let Some(look) = looks.get(style).filter(|look| **look != Look::default()) {
            sheet.set_look(row, column, *look);
        }
    }
}

/// Finds the hidden rows and columns of a sheet in its part.
fn hidden(part: &dyn Part, path: &str, sheet: &mut Sheet) {
    let Ok(mut archive) = ZipArchive::new(source(part)) else { return };
    let Ok(content) = archive.by_name(path) else { return };
    let mut xml = XmlReader::from_reader(BufReader::with_capacity(64 * 1024, content));
    let mut buffer = Vec::new();
    let mut row = 0_u32;
    loop {
        buffer.clear();
        match xml.read_event_into(&mut buffer) {
            Ok(Event::Start(start) | Event::Empty(start)) => match start.local_name().as_ref() {
                "row" => {
                    row = attribute(&start, "r")
                        .and_then(|number| number.parse::<u32>().ok())
                        .unwrap_or(row + 1);
                    if is_hidden(&start) && (1..=ROWS).contains(&row) {
                        sheet.hide_row(row - 1);
                    }
                }
                "col" if is_hidden(&start) => {
                    let number = |name| attribute(&start, name)?.parse::<u32>().ok();
                    if let (Some(first), Some(last)) = (number("min"), number("max")) {
                        let last = last.min(COLUMNS);
                        sheet.hidden_columns.extend((first.max(1)..=last).map(|column| column - 1));
                    }
                }
                _ => {}
            },
            Ok(Event::End(end)) if end.local_name().as_ref() == "sheetData" => return,
            Ok(Event::Eof) | Err(_) => return,
            Ok(_) => {}
        }
    }
}

fn is_hidden(start: &BytesStart<'_>) -> bool {
    attribute(start, "hidden").is_some_and(|hidden| matches!(hidden.as_str(), "1" | "true"))
}

pub(super) fn attribute(start: &BytesStart<'_>, name: &str) -> Option<String> {
    start.attributes().flatten().find_map(|attribute| {
        let key = attribute.key.as_ref();
        let local = key.rsplit(':').next().unwrap_or(key);
        (local == name)
            .then(|| attribute.normalized_value(quick_xml::XmlVersion::Implicit1_0).ok())
            .flatten()
            .map(std::borrow::Cow::into_owned)
    })
}

/// The part of the sheet of this name.
fn path_of<R: Read + Seek>(archive: &mut ZipArchive<R>, name: &str) -> Option<String> {
    sheets(archive)?.into_iter().find(|(known, _)| known == name)?.1
}

/// The names of the sheets, each with its part if one is named; nothing where the lists cannot be read.
pub(crate) fn sheets<R: Read + Seek>(
    archive: &mut ZipArchive<R>,
) -> Option<Vec<(String, Option<String>)>> {
    let mut named = Vec::new();
    each(archive, "xl/workbook.xml", &mut |start| {
        if start.local_name().as_ref() == "sheet" {
            named.push((attribute(start, "name").unwrap_or_default(), attribute(start, "id")));
        }
    })?;
    let mut targets = BTreeMap::new();
    each(archive, "xl/_rels/workbook.xml.rels", &mut |start| {
        if let Some((id, target)) = attribute(start, "Id").zip(attribute(start, "Target")) {
            targets.insert(id, target);
        }
    })?;
    let path = |id: String| {
        let target = targets.get(&id)?;
        Some(match target.strip_prefix('/') {
            Some(whole) => whole.to_owned(),
            None => format!("xl/{target}"),
        })
    };
    Some(named.into_iter().map(|(name, id)| (name, id.and_then(path))).collect())
}

/// Shows the elements of a small part; nothing is given back where it cannot be read to its end.
pub(super) fn each<R: Read + Seek>(
    archive: &mut ZipArchive<R>,
    path: &str,
    show: &mut dyn FnMut(&BytesStart<'_>),
) -> Option<()> {
    let part = archive.by_name(path).ok()?;
    let mut xml = XmlReader::from_reader(BufReader::new(part.take(LIST)));
    let mut buffer = Vec::new();
    loop {
        buffer.clear();
        match xml.read_event_into(&mut buffer).ok()? {
            Event::Start(start) | Event::Empty(start) => show(&start),
            Event::Eof => return Some(()),
            _ => {}
        }
    }
}
