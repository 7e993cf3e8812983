//! Scales: from sizes in the bridge to sizes on paper.

use super::geometry::Point;
use super::letters::TEXT_MM;
use super::pen::{Hatch, Pen};
use super::scene::{Anchor, Scene};

/// Factors of the scales that people have rulers for; ISO 5455 (from memory) has 1, 2 and 5 and lets others between.
const FACTORS: [f64; 8] = [1.0, 1.25, 1.5, 2.0, 2.5, 4.0, 5.0, 7.5];

/// The largest scale at which a length comes on a stretch of paper, as how much smaller paper is: 25 for 1:25.
pub(in crate::draw) fn fitting(needs: &[(f64, f64)]) -> f64 {
    let least = needs.iter().map(|(real_mm, paper_mm)| real_mm / paper_mm).fold(0.0, f64::max);
    if !least.is_finite() || least <= 1.0 {
        return 1.0;
    }
    let mut power = 10_f64.powf(least.log10().floor());
    loop {
        for factor in FACTORS {
            let scale = factor * power;
            // What rounding leaves is no reason for the next scale.
            if scale >= least * (1.0 - 1e-9) {
                // A power of ten has its rounding, a ruler has none.
                return (scale * 4.0).round() / 4.0;
            }
        }
        power *= 10.0;
    }
}

/// A scale as it is written.
pub(in crate::draw) fn scale_words(scale: f64) -> String {
    format!("1:{}", restrand_model::quantity::shortest(scale))
}

/// From positions in the bridge, mm to the right and upward, to positions on paper.
#[derive(Debug, Clone, Copy)]
pub(in crate::draw) struct View {
    /// Where the bridge's own zero lies on paper.
    pub(in crate::draw) zero: Point,
    /// How much smaller paper is.
    pub(in crate::draw) scale: f64,
}

impl View {
    pub(in crate::draw) fn at(&self, right_mm: f64, up_mm: f64) -> Point {
        [self.zero[0] + right_mm / self.scale, self.zero[1] - up_mm / self.scale]
    }

    pub(in crate::draw) fn length(&self, mm: f64) -> f64 {
        mm / self.scale
    }
}

/// A bar of full units to measure by, from its left end; returns its width on paper.
pub(in crate::draw) fn bar(
    scene: &mut Scene,
    [left, top]: Point,
    scale: f64,
    unit_mm: f64,
    unit: &str,
) -> f64 {
    /// The bar is to be about so long on paper.
    const ABOUT_MM: f64 = 45.0;
    let most = ABOUT_MM * scale / unit_mm;
    let power = 10_f64.powf(most.log10().floor());
    let step = [5.0, 2.0, 1.0].into_iter().map(|factor| factor * power).find(|step| *step <= most);
    let full = step.unwrap_or(power);
    let width = full * unit_mm / scale;
    let (middle, right) = (left + width / 2.0, left + width);
    let bottom = top + 1.6;
    scene.shape(
        &[[left, top], [middle, top], [middle, bottom], [left, bottom]],
        Pen::Thin,
        Hatch::Black,
    );
    scene.shape(
        &[[middle, top], [right, top], [right, bottom], [middle, bottom]],
        Pen::Thin,
        Hatch::White,
    );
    let words = |value: f64| restrand_model::quantity::shortest(value);
    let base = bottom + 4.2;
    scene.text([left, base], Anchor::Start, TEXT_MM, "0");
    scene.text([right, base], Anchor::Middle, TEXT_MM, &format!("{} {unit}", words(full)));
    width
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn scales_are_those_of_rulers() {
        for (real_mm, paper_mm, scale) in [
            (42_000.0, 380.0, 125.0),
            (2_000.0, 100.0, 20.0),
            (2_001.0, 100.0, 25.0),
            (300.0, 300.0, 1.0),
            (10.0, 300.0, 1.0),
            (990.0, 100.0, 10.0),
            (130.0, 100.0, 1.5),
            (1_150.0, 100.0, 12.5),
        ] {
            assert_eq!(fitting(&[(real_mm, paper_mm)]), scale, "{real_mm} on {paper_mm}");
        }
        assert_eq!(scale_words(7.5), "1:7.5");
    }
}
