//! Parts whose numbers cannot be right: they are told once, and then left out.

use restrand_finding::{Fact, Finding, Kind, Outcomes};
use restrand_mechanics::Misfit;
use restrand_model::reflect::FieldInfo;
use restrand_model::schedule::{Part, Permanence, Role};

use super::passing::{bores_of, fault};
use super::{RULE, states_shape};
use crate::assembly::{Assembly, call};
use crate::context::Context;

/// Tells them.
pub(super) fn check(context: &Context<'_>, assembly: &Assembly<'_>, outcomes: &mut Outcomes) {
    for resolved in assembly.parts.iter().filter(|part| part.part.role != Some(Role::Tube)) {
        if !states_shape(context, assembly, resolved) {
            continue;
        }
        let part = resolved.part.as_ref();
        let misfit = match part.permanence {
            Some(Permanence::Replaceable) => {
                assembly.axis.body(part).ok().and_then(|body| fault(&[body], &[]))
            }
            Some(Permanence::Permanent) => bores_of(assembly, part).ok().and_then(Result::err),
            None => None,
        };
        let Some(misfit) = misfit else { continue };
        let (_, field) = field(&misfit).rsplit_once('.').unwrap_or(("", "from_mm"));
        let label = Part::INFO.field(field).map_or_else(String::new, FieldInfo::label);
        let finding = Finding::new(
            RULE.id,
            Kind::Inconsistent,
            context.value_of(&resolved.route, field),
            "{part} of {owner} cannot be as stated: {field} does not go with its other numbers",
        )
        .help("Correct the number, or its sign; the positions of a part enclose that of its greatest diameter, and a wall's radius reaches over its length")
        .fact(Fact::text("part", call(part)))
        .fact(Fact::text("owner", assembly.name.as_str()))
        .fact(Fact::text("field", label));
        outcomes.found(finding);
    }
}

/// The field of the part whose number cannot be right.
fn field(misfit: &Misfit) -> &'static str {
    let name = match misfit {
        Misfit::NotFinite { argument, .. }
        | Misfit::NotPositive { argument, .. }
        | Misfit::Negative { argument, .. }
        | Misfit::TooLarge { argument, .. }
        | Misfit::NotAbove { argument, .. }
        | Misfit::NotBelow { argument, .. }
        | Misfit::NotWithin { argument, .. } => argument.name,
        _ => "",
    };
    part_field(name)
}

/// The field of a part that an argument of the mechanics is.
fn part_field(name: &str) -> &'static str {
    match name {
        "to_mm" => "part.to_mm",
        "rear_outer_mm" => "part.rear_outer_mm",
        "span_outer_mm" => "part.span_outer_mm",
        "greatest_outer_mm" => "part.greatest_outer_mm",
        "greatest_outer_at_mm" => "part.greatest_outer_at_mm",
        "tolerance_mm" => "part.tolerance_mm",
        "ovality_mm" => "part.ovality_mm",
        "rear_inner_mm" => "part.rear_inner_mm",
        "span_inner_mm" => "part.span_inner_mm",
        "seam_mm" => "part.seam_mm",
        "wall_radius_mm" => "part.wall_radius_mm",
        _ => "part.from_mm",
    }
}

#[cfg(test)]
mod tests;
