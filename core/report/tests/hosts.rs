//! What build servers and hosts of code are told: the same small schedule as JSON and as a workbook.

#![expect(clippy::unwrap_used, reason = "helpers of tests are tests")]

use std::collections::BTreeSet;

use quick_xml::events::Event;
use restrand_check::rulebook::built_in_force;
use restrand_check::{Report, Waived};
use restrand_finding::Severity;
use restrand_intake::Reading;
use restrand_json::Json;
use restrand_kit::Bytes;
use restrand_model::System;
use restrand_model::reflect::Date;
use restrand_report::{Checked, InForce, Sources, junit, sarif};
use restrand_rules::{Rulebook, Waiver};
use serde_json::Value;

mod common;

use common::{Again, in_workbook, read};

const SCHEDULE: &str = r#"{
  "restrand": 1,
  "project": {"bridge": "Testing Beck", "stage": "shop_drawing"},
  "places": [{"id": "A1", "station_m": 0}, {"id": "P1", "station_m": 40}],
  "tendons": [
    {"mark": "T1 <&\u001b>", "strand_count": 19,
     "ends": {"a": {"place": "A1", "set_mm": 25}, "b": {"place": "P1"}}},
    {"mark": "T2", "strand_count": 12}
  ]
}"#;

const AS_OF: &str = "2031-05-07";

fn as_json() -> (Bytes, Reading) {
    let bytes = Bytes::new("some where/beck.json", SCHEDULE.as_bytes().to_vec());
    let reading = read(&Json, &bytes);
    (bytes, reading)
}

fn as_workbook() -> (Bytes, Reading) {
    in_workbook(&as_json().1)
}

fn report(reading: &Reading, book: &Rulebook) -> Report {
    restrand_check::check(reading, book, AS_OF.parse::<Date>().unwrap())
}

fn checked<'a>(
    reading: &'a Reading,
    report: &'a Report,
    book: &'a Rulebook,
    sources: &'a dyn Sources,
) -> Checked<'a> {
    Checked {
        file: "some where/beck.json",
        format: None,
        report,
        reading: Some(reading),
        sources,
        rulebook: Some(InForce { book, why: "" }),
        system: System::Si,
        as_of: AS_OF,
    }
}

fn sarif_of((bytes, reading): &(Bytes, Reading), book: &Rulebook) -> (Value, Report) {
    let report = report(reading, book);
    let mut document = sarif::Document::begin("0.0.0");
    document.input(&checked(reading, &report, book, &Again(bytes)));
    let mut out = Vec::new();
    document.end(&mut out).unwrap();
    (serde_json::from_slice(&out).unwrap(), report)
}

fn results(sarif: &Value) -> &[Value] {
    sarif["runs"][0]["results"].as_array().unwrap()
}

#[test]
fn every_result_has_a_rule_a_place_and_a_fingerprint_of_its_own() {
    let base = built_in_force("base").unwrap();
    for input in [as_json(), as_workbook()] {
        let (sarif, report) = sarif_of(&input, &base);
        assert_eq!(sarif["version"], "2.1.0");
        let (run, results) = (&sarif["runs"][0], results(&sarif));
        assert_eq!(results.len(), report.findings.len());
        assert!(results.len() > 5);
        let mut fingerprints = BTreeSet::new();
        for result in results {
            let index = result["ruleIndex"].as_u64().unwrap() as usize;
            let rule = &run["tool"]["driver"]["rules"][index];
            assert_eq!(rule["id"], result["ruleId"]);
            assert!(rule["help"]["markdown"].as_str().unwrap().len() > 100);
            assert!(["error", "warning", "note"].contains(&result["level"].as_str().unwrap()));
            assert!(!result["message"]["text"].as_str().unwrap().contains('\u{1b}'));
            let place = &result["locations"][0]["physicalLocation"]["artifactLocation"];
            let artifact = &run["artifacts"][place["index"].as_u64().unwrap() as usize];
            assert_eq!(artifact["location"]["uri"], place["uri"]);
            let uri = place["uri"].as_str().unwrap();
            assert!(!uri.contains(' ') && !uri.contains(':') && !uri.starts_with('/'), "{uri}");
            let fingerprint = result["partialFingerprints"]["restrandFinding/v1"].as_str().unwrap();
            fingerprints.insert(fingerprint.to_owned());
        }
        assert_eq!(fingerprints.len(), results.len());
    }
}

fn set_unusual(sarif: &Value) -> &Value {
    results(sarif).iter().find(|one| one["ruleId"] == "stressing/set-unusual").unwrap()
}

#[test]
fn a_value_of_a_text_has_a_region_and_one_of_a_workbook_its_sheet_and_cell() {
    let base = built_in_force("base").unwrap();
    let (in_text, _) = sarif_of(&as_json(), &base);
    let location = &set_unusual(&in_text)["locations"][0];
    let region = &location["physicalLocation"]["region"];
    let of = |name: &str| region[name].as_u64().unwrap() as usize;
    let (start, length) = (of("byteOffset"), of("byteLength"));
    assert_eq!(&SCHEDULE[start..start + length], "25");
    let line = SCHEDULE.lines().nth(of("startLine") - 1).unwrap();
    assert!(line[of("startColumn") - 1..].starts_with("25"), "{line}");
    assert!(location["logicalLocations"].is_null());

    let input = as_workbook();
    let (in_cells, _) = sarif_of(&input, &base);
    let location = &set_unusual(&in_cells)["locations"][0];
    assert!(location["physicalLocation"]["region"].is_null());
    let [sheet, cell] = [0, 1].map(|index| &location["logicalLocations"][index]);
    assert_eq!((&sheet["kind"], &sheet["name"]), (&"x-sheet".into(), &"Ends".into()));
    assert_eq!(cell["kind"], "x-cell");
    let name = cell["name"].as_str().unwrap();
    assert_eq!(cell["fullyQualifiedName"], format!("beck.xlsx!Ends!{name}"));
    assert!(cell["decoratedName"].as_str().unwrap().starts_with("Set"), "{cell}");
}

#[test]
fn what_is_waived_is_told_as_suppressed() {
    let mut book = built_in_force("base").unwrap();
    book.waivers.push(Waiver {
        rule: "stressing/set-unusual",
        place: "tendons".to_owned(),
        reason: "shimmed".to_owned(),
        by: "A. Beck".to_owned(),
        until: "2031-12-31".parse().unwrap(),
        book: "own".to_owned(),
    });
    let (sarif, report) = sarif_of(&as_json(), &book);
    let waived: usize = report.waivers.iter().map(|Waived { findings, .. }| findings.len()).sum();
    assert_eq!(waived, 1);
    let suppressions = &set_unusual(&sarif)["suppressions"];
    let why = suppressions[0]["justification"].as_str().unwrap();
    assert_eq!(why, "shimmed (A. Beck, until 2031-12-31)");
}

/// Elements by name, and the attributes of those that sum up.
fn elements(xml: &[u8]) -> Vec<(String, Vec<(String, String)>)> {
    let text = std::str::from_utf8(xml).unwrap();
    let mut reader = quick_xml::Reader::from_str(text);
    let mut found = Vec::new();
    loop {
        match reader.read_event().unwrap() {
            Event::Start(start) | Event::Empty(start) => {
                let attributes = start.attributes().map(|attribute| {
                    let attribute = attribute.unwrap();
                    (attribute.key.as_ref().to_owned(), attribute.value.into_owned())
                });
                found.push((start.name().as_ref().to_owned(), attributes.collect()));
            }
            Event::Eof => return found,
            _ => {}
        }
    }
}

fn junit_of(threshold: Severity) -> (Vec<u8>, Report) {
    let base = built_in_force("base").unwrap();
    let (bytes, reading) = as_workbook();
    let report = report(&reading, &base);
    let mut document = junit::Document::begin(threshold, AS_OF);
    let again = Again(&bytes);
    let read = checked(&reading, &report, &base, &again);
    document.input(&read);
    document.input(&Checked { reading: None, file: "lost.csv", ..read });
    let mut out = Vec::new();
    document.end(&mut out).unwrap();
    (out, report)
}

#[test]
fn a_rule_is_a_case_that_fails_from_the_threshold_on() {
    let mut failures = Vec::new();
    for threshold in [Severity::Error, Severity::Warning, Severity::Note] {
        let (xml, report) = junit_of(threshold);
        let elements = elements(&xml);
        let suites: Vec<_> = elements.iter().filter(|(name, _)| name == "testsuite").collect();
        assert_eq!(suites.len(), 2);
        let stated = |suite: usize, name: &str| -> usize {
            let found = suites[suite].1.iter().find(|(key, _)| key == name).unwrap();
            found.1.parse().unwrap()
        };
        let count = |name: &str| elements.iter().filter(|(other, _)| other == name).count();
        let sum = |name: &str| stated(0, name) + stated(1, name);
        assert_eq!(sum("tests"), count("testcase"));
        assert_eq!(sum("failures"), count("failure"));
        assert_eq!(sum("skipped"), count("skipped"));
        // An input that could not be read fails as a whole.
        assert_eq!((stated(1, "errors"), stated(1, "failures")), (stated(1, "tests"), 0));
        let failing: BTreeSet<_> = report
            .findings
            .iter()
            .filter(|found| found.finding.severity >= threshold)
            .map(|found| found.finding.rule)
            .collect();
        assert_eq!(stated(0, "failures"), failing.len());
        failures.push(failing.len());
    }
    assert!(failures.is_sorted() && failures[0] < failures[2], "{failures:?}");
}
