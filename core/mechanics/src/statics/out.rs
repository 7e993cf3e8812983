//! One tendon out: what is lost at each place, and what is left.

use super::beam::{Beam, check_cuts};
use super::effects::Cut;
use super::tendon::{Tendon, primary};
use crate::misfit::{Argument, Misfit, not_negative, positive};

/// A cross-section of the beam.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Section {
    /// Area, m².
    pub area_m2: f64,
    /// Second moment of area about the horizontal axis through the centroid, m⁴.
    pub inertia_m4: f64,
    /// From the centroid up to the top, m.
    pub top_m: f64,
    /// From the centroid down to the bottom, m.
    pub bottom_m: f64,
}

/// A place where the loss is asked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    /// The cut.
    pub cut: Cut,
    /// Force that presses the section besides the listed tendons (internal ones, for example), kN.
    pub other_axial_kn: f64,
    /// The section, where stresses are asked.
    pub section: Option<Section>,
}

/// Axial force and moments of tendons at one place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TendonPart {
    /// Force along the beam, pressing, kN.
    pub axial_kn: f64,
    /// Primary moment, kNm.
    pub primary_knm: f64,
    /// Secondary moment, kNm; absent where the beam is not known.
    pub secondary_knm: Option<f64>,
    /// Both together, kNm; absent where the beam is not known.
    pub total_knm: Option<f64>,
}

/// How the stress at the edges changes when a tendon goes; tension is positive.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StressChange {
    /// At the top, MPa.
    pub top_mpa: f64,
    /// At the bottom, MPa.
    pub bottom_mpa: f64,
}

/// One tendon out, at one place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Out {
    /// What the tendon gave, and what is lost.
    pub lost: TendonPart,
    /// What the other listed tendons give.
    pub left: TendonPart,
    /// The lost part of all axial force there, the stated other force included; absent where there was none.
    pub lost_axial_share: Option<f64>,
    /// How the stresses change; absent where the section or the beam is not known.
    pub stress_change: Option<StressChange>,
}

/// All tendons, and each of them out.
#[derive(Debug, Clone, PartialEq)]
pub struct TendonsOut {
    /// All listed tendons together, at each place.
    pub all: Vec<TendonPart>,
    /// What each tendon gives at each place: the rest follows from it, and is worked out when it is asked for.
    own: Vec<Vec<TendonPart>>,
    places: Vec<Place>,
}

impl TendonsOut {
    /// What the absence of a tendon, by its position, means at each place; nothing if there is no such tendon.
    ///
    /// # Formula
    /// `left = Σ all - own`; `share = H / (Σ H + other)`
    ///
    /// # Symbols
    /// | symbol | meaning | unit |
    /// |---|---|---|
    /// | H | axial force of the tendon; with Σ, of all | kN |
    /// | other | force that presses the section besides the listed tendons | kN |
    ///
    /// # Validity
    /// As [`tendons_out`].
    ///
    /// # Source
    /// Superposition.
    ///
    /// ```
    /// use restrand_mechanics::statics::{tendons_out, AxialPoint, Cut, Place, Run, Side, Tendon};
    /// let line = [Run { from_m: 0.0, to_m: 30.0, from_eccentricity_m: 0.5, to_eccentricity_m: 0.5, sag_m: 0.0 }];
    /// let axial = [0.0, 30.0].map(|station_m| AxialPoint { station_m, axial_kn: 1500.0 });
    /// let tendons = [Tendon { runs: &line, axial: &axial }; 3];
    /// let cut = Cut { station_m: 15.0, side: Side::Up };
    /// let told = tendons_out(None, &tendons, &[Place { cut, other_axial_kn: 0.0, section: None }])?;
    /// let out = told.out(1).expect("the second of three");
    /// assert!((out[0].left.axial_kn - 3000.0).abs() < 1e-9);
    /// assert_eq!(told.out(3), None);
    /// # Ok::<(), restrand_mechanics::Misfit>(())
    /// ```
    #[must_use]
    pub fn out(&self, tendon: usize) -> Option<Vec<Out>> {
        let places = self.own.get(tendon)?.iter().zip(&self.all).zip(&self.places);
        let out = |((lost, all), place): ((&TendonPart, &TendonPart), &Place)| Out {
            lost: *lost,
            left: all.with(lost, -1.0),
            lost_axial_share: share(lost.axial_kn, all.axial_kn + place.other_axial_kn),
            stress_change: place.stress_change(lost),
        };
        Some(places.map(out).collect())
    }
}

/// Returns what is lost and what is left at each place when each of the tendons in turn is out.
///
/// # Formula
/// `left = Σ all - own`; `share = H / (Σ H + other)`;
/// `Δσ_bottom = (H / A - M yb / I) / 1000`, `Δσ_top = (H / A + M yt / I) / 1000`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | H, M | the tendon's own axial force and total moment | kN, kNm |
/// | A, I | area and second moment of the section | m², m⁴ |
/// | yt, yb | from the centroid to top and bottom | m |
/// | Δσ | change of stress when the tendon goes, tension positive | MPa |
///
/// # Validity
/// Linear: each tendon's part is computed once, so the time grows with the number of tendons, not with its square.
/// Without a beam (`None`), supports and stiffness being unknown, only axial forces and primary moments are given:
/// on an indeterminate bridge stresses are then not evaluated. Vertical bending only; moments to the side come by
/// [`primary`](super::primary) with eccentricities to the side. The forces are those before the tendon goes;
/// that the others lengthen or shorten a little with the beam when it goes is left out.
///
/// # Source
/// Superposition; [`Beam::under_tendon`](super::Beam::under_tendon).
///
/// # Errors
/// [`Misfit`] as [`primary`](super::primary), and if a section's value is not greater than zero or the other force is negative.
///
/// ```
/// use restrand_mechanics::statics::{tendons_out, AxialPoint, Cut, Place, Run, Side, Tendon};
/// let line = [Run { from_m: 0.0, to_m: 40.0, from_eccentricity_m: 1.2, to_eccentricity_m: 1.2, sag_m: 0.0 }];
/// let axial = [AxialPoint { station_m: 0.0, axial_kn: 3480.0 }, AxialPoint { station_m: 40.0, axial_kn: 3480.0 }];
/// let tendons = [Tendon { runs: &line, axial: &axial }; 4];
/// let place = Place {
///     cut: Cut { station_m: 20.0, side: Side::Up }, other_axial_kn: 30_000.0, section: None,
/// };
/// let told = tendons_out(None, &tendons, &[place])?;
/// let first = told.out(0).expect("the first tendon")[0];
/// assert!((first.lost_axial_share.expect("pressed") - 0.079).abs() < 0.0005);
/// assert!((first.lost.primary_knm + 4176.0).abs() < 1e-9);
/// assert!((first.left.axial_kn - 3.0 * 3480.0).abs() < 1e-9);
/// assert_eq!(first.left.total_knm, None);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn tendons_out(
    beam: Option<&Beam>,
    tendons: &[Tendon<'_>],
    places: &[Place],
) -> Result<TendonsOut, Misfit> {
    let cuts: Vec<Cut> = places.iter().map(|place| place.cut).collect();
    check_cuts(&cuts)?;
    for (index, place) in places.iter().enumerate() {
        place.check(index)?;
    }
    let own: Vec<Vec<TendonPart>> =
        tendons.iter().map(|tendon| own(beam, tendon, &cuts)).collect::<Result<_, _>>()?;
    let nothing = TendonPart {
        axial_kn: 0.0,
        primary_knm: 0.0,
        secondary_knm: beam.map(|_| 0.0),
        total_knm: beam.map(|_| 0.0),
    };
    let mut all = vec![nothing; places.len()];
    for tendon in &own {
        for (sum, here) in all.iter_mut().zip(tendon) {
            *sum = sum.with(here, 1.0);
        }
    }
    Ok(TendonsOut { all, own, places: places.to_vec() })
}

fn own(beam: Option<&Beam>, tendon: &Tendon<'_>, cuts: &[Cut]) -> Result<Vec<TendonPart>, Misfit> {
    Ok(match beam {
        Some(beam) => beam
            .under_tendon(tendon, cuts)?
            .at
            .into_iter()
            .map(|here| TendonPart {
                axial_kn: here.axial_kn,
                primary_knm: here.primary_knm,
                secondary_knm: Some(here.secondary_knm),
                total_knm: Some(here.total_knm),
            })
            .collect(),
        None => primary(tendon, cuts)?
            .into_iter()
            .map(|here| TendonPart {
                axial_kn: here.axial_kn,
                primary_knm: here.primary_knm,
                secondary_knm: None,
                total_knm: None,
            })
            .collect(),
    })
}

fn share(lost_kn: f64, all_kn: f64) -> Option<f64> {
    (all_kn > 0.0).then(|| lost_kn / all_kn)
}

impl TendonPart {
    fn with(&self, other: &Self, factor: f64) -> Self {
        let sum = |a: Option<f64>, b: Option<f64>| Some(a? + factor * b?);
        Self {
            axial_kn: self.axial_kn + factor * other.axial_kn,
            primary_knm: self.primary_knm + factor * other.primary_knm,
            secondary_knm: sum(self.secondary_knm, other.secondary_knm),
            total_knm: sum(self.total_knm, other.total_knm),
        }
    }
}

impl Out {
    /// Both this tendon and another out, at the same place of the same bridge.
    ///
    /// # Formula
    /// `lost = lost1 + lost2`, `left = left1 - lost2`, shares and changes of stress likewise
    ///
    /// # Symbols
    /// | symbol | meaning | unit |
    /// |---|---|---|
    /// | lost1, lost2 | what each of the two gave: axial force and moments | kN, kNm |
    /// | left1 | what the other tendons give with the first one out | kN, kNm |
    ///
    /// # Validity
    /// Linear, as [`tendons_out`]; both are of one call of it.
    ///
    /// # Source
    /// Superposition.
    ///
    /// ```
    /// use restrand_mechanics::statics::{tendons_out, AxialPoint, Cut, Place, Run, Side, Tendon};
    /// let line = [Run { from_m: 0.0, to_m: 40.0, from_eccentricity_m: 1.0, to_eccentricity_m: 1.0, sag_m: 0.0 }];
    /// let axial = [0.0, 40.0].map(|station_m| AxialPoint { station_m, axial_kn: 2000.0 });
    /// let tendons = [Tendon { runs: &line, axial: &axial }; 4];
    /// let cut = Cut { station_m: 20.0, side: Side::Up };
    /// let told = tendons_out(None, &tendons, &[Place { cut, other_axial_kn: 2000.0, section: None }])?;
    /// let [first, second] = [0, 1].map(|tendon| told.out(tendon).expect("a tendon")[0]);
    /// let both = first.and(&second);
    /// assert!((both.lost_axial_share.expect("pressed") - 0.4).abs() < 1e-12);
    /// assert!((both.left.axial_kn - 4000.0).abs() < 1e-9);
    /// # Ok::<(), restrand_mechanics::Misfit>(())
    /// ```
    #[must_use]
    pub fn and(&self, other: &Self) -> Self {
        let change = self.stress_change.zip(other.stress_change);
        Self {
            lost: self.lost.with(&other.lost, 1.0),
            left: self.left.with(&other.lost, -1.0),
            lost_axial_share: self
                .lost_axial_share
                .zip(other.lost_axial_share)
                .map(|(one, other)| one + other),
            stress_change: change.map(|(one, other)| StressChange {
                top_mpa: one.top_mpa + other.top_mpa,
                bottom_mpa: one.bottom_mpa + other.bottom_mpa,
            }),
        }
    }
}

impl Place {
    fn check(&self, index: usize) -> Result<(), Misfit> {
        let name = |name| Argument::of("places", index, name);
        not_negative(name("other_axial_kn"), self.other_axial_kn)?;
        if let Some(section) = &self.section {
            positive(name("area_m2"), section.area_m2)?;
            positive(name("inertia_m4"), section.inertia_m4)?;
            positive(name("top_m"), section.top_m)?;
            positive(name("bottom_m"), section.bottom_m)?;
        }
        Ok(())
    }

    fn stress_change(&self, lost: &TendonPart) -> Option<StressChange> {
        let section = self.section?;
        let moment_knm = lost.total_knm?;
        let pressed = lost.axial_kn / section.area_m2;
        let bend = moment_knm / section.inertia_m4;
        Some(StressChange {
            top_mpa: (pressed + bend * section.top_m) / 1000.0,
            bottom_mpa: (pressed - bend * section.bottom_m) / 1000.0,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::statics::{AxialPoint, BeamData, Run, Side, Stiffness};

    #[test]
    fn at_a_pier_the_change_can_have_the_other_sign() {
        // A straight tendon low over two spans presses the bottom in a simple beam; over the pier it does the contrary.
        let runs = [Run {
            from_m: 0.0,
            to_m: 40.0,
            from_eccentricity_m: 0.8,
            to_eccentricity_m: 0.8,
            sag_m: 0.0,
        }];
        let axial = [0.0, 40.0].map(|station_m| AxialPoint { station_m, axial_kn: 1000.0 });
        let tendons = [Tendon { runs: &runs, axial: &axial }];
        let section = Section { area_m2: 5.0, inertia_m4: 4.0, top_m: 1.0, bottom_m: 1.5 };
        let place = Place {
            cut: Cut { station_m: 20.0, side: Side::Up },
            other_axial_kn: 0.0,
            section: Some(section),
        };
        let beam = |supports_m: &[f64]| {
            let stiffness = [Stiffness { from_m: 0.0, to_m: 40.0, ei_knm2: 1.0 }];
            let data = BeamData {
                supports_m,
                stiffness: &stiffness,
                start_fixed: false,
                end_fixed: false,
            };
            Beam::new(&data).unwrap()
        };
        let simple = beam(&[0.0, 40.0]);
        let out = tendons_out(Some(&simple), &tendons, &[place]).unwrap().out(0).unwrap()[0];
        let change = out.stress_change.unwrap();
        assert!((change.bottom_mpa - (200.0 + 800.0 * 1.5 / 4.0) / 1000.0).abs() < 1e-12);
        assert!((change.top_mpa - (200.0 - 800.0 / 4.0) / 1000.0).abs() < 1e-12);
        let continuous = beam(&[0.0, 20.0, 40.0]);
        let out = tendons_out(Some(&continuous), &tendons, &[place]).unwrap().out(0).unwrap()[0];
        // Total +H e / 2 over the pier against -H e by the primary moment alone.
        assert!((out.lost.total_knm.unwrap() - 400.0).abs() < 1e-9);
        assert!(out.stress_change.unwrap().bottom_mpa < change.bottom_mpa);
        assert!(
            (out.stress_change.unwrap().top_mpa - (200.0 + 400.0 / 4.0) / 1000.0).abs() < 1e-12
        );
        assert_eq!(out.lost_axial_share, Some(1.0));
    }
}
