//! Ordinates of tendons with their points across the page: a row of stations, and a row of levels or offsets for each
//! tendon.

use std::collections::BTreeSet;

use restrand_model::reading::{Remark, Understood};

use super::assign::{Assigned, Assignment};
use super::find::Found;
use super::grid::{GridRow, Sheet};
use super::header::HeaderText;
use super::known::{Known, Tendon};
use super::sink::Sink;
use super::table::TableReader;
use super::vocabulary::{Target, Vocabulary, target_of};
use super::{Looked, report_of};
use crate::frame::Stopped;
use crate::sheet::Cell;

/// Points across at least.
const LEAST_POINTS: usize = 2;

/// A block of ordinates; rows are positions.
struct Block {
    /// The caption above it, which says what is measured.
    caption: String,
    /// The row that names the points, if one does.
    names: Option<usize>,
    stations: usize,
    /// The rows of tendons, each with the tendon's position.
    tendons: Vec<(usize, usize)>,
    /// The column in which rows are named.
    first: u32,
    /// The columns of the points.
    points: BTreeSet<u32>,
    target: Target,
    header: HeaderText,
    /// The first row below.
    end: usize,
}

/// Reads the blocks of ordinates of a sheet into points of the tendons that have been read.
pub(super) fn read(
    one: &mut Looked,
    known: &mut Known,
    tables: &mut u32,
    frames: &mut Sink<'_>,
) -> Result<Understood, Stopped> {
    let mut report = report_of(one);
    if one.sheet.grid.is_turned() || known.tendons.is_empty() {
        return Ok(report);
    }
    let mut turned: Option<Sheet> = None;
    let mut at = 0;
    while at < one.sheet.rows.len() {
        let Some(block) = find(one, at, &known.tendons) else {
            at += 1;
            continue;
        };
        at = block.end;
        frames.begin_block();
        let turned = turned.get_or_insert_with(|| one.sheet.turned());
        for (row, tendon) in &block.tendons {
            let mark = known.tendons[*tendon].mark.clone();
            let Some(found) = table_of(&one.sheet, turned, &block, *row, &mark) else { continue };
            let mut reader =
                TableReader::new(turned, &found, &one.notes, &[], known, tables, frames)?;
            reader.read(&[], frames)?;
            let mut said = report_of(one);
            reader.understood(&mut said);
            if report.tables.iter().all(|table| table.headers != said.tables[0].headers) {
                report.tables.extend(said.tables);
                report.remarks.extend(said.remarks);
            }
        }
        let rows = block.names.into_iter().chain([block.stations]);
        for row in rows.chain(block.tendons.iter().map(|(row, _)| *row)) {
            let row = &one.sheet.rows[row];
            one.taken.extend(block.points.iter().map(|column| (row.number, *column)));
            one.taken.insert((row.number, block.first));
        }
        one.is_part = true;
        report.remarks.push(Remark {
            row: Some(one.sheet.rows[block.stations].number),
            what: format!(
                "\"{}\" has the points of the tendons across: each of its columns is a point of every tendon that a \
                 row names, and its rows are taken as {}.",
                block.caption,
                block.target.name()
            ),
        });
    }
    Ok(report)
}

/// The block of ordinates that begins there.
fn find(one: &Looked, at: usize, tendons: &[Tendon]) -> Option<Block> {
    let rows = &one.sheet.rows;
    let is_free = |at: usize| rows.get(at).is_some_and(|row| one.outside.contains(&row.number));
    let follows = |at: usize| is_free(at) && rows[at].number == rows[at - 1].number + 1;
    if !is_free(at) {
        return None;
    }
    let (names, stations) = match is_of_stations(&rows[at]) {
        true => (None, at),
        false => (Some(at), Some(at + 1).filter(|at| follows(*at) && is_of_stations(&rows[*at]))?),
    };
    let (first, _) = rows[stations].own().next()?;
    let points: BTreeSet<u32> = rows[stations]
        .own()
        .filter(|(column, cell)| *column > first && !cell.cell.is_blank())
        .map(|(column, _)| column)
        .collect();
    if points.len() < LEAST_POINTS {
        return None;
    }
    let mut end = stations + 1;
    let mut named = Vec::new();
    while follows(end)
        && let Some(cell) = rows[end].cells.get(&first)
        && let Some(tendon) =
            tendons.iter().position(|tendon| tendon.mark.eq_ignore_ascii_case(&cell.cell.name()))
    {
        named.push((end, tendon));
        end += 1;
    }
    if named.is_empty() {
        return None;
    }
    // What is measured stands above, or in the corner.
    let corner = names.and_then(|at| rows[at].text(first)).map(str::to_owned);
    let top = names.unwrap_or(stations);
    let above = top.checked_sub(1).filter(|above| rows[top].number - rows[*above].number <= 2);
    let above = above.and_then(|above| rows[above].lone_text()).map(str::to_owned);
    let (caption, target, header) =
        above.into_iter().chain(corner).find_map(|text| measured(&text))?;
    let points_named =
        names.filter(|at| points.iter().all(|column| rows[*at].text(*column).is_some()));
    Some(Block {
        caption,
        names: points_named,
        stations,
        tendons: named,
        first,
        points,
        target,
        header,
        end,
    })
}

/// Whether a row begins with the word for stations and states some.
fn is_of_stations(row: &GridRow) -> bool {
    let mut own = row.own();
    let Some((_, cell)) = own.next() else { return false };
    let Cell::Text(text) = &cell.cell else { return false };
    let header = HeaderText::read(&[text.trim()]);
    let found = Vocabulary::get().find(&header.words);
    found.iter().any(|(target, score)| *score >= 1.0 && target.name() == "tendon_point.station_m")
        && own.filter(|(_, cell)| !cell.cell.is_blank()).all(|(_, cell)| match &cell.cell {
            Cell::Number(_) => true,
            Cell::Text(text) => text.contains(|c: char| c.is_ascii_digit()),
            _ => false,
        })
}

/// What a caption says is measured, as levels or offsets.
///
/// It says so only where all its words do: levels of water, tolerances on levels, heights above a soffit and what is
/// positive downwards are something else.
pub(super) fn measured(text: &str) -> Option<(String, Target, HeaderText)> {
    const LEVELS: [&str; 3] = ["elevation", "height", "z"];
    const OFFSETS: [&str; 2] = ["lateral", "y"];
    /// What else such a caption may say.
    const BESIDE: [&str; 42] = [
        "work",
        "working",
        "schedule",
        "external",
        "pt",
        "deviator",
        "anchorage",
        "all",
        "along",
        "pi",
        "wp",
        "box",
        "c",
        "l",
        "tendon",
        "duct",
        "bridge",
        "girder",
        "table",
        "no",
        "axis",
        "centre",
        "center",
        "line",
        "centreline",
        "centerline",
        "cl",
        "coordinate",
        "coordinates",
        "ordinate",
        "ordinates",
        "profile",
        "profiles",
        "geometry",
        "setting",
        "out",
        "point",
        "points",
        "at",
        "in",
        "of",
        "from",
    ];
    /// Heights are measured from these, or to these, where they are no levels.
    const ELSEWHERE: [&str; 7] = ["above", "below", "over", "under", "down", "from", "to"];
    let is_known = |word: &str| {
        LEVELS.contains(&word)
            || OFFSETS.contains(&word)
            || BESIDE.contains(&word)
            || word.bytes().all(|byte| byte.is_ascii_digit())
    };
    let mut header = HeaderText::read(&[text]);
    let has = |words: &[&str]| header.words.iter().any(|word| words.contains(&word.as_str()));
    if !header.words.iter().all(|word| is_known(word)) {
        return None;
    }
    let lower = text.to_lowercase();
    let is_elsewhere =
        lower.split(|letter: char| !letter.is_alphabetic()).any(|word| ELSEWHERE.contains(&word));
    let field = match (has(&LEVELS), has(&OFFSETS)) {
        (true, false) if is_elsewhere => return None,
        (true, false) => "elevation_m",
        (false, true) => "lateral_m",
        _ => return None,
    };
    header.scope = None;
    Some((text.to_owned(), target_of("Points", field)?, header))
}

/// The points of a tendon as a table of the turned sheet.
fn table_of(sheet: &Sheet, turned: &Sheet, block: &Block, row: usize, mark: &str) -> Option<Found> {
    let assigned = |row: usize, header: HeaderText, field: Target| {
        let why = "it is a row of ordinates, whose columns are points";
        Assigned::known(sheet.rows[row].number, header, field, why)
    };
    let named =
        |row: usize| HeaderText::read(&[sheet.rows[row].text(block.first).unwrap_or_default()]);
    let mut columns = Vec::new();
    if let Some(names) = block.names {
        columns.push(assigned(names, named(names), target_of("Points", "id")?));
    }
    let station = HeaderText { scope: None, ..named(block.stations) };
    columns.push(assigned(block.stations, station, target_of("Points", "station_m")?));
    columns.push(assigned(row, block.header.clone(), block.target));
    let position = |number: u32| turned.rows.iter().position(|row| row.number == number);
    let headers = position(block.first)?;
    let last = position(*block.points.last()?)?;
    Some(Found {
        caption: Some(block.caption.clone()),
        headers: headers..headers + 1,
        units: Vec::new(),
        body: headers + 1..last + 1,
        repeated: BTreeSet::new(),
        assignment: Assignment::of_points(columns),
        owner: Some(mark.into()),
        only: Some(block.points.clone()),
        by_others: true,
    })
}

#[cfg(test)]
mod tests {
    use super::measured;

    #[test]
    fn captions_say_what_is_measured_where_all_their_words_do() {
        let of = |text: &str| measured(text).map(|(_, target, _)| target.name());
        for (text, field) in [
            ("TENDON PROFILE - C.L. TENDON ELEVATIONS [ft] AT WORK POINTS", Some("elevation_m")),
            ("External tendons: levels at deviators and anchorages (m)", Some("elevation_m")),
            ("Offsets of tendons from C.L. of box", Some("lateral_m")),
            ("Levels of water", None),
            ("Tolerances on levels", None),
            ("Heights above soffit", None),
        ] {
            let field = field.map(|field| format!("tendon_point.{field}"));
            assert_eq!(of(text), field, "{text}");
        }
    }
}
