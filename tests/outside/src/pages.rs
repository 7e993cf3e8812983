//! Pages of findings and of plans, for the programs that look at them.

use restrand_check::rulebook;
use restrand_model::System;
use restrand_model::reflect::Date;
use restrand_report::draw::Drawings;
use restrand_report::html::{self, Stamp};
use restrand_report::plan::Plans;
use restrand_report::{Checked, Identity, InForce, NoSources};
use restrand_rules::Context;

use crate::{read, root};

/// The page of findings, and that of the plans of a pair of tendons, of a schedule of the demo.
///
/// # Panics
/// The schedule is not there.
#[must_use]
pub fn pages(name: &str, system: System) -> [String; 2] {
    let reading = read(&root().join("fixtures/demo").join(name));
    let book = rulebook::built_in_force("lrfd-2020").expect("the book comes with the program");
    let as_of = Date::new(2026, 11, 25).expect("the calendar has it");
    let report = restrand_check::check(&reading, &book, as_of);
    let in_force = InForce { book: &book, why: "as the test says" };
    let identity = Identity::of("0", &[], Some(in_force)).expect("nothing is read");
    let checked = Checked {
        file: name,
        format: Some("workbook"),
        report: &report,
        reading: Some(&reading),
        sources: &NoSources,
        rulebook: Some(in_force),
        system,
        as_of: "2026-11-25",
    };
    let stamp = Stamp { identity: &identity, as_of, is_dated: true };
    let context =
        Context::new(&reading.schedule, &reading.problems, &reading.questions, &book, as_of);
    let drawings = Drawings::of(&context, system, &identity);
    let tendons: Vec<_> = context.tendons().take(2).collect();
    let plans: Vec<_> = tendons.iter().map(|at| restrand_plan::plan(&context, at)).collect();
    let drawn = drawings.of_plans(&tendons, &plans);
    let (mut found, mut planned) = (Vec::new(), Vec::new());
    html::check(&mut found, &checked, &stamp).expect("memory takes it");
    let plans = Plans { checked: &checked, plans: &plans };
    html::plans(&mut planned, &plans, &drawn.of_tendons, &drawn.openings, &stamp)
        .expect("memory takes it");
    [found, planned].map(|page| String::from_utf8(page).expect("a page is UTF-8"))
}
