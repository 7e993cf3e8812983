//! A tendon is said to be jacked from an end that cannot be, or from none.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_model::reflect::Choice;
use restrand_model::route::Route;
use restrand_model::schedule::{EndKind, EndName, Status};

use super::jacked;
use crate::context::{Context, EndAt, TendonAt};
use crate::rule::{Check, Corrects, Rule};

pub(crate) const RULE: Rule = Rule {
    id: "stressing/end-role-conflict",
    summary: "the ends from which a tendon is jacked against what its ends are",
    kinds: &[Kind::Inconsistent],
    limits: &[],
    sources: &[Citation::new(
        "IFC 4.3, IfcTendonAnchorTypeEnum: a fixed end fixes, a tensioning end is or can be used to stress",
        Evidence::Read,
    )],
    correction: Corrects::Nothing,
    implied_by: &[],
    page: include_str!("end_role_conflict.md"),
    check: Check::Tendons(check),
};

fn check(_: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    if at.tendon.status == Some(Status::Removed) {
        return outcomes.not_applicable("the tendon is removed");
    }
    let ends: Vec<EndAt<'_>> = at.ends().collect();
    let from = at.tendon.stressing.as_deref().and_then(|stressing| stressing.from);
    let jacked = from.map(jacked::ends);
    let mut has_finding = false;
    // What is said of an end is said once, by whatever first says that it is jacked.
    for end in &ends {
        let Some(kind) = end.end.kind.filter(|kind| *kind != EndKind::Stressing) else {
            continue;
        };
        let Some((place, says)) = jacked_by(at, jacked, end.name) else { continue };
        has_finding = true;
        outcomes.found(finding(at, end, kind, place, says, &ends));
    }
    // A step at an end from which the tendon is not jacked, though it could be.
    if let Some(jacked) = jacked.filter(|_| !has_finding) {
        let strange = at.tendon.stressing_steps.iter().enumerate().find_map(|(index, step)| {
            let name = step.end.filter(|name| !jacked.contains(name))?;
            let stands = ends.iter().any(|end| {
                end.name == name && !matches!(end.end.kind, Some(EndKind::Stressing) | None)
            });
            (!stands).then_some((index, name))
        });
        if let Some((index, name)) = strange {
            has_finding = true;
            outcomes.found(strange_step(at, index, name));
        }
    }
    if has_finding {
        return;
    }
    let kinds: Vec<Option<EndKind>> = [EndName::A, EndName::B]
        .into_iter()
        .map(|name| ends.iter().find(|end| end.name == name).and_then(|end| end.end.kind))
        .collect();
    if kinds.iter().all(|kind| matches!(kind, Some(EndKind::Dead | EndKind::Embedded))) {
        return outcomes.found(
            Finding::new(
                RULE.id,
                Kind::Inconsistent,
                at.route.field("ends"),
                "both ends of tendon {tendon} are dead: it has no end from which it can be jacked",
            )
            .help("State which end is jacked, and its jack; a tendon that nobody jacks carries nothing")
            .fact(Fact::text("tendon", at.mark()))
            .remedy("Make one end a stressing end"),
        );
    }
    match jacked {
        Some(jacked) => {
            let known = |name: &EndName| kinds[usize::from(*name == EndName::B)].is_some();
            if jacked.iter().all(known) {
                outcomes.pass();
            } else {
                outcomes.not_evaluated("end.kind");
            }
        }
        None => outcomes.not_evaluated("stressing.from"),
    }
}

/// Where and how the schedule says that an end is jacked.
fn jacked_by(
    at: &TendonAt<'_>,
    jacked: Option<&[EndName]>,
    name: EndName,
) -> Option<(Route, &'static str)> {
    if jacked.is_some_and(|ends| ends.contains(&name)) {
        return Some((at.route.field("stressing").field("from"), "is to be jacked from"));
    }
    let index = at.tendon.stressing_steps.iter().position(|step| step.end == Some(name))?;
    let route = at.route.field("stressing_steps").item(index).field("end");
    Some((route, "has a step of its table at"))
}

fn finding(
    at: &TendonAt<'_>,
    end: &EndAt<'_>,
    kind: EndKind,
    place: Route,
    says: &str,
    ends: &[EndAt<'_>],
) -> Finding {
    let is = match kind {
        EndKind::Embedded => "embedded in the concrete",
        EndKind::Dead | EndKind::Stressing => "a dead end",
    };
    let message = format!("tendon {{tendon}} {says} end {{end}}, which is {is}");
    let other = ends
        .iter()
        .find(|other| other.name != end.name && other.end.kind == Some(EndKind::Stressing));
    let mut finding = Finding::new(RULE.id, Kind::Inconsistent, place, message)
        .related(end.route.field("kind"), "what the end is")
        .help(
            "Forces, elongations, jack and room all hang on the end that is jacked: say the same of it \
             everywhere",
        )
        .fact(Fact::text("tendon", at.mark()))
        .fact(Fact::text("end", end.name.word()));
    if let Some(other) = other {
        finding = finding
            .fact(Fact::text("other_end", other.name.word()))
            .remedy("Jack from end {other_end}, which is a stressing end");
    }
    if kind == EndKind::Dead {
        finding = finding.fact(Fact::text("goes_with", goes_with(at, end))).remedy(
            "Make end {end} a stressing end, if its anchorage can be jacked; with it go {goes_with}",
        );
    }
    finding
}

/// What has to be stated too where an end becomes a stressing end.
fn goes_with(at: &TendonAt<'_>, end: &EndAt<'_>) -> String {
    let mut all = vec!["the room for its jack".to_owned()];
    if end.end.jack.is_none() {
        all.push("the name of that jack".to_owned());
    }
    if at.tendon.stressing_steps.iter().any(|step| step.end.is_some_and(|name| name != end.name)) {
        all.push("the end in its table of steps".to_owned());
    }
    if let Some(twin) = &at.tendon.twin {
        all.push(format!("the same at its twin {}", twin.key()));
    }
    match all.split_last() {
        Some((last, [])) => last.clone(),
        Some((last, before)) => format!("{} and {last}", before.join(", ")),
        None => String::new(),
    }
}

fn strange_step(at: &TendonAt<'_>, index: usize, name: EndName) -> Finding {
    let place = at.route.field("stressing_steps").item(index).field("end");
    Finding::new(
        RULE.id,
        Kind::Inconsistent,
        place,
        "tendon {tendon} has a step of its table at end {end}, from which it is not to be jacked",
    )
    .related(at.route.field("stressing").field("from"), "from where it is jacked")
    .help("Say the same in the table of steps and of the tendon, from which end it is jacked, or both")
    .fact(Fact::text("tendon", at.mark()))
    .fact(Fact::text("end", name.word()))
    .remedy("State the end that is jacked in this step, or that both ends are")
}
