//! Which column states which field.

use restrand_model::quantity::Unit;
use restrand_model::reading::Sureness;
use restrand_model::reflect::Shape;
use restrand_model::sheet::Column;

use super::fit::fit;
use super::header::HeaderText;
use super::scope::Scope;
use super::vocabulary::{LISTS, Target, Vocabulary, target_of};
use super::words::{sorted, words};
use crate::sheet::Cell;

/// Below this a header says too little of a field.
const LEAST: f64 = 0.5;
/// Two targets this near to each other cannot be told apart.
const NEAR: f64 = 0.02;
/// How well the values of a column fit at least, whose header states a unit of the field, or speaks against one value.
const HEADER_SPEAKS: f64 = 0.4;
/// How much must speak for a table of any kind.
const ENOUGH: f64 = 2.5;
/// How much must speak for one whose rows are called tendons.
const ENOUGH_OF_TENDONS: f64 = 1.95;
/// Below this one of two tongues says too little.
const TONGUE: f64 = 0.8;
/// From here on nothing speaks against a target.
const SURE: f64 = 0.93;

/// Words that say no more of an end than that it is one.
const AT_AN_END: [&str; 4] = ["anchorage", "plate", "bearing", "face"];
/// Words that say from where a measure is taken, and nothing of what it is.
const DATUMS: [&str; 9] = [
    "cl",
    "centreline",
    "centerline",
    "box",
    "axis",
    "baseline",
    "datum",
    "bridge",
    "construction",
];
/// What a header counts that is known without the words of its datum.
const WITHOUT_DATUM: f64 = 0.97;
/// What a header counts of which one of two tongues is known.
const ONE_TONGUE: f64 = 0.97;
/// What a header counts that is known without the words of its group, as `Geometry › Length`.
const WITHOUT_GROUP: f64 = 0.8;
/// Headers over which the words of the cells alone tell that they are kinds of ends.
const OVER_KINDS: [&[&str]; 6] =
    [&["anchorage"], &["anchorage", "type"], &["type"], &["end", "type"], &["end"], &["kind"]];

/// A column of a table, before anything is known of it.
#[derive(Debug, Clone)]
pub(super) struct Candidate<'s> {
    pub(super) index: u32,
    pub(super) header: HeaderText,
    /// The unit in the row below its header.
    pub(super) below: Option<String>,
    pub(super) values: Vec<&'s Cell<'static>>,
}

/// What a column was taken for.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Assigned {
    pub(super) index: u32,
    pub(super) header: HeaderText,
    pub(super) target: Option<Target>,
    /// What it may mean, where that is a question.
    pub(super) readings: Vec<String>,
    pub(super) sureness: Sureness,
    pub(super) score: f64,
    pub(super) why: String,
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
}

impl Assignment {
    /// The best assignment of columns, if enough speaks for any.
    pub(super) fn best(columns: &[Candidate<'_>], caption: &str) -> Option<Self> {
        let caption = words(caption);
        let mut best: Option<Self> = None;
        for list in LISTS.iter().filter(|list| **list != "Ends") {
            let mut one = Self::of(list, columns);
            let known = one.columns.iter().filter(|column| column.target.is_some()).count();
            if !one.has_key() || known < 2 || known * 5 < one.columns.len() * 2 {
                continue;
            }
            let own = words(list);
            if own.iter().all(|word| {
                caption.iter().any(|other| other == word || other == word.trim_end_matches('s'))
            }) {
                one.score += 0.75;
            }
            let names_tendons = one.columns.iter().any(|column| {
                column.target.is_some_and(|target| target.name() == "tendon.mark")
                    && column.header.words.iter().any(|word| word == "tendon")
            });
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
        let says_jacked = columns.iter().any(|one| one.header.scope == Some(Scope::Stressing));
        let rows = Rows {
            list,
            per_end,
            one_is_jacked: per_end || says_jacked,
            has_points: columns.iter().any(|one| {
                one.header.scope.is_some()
                    && one.header.words.iter().any(|word| matches!(word.as_str(), "station" | "x"))
            }),
        };
        let mut assigned: Vec<Assigned> =
            columns.iter().map(|column| assign(rows, column)).collect();
        settle_claims(&mut assigned);
        let score = assigned
            .iter()
            .filter(|column| column.target.is_some() || !column.readings.is_empty())
            .map(|column| column.score)
            .sum();
        Self { list, columns: assigned, score, per_end, one_is_jacked: rows.one_is_jacked }
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

/// Takes the fields that two columns claim from the weaker one, or from both if they are equal.
fn settle_claims(columns: &mut [Assigned]) {
    for at in 0..columns.len() {
        let Some(target) = columns[at].target else { continue };
        let scope = columns[at].header.scope;
        let rivals: Vec<usize> = (at + 1..columns.len())
            .filter(|other| {
                columns[*other].target == Some(target) && columns[*other].header.scope == scope
            })
            .collect();
        if rivals.is_empty() {
            continue;
        }
        let mut claims = rivals;
        claims.push(at);
        let most = claims.iter().map(|one| columns[*one].score).fold(0.0, f64::max);
        let strong: Vec<usize> =
            claims.iter().copied().filter(|one| columns[*one].score > most - NEAR).collect();
        let names: Vec<String> =
            strong.iter().map(|one| format!("\"{}\"", columns[*one].header.given)).collect();
        for one in claims {
            let is_strong = strong.contains(&one);
            let column = &mut columns[one];
            if is_strong && strong.len() == 1 {
                continue;
            }
            column.target = None;
            if is_strong {
                column.readings = names
                    .iter()
                    .map(|name| format!("{} from the column {name}", target.name()))
                    .collect();
                column.sureness = Sureness::Asked;
                column.why = format!("{} columns claim {}", names.len(), target.name());
            } else {
                column.sureness = Sureness::Kept;
                column.why = format!(
                    "the column {} states {} more clearly",
                    names.join(", "),
                    target.name()
                );
            }
        }
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
}

/// What a column is, by its header as a whole, or else by one of the tongues in which it is written.
fn assign(rows: Rows, column: &Candidate<'_>) -> Assigned {
    let whole = assign_as(rows, column, &column.header);
    if whole.target.is_some() || !whole.readings.is_empty() {
        return whole;
    }
    let mut halves: Vec<Assigned> = column
        .header
        .tongues
        .iter()
        .map(|half| assign_as(rows, column, half))
        .filter(|half| half.target.is_some() && half.score >= TONGUE)
        .collect();
    halves.sort_by(|one, other| other.score.total_cmp(&one.score));
    let mut halves = halves.into_iter();
    let (first, second) = (halves.next(), halves.next());
    match (first, second) {
        (None, _) => whole,
        (Some(first), Some(second)) if first.target != second.target => Assigned {
            readings: [first.target, second.target]
                .into_iter()
                .flatten()
                .map(Target::name)
                .collect(),
            sureness: Sureness::Asked,
            score: second.score,
            why: "its header names two fields".to_owned(),
            ..whole
        },
        (Some(first), _) => {
            let header = HeaderText {
                given: column.header.given.clone(),
                units: column.header.units.clone(),
                sign: column.header.sign,
                ..first.header
            };
            let score = first.score * ONE_TONGUE;
            Assigned { header, score, why: format!("{} in one tongue", first.why), ..first }
        }
    }
}

fn assign_as(rows: Rows, column: &Candidate<'_>, header: &HeaderText) -> Assigned {
    let mut scored: Vec<(Target, f64, f64, bool)> = Vec::new();
    let mut add = |wanted: &[String], drop_scope: bool, factor: f64| {
        for (target, words) in Vocabulary::get().find(wanted) {
            let weight = weight(rows, target, header, drop_scope) * factor;
            if weight == 0.0 || counts_a_measure(column, header, target) {
                continue;
            }
            let mut fits = fit(target, &column.values);
            // One value alone says little against a header that is called so.
            let is_called_so = words >= 1.0 && column.values.len() == 1;
            if states_unit(header, target) || is_called_so {
                fits = fits.max(HEADER_SPEAKS);
            }
            // Only values tell that they are descriptions.
            let is_described = matches!(target, Target::Described(_));
            if is_described
                && (fits < 0.6 || column.values.is_empty() || measures_other(column, header))
            {
                continue;
            }
            // A description says more than the name of what it describes.
            let bonus = if is_described { 0.05 } else { 0.0 };
            let score = words * weight * (0.3 + 0.7 * fits) + bonus;
            match scored.iter_mut().find(|(other, ..)| *other == target) {
                Some(kept) if kept.1 < score => *kept = (target, score, fits, drop_scope),
                Some(_) => {}
                None => scored.push((target, score, fits, drop_scope)),
            }
        }
    };
    add(&header.words, false, 1.0);
    let without: Vec<String> =
        header.words.iter().filter(|word| !DATUMS.contains(&word.as_str())).cloned().collect();
    if !without.is_empty() && without.len() < header.words.len() {
        add(&without, false, WITHOUT_DATUM);
    }
    if header.own != header.words && !header.own.is_empty() && !header.group.is_empty() {
        add(&header.own, false, WITHOUT_GROUP);
    }
    if header.scope.is_some() {
        // Whatever lies at an end lies at its anchorage.
        let bare: Vec<String> = header
            .words
            .iter()
            .filter(|word| !AT_AN_END.contains(&word.as_str()))
            .cloned()
            .collect();
        if !bare.is_empty() && bare.len() < header.words.len() {
            add(&bare, false, 1.0);
        }
        let whole = sorted(words(&header.given));
        add(&whole, true, 1.0);
        for end in ["a", "b"] {
            if header.scope == Some(if end == "a" { Scope::A } else { Scope::B }) {
                let mut named = header.words.clone();
                named.extend(["end".to_owned(), end.to_owned()]);
                add(&sorted(named), true, 1.0);
            }
        }
    }
    if let Some(kind) = over_kinds(rows, column, header) {
        scored.retain(|(target, ..)| target.list() != Some("Ends"));
        scored.push((kind, weight(rows, kind, header, false), 1.0, false));
    }
    scored.sort_by(|one, other| other.1.total_cmp(&one.1).then(one.0.cmp(&other.0)));
    let mut given = header.clone();
    let mut result = Assigned {
        index: column.index,
        header: header.clone(),
        target: None,
        readings: Vec::new(),
        sureness: Sureness::Kept,
        score: 0.0,
        why: "no field is called so".to_owned(),
    };
    let Some((target, score, fits, drop_scope)) =
        scored.first().copied().filter(|best| best.1 >= LEAST)
    else {
        if let Some((target, ..)) = scored.first() {
            result.why =
                format!("the nearest field is {}, and too little speaks for it", target.name());
        }
        return result;
    };
    if drop_scope {
        given.scope = None;
        result.header = given;
    }
    result.score = score.min(1.0);
    let rivals: Vec<Target> = scored
        .iter()
        .filter(|other| other.1 > score - NEAR && other.0 != target)
        .map(|other| other.0)
        .collect();
    if !rivals.is_empty() && !matches!(target, Target::Described(_)) {
        result.readings = std::iter::once(target).chain(rivals).map(Target::name).collect();
        result.sureness = Sureness::Asked;
        "its header is used for several fields".clone_into(&mut result.why);
        return result;
    }
    result.target = Some(target);
    result.sureness = if score >= SURE { Sureness::Sure } else { Sureness::Likely };
    result.why = match (score >= SURE, fits >= 0.99) {
        (true, _) => "its header is called so, and its values fit".to_owned(),
        (false, true) => "its header comes nearest, and its values fit".to_owned(),
        (false, false) => {
            format!("its header says so, though only {:.0} % of its values fit", fits * 100.0)
        }
    };
    result
}

/// The kind of an end, if the cells below a header of ends or anchorages hold the words of kinds and nothing else.
fn over_kinds(rows: Rows, column: &Candidate<'_>, header: &HeaderText) -> Option<Target> {
    let is_over = OVER_KINDS
        .iter()
        .any(|words| words.iter().copied().eq(header.words.iter().map(String::as_str)));
    if rows.list != "Tendons" || !is_over || column.values.is_empty() {
        return None;
    }
    // Where each row is an end, its name may be such a word.
    if header.scope.is_none() && header.words == ["end"] {
        return None;
    }
    let kind = target_of("Ends", "kind")?;
    (fit(kind, &column.values) >= 1.0).then_some(kind)
}

/// Whether what a target counts or names is said to be measured, as the metres of `Total strand (m)`.
fn counts_a_measure(column: &Candidate<'_>, header: &HeaderText, target: Target) -> bool {
    let Some(Column::Value { field, unit: None, .. }) = target.column() else { return false };
    let is_counted = matches!(
        field.0.shape,
        Shape::Count
            | Shape::Counts
            | Shape::Choice(_)
            | Shape::Choices(_)
            | Shape::Flag
            | Shape::Date
    );
    let mut units = header.units.iter().chain(&column.below);
    is_counted
        && units.any(|unit| {
            let unit = unit.trim_end_matches('.');
            !matches!(unit, "T" | "t") && Unit::find_any(unit).is_some()
        })
}

/// Whether a unit is stated that is of no size of strand or duct.
fn measures_other(column: &Candidate<'_>, header: &HeaderText) -> bool {
    header.units.iter().chain(&column.below).any(|unit| {
        let unit = unit.trim_end_matches('.');
        !matches!(unit, "T" | "t" | "mm" | "in" | "inch" | "inches")
            && Unit::find_any(unit).is_some()
    })
}

/// Whether a header states a unit of what the target measures.
fn states_unit(header: &HeaderText, target: Target) -> bool {
    let Some(Column::Value { unit: Some(own), .. }) = target.column() else { return false };
    header.units.iter().any(|unit| Unit::find(unit, own.dimension).is_some())
}

/// How much a target counts under a header in a table of this list; nothing if it cannot be meant.
fn weight(rows: Rows, target: Target, header: &HeaderText, drop_scope: bool) -> f64 {
    let Rows { list, per_end, one_is_jacked, has_points } = rows;
    let Some(own) = target.list() else {
        let described = matches!(list, "Tendons")
            && !matches!(target, Target::Column(..))
            && header.scope.is_none();
        return if described { 1.0 } else { 0.0 };
    };
    let scope = if drop_scope { None } else { header.scope };
    let name = target.name();
    let has = |word: &str| header.words.iter().any(|other| other == word);
    if list != "Tendons" {
        return if own == list { 1.0 } else { 0.0 };
    }
    // What is said of one strand is not the tendon's.
    let lower = header.given.to_lowercase();
    if matches!(own, "Tendons")
        && name.ends_with("_kn")
        && ["per strand", "each strand", "/strand", "/ strand", "one strand", "single strand"]
            .iter()
            .any(|words| lower.contains(words))
    {
        return 0.0;
    }
    match own {
        // Where each end has a row of its own, the set is that end's.
        "Tendons" if per_end && name == "tendon.stressing.set_mm" => 0.85,
        // It goes to the end that is jacked, whose name the rows or the stations tell.
        "Tendons"
            if one_is_jacked
                && !drop_scope
                && matches!(
                    name.as_str(),
                    "tendon.stressing.elongation_b_mm" | "tendon.stressing.seated_force_b_kn"
                ) =>
        {
            0.0
        }
        // Nothing tells the end at which it was left.
        "Tendons" if !per_end && !drop_scope && name == "tendon.stressing.seated_force_a_kn" => 0.4,
        "Tendons" if !drop_scope && name == "tendon.stressing.seated_force_b_kn" => 0.4,
        "Tendons" if !drop_scope && name == "tendon.stressing.elongation_a_mm" => {
            if matches!(header.scope, None | Some(Scope::Stressing)) { 1.0 } else { 0.4 }
        }
        "Tendons" => match scope {
            None => 1.0,
            Some(_) => 0.4,
        },
        "Ends" if name == "end, tendon" => 0.0,
        "Ends" if name == "end, end" && scope.is_some() => 0.0,
        "Ends" if name == "end, end" => 1.0,
        "Ends" if scope.is_some_and(|scope| !scope.is_end()) => 0.0,
        "Ends" => match (scope, per_end) {
            (Some(_), _) => 1.0,
            // The number of strands is that of the tendon.
            (None, true) if name == "end.strand_count" => 0.85,
            (None, true) => 1.0,
            (None, false) if name == "end.kind" => 0.9,
            (None, false) => 0.8,
        },
        "Points" if name == "tendon_point, tendon" || name == "tendon_point.id" => 0.0,
        // The point at an end has the place of the end.
        "Points" if name == "tendon_point.place" => 0.0,
        "Points" => match (scope, per_end) {
            (Some(_), _) | (None, true) => 0.97,
            // One offset or level holds for all points of the row.
            (None, false)
                if has_points
                    && matches!(
                        name.as_str(),
                        "tendon_point.lateral_m" | "tendon_point.elevation_m"
                    ) =>
            {
                0.95
            }
            (None, false) => 0.0,
        },
        "Strands" if name == "strand.id" => 0.0,
        "Strands" => {
            let is_telling = has("strand")
                || matches!(
                    name.as_str(),
                    "strand.grade"
                        | "strand.fpu_mpa"
                        | "strand.breaking_force_kn"
                        | "strand.relaxation"
                );
            if is_telling && scope.is_none() { 0.96 } else { 0.0 }
        }
        "Ducts" if name == "duct.id" => 0.0,
        "Ducts" => {
            let is_telling = has("duct") || has("pipe") || name == "duct.dimension_ratio";
            if is_telling && scope.is_none() { 0.96 } else { 0.0 }
        }
        _ => 0.0,
    }
}
