//! Paths against marches: headings integrated step by step, arcs and parabolas sampled as polygons.

#![allow(clippy::unwrap_used)]

use std::f64::consts::PI;

use proptest::prelude::*;
use restrand_mechanics::path::{
    Alignment, Element, Parabola, PitchYaw, PlanPoint, Point, ProfilePoint, RunKind, Start,
    TendonPath, TendonPoint, angle_between_rad, angle_to_axis_rad, arc_over_chord_m, axis,
    direction, parabola_through, parabolas_level_at, pitch_yaw, plan_beside, plan_polygon,
    rise_over_chord_m, runs_on_plan, tendon_path, total_angle_rad, total_length_m,
};

fn elements() -> impl Strategy<Value = Vec<Element>> {
    let radius = prop_oneof![
        Just(None),
        (60.0..2000.0).prop_map(Some),
        (60.0..2000.0).prop_map(|radius: f64| Some(-radius)),
    ];
    prop::collection::vec((5.0..80.0, radius), 1..5).prop_map(|list| {
        list.into_iter().map(|(length_m, radius_m)| Element { length_m, radius_m }).collect()
    })
}

fn alignment() -> impl Strategy<Value = Alignment> {
    (elements(), -500.0..500.0, -500.0..500.0, -500.0..500.0, -PI..PI).prop_map(
        |(elements, station_m, x_m, y_m, heading_rad)| Alignment::Curved {
            start: Start { station_m, x_m, y_m, heading_rad },
            elements,
        },
    )
}

fn parts(alignment: &Alignment) -> (Start, &[Element], f64) {
    let Alignment::Curved { start, elements } = alignment else { panic!("it is straight") };
    (*start, elements, elements.iter().map(|element| element.length_m).sum())
}

/// Point and heading by steps of the heading's curvature, taking each step in its middle direction.
fn walk(alignment: &Alignment, length_m: f64) -> ([f64; 2], f64) {
    const STEPS: u32 = 2000;
    let (start, elements, _) = parts(alignment);
    let (mut at, mut heading) = ([start.x_m, start.y_m], start.heading_rad);
    let mut begin = 0.0;
    for element in elements {
        let stretch = element.length_m.min(length_m - begin);
        if stretch <= 0.0 {
            break;
        }
        let step = stretch / f64::from(STEPS);
        let curvature = element.radius_m.map_or(0.0, |radius| 1.0 / radius);
        for _ in 0..STEPS {
            let middle = heading + curvature * step / 2.0;
            at = [at[0] + step * middle.cos(), at[1] + step * middle.sin()];
            heading += curvature * step;
        }
        begin += element.length_m;
    }
    (at, heading)
}

fn distance(a: [f64; 3], b: [f64; 3]) -> f64 {
    a.iter().zip(b).map(|(a, b)| (a - b) * (a - b)).sum::<f64>().sqrt()
}

fn coordinates(point: Point) -> [f64; 3] {
    [point.x_m, point.y_m, point.z_m]
}

/// Length of a polygon, and the sum of the angles at its corners by the law of cosines' half-angle form.
fn polygon(points: &[[f64; 3]]) -> (f64, f64) {
    let length = points.windows(2).map(|pair| distance(pair[0], pair[1])).sum();
    let angle = points
        .windows(3)
        .map(|corner| {
            let (a, b) = (distance(corner[0], corner[1]), distance(corner[1], corner[2]));
            let unit = |k: usize, length: f64| -> [f64; 3] {
                std::array::from_fn(|i| (corner[k + 1][i] - corner[k][i]) / length)
            };
            2.0 * (distance(unit(0, a), unit(1, b)) / 2.0).asin()
        })
        .sum();
    (length, angle)
}

fn tendon() -> impl Strategy<Value = Vec<TendonPoint>> {
    let point = (8.0..25.0, -3.0..3.0, -2.0..2.0, prop::option::of(2.0..6.0));
    prop::collection::vec(point, 2..6).prop_map(|list| {
        let mut station_m = 90.0;
        list.into_iter()
            .map(|(step_m, lateral_m, elevation_m, bend_radius_m)| {
                station_m += step_m;
                TendonPoint { station_m, lateral_m, elevation_m, bend_radius_m }
            })
            .collect()
    })
}

fn straight(points: &[TendonPoint]) -> TendonPath {
    tendon_path(&Alignment::Straight, points).unwrap()
}

/// The bend sampled: points on the circle that touches both legs, found from its centre on the bisector.
fn sampled_bend(path: &TendonPath, index: usize, samples: u32) -> Vec<[f64; 3]> {
    let bend = &path.bends[index];
    let corner = coordinates(path.legs[index].to);
    let (enters, leaves) = (coordinates(bend.enters), coordinates(bend.leaves));
    let middle: [f64; 3] = std::array::from_fn(|i| f64::midpoint(enters[i], leaves[i]));
    let (half, tangent) = (distance(enters, leaves) / 2.0, distance(enters, corner));
    // From the triangle of corner, tangent point and centre: the right angle is at the tangent point.
    let height = (tangent * tangent - half * half).sqrt();
    let to_centre = tangent * tangent / height;
    let centre: [f64; 3] =
        std::array::from_fn(|i| corner[i] + (middle[i] - corner[i]) / height * to_centre);
    let radius = distance(centre, enters);
    (0..=samples)
        .map(|k| {
            // Between the tangent points along their chord, pushed out to the circle.
            let share = f64::from(k) / f64::from(samples);
            let on_chord: [f64; 3] =
                std::array::from_fn(|i| enters[i] + share * (leaves[i] - enters[i]));
            let out = distance(centre, on_chord);
            std::array::from_fn(|i| centre[i] + (on_chord[i] - centre[i]) * radius / out)
        })
        .collect()
}

fn distance_to_line(point: [f64; 3], from: [f64; 3], to: [f64; 3]) -> f64 {
    let along: [f64; 3] = std::array::from_fn(|i| to[i] - from[i]);
    let out: [f64; 3] = std::array::from_fn(|i| point[i] - from[i]);
    let dot = |a: [f64; 3], b: [f64; 3]| a.iter().zip(b).map(|(a, b)| a * b).sum::<f64>();
    let share = dot(out, along) / dot(along, along);
    distance(out, along.map(|value| value * share))
}

fn slope() -> impl Strategy<Value = f64> {
    prop_oneof![4 => -0.4..0.4, 1 => -3.0..3.0, 1 => Just(0.0)]
}

fn parabola() -> impl Strategy<Value = Parabola> {
    let slopes = (slope(), slope(), prop::bool::weighted(0.2));
    (-50.0..50.0, 5.0..60.0, -5.0..5.0, slopes).prop_map(
        |(from_m, length_m, from_elevation_m, (from_slope, to_slope, equal))| Parabola {
            from_m,
            to_m: from_m + length_m,
            from_elevation_m,
            from_slope,
            to_slope: if equal { from_slope + 1e-4 * to_slope } else { to_slope },
        },
    )
}

/// A parabola over a plan of one radius, sampled by its own two coefficients.
fn sampled_parabola(parabola: &Parabola, radius_m: Option<f64>, samples: u32) -> Vec<[f64; 3]> {
    let length = parabola.to_m - parabola.from_m;
    let bend = (parabola.to_slope - parabola.from_slope) / (2.0 * length);
    (0..=samples)
        .map(|k| {
            let s = length * f64::from(k) / f64::from(samples);
            let z = parabola.from_elevation_m + parabola.from_slope * s + bend * s * s;
            radius_m.map_or([s, 0.0, z], |r| [r * (s / r).sin(), r * (1.0 - (s / r).cos()), z])
        })
        .collect()
}

proptest! {
    #[test]
    fn points_and_headings_are_those_of_a_walk(
        alignment in alignment(), share in 0.0..=1.0, lateral_m in -20.0..20.0, elevation_m in -9.0..9.0,
    ) {
        let (start, _, whole) = parts(&alignment);
        let station_m = start.station_m + share * whole;
        let ([x, y], heading) = walk(&alignment, share * whole);
        prop_assert!((alignment.heading_rad(station_m).unwrap() - heading).abs() < 1e-9);
        let point = alignment.point(station_m, lateral_m, elevation_m).unwrap();
        // A quarter turn to the left of the heading.
        let left = heading + PI / 2.0;
        let expected = [x + lateral_m * left.cos(), y + lateral_m * left.sin(), elevation_m];
        prop_assert!(distance(coordinates(point), expected) < 1e-4, "{point:?} {expected:?}");
    }

    #[test]
    fn a_plan_beside_the_alignment_is_as_long_as_a_walk_there(
        alignment in alignment(), from in 0.0..0.4, to in 0.6..1.0, lateral_m in -20.0..20.0,
    ) {
        const STEPS: u32 = 4000;
        let (start, _, whole) = parts(&alignment);
        let station = |share: f64| start.station_m + share * whole;
        let plan = plan_beside(&alignment, station(from), station(to), lateral_m).unwrap();
        let points: Vec<_> = (0..=STEPS)
            .map(|k| station(from + (to - from) * f64::from(k) / f64::from(STEPS)))
            .map(|at| coordinates(alignment.point(at, lateral_m, 0.0).unwrap()))
            .collect();
        let (length, angle) = polygon(&points);
        let ours: f64 = plan.iter().map(|piece| piece.length_m).sum();
        prop_assert!((ours - length).abs() < 1e-4 * length);
        let turned: f64 = plan
            .iter()
            .filter_map(|piece| Some(piece.length_m / piece.radius_m?.abs()))
            .sum();
        // At a change of curvature the polygon may miss a step.
        prop_assert!((turned - angle).abs() < 2e-3, "{turned} {angle}");
    }

    #[test]
    fn bends_are_circles_that_touch_their_legs(points in tendon()) {
        let path = straight(&points);
        for (index, bend) in path.bends.iter().enumerate() {
            let (before, after) = (&path.legs[index], &path.legs[index + 1]);
            let Some(radius_m) = bend.radius_m else {
                prop_assert!(bend.arc_m == 0.0 && bend.tangent_m == 0.0);
                continue;
            };
            if bend.angle_rad < 1e-3 {
                continue;
            }
            let arc = sampled_bend(&path, index, 400);
            let (length, angle) = polygon(&arc);
            prop_assert!((length - bend.arc_m).abs() < 1e-4 * bend.arc_m, "{length} {bend:?}");
            // The corners of the polygon leave out half a step at each end.
            prop_assert!((angle - bend.angle_rad).abs() < 0.01 * bend.angle_rad);
            for leg in [before, after] {
                let (from, to) = (coordinates(leg.from), coordinates(leg.to));
                let least = arc
                    .iter()
                    .map(|&point| distance_to_line(point, from, to))
                    .fold(f64::INFINITY, f64::min);
                prop_assert!(least < 1e-8);
            }
            // The sampled circle's own radius is the stated one.
            let (chord, rise) = (distance(arc[0], arc[400]), {
                let middle: [f64; 3] = std::array::from_fn(|i| f64::midpoint(arc[0][i], arc[400][i]));
                distance(middle, arc[200])
            });
            let by_sagitta = (chord * chord / 4.0 + rise * rise) / (2.0 * rise);
            prop_assert!((by_sagitta / radius_m - 1.0).abs() < 1e-4, "{by_sagitta} {radius_m}");
        }
    }

    #[test]
    fn the_developed_length_is_that_of_the_sampled_axis(points in tendon()) {
        let path = straight(&points);
        let mut axis = vec![coordinates(path.legs[0].from)];
        for (index, bend) in path.bends.iter().enumerate() {
            if bend.tangent_m > 1e-6 {
                axis.extend(sampled_bend(&path, index, 400));
            } else {
                axis.push(coordinates(path.legs[index].to));
            }
        }
        axis.push(coordinates(path.legs[path.legs.len() - 1].to));
        let (length, _) = polygon(&axis);
        prop_assert!((length - path.developed_length_m).abs() < 1e-4);
        let runs = path.runs();
        prop_assert!((total_length_m(&runs).unwrap() - path.developed_length_m).abs() < 1e-9);
        let angles: f64 = path.bends.iter().map(|bend| bend.angle_rad).sum();
        prop_assert!((total_angle_rad(&runs).unwrap() - angles).abs() < 1e-12);
        prop_assert_eq!(runs.len(), 2 * points.len() - 3);
    }

    #[test]
    fn without_radii_it_is_the_polygon_and_radii_only_shorten(points in tendon()) {
        let bare: Vec<_> = points
            .iter()
            .map(|point| TendonPoint { bend_radius_m: None, ..*point })
            .collect();
        let corners: Vec<_> = bare
            .iter()
            .map(|point| [point.station_m, point.lateral_m, point.elevation_m])
            .collect();
        let (length, angle) = polygon(&corners);
        let path = straight(&bare);
        prop_assert!((path.developed_length_m - length).abs() < 1e-9);
        let angles: f64 = path.bends.iter().map(|bend| bend.angle_rad).sum();
        prop_assert!((angles - angle).abs() < 1e-9);
        prop_assert!(straight(&points).developed_length_m <= length + 1e-9);
    }

    #[test]
    fn a_tendon_listed_from_its_other_end_is_the_same(points in tendon()) {
        let there = straight(&points);
        let turned: Vec<_> = points.iter().rev().copied().collect();
        let back = straight(&turned);
        prop_assert!((there.developed_length_m - back.developed_length_m).abs() < 1e-9);
        for (a, b) in there.bends.iter().zip(back.bends.iter().rev()) {
            prop_assert!((a.angle_rad - b.angle_rad).abs() < 1e-12);
            prop_assert!(distance(coordinates(a.enters), coordinates(b.leaves)) < 1e-9);
        }
        for (a, b) in there.legs.iter().zip(back.legs.iter().rev()) {
            prop_assert!((a.straight_m - b.straight_m).abs() < 1e-9);
        }
    }

    #[test]
    fn the_unit_of_length_and_the_side_of_the_bridge_do_not_matter(
        points in tendon(), factor in prop_oneof![Just(25.4), Just(0.3048), Just(1000.0)],
    ) {
        let path = straight(&points);
        let scaled: Vec<_> = points
            .iter()
            .map(|point| TendonPoint {
                station_m: point.station_m * factor,
                lateral_m: -point.lateral_m * factor,
                elevation_m: point.elevation_m * factor,
                bend_radius_m: point.bend_radius_m.map(|radius| radius * factor),
            })
            .collect();
        let other = straight(&scaled);
        prop_assert!((other.developed_length_m / factor / path.developed_length_m - 1.0).abs() < 1e-12);
        for (a, b) in path.bends.iter().zip(&other.bends) {
            prop_assert!((a.angle_rad - b.angle_rad).abs() < 1e-11);
            prop_assert!((a.arc_m - b.arc_m / factor).abs() < 1e-10);
        }
    }

    #[test]
    fn a_turned_bridge_is_the_same_bridge(
        points in tendon(), heading_rad in -PI..PI, x_m in -900.0..900.0, y_m in -900.0..900.0,
    ) {
        let turned = Alignment::Curved {
            start: Start { station_m: 90.0, x_m, y_m, heading_rad },
            elements: vec![Element { length_m: 200.0, radius_m: None }],
        };
        let (here, there) = (straight(&points), tendon_path(&turned, &points).unwrap());
        prop_assert!((here.developed_length_m - there.developed_length_m).abs() < 1e-9);
        for (a, b) in here.legs.iter().zip(&there.legs) {
            let (a, b) = (pitch_yaw(a.along, 0.0).unwrap(), pitch_yaw(b.along, heading_rad).unwrap());
            prop_assert!((a.pitch_rad - b.pitch_rad).abs() < 1e-11);
            prop_assert!((a.yaw_rad - b.yaw_rad).abs() < 1e-11);
        }
    }

    #[test]
    fn pitch_and_yaw_give_the_direction_back(
        pitch_rad in -1.5..1.5, yaw_rad in -3.1..3.1, heading_rad in -9.0..9.0,
    ) {
        let back = pitch_yaw(axis(PitchYaw { pitch_rad, yaw_rad }, heading_rad).unwrap(), heading_rad).unwrap();
        prop_assert!((back.pitch_rad - pitch_rad).abs() < 1e-12);
        prop_assert!((back.yaw_rad - yaw_rad).abs() < 1e-12);
    }

    #[test]
    fn the_deviation_lies_between_the_greater_part_and_the_sum(
        a in (-0.3..0.3, -0.3..0.3), b in (-0.3..0.3, -0.3..0.3), form in (-0.3..0.3, -0.3..0.3),
    ) {
        let along = |(pitch_rad, yaw_rad)| axis(PitchYaw { pitch_rad, yaw_rad }, 0.0).unwrap();
        let angle = angle_between_rad(along(a), along(b)).unwrap();
        let (pitch, yaw): (f64, f64) = ((a.0 - b.0).abs(), (a.1 - b.1).abs());
        prop_assert!(angle <= pitch + yaw + 1e-12 && angle >= pitch - 1e-12);
        // By spherical trigonometry, not by vectors.
        let haversine = |x: f64| (x / 2.0).sin().powi(2);
        let h = haversine(pitch) + f64::cos(a.0) * f64::cos(b.0) * haversine(yaw);
        prop_assert!((angle - 2.0 * h.sqrt().asin()).abs() < 1e-12);
        // Both sides of a form take at least the whole deviation between them.
        let sides = angle_to_axis_rad(along(a), along(form)).unwrap()
            + angle_to_axis_rad(along(b), along(form)).unwrap();
        prop_assert!(sides >= angle - 1e-12);
    }

    #[test]
    fn a_parabola_is_its_sampled_polygon(
        parabola in parabola(), radius_m in prop::option::of(prop_oneof![30.0..900.0, -900.0..-30.0]),
    ) {
        let (length, angle) = polygon(&sampled_parabola(&parabola, radius_m, 2000));
        let run = parabola.run(radius_m).unwrap();
        prop_assert!((run.length_m / length - 1.0).abs() < 1e-5, "{run:?} {length}");
        prop_assert!((run.angle_rad - angle).abs() < 3e-3 * run.angle_rad + 1e-7, "{run:?} {angle}");
        let flat = parabola.flat_length_m().unwrap();
        let steepest = parabola.from_slope.abs().max(parabola.to_slope.abs());
        let plan = parabola.to_m - parabola.from_m;
        prop_assert!(flat >= run.length_m - 1e-12 * flat);
        prop_assert!(flat - run.length_m <= plan * steepest.powi(4) / 8.0 + 1e-12 * flat);
    }

    #[test]
    fn a_profile_is_the_sum_of_its_parts_wherever_the_plan_is_cut(
        low in 5.0..35.0, z in prop::array::uniform3(-2.0..2.0), cut in 1.0..39.0,
        radius_m in prop_oneof![30.0..900.0, -900.0..-30.0],
    ) {
        let at = |along_m, elevation_m| ProfilePoint { along_m, elevation_m };
        let profile = parabolas_level_at(at(0.0, z[0]), at(low, z[1]), at(40.0, z[2])).unwrap();
        for (parabola, along_m, elevation_m) in
            [(profile[0], 0.0, z[0]), (profile[0], low, z[1]), (profile[1], 40.0, z[2])]
        {
            prop_assert!((parabola.elevation_at_m(along_m).unwrap() - elevation_m).abs() < 1e-9);
        }
        prop_assert!(profile[1].slope_at(low).unwrap().abs() < 1e-12);
        let arc = Alignment::Curved {
            start: Start { station_m: 0.0, x_m: 0.0, y_m: 0.0, heading_rad: 0.0 },
            elements: vec![
                Element { length_m: cut, radius_m: Some(radius_m) },
                Element { length_m: 40.0 - cut, radius_m: Some(radius_m) },
            ],
        };
        let plan = plan_beside(&arc, 0.0, 40.0, 0.0).unwrap();
        let runs = runs_on_plan(&profile, &plan).unwrap();
        let whole = profile.map(|parabola| parabola.run(Some(radius_m)).unwrap());
        for total in [total_length_m, total_angle_rad] {
            prop_assert!((total(&runs).unwrap() - total(&whole).unwrap()).abs() < 1e-6);
        }
        prop_assert!(runs.iter().all(|run| run.kind == RunKind::Curve));
    }

    #[test]
    fn a_polygon_in_plan_turns_less_the_finer_it_is_and_as_much_in_sum(
        radius_m in 50.0..500.0, corners in 3u32..40, rise in -0.5f64..0.5,
    ) {
        let bridge = Alignment::Curved {
            start: Start { station_m: 0.0, x_m: 3.0, y_m: 4.0, heading_rad: 0.5 },
            elements: vec![Element { length_m: 40.0, radius_m: Some(radius_m) }],
        };
        let points: Vec<_> = (0..=corners)
            .map(|k| PlanPoint { station_m: 40.0 * f64::from(k) / f64::from(corners), lateral_m: 1.0 })
            .collect();
        let plan = plan_polygon(&bridge, &points).unwrap();
        let length_m: f64 = plan.iter().map(|piece| piece.length_m).sum();
        let at = |share: f64| ProfilePoint { along_m: share * length_m, elevation_m: rise * share };
        let straight = parabola_through(at(0.0), at(0.5), at(1.0)).unwrap();
        let runs = runs_on_plan(&[straight], &plan).unwrap();
        // Each corner, in space, turns less than in plan by the cosine of the slope.
        let expected = f64::from(corners - 1) * 2.0
            * ((20.0 / f64::from(corners) / radius_m).sin() * f64::cos((rise / length_m).atan())).asin();
        prop_assert!((total_angle_rad(&runs).unwrap() - expected).abs() < 1e-9);
        prop_assert!((total_length_m(&runs).unwrap() - length_m.hypot(rise)).abs() < 1e-9);
    }

    #[test]
    fn an_arc_over_its_chord_is_a_sampled_arc(radius_m in 1.0..900.0, turn_rad in 0.001..3.1) {
        const STEPS: u32 = 2000;
        let on = |angle: f64| [radius_m * angle.sin(), radius_m * angle.cos(), 0.0];
        let points: Vec<_> = (0..=STEPS)
            .map(|k| on(turn_rad * (f64::from(k) / f64::from(STEPS) - 0.5)))
            .collect();
        let chord_m = distance(points[0], points[STEPS as usize]);
        let arc_m = arc_over_chord_m(radius_m, chord_m).unwrap();
        prop_assert!((arc_m / polygon(&points).0 - 1.0).abs() < 1e-5);
        let rise_m = rise_over_chord_m(radius_m, chord_m).unwrap();
        let highest = points.iter().map(|point| point[1] - points[0][1]).fold(0.0, f64::max);
        prop_assert!((rise_m - highest).abs() < 1e-9 * radius_m);
    }

    #[test]
    fn a_direction_is_that_of_its_points(points in tendon()) {
        for pair in points.windows(2) {
            let at = |point: &TendonPoint| Point {
                x_m: point.station_m, y_m: point.lateral_m, z_m: point.elevation_m,
            };
            let (from, to) = (at(&pair[0]), at(&pair[1]));
            let u = direction(from, to).unwrap();
            let length = distance(coordinates(from), coordinates(to));
            let reached = [from.x_m + length * u.x, from.y_m + length * u.y, from.z_m + length * u.z];
            prop_assert!(distance(reached, coordinates(to)) < 1e-9);
        }
    }
}
