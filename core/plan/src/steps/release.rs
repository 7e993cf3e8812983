//! The force is taken out of the tendon: the dangerous act.

use restrand_finding::Fact;
use restrand_mechanics::removal::releases_by_bond;
use restrand_model::schedule::{CutPlace, Filler, Release};

use crate::energy;
use crate::plan::{Blocked, Cell, Column, Line, Step, Table};
use crate::tendon::Known;

pub(super) fn write(known: &Known<'_, '_>, step: &mut Step, blocked: &mut Vec<Blocked>) {
    method(known, step, blocked);
    place(known, step, blocked);
    late(known, step, blocked);
    energy(known, step, blocked);
    order(known, step);
    let by_jack = is_by_jack(known);
    step.hold("All that must be in hand before work starts is on site, has been measured and fits: jack with its certificate, new parts, strand, duct and filler. A tendon that is out and cannot be put back leaves the bridge without it");
    if by_jack {
        step.hold("After each stroke wedges, gauge and elongation are looked at before the next; force and length go down together");
        step.beware("The jack first pulls beyond what the tendon holds, to free the wedges: no strand is taken beyond the stress that is allowed at the jack, and wedges that do not come free are not forced");
        step.beware("Wedges in hard filler or rust do not come free: then another method is chosen, and the jack lets the force back onto them");
    } else {
        step.hold("After each group of strands nobody parts a strand while clamps and anchorages are looked at, by camera or from beside them behind a screen; the readings are taken before the next strand is touched");
    }
    step.beware("No bond with what fills the duct is counted on: the energy is that of strands that slide freely, an upper bound");
    step.beware("Live tendons beside it are covered; none of their strands is nicked");
    if by_jack {
        return;
    }
    if known.may_burn() {
        step.beware("No hot work: what is in the tendon, and polymer, burn");
    } else {
        step.beware(
            "Hot work beside polymer ducts needs a fire watch, and none near tendons full of wax",
        );
    }
}

fn method(known: &Known<'_, '_>, step: &mut Step, blocked: &mut Vec<Blocked>) {
    let stated = known.replacement().and_then(|own| own.release);
    let Some(release) = stated else {
        step.lacks("replacement.release", None, "how the force is taken out");
        return;
    };
    let route = known.at.route.field("replacement").field("release");
    step.rests_on(route.clone());
    if release == Release::Heating && known.may_burn() {
        blocked.push(Blocked {
            step: step.id,
            constraint: Line::from("strands are to be heated, but what is in the tendon burns, or may"),
            remedy: Line::from("state another method of release: strand by strand behind restraints, or by a jack that can release"),
            place: route,
        });
        return;
    }
    let may_be_hard = !known.is_sheathed() && known.may_be_hard();
    if may_be_hard && is_at_anchorage(known) {
        let text = match known.tendon.filler {
            Some(Filler::CementGrout) => {
                "the force is to be let go at an anchorage, but hard grout holds the strands: it can neither be taken away between them behind the wedges, nor does what is let go there leave the rest of the tendon"
            }
            _ => {
                "the force is to be let go at an anchorage, but what fills the tendon is not known: hard filler would hold the strands there"
            }
        };
        blocked.push(Blocked {
            step: step.id,
            constraint: Line::from(text),
            remedy: Line::from("release strand by strand in the free length, with both caps on; or survey the filler first and state it"),
            place: route,
        });
        return;
    }
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
    if release != Release::JackOff {
        uncovered(known, step);
    }
}

/// How the strands are laid bare, by what is in the tendon, and where the one stands who parts them.
fn uncovered(known: &Known<'_, '_>, step: &mut Step) {
    if is_at_anchorage(known) {
        if matches!(known.tendon.filler, Some(Filler::Wax | Filler::Grease)) {
            step.say("Wax or grease behind the wedge plate is scraped out and caught, and the strands are wiped so that no tool slips");
        }
        step.takes("For each strand a tool that parts it alone or frees its wedge alone, with a guard for its neighbours and a handle long enough to stand off the axis; a screen; room for one person beside the axis");
        return step.beware("The one who frees or parts a strand stands beside the axis behind the screen, never behind the wedge plate; everyone else is out of the bay");
    }
    if known.is_sheathed() {
        step.say("Each sheath is slit and its grease wiped off where a strand is parted; no strand holds another, and none is held by the filler: each is parted for itself");
    }
    match known.tendon.filler {
        Some(Filler::CementGrout) => step.say("Grout is broken away by hand tools as far as the next strand can be seen all round, and parted without touching another"),
        Some(Filler::Wax | Filler::Grease) => step.say("Wax or grease is scraped out and caught, and the strands are wiped so that no tool slips; what runs out when it is warm is drained first"),
        Some(Filler::None) => {}
        Some(Filler::Unknown) | None => step.say("Whatever is met is treated as the worst of each: hand tools only, nothing hot, dust kept down, and no bond counted on"),
    }
    step.takes("Hand tools for duct and filler; for each strand a tool that parts it alone, with a guard for its neighbours and a handle long enough to stand off the line of the strands; a screen beside the window; room for one person behind it");
    step.beware("The one who parts a strand stands beside the window behind the screen, off the line of the strands and not over the duct; everyone else is away from window, clamps and both anchorages");
}

/// Whether the force is taken out at an anchorage.
pub(crate) fn is_at_anchorage(known: &Known<'_, '_>) -> bool {
    matches!(
        known.replacement().and_then(|own| own.release),
        Some(Release::StrandByStrandAtAnchorage | Release::JackOff)
    )
}

/// Whether the jack takes the force out.
pub(crate) fn is_by_jack(known: &Known<'_, '_>) -> bool {
    known.replacement().and_then(|own| own.release) == Some(Release::JackOff)
}

/// Where the release is made: at an end, or at the first cut in the free length.
fn place(known: &Known<'_, '_>, step: &mut Step, blocked: &mut Vec<Blocked>) {
    if is_at_anchorage(known) {
        return at_anchorage(known, step, blocked);
    }
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
            "The first cut is made at station {station_m}, the place nearest to the middle of the tendon with room for window and clamps"
        }
    };
    let mut line = Line::from(text).with(Fact::given("station_m", cut.station_m, 2));
    if let Some(bay) = known.bay_at(cut.station_m) {
        line.text.push_str(", in {bay}");
        line = line.with(Fact::text("bay", known.ways.call_bay(bay)));
    }
    step.say(line);
    let further = plan.cuts.iter().filter(|cut| cut.purpose == CutPlace::Release).skip(1);
    let mut released = vec![bonded_length(known, cut.along_m)];
    for cut in further {
        let own = bonded_length(known, cut.along_m);
        let line =
            |text: &str| Line::from(text).with(Fact::computed("further_m", cut.station_m, 2));
        if released.contains(&own) {
            step.beware(line("A further release is stated at station {further_m}, in a bonded length that has one already: it takes restraints and a window of its own, or is a cut of a piece"));
        } else {
            step.say(line("Then it is released likewise at station {further_m}, a bonded length for itself, before anything else is cut"));
        }
        released.push(own);
    }
}

/// In which of the bonded lengths a place of the tendon lies, counted from end a.
fn bonded_length(known: &Known<'_, '_>, along_m: f64) -> usize {
    known.bonded_at_m().0.iter().filter(|at_m| **at_m < along_m).count()
}

/// A release that the schedule orders after another cut: what is cut before it is cut under force.
fn late(known: &Known<'_, '_>, step: &mut Step, blocked: &mut Vec<Blocked>) {
    let Ok(plan) = &known.cuts else { return };
    for [release, before] in &plan.late {
        let facts = |line: Line| {
            line.with(Fact::given("station_m", release.station_m, 3)).with(Fact::given(
                "before_m",
                before.station_m,
                3,
            ))
        };
        blocked.push(Blocked {
            step: step.id,
            constraint: facts(Line::from("the schedule orders the cut at station {before_m} before the release at station {station_m}: there the tendon would be cut under its force")),
            remedy: facts(Line::from("order every release before all other cuts, that at station {station_m} too; one that is none is a cut of a piece")),
            place: match &release.stated {
                Some(route) => route.field("order"),
                None => known.at.route.field("cuts"),
            },
        });
        step.beware(facts(Line::from("Nothing is cut at station {before_m} before the release at station {station_m}, whatever order the schedule states")));
    }
    let has =
        |has_order: bool| known.tendon.cuts.iter().any(|cut| cut.order.is_some() == has_order);
    if has(true) && has(false) {
        step.lacks("cut.order", None, "the order of the cuts: those without one come last");
    }
}

/// The end at which it is released, with what takes the cap's place there.
fn at_anchorage(known: &Known<'_, '_>, step: &mut Step, blocked: &mut Vec<Blocked>) {
    let released: Vec<_> =
        known.ends.iter().filter(|end| end.end.released_here == Some(true)).collect();
    if released.is_empty() {
        return step.lacks(
            "end.released_here",
            None,
            "at which end it is released, and what holds there",
        );
    }
    let by_jack = is_by_jack(known);
    for end in released {
        let call = end.call();
        step.say(
            Line::from(match by_jack {
                true => "The release is made at {end}: the cap there comes off only once the jack can hold in its place; the other cap stays on",
                false => "The release is made at {end}: the cap there comes off only once the restraint that was made for this release holds in its place; the other cap stays on",
            })
            .with(Fact::text("end", call.as_str())),
        );
        if !by_jack {
            continue;
        }
        let Some(jack) = known.context.jack(end.end.jack.as_ref()) else {
            step.lacks("end.jack", Some(call), "the jack that lets the tendon go");
            continue;
        };
        step.say(
            Line::from("{jack} is brought in as in the step Jack in, before any cut is made")
                .with(Fact::text("jack", jack.record.id.clone().unwrap_or_default())),
        );
        match jack.record.can_release {
            Some(true) => {}
            Some(false) => blocked.push(Blocked {
                step: step.id,
                constraint: Line::from(
                    "the jack at {end} is said not to be able to let go an anchored tendon",
                )
                .with(Fact::text("end", call.as_str())),
                remedy: Line::from("a jack that can release, or another method of release"),
                place: jack.route.field("can_release"),
            }),
            None => step.lacks(
                "jack.can_release",
                Some(call.clone()),
                "whether the jack can let the tendon go",
            ),
        }
        match (end.end.tail_mm, jack.record.tail_mm) {
            (Some(tail_mm), Some(needed_mm)) if tail_mm < needed_mm => blocked.push(Blocked {
                step: step.id,
                constraint: Line::from("the tails left at {end} are {tail_mm} long, and the jack needs {needed_mm} to grip them")
                    .with(Fact::text("end", call.as_str()))
                    .with(Fact::given("tail_mm", tail_mm, 0))
                    .with(Fact::given("needed_mm", needed_mm, 0)),
                remedy: Line::from("release strand by strand behind a restraint, or a jack that pulls on the wedge plate itself"),
                place: end.route.field("tail_mm"),
            }),
            (None, _) => step.lacks("end.tail_mm", Some(call), "whether the jack can grip the old tails"),
            (_, None) => step.lacks("jack.tail_mm", Some(call), "whether the jack can grip the old tails"),
            _ => {}
        }
    }
}

fn energy(known: &Known<'_, '_>, step: &mut Step, blocked: &mut Vec<Blocked>) {
    let Some(stressed) =
        step.known_all(known.stressed(), None, "the energy of each bonded length, and the recoil")
    else {
        return at_most(known, step);
    };
    let points = &known.tendon.bonded_points;
    let unbonded = known.replacement().and_then(|own| own.unbonded);
    let (mut bonded_at_m, lacking) = known.bonded_at_m();
    // Only where it is known where the tendon is bonded can a length be said to be released.
    let mut is_known = lacking.is_empty();
    if points.is_empty() && unbonded != Some(true) {
        is_known = false;
        match unbonded {
            None => step.lacks("replacement.unbonded", None, "whether the tendon is one bonded length"),
            _ => step.lacks("tendon.bonded_points", None, "where the tendon is bonded to the structure: each length between is released for itself"),
        }
    }
    for field in lacking {
        step.lacks(field, None, "where a bonded length ends");
    }
    bonded_at_m.retain(|at_m| *at_m < stressed.length_m);
    if let Ok(design) = energy::design(known) {
        step.say(
            Line::from(
                "With its greatest force, {force_kn}, all along its {length_m} the tendon would hold {energy_kj}: restraints and covers are laid out for that; by the forces along it the table gives less",
            )
            .with(Fact::computed("energy_kj", design.kj, 0))
            .with(Fact::computed("force_kn", design.force_kn, 0))
            .with(Fact::computed("length_m", design.length_m, 3)),
        );
        if let Some(count) = known.tendon.strand_count.filter(|count| *count > 0) {
            step.say(Line::from("One strand of it holds {strand_energy_kj}").with(Fact::computed(
                "strand_energy_kj",
                design.kj / f64::from(count),
                1,
            )));
        }
    }
    let Ok(releases) =
        releases_by_bond(&stressed.runs, &bonded_at_m, stressed.area_mm2, stressed.e_mpa)
    else {
        return step.lacks("tendon.points", None, "the energy of each bonded length");
    };
    match (is_known, releases.len()) {
        (false, _) => step.beware(
            "Where the tendon is bonded is not known: no length counts as released before it is shown for itself",
        ),
        (true, 1) => {
            step.say("It is one bonded length: all its energy counts as set free at the first release, and restraints are laid out for that");
            if !known.is_sheathed() && known.may_be_hard() {
                step.say("That does not show that the force is gone: hard filler may hold it further on, and each free length is looked at for itself before it is cut");
            }
        }
        (true, _) => {
            step.say("It is bonded in between: each bonded length is released for itself, with restraints of its own");
            each_released(known, step, &releases, blocked);
        }
    }
    if !is_known {
        return;
    }
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

/// The energy where friction is not known: as if the whole length held what the jack gave it.
fn at_most(known: &Known<'_, '_>, step: &mut Step) {
    let design = energy::design(known);
    let design = design.as_ref().map_err(Vec::as_slice);
    let Some(design) = step.known_all(design, None, "the energy that is set free at most") else {
        return;
    };
    step.say(
        Line::from("The whole tendon holds at most {energy_kj}: as if {force_kn} were in it all along its {length_m}, for the forces along it do not follow from what is stated; restraints and covers are laid out for that")
            .with(Fact::computed("energy_kj", design.kj, 0))
            .with(Fact::computed("force_kn", design.force_kn, 0))
            .with(Fact::computed("length_m", design.length_m, 3)),
    );
}

/// Each bonded length has a release of its own among the cuts.
fn each_released(
    known: &Known<'_, '_>,
    step: &Step,
    releases: &[restrand_mechanics::removal::Release],
    blocked: &mut Vec<Blocked>,
) {
    let Ok(plan) = &known.cuts else { return };
    for release in releases {
        let has_one = plan.cuts.iter().any(|cut| {
            cut.purpose == CutPlace::Release
                && (release.from_m..=release.to_m).contains(&cut.along_m)
        });
        if !has_one {
            blocked.push(Blocked {
                step: step.id,
                constraint: Line::from("the bonded length from {from_m} to {to_m} along the tendon has no release of its own: cut as a piece it would be cut under force")
                    .with(Fact::computed("from_m", release.from_m, 2))
                    .with(Fact::computed("to_m", release.to_m, 2)),
                remedy: Line::from("state a cut that releases in each bonded length, with its restraints, before any piece of it is cut"),
                place: known.at.route.field("cuts"),
            });
        }
    }
}

fn order(known: &Known<'_, '_>, step: &mut Step) {
    let is_by_strands =
        !matches!(known.replacement().and_then(|own| own.release), Some(Release::JackOff) | None);
    let Some(count) = known.tendon.strand_count.filter(|_| is_by_strands) else { return };
    // A quarter of the tendon between two looks at it; the last strands carry what is left.
    let group = count.div_ceil(4).max(1);
    let holds: Vec<_> = (1..4).map(|part| part * group).filter(|at| *at < count).collect();
    let holds: Vec<_> = holds.iter().map(u32::to_string).collect();
    let text = match is_at_anchorage(known) {
        true => {
            "{strands} strands, one after another, in turn on opposite sides of the axis so that the force stays about it; hold points are proposed after strands {after}, where no other ones are stated"
        }
        false => {
            "{strands} strands, one after another, as they can be reached: the window goes all round the duct, the outer strands come first, in turn on opposite sides of the axis, then layer by layer inward; hold points are proposed after strands {after}, where no other ones are stated"
        }
    };
    step.say(
        Line::from(text)
            .with(Fact::given("strands", f64::from(count), 0))
            .with(Fact::text("after", holds.join(", "))),
    );
}
