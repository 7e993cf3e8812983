//! What a sentence says of tendons by name with nothing more than a value: `Ducts: cement grout. T2: wax`.
//!
//! It speaks of the field of which the note speaks, and takes out of the rule what it names.

use std::collections::BTreeSet;

use super::quantities::quantities;
use super::{Given, accounted, ends, tendons, whose};

/// The value that a sentence gives to the field `path` of which the sentence before it speaks, where it names tendons or
/// begins with a place: `T2: 8 mm`, `At end B 4 mm`.
pub(super) fn continued(sentence: &str, path: &[&'static str], names_some: bool) -> Option<Given> {
    const PLACED: [&str; 14] = [
        "at ", "for ", "in ", "on ", "am ", "im ", "an ", "bei ", "für ", "en ", "à ", "au ",
        "aux ", "pour ",
    ];
    let words = match path {
        ["stressing", "mu"] => "mu = ",
        ["stressing", "wobble_per_m" | "unintended_angle_rad_per_m"] => "k = ",
        ["stressing", "set_mm"] => "draw-in ",
        ["stressing", "jacking_share"] => "jacked to ",
        _ => return None,
    };
    let lower = sentence.trim().to_lowercase();
    let is_placed = PLACED.iter().any(|word| lower.starts_with(word));
    let all = quantities(sentence);
    // A number behind another may be that of other tendons.
    if !(is_placed || names_some && all.len() == 1) {
        return None;
    }
    let of_same = |given: &Given| given.path.last() == path.last() || given.path == ["set_mm"];
    all.iter().rev().find_map(|one| {
        let said = tendons::read(&format!("{words}{}", one.from())).ok()?;
        let mut said = said.into_iter().find(of_same)?;
        if said.list == "Tendons"
            && path == ["stressing", "set_mm"]
            && let end @ Some(_) = ends::at(one)
        {
            said = Given { list: "Ends", path: &["set_mm"], end, ..said };
        }
        Some(said)
    })
}

/// The clauses of a sentence that names several fillers, where each names one and says of which tendons it is, as in
/// `T1, T2: wax, all others cement grout`; the first may be the rule of all.
pub(super) fn clauses(sentence: &str, marks: &BTreeSet<String>) -> Option<Vec<String>> {
    let fillers = |text: &str| tendons::named(&text.to_lowercase()).len();
    if fillers(sentence) < 2 {
        return None;
    }
    let mut clauses: Vec<String> = Vec::new();
    // Marks before the words that they belong to.
    let mut waiting = String::new();
    for part in sentence.replace(['(', ')', ';'], ", ").split(", ").map(str::trim) {
        let says = fillers(part) > 0;
        match clauses.last_mut() {
            _ if part.is_empty() => {}
            _ if says => {
                clauses.push(format!("{waiting}{part}"));
                waiting.clear();
            }
            Some(last) if !whose::names_some(part, marks) => {
                last.push_str(", ");
                last.push_str(part);
            }
            _ => {
                waiting.push_str(part);
                waiting.push_str(", ");
            }
        }
    }
    let is_told = |(at, clause): (usize, &String)| {
        fillers(clause) == 1
            && (at == 0 || whose::names_some(clause, marks) || whose::names_others(clause))
    };
    (waiting.is_empty() && clauses.len() > 1 && clauses.iter().enumerate().all(is_told))
        .then_some(clauses)
}

/// The filler that a sentence names without saying that it fills, where it names no other.
pub(super) fn filler(sentence: &str) -> Option<Given> {
    let mut named = tendons::named(&sentence.to_lowercase());
    named.pop().filter(|_| named.is_empty())
}

/// Whether a sentence says what was, and not how it came about: `T2 was cement grout`.
pub(super) fn is_past(sentence: &str) -> bool {
    const WAS: [&str; 8] =
        ["was", "were", "previously", "formerly", "originally", "war", "waren", "était"];
    const CAME: [&str; 10] = [
        "filled",
        "injected",
        "grouted",
        "pumped",
        "waxed",
        "greased",
        "verfüllt",
        "verpresst",
        "injecté",
        "rempli",
    ];
    let lower = sentence.to_lowercase();
    let mut words = accounted::words(&lower);
    let says = |list: &[&str]| {
        accounted::words(&lower).any(|word| list.iter().any(|one| word.starts_with(one)))
    };
    words.any(|word| WAS.contains(&word)) && !says(&CAME)
}

/// What a sentence with marks leaves open: it speaks of a field and gives no value that can be told, or sends elsewhere
/// behind a rule: `T2: filler to be decided`, `Ducts: wax. T2: see drawing 17`.
pub(super) fn untold(sentence: &str, field: Option<&'static [&'static str]>) -> Option<Given> {
    const SPEAKS_OF: [(&[&str], &[&str]); 4] = [
        (&["filler", "filling", "füllgut", "füllung", "grout", "verpress", "coulis"], &["filler"]),
        (&["mu", "µ", "μ", "friction", "reib", "frottement"], &["stressing", "mu"]),
        (&["wobble", "ungewollt"], &["stressing", "wobble_per_m"]),
        (&["draw-in", "slip", "seating", "schlupf", "keilschlupf"], &["stressing", "set_mm"]),
    ];
    const ELSEWHERE: [&str; 6] = ["see", "per", "siehe", "voir", "refer", "differs"];
    let lower = sentence.to_lowercase();
    let words: Vec<&str> = accounted::words(&lower).collect();
    let is_said = |wanted: &&str| match wanted.chars().count() {
        0..=2 => words.contains(wanted),
        _ => words.iter().any(|word| word.starts_with(*wanted)),
    };
    let named = SPEAKS_OF.iter().find(|(wanted, _)| wanted.iter().any(is_said));
    let elsewhere = || field.filter(|_| ELSEWHERE.iter().any(|word| words.contains(word)));
    let path = named.map(|(_, path)| *path).or_else(elsewhere)?;
    Some(Given::untold("Tendons", path, sentence.trim()))
}
