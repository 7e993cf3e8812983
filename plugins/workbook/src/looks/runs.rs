//! Texts of which a part is struck through: runs of rich text.
//!
//! Authority: ECMA-376-1:2016, 18.4 (shared and inline texts, runs and their properties; from memory).

use std::collections::BTreeMap;
use std::io::BufReader;

use quick_xml::Reader as XmlReader;
use quick_xml::events::{BytesStart, Event};
use restrand_kit::Part;
use restrand_kit::archive::source;
use restrand_kit::recognise::Sheet;
use zip::ZipArchive;

use super::xml::attribute;
use crate::reading::{COLUMNS, ROWS};

/// A text in two parts: what holds, and what is struck through.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
struct Parts {
    holds: String,
    struck: String,
}

/// The runs of a text, taken event by event.
#[derive(Debug, Default)]
struct Runs {
    parts: Parts,
    is_struck: bool,
    in_text: bool,
    /// How a text is spoken stands beside it.
    in_phonetic: bool,
}

impl Runs {
    fn take(&mut self, event: &Event<'_>) {
        match event {
            Event::Start(start) => self.begin(start, false),
            Event::Empty(start) => self.begin(start, true),
            Event::End(end) => match end.local_name().as_ref() {
                "t" => self.in_text = false,
                "r" => self.is_struck = false,
                "rPh" => self.in_phonetic = false,
                _ => {}
            },
            Event::Text(text) => self.push(&text.xml10_content()),
            Event::CData(text) => self.push(&text.xml10_content()),
            Event::GeneralRef(reference) => {
                if let Ok(Some(letter)) = reference.resolve_char_ref() {
                    self.push(letter.encode_utf8(&mut [0; 4]));
                } else {
                    let known = quick_xml::escape::resolve_xml_entity(reference);
                    self.push(known.unwrap_or_default());
                }
            }
            _ => {}
        }
    }

    fn begin(&mut self, start: &BytesStart<'_>, is_empty: bool) {
        match start.local_name().as_ref() {
            "r" => self.is_struck = false,
            "t" => self.in_text = !is_empty,
            "rPh" => self.in_phonetic = !is_empty,
            "strike" => {
                let value = attribute(start, "val");
                self.is_struck = value.is_none_or(|value| !matches!(value.as_str(), "0" | "false"));
            }
            _ => {}
        }
    }

    fn push(&mut self, text: &str) {
        if self.in_text && !self.in_phonetic {
            let part = if self.is_struck { &mut self.parts.struck } else { &mut self.parts.holds };
            part.push_str(text);
        }
    }

    /// The text that has ended, if a part of it is struck through.
    fn end(&mut self) -> Option<Parts> {
        let parts = std::mem::take(self).parts;
        (!parts.struck.trim().is_empty()).then_some(parts)
    }
}

/// The texts that cells share of which a part is struck through, by their numbers.
#[derive(Debug, Default)]
pub(crate) struct Shared(BTreeMap<usize, Parts>);

impl Shared {
    /// Those of a workbook; what cannot be read was told of when the values were read.
    pub(crate) fn of(part: &dyn Part) -> Self {
        let mut shared = Self::default();
        let mut number = 0;
        let mut runs = Runs::default();
        events(part, "xl/sharedStrings.xml", &mut |event| {
            runs.take(event);
            if matches!(event, Event::End(end) if end.local_name().as_ref() == "si") {
                shared.0.extend(runs.end().map(|parts| (number, parts)));
                number += 1;
            } else if matches!(event, Event::Empty(start) if start.local_name().as_ref() == "si") {
                number += 1;
            }
        });
        shared
    }
}

/// Tells a sheet, which is this part of the workbook, of its cells of which a part is struck through.
pub(super) fn of_sheet(part: &dyn Part, path: &str, shared: &Shared, sheet: &mut Sheet) {
    let mut runs = Runs::default();
    let mut at: Option<(u32, u32)> = None;
    let (mut is_shared, mut in_value, mut value) = (false, false, String::new());
    events(part, path, &mut |event| {
        runs.take(event);
        match event {
            Event::Start(start) => match start.local_name().as_ref() {
                "c" => {
                    at = attribute(start, "r").and_then(|name| place(&name));
                    is_shared = attribute(start, "t").is_some_and(|kind| kind == "s");
                    runs = Runs::default();
                    value.clear();
                }
                "v" => in_value = true,
                _ => {}
            },
            Event::Text(text) if in_value => value.push_str(&text.xml10_content()),
            Event::End(end) => match end.local_name().as_ref() {
                "v" => in_value = false,
                "c" => {
                    let own = runs.end();
                    let of_all = value.trim().parse().ok().filter(|_| is_shared);
                    let parts = own.as_ref().or_else(|| shared.0.get(&of_all?));
                    if let (Some((row, column)), Some(parts)) = (at, parts) {
                        sheet.strike(row, column, &parts.holds, &parts.struck);
                    }
                }
                _ => {}
            },
            _ => {}
        }
    });
}

/// The row and column of a cell that is called so, as `C7`.
fn place(name: &str) -> Option<(u32, u32)> {
    let digits = name.find(|letter: char| letter.is_ascii_digit())?;
    let (letters, row) = name.split_at(digits);
    let mut column = 0_u32;
    for letter in letters.bytes() {
        let of_letter = u32::from(letter.to_ascii_uppercase().checked_sub(b'A')?) + 1;
        column = column.checked_mul(26)?.checked_add(of_letter)?;
    }
    let row: u32 = row.parse().ok()?;
    let is_place = (1..=ROWS).contains(&row) && (1..=COLUMNS).contains(&column);
    is_place.then(|| (row - 1, column - 1))
}

/// Shows the events of a part, as far as it can be read.
fn events(part: &dyn Part, path: &str, show: &mut dyn FnMut(&Event<'_>)) {
    let Ok(mut archive) = ZipArchive::new(source(part)) else { return };
    let Ok(content) = archive.by_name(path) else { return };
    let mut xml = XmlReader::from_reader(BufReader::with_capacity(64 * 1024, content));
    let mut buffer = Vec::new();
    loop {
        buffer.clear();
        match xml.read_event_into(&mut buffer) {
            Ok(Event::Eof) | Err(_) => return,
            Ok(event) => show(&event),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_parts_of_a_text_are_told_apart() {
        let read = |xml: &str| {
            let mut reader = XmlReader::from_str(xml);
            let mut runs = Runs::default();
            loop {
                match reader.read_event() {
                    Ok(Event::Eof) | Err(_) => break runs.end(),
                    Ok(event) => runs.take(&event),
                }
            }
        };
        let parts = read(
            "<is><r><rPr><strike/></rPr><t>39&amp;00</t></r><r><rPr><b/></rPr><t> 3700</t></r></is>",
        );
        let parts = parts.unwrap_or_default();
        assert_eq!((parts.struck.as_str(), parts.holds.as_str()), ("39&00", " 3700"));
        assert_eq!(read("<is><r><rPr><strike val=\"0\"/></rPr><t>1</t></r></is>"), None);
        assert_eq!(read("<is><t>1</t></is>"), None);
        assert_eq!(place("C7"), Some((6, 2)));
        assert_eq!(place("AA10"), Some((9, 26)));
        assert_eq!(place("7"), None);
    }
}
