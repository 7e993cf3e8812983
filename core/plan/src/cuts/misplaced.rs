//! Cuts that come too near to what is held.

use restrand_rules::works::{Along, Held};

use super::{ONE_CUT_M, PlannedCut, is_at_a};

/// A cut where nobody may cut.
#[derive(Debug, Clone, PartialEq)]
pub struct Misplaced {
    /// The cut.
    pub cut: PlannedCut,
    /// The place to which it comes too near.
    pub place: String,
    /// How near to its face it lies, mm; negative inside.
    pub clear_mm: f64,
    /// How near it may lie, mm.
    pub least_mm: f64,
    /// The nearest station at which it may be, m.
    pub instead_m: f64,
    /// The same from end a along the tendon, m.
    pub instead_along_m: f64,
}

/// A cut that comes too near to what is held, once for each.
pub(super) fn too_near<'c>(
    along: &'c Along,
    cut: &'c PlannedCut,
    held: &'c [Held],
    clear_m: f64,
) -> impl Iterator<Item = Misplaced> + use<'c> {
    held.iter().filter_map(move |held| {
        let clear = clear_of(cut, held);
        if clear >= clear_m - ONE_CUT_M {
            return None;
        }
        let [from_m, to_m] = held.along_m;
        // At an end only the span side is open to a saw.
        let is_down = match held.is_end {
            true => !is_at_a(held),
            false => cut.along_m - from_m < to_m - cut.along_m,
        };
        let instead = if is_down { from_m - clear_m } else { to_m + clear_m };
        Some(Misplaced {
            cut: cut.clone(),
            place: held.place.clone(),
            clear_mm: clear * 1000.0,
            least_mm: clear_m * 1000.0,
            instead_m: along.station_m(instead),
            instead_along_m: instead,
        })
    })
}

/// How far a cut lies from the nearer face of what is held, m; negative inside.
fn clear_of(cut: &PlannedCut, held: &Held) -> f64 {
    (held.along_m[0] - cut.along_m).max(cut.along_m - held.along_m[1])
}

/// A release without room for window and clamps: the nearest place in a free length that has it.
pub(super) fn release_without_room(
    along: &Along,
    cut: &PlannedCut,
    held: &[Held],
    free_m: &[[f64; 2]],
    [clear_m, aside_m]: [f64; 2],
) -> Option<Misplaced> {
    let open = free_m.iter().map(|[from_m, to_m]| {
        // In a short length the release is made in its middle.
        let aside_m = aside_m.min((to_m - from_m) / 2.0);
        cut.along_m.clamp(from_m + aside_m, to_m - aside_m)
    });
    let instead = open
        .min_by(|one, other| (one - cut.along_m).abs().total_cmp(&(other - cut.along_m).abs()))?;
    if (instead - cut.along_m).abs() < ONE_CUT_M {
        return None;
    }
    let nearest =
        held.iter().min_by(|one, other| clear_of(cut, one).total_cmp(&clear_of(cut, other)))?;
    Some(Misplaced {
        cut: cut.clone(),
        place: nearest.place.clone(),
        clear_mm: clear_of(cut, nearest) * 1000.0,
        least_mm: (clear_m + aside_m) * 1000.0,
        instead_m: along.station_m(instead),
        instead_along_m: instead,
    })
}
