//! Anchor set: the end goes in by a length when the wedges seat, and the stress comes down until that length is taken up.

use super::diagram::growth;
use super::front::Act;
use super::{End, Reach, StressDiagram};
use crate::misfit::{Argument, Misfit, not_negative, positive};

/// An end that keeps no more than this share of its stress is slack: the rest is rounding.
const NOTHING: f64 = 1e-12;

/// What seating an end depends on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Seating {
    /// How far the strand goes in with its wedges, mm.
    pub set_mm: f64,
    /// E: modulus of the strand, MPa.
    pub e_mpa: f64,
}

impl StressDiagram {
    /// Seats an end: it goes in by the set, and friction, reversed, holds the drop within a zone.
    ///
    /// # Formula
    /// `σ_new(x) = min(σ_old(x), σ0'·e^κ)`, κ counted from that end, with σ0' such that `∫(σ_old - σ_new) dx = E·s / 1000`
    ///
    /// The drop is summed piece by piece from the end while σ0' comes down:
    /// over a part without friction it is even; a step holds until its two sides have changed round;
    /// in a piece that falls from the end by `v = 1 - e^-t`, it grows by `(q - B)·v² + 2B·v`,
    /// where `B = σ0'·∫e^κ dx` over what has slid and `q = σ·l/Δκ`. So σ0' is the root of a quadratic at most.
    ///
    /// # Symbols
    /// | symbol | meaning | unit |
    /// |---|---|---|
    /// | s | set, `set_mm` | mm |
    /// | E | modulus of the strand, `e_mpa` | MPa |
    /// | σ0' | stress at the end afterwards, [`Reach::end_mpa`] | MPa |
    /// | κ | friction exponent | |
    /// | σ, l, Δκ | stress at the near end of a piece, its length and exponent | MPa, m, 1 |
    ///
    /// # Validity
    /// The other end is held in place; friction is the same both ways; the strand is elastic.
    /// The zone may pass steps and changes of slope, reach the zone of the other end, or take in the whole tendon.
    /// Where the other end is seated later, its own set comes on top: order matters where zones overlap.
    /// A zone that takes in the whole tendon ends at the other end, and that end's stress comes down too.
    ///
    /// # Source
    /// Derived: equilibrium with Coulomb friction; checked against a fine grid and against a relaxation of slipping nodes.
    ///
    /// # Errors
    /// [`Misfit`] if a number cannot be right, or the set is as much as the tendon is stretched by or more, so that it would go slack;
    /// the diagram is then unchanged.
    ///
    /// ```
    /// use restrand_mechanics::friction::{profile, End, Run, Seating, StressDiagram, Wobble};
    /// let free = Run { length_m: 15.0, angle_rad: 0.0, inadvertent_rad: 0.0, mu: 0.2, wobble: Wobble::None };
    /// let deviator = Run { length_m: 0.0, angle_rad: 0.15, ..free };
    /// let middle = Run { length_m: 20.0, ..free };
    /// let tendon = profile(&[free, deviator, middle, deviator, free])?;
    /// let mut stress = StressDiagram::jacked(&tendon, End::A, 1395.0)?;
    /// let reach = stress.seat(End::A, Seating { set_mm: 8.0, e_mpa: 195_000.0 })?;
    /// // The first deviator slips back, the second holds.
    /// assert!((reach.end_mpa - 1304.17).abs() < 0.005);
    /// assert_eq!((reach.at_m, reach.run), (35.0, 3));
    /// assert!((reach.change_mpa_m + 195_000.0 * 0.008).abs() < 1e-9);
    /// # Ok::<(), restrand_mechanics::Misfit>(())
    /// ```
    pub fn seat(&mut self, end: End, seating: Seating) -> Result<Reach, Misfit> {
        let set_mm = not_negative(Argument::new("set_mm"), seating.set_mm)?;
        let e_mpa = positive(Argument::new("e_mpa"), seating.e_mpa)?;
        let stress = self.stress_after_set(end, e_mpa * set_mm / 1000.0);
        if set_mm > 0.0 && stress <= NOTHING * self.end_mpa(end) {
            return Err(Misfit::NotBelow {
                argument: Argument::new("set_mm"),
                value: set_mm,
                ceiling: self.whole_mpa_m() / e_mpa * 1000.0,
                ceiling_is: "what the tendon is stretched by",
            });
        }
        Ok(self.advance(end, stress, Act::LetIn))
    }

    /// σ0' for a loss of ∫σ dx; nothing or less where that is more than there is.
    fn stress_after_set(&self, end: End, lost_mpa_m: f64) -> f64 {
        // What is left to be lost; σ0' for what has been; and ∫e^κ dx over what has slid.
        let mut rest = lost_mpa_m;
        let mut stress = self.end_mpa(end);
        let mut slid_m = 0.0;
        let mut near_factor = 1.0;
        if rest <= 0.0 {
            return stress;
        }
        let end_exponent = self.points[self.index(end, 0)].exponent;
        for k in 0..self.pieces() {
            let piece = self.piece(end, k);
            let length_m = piece.length_m();
            let exponent = piece.exponent();
            let far_factor = if exponent > 0.0 {
                (piece.far.exponent - end_exponent).abs().exp()
            } else {
                near_factor
            };
            // With this stress at the end the zone ends at the far end of the piece.
            let stress_there = (piece.far.stress_mpa / far_factor).min(stress);
            if length_m <= 0.0 {
                let held = (stress - stress_there) * slid_m;
                if held >= rest {
                    return stress - rest / slid_m;
                }
                rest -= held;
                stress = stress_there;
            } else if exponent > 0.0 && !piece.rises {
                let slid = stress * slid_m;
                let steep = piece.near.stress_mpa * length_m / exponent;
                let most = -(-exponent).exp_m1();
                let all = most * ((steep - slid) * most + 2.0 * slid);
                if all >= rest {
                    // The root that keeps its digits, of (q - B)·v² + 2B·v = rest.
                    let root = (slid * slid + (steep - slid) * rest).max(0.0).sqrt();
                    // Where even the divisor is too small to be told from nothing, so is what is lost.
                    let divisor = slid + root;
                    let fallen = if divisor > 0.0 { (rest / divisor).min(most) } else { 0.0 };
                    return stress * (1.0 - fallen) * (1.0 - fallen);
                }
                rest -= all;
                stress = stress_there;
            }
            // What is without friction, or rises already, slides along before the end has come down any further.
            slid_m += near_factor * length_m * growth(exponent);
            near_factor = far_factor;
        }
        stress - rest / slid_m
    }
}

// The tests' numbers are exact in binary.
#[cfg(test)]
#[allow(clippy::float_cmp)]
mod tests {
    use super::super::{Run, Wobble, profile};
    use super::*;

    const FREE: Run =
        Run { length_m: 20.0, angle_rad: 0.0, inadvertent_rad: 0.0, mu: 0.2, wobble: Wobble::None };

    #[test]
    fn without_friction_the_drop_is_even() {
        let tendon = profile(&[FREE]).unwrap();
        let mut stress = StressDiagram::jacked(&tendon, End::A, 1400.0).unwrap();
        let reach = stress.seat(End::A, Seating { set_mm: 8.0, e_mpa: 200_000.0 }).unwrap();
        assert_eq!(reach.end_mpa, 1320.0);
        assert!(reach.whole && reach.at_m == 20.0);
        assert_eq!(stress.end_mpa(End::B), 1320.0);
    }

    #[test]
    fn a_set_that_would_leave_the_tendon_slack_says_how_much_is_too_much() {
        let tendon = profile(&[FREE]).unwrap();
        let mut stress = StressDiagram::jacked(&tendon, End::A, 1000.0).unwrap();
        let before = stress.clone();
        for set_mm in [100.0, 101.0] {
            let told = stress.seat(End::A, Seating { set_mm, e_mpa: 200_000.0 }).unwrap_err();
            let asked = "less than what the tendon is stretched by (100) is asked";
            assert_eq!(told.to_string(), format!("set_mm is {set_mm}: {asked}"));
        }
        assert_eq!(stress, before);
        assert!(stress.seat(End::A, Seating { set_mm: 99.0, e_mpa: 200_000.0 }).is_ok());
    }

    #[test]
    fn a_tendon_that_was_let_in_to_nothing_has_no_set_to_take() {
        let step = Run { length_m: 0.0, angle_rad: 0.2, ..FREE };
        let tendon = profile(&[FREE, step, Run { angle_rad: 0.1, ..FREE }]).unwrap();
        for (jacked, end) in
            [(End::A, End::A), (End::A, End::B), (End::B, End::A), (End::B, End::B)]
        {
            let mut stress = StressDiagram::jacked(&tendon, jacked, 1400.0).unwrap();
            stress.seat(jacked, Seating { set_mm: 6.0, e_mpa: 200_000.0 }).unwrap();
            let whole = stress.whole_mpa_m();
            let reach = stress.let_in(end, 0.0).unwrap();
            assert!(reach.whole && reach.end_mpa == 0.0);
            assert!((reach.change_mpa_m + whole).abs() < 1e-9);
            assert!(stress.points().iter().all(|point| point.stress_mpa == 0.0));
            assert_eq!(stress.integral_mpa_m(0.0, 40.0).unwrap(), 0.0);
            assert_eq!((stress.greatest().stress_mpa, stress.greatest().to_m), (0.0, 40.0));
            // Nothing more comes off, and it can be stressed anew.
            assert_eq!(stress.let_in(end, 0.0).unwrap().change_mpa_m, 0.0);
            assert!(stress.seat(end, Seating { set_mm: 0.0, e_mpa: 200_000.0 }).is_ok());
            let told = stress.seat(end, Seating { set_mm: 1.0, e_mpa: 200_000.0 }).unwrap_err();
            assert!(told.to_string().ends_with("stretched by (0) is asked"), "{told}");
            stress.jack(jacked, 1400.0).unwrap();
            assert_eq!(stress, StressDiagram::jacked(&tendon, jacked, 1400.0).unwrap());
        }
    }

    #[test]
    fn an_act_that_just_reaches_the_end_of_a_piece_ends_there() {
        // Whether rounding makes the two curves cross before, at or beyond the far end.
        for step in 1..200 {
            let exponent = f64::from(step) * 0.0037;
            let curved = Run { angle_rad: exponent / 0.2, ..FREE };
            let tendon = profile(&[curved, Run { angle_rad: 0.9, ..FREE }]).unwrap();
            let mut stress = StressDiagram::jacked(&tendon, End::A, 1400.0).unwrap();
            let before_mpa_m = stress.integral_mpa_m(0.0, 20.0).unwrap();
            let down_mpa = 1400.0 * (-2.0 * exponent).exp();
            let reach = stress.let_in(End::A, down_mpa).unwrap();
            assert!((reach.at_m - 20.0).abs() < 1e-9, "{exponent}");
            let gained = stress.integral_mpa_m(0.0, 20.0).unwrap() - before_mpa_m;
            assert!((reach.change_mpa_m - gained).abs() < 1e-6);
            let far = stress.at(20.0).unwrap();
            assert!((far.towards_a_mpa / (1400.0 * (-exponent).exp()) - 1.0).abs() < 1e-12);
        }
    }

    #[test]
    fn no_set_changes_nothing() {
        let tendon = profile(&[FREE, Run { angle_rad: 0.2, ..FREE }]).unwrap();
        let mut stress = StressDiagram::jacked(&tendon, End::B, 1400.0).unwrap();
        let before = stress.clone();
        let reach = stress.seat(End::B, Seating { set_mm: 0.0, e_mpa: 200_000.0 }).unwrap();
        assert_eq!((reach.change_mpa_m, reach.at_m), (0.0, 40.0));
        assert_eq!(stress, before);
    }

    #[test]
    fn bad_numbers_are_refused() {
        let tendon = profile(&[FREE]).unwrap();
        let mut stress = StressDiagram::jacked(&tendon, End::A, 1400.0).unwrap();
        for bad in [f64::NAN, f64::INFINITY, -1.0] {
            assert!(stress.seat(End::A, Seating { set_mm: bad, e_mpa: 2e5 }).is_err());
            assert!(stress.seat(End::A, Seating { set_mm: 6.0, e_mpa: bad }).is_err());
            assert!(stress.jack(End::A, bad).is_err());
            assert!(stress.let_in(End::A, bad).is_err());
            assert!(StressDiagram::jacked(&tendon, End::A, bad).is_err());
            assert!(stress.at(bad).is_err());
            assert!(stress.integral_mpa_m(0.0, bad).is_err());
        }
        assert!(stress.integral_mpa_m(2.0, 1.0).is_err());
    }
}
