"""Builds the model of an ifcXML file anew in ifcopenshell, by nothing but its schema, and holds it to the schema and
to the same model in a STEP file.

What the schema has no place for ends the script: a name, a type, a word, a reference that leads nowhere.

Usage: model_from_xml.py XML STEP
"""

import sys
import xml.etree.ElementTree as tree
from collections import Counter

import ifcopenshell
import ifcopenshell.validate
from ifcopenshell import ifcopenshell_wrapper as wrapper

NAMESPACE = "{https://standards.buildingsmart.org/IFC/RELEASE/IFC4/3/ADD2}"
INSTANCE = "{http://www.w3.org/2001/XMLSchema-instance}"
SCHEMA = wrapper.schema_by_name("IFC4X3_ADD2")


def entity_of(name):
    return SCHEMA.declaration_by_name(name).as_entity()


def attributes_of(entity):
    return dict(zip((one.name() for one in entity.all_attributes()), entity.all_attributes()))


def is_a(entity, other):
    while entity is not None:
        if entity.name() == other:
            return True
        entity = entity.supertype()
    return False


def named(declared):
    """The declaration behind a type, and whether it is a list of it."""
    bounds = None
    while declared.as_aggregation_type():
        aggregation = declared.as_aggregation_type()
        bounds = bounds or (aggregation.bound1(), aggregation.bound2())
        declared = aggregation.type_of_element()
    if declared.as_simple_type():
        return declared.as_simple_type().declared_type(), bounds
    declaration = declared.as_named_type().declared_type()
    plain = declaration.as_type_declaration()
    if plain:
        inner, inner_bounds = named(plain.declared_type())
        return inner, bounds or inner_bounds
    return declaration, bounds


def choices(select):
    for one in select.select_list():
        if one.as_select_type():
            yield from choices(one.as_select_type())
        else:
            yield one


def allows(declaration, kind):
    if declaration.as_entity():
        return is_a(entity_of(kind), declaration.name())
    return any(
        one.name() == kind or (one.as_entity() and is_entity(kind) and is_a(entity_of(kind), one.name()))
        for one in choices(declaration.as_select_type())
    )


def is_entity(name):
    try:
        return entity_of(name) is not None
    except RuntimeError:
        return False


def plain(declaration, text):
    """A simple value from its text."""
    if declaration == "string":
        return text
    if declaration in ("real", "number"):
        return float(text)
    if declaration == "integer":
        return int(text)
    if declaration in ("boolean", "logical"):
        return {"true": True, "false": False, "unknown": "UNKNOWN"}[text]
    words = declaration.enumeration_items()
    assert text == text.lower() and text.upper() in words, f"{text} is none of {words}"
    return text.upper()


def rows(declared, text):
    """Numbers of a list, or of a list of lists, which stand one after the other."""
    outer = declared.as_aggregation_type()
    inner_type, _ = named(declared)
    values = [plain(inner_type, word) for word in text.split()]
    inner = outer.type_of_element().as_aggregation_type() if outer else None
    if inner is None:
        return values
    width = inner.bound2()
    assert len(values) % width == 0, text
    return [values[at : at + width] for at in range(0, len(values), width)]


class Builder:
    def __init__(self, root):
        self.model = ifcopenshell.file(schema="IFC4X3")
        self.kinds = {}
        self.made = {}
        self.later = []
        self.by_id = {}
        for element in root.iter():
            if "id" in element.attrib and element is not root:
                assert element.get("id") not in self.by_id, element.get("id")
                self.by_id[element.get("id")] = element

    def reference(self, element, kind):
        assert element.get(INSTANCE + "nil") == "true", "a reference has no content"
        target = self.by_id[element.get("ref")]
        found = self.kind(target, None)
        assert is_a(entity_of(found), kind), f"{found} stands where {kind} is said"
        return self.entity(target, found)

    def kind(self, element, otherwise):
        said = element.get(INSTANCE + "type")
        name = element.tag.removeprefix(NAMESPACE)
        if said:
            return said
        if is_entity(name):
            return name
        if otherwise:
            return otherwise
        return self.kinds[element]

    def entity(self, element, kind):
        self.kinds[element] = kind
        if "ref" in element.attrib:
            return self.reference(element, kind)
        if element in self.made:
            return self.made[element]
        entity = entity_of(kind)
        assert not entity.is_abstract(), kind
        known = attributes_of(entity)
        made = self.made[element] = self.model.create_entity(kind)
        for name, text in element.attrib.items():
            if name in ("id",) or name.startswith("{"):
                continue
            declared = known[name].type_of_attribute()
            declaration, bounds = named(declared)
            setattr(made, name, rows(declared, text) if bounds else plain(declaration, text))
        inverses = {one.name(): one for one in entity.all_inverse_attributes()}
        for child in element:
            name = child.tag.removeprefix(NAMESPACE)
            if name in inverses:
                self.inverse(made, inverses[name], child)
                continue
            declaration, bounds = named(known[name].type_of_attribute())
            if bounds:
                values = [self.item(declaration, item) for item in child]
                least, most = bounds
                assert len(values) >= least and (most < 0 or len(values) <= most), name
                setattr(made, name, values)
            elif declaration.as_entity():
                kind_of = self.kind(child, declaration.name())
                assert allows(declaration, kind_of), f"{kind_of} as {name}"
                setattr(made, name, self.entity(child, kind_of))
            else:
                (item,) = child
                setattr(made, name, self.item(declaration, item))
        return made

    def item(self, declaration, element):
        name = element.tag.removeprefix(NAMESPACE)
        simple = name.removesuffix("-wrapper")
        assert allows(declaration, simple), f"{simple} stands where {declaration.name()} is asked for"
        if simple == name:
            return self.entity(element, name)
        inner, bounds = named(SCHEMA.declaration_by_name(simple).as_type_declaration().declared_type())
        text = element.text or ""
        value = [plain(inner, word) for word in text.split()] if bounds else plain(inner, text)
        return self.model.create_entity(simple, value)

    def inverse(self, owner, inverse, element):
        """A relation that stands inside of what it relates: the side that is not written is its owner."""
        relation = inverse.entity_reference().name()
        forward = inverse.attribute_reference().name()
        name = element.tag.removeprefix(NAMESPACE)
        as_itself = name in ("IsTypedBy", "HasProjections", "HasOpenings", "IsDeclaredBy")
        for one in [element] if as_itself else element:
            kind = self.kind(one, relation)
            assert is_a(entity_of(kind), relation), kind
            self.later.append((self.entity(one, kind), forward, owner))

    def build(self, root):
        for element in root:
            if element.tag != NAMESPACE + "header":
                self.entity(element, element.tag.removeprefix(NAMESPACE))
        sides = {}
        for relation, forward, owner in self.later:
            sides.setdefault((relation.id(), forward), []).append(owner)
        for (number, forward), owners in sides.items():
            relation = self.model.by_id(number)
            declared = attributes_of(entity_of(relation.is_a()))[forward].type_of_attribute()
            setattr(relation, forward, owners if named(declared)[1] else owners[0])
        return self.model


def content(model):
    """Every entity with its plain values; references by what they lead to."""

    def shown(value):
        if isinstance(value, ifcopenshell.entity_instance):
            if value.id() == 0:
                return (value.is_a(), shown(value.wrappedValue))
            return (value.is_a(), getattr(value, "GlobalId", None))
        if isinstance(value, tuple):
            return tuple(shown(one) for one in value)
        return value

    def key(one):
        # Whom a relation relates is a set.
        values = []
        for name, value in zip((one.attribute_name(at) for at in range(len(one))), one):
            value = shown(value)
            if name in ("RelatedObjects", "RelatedElements") and one.is_a() != "IfcRelNests":
                value = tuple(sorted(value, key=str))
            values.append(value)
        return str((one.is_a(), tuple(values)))

    return Counter(key(one) for one in model)


def main(xml, step):
    root = tree.parse(xml).getroot()
    assert root.tag == NAMESPACE + "ifcXML", root.tag
    model = Builder(root).build(root)
    logger = ifcopenshell.validate.json_logger()
    ifcopenshell.validate.validate(model, logger, express_rules=True)
    assert not logger.statements, [str(one.get("message"))[:300] for one in logger.statements[:5]]
    ours, theirs = content(model), content(ifcopenshell.open(step))
    assert ours == theirs, (list((ours - theirs).items())[:3], list((theirs - ours).items())[:3])
    print(sum(ours.values()))


main(*sys.argv[1:])
