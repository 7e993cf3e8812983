//! What of the stub at an end does not depend on the room behind it.

use restrand_mechanics::SMALLEST;
use restrand_model::resolve::ResolvedPart;
use restrand_model::schedule::{Anchorage, End, Exit, Part, Permanence, Role};

use crate::assembly::{Axis, call};
use crate::ends::worst_radius_mm;

/// Whether a part leaves rearward, through the room at the end.
pub(super) fn is_drawn(part: &Part) -> bool {
    part.permanence != Some(Permanence::Permanent) && part.exit == Some(Exit::Rear)
}

/// What of a stub is stated by the end and its anchorage.
pub(crate) struct Geometry {
    pub(crate) rearmost_mm: f64,
    pub(crate) cut_mm: f64,
    /// Where the cut is assumed, if it is not stated.
    pub(crate) assumed_at: Option<String>,
    pub(crate) whole_mm: f64,
    /// What parts and tail make of it, and the part to whose span end.
    pub(super) whole_of_parts: Option<(f64, String)>,
    /// Radius of what is drawn out, plates included; the smallest if no diameter is stated.
    pub(crate) radius_mm: f64,
    /// Where the span-most permanent part ends, and how it is called.
    pub(super) mouth: Option<(f64, String)>,
}

impl Geometry {
    /// An error is the field without which there is no geometry.
    pub(super) fn of(
        anchorage: Option<&Anchorage>,
        end: &End,
        parts: &[ResolvedPart<'_>],
    ) -> Result<Self, &'static str> {
        if anchorage.is_none() && parts.is_empty() {
            return Err("end.anchorage");
        }
        if parts.is_empty() {
            return Err("anchorage.parts");
        }
        let tail_mm = end.tail_mm.ok_or("end.tail_mm")?;
        let all = || parts.iter().map(|resolved| resolved.part.as_ref());
        // Nothing of the stub: the cap is off, seals are torn or come along inside, tubes cross the axis.
        let bar =
            || all().filter(|part| !matches!(part.role, Some(Role::Cap | Role::Seal | Role::Tube)));
        let stretch = |part: &Part| Axis::Anchorage.stretch(part);
        let mut plates = Vec::new();
        for part in bar().filter(|part| part.role == Some(Role::WedgePlate)) {
            plates.push(stretch(part)?);
        }
        let mut leaving = Vec::new();
        for part in bar() {
            match (part.permanence, part.exit) {
                (Some(Permanence::Permanent), _) => {}
                (Some(Permanence::Replaceable), Some(Exit::Rear)) => {
                    leaving.push((stretch(part)?, part))
                }
                (Some(Permanence::Replaceable), Some(_)) => {}
                // What may leave rearward makes the stub longer, if nothing else says how long it is.
                (None, _) if end.stub_cut_mm.is_none() => return Err("part.permanence"),
                (_, None) if end.stub_cut_mm.is_none() => return Err("part.exit"),
                _ => {}
            }
        }
        let rear_of = |stretches: &mut dyn Iterator<Item = (f64, f64)>| {
            stretches.map(|(_, rear)| rear).reduce(f64::max)
        };
        let rear_mm = rear_of(&mut leaving.iter().map(|(stretch, _)| *stretch));
        let tails_mm = match rear_of(&mut plates.iter().copied()).or(rear_mm) {
            Some(plate_mm) => plate_mm + tail_mm,
            None => return Err("anchorage.parts"),
        };
        let rearmost_mm = rear_mm.map_or(tails_mm, |rear_mm| rear_mm.max(tails_mm));
        let mut mouth: Option<(f64, String)> = None;
        for part in bar().filter(|part| part.permanence == Some(Permanence::Permanent)) {
            if let Ok((span_mm, _)) = stretch(part)
                && mouth.as_ref().is_none_or(|(so_far, _)| span_mm < *so_far)
            {
                mouth = Some((span_mm, call(part)));
            }
        }
        let (cut_mm, assumed_at) = match (end.stub_cut_mm, &mouth) {
            (Some(cut_mm), _) => (cut_mm, None),
            (None, mouth) => {
                let last = leaving.iter().min_by(|(one, _), (other, _)| one.0.total_cmp(&other.0));
                let ((span_mm, _), part) = last.ok_or("end.stub_cut_mm")?;
                match mouth {
                    // Nobody saws inside the concrete: there the stub ends at the mouth at the earliest.
                    Some((mouth_mm, mouth)) if mouth_mm < span_mm => {
                        (*mouth_mm, Some(mouth.clone()))
                    }
                    _ => (*span_mm, Some(call(part))),
                }
            }
        };
        // The plates and what stands behind them cannot be sawn, and the trumpet is not to be.
        let stated_mm = anchorage.and_then(|anchorage| anchorage.whole_length_mm);
        let trumpet = span_most(&bar, &[Role::InnerTrumpet])
            // Where a length is stated, the plates are enough to hold it against.
            .filter(|trumpet| trumpet.is_ok() || stated_mm.is_none());
        let whole_to = trumpet.or_else(|| span_most(&bar, &[Role::WedgePlate, Role::ShimPlate]));
        let whole_of_parts =
            whole_to.transpose()?.map(|(to_mm, part)| (rearmost_mm - to_mm, call(part)));
        let of_parts_mm = whole_of_parts.as_ref().map(|(of_parts_mm, _)| *of_parts_mm);
        let whole_mm = stated_mm
            .into_iter()
            .chain(of_parts_mm)
            .reduce(f64::max)
            .ok_or("anchorage.whole_length_mm")?;
        let radius_mm = bar()
            .filter(|part| is_drawn(part))
            .filter_map(worst_radius_mm)
            .fold(SMALLEST / 2.0, f64::max);
        Ok(Self { rearmost_mm, cut_mm, assumed_at, whole_mm, whole_of_parts, radius_mm, mouth })
    }

    pub(crate) fn length_mm(&self) -> f64 {
        self.rearmost_mm - self.cut_mm
    }
}

/// Of the parts of these roles that leave, the one that reaches furthest to the span side, and where it ends.
fn span_most<'a, I: Iterator<Item = &'a Part>>(
    bar: &impl Fn() -> I,
    roles: &[Role],
) -> Option<Result<(f64, &'a Part), &'static str>> {
    bar()
        .filter(|part| part.permanence != Some(Permanence::Permanent))
        .filter(|part| part.role.is_some_and(|role| roles.contains(&role)))
        .map(|part| Axis::Anchorage.stretch(part).map(|(span_mm, _)| (span_mm, part)))
        .reduce(|one, other| {
            let (one, other) = (one?, other?);
            Ok(if other.0 < one.0 { other } else { one })
        })
}
