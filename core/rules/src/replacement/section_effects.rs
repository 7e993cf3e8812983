//! The bridge loses more than it may while a tendon is out.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_mechanics::statics::{Out, Side};
use restrand_model::route::Route;
use restrand_model::schedule::Section;

use super::is_to_be_replaced;
use crate::context::{Context, TendonAt};
use crate::rule::{Check, Corrects, Rule};
use crate::works::{Over, over, section_call, share_over, sides};

pub(crate) const RULE: Rule = Rule {
    id: "replacement/section-effects",
    summary: "axial force and stresses at each stated section with one tendon out, against what the section allows",
    kinds: &[Kind::Margin],
    limits: &[],
    sources: &[Citation::new(
        "superposition on the continuous beam: totals less a tendon's own, secondary moments included",
        Evidence::Derived,
    )],
    correction: Corrects::Nothing,
    implied_by: &["path/points-impossible"],
    page: include_str!("section_effects.md"),
    check: Check::Schedule(check),
};

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    match context.bridge_out() {
        Ok(bridge) => {
            for at in context.tendons() {
                let Some(outs) = bridge.of(at.position) else { continue };
                if !is_to_be_replaced(&at, outcomes) {
                    continue;
                }
                // What several tendons out take together is another sum: what one alone takes is told all the same, and
                // that it alone takes little shows nothing.
                let others = at.tendon.replacement.as_deref().and_then(|own| own.others_out);
                let is_alone = others.is_none_or(|others| others == 0);
                judge(context, &at, &outs, bridge.no_beam, is_alone, outcomes);
                if !is_alone {
                    outcomes.not_evaluated("replacement.others_out");
                }
            }
        }
        // Where one tendon's part is not known, no total is: said once.
        Err(none) => outcomes.not_evaluated(none.field),
    }
}

/// What is found at the section where most is missing.
struct Worst {
    ratio: f64,
    finding: Finding,
}

fn judge(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    outs: &[[Out; 2]],
    no_beam: Option<&'static str>,
    is_alone: bool,
    outcomes: &mut Outcomes,
) {
    let mut worst: Option<Worst> = None;
    let mut lacking: Option<&'static str> = None;
    let mut judged = false;
    let sections = context.schedule.sections.iter().zip(outs).enumerate();
    let each = sections.flat_map(|(index, (section, pair))| {
        sides(pair).map(move |(side, out)| (Spot { index, section, side }, out))
    });
    for (spot, out) in each {
        let section = spot.section;
        // A tendon that does not reach a section takes nothing from it but what supports hand on.
        match (section.limit_lost_force_share, out.lost_axial_share) {
            (Some(_), Some(_)) => {
                judged = true;
                if let Some([share, most]) = share_over(section, out) {
                    keep(&mut worst, share / most, || lost(at, &spot, out, share, most));
                }
            }
            (None, _) => lacking = lacking.or(Some("section.limit_lost_force_share")),
            (_, None) => {}
        }
        match over(section, out, no_beam) {
            Ok(beyond) => {
                judged = true;
                if let Some(over) = beyond {
                    let by = over.by_mpa() / over.limit_mpa.abs().max(1.0) + 1.0;
                    keep(&mut worst, by, || stressed(at, &spot, out, &over));
                }
            }
            Err(field) => lacking = lacking.or(Some(field)),
        }
    }
    match worst {
        Some(worst) => outcomes.found(worst.finding),
        None => {
            if judged && is_alone {
                outcomes.pass();
            }
            if let Some(field) = lacking {
                outcomes.not_evaluated(field);
            }
        }
    }
}

/// A section, or one side of it.
struct Spot<'a> {
    index: usize,
    section: &'a Section,
    side: Option<Side>,
}

impl Spot<'_> {
    fn call(&self) -> String {
        section_call(self.section, self.index, self.side)
    }
}

fn keep(worst: &mut Option<Worst>, ratio: f64, finding: impl FnOnce() -> Finding) {
    if worst.as_ref().is_none_or(|so_far| ratio > so_far.ratio) {
        *worst = Some(Worst { ratio, finding: finding() });
    }
}

fn lost(at: &TendonAt<'_>, spot: &Spot<'_>, out: &Out, share: f64, most: f64) -> Finding {
    Finding::new(
        RULE.id,
        Kind::Margin,
        Route::to("sections", spot.index).field("limit_lost_force_share"),
        "with {tendon} out, {section} loses {lost_kn}, a share of {share} of its axial force, more than the {most} that it allows",
    )
    .related(at.route.clone(), "the tendon, with its force as seated, before losses in time")
    .help("Measures on the bridge while it is out, as fewer loads or props, by those who check it; never two tendons at once")
    .fact(Fact::text("tendon", at.mark()))
    .fact(Fact::text("section", spot.call()))
    .fact(Fact::computed("lost_kn", out.lost.axial_kn, 0))
    .fact(Fact::computed("lost_moment_knm", out.lost.primary_knm, 0))
    .fact(Fact::computed("share", share, 3))
    .fact(Fact::given("most", most, 3))
    .fact(Fact::computed("ratio", share / most, 2))
}

fn stressed(at: &TendonAt<'_>, spot: &Spot<'_>, out: &Out, over: &Over) -> Finding {
    let message = if over.is_so_before() {
        "with {tendon} out, the {edge} of {section} comes to {stress_mpa}, still further beyond the {limit_mpa} that it \
         allows than the {before_mpa} with all tendons in"
    } else {
        "with {tendon} out, the {edge} of {section} comes to {stress_mpa}, beyond the {limit_mpa} that it allows"
    };
    let help = if over.is_so_before() {
        "Stresses and limits of the section do not go together before anything is taken out: see them first"
    } else {
        "Measures on the bridge while it is out, as fewer loads or props, by those who check it"
    };
    let mut finding = Finding::new(
        RULE.id,
        Kind::Margin,
        Route::to("sections", spot.index).field(over.field),
        message,
    )
    .related(at.route.clone(), "the tendon, with its force as seated, before losses in time")
    .help(help)
    .fact(Fact::text("tendon", at.mark()))
    .fact(Fact::text("section", spot.call()))
    .fact(Fact::text("edge", over.edge))
    .fact(Fact::computed("stress_mpa", over.stress_mpa, 2))
    .fact(Fact::computed("before_mpa", over.before_mpa, 2))
    .fact(Fact::given("limit_mpa", over.limit_mpa, 2));
    if let Some(total_knm) = out.lost.total_knm {
        finding = finding.fact(Fact::computed("lost_moment_knm", total_knm, 0));
    }
    finding
}
