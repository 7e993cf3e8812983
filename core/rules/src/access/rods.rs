//! Long things that are carried between the outside and bays: pieces of tendons, sticks of duct, trumpets.

use std::collections::{BTreeMap, BTreeSet};

use restrand_finding::{Finding, Outcomes};
use restrand_model::route::Route;

use super::bays_beside;
use crate::context::{Context, TendonAt};
use crate::ways::{Fed, NoBody, Reach, Room, Ways, extent_m, longest_fed_mm, surely_fed_mm};

/// Rods by length and diameter, in hundredths of a millimetre, and the bays between which and the outside they go.
pub(super) struct Rods<T> {
    by: BTreeMap<(i64, i64), BTreeMap<usize, Vec<T>>>,
}

/// Rods of one kind that do not pass an opening.
pub(super) struct Stuck<T> {
    /// The opening that binds on the best way, by its position.
    pub(super) opening: usize,
    /// The first bay that they do not reach.
    pub(super) bay: usize,
    /// How long they are, mm.
    pub(super) length_mm: f64,
    /// How thick they are, mm.
    pub(super) diameter_mm: f64,
    /// The longest of that diameter that passes, mm; 0 where none does.
    pub(super) longest_mm: f64,
    /// Where openings name a bay that is not listed, and by which they would pass if it were this one.
    pub(super) would_pass: Vec<Route>,
    /// What goes to that bay.
    pub(super) items: Vec<T>,
}

impl<T> Rods<T> {
    pub(super) const fn new() -> Self {
        Self { by: BTreeMap::new() }
    }

    pub(super) fn add(&mut self, length_mm: f64, diameter_mm: f64, bay: usize, item: T) {
        #[expect(clippy::cast_possible_truncation, reason = "lengths of parts are small")]
        let key = |mm: f64| (mm * 100.0).round() as i64;
        let kind = self.by.entry((key(length_mm), key(diameter_mm))).or_default();
        kind.entry(bay).or_default().push(item);
    }

    /// What does not pass, each kind once for each opening; what passes, and what nobody knows, goes to the outcomes.
    pub(super) fn stuck(self, ways: &Ways<'_>, outcomes: &mut Outcomes) -> Vec<Stuck<T>> {
        let mut stuck = Vec::new();
        // What a door lets through depends on the diameter alone.
        let mut longest_by: BTreeMap<i64, Vec<Result<f64, NoBody>>> = BTreeMap::new();
        let mut fed = Fed::default();
        let mut surely_by: BTreeMap<i64, Vec<Option<Reach>>> = BTreeMap::new();
        for ((length, diameter), mut bays) in self.by {
            #[expect(clippy::cast_precision_loss, reason = "they were rounded from millimetres")]
            let (length_mm, diameter_mm) = (length as f64 / 100.0, diameter as f64 / 100.0);
            // Most pass without a search for the longest that would; the way on which the longest surely passes is the
            // same for every length.
            let surely = surely_by.entry(diameter).or_insert_with(|| {
                let of_door = |door| Some(surely_fed_mm(ways, door, diameter_mm));
                ways.widest_by(&ways.doors.iter().map(of_door).collect::<Vec<_>>())
            });
            bays.retain(|bay, _| {
                let passes = surely[*bay].is_some_and(|reach| reach.spare_mm >= length_mm);
                if passes {
                    outcomes.pass();
                }
                !passes
            });
            if bays.is_empty() {
                continue;
            }
            let longest = longest_by.entry(diameter).or_insert_with(|| {
                let of_doors =
                    ways.doors.iter().map(|door| longest_fed_mm(&mut fed, ways, door, diameter_mm));
                of_doors.map(|longest| longest.map(|mm| mm.unwrap_or(0.0))).collect()
            });
            let reached = ways.best(|index, _| longest[index].map(|mm| mm - length_mm));
            let mut told = BTreeSet::new();
            for (bay, items) in bays {
                match reached[bay] {
                    Ok(Some(reach)) if reach.spare_mm >= 0.0 => outcomes.pass(),
                    Ok(Some(reach)) => {
                        let opening = ways.doors[reach.binds].opening;
                        if told.insert(opening) {
                            let longest_mm = length_mm + reach.spare_mm;
                            let would_pass = ways.would_pass(bay, &reached, |door| {
                                let fed_mm = longest_fed_mm(&mut fed, ways, door, diameter_mm);
                                matches!(fed_mm, Ok(Some(fed_mm)) if fed_mm >= length_mm)
                            });
                            stuck.push(Stuck {
                                opening,
                                bay,
                                length_mm,
                                diameter_mm,
                                longest_mm,
                                would_pass,
                                items,
                            });
                        }
                    }
                    // That no way leads there is told by the rule on ways.
                    Ok(None) => outcomes.not_evaluated("schedule.openings"),
                    Err(field) => outcomes.not_evaluated(field),
                }
            }
        }
        stuck
    }
}

impl<T> Stuck<T> {
    /// The finding on it: a bay that ends before it begins may be the root, and an opening to a bay that is not there.
    pub(super) fn follows(&self, ways: &Ways<'_>, finding: Finding) -> Finding {
        let bays = self.rooms(ways).into_iter().flat_map(|bay| {
            let route = Route::to("bays", bay);
            [route.field("from_m"), route.field("to_m")]
        });
        finding.rests_on(bays).rests_on(self.would_pass.iter().cloned())
    }

    /// The bays on both sides of the opening: their lengths, widths and heights count too.
    pub(super) fn rooms(&self, ways: &Ways<'_>) -> Vec<usize> {
        let doors = ways.doors.iter().filter(|door| door.opening == self.opening);
        let rooms = doors.flat_map(|door| door.rooms);
        let bays = rooms.filter_map(|room| match room {
            Room::Bay(bay) => Some(bay),
            Room::Outside => None,
        });
        bays.collect()
    }
}

/// The bays beside the deviators of a tendon, and those in which its free length lies.
pub(super) fn bays_along(
    context: &Context<'_>,
    ways: &Ways<'_>,
    at: &TendonAt<'_>,
) -> Result<Vec<usize>, &'static str> {
    let mut bays = Vec::new();
    for place in at.tendon.deviators.iter().filter_map(|deviator| deviator.place.as_ref()) {
        bays.extend(bays_beside(context, ways, at, place.key())?.into_iter().flatten());
    }
    if bays.is_empty() {
        let stations = at.tendon.points.iter().filter_map(|point| point.station_m);
        let (from_m, to_m) = stations
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(from, to), at| (from.min(at), to.max(at)));
        bays.extend(ways.bays.iter().enumerate().filter_map(|(index, bay)| {
            let [Some(begin_m), Some(end_m)] = extent_m(context, bay) else { return None };
            (begin_m >= from_m && end_m <= to_m).then_some(index)
        }));
    }
    bays.sort_unstable();
    bays.dedup();
    Ok(bays)
}
