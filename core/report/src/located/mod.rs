//! Findings where they stand in the input, in words and with an excerpt, for those who read them.

mod excerpt;
mod places;

pub(crate) use excerpt::excerpt;
pub(crate) use places::{also, in_full, others};

use std::collections::HashSet;

use restrand_check::{LocatedFinding, LocatedRelated};
use restrand_model::reading::Place;

use crate::alike::Alike;
use crate::checked::Checked;
use crate::records::Records;
use crate::text::{Places, Wanted};

/// What has to be looked up before findings can be shown.
pub(crate) struct Lookup<'a> {
    records: Records<'a>,
    places: Places,
}

impl<'a> Lookup<'a> {
    /// Looks up the places of these findings, and of as many that say the same as one of them.
    pub(crate) fn of(checked: &Checked<'a>, shown: &[Alike<'a>], alike: usize) -> Self {
        let firsts: Vec<_> = shown.iter().map(|alike| alike.first).collect();
        let others: Vec<_> =
            shown.iter().flat_map(|group| group.others.iter().take(alike).copied()).collect();
        let records = match checked.reading {
            Some(reading) => {
                let mut wanted = HashSet::new();
                wanted.extend(others.iter().filter_map(|found| found.record.get()));
                for found in &firsts {
                    wanted.extend(found.record.get());
                    wanted.extend(found.related.iter().filter_map(|related| related.record.get()));
                }
                Records::of(reading, &wanted)
            }
            None => Records::default(),
        };
        let mut wanted = Vec::new();
        wanted.extend(others.iter().filter_map(|found| wanted_of(&found.place, found, &records)));
        for found in firsts {
            wanted.extend(wanted_of(&found.place, found, &records));
            for related in &found.related {
                wanted.extend(wanted_related(related, &records));
            }
        }
        let places = Places::find(&wanted, checked.sources);
        drop(wanted);
        Self { records, places }
    }
}

fn wanted_of<'a>(
    place: &'a Place,
    found: &'a LocatedFinding,
    records: &Records<'a>,
) -> Option<Wanted<'a>> {
    wanted_at(place, records.get(found.record).and_then(|found| found.record.info().key))
}

fn wanted_related<'a>(related: &'a LocatedRelated, records: &Records<'a>) -> Option<Wanted<'a>> {
    let key = records.get(related.record).and_then(|found| found.record.info().key);
    wanted_at(related.place.as_ref()?, key)
}

fn wanted_at<'a>(place: &'a Place, key: Option<&'a str>) -> Option<Wanted<'a>> {
    match place {
        Place::Text { part, span, path } => Some(Wanted { part, span: *span, path, key }),
        _ => None,
    }
}
