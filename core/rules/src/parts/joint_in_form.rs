//! A joint of the duct lies in a form or in concrete, or near its mouth.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_mechanics::passing::CONTACT_MM;
use restrand_model::schedule::Status;

use crate::beyond::{beyond, short_of};
use crate::context::{Context, TendonAt};
use crate::rule::{Check, Corrects, LimitKey, Rule};
use crate::works::{self, Along};

const CLEAR: LimitKey = LimitKey {
    name: "joint_clear_mm",
    meaning: "from a duct joint to the mouth of a permanent form",
};

pub(crate) const RULE: Rule = Rule {
    id: "parts/joint-in-form",
    summary: "each joint of the duct against the forms and diaphragms along the tendon",
    kinds: &[Kind::Physical, Kind::Margin, Kind::Inconsistent],
    limits: &[CLEAR],
    sources: &[Citation::new(
        "geometry along the tendon: a joint is thicker and stiffer than the duct",
        Evidence::Derived,
    )],
    correction: Corrects::Nothing,
    implied_by: &["path/points-impossible"],
    page: include_str!("joint_in_form.md"),
    check: Check::Tendons(check),
};

fn check(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    if at.stays() {
        return outcomes.not_applicable("the tendon need not be replaceable");
    }
    if at.tendon.status == Some(Status::Removed) {
        return outcomes.not_applicable("the tendon is removed");
    }
    if at.tendon.duct_joints.is_empty() {
        return outcomes.not_applicable("no joint of the duct is stated");
    }
    let known = Along::of(context, at).and_then(|along| Ok((along, context.held(at)?)));
    let (along, held) = match known {
        Ok(known) => known,
        Err(field) => return outcomes.not_evaluated(field),
    };
    let limit = context.limit(CLEAR);
    for (index, joint) in at.tendon.duct_joints.iter().enumerate() {
        let Some(station_m) = joint.station_m else {
            outcomes.not_evaluated("duct_joint.station_m");
            continue;
        };
        let [first_m, last_m] = along.stations_m();
        if short_of(station_m, first_m) || beyond(station_m, last_m) {
            outcomes.found(off_the_tendon(at, index, station_m, [first_m, last_m]));
            continue;
        }
        // What its middle is too near to, the whole joint is too.
        let half_m = joint.length_mm.map(|length_mm| length_mm / 1000.0 / 2.0);
        let at_m = along.at_m(station_m);
        let near = held
            .iter()
            .map(|held| (held.clear_m(at_m) - half_m.unwrap_or(0.0), held))
            .min_by(|(one, _), (other, _)| one.total_cmp(other));
        let Some((clear_m, in_the_way)) = near else {
            outcomes.pass();
            continue;
        };
        // A joint that ends at a face is not inside it.
        let is_inside = clear_m * 1000.0 < -CONTACT_MM;
        if !is_inside && !short_of(clear_m * 1000.0, limit.value) {
            match half_m {
                Some(_) => outcomes.pass(),
                None => outcomes.not_evaluated("duct_joint.length_mm"),
            }
            continue;
        }
        let (kind, message) = match is_inside {
            true => (
                Kind::Physical,
                "the duct joint of {tendon} at station {station_m} reaches into {place}: nobody can open it there, and it does not \
                 come out as the duct does",
            ),
            false => (
                Kind::Margin,
                "the duct joint of {tendon} at station {station_m} ends {clear_mm} from the mouth at {place}, less than {joint_clear_mm}",
            ),
        };
        let mut finding = Finding::new(
            RULE.id,
            kind,
            at.route.field("duct_joints").item(index).field("station_m"),
            message,
        )
        .help(
            "One length of duct runs through each form, with its joints where they can be reached",
        )
        .fact(Fact::text("tendon", at.mark()))
        .fact(Fact::text("place", in_the_way.place.as_str()))
        .fact(Fact::given("station_m", station_m, 3));
        let clear_mm = clear_m * 1000.0;
        let clear_mm = if clear_mm.abs() <= CONTACT_MM { 0.0 } else { clear_mm };
        let clear = Fact::computed("clear_mm", clear_mm, 0);
        finding = match half_m {
            None => finding
                .fact(clear.at_most())
                .remedy("State the length of the joint, and move it clear of {place} with it"),
            Some(half_m) => {
                let off_m = limit.value / 1000.0 + half_m;
                let free = works::nearest_free(held, along.length_m(), at_m, off_m);
                let finding = finding.fact(clear);
                match free {
                    Some(free) => {
                        let instead = Fact::computed("instead_m", along.station_m(free.along_m), 3);
                        finding
                            .fact(if free.is_after {
                                instead.at_least()
                            } else {
                                instead.at_most()
                            })
                            .remedy("Move the joint to station {instead_m}")
                    }
                    None => finding,
                }
            }
        };
        if !is_inside {
            finding = finding.fact(limit.fact(CLEAR, 0));
        }
        outcomes.found(finding);
    }
}

fn off_the_tendon(at: &TendonAt<'_>, index: usize, station_m: f64, ends_m: [f64; 2]) -> Finding {
    Finding::new(
        RULE.id,
        Kind::Inconsistent,
        at.route.field("duct_joints").item(index).field("station_m"),
        "the duct joint of {tendon} at station {station_m} lies beyond the tendon, which runs from {from_m} to {to_m}",
    )
    .help("Correct the station of the joint, or its unit")
    .fact(Fact::text("tendon", at.mark()))
    .fact(Fact::given("station_m", station_m, 3))
    .fact(Fact::computed("from_m", ends_m[0], 3))
    .fact(Fact::computed("to_m", ends_m[1], 3))
}
