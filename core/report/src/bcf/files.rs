//! The files of an archive, in the element order that BCF 3.0 fixes.

use std::collections::BTreeSet;
use std::io;

use restrand_model::ifc::Uuid;

use restrand_kit::layout::Triple;

use super::camera::{ASPECT_RATIO, Camera};
use super::topic::{Topic, View};
use crate::xml::Xml;

/// The name of a topic's view.
pub(crate) const VIEWPOINT: &str = "viewpoint.bcfv";

/// Who writes topics.
const AUTHOR: &str = "restrand";
/// What becomes of each topic is for people to say.
const STATUS: &str = "Open";

/// The version of the archive's form.
pub(crate) fn version() -> io::Result<Vec<u8>> {
    let mut xml = Xml::begin()?;
    xml.empty("Version", &[("VersionId", "3.0")])?;
    Ok(xml.end())
}

/// The project: the bridge.
pub(crate) fn project(id: Uuid, name: Option<&str>) -> io::Result<Vec<u8>> {
    let mut xml = Xml::begin()?;
    xml.open("ProjectInfo", &[])?;
    xml.open("Project", &[("ProjectId", &id.to_string())])?;
    if let Some(name) = name.filter(|name| !name.trim().is_empty()) {
        xml.text("Name", &[], name)?;
    }
    xml.close("Project")?;
    xml.close("ProjectInfo")?;
    Ok(xml.end())
}

/// The words that topics use.
pub(crate) fn extensions(topics: &[Topic]) -> io::Result<Vec<u8>> {
    let severities: BTreeSet<&str> = topics.iter().map(|topic| topic.severity).collect();
    let labels: BTreeSet<&str> = topics.iter().flat_map(|topic| topic.labels).collect();
    let mut xml = Xml::begin()?;
    xml.open("Extensions", &[])?;
    let mut words = |list: &str, item: &str, words: &BTreeSet<&str>| -> io::Result<()> {
        if words.is_empty() {
            return xml.empty(list, &[]);
        }
        xml.open(list, &[])?;
        for word in words {
            xml.text(item, &[], word)?;
        }
        xml.close(list)
    };
    let none = BTreeSet::new();
    words("TopicTypes", "TopicType", &severities)?;
    words("TopicStatuses", "TopicStatus", &BTreeSet::from([STATUS]))?;
    words("Priorities", "Priority", &none)?;
    words("TopicLabels", "TopicLabel", &labels)?;
    words("Users", "User", &BTreeSet::from([AUTHOR]))?;
    words("SnippetTypes", "SnippetType", &none)?;
    words("Stages", "Stage", &none)?;
    xml.close("Extensions")?;
    Ok(xml.end())
}

/// A topic.
pub(crate) fn markup(topic: &Topic, as_of: &str) -> io::Result<Vec<u8>> {
    let mut xml = Xml::begin()?;
    xml.open("Markup", &[])?;
    xml.open("Header", &[])?;
    xml.open("Files", &[])?;
    xml.open("File", &[("IsExternal", "true")])?;
    xml.text("Filename", &[], &topic.file)?;
    xml.close("File")?;
    xml.close("Files")?;
    xml.close("Header")?;
    let id = topic.id.to_string();
    xml.open("Topic", &[("Guid", &id), ("TopicType", topic.severity), ("TopicStatus", STATUS)])?;
    xml.text("Title", &[], &topic.title)?;
    xml.open("Labels", &[])?;
    for label in topic.labels {
        xml.text("Label", &[], label)?;
    }
    xml.close("Labels")?;
    xml.text("CreationDate", &[], &format!("{as_of}T00:00:00Z"))?;
    xml.text("CreationAuthor", &[], AUTHOR)?;
    xml.text("Description", &[], &topic.description)?;
    if let Some(view) = &topic.view {
        xml.open("Viewpoints", &[])?;
        xml.open("ViewPoint", &[("Guid", &view.id.to_string())])?;
        xml.text("Viewpoint", &[], VIEWPOINT)?;
        xml.close("ViewPoint")?;
        xml.close("Viewpoints")?;
    }
    xml.close("Topic")?;
    xml.close("Markup")?;
    Ok(xml.end())
}

/// What a viewer is to show.
pub(crate) fn viewpoint(view: &View) -> io::Result<Vec<u8>> {
    let mut xml = Xml::begin()?;
    xml.open("VisualizationInfo", &[("Guid", &view.id.to_string())])?;
    xml.open("Components", &[])?;
    if !view.elements.is_empty() {
        xml.open("Selection", &[])?;
        for element in &view.elements {
            xml.empty("Component", &[("IfcGuid", element)])?;
        }
        xml.close("Selection")?;
    }
    xml.empty("Visibility", &[("DefaultVisibility", "true")])?;
    xml.close("Components")?;
    camera(&mut xml, &view.camera)?;
    xml.close("VisualizationInfo")?;
    Ok(xml.end())
}

fn camera(xml: &mut Xml, camera: &Camera) -> io::Result<()> {
    xml.open("OrthogonalCamera", &[])?;
    triple(xml, "CameraViewPoint", camera.at_m)?;
    triple(xml, "CameraDirection", camera.along)?;
    triple(xml, "CameraUpVector", camera.up)?;
    xml.text("ViewToWorldScale", &[], &number(camera.height_m))?;
    xml.text("AspectRatio", &[], &number(ASPECT_RATIO))?;
    xml.close("OrthogonalCamera")
}

fn triple(xml: &mut Xml, name: &str, of: Triple) -> io::Result<()> {
    xml.open(name, &[])?;
    for (axis, value) in ["X", "Y", "Z"].into_iter().zip(of) {
        xml.text(axis, &[], &number(value))?;
    }
    xml.close(name)
}

/// A number to a millionth: finer than anybody sees, and the same on every machine.
fn number(value: f64) -> String {
    let text = format!("{value:.6}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}
