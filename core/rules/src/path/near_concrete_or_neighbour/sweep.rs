//! Tendons beside each other, found by going over the stations once.
//!
//! Two ducts are compared only where they share stations and come near in plan and elevation, so that the work grows
//! with the tendons and not with their square.

use restrand_mechanics::room::{Cylinder, nearest as nearest_place};

use crate::beyond::short_of;
use crate::duct_lengths::DuctOnLeg;

/// The duct on a leg of a tendon, or on a stretch of it, as a cylinder.
pub(crate) struct Stretch {
    tendon: usize,
    leg: usize,
    stations_m: [f64; 2],
    cylinder: Cylinder,
    length_mm: f64,
}

/// A neighbour of a tendon, and where it is nearest.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Beside {
    pub(crate) leg: usize,
    pub(crate) other: usize,
    pub(crate) other_leg: usize,
    pub(crate) station_m: f64,
    pub(crate) axes_mm: f64,
    pub(crate) gap_mm: f64,
    /// How many tendons further on in the schedule are too near.
    pub(crate) near: usize,
}

impl Stretch {
    pub(crate) fn of(tendon: usize, duct: &DuctOnLeg<f64>) -> Self {
        let DuctOnLeg { leg, stations_m, length_m, .. } = *duct;
        let cylinder = duct.cylinder();
        Self { tendon, leg, stations_m, cylinder, length_mm: length_m * 1000.0 }
    }

    /// Whether the boxes round the two come within so much of each other.
    fn may_meet(&self, other: &Self, clear_mm: f64) -> bool {
        let reach_mm = self.cylinder.radius_mm + other.cylinder.radius_mm + clear_mm;
        let (one, two) = (&self.cylinder, &other.cylinder);
        (0..one.from_mm.len()).all(|axis| {
            let range = |cylinder: &Cylinder| {
                let (from, to) = (cylinder.from_mm[axis], cylinder.to_mm[axis]);
                (from.min(to), from.max(to))
            };
            let ((low, high), (other_low, other_high)) = (range(one), range(two));
            low <= other_high + reach_mm && other_low <= high + reach_mm
        })
    }
}

/// The nearest of the tendons further on in the schedule that are nearer than is clear, for each tendon.
pub(crate) fn nearest(stretches: &[Stretch], tendons: usize, clear_mm: f64) -> Vec<Option<Beside>> {
    let mut found: Vec<Vec<Beside>> = vec![Vec::new(); tendons];
    let mut order: Vec<&Stretch> = stretches.iter().collect();
    order.sort_by(|one, other| one.stations_m[0].total_cmp(&other.stations_m[0]));
    let mut open: Vec<&Stretch> = Vec::new();
    for stretch in order {
        // What ends where this begins runs on in line with it, or not beside it.
        open.retain(|before| before.stations_m[1] > stretch.stations_m[0]);
        for before in &open {
            if before.tendon != stretch.tendon && before.may_meet(stretch, clear_mm) {
                compare(before, stretch, clear_mm, &mut found);
            }
        }
        open.push(stretch);
    }
    found
        .into_iter()
        .map(|near| {
            let count = near.len();
            let least = near
                .into_iter()
                .reduce(|one, other| if other.gap_mm < one.gap_mm { other } else { one })?;
            Some(Beside { near: count, ..least })
        })
        .collect()
}

/// Compares two legs; the tendon that stands first in the schedule has the finding.
fn compare(one: &Stretch, other: &Stretch, clear_mm: f64, found: &mut [Vec<Beside>]) {
    let (first, second) = if one.tendon < other.tendon { (one, other) } else { (other, one) };
    let Ok(place) = nearest_place(&first.cylinder, &second.cylinder) else { return };
    if !short_of(place.gap_mm, clear_mm) {
        return;
    }
    let [from_m, to_m] = first.stations_m;
    let share = place.along_one_mm / first.length_mm;
    let beside = Beside {
        leg: first.leg,
        other: second.tendon,
        other_leg: second.leg,
        station_m: from_m + share * (to_m - from_m),
        axes_mm: place.axes_mm,
        gap_mm: place.gap_mm,
        near: 1,
    };
    let near = &mut found[first.tendon];
    match near.iter_mut().find(|known| known.other == second.tendon) {
        Some(known) if known.gap_mm <= beside.gap_mm => {}
        Some(known) => *known = beside,
        None => near.push(beside),
    }
}
