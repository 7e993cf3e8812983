//! Schedules as workbooks: one sheet for each list, one row for each record.
//!
//! The layout and the meaning of cells are the kit's ([`restrand_kit::sheet`]); this crate knows the files.
//! Workbooks come from other programs and from strangers, so each is looked over before a reader sees it
//! (`envelope`, `compound`), and what a reader says, or panics with, becomes a text for people
//! (`refusal`).
//! Nothing here opens files, prints, or knows what a schedule is for.

mod biff;
mod cells;
mod compound;
mod envelope;
mod formulas;
mod looks;
mod ods;
mod probe;
mod reading;
mod refusal;
mod stretch;
mod template;
mod threads;
mod write;
mod xls;
mod xlsb;
mod xlsx;

use restrand_kit::{
    Budget, Confidence, Content, Description, Frames, LoadError, Loss, Output, Parts, Plugin,
    WriteError, WriteOptions,
};

use restrand_kit::recognise::Mapping;
use restrand_kit::sheet::tendons_stated;
use restrand_model::reading::Place;

pub use template::{Need, template};
pub use write::write_sheets;

use crate::probe::Kind;
use crate::reading::Reading;
use crate::refusal::Refusal;

/// The plugin for workbooks.
#[derive(Debug, Clone, Copy, Default)]
pub struct Workbook;

/// Cells by row and column, with the name of their sheet.
type Cells = Vec<(String, Vec<(u32, u32)>)>;

/// The endings of the files that are read.
const READS: &[&str] = &["xlsx", "xlsm", "xls", "xlsb", "ods"];

impl Plugin for Workbook {
    fn describe(&self) -> Description {
        Description {
            id: "workbook",
            summary: "workbook with a sheet for each list of the schedule",
            reads: READS,
            writes: &["xlsx"],
        }
    }

    fn tendons_stated(&self) -> Option<String> {
        Some(tendons_stated())
    }

    fn probe(&self, parts: Parts<'_>) -> Confidence {
        parts.only().map_or(Confidence::No, |part| probe::probe(part, READS))
    }

    fn load(
        &self,
        parts: Parts<'_>,
        budget: Budget,
        frames: &mut dyn Frames,
    ) -> Result<(), LoadError> {
        self.load_mapped(parts, budget, &Mapping::default(), frames)
    }

    fn takes_mapping(&self) -> bool {
        true
    }

    fn load_mapped(
        &self,
        parts: Parts<'_>,
        budget: Budget,
        mapping: &Mapping,
        frames: &mut dyn Frames,
    ) -> Result<(), LoadError> {
        let Some(part) = parts.only() else {
            let name = parts.main().map_or("", |part| part.name());
            return Err(Refusal::new(name).error(
                "a workbook is one file, and more or none were given",
                "name the workbook itself",
            ));
        };
        let refusal = Refusal::new(part.name());
        let mut reading = Reading::new(part.name(), mapping, frames);
        match probe::kind(part, &refusal)? {
            Kind::Archive => {
                let envelope = envelope::open(part, budget, &refusal)?;
                match envelope.content {
                    // Its sums are checked beside the reading.
                    envelope::Content::Xlsx => {
                        return xlsx::load(part, envelope.shared_texts, &mut reading, &refusal);
                    }
                    envelope::Content::Xlsb => xlsb::load(part, &mut reading, &refusal)?,
                    envelope::Content::Ods => {
                        ods::load(envelope.archive, budget, &mut reading, &refusal)?;
                    }
                }
                envelope::check_sums(part, &refusal)
            }
            Kind::Compound => {
                compound::look_over(part, &refusal)?;
                xls::load(part, &mut reading, &refusal)
            }
        }
    }

    fn calculated(
        &self,
        parts: Parts<'_>,
        budget: Budget,
    ) -> Result<Option<Vec<Place>>, LoadError> {
        let Some(part) = parts.main() else {
            return Ok(Some(Vec::new()));
        };
        let refusal = Refusal::new(part.name());
        let by_sheet = match probe::kind(part, &refusal)? {
            Kind::Archive => match envelope::open(part, budget, &refusal)?.content {
                envelope::Content::Xlsx => formulas::of_xlsx(part, &refusal)?,
                envelope::Content::Xlsb => xlsb::calculated(part, &refusal)?,
                envelope::Content::Ods => return Ok(None),
            },
            Kind::Compound => return Ok(None),
        };
        let place = |sheet: &str, (row, column): (u32, u32)| Place::Cell {
            part: part.name().to_owned(),
            sheet: sheet.to_owned(),
            row,
            column: Some(column),
        };
        let cells = by_sheet
            .iter()
            .flat_map(|(sheet, cells)| cells.iter().map(move |cell| place(sheet, *cell)));
        Ok(Some(cells.collect()))
    }

    fn write(
        &self,
        content: &Content<'_>,
        options: WriteOptions,
        output: &mut dyn Output,
    ) -> Result<Vec<Loss>, WriteError> {
        write::write(content, options, output)
    }
}
