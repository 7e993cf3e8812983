//! The sentences of a note, and of what each speaks.

/// Of what a sentence speaks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Subject {
    /// The strand.
    Strand,
    /// The ducts.
    Duct,
    /// Nothing of these.
    None,
}

/// A sentence of a note, or a part of one that speaks of one thing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Sentence<'t> {
    pub(super) text: &'t str,
    pub(super) subject: Subject,
}

/// Words that name the strand, with which a word begins.
const STRAND: [&str; 8] = [
    "strand",
    "litze",
    "toron",
    "spannstahl",
    "7-wire",
    "seven-wire",
    "a416",
    "prestressing steel",
];
/// Words that name ducts.
const DUCT: [&str; 5] = ["duct", "sheath", "hüllrohr", "gaine", "pipe"];
/// Words behind whose point a sentence goes on.
const SHORT: [&str; 48] = [
    "dia", "diam", "in", "ins", "sq", "min", "max", "nom", "gr", "no", "nr", "nos", "approx",
    "ext", "int", "ft", "lb", "lbs", "ult", "char", "mod", "elast", "coeff", "coef", "c", "l", "o",
    "d", "i", "e", "incl", "u", "ca", "bzw", "inkl", "spec", "sect", "sec", "cl", "art", "fig",
    "dwg", "drg", "ref", "rev", "std", "ziff", "abs",
];

/// The sentences of a note; one that names nothing speaks of what the one before it does.
pub(super) fn sentences(note: &str) -> Vec<Sentence<'_>> {
    let mut found: Vec<Sentence<'_>> = Vec::new();
    let mut before = Subject::None;
    for text in parts(without_number(note)) {
        for text in by_subject(text) {
            let subject = match subject(text) {
                Subject::None => before,
                named => named,
            };
            before = subject;
            found.push(Sentence { text, subject });
        }
    }
    found
}

/// A note without its own number or mark: `3. `, `(a) `, `* `.
fn without_number(note: &str) -> &str {
    let note = note.trim();
    let bare = note.trim_start_matches(['*', '•', '-', '–', '(', '#']).trim_start();
    let number = bare.find(|c: char| !c.is_ascii_digit()).unwrap_or(0);
    let letter = usize::from(number == 0 && bare.starts_with(|c: char| c.is_ascii_alphabetic()));
    let label = number.max(letter);
    match bare.get(label..).and_then(|rest| rest.strip_prefix(['.', ')'])) {
        Some(rest) if (1..=2).contains(&label) && rest.starts_with(' ') => rest.trim_start(),
        _ => bare,
    }
}

fn parts(note: &str) -> Vec<&str> {
    let mut found = Vec::new();
    let mut from = 0;
    for (at, letter) in note.char_indices() {
        let behind = at + letter.len_utf8();
        let is_end = match letter {
            ';' | '\n' => true,
            '.' => {
                let rest = &note[behind..];
                // The end of a word that is put together, as of `draw-in.`, is not short.
                let is_part = |c: char| c.is_alphabetic() || c == '-';
                let word = note[from..at].rsplit(|c: char| !is_part(c)).next().unwrap_or("");
                let is_short = SHORT.contains(&word.to_lowercase().as_str())
                    && !note[from..at].ends_with(|c: char| c.is_ascii_digit());
                rest.starts_with(char::is_whitespace) && (!is_short || subject_of_start(rest))
            }
            _ => false,
        };
        if is_end {
            found.push(note[from..at].trim());
            from = behind;
        }
    }
    found.push(note[from..].trim());
    found.retain(|text| !text.is_empty());
    found
}

/// Whether a text begins with a word that names something of its own.
fn subject_of_start(text: &str) -> bool {
    let lower = text.trim_start().to_lowercase();
    STRAND.iter().chain(&DUCT).any(|word| lower.starts_with(word))
        || ["anchor", "wedge", "tendon", "filler", "fill", "friction", "all "]
            .iter()
            .any(|word| lower.starts_with(word))
}

/// A sentence in two, where it speaks first of strands and then of ducts, or the other way.
fn by_subject(text: &str) -> Vec<&str> {
    let (strand, duct) = (named_at(text, &STRAND), named_at(text, &DUCT));
    let (Some(strand), Some(duct)) = (strand, duct) else { return vec![text] };
    let later = strand.max(duct);
    // What is counted stays with its number.
    let counted = text[..later].trim_end().trim_end_matches(|c: char| c.is_ascii_digit()).len();
    let at = text[..later].rfind([',', ':']).map_or(counted, |at| at + 1).max(strand.min(duct) + 1);
    let at = (at..=later).find(|at| text.is_char_boundary(*at)).unwrap_or(later);
    vec![text[..at].trim(), text[at..].trim()]
}

fn subject(text: &str) -> Subject {
    match (named_at(text, &STRAND), named_at(text, &DUCT)) {
        (Some(_), _) => Subject::Strand,
        (None, Some(_)) => Subject::Duct,
        (None, None) => Subject::None,
    }
}

/// Where a word stands that begins with one of these.
fn named_at(text: &str, words: &[&str]) -> Option<usize> {
    let lower = text.to_lowercase();
    // What changes its length in small letters has no place.
    if lower.len() != text.len() {
        return None;
    }
    words
        .iter()
        .flat_map(|word| lower.match_indices(word).map(|(at, _)| at))
        .filter(|at| text.is_char_boundary(*at))
        .filter(|at| !lower[..*at].ends_with(char::is_alphanumeric))
        .min()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn notes_are_taken_apart_by_what_they_speak_of() {
        let read = |note: &'static str| -> Vec<(&str, Subject)> {
            sentences(note).iter().map(|one| (one.text, one.subject)).collect()
        };
        use Subject::{Duct, Strand};
        assert_eq!(
            read("3. Strand: 15.7 mm dia., 150 mm2. E = 195 GPa."),
            [("Strand: 15.7 mm dia., 150 mm2", Strand), ("E = 195 GPa.", Strand)]
        );
        assert_eq!(
            read("(2) Ducts PE100 to SDR shown. Filling: wax."),
            [("Ducts PE100 to SDR shown", Duct), ("Filling: wax.", Duct)]
        );
        assert_eq!(
            read("STRAND 0.6 IN. DIA., DUCT 4 IN. HDPE"),
            [("STRAND 0.6 IN. DIA.,", Strand), ("DUCT 4 IN. HDPE", Duct)]
        );
        assert_eq!(read("Elongations without draw-in. Draw-in 6 mm").len(), 2);
        assert_eq!(read("SET = 3/8 IN. ALL TENDONS WAXED").len(), 2);
        assert_eq!(
            read("Ducts with 12 strands: wax"),
            [("Ducts with", Duct), ("12 strands: wax", Strand)]
        );
        assert_eq!(read("No. of strands as shown").len(), 1);
    }
}
