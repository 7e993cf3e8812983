//! A tube for filling, venting or draining is fixed in what is cast in.

use std::fmt;

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_model::reflect::Choice;
use restrand_model::resolve::ResolvedPart;
use restrand_model::schedule::{EndName, Permanence, Role, Status, Vent};

use crate::context::{Context, TendonAt};
use crate::rule::{Check, Corrects, Rule};

pub(crate) const RULE: Rule = Rule {
    id: "parts/tube-through-permanent",
    summary: "inlets, vents and drains against the permanent parts on which they are fixed",
    kinds: &[Kind::Physical],
    limits: &[],
    sources: &[Citation::new(
        "common practice, no source: a tube that passes both skins ties them together",
        Evidence::Derived,
    )],
    correction: Corrects::Nothing,
    implied_by: &["parts/permanence-unexpected", "parts/permanence-missing"],
    page: include_str!("tube_through_permanent.md"),
    check: Check::Tendons(check),
};

fn check(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    if at.stays() {
        return outcomes.not_applicable("the tendon need not be replaceable");
    }
    if at.tendon.status == Some(Status::Removed) {
        return outcomes.not_applicable("the tendon is removed");
    }
    if at.tendon.vents.is_empty() {
        return outcomes.not_applicable("no inlet, vent or drain is stated");
    }
    let seats = seats(context, at);
    for (index, vent) in at.tendon.vents.iter().enumerate() {
        let Some(fixed_on) = vent.fixed_on.as_deref() else {
            outcomes.not_evaluated("vent.fixed_on");
            continue;
        };
        let under = under(vent, fixed_on, &seats);
        let stays = |seat: &&&Seat<'_>| seat.permanence() == Some(Permanence::Permanent);
        let Some(seat) = under.iter().find(stays) else {
            if under.iter().any(|seat| seat.permanence().is_none()) {
                outcomes.not_evaluated("part.permanence");
            } else if under.is_empty() && !is_of_tendon(at, fixed_on) {
                // A name that no part has says nothing of what lies under the tube.
                outcomes.not_evaluated("vent.fixed_on");
            } else {
                outcomes.pass();
            }
            continue;
        };
        outcomes.found(
            Finding::new(
                RULE.id,
                Kind::Physical,
                at.route.field("vents").item(index).field("fixed_on"),
                "{tube} of {tendon} sits on {part} at {place}, which is cast in: it must pass the gap to the tendon, fills it, and \
                 ties both together",
            )
            .related(seat.part.route.clone(), "what it sits on")
            .help("Set inlets, vents and drains on the cap or the duct; a drain of the gap itself is no tube of the tendon")
            .fact(Fact::text("tube", vent.id.as_deref().unwrap_or("a tube")))
            .fact(Fact::text("tendon", at.mark()))
            .fact(Fact::text("part", fixed_on))
            .fact(Fact::text("place", seat.place.to_string())),
        );
    }
}

/// A part on which a tube may sit.
struct Seat<'a> {
    part: &'a ResolvedPart<'a>,
    place: SeatAt<'a>,
    station_m: Option<f64>,
}

/// The end or deviator of a part.
#[derive(Clone, Copy)]
enum SeatAt<'a> {
    End(EndName),
    Deviator(Option<&'a str>),
}

impl fmt::Display for SeatAt<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::End(name) => write!(f, "end {name}"),
            Self::Deviator(place) => f.write_str(place.unwrap_or("a deviator")),
        }
    }
}

impl Seat<'_> {
    fn permanence(&self) -> Option<Permanence> {
        self.part.part.permanence
    }

    /// Whether its name or its role is this, in small letters.
    fn is_called(&self, wanted: &str) -> bool {
        let part = self.part.part.as_ref();
        let is = |name: &str| match name.is_ascii() {
            true => name.eq_ignore_ascii_case(wanted),
            false => name.to_lowercase() == wanted,
        };
        let is_role = |role: Role| is(role.word());
        part.role.is_some_and(is_role) || part.id.as_deref().is_some_and(is)
    }
}

/// The parts of a tendon's ends and deviators.
fn seats<'a>(context: &'a Context<'_>, at: &TendonAt<'a>) -> Vec<Seat<'a>> {
    let mut seats = Vec::new();
    let mut take = |place, station_m, parts: &'a [ResolvedPart<'_>]| {
        let parts = parts.iter().filter(|one| one.part.role != Some(Role::Tube));
        seats.extend(parts.map(|part| Seat { part, place, station_m }));
    };
    let points = &at.tendon.points;
    for end in at.ends() {
        let point = if end.name == EndName::A { points.first() } else { points.last() };
        let station_m = point.and_then(|point| point.station_m);
        take(SeatAt::End(end.name), station_m, context.end_parts(&end));
    }
    for (index, deviator) in at.tendon.deviators.iter().enumerate() {
        let place = SeatAt::Deviator(deviator.place.as_ref().map(|place| place.key()));
        let station_m =
            context.place(deviator.place.as_ref()).and_then(|found| found.record.station_m);
        take(place, station_m, context.deviator_parts(at, index));
    }
    seats
}

/// The parts that a tube's seat may mean: of those so called, the nearest to the tube where stations tell.
fn under<'s, 'a>(vent: &Vent, fixed_on: &str, seats: &'s [Seat<'a>]) -> Vec<&'s Seat<'a>> {
    let wanted = fixed_on.trim().to_lowercase();
    let wanted = [wanted.replace([' ', '-'], "_"), wanted.replace([' ', '_'], "-"), wanted];
    let mut so_called: Vec<_> =
        seats.iter().filter(|seat| wanted.iter().any(|name| seat.is_called(name))).collect();
    let away_m = |seat: &Seat<'_>| Some((seat.station_m? - vent.station_m?).abs());
    let away: Option<Vec<f64>> = so_called.iter().map(|seat| away_m(seat)).collect();
    if let Some(nearest_m) = away.and_then(|away| away.into_iter().reduce(f64::min)) {
        so_called.retain(|seat| away_m(seat).is_some_and(|away_m| away_m <= nearest_m));
    }
    so_called
}

/// Whether a tube sits on the duct or the cap, which leave with the tendon and need not be listed as parts: by these
/// words, or by the name of a duct of the tendon.
fn is_of_tendon(at: &TendonAt<'_>, fixed_on: &str) -> bool {
    let is = |name: &str| fixed_on.trim().eq_ignore_ascii_case(name.trim());
    let runs = at.tendon.duct_runs.iter().map(|run| run.duct.as_ref());
    let mut ducts = std::iter::once(at.tendon.duct.as_ref()).chain(runs).flatten();
    is("duct") || is("cap") || ducts.any(|duct| is(duct.key()))
}
