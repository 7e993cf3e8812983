//! Where a tendon lies in concrete or in a form, so that nobody can cut it.

use super::along::Along;
use crate::context::{Context, TendonAt};
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
}

/// Where the tendon passes concrete between its anchorages, in the order along it.
///
/// # Errors
/// The field without which it is not known.
pub fn held(context: &Context<'_>, at: &TendonAt<'_>) -> Result<Vec<Held>, &'static str> {
    let along = Along::of(context, at)?;
    let [first_m, last_m] = along.stations_m();
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
        let station_m = place.record.station_m.ok_or("place.station_m")?;
        let half_m =
            context.form_at(deviator).and_then(|form| form.length_mm).map(|mm| mm / 2000.0);
        let [down_m, up_m] = match (extent_m(place.record, 0.0), half_m) {
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
        });
    }
    let ends: Vec<_> =
        at.ends().filter_map(|end| end.end.place.as_ref()).map(|place| place.key()).collect();
    for place in &context.schedule.places {
        let Some(id) = place.id.as_deref() else { continue };
        if ends.contains(&id) || held.iter().any(|held| held.place == id) {
            continue;
        }
        if let Some([down_m, up_m]) = extent_m(place, 0.0)
            && down_m > first_m
            && up_m < last_m
        {
            let along_m = [along.at_m(down_m), along.at_m(up_m)];
            held.push(Held { place: id.to_owned(), along_m, deviator: None });
        }
    }
    held.sort_by(|one, other| one.along_m[0].total_cmp(&other.along_m[0]));
    Ok(held)
}
