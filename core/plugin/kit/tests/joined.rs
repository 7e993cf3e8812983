//! What several tables say of the same ends and deviators, and what is not surely the same.

mod recognised;

use recognised::{plain, sheet, taken};
use restrand_kit::recognise::Mapping;
use restrand_model::Value;
use restrand_model::reading::At;

const TENDONS: &[&[&str]] = &[
    &["Table 1: Tendons"],
    &["Tendon", "No. of strands", "Anchorage", "Ch. west anchorage (m)", "Ch. east anchorage (m)"],
    &["T1", "19", "A19", "20.6", "59.4"],
    &["T2", "19", "A19", "20.6", "59.4"],
    &[],
    &["Table 2: Clear access behind anchorages (mm, from face of bearing plate)"],
    &["Tendon", "West: behind", "West: above", "East: behind", "East: above"],
    &["T1", "1500", "600", "1000", "550"],
    &["T2", "1400", "600", "1000", "550"],
];

#[test]
fn an_end_of_which_two_tables_speak_is_one() {
    let read = plain(TENDONS);
    let ends = read.of("Ends");
    assert_eq!(ends.len(), 4, "{ends:?}");
    let (end, links) = (&ends[2].fields, &ends[2].links);
    assert_eq!(links, &[Some("T2".into()), Some("a".into())]);
    assert_eq!(end.get("anchorage").and_then(Value::as_text), Some("A19"));
    let room = end.get("removal_space").and_then(Value::as_fields).unwrap();
    assert_eq!(room.get("behind_mm").and_then(Value::as_number), Some(1400.0));
    assert_eq!(room.get("up_mm").and_then(Value::as_number), Some(600.0));
    // Each value is found at its own row.
    assert_eq!(ends[2].at, At::Row(8));
    let apart = ends[2].apart.iter().find(|one| one.way[..] == ["anchorage"]);
    assert_eq!(apart.map(|one| one.at), Some(At::Row(3)));
}

#[test]
fn each_value_of_an_end_of_three_tables_is_found_at_its_row() {
    let read = plain(&[
        &["Tendon", "No. of strands", "Anchorage A", "Anchorage B"],
        &["T1", "19", "A19", "A19"],
        &[],
        &["Tendon", "Clear behind A (mm)", "Clear behind B (mm)"],
        &["T1", "1500", "1000"],
        &[],
        &[
            "Tendon",
            "Edge distance A (mm)",
            "Tail A (mm)",
            "Clear above A (mm)",
            "Clear below A (mm)",
        ],
        &["T1", "350", "40", "600", "500"],
    ]);
    let end = read.of("Ends")[0];
    assert_eq!(end.at, At::Row(7));
    let row = |way: &[&str]| end.apart.iter().find(|one| one.way[..] == *way).map(|one| one.at);
    assert_eq!(row(&["anchorage"]), Some(At::Row(1)));
    assert_eq!(row(&["removal_space", "behind_mm"]), Some(At::Row(4)));
}

#[test]
fn ends_that_two_tables_state_otherwise_stay_two() {
    let mut rows = TENDONS.to_vec();
    rows.extend_from_slice(&[
        &[],
        &["Table 3: Clear length behind anchorages"],
        &["Tendon", "Clear behind west (mm)", "Clear behind east (mm)"],
        &["T1", "1500", "900"],
        &["T2", "as built", "1000"],
    ]);
    let read = plain(&rows);
    let of = |mark: &str, end: &str| {
        let links = [Some(mark.into()), Some(end.into())];
        read.of("Ends").into_iter().filter(|one| one.links == links).count()
    };
    assert_eq!((of("T1", "a"), of("T1", "b"), of("T2", "b")), (1, 2, 1));
    // What could not be read is kept where the rest of it is.
    let end =
        read.of("Ends").into_iter().find(|one| one.links[0].as_deref() == Some("T2")).unwrap();
    let extra = end.fields.get("extra").and_then(Value::as_fields).unwrap();
    assert_eq!(extra.get("Clear behind west (mm)").and_then(Value::as_text), Some("as built"));
}

#[test]
fn a_deviator_of_which_two_tables_speak_is_one() {
    let hardware: &[&[&str]] = &[
        &["Tendon", "No. of strands", "Pipe at D1", "Pipe at D2"],
        &["T1", "19", "DV-140", "DV-140"],
    ];
    let stressing: &[&[&str]] = &[
        &["Tendon", "Jacking force (kN)", "Angle at D1 (deg)", "Angle at D2 (deg)"],
        &["T1", "3900", "7.5", "7"],
    ];
    let sheets = vec![sheet("Hardware", hardware), sheet("Stressing", stressing)];
    let read = taken(sheets, &Mapping::default());
    let deviators = read.of("Deviators");
    assert_eq!(deviators.len(), 2, "{deviators:?}");
    for deviator in deviators {
        assert_eq!(deviator.fields.get("form").and_then(Value::as_text), Some("DV-140"));
        assert!(deviator.fields.get("angle_rad").is_some());
    }
    // A size is no name of a form.
    let sizes = plain(&[&["Tendon", "Strands", "Pipe at D1"], &["T1", "19", "168.3"]]);
    assert!(sizes.of("Deviators").is_empty());
}

#[test]
fn deviators_of_one_name_with_the_same_angle_stay_two() {
    let read = plain(&[
        &["Span 1"],
        &["Tendon", "No. of strands", "Angle at D1 (deg)", "Angle at D2 (deg)"],
        &["T1", "19", "7.5", "7"],
        &[],
        &["Span 2"],
        &["Tendon", "Angle at D1 (deg)", "Angle at D2 (deg)"],
        &["T1", "7.5", "6"],
    ]);
    assert_eq!(read.of("Deviators").len(), 4);
    // To which of two the form belongs is not known either.
    let read = plain(&[
        &["Vertical deviation"],
        &["Tendon", "No. of strands", "Angle at D1 (deg)", "Angle at D2 (deg)"],
        &["T1", "19", "5", "5"],
        &[],
        &["Horizontal deviation"],
        &["Tendon", "Angle at D1 (deg)"],
        &["T1", "5"],
        &[],
        &["Tendon", "Pipe at D1", "Pipe at D2"],
        &["T1", "DV-140", "DV-140"],
    ]);
    let forms: Vec<_> =
        read.of("Deviators").into_iter().filter(|one| one.fields.get("form").is_some()).collect();
    assert_eq!((read.of("Deviators").len(), forms.len()), (4, 2), "{forms:?}");
    assert_eq!(forms.iter().filter(|one| one.fields.get("angle_rad").is_some()).count(), 1);
}

#[test]
fn ends_that_rows_do_not_name_are_not_joined_crosswise() {
    let layout: &[&[&str]] = &[&["Tendon", "No. of strands"], &["T1", "19"], &["T2", "19"]];
    let anchorages: &[&[&str]] = &[
        &["Tendon", "End", "Anchorage", "Clear behind (mm)"],
        &["T1", "P1", "A19", "1500"],
        &["T1", "P2", "A19", "1400"],
        &["T2", "P1", "A19", "1500"],
        &["T2", "P2", "A19", "1400"],
    ];
    let tails: &[&[&str]] = &[
        &["Tendon", "End", "Tail (mm)", "Jack"],
        &["T1", "P2", "40", "J1"],
        &["T1", "P1", "50", "J2"],
        &["T2", "P2", "40", "J1"],
        &["T2", "P1", "50", "J2"],
    ];
    let sheets = vec![sheet("Layout", layout), sheet("Ends1", anchorages), sheet("Ends2", tails)];
    let read = taken(sheets, &Mapping::default());
    assert!(!read.of("Ends").is_empty());
    for end in read.of("Ends") {
        let states = |name: &str| end.fields.get(name).is_some();
        assert!(!(states("anchorage") && states("tail_mm")), "{end:?}");
    }
}

#[test]
fn the_room_that_is_required_is_not_joined_to_the_room_there_is() {
    for caption in ["Clear room required by jack", "Min. clear room", "Room needed"] {
        let read = plain(&[
            &["Tendon", "No. of strands", "Clear behind A (mm)"],
            &["T1", "19", "1500"],
            &[],
            &[caption],
            &["Tendon", "Clear above A (mm)", "Clear below A (mm)"],
            &["T1", "600", "400"],
        ]);
        assert_eq!(read.of("Ends").len(), 2, "{caption}");
    }
}
