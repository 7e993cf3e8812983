//! From a model's entities to records.
//!
//! * [`Model`]: a model as a file holds it;
//! * `graph`: who belongs to whom; `links`: which anchor and conduit is which tendon's, and how that was found;
//! * `inherited`: what types state of their occurrences;
//! * `entities`: how they are looked up, and what is wrong with them; `elements`: what any element says of itself;
//! * `units`: in what the project states its quantities; `sets` with `set_reader` and `properties`: what property sets
//!   state of a record, which `ahead` reads side by side;
//! * `tendons` with `attributes`, `course`, `bodies`, `ends` and `members`; `places`, `types`, `project`: the records;
//! * `geometry`, `curve`, `shape`: where things lie; `alignment`, `stretch`: by the distance along a curve; `room`: clear room as a shape;
//! * `carriers`: which entities state the values of a record; `positions`: maps and sets of entities;
//! * `others`: sets of other programs, and `named`: what they say by the names of their properties;
//! * `said`: what is handed over, with its place.
//!
//! What a model lacks is absent from the records, and for the rules to say; a problem is only what stands there
//! and cannot be taken.

mod ahead;
mod alignment;
pub mod archived;
mod attributes;
mod bodies;
mod carriers;
mod course;
mod curve;
mod elements;
mod ends;
mod entities;
mod geometry;
mod graph;
mod inherited;
mod links;
pub(crate) mod mapping;
mod members;
mod model;
mod named;
mod others;
mod places;
mod positions;
mod project;
mod properties;
mod reader;
mod room;
mod said;
mod schema;
mod set_reader;
mod sets;
mod shape;
mod stretch;
mod tendons;
mod types;
pub(crate) mod units;

pub use mapping::{Fault, Mapping};
pub use model::{Found, Model, Slot, Stand, file_of, place};

use restrand_kit::{Frames, LoadError, Part, Parts};
use restrand_model::reading::Place;

/// How a model states tendons, as advice in whole sentences.
pub const TENDONS_STATED: &str = "Model each tendon as an IfcTendon whose Name is its mark, with the anchors at its \
    ends as IfcTendonAnchor; elements of other classes, as IfcBuildingElementProxy or IfcReinforcingBar, are not taken \
    for tendons. restrand check --reading shows what of the model was taken";

/// What a mapping file says of property sets; what is wrong with it is said of the model that it is for.
///
/// # Errors
/// The file's table `ifc` is none that is understood.
pub fn mapping_for(
    part: &str,
    mapping: &restrand_kit::recognise::Mapping,
) -> Result<Mapping, LoadError> {
    Mapping::stated(mapping.ifc.as_ref()).map_err(|Fault { why, help }| LoadError::Unreadable {
        place: Place::Part { part: part.to_owned() },
        why: format!("the mapping file for it: {why}"),
        help: help.to_owned(),
    })
}

/// The one part that a model is.
///
/// # Errors
/// There is none, or more than one.
pub fn only(parts: Parts<'_>) -> Result<&dyn Part, LoadError> {
    parts.only().ok_or_else(|| LoadError::Unreadable {
        place: Place::Part {
            part: parts.main().map(|part| part.name().to_owned()).unwrap_or_default(),
        },
        why: "a model is one file".to_owned(),
        help: "name one file at a time".to_owned(),
    })
}

/// Hands over the records of a model, and what cannot be taken of it.
///
/// # Errors
/// The model is of a schema that is not read, or the taker of the frames wants no more.
pub fn schedule(
    model: &dyn Model,
    mapping: &Mapping,
    frames: &mut dyn Frames,
) -> Result<(), LoadError> {
    let mut reader = reader::Reader::new(model, mapping, frames)?;
    let links = reader.links()?;
    std::thread::scope(move |scope| {
        let groups = reader.groups(&links);
        reader.sets_read.begin(scope, groups);
        reader.project()?;
        let mut types = types::Types::default();
        reader.types(&mut types)?;
        let places = reader.places()?;
        reader.tendons(links, &places, &mut types)?;
        reader.say_others()?;
        reader.finish()
    })
}
