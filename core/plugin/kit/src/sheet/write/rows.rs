//! Which records are rows of a sheet, and what names their owners.

use restrand_model::reflect::{Record, View};
use restrand_model::route::Route;
use restrand_model::schedule::Schedule;
use restrand_model::sheet::{Hop, Into, Sheet, Target};

use crate::plugin::Loss;

/// A record with the names of its owner.
pub(super) struct Row<'a> {
    pub(super) links: Vec<Option<String>>,
    pub(super) record: &'a dyn Record,
    pub(super) route: Route,
}

/// The rows of a sheet in the order of the schedule.
pub(super) fn rows_of<'a>(
    schedule: &'a Schedule,
    sheet: &'static Sheet,
    losses: &mut Vec<Loss>,
) -> Vec<Row<'a>> {
    if sheet.targets.is_empty() {
        // It states what no field of the schedule itself takes.
        let itself = Row { links: Vec::new(), record: schedule, route: Route::root() };
        return if schedule.extra.is_empty() { Vec::new() } else { vec![itself] };
    }
    let headers = sheet.links();
    let mut rows = Vec::new();
    for target in sheet.targets {
        let mut search = Search { target, links: Vec::new(), found: Vec::new(), losses };
        search.collect(schedule, target.owner, &Route::root());
        for (links, record, route) in search.found {
            let mut filled = vec![None; headers.len()];
            for (header, name) in links {
                if let Some(position) = headers.iter().position(|other| *other == header) {
                    filled[position] = Some(name);
                }
            }
            rows.push(Row { links: filled, record, route });
        }
    }
    rows
}

type Linked<'a> = (Vec<(&'static str, String)>, &'a dyn Record, Route);

/// The search for the records of one target.
struct Search<'a, 't> {
    target: &'t Target,
    links: Vec<(&'static str, String)>,
    found: Vec<Linked<'a>>,
    losses: &'t mut Vec<Loss>,
}

impl<'a> Search<'a, '_> {
    fn collect(&mut self, record: &'a dyn Record, hops: &[Hop], route: &Route) {
        let Some((hop, rest)) = hops.split_first() else {
            self.take(record, route);
            return;
        };
        match hop {
            Hop::Field(field) => {
                if let View::Record(inner) = record.get(field) {
                    self.collect(inner, rest, &route.field(field));
                }
            }
            Hop::Item { list, link } => {
                let route = route.field(list);
                for (index, inner) in records(record, list) {
                    let before = self.found.len();
                    self.links.push((link, inner.key().unwrap_or_default().to_owned()));
                    self.collect(inner, rest, &route.item(index));
                    self.links.pop();
                    if inner.key().is_none() && self.found.len() > before {
                        self.losses.push(Loss {
                            route: format!("{list}[#{}]", index + 1),
                            value: format!("{} rows", self.found.len() - before),
                            why: "rows name their owner, and this owner has no name".to_owned(),
                        });
                        self.found.truncate(before);
                    }
                }
            }
            Hop::Slot { link, fields } => {
                for field in *fields {
                    if let View::Record(inner) = record.get(field) {
                        self.links.push((link, (*field).to_owned()));
                        self.collect(inner, rest, &route.field(field));
                        self.links.pop();
                    }
                }
            }
        }
    }

    /// Takes what the target says of the owner that was found.
    fn take(&mut self, record: &'a dyn Record, route: &Route) {
        match self.target.into {
            Into::Field(field) => {
                if let View::Record(inner) = record.get(field) {
                    self.found.push((self.links.clone(), inner, route.field(field)));
                }
            }
            Into::List(list) => {
                let route = route.field(list);
                for (index, inner) in records(record, list) {
                    self.found.push((self.links.clone(), inner, route.item(index)));
                }
            }
            Into::Slot { link, fields } => {
                for field in fields {
                    if let View::Record(inner) = record.get(field) {
                        let mut links = self.links.clone();
                        links.push((link, (*field).to_owned()));
                        self.found.push((links, inner, route.field(field)));
                    }
                }
            }
        }
    }
}

fn records<'a>(
    record: &'a dyn Record,
    list: &str,
) -> impl Iterator<Item = (usize, &'a dyn Record)> {
    let view = record.get(list);
    let count = match view {
        View::List(list) => list.len(),
        _ => 0,
    };
    (0..count).filter_map(move |index| match view {
        View::List(list) => match list.item(index) {
            View::Record(record) => Some((index, record)),
            _ => None,
        },
        _ => None,
    })
}
