//! Whether the stated dimensions of a duct or pipe agree with each other.
//!
//! It says which values disagree and what each pair of them implies; which one is wrong, only the schedule's author knows.

use super::inner::{AVERAGE_WALL_FACTOR, wall_by_ratio_mm};
use crate::misfit::{Argument, Misfit, SMALLEST, above, not_negative, positive};

/// What the pipe is made of, as far as its dimensions need it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Material {
    /// The wall is nominal, and the inside diameter is taken from it.
    Steel,
    /// The wall is the least one, and the inside diameter is taken from it or from the average one.
    Polymer,
}

/// How an inside diameter follows from outside diameter and wall.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum InnerConvention {
    /// `OD - 2 t`, of the least wall (polymer) or the nominal one (steel).
    MinimumWall,
    /// `OD - 2.12 t`, of polymer.
    AverageWall,
}

/// A dimension that may be stated.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Dimension {
    /// Outside diameter, mm.
    Outer,
    /// Wall, mm.
    Wall,
    /// Inside diameter, mm.
    Inner,
    /// Dimension ratio.
    DimensionRatio,
    /// Wall that the stated nominal size and schedule have in a pipe table, mm.
    ScheduleWall,
}

/// What a schedule states about one duct or pipe; what it does not state is `None`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stated {
    /// What it is made of.
    pub material: Material,
    /// Outside diameter, mm.
    pub outer_mm: Option<f64>,
    /// Wall, mm.
    pub wall_mm: Option<f64>,
    /// Inside diameter, mm.
    pub inner_mm: Option<f64>,
    /// Dimension ratio.
    pub dimension_ratio: Option<f64>,
    /// Wall of the stated nominal size and schedule, mm.
    pub schedule_wall_mm: Option<f64>,
}

/// What two stated dimensions say a third should be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Implied {
    /// The dimension.
    pub dimension: Dimension,
    /// Its value: mm, or bare for a dimension ratio.
    pub value: f64,
    /// The stated dimensions that it follows from.
    pub from: [Dimension; 2],
}

/// Stated dimensions that cannot all be right.
#[derive(Debug, Clone, PartialEq)]
pub struct Disagreement {
    /// The dimensions that disagree.
    pub between: Vec<Dimension>,
    /// How far apart they are, mm: of two walls, or of the stated inside diameter and the nearest implied one.
    pub off_mm: f64,
    /// The convention by which `off_mm` and `implied` were found, where an inside diameter is among them.
    pub convention: Option<InnerConvention>,
    /// What each pair of them implies for the third, where that is possible; empty where two values are compared directly.
    pub implied: Vec<Implied>,
}

/// The result of comparing stated dimensions.
#[derive(Debug, Clone, PartialEq)]
pub struct Agreement {
    /// How many comparisons could be made; 0 means that nothing was checked.
    pub comparisons: usize,
    /// The convention that the stated inside diameter fits, where it fits one.
    pub convention: Option<InnerConvention>,
    /// What does not agree.
    pub disagreements: Vec<Disagreement>,
}

/// Compares the stated dimensions of one duct or pipe with each other.
///
/// A wall may be given three times over: stated, by dimension ratio, and by schedule.
/// The stated wall is compared with the other two, or those with each other where none is stated.
/// The stated inside diameter is then compared with each wall that differs from those already compared,
/// so that a third value shows which of two disagreeing ones is alone.
///
/// # Formula
/// `t = OD / DR`; `ID = OD - 2 t`, or `ID = OD - 2.12 t` for polymer, whichever is nearer.
/// Two values agree if they differ by no more than the tolerance.
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | OD, ID, t | outside diameter, inside diameter, wall | mm |
/// | DR | dimension ratio | |
/// | tolerance | `tolerance_mm`, on each compared value alike | mm |
///
/// # Validity
/// Round pipe sized by its outside. The two conventions of polymer differ by 0.12 t (0.5 to 1.5 mm in this trade);
/// with a tolerance above half of that, a fit to one does not rule out the other.
///
/// # Source
/// ASTM D3035 (dimension ratio), ASME B36.10M (schedules), geometry.
///
/// # Errors
/// [`Misfit`] if a stated value is not a number greater than zero, the tolerance is negative,
/// a ratio is 2 or less, or a wall fills its pipe. A bore wider than its pipe is a disagreement, not an error.
///
/// ```
/// use restrand_mechanics::duct::{agree, InnerConvention, Material, Stated};
/// let stated = Stated {
///     material: Material::Polymer,
///     outer_mm: Some(114.3),
///     wall_mm: None,
///     inner_mm: Some(100.05),
///     dimension_ratio: Some(17.0),
///     schedule_wall_mm: None,
/// };
/// let result = agree(&stated, 0.1)?;
/// assert!(result.disagreements.is_empty());
/// assert_eq!(result.convention, Some(InnerConvention::AverageWall));
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn agree(stated: &Stated, tolerance_mm: f64) -> Result<Agreement, Misfit> {
    let tolerance = not_negative(Argument::new("tolerance_mm"), tolerance_mm)?;
    check(stated)?;
    let walls = walls(stated)?;

    let mut result = Agreement { comparisons: 0, convention: None, disagreements: Vec::new() };
    // The walls that stand apart from each other, each to be held against the inside diameter.
    let mut apart: Vec<Wall> = Vec::new();
    for wall in walls {
        let Some(first) = apart.first() else {
            apart.push(wall);
            continue;
        };
        result.comparisons += 1;
        let off_mm = (first.mm - wall.mm).abs();
        if exceeds(off_mm, tolerance) {
            let disagreement = between_walls(stated, *first, wall, off_mm);
            result.disagreements.push(disagreement);
            apart.push(wall);
        }
    }
    if let (Some(outer), Some(inner)) = (stated.outer_mm, stated.inner_mm) {
        if apart.is_empty() && inner >= outer {
            result.comparisons += 1;
            result.disagreements.push(Disagreement {
                between: vec![Dimension::Outer, Dimension::Inner],
                off_mm: inner - outer,
                convention: None,
                implied: Vec::new(),
            });
        }
        for wall in apart {
            result.comparisons += 1;
            let (convention, off_mm) = nearest(stated.material, outer, inner, wall.mm);
            if exceeds(off_mm, tolerance) {
                result.disagreements.push(with_inner(outer, inner, wall, convention, off_mm));
            } else {
                result.convention = result.convention.or(Some(convention));
            }
        }
    }
    Ok(result)
}

#[derive(Clone, Copy)]
struct Wall {
    mm: f64,
    from: Dimension,
}

/// A tolerance is inclusive, and decimal fractions are not exact.
fn exceeds(off_mm: f64, tolerance_mm: f64) -> bool {
    off_mm > tolerance_mm + 1e-9
}

fn check(stated: &Stated) -> Result<(), Misfit> {
    for (name, value) in [
        ("outer_mm", stated.outer_mm),
        ("wall_mm", stated.wall_mm),
        ("inner_mm", stated.inner_mm),
        ("dimension_ratio", stated.dimension_ratio),
        ("schedule_wall_mm", stated.schedule_wall_mm),
    ] {
        if let Some(value) = value {
            positive(Argument::new(name), value)?;
        }
    }
    if let Some(outer) = stated.outer_mm {
        for wall in [stated.wall_mm, stated.schedule_wall_mm].into_iter().flatten() {
            above(Argument::new("outer_mm"), outer, 2.0 * wall, "both walls")?;
        }
    }
    Ok(())
}

fn walls(stated: &Stated) -> Result<Vec<Wall>, Misfit> {
    let mut walls = Vec::new();
    if let Some(mm) = stated.wall_mm {
        let from = Dimension::Wall;
        walls.push(Wall { mm, from });
    }
    if let (Some(outer), Some(ratio)) = (stated.outer_mm, stated.dimension_ratio) {
        let mm = wall_by_ratio_mm(outer, ratio)?;
        let from = Dimension::DimensionRatio;
        walls.push(Wall { mm, from });
    }
    if let Some(mm) = stated.schedule_wall_mm {
        let from = Dimension::ScheduleWall;
        walls.push(Wall { mm, from });
    }
    Ok(walls)
}

/// The convention that brings the inside diameter nearest to the stated one, and how near.
fn nearest(material: Material, outer: f64, inner: f64, wall: f64) -> (InnerConvention, f64) {
    let by_minimum = (outer - 2.0 * wall - inner).abs();
    let by_average = (outer - AVERAGE_WALL_FACTOR * wall - inner).abs();
    if material == Material::Polymer && by_average < by_minimum {
        (InnerConvention::AverageWall, by_average)
    } else {
        (InnerConvention::MinimumWall, by_minimum)
    }
}

fn between_walls(stated: &Stated, one: Wall, other: Wall, off_mm: f64) -> Disagreement {
    use Dimension::{DimensionRatio, Outer};
    let mut between = vec![one.from, other.from];
    let mut implied = Vec::new();
    let pair = if one.from == DimensionRatio {
        Some((one, other))
    } else if other.from == DimensionRatio {
        Some((other, one))
    } else {
        None
    };
    if let (Some((by_ratio, wall)), Some(outer), Some(ratio)) =
        (pair, stated.outer_mm, stated.dimension_ratio)
    {
        between.insert(0, Outer);
        implied = vec![
            Implied { dimension: wall.from, value: by_ratio.mm, from: [Outer, DimensionRatio] },
            Implied { dimension: DimensionRatio, value: outer / wall.mm, from: [Outer, wall.from] },
            Implied { dimension: Outer, value: wall.mm * ratio, from: [wall.from, DimensionRatio] },
        ];
    }
    Disagreement { between, off_mm, convention: None, implied }
}

fn with_inner(
    outer: f64,
    inner: f64,
    wall: Wall,
    convention: InnerConvention,
    off_mm: f64,
) -> Disagreement {
    use Dimension::{DimensionRatio, Inner, Outer};
    let factor = match convention {
        InnerConvention::MinimumWall => 2.0,
        InnerConvention::AverageWall => AVERAGE_WALL_FACTOR,
    };
    let mut implied = Vec::new();
    let inner_mm = outer - factor * wall.mm;
    if inner_mm > SMALLEST {
        implied.push(Implied { dimension: Inner, value: inner_mm, from: [Outer, wall.from] });
    }
    let by_ratio = wall.from == DimensionRatio;
    // A bore as wide as the pipe leaves no wall to speak of.
    let wall_mm = (outer - inner) / factor;
    if wall_mm > SMALLEST {
        implied.push(Implied {
            dimension: wall.from,
            value: if by_ratio { outer / wall_mm } else { wall_mm },
            from: [Outer, Inner],
        });
    }
    // By ratio, ID = OD (1 - f / DR); near the ratio of a solid bar that gives no outside diameter.
    let bore_share = 1.0 - factor * wall.mm / outer;
    if !by_ratio || bore_share > SMALLEST {
        implied.push(Implied {
            dimension: Outer,
            value: if by_ratio { inner / bore_share } else { inner + factor * wall.mm },
            from: [Inner, wall.from],
        });
    }
    Disagreement {
        between: vec![Outer, wall.from, Inner],
        off_mm,
        convention: Some(convention),
        implied,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const NOTHING: Stated = Stated {
        material: Material::Polymer,
        outer_mm: None,
        wall_mm: None,
        inner_mm: None,
        dimension_ratio: None,
        schedule_wall_mm: None,
    };

    fn implied(disagreement: &Disagreement, dimension: Dimension) -> f64 {
        disagreement
            .implied
            .iter()
            .find(|implied| implied.dimension == dimension)
            .map(|implied| implied.value)
            .unwrap()
    }

    #[test]
    fn nothing_stated_is_nothing_compared() {
        let result = agree(&NOTHING, 0.1).unwrap();
        assert_eq!(result.comparisons, 0);
        assert!(result.disagreements.is_empty());
    }

    #[test]
    fn polymer_fits_either_convention_and_says_which() {
        let mut stated = Stated {
            outer_mm: Some(90.0),
            dimension_ratio: Some(33.0),
            inner_mm: Some(84.22),
            ..NOTHING
        };
        let average = agree(&stated, 0.05).unwrap();
        assert_eq!(average.convention, Some(InnerConvention::AverageWall));
        assert!(average.disagreements.is_empty());
        stated.inner_mm = Some(84.55);
        let minimum = agree(&stated, 0.05).unwrap();
        assert_eq!(minimum.convention, Some(InnerConvention::MinimumWall));
        assert!(minimum.disagreements.is_empty());
    }

    #[test]
    fn steel_knows_no_average_wall() {
        let stated = Stated {
            material: Material::Steel,
            outer_mm: Some(90.0),
            wall_mm: Some(90.0 / 33.0),
            inner_mm: Some(84.22),
            ..NOTHING
        };
        let result = agree(&stated, 0.05).unwrap();
        assert_eq!(result.convention, None);
        assert_eq!(result.disagreements.len(), 1);
        assert_eq!(result.disagreements[0].convention, Some(InnerConvention::MinimumWall));
    }

    #[test]
    fn a_misprinted_bore_is_told_with_what_each_pair_implies() {
        let stated = Stated {
            material: Material::Steel,
            outer_mm: Some(141.3),
            wall_mm: Some(6.55),
            inner_mm: Some(118.2),
            schedule_wall_mm: Some(6.55),
            ..NOTHING
        };
        let result = agree(&stated, 0.05).unwrap();
        assert_eq!(result.comparisons, 2);
        assert_eq!(result.disagreements.len(), 1);
        let told = &result.disagreements[0];
        assert!((told.off_mm - 10.0).abs() < 1e-9);
        assert!((implied(told, Dimension::Inner) - 128.2).abs() < 1e-9);
        assert!((implied(told, Dimension::Wall) - 11.55).abs() < 1e-9);
        assert!((implied(told, Dimension::Outer) - 131.3).abs() < 1e-9);
    }

    #[test]
    fn the_bore_shows_which_of_two_walls_is_alone() {
        use Dimension::{DimensionRatio, Inner, Outer, Wall};
        // The wall is that of DR 17, the bore too; the stated ratio is 21.
        let stated = Stated {
            outer_mm: Some(114.3),
            wall_mm: Some(6.72),
            inner_mm: Some(100.05),
            dimension_ratio: Some(21.0),
            ..NOTHING
        };
        let result = agree(&stated, 0.05).unwrap();
        assert_eq!(result.comparisons, 3);
        assert_eq!(result.convention, Some(InnerConvention::AverageWall));
        let between: Vec<_> = result.disagreements.iter().map(|d| &d.between).collect();
        assert_eq!(
            between,
            [&vec![Outer, Wall, DimensionRatio], &vec![Outer, DimensionRatio, Inner]]
        );
        assert!((implied(&result.disagreements[0], DimensionRatio) - 17.009).abs() < 0.001);
        assert!((implied(&result.disagreements[1], DimensionRatio) - 17.004).abs() < 0.001);
    }

    #[test]
    fn each_implied_value_mends_the_disagreement() {
        let stated = Stated {
            outer_mm: Some(114.3),
            inner_mm: Some(96.0),
            dimension_ratio: Some(17.0),
            ..NOTHING
        };
        let told = &agree(&stated, 0.05).unwrap().disagreements[0];
        for implied in &told.implied {
            let mut mended = stated;
            match implied.dimension {
                Dimension::Outer => mended.outer_mm = Some(implied.value),
                Dimension::Inner => mended.inner_mm = Some(implied.value),
                Dimension::DimensionRatio => mended.dimension_ratio = Some(implied.value),
                Dimension::Wall | Dimension::ScheduleWall => panic!("no wall was stated"),
            }
            assert!(agree(&mended, 1e-6).unwrap().disagreements.is_empty());
        }
    }

    #[test]
    fn bad_numbers_are_refused() {
        for bad in [f64::NAN, f64::INFINITY, 0.0, -1.0] {
            for stated in [
                Stated { outer_mm: Some(bad), ..NOTHING },
                Stated { wall_mm: Some(bad), ..NOTHING },
                Stated { inner_mm: Some(bad), ..NOTHING },
                Stated { dimension_ratio: Some(bad), ..NOTHING },
                Stated { schedule_wall_mm: Some(bad), ..NOTHING },
            ] {
                assert!(agree(&stated, 0.1).is_err());
            }
        }
        assert!(agree(&NOTHING, -0.1).is_err());
        assert!(agree(&NOTHING, f64::NAN).is_err());
    }

    #[test]
    fn a_bore_wider_than_the_pipe_is_a_disagreement() {
        // As the A53 table misprints it for nominal size 5.
        let mut stated = Stated {
            material: Material::Steel,
            outer_mm: Some(141.3),
            inner_mm: Some(158.2),
            ..NOTHING
        };
        let told = &agree(&stated, 0.1).unwrap().disagreements[0];
        assert_eq!(told.between, [Dimension::Outer, Dimension::Inner]);
        assert!((told.off_mm - 16.9).abs() < 1e-9);
        stated.wall_mm = Some(6.55);
        let told = &agree(&stated, 0.1).unwrap().disagreements[0];
        assert!((implied(told, Dimension::Inner) - 128.2).abs() < 1e-9);
        assert!(told.implied.iter().all(|it| it.dimension != Dimension::Wall));
    }

    #[test]
    fn a_wall_that_fills_the_pipe_is_refused() {
        let stated = Stated { outer_mm: Some(114.3), wall_mm: Some(67.2), ..NOTHING };
        assert!(agree(&stated, 0.1).is_err());
    }
}
