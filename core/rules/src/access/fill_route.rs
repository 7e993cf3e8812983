//! The hose from the pump does not reach a tendon's inlet.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_model::route::Route;
use restrand_model::schedule::{Filler, OpeningPlane, PumpPlace, Tendon, VentKind};

use super::{is_worked_on, ways_or_said};
use crate::beyond::{beyond, short_of};
use crate::context::{Context, TendonAt};
use crate::rule::{Check, Corrects, LimitKey, Rule};
use crate::ways::{NoDoor, Room, Ways};

const HOSE: LimitKey =
    LimitKey { name: "hose_most_m", meaning: "length of hose from the pump to the inlet" };

pub(crate) const RULE: Rule = Rule {
    id: "access/fill-route",
    summary: "the stated length of hose against the way from the nearest opening to the inlet",
    kinds: &[Kind::Physical, Kind::Margin],
    limits: &[HOSE],
    sources: &[Citation::new(
        "a hose is at least as long as the way along the bridge from opening to inlet",
        Evidence::Derived,
    )],
    correction: Corrects::Nothing,
    implied_by: &[],
    page: include_str!("fill_route.md"),
    check: Check::Schedule(check),
};

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    let Some(ways) = ways_or_said(context, outcomes) else { return };
    let entries = Entries::of(&ways);
    for at in context.tendons() {
        if !is_worked_on(&at) {
            outcomes.not_applicable("no new tendon is filled");
            continue;
        }
        match judge(context, &ways, &entries, &at) {
            Ok(Judged::Pass) => outcomes.pass(),
            Ok(Judged::None(why)) => outcomes.not_applicable(why),
            Ok(Judged::Found(finding)) => outcomes.found(*finding),
            Err(field) => outcomes.not_evaluated(field),
        }
    }
}

enum Judged {
    Pass,
    None(&'static str),
    Found(Box<Finding>),
}

/// The openings to the outside of one kind, by station.
#[derive(Default)]
struct Side {
    /// Station and position of each, in the order of stations.
    stations: Vec<(f64, usize)>,
    /// Whether one of them has no station.
    has_unknown: bool,
}

impl Side {
    /// The nearest opening to a station: how far it is, m, and which.
    fn nearest(&self, station_m: f64) -> Option<(f64, usize)> {
        let after = self.stations.partition_point(|(at_m, _)| *at_m < station_m);
        let before = after.checked_sub(1);
        [before, Some(after)]
            .into_iter()
            .flatten()
            .filter_map(|position| self.stations.get(position))
            .map(|(at_m, opening)| ((at_m - station_m).abs(), *opening))
            .min_by(|(one, _), (other, _)| one.total_cmp(other))
    }

    const fn is_blank(&self) -> bool {
        self.stations.is_empty() && !self.has_unknown
    }
}

/// All openings to the outside, and those through which a pump on the deck, or below, reaches in.
#[derive(Default)]
struct Entries {
    any: Side,
    roof: Side,
    below: Side,
    /// Those of which it is not stated in what they are: each may be for either pump.
    either: Side,
}

impl Entries {
    fn of(ways: &Ways<'_>) -> Self {
        let mut all = Self::default();
        let doors = ways.doors.iter().filter(|door| door.rooms.contains(&Room::Outside));
        // A hose goes in through an opening to the outside, even if the bay that it names is not listed.
        let dangling = ways.no_doors.iter().filter(|(_, why)| *why == NoDoor::Dangling);
        let dangling = dangling.map(|(opening, _)| *opening).filter(|opening| {
            let opening = &ways.openings[*opening];
            opening.from_bay.is_none() || opening.to_bay.is_none()
        });
        for position in doors.map(|door| door.opening).chain(dangling) {
            let opening = &ways.openings[position];
            let own = match opening.plane {
                Some(OpeningPlane::Roof) => Some(&mut all.roof),
                Some(OpeningPlane::Floor | OpeningPlane::Wall) => Some(&mut all.below),
                None => Some(&mut all.either),
            };
            for side in own.into_iter().chain([&mut all.any]) {
                match opening.station_m {
                    Some(station_m) => side.stations.push((station_m, position)),
                    None => side.has_unknown = true,
                }
            }
        }
        for side in [&mut all.any, &mut all.roof, &mut all.below, &mut all.either] {
            side.stations.sort_by(|(one, _), (other, _)| one.total_cmp(other));
        }
        all
    }

    /// The openings for a pump; a hose from a place that has none of its own goes in through any other.
    const fn for_pump(&self, pump: Option<PumpPlace>) -> &Side {
        if self.has_none_of_its_own(pump) { &self.any } else { self.own(pump) }
    }

    const fn own(&self, pump: Option<PumpPlace>) -> &Side {
        match pump {
            Some(PumpPlace::Deck) => &self.roof,
            Some(PumpPlace::Below) => &self.below,
            _ => &self.any,
        }
    }

    /// Whether none is stated to be for a pump there.
    const fn has_none_of_its_own(&self, pump: Option<PumpPlace>) -> bool {
        self.own(pump).is_blank()
    }
}

/// The stations of the inlets, and whether one lacks its own.
fn inlets_m(tendon: &Tendon) -> Result<(Vec<f64>, bool), &'static str> {
    if tendon.vents.is_empty() {
        return Err("tendon.vents");
    }
    let inlets = || tendon.vents.iter().filter(|vent| vent.kind == Some(VentKind::Inlet));
    let stations: Vec<f64> = inlets().filter_map(|vent| vent.station_m).collect();
    match inlets().count() {
        0 => Err("vent.kind"),
        _ if stations.is_empty() => Err("vent.station_m"),
        count => {
            let lacks = stations.len() < count;
            Ok((stations, lacks))
        }
    }
}

fn judge(
    context: &Context<'_>,
    ways: &Ways<'_>,
    entries: &Entries,
    at: &TendonAt<'_>,
) -> Result<Judged, &'static str> {
    match at.tendon.filler {
        None => return Err("tendon.filler"),
        Some(Filler::None) => return Ok(Judged::None("the tendon has no filler")),
        Some(_) => {}
    }
    let fill = at.tendon.fill.as_deref().ok_or("tendon.fill")?;
    let hose_m = fill.hose_length_mm.ok_or("fill.hose_length_mm")? / 1000.0;
    let limit = context.limit(HOSE);
    let too_long = beyond(hose_m, limit.value);
    let route = at.route.field("fill").field("hose_length_mm");
    // The inlet that lies best; a pump inside needs no way in.
    let way = match fill.pump {
        Some(PumpPlace::Inside) => None,
        pump => {
            let side = entries.for_pump(pump);
            let (inlets_m, lacks_inlet) = inlets_m(at.tendon)?;
            let nearest = |side: &Side| {
                let each =
                    inlets_m.iter().filter_map(|inlet_m| Some((side.nearest(*inlet_m)?, *inlet_m)));
                each.min_by(|((one, _), _), ((other, _), _)| one.total_cmp(other))
            };
            let reaches = |side: &Side| {
                nearest(side).is_some_and(|((needed_m, _), _)| !short_of(hose_m, needed_m))
            };
            // If one of them is for this pump, the hose goes in there, and not through any other.
            if entries.has_none_of_its_own(pump)
                && !entries.either.is_blank()
                && reaches(side)
                && !reaches(&entries.either)
            {
                return Err("opening.plane");
            }
            if !reaches(side) {
                // What is not stated may be what reaches.
                if side.has_unknown {
                    return Err("opening.station_m");
                }
                if entries.either.has_unknown || reaches(&entries.either) {
                    return Err("opening.plane");
                }
                if lacks_inlet {
                    return Err("vent.station_m");
                }
            }
            let nearest = nearest(side);
            Some(nearest.ok_or("schedule.openings")?)
        }
    };
    if let Some(((needed_m, opening), inlet_m)) = way
        && short_of(hose_m, needed_m)
    {
        let finding =
            Finding::new(
                RULE.id,
                Kind::Physical,
                route,
                "a hose of {hose_m} does not reach the inlet of {tendon} at station {inlet_m}: along the bridge alone it is {needed_m} \
                 from opening {opening}, the nearest",
            )
            .related(Route::to("openings", opening), "the nearest opening to the outside")
            .help("Use a longer hose, bring the pump inside, or list the opening through which the hose goes")
            .fact(Fact::text("tendon", at.mark()))
            .fact(Fact::text("opening", ways.call(opening)))
            .fact(Fact::given("hose_m", hose_m, 1))
            .fact(Fact::given("inlet_m", inlet_m, 2))
            .fact(Fact::computed("needed_m", needed_m, 1).at_least())
            .fact(Fact::computed("ratio", hose_m / needed_m, 2));
        // A hose that reaches shall not be one that is too long.
        let finding = match beyond(needed_m, limit.value) {
            true => finding
                .fact(limit.fact(HOSE, 0).at_most())
                .remedy("Make an opening within {hose_most_m} of the inlet, or set the pump inside: a hose that reaches from where \
                         one is would be too long"),
            false => finding.remedy("Use a hose of {needed_m} or more"),
        };
        return Ok(Judged::Found(Box::new(finding)));
    }
    if !too_long {
        return Ok(Judged::Pass);
    }
    let mut finding = Finding::new(
        RULE.id,
        Kind::Margin,
        route,
        "the hose to the inlet of {tendon} is {hose_m} long, more than {hose_most_m}",
    )
    .help("Pressure is lost and filler is left in a long hose: set the pump nearer, or make a hole nearer the inlet")
    .fact(Fact::text("tendon", at.mark()))
    .fact(Fact::given("hose_m", hose_m, 1))
    .fact(limit.fact(HOSE, 0).at_most())
    .fact(Fact::computed("ratio", hose_m / limit.value, 2));
    if let Some(((needed_m, opening), _)) = way
        && !beyond(needed_m, limit.value)
    {
        finding = finding
            .related(Route::to("openings", opening), "the nearest opening to the outside")
            .fact(Fact::computed("needed_m", needed_m, 1).at_least())
            .remedy("Shorten the hose to {hose_most_m}: along the bridge it is {needed_m} to the nearest opening");
    }
    Ok(Judged::Found(Box::new(finding)))
}
