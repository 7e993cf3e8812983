//! What passes which opening by the plans of which tendons.

use restrand_plan::{Carried, Plan, StepId, WayTaken};
use restrand_rules::TendonAt;
use restrand_rules::ways::{Fed, longest_fed};

use crate::draw::{Drawings, Thing};

/// A thing that passes an opening, with the ways of which that is a part.
pub(super) struct Passed {
    pub(super) opening: usize,
    pub(super) thing: Option<Thing>,
    /// The longest of the thing, where it is a rod of plans, mm.
    longest_mm: Option<f64>,
    ways: Vec<OfTendons>,
}

/// What is carried on ways on which the same opening binds, and whose ways they are.
struct OfTendons {
    tendons: Vec<String>,
    /// What is carried; nothing for a jack.
    load: Option<Load>,
    /// The longest of it, and the thickest, mm.
    length_mm: f64,
    diameter_mm: f64,
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
            Self::Out => "stubs",
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
    let mut all = with_one_of_others(drawings, all);
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

/// Of the rods other than pieces of tendons at an opening, the one that leaves least stands for all.
fn with_one_of_others(
    drawings: &Drawings<'_, '_>,
    all: Vec<(Passed, Vec<(usize, StepId)>)>,
) -> Vec<(Passed, Vec<(usize, StepId)>)> {
    let mut fed = Fed::default();
    let (others, mut kept): (Vec<_>, Vec<_>) =
        all.into_iter().partition(|(passed, _)| passed.is_of_others());
    let mut others: Vec<_> = others
        .into_iter()
        .map(|(passed, of)| (passed.spare_mm(drawings, &mut fed), passed, of))
        .collect();
    others
        .sort_by(|one, other| one.1.opening.cmp(&other.1.opening).then(one.0.total_cmp(&other.0)));
    for (_, passed, of) in others {
        match kept.last_mut() {
            Some((least, known)) if least.opening == passed.opening && least.is_of_others() => {
                passed.ways.into_iter().for_each(|way| least.take(way));
                known.extend(
                    of.iter().filter(|one| !known.contains(one)).copied().collect::<Vec<_>>(),
                );
            }
            _ => kept.push((passed, of)),
        }
    }
    kept
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
        Self { opening, thing, longest_mm: None, ways: Vec::new() }
    }

    fn add(&mut self, mark: &str, way: &WayTaken) {
        let (load, [length_mm, diameter_mm]) = match &way.what {
            Carried::Jack(_) => (None, [0.0; 2]),
            Carried::Piece { length_mm, diameter_mm, .. } => {
                (Some(Load::Pieces), [*length_mm, *diameter_mm])
            }
            Carried::Load { comes_in, length_mm, diameter_mm, .. } => {
                (Some(if *comes_in { Load::In } else { Load::Out }), [*length_mm, *diameter_mm])
            }
        };
        if load.is_some() {
            self.longest_mm = Some(self.longest_mm.unwrap_or(0.0).max(length_mm));
        }
        let tendons = vec![mark.to_owned()];
        self.take(OfTendons { tendons, load, length_mm, diameter_mm, binds: way.binds });
    }

    /// Puts a way to those of the same kind on which the same opening binds.
    fn take(&mut self, way: OfTendons) {
        let same =
            self.ways.iter_mut().find(|known| known.load == way.load && known.binds == way.binds);
        let Some(known) = same else { return self.ways.push(way) };
        known.length_mm = known.length_mm.max(way.length_mm);
        known.diameter_mm = known.diameter_mm.max(way.diameter_mm);
        for mark in way.tendons {
            if !known.tendons.contains(&mark) {
                known.tendons.push(mark);
            }
        }
    }

    /// Whether rods are carried, of which none is a piece of a tendon.
    fn is_of_others(&self) -> bool {
        matches!(self.thing, Some(Thing::Rod { .. }))
            && self.ways.iter().all(|way| way.load != Some(Load::Pieces))
    }

    /// How much longer the longest might be, mm; least where nothing so thick passes, most where it is not known.
    fn spare_mm(&self, drawings: &Drawings<'_, '_>, fed: &mut Fed) -> f64 {
        let ways = &drawings.ways;
        let door = ways.doors.iter().find(|door| door.opening == self.opening);
        let (Some(Thing::Rod { diameter_mm }), Some(door)) = (self.thing, door) else {
            return f64::INFINITY;
        };
        match longest_fed(fed, ways, door, diameter_mm) {
            Ok(Some(longest)) => longest.longest_mm - self.longest_mm.unwrap_or(0.0),
            Ok(None) => f64::NEG_INFINITY,
            Err(_) => f64::INFINITY,
        }
    }

    /// The longest of what is drawn, mm; nothing where no plan has any.
    pub(super) const fn longest_mm(&self) -> Option<f64> {
        self.longest_mm
    }

    /// Whether what is drawn stands for other rods.
    pub(super) fn is_for_others(&self) -> bool {
        let Some(Thing::Rod { diameter_mm: own }) = self.thing else { return false };
        self.ways.iter().any(|way| {
            way.diameter_mm > own || self.longest_mm.is_some_and(|own| way.length_mm > own)
        })
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
                    "Holds for {} up to {} long and Ø {} of {tendons}; on the way {binds} binds.",
                    load.words(),
                    drawings.numbers.about(way.length_mm),
                    drawings.numbers.mm(way.diameter_mm)
                ),
            }
        };
        let rest = "Of the stubs and parts that pass, the one that leaves least is drawn.";
        let rest = self.is_for_others().then(|| rest.to_owned());
        self.ways.iter().map(line).chain(rest).collect()
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
