//! Rules on ducts.

pub(crate) mod area_ratio_low;
pub(crate) mod dimensions_inconsistent;
pub(crate) mod internal_limits;
pub(crate) mod material_unfit;
pub(crate) mod radius_small_for_polymer;
pub(crate) mod run_broken;
pub(crate) mod single_element_gap;
pub(crate) mod size_unlisted;
pub(crate) mod throat_ratio_low;
pub(crate) mod wall_thin;

mod used;
