//! Standard steel pipes, and the outside diameters of polymer pipes.
//!
//! Only sizes that anchorages, deviators, external ducts, and the pipes that fill and drain them, may use.
//! Steel pipe by ASME B36.10M (ASTM A53 takes the same dimensions); polymer pipe by the iron-pipe sizes and by ISO 161-1.

use super::Evidence;
use crate::duct::{
    InnerConvention, inner_at_average_wall_mm, inner_at_minimum_wall_mm, wall_by_ratio_mm,
};
use crate::misfit::{Argument, Misfit, positive};

/// How far a stated outside diameter may be from a listed one and still name the same polymer pipe.
///
/// The nearest sizes of the two systems (88.9 and 90, 141.3 and 140) are 1.1 mm apart, and half of that is 0.55 mm.
pub const POLYMER_OUTER_RECOGNITION_MM: f64 = 0.5;

/// The wall class of a steel pipe.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Schedule {
    /// Schedule 40.
    S40,
    /// Schedule 80.
    S80,
}

/// A steel pipe as the standard lists it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SteelPipe {
    /// Nominal pipe size: a name, not a length.
    pub nominal_size: f64,
    /// Wall class.
    pub schedule: Schedule,
    /// Outside diameter, mm.
    pub outer_mm: f64,
    /// Nominal wall, mm.
    pub wall_mm: f64,
    /// Inside diameter at the nominal wall, mm.
    pub inner_mm: f64,
    /// Plain-end mass, kg/m, where a source was at hand.
    pub mass_kg_per_m: Option<f64>,
    /// Evidence for the row.
    pub evidence: Evidence,
    /// Where the row comes from.
    pub source: &'static str,
}

const B36_10: &str = "ASME B36.10M as reproduced elsewhere; inside diameter = outside - 2 wall";
const A53: &str =
    "ASTM A53 schedule 40 table as reproduced elsewhere; inside diameter = outside - 2 wall";
const A53_NPS_5: &str = "ASTM A53 schedule 40 table as reproduced elsewhere; its inside diameter of 158.2 mm is a misprint, wider than the pipe: outside - 2 wall = 128.2 mm";
const B36_10_MEMORY: &str = "ASME B36.10M, from memory; inside diameter = outside - 2 wall";

const fn steel(
    nominal_size: f64,
    schedule: Schedule,
    outer_mm: f64,
    wall_mm: f64,
    mass_kg_per_m: Option<f64>,
    evidence: Evidence,
    source: &'static str,
) -> SteelPipe {
    SteelPipe {
        nominal_size,
        schedule,
        outer_mm,
        wall_mm,
        inner_mm: outer_mm - 2.0 * wall_mm,
        mass_kg_per_m,
        evidence,
        source,
    }
}

/// The steel pipes known here, by size and then by schedule.
#[rustfmt::skip]
pub static STEEL_PIPES: [SteelPipe; 30] = [
    steel(0.5, Schedule::S40,  21.3,  2.77, None,        Evidence::Memory,    B36_10_MEMORY),
    steel(0.5, Schedule::S80,  21.3,  3.73, None,        Evidence::Memory,    B36_10_MEMORY),
    steel(0.75, Schedule::S40, 26.7,  2.87, None,        Evidence::Memory,    B36_10_MEMORY),
    steel(0.75, Schedule::S80, 26.7,  3.91, None,        Evidence::Memory,    B36_10_MEMORY),
    steel(1.0, Schedule::S40,  33.4,  3.38, None,        Evidence::Memory,    B36_10_MEMORY),
    steel(1.0, Schedule::S80,  33.4,  4.55, None,        Evidence::Memory,    B36_10_MEMORY),
    steel(1.25, Schedule::S40, 42.2,  3.56, None,        Evidence::Memory,    B36_10_MEMORY),
    steel(1.25, Schedule::S80, 42.2,  4.85, None,        Evidence::Memory,    B36_10_MEMORY),
    steel(1.5, Schedule::S40,  48.3,  3.68, None,        Evidence::Memory,    B36_10_MEMORY),
    steel(1.5, Schedule::S80,  48.3,  5.08, None,        Evidence::Memory,    B36_10_MEMORY),
    steel(2.0, Schedule::S40,  60.3,  3.91, None,        Evidence::Memory,    B36_10_MEMORY),
    steel(2.0, Schedule::S80,  60.3,  5.54, None,        Evidence::Memory,    B36_10_MEMORY),
    steel(2.5, Schedule::S40,  73.0,  5.16, None,        Evidence::Secondary, B36_10),
    steel(2.5, Schedule::S80,  73.0,  7.01, None,        Evidence::Secondary, B36_10),
    steel(3.0, Schedule::S40,  88.9,  5.49, Some(11.29), Evidence::Secondary, A53),
    steel(3.0, Schedule::S80,  88.9,  7.62, None,        Evidence::Secondary, B36_10),
    steel(3.5, Schedule::S40, 101.6,  5.74, Some(13.57), Evidence::Secondary, A53),
    steel(3.5, Schedule::S80, 101.6,  8.08, None,        Evidence::Memory,    B36_10_MEMORY),
    steel(4.0, Schedule::S40, 114.3,  6.02, Some(16.07), Evidence::Secondary, A53),
    steel(4.0, Schedule::S80, 114.3,  8.56, None,        Evidence::Secondary, B36_10),
    steel(5.0, Schedule::S40, 141.3,  6.55, Some(21.77), Evidence::Secondary, A53_NPS_5),
    steel(5.0, Schedule::S80, 141.3,  9.53, None,        Evidence::Memory,    B36_10_MEMORY),
    steel(6.0, Schedule::S40, 168.3,  7.11, Some(28.26), Evidence::Secondary, A53),
    steel(6.0, Schedule::S80, 168.3, 10.97, None,        Evidence::Secondary, B36_10),
    steel(8.0, Schedule::S40, 219.1,  8.18, Some(42.55), Evidence::Memory,    B36_10_MEMORY),
    steel(8.0, Schedule::S80, 219.1, 12.70, None,        Evidence::Memory,    B36_10_MEMORY),
    steel(10.0, Schedule::S40, 273.0, 9.27, None,        Evidence::Memory,    B36_10_MEMORY),
    steel(10.0, Schedule::S80, 273.0, 15.09, None,       Evidence::Memory,    B36_10_MEMORY),
    steel(12.0, Schedule::S40, 323.8, 10.31, None,       Evidence::Memory,    B36_10_MEMORY),
    steel(12.0, Schedule::S80, 323.8, 17.48, None,       Evidence::Memory,    B36_10_MEMORY),
];

/// Returns the steel pipe of a nominal size and schedule, or `None` where the table has none.
///
/// # Formula
/// Look-up; `di = do - 2 t`.
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | do, di, t | outside and inside diameter, nominal wall | mm |
///
/// # Validity
/// Nominal wall only: the mill tolerance on a wall is often 12.5 %, and a weld bead takes more; see [`worst_bore_mm`](crate::passing::worst_bore_mm).
///
/// # Source
/// ASME B36.10M, ASTM A53; each row says how well it is known.
///
/// # Errors
/// [`Misfit`] if the size is not a number greater than zero.
///
/// ```
/// use restrand_mechanics::tables::pipe::{steel_pipe, Schedule};
/// let pipe = steel_pipe(4.0, Schedule::S40)?.expect("listed");
/// assert!((pipe.inner_mm - 102.26).abs() < 0.005);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn steel_pipe(
    nominal_size: f64,
    schedule: Schedule,
) -> Result<Option<&'static SteelPipe>, Misfit> {
    let size = positive(Argument::new("nominal_size"), nominal_size)?;
    Ok(STEEL_PIPES
        .iter()
        .find(|pipe| pipe.schedule == schedule && (pipe.nominal_size - size).abs() < 1e-6))
}

/// Returns the smallest listed steel pipe of a schedule whose inside diameter is at least what is asked.
///
/// # Formula
/// The least `do` with `do - 2 t >= di`.
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | di | inside diameter asked, `least_inner_mm` | mm |
/// | do, t | a listed pipe's outside diameter and wall | mm |
///
/// # Validity
/// Nominal wall; put ovality, wall tolerance and seam into what is asked. `None`: no listed size is wide enough.
///
/// # Source
/// ASME B36.10M, ASTM A53; each row says how well it is known.
///
/// # Errors
/// [`Misfit`] if the diameter is not a number greater than zero.
///
/// ```
/// use restrand_mechanics::tables::pipe::{next_steel_pipe, Schedule};
/// let pipe = next_steel_pipe(110.0, Schedule::S40)?.expect("listed");
/// assert_eq!(pipe.nominal_size, 5.0);
/// assert!(next_steel_pipe(400.0, Schedule::S40)?.is_none());
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn next_steel_pipe(
    least_inner_mm: f64,
    schedule: Schedule,
) -> Result<Option<&'static SteelPipe>, Misfit> {
    let least = positive(Argument::new("least_inner_mm"), least_inner_mm)?;
    Ok(STEEL_PIPES
        .iter()
        // A difference of decimals is not exact, and a billionth of a millimetre is none.
        .find(|pipe| pipe.schedule == schedule && pipe.inner_mm >= least - 1e-9))
}

/// The system of outside diameters to which a polymer pipe belongs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum OuterSystem {
    /// Iron-pipe sizes.
    Ips,
    /// Metric sizes.
    Metric,
}

/// An outside diameter in which polymer pipe is made.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PolymerOuter {
    /// The system of sizes.
    pub system: OuterSystem,
    /// The size's name: the nominal size, or the outside diameter in mm.
    pub nominal_size: f64,
    /// Outside diameter, mm.
    pub outer_mm: f64,
    /// Evidence for the row.
    pub evidence: Evidence,
    /// Where the row comes from.
    pub source: &'static str,
}

const fn ips(nominal_size: f64, outer_in: f64) -> PolymerOuter {
    PolymerOuter {
        system: OuterSystem::Ips,
        nominal_size,
        outer_mm: outer_in * 25.4,
        evidence: Evidence::Read,
        source: "table of iron-pipe-size outside diameters",
    }
}

const fn ips_memory(nominal_size: f64, outer_in: f64) -> PolymerOuter {
    PolymerOuter {
        evidence: Evidence::Memory,
        source: "iron-pipe sizes, from memory; 5 is less common in polymer",
        ..ips(nominal_size, outer_in)
    }
}

const fn metric(outer_mm: f64) -> PolymerOuter {
    PolymerOuter {
        system: OuterSystem::Metric,
        nominal_size: outer_mm,
        outer_mm,
        evidence: Evidence::Memory,
        source: "ISO 161-1, ISO 4427-2, from memory",
    }
}

/// The outside diameters of polymer pipe known here, by system and then by size.
pub static POLYMER_OUTERS: [PolymerOuter; 34] = [
    ips_memory(0.5, 0.84),
    ips_memory(0.75, 1.05),
    ips_memory(1.0, 1.315),
    ips_memory(1.25, 1.66),
    ips_memory(1.5, 1.9),
    ips(2.0, 2.375),
    ips(3.0, 3.5),
    ips(4.0, 4.5),
    ips_memory(5.0, 5.563),
    ips(6.0, 6.625),
    ips(8.0, 8.625),
    ips(10.0, 10.75),
    ips_memory(12.0, 12.75),
    metric(16.0),
    metric(20.0),
    metric(25.0),
    metric(32.0),
    metric(40.0),
    metric(50.0),
    metric(63.0),
    metric(75.0),
    metric(90.0),
    metric(110.0),
    metric(125.0),
    metric(140.0),
    metric(160.0),
    metric(180.0),
    metric(200.0),
    metric(225.0),
    metric(250.0),
    metric(280.0),
    metric(315.0),
    metric(355.0),
    metric(400.0),
];

/// Returns the listed polymer size that a stated outside diameter names, or `None`.
///
/// # Formula
/// The least `|d - dn|`, if it is at most 0.5 mm.
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | d | stated outside diameter, `outer_mm` | mm |
/// | dn | a listed outside diameter | mm |
///
/// # Validity
/// Recognises a size; it is no tolerance on the pipe. Sizes of both systems are searched where `system` is absent.
///
/// # Source
/// Derived: [`POLYMER_OUTER_RECOGNITION_MM`] gives the reason; each row says how well it is known.
///
/// # Errors
/// [`Misfit`] if the diameter is not a number greater than zero.
///
/// ```
/// use restrand_mechanics::tables::pipe::{polymer_outer, OuterSystem};
/// assert_eq!(polymer_outer(None, 89.0)?.expect("listed").system, OuterSystem::Ips);
/// assert_eq!(polymer_outer(None, 90.0)?.expect("listed").system, OuterSystem::Metric);
/// assert!(polymer_outer(None, 100.0)?.is_none());
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn polymer_outer(
    system: Option<OuterSystem>,
    outer_mm: f64,
) -> Result<Option<&'static PolymerOuter>, Misfit> {
    let outer = positive(Argument::new("outer_mm"), outer_mm)?;
    let off = |size: &PolymerOuter| (size.outer_mm - outer).abs();
    Ok(POLYMER_OUTERS
        .iter()
        .filter(|size| system.is_none_or(|wanted| wanted == size.system))
        .filter(|size| off(size) <= POLYMER_OUTER_RECOGNITION_MM)
        .min_by(|a, b| off(a).total_cmp(&off(b))))
}

/// A polymer pipe of a listed outside diameter and a dimension ratio.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PolymerPipe {
    /// The listed size.
    pub size: &'static PolymerOuter,
    /// Dimension ratio.
    pub dimension_ratio: f64,
    /// Least wall, mm.
    pub wall_mm: f64,
    /// Inside diameter by the convention that was asked, mm.
    pub inner_mm: f64,
}

/// Returns the smallest listed polymer pipe of a dimension ratio whose inside diameter is at least what is asked.
///
/// # Formula
/// The least `OD` with `OD - 2 OD / DR >= di` (least wall), or `OD - 2.12 OD / DR >= di` (average wall).
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | di | inside diameter asked, `least_inner_mm` | mm |
/// | OD | a listed outside diameter | mm |
/// | DR | dimension ratio, `dimension_ratio` | |
///
/// # Validity
/// The average wall is the inside diameter to expect, the least wall the widest that it may be; ovality and beads belong into what is asked.
/// That a size is listed does not say that it is made in this ratio. `None`: no listed size is wide enough.
///
/// # Source
/// ASTM D3035 (dimension ratio); [`AVERAGE_WALL_FACTOR`](crate::duct::AVERAGE_WALL_FACTOR); each size says how well it is known.
///
/// # Errors
/// [`Misfit`] if the diameter is not a number greater than zero, or the walls of such a ratio fill the pipe.
///
/// ```
/// use restrand_mechanics::duct::InnerConvention;
/// use restrand_mechanics::tables::pipe::{next_polymer_pipe, OuterSystem};
/// let pipe = next_polymer_pipe(OuterSystem::Ips, 17.0, 100.0, InnerConvention::AverageWall)?;
/// assert_eq!(pipe.expect("listed").size.nominal_size, 4.0);
/// let pipe = next_polymer_pipe(OuterSystem::Ips, 17.0, 100.5, InnerConvention::AverageWall)?;
/// assert_eq!(pipe.expect("listed").size.nominal_size, 5.0);
/// let pipe = next_polymer_pipe(OuterSystem::Ips, 17.0, 100.5, InnerConvention::MinimumWall)?;
/// assert_eq!(pipe.expect("listed").size.nominal_size, 4.0);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn next_polymer_pipe(
    system: OuterSystem,
    dimension_ratio: f64,
    least_inner_mm: f64,
    convention: InnerConvention,
) -> Result<Option<PolymerPipe>, Misfit> {
    let least = positive(Argument::new("least_inner_mm"), least_inner_mm)?;
    for size in POLYMER_OUTERS.iter().filter(|size| size.system == system) {
        let wall_mm = wall_by_ratio_mm(size.outer_mm, dimension_ratio)?;
        let inner_mm = match convention {
            InnerConvention::MinimumWall => inner_at_minimum_wall_mm(size.outer_mm, wall_mm)?,
            InnerConvention::AverageWall => inner_at_average_wall_mm(size.outer_mm, wall_mm)?,
        };
        // A difference of decimals is not exact, and a billionth of a millimetre is none.
        if inner_mm >= least - 1e-9 {
            return Ok(Some(PolymerPipe { size, dimension_ratio, wall_mm, inner_mm }));
        }
    }
    Ok(None)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_pipe_is_narrower_than_its_own_walls() {
        for pipe in &STEEL_PIPES {
            assert!(pipe.inner_mm > 0.0 && pipe.inner_mm < pipe.outer_mm);
        }
    }

    #[test]
    fn listed_diameters_are_too_far_apart_to_be_mistaken() {
        for (i, a) in POLYMER_OUTERS.iter().enumerate() {
            for b in &POLYMER_OUTERS[i + 1..] {
                assert!((a.outer_mm - b.outer_mm).abs() > 2.0 * POLYMER_OUTER_RECOGNITION_MM);
            }
        }
    }

    #[test]
    fn an_unlisted_size_is_none() {
        assert!(steel_pipe(4.5, Schedule::S80).unwrap().is_none());
        assert!(steel_pipe(7.0, Schedule::S40).unwrap().is_none());
    }

    #[test]
    fn the_next_pipe_is_the_least_wide_enough() {
        for schedule in [Schedule::S40, Schedule::S80] {
            for pipe in STEEL_PIPES.iter().filter(|pipe| pipe.schedule == schedule) {
                let found = next_steel_pipe(pipe.inner_mm, schedule).unwrap().unwrap();
                assert_eq!(found, pipe);
            }
        }
    }

    #[test]
    fn the_next_polymer_pipe_is_the_least_wide_enough() {
        for system in [OuterSystem::Ips, OuterSystem::Metric] {
            let listed = || POLYMER_OUTERS.iter().filter(|size| size.system == system);
            // The list stands in the order of the sizes.
            assert!(listed().is_sorted_by(|a, b| a.outer_mm < b.outer_mm));
            for convention in [InnerConvention::MinimumWall, InnerConvention::AverageWall] {
                let next =
                    |inner_mm| next_polymer_pipe(system, 17.0, inner_mm, convention).unwrap();
                for size in listed() {
                    let pipe = next(size.outer_mm * 0.8).unwrap();
                    assert_eq!(next(pipe.inner_mm), Some(pipe));
                    let wider = next(pipe.inner_mm + 0.01);
                    assert!(wider.is_none_or(|wider| wider.size.outer_mm > pipe.size.outer_mm));
                }
                assert!(next(400.0).is_none());
            }
        }
    }

    #[test]
    fn bad_numbers_are_refused() {
        for bad in [f64::NAN, f64::NEG_INFINITY, 0.0, -4.0] {
            assert!(steel_pipe(bad, Schedule::S40).is_err());
            assert!(next_steel_pipe(bad, Schedule::S40).is_err());
            assert!(polymer_outer(None, bad).is_err());
            let next = |ratio, inner| {
                next_polymer_pipe(OuterSystem::Ips, ratio, inner, InnerConvention::MinimumWall)
            };
            assert!(
                next(17.0, bad).is_err() && next(bad, 100.0).is_err() && next(2.0, 100.0).is_err()
            );
        }
    }
}
