//! Tendons: axis and body, duct, forms at deviators, anchors at both ends, and the room kept clear there.

use restrand_kit::layout::{Body, BodyKind, Course};
use restrand_model::Record;
use restrand_model::ifc::GLOBAL_ID;
use restrand_model::reflect::{Choice, Link};
use restrand_model::route::Route;
use restrand_model::schedule::{Deviator, Duct, End, EndName, Tendon};

use super::Writer;
use super::model::{entity, number_or_absent, text, text_or_absent, word};
use super::sets::Named;
use super::types::{Given, metres};
use crate::Value;
use crate::terms::{Kind, kinds};

/// A tendon on its way.
struct At<'a> {
    tendon: &'a Tendon,
    of: Route,
    /// How it is called in routes, and so the name of its id.
    route: String,
    /// How people call it.
    mark: &'a str,
    element: u64,
}

impl Writer<'_> {
    /// Makes the tendons in their order.
    pub(super) fn tendons(&mut self) {
        let schedule = self.schedule;
        for (position, tendon) in schedule.tendons.iter().enumerate() {
            let of = Route::to("tendons", position);
            let route = self.show(&of);
            let mark = tendon.mark.as_deref().unwrap_or_default();
            let course = self.courses.get(&of).copied();
            let curve = course.map(|course| self.curve(course));
            let element = self.tendon(tendon, &route, curve);
            let at = At { tendon, of, route, mark, element };
            self.relations.contain(self.structure.superstructure, element);
            self.relations.group(self.structure.system, element);
            let of = Named { record: tendon, route: &at.route };
            let mut sets = self.sets(of, &[GLOBAL_ID, "ends", "deviators"]);
            sets.extend(self.quantities(&at, course));
            self.define(element, &at.route, &sets);
            self.ducts(&at, curve);
            for (index, deviator) in tendon.deviators.iter().enumerate() {
                self.deviator(&at, index, deviator);
            }
            for (name, end) in tendon.stated_ends() {
                self.end(&at, name, end);
            }
        }
    }

    fn tendon(&mut self, tendon: &Tendon, route: &str, curve: Option<u64>) -> u64 {
        let key = |link: Option<&str>| link.map(str::to_owned);
        let strand = key(tendon.strand.as_ref().map(Link::key));
        let duct = key(tendon.duct.as_ref().map(Link::key));
        let kind = self.tendon_type(strand.as_deref(), tendon.strand_count, duct.as_deref());
        let steel_mm2 = self.steel_mm2(tendon);
        let stressing = tendon.stressing.as_deref();
        let force_kn = stressing.and_then(|stressing| stressing.jacking_force_kn);
        let stress_mpa = force_kn.zip(steel_mm2).map(|(force_kn, mm2)| force_kn * 1000.0 / mm2);
        // What IFC does not take for a share or a length stays a property.
        let friction = stressing.and_then(|stressing| stressing.mu).filter(|mu| *mu <= 1.0);
        let slip_mm = stressing.and_then(|stressing| stressing.set_mm).filter(|mm| *mm > 0.0);
        let radii_m = tendon.points.iter().filter_map(|point| point.radius_m);
        let mut shown = Vec::new();
        if let Some(curve) = curve {
            shown.push(("Axis", "Curve3D", vec![curve]));
            // As thick as its steel in one rod: how strands lie in a duct, nobody knows.
            if let Some(mm2) = steel_mm2 {
                let radius_mm = (mm2 / std::f64::consts::PI).sqrt();
                shown.push((
                    "Body",
                    "AdvancedSweptSolid",
                    vec![self.swept(curve, radius_mm, None)],
                ));
            }
        }
        let id = self.id_of(tendon, route);
        let mut given = self.product(id, tendon.mark.as_deref(), shown, None);
        given.extend([
            ("Tag", text_or_absent(tendon.mark.as_deref())),
            ("TensionForce", number_or_absent(force_kn)),
            ("PreStress", number_or_absent(stress_mpa)),
            ("FrictionCoefficient", number_or_absent(friction)),
            ("AnchorageSlip", metres(slip_mm)),
            ("MinCurvatureRadius", number_or_absent(radii_m.reduce(f64::min))),
        ]);
        let made = self.model.add(Kind::Tendon, given);
        if let Some(kind) = kind {
            self.relations.of_type(kind, made);
        }
        made
    }

    /// The steel of a tendon, by its strands' nominal area.
    fn steel_mm2(&self, tendon: &Tendon) -> Option<f64> {
        let key = tendon.strand.as_ref()?.key();
        let strand = self.schedule.strands.iter().find(|one| one.id.as_deref() == Some(key))?;
        Some(strand.area_mm2? * f64::from(tendon.strand_count?))
    }

    /// What every product of a tendon has.
    fn product(
        &mut self,
        id: String,
        name: Option<&str>,
        shown: Vec<(&'static str, &'static str, Vec<u64>)>,
        frame: Option<restrand_kit::layout::Frame>,
    ) -> Given {
        let placement = self.placement(Some(self.structure.bridge_placement), frame);
        let shape = self.shape(shown);
        vec![
            ("GlobalId", text(id)),
            ("Name", text_or_absent(name)),
            ("ObjectPlacement", entity(placement)),
            ("Representation", shape),
        ]
    }

    /// The quantities of the standard: the length of the axis, and the mass as it is stated.
    fn quantities(&mut self, at: &At<'_>, course: Option<&Course>) -> Option<u64> {
        let mut made = Vec::new();
        if let Some(course) = course {
            let given = [("Name", text("Length")), ("LengthValue", Value::Number(course.length_m))];
            made.push(self.model.add(Kind::QuantityLength, given));
        }
        if let Some(mass_kg) = at.tendon.steel_mass_kg {
            let given = [("Name", text("Weight")), ("WeightValue", Value::Number(mass_kg))];
            made.push(self.model.add(Kind::QuantityWeight, given));
        }
        if made.is_empty() {
            return None;
        }
        let id = self.ids.named(&format!("{}/quantities", at.route));
        Some(self.model.add(
            Kind::ElementQuantity,
            [
                ("GlobalId", text(id)),
                ("Name", text("Qto_ReinforcingElementBaseQuantities")),
                ("Quantities", super::model::entities(made)),
            ],
        ))
    }

    /// The lengths of duct that are stated, else one duct over the whole axis.
    fn ducts(&mut self, at: &At<'_>, curve: Option<u64>) {
        let whole = at.tendon.duct.as_ref().map(Link::key);
        let of = at.of.field("duct_runs");
        for (index, run) in at.tendon.duct_runs.iter().enumerate() {
            let of = of.item(index);
            let course = self.courses.get(&of).copied();
            let curve = course.map(|course| self.curve(course));
            let duct = run.duct.as_ref().map(Link::key).or(whole);
            let route = self.show(&of);
            let id = self.id_of(run, &route);
            self.duct(at, (id, &route), duct, curve);
        }
        if at.tendon.duct_runs.is_empty()
            && let Some(duct) = whole
        {
            let route = format!("{}.duct", at.route);
            let id = self.ids.named(&route);
            self.duct(at, (id, &route), Some(duct), curve);
        }
    }

    fn duct(
        &mut self,
        at: &At<'_>,
        (id, route): (String, &str),
        duct: Option<&str>,
        curve: Option<u64>,
    ) {
        let of = self.schedule.ducts.iter().find(|one| duct.is_some() && one.id.as_deref() == duct);
        let mut shown = Vec::new();
        if let Some(curve) = curve {
            shown.push(("Axis", "Curve3D", vec![curve]));
            if let Some(outer_mm) = of.and_then(|of| of.outer_mm) {
                let inner_mm = of.and_then(inner_mm).filter(|inner_mm| *inner_mm < outer_mm);
                let body =
                    self.swept(curve, outer_mm / 2.0, inner_mm.map(|inner_mm| inner_mm / 2.0));
                shown.push(("Body", "AdvancedSweptSolid", vec![body]));
            }
        }
        let name = format!("{} duct", at.mark);
        let mut given = self.product(id, Some(name.trim()), shown, None);
        let kind = self.type_of("ducts", duct);
        if kind.is_none() {
            given.push(("PredefinedType", word(kinds::DUCT)));
        }
        let made = self.model.add(Kind::TendonConduit, given);
        if let Some(kind) = kind {
            self.relations.of_type(kind, made);
        }
        self.relations.contain(self.structure.superstructure, made);
        self.relations.group(self.structure.system, made);
        self.connect(route, at.element, made, "Enclosed by duct");
    }

    fn deviator(&mut self, at: &At<'_>, index: usize, deviator: &Deviator) {
        let of = at.of.field("deviators").item(index);
        let route = self.show(&of);
        let id = self.id_of(deviator, &route);
        let frame = self.seats.get(&of).copied();
        let place = deviator.place.as_ref().map(Link::key);
        let name = format!("{} at {}", at.mark, place.unwrap_or_default());
        let mut given = self.product(id, Some(name.trim()), Vec::new(), frame);
        let kind = self.type_of("forms", deviator.form.as_ref().map(Link::key));
        if kind.is_none() {
            given.push(("PredefinedType", word(kinds::FORM)));
        }
        let made = self.model.add(Kind::TendonConduit, given);
        if let Some(kind) = kind {
            self.relations.of_type(kind, made);
        }
        self.relations.group(self.structure.system, made);
        self.seated(at, &route, place, made, "Deviation");
        self.own_parts(made, &of.field("parts"), &deviator.parts);
        let sets = self.sets(Named { record: deviator, route: &route }, &[GLOBAL_ID, "parts"]);
        self.define(made, &route, &sets);
    }

    fn end(&mut self, at: &At<'_>, name: EndName, end: &End) {
        let of = at.of.field("ends").field(name.word());
        let route = self.show(&of);
        let id = self.id_of(end, &route);
        let frame = self.seats.get(&of).copied();
        let called = format!("{} {}", at.mark, name.word());
        let mut given = self.product(id, Some(called.trim()), Vec::new(), frame);
        let word_of = |kind: &str| kinds::ENDS.iter().find(|(word, _)| *word == kind);
        let predefined = end.kind.and_then(|kind| word_of(kind.word()));
        given.push(("Tag", text(name.word())));
        given.extend(predefined.map(|(_, predefined)| ("PredefinedType", word(predefined))));
        let made = self.model.add(Kind::TendonAnchor, given);
        if let Some(kind) = self.type_of("anchorages", end.anchorage.as_ref().map(Link::key)) {
            self.relations.of_type(kind, made);
        }
        self.relations.group(self.structure.system, made);
        let place = end.place.as_ref().map(Link::key);
        self.seated(at, &route, place, made, "Anchorage");
        self.own_parts(made, &of.field("parts"), &end.parts);
        let sets =
            self.sets(Named { record: end as &dyn Record, route: &route }, &[GLOBAL_ID, "parts"]);
        self.define(made, &route, &sets);
        if let Some(bodies) = self.bodies.get(&of).cloned() {
            for body in bodies {
                self.body(&route, called.trim(), made, body);
            }
        }
    }

    /// Seats a conduit or an anchor in the concrete of its place, and connects the tendon by it.
    fn seated(
        &mut self,
        at: &At<'_>,
        route: &str,
        place: Option<&str>,
        made: u64,
        what: &'static str,
    ) {
        match place.and_then(|place| self.places.get(place)).copied() {
            Some(place) => {
                self.relations.aggregate(place.concrete, made);
                self.connect_by(route, [at.element, place.concrete], made, what);
                if let Some(part) = place.part {
                    self.relations.refer(part, at.element);
                }
            }
            None => {
                self.relations.contain(self.structure.superstructure, made);
                self.connect(route, at.element, made, what);
            }
        }
    }

    /// Room that is kept clear: no body that a viewer may take for concrete or steel, and yet one that clashes.
    fn body(&mut self, route: &str, end: &str, anchor: u64, body: &Body) {
        let (what, object) = match body.kind {
            BodyKind::RemovalSpace => ("Removal space", kinds::REMOVAL_SPACE),
            BodyKind::Stub => ("Stub", kinds::STUB),
            BodyKind::Jack => ("Jack", kinds::JACK),
        };
        let route = format!("{route}/{object}");
        let items = body.solids.iter().map(|solid| self.solid(*solid)).collect();
        let shown = vec![("Body", "SweptSolid", items)];
        let name = format!("{what} {end}");
        let id = self.ids.named(&route);
        let mut given = self.product(id, Some(&name), shown, Some(body.frame));
        given.extend([("ObjectType", text(object)), ("PredefinedType", word("CLEARANCE"))]);
        let made = self.model.add(Kind::VirtualElement, given);
        self.relations.contain(self.structure.superstructure, made);
        self.connect(&route, anchor, made, "Kept clear");
    }
}

/// The inner diameter of a duct: as stated, else by its least wall.
fn inner_mm(duct: &Duct) -> Option<f64> {
    duct.inner_mm.or_else(|| Some(duct.outer_mm? - 2.0 * duct.wall_mm?)).filter(|mm| *mm > 0.0)
}
