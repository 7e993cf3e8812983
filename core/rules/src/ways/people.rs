//! Openings for people: their clear sides, and what they lack.

use restrand_model::schedule::{Opening, OpeningPlane, OpeningShape};

/// A clear side of an opening.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Side {
    /// Its clear length, mm.
    pub mm: f64,
    /// The field of the opening that states it.
    pub field: &'static str,
    /// What there is more of when it grows, as in `66.8 mm more height`.
    pub word: &'static str,
}

/// The clear sides of an opening, the shorter first; of a round one its diameter, twice.
#[must_use]
pub fn sides(opening: &Opening) -> Option<[Side; 2]> {
    if is_round(opening) {
        let side = Side { mm: opening.diameter_mm?, field: "diameter_mm", word: "diameter" };
        return Some([side; 2]);
    }
    // In a floor or a roof the height lies along the bridge.
    let is_wall = !matches!(opening.plane, Some(OpeningPlane::Floor | OpeningPlane::Roof));
    let height = if is_wall { "height" } else { "length along the bridge" };
    let across = Side { mm: opening.width_mm?, field: "width_mm", word: "width" };
    let upright = Side { mm: opening.height_mm?, field: "height_mm", word: height };
    Some(if across.mm <= upright.mm { [across, upright] } else { [upright, across] })
}

/// Whether an opening is a circle.
#[must_use]
pub fn is_round(opening: &Opening) -> bool {
    opening.shape == Some(OpeningShape::Circle)
        || (opening.shape.is_none() && opening.diameter_mm.is_some())
}

/// What an opening leaves beside what people need, its shorter and its longer side, mm; negative where it is smaller.
#[must_use]
pub fn spare_for_people_mm(opening: &Opening, [short_mm, long_mm]: [f64; 2]) -> Option<f64> {
    let [shorter, longer] = sides(opening)?;
    Some((shorter.mm - short_mm).min(longer.mm - long_mm))
}

/// What each side of an opening lacks for people, mm, where it lacks anything; of a round one the diameter alone.
#[must_use]
pub fn lacking_for_people_mm(opening: &Opening, [short_mm, long_mm]: [f64; 2]) -> Vec<(Side, f64)> {
    let Some([shorter, longer]) = sides(opening) else { return Vec::new() };
    let mut lacking: Vec<(Side, f64)> =
        [(shorter, short_mm - shorter.mm), (longer, long_mm - longer.mm)]
            .into_iter()
            .filter(|(_, short_mm)| *short_mm > 0.0)
            .collect();
    if is_round(opening) {
        lacking.sort_by(|one, other| other.1.total_cmp(&one.1));
        lacking.truncate(1);
    }
    lacking
}
