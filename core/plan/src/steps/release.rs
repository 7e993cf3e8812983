//! The force is taken out of the tendon: the dangerous act.

use restrand_finding::Fact;
use restrand_mechanics::removal::{release_energy_kj, releases_by_bond};
use restrand_model::schedule::{CutPlace, Filler, Release};

use crate::plan::{Blocked, Cell, Column, Line, Step, Table};
use crate::tendon::Known;

pub(super) fn write(known: &Known<'_>, step: &mut Step, _: &mut Vec<Blocked>) {
    method(known, step);
    place(known, step);
    energy(known, step);
    order(known, step);
    step.hold("After each group of strands the clamps, the anchorages and the next readings are looked at before the next strand is touched");
    step.beware("The energy is that of a whole tendon without any bond: an upper bound, to which restraints and covers are laid out");
    step.beware("Live tendons beside it are covered; none of their strands is nicked");
    if matches!(known.tendon.filler, Some(Filler::Wax | Filler::Grease | Filler::Unknown) | None) {
        step.beware("No hot work: what fills the tendon, and polymer, burn");
    } else {
        step.beware(
            "Hot work beside polymer ducts needs a fire watch, and none near tendons full of wax",
        );
    }
}

fn method(known: &Known<'_>, step: &mut Step) {
    let stated = known.replacement().and_then(|own| own.release);
    let Some(release) = stated else {
        step.lacks("replacement.release", None, "how the force is taken out");
        return;
    };
    step.rests_on(known.at.route.field("replacement").field("release"));
    step.say(match release {
        Release::StrandByStrandAtAnchorage => {
            "Strand by strand at the anchorage, behind a restraint that takes the cap's place"
        }
        Release::StrandByStrandInFreeLength => {
            "Strand by strand in the free length: the duct is opened over a window between two clamps, filler is taken away by hand tools, and the strands are parted one after another"
        }
        Release::JackOff => {
            "The jack takes the whole force at the anchorage, wedges are freed, and the jack lets the tendon go stroke by stroke"
        }
        Release::Heating => {
            "Strands are heated one after another in the free length, behind covers, until each has yielded and parted"
        }
    });
}

fn place(known: &Known<'_>, step: &mut Step) {
    let Some(plan) = step.known(
        known.cuts.as_ref().map_err(|field| *field),
        None,
        "where the first cut is made",
    ) else {
        return;
    };
    let Some(cut) = plan.release() else {
        step.lacks("cut.purpose", None, "which of the stated cuts releases");
        return;
    };
    let text = match &cut.stated {
        Some(route) => {
            step.rests_on(route.clone());
            "The first cut is made at station {station_m}, as stated"
        }
        None => {
            "The first cut is made at station {station_m}, the free place nearest to the middle of the tendon"
        }
    };
    step.say(Line::from(text).with(Fact::given("station_m", cut.station_m, 2)));
    debug_assert_eq!(cut.purpose, CutPlace::Release);
}

fn energy(known: &Known<'_>, step: &mut Step) {
    let Some(stressed) = step.known(
        known.stressed.as_ref().map_err(|field| *field),
        None,
        "the energy that is set free, and the recoil",
    ) else {
        return;
    };
    let points = &known.tendon.bonded_points;
    let unbonded = known.replacement().and_then(|own| own.unbonded);
    let mut bonded_at_m = Vec::new();
    if points.is_empty() && unbonded.is_none() {
        step.lacks(
            "replacement.unbonded",
            None,
            "whether the tendon is one bonded length: taken as one",
        );
    }
    for point in points {
        let stated = point.station_m.or_else(|| {
            known.context.place(point.place.as_ref()).and_then(|place| place.record.station_m)
        });
        match (stated, known.along.as_ref()) {
            (Some(station_m), Ok(along)) => bonded_at_m.push(along.at_m(station_m)),
            (None, _) => step.lacks("bonded_point.station_m", None, "where a bonded length ends"),
            (_, Err(field)) => step.lacks(field, None, "where a bonded length ends"),
        }
    }
    bonded_at_m.retain(|at_m| *at_m > 0.0 && *at_m < stressed.length_m);
    bonded_at_m.sort_by(f64::total_cmp);
    bonded_at_m.dedup();
    let Ok(releases) =
        releases_by_bond(&stressed.runs, &bonded_at_m, stressed.area_mm2, stressed.e_mpa)
    else {
        step.lacks("bonded_point.station_m", None, "the energy of each bonded length");
        return;
    };
    let bound_kj = release_energy_kj(
        stressed.greatest_kn(),
        stressed.length_m,
        stressed.area_mm2,
        stressed.e_mpa,
    );
    if let Ok(bound_kj) = bound_kj {
        step.say(
            Line::from(
                "The whole tendon holds at most {energy_kj}, with {force_kn} in it over {length_m}",
            )
            .with(Fact::computed("energy_kj", bound_kj, 0))
            .with(Fact::computed("force_kn", stressed.greatest_kn(), 0))
            .with(Fact::computed("length_m", stressed.length_m, 3)),
        );
        if let Some(count) = known.tendon.strand_count.filter(|count| *count > 0) {
            step.say(Line::from("One strand of it holds {strand_energy_kj}").with(Fact::computed(
                "strand_energy_kj",
                bound_kj / f64::from(count),
                1,
            )));
        }
    }
    step.say(match releases.len() {
        1 => "It is one bonded length: the first release sets all of it free",
        _ => "It is bonded in between: each bonded length is released for itself, with restraints of its own",
    });
    step.tables.push(Table {
        title: "Energy by bonded length".to_owned(),
        columns: vec![
            Column { name: "from_along_m", digits: 2 },
            Column { name: "to_along_m", digits: 2 },
            Column { name: "energy_kj", digits: 0 },
            Column { name: "recoil_mm", digits: 0 },
        ],
        rows: releases
            .iter()
            .map(|release| {
                [release.from_m, release.to_m, release.energy_kj, release.recoil_mm]
                    .map(Cell::from)
                    .to_vec()
            })
            .collect(),
    });
}

fn order(known: &Known<'_>, step: &mut Step) {
    let is_by_strands =
        !matches!(known.replacement().and_then(|own| own.release), Some(Release::JackOff) | None);
    let Some(count) = known.tendon.strand_count.filter(|_| is_by_strands) else { return };
    // A quarter of the tendon between two looks at it; the last strands carry what is left.
    let group = count.div_ceil(4).max(1);
    let holds: Vec<_> = (1..4).map(|part| part * group).filter(|at| *at < count).collect();
    let holds: Vec<_> = holds.iter().map(u32::to_string).collect();
    step.say(
        Line::from("{strands} strands, one after another, evenly about the tendon's axis, the outermost last; hold points after strands {after}")
            .with(Fact::given("strands", f64::from(count), 0))
            .with(Fact::text("after", holds.join(", "))),
    );
}
