//! Fields that several columns claim.

use std::collections::HashSet;

use restrand_model::reading::Sureness;

use super::{Assigned, Candidate, NEAR};

/// Takes the fields that two columns claim from the weaker one, or from both if they are equal; `candidates` are the same
/// columns with their values.
pub(super) fn settle_claims(columns: &mut [Assigned], candidates: &[Candidate<'_>]) {
    settle_hidden(columns);
    settle_between(columns, candidates);
    settle_qualified(columns);
    settle_revised(columns);
}

/// Asks about a column beside which another states the same as revised: `Force (kN)` and `Rev. B force (kN)`.
fn settle_revised(columns: &mut [Assigned]) {
    for at in 0..columns.len() {
        let Some(target) = columns[at].target else { continue };
        let own = plain_words(&columns[at].header.given);
        let revises = |other: &Assigned| {
            other.target.is_none()
                && other.claim.is_none()
                && revised(&other.header.given).as_ref() == Some(&own)
        };
        let Some(other) = columns.iter().position(revises) else { continue };
        let both = vec![columns[at].index, columns[other].index];
        for one in [at, other] {
            let column = &mut columns[one];
            (column.target, column.qualified) = (None, None);
            column.readings.clear();
            column.claim = Some((target, both.clone()));
            column.sureness = Sureness::Asked;
            "2 columns state it, and one of them as revised".clone_into(&mut column.why);
        }
    }
}

/// The words of a header in small letters, sorted, without its unit.
fn plain_words(given: &str) -> Vec<String> {
    let bare = given.split(['(', '[']).next().unwrap_or(given).to_lowercase();
    let words = bare.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty());
    let mut words: Vec<String> = words.map(str::to_owned).collect();
    words.sort_unstable();
    words
}

/// The words of a header that says that it is revised, without those that say so.
fn revised(given: &str) -> Option<Vec<String>> {
    const WORDS: [&str; 7] =
        ["rev", "revised", "revision", "amended", "corrected", "updated", "latest"];
    let mut words = plain_words(given);
    let before = words.len();
    words.retain(|word| !WORDS.contains(&word.as_str()));
    let says_so = words.len() < before;
    // The letter or the number of the revision.
    if let Some(at) = words.iter().position(|word| word.chars().count() == 1)
        && before > words.len()
    {
        words.remove(at);
    }
    says_so.then_some(words)
}

/// Takes nothing from a hidden column that a shown one states, and asks where the shown one may state it.
fn settle_hidden(columns: &mut [Assigned]) {
    for at in 0..columns.len() {
        let Some(target) = columns[at].target.filter(|_| columns[at].is_hidden) else { continue };
        let scope = columns[at].header.scope;
        let shown = |other: &&Assigned| !other.is_hidden && other.header.scope == scope;
        let states = columns.iter().filter(shown).find(|other| other.target == Some(target));
        if let Some(given) = states.map(|other| other.header.given.clone()) {
            let column = &mut columns[at];
            column.target = None;
            column.sureness = Sureness::Kept;
            column.why = format!("it is hidden, and \"{given}\" states {}", target.name());
            continue;
        }
        let may_state = columns.iter().position(|other| {
            let is_near = other.qualified == Some(target) || other.nearest == Some(target);
            shown(&other) && other.target.is_none() && is_near
        });
        let Some(other) = may_state else { continue };
        let both = vec![columns[at].index, columns[other].index];
        for one in [at, other] {
            let column = &mut columns[one];
            (column.target, column.qualified) = (None, None);
            column.claim = Some((target, both.clone()));
            column.sureness = Sureness::Asked;
            "2 columns may state it, and one of them is hidden".clone_into(&mut column.why);
        }
    }
}

/// Asks nothing about a column that may state a field or not where another states it plainly.
fn settle_qualified(columns: &mut [Assigned]) {
    for at in 0..columns.len() {
        let Some(target) = columns[at].qualified else { continue };
        let scope = columns[at].header.scope;
        let plain = columns.iter().find(|other| {
            (other.target == Some(target)
                || other.claim.as_ref().is_some_and(|(claimed, _)| *claimed == target))
                && other.header.scope == scope
        });
        let Some(plain) = plain.map(|other| other.header.given.clone()) else { continue };
        let column = &mut columns[at];
        column.readings.clear();
        column.qualified = None;
        column.is_of_another = true;
        column.sureness = Sureness::Kept;
        column.why = format!("{}, and \"{plain}\" states {}", column.why, target.name());
    }
}

/// The one of the columns that state the name of a kind which names the rows: `Strand ref.` beside `Type`, if it names
/// each of them otherwise. A number beside what names each is how many there are, or counts the rows.
fn naming(columns: &[Assigned], candidates: &[Candidate<'_>], claims: &[usize]) -> Option<usize> {
    const NAMES: [&str; 4] = ["ref", "mark", "id", "code"];
    let has = |at: usize, names: &[&str]| {
        columns[at].header.words.iter().any(|word| names.contains(&word.as_str()))
    };
    let is_unique = |at: usize| {
        let mut seen = HashSet::new();
        candidates[at].values.iter().all(|cell| cell.is_blank() || seen.insert(cell.shown()))
    };
    let only = |is_so: &dyn Fn(usize) -> bool| {
        let mut so = claims.iter().copied().filter(|at| is_so(*at));
        so.next().filter(|at| so.next().is_none() && is_unique(*at))
    };
    columns[*claims.first()?].target?.name().ends_with(".id").then_some(())?;
    only(&|at| has(at, &NAMES)).or_else(|| only(&|at| !has(at, &["no"])))
}

fn settle_between(columns: &mut [Assigned], candidates: &[Candidate<'_>]) {
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
        let claims: Vec<usize> = std::iter::once(at).chain(rivals).collect();
        if let Some(at) = naming(columns, candidates, &claims) {
            for one in claims.into_iter().filter(|one| *one != at) {
                columns[one].target = None;
                columns[one].sureness = Sureness::Kept;
                columns[one].why =
                    format!("the column \"{}\" names the rows", columns[at].header.given);
            }
            continue;
        }
        let most = claims.iter().map(|one| columns[*one].score).fold(0.0, f64::max);
        let strong: Vec<usize> =
            claims.iter().copied().filter(|one| columns[*one].score > most - NEAR).collect();
        let names: Vec<String> =
            strong.iter().map(|one| format!("\"{}\"", columns[*one].header.given)).collect();
        let rivals: Vec<u32> = strong.iter().map(|one| columns[*one].index).collect();
        for one in claims {
            let is_strong = strong.contains(&one);
            let column = &mut columns[one];
            if is_strong && strong.len() == 1 {
                continue;
            }
            column.target = None;
            if is_strong {
                column.claim = Some((target, rivals.clone()));
                column.sureness = Sureness::Asked;
                column.why = format!("{} columns state it", rivals.len());
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
