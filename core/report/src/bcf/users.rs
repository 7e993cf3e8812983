//! What is of a kind: a finding about an anchorage, a form, a duct or a strand shows at all that are of it.

use restrand_model::route::{Route, Step};
use restrand_model::schedule::{End, EndName, Schedule, Tendon};

/// The elements that are of the kind which the route leads to or into; none for a route to anything else.
pub(crate) fn of(route: &Route, schedule: &Schedule) -> Vec<Route> {
    let [Step::Field(list), Step::Item(index), ..] = route.steps() else {
        return Vec::new();
    };
    let key = match *list {
        "anchorages" => schedule.anchorages.get(*index).and_then(|kind| kind.id.as_deref()),
        "forms" => schedule.forms.get(*index).and_then(|kind| kind.id.as_deref()),
        "ducts" => schedule.ducts.get(*index).and_then(|kind| kind.id.as_deref()),
        "strands" => schedule.strands.get(*index).and_then(|kind| kind.id.as_deref()),
        "jacks" => schedule.jacks.get(*index).and_then(|kind| kind.id.as_deref()),
        _ => None,
    };
    let Some(key) = key else {
        return Vec::new();
    };
    let tendons = schedule.tendons.iter().enumerate();
    tendons
        .flat_map(|(index, tendon)| in_tendon(list, key, tendon, &Route::to("tendons", index)))
        .collect()
}

fn in_tendon(list: &str, key: &str, tendon: &Tendon, route: &Route) -> Vec<Route> {
    let ends = |is_of: &dyn Fn(&End) -> bool| -> Vec<Route> {
        let of = tendon.stated_ends().filter(|(_, end)| is_of(end));
        of.map(|(name, _)| route.field("ends").field(field(name))).collect()
    };
    let whole = |is_of: bool| if is_of { vec![route.clone()] } else { Vec::new() };
    match list {
        "anchorages" => ends(&|end| end.anchorage.as_ref().is_some_and(|link| link.key() == key)),
        "jacks" => ends(&|end| end.jack.as_ref().is_some_and(|link| link.key() == key)),
        "strands" => whole(tendon.strand.as_ref().is_some_and(|link| link.key() == key)),
        "ducts" => whole(tendon.duct.as_ref().is_some_and(|link| link.key() == key)),
        "forms" => tendon
            .deviators
            .iter()
            .enumerate()
            .filter(|(_, deviator)| deviator.form.as_ref().is_some_and(|link| link.key() == key))
            .map(|(index, _)| route.field("deviators").item(index))
            .collect(),
        _ => Vec::new(),
    }
}

const fn field(name: EndName) -> &'static str {
    match name {
        EndName::A => "a",
        EndName::B => "b",
    }
}
