//! What sits behind the bearing plate: wedge plate, tails, cap.

use restrand_mechanics::passing::worst_outer_mm;
use restrand_mechanics::room::cap_room_mm;
use restrand_model::resolve::ResolvedPart;
use restrand_model::route::Route;
use restrand_model::schedule::{Anchorage, CapKind, Part, Role};

use crate::assembly::Axis;
use crate::context::Found;

/// The rear of the wedge plate, on which a jack stands, on the anchorage's axis, mm.
///
/// An anchorage that is no more than an envelope, without parts, has its wedge plate on the bearing plate.
///
/// # Errors
/// The field without which it is not known.
pub fn head_rear_mm(
    anchorage: Option<&Anchorage>,
    parts: &[ResolvedPart<'_>],
) -> Result<f64, &'static str> {
    let plates = parts.iter().filter(|part| part.part.role == Some(Role::WedgePlate));
    let rears: Vec<f64> = plates
        .map(|part| Axis::Anchorage.stretch(&part.part).map(|(_, rear_mm)| rear_mm))
        .collect::<Result<_, _>>()?;
    if let Some(rear_mm) = rears.into_iter().reduce(f64::max) {
        return Ok(rear_mm);
    }
    let anchorage = anchorage.ok_or("end.anchorage")?;
    if parts.is_empty() {
        anchorage.wedge_plate_thickness_mm.ok_or("anchorage.wedge_plate_thickness_mm")
    } else {
        Err("anchorage.parts")
    }
}

/// Half of the greatest diameter that a part may have, as far as diameters are stated, mm.
#[must_use]
pub fn worst_radius_mm(part: &Part) -> Option<f64> {
    let outer_mm = [part.rear_outer_mm, part.span_outer_mm, part.greatest_outer_mm];
    worst_of(part, outer_mm.into_iter().flatten().reduce(f64::max)?)
}

fn worst_of(part: &Part, outer_mm: f64) -> Option<f64> {
    let (tolerance_mm, ovality_mm) = (part.tolerance_mm, part.ovality_mm);
    let worst_mm =
        worst_outer_mm(outer_mm, tolerance_mm.unwrap_or(0.0), ovality_mm.unwrap_or(0.0)).ok()?;
    Some(worst_mm / 2.0)
}

/// Half of the greatest diameter of a wedge plate: of the part, else as the anchorage states it, mm.
pub(super) fn wedge_plate_radius_mm(
    anchorage: Option<&Found<'_, Anchorage>>,
    parts: &[ResolvedPart<'_>],
) -> Option<f64> {
    let plates = parts.iter().filter(|part| part.part.role == Some(Role::WedgePlate));
    let of_parts = plates.filter_map(|part| worst_radius_mm(&part.part)).reduce(f64::max);
    of_parts.or_else(|| anchorage?.record.wedge_plate_outer_mm.map(|outer_mm| outer_mm / 2.0))
}

/// A cap over wedge plate and tails.
#[derive(Debug, Clone, PartialEq)]
pub struct CapBody {
    /// Its open end, on the anchorage's axis, mm.
    pub open_mm: f64,
    /// Its closed end, mm.
    pub rear_mm: f64,
    /// Radius at worst, its flange left out, mm; where a diameter is stated.
    pub radius_mm: Option<f64>,
    /// The part, or the anchorage that states the cap.
    pub route: Route,
}

impl CapBody {
    /// The room behind the bearing plate in which it comes off over what reaches to `inside_mm`, mm.
    ///
    /// # Errors
    /// The field that cannot be right.
    pub fn room_mm(&self, inside_mm: f64, margin_mm: f64) -> Result<f64, &'static str> {
        cap_room_mm(self.open_mm.max(0.0), self.rear_mm, inside_mm.max(0.0), margin_mm)
            .map_err(|_| "part.from_mm")
    }
}

/// The cap of an anchorage: its part, else the length that the anchorage states; none where it is a pour-back.
///
/// # Errors
/// The field without which it is not known.
pub fn cap(
    anchorage: Option<&Found<'_, Anchorage>>,
    parts: &[ResolvedPart<'_>],
) -> Result<Option<CapBody>, &'static str> {
    if anchorage.is_some_and(|found| found.record.cap_kind == Some(CapKind::PourBack)) {
        return Ok(None);
    }
    if let Some(resolved) = parts.iter().find(|part| part.part.role == Some(Role::Cap)) {
        let part = &resolved.part;
        let (open_mm, rear_mm) = Axis::Anchorage.stretch(part)?;
        let outer_mm = [part.rear_outer_mm, part.span_outer_mm];
        let outer_mm = outer_mm.into_iter().flatten().reduce(f64::max);
        return Ok(Some(CapBody {
            open_mm,
            rear_mm,
            radius_mm: outer_mm.and_then(|outer_mm| worst_of(part, outer_mm)),
            route: resolved.route.clone(),
        }));
    }
    let found = anchorage.ok_or("end.anchorage")?;
    Ok(Some(CapBody {
        open_mm: 0.0,
        rear_mm: found.record.cap_length_mm.ok_or("anchorage.cap_length_mm")?,
        radius_mm: found.record.cap_outer_mm.map(|outer_mm| outer_mm / 2.0),
        route: found.route.field("cap_length_mm"),
    }))
}
