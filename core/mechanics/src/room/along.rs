//! Room along the anchorage's axis: for the jack in its three cases, and for a cap.

use crate::misfit::{Argument, Misfit, not_negative, number, positive, within};

/// What the jack's room depends on. All lengths lie along the anchorage's axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct JackLengths {
    /// From the bearing-plate face to the rear of the wedge plate, or to where else the jack's nose stands, mm.
    pub head_rear_mm: f64,
    /// Tail of the strands past the wedge plate before stressing, mm.
    pub tail_mm: f64,
    /// How far the tail is drawn back in all strokes together, mm: the reading at this jack,
    /// [`Elongation::at_jack_mm`](crate::elongation::Elongation::at_jack_mm).
    pub elongation_at_jack_mm: f64,
    /// What the tail has grown by when the jack comes off, mm:
    /// [`Elongation::anchored_mm`](crate::elongation::Elongation::anchored_mm), or 0 where it is cut before.
    pub tail_grown_mm: f64,
    /// Length of the jack with its piston in, mm.
    pub retracted_mm: f64,
    /// Stroke, mm.
    pub stroke_mm: f64,
    /// Room for hands and hoses behind, mm.
    pub hand_room_mm: f64,
}

/// When the jack takes its room.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum JackCase {
    /// It is threaded over the full tail from behind.
    Threading,
    /// Its piston is out.
    Stressing,
    /// It is taken off over the tail that is left.
    TakingOff,
}

/// Room for the jack, from the bearing-plate face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct JackRoom {
    /// To thread it on, mm.
    pub threading_mm: f64,
    /// To stress, mm.
    pub stressing_mm: f64,
    /// To take it off, mm.
    pub taking_off_mm: f64,
    /// The largest of the three, mm.
    pub need_mm: f64,
    /// Which one that is; of equal ones the first in time.
    pub binds: JackCase,
}

/// Returns the room that a jack takes along the axis in its three cases, and which one binds.
///
/// # Formula
/// - threading on: `h + t + J + a`
/// - stressing: `h + max(J + s, t + D) + a`
/// - taking off: `h + t + e + J + a`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | h | bearing-plate face to where the jack stands, `head_rear_mm` | mm |
/// | t | tail before stressing, `tail_mm` | mm |
/// | D | elongation at the jack, `elongation_at_jack_mm` | mm |
/// | e | growth of the tail: anchored elongation, `tail_grown_mm` | mm |
/// | J | retracted jack, `retracted_mm` | mm |
/// | s | stroke, `stroke_mm` | mm |
/// | a | hand room, `hand_room_mm` | mm |
///
/// # Validity
/// The jack goes on and off along the axis, over a tail that is not bent, gripped at the jack's rear.
/// While stressing, the tail moves back by all that is pulled, in one stroke or in several; the piston may be out by its whole stroke.
///
/// # Source
/// Derived.
///
/// # Errors
/// [`Misfit`] if a length is not finite or negative, the jack without length, the tail shrinks by more than it has,
/// or it keeps more than it was pulled by.
///
/// ```
/// use restrand_mechanics::room::{jack_room, JackCase, JackLengths};
/// let room = jack_room(&JackLengths {
///     head_rear_mm: 125.0, tail_mm: 1000.0, elongation_at_jack_mm: 274.5, tail_grown_mm: 263.0,
///     retracted_mm: 900.0, stroke_mm: 200.0, hand_room_mm: 300.0,
/// })?;
/// assert_eq!((room.threading_mm, room.stressing_mm, room.taking_off_mm), (2325.0, 1699.5, 2588.0));
/// assert_eq!(room.binds, JackCase::TakingOff);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn jack_room(lengths: &JackLengths) -> Result<JackRoom, Misfit> {
    let head = not_negative(Argument::new("head_rear_mm"), lengths.head_rear_mm)?;
    let tail = not_negative(Argument::new("tail_mm"), lengths.tail_mm)?;
    let pulled =
        not_negative(Argument::new("elongation_at_jack_mm"), lengths.elongation_at_jack_mm)?;
    let grown = number(Argument::new("tail_grown_mm"), lengths.tail_grown_mm)?;
    let jack = positive(Argument::new("retracted_mm"), lengths.retracted_mm)?;
    let stroke = not_negative(Argument::new("stroke_mm"), lengths.stroke_mm)?;
    let hand = not_negative(Argument::new("hand_room_mm"), lengths.hand_room_mm)?;
    // A tail that has slipped in altogether is no tail to take the jack off.
    within(Argument::new("tail_grown_mm"), grown, -tail, pulled)?;
    let threading_mm = head + tail + jack + hand;
    let stressing_mm = head + (jack + stroke).max(tail + pulled) + hand;
    let taking_off_mm = head + (tail + grown) + jack + hand;
    let mut most = (threading_mm, JackCase::Threading);
    for other in [(stressing_mm, JackCase::Stressing), (taking_off_mm, JackCase::TakingOff)] {
        if other.0 > most.0 {
            most = other;
        }
    }
    let (need_mm, binds) = most;
    Ok(JackRoom { threading_mm, stressing_mm, taking_off_mm, need_mm, binds })
}

/// Returns the room behind the bearing plate that a cap takes to come off over the tails.
///
/// # Formula
/// `r = k + max(0, t - o) + m`: the cap moves until its open end is past the tails.
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | k | bearing-plate face to the cap's closed end, `cap_rear_mm` | mm |
/// | o | bearing-plate face to the cap's open end, `cap_open_mm` | mm |
/// | t | bearing-plate face to the rearmost point inside the cap, `inside_rear_mm` | mm |
/// | m | margin behind, `margin_mm` | mm |
/// | r | room | mm |
///
/// # Validity
/// The cap leaves along the axis and is then moved aside.
///
/// # Source
/// Derived.
///
/// # Errors
/// [`Misfit`] if a length is not finite or negative, or the closed end is not behind the open one.
///
/// ```
/// use restrand_mechanics::room::cap_room_mm;
/// assert_eq!(cap_room_mm(0.0, 190.0, 115.0, 150.0)?, 455.0);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn cap_room_mm(
    cap_open_mm: f64,
    cap_rear_mm: f64,
    inside_rear_mm: f64,
    margin_mm: f64,
) -> Result<f64, Misfit> {
    let open = not_negative(Argument::new("cap_open_mm"), cap_open_mm)?;
    let rear = number(Argument::new("cap_rear_mm"), cap_rear_mm)?;
    crate::misfit::above(Argument::new("cap_rear_mm"), rear, open, "cap_open_mm")?;
    let inside = not_negative(Argument::new("inside_rear_mm"), inside_rear_mm)?;
    let margin = not_negative(Argument::new("margin_mm"), margin_mm)?;
    Ok(rear + (inside - open).max(0.0) + margin)
}
