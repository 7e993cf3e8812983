//! A rod on its way through an opening, in the section in which it is fed.

use restrand_model::schedule::OpeningPlane;
use restrand_rules::ways::{Askew, Fed, FeedSection, LongestFed, Room, clear_mm, longest_fed};

use super::passing::Passed;
use crate::draw::Drawings;
use crate::draw::canvas::{
    Anchor, Hatch, Label, Pen, Point, Rect, Sample, Scene, TEXT_MM, View, bar, fitting,
};

/// A rod in the section: along the slab or wall from the opening's edge, and across it from the face at which the rod
/// comes, mm.
type Corners = [Point; 4];

/// How thick concrete opposite is drawn, mm on paper.
const OPPOSITE_MM: f64 = 3.0;

/// Draws the section in its room on paper; returns its scale.
pub(super) fn draw(
    drawings: &Drawings<'_, '_>,
    passed: &Passed,
    diameter_mm: f64,
    room: Rect,
    scene: &mut Scene,
) -> Option<f64> {
    let (ways, numbers) = (&drawings.ways, drawings.numbers);
    let record = &ways.openings[passed.opening];
    let door = ways.doors.iter().find(|door| door.opening == passed.opening)?;
    let longest = longest_fed(&mut Fed::default(), ways, door, diameter_mm);
    let longest = match longest {
        Ok(Some(longest)) => longest,
        Ok(None) => {
            scene.note("It is too thick for the opening.");
            return None;
        }
        Err(field) => {
            scene.lacks(field, "how long a rod the opening takes");
            return None;
        }
    };
    scene.note(format!(
        "Of this width the opening with its rooms takes lengths up to {}{}.",
        numbers.about(longest.longest_mm),
        match &longest.askew {
            Some(askew) => format!(", askew at {} to its face", numbers.angle(askew.tilt_rad)),
            None => ", straight".to_owned(),
        }
    ));
    let Some(thick_mm) = record.depth_mm.filter(|mm| *mm > 0.0) else {
        scene.lacks("opening.depth_mm", "the longest on its way through the opening");
        return None;
    };
    let is_wall = record.plane == Some(OpeningPlane::Wall);
    let ([width_mm, height_mm], _) = clear_mm(record).ok()?;
    let straight_mm = if is_wall { width_mm } else { height_mm };
    let section = longest.askew.map(|askew| askew.section);
    let slot = Slot {
        clear_mm: longest.askew.map_or(straight_mm, |askew| askew.slot.opening_mm),
        thick_mm,
        rooms_mm: longest.clear_mm,
        lies: match record.plane {
            Some(OpeningPlane::Wall) => Lies::Upright,
            // The bay, from which the rod comes, is over its floor.
            Some(OpeningPlane::Floor) => Lies::Under,
            _ => Lies::Over,
        },
    };
    let own = passed.longest_mm().map(|length_mm| slot.rod(&longest, length_mm, diameter_mm));
    // Askew the longest is drawn as well: straight it would only be as long as its rooms.
    let greatest =
        longest.askew.and_then(|askew| slot.askew(&askew, longest.longest_mm, diameter_mm));
    if own.is_none() && greatest.is_none() {
        return None;
    }
    let bodies: Vec<Point> = own.iter().chain(&greatest).flatten().copied().collect();
    let own_seen = slot.seen(Rect::round(&bodies));
    let seen = Rect::round(&[
        slot.lies([own_seen.left, own_seen.top]),
        slot.lies([own_seen.right, own_seen.bottom]),
    ]);
    let title =
        match section.unwrap_or(if is_wall { FeedSection::Plan } else { FeedSection::Along }) {
            FeedSection::Plan => "On its way through the wall, seen from above",
            FeedSection::Along => "On its way through, in section along the bridge",
            FeedSection::Across => "On its way through, in section across the bridge",
        };
    scene.text([room.left, room.top + 2.0], Anchor::Start, TEXT_MM, title);
    let room = Rect::new(room.left, room.top + 6.0, room.right, room.bottom);
    let scale = fitting(&[(seen.width(), room.width()), (seen.height(), room.height())]);
    // The box of what is seen counts upward: its top is its lower edge.
    let view = View {
        zero: [
            f64::midpoint(room.left, room.right) - f64::midpoint(seen.left, seen.right) / scale,
            room.top + seen.bottom / scale,
        ],
        scale,
    };
    let frame = Rect::round(&[view.at(seen.left, seen.top), view.at(seen.right, seen.bottom)]);
    let on_paper = |point: Point| {
        let [right_mm, up_mm] = slot.lies(point);
        view.at(right_mm, up_mm)
    };
    slot.concrete(&on_paper, own_seen, scale, scene);
    if let Some(corners) = &greatest {
        let shape = corners.map(on_paper);
        scene.shape(&shape, Pen::Beside, Hatch::None);
        scene.means(Sample::Line(Pen::Beside), "the longest that it takes");
        let words = format!("longest {}", numbers.about(longest.longest_mm));
        scene.label(Label::new(between(shape[1], shape[2], 0.25), [0.0, -1.0], words));
    }
    if let Some(corners) = &own {
        let shape = corners.map(on_paper);
        scene.shape(&shape, Pen::Edge, Hatch::Leaves);
        scene
            .means(Sample::Fill(Hatch::Leaves), "what passes; in section the longest of the plans");
        let length_mm = passed.longest_mm().unwrap_or_default();
        let words = format!("of the plans {}", numbers.about(length_mm));
        scene.label(Label::new(between(shape[1], shape[2], 0.5), [0.6, -0.8], words));
        if length_mm > longest.longest_mm {
            scene.note(format!(
                "The longest of the plans is too long by {}.",
                numbers.about(length_mm - longest.longest_mm)
            ));
        }
    }
    // The names of both rooms, each on its side.
    let names = door.rooms.map(|room| match room {
        Room::Outside => "outside".to_owned(),
        Room::Bay(bay) => ways.call_bay(bay),
    });
    let [from, to] = match is_wall {
        true => names,
        // The bay is the one that is not outside, or the first.
        false => {
            let [one, other] = names;
            let is_first = !matches!(door.rooms[0], Room::Outside);
            if is_first { [one, other] } else { [other, one] }
        }
    };
    let beside = own_seen.left * 0.5;
    for (name, at) in [(from, 0.0), (to, thick_mm)] {
        let [x, y] = on_paper([beside, at]);
        let [towards_x, towards_y] = on_paper([beside, if at > 0.0 { at + 1.0 } else { -1.0 }]);
        let away = [towards_x - x, towards_y - y];
        let length = away[0].hypot(away[1]).max(1e-9);
        let towards = away.map(|share| share / length);
        let at = [x + 3.0 * towards[0], y + 3.0 * towards[1]];
        scene.label(Label { towards, ..Label::area(at, name) });
    }
    // A rod that goes straight through leaves a narrow view, and paper beside it.
    scene.place_labels(Rect { left: room.left, right: room.right, ..frame.grown(2.0) });
    let (unit_mm, unit) = numbers.bar(false);
    bar(scene, [room.left, frame.bottom + 6.0], scale, unit_mm, unit);
    Some(scale)
}

/// A point at a share of the way from one to another.
fn between(one: Point, other: Point, share: f64) -> Point {
    [one[0] + share * (other[0] - one[0]), one[1] + share * (other[1] - one[1])]
}

/// The opening in section, with the rooms on both sides.
struct Slot {
    clear_mm: f64,
    thick_mm: f64,
    /// How far it is to what is opposite, on the side from which the rod comes and on the other.
    rooms_mm: [f64; 2],
    lies: Lies,
}

/// How the section lies on paper.
enum Lies {
    /// The rod comes from below.
    Over,
    /// The rod comes from above.
    Under,
    /// A wall stands upright, and the rod comes from the left.
    Upright,
}

impl Slot {
    /// A rod straight in the opening, half in each room as far as it finds room there; askew where straight is too short.
    fn rod(&self, longest: &LongestFed, length_mm: f64, diameter_mm: f64) -> Corners {
        let askew = longest.askew.filter(|_| length_mm > longest.straight_mm);
        if let Some(corners) = askew.and_then(|askew| self.askew(&askew, length_mm, diameter_mm)) {
            return corners;
        }
        let [from_mm, to_mm] = self.rooms_mm;
        let least = -from_mm;
        let most = (self.thick_mm + to_mm - length_mm).max(least);
        let low = ((self.thick_mm - length_mm) / 2.0).clamp(least, most);
        let middle = self.clear_mm / 2.0;
        let half = diameter_mm / 2.0;
        [
            [middle - half, low],
            [middle - half, low + length_mm],
            [middle + half, low + length_mm],
            [middle + half, low],
        ]
    }

    /// A rod at the flattest angle, touching both rims, half in each room as far as it finds room there; nothing where it
    /// must turn on its way, as it finds none for all of its length at once.
    fn askew(&self, askew: &Askew, length_mm: f64, diameter_mm: f64) -> Option<Corners> {
        let (sin, cos) = askew.tilt_rad.sin_cos();
        let [from_mm, to_mm] = self.rooms_mm;
        let middle = f64::midpoint(self.clear_mm * cos, self.thick_mm * sin);
        let least = (diameter_mm * cos - from_mm) / sin;
        let most = (self.thick_mm + to_mm) / sin - length_mm;
        if least > most {
            return None;
        }
        let begins = (middle - length_mm / 2.0).clamp(least, most);
        let at = |along: f64, across: f64| [along * cos - across * sin, along * sin + across * cos];
        let ends = begins + length_mm;
        Some([at(begins, -diameter_mm), at(begins, 0.0), at(ends, 0.0), at(ends, -diameter_mm)])
    }

    /// To the right and upward on paper, mm in the bridge.
    const fn lies(&self, [along, across]: Point) -> Point {
        match self.lies {
            Lies::Over => [along, across],
            Lies::Under => [along, self.thick_mm - across],
            Lies::Upright => [across, along],
        }
    }

    /// What is opposite on the side from which the rod comes, and on the other.
    fn opposite(&self) -> [f64; 2] {
        let [from_mm, to_mm] = self.rooms_mm;
        [-from_mm, self.thick_mm + to_mm]
    }

    /// What is shown round the rods: some of the slab, and what is opposite where it is near.
    fn seen(&self, bodies: Rect) -> Rect {
        let beside = 0.35 * self.clear_mm;
        let own = Rect::new(-beside, 0.0, self.clear_mm + beside, self.thick_mm);
        let seen = bodies.with(own);
        let near = 0.5 * seen.height().max(seen.width() * 0.3);
        let [from, to] = self.opposite();
        let mut seen = seen.grown(0.02 * seen.width().max(seen.height()));
        if seen.top - from < near {
            seen.top = seen.top.min(from);
        }
        if to - seen.bottom < near {
            seen.bottom = seen.bottom.max(to);
        }
        // Concrete opposite has its thickness.
        let more = 0.04 * seen.height();
        Rect::new(seen.left, seen.top - more, seen.right, seen.bottom + more)
    }

    /// The slab or wall on both sides of the opening, and what is opposite.
    fn concrete(
        &self,
        on_paper: &dyn Fn(Point) -> Point,
        seen: Rect,
        scale: f64,
        scene: &mut Scene,
    ) {
        for (one, other, edge) in
            [(seen.left, 0.0, 0.0), (self.clear_mm, seen.right, self.clear_mm)]
        {
            let corners = [[one, 0.0], [other, 0.0], [other, self.thick_mm], [one, self.thick_mm]];
            let corners = corners.map(on_paper);
            scene.fill(&corners, Hatch::Concrete);
            scene.line(&[corners[0], corners[1]], Pen::Edge);
            scene.line(&[corners[3], corners[2]], Pen::Edge);
            scene.line(&[[edge, 0.0], [edge, self.thick_mm]].map(on_paper), Pen::Edge);
        }
        for (at, sign) in self.opposite().into_iter().zip([-1.0, 1.0]) {
            if at < seen.top || at > seen.bottom {
                continue;
            }
            let room = if sign < 0.0 { at - seen.top } else { seen.bottom - at };
            let beyond = at + (OPPOSITE_MM * scale).min(room) * sign;
            let corners =
                [[seen.left, at], [seen.right, at], [seen.right, beyond], [seen.left, beyond]];
            let corners = corners.map(on_paper);
            scene.fill(&corners, Hatch::Concrete);
            scene.line(&[corners[0], corners[1]], Pen::Edge);
        }
    }
}
