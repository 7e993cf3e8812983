//! Whatever numbers come in, the functions of the path give finite numbers or a misfit.

#![allow(clippy::unwrap_used)]

use proptest::num::f64::ANY;
use proptest::option;
use proptest::prelude::*;
use restrand_mechanics::path::{
    Alignment, Direction, Element, Parabola, PitchYaw, PlanPiece, PlanPoint, Point, ProfilePoint,
    Run, RunKind, Start, TendonPoint, angle_between_rad, angle_to_axis_rad, arc_over_chord_m, axis,
    direction, parabola_through, parabolas_level_at, pitch_yaw, plan_beside, plan_polygon,
    rise_over_chord_m, runs_on_plan, tendon_path, total_angle_rad, total_length_m,
};

/// Mostly numbers of the trade and their edges, sometimes anything at all.
fn number() -> impl Strategy<Value = f64> {
    prop_oneof![
        5 => 0.0..60.0,
        3 => -60.0..60.0,
        2 => -1.0..1.0,
        1 => prop_oneof![
            Just(0.0), Just(-0.0), Just(1e-9), Just(1e-6), Just(1e12), Just(-1e12), Just(2.0)
        ],
        1 => ANY,
    ]
}

fn alignment() -> impl Strategy<Value = Alignment> {
    let element = (number(), option::of(number()))
        .prop_map(|(length_m, radius_m)| Element { length_m, radius_m });
    prop_oneof![
        1 => Just(Alignment::Straight),
        4 => (prop::array::uniform4(number()), prop::collection::vec(element, 0..5)).prop_map(
            |([station_m, x_m, y_m, heading_rad], elements)| Alignment::Curved {
                start: Start { station_m, x_m, y_m, heading_rad },
                elements,
            }
        ),
    ]
}

fn unit() -> impl Strategy<Value = Direction> {
    prop_oneof![
        prop::array::uniform3(number()).prop_map(|[x, y, z]| Direction { x, y, z }),
        (-1.57..1.57, -3.0..3.0).prop_map(|(pitch_rad, yaw_rad)| {
            axis(PitchYaw { pitch_rad, yaw_rad }, 0.0).unwrap()
        }),
    ]
}

fn finite(point: Point) -> bool {
    point.x_m.is_finite() && point.y_m.is_finite() && point.z_m.is_finite()
}

fn is_run(run: &Run) -> bool {
    run.length_m.is_finite()
        && run.length_m >= 0.0
        && run.angle_rad.is_finite()
        && run.angle_rad >= 0.0
}

proptest! {
    #[test]
    fn places_on_an_alignment(alignment in alignment(), a in number(), b in number(), c in number()) {
        if let Ok(point) = alignment.point(a, b, c) {
            prop_assert!(finite(point));
            prop_assert!(alignment.heading_rad(a).unwrap().is_finite());
        }
        for piece in plan_beside(&alignment, a, b, c).into_iter().flatten() {
            prop_assert!(piece.length_m.is_finite() && piece.length_m > 0.0);
            prop_assert!(piece.radius_m.is_none_or(f64::is_finite));
        }
        let points = [a, b, c].map(|station_m| PlanPoint { station_m, lateral_m: b });
        for piece in plan_polygon(&alignment, &points).into_iter().flatten() {
            prop_assert!(piece.length_m > 0.0 && piece.turn_before_rad.is_finite());
        }
    }

    #[test]
    fn tendons(
        alignment in alignment(),
        points in prop::collection::vec((number(), number(), number(), option::of(number())), 0..6),
    ) {
        let points: Vec<_> = points
            .into_iter()
            .map(|(station_m, lateral_m, elevation_m, bend_radius_m)| TendonPoint {
                station_m, lateral_m, elevation_m, bend_radius_m,
            })
            .collect();
        for alignment in [&alignment, &Alignment::Straight] {
            let Ok(path) = tendon_path(alignment, &points) else { continue };
            prop_assert!(path.developed_length_m.is_finite() && path.developed_length_m >= 0.0);
            prop_assert!(path.legs.len() + 1 == points.len() && path.bends.len() + 1 == path.legs.len());
            for leg in &path.legs {
                prop_assert!(leg.length_m > 0.0 && leg.straight_m >= 0.0 && leg.straight_m.is_finite());
                prop_assert!(finite(leg.from) && finite(leg.to));
                prop_assert!((leg.along.x.hypot(leg.along.y).hypot(leg.along.z) - 1.0).abs() < 1e-9);
            }
            for bend in &path.bends {
                prop_assert!((0.0..=3.15).contains(&bend.angle_rad) && bend.arc_m.is_finite());
                prop_assert!(bend.tangent_m >= 0.0 && finite(bend.enters) && finite(bend.leaves));
            }
            prop_assert!(path.runs().iter().all(is_run));
        }
    }

    #[test]
    fn directions(a in unit(), b in unit(), c in number(), d in number(), e in number()) {
        for angle in [angle_between_rad(a, b), angle_to_axis_rad(a, b)].into_iter().flatten() {
            prop_assert!((0.0..=3.15).contains(&angle));
        }
        if let Ok(turned) = pitch_yaw(a, c) {
            prop_assert!(turned.pitch_rad.abs() <= 1.571 && turned.yaw_rad.abs() <= 3.15);
        }
        for unit in [
            axis(PitchYaw { pitch_rad: c, yaw_rad: d }, e),
            direction(Point { x_m: c, y_m: d, z_m: e }, Point { x_m: d, y_m: e, z_m: c }),
        ].into_iter().flatten() {
            prop_assert!((unit.x.hypot(unit.y).hypot(unit.z) - 1.0).abs() < 1e-9);
        }
        for length in [rise_over_chord_m(c, d), arc_over_chord_m(c, d)].into_iter().flatten() {
            prop_assert!(length.is_finite() && length > 0.0);
        }
    }

    #[test]
    fn profiles(
        values in prop::array::uniform6(number()),
        radius_m in option::of(number()),
        plan in prop::collection::vec((number(), option::of(number()), number()), 0..4),
        run in (number(), number()),
    ) {
        let [a, b, c, d, e, f] = values;
        let at = |along_m, elevation_m| ProfilePoint { along_m, elevation_m };
        let plan: Vec<_> = plan
            .into_iter()
            .map(|(length_m, radius_m, turn_before_rad)| PlanPiece { length_m, radius_m, turn_before_rad })
            .collect();
        let mut profile = vec![Parabola {
            from_m: a, to_m: b, from_elevation_m: c, from_slope: d, to_slope: e,
        }];
        profile.extend(parabola_through(at(a, b), at(c, d), at(e, f)));
        let pair = parabolas_level_at(at(a, b), at(c, d), at(e, f));
        if let Ok(pair) = pair {
            profile.extend(pair);
            let span_m = pair[1].to_m - pair[0].from_m;
            let plan = [PlanPiece { length_m: span_m, radius_m, turn_before_rad: 0.0 }];
            prop_assert!(runs_on_plan(&pair, &plan).into_iter().flatten().all(|run| is_run(&run)));
        }
        for parabola in &profile {
            for length in [parabola.length_m(), parabola.flat_length_m()].into_iter().flatten() {
                prop_assert!(length.is_finite() && length > 0.0);
            }
            for value in [parabola.slope_at(f), parabola.elevation_at_m(f)].into_iter().flatten() {
                prop_assert!(value.is_finite());
            }
            if let Ok(run) = parabola.run(radius_m) {
                prop_assert!(is_run(&run), "{parabola:?} {radius_m:?} {run:?}");
            }
            let runs = runs_on_plan(std::slice::from_ref(parabola), &plan);
            prop_assert!(runs.into_iter().flatten().all(|run| is_run(&run)));
        }
        let run = Run { kind: RunKind::Straight, length_m: run.0, angle_rad: run.1 };
        for total in [total_length_m(&[run, run]), total_angle_rad(&[run, run])].into_iter().flatten() {
            prop_assert!(total.is_finite() && total >= 0.0);
        }
    }
}
