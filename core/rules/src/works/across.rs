//! What stands across the whole section, by station: each tendon looks only at what stands along it.

use restrand_model::schedule::{Place, PlaceKind, Schedule};

use crate::tendon_path::extent_m;

/// Places over the whole section, in the order of their faces down-station.
#[derive(Debug, Clone, Default)]
pub(crate) struct Across {
    /// The station of the face on the bridge's axis, m, and the place's position.
    faces: Vec<(f64, usize)>,
    /// The steepest skew of them, as its tangent.
    steepest: f64,
}

impl Across {
    /// The places of a schedule that stand across.
    pub(crate) fn of(schedule: &Schedule) -> Self {
        let mut across = Self::default();
        for (position, place) in schedule.places.iter().enumerate() {
            if let Some([down_m, _]) = extent_m(place, 0.0).filter(|_| stands_across(place)) {
                across.faces.push((down_m, position));
                let slope = place.skew_rad.unwrap_or(0.0).tan().abs();
                across.steepest = across.steepest.max(slope);
            }
        }
        across.faces.sort_by(|(one, _), (other, _)| one.total_cmp(other));
        across
    }

    /// The positions of those that may stand between two stations, up to so far beside the axis.
    pub(crate) fn between(
        &self,
        [from_m, to_m]: [f64; 2],
        aside_m: f64,
    ) -> impl Iterator<Item = usize> {
        let shift_m = aside_m * self.steepest;
        let first = self.faces.partition_point(|(face_m, _)| *face_m < from_m - shift_m);
        let near =
            self.faces[first..].iter().take_while(move |(face_m, _)| *face_m <= to_m + shift_m);
        near.map(|(_, position)| *position)
    }
}

/// Another tendon's blister or saddle does not.
fn stands_across(place: &Place) -> bool {
    matches!(
        place.kind,
        Some(
            PlaceKind::Abutment
                | PlaceKind::Pier
                | PlaceKind::ExpansionJoint
                | PlaceKind::IntermediateDiaphragm
        )
    )
}
