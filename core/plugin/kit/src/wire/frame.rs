//! From frames, losses and errors to lines, and back.

use std::borrow::Cow;

use restrand_model::quantity::{Unit, of_field};
use restrand_model::reading::{Apart, Column, Grid, Origin, Place, Problem, Question, Span, Table};
use restrand_model::reflect::{RecordInfo, Shape};
use restrand_model::schedule::Schedule;
use restrand_model::sheet;

use super::Counts;
use super::line::{
    ApartLine, ColumnLine, DescriptionLine, ErrorLine, Line, LossLine, ProblemLine, QuestionLine,
    RecordLine, TableLine, Text, write,
};
use super::place::PlaceLine;
use crate::frame::{At, Frame, RecordFrame};
use crate::plugin::{Description, Loss};

/// A description whose texts are owned, as it comes from a line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WireDescription {
    /// The short name of the format.
    pub id: String,
    /// What the format is.
    pub summary: String,
    /// The endings that are read.
    pub reads: Vec<String>,
    /// The endings that are written.
    pub writes: Vec<String>,
    /// Whether what it writes comes with a layout.
    pub layout: bool,
}

/// Why a call did not do what it was asked to, as an `error` line says it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WireFailure {
    /// Where it shows, if it is a matter of the input.
    pub place: Option<Place>,
    /// What is wrong, as a clause.
    pub why: String,
    /// What to do about it; may be empty.
    pub help: String,
}

impl WireDescription {
    /// Writes the `description` line; `layout` is whether what the plugin writes comes with a layout.
    pub fn write(description: &Description, layout: bool, lines: &mut Vec<u8>) {
        let texts = |texts: &'static [&'static str]| texts.iter().map(|text| Text::from(*text));
        let line = DescriptionLine {
            id: description.id.into(),
            summary: description.summary.into(),
            reads: texts(description.reads).collect(),
            writes: texts(description.writes).collect(),
            layout,
        };
        write(&Line::Description(line), lines);
    }

    pub(super) fn of(line: DescriptionLine<'_>) -> Result<Self, String> {
        let owned = |texts: Vec<Text<'_>>| texts.into_iter().map(Text::into_owned).collect();
        let read = Self {
            id: line.id.into_owned(),
            summary: line.summary.into_owned(),
            reads: owned(line.reads),
            writes: owned(line.writes),
            layout: line.layout,
        };
        let is_word = |word: &String| {
            !word.is_empty()
                && word.len() <= 32
                && word.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-')
        };
        if !is_word(&read.id) {
            return Err("the id is no word of lower-case letters, digits and hyphens".to_owned());
        }
        if !read.reads.iter().chain(&read.writes).all(is_word) {
            return Err("an ending is no word of lower-case letters and digits".to_owned());
        }
        let is_sentence = !read.summary.is_empty()
            && read.summary.len() <= 200
            && !read.summary.chars().any(char::is_control);
        if !is_sentence {
            return Err("the summary is no text of one line, up to 200 bytes".to_owned());
        }
        Ok(read)
    }
}

/// Writes the line of a frame, and counts it.
pub fn write_frame(frame: &Frame, counts: &mut Counts, lines: &mut Vec<u8>) {
    match frame {
        Frame::Table(table) => {
            counts.tables += 1;
            write(&Line::Table(table_line(table)), lines);
        }
        Frame::Record(record) => {
            counts.records += 1;
            write(&Line::Record(record_line(record)), lines);
        }
        Frame::Problem(problem) => {
            counts.problems += 1;
            write(&Line::Problem(problem_line(problem)), lines);
        }
        Frame::Question(question) => {
            counts.questions += 1;
            write(&Line::Question(question_line(question)), lines);
        }
        Frame::Understood(understood) => {
            counts.understood += 1;
            write(&Line::Understood(Cow::Borrowed(understood)), lines);
        }
    }
}

/// Writes the line of a loss, and counts it.
pub fn write_loss(loss: &Loss, counts: &mut Counts, lines: &mut Vec<u8>) {
    counts.losses += 1;
    let Loss { route, value, why } = loss;
    let line = LossLine { route: route.into(), value: value.into(), why: why.into() };
    write(&Line::Loss(line), lines);
}

/// Writes the line that says why a call did not do what it was asked to.
pub fn write_error(failure: &WireFailure, lines: &mut Vec<u8>) {
    let line = ErrorLine {
        place: failure.place.as_ref().map(PlaceLine::of),
        why: (&failure.why).into(),
        help: (&failure.help).into(),
    };
    write(&Line::Error(line), lines);
}

pub(super) fn table_line(table: &Table) -> TableLine<'_> {
    let Table { part, sheet, grid, list, header_row, columns } = table;
    let column_line = |column: &'_ Column| -> ColumnLine<'_> {
        ColumnLine {
            index: column.index,
            header: Text::from(column.header.to_string()),
            path: column.path.iter().map(|step| Text::from(*step)).collect(),
            unit: column.unit.map(|unit| unit.symbol.into()),
            link: column.link,
        }
    };
    TableLine {
        part: part.into(),
        sheet: sheet.as_ref().map(Text::from),
        lines: grid.is_of_lines(),
        turned: grid.is_turned(),
        list: list.into(),
        header_row: *header_row,
        columns: columns.iter().map(column_line).collect(),
    }
}

fn record_line(record: &RecordFrame) -> RecordLine<'_> {
    let RecordFrame { table, at, links, fields, texts, apart } = record;
    let (row, span) = at_line(*at);
    RecordLine {
        table: *table,
        row,
        span,
        links: links.iter().map(|link| link.as_deref().map(Text::from)).collect(),
        fields: super::line::Members::Lent(fields),
        texts: texts.iter().map(|(column, text)| (*column, Text::from(&**text))).collect(),
        apart: apart.iter().map(apart_line).collect(),
    }
}

/// A row, or a stretch of bytes.
pub(super) type AtLine = (Option<u32>, Option<(u64, u64)>);

pub(super) const fn at_line(at: At) -> AtLine {
    match at {
        At::Row(row) => (Some(row), None),
        At::Span(span) => (None, Some((span.start, span.end))),
    }
}

/// The place of a line, or what is wrong with it.
pub(super) fn at_of(at: AtLine) -> Result<At, String> {
    match at {
        (Some(row), None) => Ok(At::Row(row)),
        (None, Some((start, end))) => Ok(At::Span(Span { start, end })),
        _ => Err("a record or a value has either a row or a span".to_owned()),
    }
}

fn apart_line(Apart { way, at }: &Apart) -> ApartLine<'_> {
    let (row, span) = at_line(*at);
    ApartLine { way: way.iter().map(Text::from).collect(), row, span }
}

fn problem_line(problem: &Problem) -> ProblemLine<'_> {
    let Problem { kind, place, record, subject, given, why, help } = problem;
    ProblemLine {
        kind: (*kind).into(),
        place: PlaceLine::of(place),
        record: record.get(),
        subject: subject.into(),
        given: given.as_ref().map(Text::from),
        why: why.into(),
        help: help.into(),
    }
}

fn question_line(question: &Question) -> QuestionLine<'_> {
    let Question { place, records, subject, header, given, readings, why, help } = question;
    QuestionLine {
        place: PlaceLine::of(place),
        records: records.iter().filter_map(|record| record.get()).collect(),
        subject: subject.into(),
        header: header.into(),
        given: given.into(),
        readings: readings.iter().map(Text::from).collect(),
        why: why.into(),
        help: help.into(),
    }
}

/// The record type of a table's rows, if a sheet of the layout or a list of the document has its name.
fn info_of(table: &TableLine<'_>) -> Option<&'static RecordInfo> {
    if table.sheet.is_some() {
        return sheet::find(&table.list).map(|sheet| sheet.record);
    }
    match Schedule::INFO.field(&table.list).map(|field| field.shape) {
        Some(Shape::Record(info) | Shape::Records(info)) => Some(info()),
        Some(_) => None,
        // Records that stand apart from those that they belong to are those of a sheet of the layout.
        None => sheet::find(&table.list).map(|sheet| sheet.record),
    }
}

/// The table of a line, or what is wrong with it.
pub(super) fn table(line: TableLine<'_>) -> Result<Table, String> {
    let info = info_of(&line);
    let mut columns = Vec::with_capacity(line.columns.len());
    for column in line.columns {
        let path = column
            .path
            .iter()
            .try_fold((info, Vec::new()), |(info, mut path), step| {
                let field = info?.field(step)?;
                path.push(field.name);
                let inner = match field.shape {
                    Shape::Record(info) | Shape::Records(info) => Some(info()),
                    _ => None,
                };
                Some((inner, path))
            })
            .map(|(_, path)| path)
            .ok_or_else(|| format!("no field is called \"{}\"", column.path.join(".")))?;
        let unit = match column.unit {
            None => None,
            Some(symbol) => {
                let unit = path.last().and_then(|field| of_field(field).1);
                let found = unit.and_then(|unit| Unit::find(&symbol, unit.dimension));
                Some(found.ok_or_else(|| {
                    format!("\"{symbol}\" is no unit of \"{}\"", column.path.join("."))
                })?)
            }
        };
        columns.push(Column {
            index: column.index,
            header: column.header.into(),
            path,
            unit,
            link: column.link,
        });
    }
    Ok(Table {
        part: line.part.into_owned(),
        sheet: line.sheet.map(Text::into_owned),
        grid: match (line.lines, line.turned) {
            (false, false) => Grid::Cells,
            (true, false) => Grid::Lines,
            (false, true) => Grid::TurnedCells,
            (true, true) => Grid::TurnedLines,
        },
        list: line.list.into_owned(),
        header_row: line.header_row,
        columns,
    })
}

/// The record of a line, or what is wrong with it.
pub(super) fn record(line: RecordLine<'_>) -> Result<RecordFrame, String> {
    let at = at_of((line.row, line.span))?;
    let apart = |ApartLine { way, row, span }: ApartLine<'_>| {
        let way = way.into_iter().map(Text::into_owned).collect();
        Ok(Apart { way, at: at_of((row, span))? })
    };
    Ok(RecordFrame {
        table: line.table,
        at,
        links: line.links.into_iter().map(|link| link.map(Into::into)).collect(),
        fields: line.fields.into_fields(),
        texts: line.texts.into_iter().map(|(column, text)| (column, text.into())).collect(),
        apart: line.apart.into_iter().map(apart).collect::<Result<_, String>>()?,
    })
}

/// The problem of a line, or what is wrong with it.
pub(super) fn problem(line: ProblemLine<'_>) -> Result<Problem, String> {
    Ok(Problem {
        kind: line.kind.into(),
        place: line.place.into_place()?,
        record: line
            .record
            .map_or_else(Origin::default, |(table, position)| Origin::new(table, position)),
        subject: line.subject.into_owned(),
        given: line.given.map(Text::into_owned),
        why: line.why.into_owned(),
        help: line.help.into_owned(),
    })
}

/// The question of a line, or what is wrong with it.
pub(super) fn question(line: QuestionLine<'_>) -> Result<Question, String> {
    Ok(Question {
        place: line.place.into_place()?,
        records: line
            .records
            .into_iter()
            .map(|(table, position)| Origin::new(table, position))
            .collect(),
        subject: line.subject.into_owned(),
        header: line.header.into_owned(),
        given: line.given.into_owned(),
        readings: line.readings.into_iter().map(Text::into_owned).collect(),
        why: line.why.into_owned(),
        help: line.help.into_owned(),
    })
}

/// The loss of a line.
pub(super) fn loss(line: LossLine<'_>) -> Loss {
    Loss {
        route: line.route.into_owned(),
        value: line.value.into_owned(),
        why: line.why.into_owned(),
    }
}

/// The failure of a line, or what is wrong with it.
pub(super) fn failure(line: ErrorLine<'_>) -> Result<WireFailure, String> {
    Ok(WireFailure {
        place: line.place.map(PlaceLine::into_place).transpose()?,
        why: line.why.into_owned(),
        help: line.help.into_owned(),
    })
}
