//! Tendons laid out in space, each once, for all rules that ask.
//!
//! A tendon without a path says why: what is absent, or what cannot be right, which `path/points-impossible` tells.
//! It knows no limit; geometry is mechanics' own.

mod alignment;

use restrand_finding::Outcomes;
use restrand_mechanics::deviator::tendon_radius_mm;
use restrand_mechanics::path::{self, Direction, Leg, TendonPath};
use restrand_model::schedule::{
    Deviator, Face, Form, FormKind, Place, Situation, Status, Tendon, TendonPoint,
};

pub(crate) use self::alignment::alignment_of;
use crate::context::{Context, TendonAt};

/// A tendon laid out in space.
#[derive(Debug, Clone, PartialEq)]
pub struct LaidTendon {
    /// Legs and bends, up-station.
    pub path: TendonPath,
    /// The inner points in order; the bend at each stands at the same position in the path.
    pub corners: Vec<Corner>,
    /// Where each deviator of the tendon stands, in the tendon's order.
    pub deviators: Vec<DeviatorSpot>,
}

/// What stands at an inner point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Corner {
    /// The deviator there, by its position in the tendon's list.
    pub deviator: Option<usize>,
    /// Where the radius of the bend is from.
    pub radius: RadiusFrom,
}

/// Where the radius of a bend is from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RadiusFrom {
    /// The point states it.
    Point,
    /// The form there: the radius of its wall and half the duct, or the radius of a bent pipe's axis.
    Form,
    /// Nothing states it: the legs meet in a bare corner.
    Nothing,
}

/// Where a deviator stands on the tendon.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DeviatorSpot {
    /// At an inner point: the position of the bend.
    Corner(usize),
    /// On a leg, which passes it straight: the position of the leg.
    OnLeg(usize),
    /// Beyond the tendon's ends.
    OffPath,
    /// Not known: the field without which it is not.
    Unknown(&'static str),
}

/// Why a tendon has no path.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum NoPath {
    /// This field is absent.
    Missing(&'static str),
    /// The alignment or the points cannot be as stated.
    Impossible(Impossible),
}

/// What of the alignment or the points cannot be right. Positions count from zero.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Impossible {
    /// The project says that the alignment is straight, and this element is an arc.
    StraightWithArc {
        /// Position in the alignment.
        element: usize,
    },
    /// An element does not begin where the one before it ends, or ends before it begins.
    BrokenAlignment {
        /// Position in the alignment.
        element: usize,
        /// Station at which it should begin, m, or after which it should end.
        at_m: f64,
    },
    /// The point is the one before it once more.
    Repeated {
        /// Position of the point.
        point: usize,
    },
    /// The point lies down-station of the one before it.
    Backward {
        /// Position of the point.
        point: usize,
    },
    /// The point has no place on the alignment: its station is beyond an end, or it lies beyond an arc's centre.
    OffAlignment {
        /// Position of the point.
        point: usize,
    },
    /// The bends at the ends of a leg need more than its length.
    BendsOverlap {
        /// Position of the leg, and of the point at which it begins.
        leg: usize,
        /// What the bends need, m.
        tangents_m: f64,
        /// The leg from corner to corner, m.
        length_m: f64,
    },
    /// A number is not one of this trade.
    Number {
        /// Position of the point.
        point: usize,
    },
}

impl DeviatorSpot {
    /// Whether nobody knows where it stands.
    #[must_use]
    pub const fn is_unknown(self) -> bool {
        matches!(self, Self::Unknown(_))
    }
}

impl NoPath {
    /// The field that a rule names where it could not look at the tendon.
    #[must_use]
    pub const fn field(self) -> &'static str {
        match self {
            Self::Missing(field) => field,
            Self::Impossible(
                Impossible::StraightWithArc { .. } | Impossible::BrokenAlignment { .. },
            ) => "schedule.alignment",
            Self::Impossible(_) => "tendon.points",
        }
    }
}

impl LaidTendon {
    /// The legs down-station and up-station of a deviator; none where it stands off the path or nobody knows where.
    #[must_use]
    pub fn legs_at(&self, deviator: usize) -> Option<[&Leg; 2]> {
        let legs = &self.path.legs;
        match *self.deviators.get(deviator)? {
            DeviatorSpot::Corner(bend) => Some([legs.get(bend)?, legs.get(bend + 1)?]),
            DeviatorSpot::OnLeg(leg) => Some([legs.get(leg)?, legs.get(leg)?]),
            DeviatorSpot::OffPath | DeviatorSpot::Unknown(_) => None,
        }
    }

    /// The directions of the legs down-station and up-station of a deviator, both up-station.
    #[must_use]
    pub fn directions_at(&self, deviator: usize) -> Option<[Direction; 2]> {
        self.legs_at(deviator).map(|legs| legs.map(|leg| leg.along))
    }

    /// Whether a deviator turns the tendon at this bend. One that is passed straight at a point of its own is passed as one
    /// without a point is.
    #[must_use]
    pub fn is_deviated_at(&self, bend: usize) -> bool {
        let is_deviator = self.corners.get(bend).is_some_and(|corner| corner.deviator.is_some());
        is_deviator && self.path.bends.get(bend).is_some_and(|bend| bend.angle_rad > STRAIGHT_RAD)
    }
}

/// The angle up to which a tendon passes a point straight, rad: what the millimetres of points leave over legs of metres.
const STRAIGHT_RAD: f64 = 1e-3;

/// The path of a tendon that has one; else it is said why a rule does not look at it.
pub(crate) fn or_said<'c>(
    context: &'c Context<'_>,
    at: &TendonAt<'_>,
    outcomes: &mut Outcomes,
) -> Option<&'c LaidTendon> {
    if at.tendon.status == Some(Status::Removed) {
        outcomes.not_applicable("the tendon is removed");
        return None;
    }
    match context.path(at) {
        Ok(laid) => Some(laid),
        Err(none) => {
            outcomes.not_evaluated(none.field());
            None
        }
    }
}

/// As [`or_said`], of a tendon that does not lie inside the concrete.
pub(crate) fn external_or_said<'c>(
    context: &'c Context<'_>,
    at: &TendonAt<'_>,
    outcomes: &mut Outcomes,
) -> Option<&'c LaidTendon> {
    if at.tendon.situation == Some(Situation::Internal) {
        outcomes.not_applicable("the tendon lies inside the concrete");
        return None;
    }
    or_said(context, at, outcomes)
}

/// Lays a tendon out.
pub(crate) fn lay(context: &Context<'_>, at: &TendonAt<'_>) -> Result<LaidTendon, NoPath> {
    let tendon = at.tendon;
    let alignment = context.alignment().map_err(|none| *none)?;
    let points = &tendon.points;
    if points.len() < 2 {
        return Err(NoPath::Missing("tendon.points"));
    }
    let mut stations = Vec::with_capacity(points.len());
    let mut laid = Vec::with_capacity(points.len());
    for point in points {
        let station_m = point.station_m.ok_or(NoPath::Missing("tendon_point.station_m"))?;
        stations.push(station_m);
        laid.push(path::TendonPoint {
            station_m,
            lateral_m: point.lateral_m.ok_or(NoPath::Missing("tendon_point.lateral_m"))?,
            elevation_m: point.elevation_m.ok_or(NoPath::Missing("tendon_point.elevation_m"))?,
            bend_radius_m: None,
        });
    }
    let deviators: Vec<_> = tendon
        .deviators
        .iter()
        .map(|deviator| spot(context, tendon, deviator, &stations))
        .collect();
    let corners = corners(context, at, &deviators, &mut laid);
    for (index, point) in laid.iter().enumerate() {
        let place = |point: &path::TendonPoint| {
            alignment.point(point.station_m, point.lateral_m, point.elevation_m)
        };
        let Ok(here) = place(point) else {
            return Err(NoPath::Impossible(Impossible::OffAlignment { point: index }));
        };
        let Some(before) = index.checked_sub(1) else { continue };
        if place(&laid[before]).is_ok_and(|there| path::direction(there, here).is_err()) {
            return Err(NoPath::Impossible(Impossible::Repeated { point: index }));
        }
        if point.station_m < laid[before].station_m {
            return Err(NoPath::Impossible(Impossible::Backward { point: index }));
        }
    }
    match path::tendon_path(alignment, &laid) {
        Ok(path) => Ok(LaidTendon { path, corners, deviators }),
        Err(misfit) => Err(NoPath::Impossible(why(&misfit))),
    }
}

/// What a misfit of points that all have a place says.
fn why(misfit: &restrand_mechanics::Misfit) -> Impossible {
    use restrand_mechanics::Misfit;
    match misfit {
        Misfit::NotWithin { argument, value, most, .. } if argument.name == "tangents_m" => {
            let leg = argument.item.map_or(0, |(_, leg)| leg);
            Impossible::BendsOverlap { leg, tangents_m: *value, length_m: *most }
        }
        Misfit::NotFinite { argument, .. }
        | Misfit::NotPositive { argument, .. }
        | Misfit::Negative { argument, .. }
        | Misfit::TooLarge { argument, .. }
        | Misfit::NotAbove { argument, .. }
        | Misfit::NotWithin { argument, .. } => {
            Impossible::Number { point: argument.item.map_or(0, |(_, point)| point) }
        }
        _ => Impossible::Number { point: 0 },
    }
}

/// Where a deviator stands: at the inner point of its place, or between two.
fn spot(
    context: &Context<'_>,
    tendon: &Tendon,
    deviator: &Deviator,
    stations: &[f64],
) -> DeviatorSpot {
    let Some(link) = &deviator.place else {
        return DeviatorSpot::Unknown("deviator.place");
    };
    let last = stations.len() - 1;
    let inner = || tendon.points.iter().enumerate().take(last).skip(1);
    let names =
        |point: &TendonPoint| point.place.as_ref().is_some_and(|place| place.key() == link.key());
    if let Some((index, _)) = inner().find(|(_, point)| names(point)) {
        return DeviatorSpot::Corner(index - 1);
    }
    let Some(place) = context.place(Some(link)) else {
        return DeviatorSpot::Unknown("deviator.place");
    };
    let Some(station_m) = place.record.station_m else {
        return DeviatorSpot::Unknown("place.station_m");
    };
    // A corner that names no place belongs to the place within whose concrete it lies.
    let lies_in = |point: &TendonPoint| {
        point.place.is_none()
            && extent_m(place.record, point.lateral_m.unwrap_or(0.0)).is_some_and(
                |[down_m, up_m]| point.station_m.is_some_and(|at| (down_m..=up_m).contains(&at)),
            )
    };
    if let Some((index, _)) = inner().find(|(_, point)| lies_in(point)) {
        return DeviatorSpot::Corner(index - 1);
    }
    match stations.windows(2).position(|pair| (pair[0]..=pair[1]).contains(&station_m)) {
        Some(leg) => DeviatorSpot::OnLeg(leg),
        None => DeviatorSpot::OffPath,
    }
}

/// The stations of a place's down-station and up-station face at a lateral position, skew included.
#[must_use]
pub fn extent_m(place: &Place, lateral_m: f64) -> Option<[f64; 2]> {
    let faces = place.faces.as_deref();
    let stated = |face: Option<&Face>| face.and_then(|face| face.station_m);
    let half_m = place.thickness_mm.map(|thickness_mm| thickness_mm / 2000.0);
    let by_half = |sign: f64| Some(place.station_m? + sign * half_m?);
    let down_m = stated(faces.and_then(|faces| faces.down.as_deref())).or_else(|| by_half(-1.0))?;
    let up_m = stated(faces.and_then(|faces| faces.up.as_deref())).or_else(|| by_half(1.0))?;
    let askew_m = lateral_m * place.skew_rad.unwrap_or(0.0).tan();
    Some([down_m + askew_m, up_m + askew_m])
}

/// What stands at each inner point; the radii go to the points.
fn corners(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    deviators: &[DeviatorSpot],
    laid: &mut [path::TendonPoint],
) -> Vec<Corner> {
    let last = laid.len() - 1;
    (1..last)
        .map(|index| {
            let here = DeviatorSpot::Corner(index - 1);
            let deviator = deviators.iter().position(|spot| *spot == here);
            let stated_m = at.tendon.points[index].radius_m;
            let formed_m = || {
                let duct = context.duct_at(at.tendon, laid[index].station_m);
                let outer_mm = duct.and_then(|duct| duct.record.outer_mm);
                let form = context.form_at(at, deviator?)?;
                form_radius_m(form, outer_mm)
            };
            let (radius_m, radius) = match (stated_m, formed_m()) {
                (Some(radius_m), _) => (Some(radius_m), RadiusFrom::Point),
                (None, Some(radius_m)) => (Some(radius_m), RadiusFrom::Form),
                (None, None) => (None, RadiusFrom::Nothing),
            };
            laid[index].bend_radius_m = radius_m;
            Corner { deviator, radius }
        })
        .collect()
}

/// The radius to which a form bends the tendon's axis, m: that of its wall and half the duct, or of its pipe's axis.
#[must_use]
pub(crate) fn form_radius_m(form: &Form, duct_outer_mm: Option<f64>) -> Option<f64> {
    let radius_mm = match form.kind {
        Some(FormKind::BentPipe) => form.axis_radius_mm,
        Some(FormKind::StraightSleeve) => None,
        Some(FormKind::Flared) | None => {
            tendon_radius_mm(form.wall_radius_mm?, duct_outer_mm?).ok()
        }
    };
    radius_mm.map(|radius_mm| radius_mm / 1000.0)
}

#[cfg(test)]
mod tests;
