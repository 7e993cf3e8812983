//! What lies in the deviators is drawn out of their forms.

use restrand_mechanics::removal::piece_mass_kg;
use restrand_rules::DeviatorSpot;

use crate::cuts::Between;
use crate::plan::{Blocked, Cell, Column, Step, Table};
use crate::tendon::Known;

pub(super) fn write(known: &Known<'_>, step: &mut Step, _: &mut Vec<Blocked>) {
    let Some(plan) = step.known(
        known.cuts.as_ref().map_err(|field| *field),
        None,
        "what is left in the deviators",
    ) else {
        return;
    };
    let laid = known.context.path(known.at).ok();
    let mut rows = Vec::new();
    for out in &plan.outs {
        let Between::Stub(held) = &out.between else { continue };
        let mass_kg = known
            .mass
            .as_ref()
            .ok()
            .and_then(|mass| piece_mass_kg(mass.total_kg_per_m, out.length_m(), 0.0).ok());
        let bend_rad =
            held.deviator.zip(laid).and_then(|(index, laid)| match laid.deviators.get(index)? {
                DeviatorSpot::Corner(bend) => laid.path.bends.get(*bend).map(|bend| bend.angle_rad),
                _ => None,
            });
        let swing_mm = held
            .deviator
            .and_then(|index| known.tendon.deviators.get(index))
            .map(|deviator| [deviator.swing_room_down_mm, deviator.swing_room_up_mm]);
        if let Some([None, _] | [_, None]) = swing_mm {
            step.lacks(
                "deviator.swing_room_up_mm",
                Some(held.place.clone()),
                "room to turn the bent piece beside the form",
            );
        }
        let [down_mm, up_mm] = swing_mm.unwrap_or([None; 2]);
        rows.push(vec![
            Cell::from(held.place.as_str()),
            Cell::from(out.length_m()),
            Cell::from(mass_kg),
            bend_rad.map_or(Cell::Blank, Cell::Number),
            Cell::from(down_mm),
            Cell::from(up_mm),
        ]);
        if let Some(index) = held.deviator {
            step.rests_on(known.at.route.field("deviators").item(index));
        }
    }
    if rows.is_empty() {
        step.say("The tendon passes no deviator");
        return;
    }
    step.say("Mouth seals and boots are stripped in place; each stub is bent and stiff: it is drawn towards the side with more room, in line with the form's axis, and turned as it leaves");
    step.tables.push(Table {
        title: "Stubs in the deviators".to_owned(),
        columns: vec![
            Column { name: "place", digits: 0 },
            Column { name: "length_m", digits: 3 },
            Column { name: "mass_kg", digits: 0 },
            Column { name: "bend_rad", digits: 4 },
            Column { name: "room_down_station_mm", digits: 0 },
            Column { name: "room_up_station_mm", digits: 0 },
        ],
        rows,
    });
    step.hold(
        "If a stub jams it is cut again close to both faces; nothing is driven out against a form",
    );
    step.beware("The forms stay: no saw, bar or wedge touches their bore");
}
