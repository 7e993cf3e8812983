//! What crosses the boundary as lines comes back as it was, and lines that are not as agreed are refused.
#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

use restrand_kit::layout::{self, Body, BodyKind, Course, Layout, Piece, Seat, Solid, Unlaid};
use restrand_kit::wire::{
    Carried, Counts, Receiver, Refused, WireDescription, WireError, description, write_content,
    write_frame,
};
use restrand_kit::{
    At, Bytes, Change, Content, Description, Frame, Part, Parts, RecordFrame, SideCell, SideTable,
    Stopped, WriteOptions,
};
use restrand_model::quantity::System;
use restrand_model::reading::{
    Apart, Column, Grid, Origin, Place, Problem, ProblemKind, Provenance, Question, Span, Spot,
    Table,
};
use restrand_model::schedule::{Schedule, Tendon};
use restrand_model::value::{Fields, Name, Value};
use restrand_model::{Dimension, Route, Unit};

fn frames() -> Vec<Frame> {
    let column = |index, header: &str, path: Vec<&'static str>, unit, link| Column {
        index,
        header: header.into(),
        path,
        unit,
        link,
    };
    let foot = Unit::find("ft-in", Dimension::Length);
    let mut fields = Fields::new();
    fields.push(Name::from("station_m"), Value::Number(0.1 + 0.2));
    fields
        .push(Name::from("twice"), Value::List(vec![Value::Flag(true), Value::from("\u{2028}\"")]));
    fields.push(Name::from("twice"), Value::Fields(Fields::new()));
    vec![
        Frame::Table(Table {
            part: "a.xlsx".to_owned(),
            sheet: Some("Tendon points".to_owned()),
            grid: Grid::Lines,
            list: "Points".to_owned(),
            header_row: 3,
            columns: vec![
                column(0, "Tendon", Vec::new(), None, true),
                column(1, "Station [ft-in]", vec!["station_m"], foot, false),
                column(4, "Colour", Vec::new(), None, false),
            ],
        }),
        Frame::Record(RecordFrame {
            table: 0,
            at: At::Row(7),
            links: vec![Some("T1L".into()), None],
            fields,
            texts: vec![(1, "4'-6 1/2\"".into())],
            apart: Vec::new(),
        }),
        Frame::Problem(Problem {
            kind: ProblemKind::ValueDoubtful,
            place: Place::Cell {
                part: "a.xlsx".to_owned(),
                sheet: "S".to_owned(),
                row: 7,
                column: None,
            },
            record: Origin::new(0, 7),
            subject: "point.station_m".to_owned(),
            given: Some("4ft".to_owned()),
            why: "it is odd".to_owned(),
            help: "look at it".to_owned(),
        }),
        Frame::Question(Question {
            place: Place::Line {
                part: "a.xlsx".to_owned(),
                sheet: "Points".to_owned(),
                line: 9,
                column: Some(1),
            },
            records: vec![Origin::new(0, 7), Origin::new(0, 9)],
            subject: "point.station_m".to_owned(),
            header: "Station".to_owned(),
            given: "1,234".to_owned(),
            readings: vec!["1234 m".to_owned(), "1.234 m".to_owned()],
            why: "the comma can mean either".to_owned(),
            help: "write a point".to_owned(),
        }),
        Frame::Table(Table {
            part: "b.json".to_owned(),
            list: "tendons".to_owned(),
            ..Table::default()
        }),
        Frame::Record(RecordFrame {
            table: 1,
            at: At::Span(Span { start: 2, end: 9 }),
            links: Vec::new(),
            fields: Fields::new(),
            texts: Vec::new(),
            apart: vec![Apart {
                way: ["stressing".to_owned(), "mu".to_owned()].into(),
                at: At::Span(Span { start: 40, end: 60 }),
            }],
        }),
    ]
}

fn received(lines: &[u8]) -> Result<(Vec<String>, bool), WireError> {
    let parts = [Bytes::new("a.xlsx", vec![0; 10]), Bytes::new("b.json", vec![0; 10])];
    let parts: Vec<&dyn Part> = parts.iter().map(|part| part as &dyn Part).collect();
    let mut receiver = Receiver::new(Parts(&parts));
    let mut seen = Vec::new();
    let mut take = |frame: Frame| -> Result<(), Stopped> {
        seen.push(format!("{frame:?}"));
        Ok(())
    };
    match receiver.take(lines, &mut take) {
        Ok(()) => Ok((seen, receiver.finish().ended)),
        Err(Refused::Wire(error)) => Err(error),
        Err(Refused::Stopped) => panic!("nobody stopped"),
    }
}

#[test]
fn frames_come_back_as_they_were() {
    let (mut lines, mut counts) = (Vec::new(), Counts::default());
    let frames = frames();
    for frame in &frames {
        write_frame(frame, &mut counts, &mut lines);
    }
    counts.write_end(&mut lines);
    let shown: Vec<_> = frames.iter().map(|frame| format!("{frame:?}")).collect();
    assert_eq!(received(&lines).unwrap(), (shown, true));
}

#[test]
fn every_line_that_is_cut_or_missing_is_noticed() {
    let (mut lines, mut counts) = (Vec::new(), Counts::default());
    for frame in frames() {
        write_frame(&frame, &mut counts, &mut lines);
    }
    counts.write_end(&mut lines);
    for length in 0..lines.len() {
        let is_whole = matches!(received(&lines[..length]), Ok((_, true)));
        assert!(!is_whole, "cut to {length} bytes");
    }
    let all: Vec<&[u8]> = lines.split_inclusive(|byte| *byte == b'\n').collect();
    for left_out in 0..all.len() {
        let rest: Vec<u8> =
            (0..all.len()).filter(|at| *at != left_out).flat_map(|at| all[at].to_vec()).collect();
        assert!(!matches!(received(&rest), Ok((_, true))), "without line {}", left_out + 1);
    }
}

#[test]
fn a_content_comes_back_as_it_was() {
    let mut schedule = Schedule::default();
    let mut tendon =
        Tendon { strand_count: Some(12), origin: Origin::new(0, 4), ..Tendon::default() };
    tendon.mark = Some("T1L".into());
    tendon.extra.push(Name::from("extra"), Value::Fields(Fields::new()));
    schedule.tendons.push(tendon);
    let mut provenance = Provenance::default();
    provenance.tables.push(Table {
        part: "a.xlsx".to_owned(),
        list: "Tendons".to_owned(),
        ..Table::default()
    });
    provenance.spots.push(Spot { span: Span { start: 1, end: 2 }, path: vec!["ends".to_owned()] });
    let way = ["ends".to_owned(), "set_mm".to_owned()].into();
    provenance.keep_apart_at((0, 1), Apart { way, at: At::Span(Span { start: 7, end: 9 }) });
    provenance.keep_text(Origin::new(0, 4), 3, "a dozen".into());
    provenance.exchange(Origin::new(0, 4), &["ends", "a"], &["ends", "b"]);
    let route = Route::to("tendons", 0).field("strand_count");
    let changes = [Change {
        route: route.clone(),
        before: Some("a dozen".to_owned()),
        after: Some(Value::Number(13.0)),
        why: "one more".to_owned(),
    }];
    let tables = [SideTable {
        name: "Open findings".to_owned(),
        about: "What is open.".to_owned(),
        headers: vec!["Where".to_owned()],
        rows: vec![vec![SideCell { value: Some(Value::from("here")), leads_to: Some(route) }]],
    }];
    let end = Route::to("tendons", 0).field("ends").field("a");
    let frame =
        layout::Frame { at_m: [0.1, -1.5, 1e-7], along: [-1.0, 0.0, 0.0], up: [0.0, 0.0, 1.0] };
    let arc = Piece { to_m: [2.0, 0.0, 0.1], through_m: Some([1.0, 0.0, 1.0 / 3.0]) };
    let layout = Layout {
        courses: vec![Course {
            route: Route::to("tendons", 0),
            start_m: frame.at_m,
            pieces: vec![Piece { to_m: [1.0, 2.0, 3.0], through_m: None }, arc],
            length_m: 5.0,
        }],
        seats: vec![Seat { route: end.clone(), frame }],
        bodies: vec![Body {
            route: end.clone(),
            kind: BodyKind::RemovalSpace,
            frame,
            solids: vec![
                Solid::Box { low_mm: [0.0, -1.0, -2.0], high_mm: [3.0, 4.0, 5.0] },
                Solid::Cylinder { from_mm: -1.0, to_mm: 0.5, radius_mm: 0.1 },
            ],
        }],
        unlaid: vec![Unlaid {
            route: end,
            what: "jack".to_owned(),
            field: "jack.diameter_mm".to_owned(),
        }],
    };
    let content = Content {
        schedule: &schedule,
        provenance: &provenance,
        changes: &changes,
        tables: &tables,
        layout: Some(&layout),
    };
    let options = WriteOptions { system: System::Us, ending: Some("xlsx") };
    let mut lines = Vec::new();
    write_content(&content, options, &mut lines);
    let carried = Carried::read(&lines).unwrap();
    assert_eq!(format!("{:?}", carried.content()), format!("{content:?}"));
    assert_eq!(carried.options(), options);
    let cut = lines.len() - 1 - lines.iter().rev().skip(1).position(|byte| *byte == b'\n').unwrap();
    assert_eq!(Carried::read(&lines[..cut]).unwrap_err(), WireError::Unfinished);
}

#[test]
fn a_description_is_one_good_line() {
    let given = Description { id: "x-1", summary: "a format", reads: &["x"], writes: &[] };
    let mut lines = Vec::new();
    WireDescription::write(&given, true, &mut lines);
    assert!(description(&lines).unwrap().layout);
    lines.clear();
    WireDescription::write(&given, false, &mut lines);
    assert!(
        !String::from_utf8_lossy(&lines).contains("layout"),
        "what is not asked for is not said"
    );
    let read = description(&lines).unwrap();
    assert!(!read.layout);
    assert_eq!((read.id.as_str(), read.reads.as_slice()), ("x-1", &["x".to_owned()][..]));
    let twice = lines.repeat(2);
    assert!(matches!(description(&twice), Err(WireError::OutOfOrder { line: 2, .. })));
    assert_eq!(description(b""), Err(WireError::Unfinished));
}
