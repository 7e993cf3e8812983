//! A stretch of a bending-moment diagram as a cubic.

use super::effects::Cut;

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
        self.at_share(self.share(station_m))
    }

    /// ξ; a station that is a rounding outside the stretch is at its end.
    pub(super) fn share(&self, station_m: f64) -> f64 {
        ((station_m - self.from_m) / self.length_m()).clamp(0.0, 1.0)
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
        cut.is_past(self.from_m) && !cut.is_past(self.to_m)
    }

    /// The same diagram over another stretch and from the other end.
    pub(super) fn mirrored(&self, from_m: f64, to_m: f64) -> Self {
        let [c0, c1, c2, c3] = self.c;
        let c = [c0 + c1 + c2 + c3, -c1 - 2.0 * c2 - 3.0 * c3, c2 + 3.0 * c3, -c3];
        Self { from_m, to_m, c }
    }
}
