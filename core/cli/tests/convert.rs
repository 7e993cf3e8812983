//! Writing schedules as a user would: formats, losses, and what is refused.

#![expect(clippy::unwrap_used, reason = "helpers of tests are tests")]

use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

const TYPED: &str = r#"{"restrand": 1, "tendons": [{"mark": "T1", "strand_count": 19,
 "ends": {"a": {"tail_mm": 12.7, "given": {"tail_mm": "1/2"}}}}]}"#;

fn demo(name: &str) -> PathBuf {
    let top = Path::new(env!("CARGO_MANIFEST_DIR")).ancestors().nth(2).unwrap().to_owned();
    top.join("fixtures/demo").join(name)
}

/// The program with an environment of its own.
fn restrand(arguments: &[&str], paths: &[&Path]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_restrand"));
    command.env_clear().stdin(Stdio::null()).args(arguments).args(paths);
    command
}

fn run(arguments: &[&str], paths: &[&Path]) -> Output {
    restrand(arguments, paths).output().unwrap()
}

fn convert(paths: &[&Path]) -> Output {
    run(&["convert"], paths)
}

fn code(output: &Output) -> i32 {
    output.status.code().unwrap()
}

fn stderr(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

fn folder() -> tempfile::TempDir {
    tempfile::tempdir().unwrap()
}

fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<_> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

#[test]
fn the_demo_goes_from_format_to_format_and_back() {
    let folder = folder();
    for name in ["quillmere", "quillmere-us"] {
        let document = demo(&format!("{name}.json"));
        let original = std::fs::read(&document).unwrap();
        let path = |ending: &str| folder.path().join(format!("{name}.{ending}"));
        for (from, to) in [
            (document.clone(), path("xlsx")),
            (path("xlsx"), path("ndjson")),
            (path("ndjson"), path("json")),
        ] {
            let output = convert(&[&from, &to]);
            assert_eq!((code(&output), stderr(&output).as_str()), (0, ""), "{}", to.display());
        }
        let value = |bytes: &[u8]| serde_json::from_slice::<serde_json::Value>(bytes).unwrap();
        let written = std::fs::read(path("json")).unwrap();
        if name == "quillmere" {
            assert!(value(&written) == value(&original));
        }
        // Feet and inches are texts, which the document keeps beside the values.
        assert_eq!(written.windows(7).any(|bytes| bytes == b"\"given\""), name == "quillmere-us");
        let twice = folder.path().join("twice.xlsx");
        assert_eq!(code(&convert(&[&path("json"), &twice])), 0);
        let output = convert(&[&twice, &folder.path().join("twice.json")]);
        assert_eq!((code(&output), stderr(&output).as_str()), (0, ""));
        let again = std::fs::read(folder.path().join("twice.json")).unwrap();
        assert!(again == written, "{name}: a second round changes nothing");
    }
}

#[test]
fn standard_streams_take_part() {
    let mut child = restrand(&["convert", "--to", "json", "-", "-"], &[])
        .stdin(std::fs::File::open(demo("quillmere.xlsx")).unwrap())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut written = Vec::new();
    std::io::copy(child.stdout.as_mut().unwrap(), &mut written).unwrap();
    assert_eq!(child.wait().unwrap().code(), Some(0));
    let value = |bytes: &[u8]| serde_json::from_slice::<serde_json::Value>(bytes).unwrap();
    assert!(value(&written) == value(&std::fs::read(demo("quillmere.json")).unwrap()));
}

#[test]
fn losses_are_told_and_strict_writes_nothing() {
    let folder = folder();
    let input = folder.path().join("in.json");
    std::fs::write(&input, TYPED).unwrap();
    let output = folder.path().join("out.xlsx");
    let told = convert(&[&input, &output]);
    assert_eq!(code(&told), 0);
    let said = stderr(&told);
    assert!(said.contains("1 thing not carried over as it was"), "{said}");
    assert!(said.contains("tendons[T1].ends.a.tail_mm: 1/2"), "{said}");
    assert!(said.contains("Tail [mm]"), "{said}");

    std::fs::write(&output, "old").unwrap();
    let strict = run(&["convert", "--strict"], &[&input, &output]);
    assert_eq!(code(&strict), 1);
    assert!(stderr(&strict).contains("nothing is written"), "{}", stderr(&strict));
    assert_eq!(std::fs::read(&output).unwrap(), b"old");
    let us = run(&["convert", "--strict", "--units", "us"], &[&input, &output]);
    assert_eq!((code(&us), stderr(&us).as_str()), (0, ""));
}

#[test]
fn what_could_not_be_read_is_told_too() {
    let folder = folder();
    let output = folder.path().join("out.json");
    let told = convert(&[&demo("quillmere-faulty.xlsx"), &output]);
    assert_eq!(code(&told), 1);
    let said = stderr(&told);
    assert!(said.contains("not read, or only with doubt"), "{said}");
    assert!(said.contains("Ends!") || said.contains("Tendons!"), "{said}");
    assert!(output.exists());
    let strict = folder.path().join("strict.json");
    let told = run(&["convert", "--strict"], &[&demo("quillmere-faulty.xlsx"), &strict]);
    assert_eq!(code(&told), 1);
    assert!(!strict.exists());
}

#[test]
fn wrong_usage_and_what_is_no_schedule_are_refused() {
    let folder = folder();
    let input = folder.path().join("in.json");
    std::fs::write(&input, TYPED).unwrap();
    let none = folder.path().join("none.json");
    std::fs::write(&none, r#"{"restrand": 1}"#).unwrap();
    let parts = folder.path().join("parts.json");
    std::fs::write(&parts, r#"{"restrand": 1, "ducts": [{"id": "D1"}]}"#).unwrap();
    let full = folder.path().join("full");
    std::fs::create_dir(&full).unwrap();
    std::fs::write(full.join("x"), "x").unwrap();
    let at = |name: &str| folder.path().join(name);
    for (from, to, expected, said) in [
        (&input, input.clone(), 2, "would replace the input"),
        (&input, at("a.pdf"), 2, "formats that are written: workbook (.xlsx), json"),
        (&input, full.clone(), 2, "does not tell its format"),
        (&at("missing.json"), at("a.xlsx"), 2, "there is no such file"),
        (&input, at("no/such/a.xlsx"), 2, "cannot be written"),
        (&none, at("a.xlsx"), 4, "nothing is written"),
        (&parts, at("parts.xlsx"), 4, ""),
    ] {
        let output = convert(&[from, &to]);
        assert_eq!(code(&output), expected, "{}: {}", to.display(), stderr(&output));
        assert!(stderr(&output).contains(said), "{}: {}", to.display(), stderr(&output));
    }
    assert!(at("parts.xlsx").exists());
    assert!(!at("a.xlsx").exists());
    let output = run(&["convert", "--to", "json"], &[&input, &full]);
    assert_eq!(code(&output), 2);
    assert!(stderr(&output).contains("is not empty"), "{}", stderr(&output));
    let output = run(&["convert", "--to", "json"], &[&input, &at("new")]);
    assert_eq!(code(&output), 0, "{}", stderr(&output));
    assert_eq!(names(&at("new")), ["schedule.json"]);
    assert_eq!(std::fs::read_to_string(&input).unwrap(), TYPED);
}

#[test]
fn decimal_commas_come_back_as_points_and_never_as_thousands() {
    let folder = folder();
    let at = |name: &str| folder.path().join(name);
    // A column tells its decimal mark by one number for all of them.
    let text = "Mark;Strand count;Length [m];Order\r\nT1;19;110,3885;1\r\nT2;19;110,388;ca. 1,5\r\n\
                T3;19;1.234,5;2\r\nT4;19;ca. 12,5;3\r\n";
    std::fs::write(at("Tendons.csv"), text).unwrap();
    let lengths = |from: &Path, to: &Path| -> Vec<serde_json::Value> {
        let output = convert(&[from, to]);
        assert_eq!(code(&output), 1, "two values cannot be read: {}", stderr(&output));
        let document = std::fs::read(to).unwrap();
        let document: serde_json::Value = serde_json::from_slice(&document).unwrap();
        let tendons = document["tendons"].as_array().unwrap();
        tendons.iter().map(|tendon| tendon["length_m"].clone()).collect()
    };
    let first = lengths(&at("Tendons.csv"), &at("first.json"));
    assert_eq!(first, [110.3885.into(), 110.388.into(), 1234.5.into(), serde_json::Value::Null]);
    for name in ["out.zip", "out.xlsx"] {
        assert_eq!(code(&convert(&[&at("Tendons.csv"), &at(name)])), 1);
        assert_eq!(lengths(&at(name), &at("second.json")), first, "{name}");
        let again = at(&format!("again-{name}"));
        assert_eq!(code(&convert(&[&at(name), &again])), 1);
        assert_eq!(lengths(&again, &at("third.json")), first, "{name}");
    }
}

#[test]
fn the_template_checks_clean_in_both_systems_and_spares_what_is_there() {
    let folder = folder();
    for units in ["si", "us"] {
        let path = folder.path().join(format!("{units}.xlsx"));
        let output = run(&["template", "--units", units], &[&path]);
        assert_eq!((code(&output), stderr(&output).as_str()), (0, ""));
        let bytes = std::fs::read(&path).unwrap();
        let check = run(
            &["check", "--as-of", "2031-05-07", "--format", "json", "--fail-on", "note"],
            &[&path],
        );
        let said = String::from_utf8(check.stdout.clone()).unwrap();
        assert_eq!(code(&check), 0, "{said}");
        let found: serde_json::Value = serde_json::from_str(&said).unwrap();
        assert_eq!(found["inputs"][0]["findings"], serde_json::json!([]));
        assert_eq!(found["inputs"][0]["units"], units);

        let again = run(&["template", "--units", units], &[&path]);
        assert_eq!(code(&again), 2);
        assert!(stderr(&again).contains("would replace it"), "{}", stderr(&again));
        assert!(std::fs::read(&path).unwrap() == bytes);
        let twice = run(&["template", "--units", units], &[Path::new("-")]);
        assert!(twice.stdout == bytes, "the same bytes every time");

        let document = folder.path().join(format!("{units}.json"));
        assert_eq!(code(&convert(&[&path, &document])), 0);
        let back = folder.path().join(format!("{units}-back.xlsx"));
        assert_eq!(code(&convert(&[&document, &back])), 0);
    }
}

#[test]
fn a_format_is_not_written_under_the_name_of_another() {
    let folder = tempfile::tempdir().unwrap();
    let input = folder.path().join("in.json");
    std::fs::write(&input, "{\"restrand\":1,\"tendons\":[{\"mark\":\"T1\"}]}").unwrap();
    let output = folder.path().join("out.ods");
    let said = run(&["convert", "--to", "workbook"], &[&input, &output]);
    assert_eq!(said.status.code(), Some(2));
    let why = String::from_utf8(said.stderr).unwrap();
    assert!(why.contains("not written as .ods; name a file that ends in .xlsx"), "{why}");
    assert!(!output.exists());
}
