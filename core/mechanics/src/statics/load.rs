//! Loads on a beam, and what they do to it as long as it is hinged over its supports.

use super::piece::Piece;
use crate::misfit::{Argument, LARGEST, Misfit, SAME_PLACE_M, number};

/// A load.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Load {
    /// A force at one place.
    Point {
        /// Station, m.
        at_m: f64,
        /// Downward, kN.
        down_kn: f64,
    },
    /// A load along the beam, straight from one intensity to another.
    Spread {
        /// Station of its start, m.
        from_m: f64,
        /// Station of its end, m.
        to_m: f64,
        /// Downward at its start, kN/m.
        from_kn_per_m: f64,
        /// Downward at its end, kN/m.
        to_kn_per_m: f64,
    },
    /// A couple at one place.
    Couple {
        /// Station, m.
        at_m: f64,
        /// Clockwise, kNm: it raises the moment to its right.
        clockwise_knm: f64,
    },
}

/// The beam hinged over its inner supports: simple spans, and overhangs that hang on the end spans.
pub(super) struct Base<'a> {
    supports_m: &'a [f64],
    pub(super) pieces: Vec<Piece>,
    pub(super) reactions_up_kn: Vec<f64>,
}

impl<'a> Base<'a> {
    pub(super) fn new(supports_m: &'a [f64]) -> Self {
        Self { supports_m, pieces: Vec::new(), reactions_up_kn: vec![0.0; supports_m.len()] }
    }

    pub(super) fn add(&mut self, index: usize, load: &Load) -> Result<(), Misfit> {
        let name = |name| Argument::of("loads", index, name);
        match *load {
            Load::Point { at_m, down_kn } => {
                number(name("at_m"), at_m)?;
                number(name("down_kn"), down_kn)?;
                self.point(at_m, down_kn);
            }
            Load::Couple { at_m, clockwise_knm } => {
                number(name("at_m"), at_m)?;
                number(name("clockwise_knm"), clockwise_knm)?;
                self.couple(at_m, clockwise_knm);
            }
            Load::Spread { from_m, to_m, from_kn_per_m, to_kn_per_m } => {
                number(name("from_m"), from_m)?;
                number(name("from_kn_per_m"), from_kn_per_m)?;
                number(name("to_kn_per_m"), to_kn_per_m)?;
                let argument = name("to_m");
                if number(argument, to_m)? < from_m {
                    let (value, least, most) = (to_m, from_m, LARGEST);
                    return Err(Misfit::NotWithin { argument, value, least, most });
                }
                self.spread([from_m, to_m], [from_kn_per_m, to_kn_per_m]);
            }
        }
        Ok(())
    }

    fn first_m(&self) -> f64 {
        self.supports_m[0]
    }

    fn last_m(&self) -> f64 {
        self.supports_m[self.supports_m.len() - 1]
    }

    /// The span that a place belongs to: that to the right of a support, but for the last.
    fn span(&self, at_m: f64) -> usize {
        let passed = self.supports_m.partition_point(|support| *support <= at_m);
        passed.clamp(1, self.supports_m.len() - 1) - 1
    }

    fn straight(&mut self, from_m: f64, to_m: f64, start: f64, end: f64) {
        if to_m > from_m {
            self.pieces.push(Piece { from_m, to_m, c: [start, end - start, 0.0, 0.0] });
        }
    }

    fn point(&mut self, at_m: f64, down_kn: f64) {
        if at_m < self.first_m() {
            let arm = self.first_m() - at_m;
            self.straight(at_m, self.first_m(), 0.0, -down_kn * arm);
            self.start_overhang(down_kn, -down_kn * arm);
        } else if at_m > self.last_m() {
            let arm = at_m - self.last_m();
            self.straight(self.last_m(), at_m, -down_kn * arm, 0.0);
            self.end_overhang(down_kn, -down_kn * arm);
        } else {
            let span = self.span(at_m);
            let (left_m, right_m) = (self.supports_m[span], self.supports_m[span + 1]);
            let share = (at_m - left_m) / (right_m - left_m);
            let moment = down_kn * share * (right_m - at_m);
            self.straight(left_m, at_m, 0.0, moment);
            self.straight(at_m, right_m, moment, 0.0);
            self.reactions_up_kn[span] += down_kn * (1.0 - share);
            self.reactions_up_kn[span + 1] += down_kn * share;
        }
    }

    fn couple(&mut self, at_m: f64, clockwise_knm: f64) {
        if at_m < self.first_m() {
            self.straight(at_m, self.first_m(), clockwise_knm, clockwise_knm);
            self.start_overhang(0.0, clockwise_knm);
        } else if at_m > self.last_m() {
            self.straight(self.last_m(), at_m, -clockwise_knm, -clockwise_knm);
            self.end_overhang(0.0, -clockwise_knm);
        } else {
            let span = self.span(at_m);
            let (left_m, right_m) = (self.supports_m[span], self.supports_m[span + 1]);
            let share = (at_m - left_m) / (right_m - left_m);
            self.straight(left_m, at_m, 0.0, -clockwise_knm * share);
            self.straight(at_m, right_m, clockwise_knm * (1.0 - share), 0.0);
            self.reactions_up_kn[span] -= clockwise_knm / (right_m - left_m);
            self.reactions_up_kn[span + 1] += clockwise_knm / (right_m - left_m);
        }
    }

    /// What an overhang before the first support leaves in the first span.
    fn start_overhang(&mut self, down_kn: f64, moment_knm: f64) {
        let (left_m, right_m) = (self.supports_m[0], self.supports_m[1]);
        self.straight(left_m, right_m, moment_knm, 0.0);
        let slope = moment_knm / (right_m - left_m);
        self.reactions_up_kn[0] += down_kn - slope;
        self.reactions_up_kn[1] += slope;
    }

    /// What an overhang beyond the last support leaves in the last span.
    fn end_overhang(&mut self, down_kn: f64, moment_knm: f64) {
        let last = self.supports_m.len() - 1;
        let (left_m, right_m) = (self.supports_m[last - 1], self.supports_m[last]);
        self.straight(left_m, right_m, 0.0, moment_knm);
        let slope = moment_knm / (right_m - left_m);
        self.reactions_up_kn[last] += down_kn - slope;
        self.reactions_up_kn[last - 1] += slope;
    }

    /// Cuts a load along the beam at the supports.
    fn spread(&mut self, [from_m, to_m]: [f64; 2], [from, to]: [f64; 2]) {
        let length_m = to_m - from_m;
        if length_m < SAME_PLACE_M {
            return;
        }
        let intensity = |x: f64| {
            let share = (x - from_m) / length_m;
            from * (1.0 - share) + to * share
        };
        let inner = self.supports_m.iter().copied().filter(|x| *x > from_m && *x < to_m);
        let mut ends: Vec<f64> = inner.collect();
        ends.push(to_m);
        let mut start_m = from_m;
        for end_m in ends {
            if end_m - start_m >= SAME_PLACE_M {
                self.spread_between(Stretch {
                    a: start_m,
                    b: end_m,
                    wa: intensity(start_m),
                    wb: intensity(end_m),
                });
            }
            start_m = end_m;
        }
    }

    fn spread_between(&mut self, stretch: Stretch) {
        let Stretch { a, b, .. } = stretch;
        if b <= self.first_m() {
            let hanging = stretch.hanging();
            let (force, arm) = (stretch.force(), self.first_m() - b);
            let at_b = hanging.at_share(1.0);
            self.pieces.push(hanging);
            self.straight(b, self.first_m(), at_b, at_b - force * arm);
            self.start_overhang(force, at_b - force * arm);
        } else if a >= self.last_m() {
            let hanging = stretch.mirrored().hanging().mirrored(a, b);
            let (force, arm) = (stretch.force(), a - self.last_m());
            let at_a = hanging.at_share(0.0);
            self.pieces.push(hanging);
            self.straight(self.last_m(), a, at_a - force * arm, at_a);
            self.end_overhang(force, at_a - force * arm);
        } else {
            let span = self.span(a);
            let (left_m, right_m) = (self.supports_m[span], self.supports_m[span + 1]);
            // Moment about a, from the left support's point of view.
            let about_a = (b - a) * (b - a) * (stretch.wa + 2.0 * stretch.wb) / 6.0;
            let force = stretch.force();
            let at_right = (force * (a - left_m) + about_a) / (right_m - left_m);
            let at_left = force - at_right;
            self.straight(left_m, a, 0.0, at_left * (a - left_m));
            let mut loaded = stretch.hanging();
            loaded.c[0] += at_left * (a - left_m);
            loaded.c[1] += at_left * (b - a);
            self.pieces.push(loaded);
            self.straight(b, right_m, at_right * (right_m - b), 0.0);
            self.reactions_up_kn[span] += at_left;
            self.reactions_up_kn[span + 1] += at_right;
        }
    }
}

/// A load along a stretch, from `wa` at a to `wb` at b.
struct Stretch {
    a: f64,
    b: f64,
    wa: f64,
    wb: f64,
}

impl Stretch {
    fn force(&self) -> f64 {
        (self.wa + self.wb) / 2.0 * (self.b - self.a)
    }

    /// The moments of the load before each place: those of a cantilever that is free at a.
    fn hanging(&self) -> Piece {
        let square = (self.b - self.a) * (self.b - self.a);
        let c = [0.0, 0.0, -self.wa * square / 2.0, -(self.wb - self.wa) * square / 6.0];
        Piece { from_m: self.a, to_m: self.b, c }
    }

    fn mirrored(&self) -> Self {
        Self { a: self.a, b: self.b, wa: self.wb, wb: self.wa }
    }
}
