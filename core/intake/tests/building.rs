//! From frames to a schedule: what is kept, what is lost, and where each thing is said to stand.

use restrand_intake::{Builder, Reading};
use restrand_kit::{At, Frame, Frames, LoadError, RecordFrame};
use restrand_model::quantity::of_field;
use restrand_model::reading::{Column, Place, ProblemKind, Span, Table};
use restrand_model::route::{Names, Route};
use restrand_model::value::{Fields, Name, Value};

fn column(index: u32, header: &str, path: &[&'static str]) -> Column {
    Column { index, header: header.into(), path: path.to_vec(), unit: None, link: path.is_empty() }
}

fn sheet(list: &str, columns: Vec<Column>) -> Frame {
    Frame::Table(Table {
        part: "a.xlsx".into(),
        sheet: Some(list.into()),
        list: list.into(),
        columns,
        ..Table::default()
    })
}

fn list(name: &str) -> Frame {
    Frame::Table(Table { part: "a.json".into(), list: name.into(), ..Table::default() })
}

fn fields(json: &str) -> Fields {
    match serde_json::from_str(json).expect("the test's own JSON") {
        Value::Fields(fields) => fields,
        other => panic!("{other:?} is no record"),
    }
}

fn row(table: u32, row: u32, links: &[&str], json: &str) -> Frame {
    Frame::Record(RecordFrame {
        table,
        at: At::Row(row),
        links: links.iter().map(|link| (!link.is_empty()).then(|| (*link).into())).collect(),
        fields: fields(json),
        texts: Vec::new(),
        apart: Vec::new(),
    })
}

fn item(table: u32, start: u64, json: &str) -> Frame {
    let end = start + json.len() as u64;
    Frame::Record(RecordFrame {
        table,
        at: At::Span(Span { start, end }),
        links: Vec::new(),
        fields: fields(json),
        texts: Vec::new(),
        apart: Vec::new(),
    })
}

fn build(frames: Vec<Frame>) -> Reading {
    let mut builder = Builder::new();
    for frame in frames {
        builder.take(frame).expect("a builder takes every frame");
    }
    builder.finish(Ok(())).expect("the frames have few problems")
}

#[test]
fn rows_of_other_sheets_find_their_tendon_wherever_they_stand() {
    let reading = build(vec![
        sheet("Points", vec![column(0, "Tendon", &[]), column(1, "Station [m]", &["station_m"])]),
        row(0, 1, &["T2"], r#"{"station_m": 10}"#),
        row(0, 2, &["T1"], r#"{"station_m": 20}"#),
        sheet("Tendons", vec![column(0, "Mark", &["mark"])]),
        row(1, 1, &[], r#"{"mark": "T1"}"#),
        row(1, 2, &[], r#"{"mark": "T2"}"#),
        sheet("Ends", vec![column(0, "Tendon", &[]), column(1, "End", &[])]),
        row(2, 1, &["T1", "B"], r#"{"removal_space": {"behind_mm": 1900}}"#),
    ]);
    assert_eq!(reading.problems, []);
    let tendons = &reading.schedule.tendons;
    assert_eq!(tendons[0].points[0].station_m, Some(20.0));
    assert_eq!(tendons[1].points[0].station_m, Some(10.0));
    let end = tendons[0].ends.as_ref().unwrap().b.as_ref().unwrap();
    assert_eq!(end.removal_space.as_ref().unwrap().behind_mm, Some(1900.0));
    assert_eq!(reading.counts.records, 5);
    assert_eq!(reading.counts.records_lost, 0);
}

#[test]
fn many_rows_are_joined_in_their_order_though_a_record_comes_late() {
    let mut frames = vec![
        sheet("Tendons", vec![column(0, "Mark", &["mark"])]),
        row(0, 1, &[], r#"{"mark": "T1"}"#),
        sheet("Ends", vec![column(0, "Tendon", &[]), column(1, "End", &[])]),
        row(1, 1, &["T1", "a"], r#"{"tail_mm": 40}"#),
        sheet("Points", vec![column(0, "Tendon", &[]), column(1, "Station [m]", &["station_m"])]),
    ];
    let stations = |of: &str, from: u32, to: u32| {
        (from..to)
            .map(|number| row(2, number, &[of], &format!(r#"{{"station_m": {number}}}"#)))
            .collect::<Vec<_>>()
    };
    // Several times as many as are joined at once, before and behind the one whose tendon is not there yet.
    frames.extend(stations("T1", 0, 700));
    frames.extend(stations("T2", 700, 701));
    frames.extend(stations("T1", 701, 1400));
    frames.push(sheet("Ends", vec![column(0, "Tendon", &[]), column(1, "End", &[])]));
    frames.push(row(3, 1, &["T1", "a"], r#"{"tail_mm": 45}"#));
    frames.push(sheet("Tendons", vec![column(0, "Mark", &["mark"])]));
    frames.push(row(4, 1, &[], r#"{"mark": "T2"}"#));
    // A second tendon of the name takes no rows.
    frames.push(row(4, 2, &[], r#"{"mark": "T1"}"#));
    frames.extend(stations("T1", 1400, 2000));
    let reading = build(frames);
    let of = |tendon: usize| {
        let points = &reading.schedule.tendons[tendon].points;
        points.iter().filter_map(|point| point.station_m).collect::<Vec<_>>()
    };
    let expected: Vec<_> = (0..2000).filter(|number| *number != 700).map(f64::from).collect();
    assert_eq!(of(0), expected);
    assert_eq!(of(1), [700.0]);
    assert!(of(2).is_empty());
    // The end that came first holds.
    let [problem] = &*reading.problems else { panic!("{:?}", reading.problems) };
    assert_eq!(problem.kind, ProblemKind::RecordLost);
    let end = reading.schedule.tendons[0].ends.as_ref().and_then(|ends| ends.a.as_ref());
    assert_eq!(end.and_then(|end| end.tail_mm), Some(40.0));
}

#[test]
fn a_route_leads_to_the_cell_and_an_absent_value_to_the_row() {
    let reading = build(vec![
        sheet("Tendons", vec![column(0, "Mark", &["mark"])]),
        row(0, 7, &[], r#"{"mark": "T1"}"#),
        sheet(
            "Ends",
            vec![
                column(0, "Tendon", &[]),
                column(1, "End", &[]),
                column(4, "Removal space behind [mm]", &["removal_space", "behind_mm"]),
            ],
        ),
        row(1, 3, &["T1", "a"], r#"{"removal_space": {"behind_mm": 1900}}"#),
    ]);
    let behind =
        Route::to("tendons", 0).field("ends").field("a").field("removal_space").field("behind_mm");
    let place = |route: &Route| {
        let (origin, path) = route.source(&reading.schedule);
        reading.provenance.place(origin, &path).unwrap()
    };
    let cell =
        |row, column| Place::Cell { part: "a.xlsx".into(), sheet: "Ends".into(), row, column };
    assert_eq!(place(&behind), cell(3, Some(4)));
    let up = Route::to("tendons", 0).field("ends").field("a").field("tail_mm");
    assert_eq!(place(&up), cell(3, None));
    let names = Names::of(&reading.schedule);
    assert_eq!(
        names.show(&behind, &reading.schedule),
        "tendons[T1].ends.a.removal_space.behind_mm"
    );
}

#[test]
fn a_bad_value_is_left_out_and_the_rest_of_its_record_stays() {
    let reading = build(vec![
        sheet(
            "Tendons",
            vec![column(0, "Mark", &["mark"]), column(1, "Strand count", &["strand_count"])],
        ),
        row(0, 1, &[], r#"{"mark": "T1", "strand_count": -19}"#),
        row(0, 2, &[], r#"{"mark": "T2", "strand_count": 19}"#),
    ]);
    let tendons = &reading.schedule.tendons;
    assert_eq!(tendons[0].mark.as_deref(), Some("T1"));
    assert_eq!(tendons[0].strand_count, None);
    assert_eq!(tendons[1].strand_count, Some(19));
    let [problem] = reading.problems.as_slice() else { panic!("{:?}", reading.problems) };
    assert_eq!(problem.kind, ProblemKind::ValueLost);
    assert_eq!(problem.subject, "tendon.strand_count");
    assert_eq!(problem.given.as_deref(), Some("-19"));
    assert!(matches!(problem.place, Place::Cell { row: 1, column: Some(1), .. }));
    assert_eq!(reading.counts.values_lost, 1);
}

#[test]
fn a_value_no_bridge_has_is_refused() {
    for (json, needed) in [
        (r#"{"id": "D", "outer_mm": 1e308}"#, "more than any bridge has"),
        (r#"{"id": "D", "outer_mm": 0}"#, "greater than 0"),
        (r#"{"id": "D", "outer_mm": "wide"}"#, "a number is needed"),
        (r#"{"id": "D", "material": "wood"}"#, "not one of the words"),
    ] {
        let reading = build(vec![list("ducts"), item(0, 0, json)]);
        let [problem] = reading.problems.as_slice() else {
            panic!("{json}: {:?}", reading.problems)
        };
        assert_eq!(problem.kind, ProblemKind::ValueLost, "{json}");
        assert!(problem.why.contains(needed), "{json}: {}", problem.why);
        assert_eq!(reading.schedule.ducts[0].outer_mm, None);
    }
}

#[test]
fn an_unknown_member_is_said_and_kept() {
    let json = r#"{"id": "D", "outer_m": 1, "extra": {"colour": "black"}}"#;
    let reading = build(vec![list("ducts"), item(0, 40, json)]);
    let [problem] = reading.problems.as_slice() else { panic!("{:?}", reading.problems) };
    assert_eq!(problem.kind, ProblemKind::Unknown);
    assert!(problem.help.contains("outer_mm"), "{}", problem.help);
    let extra = &reading.schedule.ducts[0].extra;
    assert_eq!(extra.get("colour"), Some(&Value::from("black")));
    assert_eq!(extra.get("outer_m"), Some(&Value::Number(1.0)));
    assert_eq!(
        problem.place,
        Place::Text {
            part: "a.json".into(),
            span: Span { start: 40, end: 40 + json.len() as u64 },
            path: vec!["outer_m".into()],
        }
    );
}

#[test]
fn of_two_bad_items_of_one_list_both_go_and_the_good_one_stays() {
    let json = r#"{"mark": "T", "points": [7, {"station_m": 5}, "x", {"station_m": "y"}]}"#;
    let reading = build(vec![list("tendons"), item(0, 0, json)]);
    let points = &reading.schedule.tendons[0].points;
    assert_eq!(points.len(), 2);
    assert_eq!(points[0].station_m, Some(5.0));
    assert_eq!(points[1].station_m, None);
    assert_eq!(reading.problems.len(), 3);
}

#[test]
fn a_row_without_its_owner_is_counted_as_not_checked() {
    let reading = build(vec![
        sheet("Tendons", vec![column(0, "Mark", &["mark"])]),
        row(0, 1, &[], r#"{"mark": "T11L"}"#),
        sheet("Ends", vec![column(0, "Tendon", &[]), column(1, "End", &[])]),
        row(1, 1, &["T1IL", "a"], "{}"),
        row(1, 2, &["T11L", ""], "{}"),
        row(1, 3, &["T11L", "c"], "{}"),
        row(1, 4, &["T11L", "a"], "{}"),
        row(1, 5, &["T11L", "a"], "{}"),
    ]);
    let kinds: Vec<_> = reading.problems.iter().map(|problem| problem.kind).collect();
    assert_eq!(
        kinds,
        [
            ProblemKind::OwnerMissing,
            ProblemKind::RecordLost,
            ProblemKind::OwnerMissing,
            ProblemKind::RecordLost
        ]
    );
    assert!(reading.problems[0].help.contains("T11L"));
    assert_eq!(reading.counts.records_lost, 4);
    assert!(matches!(reading.problems[0].place, Place::Cell { row: 1, column: Some(0), .. }));
}

#[test]
fn a_row_whose_place_is_taken_says_by_which_and_is_kept_to_be_shown() {
    let reading = build(vec![
        sheet("Tendons", vec![column(0, "Mark", &["mark"])]),
        row(0, 1, &[], r#"{"mark": "T11L"}"#),
        sheet("Ends", vec![column(0, "Tendon", &[]), column(1, "End", &[])]),
        row(1, 1, &["T11L", "a"], r#"{"tail_mm": 40, "stub_pulls": 2}"#),
        row(1, 2, &["T11L", "a"], r#"{"tail_mm": 45}"#),
        row(1, 3, &["T11L", "a"], r#"{"tail_mm": 40, "stub_pulls": 2}"#),
    ]);
    let why: Vec<_> = reading.problems.iter().map(|problem| problem.why.as_str()).collect();
    assert_eq!(
        why,
        [
            "row 2 states it already, and differs in tail, stub pulls",
            "row 2 says the same of it already"
        ]
    );
    // The row is meant, not one of its cells.
    assert!(matches!(reading.problems[0].place, Place::Cell { row: 2, column: None, .. }));
    let held: Vec<_> =
        reading.lost.iter().map(|lost| lost.record.get("tail_mm").to_value()).collect();
    assert_eq!(held, [Some(Value::Number(45.0)), Some(Value::Number(40.0))]);
    assert_eq!(reading.lost[0].links, [("Tendon", "T11L".into()), ("End", "a".into())]);
}

#[test]
fn a_second_project_is_said_with_what_it_holds() {
    let reading = build(vec![
        sheet("Project", vec![column(0, "Bridge", &["bridge"])]),
        row(0, 1, &[], r#"{"bridge": "One"}"#),
        row(0, 2, &[], r#"{"bridge": "Other", "owner": "x"}"#),
    ]);
    let [problem] = reading.problems.as_slice() else { panic!("{:?}", reading.problems) };
    assert_eq!(problem.kind, ProblemKind::RecordLost);
    assert_eq!(problem.why, "Project has two rows of values, and takes one; row 2 is read");
    assert_eq!(problem.given.as_deref(), Some("bridge: Other; owner: x"));
    assert!(matches!(problem.place, Place::Cell { row: 2, .. }));
    assert_eq!(reading.schedule.project.as_ref().unwrap().bridge.as_deref(), Some("One"));
    assert_eq!(reading.lost.len(), 1);
}

#[test]
fn where_no_name_is_near_the_few_that_there_are_are_listed() {
    let reading = build(vec![
        sheet("Tendons", vec![column(0, "Mark", &["mark"])]),
        row(0, 1, &[], r#"{"mark": "T11L"}"#),
        row(0, 2, &[], r#"{"mark": "T12L"}"#),
        sheet("Ends", vec![column(0, "Tendon", &[]), column(1, "End", &[])]),
        row(1, 1, &["X", "a"], "{}"),
        row(1, 2, &["t11l", "a"], "{}"),
    ]);
    assert!(reading.problems[0].help.contains("there are: T11L, T12L"), "{:?}", reading.problems);
    assert!(reading.problems[1].help.contains("did you mean \"T11L\"?"), "{:?}", reading.problems);
}

#[test]
fn the_number_of_a_cell_is_quoted_as_it_was_typed() {
    let reading = build(vec![
        sheet(
            "Ducts",
            vec![
                column(0, "Id", &["id"]),
                Column { unit: of_field("outer_mm").1, ..column(1, "Outer [mm]", &["outer_mm"]) },
            ],
        ),
        row(0, 1, &[], r#"{"id": "D", "outer_mm": -125}"#),
    ]);
    assert_eq!(reading.problems[0].given.as_deref(), Some("-125"));
}

#[test]
fn a_tendon_listed_from_the_far_end_is_turned_round() {
    let tendon = r#"{
        "mark": "T",
        "points": [{"station_m": 140}, {"station_m": 113}, {"station_m": 100}],
        "ends": {"a": {"place": "P2", "tail_mm": 1}, "b": {"place": "A1", "tail_mm": 2}},
        "stressing": {"from": "a", "elongation_a_mm": 250, "elongation_b_mm": 0}
    }"#;
    let reading = build(vec![
        list("tendons"),
        item(0, 0, tendon),
        list("places"),
        item(1, 0, r#"{"id": "A1", "station_m": 100}"#),
        item(1, 0, r#"{"id": "P2", "station_m": 140}"#),
    ]);
    let tendon = &reading.schedule.tendons[0];
    let stations: Vec<_> = tendon.points.iter().filter_map(|point| point.station_m).collect();
    assert_eq!(stations, [100.0, 113.0, 140.0]);
    let ends = tendon.ends.as_ref().unwrap();
    assert_eq!(ends.a.as_ref().unwrap().tail_mm, Some(2.0));
    assert_eq!(ends.b.as_ref().unwrap().tail_mm, Some(1.0));
    let stressing = tendon.stressing.as_ref().unwrap();
    assert_eq!(stressing.from, Some(restrand_model::schedule::StressingFrom::B));
    assert_eq!(stressing.elongation_b_mm, Some(250.0));
}

#[test]
fn what_is_turned_round_in_a_document_keeps_its_place() {
    let tendon = r#"{
        "mark": "T",
        "points": [{"station_m": 140}, {"station_m": 113}, {"station_m": 100, "radius_m": -1}],
        "ends": {"a": {"place": "P2", "tail_mm": "long"}, "b": {"place": "A1"}},
        "deviators": [{"place": "D2"}, {"place": "D1", "force_kn": 3}]
    }"#;
    let reading = build(vec![
        list("places"),
        item(0, 0, r#"{"id": "A1", "station_m": 100}"#),
        item(0, 40, r#"{"id": "P2", "station_m": 140}"#),
        item(0, 80, r#"{"id": "D1", "station_m": 110}"#),
        item(0, 120, r#"{"id": "D2", "station_m": 120}"#),
        list("tendons"),
        item(1, 200, tendon),
    ]);
    let way = |route: Route| {
        let (origin, path) = route.source(&reading.schedule);
        match reading.provenance.place(origin, &path) {
            Some(Place::Text { span, path, .. }) => {
                assert_eq!(span.start, 200);
                path.join("/")
            }
            place => panic!("{place:?}"),
        }
    };
    let tendon = Route::to("tendons", 0);
    let end = |name| tendon.field("ends").field(name).field("tail_mm");
    assert_eq!(way(end("a")), "ends/b/tail_mm");
    assert_eq!(way(end("b")), "ends/a/tail_mm");
    assert_eq!(way(tendon.field("points").item(0).field("radius_m")), "points/2/radius_m");
    assert_eq!(way(tendon.field("deviators").item(0).field("force_kn")), "deviators/1/force_kn");
    // What was lost speaks of the record that lost it, wherever that stands now.
    let b = reading.schedule.tendons[0].ends.as_ref().unwrap().b.as_ref().unwrap();
    let subjects: Vec<_> = reading.problems.iter().map(|problem| &problem.subject).collect();
    assert_eq!(subjects, ["tendon_point.radius_m", "end.tail_mm"]);
    assert_eq!(reading.problems[1].record.get(), b.origin.get());
}

#[test]
fn a_name_given_twice_is_shown_by_position() {
    let reading = build(vec![
        list("tendons"),
        item(0, 0, r#"{"mark": "T"}"#),
        item(0, 20, r#"{"mark": "T"}"#),
        item(0, 40, r#"{"strand_count": 3}"#),
        item(0, 60, r#"{"mark": "U"}"#),
    ]);
    let names = Names::of(&reading.schedule);
    let shown: Vec<_> =
        (0..4).map(|i| names.show(&Route::to("tendons", i), &reading.schedule)).collect();
    assert_eq!(shown, ["tendons[#1]", "tendons[#2]", "tendons[#3]", "tendons[U]"]);
}

#[test]
fn an_input_with_more_problems_than_anybody_reads_is_refused_with_the_first() {
    let mut builder = Builder::new();
    builder.take(sheet("Tendons", vec![column(0, "Mark", &["mark"])])).unwrap();
    let bad = |number: u32| row(0, number, &[], r#"{"strand_count": "many"}"#);
    let taken = (1..200_000).take_while(|number| builder.take(bad(*number)).is_ok()).count();
    assert_eq!(taken, 100_000);
    let Err(LoadError::Unreadable { place, why, .. }) = builder.finish(Err(LoadError::Stopped))
    else {
        panic!("it is refused");
    };
    assert!(matches!(place, Place::Cell { row: 1, .. }), "{place:?}");
    assert!(why.contains("more than 100,000") && why.contains("tendon.strand_count"), "{why}");
}

#[test]
fn remote_schemas_are_never_asked_for() {
    let schema = serde_json::json!({ "$ref": "https://example.org/x.json" });
    assert!(jsonschema::validator_for(&schema).is_err());
}

#[test]
fn the_texts_of_cells_are_kept_by_row_and_column() {
    let mut builder = Builder::new();
    builder.take(sheet("Ends", vec![])).unwrap();
    builder.take(sheet("Tendons", vec![column(0, "Mark", &["mark"])])).unwrap();
    builder
        .take(Frame::Record(RecordFrame {
            table: 1,
            at: At::Row(4),
            links: Vec::new(),
            fields: [(Name::Known("mark"), Value::from("T"))].into_iter().collect(),
            texts: vec![(0, " T ".into())],
            apart: Vec::new(),
        }))
        .unwrap();
    let reading = builder.finish(Ok(())).unwrap();
    let origin = reading.schedule.tendons[0].origin;
    assert_eq!(reading.provenance.text(origin, 0), Some(" T "));
    assert_eq!(reading.provenance.text(origin, 1), None);
}

#[test]
fn every_schema_is_valid_against_its_meta_schema() {
    assert!(jsonschema::meta::is_valid(&restrand_model::schema::definitions_alone()));
    assert!(jsonschema::meta::is_valid(&restrand_model::schema::schedule()));
}

#[test]
fn a_row_that_names_two_owners_goes_to_neither() {
    let reading = build(vec![
        list("tendons"),
        item(
            0,
            0,
            r#"{"mark": "T", "ends": {"a": {"tail_mm": 1}}, "deviators": [{"place": "D1"}]}"#,
        ),
        sheet(
            "PartOverrides",
            vec![column(0, "Tendon", &[]), column(1, "End", &[]), column(2, "Deviator", &[])],
        ),
        row(1, 1, &["T", "a", "D1"], r#"{"mass_kg": 60}"#),
        row(1, 2, &["T", "a", ""], r#"{"mass_kg": 60}"#),
        row(1, 3, &["T", "", "D1"], r#"{"mass_kg": 900}"#),
    ]);
    let [problem] = reading.problems.as_slice() else { panic!("{:?}", reading.problems) };
    assert_eq!(problem.kind, ProblemKind::RecordLost);
    assert_eq!(problem.why, "the row says twice to what it belongs: End and Deviator are filled");
    assert!(matches!(problem.place, Place::Cell { row: 1, column: Some(2), .. }));
    let tendon = &reading.schedule.tendons[0];
    assert_eq!(tendon.ends.as_ref().unwrap().a.as_ref().unwrap().parts.len(), 1);
    assert_eq!(tendon.deviators[0].parts.len(), 1);
}

#[test]
fn a_member_beside_one_of_its_name_in_extra_is_kept_too() {
    let json = r#"{"id": "D", "colour": "red", "extra": {"colour": "black"}, "shade": 7}"#;
    let reading = build(vec![list("ducts"), item(0, 0, json)]);
    let extra: Vec<_> =
        reading.schedule.ducts[0].extra.iter().map(|(n, v)| (n.as_str(), v)).collect();
    assert_eq!(
        extra,
        [
            ("colour", &Value::from("black")),
            ("colour (2)", &Value::from("red")),
            ("shade", &Value::Number(7.0)),
        ]
    );
}

#[test]
fn a_record_of_which_hardly_anything_is_right_is_refused_in_time() {
    let points = format!("{}{{\"station_m\": 5}}", "1, ".repeat(150_000));
    let mut builder = Builder::new();
    builder.take(list("tendons")).unwrap();
    let before = std::time::Instant::now();
    let taken = builder.take(item(0, 0, &format!(r#"{{"mark": "T", "points": [{points}]}}"#)));
    // Each refusal looked for among all others takes minutes.
    assert!(before.elapsed().as_secs() < 30, "{:?}", before.elapsed());
    assert!(taken.is_err());

    let points = format!("{}{{\"station_m\": 5}}", "1, ".repeat(90_000));
    let reading = build(vec![
        list("tendons"),
        item(0, 0, &format!(r#"{{"mark": "T", "points": [{points}]}}"#)),
    ]);
    assert_eq!(reading.schedule.tendons[0].points.len(), 1);
    assert_eq!(reading.problems.len(), 90_000);
}

#[test]
fn what_is_turned_round_in_a_workbook_is_shown_as_its_cells_have_it() {
    let reading = build(vec![
        sheet("Places", vec![column(0, "Id", &["id"]), column(1, "Station [m]", &["station_m"])]),
        row(0, 1, &[], r#"{"id": "A1", "station_m": 100}"#),
        row(0, 2, &[], r#"{"id": "P2", "station_m": 140}"#),
        sheet(
            "Tendons",
            vec![
                column(0, "Mark", &["mark"]),
                column(1, "Stressing from", &["stressing", "from"]),
                column(2, "Stressing elongation a [mm]", &["stressing", "elongation_a_mm"]),
                column(3, "Stressing elongation b [mm]", &["stressing", "elongation_b_mm"]),
            ],
        ),
        row(
            1,
            1,
            &[],
            r#"{"mark": "T", "stressing": {"from": "a", "elongation_a_mm": 250, "elongation_b_mm": 12}}"#,
        ),
        sheet(
            "Ends",
            vec![column(0, "Tendon", &[]), column(1, "End", &[]), column(2, "Place", &["place"])],
        ),
        row(2, 1, &["T", "A"], r#"{"place": "P2"}"#),
        row(2, 2, &["T", "b"], r#"{"place": "A1"}"#),
        sheet("EndObstacles", vec![column(0, "Tendon", &[]), column(1, "End", &[])]),
        row(3, 1, &["T", "a"], "{}"),
        sheet("Measurements", vec![column(0, "Tendon", &[]), column(1, "End", &["end"])]),
        row(4, 1, &["T"], r#"{"end": "b"}"#),
    ]);
    assert_eq!(reading.problems, []);
    let tendon = &reading.schedule.tendons[0];
    let ends = tendon.ends.as_ref().unwrap();
    let text = |origin, column| reading.provenance.text(origin, column);
    // The cells keep what they hold, in the spelling of the file.
    assert_eq!(text(ends.b.as_ref().unwrap().origin, 1), Some("A"));
    assert_eq!(text(ends.a.as_ref().unwrap().origin, 1), Some("b"));
    assert_eq!(text(ends.b.as_ref().unwrap().obstacles[0].origin, 1), Some("a"));
    assert_eq!(text(tendon.measurements[0].origin, 1), Some("b"));
    assert_eq!(text(tendon.origin, 1), Some("a"));
    // And the values of each end stand in the column where they were.
    assert_eq!(tendon.stressing.as_ref().unwrap().elongation_a_mm, Some(12.0));
    let column = |field| {
        let route = Route::to("tendons", 0).field("stressing").field(field);
        let (origin, path) = route.source(&reading.schedule);
        match reading.provenance.place(origin, &path) {
            Some(Place::Cell { column, .. }) => column,
            place => panic!("{place:?}"),
        }
    };
    assert_eq!(column("elongation_a_mm"), Some(3));
    assert_eq!(column("elongation_b_mm"), Some(2));
    assert_eq!(column("from"), Some(1));
}

#[test]
fn what_is_turned_round_in_a_document_keeps_the_members_of_its_ends() {
    let tendon = r#"{"mark": "T", "ends": {"a": {"place": "P2"}, "b": {"place": "A1"}},
        "stressing": {"seated_force_a_kn": 3700}}"#;
    let reading = build(vec![
        list("places"),
        item(0, 0, r#"{"id": "A1", "station_m": 100}"#),
        item(0, 40, r#"{"id": "P2", "station_m": 140}"#),
        list("tendons"),
        item(1, 200, tendon),
    ]);
    let route = Route::to("tendons", 0).field("stressing").field("seated_force_b_kn");
    let (origin, path) = route.source(&reading.schedule);
    let Some(Place::Text { path, .. }) = reading.provenance.place(origin, &path) else {
        panic!("it stands in a text");
    };
    assert_eq!(path, ["stressing", "seated_force_a_kn"]);
}
