//! A jack cannot stress in the room behind the anchorage, or traps strands.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes, Severity};
use restrand_mechanics::room::JackCase;
use restrand_model::schedule::{Jack, JackKind};

use super::jack_case::{self, ROOM, SIDE, jack_at};
use crate::beyond::beyond;
use crate::context::{Context, EndAt, Found, TendonAt};
use crate::rule::{Check, Corrects, LimitKey, Rule};

const STRAIGHT: LimitKey = LimitKey {
    name: "kink_free_rad",
    meaning: "turn of an external tendon that needs no deviator",
};

pub(crate) const RULE: Rule = Rule {
    id: "space/jack-stress",
    summary: "the room for each end's jack with its piston out; a jack for one strand on a deviated tendon",
    kinds: &[Kind::Physical, Kind::Margin, Kind::Inconsistent],
    limits: &[ROOM, SIDE, STRAIGHT],
    sources: &[Citation::new(
        "geometry of a jack that goes on and off along the axis; no published procedure could be read",
        Evidence::Derived,
    )],
    correction: Corrects::Nothing,
    implied_by: &[],
    page: include_str!("jack_stress.md"),
    check: Check::Tendons(check),
};

fn check(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    jack_case::check(context, at, (RULE.id, JackCase::Stressing), outcomes);
    for end in at.ends() {
        // Ends that are not stressed were said above.
        let Ok(jack) = jack_at(context, at, &end) else { continue };
        if jack.record.kind != Some(JackKind::SingleStrand) {
            continue;
        }
        match turn_rad(context, at) {
            Ok(turn_rad) if beyond(turn_rad, context.limit(STRAIGHT).value) => {
                outcomes.found(trapped(at, &end, &jack, turn_rad));
            }
            Ok(_) => outcomes.pass(),
            Err(field) => outcomes.not_evaluated(field),
        }
    }
}

/// The greatest turn of a tendon at one place: of its path, else as its deviators state it.
fn turn_rad(context: &Context<'_>, at: &TendonAt<'_>) -> Result<f64, &'static str> {
    let most = |turns: &mut dyn Iterator<Item = f64>| turns.fold(0.0, f64::max);
    match context.path(at) {
        Ok(laid) => Ok(most(&mut laid.path.bends.iter().map(|bend| bend.angle_rad))),
        Err(none) => {
            let stated = at.tendon.deviators.iter().filter_map(|deviator| deviator.angle_rad);
            stated.reduce(f64::max).ok_or(none.field())
        }
    }
}

fn trapped(at: &TendonAt<'_>, end: &EndAt<'_>, jack: &Found<'_, Jack>, turn_rad: f64) -> Finding {
    Finding::new(
        RULE.id,
        Kind::Inconsistent,
        end.route.field("jack"),
        "jack {jack} pulls {tendon} at {end} strand by strand, and the tendon turns by {turn_rad}: the strands \
         pulled first trap those under them",
    )
    .severity(Severity::Warning)
    .related(jack.route.field("kind"), "the jack pulls one strand")
    .help(
        "Where strands press on each other at a deviator, the last ones do not get their force: that is for the \
         engineer in charge to decide, with a test",
    )
    .fact(Fact::text("tendon", at.mark()))
    .fact(Fact::text("end", format!("end {}", end.name)))
    .fact(Fact::text("jack", jack.record.id.as_deref().unwrap_or("without a name")))
    .fact(Fact::computed("turn_rad", turn_rad, 4))
}
