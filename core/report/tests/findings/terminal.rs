//! Many findings, and what stands under all of them.

use restrand_check::LocatedFinding;
use restrand_finding::{Fact, Finding, Kind, Severity};
use restrand_model::route::Route;
use restrand_report::terminal::Look;

use crate::beck::{
    PLAIN, as_workbook, base, behind, has_lines, located, render, short_of_room, text, today,
};

#[test]
fn of_many_findings_the_first_are_shown_and_the_others_counted() {
    let (bytes, reading) = as_workbook();
    let many: Vec<_> = (0..53)
        .map(|index| {
            let finding = short_of_room().fact(Fact::given("sought_mm", f64::from(index), 0));
            located(&reading, finding, &behind())
        })
        .collect();
    let shown = text(&bytes, &reading, many.clone(), PLAIN);
    assert_eq!(shown.matches("warning · space/stub").count(), 50);
    has_lines(
        &shown,
        &["3 more findings not shown (--all shows all):", "  space/stub: 3 warnings"],
    );
    assert!(shown.contains("beck.xlsx: 0 errors, 53 warnings, 0 notes"));
    let all = text(&bytes, &reading, many, Look { all: true, ..PLAIN });
    assert_eq!(all.matches("warning · space/stub").count(), 53);
}

#[test]
fn findings_that_say_the_same_of_several_records_are_shown_once() {
    let (bytes, reading) = as_workbook();
    let of = |mark: &str, message: &str| {
        let finding = Finding::new("a/b", Kind::Missing, behind(), message)
            .fact(Fact::text("tendon", mark))
            .fact(Fact::text("fields", "Status"));
        located(&reading, finding, &behind())
    };
    let many = ["T1", "T2", "T3"].map(|mark| of(mark, "{tendon} lacks {fields}"));
    let pair = ["T1", "T2"].map(|mark| of(mark, "{tendon} has no {fields}"));
    let shown = text(&bytes, &reading, [many.to_vec(), pair.to_vec()].concat(), PLAIN);
    assert_eq!(shown.matches("lacks Status").count(), 1);
    assert!(shown.contains("T1 lacks Status"), "{shown}");
    assert_eq!(shown.matches("has no Status").count(), 2);
    has_lines(&shown, &["  alike:     2 more, at Ends!U2"]);
    assert!(shown.contains("beck.xlsx: 5 errors, 0 warnings, 0 notes"), "{shown}");
}

#[test]
fn of_many_findings_the_worst_are_shown_in_the_order_of_the_file() {
    let (bytes, reading) = as_workbook();
    let of = |kind: Kind, severity: Severity, message: &str| {
        let finding = Finding::new("a/b", kind, behind(), message).severity(severity);
        located(&reading, finding, &behind())
    };
    let times = |count: usize, found: LocatedFinding| {
        (0..count).map(move |index| {
            let mut found = found.clone();
            found.finding.help = format!("Look at number {index}");
            found
        })
    };
    let mut many = vec![of(Kind::Physical, Severity::Error, "the first clash")];
    many.extend(times(30, of(Kind::Note, Severity::Note, "by the way")));
    many.extend(times(49, of(Kind::Missing, Severity::Error, "it is absent")));
    many.push(of(Kind::Physical, Severity::Error, "the last clash"));
    let shown = text(&bytes, &reading, many, PLAIN);
    assert_eq!(shown.matches("by the way").count(), 0);
    assert_eq!(shown.matches("it is absent").count(), 48);
    let at = |words: &str| shown.find(words).unwrap();
    assert!(at("the first clash") < at("it is absent"));
    assert!(at("it is absent") < at("the last clash"));
    has_lines(&shown, &["31 more findings not shown (--all shows all):", "  a/b: 30 notes"]);
}

#[test]
fn the_coverage_is_always_told() {
    let (bytes, reading) = as_workbook();
    let shown = text(&bytes, &reading, Vec::new(), PLAIN);
    assert!(shown.contains("  coverage:  2 tendons checked by "), "{shown}");
    assert!(shown.contains("limits tagged memory or derived are unconfirmed defaults"), "{shown}");
    assert!(shown.contains("  as of:     2031-05-07"));
    let mut report = restrand_check::check(&reading, &base(), today());
    report.findings.clear();
    let unread = render(&bytes, None, &report, &base(), PLAIN);
    assert!(unread.contains("nothing was checked, for the file could not be read"), "{unread}");
    for text in [shown, unread] {
        let text = text.to_lowercase();
        for word in ["safe", "approv", "proved", "proven"] {
            assert!(!text.contains(word), "{word}");
        }
    }
}

#[test]
fn colour_changes_no_word() {
    let (bytes, reading) = as_workbook();
    let found = || vec![located(&reading, short_of_room(), &behind())];
    let coloured = text(&bytes, &reading, found(), Look { colour: true, ..PLAIN });
    let plain = text(&bytes, &reading, found(), PLAIN);
    assert!(coloured.contains('\u{1b}'));
    let mut bare = String::new();
    let mut escaped = false;
    for letter in coloured.chars() {
        match letter {
            '\u{1b}' => escaped = true,
            'm' if escaped => escaped = false,
            _ if escaped => {}
            letter => bare.push(letter),
        }
    }
    assert_eq!(bare, plain);
}

#[test]
fn texts_of_the_file_cannot_steer_the_terminal() {
    let (bytes, reading) = as_workbook();
    let route = Route::to("tendons", 0);
    let finding = Finding::new("a/b", Kind::Note, route.clone(), "{given}\u{202e}")
        .fact(Fact::text("given", "\u{1b}]0;x\u{7}\r\n\u{9b}2J"))
        .help("\u{1b}[2J");
    let text = text(&bytes, &reading, vec![located(&reading, finding, &route)], PLAIN);
    assert!(text.chars().all(|letter| letter == '\n' || !letter.is_control()), "{text:?}");
    assert!(!text.contains('\u{202e}'));
}
