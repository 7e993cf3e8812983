//! Runs the catalogue over a reading.

use restrand_finding::{Finding, Kind, Outcomes, Severity, Where};
use restrand_intake::{Counts, Reading};
use restrand_kit::LoadError;
use restrand_model::reading::Place;
use restrand_model::reflect::Date;
use restrand_rules::{CATALOGUE, Check, Context, Rule, Rulebook, TendonAt, find};

use crate::implied;
use crate::locate::{self, LocatedFinding};
use crate::waive::{Waived, waive};

/// What a check says of one input.
#[derive(Debug)]
pub struct Report {
    /// The findings in order of their places.
    pub findings: Vec<LocatedFinding>,
    /// The waivers of the rulebook, and the findings that they take out.
    pub waivers: Vec<Waived>,
    /// What the rules did, without the findings.
    pub outcomes: Outcomes,
    /// What was covered.
    pub coverage: Coverage,
    /// Findings that follow from others, which are counted and not shown.
    pub implied: Vec<LocatedFinding>,
    /// The name of the rulebook in force.
    pub rulebook: String,
}

/// What was covered by a check.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Coverage {
    /// Tendons that were checked.
    pub tendons: usize,
    /// Rules that ran.
    pub rules: usize,
    /// Findings that follow from others and are not shown.
    pub implied: usize,
    /// Records and values read and lost.
    pub read: Counts,
}

impl Report {
    /// The greatest severity of a finding.
    #[must_use]
    pub fn worst(&self) -> Option<Severity> {
        self.findings.iter().map(|found| found.finding.severity).max()
    }

    /// How many findings are of this severity.
    #[must_use]
    pub fn count(&self, severity: Severity) -> usize {
        self.findings.iter().filter(|found| found.finding.severity == severity).count()
    }
}

/// Tendons that one thread takes at a time: enough that sharing out costs nothing beside the checks.
const CHUNK: usize = 64;

/// Checks a reading against a rulebook; `as_of` is the day that counts as today.
#[must_use]
pub fn check(reading: &Reading, book: &Rulebook, as_of: Date) -> Report {
    let context =
        Context::new(&reading.schedule, &reading.problems, &reading.questions, book, as_of);
    let mut outcomes = Outcomes::default();
    let mut rules = 0;
    for of_rule in rule_by_rule(&context) {
        rules += 1;
        outcomes.merge(of_rule);
    }
    if reading.schedule.tendons.is_empty() {
        outcomes.findings.push(nothing_to_check(reading));
    }
    for finding in &mut outcomes.findings {
        if let Some(severity) = book.severities.get(finding.rule) {
            finding.severity = *severity;
        }
    }
    let findings = std::mem::take(&mut outcomes.findings);
    let (findings, waivers) = waive(locate::locate(findings, reading), book, as_of);
    let (findings, implied) = implied::without_consequences(findings);
    Report {
        findings,
        waivers,
        outcomes,
        coverage: Coverage {
            tendons: reading.schedule.tendons.len(),
            rules,
            implied: implied.len(),
            read: reading.counts,
        },
        implied,
        rulebook: book.name.clone(),
    }
}

/// What each rule of the catalogue that looks at a schedule did, in the catalogue's order: the order of
/// threads does not show.
fn rule_by_rule(context: &Context<'_>) -> Vec<Outcomes> {
    let tendons: Vec<_> = context.tendons().collect();
    let run = |rule: &Rule| match rule.check {
        Check::File => None,
        Check::Schedule(check) => {
            let mut outcomes = Outcomes::of(rule.id);
            check(context, &mut outcomes);
            Some(outcomes)
        }
        Check::Tendons(check) => Some(tendon_by_tendon(context, &tendons, rule, check)),
    };
    #[cfg(feature = "threads")]
    {
        use rayon::prelude::*;
        // One by one: a few rules take as long as all others, and are not to wait for one another in one thread.
        CATALOGUE.par_iter().with_max_len(1).filter_map(|rule| run(rule)).collect()
    }
    #[cfg(not(feature = "threads"))]
    CATALOGUE.iter().filter_map(|rule| run(rule)).collect()
}

type TendonCheck = fn(&Context<'_>, &TendonAt<'_>, &mut Outcomes);

fn tendon_by_tendon(
    context: &Context<'_>,
    tendons: &[TendonAt<'_>],
    rule: &Rule,
    check: TendonCheck,
) -> Outcomes {
    let chunk = |chunk: &[TendonAt<'_>]| {
        let mut outcomes = Outcomes::of(rule.id);
        for tendon in chunk {
            check(context, tendon, &mut outcomes);
        }
        outcomes
    };
    let mut all = Outcomes::of(rule.id);
    #[cfg(feature = "threads")]
    if tendons.len() > CHUNK {
        use rayon::prelude::*;
        // Collected in order, so that the order of threads does not show.
        let parts: Vec<_> = tendons.par_chunks(CHUNK).map(chunk).collect();
        for part in parts {
            all.merge(part);
        }
        return all;
    }
    for part in tendons.chunks(CHUNK) {
        all.merge(chunk(part));
    }
    all
}

/// The finding of an input in which there is no tendon.
fn nothing_to_check(reading: &Reading) -> Finding {
    let seen: Vec<_> = reading
        .provenance
        .tables
        .iter()
        .map(|table| table.sheet.as_deref().unwrap_or(&table.list))
        .collect();
    let part = reading
        .provenance
        .tables
        .first()
        .map(|table| table.part.clone())
        .or_else(|| reading.problems.first().map(|problem| problem.place.part().to_owned()))
        .unwrap_or_default();
    let message = if seen.is_empty() {
        "nothing was found that is a tendon schedule".to_owned()
    } else {
        format!("the file has no tendon; what was read: {}", seen.join(", "))
    };
    let help = reading.tendons_stated.clone().unwrap_or_else(|| {
        "State a tendon at least; restrand formats lists what is read, and restrand schema prints what a schedule holds"
            .to_owned()
    });
    Finding::new(NOTHING.id, Kind::Reading, Where::File(Place::Part { part }), message).help(help)
}

static NOTHING: std::sync::LazyLock<&Rule> =
    std::sync::LazyLock::new(|| rule("schedule/nothing-to-check"));
static UNREADABLE: std::sync::LazyLock<&Rule> =
    std::sync::LazyLock::new(|| rule("schedule/unreadable-file"));

fn rule(id: &str) -> &'static Rule {
    match find(id) {
        Some(rule) => rule,
        None => unreachable!("the engine's own rules are in the catalogue"),
    }
}

/// The finding of an input that could not be read as a whole.
#[must_use]
pub fn unreadable(part: &str, error: &LoadError) -> LocatedFinding {
    let (place, why, help) = match error {
        LoadError::Unreadable { place, why, help } => (place.clone(), why.clone(), help.clone()),
        LoadError::Plugin(failure) => {
            let place = Place::Part { part: part.to_owned() };
            (place, failure.why.clone(), failure.help.clone())
        }
        other => (
            Place::Part { part: part.to_owned() },
            other.to_string(),
            "check that the file is there, whole, and may be read".to_owned(),
        ),
    };
    let finding = Finding::new(
        UNREADABLE.id,
        Kind::Reading,
        Where::File(place),
        format!("the file cannot be read: {why}"),
    )
    .help(help);
    locate::of_file(finding)
}
