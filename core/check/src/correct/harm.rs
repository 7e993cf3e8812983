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
    /// What is told together with others, by the two places between which it is wrong.
    Pair([Route; 2]),
}

impl At {
    /// All that a finding tells: what is told in one is looked at pair by pair, so that a further pair is seen.
    fn told(finding: &Finding) -> Vec<Self> {
        match finding.pairs.as_slice() {
            [] => vec![Self::from(&finding.place)],
            pairs => pairs.iter().cloned().map(Self::Pair).collect(),
        }
    }
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
            for told in At::told(finding) {
                *at.entry((finding.rule, told)).or_default() += 1;
            }
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
            let mut is_new = false;
            for told in At::told(finding) {
                let key = (finding.rule, told);
                let known = self.at.get(&key).map_or(0, |count| (*count).max(1));
                let count = left.entry(key).or_default();
                *count += 1;
                is_new |= *count > known;
            }
            if is_new {
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

#[cfg(test)]
mod tests {
    use restrand_finding::{Kind, Outcomes};

    use super::*;
    use crate::locate;
    use crate::run::Coverage;

    /// A report of one finding at the first of these tendons, which names them all and tells of them pair by pair.
    fn report(pairs: &[[usize; 2]]) -> Report {
        let place = |tendon| Route::to("tendons", tendon).field("ends").field("a");
        let mut finding = Finding::new("parts/forms-clash", Kind::Physical, place(pairs[0][0]), "");
        for pair in pairs {
            finding = finding.pair(pair.map(place));
            for tendon in pair {
                finding = finding.related(place(*tendon), "");
            }
        }
        let located = locate::of_file(finding);
        Report {
            findings: vec![located],
            waivers: Vec::new(),
            outcomes: Outcomes::of("parts/forms-clash"),
            coverage: Coverage::default(),
            implied: Vec::new(),
            rulebook: String::new(),
        }
    }

    #[test]
    fn a_further_pair_in_what_is_told_in_one_is_new() {
        let schedule = Schedule::default();
        let names = Names::of(&schedule);
        let before = Errors::of(&report(&[[1, 2], [2, 3]]));
        let new = |pairs: &[[usize; 2]]| before.new_in(&report(pairs), &names, &schedule).len();
        assert_eq!(new(&[[1, 2], [2, 3]]), 0);
        // What is mended of it leaves the rest as it was, at whatever place.
        assert_eq!(new(&[[2, 3]]), 0);
        // A new member, and two members that did not clash with one another.
        assert_eq!(new(&[[1, 2], [2, 3], [3, 4]]), 1);
        assert_eq!(new(&[[1, 2], [1, 3], [2, 3]]), 1);
    }
}
