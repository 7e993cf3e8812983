//! A tube for filling, venting or draining is fixed in what is cast in.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_model::route::Route;
use restrand_model::schedule::{Permanence, Role};

use crate::assembly::call;
use crate::context::{Context, TendonAt};
use crate::rule::{Check, Corrects, Rule};

pub(crate) const RULE: Rule = Rule {
    id: "parts/tube-through-permanent",
    summary: "inlets, vents and drains against the permanent parts on which they are fixed",
    kinds: &[Kind::Physical],
    limits: &[],
    sources: &[Citation::new(
        "common practice, no source: a tube that passes both skins ties them together",
        Evidence::Derived,
    )],
    correction: Corrects::Nothing,
    implied_by: &["parts/permanence-unexpected", "parts/permanence-missing"],
    page: include_str!("tube_through_permanent.md"),
    check: Check::Tendons(check),
};

fn check(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    if at.stays() {
        return outcomes.not_applicable("the tendon need not be replaceable");
    }
    if at.tendon.vents.is_empty() {
        return outcomes.not_applicable("no inlet, vent or drain is stated");
    }
    // What is cast in at its ends and deviators, by name and by role.
    let mut permanent: Vec<(String, String, Route)> = Vec::new();
    let mut take = |place: &str, parts: Vec<restrand_model::resolve::ResolvedPart<'_>>| {
        for resolved in &parts {
            let part = resolved.part.as_ref();
            if part.permanence == Some(Permanence::Permanent) && part.role != Some(Role::Tube) {
                permanent.push((
                    call(part).to_lowercase(),
                    place.to_owned(),
                    resolved.route.clone(),
                ));
                if let Some(role) = part.role {
                    permanent.push((
                        role.to_string().to_lowercase(),
                        place.to_owned(),
                        resolved.route.clone(),
                    ));
                }
            }
        }
    };
    for end in at.ends() {
        take(&format!("end {}", end.name), context.end_parts(&end));
    }
    for (index, deviator) in at.tendon.deviators.iter().enumerate() {
        let route = at.route.field("deviators").item(index);
        let place = deviator.place.as_ref().map_or("a deviator", |place| place.key());
        take(place, context.deviator_parts(deviator, &route));
    }
    for (index, vent) in at.tendon.vents.iter().enumerate() {
        let Some(fixed_on) = vent.fixed_on.as_deref() else {
            outcomes.not_evaluated("vent.fixed_on");
            continue;
        };
        let wanted = fixed_on.trim().to_lowercase();
        let wanted =
            [wanted.as_str(), &wanted.replace([' ', '-'], "_"), &wanted.replace([' ', '_'], "-")]
                .map(str::to_owned);
        let Some((_, place, route)) = permanent.iter().find(|(name, ..)| wanted.contains(name))
        else {
            outcomes.pass();
            continue;
        };
        outcomes.found(
            Finding::new(
                RULE.id,
                Kind::Physical,
                at.route.field("vents").item(index).field("fixed_on"),
                "{tube} of {tendon} sits on {part} at {place}, which is cast in: it must pass the gap to the tendon, fills it, and \
                 ties both together",
            )
            .related(route.clone(), "what it sits on")
            .help("Set inlets, vents and drains on the cap or the duct; a drain of the gap itself is no tube of the tendon")
            .fact(Fact::text("tube", vent.id.as_deref().unwrap_or("a tube")))
            .fact(Fact::text("tendon", at.mark()))
            .fact(Fact::text("part", fixed_on))
            .fact(Fact::text("place", place.as_str())),
        );
    }
}
