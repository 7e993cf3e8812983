//! Models in IFC as XML (ISO 10303-28): `.ifcxml`.
//!
//! What the entities mean is for `restrand-ifc`; this crate knows the file.
//! Reading stands in `read`, writing in `write`.

mod write;

use restrand_kit::{
    Budget, Confidence, Content, Description, Frames, LoadError, Loss, Output, Parts, Plugin,
    WriteError, WriteOptions,
};
use restrand_model::reading::Place;

/// The plugin for the format.
#[derive(Debug, Clone, Copy, Default)]
pub struct IfcXml;

impl Plugin for IfcXml {
    fn describe(&self) -> Description {
        Description {
            id: "ifcxml",
            summary: "a model in IFC, as XML",
            reads: &["ifcxml"],
            writes: &["ifcxml"],
        }
    }

    fn probe(&self, _: Parts<'_>) -> Confidence {
        Confidence::No
    }

    fn load(&self, parts: Parts<'_>, _: Budget, _: &mut dyn Frames) -> Result<(), LoadError> {
        let name = parts.main().map_or("", |part| part.name());
        Err(LoadError::Unreadable {
            place: Place::Part { part: name.to_owned() },
            why: "this release does not read the format".to_owned(),
            help: "save the schedule in another format".to_owned(),
        })
    }

    fn takes_layout(&self) -> bool {
        true
    }

    fn write(
        &self,
        content: &Content<'_>,
        _: WriteOptions<'_>,
        output: &mut dyn Output,
    ) -> Result<Vec<Loss>, WriteError> {
        Ok(write::write(content, output.part("schedule.ifcxml")?)?)
    }
}
