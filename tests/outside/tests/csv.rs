//! CSV files that Python's csv module writes.

use std::path::Path;

use restrand_check::rulebook;
use restrand_intake::Reading;
use restrand_model::reading::ProblemKind;
use restrand_model::reflect::Date;
use restrand_model::{Record, Value};
use restrand_test_outside::{read, read_folder, root, run};

fn stated(reading: &Reading) -> Value {
    let schedule: &dyn Record = &reading.schedule;
    Value::Fields(schedule.to_fields())
}

/// What is found, by rule and subject, and the text of each finding; rows and files may differ.
fn found(reading: &Reading) -> Vec<(String, String)> {
    let book = rulebook::built_in_force("lrfd-2020").expect("the book comes with the program");
    let as_of = Date::new(2026, 11, 25).expect("the calendar has it");
    let mut found: Vec<_> = restrand_check::check(reading, &book, as_of)
        .findings
        .into_iter()
        .map(|found| (found.fingerprint, found.finding.message))
        .filter(|(_, message)| !message.contains("states no encoding"))
        .collect();
    found.sort();
    found
}

#[test]
fn the_demo_as_csv_in_any_dialect_reads_and_is_found_as_the_workbook_is() {
    for (name, delimiter, quoting, end, mark, encoding, assumed) in [
        ("quillmere-faulty.xlsx", ",", "least", "crlf", ".", "utf-8", false),
        ("quillmere-faulty.xlsx", ";", "least", "crlf", ",", "cp1252", true),
        ("quillmere-faulty.xlsx", ",", "all", "lf", ",", "utf-8-sig", false),
        ("quillmere-faulty.xlsx", "\t", "words", "cr", ".", "utf-16", false),
        ("quillmere.xlsx", "|", "all", "lf", ".", "utf-16-be", true),
        ("quillmere-us.xlsx", ",", "least", "crlf", ".", "utf-8", false),
        ("quillmere-us.xlsx", "\t", "all", "crlf", ",", "utf-16-le", true),
    ] {
        let what = format!("{name} {delimiter:?} {quoting} {end} {mark} {encoding}");
        let folder = tempfile::tempdir().expect("a folder for scratch files");
        let source = root().join("fixtures/demo").join(name);
        let options = [delimiter, quoting, end, mark, encoding].map(Path::new);
        let mut arguments = vec![source.as_path(), folder.path()];
        arguments.extend(options);
        run("sheets_as_csv.py", &arguments);
        let (ours, theirs) = (read(&source), read_folder(folder.path()));
        assert!(theirs.questions.is_empty(), "{what}: {:?}", theirs.questions);
        let told = theirs.problems.iter().filter(|p| p.kind == ProblemKind::Assumed).count();
        assert_eq!(told > 0, assumed, "{what}: {:?}", theirs.problems);
        assert_eq!(stated(&ours), stated(&theirs), "{what}");
        assert_eq!(ours.counts, theirs.counts, "{what}");
        assert_eq!(found(&ours), found(&theirs), "{what}");
    }
}
