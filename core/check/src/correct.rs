//! Corrections: what the rules offer is made in a copy, checked again, and withdrawn where it does harm.
//!
//! A round makes what is offered at what the schedule says then; the next one sees what came of it.
//! The order is that of routes, then of rules, so that the same reading gives the same corrections.

mod harm;
mod made;

use std::collections::BTreeSet;
use std::sync::Arc;

use restrand_finding::{Class, Correction};
use restrand_intake::{Reading, not_kept};
use restrand_model::reading::{Origin, Place, Problem};
use restrand_model::reflect::Date;
use restrand_model::route::{Names, Route};
use restrand_model::value::Value;
use restrand_rules::{Context, Rulebook, corrections};

use crate::locate;
use crate::run::{Report, check};
use harm::Errors;
use made::Losses;

/// Rounds after which no more is made: a table of stressing steps takes one for each of its rows.
const ROUNDS: usize = 40;

/// How often what was withdrawn is tried anew, after others were made.
const SECOND_THOUGHTS: usize = 3;

/// What the user wants of corrections.
#[derive(Debug, Clone, Copy)]
pub struct Wishes<'a> {
    /// The rules whose proposals are accepted.
    pub accepted: &'a BTreeSet<&'static str>,
    /// Cells that hold the results of formulas, which are left as they are.
    pub calculated: &'a BTreeSet<Place>,
}

/// What came of the corrections of one input.
#[derive(Debug)]
pub struct Corrected {
    /// The corrected schedule with what is still to be said of its reading.
    pub reading: Reading,
    /// What was found before.
    pub before: Arc<Report>,
    /// What is found after it; the same report where nothing was made.
    pub after: Arc<Report>,
    /// What was made, in the order in which it was.
    pub made: Vec<Offered>,
    /// What was not made, or not left, for the harm that it does.
    pub withdrawn: Vec<Withdrawn>,
    /// Choices that are not made for the user.
    pub proposed: Vec<Offered>,
    /// What would overwrite a formula.
    pub held: Vec<Offered>,
    /// What is still offered after the last round.
    pub left: Vec<Offered>,
    /// What could not be read and is not in the corrected schedule either; of values that could not be read the texts
    /// are kept.
    pub lost: Vec<Problem>,
}

/// A correction with the values that it changes.
#[derive(Debug, Clone)]
pub struct Offered {
    /// The correction.
    pub correction: Correction,
    /// The values, in the order of its edits.
    pub changes: Vec<Change>,
}

/// A value before and after a correction.
#[derive(Debug, Clone)]
pub struct Change {
    /// The route.
    pub route: Route,
    /// The route with names.
    pub name: String,
    /// The place in the file that was read.
    pub place: Option<Place>,
    /// The record that holds the place.
    pub record: Origin,
    /// The field names from that record to the value.
    pub path: Vec<String>,
    /// The text of the file, where it reads differently from the value, or could not be read.
    pub given: Option<String>,
    /// The value before, if one was read.
    pub before: Option<Value>,
    /// The value after; nothing where nothing is stated any more.
    pub after: Option<Value>,
}

/// A correction that was taken back.
#[derive(Debug, Clone)]
pub struct Withdrawn {
    /// The correction.
    pub offered: Offered,
    /// Why it was.
    pub why: Unmade,
}

/// Why a correction is not made.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Unmade {
    /// It causes errors: their rules, and the routes at which they show.
    NewErrors(Vec<(&'static str, String)>),
    /// It follows from the value at this route, whose own correction was withdrawn.
    RestsOnWithdrawn(String),
    /// Another rule's correction gives the value back.
    Undone(&'static str),
    /// The field does not take the value: what it needs.
    Misfit(&'static str),
}

/// Makes what the rules offer, as far as it does no harm; `as_of` is the day that counts as today.
#[must_use]
pub fn correct(reading: &Reading, book: &Rulebook, as_of: Date, wishes: Wishes<'_>) -> Corrected {
    let before = Arc::new(check(reading, book, as_of));
    let mut run = Run {
        source: reading,
        book,
        as_of,
        names: Names::of(&reading.schedule),
        losses: Losses::of(reading),
        errors: Errors::of(&before),
        state: reading.clone(),
        report: None,
        made: Vec::new(),
        withdrawn: Vec::new(),
        barred: BTreeSet::new(),
    };
    let mut offers = run.offers(wishes);
    for _ in 0..=SECOND_THOUGHTS {
        let had = run.made.len();
        for _ in 0..ROUNDS {
            if !run.round(std::mem::take(&mut offers.wanted)) {
                break;
            }
            offers = run.offers(wishes);
        }
        if run.made.len() == had || !run.thinks_again() {
            break;
        }
        offers = run.offers(wishes);
    }
    let offered = |run: &Run<'_>, corrections: Vec<Correction>| -> Vec<Offered> {
        corrections.into_iter().map(|one| run.offered(one)).collect()
    };
    let proposed = offered(&run, offers.proposed);
    let held = offered(&run, offers.held);
    let left = offered(&run, offers.wanted);
    let after = run.report.take().map_or_else(|| Arc::clone(&before), Arc::new);
    let lost = not_kept(&run.state).into_iter().cloned().collect();
    Corrected {
        lost,
        reading: run.state,
        before,
        after,
        made: run.made,
        withdrawn: run.withdrawn,
        proposed,
        held,
        left,
    }
}

/// What the rules offer at one time, in the order in which it is made.
struct Offers {
    wanted: Vec<Correction>,
    proposed: Vec<Correction>,
    held: Vec<Correction>,
}

struct Run<'a> {
    /// What was read, at whose places changes are shown.
    source: &'a Reading,
    names: Names,
    losses: Losses<'a>,
    book: &'a Rulebook,
    as_of: Date,
    /// The errors of the state.
    errors: Errors,
    state: Reading,
    /// What is found of the state, if anything was made of it.
    report: Option<Report>,
    made: Vec<Offered>,
    withdrawn: Vec<Withdrawn>,
    /// What was withdrawn: the rule, and the values that it would change.
    barred: BTreeSet<(&'static str, Vec<Route>)>,
}

impl Run<'_> {
    fn offers(&self, wishes: Wishes<'_>) -> Offers {
        let Reading { schedule, problems, questions, provenance, .. } = &self.state;
        let context = Context::new(schedule, problems, questions, self.book, self.as_of)
            .with_texts(provenance);
        let mut all = corrections(&context);
        all.retain(|one| made::changes_anything(one, &self.state) && !self.is_barred(one));
        all.sort_by(|one, other| key(one).cmp(&key(other)));
        let mut offers = Offers { wanted: Vec::new(), proposed: Vec::new(), held: Vec::new() };
        for one in all {
            let is_accepted = one.class != Class::Propose || wishes.accepted.contains(one.rule);
            let list = if !is_accepted {
                &mut offers.proposed
            } else if self.is_calculated(&one, wishes.calculated) {
                &mut offers.held
            } else {
                &mut offers.wanted
            };
            list.push(one);
        }
        offers
    }

    fn is_barred(&self, one: &Correction) -> bool {
        !self.barred.is_empty() && self.barred.contains(&bar(one))
    }

    fn is_calculated(&self, one: &Correction, calculated: &BTreeSet<Place>) -> bool {
        !calculated.is_empty()
            && one.routes().any(|route| {
                let (record, path) = route.source(&self.source.schedule);
                let place = self.source.provenance.place(record, &path);
                place.is_some_and(|place| calculated.contains(&place))
            })
    }

    /// Makes one round; says whether there may be more to make.
    fn round(&mut self, wanted: Vec<Correction>) -> bool {
        let had = self.withdrawn.len();
        let wanted: Vec<_> = wanted.into_iter().filter(|one| !self.undoes(one)).collect();
        let (now, waiting) = split(wanted);
        if now.is_empty() {
            return self.withdrawn.len() > had;
        }
        let before = self.withdrawn.len();
        self.settle(&now);
        // What follows from a value whose own correction did harm is not to be trusted either.
        let mut shaky: Vec<Route> = self.withdrawn[before..]
            .iter()
            .flat_map(|withdrawn| withdrawn.offered.correction.routes().cloned())
            .collect();
        for one in waiting {
            let on = shaky.iter().find(|route| one.basis.iter().any(|basis| meet(basis, route)));
            if let Some(on) = on.cloned() {
                shaky.extend(one.routes().cloned());
                let name = self.names.show(&on, &self.source.schedule);
                self.withdraw(&one, Unmade::RestsOnWithdrawn(name));
            }
        }
        true
    }

    /// Whether a correction gives a value back that another rule's correction took; then that one is withdrawn,
    /// for the two would change the value for ever.
    fn undoes(&mut self, one: &Correction) -> bool {
        let [edit] = &one.edits[..] else {
            return false;
        };
        let position = self.made.iter().position(|made| {
            made.correction.rule != one.rule
                && matches!(&made.changes[..], [change] if change.route == edit.route
                    && change.before == edit.after)
        });
        let Some(position) = position else {
            return false;
        };
        let mut trial = self.state.clone();
        if made::make(std::slice::from_ref(one), &mut trial).is_err() {
            return false;
        }
        let report = check(&trial, self.book, self.as_of);
        if !self.errors.new_in(&report, &self.names, &trial.schedule).is_empty() {
            return false;
        }
        self.errors = Errors::of(&report);
        self.state = trial;
        self.report = Some(report);
        let offered = self.made.remove(position);
        self.barred.insert(bar(&offered.correction));
        self.withdrawn.push(Withdrawn { offered, why: Unmade::Undone(one.rule) });
        true
    }

    /// Makes corrections together; where that causes errors, each half alone, down to those that cause them.
    fn settle(&mut self, group: &[Correction]) {
        let mut trial = self.state.clone();
        let misfit = made::make(group, &mut trial).err();
        let report = misfit.is_none().then(|| check(&trial, self.book, self.as_of));
        let new = match &report {
            Some(report) => self.errors.new_in(report, &self.names, &trial.schedule),
            None => Vec::new(),
        };
        match (report, group) {
            (Some(report), _) if new.is_empty() => {
                for one in group {
                    let offered = self.offered(one.clone());
                    self.made.push(offered);
                }
                self.errors = Errors::of(&report);
                self.state = trial;
                self.report = Some(report);
            }
            (_, [one]) => {
                let why = misfit.map_or(Unmade::NewErrors(new), Unmade::Misfit);
                self.withdraw(one, why);
            }
            _ => {
                let (first, second) = group.split_at(group.len() / 2);
                self.settle(first);
                self.settle(second);
            }
        }
    }

    /// Lets what was withdrawn be tried anew, for what was made since may have taken its harm away; says whether
    /// there is any. What another rule gives back would go to and fro for ever.
    fn thinks_again(&mut self) -> bool {
        let had = self.withdrawn.len();
        let barred = &mut self.barred;
        self.withdrawn.retain(|withdrawn| {
            let stays = matches!(withdrawn.why, Unmade::Undone(_));
            if !stays {
                barred.remove(&bar(&withdrawn.offered.correction));
            }
            stays
        });
        self.withdrawn.len() < had
    }

    fn withdraw(&mut self, one: &Correction, why: Unmade) {
        self.barred.insert(bar(one));
        let offered = self.offered(one.clone());
        self.withdrawn.push(Withdrawn { offered, why });
    }

    /// The correction with its values as they are now, at their places in what was read.
    fn offered(&self, correction: Correction) -> Offered {
        let changes = correction
            .edits
            .iter()
            .map(|edit| {
                let at = locate::of_route(&edit.route, self.source, &self.names);
                Change {
                    route: edit.route.clone(),
                    name: at.name.unwrap_or_default(),
                    given: self.losses.given(&edit.route, &self.state),
                    before: edit.route.view(&self.state.schedule).to_value(),
                    after: edit.after.clone(),
                    place: at.place,
                    record: at.record,
                    path: at.path,
                }
            })
            .collect();
        Offered { correction, changes }
    }
}

/// The order of corrections: that of their routes, then of their rules, then of their classes.
fn key(one: &Correction) -> (Vec<&Route>, &'static str, Class) {
    (one.routes().collect(), one.rule, one.class)
}

fn bar(one: &Correction) -> (&'static str, Vec<Route>) {
    (one.rule, one.routes().cloned().collect())
}

/// Whether one of two routes leads through the end of the other.
fn meet(one: &Route, other: &Route) -> bool {
    one.is_within(other) || other.is_within(one)
}

/// What can be made at once; and what waits, for it changes the same value as one before it, or follows from a
/// value that another one changes.
fn split(wanted: Vec<Correction>) -> (Vec<Correction>, Vec<Correction>) {
    let changed: BTreeSet<Route> = wanted.iter().flat_map(|one| one.routes().cloned()).collect();
    let mut taken: BTreeSet<Route> = BTreeSet::new();
    let (mut now, mut waiting) = (Vec::new(), Vec::new());
    for one in wanted {
        let is_taken = one.routes().any(|route| meets_any(route, &taken));
        let follows = one
            .basis
            .iter()
            .any(|basis| meets_any(basis, &changed) && !one.routes().any(|own| meet(basis, own)));
        if is_taken || follows {
            waiting.push(one);
        } else {
            taken.extend(one.routes().cloned());
            now.push(one);
        }
    }
    if now.is_empty() && !waiting.is_empty() {
        // Each follows from another: the first of them goes first.
        now.push(waiting.remove(0));
    }
    (now, waiting)
}

/// Whether a route meets one of many, which are in order.
fn meets_any(route: &Route, many: &BTreeSet<Route>) -> bool {
    let inside = many.range(route..).next().is_some_and(|next| next.is_within(route));
    inside || (0..route.steps().len()).any(|length| many.contains(&route.up_to(length)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn wall(duct: usize) -> Route {
        Route::to("ducts", duct).field("wall_mm")
    }

    fn change(rule: &'static str, route: Route) -> Correction {
        Correction::new(rule, Class::Restate, route, Some(Value::Number(1.0)), "")
    }

    #[test]
    fn routes_meet_where_one_leads_through_the_other() {
        let many: BTreeSet<_> = [wall(1), Route::to("tendons", 0)].into();
        assert!(meets_any(&wall(1), &many));
        assert!(meets_any(&Route::to("ducts", 1), &many));
        assert!(meets_any(&Route::to("tendons", 0).field("mark"), &many));
        assert!(!meets_any(&wall(0), &many));
        assert!(!meets_any(&Route::to("tendons", 1), &many));
    }

    #[test]
    fn two_changes_of_one_value_wait_for_each_other() {
        let (now, waiting) = split(vec![change("a", wall(0)), change("b", wall(0))]);
        assert_eq!((now[0].rule, waiting[0].rule), ("a", "b"));
    }

    #[test]
    fn what_follows_from_a_value_that_changes_waits() {
        let follows = change("a", wall(0)).rests_on(wall(1));
        let (now, waiting) = split(vec![follows, change("b", wall(1))]);
        assert_eq!((now.len(), now[0].rule, waiting[0].rule), (1, "b", "a"));
    }

    #[test]
    fn of_two_that_follow_from_each_other_the_first_goes_first() {
        let one = change("a", wall(0)).rests_on(wall(1));
        let other = change("b", wall(1)).rests_on(wall(0));
        let (now, waiting) = split(vec![one, other]);
        assert_eq!((now.len(), now[0].rule, waiting.len()), (1, "a", 1));
    }
}
