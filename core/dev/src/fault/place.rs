//! Where a fault is: as a route of the schedule, and as row and column of the layout.

use restrand_model::reflect::View;
use restrand_model::route::{Names, Route};
use restrand_model::schedule::Schedule;
use restrand_model::sheet::{self, Column, Hop, Into, Sheet, Target};

/// A step of the way from the schedule to a value.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Way {
    /// To the record of this key in this list.
    In(&'static str, &'static str),
    /// To this field.
    To(&'static str),
}

/// The route of a way; none if the schedule has no such record.
pub(super) fn route(schedule: &Schedule, way: &[Way]) -> Option<Route> {
    let mut route = Route::root();
    for step in way {
        route = match step {
            Way::To(field) => route.field(field),
            Way::In(list, key) => {
                let list = route.field(list);
                let View::List(records) = list.view(schedule) else { return None };
                let index = (0..records.len()).find(|index| match records.item(*index) {
                    View::Record(record) => record.key() == Some(*key),
                    _ => false,
                })?;
                list.item(index)
            }
        };
    }
    Some(route)
}

/// The route as people read it.
pub(super) fn shown(schedule: &Schedule, way: &[Way]) -> Option<String> {
    route(schedule, way).map(|route| Names::of(schedule).show(&route, schedule))
}

/// Row and column of the layout in which a value stands.
#[derive(Debug)]
pub(super) struct Spot {
    pub(super) sheet: &'static Sheet,
    /// What the row has in these columns of the layout.
    pub(super) row: Vec<(usize, &'static str)>,
    /// The column of the value; the record's key if the way ends at a record.
    pub(super) column: usize,
}

/// The spot of a way: on the sheet that takes most of its steps.
pub(super) fn spot(way: &[Way]) -> Option<Spot> {
    sheet::SHEETS
        .iter()
        .flat_map(|sheet| sheet.targets.iter().map(move |target| (sheet, target)))
        .filter_map(|(sheet, target)| {
            let spot = on(sheet, target, way)?;
            Some((target.owner.len(), spot))
        })
        .max_by_key(|(depth, _)| *depth)
        .map(|(_, spot)| spot)
}

fn on(sheet: &'static Sheet, target: &Target, way: &[Way]) -> Option<Spot> {
    let columns = sheet::columns_of(sheet);
    let link_column = |wanted: &str| {
        columns
            .iter()
            .position(|column| matches!(column, Column::Link { header } if *header == wanted))
    };
    let value_column = |wanted: &[&str]| {
        columns
            .iter()
            .position(|column| matches!(column, Column::Value { path, .. } if path == wanted))
    };
    let mut row = Vec::new();
    let mut steps = way.iter();
    for hop in target.owner {
        match (hop, steps.next()?) {
            (Hop::Item { list, link }, Way::In(given, key)) if list == given => {
                row.push((link_column(link)?, *key));
            }
            (Hop::Field(field), Way::To(given)) if field == given => {}
            (Hop::Slot { link, fields }, Way::To(given)) if fields.contains(given) => {
                row.push((link_column(link)?, *given));
            }
            _ => return None,
        }
    }
    match (target.into, steps.next()?) {
        (Into::List(list), Way::In(given, key)) if list == *given => {
            row.push((value_column(&[sheet.record.key?])?, *key));
        }
        (Into::Field(field), Way::To(given)) if field == *given => {}
        (Into::Slot { link, fields }, Way::To(given)) if fields.contains(given) => {
            row.push((link_column(link)?, *given));
        }
        _ => return None,
    }
    let rest: Vec<&str> = steps
        .map(|step| match step {
            Way::To(field) => Some(*field),
            Way::In(..) => None,
        })
        .collect::<Option<_>>()?;
    let column =
        if rest.is_empty() { value_column(&[sheet.record.key?])? } else { value_column(&rest)? };
    Some(Spot { sheet, row, column })
}
