//! How long a piece may be, and what makes it so.

use restrand_finding::Fact;
use restrand_model::schedule::OpeningPlane;
use restrand_rules::works::{self, Along};

use crate::plan::Line;
use crate::tendon::Known;

/// The length that a piece may have, and what makes it so.
#[derive(Debug, Clone, PartialEq)]
pub struct Bound {
    /// The length, m.
    pub longest_m: f64,
    /// What bounds it.
    pub why: Line,
    /// Whether it is an opening on the way out.
    pub is_way: bool,
    /// The share of a hoist's capacity that is used, where a hoist bounds it.
    pub hoist_share: Option<f64>,
}

/// The least of the lengths that a piece of a free length may have, and what makes it so: what is stated, what people
/// carry, what the openings on the way out let through, and what hangs from a hoist above one of them.
pub(super) fn bound(known: &Known<'_, '_>, along: &Along, free_m: [f64; 2]) -> Option<Bound> {
    let mut bounds: Vec<Bound> = Vec::new();
    let replacement = known.replacement();
    if let Some(length_mm) = replacement.and_then(|replacement| replacement.piece_length_mm) {
        let why = Line::from("the schedule states pieces of {piece_length_m}").with(Fact::given(
            "piece_length_m",
            length_mm / 1000.0,
            2,
        ));
        bounds.push(Bound { longest_m: length_mm / 1000.0, why, is_way: false, hoist_share: None });
    }
    let bay = known.bay_at(along.station_m(f64::midpoint(free_m[0], free_m[1])));
    // A cut may leave what is widest in this length on any piece of it.
    let widest = known.widest(free_m).ok();
    let way = bay
        .zip(widest.as_ref())
        .and_then(|(bay, widest)| known.rods(widest.diameter_mm).to(&known.ways, bay));
    if let Ok(mass) = &known.mass {
        let per_m = mass.total_kg_per_m;
        let by_mass = |most_kg: f64, why: Line| Bound {
            longest_m: most_kg / per_m,
            why: why.with(Fact::computed("mass_kg_per_m", per_m, 2)),
            is_way: false,
            hoist_share: None,
        };
        if let Some(most_kg) = replacement.and_then(|replacement| replacement.piece_mass_limit_kg) {
            let why = Line::from("a piece may weigh {piece_most_kg}, at {mass_kg_per_m}");
            bounds.push(by_mass(most_kg, why.with(Fact::given("piece_most_kg", most_kg, 0))));
        } else if bounds.is_empty()
            && let Some(most_kg) = known.project().and_then(|project| project.hand_carry_kg)
        {
            let why = Line::from("two people carry {hand_carry_kg}, at {mass_kg_per_m}");
            bounds.push(by_mass(most_kg, why.with(Fact::given("hand_carry_kg", most_kg, 0))));
        }
        let share = known.context.limit(works::HOIST_SHARE).value;
        for opening in way.iter().flat_map(|way| &way.openings) {
            let record = &known.ways.openings[*opening];
            let hoisted = matches!(record.plane, Some(OpeningPlane::Floor | OpeningPlane::Roof));
            if let Some(most_kg) = record.hoist_limit_kg.filter(|_| hoisted) {
                let why = Line::from(
                    "through {opening} {hoist_limit_kg} may be hoisted, {hoist_share} of it used, at {mass_kg_per_m}",
                )
                .with(Fact::text("opening", known.ways.call(*opening)))
                .with(Fact::given("hoist_limit_kg", most_kg, 0))
                .with(Fact::computed("hoist_share", share, 2));
                bounds.push(Bound { hoist_share: Some(share), ..by_mass(most_kg * share, why) });
            }
        }
    }
    if let Some(way) = way.filter(|way| way.longest_mm > 0.0) {
        let across_mm = widest.map_or(0.0, |widest| widest.diameter_mm);
        let why = Line::from("the way out takes {longest_m} where it is {across_mm} across, and opening {opening} binds")
            .with(Fact::computed("longest_m", way.longest_mm / 1000.0, 3))
            .with(Fact::computed("across_mm", across_mm, 1))
            .with(Fact::text("opening", known.ways.call(way.binds)));
        bounds.push(Bound {
            longest_m: way.longest_mm / 1000.0,
            why,
            is_way: true,
            hoist_share: None,
        });
    }
    bounds.into_iter().min_by(|one, other| one.longest_m.total_cmp(&other.longest_m))
}
