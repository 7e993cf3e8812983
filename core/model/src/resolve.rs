//! Parts as they hold at a tendon's end or deviator: the type's, overridden by the tendon's.
//!
//! This is the one place where that is decided; every rule sees the resolved list.

use std::ops::Deref;
use std::sync::LazyLock;

use crate::reflect::{Record, RecordInfo};
use crate::route::Route;
use crate::schedule::{Anchorage, Deviator, End, Form, Part};

/// A part as it holds, and where it is stated.
#[derive(Debug, Clone)]
pub struct ResolvedPart<'a> {
    /// The part, with the values of an override in place of the type's.
    pub part: Held<'a>,
    /// The route of the statement: the override's where there is one, else the type's.
    pub route: Route,
}

/// A part or a form: as the schedule states it, or made for the one who asks.
#[derive(Debug, Clone)]
pub enum Held<'a, R = Part> {
    /// One of the schedule's.
    Stated(&'a R),
    /// One that no record states in this way: it is large, and there are many.
    Made(Box<R>),
}

impl<R> Deref for Held<'_, R> {
    type Target = R;

    fn deref(&self) -> &R {
        match self {
            Self::Stated(record) => record,
            Self::Made(record) => record,
        }
    }
}

impl<R> AsRef<R> for Held<'_, R> {
    fn as_ref(&self) -> &R {
        self
    }
}

impl<R: Clone> Held<'_, R> {
    /// The record to be changed: made where it was the schedule's.
    fn to_mut(&mut self) -> &mut R {
        if let Self::Stated(record) = self {
            *self = Self::Made(Box::new(record.clone()));
        }
        match self {
            Self::Made(record) => record,
            Self::Stated(_) => unreachable!("it was made"),
        }
    }
}

/// The parts of an end, from its anchorage's list and the end's own.
///
/// `typed` is the anchorage with its route, `route` leads to the end.
#[must_use]
pub fn end_parts<'a>(
    typed: Option<(Route, &'a Anchorage)>,
    end: &'a End,
    route: &Route,
) -> Vec<ResolvedPart<'a>> {
    merge(typed.map(|(route, anchorage)| (route, anchorage.parts.as_slice())), &end.parts, route)
}

/// The parts of a deviator, from its form's list and the deviator's own.
///
/// `typed` is the form with its route, `route` leads to the deviator.
#[must_use]
pub fn deviator_parts<'a>(
    typed: Option<(Route, &'a Form)>,
    deviator: &'a Deviator,
    route: &Route,
) -> Vec<ResolvedPart<'a>> {
    merge(typed.map(|(route, form)| (route, form.parts.as_slice())), &deviator.parts, route)
}

/// The form as it holds at a deviator: the form's dimensions, and the deviator's where it states its own.
#[must_use]
pub fn form_at<'a>(form: &'a Form, deviator: &Deviator) -> Held<'a, Form> {
    /// Fields that both records call by one name, by their positions in the deviator and in the form: what a
    /// deviator may state instead. Parts are merged apart.
    static SHARED: LazyLock<Vec<(usize, usize)>> = LazyLock::new(|| {
        let (from, to): (&RecordInfo, &RecordInfo) = (Deviator::INFO, Form::INFO);
        let shared = from.fields.iter().enumerate().filter(|(_, field)| field.name != "parts");
        shared.filter_map(|(index, field)| Some((index, to.index_of(field.name)?))).collect()
    });
    let mut held = Held::Stated(form);
    let stated: &dyn Record = deviator;
    for (from, to) in SHARED.iter() {
        if let Some(value) = stated.field(*from).view().to_value() {
            let set = Record::field_mut(held.to_mut(), *to).set(value);
            debug_assert!(set.is_ok(), "fields of one name have one type");
        }
    }
    held
}

fn merge<'a>(
    typed: Option<(Route, &'a [Part])>,
    own: &'a [Part],
    owner: &Route,
) -> Vec<ResolvedPart<'a>> {
    let mut taken = vec![false; own.len()];
    let mut resolved =
        Vec::with_capacity(own.len() + typed.as_ref().map_or(0, |(_, parts)| parts.len()));
    if let Some((route, parts)) = typed {
        let route = route.field("parts");
        for (index, part) in parts.iter().enumerate() {
            let over = own.iter().position(|other| other.id.is_some() && other.id == part.id);
            resolved.push(match over {
                Some(position) => {
                    taken[position] = true;
                    ResolvedPart {
                        part: Held::Made(Box::new(overridden(part, &own[position]))),
                        route: owner.field("parts").item(position),
                    }
                }
                None => ResolvedPart { part: Held::Stated(part), route: route.item(index) },
            });
        }
    }
    for (position, part) in own.iter().enumerate() {
        if !taken[position] {
            resolved.push(ResolvedPart {
                part: Held::Stated(part),
                route: owner.field("parts").item(position),
            });
        }
    }
    resolved
}

/// The part with every value that the override states in place of its own.
fn overridden(part: &Part, over: &Part) -> Part {
    let mut held = part.clone();
    let stated: &dyn Record = over;
    for (index, _) in stated.info().fields.iter().enumerate() {
        let view = stated.field(index).view();
        if !view.is_absent()
            && let Some(value) = view.to_value()
        {
            let set = Record::field_mut(&mut held, index).set(value);
            debug_assert!(
                set.is_ok(),
                "a field takes the value of the same field of another record"
            );
        }
    }
    held.origin = over.origin;
    held
}

#[cfg(test)]
mod tests {
    use super::*;

    fn part(id: &str, outer: f64) -> Part {
        Part { id: Some(id.into()), rear_outer_mm: Some(outer), ..Part::default() }
    }

    #[test]
    fn an_override_changes_what_it_states_and_keeps_the_rest() {
        let anchorage = Anchorage {
            parts: vec![part("cone", 150.0), part("plate", 300.0)],
            ..Anchorage::default()
        };
        let mut own = part("cone", 155.0);
        own.mass_kg = Some(7.0);
        let end = End { parts: vec![part("extra", 10.0), own], ..End::default() };
        let typed = Route::to("anchorages", 0);
        let route = Route::to("tendons", 4).field("ends").field("a");
        let parts = end_parts(Some((typed.clone(), &anchorage)), &end, &route);
        let names: Vec<_> = parts.iter().filter_map(|p| p.part.id.as_deref()).collect();
        assert_eq!(names, ["cone", "plate", "extra"]);
        assert_eq!(parts[0].part.rear_outer_mm, Some(155.0));
        assert_eq!(parts[0].part.mass_kg, Some(7.0));
        assert_eq!(parts[0].route, route.field("parts").item(1));
        assert_eq!(parts[1].route, typed.field("parts").item(1));
    }

    #[test]
    fn a_deviators_own_dimension_holds_instead_of_the_forms() {
        let form = Form { throat_mm: Some(150.0), length_mm: Some(900.0), ..Form::default() };
        let deviator = Deviator { throat_mm: Some(160.0), ..Deviator::default() };
        let held = form_at(&form, &deviator);
        assert_eq!(held.throat_mm, Some(160.0));
        assert_eq!(held.length_mm, Some(900.0));
    }
}
