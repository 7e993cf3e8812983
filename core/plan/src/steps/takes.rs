//! Whether the anchorages take the strands, before anything is ordered for them.

use restrand_finding::Fact;
use restrand_model::route::Route;
use restrand_rules::EndAt;
use restrand_rules::works::{self, Capacity};

use crate::plan::{Blocked, Line, Step};
use crate::tendon::Known;

/// What is wrong with an anchorage, or with the number of strands at it, and the ends at which it is.
pub(super) struct Contradiction {
    constraint: Line,
    ends: Vec<String>,
    place: Route,
}

impl Contradiction {
    /// What is wrong, with its ends.
    pub(super) fn line(&self) -> Line {
        let line = Line {
            text: format!("at {{ends}} {}", self.constraint.text),
            facts: self.constraint.facts.clone(),
        };
        line.with(Fact::text("ends", self.ends.join(" and ")))
    }
}

/// Anchorages that do not take the strands, or contradict themselves on them, each once: nothing is ordered, and no
/// strand goes in, before that is settled.
pub(super) fn contradictions(known: &Known<'_, '_>) -> Vec<Contradiction> {
    let mut all: Vec<Contradiction> = Vec::new();
    for end in &known.ends {
        let Some((constraint, place)) = of_end(known, end) else { continue };
        match all.iter_mut().find(|one| one.constraint == constraint) {
            Some(same) => same.ends.push(end.call()),
            None => all.push(Contradiction { constraint, ends: vec![end.call()], place }),
        }
    }
    all
}

fn of_end(known: &Known<'_, '_>, end: &EndAt<'_>) -> Option<(Line, Route)> {
    let found = known.context.anchorage(end.end)?;
    let name = found.record.id.as_deref().unwrap_or("without a name");
    let line = |text: &str| Line::from(text).with(Fact::text("anchorage", name));
    let number = |name: &'static str, count: u32| Fact::given(name, f64::from(count), 0);
    let both = end.end.strand_count.zip(known.tendon.strand_count);
    if let Some((own, of_tendon)) = both.filter(|(own, of_tendon)| own != of_tendon) {
        let line =
            line("{own} strands are stated, and {strands} for the tendon: one of the two is wrong")
                .with(number("own", own))
                .with(number("strands", of_tendon));
        return Some((line, end.route.field("strand_count")));
    }
    let count = end.end.strand_count.or(known.tendon.strand_count)?;
    let line = match works::capacity(found.record, count) {
        Capacity::Contradicts { listed, holes } => line("anchorage {anchorage} is listed for {listed} strands, but its wedge plate has {holes} holes: which of the two is right is not known")
            .with(number("listed", listed))
            .with(number("holes", holes)),
        Capacity::Short(most) => line("anchorage {anchorage} takes {most} strands, and the tendon has {strands}")
            .with(number("most", most))
            .with(number("strands", count)),
        Capacity::Enough | Capacity::Unknown => return None,
    };
    Some((line, found.route.field("wedge_plate_holes")))
}

/// Puts them against the plan.
pub(super) fn against(known: &Known<'_, '_>, step: &Step, blocked: &mut Vec<Blocked>) {
    blocked.extend(contradictions(known).into_iter().map(|one| Blocked {
        step: step.id,
        constraint: one.line(),
        remedy: Line::from("the number of strands and the holes of the wedge plate corrected to the anchorage supplier's list; until then no plate, no wedges and no strand are ordered"),
        place: one.place,
    }));
}
