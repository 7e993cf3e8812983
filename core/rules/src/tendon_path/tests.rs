//! Tendons laid out against worked examples, and what cannot be laid out.

use restrand_model::reflect::{Date, Link};
use restrand_model::schedule::{AlignmentElement, AlignmentKind, Duct, Place, Project, Schedule};

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
    let corner =
        TendonPoint { radius_m: Some(3.0), place: Some(Link::to("D")), ..point(20.0, 0.5, -2.0) };
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
        project: Some(Box::new(Project { alignment_straight: is_straight, ..Project::default() })),
        places: vec![place("D", 20.0), place("P", 30.0), place("X", 50.0)],
        forms: vec![Form { id: Some("F".into()), wall_radius_mm: Some(4000.0), ..Form::default() }],
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
    assert_eq!((beyond.deviators[0], beyond.corners[0].deviator), (DeviatorSpot::OnLeg(0), None));
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
    assert_eq!(laid(&schedule(bent(), None)), Err(NoPath::Missing("project.alignment_straight")));
    assert_eq!(laid(&schedule(bent(), Some(false))), Err(NoPath::Missing("schedule.alignment")));
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
