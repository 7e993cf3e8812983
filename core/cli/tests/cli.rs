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
        (folder.path().to_owned(), "it is a folder without a CSV file"),
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
        (&["--from", "dxf"], "no format is called \"dxf\""),
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
    // A model whose one element is no tendon, as programs for buildings write what they have no class for.
    let model = "ISO-10303-21;\nHEADER;\nFILE_DESCRIPTION((''),'2;1');\n\
        FILE_NAME('','',(''),(''),'','','');\nFILE_SCHEMA(('IFC4'));\nENDSEC;\nDATA;\n\
        #1=IFCPROJECT('0000000000000000000001',$,'Testing Beck',$,$,$,$,$,$);\n\
        #2=IFCBUILDINGELEMENTPROXY('0000000000000000000002',$,'Tendon T1',$,$,$,$,$,$);\n\
        ENDSEC;\nEND-ISO-10303-21;\n";
    for (path, how) in [
        (file(&folder, "none.json", none.as_bytes()), "in the list \"tendons\""),
        (file(&folder, "none.xlsx", &workbook(none)), "headers name the marks of tendons"),
        (
            file(&folder, "foreign.xlsx", &foreign.save_to_buffer().unwrap()),
            "headers name the marks of tendons",
        ),
        (file(&folder, "none.csv", b"Item,Cost\nGirder,7\n"), "headers name the marks of tendons"),
        (file(&folder, "none.ifc", model.as_bytes()), "IfcTendon whose Name is its mark"),
    ] {
        let output = check(&["--format", "json"], &[&path]);
        assert_eq!(code(&output), 4, "{}: {}", path.display(), stdout(&output));
        let report: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
        let findings = report["inputs"][0]["findings"].as_array().unwrap();
        let nothing = findings
            .iter()
            .find(|finding| finding["rule"] == "schedule/nothing-to-check")
            .unwrap_or_else(|| panic!("{}: {report}", path.display()));
        // Each format's own way to state a tendon is told, and no other's.
        assert!(nothing["help"].as_str().unwrap().contains(how), "{nothing}");
        assert_eq!(report["inputs"][0]["coverage"]["tendons"], 0);
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

/// What a check says of one tendon at the stage of shop drawings, whose ends have these headers and values.
fn checked_ends(header: &str, values: &str) -> String {
    let folder = folder();
    file(&folder, "Project.csv", b"Bridge,Stage\nTesting Beck,shop_drawing\n");
    file(&folder, "Tendons.csv", b"Mark,Strand count,Replaceable,Status\nT1,19,yes,in_use\n");
    let sides = "Removal space up [mm],Removal space down [mm],Removal space left [mm],Removal space right [mm]";
    let ends = format!("Tendon,End,{header},{sides}\nT1,a,{values},800,800,800,800\n");
    file(&folder, "Ends.csv", ends.as_bytes());
    stdout(&check(&["--all"], &[folder.path()]))
}

#[test]
fn a_column_that_is_lost_is_said_once_and_its_field_is_not_missed_in_every_row() {
    // The header of a required field lost its unit, or a letter.
    let no_unit = checked_ends("Removal space behind", "1900");
    assert!(no_unit.contains("Ends: Removal space behind \"1900\" is not read"), "{no_unit}");
    let slip = checked_ends("Removl space behind [mm]", "1900");
    assert!(slip.contains("error · schedule/unknown-column"), "{slip}");
    assert!(slip.contains("did you mean \"Removal space behind\"?"), "{slip}");
    for said in [no_unit, slip] {
        assert!(!said.contains("space/missing"), "{said}");
    }
    // One that is not required is a warning, for its values were surely meant.
    let stub = checked_ends("Stubb cut [mm],Removal space behind [mm]", "-1480,1900");
    assert!(stub.contains("warning · schedule/unknown-column"), "{stub}");
    // Without any such column, the row is where the value is missed.
    let absent = checked_ends("Note", "x");
    assert!(absent.contains("error · space/missing"), "{absent}");
    assert!(absent.contains("line 2: no column for Removal space behind [mm]"), "{absent}");
    assert!(absent.contains("note · schedule/unknown-column"), "{absent}");
}

#[test]
fn a_folder_of_csv_files_is_one_schedule_shown_by_file_and_line() {
    let folder = folder();
    file(&folder, "Tendons.csv", b"Mark;Strand count;Length [m]\nT1;19;36,125\nT2;nineteen;7\n");
    file(&folder, "photo.jpg", b"\xff\xd8");
    file(&folder, ".Tendons.csv.lock", b"x");
    let output = check(&[], &[folder.path()]);
    assert_eq!(code(&output), 1, "{}", stderr(&output));
    let text = stdout(&output);
    for said in [
        "Tendons.csv:3]",
        "line 3, column 2, Strand count",
        "\"36,125\"",
        "the comma in it can mean 36.125 m or 36125 m",
        "photo.jpg",
        "as csv",
    ] {
        assert!(text.contains(said), "{said}: {text}");
    }
    assert!(!text.contains(".lock"), "{text}");

    let output = check(&["--format", "json"], &[folder.path()]);
    let document: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    let findings = document["inputs"][0]["findings"].as_array().unwrap();
    let place = findings
        .iter()
        .map(|found| &found["place"])
        .find(|place| place["line"] == 3 && place["column"] == 2)
        .expect("the value has a place");
    assert!(place["part"].as_str().unwrap().ends_with("Tendons.csv"), "{place}");
    assert_eq!((&place["sheet"], &place["header"]), (&"Tendons".into(), &"Strand count".into()));

    let own = folder.path().join("Tendons.csv");
    let output = check(&["--output", own.to_str().unwrap()], &[folder.path()]);
    assert_eq!(code(&output), 2);
    assert!(stderr(&output).contains("would replace the input"), "{}", stderr(&output));
    assert!(std::fs::read(own).unwrap().starts_with(b"Mark;"), "an input is never changed");
}

/// A plugin in C with one fault, built for the test.
#[cfg(unix)]
fn faulty(folder: &Path, fault: &str) -> PathBuf {
    let library = folder.join(format!("{fault}.{}", std::env::consts::DLL_EXTENSION));
    let built = Command::new("cc")
        .args(["-std=gnu11", "-O0", "-fPIC", "-shared", "-I"])
        .arg(top().join("core/plugin/abi/include"))
        .arg(format!("-DFAULT_{fault}"))
        .arg("-o")
        .arg(&library)
        .arg(top().join("tests/conformance/plugins/faults/faults.c"))
        .status()
        .unwrap();
    assert!(built.success());
    library
}

#[cfg(unix)]
#[test]
fn a_plugin_that_fails_is_one_error_about_its_file_and_the_others_are_checked() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("a.faulty"), "anything").unwrap();
    for (fault, said) in [("ABORT", "it crashed"), ("LOOP", "within 1 s"), ("FLOOD", "hands over")]
    {
        let library = faulty(folder.path(), fault);
        let plugin = library.to_str().unwrap();
        let arguments = ["--plugin", plugin, "--plugin-time-limit", "1"];
        // A flood may take longer than a second here; what it comes to is one error all the same.
        let arguments = if fault == "FLOOD" { &arguments[..2] } else { &arguments[..] };
        let output = restrand()
            .current_dir(folder.path())
            .args(["check", "--as-of", "2031-05-07", "a.faulty"])
            .arg(demo("quillmere.json"))
            .args(arguments)
            .output()
            .unwrap();
        let shown = String::from_utf8(output.stdout).unwrap();
        // Lines are broken where the terminal ends.
        let words = shown.split_whitespace().filter(|w| *w != "│").collect::<Vec<_>>().join(" ");
        assert_eq!(output.status.code(), Some(3), "{shown}");
        assert!(words.contains(said), "{fault}: {shown}");
        assert!(words.contains("18 tendons checked"), "{shown}");
    }
}

#[cfg(unix)]
#[test]
fn a_library_that_is_no_plugin_of_this_release_ends_the_run_with_3() {
    let folder = tempfile::tempdir().unwrap();
    let library = faulty(folder.path(), "MAJOR");
    let output = restrand().arg("formats").arg("--plugin").arg(&library).output().unwrap();
    let said = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(3), "{said}");
    assert!(said.contains("made for version 99"), "{said}");
    let output = restrand().args(["formats", "--plugin", "no/such.so"]).output().unwrap();
    assert_eq!(output.status.code(), Some(2));
}

#[cfg(target_os = "linux")]
#[test]
fn plugins_come_from_the_configured_folder_and_never_from_where_one_stands() {
    let folder = tempfile::tempdir().unwrap();
    let plugins = folder.path().join("home/restrand/mine");
    std::fs::create_dir_all(&plugins).unwrap();
    let library = faulty(&plugins, "PRINT");
    let formats = |standing: &Path| {
        let output = restrand()
            .arg("formats")
            .current_dir(standing)
            .env("HOME", folder.path())
            .env("XDG_CONFIG_HOME", folder.path().join("home"))
            .output()
            .unwrap();
        (output.status.code(), String::from_utf8(output.stdout).unwrap(), output.stderr)
    };
    let (code, shown, _) = formats(&plugins);
    assert_eq!(code, Some(0));
    assert!(!shown.contains("faulty"), "{shown}");
    let configuration = folder.path().join("home/restrand/config.toml");
    std::fs::write(&configuration, "plugins = \"mine\"\n").unwrap();
    let (_, shown, _) = formats(folder.path());
    assert!(shown.contains(&format!("faulty ({})", library.display())), "{shown}");
    std::fs::write(&configuration, "\nplugins = mine\n").unwrap();
    let (code, _, said) = formats(folder.path());
    assert_eq!(code, Some(2));
    assert!(String::from_utf8(said).unwrap().contains("line 2"));
}

#[cfg(unix)]
#[test]
fn plugin_test_says_what_a_plugin_does_not_keep() {
    let folder = tempfile::tempdir().unwrap();
    let library = faulty(folder.path(), "PRINT");
    let output = restrand().args(["plugin", "test"]).arg(&library).output().unwrap();
    let shown = String::from_utf8(output.stdout).unwrap();
    assert_eq!(output.status.code(), Some(1), "{shown}");
    assert!(shown.contains("probe/foreign") && shown.contains("not kept"), "{shown}");
}

#[test]
fn findings_become_an_archive_for_viewers_of_models() {
    let folder = folder();
    let path = folder.path().join("findings.bcf");
    let input = file(&folder, "lacking.json", LACKING.as_bytes());
    let to_file = ["--format", "bcf", "--output", path.to_str().unwrap()];
    let written = check(&to_file, &[&input, Path::new("/nonexistent/file.xlsx")]);
    assert_eq!(code(&written), 2, "{}", stderr(&written));
    assert!(written.stdout.is_empty());
    let bytes = std::fs::read(&path).unwrap();
    assert!(bytes.starts_with(b"PK"));
    // The unreadable file has its topic too, and the archive is the same again, also through a pipe.
    let piped = check(&["--format", "bcf"], &[&input, Path::new("/nonexistent/file.xlsx")]);
    assert_eq!(piped.stdout, bytes);
}

#[test]
fn findings_are_told_to_hosts_and_build_servers() {
    let folder = folder();
    let input = file(&folder, "lacking.json", LACKING.as_bytes());
    let sarif = check(&["--format", "sarif"], &[&input]);
    assert_eq!(code(&sarif), 1);
    let document: serde_json::Value = serde_json::from_slice(&sarif.stdout).unwrap();
    assert_eq!(document["runs"][0]["tool"]["driver"]["name"], "restrand");
    let junit = check(&["--format", "junit"], &[&input]);
    assert_eq!(code(&junit), 1);
    assert!(stdout(&junit).contains("<failure type=\"schedule/missing-field\""));
    // The threshold decides what fails, as it does of the exit code.
    let no_failure = |output: &Output| !stdout(output).contains("<failure");
    let severities = file(
        &folder,
        "own.toml",
        b"rulebook = 1\nname = \"own\"\nextends = \"base\"\n\n[severities]\n\"schedule/missing-field\" = \"note\"\n",
    );
    let lenient = ["--format", "junit", "--rulebook", severities.to_str().unwrap()];
    let lenient = check(&lenient, &[&input]);
    assert_eq!(no_failure(&lenient), code(&lenient) == 0, "{}", stdout(&lenient));
}
