//! Places: abutments, piers, diaphragms, deviators, blisters.

use std::collections::{BTreeMap, HashMap, HashSet};

use restrand_kit::Stopped;
use restrand_model::reading::ProblemKind;
use restrand_model::reflect::EXTRA;
use restrand_model::schedule::Place;
use restrand_model::value::Value as Stated;

use super::geometry::Triple;
use super::project::keyed;
use super::reader::{Reader, name_of};
use super::said::put;
use crate::terms::{Kind, kinds};

/// The places that were read.
#[derive(Debug, Default)]
pub(super) struct Places {
    /// The name of the place that an element is.
    names: HashMap<usize, Box<str>>,
    /// Places with a station, by it; in metres.
    stations: BTreeMap<i64, Box<str>>,
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
        let mut taken: HashSet<Box<str>> = HashSet::new();
        let candidates: Vec<_> =
            CANDIDATES.iter().flat_map(|kind| self.graph.all(*kind).to_vec()).collect();
        let connected: HashSet<usize> = self
            .graph
            .all(Kind::Tendon)
            .iter()
            .filter_map(|tendon| self.graph.connections.get(tendon))
            .flatten()
            .filter_map(|connection| connection.other)
            .collect();
        for at in candidates {
            let Some(entity) = self.entity(at)? else { continue };
            let predefined = self.predefined(at, &entity)?;
            let object = self.object_type(at, &entity)?;
            let kind = kinds::place_of(entity.kind, &predefined, &object);
            let mut fields = self.sets(at)?.take(Place::INFO);
            // What a tendon is connected to is a place, whatever it is called.
            if kind.is_none() && fields.is_empty() && !connected.contains(&at) {
                continue;
            }
            let Some(mut name) = name_of(&entity) else { continue };
            if taken.contains(name.as_str())
                && fields.get("id").is_none()
                && let Some(id) = entity.get("GlobalId").text()
            {
                let why = format!("two places are called {name}; this one is called {name} {id}");
                let help = "give each place a name of its own";
                let given = Some(name.clone());
                let what = "Name";
                self.remark(at, ProblemKind::ValueDoubtful, what, given, why, help)?;
                name = format!("{name} {id}");
            }
            let id = keyed(&mut fields, Place::INFO, &name);
            if fields.get("kind").is_none() {
                put(&mut fields, "kind", kind.map(Stated::from));
            }
            let position: Option<Triple> = self.position(at, &entity)?;
            // A part of the bridge often stands where the bridge does: that says nothing of the part.
            let is_own = position.is_some_and(|point| point != [0.0; 3])
                || entity.kind != Kind::BridgePart
                || connected.contains(&at);
            if fields.get("station_m").is_none()
                && let Some([station, ..]) = position.filter(|_| is_own)
            {
                put(&mut fields, "station_m", Stated::Number(station));
            }
            if let Some(Stated::Number(station)) = fields.get("station_m") {
                #[expect(clippy::cast_possible_truncation, reason = "a station in millimetres")]
                places
                    .stations
                    .entry((station * STEP).round() as i64)
                    .or_insert_with(|| id.clone());
            }
            let extra = self.extra(at, &entity)?;
            put(&mut fields, EXTRA, Stated::Fields(extra));
            taken.insert(id.clone());
            places.names.insert(at, id);
            let stand = self.model.stand(at);
            self.said.record("Places", stand, Vec::new(), fields)?;
        }
        Ok(places)
    }
}
