//! Kinds of strand and duct, with what notes state of them: which kind a note means, and what it adds to it.
//!
//! A table goes before a note. Where there are several kinds, a note is of the one whose name or size it states, or of
//! none.

use restrand_model::reading::{
    Apart, Column as ReadColumn, Origin, Problem, ProblemKind, Table, Understood,
};
use restrand_model::value::{Fields, Value};

use super::said::{problem, remark};
use super::stated::{Given, Note, agree};
use crate::frame::{At, RecordFrame};
use crate::sheet::read::put;

/// Two diameters of strand that differ by less are the same.
const SAME_MM: f64 = 0.06;

/// A sort of kinds that tendons name.
pub(super) struct Sort {
    /// The layout's sheet.
    pub(super) list: &'static str,
    /// The field of a tendon that names one.
    pub(super) link: &'static str,
    /// What it is called.
    called: &'static str,
    /// The size by which two of them differ.
    size: &'static str,
}

/// The sorts of kinds.
pub(super) const SORTS: [Sort; 2] = [
    Sort { list: "Strands", link: "strand", called: "strand", size: "diameter_mm" },
    Sort { list: "Ducts", link: "duct", called: "duct", size: "outer_mm" },
];

/// A kind that the tables of a file state or name.
struct Kind {
    id: String,
    /// Its record among those handed over, or nothing where tendons name it alone.
    record: Option<usize>,
}

/// What the notes of a file add to its kinds of one sort.
pub(super) struct Settled {
    /// Tables of kinds that stand in notes alone.
    pub(super) tables: Vec<Table>,
    /// The kinds.
    pub(super) records: Vec<RecordFrame>,
    pub(super) problems: Vec<Problem>,
    /// What is said of each note, by its part and sheet.
    pub(super) remarks: Vec<Understood>,
    /// The kind that tendons have that name none, as notes state one and tables do not.
    pub(super) of_all: Option<String>,
}

/// Adds what notes state to kinds; `records` are those that tables state, `names` those that tendons name, and `tables`
/// all tables until now.
pub(super) fn settle(
    sort: &Sort,
    records: Vec<RecordFrame>,
    names: &[Box<str>],
    notes: &[Note],
    tables: &[Table],
) -> Settled {
    let mut kinds: Vec<Kind> = records
        .iter()
        .enumerate()
        .filter_map(|(at, record)| {
            let id = record.fields.get("id")?.as_text()?.to_owned();
            Some(Kind { id, record: Some(at) })
        })
        .collect();
    for name in names {
        if !kinds.iter().any(|kind| kind.id == **name) {
            kinds.push(Kind { id: name.to_string(), record: None });
        }
    }
    let mut settled = Settled {
        tables: Vec::new(),
        records,
        problems: Vec::new(),
        remarks: Vec::new(),
        of_all: None,
    };
    let sizes = Sizes { has_kinds: !kinds.is_empty(), differ: differ(sort, notes) };
    // Notes that state a size go before those that do not.
    let mut groups = groups(sort, notes);
    groups.sort_by_key(|notes| notes.iter().all(|note| size_in(sort, note).is_none()));
    for notes in groups {
        settle_group(sort, &mut kinds, &notes, sizes, &mut settled, tables);
    }
    settled
}

/// The notes that state something of a sort: the rows of a list together, all others by themselves.
fn groups<'n>(sort: &Sort, notes: &'n [Note]) -> Vec<Vec<&'n Note>> {
    let mut groups: Vec<Vec<&Note>> = Vec::new();
    let of = |note: &Note| (note.part.clone(), note.sheet.clone(), note.list);
    for note in notes.iter().filter(|note| note.given.iter().any(|one| one.list == sort.list)) {
        match groups.last_mut() {
            Some(group) if note.list.is_some() && of(group[0]) == of(note) => group.push(note),
            _ => groups.push(vec![note]),
        }
    }
    groups
}

/// Adds what notes that speak of one kind state to it.
fn settle_group(
    sort: &Sort,
    kinds: &mut Vec<Kind>,
    notes: &[&Note],
    sizes: Sizes,
    settled: &mut Settled,
    tables: &[Table],
) {
    let of_sort = |note: &Note| -> Vec<Given> {
        note.given.iter().filter(|given| given.list == sort.list).cloned().collect()
    };
    let all: Vec<Given> = notes.iter().flat_map(|note| of_sort(note)).collect();
    let all: Vec<&Given> = all.iter().collect();
    let meant = meant(sort, kinds, &settled.records, notes[0], &all, sizes);
    let (which, whose): (Vec<usize>, String) = match meant {
        Meant::All => ((0..kinds.len()).collect(), format!("all {}s", sort.called)),
        Meant::One(at) => (vec![at], format!("the {} \"{}\"", sort.called, kinds[at].id)),
        Meant::New(id) => {
            kinds.push(Kind { id: id.clone(), record: None });
            let whose = format!("the {} \"{id}\" of all tendons", sort.called);
            settled.of_all = Some(id);
            (vec![kinds.len() - 1], whose)
        }
        Meant::None(why) => {
            for note in notes {
                left(sort, note, &of_sort(note).iter().collect::<Vec<_>>(), &why, settled);
            }
            return;
        }
    };
    for note in notes {
        let given = of_sort(note);
        let given: Vec<&Given> = given.iter().collect();
        let mut said = Vec::new();
        for at in &which {
            for one in add(sort, kinds, *at, note, &given, settled, tables) {
                if !said.contains(&one) {
                    said.push(one);
                }
            }
        }
        settled.tell_taken(note, &whose, &said);
    }
}

/// What is known of sizes before any note is settled.
#[derive(Clone, Copy)]
struct Sizes {
    /// Whether tables state or name any kind.
    has_kinds: bool,
    /// Whether notes state several sizes.
    differ: bool,
}

/// Whether notes state several sizes.
fn differ(sort: &Sort, notes: &[Note]) -> bool {
    let sizes: Vec<f64> = notes.iter().filter_map(|note| size_in(sort, note)).collect();
    sizes.windows(2).any(|pair| !is_same_size(sort, pair[0], pair[1]))
}

/// The size that a note states.
fn size_in(sort: &Sort, note: &Note) -> Option<f64> {
    let of_size = |given: &&Given| given.list == sort.list && given.path == [sort.size];
    note.given.iter().find(of_size)?.value.as_number()
}

/// Which kinds a note means.
enum Meant {
    One(usize),
    /// Every one: what it states is no matter of size.
    All,
    /// One that no table states.
    New(String),
    /// None, for this reason.
    None(String),
}

fn meant(
    sort: &Sort,
    kinds: &[Kind],
    records: &[RecordFrame],
    note: &Note,
    given: &[&Given],
    sizes: Sizes,
) -> Meant {
    if let Some(name) = &note.subject
        && let Some(at) = kinds.iter().position(|kind| kind.id.eq_ignore_ascii_case(name))
    {
        return Meant::One(at);
    }
    if sizes.differ && !sizes.has_kinds {
        return Meant::None(format!("notes state several sizes of {}", sort.called));
    }
    let of_size = |given: &&&Given| given.path == [sort.size];
    let size = given.iter().find(of_size).and_then(|given| given.value.as_number());
    // What ducts are made of is no matter of their size.
    let is_plain = given.iter().all(|given| matches!(given.path, ["material" | "dimension_ratio"]));
    if sort.list == "Ducts" && is_plain && sizes.has_kinds {
        return Meant::All;
    }
    let size_of = |kind: &Kind| {
        let stated = kind.record.and_then(|at| records[at].fields.get(sort.size)?.as_number());
        stated.or_else(|| size_of_name(sort, &kind.id))
    };
    let fits: Vec<usize> = (0..kinds.len())
        .filter(|at| match (size, size_of(&kinds[*at])) {
            (Some(size), Some(own)) => is_same_size(sort, size, own),
            _ => true,
        })
        .collect();
    match (kinds.len(), fits.as_slice()) {
        (0, _) => match new_name(sort, given, size) {
            Some(id) => Meant::New(id),
            None => Meant::None(format!("it states no size of {}", sort.called)),
        },
        (_, [at]) if kinds.len() == 1 || size.is_some() && size_of(&kinds[*at]).is_some() => {
            Meant::One(*at)
        }
        (_, []) => Meant::None(format!("no {} that the tables state is of its size", sort.called)),
        _ => Meant::None(format!(
            "there are {} kinds of {}, and nothing tells which it means",
            kinds.len(),
            sort.called
        )),
    }
}

fn is_same_size(sort: &Sort, one: f64, other: f64) -> bool {
    // 15.2 and 15.24 mm are one strand, as are 15.2 and 15.3 mm in the tables of standards.
    let same = if sort.list == "Strands" { SAME_MM * 2.0 } else { SAME_MM };
    (one - other).abs() < same
}

/// The size that the name of a kind tells, as 15.7 of `15.7 ST`.
fn size_of_name(sort: &Sort, name: &str) -> Option<f64> {
    const SIZES_MM: std::ops::RangeInclusive<f64> = 12.0..=18.5;
    if sort.list != "Strands" {
        return None;
    }
    name.split(|c: char| !c.is_ascii_digit() && c != '.')
        .filter(|number| number.contains('.'))
        .find_map(|number| number.parse().ok().filter(|size| SIZES_MM.contains(size)))
}

/// The name of a kind that notes alone state.
fn new_name(sort: &Sort, given: &[&Given], size: Option<f64>) -> Option<String> {
    let shown =
        |path: &str| given.iter().find(|given| given.path == [path]).map(|given| &given.shown);
    let named = match sort.list {
        "Strands" => shown("grade").filter(|name| name.contains('-')),
        _ => shown("outer_mm"),
    };
    size.and(named.or_else(|| shown(sort.size)).cloned())
}

/// Adds what a note states to a kind, where its table does not state it; gives what was added.
fn add(
    sort: &Sort,
    kinds: &mut [Kind],
    at: usize,
    note: &Note,
    given: &[&Given],
    settled: &mut Settled,
    tables: &[Table],
) -> Vec<String> {
    let record = match kinds[at].record {
        Some(record) => record,
        None => {
            let mut fields = Fields::new();
            put(&mut fields, &["id"], Value::Text(kinds[at].id.as_str().into()));
            settled.records.push(RecordFrame {
                table: u32::try_from(tables.len() + settled.tables.len()).unwrap_or(u32::MAX),
                at: At::Row(note.row),
                links: Vec::new(),
                fields,
                texts: Vec::new(),
                apart: Vec::new(),
            });
            settled.tables.push(Table {
                part: note.part.clone(),
                sheet: Some(note.sheet.clone()),
                grid: note.grid,
                list: sort.list.to_owned(),
                header_row: note.row,
                columns: Vec::new(),
            });
            kinds[at].record = Some(settled.records.len() - 1);
            settled.records.len() - 1
        }
    };
    let own = &mut settled.records[record];
    let number = usize::try_from(own.table).unwrap_or(usize::MAX);
    let mut said = Vec::new();
    for given in given {
        match own.fields.get(given.path[0]) {
            Some(value) if agree(value, &given.value) => {}
            Some(value) => settled.problems.push(Problem {
                kind: ProblemKind::ValueDoubtful,
                place: note.place.clone(),
                record: Origin::default(),
                subject: given.name(),
                given: Some(given.shown.clone()),
                why: format!(
                    "the note in {} says so, but {value} of the {} \"{}\" is stated before it, and is taken",
                    note.cell, sort.called, kinds[at].id
                ),
                help: "write the same in both places".to_owned(),
            }),
            None => {
                put(&mut own.fields, given.path, given.value.clone());
                said.push(format!("{} {}", plain_name(given.path[0]), given.shown));
                let new = number.checked_sub(tables.len()).and_then(|at| settled.tables.get_mut(at));
                let table = match new {
                    Some(table) => {
                        table.columns.push(ReadColumn {
                            index: note.column,
                            header: note.text.as_str().into(),
                            path: given.path.to_vec(),
                            unit: None,
                            link: false,
                        });
                        Some(&*table)
                    }
                    None => tables.get(number),
                };
                let is_beside = table.is_some_and(|table| {
                    table.part == note.part
                        && table.sheet.as_ref() == Some(&note.sheet)
                        && table.grid == note.grid
                });
                if is_beside && own.at != At::Row(note.row) {
                    let way = given.path.iter().map(|step| (*step).to_owned()).collect();
                    own.apart.push(Apart { way, at: At::Row(note.row) });
                }
            }
        }
    }
    said
}

fn left(sort: &Sort, note: &Note, given: &[&Given], why: &str, settled: &mut Settled) {
    let said: Vec<String> = given
        .iter()
        .map(|given| format!("{} {}", plain_name(given.path[0]), given.shown))
        .collect();
    let why =
        format!("states of the {}: {}; it is not taken, as {why}", sort.called, said.join(", "));
    settled.tell(note, &why, false);
}

impl Settled {
    /// Says what was taken from a note, and for which kinds.
    fn tell_taken(&mut self, note: &Note, whose: &str, said: &[String]) {
        if !said.is_empty() {
            let said = said.join(", ");
            self.tell(
                note,
                &format!("states of {whose}: {said}; it is taken, as no table states it"),
                true,
            );
        }
    }

    /// Says what was taken from a note, or why nothing was.
    fn tell(&mut self, note: &Note, why: &str, is_taken: bool) {
        self.remarks.push(remark(note, why));
        self.problems.push(problem(note, why, is_taken));
    }
}

/// The name of a field as people read it, without its unit.
fn plain_name(field: &str) -> String {
    restrand_model::quantity::of_field(field).0.replace('_', " ")
}
