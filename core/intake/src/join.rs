//! Puts rows that belong to another record where they belong.

use std::collections::{HashMap, VecDeque};

use foldhash::fast::RandomState;
use restrand_model::Record;
use restrand_model::near::{Near, short_list};
use restrand_model::quantity::of_field;
use restrand_model::reading::{Origin, Place, Problem, ProblemKind};
use restrand_model::reflect::{Node, Shape, View};
use restrand_model::sheet::{Hop, Into, Sheet, Target, plain};

use crate::build::Pending;
use crate::{LostRecord, Reading};

/// The positions of the records of the schedule's lists, by list and key.
#[derive(Default)]
struct Index(HashMap<&'static str, Keys, RandomState>);

#[derive(Default)]
struct Keys {
    /// How many records of the list are in it.
    count: usize,
    positions: HashMap<Box<str>, usize, RandomState>,
}

impl Index {
    /// Takes in the records that came since.
    fn extend(&mut self, root: &dyn Record) {
        for field in root.info().fields {
            let View::List(list) = root.get(field.name) else {
                continue;
            };
            let keys = self.0.entry(field.name).or_default();
            for position in keys.count..list.len() {
                if let View::Record(record) = list.item(position)
                    && let Some(key) = record.key()
                {
                    // Of two records of one name the first takes the rows; the name is reported.
                    keys.positions.entry(key.into()).or_insert(position);
                }
            }
            keys.count = list.len();
        }
    }
}

/// The link columns of a sheet, found once for all its rows.
struct Links {
    sheet: &'static Sheet,
    /// The headers, in the order of a row's links.
    headers: Vec<&'static str>,
    /// Those of each target, in the order of the targets.
    of_targets: Vec<Vec<&'static str>>,
    /// Those that name a field, by their positions among the headers, with the fields.
    slots: Vec<(usize, &'static [&'static str])>,
}

impl Links {
    fn of(sheet: &'static Sheet) -> Self {
        let headers = sheet.links();
        let slots = sheet.targets.iter().flat_map(|target| {
            let hops = target.owner.iter().filter_map(|hop| match hop {
                Hop::Slot { link, fields } => Some((*link, *fields)),
                Hop::Item { .. } | Hop::Field(_) => None,
            });
            hops.chain(match target.into {
                Into::Slot { link, fields } => Some((link, fields)),
                Into::List(_) | Into::Field(_) => None,
            })
        });
        let position = |link| headers.iter().position(|header| *header == link);
        let slots = slots.filter_map(|(link, fields)| Some((position(link)?, fields))).collect();
        let of_targets = sheet.targets.iter().map(Target::links).collect();
        Self { sheet, of_targets, slots, headers }
    }
}

/// Why a row found no place.
enum Homeless {
    /// It names no owner: these link columns are empty.
    NoName(Vec<&'static str>),
    /// It names an owner that is not there.
    NoOwner { link: &'static str, name: String, near: Option<String>, names: Option<String> },
    /// It names two owners that exclude each other: this link column is filled beside these.
    TwoOwners { beside: &'static str, taken: Vec<&'static str> },
    /// Its place is taken by a row before it, which differs from it in these fields.
    Taken { by: Origin, differs: Vec<String> },
    /// The schedule has no place for such a record.
    Nowhere,
}

/// Rows that are joined at a time.
const MANY: usize = 128;

/// The rows that wait for the records to which they belong, in the order in which they came.
#[derive(Default)]
pub(crate) struct Joining {
    waiting: VecDeque<Pending>,
    index: Index,
    names: Near,
    of_sheet: Option<Links>,
    /// Whether the first row found no place yet.
    is_stuck: bool,
}

impl Joining {
    /// Lets a row wait; where many do, they are joined up to the first whose record has not come, while others are
    /// read: a row is never joined before one that came earlier.
    pub(crate) fn add(&mut self, reading: &mut Reading, row: Pending) {
        self.waiting.push_back(row);
        if self.is_stuck || self.waiting.len() < MANY {
            return;
        }
        self.index.extend(&reading.schedule);
        while let Some(row) = self.waiting.pop_front() {
            if let Some((_, row)) = self.place(reading, row) {
                self.waiting.push_front(row);
                self.is_stuck = true;
                break;
            }
        }
    }

    /// Joins all rows that are left; gives the problems of those that found no place.
    pub(crate) fn join(mut self, reading: &mut Reading) -> Vec<Problem> {
        self.index.extend(&reading.schedule);
        let mut problems = Vec::new();
        while let Some(row) = self.waiting.pop_front() {
            if let Some((homeless, row)) = self.place(reading, row) {
                let Pending { sheet, links, record } = row;
                let headers = &links_of(&mut self.of_sheet, sheet).headers;
                problems.push(problem(reading, record.origin(), sheet, &links, homeless));
                let named = headers.iter().copied().zip(links);
                let links = named.filter_map(|(link, name)| Some((link, name?))).collect();
                reading.lost.push(LostRecord { record: record.into(), links });
            }
        }
        problems
    }

    /// Gives a row its place; gives it back where there is none.
    fn place(&mut self, reading: &mut Reading, row: Pending) -> Option<(Homeless, Pending)> {
        let Pending { sheet, links, record } = row;
        let origin = record.origin();
        let Self { index, names, of_sheet, .. } = self;
        let of_sheet = links_of(of_sheet, sheet);
        let slot = match slot_of(&mut reading.schedule, index, names, of_sheet, &links) {
            Ok(slot) => slot,
            Err(homeless) => return Some((homeless, Pending { sheet, links, record })),
        };
        if let Err(record) = slot.adopt(record) {
            return Some((taken(&*slot, &*record), Pending { sheet, links, record }));
        }
        keep_slots(reading, origin, of_sheet, &links);
        None
    }
}

/// The links of a sheet; its rows come one after another, so that those of the last one are known.
fn links_of<'k>(known: &'k mut Option<Links>, sheet: &'static Sheet) -> &'k Links {
    if known.as_ref().is_some_and(|known| !std::ptr::eq(known.sheet, sheet)) {
        *known = None;
    }
    known.get_or_insert_with(|| Links::of(sheet))
}

/// Why a place is taken: what the record in it says otherwise.
fn taken(slot: &dyn Node, record: &dyn Record) -> Homeless {
    let View::Record(first) = slot.view() else {
        return Homeless::Nowhere;
    };
    let fields = record.info().fields.iter().enumerate();
    let differs = fields
        // What belongs to the first by rows of its own is none of its row's values.
        .filter(|(_, field)| !matches!(field.shape, Shape::Records(_)))
        .filter(|(at, _)| first.field(*at).view().to_value() != record.field(*at).view().to_value())
        .map(|(_, field)| of_field(field.name).0.replace('_', " "))
        .collect();
    Homeless::Taken { by: first.origin(), differs }
}

/// The problem of a row that found no place.
fn problem(
    reading: &Reading,
    origin: Origin,
    sheet: &'static Sheet,
    links: &[Option<Box<str>>],
    homeless: Homeless,
) -> Problem {
    let located = |link: Option<&str>| locate(reading, origin, link);
    let all = || links.iter().flatten().map(|name| &**name).collect::<Vec<_>>().join(" ");
    let subject = sheet.record.name.to_owned();
    match homeless {
        Homeless::NoName(missing) => Problem {
            kind: ProblemKind::RecordLost,
            place: located(missing.first().copied()),
            record: origin,
            subject,
            given: None,
            why: format!(
                "the row does not say to what it belongs: {} is empty",
                missing.join(" and ")
            ),
            help: format!("fill {}; nothing of the row is checked", missing.join(" and ")),
        },
        Homeless::NoOwner { link, name, near, names } => Problem {
            kind: ProblemKind::OwnerMissing,
            place: located(Some(link)),
            record: origin,
            subject,
            given: Some(name.clone()),
            why: format!("the schedule has no {} called \"{name}\"", link.to_lowercase()),
            help: match (near, names) {
                (Some(near), _) => {
                    format!("did you mean \"{near}\"? Nothing of the row is checked")
                }
                (None, Some(names)) => format!(
                    "correct the name, or add the record; there are: {names}; nothing of the row is checked"
                ),
                (None, None) => {
                    "correct the name, or add the record; nothing of the row is checked".to_owned()
                }
            },
        },
        Homeless::TwoOwners { beside, taken } => Problem {
            kind: ProblemKind::RecordLost,
            place: located(Some(beside)),
            record: origin,
            subject,
            given: Some(all()),
            why: format!(
                "the row says twice to what it belongs: {} and {beside} are filled",
                taken.join(" and ")
            ),
            help: "empty one of them, or write two rows; nothing of the row is checked".to_owned(),
        },
        Homeless::Taken { by, differs } => Problem {
            kind: ProblemKind::RecordLost,
            place: located(None),
            record: origin,
            subject,
            given: Some(all()),
            why: {
                let first = row_of(reading, by).unwrap_or_else(|| "another row".to_owned());
                match &*differs {
                    [] => format!("{first} says the same of it already"),
                    differs => {
                        format!("{first} states it already, and differs in {}", differs.join(", "))
                    }
                }
            },
            help: "keep the one of the two rows that holds; this one is not checked".to_owned(),
        },
        Homeless::Nowhere => Problem {
            kind: ProblemKind::RecordLost,
            place: located(None),
            record: origin,
            subject,
            given: Some(all()),
            why: "the schedule has no place for it".to_owned(),
            help: "state it in another sheet; nothing of the row is checked".to_owned(),
        },
    }
}

/// How people call the row of a record.
pub(crate) fn row_of(reading: &Reading, record: Origin) -> Option<String> {
    match reading.provenance.place(record, &[])? {
        Place::Cell { row, .. } => Some(format!("row {}", u64::from(row) + 1)),
        Place::Line { line, .. } => Some(format!("line {}", u64::from(line) + 1)),
        _ => None,
    }
}

/// Keeps the texts of links that name a field in another spelling than its own, as `A` for `a`.
fn keep_slots(reading: &mut Reading, origin: Origin, of_sheet: &Links, links: &[Option<Box<str>>]) {
    for &(position, fields) in &of_sheet.slots {
        let Some(given) = links.get(position).and_then(Option::as_deref) else {
            continue;
        };
        if fields.contains(&given) {
            continue;
        }
        let table = reading.provenance.table(origin);
        let link = of_sheet.headers[position];
        if let Some(column) = table.and_then(|table| table.link_column(link)).map(|c| c.index) {
            reading.provenance.keep_text(origin, column, given.into());
        }
    }
}

/// The cell of a link column, or the row.
fn locate(reading: &Reading, origin: Origin, link: Option<&str>) -> Place {
    let table = reading.provenance.table(origin);
    let column = table.and_then(|table| table.link_column(link?)).map(|column| column.index);
    match reading.provenance.place(origin, &[]) {
        Some(place) => place.in_column(column),
        None => Place::Part { part: String::new() },
    }
}

/// The field that is to take a row's record.
fn slot_of<'r>(
    root: &'r mut dyn Record,
    index: &Index,
    names: &mut Near,
    of_sheet: &Links,
    links: &[Option<Box<str>>],
) -> Result<&'r mut dyn Node, Homeless> {
    let Links { sheet, headers, of_targets, .. } = of_sheet;
    let name_of = |link: &str| -> Option<&str> {
        let position = headers.iter().position(|header| *header == link)?;
        links.get(position)?.as_deref()
    };
    let mut targets = sheet.targets.iter().zip(of_targets);
    let target = targets.find(|(_, links)| links.iter().all(|link| name_of(link).is_some()));
    let Some((target, used)) = target else {
        let first = of_targets.iter().take(1).flatten().copied();
        return Err(Homeless::NoName(first.filter(|link| name_of(link).is_none()).collect()));
    };
    if let Some(beside) =
        headers.iter().find(|link| !used.contains(link) && name_of(link).is_some())
    {
        // What the links of other targets alone say is what the row is torn between.
        let of_others = |link: &&str| of_targets.iter().any(|other| !other.contains(link));
        let taken = used.iter().copied().filter(|link| of_others(link)).collect();
        return Err(Homeless::TwoOwners { beside, taken });
    }
    let mut record = root;
    for (depth, hop) in target.owner.iter().enumerate() {
        record = match hop {
            Hop::Field(field) => inner(record, field).ok_or(Homeless::Nowhere)?,
            Hop::Slot { link, fields } => {
                let field = slot(fields, link, name_of(link))?;
                inner(record, field).ok_or(Homeless::Nowhere)?
            }
            Hop::Item { list, link } => {
                let name = name_of(link).unwrap_or_default();
                let position = if depth == 0 {
                    index.0.get(list).and_then(|keys| keys.positions.get(name)).copied()
                } else {
                    keys(record, list).iter().position(|key| key.as_deref() == Some(name))
                };
                let Some(position) = position else {
                    return Err(Homeless::NoOwner {
                        link,
                        name: name.to_owned(),
                        near: near(names, name, record, list),
                        names: short_list(
                            &keys(record, list)
                                .iter()
                                .flatten()
                                .map(String::as_str)
                                .collect::<Vec<_>>(),
                        ),
                    });
                };
                item(record, list, position).ok_or(Homeless::Nowhere)?
            }
        };
    }
    let field = match target.into {
        Into::List(field) | Into::Field(field) => field,
        Into::Slot { link, fields } => slot(fields, link, name_of(link))?,
    };
    let Some(position) = record.info().index_of(field) else {
        return Err(Homeless::Nowhere);
    };
    Ok(record.field_mut(position))
}

/// The names in a list that were most likely meant.
fn near(names: &mut Near, name: &str, record: &dyn Record, list: &str) -> Option<String> {
    if names.is_spent() {
        return None;
    }
    let keys = keys(record, list);
    let found = names.find(name, keys.iter().flatten().map(String::as_str));
    (!found.is_empty()).then(|| found.join("\" or \""))
}

fn slot(
    fields: &'static [&'static str],
    link: &'static str,
    name: Option<&str>,
) -> Result<&'static str, Homeless> {
    let name = name.unwrap_or_default();
    if let Some(field) = fields.iter().find(|field| **field == name) {
        return Ok(field);
    }
    let wanted = plain(name);
    fields.iter().copied().find(|field| plain(field) == wanted).ok_or_else(|| Homeless::NoOwner {
        link,
        name: name.to_owned(),
        near: Some(fields.join("\" or \"")),
        names: None,
    })
}

fn inner<'a>(record: &'a mut dyn Record, field: &str) -> Option<&'a mut dyn Record> {
    let index = record.info().index_of(field)?;
    record.field_mut(index).record_mut()
}

fn item<'a>(record: &'a mut dyn Record, list: &str, position: usize) -> Option<&'a mut dyn Record> {
    let index = record.info().index_of(list)?;
    record.field_mut(index).item_mut(position)
}

fn keys(record: &dyn Record, list: &str) -> Vec<Option<String>> {
    match record.get(list) {
        View::List(list) => (0..list.len())
            .map(|position| match list.item(position) {
                View::Record(record) => record.key().map(str::to_owned),
                _ => None,
            })
            .collect(),
        _ => Vec::new(),
    }
}
