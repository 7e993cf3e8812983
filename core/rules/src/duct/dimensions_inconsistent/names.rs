//! How dimensions of a duct are called: their fields, their words, and the facts about them.

use restrand_mechanics::duct::Dimension;

pub(super) const fn field(dimension: Dimension) -> &'static str {
    match dimension {
        Dimension::Outer => "outer_mm",
        Dimension::Wall => "wall_mm",
        Dimension::Inner => "inner_mm",
        Dimension::DimensionRatio => "dimension_ratio",
        Dimension::ScheduleWall => "pipe_schedule",
    }
}

pub(super) const fn words(dimension: Dimension) -> &'static str {
    match dimension {
        Dimension::Outer => "outer diameter",
        Dimension::Wall => "wall",
        Dimension::Inner => "inner diameter",
        Dimension::DimensionRatio => "dimension ratio",
        Dimension::ScheduleWall => "wall of the schedule",
    }
}

/// The name of a stated dimension as a fact, with the decimals that are shown.
pub(super) const fn fact_name(dimension: Dimension) -> &'static str {
    match dimension {
        Dimension::ScheduleWall => "schedule_wall_mm",
        other => field(other),
    }
}

/// The name of what two dimensions imply for a third, as a fact.
pub(super) const fn implied_name(dimension: Dimension, from: [Dimension; 2]) -> &'static str {
    use Dimension::{DimensionRatio, Inner, Outer, ScheduleWall, Wall};
    // Of the pair, what is neither an outer nor an inner diameter tells best by what it was found.
    match (dimension, from) {
        (Outer, [_, Wall] | [Wall, _]) => "outer_by_wall_mm",
        (Outer, [_, DimensionRatio] | [DimensionRatio, _]) => "outer_by_ratio_mm",
        (Outer, _) => "outer_by_schedule_mm",
        (Inner, [_, Wall] | [Wall, _]) => "inner_by_wall_mm",
        (Inner, [_, DimensionRatio] | [DimensionRatio, _]) => "inner_by_ratio_mm",
        (Inner, _) => "inner_by_schedule_mm",
        (Wall, [_, Inner] | [Inner, _]) => "wall_by_bore_mm",
        (Wall, [_, DimensionRatio] | [DimensionRatio, _]) => "wall_by_ratio_mm",
        (Wall, _) => "wall_by_schedule_mm",
        (DimensionRatio, [_, Inner] | [Inner, _]) => "ratio_by_bore",
        (DimensionRatio, [_, Wall] | [Wall, _]) => "ratio_by_wall",
        (DimensionRatio, _) => "ratio_by_schedule",
        (ScheduleWall, [_, Inner] | [Inner, _]) => "schedule_wall_by_bore_mm",
        (ScheduleWall, [_, DimensionRatio] | [DimensionRatio, _]) => "schedule_wall_by_ratio_mm",
        (ScheduleWall, _) => "schedule_wall_by_wall_mm",
    }
}

/// The name of how far a stated dimension is from what the others give for it, as a fact.
pub(super) const fn off_name(dimension: Dimension) -> &'static str {
    match dimension {
        Dimension::Outer => "outer_off_by_mm",
        Dimension::Wall => "wall_off_by_mm",
        Dimension::Inner => "inner_off_by_mm",
        Dimension::DimensionRatio => "ratio_off_by",
        Dimension::ScheduleWall => "schedule_wall_off_by_mm",
    }
}

pub(super) const DIGITS: u8 = 2;

pub(super) const fn article(dimension: Dimension) -> &'static str {
    match dimension {
        Dimension::Outer => "an outer diameter of",
        Dimension::Wall | Dimension::ScheduleWall => "a wall of",
        Dimension::Inner => "an inner diameter of",
        Dimension::DimensionRatio => "a dimension ratio of",
    }
}
