//! A gauge reading of the table of steps is not what the jack shows at that force.

use restrand_finding::{Citation, Class, Correction, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_mechanics::jack::{
    CalibrationPoint, force_by_area_kn, force_by_calibration_kn, pressure_by_area_mpa,
    pressure_by_calibration_mpa,
};
use restrand_model::route::Route;
use restrand_model::schedule::{Jack, Status};

use super::calibration;
use crate::context::{Context, Found, TendonAt};
use crate::mended::by_fact_and_basis;
use crate::rule::{Check, Corrects, LimitKey, Rule};

const TOLERANCE: LimitKey = LimitKey {
    name: "gauge_tolerance",
    meaning: "share by which a stated gauge reading may differ from that of its force",
};

pub(crate) const RULE: Rule = Rule {
    id: "stressing/gauge-mismatch",
    summary: "gauge readings of the table of steps against the jack's calibration, or its piston's area",
    kinds: &[Kind::Inconsistent],
    limits: &[TOLERANCE],
    sources: &[Citation::new(
        "the jack's own calibration; where there is none, the definition of pressure",
        Evidence::Stated,
    )],
    correction: Corrects::Offers(&[Class::Propose], offer),
    implied_by: &[
        "stressing/beyond-calibration",
        "stressing/end-role-conflict",
        "stressing/force-mismatch",
        "schedule/duplicate-mark",
    ],
    page: include_str!("gauge_mismatch.md"),
    check: Check::Tendons(check),
};

/// The reading that the jack shows at the force of the step.
fn offer(context: &Context<'_>, offered: &mut Vec<Correction>) {
    const WHY: &str = "jack {jack} shows {computed_gauge_mpa} at {force_kn}";
    for at in context.tendons() {
        let mend = (Class::Propose, "computed_gauge_mpa", WHY);
        offered.extend(by_fact_and_basis(context, &at, check, mend));
    }
}

fn check(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    if at.tendon.status == Some(Status::Removed) {
        return outcomes.not_applicable("the tendon is removed");
    }
    let list = at.route.field("stressing_steps");
    let mut is_stated = false;
    for (index, step) in at.tendon.stressing_steps.iter().enumerate() {
        let Some((force_kn, gauge_mpa)) = step.force_kn.zip(step.gauge_mpa) else { continue };
        is_stated = true;
        let Some(name) = step.end else {
            outcomes.not_evaluated("stressing_step.end");
            continue;
        };
        let end = at.ends().find(|end| end.name == name);
        let Some(jack) = end.and_then(|end| context.jack(end.end.jack.as_ref())) else {
            outcomes.not_evaluated("end.jack");
            continue;
        };
        let step = Step { force_kn, gauge_mpa, route: list.item(index) };
        one(context, at, &jack, &step, outcomes);
    }
    if !is_stated {
        outcomes.not_evaluated("stressing_step.gauge_mpa");
    }
}

/// A step with its reading.
struct Step {
    force_kn: f64,
    gauge_mpa: f64,
    route: Route,
}

/// How the reading of a force is known.
enum Known {
    Calibration(Vec<CalibrationPoint>),
    Area { piston_area_mm2: f64, loss: f64 },
}

impl Known {
    /// The calibration, or what stands for it; the field that is absent.
    fn of(jack: &Jack) -> Result<Self, &'static str> {
        if !jack.calibration.is_empty() {
            return calibration::points(jack).map(Self::Calibration);
        }
        let piston_area_mm2 = jack.piston_area_mm2.ok_or("jack.calibration")?;
        let loss = jack.internal_loss.ok_or("jack.internal_loss")?;
        Ok(Self::Area { piston_area_mm2, loss })
    }

    fn gauge_mpa(&self, force_kn: f64) -> Option<f64> {
        match self {
            Self::Calibration(points) => pressure_by_calibration_mpa(points, force_kn).ok(),
            Self::Area { piston_area_mm2, loss } => {
                pressure_by_area_mpa(force_kn, *piston_area_mm2, *loss).ok()
            }
        }
    }

    fn force_kn(&self, gauge_mpa: f64) -> Option<f64> {
        match self {
            Self::Calibration(points) => force_by_calibration_kn(points, gauge_mpa).ok(),
            Self::Area { piston_area_mm2, loss } => {
                force_by_area_kn(gauge_mpa, *piston_area_mm2, *loss).ok()
            }
        }
    }
}

fn one(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    jack: &Found<'_, Jack>,
    step: &Step,
    outcomes: &mut Outcomes,
) {
    let known = match Known::of(jack.record) {
        Ok(known) => known,
        Err(field) => return outcomes.not_evaluated(field),
    };
    // A force beyond the calibration has no reading, which beyond-calibration says.
    let Some(computed_mpa) = known.gauge_mpa(step.force_kn) else {
        return outcomes.not_evaluated("jack.calibration");
    };
    let tolerance = context.limit(TOLERANCE);
    let allowed = |computed_mpa: f64| {
        // A gauge is read to half of its smallest step.
        let read_mpa = jack.record.gauge_resolution_mpa.unwrap_or(0.0) / 2.0;
        f64::max(tolerance.value * computed_mpa, read_mpa) + ROUNDING
    };
    if (step.gauge_mpa - computed_mpa).abs() <= allowed(computed_mpa) {
        return outcomes.pass();
    }
    let mut finding = Finding::new(
        RULE.id,
        Kind::Inconsistent,
        step.route.field("gauge_mpa"),
        "a step of tendon {tendon} at {force_kn} is stated to show {gauge_mpa}; jack {jack} shows \
         {computed_gauge_mpa} there",
    )
    .related(step.route.field("force_kn"), "the force")
    .related(jack.route.clone(), "the jack")
    .help(
        "Who stresses goes by the gauge: state the reading that the calibration of this jack gives",
    )
    .fact(Fact::text("tendon", at.mark()))
    .fact(Fact::text("jack", jack.record.id.as_deref().unwrap_or("without a name")))
    .fact(Fact::given("force_kn", step.force_kn, 0))
    .fact(Fact::given("gauge_mpa", step.gauge_mpa, 2))
    .fact(Fact::computed("computed_gauge_mpa", computed_mpa, 2))
    .fact(Fact::computed("deviation", (step.gauge_mpa - computed_mpa).abs() / computed_mpa, 4))
    .fact(tolerance.fact(TOLERANCE, 3));
    if let Some(force_kn) = known.force_kn(step.gauge_mpa) {
        finding = finding.fact(Fact::computed("force_at_gauge_kn", force_kn, 0)).remedy(
            "State {computed_gauge_mpa}: at {gauge_mpa} the jack would give {force_at_gauge_kn}",
        );
    } else {
        finding = finding.remedy("State {computed_gauge_mpa}");
    }
    let by_area = jack
        .record
        .piston_area_mm2
        .filter(|_| matches!(known, Known::Calibration(_)))
        .and_then(|area_mm2| pressure_by_area_mpa(step.force_kn, area_mm2, 0.0).ok());
    if by_area.is_some_and(|by_area| (step.gauge_mpa - by_area).abs() <= allowed(by_area)) {
        finding = finding.remedy(
            "It agrees with the force over the piston's area: read it from the calibration instead, which \
             knows the friction of the seals",
        );
    }
    outcomes.found(finding);
}

/// A share of a decimal fraction is not exact.
const ROUNDING: f64 = 1e-9;
