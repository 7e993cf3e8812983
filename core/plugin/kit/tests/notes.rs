//! What notes and headlines state once for all: which tendons and kinds it is of, and what goes before it.

mod recognised;

use recognised::{Read, plain, sheet, taken};
use restrand_kit::At;
use restrand_kit::recognise::{Mapping, TableMapping};
use restrand_model::Value;
use restrand_model::reading::ProblemKind;

/// The text of a field of a record.
fn text<'r>(read: &'r Read, list: &str, at: usize, field: &str) -> Option<&'r str> {
    read.of(list).get(at)?.fields.get(field)?.as_text()
}

/// Whether something is said of this kind with these words.
fn says(read: &Read, kind: ProblemKind, words: &str) -> bool {
    read.problems.iter().any(|problem| problem.kind == kind && problem.why.contains(words))
}

#[test]
fn a_note_adds_to_the_one_strand_of_the_tables() {
    let read = plain(&[
        &["Tendon", "Tendon type", "Length (m)"],
        &["T1", "19x15.7", "40.1"],
        &["T2", "19x15.7", "40.2"],
        &[],
        &["Notes:"],
        &["1. Strand: 15.7 mm dia., 150 mm2, fpk = 1860 MPa, E = 195 GPa."],
    ]);
    assert_eq!(read.of("Strands").len(), 1);
    assert_eq!(read.number("Strands", 0, &["area_mm2"]), Some(150.0));
    assert_eq!(read.number("Strands", 0, &["e_mpa"]), Some(195_000.0));
    let strand = read.of("Strands")[0];
    let area = strand.apart.iter().find(|apart| *apart.way == ["area_mm2".to_owned()]);
    assert_eq!(area.map(|apart| apart.at), Some(At::Row(5)));
    assert!(says(&read, ProblemKind::Assumed, "area 150 mm2"), "{:#?}", read.problems);
    let remarks = read.understood.iter().flat_map(|sheet| &sheet.remarks);
    assert!(remarks.clone().any(|one| one.what.contains("Sheet1!A6 states")), "{remarks:#?}");
}

#[test]
fn a_table_goes_before_a_note() {
    let read = plain(&[
        &["Tendon", "Tendon type", "Strand area (mm²)", "Filler"],
        &["T1", "19x15.2", "140", "grease"],
        &["T2", "19x15.2", "140", ""],
        &[],
        &["Strand 15.2 mm, area 150 mm², E = 195 GPa"],
        &["All tendons are filled with wax."],
    ]);
    assert_eq!(read.number("Strands", 0, &["area_mm2"]), Some(140.0));
    assert!(says(&read, ProblemKind::ValueDoubtful, "140"), "{:#?}", read.problems);
    assert_eq!(read.number("Strands", 0, &["e_mpa"]), Some(195_000.0));
    assert_eq!(text(&read, "Tendons", 0, "filler"), Some("grease"));
    assert_eq!(text(&read, "Tendons", 1, "filler"), Some("wax"));
    assert!(says(&read, ProblemKind::ValueDoubtful, "1 row states otherwise"));
}

#[test]
fn of_several_kinds_a_note_means_the_one_of_its_size_or_none() {
    let rows = |note: &'static str| {
        plain(&[
            &["Tendon", "Tendon type", "Length (m)"],
            &["T1", "19x15.7", "40.1"],
            &["T2", "12x12.5", "40.2"],
            &[],
            &[note],
        ])
    };
    let read = rows("Strand 15.7 mm dia., area 150 mm²");
    let areas: Vec<_> = (0..2).map(|at| read.number("Strands", at, &["area_mm2"])).collect();
    assert_eq!(areas, [Some(150.0), None]);
    let read = rows("Strand: E = 195 GPa");
    assert!((0..2).all(|at| read.number("Strands", at, &["e_mpa"]).is_none()));
    assert!(says(&read, ProblemKind::Unknown, "2 kinds of strand"), "{:#?}", read.problems);
    let read = rows("Strand 15.2 mm dia., area 140 mm²");
    assert!((0..2).all(|at| read.number("Strands", at, &["area_mm2"]).is_none()));
    assert!(says(&read, ProblemKind::Unknown, "of its size"), "{:#?}", read.problems);
}

#[test]
fn a_strand_that_notes_alone_state_is_that_of_all_tendons_if_it_is_the_only_one() {
    let rows = |first: &'static str, second: &'static str| {
        plain(&[
            &["Tendon", "No. of strands", "Length (m)"],
            &["T1", "19", "40.1"],
            &["T2", "12", "40.2"],
            &[],
            &[first],
            &[second],
        ])
    };
    let read = rows(
        "E of the strand = 28,500 ksi",
        "STRAND: 0.6\" DIA., ASTM A416 GRADE 270, A = 0.217 IN²",
    );
    assert_eq!(text(&read, "Tendons", 0, "strand"), Some("0.6\""));
    assert_eq!(text(&read, "Strands", 0, "grade"), Some("270"));
    assert_eq!(read.number("Strands", 0, &["diameter_mm"]), Some(15.24));
    assert!(read.number("Strands", 0, &["e_mpa"]).is_some_and(|e| (e - 196_500.58).abs() < 0.01));
    let table = &read.tables[usize::try_from(read.of("Strands")[0].table).unwrap_or(0)];
    assert_eq!(table.header_row, 5);
    let read = rows("Strand 15.7 mm dia., 150 mm²", "Strand 12.5 mm dia., 93 mm²");
    assert_eq!(read.of("Strands").len(), 0);
    assert_eq!(text(&read, "Tendons", 0, "strand"), None);
    assert!(says(&read, ProblemKind::Unknown, "several sizes of strand"), "{:#?}", read.problems);
    // A strand of another kind of tendons is asked about, and is none of these.
    let read = rows("Strand 15.7 mm dia., 150 mm²", "Transverse strand 12.5 mm dia., 93 mm²");
    assert_eq!(read.number("Strands", 0, &["area_mm2"]), Some(150.0));
    let asked: Vec<&str> = read.questions.iter().map(|one| one.subject.as_str()).collect();
    assert_eq!(asked, ["strand.diameter_mm, strand.area_mm2"]);
}

#[test]
fn a_note_of_some_tendons_is_of_no_others() {
    let read = plain(&[
        &["Tendon", "No. of strands", "Length (m)"],
        &["T1", "19", "40.1"],
        &["T2", "12", "40.2"],
        &[],
        &["T1 is filled with wax after stressing."],
        &["Tendons are filled with grease, except in span 3."],
        &["Ducts shall be grouted after stressing."],
    ]);
    assert_eq!(text(&read, "Tendons", 0, "filler"), Some("wax"));
    assert_eq!(text(&read, "Tendons", 1, "filler"), None);
    assert!(says(&read, ProblemKind::Assumed, "taken for T1"), "{:#?}", read.problems);
    assert!(says(&read, ProblemKind::Unknown, "takes something out"), "{:#?}", read.problems);
    // Nothing that a note says is lost.
    let kept = read.of("FurtherValues")[0].fields.get("extra").and_then(Value::as_fields);
    assert_eq!(kept.map(|kept| kept.iter().count()), Some(3));
}

#[test]
fn headlines_that_differ_name_no_bridge() {
    let rows = |headline: &'static str, mark: &'static str| -> Vec<Vec<&'static str>> {
        vec![
            vec![headline],
            vec![],
            vec!["Tendon", "No. of strands", "Length (m)"],
            vec![mark, "19", "40.1"],
        ]
    };
    let read_of = |first: &'static str, second: &'static str| {
        let sheets = [("One", first, "T1"), ("Two", second, "T2")].map(|(name, headline, mark)| {
            let rows = rows(headline, mark);
            let rows: Vec<&[&str]> = rows.iter().map(Vec::as_slice).collect();
            sheet(name, &rows)
        });
        taken(sheets.into(), &Mapping::default())
    };
    let read = read_of("Harrow Fen Viaduct", "Harrow Fen Viaduct - tendons of the west web");
    assert_eq!(text(&read, "Project", 0, "bridge"), Some("Harrow Fen Viaduct"));
    assert!(says(&read, ProblemKind::Assumed, "name of the bridge"));
    let read = read_of("Harrow Fen Viaduct", "Colm Water Bridge");
    assert_eq!(read.of("Project").len(), 0);
    let remarks: Vec<_> = read.understood.iter().flat_map(|sheet| &sheet.remarks).collect();
    assert!(remarks.iter().any(|one| one.what.contains("is not taken")), "{remarks:#?}");
}

#[test]
fn a_row_below_labels_whose_name_nobody_knows_is_no_tendon() {
    let read = plain(&[
        &["Tendon", "Strands", "Length (m)", "Jacking force (kN)"],
        &["A1", "12", "40.1", "2500"],
        &["A2", "12", "40.2", "2500"],
        &["Number of strands", "", "12", "7"],
        &["Length", "m", "41.2", "41.3"],
        &["Paint system", "", "P4", "P5"],
        &["A3", "12", "40.3", "2500"],
    ]);
    let marks: Vec<_> = (0..4).filter_map(|at| text(&read, "Tendons", at, "mark")).collect();
    assert_eq!(marks, ["A1", "A2", "A3"], "{:#?}", read.problems);
    let kept = read.of("FurtherValues")[0].fields.get("extra").and_then(Value::as_fields);
    let kept: Vec<_> =
        kept.into_iter().flat_map(|kept| kept.iter()).map(|(_, value)| value).collect();
    assert!(kept.iter().any(|value| value.as_text() == Some("Paint system")), "{kept:?}");
}

#[test]
fn a_card_is_read_under_a_mapping_too_and_each_value_stands_at_its_own_cell() {
    let rows: &[&[&str]] = &[
        &["TENDON CARD"],
        &["Tendon", "T7", "", "Web", "East"],
        &["Number of strands", "19", "", "Length (m)", "60.2"],
        &["Jacking force", "3900", "kN"],
        &["Anchor set", "6", "mm"],
    ];
    let first = plain(rows).understood[0].tables[0].headers.0;
    // The one places no headers, and the other where a mapping file to begin with places them.
    for headers in [None, Some([first + 1, first + 1])] {
        let table =
            TableMapping { headers, record: Some("tendon".to_owned()), ..TableMapping::default() };
        let mapping = Mapping { mapping: 1, tables: vec![table], ifc: None, source: None };
        let read = taken(vec![sheet("Sheet1", rows)], &mapping);
        assert_eq!(text(&read, "Tendons", 0, "mark"), Some("T7"), "{:#?}", read.problems);
        assert_eq!(read.number("Tendons", 0, &["stressing", "jacking_force_kn"]), Some(3900.0));
        let tendon = read.of("Tendons")[0];
        assert_eq!(tendon.at, At::Row(1));
        let length = tendon.apart.iter().find(|apart| *apart.way == ["length_m".to_owned()]);
        assert_eq!(length.map(|apart| apart.at), Some(At::Row(2)));
        let table = &read.tables[usize::try_from(tendon.table).unwrap_or(0)];
        let column = table.columns.iter().find(|column| column.path == ["length_m"]);
        assert_eq!(column.map(|column| column.index), Some(4));
    }
}
