//! The recess in a face in which an anchorage sits.

use restrand_model::route::Route;
use restrand_model::schedule::{EndName, FaceName, Recess};

use super::axis::EndAxis;
use crate::context::{Context, EndAt, TendonAt};

/// A recess round an end, in the anchorage's own axes at the bearing plate's face.
#[derive(Debug, Clone, PartialEq)]
pub struct RecessAround {
    /// From the axis to its upper wall, mm.
    pub up_mm: f64,
    /// From the axis to its lower wall, mm.
    pub down_mm: f64,
    /// From the axis to its left wall, mm.
    pub left_mm: f64,
    /// From the axis to its right wall, mm.
    pub right_mm: f64,
    /// How far its walls reach rearward, mm.
    pub depth_mm: f64,
    /// Slope of the axis against its walls, going rearward, positive upward, rad.
    pub tilt_up_rad: f64,
    /// Turn of the axis against its walls, going rearward, positive to the left, rad.
    pub tilt_left_rad: f64,
    /// Its route.
    pub route: Route,
}

/// The recess in which an end sits, if its face has one there.
///
/// # Errors
/// The field without which it is not known.
pub fn recess_around(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    end: &EndAt<'_>,
) -> Result<Option<RecessAround>, &'static str> {
    let Some(place) = context.place(end.end.place.as_ref()) else { return Ok(None) };
    let faces = place.record.faces.as_deref();
    let (face, name) = match end.end.face {
        Some(FaceName::Up) => (faces.and_then(|faces| faces.up.as_deref()), "up"),
        Some(FaceName::Down) => (faces.and_then(|faces| faces.down.as_deref()), "down"),
        None => return Ok(None),
    };
    let Some(face) = face.filter(|face| !face.recesses.is_empty()) else { return Ok(None) };
    let point = match end.name {
        EndName::A => at.tendon.points.first(),
        EndName::B => at.tendon.points.last(),
    };
    let point = point.ok_or("tendon.points")?;
    let lateral_m = point.lateral_m.ok_or("tendon_point.lateral_m")?;
    let elevation_m = point.elevation_m.ok_or("tendon_point.elevation_m")?;
    let axis = EndAxis::of(context, at, end)?;
    let skew_rad = place.record.skew_rad.unwrap_or(0.0);
    let list = place.route.field("faces").field(name).field("recesses");
    for (index, recess) in face.recesses.iter().enumerate() {
        let Sized { half_width_mm, half_height_mm, depth_mm, aside_mm, above_mm } =
            Sized::of(recess, lateral_m, elevation_m)?;
        if aside_mm.abs() > half_width_mm || above_mm.abs() > half_height_mm {
            continue;
        }
        // A face whose left end lies up-station is turned to the right, seen up-station.
        let tilt_left_rad = match end.name {
            EndName::A => axis.rear_turn_rad - skew_rad,
            EndName::B => axis.rear_turn_rad + skew_rad,
        };
        return Ok(Some(RecessAround {
            up_mm: half_height_mm - above_mm,
            down_mm: half_height_mm + above_mm,
            left_mm: half_width_mm - aside_mm,
            right_mm: half_width_mm + aside_mm,
            depth_mm,
            tilt_up_rad: axis.rear_pitch_rad,
            tilt_left_rad,
            route: list.item(index),
        }));
    }
    Ok(None)
}

struct Sized {
    half_width_mm: f64,
    half_height_mm: f64,
    depth_mm: f64,
    /// Of the axis from the middle, to the left.
    aside_mm: f64,
    /// Of the axis from the middle, upward.
    above_mm: f64,
}

impl Sized {
    fn of(recess: &Recess, lateral_m: f64, elevation_m: f64) -> Result<Self, &'static str> {
        Ok(Self {
            half_width_mm: recess.width_mm.ok_or("recess.width_mm")? / 2.0,
            half_height_mm: recess.height_mm.ok_or("recess.height_mm")? / 2.0,
            depth_mm: recess.depth_mm.ok_or("recess.depth_mm")?,
            aside_mm: (lateral_m - recess.lateral_m.ok_or("recess.lateral_m")?) * 1000.0,
            above_mm: (elevation_m - recess.elevation_m.ok_or("recess.elevation_m")?) * 1000.0,
        })
    }
}
