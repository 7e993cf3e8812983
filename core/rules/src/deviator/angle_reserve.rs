//! A leg leaves its form at a larger angle than the form guides.

use restrand_finding::{Citation, Evidence, Fact, Kind};
use restrand_mechanics::deviator::angle_reserve_rad;
use restrand_mechanics::passing::{Pivot, guide_tilt_rad, worst_bore_mm, worst_outer_mm};
use restrand_model::schedule::{Form, FormKind};

use super::guided::{Guided, Judged, SIDES, TOLERANCE, each};
use crate::beyond::beyond;
use crate::context::Context;
use crate::rule::{Check, Corrects, Rule};
use crate::unstated;

pub(crate) const RULE: Rule = Rule {
    id: "deviator/angle-reserve",
    summary: "the angle of each leg to its form's axis, with tolerance, against what the form guides on that side",
    kinds: &[Kind::Physical, Kind::Margin],
    limits: &[TOLERANCE],
    sources: &[Citation::new(
        "geometry of a duct on a flared wall; no published rule could be read",
        Evidence::Derived,
    )],
    correction: Corrects::Nothing,
    implied_by: &["path/points-impossible"],
    page: include_str!("angle_reserve.md"),
    check: Check::Tendons(|context, at, outcomes| {
        each(context, at, outcomes, |guided| judge(context, guided));
    }),
};

fn judge(context: &Context<'_>, guided: &Guided<'_>) -> Judged {
    let Offered { rad: offered_rad, field, unstated } = match offered(context, guided) {
        Ok(Some(offered)) => offered,
        Ok(None) => return Judged::NotApplicable("a bent pipe has no flare"),
        Err(field) => return Judged::NotEvaluated(field),
    };
    let (sides, bare) = match (guided.sides_rad(true), guided.sides_rad(false)) {
        (Ok(sides), Ok(bare)) => (sides, bare),
        (Err(field), _) | (_, Err(field)) => return Judged::NotEvaluated(field),
    };
    let worse = usize::from(sides[1] > sides[0]);
    let side_rad = sides[worse];
    let Ok(reserve_rad) = angle_reserve_rad(offered_rad, side_rad) else {
        return Judged::NotEvaluated(field);
    };
    if !beyond(side_rad, offered_rad) {
        return unstated.map_or(Judged::Pass, Judged::NotEvaluated);
    }
    let kind = match beyond(bare[worse], offered_rad) {
        true => Kind::Physical,
        false => Kind::Margin,
    };
    let message = format!(
        "at {{place}} the leg of {{tendon}} {{side}} stands at {{leg_rad}} to the axis of {{form}}, with {} of tolerance at \
         {{guided_rad}}, but the form guides up to {{offered_rad}} only: the duct bears on its edge",
        guided.tolerance.name()
    );
    let place = context.value_of(&guided.route, "pitch_rad");
    let mut finding = guided
        .finding(RULE.id, kind, place, message)
        .related(context.value_of(&guided.form_route, field_of(guided.form)), "what the form guides")
        .help(
            "An edge cuts into the duct under force: turn the form's axis between its legs, or choose a form that \
             opens further",
        )
        .fact(Fact::text("side", SIDES[worse]))
        .fact(Fact::computed("leg_rad", guided.legs_rad[worse], 4))
        .fact(Fact::computed("guided_rad", side_rad, 4).at_least())
        .fact(match guided.form.kind {
            Some(FormKind::StraightSleeve) => Fact::computed("offered_rad", offered_rad, 4),
            _ => Fact::given("offered_rad", offered_rad, 4),
        })
        .fact(Fact::computed("reserve_rad", reserve_rad, 4))
        .fact(Fact::computed("ratio", side_rad / offered_rad, 2));
    let bisected = guided.bisected_rad().is_some_and(|bisected| !beyond(bisected, offered_rad));
    finding = guided.turned_axis(finding, bisected);
    Judged::Found(Box::new(
        finding.remedy("Take a form that guides {guided_rad} or more on this side"),
    ))
}

/// The field of the form that says how far it guides.
fn field_of(form: &Form) -> &'static str {
    match form.kind {
        Some(FormKind::StraightSleeve) => "length_mm",
        _ => "flare_rad",
    }
}

/// What a form guides.
struct Offered {
    /// The angle on a side, rad.
    rad: f64,
    /// The field that says so.
    field: &'static str,
    /// A field that is absent, without which it may be less.
    unstated: Option<&'static str>,
}

/// The angle that the form guides on a side; nothing for a bent pipe.
fn offered(context: &Context<'_>, guided: &Guided<'_>) -> Result<Option<Offered>, &'static str> {
    let form = &guided.form;
    match form.kind.ok_or("form.kind")? {
        FormKind::Flared => {
            let rad = form.flare_rad.ok_or("form.flare_rad")?;
            Ok(Some(Offered { rad, field: "form.flare_rad", unstated: None }))
        }
        FormKind::BentPipe => Ok(None),
        // A straight sleeve lets a leg stand as far askew as its play allows.
        FormKind::StraightSleeve => {
            let duct = context.duct_in_form(guided.at, guided.index)?.record;
            let zero = |value: Option<f64>| value.unwrap_or(0.0);
            let outer_mm = worst_outer_mm(
                duct.outer_mm.ok_or("duct.outer_mm")?,
                zero(duct.tolerance_mm),
                zero(duct.ovality_mm),
            )
            .map_err(|_| "duct.outer_mm")?;
            let bore_mm = worst_bore_mm(
                form.throat_mm.ok_or("form.throat_mm")?,
                zero(form.tolerance_mm),
                zero(form.ovality_mm),
                zero(form.seam_mm),
            )
            .map_err(|_| "form.throat_mm")?;
            let pivot = Pivot::Middle { length_mm: form.length_mm.ok_or("form.length_mm")? };
            // Where the duct fills the sleeve it does not pass at all, which is another finding.
            let tilt_rad =
                guide_tilt_rad(bore_mm, outer_mm, 0.0, pivot).map_err(|_| "form.throat_mm")?;
            let unstated = unstated::of_duct(duct).or_else(|| unstated::of_form(form));
            Ok(Some(Offered { rad: tilt_rad, field: "form.length_mm", unstated }))
        }
    }
}
