//! Tables of points with columns for tendons: `Level T1-L & T1-R`, `Level, 22-str. tendons`, or the mark alone below a
//! caption that says what is measured.

use std::collections::BTreeSet;

use restrand_model::reading::{Remark, Understood};

use super::Looked;
use super::assign::{Assigned, Assignment};
use super::find::Found;
use super::grid::{GridRow, Sheet};
use super::header::HeaderText;
use super::known::{Known, Tendon};
use super::ordinates;
use super::table::TableReader;
use super::vocabulary::{Target, Vocabulary, target_of};
use super::{cell_name, report_of};
use crate::frame::{Frames, Stopped};
use crate::sheet::Cell;

/// A column that states a level or an offset of some tendons.
struct Group {
    index: u32,
    header: HeaderText,
    target: Target,
    /// The positions of the tendons it names; nothing where it names none, and so speaks of all.
    tendons: Option<Vec<usize>>,
}

/// A table of points.
struct Matrix {
    /// What stands above it and says what is measured.
    caption: Option<String>,
    /// The positions of its rows: the headers, the first below them, and the first below its last.
    headers: usize,
    body: usize,
    end: usize,
    place: Option<(u32, HeaderText)>,
    station: (u32, HeaderText),
    span: Option<u32>,
    groups: Vec<Group>,
}

/// Reads the tables of points of a sheet into points of the tendons that have been read.
pub(super) fn read(
    one: &mut Looked,
    known: &mut Known,
    further: &mut Vec<(String, String)>,
    tables: &mut u32,
    frames: &mut dyn Frames,
) -> Result<Understood, Stopped> {
    let mut report = report_of(one);
    let mut at = 0;
    while at < one.sheet.rows.len() {
        let Some(matrix) = find(one, at, &known.tendons) else {
            at += 1;
            continue;
        };
        at = matrix.end;
        let mut is_first = true;
        for tendon in 0..known.tendons.len() {
            let Some(found) = table_of(&one.sheet, &matrix, &known.tendons[tendon], tendon) else {
                continue;
            };
            let mut reader =
                TableReader::new(&one.sheet, &found, &one.notes, &[], known, tables, frames)?;
            reader.read(&[], frames)?;
            let mut said = report_of(one);
            let rest = reader.understood(&mut said);
            for column in &found.assignment.columns {
                let rows = &one.sheet.rows[matrix.headers..matrix.end];
                one.taken.extend(rows.iter().map(|row| (row.number, column.index)));
            }
            one.taken.extend(matrix.span.into_iter().flat_map(|span| {
                one.sheet.rows[matrix.headers..matrix.end].iter().map(move |row| (row.number, span))
            }));
            if std::mem::take(&mut is_first) {
                report.tables.extend(said.tables);
                report.remarks.extend(said.remarks);
                further.extend(
                    rest.into_iter().map(|(row, text)| (cell_name(&one.sheet, row, 0), text)),
                );
            }
        }
        if !is_first {
            one.is_part = true;
            let row = &one.sheet.rows[matrix.headers];
            let of_span = match matrix.span.and_then(|span| row.text(span)) {
                Some(header) => format!(" and that lies in the span in \"{header}\""),
                None => String::new(),
            };
            report.remarks.push(Remark {
                row: Some(row.number),
                what: format!(
                    "Each of its rows is a point of every tendon that the headers name{of_span}."
                ),
            });
        }
    }
    Ok(report)
}

/// The table whose headers stand in that row, if it is one of points for tendons.
fn find(one: &Looked, at: usize, tendons: &[Tendon]) -> Option<Matrix> {
    let rows = &one.sheet.rows;
    let is_free = |at: usize| rows.get(at).is_some_and(|row| one.outside.contains(&row.number));
    if tendons.is_empty() || !is_free(at) {
        return None;
    }
    let (caption, measured) = captioned(&one.sheet, at).unzip();
    let measured = measured.as_ref();
    let texts = |at: usize| -> Vec<(u32, &str)> {
        rows[at].own().filter_map(|(column, _)| Some((column, rows[at].text(column)?))).collect()
    };
    let headers = texts(at);
    let (mut place, mut station, mut span, mut groups) = (None, None, None, Vec::new());
    for (index, text) in headers {
        let header = HeaderText::read(&[text]);
        let is = |names: &[&str]| {
            Vocabulary::get()
                .find(&header.words)
                .iter()
                .any(|(target, score)| *score >= 1.0 && names.contains(&target.name().as_str()))
        };
        if place.is_none() && is(&["deviator.place", "tendon_point.place", "tendon_point.id"]) {
            place = Some((index, header));
        } else if station.is_none() && is(&["tendon_point.station_m"]) {
            station = Some((index, header));
        } else if span.is_none() && is(&["tendon.spans"]) {
            span = Some(index);
        } else if let Some(group) = group(index, text, tendons, measured) {
            groups.push(group);
        }
    }
    let station = station?;
    let names_some = |groups: &[Group]| groups.iter().any(|group| group.tendons.is_some());
    // Marks may stand in a row of their own, below the word for them.
    let mut body = at + 1;
    if !names_some(&groups) && is_free(body) && rows[body].number == rows[at].number + 1 {
        let below = texts(body);
        let marks = below.iter().filter_map(|(index, text)| group(*index, text, tendons, measured));
        groups = marks.collect();
        if groups.len() < below.len() {
            return None;
        }
        body += 1;
    }
    if !names_some(&groups) {
        return None;
    }
    let is_row = |at: &usize| {
        rows[*at].number == rows[*at - 1].number + 1
            && is_free(*at)
            && rows[*at].cells.get(&station.0).is_some_and(|cell| !cell.cell.is_blank())
    };
    let end = (body..rows.len()).find(|at| !is_row(at)).unwrap_or(rows.len());
    (end > body).then_some(Matrix { caption, headers: at, body, end, place, station, span, groups })
}

/// The text above headers, or the name of the sheet, that says what is measured below marks alone.
fn captioned(sheet: &Sheet, at: usize) -> Option<(String, (Target, HeaderText))> {
    let above =
        at.checked_sub(1).filter(|above| sheet.rows[at].number - sheet.rows[*above].number <= 2);
    // What stands between says more than the name of the sheet, and more may be said beside it.
    let said = match above {
        Some(above) => of_caption(&sheet.rows[above])?,
        None => vec![&*sheet.name],
    };
    said.into_iter()
        .find_map(ordinates::measured)
        .map(|(text, target, header)| (text, (target, header)))
}

/// The texts of a row that is a caption, with what is said beside it.
fn of_caption(row: &GridRow) -> Option<Vec<&str>> {
    /// The caption, and what is said beside it.
    const MOST: usize = 2;
    let own: Vec<_> = row.own().filter(|(_, cell)| !cell.cell.is_blank()).collect();
    let texts: Option<Vec<&str>> = own.iter().map(|(column, _)| row.text(*column)).collect();
    texts.filter(|texts| (1..=MOST).contains(&texts.len()))
}

/// What a header states, and of which tendons; of marks alone a caption says what is measured.
fn group(
    index: u32,
    text: &str,
    tendons: &[Tendon],
    measured: Option<&(Target, HeaderText)>,
) -> Option<Group> {
    const BETWEEN: [char; 10] = [' ', ',', '&', ';', '+', '(', ')', '\n', '/', ':'];
    let of_whole = |text: &str| -> Vec<usize> {
        let same = |(_, one): &(usize, &Tendon)| one.mark.eq_ignore_ascii_case(text);
        tendons.iter().enumerate().filter(same).map(|(at, _)| at).collect()
    };
    let whole = of_whole(text.trim());
    if let Some((target, header)) = measured.filter(|_| !whole.is_empty()) {
        let header = HeaderText { given: text.trim().to_owned(), scope: None, ..header.clone() };
        return Some(Group { index, header, target: *target, tendons: Some(whole) });
    }
    let mut named: Vec<usize> = Vec::new();
    let mut rest: Vec<&str> = Vec::new();
    let mut counts: Vec<f64> = Vec::new();
    let units = HeaderText::read(&[text]).units;
    for token in text.split(BETWEEN).filter(|token| !token.is_empty()) {
        let of_mark = of_whole(token);
        if !of_mark.is_empty() {
            named.extend(of_mark);
        } else if let Some(count) = strand_count(token) {
            counts.push(count);
        } else if !matches!(
            token.trim_end_matches('.').to_lowercase().as_str(),
            "and"
                | "tendons"
                | "tendon"
                | "tdns"
                | "cables"
                | "units"
                | "str"
                | "strand"
                | "strands"
                | "for"
                | "of"
        ) && !units.iter().any(|unit| unit == token)
        {
            rest.push(token);
        }
    }
    for count in counts {
        let same =
            tendons.iter().enumerate().filter(|(_, tendon)| tendon.strand_count == Some(count));
        named.extend(same.map(|(at, _)| at));
    }
    let mut header = HeaderText::read(&[&rest.join(" ")]);
    header.units = units;
    text.split_whitespace().collect::<Vec<_>>().join(" ").clone_into(&mut header.given);
    let target = ["elevation_m", "lateral_m"]
        .iter()
        .filter_map(|field| target_of("Points", field))
        .find(|target| {
            let found = Vocabulary::get().find(&header.words);
            found.iter().any(|(other, score)| other == target && *score >= 1.0)
        })?;
    named.sort_unstable();
    named.dedup();
    Some(Group { index, header, target, tendons: (!named.is_empty()).then_some(named) })
}

/// The number of strands by which a word names tendons: `22-str.`, `19-strand`.
fn strand_count(token: &str) -> Option<f64> {
    let (count, behind) = token.split_once('-')?;
    behind.to_lowercase().starts_with("str").then(|| count.parse().ok()).flatten()
}

/// The table as one of points of a tendon.
fn table_of(sheet: &Sheet, matrix: &Matrix, tendon: &Tendon, position: usize) -> Option<Found> {
    let names =
        |group: &&Group| group.tendons.as_ref().is_some_and(|named| named.contains(&position));
    if !matrix.groups.iter().any(|group| names(&group)) {
        return None;
    }
    let assigned = |index: u32, header: &HeaderText, target: Target| {
        let why = "it stands in a table of points whose headers name tendons";
        Assigned::known(index, header.clone(), target, why)
    };
    let mut columns = Vec::new();
    if let Some((index, header)) = &matrix.place {
        columns.push(assigned(*index, header, target_of("Points", "id")?));
    }
    let (index, header) = &matrix.station;
    columns.push(assigned(*index, header, target_of("Points", "station_m")?));
    for group in &matrix.groups {
        let is_meant = names(&group) || group.tendons.is_none();
        let is_stated = columns.iter().any(|column| column.target == Some(group.target));
        if is_meant && !is_stated {
            columns.push(assigned(group.index, &group.header, group.target));
        }
    }
    let body = matrix.body..matrix.end;
    let only: BTreeSet<u32> = of_span(&sheet.rows[body.clone()], matrix.span, tendon);
    if only.is_empty() {
        return None;
    }
    Some(Found {
        caption: matrix.caption.clone(),
        headers: matrix.headers..matrix.body,
        units: Vec::new(),
        body,
        repeated: BTreeSet::new(),
        assignment: Assignment::of_points(columns),
        owner: Some(tendon.mark.as_str().into()),
        only: Some(only),
        by_others: true,
    })
}

/// The rows that speak of the span in which the tendon lies: its own, or the one with which its mark begins.
fn of_span(rows: &[GridRow], span: Option<u32>, tendon: &Tendon) -> BTreeSet<u32> {
    let Some(span) = span else { return rows.iter().map(|row| row.number).collect() };
    let mut last = String::new();
    let mut numbers = BTreeSet::new();
    for row in rows {
        match row.cells.get(&span).map(|cell| &cell.cell) {
            Some(cell) if super::habits::is_ditto(cell) || cell.is_blank() => {}
            Some(Cell::Text(text)) => text.trim().clone_into(&mut last),
            Some(other) => last = other.shown(),
            None => {}
        }
        let begins = tendon
            .mark
            .strip_prefix(last.as_str())
            .is_some_and(|rest| rest.starts_with(|c: char| !c.is_alphanumeric()));
        if !last.is_empty()
            && (begins || tendon.spans.iter().any(|one| one.eq_ignore_ascii_case(&last)))
        {
            numbers.insert(row.number);
        }
    }
    numbers
}
