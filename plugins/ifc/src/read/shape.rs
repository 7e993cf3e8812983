//! Shapes of elements: their representations, and what is mapped into them.

use restrand_kit::Stopped;

use super::geometry::{Axes, Triple, cross, dot, unit};
use super::reader::Reader;
use crate::terms::Kind;
use crate::value::Entity;

/// Representations that are mapped into each other and read.
const DEEPEST: u32 = 8;
/// Items of one element that are read.
const MOST: usize = 10_000;

/// A representation: its identifier, and its items with the axes in which they stand.
pub(super) type Shape = (String, Vec<(usize, Axes)>);

impl Reader<'_, '_> {
    /// The representations of an element, its items in the axes of the world.
    pub(super) fn shapes_of(&mut self, at: usize) -> Result<Vec<Shape>, Stopped> {
        let Some(entity) = self.entity(at)? else { return Ok(Vec::new()) };
        let Some(shape) = self.one(at, &entity, "Representation")? else {
            return Ok(Vec::new());
        };
        let Some(shape_entity) = self.entity(shape)? else { return Ok(Vec::new()) };
        let stated = !entity.get("ObjectPlacement").is_absent();
        let axes = match self.placement_of(at, &entity)? {
            Some(axes) => axes,
            // Where it stands is not known, and was said.
            None if stated => return Ok(Vec::new()),
            None => Axes::WORLD,
        };
        self.steps = 0;
        let mut shapes = Vec::new();
        for representation in self.all(shape, &shape_entity, "Representations")? {
            let Some(entity) = self.entity(representation)? else { continue };
            let identifier = entity.get("RepresentationIdentifier").text().unwrap_or_default();
            let mut items = Vec::new();
            self.items(representation, &entity, &axes, 0, &mut items)?;
            shapes.push((identifier.to_owned(), items));
        }
        Ok(shapes)
    }

    fn items(
        &mut self,
        at: usize,
        representation: &Entity<'_>,
        axes: &Axes,
        depth: u32,
        found: &mut Vec<(usize, Axes)>,
    ) -> Result<(), Stopped> {
        for item in self.all(at, representation, "Items")? {
            if found.len() >= MOST {
                return Ok(());
            }
            if self.model.kind(item) != Kind::MappedItem {
                found.push((item, *axes));
                continue;
            }
            self.steps += 1;
            if depth >= DEEPEST || self.steps > MOST {
                self.bad(item, "its maps lead in a circle, or through too many others")?;
                continue;
            }
            let Some(entity) = self.entity(item)? else { continue };
            let Some(map) = self.one(item, &entity, "MappingSource")? else { continue };
            let Some(map_entity) = self.entity(map)? else { continue };
            let origin = self.axes_of(map, &map_entity, "MappingOrigin")?;
            let target = match self.one(item, &entity, "MappingTarget")? {
                Some(target) => self.transformation(target)?,
                None => None,
            };
            let mapped = self.one(map, &map_entity, "MappedRepresentation")?;
            let (Some(origin), Some(target), Some(mapped)) = (origin, target, mapped) else {
                self.bad(item, "it maps what, or to where, is not read")?;
                continue;
            };
            let Some(mapped_entity) = self.entity(mapped)? else { continue };
            let inner = axes.then(&target).then(&inverse(&origin));
            self.items(mapped, &mapped_entity, &inner, depth + 1, found)?;
        }
        Ok(())
    }

    /// The axes of a transformation that neither stretches nor mirrors.
    fn transformation(&mut self, at: usize) -> Result<Option<Axes>, Stopped> {
        let Some(entity) = self.entity(at)? else { return Ok(None) };
        if entity.kind != Kind::Transformation3D {
            return Ok(None);
        }
        let x = self.point_of(at, &entity, "Axis1")?.unwrap_or([1.0, 0.0, 0.0]);
        let y = self.point_of(at, &entity, "Axis2")?.unwrap_or([0.0, 1.0, 0.0]);
        let z = self.point_of(at, &entity, "Axis3")?.unwrap_or([0.0, 0.0, 1.0]);
        let origin = self.point_of(at, &entity, "LocalOrigin")?;
        let scale = entity.get("Scale").number().unwrap_or(1.0);
        let is_plain = (scale - 1.0).abs() < 1e-9 && is_right_handed(x, y, z);
        if !is_plain {
            self.bad(at, "it stretches, mirrors or skews what it maps, which is not read")?;
            return Ok(None);
        }
        Ok(origin.and_then(|origin| Axes::of(origin, Some(z), Some(x))))
    }
}

fn is_right_handed(x: Triple, y: Triple, z: Triple) -> bool {
    let (Some(x), Some(y), Some(z)) = (unit(x), unit(y), unit(z)) else { return false };
    dot(cross(x, y), z) > 1.0 - 1e-6
}

/// The axes that undo these.
fn inverse(axes: &Axes) -> Axes {
    let row = |direction: Triple| {
        [dot(direction, axes.x), dot(direction, axes.y), dot(direction, axes.z)]
    };
    let origin = row(axes.origin);
    Axes {
        origin: [-origin[0], -origin[1], -origin[2]],
        x: row([1.0, 0.0, 0.0]),
        y: row([0.0, 1.0, 0.0]),
        z: row([0.0, 0.0, 1.0]),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn axes_and_their_inverse_lead_back() {
        let axes =
            Axes::of([3.0, -2.0, 7.0], Some([0.2, 0.1, 1.0]), Some([1.0, 2.0, 0.0])).unwrap();
        let point = [5.0, 6.0, -1.0];
        let back = inverse(&axes).out(axes.out(point));
        for (one, other) in back.into_iter().zip(point) {
            assert!((one - other).abs() < 1e-12);
        }
    }
}
