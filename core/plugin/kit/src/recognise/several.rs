//! A tendon of which several tables of a file speak is one, and so is each of its ends: one table lists it, another has
//! its anchorages, a third the room behind them.

use std::collections::{HashMap, HashSet};

use restrand_model::reading::{Apart, Table};
use restrand_model::reflect::EXTRA;
use restrand_model::value::{Fields, Name, Value};

use super::table::{join, stated};
use crate::frame::RecordFrame;

/// The tendons, those of one mark that stand in different tables and say nothing different made one.
///
/// What contradicts stays a tendon of its own, so that it is told. `same_rows` says whether two tables are of the same
/// rows of the file.
pub(super) fn joined(
    tendons: Vec<RecordFrame>,
    same_rows: impl Fn(u32, u32) -> bool,
) -> Vec<RecordFrame> {
    let mut at: HashMap<String, usize> = HashMap::new();
    let mut joined: Vec<RecordFrame> = Vec::with_capacity(tendons.len());
    for mut tendon in tendons {
        let mark = tendon.fields.get("mark").and_then(Value::as_text).map(str::to_owned);
        let known = mark.as_ref().and_then(|mark| at.get(mark)).copied();
        if let Some(first) = known.map(|known| &mut joined[known])
            && !same_rows(first.table, tendon.table)
        {
            // It stands where most is said of it.
            let is_fuller = tendon.fields.len() > first.fields.len();
            let (base, other) = if is_fuller { (&tendon, &*first) } else { (&*first, &tendon) };
            let mut fields = base.fields.clone();
            let mut otherwise = Vec::new();
            join(&mut fields, other.fields.clone(), "tendon", &mut otherwise);
            if otherwise.is_empty() {
                if is_fuller {
                    std::mem::swap(first, &mut tendon);
                }
                first.fields = fields;
                continue;
            }
        } else if let (Some(mark), None) = (mark, known) {
            at.insert(mark, joined.len());
        }
        joined.push(tendon);
    }
    joined
}

/// Whether a part is a deviator, and the names by which it says to what it belongs, with its own.
type Key = (bool, Vec<Option<Box<str>>>);

/// The ends, those of one tendon and one name that stand in different tables and say nothing different made one; and so
/// the deviators, which are told by their places.
///
/// What contradicts stays one of its own, so that it is told; so does what may be another one of the same name, and what
/// a table states that `is_apart`, as it speaks of something else. `table` gives a table by its number.
pub(super) fn joined_parts<'t>(
    parts: Vec<RecordFrame>,
    table: impl Fn(u32) -> Option<&'t Table>,
    is_apart: impl Fn(u32) -> bool,
) -> Vec<RecordFrame> {
    let key = |part: &RecordFrame| {
        let is_deviator = table(part.table).is_some_and(|table| table.list == "Deviators");
        let mut links = part.links.clone();
        if is_deviator {
            links.push(Some(part.fields.get("place").and_then(Value::as_text)?.into()));
        }
        Some((is_deviator, links)).filter(|_| !is_apart(part.table))
    };
    let doubtful = doubtful(&parts, key, &table);
    let mut at: HashMap<Key, usize> = HashMap::new();
    let mut joined: Vec<RecordFrame> = Vec::with_capacity(parts.len());
    for mut part in parts {
        let Some(key) = key(&part).filter(|key| !doubtful.contains(key)) else {
            joined.push(part);
            continue;
        };
        let known = at.get(&key).copied();
        let Some(first) = known.map(|known| &mut joined[known]) else {
            at.insert(key, joined.len());
            joined.push(part);
            continue;
        };
        let mut otherwise = Vec::new();
        join(&mut first.fields.clone(), part.fields.clone(), "part", &mut otherwise);
        if rows_of(table(first.table)) == rows_of(table(part.table)) || !otherwise.is_empty() {
            joined.push(part);
            continue;
        }
        // It stands where most is said of it.
        if count(&part.fields) > count(&first.fields) {
            std::mem::swap(first, &mut part);
        }
        let (one, other) = (table(first.table), table(part.table));
        let mut fields = first.fields.clone();
        join(&mut fields, part.fields.clone(), "part", &mut Vec::new());
        keep_unread(&mut fields, &part, other);
        if let (Some(one), Some(other)) = (one, other)
            && (&one.part, &one.sheet, one.grid) == (&other.part, &other.sheet, other.grid)
            && first.at != part.at
        {
            let mut ways = Vec::new();
            added(&first.fields, &fields, &mut Vec::new(), &mut ways);
            let at = |way: &[String]| {
                let apart = part.apart.iter().find(|one| one.way[..] == *way);
                apart.map_or(part.at, |one| one.at)
            };
            let apart = ways.into_iter().map(|way| Apart { at: at(&way), way: way.into() });
            first.apart.extend(apart);
        }
        first.fields = fields;
    }
    joined
}

/// The sheet of a table and the row of its headers.
fn rows_of(table: Option<&Table>) -> Option<(Option<&str>, u32)> {
    table.map(|one| (one.sheet.as_deref(), one.header_row))
}

/// The keys that say too little of which part they are.
///
/// Of several rows of one table that have the same tendon and end, and differ, none tells to which of them another table
/// speaks. A tendon may pass two deviators of one name, in two spans or two directions, with the same angle: only what has
/// nothing but the name in common is surely one.
fn doubtful<'t>(
    parts: &[RecordFrame],
    key: impl Fn(&RecordFrame) -> Option<Key>,
    table: impl Fn(u32) -> Option<&'t Table>,
) -> HashSet<Key> {
    let mut firsts = HashMap::new();
    let mut stated: HashSet<(Key, Vec<String>)> = HashSet::new();
    let mut doubtful = HashSet::new();
    for part in parts {
        let Some(key) = key(part) else { continue };
        if key.0 {
            let mut ways = Vec::new();
            added(&Fields::new(), &part.fields, &mut Vec::new(), &mut ways);
            for way in ways.into_iter().filter(|way| way[..] != ["place"]) {
                if !stated.insert((key.clone(), way)) {
                    doubtful.insert(key.clone());
                }
            }
        }
        let rows = rows_of(table(part.table));
        let first = firsts.entry((key.clone(), rows)).or_insert(part);
        if first.fields != part.fields || first.texts != part.texts {
            doubtful.insert(key);
        }
    }
    doubtful
}

/// How many values a record states.
fn count(fields: &Fields) -> usize {
    let of = |value: &Value| value.as_fields().map_or(1, count);
    fields.iter().map(|(_, value)| of(value)).sum()
}

/// Keeps the texts of a record whose values could not be read, under the headers of their columns.
fn keep_unread(fields: &mut Fields, part: &RecordFrame, table: Option<&Table>) {
    let columns = table.map_or(&[][..], |table| &table.columns);
    let mut further = Fields::new();
    for (index, text) in &part.texts {
        let Some(column) = columns.iter().find(|column| column.index == *index) else { continue };
        if stated(&part.fields, &column.path).is_none() {
            further.push(Name::from(&*column.header), Value::Text(text.clone()));
        }
    }
    if !further.is_empty() {
        let mut kept = Fields::new();
        kept.push(Name::Known(EXTRA), Value::Fields(further));
        join(fields, kept, "part", &mut Vec::new());
    }
}

/// The ways to the values that are in the second fields and not in the first.
fn added(before: &Fields, after: &Fields, way: &mut Vec<String>, into: &mut Vec<Vec<String>>) {
    for (name, value) in after {
        way.push(name.as_str().to_owned());
        match (before.get(name.as_str()), value) {
            (Some(Value::Fields(before)), Value::Fields(after)) => added(before, after, way, into),
            (None, Value::Fields(after)) => added(&Fields::new(), after, way, into),
            (None, _) => into.push(way.clone()),
            (Some(_), _) => {}
        }
        way.pop();
    }
}
