//! What is written reads back.

#![allow(clippy::unwrap_used, reason = "helpers of tests")]

mod common;

use common::{Read, load, write};
use restrand_kit::sheet::{OutCell, SheetOut, sheets};
use restrand_kit::{At, Content};
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
    record.extra_mut().push("Heat number".into(), Value::from("=SUM(A1)"));
}

fn filled() -> Schedule {
    let mut schedule = Schedule::default();
    fill(&mut schedule, &mut 0);
    schedule
}

/// Compares what was read with the sheets of the schedule in SI.
fn compare(schedule: &Schedule, read: &Read) {
    let provenance = Provenance::default();
    let (expected, _) = sheets(&Content::new(schedule, &provenance), System::Si);
    assert_eq!(expected.len(), sheet::SHEETS.len(), "every sheet has rows");
    assert_eq!(read.tables.len(), expected.len());
    let mut records = read.records.iter();
    for (table, out) in expected.iter().enumerate() {
        assert_eq!(read.tables[table].list, out.sheet.name);
        assert!(!out.rows.is_empty());
        for (row, cells) in (1_u32..).zip(&out.rows) {
            let record = records.next().unwrap();
            assert_eq!(record.table as usize, table);
            assert!(matches!(record.at, At::Row(at) if at == row));
            for (column, cell) in cells.iter().enumerate() {
                compare_cell(out, column, cell, record);
            }
        }
    }
    assert!(records.next().is_none());
}

fn compare_cell(out: &SheetOut, column: usize, cell: &OutCell, record: &restrand_kit::RecordFrame) {
    let header = &out.headers[column];
    let path: Vec<&str> = match out.columns[column] {
        Some(Column::Link { .. }) => {
            let expected = match cell {
                OutCell::Text(text) => Some(text.as_str()),
                _ => None,
            };
            assert_eq!(record.links[column].as_deref(), expected, "{}: {header}", out.sheet.name);
            return;
        }
        Some(Column::Value { path, .. }) => path.clone(),
        None => vec!["extra", header.trim_start_matches("extra: ")],
    };
    let value = path.iter().try_fold(Value::Fields(record.fields.clone()), |value, step| {
        value.as_fields().and_then(|fields| fields.get(step)).cloned()
    });
    let place = format!("{}: {header}", out.sheet.name);
    match (cell, value) {
        (OutCell::Empty, None) => {}
        (OutCell::Number(expected), Some(Value::Number(value))) => {
            assert!(
                (value - expected).abs() <= 1e-12 * expected.abs(),
                "{place}: {value} {expected}"
            );
        }
        (OutCell::Flag(expected), Some(Value::Flag(value))) => {
            assert_eq!(value, *expected, "{place}")
        }
        (OutCell::Text(expected), Some(Value::List(items))) => {
            let items: Vec<_> = items.iter().map(ToString::to_string).collect();
            assert_eq!(items.join("; "), *expected, "{place}");
        }
        (OutCell::Text(expected), Some(value)) => {
            assert_eq!(value.to_string(), *expected, "{place}")
        }
        (cell, value) => panic!("{place}: {cell:?} came back as {value:?}"),
    }
}

#[test]
fn a_schedule_with_every_field_reads_back_in_both_systems() {
    let schedule = filled();
    for system in [System::Si, System::Us] {
        let (bytes, losses) = write(&schedule, system);
        assert!(losses.is_empty(), "{losses:#?}");
        let read = load(&bytes);
        assert!(
            read.problems.iter().all(|problem| problem.why.contains("no field")),
            "{:#?}",
            read.problems
        );
        compare(&schedule, &read);
    }
}

#[test]
fn feet_and_inches_read_back_as_they_were_written() {
    let mut schedule = filled();
    let end = schedule.tendons[0].ends.as_mut().unwrap().a.as_mut().unwrap();
    end.removal_space.as_mut().unwrap().behind_mm = Some(1384.3);
    for tendon in &mut schedule.tendons {
        let ends = tendon.ends.as_mut().unwrap();
        for end in [&mut ends.a, &mut ends.b] {
            end.as_mut().unwrap().removal_space.as_mut().unwrap().behind_mm = Some(1384.3);
        }
    }
    let (bytes, _) = write(&schedule, System::Us);
    let read = load(&bytes);
    compare(&schedule, &read);
    let written = read.records.iter().flat_map(|record| &record.texts);
    assert_eq!(written.filter(|(_, text)| **text == *"4'-6 1/2\"").count(), 4);
}

#[test]
fn the_same_schedule_gives_the_same_bytes() {
    let schedule = filled();
    assert!(write(&schedule, System::Us).0 == write(&schedule, System::Us).0);
}

#[test]
fn an_empty_schedule_gives_the_sheets_that_every_workbook_has() {
    let (bytes, losses) = write(&Schedule::default(), System::Si);
    assert!(losses.is_empty());
    let read = load(&bytes);
    let lists: Vec<_> = read.tables.iter().map(|table| table.list.as_str()).collect();
    assert_eq!(lists, sheet::ALWAYS);
    assert!(read.records.is_empty() && read.problems.is_empty());
}

fn with_note(note: &str) -> Schedule {
    let mut tendon = Tendon { mark: Some("T1".into()), ..Tendon::default() };
    tendon.vibration_note = Some(note.into());
    Schedule { tendons: vec![tendon], ..Schedule::default() }
}

#[test]
fn texts_stay_texts_whatever_they_begin_with() {
    for note in [
        "=1+1",
        "+5",
        "-x",
        "@home",
        "'quoted",
        "a < b & \"c\"",
        "two\nlines",
        "_x0041_",
        "naïve ½ 漢",
    ] {
        let (bytes, losses) = write(&with_note(note), System::Si);
        assert!(losses.is_empty());
        let read = load(&bytes);
        assert!(read.problems.is_empty(), "{note}: {:#?}", read.problems);
        assert_eq!(read.text(0, "vibration_note"), Some(note));
    }
}

#[test]
fn a_text_too_long_for_a_cell_is_lost_and_said() {
    let longest = "x".repeat(32_767);
    let (bytes, losses) = write(&with_note(&longest), System::Si);
    assert!(losses.is_empty());
    assert_eq!(load(&bytes).text(0, "vibration_note"), Some(longest.as_str()));

    let (bytes, losses) = write(&with_note(&"é".repeat(32_768)), System::Si);
    assert_eq!(losses.len(), 1);
    assert_eq!(losses[0].route, "tendons[T1].vibration_note");
    assert!(losses[0].value.contains("32768 letters"));
    assert_eq!(load(&bytes).text(0, "vibration_note"), None);
}
