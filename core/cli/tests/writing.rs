//! What a run that ends in the middle of writing leaves: the old file or the new one, whole, and nothing beside it.

#![cfg(unix)]
#![expect(clippy::unwrap_used, reason = "helpers of tests are tests")]

use std::ffi::OsString;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use std::time::{Duration, Instant};

const OLD: &[u8] = b"the old file";

fn demo(name: &str) -> PathBuf {
    let top = Path::new(env!("CARGO_MANIFEST_DIR")).ancestors().nth(2).unwrap();
    top.join("fixtures/demo").join(name)
}

fn convert(output: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_restrand"));
    command.env_clear().stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::piped());
    command.arg("convert").arg(demo("quillmere.json")).arg(output);
    command
}

/// The commands that write, each with what it is given before the name of its output.
fn writers() -> Vec<(&'static str, Vec<OsString>)> {
    let told = |words: &[&str], file: Option<&str>, last: &[&str]| -> Vec<OsString> {
        let words = words.iter().map(OsString::from);
        let file = file.map(|file| demo(file).into_os_string());
        words.chain(file).chain(last.iter().map(OsString::from)).collect()
    };
    let (sound, faulty) = (Some("quillmere.json"), "quillmere-faulty");
    let (book, document) = (format!("{faulty}.xlsx"), format!("{faulty}.json"));
    let on = ["--as-of", "2031-05-07"];
    let with = |word: &'static str| [word, on[0], on[1]];
    vec![
        ("out.json", told(&["convert"], sound, &[])),
        ("out.xlsx", told(&["convert"], sound, &[])),
        ("out.zip", told(&["convert"], sound, &[])),
        ("out.ifc", told(&["convert"], sound, &[])),
        ("out.xlsx", told(&with("correct"), Some(&book), &["-o"])),
        // It is changed in place.
        ("out.json", told(&with("correct"), Some(&document), &["-o"])),
        ("out.html", told(&with("check"), Some(&book), &["--format", "html", "-o"])),
        ("out.html", told(&with("plan"), sound, &["--tendon", "T11L", "--format", "html", "-o"])),
    ]
}

/// Runs a command under what a shell says before it.
fn under(before: &str, arguments: &[OsString], output: &Path) -> Output {
    let mut command = Command::new("/bin/sh");
    command.env_clear().stdin(Stdio::null());
    command.arg("-c").arg(format!("{before}; exec \"$@\"")).arg("sh");
    command.arg(env!("CARGO_BIN_EXE_restrand")).args(arguments).arg(output).output().unwrap()
}

fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<_> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

fn said(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

/// What a whole run writes.
fn whole(folder: &Path, name: &str) -> Vec<u8> {
    let path = folder.join(format!("whole-{name}"));
    assert!(convert(&path).status().unwrap().success());
    fs::read(path).unwrap()
}

/// The one line that says why nothing was written; standard output may have shown what was found.
fn is_said_once(output: &Output, name: &str) {
    let said = said(output);
    let lines: Vec<_> = said.lines().filter(|line| line.starts_with("error: ")).collect();
    let [line] = lines[..] else { panic!("{said}") };
    assert!(line.contains(&format!("{name} cannot be written: ")), "{said}");
    assert!(!line.contains(".restrand-"), "no file but the user's own is named: {said}");
}

#[test]
fn a_folder_that_takes_no_file_is_said() {
    let scratch = tempfile::tempdir().unwrap();
    let file = scratch.path().join("file");
    fs::write(&file, OLD).unwrap();
    // Whoever runs the tests, the system's administrator too: one is not there, one is no folder, one takes none.
    let mut folders = vec![scratch.path().join("none"), file];
    if cfg!(target_os = "linux") {
        folders.push(PathBuf::from("/proc"));
    }
    for folder in &folders {
        for (name, arguments) in writers().into_iter().take(2) {
            let output = under(":", &arguments, &folder.join(name));
            assert_eq!(output.status.code(), Some(2), "{}", said(&output));
            is_said_once(&output, name);
        }
        let arguments = ["template".into()];
        let output = under(":", &arguments, &folder.join("out.xlsx"));
        assert_eq!(output.status.code(), Some(2), "{}", said(&output));
        is_said_once(&output, "out.xlsx");
    }
    assert_eq!(names(scratch.path()), ["file"]);
}

/// A limit on the size of files stands for a disk without room: it needs no rights, and holds for everybody.
#[test]
fn a_full_disk_is_said_and_leaves_the_old_file() {
    // Two kilobytes, and an error instead of the signal that would end the run, as a full disk sends none.
    const FULL: &str = "trap '' XFSZ; ulimit -f 4";
    for (position, (name, arguments)) in writers().into_iter().enumerate() {
        let scratch = tempfile::tempdir().unwrap();
        let path = scratch.path().join(name);
        fs::write(&path, OLD).unwrap();
        let output = under(FULL, &arguments, &path);
        assert_eq!(output.status.code(), Some(3), "{arguments:?}: {}", said(&output));
        is_said_once(&output, name);
        assert_eq!(fs::read(&path).unwrap(), OLD);
        assert_eq!(names(scratch.path()), [name]);
        // The signal itself ends the run as a kill does.
        if cfg!(target_os = "linux") && position < 2 {
            let output = under("ulimit -c 0; ulimit -f 4", &arguments, &path);
            assert_eq!(output.status.code(), None, "{}", said(&output));
            assert_eq!(fs::read(&path).unwrap(), OLD);
            assert_eq!(names(scratch.path()), [name]);
        }
    }
    // Where nothing stood before, nothing stands after it: no file, and no folder with a part of the files.
    let scratch = tempfile::tempdir().unwrap();
    let as_csv = ["convert".into(), "--to".into(), "csv".into(), demo("quillmere.json").into()];
    let drawn: Vec<OsString> = vec![
        "plan".into(),
        demo("quillmere.json").into(),
        "--as-of".into(),
        "2031-05-07".into(),
        "--drawings".into(),
    ];
    let mut with_plan = drawn.clone();
    let plan = scratch.path().join("plan.html");
    with_plan.splice(1..1, ["--format".into(), "html".into(), "--output".into(), plan.into()]);
    for (name, arguments, named) in [
        ("out.xlsx", &["template".into()][..], "out.xlsx"),
        ("out", &as_csv, "out"),
        ("drawings", &drawn, ".svg"),
        ("new/drawings", &drawn, ".svg"),
        ("drawings", &with_plan, ".svg"),
    ] {
        let output = under(FULL, arguments, &scratch.path().join(name));
        assert_eq!(output.status.code(), Some(3), "{arguments:?}: {}", said(&output));
        is_said_once(&output, named);
        assert_eq!(names(scratch.path()), [""; 0], "{arguments:?}");
    }
    // And what stood in a folder stays as it was.
    let old = scratch.path().join("t1-T11L-tendon.svg");
    fs::write(&old, OLD).unwrap();
    let output = under(FULL, &drawn, scratch.path());
    assert_eq!(output.status.code(), Some(3), "{}", said(&output));
    assert_eq!(fs::read(&old).unwrap(), OLD);
    assert_eq!(names(scratch.path()), ["t1-T11L-tendon.svg"]);
}

#[test]
fn a_full_device_is_said() {
    let output = convert(Path::new("/dev/full")).arg("--to").arg("json").output().unwrap();
    assert_eq!(output.status.code(), Some(3));
    assert!(said(&output).contains("/dev/full cannot be written: "), "{}", said(&output));
}

#[cfg(target_os = "linux")]
#[test]
fn a_run_that_is_killed_leaves_the_old_file_or_the_new_one_and_no_other() {
    /// Kills for each form of output, spread over the run.
    const KILLS: u32 = 25;
    let scratch = tempfile::tempdir().unwrap();
    for name in ["out.json", "out.xlsx"] {
        let new = whole(scratch.path(), name);
        let folder = scratch.path().join(format!("of-{name}"));
        fs::create_dir(&folder).unwrap();
        let path = folder.join(name);
        let begin = Instant::now();
        assert!(convert(&path).status().unwrap().success());
        let time = begin.elapsed();
        for kill in 0..KILLS {
            fs::write(&path, OLD).unwrap();
            let mut run = convert(&path).spawn().unwrap();
            // Over the whole run and a little more.
            std::thread::sleep(time * (kill + 1) / (KILLS - 1) + Duration::from_millis(1));
            run.kill().unwrap();
            run.wait().unwrap();
            let left = fs::read(&path).unwrap();
            assert!(left == OLD || left == new, "{} bytes", left.len());
            assert_eq!(names(&folder), [name]);
        }
    }
    // A folder of files is there with all of them, or is not.
    let whole_folder = scratch.path().join("whole");
    let begin = Instant::now();
    assert!(convert(&whole_folder).arg("--to").arg("csv").status().unwrap().success());
    let time = begin.elapsed();
    let of_folder = scratch.path().join("of-folder");
    fs::create_dir(&of_folder).unwrap();
    for kill in 0..KILLS {
        let path = of_folder.join("out");
        let mut run = convert(&path).arg("--to").arg("csv").spawn().unwrap();
        std::thread::sleep(time * (kill + 1) / (KILLS - 1));
        run.kill().unwrap();
        run.wait().unwrap();
        if path.exists() {
            assert_eq!(names(&path), names(&whole_folder));
            fs::remove_dir_all(&path).unwrap();
        }
    }
}
