//! A cut that is stated where nobody can cut, or where nothing may be cut.

use restrand_finding::{Fact, Finding, Kind};
use restrand_mechanics::passing::ABUTTING_MM;

use super::RULE;
use super::geometry::Geometry;
use crate::context::{EndAt, TendonAt};

/// A cut that is stated where nobody can cut, or where nothing may be cut.
pub(super) fn misplaced(
    at: &TendonAt<'_>,
    end: &EndAt<'_>,
    geometry: &Geometry,
) -> Option<Finding> {
    let whole_to_mm = geometry.rearmost_mm - geometry.whole_mm;
    let inside =
        geometry.mouth.as_ref().filter(|(mouth_mm, _)| geometry.cut_mm > mouth_mm + ABUTTING_MM);
    let (message, help) = if geometry.cut_mm >= 0.0 {
        // Most likely a sign was lost.
        (
            "the stub at {end} of {tendon} is cut at {cut_mm} on the anchorage's axis, which is not on the span \
             side: there positions are negative",
            "State the cut as a negative position, measured from the bearing plate's face into the span",
        )
    } else if inside.is_some() {
        (
            "the stub at {end} of {tendon} is cut at {cut_mm} on the anchorage's axis, but {mouth} reaches to \
             {mouth_mm}: nobody can saw inside it",
            "State a cut on the span side of {mouth}, with room for the saw",
        )
    } else if geometry.cut_mm > whole_to_mm + ABUTTING_MM {
        (
            "the stub at {end} of {tendon} is cut at {cut_mm} on the anchorage's axis, but what must stay \
             whole reaches to {whole_to_mm}",
            "State a cut beyond what must stay whole, or correct the length that must",
        )
    } else {
        return None;
    };
    let mut finding =
        Finding::new(RULE.id, Kind::Inconsistent, end.route.field("stub_cut_mm"), message)
            .fact(Fact::text("end", format!("end {}", end.name)))
            .fact(Fact::text("tendon", at.mark()))
            .fact(Fact::given("cut_mm", geometry.cut_mm, 0))
            .fact(Fact::computed("whole_to_mm", whole_to_mm, 0))
            .help(help);
    if let Some((mouth_mm, mouth)) = &geometry.mouth {
        finding = finding
            .fact(Fact::text("mouth", mouth.as_str()))
            .fact(Fact::computed("mouth_mm", *mouth_mm, 0));
    }
    Some(finding)
}
