//! The anchorages and their parts (1.4).
//!
//! Type K has a cast cone with a removable cone inside, type S a cast straight pipe with a removable pipe;
//! the number is the diaphragm's thickness in decimetres.

use restrand_model::reflect::Link;
use restrand_model::schedule::{Anchorage, Bond, CapKind, Exit, Part, Permanence, Role};

use super::fill;
use super::make::{rounded, text};
use super::materials::{JACK, STRAND_COUNT};

/// Outer diameter of every wedge plate, mm.
pub(super) const WEDGE_PLATE_OUTER_MM: f64 = 270.0;
/// Thickness of every wedge plate, mm.
pub(super) const WEDGE_PLATE_MM: f64 = 75.0;
/// Strand tail left behind the wedge plate, mm.
pub(super) const TAIL_MM: f64 = 40.0;

/// What differs from type to type, for the anchorages and for what is planned at the ends.
#[derive(Debug, Clone, Copy)]
pub(super) struct Kind {
    pub(super) id: &'static str,
    /// Length of the cap from the bearing plate's face, mm.
    pub(super) cap_mm: f64,
    /// Inner diameter of the cap, mm.
    pub(super) cap_inner_mm: f64,
    /// Thickness of a shim plate of 310 mm below the wedge plate, mm.
    pub(super) shim_mm: f64,
    /// Where the stub is cut on the span side, mm on the anchorage's axis.
    pub(super) stub_cut_mm: f64,
    /// Where the anchorage's own pipe ends and the duct begins, mm on its axis.
    pub(super) pipe_end_mm: f64,
    /// Where joint or sleeve on that pipe ends, mm on its axis.
    pub(super) joint_end_mm: f64,
    /// Length of tendon beyond the stub that holds pipe and sleeve and is kept in one piece, m.
    pub(super) heavy_piece_m: f64,
    composition: Composition,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Composition {
    ConeInCone,
    PipeInPipe,
}

const K_13: Kind = Kind {
    id: "K-13",
    cap_mm: 190.0,
    cap_inner_mm: 300.0,
    shim_mm: 0.0,
    stub_cut_mm: -1480.0,
    pipe_end_mm: -1600.0,
    joint_end_mm: -1660.0,
    heavy_piece_m: 0.0,
    composition: Composition::ConeInCone,
};

const K_20: Kind =
    Kind { id: "K-20", stub_cut_mm: -2180.0, pipe_end_mm: -2300.0, joint_end_mm: -2360.0, ..K_13 };

const S_20: Kind = Kind {
    id: "S-20",
    cap_mm: 240.0,
    cap_inner_mm: 316.0,
    shim_mm: 50.0,
    stub_cut_mm: -2180.0,
    pipe_end_mm: -2300.0,
    joint_end_mm: -2650.0,
    heavy_piece_m: 1.5,
    composition: Composition::PipeInPipe,
};

impl Kind {
    /// The type of this name.
    pub(super) fn named(id: &str) -> Option<Self> {
        [K_13, K_20, S_20].into_iter().find(|kind| kind.id == id)
    }

    /// From the bearing plate's face to the end of the tails, mm.
    pub(super) fn rearmost_mm(&self) -> f64 {
        self.shim_mm + WEDGE_PLATE_MM + TAIL_MM
    }

    pub(super) fn has_cone(&self) -> bool {
        self.composition == Composition::ConeInCone
    }
}

pub(super) fn anchorages() -> Vec<Anchorage> {
    vec![
        anchorage(&K_13, "Cone in a cast cone, for a diaphragm of 1.3 m", cone_in_cone(&SHORT)),
        anchorage(&K_20, "Cone in a cast cone, for a diaphragm of 2.0 m", cone_in_cone(&LONG)),
        anchorage(&S_20, "Pipe in a cast pipe, for a diaphragm of 2.0 m", pipe_in_pipe()),
    ]
}

fn anchorage(kind: &Kind, description: &str, parts: Vec<Part>) -> Anchorage {
    let cone = kind.has_cone();
    Anchorage {
        id: text(kind.id),
        description: text(description),
        strand_counts: vec![STRAND_COUNT],
        wedge_plate_outer_mm: Some(WEDGE_PLATE_OUTER_MM),
        wedge_plate_thickness_mm: Some(WEDGE_PLATE_MM),
        wedge_plate_holes: Some(STRAND_COUNT),
        hole_circle_mm: Some(140.0),
        bearing_bore_mm: Some(200.0),
        // K: (270 - 200)/2 under the wedge plate. S: (310 - 200)/2 under the shim plate.
        bearing_ledge_mm: Some(if cone { 35.0 } else { 55.0 }),
        allowed_ring_pressure_mpa: Some(280.0),
        cap_length_mm: Some(kind.cap_mm),
        cap_outer_mm: Some(if cone { 325.0 } else { 340.0 }),
        cap_kind: Some(CapKind::Filled),
        bolt_circle_mm: Some(if cone { 348.0 } else { 370.0 }),
        recess_depth_mm: Some(0.0),
        edge_distance_mm: Some(280.0),
        centre_distance_mm: Some(410.0),
        jacks: vec![Link::to(JACK)],
        restressable: Some(false),
        // K: to the end of the cone, 115 + 600. S: to the end of the ring, 165 + 12.
        whole_length_mm: Some(kind.rearmost_mm() + if cone { 600.0 } else { 12.0 }),
        filler_volume_l: Some(rounded(fill::beyond_duct_l(kind), 1)),
        parts,
        ..Anchorage::default()
    }
}

/// What a part touches that could hold it.
#[derive(Debug, Clone, Copy)]
enum Touch {
    /// The concrete it is cast in.
    Concrete,
    /// The bearing plate, greased before the cap is filled, so that the grout on it lets go.
    CapGrease,
    /// Filler inside only.
    Nothing,
}

/// A row of the sheet's tables. Diameters: rear, then span.
struct Row {
    id: &'static str,
    role: Role,
    axis: [f64; 2],
    outer: [f64; 2],
    /// Zero where it is solid.
    inner: [f64; 2],
    /// Tolerance, ovality, seam.
    play: [f64; 3],
    mass_kg: f64,
    inside: Option<&'static str>,
    touch: Touch,
    exit: Option<Exit>,
    material: &'static str,
}

const STEEL: &str = "steel";
const GALVANISED: &str = "mild steel, galvanised";
const POLYETHYLENE: &str = "polyethylene";
const RUBBER: &str = "rubber";

fn part(row: Row) -> Part {
    let permanent = matches!(row.touch, Touch::Concrete);
    let (bonded_to, bond, bond_accessible) = match row.touch {
        Touch::Concrete => ("concrete", Bond::Concrete, Some(false)),
        Touch::CapGrease => ("bearing-plate", Bond::Wax, Some(true)),
        Touch::Nothing => ("none", Bond::None, None),
    };
    Part {
        id: text(row.id),
        role: Some(row.role),
        permanence: Some(if permanent { Permanence::Permanent } else { Permanence::Replaceable }),
        rear_outer_mm: Some(row.outer[0]),
        rear_inner_mm: Some(row.inner[0]),
        span_outer_mm: Some(row.outer[1]),
        span_inner_mm: Some(row.inner[1]),
        tolerance_mm: Some(row.play[0]),
        ovality_mm: Some(row.play[1]),
        seam_mm: Some(row.play[2]),
        from_mm: Some(row.axis[0]),
        to_mm: Some(row.axis[1]),
        mass_kg: Some(row.mass_kg),
        split: Some(false),
        material: text(row.material),
        inside: row.inside.map(Into::into),
        bonded_to: text(bonded_to),
        bond: Some(bond),
        bond_accessible,
        exit: row.exit,
        ..Part::default()
    }
}

/// Cap, wedges, wedge plate and gasket, which both types have alike but for sizes.
fn rear_parts(kind: &Kind) -> Vec<Part> {
    let cone = kind.has_cone();
    let plate_from = kind.shim_mm;
    let mut cap = part(Row {
        id: "cap",
        role: Role::Cap,
        axis: [8.0, kind.cap_mm],
        outer: if cone { [325.0; 2] } else { [340.0; 2] },
        inner: [kind.cap_inner_mm; 2],
        play: [1.0, 0.0, 0.0],
        mass_kg: if cone { 26.0 } else { 31.0 },
        inside: Some("bearing-plate"),
        touch: Touch::CapGrease,
        exit: Some(Exit::Rear),
        material: STEEL,
    });
    cap.greatest_outer_mm = Some(if cone { 370.0 } else { 395.0 });
    cap.greatest_outer_at_mm = Some(8.0);
    cap.seal = text("gasket");
    let mut wedges = part(Row {
        id: "wedges",
        role: Role::Wedges,
        axis: [plate_from + 40.0, plate_from + 80.0],
        outer: [30.0; 2],
        // Three segments close on the strand.
        inner: [15.7; 2],
        play: [0.1, 0.0, 0.0],
        mass_kg: 5.0,
        inside: Some("wedge-plate"),
        touch: Touch::Nothing,
        exit: Some(Exit::Rear),
        material: STEEL,
    });
    wedges.split = Some(true);
    let wedge_plate = part(Row {
        id: "wedge-plate",
        role: Role::WedgePlate,
        axis: [plate_from, plate_from + WEDGE_PLATE_MM],
        outer: [WEDGE_PLATE_OUTER_MM; 2],
        inner: [0.0; 2],
        play: [0.5, 0.0, 0.0],
        mass_kg: 28.0,
        inside: Some(if cone { "bearing-plate" } else { "shim-plate" }),
        touch: Touch::CapGrease,
        exit: Some(Exit::Rear),
        material: STEEL,
    });
    let gasket = part(Row {
        id: "cap-gasket",
        role: Role::Seal,
        axis: [0.0, 8.0],
        outer: if cone { [340.0; 2] } else { [360.0; 2] },
        inner: if cone { [305.0; 2] } else { [325.0; 2] },
        play: [1.0, 0.0, 0.0],
        mass_kg: 1.0,
        inside: Some("cap"),
        touch: Touch::Nothing,
        exit: Some(Exit::StrippedInPlace),
        material: RUBBER,
    });
    vec![cap, wedges, wedge_plate, gasket]
}

fn bearing_plate(outer: f64, mass_kg: f64) -> Part {
    part(Row {
        id: "bearing-plate",
        role: Role::BearingPlate,
        axis: [-60.0, 0.0],
        outer: [outer; 2],
        inner: [200.0; 2],
        play: [0.5, 0.0, 0.0],
        mass_kg,
        inside: None,
        touch: Touch::Concrete,
        exit: None,
        material: GALVANISED,
    })
}

/// The boot over the mouth of the cast pipe.
fn mouth_boot(axis: [f64; 2], outer: [f64; 2], inner: [f64; 2], inside: &'static str) -> Part {
    let mut boot = part(Row {
        id: "mouth-boot",
        role: Role::Seal,
        axis,
        outer,
        inner,
        play: [2.0, 0.0, 0.0],
        mass_kg: 2.0,
        inside: Some(inside),
        touch: Touch::Nothing,
        exit: Some(Exit::StrippedInPlace),
        material: RUBBER,
    });
    boot.split = Some(true);
    boot.seal = text("clamped boot with a drain hole at its lowest point");
    boot.drains_annulus = Some(true);
    boot
}

/// Lengths of type K that go with the diaphragm.
struct Cast {
    kind: Kind,
    guide_end_mm: f64,
    guide_mass_kg: f64,
    pipe_mass_kg: f64,
}

const SHORT: Cast =
    Cast { kind: K_13, guide_end_mm: -1340.0, guide_mass_kg: 22.0, pipe_mass_kg: 3.0 };
const LONG: Cast =
    Cast { kind: K_20, guide_end_mm: -2040.0, guide_mass_kg: 45.0, pipe_mass_kg: 4.0 };

fn cone_in_cone(cast: &Cast) -> Vec<Part> {
    let mouth = cast.guide_end_mm;
    let mut parts = rear_parts(&cast.kind);
    parts.push(bearing_plate(380.0, 39.0));
    parts.extend(
        [
            Row {
                id: "outer-cone",
                role: Role::AnchorageForm,
                axis: [-660.0, -60.0],
                outer: [212.0, 192.0],
                inner: [200.0, 180.0],
                play: [1.0, 1.0, 1.5],
                mass_kg: 17.0,
                inside: None,
                touch: Touch::Concrete,
                exit: None,
                material: GALVANISED,
            },
            Row {
                id: "guide-pipe",
                role: Role::GuidePipe,
                axis: [mouth, -660.0],
                outer: [194.0; 2],
                inner: [180.0; 2],
                play: [1.0, 1.0, 1.5],
                mass_kg: cast.guide_mass_kg,
                inside: None,
                touch: Touch::Concrete,
                exit: None,
                material: GALVANISED,
            },
            Row {
                id: "inner-cone",
                role: Role::InnerTrumpet,
                axis: [-600.0, 0.0],
                outer: [180.0, 125.0],
                inner: [168.0, 110.2],
                play: [0.5, 1.0, 0.0],
                mass_kg: 2.0,
                inside: Some("outer-cone"),
                touch: Touch::Nothing,
                exit: Some(Exit::Rear),
                material: POLYETHYLENE,
            },
            Row {
                id: "trumpet-ring",
                role: Role::Seal,
                axis: [-12.0, 0.0],
                outer: [168.0; 2],
                inner: [160.0; 2],
                play: [0.5, 0.0, 0.0],
                mass_kg: 0.3,
                inside: Some("inner-cone"),
                touch: Touch::Nothing,
                exit: Some(Exit::Rear),
                material: POLYETHYLENE,
            },
            Row {
                id: "anchorage-pipe",
                role: Role::AnchoragePipe,
                axis: [cast.kind.pipe_end_mm, -600.0],
                outer: [125.0; 2],
                inner: [110.2; 2],
                play: [0.5, 2.0, 0.0],
                mass_kg: cast.pipe_mass_kg,
                inside: Some("guide-pipe"),
                touch: Touch::Nothing,
                exit: Some(Exit::Rear),
                material: POLYETHYLENE,
            },
        ]
        .map(part),
    );
    parts.push(mouth_boot(
        [mouth - 80.0, mouth + 40.0],
        [210.0, 145.0],
        [194.0, 125.0],
        "guide-pipe",
    ));
    parts.push(part(Row {
        id: "duct-joint",
        role: Role::DuctJoint,
        axis: [cast.kind.joint_end_mm, cast.kind.joint_end_mm + 120.0],
        outer: [150.0; 2],
        inner: [125.0; 2],
        play: [1.0, 1.0, 0.0],
        mass_kg: 2.0,
        inside: None,
        touch: Touch::Nothing,
        exit: Some(Exit::StrippedInPlace),
        material: POLYETHYLENE,
    }));
    parts
}

fn pipe_in_pipe() -> Vec<Part> {
    let mut parts = rear_parts(&S_20);
    parts.insert(
        3,
        part(Row {
            id: "shim-plate",
            role: Role::ShimPlate,
            axis: [0.0, 50.0],
            outer: [310.0; 2],
            inner: [165.0; 2],
            play: [0.5, 0.0, 0.0],
            mass_kg: 21.0,
            inside: Some("bearing-plate"),
            touch: Touch::CapGrease,
            exit: Some(Exit::Rear),
            material: STEEL,
        }),
    );
    parts.push(bearing_plate(400.0, 44.0));
    parts.extend(
        [
            Row {
                id: "straight-pipe",
                role: Role::GuidePipe,
                axis: [-2040.0, -60.0],
                outer: [246.0; 2],
                inner: [230.0; 2],
                play: [1.0, 1.0, 1.5],
                mass_kg: 93.0,
                inside: None,
                touch: Touch::Concrete,
                exit: None,
                material: GALVANISED,
            },
            Row {
                id: "pipe-ring",
                role: Role::Seal,
                axis: [-12.0, 0.0],
                outer: [170.0; 2],
                inner: [158.0; 2],
                play: [0.5, 0.0, 0.0],
                mass_kg: 0.3,
                inside: Some("inner-pipe"),
                touch: Touch::Nothing,
                exit: Some(Exit::Rear),
                material: POLYETHYLENE,
            },
            Row {
                id: "inner-pipe",
                role: Role::AnchoragePipe,
                axis: [-2300.0, -12.0],
                outer: [170.0; 2],
                inner: [158.0; 2],
                play: [0.5, 1.0, 0.0],
                mass_kg: 7.0,
                inside: Some("straight-pipe"),
                touch: Touch::Nothing,
                exit: Some(Exit::Rear),
                material: POLYETHYLENE,
            },
        ]
        .map(part),
    );
    parts.push(mouth_boot([-2120.0, -2000.0], [262.0, 190.0], [246.0, 170.0], "straight-pipe"));
    parts.push(part(Row {
        id: "reducing-sleeve",
        role: Role::DuctJoint,
        axis: [-2650.0, -2240.0],
        outer: [186.0, 141.0],
        inner: [170.0, 110.2],
        play: [1.0, 1.0, 0.0],
        mass_kg: 4.0,
        inside: Some("inner-pipe"),
        touch: Touch::Nothing,
        exit: Some(Exit::Span),
        material: POLYETHYLENE,
    }));
    parts
}
