//! Guide pipes or forms of two tendons meet inside one diaphragm.

use std::collections::{BTreeMap, HashMap};

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_mechanics::SMALLEST;
use restrand_mechanics::passing::{Bore, FLARE_WITHIN_MM, flare};
use restrand_mechanics::path::{Direction, PitchYaw, axis};
use restrand_mechanics::room::{Cone, NearestPlace, nearest_of_cones};
use restrand_model::resolve::ResolvedPart;
use restrand_model::route::Route;
use restrand_model::schedule::{EndName, FormKind, Part, Permanence, Place, Role, Status};

use crate::context::{Context, Found, TendonAt};
use crate::rule::{Check, Corrects, Rule};
use crate::tendon_path::{DeviatorSpot, LaidTendon, extent_m};
use crate::works::{Along, lateral_at_m};

pub(crate) const RULE: Rule = Rule {
    id: "parts/forms-clash",
    summary: "what is cast in for one tendon against what is cast in for another in the same concrete",
    kinds: &[Kind::Physical],
    limits: &[],
    sources: &[Citation::new(
        "nearest places of two straight cylinders or cones",
        Evidence::Derived,
    )],
    correction: Corrects::Nothing,
    implied_by: &["path/points-impossible", "schedule/duplicate-mark"],
    page: include_str!("forms_clash.md"),
    check: Check::Schedule(check),
};

/// What is cast in for a tendon in a place, as cylinders and cones in space.
struct Cast {
    mark: String,
    place: String,
    route: Route,
    /// One after another; nowhere wider than what is cast in.
    cones: Vec<Cone>,
    /// Whether all of it is among them.
    is_whole: bool,
    /// The box round it: from where to where it reaches along x, y and z, mm.
    reach_mm: [[f64; 2]; 3],
}

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    let mut places: BTreeMap<String, Vec<Cast>> = BTreeMap::new();
    let mut flares = Flares::default();
    for at in context.tendons() {
        if at.tendon.status == Some(Status::Removed) {
            outcomes.not_applicable("the tendon is removed");
            continue;
        }
        match cast_in(context, &at, &mut flares) {
            Ok((casts, None)) if casts.is_empty() => {
                outcomes.not_applicable("nothing is cast in for the tendon");
            }
            Ok((casts, unknown)) => {
                if let Some(field) = unknown {
                    outcomes.not_evaluated(field);
                }
                for cast in casts {
                    places.entry(cast.place.clone()).or_default().push(cast);
                }
            }
            Err(field) => outcomes.not_evaluated(field),
        }
    }
    for casts in places.into_values() {
        sweep(casts, outcomes);
    }
}

/// What is cast in for a tendon at its ends and deviators, and a field without which some of it is not known.
fn cast_in(
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
struct Flares(HashMap<[u64; 5], Vec<Bore>>);

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
type CastIn = (Vec<Cast>, Option<&'static str>);

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
        Some(Self { mark: at.mark(), place: place.to_owned(), route, cones, is_whole, reach_mm })
    }

    /// Its stretch across the bridge, mm.
    const fn across_mm(&self) -> [f64; 2] {
        self.reach_mm[1]
    }

    /// Where another one comes nearest, if they overlap.
    fn overlap(&self, other: &Self) -> Option<NearestPlace> {
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

/// Compares what is cast in in one place, from right to left; only what overlaps across is looked at.
fn sweep(mut casts: Vec<Cast>, outcomes: &mut Outcomes) {
    casts.sort_by(|one, other| one.across_mm()[0].total_cmp(&other.across_mm()[0]));
    // Of two tendons the deepest clash is told.
    let mut deepest: BTreeMap<[&str; 2], (NearestPlace, &Cast, &Cast)> = BTreeMap::new();
    for (index, one) in casts.iter().enumerate() {
        let mut clashes = false;
        for other in &casts[index + 1..] {
            if other.across_mm()[0] >= one.across_mm()[1] {
                break;
            }
            if other.mark == one.mark {
                continue;
            }
            let Some(near) = one.overlap(other) else { continue };
            clashes = true;
            let mut pair = [one.mark.as_str(), other.mark.as_str()];
            pair.sort_unstable();
            let known = deepest.entry(pair).or_insert((near, one, other));
            if near.gap_mm < known.0.gap_mm {
                *known = (near, one, other);
            }
        }
        if !clashes && one.is_whole {
            outcomes.pass();
        }
    }
    for (near, one, other) in deepest.into_values() {
        outcomes.found(clash(one, other, near.axes_mm, near.gap_mm));
    }
}

fn clash(one: &Cast, other: &Cast, axes_mm: f64, gap_mm: f64) -> Finding {
    // Axes that cross are none apart, whatever rounding leaves.
    let axes_mm = if axes_mm < SMALLEST { 0.0 } else { axes_mm };
    Finding::new(
        RULE.id,
        Kind::Physical,
        one.route.clone(),
        "in the concrete of {place} what is cast in for {tendon} and for {other} overlaps by {overlap_mm}: the axes come within \
         {axes_mm}",
    )
    .related(other.route.clone(), "the other one")
    .rests_on([&one.route, &other.route].into_iter().flat_map(|at| {
        let tendon = at.up_to(2);
        [tendon.field("points"), tendon.field("mark")]
    }))
    .help("Move one of the tendons, or correct its points: both pipes cannot be cast where they are stated")
    .fact(Fact::text("place", one.place.as_str()))
    .fact(Fact::text("tendon", one.mark.as_str()))
    .fact(Fact::text("other", other.mark.as_str()))
    .fact(Fact::computed("axes_mm", axes_mm, 0))
    .fact(Fact::computed("overlap_mm", -gap_mm, 0))
    .fact(Fact::computed("needed_mm", axes_mm - gap_mm, 0).at_least())
    .remedy("Keep the axes {needed_mm} apart at least")
}

#[cfg(test)]
mod tests;
