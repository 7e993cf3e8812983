//! Alignments, and what lies by the distance along them.

use restrand_kit::Stopped;
use restrand_model::reading::ProblemKind;

use super::curve::Piece;
use super::curve::circle;
use super::geometry::{Axes, Triple, cross, length, scale, sub, unit};
use super::reader::Reader;
use super::stretch::{Alignment, Course, Stretch, along, beside};
use crate::terms::Kind;
use crate::value::{Entity, Value};

/// Curves that rest on each other; an alignment has three.
const DEEPEST: u32 = 8;

/// Whether the curve is one that is known by the distance along another.
pub(super) const fn is_alignment(kind: Kind) -> bool {
    matches!(kind, Kind::GradientCurve | Kind::SegmentedReferenceCurve)
}

impl Reader<'_, '_> {
    /// The curve at a position by the distance along it; nothing, which is said, if it cannot be read so.
    pub(super) fn alignment(
        &mut self,
        at: usize,
        depth: u32,
    ) -> Result<Option<Alignment>, Stopped> {
        let Some(entity) = self.entity(at)? else { return Ok(None) };
        if depth > DEEPEST {
            self.bad(at, "its curves lead in a circle, or through too many others")?;
            return Ok(None);
        }
        if is_alignment(entity.kind) {
            let Some(base) = self.one(at, &entity, "BaseCurve")? else {
                self.bad(
                    at,
                    "the curve that it rests on is missing, or of a kind that is not read",
                )?;
                return Ok(None);
            };
            let Some(mut alignment) = self.alignment(base, depth + 1)? else { return Ok(None) };
            if entity.kind == Kind::GradientCurve {
                let Some(heights) = self.stretches(at, &entity)? else { return Ok(None) };
                alignment.heights = heights;
                let over = |stretch: &Stretch| stretch.start.origin[0];
                alignment.heights.sort_by(|one, other| over(one).total_cmp(&over(other)));
            } else {
                self.say_cant(at, &entity)?;
            }
            return Ok(Some(alignment));
        }
        let segments = self.all(at, &entity, "Segments")?;
        if entity.kind == Kind::CompositeCurve
            && segments.iter().any(|at| self.model.kind(*at) == Kind::CurveSegment)
        {
            let plan = self.stretches(at, &entity)?;
            return Ok(plan.map(|plan| Alignment { plan, heights: Vec::new() }));
        }
        let Some(pieces) = self.pieces(at, 0)? else { return Ok(None) };
        let plan = of_pieces(&pieces);
        if plan.is_none() {
            self.bad(at, "one of its pieces has no length, or is upright")?;
        }
        Ok(plan.map(|plan| Alignment { plan, heights: Vec::new() }))
    }

    /// Says of a curve once that its cant is not read, if it has any.
    fn say_cant(&mut self, at: usize, curve: &Entity<'_>) -> Result<(), Stopped> {
        if !self.canted.insert(at) {
            return Ok(());
        }
        let mut is_canted = false;
        for segment in self.all(at, curve, "Segments")? {
            let Some(entity) = self.entity(segment)? else { continue };
            let Some(axes) = self.axes_of(segment, &entity, "Placement")? else { continue };
            // Over the distance the segments give how far the curve is lifted, and by their axes how it is turned.
            let lift = axes.origin[1].abs() + axes.origin[2].abs();
            is_canted |= lift > 0.0 || axes.z[2] < 1.0;
        }
        if !is_canted {
            return Ok(());
        }
        let why = "its cant is not read: it is followed as the curve below it, and what lies beside it is taken to \
                   lie level across";
        let help = "state the place of what lies by it in numbers (CartesianPosition), or let it lie by the curve \
                    without cant";
        self.remark(at, ProblemKind::Assumed, "cant", None, why.to_owned(), help)
    }

    /// The segments of a curve, each behind the other.
    fn stretches(
        &mut self,
        at: usize,
        curve: &Entity<'_>,
    ) -> Result<Option<Vec<Stretch>>, Stopped> {
        let mut stretches: Vec<Stretch> = Vec::new();
        let mut from = 0.0;
        for segment in self.all(at, curve, "Segments")? {
            let Some(entity) = self.entity(segment)? else { return Ok(None) };
            let Some(mut stretch) = self.stretch(segment, &entity)? else { return Ok(None) };
            stretch.from = from;
            from += stretch.length;
            // The last one, of no length, says only where the curve ends.
            if stretch.length > 0.0 {
                stretches.push(stretch);
            }
        }
        if stretches.is_empty() {
            self.bad(at, "it has no segment of any length")?;
            return Ok(None);
        }
        Ok(Some(stretches))
    }

    fn stretch(&mut self, at: usize, entity: &Entity<'_>) -> Result<Option<Stretch>, Stopped> {
        let parent = self.one(at, entity, "ParentCurve")?;
        let parent = match parent.filter(|_| entity.kind == Kind::CurveSegment) {
            Some(parent) => self.entity(parent)?,
            None => None,
        };
        let Some(parent) = parent else {
            self.bad(at, "its curve is of a kind that is not read")?;
            return Ok(None);
        };
        let Some(start) = self.axes_of(at, entity, "Placement")? else { return Ok(None) };
        let numbers = ["Radius", "ClothoidConstant"].map(|name| parent.get(name).number());
        let numbers_of = |name: &str| parent.get(name).numbers().unwrap_or_default();
        let course = match (parent.kind, numbers) {
            (Kind::Line, _) => Course::Line,
            (Kind::Circle, [Some(radius), _]) if radius > 0.0 => Course::Circle(radius),
            (Kind::Clothoid, [_, Some(constant)]) if constant != 0.0 => Course::Clothoid(constant),
            (Kind::PolynomialCurve, _) => {
                Course::Polynomial(numbers_of("CoefficientsX"), numbers_of("CoefficientsY"))
            }
            _ => {
                self.bad(at, "its curve is neither a line, circle, clothoid nor polynomial")?;
                return Ok(None);
            }
        };
        let measured = |value: &Value<'_>| {
            let is_parameter = matches!(value, Value::Typed(name, _) if name.eq_ignore_ascii_case("IfcParameterValue"));
            let by = match &course {
                // A parameter of a circle is an angle.
                Course::Circle(radius) if is_parameter => radius * self.units.radians(),
                _ => 1.0,
            };
            value.number().map(|number| number * by)
        };
        let (begin, long) =
            (measured(entity.get("SegmentStart")), measured(entity.get("SegmentLength")));
        let (Some(begin), Some(long)) = (begin, long) else {
            self.bad(at, "it does not say where on its curve it begins, and how long it is")?;
            return Ok(None);
        };
        Ok(Some(Stretch {
            from: 0.0,
            length: long.abs(),
            start,
            course,
            at: begin,
            against: long < 0.0,
        }))
    }

    /// The point that lies by the distance along a curve, with the axes of the curve there.
    pub(super) fn by_distance(&mut self, at: usize) -> Result<Option<Axes>, Stopped> {
        let Some(entity) = self.entity(at)? else { return Ok(None) };
        let curve = self.one(at, &entity, "BasisCurve")?;
        let curve = curve.filter(|_| entity.kind == Kind::PointByDistance);
        let (Some(curve), Some(distance)) = (curve, entity.get("DistanceAlong").number()) else {
            self.bad(at, "it does not say how far along which curve it lies")?;
            return Ok(None);
        };
        let Some(alignment) = self.alignment(curve, 0)? else { return Ok(None) };
        let Some(axes) = alignment.at(distance) else {
            self.bad(at, "it lies beyond the ends of its curve")?;
            return Ok(None);
        };
        let [left, up, on] = ["OffsetLateral", "OffsetVertical", "OffsetLongitudinal"]
            .map(|name| entity.get(name).number().unwrap_or(0.0));
        Ok(Some(Axes { origin: beside(&axes, left, up, on), ..axes }))
    }

    /// The axes of an `IfcAxis2PlacementLinear`: those of the curve, turned where it says so.
    pub(super) fn linear(&mut self, at: usize) -> Result<Option<Axes>, Stopped> {
        let Some(entity) = self.entity(at)? else { return Ok(None) };
        let Some(point) = self.one(at, &entity, "Location")? else { return Ok(None) };
        let Some(axes) = self.by_distance(point)? else { return Ok(None) };
        let z = self.point_of(at, &entity, "Axis")?;
        let x = self.point_of(at, &entity, "RefDirection")?;
        if z.is_none() && x.is_none() {
            return Ok(Some(axes));
        }
        let turned = Axes::of(axes.origin, Some(z.unwrap_or(axes.z)), Some(x.unwrap_or(axes.x)));
        if turned.is_none() {
            self.bad(at, "its directions are of no length, or the same")?;
        }
        Ok(turned)
    }

    /// The points of a solid that lies by sections along a curve: where its sections are, joined by lines.
    pub(super) fn sections(&mut self, at: usize) -> Result<Vec<Triple>, Stopped> {
        let Some(entity) = self.entity(at)? else { return Ok(Vec::new()) };
        let mut points = Vec::new();
        for position in self.all(at, &entity, "CrossSectionPositions")? {
            match self.linear(position)? {
                Some(axes) => points.push(axes.origin),
                None => return Ok(Vec::new()),
            }
        }
        Ok(points)
    }
}

/// Lines and arcs behind each other; nothing where one has no length, or is upright.
fn of_pieces(pieces: &[Piece]) -> Option<Vec<Stretch>> {
    let mut stretches = Vec::with_capacity(pieces.len());
    let mut from = 0.0;
    for piece in pieces {
        let (start, course, long) = match *piece {
            Piece::Line(begin, end) => (along(begin, end)?, Course::Line, length(sub(end, begin))),
            Piece::Arc(begin, by, end) => {
                let (centre, axis, radius, angle) = circle(begin, by, end)?;
                let y = unit(sub(centre, begin))?;
                let x = unit(cross(axis, scale(y, -1.0)))?;
                let start = Axes { origin: begin, x, y, z: cross(x, y) };
                (start, Course::Circle(radius), radius * angle)
            }
        };
        stretches.push(Stretch { from, length: long, start, course, at: 0.0, against: false });
        from += long;
    }
    (from > 0.0).then_some(stretches)
}
