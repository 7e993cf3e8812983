//! On which side of the line offsets are positive.

/// What a header or a note says of the sign of offsets.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Sign {
    /// What lies to the left is positive, as in the schedule.
    Left,
    /// What lies to the right is positive.
    Right,
    /// What lies away from the middle is positive, on either side.
    Outward,
    /// What lies in another direction is positive, as north: left or right, as the bridge lies.
    Elsewhere,
}

/// Words between a sign and its side, at most.
const FAR: usize = 8;

/// What a text says of the sign of offsets, as `(+ right)` or `positive to the left, looking up chainage`.
pub(super) fn read(text: &str) -> Option<Sign> {
    let spaced = spaced(text);
    let tokens: Vec<&str> = spaced.split_whitespace().collect();
    let at: Vec<usize> = (0..tokens.len()).filter(|at| is_plus(&tokens, *at)).collect();
    let found = at.into_iter().find_map(|at| {
        let stop = |token: &&&str| !matches!(**token, "-" | "–" | "ve" | "negative" | "minus");
        let behind = tokens[at + 1..].iter().take(FAR).take_while(stop).find_map(|word| side(word));
        behind.or_else(|| {
            tokens[..at].iter().rev().take(FAR).take_while(stop).find_map(|word| side(word))
        })
    })?;
    let looks_back = ["looking down", "looking back", "down-station", "decreasing"]
        .iter()
        .any(|words| text.to_lowercase().contains(words));
    Some(match (found, looks_back) {
        (Sign::Left, true) => Sign::Right,
        (Sign::Right, true) => Sign::Left,
        (sign, _) => sign,
    })
}

/// A header without what it says of the sign of offsets behind it: `Offset A + outward` is `Offset A`.
pub(super) fn without(header: &str) -> &str {
    if read(header).is_none() {
        return header;
    }
    let lower = header.to_lowercase();
    let marks = ["+", "positive", "positif", "positiv", "pos.", "pos "];
    let at = marks.iter().filter_map(|mark| lower.find(mark)).min();
    match at {
        // What is lower case may take other bytes, and is cut where both agree.
        Some(at) if at > 0 && lower.len() == header.len() && read(&lower[at..]).is_some() => {
            header[..at].trim_end_matches([' ', '(', '[', ',', ';', ':', '-', '–'])
        }
        _ => header,
    }
}

/// What a note says of the sign of offsets; one that speaks of other things says nothing.
pub(super) fn of_note(text: &str) -> Option<Sign> {
    const ABOUT: [&str; 14] = [
        "offset",
        "lateral",
        "ecc",
        "transvers",
        "across",
        " y ",
        "y:",
        "y =",
        "y,",
        "axe",
        "c.l",
        "centre",
        "center",
        "right",
    ];
    let lower = format!(" {} ", text.to_lowercase());
    ABOUT.iter().any(|word| lower.contains(word)).then(|| read(text)).flatten()
}

/// The words of a text in small letters, its signs apart.
fn spaced(text: &str) -> String {
    let mut spaced = String::with_capacity(text.len() + 8);
    for letter in text.to_lowercase().replace("+ve", "+").replace("r.h.s", "rhs").chars() {
        match letter {
            '+' | '=' => {
                spaced.push(' ');
                spaced.push(letter);
                spaced.push(' ');
            }
            '(' | ')' | '[' | ']' | ',' | ';' | ':' | '/' => spaced.push(' '),
            '.' => {}
            letter => spaced.push(letter),
        }
    }
    spaced
}

/// Whether the word there says: positive.
fn is_plus(tokens: &[&str], at: usize) -> bool {
    match tokens[at] {
        "+" => {
            !tokens.get(at + 1).is_some_and(|next| next.starts_with(|c: char| c.is_ascii_digit()))
        }
        "positive" | "positif" | "positiv" | "plus" | "pos" => true,
        _ => false,
    }
}

/// The side that a word names.
fn side(word: &str) -> Option<Sign> {
    Some(match word {
        "left" | "lt" | "lhs" | "l" | "gauche" | "links" | "li" => Sign::Left,
        "right" | "rt" | "rhs" | "r" | "droite" | "rechts" | "re" => Sign::Right,
        "outward" | "outwards" | "outside" | "outer" | "outboard" => Sign::Outward,
        "inward" | "inwards" | "inside" | "inner" | "inboard" | "median" | "kerb" | "curb"
        | "parapet" | "north" | "south" | "east" | "west" | "northward" | "southward"
        | "eastward" | "westward" | "upstream" | "downstream" => Sign::Elsewhere,
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn headers_and_notes_say_which_side_is_positive() {
        for (text, sign) in [
            ("Offset (+ve right)", Some(Sign::Right)),
            ("Offset (+ve RHS)", Some(Sign::Right)),
            ("Offset (+R)", Some(Sign::Right)),
            ("Offset (+ left)", Some(Sign::Left)),
            ("Offset right", None),
            ("Offset, LT = +", Some(Sign::Left)),
            (
                "Offsets are from C.L. of box, positive to the right looking up chainage.",
                Some(Sign::Right),
            ),
            ("+ to the right of C.L., - to the left", Some(Sign::Right)),
            ("Offsets to the left of the C.L. are positive", Some(Sign::Left)),
            ("offset positive to the right, looking back", Some(Sign::Left)),
            ("y across from C.L. (+ outward), z up", Some(Sign::Outward)),
            ("y : écart à l'axe (+ à droite)", Some(Sign::Right)),
            ("- to the left, + to the right of axis", Some(Sign::Right)),
            ("Offset (m) + towards median", Some(Sign::Elsewhere)),
            ("Offset, +ve east", Some(Sign::Elsewhere)),
        ] {
            assert_eq!(read(text), sign, "{text}");
        }
        assert_eq!(of_note("Offsets: right positive"), Some(Sign::Right));
        assert_eq!(of_note("Extension tolerance +/- 5 %"), None);
        assert_eq!(of_note("Stress the left end first; temperature +20"), None);
        assert_eq!(without("Offset A + outward"), "Offset A");
        assert_eq!(without("Offset + 5"), "Offset + 5");
    }
}
