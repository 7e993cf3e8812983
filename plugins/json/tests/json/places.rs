//! Records and problems stand exactly where they are said to stand.

use restrand_kit::LoadError;
use restrand_model::reading::Origin;
use restrand_model::reading::ProblemKind::{RecordLost, Unknown, ValueDoubtful, ValueLost};

use crate::reading::{document, read};
use crate::round_trip::DOCUMENT;

#[test]
fn a_record_stands_at_its_own_text() {
    for text in [DOCUMENT.to_owned(), format!("\u{feff}{}", DOCUMENT.replace('\n', "\r\n"))] {
        let reading = document(&text);
        let stretches = reading.stretches(&text);
        let lists: Vec<_> = stretches.iter().map(|(list, _)| *list).collect();
        assert_eq!(lists, ["project", "strands", "tendons", "tendons", "schedule"]);
        assert_eq!(stretches[1].1, r#"{ "id": "S1", "area_mm2": 150.0, "e_mpa": 1.95e5 }"#);
        assert!(stretches[2].1.starts_with("{") && stretches[2].1.contains("\"T1\""));
        assert!(
            stretches[2].1.ends_with("\"yes\": false }\n    }")
                || stretches[2].1.ends_with("\"yes\": false }\r\n    }")
        );
        assert_eq!(stretches[3].1, r#"{ "mark": "T2", "strand_count": null }"#);
        assert_eq!(stretches[4].1, text.trim_start_matches('\u{feff}').trim_end());
        // A list without a record is a table all the same.
        assert_eq!(reading.tables.len(), 5);
        assert!(reading.tables.iter().all(|table| table.part == "s.json" && table.sheet.is_none()));
    }
}

#[test]
fn what_is_no_record_is_lost_alone() {
    let text = r#"{"restrand": 1, "tendons": [{"mark": "T1"}, 7, null, "T3", [1], {"mark": "T4"}],
                   "ducts": {"id": "D1"}, "project": "Quillmere"}"#;
    let reading = document(text);
    assert_eq!(reading.records.len(), 2);
    assert_eq!(
        reading.faults(text),
        [
            (RecordLost, "tendons[#2]", "7"),
            (RecordLost, "tendons[#3]", "null"),
            (RecordLost, "tendons[#4]", "\"T3\""),
            (RecordLost, "tendons[#5]", "[1]"),
            (RecordLost, "ducts", r#"{"id": "D1"}"#),
            (RecordLost, "project", "\"Quillmere\""),
        ]
    );
    assert_eq!(reading.problems[2].given.as_deref(), Some("\"T3\""));
}

#[test]
fn a_member_that_stands_twice_keeps_its_first_value() {
    let text = r#"{"restrand": 1, "strands": [],
        "tendons": [{"mark": "T0"}, {"mark": "T1", "ends": {"a": {"place": "P1", "pl\u0061ce": "P2"}},
                     "points": [{}, {"station_m": 1, "station_m": 2}], "mark": "T9", "mark": null,
                     "extra": {"x": {"y": 1, "y": [2]}}}],
        "tendons": [{"mark": "T2"}], "restrand": 7}"#;
    let reading = document(text);
    assert_eq!(
        reading.faults(text),
        [
            (ValueLost, "tendon.ends.a.place", "\"P2\""),
            (ValueLost, "tendon.points[#2].station_m", "2"),
            (ValueLost, "tendon.mark", "\"T9\""),
            (ValueLost, "tendon.extra.x.y", "[2]"),
            (ValueLost, "schedule.tendons", r#"[{"mark": "T2"}]"#),
            (ValueLost, "schedule.restrand", "7"),
        ]
    );
    let places: Vec<_> = reading.problems.iter().map(|problem| problem.record.get()).collect();
    let record = Origin::new(1, 1).get();
    assert_eq!(places, [record, record, record, record, None, None]);
    let schedule = reading.schedule();
    assert_eq!(schedule.tendons[1].mark.as_deref(), Some("T1"));
    assert_eq!(schedule.tendons[1].points[1].station_m, Some(1.0));
}

#[test]
fn members_that_stand_twice_are_found_among_many() {
    let mut text = "{\"restrand\": 1, \"tendons\": [{\"mark\": \"T1\", \"extra\": {".to_owned();
    for number in 0..20_000 {
        text.push_str(&format!("\"n{}\": {number}, ", number % 19_990));
    }
    text.push_str("\"end\": 0}}]}");
    let reading = document(&text);
    assert_eq!(reading.problems.len(), 10);
    assert_eq!(reading.faults(&text)[9], (ValueLost, "tendon.extra.n9", "19999"));
}

#[test]
fn a_number_too_large_is_lost_alone() {
    let text = r#"{"restrand": 1, "tendons": [{"mark": "T1", "strand_count": 1e999,
        "points": [{"station_m": -1E400, "elevation_m": 2}]}]}"#;
    let reading = document(text);
    assert_eq!(
        reading.faults(text),
        [
            (ValueLost, "tendon.strand_count", "1e999"),
            (ValueLost, "tendon.points[#1].station_m", "-1E400"),
        ]
    );
    assert_eq!(reading.schedule().tendons[0].points[0].elevation_m, Some(2.0));
}

#[test]
fn digits_that_are_not_kept_are_told() {
    let text = r#"{"restrand": 1, "tendons": [{"extra": {"heat": 12345678901234567891,
        "ok": 9007199254740993.5, "even": 9007199254740994, "odd": -9007199254740993}}]}"#;
    assert_eq!(
        document(text).faults(text),
        [
            (ValueDoubtful, "tendon.extra.heat", "12345678901234567891"),
            (ValueDoubtful, "tendon.extra.odd", "-9007199254740993"),
        ]
    );
}

#[test]
fn nothing_in_a_list_is_told() {
    let text =
        r#"{"restrand": 1, "tendons": [{"points": [{"station_m": 1}, null, {"station_m": 2}]}]}"#;
    let reading = document(text);
    assert_eq!(reading.faults(text), [(ValueDoubtful, "tendon.points[#2]", "null")]);
    assert_eq!(reading.schedule().tendons[0].points.len(), 2);
}

#[test]
fn half_a_character_is_lost_alone() {
    let text = r#"{"restrand": 1, "tendons": [{"mark": "a\ud800", "\udc00": [1], "remark": "\ud83d\ude00"}],
                   "\ud800": 1}"#;
    let reading = document(text);
    assert_eq!(
        reading.faults(text),
        [
            (ValueLost, "tendon.mark", r#""a\ud800""#),
            (ValueLost, "tendon", r#""\udc00": [1]"#),
            (ValueLost, "schedule", r#""\ud800": 1"#),
        ]
    );
    assert_eq!(reading.records[0].fields.get("remark").unwrap().as_text(), Some("😀"));
}

#[test]
fn an_unknown_member_of_the_root_is_kept_and_told() {
    let text = r#"{"restrand": 1, "tendon": [{"mark": "T1"}], "zz": 5, "nothing": null,
                   "extra": {"zz": 6, "more": {"a": null, "b": 1}}}"#;
    let reading = document(text);
    assert_eq!(
        reading.faults(text),
        [
            (Unknown, "schedule.tendon", r#""tendon": [{"mark": "T1"}]"#),
            (Unknown, "schedule.zz", r#""zz": 5"#),
            (Unknown, "schedule.nothing", r#""nothing": null"#),
            (ValueLost, "schedule.zz", "6"),
        ]
    );
    assert_eq!(reading.problems[0].help, "did you mean \"tendons\"?");
    assert_eq!(reading.stretches(text), [("schedule", text)]);
    let schedule = reading.schedule();
    let names: Vec<_> = schedule.extra.iter().map(|(name, _)| name.as_str()).collect();
    assert_eq!(names, ["tendon", "zz", "more"]);
    assert_eq!(schedule.extra.get("more").unwrap().to_string(), r#"{"b":1}"#);
}

#[test]
fn an_open_map_that_is_no_object_is_told() {
    let text = r#"{"restrand": 1, "extra": [1]}"#;
    assert_eq!(document(text).faults(text), [(ValueLost, "schedule.extra", "[1]")]);
}

#[test]
fn a_version_that_is_not_given_is_told() {
    for text in ["  {\"tendons\": []}", "{\"restrand\": null}", "{}"] {
        let reading = document(text);
        assert_eq!(reading.faults(text), [(ValueDoubtful, "schedule.restrand", "{")], "{text}");
    }
    assert_eq!(document("{\"restrand\": 1.0}").problems, []);
}

#[test]
fn a_record_with_too_many_values_is_lost_alone() {
    let zeros = "0,".repeat(600_000);
    let text = format!(
        "{{\"restrand\": 1, \"tendons\": [{{\"extra\": {{\"z\": [{zeros}0]}}}}, {{\"mark\": \"T2\"}}]}}"
    );
    let reading = document(&text);
    assert_eq!(reading.problems.len(), 1);
    assert_eq!(reading.problems[0].subject, "tendons[#1]");
    assert_eq!(reading.problems[0].kind, RecordLost);
    assert_eq!(reading.schedule().tendons[0].mark.as_deref(), Some("T2"));
}

#[test]
fn a_value_lost_behind_many_doubts_is_still_told() {
    let nulls = "null, ".repeat(10_001);
    let text = format!(
        "{{\"restrand\": 1, \"tendons\": [{{\"mark\": \"T1\", \"extra\": {{\"x\": [{nulls}1]}}, \
         \"strand_count\": 1e999}}]}}"
    );
    let reading = document(&text);
    assert_eq!(reading.problems.len(), 10_002);
    assert_eq!(reading.faults(&text)[10_001], (ValueLost, "tendon.strand_count", "1e999"));
}

#[test]
fn a_taker_that_wants_no_more_ends_the_reading() {
    use restrand_kit::{Budget, Bytes, Frame, Parts, Plugin, Stopped};
    for (name, text) in [
        ("s.json", DOCUMENT),
        ("s.ndjson", "{\"restrand\": 1}\n{\"tendons\": {}}\n{\"tendons\": {}}\n"),
    ] {
        let part = Bytes::new(name, text.as_bytes().to_vec());
        let mut records = 0;
        let result =
            restrand_json::Json.load(Parts(&[&part]), Budget::default(), &mut |frame: Frame| {
                match frame {
                    Frame::Record(_) => {
                        records += 1;
                        Err(Stopped)
                    }
                    _ => Ok(()),
                }
            });
        assert!(matches!(result, Err(LoadError::Stopped)));
        assert_eq!(records, 1);
    }
}

#[test]
fn without_a_part_nothing_is_read() {
    use restrand_kit::{Budget, Confidence, Frame, Parts, Plugin};
    let result = restrand_json::Json.load(Parts(&[]), Budget::default(), &mut |_: Frame| Ok(()));
    assert!(matches!(result, Err(LoadError::Medium(_))));
    assert_eq!(restrand_json::Json.probe(Parts(&[])), Confidence::No);
    assert!(read("s.json", b"").is_err());
}
