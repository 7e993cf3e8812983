//! What sits on a tendon and is no end: deviators, parts of anchorages and forms, joints and tubes of ducts.

use std::collections::HashSet;

use restrand_kit::Stopped;
use restrand_model::reflect::EXTRA;
use restrand_model::schedule::{Deviator, Part};
use restrand_model::value::{Fields, Value as Stated};

use super::carriers::Carriers;
use super::course::NEAR;
use super::elements::name_of;
use super::links::Member;
use super::places::Places;
use super::project::keyed;
use super::reader::Reader;
use super::said::put;
use super::types::Types;
use crate::terms::{Kind, kinds};

impl Reader<'_, '_> {
    /// Hands over the deviators of a tendon: conduits at them, and places that it is connected to without one.
    pub(super) fn deviators(
        &mut self,
        tendon: usize,
        mark: &str,
        conduits: &[Member],
        places: &Places,
        types: &mut Types,
    ) -> Result<(), Stopped> {
        let mut met = HashSet::new();
        for member in conduits {
            let Some(entity) = self.entity(member.at)? else { continue };
            let mut sets = self.sets(member.at)?;
            let (mut fields, carriers) = sets.take(Deviator::INFO);
            self.leave(member.at, sets)?;
            let host = member.host.and_then(|host| places.name(host));
            if fields.get("place").is_none() {
                let place = match host {
                    Some(host) => Some(host),
                    None => {
                        let position = self.position(member.at, &entity)?;
                        position.and_then(|point| places.near(point[0], NEAR))
                    }
                };
                put(&mut fields, "place", place.map(Stated::from));
            }
            let form = self.form(types, member.at)?;
            if fields.get("form").is_none() {
                put(&mut fields, "form", form.map(Stated::Text));
            }
            let place = match fields.get("place") {
                Some(Stated::Text(place)) => Some(place.clone()),
                _ => None,
            };
            met.extend(place.clone());
            let extra = self.extra(member.at, &entity)?;
            put(&mut fields, EXTRA, Stated::Fields(extra));
            self.hand_over("Deviators", member.at, vec![Some(mark.into())], fields, carriers)?;
            self.parts(member.at, "PartOverrides", &[Some(mark.into()), None, place])?;
        }
        for connection in self.graph.connections.get(&tendon).cloned().unwrap_or_default() {
            let has = |kind| connection.by.iter().any(|by| self.model.kind(*by) == kind);
            let place = connection.other.and_then(|other| places.name(other));
            let Some(place) = place.filter(|place| !met.contains(*place)) else { continue };
            if has(Kind::TendonAnchor) || has(Kind::TendonConduit) {
                continue;
            }
            met.insert(place.into());
            let mut fields = Fields::new();
            put(&mut fields, "place", Stated::from(place));
            let links = vec![Some(mark.into())];
            self.hand_over("Deviators", tendon, links, fields, Carriers::default())?;
        }
        Ok(())
    }

    /// Hands over the parts that are aggregated or nested in an anchor, in the conduit at a deviator, or in a type.
    pub(super) fn parts(
        &mut self,
        owner: usize,
        sheet: &'static str,
        links: &[Option<Box<str>>],
    ) -> Result<(), Stopped> {
        for at in self.graph.parts_of(owner).collect::<Vec<_>>() {
            let Some(entity) = self.entity(at)? else { continue };
            let predefined = self.predefined(at, &entity)?;
            let object = self.object_type(at, &entity)?;
            let role = kinds::role_of(entity.kind, &predefined, &object);
            let mut sets = self.sets(at)?;
            let (mut fields, mut carriers) = sets.take(Part::INFO);
            self.leave(at, sets)?;
            if role.is_none() && fields.is_empty() {
                continue;
            }
            if let Some(name) = entity.get("Name").text().filter(|name| !name.is_empty()) {
                keyed(&mut fields, (&mut carriers, &mut self.ways), Part::INFO, name, at);
            }
            if fields.get("role").is_none() {
                put(&mut fields, "role", role.map(Stated::from));
            }
            let extra = self.extra(at, &entity)?;
            put(&mut fields, EXTRA, Stated::Fields(extra));
            self.hand_over(sheet, at, links.to_vec(), fields, carriers)?;
        }
        Ok(())
    }

    /// Hands over a joint or a tube of a duct.
    pub(super) fn on_duct(
        &mut self,
        sheet: &'static str,
        at: usize,
        mark: &str,
    ) -> Result<(), Stopped> {
        let Some(entity) = self.entity(at)? else { return Ok(()) };
        let mut fields = Fields::new();
        let mut carriers = Carriers::default();
        if sheet == "Vents" {
            put(&mut fields, "id", name_of(&entity).map(|name| Stated::Text(name.into())));
            carriers.note(&mut self.ways, &["id"], at);
        }
        let station = self.position(at, &entity)?.map(|point| Stated::Number(point[0]));
        put(&mut fields, "station_m", station);
        let extra = self.extra(at, &entity)?;
        put(&mut fields, EXTRA, Stated::Fields(extra));
        self.hand_over(sheet, at, vec![Some(mark.into())], fields, carriers)
    }
}
