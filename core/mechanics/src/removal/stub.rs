//! The tendon stub at an anchorage: pulled out rearward as one rigid bar, cut behind the bearing plate where room is short.

use crate::misfit::{Argument, Misfit, not_negative, number, positive};

/// The most pulls that are planned; more than this is a slip of units, not a plan.
pub const MOST_PULLS: u32 = 10_000;

/// Lengths that divide exactly must not give a piece more for the rounding of decimals.
const ROUNDING: f64 = 1e-9;

/// What the removal of one stub depends on. All lengths lie along the anchorage's axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stub {
    /// L: from the stub's rearmost point (tails, wedge plate) to the cut on the span side, mm.
    pub length_mm: f64,
    /// Free length behind the bearing-plate face, mm.
    pub behind_mm: f64,
    /// What stays free at the far end of it, mm.
    pub margin_mm: f64,
    /// What the pulling gear takes up behind the bar, mm.
    pub grip_mm: f64,
    /// From the bearing-plate face to the nearest cut that the saw can make, mm.
    pub saw_standoff_mm: f64,
    /// The shortest piece that is worth a cut, mm.
    pub piece_min_mm: f64,
    /// From the rearmost point to the end of what must stay whole, mm; 0 where everything may be cut.
    pub whole_mm: f64,
}

/// How a stub comes out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum StubVerdict {
    /// In one pull, uncut.
    InOne {
        /// What is left of the room, mm.
        spare_mm: f64,
    },
    /// In several pulls with a cut between each two.
    InPieces {
        /// n: pulls, and pieces.
        pulls: u32,
        /// n - 1.
        cuts: u32,
        /// p: length of the first piece, with the wedge plate, and of every other but the last, mm.
        piece_mm: f64,
        /// Length of the last piece, which needs no saw, mm.
        last_piece_mm: f64,
    },
    /// The room is too short for one pull, and the pieces that it allows are too short.
    PieceTooShort {
        /// p: length of the pieces that the room allows, mm; zero or less where nothing comes out at all.
        piece_mm: f64,
        /// The length that a piece must have, mm.
        needed_mm: f64,
        /// How much more room makes some plan possible, mm.
        shortfall_of_room_mm: f64,
    },
}

/// The plan for one stub.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StubPlan {
    /// r: how far the rearmost point can come behind the bearing-plate face, mm; negative where margin and grip take more than there is.
    pub room_mm: f64,
    /// What can be done with it.
    pub verdict: StubVerdict,
}

impl Stub {
    fn check(&self) -> Result<(), Misfit> {
        positive(Argument::new("length_mm"), self.length_mm)?;
        positive(Argument::new("piece_min_mm"), self.piece_min_mm)?;
        for (name, value) in [
            ("behind_mm", self.behind_mm),
            ("margin_mm", self.margin_mm),
            ("grip_mm", self.grip_mm),
            ("saw_standoff_mm", self.saw_standoff_mm),
            ("whole_mm", self.whole_mm),
        ] {
            not_negative(Argument::new(name), value)?;
        }
        Ok(())
    }

    fn needed_mm(&self) -> f64 {
        self.piece_min_mm.max(self.whole_mm)
    }

    /// The least room with which any plan works: the whole stub, or the shortest piece and the saw.
    fn least_room_mm(&self) -> f64 {
        self.length_mm.min(self.needed_mm() + self.saw_standoff_mm)
    }
}

fn at_least(value: f64, asked: f64) -> bool {
    asked - value <= ROUNDING * asked.abs().max(value.abs())
}

/// Plans the pulls and cuts by which a stub comes out rearward.
///
/// # Formula
/// `r = behind - margin - grip`; `p = r - s`
///
/// `n = 1` if `L <= r`, else `n = ⌈(L - s) / p⌉` with `n - 1` cuts, if `p >= max(piece_min, whole)`.
///
/// Each pull brings the bar's rear end to r, and the saw cuts at s from the plate: a piece of p leaves, s stays outside.
/// After n - 1 cuts what is left is at most r, and comes out without a saw. It is longer than s,
/// which stands out behind the plate, so it can be gripped there unless s is next to nothing.
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | L | rearmost point to span-side cut, `length_mm` | mm |
/// | r | room, `room_mm` | mm |
/// | s | saw stand-off, `saw_standoff_mm` | mm |
/// | p | length of a piece, `piece_mm` | mm |
/// | n | pulls | |
///
/// # Validity
/// The tendon is straight over the whole stub; wedge plate, trumpet, pipe and duct leave as one rigid bar and pass the bores.
/// Cuts are made only behind the bearing plate, at right angles; the kerf is part of the stand-off.
/// Pieces are as long as the room allows; their mass is another check. The last one may be shorter than `piece_min_mm`.
///
/// # Source
/// Derived; checked against a pull-by-pull simulation.
///
/// # Errors
/// [`Misfit`] if a length is not finite, negative, or zero where it can't be, or the plan would take more than [`MOST_PULLS`].
///
/// ```
/// use restrand_mechanics::removal::{stub_plan, Stub, StubVerdict};
/// let stub = Stub {
///     length_mm: 2600.0, behind_mm: 1500.0, margin_mm: 100.0, grip_mm: 200.0,
///     saw_standoff_mm: 150.0, piece_min_mm: 300.0, whole_mm: 700.0,
/// };
/// let plan = stub_plan(&stub)?;
/// assert_eq!(plan.room_mm, 1200.0);
/// assert_eq!(plan.verdict, StubVerdict::InPieces {
///     pulls: 3, cuts: 2, piece_mm: 1050.0, last_piece_mm: 500.0,
/// });
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn stub_plan(stub: &Stub) -> Result<StubPlan, Misfit> {
    stub.check()?;
    let room_mm = stub.behind_mm - stub.margin_mm - stub.grip_mm;
    let piece_mm = room_mm - stub.saw_standoff_mm;
    let needed_mm = stub.needed_mm();
    let verdict = if at_least(room_mm, stub.length_mm) {
        StubVerdict::InOne { spare_mm: (room_mm - stub.length_mm).max(0.0) }
    } else if at_least(piece_mm, needed_mm) {
        let pulls = pulls(stub, piece_mm)?;
        StubVerdict::InPieces {
            pulls,
            cuts: pulls - 1,
            piece_mm,
            last_piece_mm: stub.length_mm - f64::from(pulls - 1) * piece_mm,
        }
    } else {
        StubVerdict::PieceTooShort {
            piece_mm,
            needed_mm,
            shortfall_of_room_mm: stub.least_room_mm() - room_mm,
        }
    };
    Ok(StubPlan { room_mm, verdict })
}

/// ⌈(L - s) / p⌉, for a stub that does not come out in one.
fn pulls(stub: &Stub, piece_mm: f64) -> Result<u32, Misfit> {
    let share = (stub.length_mm - stub.saw_standoff_mm) / piece_mm;
    let pulls = (share - ROUNDING * share).ceil().max(2.0);
    let most = f64::from(MOST_PULLS);
    if pulls > most {
        return Err(Misfit::TooLarge {
            argument: Argument::new("length_mm"),
            value: stub.length_mm,
            most: most * piece_mm,
        });
    }
    // Between 2 and 10,000, whole.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    Ok(pulls as u32)
}

/// Returns the least free length behind the bearing plate with which a stub comes out in so many pulls or fewer.
///
/// `behind_mm` of the stub itself does not matter.
///
/// # Formula
/// `behind = margin + grip + L` for one pull, and for n ≥ 2
/// `behind = margin + grip + min(L, s + max((L - s) / n, piece_min, whole))`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | L, s | stub length, saw stand-off | mm |
/// | n | pulls, at most, `pulls` | |
///
/// # Validity
/// As [`stub_plan`], whose inverse it is.
///
/// # Source
/// Derived from `p >= (L - s) / n`.
///
/// # Errors
/// [`Misfit`] if a length is not finite, negative, or zero where it can't be, or `pulls` is 0.
///
/// ```
/// use restrand_mechanics::removal::{least_behind_mm, Stub};
/// let stub = Stub {
///     length_mm: 2600.0, behind_mm: 1500.0, margin_mm: 100.0, grip_mm: 200.0,
///     saw_standoff_mm: 150.0, piece_min_mm: 300.0, whole_mm: 700.0,
/// };
/// assert_eq!(least_behind_mm(&stub, 1)?, 2900.0);
/// assert_eq!(least_behind_mm(&stub, 2)?, 1675.0);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn least_behind_mm(stub: &Stub, pulls: u32) -> Result<f64, Misfit> {
    stub.check()?;
    let pulls = positive(Argument::new("pulls"), f64::from(pulls))?;
    let room_mm = if pulls < 2.0 {
        stub.length_mm
    } else {
        let share_mm = (stub.length_mm - stub.saw_standoff_mm) / pulls;
        stub.length_mm.min(share_mm.max(stub.needed_mm()) + stub.saw_standoff_mm)
    };
    number(Argument::new("behind_mm"), room_mm + stub.margin_mm + stub.grip_mm)
}

/// Returns the least free length behind the bearing plate with which a stub comes out at all.
///
/// `behind_mm` of the stub itself does not matter.
///
/// # Formula
/// `behind = margin + grip + min(L, s + max(piece_min, whole))`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | L, s | stub length, saw stand-off | mm |
///
/// # Validity
/// As [`stub_plan`]; the number of pulls does not matter here.
///
/// # Source
/// Derived.
///
/// # Errors
/// [`Misfit`] if a length is not finite, negative, or zero where it can't be.
///
/// ```
/// use restrand_mechanics::removal::{least_behind_for_any_mm, Stub};
/// let stub = Stub {
///     length_mm: 2600.0, behind_mm: 1500.0, margin_mm: 100.0, grip_mm: 200.0,
///     saw_standoff_mm: 150.0, piece_min_mm: 300.0, whole_mm: 700.0,
/// };
/// assert_eq!(least_behind_for_any_mm(&stub)?, 1150.0);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn least_behind_for_any_mm(stub: &Stub) -> Result<f64, Misfit> {
    stub.check()?;
    number(Argument::new("behind_mm"), stub.least_room_mm() + stub.margin_mm + stub.grip_mm)
}

// The tests' numbers are exact in binary.
#[cfg(test)]
#[allow(clippy::float_cmp)]
mod tests {
    use super::*;

    const STUB: Stub = Stub {
        length_mm: 2600.0,
        behind_mm: 1500.0,
        margin_mm: 100.0,
        grip_mm: 200.0,
        saw_standoff_mm: 150.0,
        piece_min_mm: 300.0,
        whole_mm: 700.0,
    };

    fn verdict(stub: Stub) -> StubVerdict {
        stub_plan(&stub).unwrap().verdict
    }

    #[test]
    fn a_stub_as_long_as_the_room_comes_out_in_one() {
        let stub = Stub { behind_mm: 2900.0, ..STUB };
        assert_eq!(verdict(stub), StubVerdict::InOne { spare_mm: 0.0 });
    }

    #[test]
    fn a_length_that_divides_exactly_gives_no_piece_more() {
        // 0.1 + 0.2 is a little more than 0.3, and so are sums like it.
        for pieces in 2..200_u32 {
            for piece_mm in [0.1 + 0.2, 700.1, 1050.0, 1.0 / 3.0 + 700.0] {
                let stub = Stub {
                    length_mm: 150.1 + f64::from(pieces) * piece_mm,
                    behind_mm: 150.1 + 300.0 + piece_mm,
                    saw_standoff_mm: 150.1,
                    piece_min_mm: 0.1,
                    whole_mm: 0.2,
                    ..STUB
                };
                let StubVerdict::InPieces { pulls, .. } = verdict(stub) else {
                    panic!("{stub:?} is not in pieces");
                };
                assert_eq!(pulls, pieces);
            }
        }
    }

    #[test]
    fn the_wedge_plate_and_trumpet_are_not_cut() {
        let stub = Stub { whole_mm: 1100.0, ..STUB };
        assert_eq!(
            verdict(stub),
            StubVerdict::PieceTooShort {
                piece_mm: 1050.0,
                needed_mm: 1100.0,
                shortfall_of_room_mm: 50.0
            }
        );
    }

    #[test]
    fn the_smaller_of_two_ways_out_is_the_shortfall() {
        // One pull wants 10 mm more, pieces would want 160 mm more.
        let stub = Stub { length_mm: 1210.0, whole_mm: 1210.0, ..STUB };
        assert_eq!(
            verdict(stub),
            StubVerdict::PieceTooShort {
                piece_mm: 1050.0,
                needed_mm: 1210.0,
                shortfall_of_room_mm: 10.0
            }
        );
    }

    #[test]
    fn no_room_is_told_and_not_divided_by() {
        let stub = Stub { behind_mm: 450.0, piece_min_mm: 1.0, whole_mm: 0.0, ..STUB };
        assert_eq!(
            verdict(stub),
            StubVerdict::PieceTooShort { piece_mm: 0.0, needed_mm: 1.0, shortfall_of_room_mm: 1.0 }
        );
        let stub = Stub { behind_mm: 0.0, ..STUB };
        assert_eq!(stub_plan(&stub).unwrap().room_mm, -300.0);
    }

    #[test]
    fn a_slip_of_units_is_refused() {
        let stub = Stub { length_mm: 2.6e9, ..STUB };
        assert!(stub_plan(&stub).is_err());
    }

    #[test]
    fn bad_numbers_are_refused() {
        for bad in [f64::NAN, f64::INFINITY, -1.0, 1e300] {
            for wrong in [
                Stub { length_mm: bad, ..STUB },
                Stub { behind_mm: bad, ..STUB },
                Stub { margin_mm: bad, ..STUB },
                Stub { grip_mm: bad, ..STUB },
                Stub { saw_standoff_mm: bad, ..STUB },
                Stub { piece_min_mm: bad, ..STUB },
                Stub { whole_mm: bad, ..STUB },
            ] {
                assert!(stub_plan(&wrong).is_err());
                assert!(least_behind_mm(&wrong, 2).is_err());
                assert!(least_behind_for_any_mm(&wrong).is_err());
            }
        }
        assert!(least_behind_mm(&STUB, 0).is_err());
        assert!(stub_plan(&Stub { length_mm: 0.0, ..STUB }).is_err());
    }
}
