//! What plans and drawings are told of the work on a tendon, where no rule asks for it, in numbers worked out by hand.
#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

mod mass;
mod pieces;
mod place;
mod stressing;
mod widths;

use std::path::Path;

use restrand_check::rulebook::built_in_force;
use restrand_intake::read;
use restrand_json::Json;
use restrand_kit::{Budget, Bytes, Parts};
use restrand_model::reflect::Date;
use restrand_model::schedule::Schedule;
use restrand_rules::{Context, TendonAt};

/// The schedule of `fixtures/works`, with a change: 19 strands of 150 mm² and 1.172 kg/m in a polyethylene duct of
/// 125 and 110 mm, in two legs of 20 m along and 2 m down and up.
fn with<T>(
    change: impl FnOnce(&mut Schedule),
    ask: impl FnOnce(&Context<'_>, &TendonAt<'_>) -> T,
) -> T {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../fixtures/works/tendon.json");
    let bytes = Bytes::new("tendon.json", std::fs::read(path).unwrap());
    let mut schedule = read(&Json, Parts(&[&bytes]), Budget::default()).unwrap().schedule;
    change(&mut schedule);
    let book = built_in_force("base").unwrap();
    let context = Context::new(&schedule, &[], &[], &book, Date::new(2031, 5, 7).unwrap());
    let at = context.tendons().next().unwrap();
    ask(&context, &at)
}

#[track_caller]
fn near(found: f64, expected: f64) {
    assert!((found - expected).abs() <= 1e-9 * expected.abs().max(1.0), "{found} {expected}");
}
