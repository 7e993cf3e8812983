//! Clashes that hang together: of a row of tendons at a wrong spacing each clashes with the next one.

use std::collections::BTreeMap;

use restrand_mechanics::room::NearestPlace;
use restrand_model::route::Route;

use super::cast::Cast;

/// What is cast in for two tendons overlaps.
#[derive(Clone, Copy)]
pub(super) struct Clash<'c> {
    /// Where it does most.
    pub(super) near: NearestPlace,
    /// What is cast in for each of them.
    pub(super) casts: [&'c Cast; 2],
}

impl Clash<'_> {
    /// The tendons, by their positions in the schedule.
    fn tendons(&self) -> [usize; 2] {
        self.casts.map(|cast| cast.tendon)
    }

    /// Its place in the order of the schedule.
    fn ordered(&self) -> [usize; 2] {
        let [one, other] = self.tendons();
        [one.min(other), one.max(other)]
    }

    /// How far apart the axes would have to be where they overlap most, mm.
    pub(super) const fn needed_mm(&self) -> f64 {
        self.near.axes_mm - self.near.gap_mm
    }
}

/// Clashes of tendons of which each clashes with another one of them: they are mended together.
pub(super) struct Group<'c> {
    /// In the order of the schedule.
    pub(super) clashes: Vec<Clash<'c>>,
}

impl<'c> Group<'c> {
    /// The clash that is worst; the first of several.
    pub(super) fn deepest(&self) -> Clash<'c> {
        let deeper = |one: Clash<'c>, next: &Clash<'c>| {
            if next.near.gap_mm < one.near.gap_mm { *next } else { one }
        };
        self.clashes[1..].iter().fold(self.clashes[0], deeper)
    }

    /// The one tendon that takes part in all of several clashes, by its position in the schedule.
    pub(super) fn common(&self) -> Option<usize> {
        let [first, others @ ..] = self.clashes.as_slice() else { return None };
        let mut shared = first.tendons().into_iter().filter(|tendon| {
            !others.is_empty() && others.iter().all(|clash| clash.tendons().contains(tendon))
        });
        shared.next()
    }

    /// Whether the tendon that is common to all may be moved alone, and not the spacing be wrong.
    ///
    /// Of a row of three the one in the middle is common too: the other two must leave room for it between them. Three
    /// and more that are clear of one another stand in no row.
    pub(super) fn is_at_fault(&self, common: usize) -> bool {
        let other = |clash: &Clash<'c>| match clash.casts {
            [one, other] if one.tendon == common => other,
            [one, _] => one,
        };
        let others: BTreeMap<&str, (&Cast, f64)> = self
            .clashes
            .iter()
            .map(|clash| (other(clash).mark.as_str(), (other(clash), clash.needed_mm())))
            .collect();
        let others: Vec<_> = others.into_values().collect();
        match others.as_slice() {
            [(one, needed_mm), (other, other_mm)] => {
                one.axes_apart_mm(other).is_some_and(|apart_mm| apart_mm >= needed_mm + other_mm)
            }
            others => others.len() > 2,
        }
    }

    /// What clashes with what, each pair in the order of the schedule.
    pub(super) fn pairs(&self) -> impl Iterator<Item = [Route; 2]> {
        self.clashes.iter().map(|clash| {
            let [one, other] = clash.casts;
            let pair = if one.tendon < other.tendon { [one, other] } else { [other, one] };
            pair.map(|cast| cast.route.clone())
        })
    }

    /// What takes part, each once and in the order of the schedule, with the marks of what it clashes with.
    pub(super) fn members(&self) -> Vec<(&'c Cast, Vec<&'c str>)> {
        let mut members: BTreeMap<_, (&Cast, Vec<&str>)> = BTreeMap::new();
        for [one, other] in self.clashes.iter().map(|clash| clash.casts) {
            for (cast, beside) in [(one, other), (other, one)] {
                let (_, marks) =
                    members.entry((cast.tendon, &cast.route)).or_insert_with(|| (cast, Vec::new()));
                marks.push(beside.mark.as_str());
            }
        }
        members.into_values().collect()
    }
}

/// Parts clashes into those that hang together, in the order of the schedule.
pub(super) fn groups(clashes: Vec<Clash<'_>>) -> Vec<Group<'_>> {
    let mut groups: Vec<Vec<Clash<'_>>> = Vec::new();
    let mut group_of: BTreeMap<usize, usize> = BTreeMap::new();
    for clash in clashes {
        let tendons = clash.tendons();
        let group = match tendons.map(|tendon| group_of.get(&tendon).copied()) {
            [None, None] => {
                groups.push(Vec::new());
                groups.len() - 1
            }
            [Some(group), None] | [None, Some(group)] => group,
            [Some(one), Some(other)] if one == other => one,
            [Some(one), Some(other)] => {
                // The smaller goes into the larger one, so that no clash is moved often.
                let (from, to) = match groups[one].len() < groups[other].len() {
                    true => (one, other),
                    false => (other, one),
                };
                let moved = std::mem::take(&mut groups[from]);
                group_of.extend(moved.iter().flat_map(Clash::tendons).map(|tendon| (tendon, to)));
                groups[to].extend(moved);
                to
            }
        };
        groups[group].push(clash);
        group_of.extend(tendons.map(|tendon| (tendon, group)));
    }
    let mut groups: Vec<_> = groups.into_iter().filter(|clashes| !clashes.is_empty()).collect();
    for clashes in &mut groups {
        clashes.sort_by_key(Clash::ordered);
    }
    groups.sort_by_key(|clashes| clashes.first().map(Clash::ordered));
    groups.into_iter().map(|clashes| Group { clashes }).collect()
}

#[cfg(test)]
mod tests;
