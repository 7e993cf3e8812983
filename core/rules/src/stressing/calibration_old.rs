//! A jack's calibration is older than it may be when the jack stresses.

use std::collections::HashSet;

use restrand_finding::{Fact, Finding, Kind, Outcomes};
use restrand_model::reflect::Date;
use restrand_model::route::Route;
use restrand_model::schedule::{Stage, Status};

use super::jacked;
use crate::context::{Context, EndAt, TendonAt};
use crate::rule::{Check, Corrects, LimitKey, Rule};

const AGE: LimitKey = LimitKey {
    name: "calibration_age_months",
    meaning: "months for which a jack's calibration holds",
};

pub(crate) const RULE: Rule = Rule {
    id: "stressing/calibration-old",
    summary: "age of each jack's calibration on the day of stressing, or today where that day is to come",
    kinds: &[Kind::Margin, Kind::Inconsistent],
    limits: &[AGE],
    sources: &[],
    correction: Corrects::Nothing,
    implied_by: &["schedule/duplicate-mark"],
    page: include_str!("calibration_old.md"),
    check: Check::Schedule(check),
};

/// A day on which a jack is used, and by whom.
#[derive(Debug, Clone)]
struct Use {
    on: Date,
    mark: String,
    route: Route,
    /// Whether the tendon states the day; else it is today.
    is_stated: bool,
}

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    let (uses, undated) = uses(context, outcomes);
    for (index, jack) in context.schedule.jacks.iter().enumerate() {
        let mut of_jack: Vec<&Use> =
            uses.iter().filter(|(position, _)| *position == index).map(|(_, used)| used).collect();
        if of_jack.is_empty() {
            if !undated.contains(&index) {
                outcomes.not_applicable("no tendon is stressed with the jack");
            }
            continue;
        }
        let Some(calibrated_on) = jack.calibrated_on else {
            outcomes.not_evaluated("jack.calibrated_on");
            continue;
        };
        let route = Route::to("jacks", index).field("calibrated_on");
        let name = jack.id.as_deref().unwrap_or("without a name");
        if calibrated_on > context.as_of {
            outcomes.found(to_come(context, name, calibrated_on, route));
            continue;
        }
        // A jack that was calibrated again later says nothing of what was stressed before.
        of_jack.retain(|used| used.on >= calibrated_on);
        // Of several uses the last is said: what holds then held before.
        match of_jack.into_iter().reduce(|one, other| if other.on > one.on { other } else { one }) {
            None => outcomes.not_applicable("the jack was calibrated again after stressing"),
            Some(used) => one(context, name, calibrated_on, used, route, outcomes),
        }
    }
}

/// The uses of jacks by their positions, and the jacks that were used on a day that is not known.
fn uses(context: &Context<'_>, outcomes: &mut Outcomes) -> (Vec<(usize, Use)>, HashSet<usize>) {
    let mut uses = Vec::new();
    let mut undated = HashSet::new();
    for at in context.tendons() {
        if at.tendon.status == Some(Status::Removed) {
            continue;
        }
        for end in jacked_ends(&at) {
            let Some(link) = &end.end.jack else { continue };
            let Some(position) = context.position("jacks", link.key()) else {
                outcomes.not_evaluated("end.jack");
                continue;
            };
            let stated = at.tendon.stressing.as_deref().and_then(|stressing| stressing.stressed_on);
            // What is built was stressed, on a day that nobody states: today is not that day.
            if stated.is_none() && context.stage_of(at.tendon) >= Stage::AsBuilt {
                outcomes.not_evaluated("stressing.stressed_on");
                undated.insert(position);
                continue;
            }
            uses.push((
                position,
                Use {
                    on: stated.unwrap_or(context.as_of),
                    mark: at.mark(),
                    route: end.route.field("jack"),
                    is_stated: stated.is_some(),
                },
            ));
        }
    }
    (uses, undated)
}

/// The ends that are jacked; where it is not said which, those that have a jack.
fn jacked_ends<'a>(at: &TendonAt<'a>) -> Vec<EndAt<'a>> {
    let jacked = jacked::ends_of(at.tendon);
    at.ends()
        .filter(|end| jacked.is_err() || jacked.is_ok_and(|ends| ends.contains(&end.name)))
        .collect()
}

fn one(
    context: &Context<'_>,
    name: &str,
    calibrated_on: Date,
    used: &Use,
    route: Route,
    outcomes: &mut Outcomes,
) {
    let limit = context.limit(AGE);
    let age_months = months(calibrated_on, used.on);
    if age_months <= limit.value {
        return outcomes.pass();
    }
    let message = if used.is_stated {
        "jack {jack} was calibrated on {calibrated_on}, {age} before it stressed {tendon} on \
         {used_on}; a calibration holds for {calibration_age_months} months"
    } else {
        "jack {jack} was calibrated on {calibrated_on}, {age} before {used_on}, which counts as \
         today; a calibration holds for {calibration_age_months} months"
    };
    let mut finding = Finding::new(RULE.id, Kind::Margin, route, message)
        .related(used.route.clone(), "the tendon that it stresses")
        .help(
            "Seals wear and gauges drift: calibrate jack and gauge together before stressing, and state the \
             date and the table",
        )
        .fact(Fact::text("jack", name))
        .fact(Fact::text("tendon", used.mark.clone()))
        .fact(Fact::text("calibrated_on", calibrated_on.to_string()))
        .fact(Fact::text("used_on", used.on.to_string()))
        .fact(Fact::text("age", in_words(calibrated_on, used.on)))
        .fact(Fact::computed("age_months", age_months, 1))
        .fact(limit.fact(AGE, 1))
        .fact(Fact::computed("ratio", age_months / limit.value, 3));
    finding = if used.is_stated {
        finding.remedy(
            "State the calibration that held on that day; if there was none, check the force by lift-off \
             with a calibrated jack",
        )
    } else {
        finding.remedy("Calibrate jack and gauge, and state date and table")
    };
    outcomes.found(finding);
}

fn to_come(context: &Context<'_>, name: &str, calibrated_on: Date, route: Route) -> Finding {
    Finding::new(
        RULE.id,
        Kind::Inconsistent,
        route,
        "jack {jack} is stated to have been calibrated on {calibrated_on}, which is after {as_of}, the day that \
         counts as today",
    )
    .help("State the day of the calibration that was made; check the year, and the order of day and month")
    .fact(Fact::text("jack", name))
    .fact(Fact::text("calibrated_on", calibrated_on.to_string()))
    .fact(Fact::text("as_of", context.as_of.to_string()))
    .remedy("State the day on which it was calibrated")
}

/// The same as a person counts: whole months, and days.
fn in_words(from: Date, to: Date) -> String {
    let counted = |count: i32, word: &str| match count {
        1 => format!("1 {word}"),
        count => format!("{count} {word}s"),
    };
    let months = |date: Date| i32::from(date.year()) * 12 + i32::from(date.month());
    let days = i32::from(to.day()) - i32::from(from.day());
    let between = months(to) - months(from);
    // Of a month that has begun the days count from the same day of the month before, or from its last.
    let (between, days) = if days < 0 {
        let length = days_of_month_before(to);
        (between - 1, i32::from(to.day()) + length - i32::from(from.day()).min(length))
    } else {
        (between, days)
    };
    match (between, days) {
        (0, days) => counted(days, "day"),
        (months, 0) => counted(months, "month"),
        (months, days) => format!("{} and {}", counted(months, "month"), counted(days, "day")),
    }
}

fn days_of_month_before(day: Date) -> i32 {
    let (year, month) = match day.month() {
        1 => (day.year() - 1, 12),
        month => (day.year(), month - 1),
    };
    (28..=31_u8).rev().find(|last| Date::new(year, month, *last).is_some()).map_or(28, i32::from)
}

/// Months from one day to another, whole from a day of the month to the same day of another.
fn months(from: Date, to: Date) -> f64 {
    /// Days of the longest month: a day counts no more than one of it.
    const LONGEST: i32 = 31;
    let months = |date: Date| i32::from(date.year()) * 12 + i32::from(date.month());
    let days = i32::from(to.day()) - i32::from(from.day());
    f64::from(months(to) - months(from)) + f64::from(days) / f64::from(LONGEST)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> Date {
        text.parse().unwrap()
    }

    #[test]
    fn the_same_day_of_the_month_is_the_last_that_holds() {
        let months = |from, to| months(day(from), day(to));
        assert_eq!(months("2026-09-15", "2027-03-15"), 6.0);
        assert!(months("2026-09-15", "2027-03-14") < 6.0);
        assert!(months("2026-09-15", "2027-03-16") > 6.0);
        // There is no 31st of February: the last of the month is the last that holds.
        assert!(months("2026-08-31", "2027-02-28") < 6.0);
        assert!(months("2026-08-31", "2027-03-01") > 6.0);
        assert_eq!(months("2028-02-29", "2028-08-29"), 6.0);
    }

    #[test]
    fn an_age_is_told_as_a_person_counts() {
        let words = |from, to| in_words(day(from), day(to));
        assert_eq!(words("2026-09-15", "2027-03-15"), "6 months");
        assert_eq!(words("2026-09-15", "2027-03-16"), "6 months and 1 day");
        assert_eq!(words("2026-08-31", "2027-03-01"), "6 months and 1 day");
        assert_eq!(words("2028-01-30", "2028-03-29"), "1 month and 29 days");
        assert_eq!(words("2026-09-15", "2026-10-16"), "1 month and 1 day");
        assert_eq!(words("2026-09-15", "2026-09-18"), "3 days");
    }
}
