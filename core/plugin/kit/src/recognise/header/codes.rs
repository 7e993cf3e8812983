//! Codes that a header explains itself: `Type (L = live, D = dead)`.

/// Letters of a code at most.
const LONGEST: usize = 4;

/// A header without the brackets in which it explains codes, and what each of these means.
///
/// A bracket explains codes only where all its clauses do, two at least: `(L = total)` may say what a sign stands for.
pub(super) fn take(text: &str) -> (String, Vec<(String, String)>) {
    let mut bare = String::with_capacity(text.len());
    let mut codes = Vec::new();
    let mut rest = text;
    while let Some(at) = rest.find(['(', '[']) {
        let close = if rest[at..].starts_with('(') { ')' } else { ']' };
        let Some(end) = rest[at..].find(close).map(|end| at + end) else { break };
        match explained(&rest[at + 1..end]) {
            Some(found) => {
                bare.push_str(&rest[..at]);
                codes.extend(found);
            }
            None => bare.push_str(&rest[..=end]),
        }
        rest = &rest[end + 1..];
    }
    bare.push_str(rest);
    (bare, codes)
}

/// The codes that a text explains, which does nothing else.
fn explained(text: &str) -> Option<Vec<(String, String)>> {
    let clauses = text.split([',', ';', '/', '\n']);
    let codes: Option<Vec<_>> = clauses
        .map(|clause| {
            let (code, meaning) = clause.split_once(['=', ':'])?;
            let (code, meaning) = (code.trim(), meaning.trim());
            let is_code = (1..=LONGEST).contains(&code.chars().count())
                && code.chars().all(char::is_alphanumeric);
            let is_word = meaning.chars().filter(|letter| letter.is_alphabetic()).count() > 2;
            (is_code && is_word).then(|| (code.to_owned(), meaning.to_owned()))
        })
        .collect();
    codes.filter(|codes| codes.len() > 1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_header_explains_the_codes_below_it() {
        let (bare, codes) = take("Type (L = live end, D = dead end) [mm]");
        assert_eq!(bare, "Type  [mm]");
        assert_eq!(codes[1], ("D".to_owned(), "dead end".to_owned()));
        assert_eq!(take("Filler\n[W: wax; CG: cement grout]").1.len(), 2);
        for text in [
            "Length (L = total)",
            "Offset (L = +, R = -)",
            "Force (kN)",
            "Scale (1:50, 1:100)",
            "Friction (mu = 0.12, k = 0)",
        ] {
            assert_eq!(take(text), (text.to_owned(), Vec::new()), "{text}");
        }
    }
}
