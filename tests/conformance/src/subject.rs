//! Runs cases on plugins that are linked in, and on libraries.

use std::ffi::OsString;
use std::io;
use std::path::Path;
use std::process::{Command, Stdio};
use std::thread::sleep;
use std::time::{Duration, Instant};

use restrand_conformance::{Case, Outcome, Subject};
use restrand_host::{Isolated, Limits, Server};
use restrand_kit::{Bytes, LoadError, Parts, Plugin};

/// The argument with which the test program serves a plugin, as `restrand` itself does.
pub const SERVE: &str = "--serve-plugin";
/// The argument with which the test program runs one case on a plugin that is linked in.
pub const CASE: &str = "--run-case";

/// The plugins that are linked in.
#[must_use]
pub fn built_in(name: &str) -> Option<&'static dyn Plugin> {
    match name {
        "csv" => Some(&restrand_csv::Csv),
        "ifcspf" => Some(&restrand_ifcspf::IfcSpf),
        "ifcxml" => Some(&restrand_ifcxml::IfcXml),
        "json" => Some(&restrand_json::Json),
        "workbook" => Some(&restrand_workbook::Workbook),
        _ => None,
    }
}

/// This program as the server of plugins.
pub fn server() -> io::Result<Server> {
    let arguments = vec![OsString::from(SERVE)];
    Ok(Server { program: std::env::current_exe()?, arguments })
}

/// The plugin of a library, in processes of its own.
pub fn isolated(library: &Path, seconds: u64) -> Result<Isolated, String> {
    let limits = Limits { time: Duration::from_secs(seconds), ..Limits::default() };
    let server = server().map_err(|error| error.to_string())?;
    Isolated::open(library, server, limits).map_err(|error| error.to_string())
}

/// Runs a case on a library.
pub fn on_library(
    library: &Path,
    case: &Case,
    samples: &[Bytes],
    seconds: u64,
) -> Result<Outcome, String> {
    let plugin = isolated(library, seconds)?;
    let ask = |parts: Parts<'_>| plugin.ask(parts);
    Ok(case.run(&Subject { plugin: &plugin, ask: &ask, samples }))
}

/// Runs a case on a plugin that is linked in, here.
#[must_use]
pub fn here(plugin: &dyn Plugin, case: &Case) -> Outcome {
    let ask = |parts: Parts<'_>| Ok::<_, LoadError>(plugin.probe(parts));
    case.run(&Subject { plugin, ask: &ask, samples: &[] })
}

/// Runs a case on a plugin that is linked in, in a process of its own.
pub fn linked_in(plugin: &str, case: &Case) -> Result<Outcome, String> {
    /// Far more than any case takes.
    const TIME: Duration = Duration::from_secs(60);
    let program = std::env::current_exe().map_err(|error| error.to_string())?;
    let mut child = Command::new(program)
        .args([CASE, plugin, case.name])
        .stdout(Stdio::piped())
        .spawn()
        .map_err(|error| error.to_string())?;
    let started = Instant::now();
    while child.try_wait().map_err(|error| error.to_string())?.is_none() {
        if started.elapsed() > TIME {
            child.kill().and_then(|()| child.wait()).map_err(|error| error.to_string())?;
            return Ok(Outcome::Timeout(format!("it takes more than {} s", TIME.as_secs())));
        }
        sleep(Duration::from_millis(5));
    }
    let output = child.wait_with_output().map_err(|error| error.to_string())?;
    let said = String::from_utf8_lossy(&output.stdout).trim().to_owned();
    Ok(match (output.status.success(), said.split_once(": ")) {
        (false, _) => Outcome::Crash(output.status.to_string()),
        (true, None) if said == "pass" => Outcome::Pass,
        (true, Some(("skip", why))) => Outcome::Skip(why.to_owned()),
        (true, _) => Outcome::Fail(said),
    })
}
