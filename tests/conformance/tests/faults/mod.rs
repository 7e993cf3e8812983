//! Plugins that do what they must not: each is one clear error, and this process lives.

use std::path::Path;

use libtest_mimic::{Failed, Trial};
use restrand_host::InProcess;
use restrand_kit::{
    Budget, Bytes, Content, Frame, LoadError, Output, Parts, Plugin, Stopped, WriteError,
    WriteOptions,
};
use restrand_model::reading::Provenance;
use restrand_model::schedule::Schedule;
use restrand_test_conformance::{build, subject};

/// Faults of the library itself, and what is said when it is opened, in this process.
const AT_OPENING: &[(&str, &str)] = &[
    ("MAJOR", "made for version 99"),
    ("SHORT", "its struct has 24 bytes"),
    ("NULL", "its function load is null"),
    ("SYMBOL", "does not export restrand_plugin_v1"),
    ("NOTHING", "leads to nothing"),
];

/// Faults of the description, and what is said when it is opened, in a process of its own.
const AT_DESCRIBING: &[(&str, &str)] = &[
    ("DESCRIBE_ABORT", "it crashed"),
    ("DESCRIBE_LONG", "more than 65536 bytes of description"),
    ("DESCRIBE_WORDS", "the id is no word"),
];

/// Faults while reading, and what is said.
const AT_READING: &[(&str, &str)] = &[
    ("ABORT", "it printed: the plugin gives up"),
    ("SEGV", "a pointer that leads nowhere"),
    ("EXIT", "ended with code 0"),
    ("LOOP", "did not come to an end within 2 s"),
    ("STACK", "it crashed"),
    ("MEMORY", "it crashed"),
    ("FLOOD", "bytes of frames"),
    ("FLOOD_ON", "out of order"),
    ("LENGTH", "a length that cannot be true"),
    ("NULL_BYTES", "a length that cannot be true"),
    ("UTF8", "is not UTF-8"),
    ("JSON", "not as agreed"),
    ("MEMBER", "unknown field `colour`"),
    ("LINE", "not ended by a line feed"),
    ("DEEP", "nested deeper"),
    ("ORDER", "has not begun"),
    ("PLACE", "bytes 0 to 999999"),
    ("PART", "there is no part \"another\""),
    ("COUNT", "the end line counts 1 tables, 2 records"),
    ("NO_END", "without an end line"),
    ("AFTER_END", "it comes after the last"),
    ("STATUS", "status 4711"),
    ("STOPPED", "it stopped though nobody asked"),
    ("FILE", "it wrote to a file"),
];

/// Faults while writing, and what is said.
const AT_WRITING: &[(&str, &str)] =
    &[("WRITE_NAME", "is not UTF-8"), ("WRITE_FLOOD", "bytes of written parts")];

pub(super) fn trials(folder: &Path, trials: &mut Vec<Trial>) {
    let mut add =
        |fault: &'static str, run: fn(&Path) -> Result<(), String>, said: &'static str| {
            let folder = folder.to_owned();
            trials.push(Trial::test(format!("fault/{}", fault.to_lowercase()), move || {
                let library = build::fault(&folder, fault)?;
                held(run(&library), said)
            }));
        };
    for (fault, said) in AT_OPENING {
        add(fault, in_process, said);
    }
    for (fault, said) in AT_DESCRIBING {
        add(fault, described, said);
    }
    for (fault, said) in AT_READING {
        add(fault, read, said);
    }
    for (fault, said) in AT_WRITING {
        add(fault, write, said);
    }
    add("PROBE_ABORT", probe, "it crashed");
    add("PROBE_NUMBER", probe, "sure in a way that there is not: 77");
    // Noise is no fault of the reading.
    let folder = folder.to_owned();
    trials.push(Trial::test("fault/print", move || Ok(read(&build::fault(&folder, "PRINT")?)?)));
    trials.push(Trial::test("fault/no file", || {
        held(in_process(Path::new("no/such/plugin.so")), "there is no file")
    }));
    trials.push(Trial::test("fault/not a library", || {
        held(in_process(Path::new(env!("CARGO_MANIFEST_PATH"))), "is no library that can be opened")
    }));
}

/// Whether the error came, and says what it must.
fn held(result: Result<(), String>, said: &str) -> Result<(), Failed> {
    match result {
        Err(error) if error.contains(said) => Ok(()),
        Err(error) => Err(format!("\"{said}\" was to be said, but it is: {error}").into()),
        Ok(()) => Err("nothing was said".into()),
    }
}

fn in_process(library: &Path) -> Result<(), String> {
    InProcess::open(library).map(|_| ()).map_err(|error| error.to_string())
}

fn described(library: &Path) -> Result<(), String> {
    subject::isolated(library, 5).map(|_| ())
}

fn input() -> Bytes {
    Bytes::new("a.faulty", b"anything".to_vec())
}

fn probe(library: &Path) -> Result<(), String> {
    let plugin = subject::isolated(library, 2)?;
    plugin.ask(Parts(&[&input()])).map(|_| ()).map_err(|error| error.to_string())
}

fn read(library: &Path) -> Result<(), String> {
    // Time for a flood; and for a loop, which is what takes it all.
    let seconds = if library.ends_with("LOOP.so") { 2 } else { 60 };
    let plugin = subject::isolated(library, seconds)?;
    let mut take = |_: Frame| -> Result<(), Stopped> { Ok(()) };
    plugin.load(Parts(&[&input()]), Budget::default(), &mut take).map_err(|error| match error {
        LoadError::Plugin(failure) if failure.help.is_empty() => "without advice".to_owned(),
        LoadError::Plugin(failure) => failure.to_string(),
        other => format!("no failure of the plugin: {other:?}"),
    })
}

struct Sink(Vec<u8>);

impl Output for Sink {
    fn part(&mut self, _: &str) -> std::io::Result<&mut dyn std::io::Write> {
        Ok(&mut self.0)
    }
}

fn write(library: &Path) -> Result<(), String> {
    let plugin = subject::isolated(library, 60)?;
    let (schedule, provenance) = (Schedule::default(), Provenance::default());
    let content = Content::new(&schedule, &provenance);
    let written = plugin.write(&content, WriteOptions::default(), &mut Sink(Vec::new()));
    written.map(|_| ()).map_err(|error| match error {
        WriteError::Plugin(failure) => failure.to_string(),
        other => format!("no failure of the plugin: {other:?}"),
    })
}
