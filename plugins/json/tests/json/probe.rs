//! What the plugin takes for its own.

use restrand_json::Json;
use restrand_kit::Confidence::{self, No, Perhaps, Sure};
use restrand_kit::{Bytes, Parts, Plugin};

use crate::reading::Slow;

fn probe(name: &str, text: &[u8]) -> Confidence {
    let part = Bytes::new(name, text.to_vec());
    let confidence = Json.probe(Parts(&[&part]));
    assert_eq!(Json.probe(Parts(&[&Slow(part)])), confidence);
    confidence
}

#[test]
fn content_tells() {
    assert_eq!(probe("x", crate::round_trip::DOCUMENT.as_bytes()), Sure);
    assert_eq!(
        probe("x", "\u{feff}\r\n {\"a\": [{\"b\": \"}\"}], \"restrand\" : 1".as_bytes()),
        Sure
    );
    assert_eq!(probe("x", b"{\"tendons\": {\"mark\": \"T1\"}}\n"), Sure);
    assert_eq!(probe("x", b"{\"ducts\": ["), Sure);
    // A name that stands deeper, or as a value, tells nothing.
    assert_eq!(probe("x", b"{\"a\": {\"tendons\": []}, \"b\": \"restrand\"}"), No);
    assert_eq!(probe("x", b"{\"project\": {}}"), No);
    assert_eq!(probe("x", b"[{\"restrand\": 1}]"), No);
    assert_eq!(probe("x", b"restrand"), No);
    assert_eq!(probe("x", b""), No);
}

#[test]
fn the_name_makes_it_possible() {
    for name in ["a.json", "a.b.JSON", "a.ndjson", "a.jsonl"] {
        assert_eq!(probe(name, b"PK\x03\x04"), Perhaps);
    }
    for name in ["json", "a.json5", "a.json.gz", ""] {
        assert_eq!(probe(name, b"{}"), No);
    }
}

#[test]
fn a_character_cut_in_two_does_no_harm() {
    let text = format!("{{\"restrand\": 1, \"extra\": {{\"a\": \"{}\"}}}}", "ö".repeat(4000));
    assert_eq!(probe("x", text.as_bytes()), Sure);
    assert_eq!(probe("x", format!(" {text}").as_bytes()), Sure);
}
