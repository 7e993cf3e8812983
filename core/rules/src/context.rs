//! What rules see.

mod lost;
mod required;

use std::collections::{HashMap, HashSet};
use std::sync::OnceLock;

use foldhash::fast::RandomState;
use restrand_mechanics::path::Alignment;
use restrand_model::Record;
use restrand_model::reading::{Problem, ProblemKind, Provenance, Question};
use restrand_model::reflect::{Date, Link, Listed, View};
use restrand_model::resolve::{self, Held, ResolvedPart};
use restrand_model::route::Route;
use restrand_model::schedule::{
    Anchorage, Deviator, Duct, End, EndName, Form, Jack, Place, Schedule, Stage, Strand, Tendon,
};

pub(crate) use self::lost::column_of;
use crate::assembly::{self, Assembly};
use crate::book::{Limit, Rulebook};
use crate::ends::{JackNeeds, Obstacle, Room, Standing, obstacles};
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
    /// The position of its tendon in the schedule.
    pub tendon: usize,
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
        let position = self.position;
        self.tendon.stated_ends().map(move |(name, end)| EndAt {
            tendon: position,
            name,
            end,
            route: route.field(restrand_model::reflect::Choice::word(name)),
        })
    }
}

/// What rules see: the schedule, what its reading met, the rulebook in force, and which day it is.
///
/// As it keeps what it lends of the schedule, its lifetime is that of the schedule and of nothing shorter: what borrows a
/// context names both.
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
    /// By list.
    index: Vec<(&'static str, Keys<'a>)>,
    lost: HashSet<(u32, u32, String)>,
    lost_columns: HashSet<(&'static str, String)>,
    alignment: Result<Alignment, NoPath>,
    /// By tendon, laid out when the first rule asks.
    paths: Vec<OnceLock<Result<LaidTendon, NoPath>>>,
    /// What stands across the section, sorted out when the first rule asks.
    across: OnceLock<Across>,
    ways: Ways<'a>,
    /// What stays while a tendon is worked on, sorted out when somebody asks.
    standing: OnceLock<Standing>,
    /// By tendon and end, worked out when the first rule asks.
    jack_needs: Vec<[OnceLock<Result<JackNeeds, &'static str>>; 2]>,
    /// What the bridge loses with each tendon out, worked out when somebody asks.
    bridge_out: OnceLock<Result<BridgeOut, NotKnown>>,
    /// By tendon and end, worked out when the first rule asks.
    rooms: Vec<[OnceLock<Room>; 2]>,
    /// By tendon and end, worked out when the first rule asks.
    obstacles: Vec<[OnceLock<Obstacles>; 2]>,
    /// By tendon and end, resolved when somebody asks.
    end_parts: Vec<[OnceLock<Vec<ResolvedPart<'a>>>; 2]>,
    /// By tendon and deviator, resolved when somebody asks.
    at_deviators: Vec<Vec<AtDeviator<'a>>>,
    /// By tendon, worked out when somebody asks.
    held: Vec<OnceLock<Result<Vec<works::Held>, &'static str>>>,
}

/// The first record of each key in a list, by its position; rules ask for it thousands of times.
type Keys<'a> = HashMap<&'a str, usize, RandomState>;

/// What holds at a deviator, resolved when somebody asks.
#[derive(Default)]
struct AtDeviator<'a> {
    parts: OnceLock<Vec<ResolvedPart<'a>>>,
    form: OnceLock<Option<Held<'a, Form>>>,
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
        let mut index = Vec::new();
        let root: &dyn Record = schedule;
        for (field, info) in root.info().fields.iter().enumerate() {
            if let View::List(list) = root.field(field).view() {
                let mut keys = Keys::default();
                for position in 0..list.len() {
                    if let View::Record(record) = list.item(position)
                        && let Some(key) = record.key()
                    {
                        keys.entry(key).or_insert(position);
                    }
                }
                index.push((info.name, keys));
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
            standing: OnceLock::new(),
            jack_needs: schedule.tendons.iter().map(|_| Default::default()).collect(),
            bridge_out: OnceLock::new(),
            rooms: schedule.tendons.iter().map(|_| Default::default()).collect(),
            obstacles: schedule.tendons.iter().map(|_| Default::default()).collect(),
            end_parts: schedule.tendons.iter().map(|_| Default::default()).collect(),
            at_deviators: schedule
                .tendons
                .iter()
                .map(|tendon| tendon.deviators.iter().map(|_| AtDeviator::default()).collect())
                .collect(),
            held: schedule.tendons.iter().map(|_| OnceLock::new()).collect(),
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
        let (_, keys) = self.index.iter().find(|(name, _)| *name == list)?;
        keys.get(key).copied()
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
        self.paths[at.position].get_or_init(|| tendon_path::lay(self, at)).as_ref()
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

    /// The ducts and caps that stay while a tendon is worked on.
    #[must_use]
    pub fn standing(&self) -> &Standing {
        self.standing.get_or_init(|| Standing::of(self))
    }

    /// The clear room at an end: as it is stated, and where it is not, as the bay behind it gives it.
    #[must_use]
    pub fn room(&self, at: &TendonAt<'_>, end: &EndAt<'_>) -> &Room {
        self.rooms[at.position][index_of(end.name)].get_or_init(|| Room::of(self, at, end))
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
    pub fn end_parts(&self, end: &EndAt<'_>) -> &[ResolvedPart<'a>] {
        self.end_parts[end.tendon][index_of(end.name)].get_or_init(|| {
            let mut stated = self.schedule.tendons[end.tendon].stated_ends();
            let Some((_, own)) = stated.find(|(name, _)| *name == end.name) else {
                unreachable!("an end is made of one that its tendon states");
            };
            let typed = self.anchorage(own).map(|found| (found.route, found.record));
            resolve::end_parts(typed, own, &end.route)
        })
    }

    /// The parts that hold at a deviator, by its position in the tendon's list.
    #[must_use]
    pub fn deviator_parts(&self, at: &TendonAt<'_>, index: usize) -> &[ResolvedPart<'a>] {
        self.at_deviators[at.position][index].parts.get_or_init(|| {
            let deviator = &self.schedule.tendons[at.position].deviators[index];
            let typed = self.form(deviator).map(|found| (found.route, found.record));
            resolve::deviator_parts(typed, deviator, &at.route.field("deviators").item(index))
        })
    }

    /// The form as it holds at a deviator, by its position in the tendon's list: the kind's dimensions, and the deviator's
    /// where it states its own.
    #[must_use]
    pub fn form_at(&self, at: &TendonAt<'_>, index: usize) -> Option<&Form> {
        let form = &self.at_deviators[at.position][index].form;
        let form = form.get_or_init(|| {
            let deviator = &self.schedule.tendons[at.position].deviators[index];
            self.form(deviator).map(|found| resolve::form_at(found.record, deviator))
        });
        form.as_deref()
    }

    /// Where the tendon passes concrete, in the order along it: its deviators, what stands over the whole section, and the
    /// places in which it is anchored.
    ///
    /// # Errors
    /// The field without which it is not known.
    pub fn held(&self, at: &TendonAt<'_>) -> Result<&[works::Held], &'static str> {
        self.held[at.position]
            .get_or_init(|| works::find_held(self, at))
            .as_deref()
            .map_err(|field| *field)
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
}

impl Context<'_> {
    /// The route to a field of a record, or to the record where it does not state the field.
    #[must_use]
    pub fn value_of(&self, record: &Route, field: &'static str) -> Route {
        let value = record.field(field);
        if matches!(value.view(self.schedule), View::Absent) { record.clone() } else { value }
    }
}

#[cfg(test)]
mod tests;
