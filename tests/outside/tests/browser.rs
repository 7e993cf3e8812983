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
    put(folder.path(), "check", &found, &Sheets { a3: 16, a4: 27 });
    put(folder.path(), "plan", &planned, &Sheets { a3: 19, a4: 34 });
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

/// Spoils the findings of a schedule of the demo in several places at once, and wants to be told of each.
fn is_told(script: &str, name: &str, spoiled: &[(&str, &str, &str)]) {
    let [mut page, _] = pages(name, System::Si);
    for (right, wrong, _) in spoiled {
        assert!(page.contains(right), "{right}");
        page = page.replace(right, wrong);
    }
    let folder = folder();
    put(folder.path(), "one", &page, &Sheets { a3: 0, a4: 0 });
    let why = verdict(script, &[folder.path()]).expect_err(script);
    for (_, wrong, says) in spoiled {
        assert!(why.contains(says), "{wrong} is not told: {why}");
    }
}

#[test]
fn what_is_not_accessible_is_told() {
    is_told(
        "accessible.py",
        "quillmere-faulty.xlsx",
        &[
            ("color:#1b1b1b", "color:#9a9a9a", "color-contrast"),
            ("<label for=\"words\">Words</label>", "Words", "label"),
            ("<html lang=\"en\">", "<html>", "html-has-lang"),
        ],
    );
}

#[test]
fn a_script_that_is_not_the_pages_own_does_not_run_and_is_told() {
    let spoiled =
        [("form.hidden = false;", "form.hidden = false; more();", "Content Security Policy")];
    is_told("accessible.py", "quillmere.xlsx", &spoiled);
}

#[test]
fn what_the_keyboard_cannot_do_is_told() {
    is_told(
        "keyboard.py",
        "quillmere-faulty.xlsx",
        &[
            (
                ":focus-visible{outline:3px solid #0b3f73",
                ":focus-visible{outline:0 none #0b3f73",
                "nothing marks",
            ),
            ("<select id", "<select tabindex=\"-1\" id", "the rule"),
            (
                "<a class=\"skip\" href=\"#content\"",
                "<a class=\"skip\" href=\"#gone\"",
                "into the content",
            ),
        ],
    );
}

#[test]
fn what_is_printed_wrong_is_told() {
    is_told(
        "printed.py",
        "quillmere.xlsx",
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
