//! The generated files are current, and are what they say.
#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

use std::collections::BTreeMap;

use restrand_dev::{fault, generate};
use serde_json::Value;

#[test]
fn the_files_on_disk_are_current() {
    let stale = generate::out_of_date().unwrap();
    assert!(stale.is_empty(), "run `cargo dev generate`: {stale:?}");
}

#[test]
fn the_same_files_come_out_twice() {
    let (first, second) = (generate::files().unwrap(), generate::files().unwrap());
    for (first, second) in first.iter().zip(&second) {
        assert!(first.bytes == second.bytes, "{}", first.path);
    }
}

fn file(path: &str) -> Vec<u8> {
    let files = generate::files().unwrap();
    files.into_iter().find(|file| file.path.ends_with(path)).unwrap().bytes
}

fn errors(document: &[u8]) -> Vec<String> {
    let schema: Value = serde_json::from_slice(&file("schedule-1.schema.json")).unwrap();
    let validator = jsonschema::validator_for(&schema).unwrap();
    let document: Value = serde_json::from_slice(document).unwrap();
    let mut found: Vec<_> =
        validator.iter_errors(&document).map(|error| error.instance_path().to_string()).collect();
    found.sort();
    found
}

#[test]
fn the_documents_are_valid_but_for_the_faults_that_a_schedule_cannot_hold() {
    assert_eq!(errors(&file("quillmere.json")), Vec::<String>::new());
    assert_eq!(errors(&file("quillmere-us.json")), Vec::<String>::new());
    assert_eq!(
        errors(&file("quillmere-faulty.json")),
        ["/jacks/0/gauge_resolution_mpa", "/openings/0", "/tendons/0", "/tendons/5/order"]
    );
}

#[test]
fn every_fault_is_of_a_rule_that_is_listed_here() {
    let mut rules = BTreeMap::new();
    for (number, fault) in (1..).zip(fault::faults()) {
        assert_eq!(fault.number, number);
        *rules.entry(fault.rule).or_insert(0) += 1;
    }
    let expected = BTreeMap::from([
        ("access/headroom-low", 1),
        ("access/opening-small-for-people", 1),
        ("anchorage/edge-distance", 1),
        ("anchorage/not-square", 1),
        ("deviator/angle-reserve", 1),
        ("duct/area-ratio-low", 1),
        ("duct/dimensions-inconsistent", 1),
        ("parts/bonded-inaccessibly", 1),
        ("parts/cannot-pass", 1),
        ("parts/nesting-impossible", 1),
        ("parts/permanence-missing", 1),
        ("parts/permanence-unexpected", 1),
        ("path/angle-mismatch", 1),
        ("path/length-mismatch", 1),
        ("replacement/cap-before-release", 1),
        ("replacement/too-many-out", 1),
        ("schedule/dangling-reference", 2),
        ("schedule/duplicate-mark", 2),
        ("schedule/missing-field", 2),
        ("schedule/unknown-column", 2),
        ("schedule/unreadable-value", 2),
        ("space/missing", 1),
        ("space/stub", 1),
        ("strand/area-mismatch", 1),
        ("strand/exceeds-capacity", 1),
        ("stressing/calibration-old", 1),
        ("stressing/end-role-conflict", 1),
        ("stressing/order-lopsided", 1),
    ]);
    assert_eq!(rules, expected);
}

#[test]
fn every_fault_shows_in_the_workbook() {
    let shown = fault::shown(&file("quillmere-faulty.xlsx")).unwrap();
    assert_eq!(shown.len(), 33);
    let route = |number: usize| shown[number - 1].route.as_str();
    assert_eq!(route(1), "tendons[T21R].order");
    assert_eq!(route(3), "Tendons: Duct colour");
    assert_eq!(route(5), "bays[#8]");
    assert_eq!(route(18), "anchorages[K-13].parts[inner-cone].rear_outer_mm");
    assert_eq!(route(20), "tendons[T12R].ends.a.removal_space.behind_mm");
}
