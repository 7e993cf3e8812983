//! One input: read, and after its check.

use std::io::{self, Write};
use std::path::Path;

use restrand_check::{Coverage, Report};
use restrand_finding::{Outcomes, Severity};
use restrand_intake::Reading;
use restrand_kit::{Budget, LoadError, Part, Parts, Plugin};
use restrand_model::System;
use restrand_model::reading::Place;
use restrand_model::reflect::Date;
use restrand_model::schedule::DisplayUnits;
use restrand_report::{Checked, InForce, NoSources, Sources};

use crate::arguments::Units;
use crate::rulebook::Chosen;
use crate::{End, input, plugins};

/// An input that was read.
pub(crate) struct Read {
    pub(crate) part: Box<dyn Part>,
    pub(crate) plugin: &'static dyn Plugin,
    pub(crate) reading: Reading,
}

/// Reads an input; one that cannot be read as a whole is done with.
pub(crate) fn read(
    file: &Path,
    name: &str,
    from: Option<&'static dyn Plugin>,
) -> Result<Read, Box<Done>> {
    let unread =
        |error: &LoadError, part, format| Box::new(Done::unread(name, error, part, format));
    let part = input::open(file).map_err(|error| unread(&error, None, None))?;
    let plugin = match from.map_or_else(|| plugins::of(part.as_ref()), Ok) {
        Ok(plugin) => plugin,
        Err(error) => return Err(unread(&error, Some(part), None)),
    };
    let parts: [&dyn Part; 1] = [part.as_ref()];
    match restrand_intake::read(plugin, Parts(&parts), Budget::default()) {
        Ok(reading) => Ok(Read { part, plugin, reading }),
        Err(error) => Err(unread(&error, Some(part), Some(plugin.describe().id))),
    }
}

/// What came of the check of one input.
pub(crate) struct Done {
    pub(crate) report: Report,
    pub(crate) reading: Option<Reading>,
    part: Option<Box<dyn Part>>,
    format: Option<&'static str>,
    chosen: Option<Chosen>,
}

impl Done {
    /// What a check says of an input that was read.
    pub(crate) fn new(read: Read, chosen: Chosen, as_of: Date) -> Self {
        let report = restrand_check::check(&read.reading, &chosen.book, as_of);
        Self {
            report,
            reading: Some(read.reading),
            part: Some(read.part),
            format: Some(read.plugin.describe().id),
            chosen: Some(chosen),
        }
    }

    /// An input that could not be read as a whole: its one finding.
    pub(crate) fn unread(
        name: &str,
        error: &LoadError,
        part: Option<Box<dyn Part>>,
        format: Option<&'static str>,
    ) -> Self {
        Self {
            report: Report {
                findings: vec![restrand_check::unreadable(name, error)],
                waivers: Vec::new(),
                outcomes: Outcomes::default(),
                coverage: Coverage::default(),
                implied: Vec::new(),
                rulebook: String::new(),
            },
            reading: None,
            part,
            format,
            chosen: None,
        }
    }

    /// Says that the program failed on an input, and what stands in the place of its report.
    pub(crate) fn failed(name: &str, why: &str) -> Self {
        // If standard error is closed there is nowhere left to say so.
        let _ = writeln!(io::stderr(), "error: restrand failed on {name}: {why}");
        let error = LoadError::Unreadable {
            place: Place::Part { part: name.to_owned() },
            why: format!("restrand itself failed: {why}"),
            help: "nothing is wrong with the file as far as is known; please report this with it"
                .to_owned(),
        };
        Self::unread(name, &error, None, None)
    }

    /// How the run ends for this input.
    pub(crate) fn end(&self, threshold: Severity) -> End {
        match &self.reading {
            None => End::Unreadable,
            Some(reading) if reading.schedule.tendons.is_empty() => End::NoTendon,
            Some(_) => end_of(&self.report, threshold),
        }
    }

    /// Gives what a renderer needs.
    pub(crate) fn show(
        &self,
        name: &str,
        system: System,
        as_of: &str,
        show: &mut dyn FnMut(&Checked<'_>) -> io::Result<()>,
    ) -> io::Result<()> {
        let again = self.part.as_deref().map(input::Again);
        let sources: &dyn Sources = match &again {
            Some(again) => again,
            None => &NoSources,
        };
        show(&Checked {
            file: name,
            format: self.format,
            report: &self.report,
            reading: self.reading.as_ref(),
            sources,
            rulebook: self
                .chosen
                .as_ref()
                .map(|chosen| InForce { book: &chosen.book, why: &chosen.why }),
            system,
            as_of,
        })
    }
}

/// How the run ends for a schedule of which this was found.
pub(crate) fn end_of(report: &Report, threshold: Severity) -> End {
    // What was lost is not checked, so that no threshold may hide it.
    let lost = report.coverage.read.any_lost();
    if lost || report.worst().is_some_and(|worst| worst >= threshold) {
        End::Findings
    } else {
        End::Clean
    }
}

/// The units that are shown first: those that were asked for, or the schedule's.
pub(crate) fn system(units: Option<Units>, reading: Option<&Reading>) -> System {
    if let Some(units) = units {
        return units.into();
    }
    let project = reading.and_then(|reading| reading.schedule.project.as_deref());
    match project.and_then(|project| project.display_units) {
        Some(DisplayUnits::Us) => System::Us,
        Some(DisplayUnits::Si) | None => System::Si,
    }
}
