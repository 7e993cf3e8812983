//! The bridge and the document, and the lists of records that are no element.

use restrand_kit::Stopped;
use restrand_model::reflect::{EXTRA, RecordInfo};
use restrand_model::schedule::{Project, Schedule};
use restrand_model::sheet;
use restrand_model::value::{Fields, Value as Stated};

use super::reader::Reader;
use super::said::put;
use crate::terms::Kind;

impl Reader<'_, '_> {
    /// Reads the project and the bridge.
    pub(super) fn project(&mut self) -> Result<(), Stopped> {
        let projects = self.graph.all(Kind::Project).to_vec();
        let bridges = self.graph.all(Kind::Bridge).to_vec();
        let Some(first) = bridges.first().or(projects.first()).copied() else { return Ok(()) };
        let mut fields = Fields::new();
        let mut lists = Vec::new();
        for at in bridges.iter().chain(&projects) {
            let mut sets = self.sets(*at)?;
            for (name, value) in sets.take(Project::INFO) {
                if fields.get(name.as_str()).is_none() {
                    fields.push(name, value);
                }
            }
            lists.push((*at, sets.take(Schedule::INFO)));
            self.leave(*at, sets)?;
        }
        if let Some(entity) = self.entity(first)? {
            if fields.get("bridge").is_none() {
                let name = ["LongName", "Name"]
                    .iter()
                    .find_map(|name| entity.get(name).text().filter(|text| !text.is_empty()));
                put(&mut fields, "bridge", name.map(Stated::from));
            }
            let extra = self.extra(first, &entity)?;
            put(&mut fields, EXTRA, Stated::Fields(extra));
        }
        let stand = self.model.stand(first);
        self.said.record("Project", stand, Vec::new(), fields)?;
        for (at, members) in lists {
            self.lists(at, members)?;
        }
        Ok(())
    }

    fn lists(&mut self, at: usize, members: Fields) -> Result<(), Stopped> {
        for (name, value) in members {
            let Some(sheet) = sheet::of_root(name.as_str()) else { continue };
            let Stated::List(items) = value else { continue };
            for item in items {
                if let Stated::Fields(fields) = item {
                    let stand = self.model.stand(at);
                    self.said.record(sheet.name, stand, Vec::new(), fields)?;
                }
            }
        }
        Ok(())
    }
}

/// The key of a record that fields state, or else this name.
pub(super) fn keyed(fields: &mut Fields, record: &'static RecordInfo, name: &str) -> Box<str> {
    let key = record.key.unwrap_or("id");
    if let Some(Stated::Text(stated)) = fields.get(key) {
        return stated.clone();
    }
    let mut whole = Fields::new();
    put(&mut whole, key, Stated::from(name));
    for (name, value) in std::mem::take(fields) {
        whole.push(name, value);
    }
    *fields = whole;
    name.into()
}
