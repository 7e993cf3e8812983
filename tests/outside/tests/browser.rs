//! Pages as a browser shows and prints them, and as those use them who have no mouse or do not see.

use std::path::Path;

use restrand_model::System;
use restrand_test_outside::{pages, verdict};
use tempfile::TempDir;

/// Sheets of text that a page is printed on, by the size of the paper.
struct Sheets {
    a3: usize,
    a4: usize,
}

/// What stands at the foot of every printed sheet.
const FOOT: [&str; 5] =
    ["Document QV-PT-101", "revision A", "stage shop drawing", "rulebook lrfd-2020", "restrand 0"];

fn folder() -> TempDir {
    tempfile::tempdir().expect("a folder for scratch files")
}

/// Writes a page into a folder, with what is expected of its print.
fn put(folder: &Path, name: &str, page: &str, sheets: &Sheets) {
    let expected = serde_json::json!({"A3": sheets.a3, "A4": sheets.a4, "foot": FOOT});
    for (ending, text) in [("html", page), ("json", &expected.to_string())] {
        let path = folder.join(name).with_extension(ending);
        std::fs::write(path, text).expect("the file can be written");
    }
}

/// The findings of the faulty demo, and the plans of a pair of tendons in US units.
fn whole() -> TempDir {
    let folder = folder();
    let [found, _] = pages("quillmere-faulty.xlsx", System::Si);
    let [_, planned] = pages("quillmere-us.xlsx", System::Us);
    assert!(found.contains("<figure>") && planned.contains("<figure>"));
    put(folder.path(), "check", &found, &Sheets { a3: 11, a4: 21 });
    put(folder.path(), "plan", &planned, &Sheets { a3: 15, a4: 30 });
    folder
}

fn holds(script: &str) {
    verdict(script, &[whole().path()]).unwrap_or_else(|why| panic!("{why}"));
}

#[test]
fn the_pages_of_the_demo_are_accessible() {
    holds("accessible.py");
}

#[test]
fn the_pages_of_the_demo_are_used_with_the_keyboard_alone() {
    holds("keyboard.py");
}

#[test]
fn the_pages_of_the_demo_come_on_paper_whole_and_legible() {
    holds("printed.py");
}

/// Spoils the findings of the demo without faults, each time in one place, and wants to be told.
fn is_told(script: &str, spoiled: &[(&str, &str, &str)]) {
    let [whole, _] = pages("quillmere.xlsx", System::Si);
    for (right, wrong, says) in spoiled {
        let folder = folder();
        let page = whole.replace(right, wrong);
        assert_ne!(page, whole, "{right}");
        put(folder.path(), "one", &page, &Sheets { a3: 0, a4: 0 });
        let why = verdict(script, &[folder.path()]).expect_err(wrong);
        assert!(why.contains(says), "{wrong}: {why}");
    }
}

#[test]
fn what_is_not_accessible_is_told() {
    is_told(
        "accessible.py",
        &[
            ("color:#1b1b1b", "color:#9a9a9a", "color-contrast"),
            ("<label for=\"words\">Words</label>", "Words", "label"),
            ("<html lang=\"en\">", "<html>", "html-has-lang"),
            ("form.hidden = false;", "form.hidden = false; undone();", "script"),
        ],
    );
}

#[test]
fn what_the_keyboard_cannot_do_is_told() {
    is_told(
        "keyboard.py",
        &[
            (
                ":focus-visible{outline:3px solid #0b3f73",
                ":focus-visible{outline:0 none #0b3f73",
                "marks",
            ),
            ("<select id", "<select tabindex=\"-1\" id", "rule"),
            ("<a class=\"skip\" href=\"#content\"", "<a class=\"skip\" href=\"#gone\"", "content"),
        ],
    );
}

#[test]
fn what_is_printed_wrong_is_told() {
    is_told(
        "printed.py",
        &[
            (
                "thead{display:table-header-group",
                "thead{display:table-row-group",
                "without their head",
            ),
            ("restrand 0", "restrand", "does not say"),
        ],
    );
}
