//! Reading in memory, for the tests of this crate.
#![allow(dead_code, unused_imports, unreachable_pub, reason = "each test takes what it needs")]
#![allow(clippy::unwrap_used, reason = "helpers of tests")]

#[path = "../../../ifc/tests/shared/read.rs"]
mod read_model;

pub use read_model::{Read, number, points, text, value};
use restrand_ifcxml::IfcXml;
use restrand_kit::{Budget, LoadError};
use restrand_model::reading::Place;

/// Reads a file with what a mapping file, as TOML, says of its sets.
pub fn load_mapped(
    name: &str,
    bytes: &[u8],
    mapping: &str,
    budget: Budget,
) -> Result<Read, LoadError> {
    read_model::load_mapped(&IfcXml, name, bytes, mapping, budget)
}

pub fn load_named(name: &str, bytes: &[u8], budget: Budget) -> Result<Read, LoadError> {
    load_mapped(name, bytes, "", budget)
}

pub fn load(bytes: &[u8]) -> Result<Read, LoadError> {
    load_named("model.ifcxml", bytes, Budget::default())
}

/// Reads a model of IFC 4.3 with these elements.
pub fn read(elements: &str) -> Read {
    load(file(elements).as_bytes()).unwrap()
}

/// The namespace of IFC 4.3 ADD2.
pub const NAMESPACE: &str = "https://standards.buildingsmart.org/IFC/RELEASE/IFC4/3/ADD2";

/// A file with these elements.
pub fn file(elements: &str) -> String {
    format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<ifcXML xmlns=\"{NAMESPACE}\" \
         xmlns:xsi=\"http://www.w3.org/2001/XMLSchema-instance\">\n{elements}</ifcXML>\n"
    )
}

/// The text on which a place stands.
pub fn at<'t>(text: &'t str, place: &Place) -> &'t str {
    let Place::Text { span, .. } = place else { panic!("{place:?}") };
    &text[usize::try_from(span.start).unwrap()..usize::try_from(span.end).unwrap()]
}

/// Units, project and bridge; millimetres, kilonewtons, megapascals.
pub const HEAD: &str = "\
<IfcProject id=\"p\" GlobalId=\"0000000000000000000001\" Name=\"P\">
  <UnitsInContext>
    <Units>
      <IfcSIUnit UnitType=\"lengthunit\" Prefix=\"milli\" Name=\"metre\"/>
      <IfcSIUnit UnitType=\"areaunit\" Prefix=\"milli\" Name=\"square_metre\"/>
      <IfcSIUnit UnitType=\"forceunit\" Prefix=\"kilo\" Name=\"newton\"/>
      <IfcSIUnit UnitType=\"pressureunit\" Prefix=\"mega\" Name=\"pascal\"/>
    </Units>
  </UnitsInContext>
</IfcProject>
<IfcBridge id=\"b\" GlobalId=\"0000000000000000000002\" Name=\"Long bridge\"/>
";

/// A tendon with its axis of three points and two anchors, each connected with a diaphragm.
pub const TENDON: &str = "\
<IfcTendon id=\"t1\" GlobalId=\"0000000000000000000003\" Name=\"T1\" Tag=\"T1\" TensionForce=\"4000.\"
           PreStress=\"1395.\" FrictionCoefficient=\"0.15\" AnchorageSlip=\"6.\" MinCurvatureRadius=\"3000.\">
  <Representation xsi:type=\"IfcProductDefinitionShape\">
    <Representations>
      <IfcShapeRepresentation RepresentationIdentifier=\"Axis\" RepresentationType=\"Curve3D\">
        <Items>
          <IfcIndexedPolyCurve SelfIntersect=\"false\">
            <Points xsi:type=\"IfcCartesianPointList3D\"
                    CoordList=\"0. 500. 1800. 20000. 500. 400. 40000. 500. 1800.\"/>
          </IfcIndexedPolyCurve>
        </Items>
      </IfcShapeRepresentation>
    </Representations>
  </Representation>
</IfcTendon>
<IfcTendonAnchor id=\"a1\" GlobalId=\"0000000000000000000004\" Name=\"T1-A\" PredefinedType=\"tensioning_end\"/>
<IfcTendonAnchor id=\"a2\" GlobalId=\"0000000000000000000005\" Name=\"T1-B\" PredefinedType=\"fixed_end\"/>
<IfcRelConnectsWithRealizingElements GlobalId=\"0000000000000000000008\" ConnectionType=\"Anchorage\">
  <RelatingElement xsi:type=\"IfcTendon\" ref=\"t1\" xsi:nil=\"true\"/>
  <RelatedElement xsi:type=\"IfcBeam\" ref=\"d1\" xsi:nil=\"true\"/>
  <RealizingElements><IfcTendonAnchor ref=\"a1\" xsi:nil=\"true\"/></RealizingElements>
</IfcRelConnectsWithRealizingElements>
<IfcRelConnectsWithRealizingElements GlobalId=\"0000000000000000000009\" ConnectionType=\"Anchorage\">
  <RelatingElement xsi:type=\"IfcTendon\" ref=\"t1\" xsi:nil=\"true\"/>
  <RelatedElement xsi:type=\"IfcBeam\" ref=\"d2\" xsi:nil=\"true\"/>
  <RealizingElements><IfcTendonAnchor ref=\"a2\" xsi:nil=\"true\"/></RealizingElements>
</IfcRelConnectsWithRealizingElements>
<IfcBeam id=\"d1\" GlobalId=\"0000000000000000000006\" Name=\"D1\" PredefinedType=\"diaphragm\"/>
<IfcBeam id=\"d2\" GlobalId=\"0000000000000000000007\" Name=\"D2\" PredefinedType=\"diaphragm\"/>
";
