//! The files for benches hold what they are for.
#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

use std::collections::BTreeSet;

use restrand_dev::bench;
use restrand_model::reflect::{Record, View};
use restrand_model::schedule::Schedule;

#[test]
fn so_many_tendons_have_names_of_their_own_and_name_what_is_there() {
    let schedule = bench::tendons(bench::SMALL);
    assert_eq!(schedule.tendons.len(), bench::SMALL);
    let marks: BTreeSet<_> = schedule.tendons.iter().map(|tendon| tendon.mark.clone()).collect();
    assert_eq!(marks.len(), bench::SMALL);
    let orders: BTreeSet<_> = schedule.tendons.iter().map(|tendon| tendon.order).collect();
    assert_eq!(orders.len(), bench::SMALL);
    for tendon in &schedule.tendons {
        let twin = tendon.twin.as_ref().map(|twin| twin.key().into());
        assert!(marks.contains(&twin), "{twin:?}");
        for point in &tendon.points {
            let key = point.place.as_ref().unwrap().key();
            let place = schedule.places.iter().find(|place| place.id.as_deref() == Some(key));
            let off = place.unwrap().station_m.unwrap() - point.station_m.unwrap();
            assert!(off.abs() <= 1.0, "{:?} {key}", tendon.mark);
        }
    }
}

#[test]
fn every_list_of_the_schedule_has_unique_names() {
    let schedule: Schedule = bench::tendons(40);
    let root: &dyn Record = &schedule;
    for field in root.info().fields {
        let View::List(list) = root.get(field.name) else { continue };
        let mut seen = BTreeSet::new();
        for index in 0..list.len() {
            if let View::Record(record) = list.item(index)
                && let Some(key) = record.key()
            {
                assert!(seen.insert(key.to_owned()), "{}: {key}", field.name);
            }
        }
    }
}

#[test]
fn the_flat_sheet_is_as_wide_as_the_design_says() {
    assert_eq!((bench::FLAT_COLUMNS, bench::FLAT_ROWS), (40, 100_000));
}
