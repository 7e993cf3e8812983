//! A measured elongation is further from the theoretical one than it may be.

use std::collections::BTreeMap;

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_mechanics::elongation::{Lot, band, corrected_for_lots_mm, deviation};
use restrand_model::route::Route;
use restrand_model::schedule::{EndName, Measurement, Stage, Status, Stressing};

use super::jacked;
use super::recomputed::{Reading, Recomputed, index};
use super::steel::Steel;
use crate::context::{Context, TendonAt};
use crate::rule::{Check, Corrects, LimitKey, Rule};

const SINGLE: LimitKey = LimitKey {
    name: "elongation_single_percent",
    meaning: "per cent by which one tendon's measured elongation may be off",
};
const MEAN: LimitKey = LimitKey {
    name: "elongation_mean_percent",
    meaning: "per cent by which the mean of the tendons of a span may be off",
};

pub(crate) const RULE: Rule = Rule {
    id: "stressing/elongation-out-of-tolerance",
    summary: "measured elongations against theoretical ones, tendon by tendon and in the mean of each span",
    kinds: &[Kind::Margin],
    limits: &[SINGLE, MEAN],
    sources: &[Citation::new(
        "Hooke's law, for strand of another area or modulus than assumed",
        Evidence::Derived,
    )],
    correction: Corrects::Nothing,
    implied_by: &["stressing/elongation-mismatch", "schedule/duplicate-mark"],
    page: include_str!("elongation_out_of_tolerance.md"),
    check: Check::Schedule(check),
};

/// A tendon's elongation, as measured and as it should be, over all ends that were pulled.
struct Pulled<'a> {
    at: TendonAt<'a>,
    route: Route,
    measured_mm: f64,
    theoretical_mm: f64,
    off_percent: f64,
    /// Whether the theoretical one is corrected for the strand that came.
    is_corrected: bool,
}

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    let mut spans: BTreeMap<Vec<&str>, Vec<Pulled<'_>>> = BTreeMap::new();
    for at in context.tendons() {
        if at.tendon.status == Some(Status::Removed) {
            outcomes.not_applicable("the tendon is removed");
            continue;
        }
        let is_measured = at.tendon.measurements.iter().any(|m| m.elongation_mm.is_some());
        if !is_measured && context.stage_of(at.tendon) < Stage::AsBuilt {
            outcomes.not_applicable("the tendon is not stressed yet");
            continue;
        }
        match pulled(context, at) {
            Ok(pulled) => {
                single(context, &pulled, outcomes);
                let key = pulled.at.tendon.spans.iter().map(|link| link.key()).collect();
                spans.entry(key).or_default().push(pulled);
            }
            Err(field) => outcomes.not_evaluated(field),
        }
    }
    for (span, pulled) in spans {
        if pulled.len() > 1 && !span.is_empty() {
            mean(context, &span, &pulled, outcomes);
        }
    }
}

fn pulled<'a>(context: &Context<'_>, at: TendonAt<'a>) -> Result<Pulled<'a>, &'static str> {
    const MEASURED: &str = "measurement.elongation_mm";
    let stressing = at.tendon.stressing.as_deref().ok_or("tendon.stressing")?;
    let ends = jacked::ends_of(at.tendon)?;
    let list = at.route.field("measurements");
    let (mut measured_mm, mut theoretical_mm) = (0.0, 0.0);
    let (mut route, mut is_corrected) = (None, false);
    let mut recomputed = None;
    for name in ends {
        let (position, measured) = last(&at, stressing, *name).ok_or(MEASURED)?;
        let stated = match name {
            EndName::A => stressing.elongation_a_mm,
            EndName::B => stressing.elongation_b_mm,
        };
        let of_end = match stated {
            Some(stated) => stated,
            None => {
                let all = match recomputed {
                    Some(all) => all,
                    None => *recomputed.insert(elastic_mm(context, &at, *name)?),
                };
                all[index(*name)].ok_or(theoretical_field(*name))?
            }
        };
        let of_strand = corrected(context, &at, measured, of_end)?;
        is_corrected |= of_strand.is_some();
        measured_mm += measured.elongation_mm.ok_or(MEASURED)?;
        theoretical_mm += of_strand.unwrap_or(of_end);
        route.get_or_insert(list.item(position).field("elongation_mm"));
    }
    let off = deviation(measured_mm, theoretical_mm).map_err(|_| theoretical_field(ends[0]))?;
    Ok(Pulled {
        route: route.ok_or(MEASURED)?,
        at,
        measured_mm,
        theoretical_mm,
        off_percent: off.off_percent,
        is_corrected,
    })
}

const fn theoretical_field(name: EndName) -> &'static str {
    match name {
        EndName::A => "stressing.elongation_a_mm",
        EndName::B => "stressing.elongation_b_mm",
    }
}

/// The elongations that follow from what is stated, where they are not stated themselves.
fn elastic_mm(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    name: EndName,
) -> Result<[Option<f64>; 2], &'static str> {
    let recomputed = || {
        let tendon = Recomputed::of(context, at, Reading::AsStated)?;
        tendon.elastic_mm(jacked::jacking(at, &tendon.steel)?.force_kn)
    };
    recomputed().map_err(|_: &'static str| theoretical_field(name))
}

/// The measurement of the day of stressing at an end; where that day is not stated, the last.
fn last<'a>(
    at: &TendonAt<'a>,
    stressing: &Stressing,
    name: EndName,
) -> Option<(usize, &'a Measurement)> {
    let of_end = || {
        at.tendon.measurements.iter().enumerate().filter(|(_, measured)| {
            measured.elongation_mm.is_some() && measured.end.is_none_or(|end| end == name)
        })
    };
    let of_day = of_end()
        .rfind(|(_, measured)| measured.on.is_some() && measured.on == stressing.stressed_on);
    of_day.or_else(|| of_end().next_back())
}

/// The theoretical elongation for the strand that came, where its area or modulus was measured.
fn corrected(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    measured: &Measurement,
    theoretical_mm: f64,
) -> Result<Option<f64>, &'static str> {
    if measured.strand_area_mm2.or(measured.e_mpa).is_none() {
        return Ok(None);
    }
    let steel = Steel::of(context, at.tendon)?;
    let area_mm2 = steel.strand.record.area_mm2.ok_or("strand.area_mm2")?;
    let assumed = Lot { strands: steel.strands, area_mm2, e_mpa: steel.e_mpa()? };
    let actual = Lot {
        area_mm2: measured.strand_area_mm2.unwrap_or(assumed.area_mm2),
        e_mpa: measured.e_mpa.unwrap_or(assumed.e_mpa),
        ..assumed
    };
    corrected_for_lots_mm(theoretical_mm, &assumed, &[actual])
        .map(Some)
        .map_err(|_| "measurement.e_mpa")
}

/// A per cent of decimal fractions is not exact.
const ROUNDING: f64 = 1e-9;

fn single(context: &Context<'_>, pulled: &Pulled<'_>, outcomes: &mut Outcomes) {
    let limit = context.limit(SINGLE);
    if pulled.off_percent.abs() <= limit.value + ROUNDING {
        return outcomes.pass();
    }
    let (how, why) = if pulled.off_percent < 0.0 {
        (
            "shorter",
            "Short of it, strand jams, friction is more than reckoned, or the gauge shows too much",
        )
    } else {
        (
            "longer",
            "Beyond it, wedges slip, strand or a wire gave way, slack was not taken up, or the gauge shows \
             too little",
        )
    };
    let message = format!(
        "tendon {{tendon}} was drawn out by {{measured_mm}}, {{off_percent}} per cent {how} than the \
         {{theoretical_mm}} of theory; {{elongation_single_percent}} per cent are allowed"
    );
    let mut finding = Finding::new(RULE.id, Kind::Margin, pulled.route.clone(), message)
        .related(pulled.at.route.field("stressing"), "the theoretical elongation")
        .help(format!("{why}: find the cause before the tails are cut and the tendon is filled"))
        .fact(Fact::text("tendon", pulled.at.mark()))
        .fact(Fact::given("measured_mm", pulled.measured_mm, 1))
        .fact(Fact::computed("theoretical_mm", pulled.theoretical_mm, 1))
        .fact(Fact::computed("off_percent", pulled.off_percent.abs(), 2))
        .fact(limit.fact(SINGLE, 1))
        .fact(Fact::computed("ratio", pulled.off_percent.abs() / limit.value, 3));
    if let Ok(band) = band(pulled.theoretical_mm, limit.value) {
        finding = finding
            .fact(Fact::computed("least_mm", band.least_mm, 1).at_least())
            .fact(Fact::computed("most_mm", band.most_mm, 1).at_most())
            .remedy("Lift off and read the force; an elongation from {least_mm} to {most_mm} is within tolerance");
    }
    if !pulled.is_corrected {
        finding = finding.remedy(
            "State area and modulus of the strand that came with the measurement: theory is then reckoned \
             with them",
        );
    }
    outcomes.found(finding);
}

fn mean(context: &Context<'_>, span: &[&str], pulled: &[Pulled<'_>], outcomes: &mut Outcomes) {
    let sum: f64 = pulled.iter().map(|pulled| pulled.off_percent).sum();
    #[expect(clippy::cast_precision_loss, reason = "tendons of a span are few")]
    let off_percent = sum / pulled.len() as f64;
    let limit = context.limit(MEAN);
    if off_percent.abs() <= limit.value + ROUNDING {
        return outcomes.pass();
    }
    let how = if off_percent < 0.0 { "shorter" } else { "longer" };
    let message = format!(
        "the tendons of {{spans}} were drawn out by {{off_percent}} per cent {how} than theory in the mean; \
         {{elongation_mean_percent}} per cent are allowed"
    );
    let mut finding = Finding::new(RULE.id, Kind::Margin, pulled[0].route.clone(), message)
        .help(
            "What is off in all tendons alike is no jam: look at gauge and calibration, at the friction that \
             was assumed, and at area and modulus of the strand",
        )
        .fact(Fact::text("spans", span.join(", ")))
        .fact(Fact::text(
            "tendons",
            pulled.iter().map(|pulled| pulled.at.mark()).collect::<Vec<_>>().join(", "),
        ))
        .fact(Fact::computed("off_percent", off_percent.abs(), 2))
        .fact(limit.fact(MEAN, 1))
        .fact(Fact::computed("ratio", off_percent.abs() / limit.value, 3));
    for pulled in &pulled[1..] {
        finding = finding.related(pulled.route.clone(), "measured in the same span");
    }
    outcomes.found(
        finding
            .remedy("Check force and gauge with a calibrated load cell, and lift one tendon off"),
    );
}
