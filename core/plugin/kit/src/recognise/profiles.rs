//! Tendons with their places across the page: `Tendon | | Abut. A | Dev. 1 | Pier 1`, and below it for each tendon a row
//! of stations, one of levels and the like, or one row of what the caption says is measured. Where a column says of each
//! row what it states, the word for points may head the tendons: `Point | | Abut. A | Dev. 1 | Pier 1`.
//!
//! Each of these places is a point of every tendon that a row names.

use std::collections::BTreeSet;

use restrand_model::reading::{Origin, Problem, ProblemKind};

use super::Looked;
use super::assign::{Assigned, Assignment};
use super::find::{Found, is_field};
use super::grid::{GridRow, Sheet};
use super::habits;
use super::header::HeaderText;
use super::notes::UnitNotes;
use super::ordinates::measured;
use super::places::{are_places, is_place};
use super::vocabulary::{Target, Vocabulary, target_of};
use crate::sheet::Cell;

/// Places across at least.
const LEAST: usize = 2;

/// A block of profiles; rows are positions among those of the sheet.
struct Block {
    caption: Option<(usize, String)>,
    headers: usize,
    /// The column of the tendons.
    first: u32,
    places: BTreeSet<u32>,
    tendons: Vec<Profile>,
    end: usize,
}

/// A tendon by its mark, and its rows.
type Profile = (String, Vec<Stated>);

/// A row of a profile: its position, what names its values, and what they are.
type Stated = (usize, HeaderText, Option<Target>);

/// Takes the blocks of profiles out of a sheet, each as a part of its own.
pub(super) fn take_out(sheet: &mut Sheet) -> Vec<Looked> {
    let mut parts = Vec::new();
    if sheet.grid.is_turned() {
        return parts;
    }
    let mut at = 0;
    while at < sheet.rows.len() {
        let Some(block) = find(&sheet.rows, at) else {
            at += 1;
            continue;
        };
        let from = block.caption.as_ref().map_or(block.headers, |(row, _)| *row);
        let numbers = sheet.rows[from].number..sheet.rows[block.end - 1].number + 1;
        let turned = sheet.of_rows(&numbers.clone().collect()).turned();
        let of = |profile: &Profile| table_of(sheet, &turned, &block, profile);
        let found: Vec<Found> = block.tendons.iter().filter_map(of).collect();
        sheet.cut(0..u32::MAX, numbers);
        parts.push(Looked::new(turned, found, UnitNotes::default(), BTreeSet::new()));
        at = from;
    }
    parts
}

/// The columns of headers of such a block.
struct Headers {
    first: u32,
    label: Option<u32>,
    places: BTreeSet<u32>,
}

/// The headers of such a block in a row: the word for tendons or points, at most one column of labels, and places.
fn headers(row: &GridRow) -> Option<Headers> {
    let own: Vec<(u32, &str)> = row
        .own()
        .filter(|(_, cell)| !cell.cell.is_blank())
        .map(|(column, _)| Some((column, row.text(column)?)))
        .collect::<Option<_>>()?;
    let ((first, head), behind) = own.split_first()?;
    let is_of_points = names_points(head);
    if !is_of_points && !names_tendons(head) {
        return None;
    }
    let labels = behind.iter().take_while(|(_, text)| !is_place(text)).count();
    let (labels, places) = behind.split_at(labels);
    if places.len() < LEAST || !are_places(places.iter().map(|(_, text)| *text)) {
        return None;
    }
    let places: BTreeSet<u32> = places.iter().map(|(column, _)| *column).collect();
    let label = match labels {
        [] => (first + 1..*places.first()?).next(),
        [(column, _)] => Some(*column),
        _ => return None,
    };
    (label.is_some() || !is_of_points).then_some(Headers { first: *first, label, places })
}

/// The block whose headers stand in that row.
fn find(rows: &[GridRow], at: usize) -> Option<Block> {
    let Headers { first, label, places: places_at } = headers(&rows[at])?;
    let caption = at.checked_sub(1).filter(|above| rows[at].number - rows[*above].number <= 2);
    let caption = caption.and_then(|above| Some((above, rows[above].lone_text()?.to_owned())));
    let of_caption = caption.as_ref().and_then(|(_, text)| measured(text));
    let mut tendons: Vec<Profile> = Vec::new();
    let mut end = at + 1;
    while end < rows.len() && rows[end].number == rows[end - 1].number + 1 {
        let row = &rows[end];
        let is_within =
            |column: &u32| *column == first || Some(*column) == label || places_at.contains(column);
        if !row.cells.keys().all(is_within) {
            break;
        }
        let named = row.cells.get(&first).filter(|cell| !cell.cell.is_blank());
        let is_above = named.is_none_or(|cell| habits::is_ditto(&cell.cell));
        let states = match label.and_then(|label| row.text(label)) {
            Some(text) => stated(text),
            None => of_caption.as_ref().map(|(_, target, header)| (header.clone(), Some(*target))),
        };
        let Some((header, target)) = states.filter(|_| are_values(row, &places_at)) else { break };
        match (named, tendons.last_mut()) {
            (Some(cell), _) if !is_above => {
                let mark = cell.cell.name();
                // A row of stations for all tendons is no tendon.
                if is_field(&mark) {
                    return None;
                }
                match tendons.last_mut().filter(|(last, _)| *last == mark) {
                    Some((_, rows)) => rows.push((end, header, target)),
                    None => tendons.push((mark, vec![(end, header, target)])),
                }
            }
            (_, Some((_, rows))) if label.is_some() => rows.push((end, header, target)),
            _ => break,
        }
        end += 1;
    }
    let is_read = tendons.iter().flat_map(|(_, rows)| rows).any(|(_, _, target)| target.is_some());
    is_read.then_some(Block { caption, headers: at, first, places: places_at, tendons, end })
}

/// What is to be said of headers of such a block outside of all tables, of which nothing was read.
pub(super) fn unread(sheet: &Sheet, outside: &BTreeSet<u32>) -> Vec<Problem> {
    let rows = sheet.rows.iter().filter(|row| outside.contains(&row.number));
    rows.filter(|row| !sheet.grid.is_turned() && headers(row).is_some())
        .map(|row| Problem {
            kind: ProblemKind::Unknown,
            place: sheet.place(row.number, None),
            record: Origin::default(),
            subject: format!("{}, row {}", sheet.name, u64::from(row.number) + 1),
            given: None,
            why: "heads places of tendons, and neither a caption nor a column says what is stated there: nothing \
                  below it is read"
                .to_owned(),
            help: "write it over the table, as \"Tendon levels (m)\", or before each row, as \"Level (m)\""
                .to_owned(),
        })
        .collect()
}

/// Whether a text heads the names of tendons.
fn names_tendons(text: &str) -> bool {
    let header = HeaderText::read(&[text]);
    let found = Vocabulary::get().find(&header.words);
    found.iter().any(|(target, score)| *score >= 1.0 && target.name() == "tendon.mark")
}

/// Whether a text heads points, as it stands before the names of places.
fn names_points(text: &str) -> bool {
    const WORDS: [&str; 6] = ["point", "points", "position", "location", "punkt", "places"];
    let header = HeaderText::read(&[text]);
    matches!(header.words.as_slice(), [word] if WORDS.contains(&word.as_str()))
}

/// What a label says that its row states, which may be nothing that points have.
fn stated(text: &str) -> Option<(HeaderText, Option<Target>)> {
    const FIELDS: [&str; 4] = ["station_m", "elevation_m", "lateral_m", "radius_m"];
    let header = HeaderText { scope: None, ..HeaderText::read(&[text]) };
    let found = Vocabulary::get().find(&header.words);
    let mut fields = FIELDS.iter().filter_map(|field| target_of("Points", field));
    let target =
        fields.find(|field| found.iter().any(|(other, score)| other == field && *score >= 1.0));
    Some((header, target))
}

/// Whether numbers stand at the places of a row, and nothing else.
fn are_values(row: &GridRow, places: &BTreeSet<u32>) -> bool {
    let mut cells = places
        .iter()
        .filter_map(|place| row.cells.get(place))
        .filter(|cell| !cell.cell.is_blank())
        .peekable();
    cells.peek().is_some()
        && cells.all(|cell| match &cell.cell {
            Cell::Number(_) => true,
            Cell::Text(text) => {
                text.contains(|c: char| c.is_ascii_digit()) || habits::is_pending(&cell.cell)
            }
            _ => false,
        })
}

/// The points of a tendon as a table of the turned rows.
fn table_of(sheet: &Sheet, turned: &Sheet, block: &Block, (mark, rows): &Profile) -> Option<Found> {
    let why = "it is a row of a tendon's profile, whose columns are points";
    let names = sheet.rows[block.headers].number;
    let of_names = HeaderText::read(&[sheet.rows[block.headers].text(block.first)?]);
    let of_names = HeaderText { scope: None, ..of_names };
    let mut columns = vec![Assigned::known(names, of_names, target_of("Points", "id")?, why)];
    for (at, header, target) in rows {
        let number = sheet.rows[*at].number;
        // A second row of the same is another thing, or a slip: it is kept as it is.
        let target = target.filter(|target| !columns.iter().any(|one| one.target == Some(*target)));
        columns.push(match target {
            Some(target) => Assigned::known(number, header.clone(), target, why),
            None => Assigned::kept(number, header.clone()),
        });
    }
    let position = |number: u32| turned.rows.iter().position(|row| row.number == number);
    let headers = position(block.first)?;
    let last = position(*block.places.last()?)?;
    Some(Found {
        caption: block.caption.as_ref().map(|(_, text)| text.clone()),
        headers: headers..headers + 1,
        units: Vec::new(),
        body: headers + 1..last + 1,
        repeated: BTreeSet::new(),
        assignment: Assignment::of_points(columns),
        owner: Some(mark.as_str().into()),
        only: Some(block.places.clone()),
        by_others: true,
    })
}
