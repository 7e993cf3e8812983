//! Sheets and tables that their author says no longer hold, by name, and hidden ones that repeat what is shown.
//!
//! Nothing is taken from them, which is said with its reason; their rows are kept as further values.

use std::collections::{BTreeMap, BTreeSet};

use restrand_model::reading::{Origin, Place, Problem, ProblemKind, Question, Remark, Understood};

use super::find::Found;
use super::further::cell_name;
use super::grid::Sheet;
use super::table::shown;
use super::{Looked, Mapping, look};
use crate::frame::{Frame, Frames, Stopped};

/// Words that say of a sheet that it no longer holds: common practice, no source.
const OUT_OF_FORCE: [&str; 18] = [
    "superseded",
    "obsolete",
    "outdated",
    "withdrawn",
    "überholt",
    "überholte",
    "ungültig",
    "ungültige",
    "veraltet",
    "annulé",
    "annulée",
    "annulés",
    "annulées",
    "périmé",
    "périmée",
    "obsolète",
    "superato",
    "annullato",
];
/// Words that say so alone, and beside what they can only mean so: `Old schedule`. Beside anything else they name a
/// bridge, or a room in it: `Brücke alt`, `Tendons in box void`.
const FORMER: [&str; 15] = [
    VOID,
    "old",
    "former",
    "previous",
    "alt",
    "alte",
    "alter",
    "altes",
    "vorherige",
    "vorheriger",
    "ancien",
    "ancienne",
    "anciens",
    "anciennes",
    "précédent",
];
/// What makes a schedule void, and a room in a box or a slab.
const VOID: &str = "void";
/// The tendons of a schedule that is called so as a whole.
const TENDONS: [&str; 6] = ["tendon", "tendons", "spannglieder", "kabel", "câbles", "cables"];
/// What can be out of force without any tendon being so: common practice, no source.
const ISSUES: [&str; 14] = [
    "schedule",
    "values",
    "register",
    "list",
    "liste",
    "data",
    "sheet",
    "table",
    "tabelle",
    "tableau",
    "issues",
    "werte",
    "valeurs",
    "revisions",
];
/// Words that name an issue, with its number or letter behind them.
const REVISIONS: [&str; 9] =
    ["rev", "revision", "révision", "index", "indice", "issue", "version", "stand", "ausgabe"];

/// What gives way, and why.
pub(super) struct Superseded {
    /// The sheet as it stands, or the part of it that gives way.
    sheet: Sheet,
    /// The numbers of its rows that give way; all where there are none.
    rows: BTreeSet<u32>,
    /// Why, as a clause.
    why: String,
    /// What it is called.
    what: &'static str,
}

impl Superseded {
    pub(super) const fn sheet(&self) -> &Sheet {
        &self.sheet
    }
}

/// Whether the name of a sheet or a caption says that what it names no longer holds.
pub(super) fn says_so(text: &str) -> bool {
    let lower = text.trim().to_lowercase();
    let mut parts = lower.split(['-', '–', '—', ':', ';', ',', '(', ')', '[', ']', '|', '/', '_']);
    // Behind a part of the bridge it is a room: `Cell-void`.
    let first = parts.next().is_some_and(is_so);
    first || parts.any(|part| part.trim() != VOID && is_so(part)) || lower.contains("(void)")
}

/// Whether a part of a name says so.
fn is_so(part: &str) -> bool {
    /// They may be listed as superseded in a schedule that holds.
    const DOCUMENTS: [&str; 8] =
        ["drawing", "drawings", "dwg", "dwgs", "document", "documents", "plan", "pläne"];
    /// Beside these a word for what is former tells two things apart, or the sentence speaks of other sheets.
    const OTHERS: [&str; 12] = [
        "new", "neu", "neue", "nouveau", "not", "nicht", "non", "all", "alle", "earlier", "and",
        "und",
    ];
    /// Words of a name at most.
    const MOST: usize = 6;
    let is_bare = |word: &&str| {
        word.chars().count() == 1 || word.starts_with(|letter: char| letter.is_ascii_digit())
    };
    let mut words: Vec<&str> = part
        .split_whitespace()
        .map(|word| word.trim_matches(|letter: char| !letter.is_alphanumeric()))
        .filter(|word| !word.is_empty())
        .collect();
    let is_of_issue = words.first().is_some_and(|first| REVISIONS.contains(first));
    let mut names_issue = false;
    let mut is_counted = false;
    while let Some(word) = words.last() {
        let is_issue = REVISIONS.contains(word);
        if !is_issue && !is_bare(word) {
            break;
        }
        names_issue |= is_issue;
        is_counted = true;
        words.pop();
    }
    let (Some(first), Some(last)) = (words.first(), words.last()) else { return false };
    if words.len() > MOST || is_of_issue || words.iter().any(|word| OTHERS.contains(word)) {
        return false;
    }
    let second = words.get(1);
    if OUT_OF_FORCE.contains(first) {
        return second.is_none_or(|second| !DOCUMENTS.contains(second));
    }
    if OUT_OF_FORCE.contains(last) {
        return true;
    }
    // `Alt 2` is an alternative, and `Void A` a room.
    let is_one_of_several =
        |word: &str| (word == "alt" || word == VOID) && is_counted && !names_issue;
    let is_issue = |word: &str| ISSUES.contains(&word) || REVISIONS.contains(&word);
    match *words.as_slice() {
        [only] => FORMER.contains(&only) && !is_one_of_several(only),
        [.., before, last] if FORMER.contains(&last) => {
            !is_one_of_several(last)
                && (is_issue(before) || last != VOID && TENDONS.contains(&before))
        }
        [first, second, ..] => FORMER.contains(&first) && first != "alt" && is_issue(second),
        [] => false,
    }
}

/// Takes out the sheets whose names say that they no longer hold, unless a mapping speaks of them.
pub(super) fn take_named(sheets: &mut Vec<Sheet>, mapping: &Mapping) -> Vec<Sheet> {
    let (named, held) = std::mem::take(sheets)
        .into_iter()
        .partition(|sheet| says_so(&sheet.name) && !mapping.names(&sheet.name));
    *sheets = held;
    named
}

/// What gives way of sheets that have been looked at, which is taken out of them, and of those that were named so.
///
/// Where no other sheet has tendons, those named so are asked.
pub(super) fn settle(
    looked: &mut Vec<Looked>,
    named: Vec<Sheet>,
    mapping: &Mapping,
) -> (Vec<Superseded>, Vec<Question>) {
    let mut superseded = repeated(looked, mapping);
    for one in looked.iter_mut().filter(|one| !mapping.names(&one.sheet.name)) {
        superseded.extend(captioned(one));
    }
    let have_tendons = looked.iter().any(has_tendons);
    let mut questions = Vec::new();
    for mut sheet in named {
        sheet.order();
        sheet.spread();
        if !have_tendons && look::look(sheet.clone(), None, mapping).iter().any(has_tendons) {
            questions.push(question(&sheet));
        }
        let why = "its name says that it no longer holds".to_owned();
        superseded.push(Superseded { sheet, rows: BTreeSet::new(), why, what: "sheet" });
    }
    (superseded, questions)
}

/// Whether a table of a sheet states what tendons have.
fn has_tendons(one: &Looked) -> bool {
    let lists = ["Tendons", "Ends", "Points"];
    one.found.iter().any(|found| lists.contains(&found.assignment.list))
}

/// What a table states of which tendons.
struct States {
    list: &'static str,
    fields: BTreeSet<String>,
    marks: BTreeSet<String>,
}

/// The hidden sheets that repeat marks and fields of a shown table of the same kind, taken out of the others.
fn repeated(looked: &mut Vec<Looked>, mapping: &Mapping) -> Vec<Superseded> {
    let states = |one: &Looked| -> Vec<States> {
        one.found.iter().filter_map(|found| states(&one.sheet, found)).collect()
    };
    let shown: Vec<(String, Vec<States>)> = looked
        .iter()
        .filter(|one| !one.sheet.hidden)
        .map(|one| (one.sheet.name.clone(), states(one)))
        .collect();
    let mut why: BTreeMap<(String, String), String> = BTreeMap::new();
    for one in looked.iter().filter(|one| one.sheet.hidden && !mapping.names(&one.sheet.name)) {
        let repeats = |other: &[States]| {
            states(one).iter().any(|own| other.iter().any(|other| own.repeats(other)))
        };
        if let Some((name, _)) = shown.iter().find(|(_, other)| repeats(other)) {
            let key = (one.sheet.part.clone(), one.sheet.name.clone());
            why.insert(
                key,
                format!("it is hidden, and repeats tendons of \"{name}\", which is shown"),
            );
        }
    }
    let mut superseded = Vec::new();
    for one in std::mem::take(looked) {
        match why.get(&(one.sheet.part.clone(), one.sheet.name.clone())) {
            Some(why) => superseded.push(Superseded {
                sheet: one.sheet,
                rows: BTreeSet::new(),
                why: why.clone(),
                what: "sheet",
            }),
            None => looked.push(one),
        }
    }
    superseded
}

impl States {
    /// Whether all of its tendons stand in the other with all of its fields, so that nothing is lost with it.
    fn repeats(&self, other: &Self) -> bool {
        self.list == other.list
            && self.marks.is_subset(&other.marks)
            && self.fields.is_subset(&other.fields)
    }
}

/// What a table states, if it names its tendons.
fn states(sheet: &Sheet, found: &Found) -> Option<States> {
    let columns = &found.assignment.columns;
    let named =
        |column: &super::assign::Assigned| column.target.map(super::vocabulary::Target::name);
    let mark = columns.iter().find(|one| named(one).as_deref() == Some("tendon.mark"))?;
    let rows = &sheet.rows[found.body.clone()];
    let marks: BTreeSet<String> = rows
        .iter()
        .filter_map(|row| row.cells.get(&mark.index))
        .filter(|cell| !cell.cell.is_blank())
        .map(|cell| cell.cell.name().trim().to_lowercase())
        .collect();
    let of_value = columns.iter().filter(|one| one.index != mark.index);
    let fields = of_value.filter_map(named).collect();
    (!marks.is_empty()).then_some(States { list: found.assignment.list, fields, marks })
}

/// The tables of a sheet whose captions say that they no longer hold, taken out of it.
fn captioned(one: &mut Looked) -> Vec<Superseded> {
    let mut superseded = Vec::new();
    let found = std::mem::take(&mut one.found);
    for table in found {
        let caption = table.caption.as_deref().filter(|caption| says_so(caption));
        let Some(caption) = caption else {
            one.found.push(table);
            continue;
        };
        let rows = &one.sheet.rows[table.headers.start..table.body.end];
        let why = format!("\"{caption}\" above it says that it no longer holds");
        let rows = rows.iter().map(|row| row.number).collect();
        superseded.push(Superseded { sheet: one.sheet.clone(), rows, why, what: "table" });
    }
    superseded
}

/// Says what gave way, and keeps its rows.
pub(super) fn tell(
    superseded: &[Superseded],
    further: &mut Vec<(String, String)>,
    frames: &mut dyn Frames,
) -> Result<Vec<Understood>, Stopped> {
    let mut reports: Vec<Understood> = Vec::new();
    for Superseded { sheet, rows, why, what } in superseded {
        let is_so = |number: &u32| rows.is_empty() || rows.contains(number);
        let kept = sheet.rows.iter().filter(|row| is_so(&row.number));
        further.extend(kept.map(|row| (cell_name(sheet, row.number, 0), shown(row))));
        let (part, name) = (sheet.part.clone(), sheet.name.clone());
        let row = rows.first().copied();
        let place = match row {
            Some(row) => sheet.place(row, None),
            None => Place::Sheet { part: part.clone(), sheet: name.clone() },
        };
        frames.take(Frame::Problem(Problem {
            kind: ProblemKind::Assumed,
            place,
            record: Origin::default(),
            subject: match row {
                Some(row) => format!("{name}, row {}", u64::from(row) + 1),
                None => name.clone(),
            },
            given: None,
            why: format!("gives way, as {why}: nothing is taken from the {what}"),
            help: HELP.to_owned(),
        }))?;
        reports.push(Understood {
            part,
            sheet: name,
            tables: Vec::new(),
            remarks: vec![Remark {
                row,
                what: format!(
                    "Nothing is taken from the {what}, as {why}; its rows are kept as further values."
                ),
            }],
            exchanged: Vec::new(),
        });
    }
    Ok(reports)
}

const HELP: &str = "take it out of the file, or, if it holds, show it under a name that does not say otherwise, or let \
                    a mapping file say what it is";

/// Asks whether the only sheet with tendons holds.
fn question(sheet: &Sheet) -> Question {
    let readings =
        ["it holds, whatever its name says", "it no longer holds, and the file has no tendons"];
    Question {
        place: Place::Sheet { part: sheet.part.clone(), sheet: sheet.name.clone() },
        records: Vec::new(),
        subject: "sheet".to_owned(),
        header: sheet.name.clone(),
        given: sheet.name.clone(),
        readings: readings.map(str::to_owned).to_vec(),
        why: "its name says that it no longer holds, and no other sheet has tendons".to_owned(),
        help: HELP.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::says_so;

    #[test]
    fn names_say_what_no_longer_holds() {
        for text in [
            "Superseded Rev 1",
            "SUPERSEDED",
            "Tendons (old)",
            "Tendons_old",
            "Old",
            "old 2",
            "Old schedule",
            "previous revision",
            "Previous Rev. B",
            "VOID - tendons",
            "Spannglieder alt",
            "alt Index a",
            "Überholt",
            "Spannglieder (ungültig)",
            "Câbles - annulé",
            "ancien",
            "Tendons Rev 1 superseded",
            "Table 2: Superseded values",
            "Schedule (void)",
        ] {
            assert!(says_so(text), "{text}");
        }
        for text in [
            "Tendons",
            "Old Mill Bridge",
            "Alt 2",
            "Alternative",
            "Rev C (Rev B superseded)",
            "Superseded drawings: 12, 13",
            "Old and new",
            "Voids",
            "Old marks",
            "Not superseded",
            "All earlier issues are void",
            "Tendons in void",
            "Tendons (box void)",
            "Cell-void",
            "Void A",
            "Void 2 box",
            "Voided slab tendons",
            "Brücke alt",
            "Left old",
        ] {
            assert!(!says_so(text), "{text}");
        }
    }
}
