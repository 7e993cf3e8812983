//! `restrand correct` as a user would run it.

#![expect(clippy::unwrap_used, reason = "helpers of tests are tests")]

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use rust_xlsxwriter::{Formula, Workbook};
use serde_json::Value;

fn demo(name: &str) -> PathBuf {
    let top = Path::new(env!("CARGO_MANIFEST_DIR")).ancestors().nth(2).unwrap();
    top.join("fixtures/demo").join(name)
}

fn restrand(arguments: &[&dyn AsRef<std::ffi::OsStr>]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_restrand"));
    command.env_clear().stdin(Stdio::null());
    command.args(arguments.iter().map(|argument| argument.as_ref())).output().unwrap()
}

fn correct(arguments: &[&dyn AsRef<std::ffi::OsStr>]) -> Output {
    let mut all: Vec<&dyn AsRef<std::ffi::OsStr>> = vec![&"correct", &"--as-of", &"2031-05-07"];
    all.extend(arguments);
    restrand(&all)
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

fn json(output: &Output) -> Value {
    let document: Value = serde_json::from_slice(&output.stdout).unwrap();
    document["inputs"][0].clone()
}

fn count(list: &Value) -> usize {
    list.as_array().unwrap().len()
}

#[test]
fn the_faulty_demo_is_corrected_into_a_new_file_and_stays_as_it_is() {
    let folder = tempfile::tempdir().unwrap();
    for (name, out) in [
        ("quillmere-faulty.xlsx", "out.xlsx"),
        ("quillmere-faulty.json", "out.json"),
        ("quillmere-faulty.xlsx", "out.ndjson"),
    ] {
        let (input, out) = (demo(name), folder.path().join(out));
        let before = fs::read(&input).unwrap();
        let output = correct(&[&input, &"-o", &out, &"--format", &"json"]);
        assert_eq!(code(&output), 1, "{}", stderr(&output));
        assert_eq!(fs::read(&input).unwrap(), before);
        let said = json(&output);
        assert_eq!(count(&said["made"]), 3, "{said}");
        // What could not be read stands as it was given where it stood, and so is found again.
        assert_eq!(said["values_lost"], 2);
        assert_eq!(count(&said["not_carried"]), 0, "{said}");
        let left = of_reading(&out);
        assert!(left.iter().any(|(_, message)| message.contains("tendon.order \"three\"")));
        assert_eq!(unread(&left), unread(&of_reading(&input)), "{}", out.display());
        let sum = |counts: &Value| -> u64 {
            ["error", "warning", "note"].iter().map(|name| counts[name].as_u64().unwrap()).sum()
        };
        assert!(sum(&said["after"]) < sum(&said["before"]), "{said}");
        // Once more changes nothing.
        let again = folder.path().join(format!("again-{}", out.file_name().unwrap().display()));
        let output = correct(&[&out, &"-o", &again, &"--format", &"json"]);
        assert_eq!(count(&json(&output)["made"]), 0);
        assert!(!fs::read(&again).unwrap().is_empty());
    }
}

/// What is found of the reading of a file: fingerprints and messages.
fn of_reading(file: &Path) -> Vec<(String, String)> {
    let found = json(&restrand(&[&"check", &"--format", &"json", &"--all", &file]));
    let mut of_reading: Vec<_> = found["findings"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|finding| finding["kind"] == "reading")
        .map(|finding| {
            let text = |name: &str| finding[name].as_str().unwrap().to_owned();
            (text("fingerprint"), text("message"))
        })
        .collect();
    of_reading.sort();
    of_reading
}

/// The text of a value that was not read, behind the name of its field; behind it stands of which record it is.
fn value_of(message: &str) -> Option<&str> {
    Some(message.split_once(" is not read: ")?.0.rsplit_once('"')?.0)
}

/// The values that findings say are not read, with their texts.
fn unread(found: &[(String, String)]) -> Vec<&str> {
    let mut values: Vec<_> = found.iter().filter_map(|found| value_of(&found.1)).collect();
    values.sort_unstable();
    values
}

/// The lines of two texts that differ; both must have as many.
fn changed_lines<'a>(one: &'a str, other: &'a str) -> Vec<(&'a str, &'a str)> {
    assert_eq!(one.lines().count(), other.lines().count());
    one.lines().zip(other.lines()).filter(|(one, other)| one != other).collect()
}

#[test]
fn a_document_is_changed_in_place_and_keeps_every_other_byte() {
    let folder = tempfile::tempdir().unwrap();
    // As a person may lay it out: a mark, blanks around colons, line ends of another system, a text for a value.
    let text = fs::read_to_string(demo("quillmere-faulty.json")).unwrap();
    let own = text.replace("\": ", "\" :  ").replace('\n', "\r\n");
    let input = folder.path().join("own.json");
    fs::write(&input, format!("\u{feff}{own}")).unwrap();
    let out = folder.path().join("out.json");
    let said = json(&correct(&[&input, &"-o", &out, &"--format", &"json"]));
    let before = fs::read_to_string(&input).unwrap();
    let after = fs::read_to_string(&out).unwrap();
    let changed = changed_lines(&before, &after);
    assert_eq!(changed.len(), count(&said["made"]), "{changed:?}");
    assert!(changed.iter().any(|(_, after)| after.trim() == "\"wall_mm\" :  7.4,"), "{changed:?}");
    assert_eq!(before.matches("\r\n").count(), after.matches("\r\n").count());
    // So is a file with a record on each line.
    let lines = folder.path().join("own.ndjson");
    restrand(&[&"convert", &demo("quillmere-faulty.json"), &lines]);
    let out = folder.path().join("out.ndjson");
    correct(&[&lines, &"-o", &out]);
    let before = fs::read_to_string(&lines).unwrap();
    let after = fs::read_to_string(&out).unwrap();
    assert_eq!(changed_lines(&before, &after).len(), count(&said["made"]));
}

#[test]
fn a_model_is_changed_in_place_and_keeps_every_other_byte() {
    let folder = tempfile::tempdir().unwrap();
    let made = folder.path().join("made.ifc");
    restrand(&[&"convert", &demo("quillmere-faulty.xlsx"), &made]);
    // As another program may pass it on: a comment, an element of its own, line ends of another system.
    let own = "/* kept */\n#900000 = IFCWALL( '0own_wall_0own_wall_0o',$,'it''s',$,$,$,$,$,$ );";
    let text = fs::read_to_string(&made).unwrap();
    let text = text.replace("ENDSEC;\nEND-ISO", &format!("{own}\nENDSEC;\nEND-ISO"));
    let input = folder.path().join("own.ifc");
    fs::write(&input, text.replace('\n', "\r\n")).unwrap();
    let out = folder.path().join("out.ifc");
    let said = json(&correct(&[&input, &"-o", &out, &"--format", &"json"]));
    let before = fs::read_to_string(&input).unwrap();
    let after = fs::read_to_string(&out).unwrap();
    assert!(count(&said["made"]) > 0, "{said:#}");
    let changed = changed_lines(&before, &after);
    assert!(!changed.is_empty());
    for (before, after) in &changed {
        assert_eq!(before.split('=').next(), after.split('=').next(), "the number stays");
    }
    let wall = |line: &str| line.contains("'wall'");
    let wall = changed.iter().find(|(before, _)| wall(before)).unwrap();
    // In the unit that the property states.
    assert!(wall.0.contains("MEASURE(9.2),#"), "{wall:?}");
    assert_eq!(wall.0.replace("(9.2)", "(7.4)"), wall.1);
    assert!(after.contains(&own.replace('\n', "\r\n")), "the other program's element stays");
    // A second run finds nothing to do, and leaves every byte.
    let again = folder.path().join("again.ifc");
    correct(&[&out, &"-o", &again]);
    assert_eq!(fs::read_to_string(&again).unwrap(), after);
    // In one of another schema each value is changed where it stands.
    let other = folder.path().join("other.ifc");
    fs::write(&other, before.replace("IFC4X3_ADD2", "IFC4X3")).unwrap();
    correct(&[&other, &"-o", &again]);
    let (before, after) =
        (fs::read_to_string(&other).unwrap(), fs::read_to_string(&again).unwrap());
    let changed = changed_lines(&before, &after);
    let wall = |line: &str| line.contains("'wall'");
    let wall = changed.iter().find(|(before, _)| wall(before)).unwrap();
    assert_eq!(wall.0.replace("(9.2)", "(7.4)"), wall.1);
    assert!(after.contains(&own.replace('\n', "\r\n")));
    // A model whose shapes follow no longer is written anew, and what that leaves out is told.
    let room =
        "#900001=IFCVIRTUALELEMENT('0own_room_0own_room_0o',$,$,$,'STUB',$,$,$,.CLEARANCE.);";
    fs::write(
        &other,
        before
            .replace("IFC4X3", "IFC4X3_ADD2")
            .replace("ENDSEC;\r\nEND-ISO", &format!("{room}\r\nENDSEC;\r\nEND-ISO")),
    )
    .unwrap();
    let anew = folder.path().join("anew.ifc");
    let told = "\"the rest of the model\": it could not be changed in place";
    let flat = |output: &Output| stdout(output).split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat(&correct(&[&other, &"-o", &anew])).contains(told));
    assert!(!fs::read_to_string(&anew).unwrap().contains("IFCWALL"));
    assert!(!flat(&correct(&[&input, &"-o", &out])).contains(told), "in place nothing is left out");
}

#[test]
fn a_dry_run_writes_nothing_and_shows_each_change() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("out.xlsx");
    let input = demo("quillmere-faulty.xlsx");
    for arguments in [&[&"--dry-run" as &dyn AsRef<_>][..], &[&"--dry-run", &"-o", &out]] {
        let mut all: Vec<&dyn AsRef<std::ffi::OsStr>> = vec![&input];
        all.extend(arguments);
        let output = correct(&all);
        assert_eq!(code(&output), 1, "{}", stderr(&output));
        let shown = stdout(&output);
        assert!(shown.contains("  Ducts!G2, Wall [mm] · ducts[PE125].wall_mm\n"), "{shown}");
        assert!(shown.contains("\n  - 9.2 mm [0.3622 in]\n  + 7.4 mm [0.2913 in]\n"), "{shown}");
        assert!(shown.contains("written:   nothing"), "{shown}");
        assert!(!out.exists());
    }
}

#[test]
fn the_readme_shows_real_output() {
    let top = Path::new(env!("CARGO_MANIFEST_DIR")).ancestors().nth(2).unwrap();
    let readme = fs::read_to_string(top.join("README.md")).unwrap();
    let start = readme.find("```text\nrecompute").unwrap() + "```text\n".len();
    let shown = &readme[start..];
    let shown = &shown[..shown.find("```").unwrap()];
    let output = correct(&[&demo("quillmere-faulty.xlsx"), &"--dry-run"]);
    assert!(stdout(&output).contains(shown), "{}", stdout(&output));
}

#[test]
fn proposals_are_written_where_their_rule_is_accepted() {
    let input = demo("quillmere-faulty.json");
    let said = json(&correct(&[&input, &"--dry-run", &"--format", &"json"]));
    let proposed = count(&said["proposed"]);
    let accept = ["--accept", "schedule/dangling-reference", "--accept", "strand/area-mismatch"];
    let mut all: Vec<&dyn AsRef<std::ffi::OsStr>> =
        vec![&input, &"--dry-run", &"--format", &"json"];
    all.extend(accept.iter().map(|argument| argument as &dyn AsRef<std::ffi::OsStr>));
    let said = json(&correct(&all));
    assert_eq!(count(&said["made"]), 5, "{said}");
    assert_eq!(count(&said["proposed"]), proposed - 2);
}

#[test]
fn wrong_usage_ends_with_2_and_says_what_to_do() {
    let folder = tempfile::tempdir().unwrap();
    let input = demo("quillmere.json");
    let copy = folder.path().join("copy.json");
    fs::copy(&input, &copy).unwrap();
    let told = |arguments: &[&dyn AsRef<std::ffi::OsStr>], said: &str| {
        let output = correct(arguments);
        assert_eq!(code(&output), 2, "{}", stdout(&output));
        assert!(stderr(&output).contains(said), "{}", stderr(&output));
    };
    told(&[&copy], "name the corrected file with --output");
    told(&[&copy, &"-o", &copy], "would replace the input");
    told(&[&copy, &"-o", &folder.path().join(".").join("copy.json")], "would replace the input");
    told(&[&copy, &"-o", &folder.path().join("out.txt")], "does not tell its format");
    told(&[&copy, &input, &"-o", &folder.path().join("out.json")], "name one");
    told(&[&copy, &"--dry-run", &"--accept", &"schedule/dangling-referense"], "did you mean");
    told(&[&copy, &"--dry-run", &"--accept", &"space/stub"], "proposes nothing");
    #[cfg(unix)]
    {
        let link = folder.path().join("link.json");
        std::os::unix::fs::symlink(&copy, &link).unwrap();
        told(&[&copy, &"-o", &link], "would replace the input");
        let hard = folder.path().join("hard.json");
        fs::hard_link(&copy, &hard).unwrap();
        told(&[&copy, &"-o", &hard], "would replace the input");
    }
    assert_eq!(fs::read(&copy).unwrap(), fs::read(&input).unwrap());
}

#[test]
fn what_cannot_be_read_is_told_and_nothing_is_written() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("out.json");
    let broken = folder.path().join("broken.json");
    fs::write(&broken, "{").unwrap();
    let output = correct(&[&broken, &"-o", &out]);
    assert_eq!(code(&output), 2);
    assert!(stdout(&output).contains("the file cannot be read"));
    let empty = folder.path().join("empty.json");
    fs::write(&empty, r#"{"restrand": 1, "tendons": []}"#).unwrap();
    let output = correct(&[&empty, &"-o", &out, &"--format", &"json"]);
    assert_eq!(code(&output), 4);
    assert_eq!(json(&output)["findings"][0]["rule"], "schedule/nothing-to-check");
    assert!(!out.exists());
}

#[test]
fn a_schedule_that_goes_to_standard_output_has_it_for_itself() {
    let output = correct(&[&demo("quillmere-faulty.json"), &"-o", &"-"]);
    assert_eq!(code(&output), 1);
    let document: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(document["ducts"][0]["wall_mm"], 7.4);
    assert!(stderr(&output).contains("written:   stdout"), "{}", stderr(&output));
}

/// A workbook as people type it: numbers as texts, words in their own spelling, and a formula.
fn typed(folder: &Path) -> PathBuf {
    let mut workbook = Workbook::new();
    let ducts = workbook.add_worksheet().set_name("Ducts").unwrap();
    let headers = [
        "Id",
        "Material",
        "Outer [mm]",
        "Wall [mm]",
        "Inner [mm]",
        "Inner convention",
        "Dimension ratio",
    ];
    for (column, header) in (0..).zip(headers) {
        ducts.write(0, column, header).unwrap();
    }
    ducts.write(1, 0, " PE125").unwrap();
    ducts.write(1, 1, "Poly Ethylene").unwrap();
    ducts.write(1, 2, "125 mm").unwrap();
    ducts.write_formula(1, 3, Formula::new("=4.6*2").set_result("9.2")).unwrap();
    ducts.write(1, 4, 110.2).unwrap();
    ducts.write(1, 5, "minimum wall").unwrap();
    ducts.write(1, 6, 17).unwrap();
    let tendons = workbook.add_worksheet().set_name("Tendons").unwrap();
    for (column, header) in (0..).zip(["Mark", "Duct", "Strand count"]) {
        tendons.write(0, column, header).unwrap();
    }
    tendons.write(1, 0, "T1").unwrap();
    tendons.write(1, 1, "PE125").unwrap();
    tendons.write(1, 2, "19").unwrap();
    let path = folder.join("typed.xlsx");
    workbook.save(&path).unwrap();
    path
}

#[test]
fn texts_of_cells_are_restated_and_a_formula_is_left_unless_asked() {
    let folder = tempfile::tempdir().unwrap();
    let input = typed(folder.path());
    let out = folder.path().join("out.xlsx");
    let said = json(&correct(&[&input, &"-o", &out, &"--format", &"json"]));
    let mut made: Vec<_> = said["made"]
        .as_array()
        .unwrap()
        .iter()
        .map(|made| {
            assert_eq!(made["class"], "restate");
            let change = &made["changes"][0];
            (change["route"].as_str().unwrap(), change["given"].as_str().unwrap())
        })
        .collect();
    made.sort_unstable();
    assert_eq!(
        made,
        [
            ("ducts[PE125].id", " PE125"),
            ("ducts[PE125].material", "Poly Ethylene"),
            ("ducts[PE125].outer_mm", "125 mm"),
            ("tendons[T1].strand_count", "19"),
        ]
    );
    assert_eq!(said["formulas"], 1);
    assert_eq!(said["held"][0]["changes"][0]["place"]["cell"], "D2");
    let asked = json(&correct(&[&input, &"--dry-run", &"--formulas", &"--format", &"json"]));
    assert_eq!((count(&asked["held"]), count(&asked["made"])), (0, 5));
    let again = json(&correct(&[&out, &"--dry-run", &"--formulas", &"--format", &"json"]));
    let left: Vec<_> = again["made"].as_array().unwrap().iter().map(|made| &made["rule"]).collect();
    assert_eq!(left, ["duct/dimensions-inconsistent"], "{again}");
}

/// A workbook of which much cannot be read: values, columns without a unit or with a wrong one, names that are near.
fn unreadable(folder: &Path) -> PathBuf {
    let mut workbook = Workbook::new();
    let sheets: [(&str, &[&[&str]]); 3] = [
        (
            "Ducts",
            &[
                &["Id", "Material", "Outer [mm]", "Wall", "Inner [mm]", "Inner convention"],
                &["PE125", "polyethylene", "about 125", "7.4", "-110.2", "minimum wall"],
                &["PE90", "polyethylene", "90", "5.4", "1e99", "minimal"],
            ],
        ),
        (
            "Tendons",
            &[
                &[
                    "Mark",
                    "Spans",
                    "Strand",
                    "Strand count",
                    "Order",
                    "Length [kN]",
                    "Dct",
                    "Force",
                    "Heat",
                ],
                &["T1", "S1", "S", "19.5", "three", "12", "PE125", "=1+1", "-"],
                &["T2", "S1", "S", "19 to 22", "2", "13", "PE90", "@SUM(A1)", "1,234"],
            ],
        ),
        ("Strands", &[&["Id", "Area [mm2]", "Area [mm2]"], &["S", "150", "140"]]),
    ];
    for (name, rows) in sheets {
        let sheet = workbook.add_worksheet().set_name(name).unwrap();
        for (row, cells) in (0..).zip(rows) {
            for (column, text) in (0..).zip(*cells) {
                match text.parse::<f64>() {
                    Ok(number) => sheet.write(row, column, number).unwrap(),
                    Err(_) => sheet.write(row, column, *text).unwrap(),
                };
            }
        }
    }
    // The text of an error is as good as any other for a field that takes texts.
    let strands = workbook.worksheet_from_name("Strands").unwrap();
    strands.write(0, 3, "Grade").unwrap();
    strands.write_formula(1, 3, Formula::new("=1/0").set_result("#DIV/0!")).unwrap();
    let path = folder.join("unreadable.xlsx");
    workbook.save(&path).unwrap();
    path
}

#[test]
fn what_could_not_be_read_is_found_again_in_the_corrected_file() {
    let folder = tempfile::tempdir().unwrap();
    let input = unreadable(folder.path());
    let before = of_reading(&input);
    assert!(before.len() > 10, "{before:#?}");
    for name in ["out.xlsx", "out.zip", "out.ndjson"] {
        let out = folder.path().join(name);
        let said = json(&correct(&[&input, &"-o", &out, &"--format", &"json"]));
        assert_eq!(count(&said["not_carried"]), 0, "{said}");
        let after = of_reading(&out);
        if name == "out.ndjson" {
            // A document has no columns of which anything could be said, but each value that was below one.
            let header = "Ducts: Wall \"7.4";
            let left = unread(&before).into_iter().filter(|value| *value != header);
            let mut left: Vec<_> =
                left.chain(["duct.wall_mm \"5.4", "duct.wall_mm \"7.4"]).collect();
            left.sort_unstable();
            assert_eq!(unread(&after), left);
        } else {
            let at = |found: &[(String, String)]| -> Vec<String> {
                found.iter().map(|(at, _)| at.clone()).collect()
            };
            assert_eq!(at(&after), at(&before), "{name}: {before:#?} {after:#?}");
            assert_eq!(unread(&after), unread(&before), "{name}");
        }
        // What was given comes back, and what would be taken for a value now says that it is none.
        assert!(
            after.iter().any(|(_, said)| said.contains("strand.grade \"#DIV/0!\"")),
            "{after:#?}"
        );
        let again = folder.path().join(format!("again-{name}"));
        let said = json(&correct(&[&out, &"-o", &again, &"--format", &"json"]));
        assert_eq!(count(&said["made"]), 0, "{said}");
        assert_eq!(of_reading(&again), after);
    }
}
