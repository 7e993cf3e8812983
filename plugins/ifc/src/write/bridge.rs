//! The bridge: project, site, parts, and the places with their concrete.

use restrand_model::Record;
use restrand_model::ifc::GLOBAL_ID;
use restrand_model::reflect::Choice;
use restrand_model::route::Route;
use restrand_model::schedule::{Place, PlaceKind};

use super::Writer;
use super::model::{entities, entity, text, text_or_absent, word};
use super::sets::Named;
use crate::Value;
use crate::terms::{Kind, kinds};

/// Lists of the schedule whose records are elements or types of their own.
const ELEMENTS: &[&str] = &["strands", "ducts", "anchorages", "forms", "places", "tendons"];

/// The spatial structure and the girder.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Structure {
    pub(super) project: u64,
    pub(super) bridge: u64,
    /// Where the bridge's own axes are.
    pub(super) bridge_placement: u64,
    pub(super) superstructure: u64,
    pub(super) girder: u64,
    pub(super) system: u64,
}

/// What a place is in the model.
#[derive(Debug, Clone, Copy)]
pub(super) struct PlaceAs {
    /// The concrete in which conduits and anchors sit.
    pub(super) concrete: u64,
    /// The part of the bridge, where the place is one.
    pub(super) part: Option<u64>,
}

impl Writer<'_> {
    /// Makes what every model has.
    pub(super) fn bridge(&mut self) {
        let schedule = self.schedule;
        let stated = schedule.project.as_deref();
        let units = self.units.assignment(&mut self.model);
        self.contexts = self.make_contexts();
        let name = stated.and_then(|project| project.bridge.as_deref());
        let id = self.ids.named("project");
        let project = self.model.add(
            Kind::Project,
            [
                ("GlobalId", text(id)),
                ("Name", text_or_absent(stated.and_then(|project| project.drawing.as_deref()))),
                ("LongName", text_or_absent(name)),
                ("RepresentationContexts", entities([self.contexts.model])),
                ("UnitsInContext", entity(units)),
            ],
        );
        let site_placement = self.placement(None, None);
        let site = self.ids.named("site");
        let site = self.spatial(Kind::Site, site, None, site_placement, []);
        let bridge_placement = self.placement(Some(site_placement), None);
        // The bridge is the project's element, and keeps the id that it came with.
        let id = match stated {
            Some(record) => self.id_of(record, "bridge"),
            None => self.ids.named("bridge"),
        };
        let bridge = self.spatial(Kind::Bridge, id, name, bridge_placement, []);
        let number = stated.and_then(|project| project.structure_number.as_deref());
        self.model.set(bridge, "LongName", text_or_absent(number));
        let placement = self.placement(Some(bridge_placement), None);
        let superstructure = self.ids.named("superstructure");
        let superstructure =
            self.part(superstructure, Some("Superstructure"), placement, "SUPERSTRUCTURE");
        let placement = self.placement(Some(placement), None);
        let girder = self.assembly("girder", Some("Girder"), placement, "GIRDER");
        let id = self.ids.named("system");
        let system = self.model.add(
            Kind::BuiltSystem,
            [
                ("GlobalId", text(id)),
                ("Name", text("Prestressing")),
                ("PredefinedType", word("PRESTRESSING")),
            ],
        );
        self.relations.aggregate(project, site);
        self.relations.aggregate(site, bridge);
        self.relations.aggregate(bridge, superstructure);
        self.relations.contain(superstructure, girder);
        self.structure =
            Structure { project, bridge, bridge_placement, superstructure, girder, system };
        let mut sets = Vec::new();
        if let Some(record) = stated {
            sets = self.sets(Named { record, route: "project" }, &[GLOBAL_ID]);
        }
        let of = Named { record: schedule as &dyn Record, route: "schedule" };
        let lists = self.properties(of, ELEMENTS);
        sets.extend(self.set(crate::terms::sets::LISTS, "schedule", lists));
        self.define(bridge, "bridge", &sets);
    }

    fn spatial<const N: usize>(
        &mut self,
        kind: Kind,
        id: String,
        name: Option<&str>,
        placement: u64,
        further: [(&'static str, Value<'static>); N],
    ) -> u64 {
        let given = [
            ("GlobalId", text(id)),
            ("Name", text_or_absent(name)),
            ("ObjectPlacement", entity(placement)),
            ("CompositionType", word("ELEMENT")),
        ];
        self.model.add(kind, given.into_iter().chain(further))
    }

    fn part(&mut self, id: String, name: Option<&str>, placement: u64, kind: &'static str) -> u64 {
        let further = [("UsageType", word("LONGITUDINAL")), ("PredefinedType", word(kind))];
        self.spatial(Kind::BridgePart, id, name, placement, further)
    }

    fn assembly(
        &mut self,
        route: &str,
        name: Option<&str>,
        placement: u64,
        kind: &'static str,
    ) -> u64 {
        let id = self.ids.named(&format!("{route}/concrete"));
        self.model.add(
            Kind::ElementAssembly,
            [
                ("GlobalId", text(id)),
                ("Name", text_or_absent(name)),
                ("ObjectPlacement", entity(placement)),
                ("PredefinedType", word(kind)),
            ],
        )
    }

    /// Makes the places: parts of the bridge with their concrete, diaphragms of the girder, blocks on it.
    pub(super) fn places(&mut self) {
        for (index, place) in self.schedule.places.iter().enumerate() {
            let made = self.place(place, &Route::to("places", index));
            if let Some(key) = place.id.as_deref() {
                self.places.entry(key.to_owned()).or_insert(made);
            }
        }
    }

    fn place(&mut self, place: &Place, of: &Route) -> PlaceAs {
        let route = &self.show(of);
        let id = self.id_of(place, route);
        let structure = self.structure;
        let frame = self.seats.get(of).copied();
        let placement = self.placement(Some(structure.bridge_placement), frame);
        let name = place.id.as_deref();
        let home = place
            .kind
            .and_then(|kind| kinds::PLACES.iter().find(|(word, _)| *word == kind.word()))
            .map(|(_, home)| *home);
        let made = match home.map(|home| home.kind) {
            Some(Kind::BridgePart) => {
                let kind = if place.kind == Some(PlaceKind::Pier) { "PIER" } else { "ABUTMENT" };
                let part = self.part(id, name, placement, kind);
                self.relations.aggregate(structure.bridge, part);
                let placement = self.placement(Some(placement), None);
                let concrete = self.assembly(route, name, placement, kind);
                self.relations.contain(part, concrete);
                PlaceAs { concrete, part: Some(part) }
            }
            kind => {
                let given = [
                    ("GlobalId", text(id)),
                    ("Name", text_or_absent(name)),
                    ("ObjectPlacement", entity(placement)),
                ];
                let words = home.map_or_else(Vec::new, |home| Self::words(&home, None).to_vec());
                let kind = kind.unwrap_or(Kind::Beam);
                let concrete = self.model.add(kind, given.into_iter().chain(words));
                if kind == Kind::ProjectionElement {
                    self.project(route, structure.girder, concrete);
                } else {
                    self.relations.aggregate(structure.girder, concrete);
                }
                PlaceAs { concrete, part: None }
            }
        };
        let sets = self.sets(Named { record: place, route }, &[GLOBAL_ID]);
        self.define(made.part.unwrap_or(made.concrete), route, &sets);
        made
    }
}
