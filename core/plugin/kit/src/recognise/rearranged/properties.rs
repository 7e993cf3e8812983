//! A list with a row for each property of each tendon, as databases write it: `T1 | Length | 40.2 | m`.

use std::collections::{BTreeMap, BTreeSet};

use super::super::find::is_field;
use super::super::grid::{GridCell, GridRow, Sheet};
use super::{Rows, with_text};
use crate::sheet::Cell;

/// Rows from the top in which the headers of such a list stand.
const HEADER_ROWS: usize = 30;
/// Properties of which people must know the name at least.
const LEAST_KNOWN: usize = 3;

/// The columns of such a list.
struct Columns {
    owner: u32,
    property: u32,
    value: u32,
    unit: Option<u32>,
    others: Vec<u32>,
}

/// A property's value: its cell, its unit, and its row.
struct Stated<'s> {
    cell: &'s GridCell,
    unit: String,
    row: u32,
}

/// Takes a list of properties out of a sheet, as a row for each of those that it is about.
pub(super) fn take_out(sheet: &mut Sheet) -> Option<Sheet> {
    let (at, columns) = sheet
        .rows
        .iter()
        .take(HEADER_ROWS)
        .enumerate()
        .find_map(|(at, row)| Some((at, headers(row)?)))?;
    let header = &sheet.rows[at];
    let mut end = at + 1;
    while sheet.rows.get(end).is_some_and(|row| {
        row.text(columns.property).is_some() && row.cells.contains_key(&columns.value)
    }) {
        end += 1;
    }
    let body = &sheet.rows[at + 1..end];
    // What each owner states, in the order of the list.
    let mut names: Vec<String> = Vec::new();
    let mut owners: Vec<(String, u32, BTreeMap<String, Stated<'_>>)> = Vec::new();
    for row in body {
        let owner = row.cells.get(&columns.owner).map(|cell| cell.cell.name());
        if let Some(owner) = owner.filter(|owner| !owner.is_empty())
            && !owners.iter().any(|(other, ..)| *other == owner)
        {
            owners.push((owner, row.number, BTreeMap::new()));
        }
        let named = row.cells.get(&columns.owner).map(|cell| cell.cell.name());
        let owner = match named {
            Some(named) => owners.iter_mut().find(|(other, ..)| *other == named),
            None => owners.last_mut(),
        };
        let (_, _, stated) = owner?;
        let base = row.text(columns.property)?.to_owned();
        let mut name = base.clone();
        let mut count = 1;
        while stated.contains_key(&name) {
            count += 1;
            name = format!("{base} ({count})");
        }
        if !names.contains(&name) {
            names.push(name.clone());
        }
        let unit = columns.unit.and_then(|unit| row.text(unit)).unwrap_or_default().to_owned();
        stated.insert(name, Stated { cell: row.cells.get(&columns.value)?, unit, row: row.number });
    }
    let known: BTreeSet<&String> = names.iter().filter(|name| is_field(name)).collect();
    if known.len() < LEAST_KNOWN || owners.iter().all(|(_, _, stated)| stated.len() < 2) {
        return None;
    }
    let head = |column: u32| header.cells.get(&column).cloned();
    let shown = |column: u32| head(column).map(|cell| cell.cell.shown()).unwrap_or_default();
    let unit = columns.unit.map(|unit| format!(" in the unit of \"{}\"", shown(unit)));
    let arranged = format!(
        "Each of its rows is one property of what \"{}\" names: that of \"{}\", with the value of \"{}\"{}.",
        shown(columns.owner),
        shown(columns.property),
        shown(columns.value),
        unit.unwrap_or_default()
    );
    let mut rows = Rows::new(sheet, arranged);
    let own = head(columns.owner)?;
    let called = own.cell.shown();
    let called = if is_field(&called) { called } else { "Tendon".to_owned() };
    rows.put(header.number, 0, with_text(&own, called), (header.number, columns.owner));
    let property = head(columns.property)?;
    for (column, name) in (1..).zip(&names) {
        let units: BTreeSet<&str> = owners
            .iter()
            .filter_map(|(_, _, stated)| Some(stated.get(name)?.unit.as_str()))
            .collect();
        let of_all = match units.len() {
            1 => units.first().copied().filter(|unit| !unit.is_empty()),
            _ => None,
        };
        let text = of_all.map_or_else(|| name.clone(), |unit| format!("{name} ({unit})"));
        let first = owners.iter().find_map(|(_, _, stated)| stated.get(name)).map(|one| one.row);
        let stands = (first.unwrap_or(header.number), columns.property);
        rows.put(header.number, column, with_text(&property, text), stands);
        for (_, number, stated) in &owners {
            let Some(one) = stated.get(name) else { continue };
            let cell = match of_all.is_none() && !one.unit.is_empty() {
                true => with_text(one.cell, format!("{} {}", one.cell.cell.shown(), one.unit)),
                false => one.cell.clone(),
            };
            rows.put(*number, column, cell, (one.row, columns.value));
        }
    }
    let after = u32::try_from(names.len()).ok()? + 1;
    let find = |number: u32| body.iter().find(|row| row.number == number);
    for (_, number, _) in &owners {
        let Some(cell) = find(*number).and_then(|row| row.cells.get(&columns.owner)) else {
            continue;
        };
        rows.put(*number, 0, cell.clone(), (*number, columns.owner));
    }
    for (column, other) in (after..).zip(&columns.others) {
        let Some(cell) = head(*other) else { continue };
        rows.put(header.number, column, cell, (header.number, *other));
        for (owner, number, _) in &owners {
            rows.others(body, columns.owner, owner, *other, (*number, column));
        }
    }
    let last = sheet.rows[end - 1].number;
    let first = header.number;
    let list = rows.sheet();
    sheet.rows.retain(|row| row.number < first || row.number > last);
    list
}

impl Rows {
    /// Puts what another column says of an owner, each thing once.
    fn others(
        &mut self,
        body: &[GridRow],
        owners: u32,
        owner: &str,
        other: u32,
        (row, column): (u32, u32),
    ) {
        let of_owner = body
            .iter()
            .filter(|row| row.cells.get(&owners).is_some_and(|cell| cell.cell.name() == owner));
        let mut said: Vec<(String, &GridCell, u32)> = Vec::new();
        for one in of_owner {
            let Some(cell) = one.cells.get(&other).filter(|cell| !cell.cell.is_blank()) else {
                continue;
            };
            let shown = cell.cell.shown();
            if !said.iter().any(|(before, ..)| *before == shown) {
                said.push((shown, cell, one.number));
            }
        }
        let Some((_, cell, number)) = said.first() else { return };
        let texts: Vec<&str> = said.iter().map(|(text, ..)| text.as_str()).collect();
        let cell =
            if said.len() == 1 { (*cell).clone() } else { with_text(cell, texts.join("; ")) };
        self.put(row, column, cell, (*number, other));
    }
}

/// The columns of a list of properties, if a row is its headers.
fn headers(row: &GridRow) -> Option<Columns> {
    const PROPERTY: [&str; 7] = [
        "property",
        "parameter",
        "attribute",
        "characteristic",
        "eigenschaft",
        "propriété",
        "field",
    ];
    const VALUE: [&str; 4] = ["value", "wert", "valeur", "valor"];
    const UNIT: [&str; 6] = ["unit", "units", "einheit", "unité", "unidad", "uom"];
    const OWNER: [&str; 12] = [
        "element",
        "object",
        "component",
        "tendon",
        "cable",
        "asset",
        "item",
        "mark",
        "spannglied",
        "câble",
        "bauteil",
        "id",
    ];
    let of = |words: &[&str]| {
        row.own().find_map(|(column, cell)| {
            let Cell::Text(text) = &cell.cell else { return None };
            let lower = text.trim().to_lowercase();
            let mut letters = lower.split(|c: char| !c.is_alphanumeric());
            letters.any(|word| words.contains(&word)).then_some(column)
        })
    };
    let (property, value) = (of(&PROPERTY)?, of(&VALUE)?);
    let owner = of(&OWNER)?;
    let unit = of(&UNIT);
    if property == value || owner == property || owner == value {
        return None;
    }
    let taken = [Some(owner), Some(property), Some(value), unit];
    let others = row
        .own()
        .map(|(column, _)| column)
        .filter(|column| !taken.contains(&Some(*column)))
        .collect();
    Some(Columns { owner, property, value, unit, others })
}
