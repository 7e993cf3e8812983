//! Who stands near an end: ducts that pass and caps that stay, found by going over the bodies in one order.
//!
//! Only bodies whose box comes near are looked at, so that the work grows with the tendons and not with their
//! square.

use restrand_mechanics::path::Point;
use restrand_mechanics::room::{Cylinder, nearest};
use restrand_model::schedule::{EndKind, EndName, Situation, Status};

use super::axis::EndAxis;
use super::bodies::{CapBody, cap, wedge_plate_radius_mm};
use crate::context::{Context, TendonAt};
use crate::duct_lengths::Bound;
use crate::works::worst_duct_mm;

/// What a body near an end is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum What {
    /// The duct on a leg of a tendon, or on a stretch of it, by the leg's position.
    Leg(usize),
    /// The cap at an end.
    Cap(EndName),
}

/// A live body: it stays while another tendon is worked on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Body {
    /// The tendon's position in the schedule.
    pub tendon: usize,
    /// What of it.
    pub what: What,
    /// One end of its axis.
    pub from: Point,
    /// The other end.
    pub to: Point,
    /// Radius at worst, mm.
    pub radius_mm: f64,
}

/// Something on an end's axis: from, to, radius, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OnAxis {
    /// Where it begins, mm.
    pub from_mm: f64,
    /// Where it ends, mm.
    pub to_mm: f64,
    /// Its radius, mm.
    pub radius_mm: f64,
}

/// The body that comes nearest to something on an end's axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Nearest {
    /// The body.
    pub body: Body,
    /// Distance of the surfaces, mm; negative where they overlap.
    pub gap_mm: f64,
    /// Distance of the axes, mm.
    pub axes_mm: f64,
    /// Where on the end's axis, mm.
    pub at_mm: f64,
}

/// A body beside a stretch of an end's axis, in the anchorage's own axes: along, up, left, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Near {
    /// The body.
    pub body: Body,
    /// One end of that part of its axis which lies beside the stretch.
    pub from_mm: [f64; 3],
    /// The other end.
    pub to_mm: [f64; 3],
}

/// All live bodies, in the order of where they begin along the plan's first axis.
#[derive(Debug, Clone, Default)]
pub struct Standing {
    bodies: Vec<Body>,
    /// The furthest end of this body and all before it, m.
    reach_m: Vec<f64>,
    /// The first thing without which a tendon in place is not among the bodies.
    unknown: Option<&'static str>,
}

impl Standing {
    /// The bodies of the tendons in place.
    #[must_use]
    pub fn of(context: &Context<'_>) -> Self {
        let mut standing = Self::default();
        for at in context.tendons() {
            if !matches!(at.tendon.status, None | Some(Status::InUse)) {
                continue;
            }
            if let Err(field) = standing.add(context, &at) {
                standing.unknown.get_or_insert(field);
            }
        }
        Self::from_bodies(standing.bodies, standing.unknown)
    }

    fn from_bodies(mut bodies: Vec<Body>, unknown: Option<&'static str>) -> Self {
        bodies.sort_by(|one, other| one.low_m().total_cmp(&other.low_m()));
        let mut furthest = f64::NEG_INFINITY;
        let reach_m = bodies
            .iter()
            .map(|body| {
                furthest = furthest.max(body.from.x_m.max(body.to.x_m) + body.radius_mm / 1000.0);
                furthest
            })
            .collect();
        Self { bodies, reach_m, unknown }
    }

    fn add(&mut self, context: &Context<'_>, at: &TendonAt<'_>) -> Result<(), &'static str> {
        context.path(at).map_err(|none| none.field())?;
        let mut lacks = None;
        if at.tendon.situation != Some(Situation::Internal) {
            match context.duct_on_legs(at, |duct| Ok(worst_duct_mm(duct))) {
                Ok(stretches) => {
                    for stretch in stretches {
                        match stretch.width {
                            Ok(outer_mm) => self.bodies.push(Body {
                                tendon: at.position,
                                what: What::Leg(stretch.leg),
                                from: stretch.from,
                                to: stretch.to,
                                radius_mm: outer_mm / 2.0,
                            }),
                            Err(field) => lacks = Some(field),
                        }
                    }
                }
                Err(field) => {
                    lacks = Some(field);
                    // Where each of its ducts lies may be all that is not known: there it is as wide as the narrowest of
                    // them.
                    let narrowest = context.bounded_on_legs(at, worst_duct_mm, Bound::Narrowest);
                    for stretch in narrowest.into_iter().flatten() {
                        self.bodies.push(Body {
                            tendon: at.position,
                            what: What::Leg(stretch.leg),
                            from: stretch.from,
                            to: stretch.to,
                            radius_mm: stretch.width / 2.0,
                        });
                    }
                }
            }
        }
        for end in at.ends() {
            if end.end.kind == Some(EndKind::Embedded) {
                continue;
            }
            let parts = context.end_parts(&end);
            let found = context.anchorage(end.end);
            // A cap of which no diameter is known is as wide as the wedge plate under it at least; an end of which that
            // is not known either takes no room that could be named.
            let Ok(Some(CapBody { open_mm, rear_mm, radius_mm, .. })) = cap(found.as_ref(), parts)
            else {
                continue;
            };
            let plate_mm = || wedge_plate_radius_mm(found.as_ref(), parts);
            let Some(radius_mm) = radius_mm.or_else(plate_mm) else { continue };
            let axis = EndAxis::of(context, at, &end)?;
            self.bodies.push(Body {
                tendon: at.position,
                what: What::Cap(end.name),
                from: axis.point(open_mm),
                to: axis.point(rear_mm),
                radius_mm,
            });
        }
        lacks.map_or(Ok(()), Err)
    }

    /// What is absent of a tendon in place, so that who stands near is not wholly known.
    #[must_use]
    pub const fn unknown(&self) -> Option<&'static str> {
        self.unknown
    }

    /// The bodies of other tendons beside a stretch of an end's axis whose boxes come within `clear_mm` of it.
    pub fn near<'s>(
        &'s self,
        tendon: usize,
        axis: &'s EndAxis,
        on_axis: OnAxis,
        clear_mm: f64,
    ) -> impl Iterator<Item = Near> + 's {
        let (one, other) = (axis.point(on_axis.from_mm), axis.point(on_axis.to_mm));
        let reach_m = (on_axis.radius_mm + clear_mm) / 1000.0;
        let (low_m, high_m) = (one.x_m.min(other.x_m) - reach_m, one.x_m.max(other.x_m) + reach_m);
        let end = self.bodies.partition_point(|body| body.low_m() <= high_m);
        let begin = self.reach_m[..end].partition_point(|reach_m| *reach_m < low_m);
        self.bodies[begin..end]
            .iter()
            .filter(move |body| body.tendon != tendon && body.may_meet([one, other], reach_m))
            .filter_map(move |body| {
                let ends = [axis.own_mm(body.from), axis.own_mm(body.to)];
                let [from_mm, to_mm] = between(ends, on_axis.from_mm, on_axis.to_mm)?;
                Some(Near { body: *body, from_mm, to_mm })
            })
    }

    /// The body of another tendon that comes nearest to something on an end's axis, if one comes within `clear_mm`.
    ///
    /// What lies before or behind the stretch on the axis does not count: between bearing plate and wedge plate, and
    /// inside the concrete, nothing of a jack is.
    #[must_use]
    pub fn nearest(
        &self,
        tendon: usize,
        axis: &EndAxis,
        on_axis: OnAxis,
        clear_mm: f64,
    ) -> Option<Nearest> {
        let own = Cylinder {
            from_mm: [on_axis.from_mm, 0.0, 0.0],
            to_mm: [on_axis.to_mm, 0.0, 0.0],
            radius_mm: on_axis.radius_mm,
        };
        if on_axis.to_mm <= on_axis.from_mm {
            return None;
        }
        let mut found: Option<Nearest> = None;
        for Near { body, from_mm, to_mm } in self.near(tendon, axis, on_axis, clear_mm) {
            let theirs = Cylinder { from_mm, to_mm, radius_mm: body.radius_mm };
            let Ok(place) = nearest(&own, &theirs) else { continue };
            if place.gap_mm < clear_mm && found.is_none_or(|found| place.gap_mm < found.gap_mm) {
                found = Some(Nearest {
                    body,
                    gap_mm: place.gap_mm,
                    axes_mm: place.axes_mm,
                    at_mm: on_axis.from_mm + place.along_one_mm,
                });
            }
        }
        found
    }
}

impl Body {
    fn low_m(&self) -> f64 {
        self.from.x_m.min(self.to.x_m) - self.radius_mm / 1000.0
    }

    /// Whether the boxes round the two axes come within the radii and so much more.
    fn may_meet(&self, [one, other]: [Point; 2], reach_m: f64) -> bool {
        let reach_m = reach_m + self.radius_mm / 1000.0;
        let apart = |a: f64, b: f64, c: f64, d: f64| {
            a.min(b) - reach_m > c.max(d) || c.min(d) - reach_m > a.max(b)
        };
        !(apart(self.from.x_m, self.to.x_m, one.x_m, other.x_m)
            || apart(self.from.y_m, self.to.y_m, one.y_m, other.y_m)
            || apart(self.from.z_m, self.to.z_m, one.z_m, other.z_m))
    }
}

/// The stretch of a line, in the anchorage's own axes, between two positions on the axis.
fn between([from, to]: [[f64; 3]; 2], low_mm: f64, high_mm: f64) -> Option<[[f64; 3]; 2]> {
    let along = to[0] - from[0];
    let (mut first, mut last) = (0.0_f64, 1.0_f64);
    if along == 0.0 {
        return (low_mm..=high_mm).contains(&from[0]).then_some([from, to]);
    }
    let (one, other) = ((low_mm - from[0]) / along, (high_mm - from[0]) / along);
    first = first.max(one.min(other));
    last = last.min(one.max(other));
    let place = |share: f64| std::array::from_fn(|i| from[i] + share * (to[i] - from[i]));
    (first <= last).then(|| [place(first), place(last)])
}

#[cfg(test)]
mod tests {
    use restrand_mechanics::path::Direction;

    use super::*;

    /// An even spread of numbers below one, the same in every run.
    struct Spread(u64);

    impl Spread {
        fn next(&mut self, low: f64, high: f64) -> f64 {
            self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            low + (high - low) * ((self.0 >> 33) as f64 / f64::from(1_u32 << 31))
        }
    }

    const fn direction(x: f64, y: f64, z: f64) -> Direction {
        Direction { x, y, z }
    }

    /// The least gap by trying places on both axes, of those that lie beside the stretch.
    fn tried_mm(axis: &EndAxis, on_axis: OnAxis, bodies: &[Body]) -> f64 {
        const STEPS: u32 = 400;
        let mut least_mm = f64::INFINITY;
        for body in bodies.iter().filter(|body| body.tendon != 0) {
            for step in 0..=STEPS {
                let share = f64::from(step) / f64::from(STEPS);
                let along = |from: f64, to: f64| from + share * (to - from);
                let place = axis.own_mm(Point {
                    x_m: along(body.from.x_m, body.to.x_m),
                    y_m: along(body.from.y_m, body.to.y_m),
                    z_m: along(body.from.z_m, body.to.z_m),
                });
                if (on_axis.from_mm..=on_axis.to_mm).contains(&place[0]) {
                    // Square to the axis, as the place lies beside the stretch.
                    let apart_mm = place[1].hypot(place[2]);
                    least_mm = least_mm.min(apart_mm - on_axis.radius_mm - body.radius_mm);
                }
            }
        }
        least_mm
    }

    #[test]
    fn the_nearest_body_is_the_one_that_trying_finds() {
        let mut spread = Spread(7);
        let mut found = 0;
        for _ in 0..300 {
            let mut body = |tendon| Body {
                tendon,
                what: What::Leg(0),
                from: Point {
                    x_m: spread.next(95.0, 105.0),
                    y_m: spread.next(-2.0, 2.0),
                    z_m: spread.next(-2.0, 2.0),
                },
                to: Point {
                    x_m: spread.next(95.0, 105.0),
                    y_m: spread.next(-2.0, 2.0),
                    z_m: spread.next(-2.0, 2.0),
                },
                radius_mm: spread.next(20.0, 80.0),
            };
            let bodies: Vec<_> = (0..12).map(&mut body).collect();
            let slope = spread.next(-0.2, 0.2);
            let (sin, cos) = slope.sin_cos();
            let axis = EndAxis {
                at: Point { x_m: 100.0, y_m: 0.0, z_m: 0.0 },
                rear: direction(-cos, 0.0, sin),
                up: direction(sin, 0.0, cos),
                left: direction(0.0, 1.0, 0.0),
                rear_pitch_rad: slope,
                rear_turn_rad: 0.0,
            };
            let on_axis = OnAxis {
                from_mm: spread.next(0.0, 200.0),
                to_mm: spread.next(300.0, 3000.0),
                radius_mm: spread.next(50.0, 250.0),
            };
            let tried_mm = tried_mm(&axis, on_axis, &bodies);
            let standing = Standing::from_bodies(bodies, None);
            match standing.nearest(0, &axis, on_axis, 300.0) {
                None => assert!(tried_mm >= 300.0, "{tried_mm}"),
                Some(nearest) => {
                    found += 1;
                    // Trying meets the nearest place to within its steps, and never overshoots it.
                    assert!(nearest.gap_mm <= tried_mm + 1e-6, "{nearest:?}: {tried_mm}");
                    if tried_mm.is_finite() {
                        assert!(tried_mm - nearest.gap_mm < 15.0, "{nearest:?}: {tried_mm}");
                    }
                }
            }
        }
        assert!(found > 100, "{found}");
    }

    #[test]
    fn bodies_are_in_order_and_known_by_how_far_they_reach() {
        let body = |from_x_m: f64, to_x_m: f64, radius_mm| Body {
            tendon: 1,
            what: What::Leg(0),
            from: Point { x_m: from_x_m, y_m: 2.0, z_m: 5.0 },
            to: Point { x_m: to_x_m, y_m: 3.0, z_m: 4.0 },
            radius_mm,
        };
        let bodies =
            vec![body(12.0, 20.0, 250.0), body(40.0, 10.0, 500.0), body(30.0, 31.0, 500.0)];
        let standing = Standing::from_bodies(bodies, None);
        let low_m: Vec<_> = standing.bodies.iter().map(Body::low_m).collect();
        assert_eq!(low_m, [9.5, 11.75, 29.5]);
        assert_eq!(standing.reach_m, [40.5, 40.5, 40.5]);
        let standing =
            Standing::from_bodies(vec![body(12.0, 20.0, 250.0), body(21.0, 30.0, 125.0)], None);
        assert_eq!(standing.reach_m, [20.25, 30.125]);
    }

    #[test]
    fn boxes_meet_unless_they_are_apart_in_one_direction() {
        let point = |x_m, y_m, z_m| Point { x_m, y_m, z_m };
        let body = Body {
            tendon: 1,
            what: What::Leg(0),
            from: point(10.0, 2.0, 5.0),
            to: point(14.0, 3.0, 4.0),
            radius_mm: 250.0,
        };
        // A line from this point 1 m on in each direction, which reaches 0.25 m beyond itself.
        let meets = |x_m: f64, y_m: f64, z_m: f64| {
            body.may_meet([point(x_m, y_m, z_m), point(x_m + 1.0, y_m + 1.0, z_m + 1.0)], 0.25)
        };
        for (x_m, y_m, z_m) in [
            (12.0, 2.0, 4.0),
            // Just as far as both reach, on either side in each direction.
            (14.5, 2.0, 4.0),
            (8.5, 2.0, 4.0),
            (12.0, 3.5, 4.0),
            (12.0, 0.5, 4.0),
            (12.0, 2.0, 5.5),
            (12.0, 2.0, 2.5),
        ] {
            assert!(meets(x_m, y_m, z_m), "{x_m} {y_m} {z_m}");
        }
        for (x_m, y_m, z_m) in [
            (14.51, 2.0, 4.0),
            (8.49, 2.0, 4.0),
            (12.0, 3.51, 4.0),
            (12.0, 0.49, 4.0),
            (12.0, 2.0, 5.51),
            (12.0, 2.0, 2.49),
        ] {
            assert!(!meets(x_m, y_m, z_m), "{x_m} {y_m} {z_m}");
        }
    }

    #[test]
    fn a_line_is_cut_to_the_stretch() {
        let line = [[-1000.0, 300.0, 0.0], [3000.0, 300.0, 400.0]];
        let cut = between(line, 0.0, 1000.0).unwrap();
        assert_eq!(cut, [[0.0, 300.0, 100.0], [1000.0, 300.0, 200.0]]);
        let turned = between([line[1], line[0]], 0.0, 1000.0).unwrap();
        assert_eq!(turned, [[1000.0, 300.0, 200.0], [0.0, 300.0, 100.0]]);
        assert_eq!(between(line, 3000.1, 4000.0), None);
        assert_eq!(between([[5.0, 1.0, 1.0]; 2], 0.0, 10.0), Some([[5.0, 1.0, 1.0]; 2]));
        assert_eq!(between([[-5.0, 1.0, 1.0]; 2], 0.0, 10.0), None);
    }
}
