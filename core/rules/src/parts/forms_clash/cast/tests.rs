//! Boxes round cones, and which of several cones overlap most, in numbers worked out by hand.

use super::*;

fn along_x(from_mm: f64, to_mm: f64, [y_mm, z_mm]: [f64; 2], outer_mm: [f64; 2]) -> Cone {
    cone([from_mm, y_mm, z_mm], [to_mm, y_mm, z_mm], outer_mm)
}

fn cast(cones: Vec<Cone>) -> Cast {
    let boxes: Vec<_> = cones.iter().map(reach_mm).collect();
    let reach_mm = std::array::from_fn(|axis| {
        [
            boxes.iter().map(|own| own[axis][0]).fold(f64::INFINITY, f64::min),
            boxes.iter().map(|own| own[axis][1]).fold(f64::NEG_INFINITY, f64::max),
        ]
    });
    let (mark, place) = ("T1".to_owned(), "D".to_owned());
    Cast { tendon: 0, mark, place, route: Route::to("tendons", 0), cones, is_whole: true, reach_mm }
}

fn overlap_mm(one: Vec<Cone>, other: Vec<Cone>) -> Option<f64> {
    let found = [cast(one.clone()).overlap(&cast(other.clone())), cast(other).overlap(&cast(one))];
    let [one_mm, other_mm] = found.map(|near| near.map(|near| -near.gap_mm));
    assert_eq!(one_mm.is_some(), other_mm.is_some());
    if let (Some(one_mm), Some(other_mm)) = (one_mm, other_mm) {
        assert!((one_mm - other_mm).abs() < 1e-6, "{one_mm} {other_mm}");
    }
    one_mm
}

#[test]
fn a_box_is_as_wide_round_a_cone_as_its_wider_end() {
    let leaning = cone([300.0, 40.0, -20.0], [100.0, 50.0, 10.0], [50.0, 120.0]);
    assert_eq!(reach_mm(&leaning), [[40.0, 360.0], [-20.0, 110.0], [-80.0, 70.0]]);
    let round = widest(&leaning);
    assert_eq!((round.from_radius_mm, round.to_radius_mm), (60.0, 60.0));
    assert_eq!((round.from_mm, round.to_mm), (leaning.from_mm, leaning.to_mm));
}

#[test]
fn boxes_meet_where_they_share_more_than_a_face() {
    let own = [[0.0, 10.0], [20.0, 30.0], [-5.0, 5.0]];
    assert!(meet(&own, &own));
    for axis in 0..3 {
        for (shift, meets) in [(9.9, true), (10.0, false), (-9.9, true), (-10.0, false)] {
            let mut other = own;
            other[axis] = other[axis].map(|mm| mm + shift);
            assert_eq!(meet(&own, &other), meets, "{axis} {shift}");
            assert_eq!(meet(&other, &own), meets, "{axis} {shift}");
        }
    }
}

#[test]
fn of_several_cones_the_deepest_overlap_counts() {
    let pipe = |from_mm, to_mm, y_mm| along_x(from_mm, to_mm, [y_mm, 0.0], [100.0; 2]);
    let own = vec![pipe(0.0, 100.0, 0.0), pipe(200.0, 300.0, 0.0), pipe(400.0, 500.0, 0.0)];
    let beside = |ys_mm: [f64; 3]| {
        vec![pipe(0.0, 100.0, ys_mm[0]), pipe(200.0, 300.0, ys_mm[1]), pipe(400.0, 500.0, ys_mm[2])]
    };
    for ys_mm in [[95.0, 91.0, 99.0], [91.0, 95.0, 120.0], [120.0, 99.0, 91.0]] {
        let found_mm = overlap_mm(own.clone(), beside(ys_mm)).unwrap();
        assert!((found_mm - 9.0).abs() < 1e-6, "{found_mm}");
    }
    assert_eq!(overlap_mm(own.clone(), beside([101.0, 120.0, 130.0])), None);
    // Aslant their boxes meet, and they do not: the axes are 113 mm apart.
    let aslant = vec![along_x(0.0, 100.0, [80.0, 80.0], [100.0; 2])];
    assert_eq!(overlap_mm(own, aslant), None);
    // Beside the wide end of a cone, and no overlap beside its narrow one.
    let flared = vec![along_x(0.0, 1000.0, [0.0, 0.0], [100.0, 20.0])];
    assert!(overlap_mm(flared.clone(), vec![along_x(0.0, 5.0, [70.0, 0.0], [60.0; 2])]).is_some());
    assert_eq!(overlap_mm(flared, vec![along_x(900.0, 1000.0, [70.0, 0.0], [60.0; 2])]), None);
}
