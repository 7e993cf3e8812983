//! Models in IFC as STEP physical files (ISO 10303-21): `.ifc`, and `.ifczip` with one in it.
//!
//! What the entities mean is for `restrand-ifc`; this crate knows the file.
//! Reading stands in `read`, writing in `write`.

mod read;
mod write;

use restrand_kit::recognise::Mapping;
use restrand_kit::{
    Budget, Confidence, Content, Description, Frames, LoadError, Loss, Output, Parts, Plugin,
    WriteError, WriteOptions,
};

/// The plugin for STEP physical files.
#[derive(Debug, Clone, Copy, Default)]
pub struct IfcSpf;

impl Plugin for IfcSpf {
    fn describe(&self) -> Description {
        Description {
            id: "ifcspf",
            summary: "a model in IFC, as a STEP physical file",
            reads: &["ifc", "ifczip"],
            writes: &["ifc"],
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
        if let Some(ending) = options.ending.filter(|ending| !ending.eq_ignore_ascii_case("ifc")) {
            return Err(WriteError::Unsupported(format!("a model is not written as .{ending}")));
        }
        Ok(write::write(content, output.part("schedule.ifc")?)?)
    }

    fn patch(
        &self,
        parts: Parts<'_>,
        content: &Content<'_>,
        options: WriteOptions<'_>,
        output: &mut dyn Output,
    ) -> Result<Vec<Loss>, WriteError> {
        self.patch_mapped(parts, content, options, &Mapping::default(), output)
    }

    fn patch_mapped(
        &self,
        parts: Parts<'_>,
        content: &Content<'_>,
        _: WriteOptions<'_>,
        mapping: &Mapping,
        output: &mut dyn Output,
    ) -> Result<Vec<Loss>, WriteError> {
        let name = parts.main().map_or("schedule.ifc", |part| part.name());
        // A mapping that cannot be understood was said when the file was read.
        let mapping = restrand_ifc::read::mapping_for(name, mapping)
            .map_err(|error| WriteError::Unsupported(error.to_string()))?;
        let patched =
            read::with_scanned(parts, |scanned| write::patch(scanned, &mapping, content))?;
        let Some(write::Patched { bytes, losses }) = patched.flatten() else {
            return Err(WriteError::Unsupported(
                "a model in an archive, or one whose shapes follow no longer from the schedule, is not \
                 changed in place; write a new one"
                    .to_owned(),
            ));
        };
        output.part(name)?.write_all(&bytes)?;
        Ok(losses)
    }
}
