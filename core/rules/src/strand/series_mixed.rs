//! A strand of the inch series has values of the metric one, or the reverse.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_mechanics::tables::strand::{Series, StandardStrand};
use restrand_model::route::Route;
use restrand_model::schedule::Strand;

use super::table;
use crate::context::Context;
use crate::rule::{Check, Corrects, LimitKey, Rule};

/// The limit of `strand/area-mismatch`, by which a stated area is that of a size.
const TOLERANCE: LimitKey = LimitKey {
    name: "area_tolerance",
    meaning: "share by which a strand's area may differ from its standard's",
};

pub(crate) const RULE: Rule = Rule {
    id: "strand/series-mixed",
    summary: "series of a strand against its standard, and against the series that its values belong to",
    kinds: &[Kind::Inconsistent],
    limits: &[TOLERANCE],
    sources: &[Citation::new(
        "ASTM A416/A416M-17: inch and SI values are separate standards and must not be combined",
        Evidence::Read,
    )],
    correction: Corrects::Nothing,
    implied_by: &[],
    page: include_str!("series_mixed.md"),
    check: Check::Schedule(check),
};

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    for (index, strand) in context.schedule.strands.iter().enumerate() {
        one(context, strand, &Route::to("strands", index), outcomes);
    }
}

fn one(context: &Context<'_>, strand: &Strand, route: &Route, outcomes: &mut Outcomes) {
    let of_standard = table::series_of_standard(strand);
    let stated = table::series(strand);
    if let (Some(stated), Some(of_standard)) = (stated, of_standard)
        && stated != of_standard
    {
        return outcomes.found(of_another_standard(strand, stated, of_standard, route));
    }
    let Some(own) = stated.or(of_standard) else {
        return outcomes.not_evaluated("strand.series");
    };
    if !table::is_of_the_tables(strand) {
        return outcomes.not_applicable(table::OTHER_STANDARD);
    }
    let Some(diameter_mm) = strand.diameter_mm else {
        return outcomes.not_evaluated("strand.diameter_mm");
    };
    let Some(area_mm2) = strand.area_mm2 else {
        return outcomes.not_evaluated("strand.area_mm2");
    };
    let tolerance = context.limit(TOLERANCE);
    let of_area = |series| -> Option<&'static StandardStrand> {
        table::sizes(strand, Some(series), diameter_mm)
            .into_iter()
            .find(|size| table::area_agrees(size, area_mm2, tolerance.value))
    };
    match (of_area(own), of_area(other(own))) {
        (None, Some(size)) => {
            outcomes.found(of_another_series(strand, own, size, (diameter_mm, area_mm2), route));
        }
        _ => outcomes.pass(),
    }
}

const fn other(series: Series) -> Series {
    match series {
        Series::Inch => Series::Metric,
        Series::Metric => Series::Inch,
    }
}

const fn word(series: Series) -> &'static str {
    match series {
        Series::Inch => "inch",
        Series::Metric => "metric",
    }
}

const HELP: &str = "The two series have other areas at nearly the same diameters, and other masses: state the \
                    strand that was ordered, with the values of its own standard";

fn of_another_standard(
    strand: &Strand,
    stated: Series,
    of_standard: Series,
    route: &Route,
) -> Finding {
    Finding::new(
        RULE.id,
        Kind::Inconsistent,
        route.field("series"),
        "strand {strand} is stated to be of the {series} series, but its standard {standard} has the \
         {standard_series} one",
    )
    .related(route.field("standard"), "the standard")
    .help(HELP)
    .fact(Fact::text("strand", table::name(strand)))
    .fact(Fact::text("series", word(stated)))
    .fact(Fact::text("standard", strand.standard.as_deref().unwrap_or_default()))
    .fact(Fact::text("standard_series", word(of_standard)))
}

fn of_another_series(
    strand: &Strand,
    own: Series,
    size: &StandardStrand,
    (diameter_mm, area_mm2): (f64, f64),
    route: &Route,
) -> Finding {
    Finding::new(
        RULE.id,
        Kind::Inconsistent,
        route.field("area_mm2"),
        "strand {strand} is of the {series} series, which has no size of {diameter_mm} with {area_mm2}; in the \
         {other_series} series it is {designation}",
    )
    .related(route.field("diameter_mm"), "the diameter")
    .help(HELP)
    .fact(Fact::text("strand", table::name(strand)))
    .fact(Fact::text("series", word(own)))
    .fact(Fact::text("other_series", word(other(own))))
    .fact(Fact::text("designation", table::designation(size)))
    .fact(Fact::given("diameter_mm", diameter_mm, 2))
    .fact(Fact::given("area_mm2", area_mm2, 1))
    .cites("the size's row of the table", table::citation(size, size.area_evidence).evidence)
}
