//! What any element says of itself: what kind of it it is, how people call it, and its GlobalId.

use restrand_kit::Stopped;
use restrand_model::ifc::{GLOBAL_ID, expanded};
use restrand_model::reading::ProblemKind;
use restrand_model::value::{Fields, Name, Value as Stated};

use super::reader::Reader;
use crate::terms::kinds;
use crate::value::Entity;

impl Reader<'_, '_> {
    /// The word that says what kind of element it is: that of its type, if that tells it; a conflict is said.
    pub(super) fn predefined(&mut self, at: usize, entity: &Entity<'_>) -> Result<String, Stopped> {
        let own = stated_type(entity);
        let of_type = match self.graph.types.get(&at).copied() {
            Some(type_) => self.entity(type_)?.map(|entity| stated_type(&entity)),
            None => None,
        };
        let Some(of_type) = of_type.filter(|word| word != kinds::NOTDEFINED) else {
            return Ok(own);
        };
        if own != kinds::NOTDEFINED && own != of_type {
            let why = format!(
                "its type says {of_type}, and it says {own} itself; that of the type holds"
            );
            let help = "state it at the type only (rule OJT001 of the public validation service)";
            let what = "PredefinedType";
            self.remark(at, ProblemKind::ValueDoubtful, what, Some(own), why, help)?;
        }
        Ok(of_type)
    }

    /// What the author calls the kind of an element: at the element, or else at its type.
    pub(super) fn object_type(
        &mut self,
        at: usize,
        entity: &Entity<'_>,
    ) -> Result<String, Stopped> {
        if let Some(own) = entity.get("ObjectType").text().filter(|text| !text.is_empty()) {
            return Ok(own.to_owned());
        }
        Ok(match self.graph.types.get(&at).copied() {
            Some(type_) => {
                let type_ = self.entity(type_)?;
                let word = type_.as_ref().and_then(|type_| type_.get("ElementType").text());
                word.unwrap_or_default().to_owned()
            }
            None => String::new(),
        })
    }

    /// The open map of a record, with the GlobalId by which the model knows it; one that is missing, no GlobalId
    /// or another's is said.
    pub(super) fn extra(&mut self, at: usize, entity: &Entity<'_>) -> Result<Fields, Stopped> {
        let mut extra = Fields::new();
        let id = entity.get("GlobalId").text().map(str::to_owned);
        let help = "let the program that made the model write one of its own for each";
        let kind = ProblemKind::ValueDoubtful;
        match id {
            None => {
                let why = "it has no GlobalId".to_owned();
                self.remark(at, kind, "GlobalId", None, why, help)?;
            }
            Some(id) => {
                if expanded(&id).is_none() {
                    let why = "it is no GlobalId, which has 22 letters, the first from 0 to 3";
                    let given = Some(id.clone());
                    self.remark(at, kind, "GlobalId", given, why.to_owned(), help)?;
                } else if !self.ids.insert(id.as_str().into()) {
                    let why = "another element has the same GlobalId".to_owned();
                    self.remark(at, kind, "GlobalId", Some(id.clone()), why, help)?;
                }
                extra.push(Name::Known(GLOBAL_ID), Stated::Text(id.into()));
            }
        }
        Ok(extra)
    }
}

/// The predefined type that an entity states, in upper case.
fn stated_type(entity: &Entity<'_>) -> String {
    let word = entity.get("PredefinedType").word().unwrap_or(kinds::NOTDEFINED);
    word.to_ascii_uppercase()
}

/// The name by which people call an element: its name, its tag, or its GlobalId.
pub(super) fn name_of(entity: &Entity<'_>) -> Option<String> {
    ["Name", "Tag", "GlobalId"]
        .iter()
        .find_map(|attribute| entity.get(attribute).text().map(str::trim))
        .filter(|name| !name.is_empty())
        .map(str::to_owned)
}
