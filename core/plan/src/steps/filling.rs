//! The new tendon is filled.

use restrand_finding::Fact;
use restrand_mechanics::filling::{bags, filling_minutes};
use restrand_model::schedule::{Filler, PumpPlace, VentKind};
use restrand_rules::works;

use crate::plan::{Blocked, Cell, Column, Line, Step, Table};
use crate::tendon::Known;

pub(super) fn write(known: &Known<'_>, step: &mut Step, _: &mut Vec<Blocked>) {
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
                line.text.push_str(
                    "; with {waste_l} for hoses, purging and waste {gross_l} are mixed or melted",
                );
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
                "how much is mixed beyond what the tendon takes",
            ),
        }
        step.say(line);
        if filler == Some(Filler::CementGrout) {
            grout(known, inside.net_l + waste_l.unwrap_or(0.0), step);
        }
        pace(known, inside.net_l, inside.free_l_per_m, step);
    }
    vents(known, step);
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
    step.takes("A mixer or melting pot and a pump for the volume above, with a spare of each within reach; a gauge at the inlet, valves on every tube, and a measure for what goes in");
    if known.is_sheathed() && filler == Some(Filler::CementGrout) {
        step.beware("Grout round sheathed strands bonds none of them: at the next replacement each gives off all its energy");
    }
    step.hold("Each vent runs full and even before it is closed, in the order of the table; the volume that went in is compared with the volume above");
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

fn grout(known: &Known<'_>, gross_l: f64, step: &mut Step) {
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
fn pace(known: &Known<'_>, net_l: f64, free_l_per_m: f64, step: &mut Step) {
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

fn vents(known: &Known<'_>, step: &mut Step) {
    let vents = &known.tendon.vents;
    let inlet = vents.iter().find(|vent| vent.kind == Some(VentKind::Inlet));
    let Some(inlet_m) = inlet.and_then(|vent| vent.station_m) else {
        step.lacks("tendon.vents", None, "where the filler goes in, and the order of the vents");
        return;
    };
    // The filler reaches the nearest first, on each side of the inlet.
    let mut others: Vec<_> = vents
        .iter()
        .filter(|vent| vent.kind != Some(VentKind::Inlet))
        .filter_map(|vent| Some((vent, vent.station_m?)))
        .collect();
    others.sort_by(|one, other| (one.1 - inlet_m).abs().total_cmp(&(other.1 - inlet_m).abs()));
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
}

fn pump(known: &Known<'_>, step: &mut Step) {
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
