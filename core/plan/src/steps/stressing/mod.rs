//! The new tendon is stressed: steps with force, gauge and elongation.

mod readings;

use restrand_finding::Fact;
use restrand_mechanics::elongation::{Bar, above_baseline_mm, band, bar_stretch_mm};
use restrand_mechanics::jack::strokes;
use restrand_model::route::Route;
use restrand_model::schedule::{EndName, Jack, StressingFrom};
use restrand_rules::works::{self, Stressed};
use restrand_rules::{EndAt, Found};

use crate::ceiling::{Bound, Ceiling, Most};
use crate::gauge::Gauge;
use crate::plan::{Blocked, Line, Step, StepId};
use crate::steps::anchor_stubs::times;
use crate::tendon::{Known, Pull};

/// Shares of the force at which it is read where the schedule states none.
const FIFTHS: [f64; 5] = [0.2, 0.4, 0.6, 0.8, 1.0];
/// Shares of the force that differ by less are one.
const ONE_SHARE: f64 = 1e-4;

pub(super) fn write(known: &Known<'_, '_>, step: &mut Step, blocked: &mut Vec<Blocked>) {
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
        let at = AtEnd { known, end, call: &call, jack: jack.as_ref(), pull, elastic_mm, seated };
        at.write(step, blocked);
    }
    if let [first, second] = pull.ends {
        step.say(
            Line::from(match known.is_pulled_at_once() {
                true => "{first} and {second} are pulled at once, each with a jack and a gauge of its own, step by step together; the wedges of {first} are seated first",
                false => "First {first}, then {second}",
            })
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
    step.hold("From the baseline on until the lift-off is accepted nobody is along the new tendon in the span, but who reads or looks from behind a screen");
    step.hold("At each step force and elongation are read together; a reading outside its band stops the work until the engineer in charge has found out why");
    step.hold("Lift-off after seating shows the force that stayed: lift-off and set outside their bands stop the work before any tail is cut");
    step.say("Gauge and pump stand at the side of the jack, out of line with the tendon, as far off as the hoses reach; piston and marks at the jack are read from there or by a camera, and those at the other end from beside its anchorage, behind a screen: nobody leans into the line of the tendon to read");
    step.beware("Nobody stands in line behind the jack or behind the other anchorage while there is force, to read or for anything else; hoses are looked at before each use");
}

/// The position of an end in a pair.
pub(super) const fn index(name: EndName) -> usize {
    match name {
        EndName::A => 0,
        EndName::B => 1,
    }
}

/// What is read at the full force of the first pull, as far as it is known.
pub(crate) struct AtFull {
    pub(crate) end: String,
    pub(crate) force_kn: f64,
    pub(crate) gauge_mpa: Option<f64>,
    /// By what the gauge is told.
    pub(crate) by: String,
    pub(crate) above_mm: Option<f64>,
    /// The force of the baseline, and its reading.
    pub(crate) baseline: Option<(f64, Option<f64>)>,
    /// The bound that the force exceeds, with what it is.
    pub(crate) exceeds: Option<(f64, &'static str)>,
    /// Whether a jack is stated for the end.
    pub(crate) has_jack: bool,
}

/// What is read at the full force of the first pull.
pub(crate) fn at_full(known: &Known<'_, '_>) -> Option<AtFull> {
    let pull = known.pull.as_ref().ok()?;
    let end = known.end(*pull.ends.first()?)?;
    let call = end.call();
    let jack = known.context.jack(end.end.jack.as_ref());
    let mut aside = Step::new(StepId::Stressing);
    let record = jack.as_ref().map(|found| found.record);
    let gauge = Gauge::of(record);
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
    let baseline_kn = at.baseline_kn();
    let above_mm =
        elastic_mm.zip(in_jack_mm).zip(baseline_kn).and_then(|((elastic, in_jack), kn)| {
            above_baseline_mm(elastic + in_jack, kn / pull.jacking_kn, 1.0).ok()
        });
    let ceiling = Ceiling::of(known, record, &gauge);
    let exceeds = ceiling.exceeded_by(pull.jacking_kn);
    Some(AtFull {
        force_kn: pull.jacking_kn,
        gauge_mpa: gauge.reads(pull.jacking_kn),
        by: gauge.words(record),
        above_mm,
        baseline: baseline_kn.map(|kn| (kn, gauge.reads(kn))),
        exceeds: exceeds.map(|most| (most.force_kn, most.words())),
        has_jack: record.is_some(),
        end: call,
    })
}

/// The tendon on the other side of the bridge, and when it follows.
fn twin(known: &Known<'_, '_>, step: &mut Step) {
    if let Some(twin) = &known.tendon.twin {
        step.say(
            Line::from("Its twin is {twin}: where both are replaced, one after the other, and no other tendon between them")
                .with(Fact::text("twin", twin.key())),
        );
    }
}

/// The pull at one end.
struct AtEnd<'k, 'a> {
    known: &'k Known<'k, 'a>,
    end: &'k EndAt<'k>,
    call: &'k str,
    jack: Option<&'k Found<'a, Jack>>,
    pull: &'k Pull,
    /// How far the end is drawn out, the tendon alone, mm.
    elastic_mm: Option<f64>,
    seated: Option<&'k Stressed>,
}

impl AtEnd<'_, '_> {
    fn write(&self, step: &mut Step, blocked: &mut Vec<Blocked>) {
        let Self { known, end, call, jack, pull, elastic_mm, .. } = *self;
        let record = jack.map(|found| found.record);
        let gauge = Gauge::of(record);
        if let Some(record) = record {
            gauge.tell(known, record, call, step);
        }
        let ceiling = Ceiling::of(known, record, &gauge);
        ceiling.tell(call, pull.jacking_kn, step);
        self.within(&ceiling, step, blocked);
        let stressing = known.tendon.stressing.as_deref();
        self.baseline(&gauge, step);
        let baseline = self.baseline_kn().map(|force_kn| force_kn / pull.jacking_kn);
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
        self.table(&gauge, &ceiling, [whole_mm, dead_mm, stroke_mm, baseline], step);
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
                self.strokes(&gauge, [whole_mm, dead_mm, stroke_mm], count, step);
            }
        }
        self.set(&gauge, &ceiling, dead_mm.filter(|_| !is_second), step);
        self.seated_target(step, blocked);
        step.rests_on(end.route.clone());
    }

    /// The force from which the elongation is measured, where it lies below the full force, kN.
    fn baseline_kn(&self) -> Option<f64> {
        let stressing = self.known.tendon.stressing.as_deref();
        let stated_kn = stressing.and_then(|stressing| stressing.baseline_force_kn);
        stated_kn.filter(|force_kn| (0.0..self.pull.jacking_kn).contains(force_kn))
    }

    /// From which force and which reading on the elongation is measured.
    fn baseline(&self, gauge: &Gauge, step: &mut Step) {
        let stressing = self.known.tendon.stressing.as_deref();
        let stated_kn = stressing.and_then(|stressing| stressing.baseline_force_kn);
        let Some(stated_kn) = stated_kn else {
            return step.lacks(
                "stressing.baseline_force_kn",
                None,
                "from which force the elongation is measured",
            );
        };
        let facts = |line: Line| {
            line.with(Fact::text("end", self.call))
                .with(Fact::given("baseline_kn", stated_kn, 0))
                .with(Fact::computed("jacking_kn", self.pull.jacking_kn, 0))
        };
        if self.baseline_kn().is_none() {
            return step.beware(facts(Line::from("The stated baseline of {baseline_kn} is not below the full force of {jacking_kn}: no elongation can be measured from it")));
        }
        let mut line = facts(Line::from("At {end} the baseline is {baseline_kn}"));
        if let Some(gauge_mpa) = gauge.reads(stated_kn) {
            line.text.push_str(", {gauge_baseline_mpa} on the gauge");
            line = line.with(Fact::computed("gauge_baseline_mpa", gauge_mpa, 2));
        }
        line.text.push_str(
            ": there the slack is out, marks are set, and elongation is measured from there on",
        );
        step.say(line);
        step.rests_on(self.known.at.route.field("stressing").field("baseline_force_kn"));
    }

    /// The shares of the force at which it is read, and whether they are stated.
    fn shares(&self) -> (Vec<f64>, bool) {
        let Self { known, end, .. } = *self;
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
        match stated.is_empty() {
            true => (FIFTHS.to_vec(), false),
            false => (stated, true),
        }
    }

    /// What is asked for, against what bounds the reading.
    fn within(&self, ceiling: &Ceiling, step: &Step, blocked: &mut Vec<Blocked>) {
        let Self { call, pull, .. } = *self;
        let asked_kn = self.shares().0.into_iter().fold(1.0, f64::max) * pull.jacking_kn;
        let Some(most) = ceiling.exceeded_by(asked_kn) else { return };
        let facts = |line: Line| {
            line.with(Fact::text("end", call))
                .with(Fact::computed("asked_kn", asked_kn, 0))
                .with(Fact::computed("most_kn", most.force_kn, 0))
                .with(Fact::computed("less_kn", asked_kn - most.force_kn, 0))
                .with(Fact::text("bound", most.words()))
        };
        blocked.push(Blocked {
            step: step.id,
            constraint: facts(Line::from("at {end} the tendon is to be jacked to {asked_kn}, and {most_kn} is the most: {bound} binds")),
            remedy: facts(Line::from(match most.bound {
                Bound::Strand => "{less_kn} less: {most_kn} at most, stated as the force of the new tendon",
                Bound::JackUse | Bound::Rating | Bound::Pressure => {
                    "{less_kn} less: {most_kn} at most; or a stronger jack that is listed for the anchorage, with its room and its way in"
                }
                Bound::Calibration => {
                    "{less_kn} less: {most_kn} at most; or jack and gauge calibrated as far as {asked_kn} and beyond"
                }
            })),
            place: self.asked_at(most),
        });
    }

    /// Where a force that is too great is stated: at the tendon, or the jack that cannot give it.
    fn asked_at(&self, most: &Most) -> Route {
        match most.bound {
            Bound::Strand => self.force_at(),
            Bound::JackUse | Bound::Rating | Bound::Pressure | Bound::Calibration => {
                self.end.route.field("jack")
            }
        }
    }

    fn force_at(&self) -> Route {
        let own = &self.known.at.route;
        match self.known.replacement().and_then(|own| own.target_force_kn) {
            Some(_) => own.field("replacement").field("target_force_kn"),
            None => own.field("stressing").field("jacking_force_kn"),
        }
    }

    /// The force that is asked for after seating, against the one at the jack and what seating leaves of it.
    fn seated_target(&self, step: &mut Step, blocked: &mut Vec<Blocked>) {
        let Self { known, end, call, pull, .. } = *self;
        let asked_kn = known.replacement().and_then(|own| own.target_seated_force_kn);
        let Some(asked_kn) = asked_kn.filter(|_| pull.ends.first() == Some(&end.name)) else {
            return;
        };
        let left_kn = self.seated.map(|seated| seated.seated_kn[index(end.name)]);
        let facts = |line: Line| {
            let line = line
                .with(Fact::text("end", call))
                .with(Fact::given("seated_target_kn", asked_kn, 0))
                .with(Fact::computed("jacking_kn", pull.jacking_kn, 0));
            match left_kn {
                Some(left_kn) => line.with(Fact::computed("left_kn", left_kn, 0)),
                None => line,
            }
        };
        if asked_kn > pull.jacking_kn {
            return blocked.push(Blocked {
                step: step.id,
                constraint: facts(Line::from("at {end} {seated_target_kn} are asked for after seating, more than the {jacking_kn} to which it is jacked")),
                remedy: facts(Line::from(match left_kn {
                    Some(_) => "state both for one stressing: {left_kn} are what seating leaves of {jacking_kn}",
                    None => "state both for one stressing: seating leaves less than the jack gives",
                })),
                place: known.at.route.field("replacement").field("target_seated_force_kn"),
            });
        }
        let Some((left_kn, tolerance)) = left_kn.zip(known.limit("force_tolerance")) else {
            return;
        };
        if (asked_kn - left_kn).abs() > tolerance.value * left_kn {
            step.beware(facts(Line::from("At {end} {seated_target_kn} are asked for after seating, and {left_kn} are what seating leaves of {jacking_kn}: the two do not belong to one stressing")));
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
}
