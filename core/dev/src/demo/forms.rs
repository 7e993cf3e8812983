//! The deviator form (1.5): flared to both sides with a wall radius of 4 m.

use restrand_model::schedule::{Bond, Exit, Form, FormKind, Part, Permanence, Role};

use super::make::text;

pub(super) const FORM: &str = "F-150";

pub(super) fn forms() -> Vec<Form> {
    vec![Form {
        id: text(FORM),
        kind: Some(FormKind::Flared),
        throat_mm: Some(150.0),
        // 2 · (500 − 4000 · sin 0.12)
        throat_length_mm: Some(42.3),
        exit_rear_mm: Some(207.5),
        exit_span_mm: Some(207.5),
        wall_radius_mm: Some(WALL_RADIUS_MM),
        flare_rad: Some(0.12),
        length_mm: Some(1000.0),
        angle_tolerance_rad: Some(0.02),
        tolerance_mm: Some(1.0),
        ovality_mm: Some(1.0),
        seam_mm: Some(1.5),
        parts: parts(),
        ..Form::default()
    }]
}

const WALL_RADIUS_MM: f64 = 4000.0;

/// Name, from, to, outer and inner at the rear end, the same at the span end, mass.
type Cast = (&'static str, [f64; 2], [f64; 2], [f64; 2], f64);

const CAST: [Cast; 3] = [
    ("rear-flare", [-500.0, -21.0], [219.5, 207.5], [162.0, 150.0], 13.0),
    ("throat", [-21.0, 21.0], [162.0, 150.0], [162.0, 150.0], 1.0),
    ("span-flare", [21.0, 500.0], [162.0, 150.0], [219.5, 207.5], 13.0),
];

/// Name, from, to, and the part at whose mouth it is.
const SEALS: [(&str, [f64; 2], &str); 2] = [
    ("mouth-seal-rear", [-540.0, -500.0], "rear-flare"),
    ("mouth-seal-span", [500.0, 540.0], "span-flare"),
];

fn parts() -> Vec<Part> {
    let cast = CAST.into_iter().map(|(id, [from, to], rear, span, mass)| Part {
        id: text(id),
        role: Some(Role::DeviatorForm),
        permanence: Some(Permanence::Permanent),
        rear_outer_mm: Some(rear[0]),
        rear_inner_mm: Some(rear[1]),
        span_outer_mm: Some(span[0]),
        span_inner_mm: Some(span[1]),
        tolerance_mm: Some(1.0),
        ovality_mm: Some(1.0),
        seam_mm: Some(1.5),
        from_mm: Some(from),
        to_mm: Some(to),
        // The throat is straight.
        wall_radius_mm: (id != "throat").then_some(WALL_RADIUS_MM),
        mass_kg: Some(mass),
        split: Some(false),
        material: text("mild steel, galvanised"),
        bonded_to: text("concrete"),
        bond: Some(Bond::Concrete),
        bond_accessible: Some(false),
        ..Part::default()
    });
    let seals = SEALS.into_iter().map(|(id, [from, to], mouth)| Part {
        id: text(id),
        role: Some(Role::Seal),
        permanence: Some(Permanence::Replaceable),
        rear_outer_mm: Some(216.0),
        rear_inner_mm: Some(125.0),
        span_outer_mm: Some(216.0),
        span_inner_mm: Some(125.0),
        tolerance_mm: Some(2.0),
        ovality_mm: Some(0.0),
        seam_mm: Some(0.0),
        from_mm: Some(from),
        to_mm: Some(to),
        mass_kg: Some(0.5),
        split: Some(false),
        material: text("rubber"),
        seal: text("ring, open at the low side"),
        drains_annulus: Some(true),
        inside: text(mouth),
        bonded_to: text("none"),
        bond: Some(Bond::None),
        exit: Some(Exit::StrippedInPlace),
        ..Part::default()
    });
    let duct = Part {
        id: text("duct"),
        role: Some(Role::Duct),
        permanence: Some(Permanence::Replaceable),
        rear_outer_mm: Some(125.0),
        rear_inner_mm: Some(110.2),
        span_outer_mm: Some(125.0),
        span_inner_mm: Some(110.2),
        tolerance_mm: Some(0.5),
        ovality_mm: Some(2.0),
        seam_mm: Some(0.0),
        from_mm: Some(-700.0),
        to_mm: Some(700.0),
        mass_kg: Some(3.6),
        split: Some(false),
        material: text("polyethylene"),
        inside: text("throat"),
        bonded_to: text("none"),
        bond: Some(Bond::None),
        // It may leave either way; one has to be planned.
        exit: Some(Exit::Span),
        ..Part::default()
    };
    cast.chain(seals).chain([duct]).collect()
}
