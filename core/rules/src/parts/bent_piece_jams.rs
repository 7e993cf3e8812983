//! The stiff, bent piece of a tendon jams in its form when it is drawn out.

use std::collections::HashMap;

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_mechanics::passing::{
    BentPipe, RodLength, longest_rod, worst_bore_mm, worst_outer_mm,
};
use restrand_model::route::Route;
use restrand_model::schedule::{Form, FormKind, Status};

use crate::context::Context;
use crate::rule::{Check, Corrects, LimitKey, Rule};
use crate::tendon_path::DeviatorSpot;

const STANDOFF: LimitKey =
    LimitKey { name: "saw_standoff_mm", meaning: "distance from a face to the saw cut" };

pub(crate) const RULE: Rule = Rule {
    id: "parts/bent-piece-jams",
    summary: "the straight legs of the piece in each bent pipe against what comes round its bend",
    kinds: &[Kind::Physical, Kind::Margin],
    limits: &[STANDOFF],
    sources: &[Citation::new("geometry of a straight rod in a bent pipe", Evidence::Derived)],
    correction: Corrects::Nothing,
    // A gap that is short is no root: the leg jams in a bore that it clears.
    implied_by: &["path/points-impossible"],
    page: include_str!("bent_piece_jams.md"),
    check: Check::Schedule(check),
};

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    let mut said: HashMap<(Route, Option<Route>), ()> = HashMap::new();
    for at in context.tendons() {
        if at.stays() {
            outcomes.not_applicable("the tendon need not be replaceable");
            continue;
        }
        if !matches!(at.tendon.status, None | Some(Status::InUse)) {
            outcomes.not_applicable("the tendon is not in place");
            continue;
        }
        for (index, deviator) in at.tendon.deviators.iter().enumerate() {
            let Some(found) = context.form(deviator) else {
                outcomes.not_evaluated("deviator.form");
                continue;
            };
            let Some(form) = context.form_at(deviator) else { continue };
            match form.kind {
                Some(FormKind::BentPipe) => {}
                Some(_) => {
                    outcomes.not_applicable("the form is no bent pipe");
                    continue;
                }
                None => {
                    outcomes.not_evaluated("form.kind");
                    continue;
                }
            }
            if let Ok(laid) = context.path(&at)
                && matches!(laid.deviators.get(index), Some(DeviatorSpot::OnLeg(_)))
            {
                outcomes.not_applicable("the tendon passes it straight");
                continue;
            }
            let duct = context.duct(at.tendon.duct.as_ref());
            let key = (found.route.clone(), duct.as_ref().map(|duct| duct.route.clone()));
            let judged = duct
                .ok_or("tendon.duct")
                .and_then(|duct| {
                    let duct = duct.record;
                    let outer_mm = duct.outer_mm.ok_or("duct.outer_mm")?;
                    let [tolerance, ovality] =
                        [duct.tolerance_mm, duct.ovality_mm].map(Option::unwrap_or_default);
                    worst_outer_mm(outer_mm, tolerance, ovality).map_err(|_| "duct.outer_mm")
                })
                .and_then(|outer_mm| judge(context, &form, outer_mm));
            match judged {
                Ok(None) => outcomes.pass(),
                Ok(Some(_)) if said.insert(key, ()).is_some() => {
                    outcomes.not_applicable("the same form and duct have the finding");
                }
                Ok(Some(jam)) => {
                    let place = at.route.field("deviators").item(index).field("form");
                    let name = form.id.as_deref().unwrap_or("without a name").to_owned();
                    outcomes.found(finding(
                        context,
                        &jam,
                        place,
                        found.route.clone(),
                        name,
                        at.mark(),
                    ));
                }
                Err(field) => outcomes.not_evaluated(field),
            }
        }
    }
}

/// What does not come round the bend.
struct Jam {
    /// The shorter straight end of the pipe itself.
    end_mm: f64,
    leg_mm: f64,
    longest_mm: f64,
    outer_mm: f64,
    bore_mm: f64,
}

/// The shorter straight leg, cut as near to the face as a saw comes, is the one drawn through the bend.
fn judge(context: &Context<'_>, form: &Form, outer_mm: f64) -> Result<Option<Jam>, &'static str> {
    let [tolerance, ovality, seam] =
        [form.tolerance_mm, form.ovality_mm, form.seam_mm].map(Option::unwrap_or_default);
    let throat_mm = form.throat_mm.ok_or("form.throat_mm")?;
    let bore_mm =
        worst_bore_mm(throat_mm, tolerance, ovality, seam).map_err(|_| "form.throat_mm")?;
    let one_end_mm = form.straight_rear_mm.ok_or("form.straight_rear_mm")?;
    let other_end_mm = form.straight_span_mm.ok_or("form.straight_span_mm")?;
    let pipe = BentPipe {
        axis_radius_mm: form.axis_radius_mm.ok_or("form.axis_radius_mm")?,
        bore_mm,
        bend_rad: form.bend_rad.ok_or("form.bend_rad")?,
        one_end_mm,
        other_end_mm,
    };
    if outer_mm >= bore_mm {
        // That it does not pass at all is told by the rule on the bore.
        return Err("form.throat_mm");
    }
    let end_mm = one_end_mm.min(other_end_mm);
    let leg_mm = end_mm + context.limit(STANDOFF).value;
    match longest_rod(&pipe, outer_mm).map_err(|_| "form.axis_radius_mm")? {
        RodLength::UpTo { length_mm } if length_mm < leg_mm => {
            Ok(Some(Jam { end_mm, leg_mm, longest_mm: length_mm, outer_mm, bore_mm }))
        }
        RodLength::Nothing => Ok(Some(Jam { end_mm, leg_mm, longest_mm: 0.0, outer_mm, bore_mm })),
        RodLength::UpTo { .. } | RodLength::Any => Ok(None),
    }
}

fn finding(
    context: &Context<'_>,
    jam: &Jam,
    place: Route,
    form: Route,
    name: String,
    tendon: String,
) -> Finding {
    // Cut at the very face it would come out: then only the saw is short of room.
    let saw_alone = jam.end_mm <= jam.longest_mm;
    let kind = if saw_alone { Kind::Margin } else { Kind::Physical };
    let finding = Finding::new(
        RULE.id,
        kind,
        place,
        "the stub of {tendon} jams in the bent pipe {form}: cut {saw_standoff_mm} outside the face its straight leg is \
         {leg_mm} long, and a straight rod of {outer_mm} comes round the bend up to {longest_mm}",
    )
    .related(form, "the bent pipe, with {bore_mm} of bore at worst")
    .help(
        "Choose a flared form or a wider pipe, or shorten its straight ends",
    )
    .fact(Fact::text("tendon", tendon))
    .fact(Fact::text("form", name))
    .fact(Fact::computed("leg_mm", jam.leg_mm, 0))
    .fact(Fact::computed("longest_mm", jam.longest_mm, 0))
    .fact(Fact::computed("over_mm", jam.leg_mm - jam.longest_mm, 0))
    .fact(Fact::computed("outer_mm", jam.outer_mm, 1))
    .fact(Fact::computed("bore_mm", jam.bore_mm, 1))
    .fact(context.limit(STANDOFF).fact(STANDOFF, 0));
    match saw_alone {
        true => finding.remedy("Cut {over_mm} nearer to the face than {saw_standoff_mm}"),
        false => finding,
    }
}
