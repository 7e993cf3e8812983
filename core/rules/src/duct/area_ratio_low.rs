//! A duct's bore is small for the strands in it and the way they go in.

mod wider;

use std::collections::HashMap;

use restrand_finding::{Citation, Class, Correction, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_mechanics::duct::{area_ratio, least_inner_mm};
use restrand_model::reflect::Choice;
use restrand_model::route::{Route, Step};
use restrand_model::schedule::{Duct, Installation, Status, Strand};
use restrand_model::value::Value;

use self::wider::remedies;
use super::used;
use crate::book::Limit;
use crate::context::{Context, Found, TendonAt};
use crate::rule::{Check, Corrects, LimitKey, Rule};

const PUSH: LimitKey = LimitKey {
    name: "area_ratio_push",
    meaning: "bore area over steel area where strands are pushed in or laid in",
};
const PULL: LimitKey = LimitKey {
    name: "area_ratio_pull",
    meaning: "bore area over steel area where strands are pulled in",
};

pub(crate) const RULE: Rule = Rule {
    id: "duct/area-ratio-low",
    summary: "bore area over steel area of each duct, for the way the strands and their successors go in",
    kinds: &[Kind::Margin],
    limits: &[PUSH, PULL],
    sources: &[Citation::new("FP-96 (US Federal Lands Highway), section 553(a)", Evidence::Read)],
    correction: Corrects::Offers(&[Class::Propose], offer),
    implied_by: &["duct/dimensions-inconsistent"],
    page: include_str!("area_ratio_low.md"),
    check: Check::Schedule(check),
};

/// Which strands ask for the ratio.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
enum Whose {
    First,
    Replacement,
    /// The way in is not stated, and the ratio is low for every way.
    AnyWay,
}

/// The limit that holds, and for what.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
struct Asked {
    whose: Whose,
    is_pulled: bool,
}

/// One duct with one bundle of strands, wherever it stands.
struct Bundle<'a> {
    duct: Found<'a, Duct>,
    strand: &'a Strand,
    count: u32,
    area_mm2: f64,
    asked: Asked,
    ratio: f64,
    first: (String, Route),
    others: Vec<(String, Route)>,
}

/// What makes two bundles one: the positions of duct and strand, the count, and what is asked.
type Sameness = (usize, usize, u32, Asked);

#[derive(Default)]
struct Bundles<'a> {
    low: Vec<Bundle<'a>>,
    seen: HashMap<Sameness, usize>,
}

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    for bundle in low(context, outcomes) {
        outcomes.found(finding(context, &bundle));
    }
}

/// The bundles for which their duct is narrow.
fn low<'a>(context: &Context<'a>, outcomes: &mut Outcomes) -> Vec<Bundle<'a>> {
    let mut bundles = Bundles::default();
    for at in context.tendons() {
        tendon(context, &at, &mut bundles, outcomes);
    }
    bundles.low
}

/// The other way in, where that is enough; or else the narrowest duct of the schedule that is wide enough.
fn offer(context: &Context<'_>, offered: &mut Vec<Correction>) {
    for bundle in low(context, &mut Outcomes::default()) {
        let key = if bundle.asked.is_pulled { PULL } else { PUSH };
        let ratio = |correction: Correction| {
            correction
                .fact(Fact::computed("area_ratio", bundle.ratio, 3))
                .fact(Fact::text("duct", name(&bundle.duct.record.id)))
                .rests_on(bundle.duct.route.field("inner_mm"))
        };
        let routes = std::iter::once(&bundle.first).chain(&bundle.others).map(|(_, route)| route);
        if push_is_enough(context, &bundle) {
            let field = match bundle.asked.whose {
                Whose::Replacement => "replacement_installation",
                Whose::First | Whose::AnyWay => "installation",
            };
            for route in routes {
                let [_, Step::Item(tendon), ..] = route.steps() else {
                    continue;
                };
                let way = Route::to("tendons", *tendon).field(field);
                let value = Some(Value::Text(Installation::Push.word().into()));
                let reason = "the bore of {duct} is {area_ratio} times the steel, which is enough for \
                              strands that are pushed in one by one";
                offered.push(ratio(Correction::new(RULE.id, Class::Propose, way, value, reason)));
            }
            continue;
        }
        let Some((wider, inner_mm)) = wider_duct(context, &bundle, context.limit(key)) else {
            continue;
        };
        for route in routes {
            let value = Some(Value::Text(wider.into()));
            let reason = "the bore of {duct} is {area_ratio} times the steel; of the ducts of the schedule \
                          {wider} is the narrowest that is wide enough, with a bore of {wider_inner_mm}";
            offered.push(
                ratio(Correction::new(RULE.id, Class::Propose, route.clone(), value, reason))
                    .fact(Fact::text("wider", wider))
                    .fact(Fact::given("wider_inner_mm", inner_mm, 2)),
            );
        }
    }
}

/// The narrowest duct of the same material that is wide enough, where just one is.
fn wider_duct<'a>(
    context: &Context<'a>,
    bundle: &Bundle<'_>,
    limit: &Limit,
) -> Option<(&'a str, f64)> {
    let least_mm = least_inner_mm(limit.value, bundle.count, bundle.area_mm2).ok()?;
    let mut enough: Vec<(f64, &str)> = context
        .schedule
        .ducts
        .iter()
        .filter(|duct| duct.material == bundle.duct.record.material)
        .filter_map(|duct| Some((duct.inner_mm?, duct.id.as_deref()?)))
        .filter(|(inner_mm, _)| *inner_mm >= least_mm)
        .collect();
    enough.sort_by(|(one, a), (other, b)| one.total_cmp(other).then(a.cmp(b)));
    match enough[..] {
        [(inner_mm, only)] => Some((only, inner_mm)),
        [(inner_mm, first), (next_mm, _), ..] if inner_mm < next_mm => Some((first, inner_mm)),
        _ => None,
    }
}

/// Whether strands that are pulled in could be pushed in through the same bore.
fn push_is_enough(context: &Context<'_>, bundle: &Bundle<'_>) -> bool {
    bundle.asked.is_pulled
        && bundle.asked.whose != Whose::AnyWay
        && !is_low(bundle.ratio, context.limit(PUSH).value)
}

fn name(id: &Option<Box<str>>) -> String {
    id.as_deref().unwrap_or("without a name").to_owned()
}

fn tendon<'a>(
    context: &Context<'a>,
    at: &TendonAt<'a>,
    bundles: &mut Bundles<'a>,
    outcomes: &mut Outcomes,
) {
    let tendon = at.tendon;
    if tendon.status == Some(Status::Removed) {
        return outcomes.not_applicable("the tendon is removed");
    }
    let count = match tendon.strand_count {
        Some(count @ 1..) => count,
        _ if tendon.status == Some(Status::Reserved) => {
            return outcomes.not_applicable("the tendon is reserved and has no strands");
        }
        _ => return outcomes.not_evaluated("tendon.strand_count"),
    };
    let Some(strand) = context.strand(tendon) else {
        return outcomes.not_evaluated("tendon.strand");
    };
    let area_mm2 = match strand_area(strand.record) {
        Ok(area) => area,
        Err(field) => return outcomes.not_evaluated(field),
    };
    let named = used::named(at);
    if named.is_empty() {
        outcomes.not_evaluated("tendon.duct");
    }
    for (link, route) in named {
        let Some(duct) = context.duct(Some(link)) else {
            outcomes.not_evaluated("tendon.duct");
            continue;
        };
        let Some(inner_mm) = duct.record.inner_mm else {
            outcomes.not_evaluated("duct.inner_mm");
            continue;
        };
        let Ok(ratio) = area_ratio(inner_mm, count, area_mm2) else {
            outcomes.not_evaluated("duct.inner_mm");
            continue;
        };
        match judge(context, at, ratio) {
            Judgement::Enough => outcomes.pass(),
            Judgement::WayUnknown => outcomes.not_evaluated("tendon.installation"),
            Judgement::Low(asked) => {
                let position = |list, key: &str| context.position(list, key).unwrap_or_default();
                let strand_key = strand.record.id.as_deref().unwrap_or_default();
                let same =
                    (position("ducts", link.key()), position("strands", strand_key), count, asked);
                let known = *bundles.seen.entry(same).or_insert(bundles.low.len());
                let place = (at.mark(), route);
                match bundles.low.get_mut(known) {
                    Some(bundle) => bundle.others.push(place),
                    None => bundles.low.push(Bundle {
                        duct,
                        strand: strand.record,
                        count,
                        area_mm2,
                        asked,
                        ratio,
                        first: place,
                        others: Vec::new(),
                    }),
                }
            }
        }
    }
}

/// The area of one strand's steel: the sources speak of the net area of the prestressing steel.
fn strand_area(strand: &Strand) -> Result<f64, &'static str> {
    strand.area_mm2.ok_or("strand.area_mm2")
}

enum Judgement {
    Enough,
    /// Enough for one way in and not for the other, and which it is is not stated.
    WayUnknown,
    Low(Asked),
}

fn judge(context: &Context<'_>, at: &TendonAt<'_>, ratio: f64) -> Judgement {
    let first = at.tendon.installation;
    let again = at.tendon.replacement_installation.or(first).filter(|_| !at.stays());
    let limit = |is_pulled| context.limit(if is_pulled { PULL } else { PUSH }).value;
    let pulled = |way: Installation| way == Installation::Pull;
    // Of several ways the one that asks for most counts, and the first strands' where they ask for the same.
    let known = [(Whose::First, first), (Whose::Replacement, again)]
        .into_iter()
        .filter_map(|(whose, way)| Some(Asked { whose, is_pulled: pulled(way?) }))
        .reduce(
            |one, other| {
                if limit(other.is_pulled) > limit(one.is_pulled) { other } else { one }
            },
        );
    if let Some(asked) = known
        && is_low(ratio, limit(asked.is_pulled))
    {
        return Judgement::Low(asked);
    }
    if first.is_some() {
        return Judgement::Enough;
    }
    let (least, most) = if limit(true) < limit(false) { (true, false) } else { (false, true) };
    if is_low(ratio, limit(least)) {
        Judgement::Low(Asked { whose: Whose::AnyWay, is_pulled: least })
    } else if is_low(ratio, limit(most)) {
        Judgement::WayUnknown
    } else {
        Judgement::Enough
    }
}

fn is_low(ratio: f64, limit: f64) -> bool {
    // A ratio of decimal fractions is not exact.
    ratio < limit * (1.0 - 1e-9)
}

fn finding(context: &Context<'_>, bundle: &Bundle<'_>) -> Finding {
    let Bundle { duct, strand, count, area_mm2, asked, ratio, first, others } = bundle;
    let key = if asked.is_pulled { PULL } else { PUSH };
    let limit = context.limit(key);
    let what = "duct {duct} has {area_ratio} times the area of its {strands} strands";
    let least = format!("less than {{{}}}", key.name);
    let message = match (asked.whose, asked.is_pulled) {
        (Whose::First, true) => format!("{what}, {least}, which strands that are pulled in need"),
        (Whose::First, false) => format!("{what}, {least}, which strands need to go in"),
        (Whose::Replacement, true) => {
            format!("{what}, {least}, which replacement strands that are pulled in need")
        }
        (Whose::Replacement, false) => {
            format!("{what}, {least}, which replacement strands need to go in")
        }
        (Whose::AnyWay, _) => format!("{what}, {least}, whichever way the strands go in"),
    };
    let (tendon, place) = first;
    let digits = digits_that_tell(*ratio, limit.value);
    let mut finding = Finding::new(RULE.id, Kind::Margin, place.clone(), message)
        .related(duct.route.field("inner_mm"), "the bore")
        .help(
            "Strands jam or cross in a narrow bore, and filler does not reach between them: choose a wider \
             bore or fewer strands; where the duct changes, check what it must pass",
        )
        .fact(Fact::text("tendon", tendon.clone()))
        .fact(Fact::text("duct", name(&duct.record.id)))
        .fact(Fact::text("strand", name(&strand.id)))
        .fact(Fact::given("strands", f64::from(*count), 0))
        .fact(Fact::computed("strand_area_mm2", *area_mm2, 1))
        .fact(Fact::computed("area_ratio", *ratio, digits))
        .fact(limit.fact(key, digits));
    if let Some(inner_mm) = duct.record.inner_mm {
        finding = finding.fact(Fact::given("inner_mm", inner_mm, 2));
    }
    if !others.is_empty() {
        let marks: Vec<_> = others.iter().map(|(mark, _)| mark.as_str()).collect();
        finding = finding.fact(Fact::text("other_tendons", marks.join(", ")));
    }
    for (mark, route) in others {
        finding = finding.related(route.clone(), format!("the same in tendon {mark}"));
    }
    remedies(context, bundle, limit, finding)
}

/// Decimals with which the ratio does not read like the limit it misses.
fn digits_that_tell(ratio: f64, limit: f64) -> u8 {
    (2..6)
        .find(|digits| {
            let digits = usize::from(*digits);
            format!("{ratio:.digits$}") != format!("{limit:.digits$}")
        })
        .unwrap_or(6)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_ratio_itself_is_enough_and_less_is_not() {
        assert!(!is_low(2.0, 2.0));
        assert!(!is_low(2.5 * (1.0 - 1e-12), 2.5));
        assert!(is_low(2.499_999, 2.5));
        assert!(!is_low(2.500_001, 2.5));
        // The least bore that is offered gives the ratio that is asked.
        let least = least_inner_mm(2.5, 19, 140.0).unwrap();
        assert!(!is_low(area_ratio(least, 19, 140.0).unwrap(), 2.5));
        assert!(is_low(area_ratio(least * 0.9999, 19, 140.0).unwrap(), 2.5));
    }

    #[test]
    fn a_ratio_just_below_its_limit_does_not_read_like_it() {
        assert_eq!(digits_that_tell(2.27, 2.5), 2);
        assert_eq!(digits_that_tell(2.4996, 2.5), 4);
    }
}
