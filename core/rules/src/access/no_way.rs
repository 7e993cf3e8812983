//! No chain of bays and openings leads from outside to where people must work.

use std::collections::BTreeMap;

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes, Severity};
use restrand_model::reflect::Link;
use restrand_model::route::Route;
use restrand_model::schedule::{FaceName, Place, Stage};

use super::{bay_behind, bays_beside, is_worked_on, named, ways_or_said};
use crate::context::Context;
use crate::rule::{Check, Corrects, Rule};
use crate::ways::{NoDoor, Reach, Room, Ways, extent_m};

pub(crate) const RULE: Rule = Rule {
    id: "access/no-way",
    summary: "bays and openings as ways from outside to each end and deviator",
    kinds: &[Kind::Missing, Kind::Inconsistent],
    limits: &[],
    sources: &[Citation::new("rooms joined by openings, as stated", Evidence::Derived)],
    correction: Corrects::Nothing,
    implied_by: &["schedule/dangling-reference"],
    page: include_str!("no_way.md"),
    check: Check::Schedule(check),
};

/// A place by its name, and the word for the side of it.
type Side = (String, &'static str);
/// Who has to get there, by name, and the links to the place.
type Users = (Vec<String>, Vec<Route>);

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    let Some(ways) = ways_or_said(context, outcomes) else { return };
    openings_to_nowhere(&ways, outcomes);
    bays_that_cannot_be(context, &ways, outcomes);
    let reached = ways.widest(|_| Some(0.0));
    // Before shop drawings ways need not be laid out yet.
    let stage = context.tendons().filter(is_worked_on).map(|at| context.stage_of(at.tendon)).max();
    let severity = match stage {
        Some(stage) if stage >= Stage::ShopDrawing => Severity::Error,
        _ => Severity::Note,
    };
    // What lies at each bay, and where none is listed, each said once.
    let mut cut_off: BTreeMap<usize, Vec<String>> = BTreeMap::new();
    let mut without: BTreeMap<Side, Users> = BTreeMap::new();
    for at in context.tendons().filter(is_worked_on) {
        for end in at.ends() {
            let name = format!("end {} of {}", end.name, at.mark());
            match bay_behind(context, &ways, &at, &end) {
                Ok(Some(bay)) if reached[bay].is_some() => outcomes.pass(),
                Ok(Some(bay)) => cut_off.entry(bay).or_default().push(name),
                Ok(None) => {
                    let place = end.end.place.as_ref().map_or("", |place| place.key()).to_owned();
                    let (names, links) = without.entry((place, word(end.end.face))).or_default();
                    names.push(name);
                    links.push(end.route.field("place"));
                }
                Err(field) => outcomes.not_evaluated(field),
            }
        }
        for (index, deviator) in at.tendon.deviators.iter().enumerate() {
            let Some(place) = deviator.place.as_ref().map(|place| place.key()) else {
                outcomes.not_evaluated("deviator.place");
                continue;
            };
            let beside = match bays_beside(context, &ways, &at, place) {
                Ok(beside) => beside,
                Err(field) => {
                    outcomes.not_evaluated(field);
                    continue;
                }
            };
            let beside: Vec<usize> = beside.into_iter().flatten().collect();
            let name = format!("{} at {place}", at.mark());
            match beside.iter().find(|bay| reached[**bay].is_none()) {
                Some(bay) => cut_off.entry(*bay).or_default().push(name),
                None if beside.is_empty() => {
                    let (names, links) = without.entry((place.to_owned(), "")).or_default();
                    names.push(name);
                    links.push(at.route.field("deviators").item(index).field("place"));
                }
                None => outcomes.pass(),
            }
        }
    }
    for (bay, names) in cut_off {
        let finding = Finding::new(
            RULE.id,
            Kind::Missing,
            Route::to("bays", bay),
            "no opening leads from outside to bay {bay}, where people must work: {ends}",
        );
        let may_lead = may_lead_to(&ways, &reached, bay);
        outcomes.found(
            finding
                .rests_on(may_lead)
                .severity(severity)
                .help("List the openings on the way, one after another from outside; or the bay's own opening")
                .fact(Fact::text("bay", ways.call_bay(bay)))
                .fact(Fact::text("ends", named(&names))),
        );
    }
    for ((place, face), (names, links)) in without {
        let position = context.position("places", &place);
        let route =
            position.map_or_else(|| Route::root().field("bays"), |at| Route::to("places", at));
        let message = match face {
            "" => "no bay is listed on either side of {place}, where people must work: {ends}",
            _ => "no bay is listed at face {face} of {place}, where people must work: {ends}",
        };
        let finding = Finding::new(RULE.id, Kind::Missing, route, message);
        // The place may be misspelt where it is named, or where a bay names it.
        let may_be = bays_at_nothing(context, &ways, face);
        let finding = finding.rests_on(links).rests_on(may_be);
        outcomes.found(
            finding
                .severity(severity)
                .help("List the bay on which that face looks, with the places at its ends")
                .fact(Fact::text("place", place))
                .fact(Fact::text("face", face))
                .fact(Fact::text("ends", named(&names))),
        );
    }
}

/// Where openings name a bay that is not listed, and which may be this one.
fn may_lead_to(ways: &Ways<'_>, reached: &[Option<Reach>], bay: usize) -> Vec<Route> {
    let is_reached = |room: &Room| match room {
        Room::Outside => true,
        Room::Bay(other) => reached[*other].is_some(),
    };
    let doors = ways.doors_if(bay).into_iter().filter(|(door, _)| {
        // It leads there from a room that is reached, or from this one to what is not listed.
        door.rooms.iter().any(is_reached) || door.rooms == [Room::Bay(bay); 2]
    });
    doors.map(|(_, route)| route).collect()
}

/// Where bays name a place that is not listed, on the side on which a face looks.
fn bays_at_nothing(context: &Context<'_>, ways: &Ways<'_>, face: &str) -> Vec<Route> {
    let mut routes = Vec::new();
    for (index, bay) in ways.bays.iter().enumerate() {
        for (field, link) in [("from_place", &bay.from_place), ("to_place", &bay.to_place)] {
            let looks = match face {
                "up" => field == "from_place",
                "down" => field == "to_place",
                _ => true,
            };
            let dangles =
                link.as_ref().is_some_and(|link| context.position("places", link.key()).is_none());
            if looks && dangles {
                routes.push(Route::to("bays", index).field(field));
            }
        }
    }
    routes
}

const fn word(face: Option<FaceName>) -> &'static str {
    match face {
        Some(FaceName::Up) => "up",
        _ => "down",
    }
}

fn openings_to_nowhere(ways: &Ways<'_>, outcomes: &mut Outcomes) {
    for (opening, why) in &ways.no_doors {
        let (field, message) = match why {
            NoDoor::Nowhere => {
                ("to_bay", "opening {opening} leads nowhere: it names no bay on either side")
            }
            NoDoor::ToItself => ("to_bay", "opening {opening} leads from a bay to the same bay"),
            // Told as a reference that dangles.
            NoDoor::Dangling => continue,
        };
        let place = Route::to("openings", *opening).field(field);
        outcomes.found(
            Finding::new(RULE.id, Kind::Inconsistent, place.clone(), message)
                .rests_on([place])
                .help("Name the bays on both its sides; a side that is left out is outside")
                .fact(Fact::text("opening", ways.call(*opening))),
        );
    }
}

/// A bay that ends before it begins, or has no section.
fn bays_that_cannot_be(context: &Context<'_>, ways: &Ways<'_>, outcomes: &mut Outcomes) {
    for (index, bay) in ways.bays.iter().enumerate() {
        let route = Route::to("bays", index);
        let station = |link: &Option<Link<Place>>| {
            context.place(link.as_ref()).and_then(|place| place.record.station_m)
        };
        let stated = match extent_m(context, bay) {
            // Its own stations may be right where its places are exchanged.
            [Some(from_m), Some(to_m)] if to_m > from_m => {
                [station(&bay.from_place).or(Some(from_m)), station(&bay.to_place).or(Some(to_m))]
            }
            extent => extent,
        };
        if let [Some(from_m), Some(to_m)] = stated
            && to_m <= from_m
        {
            outcomes.found(
                Finding::new(
                    RULE.id,
                    Kind::Inconsistent,
                    route.field("to_m"),
                    "bay {bay} begins at station {from_m} and ends at {to_m}: its two faces do not look at each other",
                )
                .rests_on([route.field("to_m")])
                .help("The place at its lower station comes first; exchange them, or correct the stations")
                .fact(Fact::text("bay", ways.call_bay(index)))
                .fact(Fact::given("from_m", from_m, 3))
                .fact(Fact::given("to_m", to_m, 3)),
            );
            continue;
        }
        let has_section =
            (bay.width_mm.is_some() && bay.height_mm.is_some()) || bay.outline.len() > 2;
        match has_section {
            true => outcomes.pass(),
            false => outcomes.not_evaluated("bay.height_mm"),
        }
    }
}
