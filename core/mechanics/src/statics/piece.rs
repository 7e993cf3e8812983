//! A stretch of a bending-moment diagram as a cubic.

use super::effects::{Cut, Side};

/// `c0 + c1 ξ + c2 ξ² + c3 ξ³`, with ξ from 0 to 1 over the stretch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Piece {
    pub(super) from_m: f64,
    pub(super) to_m: f64,
    pub(super) c: [f64; 4],
}

impl Piece {
    pub(super) fn length_m(&self) -> f64 {
        self.to_m - self.from_m
    }

    pub(super) fn at(&self, station_m: f64) -> f64 {
        self.at_share((station_m - self.from_m) / self.length_m())
    }

    pub(super) fn at_share(&self, share: f64) -> f64 {
        let [c0, c1, c2, c3] = self.c;
        c0 + share * (c1 + share * (c2 + share * c3))
    }

    /// The slope by station.
    pub(super) fn slope_at_share(&self, share: f64) -> f64 {
        let [_, c1, c2, c3] = self.c;
        (c1 + share * (2.0 * c2 + share * 3.0 * c3)) / self.length_m()
    }

    /// The second derivative by station.
    pub(super) fn bend_at_share(&self, share: f64) -> f64 {
        let [_, _, c2, c3] = self.c;
        (2.0 * c2 + 6.0 * c3 * share) / (self.length_m() * self.length_m())
    }

    /// Whether a cut goes through the piece; at a joint, the side of the cut decides.
    pub(super) fn holds(&self, cut: Cut) -> bool {
        match cut.side {
            Side::Down => self.from_m < cut.station_m && cut.station_m <= self.to_m,
            Side::Up => self.from_m <= cut.station_m && cut.station_m < self.to_m,
        }
    }

    /// The same diagram over another stretch and from the other end.
    pub(super) fn mirrored(&self, from_m: f64, to_m: f64) -> Self {
        let [c0, c1, c2, c3] = self.c;
        let c = [c0 + c1 + c2 + c3, -c1 - 2.0 * c2 - 3.0 * c3, c2 + 3.0 * c3, -c3];
        Self { from_m, to_m, c }
    }
}
