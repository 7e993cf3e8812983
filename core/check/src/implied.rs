//! What follows from another finding is not said once more.
//!
//! A duct whose dimensions contradict each other has a wrong bore, and every tendon in it a wrong ratio of areas:
//! the user is told of the dimensions, and how many findings follow from such roots.
//! A finding that names the values it rests on follows only from a finding at one of these: two faults of one tendon
//! may have nothing to do with each other, and what is hidden behind the wrong one is lost.
//! A root is as grave as the gravest of what follows from it, so that no error is lost behind a warning; and what is
//! waived is no root.

use std::collections::{BTreeMap, BTreeSet};

use restrand_finding::{Finding, Where};
use restrand_model::route::{Route, Step};
use restrand_rules::{CATALOGUE, find};

use crate::locate::{LocatedFinding, LocatedRelated};

/// A record of the schedule, by its list and its position there; of a record of which there is one alone, its name.
type Record = (&'static str, Option<usize>);

/// The record that a finding is about: one of the schedule's lists, and of a record in it perhaps an inner one.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
struct Subject {
    record: Record,
    inner: Option<(&'static str, Step)>,
}

impl Subject {
    fn of(route: &Route) -> Option<Self> {
        let (first, rest) = route.steps().split_first()?;
        let Step::Field(list) = *first else {
            return None;
        };
        let (index, rest) = match rest.split_first() {
            Some((Step::Item(index), rest)) => (Some(*index), rest),
            _ => (None, rest),
        };
        // An end, or an item of an inner list; a plain field is the record's own.
        let inner = match rest {
            [Step::Field(name), step @ Step::Item(_), ..]
            | [Step::Field(name), step @ Step::Field(_), ..] => Some((*name, *step)),
            _ => None,
        };
        Some(Self { record: (list, index), inner })
    }

    /// Whether what is wrong with the one may be what is wrong with the other.
    fn meets(&self, other: &Self) -> bool {
        self.record == other.record
            && match (&self.inner, &other.inner) {
                // Two ends of a tendon have nothing to do with each other; its points and its ends have.
                (Some((one, step)), Some((name, other))) => one != name || step == other,
                _ => true,
            }
    }
}

/// The places of a finding in the schedule; its own comes first.
fn routes(finding: &Finding) -> impl Iterator<Item = &Route> {
    let related = finding.related.iter().map(|related| &related.place);
    std::iter::once(&finding.place).chain(related).filter_map(|place| match place {
        Where::Route(route) => Some(route),
        Where::File(_) | Where::Limit(_) => None,
    })
}

/// Parts the findings from those that follow from others, and makes each root as grave as the gravest of what
/// follows from it.
pub(crate) fn without_consequences(
    mut findings: Vec<LocatedFinding>,
) -> (Vec<LocatedFinding>, Vec<LocatedFinding>) {
    let roots = Roots::of(&findings);
    let root_of: Vec<Option<usize>> =
        findings.iter().map(|found| roots.of_finding(&found.finding)).collect();
    let follows = hand_up(&mut findings, &root_of);
    let mut hidden = root_of.iter().map(Option::is_some);
    let mut split: (Vec<_>, Vec<_>) =
        findings.into_iter().partition(|_| !hidden.next().unwrap_or(false));
    let mut shown = root_of.iter().zip(follows).filter(|(root, _)| root.is_none());
    for found in &mut split.0 {
        if let Some((_, Some(graver))) = shown.next() {
            found.related.insert(0, graver);
        }
    }
    split
}

/// A place of a finding that may be a root.
struct At<'a> {
    /// The finding, by its position among all.
    position: usize,
    route: &'a Route,
    /// Whether it is the finding's own place, and no further one.
    is_its_own: bool,
    /// The finding's own record, of a place in another list: many records share what such a place holds.
    shared_from: Option<Record>,
}

impl At<'_> {
    /// Whether what follows from certain records can follow from this finding: a value that it shares with others is
    /// the root of what its own record has to do with alone.
    fn may_be_root(&self, records: &BTreeSet<Record>) -> bool {
        self.shared_from.is_none_or(|own| records.contains(&own))
    }
}

/// Where findings that may be roots stand among all, by rule and subject.
struct Roots<'a> {
    findings: &'a [LocatedFinding],
    by_rule: BTreeMap<&'static str, BTreeMap<Subject, Vec<At<'a>>>>,
}

impl<'a> Roots<'a> {
    fn of(findings: &'a [LocatedFinding]) -> Self {
        let rules: BTreeSet<_> = CATALOGUE.iter().flat_map(|rule| rule.implied_by).collect();
        let mut by_rule: BTreeMap<_, BTreeMap<_, Vec<_>>> = BTreeMap::new();
        for (position, found) in findings.iter().enumerate() {
            let finding = &found.finding;
            if !rules.contains(&finding.rule) {
                continue;
            }
            let own = match &finding.place {
                Where::Route(own) => Subject::of(own).map(|subject| subject.record),
                Where::File(_) | Where::Limit(_) => None,
            };
            for route in routes(finding) {
                let is_its_own =
                    matches!(&finding.place, Where::Route(own) if std::ptr::eq(own, route));
                if let Some(subject) = Subject::of(route) {
                    let shared_from = own.filter(|(list, _)| *list != subject.record.0);
                    let at = At { position, route, is_its_own, shared_from };
                    by_rule.entry(finding.rule).or_default().entry(subject).or_default().push(at);
                }
            }
        }
        Self { findings, by_rule }
    }

    /// The gravest root from which a finding follows, the first of them.
    fn of_finding(&self, finding: &Finding) -> Option<usize> {
        let implied_by = find(finding.rule).map_or(&[][..], |rule| rule.implied_by);
        let mut gravest: Option<usize> = None;
        let mut take = |at: &At<'_>| {
            let severity = |position: usize| self.findings[position].finding.severity;
            let is_graver = gravest.is_none_or(|known| {
                (severity(known), std::cmp::Reverse(known))
                    < (severity(at.position), std::cmp::Reverse(at.position))
            });
            if is_graver {
                gravest = Some(at.position);
            }
        };
        for root in implied_by.iter().filter_map(|root| self.by_rule.get(root)) {
            let Some(rests_on) = &finding.rests_on else {
                for subject in routes(finding).filter_map(Subject::of) {
                    near(root, &subject).filter(|at| at.is_its_own).for_each(&mut take);
                }
                continue;
            };
            let all = routes(finding).chain(rests_on).filter_map(Subject::of);
            let records: BTreeSet<_> = all.map(|subject| subject.record).collect();
            for route in rests_on {
                let Some(subject) = Subject::of(route) else { continue };
                // A fault is told at a value or at what holds it; a further place is the value itself.
                let is_at = |at: &&At<'_>| {
                    (at.route.is_within(route) && at.may_be_root(&records))
                        || (at.is_its_own && route.is_within(at.route))
                };
                near(root, &subject).filter(is_at).for_each(&mut take);
            }
        }
        gravest
    }
}

/// The places of one rule's findings that meet a subject.
fn near<'r, 'a>(
    root: &'r BTreeMap<Subject, Vec<At<'a>>>,
    subject: &Subject,
) -> impl Iterator<Item = &'r At<'a>> {
    // All subjects of one record stand together.
    let first = Subject { record: subject.record, inner: None };
    root.range(first..)
        .take_while(|(root, _)| root.record == subject.record)
        .filter(|(root, _)| root.meets(subject))
        .flat_map(|(_, at)| at)
}

/// Hands the severities of what follows up to the roots, and tells for each finding what made it graver.
fn hand_up(
    findings: &mut [LocatedFinding],
    root_of: &[Option<usize>],
) -> Vec<Option<LocatedRelated>> {
    let mut graver: Vec<Option<LocatedRelated>> = vec![None; findings.len()];
    // A root may follow from another: what follows from it counts for the last one.
    for position in 0..findings.len() {
        let severity = findings[position].finding.severity;
        let mut root = root_of[position];
        while let Some(up) = root {
            if findings[up].finding.severity < severity {
                let found = &findings[position];
                graver[up] = Some(LocatedRelated {
                    place: Some(found.place.clone()),
                    record: found.record,
                    path: found.path.clone(),
                    name: found.route.clone(),
                    text: format!("as grave as what follows here: {}", found.finding.rule),
                });
                findings[up].finding.severity = severity;
            }
            root = root_of[up];
        }
    }
    graver
}

#[cfg(test)]
mod tests {
    use restrand_finding::Kind;

    use super::*;
    use crate::locate;

    #[test]
    fn roots_are_rules_and_have_no_circle() {
        fn depth(id: &str, seen: &mut Vec<&'static str>) {
            let rule = find(id).unwrap_or_else(|| panic!("no rule is called {id}"));
            assert!(!seen.contains(&rule.id), "{id} follows from itself: {seen:?}");
            seen.push(rule.id);
            for root in rule.implied_by {
                depth(root, seen);
            }
            seen.pop();
        }
        for rule in CATALOGUE {
            depth(rule.id, &mut Vec::new());
        }
    }

    #[test]
    fn ends_are_apart_and_a_tendon_is_one() {
        let tendon = Route::to("tendons", 2);
        let end = |name| Subject::of(&tendon.field("ends").field(name).field("jack")).unwrap();
        let point = Subject::of(&tendon.field("points").item(1).field("station_m")).unwrap();
        let whole = Subject::of(&tendon.field("strand_count")).unwrap();
        assert!(end("a").meets(&end("a")));
        assert!(!end("a").meets(&end("b")));
        assert!(end("a").meets(&point));
        assert!(whole.meets(&end("b")));
        assert!(!whole.meets(&Subject::of(&Route::to("tendons", 3)).unwrap()));
    }

    fn found(rule: &'static str, place: Route, rests_on: Option<Vec<Route>>) -> LocatedFinding {
        let mut finding = Finding::new(rule, Kind::Physical, place, "");
        finding.rests_on = rests_on;
        locate::of_file(finding)
    }

    /// A trumpet that does not come in follows from a stub that does not come out of the same length, and from nothing
    /// else that is wrong with stubs.
    #[test]
    fn only_the_very_value_is_a_root() {
        let end = |name| Route::to("tendons", 0).field("ends").field(name);
        let behind = |name| end(name).field("removal_space").field("behind_mm");
        let hidden_by = |place: Route| {
            let trumpet = found("space/new-trumpet", behind("b"), Some(vec![behind("b")]));
            without_consequences(vec![trumpet, found("space/stub", place, None)]).1.len()
        };
        assert_eq!(hidden_by(behind("b")), 1);
        assert_eq!(hidden_by(behind("a")), 0);
        assert_eq!(hidden_by(end("b").field("removal_space").field("right_mm")), 0);
        assert_eq!(hidden_by(end("b").field("stub_pulls")), 0);
        assert_eq!(hidden_by(Route::to("anchorages", 0).field("whole_length_mm")), 0);
        // What holds the value counts as the value.
        assert_eq!(hidden_by(end("b").field("removal_space")), 1);
    }

    /// Two tendons have one strand, at which a force that is off at the one is shown: what is off at the other has
    /// nothing to do with that force, unless it rests on a value of that tendon too.
    #[test]
    fn a_shared_value_is_the_root_of_what_is_off_at_the_same_tendon() {
        let area = Route::to("strands", 0).field("area_mm2");
        let stated = |tendon, name| Route::to("tendons", tendon).field("stressing").field(name);
        let hidden = |rests_on: Vec<Route>| {
            let mut force = found("stressing/force-mismatch", stated(1, "seated_force_a_kn"), None);
            force.finding = force.finding.related(area.clone(), "the strand");
            let place = stated(0, "elongation_a_mm");
            let elongation = found("stressing/elongation-mismatch", place, Some(rests_on));
            without_consequences(vec![elongation, force]).1.len()
        };
        assert_eq!(hidden(vec![area.clone()]), 0);
        assert_eq!(hidden(vec![area.clone(), stated(1, "mu")]), 1);
    }

    #[test]
    fn a_finding_that_rests_on_nothing_is_told() {
        let place = Route::to("bays", 1);
        let no_way = found("access/no-way", place.clone(), Some(Vec::new()));
        let dangling = |place| found("schedule/dangling-reference", place, None);
        let (told, hidden) =
            without_consequences(vec![no_way, dangling(place.field("from_place"))]);
        assert_eq!((told.len(), hidden.len()), (2, 0));
    }
}
