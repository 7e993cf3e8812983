//! The demo bridge against the sheet that was computed by hand, `fixtures/demo/replacement-by-hand.md`.
//!
//! Tolerances are half a unit of the last digit that the sheet prints.
#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

use restrand_dev::demo;
use restrand_model::schedule::{CutPlace, End, Schedule, StressingFrom, Tendon};

fn tendon<'a>(bridge: &'a Schedule, mark: &str) -> &'a Tendon {
    bridge.tendons.iter().find(|tendon| tendon.mark.as_deref() == Some(mark)).unwrap()
}

fn ends(tendon: &Tendon) -> [&End; 2] {
    let ends = tendon.ends.as_deref().unwrap();
    [ends.a.as_deref().unwrap(), ends.b.as_deref().unwrap()]
}

#[track_caller]
fn near(value: f64, printed: f64, half_digit: f64) {
    assert!((value - printed).abs() <= half_digit + 1e-9, "{value} is not {printed}");
}

#[test]
fn t11l_has_the_path_of_section_2() {
    let bridge = demo::bridge();
    let t11l = tendon(&bridge, "T11L");
    let path = demo::path_of(t11l);
    for (leg, printed) in path.legs.iter().zip([13.6889, 14.0, 14.0672]) {
        near(leg.length_m, printed, 5e-5);
    }
    for (bend, (angle, tangent_mm, arc_mm)) in
        path.bends.iter().zip([(0.07537, 153.2, 306.2), (0.09776, 198.7, 397.1)])
    {
        near(bend.angle_rad, angle, 5e-6);
        near(bend.tangent_m * 1000.0, tangent_mm, 0.05);
        near(bend.arc_m * 1000.0, arc_mm, 0.05);
    }
    near(path.developed_m(), 41.756, 5e-4);
    assert_eq!(t11l.length_m, Some(41.756));
    let [a, b] = ends(t11l);
    assert_eq!((a.straight_length_m, b.straight_length_m), (Some(13.536), Some(13.868)));
    assert_eq!((a.pitch_rad, a.yaw_rad), (Some(-0.0731), Some(0.0183)));
    assert_eq!((b.pitch_rad, b.yaw_rad), (Some(0.0961), Some(-0.0179)));
}

#[test]
fn t11l_has_the_forces_of_section_3() {
    let bridge = demo::bridge();
    let t11l = tendon(&bridge, "T11L");
    let forces = demo::forces_of(t11l).unwrap();
    // From the lower station: A1, between the deviators, P2.
    for (force, printed) in forces.before_kn.iter().zip([3474.7, 3531.2, 3600.0]) {
        near(*force, printed, 0.05);
    }
    for (force, printed) in forces.after_kn.iter().zip([3475.0, 3480.0, 3414.0]) {
        near(*force, printed, 0.5);
    }
    assert_eq!(forces.set_ends_in_leg, 2);
    near(forces.elongation_mm, 265.7, 0.05);
    near(forces.tail_mm, 5.8, 0.05);
    for (force, printed) in
        forces.deviation_kn.iter().zip([[15.0, -63.0, 254.0], [-83.0, -61.0, 328.0]])
    {
        for (part, printed) in force.iter().zip(printed) {
            near(*part, printed, 0.5);
        }
    }
    let stated: Vec<_> = t11l.deviators.iter().map(|deviator| deviator.force_kn).collect();
    assert_eq!(stated, [Some(262.0), Some(343.0)]);
}

#[test]
fn t11l_has_the_stressing_table_of_section_9() {
    let bridge = demo::bridge();
    let rows: Vec<_> = tendon(&bridge, "T11L")
        .stressing_steps
        .iter()
        .map(|step| (step.force_kn.unwrap(), step.gauge_mpa.unwrap(), step.elongation_mm.unwrap()))
        .collect();
    let printed = [
        (720.0, 8.18, 54.3),
        (1440.0, 16.33, 108.6),
        (2160.0, 24.46, 162.9),
        (2880.0, 32.60, 217.2),
        (3600.0, 40.73, 271.5),
    ];
    assert_eq!(rows, printed);
}

#[test]
fn t11l_is_filled_as_section_10_says() {
    let bridge = demo::bridge();
    let fill = tendon(&bridge, "T11L").fill.as_deref().unwrap();
    assert_eq!(fill.volume_l, Some(325.5));
    assert_eq!(fill.bags, Some(11));
    assert_eq!(fill.hose_length_mm, Some(60_000.0));
    near(fill.volume_l.unwrap() + fill.waste_volume_l.unwrap(), 373.0, 0.5);
    near(fill.duration_s.unwrap() / 60.0, 4.1, 0.05);
    // What the anchorages add to a full-length duct gives the same total.
    let own = |id: &str| {
        let found = bridge.anchorages.iter().find(|a| a.id.as_deref() == Some(id)).unwrap();
        found.filler_volume_l.unwrap()
    };
    near(own("K-13") + own("S-20") + (9.538 - 2.850) * 41.756, 325.5, 0.15);
}

#[test]
fn stubs_come_out_in_the_pulls_of_section_5() {
    let bridge = demo::bridge();
    for tendon in &bridge.tendons {
        for end in ends(tendon) {
            let at_a1 = end.place.as_ref().unwrap().key() == "A1";
            assert_eq!(end.stub_pulls, Some(if at_a1 { 2 } else { 1 }), "{:?}", tendon.mark);
        }
    }
}

#[test]
fn t11l_is_cut_as_section_6_says() {
    let bridge = demo::bridge();
    let cuts = &tendon(&bridge, "T11L").cuts;
    assert_eq!(
        (cuts[0].station_m, cuts[0].purpose),
        (Some(120.0), Some(CutPlace::Release)),
        "the first cut releases"
    );
    let mut stubs: Vec<f64> = cuts
        .iter()
        .filter(|cut| cut.purpose == Some(CutPlace::Stub))
        .map(|cut| cut.station_m.unwrap())
        .collect();
    stubs.sort_by(f64::total_cmp);
    assert_eq!(stubs, [100.826, 112.3, 113.7, 126.3, 127.7, 138.83]);
    // Pieces of 1.918 m, 1.800 m, 1.937 m and one of 1.5 m: one cut fewer than pieces in each bay.
    let pieces_between = |from: f64, to: f64| {
        let between = |cut: &&restrand_model::schedule::Cut| {
            cut.purpose == Some(CutPlace::Piece)
                && cut.station_m.is_some_and(|at| at > from && at < to)
        };
        cuts.iter().filter(between).count() + 1
    };
    assert_eq!(pieces_between(100.826, 112.3), 6);
    assert_eq!(pieces_between(113.7, 126.3), 7);
    assert_eq!(pieces_between(127.7, 138.83), 6);
    // The order is from the midpoint outward in the middle bay.
    let middle: Vec<f64> =
        cuts[1..7].iter().map(|cut| (cut.station_m.unwrap() - 120.0).abs()).collect();
    assert!(middle.is_sorted(), "{middle:?}");
}

#[test]
fn t11l_has_seven_sticks_of_duct_and_no_joint_near_a_form() {
    let bridge = demo::bridge();
    let joints = &tendon(&bridge, "T11L").duct_joints;
    assert_eq!(joints.len(), 6);
    for tendon in &bridge.tendons {
        for joint in &tendon.duct_joints {
            let at = joint.station_m.unwrap();
            for deviator in &tendon.deviators {
                let key = deviator.place.as_ref().unwrap().key();
                let place = bridge.places.iter().find(|p| p.id.as_deref() == Some(key)).unwrap();
                let from_face = (at - place.station_m.unwrap()).abs() - 0.5;
                assert!(from_face >= 0.49, "{:?} {at}", tendon.mark);
            }
        }
    }
}

#[test]
fn the_bends_are_those_of_appendix_a5() {
    let bridge = demo::bridge();
    for (mark, printed) in [
        ("T11L", [0.07537, 0.09776]),
        ("T12L", [0.04393, 0.09672]),
        ("T21L", [0.05608, 0.05608]),
        ("T22L", [0.02020, 0.02020]),
        ("T23L", [0.01428, 0.01428]),
        ("T24L", [0.01428, 0.01428]),
        ("T25L", [0.01428, 0.01428]),
        ("T31L", [0.09776, 0.07537]),
        ("T32L", [0.09672, 0.04393]),
    ] {
        let stated = tendon(&bridge, mark).deviators.iter().map(|d| d.angle_rad.unwrap());
        assert!(stated.eq(printed), "{mark}");
    }
}

/// Mark, dead end before seating, stressing end and dead end after it, elongation, leg, length.
type Line = (&'static str, f64, f64, f64, f64, usize, f64);

#[test]
fn the_forces_are_those_of_appendix_a7() {
    const PRINTED: [Line; 9] = [
        ("T11L", 3475.0, 3414.0, 3475.0, 265.7, 2, 41.756),
        ("T12L", 3490.0, 3414.0, 3490.0, 265.9, 2, 41.729),
        ("T21L", 3504.0, 3457.0, 3504.0, 332.7, 2, 52.055),
        ("T22L", 3441.0, 3378.0, 3435.0, 324.8, 3, 52.007),
        ("T23L", 3447.0, 3384.0, 3435.0, 325.0, 3, 52.004),
        ("T24L", 3447.0, 3384.0, 3435.0, 325.0, 3, 52.004),
        ("T25L", 3447.0, 3384.0, 3435.0, 325.0, 3, 52.004),
        ("T31L", 3475.0, 3422.0, 3475.0, 265.9, 2, 41.756),
        ("T32L", 3490.0, 3438.0, 3490.0, 266.5, 2, 41.729),
    ];
    let bridge = demo::bridge();
    for (mark, dead_before, live_after, dead_after, elongation, leg, length) in PRINTED {
        let tendon = tendon(&bridge, mark);
        let forces = demo::forces_of(tendon).unwrap();
        let stressing = tendon.stressing.as_deref().unwrap();
        let from_b = stressing.from == Some(StressingFrom::B);
        let [live, dead] = if from_b { [2, 0] } else { [0, 2] };
        near(forces.before_kn[dead], dead_before, 0.5);
        near(forces.after_kn[live], live_after, 0.5);
        near(forces.after_kn[dead], dead_after, 0.5);
        near(forces.elongation_mm, elongation, 0.05);
        assert_eq!(forces.set_ends_in_leg, leg, "{mark}");
        assert_eq!(tendon.length_m, Some(length), "{mark}");
        let target = tendon.replacement.as_deref().unwrap().target_seated_force_kn;
        assert_eq!(target, Some(live_after), "{mark}");
    }
}

#[test]
fn edge_and_centre_distances_keep_what_the_anchorages_need() {
    let bridge = demo::bridge();
    let mut least = f64::INFINITY;
    for end in bridge.tendons.iter().flat_map(ends) {
        least = least.min(end.edge_distance_mm.unwrap());
    }
    near(least, 300.0, 0.5);
}

#[test]
fn a_pair_is_mirrored() {
    let bridge = demo::bridge();
    assert_eq!(bridge.tendons.len(), 18);
    for pair in bridge.tendons.chunks(2) {
        let [left, right] = pair else { panic!("a tendon without its twin") };
        assert_eq!(left.twin.as_ref().unwrap().key(), right.mark.as_deref().unwrap());
        assert_eq!(right.twin.as_ref().unwrap().key(), left.mark.as_deref().unwrap());
        assert_eq!(right.order.unwrap(), left.order.unwrap() + 1);
        for (left, right) in left.points.iter().zip(&right.points) {
            assert_eq!(left.lateral_m.unwrap(), -right.lateral_m.unwrap());
            assert_eq!(left.elevation_m, right.elevation_m);
        }
        for (left, right) in ends(left).into_iter().zip(ends(right)) {
            let (left, right) =
                (left.removal_space.as_deref().unwrap(), right.removal_space.as_deref().unwrap());
            assert_eq!((left.left_mm, left.right_mm), (right.right_mm, right.left_mm));
            assert_eq!(left.behind_mm, right.behind_mm);
        }
        let (left, right) = (demo::forces_of(left).unwrap(), demo::forces_of(right).unwrap());
        near(left.elongation_mm, right.elongation_mm, 1e-9);
    }
}

#[test]
fn the_us_edition_takes_no_room_that_is_not_there() {
    let (si, us) = (demo::bridge(), demo::us_edition());
    let mut rounded = 0;
    for (si, us) in si.tendons.iter().flat_map(ends).zip(us.tendons.iter().flat_map(ends)) {
        let (si, us) = (si.removal_space.as_deref().unwrap(), us.removal_space.as_deref().unwrap());
        for (si, us) in [
            (si.behind_mm, us.behind_mm),
            (si.up_mm, us.up_mm),
            (si.down_mm, us.down_mm),
            (si.left_mm, us.left_mm),
            (si.right_mm, us.right_mm),
        ] {
            let (si, us) = (si.unwrap(), us.unwrap());
            assert!(us <= si && us > si - 6.35 && us >= 304.8, "{si} {us}");
            rounded += 1;
        }
    }
    assert_eq!(rounded, 180);
}
