//! Parts of anchorages and forms in section along their axis.

use restrand_model::resolve::ResolvedPart;
use restrand_model::schedule::{Exit, Part, Permanence, Role};
use restrand_rules::{Axis, call};

use super::canvas::{Hatch, Label, Pen, Point, Rect, Sample, Scene, View};
use super::numbers::Numbers;

/// A section along an axis.
#[derive(Clone, Copy)]
pub(super) struct Section {
    pub(super) view: View,
    /// Which way positions grow on paper: 1 to the right.
    pub(super) sign: f64,
    pub(super) axis: Axis,
}

impl Section {
    /// A place on paper: a position on the axis and a radius, positive upward.
    pub(super) fn at(&self, position_mm: f64, radius_mm: f64) -> Point {
        self.view.at(self.sign * position_mm, radius_mm)
    }

    /// Positions of a part's rear and span end.
    fn ends(&self, part: &Part) -> Result<[f64; 2], &'static str> {
        let (from_mm, to_mm) = self.axis.stretch(part)?;
        // On the axis of mechanics the rear has the larger position.
        Ok([self.axis.position(to_mm), self.axis.position(from_mm)])
    }
}

/// A wall thinner than this on paper has no room for a hatch, mm.
const THIN_MM: f64 = 1.1;

/// The hatch of a part, by whether it stays, and by how thick its wall is on paper.
fn hatch(part: &Part, thick_mm: f64) -> Hatch {
    match part.permanence {
        Some(Permanence::Permanent) if thick_mm < THIN_MM => Hatch::Black,
        Some(Permanence::Permanent) => Hatch::Stays,
        Some(Permanence::Replaceable) if thick_mm < THIN_MM => Hatch::White,
        Some(Permanence::Replaceable) => Hatch::Leaves,
        None => Hatch::Unknown,
    }
}

/// Draws parts in section, what stays first; returns where each can be named, by its position in the list.
pub(super) fn draw(
    scene: &mut Scene,
    section: Section,
    parts: &[ResolvedPart<'_>],
    hole_circle_mm: Option<f64>,
) -> Vec<Option<Point>> {
    let mut named = vec![None; parts.len()];
    let mut order: Vec<usize> = (0..parts.len()).collect();
    // What stays lies under what leaves, a plate under the wedges in it.
    order.sort_by_key(|index| {
        let part = &parts[*index].part;
        (part.role == Some(Role::Wedges), part.permanence != Some(Permanence::Permanent))
    });
    for index in order {
        let part = &parts[index].part;
        match one(scene, section, part, hole_circle_mm) {
            Ok(at) => named[index] = Some(at),
            // A tube has no place on the axis that could be wrong.
            Err(_) if part.role == Some(Role::Tube) => {}
            Err(field) => {
                scene.lacks(field, format!("part {}", call(part)));
                // Its place stays open, and says so.
                if let Ok([rear_mm, span_mm]) = section.ends(part) {
                    let ends = [section.at(rear_mm, 0.0), section.at(span_mm, 0.0)];
                    scene.line(&ends, Pen::Dotted);
                    scene.means(
                        Sample::Line(Pen::Dotted),
                        "where a part lies of which a size is not stated",
                    );
                    let middle = section.at(f64::midpoint(rear_mm, span_mm), 0.0);
                    let words = format!("{} not drawn: a size is not stated", index + 1);
                    scene.label(Label::new(middle, [0.3, 1.0], words));
                }
            }
        }
    }
    named
}

fn one(
    scene: &mut Scene,
    section: Section,
    part: &Part,
    hole_circle_mm: Option<f64>,
) -> Result<Point, &'static str> {
    let [rear_mm, span_mm] = section.ends(part)?;
    let outer = [
        part.rear_outer_mm.ok_or("part.rear_outer_mm")? / 2.0,
        part.span_outer_mm.ok_or("part.span_outer_mm")? / 2.0,
    ];
    let inner = [
        part.rear_inner_mm.ok_or("part.rear_inner_mm")? / 2.0,
        part.span_inner_mm.ok_or("part.span_inner_mm")? / 2.0,
    ];
    // Wedges sit round their holes, and not round the axis.
    if part.role == Some(Role::Wedges) {
        let circle_mm = hole_circle_mm.ok_or("anchorage.hole_circle_mm")? / 2.0;
        for side in [-1.0, 1.0] {
            let at = |position: f64, aside: f64| section.at(position, side * circle_mm + aside);
            let shape = [
                at(rear_mm, outer[0]),
                at(span_mm, outer[1]),
                at(span_mm, -outer[1]),
                at(rear_mm, -outer[0]),
            ];
            scene.shape(&shape, Pen::Edge, Hatch::White);
        }
        return Ok(section.at(f64::midpoint(rear_mm, span_mm), circle_mm));
    }
    let thick = section
        .view
        .length(f64::max(outer[0] - inner[0], outer[1] - inner[1]).min((rear_mm - span_mm).abs()));
    let fill = hatch(part, thick);
    // A duct in a form follows the tendon, which is drawn with its legs.
    if part.role == Some(Role::Duct) && section.axis == Axis::Form {
        return Ok(section.at(f64::midpoint(rear_mm, span_mm) + (span_mm - rear_mm) * 0.3, 0.0));
    }
    if inner == [0.0, 0.0] {
        let shape = [
            section.at(rear_mm, outer[0]),
            section.at(span_mm, outer[1]),
            section.at(span_mm, -outer[1]),
            section.at(rear_mm, -outer[0]),
        ];
        scene.shape(&shape, Pen::Edge, fill);
    } else {
        let outside = profile(part, [rear_mm, span_mm], outer);
        let inside = profile(part, [rear_mm, span_mm], inner);
        for side in [1.0, -1.0] {
            let points = outside.iter().chain(inside.iter().rev());
            let shape: Vec<Point> =
                points.map(|[at, radius]| section.at(*at, side * radius)).collect();
            scene.shape(&shape, Pen::Edge, fill);
        }
    }
    if let (Some(greatest_mm), Some(at_mm)) = (part.greatest_outer_mm, part.greatest_outer_at_mm) {
        let share = if (span_mm - rear_mm).abs() > 0.0 {
            ((at_mm - rear_mm) / (span_mm - rear_mm)).clamp(0.0, 1.0)
        } else {
            0.0
        };
        let from = outer[0] + (outer[1] - outer[0]) * share;
        for side in [1.0, -1.0] {
            let ends =
                [section.at(at_mm, side * from), section.at(at_mm, side * greatest_mm / 2.0)];
            scene.line(&ends, Pen::Edge);
        }
    }
    explain(scene, fill, part.permanence);
    // A plate is named clear of the wedges in it.
    let is_solid = inner == [0.0, 0.0];
    let (out, into) = (f64::midpoint(outer[0], outer[1]), f64::midpoint(inner[0], inner[1]));
    let middle = if is_solid { out * 0.85 } else { f64::midpoint(out, into) };
    Ok(section.at(f64::midpoint(rear_mm, span_mm), middle))
}

/// A side of a wall from its rear to its span end: straight, or an arc that begins along the axis at the narrower end
/// where the part states the radius of its wall and the arc leads from one end to the other.
fn profile(part: &Part, [rear_mm, span_mm]: [f64; 2], radius: [f64; 2]) -> Vec<[f64; 2]> {
    /// An arc that ends further off than this is not what the part's diameters say, mm.
    const OFF_MM: f64 = 2.0;
    const PARTS: u32 = 12;
    let straight = vec![[rear_mm, radius[0]], [span_mm, radius[1]]];
    let Some(wall_mm) = part.wall_radius_mm else { return straight };
    let (narrow, wide) = if radius[0] < radius[1] { (0, 1) } else { (1, 0) };
    let ends = [rear_mm, span_mm];
    let length_mm = ends[wide] - ends[narrow];
    if length_mm.abs() >= wall_mm {
        return straight;
    }
    let rise = |away: f64| wall_mm - (wall_mm * wall_mm - away * away).sqrt();
    if (rise(length_mm) - (radius[wide] - radius[narrow])).abs() > OFF_MM {
        return straight;
    }
    let mut points: Vec<[f64; 2]> = (0..=PARTS)
        .map(|index| {
            let away = length_mm * f64::from(index) / f64::from(PARTS);
            [ends[narrow] + away, radius[narrow] + rise(away)]
        })
        .collect();
    if narrow == 1 {
        points.reverse();
    }
    points
}

fn explain(scene: &mut Scene, fill: Hatch, permanence: Option<Permanence>) {
    match (fill, permanence) {
        (Hatch::Black, _) => scene.means(Sample::Fill(fill), "stays: wall too thin for a hatch"),
        (Hatch::Stays, _) => scene.means(Sample::Fill(fill), "stays (permanent)"),
        (Hatch::White, _) => scene.means(Sample::ThinLeaves, "leaves: wall too thin for a hatch"),
        (Hatch::Leaves, _) => scene.means(Sample::Fill(fill), "leaves (replaceable)"),
        _ => scene.means(Sample::Fill(fill), "whether it stays or leaves is not stated"),
    }
}

/// Numbers the parts, over the axis and under it in turns, and places the numbers within a region.
pub(super) fn number(scene: &mut Scene, section: Section, named: &[Option<Point>], region: Rect) {
    let axis = section.at(0.0, 0.0)[1];
    // Neighbours along the axis go to different sides.
    let mut order: Vec<usize> = (0..named.len()).filter(|index| named[*index].is_some()).collect();
    order.sort_by(|one, other| {
        let x = |index: usize| named[index].map_or(0.0, |at| at[0]);
        x(*one).total_cmp(&x(*other))
    });
    for (turn, index) in order.into_iter().enumerate() {
        let Some([x, y]) = named[index] else { continue };
        let (at, towards) =
            if turn % 2 == 0 { ([x, y], [0.0, -1.0]) } else { ([x, 2.0 * axis - y], [0.0, 1.0]) };
        scene.label(Label::number(at, towards, index + 1));
    }
    if named.iter().any(Option::is_some) {
        scene.means(Sample::Number, "number of the part in the list");
    }
    scene.place_labels(region);
}

/// The titles of the list of parts.
pub(super) const TITLES: [&str; 9] =
    ["no.", "part", "role", "stays or leaves", "exit", "outer Ø", "inner Ø", "from", "to"];

/// The list of parts.
pub(super) fn list(parts: &[ResolvedPart<'_>], numbers: Numbers) -> Vec<Vec<String>> {
    const MISSING: &str = "not stated";
    let mm = |value: Option<f64>| value.map_or(MISSING.to_owned(), |mm| numbers.mm(mm));
    let pair = |one: Option<f64>, other: Option<f64>| match (one, other) {
        (Some(one), Some(other)) if one == other => numbers.mm(one),
        (None, None) => MISSING.to_owned(),
        _ => format!("{} to {}", mm(one), mm(other)),
    };
    parts
        .iter()
        .enumerate()
        .map(|(index, resolved)| {
            let part = &resolved.part;
            vec![
                (index + 1).to_string(),
                call(part),
                part.role.map_or(MISSING.to_owned(), |role| role.to_string().replace('_', " ")),
                match part.permanence {
                    Some(Permanence::Permanent) => "stays".to_owned(),
                    Some(Permanence::Replaceable) => "leaves".to_owned(),
                    None => MISSING.to_owned(),
                },
                match part.exit {
                    Some(Exit::Rear) => "to the rear".to_owned(),
                    Some(Exit::Span) => "to the span".to_owned(),
                    Some(Exit::StrippedInPlace) => "stripped in place".to_owned(),
                    None if part.permanence == Some(Permanence::Permanent) => String::new(),
                    None => MISSING.to_owned(),
                },
                pair(part.rear_outer_mm, part.span_outer_mm),
                pair(part.rear_inner_mm, part.span_inner_mm),
                mm(part.from_mm),
                mm(part.to_mm),
            ]
        })
        .collect()
}
