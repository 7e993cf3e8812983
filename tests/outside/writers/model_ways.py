"""Writes models in the ways of three other programs, whose facts are known from how they are made.

Usage: model_ways.py feet OUT.ifc       (IFC4)
       model_ways.py turned OUT.ifc     (IFC4X3_ADD2)
       model_ways.py inches OUT.ifc     (IFC2X3)

Each has one tendon, F1, whose numbers stand in tests/model_ways.rs beside where they come from.
ifcopenshell must find each valid under the rules of its schema.
"""

import math
import sys

import ifcopenshell
import ifcopenshell.guid
import ifcopenshell.validate


class Writer:
    def __init__(self, schema):
        self.model = ifcopenshell.file(schema=schema)
        self.make = self.model.create_entity
        self.number = 0
        self.history = self.owner() if schema == "IFC2X3" else None

    def owner(self):
        both = self.make(
            "IfcPersonAndOrganization",
            self.make("IfcPerson", FamilyName="Someone"),
            self.make("IfcOrganization", Name="Some office"),
        )
        program = self.make("IfcApplication", both.TheOrganization, "1", "Some program", "some")
        return self.make("IfcOwnerHistory", both, program, ChangeAction="ADDED", CreationDate=1900000000)

    def rooted(self, kind, name=None, **given):
        self.number += 1
        return self.make(kind, ifcopenshell.guid.compress(f"{self.number:032x}"), self.history, name, **given)

    def si(self, kind, name, prefix=None):
        return self.make("IfcSIUnit", None, kind, prefix, name)

    def by_factor(self, kind, name, factor, measure, base, exponents):
        value = self.make("IfcMeasureWithUnit", self.make(measure, factor), base)
        return self.make("IfcConversionBasedUnit", self.make("IfcDimensionalExponents", *exponents), kind, name, value)

    def project(self, units):
        self.origin = self.axes((0.0, 0.0, 0.0))
        self.context = self.make("IfcGeometricRepresentationContext", None, "Model", 3, 1e-5, self.origin)
        assigned = self.make("IfcUnitAssignment", units)
        return self.rooted(
            "IfcProject", "Another project", UnitsInContext=assigned, RepresentationContexts=[self.context]
        )

    def point(self, *numbers):
        return self.make("IfcCartesianPoint", tuple(float(number) for number in numbers))

    def direction(self, *numbers):
        return self.make("IfcDirection", tuple(float(number) for number in numbers))

    def axes(self, origin, z=None, x=None):
        z, x = (one and self.direction(*one) for one in (z, x))
        return self.make("IfcAxis2Placement3D", self.point(*origin), z, x)

    def place(self, below, origin, z=None, x=None):
        return self.make("IfcLocalPlacement", below, self.axes(origin, z, x))

    def shape(self, *representations):
        shapes = [
            self.make("IfcShapeRepresentation", self.context, identifier, kind, [item])
            for identifier, kind, item in representations
        ]
        return self.make("IfcProductDefinitionShape", None, None, shapes)

    def box(self, width, height, depth, axes=None):
        """A rectangle about the origin, pushed out along z."""
        middle = self.make("IfcAxis2Placement2D", self.point(0, 0))
        area = self.make("IfcRectangleProfileDef", "AREA", None, middle, float(width), float(height))
        return self.make("IfcExtrudedAreaSolid", area, axes or self.origin, self.direction(0, 0, 1), float(depth))

    def pset(self, name, **values):
        properties = []
        for property, value in values.items():
            unit = value[2] if len(value) > 2 else None
            properties.append(self.make("IfcPropertySingleValue", property, None, self.make(*value[:2]), unit))
        return self.rooted("IfcPropertySet", name, HasProperties=properties)

    def states(self, element, name, **values):
        self.rooted(
            "IfcRelDefinesByProperties",
            RelatedObjects=[element],
            RelatingPropertyDefinition=self.pset(name, **values),
        )

    def parts(self, whole, *parts):
        self.rooted("IfcRelAggregates", RelatingObject=whole, RelatedObjects=list(parts))

    def inside(self, structure, *elements):
        self.rooted(
            "IfcRelContainedInSpatialStructure", RelatedElements=list(elements), RelatingStructure=structure
        )

    def of_type(self, type_, *objects):
        self.rooted("IfcRelDefinesByType", RelatedObjects=list(objects), RelatingType=type_)

    def write(self, path):
        self.model.write(path)
        logger = ifcopenshell.validate.json_logger()
        ifcopenshell.validate.validate(ifcopenshell.open(path), logger, express_rules=True)
        if logger.statements:
            sys.exit("\n".join(str(one.get("message"))[:300] for one in logger.statements))


def feet(path):
    """Feet and kips; a body and no axis; an assembly of tendon and anchors; sets at types; rooms as proxies."""
    w = Writer("IFC4")
    metre, newton = w.si("LENGTHUNIT", "METRE"), w.si("FORCEUNIT", "NEWTON")
    inch = w.by_factor("LENGTHUNIT", "inch", 0.0254, "IfcLengthMeasure", metre, (1, 0, 0, 0, 0, 0, 0))
    # A foot of inches, a kip of pounds-force: what a unit is called tells nothing.
    foot = w.by_factor("LENGTHUNIT", "foot", 12.0, "IfcLengthMeasure", inch, (1, 0, 0, 0, 0, 0, 0))
    pound = w.by_factor("FORCEUNIT", "lbf", 4.4482216152605, "IfcForceMeasure", newton, (1, 1, -2, 0, 0, 0, 0))
    kip = w.by_factor("FORCEUNIT", "kip", 1000.0, "IfcForceMeasure", pound, (1, 1, -2, 0, 0, 0, 0))
    project = w.project([foot, kip])
    site = w.rooted("IfcSite", "Site", ObjectPlacement=w.place(None, (0, 0, 0)))
    building = w.rooted("IfcBuilding", "Bridge", ObjectPlacement=w.place(site.ObjectPlacement, (100, 0, 0)))
    w.parts(project, site)
    w.parts(site, building)
    # The tendon's own axes: x runs to the left of the bridge, so that its course is along -y.
    below = w.place(building.ObjectPlacement, (10, 6, 0), (0, 0, 1), (0, 1, 0))
    points = w.make("IfcCartesianPointList3D", ((0.0, 0.0, 6.0), (0.0, -60.0, 2.0), (0.0, -120.0, 6.0)))
    line = w.make("IfcIndexedPolyCurve", points, [w.make("IfcLineIndex", (1, 2, 3))], False)
    body = w.make("IfcSweptDiskSolid", line, 0.15, None, None, None)
    tendon = w.rooted(
        "IfcTendon",
        "F1",
        ObjectPlacement=below,
        Representation=w.shape(("Body", "AdvancedSweptSolid", body)),
        PredefinedType="STRAND",
        FrictionCoefficient=0.2,
        AnchorageSlip=0.25 / 12.0,
    )
    anchors = []
    for end, at in (("A", 0.0), ("B", -120.0)):
        anchor = w.rooted("IfcTendonAnchor", f"F1-{end}", ObjectPlacement=w.place(below, (0, at, 6)))
        anchors.append(anchor)
        # The room is a proxy that bears the anchor's name, in the axes of the world: 8 ft behind it.
        x = 110.0 if end == "A" else 230.0
        outward = -1.0 if end == "A" else 1.0
        room = w.rooted(
            "IfcBuildingElementProxy",
            f"Jacking space F1-{end}",
            ObjectPlacement=w.place(None, (x, 6, 6), (outward, 0, 0), (0, 1, 0)),
            Representation=w.shape(("Body", "SweptSolid", w.box(4, 3, 8))),
            PredefinedType="PROVISIONFORSPACE",
        )
        w.inside(building, room)
    assembly = w.rooted(
        "IfcElementAssembly", "PT", ObjectType="Cable", PredefinedType="USERDEFINED", ObjectPlacement=below
    )
    w.parts(assembly, tendon, *anchors)
    w.inside(building, assembly)
    of_tendon = w.rooted(
        "IfcTendonType",
        "Cable 19",
        PredefinedType="STRAND",
        HasPropertySets=[w.pset("Cable data", Strands=("IfcCountMeasure", 19), Jacking=("IfcForceMeasure", 800.0))],
    )
    w.of_type(of_tendon, tendon)
    of_anchor = w.rooted(
        "IfcTendonAnchorType",
        "Live anchor",
        PredefinedType="TENSIONING_END",
        HasPropertySets=[w.pset("Anchor data", Tail=("IfcPositiveLengthMeasure", 30.0, inch))],
    )
    w.of_type(of_anchor, *anchors)
    # What one states itself holds before what its type states.
    w.states(anchors[1], "Anchor data", Tail=("IfcPositiveLengthMeasure", 24.0, inch))
    w.write(path)


def turned(path):
    """Millimetres and no unit of force; placements turned at each level; lines and an arc; connections to blisters."""
    w = Writer("IFC4X3_ADD2")
    project = w.project([w.si("LENGTHUNIT", "METRE", "MILLI"), w.si("AREAUNIT", "SQUARE_METRE")])

    def turn(degrees):
        return math.cos(math.radians(degrees)), math.sin(math.radians(degrees)), 0.0

    site = w.rooted("IfcSite", "Site", ObjectPlacement=w.place(None, (7.3e8, 2.1e8, 0), (0, 0, 1), turn(-10)))
    bridge = w.rooted(
        "IfcBridge",
        "Some bridge",
        ObjectPlacement=w.place(site.ObjectPlacement, (1e6, 5e5, 0), (0, 0, 1), turn(30)),
        PredefinedType="GIRDER",
    )
    part = w.rooted(
        "IfcBridgePart",
        "Deck",
        ObjectPlacement=w.place(bridge.ObjectPlacement, (1000, 0, 0), (0, 0, 1), turn(90)),
        UsageType="LATERAL",
        PredefinedType="SUPERSTRUCTURE",
        CompositionType="ELEMENT",
    )
    w.parts(project, site)
    w.parts(site, bridge)
    w.parts(bridge, part)
    # In the deck's axes the bridge runs along -y: turned back by the tendon's own placement.
    below = w.place(part.ObjectPlacement, (2000, -1000, 0), (0, 0, 1), turn(-90))
    # From (0, 0, 1500) down to a corner at (20000, 0, 500) and up to (40000, 0, 1500), rounded by 20 m: in the plane
    # of x and z, where the arc begins and ends a tangent's length from the corner.
    radius, corner = 20000.0, (20000.0, 500.0)
    slope = math.atan2(1000.0, 20000.0)
    reach = radius * math.tan(slope)
    first = (corner[0] - reach * math.cos(slope), corner[1] + reach * math.sin(slope))
    last = (corner[0] + reach * math.cos(slope), first[1])
    middle = w.axes((corner[0], 0, first[1] + radius * math.cos(slope)), (0, -1, 0), (1, 0, 0))
    circle = w.make("IfcCircle", middle, radius)
    ends = [w.point(first[0], 0, first[1]), w.point(last[0], 0, last[1])]
    arc = w.make("IfcTrimmedCurve", circle, [ends[0]], [ends[1]], True, "CARTESIAN")
    lines = [
        w.make("IfcPolyline", [w.point(0, 0, 1500), ends[0]]),
        # Drawn the other way round.
        w.make("IfcPolyline", [w.point(40000, 0, 1500), ends[1]]),
    ]
    pieces = [
        w.make("IfcCompositeCurveSegment", transition, sense, curve)
        for transition, sense, curve in (
            ("CONTINUOUS", True, lines[0]),
            ("CONTINUOUS", True, arc),
            ("DISCONTINUOUS", False, lines[1]),
        )
    ]
    curve = w.make("IfcCompositeCurve", pieces, False)
    tendon = w.rooted(
        "IfcTendon",
        "F1",
        ObjectPlacement=below,
        Representation=w.shape(("Axis", "Curve3D", curve)),
        PredefinedType="STRAND",
        TensionForce=4000.0,
    )
    w.inside(part, tendon)
    for end, x, outward in (("A", 0.0, -1.0), ("B", 40000.0, 1.0)):
        # Its z looks out of the span, level; its x up.
        at = w.place(below, (x, 0, 1500), (outward, 0, 0), (0, 0, 1))
        given = {}
        if end == "A":
            # 2.0 m across (its y), 1.2 m upright (its x), 3 m deep, the middle 100 mm above the anchor.
            given["Representation"] = w.shape(
                ("Clearance", "SweptSolid", w.box(1200, 2000, 3000, w.axes((100, 0, 0))))
            )
        anchor = w.rooted("IfcTendonAnchor", f"F1-{end}", ObjectPlacement=at, PredefinedType="FIXED_END", **given)
        blister = w.rooted("IfcBeam", f"Block {end}", ObjectPlacement=at, PredefinedType="DIAPHRAGM")
        w.inside(part, blister)
        w.parts(blister, anchor)
        w.rooted(
            "IfcRelConnectsWithRealizingElements",
            RelatingElement=tendon,
            RelatedElement=blister,
            RealizingElements=[anchor],
        )
        if end == "B":
            # A zone, named after the anchor, with the same room but 2.5 m deep.
            zone = w.rooted(
                "IfcSpatialZone",
                "Access F1-B",
                ObjectPlacement=at,
                Representation=w.shape(("Body", "SweptSolid", w.box(1200, 2000, 2500, w.axes((100, 0, 0))))),
                PredefinedType="RESERVATION",
            )
            w.parts(project, zone)
    w.states(tendon, "Cable data", Jacking=("IfcForceMeasure", 3500.0))
    w.write(path)


def inches(path):
    """Inches of feet; an axis drawn from its far end; anchors as parts of the tendon; room that says nothing but its name."""
    w = Writer("IFC2X3")
    metre = w.si("LENGTHUNIT", "METRE")
    foot = w.by_factor("LENGTHUNIT", "FOOT", 0.3048, "IfcLengthMeasure", metre, (1, 0, 0, 0, 0, 0, 0))
    inch = w.by_factor("LENGTHUNIT", "INCH", 1.0 / 12.0, "IfcRatioMeasure", foot, (1, 0, 0, 0, 0, 0, 0))
    project = w.project([inch, w.si("FORCEUNIT", "NEWTON", "KILO"), w.si("AREAUNIT", "SQUARE_METRE", "MILLI")])
    site = w.rooted("IfcSite", "Site", ObjectPlacement=w.place(None, (0, 0, 0)), CompositionType="ELEMENT")
    w.parts(project, site)
    below = w.place(site.ObjectPlacement, (120, 60, 0))
    points = [w.point(1440, 0, 60), w.point(720, 0, 24), w.point(0, 0, 60)]
    tendon = w.rooted(
        "IfcTendon",
        "F1",
        ObjectPlacement=below,
        Representation=w.shape(("Axis", "Curve3D", w.make("IfcPolyline", points))),
        PredefinedType="STRAND",
        NominalDiameter=4.0,
        CrossSectionArea=2850.0,
        AnchorageSlip=0.25,
    )
    anchors = []
    for end, x in (("1", 0.0), ("2", 1440.0)):
        at = w.place(below, (x, 0, 60))
        anchors.append(w.rooted("IfcTendonAnchor", f"F1-{end}", ObjectPlacement=at))
        outward = -1.0 if end == "1" else 1.0
        room = w.rooted(
            "IfcVirtualElement",
            f"F1-{end} clearance",
            ObjectPlacement=w.place(at, (0, 0, 0), (outward, 0, 0), (0, 1, 0)),
            Representation=w.shape(("Body", "SweptSolid", w.box(40, 30, 96))),
        )
        w.inside(site, room)
    w.parts(tendon, *anchors)
    w.inside(site, tendon)
    w.states(tendon, "Cable data", Jacking=("IfcForceMeasure", 3500.0), Kept=("IfcLabel", "by the owner"))
    w.write(path)


{"feet": feet, "turned": turned, "inches": inches}[sys.argv[1]](sys.argv[2])
