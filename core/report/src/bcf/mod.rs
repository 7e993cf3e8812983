//! Findings as a BCF 3.0 archive: a topic for each finding, with the elements of the model and a view of the place.
//!
//! Findings that say the same of several records share a topic, as they do for people.
//! Ids follow from what a finding says and of what, so that the topics of a further run stand in the place of the
//! earlier ones; dates are the day that counts as today. The same findings give the same bytes.

mod camera;
mod files;
mod topic;
mod users;

use std::collections::HashSet;
use std::io::{self, Cursor, Write};

use restrand_model::ifc::{Ids, Uuid};
use restrand_model::schedule::Schedule;
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, DateTime, ZipWriter};

use crate::alike;
use crate::checked::Checked;
use crate::plain::plain;
use topic::{Topic, Topics};

/// An archive that takes one input after the other.
pub struct Archive {
    as_of: String,
    project: Option<Project>,
    topics: Vec<Topic>,
    taken: HashSet<Uuid>,
}

/// The bridge of the first input that has one.
struct Project {
    id: Uuid,
    name: Option<String>,
}

impl Archive {
    /// Begins an archive; the day, as `2031-05-07`, becomes the date of its topics.
    #[must_use]
    pub fn begin(as_of: &str) -> Self {
        let (topics, taken) = (Vec::new(), HashSet::new());
        Self { as_of: as_of.to_owned(), project: None, topics, taken }
    }

    /// Adds the findings of an input.
    pub fn input(&mut self, checked: &Checked<'_>) {
        if self.project.is_none()
            && let Some(reading) = checked.reading
        {
            let bridge = reading.schedule.project.as_deref();
            let name = bridge.and_then(|project| project.bridge.as_deref()).map(plain);
            self.project = Some(Project { id: Ids::of(&reading.schedule).bridge(), name });
        }
        let topics = Topics::of(checked);
        for alike in alike::put_together(&checked.report.findings) {
            let id = self.free(topics.ids(), &Topics::name(&alike));
            self.topics.push(topics.topic(&alike, id));
        }
    }

    /// The id of this name; where it is taken, as by the same finding of another file, that of the next one.
    fn free(&mut self, ids: Ids, name: &str) -> Uuid {
        let mut id = ids.named(name);
        let mut number = 2;
        while !self.taken.insert(id) {
            id = ids.named(&format!("{name} #{number}"));
            number += 1;
        }
        id
    }

    /// Writes the archive.
    ///
    /// # Errors
    /// The writer fails.
    pub fn end(self, out: &mut dyn Write) -> io::Result<()> {
        let options = SimpleFileOptions::default()
            .compression_method(CompressionMethod::Deflated)
            .last_modified_time(DateTime::default());
        let mut archive = ZipWriter::new(Cursor::new(Vec::new()));
        let mut file = |name: String, bytes: Vec<u8>| -> io::Result<()> {
            archive.start_file(name, options)?;
            archive.write_all(&bytes)
        };
        let project = self
            .project
            .unwrap_or_else(|| Project { id: Ids::of(&Schedule::default()).bridge(), name: None });
        file("bcf.version".to_owned(), files::version()?)?;
        file("project.bcfp".to_owned(), files::project(project.id, project.name.as_deref())?)?;
        file("extensions.xml".to_owned(), files::extensions(&self.topics)?)?;
        for topic in &self.topics {
            file(format!("{}/markup.bcf", topic.id), files::markup(topic, &self.as_of)?)?;
            if let Some(view) = &topic.view {
                file(format!("{}/{}", topic.id, files::VIEWPOINT), files::viewpoint(view)?)?;
            }
        }
        out.write_all(&archive.finish()?.into_inner())
    }
}
