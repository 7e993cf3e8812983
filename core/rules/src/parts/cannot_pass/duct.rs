//! The tendon's own duct, drawn through each form on its way.

use std::collections::HashMap;
use std::collections::hash_map::Entry;

use restrand_finding::{Fact, Finding, Kind, Outcomes};
use restrand_mechanics::passing::{CONTACT_MM, worst_bore_mm, worst_outer_mm};
use restrand_model::resolve::ResolvedPart;
use restrand_model::route::Route;
use restrand_model::schedule::{Duct, Exit, Form, FormKind, Part, Permanence, Role, Status};

use super::{Asks, GAP, OTHER_RULE, RULE, asks_of};
use crate::assembly::{call, changes_bodies};
use crate::context::{Context, Found, TendonAt};
use crate::unstated;
use crate::works::worst_duct_mm;

/// A duct in a form, and how often.
struct Pair<'a> {
    duct: Found<'a, Duct>,
    form: Found<'a, Form>,
    /// The first deviator at which the two meet: its tendon, and its position in the tendon's list.
    at: TendonAt<'a>,
    index: usize,
    /// The route of that deviator.
    route: Route,
    /// The duct among the form's parts that leaves with these, where one is listed.
    listed: Option<ResolvedPart<'a>>,
    count: u32,
}

/// What a rule says of a duct in a form.
enum Judged {
    Pass,
    OtherRule,
    Found(Box<Finding>),
}

/// What leaves the duct least room in a form, with what is stated.
struct Narrowest {
    name: String,
    route: Route,
    nominal_mm: f64,
    worst_mm: f64,
    /// The first field that takes from the bore and is not stated.
    unstated: Option<&'static str>,
}

/// Draws the duct of each tendon through its forms; what is wrong between a duct and a form is said once.
pub(super) fn check(context: &Context<'_>, asks: Asks, outcomes: &mut Outcomes) {
    for pair in pairs(context, outcomes) {
        let listed = pair.listed.as_ref();
        if asks == Asks::CannotPass
            && let Some(finding) = listed.and_then(|listed| differs(context, &pair, listed))
        {
            outcomes.found(finding);
        }
        // What is listed is drawn out with the form's parts, and the tendon's duct with it where it is no wider.
        if listed.is_some_and(|listed| is_as_wide(pair.duct.record, &listed.part)) {
            continue;
        }
        match judge(context, &pair, asks) {
            Ok(Judged::Pass) => outcomes.pass(),
            Ok(Judged::OtherRule) => outcomes.not_applicable(OTHER_RULE),
            Ok(Judged::Found(finding)) => outcomes.found(*finding),
            Err(field) => outcomes.not_evaluated(field),
        }
    }
}

/// The least and the greatest outer diameter of a part's ends, mm.
fn ends_outer_mm(part: &Part) -> Option<[f64; 2]> {
    let (rear_mm, span_mm) = part.rear_outer_mm.zip(part.span_outer_mm)?;
    Some([rear_mm.min(span_mm), rear_mm.max(span_mm)])
}

/// Whether a duct that is listed in a form is as wide as the tendon's own at worst, so that judging it judges both.
fn is_as_wide(duct: &Duct, listed: &Part) -> bool {
    let listed_mm = ends_outer_mm(listed).and_then(|[least_mm, _]| {
        let (tolerance, ovality) = (listed.tolerance_mm, listed.ovality_mm);
        worst_outer_mm(least_mm, tolerance.unwrap_or(0.0), ovality.unwrap_or(0.0)).ok()
    });
    match (listed_mm, worst_duct_mm(duct)) {
        (Some(listed_mm), Ok(own_mm)) => listed_mm >= own_mm - CONTACT_MM,
        // A tendon that states no duct of its own has the one that is listed.
        (_, Err(_)) => true,
        (None, Ok(_)) => false,
    }
}

/// The duct that is listed in a form is another one than the tendon's.
fn differs(context: &Context<'_>, pair: &Pair<'_>, listed: &ResolvedPart<'_>) -> Option<Finding> {
    let [least_mm, most_mm] = ends_outer_mm(&listed.part)?;
    let outer_mm = pair.duct.record.outer_mm?;
    let is_other = least_mm < outer_mm - CONTACT_MM || most_mm > outer_mm + CONTACT_MM;
    let listed_mm = if outer_mm - least_mm > most_mm - outer_mm { least_mm } else { most_mm };
    let name = |id: Option<&str>| id.unwrap_or("without a name").to_owned();
    is_other.then(|| {
        Finding::new(
            RULE.id,
            Kind::Inconsistent,
            pair.route.field("form"),
            "{form} lists a duct of {listed_mm} among what is drawn out of it, but duct {duct}, which leads through it, is {outer_mm}",
        )
        .help("The duct in a form is the tendon's: correct one of the two, or state the length of another duct that lies in the form")
        .fact(Fact::text("form", format!("form {}", name(pair.form.record.id.as_deref()))))
        .fact(Fact::text("duct", name(pair.duct.record.id.as_deref())))
        .fact(Fact::given("listed_mm", listed_mm, 2))
        .fact(Fact::given("outer_mm", outer_mm, 2))
        .fact(Fact::computed("deviators", f64::from(pair.count), 0))
        .related(listed.route.clone(), "the duct that is listed")
        .related(
            context.value_of(&pair.duct.route, "outer_mm"),
            "the duct's diameter; it meets this form at deviators: {deviators}",
        )
    })
}

fn pairs<'a>(context: &Context<'a>, outcomes: &mut Outcomes) -> Vec<Pair<'a>> {
    let mut pairs: Vec<Pair<'a>> = Vec::new();
    let mut known: HashMap<(Route, Route), usize> = HashMap::new();
    for at in context.tendons() {
        if at.stays() || !matches!(at.tendon.status, None | Some(Status::InUse)) {
            continue;
        }
        if at.tendon.duct.is_none() && at.tendon.duct_runs.is_empty() {
            // That no duct is stated is said with whatever else the tendon lacks.
            continue;
        }
        for (index, deviator) in at.tendon.deviators.iter().enumerate() {
            let Some(form) = context.form(deviator) else { continue };
            let duct = match context.duct_in_form(&at, index) {
                Ok(duct) => duct,
                Err(field) => {
                    outcomes.not_evaluated(field);
                    continue;
                }
            };
            let route = at.route.field("deviators").item(index);
            let listed = context.deviator_parts(&at, index).iter().find(|part| {
                part.part.role == Some(Role::Duct)
                    && part.part.permanence == Some(Permanence::Replaceable)
                    && part.part.exit.is_some_and(|exit| exit != Exit::StrippedInPlace)
            });
            // A deviator that states its own parts or throat is like no other.
            let own =
                changes_bodies(&deviator.parts, &form.record.parts) || deviator.throat_mm.is_some();
            let through = if own { route.clone() } else { form.route.clone() };
            match known.entry((duct.route.clone(), through)) {
                Entry::Occupied(position) => pairs[*position.get()].count += 1,
                Entry::Vacant(place) => {
                    place.insert(pairs.len());
                    let (at, listed) = (at.clone(), listed.cloned());
                    pairs.push(Pair { duct, form, at, index, route, listed, count: 1 });
                }
            }
        }
    }
    pairs
}

/// Whether the duct leaves the form; an error is the field without which that is not known.
fn judge(context: &Context<'_>, pair: &Pair<'_>, asks: Asks) -> Result<Judged, &'static str> {
    let duct = pair.duct.record;
    let outer_mm = worst_duct_mm(duct)?;
    let (narrowest, unknown) = narrowest(context, pair);
    let Some(narrowest) = narrowest else {
        return Err(unknown.unwrap_or("form.throat_mm"));
    };
    let limit = context.limit(GAP);
    let gap_mm = (narrowest.worst_mm - outer_mm) / 2.0;
    let nominal_gap_mm = (narrowest.nominal_mm - duct.outer_mm.unwrap_or(outer_mm)) / 2.0;
    let clash = gap_mm < -CONTACT_MM;
    if gap_mm < limit.value - CONTACT_MM && asks != asks_of(clash, nominal_gap_mm) {
        return Ok(Judged::OtherRule);
    }
    let (kind, message) = if clash {
        (
            Kind::Physical,
            match asks {
                Asks::CannotPass => {
                    "duct {duct} cannot be drawn through {form}: at worst tolerance it is {worst_outer_mm} wide where \
                     {bore} leaves {worst_bore_mm}"
                }
                Asks::ToleranceEatsGap => {
                    "the tolerances eat the gap of duct {duct} in {form}: it clears {bore} by {nominal_gap_mm} all round \
                     at nominal, but at worst it is {worst_outer_mm} wide where {bore} leaves {worst_bore_mm}"
                }
            },
        )
    } else if gap_mm < limit.value - CONTACT_MM {
        (
            Kind::Margin,
            "duct {duct} leaves only {gap_mm} all round where it is drawn through {bore} of {form}, less than \
             {withdrawal_gap_mm}",
        )
    } else {
        let unstated = unstated::of_duct(duct).or(narrowest.unstated);
        // A bent pipe that is wide enough may still hold what is stiff and bent.
        let is_bent = pair.form.record.kind == Some(FormKind::BentPipe);
        return match unknown.or(unstated).or(is_bent.then_some("form.kind")) {
            Some(field) => Err(field),
            None => Ok(Judged::Pass),
        };
    };
    let name = |id: Option<&str>| id.unwrap_or("without a name").to_owned();
    let finding = Finding::new(asks.id(), kind, pair.route.field("form"), message)
        .help("Let the duct be smaller or the form wider by {short_mm} on diameter")
        .fact(Fact::text("duct", name(duct.id.as_deref())))
        .fact(Fact::text("form", format!("form {}", name(pair.form.record.id.as_deref()))))
        .fact(Fact::text("bore", narrowest.name))
        .fact(Fact::computed("worst_outer_mm", outer_mm, 2))
        .fact(Fact::computed("worst_bore_mm", narrowest.worst_mm.max(0.0), 2))
        .fact(Fact::computed("gap_mm", gap_mm, 2))
        .fact(Fact::computed("nominal_gap_mm", nominal_gap_mm, 2))
        .fact(Fact::computed("short_mm", (limit.value - gap_mm) * 2.0, 1).at_least())
        .fact(Fact::computed("deviators", f64::from(pair.count), 0))
        .fact(limit.fact(GAP, 1))
        .related(narrowest.route, "{bore} stays, and must be passed")
        .related(
            context.value_of(&pair.duct.route, "outer_mm"),
            "the duct's diameter; it meets this form at deviators: {deviators}",
        );
    Ok(Judged::Found(Box::new(finding)))
}

/// The narrowest of the form's throat and its permanent parts, and a field without which one is not known.
fn narrowest(context: &Context<'_>, pair: &Pair<'_>) -> (Option<Narrowest>, Option<&'static str>) {
    let mut candidates = Vec::new();
    let mut unknown = None;
    if let Some(form) = context.form_at(&pair.at, pair.index)
        && let Some(throat_mm) = form.throat_mm
    {
        let own = pair.at.tendon.deviators[pair.index].throat_mm.is_some();
        let route = if own { &pair.route } else { &pair.form.route };
        let stated = [
            (form.tolerance_mm, "form.tolerance_mm"),
            (form.ovality_mm, "form.ovality_mm"),
            (form.seam_mm, "form.seam_mm"),
        ];
        match bore(throat_mm, stated) {
            Some((worst_mm, unstated)) => candidates.push(Narrowest {
                name: "the throat".to_owned(),
                route: route.field("throat_mm"),
                nominal_mm: throat_mm,
                worst_mm,
                unstated,
            }),
            None => unknown = Some("form.throat_mm"),
        }
    }
    for resolved in context.deviator_parts(&pair.at, pair.index) {
        let part = resolved.part.as_ref();
        if part.permanence != Some(Permanence::Permanent) || part.role == Some(Role::Tube) {
            continue;
        }
        let stated = [
            (part.tolerance_mm, "part.tolerance_mm"),
            (part.ovality_mm, "part.ovality_mm"),
            (part.seam_mm, "part.seam_mm"),
        ];
        let least = least_inner(part).map(|inner_mm| (inner_mm, bore(inner_mm, stated)));
        match least {
            Ok((nominal_mm, Some((worst_mm, unstated)))) => {
                candidates.push(Narrowest {
                    name: call(part),
                    route: resolved.route.clone(),
                    nominal_mm,
                    worst_mm,
                    unstated,
                });
            }
            Ok((_, None)) => unknown = Some("part.rear_inner_mm"),
            Err(field) => unknown = Some(field),
        }
    }
    // The form's own tolerances are asked only where no part of it says how its bore is made.
    let narrowest = candidates
        .into_iter()
        .reduce(|least, other| if other.worst_mm <= least.worst_mm { other } else { least });
    (narrowest, unknown)
}

/// The least nominal bore of a part: at one of its ends, as a wall that bulges towards the axis is stated in parts.
fn least_inner(part: &Part) -> Result<f64, &'static str> {
    let rear_mm = part.rear_inner_mm.ok_or("part.rear_inner_mm")?;
    let span_mm = part.span_inner_mm.ok_or("part.span_inner_mm")?;
    Ok(rear_mm.min(span_mm))
}

/// The bore at worst, and the first value that takes from it and is not stated; nothing if it is none.
fn bore(
    inner_mm: f64,
    stated: [(Option<f64>, &'static str); 3],
) -> Option<(f64, Option<&'static str>)> {
    let [tolerance, ovality, seam] = stated.map(|(value, _)| value.unwrap_or(0.0));
    let worst_mm = worst_bore_mm(inner_mm, tolerance, ovality, seam).ok()?;
    let unstated = stated.into_iter().find(|(value, _)| value.is_none()).map(|(_, field)| field);
    Some((worst_mm, unstated))
}
