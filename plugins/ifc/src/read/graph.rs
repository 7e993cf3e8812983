//! Who belongs to whom.

use restrand_kit::Stopped;

use super::model::Model;
use super::positions::{ByPosition, Quick};
use super::reader::Reader;
use crate::terms::Kind;
use crate::value::Entity;

/// How two elements are connected, and by what.
#[derive(Debug, Clone)]
pub(super) struct Connection {
    /// The element on the other side.
    pub(super) other: Option<usize>,
    /// What makes the connection.
    pub(super) by: Vec<usize>,
}

/// The relations of a model, by the positions of what they relate.
#[derive(Debug, Default)]
pub(super) struct Graph {
    /// The type of an occurrence.
    pub(super) types: ByPosition<usize>,
    /// The sets of an object or type, in the order of the file.
    pub(super) sets: ByPosition<Vec<usize>>,
    /// The whole that something is a part of, by aggregation.
    pub(super) wholes: ByPosition<usize>,
    /// The parts of a whole, by aggregation.
    pub(super) parts: ByPosition<Vec<usize>>,
    /// The part of the bridge in which an element is.
    pub(super) structures: ByPosition<usize>,
    /// What is nested in something, in order.
    pub(super) nested: ByPosition<Vec<usize>>,
    /// The material of which a tendon, or a type of tendon, is said to be.
    pub(super) materials: ByPosition<usize>,
    /// Groups with a tendon in them, in the order of the file.
    pub(super) groups: Vec<usize>,
    /// Connections of elements.
    pub(super) connections: ByPosition<Vec<Connection>>,
    /// Elements of each kind, in the order of the file.
    pub(super) of_kind: Quick<Kind, Vec<usize>>,
}

/// Whether the members of a kind are looked for.
const fn is_listed(kind: Kind) -> bool {
    matches!(
        kind,
        Kind::Project
            | Kind::Building
            | Kind::Bridge
            | Kind::BridgePart
            | Kind::Tendon
            | Kind::TendonAnchor
            | Kind::TendonConduit
            | Kind::Beam
            | Kind::Wall
            | Kind::ElementAssembly
            | Kind::ProjectionElement
            | Kind::BuildingElementProxy
            | Kind::VirtualElement
            | Kind::SpatialZone
            | Kind::TendonType
            | Kind::TendonAnchorType
            | Kind::TendonConduitType
            | Kind::Context
            | Kind::UnitAssignment
    )
}

impl Graph {
    /// Reads every relation of the model.
    pub(super) fn of(reader: &mut Reader<'_, '_>) -> Result<Self, Stopped> {
        let mut graph = Self::default();
        for at in 0..reader.model.count() {
            let kind = reader.model.kind(at);
            if is_listed(kind) {
                graph.of_kind.entry(kind).or_default().push(at);
            }
            match kind {
                Kind::RelDefinesByType
                | Kind::RelDefinesByProperties
                | Kind::RelAggregates
                | Kind::RelNests
                | Kind::RelContained
                | Kind::RelAssignsToGroup
                | Kind::RelAssociatesMaterial
                | Kind::RelConnects
                | Kind::RelConnectsRealizing => {
                    if let Some(relation) = reader.entity(at)? {
                        graph.take(reader, at, &relation)?;
                    }
                }
                Kind::TendonType
                | Kind::TendonAnchorType
                | Kind::TendonConduitType
                | Kind::DiscreteAccessoryType
                | Kind::PlateType => {
                    if let Some(type_) = reader.entity(at)? {
                        let sets = reader.all(at, &type_, "HasPropertySets")?;
                        graph.sets.entry(at).or_default().extend(sets);
                    }
                }
                _ => {}
            }
        }
        graph.groups.sort_unstable();
        graph.groups.dedup();
        Ok(graph)
    }

    fn take(
        &mut self,
        reader: &mut Reader<'_, '_>,
        at: usize,
        relation: &Entity<'_>,
    ) -> Result<(), Stopped> {
        match relation.kind {
            Kind::RelDefinesByType => {
                if let Some(type_) = reader.one(at, relation, "RelatingType")? {
                    for object in reader.all(at, relation, "RelatedObjects")? {
                        self.types.insert(object, type_);
                    }
                }
            }
            Kind::RelDefinesByProperties => {
                if let Some(set) = reader.one(at, relation, "RelatingPropertyDefinition")? {
                    for object in reader.all(at, relation, "RelatedObjects")? {
                        self.sets.entry(object).or_default().push(set);
                    }
                }
            }
            Kind::RelAssociatesMaterial => {
                let material = reader.one(at, relation, "RelatingMaterial")?;
                let material = material.filter(|at| reader.model.kind(*at) == Kind::Material);
                if let Some(material) = material {
                    for object in reader.all(at, relation, "RelatedObjects")? {
                        if matches!(reader.model.kind(object), Kind::Tendon | Kind::TendonType) {
                            self.materials.insert(object, material);
                        }
                    }
                }
            }
            Kind::RelAssignsToGroup => {
                let objects = reader.all(at, relation, "RelatedObjects")?;
                let is_of_tendons =
                    objects.iter().any(|object| reader.model.kind(*object) == Kind::Tendon);
                if let Some(group) = reader.one(at, relation, "RelatingGroup")?
                    && is_of_tendons
                {
                    self.groups.push(group);
                }
            }
            Kind::RelContained => {
                if let Some(structure) = reader.one(at, relation, "RelatingStructure")? {
                    for element in reader.all(at, relation, "RelatedElements")? {
                        self.structures.insert(element, structure);
                    }
                }
            }
            Kind::RelAggregates | Kind::RelNests => {
                if let Some(whole) = reader.one(at, relation, "RelatingObject")? {
                    let parts = reader.all(at, relation, "RelatedObjects")?;
                    if relation.kind == Kind::RelNests {
                        self.nested.entry(whole).or_default().extend(parts);
                    } else {
                        for part in &parts {
                            self.wholes.insert(*part, whole);
                        }
                        self.parts.entry(whole).or_default().extend(parts);
                    }
                }
            }
            _ => {
                let one = reader.one(at, relation, "RelatingElement")?;
                let other = reader.one(at, relation, "RelatedElement")?;
                let by = reader.all(at, relation, "RealizingElements")?;
                for (from, to) in [(one, other), (other, one)] {
                    if let Some(from) = from {
                        let connection = Connection { other: to, by: by.clone() };
                        self.connections.entry(from).or_default().push(connection);
                    }
                }
            }
        }
        Ok(())
    }

    /// The assembly of which a tendon is a part, if it has no other tendon.
    pub(super) fn assembly_of(&self, model: &dyn Model, tendon: usize) -> Option<usize> {
        let whole = self.wholes.get(&tendon).copied()?;
        let is = |at: usize, kind| model.kind(at) == kind;
        if !is(tendon, Kind::Tendon) || !is(whole, Kind::ElementAssembly) {
            return None;
        }
        let mut tendons = self.parts.get(&whole)?.iter().filter(|part| is(**part, Kind::Tendon));
        tendons.all(|part| *part == tendon).then_some(whole)
    }

    /// The elements of a kind.
    pub(super) fn all(&self, kind: Kind) -> &[usize] {
        self.of_kind.get(&kind).map_or(&[], Vec::as_slice)
    }

    /// What is aggregated or nested in something.
    pub(super) fn parts_of(&self, owner: usize) -> impl Iterator<Item = usize> + '_ {
        let maps = [&self.parts, &self.nested].map(|map| map.get(&owner));
        maps.into_iter().flatten().flatten().copied()
    }

    /// The part of the bridge in which something is, or its whole.
    pub(super) fn structure_of(&self, at: usize) -> Option<usize> {
        /// Wholes of wholes that are looked through; a bridge has four.
        const HIGHEST: usize = 16;
        std::iter::successors(Some(at), |part| self.wholes.get(part).copied())
            .take(HIGHEST)
            .find_map(|part| self.structures.get(&part).copied())
    }
}
