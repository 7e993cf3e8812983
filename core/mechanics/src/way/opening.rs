//! A box or a rod through an opening, in the attitudes in which it may hang or lie.

use super::rectangle::fits_turned;
use crate::misfit::{Argument, Misfit, not_negative, positive};

/// An edge of a box, by its place in `[length, width, height]`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Edge {
    /// The first.
    Length,
    /// The second.
    Width,
    /// The third.
    Height,
}

/// How a box is carried.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Attitude {
    /// The edge along the travel through a wall; not asked for a floor, through which the upright edge goes first.
    pub along: Edge,
    /// The edge that stands upright.
    pub up: Edge,
    /// Height of the sling above the box, mm; 0 on a trolley or table.
    pub sling_mm: f64,
}

/// The clear shape of an opening.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Opening {
    /// A rectangle; in a floor, width and height are its two sides.
    Rectangle {
        /// Clear width, mm.
        width_mm: f64,
        /// Clear height, mm.
        height_mm: f64,
    },
    /// A circle.
    Round {
        /// Clear diameter, mm.
        diameter_mm: f64,
    },
}

/// How a box goes through a wall.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WallFit {
    /// Position in the list of attitudes.
    pub attitude: usize,
    /// Width that is left in all, mm; for a round opening, what its diameter leaves of the section's diagonal. Negative where it does not fit.
    pub spare_width_mm: f64,
    /// Height that is left in all, with the sling, mm; for a round opening the same as the width.
    pub spare_height_mm: f64,
}

/// How a box goes through a floor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FloorFit {
    /// Position in the list of attitudes.
    pub attitude: usize,
    /// The lesser of what is left in the two directions, in all, mm, the box square to the opening; negative where it does not fit so.
    pub spare_mm: f64,
    /// Whether it goes through, square to the opening or turned about the plumb line.
    pub passes: bool,
    /// Room above the floor that the box with its sling takes, mm.
    pub headroom_mm: f64,
}

impl Edge {
    fn index(self) -> usize {
        match self {
            Self::Length => 0,
            Self::Width => 1,
            Self::Height => 2,
        }
    }
}

impl Opening {
    fn check(&self) -> Result<(), Misfit> {
        match *self {
            Self::Rectangle { width_mm, height_mm } => {
                positive(Argument::new("width_mm"), width_mm)?;
                positive(Argument::new("height_mm"), height_mm)?;
            }
            Self::Round { diameter_mm } => {
                positive(Argument::new("diameter_mm"), diameter_mm)?;
            }
        }
        Ok(())
    }
}

fn check_box(size_mm: [f64; 3], attitudes: &[Attitude]) -> Result<(), Misfit> {
    for edge in size_mm {
        positive(Argument::new("size_mm"), edge)?;
    }
    for (index, attitude) in attitudes.iter().enumerate() {
        not_negative(Argument::of("attitudes", index, "sling_mm"), attitude.sling_mm)?;
    }
    // Without an attitude nothing is asked.
    positive(Argument::new("attitudes, count"), attitudes.len() as f64)?;
    Ok(())
}

/// Finds the attitude in which a box goes best through an opening in a wall.
///
/// # Formula
/// `width - across` and `height - (up + sling)`, or `diameter - √(across² + (up + sling)²)`; the attitude whose lesser rest is greatest.
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | across, up | edges across the travel, level and upright, of `size_mm` by [`Attitude`] | mm |
/// | sling | height of the sling, `sling_mm` | mm |
/// | width, height, diameter | the opening, [`Opening`] | mm |
///
/// # Validity
/// Level travel, square to the wall, not tilted. The sling counts over the whole width.
/// Where travel and upright edge are named the same, the attitude is upright and the lesser other edge goes across.
///
/// # Source
/// Geometry.
///
/// # Errors
/// [`Misfit`] if a length is not finite, negative or zero where it can't be, or no attitude is given.
///
/// ```
/// use restrand_mechanics::way::{box_through_wall, Attitude, Edge, Opening};
/// let level = Attitude { along: Edge::Length, up: Edge::Height, sling_mm: 350.0 };
/// let door = Opening::Rectangle { width_mm: 900.0, height_mm: 1200.0 };
/// let fit = box_through_wall([900.0, 450.0, 450.0], &[level], &door)?;
/// assert_eq!((fit.spare_width_mm, fit.spare_height_mm), (450.0, 400.0));
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn box_through_wall(
    size_mm: [f64; 3],
    attitudes: &[Attitude],
    opening: &Opening,
) -> Result<WallFit, Misfit> {
    check_box(size_mm, attitudes)?;
    opening.check()?;
    let fits = attitudes.iter().enumerate().map(|(index, attitude)| {
        let (along, up) = (attitude.along.index(), attitude.up.index());
        let across = (0..3)
            .filter(|edge| *edge != along && *edge != up)
            .map(|edge| size_mm[edge])
            .fold(f64::INFINITY, f64::min);
        let tall = size_mm[up] + attitude.sling_mm;
        let (spare_width_mm, spare_height_mm) = match *opening {
            Opening::Rectangle { width_mm, height_mm } => (width_mm - across, height_mm - tall),
            Opening::Round { diameter_mm } => {
                let spare = diameter_mm - across.hypot(tall);
                (spare, spare)
            }
        };
        WallFit { attitude: index, spare_width_mm, spare_height_mm }
    });
    let lesser = |fit: &WallFit| fit.spare_width_mm.min(fit.spare_height_mm);
    let none = WallFit {
        attitude: 0,
        spare_width_mm: f64::NEG_INFINITY,
        spare_height_mm: f64::NEG_INFINITY,
    };
    Ok(fits.fold(none, |best, fit| if lesser(&fit) > lesser(&best) { fit } else { best }))
}

/// Finds the attitude in which a box goes best through an opening in a floor, hung plumb.
///
/// # Formula
/// With p, q the two edges that do not stand upright: the greater of `min(w - p, h - q)` and `min(w - q, h - p)`, or `D - √(p² + q²)`;
/// turned, by [`fits_turned`]. Headroom is `up + sling`.
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | p, q, up | edges, of `size_mm` by [`Attitude::up`] | mm |
/// | sling | height of the sling, `sling_mm` | mm |
/// | w, h, D | the opening, [`Opening`] | mm |
///
/// # Validity
/// Plumb travel of a level box. Of attitudes that pass, the one with the most spare; among those that only pass turned, likewise.
///
/// # Source
/// Geometry.
///
/// # Errors
/// [`Misfit`] if a length is not finite, negative or zero where it can't be, or no attitude is given.
///
/// ```
/// use restrand_mechanics::way::{box_through_floor, Attitude, Edge, Opening};
/// let upright = Attitude { along: Edge::Length, up: Edge::Length, sling_mm: 350.0 };
/// let hatch = Opening::Rectangle { width_mm: 1200.0, height_mm: 1000.0 };
/// let fit = box_through_floor([900.0, 450.0, 450.0], &[upright], &hatch)?;
/// assert!(fit.passes);
/// assert_eq!((fit.spare_mm, fit.headroom_mm), (550.0, 1250.0));
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn box_through_floor(
    size_mm: [f64; 3],
    attitudes: &[Attitude],
    opening: &Opening,
) -> Result<FloorFit, Misfit> {
    check_box(size_mm, attitudes)?;
    opening.check()?;
    let mut best: Option<FloorFit> = None;
    for (index, attitude) in attitudes.iter().enumerate() {
        let up = attitude.up.index();
        let (p, q) = (size_mm[(up + 1) % 3], size_mm[(up + 2) % 3]);
        let (spare_mm, passes) = match *opening {
            Opening::Rectangle { width_mm, height_mm } => {
                let one = (width_mm - p).min(height_mm - q);
                let other = (width_mm - q).min(height_mm - p);
                (one.max(other), fits_turned([p, q], [width_mm, height_mm])?)
            }
            Opening::Round { diameter_mm } => {
                let spare = diameter_mm - p.hypot(q);
                (spare, spare >= 0.0)
            }
        };
        let fit = FloorFit {
            attitude: index,
            spare_mm,
            passes,
            headroom_mm: size_mm[up] + attitude.sling_mm,
        };
        let better =
            |so_far: &FloorFit| (fit.passes, fit.spare_mm) > (so_far.passes, so_far.spare_mm);
        if best.as_ref().is_none_or(better) {
            best = Some(fit);
        }
    }
    // The count of attitudes was checked.
    best.ok_or(Misfit::NotPositive { argument: Argument::new("attitudes, count"), value: 0.0 })
}

/// Returns the longest rod that is fed straight through an opening between two bays; `None` where it is too thick for it.
///
/// # Formula
/// `L = min(one, other)`, if `d <= min(width, height)`, or `d <= diameter`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | one, other | clear lengths of the two bays in line with the opening, `one_bay_mm`, `other_bay_mm` | mm |
/// | d | the rod's diameter, with the gaps that are asked, `diameter_mm` | mm |
/// | width, height, diameter | the opening, [`Opening`] | mm |
///
/// # Validity
/// The rod lies in line with the opening in the one bay, and lies so in the other. Fed askew, it may be longer:
/// [`longest_through_slot`](super::longest_through_slot).
///
/// # Source
/// Geometry.
///
/// # Errors
/// [`Misfit`] if a length is not greater than zero.
///
/// ```
/// use restrand_mechanics::way::{straight_feed_mm, Opening};
/// let door = Opening::Rectangle { width_mm: 900.0, height_mm: 1200.0 };
/// assert_eq!(straight_feed_mm(&door, 126.5, 15_000.0, 11_500.0)?, Some(11_500.0));
/// assert_eq!(straight_feed_mm(&door, 950.0, 15_000.0, 11_500.0)?, None);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn straight_feed_mm(
    opening: &Opening,
    diameter_mm: f64,
    one_bay_mm: f64,
    other_bay_mm: f64,
) -> Result<Option<f64>, Misfit> {
    opening.check()?;
    let diameter = positive(Argument::new("diameter_mm"), diameter_mm)?;
    let one = positive(Argument::new("one_bay_mm"), one_bay_mm)?;
    let other = positive(Argument::new("other_bay_mm"), other_bay_mm)?;
    let clear = match *opening {
        Opening::Rectangle { width_mm, height_mm } => width_mm.min(height_mm),
        Opening::Round { diameter_mm } => diameter_mm,
    };
    Ok((diameter <= clear).then(|| one.min(other)))
}
