//! What every sheet says of itself: document, revision, hashes, version, stage, and what it is no more than.

use restrand_model::System;
use restrand_model::reflect::{Choice, Date};
use restrand_model::schedule::Project;
use sha2::{Digest, Sha256};

use super::markup::{css_string, escaped, terms};
use crate::checked::Checked;
use crate::identity::{Identity, hex};

/// What a report is stamped with.
#[derive(Clone, Copy)]
pub struct Stamp<'a> {
    /// What the report follows from.
    pub identity: &'a Identity,
    /// The day that counts as today.
    pub as_of: Date,
    /// Whether that day was asked for. If not, it is not written, so that the bytes are the same on every day.
    pub is_dated: bool,
}

/// The stamp of one report, worked out.
pub(super) struct Stamped {
    /// What kind of report it is.
    title: String,
    /// A few digits that differ where anything that the report follows from differs.
    id: String,
    rows: Vec<(&'static str, String)>,
    /// One line of it for the foot of every printed sheet.
    foot: String,
}

/// Digits of an identifier: enough to tell reports of one bridge apart.
const ID_DIGITS: usize = 12;

impl Stamped {
    /// `subjects` is what the report is of, where its title does not name all.
    pub(super) fn of(
        title: String,
        subjects: &[&str],
        checked: &Checked<'_>,
        stamp: &Stamp<'_>,
    ) -> Self {
        let identity = stamp.identity;
        let (inputs, book) = (identity.inputs(), identity.rulebook());
        let dated = stamp.is_dated.then(|| stamp.as_of.to_string());
        let id = hex(&Sha256::digest(format!(
            "{title}\n{subjects:?}\n{}\n{inputs:?}\n{book:?}\n{dated:?}\n{:?}",
            identity.version(),
            checked.system
        )));
        let id = id[..ID_DIGITS].to_owned();
        let project = checked.reading.and_then(|reading| reading.schedule.project.as_deref());
        let said = |field: fn(&Project) -> Option<&str>| {
            project.and_then(field).map_or_else(|| "not stated".to_owned(), str::to_owned)
        };
        let document = said(|project| project.drawing.as_deref());
        let revision = said(|project| project.revision.as_deref());
        let stage = said(|project| project.stage.map(Choice::word)).replace('_', " ");
        let foot = format!(
            "Document {document}, revision {revision}, stage {stage} · report {id} · {}",
            identity.short()
        );
        let hashes: Vec<_> = inputs
            .iter()
            .map(|(name, hash)| format!("{} <code>{hash}</code>", escaped(name)))
            .collect();
        let rulebook = match (checked.rulebook, book) {
            (Some(in_force), Some(hash)) => format!(
                "{}, {} <code>{hash}</code>",
                escaped(&in_force.shown()),
                escaped(in_force.why)
            ),
            _ => "none came into force".to_owned(),
        };
        let day = dated.unwrap_or_else(|| {
            "the day of the run, which is not written; --as-of names and writes one".to_owned()
        });
        let rows = vec![
            ("Bridge", escaped(&said(|project| project.bridge.as_deref()))),
            ("Structure", escaped(&said(|project| project.structure_number.as_deref()))),
            ("Document", escaped(&document)),
            ("Revision", escaped(&revision)),
            ("Stage", escaped(&stage)),
            ("Report", format!("<code>{id}</code>")),
            ("Input, SHA-256", hashes.join("<br>")),
            ("Rulebook, SHA-256", rulebook),
            ("Made with", escaped(&format!("restrand {}", identity.version()))),
            ("As of", escaped(&day)),
            ("Units", units(checked.system).to_owned()),
        ];
        Self { title, id, rows, foot }
    }

    /// The title of the report.
    pub(super) fn title(&self) -> &str {
        &self.title
    }

    /// The digits that tell the report from others.
    pub(super) fn id(&self) -> &str {
        &self.id
    }

    /// The rows at the head of the report.
    pub(super) fn head(&self) -> String {
        terms(&self.rows)
    }

    /// The style of printed sheets: what stands in the margins of each.
    pub(super) fn margins(&self) -> String {
        format!(
            "@page{{@top-left{{content:{}}}@top-right{{content:{}}}@bottom-left{{content:{}}}}}",
            css_string(&self.title),
            css_string("Draft for the engineer in charge"),
            css_string(&self.foot)
        )
    }
}

const fn units(system: System) -> &'static str {
    match system {
        System::Si => "SI, with US customary in brackets",
        System::Us => "US customary, with SI in brackets",
    }
}
