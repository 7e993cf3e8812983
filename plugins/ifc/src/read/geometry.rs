//! Where things lie: points, axes, placements.

use restrand_kit::Stopped;
use restrand_model::reading::ProblemKind;

use super::reader::Reader;
use super::units::tidy_from;
use crate::terms::Kind;
use crate::value::Entity;

/// Three numbers.
pub(super) type Triple = [f64; 3];

/// Placements that stand on each other; real models have fewer than ten.
const HIGHEST: usize = 64;

pub(super) fn add(a: Triple, b: Triple) -> Triple {
    [a[0] + b[0], a[1] + b[1], a[2] + b[2]]
}

pub(super) fn sub(a: Triple, b: Triple) -> Triple {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

pub(super) fn scale(a: Triple, by: f64) -> Triple {
    [a[0] * by, a[1] * by, a[2] * by]
}

pub(super) fn dot(a: Triple, b: Triple) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

pub(super) fn cross(a: Triple, b: Triple) -> Triple {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

pub(super) fn length(a: Triple) -> f64 {
    dot(a, a).sqrt()
}

pub(super) fn unit(a: Triple) -> Option<Triple> {
    let size = length(a);
    (size > 0.0 && size.is_finite()).then(|| scale(a, 1.0 / size))
}

/// An origin with three axes, square to each other and of length one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Axes {
    pub(super) origin: Triple,
    pub(super) x: Triple,
    pub(super) y: Triple,
    pub(super) z: Triple,
}

impl Axes {
    /// Those of the world.
    pub(super) const WORLD: Self =
        Self { origin: [0.0; 3], x: [1.0, 0.0, 0.0], y: [0.0, 1.0, 0.0], z: [0.0, 0.0, 1.0] };

    /// Axes whose z is this direction, and whose x is as near as can be to the other.
    pub(super) fn of(origin: Triple, z: Option<Triple>, x: Option<Triple>) -> Option<Self> {
        let z = unit(z.unwrap_or([0.0, 0.0, 1.0]))?;
        let near = x.unwrap_or(if z[0].abs() < 0.9 { [1.0, 0.0, 0.0] } else { [0.0, 1.0, 0.0] });
        let x = unit(sub(near, scale(z, dot(near, z))))?;
        Some(Self { origin, x, y: cross(z, x), z })
    }

    /// A direction in these axes, in those that they stand in.
    pub(super) fn turn(&self, direction: Triple) -> Triple {
        add(
            add(scale(self.x, direction[0]), scale(self.y, direction[1])),
            scale(self.z, direction[2]),
        )
    }

    /// A point in these axes, in those that they stand in.
    pub(super) fn out(&self, point: Triple) -> Triple {
        add(self.origin, self.turn(point))
    }

    /// A point in the axes that these stand in, in these.
    pub(super) fn inward(&self, point: Triple) -> Triple {
        let from = sub(point, self.origin);
        [dot(from, self.x), dot(from, self.y), dot(from, self.z)]
    }

    /// Axes in these axes, in those that they stand in.
    pub(super) fn then(&self, inner: &Self) -> Self {
        Self {
            origin: self.out(inner.origin),
            x: self.turn(inner.x),
            y: self.turn(inner.y),
            z: self.turn(inner.z),
        }
    }
}

/// Whether a coordinate is greater than any of the earth in any unit: nothing can be reckoned with it.
pub(super) fn is_beyond(numbers: &[f64]) -> bool {
    const MOST: f64 = 1.0e13;
    numbers.iter().any(|number| number.is_nan() || number.abs() > MOST)
}

/// What is said of such a one.
pub(super) const BEYOND: &str = "it has a coordinate that is greater than any on earth";

impl Reader<'_, '_> {
    /// The point of an `IfcCartesianPoint`; one in a plane has no height.
    pub(super) fn point(&mut self, at: usize) -> Result<Option<Triple>, Stopped> {
        let Some(entity) = self.entity(at)? else { return Ok(None) };
        let attribute = match entity.kind {
            Kind::CartesianPoint => "Coordinates",
            Kind::Direction => "DirectionRatios",
            _ => return Ok(None),
        };
        let numbers = entity.get(attribute).numbers();
        match numbers.as_deref() {
            Some(numbers) if is_beyond(numbers) => {
                self.bad(at, BEYOND)?;
                Ok(None)
            }
            Some([x, y]) => Ok(Some([*x, *y, 0.0])),
            Some([x, y, z]) => Ok(Some([*x, *y, *z])),
            _ => {
                self.bad(at, "it does not have two or three numbers")?;
                Ok(None)
            }
        }
    }

    /// The point or direction that an attribute refers to.
    pub(super) fn point_of(
        &mut self,
        at: usize,
        entity: &Entity<'_>,
        attribute: &str,
    ) -> Result<Option<Triple>, Stopped> {
        match self.one(at, entity, attribute)? {
            Some(point) => self.point(point),
            None => Ok(None),
        }
    }

    /// Says that geometry cannot be read.
    pub(super) fn bad(&mut self, at: usize, why: &str) -> Result<(), Stopped> {
        let help = "correct it in the program that made the model; what lies by it is not known";
        self.remark(at, ProblemKind::ValueLost, "", None, why.to_owned(), help)
    }

    /// The axes of an `IfcAxis2Placement3D` or `…2D`.
    pub(super) fn axes(&mut self, at: usize) -> Result<Option<Axes>, Stopped> {
        let Some(entity) = self.entity(at)? else { return Ok(None) };
        let origin = self.point_of(at, &entity, "Location")?;
        let Some(origin) = origin else { return Ok(None) };
        let z = match entity.kind {
            Kind::Axis2Placement3D => self.point_of(at, &entity, "Axis")?,
            Kind::Axis2Placement2D => None,
            _ => return Ok(None),
        };
        let x = self.point_of(at, &entity, "RefDirection")?;
        let axes = Axes::of(origin, z, x);
        if axes.is_none() {
            self.bad(at, "its directions are of no length, or the same")?;
        }
        Ok(axes)
    }

    /// The axes that an attribute refers to; those of what they stand in, where it refers to none.
    pub(super) fn axes_of(
        &mut self,
        at: usize,
        entity: &Entity<'_>,
        attribute: &str,
    ) -> Result<Option<Axes>, Stopped> {
        match self.one(at, entity, attribute)? {
            Some(axes) => self.axes(axes),
            None => Ok(Some(Axes::WORLD)),
        }
    }

    /// Where an object stands in the world: its placement and all below it.
    pub(super) fn placement_of(
        &mut self,
        at: usize,
        entity: &Entity<'_>,
    ) -> Result<Option<Axes>, Stopped> {
        match self.one(at, entity, "ObjectPlacement")? {
            Some(placement) => self.placement(placement),
            None => Ok(None),
        }
    }

    /// The axes of a placement in the world.
    fn placement(&mut self, first: usize) -> Result<Option<Axes>, Stopped> {
        let mut chain = Vec::new();
        let mut at = first;
        let mut base = loop {
            if let Some(known) = self.placements.get(&at) {
                break *known;
            }
            if chain.len() >= HIGHEST || chain.iter().any(|(other, _)| *other == at) {
                self.bad(first, "its placements lead in a circle, or through too many others")?;
                break None;
            }
            let Some(entity) = self.entity(at)? else { break None };
            let own = match entity.kind {
                Kind::LocalPlacement => self.axes_of(at, &entity, "RelativePlacement")?,
                Kind::LinearPlacement => {
                    let linear = self.one(at, &entity, "RelativePlacement")?;
                    let linear =
                        linear.filter(|linear| self.model.kind(*linear) == Kind::AxisLinear);
                    match (linear, self.one(at, &entity, "CartesianPosition")?) {
                        // What is stated in numbers needs no curve.
                        (_, Some(stated)) => self.axes(stated)?,
                        (Some(linear), None) => self.linear(linear)?,
                        (None, None) => {
                            self.bad(
                                at,
                                "it states no place along a line, and no CartesianPosition",
                            )?;
                            None
                        }
                    }
                }
                _ => None,
            };
            chain.push((at, own));
            match self.one(at, &entity, "PlacementRelTo")? {
                Some(next) => at = next,
                None => break Some(Axes::WORLD),
            }
        };
        for (at, own) in chain.into_iter().rev() {
            base = base.zip(own).map(|(base, own)| base.then(&own));
            self.placements.insert(at, base);
        }
        Ok(base)
    }

    /// Finds the schedule's frame: the bridge's own axes, or those of the one building that stands for it, or else
    /// those of the world.
    ///
    /// Before IFC 4.3 there is no bridge, and programs let a building be it.
    pub(super) fn read_frame(&mut self) -> Result<(), Stopped> {
        let structure = match (self.graph.all(Kind::Bridge), self.graph.all(Kind::Building)) {
            ([bridge, ..], _) => Some((*bridge, "bridge's")),
            ([], [building]) => Some((*building, "building's")),
            ([], _) => None,
        };
        let Some((at, whose)) = structure else { return self.world_frame() };
        let Some(entity) = self.entity(at)? else { return Ok(()) };
        let Some(axes) = self.placement_of(at, &entity)? else { return self.world_frame() };
        self.frame = axes;
        if axes != Axes::WORLD {
            let why = format!(
                "stations are counted along the x axis of the {whose} own placement, lateral positions to its left \
                 and elevations up from it"
            );
            let help =
                "check the first station against a drawing; where it differs, move the placement";
            self.remark(at, ProblemKind::Assumed, "ObjectPlacement", None, why, help)?;
        }
        Ok(())
    }

    /// Without a bridge, points are those of the world, whose axes the context states.
    fn world_frame(&mut self) -> Result<(), Stopped> {
        let Some(context) = self.graph.all(Kind::Context).first().copied() else {
            return Ok(());
        };
        let Some(entity) = self.entity(context)? else { return Ok(()) };
        let world = self.axes_of(context, &entity, "WorldCoordinateSystem")?;
        if let Some(world) = world {
            // A point p of the world lies at world(p); the frame is what takes it there.
            let origin = world.out([0.0; 3]);
            let inverse = |direction: Triple| {
                [dot(direction, world.x), dot(direction, world.y), dot(direction, world.z)]
            };
            let axes = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]].map(inverse);
            self.frame =
                Axes { origin: scale(inverse(origin), -1.0), x: axes[0], y: axes[1], z: axes[2] };
        }
        Ok(())
    }

    /// A point of the world in the schedule's frame, in metres.
    pub(super) fn in_frame(&self, point: Triple) -> Option<Triple> {
        let metres = self.units.metres()?;
        // What arithmetic leaves grows with the distance from the world's origin, as survey coordinates have it.
        let far = point.into_iter().fold(0.0, |far: f64, one| far.max((one * metres).abs()));
        // A nanometre is none.
        let tidied = |value: f64| if value.abs() < 1e-9 { 0.0 } else { tidy_from(value, far) };
        Some(self.frame.inward(point).map(|value| tidied(value * metres)))
    }

    /// A direction of the world in the schedule's frame.
    pub(super) fn turned(&self, direction: Triple) -> Triple {
        [dot(direction, self.frame.x), dot(direction, self.frame.y), dot(direction, self.frame.z)]
    }

    /// Where an object's placement has its origin, in the schedule's frame, in metres.
    pub(super) fn position(
        &mut self,
        at: usize,
        entity: &Entity<'_>,
    ) -> Result<Option<Triple>, Stopped> {
        let placement = self.placement_of(at, entity)?;
        Ok(placement.and_then(|axes| self.in_frame(axes.origin)))
    }
}
