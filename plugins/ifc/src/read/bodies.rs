//! The course of a tendon as its bodies show it: what they are swept along.
//!
//! A tendon is one body, or pieces one behind the other, or strands beside each other.

use restrand_kit::Stopped;
use restrand_model::reading::ProblemKind;

use super::curve::{Corner, Piece, corners_of};
use super::geometry::{Axes, Triple, add, length, scale, sub};
use super::reader::Reader;
use crate::terms::Kind;

/// A body that is swept along a curve, with the axes in which it stands.
pub(super) type Body = (usize, Axes);

/// How far two pieces may be from each other and meet, and two strands apart and be of one tendon, in metres.
const MEETS: f64 = 0.002;
const BESIDE: f64 = 0.5;

/// Whether an item is swept along a curve by a circle.
pub(super) const fn is_swept_disk(kind: Kind) -> bool {
    matches!(kind, Kind::SweptDisk | Kind::SweptDiskPolygonal)
}

impl Reader<'_, '_> {
    /// The corners of the course that bodies show, in the world, and the curve of the first of them.
    pub(super) fn course_of_bodies(
        &mut self,
        tendon: usize,
        bodies: &[Body],
    ) -> Result<Option<(usize, Vec<Corner>)>, Stopped> {
        let mut first = None;
        let mut runs = Vec::new();
        for (body, axes) in bodies {
            let Some(entity) = self.entity(*body)? else { continue };
            let Some(curve) = self.one(*body, &entity, "Directrix")? else { continue };
            let fillet = entity.get("FilletRadius").number();
            if let [_] = bodies {
                self.say_part(*body, curve)?;
                let mut corners = self.corners(curve, axes)?;
                round(&mut corners, fillet);
                return Ok(Some((curve, corners)));
            }
            first = first.or(Some(curve));
            self.steps = 0;
            let pieces = self.pieces(curve, 0)?.unwrap_or_default();
            runs.push((pieces.into_iter().map(|piece| piece.moved(axes)).collect(), fillet));
        }
        let Some(curve) = first else { return Ok(None) };
        let unit = self.units.metres().unwrap_or(1.0);
        Ok(Some((curve, self.together(tendon, runs, unit)?)))
    }

    /// What several bodies show together.
    fn together(
        &mut self,
        tendon: usize,
        runs: Vec<(Vec<Piece>, Option<f64>)>,
        metres: f64,
    ) -> Result<Vec<Corner>, Stopped> {
        let count = runs.len();
        let bare: Vec<Vec<Piece>> = runs.iter().map(|(pieces, _)| pieces.clone()).collect();
        let cornered = |(pieces, fillet): (Vec<Piece>, Option<f64>)| {
            let mut corners = corners_of(pieces.into_iter());
            round(&mut corners, fillet);
            corners
        };
        if let Some(chain) = chained(bare, MEETS / metres) {
            let why = format!(
                "its {count} bodies stand one behind the other; together they are its course"
            );
            self.say_bodies(tendon, ProblemKind::Assumed, why)?;
            return Ok(cornered((chain, runs.first().and_then(|(_, fillet)| *fillet))));
        }
        let all: Vec<Vec<Corner>> = runs.into_iter().map(cornered).collect();
        if let Some(middle) = middle(&all, BESIDE / metres) {
            let why =
                format!("its {count} bodies stand beside each other; their middle is its course");
            self.say_bodies(tendon, ProblemKind::Assumed, why)?;
            return Ok(middle);
        }
        let why = format!(
            "it has {count} bodies that stand neither one behind the other nor beside each other; the course is that \
             of the first"
        );
        self.say_bodies(tendon, ProblemKind::ValueDoubtful, why)?;
        Ok(all.into_iter().next().unwrap_or_default())
    }

    fn say_bodies(&mut self, at: usize, kind: ProblemKind, why: String) -> Result<(), Stopped> {
        let help = "draw the tendon's axis as its representation Axis";
        self.remark(at, kind, "axis", None, why, help)
    }

    /// Says where a body is swept along a part of its curve only. Programs state the ends of a whole polyline as the
    /// number of its lines, as one, or as its length.
    fn say_part(&mut self, body: usize, curve: usize) -> Result<(), Stopped> {
        let (Some(entity), Some(curve_entity)) = (self.entity(body)?, self.entity(curve)?) else {
            return Ok(());
        };
        let from = entity.get("StartParam").number().unwrap_or(0.0);
        let mut is_whole = from.abs() < 1e-9;
        if let (Kind::Polyline, Some(to)) = (curve_entity.kind, entity.get("EndParam").number()) {
            let pieces = self.pieces(curve, 0)?.unwrap_or_default();
            let long: f64 =
                pieces.iter().map(|piece| length(sub(piece.last(), piece.first()))).sum();
            #[expect(clippy::cast_precision_loss, reason = "a number of lines")]
            let lines = pieces.len() as f64;
            is_whole &= [lines, 1.0, long].iter().any(|whole| (to - whole).abs() < 1e-6 * whole);
        }
        if is_whole {
            return Ok(());
        }
        let given = ["StartParam", "EndParam"].map(|name| {
            entity.get(name).number().map_or_else(|| "$".to_owned(), |n| n.to_string())
        });
        let why = "it is swept along a part of its curve; the course is that of the whole curve";
        let help = "let the curve end where the body does";
        let kind = ProblemKind::ValueDoubtful;
        self.remark(body, kind, "axis", Some(given.join(" to ")), why.to_owned(), help)
    }
}

/// Rounds the corners between the ends by one radius.
fn round(corners: &mut [Corner], radius: Option<f64>) {
    let Some(radius) = radius.filter(|radius| *radius > 0.0) else { return };
    if let [_, between @ .., _] = corners {
        for corner in between {
            corner.radius = corner.radius.or(Some(radius));
        }
    }
}

/// The pieces of all runs one behind the other, if each meets the next.
fn chained(mut runs: Vec<Vec<Piece>>, near: f64) -> Option<Vec<Piece>> {
    let meet = |one: Triple, other: Triple| length(sub(one, other)) <= near;
    let turned = |run: Vec<Piece>| run.into_iter().rev().map(Piece::turned).collect::<Vec<_>>();
    let mut chain = runs.pop()?;
    while !runs.is_empty() {
        let (first, last) = (chain.first()?.first(), chain.last()?.last());
        let mut found = None;
        for (position, run) in runs.iter().enumerate() {
            let (begins, ends) = (run.first()?.first(), run.last()?.last());
            let fits = [
                (meet(last, begins), true, false),
                (meet(last, ends), true, true),
                (meet(first, ends), false, false),
                (meet(first, begins), false, true),
            ];
            if let Some((_, behind, turn)) = fits.into_iter().find(|(fits, ..)| *fits) {
                found = Some((position, behind, turn));
                break;
            }
        }
        let (position, behind, turn) = found?;
        let run = runs.swap_remove(position);
        let run = if turn { turned(run) } else { run };
        chain = if behind {
            chain.into_iter().chain(run).collect()
        } else {
            run.into_iter().chain(chain).collect()
        };
    }
    Some(chain)
}

/// The middle of runs with as many corners, each of which is near to those of the first.
fn middle(runs: &[Vec<Corner>], near: f64) -> Option<Vec<Corner>> {
    let (first, others) = runs.split_first()?;
    let mut sums = first.clone();
    for run in others {
        let is_near = |run: &[Corner]| {
            run.len() == first.len()
                && run.iter().zip(first).all(|(one, other)| {
                    length(sub(one.point, other.point)) <= near
                        && one.radius.is_some() == other.radius.is_some()
                })
        };
        let turned: Vec<Corner> = run.iter().rev().copied().collect();
        let run = [run.clone(), turned].into_iter().find(|run| is_near(run))?;
        for (sum, corner) in sums.iter_mut().zip(run) {
            sum.point = add(sum.point, corner.point);
            sum.radius = sum.radius.zip(corner.radius).map(|(one, other)| one + other);
        }
    }
    #[expect(clippy::cast_precision_loss, reason = "a number of strands")]
    let share = 1.0 / runs.len() as f64;
    for sum in &mut sums {
        sum.point = scale(sum.point, share);
        sum.radius = sum.radius.map(|radius| radius * share);
    }
    Some(sums)
}
