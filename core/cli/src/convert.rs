//! The command `convert`: reads a schedule and writes it in another format, and says what was not carried.

use std::io::{self, Write};
use std::path::Path;

use restrand_intake::Reading;
use restrand_kit::recognise::Mapping;
use restrand_kit::{
    Budget, Content, LoadError, Loss, Part, Parts, Plugin, WriteError, WriteOptions,
};
use restrand_model::System;
use restrand_report::losses;

use crate::arguments::Convert;
use crate::fault::{Fault, guarded};
use crate::output::Streams;
use crate::parts::Target;
use crate::plugins::Registry;
use crate::spare::{self, Beside};
use crate::{End, input, mapping, model};

/// Runs the command.
pub(crate) fn run(options: &Convert, _: &Streams) -> Result<End, Fault> {
    let registry = Registry::new(&options.plugins)?;
    let from = options.from.as_deref().map(|id| registry.named(id)).transpose()?;
    let ending = options.output.extension().and_then(|ending| ending.to_str());
    let (to, ending) = registry.writer(options.to.as_deref(), ending)?;
    let beside = Beside { book: None, mapping: options.mapping.as_deref() };
    spare::inputs(&options.output, [options.input.as_ref()].into_iter(), beside)?;
    let name = input::shown(&options.input);
    let mapping = mapping::of(options.mapping.as_deref(), &options.input)?;
    let (reading, plugin) = match guarded(|| read(&registry, &options.input, from, &mapping)) {
        Ok(Ok(read)) => read,
        Ok(Err(error)) => return Err(Fault::Usage(unreadable(&name, &error))),
        Err(why) => return Ok(failed(&name, &why)),
    };
    mapping::is_taken(options.mapping.as_deref(), &name, plugin)?;
    if options.reading {
        say(|out| {
            restrand_report::reading::reading(out, &name, &reading.understood, &reading.questions)
        });
    }
    let unread: Vec<_> =
        reading.problems.iter().filter(|problem| losses::is_unread(problem)).collect();
    say(|out| losses::unread(out, &name, &unread, &reading.questions));
    if reading.counts.records == 0 {
        say(|out| writeln!(out, "{name}: no record of a schedule is in it; nothing is written"));
        return Ok(End::NoTendon);
    }
    let options_of_format = WriteOptions { system: system(options, &reading), ending };
    let mut target = Target::of(&options.output)?;
    let laid = model::of(to, &reading.schedule, None)?;
    let written = guarded(|| {
        let content = Content {
            layout: laid.as_ref(),
            ..Content::new(&reading.schedule, &reading.provenance)
        };
        to.write(&content, options_of_format, target.output())
    });
    let output = input::shown_output(&options.output);
    let lost: Vec<Loss> = match written {
        Ok(Ok(lost)) => lost,
        Ok(Err(error)) => return Err(fault_of(error, &options.output)),
        Err(why) => return Ok(failed(&output, &why)),
    };
    say(|out| losses::losses(out, &output, &lost));
    if options.strict && !(lost.is_empty() && unread.is_empty() && reading.questions.is_empty()) {
        say(|out| writeln!(out, "{output}: nothing is written, as --strict asks"));
        return Ok(End::Findings);
    }
    target.put()?;
    Ok(if reading.schedule.tendons.is_empty() {
        End::NoTendon
    } else if reading.counts.any_lost() {
        End::Findings
    } else {
        End::Clean
    })
}

fn read<'r>(
    registry: &'r Registry,
    file: &Path,
    from: Option<&'r dyn Plugin>,
    mapping: &Mapping,
) -> Result<(Reading, &'r dyn Plugin), LoadError> {
    let opened = input::open(file)?;
    let parts: Vec<&dyn Part> = opened.iter().map(AsRef::as_ref).collect();
    let parts = Parts(&parts);
    let plugin = from.map_or_else(|| registry.of(parts), Ok)?;
    let reading = restrand_intake::read_mapped(plugin, parts, Budget::default(), mapping)?;
    Ok((reading, plugin))
}

fn system(options: &Convert, reading: &Reading) -> System {
    options.units.map_or_else(|| crate::done::system_of(&reading.schedule), Into::into)
}

fn unreadable(name: &str, error: &LoadError) -> String {
    match error {
        LoadError::Unreadable { why, help, .. } => format!("{name} cannot be read: {why}; {help}"),
        other => format!("{name} cannot be read: {other}"),
    }
}

/// What the error of a plugin is to the user.
pub(crate) fn fault_of(error: WriteError, output: &Path) -> Fault {
    match error {
        WriteError::Unsupported(why) => Fault::Usage(why),
        WriteError::Plugin(failure) => {
            Fault::Plugin { why: failure.to_string(), help: String::new() }
        }
        WriteError::Medium(error) if error.kind() == io::ErrorKind::InvalidInput => {
            Fault::Usage(error.to_string())
        }
        WriteError::Medium(error) => {
            let file = (!input::is_stdin(output)).then(|| output.to_owned());
            Fault::Output { file, error }
        }
    }
}

fn failed(name: &str, why: &str) -> End {
    say(|out| writeln!(out, "error: restrand failed on {name}: {why}"));
    End::Failed
}

/// Says something on standard error; if that is closed there is nowhere left to say so.
fn say(write: impl FnOnce(&mut dyn Write) -> io::Result<()>) {
    let mut text = Vec::new();
    let _ = write(&mut text).and_then(|()| io::stderr().write_all(&text));
}
