//! A jack cannot be threaded on over the tail in the room behind the anchorage.

use restrand_finding::{Citation, Evidence, Kind, Outcomes};
use restrand_mechanics::room::JackCase;

use super::jack_case::{self, ROOM, SIDE};
use crate::context::{Context, TendonAt};
use crate::rule::{Check, Corrects, Rule};

pub(crate) const RULE: Rule = Rule {
    id: "space/jack-thread-on",
    summary: "the room to thread each end's jack on over the full tail",
    kinds: &[Kind::Physical, Kind::Margin],
    limits: &[ROOM, SIDE],
    sources: &[Citation::new(
        "geometry of a jack that goes on and off along the axis; no published procedure could be read",
        Evidence::Derived,
    )],
    correction: Corrects::Nothing,
    implied_by: &[],
    page: include_str!("jack_thread_on.md"),
    check: Check::Tendons(check),
};

fn check(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    jack_case::check(context, at, (RULE.id, JackCase::Threading), outcomes);
}
