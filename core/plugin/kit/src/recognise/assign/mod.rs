//! Which column states which field.

mod claims;
mod column;
mod named;
mod qualified;
mod unnamed;
mod weight;

use restrand_model::reading::Sureness;

use super::groups::names_tendons;
use super::header::HeaderText;
use super::places::are_places;
use super::scope::Scope;
use super::vocabulary::{LISTS, Target};
use super::words::words;
use crate::sheet::Cell;
use claims::settle_claims;
pub(super) use column::ANOTHER_VALUE;
use column::assign;
pub(super) use named::Named;
pub(super) use unnamed::{Unnamed, unnamed};
use weight::counts_tendons;

/// Two targets this near to each other cannot be told apart.
const NEAR: f64 = 0.02;
/// How much must speak for a table of any kind.
const ENOUGH: f64 = 2.5;
/// How much must speak for one whose rows are called tendons.
const ENOUGH_OF_TENDONS: f64 = 1.95;

/// What a column is called that names the deviator of each row, in sorted words.
const NAMING_DEVIATORS: [&[&str]; 8] = [
    &["deviator"],
    &["deviator", "no"],
    &["dev"],
    &["dev", "no"],
    &["deviation", "point"],
    &["block", "deviation"],
    &["saddle"],
    &["no", "saddle"],
];
/// Columns of tendons that make a table, however many others it has.
const SURELY: usize = 3;

/// A column of a table, before anything is known of it.
#[derive(Debug, Clone)]
pub(super) struct Candidate<'s> {
    pub(super) index: u32,
    pub(super) header: HeaderText,
    /// The unit in the row below its header.
    pub(super) below: Option<String>,
    pub(super) values: Vec<&'s Cell<'static>>,
    /// Whether it is hidden in the file.
    pub(super) is_hidden: bool,
}

/// What a column was taken for.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Assigned {
    pub(super) index: u32,
    pub(super) header: HeaderText,
    pub(super) target: Option<Target>,
    /// What it may mean, where that is a question.
    pub(super) readings: Vec<String>,
    /// The field that it states as well as others, and the positions of all that do.
    pub(super) claim: Option<(Target, Vec<u32>)>,
    /// The field that it states if a word beside the field's name does not say otherwise; that is a question.
    pub(super) qualified: Option<Target>,
    /// The field to which it comes nearest, where too little speaks for it.
    pub(super) nearest: Option<Target>,
    /// Whether its header speaks of another thing than the field to which it comes nearest.
    pub(super) is_of_another: bool,
    /// Whether it is hidden in the file.
    pub(super) is_hidden: bool,
    /// Whether it names the tendons though its header does not say so.
    pub(super) is_inferred: bool,
    pub(super) sureness: Sureness,
    pub(super) score: f64,
    pub(super) why: String,
}

impl Assigned {
    /// A column of which it is known by other ways than its header what it states.
    pub(super) fn known(index: u32, header: HeaderText, target: Target, why: &str) -> Self {
        Self {
            index,
            header,
            target: Some(target),
            readings: Vec::new(),
            claim: None,
            qualified: None,
            nearest: None,
            is_of_another: false,
            is_hidden: false,
            is_inferred: false,
            sureness: Sureness::Likely,
            score: 1.0,
            why: why.to_owned(),
        }
    }

    /// A column that states nothing that is known.
    pub(super) fn kept(index: u32, header: HeaderText) -> Self {
        Self {
            index,
            header,
            target: None,
            readings: Vec::new(),
            claim: None,
            qualified: None,
            nearest: None,
            is_of_another: false,
            is_inferred: false,
            is_hidden: false,
            sureness: Sureness::Kept,
            score: 0.0,
            why: "it is called like no field of the schedule".to_owned(),
        }
    }

    /// Whether its header names a field, and says that it is another value or one of another thing.
    const fn says_otherwise(&self) -> bool {
        self.target.is_none() && (self.is_of_another || self.qualified.is_some())
    }

    /// Whether it may mean several fields, or states one that another states as well.
    pub(super) const fn is_asked(&self) -> bool {
        !self.readings.is_empty() || self.claim.is_some()
    }
}

/// What the rows of a table are, and what each column states.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Assignment {
    /// The layout's sheet whose records the rows are.
    pub(super) list: &'static str,
    pub(super) columns: Vec<Assigned>,
    /// How much speaks for it.
    pub(super) score: f64,
    /// Whether each row is one end of a tendon.
    pub(super) per_end: bool,
    /// Whether the table tells which end an elongation is of.
    pub(super) one_is_jacked: bool,
    /// Whether each row tells it, by the end from which it is stressed.
    pub(super) jacked_in_row: bool,
}

impl Assignment {
    /// That of points whose columns are known.
    pub(super) const fn of_points(columns: Vec<Assigned>) -> Self {
        Self {
            list: "Points",
            columns,
            score: 0.0,
            per_end: false,
            one_is_jacked: false,
            jacked_in_row: false,
        }
    }

    /// Takes each row for one end of a tendon, as a mapping file says.
    pub(super) fn by_end(&mut self) {
        if self.list == "Tendons" {
            (self.per_end, self.one_is_jacked, self.jacked_in_row) = (true, true, false);
        }
    }

    /// The best assignment of columns, if enough speaks for any; one of tendons that no header names goes before a weaker
    /// one of other things. `marks` are those that other tables name.
    pub(super) fn best(columns: &[Candidate<'_>], caption: &str, marks: &Named) -> Option<Self> {
        let called = Self::best_called(columns, caption);
        if called.as_ref().is_some_and(|one| one.list == "Tendons") {
            return called;
        }
        match (unnamed(columns, marks), called) {
            (Some(Unnamed::Named(one)), Some(called)) if one.score <= called.score => Some(called),
            (Some(Unnamed::Named(one)), _) => Some(one),
            (_, called) => called,
        }
    }

    /// The best assignment of columns whose headers say what names the rows.
    fn best_called(columns: &[Candidate<'_>], caption: &str) -> Option<Self> {
        let caption = words(caption);
        let mut best: Option<Self> = None;
        for list in LISTS.iter().filter(|list| **list != "Ends") {
            let mut one = Self::of(list, columns);
            let known = one.columns.iter().filter(|column| column.target.is_some()).count();
            // Only a tendon has a field at several deviators or ends; a point or a vent stands at one place.
            if *list != "Tendons" && one.is_of_several() {
                continue;
            }
            // What is called as a place is no tendon.
            let is_of_places = one.columns.iter().zip(columns).any(|(assigned, column)| {
                names_tendons(assigned.target)
                    && are_places(column.values.iter().filter_map(|cell| match cell {
                        Cell::Text(text) => Some(&**text),
                        _ => None,
                    }))
            });
            if is_of_places {
                continue;
            }
            let names_tendons = one.columns.iter().any(|column| {
                column.target.is_some_and(|target| target.name() == "tendon.mark")
                    && column.header.words.iter().any(|word| word == "tendon")
            });
            // What a header says otherwise of a field speaks neither for the table nor against it.
            let otherwise = one.columns.iter().filter(|column| column.says_otherwise()).count();
            // A register may have many columns of its owner's; what is surely a schedule's is one all the same.
            let sure = one.columns.iter().filter(|one| one.sureness >= Sureness::Sure).count();
            let is_enough =
                known * 5 >= (one.columns.len() - otherwise) * 2 || names_tendons && sure >= SURELY;
            if !one.has_key() || known < 2 || !is_enough {
                continue;
            }
            let own = words(list);
            if own.iter().all(|word| {
                caption.iter().any(|other| other == word || other == word.trim_end_matches('s'))
            }) {
                one.score += 0.75;
            }
            let least = if names_tendons { ENOUGH_OF_TENDONS } else { ENOUGH };
            if one.score >= least && best.as_ref().is_none_or(|best| one.score > best.score + 1e-9)
            {
                best = Some(one);
            }
        }
        best
    }

    /// What the columns are if the rows are records of this list.
    pub(super) fn of(list: &'static str, columns: &[Candidate<'_>]) -> Self {
        let plain = Self::with(list, columns, false);
        if list == "Tendons" && plain.names_ends() && plain.repeats_marks(columns) {
            return Self::with(list, columns, true);
        }
        plain
    }

    fn with(list: &'static str, columns: &[Candidate<'_>], per_end: bool) -> Self {
        // A column that is called after that end alone states which one it is.
        let says_jacked = columns
            .iter()
            .any(|one| one.header.scope == Some(Scope::Stressing) && !one.header.words.is_empty());
        let rows = Rows {
            list,
            per_end,
            one_is_jacked: per_end || says_jacked,
            has_points: columns.iter().any(|one| {
                one.header.scope.is_some()
                    && one.header.words.iter().any(|word| matches!(word.as_str(), "station" | "x"))
            }),
            counts_tendons: columns.iter().any(|one| counts_tendons(&one.header)),
            has_deviators: columns.iter().any(|one| {
                let names = |word: &String| {
                    matches!(word.as_str(), "deviator" | "dev" | "deviation" | "saddle")
                };
                one.header.words.iter().any(names)
                    || one.header.tongues.iter().any(|half| half.words.iter().any(names))
            }),
            lists_deviators: columns.iter().any(|one| {
                let names = |half: &HeaderText| {
                    NAMING_DEVIATORS.iter().any(|name| half.words.iter().eq(name.iter()))
                };
                one.header.scope.is_none()
                    && (names(&one.header) || one.header.tongues.iter().any(names))
            }),
        };
        let assigned = Self::as_rows(rows, columns);
        let tells = assigned.states("tendon.stressing.from") || assigned.states_kinds(columns);
        if list == "Tendons" && !rows.one_is_jacked && tells {
            let rows = Rows { one_is_jacked: true, ..rows };
            return Self { jacked_in_row: true, ..Self::as_rows(rows, columns) };
        }
        assigned
    }

    fn as_rows(rows: Rows, columns: &[Candidate<'_>]) -> Self {
        let mut assigned: Vec<Assigned> =
            columns.iter().map(|column| assign(rows, column)).collect();
        settle_claims(&mut assigned, columns);
        let score = assigned
            .iter()
            .filter(|column| column.target.is_some() || column.is_asked())
            .map(|column| column.score)
            .sum();
        Self {
            list: rows.list,
            columns: assigned,
            score,
            per_end: rows.per_end,
            one_is_jacked: rows.one_is_jacked,
            jacked_in_row: false,
        }
    }

    /// Whether a column states the field of this name.
    fn states(&self, name: &str) -> bool {
        let mut targets = self.columns.iter().filter_map(|column| column.target);
        targets.any(|target| target.name() == name)
    }

    /// Whether columns or their groups state of both ends whether they are stressed.
    fn states_kinds(&self, columns: &[Candidate<'_>]) -> bool {
        let of_column = |end: Scope| {
            self.columns.iter().any(|column| {
                column.header.scope == Some(end)
                    && column.target.is_some_and(|target| target.name() == "end.kind")
            })
        };
        let of_group = |end: Scope| {
            let mut groups = columns.iter().filter(|column| column.header.scope == Some(end));
            groups.any(|column| {
                let place = column.header.place.as_deref().and_then(super::ends::read);
                place.and_then(super::ends::kind).is_some()
            })
        };
        [Scope::A, Scope::B].into_iter().all(|end| of_column(end) || of_group(end))
    }

    /// Whether columns of different ends or deviators state the same field.
    fn is_of_several(&self) -> bool {
        let scoped = |one: &Assigned| Some((one.target?, one.header.scope?));
        let scoped: Vec<_> = self.columns.iter().filter_map(scoped).collect();
        scoped.iter().any(|(target, scope)| {
            scoped.iter().any(|(other, of)| of != scope && other.name() == target.name())
        })
    }

    /// Whether the column that names the rows is there.
    fn has_key(&self) -> bool {
        let keys: &[&str] = match self.list {
            "Tendons" => &["tendon.mark"],
            "Points" => &["tendon_point, tendon"],
            "Deviators" => &["deviator, tendon"],
            "StressingSteps" => &["stressing_step, tendon"],
            "Measurements" => &["measurement, tendon"],
            "Vents" => &["vent, tendon"],
            "Strands" => &["strand.id", "strand.diameter_mm", "strand.grade"],
            "Ducts" => &["duct.id", "duct.outer_mm"],
            "Anchorages" => &["anchorage.id"],
            "Jacks" => &["jack.id"],
            "Places" => &["place.id"],
            "Spans" => &["span.id"],
            "Openings" => &["opening.id"],
            "Bays" => &["bay.id"],
            _ => &[],
        };
        let names: Vec<String> =
            self.columns.iter().filter_map(|column| Some(column.target?.name())).collect();
        keys.iter().any(|key| names.iter().any(|name| name == key))
    }

    fn names_ends(&self) -> bool {
        self.columns.iter().any(|column| {
            column.header.scope.is_none()
                && column
                    .target
                    .is_some_and(|target| matches!(target.name().as_str(), "end, end" | "end.kind"))
        })
    }

    /// Whether marks come more than once, or stand only at the first of several rows.
    fn repeats_marks(&self, columns: &[Candidate<'_>]) -> bool {
        let mark = self
            .columns
            .iter()
            .position(|column| column.target.is_some_and(|target| target.name() == "tendon.mark"));
        let Some(mark) = mark else { return false };
        let values = &columns[mark].values;
        let most = columns.iter().map(|column| column.values.len()).max().unwrap_or(0);
        let repeated = values.windows(2).filter(|pair| pair[0] == pair[1]).count();
        repeated * 3 >= values.len() || values.len() * 3 <= most * 2
    }
}

/// What the rows of a table are.
#[derive(Clone, Copy)]
struct Rows {
    list: &'static str,
    per_end: bool,
    /// Whether the table tells which end an elongation is of.
    one_is_jacked: bool,
    /// Whether stations of ends or deviators stand in the row.
    has_points: bool,
    /// Whether a column says of how many tendons each row is.
    counts_tendons: bool,
    /// Whether a column names deviators, or what they do.
    has_deviators: bool,
    /// Whether a column names the deviator that each row is.
    lists_deviators: bool,
}
