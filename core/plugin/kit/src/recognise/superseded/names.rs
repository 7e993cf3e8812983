//! Names of sheets and captions that say that what they name no longer holds.

/// Words that say of a sheet that it no longer holds: common practice, no source.
const OUT_OF_FORCE: [&str; 18] = [
    "superseded",
    "obsolete",
    "outdated",
    "withdrawn",
    "überholt",
    "überholte",
    "ungültig",
    "ungültige",
    "veraltet",
    "annulé",
    "annulée",
    "annulés",
    "annulées",
    "périmé",
    "périmée",
    "obsolète",
    "superato",
    "annullato",
];
/// Words that say so alone, and beside what they can only mean so: `Old schedule`. Beside anything else they name a
/// bridge, or a room in it: `Brücke alt`, `Tendons in box void`.
const FORMER: [&str; 15] = [
    VOID,
    "old",
    "former",
    "previous",
    "alt",
    "alte",
    "alter",
    "altes",
    "vorherige",
    "vorheriger",
    "ancien",
    "ancienne",
    "anciens",
    "anciennes",
    "précédent",
];
/// What makes a schedule void, and a room in a box or a slab.
const VOID: &str = "void";
/// The tendons of a schedule that is called so as a whole.
pub(super) const TENDONS: [&str; 6] =
    ["tendon", "tendons", "spannglieder", "kabel", "câbles", "cables"];
/// What can be out of force without any tendon being so: common practice, no source.
pub(super) const ISSUES: [&str; 14] = [
    "schedule",
    "values",
    "register",
    "list",
    "liste",
    "data",
    "sheet",
    "table",
    "tabelle",
    "tableau",
    "issues",
    "werte",
    "valeurs",
    "revisions",
];
/// Words that name an issue, with its number or letter behind them.
pub(super) const REVISIONS: [&str; 9] =
    ["rev", "revision", "révision", "index", "indice", "issue", "version", "stand", "ausgabe"];

/// Whether the name of a sheet or a caption says that what it names no longer holds.
pub(in crate::recognise) fn says_so(text: &str) -> bool {
    let lower = text.trim().to_lowercase();
    let mut parts = lower.split(['-', '–', '—', ':', ';', ',', '(', ')', '[', ']', '|', '/', '_']);
    // Behind a part of the bridge it is a room: `Cell-void`.
    let first = parts.next().is_some_and(is_so);
    first || parts.any(|part| part.trim() != VOID && is_so(part)) || lower.contains("(void)")
}

/// Whether a part of a name says so.
fn is_so(part: &str) -> bool {
    /// They may be listed as superseded in a schedule that holds.
    const DOCUMENTS: [&str; 8] =
        ["drawing", "drawings", "dwg", "dwgs", "document", "documents", "plan", "pläne"];
    /// Beside these a word for what is former tells two things apart, or the sentence speaks of other sheets.
    const OTHERS: [&str; 12] = [
        "new", "neu", "neue", "nouveau", "not", "nicht", "non", "all", "alle", "earlier", "and",
        "und",
    ];
    /// Words of a name at most.
    const MOST: usize = 6;
    let is_bare = |word: &&str| {
        word.chars().count() == 1 || word.starts_with(|letter: char| letter.is_ascii_digit())
    };
    let mut words: Vec<&str> = part
        .split_whitespace()
        .map(|word| word.trim_matches(|letter: char| !letter.is_alphanumeric()))
        .filter(|word| !word.is_empty())
        .collect();
    let is_of_issue = words.first().is_some_and(|first| REVISIONS.contains(first));
    let mut names_issue = false;
    let mut is_counted = false;
    while let Some(word) = words.last() {
        let is_issue = REVISIONS.contains(word);
        if !is_issue && !is_bare(word) {
            break;
        }
        names_issue |= is_issue;
        is_counted = true;
        words.pop();
    }
    let (Some(first), Some(last)) = (words.first(), words.last()) else { return false };
    if words.len() > MOST || is_of_issue || words.iter().any(|word| OTHERS.contains(word)) {
        return false;
    }
    let second = words.get(1);
    if OUT_OF_FORCE.contains(first) {
        return second.is_none_or(|second| !DOCUMENTS.contains(second));
    }
    if OUT_OF_FORCE.contains(last) {
        return true;
    }
    // `Alt 2` is an alternative, and `Void A` a room.
    let is_one_of_several =
        |word: &str| (word == "alt" || word == VOID) && is_counted && !names_issue;
    let is_issue = |word: &str| ISSUES.contains(&word) || REVISIONS.contains(&word);
    match *words.as_slice() {
        [only] => FORMER.contains(&only) && !is_one_of_several(only),
        [.., before, last] if FORMER.contains(&last) => {
            !is_one_of_several(last)
                && (is_issue(before) || last != VOID && TENDONS.contains(&before))
        }
        [first, second, ..] => FORMER.contains(&first) && first != "alt" && is_issue(second),
        [] => false,
    }
}

#[cfg(test)]
mod tests {
    use super::says_so;

    #[test]
    fn names_say_what_no_longer_holds() {
        for text in [
            "Superseded Rev 1",
            "SUPERSEDED",
            "Tendons (old)",
            "Tendons_old",
            "Old",
            "old 2",
            "Old schedule",
            "previous revision",
            "Previous Rev. B",
            "VOID - tendons",
            "Spannglieder alt",
            "alt Index a",
            "Überholt",
            "Spannglieder (ungültig)",
            "Câbles - annulé",
            "ancien",
            "Tendons Rev 1 superseded",
            "Table 2: Superseded values",
            "Schedule (void)",
        ] {
            assert!(says_so(text), "{text}");
        }
        for text in [
            "Tendons",
            "Old Mill Bridge",
            "Alt 2",
            "Alternative",
            "Rev C (Rev B superseded)",
            "Superseded drawings: 12, 13",
            "Old and new",
            "Voids",
            "Old marks",
            "Not superseded",
            "All earlier issues are void",
            "Tendons in void",
            "Tendons (box void)",
            "Cell-void",
            "Void A",
            "Void 2 box",
            "Voided slab tendons",
            "Brücke alt",
            "Left old",
        ] {
            assert!(!says_so(text), "{text}");
        }
    }
}
