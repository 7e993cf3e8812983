//! What is written comes back equal, from both forms.

use std::collections::BTreeMap;
use std::io::{self, Write};

use restrand_json::Json;
use restrand_kit::{Bytes, Content, Output, Plugin, WriteError, WriteOptions};
use restrand_model::reading::Provenance;
use restrand_model::schedule::Schedule;

use crate::reading::{Slow, document, read, read_part};

#[derive(Default)]
struct Written(BTreeMap<String, Vec<u8>>);

impl Output for Written {
    fn part(&mut self, name: &str) -> io::Result<&mut dyn Write> {
        Ok(self.0.entry(name.to_owned()).or_default())
    }
}

pub(crate) const DOCUMENT: &str = r#"{
  "restrand": 1,
  "project": { "bridge": "Quillmere Viaduct, \"north\"", "extra": { "Client": "Ö. Müller 🏗", "box": 7 } },
  "strands": [ { "id": "S1", "area_mm2": 150.0, "e_mpa": 1.95e5 } ],
  "places": [],
  "tendons": [
    {
      "mark": "T1", "strand": "S1", "strand_count": 19, "replaceable": true,
      "points": [
        { "station_m": 0.1, "elevation_m": -0.30000000000000004 },
        { "station_m": 123456.789 }
      ],
      "ends": { "a": { "place": "P1", "removal_space": { "behind_mm": 1e3, "up_mm": 0 } } },
      "extra": { "heats": ["a", "b", [1, 2.5, {}]], "empty": {}, "yes": false }
    },
    { "mark": "T2", "strand_count": null }
  ],
  "extra": { "owner": { "since": 1987 } }
}
"#;

fn write(schedule: &Schedule, ending: Option<&'static str>) -> (String, String) {
    let mut written = Written::default();
    let options = WriteOptions { ending, ..WriteOptions::default() };
    let provenance = Provenance::default();
    let content = Content::new(schedule, &provenance);
    assert_eq!(Json.write(&content, options, &mut written).unwrap(), []);
    assert_eq!(written.0.len(), 1);
    let (name, bytes) = written.0.pop_first().unwrap();
    (name, String::from_utf8(bytes).unwrap())
}

fn sample() -> Schedule {
    let reading = document(DOCUMENT);
    assert_eq!(reading.problems, []);
    let schedule = reading.schedule();
    assert_eq!(schedule.tendons.len(), 2);
    assert_eq!(schedule.tendons[0].points[1].station_m, Some(123_456.789));
    assert_eq!(schedule.tendons[1].strand_count, None);
    assert_eq!(schedule.extra.len(), 1);
    schedule
}

#[test]
fn a_document_that_was_written_comes_back_equal() {
    let schedule = sample();
    let (name, text) = write(&schedule, None);
    assert_eq!(name, "schedule.json");
    assert!(
        text.starts_with("{\n  \"restrand\": 1,\n  \"project\": {\n    \"bridge\": "),
        "{text}"
    );
    assert!(text.ends_with("}\n"));
    assert!(text.contains("\"strand_count\": 19,"), "whole numbers have no fraction");
    let reading = read(&name, text.as_bytes()).unwrap();
    assert_eq!(reading.problems, []);
    assert_eq!(reading.schedule(), schedule);
    assert_eq!(write(&schedule, Some("json")), (name, text));
}

#[test]
fn lines_that_were_written_come_back_equal() {
    let schedule = sample();
    let (name, text) = write(&schedule, Some("ndjson"));
    assert_eq!(name, "schedule.ndjson");
    let lines: Vec<_> = text.lines().collect();
    assert_eq!(lines.len(), 6);
    assert_eq!(lines[0], "{\"restrand\":1}");
    assert_eq!(lines[4], "{\"tendons\":{\"mark\":\"T2\"}}");
    let reading = read(&name, text.as_bytes()).unwrap();
    assert_eq!(reading.problems, []);
    assert_eq!(reading.schedule(), schedule);
}

#[test]
fn an_empty_schedule_states_its_version() {
    assert_eq!(write(&Schedule::default(), None).1, "{\n  \"restrand\": 1\n}\n");
    assert_eq!(write(&Schedule::default(), Some("jsonl")).1, "{\"restrand\":1}\n");
}

#[test]
fn an_ending_that_is_not_ours_is_not_written() {
    let options = WriteOptions { ending: Some("xlsx"), ..WriteOptions::default() };
    let (schedule, provenance) = (Schedule::default(), Provenance::default());
    let content = Content::new(&schedule, &provenance);
    let result = Json.write(&content, options, &mut Written::default());
    assert!(matches!(result, Err(WriteError::Unsupported(_))));
}

#[test]
fn a_part_that_is_not_in_memory_reads_the_same() {
    let schedule = sample();
    for ending in ["json", "ndjson"] {
        let (name, text) = write(&schedule, Some(ending));
        let slow = Slow(Bytes::new(name, text.into_bytes()));
        assert_eq!(read_part(&slow).unwrap().schedule(), schedule);
    }
}

#[test]
fn without_an_ending_the_content_tells_the_form() {
    let schedule = sample();
    for ending in ["json", "ndjson"] {
        let (_, text) = write(&schedule, Some(ending));
        assert_eq!(read("-", text.as_bytes()).unwrap().schedule(), schedule, "{ending}");
    }
}

#[test]
fn names_of_fields_are_the_models_own() {
    use restrand_model::value::Name;
    let reading = document(DOCUMENT);
    let tendon = reading.records.iter().find(|r| r.fields.get("points").is_some()).unwrap();
    for (name, _) in &tendon.fields {
        assert!(matches!(name, Name::Known(_)), "{name}");
    }
}
