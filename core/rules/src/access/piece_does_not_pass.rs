//! A planned piece of the tendon does not get out through the openings.

use std::collections::BTreeMap;

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_model::route::Route;
use restrand_model::schedule::Status;

use super::{bays_beside, named, ways_or_said};
use crate::context::{Context, TendonAt};
use crate::rule::{Check, Corrects, Rule};
use crate::ways::{Ways, extent_m, longest_fed_mm};

pub(crate) const RULE: Rule = Rule {
    id: "access/piece-does-not-pass",
    summary: "the stated length of a piece against the openings on its way out",
    kinds: &[Kind::Physical],
    limits: &[],
    sources: &[Citation::new(
        "a rod fed straight through a wall, or askew through a slab, both rooms counted",
        Evidence::Derived,
    )],
    correction: Corrects::Nothing,
    implied_by: &["access/no-way", "schedule/dangling-reference"],
    page: include_str!("piece_does_not_pass.md"),
    check: Check::Schedule(check),
};

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    let Some(ways) = ways_or_said(context, outcomes) else { return };
    // Pieces of one length and diameter leave a bay alike: by these, with the tendons. Lengths are in hundredths of a millimetre.
    let mut pieces: BTreeMap<(usize, i64, i64), Vec<TendonAt<'_>>> = BTreeMap::new();
    for at in context.tendons() {
        if at.stays() || !matches!(at.tendon.status, None | Some(Status::InUse)) {
            outcomes.not_applicable("no tendon that is to be replaced is in place");
            continue;
        }
        let length_mm = at.tendon.replacement.as_deref().and_then(|own| own.piece_length_mm);
        let Some(length_mm) = length_mm else {
            outcomes.not_evaluated("replacement.piece_length_mm");
            continue;
        };
        let Some(outer_mm) =
            context.duct(at.tendon.duct.as_ref()).and_then(|duct| duct.record.outer_mm)
        else {
            outcomes.not_evaluated("duct.outer_mm");
            continue;
        };
        #[expect(clippy::cast_possible_truncation, reason = "lengths of pieces are small")]
        let key = |mm: f64| (mm * 100.0).round() as i64;
        let bays = match bays_along(context, &ways, &at) {
            Ok(bays) => bays,
            Err(field) => {
                outcomes.not_evaluated(field);
                continue;
            }
        };
        if bays.is_empty() {
            outcomes.not_evaluated("schedule.bays");
        }
        for bay in bays {
            pieces.entry((bay, key(length_mm), key(outer_mm))).or_default().push(TendonAt {
                tendon: at.tendon,
                route: at.route.clone(),
                position: at.position,
            });
        }
    }
    let mut told: BTreeMap<(usize, i64), ()> = BTreeMap::new();
    for ((bay, length, outer), tendons) in pieces {
        #[expect(clippy::cast_precision_loss, reason = "they were rounded from millimetres")]
        let (length_mm, outer_mm) = (length as f64 / 100.0, outer as f64 / 100.0);
        let spare = |door: &crate::ways::Door| {
            longest_fed_mm(context, &ways, door, outer_mm)
                .map(|longest| longest.unwrap_or(0.0) - length_mm)
        };
        match ways.best(bay, spare) {
            Ok(Some(reach)) if reach.spare_mm >= 0.0 => outcomes.pass(),
            Err(field) => outcomes.not_evaluated(field),
            Ok(Some(reach)) => {
                let opening = ways.doors[reach.binds].opening;
                if told.insert((opening, length), ()).is_none() {
                    let longest_mm = length_mm + reach.spare_mm;
                    outcomes.found(stuck(&ways, opening, bay, length_mm, longest_mm, &tendons));
                }
            }
            // That no way leads there is told by the rule on ways.
            Ok(None) => outcomes.not_evaluated("schedule.openings"),
        }
    }
}

/// The bays beside the deviators of a tendon, and those in which its free length lies.
fn bays_along(
    context: &Context<'_>,
    ways: &Ways<'_>,
    at: &TendonAt<'_>,
) -> Result<Vec<usize>, &'static str> {
    let mut bays = Vec::new();
    for place in at.tendon.deviators.iter().filter_map(|deviator| deviator.place.as_ref()) {
        bays.extend(bays_beside(context, ways, at, place.key())?.into_iter().flatten());
    }
    if bays.is_empty() {
        let stations = at.tendon.points.iter().filter_map(|point| point.station_m);
        let (from_m, to_m) = stations
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(from, to), at| (from.min(at), to.max(at)));
        bays.extend(ways.bays.iter().enumerate().filter_map(|(index, bay)| {
            let [Some(begin_m), Some(end_m)] = extent_m(context, bay) else { return None };
            (begin_m >= from_m && end_m <= to_m).then_some(index)
        }));
    }
    bays.sort_unstable();
    bays.dedup();
    Ok(bays)
}

fn stuck(
    ways: &Ways<'_>,
    opening: usize,
    bay: usize,
    length_mm: f64,
    longest_mm: f64,
    tendons: &[TendonAt<'_>],
) -> Finding {
    let marks: Vec<String> = tendons.iter().map(TendonAt::mark).collect();
    let route = tendons[0].route.field("replacement").field("piece_length_mm");
    let mut finding = Finding::new(
        RULE.id,
        Kind::Physical,
        route,
        "pieces of {length_mm} of {tendons} do not get from bay {bay} through opening {opening}: at most {longest_mm} do",
    )
    .related(Route::to("openings", opening), "the opening that binds")
    .help("Cut shorter pieces, or take another way out")
    .fact(Fact::text("tendons", named(&marks)))
    .fact(Fact::text("bay", ways.call_bay(bay)))
    .fact(Fact::text("opening", ways.call(opening)))
    .fact(Fact::given("length_mm", length_mm, 0))
    .fact(Fact::computed("longest_mm", longest_mm, 0))
    .fact(Fact::computed("ratio", longest_mm / length_mm, 2));
    if longest_mm > 0.0 {
        finding = finding.remedy("Cut pieces of {longest_mm} at most");
    }
    finding
}
