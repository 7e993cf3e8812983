//! Relations of one to many, gathered while elements are made and stated once at the end.

use super::Writer;
use super::model::{entities, entity, text, word};
use crate::Value;
use crate::terms::Kind;

/// Who belongs to whom, in the order in which it was said.
#[derive(Debug, Default)]
pub(super) struct Relations {
    aggregated: Gathered,
    nested: Gathered,
    contained: Gathered,
    referenced: Gathered,
    of_type: Gathered,
    declared: Gathered,
    grouped: Gathered,
}

/// One side of relations with all that stand on the other.
#[derive(Debug, Default)]
struct Gathered(Vec<(u64, Vec<u64>)>);

impl Gathered {
    fn add(&mut self, one: u64, other: u64) {
        // What belongs together is mostly said one after the other.
        match self.0.iter_mut().rev().find(|(known, _)| *known == one) {
            Some((_, others)) if others.contains(&other) => {}
            Some((_, others)) => others.push(other),
            None => self.0.push((one, vec![other])),
        }
    }
}

impl Relations {
    /// A part of a whole.
    pub(super) fn aggregate(&mut self, whole: u64, part: u64) {
        self.aggregated.add(whole, part);
    }

    /// A part whose order among the parts counts.
    pub(super) fn nest(&mut self, whole: u64, part: u64) {
        self.nested.add(whole, part);
    }

    /// An element in a part of the bridge.
    pub(super) fn contain(&mut self, structure: u64, element: u64) {
        self.contained.add(structure, element);
    }

    /// An element that reaches into a further part of the bridge.
    pub(super) fn refer(&mut self, structure: u64, element: u64) {
        self.referenced.add(structure, element);
    }

    /// An occurrence of a type.
    pub(super) fn of_type(&mut self, kind: u64, occurrence: u64) {
        self.of_type.add(kind, occurrence);
    }

    /// A type of the project.
    pub(super) fn declare(&mut self, project: u64, kind: u64) {
        self.declared.add(project, kind);
    }

    /// A member of a system.
    pub(super) fn group(&mut self, system: u64, member: u64) {
        self.grouped.add(system, member);
    }
}

impl Writer<'_> {
    /// States what was gathered.
    pub(super) fn relate(&mut self) {
        let Relations { aggregated, nested, contained, referenced, of_type, declared, grouped } =
            std::mem::take(&mut self.relations);
        for (kind, one, others, gathered) in [
            (Kind::RelAggregates, "RelatingObject", "RelatedObjects", aggregated),
            (Kind::RelNests, "RelatingObject", "RelatedObjects", nested),
            (Kind::RelContained, "RelatingStructure", "RelatedElements", contained),
            (Kind::RelReferenced, "RelatingStructure", "RelatedElements", referenced),
            (Kind::RelDefinesByType, "RelatingType", "RelatedObjects", of_type),
            (Kind::RelDeclares, "RelatingContext", "RelatedDefinitions", declared),
            (Kind::RelAssignsToGroup, "RelatingGroup", "RelatedObjects", grouped),
        ] {
            for (relating, related) in gathered.0 {
                let id = self.relation_id(kind, relating);
                self.model.add(
                    kind,
                    [("GlobalId", text(id)), (one, entity(relating)), (others, entities(related))],
                );
            }
        }
    }

    /// The id of a relation follows from the id of the one to whom the others belong.
    fn relation_id(&mut self, kind: Kind, relating: u64) -> String {
        let of = self.model.get(relating).and_then(|one| one.get("GlobalId").text());
        let name = format!("{}/{}", kind.name(), of.unwrap_or_default());
        self.ids.named(&name)
    }

    /// Says that two elements touch.
    pub(super) fn connect(&mut self, route: &str, one: u64, other: u64, what: &'static str) {
        let id = self.ids.named(&format!("{route}/connects"));
        self.model.add(
            Kind::RelConnects,
            [
                ("GlobalId", text(id)),
                ("Description", text(what)),
                ("RelatingElement", entity(one)),
                ("RelatedElement", entity(other)),
            ],
        );
    }

    /// Says that two elements touch by way of a third.
    pub(super) fn connect_by(
        &mut self,
        route: &str,
        [one, other]: [u64; 2],
        realizing: u64,
        what: &'static str,
    ) {
        let id = self.ids.named(&format!("{route}/connects"));
        self.model.add(
            Kind::RelConnectsRealizing,
            [
                ("GlobalId", text(id)),
                ("RelatingElement", entity(one)),
                ("RelatedElement", entity(other)),
                ("RealizingElements", entities([realizing])),
                ("ConnectionType", text(what)),
            ],
        );
    }

    /// Says that an element projects from another.
    pub(super) fn project(&mut self, route: &str, from: u64, element: u64) {
        let id = self.ids.named(&format!("{route}/projects"));
        self.model.add(
            Kind::RelProjects,
            [
                ("GlobalId", text(id)),
                ("RelatingElement", entity(from)),
                ("RelatedFeatureElement", entity(element)),
            ],
        );
    }

    /// The words that say what an element is.
    pub(super) fn words(
        home: &crate::terms::kinds::Home,
        own: Option<&str>,
    ) -> [(&'static str, Value<'static>); 2] {
        let object = own.or(home.object);
        [
            ("ObjectType", super::model::text_or_absent(object)),
            ("PredefinedType", word(home.predefined)),
        ]
    }
}
