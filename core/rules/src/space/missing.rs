//! The room at an end is not stated.

use std::collections::HashMap;

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes, Severity};
use restrand_model::Record;
use restrand_model::quantity::of_field;
use restrand_model::route::Route;
use restrand_model::schedule::{End, EndKind, FaceName, RemovalSpace, Status};

use crate::context::{Context, EndAt, TendonAt};
use crate::rule::{Check, Corrects, Rule};

pub(crate) const RULE: Rule = Rule {
    id: "space/missing",
    summary: "the clear distances at each end that the stage requires are stated",
    kinds: &[Kind::Missing],
    limits: &[],
    sources: &[Citation::new(
        "engineering practice: what is not recorded as kept free is built over",
        Evidence::Derived,
    )],
    correction: Corrects::Nothing,
    implied_by: &[],
    page: include_str!("missing.md"),
    check: Check::Schedule(check),
};

/// The record type that holds the room.
const SPACE: &str = "removal_space";

/// An end whose room is not wholly stated.
struct Gap {
    name: String,
    route: Route,
    absent: Vec<String>,
    required: bool,
    /// The bay that gives every distance which is absent.
    bay: Option<usize>,
}

/// The ends at one face of one place, or one end whose place or face is not stated.
struct Group {
    face: Option<(String, FaceName)>,
    gaps: Vec<Gap>,
}

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    let mut groups: Vec<Group> = Vec::new();
    let mut by_face = HashMap::new();
    for at in context.tendons() {
        if at.stays() {
            outcomes.not_applicable("the tendon need not be replaceable");
            continue;
        }
        if !matches!(at.tendon.status, None | Some(Status::InUse)) {
            outcomes.not_applicable("the tendon is not in place");
            continue;
        }
        for end in at.ends() {
            if end.end.kind == Some(EndKind::Embedded) {
                outcomes.not_applicable("the end is embedded");
                continue;
            }
            let Some(gap) = gap(context, &at, &end, outcomes) else {
                continue;
            };
            let place = end.end.place.as_ref().map(|place| place.key().to_owned());
            let face = place.zip(end.end.face);
            let known = face.as_ref().and_then(|face| by_face.get(face)).copied();
            match known.and_then(|position: usize| groups.get_mut(position)) {
                Some(group) => group.gaps.push(gap),
                None => {
                    if let Some(face) = &face {
                        by_face.insert(face.clone(), groups.len());
                    }
                    groups.push(Group { face, gaps: vec![gap] });
                }
            }
        }
    }
    for group in groups {
        outcomes.found(finding(group));
    }
}

/// What is not stated of the room at an end; nothing if all is, or if it could not be read.
fn gap(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    end: &EndAt<'_>,
    outcomes: &mut Outcomes,
) -> Option<Gap> {
    let stage = context.stage_of(at.tendon);
    let route = end.route.field(SPACE);
    let stated = end.end.removal_space.as_deref();
    let empty = RemovalSpace::default();
    let space: &dyn Record = stated.unwrap_or(&empty);
    let mut absent = Vec::new();
    let mut first = None;
    let (mut required, mut lost) = (false, false);
    let room = context.room(at, end);
    let mut bays = Vec::new();
    for field in RemovalSpace::INFO.fields {
        let asked = context.book.required.iter().filter(|rule| {
            rule.record == SPACE
                && rule.holds_for(space)
                && rule.fields.iter().any(|f| f == field.name)
        });
        // Distances will be needed sooner or later; who measured them and when, only from its stage on.
        let (name, unit) = of_field(field.name);
        let Some(from) = asked.map(|rule| rule.stage).min() else {
            continue;
        };
        let due = from <= stage;
        if !space.get(field.name).is_absent() || (unit.is_none() && !due) {
            continue;
        }
        if context.is_lost_at(&route.field(field.name))
            || context.is_lost_column(End::INFO.name, &format!("{SPACE}.{}", field.name))
        {
            lost = true;
            continue;
        }
        required |= due;
        first.get_or_insert_with(|| route.field(field.name));
        // A day is stated in a field of one short word.
        absent.push(if name == "on" { "day".to_owned() } else { name.replace('_', " ") });
        if unit.is_some() {
            bays.push(room.of_field(field.name).and_then(|clear| clear.bay));
        }
    }
    if absent.is_empty() {
        if lost {
            outcomes.not_evaluated("end.removal_space");
        } else {
            outcomes.pass();
        }
        return None;
    }
    Some(Gap {
        name: format!("end {} of {}", end.name, at.mark()),
        route: first.filter(|_| stated.is_some()).unwrap_or_else(|| end.route.clone()),
        absent,
        required,
        bay: bays.into_iter().reduce(|one, other| one.and(other)).flatten(),
    })
}

fn finding(group: Group) -> Finding {
    // Ends that lack the same are named together.
    let mut alike: Vec<(String, Vec<&str>)> = Vec::new();
    for gap in &group.gaps {
        let absent = gap.absent.join(", ");
        match alike.iter_mut().find(|(known, _)| *known == absent) {
            Some((_, ends)) => ends.push(&gap.name),
            None => alike.push((absent, vec![&gap.name])),
        }
    }
    // Where all lack the same, whose it is stands by itself: the same of other tendons is then told with it.
    let (absent, ends) = match &alike[..] {
        [(absent, ends)] => (absent.clone(), Some(ends.join(", "))),
        _ => {
            let each =
                |(absent, ends): &(String, Vec<&str>)| format!("{absent} at {}", ends.join(", "));
            (alike.iter().map(each).collect::<Vec<_>>().join("; "), None)
        }
    };
    let message = match (&group.face, &ends) {
        (Some(_), Some(_)) => "the room at face {face} of {place} is not stated: {absent} at {end}",
        (Some(_), None) => "the room at face {face} of {place} is not stated: {absent}",
        (None, Some(_)) => "the room behind the anchorage is not stated: {absent} at {end}",
        (None, None) => "the room behind the anchorage is not stated: {absent}",
    };
    let required = group.gaps.iter().any(|gap| gap.required);
    let bays: Option<Vec<_>> = group.gaps.iter().map(|gap| gap.bay).collect();
    let until = match &bays {
        None => "no check of cap, stub and jack is made there that needs what is absent",
        Some(_) => {
            "cap, stub and jack are checked against the bay there, of which nobody says whether something stands in it"
        }
    };
    let mut gaps = group.gaps.iter();
    let first = gaps.next().map_or_else(Route::root, |gap| gap.route.clone());
    let mut finding = Finding::new(RULE.id, Kind::Missing, first, message)
        .severity(if required { Severity::Error } else { Severity::Note })
        .help(format!(
            "Measure or draw the clear distances from the anchorage's axis and from the face of its bearing \
             plate, and state them in removal_space; until then {until}"
        ));
    if let Some((place, face)) = &group.face {
        finding = finding
            .fact(Fact::text("place", place.as_str()))
            .fact(Fact::text("face", face.to_string()));
    }
    finding = finding.fact(Fact::text("absent", absent));
    if let Some(ends) = ends {
        finding = finding.fact(Fact::text("end", ends));
    }
    for gap in gaps {
        finding =
            finding.related(gap.route.clone(), format!("absent here: {}", gap.absent.join(", ")));
    }
    if let Some(bay) = bays.and_then(|bays| bays.first().copied()) {
        finding =
            finding.related(Route::to("bays", bay), "what this bay gives is taken until then");
    }
    finding
}
