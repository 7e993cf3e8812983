//! What plugins write, kept in memory.

use std::io;

use restrand_kit::{Content, Output, Plugin, WriteError, WriteOptions};
use restrand_model::quantity::System;
use restrand_model::reading::Provenance;
use restrand_model::schedule::{DisplayUnits, Schedule};

/// Keeps the bytes of one part, whatever its name.
#[derive(Default)]
pub(crate) struct OnePart(pub(crate) Vec<u8>);

impl Output for OnePart {
    fn part(&mut self, _name: &str) -> io::Result<&mut dyn io::Write> {
        Ok(&mut self.0)
    }
}

/// A schedule as a format's file, in the units that it is shown in.
pub(crate) fn written(plugin: &dyn Plugin, schedule: &Schedule) -> Result<Vec<u8>, WriteError> {
    let mut output = OnePart::default();
    let provenance = Provenance::default();
    let options = WriteOptions { system: system(schedule), ..WriteOptions::default() };
    let content = Content::new(schedule, &provenance);
    let losses = plugin.write(&content, options, &mut output)?;
    // What is generated is made for these formats: a loss is a slip in the generator.
    match losses.first() {
        None => Ok(output.0),
        Some(loss) => {
            Err(WriteError::Unsupported(format!("{} was not carried: {}", loss.route, loss.why)))
        }
    }
}

/// The system of units that a schedule is shown in.
pub(crate) fn system(schedule: &Schedule) -> System {
    match schedule.project.as_deref().and_then(|project| project.display_units) {
        Some(DisplayUnits::Us) => System::Us,
        _ => System::Si,
    }
}
