//! What the rulebook requires of a record, by the stage and by what the record says.

use restrand_model::Record;
use restrand_model::reflect::View;
use restrand_model::schedule::Stage;

use super::Context;
use crate::book::Required;

impl<'a> Context<'a> {
    /// The requirements on a record type that hold at a stage.
    pub fn required(&self, record: &str, stage: Stage) -> impl Iterator<Item = &'a Required> {
        let record = record.to_owned();
        self.book
            .required
            .iter()
            .filter(move |required| required.record == record && required.stage <= stage)
    }

    /// Whether a field is required of a record at a stage.
    #[must_use]
    pub fn requires(&self, record: &dyn Record, field: &str, stage: Stage) -> bool {
        self.required(record.info().name, stage).any(|required| {
            required.holds_for(record) && required.fields.iter().any(|f| f == field)
        })
    }
}

/// The value at field names joined with points.
fn view_at<'r>(record: &'r dyn Record, path: &str) -> View<'r> {
    path.split('.').fold(View::Record(record), |view, name| match view {
        View::Record(record) => record.get(name),
        _ => View::Absent,
    })
}

impl Required {
    /// Whether the requirement holds for this record: its conditions are met.
    #[must_use]
    pub fn holds_for(&self, record: &dyn Record) -> bool {
        let says = |(field, words): &(String, Vec<String>)| {
            let word = match view_at(record, field) {
                View::Text(word) => word.trim(),
                View::Flag(true) => "yes",
                View::Flag(false) => "no",
                _ => "absent",
            };
            words.iter().any(|one| one.eq_ignore_ascii_case(word))
        };
        self.when.iter().all(says) && !self.unless.iter().any(says)
    }
}
