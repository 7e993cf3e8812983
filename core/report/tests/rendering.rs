//! What findings look like: the same small schedule as JSON and as a workbook, checked and rendered.

#![expect(clippy::unwrap_used, reason = "helpers of tests are tests")]

use std::io::{self, Write};
use std::sync::Arc;

use restrand_check::rulebook::built_in_force;
use restrand_check::{LocatedFinding, LocatedRelated, Report};
use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Severity, Where};
use restrand_intake::{LostRecord, Reading};
use restrand_json::Json;
use restrand_kit::{Budget, Bytes, Content, Output, Part, Parts, Plugin, WriteOptions};
use restrand_model::System;
use restrand_model::reading::{Origin, Place, Span};
use restrand_model::reflect::Date;
use restrand_model::route::{Names, Route};
use restrand_model::schedule::End;
use restrand_report::terminal::{self, Look};
use restrand_report::{Checked, InForce, Sources, json};
use restrand_rules::Rulebook;
use restrand_workbook::Workbook;

const SCHEDULE: &str = r#"{
  "restrand": 1,
  "project": {"bridge": "Testing Beck", "stage": "shop_drawing"},
  "places": [{"id": "A1", "station_m": 0}, {"id": "P1", "station_m": 40}],
  "tendons": [
    {"mark": "T1", "strand_count": 19,
     "ends": {"a": {"place": "A1", "tail_mm": 45, "removal_space": {"behind_mm": 600}},
              "b": {"place": "P1"}},
     "extra": {"Bemerkung": "geprüft\u001b[31m"}},
    {"mark": "T2", "strand_count": 12}
  ]
}"#;

struct Again<'a>(&'a Bytes);

impl Sources for Again<'_> {
    fn window(&self, _: &str, start: u64, length: usize) -> Option<Vec<u8>> {
        let mut bytes = vec![0; length];
        let count = self.0.read_at(start, &mut bytes).ok()?;
        bytes.truncate(count);
        Some(bytes)
    }
}

#[derive(Default)]
struct Written(Vec<u8>);

impl Output for Written {
    fn part(&mut self, _: &str) -> io::Result<&mut dyn Write> {
        Ok(&mut self.0)
    }
}

fn read(plugin: &dyn Plugin, bytes: &Bytes) -> Reading {
    let parts: [&dyn Part; 1] = [bytes];
    restrand_intake::read(plugin, Parts(&parts), Budget::default()).unwrap()
}

fn as_json() -> (Bytes, Reading) {
    let bytes = Bytes::new("beck.json", SCHEDULE.as_bytes().to_vec());
    let reading = read(&Json, &bytes);
    (bytes, reading)
}

fn as_workbook() -> (Bytes, Reading) {
    let (_, reading) = as_json();
    let mut written = Written::default();
    let options = WriteOptions { ending: Some("xlsx"), ..WriteOptions::default() };
    let content = Content::new(&reading.schedule, &reading.provenance);
    Workbook.write(&content, options, &mut written).unwrap();
    let bytes = Bytes::new("beck.xlsx", written.0);
    let reading = read(&Workbook, &bytes);
    (bytes, reading)
}

fn base() -> Rulebook {
    built_in_force("base").unwrap()
}

fn behind() -> Route {
    end("a").field("removal_space").field("behind_mm")
}

fn end(name: &'static str) -> Route {
    Route::to("tendons", 0).field("ends").field(name)
}

fn located(reading: &Reading, finding: Finding, route: &Route) -> LocatedFinding {
    let (record, path) = route.source(&reading.schedule);
    let name = Names::of(&reading.schedule).show(route, &reading.schedule);
    LocatedFinding {
        place: reading.provenance.place(record, &path).unwrap(),
        fingerprint: format!("{}@{name}", finding.rule),
        route: Some(name),
        related: finding
            .related
            .iter()
            .map(|related| {
                let Where::Route(route) = &related.place else { panic!("a route") };
                let (record, path) = route.source(&reading.schedule);
                LocatedRelated {
                    place: reading.provenance.place(record, &path),
                    record,
                    path,
                    name: None,
                    text: related.text.clone(),
                }
            })
            .collect(),
        finding,
        record,
        path,
    }
}

fn short_of_room() -> Finding {
    Finding::new("space/stub", Kind::Margin, behind(), "only {behind_mm} of {needed_mm} at {end}")
        .fact(Fact::given("behind_mm", 600.0, 0))
        .fact(Fact::text("end", "end a of T1"))
        .fact(Fact::computed("needed_mm", 715.0, 0))
        .fact(Fact::computed("stub_length_mm", 1595.0, 0))
        .fact(Fact::limit(
            "grip_mm",
            250.0,
            0,
            Citation::new("engineering default: the puller's grip", Evidence::Derived),
        ))
        .related(Route::to("tendons", 0), "the tendon")
        .help("Make room")
        .remedy("Move the wall by 115 mm")
        .remedy("Cut once more")
}

/// The day that counts as today.
fn today() -> Date {
    Date::new(2031, 5, 7).unwrap()
}

fn text(bytes: &Bytes, reading: &Reading, findings: Vec<LocatedFinding>, look: Look) -> String {
    let book = base();
    let mut report = restrand_check::check(reading, &book, today());
    report.findings = findings;
    render(bytes, Some(reading), &report, &book, look)
}

fn render(
    bytes: &Bytes,
    reading: Option<&Reading>,
    report: &Report,
    book: &Rulebook,
    look: Look,
) -> String {
    let again = Again(bytes);
    let checked = Checked {
        file: bytes.name(),
        format: Some("test"),
        report,
        reading,
        sources: &again,
        rulebook: reading.map(|_| InForce { book, why: "as the test says" }),
        system: System::Si,
        as_of: "2031-05-07",
    };
    let mut out = Vec::new();
    terminal::report(&mut out, &checked, look).unwrap();
    String::from_utf8(out).unwrap()
}

const PLAIN: Look = Look { width: 100, colour: false, all: false };

fn has_lines(text: &str, lines: &[&str]) {
    let mut rest = text.lines();
    for line in lines {
        assert!(rest.any(|shown| shown == *line), "no line {line:?} in order in\n{text}");
    }
}

#[test]
fn a_cell_is_shown_with_header_and_row() {
    let (bytes, reading) = as_workbook();
    let found = located(&reading, short_of_room(), &behind());
    let text = text(&bytes, &reading, vec![found], PLAIN);
    let name = match &located(&reading, short_of_room(), &behind()).place {
        Place::Cell { row, column: Some(column), .. } => restrand_report::cell(*row, *column),
        place => panic!("{place:?}"),
    };
    assert!(name.ends_with('2'));
    has_lines(
        &text,
        &[
            "warning · space/stub",
            "  ⚠ only 600 mm [23.62 in] of 715 mm [28.15 in] at end a of T1",
            &format!("   ╭─[beck.xlsx › Ends!{name}]"),
            "   ╰────",
            "  also:      Tendons!A2: the tendon",
            "  help:      Make room",
            "  remedies:  1. Move the wall by 115 mm",
            "             2. Cut once more",
            "  values:    stub length 1595 mm [62.8 in]",
        ],
    );
    let head = text.lines().find(|line| line.starts_with(" 1 │")).unwrap();
    let row = text.lines().find(|line| line.starts_with(" 2 │")).unwrap();
    assert!(head.contains("Tendon  End") && row.contains("T1      a"), "{text}");
    let column = head.split("Removal").next().unwrap().chars().count();
    assert_eq!(row.chars().skip(column).take(3).collect::<String>(), "600", "{text}");
    assert!(text.contains(&format!("cell {name}, Removal space behind [mm]")));
    assert!(text.contains("limit:     grip 250 mm [9.84 in] (rulebook base, derived: engineering"));
}

#[test]
fn the_header_line_has_its_own_number() {
    let (bytes, reading) = as_workbook();
    let route = Route::to("tendons", 1).field("strand_count");
    let finding = Finding::new("a/b", Kind::Note, route.clone(), "twelve");
    let text = text(&bytes, &reading, vec![located(&reading, finding, &route)], PLAIN);
    let numbers: Vec<_> = text
        .lines()
        .filter_map(|line| line.split_once('│'))
        .filter_map(|(gutter, _)| gutter.trim().parse::<u32>().ok())
        .collect();
    assert_eq!(numbers, [1, 3], "{text}");
}

#[test]
fn an_absent_value_is_marked_where_it_should_stand() {
    let (bytes, reading) = as_workbook();
    let route = end("b").field("removal_space").field("behind_mm");
    let finding = Finding::new("a/b", Kind::Missing, route.clone(), "not stated");
    let text = text(&bytes, &reading, vec![located(&reading, finding, &route)], PLAIN);
    assert!(text.contains("Removal space behind [mm]: nothing is stated"), "{text}");
    let row = text.lines().find(|line| line.starts_with(" 3 │")).unwrap();
    assert!(row.contains("T1      b") && row.ends_with('·'), "{text}");
}

#[test]
fn a_value_without_a_column_is_marked_at_the_name_of_its_row() {
    let (bytes, mut reading) = as_workbook();
    let table = reading.provenance.tables.iter_mut().find(|table| table.list == "Ends").unwrap();
    table.columns.retain(|column| column.path.last() != Some(&"behind_mm"));
    let found = located(&reading, short_of_room(), &behind());
    let text = text(&bytes, &reading, vec![found], PLAIN);
    assert!(text.contains("beck.xlsx › Ends, row 2]"), "{text}");
    assert!(text.contains("row 2: no column for Removal space behind [mm]"), "{text}");
}

#[test]
fn a_list_with_a_sheet_of_its_own_is_missed_in_that_sheet() {
    let (bytes, reading) = as_workbook();
    for (route, sheet) in [
        (Route::to("tendons", 1).field("points"), "Points"),
        (
            Route::to("tendons", 1).field("ends").field("a").field("tail_mm"),
            "Ends with a under End",
        ),
        (end("a").field("parts"), "PartOverrides"),
        (
            Route::to("places", 0).field("faces").field("up").field("width_mm"),
            "Faces with up under Face",
        ),
    ] {
        let finding = Finding::new("a/b", Kind::Missing, route.clone(), "not stated");
        let found = located(&reading, finding, &route);
        let text = text(&bytes, &reading, vec![found], PLAIN);
        assert!(text.contains(&format!("no row of the sheet {sheet} belongs to it")), "{text}");
    }
}

#[test]
fn a_list_that_differs_is_not_said_to_be_missing() {
    let (bytes, mut reading) = as_workbook();
    reading.schedule.tendons[1].points.push(Default::default());
    let route = Route::to("tendons", 1).field("points");
    let finding = Finding::new("a/b", Kind::Inconsistent, route.clone(), "differs");
    let found = located(&reading, finding, &route);
    let text = text(&bytes, &reading, vec![found], PLAIN);
    assert!(text.contains("row 3: stated in the sheet Points"), "{text}");
}

#[test]
fn a_row_without_a_place_in_the_schedule_shows_what_its_cells_hold() {
    let (bytes, mut reading) = as_workbook();
    let ends = reading.provenance.tables.iter().position(|table| table.list == "Ends").unwrap();
    let origin = Origin::new(u32::try_from(ends).unwrap(), 9);
    let end = End { tail_mm: Some(77.5), origin, ..End::default() };
    reading.lost.push(LostRecord {
        record: Arc::new(end),
        links: vec![("Tendon", "T1".into()), ("End", "a".into())],
    });
    let place = reading.provenance.place(origin, &[]).unwrap();
    let finding = Finding::new("a/b", Kind::Reading, Where::File(place.clone()), "not read");
    let found = LocatedFinding {
        record: origin,
        path: Vec::new(),
        place,
        ..located(&reading, finding, &behind())
    };
    let text = text(&bytes, &reading, vec![found], PLAIN);
    let row = text.lines().find(|line| line.starts_with(" 10 │")).unwrap();
    assert!(row.contains("T1      a"), "{text}");
    assert!(text.contains("cell A10, Tendon"), "{text}");
}

#[test]
fn the_row_of_an_end_that_was_turned_round_shows_what_its_cell_holds() {
    let (_, mut reading) = as_json();
    let places = &mut reading.schedule.places;
    (places[0].station_m, places[1].station_m) = (places[1].station_m, places[0].station_m);
    let mut written = Written::default();
    let options = WriteOptions { ending: Some("xlsx"), ..WriteOptions::default() };
    let content = Content::new(&reading.schedule, &reading.provenance);
    Workbook.write(&content, options, &mut written).unwrap();
    let bytes = Bytes::new("beck.xlsx", written.0);
    let reading = read(&Workbook, &bytes);
    let route = end("b").field("removal_space").field("behind_mm");
    let finding = Finding::new("a/b", Kind::Margin, route.clone(), "too little");
    let found = located(&reading, finding, &route);
    let text = text(&bytes, &reading, vec![found], PLAIN);
    let row = text.lines().find(|line| line.starts_with(" 2 │")).unwrap();
    assert!(row.contains("T1      a") && row.contains("600"), "{text}");
}

#[test]
fn json_is_shown_with_its_lines() {
    let (bytes, reading) = as_json();
    let found = located(&reading, short_of_room(), &behind());
    let text = text(&bytes, &reading, vec![found], PLAIN);
    has_lines(
        &text,
        &[
            "   ╭─[beck.json:7:82]",
            " 5 │   \"tendons\": [",
            " 6 │     {\"mark\": \"T1\", \"strand_count\": 19,",
            "  also:      line 6, column 14: the tendon",
        ],
    );
    assert!(text.contains("╰── ends.a.removal_space.behind_mm"), "{text}");
}

#[test]
fn an_absent_member_is_marked_at_what_should_hold_it() {
    let (bytes, reading) = as_json();
    let route = end("b").field("removal_space").field("behind_mm");
    let finding = Finding::new("a/b", Kind::Missing, route.clone(), "not stated");
    let text = text(&bytes, &reading, vec![located(&reading, finding, &route)], PLAIN);
    assert!(text.contains("beck.json:8:15]"), "{text}");
    assert!(text.contains("no member \"removal_space\" here"), "{text}");
}

#[test]
fn texts_of_the_file_cannot_steer_the_terminal() {
    let (bytes, reading) = as_workbook();
    let route = Route::to("tendons", 0);
    let finding = Finding::new("a/b", Kind::Note, route.clone(), "{given}\u{202e}")
        .fact(Fact::text("given", "\u{1b}]0;x\u{7}\r\n\u{9b}2J"))
        .help("\u{1b}[2J");
    let text = text(&bytes, &reading, vec![located(&reading, finding, &route)], PLAIN);
    assert!(text.chars().all(|letter| letter == '\n' || !letter.is_control()), "{text:?}");
    assert!(!text.contains('\u{202e}'));
}

#[test]
fn no_place_makes_it_panic() {
    let (bytes, reading) = as_workbook();
    let (json_bytes, json_reading) = as_json();
    let part = |part: &str| part.to_owned();
    let at =
        |row, column| Place::Cell { part: part("beck.xlsx"), sheet: part("Ends"), row, column };
    let span = |start, end| Place::Text {
        part: part("beck.json"),
        span: Span { start, end },
        path: vec!["x".to_owned(), "9".to_owned()],
    };
    for place in [
        at(u32::MAX, Some(u32::MAX)),
        at(0, None),
        at(0, Some(3)),
        at(99, None),
        Place::Cell { part: part("x"), sheet: part("y"), row: 3, column: None },
        Place::Sheet { part: part("beck.xlsx"), sheet: part("Ends") },
        Place::Part { part: part("beck.xlsx") },
        span(0, 0),
        span(0, u64::MAX),
        span(u64::MAX - 1, u64::MAX),
        span(90, 20),
    ] {
        for width in [0, 60, 1000] {
            let finding = Finding::new("a/b", Kind::Reading, Where::File(place.clone()), "x ")
                .fact(Fact::text("given", "ü".repeat(50_000)));
            let found = LocatedFinding {
                finding,
                place: place.clone(),
                record: restrand_model::Origin::default(),
                path: Vec::new(),
                route: None,
                related: Vec::new(),
                fingerprint: "a/b@".to_owned(),
            };
            let look = Look { width, ..PLAIN };
            text(&bytes, &reading, vec![found.clone()], look);
            text(&json_bytes, &json_reading, vec![found], look);
        }
    }
}

#[test]
fn of_many_findings_the_first_are_shown_and_the_others_counted() {
    let (bytes, reading) = as_workbook();
    let many: Vec<_> = (0..53)
        .map(|index| {
            let finding = short_of_room().fact(Fact::given("sought_mm", f64::from(index), 0));
            located(&reading, finding, &behind())
        })
        .collect();
    let shown = text(&bytes, &reading, many.clone(), PLAIN);
    assert_eq!(shown.matches("warning · space/stub").count(), 50);
    has_lines(
        &shown,
        &["3 more findings not shown (--all shows all):", "  space/stub: 3 warnings"],
    );
    assert!(shown.contains("beck.xlsx: 0 errors, 53 warnings, 0 notes"));
    let all = text(&bytes, &reading, many, Look { all: true, ..PLAIN });
    assert_eq!(all.matches("warning · space/stub").count(), 53);
}

#[test]
fn findings_that_say_the_same_of_several_records_are_shown_once() {
    let (bytes, reading) = as_workbook();
    let of = |mark: &str, message: &str| {
        let finding = Finding::new("a/b", Kind::Missing, behind(), message)
            .fact(Fact::text("tendon", mark))
            .fact(Fact::text("fields", "Status"));
        located(&reading, finding, &behind())
    };
    let many = ["T1", "T2", "T3"].map(|mark| of(mark, "{tendon} lacks {fields}"));
    let pair = ["T1", "T2"].map(|mark| of(mark, "{tendon} has no {fields}"));
    let shown = text(&bytes, &reading, [many.to_vec(), pair.to_vec()].concat(), PLAIN);
    assert_eq!(shown.matches("lacks Status").count(), 1);
    assert!(shown.contains("T1 lacks Status"), "{shown}");
    assert_eq!(shown.matches("has no Status").count(), 2);
    has_lines(&shown, &["  alike:     2 more, at Ends!U2"]);
    assert!(shown.contains("beck.xlsx: 5 errors, 0 warnings, 0 notes"), "{shown}");
}

#[test]
fn of_many_findings_the_worst_are_shown_in_the_order_of_the_file() {
    let (bytes, reading) = as_workbook();
    let of = |kind: Kind, severity: Severity, message: &str| {
        let finding = Finding::new("a/b", kind, behind(), message).severity(severity);
        located(&reading, finding, &behind())
    };
    let times = |count: usize, found: LocatedFinding| {
        (0..count).map(move |index| {
            let mut found = found.clone();
            found.finding.help = format!("Look at number {index}");
            found
        })
    };
    let mut many = vec![of(Kind::Physical, Severity::Error, "the first clash")];
    many.extend(times(30, of(Kind::Note, Severity::Note, "by the way")));
    many.extend(times(49, of(Kind::Missing, Severity::Error, "it is absent")));
    many.push(of(Kind::Physical, Severity::Error, "the last clash"));
    let shown = text(&bytes, &reading, many, PLAIN);
    assert_eq!(shown.matches("by the way").count(), 0);
    assert_eq!(shown.matches("it is absent").count(), 48);
    let at = |words: &str| shown.find(words).unwrap();
    assert!(at("the first clash") < at("it is absent"));
    assert!(at("it is absent") < at("the last clash"));
    has_lines(&shown, &["31 more findings not shown (--all shows all):", "  a/b: 30 notes"]);
}

#[test]
fn the_coverage_is_always_told() {
    let (bytes, reading) = as_workbook();
    let shown = text(&bytes, &reading, Vec::new(), PLAIN);
    assert!(shown.contains("  coverage:  2 tendons checked by "), "{shown}");
    assert!(shown.contains("limits tagged memory or derived are unconfirmed defaults"), "{shown}");
    assert!(shown.contains("  as of:     2031-05-07"));
    let mut report = restrand_check::check(&reading, &base(), today());
    report.findings.clear();
    let unread = render(&bytes, None, &report, &base(), PLAIN);
    assert!(unread.contains("nothing was checked, for the file could not be read"), "{unread}");
    for text in [shown, unread] {
        let text = text.to_lowercase();
        for word in ["safe", "approv", "proved", "proven"] {
            assert!(!text.contains(word), "{word}");
        }
    }
}

#[test]
fn colour_changes_no_word() {
    let (bytes, reading) = as_workbook();
    let found = || vec![located(&reading, short_of_room(), &behind())];
    let coloured = text(&bytes, &reading, found(), Look { colour: true, ..PLAIN });
    let plain = text(&bytes, &reading, found(), PLAIN);
    assert!(coloured.contains('\u{1b}'));
    let mut bare = String::new();
    let mut escaped = false;
    for letter in coloured.chars() {
        match letter {
            '\u{1b}' => escaped = true,
            'm' if escaped => escaped = false,
            _ if escaped => {}
            letter => bare.push(letter),
        }
    }
    assert_eq!(bare, plain);
}

fn document(bytes: &Bytes, reading: &Reading, findings: Option<Vec<LocatedFinding>>) -> String {
    let book = base();
    let mut report = restrand_check::check(reading, &book, today());
    if let Some(findings) = findings {
        report.findings = findings;
    }
    let again = Again(bytes);
    let checked = Checked {
        file: bytes.name(),
        format: Some("test"),
        report: &report,
        reading: Some(reading),
        sources: &again,
        rulebook: Some(InForce { book: &book, why: "as the test says" }),
        system: System::Us,
        as_of: "2031-05-07",
    };
    let mut out = Vec::new();
    let mut document = json::Document::begin(&mut out, "0.0.0", "2031-05-07").unwrap();
    document.input(&checked).unwrap();
    document.input(&Checked { reading: None, rulebook: None, format: None, ..checked }).unwrap();
    document.end().unwrap();
    String::from_utf8(out).unwrap()
}

#[test]
fn what_is_written_for_programs_fits_its_schema() {
    let schema: serde_json::Value =
        serde_json::from_str(include_str!("../../../schemas/findings-1.schema.json")).unwrap();
    // Here the schema is held closed, so that a member it does not name is found.
    let mut closed = schema.clone();
    close(&mut closed);
    let validators = [&schema, &closed].map(|schema| jsonschema::validator_for(schema).unwrap());
    for (bytes, reading) in [as_workbook(), as_json()] {
        let found = located(&reading, short_of_room(), &behind());
        for findings in [None, Some(vec![found])] {
            let text = document(&bytes, &reading, findings);
            let value: serde_json::Value = serde_json::from_str(&text).unwrap();
            for validator in &validators {
                let errors: Vec<_> =
                    validator.iter_errors(&value).map(|error| error.to_string()).collect();
                assert!(errors.is_empty(), "{errors:?}");
            }
        }
    }
    assert!(!validators[0].is_valid(&serde_json::json!({ "restrand_findings": 2 })));
}

fn close(schema: &mut serde_json::Value) {
    match schema {
        serde_json::Value::Object(members) => {
            if let Some(open) = members.get_mut("additionalProperties") {
                *open = serde_json::Value::Bool(false);
            }
            members.values_mut().for_each(close);
        }
        serde_json::Value::Array(items) => items.iter_mut().for_each(close),
        _ => {}
    }
}

#[test]
fn places_for_programs_count_from_one() {
    let (bytes, reading) = as_json();
    let found = located(&reading, short_of_room(), &behind());
    let text = document(&bytes, &reading, Some(vec![found]));
    let value: serde_json::Value = serde_json::from_str(&text).unwrap();
    let place = &value["inputs"][0]["findings"][0]["place"];
    assert_eq!((&place["line"], &place["column"]), (&7.into(), &82.into()));
    let range = place["byte_start"].as_u64().unwrap() as usize
        ..place["byte_end"].as_u64().unwrap() as usize;
    assert_eq!(&SCHEDULE[range], "600");

    let (bytes, reading) = as_workbook();
    let found = located(&reading, short_of_room(), &behind());
    let text = document(&bytes, &reading, Some(vec![found]));
    let value: serde_json::Value = serde_json::from_str(&text).unwrap();
    let place = &value["inputs"][0]["findings"][0]["place"];
    assert_eq!(place["header"], "Removal space behind [mm]");
    assert_eq!(place["row"], 2);
    let fact = &value["inputs"][0]["findings"][0]["facts"][0];
    assert_eq!(fact["value"], 600.0);
    assert_eq!(fact["shown"], "23.62 in [600 mm]");
    assert_eq!(value["inputs"][0]["findings"][0]["severity"], Severity::Warning.word());
}
