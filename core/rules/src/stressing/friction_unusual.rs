//! A friction coefficient or a wobble is not what its surface gives, or K and k are mixed up.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_mechanics::friction::{ExponentPerM, RadPerM, Wobble, wobble_exponent_per_m};
use restrand_model::route::Route;
use restrand_model::schedule::{Duct, DuctMaterial, Status, StrandCoating};

use crate::context::{Context, TendonAt};
use crate::rule::{Check, Corrects, LimitKey, Rule};

const POLYMER: [LimitKey; 2] = [
    LimitKey { name: "mu_polymer_least", meaning: "least usual friction of strand on polymer" },
    LimitKey { name: "mu_polymer_most", meaning: "greatest usual friction of strand on polymer" },
];
const STEEL: [LimitKey; 2] = [
    LimitKey { name: "mu_steel_least", meaning: "least usual friction of strand on steel" },
    LimitKey { name: "mu_steel_most", meaning: "greatest usual friction of strand on steel" },
];
const SHEATHED: [LimitKey; 2] = [
    LimitKey {
        name: "mu_sheathed_least",
        meaning: "least usual friction of greased strand in its sheath",
    },
    LimitKey {
        name: "mu_sheathed_most",
        meaning: "greatest usual friction of greased strand in its sheath",
    },
];
const WOBBLE_MOST: LimitKey = LimitKey {
    name: "wobble_most_per_m",
    meaning: "greatest usual wobble K, of the exponent K·x",
};
const ANGLE_MOST: LimitKey = LimitKey {
    name: "unintended_angle_most_rad_per_m",
    meaning: "greatest usual unintended angle k, of the exponent μ·k·x",
};
const ANGLE_LEAST: LimitKey = LimitKey {
    name: "unintended_angle_least_rad_per_m",
    meaning: "least usual unintended angle k, if there is any",
};
const INADVERTENT_LEAST: LimitKey = LimitKey {
    name: "inadvertent_angle_least_rad",
    meaning: "least angle to add at each deviator of an external tendon",
};
const INADVERTENT_MOST: LimitKey = LimitKey {
    name: "inadvertent_angle_most_rad",
    meaning: "greatest usual angle that is added at each deviator",
};
const TOLERANCE: LimitKey = LimitKey {
    name: "wobble_tolerance",
    meaning: "share by which K may differ from μ·k where both are stated",
};

pub(crate) const RULE: Rule = Rule {
    id: "stressing/friction-unusual",
    summary: "friction coefficient by surface, wobble in its two conventions, and the angle added at deviators",
    kinds: &[Kind::Margin, Kind::Inconsistent],
    limits: &[
        POLYMER[0],
        POLYMER[1],
        STEEL[0],
        STEEL[1],
        SHEATHED[0],
        SHEATHED[1],
        WOBBLE_MOST,
        ANGLE_MOST,
        ANGLE_LEAST,
        INADVERTENT_LEAST,
        INADVERTENT_MOST,
        TOLERANCE,
    ],
    sources: &[Citation::new("EN 1992-1-1:2023, (7.34)", Evidence::Read)],
    correction: Corrects::Nothing,
    implied_by: &[],
    page: include_str!("friction_unusual.md"),
    check: Check::Tendons(check),
};

/// On what strands slide.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Surface {
    Polymer,
    Steel,
    /// Each strand in its own sheath.
    Sheathed,
}

impl Surface {
    const ALL: [Self; 3] = [Self::Polymer, Self::Steel, Self::Sheathed];

    const fn band(self) -> [LimitKey; 2] {
        match self {
            Self::Polymer => POLYMER,
            Self::Steel => STEEL,
            Self::Sheathed => SHEATHED,
        }
    }

    const fn words(self) -> &'static str {
        match self {
            Self::Polymer => "on polymer",
            Self::Steel => "on steel",
            Self::Sheathed => "greased, in their sheaths",
        }
    }

    /// The surface that a text speaks of, if it speaks of one.
    fn of_text(text: &str) -> Option<Self> {
        let text = text.to_lowercase();
        let has = |words: &[&str]| words.iter().any(|word| text.contains(word));
        // A duct may be called a sheath as well.
        if has(&["greas", "sheathed strand", "monostrand"]) {
            return Some(Self::Sheathed);
        }
        let polymer = has(&["polye", "polyp", "polymer", "plastic", "hdpe"])
            || text.split(|c: char| !c.is_alphanumeric()).any(|word| matches!(word, "pe" | "pp"));
        // The strand is of steel itself: what counts is the other side.
        let other = text.replace("steel strand", "strand").replace("prestressing steel", "strand");
        let steel =
            ["steel", "metal", "galvanis", "galvaniz"].iter().any(|word| other.contains(word));
        match (polymer, steel) {
            (true, false) => Some(Self::Polymer),
            (false, true) => Some(Self::Steel),
            _ => None,
        }
    }

    fn of_duct(duct: &Duct) -> Option<Self> {
        Some(match duct.material? {
            DuctMaterial::Polyethylene
            | DuctMaterial::Polypropylene
            | DuctMaterial::CorrugatedPolymer => Self::Polymer,
            DuctMaterial::Steel | DuctMaterial::CorrugatedMetal => Self::Steel,
        })
    }
}

/// What is stated of friction, over the whole tendon or over one length of duct.
struct Stated {
    route: Route,
    surface: Option<Surface>,
    mu: Option<f64>,
    wobble_per_m: Option<f64>,
    angle_rad_per_m: Option<f64>,
}

fn check(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    let tendon = at.tendon;
    if tendon.status == Some(Status::Removed) {
        return outcomes.not_applicable("the tendon is removed");
    }
    let sheathed = context
        .strand(tendon)
        .and_then(|strand| strand.record.coating)
        .is_some_and(|coating| coating == StrandCoating::GreasedSheathed)
        .then_some(Surface::Sheathed);
    let by_duct = |link| context.duct(link).and_then(|duct| Surface::of_duct(duct.record));
    let stressing = tendon.stressing.as_deref();
    let text = stressing.and_then(|stressing| stressing.surface.as_deref());
    let whole =
        sheathed.or_else(|| Surface::of_text(text?)).or_else(|| by_duct(tendon.duct.as_ref()));
    let mut stated = Vec::new();
    if let Some(stressing) = stressing {
        stated.push(Stated {
            route: at.route.field("stressing"),
            surface: whole,
            mu: stressing.mu,
            wobble_per_m: stressing.wobble_per_m,
            angle_rad_per_m: stressing.unintended_angle_rad_per_m,
        });
    }
    for (index, run) in tendon.duct_runs.iter().enumerate() {
        if run.mu.or(run.wobble_per_m).or(run.unintended_angle_rad_per_m).is_some() {
            stated.push(Stated {
                route: at.route.field("duct_runs").item(index),
                surface: sheathed.or_else(|| by_duct(run.duct.as_ref())).or(whole),
                mu: run.mu,
                wobble_per_m: run.wobble_per_m,
                angle_rad_per_m: run.unintended_angle_rad_per_m,
            });
        }
    }
    if stated.iter().all(|stated| stated.mu.is_none()) {
        outcomes.not_evaluated("stressing.mu");
    }
    for stated in &stated {
        friction(context, at, stated, outcomes);
        wobble(context, at, stated, outcomes);
    }
    inadvertent(context, at, outcomes);
}

fn friction(context: &Context<'_>, at: &TendonAt<'_>, stated: &Stated, outcomes: &mut Outcomes) {
    let Some(mu) = stated.mu else { return };
    let limit = |key: LimitKey| context.limit(key).value;
    let within = |surface: &Surface| {
        let [least, most] = surface.band();
        (limit(least)..=limit(most)).contains(&mu)
    };
    let Some(surface) = stated.surface else {
        // What no surface gives, or all do, needs no surface to be known.
        let fitting = Surface::ALL.iter().filter(|surface| within(surface)).count();
        if fitting == Surface::ALL.len() {
            return outcomes.pass();
        }
        if fitting > 0 {
            return outcomes.not_evaluated("stressing.surface");
        }
        let ends = |pick: fn([LimitKey; 2]) -> LimitKey| Surface::ALL.map(|one| pick(one.band()));
        let least =
            ends(|[least, _]| least).into_iter().min_by(|a, b| limit(*a).total_cmp(&limit(*b)));
        let most =
            ends(|[_, most]| most).into_iter().max_by(|a, b| limit(*a).total_cmp(&limit(*b)));
        let (Some(least), Some(most)) = (least, most) else { return };
        return outcomes.found(coefficient(
            context,
            at,
            stated,
            mu,
            [least, most],
            "on any surface",
        ));
    };
    if within(&surface) {
        return outcomes.pass();
    }
    outcomes.found(coefficient(context, at, stated, mu, surface.band(), surface.words()));
}

fn coefficient(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    stated: &Stated,
    mu: f64,
    [least, most]: [LimitKey; 2],
    on: &str,
) -> Finding {
    let (key, how) =
        if mu < context.limit(least).value { (least, "less than") } else { (most, "more than") };
    let limit = context.limit(key);
    let message = format!(
        "friction of tendon {{tendon}} is reckoned with {{mu}}, {how} {{{}}}, as strands {on} usually give",
        key.name
    );
    Finding::new(RULE.id, Kind::Margin, stated.route.field("mu"), message)
        .help(
            "Forces beyond each deviator, and the elongation, hang on it: state the surface, and the \
             coefficient that the supplier's tests or the code give for it",
        )
        .fact(Fact::text("tendon", at.mark()))
        .fact(Fact::given("mu", mu, 3))
        .fact(limit.fact(key, 3))
        .fact(Fact::computed("ratio", mu / limit.value, 3))
        .remedy(format!("Take {{{}}}, unless a test gives another", key.name))
}

fn wobble(context: &Context<'_>, at: &TendonAt<'_>, stated: &Stated, outcomes: &mut Outcomes) {
    let begin = |kind, field: &'static str, message: &str| {
        Finding::new(RULE.id, kind, stated.route.field(field), message)
            .help(
                "K goes straight into the exponent, K·x; k is an angle for each length and is multiplied by \
                 the friction coefficient, μ·k·x: state one of them, in its own column",
            )
            .fact(Fact::text("tendon", at.mark()))
    };
    let limit = |key: LimitKey| context.limit(key).value;
    match (stated.wobble_per_m, stated.angle_rad_per_m) {
        (None, None) => {}
        (Some(wobble_per_m), Some(angle)) => {
            let Some(mu) = stated.mu else { return outcomes.not_evaluated("stressing.mu") };
            let by_angle = wobble_exponent_per_m(Wobble::Angle(RadPerM(angle)), mu);
            let by_wobble = wobble_exponent_per_m(Wobble::Exponent(ExponentPerM(wobble_per_m)), mu);
            let (Ok(by_angle), Ok(by_wobble)) = (by_angle, by_wobble) else {
                return outcomes.not_evaluated("stressing.wobble_per_m");
            };
            let tolerance = context.limit(TOLERANCE);
            if (by_angle - by_wobble).abs() <= tolerance.value * by_angle.max(by_wobble) {
                return outcomes.pass();
            }
            outcomes.found(
                begin(
                    Kind::Inconsistent,
                    "wobble_per_m",
                    "wobble of tendon {tendon} is stated twice: as K = {wobble_per_m}, and as k = \
                     {unintended_angle_rad_per_m}, which with {mu} is K = {equal_wobble_per_m}",
                )
                .related(stated.route.field("unintended_angle_rad_per_m"), "k")
                .fact(Fact::given("wobble_per_m", wobble_per_m, 5))
                .fact(Fact::given("unintended_angle_rad_per_m", angle, 5))
                .fact(Fact::given("mu", mu, 3))
                .fact(Fact::computed("equal_wobble_per_m", by_angle, 5))
                .fact(tolerance.fact(TOLERANCE, 3))
                .remedy("Leave out one of the two, or state K = {equal_wobble_per_m}"),
            );
        }
        (Some(wobble_per_m), None) => {
            if wobble_per_m <= limit(WOBBLE_MOST) {
                return outcomes.pass();
            }
            let most = context.limit(WOBBLE_MOST);
            let mut finding = begin(
                Kind::Margin,
                "wobble_per_m",
                "wobble of tendon {tendon} is stated as K = {wobble_per_m}, more than {wobble_most_per_m}, as \
                 ducts usually give",
            )
            .fact(Fact::given("wobble_per_m", wobble_per_m, 5))
            .fact(most.fact(WOBBLE_MOST, 5))
            .fact(Fact::computed("ratio", wobble_per_m / most.value, 3));
            // Of the size of a k, it was perhaps meant as one.
            let is_angle = (limit(ANGLE_LEAST)..=limit(ANGLE_MOST)).contains(&wobble_per_m);
            let meant = stated.mu.filter(|_| is_angle).and_then(|mu| {
                wobble_exponent_per_m(Wobble::Angle(RadPerM(wobble_per_m)), mu).ok()
            });
            if let Some(meant) = meant {
                finding = finding.fact(Fact::computed("equal_wobble_per_m", meant, 5)).remedy(
                    "If it is meant as k, an angle for each length, state it as that: it is then K = \
                     {equal_wobble_per_m}",
                );
            }
            outcomes
                .found(finding.remedy("State the K that the supplier's tests or the code give"));
        }
        (None, Some(angle)) => {
            if angle == 0.0 || (limit(ANGLE_LEAST)..=limit(ANGLE_MOST)).contains(&angle) {
                return outcomes.pass();
            }
            let (key, how) = if angle < limit(ANGLE_LEAST) {
                (ANGLE_LEAST, "less than")
            } else {
                (ANGLE_MOST, "more than")
            };
            let missed = context.limit(key);
            let message = format!(
                "the unintended angle of tendon {{tendon}} is stated as k = {{unintended_angle_rad_per_m}}, \
                 {how} {{{}}}, as ducts usually give",
                key.name
            );
            let mut finding = begin(Kind::Margin, "unintended_angle_rad_per_m", &message)
                .fact(Fact::given("unintended_angle_rad_per_m", angle, 5))
                .fact(missed.fact(key, 5))
                .fact(Fact::computed("ratio", angle / missed.value, 3));
            // Of the size of a K, it was perhaps meant as one: then k is greater by the coefficient.
            let meant = stated.mu.filter(|mu| *mu > 0.0 && angle <= limit(WOBBLE_MOST));
            if let Some(mu) = meant {
                finding = finding.fact(Fact::computed("equal_angle_rad_per_m", angle / mu, 5)).remedy(
                    "If it is meant as K, of the exponent K·x, state it as that: it is then k = \
                     {equal_angle_rad_per_m}",
                );
            }
            outcomes
                .found(finding.remedy("State the k that the supplier's tests or the code give"));
        }
    }
}

/// The angle that is added at each deviator.
fn inadvertent(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    use restrand_model::schedule::Situation;
    if at.tendon.situation == Some(Situation::Internal) || at.tendon.deviators.is_empty() {
        return outcomes.not_applicable("the tendon has no deviators");
    }
    let stressing = at.tendon.stressing.as_deref();
    let Some(angle) = stressing.and_then(|stressing| stressing.inadvertent_angle_rad) else {
        return outcomes.not_evaluated("stressing.inadvertent_angle_rad");
    };
    let limit = |key: LimitKey| context.limit(key).value;
    let (key, how) = if angle < limit(INADVERTENT_LEAST) {
        (INADVERTENT_LEAST, "less than the {inadvertent_angle_least_rad} that are asked")
    } else if angle > limit(INADVERTENT_MOST) {
        (INADVERTENT_MOST, "more than the {inadvertent_angle_most_rad} that are usual")
    } else {
        return outcomes.pass();
    };
    let missed = context.limit(key);
    let route = at.route.field("stressing").field("inadvertent_angle_rad");
    let message =
        format!("at each deviator of tendon {{tendon}} {{inadvertent_angle_rad}} are added, {how}");
    outcomes.found(
        Finding::new(RULE.id, Kind::Margin, route, message)
            .help(
                "Forms are never set quite true, and the angle that is added for it takes force at each \
                 deviator: state the code's angle, and recompute forces with it; see that it is in radians",
            )
            .fact(Fact::text("tendon", at.mark()))
            .fact(Fact::given("inadvertent_angle_rad", angle, 4))
            .fact(missed.fact(key, 4))
            .remedy(format!("Add {{{}}} at each deviator", key.name)),
    );
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_surface_is_known_by_its_words() {
        for (text, expected) in [
            ("strand on smooth polyethylene, dry", Some(Surface::Polymer)),
            ("HDPE", Some(Surface::Polymer)),
            ("steel strand on PE duct", Some(Surface::Polymer)),
            ("Galvanized pipe", Some(Surface::Steel)),
            ("steel pipe, lubricated", Some(Surface::Steel)),
            ("greased strand in its sheath", Some(Surface::Sheathed)),
            ("steel pipe lined with polyethylene", None),
            ("open", None),
            ("", None),
        ] {
            assert_eq!(Surface::of_text(text), expected, "{text}");
        }
    }
}
