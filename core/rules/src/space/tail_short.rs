//! The tail of a tendon that can be stressed again is too short for the jack to grip it.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_mechanics::jack::tail_spare_mm;
use restrand_model::schedule::{Anchorage, CapKind, EndKind, JackKind, Status};

use crate::context::{Context, EndAt, TendonAt};
use crate::rule::{Check, Corrects, Rule};

pub(crate) const RULE: Rule = Rule {
    id: "space/tail-short",
    summary: "the tail of each end that can be stressed again against what its jack grips",
    kinds: &[Kind::Physical],
    limits: &[],
    sources: &[Citation::new("geometry of a jack's grip", Evidence::Derived)],
    correction: Corrects::Nothing,
    implied_by: &[],
    page: include_str!("tail_short.md"),
    check: Check::Tendons(check),
};

fn check(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    if !matches!(at.tendon.status, None | Some(Status::InUse)) {
        return outcomes.not_applicable("the tendon is not in place");
    }
    for end in at.ends() {
        if matches!(end.end.kind, Some(EndKind::Dead | EndKind::Embedded)) {
            outcomes.not_applicable("the end is not stressed");
            continue;
        }
        let Some(anchorage) = context.anchorage(end.end) else {
            outcomes.not_evaluated("end.anchorage");
            continue;
        };
        let record = anchorage.record;
        if !is_stressed_again(record) {
            outcomes.not_applicable("the anchorage is not said to be stressed again");
            continue;
        }
        match judge(context, at, &end) {
            Ok(None) => outcomes.pass(),
            Ok(Some(finding)) => outcomes.found(finding),
            Err(field) => outcomes.not_evaluated(field),
        }
    }
}

/// Whether the tails at an anchorage are kept to be stressed again.
pub(super) fn is_stressed_again(anchorage: &Anchorage) -> bool {
    anchorage.restressable == Some(true) || anchorage.cap_kind == Some(CapKind::Restressable)
}

fn judge(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    end: &EndAt<'_>,
) -> Result<Option<Finding>, &'static str> {
    const TAIL: &str = "end.tail_mm";
    let tail_mm = end.end.tail_mm.ok_or(TAIL)?;
    let jack = context.jack(end.end.jack.as_ref()).ok_or("end.jack")?;
    let needed_mm = jack.record.tail_mm.ok_or("jack.tail_mm")?;
    let is_long_enough = |needed_mm: f64| {
        tail_spare_mm(tail_mm, needed_mm).map(|spare_mm| spare_mm >= 0.0).map_err(|_| TAIL)
    };
    if is_long_enough(needed_mm)? {
        return Ok(None);
    }
    // Jacks listed for the anchorage that this tail is enough for; one for single strands is never offered.
    let anchorage = context.anchorage(end.end).ok_or("end.anchorage")?;
    let mut others = Vec::new();
    for link in &anchorage.record.jacks {
        let Some(other) = context.jack(Some(link)) else { continue };
        let kind = other.record.kind;
        if let Some(needed_mm) = other.record.tail_mm
            && other.route != jack.route
            && matches!(kind, Some(JackKind::MultiStrand | JackKind::LiftOff))
            && is_long_enough(needed_mm)?
        {
            // A jack under a ring is there for just that.
            if kind == Some(JackKind::LiftOff) {
                return Ok(None);
            }
            others.push((link.key(), needed_mm));
        }
    }
    let other = others.into_iter().min_by(|one, other| one.1.total_cmp(&other.1));
    let mut finding = Finding::new(
        RULE.id,
        Kind::Physical,
        end.route.field("tail_mm"),
        "{end} of {tendon} is kept to be stressed again, but of its tail of {tail_mm} jack {jack} cannot take hold: it \
         needs {jack_tail_mm} from the wedge plate",
    )
    .related(jack.route.field("tail_mm"), "what the jack needs")
    .related(anchorage.route.clone(), "the anchorage is said to be stressed again")
    .help(
        "Once cut, a tail does not grow: keep it long under a longer cap, or state the jack that works on what is left",
    )
    .fact(Fact::text("tendon", at.mark()))
    .fact(Fact::text("end", format!("end {}", end.name)))
    .fact(Fact::text("jack", jack.record.id.as_deref().unwrap_or("without a name")))
    .fact(Fact::given("tail_mm", tail_mm, 1))
    .fact(Fact::given("jack_tail_mm", needed_mm, 1).at_least())
    .fact(Fact::computed("more_mm", needed_mm - tail_mm, 1).at_least())
    .fact(Fact::computed("ratio", tail_mm / needed_mm, 2));
    if let Some((name, other_mm)) = other {
        finding = finding
            .fact(Fact::text("other_jack", name))
            .fact(Fact::given("other_tail_mm", other_mm, 1))
            .remedy(
                "Take jack {other_jack}, listed for this anchorage, which needs {other_tail_mm}",
            );
    }
    Ok(Some(finding.remedy("Leave {more_mm} more of the tail, {jack_tail_mm} in all")))
}
