//! Sheets as people make them: what is taken for what, what is asked, and what is said of what cannot be.

mod recognised;

use recognised::{plain, sheet, taken};
use restrand_kit::recognise::{ColumnMapping, Look, Mapping, Merged, TableMapping, starter};
use restrand_kit::sheet::Cell;
use restrand_model::Value;
use restrand_model::reading::ProblemKind;

#[test]
fn nothing_that_a_row_says_is_dropped() {
    let read = plain(&[
        &["Tendon No.", "No. of strands", "Colour", "", "Length (m)"],
        &["T1", "19", "red", "stray", "as drawn"],
        &["T2", "19", "", "", "41.5"],
        &["Prepared in two stages, see the method statement."],
        &["Total", "19"],
    ]);
    let extra = read.of("Tendons")[0].fields.get("extra").unwrap().as_fields().unwrap();
    for (name, text) in [("Colour", "red"), ("column D", "stray")] {
        assert_eq!(extra.get(name).and_then(Value::as_text), Some(text), "{name}");
    }
    // The text of a value that cannot be read stays with its field.
    let texts = &read.of("Tendons")[0].texts;
    assert!(texts.iter().any(|(column, text)| (*column, &**text) == (4, "as drawn")), "{texts:?}");
    let further = read.of("FurtherValues")[0].fields.get("extra").unwrap().as_fields().unwrap();
    assert_eq!(further.len(), 2, "{further:?}");
    let lost: Vec<_> = read.problems.iter().filter(|p| p.kind == ProblemKind::ValueLost).collect();
    assert_eq!((lost.len(), lost[0].subject.as_str()), (1, "tendon.length_m"));
}

#[test]
fn a_note_in_a_unit_that_cannot_be_is_asked() {
    let read = plain(&[
        &["All dimensions in mm"],
        &["Tendon", "Strands", "Tendon length", "Anchor set"],
        &["T1", "19", "39.2", "6"],
        &["T2", "19", "41.5", "6"],
    ]);
    assert_eq!(read.questions.len(), 1, "{:?}", read.questions);
    assert_eq!(
        (read.questions[0].header.as_str(), read.questions[0].records.len()),
        ("Tendon length", 2)
    );
    assert!(read.questions[0].readings.contains(&"in m".to_owned()));
    assert_eq!(read.number("Tendons", 0, &["stressing", "set_mm"]), Some(6.0));
    assert_eq!(read.number("Tendons", 0, &["length_m"]), None);
}

#[test]
fn merged_cells_hold_for_every_row_and_not_beside_it() {
    let mut one = sheet(
        "S",
        &[
            &["Tendon", "Strands", "Length (m)", "Jacking force (kN)"],
            &["T1", "19", "39.2", "3900"],
            &["T2", "19"],
        ],
    );
    one.merged.push(Merged { first: (1, 2), last: (2, 2) });
    one.merged.push(Merged { first: (1, 3), last: (2, 3) });
    let read = taken(vec![one], &Mapping::default());
    assert_eq!(read.number("Tendons", 1, &["length_m"]), Some(39.2));
    assert_eq!(read.number("Tendons", 1, &["stressing", "jacking_force_kn"]), Some(3900.0));
    let said = read.understood[0].remarks.iter().filter(|remark| remark.what.contains("merged"));
    assert_eq!(said.count(), 2);
    let told = read.problems.iter().filter(|problem| problem.why.contains("several tendons"));
    assert_eq!(told.count(), 2, "{:?}", read.problems);
}

#[test]
fn tables_stand_side_by_side_and_sideways_above_others() {
    let read = plain(&[
        &["LEFT WEB", "", "", "", "RIGHT WEB"],
        &["Mark", "Strands", "Length (m)", "", "Mark", "Strands", "Length (m)"],
        &["L1", "19", "39.2", "", "R1", "15", "41.5"],
    ]);
    assert_eq!(read.number("Tendons", 1, &["length_m"]), Some(41.5));
    assert_eq!(read.of("Tendons").len(), 2);
    assert_eq!(read.understood.len(), 1, "one report for one sheet");
    let read = plain(&[
        &["Table 1 - Tendons"],
        &["Tendon ref.", "X1", "X2"],
        &["Number of strands", "15", "19"],
        &["Length (m)", "40,5", "44,25"],
        &[],
        &["Table 2 - Strand"],
        &["Dia. (mm)", "Area (mm²)", "Fpk (MPa)"],
        &["15.7", "150", "1860"],
    ]);
    assert_eq!(read.number("Strands", 0, &["area_mm2"]), Some(150.0));
    assert_eq!(read.number("Tendons", 1, &["length_m"]), Some(44.25));
    assert!(read.of("FurtherValues").is_empty(), "{:?}", read.of("FurtherValues"));
}

#[test]
fn rows_of_one_tendon_are_joined_and_nothing_of_the_second_is_lost() {
    let read = plain(&[
        &["Tendon", "End", "Strands", "Elongation (mm)", "Slope (%)", "Crew"],
        &["T1", "A", "19", "231", "5", "north"],
        &["T1", "B", "15", "58", "3", "south"],
    ]);
    assert_eq!(read.of("Tendons").len(), 1);
    assert_eq!(read.number("Tendons", 0, &["stressing", "elongation_a_mm"]), Some(231.0));
    assert_eq!(read.number("Tendons", 0, &["stressing", "elongation_b_mm"]), Some(58.0));
    assert_eq!(read.number("Ends", 0, &["pitch_rad"]), Some(0.05_f64.atan()));
    let extra = read.of("Tendons")[0].fields.get("extra").unwrap().as_fields().unwrap();
    assert_eq!(extra.get("Crew").and_then(Value::as_text), Some("north"));
    assert_eq!(extra.get("Crew (2)").and_then(Value::as_text), Some("south"));
    let doubtful = read.problems.iter().filter(|p| p.kind == ProblemKind::ValueDoubtful);
    assert_eq!(doubtful.map(|p| p.subject.as_str()).collect::<Vec<_>>(), ["tendon.strand_count"]);
}

#[test]
fn only_what_can_be_is_taken_where_a_mark_or_a_sign_could_mean_two_things() {
    let read = plain(&[
        &["Tendon", "Strands", "Overall length (m)", "Jacking force (kN)"],
        &["T1", "19", "61,450", "3,900"],
        &["T2", "19", "48,200", "3,900"],
    ]);
    assert_eq!(read.number("Tendons", 0, &["length_m"]), Some(61.45));
    assert_eq!(read.number("Tendons", 0, &["stressing", "jacking_force_kn"]), Some(3900.0));
    let read = plain(&[
        &["Tendon", "Chainage [m]", "Level [m]", "Offset [m] (+ right)"],
        &["T1", "100", "12.5", "2.1"],
        &["T1", "140", "12.5", "1.9 L"],
    ]);
    assert_eq!(read.number("Points", 0, &["lateral_m"]), Some(-2.1));
    assert_eq!(read.number("Points", 1, &["lateral_m"]), Some(1.9));
}

#[test]
fn a_mapping_says_what_nothing_else_does() {
    let rows: &[&[&str]] = &[&["Tendon", "Strands", "Pull", "L"], &["T1", "19", "800", "39.2"]];
    let column = |header: &str, field: &str, unit: &str| ColumnMapping {
        header: header.to_owned(),
        field: Some(field.to_owned()),
        unit: Some(unit.to_owned()),
        ..ColumnMapping::default()
    };
    let mapping = Mapping {
        mapping: 1,
        tables: vec![TableMapping {
            sheet: Some("Sheet1".to_owned()),
            headers: Some([1, 1]),
            record: Some("tendon".to_owned()),
            constants: [("tendon.filler".to_owned(), "wax".into())].into(),
            columns: vec![
                column("Pull", "tendon.stressing.jacking_force_kn", "kip"),
                column("L", "tendon.length_m", "m"),
            ],
            ..TableMapping::default()
        }],
        ifc: None,
        source: None,
    };
    assert!(mapping.faults().is_empty(), "{:?}", mapping.faults());
    let read = taken(vec![sheet("Sheet1", rows)], &mapping);
    let force = read.number("Tendons", 0, &["stressing", "jacking_force_kn"]).unwrap();
    assert!((force - 3558.577).abs() < 1e-3, "{force}");
    assert_eq!(read.number("Tendons", 0, &["length_m"]), Some(39.2));
    let filler = read.of("Tendons")[0].fields.get("filler").and_then(Value::as_text);
    assert_eq!(filler, Some("wax"));
    assert!(read.questions.is_empty(), "{:?}", read.questions);
    let faulty = Mapping {
        tables: vec![TableMapping {
            record: Some("bolt".to_owned()),
            columns: vec![column("A", "tendon.colour", "mm"), column("B", "tendon.length_m", "kN")],
            ..TableMapping::default()
        }],
        ..Mapping::default()
    };
    assert_eq!(faulty.faults().len(), 3, "{:?}", faulty.faults());
}

#[test]
fn a_starter_names_what_was_recognised_and_asks_the_rest() {
    let read = plain(&[
        &["Tendon", "No. of strands", "Tendon length", "Colour \"outside\""],
        &["T1", "19", "39.2", "red"],
    ]);
    let text = starter(&read.understood, &read.questions);
    for line in [
        "field = \"tendon.strand_count\"",
        "# QUESTION: no unit is stated for it; it may be in m or in ft",
        "# header = \"Colour \\\"outside\\\"\"",
    ] {
        assert!(text.lines().any(|other| other == line), "{line}\n{text}");
    }
}

#[test]
fn rows_that_begin_with_names_of_fields_are_no_tendons() {
    let head: &[&str] = &["Tendon", "No. of strands", "Length (m)", "Jacking force (kN)"];
    let (one, two): (&[&str], &[&str]) =
        (&["T1", "19", "39.2", "3900"], &["T2", "19", "41.5", "3900"]);
    // A table that is written sideways below the rows of another, with its caption or without.
    let sideways: &[&[&str]] = &[
        &["Tendon", "X1", "X2"],
        &["Number of strands", "15", "17"],
        &["Length (m)", "40.5", "44.25"],
        &["Jacking force (kN)", "2900", "3300"],
    ];
    for between in [&[&[][..]][..], &[&[], &["Right web"], &[]], &[]] {
        let read = plain(&[&[head, one, two], between, sideways].concat());
        assert_eq!(read.of("Tendons").len(), 4, "{between:?}: {:?}", read.of("Tendons"));
        assert_eq!(read.number("Tendons", 2, &["strand_count"]), Some(15.0));
        assert_eq!(read.number("Tendons", 3, &["length_m"]), Some(44.25));
        assert!(read.problems.is_empty(), "{:?}", read.problems);
    }
    // Anchorages beside each other have a table of their own.
    let read = plain(&[
        head,
        one,
        two,
        &[],
        &["Anchorages"],
        &["Anchorage type", "AN12", "AN19"],
        &["Number of strands", "12", "19"],
        &["Recess depth (mm)", "280", "340"],
    ]);
    assert_eq!((read.of("Tendons").len(), read.of("Anchorages").len()), (2, 2));
    // What holds for all tendons is taken for each, and said; the tendons below go on.
    let rows: &[&[&str]] =
        &[head, one, &["Friction coefficient", "0.12"], &["Wobble (1/m)", "0.001"], two];
    let read = plain(rows);
    assert_eq!(read.of("Tendons").len(), 2);
    assert_eq!(read.number("Tendons", 1, &["stressing", "mu"]), Some(0.12));
    assert_eq!(read.problems.len(), 2, "{:?}", read.problems);
    assert!(read.problems.iter().all(|problem| problem.kind == ProblemKind::Assumed));
    // Other values beside their names say of no tendon which; they are kept, and said.
    let read = plain(&[
        head,
        one,
        &["Recess depth (mm)", "280"],
        &["Elongation (mm)", "210"],
        two,
        &["Anchor set (mm)", "6", "6"],
    ]);
    assert_eq!(read.of("Tendons").len(), 3, "one row alone may be a tendon of any name");
    let further = read.of("FurtherValues")[0].fields.get("extra").unwrap().as_fields().unwrap();
    assert_eq!(further.get("Sheet1!B3").and_then(Value::as_text), Some("280"));
    let said: Vec<_> = read.problems.iter().filter(|p| p.kind == ProblemKind::Unknown).collect();
    assert_eq!(said.len(), 2, "{said:?}");
    assert_eq!(said[0].subject, "Sheet1: Recess depth (mm)");
    // Parts are called by what they are.
    let roles = plain(&[
        &["Tendon", "Filler", "Strands"],
        &["T1", "wax", "19"],
        &["T2", "wax", "19"],
        &["Total", "38"],
    ]);
    assert_eq!(roles.of("Tendons").len(), 2);
}

#[test]
fn headers_that_leave_no_doubt_are_believed_before_values_that_are_yet_to_come() {
    for values in [&["T1", "tbc", "see dwg"][..], &["T1", "as built", "?"], &["T1", "per A-3", "-"]]
    {
        let read = plain(&[&["Tendon", "No. of strands", "Length (m)"], values]);
        assert_eq!(read.of("Tendons").len(), 1, "{values:?}");
        assert_eq!(read.number("Tendons", 0, &["strand_count"]), None);
        let lost: Vec<_> = read
            .problems
            .iter()
            .filter(|problem| problem.kind == ProblemKind::ValueLost)
            .map(|problem| problem.subject.as_str())
            .collect();
        assert!(lost.contains(&"tendon.strand_count"), "{values:?}: {:?}", read.problems);
    }
    // A column with one value among those to come is read by that one.
    let read = plain(&[
        &["Tendon", "No. of strands", "Length (m)"],
        &["T1", "TBC", "39.2"],
        &["T2", "t.b.c.", "41.5"],
        &["T3", "19", "tbc"],
    ]);
    assert_eq!(read.number("Tendons", 2, &["strand_count"]), Some(19.0));
    assert_eq!(read.number("Tendons", 1, &["length_m"]), Some(41.5));
}

#[test]
fn a_sheet_without_headers_is_kept_beside_others_and_said() {
    let list = sheet("List", &[&["Tendon", "No. of strands", "Length (m)"], &["T1", "19", "39.2"]]);
    let bare = sheet("Bare", &[&["T7", "19", "39.2"], &["T8", "15", "41.5"]]);
    let notes = sheet("Notes", &[&["All dimensions in mm"], &["Issued for tender"]]);
    let read = taken(vec![list, bare, notes], &Mapping::default());
    let said: Vec<_> = read.problems.iter().map(|p| (p.kind, p.subject.as_str())).collect();
    assert_eq!(said, [(ProblemKind::Unknown, "Bare")]);
    let further = read.of("FurtherValues")[0].fields.get("extra").unwrap().as_fields().unwrap();
    for (name, text) in [("Bare!A1", "T7"), ("Bare!C2", "41.5"), ("Notes!A2", "Issued for tender")]
    {
        assert_eq!(further.get(name).and_then(Value::as_text), Some(text), "{name}");
    }
    assert!(read.unread.is_empty());
}

#[test]
fn what_holds_no_table_is_given_back() {
    for rows in [
        &[&["Notes"][..], &["All dimensions in mm"], &["1", "2", "3"]][..],
        &[],
        &[&["Mark", "Colour"], &["1", "2"]],
    ] {
        let read = plain(rows);
        assert_eq!(read.unread, ["Sheet1"], "{rows:?}");
        assert!(read.tables.is_empty() && read.problems.is_empty());
    }
}

#[test]
fn no_sheet_makes_it_panic() {
    const TEXTS: &[&str] = &[
        "Tendon",
        "Tendon No.",
        "No. of strands",
        "Strands",
        "Length (m)",
        "Dead end",
        "Live end",
        "Sta.",
        "Anchorage",
        "Set (mm)",
        "End",
        "Filler",
        "(mm)",
        "kN",
        "T1",
        "T2",
        "19",
        "39.2",
        "\"",
        "do.",
        "Total",
        "DELETED",
        "Span 2",
        "All dimensions in mm",
        "12+34.5",
        "4'-6\"",
        "19-0.6\"",
        "",
        "",
        "",
        "-",
        "½",
        "#",
        "[",
        "Grout",
        "a",
        "b",
    ];
    let mut seed = 0x2545_f491_4f6c_dd1d_u64;
    let mut next = |below: usize| {
        seed ^= seed << 13;
        seed ^= seed >> 7;
        seed ^= seed << 17;
        usize::try_from(seed % u64::try_from(below).unwrap()).unwrap()
    };
    for round in 0..400 {
        let (height, width) = (next(9) + 1, next(7) + 1);
        let rows: Vec<Vec<&str>> =
            (0..height).map(|_| (0..width).map(|_| TEXTS[next(TEXTS.len())]).collect()).collect();
        let rows: Vec<&[&str]> = rows.iter().map(Vec::as_slice).collect();
        let mut one = sheet(if round % 3 == 0 { "Span 1 (cont.)" } else { "S" }, &rows);
        let at = |n: usize| u32::try_from(n).unwrap();
        let (row, column) = (at(next(height)), at(next(width)));
        one.merged.push(Merged {
            first: (row, column),
            last: (
                row + at(next(4)),
                column + if round % 7 == 0 { u32::MAX - column } else { at(next(4)) },
            ),
        });
        let _ = taken(vec![one.clone(), one], &Mapping::default());
    }
}

#[test]
fn time_grows_with_the_rows() {
    let many = |rows: u32| {
        let mut one = sheet("S", &[&["Tendon", "No. of strands", "Length (m)", "Filler"]]);
        for row in 1..=rows {
            one.push(row, 0, &Cell::Text(format!("T{row}").into()), Look::default());
            one.push(row, 1, &Cell::Number(19.0), Look::default());
            one.push(row, 2, &Cell::Number(39.2), Look::default());
            one.push(row, 3, &Cell::Text("\"".into()), Look::default());
        }
        let began = std::time::Instant::now();
        let read = taken(vec![one], &Mapping::default());
        assert_eq!(read.of("Tendons").len() as u32, rows);
        // What is said of each column is said once.
        assert!(read.understood[0].remarks.len() < 10);
        began.elapsed()
    };
    many(1_000);
    let (few, more) = (many(4_000), many(16_000));
    assert!(more < few * 12, "{few:?} and {more:?}");
}
