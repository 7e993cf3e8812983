//! Short ways to write what a source of stressing examples says.

use super::example::{Example, Kind};

/// One source.
pub(crate) struct Source {
    pub(crate) block: &'static str,
    pub(crate) kind: Kind,
    pub(crate) source: &'static str,
}

impl Source {
    /// A number that it prints, and ours.
    pub(crate) fn says(
        &self,
        what: &'static str,
        input: &'static str,
        printed: f64,
        within: f64,
        ours: f64,
    ) -> Example {
        let Self { block, kind, source } = *self;
        Example { block, kind, source, what, input, printed, within, ours, explained: None }
    }

    /// The same where the two differ, and why.
    pub(crate) fn says_but(
        &self,
        (what, input): (&'static str, &'static str),
        printed: f64,
        within: f64,
        ours: f64,
        why: &'static str,
    ) -> Example {
        Example { explained: Some(why), ..self.says(what, input, printed, within, ours) }
    }
}

/// MPa of a kip per square inch.
pub(crate) const KSI: f64 = 6.894_757_293_168;
/// kN of a kip.
pub(crate) const KIP: f64 = 4.448_221_615_260_5;
/// m of a foot.
pub(crate) const FOOT: f64 = 0.3048;
/// mm of an inch.
pub(crate) const INCH: f64 = 25.4;
/// mm² of a square inch.
pub(crate) const SQUARE_INCH: f64 = 645.16;
