//! A tendon is bent to a smaller radius than one of its size takes.

use restrand_finding::{Fact, Finding, Kind, Outcomes};
use restrand_model::schedule::TendonPoint;

use crate::beyond::{beyond, short_of};
use crate::context::{Context, TendonAt};
use crate::rule::{Check, Corrects, LimitKey, Rule};
use crate::tendon_path::{LaidTendon, RadiusFrom, external_or_said};

/// Up to so much steel, and the radius that it takes.
const SIZES: [(LimitKey, LimitKey); 3] = [
    (
        LimitKey { name: "tendon_small_mm2", meaning: "steel area up to which a tendon is small" },
        LimitKey {
            name: "radius_deviator_small_m",
            meaning: "least radius of a small tendon at a deviator",
        },
    ),
    (
        LimitKey {
            name: "tendon_medium_mm2",
            meaning: "steel area up to which a tendon is medium",
        },
        LimitKey {
            name: "radius_deviator_medium_m",
            meaning: "least radius of a medium tendon at a deviator",
        },
    ),
    (
        LimitKey { name: "tendon_large_mm2", meaning: "steel area up to which a tendon is large" },
        LimitKey {
            name: "radius_deviator_large_m",
            meaning: "least radius of a large tendon at a deviator",
        },
    ),
];
const ANCHORAGE: LimitKey = LimitKey {
    name: "radius_anchorage_m",
    meaning: "least radius of a tendon in the concrete in which it is anchored",
};

pub(crate) const RULE: Rule = Rule {
    id: "path/radius-small",
    summary: "the radius of each bend against the least for the size of the tendon, and near its anchorages",
    kinds: &[Kind::Margin],
    limits: &[SIZES[0].0, SIZES[0].1, SIZES[1].0, SIZES[1].1, SIZES[2].0, SIZES[2].1, ANCHORAGE],
    sources: &[],
    correction: Corrects::Nothing,
    implied_by: &["path/points-impossible", "path/radius-mismatch"],
    page: include_str!("radius_small.md"),
    check: Check::Tendons(check),
};

fn check(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    let Some(laid) = external_or_said(context, at, outcomes) else { return };
    if laid.corners.is_empty() {
        return outcomes.not_applicable("the tendon is straight");
    }
    for index in 0..laid.corners.len() {
        of_corner(context, at, laid, index, outcomes);
    }
}

fn of_corner(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    laid: &LaidTendon,
    index: usize,
    outcomes: &mut Outcomes,
) {
    if !beyond(laid.path.bends[index].angle_rad, 0.0) {
        return outcomes.not_applicable("the tendon does not bend there");
    }
    let Some(radius_m) = laid.path.bends[index].radius_m else {
        return outcomes.not_evaluated("tendon_point.radius_m");
    };
    let steel_mm2 = match steel(context, at) {
        Ok(steel_mm2) => steel_mm2,
        Err(field) => return outcomes.not_evaluated(field),
    };
    let size = SIZES.iter().find(|(size, _)| !beyond(steel_mm2, context.limit(*size).value));
    // A tendon beyond the table needs at least what the largest in it does.
    let (size, deviator) = *size.unwrap_or(&SIZES[SIZES.len() - 1]);
    let is_listed = !beyond(steel_mm2, context.limit(size).value);
    let at_anchorage = is_at_anchorage(at, &at.tendon.points[index + 1]);
    let key = match at_anchorage && context.limit(ANCHORAGE).value > context.limit(deviator).value {
        true => ANCHORAGE,
        false => deviator,
    };
    let limit = context.limit(key);
    if !short_of(radius_m, limit.value) {
        return match is_listed {
            true => outcomes.pass(),
            false => outcomes.not_applicable("the rulebook has no radius for so large a tendon"),
        };
    }
    let points = at.route.field("points");
    let corner = laid.corners[index];
    let least = format!("{{{}}}", key.name);
    let message = match at_anchorage {
        true => format!(
            "{{tendon}} is bent to {{radius_m}} at point {{point}}, in the concrete in which it is anchored, where {least} is \
             the least"
        ),
        false => format!(
            "{{tendon}} is bent to {{radius_m}} at point {{point}}, where {least} is the least for {{steel_area_mm2}} of steel"
        ),
    };
    let mut finding = Finding::new(
        RULE.id,
        Kind::Margin,
        context.value_of(&points.item(index + 1), "radius_m"),
        message,
    )
    .help(
        "Strands press on the duct and on each other, and wear through it: choose a form of a larger radius, or \
         show by test that duct and strand take this one",
    )
    .fact(Fact::text("tendon", at.mark()))
    .fact(Fact::given("point", (index + 2) as f64, 0))
    .fact(match corner.radius {
        RadiusFrom::Point => Fact::given("radius_m", radius_m, 3),
        _ => Fact::computed("radius_m", radius_m, 3),
    })
    .fact(Fact::computed("steel_area_mm2", steel_mm2, 0))
    .fact(limit.fact(key, 3))
    .fact(Fact::computed("ratio", radius_m / limit.value, 2))
    .fact(Fact::computed("angle_rad", laid.path.bends[index].angle_rad, 4));
    if corner.radius == RadiusFrom::Form
        && let Some(form) =
            corner.deviator.and_then(|at_form| context.form(&at.tendon.deviators[at_form]))
    {
        finding = finding.related(form.route, "the radius is that of this form, and half the duct");
    }
    finding = remedies(context, at, laid, index, limit.value, finding);
    outcomes.found(finding);
}

/// What the larger radius needs of the form: its wall's radius, and its length.
fn remedies(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    laid: &LaidTendon,
    index: usize,
    least_m: f64,
    finding: Finding,
) -> Finding {
    let station_m = at.tendon.points[index + 1].station_m.unwrap_or(0.0);
    let outer_mm = context.duct_at(at.tendon, station_m).and_then(|duct| duct.record.outer_mm);
    let arc_m = least_m * laid.path.bends[index].angle_rad;
    let finding = finding.fact(Fact::computed("arc_at_least_m", arc_m, 3).at_least());
    match outer_mm {
        Some(outer_mm) => finding
            .fact(Fact::computed("least_wall_radius_mm", least_m * 1000.0 - outer_mm / 2.0, 0).at_least())
            .remedy(
                "Give the form a wall radius of at least {least_wall_radius_mm}; the bend alone is then \
                 {arc_at_least_m} long",
            ),
        None => finding.remedy(
            "Bend the tendon's axis to the least radius; the bend alone is then {arc_at_least_m} long",
        ),
    }
}

/// The steel of a tendon: of what is in it, or may come.
fn steel(context: &Context<'_>, at: &TendonAt<'_>) -> Result<f64, &'static str> {
    let stated = [at.tendon.strand_count, at.tendon.strand_capacity];
    let count = stated.into_iter().flatten().max().filter(|count| *count > 0);
    let count = count.ok_or("tendon.strand_count")?;
    let strand = context.strand(at.tendon).ok_or("tendon.strand")?;
    Ok(f64::from(count) * strand.record.area_mm2.ok_or("strand.area_mm2")?)
}

/// Whether a point lies in the concrete of the place in which an end is anchored.
fn is_at_anchorage(at: &TendonAt<'_>, point: &TendonPoint) -> bool {
    let Some(place) = &point.place else { return false };
    at.ends().any(|end| end.end.place.as_ref().is_some_and(|other| other.key() == place.key()))
}
