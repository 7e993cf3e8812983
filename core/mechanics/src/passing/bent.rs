//! A bent, stiff piece of a tendon in a deviator's form: whether it can be drawn out, and what room it swings through outside.

use super::Flare;
use crate::misfit::{Argument, LARGEST, Misfit, not_negative, positive, within};

mod pose;
mod way;

use pose::{Axis, Walls};
use way::{Node, Way};

/// The greatest bend that is taken, rad; a deviator bends far less.
pub const MOST_BEND_RAD: f64 = 0.6;

/// The fewest steps along the way with which a search says anything: with fewer it steps over the tight places.
pub const LEAST_TRAVEL_STEPS: u32 = 20;

/// The most poses that a search looks at.
pub const MOST_NODES: u64 = 1_000_000;

/// The greatest tilt beyond the legs' own that is tried, rad.
const MOST_TURN_RAD: f64 = 0.5;

/// A piece cut out of a tendon at a deviator: an arc with a straight leg at each side of it, in one plane.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BentPiece {
    /// Rt: radius of the tendon's axis, mm: the wall's radius and half the duct's diameter, where the duct lies on the wall.
    pub axis_radius_mm: f64,
    /// α: bend, rad; 0 to [`MOST_BEND_RAD`].
    pub bend_rad: f64,
    /// Straight length on the side to which the piece is drawn, from the arc's end to the cut, mm.
    pub leading_leg_mm: f64,
    /// Straight length on the other side, mm.
    pub trailing_leg_mm: f64,
    /// Do: outside diameter, at worst, mm.
    pub outer_mm: f64,
}

/// How finely the ways out are searched.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Search {
    /// Steps along the way, [`LEAST_TRAVEL_STEPS`] or more; the piece moves along its axis by its travel over this in each.
    pub travel_steps: u32,
    /// Steps of tilt at each place; with 0 the piece is only drawn along its own axis.
    pub tilt_steps: u32,
}

/// The room through which a piece swings outside the form.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Swing {
    /// The farthest that the piece's axis comes off the form's axis outside the form, mm.
    pub off_axis_mm: f64,
    /// Room that this takes to either side of the form's axis: half the diameter more, mm.
    pub room_mm: f64,
    /// How far from the form's face that is, mm.
    pub from_face_mm: f64,
}

/// How a bent piece passes a form.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BentPassage {
    /// The greatest radial gap that can be kept all the way, mm; negative where the piece does not come out.
    pub gap_mm: f64,
    /// The least swing among the ways that keep the gap that is asked; `None` where no way keeps it.
    pub swing: Option<Swing>,
}

impl BentPiece {
    fn check(&self) -> Result<(), Misfit> {
        positive(Argument::new("axis_radius_mm"), self.axis_radius_mm)?;
        within(Argument::new("bend_rad"), self.bend_rad, 0.0, MOST_BEND_RAD)?;
        not_negative(Argument::new("leading_leg_mm"), self.leading_leg_mm)?;
        not_negative(Argument::new("trailing_leg_mm"), self.trailing_leg_mm)?;
        positive(Argument::new("outer_mm"), self.outer_mm)?;
        Ok(())
    }

    /// Where the piece lies on the walls, when its middle is tilted so to the form's axis.
    ///
    /// A tendon that bends askew does not bend about the form's middle: its arc lies where the wall has the arc's slopes.
    fn at_rest(&self, walls: &Walls, rest_rad: f64) -> Rest {
        let half = self.bend_rad / 2.0;
        let on_arc = rest_rad.clamp(-half, half);
        let tilt_rad = rest_rad - on_arc;
        // With both legs to one side of the form's axis, a leg stands in the middle.
        let on_leg_mm = walls.where_slope_is(tilt_rad) / tilt_rad.cos();
        Rest { drawn_mm: self.axis_radius_mm * on_arc + on_leg_mm, tilt_rad }
    }

    /// The shortest leg whose cut, at rest, is so far from the form's middle on either side.
    fn least_leg_mm(&self, form: &Flare, rest_rad: f64, cut_mm: f64) -> f64 {
        let walls = Walls::new(form, self.outer_mm);
        let bare = Self { leading_leg_mm: 0.0, trailing_leg_mm: 0.0, ..*self };
        let [trailing, leading] = bare.at_rest(&walls, rest_rad).arc_ends(&bare);
        let leg = |arc_end_mm: f64, slope_rad: f64| (cut_mm - arc_end_mm) / slope_rad.cos();
        let half = self.bend_rad / 2.0;
        leg(-trailing, rest_rad - half).max(leg(leading, rest_rad + half)).max(0.0)
    }
}

/// The pose from which a piece is drawn out.
struct Rest {
    /// From mid-bend back to the point that stands in the form's middle, mm.
    drawn_mm: f64,
    /// Tilt there, rad.
    tilt_rad: f64,
}

impl Rest {
    /// Along the form's axis, the ends of the piece's arc, mm.
    fn arc_ends(&self, piece: &BentPiece) -> [f64; 2] {
        Axis::new(piece, self.drawn_mm, self.tilt_rad).arc.map(|end| end.0)
    }
}

impl Search {
    fn check(self) -> Result<(), Misfit> {
        let nodes = f64::from(self.travel_steps) * (f64::from(self.tilt_steps) + 1.0);
        let most = MOST_NODES as f64;
        let least = f64::from(LEAST_TRAVEL_STEPS);
        within(Argument::new("travel_steps"), f64::from(self.travel_steps), least, most)?;
        if nodes > most {
            let argument = Argument::new("travel_steps, times tilt_steps");
            return Err(Misfit::TooLarge { argument, value: nodes, most });
        }
        Ok(())
    }
}

/// Returns how far the middle of a bend stands off the line through equal legs' ends: what a bent piece takes up more than a straight one.
///
/// # Formula
/// `v = Rt·(1 - cos(α/2)) + l·sin(α/2)`, l the longer leg
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | Rt, α, l | the piece, [`BentPiece`] | mm, rad |
/// | v | distance of the leg's end from the tangent at mid-bend | mm |
///
/// # Validity
/// Of the axis. Drawn along the tangent at mid-bend without turning, and in the middle of the throat, no point of the axis leaves the form's axis by more.
///
/// # Source
/// Geometry.
///
/// # Errors
/// [`Misfit`] if a length or the bend cannot be right.
///
/// ```
/// use restrand_mechanics::passing::{bend_rise_mm, BentPiece};
/// let piece = BentPiece {
///     axis_radius_mm: 4062.5, bend_rad: 0.10, leading_leg_mm: 500.0, trailing_leg_mm: 500.0, outer_mm: 126.5,
/// };
/// assert!((bend_rise_mm(&piece)? - 30.07).abs() < 0.01);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn bend_rise_mm(piece: &BentPiece) -> Result<f64, Misfit> {
    piece.check()?;
    let leg = piece.leading_leg_mm.max(piece.trailing_leg_mm);
    let half = piece.bend_rad / 2.0;
    Ok(2.0 * piece.axis_radius_mm * (half / 2.0).sin().powi(2) + leg * half.sin())
}

/// Returns a gap that a bent piece keeps at least on its way out of a form, without a search.
///
/// Where it is not negative the piece passes; where it is, [`bent_passage`] tells.
///
/// # Formula
/// `g >= (Dt - Do)/2 - 2·(Lt/4·sin α + max(0, R + Do/2 - Rt)·(1 - cos(α/2)) + Lt/2·|sin τ|)`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | R, Dt, Lt | the form, [`Flare`] | mm |
/// | Rt, α, Do | the piece, [`BentPiece`] | mm, rad |
/// | τ | tilt of the piece's middle to the form's axis at rest, `rest_tilt_rad` | rad |
/// | g | gap all round | mm |
///
/// # Validity
/// Legs to either side of the form's axis that lie within the flare at rest, `|τ| <= α/2` and `|τ| + α/2 <= θf`, and of any length;
/// else the bound is minus infinity.
/// What a throat, a tighter bend and an askew rest take of the gap is counted twice, so that the bound errs to the side of "search".
///
/// # Source
/// Derived; checked against the search of [`bent_passage`].
///
/// # Errors
/// [`Misfit`] if a length or an angle cannot be right.
///
/// ```
/// use restrand_mechanics::passing::{bent_gap_at_least_mm, BentPiece, Flare};
/// let form = Flare { wall_radius_mm: 4000.0, throat_mm: 147.0, throat_length_mm: 0.0, flare_rad: 0.12 };
/// let piece = BentPiece {
///     axis_radius_mm: 4063.25, bend_rad: 0.10, leading_leg_mm: 500.0, trailing_leg_mm: 500.0, outer_mm: 126.5,
/// };
/// assert_eq!(bent_gap_at_least_mm(&form, &piece, 0.0)?, 10.25);
/// let throat = Flare { throat_length_mm: 200.0, ..form };
/// assert!((bent_gap_at_least_mm(&throat, &piece, 0.0)? - 0.27).abs() < 0.01);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn bent_gap_at_least_mm(
    form: &Flare,
    piece: &BentPiece,
    rest_tilt_rad: f64,
) -> Result<f64, Misfit> {
    form.check()?;
    piece.check()?;
    let rest =
        within(Argument::new("rest_tilt_rad"), rest_tilt_rad, -MOST_TURN_RAD, MOST_TURN_RAD)?;
    let half = piece.bend_rad / 2.0;
    if rest.abs() > half || rest.abs() + half > form.flare_rad {
        return Ok(f64::NEG_INFINITY);
    }
    let on_wall_mm = form.wall_radius_mm + piece.outer_mm / 2.0;
    let tighter_mm =
        (on_wall_mm - piece.axis_radius_mm).max(0.0) * 2.0 * (half / 2.0).sin().powi(2);
    let throat_mm = form.throat_length_mm / 4.0 * piece.bend_rad.sin();
    let askew_mm = form.throat_length_mm / 2.0 * rest.sin().abs();
    Ok((form.throat_mm - piece.outer_mm) / 2.0 - 2.0 * (throat_mm + tighter_mm + askew_mm))
}

/// Finds whether a bent piece can be drawn out of a form, with what gap, and through what room it swings.
///
/// # Formula
/// In the pose (s, τ) the walls, grown by Do/2, leave the piece's axis the play across from `-D` to `U`:
/// `U = min(û(x) - a(x))`, `D = min(û(x) + a(x))`, exactly, over the ends of each arc and line and the places of equal slope.
/// The search goes over s from rest to out, and τ at each s, by steps whose plays across overlap, and takes
/// the way whose least `g = (U + D) / 2` is greatest; then, of the ways with `g >= gap`, the one that swings least.
///
/// Where `Lt = 0` and `Rt >= R + Do/2`, the piece passes along its own axis (τ = 0) at any leg's length, with
/// `g = (Dt - Do) / 2`, which is the most that any piece has. A throat of length Lt takes about `Lt/4·sin α` of it,
/// and `Lt/4·sin(α/2)` where the piece is turned as it goes.
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | s, τ | place on the piece's axis that stands in the form's middle, from mid-bend back, and the axis's tilt there | mm, rad |
/// | û, a | the grown wall's and the piece axis's distance from the form's axis | mm |
/// | R, Dt, Lt | the form, [`Flare`] | mm |
/// | Rt, α, Do | the piece, [`BentPiece`] | mm, rad |
/// | gap | gap that is asked for the swing, `gap_mm` | mm |
///
/// # Validity
/// Piece and form's axis lie in one plane. At rest the piece lies along the wall: the point of its arc that is parallel to the form's
/// axis stands in the form's middle, `s = Rt·τr`, with τr the tilt of its middle, `rest_tilt_rad`; where both legs lean to one side,
/// `|τr| > α/2`, the arc's end stands where the wall has the leg's slope. The piece's ends count as rounded out by half its diameter, and the swing is
/// counted from one face to beyond the piece, the same room to both sides of the axis.
/// Between two steps along the way the piece may be tighter, and swing farther, than at them, so that coarse steps err to the side
/// of "passes": halve them until the result stays. Coarse steps of tilt err to the side of "does not pass", as a way
/// between them is not found.
///
/// # Source
/// Derived; checked against sampled axes and walls, the closed forms above, and straight bars.
///
/// # Errors
/// [`Misfit`] if a length or angle cannot be right, or the search has less than [`LEAST_TRAVEL_STEPS`] or more than [`MOST_NODES`].
///
/// ```
/// use restrand_mechanics::passing::{bent_passage, BentPiece, Flare, Search};
/// let form = Flare { wall_radius_mm: 4000.0, throat_mm: 147.0, throat_length_mm: 0.0, flare_rad: 0.12 };
/// let piece = BentPiece {
///     axis_radius_mm: 4063.25, bend_rad: 0.10, leading_leg_mm: 500.0, trailing_leg_mm: 500.0, outer_mm: 126.5,
/// };
/// let search = Search { travel_steps: 60, tilt_steps: 60 };
/// let found = bent_passage(&form, &piece, 0.0, 3.0, search)?;
/// assert!((found.gap_mm - 10.25).abs() < 0.01);
/// assert!(found.swing.expect("it passes").off_axis_mm < 30.0);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn bent_passage(
    form: &Flare,
    piece: &BentPiece,
    rest_tilt_rad: f64,
    gap_mm: f64,
    search: Search,
) -> Result<BentPassage, Misfit> {
    form.check()?;
    piece.check()?;
    search.check()?;
    let rest =
        within(Argument::new("rest_tilt_rad"), rest_tilt_rad, -MOST_TURN_RAD, MOST_TURN_RAD)?;
    let asked = not_negative(Argument::new("gap_mm"), gap_mm)?;
    let way = Way::new(form, piece, rest, search);
    let (tightness, _) = way.least_worst(|pose| {
        let play = pose.play();
        // A pose that clashes has no play to overlap with its neighbours'.
        let range = if play < 0.0 { (-LARGEST, LARGEST) } else { (-pose.down_mm, pose.up_mm) };
        Some(Node { range, cost: -play, at: 0.0 })
    });
    let (off_axis_mm, from_face_mm) = way.least_worst(|pose| {
        let range = (asked - pose.down_mm, pose.up_mm - asked);
        if range.0 > range.1 {
            return None;
        }
        let (cost, at) = pose.swing_mm(range);
        Some(Node { range, cost, at })
    });
    Ok(BentPassage {
        gap_mm: -tightness / 2.0,
        swing: off_axis_mm.is_finite().then_some(Swing {
            off_axis_mm,
            room_mm: off_axis_mm + piece.outer_mm / 2.0,
            from_face_mm,
        }),
    })
}

/// What there is outside a form for cutting a piece and drawing it out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outside {
    /// Room to either side of the form's axis, mm.
    pub room_mm: f64,
    /// From the form's face to a cut at least, along the form's axis, mm.
    pub saw_standoff_mm: f64,
}

/// Finds where to cut a bent piece: how long its legs may be, both alike, so that it comes out through a stated room.
///
/// `None` where even the shortest piece that can be cut outside the form does not come out.
/// What is beyond the cuts is straight and passes the form at any length, turned into its axis.
///
/// # Formula
/// The greatest l up to the piece's own legs for which [`bent_passage`] keeps `gap` and its `room` is `room_mm` or less, by halving.
/// A piece that is cut has both cuts outside the form, so that at rest, on each side i,
/// `l >= (xe + s - Rt·|sin τi|) / cos τi`, with `τi = τ ± α/2`, where the legs lie to either side of the form's axis.
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | l | leg's length, from the arc's end | mm |
/// | room | room to either side of the form's axis outside the form, [`Outside`] | mm |
/// | s | saw stand-off, [`Outside`] | mm |
/// | xe | from the form's middle to its face | mm |
/// | Rt, α, τ | radius, bend, and tilt at rest, as for [`bent_passage`] | mm, rad |
///
/// # Validity
/// As for [`bent_passage`]; the legs' own length is that of the longer one, and a piece that comes out with it is not cut.
/// A longer leg never needs less.
///
/// # Source
/// Derived.
///
/// # Errors
/// [`Misfit`] as for [`bent_passage`], or if the room or the stand-off is negative.
///
/// ```
/// use restrand_mechanics::passing::{longest_legs_mm, BentPiece, Flare, Outside, Search};
/// let form = Flare { wall_radius_mm: 4000.0, throat_mm: 147.0, throat_length_mm: 0.0, flare_rad: 0.12 };
/// let piece = BentPiece {
///     axis_radius_mm: 4063.25, bend_rad: 0.10, leading_leg_mm: 4000.0, trailing_leg_mm: 4000.0, outer_mm: 126.5,
/// };
/// let search = Search { travel_steps: 60, tilt_steps: 40 };
/// let outside = Outside { room_mm: 150.0, saw_standoff_mm: 100.0 };
/// let leg_mm = longest_legs_mm(&form, &piece, 0.0, 3.0, outside, search)?.expect("there is room");
/// assert!(leg_mm > 1000.0 && leg_mm < 3000.0);
/// // With little room the cuts would have to be in the form.
/// let narrow = Outside { room_mm: 66.0, ..outside };
/// assert_eq!(longest_legs_mm(&form, &piece, 0.0, 3.0, narrow, search)?, None);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn longest_legs_mm(
    form: &Flare,
    piece: &BentPiece,
    rest_tilt_rad: f64,
    gap_mm: f64,
    outside: Outside,
    search: Search,
) -> Result<Option<f64>, Misfit> {
    let room = not_negative(Argument::new("room_mm"), outside.room_mm)?;
    let standoff = not_negative(Argument::new("saw_standoff_mm"), outside.saw_standoff_mm)?;
    let fits = |leg_mm: f64| -> Result<bool, Misfit> {
        let cut = BentPiece { leading_leg_mm: leg_mm, trailing_leg_mm: leg_mm, ..*piece };
        let found = bent_passage(form, &cut, rest_tilt_rad, gap_mm, search)?;
        Ok(found.swing.is_some_and(|swing| swing.room_mm <= room))
    };
    piece.check()?;
    let mut no = piece.leading_leg_mm.max(piece.trailing_leg_mm);
    if fits(no)? {
        return Ok(Some(no));
    }
    let mut yes = piece.least_leg_mm(form, rest_tilt_rad, form.half_length_mm() + standoff);
    if yes > no || !fits(yes)? {
        return Ok(None);
    }
    // To a thousandth: the search itself is coarser.
    for _ in 0..10 {
        let middle = f64::midpoint(yes, no);
        if fits(middle)? { yes = middle } else { no = middle }
    }
    Ok(Some(yes))
}
