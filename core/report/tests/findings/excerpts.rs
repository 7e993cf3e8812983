//! The place of a finding, shown with what stands round it in the file.

use std::sync::Arc;

use restrand_check::LocatedFinding;
use restrand_finding::{Fact, Finding, Kind, Where};
use restrand_intake::LostRecord;
use restrand_model::reading::{Origin, Place, Span};
use restrand_model::route::Route;
use restrand_model::schedule::End;
use restrand_report::terminal::Look;

use crate::beck::{
    PLAIN, as_json, as_workbook, behind, end, has_lines, in_workbook, located, short_of_room, text,
};

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
    let (bytes, reading) = in_workbook(&reading);
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
