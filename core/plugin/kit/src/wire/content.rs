//! What a plugin is asked to write, as lines.
//!
//! The `options` line comes first, then `schedule`, which is the document of the schedule's own schema on one
//! line; then, in any number, where its records were read and as what their values were typed, what changed,
//! what is shown beside it, and, for a plugin that asks for it, what follows in space; `end` comes last.

use restrand_model::quantity::System;
use restrand_model::reading::{Apart, Origin, Provenance, Span, Spot};
use restrand_model::reflect::{Record, View, fill};
use restrand_model::route::Route;
use restrand_model::schedule::Schedule;
use restrand_model::value::Value;
use serde::{Deserialize, Serialize};

use super::WireError;
use super::frame::{at_line, at_of, table, table_line};
use super::line::{self, Members, TableLine, Text};
use crate::content::{Change, Content, SideCell, SideTable};
use crate::layout::{Body, BodyKind, Course, Frame, Layout, Piece, Seat, Solid, Triple, Unlaid};
use crate::plugin::WriteOptions;

/// A line of a content.
#[derive(Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
enum Line<'a> {
    Options(OptionsLine<'a>),
    Schedule(Members<'a>),
    Table(TableLine<'a>),
    Spot(SpotLine<'a>),
    Origin(OriginLine<'a>),
    Text(TextLine<'a>),
    Said(SaidLine<'a>),
    Apart(ApartLine<'a>),
    Exchange(ExchangeLine<'a>),
    Change(ChangeLine<'a>),
    SideTable(SideTableLine<'a>),
    Course(CourseLine<'a>),
    Seat(SeatLine<'a>),
    Body(BodyLine<'a>),
    Unlaid(UnlaidLine<'a>),
    End(EndLine),
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct OptionsLine<'a> {
    system: SystemWord,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    ending: Option<Text<'a>>,
}

#[derive(Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
enum SystemWord {
    Si,
    Us,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct SpotLine<'a> {
    span: (u64, u64),
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    path: Vec<Text<'a>>,
}

/// Where the record at the end of a route was read.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct OriginLine<'a> {
    route: Vec<Text<'a>>,
    table: u32,
    position: u32,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct TextLine<'a> {
    table: u32,
    position: u32,
    column: u32,
    text: Text<'a>,
}

/// The text by which a document gives a value.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct SaidLine<'a> {
    table: u32,
    /// The first byte of the record of a list.
    start: u64,
    way: Vec<Text<'a>>,
    text: Text<'a>,
}

/// Where a value stands that stands elsewhere than its record.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct ApartLine<'a> {
    table: u32,
    /// The row, or the first byte, of the record.
    start: u64,
    way: Vec<Text<'a>>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    row: Option<u32>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    span: Option<(u64, u64)>,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct ExchangeLine<'a> {
    table: u32,
    position: u32,
    one: Vec<Text<'a>>,
    other: Vec<Text<'a>>,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct ChangeLine<'a> {
    route: Vec<Text<'a>>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    before: Option<Text<'a>>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    after: Option<Value>,
    why: Text<'a>,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct SideTableLine<'a> {
    name: Text<'a>,
    about: Text<'a>,
    headers: Vec<Text<'a>>,
    rows: Vec<Vec<SideCellLine<'a>>>,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct SideCellLine<'a> {
    #[serde(default, skip_serializing_if = "Option::is_none")]
    value: Option<Value>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    leads_to: Option<Vec<Text<'a>>>,
}

/// An axis in space.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct CourseLine<'a> {
    route: Vec<Text<'a>>,
    start_m: Triple,
    pieces: Vec<Piece>,
    length_m: f64,
}

/// Where a record stands.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct SeatLine<'a> {
    route: Vec<Text<'a>>,
    frame: Frame,
}

/// What stands or moves at an end.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct BodyLine<'a> {
    route: Vec<Text<'a>>,
    kind: BodyKind,
    frame: Frame,
    solids: Vec<Solid>,
}

/// What could not be laid out.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct UnlaidLine<'a> {
    route: Vec<Text<'a>>,
    what: Text<'a>,
    field: Text<'a>,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct EndLine {
    /// The number of lines before this one.
    lines: u64,
}

/// Writes a content and how it is to be written.
pub fn write_content(content: &Content<'_>, options: WriteOptions<'_>, lines: &mut Vec<u8>) {
    let Content { schedule, provenance, changes, tables, layout } = content;
    let mut out = Out { lines, count: 0 };
    let WriteOptions { system, ending } = options;
    out.line(&Line::Options(OptionsLine {
        system: match system {
            System::Si => SystemWord::Si,
            System::Us => SystemWord::Us,
        },
        ending: ending.map(Text::from),
    }));
    let root: &dyn Record = *schedule;
    out.line(&Line::Schedule(Members::Owned(root.to_fields())));
    for table in &provenance.tables {
        out.line(&Line::Table(table_line(table)));
    }
    for Spot { span, path } in &provenance.spots {
        let span = (span.start, span.end);
        out.line(&Line::Spot(SpotLine { span, path: texts(path) }));
    }
    origins(root, &mut Vec::new(), &mut |path, (table, position)| {
        out.line(&Line::Origin(OriginLine { route: texts(path), table, position }));
    });
    for (origin, column, text) in provenance.texts() {
        if let Some((table, position)) = origin.get() {
            let text = text.into();
            out.line(&Line::Text(TextLine { table, position, column, text }));
        }
    }
    for (table, start, way, text) in provenance.texts_of_documents() {
        out.line(&Line::Said(SaidLine { table, start, way: texts(way), text: text.into() }));
    }
    for ((table, start), Apart { way, at }) in &provenance.all_apart() {
        let (row, span) = at_line(*at);
        let (table, start) = (*table, *start);
        out.line(&Line::Apart(ApartLine { table, start, way: texts(way), row, span }));
    }
    for (origin, one, other) in provenance.exchanges() {
        if let Some((table, position)) = origin.get() {
            let (one, other) = (texts(one), texts(other));
            out.line(&Line::Exchange(ExchangeLine { table, position, one, other }));
        }
    }
    for Change { route, before, after, why } in *changes {
        out.line(&Line::Change(ChangeLine {
            route: route.names().into_iter().map(Text::from).collect(),
            before: before.as_ref().map(Text::from),
            after: after.clone(),
            why: why.into(),
        }));
    }
    for SideTable { name, about, headers, rows } in *tables {
        let cell = |SideCell { value, leads_to }: &SideCell| SideCellLine {
            value: value.clone(),
            leads_to: leads_to
                .as_ref()
                .map(|route| route.names().into_iter().map(Text::from).collect()),
        };
        out.line(&Line::SideTable(SideTableLine {
            name: name.into(),
            about: about.into(),
            headers: texts(headers),
            rows: rows.iter().map(|row| row.iter().map(cell).collect()).collect(),
        }));
    }
    if let Some(layout) = layout {
        out.layout(layout);
    }
    let lines = out.count;
    out.line(&Line::End(EndLine { lines }));
}

struct Out<'a> {
    lines: &'a mut Vec<u8>,
    count: u64,
}

impl Out<'_> {
    fn line(&mut self, line: &Line<'_>) {
        line::write(line, self.lines);
        self.count += 1;
    }

    fn layout(&mut self, layout: &Layout) {
        let route = |route: &Route| route.names().into_iter().map(Text::from).collect();
        let Layout { courses, seats, bodies, unlaid } = layout;
        for Course { route: of, start_m, pieces, length_m } in courses {
            let (start_m, pieces, length_m) = (*start_m, pieces.clone(), *length_m);
            self.line(&Line::Course(CourseLine { route: route(of), start_m, pieces, length_m }));
        }
        for Seat { route: of, frame } in seats {
            self.line(&Line::Seat(SeatLine { route: route(of), frame: *frame }));
        }
        for Body { route: of, kind, frame, solids } in bodies {
            let (kind, frame, solids) = (*kind, *frame, solids.clone());
            self.line(&Line::Body(BodyLine { route: route(of), kind, frame, solids }));
        }
        for Unlaid { route: of, what, field } in unlaid {
            let (what, field) = (what.into(), field.into());
            self.line(&Line::Unlaid(UnlaidLine { route: route(of), what, field }));
        }
    }
}

fn texts(texts: &[String]) -> Vec<Text<'_>> {
    texts.iter().map(Text::from).collect()
}

fn owned(texts: Vec<Text<'_>>) -> Vec<String> {
    texts.into_iter().map(Text::into_owned).collect()
}

/// Takes the names and positions of a record, and its table and position there.
type Told<'a> = dyn FnMut(&[String], (u32, u32)) + 'a;

/// Tells of each record that a file holds, by its field names and positions, the outer ones first.
fn origins(record: &dyn Record, path: &mut Vec<String>, tell: &mut Told<'_>) {
    if let Some(at) = record.origin().get() {
        tell(path, at);
    }
    for (index, field) in record.info().fields.iter().enumerate() {
        path.push(field.name.to_owned());
        match record.field(index).view() {
            View::Record(inner) => origins(inner, path, tell),
            View::List(list) => {
                for position in 0..list.len() {
                    if let View::Record(inner) = list.item(position) {
                        path.push(position.to_string());
                        origins(inner, path, tell);
                        path.pop();
                    }
                }
            }
            _ => {}
        }
        path.pop();
    }
}

/// The record at the end of these field names and positions, if the schedule has it.
fn record_at<'a>(schedule: &'a mut Schedule, path: &[String]) -> Option<&'a mut dyn Record> {
    let mut record: &mut dyn Record = schedule;
    let mut rest = path;
    while let Some((field, after)) = rest.split_first() {
        let index = record.info().index_of(field)?;
        match record.field(index).view() {
            View::Record(_) => {
                record = record.field_mut(index).record_mut()?;
                rest = after;
            }
            View::List(_) => {
                let (position, after) = after.split_first()?;
                record = record.field_mut(index).item_mut(position.parse().ok()?)?;
                rest = after;
            }
            _ => return None,
        }
    }
    Some(record)
}

/// A content as it came over the wire.
#[derive(Debug, Default)]
pub struct Carried {
    schedule: Schedule,
    provenance: Provenance,
    changes: Vec<Change>,
    tables: Vec<SideTable>,
    layout: Option<Layout>,
    system: System,
    ending: Option<String>,
}

impl Carried {
    /// Reads the lines of a content.
    ///
    /// # Errors
    /// They are not as agreed.
    pub fn read(lines: &[u8]) -> Result<Self, WireError> {
        let mut carried = Self::default();
        let mut number = 0;
        let mut rest = lines;
        let mut is_ended = false;
        while !rest.is_empty() {
            let malformed = |why: String| WireError::Malformed { line: number + 1, why };
            let out_of_order =
                |why: &str| WireError::OutOfOrder { line: number + 1, why: why.to_owned() };
            let length = rest
                .iter()
                .position(|byte| *byte == b'\n')
                .ok_or_else(|| malformed("it is not ended by a line feed".to_owned()))?;
            let line: Line<'_> = line::read(&rest[..length]).map_err(malformed)?;
            rest = &rest[length + 1..];
            match (&line, number) {
                _ if is_ended => return Err(out_of_order("it comes after the last")),
                (Line::Options(_), 0) | (Line::Schedule(_), 1) => {}
                (Line::Options(_) | Line::Schedule(_), _) | (_, 0 | 1) => {
                    return Err(out_of_order("the options come first, then the schedule"));
                }
                (Line::End(EndLine { lines }), _) if *lines != number => {
                    return Err(WireError::Miscounted {
                        counted: format!("{lines} lines"),
                        seen: format!("{number}"),
                    });
                }
                (Line::End(_), _) => is_ended = true,
                _ => {}
            }
            carried.take(line).map_err(malformed)?;
            number += 1;
        }
        if is_ended { Ok(carried) } else { Err(WireError::Unfinished) }
    }

    fn take(&mut self, line: Line<'_>) -> Result<(), String> {
        match line {
            Line::Options(OptionsLine { system, ending }) => {
                self.system = match system {
                    SystemWord::Si => System::Si,
                    SystemWord::Us => System::Us,
                };
                self.ending = ending.map(Text::into_owned);
            }
            Line::Schedule(members) => {
                fill(&mut self.schedule, members.into_fields()).map_err(|misfit| {
                    format!("{} does not hold what is needed: {}", misfit.path, misfit.needed)
                })?;
            }
            Line::Table(line) => self.provenance.tables.push(table(line)?),
            Line::Spot(SpotLine { span: (start, end), path }) => {
                let (span, path) = (Span { start, end }, owned(path));
                self.provenance.spots.push(Spot { span, path });
            }
            Line::Origin(OriginLine { route, table, position }) => {
                let route = owned(route);
                let record = record_at(&mut self.schedule, &route)
                    .ok_or_else(|| format!("there is no record {}", route.join(".")))?;
                record.set_origin(Origin::new(table, position));
            }
            Line::Text(TextLine { table, position, column, text }) => {
                let origin = Origin::new(table, position);
                self.provenance.keep_text(origin, column, text.into());
            }
            Line::Said(SaidLine { table, start, way, text }) => {
                self.provenance.keep_text_of_document(table, start, owned(way), text.into());
            }
            Line::Apart(ApartLine { table, start, way, row, span }) => {
                let apart = Apart { way: owned(way).into(), at: at_of((row, span))? };
                self.provenance.keep_apart_at((table, start), apart);
            }
            Line::Exchange(ExchangeLine { table, position, one, other }) => {
                self.provenance.exchange(Origin::new(table, position), &one, &other);
            }
            Line::Change(ChangeLine { route, before, after, why }) => {
                self.changes.push(Change {
                    route: route_of(&route)?,
                    before: before.map(Text::into_owned),
                    after,
                    why: why.into_owned(),
                });
            }
            Line::SideTable(SideTableLine { name, about, headers, rows }) => {
                let cell = |SideCellLine { value, leads_to }: SideCellLine<'_>| {
                    let leads_to = leads_to.map(|route| route_of(&route)).transpose()?;
                    Ok(SideCell { value, leads_to })
                };
                let row = |row: Vec<SideCellLine<'_>>| {
                    row.into_iter().map(cell).collect::<Result<_, String>>()
                };
                self.tables.push(SideTable {
                    name: name.into_owned(),
                    about: about.into_owned(),
                    headers: owned(headers),
                    rows: rows.into_iter().map(row).collect::<Result<_, String>>()?,
                });
            }
            Line::Course(CourseLine { route, start_m, pieces, length_m }) => {
                let route = route_of(&route)?;
                self.layout().courses.push(Course { route, start_m, pieces, length_m });
            }
            Line::Seat(SeatLine { route, frame }) => {
                let route = route_of(&route)?;
                self.layout().seats.push(Seat { route, frame });
            }
            Line::Body(BodyLine { route, kind, frame, solids }) => {
                let route = route_of(&route)?;
                self.layout().bodies.push(Body { route, kind, frame, solids });
            }
            Line::Unlaid(UnlaidLine { route, what, field }) => {
                let route = route_of(&route)?;
                let (what, field) = (what.into_owned(), field.into_owned());
                self.layout().unlaid.push(Unlaid { route, what, field });
            }
            Line::End(_) => {}
        }
        Ok(())
    }

    fn layout(&mut self) -> &mut Layout {
        self.layout.get_or_insert_default()
    }

    /// The content.
    #[must_use]
    pub fn content(&self) -> Content<'_> {
        Content {
            schedule: &self.schedule,
            provenance: &self.provenance,
            changes: &self.changes,
            tables: &self.tables,
            layout: self.layout.as_ref(),
        }
    }

    /// How it is to be written.
    #[must_use]
    pub fn options(&self) -> WriteOptions<'_> {
        WriteOptions { system: self.system, ending: self.ending.as_deref() }
    }
}

fn route_of(names: &[Text<'_>]) -> Result<Route, String> {
    Route::of_names(names).ok_or_else(|| format!("{} is no route", names.join(".")))
}
