//! The command `plugin test`: runs the conformance suite on a library.

use restrand_conformance::{CASES, Outcome, Subject};
use restrand_kit::{Bytes, Parts, Plugin};

use crate::arguments::PluginTest;
use crate::fault::Fault;
use crate::output::to_stdout;
use crate::{End, plugins};

/// Runs the command.
pub(crate) fn run(options: &PluginTest) -> Result<End, Fault> {
    let samples = options
        .samples
        .iter()
        .map(|path| {
            let name = path.file_name().unwrap_or(path.as_os_str()).to_string_lossy();
            std::fs::read(path).map(|bytes| Bytes::new(name, bytes)).map_err(|error| {
                Fault::Usage(format!("the sample {} cannot be read: {error}", path.display()))
            })
        })
        .collect::<Result<Vec<_>, _>>()?;
    let plugin = plugins::open(&options.path, &options.limits)?;
    let ask = |parts: Parts<'_>| plugin.ask(parts);
    let subject = Subject { plugin: &plugin, ask: &ask, samples: &samples };
    let (mut passed, mut skipped, mut broken) = (0, 0, 0);
    to_stdout(|out| {
        writeln!(out, "{} ({})", plugin.describe().id, options.path.display())?;
        for case in CASES {
            let outcome = case.run(&subject);
            match outcome {
                Outcome::Pass => passed += 1,
                Outcome::Skip(_) => skipped += 1,
                Outcome::Fail(_) | Outcome::Crash(_) | Outcome::Timeout(_) => broken += 1,
            }
            writeln!(out, "  {:<18} {outcome}", case.name)?;
            if !outcome.is_good() {
                writeln!(out, "  {:<18} it must: {}", "", case.about)?;
            }
        }
        writeln!(out, "{passed} passed, {skipped} skipped, {broken} not kept")
    })?;
    Ok(if broken == 0 { End::Clean } else { End::Findings })
}
