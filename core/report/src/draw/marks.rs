//! Small marks that several drawings share, each with its sample in the legend.

use super::canvas::{Hatch, Pen, Point, Scene};

/// A cut: a short wide stroke across the tendon, which runs along `along`.
pub(super) fn cut(scene: &mut Scene, at: Point, along: Point) {
    const HALF_MM: f64 = 2.0;
    let across = [-along[1] * HALF_MM, along[0] * HALF_MM];
    scene.line(
        &[[at[0] - across[0], at[1] - across[1]], [at[0] + across[0], at[1] + across[1]]],
        Pen::Edge,
    );
}

/// An anchorage: a wide bar across the tendon, which leaves it along `along`.
pub(super) fn anchorage(scene: &mut Scene, at: Point, along: Point) {
    const HALF_MM: f64 = 2.6;
    const THICK_MM: f64 = 1.2;
    let corner = |away: f64, aside: f64| {
        [at[0] + along[0] * away - along[1] * aside, at[1] + along[1] * away + along[0] * aside]
    };
    scene.shape(
        &[
            corner(0.0, HALF_MM),
            corner(0.0, -HALF_MM),
            corner(THICK_MM, -HALF_MM),
            corner(THICK_MM, HALF_MM),
        ],
        Pen::Edge,
        Hatch::Black,
    );
}

/// An inlet: a full triangle that points at its tube.
pub(super) fn inlet(scene: &mut Scene, [x, y]: Point) {
    scene.shape(&[[x - 1.3, y - 1.2], [x + 1.3, y - 1.2], [x, y + 1.2]], Pen::Thin, Hatch::Black);
}

/// A vent: a circle.
pub(super) fn vent(scene: &mut Scene, at: Point) {
    scene.circle(at, 1.2, Pen::Edge, Hatch::White);
}

/// A drain: a square.
pub(super) fn drain(scene: &mut Scene, [x, y]: Point) {
    scene.shape(
        &[[x - 1.1, y - 1.1], [x + 1.1, y - 1.1], [x + 1.1, y + 1.1], [x - 1.1, y + 1.1]],
        Pen::Edge,
        Hatch::White,
    );
}

/// What is lacking: a dotted circle with a cross in it.
pub(super) fn lacking(scene: &mut Scene, [x, y]: Point) {
    scene.circle([x, y], 1.8, Pen::Dotted, Hatch::White);
    scene.line(&[[x - 0.9, y - 0.9], [x + 0.9, y + 0.9]], Pen::Thin);
    scene.line(&[[x - 0.9, y + 0.9], [x + 0.9, y - 0.9]], Pen::Thin);
}
