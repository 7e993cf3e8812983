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

/// What is carried on ways on which the same opening binds, and whose ways they are.
struct OfTendons {
    tendons: Vec<String>,
    /// What is carried; nothing for a jack.
    load: Option<Load>,
    /// The longest of it, mm.
    length_mm: f64,
    binds: usize,
}

/// What long and round things are carried.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Load {
    Pieces,
    Out,
    In,
}

impl Load {
    const ALL: [Self; 3] = [Self::Pieces, Self::Out, Self::In];

    const fn words(self) -> &'static str {
        match self {
            Self::Pieces => "pieces of tendons",
            Self::Out => "stubs and bars",
            Self::In => "new parts",
        }
    }
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
        Carried::Piece { diameter_mm, .. } | Carried::Load { diameter_mm, .. } => {
            Some(Thing::Rod { diameter_mm: *diameter_mm })
        }
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
        let (load, length_mm) = match &way.what {
            Carried::Jack(_) => (None, 0.0),
            Carried::Piece { length_mm, .. } => (Some(Load::Pieces), *length_mm),
            Carried::Load { comes_in, length_mm, .. } => {
                (Some(if *comes_in { Load::In } else { Load::Out }), *length_mm)
            }
        };
        let same =
            self.ways.iter_mut().find(|known| known.load == load && known.binds == way.binds);
        match same {
            Some(known) => {
                known.length_mm = known.length_mm.max(length_mm);
                if !known.tendons.iter().any(|one| one == mark) {
                    known.tendons.push(mark.to_owned());
                }
            }
            None => self.ways.push(OfTendons {
                tendons: vec![mark.to_owned()],
                load,
                length_mm,
                binds: way.binds,
            }),
        }
    }

    /// The longest that is carried through, mm; nothing where no plan has any.
    pub(super) fn longest_mm(&self) -> Option<f64> {
        let lengths = self.ways.iter().filter(|way| way.load.is_some()).map(|way| way.length_mm);
        lengths.reduce(f64::max)
    }

    /// The kinds of rods that are carried through, in words.
    pub(super) fn kinds(&self) -> String {
        let is_carried = |load: &Load| self.ways.iter().any(|way| way.load == Some(*load));
        let kinds = Load::ALL.into_iter().filter(is_carried).map(Load::words);
        match kinds.collect::<Vec<_>>().as_slice() {
            [] => Load::Pieces.words().to_owned(),
            [one] => (*one).to_owned(),
            [first @ .., last] => format!("{} and {last}", first.join(", ")),
        }
    }

    /// For which tendons it holds, and what binds on their ways; the plans have each way in full.
    pub(super) fn lines(&self, drawings: &Drawings<'_, '_>) -> Vec<String> {
        let line = |way: &OfTendons| {
            let (tendons, binds) = (named(&way.tendons), drawings.ways.call(way.binds));
            match way.load {
                None => format!("Holds for {tendons}; on the way {binds} binds."),
                Some(load) => format!(
                    "Holds for {} up to {} of {tendons}; on the way {binds} binds.",
                    load.words(),
                    drawings.numbers.about(way.length_mm)
                ),
            }
        };
        self.ways.iter().map(line).collect()
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
