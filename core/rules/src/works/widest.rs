//! How wide a stretch of a tendon is that is taken out: the duct with what stays on it.

use restrand_mechanics::passing::worst_outer_mm;
use restrand_model::resolve::ResolvedPart;
use restrand_model::schedule::{Duct, EndName, Exit, Part, Permanence};

use super::PlannedStub;
use super::along::Along;
use crate::assembly::call;
use crate::context::{Context, EndAt, TendonAt};
use crate::ends::worst_radius_mm;
use crate::tendon_path::DeviatorSpot;

/// The greatest diameter on a stretch of a tendon.
#[derive(Debug, Clone, PartialEq)]
pub struct Widest {
    /// Diameter at worst tolerance, mm.
    pub diameter_mm: f64,
    /// What makes it so, where it is not the duct itself: `a joint of the duct`, or the name of a part.
    pub by: Option<String>,
    /// What is absent of something else that sits on the stretch, so that it may be wider.
    pub lacks: Option<&'static str>,
}

/// Something on the tendon that may be wider than its duct.
#[derive(Debug, Clone, PartialEq)]
struct Sits {
    /// Where it sits, m along the tendon; nothing where it may sit anywhere.
    along_m: Option<[f64; 2]>,
    /// Its diameter at worst tolerance, mm, or the field without which that is not known.
    diameter_mm: Result<f64, &'static str>,
    /// How people call it.
    name: String,
}

/// Stations between which a duct lies, m, and its diameter at worst tolerance, mm.
type DuctOver = ([f64; 2], Result<f64, &'static str>);

/// How wide a tendon is along its length: the duct, its joints, and the parts of anchorages and forms that leave with it.
///
/// Everybody who leads a piece, a stub or a length of the old tendon through an opening asks for it here.
#[derive(Debug, Clone, PartialEq)]
pub struct Widths {
    along: Along,
    /// The duct from one station to another, m, and its diameter at worst tolerance, mm.
    ducts: Result<Vec<DuctOver>, &'static str>,
    sits: Vec<Sits>,
}

impl Widths {
    /// The widths of a tendon that is laid out.
    ///
    /// A joint or a part of which it is not stated where it sits may sit on any stretch.
    ///
    /// # Errors
    /// The field without which it is not laid out.
    pub fn of(context: &Context<'_>, at: &TendonAt<'_>) -> Result<Self, &'static str> {
        let along = Along::of(context, at)?;
        let mut sits: Vec<Sits> = Vec::new();
        for joint in &at.tendon.duct_joints {
            let half_m = joint.length_mm.unwrap_or(0.0) / 2.0 / 1000.0;
            let middle_m = joint.station_m.map(|station_m| along.at_m(station_m));
            sits.push(Sits {
                along_m: middle_m.map(|middle_m| [middle_m - half_m, middle_m + half_m]),
                diameter_mm: joint.outer_mm.ok_or("duct_joint.outer_mm"),
                name: "a joint of the duct".to_owned(),
            });
        }
        for end in at.ends() {
            let at_m = |mm: f64| match end.name {
                EndName::A => -mm / 1000.0,
                EndName::B => along.length_m() + mm / 1000.0,
            };
            parts_of(context.end_parts(&end), at_m, &mut sits);
        }
        let laid = context.path(at).map_err(|none| none.field())?;
        for (index, deviator) in at.tendon.deviators.iter().enumerate() {
            if laid.deviators.get(index) == Some(&DeviatorSpot::OffPath) {
                continue;
            }
            let place = context.place(deviator.place.as_ref());
            let Some(station_m) = place.and_then(|place| place.record.station_m) else { continue };
            let middle_m = along.at_m(station_m);
            let parts = context.deviator_parts(at, index);
            parts_of(parts, |mm| middle_m + mm / 1000.0, &mut sits);
        }
        let ducts = context.duct_lengths(at.tendon).map(|lengths| {
            let lengths = lengths.into_iter();
            lengths.map(|length| (length.stations_m, worst_duct_mm(length.duct.record))).collect()
        });
        Ok(Self { along, ducts, sits })
    }

    /// The greatest diameter over a stretch, from one length to another along the tendon, m.
    ///
    /// # Errors
    /// The field without which not even the duct is known.
    pub fn over(&self, along_m: [f64; 2]) -> Result<Widest, &'static str> {
        let mut widest = Widest { diameter_mm: self.duct_over_mm(along_m)?, by: None, lacks: None };
        let here = |one: &&Sits| one.along_m.is_none_or(|own_m| meet(along_m, own_m));
        for one in self.sits.iter().filter(here) {
            match one.diameter_mm {
                Ok(diameter_mm) if diameter_mm > widest.diameter_mm => {
                    widest.diameter_mm = diameter_mm;
                    widest.by = Some(one.name.clone());
                }
                Ok(_) => {}
                Err(field) => widest.lacks = Some(field),
            }
        }
        Ok(widest)
    }

    /// The duct at its widest over a stretch.
    fn duct_over_mm(&self, along_m: [f64; 2]) -> Result<f64, &'static str> {
        let ends_m = along_m.map(|along_m| self.along.station_m(along_m));
        let over_m = [ends_m[0].min(ends_m[1]), ends_m[0].max(ends_m[1])];
        let here = self.ducts.as_ref().map_err(|field| *field)?.iter();
        let here = here.filter(|(stations_m, _)| meet(over_m, *stations_m));
        here.map(|(_, worst_mm)| *worst_mm).try_fold(0.0, |widest: f64, own| Ok(widest.max(own?)))
    }
}

/// The greatest diameter of what is drawn out of an anchorage, plates included, mm.
///
/// # Errors
/// The field without which not even the duct in it is known.
pub fn bar_diameter_mm(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    end: &EndAt<'_>,
    stub: &PlannedStub,
) -> Result<f64, &'static str> {
    let length_m = Along::of(context, at)?.length_m();
    let cut_m = -stub.cut_mm / 1000.0;
    let along_m = match end.name {
        EndName::A => [0.0, cut_m],
        EndName::B => [length_m - cut_m, length_m],
    };
    Ok(Widths::of(context, at)?.over(along_m)?.diameter_mm.max(2.0 * stub.radius_mm))
}

/// The outside of a duct at worst tolerance, mm: as wide as a stick or a bare length of it is on its way.
///
/// # Errors
/// The field without which it is not known.
pub fn worst_duct_mm(duct: &Duct) -> Result<f64, &'static str> {
    let outer_mm = duct.outer_mm.ok_or("duct.outer_mm")?;
    let (tolerance, ovality) = (duct.tolerance_mm, duct.ovality_mm);
    worst_outer_mm(outer_mm, tolerance.unwrap_or(0.0), ovality.unwrap_or(0.0))
        .map_err(|_| "duct.outer_mm")
}

/// The parts that leave with the tendon, and where they sit.
fn parts_of(parts: &[ResolvedPart<'_>], at_m: impl Fn(f64) -> f64, sits: &mut Vec<Sits>) {
    for part in parts.iter().map(|resolved| resolved.part.as_ref()).filter(|part| leaves(part)) {
        let along_m = part.from_mm.zip(part.to_mm).map(|(from_mm, to_mm)| {
            let (one_m, other_m) = (at_m(from_mm), at_m(to_mm));
            [one_m.min(other_m), one_m.max(other_m)]
        });
        // What is drawn out rearward has its own way; what leaves into the span may sit on any piece.
        if along_m.is_none() && part.exit != Some(Exit::Span) {
            continue;
        }
        let diameter_mm = worst_radius_mm(part).map(|radius_mm| 2.0 * radius_mm);
        let diameter_mm = diameter_mm.ok_or("part.rear_outer_mm");
        sits.push(Sits { along_m, diameter_mm, name: call(part) });
    }
}

/// Whether a part leaves whole, with the tendon in it; what is stripped in place is off before.
fn leaves(part: &Part) -> bool {
    part.permanence == Some(Permanence::Replaceable)
        && matches!(part.exit, Some(Exit::Rear | Exit::Span))
}

/// Whether two stretches have more than a point in common.
fn meet(one_m: [f64; 2], other_m: [f64; 2]) -> bool {
    other_m[0] < one_m[1] && other_m[1] > one_m[0]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn stretches_that_only_touch_do_not_meet() {
        assert!(meet([1.0, 2.0], [1.9, 2.1]) && meet([1.0, 2.0], [0.9, 1.1]));
        assert!(!meet([1.0, 2.0], [2.0, 3.0]) && !meet([1.0, 2.0], [0.0, 1.0]));
        assert!(meet([1.0, 2.0], [0.0, 3.0]) && meet([1.0, 2.0], [1.5, 1.5]));
    }
}
