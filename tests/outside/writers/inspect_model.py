"""Opens a model with ifcopenshell and says as JSON what it sees: issues under the EXPRESS rules, the lengths of
axes, values of properties in SI, and the corners of what is kept clear.

Usage: inspect_model.py MODEL OUT
"""

import json
import math
import sys

import ifcopenshell
import ifcopenshell.geom
import ifcopenshell.util.unit
import ifcopenshell.validate


def issues(model):
    logger = ifcopenshell.validate.json_logger()
    ifcopenshell.validate.validate(model, logger, express_rules=True)
    return [str(statement.get("message"))[:300] for statement in logger.statements]


def minus(a, b):
    return [one - other for one, other in zip(a, b)]


def dot(a, b):
    return sum(one * other for one, other in zip(a, b))


def cross(a, b):
    return [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]


def arc_length(start, through, end):
    """The length of the arc through three points, by the circle round their triangle."""
    first, second = minus(through, start), minus(end, start)
    normal = cross(first, second)
    twice_area = math.sqrt(dot(normal, normal))
    sides = [math.dist(start, through), math.dist(through, end), math.dist(start, end)]
    radius = sides[0] * sides[1] * sides[2] / (2 * twice_area)
    turn = sum(2 * math.asin(min(1.0, side / (2 * radius))) for side in sides[:2])
    return radius * turn


def length(curve):
    points = curve.Points.CoordList
    total = 0.0
    for segment in curve.Segments:
        at = [points[index - 1] for index in segment.wrappedValue]
        if segment.is_a("IfcArcIndex"):
            total += arc_length(*at)
        else:
            total += sum(math.dist(one, other) for one, other in zip(at, at[1:]))
    return total


def axes(model):
    found = {}
    metre = ifcopenshell.util.unit.calculate_unit_scale(model)
    for tendon in model.by_type("IfcTendon"):
        shapes = tendon.Representation.Representations if tendon.Representation else ()
        axis = [shape for shape in shapes if shape.RepresentationIdentifier == "Axis"]
        stated = [
            quantity.LengthValue * metre
            for relation in tendon.IsDefinedBy
            if relation.RelatingPropertyDefinition.is_a("IfcElementQuantity")
            for quantity in relation.RelatingPropertyDefinition.Quantities
            if quantity.is_a("IfcQuantityLength")
        ]
        if axis:
            found[tendon.Name] = [length(axis[0].Items[0]) * metre, *stated]
    return found


def scale(unit):
    """How many coherent SI units one of this unit is."""
    if unit.is_a("IfcDerivedUnit"):
        return math.prod(scale(one.Unit) ** one.Exponent for one in unit.Elements)
    prefix = "KILO" if unit.Name == "GRAM" else None
    return ifcopenshell.util.unit.convert(1.0, unit.Prefix, unit.Name, prefix, unit.Name)


def in_si(model, single):
    """The value of a property in SI, by its own unit or else the project's."""
    value = single.NominalValue.wrappedValue
    unit = ifcopenshell.util.unit.get_property_unit(single, model)
    return value * scale(unit) if unit and isinstance(value, float) else value


def properties(model):
    """Single values of our sets: by the name of the object, the set and the property."""
    found = []
    for made in model.by_type("IfcPropertySet"):
        if not made.Name.startswith("Restrand_"):
            continue
        owners = [one for relation in made.DefinesOccurrence for one in relation.RelatedObjects]
        owners += made.DefinesType
        for owner in owners:
            for single in made.HasProperties:
                if single.is_a("IfcPropertySingleValue"):
                    found.append(
                        [owner.is_a(), owner.Name or "", made.Name, single.Name, in_si(model, single)]
                    )
    return found


def clear(model):
    settings = ifcopenshell.geom.settings()
    settings.set("use-world-coords", True)
    found = {}
    for element in model.by_type("IfcVirtualElement"):
        shape = ifcopenshell.geom.create_shape(settings, element)
        flat = list(shape.geometry.verts)
        found[element.Name] = [flat[index : index + 3] for index in range(0, len(flat), 3)]
    return found


def main(path, out):
    model = ifcopenshell.open(path)
    seen = {
        "schema": model.schema_identifier,
        "entities": len(list(model)),
        "issues": issues(model),
        "axes": axes(model),
        "clear": clear(model),
        "connected": [
            [one.RelatingElement.Name, [anchor.Name for anchor in one.RealizingElements]]
            for one in model.by_type("IfcRelConnectsWithRealizingElements")
        ],
        "system": sorted(
            member.Name or ""
            for system in model.by_type("IfcBuiltSystem")
            for relation in system.IsGroupedBy
            for member in relation.RelatedObjects
        ),
        "properties": properties(model),
    }
    with open(out, "w", encoding="utf-8") as file:
        json.dump(seen, file)


main(*sys.argv[1:])
