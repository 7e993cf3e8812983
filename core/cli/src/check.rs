//! The command `check`: reads each input, checks it, shows what was found.

use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use restrand_check::{Coverage, Report};
use restrand_finding::{Outcomes, Severity};
use restrand_intake::Reading;
use restrand_kit::{Budget, LoadError, Part, Parts, Plugin};
use restrand_model::System;
use restrand_model::reading::Place;
use restrand_model::reflect::Date;
use restrand_model::schedule::DisplayUnits;
use restrand_report::terminal::{self, Look};
use restrand_report::{Checked, InForce, NoSources, Sources, json};

use crate::arguments::{Check, Format};
use crate::fault::{Fault, guarded};
use crate::output::{Streams, to_file, to_stdout};
use crate::plugins::Registry;
use crate::rulebook::{self, ByCode, Chosen};
use crate::{End, input, today};

/// Runs the command.
pub(crate) fn run(options: &Check, streams: &Streams) -> Result<End, Fault> {
    let registry = Registry::new(&options.plugins)?;
    let from = options.from.as_deref().map(|id| registry.named(id)).transpose()?;
    let asked = options.rulebook.as_deref().map(rulebook::asked_for).transpose()?;
    let output = options.output.as_deref().filter(|path| !input::is_stdin(path));
    if let Some(output) = output {
        spare_inputs(output, options)?;
    }
    if options.files.iter().filter(|file| input::is_stdin(file)).count() > 1 {
        return Err(Fault::Usage("- can be named once only".to_owned()));
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

/// Refuses an output that would replace an input, or the rulebook.
fn spare_inputs(output: &Path, options: &Check) -> Result<(), Fault> {
    let Ok(target) = fs::canonicalize(output) else {
        return Ok(());
    };
    let rulebook = options.rulebook.iter().filter(|name| !rulebook::is_built_in(name));
    let mut read = options
        .files
        .iter()
        .map(|file| ("input", file))
        .chain(rulebook.map(|file| ("rulebook", file)));
    // An input may be a folder, of which the output would replace a file.
    let is_read =
        |file: PathBuf| file == target || target.parent().is_some_and(|folder| folder == file);
    match read.find(|(_, file)| fs::canonicalize(file).is_ok_and(is_read)) {
        Some((what, file)) => Err(Fault::Usage(format!(
            "--output would replace the {what} {}; name another file",
            file.display()
        ))),
        None => Ok(()),
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

/// What came of one input.
struct Done {
    report: Report,
    reading: Option<Reading>,
    parts: Vec<Box<dyn Part>>,
    format: Option<&'static str>,
    chosen: Option<Chosen>,
    /// Whether a plugin failed on it.
    plugin_failed: bool,
}

impl Run<'_> {
    fn write(&mut self, out: &mut dyn Write) -> io::Result<()> {
        match self.options.format {
            Format::Text => {
                for (index, file) in self.options.files.iter().enumerate() {
                    if index > 0 {
                        writeln!(out)?;
                    }
                    self.one(file, &mut |checked, look| terminal::report(out, checked, look))?;
                }
                if self.options.files.len() > 1 {
                    writeln!(out)?;
                    terminal::sum(out, &self.sums)?;
                }
            }
            Format::Json => {
                let mut document =
                    json::Document::begin(out, env!("CARGO_PKG_VERSION"), &self.as_of.to_string())?;
                for file in &self.options.files {
                    self.one(file, &mut |checked, _| document.input(checked))?;
                }
                document.end()?;
            }
        }
        Ok(())
    }

    /// Checks one input and shows it; a panic on the way is told and does not stop the others.
    fn one(
        &mut self,
        file: &Path,
        show: &mut dyn FnMut(&Checked<'_>, Look) -> io::Result<()>,
    ) -> io::Result<()> {
        let name = input::shown(file);
        let done = match guarded(|| self.check(file, &name)) {
            Ok(Ok(done)) => done,
            Ok(Err(fault)) => {
                self.fault = Some(fault);
                return Ok(());
            }
            Err(why) => self.failed(&name, &why),
        };
        self.end = self.end.max(self.end_of(&done));
        self.sums.push((done.report.findings.len(), done.reading.is_some()));
        match guarded(|| self.show(&name, &done, show)) {
            Ok(result) => result,
            Err(why) => {
                let failed = self.failed(&name, &why);
                // What it could not show of the input it does not try again.
                guarded(|| self.show(&name, &failed, show)).unwrap_or(Ok(()))
            }
        }
    }

    fn show(
        &self,
        name: &str,
        done: &Done,
        show: &mut dyn FnMut(&Checked<'_>, Look) -> io::Result<()>,
    ) -> io::Result<()> {
        let again = input::Again(&done.parts);
        let sources: &dyn Sources = if done.parts.is_empty() { &NoSources } else { &again };
        let checked = Checked {
            file: name,
            format: done.format,
            report: &done.report,
            reading: done.reading.as_ref(),
            sources,
            rulebook: done
                .chosen
                .as_ref()
                .map(|chosen| InForce { book: &chosen.book, why: &chosen.why }),
            system: self.system(done.reading.as_ref()),
            as_of: &self.as_of.to_string(),
        };
        show(&checked, self.look)
    }

    /// Says that the program failed on an input, and what stands in the place of its report.
    fn failed(&mut self, name: &str, why: &str) -> Done {
        self.end = End::Failed;
        // If standard error is closed there is nowhere left to say so.
        let _ = writeln!(io::stderr(), "error: restrand failed on {name}: {why}");
        let error = LoadError::Unreadable {
            place: Place::Part { part: name.to_owned() },
            why: format!("restrand itself failed: {why}"),
            help: "nothing is wrong with the file as far as is known; please report this with it"
                .to_owned(),
        };
        unread(name, &error, Vec::new(), None)
    }

    fn check(&mut self, file: &Path, name: &str) -> Result<Done, Fault> {
        let opened = match input::open(file) {
            Ok(opened) => opened,
            Err(error) => return Ok(unread(name, &error, Vec::new(), None)),
        };
        let parts: Vec<&dyn Part> = opened.iter().map(AsRef::as_ref).collect();
        let parts = Parts(&parts);
        let plugin = match self.from.map_or_else(|| self.registry.of(parts), Ok) {
            Ok(plugin) => plugin,
            Err(error) => return Ok(unread(name, &error, opened, None)),
        };
        let format = Some(plugin.describe().id);
        let reading = match restrand_intake::read(plugin, parts, Budget::default()) {
            Ok(reading) => reading,
            Err(error) => return Ok(unread(name, &error, opened, format)),
        };
        let chosen = match &self.asked {
            Some(asked) => Chosen { book: asked.book.clone(), why: asked.why.clone() },
            None => self.by_code.choose(&reading.schedule)?,
        };
        let report = restrand_check::check(&reading, &chosen.book, self.as_of);
        Ok(Done {
            report,
            reading: Some(reading),
            parts: opened,
            format,
            chosen: Some(chosen),
            plugin_failed: false,
        })
    }

    fn end_of(&self, done: &Done) -> End {
        let Some(reading) = &done.reading else {
            return if done.plugin_failed { End::Failed } else { End::Unreadable };
        };
        let threshold = Severity::from(self.options.fail_on);
        // What was lost is not checked, so that no threshold may hide it.
        let lost = done.report.coverage.read.any_lost();
        if reading.schedule.tendons.is_empty() {
            End::NoTendon
        } else if lost || done.report.worst().is_some_and(|worst| worst >= threshold) {
            End::Findings
        } else {
            End::Clean
        }
    }

    fn system(&self, reading: Option<&Reading>) -> System {
        if let Some(units) = self.options.units {
            return units.into();
        }
        let project = reading.and_then(|reading| reading.schedule.project.as_deref());
        match project.and_then(|project| project.display_units) {
            Some(DisplayUnits::Us) => System::Us,
            Some(DisplayUnits::Si) | None => System::Si,
        }
    }
}

/// An input that could not be read as a whole: its one finding.
fn unread(
    name: &str,
    error: &LoadError,
    parts: Vec<Box<dyn Part>>,
    format: Option<&'static str>,
) -> Done {
    Done {
        report: Report {
            findings: vec![restrand_check::unreadable(name, error)],
            waivers: Vec::new(),
            outcomes: Outcomes::default(),
            coverage: Coverage::default(),
            rulebook: String::new(),
        },
        reading: None,
        parts,
        format,
        chosen: None,
        plugin_failed: matches!(error, LoadError::Plugin(_)),
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
        run.one(&options.files[0], &mut |checked, _| {
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
