//! What no reading of a jack goes beyond: the least of what the strands, the jack and its calibration allow.

use restrand_finding::{Citation, Fact};
use restrand_model::schedule::Jack;
use restrand_rules::works::{self, Limits};

use crate::gauge::Gauge;
use crate::plan::{Cell, Column, Line, Step, Table};
use crate::tendon::Known;

/// What bounds a reading.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Bound {
    /// The stress that the strands may have at the jack.
    Strand,
    /// The share of the jack's rating that is used.
    JackUse,
    /// The rated force of the jack.
    Rating,
    /// The rated pressure of the jack.
    Pressure,
    /// The last line of the calibration.
    Calibration,
}

impl Bound {
    const fn words(self) -> &'static str {
        match self {
            Self::Strand => "what the strands may have at the jack",
            Self::JackUse => "what is used of the jack's rating",
            Self::Rating => "the jack's rated force",
            Self::Pressure => "the jack's rated pressure",
            Self::Calibration => "the last line of the jack's calibration",
        }
    }
}

/// A bound as the force that the jack gives the tendon.
#[derive(Debug, Clone)]
pub(crate) struct Most {
    pub(crate) bound: Bound,
    pub(crate) force_kn: f64,
    pub(crate) gauge_mpa: Option<f64>,
    /// The limit of the rulebook from which it follows, and what that rests on.
    limit: Option<(&'static str, Citation)>,
}

/// All bounds at an end, the least first.
#[derive(Debug, Clone, Default)]
pub(crate) struct Ceiling {
    bounds: Vec<Most>,
    /// The fields without which a bound is not known.
    lacks: Vec<&'static str>,
}

impl Ceiling {
    pub(crate) fn of(known: &Known<'_, '_>, jack: Option<&Jack>, gauge: &Gauge) -> Self {
        let mut ceiling = Self::default();
        ceiling.strand(known, gauge);
        if let Some(jack) = jack {
            ceiling.jack(known, jack, gauge);
        }
        ceiling.bounds.sort_by(|one, other| one.force_kn.total_cmp(&other.force_kn));
        ceiling
    }

    /// The bound that binds.
    pub(crate) fn least(&self) -> Option<&Most> {
        self.bounds.first()
    }

    /// The bound that a force exceeds.
    pub(crate) fn exceeded_by(&self, force_kn: f64) -> Option<&Most> {
        /// Forces that differ by less are one, kN.
        const ONE_KN: f64 = 0.05;
        self.least().filter(|least| force_kn > least.force_kn + ONE_KN)
    }

    fn add(&mut self, bound: Bound, force_kn: f64, gauge: &Gauge) {
        let gauge_mpa = gauge.reads(force_kn);
        self.bounds.push(Most { bound, force_kn, gauge_mpa, limit: None });
    }

    fn strand(&mut self, known: &Known<'_, '_>, gauge: &Gauge) {
        let limits = works::force_limits(known.context, known.at).unwrap_or_default();
        match limits.into_iter().find(|limit| limit.of == Limits::Jacking) {
            Some(limit) => self.bounds.push(Most {
                bound: Bound::Strand,
                force_kn: limit.force_kn,
                gauge_mpa: gauge.reads(limit.force_kn),
                limit: Some((limit.key, limit.limit.citation.clone())),
            }),
            None => self.lacks.push("strand.fpu_mpa"),
        }
    }

    fn jack(&mut self, known: &Known<'_, '_>, jack: &Jack, gauge: &Gauge) {
        // What is lost inside the jack is asked of it as well.
        let given = 1.0 - jack.internal_loss.unwrap_or(0.0);
        match jack.rated_force_kn {
            Some(rated_kn) => {
                self.add(Bound::Rating, rated_kn * given, gauge);
                if let Some(reserve) = known.limit("jack_reserve") {
                    let force_kn = rated_kn * (1.0 - reserve.value) * given;
                    self.bounds.push(Most {
                        bound: Bound::JackUse,
                        force_kn,
                        gauge_mpa: gauge.reads(force_kn),
                        limit: Some(("jack_reserve", reserve.citation.clone())),
                    });
                }
            }
            None => self.lacks.push("jack.rated_force_kn"),
        }
        if let Some(pressure_mpa) = jack.rated_pressure_mpa
            && let Some(force_kn) = gauge.force_kn(pressure_mpa)
        {
            self.bounds.push(Most {
                bound: Bound::Pressure,
                force_kn,
                gauge_mpa: Some(pressure_mpa),
                limit: None,
            });
        }
        if let Some(force_kn) = gauge.calibrated_to_kn() {
            self.add(Bound::Calibration, force_kn, gauge);
        }
    }

    /// What no reading goes beyond, with every bound in a table.
    pub(crate) fn tell(&self, call: &str, jacking_kn: f64, step: &mut Step) {
        for field in &self.lacks {
            step.lacks(field, Some(call.to_owned()), "all of what bounds the reading");
        }
        let Some(least) = self.least() else { return };
        let mut line = Line::from("At {end} no reading goes beyond {most_kn}")
            .with(Fact::text("end", call))
            .with(Fact {
                // It follows from the limit, and is rounded as what follows is.
                citation: least.limit.as_ref().map(|(_, citation)| citation.clone()),
                ..Fact::computed("most_kn", least.force_kn, 0)
            })
            .with(Fact::text("bound", least.bound.words()))
            .with(Fact::computed("jacking_kn", jacking_kn, 0));
        if let Some(gauge_mpa) = least.gauge_mpa {
            line.text.push_str(", {gauge_most_mpa} on the gauge");
            line = line.with(Fact::computed("gauge_most_mpa", gauge_mpa, 2));
        }
        line.text.push_str(": {bound} binds");
        if let Some((key, _)) = &least.limit {
            line.text.push_str(" (limit {key} of the rulebook)");
            line = line.with(Fact::text("key", *key));
        }
        if !self.lacks.is_empty() {
            line.text.push_str(", of what is known");
        }
        line.text.push_str("; {jacking_kn} are asked for, and there the jack stops, whatever the elongation is short of");
        match self.exceeded_by(jacking_kn) {
            Some(_) => step.beware(line),
            None => step.say(line),
        }
        step.tables.push(Table {
            title: format!("What bounds the reading at {call}, the least first"),
            columns: vec![
                Column { name: "bound", digits: 0 },
                Column { name: "force_kn", digits: 0 },
                Column { name: "gauge_mpa", digits: 2 },
            ],
            rows: self
                .bounds
                .iter()
                .map(|most| {
                    vec![
                        Cell::from(most.bound.words()),
                        Cell::from(most.force_kn),
                        most.gauge_mpa.map_or(Cell::from("beyond the calibration"), Cell::Number),
                    ]
                })
                .collect(),
        });
    }
}

impl Most {
    /// What binds, in words.
    pub(crate) const fn words(&self) -> &'static str {
        self.bound.words()
    }
}
