//! The profile of a tendon as its filler sees it: crests, lows, and the tubes that are not there.

use restrand_mechanics::filling::ExtremeKind;

use crate::context::{Context, TendonAt};
use crate::filler::vent_missing::{lacking, profile, turns};

/// A crest or a low of a profile.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Turn {
    /// Whether it is a crest.
    pub is_crest: bool,
    /// Station of its first highest or lowest point, m.
    pub station_m: f64,
    /// Elevation there, m.
    pub elevation_m: f64,
    /// From where to where it counts as level, m.
    pub level_m: [f64; 2],
}

/// The profile of a tendon as its filler sees it.
#[derive(Debug, Clone, PartialEq)]
pub struct FillLine {
    /// Station and elevation of its points, m.
    pub points_m: Vec<[f64; 2]>,
    /// Its crests and lows, in the order of the stations.
    pub turns: Vec<Turn>,
    /// What is lacking, in words, with its station, m, where one follows; or the field without which that is not known.
    pub lacking: Result<Vec<(&'static str, Option<f64>)>, &'static str>,
}

/// The profile of a tendon as its filler sees it.
///
/// # Errors
/// The field without which it is not known.
pub fn fill_line(context: &Context<'_>, at: &TendonAt<'_>) -> Result<FillLine, &'static str> {
    let points = profile(at.tendon)?;
    let turns = turns(context, &points)?;
    let lacking = match at.tendon.vents.is_empty() {
        true => Err("tendon.vents"),
        false => lacking(context, at.tendon),
    };
    Ok(FillLine {
        points_m: points.iter().map(|point| [point.station_m, point.elevation_m]).collect(),
        turns: turns
            .iter()
            .map(|turn| Turn {
                is_crest: turn.kind == ExtremeKind::Crest,
                station_m: turn.at_m,
                elevation_m: turn.elevation_m,
                level_m: [turn.from_m, turn.to_m],
            })
            .collect(),
        lacking: lacking.map(|all| all.iter().map(|one| (one.call(), one.at_m)).collect()),
    })
}
