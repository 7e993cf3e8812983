//! What follows from another finding is not said once more.
//!
//! A duct whose dimensions contradict each other has a wrong bore, and every tendon in it a wrong ratio of areas:
//! the user is told of the dimensions, and how many findings follow from such roots.
//! A graver finding is never put down to a lesser one: who waives a warning must not lose an error with it.

use std::collections::BTreeMap;

use restrand_finding::{Finding, Severity, Where};
use restrand_model::route::{Route, Step};
use restrand_rules::find;

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

/// Parts the findings from those that follow from others.
pub(crate) fn without_consequences(findings: Vec<Finding>) -> (Vec<Finding>, Vec<Finding>) {
    let mut roots: BTreeMap<&'static str, BTreeMap<Subject, Severity>> = BTreeMap::new();
    for finding in &findings {
        if let Where::Route(route) = &finding.place
            && let Some(subject) = Subject::of(route)
        {
            let known = roots.entry(finding.rule).or_default().entry(subject);
            let gravest = known.or_insert(finding.severity);
            *gravest = (*gravest).max(finding.severity);
        }
    }
    let follows = |finding: &Finding| {
        let implied_by = find(finding.rule).map_or(&[][..], |rule| rule.implied_by);
        let roots: Vec<_> = implied_by.iter().filter_map(|root| roots.get(root)).collect();
        !roots.is_empty()
            && subjects(finding).any(|subject| {
                // All subjects of one record stand together.
                let first = Subject { record: subject.record, inner: None };
                roots.iter().any(|root| {
                    root.range(first.clone()..)
                        .take_while(|(root, _)| root.record == subject.record)
                        .any(|(root, severity)| {
                            *severity >= finding.severity && root.meets(&subject)
                        })
                })
            })
    };
    let follows: Vec<bool> = findings.iter().map(follows).collect();
    let mut follows = follows.into_iter();
    findings.into_iter().partition(|_| !follows.next().unwrap_or(false))
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
