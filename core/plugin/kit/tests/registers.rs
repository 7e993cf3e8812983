//! Registers that owners keep of their tendons: what was measured later stands beside what was designed.

mod recognised;

use recognised::plain;
use restrand_model::Value;

#[test]
fn a_lift_off_is_a_measurement_of_its_own_day() {
    let read = plain(&[
        &["Tendon", "Strands (nominal)", "Jacking force (kN)", "Lift-off (kN)", "Lift-off date"],
        &["T1", "19", "3800", "3120", "2022-09-01"],
        &["T2", "22", "4400", "", "2022-09-01"],
        &["T3", "22", "4400", "3400", ""],
    ]);
    assert!(read.questions.is_empty() && read.problems.is_empty(), "{:?}", read.problems);
    assert_eq!(read.number("Tendons", 0, &["strand_count"]), Some(19.0));
    // A day alone measures nothing.
    let measured = read.of("Measurements");
    assert_eq!(measured.len(), 2, "{measured:?}");
    let owners: Vec<_> = measured.iter().map(|one| one.links[0].as_deref()).collect();
    assert_eq!(owners, [Some("T1"), Some("T3")]);
    assert_eq!(measured[0].fields.get("lift_off_kn").and_then(Value::as_number), Some(3120.0));
    assert_eq!(measured[0].fields.get("on").and_then(Value::as_text), Some("2022-09-01"));
    assert_eq!(measured[1].fields.get("on"), None);
    // What is anchored is no lift-off, and what lifts is no other force.
    assert_eq!(read.number("Tendons", 0, &["stressing", "jacking_force_kn"]), Some(3800.0));
}
