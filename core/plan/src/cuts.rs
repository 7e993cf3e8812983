//! Where the tendon is cut: stated cuts as they stand, or pieces of one length between forms.
//!
//! Nothing is cut inside a form, a diaphragm or an anchorage, nor nearer to one than the rulebook asks for.
//! What bounds the length of a piece is said.

use restrand_finding::Fact;
use restrand_mechanics::removal::pieces;
use restrand_model::route::Route;
use restrand_model::schedule::{CutPlace, EndName, OpeningPlane, Permanence};
use restrand_rules::works::{self, Along, Held};

use crate::plan::Line;
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

/// A cut where nobody may cut.
#[derive(Debug, Clone, PartialEq)]
pub struct Misplaced {
    /// The cut.
    pub cut: PlannedCut,
    /// The place to which it comes too near.
    pub place: String,
    /// How near to its face it lies, mm; negative inside.
    pub clear_mm: f64,
    /// How near it may lie, mm.
    pub least_mm: f64,
    /// The nearest station at which it may be, m.
    pub instead_m: f64,
    /// The same from end a along the tendon, m.
    pub instead_along_m: f64,
}

/// The length that a piece may have, and what makes it so.
#[derive(Debug, Clone, PartialEq)]
pub struct Bound {
    /// The length, m.
    pub longest_m: f64,
    /// What bounds it.
    pub why: Line,
    /// Whether it is an opening on the way out.
    pub is_way: bool,
    /// The share of a hoist's capacity that is used, where a hoist bounds it.
    pub hoist_share: Option<f64>,
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

/// The least of the lengths that a piece of a free length may have, and what makes it so: what is stated, what people
/// carry, what the openings on the way out let through, and what hangs from a hoist above one of them.
fn bound(known: &Known<'_, '_>, along: &Along, free_m: [f64; 2]) -> Option<Bound> {
    let mut bounds: Vec<Bound> = Vec::new();
    let replacement = known.replacement();
    if let Some(length_mm) = replacement.and_then(|replacement| replacement.piece_length_mm) {
        let why = Line::from("the schedule states pieces of {piece_length_m}").with(Fact::given(
            "piece_length_m",
            length_mm / 1000.0,
            2,
        ));
        bounds.push(Bound { longest_m: length_mm / 1000.0, why, is_way: false, hoist_share: None });
    }
    let bay = known.bay_at(along.station_m(f64::midpoint(free_m[0], free_m[1])));
    // A cut may leave what is widest in this length on any piece of it.
    let widest = known.widest(free_m).ok();
    let way = bay
        .zip(widest.as_ref())
        .and_then(|(bay, widest)| known.rods(widest.diameter_mm).to(&known.ways, bay));
    if let Ok(mass) = &known.mass {
        let per_m = mass.total_kg_per_m;
        let by_mass = |most_kg: f64, why: Line| Bound {
            longest_m: most_kg / per_m,
            why: why.with(Fact::computed("mass_kg_per_m", per_m, 2)),
            is_way: false,
            hoist_share: None,
        };
        if let Some(most_kg) = replacement.and_then(|replacement| replacement.piece_mass_limit_kg) {
            let why = Line::from("a piece may weigh {piece_most_kg}, at {mass_kg_per_m}");
            bounds.push(by_mass(most_kg, why.with(Fact::given("piece_most_kg", most_kg, 0))));
        } else if bounds.is_empty()
            && let Some(most_kg) = known.project().and_then(|project| project.hand_carry_kg)
        {
            let why = Line::from("two people carry {hand_carry_kg}, at {mass_kg_per_m}");
            bounds.push(by_mass(most_kg, why.with(Fact::given("hand_carry_kg", most_kg, 0))));
        }
        let share = known.context.limit(works::HOIST_SHARE).value;
        for opening in way.iter().flat_map(|way| &way.openings) {
            let record = &known.ways.openings[*opening];
            let hoisted = matches!(record.plane, Some(OpeningPlane::Floor | OpeningPlane::Roof));
            if let Some(most_kg) = record.hoist_limit_kg.filter(|_| hoisted) {
                let why = Line::from(
                    "through {opening} {hoist_limit_kg} may be hoisted, {hoist_share} of it used, at {mass_kg_per_m}",
                )
                .with(Fact::text("opening", known.ways.call(*opening)))
                .with(Fact::given("hoist_limit_kg", most_kg, 0))
                .with(Fact::computed("hoist_share", share, 2));
                bounds.push(Bound { hoist_share: Some(share), ..by_mass(most_kg * share, why) });
            }
        }
    }
    if let Some(way) = way.filter(|way| way.longest_mm > 0.0) {
        let across_mm = widest.map_or(0.0, |widest| widest.diameter_mm);
        let why = Line::from("the way out takes {longest_m} where it is {across_mm} across, and opening {opening} binds")
            .with(Fact::computed("longest_m", way.longest_mm / 1000.0, 3))
            .with(Fact::computed("across_mm", across_mm, 1))
            .with(Fact::text("opening", known.ways.call(way.binds)));
        bounds.push(Bound {
            longest_m: way.longest_mm / 1000.0,
            why,
            is_way: true,
            hoist_share: None,
        });
    }
    bounds.into_iter().min_by(|one, other| one.longest_m.total_cmp(&other.longest_m))
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

/// Cuts from the midpoint outward: the release, then pieces of one length between what is held.
fn planned(
    along: &Along,
    free: &[[f64; 2]],
    bounds: &[Option<Bound>],
    bonded_at_m: &[f64],
    [clear_m, window_m]: [f64; 2],
) -> Result<Vec<PlannedCut>, &'static str> {
    let releases_m = releases(along, free, bonded_at_m, (window_m - clear_m).max(0.0))?;
    let mut at: Vec<(f64, CutPlace)> = Vec::new();
    for ([from_m, to_m], bound) in free.iter().copied().zip(bounds) {
        let mut parts = vec![from_m, to_m];
        parts.extend(releases_m.iter().filter(|at_m| **at_m > from_m && **at_m < to_m));
        parts.sort_by(f64::total_cmp);
        for pair in parts.windows(2) {
            let length_m = pair[1] - pair[0];
            let count = match bound {
                Some(Bound { longest_m, .. }) => {
                    pieces(length_m, *longest_m).map_err(|_| "replacement.piece_length_mm")?.count
                }
                None => 1,
            };
            let each_m = length_m / f64::from(count);
            at.extend(
                (1..count).map(|index| (pair[0] + each_m * f64::from(index), CutPlace::Piece)),
            );
        }
        at.push((from_m, CutPlace::Stub));
        at.push((to_m, CutPlace::Stub));
    }
    let is_release =
        |along_m: f64| releases_m.iter().any(|at_m| (along_m - at_m).abs() <= ONE_CUT_M);
    at.retain(|(along_m, _)| !is_release(*along_m));
    let first_m = releases_m[0];
    at.sort_by(|(one, _), (other, _)| (one - first_m).abs().total_cmp(&(other - first_m).abs()));
    // Nothing is cut as a piece before every length has been released.
    let released = releases_m.iter().map(|along_m| (*along_m, CutPlace::Release));
    Ok(released
        .chain(at)
        .map(|(along_m, purpose)| PlannedCut {
            station_m: along.station_m(along_m),
            along_m,
            purpose,
            stated: None,
        })
        .collect())
}

/// Where each bonded length is released, m along the tendon: nearest to its middle with room for window and clamps,
/// the one nearest to the tendon's middle first.
fn releases(
    along: &Along,
    free: &[[f64; 2]],
    bonded_at_m: &[f64],
    aside_m: f64,
) -> Result<Vec<f64>, &'static str> {
    let mut borders = vec![0.0];
    borders.extend(bonded_at_m);
    borders.push(along.length_m());
    let mut releases_m = Vec::new();
    for bonded in borders.windows(2) {
        let middle_m = f64::midpoint(bonded[0], bonded[1]);
        let within = free
            .iter()
            .map(|[from_m, to_m]| [from_m.max(bonded[0]), to_m.min(bonded[1])])
            .filter(|[from_m, to_m]| to_m > from_m);
        // Window and clamps need more room than a saw; in a short length the release is made in its middle.
        let windows = within.map(|[from_m, to_m]| {
            let aside_m = aside_m.min((to_m - from_m) / 2.0);
            middle_m.clamp(from_m + aside_m, to_m - aside_m)
        });
        // A bonded length without a free one has none: that stands against the plan.
        releases_m.extend(
            windows
                .min_by(|one, other| (one - middle_m).abs().total_cmp(&(other - middle_m).abs())),
        );
    }
    let middle_m = along.length_m() / 2.0;
    releases_m.sort_by(|one, other| (one - middle_m).abs().total_cmp(&(other - middle_m).abs()));
    match releases_m.is_empty() {
        true => Err("tendon.deviators"),
        false => Ok(releases_m),
    }
}

/// A cut that comes too near to what is held, once for each.
fn too_near<'c>(
    along: &'c Along,
    cut: &'c PlannedCut,
    held: &'c [Held],
    clear_m: f64,
) -> impl Iterator<Item = Misplaced> + use<'c> {
    held.iter().filter_map(move |held| {
        let clear = clear_of(cut, held);
        if clear >= clear_m - ONE_CUT_M {
            return None;
        }
        let [from_m, to_m] = held.along_m;
        // At an end only the span side is open to a saw.
        let is_down = match held.is_end {
            true => !is_at_a(held),
            false => cut.along_m - from_m < to_m - cut.along_m,
        };
        let instead = if is_down { from_m - clear_m } else { to_m + clear_m };
        Some(Misplaced {
            cut: cut.clone(),
            place: held.place.clone(),
            clear_mm: clear * 1000.0,
            least_mm: clear_m * 1000.0,
            instead_m: along.station_m(instead),
            instead_along_m: instead,
        })
    })
}

/// How far a cut lies from the nearer face of what is held, m; negative inside.
fn clear_of(cut: &PlannedCut, held: &Held) -> f64 {
    (held.along_m[0] - cut.along_m).max(cut.along_m - held.along_m[1])
}

/// A release without room for window and clamps: the nearest place in a free length that has it.
fn release_without_room(
    along: &Along,
    cut: &PlannedCut,
    held: &[Held],
    free_m: &[[f64; 2]],
    [clear_m, aside_m]: [f64; 2],
) -> Option<Misplaced> {
    let open = free_m.iter().map(|[from_m, to_m]| {
        // In a short length the release is made in its middle.
        let aside_m = aside_m.min((to_m - from_m) / 2.0);
        cut.along_m.clamp(from_m + aside_m, to_m - aside_m)
    });
    let instead = open
        .min_by(|one, other| (one - cut.along_m).abs().total_cmp(&(other - cut.along_m).abs()))?;
    if (instead - cut.along_m).abs() < ONE_CUT_M {
        return None;
    }
    let nearest =
        held.iter().min_by(|one, other| clear_of(cut, one).total_cmp(&clear_of(cut, other)))?;
    Some(Misplaced {
        cut: cut.clone(),
        place: nearest.place.clone(),
        clear_mm: clear_of(cut, nearest) * 1000.0,
        least_mm: (clear_m + aside_m) * 1000.0,
        instead_m: along.station_m(instead),
        instead_along_m: instead,
    })
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
