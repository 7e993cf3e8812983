//! The cells of a sheet's rows.

use std::collections::HashSet;

use restrand_model::quantity::{Dimension, System, Unit, feet_and_inches};
use restrand_model::reading::Origin;
use restrand_model::reflect::{FieldInfo, Record, View};
use restrand_model::route::{Names, Route};
use restrand_model::sheet::{self, Column, Sheet};
use restrand_model::value::Value;

use super::rows::Row;
use super::{OutCell, SheetOut};
use crate::content::Content;
use crate::plugin::Loss;
use crate::sheet::cell::reads_as;
use crate::sheet::further;
use crate::sheet::list::list_text;

/// Lays out rows, and says which spellings they could not keep.
pub(super) struct Layout<'a> {
    content: &'a Content<'a>,
    system: System,
    /// Whether a column may be of feet and inches in one.
    feet: bool,
    names: &'a Names,
    changed: HashSet<&'a Route>,
}

impl<'a> Layout<'a> {
    pub(super) fn new(
        content: &'a Content<'a>,
        system: System,
        feet: bool,
        names: &'a Names,
    ) -> Self {
        let changed = content.changes.iter().map(|change| &change.route).collect();
        Self { content, system, feet, names, changed }
    }

    pub(super) fn lay_out(
        &self,
        sheet: &'static Sheet,
        rows: &[Row<'_>],
        losses: &mut Vec<Loss>,
    ) -> SheetOut {
        let mut out = SheetOut {
            sheet,
            headers: Vec::new(),
            columns: Vec::new(),
            rows: rows.iter().map(|_| Vec::new()).collect(),
            routes: rows.iter().map(|row| row.route.clone()).collect(),
            marks: Vec::new(),
        };
        let sources: Vec<_> = rows.iter().map(|row| self.source(row)).collect();
        let mut link = 0;
        for column in sheet::columns_of(sheet) {
            out.columns.push(Some(column));
            match column {
                Column::Link { .. } => {
                    out.headers.push(column.header(None));
                    for (row, cells) in rows.iter().zip(&mut out.rows) {
                        cells.push(row.links[link].clone().map_or(OutCell::Empty, OutCell::Text));
                    }
                    link += 1;
                }
                Column::Value { path, unit, field, .. } => {
                    let views: Vec<_> = rows.iter().map(|row| view_at(row.record, path)).collect();
                    let (shown, feet) = match unit {
                        Some(unit) if self.feet => shown_unit(unit, self.system, &views),
                        Some(unit) => (Some(unit.in_system(self.system)), false),
                        None => (None, false),
                    };
                    let header = column.header(shown);
                    for (index, cells) in out.rows.iter_mut().enumerate() {
                        let view = views[index];
                        let asked = Asked { path, field: field.0, shown };
                        let spelled = sources[index].as_ref().and_then(|source| {
                            self.spelled(&rows[index].route, source, view, asked, &header, losses)
                        });
                        cells.push(match spelled {
                            Some(text) => OutCell::Text(text),
                            None => cell(view, *unit, shown, feet),
                        });
                    }
                    out.headers.push(header);
                }
            }
        }
        add_further(rows, &mut out);
        out
    }

    /// The record of the file from which a row's texts can come, and the way from it; nothing where no text
    /// of it is kept.
    fn source(&self, row: &Row<'_>) -> Option<(Origin, Vec<String>)> {
        if !self.content.provenance.keeps_texts() {
            return None;
        }
        let (origin, way) = row.route.source(self.content.schedule);
        self.content.provenance.keeps_texts_of(origin).then_some((origin, way))
    }

    /// The text by which a value was given, if it says the very same under the new header.
    fn spelled(
        &self,
        row: &Route,
        (origin, way): &(Origin, Vec<String>),
        view: View<'_>,
        asked: Asked,
        header: &str,
        losses: &mut Vec<Loss>,
    ) -> Option<String> {
        let value = view.to_value().filter(|_| !view.is_absent())?;
        let steps = asked.path.iter().map(|name| (*name).to_owned());
        let path: Vec<String> = way.iter().cloned().chain(steps).collect();
        let (text, column) = self.content.provenance.given(*origin, &path)?;
        let route = asked.path.iter().fold(row.clone(), |route, name| route.field(name));
        if self.changed.contains(&route) {
            return None;
        }
        if reads_as(text, asked.field, asked.shown, &value) {
            return Some(text.to_owned());
        }
        // A value that was turned round or replaced after the reading is none that the text gave, and
        // digits alone are no spelling.
        let was_it = column.is_none_or(|column| reads_as(text, asked.field, column.unit, &value));
        if was_it && text.trim().parse::<f64>().is_err() {
            losses.push(Loss {
                route: self.names.show(&route, self.content.schedule),
                value: text.to_owned(),
                why: format!(
                    "under the header \"{header}\" the text would be read as something else; its value \
                     is written"
                ),
            });
        }
        None
    }
}

/// A column that is asked for.
#[derive(Clone, Copy)]
struct Asked {
    path: &'static [&'static str],
    field: &'static FieldInfo,
    shown: Option<&'static Unit>,
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
            (Some(unit), Some(shown)) => shown.typed(value, unit),
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
fn add_further(rows: &[Row<'_>], out: &mut SheetOut) {
    let mut names: Vec<&str> = Vec::new();
    let mut met: HashSet<&str> = HashSet::new();
    for row in rows {
        for (name, _) in row.record.extra() {
            if met.insert(name.as_str()) {
                names.push(name.as_str());
            }
        }
    }
    let headers = sheet::headers_of(out.sheet);
    for name in names {
        let values = || rows.iter().map(|row| row.record.extra().get(name));
        let coded = values().flatten().any(|value| !further::is_plain(value));
        // The sheet of the schedule itself has no columns by which it could be known.
        let header = if out.sheet.targets.is_empty() {
            further::marked(name, coded)
        } else {
            further::header(name, coded, headers)
        };
        out.headers.push(header);
        out.columns.push(None);
        for (value, cells) in values().zip(&mut out.rows) {
            cells.push(match value {
                None => OutCell::Empty,
                Some(value) if coded => OutCell::Text(value.to_json()),
                Some(Value::Number(number)) => OutCell::Number(*number),
                Some(Value::Flag(flag)) => OutCell::Flag(*flag),
                Some(value) => OutCell::Text(value.to_string()),
            });
        }
    }
}
