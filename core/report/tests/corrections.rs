//! What corrections look like: for people, for programs, and as sheets.

#![expect(clippy::unwrap_used, reason = "helpers of tests are tests")]

use std::collections::BTreeSet;

use restrand_check::{Corrected, Wishes, correct};
use restrand_json::Json;
use restrand_kit::{Bytes, Loss};
use restrand_model::System;
use restrand_model::value::Value;
use restrand_report::corrections::{self, Corrections, tables};
use restrand_report::terminal::Look;
use restrand_report::{Checked, InForce, json};

mod common;

use common::{Again, base, close, read};

const SCHEDULE: &str = r#"{
  "restrand": 1,
  "anchorages": [{"id": "K", "wedge_plate_holes": 19}],
  "ducts": [{"id": "PE125", "material": "polyethylene", "outer_mm": 125, "wall_mm": 9.2,
             "dimension_ratio": 17, "inner_mm": 110.2, "inner_convention": "minimum_wall"}],
  "tendons": [
    {"mark": "T1", "duct": "PE125", "strand_count": "30", "order": " 7 ",
     "ends": {"a": {"anchorage": "K"}}, "twin": "T22"},
    {"mark": "T2\u001b[31m", "replaceable": "yes"}
  ]
}"#;

fn with<T>(show: impl FnOnce(&Corrections<'_>) -> T) -> T {
    let bytes = Bytes::new("beck.json", SCHEDULE.as_bytes().to_vec());
    let reading = read(&Json, &bytes);
    let book = base();
    let none = (BTreeSet::new(), BTreeSet::new());
    let wishes = Wishes { accepted: &none.0, calculated: &none.1 };
    let corrected: Corrected = correct(&reading, &book, "2031-05-07".parse().unwrap(), wishes);
    let again = Again(&bytes);
    let losses = [Loss { route: "extra".into(), value: "1".into(), why: "no sheet".into() }];
    show(&Corrections {
        checked: Checked {
            file: "beck.json",
            format: Some("json"),
            report: &corrected.before,
            reading: Some(&reading),
            sources: &again,
            rulebook: Some(InForce { book: &book, why: "as the test says" }),
            system: System::Si,
            as_of: "2031-05-07",
        },
        corrected: &corrected,
        output: Some("out.xlsx"),
        losses: &losses,
        formulas: Some(2),
    })
}

fn text(look: Look) -> String {
    with(|corrections| {
        let mut out = Vec::new();
        corrections::text::report(&mut out, corrections, look).unwrap();
        String::from_utf8(out).unwrap()
    })
}

const PLAIN: Look = Look { width: 100, colour: false, all: false };

#[test]
fn each_change_is_a_difference_at_its_line_with_its_reason() {
    let shown = text(PLAIN);
    let wall = "recompute · duct/dimensions-inconsistent\n  beck.json:4:85 · ducts[PE125].wall_mm\n  - 9.2 mm [0.3622 in]\n  + 7.4 mm [0.2913 in]\n  why:       the wall stood alone";
    assert!(shown.contains(wall), "{shown}");
    assert!(shown.contains("· tendons[T1].order\n  - \" 7 \"\n  + 7\n"), "{shown}");
    assert!(shown.contains("  - \"yes\"\n  + yes\n"), "{shown}");
}

#[test]
fn what_was_not_made_is_said_with_its_reason() {
    let shown = text(PLAIN);
    assert!(shown.contains("withdrawn · restate · schedule/unreadable-value"), "{shown}");
    assert!(
        shown.contains("withdrawn: it makes errors that were not there: strand/exceeds-capacity")
    );
    assert!(shown.contains("beck.json: 3 corrections made, 1 withdrawn"), "{shown}");
    assert!(shown.contains("  written:   out.xlsx; the input is as it was"), "{shown}");
    assert!(shown.contains("  formulas:  2 cells of the input hold formulas"), "{shown}");
    assert!(shown.contains("  not kept:  extra \"1\": no sheet"), "{shown}");
    assert!(!shown.contains('\u{1b}'));
    let lower = shown.to_lowercase();
    for word in ["safe", "approv", "proved", "proven"] {
        assert!(!lower.contains(word), "{word}");
    }
}

#[test]
fn what_is_written_for_programs_fits_its_schema() {
    let text = with(|corrections| {
        let mut out = Vec::new();
        let mut document =
            json::Document::begin_corrections(&mut out, "0.0.0", "2031-05-07").unwrap();
        corrections::json::input(&mut document, corrections).unwrap();
        corrections::json::unread(&mut document, &corrections.checked).unwrap();
        document.end().unwrap();
        String::from_utf8(out).unwrap()
    });
    let value: serde_json::Value = serde_json::from_str(&text).unwrap();
    let schema: serde_json::Value =
        serde_json::from_str(include_str!("../../../schemas/corrections-1.schema.json")).unwrap();
    // Here the schema is held closed, so that a member it does not name is found.
    let mut closed = schema.clone();
    close(&mut closed);
    for schema in [&schema, &closed] {
        let validator = jsonschema::validator_for(schema).unwrap();
        let errors: Vec<_> = validator.iter_errors(&value).map(|error| error.to_string()).collect();
        assert!(errors.is_empty(), "{errors:?}");
        assert!(!validator.is_valid(&serde_json::json!({ "restrand_corrections": 2 })));
    }
    let wall = &value["inputs"][0]["made"][0];
    assert_eq!(wall["changes"][0]["before"], 9.2);
    assert_eq!(wall["changes"][0]["after"], 7.4);
    assert_eq!(wall["changes"][0]["place"]["line"], 4);
    assert_eq!(
        wall["rests_on"],
        serde_json::json!(["ducts[PE125].outer_mm", "ducts[PE125].inner_mm"])
    );
}

#[test]
fn the_sheets_list_every_correction_and_every_open_finding() {
    with(|corrections| {
        let changes = tables::changes(corrections);
        assert_eq!(changes.len(), 3);
        assert_eq!(changes[0].before.as_deref(), Some("9.2"));
        assert_eq!(changes[0].after, Some(Value::Number(7.4)));
        assert!(changes[0].why.starts_with("recompute, duct/dimensions-inconsistent: the wall"));
        let [list, open] = &tables::tables(corrections)[..] else { panic!("two sheets") };
        assert_eq!((list.name.as_str(), open.name.as_str()), ("Corrections", "Open findings"));
        let corrected = corrections.corrected;
        let listed = corrected.made.len() + corrected.withdrawn.len() + corrected.proposed.len();
        assert_eq!(list.rows.len(), listed);
        assert_eq!(open.rows.len(), corrected.after.findings.len());
        for table in [list, open] {
            assert!(table.rows.iter().all(|row| row.len() == table.headers.len()));
        }
        assert!(list.rows.iter().all(|row| row[3].leads_to.is_some()));
        assert!(open.rows.iter().any(|row| row[2].leads_to.is_some()));
    });
}
