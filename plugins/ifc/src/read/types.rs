//! Types: kinds of strand, duct, anchorage and deviator form.

use std::collections::{HashMap, HashSet};

use restrand_kit::Stopped;
use restrand_model::ifc::GLOBAL_ID;
use restrand_model::reading::ProblemKind;
use restrand_model::reflect::{EXTRA, RecordInfo};
use restrand_model::schedule::{Anchorage, Duct, Form, Strand};
use restrand_model::value::{Fields, Value as Stated};

use super::bodies::is_swept_disk;
use super::carriers::Carriers;
use super::elements::name_of;
use super::positions::ByPosition;
use super::project::keyed;
use super::reader::Reader;
use super::said::put;
use super::units::tidy;
use crate::terms::Kind;
use crate::terms::measures::MEASURES;

/// The kinds that were handed over.
#[derive(Debug, Default)]
pub(super) struct Types {
    /// Their names, by the type and the record that it is.
    named: HashMap<(usize, &'static str), Box<str>>,
    /// Ducts of conduits without a type, by their names, with their sizes.
    sized: HashMap<Box<str>, String>,
}

impl Reader<'_, '_> {
    /// Hands over the kinds that types state by sets, in the order of the model, whether a tendon uses them or not.
    pub(super) fn types(&mut self, types: &mut Types) -> Result<(), Stopped> {
        let kinds = [Kind::TendonType, Kind::TendonAnchorType, Kind::TendonConduitType];
        let mut all: Vec<usize> =
            kinds.iter().flat_map(|kind| self.graph.all(*kind).to_vec()).collect();
        all.sort_unstable();
        // What is part of a kind is read with it.
        let parts: HashSet<usize> = [&self.graph.nested, &self.graph.parts]
            .into_iter()
            .flat_map(ByPosition::values)
            .flatten()
            .copied()
            .collect();
        let mut conduits: ByPosition<usize> = ByPosition::default();
        for conduit in self.graph.all(Kind::TendonConduit) {
            if let Some(type_) = self.graph.types.get(conduit) {
                conduits.entry(*type_).or_insert(*conduit);
            }
        }
        for type_ in all.into_iter().filter(|type_| !parts.contains(type_)) {
            if self.model.kind(type_) == Kind::TendonType {
                self.strand(type_)?;
                continue;
            }
            let mut sets = self.sets(type_)?;
            for (sheet, record) in
                [("Anchorages", Anchorage::INFO), ("Ducts", Duct::INFO), ("Forms", Form::INFO)]
            {
                let mut stated = sets.take(record);
                if !stated.0.is_empty() {
                    if record.name == Duct::INFO.name
                        && let Some(conduit) = conduits.get(&type_)
                    {
                        self.measure_duct(*conduit, &mut stated)?;
                    }
                    self.kind_of(types, type_, sheet, record, stated)?;
                }
            }
            self.bequeath(type_, sets)?;
        }
        Ok(())
    }

    /// The name of the kind that a type is, handed over with these fields when it is first met.
    pub(super) fn kind_of(
        &mut self,
        types: &mut Types,
        type_: usize,
        sheet: &'static str,
        record: &'static RecordInfo,
        (mut fields, mut carriers): (Fields, Carriers),
    ) -> Result<Option<Box<str>>, Stopped> {
        if let Some(known) = types.named.get(&(type_, record.name)) {
            return Ok(Some(known.clone()));
        }
        let Some(entity) = self.entity(type_)? else { return Ok(None) };
        let Some(name) = name_of(&entity) else { return Ok(None) };
        let id = keyed(&mut fields, (&mut carriers, &mut self.ways), record, &name, type_);
        let extra = self.extra_of_type(&entity);
        put(&mut fields, EXTRA, Stated::Fields(extra));
        types.named.insert((type_, record.name), id.clone());
        self.hand_over(sheet, type_, Vec::new(), fields, carriers)?;
        let parts = match sheet {
            "Anchorages" => "AnchorageParts",
            "Forms" => "FormParts",
            _ => return Ok(Some(id)),
        };
        self.parts(type_, parts, &[Some(id.clone())])?;
        Ok(Some(id))
    }

    /// A type can be several records, so its GlobalId is not looked at for standing twice.
    fn extra_of_type(&self, entity: &crate::value::Entity<'_>) -> Fields {
        let mut extra = Fields::new();
        put(&mut extra, GLOBAL_ID, entity.get("GlobalId").text().map(Stated::from));
        extra
    }

    /// The kind of strand that a tendon's type states; what a type states of a whole tendon is none.
    pub(super) fn strand(&mut self, type_: usize) -> Result<Option<Box<str>>, Stopped> {
        let Some(known) = self.strands.get(&type_) else {
            let mut sets = self.sets(type_)?;
            let (mut fields, mut carriers) = sets.take(Strand::INFO);
            self.bequeath(type_, sets)?;
            let mut found = None;
            if !fields.is_empty()
                && let Some(entity) = self.entity(type_)?
                && let Some(name) = name_of(&entity)
            {
                let id =
                    keyed(&mut fields, (&mut carriers, &mut self.ways), Strand::INFO, &name, type_);
                let mut extra = Fields::new();
                put(&mut extra, GLOBAL_ID, entity.get("GlobalId").text().map(Stated::from));
                put(&mut fields, EXTRA, Stated::Fields(extra));
                if self.strand_ids.insert(id.clone()) {
                    self.hand_over("Strands", type_, Vec::new(), fields, carriers)?;
                }
                found = Some(id);
            }
            self.strands.insert(type_, found.clone());
            return Ok(found);
        };
        Ok(known.clone())
    }

    /// The kind of anchorage that an anchor's type is.
    pub(super) fn anchorage(
        &mut self,
        types: &mut Types,
        anchor: usize,
    ) -> Result<Option<Box<str>>, Stopped> {
        match self.graph.types.get(&anchor).copied() {
            Some(type_) => {
                self.kind_of(types, type_, "Anchorages", Anchorage::INFO, Default::default())
            }
            None => Ok(None),
        }
    }

    /// The kind of form that the conduit at a deviator is.
    pub(super) fn form(
        &mut self,
        types: &mut Types,
        conduit: usize,
    ) -> Result<Option<Box<str>>, Stopped> {
        match self.graph.types.get(&conduit).copied() {
            Some(type_) => self.kind_of(types, type_, "Forms", Form::INFO, Default::default()),
            None => Ok(None),
        }
    }

    /// The kind of duct that a conduit is, with the size of its body.
    pub(super) fn duct(
        &mut self,
        types: &mut Types,
        conduit: usize,
    ) -> Result<Option<Box<str>>, Stopped> {
        let Some(type_) = self.graph.types.get(&conduit).copied() else {
            let mut measured = (Fields::new(), Carriers::default());
            self.measure_duct(conduit, &mut measured)?;
            let Some(entity) = self.entity(conduit)? else { return Ok(None) };
            let called = self.object_type(conduit, &entity)?;
            return self.sized_duct(types, conduit, called.trim(), measured);
        };
        let mut measured = (Fields::new(), Carriers::default());
        if types.named.contains_key(&(type_, Duct::INFO.name)) {
            return self.kind_of(types, type_, "Ducts", Duct::INFO, measured);
        }
        self.measure_duct(conduit, &mut measured)?;
        self.kind_of(types, type_, "Ducts", Duct::INFO, measured)
    }

    /// The kind of duct that a conduit without a type is, or of which a tendon itself says what it measures: all of one
    /// size are of one kind, which is called as their author calls it, or by the size.
    pub(super) fn sized_duct(
        &mut self,
        types: &mut Types,
        at: usize,
        called: &str,
        (mut fields, mut carriers): (Fields, Carriers),
    ) -> Result<Option<Box<str>>, Stopped> {
        let size = |name| match fields.get(name) {
            Some(Stated::Number(size)) => Some(format!("{} mm", tidy(*size))),
            _ => None,
        };
        let Some(outer) = size("outer_mm") else { return Ok(None) };
        let size = match size("inner_mm") {
            Some(inner) => format!("{outer} outside, {inner} inside"),
            None => format!("{outer} outside"),
        };
        let mut name = if called.is_empty() { size.clone() } else { called.to_owned() };
        let is_taken = |name: &str, types: &Types| {
            let of_type = types
                .named
                .iter()
                .any(|((_, record), known)| *record == Duct::INFO.name && &**known == name);
            of_type || types.sized.get(name).is_some_and(|known| *known != size)
        };
        if is_taken(&name, types) {
            name = format!("{name}, {size}");
        }
        if types.sized.contains_key(name.as_str()) {
            return Ok(Some(name.into()));
        }
        types.sized.insert(name.as_str().into(), size);
        let id = keyed(&mut fields, (&mut carriers, &mut self.ways), Duct::INFO, &name, at);
        let why = format!(
            "no type says which duct it is; it and all others of its size are the duct \"{id}\""
        );
        let help = "give each conduit the type of which it is (IfcRelDefinesByType)";
        self.remark(at, ProblemKind::Assumed, "duct", None, why, help)?;
        self.hand_over("Ducts", at, Vec::new(), fields, carriers)?;
        Ok(Some(id))
    }

    /// What the body of a conduit measures, where its type states nothing of it.
    fn measure_duct(
        &mut self,
        conduit: usize,
        (fields, carriers): &mut (Fields, Carriers),
    ) -> Result<(), Stopped> {
        if let Some(disk) = self.swept_disk(conduit)?
            && let Some(entity) = self.entity(disk)?
        {
            for (attribute, field) in [("Radius", "outer_mm"), ("InnerRadius", "inner_mm")] {
                let radius = self.attribute(disk, &entity, attribute, &MEASURES[0], field)?;
                if let Some(Stated::Number(radius)) = radius
                    && fields.get(field).is_none()
                {
                    put(fields, field, Stated::Number(2.0 * radius));
                    carriers.note(&mut self.ways, &[field], disk);
                }
            }
        }
        Ok(())
    }

    /// The swept disk that is the body of an element.
    fn swept_disk(&mut self, at: usize) -> Result<Option<usize>, Stopped> {
        for (_, items) in self.shapes_of(at)? {
            for (item, _) in items {
                if is_swept_disk(self.model.kind(item)) {
                    return Ok(Some(item));
                }
            }
        }
        Ok(None)
    }
}
