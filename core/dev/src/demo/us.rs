//! The edition in US customary units.

use restrand_model::schedule::{Bay, DisplayUnits, Opening, RemovalSpace, Schedule};

/// A quarter of an inch, mm.
const QUARTER_MM: f64 = 6.35;

/// The demo bridge as an office that draws in feet and inches gives it.
///
/// Clear room and clear sizes are rounded down to a quarter of an inch, depths and sills up, as a careful
/// draughtsman does; all other values are the same.
#[must_use]
pub fn us_edition() -> Schedule {
    let mut schedule = super::bridge();
    if let Some(project) = schedule.project.as_deref_mut() {
        project.display_units = Some(DisplayUnits::Us);
    }
    for Bay { width_mm, height_mm, .. } in &mut schedule.bays {
        down(width_mm);
        down(height_mm);
    }
    for opening in &mut schedule.openings {
        let Opening { width_mm, height_mm, clear_before_mm, clear_beyond_mm, .. } = opening;
        for clear in [width_mm, height_mm, clear_before_mm, clear_beyond_mm] {
            down(clear);
        }
        up(&mut opening.depth_mm);
        up(&mut opening.sill_mm);
    }
    for tendon in &mut schedule.tendons {
        let Some(ends) = tendon.ends.as_deref_mut() else { continue };
        for end in [&mut ends.a, &mut ends.b].into_iter().flatten() {
            down(&mut end.strand_equipment_room_mm);
            if let Some(space) = end.removal_space.as_deref_mut() {
                let RemovalSpace { behind_mm, up_mm, down_mm, left_mm, right_mm, .. } = space;
                for clear in [behind_mm, up_mm, down_mm, left_mm, right_mm] {
                    down(clear);
                }
            }
        }
    }
    schedule
}

fn down(length: &mut Option<f64>) {
    *length = length.map(|length| quarters((length / QUARTER_MM).floor()));
}

fn up(length: &mut Option<f64>) {
    *length = length.map(|length| quarters((length / QUARTER_MM).ceil()));
}

/// So many quarters of an inch in mm; from whole numbers, so that the nearest float comes out.
fn quarters(count: f64) -> f64 {
    count * 127.0 / 20.0
}
