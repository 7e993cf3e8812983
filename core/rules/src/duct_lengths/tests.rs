//! Lengths of duct follow one another without a gap, whatever is stated.

use restrand_model::reflect::{Date, Link};
use restrand_model::schedule::{DuctRun, Project, Schedule, TendonPoint};

use super::*;
use crate::book::Rulebook;

fn run(duct: &str, from_m: f64, to_m: f64) -> DuctRun {
    DuctRun {
        duct: Some(Link::to(duct)),
        from_m: Some(from_m),
        to_m: Some(to_m),
        ..DuctRun::default()
    }
}

fn lengths(own: Option<&str>, runs: Vec<DuctRun>) -> Result<Vec<(f64, f64, String)>, &'static str> {
    let duct = |id: &str| Duct { id: Some(id.into()), ..Duct::default() };
    let schedule = Schedule { ducts: vec![duct("A"), duct("B")], ..Schedule::default() };
    let book = Rulebook::default();
    let day = Date::new(2031, 5, 7).unwrap();
    let context = Context::new(&schedule, &[], &[], &book, day);
    let tendon = Tendon { duct: own.map(Link::to), duct_runs: runs, ..Tendon::default() };
    let told = |length: DuctLength<'_>| {
        let id = length.duct.record.id.as_deref().unwrap_or_default().to_owned();
        (length.stations_m[0], length.stations_m[1], id)
    };
    Ok(context.duct_lengths(&tendon)?.into_iter().map(told).collect())
}

const BEGIN: f64 = f64::NEG_INFINITY;
const END: f64 = f64::INFINITY;

#[test]
fn a_tendon_of_one_kind_of_duct_has_it_without_end() {
    assert_eq!(lengths(Some("A"), Vec::new()), Ok(vec![(BEGIN, END, "A".into())]));
    assert_eq!(lengths(None, Vec::new()), Err("tendon.duct"));
}

#[test]
fn what_no_length_reaches_over_has_the_tendons_own_duct() {
    let expected = vec![
        (BEGIN, 110.0, "A".into()),
        (110.0, 120.0, "B".into()),
        (120.0, 130.0, "A".into()),
        (130.0, 135.0, "B".into()),
        (135.0, END, "A".into()),
    ];
    // Listed out of order, and one from its far end.
    let runs = vec![run("B", 130.0, 135.0), run("B", 120.0, 110.0)];
    assert_eq!(lengths(Some("A"), runs), Ok(expected));
}

#[test]
fn without_a_duct_of_its_own_the_lengths_reach_to_one_another() {
    let expected = vec![(BEGIN, 121.0, "A".into()), (121.0, END, "B".into())];
    assert_eq!(lengths(None, vec![run("A", 101.0, 120.0), run("B", 121.0, 139.0)]), Ok(expected));
}

#[test]
fn where_two_lengths_overlap_the_first_counts() {
    let expected = vec![(BEGIN, 125.0, "A".into()), (125.0, END, "B".into())];
    let runs = vec![run("A", 100.0, 125.0), run("B", 120.0, 140.0), run("B", 105.0, 110.0)];
    assert_eq!(lengths(None, runs), Ok(expected));
}

#[test]
fn a_length_without_an_end_leaves_all_unknown() {
    let runs = vec![DuctRun { to_m: None, ..run("B", 110.0, 120.0) }];
    assert_eq!(lengths(Some("A"), runs), Err("duct_run.to_m"));
}

/// Leg, stations, length and width of a stretch.
type Told = (usize, [f64; 2], f64, f64);

/// The stretches of a tendon of three legs, the second of which stands upright.
fn on_legs(own: Option<&str>, runs: Vec<DuctRun>) -> Result<Vec<Told>, &'static str> {
    let duct = |id: &str, outer_mm| Duct {
        id: Some(id.into()),
        outer_mm: Some(outer_mm),
        ..Duct::default()
    };
    let point = |station_m, elevation_m| TendonPoint {
        station_m: Some(station_m),
        lateral_m: Some(0.0),
        elevation_m: Some(elevation_m),
        ..TendonPoint::default()
    };
    let tendon = Tendon {
        duct: own.map(Link::to),
        duct_runs: runs,
        points: vec![point(100.0, 5.0), point(120.0, 5.0), point(120.0, 9.0), point(160.0, 39.0)],
        ..Tendon::default()
    };
    let schedule = Schedule {
        ducts: vec![duct("A", 125.0), duct("B", 160.0), duct("C", 125.0)],
        project: Some(Box::new(Project { alignment_straight: Some(true), ..Project::default() })),
        tendons: vec![tendon],
        ..Schedule::default()
    };
    let book = Rulebook::default();
    let day = Date::new(2031, 5, 7).unwrap();
    let context = Context::new(&schedule, &[], &[], &book, day);
    let at = context.tendons().next().unwrap();
    let stretches = context.duct_on_legs(&at, |duct| duct.outer_mm.ok_or("duct.outer_mm"))?;
    let mut reached = None;
    for stretch in &stretches {
        // Each begins to the last digit where the one before it ends.
        assert!(reached.is_none_or(|reached| reached == stretch.from), "{stretches:?}");
        reached = Some(stretch.to);
    }
    let told = |one: DuctOnLeg<f64>| (one.leg, one.stations_m, one.length_m, one.width);
    Ok(stretches.into_iter().map(told).collect())
}

#[test]
fn a_leg_is_parted_where_its_duct_is_another_in_width() {
    let whole = [
        (0, [100.0, 120.0], 20.0, 125.0),
        (1, [120.0, 120.0], 4.0, 125.0),
        (2, [120.0, 160.0], 50.0, 125.0),
    ];
    assert_eq!(on_legs(Some("A"), Vec::new()).unwrap(), whole);
    // Another kind of the same width parts nothing.
    assert_eq!(on_legs(Some("A"), vec![run("C", 105.0, 130.0)]).unwrap(), whole);
    // From the middle of one leg over the upright one to a quarter of the next.
    let parted = [
        (0, [100.0, 110.0], 10.0, 125.0),
        (0, [110.0, 120.0], 10.0, 160.0),
        (1, [120.0, 120.0], 4.0, 160.0),
        (2, [120.0, 130.0], 12.5, 160.0),
        (2, [130.0, 160.0], 37.5, 125.0),
    ];
    assert_eq!(on_legs(Some("A"), vec![run("B", 110.0, 130.0)]).unwrap(), parted);
    assert_eq!(on_legs(None, Vec::new()), Err("tendon.duct"));
}

/// Where two lengths meet at the station of the upright leg, the wider one is on it, whichever comes first.
#[test]
fn an_upright_leg_between_two_lengths_has_the_wider_duct() {
    for (runs, widths) in [
        (vec![run("A", 100.0, 120.0), run("B", 120.0, 160.0)], [125.0, 160.0, 160.0]),
        (vec![run("B", 100.0, 120.0), run("A", 120.0, 160.0)], [160.0, 160.0, 125.0]),
    ] {
        let told: Vec<_> = on_legs(None, runs).unwrap().iter().map(|told| told.3).collect();
        assert_eq!(told, widths);
    }
}
