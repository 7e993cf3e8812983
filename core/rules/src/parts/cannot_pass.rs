//! A part that leaves does not clear what stays, at worst tolerance.

mod duct;
mod impossible;
mod passing;
mod stripped;

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_mechanics::passing::{Body, CONTACT_MM, Passage, Pinch, allowance_split};
use restrand_model::reflect::View;
use restrand_model::resolve::ResolvedPart;
use restrand_model::schedule::{Exit, Part, Permanence, Role};

use crate::assembly::{Assembly, Axis, call};
use crate::context::Context;
use crate::rule::{Check, Corrects, LimitKey, Rule};
use passing::Passing;

pub(crate) const GAP: LimitKey =
    LimitKey { name: "withdrawal_gap_mm", meaning: "radial gap left when a part is drawn out" };

pub(crate) const RULE: Rule = Rule {
    id: "parts/cannot-pass",
    summary: "worst outer diameter of what is drawn out against every permanent bore on its way",
    kinds: &[Kind::Physical, Kind::Margin, Kind::Inconsistent],
    limits: &[GAP],
    sources: &[Citation::new(
        "geometry of coaxial bodies; no published clearance could be read",
        Evidence::Derived,
    )],
    correction: Corrects::Nothing,
    implied_by: &[],
    page: include_str!("cannot_pass.md"),
    check: Check::Schedule(check),
};

/// Which of two rules asks: what clashes at nominal is one finding, what only its tolerances close is another.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Asks {
    /// For clashes at nominal, for gaps that are short, and for what cannot be as stated.
    CannotPass,
    /// For what clears at nominal and clashes at worst.
    ToleranceEatsGap,
}

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    over(context, Asks::CannotPass, outcomes);
}

/// Goes over all that is drawn out, for one of the two rules.
pub(super) fn over(context: &Context<'_>, asks: Asks, outcomes: &mut Outcomes) {
    for assembly in &context.assemblies {
        if assembly.stays {
            outcomes.not_applicable("no replaceable tendon uses it");
            continue;
        }
        if assembly.parts.is_empty() {
            outcomes.not_evaluated(assembly.parts_field());
            continue;
        }
        if asks == Asks::CannotPass {
            impossible::check(context, assembly, outcomes);
        }
        // What leaves rearward leaves as one rigid bar; what leaves spanward does so part by part.
        let rear: Vec<_> = leaving(assembly, Exit::Rear).collect();
        if !rear.is_empty() {
            pass(context, assembly, rear, Exit::Rear, asks, outcomes);
        }
        for part in leaving(assembly, Exit::Span) {
            pass(context, assembly, vec![part], Exit::Span, asks, outcomes);
        }
        for part in coaxial(assembly, Permanence::Replaceable) {
            match part.part.exit {
                None => outcomes.not_evaluated("part.exit"),
                Some(Exit::StrippedInPlace) if asks == Asks::CannotPass => {
                    stripped::check(context, assembly, part, outcomes);
                }
                Some(_) => {}
            }
        }
        if coaxial(assembly, Permanence::Replaceable).next().is_none() {
            match assembly.parts.iter().any(|part| part.part.permanence.is_none()) {
                true => outcomes.not_evaluated("part.permanence"),
                false => outcomes.not_applicable("nothing is drawn out of it"),
            }
        }
    }
    duct::check(context, asks, outcomes);
}

/// Why one of the two rules leaves a way out to the other.
const OTHER_RULE: &str =
    "it is told as a clash at nominal, or as one at worst tolerance, and not as both";

/// Which rule tells what does not keep its gap.
fn asks_of(clash: bool, nominal_gap_mm: f64) -> Asks {
    match clash && nominal_gap_mm >= -CONTACT_MM {
        true => Asks::ToleranceEatsGap,
        false => Asks::CannotPass,
    }
}

impl Asks {
    const fn id(self) -> &'static str {
        match self {
            Self::CannotPass => RULE.id,
            Self::ToleranceEatsGap => super::tolerance_eats_gap::RULE.id,
        }
    }
}

/// Where tolerances are not stated: a clash with those that the rulebook assumes instead.
fn assumed(
    context: &Context<'_>,
    assembly: &Assembly<'_>,
    passing: &Passing<'_>,
    pinch: &Pinch,
) -> Option<Finding> {
    let (body, bore) = (passing.leaving[pinch.body], passing.staying[pinch.bore]);
    if !states_shape(context, assembly, body) && !states_shape(context, assembly, bore) {
        return None;
    }
    let (leaves, stays) = (body.part.as_ref(), bore.part.as_ref());
    let limits = super::tolerance_eats_gap::ASSUMED.map(|key| (key, context.limit(key)));
    let [tolerance_mm, ovality_mm, seam_mm] = limits.map(|(_, limit)| limit.value);
    let taken_mm = [leaves, stays].map(|part| {
        let tolerance_mm = if part.tolerance_mm.is_none() { tolerance_mm } else { 0.0 };
        let ovality_mm = if part.ovality_mm.is_none() { ovality_mm } else { 0.0 };
        tolerance_mm + ovality_mm / 2.0
    });
    let seam_mm = if stays.seam_mm.is_none() { seam_mm } else { 0.0 };
    let gap_mm = pinch.gap_mm - (taken_mm[0] + taken_mm[1] + seam_mm) / 2.0;
    let is_assumed = gap_mm < pinch.gap_mm;
    if !is_assumed || gap_mm >= -CONTACT_MM {
        return None;
    }
    let mut finding = Finding::new(
        Asks::ToleranceEatsGap.id(),
        Kind::Margin,
        body.route.clone(),
        "{part} of {owner} clears {bore} by {nominal_gap_mm} all round at nominal; not all tolerances are stated, and with those \
         that are assumed in their place the two overlap by {overlap_mm}",
    )
    .related(bore.route.clone(), "{bore} stays, and must be passed at {at_mm} on the axis")
    .help("State tolerance, ovality and seam of both; the assumed ones are no one's promise")
    .fact(Fact::text("owner", assembly.name.as_str()))
    .fact(Fact::computed("overlap_mm", -gap_mm, 2));
    // The numbers are those with what is assumed, as the message is.
    let taken = Pinch {
        worst_outer_mm: pinch.worst_outer_mm + taken_mm[0],
        worst_bore_mm: pinch.worst_bore_mm - taken_mm[1] - seam_mm,
        gap_mm,
        ..*pinch
    };
    for fact in facts(&taken, assembly.axis, &call(leaves), &call(stays)) {
        finding = finding.fact(fact);
    }
    for (key, limit) in limits {
        finding = finding.fact(limit.fact(key, 1));
    }
    Some(finding)
}

/// The parts of this permanence that lie round the axis; a tube for filling or venting crosses it.
fn coaxial<'a>(
    assembly: &'a Assembly<'a>,
    permanence: Permanence,
) -> impl Iterator<Item = &'a ResolvedPart<'a>> {
    assembly.of(permanence).filter(|resolved| resolved.part.role != Some(Role::Tube))
}

fn leaving<'a>(
    assembly: &'a Assembly<'a>,
    exit: Exit,
) -> impl Iterator<Item = &'a ResolvedPart<'a>> {
    coaxial(assembly, Permanence::Replaceable)
        .filter(move |resolved| resolved.part.exit == Some(exit))
}

/// The fields that say where a part is and how wide.
const SHAPE: &[&str] = &[
    "permanence",
    "exit",
    "rear_outer_mm",
    "rear_inner_mm",
    "span_outer_mm",
    "span_inner_mm",
    "greatest_outer_mm",
    "greatest_outer_at_mm",
    "tolerance_mm",
    "ovality_mm",
    "seam_mm",
    "from_mm",
    "to_mm",
    "wall_radius_mm",
];

/// Whether the part is stated here, or where it only changes a kind's, something of its shape is.
pub(super) fn states_shape(
    context: &Context<'_>,
    assembly: &Assembly<'_>,
    resolved: &ResolvedPart<'_>,
) -> bool {
    assembly.states(resolved)
        && (!assembly.changes(resolved)
            || SHAPE.iter().any(|field| {
                !matches!(resolved.route.field(field).view(context.schedule), View::Absent)
            }))
}

fn pass(
    context: &Context<'_>,
    assembly: &Assembly<'_>,
    leaving: Vec<&ResolvedPart<'_>>,
    exit: Exit,
    asks: Asks,
    outcomes: &mut Outcomes,
) {
    let passing = Passing::of(assembly, leaving, exit);
    // A part of unknown permanence may be one that has to be passed, or one that has to leave too.
    let undecided = assembly
        .parts
        .iter()
        .any(|part| part.part.permanence.is_none() && part.part.role != Some(Role::Tube));
    let unknown = passing.unknown.or(undecided.then_some("part.permanence"));
    let limit = context.limit(GAP);
    let is_stated = |part: &ResolvedPart<'_>| states_shape(context, assembly, part);
    let tight = |pinch: &Pinch| pinch.gap_mm < limit.value - CONTACT_MM;
    // What is wrong between two parts of the kind is said at the kind.
    let own = passing.tightest_with(is_stated);
    let Some(pinch) = own.filter(tight).or_else(|| passing.tightest()) else {
        return match unknown {
            Some(field) => outcomes.not_evaluated(field),
            None => outcomes.not_applicable("nothing permanent is on the way"),
        };
    };
    let Ok(passage) = allowance_split(&pinch, limit.value) else {
        return outcomes.not_evaluated("part.rear_outer_mm");
    };
    let clash = matches!(passage, Passage::Clash { .. });
    if !clash && let Some(finding) = assumed(context, assembly, &passing, &pinch) {
        match asks {
            Asks::ToleranceEatsGap => return outcomes.found(finding),
            Asks::CannotPass if matches!(passage, Passage::Short { .. }) => {
                return outcomes.not_applicable(OTHER_RULE);
            }
            Asks::CannotPass => {}
        }
    }
    if asks != asks_of(clash, pinch.nominal_gap_mm) && !matches!(passage, Passage::Clear { .. }) {
        return outcomes.not_applicable(OTHER_RULE);
    }
    let (kind, message) = match passage {
        Passage::Clear { .. } => {
            // What passes without an unstated tolerance is not shown to pass with it.
            let missing = unknown.or_else(|| unstated(&passing.leaving, &passing.staying));
            // A bent pipe that is wide enough may still hold what is stiff and bent.
            return match missing.or(assembly.is_bent.then_some("form.kind")) {
                Some(field) => outcomes.not_evaluated(field),
                None => outcomes.pass(),
            };
        }
        Passage::Clash { .. } => (
            Kind::Physical,
            match asks {
                Asks::CannotPass => {
                    "{part} of {owner} cannot be drawn out: at worst tolerance it is {worst_outer_mm} wide where {bore} \
                     leaves {worst_bore_mm}"
                }
                Asks::ToleranceEatsGap => {
                    "the tolerances eat the gap of {part} of {owner}: it clears {bore} by {nominal_gap_mm} all round at nominal, \
                     but at worst it is {worst_outer_mm} wide where {bore} leaves {worst_bore_mm}"
                }
            },
        ),
        Passage::Short { .. } => (
            Kind::Margin,
            "{part} of {owner} leaves only {gap_mm} all round where it is drawn through {bore}, less than \
             {withdrawal_gap_mm}",
        ),
    };
    let body = passing.leaving[pinch.body];
    let bore = passing.staying[pinch.bore];
    if !is_stated(body) && !is_stated(bore) {
        // The kind has both parts, so what is wrong between them is said there.
        return outcomes.not_applicable("its kind has the finding");
    }
    let stays = "{bore} stays, and must be passed at {at_mm} on the axis";
    let leaves = "{part} leaves through it";
    let (place, other, text, field) = match is_stated(body) {
        true => (body, bore, stays, outer_field(&passing.bodies[pinch.body], &pinch)),
        false => (bore, body, leaves, inner_field(assembly, &bore.part, &pinch)),
    };
    let short_mm = (limit.value - pinch.gap_mm) * 2.0;
    let mut finding = Finding::new(asks.id(), kind, context.value_of(&place.route, field), message)
        .related(other.route.clone(), text)
        .help(match assembly.axis {
            Axis::Anchorage => {
                "Let {part} be smaller or {bore} wider by {short_mm} on diameter, or let it leave another \
                 way; the parts belong to a tested anchorage, so ask its supplier"
            }
            Axis::Form => {
                "Let {part} be smaller or {bore} wider by {short_mm} on diameter, or let it leave another way"
            }
        });
    for also in passing.tightest_of_each() {
        // Stretches that do not fit are told by the tightest already.
        if also.bore != pinch.bore && tight(&also) {
            let also_bore = passing.staying[also.bore];
            finding = finding.related(
                also_bore.route.clone(),
                format!(
                    "{} is too narrow for the same way out as well, for {}",
                    call(&also_bore.part),
                    call(&passing.leaving[also.body].part)
                ),
            );
        }
    }
    for fact in facts(&pinch, assembly.axis, &call(&body.part), &call(&bore.part)) {
        finding = finding.fact(fact);
    }
    finding = finding.fact(Fact::text("owner", assembly.name.as_str()));
    finding =
        finding.fact(Fact::computed("short_mm", short_mm, 1).at_least()).fact(limit.fact(GAP, 1));
    if let Some(remedy) = other_exit(assembly, body, exit, limit.value) {
        finding = finding.remedy(remedy);
    }
    outcomes.found(finding);
}

/// The field that holds the diameter of the body's tight section.
fn outer_field(body: &Body, pinch: &Pinch) -> &'static str {
    let diameter_mm = pinch.worst_outer_mm - body.tolerance_mm - body.ovality_mm / 2.0;
    if body.greatest_outer_mm.is_some_and(|greatest| (greatest - diameter_mm).abs() < CONTACT_MM) {
        "greatest_outer_mm"
    } else if pinch.section_mm > f64::midpoint(body.from_mm, body.to_mm) {
        "rear_outer_mm"
    } else {
        "span_outer_mm"
    }
}

/// The field that holds the diameter of the bore where it is tight.
fn inner_field(assembly: &Assembly<'_>, part: &Part, pinch: &Pinch) -> &'static str {
    match assembly.axis.stretch(part) {
        Ok((span_mm, rear_mm)) if pinch.at_mm <= f64::midpoint(span_mm, rear_mm) => "span_inner_mm",
        _ => "rear_inner_mm",
    }
}

/// The first field of tolerance that is not stated.
fn unstated(leaving: &[&ResolvedPart<'_>], staying: &[&ResolvedPart<'_>]) -> Option<&'static str> {
    let all = || leaving.iter().chain(staying).map(|resolved| &resolved.part);
    if all().any(|part| part.tolerance_mm.is_none()) {
        Some("part.tolerance_mm")
    } else if all().any(|part| part.ovality_mm.is_none()) {
        Some("part.ovality_mm")
    } else if staying.iter().any(|resolved| resolved.part.seam_mm.is_none()) {
        Some("part.seam_mm")
    } else {
        None
    }
}

fn facts(pinch: &Pinch, axis: Axis, part: &str, bore: &str) -> [Fact; 7] {
    [
        Fact::text("part", part),
        Fact::text("bore", bore),
        Fact::computed("at_mm", axis.position(pinch.at_mm), 1),
        Fact::computed("worst_outer_mm", pinch.worst_outer_mm, 2),
        // A solid part, or a seam as high as the bore is wide, leaves nothing.
        Fact::computed("worst_bore_mm", pinch.worst_bore_mm.max(0.0), 2),
        Fact::computed("gap_mm", pinch.gap_mm, 2),
        Fact::computed("nominal_gap_mm", pinch.nominal_gap_mm, 2),
    ]
}

/// Says so if the part alone would clear everything the other way.
fn other_exit(
    assembly: &Assembly<'_>,
    part: &ResolvedPart<'_>,
    exit: Exit,
    gap_mm: f64,
) -> Option<String> {
    let (other, way) = match exit {
        Exit::Span => (Exit::Rear, "rearward"),
        _ => (Exit::Span, "to the span side"),
    };
    let passing = Passing::of(assembly, vec![part], other);
    let clears = passing.unknown.is_none()
        && passing.tightest().is_none_or(|pinch| pinch.gap_mm >= gap_mm - CONTACT_MM);
    clears.then(|| {
        format!("Draw {{part}} out {way}, where it clears everything, if it can be freed there")
    })
}
