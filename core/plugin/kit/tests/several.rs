//! Schedules that stand in several tables: where one ends, what names kinds, and what is said of ends.

mod recognised;

use recognised::{plain, sheet, taken};
use restrand_kit::recognise::{Mapping, Merged};
use restrand_model::Value;
use restrand_model::reading::ProblemKind;

#[test]
fn a_card_says_from_which_end_its_tendon_is_stressed() {
    let read = plain(&[
        &["Tendon", "T1"],
        &["Number of strands", "19"],
        &["Jacking force", "3900", "kN"],
        &["Stressing end", "A"],
        &["Clear dist. behind anchorage A", "1700", "mm"],
        &["Length between bearing plates", "39.2", "m"],
    ]);
    let stressing =
        read.of("Tendons")[0].fields.get("stressing").and_then(Value::as_fields).unwrap();
    assert_eq!(stressing.get("from").and_then(Value::as_text), Some("a"));
    assert_eq!(read.number("Ends", 0, &["removal_space", "behind_mm"]), Some(1700.0));
}

#[test]
fn the_band_over_headers_is_no_row_of_the_table_above() {
    let mut one = sheet(
        "S",
        &[
            &["TENDON", "ABUTMENT 1", "", "PIER 1", "", "STRANDS"],
            &["", "STA. (m)", "ELEV. (m)", "STA. (m)", "ELEV. (m)", "NO."],
            &["1L", "10", "5.5", "49", "5.8", "19"],
            &["1R", "10", "5.5", "49", "5.8", "19"],
            &["TENDON", "PIER 1", "", "ABUTMENT 2", "", "STRANDS"],
            &["", "STA. (m)", "ELEV. (m)", "STA. (m)", "ELEV. (m)", "NO."],
            &["2L", "51", "5.9", "90", "6.1", "15"],
            &["2R", "51", "5.9", "90", "6.1", "15"],
        ],
    );
    for row in [0, 4] {
        one.merged.push(Merged { first: (row, 0), last: (row + 1, 0) });
        one.merged.push(Merged { first: (row, 1), last: (row, 2) });
        one.merged.push(Merged { first: (row, 3), last: (row, 4) });
    }
    let read = taken(vec![one], &Mapping::default());
    assert_eq!(read.marks(), ["1L", "1R", "2L", "2R"]);
    assert!(
        read.problems.iter().all(|problem| !problem.why.contains("merged")),
        "{:?}",
        read.problems
    );
}

#[test]
fn a_row_of_the_table_above_is_no_band() {
    let mut one = sheet(
        "S",
        &[
            &["Tendon", "No. of strands", "Length (m)", "Duct"],
            &["T1", "19", "39.2", "D1"],
            &["T2", "as T1", "", "D1"],
            &["Tendon", "Jacking force (kN)", "Set (mm)"],
            &["T1", "3900", "6"],
        ],
    );
    one.merged.push(Merged { first: (2, 1), last: (2, 2) });
    let read = taken(vec![one], &Mapping::default());
    assert_eq!(read.marks(), ["T1", "T2"]);
}

#[test]
fn a_reference_names_kinds_before_their_type() {
    let rows: &[&[&str]] = &[
        &["Table 1: Strand"],
        &["Strand ref.", "Type", "Nominal diameter (mm)", "Nominal area (mm²)"],
        &["S1", "7-wire low relaxation", "15.7", "150"],
        &[],
        &["Table 2: Ducts"],
        &["Duct ref.", "Material", "OD (mm)", "Wall (mm)"],
        &["D1", "HDPE", "140", "8.3"],
        &[],
        &["Table 3: Anchorages"],
        &["Anchorage ref.", "No. of strands", "Cap length (mm)"],
        &["A19", "19", "420"],
        &[],
        &["Table 4: Tendons"],
        &["Tendon", "No. of strands", "Strand ref.", "Duct ref.", "Anchorage ref."],
        &["T1", "19", "S1", "D1", "A19"],
    ];
    let read = plain(rows);
    let name = |list: &str| read.of(list)[0].fields.get("id").and_then(Value::as_text);
    assert_eq!(
        (name("Strands"), name("Ducts"), name("Anchorages")),
        (Some("S1"), Some("D1"), Some("A19"))
    );
    let tendon = &read.of("Tendons")[0].fields;
    assert_eq!(tendon.get("strand").and_then(Value::as_text), Some("S1"));
    assert_eq!(tendon.get("duct").and_then(Value::as_text), Some("D1"));
    assert_eq!(read.of("Ends")[0].fields.get("anchorage").and_then(Value::as_text), Some("A19"));
    assert!(read.questions.is_empty(), "{:?}", read.questions);
}

#[test]
fn a_force_at_a_dead_end_is_none_at_the_jack() {
    let rows: &[&[&str]] = &[
        &["Tendon", "End", "Type", "Force at jack (kN)"],
        &["T1", "A", "dead", "3540"],
        &["", "B", "live", "3930"],
        &["T2", "A", "live", "3930"],
        &["", "B", "dead", "3540"],
        // Where it stands alone it is that of the tendon.
        &["T3", "A", "dead", "3900"],
        &["", "B", "live", ""],
    ];
    let read = plain(rows);
    let force = |at| read.number("Tendons", at, &["stressing", "jacking_force_kn"]);
    assert_eq!((force(0), force(1), force(2)), (Some(3930.0), Some(3930.0), Some(3900.0)));
    for at in [0, 1] {
        let extra = read.of("Tendons")[at].fields.get("extra").and_then(Value::as_fields).unwrap();
        assert_eq!(extra.get("Force at jack (kN)").and_then(Value::as_number), Some(3540.0));
    }
    assert!(read.of("Tendons")[2].fields.get("extra").is_none());
    // The row's end may be called so.
    let read = plain(&[
        &["Tendon", "End", "Strands", "Force at jack (kN)"],
        &["T1", "Dead", "19", "3540"],
        &["", "Live", "", "3930"],
        &["T2", "Dead", "19", "3540"],
        &["", "Live", "", "3930"],
    ]);
    assert_eq!(read.number("Tendons", 0, &["stressing", "jacking_force_kn"]), Some(3930.0));
}

#[test]
fn room_behind_an_anchorage_has_the_start_and_finish_of_its_tendon() {
    let mut one = sheet(
        "S",
        &[
            &["Tendon", "Strands", "Clearance behind bearing plate", ""],
            &["", "", "Start, mm", "Finish, mm"],
            &["T1", "19", "1600", "1000"],
            &["T2", "19", "1600", "1000"],
        ],
    );
    one.merged.push(Merged { first: (0, 2), last: (0, 3) });
    let read = taken(vec![one], &Mapping::default());
    assert_eq!(read.number("Ends", 1, &["removal_space", "behind_mm"]), Some(1000.0));
    // A work has a start and a finish as well.
    let read = plain(&[
        &[
            "Tendon",
            "Strands",
            "Jacking force (kN)",
            "Elongation start (mm)",
            "Elongation finish (mm)",
        ],
        &["T1", "19", "3900", "20", "270"],
    ]);
    assert_eq!(read.number("Tendons", 0, &["stressing", "elongation_a_mm"]), None);
}

#[test]
fn all_tendons_of_a_table_may_be_stressed_from_its_end() {
    let read = plain(&[
        &["Tendon", "Begin station (m)", "End station (m)", "Jack from", "Jacking force (kN)"],
        &["T1", "10", "49", "END", "3900"],
        &["T2", "10", "49", "END", "3900"],
    ]);
    let stressing =
        read.of("Tendons")[0].fields.get("stressing").and_then(Value::as_fields).unwrap();
    assert_eq!(stressing.get("from").and_then(Value::as_text), Some("b"));
}

#[test]
fn registers_say_what_is_installed_and_found() {
    let read = plain(&[
        &[
            "Tendon ID",
            "Strands installed",
            "Filler found",
            "Wax (l)",
            "Clear length behind N bearing plate (mm)",
            "Clear length behind S bearing plate (mm)",
        ],
        &["1E", "19", "Wax", "215", "1450", "2000"],
        &["1W", "19", "Wax", "215", "1450", "2000"],
        &["Strand 15.7 mm, 150 mm², 1860 MPa according to the as-built file."],
        &["Friction coefficient 0.15, wobble zero."],
    ]);
    assert!(read.questions.is_empty(), "{:?}", read.questions);
    assert_eq!(read.number("Tendons", 0, &["strand_count"]), Some(19.0));
    assert_eq!(read.number("Tendons", 0, &["fill", "volume_l"]), Some(215.0));
    assert_eq!(read.number("Tendons", 0, &["stressing", "mu"]), Some(0.15));
    assert_eq!(read.of("Tendons")[0].fields.get("filler").and_then(Value::as_text), Some("wax"));
    assert_eq!(read.number("Ends", 1, &["removal_space", "behind_mm"]), Some(2000.0));
    assert_eq!(read.number("Strands", 0, &["area_mm2"]), Some(150.0));
}

#[test]
fn a_number_beside_a_type_names_no_kind() {
    let read = plain(&[
        &["Table: Anchorages"],
        &["Type", "Anchorage no.", "No. of strands", "Cap length (mm)"],
        &["A19", "24", "19", "420"],
        &["A15", "12", "15", "400"],
        &[],
        &["Table: Jacks"],
        &["Jack type", "Jack no.", "Stroke (mm)", "Capacity (kN)"],
        &["MJ-500", "2", "300", "5000"],
        &["MJ-300", "1", "250", "3000"],
        &[],
        &["Table: Strands"],
        &["Strand type", "Strand no.", "Nominal diameter (mm)", "Area (mm²)"],
        &["15.7 super", "1", "15.7", "150"],
        &["15.3", "2", "15.3", "140"],
    ]);
    for (list, names) in [
        ("Anchorages", ["A19", "A15"]),
        ("Jacks", ["MJ-500", "MJ-300"]),
        ("Strands", ["15.7 super", "15.3"]),
    ] {
        let ids: Vec<_> =
            read.of(list).iter().map(|one| one.fields.get("id").and_then(Value::as_text)).collect();
        assert_eq!(ids, names.map(Some), "{list}");
    }
    assert!(read.questions.is_empty(), "{:?}", read.questions);
    // What is the same in two rows names neither.
    let read = plain(&[
        &["Table: Ducts"],
        &["Duct ref.", "Type", "OD (mm)", "Wall (mm)"],
        &["PE", "D140", "140", "8.3"],
        &["PE", "D125", "125", "7.4"],
    ]);
    let names: Vec<_> = read.of("Ducts").iter().map(|one| one.fields.get("id").cloned()).collect();
    assert!(!names.contains(&Some(Value::Text("PE".into()))), "{names:?}");
}

#[test]
fn forces_of_two_dead_ends_are_both_kept() {
    let read = plain(&[
        &["Tendon", "End", "Type", "Force at jack (kN)"],
        &["T1", "A", "dead", "3540"],
        &["T1", "B", "dead", "3600"],
        &["T2", "A", "dead", "3540"],
        &["T2", "B", "dead", "3600"],
        &["T2", "A", "live", "3930"],
    ]);
    let force = |at| read.number("Tendons", at, &["stressing", "jacking_force_kn"]);
    assert_eq!((force(0), force(1)), (Some(3540.0), Some(3930.0)));
    let kept = |at: usize, name: &str| {
        let extra = read.of("Tendons")[at].fields.get("extra").and_then(Value::as_fields).unwrap();
        extra.get(name).and_then(Value::as_number)
    };
    assert_eq!(kept(0, "Force at jack (kN)"), Some(3600.0));
    assert_eq!(kept(1, "Force at jack (kN)"), Some(3540.0));
    assert_eq!(kept(1, "Force at jack (kN) (2)"), Some(3600.0));
    let told: Vec<_> =
        read.problems.iter().filter(|one| one.why.contains("another dead end of T1")).collect();
    assert_eq!(told.len(), 1, "{:?}", read.problems);
    assert_eq!(told[0].given.as_deref(), Some("3600"));
    // Where each tendon has one row, its force is that of the tendon, whichever end the row is of.
    let read = plain(&[
        &["Tendon", "No. of strands", "End", "Force at jack (kN)"],
        &["T1", "19", "dead", "3540"],
        &["T2", "19", "live", "3930"],
    ]);
    assert_eq!(read.number("Tendons", 0, &["stressing", "jacking_force_kn"]), Some(3540.0));
}

#[test]
fn what_fills_is_no_volume_in_other_units_and_none_where_it_is_zero() {
    for header in ["Wax quantity (kg)", "Wax (l/m)"] {
        let read =
            plain(&[&["Tendon", "Strands", header], &["T1", "19", "5.5"], &["T2", "19", "5.5"]]);
        assert!(read.questions.is_empty(), "{header}: {:?}", read.questions);
        assert!(
            !read.problems.iter().any(|one| one.kind == ProblemKind::ValueLost),
            "{header}: {:?}",
            read.problems
        );
        assert_eq!(read.number("Tendons", 0, &["fill", "volume_l"]), None, "{header}");
        assert_eq!(read.number("Tendons", 0, &["extra", header]), Some(5.5));
    }
    let read = plain(&[
        &["Tendon", "Strands", "Filler", "Wax (l)"],
        &["T1", "19", "wax", "215"],
        &["T2", "19", "cement grout", "0"],
    ]);
    assert_eq!(read.number("Tendons", 0, &["fill", "volume_l"]), Some(215.0));
    assert_eq!(read.number("Tendons", 1, &["fill", "volume_l"]), None);
    assert_eq!(read.number("Tendons", 1, &["extra", "Wax (l)"]), Some(0.0));
}
