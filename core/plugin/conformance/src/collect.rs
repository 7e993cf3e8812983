//! Takes frames and holds them to what the kit says of them.

use restrand_kit::{At, Budget, Frame, Frames, LoadError, Part, Parts, Stopped, is_within};
use restrand_model::reading::{Place, Span};

use crate::{Outcome, Subject, fail};

/// The frames of a reading, as texts, and the first thing that is wrong with one.
#[derive(Default)]
pub(crate) struct Collected {
    parts: Vec<(String, u64)>,
    /// Of each table, whether it is a sheet, and the length of its part.
    tables: Vec<(bool, u64)>,
    pub(crate) frames: Vec<String>,
    pub(crate) records: usize,
    pub(crate) problems: usize,
    pub(crate) wrong_order: Option<String>,
    pub(crate) wrong_place: Option<String>,
    /// After how many frames no more is wanted.
    stop_after: Option<usize>,
    /// Frames that came after that.
    pub(crate) unwanted: usize,
}

impl Collected {
    fn new(parts: Parts<'_>, stop_after: Option<usize>) -> Self {
        let parts = parts.0.iter().map(|part| (part.name().to_owned(), part.len())).collect();
        Self { parts, stop_after, ..Self::default() }
    }

    fn order(&mut self, why: String) {
        self.wrong_order.get_or_insert(why);
    }

    fn outside(&mut self, why: String) {
        self.wrong_place.get_or_insert(why);
    }

    fn length(&mut self, name: &str) -> Option<u64> {
        let length = self.parts.iter().find(|part| part.0 == name).map(|part| part.1);
        // A file in an archive, of which rows and lines are told, and no bytes.
        let within = || self.parts.iter().any(|part| is_within(name, &part.0)).then_some(0);
        let length = length.or_else(within);
        if length.is_none() {
            self.outside(format!("there is no part \"{name}\""));
        }
        length
    }

    fn inside(&mut self, span: Span, length: u64) {
        if span.start > span.end || span.end > length {
            let Span { start, end } = span;
            self.outside(format!("bytes {start} to {end} of a part of {length}"));
        }
    }

    fn look_at(&mut self, frame: &Frame) {
        match frame {
            Frame::Table(table) => {
                let length = self.length(&table.part).unwrap_or(0);
                self.tables.push((table.sheet.is_some(), length));
            }
            Frame::Record(record) => {
                self.records += 1;
                let table = usize::try_from(record.table).ok();
                let table = table.and_then(|table| self.tables.get(table)).copied();
                match (table, record.at) {
                    (None, _) => {
                        self.order(format!(
                            "a record of table {}, which has not begun",
                            record.table
                        ));
                    }
                    (Some((true, _)), At::Row(_)) => {}
                    (Some((false, length)), At::Span(span)) => self.inside(span, length),
                    (Some(_), _) => {
                        self.order("a record of a sheet has a row, any other a span".to_owned());
                    }
                }
            }
            Frame::Problem(problem) => {
                self.problems += 1;
                let table = problem.record.get().map(|(table, _)| u64::from(table));
                if table.is_some_and(|table| table >= self.tables.len() as u64) {
                    self.order("a problem of a record whose table has not begun".to_owned());
                }
                let length = self.length(problem.place.part());
                if let (Place::Text { span, .. }, Some(length)) = (&problem.place, length) {
                    self.inside(*span, length);
                }
                if problem.why.is_empty() || problem.subject.is_empty() {
                    self.order("a problem that does not say what is wrong with what".to_owned());
                }
            }
            Frame::Understood(understood) => {
                self.length(&understood.part);
            }
            Frame::Question(question) => {
                self.problems += 1;
                let begun = self.tables.len() as u64;
                let tables = question.records.iter().filter_map(|record| record.get());
                if tables.map(|(table, _)| u64::from(table)).any(|table| table >= begun) {
                    self.order("a question of records whose table has not begun".to_owned());
                }
                self.length(question.place.part());
                if question.why.is_empty() || question.readings.len() < 2 {
                    self.order(
                        "a question that does not say what is unclear, and the readings".to_owned(),
                    );
                }
            }
        }
    }

    /// Fails with the first thing that was wrong.
    pub(crate) fn verdict(&self) -> Result<(), Outcome> {
        match (&self.wrong_order, &self.wrong_place) {
            (Some(why), _) | (None, Some(why)) => fail(why.clone()),
            (None, None) => Ok(()),
        }
    }
}

impl Frames for Collected {
    fn take(&mut self, frame: Frame) -> Result<(), Stopped> {
        if self.stop_after.is_some_and(|most| self.frames.len() >= most) {
            self.unwanted += 1;
            return Err(Stopped);
        }
        self.look_at(&frame);
        self.frames.push(format!("{frame:?}"));
        let is_enough = self.stop_after.is_some_and(|most| self.frames.len() >= most);
        if is_enough { Err(Stopped) } else { Ok(()) }
    }
}

/// Lets the plugin read parts.
pub(crate) fn load(
    subject: &Subject<'_>,
    parts: &[&dyn Part],
    budget: Budget,
    stop_after: Option<usize>,
) -> (Result<(), LoadError>, Collected) {
    let parts = Parts(parts);
    let mut collected = Collected::new(parts, stop_after);
    let result = subject.plugin.load(parts, budget, &mut collected);
    (result, collected)
}

/// What became of input that may be damaged: it is read, or refused with reason.
pub(crate) fn endured(result: Result<(), LoadError>, collected: &Collected) -> Result<(), Outcome> {
    match result {
        Ok(()) | Err(LoadError::Medium(_)) => {}
        Err(LoadError::Unreadable { why, help, .. }) if why.is_empty() || help.is_empty() => {
            return fail("it refuses an input and does not say why, or what to do");
        }
        Err(LoadError::Unreadable { .. }) => {}
        Err(LoadError::Stopped) => return fail("it stops though nobody asked it to"),
        Err(LoadError::Plugin(failure)) => return Err(failure.into()),
    }
    collected.verdict()
}
