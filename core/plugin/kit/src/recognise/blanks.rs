//! Notes that say what an empty cell means: `Empty cell = same as above`, `Leerzelle = wie oben`.

use super::vocabulary::CARRIED;

/// Words for cells that hold nothing, in small letters.
const EMPTY: [&str; 12] = [
    "empty cell",
    "empty field",
    "blank cell",
    "blank field",
    "blanks",
    "blank",
    "leere zelle",
    "leere felder",
    "leerzelle",
    "leeres feld",
    "case vide",
    "cellule vide",
];
/// Words that say of them that they are as what stands above.
const ABOVE: [&str; 9] = [
    "same as above",
    "as above",
    "as the row above",
    "as in the row above",
    "wie oben",
    "wie darüber",
    "idem ci-dessus",
    "comme ci-dessus",
    "idem ligne précédente",
];
/// Words between the two at most.
const BETWEEN: [&str; 10] =
    ["s", "n", "means", "mean", "is", "are", "the", "bedeutet", "signifie", "the value"];

/// What tendons have of which a note on empty cells speaks beside names and kinds: what is ordered. What is measured or
/// worked out for each tendon, and where it lies, is its own.
const ORDERED: [(&str, &str); 4] = [
    ("Tendons", "strand_count"),
    ("Tendons", "stressing.jacking_force_kn"),
    ("Tendons", "stressing.set_mm"),
    ("Tendons", "stressing.from"),
];

/// Whether a note says that an empty cell is as the one above it.
pub(super) fn are_as_above(note: &str) -> bool {
    let lower = note.to_lowercase();
    lower.split(['.', ';', '\n']).any(|sentence| {
        EMPTY.iter().any(|empty| {
            let Some((_, behind)) = sentence.split_once(empty) else { return false };
            ABOVE
                .iter()
                .any(|above| behind.split_once(above).is_some_and(|(between, _)| is_plain(between)))
        })
    })
}

/// Whether what stands between the two says nothing else: `is not` does.
fn is_plain(between: &str) -> bool {
    let words = between
        .split(|c: char| c.is_whitespace() || matches!(c, ',' | ':' | '=' | '"' | '(' | ')'));
    words.filter(|word| !word.is_empty()).all(|word| BETWEEN.contains(&word))
}

/// Whether such a note speaks of a field of this list.
pub(super) fn speaks_of(list: &str, field: &str) -> bool {
    let is_carried = || list == "Tendons" && field != "mark" && CARRIED.contains(&(list, field));
    matches!(list, "Strands" | "Ducts") || is_carried() || ORDERED.contains(&(list, field))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn notes_say_that_empty_cells_are_as_above() {
        for note in [
            "Forces in t. Empty cell = same as above.",
            "Blank = as above",
            "blank cells mean as above",
            "Leerzelle = wie oben",
            "Leere Zellen: wie oben",
            "Case vide = idem ci-dessus",
        ] {
            assert!(are_as_above(note), "{note}");
        }
        for note in [
            "Empty cell = not applicable",
            "Blank cells are not the same as above",
            "Anchorages as above",
            "Empty cell: to be filled in. Notes as above",
        ] {
            assert!(!are_as_above(note), "{note}");
        }
    }
}
