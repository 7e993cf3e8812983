//! What looks like something else and is not: no record is left out and no value turned for it.

mod recognised;

use recognised::{plain, sheet, taken};
use restrand_kit::recognise::{Mapping, TableMapping};
use restrand_model::Value;

#[test]
fn marks_that_look_like_sums_are_marks() {
    let read = plain(&[
        &["Tendon", "Strands", "Length (m)", "Jacking force (kN)"],
        &["BF-1/1", "19", "40.5", "3500"],
        &["BF 1.3", "19", "40.5", "3500"],
        &["CF-2/1", "19", "40.5", "3500"],
        &["Mean 1", "19", "40.5", "3500"],
        &["C/F", "76", "162", "14000"],
        &["Total", "76", "162", "14000"],
    ]);
    assert_eq!(read.marks(), ["BF-1/1", "BF 1.3", "CF-2/1", "Mean 1"]);
}

#[test]
fn a_first_tendon_of_letters_is_no_row_of_units() {
    let read = plain(&[
        &["Tendon", "Strands", "Duct", "Web"],
        &["C", "19", "N", "L"],
        &["T", "19", "N", "R"],
    ]);
    assert_eq!(read.marks(), ["C", "T"]);
}

#[test]
fn a_constant_does_not_take_the_place_of_what_a_row_states() {
    let rows: &[&[&str]] = &[
        &["Stage: as built"],
        &["Tendon", "Strands", "Filler"],
        &["T1", "19", "cement grout"],
        &["T2", "19", ""],
    ];
    let mapping = Mapping {
        mapping: 1,
        tables: vec![TableMapping {
            constants: [
                ("tendon.filler".to_owned(), "wax".into()),
                ("project.stage".to_owned(), "tender".into()),
            ]
            .into(),
            ..TableMapping::default()
        }],
        ifc: None,
        source: None,
    };
    let read = taken(vec![sheet("Sheet1", rows)], &mapping);
    let of = read.of("Tendons");
    let fillers: Vec<_> = of.iter().map(|one| one.fields.get("filler")).collect();
    assert_eq!(fillers, [Some(&Value::from("cement_grout")), Some(&Value::from("wax"))]);
    let project = read.of("Project");
    assert_eq!(project[0].fields.get("stage"), Some(&Value::from("as_built")));
}

#[test]
fn a_note_turns_only_what_it_is_about() {
    for note in [
        "Elongation values shown are for 2 ft of strand beyond the bearing plate.",
        "Tendons of a pair are stressed all in one operation, 3 ft clear of the wall.",
    ] {
        let read = plain(&[
            &[note],
            &["Tendon", "Strands", "Room behind A", "Room behind B"],
            &["T1", "19", "60", "72"],
            &["T2", "19", "60", "72"],
        ]);
        let ends = read.of("Ends");
        let is_read = ends.iter().any(|end| end.fields.get("removal_space").is_some());
        assert!(!is_read && !read.questions.is_empty(), "{note}: {:?}", read.questions);
    }
    // What it is about is turned, with a word between and a second unit.
    let read = plain(&[
        &["Rooms are given in whole in, forces in kip and elongations in inches."],
        &["Tendon", "Strands", "Jacking force", "Elongation"],
        &["T1", "19", "800", "12"],
        &["T2", "19", "800", "12"],
    ]);
    let force = read.number("Tendons", 0, &["stressing", "jacking_force_kn"]).unwrap();
    assert!((force - 3558.577).abs() < 1e-3, "{force}");
}

#[test]
fn tendons_are_external_where_a_note_says_so_of_them() {
    for (note, is_external) in [
        ("All tendons are external.", true),
        ("All tendons external, in the box.", true),
        ("All tendons to be handed over to the external examiner with records.", false),
        ("All tendons to be externally inspected.", false),
    ] {
        let read = plain(&[
            &[note],
            &["Tendon", "Strands", "Jacking force (kN)"],
            &["T1", "19", "3500"],
            &["T2", "19", "3500"],
        ]);
        let stated = read.of("Tendons")[0].fields.get("situation").is_some();
        assert_eq!(stated, is_external, "{note}");
    }
}

#[test]
fn a_word_that_fields_are_called_by_is_a_value_of_a_card() {
    let mut rows: Vec<&[&str]> = vec![
        &["Tendon", "T1"],
        &["Number of strands", "19"],
        &["Anchorage", "A"],
        &["Duct", "B"],
        &["Drawing", "B"],
        &["Revision", "A"],
        &["Filler", "grout"],
    ];
    let read = plain(&rows);
    assert_eq!(read.marks(), ["T1"]);
    // Which filler it means is a question, and no reason to lose it.
    assert_eq!(read.questions.len(), 1, "{:?}", read.questions);
    rows[6] = &["Filler", "cement grout"];
    let read = plain(&rows);
    let filler = read.of("Tendons")[0].fields.get("filler").and_then(Value::as_text);
    assert_eq!(filler, Some("cement_grout"));
}
