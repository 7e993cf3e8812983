//! A part that leaves does not clear what stays, at worst tolerance.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_mechanics::Misfit;
use restrand_mechanics::passing::{self, ABUTTING_MM, Body, Bore, CONTACT_MM, Passage, Pinch};
use restrand_model::resolve::ResolvedPart;
use restrand_model::schedule::{Exit, Permanence, Role};

use crate::assembly::{Assembly, Axis, call};
use crate::context::Context;
use crate::rule::{Check, Correction, LimitKey, Rule};

const GAP: LimitKey =
    LimitKey { name: "withdrawal_gap_mm", meaning: "radial gap left when a part is drawn out" };

pub(crate) const RULE: Rule = Rule {
    id: "parts/cannot-pass",
    summary: "worst outer diameter of what is drawn out against every permanent bore on its way",
    kinds: &[Kind::Physical, Kind::Margin],
    limits: &[GAP],
    sources: &[Citation::new(
        "geometry of coaxial bodies; no published clearance could be read",
        Evidence::Derived,
    )],
    correction: Correction::None,
    page: include_str!("cannot_pass.md"),
    check: Check::Schedule(check),
};

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    for assembly in &context.assemblies {
        if assembly.stays {
            outcomes.not_applicable("no replaceable tendon uses it");
            continue;
        }
        if assembly.parts.is_empty() {
            outcomes.not_evaluated(match assembly.axis {
                Axis::Anchorage => "anchorage.parts",
                Axis::Form => "form.parts",
            });
            continue;
        }
        // What leaves rearward leaves as one rigid bar; what leaves spanward does so part by part.
        let rear: Vec<_> = leaving(assembly, Exit::Rear).collect();
        if !rear.is_empty() {
            pass(context, assembly, rear, Exit::Rear, outcomes);
        }
        for part in leaving(assembly, Exit::Span) {
            pass(context, assembly, vec![part], Exit::Span, outcomes);
        }
        for part in coaxial(assembly, Permanence::Replaceable) {
            match part.part.exit {
                None => outcomes.not_evaluated("part.exit"),
                Some(Exit::StrippedInPlace) => {
                    outcomes.not_applicable("it is taken off where it sits")
                }
                Some(Exit::Rear | Exit::Span) => {}
            }
        }
        if coaxial(assembly, Permanence::Replaceable).next().is_none() {
            match assembly.parts.iter().any(|part| part.part.permanence.is_none()) {
                true => outcomes.not_evaluated("part.permanence"),
                false => outcomes.not_applicable("nothing is drawn out of it"),
            }
        }
    }
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

/// What leaves together, and what it has to come past.
struct Passing<'a> {
    leaving: Vec<&'a ResolvedPart<'a>>,
    bodies: Vec<Body>,
    staying: Vec<&'a ResolvedPart<'a>>,
    bores: Vec<Bore>,
    exit: passing::Exit,
}

impl<'a> Passing<'a> {
    /// Only parts with something on their way need dimensions: the cap sits behind everything that stays.
    fn of(
        assembly: &'a Assembly<'a>,
        leaving: Vec<&'a ResolvedPart<'a>>,
        exit: Exit,
    ) -> Result<Self, &'static str> {
        let axis = assembly.axis;
        let stretches = |parts: &[&ResolvedPart<'_>]| {
            parts.iter().map(|part| axis.stretch(&part.part)).collect::<Result<Vec<_>, _>>()
        };
        let staying: Vec<_> = coaxial(assembly, Permanence::Permanent).collect();
        let (out, stay) = (stretches(&leaving)?, stretches(&staying)?);
        let meet = |body: &(f64, f64), bore: &(f64, f64)| match exit {
            Exit::Span => body.1 > bore.0 + ABUTTING_MM,
            _ => body.0 < bore.1 - ABUTTING_MM,
        };
        let leaving: Vec<_> = leaving
            .into_iter()
            .zip(&out)
            .filter(|(_, body)| stay.iter().any(|bore| meet(body, bore)))
            .map(|(part, _)| part)
            .collect();
        let staying: Vec<_> = staying
            .into_iter()
            .zip(&stay)
            .filter(|(_, bore)| out.iter().any(|body| meet(body, bore)))
            .map(|(part, _)| part)
            .collect();
        Ok(Self {
            bodies: leaving.iter().map(|part| axis.body(&part.part)).collect::<Result<_, _>>()?,
            bores: staying.iter().map(|part| axis.bore(&part.part)).collect::<Result<_, _>>()?,
            leaving,
            staying,
            exit: match exit {
                Exit::Span => passing::Exit::Span,
                _ => passing::Exit::Rear,
            },
        })
    }

    fn tightest(&self, bores: &[Bore]) -> Result<Option<Pinch>, &'static str> {
        passing::tightest(&self.bodies, bores, self.exit).map_err(|misfit| field(&misfit))
    }
}

fn pass(
    context: &Context<'_>,
    assembly: &Assembly<'_>,
    leaving: Vec<&ResolvedPart<'_>>,
    exit: Exit,
    outcomes: &mut Outcomes,
) {
    let passing = match Passing::of(assembly, leaving, exit) {
        Ok(passing) => passing,
        Err(field) => return outcomes.not_evaluated(field),
    };
    // A part of unknown permanence may be one that has to be passed, or one that has to leave too.
    let undecided = assembly
        .parts
        .iter()
        .any(|part| part.part.permanence.is_none() && part.part.role != Some(Role::Tube));
    let pinch = match passing.tightest(&passing.bores) {
        Ok(Some(pinch)) => pinch,
        Ok(None) if undecided => return outcomes.not_evaluated("part.permanence"),
        Ok(None) => return outcomes.not_applicable("nothing permanent is on the way"),
        Err(field) => return outcomes.not_evaluated(field),
    };
    let limit = context.limit(GAP);
    let Ok(passage) = passing::allowance_split(&pinch, limit.value) else {
        return outcomes.not_evaluated("part.rear_outer_mm");
    };
    let (kind, message) = match passage {
        Passage::Clear { .. } => {
            // What passes without an unstated tolerance is not shown to pass with it.
            return match unstated(&passing.leaving, &passing.staying) {
                Some(field) => outcomes.not_evaluated(field),
                None if undecided => outcomes.not_evaluated("part.permanence"),
                None => outcomes.pass(),
            };
        }
        Passage::Clash { .. } => (
            Kind::Physical,
            "{part} cannot be drawn out: at worst tolerance it is {worst_outer_mm} wide where {bore} \
             leaves {worst_bore_mm}",
        ),
        Passage::Short { .. } => (
            Kind::Margin,
            "{part} leaves only {gap_mm} all round where it is drawn through {bore}, less than \
             {withdrawal_gap_mm}",
        ),
    };
    let body = passing.leaving[pinch.body];
    let bore = passing.staying[pinch.bore];
    if !assembly.states(body) && !assembly.states(bore) {
        // The kind has both parts, so what is wrong between them is said there.
        return outcomes.not_applicable("its kind has the finding");
    }
    let stays = "{bore} stays, and must be passed at {at_mm} on the axis";
    let leaves = "{part} leaves through it";
    let (place, other, text, field) = match assembly.states(body) {
        true => (body, bore, stays, outer_field(&passing.bodies[pinch.body], &pinch)),
        false => (bore, body, leaves, inner_field(&passing.bores[pinch.bore], &pinch)),
    };
    let short_mm = (limit.value - pinch.gap_mm) * 2.0;
    let mut finding = Finding::new(RULE.id, kind, context.value_of(&place.route, field), message)
        .related(other.route.clone(), text)
        .help(
            "Let {part} be smaller or {bore} wider by {short_mm} on diameter, or let it leave another \
             way; the parts belong to a tested anchorage, so ask its supplier",
        );
    for (also, bore) in passing.staying.iter().zip(&passing.bores) {
        // Stretches that do not fit are told by the tightest already.
        if let Ok(Some(tight)) = passing.tightest(std::slice::from_ref(bore))
            && also.route != passing.staying[pinch.bore].route
            && tight.gap_mm < limit.value - CONTACT_MM
        {
            finding =
                finding.related(also.route.clone(), "too narrow for the same way out as well");
        }
    }
    for fact in facts(&pinch, assembly.axis, &call(&body.part), &call(&bore.part)) {
        finding = finding.fact(fact);
    }
    finding = finding.fact(Fact::computed("short_mm", short_mm, 1)).fact(limit.fact(GAP, 1));
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
fn inner_field(bore: &Bore, pinch: &Pinch) -> &'static str {
    if pinch.at_mm > f64::midpoint(bore.from_mm, bore.to_mm) {
        "rear_inner_mm"
    } else {
        "span_inner_mm"
    }
}

/// The field of the part whose number cannot be right.
fn field(misfit: &Misfit) -> &'static str {
    let name = match misfit {
        Misfit::NotFinite { argument, .. }
        | Misfit::NotPositive { argument, .. }
        | Misfit::Negative { argument, .. }
        | Misfit::TooLarge { argument, .. }
        | Misfit::NotAbove { argument, .. }
        | Misfit::NotWithin { argument, .. } => argument.name,
        _ => "",
    };
    match name {
        "to_mm" => "part.to_mm",
        "rear_outer_mm" => "part.rear_outer_mm",
        "span_outer_mm" => "part.span_outer_mm",
        "greatest_outer_mm" => "part.greatest_outer_mm",
        "greatest_outer_at_mm" => "part.greatest_outer_at_mm",
        "tolerance_mm" => "part.tolerance_mm",
        "ovality_mm" => "part.ovality_mm",
        "rear_inner_mm" => "part.rear_inner_mm",
        "span_inner_mm" => "part.span_inner_mm",
        "seam_mm" => "part.seam_mm",
        _ => "part.from_mm",
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
    let passing = Passing::of(assembly, vec![part], other).ok()?;
    let clears = match passing.tightest(&passing.bores).ok()? {
        None => true,
        Some(pinch) => pinch.gap_mm >= gap_mm - CONTACT_MM,
    };
    clears.then(|| {
        format!("Draw {{part}} out {way}, where it clears everything, if it can be freed there")
    })
}
