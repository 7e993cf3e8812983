//! What a run that ends in the middle of writing leaves: the old file or the new one, whole, and nothing beside it.

#![cfg(unix)]
#![expect(clippy::unwrap_used, reason = "helpers of tests are tests")]

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use std::time::{Duration, Instant};

const OLD: &[u8] = b"the old file";

fn demo() -> PathBuf {
    let top = Path::new(env!("CARGO_MANIFEST_DIR")).ancestors().nth(2).unwrap();
    top.join("fixtures/demo/quillmere.json")
}

fn convert(output: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_restrand"));
    command.env_clear().stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::piped());
    command.arg("convert").arg(demo()).arg(output);
    command
}

/// Runs the command under what a shell says before it.
fn under(before: &str, output: &Path) -> Output {
    let mut command = Command::new("/bin/sh");
    command.env_clear().stdin(Stdio::null());
    command.arg("-c").arg(format!("{before}; exec \"$@\"")).arg("sh");
    command.arg(env!("CARGO_BIN_EXE_restrand")).arg("convert").arg(demo()).arg(output);
    command.output().unwrap()
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

#[test]
fn a_folder_that_takes_no_file_is_said() {
    let scratch = tempfile::tempdir().unwrap();
    let file = scratch.path().join("file");
    fs::write(&file, OLD).unwrap();
    // Whoever runs the tests: one is not there, and one is no folder.
    for folder in [scratch.path().join("none"), file] {
        let output = convert(&folder.join("out.xlsx")).output().unwrap();
        assert_eq!(output.status.code(), Some(2));
        assert!(said(&output).contains("out.xlsx cannot be written: "), "{}", said(&output));
    }
    assert_eq!(names(scratch.path()), ["file"]);
}

#[test]
fn a_full_disk_is_said_and_leaves_the_old_file() {
    for name in ["out.json", "out.xlsx"] {
        let scratch = tempfile::tempdir().unwrap();
        let path = scratch.path().join(name);
        fs::write(&path, OLD).unwrap();
        // Eight kilobytes, and an error instead of the signal that would end the run.
        let output = under("trap '' XFSZ; ulimit -f 8", &path);
        assert_eq!(output.status.code(), Some(3), "{}", said(&output));
        assert!(
            said(&output).contains(&format!("{name} cannot be written: ")),
            "{}",
            said(&output)
        );
        assert_eq!(fs::read(&path).unwrap(), OLD);
        assert_eq!(names(scratch.path()), [name]);
        // The signal itself ends the run as a kill does.
        #[cfg(target_os = "linux")]
        {
            let output = under("ulimit -c 0; ulimit -f 8", &path);
            assert_eq!(output.status.code(), None, "{}", said(&output));
            assert_eq!(fs::read(&path).unwrap(), OLD);
            assert_eq!(names(scratch.path()), [name]);
        }
    }
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
