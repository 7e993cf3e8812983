//! Ducts: the room they leave for strand, and whether their stated dimensions agree.
//!
//! It knows no limit on the ratio and no catalogue; tables are in [`tables`](crate::tables).
//! Authority: the definition of the dimension ratio in ASTM D3035 and F714, and plain geometry.

mod area_ratio;
mod dimensions;
mod inner;

pub use area_ratio::{area_ratio, least_inner_mm};
pub use dimensions::{
    Agreement, Dimension, Disagreement, Implied, InnerConvention, Material, Stated, agree,
};
pub use inner::{
    AVERAGE_WALL_FACTOR, inner_at_average_wall_mm, inner_at_minimum_wall_mm, wall_by_ratio_mm,
};
