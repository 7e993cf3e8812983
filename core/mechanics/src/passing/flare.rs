//! The inside of a deviator's form: a straight throat, with a flare at each end whose wall is convex to the tendon.

use std::f64::consts::FRAC_PI_2;

use crate::misfit::{Argument, Misfit, not_negative, positive, within};

/// A form of revolution, symmetric about its middle: throat, and a flare at each end whose wall is an arc.
///
/// A straight guide pipe is the form without flare: wall radius 0, flare 0.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Flare {
    /// R: radius of the wall's arc in a section along the axis, mm; 0 for a sharp edge.
    pub wall_radius_mm: f64,
    /// Dt: throat's bore, at worst where a gap is asked at worst, mm.
    pub throat_mm: f64,
    /// Lt: length of the straight throat, mm; 0 where the two arcs meet.
    pub throat_length_mm: f64,
    /// θf: angle of the wall to the axis at the form's end, rad; a right angle at most.
    pub flare_rad: f64,
}

impl Flare {
    pub(super) fn check(&self) -> Result<(), Misfit> {
        not_negative(Argument::new("wall_radius_mm"), self.wall_radius_mm)?;
        positive(Argument::new("throat_mm"), self.throat_mm)?;
        not_negative(Argument::new("throat_length_mm"), self.throat_length_mm)?;
        within(Argument::new("flare_rad"), self.flare_rad, 0.0, FRAC_PI_2)?;
        Ok(())
    }

    /// From the form's middle to its face.
    pub(super) fn half_length_mm(&self) -> f64 {
        self.throat_length_mm / 2.0 + self.wall_radius_mm * self.flare_rad.sin()
    }

    /// Radius of the bore at the face.
    pub(super) fn exit_radius_mm(&self) -> f64 {
        // 1 - cos, written so that it keeps its digits at small angles.
        self.throat_mm / 2.0 + 2.0 * self.wall_radius_mm * (self.flare_rad / 2.0).sin().powi(2)
    }

    /// Half of the clear width across a strip through the middle, tilted to the axis.
    pub(super) fn half_width_mm(&self, tilt_rad: f64) -> f64 {
        let (sin, cos) = tilt_rad.sin_cos();
        if tilt_rad <= self.flare_rad {
            self.throat_mm / 2.0 * cos
                - self.throat_length_mm / 2.0 * sin
                - 2.0 * self.wall_radius_mm * (tilt_rad / 2.0).sin().powi(2)
        } else {
            // Steeper than the wall at the face, the strip bears on the face's edge.
            self.exit_radius_mm() * cos - self.half_length_mm() * sin
        }
    }
}
