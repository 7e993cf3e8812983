//! The clear section of a bay by its corners.

use restrand_model::schedule::Bay;

/// The corners of a bay's clear section as lateral position and elevation, m.
///
/// # Errors
/// The field without which it is not known.
pub(crate) fn corners(bay: &Bay) -> Result<Vec<[f64; 2]>, &'static str> {
    let corners = bay.outline.iter().map(|corner| Some([corner.lateral_m?, corner.elevation_m?]));
    match corners.collect::<Option<Vec<_>>>() {
        Some(corners) if corners.len() > 2 => Ok(corners),
        _ => Err("bay.outline"),
    }
}

/// The greatest clear height of a section, straight up from one of its sides to the next, m.
///
/// A floor and a roof that fall to one side are no further apart for it.
pub(crate) fn highest_m(corners: &[[f64; 2]]) -> f64 {
    let mut laterals_m: Vec<f64> = corners.iter().map(|corner| corner[0]).collect();
    laterals_m.sort_by(f64::total_cmp);
    laterals_m.dedup();
    let sides = || corners.iter().zip(corners.iter().cycle().skip(1));
    let mut highest_m = 0.0_f64;
    // Between two corners the height changes evenly: it is greatest at one of them.
    for slab in laterals_m.windows(2) {
        let mut over: Vec<[f64; 2]> = sides()
            .filter_map(|(one, other)| {
                let (low, high) = if one[0] < other[0] { (one, other) } else { (other, one) };
                let spans = low[0] <= slab[0] && slab[1] <= high[0];
                let at = |lateral_m: f64| {
                    let share = (lateral_m - low[0]) / (high[0] - low[0]);
                    low[1] + (high[1] - low[1]) * share
                };
                spans.then(|| [at(slab[0]), at(slab[1])])
            })
            .collect();
        over.sort_by(|one, other| (one[0] + one[1]).total_cmp(&(other[0] + other[1])));
        for pair in over.chunks_exact(2) {
            let heights_m = [pair[1][0] - pair[0][0], pair[1][1] - pair[0][1]];
            highest_m = heights_m.into_iter().fold(highest_m, f64::max);
        }
    }
    highest_m
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn holds(corners: &[[f64; 2]], expected_m: f64) {
        let turned: Vec<_> = corners.iter().rev().copied().collect();
        for found_m in [highest_m(corners), highest_m(&turned)] {
            assert!((found_m - expected_m).abs() < 1e-9, "{found_m} {expected_m}");
        }
    }

    #[test]
    fn heights_are_straight_up() {
        holds(&[[-2.0, 10.0], [2.0, 10.0], [2.0, 12.5], [-2.0, 12.5]], 2.5);
        // A box of 1.7 m with a crossfall of 5 % over 6 m.
        holds(&[[-3.0, 10.0], [3.0, 10.3], [3.0, 12.0], [-3.0, 11.7]], 1.7);
        // A roof with its ridge out of the middle, over a floor that falls: 2.4 - (0.1 x 3 / 4).
        holds(&[[-2.0, 0.1], [2.0, 0.0], [2.0, 2.0], [1.0, 2.4], [-2.0, 2.0]], 2.4 - 0.025);
        // A trough beside the walkway: the deepest place counts.
        holds(
            &[
                [0.0, 0.0],
                [1.0, 0.0],
                [1.0, -0.4],
                [1.5, -0.4],
                [1.5, 0.0],
                [3.0, 0.0],
                [3.0, 2.0],
                [0.0, 2.0],
            ],
            2.4,
        );
        // Two rooms over each other are two heights: a slab of 0.2 m from the left wall to beyond the middle.
        holds(
            &[
                [0.0, 0.0],
                [4.0, 0.0],
                [4.0, 3.0],
                [0.0, 3.0],
                [0.0, 1.7],
                [3.99, 1.7],
                [3.99, 1.5],
                [0.0, 1.5],
            ],
            3.0,
        );
        holds(&[[1.0, 0.0], [1.0, 2.0], [1.0, 1.0]], 0.0);
    }

    #[test]
    fn corners_are_all_known_or_none() {
        use restrand_model::schedule::OutlinePoint;
        let corner = |lateral_m, elevation_m| OutlinePoint {
            lateral_m: Some(lateral_m),
            elevation_m,
            ..OutlinePoint::default()
        };
        let bay = |last| Bay {
            outline: vec![corner(0.0, Some(0.0)), corner(2.0, Some(0.0)), corner(2.0, last)],
            ..Bay::default()
        };
        assert_eq!(corners(&bay(Some(2.0))), Ok(vec![[0.0, 0.0], [2.0, 0.0], [2.0, 2.0]]));
        assert_eq!(corners(&bay(None)), Err("bay.outline"));
        assert_eq!(corners(&Bay::default()), Err("bay.outline"));
    }
}
