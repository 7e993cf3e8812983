//! A reading as it goes on: the model, what is known of it, and what was said.

use std::collections::HashSet;
use std::sync::Arc;

use foldhash::fast::RandomState;
use restrand_kit::{Frames, LoadError, Stopped};
use restrand_model::reading::ProblemKind;
use restrand_model::value::Fields;

use super::ahead::SetsRead;
use super::carriers::{Carriers, Ways};
use super::entities::Entities;
use super::geometry::Axes;
use super::graph::Graph;
use super::inherited::Inherited;
use super::mapping::Mapping;
use super::model::Model;
use super::named::Named;
use super::others::Others;
use super::positions::{ByPosition, Positions};
use super::said::{Remark, Said};
use super::units::{BadUnit, Units};
use crate::terms::Kind;
use crate::value::Entity;

/// A reading of one model.
pub(super) struct Reader<'m, 'f> {
    pub(super) model: &'m dyn Model,
    pub(super) mapping: &'m Mapping,
    pub(super) units: Arc<Units>,
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
    /// What sets of the schedule's own state.
    pub(super) sets_read: SetsRead<'m>,
    /// Sets that were read.
    pub(super) read_sets: Positions,
    /// Sets of other programs.
    pub(super) others: Others,
    /// What their properties say by their names; nothing before one of them is met.
    pub(super) named: Option<Named>,
    /// Names of sets in the mapping file that the model has.
    pub(super) met_sets: HashSet<Box<str>>,
    /// Curves whose cant was looked at.
    pub(super) canted: HashSet<usize, RandomState>,
    /// GlobalIds that were met.
    pub(super) ids: HashSet<Box<str>>,
    entities: Entities<'m>,
}

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
            units: Arc::default(),
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
            sets_read: SetsRead::of(model, Arc::default()),
            read_sets: Positions::of(model.count()),
            others: Others::default(),
            named: None,
            met_sets: HashSet::new(),
            canted: HashSet::default(),
            ids: HashSet::new(),
            entities: Entities::often(model),
        };
        reader.schema()?;
        for problem in model.problems() {
            reader.said.problem(problem)?;
        }
        reader.graph = Graph::of(&mut reader)?;
        reader.read_units()?;
        reader.sets_read = SetsRead::of(model, Arc::clone(&reader.units));
        reader.read_frame()?;
        Ok(reader)
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
        for (kind, factor) in units.stated() {
            self.said.understood(format!("one {kind} of the model is {factor} of its SI unit"));
        }
        self.units = Arc::new(units);
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
        let entity = self.entities.entity(at);
        self.say_met()?;
        Ok(entity)
    }

    /// The position of the entity that an attribute refers to, if it is one that a schedule needs.
    pub(super) fn one(
        &mut self,
        at: usize,
        entity: &Entity<'_>,
        attribute: &str,
    ) -> Result<Option<usize>, Stopped> {
        let found = self.entities.one(at, entity, attribute);
        self.say_met()?;
        Ok(found)
    }

    /// The positions of the entities that an attribute refers to.
    pub(super) fn all(
        &mut self,
        at: usize,
        entity: &Entity<'_>,
        attribute: &str,
    ) -> Result<Vec<usize>, Stopped> {
        let found = self.entities.all(at, entity, attribute);
        self.say_met()?;
        Ok(found)
    }

    /// Says something of the entity at a position, with its name in the file and its GlobalId.
    pub(super) fn remark(
        &mut self,
        at: usize,
        kind: ProblemKind,
        what: &str,
        given: Option<String>,
        why: String,
        help: &'static str,
    ) -> Result<(), Stopped> {
        self.entities.remark(at, kind, what, given, why, help);
        self.say_met()
    }

    /// Says that a number has no unit in which it could be.
    pub(super) fn no_unit(
        &mut self,
        at: usize,
        what: &str,
        number: f64,
        measure: &'static crate::terms::measures::Measure,
    ) -> Result<(), Stopped> {
        self.entities.no_unit(at, what, number, measure);
        self.say_met()
    }

    /// Says what was met that is wrong.
    fn say_met(&mut self) -> Result<(), Stopped> {
        for remark in self.entities.remarks() {
            self.said.remark(remark)?;
        }
        Ok(())
    }

    /// Says what was met elsewhere that is wrong, unless it was said already.
    pub(super) fn say(&mut self, remarks: Vec<Remark>) -> Result<(), Stopped> {
        for remark in remarks {
            if self.entities.is_new(remark.once) {
                self.said.remark(remark)?;
            }
        }
        Ok(())
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
