//! The duct on the legs of a tendon, stretch after stretch of one width: what a tendon is in space for its neighbours.

use restrand_mechanics::path::{Leg, Point};
use restrand_mechanics::room::Cylinder;
use restrand_model::schedule::{Duct, TendonPoint};

use super::DuctLength;
use crate::context::{Context, TendonAt};

/// A stretch of a leg over which the duct is equally wide.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct DuctOnLeg<W> {
    /// The leg, by its position.
    pub(crate) leg: usize,
    /// Between which stations it lies, m.
    pub(crate) stations_m: [f64; 2],
    /// Where it begins.
    pub(crate) from: Point,
    /// Where it ends.
    pub(crate) to: Point,
    /// From there to there, m.
    pub(crate) length_m: f64,
    /// What was asked of the duct.
    pub(crate) width: W,
}

/// Which duct counts where it is not stated which of some lies there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Bound {
    /// The narrowest: no duct there takes less room.
    Narrowest,
    /// The widest: no duct there takes more.
    Widest,
}

impl Bound {
    /// Whether a width lies further out than another.
    pub(super) fn is_further(self, width_mm: f64, than_mm: f64) -> bool {
        match self {
            Self::Narrowest => width_mm < than_mm,
            Self::Widest => width_mm > than_mm,
        }
    }
}

impl Context<'_> {
    /// The legs of a tendon from end a to end b, each parted where the duct on it becomes wider or narrower.
    ///
    /// `width` says how wide a duct is taken; stretches of which it says the same are one. On a leg that stands upright
    /// where two lengths meet, either may be: it has the wider one.
    ///
    /// # Errors
    /// The field without which it is not known.
    pub(crate) fn duct_on_legs<W: PartialOrd>(
        &self,
        at: &TendonAt<'_>,
        width: impl Fn(&Duct) -> Result<W, &'static str>,
    ) -> Result<Vec<DuctOnLeg<W>>, &'static str> {
        let lengths = || self.duct_lengths(at.tendon);
        self.on_legs(at, lengths, width)
    }

    fn on_legs<'a, W: PartialOrd>(
        &self,
        at: &TendonAt<'_>,
        lengths: impl FnOnce() -> Result<Vec<DuctLength<'a>>, &'static str>,
        width: impl Fn(&Duct) -> Result<W, &'static str>,
    ) -> Result<Vec<DuctOnLeg<W>>, &'static str> {
        let legs = &self.path(at).map_err(|none| none.field())?.path.legs;
        let lengths = lengths()?;
        let mut stretches: Vec<DuctOnLeg<W>> = Vec::with_capacity(legs.len() + lengths.len() - 1);
        for (index, (leg, pair)) in legs.iter().zip(at.tendon.points.windows(2)).enumerate() {
            let station_m = |point: &TendonPoint| point.station_m.ok_or("tendon_point.station_m");
            let (from_m, to_m) = (station_m(&pair[0])?, station_m(&pair[1])?);
            let begin = stretches.len();
            for length in &lengths {
                let [low_m, high_m] =
                    [length.stations_m[0].max(from_m), length.stations_m[1].min(to_m)];
                // A leg that stands upright lies at one station, and has the duct there.
                let is_upright = from_m >= to_m;
                let shares = match is_upright {
                    false => [low_m, high_m].map(|at_m| (at_m - from_m) / (to_m - from_m)),
                    true if low_m <= high_m => [0.0, 1.0],
                    true => continue,
                };
                if shares[0] >= shares[1] {
                    continue;
                }
                let width = width(length.duct.record)?;
                let (to, length_m) =
                    (point(leg, shares[1]), leg.length_m * (shares[1] - shares[0]));
                match stretches[begin..].last_mut() {
                    Some(last) if is_upright => {
                        if width > last.width {
                            last.width = width;
                        }
                    }
                    Some(last) if last.width == width => {
                        (last.to, last.stations_m[1]) = (to, high_m);
                        last.length_m += length_m;
                    }
                    _ => stretches.push(DuctOnLeg {
                        leg: index,
                        stations_m: [low_m, high_m],
                        from: point(leg, shares[0]),
                        to,
                        length_m,
                        width,
                    }),
                }
            }
        }
        Ok(stretches)
    }

    /// The legs of a tendon as [`Self::duct_on_legs`] has them, where not every length of duct has its stations: where it
    /// is not stated which duct lies there, the narrowest or the widest that may.
    ///
    /// # Errors
    /// The field without which it is not known.
    pub(crate) fn bounded_on_legs(
        &self,
        at: &TendonAt<'_>,
        width: impl Fn(&Duct) -> Result<f64, &'static str>,
        bound: Bound,
    ) -> Result<Vec<DuctOnLeg<f64>>, &'static str> {
        self.on_legs(at, || self.bounded_lengths(at.tendon, &width, bound), &width)
    }
}

impl DuctOnLeg<f64> {
    /// The body that it is in space, where its width is its outside in mm.
    pub(crate) fn cylinder(&self) -> Cylinder {
        let [from_mm, to_mm] =
            [self.from, self.to].map(|point| [point.x_m, point.y_m, point.z_m].map(|m| m * 1000.0));
        Cylinder { from_mm, to_mm, radius_mm: self.width / 2.0 }
    }
}

/// The point of a leg at this share of it; its corners are those of its neighbours to the last digit.
fn point(leg: &Leg, share: f64) -> Point {
    let (from, to) = (leg.from, leg.to);
    if share <= 0.0 {
        return from;
    }
    if share >= 1.0 {
        return to;
    }
    let between = |one: f64, other: f64| one + (other - one) * share;
    Point {
        x_m: between(from.x_m, to.x_m),
        y_m: between(from.y_m, to.y_m),
        z_m: between(from.z_m, to.z_m),
    }
}
