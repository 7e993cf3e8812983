//! Entities as they are looked up, and what is wrong with each of them.

use std::collections::HashSet;

use restrand_model::reading::ProblemKind;

use super::model::{Found, Model};
use super::positions::Positions;
use super::said::Remark;
use crate::terms::measures::Measure;
use crate::terms::{Form, Release};
use crate::value::{Entity, Value};

/// What is said once, however often it is met.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) enum Once {
    /// The entity at a position cannot be read.
    Unreadable(usize),
    /// It has more or fewer attributes than it should.
    Count(usize),
    /// One of its attributes is not what it should be.
    Attribute(usize, &'static str),
    /// Nothing stands behind a number.
    Missing(u64),
}

/// The entities of a model, with what was met that is wrong with them and was not said yet.
pub(super) struct Entities<'m> {
    pub(super) model: &'m dyn Model,
    /// The release of IFC that the file is of.
    release: Release,
    /// Those whose attributes were looked at; nothing where they are looked at each time.
    looked_at: Option<Positions>,
    /// What was met of that which is said once.
    met: HashSet<Once>,
    remarks: Vec<Remark>,
    /// Remarks beyond those that are kept.
    more: usize,
}

/// Remarks that are kept before they are said.
const MOST: usize = 100_000;

impl<'m> Entities<'m> {
    /// Those of a model, of which many are looked up again and again.
    pub(super) fn often(model: &'m dyn Model) -> Self {
        Self { looked_at: Some(Positions::of(model.count())), ..Self::seldom(model) }
    }

    /// Those of a model, of which most are looked up once.
    pub(super) fn seldom(model: &'m dyn Model) -> Self {
        Self {
            model,
            release: Release::of_schema(model.schema()),
            looked_at: None,
            met: HashSet::new(),
            remarks: Vec::new(),
            more: 0,
        }
    }

    /// What was met and not said yet.
    pub(super) fn remarks(&mut self) -> Vec<Remark> {
        let more = std::mem::take(&mut self.more);
        if let Some(last) = self.remarks.last_mut().filter(|_| more > 0) {
            last.why = format!("{}; {more} more remarks on the same set are left out", last.why);
        }
        std::mem::take(&mut self.remarks)
    }

    /// The same, where what follows has nothing to do with what was before.
    pub(super) fn all_remarks(&mut self) -> Vec<Remark> {
        self.met.clear();
        self.remarks()
    }

    /// Whether something is to be said: once, if it is of that kind.
    pub(super) fn is_new(&mut self, once: Option<Once>) -> bool {
        once.is_none_or(|once| self.met.insert(once))
    }

    /// The entity at a position, if it can be read.
    pub(super) fn entity(&mut self, at: usize) -> Option<Entity<'m>> {
        match self.model.entity(at) {
            Ok(entity) => {
                if self.looked_at.as_mut().is_none_or(|looked_at| looked_at.insert(at)) {
                    self.look_at(at, &entity);
                }
                Some(entity)
            }
            Err(why) => {
                let help = "correct it, or save the model once more; nothing of it is read";
                self.remark_once(Once::Unreadable(at), at, None, why, help);
                None
            }
        }
    }

    /// Notes what is wrong with the number of attributes, and of which kind they are.
    fn look_at(&mut self, at: usize, entity: &Entity<'_>) {
        let (has, most) = (entity.attributes.len(), entity.kind.info().len());
        let name = entity.kind.name();
        let help = "check that the schema the file states is the one it is written in";
        if has > most {
            let why = format!(
                "it has {has} attributes, where {name} has {most}; those beyond are not read"
            );
            self.remark_once(Once::Count(at), at, None, why, help);
        } else if has < most - self.release.lacks(entity.kind) {
            let needed = most - self.release.lacks(entity.kind);
            let why = format!(
                "it has {has} attributes, where {name} has {needed}; those missing count as absent"
            );
            self.remark_once(Once::Count(at), at, None, why, help);
        }
        for (attribute, value) in entity.kind.info().attributes().zip(&entity.attributes) {
            let Some(needed) = misfit(attribute.form, value) else { continue };
            let given = value.text().or(value.word()).map(str::to_owned);
            let given = given.or_else(|| value.number().map(|number| number.to_string()));
            let why = format!("it is not {needed}, and counts as absent");
            let help = "correct it in the program that made the model";
            self.remark_once(Once::Attribute(at, attribute.name), at, given, why, help);
        }
    }

    /// The position of the entity that an attribute refers to, if it is one that a schedule needs.
    pub(super) fn one(&mut self, at: usize, entity: &Entity<'_>, attribute: &str) -> Option<usize> {
        let number = entity.get(attribute).reference()?;
        self.resolve(at, number)
    }

    /// The positions of the entities that an attribute refers to.
    pub(super) fn all(&mut self, at: usize, entity: &Entity<'_>, attribute: &str) -> Vec<usize> {
        let value = entity.get(attribute);
        let mut found = Vec::with_capacity(value.items().len());
        for number in value.reference().into_iter().chain(value.references()) {
            found.extend(self.resolve(at, number));
        }
        found
    }

    /// The same of an attribute that refers to nothing but what is read: what else stands there is noted.
    pub(super) fn all_read(
        &mut self,
        at: usize,
        entity: &Entity<'_>,
        attribute: &'static str,
    ) -> Vec<usize> {
        for number in entity.get(attribute).references() {
            if self.model.find(number) == Found::Other {
                let name = self.model.name(number);
                let why = format!("it refers to {name}, which is of no kind that is read there");
                let help = "correct it in the program that made the model; nothing of it is read";
                self.remark(at, ProblemKind::ValueLost, attribute, Some(name), why, help);
            }
        }
        self.all(at, entity, attribute)
    }

    fn resolve(&mut self, at: usize, number: u64) -> Option<usize> {
        match self.model.find(number) {
            Found::At(at) => Some(at),
            Found::Other => None,
            Found::Nothing => {
                let name = self.model.name(number);
                let why = format!("it refers to {name}, which the file does not define");
                let help = "save the model once more, or take the reference out";
                self.remark_once(Once::Missing(number), at, Some(name), why, help);
                None
            }
        }
    }

    /// Notes something of the entity at a position, with its name in the file and its GlobalId.
    pub(super) fn remark(
        &mut self,
        at: usize,
        kind: ProblemKind,
        what: &str,
        given: Option<String>,
        why: String,
        help: &'static str,
    ) {
        self.keep(None, at, kind, what, (given, why, help));
    }

    fn remark_once(
        &mut self,
        once: Once,
        at: usize,
        given: Option<String>,
        why: String,
        help: &'static str,
    ) {
        if !self.is_new(Some(once)) {
            return;
        }
        let (kind, what) = match once {
            Once::Unreadable(_) => (ProblemKind::RecordLost, ""),
            Once::Count(_) => (ProblemKind::ValueDoubtful, "attributes"),
            Once::Attribute(_, name) => (ProblemKind::ValueLost, name),
            Once::Missing(_) => (ProblemKind::ValueLost, "reference"),
        };
        self.keep(Some(once), at, kind, what, (given, why, help));
    }

    fn keep(
        &mut self,
        once: Option<Once>,
        at: usize,
        kind: ProblemKind,
        what: &str,
        (given, why, help): (Option<String>, String, &'static str),
    ) {
        if self.remarks.len() >= MOST {
            self.more += 1;
            return;
        }
        let subject = self.subject(at, what);
        let place = self.model.place(at);
        self.remarks.push(Remark { kind, place, subject, given, why, help, once });
    }

    /// Notes that the project states no unit in which a number could be.
    pub(super) fn no_unit(
        &mut self,
        at: usize,
        what: &str,
        number: f64,
        measure: &'static Measure,
    ) {
        let why = format!(
            "it is {}, and the project states no unit of the kind {}",
            measure.dimension, measure.unit
        );
        let help = "state the unit at the project's units; it is not guessed";
        self.remark(at, ProblemKind::ValueLost, what, Some(number.to_string()), why, help);
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
}

/// What a value of an attribute should be and is not; nothing if it fits, or is absent.
fn misfit(form: Form, value: &Value<'_>) -> Option<&'static str> {
    if value.is_absent() {
        return None;
    }
    let (fits, needed) = match form {
        Form::Text => (value.text().is_some(), "a text"),
        Form::Word => (value.word().is_some(), "a word"),
        Form::Number => (value.number().is_some(), "a number"),
        Form::Numbers | Form::Rows(_) => (value.is_numbers(), "numbers"),
        Form::Entity(_) | Form::Point => (value.reference().is_some(), "a reference"),
        Form::Entities => {
            let all = value.items().iter().all(|item| item.reference().is_some());
            let is_list = matches!(value, Value::List(_)) && all;
            (is_list || value.reference().is_some(), "references")
        }
        Form::Select | Form::Selects | Form::Derived | Form::Other => return None,
    };
    (!fits).then_some(needed)
}
