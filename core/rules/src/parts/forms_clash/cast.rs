//! What is cast in for a tendon, as bodies in space.

use std::collections::HashMap;

use restrand_mechanics::passing::{Bore, FLARE_WITHIN_MM, flare};
use restrand_mechanics::path::{Direction, PitchYaw, axis};
use restrand_mechanics::room::{Cone, Cylinder, NearestPlace, nearest, nearest_of_cones};
use restrand_model::resolve::ResolvedPart;
use restrand_model::route::Route;
use restrand_model::schedule::{EndName, FormKind, Part, Permanence, Place, Role};

use crate::context::{Context, Found, TendonAt};
use crate::tendon_path::{DeviatorSpot, LaidTendon, extent_m};
use crate::works::{Along, lateral_at_m};

/// What is cast in for a tendon in a place, as cylinders and cones in space.
pub(super) struct Cast {
    /// The tendon, by its position in the schedule.
    pub(super) tendon: usize,
    pub(super) mark: String,
    pub(super) place: String,
    pub(super) route: Route,
    /// One after another; nowhere wider than what is cast in.
    pub(super) cones: Vec<Cone>,
    /// Whether all of it is among them.
    pub(super) is_whole: bool,
    /// The box round it: from where to where it reaches along x, y and z, mm.
    pub(super) reach_mm: [[f64; 2]; 3],
}

/// What is cast in for a tendon at its ends and deviators, and a field without which some of it is not known.
pub(super) fn cast_in(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    flares: &mut Flares,
) -> Result<CastIn, &'static str> {
    let laid = context.path(at).map_err(|none| none.field())?;
    let along = Along::of(context, at)?;
    let mut casts = Vec::new();
    for end in at.ends() {
        let parts = context.end_parts(&end);
        let pipes =
            parts.iter().filter(|part| stays(part) && part.part.role != Some(Role::BearingPlate));
        // Positions on the anchorage's axis run into the span as negative ones.
        for pipe in pipes {
            let (Some(from_mm), Some(to_mm)) = (pipe.part.from_mm, pipe.part.to_mm) else {
                return Err("part.from_mm");
            };
            let (Some(rear_mm), Some(span_mm)) = (pipe.part.rear_outer_mm, pipe.part.span_outer_mm)
            else {
                return Err("part.rear_outer_mm");
            };
            let depth_m = [-from_mm.max(to_mm) / 1000.0, -from_mm.min(to_mm) / 1000.0];
            let place = end.end.place.as_ref().ok_or("end.place")?.key();
            let along_m = match end.name {
                EndName::A => depth_m,
                EndName::B => depth_m.map(|m| along.length_m() - m),
            };
            // The rear end lies at the smaller depth.
            let [rear_at, span_at] = along_m.map(|along_m| point_mm(laid, along_m));
            let cone = cone(rear_at, span_at, [rear_mm, span_mm]);
            casts.extend(Cast::of(at, place, end.route.clone(), vec![cone], true));
        }
    }
    let mut unknown = None;
    for index in 0..at.tendon.deviators.len() {
        let of_form = FormHere::of(context, at, laid, &along, index);
        let known = of_form.and_then(|here| here.map(|here| here.cast(flares)).transpose());
        match known {
            Ok(None) => {}
            Ok(Some((cast, lacks))) => {
                casts.extend(cast);
                unknown = unknown.or(lacks);
            }
            Err(field) => unknown = unknown.or(Some(field)),
        }
    }
    Ok((casts, unknown))
}

/// Flares as they were cut into cones: of the many forms of a bridge few differ.
#[derive(Default)]
pub(super) struct Flares(HashMap<[u64; 5], Vec<Bore>>);

impl Flares {
    /// The outside of a flare as cones, one after another.
    fn cut(&mut self, outside: Bore, wall_mm: f64) -> &[Bore] {
        // Of an outside, which is taken without tolerances, these say all.
        let Bore { from_mm, to_mm, span_inner_mm, rear_inner_mm, .. } = outside;
        let key = [from_mm, to_mm, span_inner_mm, rear_inner_mm, wall_mm].map(f64::to_bits);
        self.0.entry(key).or_insert_with(|| {
            // A wall that cannot be is told by the rule on bores; its ends stand all the same.
            flare(outside, wall_mm, FLARE_WITHIN_MM).unwrap_or_else(|_| vec![outside])
        })
    }
}

/// What is cast in, and a field without which some of it is not known.
pub(super) type CastIn = (Vec<Cast>, Option<&'static str>);

/// A form where a tendon passes it.
struct FormHere<'c, 'a> {
    at: &'c TendonAt<'c>,
    laid: &'c LaidTendon,
    along: &'c Along,
    route: Route,
    place: Found<'a, Place>,
    parts: Vec<&'c ResolvedPart<'a>>,
    /// The middle of the form, as a length from end a, m.
    middle_m: f64,
    /// The form's axis, where it is stated and straight.
    axis: Option<Direction>,
}

impl<'c, 'a> FormHere<'c, 'a> {
    /// The form of a deviator; nothing where nothing of it stays.
    fn of(
        context: &'c Context<'a>,
        at: &'c TendonAt<'c>,
        laid: &'c LaidTendon,
        along: &'c Along,
        index: usize,
    ) -> Result<Option<Self>, &'static str> {
        let deviator = &at.tendon.deviators[index];
        let route = at.route.field("deviators").item(index);
        let parts: Vec<_> =
            context.deviator_parts(at, index).iter().filter(|part| stays(part)).collect();
        if parts.is_empty() {
            return Ok(None);
        }
        let place = context.place(deviator.place.as_ref()).ok_or("deviator.place")?;
        let station_m = context.deviator_station_m(at, index).ok_or("place.station_m")?;
        // A skew place lies elsewhere where the tendon passes it than in the middle of the bridge.
        let extent = || extent_m(place.record, lateral_at_m(at.tendon, station_m));
        let middle_m = match laid.deviators.get(index) {
            Some(DeviatorSpot::Corner(_)) => station_m,
            _ => extent().map_or(station_m, |[from_m, to_m]| f64::midpoint(from_m, to_m)),
        };
        let form = context.form_at(at, index);
        let turned = form
            .filter(|form| form.kind != Some(FormKind::BentPipe))
            .and_then(|form| Some(PitchYaw { pitch_rad: form.pitch_rad?, yaw_rad: form.yaw_rad? }));
        let heading = context.alignment().ok().and_then(|line| line.heading_rad(middle_m).ok());
        let axis = turned.zip(heading).and_then(|(turned, heading)| axis(turned, heading).ok());
        let middle_m = along.at_m(middle_m);
        Ok(Some(Self { at, laid, along, route, place, parts, middle_m, axis }))
    }

    /// A position on the form's axis, in space: along the tendon where no straight axis is stated.
    fn at_mm(&self, position_mm: f64) -> [f64; 3] {
        match self.axis {
            Some(Direction { x, y, z }) => {
                let [mx, my, mz] = point_mm(self.laid, self.middle_m);
                [mx + x * position_mm, my + y * position_mm, mz + z * position_mm]
            }
            None => point_mm(self.laid, self.middle_m + position_mm / 1000.0),
        }
    }

    /// Its parts as they are; where not all of that is stated, its waist, with the field that lacks.
    fn cast(
        &self,
        flares: &mut Flares,
    ) -> Result<(Option<Cast>, Option<&'static str>), &'static str> {
        let id = self.place.record.id.as_deref().unwrap_or_default();
        let cones: Result<Vec<Vec<Cone>>, _> =
            self.parts.iter().map(|part| self.cones(&part.part, flares)).collect();
        let lacks = match cones {
            Ok(cones) => {
                let cones = cones.into_iter().flatten().collect();
                return Ok((Cast::of(self.at, id, self.route.clone(), cones, true), None));
            }
            Err(field) => field,
        };
        // The waist is nowhere wider than the form.
        let outer =
            self.parts.iter().flat_map(|part| [part.part.rear_outer_mm, part.part.span_outer_mm]);
        let waist_mm = outer.flatten().reduce(f64::min).ok_or(lacks)?;
        let middle_m = self.place.record.station_m.ok_or("place.station_m")?;
        let lateral_m = lateral_at_m(self.at.tendon, middle_m);
        let extent_m = extent_m(self.place.record, lateral_m).ok_or("place.thickness_mm")?;
        let [from, to] = extent_m.map(|station_m| point_mm(self.laid, self.along.at_m(station_m)));
        let waist = cone(from, to, [waist_mm; 2]);
        Ok((Cast::of(self.at, id, self.route.clone(), vec![waist], false), Some(lacks)))
    }

    /// The outside of a part, nowhere overstated: a flare is cut into cones.
    fn cones(&self, part: &Part, flares: &mut Flares) -> Result<Vec<Cone>, &'static str> {
        let from_mm = part.from_mm.ok_or("part.from_mm")?;
        let to_mm = part.to_mm.ok_or("part.to_mm")?;
        // At a form, rear is the smaller position.
        let outside = Bore {
            from_mm: from_mm.min(to_mm),
            to_mm: from_mm.max(to_mm),
            span_inner_mm: part.rear_outer_mm.ok_or("part.rear_outer_mm")?,
            rear_inner_mm: part.span_outer_mm.ok_or("part.span_outer_mm")?,
            tolerance_mm: 0.0,
            ovality_mm: 0.0,
            seam_mm: 0.0,
        };
        let pieces = match part.wall_radius_mm {
            Some(wall_mm) => flares.cut(outside, wall_mm),
            None => &[outside],
        };
        let pieces = pieces.iter().map(|piece| {
            cone(
                self.at_mm(piece.from_mm),
                self.at_mm(piece.to_mm),
                [piece.span_inner_mm, piece.rear_inner_mm],
            )
        });
        Ok(pieces.collect())
    }
}

/// Whether a part is cast in round the tendon.
fn stays(part: &ResolvedPart<'_>) -> bool {
    part.part.permanence == Some(Permanence::Permanent) && part.part.role != Some(Role::Tube)
}

fn cone(from_mm: [f64; 3], to_mm: [f64; 3], outer_mm: [f64; 2]) -> Cone {
    let [from_radius_mm, to_radius_mm] = outer_mm.map(|mm| mm / 2.0);
    Cone { from_mm, to_mm, from_radius_mm, to_radius_mm }
}

impl Cast {
    /// What is cast in as cones one after another; nothing where there are none.
    fn of(
        at: &TendonAt<'_>,
        place: &str,
        route: Route,
        cones: Vec<Cone>,
        is_whole: bool,
    ) -> Option<Self> {
        let boxes = cones.iter().map(reach_mm);
        let reach_mm = boxes.reduce(|so_far, next| {
            std::array::from_fn(|axis| {
                let ([low, high], [next_low, next_high]) = (so_far[axis], next[axis]);
                [low.min(next_low), high.max(next_high)]
            })
        })?;
        let (tendon, mark, place) = (at.position, at.mark(), place.to_owned());
        Some(Self { tendon, mark, place, route, cones, is_whole, reach_mm })
    }

    /// Its stretch across the bridge, mm.
    pub(super) const fn across_mm(&self) -> [f64; 2] {
        self.reach_mm[1]
    }

    /// How near the axes come to those of another one, mm.
    pub(super) fn axes_apart_mm(&self, other: &Self) -> Option<f64> {
        // However wide two cylinders are, their axes lie as far apart.
        let line = |cone: &Cone| Cylinder {
            from_mm: cone.from_mm,
            to_mm: cone.to_mm,
            radius_mm: cone.from_radius_mm,
        };
        let beside = |one: Cylinder| other.cones.iter().map(move |cone| nearest(&one, &line(cone)));
        let all = self.cones.iter().flat_map(|cone| beside(line(cone)));
        all.filter_map(|near| Some(near.ok()?.axes_mm)).reduce(f64::min)
    }

    /// Where another one comes nearest, if they overlap.
    pub(super) fn overlap(&self, other: &Self) -> Option<NearestPlace> {
        if !meet(&self.reach_mm, &other.reach_mm) {
            return None;
        }
        let mut pairs = Vec::new();
        for one in &self.cones {
            let own = reach_mm(one);
            for beside in other.cones.iter().filter(|beside| meet(&own, &reach_mm(beside))) {
                // As wide as they are anywhere, they come no less near.
                let gap_mm = nearest_of_cones(&widest(one), &widest(beside)).ok()?.gap_mm;
                if gap_mm < 0.0 {
                    pairs.push((gap_mm, one, beside));
                }
            }
        }
        pairs.sort_by(|(one, ..), (other, ..)| one.total_cmp(other));
        let mut deepest: Option<NearestPlace> = None;
        for (least_mm, one, beside) in pairs {
            let reached_mm = deepest.as_ref().map_or(0.0, |near| near.gap_mm);
            if least_mm >= reached_mm {
                break;
            }
            let near = nearest_of_cones(one, beside).ok()?;
            if near.gap_mm < reached_mm {
                deepest = Some(near);
            }
        }
        deepest
    }
}

/// The box round a cone: from where to where it reaches along x, y and z, mm.
fn reach_mm(cone: &Cone) -> [[f64; 2]; 3] {
    let radius_mm = cone.from_radius_mm.max(cone.to_radius_mm);
    std::array::from_fn(|axis| {
        let (from_mm, to_mm) = (cone.from_mm[axis], cone.to_mm[axis]);
        [from_mm.min(to_mm) - radius_mm, from_mm.max(to_mm) + radius_mm]
    })
}

/// Whether two boxes meet: of two that do not, nothing else need be compared.
fn meet(one: &[[f64; 2]; 3], other: &[[f64; 2]; 3]) -> bool {
    one.iter()
        .zip(other)
        .all(|([low, high], [other_low, other_high])| low < other_high && other_low < high)
}

/// The cylinder round a cone.
fn widest(cone: &Cone) -> Cone {
    let radius_mm = cone.from_radius_mm.max(cone.to_radius_mm);
    Cone { from_radius_mm: radius_mm, to_radius_mm: radius_mm, ..*cone }
}

/// The point of the polygon at a length from end a, mm.
fn point_mm(laid: &LaidTendon, along_m: f64) -> [f64; 3] {
    let mut rest_m = along_m;
    let legs = &laid.path.legs;
    for (index, leg) in legs.iter().enumerate() {
        if rest_m <= leg.length_m || index + 1 == legs.len() {
            let from = leg.from;
            return [
                from.x_m + leg.along.x * rest_m,
                from.y_m + leg.along.y * rest_m,
                from.z_m + leg.along.z * rest_m,
            ]
            .map(|m| m * 1000.0);
        }
        rest_m -= leg.length_m;
    }
    [0.0; 3]
}

#[cfg(test)]
mod tests;
