//! What the rules and the replacement plan both need to know of the work on a tendon.
//!
//! It says what follows from the schedule and the rulebook, or the field without which it does not; what is
//! to be made of it is for rules and plans to say.

mod across;
mod along;
mod bar;
mod beside;
mod capacity;
mod deviated;
mod fill_line;
mod force_line;
mod held;
mod lacking;
mod pieces;
mod tendon_out;
mod widest;

pub(crate) use across::Across;
pub use along::Along;
pub use bar::bar_mass_kg;
pub use beside::{Beside, beside};
pub use capacity::{Capacity, capacity};
pub(crate) use capacity::{listed_over_holes, most_strands};
pub use deviated::{Deviated, deviated};
pub use fill_line::{FillLine, Turn, fill_line};
pub use force_line::{ForceAt, ForceLimit, ForceLine, Limits, force_limits, force_line};
pub(crate) use held::find_held;
pub use held::{Free, Held, lateral_at_m, nearest_free};
pub use lacking::lacking_for_stressing;
pub use pieces::{CutPiece, cut_pieces};
pub(crate) use tendon_out::evaluate as bridge_out;
pub use tendon_out::{
    BridgeOut, NotKnown, Over, StressOut, over, section_call, share_over, stresses,
};
pub use widest::{Widest, Widths, bar_diameter_mm, worst_duct_mm};

use restrand_mechanics::SMALLEST;
use restrand_mechanics::elongation::{Bar, bar_stretch_mm};
use restrand_mechanics::filling::{Grout, GroutMix, grout_by_densities};
use restrand_mechanics::removal::{
    ForceRun, LinearMass, StubPlan, StubVerdict, TendonSection, mass_per_m, stub_plan,
};
use restrand_model::schedule::{Duct, DuctMaterial, EndName, Filler, Permanence, Role, Tendon};

use crate::assembly::{Axis, call};
use crate::context::{Context, EndAt, TendonAt};
use crate::ends::Clear;
use crate::filler::inside;
use crate::rule::LimitKey;
use crate::space::stub;
use crate::stressing::{jacked, recomputed::Reading, recomputed::Recomputed, steel::Steel};

pub(crate) const GROUT: LimitKey =
    LimitKey { name: "grout_density_kg_per_m3", meaning: "density of cement grout in a tendon" };
pub(crate) const WAX: LimitKey =
    LimitKey { name: "wax_density_kg_per_m3", meaning: "density of wax or grease in a tendon" };
pub(crate) const POLYMER: LimitKey =
    LimitKey { name: "polymer_density_kg_per_m3", meaning: "density of a polymer duct" };

const CEMENT: LimitKey =
    LimitKey { name: "cement_density_kg_per_m3", meaning: "density of the grains of cement" };

/// The nearest that a cut comes to a form or a face.
pub const CUT_CLEAR: LimitKey = LimitKey {
    name: "cut_clear_mm",
    meaning: "nearest that a cut comes to a form, a diaphragm or an anchorage",
};
/// Free tendon on each side of the cut that releases.
pub const RELEASE_CLEAR: LimitKey = LimitKey {
    name: "release_clear_mm",
    meaning: "free tendon on each side of the cut that releases: half the window, and a clamp",
};
/// What is left for the writing of stations.
pub(crate) const CUT_TOLERANCE: LimitKey = LimitKey {
    name: "cut_tolerance_mm",
    meaning: "how far the station of a cut may be off for its writing",
};
/// What of a hoist's capacity is used.
pub const HOIST_SHARE: LimitKey =
    LimitKey { name: "hoist_share", meaning: "share of a hoist's stated capacity that is used" };
/// Room behind the jack.
pub const JACK_ROOM: LimitKey =
    LimitKey { name: "jack_room_mm", meaning: "room for hands and hoses behind the jack" };

/// How far a measured set may be off.
pub const SET_TOLERANCE: LimitKey = LimitKey {
    name: "set_tolerance_mm",
    meaning: "how far a measured set may be from the stated one",
};
/// How far lift-off may be off.
pub const LIFT_OFF_TOLERANCE: LimitKey = LimitKey {
    name: "lift_off_tolerance",
    meaning: "share by which lift-off may be off the force after seating that follows",
};
/// What one person carries.
pub const CARRY_PERSON: LimitKey =
    LimitKey { name: "carry_person_kg", meaning: "mass that one person carries by hand" };

/// The limits that are needed here.
pub(crate) const LIMITS: &[LimitKey] = &[
    GROUT,
    WAX,
    POLYMER,
    CEMENT,
    CUT_CLEAR,
    RELEASE_CLEAR,
    JACK_ROOM,
    SET_TOLERANCE,
    LIFT_OFF_TOLERANCE,
    CARRY_PERSON,
];

/// Density of water.
const WATER_KG_PER_M3: f64 = 1000.0;

/// The stub at an end and how it comes out.
#[derive(Debug, Clone, PartialEq)]
pub struct PlannedStub {
    /// The rearmost point of tails or parts, on the anchorage's axis, mm.
    pub rearmost_mm: f64,
    /// Where it is cut on the span side, on the anchorage's axis, mm.
    pub cut_mm: f64,
    /// The part at whose span end the cut is taken, if the schedule states none.
    pub assumed_at: Option<String>,
    /// What must not be sawn, from the rearmost point, mm.
    pub whole_mm: f64,
    /// Radius of what is drawn out, plates included, mm; next to nothing where no diameter is stated.
    pub radius_mm: f64,
    /// Clear length behind the bearing plate, as far as the first obstacle.
    pub behind: Clear,
    /// Pulls and cuts.
    pub plan: StubPlan,
    /// The least room behind the bearing plate in which it comes out at all, mm.
    pub least_behind_mm: Option<f64>,
}

impl PlannedStub {
    /// Its length, mm.
    #[must_use]
    pub fn length_mm(&self) -> f64 {
        self.rearmost_mm - self.cut_mm
    }
}

/// The stub at an end.
///
/// # Errors
/// The field without which it is not known.
pub fn planned_stub(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    end: &EndAt<'_>,
) -> Result<PlannedStub, &'static str> {
    let (geometry, stub) = stub::of(context, at, end)?;
    let plan = stub_plan(&stub).map_err(|_| "end.stub_cut_mm")?;
    Ok(PlannedStub {
        rearmost_mm: geometry.rearmost_mm,
        cut_mm: geometry.cut_mm,
        assumed_at: geometry.assumed_at,
        whole_mm: geometry.whole_mm,
        radius_mm: geometry.radius_mm,
        behind: Clear { mm: stub.behind_mm, ..context.room(at, end).behind()? },
        plan,
        least_behind_mm: restrand_mechanics::removal::least_behind_for_any_mm(&stub).ok(),
    })
}

/// Where the stub at an end is cut on the span side, on the anchorage's axis, mm: whatever room there is behind it.
///
/// # Errors
/// The field without which it is not known.
pub fn stub_cut_mm(context: &Context<'_>, end: &EndAt<'_>) -> Result<f64, &'static str> {
    match end.end.stub_cut_mm {
        Some(cut_mm) => Ok(cut_mm),
        None => stub::geometry(context, end).map(|geometry| geometry.cut_mm),
    }
}

/// Where the part that is cast in furthest into the span ends, on the anchorage's axis, mm, and how it is called.
pub(crate) fn mouth_mm(context: &Context<'_>, end: &EndAt<'_>) -> Option<(f64, String)> {
    let parts = context.end_parts(end);
    let cast_in = parts.iter().map(|resolved| resolved.part.as_ref()).filter(|part| {
        part.permanence == Some(Permanence::Permanent)
            && !matches!(part.role, Some(Role::Cap | Role::Seal | Role::Tube))
    });
    cast_in
        .filter_map(|part| Some((Axis::Anchorage.stretch(part).ok()?.0, call(part))))
        .min_by(|(one, _), (other, _)| one.total_cmp(other))
}

/// A tendon with the forces of its stressing.
#[derive(Debug, Clone, PartialEq)]
pub struct Stressed {
    /// Force at the jack, kN.
    pub jacking_kn: f64,
    /// The ends that are jacked, in their order.
    pub ends: &'static [EndName],
    /// Force at end a and end b after seating, kN.
    pub seated_kn: [f64; 2],
    /// How far each end is drawn out, the tendon alone, mm; nothing at an end that is not jacked.
    pub elastic_mm: [Option<f64>; 2],
    /// The tendon from end a to end b by the force in it after seating.
    pub runs: Vec<ForceRun>,
    /// Area of the strands, mm².
    pub area_mm2: f64,
    /// Modulus of the strands, MPa.
    pub e_mpa: f64,
    /// Developed length, m.
    pub length_m: f64,
}

impl Stressed {
    /// The greatest force in the tendon after seating, kN.
    #[must_use]
    pub fn greatest_kn(&self) -> f64 {
        self.runs.iter().flat_map(|run| [run.start_force_kn, run.end_force_kn]).fold(0.0, f64::max)
    }

    /// How much strands of this length stretch in the jack at the full force, mm.
    #[must_use]
    pub fn bar_stretch_mm(&self, length_mm: f64) -> Option<f64> {
        let (force_kn, area_mm2, e_mpa) = (self.jacking_kn, self.area_mm2, self.e_mpa);
        bar_stretch_mm(&Bar { force_kn, length_mm, area_mm2, e_mpa }).ok()
    }
}

/// The forces of a tendon under a jacking force, or under the one that the schedule states.
///
/// Where both ends are seated in an order that nobody states, the first state that holds is given.
///
/// # Errors
/// The field without which they are not known.
pub fn stressed(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    jacking_kn: Option<f64>,
) -> Result<Stressed, &'static str> {
    let steel = Steel::of(context, at.tendon)?;
    let jacking_kn = match jacking_kn {
        Some(jacking_kn) => jacking_kn,
        None => jacked::jacking(at, &steel)?.force_kn,
    };
    let recomputed = Recomputed::of(context, at, Reading::AsStated)?;
    let seated = recomputed.seated(jacking_kn)?;
    let seated = seated.first().ok_or("stressing.from")?;
    let seated_kn = |name| recomputed.end_kn(seated, name).ok_or("strand.area_mm2");
    // A tendon that passes a form straight has a bend of next to no length there.
    let runs = seated.points().windows(2).filter(|pair| pair[1].at_m - pair[0].at_m >= SMALLEST);
    let area_mm2 = recomputed.steel.area_mm2;
    let force_kn = |stress_mpa: f64| {
        restrand_mechanics::friction::force_kn(stress_mpa, area_mm2).map_err(|_| "strand.area_mm2")
    };
    Ok(Stressed {
        jacking_kn,
        ends: jacked::ends_of(at.tendon)?,
        seated_kn: [seated_kn(EndName::A)?, seated_kn(EndName::B)?],
        elastic_mm: recomputed.elastic_mm(jacking_kn)?,
        runs: runs
            .map(|pair| {
                Ok(ForceRun {
                    length_m: pair[1].at_m - pair[0].at_m,
                    start_force_kn: force_kn(pair[0].stress_mpa)?,
                    end_force_kn: force_kn(pair[1].stress_mpa)?,
                })
            })
            .collect::<Result<_, &'static str>>()?,
        area_mm2,
        e_mpa: recomputed.e_mpa(),
        length_m: recomputed.length_m(),
    })
}

/// The force that the jack gives a tendon, and the steel that takes it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Jacking {
    /// The force at the jack, kN.
    pub force_kn: f64,
    /// Area of all strands, mm2.
    pub area_mm2: f64,
    /// Modulus, MPa.
    pub e_mpa: f64,
}

/// What the jack gives a tendon, as the schedule states it.
///
/// # Errors
/// The field without which it is not known.
pub fn jacking(context: &Context<'_>, at: &TendonAt<'_>) -> Result<Jacking, &'static str> {
    let steel = Steel::of(context, at.tendon)?;
    let force_kn = jacked::jacking(at, &steel)?.force_kn;
    Ok(Jacking { force_kn, area_mm2: steel.area_mm2, e_mpa: steel.e_mpa()? })
}

/// The ends of a tendon that are jacked, in their order.
///
/// # Errors
/// The field without which they are not known.
pub fn jacked_ends(tendon: &Tendon) -> Result<&'static [EndName], &'static str> {
    jacked::ends_of(tendon)
}

/// How far each end is drawn out under a jacking force, the tendon alone, mm; nothing at an end that is not jacked.
///
/// Of a tendon that is pulled once, no set is needed for it.
///
/// # Errors
/// The field without which it is not known.
pub fn drawn_out_mm(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    jacking_kn: f64,
) -> Result<[Option<f64>; 2], &'static str> {
    Recomputed::of(context, at, Reading::AsStated)?.elastic_mm(jacking_kn)
}

/// What a tendon takes up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Inside {
    /// Filler that stays in the tendon, L.
    pub net_l: f64,
    /// Filler in each metre of the duct, L.
    pub free_l_per_m: f64,
}

/// The inside of a tendon.
///
/// # Errors
/// The field without which it is not known.
pub fn inside(context: &Context<'_>, at: &TendonAt<'_>) -> Result<Inside, &'static str> {
    let inside::Inside { net_l, free_l_per_m, .. } = inside::of(context, at)?;
    Ok(Inside { net_l, free_l_per_m })
}

/// What a bag of cement gives, mixed with water alone; nothing for a ratio or a bag that is none.
#[must_use]
pub fn neat_grout(context: &Context<'_>, water_cement_ratio: f64, bag_kg: f64) -> Option<Grout> {
    grout_by_densities(&GroutMix {
        water_cement_ratio,
        cement_density_kg_per_m3: context.limit(CEMENT).value,
        water_density_kg_per_m3: WATER_KG_PER_M3,
        bag_kg,
    })
    .ok()
}

/// The mass of a metre of the filled tendon, where it is heaviest if its duct changes.
///
/// A filler that nobody knows counts as the heaviest.
///
/// # Errors
/// The field without which it is not known.
pub fn mass(context: &Context<'_>, at: &TendonAt<'_>) -> Result<LinearMass, &'static str> {
    mass_over(context, at, [f64::NEG_INFINITY, f64::INFINITY]).map(|over| over.heaviest)
}

/// What a stretch of a tendon weighs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MassOver {
    /// A metre of it where it is heaviest.
    pub heaviest: LinearMass,
    /// A metre of it on average, kg.
    pub mean_kg_per_m: f64,
}

/// What a stretch of a tendon between two stations weighs, m.
///
/// # Errors
/// The field without which it is not known.
pub fn mass_over(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    stations_m: [f64; 2],
) -> Result<MassOver, &'static str> {
    let lengths = context.duct_lengths(at.tendon)?;
    if let [length] = lengths.as_slice() {
        let heaviest = mass_in(context, at, length.duct.record)?;
        return Ok(MassOver { heaviest, mean_kg_per_m: heaviest.total_kg_per_m });
    }
    let along = Along::of(context, at)?;
    let mut heaviest: Option<LinearMass> = None;
    let (mut sum_kg, mut sum_m) = (0.0, 0.0);
    for length in &lengths {
        let from_m = along.at_m(length.stations_m[0].max(stations_m[0]));
        let to_m = along.at_m(length.stations_m[1].min(stations_m[1]));
        if to_m - from_m < SMALLEST {
            continue;
        }
        let linear = mass_in(context, at, length.duct.record)?;
        sum_kg += linear.total_kg_per_m * (to_m - from_m);
        sum_m += to_m - from_m;
        if heaviest.is_none_or(|so_far| so_far.total_kg_per_m < linear.total_kg_per_m) {
            heaviest = Some(linear);
        }
    }
    let heaviest = heaviest.ok_or("duct_run.from_m")?;
    Ok(MassOver { heaviest, mean_kg_per_m: sum_kg / sum_m })
}

/// The mass of a metre of the filled tendon in a duct.
pub(crate) fn mass_in(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    duct: &Duct,
) -> Result<LinearMass, &'static str> {
    let steel = Steel::of(context, at.tendon)?;
    let strand = steel.strand.record;
    let density = |key| context.limit(key).value;
    let filler = filler_kg_per_m3(context, at.tendon)?;
    let (steel_mm2, taken_mm2) =
        (strand.area_mm2.ok_or("strand.area_mm2")?, inside::taken_mm2(strand)?);
    // Grease and sheath are as heavy as a polymer, within a part in ten.
    let cover_kg_per_m = (taken_mm2 - steel_mm2).max(0.0) * density(POLYMER) / 1e6;
    // A stated mass holds for any duct; of a polymer it follows from its wall.
    let stated_kg_per_m = duct.mass_kg_per_m;
    let is_polymer =
        matches!(duct.material, Some(DuctMaterial::Polyethylene | DuctMaterial::Polypropylene));
    if stated_kg_per_m.is_none() && !is_polymer {
        return Err(if duct.material.is_none() { "duct.material" } else { "duct.mass_kg_per_m" });
    }
    let mut linear = mass_per_m(&TendonSection {
        strand_count: steel.strands,
        strand_area_mm2: taken_mm2,
        strand_mass_kg_per_m: strand.mass_kg_per_m.ok_or("strand.mass_kg_per_m")? + cover_kg_per_m,
        duct_outer_mm: duct.outer_mm.ok_or("duct.outer_mm")?,
        duct_inner_mm: duct.inner_mm.ok_or("duct.inner_mm")?,
        duct_density_kg_per_m3: density(POLYMER),
        filler_density_kg_per_m3: filler,
    })
    .map_err(|_| "duct.inner_mm")?;
    if let Some(stated_kg_per_m) = stated_kg_per_m {
        linear.total_kg_per_m += stated_kg_per_m - linear.duct_kg_per_m;
        linear.duct_kg_per_m = stated_kg_per_m;
    }
    Ok(linear)
}

/// The density of what fills a tendon; one that nobody knows counts as the heaviest.
fn filler_kg_per_m3(context: &Context<'_>, tendon: &Tendon) -> Result<f64, &'static str> {
    let density = |key| context.limit(key).value;
    Ok(match tendon.filler.ok_or("tendon.filler")? {
        Filler::CementGrout | Filler::Unknown => density(GROUT),
        Filler::Wax | Filler::Grease => density(WAX),
        Filler::None => 0.0,
    })
}

/// How a stub comes out, in the numbers that people need.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum StubPulls {
    /// In one pull.
    One {
        /// What is left of the room, mm.
        spare_mm: f64,
    },
    /// In several, with a cut between each two.
    Several {
        /// How many.
        pulls: u32,
        /// Length of each piece but the last, mm.
        piece_mm: f64,
    },
    /// Not at all in this room.
    None {
        /// How much more room makes some plan possible, mm.
        more_mm: f64,
    },
}

/// How a stub comes out.
#[must_use]
pub const fn pulls(plan: &StubPlan) -> StubPulls {
    match plan.verdict {
        StubVerdict::InOne { spare_mm } => StubPulls::One { spare_mm },
        StubVerdict::InPieces { pulls, piece_mm, .. } => StubPulls::Several { pulls, piece_mm },
        StubVerdict::PieceTooShort { shortfall_of_room_mm, .. } => {
            StubPulls::None { more_mm: shortfall_of_room_mm }
        }
    }
}
