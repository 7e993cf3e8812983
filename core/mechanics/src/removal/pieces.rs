//! The mass of a tendon by length, and the pieces into which its free lengths are cut.

use std::f64::consts::PI;

use crate::misfit::{Argument, Misfit, above, not_negative, number, positive};

/// The most pieces that are planned; more than this is a slip of units.
pub const MOST_PIECES: u32 = 100_000;

/// A length that divides exactly must not give a piece more for the rounding of decimals.
const ROUNDING: f64 = 1e-9;

/// What a metre of filled tendon is made of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TendonSection {
    /// How many strands.
    pub strand_count: u32,
    /// Area of one strand, mm².
    pub strand_area_mm2: f64,
    /// Mass of one strand, kg/m.
    pub strand_mass_kg_per_m: f64,
    /// Outside diameter of the duct, mm.
    pub duct_outer_mm: f64,
    /// Inside diameter of the duct, mm.
    pub duct_inner_mm: f64,
    /// Density of the duct's material, kg/m³.
    pub duct_density_kg_per_m3: f64,
    /// Density of the filler, kg/m³; 0 where there is none.
    pub filler_density_kg_per_m3: f64,
}

/// The mass of one metre of tendon.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LinearMass {
    /// Strands, kg/m.
    pub steel_kg_per_m: f64,
    /// Filler, kg/m.
    pub filler_kg_per_m: f64,
    /// Duct, kg/m.
    pub duct_kg_per_m: f64,
    /// All together, kg/m.
    pub total_kg_per_m: f64,
}

/// Equal pieces of one length.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pieces {
    /// How many.
    pub count: u32,
    /// Length of each, m.
    pub each_m: f64,
}

/// Returns the mass of one metre of filled tendon.
///
/// # Formula
/// `m = n ms + (π/4 · d² - n A) ρf / 10⁶ + π/4 (D² - d²) ρd / 10⁶`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | n, A, ms | strands, area and mass of one | , mm², kg/m |
/// | D, d | outside and inside diameter of the duct | mm |
/// | ρf, ρd | densities of filler and duct | kg/m³ |
///
/// # Validity
/// The duct full of filler, which is the heaviest it can be; joints and clamps come on top of a piece.
///
/// # Source
/// Geometry.
///
/// # Errors
/// [`Misfit`] if a value is not greater than zero (the filler's density may be zero), the duct has no wall, or the steel fills it.
///
/// ```
/// use restrand_mechanics::removal::{mass_per_m, TendonSection};
/// let mass = mass_per_m(&TendonSection {
///     strand_count: 19, strand_area_mm2: 150.0, strand_mass_kg_per_m: 1.172,
///     duct_outer_mm: 125.0, duct_inner_mm: 110.2, duct_density_kg_per_m3: 950.0,
///     filler_density_kg_per_m3: 2000.0,
/// })?;
/// assert!((mass.total_kg_per_m - 38.24).abs() < 0.005);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn mass_per_m(section: &TendonSection) -> Result<LinearMass, Misfit> {
    let count = positive(Argument::new("strand_count"), f64::from(section.strand_count))?;
    let area = positive(Argument::new("strand_area_mm2"), section.strand_area_mm2)?;
    let mass = positive(Argument::new("strand_mass_kg_per_m"), section.strand_mass_kg_per_m)?;
    let outer = positive(Argument::new("duct_outer_mm"), section.duct_outer_mm)?;
    let inner = positive(Argument::new("duct_inner_mm"), section.duct_inner_mm)?;
    let duct = positive(Argument::new("duct_density_kg_per_m3"), section.duct_density_kg_per_m3)?;
    let filler =
        not_negative(Argument::new("filler_density_kg_per_m3"), section.filler_density_kg_per_m3)?;
    above(Argument::new("duct_outer_mm"), outer, inner, "duct_inner_mm")?;
    let bore_mm2 = PI / 4.0 * inner * inner;
    above(Argument::new("bore_mm2"), bore_mm2, count * area, "the steel's area")?;
    let steel_kg_per_m = count * mass;
    let filler_kg_per_m = (bore_mm2 - count * area) * filler / 1e6;
    let duct_kg_per_m = PI / 4.0 * (outer - inner) * (outer + inner) * duct / 1e6;
    Ok(LinearMass {
        steel_kg_per_m,
        filler_kg_per_m,
        duct_kg_per_m,
        total_kg_per_m: steel_kg_per_m + filler_kg_per_m + duct_kg_per_m,
    })
}

/// Returns the mass of one piece.
///
/// # Formula
/// `M = m L + Me`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | m | mass per length, `mass_kg_per_m` | kg/m |
/// | L | length, `length_m` | m |
/// | Me | joints, sleeves, plates and the like on it, `extra_kg` | kg |
///
/// # Validity
/// One section all along; add up where it changes.
///
/// # Source
/// Arithmetic.
///
/// # Errors
/// [`Misfit`] if mass or length is not greater than zero, or the extra mass is negative.
///
/// ```
/// use restrand_mechanics::removal::piece_mass_kg;
/// assert!((piece_mass_kg(38.24, 1.918, 2.0)? - 75.3).abs() < 0.05);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn piece_mass_kg(mass_kg_per_m: f64, length_m: f64, extra_kg: f64) -> Result<f64, Misfit> {
    Ok(positive(Argument::new("mass_kg_per_m"), mass_kg_per_m)?
        * positive(Argument::new("length_m"), length_m)?
        + not_negative(Argument::new("extra_kg"), extra_kg)?)
}

/// Returns the longest piece that a limit of mass allows.
///
/// # Formula
/// `L = (Mmax - Me) / m`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | Mmax | greatest mass, `most_kg` | kg |
/// | Me | joints and the like on the piece, `extra_kg` | kg |
/// | m | mass per length, `mass_kg_per_m` | kg/m |
/// | L | length | m |
///
/// # Validity
/// As [`piece_mass_kg`], whose inverse it is.
///
/// # Source
/// Arithmetic.
///
/// # Errors
/// [`Misfit`] if mass per length or limit is not greater than zero, or what is on the piece is as heavy as the limit.
///
/// ```
/// use restrand_mechanics::removal::longest_piece_m;
/// assert!((longest_piece_m(80.0, 0.0, 38.24)? - 2.09).abs() < 0.005);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn longest_piece_m(most_kg: f64, extra_kg: f64, mass_kg_per_m: f64) -> Result<f64, Misfit> {
    let most = positive(Argument::new("most_kg"), most_kg)?;
    let extra = not_negative(Argument::new("extra_kg"), extra_kg)?;
    let mass = positive(Argument::new("mass_kg_per_m"), mass_kg_per_m)?;
    above(Argument::new("most_kg"), most, extra, "extra_kg")?;
    Ok((most - extra) / mass)
}

/// Returns into how many equal pieces a length is cut so that none is longer than what is allowed.
///
/// # Formula
/// `n = ⌈L / l⌉`; each is `L / n`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | L | length to be cut up, `length_m` | m |
/// | l | longest piece, the least of what mass, way out and gear allow, `longest_m` | m |
/// | n | pieces | |
///
/// # Validity
/// Cuts anywhere; where a stretch may not be cut, cut up what is on each side of it. The kerf is left out.
///
/// # Source
/// Arithmetic.
///
/// # Errors
/// [`Misfit`] if a length is not greater than zero, or there would be more than [`MOST_PIECES`].
///
/// ```
/// use restrand_mechanics::removal::pieces;
/// let told = pieces(11.507, 2.0)?;
/// assert_eq!(told.count, 6);
/// assert!((told.each_m - 1.918).abs() < 0.0005);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn pieces(length_m: f64, longest_m: f64) -> Result<Pieces, Misfit> {
    let length = positive(Argument::new("length_m"), length_m)?;
    let longest = positive(Argument::new("longest_m"), longest_m)?;
    let share = number(Argument::new("length_m / longest_m"), length / longest)?;
    let count = (share - ROUNDING * share).ceil().max(1.0);
    let most = f64::from(MOST_PIECES);
    if count > most {
        let argument = Argument::new("length_m");
        return Err(Misfit::TooLarge { argument, value: length, most: most * longest });
    }
    // Between 1 and 100,000, whole.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    Ok(Pieces { count: count as u32, each_m: length / count })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_length_that_divides_exactly_gives_no_piece_more() {
        for count in 1..200_u32 {
            let longest = 0.1 + 0.2;
            assert_eq!(pieces(f64::from(count) * 0.3, longest).unwrap().count, count);
            assert_eq!(pieces(f64::from(count) * longest, 0.3).unwrap().count, count);
        }
        assert!(pieces(1e9, 1e-3).is_err());
        assert!(pieces(1e12, 1e-9).is_err());
    }

    #[test]
    fn the_longest_piece_has_the_greatest_mass() {
        let length_m = longest_piece_m(80.0, 4.0, 38.24).unwrap();
        assert!((piece_mass_kg(38.24, length_m, 4.0).unwrap() - 80.0).abs() < 1e-9);
        assert!(longest_piece_m(4.0, 4.0, 38.24).is_err());
    }
}
