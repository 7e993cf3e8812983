//! A tendon from its row: what the sheet computes of it is computed here.

use restrand_model::reflect::Link;
use restrand_model::schedule::{
    Bond, Deviator, End, EndKind, EndName, Ends, FaceName, Filler, Installation, Part, Release,
    RemovalSpace, Replacement, Situation, SpaceSource, Status, Stressing, StressingFrom,
    StressingStep, Tendon, TendonPoint, TendonSide, Vent, VentKind,
};

use super::anchorages::{Kind, TAIL_MM};
use super::cuts::{self, EndCut};
use super::fill;
use super::forces::Forces;
use super::forms::FORM;
use super::joints;
use super::make::{link, one, rounded, text};
use super::materials::{
    BORE_MM, DUCT, FPU_MPA, JACK, STRAND, STRAND_COUNT, STRAND_MASS_KG_PER_M, gauge_mpa, steel_mm2,
};
use super::path::Path;
use super::rooms::edge_distance_mm;
use super::tendons::{EndRow, Row};

/// Radius of the tendon's axis in a form: wall 4.000 m and half the duct.
const AXIS_RADIUS_M: f64 = 4.0625;
const MU: f64 = 0.14;
const INADVERTENT_RAD: f64 = 0.04;
const SET_MM: f64 = 6.0;
const SEATING_MM: f64 = 3.0;
const BASELINE: f64 = 0.2;
const STEPS: [f64; 5] = [0.2, 0.4, 0.6, 0.8, 1.0];
/// Clear length beside every form, mm.
const SWING_MM: f64 = 11_000.0;

/// Kept clear of the jack's end at full depth, mm.
const MARGIN_MM: f64 = 150.0;
/// Taken by the grip that draws the stub, mm.
const GRIP_MM: f64 = 250.0;
/// Between saw and bearing plate, mm.
const SAW_STANDOFF_MM: f64 = 150.0;

pub(super) fn tendon(row: &Row) -> Tendon {
    let [Some(a), Some(b)] = [row.ends[0].1, row.ends[1].1].map(Kind::named) else {
        // A slip in the table; the tests would show an empty tendon.
        return Tendon::default();
    };
    let reserved = row.status == Status::Reserved;
    let points = points(row);
    let path = Path::through(&points);
    let developed = path.developed_m();
    let mut stressing = stressing(row);
    let forces = Forces::of(&path, &stressing);
    if let Some(forces) = &forces {
        state_forces(&mut stressing, forces, row.from);
    }
    let mut tendon = Tendon {
        mark: text(format!("{}L", row.pair)),
        spans: vec![Link::to(row.span)],
        web: text("left web"),
        side: Some(TendonSide::Left),
        twin: link(format!("{}R", row.pair)),
        order: Some(row.order),
        situation: Some(Situation::External),
        replaceable: Some(true),
        status: Some(row.status),
        strand: link(STRAND),
        strand_count: Some(STRAND_COUNT),
        strand_capacity: Some(STRAND_COUNT),
        duct: link(DUCT),
        filler: Some(row.filler),
        installation: Some(Installation::Push),
        deviators: deviators(row, &path, forces.as_ref()),
        stressing_steps: forces.as_ref().map_or_else(Vec::new, |forces| steps(row, forces)),
        replacement: one(replacement(row, forces.as_ref())),
        length_m: Some(rounded(developed, 3)),
        steel_mass_kg: Some(rounded(f64::from(STRAND_COUNT) * STRAND_MASS_KG_PER_M * developed, 1)),
        vibration_note: text(
            "First frequency of every free length stated against 2.5 Hz of the bridge: ratio above 3",
        ),
        ..Tendon::default()
    };
    tendon.ends = one(Ends {
        a: one(end(row, EndName::A, &a, &path)),
        b: one(end(row, EndName::B, &b, &path)),
        ..Ends::default()
    });
    if reserved {
        tendon.closures = text(
            "Gasketed plugs in the 4 forms and guide mouths of the pair; no duct, strand or filler in \
             place until the tendon is added",
        );
    } else {
        let forms = [row.bends[0].0, row.bends[1].0];
        let inlet = inlet_m(row);
        tendon.duct_joints = joints::joints(&path, [a.pipe_end_mm, b.pipe_end_mm], &forms);
        tendon.vents = vents(row, &path, [&a, &b]);
        tendon.fill = one(fill::fill(row.filler, developed, [&a, &b], BORE_MM, inlet));
        tendon.cuts = cuts::cuts(
            &path,
            forms,
            [&a, &b].map(|kind| EndCut {
                stub_cut_mm: kind.stub_cut_mm,
                heavy_piece_m: kind.heavy_piece_m,
            }),
        );
    }
    tendon.stressing = one(stressing);
    tendon.points = points;
    tendon
}

fn points(row: &Row) -> Vec<TendonPoint> {
    row.points
        .iter()
        .enumerate()
        .map(|(index, (station, lateral, elevation, place))| TendonPoint {
            id: text(match index {
                0 => "end a",
                3 => "end b",
                1 => "lower corner",
                _ => "upper corner",
            }),
            station_m: Some(*station),
            lateral_m: Some(*lateral),
            elevation_m: Some(*elevation),
            place: link(*place),
            radius_m: matches!(index, 1 | 2).then_some(AXIS_RADIUS_M),
            ..TendonPoint::default()
        })
        .collect()
}

fn end(row: &Row, name: EndName, kind: &Kind, path: &Path) -> End {
    let index = usize::from(name == EndName::B);
    let (face, anchorage, space): EndRow = row.ends[index];
    let (_, lateral, elevation, place) = row.points[index * 3];
    let leg = if index == 0 { path.legs.first() } else { path.legs.last() };
    let stressed = row.from == name;
    let [behind, up, down, left, right] = space;
    End {
        place: link(place),
        face: Some(face),
        kind: Some(if stressed { EndKind::Stressing } else { EndKind::Dead }),
        anchorage: link(anchorage),
        strand_count: Some(STRAND_COUNT),
        jack: if stressed { link(JACK) } else { None },
        tail_mm: Some(TAIL_MM),
        set_mm: stressed.then_some(SET_MM),
        pitch_rad: leg.map(|leg| rounded(leg.pitch_rad(), 4)),
        yaw_rad: leg.map(|leg| rounded(leg.yaw_rad(), 4)),
        out_of_square_rad: Some(0.0),
        edge_distance_mm: Some(edge_distance_mm(lateral, elevation)),
        stub_cut_mm: Some(kind.stub_cut_mm),
        stub_pulls: stub_pulls(kind, behind),
        straight_length_m: path.straight_m().map(|ends| rounded(ends[index], 3)),
        strand_equipment_room_mm: stressed.then_some(behind),
        release_restraint: text(format!(
            "Cap stays on; clamp and blanket 0.5 m from the {} face of {place}",
            // The restraint is on the span side of the diaphragm.
            if face == FaceName::Down { "up" } else { "down" },
        )),
        released_here: Some(false),
        removal_space: one(RemovalSpace {
            behind_mm: Some(behind),
            up_mm: Some(up),
            down_mm: Some(down),
            left_mm: Some(left),
            right_mm: Some(right),
            source: Some(SpaceSource::Designed),
            by: text("bridge office"),
            ..RemovalSpace::default()
        }),
        parts: if row.filler == Filler::Wax { waxed_parts() } else { Vec::new() },
        ..End::default()
    }
}

/// Where the cap is full of wax, wax and no grout holds what stands in it.
fn waxed_parts() -> Vec<Part> {
    ["cap", "wedge-plate"]
        .into_iter()
        .map(|id| Part { id: text(id), bond: Some(Bond::Wax), ..Part::default() })
        .collect()
}

/// Pulls by which the stub comes out (5): `n = 1 if L <= r, else ⌈(L − s)/(r − s)⌉`.
fn stub_pulls(kind: &Kind, behind_mm: f64) -> Option<u32> {
    let length = kind.rearmost_mm() - kind.stub_cut_mm;
    let room = behind_mm - MARGIN_MM - GRIP_MM;
    if length <= room {
        return Some(1);
    }
    let piece = room - SAW_STANDOFF_MM;
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a small positive whole number"
    )]
    (piece > 0.0).then(|| ((length - SAW_STANDOFF_MM) / piece).ceil() as u32)
}

fn deviators(row: &Row, path: &Path, forces: Option<&Forces>) -> Vec<Deviator> {
    row.bends
        .iter()
        .enumerate()
        .map(|(index, (place, pitch, yaw))| Deviator {
            place: link(*place),
            form: link(FORM),
            swing_room_up_mm: Some(SWING_MM),
            swing_room_down_mm: Some(SWING_MM),
            angle_rad: path.bends.get(index).map(|bend| rounded(bend.angle_rad, 5)),
            force_kn: forces
                .and_then(|forces| forces.deviation_magnitude_kn(index))
                .map(|force| rounded(force, 0)),
            pitch_rad: Some(*pitch),
            yaw_rad: Some(*yaw),
            ..Deviator::default()
        })
        .collect()
}

fn stressing(row: &Row) -> Stressing {
    Stressing {
        from: Some(match row.from {
            EndName::A => StressingFrom::A,
            EndName::B => StressingFrom::B,
        }),
        jacking_force_kn: Some(row.jacking_kn),
        jacking_share: Some(rounded(row.jacking_kn * 1000.0 / steel_mm2() / FPU_MPA, 4)),
        mu: Some(MU),
        wobble_per_m: Some(0.0),
        inadvertent_angle_rad: Some(INADVERTENT_RAD),
        surface: text("strand on smooth polyethylene, dry"),
        set_mm: Some(SET_MM),
        dead_end_seating_mm: Some(SEATING_MM),
        baseline_force_kn: Some(rounded(BASELINE * row.jacking_kn, 1)),
        ..Stressing::default()
    }
}

fn state_forces(stressing: &mut Stressing, forces: &Forces, from: EndName) {
    let elongation = Some(rounded(forces.elongation_mm, 1));
    match from {
        EndName::A => stressing.elongation_a_mm = elongation,
        EndName::B => stressing.elongation_b_mm = elongation,
    }
    stressing.seated_force_a_kn = forces.after_kn.first().map(|force| rounded(*force, 0));
    stressing.seated_force_b_kn = forces.after_kn.last().map(|force| rounded(*force, 0));
}

/// The stressing table (9): elongation at the jack, tail included, in proportion to the force.
fn steps(row: &Row, forces: &Forces) -> Vec<StressingStep> {
    STEPS
        .into_iter()
        .zip(1..)
        .map(|(share, step)| StressingStep {
            end: Some(row.from),
            step: Some(step),
            share: Some(share),
            force_kn: Some(rounded(share * row.jacking_kn, 1)),
            gauge_mpa: gauge_mpa(share * row.jacking_kn).map(|gauge| rounded(gauge, 2)),
            elongation_mm: Some(rounded(share * (forces.elongation_mm + forces.tail_mm), 1)),
            ..StressingStep::default()
        })
        .collect()
}

fn replacement(row: &Row, forces: Option<&Forces>) -> Replacement {
    let seated = forces.and_then(|forces| match row.from {
        EndName::A => forces.after_kn.first(),
        EndName::B => forces.after_kn.last(),
    });
    let window = if row.filler == Filler::Wax {
        "Window opened by hand saw, no hot work"
    } else {
        "Window opened between two clamps, grout removed by hand tools"
    };
    Replacement {
        release: Some(Release::StrandByStrandInFreeLength),
        unbonded: Some(true),
        restraints: text(format!(
            "{window}; clamps and blankets 0.5 m each side of it and at both faces of {}, {}, {} and \
             {}; caps on, nobody behind them; hold points after 5, 10 and 15 strands",
            row.bends[0].0, row.bends[1].0, row.points[0].3, row.points[3].3,
        )),
        target_force_kn: Some(row.jacking_kn),
        target_seated_force_kn: seated.map(|force| rounded(*force, 0)),
        piece_length_mm: Some(2000.0),
        piece_mass_limit_kg: Some(80.0),
        order: Some(row.order),
        others_out: Some(0),
        ..Replacement::default()
    }
}

/// The middle of the low stretch.
fn inlet_m(row: &Row) -> f64 {
    (row.points[1].0 + row.points[2].0) / 2.0
}

/// From a cap's face to its tubes, m.
const INTO_CAP_M: f64 = 0.1;
/// From the end of an anchorage's joint to the vent on the duct, m.
const VENT_FROM_JOINT_M: f64 = 0.2;

/// Inlet at the low stretch, vents at the upper ends of the inclined legs and on the caps, a drain on the
/// low side of the dead end's cap.
fn vents(row: &Row, path: &Path, kinds: [&Kind; 2]) -> Vec<Vent> {
    let vent = |id: &str, kind, station: f64, fixed_on: &str| Vent {
        id: text(id),
        kind: Some(kind),
        station_m: Some(rounded(station, 2)),
        inner_mm: Some(25.0),
        fixed_on: text(fixed_on),
        ..Vent::default()
    };
    let caps = [row.points[0].0 - INTO_CAP_M, row.points[3].0 + INTO_CAP_M];
    let dead = caps[usize::from(row.from == EndName::A)];
    let length: f64 = path.legs.iter().map(|leg| leg.length_m).sum();
    let ducts = [
        path.station_m(-kinds[0].joint_end_mm / 1000.0 + VENT_FROM_JOINT_M),
        path.station_m(length + kinds[1].joint_end_mm / 1000.0 - VENT_FROM_JOINT_M),
    ];
    let mut vents = vec![vent("IN", VentKind::Inlet, inlet_m(row), "duct")];
    for (id, station) in ["VA", "VB"].into_iter().zip(ducts) {
        vents.extend(station.map(|station| vent(id, VentKind::Vent, station, "duct")));
    }
    vents.push(vent("CA", VentKind::Vent, caps[0], "cap"));
    vents.push(vent("CB", VentKind::Vent, caps[1], "cap"));
    vents.push(vent("DR", VentKind::Drain, dead, "cap"));
    vents
}
