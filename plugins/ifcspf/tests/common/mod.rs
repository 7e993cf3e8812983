//! Reading in memory, for the tests of this crate.
#![allow(dead_code, unreachable_pub, reason = "each test takes what it needs")]
#![allow(clippy::unwrap_used, reason = "helpers of tests")]

use restrand_ifcspf::IfcSpf;
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
    IfcSpf.load_mapped(Parts(&[&part]), budget, &mapping, &mut |frame: Frame| {
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
    load_named("model.ifc", bytes, Budget::default())
}

/// Reads a model of a schema with these instances.
pub fn read_as(schema: &str, instances: &str) -> Read {
    load(file(schema, instances).as_bytes()).unwrap()
}

/// Reads a model of IFC 4.3 with these instances.
pub fn read(instances: &str) -> Read {
    read_as("IFC4X3_ADD2", instances)
}

/// A file with these instances.
pub fn file(schema: &str, instances: &str) -> String {
    format!(
        "ISO-10303-21;\nHEADER;\nFILE_DESCRIPTION((''),'2;1');\nFILE_NAME('m.ifc','2030-01-01T00:00:00',(''),\
         (''),'','','');\nFILE_SCHEMA(('{schema}'));\nENDSEC;\nDATA;\n{instances}\nENDSEC;\nEND-ISO-10303-21;\n"
    )
}

/// The text on which a place stands.
pub fn at<'t>(text: &'t str, place: &Place) -> &'t str {
    let Place::Text { span, .. } = place else { panic!("{place:?}") };
    &text[usize::try_from(span.start).unwrap()..usize::try_from(span.end).unwrap()]
}

/// Units, project and bridge; millimetres, square millimetres, kilonewtons, megapascals.
pub const HEAD: &str = "\
#1=IFCSIUNIT(*,.LENGTHUNIT.,.MILLI.,.METRE.);
#2=IFCSIUNIT(*,.AREAUNIT.,.MILLI.,.SQUARE_METRE.);
#3=IFCSIUNIT(*,.FORCEUNIT.,.KILO.,.NEWTON.);
#4=IFCSIUNIT(*,.PRESSUREUNIT.,.MEGA.,.PASCAL.);
#5=IFCUNITASSIGNMENT((#1,#2,#3,#4));
#6=IFCPROJECT('0000000000000000000001',$,'P',$,$,$,$,(),#5);
#7=IFCBRIDGE('0000000000000000000002',$,'Long bridge',$,$,$,$,$,.ELEMENT.,.GIRDER.);
";

/// A tendon with its axis of three points and two anchors, each connected with a diaphragm.
pub const TENDON: &str = "\
#10=IFCCARTESIANPOINTLIST3D(((0.,500.,1800.),(20000.,500.,400.),(40000.,500.,1800.)),$);
#11=IFCINDEXEDPOLYCURVE(#10,$,.F.);
#12=IFCSHAPEREPRESENTATION($,'Axis','Curve3D',(#11));
#13=IFCPRODUCTDEFINITIONSHAPE($,$,(#12));
#14=IFCTENDON('0000000000000000000003',$,'T1',$,$,$,#13,'T1',$,$,$,$,4000.,1395.,0.15,6.,3000.);
#15=IFCTENDONANCHOR('0000000000000000000004',$,'T1-A',$,$,$,$,$,$,.TENSIONING_END.);
#16=IFCTENDONANCHOR('0000000000000000000005',$,'T1-B',$,$,$,$,$,$,.FIXED_END.);
#17=IFCBEAM('0000000000000000000006',$,'D1',$,$,$,$,$,.DIAPHRAGM.);
#18=IFCBEAM('0000000000000000000007',$,'D2',$,$,$,$,$,.DIAPHRAGM.);
#19=IFCRELCONNECTSWITHREALIZINGELEMENTS('0000000000000000000008',$,$,$,$,#14,#17,(#15),'Anchorage');
#20=IFCRELCONNECTSWITHREALIZINGELEMENTS('0000000000000000000009',$,$,$,$,#14,#18,(#16),'Anchorage');
";
