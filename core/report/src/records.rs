//! Records by where they were read, for the few that findings show.

use std::collections::{HashMap, HashSet};

use restrand_intake::Reading;
use restrand_model::Record;
use restrand_model::reading::Origin;
use restrand_model::reflect::{Shape, View};
use restrand_model::sheet::{Hop, Into, Sheet, Target};

/// The table and the position in it where a record was read.
pub(crate) type At = (u32, u32);

/// A record and how its sheet names those it belongs to.
pub(crate) struct Found<'a> {
    /// The record.
    pub(crate) record: &'a dyn Record,
    way: Vec<Step<'a>>,
    /// What its row holds under link columns, where it belongs to nothing.
    stated: &'a [(&'static str, Box<str>)],
}

#[derive(Clone)]
struct Step<'a> {
    field: &'static str,
    key: Option<&'a str>,
}

/// Records by their origin.
#[derive(Default)]
pub(crate) struct Records<'a> {
    found: HashMap<At, Found<'a>>,
}

impl<'a> Records<'a> {
    /// Goes over what was read once for the records that are wanted.
    pub(crate) fn of(reading: &'a Reading, wanted: &HashSet<At>) -> Self {
        let mut records = Self::default();
        if wanted.is_empty() {
            return records;
        }
        records.walk(&reading.schedule, &mut Vec::new(), wanted);
        for lost in &reading.lost {
            if let Some(at) = lost.record.origin().get()
                && wanted.contains(&at)
            {
                let record = &*lost.record;
                records.found.entry(at).or_insert_with(|| Found {
                    record,
                    way: Vec::new(),
                    stated: &lost.links,
                });
            }
        }
        records
    }

    /// The record that was read there.
    pub(crate) fn get(&self, origin: Origin) -> Option<&Found<'a>> {
        self.found.get(&origin.get()?)
    }

    fn walk(&mut self, record: &'a dyn Record, way: &mut Vec<Step<'a>>, wanted: &HashSet<At>) {
        if let Some(at) = record.origin().get()
            && wanted.contains(&at)
        {
            self.found.entry(at).or_insert_with(|| Found { record, way: way.clone(), stated: &[] });
        }
        for (index, field) in record.info().fields.iter().enumerate() {
            if !matches!(field.shape, Shape::Record(_) | Shape::Records(_)) {
                continue;
            }
            match record.field(index).view() {
                View::Record(inner) => {
                    way.push(Step { field: field.name, key: None });
                    self.walk(inner, way, wanted);
                    way.pop();
                }
                View::List(list) => {
                    for position in 0..list.len() {
                        if let View::Record(inner) = list.item(position) {
                            way.push(Step { field: field.name, key: inner.key() });
                            self.walk(inner, way, wanted);
                            way.pop();
                        }
                    }
                }
                _ => {}
            }
        }
    }
}

impl Found<'_> {
    /// What the sheet's link columns hold for this record: header and name.
    pub(crate) fn links(&self, sheet: &'static Sheet) -> Vec<(&'static str, String)> {
        if !self.stated.is_empty() {
            return self.stated.iter().map(|(link, name)| (*link, name.to_string())).collect();
        }
        sheet.targets.iter().find_map(|target| self.links_of(target)).unwrap_or_default()
    }

    fn links_of(&self, target: &'static Target) -> Option<Vec<(&'static str, String)>> {
        let mut links = Vec::new();
        let mut way = self.way.iter();
        for hop in target.owner {
            let step = way.next()?;
            match hop {
                Hop::Item { list, link } => {
                    if step.field != *list {
                        return None;
                    }
                    links.push((*link, step.key.unwrap_or_default().to_owned()));
                }
                Hop::Field(field) => {
                    if step.field != *field {
                        return None;
                    }
                }
                Hop::Slot { link, fields } => {
                    if !fields.contains(&step.field) {
                        return None;
                    }
                    links.push((*link, step.field.to_owned()));
                }
            }
        }
        let last = way.next()?;
        if way.next().is_some() {
            return None;
        }
        match target.into {
            Into::List(field) | Into::Field(field) => (last.field == field).then_some(links),
            Into::Slot { link, fields } => fields.contains(&last.field).then(|| {
                links.push((link, last.field.to_owned()));
                links
            }),
        }
    }
}
