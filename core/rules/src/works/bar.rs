//! What a length of a stub weighs, with the plates, trumpet and pipes that leave with it.

use restrand_mechanics::filling::{Hollow, hollow_litres};
use restrand_model::schedule::{Exit, Part, Permanence, Role};

use super::mass::{filler_kg_per_m3, mass_in};
use crate::context::{Context, EndAt, TendonAt};
use crate::filler::inside::{bores, taken_mm2};

/// The mass of a length of the stub of an end, kg, from its rear to its span end on the anchorage's axis, mm: strands,
/// what fills the bores round them, and the parts that leave rearward with it.
///
/// The cap is off, and what was in it broken off. Of a part that is cut, its share by length counts.
///
/// # Errors
/// The field without which it is not known.
pub fn bar_mass_kg(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    end: &EndAt<'_>,
    [rear_mm, span_mm]: [f64; 2],
) -> Result<f64, &'static str> {
    let linear = mass_in(context, at, context.duct_behind_end(at, end.name, -span_mm)?.record)?;
    let density = filler_kg_per_m3(context, at.tendon)?;
    let strand = context.strand(at.tendon).ok_or("tendon.strand")?.record;
    let count = f64::from(at.tendon.strand_count.ok_or("tendon.strand_count")?);
    let strands_mm2 = count * taken_mm2(strand)?;
    let parts = context.end_parts(end);
    let mut sum_kg = linear.steel_kg_per_m * (rear_mm - span_mm) / 1000.0;
    let drawn = parts.iter().map(|part| part.part.as_ref()).filter(|part| leaves(part));
    let mut piped_mm = 0.0_f64;
    for part in drawn {
        let (to_mm, from_mm) =
            (part.to_mm.ok_or("part.to_mm")?, part.from_mm.ok_or("part.from_mm")?);
        let (low_mm, high_mm) = (from_mm.min(to_mm), from_mm.max(to_mm));
        let within_mm = (high_mm.min(rear_mm) - low_mm.max(span_mm)).max(0.0);
        if within_mm > 0.0 {
            let share = if high_mm > low_mm { within_mm / (high_mm - low_mm) } else { 1.0 };
            sum_kg += part.mass_kg.ok_or("part.mass_kg")? * share;
        }
        piped_mm = piped_mm.min(low_mm);
    }
    let mut reached_mm = 0.0_f64.min(rear_mm);
    for bore in bores(parts)? {
        let [from_mm, to_mm] = bore.from_to_mm;
        let (high_mm, low_mm) = (from_mm.min(rear_mm), to_mm.max(span_mm));
        if high_mm <= low_mm {
            continue;
        }
        let at_mm = |mm: f64| {
            let share = (from_mm - mm) / (from_mm - to_mm);
            let Hollow { start_inner_mm, end_inner_mm, .. } = bore.hollow;
            start_inner_mm + (end_inner_mm - start_inner_mm) * share
        };
        let within = Hollow {
            length_mm: high_mm - low_mm,
            start_inner_mm: at_mm(high_mm),
            end_inner_mm: at_mm(low_mm),
        };
        let bore_l = hollow_litres(&within).map_err(|_| "part.rear_inner_mm")?;
        let steel_l = strands_mm2 * (high_mm - low_mm) / 1e6;
        sum_kg += (bore_l - steel_l).max(0.0) * density / 1000.0;
        reached_mm = reached_mm.min(low_mm);
    }
    // Beyond the pipes it is the tendon as it runs in the free length.
    sum_kg += linear.filler_kg_per_m * (reached_mm - span_mm).max(0.0) / 1000.0;
    sum_kg += linear.duct_kg_per_m * (piped_mm.min(rear_mm) - span_mm).max(0.0) / 1000.0;
    Ok(sum_kg)
}

fn leaves(part: &Part) -> bool {
    part.permanence == Some(Permanence::Replaceable)
        && part.exit == Some(Exit::Rear)
        && part.role != Some(Role::Cap)
}
