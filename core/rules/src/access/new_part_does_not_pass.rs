//! A part of the new tendon does not get in through the openings.

use std::collections::BTreeMap;

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes, Severity};
use restrand_model::route::Route;
use restrand_model::schedule::{Permanence, Role};

use super::headroom_low::HEADROOM;
use super::rods::{Rods, Stuck, bays_along};
use super::{ends_in_bays, is_worked_on, named, ways_or_said};
use crate::assembly::Axis;
use crate::context::{Context, TendonAt};
use crate::ends::worst_radius_mm;
use crate::rule::{Check, Corrects, Rule};
use crate::ways::{Body, Fed, Ways, longest_fed_mm};
use crate::works;

pub(crate) const RULE: Rule = Rule {
    id: "access/new-part-does-not-pass",
    summary: "sticks and coils of duct and inner trumpets against the openings on their way in",
    kinds: &[Kind::Physical],
    limits: &[],
    sources: &[Citation::new(
        "a rod fed straight through a wall, or askew through a slab, both rooms counted",
        Evidence::Derived,
    )],
    correction: Corrects::Nothing,
    implied_by: &["access/no-way", "access/headroom-low", "schedule/dangling-reference"],
    page: include_str!("new_part_does_not_pass.md"),
    check: Check::Schedule(check),
};

/// A new part, and whose.
struct Part {
    /// What it is.
    what: What,
    /// Where its length stands.
    route: Route,
    /// The tendon or end for which it is.
    whose: String,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum What {
    Stick,
    Trumpet,
}

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    let Some(ways) = ways_or_said(context, outcomes) else { return };
    let mut rods = Rods::new();
    let mut coils = BTreeMap::new();
    for at in context.tendons() {
        if !is_worked_on(&at) {
            outcomes.not_applicable("no new tendon comes in");
            continue;
        }
        if let Err(why) = add_sticks(context, &ways, &at, &mut rods) {
            match why {
                Lacks::Field(field) => outcomes.not_evaluated(field),
                Lacks::Reason(why) => outcomes.not_applicable(why),
            }
        }
        if let Err(field) = add_coil(context, &ways, &at, &mut coils) {
            outcomes.not_evaluated(field);
        }
        add_trumpets(context, &ways, &at, &mut rods, outcomes);
    }
    of_coils(context, &ways, coils, outcomes);
    for stuck in rods.stuck(&ways, outcomes) {
        outcomes.found(told(context, &ways, &stuck));
    }
}

enum Lacks {
    Field(&'static str),
    Reason(&'static str),
}

fn add_sticks(
    context: &Context<'_>,
    ways: &Ways<'_>,
    at: &TendonAt<'_>,
    rods: &mut Rods<Part>,
) -> Result<(), Lacks> {
    let duct = context.duct(at.tendon.duct.as_ref()).ok_or(Lacks::Field("tendon.duct"))?;
    if duct.record.coiled == Some(true) {
        return Err(Lacks::Reason("the duct comes as a coil"));
    }
    let length_mm = duct.record.stick_length_mm.ok_or(Lacks::Field("duct.stick_length_mm"))?;
    let outer_mm = works::worst_duct_mm(duct.record).map_err(Lacks::Field)?;
    for bay in bays_along(context, ways, at).map_err(Lacks::Field)? {
        let route = duct.route.field("stick_length_mm");
        rods.add(length_mm, outer_mm, bay, Part { what: What::Stick, route, whose: at.mark() });
    }
    Ok(())
}

/// Coils by duct and the bays to which they go, with their tendons.
type Coils = BTreeMap<usize, BTreeMap<usize, Vec<String>>>;

fn add_coil(
    context: &Context<'_>,
    ways: &Ways<'_>,
    at: &TendonAt<'_>,
    coils: &mut Coils,
) -> Result<(), &'static str> {
    let link = at.tendon.duct.as_ref();
    let position = link.and_then(|link| context.position("ducts", link.key()));
    let Some(position) = position.filter(|at| context.schedule.ducts[*at].coiled == Some(true))
    else {
        return Ok(());
    };
    for bay in bays_along(context, ways, at)? {
        coils.entry(position).or_default().entry(bay).or_default().push(at.mark());
    }
    Ok(())
}

/// Coils that do not get to where their duct is laid, each kind once.
fn of_coils(context: &Context<'_>, ways: &Ways<'_>, coils: Coils, outcomes: &mut Outcomes) {
    for (position, bays) in coils {
        let duct = &context.schedule.ducts[position];
        let (Some(inner_mm), Some(outer_mm)) = (duct.coil_diameter_mm, duct.outer_mm) else {
            let is_inner = duct.coil_diameter_mm.is_none();
            outcomes.not_evaluated(if is_inner {
                "duct.coil_diameter_mm"
            } else {
                "duct.outer_mm"
            });
            continue;
        };
        let coil = Body::coil(inner_mm, outer_mm);
        let reached = ways.best(|_, door| coil.spare_mm(ways, door));
        let mut is_told = false;
        for (bay, marks) in bays {
            match reached[bay] {
                Ok(Some(reach)) if reach.spare_mm >= 0.0 => outcomes.pass(),
                Ok(Some(reach)) => {
                    let opening = ways.doors[reach.binds].opening;
                    // What does not pass one opening stays outside, whatever further ones there are.
                    if std::mem::replace(&mut is_told, true) {
                        continue;
                    }
                    outcomes.found(
                        Finding::new(
                            RULE.id,
                            Kind::Physical,
                            Route::to("ducts", position).field("coil_diameter_mm"),
                            "the coil of duct {duct} for {whose}, {across_mm} across at least, does not get to bay {bay} through \
                             opening {opening}: {short_mm} are missing",
                        )
                        // Uncoiled it may well go in: that is to be planned, and nobody states it.
                        .severity(Severity::Warning)
                        .related(Route::to("openings", opening), "the opening that binds")
                        .help(
                            "Leave the coil outside and feed the duct in through openings in line, bent no tighter than its least \
                             radius, or order sticks that pass",
                        )
                        .fact(Fact::text("duct", duct.id.as_deref().unwrap_or("without a name")))
                        .fact(Fact::text("whose", named(&marks)))
                        .fact(Fact::text("bay", ways.call_bay(bay)))
                        .fact(Fact::text("opening", ways.call(opening)))
                        .fact(Fact::computed("across_mm", coil.size_mm[0], 0))
                        .fact(Fact::computed("short_mm", -reach.spare_mm, 0).at_least()),
                    );
                }
                // That no way leads there is told by the rule on ways.
                Ok(None) => outcomes.not_evaluated("schedule.openings"),
                Err(field) => outcomes.not_evaluated(field),
            }
        }
    }
}

fn add_trumpets(
    context: &Context<'_>,
    ways: &Ways<'_>,
    at: &TendonAt<'_>,
    rods: &mut Rods<Part>,
    outcomes: &mut Outcomes,
) {
    for (end, bay) in ends_in_bays(context, ways, at, outcomes) {
        for resolved in context.end_parts(&end) {
            let is_new = resolved.part.role == Some(Role::InnerTrumpet)
                && resolved.part.permanence == Some(Permanence::Replaceable);
            if !is_new {
                continue;
            }
            let (from_mm, to_mm) = match Axis::Anchorage.stretch(&resolved.part) {
                Ok(stretch) => stretch,
                Err(field) => {
                    outcomes.not_evaluated(field);
                    continue;
                }
            };
            let Some(radius_mm) = worst_radius_mm(&resolved.part) else {
                outcomes.not_evaluated("part.rear_outer_mm");
                continue;
            };
            let whose = format!("end {} of {}", end.name, at.mark());
            let part = Part { what: What::Trumpet, route: resolved.route.clone(), whose };
            rods.add(to_mm - from_mm, 2.0 * radius_mm, bay, part);
        }
    }
}

/// Whether the part would pass the opening if only this bay were as high as people need.
fn is_low_alone(context: &Context<'_>, ways: &Ways<'_>, stuck: &Stuck<Part>, bay: usize) -> bool {
    let high_mm = context.limit(HEADROOM).value;
    if ways.bays[bay].height_mm.is_none_or(|height_mm| height_mm >= high_mm) {
        return false;
    }
    let mut bays = ways.bays.to_vec();
    bays[bay].height_mm = Some(high_mm);
    let higher = ways.with_bays(&bays);
    let doors = higher.doors.iter().filter(|door| door.opening == stuck.opening);
    let longest = doors.filter_map(|door| {
        longest_fed_mm(&mut Fed::default(), &higher, door, stuck.diameter_mm).ok()?
    });
    longest.reduce(f64::max).is_some_and(|longest_mm| longest_mm >= stuck.length_mm)
}

fn told(context: &Context<'_>, ways: &Ways<'_>, stuck: &Stuck<Part>) -> Finding {
    let first = &stuck.items[0];
    let whose: Vec<String> = stuck.items.iter().map(|part| part.whose.clone()).collect();
    let (message, help) = match first.what {
        // Nothing of that width passes, however short.
        _ if stuck.longest_mm <= 0.0 => (
            match first.what {
                What::Stick => {
                    "sticks of duct of {length_mm} for {whose} do not get to bay {bay} through opening {opening}: {across_mm} across, \
                     they are too thick for it"
                }
                What::Trumpet => {
                    "the new inner trumpet of {length_mm} for {whose} does not get to bay {bay} through opening {opening}: {across_mm} \
                     across, it is too thick for it"
                }
            },
            "Take another way in, or make the opening wider",
        ),
        What::Stick => (
            "sticks of duct of {length_mm} for {whose} do not get to bay {bay} through opening {opening}: at most {longest_mm} do",
            "Order shorter sticks, with more joints, or take another way in",
        ),
        What::Trumpet => (
            "the new inner trumpet of {length_mm}, {across_mm} across, for {whose} does not get to bay {bay} through opening \
             {opening}: at most {longest_mm} of that width does",
            "Take another way in, or ask the anchorage's supplier for a trumpet that is joined in place",
        ),
    };
    let mut finding = Finding::new(RULE.id, Kind::Physical, first.route.clone(), message)
        .related(Route::to("openings", stuck.opening), "the opening that binds")
        .help(help)
        .fact(Fact::text("whose", named(&whose)))
        .fact(Fact::text("bay", ways.call_bay(stuck.bay)))
        .fact(Fact::text("opening", ways.call(stuck.opening)))
        .fact(Fact::given("length_mm", stuck.length_mm, 0))
        .fact(Fact::computed("across_mm", stuck.diameter_mm, 1))
        .fact(Fact::computed("longest_mm", stuck.longest_mm, 0).at_most())
        .fact(Fact::computed("ratio", stuck.longest_mm / stuck.length_mm, 2));
    // How long a rod passes an opening is a matter of the rooms beside it too.
    let rooms = stuck.rooms(ways);
    for bay in &rooms {
        finding = finding.related(Route::to("bays", *bay), "the room beside it counts too");
    }
    finding = stuck.follows(ways, finding);
    let low = rooms.iter().filter(|bay| is_low_alone(context, ways, stuck, **bay));
    finding = finding.rests_on(low.map(|bay| Route::to("bays", *bay).field("height_mm")));
    if first.what == What::Stick && stuck.longest_mm > 0.0 {
        finding = finding.remedy("Order sticks of {longest_mm} at most");
    }
    finding
}
