//! The name of the bridge in the headline of a sheet: a text of its own at its top, without a label.
//!
//! It is taken only where it names a structure and is none of the trade's headlines, and where no other sheet says
//! otherwise.

use restrand_model::reading::{Origin, Problem, ProblemKind, Remark, Understood};

use super::grid::GridRow;
use super::project::Title;
use super::vocabulary::target_of;
use super::{Looked, report_of};
use crate::frame::{Frame, Frames, Stopped};
use crate::sheet::Cell;

/// Words of structures, and what compounds of other tongues end with.
const STRUCTURES: [&str; 22] = [
    "bridge",
    "viaduct",
    "crossing",
    "overbridge",
    "underbridge",
    "flyover",
    "overpass",
    "underpass",
    "causeway",
    "aqueduct",
    "footbridge",
    "interchange",
    "viaduc",
    "pont",
    "ponte",
    "puente",
    "viaducto",
    "viadotto",
    "brücke",
    "bruecke",
    "bru",
    "bro",
];
/// Words of headlines that name the sheet or a part of the work, with which a word begins; and of what is done there.
const TRADE: [&str; 45] = [
    "tendon",
    "cable",
    "schedule",
    "list",
    "table",
    "summary",
    "data",
    "sheet",
    "drawing",
    "note",
    "detail",
    "external",
    "internal",
    "prestress",
    "post",
    "pt",
    "stress",
    "strand",
    "duct",
    "record",
    "card",
    "report",
    "register",
    "plan",
    "general",
    "spann",
    "vorspann",
    "extern",
    "précontrainte",
    "tableau",
    "câble",
    "calc",
    "setting",
    "geometry",
    "profile",
    "anchor",
    "deviator",
    "inspection",
    "access",
    "web",
    "replaceable",
    "typical",
    "draft",
    "preliminary",
    "type",
];
/// Words that say too little of a bridge to be its name alone.
const COMMON: [&str; 22] = [
    "the",
    "north",
    "south",
    "east",
    "west",
    "approach",
    "main",
    "new",
    "old",
    "road",
    "rail",
    "river",
    "replacement",
    "widening",
    "project",
    "contract",
    "box",
    "girder",
    "steel",
    "concrete",
    "segmental",
    "over",
];
/// Rows from the top of a sheet in which its headline stands.
const ROWS: usize = 3;
/// Letters of a headline at most.
const LETTERS: usize = 80;

/// The name of the bridge in headlines, if one is named there and no title block names one; with what is said of it.
pub(super) fn take(
    looked: &mut [Looked],
    titles: &mut Vec<(usize, Title)>,
    frames: &mut dyn Frames,
) -> Result<Option<Understood>, Stopped> {
    let Some(target) = target_of("Project", "bridge") else { return Ok(None) };
    if titles.iter().any(|(_, title)| title.target == target) {
        return Ok(None);
    }
    let found: Vec<(usize, u32, u32, String)> = looked
        .iter()
        .enumerate()
        .filter_map(|(at, one)| headline(one).map(|(row, column, name)| (at, row, column, name)))
        .collect();
    let Some((at, row, column, name)) = found.first().cloned() else { return Ok(None) };
    let one = &looked[at];
    let mut report = report_of(one);
    let plain = |name: &str| name.to_lowercase();
    let cell = super::cell_name(&one.sheet, row, column);
    if let Some((.., other)) = found.iter().find(|(.., other)| plain(other) != plain(&name)) {
        report.remarks.push(Remark {
            row: Some(row),
            what: format!(
                "{cell} may name the bridge, \"{name}\"; it is not taken, as another sheet is headed \"{other}\"."
            ),
        });
        return Ok(Some(report));
    }
    let why = format!(
        "{cell} is taken as the name of the bridge: it heads the sheet, and names a structure"
    );
    report.remarks.push(Remark { row: Some(row), what: format!("\"{name}\" in {why}.") });
    frames.take(Frame::Problem(Problem {
        kind: ProblemKind::Assumed,
        place: one.sheet.place(row, Some(column)),
        record: Origin::default(),
        subject: target.name(),
        given: Some(name.clone()),
        why,
        help: "write a label beside it, as Bridge, if it is not so".to_owned(),
    }))?;
    let whole =
        one.sheet.row(row).and_then(|row| row.text(column)).is_some_and(|text| text == name);
    if whole {
        looked[at].taken.insert((row, column));
    }
    let title = Title {
        target,
        row,
        column,
        label: "headline".to_owned(),
        labelled_at: (row, column),
        cell: Cell::Text(name.into()),
    };
    titles.push((at, title));
    Ok(Some(report))
}

/// The name of a bridge that heads a sheet, with its place.
fn headline(one: &Looked) -> Option<(u32, u32, String)> {
    if one.sheet.grid.is_turned() {
        return None;
    }
    // A headline may be the caption of the table below it too.
    let is_top = |row: &&GridRow| one.outside.contains(&row.number) || row.lone_text().is_some();
    one.sheet.rows.iter().take(ROWS).take_while(is_top).find_map(|row| {
        // Beside it a title block may stand.
        let mut own = row.own().filter(|(column, cell)| {
            !cell.cell.is_blank() && !one.taken.contains(&(row.number, *column))
        });
        let (column, _) = own.next().filter(|_| own.next().is_none())?;
        let text = row.text(column)?;
        Some((row.number, column, name(text)?.to_owned()))
    })
}

/// The part of a headline that names a bridge, up to what is of the trade.
fn name(text: &str) -> Option<&str> {
    if text.chars().count() > LETTERS {
        return None;
    }
    let mut end = text.len();
    let mut at = 0;
    for (mark, len) in breaks(text).chain([(text.len(), 0)]) {
        if is_of_trade(&text[at..mark]) {
            end = at;
            break;
        }
        at = mark + len;
    }
    let name = text[..end].trim().trim_end_matches(['-', '–', '—', ':', ',', '|', '/', '(']).trim();
    let words: Vec<String> = words(name).collect();
    let is_structure = |word: &String| {
        STRUCTURES.contains(&word.as_str()) || word.ends_with("brücke") || word.ends_with("brua")
    };
    let names = words.iter().any(|word| {
        let is_compound =
            word.ends_with("brücke") && word.chars().count() > "brücke".chars().count();
        (is_compound || !is_structure(word))
            && !COMMON.contains(&word.as_str())
            && word.chars().count() >= 3
            && word.chars().all(char::is_alphabetic)
    });
    (words.iter().any(is_structure) && names).then_some(name)
}

/// Where a headline is parted, and how long the mark is.
fn breaks(text: &str) -> impl Iterator<Item = (usize, usize)> {
    text.char_indices().filter_map(move |(at, letter)| {
        let is_spaced = text[..at].ends_with(' ');
        let is_break = matches!(letter, ':' | ',' | '|' | '(' | ';' | '\n')
            || is_spaced && matches!(letter, '-' | '–' | '—' | '/');
        is_break.then_some((at, letter.len_utf8()))
    })
}

fn is_of_trade(part: &str) -> bool {
    words(part).any(|word| {
        TRADE.iter().any(|trade| match trade.len() {
            0..=4 => word == *trade,
            _ => word.starts_with(trade),
        })
    })
}

fn words(text: &str) -> impl Iterator<Item = String> {
    text.split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_lowercase)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_headline_names_a_bridge_only_where_it_names_a_structure() {
        for (text, expected) in [
            ("Ostrand Fjord Crossing", Some("Ostrand Fjord Crossing")),
            ("Ostrand Fjord Crossing - tendons, west web", Some("Ostrand Fjord Crossing")),
            ("HALDER CREEK VIADUCT", Some("HALDER CREEK VIADUCT")),
            ("Halder Creek Viaduct, Unit 4: Tendon schedule", Some("Halder Creek Viaduct, Unit 4")),
            ("Talbrücke Erlenmoos", Some("Talbrücke Erlenmoos")),
            ("Erlenbrücke", Some("Erlenbrücke")),
            ("Viaduc de Brévalon", Some("Viaduc de Brévalon")),
            ("EXTERNAL REPLACEABLE TENDONS - TENDON SCHEDULE", None),
            ("BRIDGE TENDON DATA", None),
            ("North Approach Viaduct", None),
            ("PT-12", None),
            ("Bridge No. 14", None),
            ("Cable data sheet", None),
            ("SCHEDULE OF TENDONS, CAISSON SPAN", None),
            ("Hollow Lane", None),
        ] {
            assert_eq!(name(text), expected, "{text}");
        }
    }
}
