//! A deviator in space: its form's axis and the legs that meet there.

use restrand_mechanics::path::{Direction, PitchYaw, Point, angle_between_rad, axis};
use restrand_model::schedule::Form;

use crate::context::{Context, TendonAt};
use crate::deviator::guided;
use crate::ends::Frame;
use crate::tendon_path::DeviatorSpot;

/// A deviator in space.
#[derive(Debug, Clone, PartialEq)]
pub struct Deviated {
    /// The form as it holds there, where it is listed.
    pub form: Option<Form>,
    /// The middle of the form: where the tendon's axes meet, or where the straight leg passes the place.
    pub at: Point,
    /// The form's own axes; those of the alignment where the form states no slope or turn.
    pub frame: Frame,
    /// The field without which the form's axis is not known.
    pub axis_lacks: Option<&'static str>,
    /// Directions of the legs down-station and up-station, both up-station.
    pub legs: [Direction; 2],
    /// Angles of the legs to the form's axis, where that is known, rad.
    pub legs_rad: Option<[f64; 2]>,
    /// The deviation in space, rad.
    pub angle_rad: f64,
    /// Radius of the bend and its tangent length, m, where there is a bend with a radius.
    pub bend_m: Option<[f64; 2]>,
    /// Angle by which leg and form may differ, rad: stated, or the rulebook's.
    pub tolerance_rad: Option<f64>,
}

/// A deviator of a tendon in space.
///
/// # Errors
/// The field without which it is not known.
pub fn deviated(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    index: usize,
) -> Result<Deviated, &'static str> {
    let laid = context.path(at).map_err(|none| none.field())?;
    let deviator = at.tendon.deviators.get(index).ok_or("tendon.deviators")?;
    let spot = *laid.deviators.get(index).ok_or("tendon.deviators")?;
    let legs = laid.legs_at(index).ok_or(match spot {
        DeviatorSpot::Unknown(field) => field,
        _ => "deviator.place",
    })?;
    let place = context.place(deviator.place.as_ref());
    let place_m = place.as_ref().and_then(|place| place.record.station_m);
    let (station_m, middle, bend) = match spot {
        DeviatorSpot::Corner(bend) => {
            let point = at.tendon.points.get(bend + 1).ok_or("tendon.points")?;
            (point.station_m, legs[0].to, laid.path.bends.get(bend))
        }
        _ => {
            // The leg passes straight: where it meets the place's station.
            let points = |index: usize| at.tendon.points.get(index)?.station_m;
            let leg = match spot {
                DeviatorSpot::OnLeg(leg) => leg,
                _ => return Err("deviator.place"),
            };
            let (Some(from_m), Some(to_m), Some(here_m)) = (points(leg), points(leg + 1), place_m)
            else {
                return Err("place.station_m");
            };
            let share = if to_m > from_m { (here_m - from_m) / (to_m - from_m) } else { 0.0 };
            let between = |from: f64, to: f64| from + share * (to - from);
            let (from, to) = (legs[0].from, legs[0].to);
            let middle = Point {
                x_m: between(from.x_m, to.x_m),
                y_m: between(from.y_m, to.y_m),
                z_m: between(from.z_m, to.z_m),
            };
            (place_m, middle, None)
        }
    };
    let station_m = station_m.or(place_m).ok_or("place.station_m")?;
    let alignment = context.alignment().map_err(|none| none.field())?;
    let heading_rad = alignment.heading_rad(station_m).map_err(|_| "place.station_m")?;
    let form = context.form_at(at, index);
    let turned = form.map_or(Err("deviator.form"), |form| {
        Ok(PitchYaw {
            pitch_rad: form.pitch_rad.ok_or("form.pitch_rad")?,
            yaw_rad: form.yaw_rad.ok_or("form.yaw_rad")?,
        })
    });
    let level = PitchYaw { pitch_rad: 0.0, yaw_rad: 0.0 };
    let ahead = axis(turned.unwrap_or(level), heading_rad).map_err(|_| "form.pitch_rad")?;
    let frame = Frame::along(ahead).ok_or("form.pitch_rad")?;
    let guided = guided::of(context, at, laid, index).ok();
    let legs = legs.map(|leg| leg.along);
    Ok(Deviated {
        form: form.cloned(),
        at: middle,
        frame,
        axis_lacks: turned.err(),
        legs,
        legs_rad: guided.as_ref().map(|guided| guided.legs_rad),
        angle_rad: angle_between_rad(legs[0], legs[1]).map_err(|_| "tendon.points")?,
        bend_m: bend.and_then(|bend| Some([bend.radius_m?, bend.tangent_m])),
        tolerance_rad: guided.map(|guided| guided.tolerance.rad()),
    })
}
