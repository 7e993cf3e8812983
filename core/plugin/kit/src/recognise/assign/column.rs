//! What one column is, by its header as a whole, or else by one of the tongues in which it is written.

use std::cell::OnceCell;

use restrand_model::reading::Sureness;
use restrand_model::reflect::{FieldInfo, Shape};

use super::super::fit::fit;
use super::super::header::HeaderText;
use super::super::scope::Scope;
use super::super::vocabulary::{DATUMS, Target, Vocabulary, Word, fields_of, target_of, word};
use super::super::words::{sorted, words};
use super::qualified::{Qualified, Wording, changes, qualified};
use super::weight::{
    counts_a_measure, is_no_volume, is_of_all_strands, measures_other, states_unit, weight,
};
use super::{Assigned, Candidate, NEAR, Rows};
use crate::sheet::Cell;

/// Below this a header says too little of a field.
const LEAST: f64 = 0.5;
/// How well the values of a column fit at least, whose header states a unit of the field, or speaks against one value.
const HEADER_SPEAKS: f64 = 0.4;
/// Below this one of two tongues says too little.
const TONGUE: f64 = 0.75;
/// From here on nothing speaks against a target.
const SURE: f64 = 0.93;

/// Words that say no more of an end than that it is one.
const AT_AN_END: [&str; 4] = ["anchorage", "plate", "bearing", "face"];
/// What a header counts that is known without the words of its datum.
const WITHOUT_DATUM: f64 = 0.97;
/// What a header counts of which one of two tongues is known.
const ONE_TONGUE: f64 = 0.97;
/// What a header counts that is known without the words of its group, as `Geometry › Length`.
const WITHOUT_GROUP: f64 = 0.8;
/// What a header counts that says by its codes alone what it states.
const OF_CODES: f64 = 0.9;
/// What a header means that may state a field or not.
pub(in crate::recognise) const ANOTHER_VALUE: &str =
    "another value, which is kept under its header";
/// Headers over which the words of the cells alone tell that they are kinds of ends.
const OVER_KINDS: [&[&str]; 6] =
    [&["anchorage"], &["anchorage", "type"], &["type"], &["end", "type"], &["end"], &["kind"]];

/// What a column is, by its header as a whole, or else by one of the tongues in which it is written.
pub(super) fn assign(rows: Rows, column: &Candidate<'_>) -> Assigned {
    let whole = assign_as(rows, column, &column.header);
    if let Some(two) = two_named(&column.header)
        && whole.target.is_some_and(|target| two.contains(&target))
    {
        return Assigned {
            target: None,
            readings: two.map(Target::name).to_vec(),
            sureness: Sureness::Asked,
            why: "its header names two fields".to_owned(),
            ..whole
        };
    }
    // A word that nobody knows may be that of the other tongue; one that says otherwise is asked.
    let is_unknown_alone = whole.qualified.is_some_and(|target| {
        let all = Wording::of(&column.header).all;
        let explained = Vocabulary::get().explained(target, &all, &column.header.own);
        let said = |word: &String| explained.contains(word) || !changes(word, target);
        !column.header.tongues.is_empty() && column.header.words.iter().all(said)
    });
    if whole.target.is_some() || !whole.readings.is_empty() && !is_unknown_alone {
        return whole;
    }
    let mut halves: Vec<Assigned> = column
        .header
        .tongues
        .iter()
        .map(|half| assign_as(rows, column, half))
        .filter(|half| half.target.is_some() && half.score >= TONGUE)
        .filter(|half| !is_unknown_alone || half.target == whole.qualified)
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

/// The two fields that a header with a stroke names, of which the last word holds for both halves: `Service / Jacking
/// force`.
fn two_named(header: &HeaderText) -> Option<[Target; 2]> {
    let [one, other] = header.tongues.as_slice() else { return None };
    let is_own = |word: &String| other.words.contains(word);
    let mut behind = other.given.split_whitespace().rev().map(words);
    let last = behind.find(|words| !words.is_empty() && words.iter().all(is_own))?;
    let named = |words: &[String]| {
        let found = Vocabulary::get().find(words);
        found.into_iter().find(|(_, score)| *score >= 1.0).map(|(target, _)| target)
    };
    // `Strands / tendon` is one name.
    if other.words.len() <= last.len() {
        return None;
    }
    let with_last = sorted(one.words.iter().chain(&last).cloned().collect());
    let two = [named(&with_last)?, named(&other.words)?];
    (two[0] != two[1] && two[0].list() == two[1].list()).then_some(two)
}

fn assign_as(rows: Rows, column: &Candidate<'_>, header: &HeaderText) -> Assigned {
    if let Some(asked) = bare_size(rows, column, header) {
        return asked;
    }
    let mut scored: Vec<(Target, f64, f64, bool)> = Vec::new();
    let mut another: Option<String> = None;
    let wording = OnceCell::new();
    let mut add = |wanted: &[String], drop_scope: bool, factor: f64| {
        for (target, words) in Vocabulary::get().find(wanted) {
            let weight = weight(rows, target, header, drop_scope) * factor;
            if weight == 0.0
                || counts_a_measure(column, header, target)
                || is_no_volume(column, header, target)
            {
                continue;
            }
            if is_of_all_strands(rows, column, header, target) {
                another.get_or_insert_with(|| {
                    format!("its values are more than {} of one strand can be", target.name())
                });
                continue;
            }
            let mut fits = fit(target, &column.values, &header.codes);
            // One value alone says little against a header that is called so.
            let is_called_so =
                words >= 1.0 && column.values.len() == 1 && target.name() != "deviator.form";
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
            // What is too weak to be taken need not be looked at further.
            if score >= LEAST
                && let Qualified::OfAnother(word) =
                    qualified(target, header, wording.get_or_init(|| Wording::of(header)))
            {
                another.get_or_insert_with(|| {
                    format!("\"{word}\" in its header says that it is of another thing")
                });
                continue;
            }
            match scored.iter_mut().find(|(other, ..)| *other == target) {
                Some(kept) if kept.1 < score => *kept = (target, score, fits, drop_scope),
                Some(_) => {}
                None => scored.push((target, score, fits, drop_scope)),
            }
        }
    };
    add(&header.words, false, 1.0);
    if let Some(volume) = named_volume(header) {
        add(&volume, false, 1.0);
    }
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
    if let Some(coded) = of_codes(&header.codes).filter(|_| header.explains)
        && !scored.iter().any(|(target, ..)| *target == coded)
    {
        let weight = weight(rows, coded, header, false);
        scored.push((coded, weight * OF_CODES, 1.0, false));
    }
    scored.sort_by(|one, other| other.1.total_cmp(&one.1).then(one.0.cmp(&other.0)));
    let mut given = header.clone();
    let mut result = Assigned {
        index: column.index,
        header: header.clone(),
        target: None,
        readings: Vec::new(),
        claim: None,
        qualified: None,
        nearest: scored.first().map(|(target, ..)| *target),
        is_of_another: another.is_some(),
        is_hidden: column.is_hidden,
        is_inferred: false,
        sureness: Sureness::Kept,
        score: 0.0,
        why: another.unwrap_or_else(|| "no field is called so".to_owned()),
    };
    let Some((target, score, fits, drop_scope)) =
        scored.first().copied().filter(|best| best.1 >= LEAST)
    else {
        if let Some((target, ..)) = scored.first() {
            result.why =
                format!("the nearest field is {}, and too little speaks for it", target.said());
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
    let wording = wording.get_or_init(|| Wording::of(header));
    let why = match qualified(target, header, wording) {
        Qualified::Another(word) => {
            Some(format!("\"{word}\" in its header can mean another value"))
        }
        _ if rows.counts_tendons && is_total(header, target) => {
            Some("its rows are of several tendons, and it can be the total of these".to_owned())
        }
        _ => None,
    };
    if let Some(why) = why {
        result.readings = vec![target.name(), ANOTHER_VALUE.to_owned()];
        result.qualified = Some(target);
        result.sureness = Sureness::Asked;
        result.why = why;
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

/// The name of the volume that a header says by a filler and its unit, as `Wax (l)`.
fn named_volume(header: &HeaderText) -> Option<Vec<String>> {
    let [filler] = header.words.as_slice() else { return None };
    let volume = target_of("Tendons", "fill.volume_l")?;
    let is_volume = matches!(filler.as_str(), "wax" | "grease") && states_unit(header, volume);
    is_volume.then(|| sorted(vec![filler.clone(), "volume".to_owned()]))
}

/// A question which diameter `Duct (mm)` over numbers states.
fn bare_size(rows: Rows, column: &Candidate<'_>, header: &HeaderText) -> Option<Assigned> {
    let is_number = |cell: &Cell<'_>| match cell {
        Cell::Number(_) => true,
        Cell::Text(text) => text.trim().parse::<f64>().is_ok(),
        _ => false,
    };
    let is_bare = rows.list == "Tendons"
        && matches!(header.words.as_slice(), [word] if matches!(word.as_str(), "duct" | "pipe"))
        && header
            .units
            .iter()
            .chain(&column.below)
            .any(|unit| matches!(unit.as_str(), "mm" | "in"))
        && !column.values.is_empty()
        && column.values.iter().all(|cell| is_number(cell));
    let sizes = [target_of("Ducts", "outer_mm")?, target_of("Ducts", "inner_mm")?];
    is_bare.then(|| Assigned {
        index: column.index,
        header: header.clone(),
        target: None,
        readings: sizes.map(Target::name).to_vec(),
        claim: None,
        qualified: None,
        nearest: Some(sizes[0]),
        is_of_another: false,
        is_hidden: column.is_hidden,
        is_inferred: false,
        sureness: Sureness::Asked,
        score: LEAST,
        why: "it does not say whether the outer or the inner diameter is meant".to_owned(),
    })
}

/// Whether a header speaks of a total of what a tendon has, as `Total force`.
fn is_total(header: &HeaderText, target: Target) -> bool {
    let is_of_tendons = target.list() == Some("Tendons");
    is_of_tendons && header.own.iter().any(|word| matches!(word.as_str(), "total" | "overall"))
}

/// The one field of whose list all codes that a header explains are words.
fn of_codes(codes: &[(String, String)]) -> Option<Target> {
    if codes.is_empty() {
        return None;
    }
    let takes = |(_, field): &(Target, &'static FieldInfo)| match field.shape {
        Shape::Choice(list) => {
            codes.iter().all(|(_, meaning)| matches!(word(field, list, meaning), Word::Is(_)))
        }
        _ => false,
    };
    let mut fields = ["Tendons", "Ends"].into_iter().flat_map(fields_of).filter(takes);
    match (fields.next(), fields.next()) {
        (Some((target, _)), None) => Some(target),
        _ => None,
    }
}

/// The kind of an end, if the cells below a header of ends or anchorages hold the words of kinds and nothing else.
fn over_kinds(rows: Rows, column: &Candidate<'_>, header: &HeaderText) -> Option<Target> {
    let is_over = OVER_KINDS
        .iter()
        .any(|words| words.iter().copied().eq(header.words.iter().map(String::as_str)))
        || header.words.is_empty() && header.scope.is_some_and(Scope::is_end);
    if rows.list != "Tendons" || !is_over || column.values.is_empty() {
        return None;
    }
    // Where each row is an end, its name may be such a word.
    if header.scope.is_none() && header.words == ["end"] {
        return None;
    }
    let kind = target_of("Ends", "kind")?;
    (fit(kind, &column.values, &header.codes) >= 1.0).then_some(kind)
}
