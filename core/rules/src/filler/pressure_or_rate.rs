//! Filler is to go in too fast, too slowly, under too much pressure or too hot.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_model::quantity::{Dimension, Unit};
use restrand_model::route::Route;
use restrand_model::schedule::{DuctMaterial, Fill, Filler, Status, VentKind};

use super::inside::{self, Inside};
use crate::context::{Context, TendonAt};
use crate::rule::{Check, Corrects, LimitKey, Rule};

const PRESSURE: LimitKey =
    LimitKey { name: "injection_pressure_most_mpa", meaning: "greatest injection pressure" };
const SLOW: LimitKey = LimitKey {
    name: "fill_speed_least_m_per_min",
    meaning: "least speed of the front of cement grout, metres a minute",
};
const FAST: LimitKey = LimitKey {
    name: "fill_speed_most_m_per_min",
    meaning: "greatest speed of the front of cement grout, metres a minute",
};
const HOT: LimitKey = LimitKey {
    name: "wax_temperature_most_celsius",
    meaning: "greatest temperature of wax that goes into polymer pipe",
};

pub(crate) const RULE: Rule = Rule {
    id: "filler/pressure-or-rate",
    summary: "injection pressure, speed of the grout's front, temperature of wax",
    kinds: &[Kind::Margin],
    limits: &[PRESSURE, SLOW, FAST, HOT],
    sources: &[
        Citation::new("EN 446, PTI M55.1: 5 to 15 m a minute", Evidence::Memory),
        Citation::new("PTI M55.1: 145 psi for round ducts", Evidence::Memory),
    ],
    correction: Corrects::Nothing,
    implied_by: &[],
    page: include_str!("pressure_or_rate.md"),
    check: Check::Tendons(check),
};

fn check(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    if at.tendon.status == Some(Status::Removed) || at.tendon.filler == Some(Filler::None) {
        return outcomes.not_applicable("there is nothing to fill");
    }
    let Some(fill) = at.tendon.fill.as_deref() else {
        return outcomes.not_applicable("nothing is stated of the filling");
    };
    let route = at.route.field("fill");
    pressure(context, at, fill, &route, outcomes);
    match at.tendon.filler {
        Some(Filler::Wax) => temperature(context, at, fill, &route, outcomes),
        Some(Filler::CementGrout) => speed(context, at, fill, &route, outcomes),
        Some(_) => {}
        None => outcomes.not_evaluated("tendon.filler"),
    }
}

fn pressure(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    fill: &Fill,
    route: &Route,
    outcomes: &mut Outcomes,
) {
    let Some(pressure_mpa) = fill.pressure_mpa else {
        return outcomes.not_evaluated("fill.pressure_mpa");
    };
    let limit = context.limit(PRESSURE);
    if pressure_mpa <= limit.value * (1.0 + 1e-9) {
        return outcomes.pass();
    }
    outcomes.found(
        Finding::new(
            RULE.id,
            Kind::Margin,
            route.field("pressure_mpa"),
            "tendon {tendon} is to be filled under {inlet_pressure_mpa}, more than {injection_pressure_most_mpa}",
        )
        .help(
            "Pressure opens joints, bursts hoses and presses filler where it must not go: fill more slowly, or from a \
             nearer inlet",
        )
        .fact(Fact::text("tendon", at.mark()))
        .fact(Fact::given("inlet_pressure_mpa", pressure_mpa, 2))
        .fact(limit.fact(PRESSURE, 2))
        .fact(Fact::computed("pressure_ratio", pressure_mpa / limit.value, 3)),
    );
}

fn temperature(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    fill: &Fill,
    route: &Route,
    outcomes: &mut Outcomes,
) {
    let Some(temperature_celsius) = fill.temperature_celsius else {
        return outcomes.not_evaluated("fill.temperature_celsius");
    };
    if has_no_polymer(context, at) {
        return outcomes.not_applicable("no pipe of the tendon is of polymer");
    }
    let limit = context.limit(HOT);
    if temperature_celsius <= limit.value + 1e-9 {
        return outcomes.pass();
    }
    outcomes.found(
        Finding::new(
            RULE.id,
            Kind::Margin,
            route.field("temperature_celsius"),
            "the wax of tendon {tendon} goes in at {temperature_celsius}, more than {wax_temperature_most_celsius}",
        )
        .help("Polymer pipe softens and sags on hot wax: lower the temperature, or show that the pipe bears it")
        .fact(Fact::text("tendon", at.mark()))
        .fact(Fact::given("temperature_celsius", temperature_celsius, 0))
        .fact(limit.fact(HOT, 0)),
    );
}

/// Whether every pipe that the tendon names is known to be of metal.
fn has_no_polymer(context: &Context<'_>, at: &TendonAt<'_>) -> bool {
    let runs = at.tendon.duct_runs.iter().filter_map(|run| run.duct.as_ref());
    let mut pipes = at.tendon.duct.as_ref().into_iter().chain(runs).peekable();
    pipes.peek().is_some()
        && pipes.all(|link| {
            let material = context.duct(Some(link)).and_then(|found| found.record.material);
            matches!(material, Some(DuctMaterial::Steel | DuctMaterial::CorrugatedMetal))
        })
}

fn speed(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    fill: &Fill,
    route: &Route,
    outcomes: &mut Outcomes,
) {
    let Some(duration_s) = fill.duration_s.filter(|seconds| *seconds > 0.0) else {
        return outcomes.not_evaluated("fill.duration_s");
    };
    let Inside { net_l, free_l_per_m, .. } = match inside::of(context, at) {
        Ok(inside) => inside,
        Err(field) => return outcomes.not_evaluated(field),
    };
    let branches = branches(at);
    let speed = net_l / minutes(duration_s) / free_l_per_m / branches;
    let (slow, fast) = (context.limit(SLOW), context.limit(FAST));
    let slack = 1.0 + 1e-9;
    let (key, limit, words) = if speed * slack < slow.value {
        (SLOW, slow, "slowly: {a_minute_m} a minute, less than {bound_m}")
    } else if speed > fast.value * slack {
        (FAST, fast, "fast: {a_minute_m} a minute, more than {bound_m}")
    } else {
        return outcomes.pass();
    };
    outcomes.found(
        Finding::new(
            RULE.id,
            Kind::Margin,
            route.field("duration_s"),
            format!("in the time stated for tendon {{tendon}} the front of the grout goes {words}"),
        )
        .help(
            "Grout that runs too fast locks air in, and grout that creeps stiffens on the way: correct the time, or the \
             pump that it was taken from",
        )
        .fact(Fact::text("tendon", at.mark()))
        .fact(Fact::given("duration_s", duration_s, 0))
        .fact(Fact::computed("room_l", net_l, 1))
        .fact(Fact::computed("free_l", free_l_per_m, 3))
        .fact(Fact::computed("branches", branches, 0))
        .fact(Fact::computed("speed_m_per_min", speed, 2))
        // A speed is no unit of the model: what it makes in a minute is a length in either system.
        .fact(Fact::computed("a_minute_m", speed, 2))
        .fact(Fact::computed("bound_m", limit.value, 1))
        .fact(limit.fact(key, 1)),
    );
}

fn minutes(seconds: f64) -> f64 {
    let unit = |symbol| Unit::find(symbol, Dimension::Time);
    match (unit("s"), unit("min")) {
        (Some(second), Some(minute)) => second.convert(seconds, minute),
        _ => unreachable!("seconds and minutes are units of the model"),
    }
}

/// The ways on which filler goes on from the inlet at most of the time.
fn branches(at: &TendonAt<'_>) -> f64 {
    let inlet_m = at
        .tendon
        .vents
        .iter()
        .filter(|vent| vent.kind == Some(VentKind::Inlet))
        .find_map(|vent| vent.station_m);
    let stations: Vec<f64> = at.tendon.points.iter().filter_map(|point| point.station_m).collect();
    let first = stations.iter().copied().reduce(f64::min);
    let last = stations.iter().copied().reduce(f64::max);
    match (inlet_m, first, last) {
        // Where one way is much shorter it is full soon, and all goes the other way.
        (Some(inlet_m), Some(first), Some(last)) => {
            let (down_m, up_m) = (inlet_m - first, last - inlet_m);
            if down_m.min(up_m) * 2.0 >= down_m.max(up_m) { 2.0 } else { 1.0 }
        }
        _ => 1.0,
    }
}
