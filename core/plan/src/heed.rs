//! What the check of the schedule found of what a plan rests on.
//!
//! An error there stands against the plan as much as what its own steps cannot do.

use restrand_finding::{Finding, Severity, Where};
use restrand_model::route::Route;

use crate::plan::{Line, Plan, StepId, Told};
use crate::uses::SHARED;

impl Plan {
    /// Takes up the errors and warnings of a check, those that lie in what the plan rests on.
    pub fn heed<'f>(&mut self, findings: impl IntoIterator<Item = &'f Finding>) {
        for finding in findings {
            if finding.severity >= Severity::Warning && self.is_about(finding) {
                self.findings.push(told(finding));
            }
        }
        self.stop();
    }

    /// The errors of the check in what the plan rests on.
    pub fn errors(&self) -> impl Iterator<Item = &Told> {
        self.findings.iter().filter(|told| told.severity == Severity::Error)
    }

    /// The warnings of the check in what the plan rests on.
    pub fn warnings(&self) -> impl Iterator<Item = &Told> {
        self.findings.iter().filter(|told| told.severity == Severity::Warning)
    }

    /// Whether anything stands against it: a step that cannot be taken, or an error in what it rests on.
    #[must_use]
    pub fn is_stopped(&self) -> bool {
        self.is_blocked() || self.errors().next().is_some()
    }

    fn is_about(&self, finding: &Finding) -> bool {
        let within = |route: &Route| {
            self.uses.iter().any(|used| route.is_within(used))
                || SHARED.iter().any(|list| *route == Route::root().field(list))
        };
        match &finding.place {
            Where::Route(route) if route.is_within(&self.route) || within(route) => true,
            Where::Route(_) => finding.related.iter().any(|related| match &related.place {
                Where::Route(route) => route.is_within(&self.route),
                Where::File(_) | Where::Limit(_) => false,
            }),
            // What was not read may be part of the plan.
            Where::File(_) | Where::Limit(_) => finding.severity == Severity::Error,
        }
    }

    /// Stops the work where something stands against it: before anything is done, and before anything is released.
    pub(crate) fn stop(&mut self) {
        if !self.is_stopped() {
            return;
        }
        let begin = Line::from(
            "Nothing is begun on the bridge before all that stands against this plan, at its head, is solved and the plan is made anew",
        );
        let release = Line::from(
            "Nothing is released while anything stands against this plan: a tendon that cannot come out, or whose place cannot be filled again, stays under its force",
        );
        if let Some(first) = self.steps.first_mut()
            && !first.stops.contains(&begin)
        {
            first.stops.insert(0, begin.clone());
        }
        self.stop = Some(begin);
        let step = self.steps.iter_mut().find(|step| step.id == StepId::Release);
        if let Some(step) = step.filter(|step| !step.stops.contains(&release)) {
            step.stops.insert(0, release);
        }
    }
}

fn told(finding: &Finding) -> Told {
    let line = |text: &str| Line { text: text.to_owned(), facts: finding.facts.clone() };
    Told {
        rule: finding.rule,
        severity: finding.severity,
        message: line(&finding.message),
        // The smallest change comes first; without one it is told what to do.
        help: line(finding.remedies.first().map_or(&finding.help, |remedy| &remedy.text)),
        place: match &finding.place {
            Where::Route(route) => Some(route.clone()),
            Where::File(_) | Where::Limit(_) => None,
        },
    }
}
