//! Workbooks that openpyxl writes, and that it opens.

use std::path::{Path, PathBuf};

use restrand_check::rulebook;
use restrand_json::Json;
use restrand_kit::Content;
use restrand_model::quantity::System;
use restrand_model::reading::{Place, ProblemKind};
use restrand_model::reflect::Date;
use restrand_model::{Record, Value};
use restrand_test_outside::{office, read, read_as, root, run, write_as};
use restrand_workbook::Workbook;

fn scratch() -> tempfile::TempDir {
    tempfile::tempdir().expect("a folder for scratch files")
}

fn stated(reading: &restrand_intake::Reading) -> Value {
    let schedule: &dyn Record = &reading.schedule;
    Value::Fields(schedule.to_fields())
}

/// What of a number may be lost of the seventeen digits that a float needs: openpyxl writes sixteen,
/// LibreOffice fifteen.
const OPENPYXL: f64 = 2e-15;
const LIBREOFFICE: f64 = 1e-14;

/// Equal but for the last digits of numbers.
fn same(ours: &Value, theirs: &Value, last_digits: f64, way: &str) {
    match (ours, theirs) {
        (Value::Number(one), Value::Number(other)) => {
            assert!((one - other).abs() <= last_digits * one.abs(), "{way}: {one} and {other}");
        }
        (Value::List(one), Value::List(other)) => {
            assert_eq!(one.len(), other.len(), "{way}");
            for (index, (one, other)) in one.iter().zip(other).enumerate() {
                same(one, other, last_digits, &format!("{way}[{index}]"));
            }
        }
        (Value::Fields(one), Value::Fields(other)) => {
            assert_eq!(one.len(), other.len(), "{way}");
            for ((name, one), (other_name, other)) in one.iter().zip(other) {
                assert_eq!(name, other_name, "{way}");
                same(one, other, last_digits, &format!("{way}.{name}"));
            }
        }
        _ => assert_eq!(ours, theirs, "{way}"),
    }
}

#[test]
fn the_demo_rewritten_by_openpyxl_reads_the_same() {
    let folder = scratch();
    for name in ["quillmere.xlsx", "quillmere-us.xlsx", "quillmere-faulty.xlsx"] {
        let ours = root().join("fixtures/demo").join(name);
        let theirs = folder.path().join(name);
        run("rewrite.py", &[&ours, &theirs]);
        let (ours, theirs) = (read(&ours), read(&theirs));
        same(&stated(&ours), &stated(&theirs), OPENPYXL, name);
        assert_eq!(ours.counts, theirs.counts, "{name}");
        assert_eq!(ours.problems, theirs.problems, "{name}");
        let book = rulebook::built_in_force("lrfd-2020").expect("the book comes with the program");
        let today = Date::new(2026, 11, 25).expect("the calendar has it");
        let found = |reading| {
            restrand_check::check(reading, &book, today)
                .findings
                .into_iter()
                .map(|found| (found.fingerprint, found.place))
                .collect::<Vec<_>>()
        };
        assert_eq!(found(&ours), found(&theirs), "{name}");
    }
}

#[test]
fn a_workbook_as_people_leave_it_is_understood() {
    let folder = scratch();
    let path = folder.path().join("awkward.xlsx");
    run("awkward.py", &[&path]);
    let reading = read(&path);

    let [one, two, three] = reading.schedule.tendons.as_slice() else {
        panic!("three tendons, not {:?}", reading.schedule.tendons)
    };
    assert_eq!(one.mark.as_deref(), Some("T1"));
    assert_eq!(one.strand_count, Some(19));
    let length = one.length_m.expect("feet and inches are a length");
    assert!((length - 41.7576).abs() < 1e-9, "{length}");
    let force = |tendon: &restrand_model::schedule::Tendon| {
        tendon.stressing.as_ref().and_then(|stressing| stressing.jacking_force_kn)
    };
    let kips = force(one).expect("a force");
    assert!((kips - 809.3 * 4.448_221_615_260_5).abs() < 1e-9, "{kips}");
    assert_eq!(force(two), Some(3600.0));
    assert_eq!(one.extra.get("Heat number").map(ToString::to_string).as_deref(), Some("H 4711"));
    assert_eq!((two.length_m, three.length_m), (None, None));

    let ends = one.ends.as_ref().expect("the hidden sheet is read");
    let space = |end: &Option<Box<restrand_model::schedule::End>>| {
        end.as_ref().and_then(|end| end.removal_space.clone()).expect("a removal space")
    };
    let (a, b) = (space(&ends.a), space(&ends.b));
    assert_eq!(a.behind_mm, Some(1905.0));
    assert_eq!(a.up_mm, Some(860.0));
    assert_eq!(a.on.map(|day| day.to_string()).as_deref(), Some("2031-05-07"));
    assert_eq!(b.on, a.on);
    let behind = b.behind_mm.expect("inches with a fraction");
    assert!((behind - 3000.375).abs() < 1e-9, "{behind}");
    let project = reading.schedule.project.as_ref().expect("a project");
    assert_eq!(project.revision.as_deref(), Some("3"));

    let said: Vec<_> = reading
        .problems
        .iter()
        .map(|problem| {
            let cell = match &problem.place {
                Place::Cell { sheet, row, column, .. } => (sheet.as_str(), row + 1, *column),
                place => panic!("{place:?}"),
            };
            (problem.kind, cell)
        })
        .collect();
    assert_eq!(
        said,
        [
            (ProblemKind::Unknown, ("tendons", 3, Some(4))),
            // Its title.
            (ProblemKind::Unknown, ("tendons", 1, None)),
            (ProblemKind::ValueLost, ("tendons", 6, Some(2))),
            (ProblemKind::ValueLost, ("tendons", 7, Some(2))),
        ]
    );
    let formula = &reading.problems[2];
    assert!(formula.why.contains("never calculated"), "{}", formula.why);
    let error = &reading.problems[3];
    assert!(error.why.contains("#REF!"), "{}", error.why);
}

#[test]
fn a_foreign_workbook_goes_through_a_document_and_back_but_for_what_is_told() {
    let folder = scratch();
    let at = |name: &str| folder.path().join(name);
    run("awkward.py", &[&at("foreign.xlsx")]);
    let foreign = read(&at("foreign.xlsx"));
    assert_eq!(write_as(&Json, &foreign, System::Us, &at("one.json")), []);
    let document = read_as(&Json, &at("one.json"));
    // What could not be read in the workbook stands in the document as it was given, and is told again.
    let unread = |reading: &restrand_intake::Reading| -> Vec<_> {
        let lost = reading.problems.iter().filter(|it| it.kind == ProblemKind::ValueLost);
        lost.map(|it| (it.subject.clone(), it.given.clone())).collect()
    };
    assert_eq!(unread(&foreign).len(), 2);
    assert_eq!(unread(&document), unread(&foreign));
    assert_eq!(document.problems.len(), 2);
    assert_eq!(stated(&document), stated(&foreign));
    let losses = write_as(&Workbook, &document, System::Us, &at("ours.xlsx"));
    let ours = read(&at("ours.xlsx"));
    assert_eq!(stated(&ours), stated(&foreign));
    assert_eq!(write_as(&Json, &ours, System::Us, &at("two.json")), []);
    let text = |name: &str| std::fs::read_to_string(at(name)).expect("it was written");
    let (one, two) = (text("one.json"), text("two.json"));
    // A text whose spelling was lost, and told, is missing in the second document, and nothing else is.
    let missing: Vec<_> =
        one.lines().filter(|line| !two.contains(line.trim_end_matches(','))).collect();
    for line in &missing {
        assert!(
            losses.iter().any(|loss| line.contains(&loss.value.replace('"', "\\\""))),
            "{line} is missing and not told: {losses:#?}"
        );
    }
    assert!(one.contains("\"given\""), "{one}");
}

#[test]
fn what_we_write_has_notes_lists_and_pages_for_openpyxl() {
    let folder = scratch();
    let template = template(folder.path(), "template.xlsx");
    for path in [root().join("fixtures/demo/quillmere.xlsx"), template] {
        run("inspect_layout.py", &[&path]);
    }
}

/// The template, as the program writes it.
fn template(folder: &Path, name: &str) -> PathBuf {
    let worked = root().join("fixtures/template/worked.json");
    let reading = read_as(&Json, &worked);
    let content = Content::new(&reading.schedule, &reading.provenance);
    let bytes =
        restrand_workbook::template(&content, System::Si, &[]).expect("the example can be written");
    let path = folder.join(name);
    std::fs::write(&path, bytes).expect("the file can be written");
    path
}

#[test]
fn a_template_filled_by_openpyxl_checks_clean() {
    let folder = scratch();
    let template = template(folder.path(), "template.xlsx");
    let filled = folder.path().join("filled.xlsx");
    run("fill_template.py", &[&template, &filled]);
    let reading = read(&filled);
    // The formulas have lost their results; nothing of them is read, so nothing is missed.
    assert_eq!(reading.problems, []);
    let book = rulebook::built_in_force("lrfd-2020").expect("the book comes with the program");
    let today = Date::new(2026, 11, 25).expect("the calendar has it");
    let found = restrand_check::check(&reading, &book, today).findings;
    assert!(found.is_empty(), "{:?}", found.iter().map(|f| &f.fingerprint).collect::<Vec<_>>());
    let marks: Vec<_> = reading.schedule.tendons.iter().map(|t| t.mark.as_deref()).collect();
    assert_eq!(marks, [Some("T11L"), Some("T11L-1"), Some("T11L-2"), Some("T11L-3")]);
    let worked = &reading.schedule.tendons[0];
    for tendon in &reading.schedule.tendons {
        assert_eq!(tendon.points.len(), worked.points.len());
        assert_eq!(tendon.ends.is_some(), worked.ends.is_some());
        assert_eq!(tendon.stressing_steps, worked.stressing_steps);
    }
    // LibreOffice calculates the formulas, and what it saves says the same.
    let again = read(&office(&filled, "ods"));
    assert_eq!(again.problems, []);
    same(&stated(&reading), &stated(&again), LIBREOFFICE, "template");
}

#[test]
fn libreoffice_opens_what_we_write_and_finds_the_same_in_it() {
    let folder = scratch();
    for name in ["quillmere.xlsx", "quillmere-us.xlsx"] {
        let copy = folder.path().join(name);
        std::fs::copy(root().join("fixtures/demo").join(name), &copy).expect("a copy");
        let (ours, theirs) = (read(&copy), read(&office(&copy, "ods")));
        assert_eq!(theirs.problems, [], "{name}");
        same(&stated(&ours), &stated(&theirs), LIBREOFFICE, name);
    }
}
