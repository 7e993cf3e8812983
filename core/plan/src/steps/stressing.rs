//! The new tendon is stressed: steps with force, gauge and elongation.

use restrand_finding::Fact;
use restrand_mechanics::elongation::{above_baseline_mm, band};
use restrand_mechanics::jack::{
    CalibrationPoint, pressure_by_area_mpa, pressure_by_calibration_mpa, strokes,
};
use restrand_model::schedule::{EndName, Jack, StressingFrom};
use restrand_rules::works::Stressed;
use restrand_rules::{EndAt, Found};

use crate::plan::{Blocked, Cell, Column, Line, Step, Table};
use crate::steps::anchor_stubs::times;
use crate::tendon::Known;

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
    let Some(stressed) =
        step.known(known.to_come().map_err(|field| *field), None, "force, elongation and set")
    else {
        return;
    };
    for name in stressed.ends {
        let Some(end) = known.end(*name) else { continue };
        let call = end.call();
        let jack = known.context.jack(end.end.jack.as_ref());
        if jack.is_none() {
            step.lacks("end.jack", Some(call.clone()), "gauge readings and strokes");
        }
        at_end(known, end, &call, jack.as_ref(), stressed, step);
    }
    if let [first, second] = stressed.ends {
        step.say(
            Line::from("First {first}, then {second}; where both are pulled at once they go step by step together")
                .with(Fact::text("first", format!("end {first}")))
                .with(Fact::text("second", format!("end {second}"))),
        );
    }
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

fn at_end(
    known: &Known<'_>,
    end: &EndAt<'_>,
    call: &str,
    jack: Option<&Found<'_, Jack>>,
    stressed: &Stressed,
    step: &mut Step,
) {
    let gauge = Gauge::of(jack, call, step);
    let record = jack.map(|found| found.record);
    let in_jack_mm = match record.and_then(|jack| jack.gripped_length_mm.or(jack.tail_mm)) {
        Some(length_mm) => stressed.bar_stretch_mm(length_mm),
        None => {
            if record.is_some() {
                step.lacks(
                    "jack.gripped_length_mm",
                    Some(call.to_owned()),
                    "how much the strand in the jack stretches",
                );
            }
            None
        }
    };
    let Some(elastic_mm) = stressed.elastic_mm[index(end.name)] else { return };
    let whole_mm = in_jack_mm.map(|in_jack_mm| elastic_mm + in_jack_mm);
    let stressing = known.tendon.stressing.as_deref();
    let baseline = stressing
        .and_then(|stressing| stressing.baseline_force_kn)
        .map(|force_kn| force_kn / stressed.jacking_kn)
        .filter(|share| (0.0..1.0).contains(share));
    if baseline.is_none() {
        step.lacks(
            "stressing.baseline_force_kn",
            None,
            "from which force the elongation is measured",
        );
    }
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
    // What a second pull adds comes only once the jack exceeds the force that the first has left there.
    let is_second = stressed.ends.len() == 2
        && stressing.and_then(|stressing| stressing.from) != Some(StressingFrom::Both)
        && stressed.ends[1] == end.name;
    let whole_mm = whole_mm.filter(|_| !is_second);
    if is_second {
        let added_mm = elastic_mm;
        step.say(
            Line::from("{end} is pulled second: its tendon moves only once the jack exceeds the force that is there already, and by {added_mm} in all; readings step by step are not worked out")
                .with(Fact::text("end", call))
                .with(Fact::computed("added_mm", added_mm, 1)),
        );
    }
    let rows = shares.iter().map(|share| {
        let force_kn = share * stressed.jacking_kn;
        let read_mm = whole_mm.map(|whole_mm| whole_mm * share);
        let above_mm = whole_mm
            .zip(baseline)
            .filter(|(_, baseline)| share >= baseline)
            .and_then(|(whole_mm, baseline)| above_baseline_mm(whole_mm, baseline, *share).ok());
        vec![
            Cell::from(share * 100.0),
            Cell::from(force_kn),
            Cell::from(gauge.reads(force_kn)),
            Cell::from(read_mm),
            match (above_mm, baseline) {
                (Some(above_mm), _) => Cell::Number(above_mm),
                (None, Some(baseline)) if *share < baseline => Cell::Blank,
                _ => Cell::Missing,
            },
        ]
    });
    step.tables.push(Table {
        title: format!("Steps at {call}"),
        columns: vec![
            Column { name: "force_percent", digits: 0 },
            Column { name: "force_kn", digits: 0 },
            Column { name: "gauge_mpa", digits: 2 },
            Column { name: "elongation_mm", digits: 1 },
            Column { name: "above_baseline_mm", digits: 1 },
        ],
        rows: rows.collect(),
    });
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
    if let (Some(whole_mm), Some(stroke_mm)) = (whole_mm, record.and_then(|jack| jack.stroke_mm)) {
        let dead_mm = match stressed.ends.len() {
            1 => stressing.and_then(|stressing| stressing.dead_end_seating_mm).unwrap_or(0.0),
            _ => 0.0,
        };
        if let Ok(count) = strokes(whole_mm + dead_mm, stroke_mm) {
            step.say(
                Line::from("The jack's stroke of {stroke_mm} is used {strokes} at {end}")
                    .with(Fact::given("stroke_mm", stroke_mm, 0))
                    .with(Fact::text("strokes", times(count)))
                    .with(Fact::text("end", call)),
            );
        }
    }
    let set_mm = end.end.set_mm.or(stressing.and_then(|stressing| stressing.set_mm));
    let seated_kn = stressed.seated_kn[index(end.name)];
    let mut line =
        Line::from("The wedges draw in {set_mm} at {end}; lift-off is then at {lift_off_kn}")
            .with(Fact::text("end", call))
            .with(Fact::computed("lift_off_kn", seated_kn, 0));
    if let Some(set_mm) = set_mm {
        line = line.with(Fact::given("set_mm", set_mm, 1));
        if let Some(gauge_mpa) = gauge.reads(seated_kn) {
            line.text.push_str(", {gauge_mpa} on the gauge");
            line = line.with(Fact::computed("gauge_mpa", gauge_mpa, 2));
        }
        step.say(line);
    }
    step.rests_on(end.route.clone());
}
