//! The new tendon is filled.

use restrand_finding::Fact;
use restrand_mechanics::filling::{bags, filling_minutes};
use restrand_model::schedule::{Filler, PumpPlace, VentKind};
use restrand_rules::works;

use crate::plan::{Blocked, Cell, Column, Line, Step, Table};
use crate::tendon::Known;

pub(super) fn write(known: &Known<'_, '_>, step: &mut Step, _: &mut Vec<Blocked>) {
    let filler = known.tendon.filler;
    if filler == Some(Filler::None) {
        step.say("The tendon is not filled");
        return;
    }
    let fill = known.tendon.fill.as_deref();
    let route = known.at.route.field("fill");
    if let Some(inside) = step.known(known.inside, None, "the volume that the tendon takes") {
        let mut line = Line::from("The tendon takes {net_l}: its own inside only, from cap to cap; the gap to what is cast in stays empty")
            .with(Fact::computed("net_l", inside.net_l, 1));
        let waste_l = fill.and_then(|fill| fill.waste_volume_l);
        match waste_l {
            Some(waste_l) => {
                line.text.push_str(match filler {
                    Some(Filler::CementGrout) => {
                        "; with {waste_l} for hoses, purging and waste {gross_l} are mixed"
                    }
                    Some(Filler::Wax) => {
                        "; with {waste_l} for hoses, purging and waste {gross_l} are melted"
                    }
                    _ => "; with {waste_l} for hoses, purging and waste {gross_l} are made ready",
                });
                line = line.with(Fact::given("waste_l", waste_l, 1)).with(Fact::computed(
                    "gross_l",
                    inside.net_l + waste_l,
                    0,
                ));
                step.rests_on(route.field("waste_volume_l"));
            }
            None => step.lacks(
                "fill.waste_volume_l",
                None,
                "how much is made ready beyond what the tendon takes",
            ),
        }
        step.say(line);
        stated(known, inside.net_l, step);
        if filler == Some(Filler::CementGrout) {
            grout(known, inside.net_l + waste_l.unwrap_or(0.0), step);
        }
        pace(known, inside.net_l, inside.free_l_per_m, step);
    }
    let has_order = vents(known, step);
    pump(known, step);
    match filler {
        Some(Filler::Wax) => match fill.and_then(|fill| fill.temperature_celsius) {
            Some(celsius) => {
                step.say(Line::from("The wax goes in at {inlet_celsius}; it shrinks as it cools: caps are topped up").with(Fact::given("inlet_celsius", celsius, 0)));
                step.rests_on(route.field("temperature_celsius"));
            }
            None => {
                step.lacks("fill.temperature_celsius", None, "at which temperature the wax goes in")
            }
        },
        Some(Filler::Unknown) | None => {
            step.lacks("tendon.filler", None, "what the new tendon is filled with");
        }
        _ => {}
    }
    match fill.and_then(|fill| fill.pressure_mpa) {
        Some(pressure_mpa) => {
            step.say(
                Line::from("The pressure at the inlet stays at or below {inlet_pressure_mpa}")
                    .with(Fact::given("inlet_pressure_mpa", pressure_mpa, 2)),
            );
            step.rests_on(route.field("pressure_mpa"));
        }
        None => step.lacks("fill.pressure_mpa", None, "the greatest pressure at the inlet"),
    }
    let is_known = known.inside.is_ok();
    let made = match filler {
        Some(Filler::CementGrout) => "A mixer",
        Some(Filler::Wax) => "A melting pot",
        _ => "A mixer or melting pot",
    };
    let volume = if is_known { " for the volume above" } else { "" };
    step.takes(format!("{made} and a pump{volume}, with a spare of each within reach; a gauge at the inlet, valves on every tube, and a measure for what goes in").as_str());
    if known.is_sheathed() && filler == Some(Filler::CementGrout) {
        step.beware("Grout round sheathed strands bonds none of them: at the next replacement each gives off all its energy");
    }
    let order = match has_order {
        true => "Each vent runs full and even before it is closed, in the order of the table",
        false => {
            "Which tubes there are, and in which order they are closed, is on paper; each runs full and even before it is closed"
        }
    };
    let volume = match is_known {
        true => "the volume that went in is compared with the volume above",
        false => "the volume that goes in is measured, and kept on record",
    };
    step.hold(format!("{order}; {volume}").as_str());
    step.beware(
        "Hoses under pressure: eyes and hands are guarded, and no joint is opened under pressure",
    );
    if matches!(filler, Some(Filler::CementGrout | Filler::Unknown) | None) {
        step.beware("Fresh grout burns eyes and skin: goggles, gloves, and water to wash with");
    }
    if matches!(filler, Some(Filler::Wax | Filler::Unknown) | None) {
        step.beware("Hot liquid: guarded skin, no water near it, fire watch");
    }
}

fn grout(known: &Known<'_, '_>, gross_l: f64, step: &mut Step) {
    let fill = known.tendon.fill.as_deref();
    let Some(ratio) = fill.and_then(|fill| fill.water_cement_ratio) else {
        step.lacks("fill.water_cement_ratio", None, "bags of cement");
        return;
    };
    let Some(bag_kg) = fill.and_then(|fill| fill.bag_mass_kg) else {
        step.lacks("fill.bag_mass_kg", None, "bags of cement");
        return;
    };
    let grout = works::neat_grout(known.context, ratio, bag_kg);
    let told = grout.and_then(|grout| Some((grout, bags(gross_l, grout.litres_per_bag).ok()?)));
    if let Some((grout, bags)) = told {
        let stated = fill.and_then(|fill| fill.bags).map(f64::from);
        if let Some(stated) = stated.filter(|stated| *stated < f64::from(bags.count)) {
            step.beware(
                Line::from(
                    "The schedule states {stated_bags} bags, fewer than the {bags} that follow",
                )
                .with(Fact::given("stated_bags", stated, 0))
                .with(Fact::computed("bags", f64::from(bags.count), 0)),
            );
        }
        step.say(
            Line::from("{bags} bags of {bag_kg}, with {water_kg} of water each at a water-cement ratio of {ratio}")
                .with(Fact::computed("bags", f64::from(bags.count), 0))
                .with(Fact::given("bag_kg", bag_kg, 1))
                .with(Fact::computed("water_kg", grout.water_kg_per_bag, 1))
                .with(Fact::given("ratio", ratio, 2)),
        );
    }
}

/// At the stated time to fill, how fast the filler moves.
fn pace(known: &Known<'_, '_>, net_l: f64, free_l_per_m: f64, step: &mut Step) {
    let Some(duration_s) = known.tendon.fill.as_deref().and_then(|fill| fill.duration_s) else {
        step.lacks("fill.duration_s", None, "pump rate and time");
        return;
    };
    let rate_l_per_min = net_l / (duration_s / 60.0);
    if let Ok(minutes) = filling_minutes(net_l, rate_l_per_min) {
        step.say(
            Line::from("Filled in {minutes} minutes, the pump gives {rate_l} in a minute, which moves {speed_m} in a minute in the duct where all of it goes one way")
                .with(Fact::computed("minutes", minutes, 1))
                .with(Fact::computed("rate_l", rate_l_per_min, 0))
                .with(Fact::computed("speed_m", rate_l_per_min / free_l_per_m, 1)),
        );
    }
}

/// How high the filler has to rise on its way from one station to another, m.
fn climb_m(points_m: &[[f64; 2]], from_m: f64, to_m: f64) -> f64 {
    let at = |station_m: f64| {
        let after = points_m.partition_point(|[at_m, _]| *at_m < station_m);
        match (after.checked_sub(1).and_then(|index| points_m.get(index)), points_m.get(after)) {
            (Some([one_m, one_z]), Some([other_m, other_z])) => {
                one_z + (other_z - one_z) * (station_m - one_m) / (other_m - one_m)
            }
            // A tube on a cap lies beyond the last point.
            (Some([_, z]), None) | (None, Some([_, z])) => *z,
            (None, None) => 0.0,
        }
    };
    let between = from_m.min(to_m)..=from_m.max(to_m);
    let within = points_m.iter().filter(|[at_m, _]| between.contains(at_m)).map(|[_, z]| *z);
    within.chain([at(from_m), at(to_m)]).fold(f64::MIN, f64::max)
}

/// The tubes in the order in which they are closed; whether there is one.
fn vents(known: &Known<'_, '_>, step: &mut Step) -> bool {
    let vents = &known.tendon.vents;
    let inlet = vents.iter().find(|vent| vent.kind == Some(VentKind::Inlet));
    let Some(inlet_m) = inlet.and_then(|vent| vent.station_m) else {
        step.lacks("tendon.vents", None, "where the filler goes in, and the order of the vents");
        return false;
    };
    let line = works::fill_line(known.context, known.at).ok();
    let points_m = line.as_ref().map_or(&[][..], |line| &line.points_m);
    // The filler rises alike on both sides of the inlet: it reaches the lowest first, of equal ones the nearest.
    let mut others: Vec<_> = vents
        .iter()
        .filter(|vent| vent.kind != Some(VentKind::Inlet))
        .filter_map(|vent| Some((vent, vent.station_m?)))
        .collect();
    others.sort_by(|one, other| {
        let climb = |at_m: f64| climb_m(points_m, inlet_m, at_m);
        let away = |at_m: f64| (at_m - inlet_m).abs();
        climb(one.1).total_cmp(&climb(other.1)).then(away(one.1).total_cmp(&away(other.1)))
    });
    let call = |vent: &restrand_model::schedule::Vent| vent.id.clone().unwrap_or_default();
    // Drains are closed first; they come before what is open.
    others.sort_by_key(|(vent, _)| vent.kind != Some(VentKind::Drain));
    let drains = others.iter().take_while(|(vent, _)| vent.kind == Some(VentKind::Drain)).count();
    let after = others.split_off(drains);
    let mut rows = Vec::new();
    rows.extend(others.into_iter().map(|(vent, station_m)| {
        vec![
            Cell::from(call(vent)),
            Cell::from("drain"),
            Cell::from(station_m),
            Cell::from("close before filling, once it runs dry"),
        ]
    }));
    if let Some(inlet) = inlet {
        rows.push(vec![
            Cell::from(call(inlet)),
            Cell::from("inlet"),
            Cell::from(inlet_m),
            Cell::from("open first"),
        ]);
    }
    for (vent, station_m) in after {
        let kind = vent.kind.map_or_else(|| "vent".to_owned(), |kind| kind.to_string());
        let what = match vent.kind {
            _ if station_m < inlet_m => "close when full, down-station in this order",
            _ => "close when full, up-station in this order",
        };
        rows.push(vec![
            Cell::from(call(vent)),
            Cell::from(kind),
            Cell::from(station_m),
            Cell::from(what),
        ]);
    }
    step.tables.push(Table {
        title: "Inlet, vents and drains in their order".to_owned(),
        columns: vec![
            Column { name: "tube", digits: 0 },
            Column { name: "kind", digits: 0 },
            Column { name: "station_m", digits: 2 },
            Column { name: "then", digits: 0 },
        ],
        rows,
    });
    step.rests_on(known.at.route.field("vents"));
    let is_low = |station_m: f64| {
        line.as_ref().is_none_or(|line| {
            line.turns.iter().any(|turn| {
                !turn.is_crest && (turn.level_m[0]..=turn.level_m[1]).contains(&station_m)
            })
        })
    };
    let drains = vents.iter().filter(|vent| vent.kind == Some(VentKind::Drain));
    let stations: Vec<f64> = drains.filter_map(|vent| vent.station_m).collect();
    if !stations.is_empty() && !stations.iter().any(|station_m| is_low(*station_m)) {
        step.beware("No drain stands at a low of the profile: what gathers there does not run out, and is blown or drawn out before filling");
    }
    true
}

/// What the schedule states beside what follows.
fn stated(known: &Known<'_, '_>, net_l: f64, step: &mut Step) {
    let Some(stated_l) = known.tendon.fill.as_deref().and_then(|fill| fill.volume_l) else {
        return;
    };
    step.rests_on(known.at.route.field("fill").field("volume_l"));
    let line = |text: &str| {
        Line::from(text).with(Fact::given("stated_l", stated_l, 1)).with(Fact::computed(
            "by_l",
            (net_l - stated_l).abs(),
            1,
        ))
    };
    let is_off = known
        .limit("volume_tolerance")
        .is_some_and(|most| (net_l - stated_l).abs() > most.value * net_l);
    match is_off {
        true => step.beware(line("The schedule states {stated_l}, {by_l} from what the tendon takes by its sizes: one of the two is wrong, and what is ordered follows from neither before that is settled")),
        false => step.say(line("The schedule states {stated_l}, {by_l} from that")),
    }
}

fn pump(known: &Known<'_, '_>, step: &mut Step) {
    let fill = known.tendon.fill.as_deref();
    match fill.and_then(|fill| fill.pump) {
        Some(pump) => {
            let place = match pump {
                PumpPlace::Below => "below the bridge",
                PumpPlace::Deck => "on the deck",
                PumpPlace::Inside => "inside the bridge",
            };
            let mut line = Line::from("The pump stands {pump}").with(Fact::text("pump", place));
            match fill.and_then(|fill| fill.hose_length_mm) {
                Some(hose_mm) => {
                    line.text.push_str(", with {hose_m} of hose to the inlet");
                    line = line.with(Fact::given("hose_m", hose_mm / 1000.0, 0));
                }
                None => step.lacks("fill.hose_length_mm", None, "the hose from pump to inlet"),
            }
            step.say(line);
        }
        None => step.lacks("fill.pump", None, "where the pump stands"),
    }
}
