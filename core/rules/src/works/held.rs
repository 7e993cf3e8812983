//! Where a tendon lies in concrete or in a form, so that nobody can cut it.

use restrand_model::schedule::{EndName, Tendon};

use super::along::Along;
use crate::context::{Context, EndAt, TendonAt};
use crate::tendon_path::{DeviatorSpot, extent_m};

/// A stretch of the tendon inside concrete or a form.
#[derive(Debug, Clone, PartialEq)]
pub struct Held {
    /// The place.
    pub place: String,
    /// From its face down-station to its face up-station, m along the tendon.
    pub along_m: [f64; 2],
    /// The position of the deviator there, if there is one.
    pub deviator: Option<usize>,
    /// Whether the tendon is anchored there.
    pub is_end: bool,
}

impl Held {
    /// How far a place along the tendon lies outside, m; negative inside.
    #[must_use]
    pub fn clear_m(&self, along_m: f64) -> f64 {
        (self.along_m[0] - along_m).max(along_m - self.along_m[1])
    }
}

/// A place along the tendon that is clear of all that holds it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Free {
    /// Its length from end a, m.
    pub along_m: f64,
    /// Whether what is next to it lies before it: then a little further along is clear too.
    pub is_after: bool,
}

/// The place nearest to another that lies on the tendon and this far off everything that holds it, m; nothing where
/// there is none.
#[must_use]
pub fn nearest_free(held: &[Held], length_m: f64, along_m: f64, off_m: f64) -> Option<Free> {
    /// Of a sum of lengths along the tendon.
    const ROUNDING_M: f64 = 1e-9;
    held.iter()
        .flat_map(|held| {
            let [from_m, to_m] = held.along_m;
            [
                Free { along_m: from_m - off_m, is_after: false },
                Free { along_m: to_m + off_m, is_after: true },
            ]
        })
        .filter(|free| (0.0..=length_m).contains(&free.along_m))
        .filter(|free| held.iter().all(|held| held.clear_m(free.along_m) >= off_m - ROUNDING_M))
        .min_by(|one, other| {
            (one.along_m - along_m).abs().total_cmp(&(other.along_m - along_m).abs())
        })
}

/// Where the tendon passes concrete: [`Context::held`] keeps it.
pub(crate) fn find_held(
    context: &Context<'_>,
    at: &TendonAt<'_>,
) -> Result<Vec<Held>, &'static str> {
    let along = Along::of(context, at)?;
    let laid = context.path(at).map_err(|none| none.field())?;
    let mut held = Vec::new();
    for (index, deviator) in at.tendon.deviators.iter().enumerate() {
        if let Some(DeviatorSpot::Unknown(field)) = laid.deviators.get(index) {
            return Err(field);
        }
        if laid.deviators.get(index) == Some(&DeviatorSpot::OffPath) {
            continue;
        }
        let place = context.place(deviator.place.as_ref()).ok_or("deviator.place")?;
        let station_m = context.deviator_station_m(at, index).ok_or("place.station_m")?;
        let half_m =
            context.form_at(at, index).and_then(|form| form.length_mm).map(|mm| mm / 2000.0);
        let lateral_m = lateral_at_m(at.tendon, station_m);
        let [down_m, up_m] = match (extent_m(place.record, lateral_m), half_m) {
            (Some([down_m, up_m]), half_m) => {
                let half_m = half_m.unwrap_or(0.0);
                [down_m.min(station_m - half_m), up_m.max(station_m + half_m)]
            }
            (None, Some(half_m)) => [station_m - half_m, station_m + half_m],
            (None, None) => return Err("place.thickness_mm"),
        };
        held.push(Held {
            place: place.record.id.as_deref().unwrap_or_default().to_owned(),
            along_m: [along.at_m(down_m), along.at_m(up_m)],
            deviator: Some(index),
            is_end: false,
        });
    }
    between(context, at, &along, &mut held);
    for end in at.ends() {
        held.extend(anchored(context, at, &end, &along));
    }
    held.sort_by(|one, other| one.along_m[0].total_cmp(&other.along_m[0]));
    Ok(held)
}

/// What stands across the tendon between its ends, without a deviator of its own.
fn between(context: &Context<'_>, at: &TendonAt<'_>, along: &Along, held: &mut Vec<Held>) {
    let [first_m, last_m] = along.stations_m();
    let ends: Vec<_> =
        at.ends().filter_map(|end| end.end.place.as_ref()).map(|place| place.key()).collect();
    let points = &at.tendon.points;
    let aside_m = points
        .iter()
        .filter_map(|point| point.lateral_m)
        .fold(0.0, |so_far: f64, at_m| so_far.max(at_m.abs()));
    // Another tendon's blister or saddle is not in the way of this one, unless a point of it says so.
    let named =
        points.iter().filter_map(|point| context.position("places", point.place.as_ref()?.key()));
    let mut positions: Vec<usize> =
        context.across().between([first_m, last_m], aside_m).chain(named).collect();
    positions.sort_unstable();
    positions.dedup();
    for place in positions.into_iter().map(|position| &context.schedule.places[position]) {
        let Some(id) = place.id.as_deref() else { continue };
        if ends.contains(&id) || held.iter().any(|held| held.place == id) {
            continue;
        }
        let Some(middle_m) = place.station_m else { continue };
        if let Some([down_m, up_m]) = extent_m(place, lateral_at_m(at.tendon, middle_m))
            && down_m > first_m
            && up_m < last_m
        {
            let along_m = [along.at_m(down_m), along.at_m(up_m)];
            held.push(Held { place: id.to_owned(), along_m, deviator: None, is_end: false });
        }
    }
}

/// From the bearing plate of an end to the face of its place on the span side.
fn anchored(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    end: &EndAt<'_>,
    along: &Along,
) -> Option<Held> {
    let place = context.place(end.end.place.as_ref())?;
    let [first_m, last_m] = along.stations_m();
    let along_m = match end.name {
        EndName::A => {
            let [_, up_m] = extent_m(place.record, lateral_at_m(at.tendon, first_m))?;
            [0.0, along.at_m(up_m)]
        }
        EndName::B => {
            let [down_m, _] = extent_m(place.record, lateral_at_m(at.tendon, last_m))?;
            [along.at_m(down_m), along.length_m()]
        }
    };
    let name = place.record.id.as_deref().unwrap_or_default().to_owned();
    (along_m[1] > along_m[0]).then_some(Held { place: name, along_m, deviator: None, is_end: true })
}

/// Where a tendon lies across the bridge at a station, m; between its points in a straight line.
#[must_use]
pub fn lateral_at_m(tendon: &Tendon, station_m: f64) -> f64 {
    let known = tendon.points.iter().filter_map(|point| Some([point.station_m?, point.lateral_m?]));
    let points: Vec<[f64; 2]> = known.collect();
    let after = points.partition_point(|[at_m, _]| *at_m < station_m);
    match (after.checked_sub(1).and_then(|index| points.get(index)), points.get(after)) {
        (Some([from_m, from_y]), Some([to_m, to_y])) => {
            from_y + (to_y - from_y) * (station_m - from_m) / (to_m - from_m)
        }
        (Some([_, y]), None) | (None, Some([_, y])) => *y,
        (None, None) => 0.0,
    }
}

#[cfg(test)]
mod tests {
    use restrand_model::schedule::TendonPoint;

    use super::*;

    fn held(along_m: [f64; 2]) -> Held {
        Held { place: "D".to_owned(), along_m, deviator: None, is_end: false }
    }

    #[test]
    fn the_nearest_free_place_is_off_all_that_holds_the_tendon() {
        let all = [held([10.0, 12.0]), held([14.0, 15.0])];
        let free = |along_m, off_m| {
            nearest_free(&all, 20.0, along_m, off_m).map(|free| (free.along_m, free.is_after))
        };
        assert_eq!(free(10.9, 0.5), Some((9.5, false)));
        assert_eq!(free(11.1, 0.5), Some((12.5, true)));
        assert_eq!(free(13.9, 0.5), Some((13.5, false)));
        // Between the two there is no place that is 1.5 m off both.
        assert_eq!(free(12.0, 1.5), Some((8.5, false)));
        assert_eq!(free(14.0, 1.5), Some((16.5, true)));
        // Beyond the ends there is none.
        assert_eq!(free(11.0, 10.5), None);
        assert_eq!(free(11.0, 5.0), Some((5.0, false)));
        assert_eq!(
            (all[0].clear_m(9.0), all[0].clear_m(11.5), all[0].clear_m(12.5)),
            (1.0, -0.5, 0.5)
        );
    }

    #[test]
    fn between_its_points_a_tendon_lies_on_a_straight_line() {
        let point = |station_m, lateral_m| TendonPoint {
            station_m: Some(station_m),
            lateral_m: Some(lateral_m),
            ..TendonPoint::default()
        };
        let mut tendon = Tendon {
            points: vec![point(100.0, 2.0), point(110.0, 3.0), point(130.0, -1.0)],
            ..Tendon::default()
        };
        for (station_m, lateral_m) in
            [(90.0, 2.0), (100.0, 2.0), (102.5, 2.25), (110.0, 3.0), (125.0, 0.0), (140.0, -1.0)]
        {
            assert_eq!(lateral_at_m(&tendon, station_m), lateral_m, "{station_m}");
        }
        // A point of which that is not stated is no point of the line.
        tendon.points[1].lateral_m = None;
        assert_eq!(lateral_at_m(&tendon, 115.0), 0.5);
        assert_eq!(lateral_at_m(&Tendon::default(), 100.0), 0.0);
    }
}
