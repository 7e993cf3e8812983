"""Writes a small model as another program does: two tendons with four anchorages and what a schedule says of them.

Usage: small_model.py OUT.ifc SCHEDULE.json [UNIT]

The properties are those of the schedule, each in the set of its record. Lengths are in the unit named: MILLIMETRE,
METRE or FOOT.
"""

import json
import sys

import ifcopenshell
import ifcopenshell.guid

LENGTHS = {"MILLIMETRE": 1.0, "METRE": 1000.0, "FOOT": 304.8}

out, schedule, *unit = sys.argv[1:]
unit = unit[0] if unit else "MILLIMETRE"
with open(schedule, encoding="utf-8") as file:
    schedule = json.load(file)

model = ifcopenshell.file(schema="IFC4X3_ADD2")
number = 0


def guid():
    """Ids that are the same in every run."""
    global number
    number += 1
    return ifcopenshell.guid.compress(f"{number:032x}")


def length_unit():
    if unit == "FOOT":
        metre = model.create_entity("IfcSIUnit", None, "LENGTHUNIT", None, "METRE")
        factor = model.create_entity(
            "IfcMeasureWithUnit", model.create_entity("IfcLengthMeasure", 0.3048), metre
        )
        dimensions = model.create_entity("IfcDimensionalExponents", 1, 0, 0, 0, 0, 0, 0)
        return model.create_entity("IfcConversionBasedUnit", dimensions, "LENGTHUNIT", "FOOT", factor)
    prefix = "MILLI" if unit == "MILLIMETRE" else None
    return model.create_entity("IfcSIUnit", None, "LENGTHUNIT", prefix, "METRE")


units = model.create_entity("IfcUnitAssignment", [length_unit()])
model.create_entity("IfcProject", guid(), None, "Testing Beck", UnitsInContext=units)


def typed(field, value):
    """The value in its measure, and the name of its property."""
    if isinstance(value, bool):
        return field, model.create_entity("IfcBoolean", value)
    if isinstance(value, str):
        texts = ("by", "note", "restraints", "closures", "web")
        kind = "IfcText" if field in texts else "IfcLabel"
        return field, model.create_entity(kind, value)
    for ending, factor in (("_mm", 1.0), ("_m", 1000.0)):
        if field.endswith(ending):
            in_unit = value * factor / LENGTHS[unit]
            return field[: -len(ending)], model.create_entity("IfcLengthMeasure", in_unit)
    if field.endswith("_rad"):
        return field[:-4], model.create_entity("IfcPlaneAngleMeasure", float(value))
    return field, model.create_entity("IfcInteger", value)


def state(element, name, record):
    """The plain members of a record as a property set."""
    properties = []
    for field, value in record.items():
        if isinstance(value, dict) or isinstance(value, list) and not isinstance(value[0], str):
            continue
        if isinstance(value, list):
            values = [model.create_entity("IfcLabel", item) for item in value]
            properties.append(
                model.create_entity("IfcPropertyListValue", field, ListValues=values)
            )
            continue
        stem, value = typed(field, value)
        properties.append(model.create_entity("IfcPropertySingleValue", stem, None, value))
    if properties:
        pset = model.create_entity("IfcPropertySet", guid(), None, name, None, properties)
        model.create_entity("IfcRelDefinesByProperties", guid(), None, None, None, [element], pset)


KINDS = {"stressing": "TENSIONING_END", "dead": "FIXED_END", "embedded": "FIXED_END"}

for tendon in schedule["tendons"]:
    element = model.create_entity("IfcTendon", guid(), None, tendon.get("mark"))
    state(element, "Restrand_Tendon", tendon)
    state(element, "Restrand_Replacement", tendon.get("replacement", {}))
    for name, end in tendon["ends"].items():
        kind = KINDS.get(end.get("kind"), "NOTDEFINED")
        # A reader of the report tells by the name which end it is.
        called = f"{tendon.get('mark')}.{name}"
        anchor = model.create_entity("IfcTendonAnchor", guid(), None, called, PredefinedType=kind)
        state(anchor, "Restrand_End", end)
        state(anchor, "Restrand_RemovalSpace", end.get("removal_space", {}))

model.write(out)
