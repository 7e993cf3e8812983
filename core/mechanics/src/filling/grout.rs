//! Cement grout: volume and density from its ingredients, and bags.

use crate::misfit::{Argument, Misfit, not_negative, positive};

/// The most bags that are counted; more than this is a slip of units.
pub const MOST_BAGS: u32 = 1_000_000;

/// A volume that divides exactly must not take a bag more for the rounding of decimals.
const ROUNDING: f64 = 1e-9;

/// Water and cement, by mass.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GroutMix {
    /// Water to cement, by mass.
    pub water_cement_ratio: f64,
    /// Density of the cement's grains, kg/m³.
    pub cement_density_kg_per_m3: f64,
    /// Density of the water, kg/m³.
    pub water_density_kg_per_m3: f64,
    /// Cement in one bag, kg.
    pub bag_kg: f64,
}

/// What a mix gives.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Grout {
    /// Volume from one kilogram of cement, litres.
    pub litres_per_kg: f64,
    /// Volume from one bag of cement, litres.
    pub litres_per_bag: f64,
    /// Water for one bag, kg.
    pub water_kg_per_bag: f64,
    /// Density of the grout, kg/m³.
    pub density_kg_per_m3: f64,
}

/// Whole bags for a volume.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bags {
    /// Bags, not rounded.
    pub exact: f64,
    /// Bags to open.
    pub count: u32,
    /// What they give beyond what is asked, litres.
    pub spare_litres: f64,
}

/// Returns volume and density of a neat grout from the densities of its ingredients.
///
/// # Formula
/// `v = 1000 · (1/ρc + w/ρw)`; `V = m v`; `ρ = (1 + w) / (1/ρc + w/ρw)`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | w | water to cement by mass | |
/// | ρc, ρw | densities of cement grains and water | kg/m³ |
/// | m | cement in a bag, `bag_kg` | kg |
/// | v, V | volume per kg of cement and per bag | L/kg, L |
/// | ρ | density of the grout | kg/m³ |
///
/// # Validity
/// Absolute volumes: no entrapped air, no bleed, no expansion. Admixtures by mass belong to the water or the cement that they replace.
///
/// # Source
/// Derived: mass balance.
///
/// # Errors
/// [`Misfit`] if a value is not greater than zero (the ratio may be zero).
///
/// ```
/// use restrand_mechanics::filling::{grout_by_densities, GroutMix};
/// let grout = grout_by_densities(&GroutMix {
///     water_cement_ratio: 0.40, cement_density_kg_per_m3: 3150.0,
///     water_density_kg_per_m3: 1000.0, bag_kg: 50.0,
/// })?;
/// assert!((grout.litres_per_bag - 35.87).abs() < 0.005);
/// assert!((grout.density_kg_per_m3 - 1951.0).abs() < 0.5);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn grout_by_densities(mix: &GroutMix) -> Result<Grout, Misfit> {
    let ratio = not_negative(Argument::new("water_cement_ratio"), mix.water_cement_ratio)?;
    let cement = positive(Argument::new("cement_density_kg_per_m3"), mix.cement_density_kg_per_m3)?;
    let water = positive(Argument::new("water_density_kg_per_m3"), mix.water_density_kg_per_m3)?;
    let bag_kg = positive(Argument::new("bag_kg"), mix.bag_kg)?;
    let m3_per_kg = 1.0 / cement + ratio / water;
    Ok(Grout {
        litres_per_kg: 1000.0 * m3_per_kg,
        litres_per_bag: 1000.0 * m3_per_kg * bag_kg,
        water_kg_per_bag: ratio * bag_kg,
        density_kg_per_m3: (1.0 + ratio) / m3_per_kg,
    })
}

/// Returns the volume that a bag and its water give, by the density measured on the mixed grout.
///
/// # Formula
/// `V = 1000 · (m + w) / ρ`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | m, w | mass of the bag and of its water | kg |
/// | ρ | density of the grout, `density_kg_per_m3` | kg/m³ |
/// | V | volume | L |
///
/// # Validity
/// Whatever the bag holds, so for bagged grouts too, whose ingredients are not told.
///
/// # Source
/// Derived: mass balance.
///
/// # Errors
/// [`Misfit`] if the bag or the density is not greater than zero, or the water is negative.
///
/// ```
/// use restrand_mechanics::filling::litres_by_density;
/// assert!((litres_by_density(25.0, 8.0, 2000.0)? - 16.5).abs() < 1e-12);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn litres_by_density(
    bag_kg: f64,
    water_kg: f64,
    density_kg_per_m3: f64,
) -> Result<f64, Misfit> {
    let bag = positive(Argument::new("bag_kg"), bag_kg)?;
    let water = not_negative(Argument::new("water_kg"), water_kg)?;
    let density = positive(Argument::new("density_kg_per_m3"), density_kg_per_m3)?;
    Ok(1000.0 * (bag + water) / density)
}

/// Returns how many bags a volume takes.
///
/// # Formula
/// `n = ⌈V / v⌉`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | V | volume to be mixed, `litres` | L |
/// | v | volume from one bag, `litres_per_bag` | L |
/// | n | bags | |
///
/// # Validity
/// Whole bags; waste and hoses belong into the volume.
///
/// # Source
/// Arithmetic.
///
/// # Errors
/// [`Misfit`] if a volume is not greater than zero, or it would take more than [`MOST_BAGS`].
///
/// ```
/// use restrand_mechanics::filling::bags;
/// let told = bags(373.0, 35.87)?;
/// assert_eq!(told.count, 11);
/// assert!((told.exact - 10.4).abs() < 0.05);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn bags(litres: f64, litres_per_bag: f64) -> Result<Bags, Misfit> {
    let litres = positive(Argument::new("litres"), litres)?;
    let each = positive(Argument::new("litres_per_bag"), litres_per_bag)?;
    let exact = litres / each;
    let count = (exact - ROUNDING * exact).ceil().max(1.0);
    let most = f64::from(MOST_BAGS);
    if count > most {
        let argument = Argument::new("litres");
        return Err(Misfit::TooLarge { argument, value: litres, most: most * each });
    }
    let spare_litres = (count * each - litres).max(0.0);
    // Between 1 and a million, whole.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    Ok(Bags { exact, count: count as u32, spare_litres })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_volume_that_divides_exactly_takes_no_bag_more() {
        for count in 1..200_u32 {
            assert_eq!(bags(f64::from(count) * (0.1 + 0.2), 0.3).unwrap().count, count);
        }
        assert!(bags(1e9, 1e-3).is_err());
        let most = f64::from(MOST_BAGS);
        assert_eq!(bags(most * 0.5, 0.5).unwrap().count, MOST_BAGS);
        assert!(bags(most * 0.5 + 0.5, 0.5).is_err());
    }

    #[test]
    fn both_ways_to_the_volume_of_a_bag_agree() {
        let grout = grout_by_densities(&GroutMix {
            water_cement_ratio: 0.45,
            cement_density_kg_per_m3: 3150.0,
            water_density_kg_per_m3: 1000.0,
            bag_kg: 50.0,
        })
        .unwrap();
        let again = litres_by_density(50.0, grout.water_kg_per_bag, grout.density_kg_per_m3);
        assert!((again.unwrap() - grout.litres_per_bag).abs() < 1e-9);
    }
}
