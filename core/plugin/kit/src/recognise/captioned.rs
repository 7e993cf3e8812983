//! Headers that say what they state only together with what stands over the table, or in its corner.

use super::assign::Candidate;
use super::header::HeaderText;
use super::scope::Scope;
use super::vocabulary::Vocabulary;
use super::words::{sorted, words};
use crate::sheet::Cell;

/// How much a word of the trade must explain of a caption.
const KNOWN: f64 = 0.9;

/// Words in the corner of a table with a column for each tendon that head what is stated of them.
///
/// Common practice, no source.
const CORNERS: [&str; 12] = [
    "item",
    "items",
    "parameter",
    "parameters",
    "property",
    "properties",
    "particulars",
    "description",
    "characteristic",
    "characteristics",
    "data",
    "details",
];

/// Below `Table 3: Room behind anchorages (mm)` columns that are called `End A` and `End B` state that room.
pub(super) fn name(columns: &mut [Candidate<'_>], caption: Option<&str>) {
    let Some(caption) = caption else { return };
    directions(columns, caption);
    let is_bare = |column: &Candidate<'_>| {
        column.header.words.is_empty()
            && column.header.scope.is_some_and(Scope::is_end)
            && column.values.iter().all(|cell| match cell {
                Cell::Number(_) => true,
                Cell::Text(text) => text.trim_start().starts_with(|c: char| c.is_ascii_digit()),
                _ => false,
            })
    };
    if columns.iter().filter(|column| is_bare(column)).count() < 2 {
        return;
    }
    let said = HeaderText::read(&[without_number(caption)]);
    let found = Vocabulary::get().find(&said.words);
    let is_of_ends =
        found.iter().any(|(target, score)| *score >= KNOWN && target.list() == Some("Ends"));
    if !is_of_ends || said.scope.is_some() {
        return;
    }
    for column in columns.iter_mut().filter(|column| is_bare(column)) {
        let header = &mut column.header;
        (header.words, header.own) = (said.words.clone(), said.words.clone());
        if header.units.is_empty() {
            header.units.clone_from(&said.units);
        }
    }
}

/// Below `Access for removal (mm)` columns that are called `Behind`, `Above` and `Left` state the clear room there.
fn directions(columns: &mut [Candidate<'_>], caption: &str) {
    /// What a caption says of clear room, in the words of the trade.
    const ROOM: [&str; 5] = ["access", "clearance", "removal", "envelope", "headroom"];
    /// What it says of other things that are measured to all sides.
    const OTHERS: [&str; 17] = [
        "hatch",
        "hatches",
        "manhole",
        "manholes",
        "opening",
        "openings",
        "door",
        "cover",
        "duct",
        "strand",
        "formwork",
        "scaffold",
        "concrete",
        "quantity",
        "quantities",
        "force",
        "zone",
    ];
    /// Directions, with how the names of room call them.
    const DIRECTIONS: [(&str, &str); 10] = [
        ("behind", "behind"),
        ("above", "above"),
        ("up", "above"),
        ("over", "above"),
        ("below", "below"),
        ("down", "below"),
        ("under", "below"),
        ("left", "left"),
        ("right", "right"),
        ("rear", "behind"),
    ];
    let said = words(caption);
    let has = |list: &[&str]| said.iter().any(|word| list.contains(&word.as_str()));
    if !has(&ROOM) || has(&OTHERS) {
        return;
    }
    let direction = |column: &Candidate<'_>| match &*column.header.words {
        [word] => DIRECTIONS.iter().find(|(name, _)| name == word).map(|(_, same)| *same),
        _ => None,
    };
    // Room that is measured at an anchorage is measured behind it.
    let is_behind = |column: &Candidate<'_>| direction(column) == Some("behind");
    if columns.iter().filter(|column| direction(column).is_some()).count() < 2
        || !columns.iter().any(is_behind)
    {
        return;
    }
    for column in columns {
        if let Some(direction) = direction(column) {
            let named = sorted(vec!["clearance".to_owned(), direction.to_owned()]);
            (column.header.words, column.header.own) = (named.clone(), named);
        }
    }
}

/// Of a table with a column for each tendon, the row that begins with `Item` has their marks.
pub(super) fn name_corner(columns: &mut [Candidate<'_>]) {
    /// Words of which the names of tendons consist.
    const OF_MARKS: [&str; 5] = ["tendon", "mark", "no", "id", "name"];
    let is_mark = |column: &Candidate<'_>| {
        let words = &column.header.words;
        words.iter().any(|word| matches!(word.as_str(), "tendon" | "mark"))
            && words.iter().all(|word| OF_MARKS.contains(&word.as_str()))
    };
    if columns.iter().any(is_mark) {
        return;
    }
    let Some(first) = columns.first_mut() else { return };
    if matches!(&*first.header.words, [word] if CORNERS.contains(&word.as_str())) {
        first.header.words = vec!["tendon".to_owned()];
        first.header.own.clone_from(&first.header.words);
    }
}

/// A caption without the number of its table.
fn without_number(caption: &str) -> &str {
    match caption.split_once(':') {
        Some((number, rest)) if number.chars().any(|c| c.is_ascii_digit()) => rest.trim(),
        _ => caption,
    }
}
