//! Tendons, with all that belongs to them.

use std::collections::{BTreeMap, HashSet};

use restrand_kit::Stopped;
use restrand_model::reading::ProblemKind;
use restrand_model::reflect::EXTRA;
use restrand_model::schedule::{Duct, Fill, Replacement, Stressing, Tendon};
use restrand_model::value::Value as Stated;

use super::course::points;
use super::curve::Corner;
use super::elements::name_of;
use super::links::Links;
use super::places::Places;
use super::positions::ByPosition;
use super::project::keyed;
use super::reader::Reader;
use super::said::put;
use super::types::Types;
use crate::terms::{Kind, kinds};
use crate::value::Entity;

/// A tendon as far as its ends need it.
pub(super) struct Run<'a> {
    pub(super) mark: Box<str>,
    /// Its axis in the schedule's frame, in metres, in order of station.
    pub(super) axis: &'a Vec<Corner>,
}

impl Reader<'_, '_> {
    /// The sets of each tendon and of what belongs to it, in the order in which they are read.
    pub(super) fn groups(&self, links: &Links) -> Vec<Vec<usize>> {
        let of_tendon = |tendon: &usize| {
            let members = links.of(*tendon).iter().map(|member| member.at);
            let parts = members.clone().flat_map(|at| self.graph.parts_of(at));
            let all = std::iter::once(*tendon).chain(members).chain(parts);
            let sets = all.filter_map(|at| self.graph.sets.get(&at)).flatten().copied();
            sets.filter(|set| self.model.kind(*set) == Kind::PropertySet).collect()
        };
        self.graph.all(Kind::Tendon).iter().map(of_tendon).collect()
    }

    /// Hands over the tendons.
    pub(super) fn tendons(
        &mut self,
        mut links: Links,
        places: &Places,
        types: &mut Types,
    ) -> Result<(), Stopped> {
        let tendons = self.graph.all(Kind::Tendon).to_vec();
        let rooms = self.rooms()?;
        let mut axes = Vec::with_capacity(tendons.len());
        for tendon in &tendons {
            axes.push(self.axis(*tendon)?);
        }
        self.say_oblique(&tendons, &axes)?;
        self.by_place(&tendons, &axes, &mut links)?;
        self.say_links(&links)?;
        let mut marks = HashSet::new();
        let told = self.told_by_tags(&tendons)?;
        for (position, (tendon, axis)) in tendons.iter().zip(&axes).enumerate() {
            self.sets_read.fetch(position, &mut self.ways);
            let Some(entity) = self.entity(*tendon)? else { continue };
            let mut sets = self.sets(*tendon)?;
            let has_own = sets.has_own(Tendon::INFO);
            let (mut fields, mut carriers) = sets.take(Tendon::INFO);
            // A set that was added for one value does not state the tendon as a whole.
            let is_own = has_own && fields.get("mark").is_some();
            let Some(name) = name_of(&entity) else {
                let why = "it has no name, tag or GlobalId by which it could be told".to_owned();
                let kind = ProblemKind::RecordLost;
                self.remark(*tendon, kind, "Name", None, why, "give the tendon a name")?;
                continue;
            };
            let name = match told.get(tendon) {
                Some(name) => name.clone(),
                None => self.own_mark(*tendon, &entity, name, &marks)?,
            };
            let mark =
                keyed(&mut fields, (&mut carriers, &mut self.ways), Tendon::INFO, &name, *tendon);
            marks.insert(mark.clone());
            for (name, record) in [
                ("replacement", Replacement::INFO),
                ("stressing", Stressing::INFO),
                ("fill", Fill::INFO),
            ] {
                let (stated, from) = sets.take(record);
                if !stated.is_empty() {
                    carriers.take_in(&mut self.ways, name, from);
                    put(&mut fields, name, Stated::Fields(stated));
                }
            }
            let (duct, duct_from) = sets.take(Duct::INFO);
            self.leave(*tendon, sets)?;
            if let Some(type_) = self.graph.types.get(tendon).copied()
                && fields.get("strand").is_none()
            {
                let strand = self.strand(type_)?;
                put(&mut fields, "strand", strand.map(Stated::Text));
            }
            // What a schedule does not state, its model may measure; that is no statement.
            if !is_own {
                self.quantities(*tendon, &mut fields, &mut carriers)?;
            }
            let members = links.of(*tendon).to_vec();
            let mut deviators = Vec::new();
            let mut joints = Vec::new();
            let mut vents = Vec::new();
            for member in &members {
                if self.model.kind(member.at) != Kind::TendonConduit {
                    continue;
                }
                let Some(entity) = self.entity(member.at)? else { continue };
                match self.predefined(member.at, &entity)?.as_str() {
                    // A schedule's own set states its lengths of duct, of which none is the whole.
                    kinds::DUCT if fields.get("duct").is_none() && !is_own => {
                        let duct = self.duct(types, member.at)?;
                        put(&mut fields, "duct", duct.map(Stated::Text));
                    }
                    kinds::FORM => deviators.push(*member),
                    "COUPLER" => joints.push(member.at),
                    "GROUTING_DUCT" => vents.push(member.at),
                    _ => {}
                }
            }
            if !duct.is_empty() {
                match fields.get("duct") {
                    None => {
                        let duct = self.sized_duct(types, *tendon, "", (duct, duct_from))?;
                        put(&mut fields, "duct", duct.map(Stated::Text));
                    }
                    Some(_) => {
                        let why = "its conduit tells its duct; what a set of the tendon says of it is not taken";
                        let help = "see whether both say the same, and keep that of the conduit";
                        let kind = ProblemKind::ValueDoubtful;
                        self.remark(*tendon, kind, "duct", None, why.to_owned(), help)?;
                    }
                }
            }
            let states_course = fields.get("points").is_some();
            if !states_course && !axis.is_empty() {
                put(&mut fields, "points", points(axis, places));
                if let Some(curve) = self.curves.get(tendon) {
                    carriers.note(&mut self.ways, &["points"], *curve);
                }
            }
            let extra = self.own_extra(*tendon, &entity, &fields, is_own, states_course)?;
            put(&mut fields, EXTRA, Stated::Fields(extra));
            self.hand_over("Tendons", *tendon, Vec::new(), fields, carriers)?;
            let run = Run { mark: mark.clone(), axis };
            self.ends(&run, &members, places, types, &rooms)?;
            self.deviators(*tendon, &mark, &deviators, places, types)?;
            for (sheet, found) in [("DuctJoints", joints), ("Vents", vents)] {
                for at in found {
                    self.on_duct(sheet, at, &mark)?;
                }
            }
        }
        Ok(())
    }

    /// The names of tendons that have the same name and a tag of their own each, as programs write them that name
    /// elements after their kind.
    fn told_by_tags(&mut self, tendons: &[usize]) -> Result<ByPosition<String>, Stopped> {
        let mut alike: BTreeMap<String, Vec<(usize, Option<String>)>> = BTreeMap::new();
        for tendon in tendons {
            let Some(entity) = self.entity(*tendon)? else { continue };
            if let Some(name) = entity.get("Name").text().map(str::trim) {
                let tag = entity.get("Tag").text().map(str::trim).filter(|tag| !tag.is_empty());
                let same = alike.entry(name.to_owned()).or_default();
                same.push((*tendon, tag.map(str::to_owned)));
            }
        }
        let mut told = ByPosition::default();
        for (name, same) in alike {
            let tags: HashSet<_> = same.iter().filter_map(|(_, tag)| tag.as_ref()).collect();
            let [(first, Some(tag)), _, ..] = same.as_slice() else { continue };
            if tags.len() < same.len() {
                continue;
            }
            let why = format!(
                "{} tendons have this name; they are told by their tags, as {name} {tag}",
                same.len()
            );
            let help = "give each tendon a name of its own";
            let kind = ProblemKind::ValueDoubtful;
            self.remark(*first, kind, "Name", Some(name.clone()), why, help)?;
            for (tendon, tag) in same {
                told.insert(tendon, format!("{name} {}", tag.unwrap_or_default()));
            }
        }
        Ok(told)
    }

    /// A name that no other tendon has.
    fn own_mark(
        &mut self,
        at: usize,
        entity: &Entity<'_>,
        name: String,
        taken: &HashSet<Box<str>>,
    ) -> Result<String, Stopped> {
        if !taken.contains(name.as_str()) {
            return Ok(name);
        }
        let further = ["Tag", "GlobalId"].iter().find_map(|attribute| {
            let text = entity.get(attribute).text().filter(|text| !text.is_empty())?;
            let named = format!("{name} {text}");
            (!taken.contains(named.as_str())).then_some(named)
        });
        let further =
            further.unwrap_or_else(|| format!("{name} {}", self.model.name(self.model.number(at))));
        let why = format!("another tendon has the same name; this one is called {further}");
        let help = "give each tendon a name of its own";
        self.remark(at, ProblemKind::ValueDoubtful, "Name", Some(name), why, help)?;
        Ok(further)
    }
}
