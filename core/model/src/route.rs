//! Routes: the way from the schedule to a value, by field names and positions.
//!
//! A route is shown with the names of records, as `tendons[T3L].ends.a.removal_space.behind_mm`, and by
//! position, as `tendons[#3]`, where a record has no name or shares it with another.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;

use smallvec::{SmallVec, smallvec};

use crate::reading::Origin;
use crate::reflect::{EXTRA, FieldInfo, Misfit, Node, Record, RecordInfo, Shape, View};
use crate::schedule::Schedule;
use crate::value::Value;

/// Steps of the longest route to a field of a part: they stand in the route itself, as rules make routes by the
/// hundred thousand.
const INLINE: usize = 8;

/// One step of a route.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Step {
    /// To a field of a record.
    Field(&'static str),
    /// To an item of a list, by position from zero.
    Item(usize),
}

/// The way from the schedule to a record or a value.
#[derive(Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Route(SmallVec<[Step; INLINE]>);

impl Clone for Route {
    fn clone(&self) -> Self {
        // Steps are plain, so that they are copied at once and not one by one.
        Self(SmallVec::from_slice(&self.0))
    }
}

impl Route {
    /// The schedule itself.
    #[must_use]
    pub const fn root() -> Self {
        Self(SmallVec::new_const())
    }

    /// The route to a record of one of the schedule's lists.
    #[must_use]
    pub fn to(list: &'static str, index: usize) -> Self {
        Self(smallvec![Step::Field(list), Step::Item(index)])
    }

    /// The route to a field of the record at the end of this one.
    #[must_use]
    pub fn field(&self, name: &'static str) -> Self {
        let mut steps = SmallVec::from_slice(&self.0);
        steps.push(Step::Field(name));
        Self(steps)
    }

    /// The route to an item of the list at the end of this one.
    #[must_use]
    pub fn item(&self, index: usize) -> Self {
        let mut steps = SmallVec::from_slice(&self.0);
        steps.push(Step::Item(index));
        Self(steps)
    }

    /// The route of these field names and positions, if the declarations of the records have such a way.
    #[must_use]
    pub fn of_names<S: AsRef<str>>(names: &[S]) -> Option<Self> {
        /// What can be stepped into next.
        #[derive(Clone, Copy)]
        enum At {
            Record(&'static RecordInfo),
            Items(Option<&'static RecordInfo>),
            Value,
        }
        let mut at = At::Record(Schedule::INFO);
        let mut steps = SmallVec::new();
        for name in names {
            let name = name.as_ref();
            let (step, next) = match at {
                At::Record(_) if name == EXTRA => (Step::Field(EXTRA), At::Value),
                At::Record(info) => {
                    let field = info.field(name)?;
                    let next = match field.shape {
                        Shape::Record(info) => At::Record(info()),
                        Shape::Records(info) => At::Items(Some(info())),
                        Shape::Counts | Shape::Texts | Shape::Choices(_) | Shape::Links(_) => {
                            At::Items(None)
                        }
                        _ => At::Value,
                    };
                    (Step::Field(field.name), next)
                }
                At::Items(info) => {
                    (Step::Item(name.parse().ok()?), info.map_or(At::Value, At::Record))
                }
                At::Value => return None,
            };
            steps.push(step);
            at = next;
        }
        Some(Self(steps))
    }

    /// The field names and positions, as [`Self::of_names`] takes them.
    #[must_use]
    pub fn names(&self) -> Vec<String> {
        let name = |step: &Step| match step {
            Step::Field(name) => (*name).to_owned(),
            Step::Item(index) => index.to_string(),
        };
        self.0.iter().map(name).collect()
    }

    /// The steps.
    #[must_use]
    pub fn steps(&self) -> &[Step] {
        &self.0
    }

    /// What the route leads to; absent if the schedule has nothing there.
    #[must_use]
    pub fn view<'a>(&self, schedule: &'a Schedule) -> View<'a> {
        let mut view = View::Record(schedule);
        for step in &self.0 {
            view = match (step, view) {
                (Step::Field(name), View::Record(record)) => record.get(name),
                (Step::Item(index), View::List(list)) if *index < list.len() => list.item(*index),
                _ => return View::Absent,
            };
        }
        view
    }

    /// Whether the route leads to the end of the other one, or through it.
    #[must_use]
    pub fn is_within(&self, other: &Self) -> bool {
        self.0.starts_with(&other.0)
    }

    /// The first steps of the route.
    #[must_use]
    pub fn up_to(&self, length: usize) -> Self {
        Self(self.0[..length.min(self.0.len())].into())
    }

    /// The field of the record type at the end of the route; of an item, the field whose list holds it.
    #[must_use]
    pub fn declared(&self) -> Option<&'static FieldInfo> {
        let mut info = Schedule::INFO;
        let mut field = None;
        for step in &self.0 {
            if let Step::Field(name) = step {
                let found = info.field(name)?;
                if let Shape::Record(inner) | Shape::Records(inner) = found.shape {
                    info = inner();
                }
                field = Some(found);
            }
        }
        field
    }

    /// States the value at the end of the route, or takes it back where there is none.
    ///
    /// Records on the way that hold one another by name are made where they are missing; items of lists
    /// have to be there.
    ///
    /// # Errors
    /// The route leads nowhere, or the value is not of the field's type; the schedule may then hold empty
    /// records on the way.
    pub fn set(&self, schedule: &mut Schedule, value: Option<Value>) -> Result<(), Misfit> {
        let nowhere = || Misfit::new("a way that the schedule has");
        let mut record: &mut dyn Record = schedule;
        let mut steps = self.0.as_slice();
        loop {
            let (Step::Field(name), rest) = steps.split_first().ok_or_else(nowhere)? else {
                return Err(nowhere());
            };
            let index = record.info().index_of(name).ok_or_else(nowhere)?;
            let node = record.field_mut(index);
            match rest {
                [] => {
                    return match value {
                        Some(value) => node.set(value),
                        None => {
                            node.clear();
                            Ok(())
                        }
                    };
                }
                [Step::Field(_), ..] => {
                    record = node.record_mut().ok_or_else(nowhere)?;
                    steps = rest;
                }
                [Step::Item(item)] => return set_item(node, *item, value),
                [Step::Item(item), rest @ ..] => {
                    record = node.item_mut(*item).ok_or_else(nowhere)?;
                    steps = rest;
                }
            }
        }
    }

    /// The last record on the way that a file holds, and the names and positions from there to the end.
    #[must_use]
    pub fn source(&self, schedule: &Schedule) -> (Origin, Vec<String>) {
        let mut view = View::Record(schedule);
        let mut origin = schedule.origin();
        let mut path = Vec::new();
        for step in &self.0 {
            match step {
                Step::Field(name) => path.push((*name).to_owned()),
                Step::Item(index) => path.push(index.to_string()),
            }
            view = match (step, view) {
                (Step::Field(name), View::Record(record)) => record.get(name),
                (Step::Item(index), View::List(list)) if *index < list.len() => list.item(*index),
                _ => View::Absent,
            };
            if let View::Record(record) = view
                && record.origin().get().is_some()
            {
                origin = record.origin();
                path.clear();
            }
        }
        (origin, path)
    }
}

/// States one item of a list of plain values, or takes it out.
fn set_item(node: &mut dyn Node, item: usize, value: Option<Value>) -> Result<(), Misfit> {
    let Some(Value::List(mut items)) = node.view().to_value() else {
        return Err(Misfit::new("a list"));
    };
    if item >= items.len() {
        return Err(Misfit::new("an item that the list has"));
    }
    match value {
        Some(value) => items[item] = value,
        None => {
            items.remove(item);
        }
    }
    node.set(Value::List(items))
}

/// Which names of the schedule's lists name one record only.
pub struct Names {
    shared: BTreeMap<&'static str, BTreeSet<Box<str>>>,
}

impl Names {
    /// Looks at all lists once.
    #[must_use]
    pub fn of(schedule: &Schedule) -> Self {
        let mut shared = BTreeMap::new();
        let root: &dyn Record = schedule;
        for field in root.info().fields {
            if let View::List(list) = root.get(field.name) {
                let mut seen = BTreeSet::new();
                let mut twice = BTreeSet::new();
                for index in 0..list.len() {
                    if let View::Record(record) = list.item(index)
                        && let Some(key) = record.key()
                        && !seen.insert(key)
                    {
                        twice.insert(key.into());
                    }
                }
                if !twice.is_empty() {
                    shared.insert(field.name, twice);
                }
            }
        }
        Self { shared }
    }

    /// The route as people read it.
    #[must_use]
    pub fn show(&self, route: &Route, schedule: &Schedule) -> String {
        let mut shown = String::new();
        let mut view = View::Record(schedule);
        let mut list_name = "";
        for step in route.steps() {
            match step {
                Step::Field(name) => {
                    if !shown.is_empty() {
                        shown.push('.');
                    }
                    shown.push_str(name);
                    list_name = name;
                    view = match view {
                        View::Record(record) => record.get(name),
                        _ => View::Absent,
                    };
                }
                Step::Item(index) => {
                    let list = match view {
                        View::List(list) if *index < list.len() => Some(list),
                        _ => None,
                    };
                    view = list.map_or(View::Absent, |list| list.item(*index));
                    let key = match view {
                        View::Record(record) => record.key().filter(|key| {
                            let top = self.shared.get(list_name).is_some_and(|t| t.contains(*key));
                            !key.is_empty()
                                && !top
                                && (!is_nested(&shown) || is_only(list, *index, key))
                        }),
                        _ => None,
                    };
                    let result = match key {
                        Some(key) => write!(shown, "[{key}]"),
                        None => write!(shown, "[#{}]", index + 1),
                    };
                    debug_assert!(result.is_ok(), "writing to a string does not fail");
                }
            }
        }
        shown
    }
}

/// Whether the list just reached lies inside a record of another list.
fn is_nested(shown: &str) -> bool {
    shown.contains('[')
}

/// Lists inside a record are short: they are searched rather than indexed.
fn is_only(list: Option<&dyn crate::reflect::List>, index: usize, key: &str) -> bool {
    list.is_some_and(|list| {
        (0..list.len()).filter(|other| *other != index).all(|other| match list.item(other) {
            View::Record(record) => record.key() != Some(key),
            _ => true,
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reflect::Link;
    use crate::schedule::{Duct, Tendon};

    fn schedule() -> Schedule {
        Schedule {
            ducts: vec![Duct { wall_mm: Some(9.2), ..Duct::default() }],
            tendons: vec![Tendon {
                spans: vec![Link::to("1"), Link::to("2")],
                duct: Some(Link::to("D")),
                ..Tendon::default()
            }],
            ..Schedule::default()
        }
    }

    #[test]
    fn a_route_comes_back_from_its_names() {
        let route = Route::to("tendons", 3).field("ends").field("a").field("parts").item(0);
        assert_eq!(Route::of_names(&route.names()), Some(route));
        assert_eq!(Route::of_names::<&str>(&[]), Some(Route::root()));
    }

    #[test]
    fn names_that_lead_nowhere_are_no_route() {
        for names in [
            &["tendon"][..],
            &["tendons", "first"],
            &["tendons", "0", "ends", "c"],
            &["project", "bridge", "name"],
            &["tendons", "-1"],
        ] {
            assert_eq!(Route::of_names(names), None, "{names:?}");
        }
    }

    #[test]
    fn a_value_is_stated_and_taken_back_by_its_route() {
        let mut schedule = schedule();
        let wall = Route::to("ducts", 0).field("wall_mm");
        wall.set(&mut schedule, Some(Value::Number(7.4))).unwrap();
        assert_eq!(schedule.ducts[0].wall_mm, Some(7.4));
        wall.set(&mut schedule, None).unwrap();
        assert_eq!(schedule.ducts[0].wall_mm, None);
        assert_eq!(wall.declared().unwrap().name, "wall_mm");
    }

    #[test]
    fn records_on_the_way_are_made_and_items_are_not() {
        let mut schedule = schedule();
        let behind = |tendon| {
            let end = Route::to("tendons", tendon).field("ends").field("a");
            end.field("removal_space").field("behind_mm")
        };
        behind(0).set(&mut schedule, Some(Value::Number(1265.0))).unwrap();
        assert!(matches!(behind(0).view(&schedule), View::Number(1265.0)));
        assert!(behind(1).set(&mut schedule, Some(Value::Number(1265.0))).is_err());
        assert!(Route::root().set(&mut schedule, None).is_err());
    }

    #[test]
    fn an_item_of_a_plain_list_is_changed_alone() {
        let mut schedule = schedule();
        let spans = Route::to("tendons", 0).field("spans");
        spans.item(1).set(&mut schedule, Some(Value::Text("3".into()))).unwrap();
        assert_eq!(schedule.tendons[0].spans, [Link::to("1"), Link::to("3")]);
        spans.item(0).set(&mut schedule, None).unwrap();
        assert_eq!(schedule.tendons[0].spans, [Link::to("3")]);
        assert!(spans.item(5).set(&mut schedule, None).is_err());
    }

    #[test]
    fn a_value_of_another_type_is_refused_and_leaves_the_field() {
        let mut schedule = schedule();
        let wall = Route::to("ducts", 0).field("wall_mm");
        assert!(wall.set(&mut schedule, Some(Value::Text("thick".into()))).is_err());
        assert_eq!(schedule.ducts[0].wall_mm, Some(9.2));
    }
}
