//! What a check says of the demo bridge: nothing of the clean editions, the planted faults of the faulty one.
#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

use std::collections::BTreeMap;
use std::io;

use restrand_check::{Report, check, rulebook};
use restrand_csv::Csv;
use restrand_dev::{demo, fault, generate};
use restrand_intake::{Reading, read};
use restrand_json::Json;
use restrand_kit::{Budget, Bytes, Content, Output, Part, Parts, Plugin, WriteOptions};
use restrand_model::reading::{Place, Provenance};
use restrand_model::reflect::{Date, Record};
use restrand_model::schedule::Schedule;
use restrand_workbook::Workbook;

fn reading(name: &str) -> Reading {
    let files = generate::files().unwrap();
    let file = files.into_iter().find(|file| file.path.ends_with(&format!("/{name}"))).unwrap();
    let part = Bytes::new(name, file.bytes);
    let plugin: &dyn Plugin = if name.ends_with(".json") { &Json } else { &Workbook };
    read(plugin, Parts(&[&part]), Budget::default()).unwrap()
}

fn report(name: &str) -> Report {
    let book = rulebook::built_in_force("lrfd-2020").unwrap();
    // The day of the demo's revision.
    check(&reading(name), &book, Date::new(2026, 11, 25).unwrap())
}

/// What a schedule states, without where it was read.
fn stated(schedule: &Schedule) -> String {
    serde_json::to_string(&(schedule as &dyn Record).to_fields()).unwrap()
}

#[test]
fn what_is_written_reads_back_as_it_was() {
    // In inches a value may change in its last place, so the US workbook is not among these.
    for (name, mut expected) in [
        ("quillmere.json", demo::bridge()),
        ("quillmere-us.json", demo::us_edition()),
        ("quillmere.xlsx", demo::bridge()),
    ] {
        let reading = reading(name);
        assert!(reading.problems.is_empty(), "{name}: {:?}", reading.problems);
        // The version is the file's affair, not the schedule's.
        expected.restrand = reading.schedule.restrand;
        let (found, expected) = (stated(&reading.schedule), stated(&expected));
        let differ = found.bytes().zip(expected.bytes()).position(|(a, b)| a != b);
        let around = differ.map(|at| &found[at.saturating_sub(100)..(at + 100).min(found.len())]);
        assert!(found == expected, "{name}: {around:?}");
    }
}

/// Keeps what is written, by the names of the parts.
#[derive(Default)]
struct Written(BTreeMap<String, Vec<u8>>);

impl Output for Written {
    fn part(&mut self, name: &str) -> io::Result<&mut dyn io::Write> {
        Ok(self.0.entry(name.to_owned()).or_default())
    }
}

/// A schedule written as CSV, in one part or in several, and read again.
fn through_csv(schedule: &Schedule, ending: &'static str) -> Reading {
    let mut written = Written::default();
    let options = WriteOptions { ending: Some(ending), ..WriteOptions::default() };
    let provenance = Provenance::default();
    let losses = Csv.write(&Content::new(schedule, &provenance), options, &mut written).unwrap();
    assert!(losses.is_empty(), "{losses:?}");
    let parts: Vec<_> =
        written.0.into_iter().map(|(name, bytes)| Bytes::new(name, bytes)).collect();
    let parts: Vec<&dyn Part> = parts.iter().map(|part| part as &dyn Part).collect();
    read(&Csv, Parts(&parts), Budget::default()).unwrap()
}

#[test]
fn what_is_written_as_csv_reads_back_as_it_was() {
    let mut expected = demo::bridge();
    for ending in ["csv", "zip"] {
        let reading = through_csv(&expected, ending);
        assert!(reading.problems.is_empty(), "{:?}", reading.problems);
        assert!(reading.questions.is_empty(), "{:?}", reading.questions);
        expected.restrand = reading.schedule.restrand;
        assert!(stated(&reading.schedule) == stated(&expected), "{ending}");
        let again = through_csv(&reading.schedule, ending);
        assert!(stated(&again.schedule) == stated(&expected), "{ending} twice");
    }
}

#[test]
fn the_us_workbook_is_read_without_doubt() {
    let reading = reading("quillmere-us.xlsx");
    assert!(reading.problems.is_empty(), "{:?}", reading.problems);
}

#[test]
fn the_clean_editions_have_no_finding() {
    for name in ["quillmere.xlsx", "quillmere.json", "quillmere-us.xlsx", "quillmere-us.json"] {
        let found: Vec<_> = report(name)
            .findings
            .iter()
            .map(|found| {
                let finding = &found.finding;
                format!("{} {} at {:?}", finding.severity, finding.rule, found.route)
            })
            .collect();
        assert!(found.is_empty(), "{name}: {found:#?}");
    }
}

#[test]
fn each_fault_that_a_schedule_can_hold_is_found_by_itself() {
    let book = rulebook::built_in_force("lrfd-2020").unwrap();
    let mut count = 0;
    for (fault, schedule) in fault::alone() {
        let mut written = Written::default();
        let provenance = Provenance::default();
        let content = Content::new(&schedule, &provenance);
        Json.write(&content, WriteOptions::default(), &mut written).unwrap();
        let (name, bytes) = written.0.pop_first().unwrap();
        let part = Bytes::new(name, bytes);
        let reading = read(&Json, Parts(&[&part]), Budget::default()).unwrap();
        let report = check(&reading, &book, Date::new(2026, 11, 25).unwrap());
        let rules: Vec<_> = report.findings.iter().map(|found| found.finding.rule).collect();
        assert!(rules.contains(&fault.rule), "fault {}: {rules:?}", fault.number);
        count += 1;
    }
    assert_eq!(count, 27);
}

/// Row and column of a cell, from zero.
fn row_and_column(cell: &str) -> (u32, u32) {
    let split = cell.find(|c: char| c.is_ascii_digit()).unwrap();
    let column =
        cell[..split].bytes().fold(0, |column, letter| column * 26 + u32::from(letter - b'A') + 1);
    (cell[split..].parse::<u32>().unwrap() - 1, column - 1)
}

#[test]
fn the_faulty_workbook_shows_the_planted_faults_and_no_others() {
    let files = generate::files().unwrap();
    let workbook = files.into_iter().find(|file| file.path.ends_with("faulty.xlsx")).unwrap();
    let mut planted: Vec<(&str, &str, u32, u32)> = Vec::new();
    let shown = fault::shown(&workbook.bytes).unwrap();
    for shown in &shown {
        let (row, column) = row_and_column(&shown.cell);
        planted.push((shown.fault.rule, shown.sheet, row, column));
    }
    let report = report("quillmere-faulty.xlsx");
    let mut extra = Vec::new();
    for found in &report.findings {
        let hit = planted.iter().position(|(rule, sheet, row, column)| {
            let Place::Cell { sheet: s, row: r, column: c, .. } = &found.place else {
                return false;
            };
            found.finding.rule == *rule && (s, r, *c) == (&(*sheet).to_owned(), row, Some(*column))
        });
        match hit {
            Some(hit) => {
                planted.swap_remove(hit);
            }
            None => extra.push((found.finding.rule.to_string(), found.place.clone())),
        }
    }
    assert!(
        planted.is_empty() && extra.is_empty(),
        "not found: {planted:#?}\nnot planted: {extra:#?}"
    );
}

#[test]
fn the_faulty_document_breaks_the_same_rules() {
    let planted: Vec<_> = fault::faults().iter().map(|fault| fault.rule).collect();
    let mut found: Vec<_> = report("quillmere-faulty.json")
        .findings
        .iter()
        .map(|found| found.finding.rule.to_string())
        .collect();
    found.sort();
    let mut planted: Vec<_> = planted.into_iter().map(str::to_owned).collect();
    planted.sort();
    assert_eq!(found, planted);
}
