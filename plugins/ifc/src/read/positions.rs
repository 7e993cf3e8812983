//! Maps and sets of positions in a model.
//!
//! Every entity is looked up in them. A quick hash does, whose seed is another in each run: positions are the
//! reading's own, and nobody can choose what falls together.

use std::collections::HashMap;

use foldhash::fast::RandomState;

/// A map that is looked up often.
pub(super) type Quick<K, V> = HashMap<K, V, RandomState>;
/// Something for each of some entities, by their positions.
pub(super) type ByPosition<V> = Quick<usize, V>;

/// A set of positions among a known number of them.
#[derive(Debug, Default)]
pub(super) struct Positions(Vec<bool>);

impl Positions {
    /// None of so many.
    pub(super) fn of(count: usize) -> Self {
        Self(vec![false; count])
    }

    /// Puts one in; whether it was not there.
    pub(super) fn insert(&mut self, at: usize) -> bool {
        !std::mem::replace(&mut self.0[at], true)
    }

    /// Whether one is there.
    pub(super) fn contains(&self, at: usize) -> bool {
        self.0[at]
    }
}
