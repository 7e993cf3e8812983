//! Reads sets ahead of whoever asks for them, side by side.
//!
//! The sets of the tendons are most of a model. Another thread reads them in groups, a tendon's together, in the order in
//! which they will be asked for; who asks for a group that the other one is reading goes on with the next one meanwhile.
//! A set is read by itself, so that the same comes of it whoever reads it, and when.

use std::collections::BTreeMap;
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::mpsc::{Receiver, sync_channel};
use std::thread::{Builder, Scope};

use restrand_model::value::Value as Stated;

use super::carriers::{NewWays, Translation, Ways};
use super::model::Model;
use super::positions::ByPosition;
use super::said::Remark;
use super::set_reader::{Set, SetReader};
use super::units::Units;
use crate::terms::sets::Property;
use crate::value::Entity;

/// Groups that are read ahead of the one that is asked for.
const AHEAD: usize = 256;
/// Groups from which on another thread pays.
const WORTH_ONE: usize = 8;

/// Sets, read ahead or as they are asked for.
pub(super) struct SetsRead<'m> {
    own: SetReader<'m>,
    /// The ways of each reader, of this thread's own first.
    translations: Vec<Translation>,
    /// Those that were read and not taken yet, with the position of their reader.
    read: ByPosition<(usize, Set<'m>, Vec<Remark>)>,
    ahead: Option<Ahead<'m>>,
}

/// What the other thread reads.
struct Ahead<'m> {
    groups: Groups,
    from: Receiver<Batch<'m>>,
    /// What has come and was not asked for yet.
    arrived: BTreeMap<usize, Batch<'m>>,
}

/// What a reader made of a group.
struct Batch<'m> {
    reader: usize,
    group: usize,
    /// The ways that it met in it and not before.
    ways: NewWays,
    sets: Vec<(usize, Set<'m>, Vec<Remark>)>,
}

/// Groups of sets, of which each is read by who comes first.
#[derive(Clone)]
struct Groups {
    sets: Arc<Vec<Vec<usize>>>,
    next: Arc<AtomicUsize>,
}

impl Groups {
    /// The next group that nobody reads, if it is not beyond a position.
    fn claim(&self, last: usize) -> Option<usize> {
        let last = last.min(self.sets.len().saturating_sub(1));
        let next = |next: usize| (next <= last).then_some(next + 1);
        self.next.fetch_update(Ordering::Relaxed, Ordering::Relaxed, next).ok()
    }
}

impl<'m> SetReader<'m> {
    /// Reads a group.
    fn batch(&mut self, reader: usize, group: usize, sets: &[usize]) -> Batch<'m> {
        let read = |at: &usize| {
            let (set, remarks) = self.set(*at);
            (*at, set, remarks)
        };
        let sets = sets.iter().map(read).collect();
        Batch { reader, group, ways: self.ways.new_ones(), sets }
    }
}

impl<'m> SetsRead<'m> {
    /// The sets of a model, whose project has these units.
    pub(super) fn of(model: &'m dyn Model, units: Arc<Units>) -> Self {
        Self {
            own: SetReader::of(model, units),
            translations: vec![Translation::default()],
            read: ByPosition::default(),
            ahead: None,
        }
    }

    /// Lets another thread read groups of sets, if that pays.
    ///
    /// One at most: it stands still with the group that is waited for, so that no more is held than is read ahead; of
    /// several the others would go on.
    pub(super) fn begin<'s>(&mut self, scope: &'s Scope<'s, '_>, groups: Vec<Vec<usize>>)
    where
        'm: 's,
    {
        let threads = std::thread::available_parallelism().map_or(1, usize::from);
        if threads < 2 || groups.len() < WORTH_ONE {
            return;
        }
        let groups = Groups { sets: Arc::new(groups), next: Arc::default() };
        let (to, from) = sync_channel(AHEAD);
        let (model, units) = (self.own.entities.model, &self.own.units);
        let (of_other, reader) = (groups.clone(), self.translations.len());
        let mut own = SetReader::of(model, Arc::clone(units));
        let read = move || {
            while let Some(group) = of_other.claim(usize::MAX) {
                let batch = own.batch(reader, group, &of_other.sets[group]);
                // Nobody takes any more what somebody went away without.
                if to.send(batch).is_err() {
                    return;
                }
            }
        };
        // Where there is no other thread, all is read as it is asked for.
        if Builder::new().spawn_scoped(scope, read).is_err() {
            return;
        }
        self.translations.push(Translation::default());
        self.ahead = Some(Ahead { groups, from, arrived: BTreeMap::new() });
    }

    /// Gets a group, whose sets will be taken next; what was not taken of the one before is dropped.
    pub(super) fn fetch(&mut self, group: usize, ways: &mut Ways) {
        self.read.clear();
        let Some(ahead) = &mut self.ahead else { return };
        let batch = loop {
            if let Some(batch) = ahead.arrived.remove(&group) {
                break batch;
            }
            let batch = if let Ok(batch) = ahead.from.try_recv() {
                batch
            } else if let Some(next) = ahead.groups.claim(group + AHEAD) {
                self.own.batch(0, next, &ahead.groups.sets[next])
            } else if let Ok(batch) = ahead.from.recv() {
                batch
            } else {
                // The thread that had it came to an end, so it is read as it is asked for.
                return;
            };
            let Batch { reader, group, ways: new, sets } = batch;
            self.translations[reader].learn(ways, new);
            let ways = NewWays::default();
            ahead.arrived.insert(group, Batch { reader, group, ways, sets });
        };
        let reader = batch.reader;
        let read = |(at, set, remarks)| (at, (reader, set, remarks));
        self.read.extend(batch.sets.into_iter().map(read));
    }

    /// A set, with what is wrong with it.
    pub(super) fn take(&mut self, at: usize, ways: &mut Ways) -> (Set<'m>, Vec<Remark>) {
        let (reader, set, remarks) = match self.read.remove(&at) {
            Some(read) => read,
            None => {
                let (set, remarks) = self.own.set(at);
                self.translations[0].learn(ways, self.own.ways.new_ones());
                (0, set, remarks)
            }
        };
        let set = match set {
            Set::Own { record, fields, carriers } => {
                Set::Own { record, fields, carriers: self.translations[reader].of(carriers) }
            }
            other => other,
        };
        (set, remarks)
    }

    /// The value of one property by itself, with what is wrong with it.
    pub(super) fn value(
        &mut self,
        at: usize,
        property: &Entity<'_>,
        known: &Property,
    ) -> (Option<Stated>, Vec<Remark>) {
        self.own.single(at, property, known)
    }
}
