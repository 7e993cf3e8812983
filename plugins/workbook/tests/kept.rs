//! What people typed, what no field takes, and what was changed, from file to file.

#![allow(clippy::unwrap_used, reason = "helpers of tests")]

mod common;

use std::io::{Cursor, Read as _};

use common::write_content;
use restrand_intake::Reading;
use restrand_json::Json;
use restrand_kit::{
    Budget, Bytes, Change, Content, Loss, Output, Parts, Plugin, SideCell, SideTable, WriteOptions,
};
use restrand_model::quantity::System;
use restrand_model::reading::ProblemKind;
use restrand_model::route::Route;
use restrand_model::value::Value;
use restrand_workbook::Workbook;

const TYPED: &str = r#"{"restrand": 1,
 "project": {"bridge": "Testing Beck", "stage": "shop_drawing", "given": {"stage": "Shop Drawing"}},
 "tendons": [
  {"mark": "T1", "strand_count": 19, "replaceable": true, "length_m": 41.7576,
   "given": {"replaceable": "x", "strand_count": "19", "length_m": "137'",
             "stressing.jacking_share": "75 %"},
   "stressing": {"jacking_share": 0.75},
   "points": [{"station_m": 1.5, "given": {"station_m": "1500 mm"}}],
   "ends": {"a": {"tail_mm": 12.7, "removal_space": {"behind_mm": 1384.3, "up_mm": 600},
                  "given": {"removal_space.behind_mm": "4'-6 1/2\"", "tail_mm": "1/2",
                            "removal_space.up_mm": "600"}}}}
 ]}"#;

fn read(plugin: &dyn Plugin, name: &str, bytes: &[u8]) -> Reading {
    let part = Bytes::new(name, bytes.to_vec());
    restrand_intake::read(plugin, Parts(&[&part]), Budget::default()).unwrap()
}

#[derive(Default)]
struct Buffer(Vec<u8>);

impl Output for Buffer {
    fn part(&mut self, _: &str) -> std::io::Result<&mut dyn std::io::Write> {
        Ok(&mut self.0)
    }
}

fn json(reading: &Reading, ending: &'static str) -> Vec<u8> {
    let mut output = Buffer::default();
    let content = Content::new(&reading.schedule, &reading.provenance);
    let options = WriteOptions { ending: Some(ending), ..WriteOptions::default() };
    assert_eq!(Json.write(&content, options, &mut output).unwrap(), []);
    output.0
}

fn xlsx(reading: &Reading, system: System) -> (Reading, Vec<Loss>) {
    let content = Content::new(&reading.schedule, &reading.provenance);
    let (bytes, losses) = write_content(&content, system);
    (read(&Workbook, "s.xlsx", &bytes), losses)
}

fn given(reading: &Reading) -> Vec<String> {
    let document: Value =
        Value::from_json(&String::from_utf8(json(reading, "json")).unwrap()).unwrap();
    let mut found = Vec::new();
    gather(&document, &mut found);
    found
}

fn gather(value: &Value, found: &mut Vec<String>) {
    match value {
        Value::Fields(fields) => {
            for (name, value) in fields {
                if name.as_str() == "given" {
                    found.extend(
                        value.as_fields().unwrap().iter().map(|(n, v)| format!("{n}: {v}")),
                    );
                } else {
                    gather(value, found);
                }
            }
        }
        Value::List(items) => items.iter().for_each(|item| gather(item, found)),
        _ => {}
    }
}

const ALL: [&str; 9] = [
    "stage: Shop Drawing",
    "station_m: 1500 mm",
    "tail_mm: 1/2",
    "removal_space.behind_mm: 4'-6 1/2\"",
    "removal_space.up_mm: 600",
    "replaceable: x",
    "strand_count: 19",
    "stressing.jacking_share: 75 %",
    "length_m: 137'",
];

fn sorted(texts: impl IntoIterator<Item = impl Into<String>>) -> Vec<String> {
    let mut texts: Vec<String> = texts.into_iter().map(Into::into).collect();
    texts.sort();
    texts
}

#[test]
fn documents_keep_the_texts_as_given() {
    let reading = read(&Json, "s.json", TYPED.as_bytes());
    assert_eq!(reading.problems, []);
    assert_eq!(sorted(given(&reading)), sorted(ALL));
    for ending in ["json", "ndjson"] {
        let again = read(&Json, &format!("s.{ending}"), &json(&reading, ending));
        assert_eq!(again.problems, []);
        assert_eq!(again.schedule, reading.schedule);
        assert_eq!(json(&again, ending), json(&reading, ending));
    }
}

#[test]
fn workbooks_keep_the_texts_that_say_the_same_and_say_the_others() {
    let reading = read(&Json, "s.json", TYPED.as_bytes());
    let (again, losses) = xlsx(&reading, System::Si);
    assert_eq!(again.problems, []);
    assert_eq!(again.schedule, reading.schedule);
    // Half an inch without its mark would be half a millimetre.
    let [loss] = losses.as_slice() else { panic!("{losses:#?}") };
    assert_eq!(loss.route, "tendons[T1].ends.a.tail_mm");
    assert_eq!(loss.value, "1/2");
    assert!(loss.why.contains("Tail [mm]"), "{}", loss.why);
    let kept = ALL.iter().filter(|text| **text != "tail_mm: 1/2").copied();
    assert_eq!(sorted(given(&again)), sorted(kept.clone()));

    // Where the header states inches, the text says what it said, and a plain number is converted.
    let (again, losses) = xlsx(&reading, System::Us);
    assert_eq!(losses, []);
    assert_eq!(again.schedule, reading.schedule);
    let kept = ALL.iter().filter(|text| **text != "removal_space.up_mm: 600").copied();
    assert_eq!(sorted(given(&again)), sorted(kept));
}

#[test]
fn a_text_that_does_not_say_its_value_is_told_and_not_kept() {
    let text = TYPED
        .replace("\"behind_mm\": 1384.3", "\"behind_mm\": 1384.4")
        .replace("\"strand_count\": \"19\"", "\"strands\": \"19\"")
        .replace("\"replaceable\": \"x\"", "\"replaceable\": 1");
    let reading = read(&Json, "s.json", text.as_bytes());
    let told = sorted(reading.problems.iter().map(|problem| {
        assert_eq!(problem.kind, ProblemKind::ValueDoubtful);
        format!("{}: {}", problem.subject, problem.why)
    }));
    assert_eq!(
        told,
        [
            "tendon.ends.a.given.removal_space.behind_mm: it does not say the value that stands beside it, \
             1384.4",
            "tendon.given.replaceable: it is no text",
            "tendon.given.strands: no field has this name",
        ]
    );
    assert_eq!(given(&reading).len(), ALL.len() - 3);
}

#[test]
fn further_values_survive_whatever_they_are() {
    const FURTHER: &str = r#"{"restrand": 1,
     "extra": {"Archive": "B 7", "Owners": ["A", {"b": 2}], "-": 1, "Restrand": true},
     "tendons": [
      {"mark": "T1", "extra": {"Heats": ["H1", "H2"], "Mark": "of the yard", "Empty": "", "Deep": {"a": {"b": [1, "2"]}},
        "Strand count [x]": 4, "extra: odd": " padded ", " blank ": "-", "Plain": 7, "[JSON]": false, "computed: x": 1}},
      {"mark": "T2", "extra": {"Heats": "H3", "Plain": "7"}}
     ]}"#;
    let reading = read(&Json, "s.json", FURTHER.as_bytes());
    assert_eq!(reading.problems, []);
    let (again, losses) = xlsx(&reading, System::Si);
    assert_eq!(losses, []);
    assert_eq!(again.schedule, reading.schedule);
    let told: Vec<_> = again.problems.iter().map(|problem| problem.subject.as_str()).collect();
    assert_eq!(
        told,
        ["Tendons: Plain", "Tendons: [JSON]"],
        "names that need no mark are as in any sheet"
    );
    assert_eq!(json(&again, "json"), json(&reading, "json"));
}

fn part(bytes: &[u8], name: &str) -> String {
    let mut archive = zip::ZipArchive::new(Cursor::new(bytes)).unwrap();
    let mut text = String::new();
    archive.by_name(name).unwrap().read_to_string(&mut text).unwrap();
    text
}

#[test]
fn changed_cells_are_marked_and_tables_lead_to_them() {
    let mut reading = read(&Json, "s.json", TYPED.as_bytes());
    let end = reading.schedule.tendons[0].ends.as_mut().unwrap().a.as_mut().unwrap();
    end.removal_space.as_mut().unwrap().behind_mm = Some(1300.0);
    end.tail_mm = None;
    let a = Route::to("tendons", 0).field("ends").field("a");
    let behind = a.field("removal_space").field("behind_mm");
    let changes = [
        Change {
            route: behind.clone(),
            before: Some("4'-6 1/2\"".to_owned()),
            after: Some(Value::Number(1300.0)),
            why: "The bearing plate was moved.".to_owned(),
        },
        Change {
            route: a.field("tail_mm"),
            before: Some("1/2".to_owned()),
            after: None,
            why: "The tail is not known.".to_owned(),
        },
    ];
    let cell = |value: &str| SideCell { value: Some(value.into()), leads_to: None };
    let tables = [SideTable {
        name: "Corrections".to_owned(),
        about: "What was changed".to_owned(),
        headers: vec!["Value".to_owned(), "Why".to_owned()],
        rows: vec![
            vec![SideCell { value: Some("behind".into()), leads_to: Some(behind) }, cell("=moved")],
            vec![SideCell { value: None, leads_to: Some(a) }, cell("not known")],
        ],
    }];
    let content = Content {
        schedule: &reading.schedule,
        provenance: &reading.provenance,
        changes: &changes,
        tables: &tables,
        layout: None,
    };
    let (bytes, losses) = write_content(&content, System::Si);
    assert_eq!(losses, [], "no spelling is missed of a value that was changed");
    let again = read(&Workbook, "s.xlsx", &bytes);
    assert_eq!(again.problems, []);
    assert_eq!(again.schedule, reading.schedule);

    let notes: String = (1..=60)
        .filter_map(|number| {
            let mut archive = zip::ZipArchive::new(Cursor::new(&bytes)).unwrap();
            let mut text = String::new();
            archive
                .by_name(&format!("xl/comments{number}.xml"))
                .ok()?
                .read_to_string(&mut text)
                .ok()?;
            Some(text)
        })
        .collect();
    for note in ["Before: 4'-6 1/2\"", "Why: The bearing plate was moved.", "Before: 1/2"] {
        assert!(notes.contains(&note.replace('"', "&quot;")) || notes.contains(note), "{note}");
    }
    let book = part(&bytes, "xl/workbook.xml");
    let number = 1 + book.matches("<sheet ").collect::<Vec<_>>().len()
        - book[book.find("Corrections").unwrap()..].matches("<sheet ").count()
        - 1;
    let table = part(&bytes, &format!("xl/worksheets/sheet{number}.xml"));
    assert!(table.contains("location=\"'Ends'!"), "{table}");
    assert_eq!(table.matches("<hyperlink ").count(), 2);
}
