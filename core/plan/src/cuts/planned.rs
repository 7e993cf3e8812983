//! Cuts that no one states: from the midpoint outward, in pieces of one length.

use restrand_mechanics::removal::pieces;
use restrand_model::schedule::CutPlace;
use restrand_rules::works::Along;

use super::{Bound, ONE_CUT_M, PlannedCut};

/// Cuts from the midpoint outward: the release, then pieces of one length between what is held.
pub(super) fn planned(
    along: &Along,
    free: &[[f64; 2]],
    bounds: &[Option<Bound>],
    bonded_at_m: &[f64],
    [clear_m, window_m]: [f64; 2],
) -> Result<Vec<PlannedCut>, &'static str> {
    let releases_m = releases(along, free, bonded_at_m, (window_m - clear_m).max(0.0))?;
    let mut at: Vec<(f64, CutPlace)> = Vec::new();
    for ([from_m, to_m], bound) in free.iter().copied().zip(bounds) {
        let mut parts = vec![from_m, to_m];
        parts.extend(releases_m.iter().filter(|at_m| **at_m > from_m && **at_m < to_m));
        parts.sort_by(f64::total_cmp);
        for pair in parts.windows(2) {
            let length_m = pair[1] - pair[0];
            let count = match bound {
                Some(Bound { longest_m, .. }) => {
                    pieces(length_m, *longest_m).map_err(|_| "replacement.piece_length_mm")?.count
                }
                None => 1,
            };
            let each_m = length_m / f64::from(count);
            at.extend(
                (1..count).map(|index| (pair[0] + each_m * f64::from(index), CutPlace::Piece)),
            );
        }
        at.push((from_m, CutPlace::Stub));
        at.push((to_m, CutPlace::Stub));
    }
    let is_release =
        |along_m: f64| releases_m.iter().any(|at_m| (along_m - at_m).abs() <= ONE_CUT_M);
    at.retain(|(along_m, _)| !is_release(*along_m));
    let first_m = releases_m[0];
    at.sort_by(|(one, _), (other, _)| (one - first_m).abs().total_cmp(&(other - first_m).abs()));
    // Nothing is cut as a piece before every length has been released.
    let released = releases_m.iter().map(|along_m| (*along_m, CutPlace::Release));
    Ok(released
        .chain(at)
        .map(|(along_m, purpose)| PlannedCut {
            station_m: along.station_m(along_m),
            along_m,
            purpose,
            stated: None,
        })
        .collect())
}

/// Where each bonded length is released, m along the tendon: nearest to its middle with room for window and clamps,
/// the one nearest to the tendon's middle first.
fn releases(
    along: &Along,
    free: &[[f64; 2]],
    bonded_at_m: &[f64],
    aside_m: f64,
) -> Result<Vec<f64>, &'static str> {
    let mut borders = vec![0.0];
    borders.extend(bonded_at_m);
    borders.push(along.length_m());
    let mut releases_m = Vec::new();
    for bonded in borders.windows(2) {
        let middle_m = f64::midpoint(bonded[0], bonded[1]);
        let within = free
            .iter()
            .map(|[from_m, to_m]| [from_m.max(bonded[0]), to_m.min(bonded[1])])
            .filter(|[from_m, to_m]| to_m > from_m);
        // Window and clamps need more room than a saw; in a short length the release is made in its middle.
        let windows = within.map(|[from_m, to_m]| {
            let aside_m = aside_m.min((to_m - from_m) / 2.0);
            middle_m.clamp(from_m + aside_m, to_m - aside_m)
        });
        // A bonded length without a free one has none: that stands against the plan.
        releases_m.extend(
            windows
                .min_by(|one, other| (one - middle_m).abs().total_cmp(&(other - middle_m).abs())),
        );
    }
    let middle_m = along.length_m() / 2.0;
    releases_m.sort_by(|one, other| (one - middle_m).abs().total_cmp(&(other - middle_m).abs()));
    match releases_m.is_empty() {
        true => Err("tendon.deviators"),
        false => Ok(releases_m),
    }
}
