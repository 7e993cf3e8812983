//! Specifications as the XML of IDS 1.0, in the element order that its schema fixes.

use std::io;

use restrand_model::quantity::shortest;
use restrand_model::reflect::Choice;
use restrand_model::schedule::Stage;
use restrand_rules::Rulebook;

use super::facet::{self, Bound, Home, Property, Requirement, Specification, Values};
use crate::coverage::CLOSING;
use crate::plain::plain;
use crate::xml::{Attribute, Xml};

/// The release of IFC whose entities and measures are named.
const IFC: &str = "IFC4X3_ADD2";

/// The document.
pub(crate) fn write(
    book: &Rulebook,
    stage: Stage,
    specifications: &[Specification],
) -> io::Result<Vec<u8>> {
    let mut xml = Xml::begin()?;
    xml.open(
        "ids",
        &[
            ("xmlns", "http://standards.buildingsmart.org/IDS"),
            ("xmlns:xs", "http://www.w3.org/2001/XMLSchema"),
            ("xmlns:xsi", "http://www.w3.org/2001/XMLSchema-instance"),
            (
                "xsi:schemaLocation",
                "http://standards.buildingsmart.org/IDS http://standards.buildingsmart.org/IDS/1.0/ids.xsd",
            ),
        ],
    )?;
    let stage = stage.word().replace('_', " ");
    xml.open("info", &[])?;
    let chain = plain(&book.chain.join(" over "));
    xml.text("title", &[], &format!("Replaceable tendons at {stage}: rulebook {chain}"))?;
    xml.text(
        "description",
        &[],
        &format!(
            "What single elements of a model must state. Rules that compare values, parts or places are not \
             among them. {CLOSING}"
        ),
    )?;
    xml.text("purpose", &[], "Replacement of post-tensioning tendons")?;
    xml.text("milestone", &[], &stage)?;
    xml.close("info")?;
    xml.open("specifications", &[])?;
    for specification in specifications {
        one(&mut xml, specification)?;
    }
    xml.close("specifications")?;
    xml.close("ids")?;
    Ok(xml.end())
}

fn one(xml: &mut Xml, specification: &Specification) -> io::Result<()> {
    xml.open(
        "specification",
        &[
            ("name", &specification.name),
            ("ifcVersion", IFC),
            ("identifier", &specification.identifier),
            ("description", &specification.description),
        ],
    )?;
    let least = if specification.at_least_one { "1" } else { "0" };
    xml.open("applicability", &[("minOccurs", least), ("maxOccurs", "unbounded")])?;
    let Home { entity, predefined, known_by } = specification.home;
    if let Some(entity) = entity {
        xml.open("entity", &[])?;
        simple(xml, "name", entity)?;
        if !predefined.is_empty() {
            xml.open("predefinedType", &[])?;
            enumeration(xml, predefined)?;
            xml.close("predefinedType")?;
        }
        xml.close("entity")?;
    }
    if let Some((set, names)) = known_by.and_then(facet::known_by) {
        xml.open("property", &[])?;
        simple(xml, "propertySet", &set)?;
        match names.as_slice() {
            [name] => simple(xml, "baseName", name)?,
            names => {
                xml.open("baseName", &[])?;
                enumeration(xml, names)?;
                xml.close("baseName")?;
            }
        }
        xml.close("property")?;
    }
    for condition in &specification.when {
        property(xml, condition, &[])?;
    }
    xml.close("applicability")?;
    xml.open("requirements", &[])?;
    // The schema takes attributes before properties.
    let is_name = |requirement: &&Requirement| matches!(requirement, Requirement::Name);
    for _ in specification.requirements.iter().filter(is_name) {
        xml.open("attribute", &[("cardinality", "required")])?;
        simple(xml, "name", "Name")?;
        xml.close("attribute")?;
    }
    for requirement in &specification.requirements {
        if let Requirement::Property { property: asked, is_required } = requirement {
            let cardinality = if *is_required { "required" } else { "optional" };
            property(xml, asked, &[("cardinality", cardinality)])?;
        }
    }
    xml.close("requirements")?;
    xml.close("specification")
}

fn property(xml: &mut Xml, property: &Property, further: &[Attribute<'_>]) -> io::Result<()> {
    let mut attributes = vec![("dataType", property.data_type.as_str())];
    attributes.extend(further);
    xml.open("property", &attributes)?;
    simple(xml, "propertySet", &property.set)?;
    simple(xml, "baseName", property.name)?;
    match &property.values {
        Values::Any => {}
        Values::Words(words) => match words.as_slice() {
            [word] => simple(xml, "value", word)?,
            words => {
                xml.open("value", &[])?;
                enumeration(xml, words)?;
                xml.close("value")?;
            }
        },
        Values::Between { least, most } => {
            xml.open("value", &[])?;
            xml.open("xs:restriction", &[("base", "xs:double")])?;
            bound(xml, *least, ["xs:minInclusive", "xs:minExclusive"])?;
            bound(xml, *most, ["xs:maxInclusive", "xs:maxExclusive"])?;
            xml.close("xs:restriction")?;
            xml.close("value")?;
        }
    }
    xml.close("property")
}

fn bound(xml: &mut Xml, bound: Option<Bound>, [within, beyond]: [&str; 2]) -> io::Result<()> {
    match bound {
        Some(Bound { value, within: is_within }) => {
            let name = if is_within { within } else { beyond };
            xml.empty(name, &[("value", &shortest(value))])
        }
        None => Ok(()),
    }
}

fn simple(xml: &mut Xml, name: &str, value: &str) -> io::Result<()> {
    xml.open(name, &[])?;
    xml.text("simpleValue", &[], value)?;
    xml.close(name)
}

fn enumeration<S: AsRef<str>>(xml: &mut Xml, words: &[S]) -> io::Result<()> {
    xml.open("xs:restriction", &[("base", "xs:string")])?;
    for word in words {
        xml.empty("xs:enumeration", &[("value", word.as_ref())])?;
    }
    xml.close("xs:restriction")
}
