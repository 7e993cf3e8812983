//! What a jack's gauge reads: by its calibration, or by the area of its piston until there is one.

use restrand_finding::Fact;
use restrand_mechanics::jack::{
    CalibrationPoint, force_by_area_kn, force_by_calibration_kn, pressure_by_area_mpa,
    pressure_by_calibration_mpa,
};
use restrand_model::reflect::Date;
use restrand_model::schedule::Jack;

use crate::plan::{Line, Step};
use crate::tendon::Known;

/// What a gauge is read with.
pub(crate) enum Gauge {
    Calibration(Vec<CalibrationPoint>),
    Area { piston_mm2: f64, loss: f64 },
    Unknown,
}

impl Gauge {
    pub(crate) fn of(jack: Option<&Jack>) -> Self {
        let Some(jack) = jack else { return Self::Unknown };
        let points: Vec<_> = jack
            .calibration
            .iter()
            .filter_map(|point| {
                Some(CalibrationPoint { pressure_mpa: point.gauge_mpa?, force_kn: point.force_kn? })
            })
            .collect();
        match (jack.piston_area_mm2, jack.internal_loss) {
            _ if points.len() > 1 => Self::Calibration(points),
            (Some(piston_mm2), Some(loss)) => Self::Area { piston_mm2, loss },
            _ => Self::Unknown,
        }
    }

    pub(crate) fn reads(&self, force_kn: f64) -> Option<f64> {
        match self {
            Self::Calibration(points) => pressure_by_calibration_mpa(points, force_kn).ok(),
            Self::Area { piston_mm2, loss } => {
                pressure_by_area_mpa(force_kn, *piston_mm2, *loss).ok()
            }
            Self::Unknown => None,
        }
    }

    /// The force at a reading.
    pub(crate) fn force_kn(&self, gauge_mpa: f64) -> Option<f64> {
        match self {
            Self::Calibration(points) => force_by_calibration_kn(points, gauge_mpa).ok(),
            Self::Area { piston_mm2, loss } => force_by_area_kn(gauge_mpa, *piston_mm2, *loss).ok(),
            Self::Unknown => None,
        }
    }

    /// The greatest force of the calibration.
    pub(crate) fn calibrated_to_kn(&self) -> Option<f64> {
        match self {
            Self::Calibration(points) => points.iter().map(|point| point.force_kn).reduce(f64::max),
            Self::Area { .. } | Self::Unknown => None,
        }
    }

    /// By what a reading is told, for a sentence.
    pub(crate) fn words(&self, jack: Option<&Jack>) -> String {
        match (self, jack.and_then(|jack| jack.calibrated_on)) {
            (Self::Calibration(_), Some(day)) => format!("by the calibration of {day}"),
            (Self::Calibration(_), None) => "by a calibration without a date".to_owned(),
            (Self::Area { .. } | Self::Unknown, _) => {
                "by the area of the piston, not calibrated".to_owned()
            }
        }
    }

    /// Which calibration is read, of which day, and how old it is.
    pub(crate) fn tell(&self, known: &Known<'_, '_>, jack: &Jack, call: &str, step: &mut Step) {
        if !matches!(self, Self::Calibration(_)) {
            step.lacks(
                "jack.calibration",
                Some(call.to_owned()),
                "gauge readings of a calibrated jack",
            );
            if matches!(self, Self::Area { .. }) {
                step.say("Gauge readings are by the area of the piston and the stated loss, until the jack is calibrated");
            }
            step.hold("Jack and gauge are calibrated together before the jack is used: a reading by the area of the piston alone stresses nothing");
            return;
        }
        let name = jack.id.as_deref().unwrap_or_default();
        let Some(day) = jack.calibrated_on else {
            step.lacks(
                "jack.calibrated_on",
                Some(call.to_owned()),
                "whether the calibration holds on the day of stressing",
            );
            step.hold(
                Line::from("The day of the calibration of {jack} is known, and it holds on the day of stressing")
                    .with(Fact::text("jack", name)),
            );
            return;
        };
        let as_of = known.context.as_of;
        let age_months = months(day, as_of);
        let facts = |line: Line| {
            line.with(Fact::text("jack", name))
                .with(Fact::text("day", day.to_string()))
                .with(Fact::text("as_of", as_of.to_string()))
                .with(Fact::computed("age_months", age_months, 1))
        };
        let mut line = facts(Line::from(
            "Gauge readings are by the calibration of {jack} of {day}, {age_months} months before {as_of}",
        ));
        if let Some(by) = &jack.calibrated_by {
            line.text.push_str(", by {by}");
            line = line.with(Fact::text("by", &**by));
        }
        step.say(line);
        let Some(most) = known.limit("calibration_age_months") else { return };
        let with_limit = |line: Line| {
            facts(line).with(Fact::limit(
                "calibration_age_months",
                most.value,
                1,
                most.citation.clone(),
            ))
        };
        if age_months > most.value {
            step.beware(with_limit(Line::from("The calibration of {jack} of {day} is {age_months} months old on {as_of}, and one holds for {calibration_age_months}: the readings of this plan are not used before jack and gauge are calibrated anew")));
        } else if age_months < 0.0 {
            step.beware(with_limit(Line::from("The calibration of {jack} is dated {day}, after {as_of}: the date or the day of the plan is wrong")));
        }
        step.hold(with_limit(Line::from("On the day of stressing the calibration of {jack} with its gauge is no older than {calibration_age_months} months, and the certificate with the same readings is at the jack")));
    }
}

/// Months between two days, a day no more than one of the longest month.
fn months(from: Date, to: Date) -> f64 {
    const LONGEST: i32 = 31;
    let months = |date: Date| i32::from(date.year()) * 12 + i32::from(date.month());
    let days = i32::from(to.day()) - i32::from(from.day());
    f64::from(months(to) - months(from)) + f64::from(days) / f64::from(LONGEST)
}
