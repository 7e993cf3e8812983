//! What passes which opening by the plans of which tendons.

use restrand_plan::{Carried, Plan, StepId, WayTaken};
use restrand_rules::TendonAt;

use crate::draw::{Drawings, Thing};

/// A thing that passes an opening, with the ways of which that is a part.
pub(super) struct Passed {
    pub(super) opening: usize,
    pub(super) thing: Option<Thing>,
    ways: Vec<OfTendons>,
}

/// A way, and whose it is.
struct OfTendons {
    tendons: Vec<String>,
    /// The bay from which pieces come; nothing for a jack.
    bay: Option<String>,
    /// The longest piece, mm.
    length_mm: f64,
    openings: Vec<usize>,
    binds: usize,
}

/// All pairs of an opening and a thing, in the order of the openings; with the plans and steps of which each is.
pub(super) fn all<'p, 'a: 'p>(
    drawings: &Drawings<'_, 'a>,
    planned: impl Iterator<Item = (&'p TendonAt<'a>, &'p Plan)>,
) -> Vec<(Passed, Vec<(usize, StepId)>)> {
    let mut all: Vec<(Passed, Vec<(usize, StepId)>)> = Vec::new();
    for (position, (at, plan)) in planned.enumerate() {
        for step in &plan.steps {
            for way in &step.ways {
                let Some(thing) = thing(drawings, at, way) else { continue };
                for opening in &way.openings {
                    let known = all.iter().position(|(passed, _)| {
                        passed.opening == *opening && passed.thing == Some(thing)
                    });
                    let index = known.unwrap_or_else(|| {
                        all.push((Passed::without_plans(*opening, Some(thing)), Vec::new()));
                        all.len() - 1
                    });
                    let (passed, of) = &mut all[index];
                    passed.add(&at.mark(), way);
                    if !of.contains(&(position, step.id)) {
                        of.push((position, step.id));
                    }
                }
            }
        }
    }
    // Jacks before pieces, thick ones before thin ones.
    all.sort_by(|(one, _), (other, _)| {
        let rank = |passed: &Passed| match passed.thing {
            Some(Thing::Jack(jack)) => (passed.opening, 0, jack, 0.0),
            Some(Thing::Rod { diameter_mm }) => (passed.opening, 1, 0, -diameter_mm),
            None => (passed.opening, 2, 0, 0.0),
        };
        let (one, other) = (rank(one), rank(other));
        (one.0, one.1, one.2).cmp(&(other.0, other.1, other.2)).then(one.3.total_cmp(&other.3))
    });
    all
}

/// What is carried; nothing where the jack is not known.
fn thing(drawings: &Drawings<'_, '_>, at: &TendonAt<'_>, way: &WayTaken) -> Option<Thing> {
    match &way.what {
        Carried::Piece { diameter_mm, .. } => Some(Thing::Rod { diameter_mm: *diameter_mm }),
        Carried::Jack(name) => {
            let end = at.ends().find(|end| end.name == *name)?;
            let jack = drawings.context.jack(end.end.jack.as_ref())?;
            let jacks = &drawings.context.schedule.jacks;
            jacks.iter().position(|one| std::ptr::eq(one, jack.record)).map(Thing::Jack)
        }
    }
}

impl Passed {
    /// An opening with a thing of which no plan is at hand.
    pub(super) const fn without_plans(opening: usize, thing: Option<Thing>) -> Self {
        Self { opening, thing, ways: Vec::new() }
    }

    fn add(&mut self, mark: &str, way: &WayTaken) {
        let (bay, length_mm) = match &way.what {
            Carried::Jack(_) => (None, 0.0),
            Carried::Piece { bay, length_mm, .. } => (Some(bay), *length_mm),
        };
        let same = self.ways.iter_mut().find(|known| {
            known.bay.as_ref() == bay && known.openings == way.openings && known.binds == way.binds
        });
        match same {
            Some(known) => {
                known.length_mm = known.length_mm.max(length_mm);
                if !known.tendons.iter().any(|one| one == mark) {
                    known.tendons.push(mark.to_owned());
                }
            }
            None => self.ways.push(OfTendons {
                tendons: vec![mark.to_owned()],
                bay: bay.cloned(),
                length_mm,
                openings: way.openings.clone(),
                binds: way.binds,
            }),
        }
    }

    /// The longest piece that is carried through, mm; nothing where no plan has one.
    pub(super) fn longest_mm(&self) -> Option<f64> {
        let lengths = self.ways.iter().filter(|way| way.bay.is_some()).map(|way| way.length_mm);
        lengths.reduce(f64::max)
    }

    /// For which tendons it holds, and what binds on their ways.
    pub(super) fn lines(&self, drawings: &Drawings<'_, '_>) -> Vec<String> {
        // Pieces from several bays of the same tendons are one line; the plans have each way in full.
        let mut lines: Vec<(&[String], usize, Vec<String>)> = Vec::new();
        for way in &self.ways {
            let what = way
                .bay
                .as_ref()
                .map(|bay| format!("from {bay} up to {}", drawings.numbers.about(way.length_mm)));
            let same = lines
                .iter_mut()
                .find(|(tendons, binds, _)| *tendons == way.tendons && *binds == way.binds);
            match same {
                Some((.., pieces)) => pieces.extend(what),
                None => lines.push((&way.tendons, way.binds, what.into_iter().collect())),
            }
        }
        let line = |(tendons, binds, pieces): &(&[String], usize, Vec<String>)| {
            let pieces = match pieces.is_empty() {
                true => String::new(),
                false => format!(", pieces {}", pieces.join(", ")),
            };
            format!(
                "Holds for {}{pieces}; on the way {} binds.",
                named(tendons),
                drawings.ways.call(*binds)
            )
        };
        lines.iter().map(line).collect()
    }
}

/// Marks of tendons, as many as a sheet has room for.
fn named(tendons: &[String]) -> String {
    const MOST: usize = 60;
    match tendons.len() {
        count if count > MOST => {
            format!(
                "{} and {} more, whose plans lead here",
                tendons[..MOST].join(", "),
                count - MOST
            )
        }
        _ => tendons.join(", "),
    }
}
