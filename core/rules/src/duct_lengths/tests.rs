//! Lengths of duct follow one another without a gap, whatever is stated.

use restrand_model::reflect::{Date, Link};
use restrand_model::schedule::{DuctRun, Schedule};

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
