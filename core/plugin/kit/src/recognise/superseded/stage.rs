//! When a sheet was made, as its name says: `As designed`, `Rev B`, `Proposed`.

use std::cmp::Ordering;

use super::names::{ISSUES, REVISIONS, TENDONS};

/// Words of what is offered before it is designed in full: common practice, no source.
const TENDER: [&str; 2] = ["tender", "tendered"];
/// Words of what is to be built: common practice, no source.
const DESIGN: [&str; 11] = [
    "design", "designed", "planned", "soll", "geplant", "prévu", "prévue", "prévus", "prévues",
    "projet", "progetto",
];
/// Words of what is built from: common practice, no source.
const CONSTRUCTION: [&str; 1] = ["construction"];
/// Words of what is built: common practice, no source.
const BUILT: [&str; 17] = [
    "built",
    "asbuilt",
    "constructed",
    "actual",
    "executed",
    "installed",
    "ist",
    "ausgeführt",
    "exécuté",
    "exécutée",
    "exécutés",
    "exécutées",
    "réalisé",
    "réalisée",
    "réalisés",
    "réalisées",
    "eseguito",
];
/// Words of what may be to come in the place of what is there, or was before it was built: common practice, no source.
const PROPOSED: [&str; 10] = [
    "new",
    "replacement",
    "proposed",
    "proposal",
    "vorgeschlagen",
    "proposé",
    "proposée",
    "proposés",
    "proposées",
    "proposto",
];
/// Words of what is there: common practice, no source.
const EXISTING: [&str; 8] = [
    "existing",
    "bestand",
    "vorhanden",
    "existant",
    "existante",
    "existants",
    "existantes",
    "esistente",
];
/// Words beside these that say no more.
const BESIDE: [&str; 5] = ["as", "issued", "for", "the", "values"];

/// At which stage of the work a sheet was made.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Stage {
    Tender,
    Design,
    /// Its name does not say it.
    Unsaid,
    Construction,
    Built,
    /// In a scheme of replacement it is of other tendons than those that are there.
    Proposed,
    Existing,
}

impl Stage {
    fn of(word: &str) -> Option<Self> {
        let words: [(&[&str], Self); 6] = [
            (&TENDER, Self::Tender),
            (&DESIGN, Self::Design),
            (&CONSTRUCTION, Self::Construction),
            (&BUILT, Self::Built),
            (&PROPOSED, Self::Proposed),
            (&EXISTING, Self::Existing),
        ];
        words.iter().find(|(words, _)| words.contains(&word)).map(|(_, stage)| *stage)
    }

    /// Its place among those that follow each other; one that may be of other tendons has none.
    const fn rank(self) -> Option<u8> {
        match self {
            Self::Tender | Self::Design => Some(0),
            Self::Unsaid => Some(1),
            Self::Construction => Some(2),
            Self::Built => Some(3),
            Self::Proposed | Self::Existing => None,
        }
    }

    /// What both of two words say together; nothing where they say two things.
    fn with(self, other: Self) -> Option<Self> {
        match (self, other) {
            (one, other) if one == other => Some(one),
            (Self::Construction, Self::Built) | (Self::Built, Self::Construction) => {
                Some(Self::Built)
            }
            (Self::Tender, Self::Design) | (Self::Design, Self::Tender) => Some(Self::Tender),
            _ => None,
        }
    }
}

/// When a sheet was made.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Version {
    pub(super) stage: Stage,
    /// The kind of the revision, and its number or that of its letter.
    revision: (u8, u32),
}

impl Version {
    /// Whether one is of what is there and the other of what may come in its place.
    pub(super) fn may_replace(self, other: Self) -> bool {
        let is_there = |stage| matches!(stage, Stage::Built | Stage::Existing);
        match (self.stage, other.stage) {
            (Stage::Proposed, other) => is_there(other),
            (one, Stage::Proposed) => is_there(one),
            _ => false,
        }
    }

    /// Its place in an order of all, which holds as far as [`Self::against`] tells.
    pub(super) fn place(self) -> (u8, (u8, u32)) {
        (self.stage.rank().unwrap_or(1), self.revision)
    }

    /// Which of two is the later; nothing where their names leave it open.
    ///
    /// Letters and numbers are two series: which of them comes first differs from office to office.
    pub(super) fn against(self, other: Self) -> Option<Ordering> {
        if self.stage != other.stage {
            let (one, other) = (self.stage.rank()?, other.stage.rank()?);
            if one != other {
                return Some(one.cmp(&other));
            }
        }
        let kinds = [self.revision.0, other.revision.0];
        let is_of_a_series = kinds[0] == kinds[1]
            || kinds.contains(&UNNUMBERED)
            || kinds.iter().all(|kind| [BEFORE, FROM_THEN_ON].contains(kind));
        is_of_a_series.then(|| self.revision.cmp(&other.revision))
    }
}

/// Whether two sheets are versions of one thing by their names.
pub(in crate::recognise) fn are_versions(one: &str, other: &str) -> bool {
    match (read(one), read(other)) {
        (Some(one), Some(other)) => one.0 == other.0 && one.1 != other.1,
        _ => false,
    }
}

/// The rest of the name of a sheet, and its version; nothing where it says two things at once.
pub(super) fn read(name: &str) -> Option<(Vec<String>, Version)> {
    let lower = name.to_lowercase();
    let words: Vec<&str> =
        lower.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty()).collect();
    let mut rest: Vec<String> = Vec::new();
    let (mut stage, mut revision): (Option<Stage>, _) = (None, None);
    let mut at = 0;
    while let Some(word) = words.get(at) {
        at += 1;
        if let Some(of_word) = Stage::of(word) {
            stage = Some(stage.map_or(Some(of_word), |stage| stage.with(of_word))?);
            continue;
        }
        let behind = words.get(at).copied().unwrap_or_default();
        let joined = word.strip_prefix("rev").unwrap_or_default();
        let found = match REVISIONS.contains(word) {
            true => issue(behind).inspect(|_| at += 1),
            false => issue(joined),
        };
        match found {
            Some(_) if revision.is_some() => return None,
            Some(found) => revision = Some(found),
            None if TENDONS.contains(word) || ISSUES.contains(word) => {}
            None => rest.push((*word).to_owned()),
        }
    }
    if stage.is_some() {
        rest.retain(|word| !BESIDE.contains(&word.as_str()));
    }
    let version =
        Version { stage: stage.unwrap_or(Stage::Unsaid), revision: revision.unwrap_or_default() };
    Some((rest, version))
}

/// The kinds of revisions: none, numbers, letters, and the two of one series.
const UNNUMBERED: u8 = 0;
const NUMBERS: u8 = 1;
const LETTERS: u8 = 2;
const BEFORE: u8 = 3;
const FROM_THEN_ON: u8 = 4;

/// A revision: a number, a letter, or one of those that begin with `P` before construction and with `C` from then on.
///
/// The latter two are those of the UK National Annex of ISO 19650-2, from memory.
fn issue(text: &str) -> Option<(u8, u32)> {
    let letters = text.trim_end_matches(|c: char| c.is_ascii_digit());
    let number: Option<u32> = text[letters.len()..].parse().ok();
    let mut chars = letters.chars();
    match (chars.next(), chars.next(), number) {
        (None, _, Some(number)) => Some((NUMBERS, number)),
        (Some(letter), None, None) if letter.is_ascii_lowercase() => {
            Some((LETTERS, u32::from(letter)))
        }
        (Some('p'), None, Some(number)) => Some((BEFORE, number)),
        (Some('c'), None, Some(number)) => Some((FROM_THEN_ON, number)),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_say_which_of_two_is_the_later() {
        for (one, other) in [
            ("As designed", "As built"),
            ("Tendons (tender)", "Tendons - issued for construction"),
            ("Planned", "Actual values"),
            ("Spannglieder Soll", "Spannglieder Ist"),
            ("Câbles prévus", "Câbles exécutés"),
            ("Schedule Rev A", "Schedule Rev. B"),
            ("Tendons_RevA", "Tendons_RevC"),
            ("Rev P2", "Rev C1"),
            ("Tendon schedule", "As built"),
            ("Issue 9", "Issue 10"),
        ] {
            let (one, other) = (read(one).unwrap(), read(other).unwrap());
            assert_eq!(one.0, other.0);
            assert_eq!(one.1.against(other.1), Some(Ordering::Less), "{one:?} {other:?}");
        }
        for (one, other) in [
            ("Span 1 as designed", "Span 2 as built"),
            ("Left", "Right as built"),
            ("Span 1", "Span 2"),
        ] {
            assert_ne!(read(one).unwrap().0, read(other).unwrap().0, "{one} {other}");
        }
        for (one, other) in [
            ("Proposed", "Installed"),
            ("Proposed tendons", "Tendons"),
            ("Existing", "As designed"),
            ("Rev B", "Rev 0"),
            ("Rev P2", "Rev A"),
        ] {
            let (one, other) = (read(one).unwrap(), read(other).unwrap());
            assert_eq!((&one.0, one.1.against(other.1)), (&other.0, None), "{other:?}");
        }
        assert_eq!(read("Soll - Ist"), None);
        assert_eq!(read("Tendons").unwrap().1, read("Register of cables").unwrap().1);
    }
}
