//! What the words of a header say that are not those of the field's name: that the value is another than the field's,
//! or one of another thing.

use restrand_model::reflect::Shape;
use restrand_model::sheet::Column;

use super::super::header::HeaderText;
use super::super::scope::Scope;
use super::super::vocabulary::{Says, Target, Vocabulary, changes_in_group, says};
use super::super::words::{sorted, words};

/// Words by which groups of headers name ends.
const NAMING_ENDS: [&str; 7] =
    ["stressing", "dead", "end", "anchorage", "plate", "face", "bearing"];

/// What a header says beside the name of a field.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Qualified {
    /// Nothing that changes what it states.
    Plain,
    /// Of which other thing the value is.
    OfAnother(String),
    /// By which word the value may be another.
    Another(String),
}

/// All words of a header, those of its end among them, and those of what groups it.
pub(super) struct Wording {
    pub(super) all: Vec<String>,
    group: Vec<String>,
}

impl Wording {
    pub(super) fn of(header: &HeaderText) -> Self {
        let mut all = header.words.clone();
        all.extend(words(&header.given));
        match header.scope {
            Some(Scope::A) => all.extend(["end", "a"].map(str::to_owned)),
            Some(Scope::B) => all.extend(["end", "b"].map(str::to_owned)),
            _ => {}
        }
        Self { all: sorted(all), group: words(&header.group) }
    }
}

/// What a header says beside the name of the field for which it is to be taken.
pub(super) fn qualified(target: Target, header: &HeaderText, wording: &Wording) -> Qualified {
    let list = target.list().unwrap_or("Tendons");
    let (field, is_measured) = match target.column() {
        Some(Column::Value { field, .. }) => {
            (field.0.name, matches!(field.0.shape, Shape::Number | Shape::Count))
        }
        Some(Column::Link { .. }) => ("", false),
        None => ("", false),
    };
    if is_measured && field != "lateral_m" && is_deviation(&header.given) {
        return Qualified::Another("±".to_owned());
    }
    let explained = Vocabulary::get().explained(target, &wording.all, &header.own);
    let is_rest = |word: &&String| !explained.contains(word);
    let named = |word: &str| written(&header.given, word);
    for word in header.own.iter().filter(is_rest) {
        match says(word, list, field) {
            Says::Another => return Qualified::Another(named(word)),
            Says::OfAnother if field != "mark" => return Qualified::OfAnother(named(word)),
            Says::Unknown if is_measured => return Qualified::Another(named(word)),
            _ => {}
        }
    }
    // `Jack at` is where one stands, and no jack.
    let last = header.given.rsplit(" › ").next().and_then(|own| own.split_whitespace().next_back());
    if let Some(last) =
        last.filter(|last| matches!(last.to_lowercase().as_str(), "at" | "from" | "to" | "by"))
        && matches!(target.column(), Some(Column::Value { .. }))
        && !matches!(field, "from" | "place")
    {
        return Qualified::OfAnother(last.to_owned());
    }
    // The name of an end stands in a group as well.
    let is_of_end = |word: &&String| header.scope.is_some() && NAMING_ENDS.contains(&word.as_str());
    let group = wording.group.iter().filter(is_rest).filter(|word| !header.own.contains(word));
    let group = group.filter(|word| !is_of_end(word));
    for word in group.filter(|_| is_measured) {
        if says(word, list, field) == Says::OfAnother {
            return Qualified::OfAnother(named(word));
        }
        if changes_in_group(word, field) {
            return Qualified::Another(named(word));
        }
    }
    // A force alone may be any; that of the design is hardly the one at the jack.
    let is_bare = explained.iter().all(|word| matches!(word.as_str(), "force" | "tendon" | "load"));
    if field == "jacking_force_kn" && is_bare && header.given.to_lowercase().contains("design") {
        return Qualified::Another("design".to_owned());
    }
    Qualified::Plain
}

/// Whether a word is known to say that the value of a target is another.
pub(super) fn changes(word: &str, target: Target) -> bool {
    let field = match target.column() {
        Some(Column::Value { field, .. }) => field.0.name,
        _ => "",
    };
    says(word, target.list().unwrap_or("Tendons"), field) == Says::Another
}

/// Whether a header speaks of what a value may differ by: `+/- (mm)`, `+5 %`.
fn is_deviation(given: &str) -> bool {
    let own = given.rsplit(" › ").next().unwrap_or(given);
    let is_share = |sign: char| {
        own.split(sign).skip(1).any(|behind| {
            let rest = behind.trim_start();
            let digits = rest.trim_start_matches(|letter: char| letter.is_ascii_digit());
            digits.len() < rest.len() && digits.trim_start().starts_with('%')
        })
    };
    own.contains('±') || own.contains("+/-") || own.contains("+-") || is_share('+') || is_share('-')
}

/// A word as the header writes it.
fn written(given: &str, word: &str) -> String {
    given
        .split(|letter: char| !letter.is_alphanumeric())
        .find(|part| words(part).iter().any(|one| one == word))
        .unwrap_or(word)
        .to_owned()
}
