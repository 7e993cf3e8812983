//! The pieces that stated cuts leave of the free lengths.

use super::along::Along;
use super::stub_cut_mm;
use crate::context::{Context, TendonAt};
use restrand_model::schedule::EndName;

/// Two cuts are one where a saw could not tell them, m.
const ONE_CUT_M: f64 = 0.01;

/// A piece between two neighbouring cuts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CutPiece {
    /// The cuts at its ends, by their positions in the schedule; nothing for that of an anchorage's stub, which no list
    /// states.
    pub cuts: [Option<usize>; 2],
    /// Their stations, m.
    pub stations_m: [f64; 2],
    /// Their lengths from end a along the tendon, m.
    pub along_m: [f64; 2],
}

impl CutPiece {
    /// Its length, m.
    #[must_use]
    pub fn length_m(&self) -> f64 {
        self.along_m[1] - self.along_m[0]
    }
}

/// The pieces of the free lengths between the cuts that are stated, and those of the stubs; what holds a form or a
/// diaphragm is none.
///
/// # Errors
/// The field without which they are not known.
pub fn cut_pieces(context: &Context<'_>, at: &TendonAt<'_>) -> Result<Vec<CutPiece>, &'static str> {
    let along = Along::of(context, at)?;
    let held = context.held(at)?;
    let mut cuts: Vec<(f64, f64, Option<usize>)> = at
        .tendon
        .cuts
        .iter()
        .enumerate()
        .map(|(index, cut)| {
            let station_m = cut.station_m.ok_or("cut.station_m")?;
            Ok((station_m, along.at_m(station_m), Some(index)))
        })
        .collect::<Result<_, &'static str>>()?;
    for end in at.ends() {
        let Ok(cut_mm) = stub_cut_mm(context, &end) else { continue };
        let along_m = match end.name {
            EndName::A => -cut_mm / 1000.0,
            EndName::B => along.length_m() + cut_mm / 1000.0,
        };
        if !cuts.iter().any(|(_, cut_m, _)| (cut_m - along_m).abs() < ONE_CUT_M) {
            cuts.push((along.station_m(along_m), along_m, None));
        }
    }
    cuts.sort_by(|one, other| one.1.total_cmp(&other.1));
    let pieces = cuts.windows(2).filter_map(|pair| {
        let [(from, from_m, one), (to, to_m, other)] = [pair[0], pair[1]];
        let holds = held.iter().any(|held| {
            let middle_m = f64::midpoint(held.along_m[0], held.along_m[1]);
            (from_m..=to_m).contains(&middle_m)
        });
        let piece =
            CutPiece { cuts: [one, other], stations_m: [from, to], along_m: [from_m, to_m] };
        (!holds && to_m - from_m > ONE_CUT_M).then_some(piece)
    });
    Ok(pieces.collect())
}
