//! Reading in memory, for the tests of this crate.
#![allow(dead_code, unreachable_pub, reason = "each test takes what it needs")]
#![allow(clippy::unwrap_used, reason = "helpers of tests")]

use restrand_ifcxml::IfcXml;
use restrand_kit::recognise::Mapping;
use restrand_kit::{Budget, Bytes, Frame, LoadError, Parts, Plugin, RecordFrame};
use restrand_model::reading::{Place, Problem, Table};
use restrand_model::value::{Fields, Value};

/// What a reading gave.
#[derive(Default)]
pub struct Read {
    pub tables: Vec<Table>,
    pub records: Vec<RecordFrame>,
    pub problems: Vec<Problem>,
    /// How the model was understood.
    pub understood: Vec<String>,
}

impl Read {
    /// The records of a sheet, in order.
    pub fn of(&self, sheet: &str) -> Vec<&RecordFrame> {
        let is = |record: &&RecordFrame| self.tables[record.table as usize].list == sheet;
        self.records.iter().filter(is).collect()
    }

    /// The problems whose reason or subject holds this.
    pub fn said(&self, text: &str) -> Vec<&Problem> {
        let has = |problem: &&Problem| problem.why.contains(text) || problem.subject.contains(text);
        self.problems.iter().filter(has).collect()
    }

    /// Every problem on a line of its own, for messages of tests.
    pub fn all_said(&self) -> String {
        let line = |problem: &Problem| format!("{}: {}\n", problem.subject, problem.why);
        self.problems.iter().map(line).collect()
    }
}

pub fn number(fields: &Fields, path: &str) -> Option<f64> {
    match value(fields, path)? {
        Value::Number(number) => Some(*number),
        _ => None,
    }
}

pub fn text<'f>(fields: &'f Fields, path: &str) -> Option<&'f str> {
    match value(fields, path)? {
        Value::Text(text) => Some(text),
        _ => None,
    }
}

pub fn value<'f>(fields: &'f Fields, path: &str) -> Option<&'f Value> {
    match path.split_once('.') {
        Some((name, rest)) => value(fields.get(name)?.as_fields()?, rest),
        None => fields.get(path),
    }
}

/// The numbers of the points of a tendon, three for each.
pub fn points(tendon: &RecordFrame) -> Vec<[f64; 3]> {
    let Some(Value::List(points)) = tendon.fields.get("points") else { return Vec::new() };
    let of = |point: &Value| {
        let fields = point.as_fields().unwrap();
        ["station_m", "lateral_m", "elevation_m"].map(|name| number(fields, name).unwrap())
    };
    points.iter().map(of).collect()
}

/// Reads a file with what a mapping file, as TOML, says of its sets.
pub fn load_mapped(
    name: &str,
    bytes: &[u8],
    mapping: &str,
    budget: Budget,
) -> Result<Read, LoadError> {
    let mapping: Mapping = toml::from_str(mapping).unwrap();
    let part = Bytes::new(name, bytes.to_vec());
    let mut read = Read::default();
    IfcXml.load_mapped(Parts(&[&part]), budget, &mapping, &mut |frame: Frame| {
        match frame {
            Frame::Table(table) => read.tables.push(table),
            Frame::Record(record) => read.records.push(record),
            Frame::Problem(problem) => read.problems.push(problem),
            Frame::Understood(understood) => {
                read.understood.extend(understood.remarks.into_iter().map(|remark| remark.what));
            }
            Frame::Question(question) => panic!("a model asks nothing: {question:?}"),
        }
        Ok(())
    })?;
    Ok(read)
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
