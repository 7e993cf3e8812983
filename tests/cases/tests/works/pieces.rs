//! The pieces that cuts leave of the free lengths.

use restrand_model::schedule::{Cut, End, Schedule};
use restrand_rules::works;

use crate::{near, with};

/// A metre of tendon over a metre of station: 2 m down, or up, in 20.
const SLOPE: f64 = 1.004_987_562_112_089;

fn ends(schedule: &mut Schedule) -> [&mut End; 2] {
    let ends = schedule.tendons[0].ends.as_deref_mut().unwrap();
    [ends.a.as_deref_mut().unwrap(), ends.b.as_deref_mut().unwrap()]
}

/// Stubs are cut a metre into the tendon at each end, and the tendon at these stations.
fn cut_at(stations_m: &[f64]) -> impl FnOnce(&mut Schedule) {
    let cut = |station_m: &f64| Cut { station_m: Some(*station_m), ..Cut::default() };
    let cuts: Vec<_> = stations_m.iter().map(cut).collect();
    |schedule| {
        for end in ends(schedule) {
            end.stub_cut_mm = Some(-1000.0);
        }
        schedule.tendons[0].cuts = cuts;
    }
}

/// The cuts of each piece, and their lengths from end a.
fn pieces(stations_m: &[f64]) -> Vec<([Option<usize>; 2], [f64; 2])> {
    let found = with(cut_at(stations_m), works::cut_pieces).unwrap();
    for piece in &found {
        near(piece.length_m(), piece.along_m[1] - piece.along_m[0]);
        for (station_m, along_m) in piece.stations_m.into_iter().zip(piece.along_m) {
            near(station_m * SLOPE, along_m);
        }
    }
    found.into_iter().map(|piece| (piece.cuts, piece.along_m)).collect()
}

#[track_caller]
fn same(found: &[([Option<usize>; 2], [f64; 2])], expected: &[([Option<usize>; 2], [f64; 2])]) {
    assert_eq!(found.len(), expected.len(), "{found:?}");
    for ((cuts, along_m), (expected_cuts, expected_m)) in found.iter().zip(expected) {
        assert_eq!(cuts, expected_cuts);
        near(along_m[0], expected_m[0]);
        near(along_m[1], expected_m[1]);
    }
}

#[test]
fn cuts_leave_pieces_but_for_those_that_a_deviator_holds() {
    // E holds what lies at 10, and D at 20.
    let end_m = 40.0 * SLOPE - 1.0;
    let expected =
        [([None, Some(0)], [1.0, 5.0 * SLOPE]), ([Some(2), None], [25.0 * SLOPE, end_m])];
    same(&pieces(&[5.0, 15.0, 25.0]), &expected);
    // In whatever order they are listed.
    let expected =
        [([None, Some(2)], [1.0, 5.0 * SLOPE]), ([Some(1), None], [25.0 * SLOPE, end_m])];
    same(&pieces(&[15.0, 25.0, 5.0]), &expected);
}

#[test]
fn what_a_saw_cannot_tell_apart_is_one_cut() {
    let end_m = 40.0 * SLOPE - 1.0;
    let last = ([Some(1), None], [25.0 * SLOPE, end_m]);
    // 5 mm from the cut of the stub it is that cut, and 5 mm from another one there is no piece between them.
    let stub_m = 1.0 / SLOPE;
    for station_m in [stub_m - 0.005, stub_m + 0.005] {
        same(&pieces(&[station_m, 25.0]), &[last]);
    }
    let expected = [([None, Some(0)], [1.0, 5.0 * SLOPE]), ([Some(2), None], last.1)];
    same(&pieces(&[5.0, 5.005, 25.0]), &expected);
    // 20 mm are a piece.
    let expected = [
        ([None, Some(0)], [1.0, 5.0 * SLOPE]),
        ([Some(0), Some(1)], [5.0 * SLOPE, 5.02 * SLOPE]),
        ([Some(2), None], last.1),
    ];
    same(&pieces(&[5.0, 5.02, 25.0]), &expected);
}

#[test]
fn a_cut_without_a_station_leaves_no_known_pieces() {
    let change = |schedule: &mut Schedule| schedule.tendons[0].cuts = vec![Cut::default()];
    assert_eq!(with(change, works::cut_pieces).unwrap_err(), "cut.station_m");
}
