//! The ends of a tendon, and the clear room behind them.

use std::collections::HashMap;

use restrand_kit::Stopped;
use restrand_kit::recognise::word_of;
use restrand_model::reading::ProblemKind;
use restrand_model::reflect::EXTRA;
use restrand_model::schedule::{End, RemovalSpace};
use restrand_model::value::{Fields, Value as Stated};

use super::carriers::Carriers;
use super::geometry::{Triple, sub};
use super::links::Member;
use super::places::Places;
use super::positions::ByPosition;
use super::reader::Reader;
use super::room::{Clear, Seat};
use super::said::put;
use super::tendons::Run;
use super::types::Types;
use super::units::tidy;
use crate::terms::{Kind, kinds};

/// Elements that are the clear room of an anchor, by the anchor.
pub(super) type Rooms = ByPosition<Vec<usize>>;

impl Reader<'_, '_> {
    /// Finds the elements that are the clear room of an anchor: by relations, or by its name as a word of theirs.
    pub(super) fn rooms(&mut self) -> Result<Rooms, Stopped> {
        let mut rooms = Rooms::default();
        let mut candidates = Vec::new();
        for (kind, words) in [
            // Before IFC 4.3 a virtual element does not say what it is.
            (Kind::VirtualElement, &["CLEARANCE", kinds::NOTDEFINED][..]),
            (Kind::BuildingElementProxy, &["PROVISIONFORSPACE"]),
            (Kind::SpatialZone, &["RESERVATION", "SECURITY", "CONSTRUCTION"]),
        ] {
            for at in self.graph.all(kind).to_vec() {
                let Some(entity) = self.entity(at)? else { continue };
                let predefined = self.predefined(at, &entity)?;
                // A model that restrand wrote shows a jack and the stub in such room too.
                let object = self.object_type(at, &entity)?;
                let is_other = [kinds::STUB, kinds::JACK].contains(&object.as_str());
                let says = |said: &str| words.iter().any(|word| word.eq_ignore_ascii_case(said));
                // Proxies of IFC 2x3 say it in their own words.
                if (says(&predefined) || says(&object)) && !is_other {
                    let name = entity.get("Name").text().unwrap_or_default().to_owned();
                    candidates.push((at, name));
                }
            }
        }
        if candidates.is_empty() {
            return Ok(rooms);
        }
        let mut names = HashMap::new();
        for anchor in self.graph.all(Kind::TendonAnchor).to_vec() {
            if let Some(entity) = self.entity(anchor)?
                && let Some(name) = entity.get("Name").text()
            {
                names.entry(name.to_owned()).or_insert(anchor);
            }
        }
        let is_anchor =
            |model: &dyn super::Model, at: &usize| model.kind(*at) == Kind::TendonAnchor;
        let mut nested_in = ByPosition::default();
        for anchor in self.graph.all(Kind::TendonAnchor) {
            let parts = self.graph.nested.get(anchor).into_iter().flatten();
            nested_in.extend(parts.map(|part| (*part, *anchor)));
        }
        for (at, name) in candidates {
            let connected = self.graph.connections.get(&at).into_iter().flatten();
            let anchor = connected
                .filter_map(|connection| connection.other)
                .chain(self.graph.wholes.get(&at).copied())
                .chain(nested_in.get(&at).copied())
                .find(|other| is_anchor(self.model, other))
                .or_else(|| name.split_whitespace().find_map(|word| names.get(word)).copied());
            if let Some(anchor) = anchor {
                rooms.entry(anchor).or_default().push(at);
            }
        }
        Ok(rooms)
    }

    /// Hands over the ends of a tendon, and gives the names of the places that they sit in.
    pub(super) fn ends(
        &mut self,
        run: &Run<'_>,
        members: &[Member],
        places: &Places,
        types: &mut Types,
        rooms: &Rooms,
    ) -> Result<[Option<Box<str>>; 2], Stopped> {
        let mut found = [None, None];
        let mut anchors = Vec::new();
        for member in members {
            if self.model.kind(member.at) != Kind::TendonAnchor {
                continue;
            }
            let Some(entity) = self.entity(member.at)? else { continue };
            let predefined = self.predefined(member.at, &entity)?;
            // A coupler joins two tendons on the way and is no end.
            if predefined != "COUPLER" {
                let station = self.position(member.at, &entity)?.map(|point| point[0]);
                anchors.push((*member, entity, predefined, station));
            }
        }
        let names: Vec<Option<&str>> =
            anchors.iter().map(|anchor| anchor.1.get("Name").text()).collect();
        let stations: Vec<Option<f64>> = anchors.iter().map(|anchor| anchor.3).collect();
        let slots = slots(&stations, &names, run);
        for ((member, entity, predefined, _), slot) in anchors.into_iter().zip(slots) {
            let at = member.at;
            let Some(slot) = slot.filter(|slot| found[*slot].is_none()) else {
                let why = "its tendon has two ends already".to_owned();
                let help =
                    "a tendon has two anchors; let this one belong to another, or be a COUPLER";
                self.remark(at, ProblemKind::RecordLost, "", None, why, help)?;
                continue;
            };
            let mut sets = self.sets(at)?;
            let (mut fields, mut carriers) = sets.take(End::INFO);
            let place = member.host.and_then(|host| places.name(host)).map(Box::from);
            let put_new = |fields: &mut Fields, name: &'static str, value: Option<Stated>| {
                if fields.get(name).is_none() {
                    put(fields, name, value);
                }
            };
            put_new(&mut fields, "place", place.clone().map(Stated::Text));
            let kind = kinds::ENDS.iter().find(|(_, word)| *word == predefined);
            let kind = match kind {
                Some((word, _)) => Some(*word),
                // IFC 2x3 has no word for it but the author's own.
                None => word_of(End::INFO, "kind", &self.object_type(at, &entity)?),
            };
            put_new(&mut fields, "kind", kind.map(Stated::from));
            let anchorage = self.anchorage(types, at)?;
            put_new(&mut fields, "anchorage", anchorage.map(Stated::Text));
            let (stated, mut from) = sets.take(RemovalSpace::INFO);
            self.leave(at, sets)?;
            let space = self.space(at, run.seat(slot), stated, &mut from, rooms)?;
            carriers.take_in(&mut self.ways, "removal_space", from);
            if !space.is_empty() {
                put(&mut fields, "removal_space", Stated::Fields(space));
            }
            let extra = self.extra(at, &entity)?;
            put(&mut fields, EXTRA, Stated::Fields(extra));
            let name = ["a", "b"][slot];
            let links = vec![Some(run.mark.clone()), Some(name.into())];
            found[slot] = match fields.get("place") {
                Some(Stated::Text(place)) => Some(place.clone()),
                _ => Some("".into()),
            };
            self.hand_over("Ends", at, links, fields, carriers)?;
            self.parts(at, "PartOverrides", &[Some(run.mark.clone()), Some(name.into()), None])?;
        }
        Ok(found.map(|place| place.filter(|place| !place.is_empty())))
    }

    /// The clear room of an anchor: what a set states, and else what its shapes measure.
    fn space(
        &mut self,
        anchor: usize,
        seat: Option<Seat>,
        stated: Fields,
        carriers: &mut Carriers,
        rooms: &Rooms,
    ) -> Result<Fields, Stopped> {
        let mut fields = stated;
        let mut items = Vec::new();
        for (identifier, shape) in self.shapes_of(anchor)? {
            if identifier.eq_ignore_ascii_case("Clearance") {
                items.extend(shape);
            }
        }
        for room in rooms.get(&anchor).into_iter().flatten() {
            for (_, shape) in self.shapes_of(*room)? {
                items.extend(shape);
            }
        }
        let mut clear: Option<Clear> = None;
        let mut differs = false;
        let mut inscribed = false;
        let mut shape_at = anchor;
        for (item, axes) in items {
            let block = self.block(item, &axes)?;
            let measured = block.zip(seat).and_then(|(block, seat)| block.clear(&seat));
            let Some(measured) = measured else {
                self.no_block(item)?;
                continue;
            };
            shape_at = item;
            inscribed |= block.is_some_and(|block| block.inscribed);
            clear = Some(match clear {
                None => measured,
                Some(before) => {
                    differs |= before.differs(&measured);
                    before.least(&measured)
                }
            });
        }
        let Some(clear) = clear else { return Ok(fields) };
        if differs {
            let why = "the shapes of its clear room differ; the least of each distance is taken";
            let help = "let all of them show the same room";
            let what = "clear room";
            self.remark(anchor, ProblemKind::ValueDoubtful, what, None, why.to_owned(), help)?;
        }
        if inscribed {
            let why = "its clear room is round; what is taken is the square that stands in it";
            let help = "state it by a property set Restrand_RemovalSpace where more is clear";
            let what = "clear room";
            self.remark(anchor, ProblemKind::Assumed, what, None, why.to_owned(), help)?;
        }
        let mut beyond = Vec::new();
        for (name, metres) in clear.named() {
            let shape = tidy(metres * 1000.0);
            match fields.get(name) {
                None => {
                    put(&mut fields, name, Stated::Number(shape));
                    carriers.note(&mut self.ways, &[name], shape_at);
                }
                Some(Stated::Number(number)) if number - shape > 1.0 => {
                    beyond.push(format!("{name} {number:.0} against {shape:.0}"));
                }
                Some(_) => {}
            }
        }
        if !beyond.is_empty() {
            let why = format!(
                "its property set states more clear room than its shape shows: {}; the set holds",
                beyond.join(", ")
            );
            let help = "correct the one that is wrong";
            self.remark(anchor, ProblemKind::ValueDoubtful, "clear room", None, why, help)?;
        }
        Ok(fields)
    }
}

impl Clear {
    fn named(&self) -> [(&'static str, f64); 5] {
        [
            ("behind_mm", self.behind),
            ("up_mm", self.up),
            ("down_mm", self.down),
            ("left_mm", self.left),
            ("right_mm", self.right),
        ]
    }

    /// Whether one distance differs by more than a millimetre.
    fn differs(&self, other: &Self) -> bool {
        let pairs = self.named().into_iter().zip(other.named());
        pairs.into_iter().any(|((_, one), (_, other))| (one - other).abs() > 1e-3)
    }

    fn least(&self, other: &Self) -> Self {
        Self {
            behind: self.behind.min(other.behind),
            up: self.up.min(other.up),
            down: self.down.min(other.down),
            left: self.left.min(other.left),
            right: self.right.min(other.right),
        }
    }
}

/// Which anchor is end `a` and which `b`: by their stations, or by the last letter of their names, or as they come.
fn slots(stations: &[Option<f64>], names: &[Option<&str>], run: &Run<'_>) -> Vec<Option<usize>> {
    if let [Some(one), Some(other)] = stations
        && one != other
    {
        return if one < other { vec![Some(0), Some(1)] } else { vec![Some(1), Some(0)] };
    }
    // One anchor is at the end of the axis that is nearer.
    if let ([Some(station)], Some((first, last))) = (stations, run.reach()) {
        let is_first = (station - first).abs() <= (station - last).abs();
        return vec![Some(usize::from(!is_first))];
    }
    let by_letter = |name: &Option<&str>| match name.and_then(|name| name.chars().next_back())? {
        'A' | 'a' => Some(0),
        'B' | 'b' => Some(1),
        _ => None,
    };
    let letters: Vec<_> = names.iter().map(by_letter).collect();
    match letters.as_slice() {
        [Some(_)] => letters,
        [Some(one), Some(other)] if one != other => letters,
        _ => (0..names.len()).map(|position| (position < 2).then_some(position)).collect(),
    }
}

impl Run<'_> {
    /// Where the axis begins and ends, by station.
    fn reach(&self) -> Option<(f64, f64)> {
        Some((self.axis.first()?.point[0], self.axis.last()?.point[0]))
    }

    /// The seat of an end: 0 is `a`, 1 is `b`.
    fn seat(&self, slot: usize) -> Option<Seat> {
        let (end, next): (Triple, Triple) = match (slot, self.axis.as_slice()) {
            (0, [first, second, ..]) => (first.point, second.point),
            (1, [.., before, last]) => (last.point, before.point),
            _ => return None,
        };
        let outward = sub(end, next);
        let forward = if slot == 0 { sub(next, end) } else { outward };
        Seat::of(end, outward, forward)
    }
}
