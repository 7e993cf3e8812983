//! Tables of tendons whose headers do not say which column names them.

mod recognised;

use recognised::{plain, sheet, taken};
use restrand_kit::recognise::Mapping;
use restrand_model::reading::{ProblemKind, Sureness};

const HEADERS: [&str; 4] = ["No. of strands", "Jacking force (kN)", "Length (m)", "Pull-in (mm)"];
const ROWS: [[&str; 4]; 3] =
    [["19", "3970", "60.2", "6"], ["22", "4600", "60.1", "6"], ["12", "2510", "60.1", "6"]];

/// The table with further columns to the left.
fn with<'t>(headers: &[&'t str], rows: [&[&'t str]; 3]) -> Vec<Vec<&'t str>> {
    let mut all = vec![[headers, &HEADERS].concat()];
    all.extend(rows.iter().zip(&ROWS).map(|(left, right)| [*left, right].concat()));
    all
}

fn read(rows: &[Vec<&str>]) -> recognised::Read {
    plain(&rows.iter().map(Vec::as_slice).collect::<Vec<_>>())
}

#[test]
fn the_one_column_that_can_name_the_tendons_does() {
    for header in ["Ref.", "No.", "Nr.", "ID", "Item", "Pos.", "Objekt"] {
        let read = read(&with(&[header, "Web"], [&["E1L", "1"], &["E1R", "1"], &["E2L", "1"]]));
        assert_eq!(read.marks(), ["E1L", "E1R", "E2L"], "{header}");
        let column = &read.understood[0].tables[0].columns[0];
        assert_eq!((column.fields[0].as_str(), column.sureness), ("tendon.mark", Sureness::Likely));
        assert!(column.why.contains("no header names the tendons"), "{}", column.why);
        let assumed = read.problems.iter().find(|one| one.kind == ProblemKind::Assumed);
        let assumed = assumed.expect("it is said");
        assert_eq!(assumed.given.as_deref(), Some(header));
        assert!(assumed.why.contains("marks of the tendons"), "{}", assumed.why);
    }
}

#[test]
fn a_row_that_heads_columns_names_them_as_well() {
    let read = plain(&[
        &["Réf.", "C1", "C2", "C3"],
        &["Nombre de torons", "19", "19", "12"],
        &["Force au vérin (kN)", "3950", "3950", "2500"],
        &["Longueur (m)", "60.2", "60.1", "59.8"],
        &["Rentrée de clavette (mm)", "6", "6", "6"],
    ]);
    assert_eq!(read.marks(), ["C1", "C2", "C3"]);
    assert_eq!(read.number("Tendons", 2, &["stressing", "jacking_force_kn"]), Some(2500.0));
}

#[test]
fn two_columns_that_could_name_them_are_a_question() {
    let read = read(&with(&["Objekt", "Item"], [&["E1L", "1"], &["E1R", "2"], &["E2L", "3"]]));
    assert!(read.of("Tendons").is_empty());
    let [question] = read.questions.as_slice() else { panic!("{:?}", read.questions) };
    assert_eq!(question.subject, "tendon.mark");
    assert_eq!(question.readings, ["column A, \"Objekt\"", "column B, \"Item\""]);
    assert!(question.why.contains("column B, \"Item\""), "{}", question.why);
    assert!(read.unread.is_empty(), "it is said already");
    let columns = &read.understood[0].tables[0].columns;
    assert_eq!(columns[1].sureness, Sureness::Asked);
    assert_eq!(columns[2].fields, ["tendon.strand_count"]);
}

#[test]
fn numbers_that_count_the_rows_give_way_to_what_is_called_a_reference() {
    // Beside them, or behind all that is known.
    let rows: [&[&str]; 3] = [&["1", "N-E"], &["2", "N-W"], &["3", "S-E"]];
    for headers in [["Item", "Reference"], ["No.", "ID"], ["Row", "Tag"], ["Pos.", "Kabel-Bez."]] {
        assert_eq!(read(&with(&headers, rows)).marks(), ["N-E", "N-W", "S-E"], "{headers:?}");
    }
    for (first, last) in [("Item", "Ref."), ("Heft", "Bezug"), ("Line", "Kennung")] {
        let mut rows = with(&[first], [&["12"], &["13"], &["14"]]);
        let names = [last, "T1", "T2", "T3"];
        rows.iter_mut().zip(names).for_each(|(row, name)| row.push(name));
        assert_eq!(read(&rows).marks(), ["T1", "T2", "T3"], "{last}");
    }
}

#[test]
fn numbers_beside_what_may_name_the_tendons_as_well_are_a_question() {
    // Codes under a header that says nothing, and a reference beside numbers that are more than a count.
    for (headers, rows) in [
        (["Item", "Objekt"], [["1", "N-E"], ["2", "N-W"], ["3", "S-E"]]),
        (["No.", "Reference"], [["101", "N-E"], ["103", "N-W"], ["201", "S-E"]]),
    ] {
        let read = read(&with(&headers, [&rows[0], &rows[1], &rows[2]]));
        assert!(read.of("Tendons").is_empty(), "{headers:?}");
        let [question] = read.questions.as_slice() else { panic!("{:?}", read.questions) };
        assert_eq!(question.readings.len(), 2, "{question:?}");
    }
}

#[test]
fn names_of_persons_and_numbers_of_papers_behind_all_that_is_known_are_a_question() {
    for (last, names) in [
        ("Name", ["Smith", "Jones", "Brown"]),
        ("Name", ["SRO", "JBM", "PKL"]),
        ("Ref.", ["DET-1", "DET-2", "DET-3"]),
        ("Tag", ["RFID1", "RFID2", "RFID3"]),
    ] {
        let mut rows = with(&["No."], [&["1"], &["2"], &["3"]]);
        let names = [last, names[0], names[1], names[2]];
        rows.iter_mut().zip(names).for_each(|(row, name)| row.push(name));
        let read = read(&rows);
        assert!(read.marks().is_empty(), "{last} {:?}", read.marks());
        let [question] = read.questions.as_slice() else { panic!("{:?}", read.questions) };
        assert_eq!(question.readings.len(), 2, "{question:?}");
    }
}

#[test]
fn marks_by_which_other_tables_name_tendons_decide() {
    let rows = with(&["Item", "Tag"], [&["1", "N-E"], &["2", "N-W"], &["3", "S-E"]]);
    let rows: Vec<&[&str]> = rows.iter().map(Vec::as_slice).collect();
    assert_eq!(plain(&rows).marks(), ["N-E", "N-W", "S-E"]);
    for (marks, named) in [(["1", "2"], ["1", "2", "3"]), (["S-E", "N-E"], ["N-E", "N-W", "S-E"])] {
        let room: &[&[&str]] = &[
            &["Tendon", "End", "Clear behind (mm)"],
            &[marks[0], "A", "1500"],
            &[marks[1], "A", "1400"],
        ];
        for sheets in [
            vec![sheet("T", &rows), sheet("Room", room)],
            vec![sheet("Room", room), sheet("T", &rows)],
        ] {
            let read = taken(sheets, &Mapping::default());
            let mut read_marks = read.marks();
            read_marks.sort_unstable();
            assert_eq!(read_marks, named);
            assert!(read.of("Ends").iter().all(|end| end.links[0].is_some()));
        }
    }
}

#[test]
fn numbers_are_marks_where_nothing_else_can_be_or_their_header_says_so() {
    for (headers, rows) in [
        (["Tendon No.", "Reference"], [["1", "N-E"], ["2", "N-W"], ["3", "S-E"]]),
        (["Item", "Drawing ref."], [["1", "D-1"], ["2", "D-2"], ["3", "D-3"]]),
        (["Item", "Location"], [["1", "N-E"], ["2", "N-W"], ["3", "S-E"]]),
        (["Item", "Reference"], [["1", "N-E"], ["2", "N-E"], ["3", "S-E"]]),
    ] {
        let read = read(&with(&headers, [&rows[0], &rows[1], &rows[2]]));
        assert_eq!(read.marks(), ["1", "2", "3"], "{headers:?} {:?}", read.questions);
    }
}

#[test]
fn a_table_without_names_is_told_with_what_is_understood_of_it() {
    for left in [
        // The same in two rows, a measure, a kind, and a name behind a known column.
        ["A1", "A1", "A2"],
        ["1.5", "1.6", "1.7"],
        ["15.7 mm", "15.2 mm", "12.9 mm"],
        ["left web", "right web", "middle web"],
    ] {
        let [one, two, three] = &left;
        let read = read(&with(&["Ref."], [&[*one], &[*two], &[*three]]));
        assert!(read.of("Tendons").is_empty(), "{left:?}");
        let [problem] = read.problems.as_slice() else { panic!("{left:?} {:?}", read.problems) };
        assert_eq!(problem.kind, ProblemKind::RecordLost);
        for said in ["no column names the tendons", "\"No. of strands\" as tendon.strand_count"] {
            assert!(problem.why.contains(said), "{}", problem.why);
        }
    }
    let read = read(&with(&["Type"], [&["A1"], &["A2"], &["A3"]]));
    assert!(read.marks().is_empty(), "it says that it is another thing");
}

#[test]
fn few_certain_fields_make_no_tendons() {
    let read = plain(&[
        &["Ref.", "Length (m)", "Colour"],
        &["P1", "60.2", "red"],
        &["P2", "60.1", "blue"],
    ]);
    assert!(read.marks().is_empty());
    assert_eq!(read.unread, ["Sheet1"]);
    let labels = plain(&[
        &["No. of strands", "19"],
        &["Jacking force (kN)", "3970"],
        &["Length (m)", "60.2"],
        &["Pull-in (mm)", "6"],
    ]);
    assert!(labels.problems.iter().all(|one| one.kind != ProblemKind::RecordLost));
}

#[test]
fn headers_of_other_tongues_and_habits_are_known() {
    let headers: &[&str] = &[
        "Kabel Nr.",
        "Lage / Side",
        "No. off strands",
        "Hüllrohr PE-HD da x s [mm]",
        "Anspannseite",
        "Jacking force (kN)",
        "Reibungsbeiwert µ",
        "ungewollter Umlenkwinkel k [°/m]",
        "Füllgut",
        "austauschbar / replaceable",
        "Höhe Ende A [m]",
        "Station Ende A [m]",
        "O/S Ende A [m]",
    ];
    let row = |mark, from, side| {
        [
            mark,
            side,
            "15",
            "125 x 7.4",
            from,
            "2835",
            "0.12",
            "0.3",
            "Wachs",
            "ja / yes",
            "104.5",
            "20.5",
            "1.5",
        ]
    };
    let (first, second) = (row("V1", "A", "links"), row("V2", "B", "Mitte"));
    let read = taken(vec![sheet("Liste", &[headers, &first, &second])], &Mapping::default());
    assert_eq!(read.marks(), ["V1", "V2"], "{:#?}", read.understood);
    let number = |list, at, path: &[&str]| read.number(list, at, path);
    assert_eq!(number("Tendons", 0, &["strand_count"]), Some(15.0));
    assert_eq!(number("Tendons", 0, &["stressing", "mu"]), Some(0.12));
    let k = number("Tendons", 0, &["stressing", "unintended_angle_rad_per_m"]).expect("an angle");
    assert!((k - 0.3_f64.to_radians()).abs() < 1e-9, "{k}");
    let tendon = &read.of("Tendons")[1].fields;
    let said = |name: &str| tendon.get(name).map(ToString::to_string).unwrap_or_default();
    assert_eq!(
        (said("side"), said("filler"), said("replaceable")),
        ("centre".into(), "wax".into(), "true".into())
    );
    let duct = &read.of("Ducts")[0].fields;
    assert_eq!(duct.get("material").and_then(|one| one.as_text()), Some("polyethylene"));
    let points = read.of("Points");
    let of_end = |name: &str| points[0].fields.get(name).and_then(|one| one.as_number());
    assert_eq!(of_end("station_m"), Some(20.5));
    assert_eq!((of_end("elevation_m"), of_end("lateral_m")), (Some(104.5), Some(1.5)));
}

#[test]
fn labels_beside_a_title_block_and_in_a_list_of_notes_hold_for_all() {
    let table: Vec<Vec<&str>> = with(&["Tendon"], [&["T1"], &["T2"], &["T3"]]);
    let mut rows: Vec<Vec<&str>> = vec![
        vec!["Structure", "Bridge 7", "", "Friction coeff. µ", "0.12"],
        vec!["Drg. No.", "S-1", "", "Unintended angle k (rad/m)", "0.006"],
        vec!["Rev.", "C", "", "Filler", "Petroleum wax"],
        vec![],
    ];
    rows.extend(table);
    let rows: Vec<&[&str]> = rows.iter().map(Vec::as_slice).collect();
    let notes: &[&[&str]] = &[
        &["GENERAL NOTES"],
        &["STRAND", "0.6 IN. DIA., ASTM A416 GRADE 270"],
        &["STRAND AREA", "0.217 SQ. IN."],
        &["MODULUS OF ELASTICITY", "28,500 KSI"],
        &["DESIGN CODE", "LRFD"],
        &["CONCRETE", "C45/55"],
        &["BARS", "B500B"],
        &["DATUM", "MSL"],
        &["NOTE", "ELONGATIONS ARE MEASURED AT THE JACKING END."],
    ];
    let read = taken(vec![sheet("T", &rows), sheet("Notes", notes)], &Mapping::default());
    for at in 0..3 {
        assert_eq!(read.number("Tendons", at, &["stressing", "mu"]), Some(0.12));
        let k = read.number("Tendons", at, &["stressing", "unintended_angle_rad_per_m"]);
        assert_eq!(k, Some(0.006));
    }
    let area = read.number("Strands", 0, &["area_mm2"]).expect("an area");
    assert!((area - 140.0).abs() < 0.1, "{area}");
    let modulus = read.number("Strands", 0, &["e_mpa"]).expect("a modulus");
    assert!((modulus - 196_500.0).abs() < 10.0, "{modulus}");
}

#[test]
fn a_note_of_mu_may_go_on_with_k() {
    let mut rows = with(&["Tendon"], [&["T1"], &["T2"], &["T3"]]);
    rows.extend([vec![], vec!["µ = 0,10 /rad; k = 0,5 °/m"]]);
    let read = read(&rows);
    let k = read.number("Tendons", 0, &["stressing", "unintended_angle_rad_per_m"]);
    assert!(k.is_some_and(|k| (k - 0.5_f64.to_radians()).abs() < 1e-9), "{k:?}");
}
