//! Findings as programs read them.

use restrand_check::LocatedFinding;
use restrand_finding::Severity;
use restrand_intake::Reading;
use restrand_kit::{Bytes, Part};
use restrand_model::System;
use restrand_report::{Checked, InForce, json};

use crate::beck::{
    Again, SCHEDULE, as_json, as_workbook, base, behind, located, short_of_room, today,
};
use crate::common::close;

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
        serde_json::from_str(include_str!("../../../../schemas/findings-1.schema.json")).unwrap();
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
