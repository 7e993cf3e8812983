//! Where the tendon is cut: stated cuts as they stand, or pieces of one length between forms.
//!
//! Nothing is cut inside a form, a diaphragm or an anchorage, nor nearer to one than the rulebook asks for.
//! What bounds the length of a piece is said.

mod bound;
mod misplaced;
mod planned;

use restrand_model::route::Route;
use restrand_model::schedule::{CutPlace, EndName, Permanence};
use restrand_rules::works::{self, Along, Held};

pub use self::bound::Bound;
use self::bound::bound;
pub use self::misplaced::Misplaced;
use self::misplaced::{release_without_room, too_near};
use self::planned::planned;
use crate::tendon::Known;

/// Two cuts are one where a saw could not tell them, m.
const ONE_CUT_M: f64 = 0.005;

/// One cut.
#[derive(Debug, Clone, PartialEq)]
pub struct PlannedCut {
    /// Station, m.
    pub station_m: f64,
    /// From end a along the tendon, m.
    pub along_m: f64,
    /// What it is for.
    pub purpose: CutPlace,
    /// The cut in the schedule, where it states it.
    pub stated: Option<Route>,
}

/// What a stretch between two cuts is.
#[derive(Debug, Clone, PartialEq)]
pub enum Between {
    /// A piece of the free length.
    Piece,
    /// What lies in a deviator or diaphragm.
    Stub(Held),
}

/// What leaves between two cuts.
#[derive(Debug, Clone, PartialEq)]
pub struct Out {
    /// From end a along the tendon, m.
    pub along_m: [f64; 2],
    /// What it is.
    pub between: Between,
}

impl Out {
    /// Its length, m.
    #[must_use]
    pub fn length_m(&self) -> f64 {
        self.along_m[1] - self.along_m[0]
    }
}

/// All cuts of a tendon and what leaves between them.
#[derive(Debug, Clone, PartialEq)]
pub struct CutPlan {
    /// In the order in which they are made, every release first, whatever order is stated.
    pub cuts: Vec<PlannedCut>,
    /// In the order along the tendon.
    pub outs: Vec<Out>,
    /// What bounds the length of a piece in each free length, in their order; nothing where the schedule says nothing
    /// of it.
    pub bounds: Vec<Option<Bound>>,
    /// The free lengths between what is held and the stubs, m along the tendon.
    pub free_m: Vec<[f64; 2]>,
    /// Cuts that come too near to what is held.
    pub misplaced: Vec<Misplaced>,
    /// Releases that the schedule orders after another cut, each with the first such cut.
    pub late: Vec<[PlannedCut; 2]>,
    /// Whether the schedule states the cuts.
    pub is_stated: bool,
    /// Where the tendon is cut at its stubs, m along it.
    pub stubs_along_m: Result<[f64; 2], &'static str>,
}

impl CutPlan {
    /// The cut that releases.
    #[must_use]
    pub fn release(&self) -> Option<&PlannedCut> {
        self.cuts.iter().find(|cut| cut.purpose == CutPlace::Release)
    }

    /// The longest piece, m.
    #[must_use]
    pub fn longest_m(&self) -> f64 {
        let pieces = self.outs.iter().filter(|out| out.between == Between::Piece);
        pieces.map(Out::length_m).fold(0.0, f64::max)
    }
}

/// The cuts of a tendon.
pub(crate) fn of(known: &Known<'_, '_>) -> Result<CutPlan, &'static str> {
    let along = known.along.as_ref().map_err(|field| *field)?;
    let clear_m = known.context.limit(works::CUT_CLEAR).value / 1000.0;
    let window_m = known.context.limit(works::RELEASE_CLEAR).value / 1000.0;
    let mut held = known.context.held(known.at)?.to_vec();
    reach_of_ends(known, along, &mut held);
    let stubs_along_m = stubs(known, along);
    let mut cuts = stated(known, along)?;
    let late = releases_first(&mut cuts, is_released_in_free_length(known));
    let is_stated = !cuts.is_empty();
    if is_stated {
        // Cuts that are stated are shown, whatever is known of the anchorages.
        for along_m in stubs_along_m.into_iter().flatten() {
            if !cuts.iter().any(|cut| (cut.along_m - along_m).abs() < ONE_CUT_M * 2.0) {
                let station_m = along.station_m(along_m);
                cuts.push(PlannedCut { station_m, along_m, purpose: CutPlace::Stub, stated: None });
            }
        }
    } else {
        stubs_along_m?;
    }
    let free_m = free(&held, stubs_along_m.unwrap_or([0.0, along.length_m()]), clear_m);
    let bounds: Vec<Option<Bound>> = free_m.iter().map(|free| bound(known, along, *free)).collect();
    if !is_stated {
        cuts = planned(along, &free_m, &bounds, &known.bonded_at_m().0, [clear_m, window_m])?;
    }
    let are_releases = is_released_in_free_length(known);
    let aside_m = (window_m - clear_m).max(0.0);
    let mut misplaced: Vec<Misplaced> = Vec::new();
    for cut in &cuts {
        match are_releases && cut.purpose == CutPlace::Release {
            true => misplaced.extend(release_without_room(
                along,
                cut,
                &held,
                &free_m,
                [clear_m, aside_m],
            )),
            false => misplaced.extend(too_near(along, cut, &held, clear_m)),
        }
    }
    let outs = outs(&cuts, &held);
    Ok(CutPlan { cuts, outs, bounds, free_m, misplaced, late, is_stated, stubs_along_m })
}

/// What stays in an anchorage reaches beyond the concrete, as a guide pipe does: nobody cuts in it either.
fn reach_of_ends(known: &Known<'_, '_>, along: &Along, held: &mut [Held]) {
    for end in &known.ends {
        let parts = known.context.end_parts(end);
        let stay = parts
            .iter()
            .map(|part| part.part.as_ref())
            .filter(|part| part.permanence == Some(Permanence::Permanent));
        let reach_mm = stay.flat_map(|part| [part.from_mm, part.to_mm]).flatten().reduce(f64::min);
        let Some(reach_m) = reach_mm.map(|reach_mm| -reach_mm / 1000.0) else { continue };
        let length_m = along.length_m();
        for held in held.iter_mut().filter(|held| held.is_end) {
            match end.name {
                EndName::A if is_at_a(held) => held.along_m[1] = held.along_m[1].max(reach_m),
                EndName::B if !is_at_a(held) => {
                    held.along_m[0] = held.along_m[0].min(length_m - reach_m);
                }
                _ => {}
            }
        }
    }
}

/// Whether a stretch in which the tendon is anchored is that of end a.
fn is_at_a(held: &Held) -> bool {
    held.along_m[0] < ONE_CUT_M
}

/// Where the stubs at both ends are cut, m along the tendon.
fn stubs(known: &Known<'_, '_>, along: &Along) -> Result<[f64; 2], &'static str> {
    let cut_m = |name: EndName| {
        let position = known.ends.iter().position(|end| end.name == name).ok_or("tendon.ends")?;
        match &known.stubs[position] {
            Ok(stub) => Ok(-stub.cut_mm / 1000.0),
            // A stub whose room is not known is cut where it is said to be all the same.
            Err(field) => known.ends[position].end.stub_cut_mm.map(|mm| -mm / 1000.0).ok_or(*field),
        }
    };
    Ok([cut_m(EndName::A)?, along.length_m() - cut_m(EndName::B)?])
}

/// The free lengths between what is held and the stubs.
fn free(held: &[Held], stubs_along_m: [f64; 2], clear_m: f64) -> Vec<[f64; 2]> {
    let mut free: Vec<[f64; 2]> = Vec::new();
    let mut from_m = stubs_along_m[0];
    for held in held.iter().filter(|held| !held.is_end) {
        free.push([from_m, held.along_m[0] - clear_m]);
        from_m = held.along_m[1] + clear_m;
    }
    free.push([from_m, stubs_along_m[1]]);
    free.retain(|[from_m, to_m]| to_m - from_m > ONE_CUT_M);
    free
}

/// The cuts that the schedule states, in their order.
fn stated(known: &Known<'_, '_>, along: &Along) -> Result<Vec<PlannedCut>, &'static str> {
    let list = known.at.route.field("cuts");
    let mut cuts: Vec<(u32, PlannedCut)> = Vec::new();
    for (index, cut) in known.tendon.cuts.iter().enumerate() {
        let station_m = cut.station_m.ok_or("cut.station_m")?;
        let order = cut.order.unwrap_or(u32::MAX);
        let planned = PlannedCut {
            station_m,
            along_m: along.at_m(station_m),
            purpose: cut.purpose.unwrap_or(CutPlace::Piece),
            stated: Some(list.item(index)),
        };
        cuts.push((order, planned));
    }
    cuts.sort_by_key(|(order, _)| *order);
    Ok(cuts.into_iter().map(|(_, cut)| cut).collect())
}

/// Whether the cuts called releases take the force out: at an anchorage it is out before anything is cut.
fn is_released_in_free_length(known: &Known<'_, '_>) -> bool {
    !crate::steps::release::is_at_anchorage(known)
}

/// Puts every release before all other cuts; those that were not there, each with the first cut before it.
fn releases_first(cuts: &mut [PlannedCut], are_releases: bool) -> Vec<[PlannedCut; 2]> {
    if !are_releases {
        return Vec::new();
    }
    let is_release = |cut: &PlannedCut| cut.purpose == CutPlace::Release;
    let first = cuts.iter().position(|cut| !is_release(cut));
    let late = first.map_or_else(Vec::new, |first| {
        let after = cuts[first..].iter().filter(|cut| is_release(cut));
        after.map(|release| [release.clone(), cuts[first].clone()]).collect()
    });
    cuts.sort_by_key(|cut| !is_release(cut));
    late
}

/// What leaves between neighbouring cuts.
fn outs(cuts: &[PlannedCut], held: &[Held]) -> Vec<Out> {
    let mut at: Vec<f64> = cuts.iter().map(|cut| cut.along_m).collect();
    at.sort_by(f64::total_cmp);
    at.dedup_by(|one, other| (*one - *other).abs() < ONE_CUT_M);
    at.windows(2)
        .map(|pair| {
            let inside = held.iter().filter(|held| !held.is_end).find(|held| {
                let middle_m = f64::midpoint(held.along_m[0], held.along_m[1]);
                (pair[0]..=pair[1]).contains(&middle_m)
            });
            Out {
                along_m: [pair[0], pair[1]],
                between: inside.map_or(Between::Piece, |held| Between::Stub(held.clone())),
            }
        })
        .collect()
}
