//! Turns round what is listed from the other end.
//!
//! A tendon listed from its higher station is normal input; everything after the reading may rely on points
//! in order of station and on end `a` at the lower one.

use std::collections::HashMap;

use restrand_model::schedule::{Schedule, Tendon};

pub(crate) fn turn(schedule: &mut Schedule) {
    let stations: HashMap<&str, f64> = schedule
        .places
        .iter()
        .filter_map(|place| Some((place.id.as_deref()?, place.station_m?)))
        .collect();
    for tendon in &mut schedule.tendons {
        turn_points(tendon);
        turn_ends(tendon, &stations);
        // Deviators without a known station keep their order, which is all that is known of them.
        let station = |deviator: &restrand_model::schedule::Deviator| {
            deviator.place.as_ref().and_then(|place| stations.get(place.key())).copied()
        };
        if tendon.deviators.iter().all(|deviator| station(deviator).is_some()) {
            tendon.deviators.sort_by(|one, other| {
                station(one).unwrap_or(0.0).total_cmp(&station(other).unwrap_or(0.0))
            });
        }
    }
}

fn turn_points(tendon: &mut Tendon) {
    let first = tendon.points.first().and_then(|point| point.station_m);
    let last = tendon.points.last().and_then(|point| point.station_m);
    if let (Some(first), Some(last)) = (first, last)
        && first > last
    {
        tendon.points.reverse();
    }
}

fn turn_ends(tendon: &mut Tendon, stations: &HashMap<&str, f64>) {
    let Some(ends) = tendon.ends.as_deref_mut() else {
        return;
    };
    let station = |end: &Option<Box<restrand_model::schedule::End>>| {
        let place = end.as_deref()?.place.as_ref()?;
        stations.get(place.key()).copied()
    };
    if let (Some(a), Some(b)) = (station(&ends.a), station(&ends.b))
        && a > b
    {
        std::mem::swap(&mut ends.a, &mut ends.b);
        if let Some(stressing) = tendon.stressing.as_deref_mut() {
            std::mem::swap(&mut stressing.elongation_a_mm, &mut stressing.elongation_b_mm);
            std::mem::swap(&mut stressing.seated_force_a_kn, &mut stressing.seated_force_b_kn);
            stressing.from = stressing.from.map(|from| from.turned());
        }
        for step in &mut tendon.stressing_steps {
            step.end = step.end.map(|end| end.turned());
        }
        for measurement in &mut tendon.measurements {
            measurement.end = measurement.end.map(|end| end.turned());
        }
    }
}
