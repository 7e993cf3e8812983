//! The bodies at an end: the clear room as stated, the stub as it sits, and the stated jack in all its cases.

use restrand_kit::layout::{Body, BodyKind, Frame, Layout, Solid};
use restrand_mechanics::{SMALLEST, room};
use restrand_model::schedule::{EndKind, JackKind};
use restrand_rules::ends::{EndAxis, JackBody, beside};
use restrand_rules::works::planned_stub;
use restrand_rules::{Context, EndAt, TendonAt};

use super::{Takes, cross, direction, dot};

/// Lays out what stands and moves at an end, in the axes of its anchorage.
pub(super) fn at_end(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    end: &EndAt<'_>,
    axis: &EndAxis,
    frame: Frame,
    layout: &mut Layout,
) {
    if end.end.kind == Some(EndKind::Embedded) {
        return;
    }
    // The second of the body's own axes points to the left at one end of a tendon and to the right at the other.
    let left = dot(cross(frame.up, frame.along), direction(axis.left)).signum();
    let mut take = |kind, what, solids: Result<Vec<Solid>, &'static str>| match solids {
        Ok(solids) => layout.bodies.push(Body { route: end.route.clone(), kind, frame, solids }),
        Err(field) => layout.lacks(end.route.clone(), what, field),
    };
    take(BodyKind::RemovalSpace, "clear room", removal_space(end, left));
    if !at.stays() {
        take(BodyKind::Stub, "stub", stub(context, at, end));
    }
    if end.end.jack.is_some() || end.end.kind == Some(EndKind::Stressing) {
        take(BodyKind::Jack, "jack", jack(context, at, end, left));
    }
}

fn removal_space(end: &EndAt<'_>, left: f64) -> Result<Vec<Solid>, &'static str> {
    let space = end.end.removal_space.as_deref().ok_or("end.removal_space")?;
    let behind_mm = space.behind_mm.ok_or("removal_space.behind_mm")?;
    let up_mm = space.up_mm.ok_or("removal_space.up_mm")?;
    let down_mm = space.down_mm.ok_or("removal_space.down_mm")?;
    let left_mm = space.left_mm.ok_or("removal_space.left_mm")?;
    let right_mm = space.right_mm.ok_or("removal_space.right_mm")?;
    let (low_mm, high_mm) = if left > 0.0 { (-right_mm, left_mm) } else { (-left_mm, right_mm) };
    let sizes = [
        (behind_mm, "removal_space.behind_mm"),
        (up_mm + down_mm, "removal_space.up_mm"),
        (left_mm + right_mm, "removal_space.left_mm"),
    ];
    // A room without a size is stated and has no body.
    if let Some((_, field)) = sizes.iter().find(|(size_mm, _)| *size_mm <= 0.0) {
        return Err(field);
    }
    let low_mm = [0.0, low_mm, -down_mm];
    Ok(vec![Solid::Box { low_mm, high_mm: [behind_mm, high_mm, up_mm] }])
}

fn stub(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    end: &EndAt<'_>,
) -> Result<Vec<Solid>, &'static str> {
    let stub = planned_stub(context, at, end)?;
    if stub.radius_mm <= SMALLEST {
        return Err("part.rear_outer_mm");
    }
    let (from_mm, to_mm) = (stub.cut_mm, stub.rearmost_mm);
    Ok(vec![Solid::Cylinder { from_mm, to_mm, radius_mm: stub.radius_mm }])
}

fn jack(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    end: &EndAt<'_>,
    left: f64,
) -> Result<Vec<Solid>, &'static str> {
    let jack = context.jack(end.end.jack.as_ref()).ok_or("end.jack")?.record;
    let needs = context.jack_needs(at, end)?;
    // How far it comes out is a part of its room: half of it would look like all of it.
    needs.stroke?;
    let anchorage = context.anchorage(end.end).map(|found| found.record);
    let body = JackBody::of(jack, anchorage)?;
    let stretches = body.stretches(needs.head_rear_mm, needs.most_mm());
    let mut solids: Vec<_> = stretches
        .iter()
        .map(|one| Solid::Cylinder {
            from_mm: one.from_mm,
            to_mm: one.to_mm,
            radius_mm: one.radius_mm,
        })
        .collect();
    let hoses = body.hoses.and_then(|(side, hose_mm)| Some((beside(side)?, hose_mm)));
    if let (Some((side, hose_mm)), Some(barrel)) = (hoses, stretches.last())
        && hose_mm > 0.0
        && jack.kind != Some(JackKind::SingleStrand)
    {
        let radius_mm = barrel.radius_mm;
        let (mut low_mm, mut high_mm) =
            ([barrel.from_mm, -radius_mm, -radius_mm], [barrel.to_mm, radius_mm, radius_mm]);
        let (index, sign) = match side {
            room::Side::Up => (2, 1.0),
            room::Side::Down => (2, -1.0),
            room::Side::Left => (1, left),
            room::Side::Right => (1, -left),
        };
        (low_mm[index], high_mm[index]) =
            if sign > 0.0 { (0.0, radius_mm + hose_mm) } else { (-radius_mm - hose_mm, 0.0) };
        solids.push(Solid::Box { low_mm, high_mm });
    }
    Ok(solids)
}
