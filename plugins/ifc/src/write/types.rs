//! Kinds of strand, duct, anchorage and form as types, with the parts of which they are composed.

use restrand_model::Record;
use restrand_model::ifc::GLOBAL_ID;
use restrand_model::reflect::Choice;
use restrand_model::route::Route;
use restrand_model::schedule::{Part, StrandCoating};

use super::Writer;
use super::model::{entities, number_or_absent, text, text_or_absent, word};
use super::sets::Named;
use crate::Value;
use crate::terms::Kind;
use crate::terms::kinds::{self, Home};

const METRE_IN_MM: f64 = 1000.0;

/// Attributes of an entity, by name.
pub(super) type Given = Vec<(&'static str, Value<'static>)>;

impl Writer<'_> {
    /// Makes the types.
    pub(super) fn kinds(&mut self) {
        let schedule = self.schedule;
        for (index, strand) in schedule.strands.iter().enumerate() {
            let of = Route::to("strands", index);
            let route = self.show(&of);
            let given = vec![
                ("PredefinedType", word(strand_word(strand.coating))),
                ("NominalDiameter", metres(strand.diameter_mm)),
                ("CrossSectionArea", square_metres(strand.area_mm2)),
            ];
            self.kind("strands", Kind::TendonType, Named { record: strand, route: &route }, given);
        }
        for (index, duct) in schedule.ducts.iter().enumerate() {
            let of = Route::to("ducts", index);
            let route = self.show(&of);
            let given = vec![("PredefinedType", word(kinds::DUCT))];
            let named = Named { record: duct, route: &route };
            self.kind("ducts", Kind::TendonConduitType, named, given);
        }
        for (index, anchorage) in schedule.anchorages.iter().enumerate() {
            let of = Route::to("anchorages", index);
            let route = self.show(&of);
            // Whether a jack stands at it is said of each end.
            let given = vec![("PredefinedType", word(kinds::NOTDEFINED))];
            let named = Named { record: anchorage, route: &route };
            let made = self.kind("anchorages", Kind::TendonAnchorType, named, given);
            self.part_kinds(made, &of.field("parts"), &anchorage.parts);
        }
        for (index, form) in schedule.forms.iter().enumerate() {
            let of = Route::to("forms", index);
            let route = self.show(&of);
            let given = vec![("PredefinedType", word(kinds::FORM))];
            let named = Named { record: form, route: &route };
            let made = self.kind("forms", Kind::TendonConduitType, named, given);
            self.part_kinds(made, &of.field("parts"), &form.parts);
        }
    }

    fn kind(&mut self, list: &'static str, kind: Kind, of: Named<'_>, given: Given) -> u64 {
        let sets = self.sets(of, &[GLOBAL_ID, "parts"]);
        let id = self.id_of(of.record, of.route);
        let root = [
            ("GlobalId", text(id)),
            ("Name", text_or_absent(of.record.key())),
            ("HasPropertySets", entities(sets)),
        ];
        let made = self.model.add(kind, root.into_iter().chain(given));
        self.relations.declare(self.structure.project, made);
        if let Some(key) = of.record.key() {
            self.types.entry((list, key.to_owned())).or_insert(made);
        }
        made
    }

    /// The type of a key of a list.
    pub(super) fn type_of(&self, list: &'static str, key: Option<&str>) -> Option<u64> {
        self.types.get(&(list, key?.to_owned())).copied()
    }

    /// The type of tendons of so many strands of a kind in a duct.
    pub(super) fn tendon_type(
        &mut self,
        strand: Option<&str>,
        count: Option<u32>,
        duct: Option<&str>,
    ) -> Option<u64> {
        let (strand, count) = (strand?, count?);
        let mut name = format!("{count} {strand}");
        if let Some(duct) = duct {
            name = format!("{name} {duct}");
        }
        if let Some(made) = self.type_of("tendons", Some(&name)) {
            return Some(made);
        }
        let key = |id: &Option<Box<str>>, key: &str| id.as_deref() == Some(key);
        let of = self.schedule.strands.iter().find(|one| key(&one.id, strand));
        let area_mm2 = of.and_then(|of| of.area_mm2).map(|area_mm2| area_mm2 * f64::from(count));
        let sheath =
            self.schedule.ducts.iter().find(|one| duct.is_some_and(|duct| key(&one.id, duct)));
        let id = self.ids.named(&format!("tendon types/{name}"));
        let made = self.model.add(
            Kind::TendonType,
            [
                ("GlobalId", text(id)),
                ("Name", text(name.clone())),
                ("PredefinedType", word(strand_word(of.and_then(|of| of.coating)))),
                ("CrossSectionArea", square_metres(area_mm2)),
                ("SheathDiameter", metres(sheath.and_then(|duct| duct.outer_mm))),
            ],
        );
        self.relations.declare(self.structure.project, made);
        self.types.insert(("tendons", name), made);
        Some(made)
    }

    /// The parts of a type, in their order, each a type of its own.
    fn part_kinds(&mut self, whole: u64, of: &Route, parts: &[Part]) {
        for (index, part) in parts.iter().enumerate() {
            let route = self.show(&of.item(index));
            let home = home_of(part);
            let sets = self.sets(Named { record: part, route: &route }, &[GLOBAL_ID]);
            let id = self.id_of(part, &route);
            let made = self.model.add(
                type_kind(home.kind),
                [
                    ("GlobalId", text(id)),
                    ("Name", text_or_absent(part.id.as_deref())),
                    ("HasPropertySets", entities(sets)),
                    ("ElementType", text_or_absent(part.role.map(Choice::word))),
                    ("PredefinedType", word(home.predefined)),
                ],
            );
            self.relations.nest(whole, made);
        }
    }

    /// The parts that an end or a deviator states of its own, in their order.
    pub(super) fn own_parts(&mut self, whole: u64, of: &Route, parts: &[Part]) {
        for (index, part) in parts.iter().enumerate() {
            let route = self.show(&of.item(index));
            let home = home_of(part);
            let id = self.id_of(part, &route);
            let given = [("GlobalId", text(id)), ("Name", text_or_absent(part.id.as_deref()))];
            let words = Self::words(&home, part.role.map(Choice::word));
            let made = self.model.add(home.kind, given.into_iter().chain(words));
            self.relations.nest(whole, made);
            let sets =
                self.sets(Named { record: part as &dyn Record, route: &route }, &[GLOBAL_ID]);
            self.define(made, &route, &sets);
        }
    }
}

/// The entity of a part; of one whose role is not stated it says no more than that it is one.
fn home_of(part: &Part) -> Home {
    const OPEN: Home =
        Home { kind: Kind::DiscreteAccessory, predefined: kinds::NOTDEFINED, object: None };
    let role = part.role.map(Choice::word);
    kinds::ROLES.iter().find(|(word, _)| Some(*word) == role).map_or(OPEN, |(_, home)| *home)
}

/// The type of an element that is a part.
const fn type_kind(kind: Kind) -> Kind {
    match kind {
        Kind::Plate => Kind::PlateType,
        Kind::TendonConduit => Kind::TendonConduitType,
        Kind::TendonAnchor => Kind::TendonAnchorType,
        _ => Kind::DiscreteAccessoryType,
    }
}

const fn strand_word(coating: Option<StrandCoating>) -> &'static str {
    match coating {
        None | Some(StrandCoating::Bare) => "STRAND",
        Some(_) => "COATED",
    }
}

pub(super) fn metres(mm: Option<f64>) -> Value<'static> {
    number_or_absent(mm.map(|mm| mm / METRE_IN_MM))
}

fn square_metres(mm2: Option<f64>) -> Value<'static> {
    number_or_absent(mm2.map(|mm2| mm2 / (METRE_IN_MM * METRE_IN_MM)))
}
