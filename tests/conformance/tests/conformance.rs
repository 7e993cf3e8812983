//! Runs the suite; also serves plugins and runs single cases when it is told so by its own tests.
#![allow(clippy::print_stdout, reason = "the outcome of a single case is what the caller reads")]

mod careless;
mod faults;

use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::sync::Arc;

use libtest_mimic::{Arguments, Failed, Trial};
use restrand_conformance::{CASES, Case, Outcome, find};
use restrand_host::InProcess;
use restrand_kit::Bytes;
use restrand_test_conformance::subject::{self, built_in};
use restrand_test_conformance::{build, same, top};

fn main() -> ExitCode {
    let arguments: Vec<_> = std::env::args_os().collect();
    match arguments.get(1).and_then(|argument| argument.to_str()) {
        Some(subject::SERVE) => {
            let served = arguments.get(2).map(|path| restrand_host::serve(Path::new(path)));
            return ExitCode::from(u8::from(!matches!(served, Some(Ok(())))));
        }
        Some(subject::CASE) => {
            let text = |at: usize| arguments.get(at).and_then(|text| text.to_str()).unwrap_or("");
            let (Some(plugin), Some(case)) = (built_in(text(2)), find(text(3))) else {
                return ExitCode::FAILURE;
            };
            println!("{}", subject::here(plugin, case));
            return ExitCode::SUCCESS;
        }
        _ => {}
    }
    let folder = match tempfile::tempdir() {
        Ok(folder) => Arc::new(folder),
        Err(error) => {
            println!("there is no folder to build in: {error}");
            return ExitCode::FAILURE;
        }
    };
    match trials(folder.path()) {
        Ok(trials) => libtest_mimic::run(&Arguments::from_args(), trials).exit_code(),
        Err(why) => {
            println!("the plugins cannot be built: {why}");
            ExitCode::FAILURE
        }
    }
}

fn trials(folder: &Path) -> Result<Vec<Trial>, String> {
    let mut trials = Vec::new();
    for name in ["json", "workbook"] {
        for case in CASES {
            trials.push(Trial::test(format!("linked in/{name}/{}", case.name), move || {
                good(&subject::linked_in(name, case)?)
            }));
        }
    }
    let libraries = build::package(&[
        "restrand-json-cdylib",
        "restrand-workbook-cdylib",
        "restrand-example-strip",
        "restrand-test-broken-plugin",
    ])?;
    let [json, workbook, strip, broken] = libraries.as_slice() else {
        return Err("a library for each package".to_owned());
    };
    for (name, library) in [("json", json), ("workbook", workbook), ("strip", strip)] {
        on_library(name, library, &[], &mut trials);
    }
    let sample = std::fs::read(top().join("plugins/examples/tally/sample.tally"))
        .map_err(|error| format!("sample.tally: {error}"))?;
    on_library("tally", &build::tally(folder)?, &[Bytes::new("sample.tally", sample)], &mut trials);
    for case in CASES {
        let library = broken.clone();
        trials.push(Trial::test(format!("broken/{}", case.name), move || {
            as_stated(case, &subject::on_library(&library, case, &[], 2)?)
        }));
    }
    for (name, library, ending) in [("json", json, "json"), ("workbook", workbook, "xlsx")] {
        let folders = if name == "json" { &["fixtures"][..] } else { &["fixtures/demo"] };
        let library = library.clone();
        trials.push(Trial::test(format!("same as linked in/{name}"), move || {
            let plugin = InProcess::open(&library).map_err(|error| error.to_string())?;
            let linked = built_in(name).ok_or("it is linked in")?;
            for file in same::files(folders, ending)? {
                same::both(linked, &plugin, &file)?;
            }
            let apart = subject::isolated(&library, 60)?;
            let demo = top().join(format!("fixtures/demo/quillmere-faulty.{ending}"));
            Ok(same::both(linked, &apart, &demo)?)
        }));
    }
    careless::trials(&mut trials);
    faults::trials(folder, &mut trials);
    Ok(trials)
}

fn on_library(name: &str, library: &Path, samples: &[Bytes], trials: &mut Vec<Trial>) {
    for case in CASES {
        let (library, samples): (PathBuf, Vec<Bytes>) = (library.to_owned(), samples.to_vec());
        trials.push(Trial::test(format!("library/{name}/{}", case.name), move || {
            good(&subject::on_library(&library, case, &samples, 60)?)
        }));
    }
}

fn good(outcome: &Outcome) -> Result<(), Failed> {
    if outcome.is_good() { Ok(()) } else { Err(outcome.to_string().into()) }
}

/// The cases that the broken plugin breaks, and how.
const BROKEN: &[(&str, &str)] = &[
    ("probe/foreign", "fail"),
    ("probe/empty", "fail"),
    ("load/again", "fail"),
    ("load/pieces", "fail"),
    ("load/budget", "fail"),
    ("load/medium", "timeout"),
    ("load/truncated", "fail"),
    ("load/damaged", "crash"),
    ("write/identity", "fail"),
    ("write/ending", "fail"),
    ("patch/nothing", "fail"),
    ("patch/only", "crash"),
];

fn as_stated(case: &Case, outcome: &Outcome) -> Result<(), Failed> {
    let stated =
        BROKEN.iter().find(|(name, _)| *name == case.name).map_or("pass", |stated| stated.1);
    if outcome.word() == stated {
        return Ok(());
    }
    Err(format!("{stated} was stated, but it is {outcome}").into())
}
