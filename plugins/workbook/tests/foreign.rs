//! Workbooks as other programs and people make them.

#![allow(clippy::unwrap_used, reason = "helpers of tests")]

mod common;

use common::{Made, Read, archive, binary, load, load_by, load_with, old, row, tendons};
use restrand_kit::recognise::{ColumnMapping, Mapping, TableMapping};
use restrand_kit::{At, Budget};
use restrand_model::reading::{Place, ProblemKind};

const XLS: &str = "schedule.xls";

fn number_cell(place: &str, value: &str) -> String {
    format!(r#"<c r="{place}"><v>{value}</v></c>"#)
}

#[test]
fn headers_in_row_three_under_a_title_are_found() {
    let data = row(1, &["Quillmere Viaduct, tendons"])
        + &row(2, &["draft"])
        + &row(3, &["Mark", "Strand count"])
        + r#"<row r="4"><c r="A4" t="str"><v>T1</v></c><c r="B4"><v>19</v></c></row>"#;
    let read = load(&Made::new(&[("Tendons", &data)]).bytes());
    assert_eq!(read.tables[0].header_row, 2);
    assert_eq!((read.text(0, "mark"), read.number(0, "strand_count")), (Some("T1"), Some(19.0)));
    assert!(matches!(read.records[0].at, At::Row(3)));
    let said: Vec<_> = read.problems.iter().map(|p| (p.kind, p.given.as_deref())).collect();
    assert_eq!(
        said,
        [
            (ProblemKind::Unknown, Some("Quillmere Viaduct, tendons")),
            (ProblemKind::Unknown, Some("draft")),
        ]
    );
}

#[test]
fn rows_of_units_notes_and_sums_of_a_sheet_in_the_layout_are_no_records() {
    let data = row(1, &["Mark", "Strand count", "Length", "Jacking force", "Remarks"])
        + r#"<row r="2"><c r="B2" t="str"><v>(no.)</v></c><c r="C2" t="str"><v>(ft)</v></c><c r="D2" t="str"><v>(kips)</v></c></row>"#
        + r#"<row r="3"><c r="A3" t="str"><v>T1</v></c><c r="B3"><v>19</v></c><c r="C3"><v>100</v></c><c r="D3"><v>800</v></c></row>"#
        + r#"<row r="4"><c r="A4" t="str"><v>T 2</v></c></row>"#
        + r#"<row r="5"><c r="A5" t="str"><v>Total</v></c><c r="B5"><v>19</v></c></row>"#
        + &row(6, &["Notes:"])
        + &row(7, &["1. Stress in the order listed."])
        + &row(8, &["Anchor set of all tendons is a quarter inch"]);
    let read = load(&Made::new(&[("Tendons", &data)]).bytes());
    assert_eq!(read.records.len(), 2);
    assert_eq!((read.text(0, "mark"), read.text(1, "mark")), (Some("T1"), Some("T 2")));
    assert_eq!(read.number(0, "length_m"), Some(30.48));
    assert_eq!(read.tables[0].columns[2].unit.unwrap().symbol, "ft");
    let said: Vec<_> =
        read.problems.iter().filter_map(|problem| problem.given.as_deref()).collect();
    assert_eq!(
        said,
        [
            "Remarks",
            "Total | 19",
            "Notes:",
            "1. Stress in the order listed.",
            "Anchor set of all tendons is a quarter inch",
        ]
    );
}

#[test]
fn rows_that_may_be_records_of_a_sheet_in_the_layout_are_kept_or_told() {
    let headers = ["Mark", "Strand count", "Length [m]", "Jacking force [kN]", "Strand", "Duct"];
    let full = |at: u32, mark: &str| {
        format!(
            r#"<row r="{at}"><c r="A{at}" t="str"><v>{mark}</v></c><c r="B{at}"><v>19</v></c><c r="C{at}"><v>40</v></c></row>"#
        )
    };
    let data = row(1, &headers)
        + &full(2, "BF-1/1")
        + &full(3, "CF 1.3")
        + r#"<row r="4"><c r="A4" t="str"><v>Total</v></c><c r="E4" t="str"><v>S</v></c></row>"#
        + &row(5, &["Tendon 12, north web outer"])
        + &full(6, "Sum");
    let read = load(&Made::new(&[("Tendons", &data)]).bytes());
    let marks: Vec<_> = (0..read.records.len()).filter_map(|at| read.text(at, "mark")).collect();
    assert_eq!(marks, ["BF-1/1", "CF 1.3", "Total", "Tendon 12, north web outer"]);
    assert_eq!(read.problem().kind, ProblemKind::ValueDoubtful);
}

#[test]
fn a_first_row_of_letters_is_no_row_of_units() {
    let data = row(1, &["Mark", "Web"]) + &row(2, &["L", "N"]) + &row(3, &["R", "S"]);
    let read = load(&Made::new(&[("Tendons", &data)]).bytes());
    assert_eq!((read.records.len(), read.text(0, "mark")), (2, Some("L")));
}

#[test]
fn a_unit_below_a_header_that_states_another_is_told() {
    let data = row(1, &["Mark", "Length [m]", "Jacking force"])
        + &row(2, &["", "ft", "kip"])
        + r#"<row r="3"><c r="A3" t="str"><v>T1</v></c><c r="B3"><v>132.5</v></c></row>"#;
    let read = load(&Made::new(&[("Tendons", &data)]).bytes());
    assert_eq!(read.records.len(), 1);
    let told = read.problem();
    assert_eq!(told.kind, ProblemKind::ValueDoubtful);
    assert!(told.why.contains("says ft"), "{}", told.why);
}

#[test]
fn a_sheet_by_another_name_is_read_as_what_its_headers_say() {
    let tendons = row(1, &["EAST FORK BRIDGE"])
        + &row(3, &["Mark", "Strand count", "Length", "Jacking force"])
        + r#"<row r="4"><c r="B4" t="str"><v>(each)</v></c><c r="C4" t="str"><v>(ft)</v></c><c r="D4" t="str"><v>(kips)</v></c></row>"#
        + r#"<row r="5"><c r="A5" t="str"><v>T1</v></c><c r="B5"><v>19</v></c><c r="C5"><v>100</v></c><c r="D5"><v>800</v></c></row>"#
        + &row(7, &["NOTE: STRESS IN ORDER LISTED. SEE DRAWING 4."]);
    let own = [("TENDON DATA", tendons.as_str())];
    // In the very words of the layout, and below a title with one other.
    let mixed = tendons.replace("Jacking force", "P jack");
    for sheets in [own, [("TENDON DATA", mixed.as_str())], [("Tendons", mixed.as_str())]] {
        let read = load(&Made::new(&sheets).bytes());
        let tendons: Vec<_> =
            read.records.iter().filter(|one| one.fields.get("mark").is_some()).collect();
        assert_eq!(tendons.len(), 1, "{sheets:?}");
        let fields = &tendons[0].fields;
        let number = |name: &str| fields.get(name).and_then(restrand_model::Value::as_number);
        assert_eq!((number("strand_count"), number("length_m")), (Some(19.0), Some(30.48)));
        assert!(fields.get("stressing").is_some());
        assert!(!read.problems.iter().any(|one| one.kind == ProblemKind::SheetLost));
    }
}

#[test]
fn a_mapping_of_a_sheet_in_the_layout_is_not_ignored() {
    let data = row(1, &["Mark", "Strand count", "Pull"])
        + r#"<row r="2"><c r="A2" t="str"><v>T1</v></c><c r="B2"><v>19</v></c><c r="C2"><v>800</v></c></row>"#;
    for sheet in ["Tendons", "TENDON DATA"] {
        let column = ColumnMapping {
            header: "Pull".to_owned(),
            field: Some("tendon.stressing.jacking_force".to_owned()),
            unit: Some("kip".to_owned()),
            ..ColumnMapping::default()
        };
        let mapping = Mapping {
            tables: vec![TableMapping {
                sheet: Some(sheet.to_owned()),
                constants: [
                    ("project.stage".to_owned(), "tender".into()),
                    ("end.tail_mm".to_owned(), 900.into()),
                ]
                .into(),
                columns: vec![column],
                ..TableMapping::default()
            }],
            ..Mapping::default()
        };
        assert!(mapping.faults().is_empty());
        let read = load_by(
            "schedule.xlsx",
            &Made::new(&[(sheet, &data)]).bytes(),
            Budget::default(),
            &mapping,
        )
        .unwrap();
        let of = |list: &str| -> Vec<_> {
            let is_of = |at: u32| read.tables[at as usize].list == list;
            read.records.iter().filter(|one| is_of(one.table)).map(|one| &one.fields).collect()
        };
        assert_eq!(of("Tendons").len(), 1);
        assert!(of("Tendons")[0].get("stressing").is_some(), "{sheet}");
        let stage = of("Project")[0].get("stage").and_then(restrand_model::Value::as_text);
        assert_eq!(stage, Some("tender"));
        let tails: Vec<_> =
            of("Ends").iter().filter_map(|end| end.get("tail_mm")).cloned().collect();
        assert_eq!(tails, vec![restrand_model::Value::Number(900.0); 2]);
    }
}

#[test]
fn quantities_are_read_as_people_type_them() {
    let headers = ["Mark", "Length [mm]", "Steel mass [kg]", "Strand count"];
    let read = load(&tendons(
        &headers,
        &(row(2, &["T1", "39200", "870", "19"])
            + &row(3, &["T2", "4'-6 1/2\"", "2 t"])
            + &row(4, &["T3", "39.2 m", "12 kN"])),
    ));
    assert_eq!(read.number(0, "length_m"), Some(39.2));
    assert_eq!(read.number(0, "strand_count"), Some(19.0));
    assert!((read.number(1, "length_m").unwrap() - 1.3843).abs() < 1e-12);
    assert_eq!(read.number(1, "steel_mass_kg"), Some(2000.0));
    assert_eq!(read.records[1].texts[0], (1, "4'-6 1/2\"".into()));
    assert_eq!(read.number(2, "length_m"), Some(39.2));
    assert_eq!(read.number(2, "steel_mass_kg"), None);
    let problem = read.problem();
    assert_eq!(problem.kind, ProblemKind::ValueLost);
    assert_eq!(problem.given.as_deref(), Some("12 kN"));
    assert_eq!(problem.place, cell_place(3, Some(2)));
}

fn cell_place(row: u32, column: Option<u32>) -> Place {
    Place::Cell { part: "schedule.xlsx".into(), sheet: "Tendons".into(), row, column }
}

#[test]
fn a_formula_that_was_never_calculated_is_not_an_absent_value() {
    let read = load(&tendons(
        &["Mark", "Strand count", "Order"],
        r#"<row r="2"><c r="A2" t="str"><v>T1</v></c><c r="B2"><f>10+9</f><v></v></c><c r="C2"><f>1+1</f><v>2</v></c></row>"#,
    ));
    assert_eq!(read.number(0, "strand_count"), None);
    assert_eq!(read.number(0, "order"), Some(2.0));
    let problem = read.problem();
    assert_eq!(problem.given.as_deref(), Some("=10+9"));
    assert!(problem.why.contains("never calculated"), "{}", problem.why);
}

#[test]
fn a_formula_shared_from_above_is_said_too() {
    let read = load(&tendons(
        &["Mark", "Strand count"],
        r#"<row r="2"><c r="A2" t="str"><v>T1</v></c><c r="B2"><f t="shared" si="99999999999" ref="B2:B3">10+9</f></c></row>
           <row r="3"><c r="A3" t="str"><v>T2</v></c><c r="B3"><f t="shared" si="99999999999"/></c></row>"#,
    ));
    assert_eq!(read.problems.len(), 2);
    assert!(read.problems.iter().all(|problem| problem.given.as_deref() == Some("=10+9")));
}

#[test]
fn a_formula_whose_result_is_an_empty_text_says_nothing() {
    let read = load(&tendons(
        &["Mark", "Strand count"],
        r#"<row r="2"><c r="A2" t="str"><v>T1</v></c><c r="B2" t="str"><f>""</f><v></v></c></row>"#,
    ));
    assert!(read.problems.is_empty());
    assert_eq!(read.number(0, "strand_count"), None);
}

#[test]
fn error_cells_are_said_at_their_place() {
    let read = load(&tendons(
        &["Mark", "Strand count", "Order"],
        r##"<row r="2"><c r="A2" t="str"><v>T1</v></c><c r="B2" t="e"><f>A1</f><v>#REF!</v></c><c r="C2"><v>1</v></c></row>
            <row r="3"><c r="A3" t="str"><v>T2</v></c><c r="B3" t="e"><f>A1</f><v>#SPILL!</v></c><c r="C3"><v>2</v></c></row>
            <row r="4"><c r="A4" t="str"><v>T3</v></c><c r="C4" t="e"><v>#CALC!</v></c></row>
            <row r="5"><c r="A5" t="str"><v>T4</v></c></row>"##,
    ));
    assert_eq!(read.records.len(), 4);
    assert_eq!(read.number(1, "order"), Some(2.0));
    let places: Vec<_> = read.problems.iter().map(|problem| problem.place.clone()).collect();
    let sheet = Place::Sheet { part: "schedule.xlsx".into(), sheet: "Tendons".into() };
    // The reader does not say where an error that it does not know stands; between two neighbours it is known.
    assert_eq!(places, [cell_place(1, Some(1)), cell_place(2, Some(1)), sheet]);
    assert!(read.problems[1].why.contains("#SPILL!"));
    assert_eq!(read.problems[2].given.as_deref(), Some("#CALC!"));
    assert!(read.problems[2].why.contains("row 4"), "{}", read.problems[2].why);
}

#[test]
fn columns_that_are_unknown_double_unheaded_or_without_unit_are_said() {
    let data = r#"<row r="2"><c r="A2" t="str"><v>T1</v></c><c r="B2"><v>19</v></c><c r="C2"><v>20</v></c>
        <c r="D2" t="str"><v>x</v></c><c r="E2"><v>39.2</v></c><c r="G2"><v>7</v></c></row>"#;
    let read =
        load(&tendons(&["Mark", "Strand count", "strand_count", "Strand cuont", "Length"], data));
    assert_eq!(read.number(0, "strand_count"), Some(19.0));
    assert_eq!(read.number(0, "length_m"), None);
    let said: Vec<_> = read.problems.iter().map(|p| (p.kind, p.help.as_str())).collect();
    assert_eq!(said.len(), 4, "{said:#?}");
    assert_eq!(said[0].0, ProblemKind::ValueLost);
    // Another column states it, so that these values are further ones.
    assert_eq!(said[1].0, ProblemKind::Unknown);
    assert!(said[1].1.contains("\"Strand count\" has a column of its own"), "{}", said[1].1);
    assert!(said[2].1.contains("unit in brackets"), "{}", said[2].1);
    assert_eq!(said[3].0, ProblemKind::Unknown);
    assert_eq!(read.number(0, "extra.column G"), Some(7.0));
    assert_eq!(read.number(0, "extra.strand_count"), Some(20.0));
}

#[test]
fn the_id_that_a_model_gave_is_kept_without_a_word_and_once() {
    let ids = ["0AAAAAAAAAAAAAAAAAAAA1", "0AAAAAAAAAAAAAAAAAAAA2"];
    let read = load(&tendons(&["Mark", "Side", "GlobalId"], &row(2, &["T1", "left", ids[0]])));
    assert_eq!(read.problems, []);
    assert_eq!(read.text(0, "extra.GlobalId"), Some(ids[0]));
    let data = row(2, &["T1", "left", ids[0], ids[1]]);
    let read = load(&tendons(&["Mark", "Side", "GlobalId", "GlobalId"], &data));
    assert_eq!(read.problems.len(), 1, "{:?}", read.problems);
    assert_eq!(read.problems[0].kind, ProblemKind::Unknown);
    assert_eq!(read.text(0, "extra.GlobalId"), Some(ids[0]));
}

#[test]
fn a_header_near_to_a_field_without_a_column_was_meant_for_it() {
    let data = row(2, &["T1", "left", "19", "7"]);
    let read = load(&tendons(&["Mark", "Side", "Strand cuont", "Lenght [m]"], &data));
    let said: Vec<_> = read.problems.iter().map(|p| (p.kind, p.subject.as_str())).collect();
    assert_eq!(
        said,
        [
            (ProblemKind::Misnamed, "Tendons: Strand count"),
            (ProblemKind::Misnamed, "Tendons: Length"),
        ]
    );
    assert_eq!(read.problems[0].given.as_deref(), Some("Strand cuont"));
    assert!(read.problems[0].help.contains("\"Strand count\""), "{}", read.problems[0].help);
    assert_eq!(read.text(0, "extra.Strand cuont"), Some("19"));
}

#[test]
fn of_a_sheet_by_another_name_the_headers_say_more_than_the_name() {
    let tendons = row(1, &["Mark", "Strand count"]) + &row(2, &["T1", "19"]);
    let headers = ["Tendon", "End", "Place", "Strand count", "Tail [mm]", "Stub cut [mm]"];
    let ends = row(1, &headers) + &row(2, &["T1", "a", "A1", "19", "40", "-1480"]);
    let sheets = [("Tendons", tendons.as_str()), ("Tendon Ends", &ends), ("tendon ends 2", &ends)];
    let read = load(&Made::new(&sheets).bytes());
    assert_eq!(read.problems.len(), 2);
    for problem in &read.problems {
        assert_eq!(problem.kind, ProblemKind::SheetLost);
        assert!(problem.why.contains("\"Ends\""), "{}", problem.why);
        assert!(problem.help.contains("\"Ends\""), "{}", problem.help);
    }
}

#[test]
fn hidden_sheets_are_read_and_sheets_beside_the_layout_are_not() {
    let data = row(1, &["Mark", "Strand count"]) + &row(2, &["T1", "19"]);
    let sheets = [
        ("Tendons", data.as_str()),
        ("Tendon", &data),
        ("My notes", &data),
        ("Open findings", &data),
        ("Ducts", ""),
        ("Strands", "<row r=\"1\"><c r=\"A1\" s=\"0\"/></row>"),
    ];
    let read = load(&Made { state: r#"state="veryHidden""#, ..Made::new(&sheets) }.bytes());
    assert_eq!(read.records.len(), 1);
    let said: Vec<_> =
        read.problems.iter().map(|p| (p.kind, p.subject.as_str(), p.help.as_str())).collect();
    assert_eq!(
        said,
        [
            (
                // It may be a copy.
                ProblemKind::SheetUnknown,
                "Tendon",
                "put its rows into \"Tendons\", if they are part of the schedule"
            ),
            (
                ProblemKind::SheetUnknown,
                "My notes",
                "if it holds part of the schedule, name it as the layout does"
            ),
        ]
    );
}

#[test]
fn a_sheet_of_the_layout_without_headers_is_said() {
    let few = row(1, &["19 strands", "see drawing"]);
    let many: String = (1..60).map(|number| row(number, &["text", "more"])).collect();
    let read = load(&Made::new(&[("Tendons", &few), ("Ducts", &many)]).bytes());
    assert!(read.tables.is_empty() && read.records.is_empty());
    let said: Vec<_> = read.problems.iter().map(|p| p.subject.as_str()).collect();
    assert_eq!(said, ["Tendons", "Ducts"]);
    assert!(read.problems[0].help.contains("Mark"));
}

#[test]
fn two_sheets_of_one_name_are_not_read_twice() {
    let data = row(1, &["Mark", "Strand count"]) + &row(2, &["T1", "19"]);
    let read =
        load(&Made::new(&[("Tendons", &data), ("Tendons", &data), ("TENDONS", &data)]).bytes());
    assert_eq!((read.records.len(), read.tables.len()), (2, 2));
    assert!(read.problem().why.contains("same name"));
    assert_eq!(read.records[1].table, 1);
}

const STYLES: &str = r#"<styleSheet><numFmts><numFmt numFmtId="164" formatCode="yyyy\-mm\-dd"/></numFmts>
    <cellXfs><xf numFmtId="0"/><xf numFmtId="164"/><xf numFmtId="46"/></cellXfs></styleSheet>"#;

#[test]
fn dates_are_read_in_both_epochs_and_as_iso() {
    let data = row(1, &["Tendon", "On", "Done on", "Text"])
        + r#"<row r="2"><c r="B2" s="1"><v>48000</v></c><c r="C2" t="d"><v>2031-06-01</v></c><c r="D2" s="2"><v>1.5</v></c></row>
             <row r="3"><c r="B3" s="1"><v>48000.25</v></c><c r="C3" t="d"><v>2031-06-01T00:00:00</v></c></row>"#;
    let sheets = [("History", data.as_str())];
    let read = load(&Made { styles: Some(STYLES), ..Made::new(&sheets) }.bytes());
    let dates: Vec<_> = (0..2).map(|record| read.text(record, "on").map(str::to_owned)).collect();
    let extra: Vec<_> = (0..2).map(|record| read.text(record, "extra.Done on")).collect();
    assert_eq!(dates, [Some("2031-06-01".to_owned()), Some("2031-06-01".to_owned())]);
    let doubts: Vec<_> =
        read.problems.iter().filter(|p| p.kind == ProblemKind::ValueDoubtful).collect();
    assert_eq!(doubts.len(), 1, "{:#?}", read.problems);
    assert_eq!(doubts[0].given.as_deref(), Some("2031-06-01 06:00"));
    assert_eq!(read.records[1].texts, [(1, "2031-06-01 06:00".into())]);
    assert_eq!(extra, [Some("2031-06-01"); 2]);
    assert_eq!(read.text(0, "extra.Text"), Some("1.5"));

    let read = load(
        &Made {
            styles: Some(STYLES),
            properties: r#"date1904="1""#,
            ..Made::new(&[("History", &data.replace("48000", "46538"))])
        }
        .bytes(),
    );
    assert_eq!(read.text(0, "on"), Some("2031-06-01"));
}

#[test]
fn shared_texts_are_read_even_where_one_is_empty() {
    let data = r#"<row r="1"><c r="A1" t="s"><v>0</v></c><c r="B1" t="s"><v>2</v></c></row>
        <row r="2"><c r="A2" t="s"><v>3</v></c><c r="B2"><v>19</v></c></row>"#;
    let texts = r#"<sst uniqueCount="4"><si><t>Mark</t></si><si/><si><r><t>Strand </t></r><r><t>count</t></r></si><si><t>T1</t></si></sst>"#;
    let read = load(&Made { texts: Some(texts), ..Made::new(&[("Tendons", data)]) }.bytes());
    assert_eq!((read.text(0, "mark"), read.number(0, "strand_count")), (Some("T1"), Some(19.0)));
}

#[test]
fn a_cell_in_the_last_column_and_row_costs_no_memory() {
    let data = row(1, &["Mark", "Strand count"]) + &number_cell("XFD1048576", "1");
    let read = load(&Made::new(&[("Tendons", &data)]).bytes());
    assert_eq!(read.records.len(), 1);
    assert!(matches!(read.records[0].at, At::Row(1_048_575)));
    assert_eq!(read.number(0, "extra.column XFD"), Some(1.0));
    assert_eq!(read.problem().why, "the column has no header");

    let data = row(1, &["Mark", "Strand count"])
        + &number_cell("XFE2", "1")
        + &number_cell("A1048577", "1")
        + &number_cell("ZZZZZ9", "1");
    let read = load(&Made::new(&[("Tendons", &data)]).bytes());
    assert!(read.records.is_empty());
    let said: Vec<_> = read.problems.iter().map(|problem| problem.why.as_str()).collect();
    assert_eq!(said.len(), 3, "{said:?}");
    assert!(said[0].contains("row 2 ") && said[0].contains("beyond the last column"), "{said:?}");
    assert!(said[1].contains("beyond the last row"), "{said:?}");
    assert!(said[2].contains("row 9 ") && said[2].contains("beyond the last column"), "{said:?}");
}

#[test]
fn rows_out_of_order_and_cells_without_addresses_are_read() {
    let data = row(1, &["Mark", "Strand count"])
        + &row(5, &["T5", "5"])
        + &row(3, &["T3", "3"])
        + r#"<row r="7"><c t="str"><v>T7</v></c><c><v>7</v></c></row>"#;
    let read = load(&Made::new(&[("Tendons", &data)]).bytes());
    let marks: Vec<_> = (0..3).map(|record| read.text(record, "mark").unwrap()).collect();
    assert_eq!(marks, ["T5", "T3", "T7"]);
    assert_eq!(read.number(2, "strand_count"), Some(7.0));
}

#[test]
fn prefixed_names_of_elements_are_read() {
    let sheet = r#"<x:worksheet xmlns:x="m"><x:sheetData><x:row r="1"><x:c r="A1" t="str"><x:v>Mark</x:v></x:c></x:row>
        <x:row r="2"><x:c r="A2" t="str"><x:v>T1</x:v></x:c></x:row></x:sheetData></x:worksheet>"#;
    let made = Made::new(&[("Tendons", "")]).bytes();
    // The same archive with its sheet replaced.
    let mut zip = zip::ZipArchive::new(std::io::Cursor::new(made)).unwrap();
    let mut parts = Vec::new();
    for index in 0..zip.len() {
        let mut part = zip.by_index(index).unwrap();
        let name = part.name().unwrap().into_owned();
        let mut bytes = Vec::new();
        std::io::Read::read_to_end(&mut part, &mut bytes).unwrap();
        if name.contains("worksheets") {
            bytes = sheet.as_bytes().to_vec();
        }
        parts.push((name, bytes));
    }
    let parts: Vec<(&str, &[u8])> =
        parts.iter().map(|(name, bytes)| (name.as_str(), bytes.as_slice())).collect();
    assert_eq!(load(&archive(&parts)).text(0, "mark"), Some("T1"));
}

/// An `OpenDocument` workbook with this inside its spreadsheet element.
fn ods(inside: &str) -> Vec<u8> {
    let content = format!(
        "<office:document-content><office:body><office:spreadsheet>{inside}</office:spreadsheet>\
         </office:body></office:document-content>"
    );
    archive(&[
        ("mimetype", b"application/vnd.oasis.opendocument.spreadsheet"),
        ("META-INF/manifest.xml", b"<manifest:manifest/>"),
        ("content.xml", content.as_bytes()),
    ])
}

fn load_ods(inside: &str) -> Read {
    load_with("schedule.ods", &ods(inside), Budget::default()).unwrap()
}

#[test]
fn open_document_sheets_are_read() {
    let read = load_ods(
        r##"<table:tracked-changes><table:deletion><table:table-row/></table:deletion></table:tracked-changes>
        <table:table table:name="History"><table:table-column/>
        <table:table-header-rows><table:table-row>
          <table:table-cell office:value-type="string"><text:p>Tendon</text:p><office:annotation><text:p>a note</text:p></office:annotation></table:table-cell>
          <table:table-cell office:value-type="string"><text:p>On</text:p></table:table-cell>
          <table:table-cell office:value-type="string"><text:p>R &amp;<text:s text:c="2"/>D</text:p><text:p>two</text:p></table:table-cell>
          <table:table-cell table:number-columns-repeated="16000"/>
        </table:table-row></table:table-header-rows>
        <table:table-row table:number-rows-repeated="3"><table:table-cell table:number-columns-repeated="16384"/></table:table-row>
        <table:table-row table:number-rows-repeated="2">
          <table:table-cell office:value-type="string"><text:p>T1</text:p></table:table-cell>
          <table:table-cell office:value-type="date" office:date-value="2031-06-01"><text:p>1 June</text:p></table:table-cell>
          <table:table-cell office:value-type="float" office:value="2.5"><text:p>2,5</text:p></table:table-cell>
        </table:table-row>
        <table:table-row><table:covered-table-cell/><table:table-cell table:formula="of:=1/0" office:value-type="string" office:string-value="" calcext:value-type="error"><text:p>#DIV/0!</text:p></table:table-cell>
          <table:table-cell table:formula="of:=[.A1]"/></table:table-row>
        <table:table-row table:number-rows-repeated="1048569"><table:table-cell table:number-columns-repeated="16384"/></table:table-row>
        </table:table>"##,
    );
    let header: Vec<_> = read.tables[0].columns.iter().map(|column| &*column.header).collect();
    assert_eq!(header, ["Tendon", "On", "R &  D\ntwo"]);
    assert_eq!(read.records.len(), 3);
    assert!(matches!((read.records[0].at, read.records[1].at), (At::Row(4), At::Row(5))));
    assert_eq!(read.records[1].links[0].as_deref(), Some("T1"));
    assert_eq!(read.text(1, "on"), Some("2031-06-01"));
    assert_eq!(read.number(1, "extra.R &  D\ntwo"), Some(2.5));
    let said: Vec<_> = read.problems.iter().map(|p| p.why.as_str()).collect();
    assert!(said[1].contains("#DIV/0!"), "{said:?}");
    assert_eq!(read.text(2, "extra.R &  D\ntwo"), Some("=[.A1]"));
}

#[test]
fn binary_workbooks_are_read_and_errors_of_formulas_are_said() {
    let bytes = binary::workbook(&binary::sheet());
    let read = load_with("schedule.xlsb", &bytes, Budget::default()).unwrap();
    assert_eq!((read.text(0, "mark"), read.number(0, "strand_count")), (Some("T1"), Some(19.0)));
    assert_eq!(read.number(0, "order"), None);
    assert!(read.problem().why.contains("error"), "{}", read.problem().why);
}

#[test]
fn looks_in_binary_workbooks_are_seen() {
    let bytes = binary::book("List", &binary::list(), &binary::styles());
    let read = load_with("list.xlsb", &bytes, Budget::default()).unwrap();
    let marks: Vec<_> = (0..read.records.len()).filter_map(|at| read.text(at, "mark")).collect();
    assert_eq!(marks, ["T1", "T2", "T4"], "a struck row is left out");
    assert_eq!(read.text(1, "web"), Some("Left"), "it is merged with the cell above");
    assert_eq!(read.number(0, "stressing.jacking_force_kn"), Some(3900.0));
    assert!(read.questions.is_empty(), "{:?}", read.questions);
    let why: Vec<_> = read.problems.iter().map(|problem| problem.why.as_str()).collect();
    for said in ["read with what is hidden in it: row 5 and column E", "struck"] {
        assert!(why.iter().any(|why| why.contains(said)), "{said}: {why:?}");
    }
}

#[test]
fn old_workbooks_are_read() {
    let bytes = old::workbook(
        &[],
        &[
            old::dimensions(4, 2),
            old::text(2, 1, "Mark"),
            old::text(2, 2, "Strand count"),
            old::text(3, 1, "T1"),
            old::number(3, 2, 19.0),
        ],
    );
    let read = load_with(XLS, &bytes, Budget::default()).unwrap();
    assert_eq!((read.text(0, "mark"), read.number(0, "strand_count")), (Some("T1"), Some(19.0)));
    assert!(matches!(read.records[0].at, At::Row(3)));
    assert_eq!(read.tables[0].columns[0].index, 1);
}

#[test]
fn old_workbooks_that_ask_for_too_much_are_refused() {
    let refused = |bytes: &[u8]| common::refused(XLS, bytes).1;
    let why = "its sheets reach over many more cells than hold something";
    let far = [old::number(0, 0, 1.0), old::number(65_535, 255, 1.0)];
    assert_eq!(refused(&old::workbook(&[], &far)), why);
    for (rows, columns) in [(u32::MAX, 256), (u32::MAX, u16::MAX), (1 << 31, 4)] {
        assert_eq!(refused(&old::workbook(&[], &[old::dimensions(rows, columns)])), why);
    }
    let locked = [0x2f, 0, 4, 0, 0, 0, 1, 2];
    assert!(refused(&old::workbook(&locked, &[])).contains("encrypted"));
    assert!(refused(&old::container("EncryptedPackage", b"x")).contains("encrypted"));
    assert!(refused(&old::container("WordDocument", b"x")).contains("text document"));
    assert!(refused(&old::container("Something", b"x")).contains("without a workbook"));

    // The directory's chain of sectors runs in a circle.
    let mut circle = old::workbook(&[], &[]);
    circle[512 + 4..512 + 8].copy_from_slice(&1_u32.to_le_bytes());
    assert!(refused(&circle).contains("circle"));
    let mut short = old::workbook(&[], &[]);
    short.truncate(600);
    assert!(refused(&short).contains("cut short"));
}

#[test]
fn of_two_cells_in_one_place_the_first_is_kept_and_the_other_is_said() {
    let read = load(&tendons(
        &["Mark", "Strand count", "Order"],
        r#"<row r="2"><c r="A2" t="str"><v>T1</v></c><c r="B2"><v>19</v></c><c r="B2"><v>22</v></c><c r="A2"><v>9</v></c><c r="C2"><v>3</v></c></row>
           <row r="3"><c r="A3" t="str"><v>T2</v></c></row>"#,
    ));
    assert_eq!(read.number(0, "strand_count"), Some(19.0));
    assert_eq!(read.number(0, "order"), Some(3.0));
    assert_eq!(read.text(1, "mark"), Some("T2"));
    let problem = read.problem();
    assert_eq!((problem.kind, problem.given.as_deref()), (ProblemKind::ValueLost, Some("22")));
    assert!(problem.why.starts_with("2 cells stand in row 2"), "{}", problem.why);
}

#[test]
fn a_row_has_no_more_cells_than_a_sheet_has_columns() {
    let cells = "<c><v>1</v></c>".repeat(20_000);
    let read = load(&tendons(
        &["Mark", "Strand count"],
        &format!(
            r#"<row r="2"><c r="A2" t="str"><v>T1</v></c><c r="B2"><v>19</v></c>{cells}</row>"#
        ),
    ));
    assert_eq!(read.number(0, "strand_count"), Some(19.0));
    assert_eq!(read.value(0, "extra").unwrap().as_fields().unwrap().len(), 16_382);
    let lost: Vec<_> =
        read.problems.iter().filter(|problem| problem.kind == ProblemKind::ValueLost).collect();
    assert_eq!(lost.len(), 1);
    assert!(lost[0].why.starts_with("3618 cells stand in row 2"), "{}", lost[0].why);
}

#[test]
fn brackets_of_a_field_without_a_unit_hold_what_changes_no_number_or_are_said() {
    let headers =
        ["Mark [T]", "Strand count [-]", "Minimum area ratio [%]", "Order [mm²]", "Stands at [x]"];
    let below = r#"<row r="2"><c r="A2" t="str"><v>T1</v></c><c r="B2"><v>19</v></c><c r="C2"><v>25</v></c><c r="D2"><v>4</v></c></row>"#
        .to_owned()
        + &row(3, &["T2", "19", "25 %", "", ""])
        + &row(4, &["T3", "19", "40", "", ""]);
    let data = row(1, &headers) + &below;
    let read = load(&Made::new(&[("Tendons", &data)]).bytes());
    assert_eq!(read.text(0, "mark"), Some("T1"));
    assert_eq!(read.number(0, "strand_count"), Some(19.0));
    let said: Vec<_> = read.problems.iter().map(|p| (p.kind, p.subject.as_str())).collect();
    assert!(said.contains(&(ProblemKind::ValueDoubtful, "Tendons: Mark [T]")), "{said:?}");
    assert!(said.contains(&(ProblemKind::ValueLost, "Tendons: Order [mm²]")), "{said:?}");

    let read = load(&tendons(
        &["Mark", "Strand count [per cent]", "Order [ 1 ]"],
        &row(2, &["T1", "19", "3"]),
    ));
    assert_eq!((read.number(0, "strand_count"), read.number(0, "order")), (None, Some(3.0)));
    assert_eq!(read.problem().kind, ProblemKind::ValueLost);
}

#[test]
fn hundredths_are_hundredths() {
    let data = row(1, &["Id", "Colour", "Dimension ratio [%]"])
        + r#"<row r="2"><c r="A2" t="str"><v>D</v></c><c r="C2"><v>25</v></c></row>"#
        + &row(3, &["E", "", "25 %"])
        + &row(4, &["F", "", "25"]);
    let read = load(&Made::new(&[("Ducts", &data)]).bytes());
    let column = read.tables[0].columns.iter().find(|column| column.index == 2).unwrap();
    let path = column.path.join(".");
    for record in 0..3 {
        assert_eq!(read.number(record, &path), Some(0.25), "{path} {:#?}", read.problems);
    }
    assert_eq!(read.records[0].texts, [(2, "25".into())]);
}

#[test]
fn marks_that_are_numbers_stay_apart() {
    let read = load(&tendons(
        &["Mark", "Strand count"],
        r#"<row r="2"><c r="A2"><v>1234567890123</v></c></row><row r="3"><c r="A3"><v>1234567890124</v></c></row>
           <row r="4"><c r="A4"><v>1.2345678901234</v></c></row><row r="5"><c r="A5"><v>4.0999999999999996</v></c></row>"#,
    ));
    let marks: Vec<_> = (0..4).filter_map(|record| read.text(record, "mark")).collect();
    assert_eq!(marks, ["1234567890123", "1234567890124", "1.2345678901234", "4.1"]);
}

#[test]
fn a_sheet_of_one_header_over_and_over_is_read_at_once() {
    let header = r#"<c t="inlineStr"><is><t>Remark of the site</t></is></c>"#.repeat(16_382);
    let data = format!(
        r#"<row r="1"><c r="A1" t="inlineStr"><is><t>Mark</t></is></c><c r="B1" t="inlineStr"><is><t>Strand count</t></is></c>{header}</row>"#
    ) + &row(2, &["T1", "19", "a", "b", "c"]);
    let before = std::time::Instant::now();
    let read = load(&Made::new(&[("Tendons", &data)]).bytes());
    // Each header looked for among all before it takes minutes.
    assert!(before.elapsed().as_secs() < 20, "{:?}", before.elapsed());
    assert_eq!(read.problems.len(), 16_382);
    assert_eq!(read.text(0, "extra.Remark of the site"), Some("a"));
    assert_eq!(read.text(0, "extra.Remark of the site (2)"), Some("b"));
    assert_eq!(read.text(0, "extra.Remark of the site (3)"), Some("c"));
}

#[test]
fn a_count_is_written_in_digits() {
    let read = load(&tendons(
        &["Mark", "Strand count"],
        &(row(2, &["T1", "38/2"])
            + &row(3, &["T2", "1900%"])
            + &row(4, &["T3", " 19.0 "])
            + &row(5, &["T4", "19½"])
            + &row(6, &["T5", "1e1"])
            + &row(7, &["T6", "-19"])),
    ));
    let counts: Vec<_> = (0..6).map(|record| read.number(record, "strand_count")).collect();
    assert_eq!(counts, [None, None, Some(19.0), None, None, None]);
    assert_eq!(read.problems.len(), 5);
}

#[test]
fn a_header_that_is_the_name_of_a_field_states_its_unit() {
    let data = row(1, &["Tendon", "station_m", "Radius (ft)"])
        + r#"<row r="2"><c r="A2" t="str"><v>T1</v></c><c r="B2"><v>12.5</v></c><c r="C2"><v>10</v></c></row>"#;
    let read = load(&Made::new(&[("Points", &data)]).bytes());
    assert_eq!(read.number(0, "station_m"), Some(12.5));
    assert!(read.problems.is_empty(), "{:#?}", read.problems);
    assert_eq!(read.tables[0].columns[1].unit.unwrap().symbol, "m");
    let read = load(&Made::new(&[("Points", &data.replace("station_m", "Station"))]).bytes());
    assert_eq!(read.number(0, "station_m"), None);
}

#[test]
fn a_sheet_of_the_layout_under_another_name_is_lost_and_others_are_foreign() {
    let tendons = row(1, &["Mark", "Strand count"]) + &row(2, &["T1", "19"]);
    let deviators = row(1, &["as of May"]) + &row(2, &["Tendon", "Place"]) + &row(3, &["T1", "D1"]);
    let by_headers =
        row(1, &["Tendon", "End", "Tail [mm]", "Jack"]) + &row(2, &["T1", "a", "5", "J"]);
    let text = row(1, &["What the site says of the deviators"]);
    let sheets = [
        ("Tendons", tendons.as_str()),
        ("Deviator", &deviators),
        ("Deviators (2)", &deviators),
        ("Deviators old", &deviators),
        ("North abutment", &by_headers),
        ("Formulas", &text),
        ("Project notes", &text),
        ("Sheet9", ""),
    ];
    let read = load(&Made::new(&sheets).bytes());
    let said: Vec<_> = read.problems.iter().map(|p| (p.kind, p.subject.as_str())).collect();
    use ProblemKind::{SheetLost, SheetUnknown};
    assert_eq!(
        said,
        [
            (SheetLost, "Deviator"),
            (SheetLost, "Deviators (2)"),
            (SheetLost, "Deviators old"),
            (SheetLost, "North abutment"),
            (SheetUnknown, "Formulas"),
            (SheetUnknown, "Project notes"),
            (SheetUnknown, "Sheet9"),
        ]
    );
    assert!(read.problems[3].why.contains("\"Ends\""), "{}", read.problems[3].why);
}

#[test]
fn a_sheet_beside_the_layout_that_cannot_be_read_costs_only_itself() {
    let data = row(1, &["Mark", "Strand count"]) + &row(2, &["T1", "19"]);
    let read =
        load(&Made::new(&[("My notes", "<row r='1'><c r='A1'><v>"), ("Tendons", &data)]).bytes());
    assert_eq!(read.text(0, "mark"), Some("T1"));
    assert_eq!(read.problem().kind, ProblemKind::SheetUnknown);
}

#[test]
fn looks_of_old_workbooks_tell_units_and_what_is_struck_and_hidden() {
    let looks =
        old::looks(&[("", false), ("#,##0.0\" kN\"", false), ("0.00\" m\"", false), ("", true)]);
    let struck = |row: u16, column: u16, text: &str| {
        let mut cell = old::text(row, column, text);
        cell[8] = 3;
        cell
    };
    let cells = [
        old::dimensions(5, 4),
        old::hidden_row(3),
        old::text(0, 0, "Tendon No."),
        old::text(0, 1, "No. of strands"),
        old::text(0, 2, "Force at jack"),
        old::text(0, 3, "Tendon length"),
        old::text(1, 0, "K1"),
        old::number(1, 1, 19.0),
        old::number_with(1, 2, 3000.0, 1),
        old::number_with(1, 3, 40.5, 2),
        struck(2, 0, "K2"),
        struck(2, 1, "void"),
        old::text(3, 0, "K3"),
        old::number(3, 1, 19.0),
        old::number_with(3, 2, 2990.0, 1),
        old::number_with(3, 3, 40.6, 2),
    ];
    let read = load_with(XLS, &old::workbook(&looks, &cells), Budget::default()).unwrap();
    assert!(read.questions.is_empty(), "{:?}", read.questions);
    let tendons: Vec<_> =
        read.records.iter().filter(|one| one.fields.get("mark").is_some()).collect();
    assert_eq!(tendons.len(), 2);
    let force = tendons[0].fields.get("stressing").and_then(restrand_model::Value::as_fields);
    let force = force.and_then(|fields| fields.get("jacking_force_kn"));
    assert_eq!(force, Some(&restrand_model::Value::Number(3000.0)));
    assert_eq!(tendons[1].fields.get("length_m"), Some(&restrand_model::Value::Number(40.6)));
    let said = |words: &str| read.problems.iter().any(|one| one.why.contains(words));
    assert!(said("it is struck through") && said("hidden"), "{:?}", read.problems);
}

#[test]
fn a_run_of_numbers_that_stands_beyond_the_last_column_is_borne() {
    let run = [0_u16, 0xFFFF, 0, 0, 0, 0, 0, 0, 0xFFFF];
    let fields: Vec<u8> = run.iter().flat_map(|word| word.to_le_bytes()).collect();
    let cells = [
        old::dimensions(2, 2),
        old::text(0, 0, "Tendon No."),
        old::text(0, 1, "No. of strands"),
        old::text(1, 0, "K1"),
        old::number(1, 1, 19.0),
        [
            &0x00BD_u16.to_le_bytes()[..],
            &u16::try_from(fields.len()).unwrap().to_le_bytes(),
            &fields,
        ]
        .concat(),
    ];
    let looks = old::looks(&[("", false)]);
    // Refused or read: it does not end the program.
    let _ = load_with(XLS, &old::workbook(&looks, &cells), Budget::default());
}

#[test]
fn a_part_of_a_text_that_is_struck_through_is_no_part_of_its_value() {
    const STRUCK: &str = "<rPr><strike/></rPr>";
    let own =
        |cell: &str, runs: &str| format!(r#"<c r="{cell}" t="inlineStr"><is>{runs}</is></c>"#);
    let data = [
        row(1, &["Tendon No.", "No. of strands", "Force at jack (kN)", "Filler"]),
        format!(
            r#"<row r="2">{}{}<c r="C2" t="s"><v>1</v></c>{}</row>"#,
            own("A2", "<t>K1</t>"),
            own("B2", &format!("<r>{STRUCK}<t>19</t></r><r><t xml:space=\"preserve\"> 22</t></r>")),
            own("D2", &format!("<r>{STRUCK}<t>wax</t></r>")),
        ),
        row(3, &["K2", "19", "3900", "wax"]),
    ]
    .concat();
    let texts = format!(
        "<sst><si><t>3700</t></si><si><r>{STRUCK}<t>3900</t></r><r><t>4500</t></r></si></sst>"
    );
    let sheets = [("List", data.as_str())];
    let made = Made { texts: Some(&texts), ..Made::new(&sheets) };
    let read = load(&made.bytes());
    assert_eq!((read.text(0, "mark"), read.number(0, "strand_count")), (Some("K1"), Some(22.0)));
    assert_eq!(read.number(0, "stressing.jacking_force_kn"), Some(4500.0));
    assert_eq!((read.text(0, "filler"), read.text(1, "filler")), (None, Some("wax")));
    let said = |given: &str| {
        let is_said = |one: &&restrand_model::reading::Problem| one.given.as_deref() == Some(given);
        read.problems.iter().any(|one| is_said(&one) && one.why.contains("no part of its value"))
    };
    assert!(said("19") && said("3900"), "{:?}", read.problems);
}
