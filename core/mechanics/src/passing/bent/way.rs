//! The way of a bent piece out of its form, as a search over how far it is drawn and how it is tilted.

use super::pose::{Pose, Walls};
use super::{BentPiece, MOST_TURN_RAD, Search};
use crate::passing::tilt::tilt_where_half_width_is;
use crate::passing::{ABUTTING_MM, Flare};

/// A pose of the search: where the piece may lie across, and what the pose costs.
#[derive(Clone, Copy)]
pub(super) struct Node {
    pub(super) range: (f64, f64),
    pub(super) cost: f64,
    pub(super) at: f64,
}

impl Node {
    fn meets(&self, other: &Self) -> bool {
        self.range.0 <= other.range.1 && other.range.0 <= self.range.1
    }
}

/// The poses that are searched.
pub(super) struct Way<'a> {
    walls: Walls,
    piece: &'a BentPiece,
    /// How far the piece is drawn at rest and when it is out, mm.
    drawn_mm: (f64, f64),
    steps: u32,
    tilts: Vec<f64>,
    rest: usize,
}

impl<'a> Way<'a> {
    pub(super) fn new(form: &Flare, piece: &'a BentPiece, rest_rad: f64, search: Search) -> Self {
        let walls = Walls::new(form, piece.outer_mm);
        let rest = piece.at_rest(&walls, rest_rad);
        let half = piece.bend_rad / 2.0;
        // Along the form's axis is where a piece has the most play.
        let mut tilts = vec![rest.tilt_rad, 0.0];
        if search.tilt_steps > 0 {
            let turn = tilt_where_half_width_is(form, piece.outer_mm / 2.0).unwrap_or(0.0);
            let most = half + turn.min(MOST_TURN_RAD);
            let steps = f64::from(search.tilt_steps);
            tilts.extend(
                (0..=search.tilt_steps).map(|step| most * (2.0 * f64::from(step) / steps - 1.0)),
            );
        }
        tilts.sort_by(f64::total_cmp);
        tilts.dedup_by(|a, b| a == b);
        let at_rest = tilts.iter().position(|tilt| *tilt >= rest.tilt_rad).unwrap_or(0);
        // The way out ends when the trailing cut has left the form and does not even touch it.
        let out_mm =
            walls.end_mm() + piece.trailing_leg_mm + piece.axis_radius_mm * half + ABUTTING_MM;
        let drawn_mm = (rest.drawn_mm, out_mm.max(rest.drawn_mm));
        Self { walls, piece, drawn_mm, steps: search.travel_steps, tilts, rest: at_rest }
    }

    /// The least cost, and where it arises, such that some way from rest to out has none greater.
    pub(super) fn least_worst(&self, node: impl Fn(&Pose) -> Option<Node>) -> (f64, f64) {
        const NO_WAY: (f64, f64) = (f64::INFINITY, 0.0);
        let greater = |a: (f64, f64), b: (f64, f64)| if b.0 > a.0 { b } else { a };
        let mut column: Vec<Option<Node>> = Vec::new();
        let mut worst: Vec<(f64, f64)> = Vec::new();
        for step in 0..=self.steps {
            let (from_mm, to_mm) = self.drawn_mm;
            let drawn_mm = from_mm + (to_mm - from_mm) * f64::from(step) / f64::from(self.steps);
            let next: Vec<Option<Node>> = self
                .tilts
                .iter()
                .map(|tilt| node(&Pose::new(&self.walls, self.piece, drawn_mm, *tilt)))
                .collect();
            let mut reached = vec![NO_WAY; next.len()];
            for (index, here) in next.iter().enumerate() {
                let Some(here) = here else { continue };
                let from = if step == 0 {
                    if index == self.rest { (f64::NEG_INFINITY, 0.0) } else { NO_WAY }
                } else {
                    match column[index] {
                        Some(before) if before.meets(here) => worst[index],
                        _ => NO_WAY,
                    }
                };
                reached[index] = greater(from, (here.cost, here.at));
            }
            // Turning at the place: once up and once down reaches every tilt from every other.
            let turn = |reached: &mut Vec<(f64, f64)>, from: usize, to: usize| {
                if let (Some(one), Some(other)) = (&next[from], &next[to])
                    && one.meets(other)
                {
                    let by_turning = greater(reached[from], (other.cost, other.at));
                    if by_turning.0 < reached[to].0 {
                        reached[to] = by_turning;
                    }
                }
            };
            for index in 1..next.len() {
                turn(&mut reached, index - 1, index);
            }
            for index in (1..next.len()).rev() {
                turn(&mut reached, index, index - 1);
            }
            column = next;
            worst = reached;
        }
        worst.into_iter().fold(NO_WAY, |least, one| if one.0 < least.0 { one } else { least })
    }
}
