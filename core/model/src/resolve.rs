//! Parts as they hold at a tendon's end or deviator: the type's, overridden by the tendon's.
//!
//! This is the one place where that is decided; every rule sees the resolved list.

use std::borrow::Cow;

use crate::reflect::{Link, Listed, Record};
use crate::route::Route;
use crate::schedule::{Anchorage, Deviator, End, Form, Part, Schedule};

/// A part as it holds, and where it is stated.
#[derive(Debug, Clone)]
pub struct ResolvedPart<'a> {
    /// The part, with the values of an override in place of the type's.
    pub part: Cow<'a, Part>,
    /// The route of the statement: the override's where there is one, else the type's.
    pub route: Route,
}

/// The record of a list that a link names: the first of that key.
#[must_use]
pub fn find<'a, R: Listed>(records: &'a [R], link: Option<&Link<R>>) -> Option<(usize, &'a R)> {
    let key = link?.key();
    records.iter().enumerate().find(|(_, record)| (*record as &dyn Record).key() == Some(key))
}

/// The anchorage of an end, with its position in the schedule's list.
#[must_use]
pub fn anchorage<'a>(schedule: &'a Schedule, end: &End) -> Option<(usize, &'a Anchorage)> {
    find(&schedule.anchorages, end.anchorage.as_ref())
}

/// The form of a deviator, with its position in the schedule's list.
#[must_use]
pub fn form<'a>(schedule: &'a Schedule, deviator: &Deviator) -> Option<(usize, &'a Form)> {
    find(&schedule.forms, deviator.form.as_ref())
}

/// The parts of an end, from the anchorage's list and the end's own; `end_route` leads to the end.
#[must_use]
pub fn end_parts<'a>(
    schedule: &'a Schedule,
    end: &'a End,
    end_route: &Route,
) -> Vec<ResolvedPart<'a>> {
    let typed = anchorage(schedule, end)
        .map(|(index, anchorage)| (Route::to("anchorages", index), anchorage.parts.as_slice()));
    merge(typed, &end.parts, end_route)
}

/// The parts of a deviator, from the form's list and the deviator's own; `route` leads to the deviator.
#[must_use]
pub fn deviator_parts<'a>(
    schedule: &'a Schedule,
    deviator: &'a Deviator,
    route: &Route,
) -> Vec<ResolvedPart<'a>> {
    let typed = form(schedule, deviator)
        .map(|(index, form)| (Route::to("forms", index), form.parts.as_slice()));
    merge(typed, &deviator.parts, route)
}

/// The form as it holds at a deviator: the form's dimensions, and the deviator's where it states its own.
#[must_use]
pub fn form_at<'a>(schedule: &'a Schedule, deviator: &Deviator) -> Option<Cow<'a, Form>> {
    let (_, form) = form(schedule, deviator)?;
    let own = [
        (deviator.throat_mm, 0),
        (deviator.exit_rear_mm, 1),
        (deviator.exit_span_mm, 2),
        (deviator.wall_radius_mm, 3),
        (deviator.length_mm, 4),
        (deviator.pitch_rad, 5),
        (deviator.yaw_rad, 6),
        (deviator.angle_tolerance_rad, 7),
    ];
    if own.iter().all(|(value, _)| value.is_none()) {
        return Some(Cow::Borrowed(form));
    }
    let mut held = form.clone();
    held.throat_mm = deviator.throat_mm.or(held.throat_mm);
    held.exit_rear_mm = deviator.exit_rear_mm.or(held.exit_rear_mm);
    held.exit_span_mm = deviator.exit_span_mm.or(held.exit_span_mm);
    held.wall_radius_mm = deviator.wall_radius_mm.or(held.wall_radius_mm);
    held.length_mm = deviator.length_mm.or(held.length_mm);
    held.pitch_rad = deviator.pitch_rad.or(held.pitch_rad);
    held.yaw_rad = deviator.yaw_rad.or(held.yaw_rad);
    held.angle_tolerance_rad = deviator.angle_tolerance_rad.or(held.angle_tolerance_rad);
    Some(Cow::Owned(held))
}

fn merge<'a>(
    typed: Option<(Route, &'a [Part])>,
    own: &'a [Part],
    owner: &Route,
) -> Vec<ResolvedPart<'a>> {
    let mut taken = vec![false; own.len()];
    let mut resolved = Vec::new();
    if let Some((route, parts)) = typed {
        let route = route.field("parts");
        for (index, part) in parts.iter().enumerate() {
            let over = own.iter().position(|other| other.id.is_some() && other.id == part.id);
            resolved.push(match over {
                Some(position) => {
                    taken[position] = true;
                    ResolvedPart {
                        part: Cow::Owned(overridden(part, &own[position])),
                        route: owner.field("parts").item(position),
                    }
                }
                None => ResolvedPart { part: Cow::Borrowed(part), route: route.item(index) },
            });
        }
    }
    for (position, part) in own.iter().enumerate() {
        if !taken[position] {
            resolved.push(ResolvedPart {
                part: Cow::Borrowed(part),
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
        let mut schedule = Schedule::default();
        schedule.anchorages.push(Anchorage {
            id: Some("K".into()),
            parts: vec![part("cone", 150.0), part("plate", 300.0)],
            ..Anchorage::default()
        });
        let mut own = part("cone", 155.0);
        own.mass_kg = Some(7.0);
        let end = End {
            anchorage: Some(Link::to("K")),
            parts: vec![part("extra", 10.0), own],
            ..End::default()
        };
        let route = Route::to("tendons", 4).field("ends").field("a");
        let parts = end_parts(&schedule, &end, &route);
        let names: Vec<_> = parts.iter().map(|p| p.part.id.clone().unwrap()).collect();
        assert_eq!(names, ["cone".into(), "plate".into(), "extra".into()] as [Box<str>; 3]);
        assert_eq!(parts[0].part.rear_outer_mm, Some(155.0));
        assert_eq!(parts[0].part.mass_kg, Some(7.0));
        assert_eq!(parts[0].route, route.field("parts").item(1));
        assert_eq!(parts[1].route, Route::to("anchorages", 0).field("parts").item(1));
    }

    #[test]
    fn a_deviators_own_dimension_holds_instead_of_the_forms() {
        let mut schedule = Schedule::default();
        schedule.forms.push(Form {
            id: Some("F".into()),
            throat_mm: Some(150.0),
            length_mm: Some(900.0),
            ..Form::default()
        });
        let deviator =
            Deviator { form: Some(Link::to("F")), throat_mm: Some(160.0), ..Deviator::default() };
        let form = form_at(&schedule, &deviator).unwrap();
        assert_eq!(form.throat_mm, Some(160.0));
        assert_eq!(form.length_mm, Some(900.0));
    }
}
