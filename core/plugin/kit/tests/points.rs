//! A point or a tendon of which several tables speak is one.

mod recognised;

use recognised::{Read, plain, sheet, taken};
use restrand_kit::recognise::Mapping;
use restrand_model::Value;

/// The stations and levels of the points of a tendon.
fn points(read: &Read, mark: &str) -> Vec<(f64, Option<f64>)> {
    let of = read.of("Points");
    let own = of.iter().filter(|one| one.links.first().cloned().flatten().as_deref() == Some(mark));
    let number = |one: &restrand_kit::RecordFrame, field: &str| {
        one.fields.get(field).and_then(Value::as_number)
    };
    own.map(|one| (number(one, "station_m").expect("it has a station"), number(one, "elevation_m")))
        .collect()
}

const TENDONS: &[&[&str]] =
    &[&["Tendon", "No. of strands"], &["X1", "22"], &["X2", "19"], &["X3", "19"], &["X4", "19"]];
const ENDS: &[&[&str]] = &[
    &["Tendon", "End", "Anchorage", "Station (m)", "Level (m)"],
    &["X1", "A", "K22", "1250", "212.5"],
    &["X1", "B", "K22", "1310", "212.3"],
    &["X2", "A", "K19", "1250", "212.1"],
    &["X2", "B", "K19", "1310", "211.9"],
];

#[test]
fn a_column_for_each_tendon_gives_each_of_its_points_once() {
    let levels: &[&[&str]] = &[
        &["Deviator", "Station (m)", "Level X1 (m)", "Level X2 (m)"],
        &["U1", "1270", "210.4", "210.2"],
        &["U2", "1290", "210.3", "210.1"],
    ];
    let read = taken(
        vec![sheet("Tendons", TENDONS), sheet("Ends", ENDS), sheet("Levels", levels)],
        &Mapping::default(),
    );
    let expected = [
        (1250.0, Some(212.5)),
        (1270.0, Some(210.4)),
        (1290.0, Some(210.3)),
        (1310.0, Some(212.3)),
    ];
    assert_eq!(points(&read, "X1"), expected);
    assert_eq!(points(&read, "X2").len(), 4);
}

#[test]
fn a_point_at_one_station_and_level_of_two_tables_is_one() {
    let metres: &[&[&str]] = &[
        &["Tendon", "Station (m)", "Level (m)"],
        &["X1", "30.632", "12.192"],
        &["X1", "60.96", "13"],
    ];
    let feet: &[&[&str]] =
        &[&["Tendon", "Station (ft)", "Level (ft)"], &["X1", "100.5", "40"], &["X1", "300", "41"]];
    let read = taken(
        vec![sheet("Tendons", TENDONS), sheet("Deviators", metres), sheet("Setting out", feet)],
        &Mapping::default(),
    );
    assert_eq!(points(&read, "X1").len(), 3, "{:?}", points(&read, "X1"));
}

#[test]
fn a_point_that_two_tables_call_differently_is_one_and_said() {
    let of = |level: &str| {
        let levels: &[&[&str]] = &[
            &["Tendon", "Point", "Chainage (m)", "Level (m)"],
            &["T1", "P1", "10", "105.2"],
            &["T1", "P2", "20", "104.2"],
        ];
        let offsets: &[&[&str]] = &[
            &["Tendon", "Point", "Chainage (m)", "Offset (m, + left)", "Level (m)"],
            &["T1", "D1", "10", "1.2", level],
            &["T1", "D2", "20", "1.1", "104.2"],
        ];
        taken(vec![sheet("Levels", levels), sheet("Offsets", offsets)], &Mapping::default())
    };
    let read = of("105.2");
    assert_eq!(read.of("Points").len(), 2);
    assert_eq!(read.number("Points", 0, &["lateral_m"]), Some(1.2));
    let said = read.problems.iter().find(|one| one.why.contains("calls \"P1\""));
    let said = said.expect("it is said");
    assert_eq!(said.given.as_deref(), Some("D1"));
    assert!(said.why.ends_with("so are 1 more"), "{}", said.why);
    assert_eq!(of("105.9").of("Points").len(), 3, "they say different things");
}

#[test]
fn the_text_of_an_elongation_goes_with_the_end_that_has_it() {
    let read = plain(&[
        &["Tendon", "Strands", "End", "Kind", "Elongation (mm)"],
        &["T1", "19", "A", "live", "14 1/2\""],
        &["T1", "19", "B", "dead", "--"],
        &["T2", "19", "A", "dead", "--"],
        &["T2", "19", "B", "live", "15 3/4\""],
    ]);
    for (at, end) in [(0, "elongation_a_mm"), (1, "elongation_b_mm")] {
        assert!(read.number("Tendons", at, &["stressing", end]).is_some(), "{end}");
        let record = read.of("Tendons")[at];
        let columns = &read.tables[record.table as usize].columns;
        let (column, text) = &record.texts[0];
        let said = columns.iter().find(|one| one.index == *column && !one.path.is_empty());
        assert_eq!(said.unwrap().path, ["stressing", end], "{text}");
    }
}

#[test]
fn headers_of_another_table_end_the_one_above_whatever_its_caption() {
    let tendons = TENDONS;
    let ends: &[&[&str]] = &[&["Ends of the tendons"], ENDS[0], ENDS[1], ENDS[2], ENDS[3], ENDS[4]];
    let levels: &[&[&str]] = &[
        &["Deviator", "Station (m)", "Level X1 (m)", "Level X2 (m)", "Level X3 (m)"],
        &["U1", "1270", "210.4", "210.2", "210.3"],
        &["U2", "1290", "210.3", "210.1", "210.3"],
    ];
    let marks: &[&[&str]] = &[&["Deviator", "Station (m)", "X1", "X2", "X3"], levels[1], levels[2]];
    let caption: &[&[&str]] = &[&["Tab. 3: Deviators", "Tendon levels (m)"]];
    for below in [levels.to_vec(), [caption, levels].concat(), [caption, marks].concat()] {
        let rows = [tendons, &[&[]], ends, &[&[]], &below].concat();
        let read = plain(&rows);
        let of_ends = read.of("Ends");
        let names = of_ends.iter().filter_map(|one| one.links.first().cloned().flatten());
        let names: std::collections::BTreeSet<_> = names.collect();
        assert_eq!(names.into_iter().collect::<Vec<_>>(), ["X1".into(), "X2".into()], "{below:?}");
        let marks: std::collections::BTreeSet<_> = read.marks().into_iter().collect();
        assert_eq!(marks.into_iter().collect::<Vec<_>>(), ["X1", "X2", "X3", "X4"], "{below:?}");
        assert_eq!(points(&read, "X1").len(), 4, "{below:?}");
    }
    // No blank row parts them.
    let rows = [tendons, &[&[]], ends, levels].concat();
    let read = plain(&rows);
    assert!(!read.marks().iter().any(|mark| mark.starts_with(['U', 'D'])), "{:?}", read.marks());
}

#[test]
fn a_row_of_words_among_values_is_a_row() {
    let read = plain(&[
        &["Tendon", "Strands", "Force (kN)", "Length (m)"],
        &["T1", "19", "3900", "60"],
        &[],
        &["T2", "as T1", "as T1", "as T1"],
        &["T3", "19", "3900", "60"],
        &["T4", "see note", "see note", "see note"],
        &["T5", "19", "3900", "60"],
    ]);
    assert_eq!(read.marks(), ["T1", "T2", "T3", "T4", "T5"]);
}
