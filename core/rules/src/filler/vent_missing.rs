//! There is no vent where air gathers, or no drain where water does.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_mechanics::filling::{
    Extreme, FittingKind, ProfilePoint, extremes, fittings, inlet_extreme,
};
use restrand_model::quantity::System;
use restrand_model::schedule::{Filler, Status, Tendon, Vent, VentKind};

use crate::context::{Context, TendonAt};
use crate::rule::{Check, Corrects, LimitKey, Rule};

const DISTANCE: LimitKey = LimitKey {
    name: "crest_distance_m",
    meaning: "distance from a crest, a low or an end within which its vent or drain counts",
};
const RISE: LimitKey = LimitKey {
    name: "crest_rise_mm",
    meaning: "rise to a crest from which on the vent must lie behind it, as the filler goes",
};
const LEVEL: LimitKey =
    LimitKey { name: "crest_level_mm", meaning: "difference of elevation that counts as level" };

pub(crate) const RULE: Rule = Rule {
    id: "filler/vent-missing",
    summary: "vents at crests and ends, drains at lows, an inlet",
    kinds: &[Kind::Margin],
    limits: &[DISTANCE, RISE, LEVEL],
    sources: &[
        Citation::new(
            "FP-96 (US Federal Lands Highway), section 553: vents at high points",
            Evidence::Read,
        ),
        Citation::new(
            "FHWA post-tensioning manual, PTI M55.1: a vent within 3 ft behind a crest that rises over 20 in",
            Evidence::Memory,
        ),
    ],
    correction: Corrects::Nothing,
    implied_by: &["path/points-impossible"],
    page: include_str!("vent_missing.md"),
    check: Check::Tendons(check),
};

fn check(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    let tendon = at.tendon;
    if matches!(tendon.status, Some(Status::Removed | Status::Reserved)) {
        return outcomes.not_applicable("there is no tendon to fill");
    }
    match tendon.filler {
        None => return outcomes.not_evaluated("tendon.filler"),
        Some(Filler::None) => return outcomes.not_applicable("the tendon has no filler"),
        Some(_) => {}
    }
    if tendon.vents.is_empty() {
        return outcomes.not_evaluated("tendon.vents");
    }
    let lacking = match lacking_of_placed(context, tendon) {
        Ok(lacking) => lacking,
        Err(field) => return outcomes.not_evaluated(field),
    };
    if lacking.is_empty() {
        return outcomes.pass();
    }
    // Tubes without a station may stand where one lacks, but no tube at two of them.
    let unplaced = |kinds: &[VentKind]| {
        let tubes = tendon.vents.iter().filter(|vent| vent.station_m.is_none());
        tubes.filter(|vent| vent.kind.is_some_and(|kind| kinds.contains(&kind))).count()
    };
    let of = |tubes: &[Tube]| lacking.iter().filter(|one| tubes.contains(&one.what)).count();
    let enough = of(&[Tube::CrestVent, Tube::EndVent]) <= unplaced(&[VentKind::Vent])
        && of(&[Tube::Drain]) <= unplaced(&[VentKind::Drain, VentKind::Inlet])
        && of(&[Tube::Inlet]) <= unplaced(&[VentKind::Inlet]);
    if enough {
        return outcomes.not_evaluated("vent.station_m");
    }
    let lacking: Vec<String> = lacking.iter().map(Lacking::words).collect();
    let finding = Finding::new(
        RULE.id,
        Kind::Margin,
        at.route.field("vents"),
        "tendon {tendon} lacks: {lacking}",
    )
    .related(at.route.field("points"), "its profile")
    .help(
        "Air stays at crests and ends that have no vent, and water at lows that have no drain: add them, or correct \
         the stations of those that are there. One counts within {crest_distance_m}; at a crest to which the filler \
         rises more than {crest_rise_mm} only on it or behind it, as the filler goes",
    )
    .fact(Fact::text("tendon", at.mark()))
    .fact(Fact::text("lacking", lacking.join(", ")))
    .fact(Fact::given("vents", count(&tendon.vents), 0))
    .fact(context.limit(DISTANCE).fact(DISTANCE, 2))
    .fact(context.limit(RISE).fact(RISE, 0))
    .fact(context.limit(LEVEL).fact(LEVEL, 0));
    outcomes.found(finding);
}

/// A tube that a tendon has need of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Tube {
    /// Where the filler comes in.
    Inlet,
    /// At a crest.
    CrestVent,
    /// At a low.
    Drain,
    /// At an end.
    EndVent,
}

/// A tube that is not there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Lacking {
    /// What it would be for.
    pub(crate) what: Tube,
    /// Its station, m, where one follows.
    pub(crate) at_m: Option<f64>,
}

impl Lacking {
    /// What it is, in words.
    pub(crate) const fn call(&self) -> &'static str {
        match self.what {
            Tube::Inlet if self.at_m.is_some() => "an inlet, at the low",
            Tube::Inlet => "an inlet",
            Tube::CrestVent => "a vent at the crest",
            Tube::Drain => "a drain at the low",
            Tube::EndVent => "a vent at the end",
        }
    }

    /// It in words, with its station.
    fn words(&self) -> String {
        let words = self.call();
        // In a list every number stands in both systems of units.
        let at = self.at_m.map(|at_m| Fact::computed("at_m", at_m, 2).shown(System::Si));
        format!("{words}{}", at.map(|at| format!(" at station {at}")).unwrap_or_default())
    }
}

/// The profile of a tendon by its points.
pub(crate) fn profile(tendon: &Tendon) -> Result<Vec<ProfilePoint>, &'static str> {
    let points = tendon.points.iter().map(|point| {
        Ok(ProfilePoint {
            station_m: point.station_m.ok_or("tendon_point.station_m")?,
            elevation_m: point.elevation_m.ok_or("tendon_point.elevation_m")?,
        })
    });
    points.collect()
}

/// Crests and lows of a tendon.
pub(crate) fn turns(
    context: &Context<'_>,
    profile: &[ProfilePoint],
) -> Result<Vec<Extreme>, &'static str> {
    // Points that are no profile are told by path/points-impossible.
    extremes(profile, context.limit(LEVEL).value / 1000.0).map_err(|_| "tendon.points")
}

/// The inlet, vents and drains that a tendon has need of and does not state.
pub(crate) fn lacking(
    context: &Context<'_>,
    tendon: &Tendon,
) -> Result<Vec<Lacking>, &'static str> {
    if tendon.vents.iter().any(|vent| vent.station_m.is_none()) {
        return Err("vent.station_m");
    }
    lacking_of_placed(context, tendon)
}

/// The same by the tubes whose stations are stated alone.
fn lacking_of_placed(context: &Context<'_>, tendon: &Tendon) -> Result<Vec<Lacking>, &'static str> {
    let profile = profile(tendon)?;
    let level_m = context.limit(LEVEL).value / 1000.0;
    let extremes = turns(context, &profile)?;
    let stated = |kind: VentKind| tendon.vents.iter().filter(move |vent| vent.kind == Some(kind));
    if tendon.vents.iter().any(|vent| vent.kind.is_none()) {
        return Err("vent.kind");
    }
    let mut lacking = Vec::new();
    let inlet_m = stated(VentKind::Inlet).find_map(|vent| vent.station_m);
    if inlet_m.is_none() {
        let low = inlet_extreme(&profile, level_m).ok().flatten();
        lacking.push(Lacking { what: Tube::Inlet, at_m: low.map(|low| low.at_m) });
    }
    let (first, last) = (profile[0].station_m, profile[profile.len() - 1].station_m);
    // An inlet on a cap stands outside the profile by the cap's length.
    let from = inlet_m.unwrap_or(first).clamp(first, last);
    let Ok(wanted) = fittings(&profile, from, level_m) else {
        return Err("tendon.points");
    };
    let reach = Reach {
        distance_m: context.limit(DISTANCE).value,
        rise_m: context.limit(RISE).value / 1000.0,
    };
    for (goes_up, fitting) in
        wanted.down.iter().map(|one| (false, one)).chain(wanted.up.iter().map(|one| (true, one)))
    {
        let extreme =
            extremes.iter().find(|one| one.from_m <= fitting.at_m && fitting.at_m <= one.to_m);
        let (from_m, to_m) =
            extreme.map_or((fitting.at_m, fitting.at_m), |one| (one.from_m, one.to_m));
        let has = |vent: &Vent| {
            vent.station_m.is_some_and(|station_m| match fitting.kind {
                FittingKind::EndVent => {
                    // Caps stand behind the bearing plate, and count wherever they end.
                    let beyond =
                        if goes_up { station_m >= fitting.at_m } else { station_m <= fitting.at_m };
                    beyond || (station_m - fitting.at_m).abs() <= reach.distance_m
                }
                FittingKind::Drain => {
                    station_m >= from_m - reach.distance_m && station_m <= to_m + reach.distance_m
                }
                FittingKind::Vent => {
                    let rise_m = fitting.elevation_m - wanted.inlet_elevation_m;
                    reach.takes(station_m, (from_m, to_m), goes_up, rise_m)
                }
            })
        };
        let found = match fitting.kind {
            FittingKind::Vent | FittingKind::EndVent => stated(VentKind::Vent).any(has),
            FittingKind::Drain => {
                stated(VentKind::Drain).any(has) || stated(VentKind::Inlet).any(has)
            }
        };
        if !found {
            lacking.push(Lacking {
                what: match fitting.kind {
                    FittingKind::Vent => Tube::CrestVent,
                    FittingKind::Drain => Tube::Drain,
                    FittingKind::EndVent => Tube::EndVent,
                },
                at_m: Some(fitting.at_m),
            });
        }
    }
    Ok(lacking)
}

/// How near a vent must be to its crest.
struct Reach {
    distance_m: f64,
    rise_m: f64,
}

impl Reach {
    /// Whether a vent serves the crest from `from_m` to `to_m`, to which the filler rises by `rise_m`.
    ///
    /// Behind a high crest filler runs ahead on the falling side and leaves air there: the vent must be on that side.
    fn takes(
        &self,
        station_m: f64,
        (from_m, to_m): (f64, f64),
        goes_up: bool,
        rise_m: f64,
    ) -> bool {
        let (before, behind) = if goes_up {
            (from_m - station_m, station_m - to_m)
        } else {
            (station_m - to_m, from_m - station_m)
        };
        let most_before = if rise_m > self.rise_m { 0.0 } else { self.distance_m };
        before <= most_before + 1e-9 && behind <= self.distance_m + 1e-9
    }
}

#[expect(clippy::cast_precision_loss, reason = "a count of vents")]
fn count(vents: &[Vent]) -> f64 {
    vents.len() as f64
}
