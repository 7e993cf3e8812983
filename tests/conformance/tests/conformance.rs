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
    for name in ["csv", "ifcspf", "ifcxml", "json", "workbook"] {
        for case in CASES {
            trials.push(Trial::test(format!("linked in/{name}/{}", case.name), move || {
                good(&subject::linked_in(name, case)?)
            }));
        }
    }
    let libraries = build::package(&[
        "restrand-csv-cdylib",
        "restrand-ifcspf-cdylib",
        "restrand-ifcxml-cdylib",
        "restrand-json-cdylib",
        "restrand-workbook-cdylib",
        "restrand-example-strip",
        "restrand-test-broken-plugin",
    ])?;
    let [csv, ifcspf, ifcxml, json, workbook, strip, broken] = libraries.as_slice() else {
        return Err("a library for each package".to_owned());
    };
    let own = [
        ("csv", csv),
        ("ifcspf", ifcspf),
        ("ifcxml", ifcxml),
        ("json", json),
        ("workbook", workbook),
    ];
    for (name, library) in own.into_iter().chain([("strip", strip)]) {
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
    for (name, library) in own {
        let library = library.clone();
        trials.push(Trial::test(format!("same as linked in/{name}"), move || {
            let plugin = InProcess::open(&library).map_err(|error| error.to_string())?;
            let linked = built_in(name).ok_or("it is linked in")?;
            for files in schedules(name)? {
                same::both(linked, &plugin, &files)?;
            }
            let apart = subject::isolated(&library, 60)?;
            for files in faulty_demo(name)? {
                same::both(linked, &apart, &files)?;
            }
            Ok(())
        }));
    }
    careless::trials(&mut trials);
    faults::trials(folder, &mut trials);
    Ok(trials)
}

/// The schedules of a format, each as its files, on which it is compared with itself as a library.
fn schedules(name: &str) -> Result<Vec<Vec<Bytes>>, String> {
    // No model stands in the fixtures: those that are written of them will do.
    if name.starts_with("ifc") {
        let ending = name.strip_prefix("ifcspf").map_or("ifcxml", |_| "ifc");
        let plugin = built_in(name).ok_or("it is linked in")?;
        return ["quillmere", "quillmere-us", "quillmere-faulty"]
            .iter()
            .map(|demo| {
                let document = same::part(&top().join(format!("fixtures/demo/{demo}.json")))?;
                same::rewritten(&restrand_json::Json, &document, plugin, ending)
            })
            .collect();
    }
    let (folders, ending) = match name {
        "json" => (&["fixtures"][..], "json"),
        "csv" => (&["fixtures"][..], "csv"),
        _ => (&["fixtures/demo"][..], "xlsx"),
    };
    let files = same::files(folders, ending)?;
    let mut schedules = faulty_demo(name)?;
    for file in files {
        schedules.push(vec![same::part(&file)?]);
    }
    Ok(schedules)
}

/// The faulty demo in a format, in each way that it can be laid into files.
fn faulty_demo(name: &str) -> Result<Vec<Vec<Bytes>>, String> {
    let demo = |ending| same::part(&top().join(format!("fixtures/demo/quillmere-faulty.{ending}")));
    match name {
        // It is a workbook or a document in the fixtures; as CSV it is an archive, or a file for each sheet.
        "csv" => ["zip", "csv"]
            .into_iter()
            .map(|ending| {
                same::rewritten(&restrand_json::Json, &demo("json")?, &restrand_csv::Csv, ending)
            })
            .collect(),
        "ifcspf" => {
            same::rewritten(&restrand_json::Json, &demo("json")?, &restrand_ifcspf::IfcSpf, "ifc")
                .map(|files| vec![files])
        }
        "ifcxml" => same::rewritten(
            &restrand_json::Json,
            &demo("json")?,
            &restrand_ifcxml::IfcXml,
            "ifcxml",
        )
        .map(|files| vec![files]),
        "json" => Ok(vec![vec![demo("json")?]]),
        _ => Ok(vec![vec![demo("xlsx")?]]),
    }
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
