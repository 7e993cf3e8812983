//! How well a tabled value is known.
//!
//! It says nothing about what follows from that: severities belong to the rulebook.

/// How well a tabled value is known, the strongest first.
///
/// The order is that of trust, so the weakest of several is their `max`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Evidence {
    /// Read in the source itself or an official copy of it.
    Read,
    /// Read where someone else reproduces the source.
    Secondary,
    /// From memory of the named source; must be confirmed before anyone relies on it.
    Memory,
    /// Computed from other values; no source prints it.
    Derived,
}
