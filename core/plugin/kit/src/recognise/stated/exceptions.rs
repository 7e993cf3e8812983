//! What a sentence says of tendons by name with nothing more than a value: `Ducts: cement grout. T2: wax`.
//!
//! It speaks of the field of which the note speaks, and takes out of the rule what it names.

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
    let mut all = quantities(sentence);
    all.retain(|one| !accounted::is_conversion(one));
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

/// Whether a word in small letters names grout alone, which beside another filler is that of cement.
pub(super) fn is_grout(word: &str) -> bool {
    matches!(word, "grout" | "grouted" | "coulis")
}

/// A clause of a sentence on several fillers, in which grout is called by its full name.
pub(super) fn in_full(clause: &str) -> String {
    if !tendons::named(&clause.to_lowercase()).is_empty() {
        return clause.to_owned();
    }
    let is_part = |c: char| !c.is_alphanumeric();
    let word = clause.split(is_part).find(|word| is_grout(&word.to_lowercase()));
    word.map_or_else(|| clause.to_owned(), |word| clause.replacen(word, "cement grout", 1))
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
    let field_of_number = || field.filter(|path| *path != ["filler"] && is_number_alone(sentence));
    let elsewhere = || field.filter(|_| ELSEWHERE.iter().any(|word| words.contains(word)));
    let path = named.map(|(_, path)| *path).or_else(elsewhere).or_else(field_of_number)?;
    Some(Given::untold("Tendons", path, sentence.trim()))
}

/// Whether a sentence is a number, with or without its unit, behind the name of what it is of: `T2: 0.14`.
fn is_number_alone(sentence: &str) -> bool {
    let value = sentence.split_once([':', '=']).map(|(_, value)| value.trim());
    value.is_some_and(|value| {
        value.starts_with(|c: char| c.is_ascii_digit())
            && accounted::words(&value.to_lowercase()).all(accounted::is_measure)
    })
}

/// Whether a sentence that stands in a cell of its own goes on with what the note above it states: it takes tendons out,
/// or gives them a bare value.
pub(super) fn goes_on(sentence: &str) -> bool {
    is_number_alone(sentence) || without_but(sentence).is_some()
}

/// What stands behind the word with which a sentence takes out of what was said before: `Except T2: grout`.
pub(super) fn without_but(sentence: &str) -> Option<&str> {
    let sentence = sentence.trim();
    let (word, rest) = sentence.split_once(char::is_whitespace)?;
    let is_of_all = || {
        let lower = rest.to_lowercase();
        accounted::words(&lower).any(|word| matches!(word, "all" | "alle" | "tous" | "toutes"))
    };
    (whose::takes_out(&word.to_lowercase()) && !is_of_all()).then_some(rest)
}

/// The filler of tendons that are said to be grouted in a note on another filler.
pub(super) fn grouted(sentence: &str) -> Option<Given> {
    let word = sentence.split(|c: char| !c.is_alphanumeric());
    let mut word = word.filter(|word| is_grout(&word.to_lowercase()));
    let shown = word.next()?;
    tendons::named("cement grout").pop().map(|one| Given { shown: shown.to_owned(), ..one })
}

/// A sentence that names tendons without the asides that tell what these are, and no more: `T2: grout (trial tendon)`.
pub(super) fn without_asides(sentence: &str) -> String {
    const WHAT_THEY_ARE: [&str; 13] = [
        "trial",
        "test",
        "existing",
        "new",
        "replaced",
        "longest",
        "shortest",
        "monitored",
        "versuch",
        "bestehend",
        "neu",
        "existant",
        "essai",
    ];
    let is_of_tendons = |aside: &str| {
        let lower = aside.to_lowercase();
        let mut words = accounted::words(&lower).peekable();
        words.peek().is_some()
            && words.all(|word| {
                matches!(word, "a" | "the" | "de" | "d'essai")
                    || accounted::names_tendons(word)
                    || WHAT_THEY_ARE.contains(&word)
            })
    };
    let mut kept = sentence.to_owned();
    let mut from = 0;
    while let Some(open) = kept[from..].find('(').map(|at| from + at)
        && let Some(close) = kept[open..].find(')').map(|at| open + at)
    {
        match is_of_tendons(&kept[open + 1..close]) {
            true => kept.replace_range(open..=close, ""),
            false => from = close,
        }
    }
    kept
}
