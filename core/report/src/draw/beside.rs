//! What stands beside an anchorage, as it is drawn: a duct that becomes wider or narrower on its leg is one figure.

use restrand_rules::ends::{Near, What};

/// What is drawn and named once: a cap, or the stretches of a duct on one leg, one behind the other.
pub(super) struct Figure {
    /// What it is.
    pub(super) what: What,
    /// The tendon's position in the schedule.
    pub(super) tendon: usize,
    /// At least one.
    pub(super) stretches: Vec<Stretch>,
}

/// A stretch that is equally wide, in the anchorage's own axes: along, up, left.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Stretch {
    pub(super) from_mm: [f64; 3],
    pub(super) to_mm: [f64; 3],
    pub(super) radius_mm: f64,
}

/// The stretches of one leg put together, in their order on it.
pub(super) fn figures(near: impl Iterator<Item = Near>) -> Vec<Figure> {
    joined(near.map(|near| {
        let Near { body, from_mm, to_mm } = near;
        (body.what, body.tendon, Stretch { from_mm, to_mm, radius_mm: body.radius_mm })
    }))
}

fn joined(all: impl Iterator<Item = (What, usize, Stretch)>) -> Vec<Figure> {
    let mut figures: Vec<Figure> = Vec::new();
    for (what, tendon, stretch) in all {
        match figures.iter_mut().find(|figure| (figure.what, figure.tendon) == (what, tendon)) {
            Some(figure) => figure.stretches.push(stretch),
            None => figures.push(Figure { what, tendon, stretches: vec![stretch] }),
        }
    }
    for figure in &mut figures {
        let longest =
            figure.stretches.iter().max_by(|a, b| a.length_mm().total_cmp(&b.length_mm()));
        let Some(way) = longest.map(Stretch::way_mm) else { continue };
        let place = |stretch: &Stretch| {
            [0, 1, 2]
                .map(|axis| (stretch.from_mm[axis] + stretch.to_mm[axis]) * way[axis])
                .iter()
                .sum()
        };
        figure.stretches.sort_by(|a, b| f64::total_cmp(&place(a), &place(b)));
    }
    figures
}

impl Stretch {
    fn way_mm(&self) -> [f64; 3] {
        [0, 1, 2].map(|axis| self.to_mm[axis] - self.from_mm[axis])
    }

    fn length_mm(&self) -> f64 {
        self.way_mm().iter().map(|mm| mm * mm).sum::<f64>().sqrt()
    }
}

impl Figure {
    /// Where it begins and ends, mm.
    pub(super) fn ends_mm(&self) -> [[f64; 3]; 2] {
        [self.stretches[0].from_mm, self.stretches[self.stretches.len() - 1].to_mm]
    }

    /// The circles as which it is seen along the axis, and their radii, mm.
    ///
    /// A cap is one; a duct is drawn where it enters and leaves the view, and where it is wider in between.
    pub(super) fn circles(&self) -> Vec<([f64; 3], f64)> {
        let (first, last) = (self.stretches[0], self.stretches[self.stretches.len() - 1]);
        let mut circles = vec![(first.from_mm, first.radius_mm)];
        if let What::Leg(_) = self.what {
            circles.push((last.to_mm, last.radius_mm));
            let wider = self
                .stretches
                .iter()
                .filter(|one| one.radius_mm > first.radius_mm.max(last.radius_mm));
            let widest = wider.max_by(|a, b| a.radius_mm.total_cmp(&b.radius_mm));
            circles.extend(widest.map(|widest| (widest.from_mm, widest.radius_mm)));
        }
        circles
    }

    /// The least distance from the anchorage's axis to its own, as one looks along the axis, mm.
    pub(super) fn apart_mm(&self) -> f64 {
        let [from, to] = self.ends_mm().map(|one| [one[1], one[2]]);
        let along = [to[0] - from[0], to[1] - from[1]];
        let square = along[0] * along[0] + along[1] * along[1];
        let share = if square > 0.0 {
            (-(from[0] * along[0] + from[1] * along[1]) / square).clamp(0.0, 1.0)
        } else {
            0.0
        };
        (from[0] + share * along[0]).hypot(from[1] + share * along[1])
    }
}

#[cfg(test)]
mod tests {
    use restrand_model::schedule::EndName;

    use super::*;

    #[test]
    fn stretches_of_one_leg_are_one_figure_from_its_beginning_to_its_end() {
        let near = |tendon, what, [from_mm, to_mm]: [f64; 2], radius_mm| {
            let at = |mm: f64| [mm, 300.0, 0.01 * mm];
            (what, tendon, Stretch { from_mm: at(from_mm), to_mm: at(to_mm), radius_mm })
        };
        let found = joined(
            [
                near(1, What::Leg(0), [3.0, 2.0], 60.0),
                near(2, What::Leg(0), [0.0, 9.0], 60.0),
                near(1, What::Cap(EndName::A), [0.0, 1.0], 150.0),
                near(1, What::Leg(1), [2.0, 0.0], 60.0),
                near(1, What::Leg(0), [9.0, 5.0], 60.0),
                near(1, What::Leg(0), [5.0, 3.0], 70.0),
            ]
            .into_iter(),
        );
        let told: Vec<Vec<f64>> = found
            .iter()
            .map(|figure| figure.stretches.iter().map(|one| one.from_mm[0]).collect())
            .collect();
        assert_eq!(told, [vec![9.0, 5.0, 3.0], vec![0.0], vec![0.0], vec![2.0]]);
        assert_eq!(found[0].ends_mm(), [[9.0, 300.0, 0.09], [2.0, 300.0, 0.02]]);
        // What is wider in the middle is seen besides both ends.
        let radii = |figure: &Figure| figure.circles().iter().map(|one| one.1).collect::<Vec<_>>();
        assert_eq!(radii(&found[0]), [60.0, 60.0, 70.0]);
        assert_eq!(radii(&found[1]), [60.0, 60.0]);
        assert_eq!(radii(&found[2]), [150.0]);
    }

    #[test]
    fn axes_are_apart_by_the_least_on_the_way() {
        let apart_mm = |from: [f64; 2], to: [f64; 2]| {
            let at = |[up, left]: [f64; 2]| [0.0, up, left];
            let stretch = Stretch { from_mm: at(from), to_mm: at(to), radius_mm: 60.0 };
            Figure { what: What::Leg(0), tendon: 0, stretches: vec![stretch] }.apart_mm()
        };
        assert_eq!(apart_mm([300.0, -500.0], [300.0, 500.0]), 300.0);
        assert_eq!(apart_mm([300.0, 400.0], [300.0, 900.0]), 500.0);
        assert_eq!(apart_mm([300.0, 400.0], [300.0, 400.0]), 500.0);
    }
}
