//! Which errors of a check were not there before.

use std::collections::HashMap;

use restrand_finding::{Finding, Severity, Where};
use restrand_model::reading::Place;
use restrand_model::route::{Names, Route};
use restrand_model::schedule::Schedule;

use crate::run::Report;

/// Where an error shows: by positions, which no correction changes, as it may change names.
#[derive(PartialEq, Eq, Hash)]
enum At {
    Route(Route),
    File(String),
    Limit(&'static str),
}

impl From<&Where> for At {
    fn from(place: &Where) -> Self {
        match place {
            Where::Route(route) => Self::Route(route.clone()),
            Where::File(place) => Self::File(place_shown(place)),
            Where::Limit(name) => Self::Limit(name),
        }
    }
}

fn place_shown(place: &Place) -> String {
    format!("{place:?}")
}

/// The errors of a check by rule and place.
pub(super) struct Errors {
    /// How many there are at each place; none where it is only a further place of one.
    at: HashMap<(&'static str, At), usize>,
}

impl Errors {
    pub(super) fn of(report: &Report) -> Self {
        let mut at: HashMap<_, usize> = HashMap::new();
        for finding in errors(report) {
            *at.entry((finding.rule, At::from(&finding.place))).or_default() += 1;
            for related in &finding.related {
                at.entry((finding.rule, At::from(&related.place))).or_default();
            }
        }
        Self { at }
    }

    /// The errors of a later check that were not there: their rules, and their routes with names.
    ///
    /// A finding that is told once for several places is the same when it moves to another of them, and one
    /// that followed from another is the same when that is mended.
    pub(super) fn new_in(
        &self,
        report: &Report,
        names: &Names,
        schedule: &Schedule,
    ) -> Vec<(&'static str, String)> {
        let mut left: HashMap<_, usize> = HashMap::new();
        let mut new = Vec::new();
        for found in report.findings.iter().chain(&report.implied) {
            let finding = &found.finding;
            if finding.severity != Severity::Error {
                continue;
            }
            let key = (finding.rule, At::from(&finding.place));
            let known = self.at.get(&key).map_or(0, |count| (*count).max(1));
            let count = left.entry(key).or_default();
            *count += 1;
            if *count > known {
                let place = found.route.clone().unwrap_or_else(|| match &finding.place {
                    Where::Route(route) => names.show(route, schedule),
                    Where::File(place) => place_shown(place),
                    Where::Limit(name) => (*name).to_owned(),
                });
                new.push((finding.rule, place));
            }
        }
        new
    }
}

fn errors(report: &Report) -> impl Iterator<Item = &Finding> {
    // A waiver names its finding by route, and may cover another one once a name is changed.
    let waived = report.waivers.iter().flat_map(|waived| &waived.findings);
    let all = report.findings.iter().chain(&report.implied).chain(waived);
    all.map(|found| &found.finding).filter(|finding| finding.severity == Severity::Error)
}
