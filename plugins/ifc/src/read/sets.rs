//! The property sets of an object, and what they state of records.

use std::collections::{BTreeMap, HashMap};

use restrand_kit::Stopped;
use restrand_model::reading::{Place, ProblemKind};
use restrand_model::reflect::RecordInfo;
use restrand_model::value::{Fields, Name, Value as Stated};

use super::carriers::Carriers;
use super::inherited::Inherited;
use super::mapping::Target;
use super::properties::scalar;
use super::reader::Reader;
use super::said::Remark;
use super::set_reader::Set;
use crate::terms::Kind;
use crate::terms::sets::record_of;
use crate::value::Entity;

/// What the sets of one object state, by record.
#[derive(Debug, Default)]
pub(super) struct Sets {
    stated: Vec<(&'static RecordInfo, Fields, Carriers)>,
    /// The records that sets of the schedule's own state.
    own: Vec<&'static str>,
}

impl Sets {
    /// Whether a set of the schedule's own states a record of this type.
    pub(super) fn has_own(&self, record: &'static RecordInfo) -> bool {
        self.own.contains(&record.name)
    }

    /// What they state of a record of this type, and what states it.
    pub(super) fn take(&mut self, record: &'static RecordInfo) -> (Fields, Carriers) {
        match self.stated.iter().position(|(info, ..)| info.name == record.name) {
            Some(position) => {
                let (_, fields, carriers) = self.stated.swap_remove(position);
                (fields, carriers)
            }
            None => (Fields::new(), Carriers::default()),
        }
    }

    /// What they state of records of some types.
    pub(super) fn take_where(&mut self, is_meant: impl Fn(&RecordInfo) -> bool) -> Inherited {
        let (meant, others) = std::mem::take(&mut self.stated)
            .into_iter()
            .partition(|(record, fields, _)| is_meant(record) && !fields.is_empty());
        self.stated = others;
        meant
    }

    /// What they state of a record of this type, to add to it.
    pub(super) fn of(&mut self, record: &'static RecordInfo) -> (&mut Fields, &mut Carriers) {
        let position = match self.stated.iter().position(|(info, ..)| info.name == record.name) {
            Some(position) => position,
            None => {
                self.stated.push((record, Fields::new(), Carriers::default()));
                self.stated.len() - 1
            }
        };
        let (_, fields, carriers) = &mut self.stated[position];
        (fields, carriers)
    }
}

impl Reader<'_, '_> {
    /// What the sets of an object state, or those of its type where they do not.
    pub(super) fn sets(&mut self, at: usize) -> Result<Sets, Stopped> {
        let mut sets = Sets::default();
        let own = self.graph.sets.get(&at).cloned().unwrap_or_default();
        for set in own {
            if matches!(self.model.kind(set), Kind::PropertySet) {
                self.set(at, set, &mut sets)?;
            }
        }
        self.inherit(at, &mut sets);
        Ok(sets)
    }

    /// Says what sets state at an element that is none of which it could be said.
    pub(super) fn leave(&mut self, at: usize, sets: Sets) -> Result<(), Stopped> {
        for (record, fields, _) in
            sets.stated.into_iter().filter(|(_, fields, _)| !fields.is_empty())
        {
            let names: Vec<&str> = fields.iter().map(|(name, _)| name.as_str()).collect();
            let why =
                "a set states it at an element of which it cannot be said; nothing of it is read";
            let help = "let the set stand at the element that it speaks of, as a removal space at its anchor";
            let given = Some(names.join(", "));
            self.remark(at, ProblemKind::ValueLost, record.name, given, why.to_owned(), help)?;
        }
        Ok(())
    }

    /// Says which sets of a schedule stand where nobody looked for them, and which of the mapping file do not stand
    /// in the model.
    pub(super) fn say_unread(&mut self) -> Result<(), Stopped> {
        let mut unread: BTreeMap<String, (usize, usize)> = BTreeMap::new();
        for at in 0..self.model.count() {
            if self.model.kind(at) != Kind::PropertySet || self.read_sets.contains(at) {
                continue;
            }
            let Some(entity) = self.entity(at)? else { continue };
            let name = entity.get("Name").text().unwrap_or_default();
            if record_of(name).is_some() || self.mapping.of_set(name).is_some() {
                self.met_sets.insert(name.into());
                unread.entry(name.to_owned()).or_insert((at, 0)).1 += 1;
            }
        }
        for (name, (at, count)) in unread {
            let why = format!(
                "{count} sets of this name stand at nothing of which they could speak; nothing of them is read"
            );
            let help = "let the set stand at the element that it speaks of, as a removal space at its anchor";
            self.remark(at, ProblemKind::ValueLost, "set", Some(name), why, help)?;
        }
        let mapping = self.mapping;
        let missing: Vec<&str> =
            mapping.sets().into_iter().filter(|set| !self.met_sets.contains(*set)).collect();
        if !missing.is_empty() {
            self.said.remark(Remark {
                kind: ProblemKind::ValueDoubtful,
                place: Place::Part { part: self.model.part().to_owned() },
                subject: "mapping file".to_owned(),
                given: Some(missing.join(", ")),
                why: "the model has no set of this name".to_owned(),
                help: "write the names of sets as the model has them, letter by letter",
                once: None,
            })?;
        }
        Ok(())
    }

    fn set(&mut self, owner: usize, at: usize, sets: &mut Sets) -> Result<(), Stopped> {
        let (set, remarks) = self.sets_read.take(at, &mut self.ways);
        self.say(remarks)?;
        if !matches!(set, Set::Unreadable) {
            self.read_sets.insert(at);
        }
        match set {
            Set::Own { record, fields, carriers } => {
                sets.own.push(record.name);
                let (known, own) = sets.of(record);
                for (name, value) in fields {
                    known.push(name, value);
                }
                own.take(carriers);
                Ok(())
            }
            Set::Other(entity) => {
                self.note_other(owner, at, &entity)?;
                let name = entity.get("Name").text().unwrap_or_default();
                let mapping = self.mapping;
                let Some(properties) = mapping.of_set(name) else { return Ok(()) };
                self.met_sets.insert(name.into());
                self.mapped(at, &entity, properties, sets)
            }
            Set::Unreadable => Ok(()),
        }
    }

    /// What a set of another program states, as the mapping file says.
    fn mapped(
        &mut self,
        at: usize,
        set: &Entity<'_>,
        properties: &HashMap<String, Target>,
        sets: &mut Sets,
    ) -> Result<(), Stopped> {
        for property in self.all(at, set, "HasProperties")? {
            let Some(entity) = self.entity(property)? else { continue };
            let name = entity.get("Name").text().unwrap_or_default();
            let Some(target) = properties.get(name) else { continue };
            for (record, known) in &target.fields {
                let field = known.field;
                let word = scalar(&entity).and_then(|value| value.text().map(str::to_owned));
                let meant = word.as_deref().and_then(|word| {
                    target.words.iter().find(|(known, _)| known.eq_ignore_ascii_case(word))
                });
                let value = match (meant, target.words.is_empty()) {
                    (Some((_, value)), _) => Some(value.clone()),
                    (None, true) => {
                        let (value, remarks) = self.sets_read.value(property, &entity, known);
                        self.say(remarks)?;
                        value
                    }
                    (None, false) => {
                        let why = "the mapping file does not say what this word means".to_owned();
                        let help = "add it under \"words\" of the property in the mapping file";
                        let what = format!("{}.{}", record.name, field.name);
                        self.remark(property, ProblemKind::ValueLost, &what, word, why, help)?;
                        None
                    }
                };
                let value = match value {
                    Some(Stated::Number(number)) => Some(Stated::Number(number * target.times)),
                    value => value,
                };
                if let Some(value) = value {
                    let (known, carriers) = sets.of(record);
                    known.push(Name::Known(field.name), value);
                    carriers.note(&mut self.ways, &[field.name], property);
                }
            }
        }
        Ok(())
    }
}
