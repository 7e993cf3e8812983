//! Whether the schema that a file states is one that is read.

use restrand_kit::LoadError;
use restrand_model::reading::{Place, ProblemKind};

use super::model::place;
use super::reader::Reader;
use super::said::Remark;

/// Schemas that are read.
const SCHEMAS: &[&str] = &["IFC4X3", "IFC4", "IFC2X3"];

impl Reader<'_, '_> {
    /// Refuses a model of another schema, and says of a draft that it is one.
    pub(super) fn schema(&mut self) -> Result<(), LoadError> {
        let stated = self.model.schema();
        let schema = stated.to_ascii_uppercase();
        let part = self.model.part();
        let place = match self.model.schema_stand() {
            Some(stand) => place(part, stand),
            None => Place::Part { part: part.to_owned() },
        };
        let known = SCHEMAS.iter().any(|known| schema.starts_with(known));
        if !known {
            return Err(LoadError::Unreadable {
                place,
                why: if schema.is_empty() {
                    "it does not state its schema".to_owned()
                } else {
                    format!("its schema {stated} is not read")
                },
                help: "save the model as IFC 4.3; IFC 4 and IFC 2x3 are read too".to_owned(),
            });
        }
        let is_final = ["IFC4X3", "IFC4X3_ADD1", "IFC4X3_ADD2", "IFC4", "IFC4X3_TC1", "IFC2X3"];
        if !is_final.contains(&schema.as_str()) && !schema.starts_with("IFC4_ADD") {
            self.said.remark(Remark {
                kind: ProblemKind::Assumed,
                place,
                subject: "schema".to_owned(),
                given: Some(stated.to_owned()),
                why: "the schema is not one of those that were published as final; it is read as the \
                      nearest of them"
                    .to_owned(),
                help: "save the model as IFC4X3_ADD2 where the program can",
                once: None,
            })?;
        }
        Ok(())
    }
}
