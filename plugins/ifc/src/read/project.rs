//! The bridge and the document, and the lists of records that are no element.

use restrand_kit::Stopped;
use restrand_model::reflect::{EXTRA, RecordInfo};
use restrand_model::schedule::{Project, Schedule};
use restrand_model::sheet;
use restrand_model::value::{Fields, Value as Stated};

use super::carriers::{Carriers, Ways};
use super::reader::Reader;
use super::said::put;
use crate::terms::Kind;

impl Reader<'_, '_> {
    /// Reads the project and the bridge.
    pub(super) fn project(&mut self) -> Result<(), Stopped> {
        let projects = self.graph.all(Kind::Project).to_vec();
        let bridges = self.graph.all(Kind::Bridge).to_vec();
        let Some(first) = bridges.first().or(projects.first()).copied() else { return Ok(()) };
        let mut fields = Fields::new();
        let mut carriers = Carriers::default();
        let mut lists = Vec::new();
        let mut is_own = false;
        for at in bridges.iter().chain(&projects) {
            let mut sets = self.sets(*at)?;
            is_own |= sets.has_own(Project::INFO);
            let (stated, from) = sets.take(Project::INFO);
            carriers.take(from);
            for (name, value) in stated {
                if fields.get(name.as_str()).is_none() {
                    fields.push(name, value);
                }
            }
            let (members, from) = sets.take(Schedule::INFO);
            lists.push((*at, members, from));
            self.leave(*at, sets)?;
        }
        if !is_own && fields.get("alignment_straight").is_none() && self.shows_tendons()? {
            put(&mut fields, "alignment_straight", Stated::Flag(true));
            carriers.note(&mut self.ways, &["alignment_straight"], first);
            self.said.understood(
                "points are read from shapes, by x, y and z: stations are counted along a straight line, whatever the \
                 bridge's alignment is"
                    .to_owned(),
            );
        }
        if let Some(entity) = self.entity(first)? {
            if fields.get("bridge").is_none() {
                let name = ["LongName", "Name"]
                    .iter()
                    .find_map(|name| entity.get(name).text().filter(|text| !text.is_empty()));
                put(&mut fields, "bridge", name.map(Stated::from));
            }
            let extra = self.extra(first, &entity)?;
            put(&mut fields, EXTRA, Stated::Fields(extra));
        }
        self.hand_over("Project", first, Vec::new(), fields, carriers)?;
        for (at, members, from) in lists {
            self.lists(at, members, from)?;
        }
        Ok(())
    }

    /// Whether any tendon has a shape.
    fn shows_tendons(&mut self) -> Result<bool, Stopped> {
        for tendon in self.graph.all(Kind::Tendon).to_vec() {
            if let Some(entity) = self.entity(tendon)?
                && entity.get("Representation").reference().is_some()
            {
                return Ok(true);
            }
        }
        Ok(false)
    }

    fn lists(&mut self, at: usize, members: Fields, from: Carriers) -> Result<(), Stopped> {
        let mut from = from.by_item(&mut self.ways);
        for (name, value) in members {
            let Some(sheet) = sheet::of_root(name.as_str()) else { continue };
            let Stated::List(items) = value else { continue };
            for (position, item) in items.into_iter().enumerate() {
                if let Stated::Fields(fields) = item {
                    let way = self.ways.known([name.as_str(), &position.to_string()]);
                    let (own, carriers) = way.and_then(|way| from.remove(&way)).unwrap_or_default();
                    self.hand_over(sheet.name, own.unwrap_or(at), Vec::new(), fields, carriers)?;
                }
            }
        }
        Ok(())
    }
}

/// The key of a record that fields state, or else this name, which the entity at a position has.
pub(super) fn keyed(
    fields: &mut Fields,
    (carriers, ways): (&mut Carriers, &mut Ways),
    record: &'static RecordInfo,
    name: &str,
    at: usize,
) -> Box<str> {
    let key = record.key.unwrap_or("id");
    if let Some(Stated::Text(stated)) = fields.get(key) {
        return stated.clone();
    }
    carriers.note(ways, &[key], at);
    let mut whole = Fields::new();
    put(&mut whole, key, Stated::from(name));
    for (name, value) in std::mem::take(fields) {
        whole.push(name, value);
    }
    *fields = whole;
    name.into()
}
