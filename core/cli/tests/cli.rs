//! The program run as a user would: every exit code, inputs that cannot be read, streams and files.

#![expect(clippy::unwrap_used, reason = "helpers of tests are tests")]

use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use std::sync::Arc;

use restrand_json::Json;
use restrand_kit::{Budget, Bytes, Content, Part, Parts, Plugin, WriteOptions};
use restrand_workbook::Workbook;

const LACKING: &str = r#"{"restrand": 1, "project": {"bridge": "Testing Beck", "stage": "tender"},
 "tendons": [{"mark": "T1", "strand_count": 19, "duct": "PE"}]}"#;

fn top() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).ancestors().nth(2).unwrap().to_owned()
}

fn demo(name: &str) -> PathBuf {
    top().join("fixtures/demo").join(name)
}

/// The program with an environment of its own.
fn restrand() -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_restrand"));
    command.env_clear().stdin(Stdio::null());
    command
}

fn check(arguments: &[&str], files: &[&Path]) -> Output {
    restrand()
        .arg("check")
        .args(["--as-of", "2026-11-25"])
        .args(arguments)
        .args(files)
        .output()
        .unwrap()
}

fn code(output: &Output) -> i32 {
    output.status.code().unwrap()
}

fn stdout(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn stderr(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

fn file(folder: &tempfile::TempDir, name: &str, content: &[u8]) -> PathBuf {
    let path = folder.path().join(name);
    std::fs::write(&path, content).unwrap();
    path
}

fn folder() -> tempfile::TempDir {
    tempfile::tempdir().unwrap()
}

#[derive(Default)]
struct Written(Vec<u8>);

impl restrand_kit::Output for Written {
    fn part(&mut self, _: &str) -> io::Result<&mut dyn Write> {
        Ok(&mut self.0)
    }
}

fn workbook(schedule: &str) -> Vec<u8> {
    let bytes = Bytes::new("s.json", schedule.as_bytes().to_vec());
    let parts: [&dyn Part; 1] = [&bytes];
    let reading = restrand_intake::read(&Json, Parts(&parts), Budget::default()).unwrap();
    let mut written = Written::default();
    let options = WriteOptions { ending: Some("xlsx"), ..WriteOptions::default() };
    let content = Content::new(&reading.schedule, &reading.provenance);
    Workbook.write(&content, options, &mut written).unwrap();
    written.0
}

#[test]
fn a_clean_schedule_ends_with_0_and_tells_what_was_covered() {
    for name in ["quillmere.xlsx", "quillmere.json", "quillmere-us.xlsx"] {
        let output = check(&[], &[&demo(name)]);
        assert_eq!(code(&output), 0, "{}", stdout(&output));
        assert!(stdout(&output).contains("tendons checked by"));
        assert!(stdout(&output).contains("as of:     2026-11-25"));
        assert_eq!(stderr(&output), "");
    }
}

#[test]
fn findings_end_with_1() {
    let folder = folder();
    for path in
        [file(&folder, "a.json", LACKING.as_bytes()), file(&folder, "a.xlsx", &workbook(LACKING))]
    {
        let output = check(&[], &[&path]);
        assert_eq!(code(&output), 1, "{}", stdout(&output));
        assert!(stdout(&output).contains("error · schedule/missing-field"));
    }
}

#[test]
fn both_formats_of_the_faulty_demo_have_the_same_findings() {
    let findings = |name: &str| {
        let output = check(&["--format", "json"], &[&demo(name)]);
        assert_eq!(code(&output), 1);
        let value: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
        let findings = value["inputs"][0]["findings"].as_array().unwrap();
        let mut of_rules: Vec<_> = findings
            .iter()
            .filter(|finding| finding["kind"] != "reading")
            .map(|finding| finding["fingerprint"].to_string())
            .collect();
        of_rules.sort();
        assert!(!of_rules.is_empty());
        of_rules
    };
    assert_eq!(findings("quillmere-faulty.xlsx"), findings("quillmere-faulty.json"));
}

#[test]
fn the_threshold_decides_between_0_and_1() {
    // An unknown member is a note.
    let folder = folder();
    let text = std::fs::read_to_string(demo("quillmere.json")).unwrap();
    let text = text.replacen("\"restrand\": 1,", "\"restrand\": 1, \"remark\": \"x\",", 1);
    let path = file(&folder, "noted.json", text.as_bytes());
    for (threshold, expected) in [("error", 0), ("warning", 0), ("note", 1)] {
        let output = check(&["--fail-on", threshold], &[&path]);
        assert_eq!(code(&output), expected, "{}", stdout(&output));
    }
}

#[test]
fn a_lost_value_ends_with_1_whatever_the_threshold() {
    let folder = folder();
    let text = std::fs::read_to_string(demo("quillmere.json")).unwrap();
    let broken = text.replacen("\"strand_count\": 19", "\"strand_count\": \"many\"", 1);
    assert_ne!(text, broken);
    let path = file(&folder, "lost.json", broken.as_bytes());
    assert_eq!(code(&check(&["--fail-on", "error"], &[&path])), 1);
}

#[test]
fn what_cannot_be_read_ends_with_2_and_says_why() {
    let folder = folder();
    let deep = format!("{{\"tendons\": {}", "[".repeat(100_000));
    let missing = folder.path().join("missing.xlsx");
    for (path, why) in [
        (missing, "there is no such file"),
        (folder.path().to_owned(), "it is a folder"),
        (PathBuf::from("/dev/null"), "it is a pipe or a device"),
        (file(&folder, "empty.xlsx", b""), "there is nothing in it"),
        (file(&folder, "text.xlsx", b"Mark;Strand\nT1;S1\n"), "this is not a workbook"),
        (file(&folder, "note.txt", b"hello"), "it is of no format that is read"),
        (file(&folder, "deep.json", deep.as_bytes()), "levels deep"),
        (file(&folder, "cut.json", &LACKING.as_bytes()[..80]), "cannot be read"),
        (file(&folder, "cut.xlsx", &workbook(LACKING)[..2000]), "cannot be read"),
    ] {
        for format in ["text", "json"] {
            let output = check(&["--format", format], &[&path]);
            assert_eq!(code(&output), 2, "{}: {}", path.display(), stdout(&output));
            assert!(stdout(&output).contains("schedule/unreadable-file"), "{}", path.display());
            assert!(stdout(&output).contains(why), "{}: {}", path.display(), stdout(&output));
            assert_eq!(stderr(&output), "");
        }
    }
}

#[cfg(unix)]
#[test]
fn a_file_without_permission_ends_with_2() {
    use std::os::unix::fs::PermissionsExt;
    let folder = folder();
    let path = file(&folder, "locked.json", LACKING.as_bytes());
    std::fs::set_permissions(&path, std::fs::Permissions::from_mode(0o000)).unwrap();
    if std::fs::File::open(&path).is_ok() {
        // To the system's administrator nothing is locked.
        assert_eq!(code(&check(&[], &[&path])), 1);
    } else {
        let output = check(&[], &[&path]);
        assert_eq!(code(&output), 2);
        assert!(stdout(&output).contains("you may not read it"));
    }
}

#[test]
fn wrong_usage_and_configuration_end_with_2() {
    let folder = folder();
    let book = file(
        &folder,
        "own.toml",
        b"rulebook = 1\nname = \"own\"\nextends = \"base\"\n[limits.grip_m]\nvalue = 3\nevidence = \"owner\"\n\
          citation = \"x\"\n",
    );
    let clean = demo("quillmere.json");
    let book = book.to_str().unwrap();
    for (arguments, said) in [
        (&["--nonsense"][..], "--nonsense"),
        (&["--format", "pdf"], "pdf"),
        (&["--as-of", "2031-02-30"], "no date"),
        (&["--from", "csv"], "no format is called \"csv\""),
        (&["--rulebook", "lrfd-2021"], "did you mean \"lrfd-2020\"?"),
        (&["--rulebook", book], "own.toml:4:9"),
        (&["--output", "/nonexistent/folder/x.txt"], "cannot be written"),
        (&["--output", clean.to_str().unwrap()], "would replace the input"),
    ] {
        let output = restrand().arg("check").args(arguments).arg(&clean).output().unwrap();
        assert_eq!(code(&output), 2, "{arguments:?}: {}", stderr(&output));
        let said = said.replace("no date", "it is not a date of the calendar");
        assert!(stderr(&output).contains(&said), "{arguments:?}: {}", stderr(&output));
    }
    assert_eq!(code(&restrand().output().unwrap()), 2);
    assert_eq!(code(&restrand().arg("check").output().unwrap()), 2);
}

#[cfg(target_os = "linux")]
#[test]
fn a_medium_that_fails_ends_with_3() {
    let output = check(&["--output", "/dev/full"], &[&demo("quillmere.json")]);
    assert_eq!(code(&output), 3, "{}", stderr(&output));
    assert_eq!(stderr(&output).lines().count(), 1);
}

#[test]
fn a_file_without_a_tendon_ends_with_4() {
    let folder = folder();
    let none = r#"{"restrand": 1, "project": {"bridge": "Testing Beck", "stage": "tender"}}"#;
    let mut foreign = rust_xlsxwriter::Workbook::new();
    foreign.add_worksheet().write(0, 0, "Bill of quantities").unwrap();
    for path in [
        file(&folder, "none.json", none.as_bytes()),
        file(&folder, "none.xlsx", &workbook(none)),
        file(&folder, "foreign.xlsx", &foreign.save_to_buffer().unwrap()),
    ] {
        let output = check(&[], &[&path]);
        assert_eq!(code(&output), 4, "{}: {}", path.display(), stdout(&output));
        assert!(stdout(&output).contains("schedule/nothing-to-check"));
        assert!(stdout(&output).contains("no tendon checked"));
    }
}

#[test]
fn of_several_files_the_worst_decides() {
    let folder = folder();
    let clean = demo("quillmere.json");
    let lacking = file(&folder, "lacking.json", LACKING.as_bytes());
    let none = file(&folder, "none.json", br#"{"restrand": 1}"#);
    let missing = folder.path().join("missing.json");
    for (files, expected) in [
        (&[&clean, &clean][..], 0),
        (&[&clean, &lacking], 1),
        (&[&lacking, &none], 4),
        (&[&missing, &none, &lacking], 2),
    ] {
        let files: Vec<&Path> = files.iter().map(|path| path.as_path()).collect();
        let output = check(&[], &files);
        assert_eq!(code(&output), expected);
        let last = stdout(&output).lines().last().unwrap().to_owned();
        assert!(last.starts_with(&format!("{} files in all: ", files.len())), "{last}");
    }
}

#[test]
fn standard_input_is_read_and_named_once() {
    let run = |arguments: &[&str], content: &[u8]| {
        let mut child = restrand()
            .arg("check")
            .args(arguments)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let mut stdin = child.stdin.take().unwrap();
        let content = content.to_vec();
        let writer = std::thread::spawn(move || {
            // A run that ends early does not read what is sent.
            let _ = stdin.write_all(&content);
        });
        let output = child.wait_with_output().unwrap();
        writer.join().unwrap();
        output
    };
    let output = run(&["-"], LACKING.as_bytes());
    assert_eq!(code(&output), 1);
    assert!(stdout(&output).contains("stdin:"), "{}", stdout(&output));
    assert_eq!(code(&run(&["-"], &workbook(LACKING))), 1);
    assert_eq!(code(&run(&["-"], b"")), 2);
    assert_eq!(code(&run(&["-", "-"], b"")), 2);
}

#[test]
fn a_reader_that_has_gone_ends_the_run_quietly() {
    let mut child = restrand()
        .args(["check", "--all"])
        .arg(demo("quillmere-faulty.xlsx"))
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let output = child.wait_with_output().unwrap();
    assert_eq!(code(&output), 1);
    assert_eq!(stderr(&output), "");
}

#[test]
fn a_reader_that_has_gone_leaves_no_input_unchecked() {
    let folder = folder();
    let clean = demo("quillmere.json");
    let none = file(&folder, "none.json", br#"{"restrand": 1}"#);
    for (format, of_each) in [("text", 30), ("json", 30)] {
        let mut child = restrand()
            .args(["check", "--all", "--format", format])
            .args(std::iter::repeat_n(demo("quillmere-faulty.xlsx"), of_each))
            .args([&clean, &none])
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        drop(child.stdout.take());
        let output = child.wait_with_output().unwrap();
        assert_eq!(code(&output), 4);
        assert_eq!(stderr(&output), "");
    }
}

#[test]
fn an_output_spares_what_is_read() {
    let folder = folder();
    let book = file(&folder, "own.toml", b"rulebook = 1\nname = \"own\"\nextends = \"base\"\n");
    let input = file(&folder, "a.json", LACKING.as_bytes());
    for spared in [&book, &input] {
        let before = std::fs::read(spared).unwrap();
        let arguments =
            ["--rulebook", book.to_str().unwrap(), "--output", spared.to_str().unwrap()];
        let output = check(&arguments, &[&input]);
        assert_eq!(code(&output), 2, "{}", stdout(&output));
        assert!(stderr(&output).contains("would replace"), "{}", stderr(&output));
        assert_eq!(std::fs::read(spared).unwrap(), before);
    }
}

#[test]
fn a_sheet_of_the_layout_under_another_name_is_lost() {
    let folder = folder();
    let mut workbook = rust_xlsxwriter::Workbook::new();
    for (name, rows) in [
        ("Tendons", [["Mark", "Strand count"], ["T1", "19"]]),
        ("Deviators (2)", [["Tendon", "Place"], ["T1", "D1"]]),
        ("Sheet7", [["Crew", "Shift"], ["north", "2"]]),
    ] {
        let sheet = workbook.add_worksheet();
        sheet.set_name(name).unwrap();
        for (row, cells) in (0..).zip(rows) {
            for (column, cell) in (0..).zip(cells) {
                sheet.write_string(row, column, cell).unwrap();
            }
        }
    }
    let path = file(&folder, "a.xlsx", &workbook.save_to_buffer().unwrap());
    let output = check(&["--all"], &[&path]);
    assert_eq!(code(&output), 1);
    let output = stdout(&output);
    assert!(output.contains("lost: 1 sheet with all that they hold"), "{output}");
    assert!(output.contains("the sheet Deviators (2) is not read"), "{output}");
    assert!(output.contains("the sheet Sheet7 is not read"), "{output}");
    assert_eq!(output.matches("error · schedule/unknown-column").count(), 1, "{output}");
    assert_eq!(output.matches("note · schedule/unknown-column").count(), 1, "{output}");
}

#[test]
fn an_output_file_appears_whole_and_alone() {
    let folder = folder();
    let path = folder.path().join("findings.json");
    std::fs::write(&path, "old").unwrap();
    let arguments = ["--format", "json", "--output", path.to_str().unwrap()];
    let output = check(&arguments, &[&demo("quillmere-faulty.xlsx")]);
    assert_eq!(code(&output), 1);
    assert_eq!(stdout(&output), "");
    let written = std::fs::read(&path).unwrap();
    serde_json::from_slice::<serde_json::Value>(&written).unwrap();
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1);
}

#[test]
fn every_run_gives_the_same_bytes() {
    let faulty = demo("quillmere-faulty.xlsx");
    for format in ["text", "json"] {
        let once = Arc::new(check(&["--format", format], &[&faulty]).stdout);
        for _ in 0..3 {
            assert_eq!(*once, check(&["--format", format], &[&faulty]).stdout);
        }
    }
}

#[test]
fn colour_is_used_only_where_it_is_asked_for() {
    let faulty = demo("quillmere-faulty.xlsx");
    assert!(!stdout(&check(&[], &[&faulty])).contains('\u{1b}'));
    assert!(!stdout(&check(&["--color", "never"], &[&faulty])).contains('\u{1b}'));
    assert!(stdout(&check(&["--color", "always"], &[&faulty])).contains('\u{1b}'));
}

#[test]
fn units_are_those_of_the_schedule_or_those_asked_for() {
    let unit = |arguments: &[&str], name: &str| {
        let mut all = vec!["--format", "json"];
        all.extend(arguments);
        let value: serde_json::Value =
            serde_json::from_slice(&check(&all, &[&demo(name)]).stdout).unwrap();
        value["inputs"][0]["units"].as_str().unwrap().to_owned()
    };
    assert_eq!(unit(&[], "quillmere.xlsx"), "si");
    assert_eq!(unit(&[], "quillmere-us.xlsx"), "us");
    assert_eq!(unit(&["--units", "si"], "quillmere-us.xlsx"), "si");
}

#[test]
fn rules_are_listed_and_explained() {
    let rules = stdout(&restrand().arg("rules").output().unwrap());
    for rule in restrand_rules::CATALOGUE {
        assert!(rules.lines().any(|line| line == rule.id), "{}", rule.id);
        let output = restrand().args(["explain", rule.id]).output().unwrap();
        assert_eq!(code(&output), 0);
        for limit in rule.limits {
            assert!(stdout(&output).contains(&format!("- {}: ", limit.name)));
        }
    }
    let output = restrand().args(["explain", "stub"]).output().unwrap();
    assert_eq!(code(&output), 2);
    assert!(stderr(&output).contains("did you mean \"space/stub\"?"));
}

#[test]
fn formats_and_schemas_are_printed() {
    let formats = stdout(&restrand().arg("formats").output().unwrap());
    assert!(formats.contains(".xlsx") && formats.contains(".json"));
    for name in ["schedule", "findings"] {
        let output = restrand().args(["schema", name]).output().unwrap();
        let schema: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
        assert_eq!(schema["$id"], format!("urn:restrand:{name}:1"));
    }
}

#[test]
fn the_help_of_every_command_tells_what_it_is_for() {
    for arguments in [&["--help"][..], &["check", "--help"], &["explain", "--help"]] {
        let output = restrand().args(arguments).output().unwrap();
        assert_eq!(code(&output), 0);
        assert!(!stdout(&output).is_empty());
    }
    let help = stdout(&restrand().args(["check", "--help"]).output().unwrap());
    for line in ["0  nothing at or above", "3  the program or a plugin failed"] {
        assert!(help.contains(line), "{help}");
    }
}
