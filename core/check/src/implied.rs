//! What follows from another finding is not said once more.
//!
//! A duct whose dimensions contradict each other has a wrong bore, and every tendon in it a wrong ratio of areas:
//! the user is told of the dimensions, and how many findings follow from such roots.
//! A root is as grave as the gravest of what follows from it, so that no error is lost behind a warning; and what is
//! waived is no root.

use std::collections::BTreeMap;

use restrand_finding::{Finding, Where};
use restrand_model::route::{Route, Step};
use restrand_rules::find;

use crate::locate::{LocatedFinding, LocatedRelated};

/// The record that a finding is about: one of the schedule's lists, and of a record in it perhaps an inner one.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
struct Subject {
    record: (&'static str, Option<usize>),
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

fn subjects(finding: &Finding) -> impl Iterator<Item = Subject> {
    let related = finding.related.iter().map(|related| &related.place);
    std::iter::once(&finding.place).chain(related).filter_map(|place| match place {
        Where::Route(route) => Subject::of(route),
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
        findings.iter().map(|found| roots.of_finding(&found.finding, &findings)).collect();
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

/// Where findings that may be roots stand among all, by rule and subject.
struct Roots(BTreeMap<&'static str, BTreeMap<Subject, usize>>);

impl Roots {
    fn of(findings: &[LocatedFinding]) -> Self {
        let mut roots: BTreeMap<&'static str, BTreeMap<Subject, usize>> = BTreeMap::new();
        for (position, found) in findings.iter().enumerate() {
            if let Where::Route(route) = &found.finding.place
                && let Some(subject) = Subject::of(route)
            {
                let gravest =
                    roots.entry(found.finding.rule).or_default().entry(subject).or_insert(position);
                if findings[*gravest].finding.severity < found.finding.severity {
                    *gravest = position;
                }
            }
        }
        Self(roots)
    }

    /// The gravest root from which a finding follows, the first of them.
    fn of_finding(&self, finding: &Finding, findings: &[LocatedFinding]) -> Option<usize> {
        let implied_by = find(finding.rule).map_or(&[][..], |rule| rule.implied_by);
        let roots: Vec<_> = implied_by.iter().filter_map(|root| self.0.get(root)).collect();
        if roots.is_empty() {
            return None;
        }
        let mut gravest: Option<usize> = None;
        for subject in subjects(finding) {
            // All subjects of one record stand together.
            let first = Subject { record: subject.record, inner: None };
            for root in &roots {
                let near = root
                    .range(first.clone()..)
                    .take_while(|(root, _)| root.record == subject.record)
                    .filter(|(root, _)| root.meets(&subject));
                for (_, position) in near {
                    let severity = |position: usize| findings[position].finding.severity;
                    if gravest.is_none_or(|known| severity(known) < severity(*position)) {
                        gravest = Some(*position);
                    }
                }
            }
        }
        gravest
    }
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
    use super::*;
    use restrand_rules::CATALOGUE;

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
}
