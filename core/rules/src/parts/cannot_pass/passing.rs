//! What leaves one anchorage or form together, and the permanent parts that it has to come past.

use restrand_mechanics::Misfit;
use restrand_mechanics::passing::{self, ABUTTING_MM, Body, Bore, FLARE_WITHIN_MM, Pinch};
use restrand_model::resolve::ResolvedPart;
use restrand_model::schedule::{Exit, Part, Permanence};

use super::coaxial;
use crate::assembly::Assembly;

/// What leaves together, and what it has to come past.
///
/// Parts without the numbers that it takes are left out and counted as unknown: nothing is then said to pass, and
/// a clash between the others is still told.
pub(super) struct Passing<'a> {
    pub(super) leaving: Vec<&'a ResolvedPart<'a>>,
    pub(super) bodies: Vec<Body>,
    pub(super) staying: Vec<&'a ResolvedPart<'a>>,
    pub(super) bores: Vec<Bore>,
    /// Of each bore, the position of its part in `staying`: a flared part is several.
    of: Vec<usize>,
    /// A field without which a part could not be compared.
    pub(super) unknown: Option<&'static str>,
    exit: passing::Exit,
}

impl<'a> Passing<'a> {
    /// Only parts with something on their way count: the cap sits behind everything that stays.
    pub(super) fn of(
        assembly: &'a Assembly<'a>,
        leaving: Vec<&'a ResolvedPart<'a>>,
        exit: Exit,
    ) -> Self {
        let axis = assembly.axis;
        let mut passing = Self {
            leaving: Vec::new(),
            bodies: Vec::new(),
            staying: Vec::new(),
            bores: Vec::new(),
            of: Vec::new(),
            unknown: None,
            exit: match exit {
                Exit::Span => passing::Exit::Span,
                _ => passing::Exit::Rear,
            },
        };
        let staying: Vec<_> =
            coaxial(assembly, Permanence::Permanent).chain(&assembly.lips).collect();
        let stretch = |part: &&'a ResolvedPart<'a>| axis.stretch(&part.part);
        let (out, stay): (Vec<_>, Vec<_>) =
            (leaving.iter().map(stretch).collect(), staying.iter().map(stretch).collect());
        let meet = |body: &(f64, f64), bore: &(f64, f64)| match exit {
            Exit::Span => body.1 > bore.0 + ABUTTING_MM,
            _ => body.0 < bore.1 - ABUTTING_MM,
        };
        for (part, body) in leaving.into_iter().zip(&out) {
            let on_the_way = |body| stay.iter().flatten().any(|bore| meet(body, bore));
            match body {
                Ok(body) if !on_the_way(body) => {}
                Ok(_) => passing.leaves(assembly, part, exit),
                Err(field) => passing.unknown = Some(field),
            }
        }
        for (part, bore) in staying.into_iter().zip(&stay) {
            let passed = |bore| out.iter().flatten().any(|body| meet(body, bore));
            match bore {
                Ok(bore) if !passed(bore) => {}
                Ok(_) => passing.stays(assembly, part),
                Err(field) => passing.unknown = Some(field),
            }
        }
        passing
    }

    fn leaves(&mut self, assembly: &Assembly<'_>, part: &'a ResolvedPart<'a>, exit: Exit) {
        match assembly.axis.body(&part.part) {
            Ok(body) => {
                // What is cut off on the span side leaves with the free length.
                let cut = assembly.cut_mm.filter(|_| exit == Exit::Rear);
                if let Some(body) = cut.map_or(Some(body), |cut_mm| cut_off(body, cut_mm))
                    && fault(&[body], &[]).is_none()
                {
                    self.leaving.push(part);
                    self.bodies.push(body);
                }
            }
            Err(field) => self.unknown = Some(field),
        }
    }

    fn stays(&mut self, assembly: &Assembly<'_>, part: &'a ResolvedPart<'a>) {
        match bores_of(assembly, &part.part) {
            Ok(Ok(bores)) => {
                self.of.extend(bores.iter().map(|_| self.staying.len()));
                self.bores.extend(bores);
                self.staying.push(part);
            }
            // What cannot be right is told for itself.
            Ok(Err(_)) => {}
            Err(field) => self.unknown = Some(field),
        }
    }

    /// The tightest place at each permanent part, in their order; `bore` of each is the part's position.
    pub(super) fn tightest_of_each(&self) -> Vec<Pinch> {
        self.among(&self.bodies, |_| true)
    }

    /// The tightest place of all.
    pub(super) fn tightest(&self) -> Option<Pinch> {
        least(self.tightest_of_each())
    }

    /// The tightest place between two parts of which one at least is of interest.
    pub(super) fn tightest_with(
        &self,
        wanted: impl Fn(&ResolvedPart<'_>) -> bool,
    ) -> Option<Pinch> {
        let positions: Vec<_> =
            (0..self.bodies.len()).filter(|body| wanted(self.leaving[*body])).collect();
        let bodies: Vec<_> = positions.iter().map(|body| self.bodies[*body]).collect();
        let mut pinches = self.among(&bodies, |_| true);
        for pinch in &mut pinches {
            pinch.body = positions[pinch.body];
        }
        pinches.extend(self.among(&self.bodies, |part| wanted(self.staying[part])));
        least(pinches)
    }

    fn among(&self, bodies: &[Body], wanted: impl Fn(usize) -> bool) -> Vec<Pinch> {
        let positions: Vec<_> =
            (0..self.bores.len()).filter(|bore| wanted(self.of[*bore])).collect();
        let bores: Vec<_> = positions.iter().map(|bore| self.bores[*bore]).collect();
        // Each body and bore was looked over before it was taken in.
        let each = passing::tightest_of_each(bodies, &bores, self.exit).unwrap_or_default();
        let mut by_part: Vec<Pinch> = Vec::new();
        for pinch in each.into_iter().flatten() {
            let pinch = Pinch { bore: self.of[positions[pinch.bore]], ..pinch };
            match by_part.last_mut() {
                Some(last) if last.bore == pinch.bore => {
                    if pinch.gap_mm < last.gap_mm {
                        *last = pinch;
                    }
                }
                _ => by_part.push(pinch),
            }
        }
        by_part
    }
}

fn least(pinches: Vec<Pinch>) -> Option<Pinch> {
    pinches
        .into_iter()
        .reduce(|least, pinch| if pinch.gap_mm < least.gap_mm { pinch } else { least })
}

/// What of a body lies rearward of the cut; nothing if all of it is cut off.
fn cut_off(body: Body, cut_mm: f64) -> Option<Body> {
    if body.to_mm <= cut_mm {
        return None;
    }
    if body.from_mm >= cut_mm {
        return Some(body);
    }
    let share = (cut_mm - body.from_mm) / (body.to_mm - body.from_mm);
    let beyond = body.greatest_outer_at_mm.is_some_and(|at| at < cut_mm);
    Some(Body {
        from_mm: cut_mm,
        span_outer_mm: body.span_outer_mm * (1.0 - share) + body.rear_outer_mm * share,
        greatest_outer_mm: body.greatest_outer_mm.filter(|_| !beyond),
        greatest_outer_at_mm: body.greatest_outer_at_mm.filter(|_| !beyond),
        ..body
    })
}

/// The bore of a permanent part, a flare in short cones.
///
/// The outer error is the field without which there is none, the inner one says what cannot be right.
pub(super) fn bores_of(
    assembly: &Assembly<'_>,
    part: &Part,
) -> Result<Result<Vec<Bore>, Misfit>, &'static str> {
    let bore = assembly.axis.bore(part)?;
    Ok(match (part.wall_radius_mm, fault(&[], &[bore])) {
        (_, Some(misfit)) => Err(misfit),
        (Some(radius_mm), None) => passing::flare(bore, radius_mm, FLARE_WITHIN_MM),
        (None, None) => Ok(vec![bore]),
    })
}

/// What of these cannot be right.
pub(super) fn fault(bodies: &[Body], bores: &[Bore]) -> Option<Misfit> {
    passing::tightest_of_each(bodies, bores, passing::Exit::Rear).err()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cone_that_is_cut_ends_as_wide_as_it_is_there() {
        let cone = Body {
            from_mm: -600.0,
            to_mm: 0.0,
            rear_outer_mm: 160.0,
            span_outer_mm: 100.0,
            greatest_outer_mm: Some(170.0),
            greatest_outer_at_mm: Some(-300.0),
            tolerance_mm: 0.0,
            ovality_mm: 0.0,
        };
        // Halfway it is as wide as both ends' mean, and a bead at the very cut is drawn out with it.
        let halved = cut_off(cone, -300.0).unwrap();
        assert!((halved.span_outer_mm - 130.0).abs() < 1e-9);
        assert!((halved.from_mm + 300.0).abs() < 1e-9 && halved.to_mm.abs() < 1e-9);
        assert_eq!(halved.greatest_outer_mm, Some(170.0));
        // A sixth from its rear it is ten less wide than there, and the bead has gone.
        let short = cut_off(cone, -100.0).unwrap();
        assert!((short.span_outer_mm - 150.0).abs() < 1e-9);
        assert_eq!((short.greatest_outer_mm, short.greatest_outer_at_mm), (None, None));
        assert!(cut_off(cone, 0.0).is_none());
        assert_eq!(cut_off(cone, -600.0), Some(cone));
    }
}
