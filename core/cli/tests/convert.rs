//! Writing schedules as a user would: formats, losses, and media that fail at any moment.

#![expect(clippy::unwrap_used, reason = "helpers of tests are tests")]

use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use std::time::Instant;

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

/// Killed at any moment, what stands in the place is the old file or the new one.
#[test]
fn a_kill_leaves_the_old_file_or_the_new_one_whole() {
    const KILLS: u32 = 50;
    let folder = folder();
    let output = folder.path().join("out.xlsx");
    let begun = Instant::now();
    assert_eq!(code(&convert(&[&demo("quillmere.json"), &output])), 0);
    let whole = begun.elapsed();
    let new = std::fs::read(&output).unwrap();
    let old = b"the old file".to_vec();
    let (mut olds, mut news) = (0, 0);
    for kill in 0..KILLS {
        std::fs::write(&output, &old).unwrap();
        let mut child = restrand(&["convert"], &[&demo("quillmere.json"), &output])
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        std::thread::sleep(whole.mul_f64(f64::from(kill) / f64::from(KILLS) * 1.2));
        child.kill().unwrap();
        child.wait().unwrap();
        let found = std::fs::read(&output).unwrap();
        if found == old {
            olds += 1;
        } else {
            assert!(found == new, "kill {kill}: {} bytes are neither", found.len());
            news += 1;
        }
    }
    assert_eq!(olds + news, KILLS);
    assert!(olds > 0, "no kill came before the end");
}

#[cfg(unix)]
#[test]
fn a_full_disk_leaves_the_old_file_and_nothing_else() {
    let folder = folder();
    let output = folder.path().join("out.json");
    std::fs::write(&output, "old").unwrap();
    // A limit on the size of files stands for a disk without room; the signal that comes with it is ignored, as
    // a full disk sends none.
    let told = Command::new("bash")
        .args(["-c", "trap '' XFSZ; ulimit -f 8; exec \"$0\" convert \"$1\" \"$2\""])
        .arg(env!("CARGO_BIN_EXE_restrand"))
        .args([&demo("quillmere.json"), &output])
        .output()
        .unwrap();
    assert_eq!(code(&told), 3, "{}", stderr(&told));
    assert!(stderr(&told).contains("cannot be written"), "{}", stderr(&told));
    assert_eq!(std::fs::read(&output).unwrap(), b"old");
    assert_eq!(names(folder.path()), ["out.json"]);
}

#[cfg(target_os = "linux")]
#[test]
fn a_folder_that_takes_no_files_is_told() {
    // Nobody can make files there, the system's administrator neither.
    let told = convert(&[&demo("quillmere.json"), Path::new("/proc/out.json")]);
    assert_eq!(code(&told), 2, "{}", stderr(&told));
    assert!(stderr(&told).contains("/proc/out.json cannot be written"), "{}", stderr(&told));
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
