//! Turns round what is listed from the other end.
//!
//! A tendon listed from its higher station is normal input; everything after the reading may rely on points
//! and deviators in order of station and on end `a` at the lower one.
//! What is moved keeps the place where it was read.

use std::collections::{HashMap, HashSet};

use restrand_model::Record;
use restrand_model::reading::{Origin, Problem, Provenance, Spot};
use restrand_model::reflect::View;
use restrand_model::schedule::{Deviator, End, Tendon};

use crate::Reading;

pub(crate) fn turn(reading: &mut Reading) {
    let stations: HashMap<&str, f64> = reading
        .schedule
        .places
        .iter()
        .filter_map(|place| Some((place.id.as_deref()?, place.station_m?)))
        .collect();
    let exchanged: HashSet<&str> =
        reading.understood.iter().flat_map(|sheet| &sheet.exchanged).map(String::as_str).collect();
    let mut anchor = Anchor { provenance: &mut reading.provenance, moved: Vec::new() };
    for tendon in &mut reading.schedule.tendons {
        turn_points(tendon, &mut anchor);
        let is_exchanged = tendon.mark.as_deref().is_some_and(|mark| exchanged.contains(mark));
        if is_exchanged || lies_turned(tendon, &stations) {
            turn_ends(tendon, &mut anchor);
        }
        order_deviators(tendon, &stations, &mut anchor);
    }
    let moved = anchor.moved;
    if !moved.is_empty() {
        for problem in &mut reading.problems {
            follow(problem, &moved);
        }
    }
}

fn turn_points(tendon: &mut Tendon, anchor: &mut Anchor<'_>) {
    let first = tendon.points.first().and_then(|point| point.station_m);
    let last = tendon.points.last().and_then(|point| point.station_m);
    if let (Some(first), Some(last)) = (first, last)
        && first > last
    {
        for (position, point) in tendon.points.iter_mut().enumerate() {
            anchor.hold(tendon.origin, point, &["points", &position.to_string()]);
        }
        tendon.points.reverse();
    }
}

/// Whether the places of its ends say that end `a` lies at the higher station.
fn lies_turned(tendon: &Tendon, stations: &HashMap<&str, f64>) -> bool {
    let Some(ends) = tendon.ends.as_deref() else { return false };
    let station = |end: &Option<Box<End>>| {
        let place = end.as_deref()?.place.as_ref()?;
        stations.get(place.key()).copied()
    };
    matches!((station(&ends.a), station(&ends.b)), (Some(a), Some(b)) if a > b)
}

/// Exchanges the ends of a tendon with all that is stated of them.
fn turn_ends(tendon: &mut Tendon, anchor: &mut Anchor<'_>) {
    if let Some(ends) = tendon.ends.as_deref_mut() {
        for (end, name) in [(&mut ends.a, "a"), (&mut ends.b, "b")] {
            if let Some(end) = end.as_deref_mut() {
                anchor.hold(tendon.origin, end, &["ends", name]);
            }
        }
    }
    hold_texts(tendon, anchor);
    if let Some(ends) = tendon.ends.as_deref_mut() {
        std::mem::swap(&mut ends.a, &mut ends.b);
    }
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

/// Keeps what the cells that name an end hold, and where the values of each end stand.
fn hold_texts(tendon: &Tendon, anchor: &mut Anchor<'_>) {
    for (one, other) in
        [("elongation_a_mm", "elongation_b_mm"), ("seated_force_a_kn", "seated_force_b_kn")]
    {
        let states = |field| {
            tendon.stressing.as_deref().is_some_and(|stressing| {
                let stressing: &dyn Record = stressing;
                !matches!(stressing.get(field), View::Absent)
            })
        };
        if states(one) || states(other) {
            anchor.provenance.exchange(tendon.origin, &["stressing", one], &["stressing", other]);
        }
    }
    anchor.keep_text(tendon, &["stressing", "from"]);
    for step in &tendon.stressing_steps {
        anchor.keep_text(step, &["end"]);
    }
    for measurement in &tendon.measurements {
        anchor.keep_text(measurement, &["end"]);
    }
    let Some(ends) = tendon.ends.as_deref() else {
        return;
    };
    for (end, name) in [(&ends.a, "a"), (&ends.b, "b")] {
        let Some(end) = end.as_deref() else { continue };
        anchor.keep_link(end.origin, name);
        for obstacle in &end.obstacles {
            anchor.keep_link(obstacle.origin, name);
        }
        for part in &end.parts {
            anchor.keep_link(part.origin, name);
        }
    }
}

fn order_deviators(tendon: &mut Tendon, stations: &HashMap<&str, f64>, anchor: &mut Anchor<'_>) {
    let station = |deviator: &Deviator| {
        deviator.place.as_ref().and_then(|place| stations.get(place.key())).copied()
    };
    let Some(known) = tendon.deviators.iter().map(station).collect::<Option<Vec<f64>>>() else {
        // Deviators without a known station keep their order, which is all that is known of them.
        return;
    };
    if known.is_sorted() {
        return;
    }
    for (position, deviator) in tendon.deviators.iter_mut().enumerate() {
        anchor.hold(tendon.origin, deviator, &["deviators", &position.to_string()]);
    }
    tendon.deviators.sort_by(|one, other| {
        station(one).unwrap_or(0.0).total_cmp(&station(other).unwrap_or(0.0))
    });
}

/// Holds moved records to the places where they were read.
///
/// A row of a sheet has its own place. A record inside one of a document is placed by the way to it, which is
/// no longer right once it is moved.
struct Anchor<'a> {
    provenance: &'a mut Provenance,
    moved: Vec<Moved>,
}

/// A record of a document that was moved.
struct Moved {
    /// The table and position of the record that holds it.
    owner: (u32, u32),
    /// The way to it in the file.
    path: Vec<String>,
    /// Its type.
    name: &'static str,
    /// Its own place.
    origin: Origin,
}

impl Anchor<'_> {
    /// Keeps the text of the cell that holds this value now.
    fn keep_text(&mut self, record: &dyn Record, path: &[&str]) {
        let mut view = View::Record(record);
        for step in path {
            view = match view {
                View::Record(inner) => inner.get(step),
                _ => return,
            };
        }
        let View::Text(text) = view else { return };
        let way: Vec<String> = path.iter().map(|step| (*step).to_owned()).collect();
        let table = self.provenance.table(record.origin());
        let column = table.and_then(|table| table.column_of(&way)).map(|column| column.index);
        self.keep(record.origin(), column, text);
    }

    /// Keeps the text of the cell by which a row names an end.
    fn keep_link(&mut self, record: Origin, end: &str) {
        let table = self.provenance.table(record);
        let column = table.and_then(|table| table.link_column("End")).map(|column| column.index);
        self.keep(record, column, end);
    }

    fn keep(&mut self, record: Origin, column: Option<u32>, text: &str) {
        // A text that was kept already is the one that was typed.
        if let Some(column) = column
            && self.provenance.text(record, column).is_none()
        {
            self.provenance.keep_text(record, column, text.into());
        }
    }

    fn hold(&mut self, owner: Origin, record: &mut dyn Record, path: &[&str]) {
        if record.origin().get().is_some() {
            return;
        }
        let Some((table, position)) = owner.get() else {
            return;
        };
        let Some(spot) =
            usize::try_from(position).ok().and_then(|position| self.provenance.spots.get(position))
        else {
            return;
        };
        let path: Vec<String> = path.iter().map(|step| (*step).to_owned()).collect();
        let spot = Spot { span: spot.span, path: spot.path.iter().chain(&path).cloned().collect() };
        let Ok(own) = u32::try_from(self.provenance.spots.len()) else {
            return;
        };
        self.provenance.spots.push(spot);
        let origin = Origin::new(table, own);
        record.set_origin(origin);
        self.moved.push(Moved { owner: (table, position), path, name: record.info().name, origin });
    }
}

/// Lets a problem inside a moved record speak of that record.
fn follow(problem: &mut Problem, moved: &[Moved]) {
    let Some(owner) = problem.record.get() else {
        return;
    };
    let Some((_, path)) = problem.subject.split_once('.') else {
        return;
    };
    for moved in moved.iter().filter(|moved| moved.owner == owner) {
        // Positions are written either way: `points.1` and `points[#2]`.
        let plain = moved.path.join(".");
        let shown = match moved.path.as_slice() {
            [list, position] => position
                .parse::<usize>()
                .map_or_else(|_| plain.clone(), |position| format!("{list}[#{}]", position + 1)),
            _ => plain.clone(),
        };
        let rest = [plain, shown]
            .iter()
            .find_map(|way| path.strip_prefix(way.as_str())?.strip_prefix('.').map(str::to_owned));
        if let Some(rest) = rest {
            problem.record = moved.origin;
            problem.subject = format!("{}.{rest}", moved.name);
            return;
        }
    }
}
