//! From a schedule to the entities of a model; a format has but to print them.
//!
//! The model holds each record as the element that it is, its fields as properties ([`crate::terms::sets`]), and, where a
//! layout came with the schedule, its axes, swept bodies and the room kept clear at ends. All of it is in SI; a
//! property whose field is in another unit than the project's states its own, so that its number is the schedule's.
//!
//! This module must not know how a file writes entities.

mod bridge;
mod ids;
mod model;
mod relations;
mod sets;
mod shape;
mod tendon;
mod types;
mod units;

use std::collections::HashMap;

use restrand_kit::layout::{Body, Course, Frame, Layout, Unlaid};
use restrand_kit::{Content, Loss};
use restrand_model::Record;
use restrand_model::ifc::stated;
use restrand_model::reading::{Origin, Provenance};
use restrand_model::route::{Names, Route};
use restrand_model::schedule::Schedule;

pub use model::Model;

use bridge::{PlaceAs, Structure};
use ids::Given;
use relations::Relations;
use shape::Contexts;
use units::Units;

/// What goes at the head of a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Head {
    /// What the model is called.
    pub name: String,
    /// The day of the schedule's revision, or the first of 1970: the clock does not show in a model.
    pub time: String,
    /// Who wrote the schedule; may be empty.
    pub author: String,
    /// Who owns the bridge; may be empty.
    pub organization: String,
}

/// The model of a schedule, what goes at its head, and what it cannot carry.
#[must_use]
pub fn model(content: &Content<'_>) -> (Model, Head, Vec<Loss>) {
    let schedule = content.schedule;
    let project = schedule.project.as_deref();
    let nothing = Layout::default();
    let layout = content.layout.unwrap_or(&nothing);
    let mut writer = Writer {
        model: Model::default(),
        ids: Given::of(schedule),
        names: Names::of(schedule),
        units: Units::default(),
        contexts: Contexts::default(),
        schedule,
        structure: Structure::default(),
        courses: layout.courses.iter().map(|course| (&course.route, course)).collect(),
        seats: layout.seats.iter().map(|seat| (&seat.route, seat.frame)).collect(),
        bodies: HashMap::new(),
        relations: Relations::default(),
        types: HashMap::new(),
        places: HashMap::new(),
        provenance: content.provenance,
        source: None,
        unread: 0,
        losses: Vec::new(),
    };
    for body in &layout.bodies {
        writer.bodies.entry(&body.route).or_default().push(body);
    }
    writer.bridge();
    writer.kinds();
    writer.places();
    writer.tendons();
    writer.relate();
    writer.say_losses(content, layout);
    let said = |text: Option<&str>| text.unwrap_or("").to_owned();
    let date = project.and_then(|project| project.date);
    let head = Head {
        name: said(project.and_then(|project| project.drawing.as_deref())),
        time: format!("{}T00:00:00", date.unwrap_or(restrand_model::reflect::Date::EPOCH)),
        author: said(project.and_then(|project| project.designer.as_deref())),
        organization: said(project.and_then(|project| project.owner.as_deref())),
    };
    (writer.model, head, writer.losses)
}

/// A model on its way.
struct Writer<'a> {
    model: Model,
    ids: Given,
    names: Names,
    units: Units,
    contexts: Contexts,
    schedule: &'a Schedule,
    structure: Structure,
    /// What was laid out, by route.
    courses: HashMap<&'a Route, &'a Course>,
    seats: HashMap<&'a Route, Frame>,
    bodies: HashMap<&'a Route, Vec<&'a Body>>,
    relations: Relations,
    /// The types of kinds, by list and key.
    types: HashMap<(&'static str, String), u64>,
    /// The elements of places, by key.
    places: HashMap<String, PlaceAs>,
    /// Where everything stood in the file that was read.
    provenance: &'a Provenance,
    /// Where the record that is written stood there: the nearest one around it that has a place, and the way.
    source: Option<(Origin, Vec<String>)>,
    /// Texts of values that could not be read, and stand in the model as they were given.
    unread: usize,
    losses: Vec<Loss>,
}

impl Writer<'_> {
    /// A route as people read it, which is also the name from which the id of a record follows.
    fn show(&self, route: &Route) -> String {
        self.names.show(route, self.schedule)
    }

    /// The id of a record that is an element.
    fn id_of(&mut self, record: &dyn Record, name: &str) -> String {
        let id = self.ids.of_record(record, name);
        if let Some(other) = stated(record).filter(|stated| *stated != id) {
            self.lose(name, other, "another element of the model has this GlobalId already");
        }
        id
    }

    /// Says what the model lacks: texts as they were typed, and what could not be laid out.
    fn say_losses(&mut self, content: &Content<'_>, layout: &Layout) {
        let texts = content.provenance.texts().into_iter().map(|(.., text)| text);
        let said = content.provenance.texts_of_documents().into_iter().map(|(.., text)| text);
        let count = texts.chain(said).count().saturating_sub(self.unread);
        if count > 0 {
            let value = format!("{count} texts");
            self.lose(
                "schedule",
                &value,
                "values are kept, but not the texts by which they were typed",
            );
        }
        for Unlaid { route, what, field } in &layout.unlaid {
            let route = self.show(route);
            let why = format!("it does not follow without {field}, so the model does not show it");
            self.losses.push(Loss { route, value: what.clone(), why });
        }
    }
}
