//! A reading as it goes on: the model, what is known of it, and what was said.

use std::collections::HashSet;

use foldhash::fast::RandomState;
use restrand_kit::{Frames, LoadError, Stopped};
use restrand_model::ifc::{GLOBAL_ID, expanded};
use restrand_model::reading::{Place, ProblemKind};
use restrand_model::value::{Fields, Name, Value as Stated};

use super::carriers::{Carriers, Way, Ways};
use super::geometry::Axes;
use super::graph::Graph;
use super::inherited::Inherited;
use super::mapping::Mapping;
use super::model::{Found, Model};
use super::others::Others;
use super::positions::{ByPosition, Positions};
use super::said::{Remark, Said};
use super::units::{BadUnit, Units};
use crate::terms::{Form, Kind, Release, kinds};
use crate::value::{Entity, Value};

/// A reading of one model.
pub(super) struct Reader<'m, 'f> {
    pub(super) model: &'m dyn Model,
    pub(super) mapping: &'m Mapping,
    pub(super) units: Units,
    /// What the units that properties state themselves are of SI units, or what is wrong with them.
    pub(super) own_units: ByPosition<Result<f64, String>>,
    pub(super) graph: Graph,
    pub(super) said: Said<'f>,
    /// The schedule's frame in the model's world: station, lateral, elevation.
    pub(super) frame: Axes,
    /// Placements that were worked out; nothing for one that cannot be.
    pub(super) placements: ByPosition<Option<Axes>>,
    /// The kinds of strand that were handed over, by the type of tendon.
    pub(super) strands: ByPosition<Option<Box<str>>>,
    /// What types state of their occurrences.
    pub(super) inherited: ByPosition<Inherited>,
    /// Their names.
    pub(super) strand_ids: HashSet<Box<str>>,
    /// Entities that were walked through for one curve or shape.
    pub(super) steps: usize,
    /// The curve that is a tendon's axis.
    pub(super) curves: ByPosition<usize>,
    /// The ways from records to values that were met.
    pub(super) ways: Ways,
    /// The way from a record to the property that is read.
    pub(super) way: Way,
    /// What states the values of the record that is read.
    pub(super) noted: Carriers,
    /// Complex properties that were met in one set.
    pub(super) met: HashSet<usize, RandomState>,
    /// Sets that were read.
    pub(super) read_sets: Positions,
    /// Sets of other programs.
    pub(super) others: Others,
    /// Names of sets in the mapping file that the model has.
    pub(super) met_sets: HashSet<Box<str>>,
    /// Curves whose cant was looked at.
    pub(super) canted: HashSet<usize, RandomState>,
    /// Entities whose attributes were looked at.
    looked_at: Positions,
    /// Entities of which was said that they cannot be read.
    said_of: HashSet<usize>,
    /// Numbers of which was said that nothing stands behind them.
    missing: HashSet<u64>,
    /// GlobalIds that were met.
    ids: HashSet<Box<str>>,
    /// The release of IFC that the file is of.
    release: Release,
    /// Kinds of units of which was said that the project states none.
    pub(super) unstated: HashSet<&'static str>,
}

/// Schemas that are read.
const SCHEMAS: &[&str] = &["IFC4X3", "IFC4", "IFC2X3"];

impl<'m, 'f> Reader<'m, 'f> {
    /// Looks at the schema, the units and the relations of the model.
    pub(super) fn new(
        model: &'m dyn Model,
        mapping: &'m Mapping,
        frames: &'f mut dyn Frames,
    ) -> Result<Self, LoadError> {
        let mut reader = Self {
            model,
            mapping,
            units: Units::default(),
            own_units: ByPosition::default(),
            graph: Graph::default(),
            said: Said::new(model.part(), frames),
            frame: Axes::WORLD,
            placements: ByPosition::default(),
            strands: ByPosition::default(),
            inherited: ByPosition::default(),
            strand_ids: HashSet::new(),
            steps: 0,
            curves: ByPosition::default(),
            ways: Ways::default(),
            way: Way::START,
            noted: Carriers::default(),
            met: HashSet::default(),
            read_sets: Positions::of(model.count()),
            others: Others::default(),
            met_sets: HashSet::new(),
            canted: HashSet::default(),
            looked_at: Positions::of(model.count()),
            said_of: HashSet::new(),
            missing: HashSet::new(),
            ids: HashSet::new(),
            release: Release::of_schema(model.schema()),
            unstated: HashSet::new(),
        };
        reader.schema()?;
        for problem in model.problems() {
            reader.said.problem(problem)?;
        }
        reader.graph = Graph::of(&mut reader)?;
        reader.read_units()?;
        reader.read_frame()?;
        Ok(reader)
    }

    fn schema(&mut self) -> Result<(), LoadError> {
        let stated = self.model.schema();
        let schema = stated.to_ascii_uppercase();
        let place = Place::Part { part: self.model.part().to_owned() };
        let known = SCHEMAS.iter().any(|known| schema.starts_with(known));
        if !known {
            return Err(LoadError::Unreadable {
                place,
                why: if schema.is_empty() {
                    "it does not state its schema".to_owned()
                } else {
                    format!("its schema {stated} is not read")
                },
                help: "save the model as IFC 4.3; IFC 4 and IFC 2x3 are read too".to_owned(),
            });
        }
        let is_final = ["IFC4X3", "IFC4X3_ADD1", "IFC4X3_ADD2", "IFC4", "IFC4X3_TC1", "IFC2X3"];
        if !is_final.contains(&schema.as_str()) && !schema.starts_with("IFC4_ADD") {
            self.said.remark(Remark {
                kind: ProblemKind::Assumed,
                place,
                subject: "schema".to_owned(),
                given: Some(stated.to_owned()),
                why: "the schema is not one of those that were published as final; it is read as the \
                      nearest of them"
                    .to_owned(),
                help: "save the model as IFC4X3_ADD2 where the program can",
            })?;
        }
        Ok(())
    }

    fn read_units(&mut self) -> Result<(), Stopped> {
        let Some(project) = self.graph.all(Kind::Project).first().copied() else {
            return Ok(());
        };
        let Some(entity) = self.entity(project)? else { return Ok(()) };
        let assignment = match self.one(project, &entity, "UnitsInContext")? {
            Some(at) => self.entity(at)?,
            None => None,
        };
        let Some(assignment) = assignment else { return Ok(()) };
        let (units, bad) = Units::of(self.model, &assignment);
        self.units = units;
        for (kind, factor) in self.units.stated() {
            self.said.understood(format!("one {kind} of the model is {factor} of its SI unit"));
        }
        for BadUnit { at, why } in bad {
            self.remark(
                at.unwrap_or(project),
                ProblemKind::ValueLost,
                "unit",
                None,
                why,
                "state one unit of each kind, by a factor; values in this one cannot be taken",
            )?;
        }
        Ok(())
    }

    /// The entity at a position; what cannot be read is said once.
    pub(super) fn entity(&mut self, at: usize) -> Result<Option<Entity<'m>>, Stopped> {
        match self.model.entity(at) {
            Ok(entity) => {
                if self.looked_at.insert(at) {
                    self.look_at(at, &entity)?;
                }
                Ok(Some(entity))
            }
            Err(why) => {
                if self.said_of.insert(at) {
                    let kind = ProblemKind::RecordLost;
                    let help = "correct it, or save the model once more; nothing of it is read";
                    self.remark(at, kind, "", None, why, help)?;
                }
                Ok(None)
            }
        }
    }

    /// Says what is wrong with the number of attributes, and of which kind they are.
    fn look_at(&mut self, at: usize, entity: &Entity<'_>) -> Result<(), Stopped> {
        let kind = ProblemKind::ValueDoubtful;
        let (has, most) = (entity.attributes.len(), entity.kind.info().len());
        let name = entity.kind.name();
        let help = "check that the schema the file states is the one it is written in";
        if has > most {
            let why = format!(
                "it has {has} attributes, where {name} has {most}; those beyond are not read"
            );
            self.remark(at, kind, "attributes", None, why, help)?;
        } else if has < most - self.release.lacks(entity.kind) {
            let needed = most - self.release.lacks(entity.kind);
            let why = format!(
                "it has {has} attributes, where {name} has {needed}; those missing count as absent"
            );
            self.remark(at, kind, "attributes", None, why, help)?;
        }
        for (attribute, value) in entity.kind.info().attributes().zip(&entity.attributes) {
            if value.is_absent() {
                continue;
            }
            let (fits, needed) = match attribute.form {
                Form::Text => (value.text().is_some(), "a text"),
                Form::Word => (value.word().is_some(), "a word"),
                Form::Number => (value.number().is_some(), "a number"),
                Form::Numbers | Form::Rows(_) => (value.numbers().is_some(), "numbers"),
                Form::Entity(_) => (value.reference().is_some(), "a reference"),
                Form::Entities => {
                    let all = value.items().iter().all(|item| item.reference().is_some());
                    let is_list = matches!(value, Value::List(_)) && all;
                    (is_list || value.reference().is_some(), "references")
                }
                Form::Select | Form::Selects | Form::Derived | Form::Other => continue,
            };
            if !fits {
                let given = value.text().or(value.word()).map(str::to_owned);
                let given = given.or_else(|| value.number().map(|number| number.to_string()));
                let why = format!("it is not {needed}, and counts as absent");
                let help = "correct it in the program that made the model";
                self.remark(at, ProblemKind::ValueLost, attribute.name, given, why, help)?;
            }
        }
        Ok(())
    }

    /// The position of the entity that an attribute refers to, if it is one that a schedule needs.
    pub(super) fn one(
        &mut self,
        at: usize,
        entity: &Entity<'_>,
        attribute: &str,
    ) -> Result<Option<usize>, Stopped> {
        match entity.get(attribute).reference() {
            Some(number) => self.resolve(at, number),
            None => Ok(None),
        }
    }

    /// The positions of the entities that an attribute refers to.
    pub(super) fn all(
        &mut self,
        at: usize,
        entity: &Entity<'_>,
        attribute: &str,
    ) -> Result<Vec<usize>, Stopped> {
        let value = entity.get(attribute);
        let mut found = Vec::with_capacity(value.items().len());
        for number in value.reference().into_iter().chain(value.references()) {
            found.extend(self.resolve(at, number)?);
        }
        Ok(found)
    }

    fn resolve(&mut self, at: usize, number: u64) -> Result<Option<usize>, Stopped> {
        match self.model.find(number) {
            Found::At(at) => Ok(Some(at)),
            Found::Other => Ok(None),
            Found::Nothing => {
                if self.missing.insert(number) {
                    let name = self.model.name(number);
                    self.remark(
                        at,
                        ProblemKind::ValueLost,
                        "reference",
                        Some(name.clone()),
                        format!("it refers to {name}, which the file does not define"),
                        "save the model once more, or take the reference out",
                    )?;
                }
                Ok(None)
            }
        }
    }

    /// Says something of the entity at a position, with its name in the file and its GlobalId.
    pub(super) fn remark(
        &mut self,
        at: usize,
        kind: ProblemKind,
        what: &str,
        given: Option<String>,
        why: String,
        help: &str,
    ) -> Result<(), Stopped> {
        let subject = self.subject(at, what);
        let place = self.model.place(at);
        self.said.remark(Remark { kind, place, subject, given, why, help })
    }

    /// What messages call the entity at a position: `#77 IfcTendon 3Hq2… T01`, and one of its attributes.
    pub(super) fn subject(&self, at: usize, what: &str) -> String {
        let kind = self.model.kind(at);
        let mut subject = self.model.name(self.model.number(at));
        if !subject.is_empty() {
            subject.push(' ');
        }
        subject.push_str(kind.name());
        if kind.is_rooted()
            && let Ok(entity) = self.model.entity(at)
        {
            for attribute in ["GlobalId", "Name"] {
                if let Some(text) = entity.get(attribute).text().filter(|text| !text.is_empty()) {
                    subject.push(' ');
                    subject.push_str(&restrand_model::shortened(text, 60));
                }
            }
        }
        if !what.is_empty() {
            subject.push_str(", ");
            subject.push_str(what);
        }
        subject
    }

    /// The word that says what kind of element it is: that of its type, if that tells it; a conflict is said.
    pub(super) fn predefined(&mut self, at: usize, entity: &Entity<'_>) -> Result<String, Stopped> {
        let own = stated_type(entity);
        let of_type = match self.graph.types.get(&at).copied() {
            Some(type_) => self.entity(type_)?.map(|entity| stated_type(&entity)),
            None => None,
        };
        let Some(of_type) = of_type.filter(|word| word != kinds::NOTDEFINED) else {
            return Ok(own);
        };
        if own != kinds::NOTDEFINED && own != of_type {
            let why = format!(
                "its type says {of_type}, and it says {own} itself; that of the type holds"
            );
            let help = "state it at the type only (rule OJT001 of the public validation service)";
            let what = "PredefinedType";
            self.remark(at, ProblemKind::ValueDoubtful, what, Some(own), why, help)?;
        }
        Ok(of_type)
    }

    /// What the author calls the kind of an element: at the element, or else at its type.
    pub(super) fn object_type(
        &mut self,
        at: usize,
        entity: &Entity<'_>,
    ) -> Result<String, Stopped> {
        if let Some(own) = entity.get("ObjectType").text().filter(|text| !text.is_empty()) {
            return Ok(own.to_owned());
        }
        Ok(match self.graph.types.get(&at).copied() {
            Some(type_) => {
                let type_ = self.entity(type_)?;
                let word = type_.as_ref().and_then(|type_| type_.get("ElementType").text());
                word.unwrap_or_default().to_owned()
            }
            None => String::new(),
        })
    }

    /// The open map of a record, with the GlobalId by which the model knows it; one that is missing, no GlobalId
    /// or another's is said.
    pub(super) fn extra(&mut self, at: usize, entity: &Entity<'_>) -> Result<Fields, Stopped> {
        let mut extra = Fields::new();
        let id = entity.get("GlobalId").text().map(str::to_owned);
        let help = "let the program that made the model write one of its own for each";
        let kind = ProblemKind::ValueDoubtful;
        match id {
            None => {
                let why = "it has no GlobalId".to_owned();
                self.remark(at, kind, "GlobalId", None, why, help)?;
            }
            Some(id) => {
                if expanded(&id).is_none() {
                    let why = "it is no GlobalId, which has 22 letters, the first from 0 to 3";
                    let given = Some(id.clone());
                    self.remark(at, kind, "GlobalId", given, why.to_owned(), help)?;
                } else if !self.ids.insert(id.as_str().into()) {
                    let why = "another element has the same GlobalId".to_owned();
                    self.remark(at, kind, "GlobalId", Some(id.clone()), why, help)?;
                }
                extra.push(Name::Known(GLOBAL_ID), Stated::Text(id.into()));
            }
        }
        Ok(extra)
    }

    /// Hands over a record of a sheet of the layout that the entity at a position is; `links` name its owner.
    pub(super) fn hand_over(
        &mut self,
        sheet: &'static str,
        at: usize,
        links: Vec<Option<Box<str>>>,
        fields: Fields,
        carriers: Carriers,
    ) -> Result<(), Stopped> {
        let places = carriers.places(&self.ways, self.model);
        self.said.record(sheet, self.model.stand(at), links, fields, places)
    }

    /// Ends the reading.
    pub(super) fn finish(mut self) -> Result<(), LoadError> {
        self.say_unread()?;
        let tables = self.other_tables();
        Ok(self.said.say_understood(tables)?)
    }
}

/// The predefined type that an entity states, in upper case.
fn stated_type(entity: &Entity<'_>) -> String {
    let word = entity.get("PredefinedType").word().unwrap_or(kinds::NOTDEFINED);
    word.to_ascii_uppercase()
}

/// The name by which people call an element: its name, its tag, or its GlobalId.
pub(super) fn name_of(entity: &Entity<'_>) -> Option<String> {
    ["Name", "Tag", "GlobalId"]
        .iter()
        .find_map(|attribute| entity.get(attribute).text().map(str::trim))
        .filter(|name| !name.is_empty())
        .map(str::to_owned)
}
