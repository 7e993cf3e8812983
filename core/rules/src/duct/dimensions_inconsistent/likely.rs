//! Which of several dimensions that cannot all be right is most likely the wrong one.

use restrand_mechanics::duct::{Agreement, Dimension, Stated, agree};

pub(super) const fn slot(stated: &mut Stated, dimension: Dimension) -> &mut Option<f64> {
    match dimension {
        Dimension::Outer => &mut stated.outer_mm,
        Dimension::Wall => &mut stated.wall_mm,
        Dimension::Inner => &mut stated.inner_mm,
        Dimension::DimensionRatio => &mut stated.dimension_ratio,
        Dimension::ScheduleWall => &mut stated.schedule_wall_mm,
    }
}

pub(super) fn held(stated: &Stated, dimension: Dimension) -> Option<f64> {
    *slot(&mut { *stated }, dimension)
}

/// The dimension without which the others agree, and whether there is just that one; else the one that stands
/// in most disagreements, the outer diameter last, for that is what a pipe is sold by.
pub(super) fn most_likely_wrong(
    stated: &Stated,
    agreement: &Agreement,
    tolerance_mm: f64,
) -> (Dimension, bool) {
    use Dimension::{DimensionRatio, Inner, Outer, ScheduleWall, Wall};
    let all = [Inner, Wall, DimensionRatio, ScheduleWall, Outer];
    let mends = |dimension: Dimension| {
        let mut rest = *stated;
        slot(&mut rest, dimension).take().is_some()
            && agree(&rest, tolerance_mm)
                .is_ok_and(|it| it.comparisons > 0 && it.disagreements.is_empty())
    };
    let alone: Vec<_> = all.into_iter().filter(|dimension| mends(*dimension)).collect();
    if let [only] = alone[..] {
        return (only, true);
    }
    let times = |dimension: &Dimension| {
        agreement.disagreements.iter().filter(|told| told.between.contains(dimension)).count()
    };
    let most = all.iter().map(times).max().unwrap_or(0);
    (all.into_iter().find(|dimension| times(dimension) == most).unwrap_or(Inner), false)
}
