//! What cannot be read as a whole: one clear error, at the byte, with what to do.

use crate::reading::{cut, refusal};

/// Asserts the place and words of the help of a document that is refused.
#[track_caller]
fn refused(text: &str, at: &str, help_holds: &str) {
    let (span, why, help) = refusal("s.json", text.as_bytes());
    let expected = text.find(at).unwrap();
    assert_eq!(span.start as usize, expected + at.find('→').unwrap_or(0), "{why} / {help}");
    assert!(help.contains(help_holds), "{why} / {help}");
    assert!(!why.contains(" at line"), "{why}");
}

#[test]
fn a_slip_is_told_at_its_byte() {
    // The text, a stretch of it that begins at the fault, and what the help must say.
    let cases = [
        ("{\"restrand\": 1,\n \"a\": NaN}", "NaN", "NaN is not JSON: leave the member out"),
        ("{\"a\": nan}", "nan", "leave the member out"),
        ("{\"a\": -Infinity}", "-Infinity", "leave the member out"),
        ("{\"a\": None}", "None", "leave the member out"),
        ("{\"a\": True}", "True", "in lower case, as true"),
        ("{\"a\": tru}", "tru", "double quotes"),
        ("{\"a\": nulL}", "nulL", "in lower case, as null"),
        ("{\"a\": 1.}", "1.}", "both sides of the point"),
        ("{\"a\": 1e}", "1e}", "1.5e3"),
        ("{\"a\": T1}", "T1", "double quotes"),
        ("{\"a\": [1, 2, ]}", "]", "comma before it"),
        ("{\"a\": 1,\n}", "}", "comma before it"),
        ("{\"a\": }", "}", "leave the member out"),
        ("{\"a\": 12,5}", "5}", "with a point"),
        ("{\"a\": 1,, \"b\": 2}", ", \"b", "comma too many"),
        ("{\"a\": 1 \"b\": 2}", "\"b", "comma is missing"),
        ("[{} {}]", "{}]", "comma is missing"),
        ("{'a': 1}", "'a", "double quotes"),
        ("{“a”: 1}", "“a", "double quotes"),
        ("{\"ö\": 1, // no\n}", "//", "no comments"),
        ("{\"a\": 007}", "007", "no zeros before"),
        ("{\"a\": +1}", "+1", "no plus sign"),
        ("{\"a\": .5}", ".5", "both sides of the point"),
        ("{\"a\": 5 mm}", "mm", ""),
        ("{\"a\"; 1}", "; 1", "commas"),
        ("{\"a\"= 1}", "= 1", "colon"),
        ("{\"a\": \"b\nc\"}", "\nc", "\\n"),
        ("{\"a\": \"b\tc\"}", "\tc", "\\n"),
        ("{\"a\": \"C:\\Users\"}", "\\Users", "backslash"),
        ("{\"a\": \"C:\\x\"}", "\\x", "backslash"),
        ("{\"a\": 1}}", "}}", ""),
        ("{\"a\": 1}\n{\"a\": 1}", "", ".ndjson"),
        ("{\"a\": 1} x", "x", "take out what follows"),
        ("[1]", "[", "\"tendons\""),
        ("\"x\"", "\"x", "restrand"),
        (" 17", "17", "restrand"),
        ("{\"restrand\": 7}", "7}", "reads version 1"),
        ("{\"tendons\": [{}], \"restrand\": \"1\"}", "\"1\"", "reads version 1"),
        ("{\0\"\0", "\0\"", "UTF-8"),
    ];
    for (text, at, help) in cases {
        match (text, at) {
            ("{\"a\": 1}}", _) => {
                let (span, _, help) = refusal("s.json", text.as_bytes());
                assert_eq!(span.start, 8);
                assert!(help.contains("bracket too many"), "{help}");
            }
            (_, "") => {
                let (span, _, said) = refusal("s.json", text.as_bytes());
                assert_eq!(span.start, 9);
                assert!(said.contains(help), "{said}");
            }
            _ => refused(text, at, help),
        }
    }
}

#[test]
fn the_version_is_told_in_words() {
    let (_, why, _) = refusal("s.json", b"{\"restrand\": 7}");
    assert_eq!(why, "version 7 is not known to this release");
}

#[test]
fn a_word_is_marked_as_a_whole() {
    let text = "{\"a\": -Infinity}";
    let (span, why, _) = refusal("s.json", text.as_bytes());
    assert_eq!(cut(text, span), "-Infinity");
    assert_eq!(why, "it is not JSON: invalid number, found -Infinity");
}

#[test]
fn a_text_that_is_cut_off_is_told_at_its_end() {
    let whole = crate::round_trip::DOCUMENT.trim_end();
    for end in (1..whole.len()).filter(|end| whole.is_char_boundary(*end)) {
        let (span, why, help) = refusal("s.json", &whole.as_bytes()[..end]);
        assert_eq!(span.start as usize, whole[..end].trim_end().len(), "{why}");
        assert!(help.contains("cut off"));
    }
}

#[test]
fn nothing_is_told_as_nothing() {
    for (text, at) in [("", 0), (" \n", 2), ("\u{feff}", 3)] {
        let (span, why, _) = refusal("s.json", text.as_bytes());
        assert_eq!((span.start, span.end), (at, at));
        assert_eq!(why, "the file is empty");
    }
    let (_, why, _) = refusal("s.ndjson", b"\n\n");
    assert_eq!(why, "the file is empty");
}

#[test]
fn places_count_the_byte_order_mark() {
    let text = "\u{feff}{\"a\": NaN}";
    let (span, ..) = refusal("s.json", text.as_bytes());
    assert_eq!(cut(text, span), "NaN");
    let text = "\u{feff}{\r\n\"a\": NaN}";
    let (span, ..) = refusal("s.json", text.as_bytes());
    assert_eq!(cut(text, span), "NaN");
}

#[test]
fn other_encodings_are_told_as_such() {
    let (span, why, help) = refusal("s.json", b"{\"restrand\": 1,\n\"\xC3\xB6\": \"M\xFCller\"}");
    assert_eq!((span.start, span.end), (24, 25));
    assert_eq!(why, "the byte 0xFC at line 2, column 8 (byte 24) is not UTF-8");
    assert_eq!(help, "save the file as UTF-8");

    let (span, why, _) = refusal("s.json", b"\xEF\xBB\xBF{\"\xFC\": 1}");
    assert_eq!((span.start, span.end), (5, 6));
    assert_eq!(why, "the byte 0xFC at line 1, column 3 (byte 5) is not UTF-8");

    for name in ["s.json", "s.ndjson", "-"] {
        for bytes in [b"\xFF\xFE{\0}\0".as_slice(), b"\xFE\xFF\0{\0}"] {
            let (span, why, help) = refusal(name, bytes);
            assert_eq!((span.start, span.end), (0, 2));
            assert!(why.contains("UTF-16") && why.contains("line 1, column 1 (byte 0)"), "{why}");
            assert_eq!(help, "save the file as UTF-8");
        }
    }
}

#[test]
fn a_hundred_thousand_levels_are_one_error() {
    for (open, levels) in [("[", 255), ("{\"a\":", 255)] {
        let head = "{\"a\": ";
        let text = format!("{head}{}", open.repeat(100_000));
        let (span, why, _) = refusal("s.json", text.as_bytes());
        assert_eq!(span.start as usize, head.len() + levels * open.len());
        assert_eq!(why, "it is nested more than 256 levels deep");
    }
    // As deep as the budget allows is read, and brackets inside a text do not count.
    let text = format!(
        "{{\"restrand\": 1, \"tendons\": [{{\"extra\": {{\"a\": {}\"[[[\\\"[[\"{}}}}}]}}",
        "[".repeat(252),
        "]".repeat(252)
    );
    assert_eq!(crate::reading::document(&text).problems, []);
}

#[test]
fn a_budget_without_bounds_does_not_exhaust_the_stack() {
    use restrand_kit::{Budget, Bytes, Frame, LoadError, Parts, Plugin};
    let load = |levels: usize| {
        let text = format!(
            "{{\"restrand\": 1, \"tendons\": [{{\"extra\": {{\"a\": {}{}}}}}]}}",
            "[".repeat(levels - 4),
            "]".repeat(levels - 4)
        );
        let part = Bytes::new("s.json", text.into_bytes());
        let budget = Budget { depth: u32::MAX, ..Budget::default() };
        restrand_json::Json.load(Parts(&[&part]), budget, &mut |_: Frame| Ok(()))
    };
    assert!(load(512).is_ok());
    assert!(matches!(load(513), Err(LoadError::Unreadable { .. })));
}
