//! Models in IFC as XML (ISO 10303-28): `.ifcxml`, and `.ifczip` with one in it.
//!
//! What the entities mean is for `restrand-ifc`; this crate knows the file.
//! Reading stands in `read`, writing in `write`.

mod inverse;
mod read;
mod write;

use restrand_kit::recognise::Mapping;
use restrand_kit::{
    Budget, Confidence, Content, Description, Frames, LoadError, Loss, Output, Parts, Plugin,
    WriteError, WriteOptions,
};

/// The plugin for the format.
#[derive(Debug, Clone, Copy, Default)]
pub struct IfcXml;

impl Plugin for IfcXml {
    fn describe(&self) -> Description {
        Description {
            id: "ifcxml",
            summary: "a model in IFC, as XML",
            reads: &["ifcxml", "ifczip"],
            writes: &["ifcxml"],
        }
    }

    fn tendons_stated(&self) -> Option<String> {
        Some(restrand_ifc::read::TENDONS_STATED.to_owned())
    }

    fn probe(&self, parts: Parts<'_>) -> Confidence {
        parts.only().map_or(Confidence::No, read::probe)
    }

    fn load(
        &self,
        parts: Parts<'_>,
        budget: Budget,
        frames: &mut dyn Frames,
    ) -> Result<(), LoadError> {
        read::load(parts, budget, &Mapping::default(), frames)
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
        read::load(parts, budget, mapping, frames)
    }

    fn takes_layout(&self) -> bool {
        true
    }

    fn write(
        &self,
        content: &Content<'_>,
        options: WriteOptions<'_>,
        output: &mut dyn Output,
    ) -> Result<Vec<Loss>, WriteError> {
        if let Some(ending) = options.ending.filter(|ending| !ending.eq_ignore_ascii_case("ifcxml"))
        {
            return Err(WriteError::Unsupported(format!("a model is not written as .{ending}")));
        }
        Ok(write::write(content, output.part("schedule.ifcxml")?)?)
    }
}
