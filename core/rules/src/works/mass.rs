//! What a tendon weighs, filled as it is.

use restrand_mechanics::SMALLEST;
use restrand_mechanics::removal::{LinearMass, TendonSection, mass_per_m};
use restrand_model::schedule::{Duct, DuctMaterial, Filler, Tendon};

use super::{Along, GROUT, POLYMER, WAX};
use crate::context::{Context, TendonAt};
use crate::filler::inside;
use crate::stressing::steel::Steel;

/// The mass of a metre of the filled tendon, where it is heaviest if its duct changes.
///
/// A filler that nobody knows counts as the heaviest.
///
/// # Errors
/// The field without which it is not known.
pub fn mass(context: &Context<'_>, at: &TendonAt<'_>) -> Result<LinearMass, &'static str> {
    mass_over(context, at, [f64::NEG_INFINITY, f64::INFINITY]).map(|over| over.heaviest)
}

/// What a stretch of a tendon weighs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MassOver {
    /// A metre of it where it is heaviest.
    pub heaviest: LinearMass,
    /// A metre of it on average, kg.
    pub mean_kg_per_m: f64,
}

/// What a stretch of a tendon between two stations weighs, m.
///
/// # Errors
/// The field without which it is not known.
pub fn mass_over(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    stations_m: [f64; 2],
) -> Result<MassOver, &'static str> {
    let lengths = context.duct_lengths(at.tendon)?;
    if let [length] = lengths.as_slice() {
        let heaviest = mass_in(context, at, length.duct.record)?;
        return Ok(MassOver { heaviest, mean_kg_per_m: heaviest.total_kg_per_m });
    }
    let along = Along::of(context, at)?;
    let mut heaviest: Option<LinearMass> = None;
    let (mut sum_kg, mut sum_m) = (0.0, 0.0);
    for length in &lengths {
        let from_m = along.at_m(length.stations_m[0].max(stations_m[0]));
        let to_m = along.at_m(length.stations_m[1].min(stations_m[1]));
        if to_m - from_m < SMALLEST {
            continue;
        }
        let linear = mass_in(context, at, length.duct.record)?;
        sum_kg += linear.total_kg_per_m * (to_m - from_m);
        sum_m += to_m - from_m;
        if heaviest.is_none_or(|so_far| so_far.total_kg_per_m < linear.total_kg_per_m) {
            heaviest = Some(linear);
        }
    }
    let heaviest = heaviest.ok_or("duct_run.from_m")?;
    Ok(MassOver { heaviest, mean_kg_per_m: sum_kg / sum_m })
}

/// The mass of a metre of the filled tendon in a duct.
pub(super) fn mass_in(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    duct: &Duct,
) -> Result<LinearMass, &'static str> {
    let steel = Steel::of(context, at.tendon)?;
    let strand = steel.strand.record;
    let density = |key| context.limit(key).value;
    let filler = filler_kg_per_m3(context, at.tendon)?;
    let (steel_mm2, taken_mm2) =
        (strand.area_mm2.ok_or("strand.area_mm2")?, inside::taken_mm2(strand)?);
    // Grease and sheath are as heavy as a polymer, within a part in ten.
    let cover_kg_per_m = (taken_mm2 - steel_mm2).max(0.0) * density(POLYMER) / 1e6;
    // A stated mass holds for any duct; of a polymer it follows from its wall.
    let stated_kg_per_m = duct.mass_kg_per_m;
    let is_polymer =
        matches!(duct.material, Some(DuctMaterial::Polyethylene | DuctMaterial::Polypropylene));
    if stated_kg_per_m.is_none() && !is_polymer {
        return Err(if duct.material.is_none() { "duct.material" } else { "duct.mass_kg_per_m" });
    }
    let mut linear = mass_per_m(&TendonSection {
        strand_count: steel.strands,
        strand_area_mm2: taken_mm2,
        strand_mass_kg_per_m: strand.mass_kg_per_m.ok_or("strand.mass_kg_per_m")? + cover_kg_per_m,
        duct_outer_mm: duct.outer_mm.ok_or("duct.outer_mm")?,
        duct_inner_mm: duct.inner_mm.ok_or("duct.inner_mm")?,
        duct_density_kg_per_m3: density(POLYMER),
        filler_density_kg_per_m3: filler,
    })
    .map_err(|_| "duct.inner_mm")?;
    if let Some(stated_kg_per_m) = stated_kg_per_m {
        linear.total_kg_per_m += stated_kg_per_m - linear.duct_kg_per_m;
        linear.duct_kg_per_m = stated_kg_per_m;
    }
    Ok(linear)
}

/// The density of what fills a tendon; one that nobody knows counts as the heaviest.
pub(super) fn filler_kg_per_m3(
    context: &Context<'_>,
    tendon: &Tendon,
) -> Result<f64, &'static str> {
    let density = |key| context.limit(key).value;
    Ok(match tendon.filler.ok_or("tendon.filler")? {
        Filler::CementGrout | Filler::Unknown => density(GROUT),
        Filler::Wax | Filler::Grease => density(WAX),
        Filler::None => 0.0,
    })
}
