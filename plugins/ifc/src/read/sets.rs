//! The property sets of an object, and what they state of records.

use std::collections::{BTreeMap, HashMap};

use restrand_kit::Stopped;
use restrand_kit::recognise::{stated_in_text, word_of};
use restrand_model::reading::{Place, ProblemKind};
use restrand_model::reflect::{RecordInfo, Shape};
use restrand_model::value::{Fields, Name, Value as Stated};

use super::attributes::alike;
use super::carriers::Carriers;
use super::inherited::Inherited;
use super::mapping::Target;
use super::properties::scalar;
use super::reader::Reader;
use super::said::Remark;
use super::set_reader::Set;
use super::units::tidy;
use crate::terms::Kind;
use crate::terms::measures::Measure;
use crate::terms::sets::{Property, record_of};
use crate::value::{Entity, Value};

/// What the sets of one object state, by record.
#[derive(Debug, Default)]
pub(super) struct Sets {
    stated: Vec<(&'static RecordInfo, Fields, Carriers)>,
    /// The records that sets of the schedule's own state.
    own: Vec<&'static str>,
}

/// How what a set of another program states ranks with what is stated already.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Rank {
    /// It holds, as the mapping file says what it is.
    Holds,
    /// What is stated already holds, and a difference is said.
    Yields,
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

impl<'m> Reader<'m, '_> {
    /// What the sets of an object state, or those of its type where they do not.
    pub(super) fn sets(&mut self, at: usize) -> Result<Sets, Stopped> {
        let mut sets = Sets::default();
        let own = self.graph.sets.get(&at).cloned().unwrap_or_default();
        let mut others = Vec::new();
        for set in own {
            if matches!(self.model.kind(set), Kind::PropertySet) {
                others.extend(self.set(at, set, &mut sets)?);
            }
        }
        if self.model.kind(at) == Kind::Tendon
            && let Some(entity) = self.entity(at)?
        {
            self.own_attributes(at, &entity, &mut sets)?;
        }
        // What a schedule, a mapping file or the standard says goes before what is told by names alone.
        if matches!(self.model.kind(at), Kind::Tendon | Kind::TendonType) {
            for set in others {
                let name = set.get("Name").text().unwrap_or_default();
                if let Some(properties) = self.named_of(name)? {
                    self.of_others(at, &set, (&properties, Rank::Yields), &mut sets)?;
                }
            }
        }
        self.inherit(at, &mut sets);
        self.of_assembly(at, &mut sets)?;
        Ok(sets)
    }

    /// What the sets of an assembly with one tendon state of that, where nothing nearer does.
    fn of_assembly(&mut self, tendon: usize, sets: &mut Sets) -> Result<(), Stopped> {
        let Some(assembly) = self.graph.assembly_of(self.model, tendon) else { return Ok(()) };
        let mapping = self.mapping;
        for set in self.graph.sets.get(&assembly).cloned().unwrap_or_default() {
            let Some(entity) = self.entity(set)? else { continue };
            let name = entity.get("Name").text().unwrap_or_default();
            if self.model.kind(set) != Kind::PropertySet || record_of(name).is_some() {
                continue;
            }
            self.read_sets.insert(set);
            self.note_other(assembly, set, &entity)?;
            if let Some(properties) = mapping.of_set(name) {
                self.met_sets.insert(name.into());
                self.of_others(tendon, &entity, (properties, Rank::Yields), sets)?;
            }
            if let Some(properties) = self.named_of(name)? {
                self.of_others(tendon, &entity, (&properties, Rank::Yields), sets)?;
            }
        }
        Ok(())
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
        let missing = mapping.missing(|set| self.met_sets.contains(set));
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

    /// Reads a set; one of another program comes back.
    fn set(
        &mut self,
        owner: usize,
        at: usize,
        sets: &mut Sets,
    ) -> Result<Option<Entity<'m>>, Stopped> {
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
                Ok(None)
            }
            Set::Other(entity) => {
                self.note_other(owner, at, &entity)?;
                let name = entity.get("Name").text().unwrap_or_default();
                let mapping = self.mapping;
                if let Some(properties) = mapping.of_set(name) {
                    self.met_sets.insert(name.into());
                    self.of_others(at, &entity, (properties, Rank::Holds), sets)?;
                }
                Ok(Some(entity))
            }
            Set::Unreadable => Ok(None),
        }
    }

    /// What a set of another program states by these targets of its properties.
    fn of_others(
        &mut self,
        at: usize,
        set: &Entity<'_>,
        (properties, rank): (&HashMap<String, Target>, Rank),
        sets: &mut Sets,
    ) -> Result<(), Stopped> {
        for property in self.all(at, set, "HasProperties")? {
            let Some(entity) = self.entity(property)? else { continue };
            let name = entity.get("Name").text().unwrap_or_default();
            let Some(target) = properties.get(name) else { continue };
            for (record, known) in &target.fields {
                let field = known.field;
                let Some(value) = self.meant(property, &entity, target, (*record, *known))? else {
                    continue;
                };
                let (fields, carriers) = sets.of(record);
                match fields.get(field.name).filter(|_| rank == Rank::Yields) {
                    None => {
                        fields.push(Name::Known(field.name), value);
                        carriers.note(&mut self.ways, &[field.name], property);
                    }
                    Some(before) if !is_same(before, &value) => {
                        let why = format!(
                            "by its name it states {}.{}, of which something else is stated beside it; that holds",
                            record.name, field.name
                        );
                        let help =
                            "correct the one that is wrong, or say in a mapping file what it is";
                        let given = scalar(&entity).and_then(Value::number);
                        let given = given.map(|number| number.to_string());
                        self.remark(property, ProblemKind::ValueDoubtful, name, given, why, help)?;
                    }
                    Some(_) => {}
                }
            }
        }
        Ok(())
    }

    /// What a property means for a field that it states.
    fn meant(
        &mut self,
        at: usize,
        property: &Entity<'_>,
        target: &Target,
        (record, known): (&'static RecordInfo, &'static Property),
    ) -> Result<Option<Stated>, Stopped> {
        let field = known.field;
        let value = scalar(property);
        let word = value.and_then(|value| value.text().map(str::to_owned));
        let stated = word.as_deref().and_then(|word| {
            target.words.iter().find(|(known, _)| known.eq_ignore_ascii_case(word))
        });
        if let Some((_, meaning)) = stated {
            return Ok(Some(meaning.clone()));
        }
        if !target.words.is_empty() {
            let why = "the mapping file does not say what this word means".to_owned();
            let help = "add it under \"words\" of the property in the mapping file";
            let what = format!("{}.{}", record.name, field.name);
            self.remark(at, ProblemKind::ValueLost, &what, word, why, help)?;
            return Ok(None);
        }
        if let Some(word) = word.as_deref().and_then(|word| word_of(record, field.name, word)) {
            return Ok(Some(Stated::from(word)));
        }
        let name = property.get("Name").text().unwrap_or_default();
        let is_bare = |value: &&Value<'_>| match value {
            Value::Typed(type_, _) => Measure::of_type(type_).is_none(),
            _ => true,
        };
        let bare = value.filter(is_bare).and_then(Value::number);
        let unit = target.unit_of(name, field);
        // Programs that state everything as texts state numbers so too.
        if let (Shape::Number | Shape::Count, Some(text)) = (field.shape, word.as_deref())
            && bare.is_none()
            && let Some(Stated::Number(number)) = stated_in_text(text, field, unit)
        {
            return Ok(Some(Stated::Number(tidy(number) * target.times)));
        }
        let value = match (bare, known.measured, unit) {
            (Some(number), Some((needed, _)), Some(unit)) => {
                Some(Stated::Number(tidy(unit.convert(number, needed))))
            }
            _ => {
                let (value, remarks) = self.sets_read.value(at, property, known);
                self.say(remarks)?;
                value
            }
        };
        Ok(match value {
            Some(Stated::Number(number)) => Some(Stated::Number(number * target.times)),
            value => value,
        })
    }
}

/// Whether two values say the same.
fn is_same(one: &Stated, other: &Stated) -> bool {
    match (one, other) {
        (Stated::Number(one), Stated::Number(other)) => alike(*one, *other),
        (one, other) => one == other,
    }
}
