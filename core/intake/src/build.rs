//! Builds the schedule from frames as they come.

use std::borrow::Cow;
use std::collections::{HashMap, HashSet};

use restrand_kit::{At, Frame, Frames, LoadError, RecordFrame, Stopped};
use restrand_model::near::nearest;
use restrand_model::quantity::{of_field, shortest};
use restrand_model::reading::{Column, Origin, Place, Problem, ProblemKind, Question, Spot, Table};
use restrand_model::reflect::{EXTRA, RecordInfo, Shape, View, fill};
use restrand_model::schedule::Schedule;
use restrand_model::sheet::{self, Into, Sheet};
use restrand_model::value::{Fields, Name, Value};
use restrand_model::{Record, shortened};

use crate::given::{self, Given};
use crate::join::{Joining, row_of};
use crate::unread::{self, LongTexts};
use crate::validate::{Fault, Refusal, Validators};
use crate::{LostRecord, Reading, turn};

/// What the records of a table are.
#[derive(Clone, Copy)]
enum Kind {
    /// Rows of a sheet of the layout.
    Sheet(&'static Sheet),
    /// Items of a list of the document, or its one record of that name.
    Field(&'static str, &'static RecordInfo),
    /// Members of the document itself.
    Root,
}

/// A record that waits for the one it belongs to.
pub(crate) struct Pending {
    pub(crate) sheet: &'static Sheet,
    pub(crate) links: Vec<Option<Box<str>>>,
    pub(crate) record: Box<dyn Record>,
}

/// Takes frames and builds the schedule.
#[derive(Default)]
pub struct Builder {
    reading: Reading,
    kinds: Vec<Kind>,
    joining: Joining,
    long_texts: LongTexts,
    validators: Validators,
}

impl Frames for Builder {
    fn take(&mut self, frame: Frame) -> Result<(), Stopped> {
        match frame {
            Frame::Table(table) => self.table(table),
            Frame::Record(record) => self.record(record),
            Frame::Problem(problem) => self.problem(problem),
            Frame::Question(question) => self.question(question),
            Frame::Understood(understood) => self.reading.understood.push(understood),
        }
        if self.has_too_many_problems() { Err(Stopped) } else { Ok(()) }
    }
}

/// Characters of a value that a message shows.
const LONGEST_VALUE: usize = 80;
/// Characters of what a message says about it.
const LONGEST_CLAUSE: usize = 600;

/// Problems in one input, above which it is refused: nobody reads more of them, and each takes memory.
const MAX_PROBLEMS: usize = 100_000;

impl Builder {
    /// A builder of an empty schedule.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    fn table(&mut self, table: Table) {
        let kind = if table.sheet.is_some() {
            sheet::find(&table.list).map(|sheet| {
                // Rows that belong nowhere in the schedule state something of the schedule itself.
                if sheet.targets.is_empty() { Kind::Root } else { Kind::Sheet(sheet) }
            })
        } else {
            Schedule::INFO.field(&table.list).and_then(|field| match field.shape {
                Shape::Record(info) | Shape::Records(info) => Some(Kind::Field(field.name, info())),
                _ => None,
            })
        };
        // A model has no rows, but records that stand apart from those that they belong to.
        let apart = || sheet::find(&table.list).filter(|sheet| !sheet.targets.is_empty());
        let kind = kind.or_else(|| apart().map(Kind::Sheet));
        self.kinds.push(kind.unwrap_or(Kind::Root));
        self.reading.provenance.tables.push(table);
    }

    fn problem(&mut self, mut problem: Problem) {
        // A cell may hold 200,000 characters; provenance keeps them, a message does not.
        for text in [&mut problem.subject, &mut problem.why, &mut problem.help] {
            if let Cow::Owned(short) = shortened(text, LONGEST_CLAUSE) {
                *text = short;
            }
        }
        if let Some(given) = problem.given.take() {
            let shown = shortened(&given, LONGEST_VALUE).into_owned();
            if shown != given {
                self.long_texts.remember(self.reading.problems.len(), &problem, &given);
            }
            problem.given = Some(shown);
        }
        match problem.kind {
            ProblemKind::ValueLost => self.reading.counts.values_lost += 1,
            ProblemKind::RecordLost | ProblemKind::OwnerMissing => {
                self.reading.counts.records_lost += 1;
            }
            ProblemKind::SheetLost => self.reading.counts.sheets_lost += 1,
            ProblemKind::ValueDoubtful
            | ProblemKind::Assumed
            | ProblemKind::Unknown
            | ProblemKind::Misnamed
            | ProblemKind::SheetUnknown => {}
        }
        self.reading.problems.push(problem);
    }

    fn question(&mut self, mut question: Question) {
        question.header = shortened(&question.header, LONGEST_VALUE).into_owned();
        question.given = shortened(&question.given, LONGEST_VALUE).into_owned();
        self.reading.counts.values_lost += question.records.len();
        self.reading.questions.push(question);
    }

    fn record(&mut self, frame: RecordFrame) {
        let kind =
            usize::try_from(frame.table).ok().and_then(|table| self.kinds.get(table)).copied();
        let Some(kind) = kind else {
            debug_assert!(false, "a record comes after its table");
            return;
        };
        self.reading.counts.records += 1;
        let origin = self.origin(&frame);
        for (column, text) in frame.texts {
            self.reading.provenance.keep_text(origin, column, text);
        }
        for apart in frame.apart {
            self.reading.provenance.keep_apart(origin, apart);
        }
        let info = match kind {
            Kind::Sheet(sheet) => sheet.record,
            Kind::Field(_, info) => info,
            Kind::Root => Schedule::INFO,
        };
        let mut fields = frame.fields;
        if let Kind::Field(..) = kind {
            self.take_given(&mut fields, info, origin);
        }
        let Some(fields) = self.check(info, fields, origin) else {
            return;
        };
        if let Kind::Root = kind {
            if let Err(misfit) = fill(&mut self.reading.schedule, fields) {
                self.lost(origin, Schedule::INFO, &misfit.path, misfit.needed);
            }
            return;
        }
        let mut record = (info.make)();
        if let Err(misfit) = fill(record.as_mut(), fields) {
            self.lost(origin, info, &misfit.path, misfit.needed);
            return;
        }
        record.set_origin(origin);
        match kind {
            Kind::Field(field, _) => self.settle(field, record, origin),
            Kind::Sheet(sheet) => match sheet.targets {
                [target] if target.owner.is_empty() => match target.into {
                    Into::List(field) | Into::Field(field) => self.settle(field, record, origin),
                    Into::Slot { .. } => {}
                },
                _ => {
                    let row = Pending { sheet, links: frame.links, record };
                    self.joining.add(&mut self.reading, row);
                }
            },
            Kind::Root => {}
        }
    }

    fn origin(&mut self, frame: &RecordFrame) -> Origin {
        match frame.at {
            At::Row(row) => Origin::new(frame.table, row),
            At::Span(span) => {
                let spots = &mut self.reading.provenance.spots;
                let position = u32::try_from(spots.len()).unwrap_or(u32::MAX);
                spots.push(Spot { span, path: Vec::new() });
                Origin::new(frame.table, position)
            }
        }
    }

    /// Takes the texts by which values were given out of a record of a document, and keeps them.
    fn take_given(&mut self, fields: &mut Fields, info: &'static RecordInfo, origin: Origin) {
        for Given { at, path, text, kind } in given::take(fields, info) {
            let (kind, subject, why, help) = match kind {
                given::Kind::OfValue => {
                    let path: Vec<_> = path.iter().map(String::as_str).collect();
                    let text = text.to_string().into_boxed_str();
                    self.reading.provenance.keep_text_at(origin, &path, text);
                    continue;
                }
                given::Kind::Unread => (
                    ProblemKind::ValueLost,
                    &path,
                    "it could not be read in the file from which this one was made".to_owned(),
                    "state the value in its field, and take its text out of \"given\"",
                ),
                given::Kind::Misfit(why) => (
                    ProblemKind::ValueDoubtful,
                    &at,
                    why,
                    "the value holds, and the text is not kept; correct one of them",
                ),
            };
            self.problem(Problem {
                kind,
                place: self.place(origin, &at),
                record: origin,
                subject: format!("{}.{}", info.name, subject.join(".")),
                given: Some(text.to_string()),
                why,
                help: help.to_owned(),
            });
        }
    }

    /// Puts a record where it belongs in the schedule itself.
    fn settle(&mut self, field: &'static str, record: Box<dyn Record>, origin: Origin) {
        let schedule: &mut dyn Record = &mut self.reading.schedule;
        let Some(index) = schedule.info().index_of(field) else {
            return;
        };
        if let Err(record) = schedule.field_mut(index).adopt(record) {
            self.second(field, record, origin);
        }
    }

    /// Reports a record of which the schedule has one already, and takes no more.
    fn second(&mut self, field: &'static str, record: Box<dyn Record>, origin: Origin) {
        let schedule: &dyn Record = &self.reading.schedule;
        let first = match schedule.get(field) {
            View::Record(first) => row_of(&self.reading, first.origin()),
            _ => None,
        };
        let sheet = self.reading.provenance.table(origin).and_then(|table| table.sheet.clone());
        let why = match (first, sheet) {
            (Some(first), Some(sheet)) => {
                format!("{sheet} has two rows of values, and takes one; {first} is read")
            }
            _ => format!("the schedule has one {} already", record.info().name),
        };
        let held: Vec<_> = record
            .to_fields()
            .iter()
            .map(|(name, value)| {
                format!("{}: {value}", of_field(name.as_str()).0.replace('_', " "))
            })
            .collect();
        let problem = Problem {
            kind: ProblemKind::RecordLost,
            place: self.place(origin, &[]),
            record: origin,
            subject: record.info().name.to_owned(),
            given: Some(held.join("; ")),
            why,
            help: "keep one of the two; nothing of this one is checked".to_owned(),
        };
        self.problem(problem);
        self.reading.lost.push(LostRecord { record: record.into(), links: Vec::new() });
    }

    /// Checks the members of a record against its schema; takes out and reports what it does not take.
    fn check(
        &mut self,
        info: &'static RecordInfo,
        mut fields: Fields,
        origin: Origin,
    ) -> Option<Fields> {
        let refusals = match self.validators.refusals(info, &fields) {
            Ok(refusals) => refusals,
            Err(why) => {
                self.lost(origin, info, "", &why);
                return None;
            }
        };
        if refusals.is_empty() {
            return Some(fields);
        }
        let mut inside = Inside::new();
        for refusal in &refusals {
            let problem = self.refused(refusal, info, origin);
            self.keep_refused(refusal, &problem);
            self.problem(problem);
            if self.has_too_many_problems() {
                // Nothing of the input will be kept.
                return None;
            }
            note(&mut inside, &refusal.path, refusal.fault == Fault::Unknown);
        }
        take_out(&mut fields, &mut inside);
        Some(fields)
    }

    fn refused(&self, refusal: &Refusal, info: &'static RecordInfo, origin: Origin) -> Problem {
        let place = self.place(origin, &refusal.path);
        let subject = format!("{}.{}", info.name, refusal.path.join("."));
        let given = self.given(origin, refusal).unwrap_or_else(|| refusal.given.clone());
        match &refusal.fault {
            Fault::Unknown => {
                let name = refusal.path.last().map_or("", String::as_str);
                Problem {
                    kind: ProblemKind::Unknown,
                    place,
                    record: origin,
                    given: Some(given),
                    why: format!("no field of this record is called \"{name}\""),
                    help: match nearest_field(info, &refusal.path) {
                        Some(near) => format!("did you mean \"{near}\"?"),
                        None => "its value is kept in the record's \"extra\"".to_owned(),
                    },
                    subject,
                }
            }
            Fault::Unfit { why, help } => Problem {
                kind: ProblemKind::ValueLost,
                place,
                record: origin,
                subject,
                given: Some(given),
                why: why.clone(),
                help: help.clone(),
            },
        }
    }

    /// Keeps what a cell says of a value that is taken out.
    fn keep_refused(&mut self, refusal: &Refusal, problem: &Problem) {
        let column = self.reading.provenance.table(problem.record).and_then(|table| {
            let leads = |column: &&Column| column.path.iter().eq(refusal.path.iter());
            table.columns.iter().find(leads).map(|column| column.index)
        });
        if let (Some(column), Fault::Unfit { .. }, Some(given)) =
            (column, &refusal.fault, &problem.given)
            && self.reading.provenance.text(problem.record, column).is_none()
        {
            self.reading.provenance.keep_text(problem.record, column, given.as_str().into());
        }
    }

    /// The value of a cell as it was typed, not as it was understood.
    fn given(&self, origin: Origin, refusal: &Refusal) -> Option<String> {
        let table = self.reading.provenance.table(origin)?;
        let column = table.column_of(&refusal.path)?;
        if let Some(text) = self.reading.provenance.text(origin, column.index) {
            return Some(text.to_owned());
        }
        let stated = column.unit?;
        let (_, unit) = of_field(refusal.path.last()?);
        // The cell holds the bare number, whose unit its header states.
        Some(shortest(unit?.convert(refusal.number?, stated)))
    }

    fn place(&self, origin: Origin, path: &[String]) -> Place {
        self.reading
            .provenance
            .place(origin, path)
            .unwrap_or_else(|| Place::Part { part: String::new() })
    }

    /// Reports a record that could not be typed.
    fn lost(&mut self, origin: Origin, info: &RecordInfo, path: &str, needed: &str) {
        let steps: Vec<String> =
            path.split('/').filter(|step| !step.is_empty()).map(str::to_owned).collect();
        let place = self.place(origin, &steps);
        self.problem(Problem {
            kind: ProblemKind::RecordLost,
            place,
            record: origin,
            subject: info.name.to_owned(),
            given: None,
            why: format!("it does not hold what is needed: {needed}"),
            help: "correct the record; nothing of it is checked".to_owned(),
        });
    }

    fn has_too_many_problems(&self) -> bool {
        self.reading.problems.len() > MAX_PROBLEMS
    }

    /// Joins the records that waited, and gives the reading; `loaded` is what the plugin came to.
    ///
    /// # Errors
    /// The plugin's own, and that more could not be read than anybody would want to know.
    pub fn finish(mut self, loaded: Result<(), LoadError>) -> Result<Reading, LoadError> {
        if !self.has_too_many_problems() {
            loaded?;
            self.join();
        }
        if !self.has_too_many_problems() {
            return Ok(self.reading);
        }
        let first = &self.reading.problems[0];
        Err(LoadError::Unreadable {
            place: first.place.clone(),
            why: format!(
                "more than 100,000 of its values and records cannot be; the first, {}: {}",
                first.subject, first.why
            ),
            help: format!(
                "{}; if most of the file is like that, it is of another form",
                first.help
            ),
        })
    }

    fn join(&mut self) {
        let joining = std::mem::take(&mut self.joining);
        for problem in joining.join(&mut self.reading) {
            self.problem(problem);
        }
        turn::turn(&mut self.reading);
        unread::keep(&mut self.reading, &self.long_texts);
    }
}

/// What is to be taken out of a record or a list, by name or position.
type Inside<'r> = HashMap<&'r str, Out<'r>>;

/// What is to be taken out of a value.
#[derive(Default)]
struct Out<'r> {
    /// How many values of this name go as a whole.
    whole: usize,
    /// Whether they are kept in the record's open map.
    keep: bool,
    inside: Inside<'r>,
}

/// Notes that the value at this path goes.
fn note<'r>(mut inside: &mut Inside<'r>, path: &'r [String], keep: bool) {
    let Some((last, way)) = path.split_last() else {
        return;
    };
    for step in way {
        inside = &mut inside.entry(step.as_str()).or_default().inside;
    }
    let out = inside.entry(last.as_str()).or_default();
    out.whole += 1;
    out.keep = keep;
}

/// Takes values out of a record in one pass; unknown members are kept in its open map.
fn take_out(fields: &mut Fields, inside: &mut Inside<'_>) {
    let mut kept = Vec::new();
    for (name, mut value) in std::mem::take(fields) {
        match inside.get_mut(name.as_str()) {
            Some(out) if out.whole > 0 => {
                out.whole -= 1;
                if out.keep {
                    kept.push((name, value));
                }
                continue;
            }
            Some(out) => take_out_of(&mut value, &mut out.inside),
            None => {}
        }
        fields.push(name, value);
    }
    if !kept.is_empty() {
        keep_extra(fields, kept);
    }
}

fn take_out_of(value: &mut Value, inside: &mut Inside<'_>) {
    match value {
        Value::Fields(fields) => take_out(fields, inside),
        Value::List(items) => {
            let mut position = 0_usize;
            items.retain_mut(|item| {
                let out = inside.get_mut(position.to_string().as_str());
                position += 1;
                match out {
                    Some(out) if out.whole > 0 => false,
                    Some(out) => {
                        take_out_of(item, &mut out.inside);
                        true
                    }
                    None => true,
                }
            });
        }
        _ => {}
    }
}

/// Keeps members in the record's open map; one whose name stands there already gets another, for both were
/// given.
fn keep_extra(fields: &mut Fields, kept: Vec<(Name, Value)>) {
    let further = fields.nested(EXTRA);
    let mut taken: HashSet<String> =
        further.iter().map(|(name, _)| name.as_str().to_owned()).collect();
    for (name, value) in kept {
        if taken.insert(name.as_str().to_owned()) {
            further.push(name, value);
            continue;
        }
        let other = (2_u32..).map(|count| format!("{name} ({count})"));
        for other in other {
            if taken.insert(other.clone()) {
                further.push(Name::from(other.as_str()), value);
                break;
            }
        }
    }
}

/// The field that a person most likely meant by the last name of a path.
fn nearest_field(info: &'static RecordInfo, path: &[String]) -> Option<&'static str> {
    let (name, way) = path.split_last()?;
    let mut info = info;
    for step in way {
        if step.parse::<usize>().is_ok() {
            continue;
        }
        if let Shape::Record(inner) | Shape::Records(inner) = info.field(step)?.shape {
            info = inner();
        }
    }
    nearest(name, info.fields.iter().map(|field| field.name))
}
