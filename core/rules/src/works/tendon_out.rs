//! The bridge while a tendon is out: what each section loses, and what comes of it, for the rule and the plan.
//!
//! It knows no message: what stands beyond a limit is said by those who ask.

use restrand_mechanics::statics::{
    self, AxialPoint, Beam, BeamData, Cut, Out, Place, Run, Side, Stiffness, TendonsOut,
    tendons_out,
};
use restrand_model::schedule::{Section, Situation, Status, SupportKind};

use super::stressed;
use crate::beyond::beyond;
use crate::context::{Context, TendonAt};

/// What it means for the bridge that one of its tendons is out.
#[derive(Debug, Clone, PartialEq)]
pub struct BridgeOut {
    /// The tendons that are reckoned with, by their positions in the schedule: external ones in use.
    pub tendons: Vec<usize>,
    /// What the absence of each of them means at each section of the schedule.
    told: TendonsOut,
    /// The field without which total moments, and so stresses, are not known.
    pub no_beam: Option<&'static str>,
}

/// Why nobody knows what the bridge loses.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NotKnown {
    /// The field without which it is not known.
    pub field: &'static str,
    /// The tendon that lacks it, by its position, where it is a tendon's.
    pub tendon: Option<usize>,
}

impl From<&'static str> for NotKnown {
    fn from(field: &'static str) -> Self {
        Self { field, tendon: None }
    }
}

impl BridgeOut {
    /// What the absence of a tendon means at each section, just down-station and just up-station of it; nothing for one
    /// that is not in use or lies in the concrete.
    #[must_use]
    pub fn of(&self, position: usize) -> Option<Vec<[Out; 2]>> {
        let outs = self.told.out(self.tendons.binary_search(&position).ok()?)?;
        Some(outs.chunks_exact(2).map(|pair| [pair[0], pair[1]]).collect())
    }
}

/// What is lost at a section, once, or by its sides where they differ: where a tendon turns or ends, force and moment step.
pub fn sides(pair: &[Out; 2]) -> impl Iterator<Item = (Option<Side>, &Out)> {
    let [down, up] = pair;
    let is_one = alike(down.lost.axial_kn, up.lost.axial_kn)
        && alike(down.lost.primary_knm, up.lost.primary_knm)
        && alike(down.lost_axial_share.unwrap_or(0.0), up.lost_axial_share.unwrap_or(0.0));
    let told = if is_one {
        [Some((None, up)), None]
    } else {
        [Some((Some(Side::Down), down)), Some((Some(Side::Up), up))]
    };
    told.into_iter().flatten()
}

/// Whether two numbers differ by rounding alone.
fn alike(one: f64, other: f64) -> bool {
    (one - other).abs() <= 1e-9 * one.abs().max(other.abs()).max(1.0)
}

/// What the bridge loses with each tendon out.
///
/// # Errors
/// The field without which no total is known, and whose it is.
pub(crate) fn evaluate(context: &Context<'_>) -> Result<BridgeOut, NotKnown> {
    let sections = &context.schedule.sections;
    if sections.is_empty() {
        return Err(NotKnown::from("schedule.sections"));
    }
    let centroids = centroids(sections)?;
    let in_use: Vec<_> = context
        .tendons()
        .filter(|at| matches!(at.tendon.status, None | Some(Status::InUse)))
        .filter(|at| at.tendon.situation != Some(Situation::Internal))
        .collect();
    let of_tendon = |at: &TendonAt<'_>| {
        line(context, at, &centroids).map_err(|field| NotKnown { field, tendon: Some(at.position) })
    };
    let lines: Vec<Line> = in_use.iter().map(of_tendon).collect::<Result<_, _>>()?;
    let tendons: Vec<_> =
        lines.iter().map(|line| statics::Tendon { runs: &line.runs, axial: &line.axial }).collect();
    let places: Vec<[Place; 2]> = sections.iter().map(places).collect::<Result<_, _>>()?;
    // Shares of force need no beam.
    let (beam, no_beam) = match beam(context) {
        Ok(beam) => (Some(beam), None),
        Err(field) => (None, Some(field)),
    };
    let told = tendons_out(beam.as_ref(), &tendons, places.as_flattened())
        .map_err(|_| "section.station_m")?;
    let tendons = in_use.iter().map(|at| at.position).collect();
    Ok(BridgeOut { tendons, told, no_beam })
}

/// Station and elevation of the centroid at each section, by station.
fn centroids(sections: &[Section]) -> Result<Vec<[f64; 2]>, &'static str> {
    let mut centroids: Vec<[f64; 2]> = sections
        .iter()
        .map(|section| {
            let station_m = section.station_m.ok_or("section.station_m")?;
            Ok([station_m, section.centroid_elevation_m.ok_or("section.centroid_elevation_m")?])
        })
        .collect::<Result<_, &'static str>>()?;
    centroids.sort_by(|one, other| one[0].total_cmp(&other[0]));
    Ok(centroids)
}

/// The centroid's elevation at a station: straight between sections, level beyond them.
fn centroid_m(centroids: &[[f64; 2]], station_m: f64) -> f64 {
    let after = centroids.partition_point(|[at_m, _]| *at_m < station_m);
    match (after.checked_sub(1).and_then(|at| centroids.get(at)), centroids.get(after)) {
        (Some([from_m, from_z]), Some([to_m, to_z])) => {
            from_z + (to_z - from_z) * (station_m - from_m) / (to_m - from_m)
        }
        (Some([_, z]), None) | (None, Some([_, z])) => *z,
        (None, None) => 0.0,
    }
}

fn line(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    centroids: &[[f64; 2]],
) -> Result<Line, &'static str> {
    let laid = context.path(at).map_err(|none| none.field())?;
    let stressed = stressed(context, at, None)?;
    let points = &at.tendon.points;
    let mut runs = Vec::new();
    let mut axial = Vec::new();
    let mut along_m = 0.0;
    for (leg, pair) in laid.path.legs.iter().zip(points.windows(2)) {
        let end = |index: usize| -> Result<[f64; 2], &'static str> {
            let station_m = pair[index].station_m.ok_or("tendon_point.station_m")?;
            Ok([station_m, pair[index].elevation_m.ok_or("tendon_point.elevation_m")?])
        };
        let ([from_m, from_z], [to_m, to_z]) = (end(0)?, end(1)?);
        // The tendon runs straight from corner to corner, and the centroid only from section to section.
        let within = centroids.iter().map(|[station_m, _]| *station_m);
        let within = within.filter(|station_m| from_m < *station_m && *station_m < to_m);
        let stations: Vec<f64> =
            std::iter::once(from_m).chain(within).chain(std::iter::once(to_m)).collect();
        let eccentricity_m = |station_m: f64| {
            let share = (station_m - from_m) / (to_m - from_m);
            centroid_m(centroids, station_m) - (from_z + (to_z - from_z) * share)
        };
        runs.extend(stations.windows(2).map(|pair| Run {
            from_m: pair[0],
            to_m: pair[1],
            from_eccentricity_m: eccentricity_m(pair[0]),
            to_eccentricity_m: eccentricity_m(pair[1]),
            sag_m: 0.0,
        }));
        // The force of a leg is that in the middle of it: friction acts in the bends.
        let force_kn = stressed.force_kn_at(along_m + leg.length_m / 2.0);
        let level = leg.along.x.hypot(leg.along.y);
        for station_m in [from_m, to_m] {
            axial.push(AxialPoint { station_m, axial_kn: force_kn * level });
        }
        along_m += leg.length_m;
    }
    Ok(Line { runs, axial })
}

/// The section just down-station and just up-station of its station.
fn places(section: &Section) -> Result<[Place; 2], &'static str> {
    let station_m = section.station_m.ok_or("section.station_m")?;
    // Nothing said of tendons inside the concrete does not say that there are none.
    let other_axial_kn = section.internal_force_kn.ok_or("section.internal_force_kn")?;
    let fibres = fibres(section).ok();
    Ok([Side::Down, Side::Up].map(|side| Place {
        cut: Cut { station_m, side },
        other_axial_kn,
        section: fibres,
    }))
}

/// What turns force and moment into stress.
fn fibres(section: &Section) -> Result<statics::Section, &'static str> {
    let centroid_m = section.centroid_elevation_m.ok_or("section.centroid_elevation_m")?;
    Ok(statics::Section {
        area_m2: section.area_m2.ok_or("section.area_m2")?,
        inertia_m4: section.inertia_level_m4.ok_or("section.inertia_level_m4")?,
        top_m: section.top_elevation_m.ok_or("section.top_elevation_m")? - centroid_m,
        bottom_m: centroid_m - section.bottom_elevation_m.ok_or("section.bottom_elevation_m")?,
    })
}

/// The beam, where supports are stated and either nothing depends on the stiffness or it is stated.
///
/// # Errors
/// The field without which total moments are not known.
fn beam(context: &Context<'_>) -> Result<Beam, &'static str> {
    let mut supports = Vec::new();
    for support in &context.schedule.supports {
        supports.push((support.station_m.ok_or("support.station_m")?, support.kind));
    }
    supports.sort_by(|(one, _), (other, _)| one.total_cmp(other));
    let [first, .., last] = supports.as_slice() else { return Err("schedule.supports") };
    let is_fixed =
        |kind: Option<SupportKind>| Ok(kind.ok_or("support.kind")? == SupportKind::Fixed);
    let (start_fixed, end_fixed) = (is_fixed(first.1)?, is_fixed(last.1)?);
    let stations: Vec<f64> = supports.iter().map(|(station_m, _)| *station_m).collect();
    let is_determinate = stations.len() == 2 && !start_fixed && !end_fixed;
    let mut known: Vec<[f64; 2]> = Vec::new();
    for section in &context.schedule.sections {
        if let (Some(station_m), Some(ei_knm2)) = (section.station_m, section.stiffness_knm2) {
            known.push([station_m, ei_knm2]);
        }
    }
    if known.is_empty() && is_determinate {
        known.push([stations[0], 1.0]);
    }
    if known.is_empty() {
        return Err("section.stiffness_knm2");
    }
    known.sort_by(|one, other| one[0].total_cmp(&other[0]));
    let (from_m, to_m) = (first.0, last.0);
    // Sections beyond the outer supports say nothing of the beam between them.
    let middles = known.windows(2).map(|pair| f64::midpoint(pair[0][0], pair[1][0]));
    let mut borders = vec![from_m];
    borders.extend(middles.map(|middle_m| middle_m.max(from_m).min(to_m)));
    borders.push(to_m);
    let stiffness: Vec<Stiffness> = borders
        .windows(2)
        .zip(&known)
        .map(|(pair, [_, ei_knm2])| Stiffness { from_m: pair[0], to_m: pair[1], ei_knm2: *ei_knm2 })
        .filter(|stretch| stretch.to_m > stretch.from_m)
        .collect();
    let data = BeamData { supports_m: &stations, stiffness: &stiffness, start_fixed, end_fixed };
    Beam::new(&data).map_err(|_| "section.stiffness_knm2")
}

/// A tendon as statics knows it.
struct Line {
    runs: Vec<Run>,
    axial: Vec<AxialPoint>,
}

/// A stress that is beyond a limit with a tendon out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Over {
    /// `top` or `bottom`.
    pub edge: &'static str,
    /// With the tendon out, MPa; tension is positive.
    pub stress_mpa: f64,
    /// The same with all tendons in, MPa.
    pub before_mpa: f64,
    /// What the section allows, MPa.
    pub limit_mpa: f64,
    /// The field of the limit.
    pub field: &'static str,
}

impl Over {
    /// How far it is beyond, MPa.
    #[must_use]
    pub fn by_mpa(&self) -> f64 {
        (self.stress_mpa - self.limit_mpa).abs()
    }

    /// Whether it is beyond the limit with all tendons in.
    #[must_use]
    pub fn is_so_before(&self) -> bool {
        match self.field {
            TENSION => beyond(self.before_mpa, self.limit_mpa),
            _ => beyond(-self.before_mpa, -self.limit_mpa),
        }
    }
}

const TENSION: &str = "limit_tension_mpa";
const COMPRESSION: &str = "limit_compression_mpa";

/// The stress that is furthest beyond a limit; nothing where none is, or where the tendon's absence relieves it.
///
/// # Errors
/// The field without which that is not known.
pub fn over(
    section: &Section,
    out: &Out,
    no_beam: Option<&'static str>,
) -> Result<Option<Over>, &'static str> {
    let (tension, compression) = (section.limit_tension_mpa, section.limit_compression_mpa);
    let stresses = stresses(section, out, no_beam)?;
    if tension.is_none() && compression.is_none() {
        return Err("section.limit_tension_mpa");
    }
    let mut worst: Option<Over> = None;
    for StressOut { edge, change_mpa, before_mpa, stress_mpa } in stresses {
        let pulled = tension
            .filter(|limit| change_mpa > 0.0 && beyond(stress_mpa, *limit))
            .map(|limit_mpa| (limit_mpa, TENSION));
        let pressed = compression
            .filter(|limit| change_mpa < 0.0 && beyond(-stress_mpa, -*limit))
            .map(|limit_mpa| (limit_mpa, COMPRESSION));
        if let Some((limit_mpa, field)) = pulled.or(pressed) {
            let over = Over { edge, stress_mpa, before_mpa, limit_mpa, field };
            if worst.as_ref().is_none_or(|so_far| over.by_mpa() > so_far.by_mpa()) {
                worst = Some(over);
            }
        }
    }
    Ok(worst)
}

/// A stress at an edge of a section with a tendon out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StressOut {
    /// `top` or `bottom`.
    pub edge: &'static str,
    /// What the tendon's absence adds, MPa; tension is positive.
    pub change_mpa: f64,
    /// With all tendons in, MPa.
    pub before_mpa: f64,
    /// With the tendon out, MPa.
    pub stress_mpa: f64,
}

/// The stresses of a section with a tendon out: at each edge under permanent load, and with live load where that is stated.
///
/// # Errors
/// The field without which they are not known.
pub fn stresses(
    section: &Section,
    out: &Out,
    no_beam: Option<&'static str>,
) -> Result<Vec<StressOut>, &'static str> {
    if let Some(field) = no_beam {
        return Err(field);
    }
    fibres(section)?;
    let change = out.stress_change.ok_or("section.area_m2")?;
    let edges = [
        (
            "top",
            change.top_mpa,
            section.permanent_top_mpa.ok_or("section.permanent_top_mpa")?,
            section.live_top_mpa,
        ),
        (
            "bottom",
            change.bottom_mpa,
            section.permanent_bottom_mpa.ok_or("section.permanent_bottom_mpa")?,
            section.live_bottom_mpa,
        ),
    ];
    let mut all = Vec::new();
    for (edge, change_mpa, permanent_mpa, live_mpa) in edges {
        // Live load may be there or not.
        for before_mpa in [Some(permanent_mpa), live_mpa.map(|live_mpa| permanent_mpa + live_mpa)] {
            let Some(before_mpa) = before_mpa else { continue };
            all.push(StressOut {
                edge,
                change_mpa,
                before_mpa,
                stress_mpa: before_mpa + change_mpa,
            });
        }
    }
    Ok(all)
}

/// The share of a section's axial force that is lost, with what the section allows, where it is more.
#[must_use]
pub fn share_over(section: &Section, out: &Out) -> Option<[f64; 2]> {
    let (most, share) = section.limit_lost_force_share.zip(out.lost_axial_share)?;
    beyond(share, most).then_some([share, most])
}

/// How people call a section, or one side of it.
#[must_use]
pub fn section_call(section: &Section, index: usize, side: Option<Side>) -> String {
    let call =
        section.id.as_deref().map_or_else(|| format!("section #{}", index + 1), str::to_owned);
    match side {
        None => call,
        Some(Side::Down) => format!("{call} on its down-station side"),
        Some(Side::Up) => format!("{call} on its up-station side"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(found: f64, expected: f64) {
        assert!((found - expected).abs() < 1e-9, "{found} {expected}");
    }

    #[test]
    fn between_sections_the_centroid_rises_in_a_straight_line() {
        let centroids = [[100.0, 2.0], [110.0, 3.0], [130.0, 1.0]];
        for (station_m, elevation_m) in
            [(95.0, 2.0), (100.0, 2.0), (102.5, 2.25), (110.0, 3.0), (125.0, 1.5), (140.0, 1.0)]
        {
            near(centroid_m(&centroids, station_m), elevation_m);
        }
        near(centroid_m(&[], 100.0), 0.0);
    }

    #[test]
    fn a_limit_is_passed_upward_in_tension_and_downward_in_compression() {
        let over = |field, before_mpa, limit_mpa| {
            Over { edge: "top", stress_mpa: 0.0, before_mpa, limit_mpa, field }.is_so_before()
        };
        assert!(over(TENSION, 1.1, 1.0) && !over(TENSION, 1.0, 1.0) && !over(TENSION, -20.0, 1.0));
        assert!(over(COMPRESSION, -11.0, -10.0) && !over(COMPRESSION, -10.0, -10.0));
        assert!(!over(COMPRESSION, 5.0, -10.0));
    }
}
