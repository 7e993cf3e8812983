//! The bridge while the tendon is out: what each section loses, and which others may be out with it.

use restrand_finding::Fact;
use restrand_mechanics::statics::{Out, Side};
use restrand_model::route::Route;
use restrand_model::schedule::Section;
use restrand_rules::works::{over, section_call, share_over, sides, stresses};

use crate::plan::{Blocked, Cell, Column, Line, Step, Table};
use crate::tendon::Known;

const STRESSES: &str = "stresses with the tendon out: secondary moments go with it, and no sum of force and eccentricity stands for them";

pub(super) fn write(known: &Known<'_, '_>, step: &mut Step, blocked: &mut Vec<Blocked>) {
    let bridge = match known.context.bridge_out() {
        Ok(bridge) => bridge,
        Err(none) => {
            const NO_TOTAL: &str = "what each section loses with the tendon out: no total is known";
            // What the tendon itself lacks is told field by field.
            if none.tendon == Some(known.at.position) && known.stressed().is_err() {
                step.known_all(known.stressed(), None, NO_TOTAL);
                return;
            }
            let whose = none.tendon.filter(|position| *position != known.at.position);
            let whose = whose.and_then(|position| mark(known, position));
            return step.lacks(none.field, whose.map(|mark| format!("tendon {mark}")), NO_TOTAL);
        }
    };
    // A tendon inside the concrete is none of those whose loss is known here.
    let Some(outs) = bridge.of(known.at.position) else { return };
    let sections = &known.context.schedule.sections;
    if let Some(field) = bridge.no_beam {
        step.lacks(field, None, STRESSES);
    }
    let lost: Vec<Lost<'_>> = sections
        .iter()
        .zip(&outs)
        .enumerate()
        .flat_map(|(index, (section, pair))| {
            sides(pair).map(move |(side, out)| Lost { index, section, side, out })
        })
        .filter(|lost| loses(lost.out))
        .collect();
    let rows = lost.iter().map(|lost| {
        let Lost { section, out, .. } = lost;
        let at_worst = stresses(section, out, bridge.no_beam);
        let edge = |wanted: &str| match &at_worst {
            Ok(stresses) => {
                let at_edge = stresses.iter().filter(|stress| stress.edge == wanted);
                // Of what may stand there, that which the tendon's absence makes worst.
                let worst = at_edge.reduce(|one, other| {
                    let is_worse = (other.stress_mpa - one.stress_mpa) * one.change_mpa > 0.0;
                    if is_worse { other } else { one }
                });
                Cell::from(worst.map(|stress| stress.stress_mpa))
            }
            Err(_) => Cell::Missing,
        };
        vec![
            Cell::from(lost.call()),
            Cell::from(section.station_m),
            Cell::from(out.lost.axial_kn),
            Cell::from(out.lost_axial_share.map(|share| share * 100.0)),
            Cell::from(section.limit_lost_force_share.map(|share| share * 100.0)),
            Cell::from(out.lost.primary_knm),
            match out.lost.axial_kn == 0.0 {
                true => Cell::Number(0.0),
                false => Cell::from(sideways_knm(known, section, out)),
            },
            Cell::from(out.lost.total_knm),
            edge("top"),
            edge("bottom"),
        ]
    });
    let rows: Vec<Vec<Cell>> = rows.collect();
    if rows.is_empty() {
        return step.say("No stated section loses anything with the tendon out");
    }
    let mut rested: Vec<usize> = lost.iter().map(|lost| lost.index).collect();
    rested.dedup();
    for index in rested {
        step.rests_on(Route::to("sections", index));
    }
    step.tables.push(Table {
        title: "Lost at each section with the tendon out, by the forces as seated".to_owned(),
        columns: vec![
            Column { name: "section", digits: 0 },
            Column { name: "station_m", digits: 2 },
            Column { name: "axial_kn", digits: 0 },
            Column { name: "of_all_there_percent", digits: 1 },
            Column { name: "allowed_percent", digits: 1 },
            Column { name: "primary_knm", digits: 0 },
            Column { name: "primary_sideways_knm", digits: 0 },
            Column { name: "total_knm", digits: 0 },
            Column { name: "top_then_mpa", digits: 2 },
            Column { name: "bottom_then_mpa", digits: 2 },
        ],
        rows,
    });
    step.say("Forces are those as seated, before losses in time; moments are positive where they stretch the bottom, and sideways where they stretch the right");
    match judge(&lost, bridge.no_beam, step, blocked) {
        true => step.say("The sections allow no other tendon out with it: this one alone takes more than they allow"),
        false => others(known, &outs, step),
    }
}

/// What is lost at a section, or at one side of it.
struct Lost<'a> {
    index: usize,
    section: &'a Section,
    side: Option<Side>,
    out: &'a Out,
}

impl Lost<'_> {
    fn call(&self) -> String {
        section_call(self.section, self.index, self.side)
    }
}

fn mark(known: &Known<'_, '_>, position: usize) -> Option<String> {
    known.context.tendons().nth(position).map(|at| at.mark())
}

/// Whether anything is lost there: by the tendon itself, or by what supports hand on.
fn loses(out: &Out) -> bool {
    out.lost.axial_kn.abs() > 0.0 || out.lost.total_knm.is_some_and(|knm| knm.abs() > 1e-6)
}

/// The moment about the upright axis that goes with the force, kNm: force times distance to the left of the centroid.
fn sideways_knm(known: &Known<'_, '_>, section: &Section, out: &Out) -> Option<f64> {
    let station_m = section.station_m?;
    let centroid_m = section.centroid_lateral_m?;
    let points = &known.tendon.points;
    let pair = points.windows(2).find(|pair| {
        let within = |from: f64, to: f64| (from..=to).contains(&station_m);
        matches!((pair[0].station_m, pair[1].station_m), (Some(from), Some(to)) if within(from, to))
    })?;
    let (from_m, to_m) = (pair[0].station_m?, pair[1].station_m?);
    let (from_y, to_y) = (pair[0].lateral_m?, pair[1].lateral_m?);
    let share = if to_m > from_m { (station_m - from_m) / (to_m - from_m) } else { 0.0 };
    Some(out.lost.axial_kn * (from_y + (to_y - from_y) * share - centroid_m))
}

/// What the sections allow, against what they lose: whether it is too much.
fn judge(
    lost: &[Lost<'_>],
    no_beam: Option<&'static str>,
    step: &mut Step,
    blocked: &mut Vec<Blocked>,
) -> bool {
    let mut looked_at = 0_u32;
    let mut too_much = false;
    for one in lost {
        let Lost { index, section, out, .. } = one;
        let call = one.call();
        let route = Route::to("sections", *index);
        if section.limit_lost_force_share.is_none() {
            step.lacks(
                "section.limit_lost_force_share",
                Some(call.clone()),
                "how much of its axial force the section may lose",
            );
        }
        if let Some([share, most]) = share_over(section, out) {
            too_much = true;
            let facts = |line: Line| {
                line.with(Fact::text("section", call.as_str()))
                    .with(Fact::computed("share_percent", share * 100.0, 1))
                    .with(Fact::given("most_percent", most * 100.0, 1))
                    .with(Fact::computed("lost_kn", out.lost.axial_kn, 0))
                    .with(Fact::computed("less_kn", out.lost.axial_kn * (1.0 - most / share), 0))
            };
            blocked.push(Blocked {
                step: step.id,
                constraint: facts(Line::from("with the tendon out {section} loses {share_percent} % of its axial force, and allows {most_percent} %")),
                remedy: facts(Line::from("{less_kn} less may be lost there: a share that those allow who check the bridge, with fewer loads or props meanwhile")),
                place: route.field("limit_lost_force_share"),
            });
        }
        looked_at += u32::from(section.limit_lost_force_share.is_some());
        match over(section, out, no_beam) {
            Ok(Some(over)) => {
                too_much = true;
                let facts = |line: Line| {
                    line.with(Fact::text("section", call.as_str()))
                        .with(Fact::text("edge", over.edge))
                        .with(Fact::computed("stress_mpa", over.stress_mpa, 2))
                        .with(Fact::computed("before_mpa", over.before_mpa, 2))
                        .with(Fact::given("limit_mpa", over.limit_mpa, 2))
                        .with(Fact::computed("by_mpa", over.by_mpa(), 2))
                };
                blocked.push(Blocked {
                    step: step.id,
                    constraint: facts(Line::from("with the tendon out the {edge} of {section} comes from {before_mpa} to {stress_mpa}, beyond the {limit_mpa} that it allows")),
                    remedy: facts(Line::from("{by_mpa} less stress there: fewer loads or props while it is out, by those who check the bridge")),
                    place: route.field(over.field),
                });
            }
            Ok(None) => {}
            // Without a beam that is said once, for all sections.
            Err(field) if no_beam.is_none() => step.lacks(field, Some(call), STRESSES),
            Err(_) => {}
        }
    }
    let worst = lost
        .iter()
        .filter_map(|lost| {
            let most = lost.section.limit_lost_force_share?;
            Some((lost.call(), lost.out.lost_axial_share?, most))
        })
        .max_by(|one, other| (one.1 / one.2).total_cmp(&(other.1 / other.2)));
    if let Some((section, share, most)) = worst.filter(|_| !too_much && looked_at > 0) {
        step.say(
            Line::from("With the tendon out {section} loses most against what it allows: {share_percent} % of its axial force, of {most_percent} %")
                .with(Fact::text("section", section))
                .with(Fact::computed("share_percent", share * 100.0, 1))
                .with(Fact::given("most_percent", most * 100.0, 1)),
        );
    }
    if no_beam.is_some() {
        step.say("Stresses and secondary moments with the tendon out are not evaluated: the engineer in charge works them out");
    }
    too_much
}

/// Marks that a line names.
const NAMED: usize = 24;

fn named(marks: &[String]) -> String {
    let shown = marks.iter().take(NAMED).map(String::as_str).collect::<Vec<_>>().join(", ");
    match marks.len().checked_sub(NAMED) {
        None | Some(0) => shown,
        Some(more) => format!("{shown} and {more} more"),
    }
}

/// Other tendons that may be out with it, by the same check.
fn others(known: &Known<'_, '_>, own: &[[Out; 2]], step: &mut Step) {
    let Ok(bridge) = known.context.bridge_out() else { return };
    let sections = &known.context.schedule.sections;
    let mut within: Vec<String> = Vec::new();
    let mut beyond: Vec<String> = Vec::new();
    let mut open: Option<&'static str> = None;
    for position in bridge.tendons.iter().filter(|position| **position != known.at.position) {
        let Some(outs) = bridge.of(*position) else { continue };
        let mut is_within = true;
        let pairs = sections.iter().zip(own.iter().zip(&outs));
        let each = pairs.flat_map(|(section, (one, other))| {
            one.iter().zip(other).map(move |(one, other)| (section, one.and(other)))
        });
        for (section, both) in each {
            if !loses(&both) {
                continue;
            }
            if share_over(section, &both).is_some() {
                is_within = false;
                break;
            }
            if section.limit_lost_force_share.is_none() {
                open.get_or_insert("section.limit_lost_force_share");
            }
            match over(section, &both, bridge.no_beam) {
                Ok(Some(_)) => {
                    is_within = false;
                    break;
                }
                Ok(None) => {}
                Err(field) => {
                    open.get_or_insert(field);
                }
            }
        }
        let list = if is_within { &mut within } else { &mut beyond };
        list.extend(mark(known, *position));
    }
    let by = match open {
        Some(_) => "by what of the check could be evaluated",
        None => "by the same check",
    };
    if !beyond.is_empty() {
        step.say(
            Line::from(
                format!("Beyond what the sections allow, were they out with it, {by}: {{beyond}}")
                    .as_str(),
            )
            .with(Fact::text("beyond", named(&beyond))),
        );
    }
    if !within.is_empty() {
        let text = match open {
            Some(_) => format!(
                "Not beyond it, {by}, which is not all: this releases none of them beside it, and only those who check the bridge can allow one. Taken one at a time: {{within}}"
            ),
            None => format!(
                "Not beyond it, {by}: this releases none of them beside it, and only those who check the bridge can allow one. Taken one at a time: {{within}}"
            ),
        };
        step.say(Line::from(text.as_str()).with(Fact::text("within", named(&within))));
    }
}
