//! Tendons laid out in space, each once, for all rules that ask.
//!
//! A tendon without a path says why: what is absent, or what cannot be right, which `path/points-impossible` tells.
//! It knows no limit; geometry is mechanics' own.

use std::borrow::Cow;

use restrand_finding::Outcomes;
use restrand_mechanics::deviator::tendon_radius_mm;
use restrand_mechanics::path::{self, Alignment, Direction, Element, Leg, Start, TendonPath};
use restrand_model::resolve;
use restrand_model::schedule::{
    AlignmentElement, AlignmentKind, Deviator, Duct, Face, Form, FormKind, Place, Schedule,
    Situation, Status, Tendon, TendonPoint,
};

use crate::context::{Context, Found, TendonAt};

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
}

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

/// Stations that are one are written to a millimetre, m.
const SAME_STATION_M: f64 = 0.000_5;

/// The line from which stations are laid off.
///
/// # Errors
/// What is absent, or cannot be as stated; a project that says nothing of its alignment is not taken as straight.
pub(crate) fn alignment_of(schedule: &Schedule) -> Result<Alignment, NoPath> {
    let is_straight = schedule.project.as_deref().and_then(|project| project.alignment_straight);
    let elements = &schedule.alignment;
    if is_straight == Some(true) {
        return match elements.iter().position(is_arc) {
            Some(element) => Err(NoPath::Impossible(Impossible::StraightWithArc { element })),
            None => Ok(Alignment::Straight),
        };
    }
    if elements.is_empty() {
        return Err(NoPath::Missing(match is_straight {
            None => "project.alignment_straight",
            Some(_) => "schedule.alignment",
        }));
    }
    let mut laid = Vec::with_capacity(elements.len());
    let mut begin_m = None;
    let mut reached_m: Option<f64> = None;
    for (index, element) in elements.iter().enumerate() {
        let from_m = element.from_m.ok_or(NoPath::Missing("alignment_element.from_m"))?;
        let to_m = element.to_m.ok_or(NoPath::Missing("alignment_element.to_m"))?;
        let broken =
            |at_m| NoPath::Impossible(Impossible::BrokenAlignment { element: index, at_m });
        if let Some(reached_m) = reached_m
            && (from_m - reached_m).abs() > SAME_STATION_M
        {
            return Err(broken(reached_m));
        }
        // An element takes up what the one before it is short of.
        let from_m = reached_m.unwrap_or(from_m);
        if to_m - from_m < SAME_STATION_M {
            return Err(broken(from_m));
        }
        begin_m.get_or_insert(from_m);
        laid.push(Element { length_m: to_m - from_m, radius_m: radius_of(element)? });
        reached_m = Some(to_m);
    }
    let station_m = begin_m.unwrap_or(0.0);
    let start = Start { station_m, x_m: 0.0, y_m: 0.0, heading_rad: 0.0 };
    Ok(Alignment::Curved { start, elements: laid })
}

fn is_arc(element: &AlignmentElement) -> bool {
    match element.kind {
        Some(kind) => kind == AlignmentKind::Arc,
        None => element.radius_m.is_some(),
    }
}

/// The radius of an arc, nothing for a line.
fn radius_of(element: &AlignmentElement) -> Result<Option<f64>, NoPath> {
    match (element.kind, element.radius_m) {
        (Some(AlignmentKind::Line), _) => Ok(None),
        (_, Some(radius_m)) => Ok(Some(radius_m)),
        (Some(AlignmentKind::Arc), None) => Err(NoPath::Missing("alignment_element.radius_m")),
        (None, None) => Err(NoPath::Missing("alignment_element.kind")),
    }
}

/// Lays a tendon out.
pub(crate) fn lay(context: &Context<'_>, tendon: &Tendon) -> Result<LaidTendon, NoPath> {
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
    let corners = corners(context, tendon, &deviators, &mut laid);
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
    tendon: &Tendon,
    deviators: &[DeviatorSpot],
    laid: &mut [path::TendonPoint],
) -> Vec<Corner> {
    let last = laid.len() - 1;
    (1..last)
        .map(|index| {
            let here = DeviatorSpot::Corner(index - 1);
            let deviator = deviators.iter().position(|spot| *spot == here);
            let stated_m = tendon.points[index].radius_m;
            let formed_m = || {
                let duct = context.duct_at(tendon, laid[index].station_m);
                let outer_mm = duct.and_then(|duct| duct.record.outer_mm);
                let form = context.form_at(&tendon.deviators[deviator?])?;
                form_radius_m(&form, outer_mm)
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

impl<'a> Context<'a> {
    /// The form as it holds at a deviator: the kind's dimensions, and the deviator's where it states its own.
    #[must_use]
    pub fn form_at(&self, deviator: &Deviator) -> Option<Cow<'a, Form>> {
        self.form(deviator).map(|found| resolve::form_at(found.record, deviator))
    }

    /// The duct of a tendon at a station: that of the length that reaches over it, or the tendon's.
    #[must_use]
    pub fn duct_at(&self, tendon: &Tendon, station_m: f64) -> Option<Found<'a, Duct>> {
        let run = tendon.duct_runs.iter().find(|run| {
            let (Some(from_m), Some(to_m)) = (run.from_m, run.to_m) else { return false };
            (from_m.min(to_m)..=from_m.max(to_m)).contains(&station_m)
        });
        self.duct(run.and_then(|run| run.duct.as_ref()).or(tendon.duct.as_ref()))
    }
}

#[cfg(test)]
mod tests {
    use restrand_model::reflect::{Date, Link};
    use restrand_model::schedule::{Place, Project};

    use super::*;
    use crate::book::Rulebook;

    fn point(station_m: f64, lateral_m: f64, elevation_m: f64) -> TendonPoint {
        TendonPoint {
            station_m: Some(station_m),
            lateral_m: Some(lateral_m),
            elevation_m: Some(elevation_m),
            ..TendonPoint::default()
        }
    }

    /// The tendon of `tendon_path`'s own example: 0.107 340 rad at a radius of 3 m, 40.107 91 m in all.
    fn bent() -> Vec<TendonPoint> {
        let corner = TendonPoint {
            radius_m: Some(3.0),
            place: Some(Link::to("D")),
            ..point(20.0, 0.5, -2.0)
        };
        vec![point(0.0, 0.0, 0.0), corner, point(40.0, 0.2, -2.0)]
    }

    fn schedule(points: Vec<TendonPoint>, is_straight: Option<bool>) -> Schedule {
        let place = |id: &str, station_m: f64| Place {
            id: Some(id.into()),
            station_m: Some(station_m),
            thickness_mm: Some(1000.0),
            ..Place::default()
        };
        let deviator = |id: &str| Deviator {
            place: Some(Link::to(id)),
            form: Some(Link::to("F")),
            ..Deviator::default()
        };
        Schedule {
            project: Some(Box::new(Project {
                alignment_straight: is_straight,
                ..Project::default()
            })),
            places: vec![place("D", 20.0), place("P", 30.0), place("X", 50.0)],
            forms: vec![Form {
                id: Some("F".into()),
                wall_radius_mm: Some(4000.0),
                ..Form::default()
            }],
            ducts: vec![Duct { id: Some("PE".into()), outer_mm: Some(125.0), ..Duct::default() }],
            tendons: vec![Tendon {
                mark: Some("T".into()),
                duct: Some(Link::to("PE")),
                deviators: vec![deviator("D"), deviator("P"), deviator("X"), deviator("Y")],
                points,
                ..Tendon::default()
            }],
            ..Schedule::default()
        }
    }

    fn laid(schedule: &Schedule) -> Result<LaidTendon, NoPath> {
        let book = Rulebook::default();
        let context = Context::new(schedule, &[], &[], &book, Date::new(2031, 5, 7).unwrap());
        let at = context.tendons().next().unwrap();
        context.path(&at).cloned().map_err(|none| *none)
    }

    fn arc(from_m: f64, to_m: f64, radius_m: f64) -> AlignmentElement {
        AlignmentElement {
            kind: Some(AlignmentKind::Arc),
            from_m: Some(from_m),
            to_m: Some(to_m),
            radius_m: Some(radius_m),
            ..AlignmentElement::default()
        }
    }

    #[test]
    fn a_tendon_is_laid_out_with_its_deviators() {
        let laid = laid(&schedule(bent(), Some(true))).unwrap();
        assert!((laid.path.bends[0].angle_rad - 0.107_340).abs() < 5e-7);
        assert!((laid.path.developed_length_m - 40.107_91).abs() < 5e-6);
        assert_eq!(laid.corners, [Corner { deviator: Some(0), radius: RadiusFrom::Point }]);
        assert_eq!(
            laid.deviators,
            [
                DeviatorSpot::Corner(0),
                DeviatorSpot::OnLeg(1),
                DeviatorSpot::OffPath,
                DeviatorSpot::Unknown("deviator.place"),
            ]
        );
        assert_eq!(laid.directions_at(1), Some([laid.path.legs[1].along; 2]));
        assert_eq!(laid.legs_at(2), None);
    }

    #[test]
    fn a_corner_that_names_no_place_belongs_to_the_concrete_it_lies_in() {
        let mut points = bent();
        points[1].place = None;
        points[1].station_m = Some(20.4);
        let within = laid(&schedule(points.clone(), Some(true))).unwrap();
        assert_eq!(within.deviators[0], DeviatorSpot::Corner(0));
        points[1].station_m = Some(20.6);
        let beyond = laid(&schedule(points, Some(true))).unwrap();
        assert_eq!(
            (beyond.deviators[0], beyond.corners[0].deviator),
            (DeviatorSpot::OnLeg(0), None)
        );
    }

    #[test]
    fn a_radius_that_no_point_states_is_that_of_the_form() {
        let mut points = bent();
        points[1].radius_m = None;
        let mut schedule = schedule(points, Some(true));
        let formed = laid(&schedule).unwrap();
        assert_eq!(formed.corners[0].radius, RadiusFrom::Form);
        assert_eq!(formed.path.bends[0].radius_m, Some(4.0625));
        schedule.ducts.clear();
        let bare = laid(&schedule).unwrap();
        assert_eq!(bare.corners[0].radius, RadiusFrom::Nothing);
        assert_eq!(bare.path.bends[0].radius_m, None);
    }

    #[test]
    fn the_alignments_curve_is_in_the_deviation() {
        let mut schedule = schedule(
            vec![point(0.0, 0.0, 0.0), point(20.0, 0.0, 0.0), point(40.0, 0.0, 0.0)],
            Some(false),
        );
        schedule.alignment = vec![arc(0.0, 40.0, 200.0)];
        // Chords of 20 m on a radius of 200 m differ by 0.1 rad.
        let laid_out = laid(&schedule).unwrap();
        assert!((laid_out.path.bends[0].angle_rad - 0.1).abs() < 1e-12);
        schedule.alignment = vec![arc(0.0, 30.0, 200.0)];
        let off = NoPath::Impossible(Impossible::OffAlignment { point: 2 });
        assert_eq!(laid(&schedule), Err(off));
        schedule.alignment = vec![arc(0.0, 30.0, 200.0), arc(30.5, 40.0, 200.0)];
        let broken = Impossible::BrokenAlignment { element: 1, at_m: 30.0 };
        assert_eq!(laid(&schedule), Err(NoPath::Impossible(broken)));
        schedule.alignment = vec![AlignmentElement { radius_m: None, ..arc(0.0, 40.0, 1.0) }];
        assert_eq!(laid(&schedule), Err(NoPath::Missing("alignment_element.radius_m")));
    }

    #[test]
    fn what_is_absent_or_impossible_is_said() {
        assert_eq!(
            laid(&schedule(bent(), None)),
            Err(NoPath::Missing("project.alignment_straight"))
        );
        assert_eq!(
            laid(&schedule(bent(), Some(false))),
            Err(NoPath::Missing("schedule.alignment"))
        );
        let with = |change: fn(&mut Vec<TendonPoint>)| {
            let mut points = bent();
            change(&mut points);
            laid(&schedule(points, Some(true))).unwrap_err()
        };
        let lacks = with(|points| points[1].lateral_m = None);
        assert_eq!(lacks, NoPath::Missing("tendon_point.lateral_m"));
        assert_eq!(with(|points| points.truncate(1)), NoPath::Missing("tendon.points"));
        let twice = with(|points| points[2] = points[1].clone());
        assert_eq!(twice, NoPath::Impossible(Impossible::Repeated { point: 2 }));
        let back = with(|points| points[2].station_m = Some(19.0));
        assert_eq!(back, NoPath::Impossible(Impossible::Backward { point: 2 }));
        let tight = with(|points| points[1].radius_m = Some(4000.0));
        assert!(
            matches!(tight, NoPath::Impossible(Impossible::BendsOverlap { leg: 0, .. })),
            "{tight:?}"
        );
        assert_eq!(tight.field(), "tendon.points");
    }
}
