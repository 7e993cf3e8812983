//! Workbooks that openpyxl writes, and that it opens.

use restrand_check::rulebook;
use restrand_model::reading::{Place, ProblemKind};
use restrand_model::reflect::Date;
use restrand_model::{Record, Value};
use restrand_test_outside::{read, root, run};

fn scratch() -> tempfile::TempDir {
    tempfile::tempdir().expect("a folder for scratch files")
}

fn stated(reading: &restrand_intake::Reading) -> Value {
    let schedule: &dyn Record = &reading.schedule;
    Value::Fields(schedule.to_fields())
}

/// Equal but for the last digits of numbers: openpyxl writes sixteen of the seventeen that a float needs.
fn same(ours: &Value, theirs: &Value, way: &str) {
    match (ours, theirs) {
        (Value::Number(one), Value::Number(other)) => {
            assert!((one - other).abs() <= 2e-15 * one.abs(), "{way}: {one} and {other}");
        }
        (Value::List(one), Value::List(other)) => {
            assert_eq!(one.len(), other.len(), "{way}");
            for (index, (one, other)) in one.iter().zip(other).enumerate() {
                same(one, other, &format!("{way}[{index}]"));
            }
        }
        (Value::Fields(one), Value::Fields(other)) => {
            assert_eq!(one.len(), other.len(), "{way}");
            for ((name, one), (other_name, other)) in one.iter().zip(other) {
                assert_eq!(name, other_name, "{way}");
                same(one, other, &format!("{way}.{name}"));
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
        same(&stated(&ours), &stated(&theirs), name);
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
                Place::Cell { sheet, row, column: Some(column), .. } => {
                    (sheet.as_str(), row + 1, *column)
                }
                place => panic!("{place:?}"),
            };
            (problem.kind, cell)
        })
        .collect();
    assert_eq!(
        said,
        [
            (ProblemKind::Unknown, ("tendons", 3, 4)),
            (ProblemKind::ValueLost, ("tendons", 6, 2)),
            (ProblemKind::ValueLost, ("tendons", 7, 2)),
        ]
    );
    let formula = &reading.problems[1];
    assert!(formula.why.contains("never calculated"), "{}", formula.why);
    let error = &reading.problems[2];
    assert!(error.why.contains("#REF!"), "{}", error.why);
}
