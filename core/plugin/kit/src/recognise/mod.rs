//! Sheets as people make them, understood without configuration.
//!
//! A sheet that is not in the schedule's own layout comes here as a whole ([`Sheet`]). Tables are looked for
//! (`find`), each column is taken for a field by the words of its header and the values below (`assign`, over
//! `vocabulary`), its unit is looked for (`unit`), and its rows become records (`table`), with what people leave
//! out (`habits`).
//! What can mean two things is a question and is not taken; what nothing takes is kept; and a report says of
//! each sheet what was taken for what, and why ([`Frame::Understood`]).
//!
//! This module must not know any file format, nor what a value is for.

mod alike;
mod apart;
mod assign;
mod blanks;
mod captioned;
mod dates;
mod deleted;
mod ends;
mod extent;
mod facts;
mod falling;
mod find;
mod fit;
mod footsigns;
mod further;
mod general;
mod grid;
mod groups;
mod habits;
mod header;
mod headless;
mod headline;
mod hidden;
mod kinds;
mod known;
mod labels;
mod legend;
mod look;
mod mapping;
mod matrix;
mod notes;
mod opposites;
mod ordered;
mod ordinates;
mod otherwise;
mod pairs;
mod placed;
mod places;
mod plan;
mod profiles;
mod project;
mod properties;
mod reading;
mod rearranged;
mod registers;
mod said;
mod scope;
mod sections;
mod several;
mod sides;
mod sign;
mod sink;
mod starter;
mod stated;
mod superseded;
mod table;
mod tongues;
mod tonnes;
mod unit;
mod views;
mod vocabulary;
mod words;

use std::collections::BTreeSet;

use restrand_model::reading::{Problem, ProblemKind};
use restrand_model::reflect::{RecordInfo, Shape};

pub(crate) use habits::{heads_notes, is_of_sums};
pub(crate) use header::{is_surely_unit, is_unit_below};

pub use grid::{
    GridCell, GridRow, Look, MOST_CELLS, Merged, Sheet, look_of_built_in, look_of_format,
};
pub use headless::unheaded;
pub use mapping::{ColumnMapping, Mapping, MappingFault, MappingSource, TableMapping};
pub use properties::{
    NamedField, NamedProperty, fields_of_properties, stated_in_text, unit_of_name,
};
pub use starter::starter;

use crate::frame::{Frame, Frames, Stopped};
use find::{Found, Keyless};
use further::cell_name;
use notes::UnitNotes;
use placed::Quarters;
use reading::{read_looked, report_of, tell_keyless};
use sink::Sink;

/// A sheet with what was found in it.
struct Looked {
    sheet: Sheet,
    found: Vec<Found>,
    notes: UnitNotes,
    /// Numbers of the rows outside all tables.
    outside: BTreeSet<u32>,
    /// Cells outside the tables that something was taken from, by row and column.
    taken: BTreeSet<(u32, u32)>,
    /// What of the sheet is hidden, as a clause; said with its first part.
    hidden: Option<String>,
    /// Whether it or another part of its sheet holds a table.
    is_part: bool,
    /// The tables of it that are not read, as nothing names their rows.
    keyless: Vec<Keyless>,
    /// The lists of general data that it consists of, if it is a part of such.
    general: Vec<general::List>,
}

impl Looked {
    fn new(sheet: Sheet, found: Vec<Found>, notes: UnitNotes, outside: BTreeSet<u32>) -> Self {
        Self {
            sheet,
            found,
            notes,
            outside,
            taken: BTreeSet::new(),
            hidden: None,
            is_part: false,
            keyless: Vec::new(),
            general: Vec::new(),
        }
    }
}

/// Whether sheets of this list of the layout are recognised by what their headers say.
#[must_use]
pub fn knows(list: &str) -> bool {
    vocabulary::LISTS.contains(&list)
}

/// Whether people call a field of this list, or of what belongs to it, by this header.
pub(crate) fn is_called_so(list: &str, header: &str) -> bool {
    let header = header::HeaderText::read(&[header]);
    let with_scope = vocabulary::Vocabulary::get().find(&header.words);
    with_scope.iter().any(|(target, score)| {
        *score >= 1.0
            && target.list().is_none_or(|other| {
                other == list
                    || match list {
                        "Tendons" => matches!(other, "Ends" | "Points" | "Strands" | "Ducts"),
                        // What people keep in one table with them.
                        "Ends" | "Deviators" => matches!(other, "Tendons" | "Points"),
                        "Points" => matches!(other, "Tendons" | "Ends" | "Deviators"),
                        _ => false,
                    }
            })
    })
}

/// The word of a list that people mean by a text, as the `stressing` of `Live end`: nothing where it may be two, or none.
///
/// ```
/// use restrand_kit::recognise::word_of;
/// use restrand_model::schedule::End;
/// assert_eq!(word_of(End::INFO, "kind", "Live end"), Some("stressing"));
/// assert_eq!(word_of(End::INFO, "kind", "Anchorage"), None);
/// ```
#[must_use]
pub fn word_of(record: &'static RecordInfo, field: &str, text: &str) -> Option<&'static str> {
    let field = record.field(field)?;
    match field.shape {
        Shape::Choice(list) => match vocabulary::word(field, list, text) {
            vocabulary::Word::Is(word) => Some(word),
            _ => None,
        },
        _ => None,
    }
}

/// Whether a row of texts looks like headers of a schedule as people make them.
#[must_use]
pub fn are_headers<'t>(texts: impl Iterator<Item = &'t str>) -> bool {
    let mut sheet = Sheet::new("", "", restrand_model::reading::Grid::Cells);
    for (column, text) in (0..).zip(texts) {
        sheet.push(0, column, &crate::sheet::Cell::Text(text.into()), Look::default());
    }
    sheet.rows.first().is_some_and(|row| row.cells.len() >= 3 && find::is_header_like(row))
}

/// Reads sheets that are not in the schedule's own layout.
///
/// `tables` is the number of table frames so far. Gives the sheets in which no table was found.
///
/// # Errors
/// The taker wants no more.
pub fn read(
    mut sheets: Vec<Sheet>,
    mapping: &Mapping,
    tables: &mut u32,
    frames: &mut dyn Frames,
) -> Result<Vec<String>, Stopped> {
    let named = superseded::take_named(&mut sheets, mapping);
    let mut looked: Vec<Looked> = Vec::new();
    let mut shared = UnitNotes::default();
    let mut ignored = Vec::new();
    let mut struck = Vec::new();
    let legend = legend::of_all(&sheets);
    let quarters = Quarters::of(&sheets);
    let named_tendons = assign::Named::of(&sheets);
    for mut sheet in sheets {
        if mapping.of(&sheet.name).any(|table| table.ignore) {
            ignored.push(sheet.name);
            continue;
        }
        sheet.order();
        struck.extend(hidden::struck_in_part(&sheet));
        sheet.spread();
        sheet.legend.clone_from(&legend);
        sheet.quarters.clone_from(&quarters);
        sheet.named.clone_from(&named_tendons);
        let is_of_rows = |one: &&Looked| one.found.iter().any(|found| found.owner.is_none());
        let before = looked.iter().rev().find(is_of_rows);
        let parts = look::look(sheet, before, mapping);
        if parts.iter().all(|part| part.found.is_empty()) {
            // A sheet of notes speaks of all the others.
            parts.iter().for_each(|part| shared.join(&part.notes));
        }
        looked.extend(parts);
    }
    let mut said = struck;
    said.extend(footsigns::take_off(&mut looked));
    let (superseded, questions) = superseded::settle(&mut looked, named, mapping);
    for one in &mut looked {
        for found in &mut one.found {
            let mapped = mapping.of_table(&one.sheet, found);
            find::settle_rows(found, &mapped);
        }
    }
    // A file in which nothing else is of a schedule either is none.
    let has_others = !superseded.is_empty() || *tables > 0;
    if looked.iter().all(|one| one.found.is_empty()) && !has_others {
        tell_unmet(&looked, &ignored, mapping, frames)?;
        let mut names: Vec<String> = Vec::new();
        for mut one in looked {
            let mut report = report_of(&one);
            let is_told = tell_keyless(&mut one, &mut report, frames)?;
            if mapping.is_empty() && !is_told {
                report.tables.extend(headless::guess(&one.sheet));
            }
            if !report.tables.is_empty() {
                frames.take(Frame::Understood(report))?;
            }
            if !is_told && names.last() != Some(&one.sheet.name) {
                names.push(one.sheet.name);
            }
        }
        return Ok(names);
    }
    let units: Vec<_> = looked.iter().flat_map(|one| one.notes.units()).collect();
    for one in &mut looked {
        one.notes.join(&shared);
        one.notes.stand_beside(&units);
    }
    let mut sink = Sink::new(frames, *tables);
    tell_unmet(&looked, &ignored, mapping, &mut sink)?;
    for problem in said {
        sink.take(Frame::Problem(problem))?;
    }
    for question in questions {
        sink.take(Frame::Question(question))?;
    }
    read_looked(looked, &superseded, mapping, tables, &mut sink)?;
    *tables = sink.finish()?;
    Ok(Vec::new())
}

/// Says what of the mapping file fits no sheet or header, so that a slip of the pen in it shows.
fn tell_unmet(
    looked: &[Looked],
    ignored: &[String],
    mapping: &Mapping,
    frames: &mut dyn Frames,
) -> Result<(), Stopped> {
    let sheets = looked.iter().map(|one| {
        let columns = one.found.iter().flat_map(|found| &found.assignment.columns);
        (&*one.sheet.name, columns.map(|column| &*column.header.given).collect::<Vec<_>>())
    });
    let sheets: Vec<_> =
        sheets.chain(ignored.iter().map(|name| (name.as_str(), Vec::new()))).collect();
    let Some(part) = looked.first().map(|one| one.sheet.part.clone()) else { return Ok(()) };
    for (place, why) in mapping.unmet(&sheets) {
        frames.take(Frame::Problem(Problem {
            kind: ProblemKind::ValueDoubtful,
            subject: place,
            ..mapping::problem(&part, why)
        }))?;
    }
    Ok(())
}
