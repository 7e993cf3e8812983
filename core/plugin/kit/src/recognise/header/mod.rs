//! What a header says: its words, its unit, and of which end it speaks.

mod codes;
mod datum;
mod size;
mod units;

use restrand_model::quantity::Unit;

use super::scope::{self, Scope};
use super::sign::{self, Sign};
use super::vocabulary::Vocabulary;
use super::words::{sorted, words};
pub(super) use datum::unit_above_datum;
pub(super) use size::StrandSize;
use size::take_size;
pub(super) use units::is_unit;
use units::{is_plain_unit, push, take_units};
pub(crate) use units::{is_surely_unit, is_unit_below};

/// A header, taken apart.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct HeaderText {
    /// As it stands in the file, the headers above it before it.
    pub(super) given: String,
    /// Its words without unit and end, sorted.
    pub(super) words: Vec<String>,
    /// The words of its lowest part, where others stand above it.
    pub(super) own: Vec<String>,
    /// What stands above its lowest part.
    pub(super) group: String,
    /// The end or deviator it speaks of.
    pub(super) scope: Option<Scope>,
    /// The same, even where it is part of the field's name, as in `Elongation A`.
    pub(super) said: Option<Scope>,
    /// Where that lies, as `END A (Abut. S)` says.
    pub(super) place: Option<String>,
    /// Whether the end is told by the order of the columns alone.
    pub(super) by_order: bool,
    /// The units that it names; several are a question.
    pub(super) units: Vec<String>,
    /// The size of strand that it names, as `No. of 0.6" Ø strands`.
    pub(super) size: Option<StrandSize>,
    /// What it says of the sign of offsets.
    pub(super) sign: Option<Sign>,
    /// What the codes below it mean, as it says itself, or as the headers beside it do.
    pub(super) codes: Vec<(String, String)>,
    /// Whether it says it itself.
    pub(super) explains: bool,
    /// What it says in each of two tongues, as `Câble / Tendon`.
    pub(super) tongues: Vec<HeaderText>,
}

impl HeaderText {
    /// Takes a header apart; `parts` are the texts above each other, the topmost first.
    pub(super) fn read(parts: &[&str]) -> Self {
        let mut header = Self::one(parts);
        if let Some((last, above)) = parts.split_last()
            && let Some(halves) = tongues(last)
        {
            // What groups it may be in both tongues as well, in the same order.
            let in_tongue = |at: usize| {
                let groups = above.iter().copied();
                let groups = groups.map(|part| tongues(part).map_or(part, |halves| halves[at]));
                Self::one(&groups.chain([halves[at]]).collect::<Vec<_>>())
            };
            header.tongues = (0..halves.len()).map(in_tongue).collect();
        }
        header
    }

    fn one(parts: &[&str]) -> Self {
        let mut kept: Vec<&str> = Vec::new();
        for part in parts {
            if !part.is_empty() && kept.last() != Some(part) {
                kept.push(part);
            }
        }
        let joined: Vec<String> =
            kept.iter().map(|part| part.split_whitespace().collect::<Vec<_>>().join(" ")).collect();
        let given = joined.join(" › ");
        let mut read = Read::default();
        let lower = given.to_lowercase();
        let sign = sign::read(&lower);
        let mut codes = Vec::new();
        for (level, part) in kept.iter().enumerate() {
            let (bare, found) = codes::take(part);
            codes.extend(found);
            read.part(&bare, level, kept.len(), lower.contains("strand"));
        }
        let Read { mut all, mut own, mut units, size, place, mut scope } = read;
        // It stands before what it is per cent of: `Jacking % GUTS`.
        if units.is_empty() && given.contains('%') {
            push(&mut units, "%");
        }
        if sign.is_some() {
            for words in [&mut all, &mut own] {
                words.retain(|word| {
                    !matches!(
                        word.as_str(),
                        "left" | "right" | "positive" | "ve" | "r" | "l" | "outward" | "pos"
                    )
                });
            }
        }
        let rest = match scope {
            Some(_) => all,
            None => {
                let (found, rest) = scope::of_words(all);
                scope = found;
                rest
            }
        };
        let group = joined.split_last().map_or(String::new(), |(_, above)| above.join(" › "));
        Self {
            given,
            words: sorted(rest),
            own: sorted(scope::of_words(own).1),
            group,
            scope,
            said: scope,
            place,
            by_order: false,
            units,
            size,
            sign,
            explains: !codes.is_empty(),
            codes,
            tongues: Vec::new(),
        }
    }
}

/// What has been read of the parts of a header.
#[derive(Default)]
struct Read {
    all: Vec<String>,
    own: Vec<String>,
    units: Vec<String>,
    size: Option<StrandSize>,
    place: Option<String>,
    scope: Option<Scope>,
}

impl Read {
    /// Reads the part at this level, from the top, of so many.
    fn part(&mut self, part: &str, level: usize, count: usize, speaks_of_strands: bool) {
        let alone = part.trim().trim_matches(['(', ')', '[', ']']);
        // What is counted is all that such a word says: `Strands › n`.
        if level > 0 && matches!(alone, "n" | "N" | "n°" | "N°" | "Stk" | "Stk." | "pcs" | "Anz.")
        {
            self.all.push("no".to_owned());
            self.own = vec!["no".to_owned()];
            return;
        }
        // On a bridge only stations are counted in kilometres.
        if alone.eq_ignore_ascii_case("km") {
            push(&mut self.units, "km");
            self.all.push("station".to_owned());
            self.own = vec!["station".to_owned()];
            return;
        }
        let is_unit = is_plain_unit(alone) || alone.len() > 2 && Unit::find_any(alone).is_some();
        if level > 0
            && let Some(unit) = unit_above_datum(alone)
        {
            push(&mut self.units, unit.symbol);
            return;
        }
        if level > 0 && is_unit {
            push(&mut self.units, alone);
            return;
        }
        if level > 0 && matches!(alone, "A" | "B" | "a" | "b") {
            self.scope = Some(if alone.eq_ignore_ascii_case("a") { Scope::A } else { Scope::B });
            return;
        }
        let is_group = level + 1 < count;
        let of_group = |part: &str| {
            let halves = || tongues(part)?.into_iter().find_map(scope::of_group);
            scope::of_group(part).or_else(halves)
        };
        if is_group && let Some((scope, place)) = of_group(part) {
            self.scope = Some(scope);
            self.place = place;
            return;
        }
        // `Testata A / Anchorage A` names one end in two tongues; each half of `Anchorage A / Jack A` is a field.
        let letters = tongues(part).and_then(|[one, other]| {
            let ((scope, one), (same, other)) = (scope::letter(one)?, scope::letter(other)?);
            let is_one = scope == same && !are_two_fields(&one, &other);
            is_one.then(|| (scope, format!("{one} / {other}")))
        });
        let part = match &letters {
            Some((scope, rest)) if self.scope.is_none() => {
                self.scope = Some(*scope);
                rest
            }
            _ => part,
        };
        let bare = take_units(part, &mut self.units);
        let bare = if speaks_of_strands { take_size(&bare, &mut self.size) } else { bare };
        let mut bare = sign::without(&bare);
        let lettered;
        if self.scope.is_none() {
            let number = scope::deviator(bare).filter(|(_, rest)| !rest.is_empty());
            if let Some((number, rest)) = number
                .or_else(|| scope::deviator_behind(bare))
                .or_else(|| scope::deviator_of_angle(bare))
            {
                self.scope = Some(Scope::Between(number));
                bare = rest;
            } else if let Some((scope, rest)) = scope::letter(bare)
                && !is_size_letter(&rest)
            {
                self.scope = Some(scope);
                lettered = rest;
                bare = &lettered;
            }
        }
        let found = words(bare);
        if !is_group {
            self.own.clone_from(&found);
        }
        self.all.extend(found);
    }
}

/// Whether what stands before a letter is the name of an end already, as in `END A`.
fn is_size_letter(rest: &str) -> bool {
    let words = words(rest);
    words.is_empty() || words == ["end"] || words == ["ends"]
}

/// Whether people call a field so.
fn is_called(half: &str) -> bool {
    let found = Vocabulary::get().find(&sorted(words(half)));
    found.first().is_some_and(|(_, score)| *score >= 1.0)
}

/// Whether people call one field by the one name and another by the other.
fn are_two_fields(one: &str, other: &str) -> bool {
    let fields = |half: &str| {
        let found = Vocabulary::get().find(&sorted(words(half)));
        found.into_iter().filter(|(_, score)| *score >= 1.0).map(|(target, _)| target)
    };
    let others: Vec<_> = fields(other).collect();
    !others.is_empty() && fields(one).count() > 0 && !fields(one).any(|one| others.contains(&one))
}

/// The two halves of a header that says the same in two tongues, or offers two names.
fn tongues(text: &str) -> Option<[&str; 2]> {
    let (one, other) = text.split_once('/')?;
    let is_name = |half: &str| {
        half.split(|c: char| !c.is_alphabetic()).any(|word| word.chars().count() >= 3)
            && !is_unit(half)
            && half.matches(['(', '[']).count() == half.matches([')', ']']).count()
    };
    let (one, other) = (one.trim(), other.trim());
    // Of an abbreviation the other tongue's may be one of the trade: `Ø est. / OD`, `sp. / wall`.
    let is_abbreviated = || {
        text.contains(" / ")
            && [one, other]
                .iter()
                .all(|half| half.chars().filter(|c| c.is_alphabetic()).count() >= 2)
            && [one, other].iter().any(|half| is_called(half))
    };
    // Where both end alike, one of them may be an abbreviation: `PK A / Chainage A`.
    let last = |half: &str| half.split_whitespace().last().map(str::to_owned);
    let bare = other.split(['(', '[']).next().unwrap_or(other);
    let are_alike = one.contains(' ') && bare.trim().contains(' ') && last(one) == last(bare);
    let is_pair = match (is_name(one), is_name(other)) {
        (true, true) => true,
        (true, false) | (false, true) => are_alike || is_abbreviated(),
        (false, false) => false,
    };
    (is_pair && !other.contains('/')).then_some([one, other])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn headers_name_sizes_and_signs() {
        let size = |text: &str| HeaderText::read(&[text]).size.map(|size| size.diameter_mm);
        assert_eq!(size("NO. OF 0.6\" Ø STRANDS"), Some(15.24));
        assert_eq!(size("NO. OF .6\" DIA. STRANDS"), Some(15.24));
        assert_eq!(size("Strands Ø15.7mm"), Some(15.7));
        assert_eq!(size("Strands (2 layers)"), None);
        assert_eq!(HeaderText::read(&["Offset (+ve right)"]).sign, Some(Sign::Right));
        assert_eq!(HeaderText::read(&["Offset (+ left)"]).sign, Some(Sign::Left));
    }

    #[test]
    fn units_and_ends_are_taken_out_of_headers() {
        for (parts, words, scope, units) in [
            (&["Length (m)"][..], &["length"][..], None, &["m"][..]),
            (&["Jacking Force, kN"], &["force", "stressing"], None, &["kN"]),
            (&["Force (kN/kips)"], &["force"], None, &["kN", "kips"]),
            (&["Dead End", "Anch."], &["anchorage"], Some(Scope::Dead), &[]),
            (&["Live End", "Set\n[mm]"], &["set"], Some(Scope::Stressing), &["mm"]),
            (&["Lt. End Sta."], &["station"], Some(Scope::A), &[]),
            (&["END B", "Anchorage"], &["anchorage"], Some(Scope::B), &[]),
            (&["No. of strands (each)"], &["no", "strand"], None, &["each"]),
            (&["K (1/m)"], &["k"], None, &["1/m"]),
            (&["Overall length", "m"], &["length", "overall"], None, &["m"]),
            (&["Sta. of plate", "A"], &["plate", "station"], Some(Scope::A), &[]),
            (&["NO. OF 0.6\" Ø STRANDS"], &["no", "strand"], None, &[]),
            (&["Duct (OD/t)"], &["diameter", "duct", "outer", "t"], None, &[]),
            (&["Offset [m] (+ left)"], &["lateral"], None, &["m"]),
            (&["END A (Abut. S)", "Ch.", "m"], &["station"], Some(Scope::A), &["m"]),
            (&["END A", "Live /\ndead"], &["dead", "stressing"], Some(Scope::A), &[]),
            (&["Live/Dead"], &["dead", "stressing"], None, &[]),
            (&["Clearance A (mm)"], &["clearance"], Some(Scope::A), &["mm"]),
            (&["D1 x (m)"], &["x"], Some(Scope::Between(1)), &["m"]),
            (&["Offset (ft, + right)"], &["lateral"], None, &["ft"]),
            (&["Spannanker", "Höhe"], &["elevation"], Some(Scope::Stressing), &[]),
            (&["Duct\n(mm OD)"], &["diameter", "duct", "outer"], None, &["mm"]),
            (
                &["Umlenkstelle 1 / Deviator 1", "Level"],
                &["elevation"],
                Some(Scope::Between(1)),
                &[],
            ),
            (&["Litzen / Strands", "n"], &["no", "strand"], None, &[]),
            (&["from", "km"], &["station"], Some(Scope::A), &["km"]),
            (&["Höhe / Level", "[m ü. NN]"], &["elevation"], None, &["m"]),
            (&["Lvl D2"], &["elevation"], Some(Scope::Between(2)), &[]),
            (
                &["Testata A / Anchorage A", "Tipo / Type"],
                &["anchorage", "type"],
                Some(Scope::A),
                &[],
            ),
            (&["DEVIATOR 2", "z", "mm"], &["z"], Some(Scope::Between(2)), &["mm"]),
        ] {
            let read = HeaderText::read(parts);
            assert_eq!(read.words, words, "{parts:?}");
            assert_eq!(
                (read.scope, read.units.iter().map(String::as_str).collect::<Vec<_>>()),
                (scope, units.to_vec()),
                "{parts:?}"
            );
        }
    }
}
