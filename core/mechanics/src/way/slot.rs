//! A rod fed askew through a hatch in a slab, or in plan through an opening in a wall.

use std::f64::consts::FRAC_PI_2;

use super::rectangle::leaning;
use super::search::{greatest, is_nowhere_below, least, where_none_is_lacking};
use crate::misfit::{Argument, LARGEST, Misfit, positive, within};

/// An opening with parallel faces, in the section in which the rod is fed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slot {
    /// a: clear length of the opening in the section, mm.
    pub opening_mm: f64,
    /// t: thickness of the slab or wall, mm.
    pub thickness_mm: f64,
}

/// Clear room on one side of the slot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FeedRoom {
    /// H: from the slab's face to what is opposite (ceiling, ground, far wall), mm.
    pub height_mm: f64,
    /// X: along the slab, from the opening's edge behind the rod to what stands in front of it, mm.
    pub ahead_mm: f64,
    /// B: along the slab, the whole clear length in which the rod then lies, mm.
    pub length_mm: f64,
}

/// What the room on one side lets through.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FeedLimits {
    /// The longest rod by the height, while its end is still in the slot, mm.
    pub by_height_mm: f64,
    /// The longest rod by the room ahead, mm.
    pub by_ahead_mm: f64,
    /// The longest rod that lies or leans in the room, mm.
    pub by_lying_mm: f64,
}

/// What goes through a slot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Feed {
    /// φ: the flattest angle to the slab at which the rod goes through, rad.
    pub tilt_rad: f64,
    /// What the side from which it comes lets through.
    pub from: FeedLimits,
    /// What the side to which it goes lets through.
    pub to: FeedLimits,
    /// What both rooms let through while the rod stands in both, mm; `None` where one of the six limits is less.
    pub by_both_mm: Option<f64>,
    /// The least of all, mm.
    pub longest_mm: f64,
}

impl FeedLimits {
    fn least_mm(&self) -> f64 {
        self.by_height_mm.min(self.by_ahead_mm).min(self.by_lying_mm)
    }
}

/// Returns the longest rod that goes through a slot from one room into another; `None` where it is too thick for slot or rooms.
///
/// # Formula
/// In a slot of thickness T the flattest feed is `a·sin φ - T·cos φ = d`, so `φ(T) = atan(T/a) + arcsin(d / √(a² + T²))`.
///
/// - height: `L = min over T from 0 to t of (H + T) / sin φ(T)`: while the rear end rises in the slot, the rod bears on one face's rim
///   and its rear corner on the opposite wall, T below that rim; in a slab that is thin against the height the least is at T = t, `(H + t) / sin φ`;
/// - ahead: `L·cos φ + d·sin φ = X` with `L·sin φ = H`: the steepest lie when the rear end leaves the slot;
/// - lying: the longest rod that leans in `B × H`.
///
/// The slot is the same seen from the other side, so each room has its three limits, and all six hold.
/// Where a low room is above and a short one below, or the other way round, the rod must be steep at first and flat at last, and
/// between, at each angle, some place v along itself must suit both rooms and the slot at once: the seventh limit, by search.
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | a, t | the slot, [`Slot`] | mm |
/// | H, X, B | a room, [`FeedRoom`] | mm |
/// | d | diameter, `diameter_mm` | mm |
/// | φ | angle of the rod to the slab | rad |
/// | L | length | mm |
///
/// # Validity
/// The six limits are exact; the seventh is that of a rod that turns one way from the angle at which it comes to that at which it leaves,
/// and at every angle between has some v that suits. It is found by a search over the angles, to less than a thousandth of a percent.
/// Rigid, with square ends, in one plane along an edge of the opening; longer than the opening (a shorter piece may go through level, hung).
/// On both sides the rod comes and goes to one direction: from the left below to the right above.
/// For a wall in plan, height is the bay's length across the wall and ahead the room along it.
///
/// # Source
/// Derived; checked against a search over all places and angles.
///
/// # Errors
/// [`Misfit`] if a length is not greater than zero, or a room is shorter along the slab than the opening.
///
/// ```
/// use restrand_mechanics::way::{longest_through_slot, FeedRoom, Slot};
/// let hatch = Slot { opening_mm: 1200.0, thickness_mm: 250.0 };
/// let field = FeedRoom { height_mm: 6000.0, ahead_mm: 1e6, length_mm: 1e6 };
/// let bay = FeedRoom { height_mm: 2400.0, ahead_mm: 8600.0, length_mm: 16_000.0 };
/// let feed = longest_through_slot(&hatch, 126.5, &field, &bay)?.expect("it is thin");
/// assert!((feed.tilt_rad - 0.309).abs() < 0.0005);
/// assert!((feed.longest_mm - 8720.0).abs() < 5.0);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn longest_through_slot(
    slot: &Slot,
    diameter_mm: f64,
    from: &FeedRoom,
    to: &FeedRoom,
) -> Result<Option<Feed>, Misfit> {
    let opening = positive(Argument::new("opening_mm"), slot.opening_mm)?;
    let thickness = positive(Argument::new("thickness_mm"), slot.thickness_mm)?;
    let diameter = positive(Argument::new("diameter_mm"), diameter_mm)?;
    for ([height, ahead, length], room) in [
        (["from.height_mm", "from.ahead_mm", "from.length_mm"], from),
        (["to.height_mm", "to.ahead_mm", "to.length_mm"], to),
    ] {
        positive(Argument::new(height), room.height_mm)?;
        // The room lies before the whole opening.
        within(Argument::new(ahead), room.ahead_mm, opening, LARGEST)?;
        within(Argument::new(length), room.length_mm, opening, LARGEST)?;
    }
    if diameter > opening {
        return Ok(None);
    }
    let limits = |room: &FeedRoom| {
        Some(FeedLimits {
            by_height_mm: least(0.0, thickness, |at| {
                (room.height_mm + at) / sin_flattest(opening, at, diameter)
            }),
            by_ahead_mm: by_ahead_mm(room, diameter),
            by_lying_mm: leaning(room.length_mm, room.height_mm, diameter)?,
        })
    };
    let (Some(from_limits), Some(to_limits)) = (limits(from), limits(to)) else {
        return Ok(None);
    };
    let alone = from_limits.least_mm().min(to_limits.least_mm());
    let crossing =
        Crossing { slot, diameter, flattest: flattest_rad(opening, thickness, diameter), from, to };
    let longest_mm = greatest(alone, |length| crossing.suits(length));
    Ok((longest_mm > 0.0).then_some(Feed {
        tilt_rad: crossing.flattest,
        from: from_limits,
        to: to_limits,
        by_both_mm: (longest_mm < alone).then_some(longest_mm),
        longest_mm,
    }))
}

/// φ of the formula, rad, in a slot of an opening and a thickness.
fn flattest_rad(opening: f64, thickness: f64, diameter: f64) -> f64 {
    let across = opening.hypot(thickness);
    thickness.atan2(opening) + (diameter / across).min(1.0).asin()
}

/// Its sine, without the angle: a scan asks for many.
fn sin_flattest(opening: f64, thickness: f64, diameter: f64) -> f64 {
    let across_squared = opening * opening + thickness * thickness;
    // An opening that the rod just fills leaves nothing but rounding.
    let play = (across_squared - diameter * diameter).max(0.0).sqrt();
    (thickness * play + opening * diameter) / across_squared
}

/// A rod that stands in the slot and in both rooms.
struct Crossing<'a> {
    slot: &'a Slot,
    diameter: f64,
    flattest: f64,
    from: &'a FeedRoom,
    to: &'a FeedRoom,
}

/// A limit to where the rod may lie across itself, straight in v: `(at + by_v·v) / divisor`.
#[derive(Clone, Copy)]
struct Limit {
    at: f64,
    by_v: f64,
    divisor: f64,
}

impl Crossing<'_> {
    /// Whether a rod of a length goes from standing in one room to standing in the other without losing its play on the way.
    fn suits(&self, length: f64) -> bool {
        let end = |share: f64| {
            where_none_is_lacking(self.flattest, FRAC_PI_2, |angle| self.lack(length, share, angle))
        };
        let (Some(first), Some(last)) = (end(0.0), end(1.0)) else {
            return false;
        };
        // Turned from the one angle to the other, it must at every angle have some place that suits.
        let spare = |angle: f64| -self.lack_of_places_mm(length, angle);
        is_nowhere_below(-1e-9 * length, first.min(last), first.max(last), spare)
    }

    /// How far the rod reaches when it stands in both rooms: the most that v can be; 0 or less where it never does.
    fn most_v_mm(&self, length: f64, angle: f64) -> f64 {
        let (sin, cos) = angle.sin_cos();
        length - self.slot.opening_mm * cos - self.slot.thickness_mm * sin
    }

    /// What the rod lacks of play across itself at a share of its way; 0 or less where it has some.
    fn lack(&self, length: f64, share: f64, angle: f64) -> f64 {
        let most_v = self.most_v_mm(length, angle);
        if most_v <= 0.0 {
            return -1.0;
        }
        let lacks = self.plays(length, angle).map(|(at, by_v)| -(at + by_v * share * most_v));
        lacks.into_iter().fold(f64::NEG_INFINITY, f64::max)
    }

    /// By how much the places that each two limits leave at an angle miss each other; 0 or less where some v suits all of them.
    fn lack_of_places_mm(&self, length: f64, angle: f64) -> f64 {
        let most_v = self.most_v_mm(length, angle);
        if most_v <= 0.0 {
            return -1.0;
        }
        let (mut low, mut high) = (0.0_f64, most_v);
        for (at, by_v) in self.plays(length, angle) {
            if by_v < 0.0 {
                high = high.min(at / -by_v);
            } else if by_v > 0.0 {
                low = low.max(-at / by_v);
            } else if at < 0.0 {
                return f64::INFINITY;
            }
        }
        low - high
    }

    /// The play between each lower and each upper limit, times both divisors: at v = 0, and by v.
    ///
    /// The near rim, on the side from which the rod comes, is the origin, and the rod rises to the right; v is how much of its upper edge
    /// is not yet past that rim. From there to the far rim is `a·cos φ + t·sin φ` along it, so that with the most v its front end
    /// has just reached the far rim, and with 0 its rear end leaves the near one.
    fn plays(&self, length: f64, angle: f64) -> [(f64, f64); 9] {
        let (sin, cos) = angle.sin_cos();
        let (a, t, d) = (self.slot.opening_mm, self.slot.thickness_mm, self.diameter);
        // Off the near rim; under what is opposite; short of what stands behind, which is measured from the far rim.
        let lower = [
            Limit { at: 0.0, by_v: 0.0, divisor: 1.0 },
            Limit { at: length * sin - t - self.to.height_mm, by_v: -sin, divisor: cos },
            Limit { at: a - self.from.ahead_mm, by_v: cos, divisor: sin },
        ];
        // Off the far rim; over what it comes from; short of what stands in front.
        let upper = [
            Limit { at: a * sin - t * cos - d, by_v: 0.0, divisor: 1.0 },
            Limit { at: self.from.height_mm - d * cos, by_v: -sin, divisor: cos },
            Limit { at: self.to.ahead_mm - length * cos - d * sin, by_v: cos, divisor: sin },
        ];
        // At the flattest angle the slot leaves no play, but for rounding.
        let rounding = 1e-9 * length;
        std::array::from_fn(|pair| {
            let (low, high) = (lower[pair / 3], upper[pair % 3]);
            let both = low.divisor * high.divisor;
            (
                high.at * low.divisor - low.at * high.divisor + rounding * both,
                high.by_v * low.divisor - low.by_v * high.divisor,
            )
        })
    }
}

fn by_ahead_mm(room: &FeedRoom, diameter: f64) -> f64 {
    let height = room.height_mm;
    // The rod is no longer than the diagonal of what it leans in.
    greatest(height.hypot(room.ahead_mm), |length| {
        let sin = if length > height { height / length } else { 1.0 };
        let level = ((length - height).max(0.0) * (length + height)).sqrt();
        level + diameter * sin <= room.ahead_mm
    })
}
