//! The line from which stations are laid off.

use restrand_mechanics::path::{Alignment, Element, Start};
use restrand_model::schedule::{AlignmentElement, AlignmentKind, Schedule};

use super::{Impossible, NoPath};

/// Stations that are one are written to a millimetre, m.
const SAME_STATION_M: f64 = 0.000_5;

/// The line from which stations are laid off.
///
/// # Errors
/// What is absent, or cannot be as stated; a project that says nothing of its alignment is not taken as straight.
pub(crate) fn alignment_of(schedule: &Schedule) -> Result<Alignment, NoPath> {
    let is_straight = schedule.project.as_deref().and_then(|project| project.alignment_straight);
    let elements = &schedule.alignment;
    if is_straight == Some(true) {
        return match elements.iter().position(is_arc) {
            Some(element) => Err(NoPath::Impossible(Impossible::StraightWithArc { element })),
            None => Ok(Alignment::Straight),
        };
    }
    if elements.is_empty() {
        return Err(NoPath::Missing(match is_straight {
            None => "project.alignment_straight",
            Some(_) => "schedule.alignment",
        }));
    }
    let mut laid = Vec::with_capacity(elements.len());
    let mut begin_m = None;
    let mut reached_m: Option<f64> = None;
    for (index, element) in elements.iter().enumerate() {
        let from_m = element.from_m.ok_or(NoPath::Missing("alignment_element.from_m"))?;
        let to_m = element.to_m.ok_or(NoPath::Missing("alignment_element.to_m"))?;
        let broken =
            |at_m| NoPath::Impossible(Impossible::BrokenAlignment { element: index, at_m });
        if let Some(reached_m) = reached_m
            && (from_m - reached_m).abs() > SAME_STATION_M
        {
            return Err(broken(reached_m));
        }
        // An element takes up what the one before it is short of.
        let from_m = reached_m.unwrap_or(from_m);
        if to_m - from_m < SAME_STATION_M {
            return Err(broken(from_m));
        }
        begin_m.get_or_insert(from_m);
        laid.push(Element { length_m: to_m - from_m, radius_m: radius_of(element)? });
        reached_m = Some(to_m);
    }
    let station_m = begin_m.unwrap_or(0.0);
    let start = Start { station_m, x_m: 0.0, y_m: 0.0, heading_rad: 0.0 };
    Ok(Alignment::Curved { start, elements: laid })
}

fn is_arc(element: &AlignmentElement) -> bool {
    match element.kind {
        Some(kind) => kind == AlignmentKind::Arc,
        None => element.radius_m.is_some(),
    }
}

/// The radius of an arc, nothing for a line.
fn radius_of(element: &AlignmentElement) -> Result<Option<f64>, NoPath> {
    match (element.kind, element.radius_m) {
        (Some(AlignmentKind::Line), _) => Ok(None),
        (_, Some(radius_m)) => Ok(Some(radius_m)),
        (Some(AlignmentKind::Arc), None) => Err(NoPath::Missing("alignment_element.radius_m")),
        (None, None) => Err(NoPath::Missing("alignment_element.kind")),
    }
}
