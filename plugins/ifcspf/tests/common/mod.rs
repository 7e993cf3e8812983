//! Reading in memory, for the tests of this crate.
#![allow(dead_code, unused_imports, unreachable_pub, reason = "each test takes what it needs")]
#![allow(clippy::unwrap_used, reason = "helpers of tests")]

#[path = "../../../ifc/tests/shared/read.rs"]
mod read_model;

pub use read_model::{Read, number, points, text, value};
use restrand_ifcspf::IfcSpf;
use restrand_kit::{Budget, LoadError};
use restrand_model::reading::Place;

/// Reads a file with what a mapping file, as TOML, says of its sets.
pub fn load_mapped(
    name: &str,
    bytes: &[u8],
    mapping: &str,
    budget: Budget,
) -> Result<Read, LoadError> {
    read_model::load_mapped(&IfcSpf, name, bytes, mapping, budget)
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
