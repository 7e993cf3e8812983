//! What is written reads back.
#![allow(clippy::unwrap_used, reason = "helpers of tests")]

mod common;

use std::collections::BTreeMap;

use common::{Read, Written, load_parts, write};
use restrand_kit::sheet::{OutCell, sheets};
use restrand_kit::{Budget, Content, WriteOptions};
use restrand_model::quantity::System;
use restrand_model::reading::Provenance;
use restrand_model::reflect::{Record, Shape};
use restrand_model::schedule::{Schedule, Tendon};
use restrand_model::sheet::{self, Column};
use restrand_model::value::Value;

/// States every field of a record, and two records in each list.
fn fill(record: &mut dyn Record, seed: &mut u32) {
    let fields = record.info().fields;
    let is_schedule = record.info().name == "schedule";
    for (index, field) in fields.iter().enumerate() {
        *seed += 1;
        let text = || Value::from(format!("{} {seed}", field.name).as_str());
        let value = match field.shape {
            Shape::Number => Value::Number(f64::from(*seed) * 1.25),
            Shape::Count if is_schedule => Value::Number(1.0),
            Shape::Count => Value::Number(f64::from(*seed % 50 + 1)),
            Shape::Flag => Value::Flag(seed.is_multiple_of(2)),
            Shape::Text | Shape::Link(_) => text(),
            Shape::Date => Value::from("2031-05-07"),
            Shape::Choice(words) => Value::from(words[*seed as usize % words.len()].name),
            Shape::Counts => Value::List(vec![Value::Number(7.0), Value::Number(19.0)]),
            Shape::Texts | Shape::Links(_) => Value::List(vec![text(), Value::from("other")]),
            Shape::Choices(words) => Value::List(vec![Value::from(words[0].name)]),
            Shape::Record(_) => {
                if let Some(inner) = record.field_mut(index).record_mut() {
                    fill(inner, seed);
                }
                continue;
            }
            Shape::Records(inner) => {
                for _ in 0..2 {
                    let mut item = (inner().make)();
                    fill(&mut *item, seed);
                    assert!(record.field_mut(index).adopt(item).is_ok());
                }
                continue;
            }
        };
        record.field_mut(index).set(value).unwrap();
    }
    if !is_schedule {
        let extra = record.extra_mut();
        extra.push("Heat number".into(), Value::from("=SUM(A1)"));
        extra.push("Coil of wire".into(), Value::from("0042"));
        extra.push("Drawing sheet".into(), Value::from("7"));
        extra.push("Weighed as".into(), Value::Number(12.345));
        extra.push("Smallest ever".into(), Value::Number(-1.25e-12));
        extra.push("Long".into(), Value::Number(0.1 + 0.2));
        extra.push("Seen by us".into(), Value::Flag(true));
        extra.push("What was said".into(), Value::from("TRUE"));
        extra.push("Foreign words".into(), Value::from("a \"quoted\", long\r\nremark; 1,234"));
    }
}

fn filled() -> Schedule {
    let mut schedule = Schedule::default();
    fill(&mut schedule, &mut 0);
    schedule
}

const ARCHIVE: WriteOptions = WriteOptions { system: System::Si, ending: Some("zip") };

fn read(written: &Written) -> Read {
    let files: Vec<_> =
        written.0.iter().map(|(name, bytes)| (name.as_str(), bytes.clone())).collect();
    load_parts(&files, Budget::default()).unwrap()
}

/// What the records of each sheet say, without the schedule's own types.
fn said(read: &Read) -> BTreeMap<String, Vec<String>> {
    let mut said: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for record in &read.records {
        let list = read.tables[record.table as usize].list.clone();
        said.entry(list).or_default().push(format!("{:?} {:?}", record.links, record.fields));
    }
    said
}

/// The sheets of the layout whose rows are records; one more is for what the schedule itself says further.
fn sheets_of_records() -> usize {
    sheet::SHEETS.iter().filter(|sheet| !sheet.targets.is_empty()).count()
}

/// Holds every cell that was written against the value that was read.
fn compare(schedule: &Schedule, read: &Read) {
    let (expected, _) = sheets(&Content::new(schedule, &Provenance::default()), System::Si);
    assert_eq!(expected.len(), sheets_of_records(), "every sheet has rows");
    for out in &expected {
        let table = read.tables.iter().position(|table| table.list == out.sheet.name).unwrap();
        let records: Vec<_> =
            read.records.iter().filter(|record| record.table as usize == table).collect();
        assert_eq!(records.len(), out.rows.len());
        for (cells, record) in out.rows.iter().zip(records) {
            for (column, cell) in cells.iter().enumerate() {
                let place = format!("{}: {}", out.sheet.name, out.headers[column]);
                let path = match out.columns[column] {
                    Some(Column::Link { .. }) => {
                        let expected = match cell {
                            OutCell::Text(text) => Some(text.as_str()),
                            _ => None,
                        };
                        assert_eq!(record.links[column].as_deref(), expected, "{place}");
                        continue;
                    }
                    Some(Column::Value { path, .. }) => path.clone(),
                    None => vec!["extra", &out.headers[column]],
                };
                let value =
                    path.iter().try_fold(Value::Fields(record.fields.clone()), |value, step| {
                        value.as_fields().and_then(|fields| fields.get(step)).cloned()
                    });
                match (cell, value) {
                    (OutCell::Empty, None) => {}
                    (OutCell::Number(expected), Some(Value::Number(value))) => {
                        assert!((value - expected).abs() <= 1e-12 * expected.abs(), "{place}");
                    }
                    (OutCell::Flag(expected), Some(Value::Flag(value))) => {
                        assert_eq!(value, *expected, "{place}");
                    }
                    (OutCell::Text(expected), Some(Value::List(items))) => {
                        let items: Vec<_> = items.iter().map(ToString::to_string).collect();
                        assert_eq!(items.join("; "), *expected, "{place}");
                    }
                    (OutCell::Text(expected), Some(Value::Text(value))) => {
                        assert_eq!(*value, **expected, "{place}");
                    }
                    (cell, value) => panic!("{place}: {cell:?} came back as {value:?}"),
                }
            }
        }
    }
}

#[test]
fn a_schedule_with_every_field_reads_back_from_a_folder_and_from_an_archive() {
    let schedule = filled();
    for options in [WriteOptions::default(), ARCHIVE] {
        let (written, losses) = write(&schedule, options);
        assert!(losses.is_empty(), "{losses:?}");
        let read = read(&written);
        assert!(read.questions.is_empty(), "{:?}", read.questions);
        let other = read.problems.iter().find(|problem| !problem.why.contains("no field"));
        assert_eq!(other, None);
        compare(&schedule, &read);
    }
}

#[test]
fn a_folder_has_a_file_for_each_sheet_and_an_archive_the_same_files() {
    let schedule = filled();
    let (folder, _) = write(&schedule, WriteOptions::default());
    let (archive, _) = write(&schedule, ARCHIVE);
    assert_eq!(folder.0.len(), sheets_of_records());
    assert!(folder.0.values().all(|bytes| bytes.starts_with("\u{feff}".as_bytes())));
    assert_eq!(archive.0.keys().collect::<Vec<_>>(), ["schedule.zip"]);
    assert_eq!(said(&read(&folder)), said(&read(&archive)));
    assert!(write(&schedule, ARCHIVE).0.0 == archive.0, "the same schedule, the same bytes");
}

#[test]
fn feet_and_inches_read_back_as_they_were_written() {
    let mut schedule = filled();
    for tendon in &mut schedule.tendons {
        let ends = tendon.ends.as_mut().unwrap();
        for end in [&mut ends.a, &mut ends.b] {
            end.as_mut().unwrap().removal_space.as_mut().unwrap().behind_mm = Some(1384.3);
        }
    }
    let options = WriteOptions { system: System::Us, ..WriteOptions::default() };
    let (written, _) = write(&schedule, options);
    let read = read(&written);
    compare(&schedule, &read);
    let texts = read.records.iter().flat_map(|record| &record.texts);
    assert_eq!(texts.filter(|(_, text)| **text == *"4'-6 1/2\"").count(), 4);
}

#[test]
fn texts_stay_as_they_are_whatever_they_begin_with() {
    for note in [
        "=1+1",
        "+5",
        "-x",
        "@home",
        "'quoted",
        "\"",
        "a,b",
        "two\nlines",
        "1,234",
        "007",
        "1e3",
        "TRUE",
        "\u{feff}x",
    ] {
        let tendon = Tendon {
            mark: Some("T1".into()),
            vibration_note: Some(note.into()),
            ..Tendon::default()
        };
        let schedule = Schedule { tendons: vec![tendon], ..Schedule::default() };
        let (written, losses) = write(&schedule, WriteOptions::default());
        let read = read(&written);
        assert!(losses.is_empty() && read.problems.is_empty(), "{note}: {:?}", read.problems);
        assert_eq!(read.text(0, "vibration_note"), Some(note));
    }
}

#[test]
fn an_empty_schedule_gives_the_sheets_that_every_schedule_has() {
    let (written, _) = write(&Schedule::default(), WriteOptions::default());
    let mut names: Vec<_> = sheet::ALWAYS.iter().map(|name| format!("{name}.csv")).collect();
    names.sort();
    assert_eq!(written.0.keys().cloned().collect::<Vec<_>>(), names);
    let read = read(&written);
    assert!(read.records.is_empty() && read.problems.is_empty(), "{:?}", read.problems);
}
