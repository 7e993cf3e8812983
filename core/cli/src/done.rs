//! One input: read, and after its check.

use std::io::{self, Write};
use std::path::Path;

use restrand_check::{Coverage, Report};
use restrand_finding::{Outcomes, Severity};
use restrand_intake::Reading;
use restrand_kit::recognise::Mapping;
use restrand_kit::{Budget, LoadError, Part, Parts, Plugin};
use restrand_model::System;
use restrand_model::reading::Place;
use restrand_model::reflect::Date;
use restrand_model::schedule::{DisplayUnits, Schedule};
use restrand_report::{Checked, InForce, NoSources, Sources};

use crate::arguments::Units;
use crate::plugins::Registry;
use crate::rulebook::Chosen;
use crate::{End, input};

/// An input that was read.
pub(crate) struct Read<'r> {
    pub(crate) parts: Vec<Box<dyn Part>>,
    pub(crate) plugin: &'r dyn Plugin,
    pub(crate) reading: Reading,
}

/// Bytes of an input whose reading and check take much memory.
const LARGE: u64 = 1_000_000;

/// Reads an input; one that cannot be read as a whole is done with.
pub(crate) fn read<'r>(
    registry: &'r Registry,
    file: &Path,
    name: &str,
    from: Option<&'r dyn Plugin>,
    mapping: &Mapping,
) -> Result<Read<'r>, Box<Done>> {
    let unread =
        |error: &LoadError, parts, format| Box::new(Done::unread(name, error, parts, format));
    let opened = input::open(file).map_err(|error| unread(&error, Vec::new(), None))?;
    let parts: Vec<&dyn Part> = opened.iter().map(AsRef::as_ref).collect();
    if parts.iter().map(|part| part.len()).fold(0, u64::saturating_add) >= LARGE {
        restrand_memory::use_large_pages(true);
    }
    let plugin = match from.map_or_else(|| registry.of(Parts(&parts)), Ok) {
        Ok(plugin) => plugin,
        Err(error) => return Err(unread(&error, opened, None)),
    };
    match restrand_intake::read_mapped(plugin, Parts(&parts), Budget::default(), mapping) {
        Ok(reading) => Ok(Read { parts: opened, plugin, reading }),
        Err(error) => Err(unread(&error, opened, Some(plugin.describe().id))),
    }
}

/// What came of the check of one input.
pub(crate) struct Done {
    pub(crate) report: Report,
    pub(crate) reading: Option<Reading>,
    parts: Vec<Box<dyn Part>>,
    format: Option<&'static str>,
    chosen: Option<Chosen>,
    /// Whether a plugin failed on it.
    plugin_failed: bool,
}

impl Done {
    /// What a check says of an input that was read.
    pub(crate) fn new(read: Read<'_>, chosen: Chosen, as_of: Date) -> Self {
        let report = restrand_check::check(&read.reading, &chosen.book, as_of);
        Self {
            report,
            reading: Some(read.reading),
            parts: read.parts,
            format: Some(read.plugin.describe().id),
            chosen: Some(chosen),
            plugin_failed: false,
        }
    }

    /// An input that could not be read as a whole: its one finding.
    pub(crate) fn unread(
        name: &str,
        error: &LoadError,
        parts: Vec<Box<dyn Part>>,
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
            parts,
            format,
            chosen: None,
            plugin_failed: matches!(error, LoadError::Plugin(_)),
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
        Self::unread(name, &error, Vec::new(), None)
    }

    /// The parts of the input.
    pub(crate) fn parts(&self) -> &[Box<dyn Part>] {
        &self.parts
    }

    /// How the run ends for this input.
    pub(crate) fn end(&self, threshold: Severity) -> End {
        match &self.reading {
            None if self.plugin_failed => End::Failed,
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
        let again = input::Again(&self.parts);
        let sources: &dyn Sources = if self.parts.is_empty() { &NoSources } else { &again };
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
    match (units, reading) {
        (Some(units), _) => units.into(),
        (None, Some(reading)) => system_of(&reading.schedule),
        (None, None) => System::Si,
    }
}

/// The units in which a schedule asks to be shown.
pub(crate) fn system_of(schedule: &Schedule) -> System {
    match schedule.project.as_deref().and_then(|project| project.display_units) {
        Some(DisplayUnits::Us) => System::Us,
        Some(DisplayUnits::Si) | None => System::Si,
    }
}
