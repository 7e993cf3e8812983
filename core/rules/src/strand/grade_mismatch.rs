//! The stated strength of a strand is not that of its grade, or of its breaking force.

use restrand_finding::{Citation, Class, Correction, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_mechanics::tables::strand::{FPU_RECOGNITION_MPA, STRENGTHS_KSI, STRENGTHS_MPA};
use restrand_model::quantity::{Dimension, Unit};
use restrand_model::route::Route;
use restrand_model::schedule::Strand;
use restrand_model::value::Value;

use super::table;
use crate::context::Context;
use crate::rule::{Check, Corrects, LimitKey, Rule};

const TOLERANCE: LimitKey = LimitKey {
    name: "breaking_force_tolerance",
    meaning: "share by which a strand's breaking force may differ from its strength times its area",
};

pub(crate) const RULE: Rule = Rule {
    id: "strand/grade-mismatch",
    summary: "stated strength of a strand against the number in its grade, and against its breaking force",
    kinds: &[Kind::Inconsistent],
    limits: &[TOLERANCE],
    sources: &[
        Citation::new(
            "ASTM A416/A416M-17: grades 250 [1725] and 270 [1860] of the nominal area",
            Evidence::Read,
        ),
        Citation::new(
            "EN 10138-3, drafts: the grade's number is the strength",
            Evidence::Secondary,
        ),
    ],
    correction: Corrects::Offers(&[Class::Propose], offer),
    implied_by: &["strand/area-mismatch"],
    page: include_str!("grade_mismatch.md"),
    check: Check::Schedule(check),
};

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    for (index, strand) in context.schedule.strands.iter().enumerate() {
        let route = Route::to("strands", index);
        let Some(fpu_mpa) = strand.fpu_mpa else {
            outcomes.not_evaluated("strand.fpu_mpa");
            continue;
        };
        by_grade(strand, fpu_mpa, &route, outcomes);
        by_breaking_force(context, strand, fpu_mpa, &route, outcomes);
    }
}

/// The strength that the grade names, where it names one.
fn offer(context: &Context<'_>, offered: &mut Vec<Correction>) {
    for (index, strand) in context.schedule.strands.iter().enumerate() {
        let (Some(grade), Some(fpu_mpa)) = (strand.grade.as_deref(), strand.fpu_mpa) else {
            continue;
        };
        let [named] = strengths(grade)[..] else {
            continue;
        };
        if !is_far(named, fpu_mpa) {
            continue;
        }
        let route = Route::to("strands", index);
        let reason = "the grade {grade} names a strength of {named_mpa}";
        let value = Some(Value::Number(named));
        offered.push(
            Correction::new(RULE.id, Class::Propose, route.field("fpu_mpa"), value, reason)
                .fact(Fact::text("grade", grade))
                .fact(Fact::computed("named_mpa", named, 1))
                .rests_on(route.field("grade")),
        );
    }
}

/// Whether a strength is not the one that a grade names; a decimal fraction is not exact.
fn is_far(named_mpa: f64, fpu_mpa: f64) -> bool {
    (named_mpa - fpu_mpa).abs() > FPU_RECOGNITION_MPA + 1e-9
}

fn by_grade(strand: &Strand, fpu_mpa: f64, route: &Route, outcomes: &mut Outcomes) {
    let Some(grade) = strand.grade.as_deref().filter(|grade| !grade.trim().is_empty()) else {
        return outcomes.not_evaluated("strand.grade");
    };
    let strengths = strengths(grade);
    if strengths.is_empty() {
        return outcomes.not_applicable("the grade names no strength");
    }
    // A grade of two strengths is wrong whatever else is stated: neither of them mends it.
    if let [one_mpa, others @ ..] = &strengths[..]
        && let Some(other_mpa) = others.iter().find(|other_mpa| is_far(*one_mpa, **other_mpa))
    {
        return outcomes.found(of_two_strengths(strand, grade, route, [*one_mpa, *other_mpa]));
    }
    let Some(named) = strengths.iter().find(|named| is_far(**named, fpu_mpa)) else {
        return outcomes.pass();
    };
    let finding = Finding::new(
        RULE.id,
        Kind::Inconsistent,
        route.field("fpu_mpa"),
        "the strength of strand {strand} is stated as {fpu_mpa}, but its grade {grade} names {named_mpa}",
    )
    .related(route.field("grade"), "the grade")
    .help(
        "Jacking forces and capacities are shares of the strength: state that of the grade, or the grade that \
         was ordered",
    )
    .fact(Fact::text("strand", table::name(strand)))
    .fact(Fact::text("grade", grade))
    .fact(Fact::given("fpu_mpa", fpu_mpa, 1))
    .fact(Fact::computed("named_mpa", *named, 1))
    .remedy("State {named_mpa}, if the grade is right");
    outcomes.found(finding);
}

fn of_two_strengths(
    strand: &Strand,
    grade: &str,
    route: &Route,
    [one, other]: [f64; 2],
) -> Finding {
    Finding::new(
        RULE.id,
        Kind::Inconsistent,
        route.field("grade"),
        "the grade {grade} of strand {strand} names two strengths, {one_mpa} and {other_mpa}",
    )
    .related(route.field("fpu_mpa"), "the strength that is stated")
    .help("Jacking forces and capacities are shares of the strength: state the grade that was ordered")
    .fact(Fact::text("strand", table::name(strand)))
    .fact(Fact::text("grade", grade))
    .fact(Fact::computed("one_mpa", one, 1))
    .fact(Fact::computed("other_mpa", other, 1))
    .remedy("State the grade as its standard pairs it, 250 [1725] or 270 [1860] in ASTM A416/A416M, with its strength")
}

/// The strengths that a grade names, in MPa: `270 [1860]` names two, `Y1860S7` one.
fn strengths(grade: &str) -> Vec<f64> {
    let of_strand = [("ksi", STRENGTHS_KSI), ("MPa", STRENGTHS_MPA)];
    grade
        .split(|letter: char| !letter.is_ascii_digit())
        .filter_map(|digits| digits.parse::<f64>().ok())
        .filter_map(|number| {
            of_strand.iter().find(|(_, range)| range.contains(&number)).and_then(|(symbol, _)| {
                let unit = Unit::find(symbol, Dimension::Stress)?;
                Some(unit.convert(number, Unit::find("MPa", Dimension::Stress)?))
            })
        })
        .collect()
}

fn by_breaking_force(
    context: &Context<'_>,
    strand: &Strand,
    fpu_mpa: f64,
    route: &Route,
    outcomes: &mut Outcomes,
) {
    let Some(breaking_force_kn) = strand.breaking_force_kn else {
        return outcomes.not_evaluated("strand.breaking_force_kn");
    };
    let Some(area_mm2) = strand.area_mm2 else {
        return outcomes.not_evaluated("strand.area_mm2");
    };
    let tolerance = context.limit(TOLERANCE);
    let expected = fpu_mpa * area_mm2 / 1000.0;
    let off = (breaking_force_kn - expected).abs();
    if off <= tolerance.value * expected * (1.0 + 1e-9) {
        return outcomes.pass();
    }
    let finding = Finding::new(
        RULE.id,
        Kind::Inconsistent,
        route.field("breaking_force_kn"),
        "the breaking force of strand {strand} is stated as {breaking_force_kn}, but its strength times its \
         area is {product_kn}; the two differ by a share of {deviation}",
    )
    .related(route.field("fpu_mpa"), "the strength")
    .related(route.field("area_mm2"), "the area")
    .help("One of force, strength and area is wrong: correct it to the standard or the certificate")
    .fact(Fact::text("strand", table::name(strand)))
    .fact(Fact::given("breaking_force_kn", breaking_force_kn, 1))
    .fact(Fact::given("fpu_mpa", fpu_mpa, 1))
    .fact(Fact::given("area_mm2", area_mm2, 1))
    .fact(Fact::computed("product_kn", expected, 1))
    .fact(Fact::computed("deviation", off / expected, 4))
    .fact(tolerance.fact(TOLERANCE, 4));
    outcomes.found(finding);
}

#[cfg(test)]
mod tests {
    use super::strengths;

    #[test]
    fn a_grade_names_its_strength_in_either_system() {
        for (grade, expected) in [
            ("Y1860S7", vec![1860.0]),
            ("1770", vec![1770.0]),
            ("Gr. 270", vec![270.0 * 6.894_757_293]),
            ("Grade 250 [1725]", vec![250.0 * 6.894_757_293, 1725.0]),
            ("270K low-relaxation", vec![270.0 * 6.894_757_293]),
            ("Y1860S7G", vec![1860.0]),
            ("low relaxation, class 2", vec![]),
            ("15.7", vec![]),
            ("", vec![]),
        ] {
            let found = strengths(grade);
            assert_eq!(found.len(), expected.len(), "{grade}: {found:?}");
            for (found, expected) in found.iter().zip(expected) {
                assert!((found - expected).abs() < 1e-3, "{grade}: {found} {expected}");
            }
        }
    }
}
