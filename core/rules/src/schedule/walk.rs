//! Goes over every record of the schedule once, in the order of the document.

use restrand_model::Record;
use restrand_model::reflect::{List, RecordInfo, Shape, View};
use restrand_model::route::{Route, Step};
use restrand_model::schedule::{Schedule, Tendon};

/// A record on the way.
pub(super) struct At<'a, 'w> {
    /// The record.
    pub(super) record: &'a dyn Record,
    /// The tendon that it is, or that holds it.
    pub(super) tendon: Option<&'a Tendon>,
    /// The way to it.
    pub(super) steps: &'w [Step],
    /// The position of its record type among those that are met: the same for all records of a type.
    pub(super) kind: usize,
    plan: &'w Plan,
}

/// A list of records in a record.
pub(super) struct ListAt<'a> {
    /// The name of the field.
    pub(super) name: &'static str,
    /// The type of its records.
    pub(super) info: &'static RecordInfo,
    /// The list.
    pub(super) list: &'a dyn List,
}

/// A reference to a record of one of the schedule's lists.
pub(super) struct Reference<'a> {
    /// The name of the field.
    pub(super) field: &'static str,
    /// The position in the field, if it holds several.
    pub(super) item: Option<usize>,
    /// The schedule's list.
    pub(super) list: &'static str,
    /// The name that is meant.
    pub(super) key: &'a str,
}

/// What of a record type leads on: most fields hold a plain value, and are not looked at.
struct Plan {
    info: &'static RecordInfo,
    children: Vec<Child>,
    links: Vec<(usize, &'static str)>,
}

struct Child {
    field: usize,
    plan: usize,
}

impl<'a> At<'a, '_> {
    /// The route to the record.
    pub(super) fn route(&self) -> Route {
        self.steps.iter().fold(Route::root(), |route, step| match step {
            Step::Field(name) => route.field(name),
            Step::Item(index) => route.item(*index),
        })
    }

    /// The lists of records in it.
    pub(super) fn lists(&self) -> impl Iterator<Item = ListAt<'a>> {
        let record = self.record;
        self.plan.children.iter().filter_map(move |child| {
            let field = &record.info().fields[child.field];
            let (Shape::Records(info), View::List(list)) =
                (field.shape, record.field(child.field).view())
            else {
                return None;
            };
            Some(ListAt { name: field.name, info: info(), list })
        })
    }

    /// The references in it, not those of the records in it.
    pub(super) fn references(&self) -> impl Iterator<Item = Reference<'a>> {
        let record = self.record;
        self.plan.links.iter().flat_map(move |(index, list)| {
            let (field, list) = (record.info().fields[*index].name, *list);
            let view = record.field(*index).view();
            let count = match view {
                View::Text(_) => 1,
                View::List(keys) => keys.len(),
                _ => 0,
            };
            (0..count).filter_map(move |item| match view {
                View::Text(key) => Some(Reference { field, item: None, list, key }),
                View::List(keys) => match keys.item(item) {
                    View::Text(key) => Some(Reference { field, item: Some(item), list, key }),
                    _ => None,
                },
                _ => None,
            })
        })
    }
}

/// Visits the schedule itself and every record in it.
pub(super) fn walk<'a>(schedule: &'a Schedule, visit: &mut dyn FnMut(&At<'a, '_>)) {
    let mut plans = Vec::new();
    plan(Schedule::INFO, &mut plans);
    let walk = Walk { schedule, plans };
    walk.record(schedule, 0, None, &mut Vec::new(), visit);
}

fn plan(info: &'static RecordInfo, plans: &mut Vec<Plan>) -> usize {
    if let Some(known) = plans.iter().position(|plan| std::ptr::eq(plan.info, info)) {
        return known;
    }
    let position = plans.len();
    plans.push(Plan { info, children: Vec::new(), links: Vec::new() });
    for (field, declared) in info.fields.iter().enumerate() {
        match declared.shape {
            Shape::Record(inner) | Shape::Records(inner) => {
                let plan = plan(inner(), plans);
                plans[position].children.push(Child { field, plan });
            }
            Shape::Link(list) | Shape::Links(list) => plans[position].links.push((field, list)),
            _ => {}
        }
    }
    position
}

struct Walk<'a> {
    schedule: &'a Schedule,
    plans: Vec<Plan>,
}

impl<'a> Walk<'a> {
    fn record(
        &self,
        record: &'a dyn Record,
        kind: usize,
        tendon: Option<&'a Tendon>,
        steps: &mut Vec<Step>,
        visit: &mut dyn FnMut(&At<'a, '_>),
    ) {
        let plan = &self.plans[kind];
        visit(&At { record, tendon, steps, kind, plan });
        for child in &plan.children {
            let name = record.info().fields[child.field].name;
            match record.field(child.field).view() {
                View::Record(inner) => {
                    steps.push(Step::Field(name));
                    self.record(inner, child.plan, tendon, steps, visit);
                    steps.pop();
                }
                View::List(list) => {
                    let of_tendons = steps.is_empty() && name == "tendons";
                    steps.push(Step::Field(name));
                    for index in 0..list.len() {
                        if let View::Record(inner) = list.item(index) {
                            let tendon =
                                if of_tendons { self.schedule.tendons.get(index) } else { tendon };
                            steps.push(Step::Item(index));
                            self.record(inner, child.plan, tendon, steps, visit);
                            steps.pop();
                        }
                    }
                    steps.pop();
                }
                _ => {}
            }
        }
    }
}

/// How people call a record: `end a of tendon T11L`.
pub(super) fn call(schedule: &Schedule, steps: &[Step]) -> String {
    let mut names: Vec<String> = Vec::new();
    let mut view = View::Record(schedule);
    let mut last = "";
    for step in steps {
        view = match (step, view) {
            (Step::Field(name), View::Record(record)) => {
                last = name;
                record.get(name)
            }
            (Step::Item(index), View::List(list)) if *index < list.len() => list.item(*index),
            _ => return String::new(),
        };
        let View::Record(record) = view else {
            continue;
        };
        let info = record.info();
        // What only holds two others by name, as the two ends, has no name that helps.
        if info.fields.iter().all(|field| matches!(field.shape, Shape::Record(_))) {
            continue;
        }
        let words = info.name.replace('_', " ");
        names.push(match step {
            Step::Item(index) => match record.key() {
                Some(key) => format!("{words} {key}"),
                None => format!("{words} #{}", index + 1),
            },
            Step::Field(_) if last == info.name => words,
            Step::Field(_) => format!("{words} {last}"),
        });
    }
    names.reverse();
    names.join(" of ")
}
