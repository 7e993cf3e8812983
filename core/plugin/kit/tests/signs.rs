//! What people write in short: marks that say "as above", blanks below a mark, codes, strands in a few signs.

mod recognised;

use std::collections::BTreeMap;

use recognised::{Read, plain, sheet, taken};
use restrand_kit::recognise::{ColumnMapping, Mapping, TableMapping};
use restrand_model::Value;

fn text<'r>(read: &'r Read, list: &str, at: usize, field: &str) -> Option<&'r str> {
    read.of(list)[at].fields.get(field).and_then(Value::as_text)
}

fn kinds(read: &Read) -> Vec<&str> {
    (0..read.of("Ends").len()).filter_map(|at| text(read, "Ends", at, "kind")).collect()
}

#[test]
fn strands_with_the_sign_of_a_diameter_are_read() {
    for (size, diameter) in [("19-0.6\" Ø", 15.24), ("19-15.7 Ø", 15.7), ("Ø15.7 x 19", 15.7)] {
        let other = size.replace("19", "12");
        let read = plain(&[
            &["TENDON", "STRANDS", "LENGTH (m)"],
            &["T1", size, "40.5"],
            &["T2", &other, "40.5"],
        ]);
        assert_eq!(read.number("Tendons", 0, &["strand_count"]), Some(19.0), "{size}");
        assert_eq!(read.number("Tendons", 1, &["strand_count"]), Some(12.0), "{size}");
        assert_eq!(read.number("Strands", 0, &["diameter_mm"]), Some(diameter), "{size}");
        assert_eq!(read.of("Strands").len(), 1, "{size}");
    }
}

#[test]
fn classes_of_strand_may_say_that_they_are_of_the_larger_series_and_how_strong() {
    for class in ["T15S", "T15S-1860", "T13", "K15"] {
        let cell = format!("19{class}");
        let other = format!("7{class}");
        let read = plain(&[
            &["Tendon", "Tendon type", "Length (m)"],
            &["T1", &cell, "40.5"],
            &["T2", &other, "40.5"],
        ]);
        assert_eq!(read.number("Tendons", 0, &["strand_count"]), Some(19.0), "{class}");
        assert_eq!(text(&read, "Tendons", 1, "strand"), Some(class));
    }
}

#[test]
fn wires_and_areas_behind_a_size_are_no_counts() {
    for size in ["Ø15.7 x 150", "0.6\" x 140", "Ø15.2 x 7"] {
        let read = plain(&[&["Tendon", "Tendon type", "Length (m)"], &["T1", size, "40.5"]]);
        assert_eq!(read.number("Tendons", 0, &["strand_count"]), None, "{size}");
    }
}

#[test]
fn a_mark_of_any_kind_says_as_above_or_as_at_the_left() {
    for mark in ["\"", "do.", "-\"-", "dto."] {
        let read = plain(&[
            &["Tendon", "Strands", "Pipe", "Jacking force (kN)"],
            &["T1", "19", "140x8.3", "3950"],
            &["T2", mark, mark, "3940"],
        ]);
        assert_eq!(read.number("Tendons", 1, &["strand_count"]), Some(19.0), "{mark}");
        assert_eq!(text(&read, "Tendons", 1, "duct"), Some("140x8.3"), "{mark}");
        // Sideways it is the tendon to the left.
        let read = plain(&[
            &["Item", "C1", "C2"],
            &["Tendon type", "19-15.7", mark],
            &["Stressing force (kN)", "3950", "3940"],
            &["NOTE: a mark says: as the tendon to the left"],
        ]);
        assert_eq!(read.number("Tendons", 1, &["strand_count"]), Some(19.0), "{mark}");
        assert_eq!(
            read.number("Tendons", 1, &["stressing", "jacking_force_kn"]),
            Some(3940.0),
            "{mark}"
        );
    }
}

#[test]
fn a_mark_stands_once_for_the_two_rows_of_its_ends() {
    let rows: &[&[&str]] = &[
        &["Tendon", "End", "Anchor type", "Strands", "Station [m]", "Clear behind [mm]"],
        &["S1", "A", "stressing", "15", "200.5", "1800"],
        &["", "B", "dead", "", "262", "900"],
    ];
    let read = plain(rows);
    assert_eq!(read.marks(), ["S1"]);
    assert_eq!(kinds(&read), ["stressing", "dead"]);
    assert_eq!(read.number("Points", 1, &["station_m"]), Some(262.0));
    assert!(read.understood[0].remarks.iter().any(|remark| remark.what.contains("from above")));
    // The same end again is of a tendon that is not named.
    let mut doubled = rows.to_vec();
    doubled.push(&["", "B", "dead", "", "263", "950"]);
    let read = plain(&doubled);
    let owned = read.of("Ends").iter().filter(|end| end.links[0].is_some()).count();
    assert_eq!(owned, 1, "{:?}", read.of("Ends"));
}

#[test]
fn the_end_from_which_a_tendon_is_stressed_may_be_called_end() {
    let read = plain(&[
        &["TENDON", "STRANDS", "STRESS END", "ELONG. (IN)"],
        &["T1", "19", "BEGIN", "15.5"],
        &["T2", "12", "END", "14.75"],
        &["T3", "12", "BOTH", "7.5"],
    ]);
    let from = |at: usize| {
        let stressing = read.of("Tendons")[at].fields.get("stressing")?.as_fields()?;
        stressing.get("from")?.as_text().map(str::to_owned)
    };
    let all: Vec<_> = (0..3).filter_map(from).collect();
    assert_eq!(all, ["a", "b", "both"]);
    let of = |at, field| read.number("Tendons", at, &["stressing", field]);
    assert!((of(0, "elongation_a_mm").unwrap() - 393.7).abs() < 1e-9);
    assert_eq!((of(0, "elongation_b_mm"), of(1, "elongation_a_mm")), (None, None));
    // Of which end the one is that is stressed from both, nothing says.
    assert_eq!(read.questions.len(), 1, "{:?}", read.questions);
    assert_eq!(read.questions[0].records.len(), 1);
    // Without one that is called so `End` names none.
    let read = plain(&[
        &["TENDON", "STRANDS", "STRESS END", "LENGTH (m)"],
        &["T1", "19", "END", "15.5"],
        &["T2", "12", "END", "14.75"],
    ]);
    assert!(read.of("Tendons").iter().all(|one| one.fields.get("stressing").is_none()));
}

#[test]
fn a_header_explains_its_codes() {
    let read = plain(&[
        &[
            "Tendon",
            "Strands",
            "End A (X = live end, Y = dead end)",
            "End B",
            "Fill (1: wax; 2: cement grout)",
            "Type (E = external, I = internal)",
        ],
        &["T1", "19", "X", "live", "1", "E"],
        &["T2", "19", "Y", "live", "2", "I"],
    ]);
    assert!(read.questions.is_empty(), "{:?}", read.questions);
    assert_eq!(kinds(&read), ["stressing", "stressing", "dead", "stressing"]);
    assert_eq!(text(&read, "Tendons", 0, "filler"), Some("wax"));
    assert_eq!(text(&read, "Tendons", 1, "filler"), Some("cement_grout"));
    assert_eq!(text(&read, "Tendons", 0, "situation"), Some("external"));
    assert_eq!(text(&read, "Tendons", 1, "situation"), Some("internal"));
    // What it says goes before what the letter means elsewhere.
    let read = plain(&[
        &[
            "Tendon",
            "Strands",
            "End A (L = locked dead end, D = dead end)",
            "End B (D = live end, L = dead end)",
        ],
        &["T1", "19", "D", "D"],
        &["T2", "19", "D", "L"],
    ]);
    assert_eq!(kinds(&read), ["dead", "stressing", "dead", "dead"]);
}

#[test]
fn two_values_of_a_tendon_that_is_stressed_from_both_ends_are_those_of_its_ends() {
    let read = plain(&[
        &["Tendon", "Strands", "End 1 type", "End 2 type", "Extension (mm)"],
        &["T1", "19", "Live", "Dead", "412"],
        &["T2", "22", "Live", "Live", "205 / 200"],
        &["T3", "22", "Live", "Live", "200 (B) / 206 (A)"],
        &["T4", "22", "Dead", "Live", "205 / 200"],
    ]);
    let of = |at, field| read.number("Tendons", at, &["stressing", field]);
    let both = |at| [of(at, "elongation_a_mm"), of(at, "elongation_b_mm")];
    assert_eq!(both(0), [Some(412.0), None]);
    assert_eq!(both(1), [Some(205.0), Some(200.0)]);
    assert_eq!(both(2), [Some(206.0), Some(200.0)]);
    // Of one that is stressed from one end two values say nothing.
    assert_eq!(both(3), [None, None]);
    let said = read.problems.iter().filter(|one| one.why.contains("two values"));
    assert_eq!(said.count(), 1, "{:?}", read.problems);
}

fn column(header: &str, field: &str, words: &[(&str, &str)]) -> ColumnMapping {
    let words = words.iter().map(|(code, word)| ((*code).to_owned(), (*word).into()));
    ColumnMapping {
        header: header.to_owned(),
        field: Some(field.to_owned()),
        words: words.collect::<BTreeMap<_, _>>(),
        ..ColumnMapping::default()
    }
}

fn mapping(columns: Vec<ColumnMapping>) -> Mapping {
    let table = TableMapping {
        headers: Some([1, 1]),
        record: Some("tendon".to_owned()),
        columns,
        ..TableMapping::default()
    };
    Mapping { mapping: 1, tables: vec![table], ..Mapping::default() }
}

#[test]
fn a_mapping_says_what_codes_mean_and_which_end_a_row_is() {
    let mapping = mapping(vec![
        column("Name", "tendon.mark", &[]),
        column("At", "end.end", &[("W", "a"), ("O", "b")]),
        column("What", "end.kind", &[("7", "stressing"), ("8", "dead")]),
        column("Fill", "tendon.filler", &[("W", "wax")]),
    ]);
    assert!(mapping.faults().is_empty(), "{:?}", mapping.faults());
    let rows: &[&[&str]] = &[
        &["Name", "At", "What", "Fill"],
        &["T1", "O", "8", "W"],
        &["", "W", "7", ""],
        &["T2", "O", "7", "W"],
        &["", "W", "8", ""],
    ];
    let read = taken(vec![sheet("S", rows)], &mapping);
    assert!(read.questions.is_empty() && read.problems.is_empty(), "{:?}", read.problems);
    assert_eq!(read.marks(), ["T1", "T2"]);
    let ends: Vec<_> = read.of("Ends").iter().map(|end| end.links[1].clone().unwrap()).collect();
    assert_eq!(ends, ["b", "a", "b", "a"].map(Box::from));
    assert_eq!(kinds(&read), ["dead", "stressing", "stressing", "dead"]);
    assert_eq!(text(&read, "Tendons", 1, "filler"), Some("wax"));
}

#[test]
fn a_word_of_a_mapping_that_is_none_of_its_list_is_a_fault() {
    let wrong = |field: &str, word: &str| {
        let faults = mapping(vec![column("X", field, &[("1", word)])]).faults();
        faults.into_iter().map(|fault| fault.given).collect::<Vec<_>>()
    };
    assert_eq!(wrong("tendon.filler", "waxx"), ["waxx"]);
    assert_eq!(wrong("end.end", "west"), ["west"]);
    assert_eq!(wrong("tendon.strand_count", "many"), ["many"]);
    assert!(wrong("end.kind", "dead").is_empty() && wrong("tendon.mark", "T1").is_empty());
}

/// What is read of the elongations of a tendon that is stressed from both ends, with this cell, header and notes.
fn elongations(header: &str, cell: &str, notes: &[&str]) -> (Read, [Option<f64>; 2]) {
    let table: &[&[&str]] = &[
        &["Tendon", "Strands", "Length (m)", "Stressed from", header],
        &["T1", "19", "40.5", "both", cell],
        &["T2", "19", "40.5", "both", cell],
    ];
    let rows: Vec<[&str; 1]> = notes.iter().map(|note| [*note]).collect();
    let rows: Vec<&[&str]> = rows.iter().map(|row| &row[..]).collect();
    let read = taken(vec![sheet("S", table), sheet("Notes", &rows)], &Mapping::default());
    let of = |end| read.number("Tendons", 0, &["stressing", end]);
    let values = [of("elongation_a_mm"), of("elongation_b_mm")];
    (read, values)
}

#[test]
fn what_two_values_in_a_cell_are_is_said_by_the_header_or_a_note() {
    let of = |header, cell, notes| elongations(header, cell, notes).1;
    assert_eq!(of("Elongation (mm)", "205 / 200", &[]), [Some(205.0), Some(200.0)]);
    let turned: &[&str] = &["Elongations: end B / end A"];
    assert_eq!(of("Elongation (mm)", "205 / 200", turned), [Some(200.0), Some(205.0)]);
    assert_eq!(of("Elongation (mm)", "205 / 90", turned), [Some(90.0), Some(205.0)]);
    assert_eq!(of("Elongation B / A (mm)", "205 / 200", &[]), [Some(200.0), Some(205.0)]);
    let (read, _) = elongations("Elongation (mm)", "205 / 200", turned);
    let said = read.understood.iter().flat_map(|sheet| &sheet.remarks);
    assert!(said.into_iter().any(|one| one.what.contains("end B / end A\" says which")));
}

#[test]
fn a_note_right_below_a_table_says_as_well_what_two_values_in_a_cell_are() {
    for (note, values) in [
        ("Elongations: end B / end A", Some([Some(200.0), Some(205.0)])),
        ("Elongation: calculated / measured", None),
        ("Elongation = stage 1 / stage 2", None),
        ("Elongation values are given as 1st / 2nd stage.", None),
    ] {
        let read = plain(&[
            &["Tendon", "Strands", "Length (m)", "Stressed from", "Elongation (mm)"],
            &["T1", "19", "40.5", "both", "205 / 200"],
            &["T2", "19", "40.5", "both", "205/200"],
            &[],
            &[note],
        ]);
        let of = |end| read.number("Tendons", 1, &["stressing", end]);
        let both = [of("elongation_a_mm"), of("elongation_b_mm")];
        assert_eq!(both, values.unwrap_or_default(), "{note}");
        assert_eq!(read.questions.len(), usize::from(values.is_none()), "{note}");
    }
}

#[test]
fn two_values_in_a_cell_that_are_not_of_two_ends_are_asked() {
    let notes: [&[&str]; 3] = [
        &["Elongation: before / after lock-off"],
        &["Elongation: elongation / draw-in"],
        &["Elongations: end B / end A", "Elongation: before / after lock-off"],
    ];
    let cells = notes.iter().map(|notes| ("205 / 200", *notes));
    for (cell, notes) in cells.chain([("205 / 5", &[][..])]) {
        let (read, values) = elongations("Elongation (mm)", cell, notes);
        assert_eq!(values, [None, None], "{cell} {notes:?}");
        let [question] = read.questions.as_slice() else { panic!("{:?}", read.questions) };
        assert_eq!(question.given, cell);
        assert_eq!(question.readings.len(), 3, "{question:?}");
    }
}

#[test]
fn a_header_that_names_two_quantities_heads_two_columns() {
    let (read, _) = elongations("Jacking force (kN) / Draw-in (mm)", "3950 / 6", &[]);
    assert_eq!(read.number("Tendons", 0, &["stressing", "set_mm"]), None, "two units");
    let (read, _) = elongations("Elongation / draw-in (mm)", "205 / 6", &[]);
    assert_eq!(read.number("Tendons", 0, &["stressing", "set_mm"]), Some(6.0));
    assert_eq!(read.questions.len(), 1, "of which end the elongation is");
    let (read, _) = elongations("Duct OD / ID (mm)", "110 / 96", &[]);
    assert_eq!(read.number("Ducts", 0, &["outer_mm"]), Some(110.0));
    assert_eq!(read.number("Ducts", 0, &["inner_mm"]), Some(96.0));
}

#[test]
fn signs_of_footnotes_that_a_note_explains_are_no_part_of_marks() {
    for (mark, note) in [
        ("T2*", &["* filled with wax"][..]),
        ("T2 ¹", &["¹ see drawing of the deviator"]),
        ("T2 (a)", &["(a)", "temporary, to be replaced"]),
        ("T2 1)", &["1) not yet stressed"]),
    ] {
        let rows: &[&[&str]] = &[
            &["Tendon", "Strands", "Length (m)"],
            &["T1", "19", "40.5"],
            &[mark, "12", "40.5"],
            &[],
            note,
        ];
        let read = plain(rows);
        assert_eq!(read.marks(), ["T1", "T2"], "{mark}");
        let said = read.problems.iter().find(|one| one.why.contains("sign of a footnote"));
        assert_eq!(said.and_then(|one| one.given.as_deref()), Some(mark));
        // What the note says is not said of all.
        let fillers = read.of("Tendons");
        assert!(fillers.iter().all(|one| one.fields.get("filler").is_none()), "{mark}");
        // Without a note it may be part of the mark.
        assert_eq!(plain(&rows[..3]).marks(), ["T1", mark]);
    }
    let both = plain(&[
        &["Tendon", "Strands", "Length (m)"],
        &["T2", "19", "40.5"],
        &["T2*", "12", "40.5"],
        &[],
        &["* not yet stressed"],
    ]);
    assert_eq!(both.marks(), ["T2", "T2*"], "it tells the two apart");
    // Two that differ by their signs alone stay two, and others with these signs are called so as well.
    for notes in [["(a) Filler: wax", "(b) Filler: grout"], ["(a) All in mm", "(b) See drawing"]] {
        let rows: &[&[&str]] = &[
            &["Tendon", "Strands", "Length (m)"],
            &["T1", "19", "40.5"],
            &["T2 (a)", "12", "40.5"],
            &["T2 (b)", "19", "41.5"],
            &["T3 (a)", "19", "42.5"],
            &[],
            &[notes[0]],
            &[notes[1]],
        ];
        assert_eq!(plain(rows).marks(), ["T1", "T2 (a)", "T2 (b)", "T3 (a)"]);
        // So do they where they stand in two tables.
        let (one, other) = (sheet("Left", &rows[..3]), sheet("Right", &[rows[0], rows[3]]));
        let below = sheet("Notes", &rows[6..]);
        let read = taken(vec![one, other, below], &Mapping::default());
        assert_eq!(read.marks(), ["T1", "T2 (a)", "T2 (b)"]);
    }
}

#[test]
fn a_word_for_what_is_void_behind_a_mark_leaves_its_row_out() {
    let read = plain(&[
        &["Tendon", "Strands", "Length (m)"],
        &["T1", "19", "40.5"],
        &["T2 / void", "12", "40.5"],
        &["T3 (void)", "12", "40.5"],
    ]);
    assert_eq!(read.marks(), ["T1"]);
}

#[test]
fn the_other_columns_of_a_table_tell_what_a_comma_before_three_figures_is() {
    let of = |friction: &str, length: &str| {
        let read = plain(&[
            &["Tendon", "Strands", "Length (m)", "Chainage A (m)", "Friction µ"],
            &["T1", "19", length, "20,000", friction],
            &["T2", "19", "40,250", "20,250", "0,20"],
        ]);
        let points = read.of("Points").len();
        let station = (points > 0).then(|| read.number("Points", 0, &["station_m"])).flatten();
        (station, read.number("Tendons", 0, &["length_m"]), read.questions.len())
    };
    assert_eq!(of("0,19", "40,500"), (Some(20.0), Some(40.5), 0));
    assert_eq!(of("0.19 ", "40,500"), (None, Some(40.5), 1), "they do not agree");
}

#[test]
fn a_number_that_cannot_be_as_its_column_writes_numbers_is_asked() {
    let read = plain(&[
        &["Tendon", "Strands", "Length (m)"],
        &["T1", "19", "40,500"],
        &["T2", "19", "40.5 m"],
        &["T3", "19", "40.5 m"],
    ]);
    assert_eq!(read.number("Tendons", 0, &["length_m"]), None);
    let [question] = read.questions.as_slice() else { panic!("{:?}", read.questions) };
    assert_eq!(question.readings, ["40.500", "40500"]);
    assert_eq!(read.number("Tendons", 1, &["length_m"]), Some(40.5));
}
