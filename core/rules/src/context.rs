//! What rules see.

use std::collections::{HashMap, HashSet};
use std::sync::OnceLock;

use restrand_mechanics::path::Alignment;
use restrand_model::Record;
use restrand_model::reading::{Origin, Problem, ProblemKind, Provenance, Question};
use restrand_model::reflect::{Date, Link, Listed, View};
use restrand_model::resolve::{self, ResolvedPart};
use restrand_model::route::Route;
use restrand_model::schedule::{
    Anchorage, Deviator, Duct, End, EndName, Form, Jack, Place, Schedule, Stage, Strand, Tendon,
};
use restrand_model::sheet;

use crate::assembly::{self, Assembly};
use crate::book::{Limit, Required, Rulebook};
use crate::ends::{JackNeeds, Obstacle, obstacles};
use crate::rule::LimitKey;
use crate::tendon_path::{self, LaidTendon, NoPath};
use crate::ways::Ways;
use crate::works::{self, Across, BridgeOut, NotKnown};

/// A record that a link names, with its route.
#[derive(Debug, Clone)]
pub struct Found<'a, R> {
    /// The record.
    pub record: &'a R,
    /// Its route.
    pub route: Route,
}

/// A tendon with its route.
#[derive(Debug, Clone)]
pub struct TendonAt<'a> {
    /// The tendon.
    pub tendon: &'a Tendon,
    /// Its route.
    pub route: Route,
    /// Its position in the schedule.
    pub position: usize,
}

/// An end of a tendon with its route.
#[derive(Debug, Clone)]
pub struct EndAt<'a> {
    /// The name of the end.
    pub name: EndName,
    /// The end.
    pub end: &'a End,
    /// Its route.
    pub route: Route,
}

impl EndAt<'_> {
    /// How people call it: by its place where it has one, as `end a (A1)`.
    #[must_use]
    pub fn call(&self) -> String {
        match &self.end.place {
            Some(place) => format!("end {} ({})", self.name, place.key()),
            None => format!("end {}", self.name),
        }
    }
}

impl<'a> TendonAt<'a> {
    /// The mark, or `#3` for the third tendon where it has none.
    #[must_use]
    pub fn mark(&self) -> String {
        match self.tendon.mark.as_deref() {
            Some(mark) => mark.to_owned(),
            None => format!("#{}", self.position + 1),
        }
    }

    /// Whether the tendon need not be replaceable, as stated; silence does not say so.
    #[must_use]
    pub fn stays(&self) -> bool {
        self.tendon.replaceable == Some(false)
    }

    /// The ends that are stated.
    pub fn ends(&self) -> impl Iterator<Item = EndAt<'a>> + use<'a> {
        let route = self.route.field("ends");
        self.tendon.stated_ends().map(move |(name, end)| EndAt {
            name,
            end,
            route: route.field(restrand_model::reflect::Choice::word(name)),
        })
    }
}

/// What rules see: the schedule, what its reading met, the rulebook in force, and which day it is.
pub struct Context<'a> {
    /// The schedule.
    pub schedule: &'a Schedule,
    /// What its reading met.
    pub problems: &'a [Problem],
    /// What only the author of the file can say.
    pub questions: &'a [Question],
    /// The texts of cells that read differently from their values; only corrections look at them.
    pub texts: Option<&'a Provenance>,
    /// The rulebook in force.
    pub book: &'a Rulebook,
    /// The day that counts as today: ages are counted up to it.
    pub as_of: Date,
    /// Anchorages and forms with their parts, and ends and deviators that override some.
    pub assemblies: Vec<Assembly<'a>>,
    index: HashMap<(&'static str, &'a str), usize>,
    lost: HashSet<(u32, u32, String)>,
    lost_columns: HashSet<(&'static str, String)>,
    alignment: Result<Alignment, NoPath>,
    /// By tendon, laid out when the first rule asks.
    paths: Vec<OnceLock<Result<LaidTendon, NoPath>>>,
    /// What stands across the section, sorted out when the first rule asks.
    across: OnceLock<Across>,
    ways: Ways<'a>,
    /// By tendon and end, worked out when the first rule asks.
    jack_needs: Vec<[OnceLock<Result<JackNeeds, &'static str>>; 2]>,
    /// What the bridge loses with each tendon out, worked out when somebody asks.
    bridge_out: OnceLock<Result<BridgeOut, NotKnown>>,
    /// By tendon and end, worked out when the first rule asks.
    obstacles: Vec<[OnceLock<Obstacles>; 2]>,
}

/// What is in the way behind an end, or the field without which it is not known.
type Obstacles = Result<Vec<Obstacle>, &'static str>;

/// The position of an end among the two.
const fn index_of(name: EndName) -> usize {
    match name {
        EndName::A => 0,
        EndName::B => 1,
    }
}

impl<'a> Context<'a> {
    /// The context of a reading, on the day that counts as today.
    #[must_use]
    pub fn new(
        schedule: &'a Schedule,
        problems: &'a [Problem],
        questions: &'a [Question],
        book: &'a Rulebook,
        as_of: Date,
    ) -> Self {
        let mut index = HashMap::new();
        let root: &dyn Record = schedule;
        for field in root.info().fields {
            if let View::List(list) = root.get(field.name) {
                for position in 0..list.len() {
                    if let View::Record(record) = list.item(position)
                        && let Some(key) = record.key()
                    {
                        index.entry((field.name, key)).or_insert(position);
                    }
                }
            }
        }
        let mut lost = HashSet::new();
        let mut lost_columns = HashSet::new();
        for problem in problems.iter().filter(|problem| problem.kind == ProblemKind::ValueLost) {
            if let Some((table, position)) = problem.record.get() {
                if let Some(path) = problem.path() {
                    // A list whose items were lost was stated all the same.
                    if let Some((list, item)) = path.rsplit_once('.')
                        && item.parse::<usize>().is_ok()
                    {
                        lost.insert((table, position, list.to_owned()));
                    }
                    lost.insert((table, position, path));
                }
            } else if let Some(column) = column_of(&problem.subject) {
                lost_columns.insert(column);
            }
        }
        let misnamed = problems.iter().filter(|problem| problem.kind == ProblemKind::Misnamed);
        lost_columns.extend(misnamed.filter_map(|problem| column_of(&problem.subject)));
        for question in questions {
            let Some((_, path)) = question.subject.split_once('.') else { continue };
            for (table, position) in question.records.iter().filter_map(|record| record.get()) {
                lost.insert((table, position, path.to_owned()));
            }
        }
        let mut context = Self {
            schedule,
            problems,
            questions,
            texts: None,
            book,
            as_of,
            assemblies: Vec::new(),
            index,
            lost,
            lost_columns,
            alignment: tendon_path::alignment_of(schedule),
            paths: schedule.tendons.iter().map(|_| OnceLock::new()).collect(),
            across: OnceLock::new(),
            ways: Ways::default(),
            jack_needs: schedule.tendons.iter().map(|_| Default::default()).collect(),
            bridge_out: OnceLock::new(),
            obstacles: schedule.tendons.iter().map(|_| Default::default()).collect(),
        };
        context.assemblies = assembly::of(&context);
        context.ways = Ways::of(&context);
        context
    }

    /// The same with the texts of cells as they were given.
    #[must_use]
    pub fn with_texts(mut self, texts: &'a Provenance) -> Self {
        self.texts = Some(texts);
        self
    }

    /// The limit of this key.
    ///
    /// A rulebook is taken into force only if it has every limit of the catalogue, so that a rule may ask
    /// for its own without looking.
    ///
    /// # Panics
    /// The rule asks for a limit that it did not declare.
    #[must_use]
    pub fn limit(&self, key: LimitKey) -> &'a Limit {
        match self.book.limit(key) {
            Some(limit) => limit,
            None => panic!("the rulebook in force has no limit {}", key.name),
        }
    }

    /// The position of the record of this key in a list of the schedule: the first, if several share it.
    #[must_use]
    pub fn position(&self, list: &'static str, key: &str) -> Option<usize> {
        self.index.get(&(list, key)).copied()
    }

    fn found<R: Listed>(&self, records: &'a [R], link: Option<&Link<R>>) -> Option<Found<'a, R>> {
        let position = self.position(R::LIST, link?.key())?;
        Some(Found { record: &records[position], route: Route::to(R::LIST, position) })
    }

    /// The strand of a tendon.
    #[must_use]
    pub fn strand(&self, tendon: &Tendon) -> Option<Found<'a, Strand>> {
        self.found(&self.schedule.strands, tendon.strand.as_ref())
    }

    /// The duct of a tendon.
    #[must_use]
    pub fn duct(&self, link: Option<&Link<Duct>>) -> Option<Found<'a, Duct>> {
        self.found(&self.schedule.ducts, link)
    }

    /// The anchorage of an end.
    #[must_use]
    pub fn anchorage(&self, end: &End) -> Option<Found<'a, Anchorage>> {
        self.found(&self.schedule.anchorages, end.anchorage.as_ref())
    }

    /// The form of a deviator.
    #[must_use]
    pub fn form(&self, deviator: &Deviator) -> Option<Found<'a, Form>> {
        self.found(&self.schedule.forms, deviator.form.as_ref())
    }

    /// The place that a link names.
    #[must_use]
    pub fn place(&self, link: Option<&Link<Place>>) -> Option<Found<'a, Place>> {
        self.found(&self.schedule.places, link)
    }

    /// The jack that a link names.
    #[must_use]
    pub fn jack(&self, link: Option<&Link<Jack>>) -> Option<Found<'a, Jack>> {
        self.found(&self.schedule.jacks, link)
    }

    /// The tendons with their routes.
    pub fn tendons(&self) -> impl Iterator<Item = TendonAt<'a>> + use<'a> {
        self.schedule.tendons.iter().enumerate().map(|(position, tendon)| TendonAt {
            tendon,
            route: Route::to("tendons", position),
            position,
        })
    }

    /// The line from which stations are laid off.
    ///
    /// # Errors
    /// Why there is none.
    pub fn alignment(&self) -> Result<&Alignment, &NoPath> {
        self.alignment.as_ref()
    }

    /// The tendon laid out in space.
    ///
    /// # Errors
    /// Why it cannot be; a rule that needs it names [`NoPath::field`].
    pub fn path(&self, at: &TendonAt<'_>) -> Result<&LaidTendon, &NoPath> {
        self.paths[at.position].get_or_init(|| tendon_path::lay(self, at.tendon)).as_ref()
    }

    /// What stands across the whole section.
    pub(crate) fn across(&self) -> &Across {
        self.across.get_or_init(|| Across::of(self.schedule))
    }

    /// What the bridge loses with each of its tendons out.
    ///
    /// # Errors
    /// The field without which no total is known, and whose it is.
    pub fn bridge_out(&self) -> Result<&BridgeOut, NotKnown> {
        self.bridge_out.get_or_init(|| works::bridge_out(self)).as_ref().map_err(|none| *none)
    }

    /// What the jack that is stated at an end takes behind the bearing plate.
    ///
    /// # Errors
    /// The field without which it is not known.
    pub fn jack_needs(
        &self,
        at: &TendonAt<'_>,
        end: &EndAt<'_>,
    ) -> Result<JackNeeds, &'static str> {
        *self.jack_needs[at.position][index_of(end.name)].get_or_init(|| {
            let jack = self.jack(end.end.jack.as_ref()).ok_or("end.jack")?;
            JackNeeds::of(self, at, end, jack.record)
        })
    }

    /// Bays and openings as ways.
    #[must_use]
    pub const fn ways(&self) -> &Ways<'a> {
        &self.ways
    }

    /// What is in the way behind an end, as stated there and in its bay.
    ///
    /// # Errors
    /// The field without which it is not known.
    pub fn obstacles(
        &self,
        at: &TendonAt<'_>,
        end: &EndAt<'_>,
    ) -> Result<&[Obstacle], &'static str> {
        self.obstacles[at.position][index_of(end.name)]
            .get_or_init(|| obstacles::of(self, at, end))
            .as_deref()
            .map_err(|field| *field)
    }

    /// The parts that hold at an end.
    #[must_use]
    pub fn end_parts(&self, end: &EndAt<'a>) -> Vec<ResolvedPart<'a>> {
        let typed = self.anchorage(end.end).map(|found| (found.route, found.record));
        resolve::end_parts(typed, end.end, &end.route)
    }

    /// The parts that hold at a deviator.
    #[must_use]
    pub fn deviator_parts(&self, deviator: &'a Deviator, route: &Route) -> Vec<ResolvedPart<'a>> {
        let typed = self.form(deviator).map(|found| (found.route, found.record));
        resolve::deviator_parts(typed, deviator, route)
    }

    /// The stage of the project; a schedule that states none is taken as the earliest.
    #[must_use]
    pub fn stage(&self) -> Stage {
        self.schedule.project.as_ref().and_then(|project| project.stage).unwrap_or(Stage::Tender)
    }

    /// The stage of a tendon: its own, or the project's.
    #[must_use]
    pub fn stage_of(&self, tendon: &Tendon) -> Stage {
        tendon.stage.unwrap_or_else(|| self.stage())
    }

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

    /// Whether the value at the end of a route, or a record on the way to it, was stated but could not be
    /// read, which is reported at its place.
    #[must_use]
    pub fn is_lost_at(&self, route: &Route) -> bool {
        if self.lost.is_empty() {
            return false;
        }
        let (record, path) = route.source(self.schedule);
        (1..=path.len()).any(|length| self.is_lost(record, &path[..length].join(".")))
    }

    /// Whether a value, or the record that holds it, was stated but could not be read, which is reported at
    /// its place.
    #[must_use]
    pub fn is_lost(&self, record: Origin, path: &str) -> bool {
        !self.lost.is_empty()
            && record.get().is_some_and(|(table, position)| {
                whole_or_within(path)
                    .any(|path| self.lost.contains(&(table, position, path.to_owned())))
            })
    }

    /// Whether the column that holds a value of this record type could not be read as a whole, which is
    /// reported at its header.
    #[must_use]
    pub fn is_lost_column(&self, record: &'static str, path: &str) -> bool {
        !self.lost_columns.is_empty() && self.lost_columns.contains(&(record, path.to_owned()))
    }
}

/// A path, and those of the records that hold it.
fn whole_or_within(path: &str) -> impl Iterator<Item = &str> {
    std::iter::successors(Some(path), |path| path.rsplit_once('.').map(|(whole, _)| whole))
}

/// The record type and the path that a column holds, of a problem with its header: `Strands: Area [in]`.
pub(crate) fn column_of(subject: &str) -> Option<(&'static str, String)> {
    let (name, header) = subject.split_once(": ")?;
    let sheet = sheet::find(name)?;
    let columns = sheet::columns_of(sheet);
    match &columns[sheet::headers_of(sheet).find(sheet::Header::read(header).label)?] {
        sheet::Column::Value { path, .. } => Some((sheet.record.name, path.join("."))),
        sheet::Column::Link { .. } => None,
    }
}

impl Context<'_> {
    /// The route to a field of a record, or to the record where it does not state the field.
    #[must_use]
    pub fn value_of(&self, record: &Route, field: &'static str) -> Route {
        let value = record.field(field);
        if matches!(value.view(self.schedule), View::Absent) { record.clone() } else { value }
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_headers_problem_leads_to_the_field_of_its_column() {
        let column = column_of("Ends: Removal space behind [mmm]");
        assert_eq!(column, Some(("end", "removal_space.behind_mm".to_owned())));
        assert_eq!(column_of("Ends: Tendon"), None);
        assert_eq!(column_of("Ends: Colour of paint"), None);
        assert_eq!(column_of("tendon.order"), None);
    }

    #[test]
    fn what_is_inside_a_lost_value_is_lost() {
        let problem = |subject: &str| Problem {
            kind: ProblemKind::ValueLost,
            place: restrand_model::reading::Place::Part { part: String::new() },
            record: Origin::new(0, 4),
            subject: subject.to_owned(),
            given: None,
            why: String::new(),
            help: String::new(),
        };
        let problems = [problem("tendon.ends"), problem("tendon.spans[#1]")];
        let (schedule, book) = (Schedule::default(), Rulebook::default());
        let day = Date::new(2031, 5, 7).unwrap();
        let context = Context::new(&schedule, &problems, &[], &book, day);
        let record = Origin::new(0, 4);
        assert!(context.is_lost(record, "ends.a.jack"));
        assert!(context.is_lost(record, "spans"));
        assert!(!context.is_lost(record, "strand"));
        assert!(!context.is_lost(Origin::new(0, 5), "ends"));
    }
}
