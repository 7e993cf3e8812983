//! The inside of a tendon, from cap to cap, as the schedule states it.

use restrand_mechanics::filling::{
    Cap, CapPlate, Hollow, TendonInside, free_litres_per_m, tendon_fill,
};
use restrand_model::resolve::ResolvedPart;
use restrand_model::schedule::{Part, Role, Strand, StrandCoating};

use crate::context::{Context, EndAt, TendonAt};
use crate::duct_lengths::DuctLength;
use crate::works::Along;

/// What a tendon takes up.
pub(crate) struct Inside {
    /// Filler that stays in the tendon, L.
    pub(crate) net_l: f64,
    /// Filler in each metre of the duct, on average where it changes, L.
    pub(crate) free_l_per_m: f64,
    /// Developed length of the tendon, m.
    pub(crate) length_m: f64,
}

/// The wide bores of an end, and its cap.
struct EndInside {
    hollows: Vec<Hollow>,
    inner_mm: f64,
    length_mm: f64,
    plates: Vec<CapPlate>,
    tail_mm: f64,
}

/// What one strand takes of the bore, mm²: its steel, and what covers it where that is thick.
pub(crate) fn taken_mm2(strand: &Strand) -> Result<f64, &'static str> {
    match strand.coating {
        Some(StrandCoating::GreasedSheathed) => {
            let over_mm = positive(strand.coated_diameter_mm).ok_or("strand.coated_diameter_mm")?;
            Ok(std::f64::consts::FRAC_PI_4 * over_mm * over_mm)
        }
        _ => strand.area_mm2.ok_or("strand.area_mm2"),
    }
}

/// The inside of a tendon, or the field without which nobody knows it.
pub(crate) fn of(context: &Context<'_>, at: &TendonAt<'_>) -> Result<Inside, &'static str> {
    let tendon = at.tendon;
    let count = tendon.strand_count.filter(|count| *count > 0).ok_or("tendon.strand_count")?;
    let area_mm2 = taken_mm2(context.strand(tendon).ok_or("tendon.strand")?.record)?;
    let steel_area_mm2 = f64::from(count) * area_mm2;
    let lengths = context.duct_lengths(tendon)?;
    if lengths.iter().any(|length| length.duct.record.inner_mm.is_none()) {
        return Err("duct.inner_mm");
    }
    let length_m = match (context.path(at), tendon.length_m) {
        (Ok(laid), _) => laid.path.developed_length_m,
        (Err(_), Some(length_m)) => length_m,
        (Err(no_path), None) => return Err(no_path.field()),
    };
    let mut ends = Vec::new();
    for end in at.ends() {
        ends.push(end_inside(context, &end)?);
    }
    if ends.len() < 2 {
        return Err("tendon.ends");
    }
    let mut hollows: Vec<Hollow> = ends.iter().flat_map(|end| end.hollows.clone()).collect();
    let wide_mm = |end: Option<&EndInside>| {
        end.map_or(0.0, |end| end.hollows.iter().map(|hollow| hollow.length_mm).sum::<f64>())
    };
    let wide_mm = [wide_mm(ends.first()), wide_mm(ends.last())];
    let ducts = between_ends(context, at, &lengths, length_m, wide_mm)?;
    let free_l_per_m = mean_free_l_per_m(&ducts, steel_area_mm2)?;
    hollows.extend(ducts);
    let caps: Vec<Cap<'_>> = ends
        .iter()
        .map(|end| Cap {
            inner_mm: end.inner_mm,
            length_mm: end.length_mm,
            plates: &end.plates,
            tail_mm: end.tail_mm,
        })
        .collect();
    let inside = TendonInside {
        hollows: &hollows,
        caps: &caps,
        steel_area_mm2,
        hoses: &[],
        waste_share: 0.0,
    };
    // Dimensions that contradict each other are told by the rules on ducts and parts.
    let net_l = tendon_fill(&inside).map_err(|_| "part.rear_inner_mm")?.net_litres;
    Ok(Inside { net_l, free_l_per_m, length_m })
}

/// The insides of the lengths of duct, between the wide bores of both ends.
fn between_ends(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    lengths: &[DuctLength<'_>],
    length_m: f64,
    wide_mm: [f64; 2],
) -> Result<Vec<Hollow>, &'static str> {
    let borders_mm: Vec<f64> = match lengths {
        [_] => Vec::new(),
        _ => {
            let along = Along::of(context, at)?;
            // Arcs are a little shorter than the corners between which stations are counted.
            let scale = length_m * 1000.0 / along.length_m();
            lengths.iter().map(|length| along.at_m(length.stations_m[1]) * scale).collect()
        }
    };
    let end_mm = length_m * 1000.0 - wide_mm[1];
    let mut from_mm = wide_mm[0];
    if from_mm >= end_mm {
        return Err("part.rear_inner_mm");
    }
    let mut hollows = Vec::new();
    for (index, length) in lengths.iter().enumerate() {
        let to_mm = borders_mm.get(index).map_or(end_mm, |border_mm| border_mm.min(end_mm));
        if to_mm > from_mm {
            let inner_mm = length.duct.record.inner_mm.ok_or("duct.inner_mm")?;
            hollows.push(Hollow {
                length_mm: to_mm - from_mm,
                start_inner_mm: inner_mm,
                end_inner_mm: inner_mm,
            });
            from_mm = to_mm;
        }
    }
    Ok(hollows)
}

/// The room beside the steel in a metre of duct, on average, L.
fn mean_free_l_per_m(ducts: &[Hollow], steel_area_mm2: f64) -> Result<f64, &'static str> {
    let (mut free_l, mut length_m) = (0.0, 0.0);
    for duct in ducts {
        let per_m = free_litres_per_m(duct.start_inner_mm, steel_area_mm2);
        free_l += per_m.map_err(|_| "duct.inner_mm")? * duct.length_mm / 1000.0;
        length_m += duct.length_mm / 1000.0;
    }
    Ok(free_l / length_m)
}

fn end_inside(context: &Context<'_>, end: &EndAt<'_>) -> Result<EndInside, &'static str> {
    let parts = context.end_parts(end);
    let of_role = |role: Role| {
        parts.iter().map(|part| part.part.as_ref()).filter(move |part| part.role == Some(role))
    };
    let cap = of_role(Role::Cap).next().ok_or("part.role")?;
    let inner_mm =
        positive(cap.rear_inner_mm).or(positive(cap.span_inner_mm)).ok_or("part.rear_inner_mm")?;
    let length_mm =
        cap.from_mm.zip(cap.to_mm).map(|(one, other)| one.max(other)).ok_or("part.to_mm")?;
    let mut plates = Vec::new();
    for part in of_role(Role::WedgePlate) {
        plates.push(plate(part, 0.0)?);
    }
    for part in of_role(Role::ShimPlate) {
        let bore_mm = positive(part.rear_inner_mm).ok_or("part.rear_inner_mm")?;
        plates.push(plate(part, bore_mm)?);
    }
    let hollows = bores(parts)?.into_iter().map(|bore| bore.hollow).collect();
    Ok(EndInside {
        hollows,
        inner_mm,
        length_mm,
        plates,
        tail_mm: end.end.tail_mm.ok_or("end.tail_mm")?,
    })
}

/// A wide bore round the strands at an end.
pub(crate) struct Bore {
    /// Its rear and its span end on the anchorage's axis, mm.
    pub(crate) from_to_mm: [f64; 2],
    /// Its rear and its span diameter over that length.
    pub(crate) hollow: Hollow,
}

/// The bores in which the strands run at an end, rearmost first: the innermost of what surrounds them, the trumpet,
/// then the pipe behind it.
pub(crate) fn bores(parts: &[ResolvedPart<'_>]) -> Result<Vec<Bore>, &'static str> {
    let of_role = |role: Role| {
        parts.iter().map(|part| part.part.as_ref()).filter(move |part| part.role == Some(role))
    };
    let mut bores = Vec::new();
    let trumpet =
        [Role::InnerTrumpet, Role::OuterTrumpet].into_iter().find_map(|role| of_role(role).next());
    let mut reached_mm = 0.0;
    for part in trumpet.into_iter().chain(of_role(Role::AnchoragePipe)) {
        let (from_mm, to_mm) = stretch(part)?;
        // What lies inside a part before it is counted there.
        let to_mm = to_mm.min(reached_mm);
        if to_mm - from_mm <= 0.0 {
            continue;
        }
        let rear_mm = positive(part.rear_inner_mm).ok_or("part.rear_inner_mm")?;
        let span_mm = positive(part.span_inner_mm).ok_or("part.span_inner_mm")?;
        bores.push(Bore {
            from_to_mm: [to_mm, from_mm],
            hollow: Hollow {
                length_mm: to_mm - from_mm,
                start_inner_mm: rear_mm,
                end_inner_mm: span_mm,
            },
        });
        reached_mm = from_mm;
    }
    Ok(bores)
}

fn plate(part: &Part, bore_mm: f64) -> Result<CapPlate, &'static str> {
    let (from_mm, to_mm) = stretch(part)?;
    let outer_mm = positive(part.rear_outer_mm).ok_or("part.rear_outer_mm")?;
    Ok(CapPlate { outer_mm, bore_mm, thickness_mm: to_mm - from_mm })
}

/// The stretch of a part on its owner's axis, the lesser end first.
fn stretch(part: &Part) -> Result<(f64, f64), &'static str> {
    let from_mm = part.from_mm.ok_or("part.from_mm")?;
    let to_mm = part.to_mm.ok_or("part.to_mm")?;
    Ok((from_mm.min(to_mm), from_mm.max(to_mm)))
}

fn positive(value: Option<f64>) -> Option<f64> {
    value.filter(|value| *value > 0.0)
}
