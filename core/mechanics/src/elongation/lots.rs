//! The strand that came is not quite the strand that was assumed: its area and modulus differ from lot to lot.

use crate::misfit::{Argument, Misfit, not_negative, positive};

/// Strands of one area and modulus in a tendon.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lot {
    /// N: number of strands.
    pub strands: u32,
    /// A: area of one strand, mm².
    pub area_mm2: f64,
    /// E: modulus, MPa.
    pub e_mpa: f64,
}

impl Lot {
    fn stiffness_n(&self, argument: impl Fn(&'static str) -> Argument) -> Result<f64, Misfit> {
        let area = positive(argument("area_mm2"), self.area_mm2)?;
        let e = positive(argument("e_mpa"), self.e_mpa)?;
        Ok(f64::from(self.strands) * area * e)
    }
}

/// Corrects a theoretical elongation for the area and modulus of the strand that came.
///
/// # Formula
/// `Δadj = Δtheo · (Ns·As·Es) / Σ(Nr·Ar·Er)`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | Δtheo | theoretical, with what was assumed, `theoretical_mm` | mm |
/// | Ns, As, Es | strands, area and modulus assumed, `assumed` | 1, mm², MPa |
/// | Nr, Ar, Er | of each lot in the tendon, `actual` | 1, mm², MPa |
///
/// # Validity
/// The jack's force is the same; all strands are drawn together, so they share it by stiffness.
///
/// # Source
/// Derived from Hooke's law.
///
/// # Errors
/// [`Misfit`] if a number is not greater than zero, or there is no strand.
///
/// ```
/// use restrand_mechanics::elongation::{corrected_for_lots_mm, Lot};
/// let assumed = Lot { strands: 19, area_mm2: 150.0, e_mpa: 195_000.0 };
/// let stiffer = Lot { e_mpa: 200_000.0, ..assumed };
/// assert!((corrected_for_lots_mm(200.0, &assumed, &[stiffer])? - 195.0).abs() < 1e-9);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn corrected_for_lots_mm(
    theoretical_mm: f64,
    assumed: &Lot,
    actual: &[Lot],
) -> Result<f64, Misfit> {
    let theoretical = not_negative(Argument::new("theoretical_mm"), theoretical_mm)?;
    if assumed.strands == 0 {
        let argument = Argument::new("assumed.strands");
        return Err(Misfit::NotPositive { argument, value: 0.0 });
    }
    let before = assumed.stiffness_n(Argument::new)?;
    let mut now = 0.0;
    for (index, lot) in actual.iter().enumerate() {
        now += lot.stiffness_n(|name| Argument::of("actual", index, name))?;
    }
    if now <= 0.0 {
        return Err(Misfit::NotPositive { argument: Argument::new("actual.strands"), value: 0.0 });
    }
    Ok(theoretical * (before / now))
}
