//! Workbooks of the `OpenDocument` format, element by element.
//!
//! The general reader keeps all sheets of such a file in memory with every repeated cell written out, so a
//! small file can ask for gigabytes; this one hands each row on as it comes.
//! Authority: `OpenDocument` 1.2 part 1, section 9 (tables) and 19.385 (value types); `calcext:value-type` is
//! a program's own and marks errors.

use std::borrow::Cow;
use std::io::{BufRead, BufReader, Read as _};

use quick_xml::escape::resolve_xml_entity;
use quick_xml::events::{BytesRef, BytesStart, Event};
use quick_xml::{Reader as XmlReader, XmlVersion};
use restrand_kit::archive::Source;
use restrand_kit::recognise::Merged;
use restrand_kit::sheet::Cell;
use restrand_kit::{Budget, LoadError};
use zip::ZipArchive;

use crate::cells::{iso_date, iso_duration};
use crate::looks;
use crate::reading::{COLUMNS, ROWS, Reading};
use crate::refusal::Refusal;

/// Cells of all sheets that may stand only as repetitions of others.
const MAX_REPEATED: u64 = 2_000_000;
/// Letters of one cell; programs keep at most 32,767.
const MAX_TEXT: usize = 1_000_000;

/// Reads the sheets of the layout into frames.
pub(crate) fn load(
    mut archive: ZipArchive<Source<'_>>,
    budget: Budget,
    reading: &mut Reading<'_>,
    refusal: &Refusal<'_>,
) -> Result<(), LoadError> {
    if is_encrypted(&mut archive).map_err(|why| refusal.damaged(why))? {
        return Err(refusal.encrypted());
    }
    let content = archive
        .by_name("content.xml")
        .map_err(|_| refusal.damaged("its part content.xml is missing"))?;
    let mut xml = XmlReader::from_reader(BufReader::with_capacity(64 * 1024, content));
    let config = xml.config_mut();
    config.expand_empty_elements = true;
    config.check_comments = false;
    Content { xml, buffer: Vec::new(), depth: 0, deepest: budget.depth, repeated: 0, refusal }
        .read(reading)?;
    looks::of_ods(&mut archive, reading.waiting());
    Ok(reading.finish()?)
}

/// Whether the list of parts says that one of them is encrypted.
fn is_encrypted(archive: &mut ZipArchive<Source<'_>>) -> Result<bool, String> {
    let Ok(part) = archive.by_name("META-INF/manifest.xml") else { return Ok(false) };
    let mut manifest = Vec::new();
    // Sizes were checked with those of all parts.
    BufReader::new(part)
        .read_to_end(&mut manifest)
        .map_err(|error| format!("its list of parts is broken ({error})"))?;
    const MARK: &[u8] = b"encryption-data";
    Ok(manifest.windows(MARK.len()).any(|window| window == MARK))
}

/// The part that holds the sheets.
struct Content<'r, R> {
    xml: XmlReader<R>,
    buffer: Vec<u8>,
    depth: u32,
    deepest: u32,
    repeated: u64,
    refusal: &'r Refusal<'r>,
}

/// An element's beginning or end, or text.
enum Token {
    /// An element that is looked at begins.
    Start(Element),
    End,
    Text(String),
    Eof,
}

/// The elements that are looked at.
#[derive(Debug, Clone, PartialEq)]
enum Element {
    Table(String),
    /// A row that stands so many times, and whether it is hidden.
    Row(u32, bool),
    /// Columns that stand so many times, and whether they are hidden.
    Columns(u32, bool),
    Cell(Box<CellStart>),
    Paragraph,
    Spaces(usize),
    Tab,
    LineBreak,
    /// What is in it is no part of its surroundings: notes, drawings, kept changes.
    Aside,
    Other,
}

/// What the beginning of a cell says.
#[derive(Debug, Clone, PartialEq, Default)]
struct CellStart {
    repeated: u32,
    /// How many rows and columns it takes.
    spanned: (u32, u32),
    kind: String,
    value: Option<String>,
    formula: Option<String>,
    is_error: bool,
}

impl<R: BufRead> Content<'_, R> {
    fn read(mut self, reading: &mut Reading<'_>) -> Result<(), LoadError> {
        let mut seen = false;
        loop {
            match self.next("content.xml")? {
                Token::Start(Element::Table(name)) => {
                    seen = true;
                    self.table(&name, reading)?;
                }
                Token::Start(Element::Aside) => self.skip("content.xml")?,
                Token::Eof => break,
                _ => {}
            }
        }
        if !seen {
            return Err(self.refusal.damaged("it has no sheet"));
        }
        Ok(())
    }

    /// Reads a sheet to its end.
    fn table(&mut self, name: &str, reading: &mut Reading<'_>) -> Result<(), LoadError> {
        let Some(mut sheet) = reading.sheet(name)? else { return self.skip(name) };
        let top = self.depth;
        let mut row = 0_u32;
        let mut column = 0_u32;
        let mut cells = Vec::new();
        let mut spans = Vec::new();
        loop {
            match self.next(name)? {
                Token::Start(Element::Columns(times, hidden)) => {
                    let times = times.min(COLUMNS.saturating_sub(column));
                    // Those behind the last cell are hidden in one piece, and nobody misses them.
                    for column in column..column + if hidden { times.min(1024) } else { 0 } {
                        sheet.hide_column(column);
                    }
                    column += times;
                }
                Token::Start(Element::Row(times, hidden)) => {
                    let here = self.depth;
                    spans.clear();
                    self.row(name, here, &mut cells, &mut spans)?;
                    let times = times.min(ROWS.saturating_sub(row));
                    if hidden && !cells.is_empty() {
                        (row..row + times.min(1024)).for_each(|row| sheet.hide_row(row));
                    }
                    for (column, (rows, columns)) in spans.drain(..) {
                        sheet.merge(Merged {
                            first: (row, column),
                            last: (
                                row.saturating_add(rows - 1),
                                column.saturating_add(columns - 1),
                            ),
                        });
                    }
                    if !cells.is_empty() && times > 1 {
                        self.count_repeated(u64::from(times - 1) * cells.len() as u64)?;
                    }
                    for _ in 0..if cells.is_empty() { 0 } else { times } {
                        for (column, cell) in &cells {
                            if !sheet.is_over() {
                                sheet.cell(reading, row, *column, cell.clone())?;
                            }
                        }
                        row = row.saturating_add(1);
                    }
                    if cells.is_empty() {
                        row = row.saturating_add(times);
                    }
                }
                Token::Start(Element::Aside | Element::Table(_)) => self.skip(name)?,
                Token::End if self.depth < top => break,
                Token::Eof => return Err(self.refusal.sheet(name, "it ends too early")),
                _ => {}
            }
        }
        if !sheet.is_over() {
            sheet.end(reading)?;
        }
        Ok(())
    }

    fn count_repeated(&mut self, more: u64) -> Result<(), LoadError> {
        self.repeated = self.repeated.saturating_add(more);
        if self.repeated > MAX_REPEATED {
            return Err(self.refusal.error(
                "its sheets repeat filled cells more than two million times",
                "delete the repeated rows and columns behind the schedule, and save it",
            ));
        }
        Ok(())
    }

    /// Reads a row to its end.
    fn row(
        &mut self,
        name: &str,
        here: u32,
        cells: &mut Vec<(u32, Cell<'static>)>,
        spans: &mut Vec<(u32, (u32, u32))>,
    ) -> Result<(), LoadError> {
        cells.clear();
        let mut column = 0_u32;
        loop {
            match self.next(name)? {
                Token::Start(Element::Cell(start)) => {
                    let text = self.text(name)?;
                    let times = start.repeated.min(COLUMNS.saturating_sub(column));
                    if start.spanned.0 > 1 || start.spanned.1 > 1 {
                        spans.push((column, (start.spanned.0.max(1), start.spanned.1.max(1))));
                    }
                    if let Some(cell) = cell(*start, text) {
                        if times > 1 {
                            self.count_repeated(u64::from(times - 1))?;
                        }
                        cells.extend((column..column + times).map(|column| (column, cell.clone())));
                    }
                    column += times;
                }
                Token::Start(Element::Aside | Element::Table(_)) => self.skip(name)?,
                Token::End if self.depth < here => return Ok(()),
                Token::Eof => return Err(self.refusal.sheet(name, "it ends too early")),
                _ => {}
            }
        }
    }

    /// Reads a cell to its end and gives its paragraphs.
    fn text(&mut self, name: &str) -> Result<String, LoadError> {
        let here = self.depth;
        let mut text = String::new();
        let mut paragraphs = 0_u32;
        loop {
            match self.next(name)? {
                Token::Start(Element::Paragraph) => {
                    if paragraphs > 0 {
                        text.push('\n');
                    }
                    paragraphs += 1;
                }
                Token::Start(Element::Spaces(count)) => {
                    text.extend(std::iter::repeat_n(' ', count.min(MAX_TEXT)));
                }
                Token::Start(Element::Tab) => text.push('\t'),
                Token::Start(Element::LineBreak) => text.push('\n'),
                Token::Start(Element::Aside | Element::Table(_)) => self.skip(name)?,
                // Blanks between elements are layout of the file.
                Token::Text(piece) if paragraphs > 0 => text.push_str(&piece),
                Token::End if self.depth < here => return Ok(text),
                Token::Eof => return Err(self.refusal.sheet(name, "it ends too early")),
                _ => {}
            }
            if text.len() > MAX_TEXT {
                return Err(self.refusal.sheet(name, "a cell holds more text than a cell can"));
            }
        }
    }

    /// Passes over the rest of the element that has just begun.
    fn skip(&mut self, name: &str) -> Result<(), LoadError> {
        let here = self.depth;
        loop {
            match self.next(name)? {
                Token::End if self.depth < here => return Ok(()),
                Token::Eof => return Err(self.refusal.sheet(name, "it ends too early")),
                _ => {}
            }
        }
    }

    fn next(&mut self, name: &str) -> Result<Token, LoadError> {
        let Self { xml, buffer, depth, deepest, refusal, .. } = self;
        buffer.clear();
        let event = xml
            .read_event_into(buffer)
            .map_err(|error| refusal.sheet(name, format!("its XML is broken ({error})")))?;
        Ok(match event {
            Event::Start(start) => {
                *depth += 1;
                if *depth > *deepest {
                    return Err(refusal.sheet(name, "its elements are nested too deep"));
                }
                let element = element(&start)
                    .map_err(|error| refusal.sheet(name, format!("its XML is broken ({error})")))?;
                Token::Start(element)
            }
            Event::End(_) => {
                *depth = depth.saturating_sub(1);
                Token::End
            }
            Event::Text(text) => Token::Text(text.xml10_content().into_owned()),
            Event::CData(text) => Token::Text(text.xml10_content().into_owned()),
            Event::GeneralRef(reference) => Token::Text(
                resolve(&reference)
                    .ok_or_else(|| refusal.sheet(name, "its XML refers to an unknown entity"))?,
            ),
            Event::DocType(_) => return Err(refusal.sheet(name, "its XML declares entities")),
            Event::Eof => Token::Eof,
            _ => Token::Text(String::new()),
        })
    }
}

fn resolve(reference: &BytesRef<'_>) -> Option<String> {
    if let Some(letter) = reference.resolve_char_ref().ok()? {
        return Some(letter.to_string());
    }
    resolve_xml_entity(reference).map(str::to_owned)
}

fn element(start: &BytesStart<'_>) -> Result<Element, quick_xml::Error> {
    // Every program uses these prefixes.
    let name = start.name();
    Ok(match name.as_ref() {
        "table:table" => Element::Table(attribute(start, "table:name")?.unwrap_or_default()),
        "table:table-row" => {
            Element::Row(count(start, "table:number-rows-repeated")?, is_hidden(start)?)
        }
        "table:table-column" => {
            Element::Columns(count(start, "table:number-columns-repeated")?, is_hidden(start)?)
        }
        "table:table-cell" | "table:covered-table-cell" => {
            Element::Cell(Box::new(cell_start(start)?))
        }
        "text:p" | "text:h" => Element::Paragraph,
        "text:s" => Element::Spaces(count(start, "text:c")? as usize),
        "text:tab" => Element::Tab,
        "text:line-break" => Element::LineBreak,
        "office:annotation"
        | "table:tracked-changes"
        | "table:shapes"
        | "draw:frame"
        | "draw:custom-shape"
        | "draw:g"
        | "table:detective" => Element::Aside,
        _ => Element::Other,
    })
}

fn attribute(start: &BytesStart<'_>, name: &str) -> Result<Option<String>, quick_xml::Error> {
    match start.try_get_attribute(name)? {
        Some(attribute) => {
            Ok(Some(attribute.normalized_value(XmlVersion::Implicit1_0)?.into_owned()))
        }
        None => Ok(None),
    }
}

/// Whether a row or a column is hidden, by hand or by a filter.
fn is_hidden(start: &BytesStart<'_>) -> Result<bool, quick_xml::Error> {
    let visibility = attribute(start, "table:visibility")?;
    Ok(matches!(visibility.as_deref(), Some("collapse" | "filter")))
}

fn count(start: &BytesStart<'_>, name: &str) -> Result<u32, quick_xml::Error> {
    Ok(attribute(start, name)?.and_then(|text| text.trim().parse().ok()).unwrap_or(1))
}

fn cell_start(start: &BytesStart<'_>) -> Result<CellStart, quick_xml::Error> {
    let mut cell = CellStart { repeated: 1, ..CellStart::default() };
    for attribute in start.attributes() {
        let attribute = attribute?;
        let value = || attribute.normalized_value(XmlVersion::Implicit1_0).map(Cow::into_owned);
        match attribute.key.as_ref() {
            "table:number-columns-repeated" => {
                cell.repeated = value()?.trim().parse().unwrap_or(1);
            }
            "table:number-rows-spanned" => {
                cell.spanned.0 = value()?.trim().parse().unwrap_or(1);
            }
            "table:number-columns-spanned" => {
                cell.spanned.1 = value()?.trim().parse().unwrap_or(1);
            }
            "office:value-type" => cell.kind = value()?,
            "office:value"
            | "office:date-value"
            | "office:time-value"
            | "office:boolean-value"
            | "office:string-value" => cell.value = Some(value()?),
            "table:formula" => cell.formula = Some(value()?),
            "calcext:value-type" => cell.is_error = value()? == "error",
            _ => {}
        }
    }
    Ok(cell)
}

/// The cell that a beginning and its paragraphs make; nothing for a cell that is only formatted.
fn cell(start: CellStart, text: String) -> Option<Cell<'static>> {
    let CellStart { kind, value, formula, is_error, .. } = start;
    if is_error {
        let shown = if text.trim().is_empty() { value.unwrap_or_default() } else { text };
        return Some(Cell::Error(shown.into()));
    }
    let value = match kind.as_str() {
        "" => {
            return match formula {
                Some(formula) => {
                    let formula = formula.strip_prefix("of:").unwrap_or(&formula);
                    let formula = formula.strip_prefix('=').unwrap_or(formula);
                    Some(Cell::Uncalculated(formula.to_owned().into()))
                }
                // Some programs leave out the kind of a text.
                None if !text.is_empty() => Some(Cell::Text(text.into())),
                None => None,
            };
        }
        "string" => return Some(Cell::Text(value.unwrap_or(text).into())),
        _ => value.unwrap_or_else(|| text.clone()),
    };
    Some(match kind.as_str() {
        "boolean" => match value.trim() {
            "true" | "TRUE" => Cell::Flag(true),
            "false" | "FALSE" => Cell::Flag(false),
            _ => Cell::Text(value.into()),
        },
        "date" => iso_date(value.into()),
        "time" => iso_duration(value.into()),
        _ => match value.trim().parse::<f64>() {
            Ok(number) if number.is_finite() => Cell::Number(number),
            _ => Cell::Text(if text.is_empty() { value } else { text }.into()),
        },
    })
}
