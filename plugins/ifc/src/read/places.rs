//! Places: abutments, piers, diaphragms, deviators, blisters.

use std::collections::{BTreeMap, HashSet};

use restrand_kit::Stopped;
use restrand_model::reading::ProblemKind;
use restrand_model::reflect::EXTRA;
use restrand_model::schedule::Place;
use restrand_model::value::{Fields, Value as Stated};

use super::carriers::Carriers;
use super::elements::name_of;
use super::geometry::Triple;
use super::positions::ByPosition;
use super::project::keyed;
use super::reader::Reader;
use super::said::put;
use crate::terms::{Kind, kinds};
use crate::value::Entity;

/// The places that were read.
#[derive(Debug, Default)]
pub(super) struct Places {
    /// The name of the place that an element is.
    names: ByPosition<Box<str>>,
    /// Places with a station, by it; in metres.
    stations: BTreeMap<i64, Box<str>>,
    /// All names.
    taken: HashSet<Box<str>>,
}

/// Kinds of entities that can be a place.
const CANDIDATES: &[Kind] = &[
    Kind::BridgePart,
    Kind::Beam,
    Kind::Wall,
    Kind::ElementAssembly,
    Kind::ProjectionElement,
    Kind::BuildingElementProxy,
];

/// Steps of a metre by which places are found again by their station.
const STEP: f64 = 1000.0;

impl Places {
    /// The name of the place that an element is.
    pub(super) fn name(&self, at: usize) -> Option<&str> {
        self.names.get(&at).map(|name| &**name)
    }

    /// The place whose station is nearest to this one and no farther than that, in metres.
    pub(super) fn near(&self, station: f64, most: f64) -> Option<&str> {
        #[expect(clippy::cast_possible_truncation, reason = "a station in millimetres")]
        let steps = |metres: f64| (metres * STEP).round() as i64;
        self.stations
            .range(steps(station - most)..=steps(station + most))
            .min_by_key(|(at, _)| (**at - steps(station)).abs())
            .map(|(_, name)| &**name)
    }
}

impl Reader<'_, '_> {
    /// Reads the places.
    pub(super) fn places(&mut self) -> Result<Places, Stopped> {
        let mut places = Places::default();
        let mut candidates: Vec<_> =
            CANDIDATES.iter().flat_map(|kind| self.graph.all(*kind).to_vec()).collect();
        // Places come in the order of the model.
        candidates.sort_unstable();
        let connected: HashSet<usize> = self
            .graph
            .all(Kind::Tendon)
            .iter()
            .filter_map(|tendon| self.graph.connections.get(tendon))
            .flatten()
            .filter_map(|connection| connection.other)
            .collect();
        let mut others = Vec::new();
        for at in candidates {
            let Some(entity) = self.entity(at)? else { continue };
            let predefined = self.predefined(at, &entity)?;
            let object = self.object_type(at, &entity)?;
            let kind = kinds::place_of(entity.kind, &predefined, &object);
            let mut sets = self.sets(at)?;
            let stated = sets.take(Place::INFO);
            self.leave(at, sets)?;
            if kind.is_none() && stated.0.is_empty() {
                others.push((at, entity));
            } else {
                self.place(&mut places, at, &entity, kind, stated)?;
            }
        }
        for (at, entity) in others {
            // The concrete of a place that is a part of the bridge is that place.
            let structure = self.graph.structure_of(at);
            let name = structure.and_then(|structure| places.names.get(&structure)).cloned();
            if let Some(name) = name {
                places.names.insert(at, name);
            } else if connected.contains(&at) {
                // What a tendon is connected to is a place, whatever it is called.
                self.place(&mut places, at, &entity, None, (Fields::new(), Carriers::default()))?;
            }
        }
        Ok(places)
    }

    /// Hands over a place.
    fn place(
        &mut self,
        places: &mut Places,
        at: usize,
        entity: &Entity<'_>,
        kind: Option<&'static str>,
        (mut fields, mut carriers): (Fields, Carriers),
    ) -> Result<(), Stopped> {
        let Some(mut name) = name_of(entity) else { return Ok(()) };
        if places.taken.contains(name.as_str())
            && fields.get("id").is_none()
            && let Some(id) = entity.get("GlobalId").text()
        {
            let why = format!("two places are called {name}; this one is called {name} {id}");
            let help = "give each place a name of its own";
            let given = Some(name.clone());
            self.remark(at, ProblemKind::ValueDoubtful, "Name", given, why, help)?;
            name = format!("{name} {id}");
        }
        let id = keyed(&mut fields, (&mut carriers, &mut self.ways), Place::INFO, &name, at);
        if fields.get("kind").is_none() {
            put(&mut fields, "kind", kind.map(Stated::from));
        }
        let position: Option<Triple> = self.position(at, entity)?;
        // What stands where the bridge does has its place in its shape, if anywhere: that is no station.
        if fields.get("station_m").is_none()
            && let Some([station, ..]) = position.filter(|point| *point != [0.0; 3])
        {
            put(&mut fields, "station_m", Stated::Number(station));
        }
        if let Some(Stated::Number(station)) = fields.get("station_m") {
            #[expect(clippy::cast_possible_truncation, reason = "a station in millimetres")]
            let steps = (station * STEP).round() as i64;
            places.stations.entry(steps).or_insert_with(|| id.clone());
        }
        let extra = self.extra(at, entity)?;
        put(&mut fields, EXTRA, Stated::Fields(extra));
        places.taken.insert(id.clone());
        places.names.insert(at, id);
        self.hand_over("Places", at, Vec::new(), fields, carriers)
    }
}
