//! What has to leave is bonded, out of reach, to what stays.

use std::collections::HashSet;

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_model::reflect::View;
use restrand_model::resolve::ResolvedPart;
use restrand_model::route::Route;
use restrand_model::schedule::{Bond, Filler, FormKind, Part, Permanence, Role, Status};

use crate::assembly::{Assembly, call, changes_bodies};
use crate::context::{Context, TendonAt};
use crate::rule::{Check, Corrects, Rule};

pub(crate) const RULE: Rule = Rule {
    id: "parts/bonded-inaccessibly",
    summary: "no part that leaves, and no tendon, is bonded to what stays where nobody can reach it",
    kinds: &[Kind::Physical, Kind::Inconsistent],
    limits: &[],
    sources: &[Citation::new(
        "FHWA-HIF-19-067 (2019), abstract: tendons bonded at anchorages and deviators are hard to replace",
        Evidence::Read,
    )],
    correction: Corrects::Nothing,
    implied_by: &[],
    page: include_str!("bonded_inaccessibly.md"),
    check: Check::Schedule(check),
};

/// The word in `bonded_to` for concrete.
const CONCRETE: &str = "concrete";
/// The word in `bonded_to` for nothing.
const NOTHING: &str = "none";

/// What a part is bonded to, as recorded.
enum To<'a> {
    Nothing,
    Concrete,
    Part(&'a ResolvedPart<'a>),
}

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    for assembly in &context.assemblies {
        if assembly.stays {
            outcomes.not_applicable("no replaceable tendon uses it");
            continue;
        }
        for part in assembly.parts.iter().filter(|part| assembly.states(part)) {
            of_part(context, assembly, part, outcomes);
        }
    }
    let mut said = HashSet::new();
    for at in context.tendons() {
        of_tendon(&at, outcomes);
        if !at.stays() && matches!(at.tendon.status, None | Some(Status::InUse)) {
            filler_of_tendon(context, &at, &mut said, outcomes);
        }
    }
}

fn of_part(
    context: &Context<'_>,
    assembly: &Assembly<'_>,
    resolved: &ResolvedPart<'_>,
    outcomes: &mut Outcomes,
) {
    let part = resolved.part.as_ref();
    let says = |field: &&'static str| {
        !matches!(resolved.route.field(field).view(context.schedule), View::Absent)
    };
    let own = ["permanence", "bonded_to", "bond", "bond_accessible"];
    if assembly.changes(resolved) && !own.iter().any(says) {
        return outcomes.not_applicable("it changes a part of a kind, which has to say it");
    }
    let Some(permanence) = part.permanence else {
        return outcomes.not_evaluated("part.permanence");
    };
    let to = match target(assembly, part) {
        Ok(to) => to,
        // What stays may be silent about what it is cast into.
        Err(Untold::Absent) if permanence == Permanence::Permanent => {
            return outcomes.not_applicable("it stays");
        }
        Err(Untold::Absent) => return outcomes.not_evaluated("part.bonded_to"),
        Err(Untold::Contradiction) => {
            return outcomes.found(unclear(
                context,
                assembly,
                resolved,
                "{part} of {owner} is said to be bonded to nothing, but by {bond}",
            ));
        }
        Err(Untold::NoSuchPart) => {
            return outcomes.found(unclear(
                context,
                assembly,
                resolved,
                "{part} of {owner} is said to be bonded to \"{to}\", but {owner} has no such part",
            ));
        }
    };
    // A bond holds both sides, whichever of them records it.
    let other = match (&to, permanence) {
        (To::Concrete, Permanence::Permanent) => return outcomes.not_applicable("it stays"),
        (To::Nothing, _) => return outcomes.pass(),
        (To::Concrete, Permanence::Replaceable) => None,
        (To::Part(other), _) => match other.part.permanence {
            None => return outcomes.not_evaluated("part.permanence"),
            Some(same) if same == permanence => return outcomes.pass(),
            Some(_) => Some(*other),
        },
    };
    match part.bond_accessible {
        Some(true) => outcomes.pass(),
        None => outcomes.not_evaluated("part.bond_accessible"),
        Some(false) => outcomes.found(finding(context, assembly, resolved, other, permanence)),
    }
}

/// Why it is not known what a part is bonded to.
enum Untold {
    /// It is not stated.
    Absent,
    /// It is bonded to nothing by something that holds: one of the two is wrong.
    Contradiction,
    /// It names no part of the same anchorage or form.
    NoSuchPart,
}

/// What the part is bonded to.
fn target<'a>(assembly: &'a Assembly<'a>, part: &Part) -> Result<To<'a>, Untold> {
    let lets_go = matches!(part.bond, Some(Bond::None | Bond::Wax));
    let Some(name) = part.bonded_to.as_deref().map(str::trim) else {
        return match part.bond {
            Some(_) if lets_go => Ok(To::Nothing),
            Some(Bond::Concrete) => Ok(To::Concrete),
            _ => Err(Untold::Absent),
        };
    };
    if name.eq_ignore_ascii_case(NOTHING) {
        return if lets_go || part.bond.is_none() {
            Ok(To::Nothing)
        } else {
            Err(Untold::Contradiction)
        };
    }
    if lets_go {
        return Ok(To::Nothing);
    }
    if name.eq_ignore_ascii_case(CONCRETE) {
        return Ok(To::Concrete);
    }
    let named = |resolved: &&ResolvedPart<'_>| {
        resolved.part.id.as_deref().is_some_and(|id| id.trim().eq_ignore_ascii_case(name))
    };
    assembly.parts.iter().find(named).map(To::Part).ok_or(Untold::NoSuchPart)
}

/// A statement on the bond from which nothing follows.
fn unclear(
    context: &Context<'_>,
    assembly: &Assembly<'_>,
    resolved: &ResolvedPart<'_>,
    message: &'static str,
) -> Finding {
    let part = resolved.part.as_ref();
    let place = context.value_of(&resolved.route, "bonded_to");
    Finding::new(RULE.id, Kind::Inconsistent, place, message)
        .help(
            "State in bonded_to the name of the part it is bonded to, or concrete, or none; and in bond what \
             bonds them",
        )
        .fact(Fact::text("part", call(part)))
        .fact(Fact::text("owner", assembly.name.as_str()))
        .fact(Fact::text("to", part.bonded_to.as_deref().unwrap_or_default()))
        .fact(Fact::text("bond", part.bond.map_or_else(String::new, |bond| bond.to_string())))
}

/// Whether a filler bonds what it touches; nothing if that is not known.
const fn hardens(filler: Option<Filler>) -> Option<bool> {
    match filler {
        // What is not known is taken as the worst.
        Some(Filler::CementGrout | Filler::Unknown) => Some(true),
        Some(Filler::Wax | Filler::Grease | Filler::None) => Some(false),
        None => None,
    }
}

/// Filler that hardens bonds the tendon to what stays, wherever no replaceable skin is between the two.
fn filler_of_tendon(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    said: &mut HashSet<Route>,
    outcomes: &mut Outcomes,
) {
    let mut look =
        |kind: Option<Route>, own: Option<Route>, name: String, parts: &[ResolvedPart<'_>]| {
            let Some(conduit) = bare_conduit(parts) else { return };
            match hardens(at.tendon.filler) {
                Some(false) => {}
                None => outcomes.not_evaluated("tendon.filler"),
                Some(true) => {
                    // What is wrong with a kind is said once, at the kind.
                    let route = own.or(kind).unwrap_or_else(|| at.route.clone());
                    if said.insert(route.clone()) {
                        outcomes.found(filler_finding(at, route, name, conduit));
                    }
                }
            }
        };
    for end in at.ends() {
        let found = context.anchorage(end.end);
        let kind_parts = found.as_ref().map_or(&[][..], |found| &found.record.parts);
        let is_own = changes_bodies(&end.end.parts, kind_parts);
        let name = match &found {
            Some(found) if !is_own => {
                format!("anchorage {}", found.record.id.as_deref().unwrap_or("without a name"))
            }
            _ => format!("end {} of {}", end.name, at.mark()),
        };
        let own = is_own.then(|| end.route.field("parts"));
        let kind = found.map(|found| found.route.field("parts"));
        look(kind, own, name, context.end_parts(&end));
    }
    for (index, deviator) in at.tendon.deviators.iter().enumerate() {
        let route = at.route.field("deviators").item(index);
        let found = context.form(deviator);
        let kind_parts = found.as_ref().map_or(&[][..], |found| &found.record.parts);
        let is_own = changes_bodies(&deviator.parts, kind_parts);
        let name = match &found {
            Some(found) if !is_own => {
                format!("form {}", found.record.id.as_deref().unwrap_or("without a name"))
            }
            _ => format!("deviator {} of {}", index + 1, at.mark()),
        };
        let own = is_own.then(|| route.field("parts"));
        // The duct leads through a form that is open at both ends without being one of its parts; strands may lie bare in a
        // bent pipe.
        let is_led_through = at.tendon.duct.is_some()
            && context.form_at(at, index).is_some_and(|form| {
                matches!(form.kind, Some(FormKind::Flared | FormKind::StraightSleeve))
            });
        if is_led_through {
            continue;
        }
        let kind = found.map(|found| found.route.field("parts"));
        look(kind, own, name, context.deviator_parts(at, index));
    }
}

/// A permanent part that carries the strands, where no replaceable one carries them inside it.
///
/// A trumpet, a guide pipe or a pipe of a deviator with nothing in it is what the strands and their filler lie in.
fn bare_conduit<'a>(parts: &'a [ResolvedPart<'_>]) -> Option<&'a Part> {
    let carries = |part: &Part| {
        matches!(
            part.role,
            None | Some(Role::InnerTrumpet | Role::AnchoragePipe | Role::Duct | Role::Liner)
        )
    };
    // A part that may be such a skin leaves the question to the rules that ask for role and permanence.
    if parts.iter().any(|p| p.part.permanence != Some(Permanence::Permanent) && carries(&p.part)) {
        return None;
    }
    parts.iter().map(|resolved| resolved.part.as_ref()).find(|part| {
        part.permanence == Some(Permanence::Permanent)
            && matches!(
                part.role,
                Some(
                    Role::OuterTrumpet
                        | Role::InnerTrumpet
                        | Role::AnchorageForm
                        | Role::GuidePipe
                        | Role::AnchoragePipe
                        | Role::DeviatorPipe
                )
            )
    })
}

fn filler_finding(at: &TendonAt<'_>, place: Route, owner: String, conduit: &Part) -> Finding {
    let finding = Finding::new(
        RULE.id,
        Kind::Physical,
        place,
        "nothing replaceable lies between the tendon and {part} of {owner}, which stays: the filler bonds the \
         tendon to it where nobody can reach",
    )
    .help(
        "Lead the tendon through it in a replaceable trumpet, pipe or duct with a gap round it, or use a filler \
         that lets go",
    )
    .fact(Fact::text("part", call(conduit)))
    .fact(Fact::text("owner", owner))
    .fact(Fact::text("filler", at.tendon.filler.map_or_else(String::new, |filler| filler.to_string())));
    cite(finding)
}

fn finding(
    context: &Context<'_>,
    assembly: &Assembly<'_>,
    resolved: &ResolvedPart<'_>,
    other: Option<&ResolvedPart<'_>>,
    permanence: Permanence,
) -> Finding {
    let part = resolved.part.as_ref();
    let message = match permanence {
        Permanence::Replaceable => {
            "{part} of {owner} has to leave, but is bonded to {to} ({bond}) where nobody can reach the bond"
        }
        Permanence::Permanent => {
            "{to} of {owner} has to leave, but {part} is bonded to it ({bond}) where nobody can reach the \
             bond"
        }
    };
    let place = context.value_of(&resolved.route, "bonded_to");
    let mut finding = Finding::new(RULE.id, Kind::Physical, place, message)
        .help(
            "Keep {part} and {to} apart: leave the gap between them empty, sealed at both ends and drained, \
             or put something between them that lets go, and state none in bonded_to and in bond; where the \
             bond can be reached after all, say so in bond_accessible",
        )
        .fact(Fact::text("part", call(part)))
        .fact(Fact::text("owner", assembly.name.as_str()))
        .fact(Fact::text("to", other.map_or_else(|| CONCRETE.to_owned(), |other| call(&other.part))))
        .fact(Fact::text(
            "bond",
            part.bond.map_or_else(|| "by what is not stated".to_owned(), |bond| bond.to_string()),
        ));
    if let Some(other) = other {
        let text = match permanence {
            Permanence::Replaceable => "{to} stays",
            Permanence::Permanent => "{to} has to leave",
        };
        finding = finding.related(other.route.clone(), text);
    }
    cite(finding)
}

fn cite(mut finding: Finding) -> Finding {
    finding.citations.extend(RULE.sources.iter().cloned());
    finding
}

fn of_tendon(at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    if at.stays() {
        return outcomes.not_applicable("the tendon need not be replaceable");
    }
    if !matches!(at.tendon.status, None | Some(Status::InUse)) {
        return outcomes.not_applicable("the tendon is not in place");
    }
    if at.tendon.bonded_points.is_empty() {
        // An empty list is also what nobody has filled in.
        let replacement = at.tendon.replacement.as_deref();
        return match replacement.and_then(|replacement| replacement.unbonded) {
            Some(true) => outcomes.pass(),
            Some(false) => outcomes.not_evaluated("tendon.bonded_points"),
            None => outcomes.not_evaluated("replacement.unbonded"),
        };
    }
    for (index, point) in at.tendon.bonded_points.iter().enumerate() {
        match point.accessible {
            Some(true) => outcomes.pass(),
            None => outcomes.not_evaluated("bonded_point.accessible"),
            Some(false) => {
                let place = match (&point.place, point.station_m) {
                    (Some(place), _) => Fact::text("place", place.key()),
                    (None, Some(station)) => Fact::given("place_m", station, 3),
                    (None, None) => Fact::text("place", "a place that is not stated"),
                };
                let message = match place.name {
                    "place_m" => {
                        "{tendon} is bonded to the structure at station {place_m}, where nobody can reach \
                         the bond"
                    }
                    _ => {
                        "{tendon} is bonded to the structure at {place}, where nobody can reach the bond"
                    }
                };
                let route = at.route.field("bonded_points").item(index);
                let mut finding = Finding::new(RULE.id, Kind::Physical, route, message)
                    .help(
                        "Lead the duct through the structure unbroken, in a form or guide pipe that stays; \
                         where the bond can be reached after all, say so in the point's accessible",
                    )
                    .fact(Fact::text("tendon", at.mark()))
                    .fact(place);
                if let Some(by) = point.by.as_deref() {
                    finding = finding.fact(Fact::text("by", by));
                }
                outcomes.found(cite(finding));
            }
        }
    }
}
