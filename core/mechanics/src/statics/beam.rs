//! A continuous beam on rigid supports, solved by the moments over its supports.

use super::effects::{Cut, LoadEffects, Supports, TendonAt, TendonEffects};
use super::load::{Base, Load};
use super::piece::Piece;
use super::tendon::{Tendon, primary};
use super::tridiagonal::Tridiagonal;
use crate::misfit::{Argument, LARGEST, Misfit, SAME_PLACE_M, above, number, positive};

/// Bending stiffness over a stretch of the beam.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stiffness {
    /// Station of the start, m.
    pub from_m: f64,
    /// Station of the end, m.
    pub to_m: f64,
    /// E·I, kN·m²; only the ratios between stretches matter.
    pub ei_knm2: f64,
}

/// A continuous beam.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BeamData<'a> {
    /// Stations of the supports, growing, at least two, m.
    pub supports_m: &'a [f64],
    /// Stiffness, one stretch after another, from the first support or before it to the last or beyond it.
    pub stiffness: &'a [Stiffness],
    /// Whether the first support holds the beam against turning.
    pub start_fixed: bool,
    /// Whether the last support holds the beam against turning.
    pub end_fixed: bool,
}

/// A stretch within one span and of one stiffness.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Cell {
    from_m: f64,
    to_m: f64,
    span: usize,
    ei_knm2: f64,
}

/// A continuous beam that is checked and taken apart once, for any number of loads and tendons.
#[derive(Debug, Clone, PartialEq)]
pub struct Beam {
    supports_m: Vec<f64>,
    cells: Vec<Cell>,
    /// Position of the first support whose moment is unknown.
    first_unknown: usize,
    /// How many support moments are unknown.
    unknowns: usize,
    flexibility: Tridiagonal,
}

/// The two points and the weight by which the three-point rule of Gauss is symmetrical about the middle.
const GAUSS_OFFSET: f64 = 0.774_596_669_241_483_4;
const GAUSS: [(f64, f64); 3] =
    [(-GAUSS_OFFSET, 5.0 / 18.0), (0.0, 8.0 / 18.0), (GAUSS_OFFSET, 5.0 / 18.0)];

/// ∫ f dx, exact for polynomials up to the fifth degree.
fn integral(from_m: f64, to_m: f64, f: impl Fn(f64) -> f64) -> f64 {
    let (middle, half) = (f64::midpoint(from_m, to_m), (to_m - from_m) / 2.0);
    let sum: f64 = GAUSS.iter().map(|(point, weight)| weight * f(middle + half * point)).sum();
    sum * (to_m - from_m)
}

impl Beam {
    /// Checks a beam and takes its equations apart.
    ///
    /// # Formula
    /// The moments X over the supports make the beam continuous there: for each unknown i,
    /// `Σ X_j ∫ m_i m_j / EI dx = - ∫ M0 m_i / EI dx`
    ///
    /// # Symbols
    /// | symbol | meaning | unit |
    /// |---|---|---|
    /// | M0 | moments in the simple spans (loads), or `-H e` (tendon) | kNm |
    /// | m_i | 1 over support i, falling straight to 0 over its neighbours | |
    /// | X | moment over a support | kNm |
    /// | EI | stiffness | kN·m² |
    ///
    /// # Validity
    /// Straight, slender beam, plane bending, rigid supports that take force up and down; EI constant in each stretch.
    /// With two simple supports nothing is unknown and the stiffness does not matter.
    /// The integrals are exact for moments up to the third degree.
    ///
    /// # Source
    /// The force method, of which Clapeyron's three-moment equation is this case; any book on the theory of structures.
    ///
    /// # Errors
    /// [`Misfit`] if there are fewer than two supports, they do not grow, a stiffness is not greater than zero,
    /// stretches do not follow one another, or they do not reach from the first support to the last.
    ///
    /// ```
    /// use restrand_mechanics::statics::{Beam, BeamData, Cut, Load, Side, Stiffness};
    /// let beam = Beam::new(&BeamData {
    ///     supports_m: &[0.0, 10.0, 20.0],
    ///     stiffness: &[Stiffness { from_m: 0.0, to_m: 20.0, ei_knm2: 1.0 }],
    ///     start_fixed: false, end_fixed: false,
    /// })?;
    /// let load = Load::Spread { from_m: 0.0, to_m: 20.0, from_kn_per_m: 8.0, to_kn_per_m: 8.0 };
    /// let told = beam.under_loads(&[load], &[Cut { station_m: 10.0, side: Side::Up }])?;
    /// assert!((told.moments_knm[0] + 100.0).abs() < 1e-9);
    /// assert!((told.supports.reactions_up_kn[1] - 100.0).abs() < 1e-9);
    /// # Ok::<(), restrand_mechanics::Misfit>(())
    /// ```
    pub fn new(data: &BeamData<'_>) -> Result<Self, Misfit> {
        check(data)?;
        let supports_m = data.supports_m.to_vec();
        let cells = cells(data);
        let spans = supports_m.len() - 1;
        let first_unknown = usize::from(!data.start_fixed);
        let last_unknown = if data.end_fixed { spans } else { spans - 1 };
        let unknowns = (last_unknown + 1).saturating_sub(first_unknown);

        let mut diagonal = vec![0.0; spans + 1];
        let mut beside = vec![0.0; spans];
        for cell in &cells {
            let (left_m, length_m) =
                (supports_m[cell.span], supports_m[cell.span + 1] - supports_m[cell.span]);
            let right = |x: f64| (x - left_m) / length_m;
            let flex = |f: &dyn Fn(f64) -> f64| integral(cell.from_m, cell.to_m, f) / cell.ei_knm2;
            diagonal[cell.span] += flex(&|x| (1.0 - right(x)) * (1.0 - right(x)));
            beside[cell.span] += flex(&|x| right(x) * (1.0 - right(x)));
            diagonal[cell.span + 1] += flex(&|x| right(x) * right(x));
        }
        let known_after = first_unknown + unknowns;
        let flexibility = Tridiagonal::new(
            &diagonal[first_unknown..known_after],
            &beside[first_unknown..known_after.saturating_sub(1).max(first_unknown)],
        );
        Ok(Self { supports_m, cells, first_unknown, unknowns, flexibility })
    }

    /// Returns moments and reactions under loads.
    ///
    /// # Formula
    /// `M = M0 + X_i (1 - ξ) + X_(i+1) ξ` in span i; reactions from the jumps of `dM/dx`.
    ///
    /// # Symbols
    /// | symbol | meaning | unit |
    /// |---|---|---|
    /// | M0 | moments in the simple spans and in overhangs | kNm |
    /// | X | moments over the supports, see [`Beam::new`] | kNm |
    /// | ξ | place in the span, 0 to 1 | |
    ///
    /// # Validity
    /// As [`Beam::new`]. Loads on overhangs beyond the end supports count; a couple on an inner support acts on the span to its right.
    ///
    /// # Source
    /// As [`Beam::new`].
    ///
    /// # Errors
    /// [`Misfit`] if a number is not finite, or a load's end is before its start.
    ///
    /// ```
    /// use restrand_mechanics::statics::{Beam, BeamData, Load, Stiffness};
    /// let beam = Beam::new(&BeamData {
    ///     supports_m: &[0.0, 8.0],
    ///     stiffness: &[Stiffness { from_m: 0.0, to_m: 8.0, ei_knm2: 1.0 }],
    ///     start_fixed: true, end_fixed: true,
    /// })?;
    /// let told = beam.under_loads(&[Load::Point { at_m: 4.0, down_kn: 10.0 }], &[])?;
    /// // P L / 8 at each end.
    /// assert!((told.supports.moments_knm[0] + 10.0).abs() < 1e-9);
    /// # Ok::<(), restrand_mechanics::Misfit>(())
    /// ```
    pub fn under_loads(&self, loads: &[Load], cuts: &[Cut]) -> Result<LoadEffects, Misfit> {
        check_cuts(cuts)?;
        let mut base = Base::new(&self.supports_m);
        for (index, load) in loads.iter().enumerate() {
            base.add(index, load)?;
        }
        let by_continuity = self.support_moments(&base.pieces);
        let moments_knm = cuts
            .iter()
            .map(|&cut| {
                let simple: f64 = base
                    .pieces
                    .iter()
                    .filter(|piece| piece.holds(cut))
                    .map(|piece| piece.at(cut.station_m))
                    .sum();
                simple + self.by_continuity_at(&by_continuity, cut)
            })
            .collect();
        let supports = self.supports(base.reactions_up_kn, by_continuity);
        Ok(LoadEffects { moments_knm, supports })
    }

    /// Returns what a tendon does: axial force, primary, secondary and total moments, and the reactions that make the secondary ones.
    ///
    /// # Formula
    /// `primary = -H e`; secondary straight between the supports, by [`Beam::new`] with `M0 = -H e`; `total = primary + secondary`
    ///
    /// # Symbols
    /// | symbol | meaning | unit |
    /// |---|---|---|
    /// | H | the tendon force's component along the beam | kN |
    /// | e | eccentricity, positive below the centroid | m |
    ///
    /// # Validity
    /// As [`Beam::new`]. The primary moment is exact for any tendon, internal or external: a cut through beam and tendon leaves nothing
    /// but the tendon's force. It does not matter whether the force got into the beam along the duct or at deviators.
    /// Axial shortening is free: nothing but the tendons holds the beam lengthwise.
    ///
    /// # Source
    /// Lin and Burns, Design of Prestressed Concrete Structures, continuous beams (from memory); the force method.
    ///
    /// # Errors
    /// As [`primary`](super::primary).
    ///
    /// ```
    /// use restrand_mechanics::statics::{AxialPoint, Beam, BeamData, Cut, Run, Side, Stiffness, Tendon};
    /// let beam = Beam::new(&BeamData {
    ///     supports_m: &[0.0, 20.0, 40.0],
    ///     stiffness: &[Stiffness { from_m: 0.0, to_m: 40.0, ei_knm2: 1.0 }],
    ///     start_fixed: false, end_fixed: false,
    /// })?;
    /// // Hanging 0.5 m in each span, at the centroid over the supports: 8 H f / L² upward, so H f over the middle support.
    /// let hanging = |from_m: f64| Run {
    ///     from_m, to_m: from_m + 20.0, from_eccentricity_m: 0.0, to_eccentricity_m: 0.0, sag_m: 0.5,
    /// };
    /// let tendon = Tendon {
    ///     runs: &[hanging(0.0), hanging(20.0)],
    ///     axial: &[AxialPoint { station_m: 0.0, axial_kn: 3000.0 }, AxialPoint { station_m: 40.0, axial_kn: 3000.0 }],
    /// };
    /// let told = beam.under_tendon(&tendon, &[Cut { station_m: 20.0, side: Side::Up }])?;
    /// assert_eq!(told.at[0].primary_knm, 0.0);
    /// assert!((told.at[0].secondary_knm - 1500.0).abs() < 1e-9);
    /// # Ok::<(), restrand_mechanics::Misfit>(())
    /// ```
    pub fn under_tendon(&self, tendon: &Tendon<'_>, cuts: &[Cut]) -> Result<TendonEffects, Misfit> {
        let primaries = primary(tendon, cuts)?;
        let pieces: Vec<Piece> = tendon.legs()?.into_iter().map(|leg| leg.moment).collect();
        let by_continuity = self.support_moments(&pieces);
        let at = primaries
            .iter()
            .zip(cuts)
            .map(|(here, &cut)| {
                let secondary_knm = self.by_continuity_at(&by_continuity, cut);
                TendonAt {
                    axial_kn: here.axial_kn,
                    primary_knm: here.primary_knm,
                    secondary_knm,
                    total_knm: here.primary_knm + secondary_knm,
                }
            })
            .collect();
        let supports = self.supports(vec![0.0; self.supports_m.len()], by_continuity);
        Ok(TendonEffects { at, supports })
    }

    /// The moments over all supports that make the beam continuous.
    fn support_moments(&self, pieces: &[Piece]) -> Vec<f64> {
        let mut turns = vec![0.0; self.supports_m.len()];
        for piece in pieces {
            let first = self.cells.partition_point(|cell| cell.to_m <= piece.from_m);
            for cell in &self.cells[first..] {
                if cell.from_m >= piece.to_m {
                    break;
                }
                let (from_m, to_m) = (cell.from_m.max(piece.from_m), cell.to_m.min(piece.to_m));
                let left_m = self.supports_m[cell.span];
                let length_m = self.supports_m[cell.span + 1] - left_m;
                let right = |x: f64| (x - left_m) / length_m;
                turns[cell.span] +=
                    integral(from_m, to_m, |x| piece.at(x) * (1.0 - right(x))) / cell.ei_knm2;
                turns[cell.span + 1] +=
                    integral(from_m, to_m, |x| piece.at(x) * right(x)) / cell.ei_knm2;
            }
        }
        let range = self.first_unknown..self.first_unknown + self.unknowns;
        let solved = self.flexibility.solve(turns[range].iter().map(|turn| -turn).collect());
        let mut all = vec![0.0; self.supports_m.len()];
        all[self.first_unknown..self.first_unknown + self.unknowns].copy_from_slice(&solved);
        all
    }

    /// The straight-line moments between the supports.
    fn by_continuity_at(&self, moments: &[f64], cut: Cut) -> f64 {
        // The span to which the cut belongs begins at the last support before it.
        let passed = self.supports_m.partition_point(|support| cut.is_past(*support));
        if passed == 0 || passed == self.supports_m.len() {
            return 0.0;
        }
        let (left_m, right_m) = (self.supports_m[passed - 1], self.supports_m[passed]);
        let share = ((cut.station_m - left_m) / (right_m - left_m)).clamp(0.0, 1.0);
        moments[passed - 1] * (1.0 - share) + moments[passed] * share
    }

    fn supports(&self, mut reactions_up_kn: Vec<f64>, moments_knm: Vec<f64>) -> Supports {
        for span in 0..self.supports_m.len() - 1 {
            let slope = (moments_knm[span + 1] - moments_knm[span])
                / (self.supports_m[span + 1] - self.supports_m[span]);
            reactions_up_kn[span] += slope;
            reactions_up_kn[span + 1] -= slope;
        }
        Supports {
            reactions_up_kn,
            start_couple_knm: moments_knm[0],
            // The sum with zero keeps a minus sign off a zero.
            end_couple_knm: -moments_knm[moments_knm.len() - 1] + 0.0,
            moments_knm,
        }
    }
}

pub(super) fn check_cuts(cuts: &[Cut]) -> Result<(), Misfit> {
    for (index, cut) in cuts.iter().enumerate() {
        number(Argument::of("cuts", index, "station_m"), cut.station_m)?;
    }
    Ok(())
}

fn check(data: &BeamData<'_>) -> Result<(), Misfit> {
    let supports = data.supports_m;
    if supports.len() < 2 {
        return Err(Misfit::NotAbove {
            argument: Argument::new("number of supports"),
            value: supports.len() as f64,
            floor: 1.0,
            floor_is: "a single support",
        });
    }
    for (index, &station) in supports.iter().enumerate() {
        let argument = Argument::of("supports", index, "station_m");
        number(argument, station)?;
        if index > 0 {
            let floor = supports[index - 1] + SAME_PLACE_M;
            above(argument, station, floor, "the support before")?;
        }
    }
    let first = supports[0];
    let last = supports[supports.len() - 1];
    let mut reached = f64::NAN;
    for (index, stretch) in data.stiffness.iter().enumerate() {
        let name = |name| Argument::of("stiffness", index, name);
        number(name("from_m"), stretch.from_m)?;
        number(name("to_m"), stretch.to_m)?;
        positive(name("ei_knm2"), stretch.ei_knm2)?;
        let (least, most) = if index == 0 { (-LARGEST, first) } else { (reached, reached) };
        joined(name("from_m"), stretch.from_m, least, most)?;
        above(name("to_m"), stretch.to_m, stretch.from_m + SAME_PLACE_M, "from_m")?;
        reached = stretch.to_m;
    }
    // Of an empty list nothing is reached.
    if reached.is_nan() || reached < last - SAME_PLACE_M {
        return Err(Misfit::NotWithin {
            argument: Argument::new("end of the stiffness"),
            value: if reached.is_nan() { first } else { reached },
            least: last,
            most: LARGEST,
        });
    }
    Ok(())
}

/// Refuses a station outside two others by more than what two stations differ by that are one.
pub(super) fn joined(argument: Argument, value: f64, least: f64, most: f64) -> Result<(), Misfit> {
    if value < least - SAME_PLACE_M || value > most + SAME_PLACE_M {
        Err(Misfit::NotWithin { argument, value, least, most })
    } else {
        Ok(())
    }
}

/// Stretches of one span and one stiffness, from the first support to the last.
fn cells(data: &BeamData<'_>) -> Vec<Cell> {
    let mut found = Vec::with_capacity(data.supports_m.len() + data.stiffness.len());
    let mut stretch = 0;
    for (span, pair) in data.supports_m.windows(2).enumerate() {
        let mut from_m = pair[0];
        while from_m < pair[1] {
            // The last stretch goes on to the last support, which it may miss by a rounding.
            while stretch + 1 < data.stiffness.len() && data.stiffness[stretch].to_m <= from_m {
                stretch += 1;
            }
            let last = stretch + 1 == data.stiffness.len();
            let to_m = if last { pair[1] } else { pair[1].min(data.stiffness[stretch].to_m) };
            found.push(Cell { from_m, to_m, span, ei_knm2: data.stiffness[stretch].ei_knm2 });
            from_m = to_m;
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::statics::{AxialPoint, Run, Side};

    fn stretch(from_m: f64, to_m: f64) -> Stiffness {
        Stiffness { from_m, to_m, ei_knm2: 2.0 }
    }

    fn refused(supports_m: &[f64], stiffness: &[Stiffness]) -> String {
        let data = BeamData { supports_m, stiffness, start_fixed: false, end_fixed: false };
        Beam::new(&data).unwrap_err().to_string()
    }

    #[test]
    fn a_beam_that_cannot_be_is_refused() {
        let whole = [stretch(0.0, 20.0)];
        assert!(refused(&[0.0], &whole).starts_with("number of supports is 1"));
        assert!(refused(&[0.0, 10.0, 10.0], &whole).starts_with("supports[2].station_m"));
        assert!(refused(&[0.0, f64::NAN], &whole).starts_with("supports[1].station_m"));
        assert!(refused(&[-1.0, 10.0], &whole).starts_with("stiffness[0].from_m"));
        assert!(refused(&[0.0, 21.0], &whole).starts_with("end of the stiffness is 20"));
        assert!(refused(&[0.0, 21.0], &[]).starts_with("end of the stiffness"));
        let gap = [stretch(0.0, 8.0), stretch(9.0, 20.0)];
        assert!(refused(&[0.0, 20.0], &gap).starts_with("stiffness[1].from_m"));
        let none = [Stiffness { ei_knm2: 0.0, ..stretch(0.0, 20.0) }];
        assert!(refused(&[0.0, 20.0], &none).starts_with("stiffness[0].ei_knm2"));
    }

    #[test]
    fn a_cut_a_rounding_beside_a_support_a_couple_or_an_end_is_at_it() {
        let beam = Beam::new(&BeamData {
            supports_m: &[0.1, 10.3, 20.7],
            stiffness: &[stretch(0.0, 21.0)],
            start_fixed: true,
            end_fixed: true,
        })
        .unwrap();
        let loads = [
            Load::Spread { from_m: 0.1, to_m: 20.7, from_kn_per_m: 8.0, to_kn_per_m: 3.0 },
            Load::Couple { at_m: 10.3, clockwise_knm: 40.0 },
            Load::Couple { at_m: 15.1, clockwise_knm: -25.0 },
            Load::Point { at_m: 21.4, down_kn: 6.0 },
        ];
        let tendon = Tendon {
            runs: &[Run {
                from_m: 0.1,
                to_m: 20.7,
                from_eccentricity_m: 0.3,
                to_eccentricity_m: 0.1,
                sag_m: 0.4,
            }],
            axial: &[0.1, 20.7].map(|station_m| AxialPoint { station_m, axial_kn: 1000.0 }),
        };
        for station_m in [0.1, 10.3, 15.1, 20.7, 21.4] {
            for side in [Side::Down, Side::Up] {
                let moments = |station_m| {
                    let cuts = [Cut { station_m, side }];
                    let tendon = beam.under_tendon(&tendon, &cuts).unwrap().at[0];
                    (beam.under_loads(&loads, &cuts).unwrap().moments_knm[0], tendon)
                };
                let (loaded, tendon) = moments(station_m);
                let ulp = f64::EPSILON * station_m;
                for off in [-1e-10, -ulp, ulp, 1e-10] {
                    let (by_loads, by_tendon) = moments(station_m + off);
                    assert!((by_loads - loaded).abs() < 1e-7, "{station_m} {off} {side:?}");
                    assert!((by_tendon.total_knm - tendon.total_knm).abs() < 1e-6);
                    assert_eq!(by_tendon.axial_kn, tendon.axial_kn);
                }
            }
        }
        // The couple at the inner support jumps between its two sides.
        let [down, up] = [Side::Down, Side::Up].map(|side| {
            let cut = Cut { station_m: 10.3 + 1e-12, side };
            beam.under_loads(&loads, &[cut]).unwrap().moments_knm[0]
        });
        assert!((up - down - 40.0).abs() < 1e-9);
    }

    #[test]
    fn cells_are_cut_at_supports_and_where_the_stiffness_changes() {
        let stiffness = [stretch(-5.0, 5.0), stretch(5.0, 12.0), stretch(12.0, 30.0)];
        let data = BeamData {
            supports_m: &[0.0, 10.0, 25.0],
            stiffness: &stiffness,
            start_fixed: false,
            end_fixed: false,
        };
        let ends: Vec<_> = cells(&data).iter().map(|c| (c.from_m, c.to_m, c.span)).collect();
        assert_eq!(ends, [(0.0, 5.0, 0), (5.0, 10.0, 0), (10.0, 12.0, 1), (12.0, 25.0, 1)]);
    }
}
