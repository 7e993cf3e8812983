//! The names that were most likely meant.

/// Looks for names that are like another one.
///
/// Each look costs the letters of all candidates; a file made to make many looks gets answers without
/// suggestions rather than late.
pub(super) struct Near {
    pairs_left: usize,
}

impl Near {
    pub(super) const fn new() -> Self {
        /// Pairs of letters that are compared in one run.
        const PAIRS: usize = 20_000_000;
        Self { pairs_left: PAIRS }
    }

    /// The candidates that are most like the name, if they are like enough; several only where they are
    /// equally like it, and none where they are too many to choose from.
    pub(super) fn find<'n>(
        &mut self,
        name: &str,
        candidates: impl Iterator<Item = &'n str>,
    ) -> Vec<&'n str> {
        /// Below this likeness (Jaro-Winkler) a suggestion confuses more than it helps.
        const NEAR: f64 = 0.8;
        /// Names that a suggestion offers.
        const OFFERED: usize = 3;
        let mut least = NEAR;
        let mut best = Vec::new();
        for candidate in candidates {
            let pairs = name.len() * candidate.len() + 1;
            match self.pairs_left.checked_sub(pairs) {
                Some(left) => self.pairs_left = left,
                None => {
                    self.pairs_left = 0;
                    return Vec::new();
                }
            }
            let likeness = strsim::jaro_winkler(name, candidate);
            if likeness > least {
                least = likeness;
                best.clear();
            }
            if likeness >= least && best.len() <= OFFERED && !best.contains(&candidate) {
                best.push(candidate);
            }
        }
        if best.len() > OFFERED { Vec::new() } else { best }
    }
}

/// Names as a sentence gives a choice of them: `B3A, B3B or B3C`.
pub(super) fn choice(names: &[&str]) -> String {
    match names.split_last() {
        Some((last, [])) => (*last).to_owned(),
        Some((last, rest)) => format!("{} or {last}", rest.join(", ")),
        None => String::new(),
    }
}
