//! The cells of a sheet's rows.

use std::collections::HashSet;

use restrand_model::quantity::{DecimalMark, Dimension, Marks, System, Unit, feet_and_inches};
use restrand_model::reading::{Column as ReadColumn, Origin};
use restrand_model::reflect::{FieldInfo, Record, Shape, View};
use restrand_model::route::{Names, Route};
use restrand_model::sheet::{self, Column, Sheet};
use restrand_model::value::Value;

use super::rows::Row;
use super::{Numbers, OutCell, SheetOut};
use crate::content::Content;
use crate::plugin::Loss;
use crate::sheet::cell::reads_as;
use crate::sheet::list::list_text;
use crate::sheet::marks::plain_number;
use crate::sheet::read::missed_by;
use crate::sheet::{further, unread};

/// Lays out rows, and says which spellings they could not keep.
pub(super) struct Layout<'a> {
    content: &'a Content<'a>,
    system: System,
    /// Whether a column may be of feet and inches in one.
    feet: bool,
    numbers: Numbers,
    names: &'a Names,
    changed: HashSet<&'a Route>,
}

impl<'a> Layout<'a> {
    pub(super) fn new(
        content: &'a Content<'a>,
        system: System,
        feet: bool,
        numbers: Numbers,
        names: &'a Names,
    ) -> Self {
        let changed = content.changes.iter().map(|change| &change.route).collect();
        Self { content, system, feet, numbers, names, changed }
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
                    let unread: Vec<_> = rows
                        .iter()
                        .zip(&sources)
                        .zip(&views)
                        .map(|((row, source), view)| {
                            self.unread(&row.route, source.as_ref()?, *view, path)
                        })
                        .collect();
                    let (shown, feet) = match unit {
                        Some(_) if self.had_no_unit(&unread, &sources, &views, path, field.0) => {
                            (None, false)
                        }
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
                        cells.push(match (spelled, unread[index]) {
                            (Some(text), _) => OutCell::Text(text),
                            (None, Some(text)) if self.would_tell(text, field.0) => {
                                unread::marked_cell(text)
                            }
                            (None, Some(text)) => unread::cell(text, field.0, shown),
                            (None, None) => cell(view, *unit, shown, feet),
                        });
                    }
                    out.headers.push(header);
                }
            }
        }
        self.add_further(rows, &mut out);
        out
    }

    /// Further values get columns of their own, in the order in which they are met.
    fn add_further(&self, rows: &[Row<'_>], out: &mut SheetOut) {
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
            } else if !coded && self.headed(out.sheet, name) {
                leave_room(out, name);
                name.to_owned()
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

    /// Whether a column of the file stood under this very header, and no field took it: what was said of it is then said
    /// of the new file too.
    fn headed(&self, sheet: &Sheet, header: &str) -> bool {
        self.content.provenance.tables.iter().filter(|table| table.list == sheet.name).any(
            |table| {
                table.columns.iter().any(|column| {
                    column.path.is_empty()
                        && !column.link
                        && further::is_bare(&column.header, header)
                })
            },
        )
    }

    /// The record of the file from which a row's texts can come, and the way from it; nothing where no text
    /// of it is kept.
    fn source(&self, row: &Row<'_>) -> Option<Source> {
        if !self.content.provenance.keeps_texts() {
            return None;
        }
        let (origin, way) = row.route.source(self.content.schedule);
        self.content.provenance.keeps_texts_of(origin).then_some((origin, way))
    }

    /// The text of the file where it states a value that could not be read.
    fn unread(
        &self,
        row: &Route,
        source: &Source,
        view: View<'_>,
        path: &[&'static str],
    ) -> Option<&'a str> {
        if !view.is_absent() {
            return None;
        }
        let (text, _) = self.given(source, path)?;
        (!self.changed.contains(&along(row, path))).then_some(text)
    }

    /// Whether numbers of a column were not read for want of a unit, and all else in it states its own: the header then
    /// states none again.
    fn had_no_unit(
        &self,
        unread: &[Option<&str>],
        sources: &[Option<Source>],
        views: &[View<'_>],
        path: &[&'static str],
        field: &FieldInfo,
    ) -> bool {
        if unread.iter().all(Option::is_none) {
            return false;
        }
        let mut had_none = false;
        let fits = unread.iter().zip(sources).zip(views).all(|((unread, source), view)| {
            let given = source.as_ref().and_then(|source| self.given(source, path));
            if unread.is_some_and(|text| plain_number(text).is_some()) {
                had_none = true;
                return given.and_then(|(_, column)| column).is_some_and(|of| of.unit.is_none());
            }
            match view.to_value() {
                Some(value) if !view.is_absent() => {
                    given.is_some_and(|(text, _)| reads_as(text, field, None, &value))
                }
                _ => true,
            }
        });
        fits && had_none
    }

    /// Whether a text tells another decimal mark of its column than the one with which numbers are written.
    fn would_tell(&self, text: &str, field: &FieldInfo) -> bool {
        self.numbers == Numbers::Texts
            && matches!(field.shape, Shape::Number)
            && !matches!(Marks::of(text), Marks::None | Marks::Tell(DecimalMark::Point))
    }

    /// The text by which the file gives the value at the path from a row's record, and its column.
    fn given(
        &self,
        (origin, way): &Source,
        path: &[&'static str],
    ) -> Option<(&'a str, Option<&'a ReadColumn>)> {
        let steps = path.iter().map(|name| (*name).to_owned());
        let path: Vec<String> = way.iter().cloned().chain(steps).collect();
        self.content.provenance.given(*origin, &path)
    }

    /// The text by which a value was given, if it says the very same under the new header.
    fn spelled(
        &self,
        row: &Route,
        source: &Source,
        view: View<'_>,
        asked: Asked,
        header: &str,
        losses: &mut Vec<Loss>,
    ) -> Option<String> {
        let value = view.to_value().filter(|_| !view.is_absent())?;
        let (text, column) = self.given(source, asked.path)?;
        let route = along(row, asked.path);
        if self.changed.contains(&route) {
            return None;
        }
        // A decimal comma would be told of all numbers of the column, which have points.
        if self.would_tell(text, asked.field) {
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

/// The record of the file from which texts come, and the way from it.
type Source = (Origin, Vec<String>);

fn along(row: &Route, path: &[&'static str]) -> Route {
    path.iter().fold(row.clone(), |route, name| route.field(name))
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

/// Takes the column out for which a header was meant that no field takes, if nothing stands in it: beside it the header
/// would not be what it was.
fn leave_room(out: &mut SheetOut, header: &str) {
    let Some(meant) = missed_by(out.sheet, header) else { return };
    let of_layout = &sheet::columns_of(out.sheet)[meant];
    let position = out
        .columns
        .iter()
        .position(|column| column.is_some_and(|one| std::ptr::eq(one, of_layout)));
    if let Some(position) = position
        && out.rows.iter().all(|cells| cells[position] == OutCell::Empty)
    {
        out.headers.remove(position);
        out.columns.remove(position);
        for cells in &mut out.rows {
            cells.remove(position);
        }
    }
}
