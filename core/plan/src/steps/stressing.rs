//! The new tendon is stressed: steps with force, gauge and elongation.

use restrand_finding::Fact;
use restrand_mechanics::elongation::{Bar, above_baseline_mm, band, bar_stretch_mm};
use restrand_mechanics::jack::{
    CalibrationPoint, pressure_by_area_mpa, pressure_by_calibration_mpa, strokes,
};
use restrand_model::schedule::{EndName, Jack, StressingFrom};
use restrand_rules::works::{self, Limits, Stressed};
use restrand_rules::{EndAt, Found};

use crate::plan::{Blocked, Cell, Column, Line, Step, StepId, Table};
use crate::steps::anchor_stubs::times;
use crate::tendon::{Known, Pull};

/// Shares of the force at which it is read where the schedule states none.
const FIFTHS: [f64; 5] = [0.2, 0.4, 0.6, 0.8, 1.0];

pub(super) fn write(known: &Known<'_>, step: &mut Step, _: &mut Vec<Blocked>) {
    let own = known.at.route.field("replacement");
    match known.replacement().and_then(|replacement| replacement.target_force_kn) {
        Some(target_kn) => {
            step.say(
                Line::from("The new tendon is jacked to {target_kn}, the force that the schedule sets for the bridge as it is now")
                    .with(Fact::given("target_kn", target_kn, 0)),
            );
            step.rests_on(own.field("target_force_kn"));
        }
        None => {
            step.lacks("replacement.target_force_kn", None, "the force of the new tendon: the old bridge has shortened, and the first force need not be right");
            step.say("No force is stated for the new tendon. The numbers below are those of the first stressing, for comparison only: they are not a target");
        }
    }
    let pull = known.pull.as_ref().map_err(Vec::as_slice);
    let Some(pull) = step.known_all(pull, None, "force, gauge and elongation, step by step") else {
        return;
    };
    // Without friction there is no elongation; force and gauge follow all the same.
    let drawn = known.drawn_mm.as_ref().map_err(Vec::as_slice);
    let drawn_mm = step.known_all(drawn, None, "the elongation, step by step").copied();
    let seated = step.known_all(known.to_come(), None, "the force after seating, and lift-off");
    for name in pull.ends {
        let Some(end) = known.end(*name) else { continue };
        let call = end.call();
        let jack = known.context.jack(end.end.jack.as_ref());
        if jack.is_none() {
            step.lacks("end.jack", Some(call.clone()), "gauge readings and strokes");
        }
        let elastic_mm = drawn_mm.and_then(|drawn_mm| drawn_mm[index(*name)]);
        AtEnd { known, end, call: &call, jack: jack.as_ref(), pull, elastic_mm, seated }
            .write(step);
    }
    if let [first, second] = pull.ends {
        step.say(
            Line::from("First {first}, then {second}; where both are pulled at once they go step by step together")
                .with(Fact::text("first", format!("end {first}")))
                .with(Fact::text("second", format!("end {second}"))),
        );
    }
    twin(known, step);
    let seated = known.replacement().and_then(|replacement| replacement.target_seated_force_kn);
    if let Some(seated_kn) = seated {
        step.say(
            Line::from(
                "After seating the schedule asks for {seated_target_kn} at the stressing end",
            )
            .with(Fact::given("seated_target_kn", seated_kn, 0)),
        );
        step.rests_on(own.field("target_seated_force_kn"));
    }
    step.takes("The jack with its own gauge, calibrated together; a rule on each strand or on the piston; paint marks on the strands behind the wedges at both ends");
    step.hold("At each step force and elongation are read together; a reading outside its band stops the work until the engineer in charge has found out why");
    step.hold("Lift-off after seating shows the force that stayed");
    step.beware("Nobody stands behind the jack or behind the other anchorage while there is force; hoses are looked at before each use");
}

/// The position of an end in a pair.
pub(super) const fn index(name: EndName) -> usize {
    match name {
        EndName::A => 0,
        EndName::B => 1,
    }
}

/// What a gauge is read with.
enum Gauge {
    Calibration(Vec<CalibrationPoint>),
    Area { piston_mm2: f64, loss: f64 },
    Unknown,
}

/// Gauge and elongation above the baseline at the full force of the first pull, as far as they are known.
pub(crate) fn at_full(known: &Known<'_>) -> Option<(f64, Option<f64>, Option<f64>, String)> {
    let pull = known.pull.as_ref().ok()?;
    let end = known.end(*pull.ends.first()?)?;
    let call = end.call();
    let jack = known.context.jack(end.end.jack.as_ref());
    let mut aside = Step::new(StepId::Stressing);
    let gauge_mpa = Gauge::of(jack.as_ref(), &call, &mut aside).reads(pull.jacking_kn);
    let elastic_mm = known.drawn_mm.as_ref().ok().and_then(|drawn_mm| drawn_mm[index(end.name)]);
    let at = AtEnd {
        known,
        end,
        call: &call,
        jack: jack.as_ref(),
        pull,
        elastic_mm,
        seated: known.to_come().ok(),
    };
    let in_jack_mm = at.in_jack_mm(&mut aside);
    let baseline_kn = known.tendon.stressing.as_deref().and_then(|own| own.baseline_force_kn);
    let above_mm =
        elastic_mm.zip(in_jack_mm).zip(baseline_kn).and_then(|((elastic, in_jack), kn)| {
            above_baseline_mm(elastic + in_jack, kn / pull.jacking_kn, 1.0).ok()
        });
    Some((pull.jacking_kn, gauge_mpa, above_mm, call))
}

impl Gauge {
    fn of(jack: Option<&Found<'_, Jack>>, call: &str, step: &mut Step) -> Self {
        let Some(jack) = jack.map(|found| found.record) else { return Self::Unknown };
        let points: Vec<_> = jack
            .calibration
            .iter()
            .filter_map(|point| {
                Some(CalibrationPoint { pressure_mpa: point.gauge_mpa?, force_kn: point.force_kn? })
            })
            .collect();
        if points.len() > 1 {
            return Self::Calibration(points);
        }
        step.lacks(
            "jack.calibration",
            Some(call.to_owned()),
            "gauge readings of a calibrated jack",
        );
        match (jack.piston_area_mm2, jack.internal_loss) {
            (Some(piston_mm2), Some(loss)) => {
                step.say("Gauge readings are by the area of the piston and the stated loss, until the jack is calibrated");
                Self::Area { piston_mm2, loss }
            }
            _ => Self::Unknown,
        }
    }

    fn reads(&self, force_kn: f64) -> Option<f64> {
        match self {
            Self::Calibration(points) => pressure_by_calibration_mpa(points, force_kn).ok(),
            Self::Area { piston_mm2, loss } => {
                pressure_by_area_mpa(force_kn, *piston_mm2, *loss).ok()
            }
            Self::Unknown => None,
        }
    }
}

/// The tendon on the other side of the bridge, and when it follows.
fn twin(known: &Known<'_>, step: &mut Step) {
    if let Some(twin) = &known.tendon.twin {
        step.say(
            Line::from("Its twin is {twin}: where both are replaced, one after the other, and no other tendon between them")
                .with(Fact::text("twin", twin.key())),
        );
    }
}

/// The pull at one end.
struct AtEnd<'k, 'a> {
    known: &'k Known<'a>,
    end: &'k EndAt<'a>,
    call: &'k str,
    jack: Option<&'k Found<'a, Jack>>,
    pull: &'k Pull,
    /// How far the end is drawn out, the tendon alone, mm.
    elastic_mm: Option<f64>,
    seated: Option<&'k Stressed>,
}

impl AtEnd<'_, '_> {
    fn write(&self, step: &mut Step) {
        let Self { known, end, call, jack, pull, elastic_mm, .. } = *self;
        let gauge = Gauge::of(jack, call, step);
        self.most(&gauge, step);
        let record = jack.map(|found| found.record);
        let stressing = known.tendon.stressing.as_deref();
        let baseline = stressing
            .and_then(|stressing| stressing.baseline_force_kn)
            .map(|force_kn| force_kn / pull.jacking_kn)
            .filter(|share| (0.0..1.0).contains(share));
        if baseline.is_none() {
            step.lacks(
                "stressing.baseline_force_kn",
                None,
                "from which force the elongation is measured",
            );
        }
        // What a second pull adds comes only once the jack exceeds the force that the first has left there.
        let is_second = pull.ends.len() == 2
            && stressing.and_then(|stressing| stressing.from) != Some(StressingFrom::Both)
            && pull.ends[1] == end.name;
        let in_jack_mm = self.in_jack_mm(step);
        let sum_mm =
            elastic_mm.zip(in_jack_mm).map(|(elastic_mm, in_jack_mm)| elastic_mm + in_jack_mm);
        let whole_mm = sum_mm.filter(|_| !is_second);
        if let (false, Some(elastic_mm)) = (is_second, elastic_mm) {
            step.say(
                Line::from("The tendon alone is drawn out by {elastic_mm} at {end}")
                    .with(Fact::computed("elastic_mm", elastic_mm, 1))
                    .with(Fact::text("end", call)),
            );
        }
        if let (true, Some(added_mm)) = (is_second, elastic_mm) {
            step.say(
                Line::from("{end} is pulled second: its tendon moves only once the jack exceeds the force that is there already, and by {added_mm} in all; readings step by step are not worked out")
                    .with(Fact::text("end", call))
                    .with(Fact::computed("added_mm", added_mm, 1)),
            );
        }
        let dead_mm = match pull.ends.len() {
            1 => stressing.and_then(|stressing| stressing.dead_end_seating_mm),
            _ => Some(0.0),
        };
        if dead_mm.is_none() {
            step.lacks(
                "stressing.dead_end_seating_mm",
                None,
                "what the wedges of the other end add to the reading",
            );
        }
        let stroke_mm = record.and_then(|jack| jack.stroke_mm);
        if record.is_some() && stroke_mm.is_none() {
            step.lacks("jack.stroke_mm", Some(call.to_owned()), "how often the jack is set back");
        }
        self.table(&gauge, [whole_mm, dead_mm, stroke_mm, baseline], step);
        let tolerance = known.limit("elongation_single_percent");
        if let (Some(whole_mm), Some(baseline), Some(tolerance)) = (whole_mm, baseline, tolerance)
            && let Ok(full_mm) = above_baseline_mm(whole_mm, baseline, 1.0)
            && let Ok(band) = band(full_mm, tolerance.value)
        {
            step.say(
                Line::from("At {end} {full_mm} above the baseline are expected at the full force, in the jack's own strand too; {least_mm} to {most_mm} are within {tolerance_percent} %")
                    .with(Fact::text("end", call))
                    .with(Fact::computed("full_mm", full_mm, 1))
                    .with(Fact::computed("least_mm", band.least_mm, 0))
                    .with(Fact::computed("most_mm", band.most_mm, 0))
                    .with(Fact::limit("tolerance_percent", tolerance.value, 0, tolerance.citation.clone())),
            );
        }
        if let (Some(whole_mm), Some(dead_mm)) = (whole_mm, dead_mm) {
            if dead_mm > 0.0 {
                step.say(
                    Line::from("From slack the jack reads {reading_mm} at the full force: {whole_mm} as in the table, and {dead_mm} as the wedges of the other end draw in, most likely below the baseline")
                        .with(Fact::computed("reading_mm", whole_mm + dead_mm, 1))
                        .with(Fact::computed("whole_mm", whole_mm, 1))
                        .with(Fact::given("dead_mm", dead_mm, 1)),
                );
            }
            if let Some(stroke_mm) = stroke_mm
                && let Ok(count) = strokes(whole_mm + dead_mm, stroke_mm)
            {
                step.say(
                    Line::from("The jack's stroke of {stroke_mm} is used {strokes} at {end}")
                        .with(Fact::given("stroke_mm", stroke_mm, 0))
                        .with(Fact::text("strokes", times(count)))
                        .with(Fact::text("end", call)),
                );
            }
        }
        self.set(&gauge, dead_mm.filter(|_| !is_second), step);
        step.rests_on(end.route.clone());
    }

    /// What no reading may exceed.
    fn most(&self, gauge: &Gauge, step: &mut Step) {
        let Self { known, call, pull, .. } = *self;
        let limits = works::force_limits(known.context, known.at).unwrap_or_default();
        let Some(limit) = limits.into_iter().find(|limit| limit.of == Limits::Jacking) else {
            return step.lacks(
                "strand.fpu_mpa",
                None,
                "the force that must not be exceeded at the jack",
            );
        };
        let mut line = Line::from("At {end} no reading goes beyond {most_kn}")
            .with(Fact::text("end", call))
            .with(Fact::limit("most_kn", limit.force_kn, 0, limit.limit.citation.clone()))
            .with(Fact::text("key", limit.key))
            .with(Fact::computed("jacking_kn", pull.jacking_kn, 0));
        if let Some(gauge_mpa) = gauge.reads(limit.force_kn) {
            line.text.push_str(", {gauge_most_mpa} on the gauge");
            line = line.with(Fact::computed("gauge_most_mpa", gauge_mpa, 2));
        }
        line.text.push_str(": the limit {key} of the rulebook; {jacking_kn} are asked for");
        match limit.force_kn < pull.jacking_kn {
            true => step.beware(line),
            false => step.say(line),
        }
    }

    /// How much the strand in the jack stretches at the full force, mm.
    fn in_jack_mm(&self, step: &mut Step) -> Option<f64> {
        let record = self.jack?.record;
        let Some(length_mm) = record.gripped_length_mm.or(record.tail_mm) else {
            step.lacks(
                "jack.gripped_length_mm",
                Some(self.call.to_owned()),
                "how much the strand in the jack stretches",
            );
            return None;
        };
        let jacking = works::jacking(self.known.context, self.known.at).ok();
        let (area_mm2, e_mpa) = match (self.seated, jacking) {
            (Some(stressed), _) => (stressed.area_mm2, stressed.e_mpa),
            (None, Some(jacking)) => (jacking.area_mm2, jacking.e_mpa),
            (None, None) => return None,
        };
        let force_kn = self.pull.jacking_kn;
        bar_stretch_mm(&Bar { force_kn, length_mm, area_mm2, e_mpa }).ok()
    }

    /// The steps with their readings.
    fn table(
        &self,
        gauge: &Gauge,
        [whole_mm, dead_mm, stroke_mm, baseline]: [Option<f64>; 4],
        step: &mut Step,
    ) {
        let Self { known, end, call, pull, .. } = *self;
        let stressing = known.tendon.stressing.as_deref();
        // A step that states its force alone is a share of the force for which it was stated.
        let first_kn = stressing.and_then(|stressing| stressing.jacking_force_kn);
        let stated: Vec<f64> = known
            .tendon
            .stressing_steps
            .iter()
            .filter(|row| row.end.is_none_or(|name| name == end.name))
            .filter_map(|row| row.share.or(Some(row.force_kn? / first_kn?)))
            .collect();
        let shares = if stated.is_empty() {
            step.say("No steps are stated: fifths of the force are shown");
            FIFTHS.to_vec()
        } else {
            stated
        };
        let tolerance = known.limit("elongation_single_percent");
        let rows = shares.iter().map(|share| {
            let force_kn = share * pull.jacking_kn;
            let read_mm = whole_mm.map(|whole_mm| whole_mm * share);
            let below = baseline.is_some_and(|baseline| *share < baseline);
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

    /// Seating and lift-off.
    fn set(&self, gauge: &Gauge, dead_mm: Option<f64>, step: &mut Step) {
        let Some(seated) = self.seated else { return };
        let stressing = self.known.tendon.stressing.as_deref();
        let set_mm = self.end.end.set_mm.or(stressing.and_then(|stressing| stressing.set_mm));
        let seated_kn = seated.seated_kn[index(self.end.name)];
        let Some(set_mm) = set_mm else { return };
        let mut line =
            Line::from("The wedges draw in {set_mm} at {end}; lift-off is then at {lift_off_kn}")
                .with(Fact::text("end", self.call))
                .with(Fact::given("set_mm", set_mm, 1))
                .with(Fact::computed("lift_off_kn", seated_kn, 0));
        if let Some(gauge_mpa) = gauge.reads(seated_kn) {
            line.text.push_str(", {gauge_mpa} on the gauge");
            line = line.with(Fact::computed("gauge_mpa", gauge_mpa, 2));
        }
        if let ([_], Some(elastic_mm), Some(dead_mm)) = (self.pull.ends, self.elastic_mm, dead_mm) {
            line.text.push_str(". Of the elongation {anchored_mm} stay behind the wedge plate");
            line = line.with(Fact::computed("anchored_mm", elastic_mm + dead_mm - set_mm, 1));
        }
        step.say(line);
    }
}
