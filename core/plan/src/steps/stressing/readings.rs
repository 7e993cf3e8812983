//! What is read at each step, where the piston is set back, and what shows after seating, each with its band.

use restrand_finding::Fact;
use restrand_mechanics::elongation::{above_baseline_mm, band};
use restrand_mechanics::jack::strokes;
use restrand_rules::works;

use super::{AtEnd, ONE_SHARE, index};
use crate::ceiling::Ceiling;
use crate::gauge::Gauge;
use crate::plan::{Cell, Column, Line, Step, Table};

impl AtEnd<'_, '_> {
    /// The steps with their readings.
    pub(super) fn table(
        &self,
        gauge: &Gauge,
        ceiling: &Ceiling,
        [whole_mm, dead_mm, stroke_mm, baseline]: [Option<f64>; 4],
        step: &mut Step,
    ) {
        let Self { known, call, pull, .. } = *self;
        let (mut shares, is_stated) = self.shares();
        if !is_stated {
            step.say("No steps are stated: fifths of the force are shown");
        }
        // The baseline is read as well, where no step lies at it.
        if let Some(baseline) = baseline
            && !shares.iter().any(|share| (share - baseline).abs() < ONE_SHARE)
        {
            let before = shares.iter().take_while(|share| **share < baseline).count();
            shares.insert(before, baseline);
        }
        let tolerance = known.limit("elongation_single_percent");
        let rows = shares.iter().map(|share| {
            let force_kn = share * pull.jacking_kn;
            if ceiling.exceeded_by(force_kn).is_some() {
                let beyond = || Cell::from("not possible");
                let mut row = vec![Cell::from(share * 100.0), Cell::from(force_kn)];
                row.extend([(); 6].map(|()| beyond()));
                return row;
            }
            let read_mm = whole_mm.map(|whole_mm| whole_mm * share);
            let below = baseline.is_some_and(|baseline| *share < baseline - ONE_SHARE);
            let above_mm =
                whole_mm.zip(baseline).filter(|_| !below).and_then(|(whole_mm, baseline)| {
                    above_baseline_mm(whole_mm, baseline, *share).ok()
                });
            // At the baseline itself nothing has been measured yet.
            let band = above_mm
                .filter(|above_mm| *above_mm > 0.0)
                .zip(tolerance)
                .and_then(|(above_mm, tolerance)| band(above_mm, tolerance.value).ok());
            let of_band = |edge: Option<f64>| match (above_mm, below) {
                (Some(_), _) => edge.map_or(Cell::Blank, Cell::Number),
                (None, true) => Cell::Blank,
                (None, false) => Cell::Missing,
            };
            let stroke =
                read_mm.zip(dead_mm).zip(stroke_mm).and_then(|((read_mm, dead_mm), stroke_mm)| {
                    strokes(read_mm + dead_mm, stroke_mm).ok()
                });
            vec![
                Cell::from(share * 100.0),
                Cell::from(force_kn),
                Cell::from(gauge.reads(force_kn)),
                Cell::from(read_mm),
                if below { Cell::Blank } else { Cell::from(above_mm) },
                of_band(band.map(|band| band.least_mm)),
                of_band(band.map(|band| band.most_mm)),
                Cell::from(stroke.map(f64::from)),
            ]
        });
        step.tables.push(Table {
            title: format!(
                "Steps at {call}: elongation from slack, and what is measured from the baseline on"
            ),
            columns: vec![
                Column { name: "force_percent", digits: 0 },
                Column { name: "force_kn", digits: 0 },
                Column { name: "gauge_mpa", digits: 2 },
                Column { name: "elongation_mm", digits: 1 },
                Column { name: "above_baseline_mm", digits: 1 },
                Column { name: "at_least_mm", digits: 1 },
                Column { name: "at_most_mm", digits: 1 },
                Column { name: "stroke", digits: 0 },
            ],
            rows: rows.collect(),
        });
    }

    /// Where the piston is set back: the force and the reading up to which each stroke goes.
    pub(super) fn strokes(
        &self,
        gauge: &Gauge,
        [whole_mm, dead_mm, stroke_mm]: [f64; 3],
        count: u32,
        step: &mut Step,
    ) {
        if count < 2 {
            return;
        }
        let rows = (1..count).map(|change| {
            let out_mm = f64::from(change) * stroke_mm;
            let force_kn = ((out_mm - dead_mm) / whole_mm).max(0.0) * self.pull.jacking_kn;
            vec![
                Cell::from(f64::from(change)),
                Cell::from(out_mm),
                Cell::from(force_kn),
                Cell::from(gauge.reads(force_kn)),
            ]
        });
        step.tables.push(Table {
            title: format!(
                "Changes of stroke at {}: no later than here the piston is set back; what the jack reads, with what the other end draws in",
                self.call
            ),
            columns: vec![
                Column { name: "change", digits: 0 },
                Column { name: "from_slack_mm", digits: 0 },
                Column { name: "force_kn", digits: 0 },
                Column { name: "gauge_mpa", digits: 2 },
            ],
            rows: rows.collect(),
        });
        step.say("At a change of stroke the wedges are seated, the piston is set back, and the jack grips anew: elongation counts again once the gauge is back where it was, and what each stroke gave is added up");
    }

    /// Seating and lift-off, each with its band.
    pub(super) fn set(
        &self,
        gauge: &Gauge,
        ceiling: &Ceiling,
        dead_mm: Option<f64>,
        step: &mut Step,
    ) {
        let Some(seated) = self.seated else { return };
        let stressing = self.known.tendon.stressing.as_deref();
        let set_mm = self.end.end.set_mm.or(stressing.and_then(|stressing| stressing.set_mm));
        let seated_kn = seated.seated_kn[index(self.end.name)];
        let Some(set_mm) = set_mm else { return };
        let set_by = self.known.context.limit(works::SET_TOLERANCE);
        let lift_off_by = self.known.context.limit(works::LIFT_OFF_TOLERANCE);
        let mut line =
            Line::from("The wedges draw in {set_mm} at {end}; lift-off is then at {lift_off_kn}")
                .with(Fact::text("end", self.call))
                .with(Fact::given("set_mm", set_mm, 1))
                .with(Fact::computed("lift_off_kn", seated_kn, 0));
        if let Some(gauge_mpa) = gauge.reads(seated_kn) {
            line.text.push_str(", {gauge_mpa} on the gauge");
            line = line.with(Fact::computed("gauge_mpa", gauge_mpa, 2));
        }
        line.text.push_str(
            "; a set within {set_tolerance_mm} and a lift-off within {lift_off_percent} % are in their bands (limits set_tolerance_mm and lift_off_tolerance of the rulebook)",
        );
        line = line
            .with(Fact::limit("set_tolerance_mm", set_by.value, 1, set_by.citation.clone()))
            .with(Fact::limit(
                "lift_off_percent",
                lift_off_by.value * 100.0,
                0,
                lift_off_by.citation.clone(),
            ));
        if let ([_], Some(elastic_mm), Some(dead_mm)) = (self.pull.ends, self.elastic_mm, dead_mm) {
            line.text.push_str(". Of the elongation {anchored_mm} stay behind the wedge plate");
            line = line.with(Fact::computed("anchored_mm", elastic_mm + dead_mm - set_mm, 1));
        }
        step.say(line);
        // No reading goes beyond what bounds the jack, to look for lift-off either.
        let most_kn = ceiling.least().map_or(f64::INFINITY, |most| most.force_kn);
        let row = |name: &str, set_mm: f64, share: f64| {
            let force_kn = (share * seated_kn).min(most_kn);
            let gauge_mpa = Cell::from(gauge.reads(force_kn));
            vec![Cell::from(name), Cell::from(set_mm), Cell::from(force_kn), gauge_mpa]
        };
        step.tables.push(Table {
            title: format!("Set and lift-off at {}, each with its band", self.call),
            columns: vec![
                Column { name: "band", digits: 0 },
                Column { name: "set_mm", digits: 1 },
                Column { name: "lift_off_kn", digits: 0 },
                Column { name: "gauge_mpa", digits: 2 },
            ],
            rows: vec![
                row("at least", (set_mm - set_by.value).max(0.0), 1.0 - lift_off_by.value),
                row("expected", set_mm, 1.0),
                row("at most", set_mm + set_by.value, 1.0 + lift_off_by.value),
            ],
        });
    }
}
