//! Values of sheets of what is built that may be the measured ones: what jacking gave is none of what it is to give.
//!
//! Where another sheet states the same tendons as they are to be, the forces, elongations and draw-ins of the one of what
//! is built are asked, as far as they are others.

use restrand_model::reading::Sureness;

use super::super::assign::{ANOTHER_VALUE, Assigned};
use super::super::{Looked, grid::Sheet};
use super::lines::Lines;
use super::stage::{Stage, read};

/// Fields of which a record of the work states what was measured.
const MEASURED: [&str; 5] = [
    "tendon.stressing.jacking_force_kn",
    "tendon.stressing.jacking_share",
    "tendon.stressing.elongation_a_mm",
    "tendon.stressing.elongation_b_mm",
    "tendon.stressing.set_mm",
];

/// A sheet of which the name says what it is of.
struct Named {
    at: usize,
    part: String,
    rest: Vec<String>,
    stage: Stage,
    lines: Lines,
}

/// Makes questions of the columns that may state what was measured.
pub(super) fn ask(looked: &mut [Looked]) {
    let named: Vec<Named> = looked
        .iter()
        .enumerate()
        .filter(|(_, one)| !one.found.is_empty())
        .filter_map(|(at, one)| {
            let (rest, version) = read(&one.sheet.name)?;
            let part = one.sheet.part.clone();
            Some(Named { at, part, rest, stage: version.stage, lines: Lines::of(one) })
        })
        .collect();
    for one in &named {
        let of_others = named.iter().filter(|other| {
            (&other.part, &other.rest) == (&one.part, &one.rest) && one.gives_way_to(other)
        });
        let others: Vec<&Lines> = of_others.map(|other| &other.lines).collect();
        if !others.is_empty() {
            ask_of(&mut looked[one.at], one.stage, &others);
        }
    }
}

impl Named {
    /// Whether values that it states otherwise than another may be none of what is to be: those of what is built beside
    /// all that are earlier, and those of a tender beside what is built.
    fn gives_way_to(&self, other: &Self) -> bool {
        let of_plans = [Stage::Tender, Stage::Design, Stage::Unsaid, Stage::Construction];
        match (self.stage, other.stage) {
            (Stage::Built, other) => of_plans.contains(&other),
            (Stage::Tender, Stage::Built) => true,
            _ => false,
        }
    }
}

/// Asks of the columns of a sheet that state otherwise than others, or what these do not state.
fn ask_of(one: &mut Looked, stage: Stage, others: &[&Lines]) {
    let Looked { sheet, found, .. } = one;
    for found in found.iter_mut().filter(|found| found.assignment.list == "Tendons") {
        let mut lines = Lines::default();
        lines.add(sheet, found);
        let per_end = found.assignment.per_end;
        for column in found.assignment.columns.iter_mut().filter(|one| is_measured(one)) {
            let is_anew = |other: &&Lines| match stage {
                // What is built does not state is still that of the tender.
                Stage::Tender => {
                    lines.contradictions(other).iter().any(|(_, of)| *of == column.index)
                }
                _ => lines.states_anew(other, column.index),
            };
            if per_end || others.iter().any(is_anew) {
                make_question(sheet, column);
            }
        }
    }
}

fn is_measured(column: &Assigned) -> bool {
    column.target.is_some_and(|target| MEASURED.contains(&target.name().as_str()))
}

fn make_question(sheet: &Sheet, column: &mut Assigned) {
    let Some(target) = column.target.take() else { return };
    column.readings = vec![target.name(), ANOTHER_VALUE.to_owned()];
    column.qualified = Some(target);
    column.sureness = Sureness::Asked;
    column.why = format!(
        "the name of the sheet, \"{}\", can say that it is what was measured, and no other sheet states the same",
        sheet.name
    );
}
