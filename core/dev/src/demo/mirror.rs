//! The right tendon of a pair from the left one.

use restrand_model::reflect::Link;
use restrand_model::schedule::{End, Tendon, TendonSide};

use super::make::text;

/// The tendon on the right: lateral positions and turns in plan with the other sign, room to the left and
/// to the right exchanged, next in every order; all else equal.
pub(super) fn mirrored(left: &Tendon) -> Tendon {
    let mut right = left.clone();
    right.mark = left.twin.as_ref().map(|twin| twin.key().into());
    right.twin = left.mark.clone().map(Link::to);
    right.web = text("right web");
    right.side = Some(TendonSide::Right);
    right.order = left.order.map(|order| order + 1);
    for point in &mut right.points {
        point.lateral_m = point.lateral_m.map(opposite);
    }
    for deviator in &mut right.deviators {
        deviator.yaw_rad = deviator.yaw_rad.map(opposite);
    }
    if let Some(ends) = right.ends.as_deref_mut() {
        for end in [&mut ends.a, &mut ends.b].into_iter().flatten() {
            mirror_end(end);
        }
    }
    if let Some(replacement) = right.replacement.as_deref_mut() {
        replacement.order = replacement.order.map(|order| order + 1);
    }
    right
}

fn mirror_end(end: &mut End) {
    end.yaw_rad = end.yaw_rad.map(opposite);
    if let Some(space) = end.removal_space.as_deref_mut() {
        std::mem::swap(&mut space.left_mm, &mut space.right_mm);
    }
}

/// The opposite number, without a minus zero.
fn opposite(value: f64) -> f64 {
    0.0 - value
}
