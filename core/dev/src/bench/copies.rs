//! Many tendons: the demo bridge again and again, one behind the other on the same line.
//!
//! Strand, duct, anchorages, form and jack are the same in all of them; places, rooms and tendons get a
//! number.

use restrand_model::reflect::Link;
use restrand_model::schedule::{Number, Place, Schedule, Tendon, Text};

use crate::demo;

/// From one copy of the bridge to the next.
const STEP_M: f64 = 150.0;

/// A schedule of so many tendons with all that hangs on them.
#[must_use]
pub fn tendons(count: usize) -> Schedule {
    let bridge = demo::bridge();
    let mut all = bridge.clone();
    all.tendons.reserve(count);
    let mut number = 1;
    while all.tendons.len() < count {
        number += 1;
        add(&mut all, Copy { number, tendons: bridge.tendons.len() }, bridge.clone());
    }
    all.tendons.truncate(count);
    all
}

/// One of the copies.
#[derive(Clone, Copy)]
struct Copy {
    /// The bridge itself is the first.
    number: u32,
    /// Tendons of each.
    tendons: usize,
}

fn add(all: &mut Schedule, copy: Copy, mut bridge: Schedule) {
    for span in &mut bridge.spans {
        copy.name(&mut span.id);
        copy.shift(&mut span.from_m);
        copy.shift(&mut span.to_m);
    }
    for support in &mut bridge.supports {
        copy.name(&mut support.id);
        copy.shift(&mut support.station_m);
        copy.link(&mut support.place);
    }
    for section in &mut bridge.sections {
        copy.name(&mut section.id);
        copy.shift(&mut section.station_m);
    }
    for place in &mut bridge.places {
        copy.place(place);
    }
    for bay in &mut bridge.bays {
        copy.name(&mut bay.id);
        copy.link(&mut bay.from_place);
        copy.link(&mut bay.to_place);
        copy.shift(&mut bay.from_m);
        copy.shift(&mut bay.to_m);
    }
    for opening in &mut bridge.openings {
        copy.name(&mut opening.id);
        copy.link(&mut opening.from_bay);
        copy.link(&mut opening.to_bay);
        copy.link(&mut opening.place);
        copy.shift(&mut opening.station_m);
    }
    for tendon in &mut bridge.tendons {
        copy.tendon(tendon);
    }
    all.spans.append(&mut bridge.spans);
    all.supports.append(&mut bridge.supports);
    all.sections.append(&mut bridge.sections);
    all.places.append(&mut bridge.places);
    all.bays.append(&mut bridge.bays);
    all.openings.append(&mut bridge.openings);
    all.tendons.append(&mut bridge.tendons);
}

impl Copy {
    fn named(self, name: &str) -> Box<str> {
        format!("{name}-{}", self.number).into()
    }

    fn name(self, name: &mut Text) {
        *name = name.as_deref().map(|name| self.named(name));
    }

    fn link<R>(self, link: &mut Option<Link<R>>) {
        *link = link.as_ref().map(|link| Link::to(self.named(link.key())));
    }

    fn shift(self, station: &mut Number) {
        *station = station.map(|station| station + f64::from(self.number - 1) * STEP_M);
    }

    fn order(self, order: &mut Option<u32>) {
        let before = u32::try_from(self.tendons).unwrap_or(u32::MAX);
        *order = order.map(|order| order.saturating_add((self.number - 1).saturating_mul(before)));
    }

    fn place(self, place: &mut Place) {
        self.name(&mut place.id);
        self.shift(&mut place.station_m);
        if let Some(faces) = place.faces.as_deref_mut() {
            for face in [&mut faces.up, &mut faces.down].into_iter().flatten() {
                self.shift(&mut face.station_m);
            }
        }
        for point in &mut place.hoist_points {
            self.name(&mut point.id);
            self.shift(&mut point.station_m);
        }
    }

    fn tendon(self, tendon: &mut Tendon) {
        self.name(&mut tendon.mark);
        self.link(&mut tendon.twin);
        self.order(&mut tendon.order);
        for span in &mut tendon.spans {
            *span = Link::to(self.named(span.key()));
        }
        for point in &mut tendon.points {
            self.link(&mut point.place);
            self.shift(&mut point.station_m);
        }
        if let Some(ends) = tendon.ends.as_deref_mut() {
            for end in [&mut ends.a, &mut ends.b].into_iter().flatten() {
                self.link(&mut end.place);
            }
        }
        for deviator in &mut tendon.deviators {
            self.link(&mut deviator.place);
        }
        for joint in &mut tendon.duct_joints {
            self.shift(&mut joint.station_m);
        }
        for vent in &mut tendon.vents {
            self.shift(&mut vent.station_m);
        }
        for cut in &mut tendon.cuts {
            self.shift(&mut cut.station_m);
        }
        if let Some(replacement) = tendon.replacement.as_deref_mut() {
            self.order(&mut replacement.order);
        }
    }
}
