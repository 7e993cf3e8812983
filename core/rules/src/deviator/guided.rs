//! A form with the two legs that it has to guide, as several rules of the family look at it.

use restrand_finding::{Fact, Finding, Kind, Outcomes};
use restrand_mechanics::deviator::side_angle_rad;
use restrand_mechanics::path::{
    Direction, PitchYaw, Point, angle_between_rad, angle_to_axis_rad, axis, direction, pitch_yaw,
};
use restrand_model::route::Route;
use restrand_model::schedule::Form;

use crate::book::Limit;
use crate::context::{Context, TendonAt};
use crate::rule::LimitKey;
use crate::tendon_path::{DeviatorSpot, LaidTendon, external_or_said};

pub(super) const TOLERANCE: LimitKey = LimitKey {
    name: "angle_tolerance_rad",
    meaning: "angle by which leg and form may differ from the drawing, where the form states none",
};

/// The sides of a form: down-station and up-station.
pub(super) const SIDES: [&str; 2] = ["down-station", "up-station"];

/// A form at a deviator, with the angles of its legs.
pub(crate) struct Guided<'a> {
    pub(super) at: &'a TendonAt<'a>,
    /// The position of the deviator.
    pub(super) index: usize,
    /// The route of the deviator.
    pub(super) route: Route,
    /// The route of the form.
    pub(super) form_route: Route,
    /// How people call the place.
    pub(super) place: String,
    /// The form as it holds there.
    pub(super) form: &'a Form,
    /// Angle of the leg down-station and up-station to the form's axis, rad.
    pub(crate) legs_rad: [f64; 2],
    /// The deviation in space, rad.
    pub(super) angle_rad: f64,
    /// The axis that has the same angle to both legs.
    pub(super) bisector: Option<PitchYaw>,
    /// What leg and form may differ by: stated, or the rulebook's.
    pub(crate) tolerance: Tolerance<'a>,
}

/// The angle tolerance of a form.
#[derive(Clone, Copy)]
pub(crate) enum Tolerance<'a> {
    /// Stated at the form or deviator.
    Stated(f64),
    /// The rulebook's, as none is stated.
    Limit(&'a Limit),
}

impl Tolerance<'_> {
    pub(crate) const fn rad(self) -> f64 {
        match self {
            Self::Stated(rad) => rad,
            Self::Limit(limit) => limit.value,
        }
    }

    /// What counts even where no allowance does: a tolerance that is stated is no allowance.
    pub(super) const fn bare_rad(self) -> f64 {
        match self {
            Self::Stated(rad) => rad,
            Self::Limit(_) => 0.0,
        }
    }

    pub(super) fn fact(self) -> Fact {
        match self {
            Self::Stated(rad) => Fact::given("tolerance_rad", rad, 4),
            Self::Limit(limit) => limit.fact(TOLERANCE, 4),
        }
    }

    /// The name of its fact, for a message.
    pub(super) const fn name(self) -> &'static str {
        match self {
            Self::Stated(_) => "{tolerance_rad}",
            Self::Limit(_) => "{angle_tolerance_rad}",
        }
    }
}

/// What a rule says of one form.
pub(super) enum Judged {
    Pass,
    NotApplicable(&'static str),
    /// The field that is absent.
    NotEvaluated(&'static str),
    Found(Box<Finding>),
}

/// Lets a rule judge each form that an external tendon passes.
pub(super) fn each(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    outcomes: &mut Outcomes,
    judge: impl Fn(&Guided<'_>) -> Judged,
) {
    if at.tendon.deviators.is_empty() {
        return outcomes.not_applicable("the tendon has no deviator");
    }
    let Some(laid) = external_or_said(context, at, outcomes) else { return };
    for index in 0..at.tendon.deviators.len() {
        let judged = match of(context, at, laid, index) {
            Ok(guided) => judge(&guided),
            Err(field) => Judged::NotEvaluated(field),
        };
        match judged {
            Judged::Pass => outcomes.pass(),
            Judged::NotApplicable(reason) => outcomes.not_applicable(reason),
            Judged::NotEvaluated(field) => outcomes.not_evaluated(field),
            Judged::Found(finding) => outcomes.found(*finding),
        }
    }
}

/// A form with its legs; an error is the field without which it is not known.
pub(crate) fn of<'a>(
    context: &'a Context<'_>,
    at: &'a TendonAt<'a>,
    laid: &LaidTendon,
    index: usize,
) -> Result<Guided<'a>, &'static str> {
    let deviator = &at.tendon.deviators[index];
    let form_route = context.form(deviator).ok_or("deviator.form")?.route;
    let form = context.form_at(at, index).ok_or("deviator.form")?;
    let legs = laid.directions_at(index).ok_or(match laid.deviators[index] {
        DeviatorSpot::Unknown(field) => field,
        _ => "deviator.place",
    })?;
    let station_m = context.deviator_station_m(at, index);
    let alignment = context.alignment().map_err(|none| none.field())?;
    let heading_rad = alignment
        .heading_rad(station_m.ok_or("place.station_m")?)
        .map_err(|_| "place.station_m")?;
    let turned = PitchYaw {
        pitch_rad: form.pitch_rad.ok_or("form.pitch_rad")?,
        yaw_rad: form.yaw_rad.ok_or("form.yaw_rad")?,
    };
    let axis = axis(turned, heading_rad).map_err(|_| "form.pitch_rad")?;
    let to_axis = |leg: Direction| angle_to_axis_rad(leg, axis).map_err(|_| "tendon.points");
    let tolerance = match form.angle_tolerance_rad {
        Some(stated) => Tolerance::Stated(stated),
        None => Tolerance::Limit(context.limit(TOLERANCE)),
    };
    Ok(Guided {
        at,
        index,
        route: at.route.field("deviators").item(index),
        form_route,
        place: deviator.place.as_ref().map_or("a deviator", |place| place.key()).to_owned(),
        form,
        legs_rad: [to_axis(legs[0])?, to_axis(legs[1])?],
        angle_rad: angle_between_rad(legs[0], legs[1]).map_err(|_| "tendon.points")?,
        bisector: bisector(legs).and_then(|along| pitch_yaw(along, heading_rad).ok()),
        tolerance,
    })
}

/// The direction with the same angle to both legs.
fn bisector([before, after]: [Direction; 2]) -> Option<Direction> {
    let from = Point { x_m: -before.x, y_m: -before.y, z_m: -before.z };
    direction(from, Point { x_m: after.x, y_m: after.y, z_m: after.z }).ok()
}

impl Guided<'_> {
    /// The angle to be guided on each side, with the tolerance or with what of it is no allowance.
    pub(super) fn sides_rad(&self, with_allowance: bool) -> Result<[f64; 2], &'static str> {
        let tolerance =
            if with_allowance { self.tolerance.rad() } else { self.tolerance.bare_rad() };
        let side = |leg| side_angle_rad(leg, tolerance).map_err(|_| "form.pitch_rad");
        Ok([side(self.legs_rad[0])?, side(self.legs_rad[1])?])
    }

    /// The angle to be guided on both sides if the axis were turned to the bisector.
    pub(super) fn bisected_rad(&self) -> Option<f64> {
        side_angle_rad(self.angle_rad / 2.0, self.tolerance.rad()).ok()
    }

    /// A finding on the form here, with what all rules of the family tell.
    pub(super) fn finding(
        &self,
        rule: &'static str,
        kind: Kind,
        place: Route,
        message: String,
    ) -> Finding {
        Finding::new(rule, kind, place, message)
            .fact(Fact::text("tendon", self.at.mark()))
            .fact(Fact::text("place", self.place.as_str()))
            .fact(Fact::text("form", self.form.id.as_deref().unwrap_or("without a name")))
            .fact(Fact::computed("leg_down_rad", self.legs_rad[0], 4))
            .fact(Fact::computed("leg_up_rad", self.legs_rad[1], 4))
            .fact(Fact::computed("angle_rad", self.angle_rad, 4))
            .fact(self.tolerance.fact())
    }

    /// The axis that would bisect the legs, as facts and a remedy; `is_enough` says whether that mends it.
    pub(super) fn turned_axis(&self, finding: Finding, is_enough: bool) -> Finding {
        match self.bisector.filter(|_| is_enough) {
            Some(bisector) => finding
                .fact(Fact::computed("bisecting_pitch_rad", bisector.pitch_rad, 4))
                .fact(Fact::computed("bisecting_yaw_rad", bisector.yaw_rad, 4))
                .remedy(
                    "Turn the form's axis to bisect the legs, pitch {bisecting_pitch_rad} and yaw \
                     {bisecting_yaw_rad}: that is enough",
                ),
            None => finding,
        }
    }
}
