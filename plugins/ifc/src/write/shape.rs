//! Shapes: placements, axes, swept bodies and the solids of envelopes.

use restrand_kit::layout::{Course, Frame, Solid, Triple};

use super::Writer;
use super::model::{entities, entity, number_or_absent, numbers, text, typed, whole, word};
use crate::Value;
use crate::terms::Kind;

/// The contexts of representations.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Contexts {
    pub(super) model: u64,
    axis: u64,
    body: u64,
}

/// What is shown of a product: the identifier and the type of its representation, and its items.
type Shown = (&'static str, &'static str, Vec<u64>);

const METRE_IN_MM: f64 = 1000.0;

impl Writer<'_> {
    /// Makes the contexts.
    pub(super) fn make_contexts(&mut self) -> Contexts {
        let world = self.axes([0.0; 3], None);
        let model = self.model.add(
            Kind::Context,
            [
                ("ContextType", text("Model")),
                ("CoordinateSpaceDimension", whole(3)),
                ("Precision", Value::Number(1e-6)),
                ("WorldCoordinateSystem", entity(world)),
            ],
        );
        let mut sub = |name: &str, view| {
            self.model.add(
                Kind::SubContext,
                [
                    ("ContextIdentifier", text(name)),
                    ("ContextType", text("Model")),
                    ("ParentContext", entity(model)),
                    ("TargetView", word(view)),
                ],
            )
        };
        let (axis, body) = (sub("Axis", "GRAPH_VIEW"), sub("Body", "MODEL_VIEW"));
        Contexts { model, axis, body }
    }

    fn point(&mut self, at: Triple) -> u64 {
        self.model.add(Kind::CartesianPoint, [("Coordinates", numbers(at))])
    }

    fn direction(&mut self, ratios: Triple) -> u64 {
        self.model.add(Kind::Direction, [("DirectionRatios", numbers(ratios))])
    }

    /// Axes in space: where they meet, and the third and first of them where they are turned.
    fn axes(&mut self, at: Triple, turned: Option<(Triple, Triple)>) -> u64 {
        let location = self.point(at);
        let mut given = vec![("Location", entity(location))];
        if let Some((third, first)) = turned {
            let (third, first) = (self.direction(third), self.direction(first));
            given.extend([("Axis", entity(third)), ("RefDirection", entity(first))]);
        }
        self.model.add(Kind::Axis2Placement3D, given)
    }

    /// A placement within another; the other's own axes where no frame is given.
    pub(super) fn placement(&mut self, within: Option<u64>, frame: Option<Frame>) -> u64 {
        let axes = match frame {
            Some(Frame { at_m, along, up }) => self.axes(at_m, Some((up, along))),
            None => self.axes([0.0; 3], None),
        };
        let within = within.map_or(Value::Absent, entity);
        self.model.add(
            Kind::LocalPlacement,
            [("PlacementRelTo", within), ("RelativePlacement", entity(axes))],
        )
    }

    /// The curve of a course: one for its axis and the bodies that follow it.
    pub(super) fn curve(&mut self, course: &Course) -> u64 {
        let mut rows = vec![course.start_m];
        let mut segments = Vec::new();
        for piece in &course.pieces {
            let from = rows.len();
            rows.extend(piece.through_m);
            rows.push(piece.to_m);
            let indices = (from..=rows.len()).map(|index| whole(index as i64)).collect();
            let kind = if piece.through_m.is_some() { "IfcArcIndex" } else { "IfcLineIndex" };
            segments.push(typed(kind, Value::List(indices)));
        }
        let points = self.model.add(
            Kind::PointList3D,
            [("CoordList", Value::List(rows.into_iter().map(numbers).collect()))],
        );
        self.model.add(
            Kind::IndexedPolyCurve,
            [
                ("Points", entity(points)),
                ("Segments", Value::List(segments)),
                ("SelfIntersect", word("F")),
            ],
        )
    }

    /// A disk swept along a curve.
    pub(super) fn swept(&mut self, curve: u64, radius_mm: f64, inner_mm: Option<f64>) -> u64 {
        let inner_m = inner_mm.map(|inner_mm| inner_mm / METRE_IN_MM);
        self.model.add(
            Kind::SweptDisk,
            [
                ("Directrix", entity(curve)),
                ("Radius", Value::Number(radius_mm / METRE_IN_MM)),
                ("InnerRadius", number_or_absent(inner_m)),
            ],
        )
    }

    /// A solid in the axes of its body, as an extrusion along the first of them.
    pub(super) fn solid(&mut self, solid: Solid) -> u64 {
        let (profile, from_mm, to_mm, aside_mm, above_mm) = match solid {
            Solid::Box { low_mm, high_mm } => {
                let size = |index: usize| (high_mm[index] - low_mm[index]) / METRE_IN_MM;
                let middle = |index: usize| f64::midpoint(low_mm[index], high_mm[index]);
                // The profile's own axes are the body's second and third.
                let profile = self.model.add(
                    Kind::RectangleProfile,
                    [
                        ("ProfileType", word("AREA")),
                        ("XDim", Value::Number(size(1))),
                        ("YDim", Value::Number(size(2))),
                    ],
                );
                (profile, low_mm[0], high_mm[0], middle(1), middle(2))
            }
            Solid::Cylinder { from_mm, to_mm, radius_mm } => {
                let profile = self.model.add(
                    Kind::CircleProfile,
                    [
                        ("ProfileType", word("AREA")),
                        ("Radius", Value::Number(radius_mm / METRE_IN_MM)),
                    ],
                );
                (profile, from_mm, to_mm, 0.0, 0.0)
            }
        };
        let at_m = [from_mm, aside_mm, above_mm].map(|mm| mm / METRE_IN_MM);
        let position = self.axes(at_m, Some(([1.0, 0.0, 0.0], [0.0, 1.0, 0.0])));
        let along = self.direction([0.0, 0.0, 1.0]);
        self.model.add(
            Kind::ExtrudedArea,
            [
                ("SweptArea", entity(profile)),
                ("Position", entity(position)),
                ("ExtrudedDirection", entity(along)),
                ("Depth", Value::Number((to_mm - from_mm) / METRE_IN_MM)),
            ],
        )
    }

    /// The shape of a product; absent where nothing is shown.
    pub(super) fn shape(&mut self, shown: Vec<Shown>) -> Value<'static> {
        let mut representations = Vec::new();
        for (identifier, kind, items) in shown {
            let context =
                if identifier == "Axis" { self.contexts.axis } else { self.contexts.body };
            representations.push(self.model.add(
                Kind::ShapeRepresentation,
                [
                    ("ContextOfItems", entity(context)),
                    ("RepresentationIdentifier", text(identifier)),
                    ("RepresentationType", text(kind)),
                    ("Items", entities(items)),
                ],
            ));
        }
        if representations.is_empty() {
            return Value::Absent;
        }
        let shape = [("Representations", entities(representations))];
        entity(self.model.add(Kind::ProductShape, shape))
    }
}
