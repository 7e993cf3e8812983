//! Which words of a sentence nobody accounts for.
//!
//! What is stated with a word that is not understood may be of fewer tendons, of a part of them, or of another thing:
//! `Stay cables filled with wax`, `mu = 0.25 at pier 3`, `Filler: wax (trumpets)`. A statement is of all tendons only
//! where each word of it is one of its field, of the source that it quotes, or says nothing of which are meant.

mod lists;

use std::collections::BTreeSet;

use restrand_model::quantity::Unit;

use super::super::tongues::{is_binding, of_any_field, of_field};
use super::Given;
use super::quantities::{Quantity, quantities};
use lists as of;

/// What a sentence may speak of, for words that are those of a field alone.
pub(super) fn groups(said: &[Given]) -> Vec<&'static str> {
    let mut groups: Vec<&'static str> = Vec::new();
    for one in said {
        let group: &'static str = match (one.list, one.path) {
            ("Strands", _) => of::STRAND,
            ("Ducts", _) => of::DUCT,
            (_, ["filler"]) => of::FILLER,
            (_, ["situation"]) => of::SITUATION,
            (_, ["stressing", "mu" | "wobble_per_m" | "unintended_angle_rad_per_m"]) => {
                of::FRICTION
            }
            (_, ["stressing", "jacking_share"]) => of::SHARE,
            (_, ["stressing", "from"]) => of::FROM,
            (_, ["stressing", "set_mm"] | ["set_mm"]) => of::SET,
            _ => continue,
        };
        if !groups.contains(&group) {
            groups.push(group);
        }
    }
    groups
}

/// The words of a sentence that are accounted for by nothing, where it states these values.
///
/// `known` are words that what stands round the note explains: marks that it names, words of titles. `names_some`
/// says whether it names tendons by their marks.
pub(super) fn left(
    sentence: &str,
    said: &[Given],
    known: &BTreeSet<String>,
    names_some: bool,
) -> Vec<String> {
    let mut groups = groups(said);
    if names_some {
        groups.push(of::OF_NAMED);
    }
    let names = said.iter().flat_map(|one| of_field(&target_name(one))).collect();
    let bare = without_other_tongue(sentence, &names, &groups, known);
    let mut left = words_left(bare, &groups, known);
    left.extend(numbers_left(sentence, said, names_some));
    left
}

/// The words of a text that say of which tendons it speaks, and are accounted for by nothing.
pub(super) fn qualifiers(text: &str, known: &BTreeSet<String>) -> Vec<String> {
    let groups = [of::FILLER, of::FRICTION, of::SET, of::SHARE, of::STRAND, of::DUCT];
    let names = of_any_field().collect();
    words_left(without_other_tongue(text, &names, &groups, known), &groups, known)
}

/// Whether a text names tendons, or what all of them have.
pub(super) fn names_tendons(text: &str) -> bool {
    let lower = text.to_lowercase();
    let mut words = words(&lower).flat_map(|word| word.split(['-', '/']));
    words.any(|word| {
        // Of other tendons too, whose name is put together with theirs.
        matches(of::TENDONS, word)
            || matches(of::PARTS, word) && !word.starts_with("pipe")
            || word.contains("spannglied")
    })
}

/// Whether a label names tendons, what they have, or what is stated of them, and no code: `Ducts`, `µ`.
pub(super) fn is_thing(label: &str) -> bool {
    let lower = label.to_lowercase();
    let is_of_field = |word: &str| {
        matches(of::FRICTION, word)
            || word.chars().count() > 2 && (matches(of::FILLER, word) || matches(of::SET, word))
    };
    names_tendons(&lower) || words(&lower).any(is_of_field)
}

fn words_left(sentence: &str, groups: &[&'static str], known: &BTreeSet<String>) -> Vec<String> {
    let mut left: Vec<String> = Vec::new();
    let mut in_source = false;
    let mut all = words(sentence).peekable();
    while let Some(written) = all.next() {
        let word = written.to_lowercase();
        let is_source = in_source
            && (matches(of::IN_SOURCE, &word)
                || word.chars().any(|c| c.is_ascii_digit())
                || word.chars().count() == 1);
        let opens = is_organisation(written) || matches(of::OPENS_SOURCE, &word);
        if opens || is_source {
            in_source = true;
            continue;
        }
        let is_link = matches!(&*word, "of" | "the" | "and" | "to" | "on" | "with" | "in" | "&");
        in_source = in_source && is_link;
        let is_year =
            is_year(&word) && all.peek().is_none_or(|next| !is_measure(&next.to_lowercase()));
        if (is_year || !is_accounted(&word, groups, known)) && !left.contains(&word) {
            left.push(word);
        }
    }
    left
}

/// A sentence without the name in another tongue with which it begins, as `Rientro cunei / Wedge draw-in: 6 mm`: each
/// of its words is one of these `names` of what is stated, and behind the stroke all words up to the value are
/// accounted for.
///
/// Any other word may say of which tendons, parts or states it is: `Left web / Wedge draw-in: 8 mm`.
fn without_other_tongue<'s>(
    sentence: &'s str,
    names: &BTreeSet<&str>,
    groups: &[&'static str],
    known: &BTreeSet<String>,
) -> &'s str {
    let Some((name, rest)) = sentence.split_once(" / ") else { return sentence };
    let number = |c: char| c.is_ascii_digit() || matches!(c, '.' | ')' | '(' | ' ');
    let name = name.trim_start_matches(number).to_lowercase();
    let end = rest.find([':', '=']).unwrap_or(rest.len());
    let mut called = words(&name).filter(|word| !is_binding(word)).peekable();
    let is_name = called.peek().is_some() && called.all(|word| names.contains(word));
    let mut own = words(&rest[..end]).map(str::to_lowercase).peekable();
    let is_known = own.peek().is_some() && own.all(|word| is_accounted(&word, groups, known));
    if is_name && is_known { rest } else { sentence }
}

/// The name of the target that a value is of; what is stated of ends is a tendon's too.
fn target_name(said: &Given) -> String {
    match (said.list, said.path) {
        ("Strands", _) => "strand".to_owned(),
        ("Ducts", _) => "duct".to_owned(),
        ("Ends", ["set_mm"]) => "tendon.stressing.set_mm".to_owned(),
        (_, path) => format!("tendon.{}", path.join(".")),
    }
}

/// The words of a text without the marks round them.
pub(super) fn words(text: &str) -> impl Iterator<Item = &str> {
    text.split(|c: char| c.is_whitespace() || ",;:()[]{}&=<>|\"″”“„«»*•…≈~#".contains(c))
        // `w/` is with, and no letter that names something.
        .map(|word| if word.eq_ignore_ascii_case("w/") { "with" } else { word })
        .map(|word| word.trim_matches(['.', '\'', '’', '-', '–', '—', '/', '!', '?', '\u{a0}']))
        .filter(|word| !word.is_empty())
}

fn is_accounted(word: &str, groups: &[&'static str], known: &BTreeSet<String>) -> bool {
    let is_word = |word: &str| {
        matches(of::PLAIN, word)
            || matches(of::TENDONS, word)
            || matches(of::OF_TENDONS, word)
            || matches(of::PARTS, word)
            || groups.iter().any(|group| matches(group, word))
            || known.contains(word)
    };
    let is_one = |word: &str| {
        word.is_empty()
            || is_word(word)
            || ["d'", "d’", "l'", "l’"]
                .iter()
                .any(|elided| word.strip_prefix(elided).is_some_and(is_word))
            || is_measure(word)
            // `SDR17`, `Gr270`, `Ø15.7`
            || word.find(|c: char| c.is_ascii_digit()).is_some_and(|at| {
                let (name, number) = word.split_at(at);
                (name.chars().count() > 1 || "ø⌀φ∅".contains(name))
                    && !name.is_empty()
                    && is_word(name)
                    && is_measure(number)
            })
            || is_designation(word)
    };
    is_one(word) || word.split(['/', '-', '–', '+', '×']).all(is_one)
}

/// Whether a word is a number, with or without its unit, or a unit.
pub(super) fn is_measure(word: &str) -> bool {
    let number = word.trim_start_matches(['±', '+', '-', '.', ',', '<', '>', '≤', '≥']);
    let end = number
        .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',' | '\'' | '’')))
        .unwrap_or(number.len());
    let unit = number[end..].trim_start_matches(['-', '/']);
    let is_unit = |unit: &str| {
        Unit::find_any(unit).is_some() || matches!(unit, "%" | "‰" | "°" | "°c" | "°f" | "º")
    };
    (end > 0 && unit.is_empty()) || is_unit(unit) || end == 0 && is_unit(word)
}

/// Whether a number may be a year, of which what is stated may be no longer true.
fn is_year(word: &str) -> bool {
    word.len() == 4 && word.parse::<u16>().is_ok_and(|year| (1900..2100).contains(&year))
}

/// Whether a word in small letters is the name of a strand, as `y1860s7-15.7`.
fn is_designation(word: &str) -> bool {
    let Some(rest) = word.strip_prefix('y') else { return false };
    rest.bytes().take_while(u8::is_ascii_digit).count() == 4
}

/// The numbers beside a stated one of which nothing tells what they are: `mu = 0.12 in ducts, 0.18 elsewhere`.
fn numbers_left(sentence: &str, said: &[Given], names_some: bool) -> Vec<String> {
    let of_tendons = |one: &&Given| matches!(one.list, "Tendons" | "Ends");
    if !said.iter().any(|one| one.list == "Strands")
        && let Some(counted) = counted_strands(sentence)
    {
        return vec![counted];
    }
    let numbers: Vec<&Given> =
        said.iter().filter(of_tendons).filter(|one| one.value.as_number().is_some()).collect();
    if said.iter().any(|one| one.list == "Strands") {
        return Vec::new();
    }
    if numbers.is_empty() {
        let counts = !names_some && said.iter().any(|one| of_tendons(&one));
        return if counts { bare_counts(sentence) } else { Vec::new() };
    }
    let is_taken = |one: &Quantity<'_>| {
        numbers.iter().any(|given| given.shown.starts_with(one.shown(None)))
            // `5.10.5.2` is the number of a clause.
            || one.shown(None).matches('.').count() > 1
            || says_what(one.before)
            || is_conversion(one)
    };
    let all = quantities(sentence);
    all.iter().filter(|one| !is_taken(one)).map(|one| one.shown(None).to_owned()).collect()
}

/// Bare numbers beside a word that is stated, which may name or count tendons: `Wax: tendons 1 and 3`.
fn bare_counts(sentence: &str) -> Vec<String> {
    let all: Vec<&str> = words(sentence).collect();
    let is_count = |at: usize| {
        let is_number = all[at].len() <= 3 && all[at].bytes().all(|byte| byte.is_ascii_digit());
        let before = at.checked_sub(1).map_or("", |before| all[before]);
        let behind = all.get(at + 1).copied().unwrap_or_default();
        let is_of_tendons = |word: &str| {
            let lower = word.to_lowercase();
            matches(of::TENDONS, &lower) || matches!(&*lower, "of" | "and" | "to" | "&" | "von")
        };
        is_number && !says_what(before) && (is_of_tendons(before) || is_of_tendons(behind))
    };
    (0..all.len()).filter(|at| is_count(*at)).map(|at| all[at].to_owned()).collect()
}

/// A number of strands by which a sentence tells its tendons from others: `tendons with 19 strands`.
fn counted_strands(sentence: &str) -> Option<String> {
    let lower = sentence.to_lowercase();
    let all: Vec<&str> = words(&lower).collect();
    let pair = all.windows(2).find(|pair| {
        pair[0].bytes().all(|byte| byte.is_ascii_digit())
            && ["strand", "litze", "toron"].iter().any(|word| pair[1].starts_with(word))
    })?;
    Some(pair.join(" "))
}

/// Whether the words right before a number say what it is: a sign of its own, or the source in which it stands.
fn says_what(before: &str) -> bool {
    let near = before.trim_end_matches([' ', '=', ':', '(', '\u{a0}', '.', '°', '"']);
    let word = near.rsplit(|c: char| c.is_whitespace() || ",;:(=".contains(c)).next();
    let word = word.unwrap_or_default().trim_end_matches('.');
    let lower = word.to_lowercase();
    is_organisation(word)
        || matches(of::OPENS_SOURCE, &lower) && lower != "per"
        || matches(of::IN_SOURCE, &lower)
        || matches!(
            &*lower,
            "k" | "mu" | "µ" | "μ" | "end" | "ends" | "±" | "+/-" | "after" | "from"
        )
        || before.trim().is_empty() && !before.is_empty()
        || before.ends_with(['±', '/'])
}

/// Whether a number in brackets is the one before it in another unit: `6 mm (1/4 in)`.
pub(super) fn is_conversion(one: &Quantity<'_>) -> bool {
    let before = one.before.trim_end().strip_suffix('(').map(str::trim);
    before.is_some_and(|unit| Unit::find_any(unit).is_some() || matches!(unit, "\"" | "″" | "”"))
}

/// Whether a word is the name of an organisation of standards, which stands in capitals.
fn is_organisation(word: &str) -> bool {
    of::ORGANISATIONS.split(' ').any(|name| name == word)
}

/// Whether a word is one of a list in which a star stands for any letters.
fn matches(list: &str, word: &str) -> bool {
    list.split(' ').any(|one| match (one.strip_suffix('*'), one.strip_prefix('*')) {
        (Some(stem), _) => word.starts_with(stem),
        (None, Some(stem)) => word.ends_with(stem),
        (None, None) => one == word,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn left_of(text: &str, path: &'static [&'static str]) -> Vec<String> {
        let said = [Given::text("Tendons", path, "", "")];
        left(text, &said, &BTreeSet::from(["t1".to_owned()]), false)
    }

    #[test]
    fn words_that_nobody_accounts_for_are_left() {
        for (text, words) in [
            ("All ducts are filled with wax to spec. section 462.", &[][..]),
            ("Ducts in section 3 filled with wax", &["section"]),
            ("Filled with wax (EN 447:2007, clause B3), T1", &[]),
            ("Tendons B3 filled with wax", &["b3"]),
            ("wax injected at 90°C", &[]),
            ("wax since 2019", &["since", "2019"]),
            ("Non-shrink cement-grout", &[]),
            ("Deck-slab tendons: wax", &["deck-slab"]),
            ("Korrosionsschutzwachs in Querspanngliedern", &["querspanngliedern"]),
            ("Gaines d'acier : cire", &["d'acier"]),
        ] {
            assert_eq!(left_of(text, &["filler"]), words, "{text}");
        }
        // Words of one field say nothing of another.
        assert_eq!(left_of("Wax at anchorages", &["filler"]), ["anchorages"]);
        assert_eq!(left_of("Draw-in 6 mm at anchorages", &["stressing", "set_mm"]), [""; 0]);
    }

    #[test]
    fn numbers_that_nothing_explains_are_left() {
        let left = |text: &str| {
            let said = [Given::number("Tendons", &["stressing", "set_mm"], 6.0, "6 mm")];
            left(text, &said, &BTreeSet::new(), false)
        };
        assert_eq!(left("Draw-in 6 mm (1/4 in), tolerance"), ["tolerance"]);
        assert_eq!(left("Draw-in 6 mm, 8 mm"), ["8"]);
        assert_eq!(left("Draw-in 6 mm to EN 1992-1-1"), [""; 0]);
    }
}
