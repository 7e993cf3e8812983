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

#[test]
fn what_a_group_says_is_measured_is_a_measurement() {
    let read = plain(&[
        &["Tendon", "Strands", "DESIGN", "DESIGN", "MEASURED", "MEASURED", "MEASURED", "MEASURED"],
        &[
            "",
            "",
            "Jacking force (kN)",
            "Draw-in (mm)",
            "Jacking force (kN)",
            "Elongation (mm)",
            "Draw-in (mm)",
            "Lift-off force (kN)",
        ],
        &["K1", "19", "3900", "6", "3905", "287", "6.5", "3560"],
        &["K2", "19", "3900", "6", "3898", "279", "7", ""],
    ]);
    assert!(read.questions.is_empty(), "{:?}", read.questions);
    assert_eq!(read.number("Tendons", 0, &["stressing", "jacking_force_kn"]), Some(3900.0));
    assert_eq!(read.number("Tendons", 0, &["stressing", "set_mm"]), Some(6.0));
    assert_eq!(read.number("Measurements", 0, &["force_kn"]), Some(3905.0));
    assert_eq!(read.number("Measurements", 0, &["elongation_mm"]), Some(287.0));
    assert_eq!(read.number("Measurements", 0, &["set_mm"]), Some(6.5));
    assert_eq!(read.number("Measurements", 0, &["lift_off_kn"]), Some(3560.0));
    // What was measured without a lift-off is one too.
    assert_eq!(read.number("Measurements", 1, &["force_kn"]), Some(3898.0));
    assert_eq!(read.number("Measurements", 1, &["lift_off_kn"]), None);
}

#[test]
fn a_grade_in_a_stress_is_the_strength_of_strand() {
    let read = plain(&[
        &["Tendon", "Strands", "Strand dia. (mm)", "Grade (MPa)"],
        &["K1", "19", "15.7", "1860"],
        &["K2", "19", "15.7", "1860"],
    ]);
    assert!(read.questions.is_empty() && read.problems.is_empty(), "{:?}", read.problems);
    assert_eq!(read.number("Strands", 0, &["fpu_mpa"]), Some(1860.0));
    assert!(read.of("Ends").is_empty());
}

#[test]
fn a_strength_in_a_stress_is_no_share_of_it() {
    for (header, strength) in [("fpu [MPa]", "1860"), ("GUTS (MPa)", "1860")] {
        let read = plain(&[&["Tendon", "Strands", header], &["K1", "19", strength]]);
        assert_eq!(read.number("Strands", 0, &["fpu_mpa"]), Some(1860.0), "{header}");
        assert_eq!(read.number("Tendons", 0, &["stressing", "jacking_share"]), None, "{header}");
    }
}

#[test]
fn per_cents_of_a_strength_are_shares_wherever_the_sign_stands() {
    let headers = ["Jacking % GUTS", "% fpu", "Jacking stress (% fpu)", "Force (% of GUTS)"];
    for (header, value) in headers.iter().flat_map(|header| [(header, "75"), (header, "0.75")]) {
        let read = plain(&[&["Tendon", "Strands", header], &["K1", "19", value]]);
        let share = read.number("Tendons", 0, &["stressing", "jacking_share"]);
        assert_eq!(share, Some(0.75), "{header}: {value}");
    }
}

#[test]
fn what_is_measured_while_one_end_is_stressed_is_measured_there() {
    let read = plain(&[
        &[
            "Tendon",
            "Strands",
            "Stressed from",
            "P after seating, jacking end (kN)",
            "Measured elongation (mm)",
        ],
        &["K1", "19", "A", "3560", "287"],
        &["K2", "19", "B", "3570", "279"],
        &["K3", "19", "both", "", "198"],
    ]);
    assert!(read.questions.is_empty(), "{:?}", read.questions);
    let ends: Vec<_> = read
        .of("Measurements")
        .iter()
        .map(|one| one.fields.get("end").and_then(Value::as_text).map(str::to_owned))
        .collect();
    assert_eq!(ends, [Some("a".to_owned()), Some("b".to_owned()), None]);
    let seated = |at: usize, field: &str| read.number("Tendons", at, &["stressing", field]);
    assert_eq!(seated(0, "seated_force_a_kn"), Some(3560.0));
    assert_eq!(seated(1, "seated_force_b_kn"), Some(3570.0));
    assert_eq!(seated(1, "seated_force_a_kn"), None);
}
