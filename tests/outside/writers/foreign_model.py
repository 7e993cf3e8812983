"""Writes a model as another program does, with property sets of its own, and says what a changed one states.

Usage: foreign_model.py write SCHEMA OUT.ifc
       foreign_model.py read MODEL.ifc OUT.json

IFC4X3_ADD2 and IFC4 come in millimetres and kilonewtons, IFC2X3 in feet and kips, which are stated by their factors.
"""

import json
import sys

import ifcopenshell
import ifcopenshell.guid
import ifcopenshell.util.element
import ifcopenshell.util.unit
import ifcopenshell.validate


class Writer:
    def __init__(self, schema):
        self.model = ifcopenshell.file(schema=schema)
        self.number = 0
        self.is_old = schema == "IFC2X3"
        self.history = self.owner() if self.is_old else None
        self.units()

    def guid(self):
        self.number += 1
        return ifcopenshell.guid.compress(f"{self.number:032x}")

    def owner(self):
        # The oldest schema asks for someone who made it.
        make = self.model.create_entity
        person = make("IfcPerson", FamilyName="Someone")
        body = make("IfcOrganization", Name="Some office")
        both = make("IfcPersonAndOrganization", person, body)
        program = make("IfcApplication", body, "1", "Some program", "some")
        return make("IfcOwnerHistory", both, program, ChangeAction="ADDED", CreationDate=1900000000)

    def by_factor(self, kind, name, factor, measure, base, exponents):
        make = self.model.create_entity
        value = make("IfcMeasureWithUnit", make(measure, factor), base)
        return make("IfcConversionBasedUnit", make("IfcDimensionalExponents", *exponents), kind, name, value)

    def units(self):
        make = self.model.create_entity
        metre = make("IfcSIUnit", None, "LENGTHUNIT", None if self.is_old else "MILLI", "METRE")
        newton = make("IfcSIUnit", None, "FORCEUNIT", None if self.is_old else "KILO", "NEWTON")
        area = make("IfcSIUnit", None, "AREAUNIT", "MILLI", "SQUARE_METRE")
        length, force = metre, newton
        if self.is_old:
            length = self.by_factor(
                "LENGTHUNIT", "foot", 0.3048, "IfcLengthMeasure", metre, (1, 0, 0, 0, 0, 0, 0)
            )
            force = self.by_factor(
                "FORCEUNIT", "kip", 4448.2216152605, "IfcForceMeasure", newton, (1, 1, -2, 0, 0, 0, 0)
            )
        self.length = 304.8 if self.is_old else 1.0
        self.force = 4.4482216152605 if self.is_old else 1.0
        assigned = make("IfcUnitAssignment", [length, force, area])
        origin = make("IfcAxis2Placement3D", make("IfcCartesianPoint", (0.0, 0.0, 0.0)))
        self.context = make("IfcGeometricRepresentationContext", None, "Model", 3, 1e-5, origin)
        self.rooted(
            "IfcProject", "Another project", UnitsInContext=assigned, RepresentationContexts=[self.context]
        )

    def rooted(self, kind, name=None, **given):
        return self.model.create_entity(kind, self.guid(), self.history, name, **given)

    def axis(self, points):
        make = self.model.create_entity
        points = [make("IfcCartesianPoint", tuple(one / self.length for one in point)) for point in points]
        line = make("IfcPolyline", points)
        shape = make("IfcShapeRepresentation", self.context, "Axis", "Curve3D", [line])
        place = make("IfcLocalPlacement", None, make("IfcAxis2Placement3D", make("IfcCartesianPoint", (0.0, 0.0, 0.0))))
        return {"Representation": make("IfcProductDefinitionShape", None, None, [shape]), "ObjectPlacement": place}

    def states(self, element, name, **values):
        make = self.model.create_entity
        properties = [
            make("IfcPropertySingleValue", property, None, make(*value)) for property, value in values.items()
        ]
        made = self.rooted("IfcPropertySet", name, HasProperties=properties)
        objects = element if isinstance(element, list) else [element]
        self.rooted("IfcRelDefinesByProperties", RelatedObjects=objects, RelatingPropertyDefinition=made)

    def mm(self, value, kind="IfcPositiveLengthMeasure"):
        return kind, value / self.length

    def write(self, path):
        tendons = []
        for mark, side in (("C1", 2000.0), ("C2", -2000.0)):
            given = {"FrictionCoefficient": 0.14, "AnchorageSlip": 6.0 / self.length}
            if self.is_old:
                given |= {"NominalDiameter": 80.0 / self.length, "CrossSectionArea": 2850.0}
            points = [(0.0, side, 1800.0), (20000.0, side, 500.0), (40000.0, side, 1800.0)]
            tendon = self.rooted("IfcTendon", mark, Tag=mark, PredefinedType="STRAND", **given, **self.axis(points))
            tendons.append(tendon)
            force = ("IfcForceMeasure", 3500.0 / self.force)
            self.states(
                tendon, "Own cable", Run=self.mm(39900.0), Pull=force, Sheath=("IfcLabel", "free")
            )
            for end in ("A", "B"):
                anchor = self.rooted("IfcTendonAnchor", f"{mark}-{end}", **({} if self.is_old else {"PredefinedType": "TENSIONING_END"}))
                joint = self.rooted("IfcBeam", f"{mark}-{end} block")
                self.rooted(
                    "IfcRelConnectsWithRealizingElements",
                    RelatingElement=tendon,
                    RelatedElement=joint,
                    RealizingElements=[anchor],
                )
                self.states(anchor, "Own room", Back=self.mm(2500.0), Wide=self.mm(600.0))
        # What is stated once for both is no one's own.
        self.states(tendons, "Own lot", Strand=("IfcInteger", 19) if self.is_old else ("IfcCountMeasure", 19))
        self.rooted("IfcWall", "it's a wall")
        self.model.write(path)


def read(path, out):
    model = ifcopenshell.open(path)
    logger = ifcopenshell.validate.json_logger()
    ifcopenshell.validate.validate(model, logger, express_rules=True)
    length = ifcopenshell.util.unit.calculate_unit_scale(model)
    force = ifcopenshell.util.unit.calculate_unit_scale(model, "FORCEUNIT")
    scales = {"Length": length, "Force": force}
    said = {}
    for element in model.by_type("IfcElement"):
        for name, properties in ifcopenshell.util.element.get_psets(element, verbose=True).items():
            for property, value in properties.items():
                if isinstance(value, dict) and "value" in value:
                    kind = value.get("value_type", "")
                    by = next((scale for word, scale in scales.items() if word in kind), 1.0)
                    stated = value["value"]
                    stated = stated * by if isinstance(stated, float) else stated
                    said[f"{element.Name}/{name}/{property}"] = stated
        if element.is_a("IfcTendon"):
            said[f"{element.Name}//FrictionCoefficient"] = element.FrictionCoefficient
            said[f"{element.Name}//AnchorageSlip"] = element.AnchorageSlip * length
    issues = [str(one.get("message"))[:300] for one in logger.statements]
    with open(out, "w", encoding="utf-8") as file:
        json.dump({"issues": issues, "said": said}, file)


if sys.argv[1] == "write":
    Writer(sys.argv[2]).write(sys.argv[3])
else:
    read(*sys.argv[2:])
