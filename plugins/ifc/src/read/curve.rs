//! Curves as a tendon's schedule states them: ends and corners, with the radius where an arc rounds a corner.

use restrand_kit::Stopped;

use super::alignment::is_alignment;
use super::geometry::{Axes, BEYOND, Triple, add, cross, dot, is_beyond, length, scale, sub, unit};
use super::model::Found;
use super::reader::Reader;
use crate::terms::Kind;
use crate::value::{Entity, Value};

/// A point of an axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Corner {
    pub(super) point: Triple,
    /// The radius by which the axis rounds the corner, in the unit of the model.
    pub(super) radius: Option<f64>,
}

/// A part of a curve.
#[derive(Debug, Clone, Copy)]
pub(super) enum Piece {
    Line(Triple, Triple),
    /// From one point through another to a third.
    Arc(Triple, Triple, Triple),
}

/// Curves in curves that are read.
const DEEPEST: u32 = 8;
/// Pieces of one curve that are read.
const MOST: usize = 100_000;
/// Points by which a free curve is followed between two knots.
const STEPS: u32 = 16;

impl Piece {
    pub(super) const fn first(&self) -> Triple {
        match self {
            Self::Line(from, _) | Self::Arc(from, ..) => *from,
        }
    }

    pub(super) const fn last(&self) -> Triple {
        match self {
            Self::Line(_, to) | Self::Arc(.., to) => *to,
        }
    }

    /// The piece in what the axes stand in.
    pub(super) fn moved(self, axes: &Axes) -> Self {
        match self {
            Self::Line(from, to) => Self::Line(axes.out(from), axes.out(to)),
            Self::Arc(from, by, to) => Self::Arc(axes.out(from), axes.out(by), axes.out(to)),
        }
    }

    pub(super) fn turned(self) -> Self {
        match self {
            Self::Line(from, to) => Self::Line(to, from),
            Self::Arc(from, by, to) => Self::Arc(to, by, from),
        }
    }
}

impl Reader<'_, '_> {
    /// The corners of the curve at a position, moved by axes.
    pub(super) fn corners(&mut self, at: usize, axes: &Axes) -> Result<Vec<Corner>, Stopped> {
        self.steps = 0;
        let pieces = self.pieces(at, 0)?.unwrap_or_default();
        // In its own axes, for far from their origin coordinates have fewer digits.
        let mut corners = corners_of(pieces.into_iter());
        for corner in &mut corners {
            corner.point = axes.out(corner.point);
        }
        Ok(corners)
    }

    /// Whether a curve is drawn in a plane, so that its points have no height.
    pub(super) fn is_flat(&mut self, curve: usize) -> Result<bool, Stopped> {
        let Some(entity) = self.entity(curve)? else { return Ok(false) };
        let Some(points) = self.all(curve, &entity, "Points")?.first().copied() else {
            return Ok(false);
        };
        let Some(first) = self.entity(points)? else { return Ok(false) };
        Ok(match first.kind {
            Kind::PointList2D => true,
            Kind::CartesianPoint => {
                first.get("Coordinates").numbers().is_some_and(|numbers| numbers.len() == 2)
            }
            _ => false,
        })
    }

    pub(super) fn pieces(&mut self, at: usize, depth: u32) -> Result<Option<Vec<Piece>>, Stopped> {
        self.steps += 1;
        if depth > DEEPEST || self.steps > MOST {
            self.bad(at, "its curves lead in a circle, or through too many others")?;
            return Ok(None);
        }
        let Some(entity) = self.entity(at)? else { return Ok(None) };
        let pieces = match entity.kind {
            Kind::Polyline => {
                let mut points = Vec::new();
                for point in self.all(at, &entity, "Points")? {
                    match self.point(point)? {
                        Some(point) => points.push(point),
                        None => return Ok(None),
                    }
                }
                Some(lines(&points))
            }
            Kind::IndexedPolyCurve => self.indexed(at, &entity)?,
            kind if is_alignment(kind) => self.followed(at)?,
            Kind::CompositeCurve if self.has_curve_segments(at, &entity)? => self.followed(at)?,
            Kind::CompositeCurve => {
                let mut pieces = Vec::new();
                for segment in self.all(at, &entity, "Segments")? {
                    let Some(segment_entity) = self.entity(segment)? else { return Ok(None) };
                    let Some(parent) = self.one(segment, &segment_entity, "ParentCurve")? else {
                        self.bad(segment, "its curve is of a kind that is not read")?;
                        return Ok(None);
                    };
                    let Some(mut inner) = self.pieces(parent, depth + 1)? else { return Ok(None) };
                    if segment_entity.get("SameSense").flag() == Some(false) {
                        inner = inner.into_iter().rev().map(Piece::turned).collect();
                    }
                    pieces.extend(inner);
                    if pieces.len() > MOST {
                        self.bad(at, "it has more pieces than are read")?;
                        return Ok(None);
                    }
                }
                Some(pieces)
            }
            Kind::TrimmedCurve => self.trimmed(at, &entity)?,
            Kind::BSpline => self.spline(at, &entity)?,
            _ => {
                self.bad(at, "it is a curve of a kind that is not read")?;
                None
            }
        };
        Ok(pieces)
    }

    fn has_curve_segments(&mut self, at: usize, entity: &Entity<'_>) -> Result<bool, Stopped> {
        let segments = self.all(at, entity, "Segments")?;
        Ok(segments.iter().any(|segment| self.model.kind(*segment) == Kind::CurveSegment))
    }

    /// A curve that is known by the distance along it, followed by points on it.
    fn followed(&mut self, at: usize) -> Result<Option<Vec<Piece>>, Stopped> {
        let Some(alignment) = self.alignment(at, 0)? else { return Ok(None) };
        let points = alignment.points();
        if points.is_none() {
            self.bad(at, "its heights do not reach as far as its plan")?;
        }
        Ok(points.map(|points| lines(&points)))
    }

    fn indexed(&mut self, at: usize, entity: &Entity<'_>) -> Result<Option<Vec<Piece>>, Stopped> {
        let Some(list) = self.one(at, entity, "Points")? else { return Ok(None) };
        let Some(list_entity) = self.entity(list)? else { return Ok(None) };
        let width = if list_entity.kind == Kind::PointList2D { 2 } else { 3 };
        let numbers = list_entity.get("CoordList").numbers();
        let Some(numbers) = numbers.filter(|numbers| numbers.len() % width == 0) else {
            self.bad(list, "its points do not all have their numbers")?;
            return Ok(None);
        };
        if is_beyond(&numbers) {
            self.bad(list, BEYOND)?;
            return Ok(None);
        }
        let points: Vec<Triple> = numbers
            .chunks_exact(width)
            .map(|point| [point[0], point[1], point.get(2).copied().unwrap_or(0.0)])
            .collect();
        let segments = entity.get("Segments");
        if segments.items().is_empty() {
            return Ok(Some(lines(&points)));
        }
        let mut pieces = Vec::new();
        for segment in segments.items() {
            let Value::Typed(name, indices) = segment else {
                self.bad(at, "one of its segments is neither a line nor an arc")?;
                return Ok(None);
            };
            let chosen = indices.numbers().and_then(|indices| {
                indices
                    .into_iter()
                    .map(|index| {
                        // Indices count from one.
                        let is_whole = index.fract() == 0.0 && index >= 1.0;
                        #[expect(
                            clippy::cast_possible_truncation,
                            clippy::cast_sign_loss,
                            reason = "whole and positive"
                        )]
                        let position = index as usize;
                        is_whole.then(|| points.get(position.wrapping_sub(1)).copied()).flatten()
                    })
                    .collect::<Option<Vec<_>>>()
            });
            let is_arc = name.eq_ignore_ascii_case("IfcArcIndex");
            match chosen.as_deref() {
                Some([from, by, to]) if is_arc => pieces.push(Piece::Arc(*from, *by, *to)),
                Some(points) if !is_arc && points.len() >= 2 => pieces.extend(lines(points)),
                _ => {
                    self.bad(at, "one of its segments names points that are not there")?;
                    return Ok(None);
                }
            }
        }
        Ok(Some(pieces))
    }

    fn trimmed(&mut self, at: usize, entity: &Entity<'_>) -> Result<Option<Vec<Piece>>, Stopped> {
        let basis = self.one(at, entity, "BasisCurve")?;
        let Some(basis) = basis else {
            self.bad(at, "its curve is of a kind that is not read")?;
            return Ok(None);
        };
        let Some(curve) = self.entity(basis)? else { return Ok(None) };
        let trims = [self.trim(entity.get("Trim1"))?, self.trim(entity.get("Trim2"))?];
        let forward = entity.get("SenseAgreement").flag() != Some(false);
        match curve.kind {
            Kind::Line => {
                let Some(origin) = self.point_of(basis, &curve, "Pnt")? else { return Ok(None) };
                let Some(vector) = self.one(basis, &curve, "Dir")? else { return Ok(None) };
                let Some(vector_entity) = self.entity(vector)? else { return Ok(None) };
                let direction =
                    self.point_of(vector, &vector_entity, "Orientation")?.and_then(unit);
                let step = direction
                    .zip(vector_entity.get("Magnitude").number())
                    .map(|(direction, size)| scale(direction, size));
                let on = |(point, parameter): (Option<Triple>, Option<f64>)| {
                    point.or_else(|| Some(add(origin, scale(step?, parameter?))))
                };
                match (on(trims[0]), on(trims[1])) {
                    (Some(from), Some(to)) => Ok(Some(vec![Piece::Line(from, to)])),
                    _ => {
                        self.bad(at, "it does not say where it begins and ends")?;
                        Ok(None)
                    }
                }
            }
            Kind::Circle => {
                let Some(axes) = self.axes_of(basis, &curve, "Position")? else { return Ok(None) };
                let Some(radius) = curve.get("Radius").number().filter(|radius| *radius > 0.0)
                else {
                    self.bad(basis, "its radius is no number above zero")?;
                    return Ok(None);
                };
                let radians = self.units.radians();
                let angle = |(point, parameter): (Option<Triple>, Option<f64>)| match parameter {
                    // Angles are in the project's unit of angle.
                    Some(parameter) => Some(parameter * radians),
                    None => {
                        let [x, y, _] = axes.inward(point?);
                        Some(y.atan2(x))
                    }
                };
                let (Some(from), Some(mut to)) = (angle(trims[0]), angle(trims[1])) else {
                    self.bad(at, "it does not say where it begins and ends")?;
                    return Ok(None);
                };
                let turn = std::f64::consts::TAU;
                to = from
                    + if forward {
                        (to - from).rem_euclid(turn)
                    } else {
                        -(from - to).rem_euclid(turn)
                    };
                let on = |angle: f64| axes.out([radius * angle.cos(), radius * angle.sin(), 0.0]);
                Ok(Some(vec![Piece::Arc(on(from), on(f64::midpoint(from, to)), on(to))]))
            }
            _ => {
                self.bad(at, "its curve is neither a line nor a circle")?;
                Ok(None)
            }
        }
    }

    /// The point and the parameter that a trim states.
    fn trim(&mut self, trim: &Value<'_>) -> Result<(Option<Triple>, Option<f64>), Stopped> {
        let mut stated = (None, None);
        for value in trim.items() {
            match value {
                Value::Reference(number) => {
                    if let Found::At(at) = self.model.find(*number) {
                        stated.0 = self.point(at)?;
                    }
                }
                value => stated.1 = value.number().or(stated.1),
            }
        }
        Ok(stated)
    }

    /// A free curve, followed by points on it.
    fn spline(&mut self, at: usize, entity: &Entity<'_>) -> Result<Option<Vec<Piece>>, Stopped> {
        let mut control = Vec::new();
        for point in self.all(at, entity, "ControlPointsList")? {
            control.extend(self.point(point)?);
        }
        let degree = entity.get("Degree").number().unwrap_or(0.0);
        let multiplicities = entity.get("KnotMultiplicities").numbers().unwrap_or_default();
        let stated = entity.get("Knots").numbers().unwrap_or_default();
        let mut knots = Vec::new();
        for (knot, times) in stated.iter().zip(&multiplicities) {
            if !(1.0..=64.0).contains(times) || knots.len() > MOST {
                self.bad(at, "its knots are no knots")?;
                return Ok(None);
            }
            #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "1 to 64")]
            knots.extend(std::iter::repeat_n(*knot, *times as usize));
        }
        let is_degree = (1.0..=12.0).contains(&degree) && degree.fract() == 0.0;
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "0 to 12")]
        let degree = if is_degree { degree as usize } else { 0 };
        if degree == 0
            || control.len() <= degree
            || knots.len() != control.len() + degree + 1
            || !knots.is_sorted()
            || stated.len() != multiplicities.len()
        {
            self.bad(at, "its degree, knots and points do not fit each other")?;
            return Ok(None);
        }
        let mut points = Vec::new();
        for span in degree..control.len() {
            let (from, to) = (knots[span], knots[span + 1]);
            if from < to {
                for step in 0..STEPS {
                    let share = f64::from(step) / f64::from(STEPS);
                    points.push(on_spline(
                        &control,
                        &knots,
                        degree,
                        span,
                        from + (to - from) * share,
                    ));
                }
            }
        }
        let last = control.len() - 1;
        points.push(on_spline(&control, &knots, degree, last, knots[last + 1]));
        Ok(Some(lines(&points)))
    }
}

/// The point of a B-spline at a parameter in a span of knots, by de Boor's algorithm.
fn on_spline(control: &[Triple], knots: &[f64], degree: usize, span: usize, at: f64) -> Triple {
    let mut points: Vec<Triple> = control[span - degree..=span].to_vec();
    for level in 1..=degree {
        for j in (level..=degree).rev() {
            let i = span - degree + j;
            let width = knots[i + degree + 1 - level] - knots[i];
            let share = if width > 0.0 { (at - knots[i]) / width } else { 0.0 };
            points[j] = add(scale(points[j - 1], 1.0 - share), scale(points[j], share));
        }
    }
    points[degree]
}

fn lines(points: &[Triple]) -> Vec<Piece> {
    points.windows(2).map(|pair| Piece::Line(pair[0], pair[1])).collect()
}

/// Ends and corners of pieces that follow each other; an arc becomes the corner that it rounds.
pub(super) fn corners_of(pieces: impl Iterator<Item = Piece>) -> Vec<Corner> {
    let mut corners: Vec<Corner> = Vec::new();
    let mut push = |point: Triple, radius: Option<f64>| {
        let near = |other: &Corner| {
            let size = length(point).max(length(other.point)).max(1.0);
            length(sub(point, other.point)) <= 1e-9 * size
        };
        match corners.last_mut() {
            Some(last) if near(last) && radius.is_none() => {}
            _ => corners.push(Corner { point, radius }),
        }
    };
    // How the piece before ends: its end, its direction there, and whether it is an arc.
    let mut before: Option<(Triple, Option<Triple>, bool)> = None;
    for piece in pieces {
        let (from, to, turn) = match piece {
            Piece::Line(from, to) => (from, to, None),
            Piece::Arc(from, by, to) => (from, to, arc(from, by, to)),
        };
        let (begins, ends) = match &turn {
            Some(turn) => (Some(turn.first), Some(turn.last)),
            None => (unit(sub(to, from)), unit(sub(to, from))),
        };
        // Where a line goes over into an arc, or back, is no corner.
        let goes_on = before.is_some_and(|(end, direction, is_arc)| {
            let size = length(end).max(length(from)).max(1.0);
            let is_there = length(sub(end, from)) <= 1e-6 * size;
            let is_straight =
                direction.zip(begins).is_some_and(|(one, other)| dot(one, other) > 1.0 - 1e-6);
            (is_arc || turn.is_some()) && is_there && is_straight
        });
        if !goes_on {
            if let Some((end, ..)) = before {
                push(end, None);
            }
            push(from, None);
        }
        before = Some((to, ends, turn.is_some()));
        if let Some(turn) = turn {
            for corner in turn.corners {
                push(corner, Some(turn.radius));
            }
        }
    }
    if let Some((end, ..)) = before {
        push(end, None);
    }
    corners
}

/// An arc as the corners that it rounds.
struct Turn {
    corners: Vec<Triple>,
    radius: f64,
    first: Triple,
    last: Triple,
}

/// The circle through three points: its middle, its axis, its radius, and the angle from the first to the last;
/// nothing if they lie on a line.
pub(super) fn circle(from: Triple, by: Triple, to: Triple) -> Option<(Triple, Triple, f64, f64)> {
    let (a, b) = (sub(by, from), sub(to, from));
    let normal = cross(a, b);
    let size = dot(normal, normal);
    if size <= 1e-18 * dot(a, a) * dot(b, b) || !size.is_finite() {
        return None;
    }
    let to_centre = scale(
        add(scale(cross(normal, a), dot(b, b)), scale(cross(b, normal), dot(a, a))),
        0.5 / size,
    );
    let centre = add(from, to_centre);
    let radius = length(to_centre);
    let axis = unit(normal)?;
    let (start, end) = (sub(from, centre), sub(to, centre));
    let angle =
        dot(cross(start, end), axis).atan2(dot(start, end)).rem_euclid(std::f64::consts::TAU);
    Some((centre, axis, radius, angle))
}

/// The arc through three points; nothing if they lie on a line.
fn arc(from: Triple, by: Triple, to: Triple) -> Option<Turn> {
    /// The widest angle whose tangents still meet at a point that is not far away.
    const WIDEST: f64 = 2.0;
    let (centre, axis, radius, angle) = circle(from, by, to)?;
    let (start, end) = (sub(from, centre), sub(to, centre));
    let parts = (angle / WIDEST).ceil().max(1.0);
    let step = angle / parts;
    let turned =
        |angle: f64| add(scale(start, angle.cos()), scale(cross(axis, start), angle.sin()));
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "one to four")]
    let count = parts as u32;
    let corners = (0..count)
        .map(|part| {
            let middle = turned(step * (f64::from(part) + 0.5));
            // The corner lies beyond the middle of the arc, where the tangents meet.
            add(centre, scale(middle, 1.0 / (step / 2.0).cos()))
        })
        .collect();
    let tangent = |at: Triple| unit(cross(axis, at));
    Some(Turn { corners, radius, first: tangent(start)?, last: tangent(end)? })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn close(one: Triple, other: Triple) -> bool {
        length(sub(one, other)) < 1e-9
    }

    /// Plane geometry: a right angle rounded by a radius of 2 has its tangent points 2 from the corner.
    #[test]
    fn an_arc_between_lines_is_a_corner_with_a_radius() {
        let middle = [10.0 - 2.0 + 2.0 * 0.5_f64.sqrt(), 2.0 - 2.0 * 0.5_f64.sqrt(), 0.0];
        let pieces = [
            Piece::Line([0.0, 0.0, 0.0], [8.0, 0.0, 0.0]),
            Piece::Arc([8.0, 0.0, 0.0], middle, [10.0, 2.0, 0.0]),
            Piece::Line([10.0, 2.0, 0.0], [10.0, 9.0, 0.0]),
        ];
        let corners = corners_of(pieces.into_iter());
        assert_eq!(corners.len(), 3, "{corners:?}");
        assert!(close(corners[0].point, [0.0, 0.0, 0.0]));
        assert!(close(corners[1].point, [10.0, 0.0, 0.0]), "{corners:?}");
        assert!((corners[1].radius.unwrap() - 2.0).abs() < 1e-9);
        assert!(close(corners[2].point, [10.0, 9.0, 0.0]));
    }

    #[test]
    fn points_on_a_line_are_no_arc() {
        assert!(arc([0.0; 3], [1.0, 0.0, 0.0], [2.0, 0.0, 0.0]).is_none());
        assert!(arc([0.0; 3], [0.0; 3], [0.0; 3]).is_none());
    }

    /// A B-spline of degree 2 with knots 0 0 0 1 1 1 is the Bézier curve of its points, whose middle is
    /// (P0 + 2 P1 + P2) / 4 (any text on Bézier curves).
    #[test]
    fn a_spline_of_one_span_is_a_bezier_curve() {
        let control = [[0.0, 0.0, 0.0], [1.0, 2.0, 0.0], [2.0, 0.0, 0.0]];
        let knots = [0.0, 0.0, 0.0, 1.0, 1.0, 1.0];
        assert!(close(on_spline(&control, &knots, 2, 2, 0.5), [1.0, 1.0, 0.0]));
        assert!(close(on_spline(&control, &knots, 2, 2, 1.0), [2.0, 0.0, 0.0]));
    }
}
