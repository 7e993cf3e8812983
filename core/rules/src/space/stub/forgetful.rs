//! An anchorage whose stated whole length forgets some of its own parts.

use restrand_finding::{Fact, Finding, Kind};
use restrand_model::route::Route;
use restrand_model::schedule::Anchorage;

use super::RULE;
use super::geometry::Geometry;
use crate::context::{EndAt, Found, TendonAt};

/// An anchorage whose stated whole length is less than its own parts and the tail of an end make.
pub(super) struct Forgetful {
    anchorage: String,
    route: Route,
    stated_mm: f64,
    pub(super) of_parts_mm: f64,
    to: String,
    end: String,
    tail: Route,
}

impl Forgetful {
    pub(super) fn of(
        found: &Found<'_, Anchorage>,
        at: &TendonAt<'_>,
        end: &EndAt<'_>,
        geometry: &Geometry,
    ) -> Option<Self> {
        /// A stated length is written in whole millimetres or sixteenths of an inch.
        const WRITTEN_MM: f64 = 1.0;
        let stated_mm = found.record.whole_length_mm?;
        let (of_parts_mm, to) = geometry.whole_of_parts.clone()?;
        (stated_mm + WRITTEN_MM < of_parts_mm).then(|| Self {
            anchorage: found.record.id.as_deref().unwrap_or("without a name").to_owned(),
            route: found.route.field("whole_length_mm"),
            stated_mm,
            of_parts_mm,
            to,
            end: format!("end {} of {}", end.name, at.mark()),
            tail: end.route.field("tail_mm"),
        })
    }

    pub(super) fn finding(self) -> Finding {
        Finding::new(
            RULE.id,
            Kind::Inconsistent,
            self.route,
            "of anchorage {anchorage} {stated_whole_mm} are stated to stay whole, but its parts and the tail at \
             {end} make {parts_whole_mm}, from the rearmost point to the span end of {to}",
        )
        .related(self.tail, "the tail there")
        .help("Correct the whole length, the tail, or the parts' positions; the plan takes the longer one")
        .fact(Fact::text("anchorage", self.anchorage))
        .fact(Fact::text("end", self.end))
        .fact(Fact::text("to", self.to))
        .fact(Fact::given("stated_whole_mm", self.stated_mm, 0))
        .fact(Fact::computed("parts_whole_mm", self.of_parts_mm, 0))
    }
}
