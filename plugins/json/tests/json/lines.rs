//! NDJSON: a line that cannot be read is lost alone.

use restrand_model::reading::ProblemKind::{RecordLost, ValueDoubtful, ValueLost};

use crate::reading::{cut, read, refusal};

const GOOD: &str = "\u{feff}{\"restrand\": 1}\r\n\r\n{\"tendons\": {\"mark\": \"T1\"}}\r\n \
                    {\"project\": {\"bridge\": \"Ö\"}}  \r\n{\"tendons\": { \"mark\": \"T2\" } }";

#[test]
fn records_stand_at_their_own_text() {
    let reading = read("s.NDJSON", GOOD.as_bytes()).unwrap();
    assert_eq!(reading.problems, []);
    assert_eq!(
        reading.stretches(GOOD),
        [
            ("tendons", "{\"mark\": \"T1\"}"),
            ("project", "{\"bridge\": \"Ö\"}"),
            ("tendons", "{ \"mark\": \"T2\" }"),
        ]
    );
    assert_eq!(reading.tables.len(), 2);
}

#[test]
fn a_bad_line_is_lost_alone() {
    let text = "{\"restrand\": 1}\n{\"tendons\": {\"mark\": \"T1\"}}\n{\"tendons\": {\"mark\": NaN}}\n\
                {\"tendon\": {\"mark\": \"T3\"}}\n[1]\n{}\n{\"tendons\": 5}\n\
                {\"tendons\": {\"mark\": \"T4\"}, \"ducts\": {}}\n\
                {\"tendons\": {\"mark\": \"T5\", \"mark\": \"T6\"}}\n{\"tendons\": {\"mark\":\n\
                {\"project\": {}}\n{\"project\": {\"bridge\": \"B\"}}\n{\"restrand\": 1}\n\
                {\"tendons\": {\"mark\": \"T7\"}}\n";
    let reading = read("s.jsonl", text.as_bytes()).unwrap();
    assert_eq!(
        reading.faults(text),
        [
            (RecordLost, "line 3", "NaN"),
            (RecordLost, "line 4", "\"tendon\""),
            (RecordLost, "line 5", "[1]"),
            (RecordLost, "line 6", "{}"),
            (RecordLost, "tendons[#2]", "5"),
            (RecordLost, "line 8", "{\"tendons\": {\"mark\": \"T4\"}, \"ducts\": {}}"),
            (ValueLost, "tendon.mark", "\"T6\""),
            (RecordLost, "line 10", ""),
            (RecordLost, "project", "{\"bridge\": \"B\"}"),
        ]
    );
    assert_eq!(reading.problems[1].help, "did you mean \"tendons\"?");
    let marks: Vec<_> =
        reading.schedule().tendons.iter().map(|tendon| tendon.mark.clone().unwrap()).collect();
    assert_eq!(marks, ["T1".into(), "T5".into(), "T7".into()] as [Box<str>; 3]);
}

#[test]
fn a_line_in_another_encoding_is_lost_alone() {
    let text = b"{\"restrand\": 1}\n{\"tendons\": {\"mark\": \"T\xFC\"}}\n{\"tendons\": {}}\n";
    let reading = read("s.ndjson", text).unwrap();
    assert_eq!(reading.records.len(), 1);
    assert_eq!(reading.problems.len(), 1);
    assert_eq!(
        reading.problems[0].why,
        "the byte 0xFC at line 2, column 24 (byte 39) is not UTF-8"
    );
    assert_eq!(
        reading.problems[0].given.as_deref(),
        Some("{\"tendons\": {\"mark\": \"T\u{fffd}\"}}")
    );
}

#[test]
fn a_line_too_deep_is_lost_alone() {
    let deep = format!("{{\"tendons\": {}", "[".repeat(100_000));
    let text = format!("{{\"restrand\": 1}}\n{deep}\n{{\"tendons\": {{}}}}\n");
    let reading = read("s.ndjson", text.as_bytes()).unwrap();
    assert_eq!(reading.records.len(), 1);
    assert_eq!(reading.faults(&text), [(RecordLost, "line 2", "[")]);
}

#[test]
fn the_version_stands_first() {
    let text = "\n{\"tendons\": {}}\n{\"restrand\": 1}\n";
    let reading = read("s.ndjson", text.as_bytes()).unwrap();
    assert_eq!(reading.faults(text), [(ValueDoubtful, "schedule.restrand", "{")]);
    assert_eq!(reading.records.len(), 1);

    let text = "{\"restrand\": null}\n{\"tendons\": {}}\n";
    let reading = read("s.ndjson", text.as_bytes()).unwrap();
    assert_eq!(reading.faults(text), [(ValueDoubtful, "schedule.restrand", "{")]);

    let text = "\n{\"restrand\": 2}\n{\"tendons\": {}}\n";
    let (span, why, _) = refusal("s.ndjson", text.as_bytes());
    assert_eq!(cut(text, span), "2");
    assert_eq!(why, "version 2 is not known to this release");
}

#[test]
fn a_document_under_the_wrong_name_is_one_error() {
    let (span, _, help) = refusal("s.ndjson", crate::round_trip::DOCUMENT.as_bytes());
    assert_eq!((span.start, span.end), (0, 1));
    assert!(help.contains(".json"));
}

#[test]
fn what_no_field_takes_comes_with_its_line() {
    let text =
        "{\"restrand\": 1}\n{\"extra\": {\"a\": 1}}\n{\"extra\": {\"b\": 1}}\n{\"extra\": 3}\n";
    let reading = read("s.ndjson", text.as_bytes()).unwrap();
    assert_eq!(reading.stretches(text), [("schedule", "{\"extra\": {\"a\": 1}}")]);
    assert_eq!(
        reading.faults(text),
        [(RecordLost, "extra", "{\"b\": 1}"), (RecordLost, "extra", "3")]
    );
    assert_eq!(reading.schedule().extra.len(), 1);
}

#[test]
fn one_line_without_a_name_that_tells_is_a_record_where_a_list_would_hold_an_object() {
    let mark = |text: &str| {
        let reading = crate::reading::read("-", text.as_bytes()).unwrap();
        reading.schedule().tendons.first().and_then(|tendon| tendon.mark.clone())
    };
    assert_eq!(mark("{\"tendons\":{\"mark\":\"T1\"}}").as_deref(), Some("T1"));
    assert_eq!(mark("\u{feff}{\"tendons\": {\"mark\": \"T1\"}}\n\n").as_deref(), Some("T1"));
    assert_eq!(mark("{\"tendons\": [{\"mark\": \"T1\"}]}").as_deref(), Some("T1"));
}
