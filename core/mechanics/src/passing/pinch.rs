//! The tightest place on the way of a rigid group of bodies out of a group of bores.

use super::{ABUTTING_MM, Body, Bore};
use crate::misfit::Misfit;

/// The way by which a part leaves.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Exit {
    /// Away from the span, towards larger coordinates.
    Rear,
    /// Into the span, towards smaller coordinates.
    Span,
}

/// The tightest place on a way out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pinch {
    /// Position of the body in the list.
    pub body: usize,
    /// Position of the bore in the list.
    pub bore: usize,
    /// Where in the bore, mm on the axis.
    pub at_mm: f64,
    /// Where on the axis the body's tight section is before anything has moved, mm.
    pub section_mm: f64,
    /// The body's diameter at worst, mm.
    pub worst_outer_mm: f64,
    /// The bore's diameter at worst, mm.
    pub worst_bore_mm: f64,
    /// Radial gap at worst tolerance, mm; negative is a clash.
    pub gap_mm: f64,
    /// Radial gap of the same section in the same place with tolerances, ovality and seam zero, mm.
    pub nominal_gap_mm: f64,
}

/// Finds the tightest place on the way of a rigid group of bodies out along the axis.
///
/// `None` means that no body passes any bore, which is no proof that they are well placed.
///
/// # Formula
/// Towards the rear, the section at s passes every bore section at x ≥ s; towards the span, at x ≤ s. So
/// `gap(x) = (dw(x) - max Dw(s)) / 2`, the maximum over all sections s that pass x, and the result is the least gap.
///
/// Between neighbouring ends and flanges of the bodies, that maximum is convex in x, being the greatest of constants and straight lines,
/// and a bore's diameter is straight; so the gap is concave there and least at one of the ends.
/// The maximum only jumps up on the way, and at the very place of the jump, so one value at each such place, and at the bores' ends, is exact.
///
/// Faces that only touch do not pass: a wedge plate that sits on a bearing plate is not in its bore.
/// So at the end by which the bodies leave a bore, only sections that come from further in count.
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | s | coordinate of a body's section at rest | mm |
/// | x | coordinate of a bore's section | mm |
/// | Dw(s) | worst outside diameter, [`worst_outer_mm`](super::worst_outer_mm) | mm |
/// | dw(x) | worst inside diameter, [`worst_bore_mm`](super::worst_bore_mm) | mm |
///
/// # Validity
/// Coaxial bodies and bores of revolution; the group moves along the axis as one and does not tilt.
/// Cones are straight from end to end. A bent way (deviator) is another matter.
///
/// # Source
/// Derived; checked against a step-by-step march.
///
/// # Errors
/// [`Misfit`] names the body or bore whose numbers cannot be right.
///
/// ```
/// use restrand_mechanics::passing::{tightest, Body, Bore, Exit};
/// // A cone with its large end rearward, in a cone that is 10 mm wider everywhere.
/// let inner = Body {
///     from_mm: -500.0, to_mm: 0.0, rear_outer_mm: 200.0, span_outer_mm: 120.0,
///     greatest_outer_mm: None, greatest_outer_at_mm: None, tolerance_mm: 0.0, ovality_mm: 0.0,
/// };
/// let outer = Bore {
///     from_mm: -500.0, to_mm: 0.0, rear_inner_mm: 210.0, span_inner_mm: 130.0,
///     tolerance_mm: 0.0, ovality_mm: 0.0, seam_mm: 0.0,
/// };
/// assert_eq!(tightest(&[inner], &[outer], Exit::Rear)?.expect("they meet").gap_mm, 5.0);
/// let spanward = tightest(&[inner], &[outer], Exit::Span)?.expect("they meet");
/// assert_eq!(spanward.gap_mm, -35.0);
/// assert_eq!(spanward.at_mm, -500.0);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn tightest(bodies: &[Body], bores: &[Bore], exit: Exit) -> Result<Option<Pinch>, Misfit> {
    let each = tightest_of_each(bodies, bores, exit)?;
    // Of equal gaps the first bore's is told.
    Ok(each.into_iter().flatten().reduce(
        |least, pinch| {
            if pinch.gap_mm < least.gap_mm { pinch } else { least }
        },
    ))
}

/// Finds, for each bore, the tightest place on the way of a rigid group of bodies out along the axis.
///
/// The result has an item for each bore, in their order; `None` where no body passes it.
///
/// # Formula
/// That of [`tightest`], for each bore by itself.
///
/// # Symbols
/// Those of [`tightest`].
///
/// # Validity
/// That of [`tightest`].
///
/// # Source
/// Derived; checked against a step-by-step march.
///
/// # Errors
/// [`Misfit`] names the body or bore whose numbers cannot be right.
///
/// ```
/// use restrand_mechanics::passing::{tightest_of_each, Body, Bore, Exit};
/// let pipe = Body {
///     from_mm: -900.0, to_mm: 0.0, rear_outer_mm: 114.0, span_outer_mm: 114.0,
///     greatest_outer_mm: None, greatest_outer_at_mm: None, tolerance_mm: 0.0, ovality_mm: 0.0,
/// };
/// let bore = |from_mm, to_mm, inner_mm| Bore {
///     from_mm, to_mm, rear_inner_mm: inner_mm, span_inner_mm: inner_mm,
///     tolerance_mm: 0.0, ovality_mm: 0.0, seam_mm: 0.0,
/// };
/// let bores = [bore(-600.0, -100.0, 120.0), bore(-2000.0, -1000.0, 100.0)];
/// let each = tightest_of_each(&[pipe], &bores, Exit::Rear)?;
/// assert!((each[0].expect("the pipe passes it").gap_mm - 3.0).abs() < 1e-9);
/// assert!(each[1].is_none());
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn tightest_of_each(
    bodies: &[Body],
    bores: &[Bore],
    exit: Exit,
) -> Result<Vec<Option<Pinch>>, Misfit> {
    for (index, body) in bodies.iter().enumerate() {
        body.check(index)?;
    }
    for (index, bore) in bores.iter().enumerate() {
        bore.check(index)?;
    }
    Ok(match exit {
        Exit::Rear => rearward(bodies, bores),
        Exit::Span => {
            let bodies: Vec<Body> = bodies.iter().map(Body::mirrored).collect();
            let bores: Vec<Bore> = bores.iter().map(Bore::mirrored).collect();
            let mut each = rearward(&bodies, &bores);
            for pinch in each.iter_mut().flatten() {
                // The sum with zero keeps a minus sign off a zero.
                pinch.at_mm = -pinch.at_mm + 0.0;
                pinch.section_mm = -pinch.section_mm + 0.0;
            }
            each
        }
    })
}

fn rearward(bodies: &[Body], bores: &[Bore]) -> Vec<Option<Pinch>> {
    let mut places: Vec<f64> = bodies
        .iter()
        .flat_map(|body| [Some(body.from_mm), Some(body.to_mm), body.greatest_outer_at_mm])
        .flatten()
        .collect();
    places.sort_by(f64::total_cmp);
    places.dedup();
    // What passes a place is the same for every bore that reaches over it.
    let thickest: Vec<_> = places.iter().map(|at| greatest_passing(bodies, *at, true)).collect();
    bores
        .iter()
        .enumerate()
        .map(|(bore_index, bore)| {
            let first = places.partition_point(|at| *at < bore.from_mm);
            let last = places.partition_point(|at| *at < bore.to_mm - ABUTTING_MM).max(first);
            let begin = (bore.from_mm < bore.to_mm - ABUTTING_MM)
                .then(|| (bore.from_mm, greatest_passing(bodies, bore.from_mm, true)));
            let within =
                places[first..last].iter().copied().zip(thickest[first..last].iter().copied());
            let end = (bore.to_mm, greatest_passing(bodies, bore.to_mm, false));
            let mut least: Option<Pinch> = None;
            // In the order of the way out, so that of equal gaps the first is told.
            for (at_mm, passing) in begin.into_iter().chain(within).chain([end]) {
                let Some((index, section_mm, outer_mm)) = passing else { continue };
                let worst_outer_mm = outer_mm + bodies[index].growth_mm();
                let inner_mm = bore.cone_mm(at_mm);
                let worst_bore_mm = inner_mm - bore.shrinkage_mm();
                let gap_mm = (worst_bore_mm - worst_outer_mm) / 2.0;
                if least.is_none_or(|so_far| gap_mm < so_far.gap_mm) {
                    least = Some(Pinch {
                        body: index,
                        bore: bore_index,
                        at_mm,
                        section_mm,
                        worst_outer_mm,
                        worst_bore_mm,
                        gap_mm,
                        nominal_gap_mm: (inner_mm - outer_mm) / 2.0,
                    });
                }
            }
            least
        })
        .collect()
}

/// The body, coordinate and nominal diameter of the section that is thickest at worst, of all that pass a place.
fn greatest_passing(bodies: &[Body], at_mm: f64, touching: bool) -> Option<(usize, f64, f64)> {
    let mut best: Option<(f64, (usize, f64, f64))> = None;
    for (index, body) in bodies.iter().enumerate() {
        if let Some((outer_mm, section_mm)) = body.greatest_passing(at_mm, touching) {
            let worst_mm = outer_mm + body.growth_mm();
            if best.is_none_or(|(so_far, _)| worst_mm > so_far) {
                best = Some((worst_mm, (index, section_mm, outer_mm)));
            }
        }
    }
    best.map(|(_, section)| section)
}

// The tests' numbers are exact in binary.
#[cfg(test)]
#[allow(clippy::float_cmp)]
mod tests {
    use super::*;

    fn body(from_mm: f64, to_mm: f64, span_outer_mm: f64, rear_outer_mm: f64) -> Body {
        Body {
            from_mm,
            to_mm,
            rear_outer_mm,
            span_outer_mm,
            greatest_outer_mm: None,
            greatest_outer_at_mm: None,
            tolerance_mm: 0.0,
            ovality_mm: 0.0,
        }
    }

    fn bore(from_mm: f64, to_mm: f64, span_inner_mm: f64, rear_inner_mm: f64) -> Bore {
        Bore {
            from_mm,
            to_mm,
            rear_inner_mm,
            span_inner_mm,
            tolerance_mm: 0.0,
            ovality_mm: 0.0,
            seam_mm: 0.0,
        }
    }

    fn gap(bodies: &[Body], bores: &[Bore], exit: Exit) -> Option<f64> {
        tightest(bodies, bores, exit).unwrap().map(|pinch| pinch.gap_mm)
    }

    #[test]
    fn the_wedge_plate_leaves_only_rearward() {
        let plate = body(0.0, 75.0, 260.0, 260.0);
        let pipe = body(-900.0, 0.0, 114.0, 114.0);
        let plate_bore = bore(-50.0, 0.0, 200.0, 200.0);
        assert_eq!(gap(&[plate, pipe], &[plate_bore], Exit::Rear), Some(43.0));
        assert_eq!(gap(&[plate, pipe], &[plate_bore], Exit::Span), Some(-30.0));
    }

    #[test]
    fn a_face_that_only_touches_a_face_is_no_passage() {
        let plate = body(0.0, 75.0, 260.0, 260.0);
        let plate_bore = bore(-50.0, 0.0, 200.0, 200.0);
        assert_eq!(gap(&[plate], &[plate_bore], Exit::Rear), None);
        // Not even by the rounding of a unit conversion.
        let rounded = body(-1e-9, 75.0, 260.0, 260.0);
        assert_eq!(gap(&[rounded], &[plate_bore], Exit::Rear), None);
        // A flange on the same face belongs to the face.
        let mut trumpet = body(-500.0, 0.0, 120.0, 190.0);
        trumpet.greatest_outer_mm = Some(230.0);
        trumpet.greatest_outer_at_mm = Some(0.0);
        assert_eq!(gap(&[trumpet], &[plate_bore], Exit::Rear), Some(5.0));
        // But a plate let into a bore that is too tight for it does clash.
        let sunk = body(-5.0, 75.0, 260.0, 260.0);
        assert_eq!(gap(&[sunk], &[plate_bore], Exit::Rear), Some(-30.0));
    }

    #[test]
    fn a_thick_body_behind_a_tight_bore_does_not_pass_it() {
        let cone = body(-400.0, -10.0, 130.0, 190.0);
        let pipe = body(-1200.0, -400.0, 114.0, 114.0);
        let guide = bore(-1100.0, -400.0, 122.0, 122.0);
        assert_eq!(gap(&[cone, pipe], &[guide], Exit::Rear), Some(4.0));
        assert_eq!(gap(&[cone, pipe], &[guide], Exit::Span), Some(-34.0));
    }

    #[test]
    fn what_is_past_a_bore_does_not_pass_it() {
        let pipe = body(-900.0, -600.0, 114.0, 114.0);
        let tight = bore(-2000.0, -1000.0, 100.0, 100.0);
        assert_eq!(gap(&[pipe], &[tight], Exit::Rear), None);
        assert_eq!(gap(&[pipe], &[tight], Exit::Span), Some(-7.0));
    }

    #[test]
    fn a_bead_counts_only_where_it_passes() {
        let mut pipe = body(-900.0, 0.0, 114.0, 114.0);
        pipe.greatest_outer_mm = Some(126.0);
        pipe.greatest_outer_at_mm = Some(-300.0);
        let far = bore(-900.0, -400.0, 120.0, 120.0);
        let near = bore(-400.0, 0.0, 130.0, 130.0);
        assert_eq!(gap(&[pipe], &[far, near], Exit::Rear), Some(2.0));
        assert_eq!(gap(&[pipe], &[far, near], Exit::Span), Some(-3.0));
        // A bead of unknown place may be anywhere.
        pipe.greatest_outer_at_mm = None;
        assert_eq!(gap(&[pipe], &[far, near], Exit::Rear), Some(-3.0));
    }

    #[test]
    fn the_pinch_says_which_and_where() {
        let cone = body(-400.0, -10.0, 130.0, 190.0);
        let mut pipe = body(-1200.0, -400.0, 114.0, 114.0);
        pipe.tolerance_mm = 0.5;
        pipe.ovality_mm = 2.0;
        let mut guide = bore(-1100.0, -400.0, 122.0, 122.0);
        guide.seam_mm = 1.5;
        guide.tolerance_mm = 0.25;
        let outer = bore(-400.0, 0.0, 150.0, 210.0);
        let found = tightest(&[cone, pipe], &[outer, guide], Exit::Rear).unwrap().unwrap();
        assert_eq!((found.body, found.bore), (1, 1));
        assert_eq!(found.worst_outer_mm, 115.5);
        assert_eq!(found.worst_bore_mm, 120.25);
        assert_eq!(found.gap_mm, 2.375);
        assert_eq!(found.nominal_gap_mm, 4.0);
    }

    #[test]
    fn nothing_to_pass_is_none() {
        assert_eq!(gap(&[], &[bore(0.0, 1.0, 1.0, 1.0)], Exit::Rear), None);
        assert_eq!(gap(&[body(0.0, 1.0, 1.0, 1.0)], &[], Exit::Rear), None);
    }

    #[test]
    fn a_disc_and_a_lip_without_length_count() {
        let disc = body(-100.0, -100.0, 130.0, 130.0);
        let lip = bore(0.0, 0.0, 140.0, 128.0);
        assert_eq!(gap(&[disc], &[lip], Exit::Rear), Some(-1.0));
    }

    #[test]
    fn bad_numbers_are_refused() {
        let good = body(-100.0, 0.0, 114.0, 114.0);
        let hole = bore(-100.0, 0.0, 120.0, 120.0);
        for bad in [f64::NAN, f64::INFINITY, -1e300] {
            for wrong in [
                Body { from_mm: bad, ..good },
                Body { to_mm: bad, ..good },
                Body { rear_outer_mm: bad, ..good },
                Body { span_outer_mm: bad, ..good },
                Body { greatest_outer_mm: Some(bad), ..good },
                Body { greatest_outer_at_mm: Some(bad), ..good },
                Body { tolerance_mm: bad, ..good },
                Body { ovality_mm: bad, ..good },
            ] {
                assert!(tightest(&[wrong], &[hole], Exit::Rear).is_err());
            }
            for wrong in [
                Bore { from_mm: bad, ..hole },
                Bore { to_mm: bad, ..hole },
                Bore { rear_inner_mm: bad, ..hole },
                Bore { span_inner_mm: bad, ..hole },
                Bore { tolerance_mm: bad, ..hole },
                Bore { ovality_mm: bad, ..hole },
                Bore { seam_mm: bad, ..hole },
            ] {
                assert!(tightest(&[good], &[wrong], Exit::Rear).is_err());
            }
        }
        let reversed = body(0.0, -100.0, 114.0, 114.0);
        let told = tightest(&[good, reversed], &[hole], Exit::Rear).unwrap_err();
        assert!(told.to_string().starts_with("bodies[1].to_mm is -100"));
    }
}
