//! The jack stated at an end is not one of those listed for its anchorage, or does not go into the recess that the
//! anchorage needs.

use std::collections::BTreeMap;

use restrand_finding::{Citation, Class, Correction, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_model::route::Route;
use restrand_model::schedule::{Anchorage, EndKind, Jack, JackKind, Status};
use restrand_model::value::Value;

use crate::context::{Context, Found, TendonAt};
use crate::ends::{JackBody, head_rear_mm};
use crate::rule::{Check, Corrects, Rule};

pub(crate) const RULE: Rule = Rule {
    id: "anchorage/jack-not-listed",
    summary: "each end's jack against those listed for its anchorage, and each jack against the anchorage's recess",
    kinds: &[Kind::Physical, Kind::Inconsistent],
    limits: &[],
    sources: &[Citation::new(
        "engineering practice: an anchorage is tested with the jacks that its supplier lists",
        Evidence::Derived,
    )],
    correction: Corrects::Offers(&[Class::Propose], offer),
    implied_by: &["schedule/dangling-reference"],
    page: include_str!("jack_not_listed.md"),
    check: Check::Schedule(check),
};

/// Ends at which the same jack stands on the same anchorage: one cause, said once.
struct Group<'a> {
    at: TendonAt<'a>,
    end: String,
    route: Route,
    jack: &'a str,
    anchorage: Found<'a, Anchorage>,
    others: Vec<(String, Route)>,
}

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    for group in unlisted(context, outcomes) {
        outcomes.found(not_listed(context, &group));
    }
    recesses(context, outcomes);
}

/// The ends whose jack is not listed, in groups; of the others it is said what they are.
fn unlisted<'a>(context: &Context<'a>, outcomes: &mut Outcomes) -> Vec<Group<'a>> {
    let mut groups: Vec<Group<'a>> = Vec::new();
    let mut known: BTreeMap<(&'a str, &'a str), usize> = BTreeMap::new();
    for at in context.tendons() {
        if at.tendon.status == Some(Status::Removed) {
            outcomes.not_applicable("the tendon is removed");
            continue;
        }
        for end in at.ends() {
            if matches!(end.end.kind, Some(EndKind::Dead | EndKind::Embedded)) {
                outcomes.not_applicable("the end is not stressed");
                continue;
            }
            let Some(jack) = &end.end.jack else {
                outcomes.not_evaluated("end.jack");
                continue;
            };
            let Some(anchorage) = context.anchorage(end.end) else {
                outcomes.not_evaluated("end.anchorage");
                continue;
            };
            if anchorage.record.jacks.is_empty() {
                outcomes.not_evaluated("anchorage.jacks");
                continue;
            }
            if anchorage.record.jacks.iter().any(|listed| listed.key() == jack.key()) {
                outcomes.pass();
                continue;
            }
            let name = anchorage.record.id.as_deref().unwrap_or_default();
            let route = end.route.field("jack");
            match known.get(&(name, jack.key())) {
                Some(position) => groups[*position]
                    .others
                    .push((format!("end {} of {}", end.name, at.mark()), route)),
                None => {
                    known.insert((name, jack.key()), groups.len());
                    groups.push(Group {
                        end: format!("end {}", end.name),
                        at: at.clone(),
                        route,
                        jack: jack.key(),
                        anchorage,
                        others: Vec::new(),
                    });
                }
            }
        }
    }
    groups
}

/// The jacks listed for an anchorage that take the strands of a tendon, all at once.
fn fitting<'a>(context: &Context<'_>, at: &TendonAt<'_>, anchorage: &'a Anchorage) -> Vec<&'a str> {
    let takes = |jack: &Jack| {
        let counts = &jack.strand_counts;
        jack.kind == Some(JackKind::MultiStrand)
            && (counts.is_empty()
                || at.tendon.strand_count.is_some_and(|count| counts.contains(&count)))
    };
    let listed = anchorage.jacks.iter();
    listed
        .filter(|link| context.jack(Some(link)).is_some_and(|jack| takes(jack.record)))
        .map(|link| link.key())
        .collect()
}

fn not_listed(context: &Context<'_>, group: &Group<'_>) -> Finding {
    let record = group.anchorage.record;
    let listed: Vec<_> = record.jacks.iter().map(|link| link.key()).collect();
    let mut finding = Finding::new(
        RULE.id,
        Kind::Inconsistent,
        group.route.clone(),
        "jack {jack} at {end} of {tendon} is not among those listed for anchorage {anchorage}: {listed}",
    )
    .related(group.anchorage.route.field("jacks"), "the jacks listed for it")
    .help(
        "A jack that the anchorage was not tested with may not grip or seat its wedges: take a listed one, or have \
         its supplier list this one",
    )
    .fact(Fact::text("tendon", group.at.mark()))
    .fact(Fact::text("end", group.end.as_str()))
    .fact(Fact::text("jack", group.jack))
    .fact(Fact::text("anchorage", record.id.as_deref().unwrap_or("without a name")))
    .fact(Fact::text("listed", listed.join(", ")));
    // A name that nothing has is told as that, and a name in the list that nothing has may be this one.
    let named = std::iter::once(&group.route).chain(group.others.iter().map(|(_, route)| route));
    finding = finding.rests_on(named.cloned().chain([group.anchorage.route.field("jacks")]));
    for (name, route) in &group.others {
        finding = finding.related(route.clone(), format!("the same at {name}"));
    }
    for name in fitting(context, &group.at, record) {
        finding =
            finding.remedy(format!("Take jack {name}, which is listed and takes the strands"));
    }
    finding
}

/// Each jack listed for an anchorage against the recess that the anchorage needs: said at the anchorage.
fn recesses(context: &Context<'_>, outcomes: &mut Outcomes) {
    for (index, anchorage) in context.schedule.anchorages.iter().enumerate() {
        if anchorage.jacks.is_empty() {
            outcomes.not_evaluated("anchorage.jacks");
            continue;
        }
        let depth_mm = match anchorage.recess_depth_mm {
            Some(depth_mm) if depth_mm > 0.0 => depth_mm,
            Some(_) => {
                outcomes.not_applicable("the anchorage needs no recess");
                continue;
            }
            None => {
                outcomes.not_evaluated("anchorage.recess_depth_mm");
                continue;
            }
        };
        let Some(width_mm) = anchorage.recess_width_mm else {
            outcomes.not_evaluated("anchorage.recess_width_mm");
            continue;
        };
        let route = Route::to("anchorages", index);
        let parts = context.assemblies.get(index).map_or(&[][..], |assembly| &assembly.parts);
        for (position, link) in anchorage.jacks.iter().enumerate() {
            // One that is not there is another finding.
            let Some(jack) = context.jack(Some(link)) else {
                outcomes.not_evaluated("anchorage.jacks");
                continue;
            };
            let place = route.field("jacks").item(position);
            let judged = head_rear_mm(Some(anchorage), parts).and_then(|head_rear_mm| {
                let body = JackBody::of(jack.record, Some(anchorage))?;
                if jack.record.nose_diameter_mm.is_none() && 2.0 * body.radius_mm > width_mm {
                    return Err("jack.nose_diameter_mm");
                }
                if jack.record.nose_length_mm.is_none() && 2.0 * body.radius_mm > width_mm {
                    return Err("jack.nose_length_mm");
                }
                Ok(body.stretches(head_rear_mm, depth_mm))
            });
            let stretches = match judged {
                Ok(stretches) => stretches,
                Err(field) => {
                    outcomes.not_evaluated(field);
                    continue;
                }
            };
            let widest = stretches
                .iter()
                .map(|stretch| (2.0 * stretch.radius_mm, stretch.from_mm))
                .max_by(|one, other| one.0.total_cmp(&other.0));
            match widest {
                Some((widest_mm, from_mm)) if widest_mm > width_mm => outcomes.found(no_entry(
                    anchorage,
                    place,
                    &route,
                    &jack,
                    [depth_mm, width_mm, widest_mm, from_mm],
                )),
                _ => outcomes.pass(),
            }
        }
    }
}

fn no_entry(
    anchorage: &Anchorage,
    place: Route,
    route: &Route,
    jack: &Found<'_, Jack>,
    [depth_mm, width_mm, widest_mm, from_mm]: [f64; 4],
) -> Finding {
    let nose_mm = jack.record.nose_diameter_mm.unwrap_or(0.0);
    let is_nose = nose_mm > width_mm;
    let message = if is_nose {
        "the nose of jack {jack}, {widest_mm} across, does not go into the recess of {width_mm} that anchorage \
         {anchorage} needs"
    } else {
        "the nose of jack {jack} does not reach the wedge plate of anchorage {anchorage}: the recess is {depth_mm} \
         deep and {width_mm} wide, and from {from_mm} on the jack is {widest_mm} across"
    };
    let mut finding = Finding::new(RULE.id, Kind::Physical, place.clone(), message)
        .rests_on([place])
        .related(route.field("recess_width_mm"), "the recess")
        .related(jack.route.field("nose_diameter_mm"), "the jack's nose")
        .help("A jack must stand on the wedge plate: take one with a nose that reaches in, or ask the anchorage's supplier")
        .fact(Fact::text("anchorage", anchorage.id.as_deref().unwrap_or("without a name")))
        .fact(Fact::text("jack", jack.record.id.as_deref().unwrap_or("without a name")))
        .fact(Fact::given("depth_mm", depth_mm, 1))
        .fact(Fact::given("width_mm", width_mm, 1))
        .fact(Fact::computed("widest_mm", widest_mm, 1).at_least())
        .fact(Fact::computed("from_mm", from_mm, 1));
    if !is_nose {
        finding = finding
            .fact(Fact::computed("longer_mm", depth_mm - from_mm, 1).at_least())
            .remedy("Take a nose that is {longer_mm} longer");
    }
    finding.remedy("Make the recess at least {widest_mm} wide")
}

fn offer(context: &Context<'_>, corrections: &mut Vec<Correction>) {
    for group in unlisted(context, &mut Outcomes::default()) {
        let [name] = fitting(context, &group.at, group.anchorage.record)[..] else { continue };
        let routes = std::iter::once(&group.route).chain(group.others.iter().map(|other| &other.1));
        for route in routes {
            let value = Value::Text(name.into());
            corrections.push(
                Correction::new(
                    RULE.id,
                    Class::Propose,
                    route.clone(),
                    Some(value),
                    "jack {jack} is not listed for anchorage {anchorage}, and {listed} is the only one that is and \
                     takes the strands",
                )
                .fact(Fact::text("jack", group.jack))
                .fact(Fact::text(
                    "anchorage",
                    group.anchorage.record.id.as_deref().unwrap_or("without a name"),
                ))
                .fact(Fact::text("listed", name))
                .rests_on(group.anchorage.route.field("jacks")),
            );
        }
    }
}
