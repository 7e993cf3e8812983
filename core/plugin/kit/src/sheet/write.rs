//! From a schedule to rows of cells.

use restrand_model::quantity::{Dimension, System, Unit, feet_and_inches};
use restrand_model::reflect::{Record, View};
use restrand_model::schedule::Schedule;
use restrand_model::sheet::{self, Column, Hop, Into, Sheet, Target};
use restrand_model::value::Value;

use super::list::list_text;
use crate::plugin::Loss;

/// A cell to be written.
#[derive(Debug, Clone, PartialEq)]
pub enum OutCell {
    /// Nothing.
    Empty,
    /// A number in the column's unit.
    Number(f64),
    /// A text.
    Text(String),
    /// True or false.
    Flag(bool),
}

/// A sheet to be written.
#[derive(Debug)]
pub struct SheetOut {
    /// The sheet of the layout.
    pub sheet: &'static Sheet,
    /// The headers in order: links, fields that hold something, further values.
    pub headers: Vec<String>,
    /// The column of the layout for each header; none for further values.
    pub columns: Vec<Option<&'static Column>>,
    /// The rows, each as long as the headers.
    pub rows: Vec<Vec<OutCell>>,
}

/// A record with the names of its owner.
struct Row<'a> {
    links: Vec<Option<String>>,
    record: &'a dyn Record,
}

/// The sheets of a schedule in the order of the layout, and what rows and columns could not carry.
///
/// A sheet without a row is given if every workbook has it.
#[must_use]
pub fn sheets(schedule: &Schedule, system: System) -> (Vec<SheetOut>, Vec<Loss>) {
    let mut losses = Vec::new();
    let sheets = sheet::SHEETS
        .iter()
        .filter_map(|sheet| {
            let rows = rows_of(schedule, sheet, &mut losses);
            (!rows.is_empty() || sheet::ALWAYS.contains(&sheet.name))
                .then(|| lay_out(sheet, &rows, system))
        })
        .collect();
    lose_extra(schedule, &mut losses);
    (sheets, losses)
}

/// What the schedule itself keeps in its open map has no row.
fn lose_extra(schedule: &Schedule, losses: &mut Vec<Loss>) {
    for (name, value) in &schedule.extra {
        losses.push(Loss {
            route: format!("extra.{name}"),
            value: value.to_string(),
            why: "the layout has no sheet for further values of the schedule itself".to_owned(),
        });
    }
}

fn rows_of<'a>(
    schedule: &'a Schedule,
    sheet: &'static Sheet,
    losses: &mut Vec<Loss>,
) -> Vec<Row<'a>> {
    let headers = sheet.links();
    let mut rows = Vec::new();
    for target in sheet.targets {
        let mut found = Vec::new();
        collect(schedule, target.owner, target, &mut Vec::new(), &mut found, losses);
        for (links, record) in found {
            let mut filled = vec![None; headers.len()];
            for (header, name) in links {
                if let Some(position) = headers.iter().position(|other| *other == header) {
                    filled[position] = Some(name);
                }
            }
            rows.push(Row { links: filled, record });
        }
    }
    rows
}

type Linked<'a> = (Vec<(&'static str, String)>, &'a dyn Record);

fn collect<'a>(
    record: &'a dyn Record,
    hops: &[Hop],
    target: &Target,
    links: &mut Vec<(&'static str, String)>,
    found: &mut Vec<Linked<'a>>,
    losses: &mut Vec<Loss>,
) {
    let Some((hop, rest)) = hops.split_first() else {
        match target.into {
            Into::Field(field) => {
                if let View::Record(inner) = record.get(field) {
                    found.push((links.clone(), inner));
                }
            }
            Into::List(list) => {
                for inner in records(record, list) {
                    found.push((links.clone(), inner));
                }
            }
            Into::Slot { link, fields } => {
                for field in fields {
                    if let View::Record(inner) = record.get(field) {
                        let mut links = links.clone();
                        links.push((link, (*field).to_owned()));
                        found.push((links, inner));
                    }
                }
            }
        }
        return;
    };
    match hop {
        Hop::Field(field) => {
            if let View::Record(inner) = record.get(field) {
                collect(inner, rest, target, links, found, losses);
            }
        }
        Hop::Item { list, link } => {
            for (index, inner) in records(record, list).enumerate() {
                let before = found.len();
                links.push((link, inner.key().unwrap_or_default().to_owned()));
                collect(inner, rest, target, links, found, losses);
                links.pop();
                if inner.key().is_none() && found.len() > before {
                    losses.push(Loss {
                        route: format!("{list}[#{}]", index + 1),
                        value: format!("{} rows", found.len() - before),
                        why: "rows name their owner, and this owner has no name".to_owned(),
                    });
                    found.truncate(before);
                }
            }
        }
        Hop::Slot { link, fields } => {
            for field in *fields {
                if let View::Record(inner) = record.get(field) {
                    links.push((link, (*field).to_owned()));
                    collect(inner, rest, target, links, found, losses);
                    links.pop();
                }
            }
        }
    }
}

fn records<'a>(record: &'a dyn Record, list: &str) -> impl Iterator<Item = &'a dyn Record> {
    let view = record.get(list);
    let count = match view {
        View::List(list) => list.len(),
        _ => 0,
    };
    (0..count).filter_map(move |index| match view {
        View::List(list) => match list.item(index) {
            View::Record(record) => Some(record),
            _ => None,
        },
        _ => None,
    })
}

fn lay_out(sheet: &'static Sheet, rows: &[Row<'_>], system: System) -> SheetOut {
    let columns = sheet::columns_of(sheet);
    let mut out = SheetOut {
        sheet,
        headers: Vec::new(),
        columns: Vec::new(),
        rows: rows.iter().map(|_| Vec::new()).collect(),
    };
    let mut link = 0;
    for column in columns {
        match column {
            Column::Link { .. } => {
                out.headers.push(column.header(None));
                out.columns.push(Some(column));
                for (row, cells) in rows.iter().zip(&mut out.rows) {
                    cells.push(row.links[link].clone().map_or(OutCell::Empty, OutCell::Text));
                }
                link += 1;
            }
            Column::Value { path, unit, .. } => {
                let views: Vec<_> = rows.iter().map(|row| view_at(row.record, path)).collect();
                let (shown, feet) = match unit {
                    Some(unit) => shown_unit(unit, system, &views),
                    None => (None, false),
                };
                out.headers.push(column.header(shown));
                out.columns.push(Some(column));
                for (view, cells) in views.iter().zip(&mut out.rows) {
                    cells.push(cell(*view, *unit, shown, feet));
                }
            }
        }
    }
    add_extra(rows, &mut out);
    out
}

fn view_at<'a>(record: &'a dyn Record, path: &[&str]) -> View<'a> {
    let mut view = View::Record(record);
    for name in path {
        view = match view {
            View::Record(record) => record.get(name),
            _ => return View::Absent,
        };
    }
    view
}

/// The unit of a column, and whether its cells are feet and inches.
///
/// A column of lengths of a foot and more that are all whole sixteenths of an inch is written as people
/// of that system write it; nothing is rounded for it.
fn shown_unit(
    unit: &'static Unit,
    system: System,
    views: &[View<'_>],
) -> (Option<&'static Unit>, bool) {
    /// A sixteenth of an inch in millimetres.
    const SIXTEENTH: f64 = 25.4 / 16.0;
    let shown = unit.in_system(system);
    let mut values = views.iter().filter_map(|view| match view {
        View::Number(value) => Some(*value),
        _ => None,
    });
    if system == System::Us && unit.symbol == "mm" {
        let mut some = false;
        let fits = values.all(|value| {
            some = true;
            let sixteenths = value / SIXTEENTH;
            value.abs() >= 304.8 && (sixteenths - sixteenths.round()).abs() < 1e-9
        });
        if some
            && fits
            && let Some(feet) = Unit::find("ft-in", Dimension::Length)
        {
            return (Some(feet), true);
        }
    }
    (Some(shown), false)
}

fn cell(
    view: View<'_>,
    unit: Option<&'static Unit>,
    shown: Option<&'static Unit>,
    feet: bool,
) -> OutCell {
    match view {
        View::Absent | View::Record(_) => OutCell::Empty,
        View::Number(value) if feet => OutCell::Text(feet_and_inches(value, 16)),
        View::Number(value) => OutCell::Number(match (unit, shown) {
            (Some(unit), Some(shown)) => unit.convert(value, shown),
            _ => value,
        }),
        View::Flag(flag) => OutCell::Flag(flag),
        View::Text(text) => OutCell::Text(text.to_owned()),
        View::Date(date) => OutCell::Text(date.to_string()),
        View::List(list) => {
            let items: Vec<_> = (0..list.len())
                .filter_map(|index| list.item(index).to_value())
                .map(|value| value.to_string())
                .collect();
            if items.is_empty() { OutCell::Empty } else { OutCell::Text(list_text(&items)) }
        }
    }
}

/// Further values get columns of their own, in the order in which they are met.
fn add_extra(rows: &[Row<'_>], out: &mut SheetOut) {
    let mut names: Vec<&str> = Vec::new();
    for row in rows {
        for (name, _) in row.record.extra() {
            if !names.contains(&name.as_str()) {
                names.push(name.as_str());
            }
        }
    }
    for name in names {
        out.headers.push(name.to_owned());
        out.columns.push(None);
        for (row, cells) in rows.iter().zip(&mut out.rows) {
            cells.push(match row.record.extra().get(name) {
                None => OutCell::Empty,
                Some(Value::Number(number)) => OutCell::Number(*number),
                Some(Value::Flag(flag)) => OutCell::Flag(*flag),
                Some(value) => OutCell::Text(value.to_string()),
            });
        }
    }
}
