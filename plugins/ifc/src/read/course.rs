//! The course of a tendon: its axis, what lies at its ends, and the points that a schedule states.

use restrand_kit::Stopped;
use restrand_model::reading::ProblemKind;
use restrand_model::value::{Fields, Value as Stated};

use super::bodies::{Body, is_swept_disk};
use super::curve::Corner;
use super::geometry::{length, sub};
use super::links::{Links, Way};
use super::places::Places;
use super::reader::Reader;
use super::said::put;
use super::units::tidy;
use crate::terms::Kind;

/// How far from a place's station a corner of the axis may be to lie at it, and an anchor from the end of an axis
/// to be its anchor; in metres.
pub(super) const NEAR: f64 = 0.5;

impl Reader<'_, '_> {
    /// The axis of a tendon in the schedule's frame, in metres and in order of station: its representation `Axis`,
    /// or else what its body is swept along.
    pub(super) fn axis(&mut self, tendon: usize) -> Result<Vec<Corner>, Stopped> {
        let shapes = self.shapes_of(tendon)?;
        let mut curve = None;
        for (identifier, items) in &shapes {
            if identifier.eq_ignore_ascii_case("Axis") {
                curve = curve.or(items.first().copied());
            }
        }
        let solids = shapes.iter().flat_map(|(_, items)| items).copied();
        let mut bodies: Vec<Body> =
            solids.filter(|(item, _)| is_swept_disk(self.model.kind(*item))).collect();
        if let Some((flat, _)) = curve
            && self.is_flat(flat)?
        {
            if bodies.is_empty() {
                let why = "its axis is drawn in a plane, and tells no heights; they are those of the plane";
                let help = "draw its axis in space";
                let kind = ProblemKind::ValueDoubtful;
                self.remark(tendon, kind, "axis", None, why.to_owned(), help)?;
            } else {
                // The body shows the heights too.
                curve = None;
            }
        } else if curve.is_some() {
            bodies.clear();
        }
        let solids = shapes.iter().flat_map(|(_, items)| items).copied();
        let mut sectioned =
            solids.filter(|(item, _)| self.model.kind(*item) == Kind::SectionedSolid);
        let of_bodies = match curve {
            None if !bodies.is_empty() => self.course_of_bodies(tendon, &bodies)?,
            _ => None,
        };
        let (curve, corners) = match (curve, of_bodies, sectioned.next()) {
            (Some((curve, axes)), ..) => (curve, self.corners(curve, &axes)?),
            (None, Some(course), _) => course,
            (None, None, Some((solid, axes))) => {
                let points = self.sections(solid)?;
                let corner = |point| Corner { point: axes.out(point), radius: None };
                (solid, points.into_iter().map(corner).collect())
            }
            (None, None, None) => {
                if !shapes.is_empty() {
                    let why = "no course follows from its shapes, none of which is a curve, or swept along one";
                    let help = "draw its axis as a curve, as its representation Axis";
                    let kind = ProblemKind::ValueLost;
                    self.remark(tendon, kind, "axis", None, why.to_owned(), help)?;
                }
                return Ok(Vec::new());
            }
        };
        self.curves.insert(tendon, curve);
        let Some(metres) = self.units.metres() else {
            let why = "the project states no unit of length, so that it lies nowhere".to_owned();
            let help = "state the unit at the project's units; it is not guessed";
            self.remark(tendon, ProblemKind::ValueLost, "axis", None, why, help)?;
            return Ok(Vec::new());
        };
        let mut axis: Vec<Corner> = corners
            .into_iter()
            .filter_map(|corner| {
                let point = self.in_frame(corner.point)?;
                Some(Corner { point, radius: corner.radius.map(|radius| tidy(radius * metres)) })
            })
            .collect();
        if let (Some(first), Some(last)) = (axis.first(), axis.last())
            && first.point[0] > last.point[0]
        {
            axis.reverse();
        }
        Ok(axis)
    }

    /// Says where tendons do not run along the line of stations: what is told by stations is then shorter than it is.
    pub(super) fn say_oblique(
        &mut self,
        tendons: &[usize],
        axes: &[Vec<Corner>],
    ) -> Result<(), Stopped> {
        /// How far a tendon may swing from the line, as the cosine of 30 degrees; curved bridges and deviations in
        /// plan stay below. Common practice, no source.
        const ALONG: f64 = 0.866;
        let (mut along, mut whole) = (0.0, 0.0);
        for axis in axes {
            if let (Some(first), Some(last)) = (axis.first(), axis.last()) {
                let way = sub(last.point, first.point);
                along += way[0].abs();
                whole += way[0].hypot(way[1]);
            }
        }
        let Some(first) = tendons.first().filter(|_| whole > 0.0 && along < ALONG * whole) else {
            return Ok(());
        };
        let angle = (along / whole).acos().to_degrees();
        let why = format!(
            "in plan the tendons run at some {angle:.0} degrees to the line along which stations are counted, so that \
             stations are nearer to each other than the points that they tell"
        );
        let help = "let the x axis of the bridge's placement run along the bridge, or state stations in the schedule";
        self.remark(*first, ProblemKind::ValueDoubtful, "axis", None, why, help)
    }

    /// Finds anchors that belong to no tendon yet by where they lie: at the end of an axis.
    pub(super) fn by_place(
        &mut self,
        tendons: &[usize],
        axes: &[Vec<Corner>],
        links: &mut Links,
    ) -> Result<(), Stopped> {
        let left: Vec<usize> = self
            .graph
            .all(Kind::TendonAnchor)
            .iter()
            .copied()
            .filter(|at| !links.has_owner(*at))
            .collect();
        if left.is_empty() {
            return Ok(());
        }
        let mut ends: Vec<_> = tendons
            .iter()
            .zip(axes)
            .flat_map(|(tendon, axis)| {
                [axis.first(), axis.last()].into_iter().flatten().map(|end| (end.point, *tendon))
            })
            .collect();
        ends.sort_by(|one, other| one.0[0].total_cmp(&other.0[0]));
        for at in left {
            let Some(entity) = self.entity(at)? else { continue };
            let Some(point) = self.position(at, &entity)? else { continue };
            let from = ends.partition_point(|(end, _)| end[0] < point[0] - NEAR);
            let near = ends[from..].iter().take_while(|(end, _)| end[0] <= point[0] + NEAR);
            let mut near: Vec<_> = near
                .map(|(end, tendon)| (length(sub(*end, point)), *tendon))
                .filter(|(distance, _)| *distance <= NEAR)
                .collect();
            near.sort_by(|one, other| one.0.total_cmp(&other.0));
            // Of two tendons that end at one point neither is taken.
            let is_plain = match near.as_slice() {
                [_] => true,
                [one, other, ..] => other.0 > 2.0 * one.0 + 1e-6,
                [] => false,
            };
            if is_plain {
                links.add(near[0].1, at, self.graph.wholes.get(&at).copied(), Way::Place);
            }
        }
        Ok(())
    }
}

/// The points of an axis, with the places at which they lie.
pub(super) fn points(axis: &[Corner], places: &Places) -> Stated {
    let last = axis.len().saturating_sub(1);
    Stated::List(
        axis.iter()
            .enumerate()
            .map(|(position, corner)| {
                let [station, lateral, elevation] = corner.point;
                let mut fields = Fields::with_capacity(5);
                put(&mut fields, "station_m", Stated::Number(station));
                put(&mut fields, "lateral_m", Stated::Number(lateral));
                put(&mut fields, "elevation_m", Stated::Number(elevation));
                // An end lies at a face of its place, which the end itself names.
                if position != 0 && position != last {
                    let place = places.near(station, NEAR);
                    put(&mut fields, "place", place.map(Stated::from));
                }
                put(&mut fields, "radius_m", corner.radius.map(Stated::Number));
                Stated::Fields(fields)
            })
            .collect(),
    )
}
