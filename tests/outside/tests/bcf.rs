//! BCF archives that a reader of buildingSMART's format opens.

use std::collections::BTreeSet;
use std::path::Path;

use restrand_check::rulebook;
use restrand_ifcspf::IfcSpf;
use restrand_intake::Reading;
use restrand_model::ifc::Ids;
use restrand_model::quantity::System;
use restrand_model::reflect::Date;
use restrand_model::route::{Names, Route};
use restrand_report::bcf::Archive;
use restrand_report::{Checked, InForce, NoSources};
use restrand_test_outside::{read, root, run, write_as};
use serde_json::Value;

const AS_OF: &str = "2031-05-07";

fn demo() -> Reading {
    read(&root().join("fixtures/demo/quillmere-faulty.xlsx"))
}

/// The findings of a reading as an archive, and how many there are.
fn archive(reading: &Reading) -> (Vec<u8>, usize) {
    let book = rulebook::built_in_force("base").expect("the base is built in");
    let report = restrand_check::check(reading, &book, AS_OF.parse::<Date>().expect("a date"));
    let mut archive = Archive::begin(AS_OF);
    archive.input(&Checked {
        file: "somewhere/quillmere-faulty.xlsx",
        format: Some("workbook"),
        report: &report,
        reading: Some(reading),
        sources: &NoSources,
        rulebook: Some(InForce { book: &book, why: "" }),
        system: System::Si,
        as_of: AS_OF,
    });
    let mut bytes = Vec::new();
    archive.end(&mut bytes).expect("a list takes all bytes");
    (bytes, report.findings.len())
}

/// What a reader from outside finds in an archive.
fn opened(bytes: &[u8], folder: &Path) -> Value {
    let (path, out) = (folder.join("findings.bcf"), folder.join("found.json"));
    std::fs::write(&path, bytes).expect("the file can be written");
    run("read_bcf.py", &[&path, &out]);
    let text = std::fs::read_to_string(out).expect("the script wrote it");
    serde_json::from_str(&text).expect("it is JSON")
}

fn topics(found: &Value) -> &[Value] {
    found["topics"].as_array().expect("topics are a list")
}

fn text<'v>(topic: &'v Value, member: &str) -> &'v str {
    topic[member].as_str().expect("a text")
}

#[test]
fn every_finding_is_in_a_topic_with_ids_that_last() {
    let folder = tempfile::tempdir().expect("a folder for scratch files");
    let reading = demo();
    let (bytes, findings) = archive(&reading);
    let found = opened(&bytes, folder.path());
    assert_eq!(found["version"], "3.0");
    assert_eq!(found["project"][1], "Quillmere Viaduct");
    let topics = topics(&found);
    let alike = |topic: &Value| {
        1 + text(topic, "description").lines().filter(|line| line.starts_with("Alike: ")).count()
    };
    assert_eq!(topics.iter().map(alike).sum::<usize>(), findings);
    let ids: BTreeSet<_> = topics.iter().map(|topic| text(topic, "guid")).collect();
    assert_eq!(ids.len(), topics.len(), "each topic has an id of its own");
    for topic in topics {
        assert_eq!(topic["guid"], topic["folder"]);
        assert!(text(topic, "date").starts_with(AS_OF), "{}", topic["date"]);
    }
    // The same again: the same bytes; and rows in another order: the same ids.
    assert_eq!(archive(&demo()).0, bytes);
    let mut turned = demo();
    // Not the tendons: which of two a finding of both is told at follows their order.
    turned.schedule.anchorages.reverse();
    turned.schedule.ducts.reverse();
    turned.schedule.places.reverse();
    let other = opened(&archive(&turned).0, folder.path());
    let others: BTreeSet<_> = self::topics(&other).iter().map(|t| text(t, "guid")).collect();
    assert_eq!(others, ids);
}

#[test]
fn what_topics_select_is_in_the_model_of_the_same_schedule() {
    let folder = tempfile::tempdir().expect("a folder for scratch files");
    let reading = demo();
    let path = folder.path().join("model.ifc");
    write_as(&IfcSpf, &reading, System::Si, &path);
    let model = std::fs::read_to_string(&path).expect("it is text");
    let found = opened(&archive(&reading).0, folder.path());
    let selected: BTreeSet<_> = topics(&found)
        .iter()
        .flat_map(|topic| topic["elements"].as_array().expect("a list"))
        .map(|id| id.as_str().expect("a text"))
        .collect();
    assert!(selected.len() > 50, "{}", selected.len());
    for id in selected {
        assert!(model.contains(&format!("'{id}'")), "{id} is not in the model");
    }
}

#[test]
fn a_topic_selects_the_element_and_looks_at_it() {
    let folder = tempfile::tempdir().expect("a folder for scratch files");
    let reading = demo();
    let schedule = &reading.schedule;
    let found = opened(&archive(&reading).0, folder.path());
    let is_stub = |topic: &&Value| {
        topic["labels"][0] == "space/stub" && text(topic, "title").contains("at end a of T12R")
    };
    let topic = topics(&found).iter().find(is_stub).expect("the demo has the finding");
    let position = schedule.tendons.iter().position(|t| t.mark.as_deref() == Some("T12R"));
    let end =
        Route::to("tendons", position.expect("the demo has the tendon")).field("ends").field("a");
    let id = Ids::of(schedule).of_record(&end, schedule, &Names::of(schedule));
    let selected = topic["elements"].as_array().expect("a list");
    assert!(selected.contains(&Value::String(id)), "{selected:?}");
    // The camera's line of sight goes through the bearing plate's middle.
    let book = rulebook::built_in_force("base").expect("the base is built in");
    let layout = restrand_check::layout(schedule, &book);
    let plate = layout.seat(&end).expect("the end stands somewhere").frame.at_m;
    let three = |value: &Value| -> [f64; 3] {
        [0, 1, 2].map(|axis| value[axis].as_f64().expect("a number"))
    };
    let [at, along] = [0, 1].map(|part| three(&topic["cameras"][0][part]));
    let to_plate = [0, 1, 2].map(|axis| plate[axis] - at[axis]);
    let ahead: f64 = to_plate.iter().zip(along).map(|(a, b)| a * b).sum();
    assert!(ahead > 0.0);
    let aside: f64 = [0, 1, 2]
        .map(|axis| (to_plate[axis] - along[axis] * ahead).powi(2))
        .iter()
        .sum::<f64>()
        .sqrt();
    assert!(aside < 0.001, "{aside} m beside the plate's middle");
}
