//! The command `check`: reads each input, checks it, shows what was found.

use std::io::{self, IsTerminal, Write};
use std::path::Path;

use restrand_kit::Plugin;
use restrand_model::reflect::Date;
use restrand_report::html::{self, Stamp};
use restrand_report::terminal::{self, Look};
use restrand_report::{Checked, Identity, bcf, json, junit, reading, sarif};

use crate::arguments::{Check, FindingsFormat};
use crate::done::{self, Done, system};
use crate::fault::{Fault, guarded};
use crate::output::{Streams, to_file, to_stdout};
use crate::plugins::Registry;
use crate::rulebook::{self, ByCode, Chosen};
use crate::spare::{self, Beside};
use crate::{End, input, mapping, today};

/// Runs the command.
pub(crate) fn run(options: &Check, streams: &Streams) -> Result<End, Fault> {
    let registry = Registry::new(&options.plugins)?;
    let from = options.from.as_deref().map(|id| registry.named(id)).transpose()?;
    let asked = options.rulebook.as_deref().map(rulebook::asked_for).transpose()?;
    let output = options.output.as_deref().filter(|path| !input::is_stdin(path));
    if let Some(output) = output {
        let beside =
            Beside { book: options.rulebook.as_deref(), mapping: options.mapping.as_deref() };
        spare::inputs(output, options.files.iter().map(AsRef::as_ref), beside)?;
    }
    if options.files.iter().filter(|file| input::is_stdin(file)).count() > 1 {
        return Err(Fault::Usage("- can be named once only".to_owned()));
    }
    if options.format == FindingsFormat::Html && options.files.len() > 1 {
        return Err(Fault::Usage(
            "a report as HTML is of one input; run check once for each file".to_owned(),
        ));
    }
    if options.format == FindingsFormat::Bcf && output.is_none() && io::stdout().is_terminal() {
        return Err(Fault::Usage(
            "a BCF archive is no text for a terminal; name a file, as --output findings.bcf"
                .to_owned(),
        ));
    }
    let as_of = options.as_of.unwrap_or_else(today::today);
    let mut run = Run {
        options,
        registry: &registry,
        from,
        asked,
        by_code: ByCode::default(),
        as_of,
        look: streams.look(output.is_some(), options.all),
        end: End::Clean,
        sums: Vec::new(),
        fault: None,
    };
    let mut write = |out: &mut dyn Write| run.write(out);
    match output {
        Some(path) => to_file(path, &mut write)?,
        None => to_stdout(&mut write)?,
    }
    match run.fault {
        Some(fault) => Err(fault),
        None => Ok(run.end),
    }
}

struct Run<'o> {
    options: &'o Check,
    registry: &'o Registry,
    from: Option<&'o dyn Plugin>,
    asked: Option<Chosen>,
    by_code: ByCode,
    as_of: Date,
    look: Look,
    end: End,
    /// Of each input, how many findings it has and whether it could be read.
    sums: Vec<(usize, bool)>,
    fault: Option<Fault>,
}

impl Run<'_> {
    fn write(&mut self, out: &mut dyn Write) -> io::Result<()> {
        let with_reading = self.options.reading;
        match self.options.format {
            FindingsFormat::Text => {
                for (index, file) in self.options.files.iter().enumerate() {
                    if index > 0 {
                        writeln!(out)?;
                    }
                    self.one(file, &mut |_, checked, look| {
                        if with_reading {
                            show_reading(out, checked)?;
                        }
                        terminal::report(out, checked, look)
                    })?;
                }
                if self.options.files.len() > 1 {
                    writeln!(out)?;
                    terminal::sum(out, &self.sums)?;
                }
            }
            FindingsFormat::Json => {
                let mut document =
                    json::Document::begin(out, env!("CARGO_PKG_VERSION"), &self.as_of.to_string())?;
                for file in &self.options.files {
                    self.one(file, &mut |_, checked, _| {
                        if with_reading {
                            // Programs read the one document on standard output.
                            show_reading(&mut io::stderr(), checked)?;
                        }
                        document.input(checked)
                    })?;
                }
                document.end()?;
            }
            FindingsFormat::Html => {
                let (as_of, is_dated) = (self.as_of, self.options.as_of.is_some());
                for file in &self.options.files {
                    self.one(file, &mut |done, checked, _| {
                        let version = env!("CARGO_PKG_VERSION");
                        let identity = Identity::of(version, done.parts(), checked.rulebook)?;
                        html::check(out, checked, &Stamp { identity: &identity, as_of, is_dated })
                    })?;
                }
            }
            FindingsFormat::Sarif => {
                let mut document = sarif::Document::begin(env!("CARGO_PKG_VERSION"));
                self.each(&mut |checked| document.input(checked))?;
                document.end(out)?;
            }
            FindingsFormat::Junit => {
                let threshold = self.options.fail_on.into();
                let mut document = junit::Document::begin(threshold, &self.as_of.to_string());
                self.each(&mut |checked| document.input(checked))?;
                document.end(out)?;
            }
            FindingsFormat::Bcf => {
                let mut archive = bcf::Archive::begin(&self.as_of.to_string());
                self.each(&mut |checked| archive.input(checked))?;
                archive.end(out)?;
            }
        }
        Ok(())
    }

    /// Checks one input after the other for an output that is written when all are known.
    fn each(&mut self, take: &mut dyn FnMut(&Checked<'_>)) -> io::Result<()> {
        for file in &self.options.files {
            self.one(file, &mut |_, checked, _| {
                take(checked);
                Ok(())
            })?;
        }
        Ok(())
    }

    /// Checks one input and shows it; a panic on the way is told and does not stop the others.
    fn one(
        &mut self,
        file: &Path,
        show: &mut dyn FnMut(&Done, &Checked<'_>, Look) -> io::Result<()>,
    ) -> io::Result<()> {
        let name = input::shown(file);
        let done = match guarded(|| self.check(file, &name)) {
            Ok(Ok(done)) => done,
            Ok(Err(fault)) => {
                self.fault = Some(fault);
                return Ok(());
            }
            Err(why) => {
                self.end = End::Failed;
                Done::failed(&name, &why)
            }
        };
        self.end = self.end.max(done.end(self.options.fail_on.into()));
        self.sums.push((done.report.findings.len(), done.reading.is_some()));
        let result = match guarded(|| self.show(&name, &done, show)) {
            Ok(result) => result,
            Err(why) => {
                self.end = End::Failed;
                let failed = Done::failed(&name, &why);
                // What it could not show of the input it does not try again.
                guarded(|| self.show(&name, &failed, show)).unwrap_or(Ok(()))
            }
        };
        if self.sums.len() == self.options.files.len() {
            // The program ends after the last input, and gives its memory back as a whole.
            std::mem::forget(done);
        }
        result
    }

    fn show(
        &self,
        name: &str,
        done: &Done,
        show: &mut dyn FnMut(&Done, &Checked<'_>, Look) -> io::Result<()>,
    ) -> io::Result<()> {
        let system = system(self.options.units, done.reading.as_ref());
        done.show(name, system, &self.as_of.to_string(), &mut |checked| {
            show(done, checked, self.look)
        })
    }

    fn check(&mut self, file: &Path, name: &str) -> Result<Done, Fault> {
        let mapping = mapping::of(self.options.mapping.as_deref(), file)?;
        let read = match done::read(self.registry, file, name, self.from, &mapping) {
            Ok(read) => read,
            Err(done) => return Ok(*done),
        };
        mapping::is_taken(self.options.mapping.as_deref(), name, read.plugin)?;
        let chosen = self.by_code.unless_asked(self.asked.as_ref(), &read.reading.schedule)?;
        Ok(Done::new(read, chosen, self.as_of))
    }
}

/// Shows how the sheets of an input were read.
fn show_reading(out: &mut dyn Write, checked: &Checked<'_>) -> io::Result<()> {
    match checked.reading {
        Some(read) => reading::reading(out, checked.file, &read.understood, &read.questions),
        None => Ok(()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::Parser;

    fn options(file: &str) -> Check {
        use crate::arguments::{Arguments, Command};
        match Arguments::parse_from(["restrand", "check", file]).command {
            Command::Check(options) => options,
            _ => unreachable!("check was asked for"),
        }
    }

    #[test]
    fn a_panic_is_told_in_the_place_of_the_report_and_ends_with_3() {
        let options = options("/nonexistent/file.xlsx");
        let registry = Registry::built_in();
        let mut run = Run {
            options: &options,
            registry: &registry,
            from: None,
            asked: None,
            by_code: ByCode::default(),
            as_of: Date::new(2031, 5, 7).unwrap(),
            look: Look { width: 100, colour: false, all: false },
            end: End::Clean,
            sums: Vec::new(),
            fault: None,
        };
        let mut told = Vec::new();
        let mut calls = 0;
        run.one(&options.files[0], &mut |_, checked, _| {
            calls += 1;
            assert!(calls > 1, "no bore");
            told.push(checked.report.findings[0].finding.message.clone());
            Ok(())
        })
        .unwrap();
        assert_eq!(run.end, End::Failed);
        assert!(told[0].contains("restrand itself failed: no bore"), "{told:?}");
    }
}
