//! Anchorages and forms as sets of parts: each kind once, and each end or deviator that differs from its
//! kind.
//!
//! What is wrong with a kind is said once, at the kind, however many tendons use it.

use restrand_mechanics::SMALLEST;
use restrand_mechanics::passing::{Body, Bore};
use restrand_model::reflect::Record;
use restrand_model::resolve::{Held, ResolvedPart};
use restrand_model::route::Route;
use restrand_model::schedule::{Anchorage, Form, FormKind, Part, Permanence, Role, Stage};

use crate::context::Context;

/// Whose parts they are.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Owner {
    /// A kind of anchorage, or of form.
    Kind,
    /// One end or deviator, whose parts differ from its kind's.
    Own,
}

/// How positions run on the owner's axis.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Axis {
    /// Of an anchorage: the rear has the larger position.
    Anchorage,
    /// Of a form: the rear lies down-station and has the smaller position.
    Form,
}

/// A set of parts on one axis.
#[derive(Debug, Clone)]
pub struct Assembly<'a> {
    /// How people call it: `anchorage K-13`, or `end a of T11L`.
    pub name: String,
    /// The route of the owner.
    pub route: Route,
    /// Whose parts they are.
    pub owner: Owner,
    /// How positions run.
    pub axis: Axis,
    /// The parts that hold.
    pub parts: Vec<ResolvedPart<'a>>,
    /// Roles of parts that the kind's own record describes, listed or not: a wedge plate by its diameter.
    pub described: Vec<Role>,
    /// Narrower bores that the kind's own record states: a bearing plate's bore, a throat.
    pub lips: Vec<ResolvedPart<'a>>,
    /// Where the tendon is cut on the span side, on the anchorage's axis, if every end that uses it says so.
    pub cut_mm: Option<f64>,
    /// Whether the way through is bent.
    pub is_bent: bool,
    /// Whether every tendon that uses it need not be replaceable, as stated.
    pub stays: bool,
    /// The furthest stage of the tendons that use it, or of the project.
    pub stage: Stage,
}

/// All assemblies of the schedule: kinds in the order of their lists, then ends and deviators.
pub(crate) fn of<'a>(context: &Context<'a>) -> Vec<Assembly<'a>> {
    let mut assemblies = Vec::new();
    let schedule = context.schedule;
    for (index, anchorage) in schedule.anchorages.iter().enumerate() {
        let route = Route::to("anchorages", index);
        let lips = bearing_bore(anchorage, &route);
        let made = kind(context, anchorage, &anchorage.parts, route, Axis::Anchorage);
        assemblies.push(Assembly { lips, described: described_of_anchorage(anchorage), ..made });
    }
    for (index, form) in schedule.forms.iter().enumerate() {
        let route = Route::to("forms", index);
        let lips = throat(form, &route);
        let is_bent = form.kind == Some(FormKind::BentPipe);
        let made = kind(context, form, &form.parts, route, Axis::Form);
        assemblies.push(Assembly { lips, described: described_of_form(form), is_bent, ..made });
    }
    // Which kinds are used, and by what; forms stand after the anchorages.
    let mut used: Vec<Option<(bool, Stage)>> = vec![None; assemblies.len()];
    let mut cuts: Vec<Cut> = vec![Cut::Unused; assemblies.len()];
    let anchorages = schedule.anchorages.len();
    for at in context.tendons() {
        let stage = context.stage_of(at.tendon);
        let mut uses = |position: usize| {
            let use_of = used[position].get_or_insert((true, stage));
            use_of.0 &= at.stays();
            use_of.1 = use_of.1.max(stage);
        };
        let position = |list, key: Option<&str>| context.position(list, key?);
        for end in at.ends() {
            let key = end.end.anchorage.as_ref().map(|link| link.key());
            if let Some(index) = position("anchorages", key) {
                uses(index);
                cuts[index] = cuts[index].and(end.end.stub_cut_mm);
            }
        }
        for deviator in &at.tendon.deviators {
            let key = deviator.form.as_ref().map(|link| link.key());
            if let Some(index) = position("forms", key) {
                uses(anchorages + index);
            }
        }
    }
    for ((assembly, used), cut) in assemblies.iter_mut().zip(used).zip(cuts) {
        if let Some((stays, stage)) = used {
            assembly.stays = stays;
            assembly.stage = stage;
        }
        if let Cut::At(cut_mm) = cut {
            assembly.cut_mm = Some(cut_mm);
        }
    }
    for at in context.tendons() {
        let stage = context.stage_of(at.tendon);
        // A record of gauging makes nothing another body: the kind has all that is to be said.
        for end in at.ends() {
            let kind = context.anchorage(end.end);
            if !changes_bodies(&end.end.parts, kind.map_or(&[], |kind| &kind.record.parts)) {
                continue;
            }
            assemblies.push(Assembly {
                name: format!("end {} of {}", end.name, at.mark()),
                parts: context.end_parts(&end).to_vec(),
                described: context
                    .anchorage(end.end)
                    .map(|found| described_of_anchorage(found.record))
                    .unwrap_or_default(),
                lips: context
                    .anchorage(end.end)
                    .map(|found| bearing_bore(found.record, &found.route))
                    .unwrap_or_default(),
                cut_mm: end.end.stub_cut_mm,
                is_bent: false,
                route: end.route,
                owner: Owner::Own,
                axis: Axis::Anchorage,
                stays: at.stays(),
                stage,
            });
        }
        for (index, deviator) in at.tendon.deviators.iter().enumerate() {
            let kind = context.form(deviator);
            if !changes_bodies(&deviator.parts, kind.map_or(&[], |kind| &kind.record.parts)) {
                continue;
            }
            let route = at.route.field("deviators").item(index);
            let place = deviator.place.as_ref().map_or("", |place| place.key());
            assemblies.push(Assembly {
                name: format!("deviator {place} of {}", at.mark()),
                parts: context.deviator_parts(&at, index).to_vec(),
                described: context
                    .form(deviator)
                    .map(|found| described_of_form(found.record))
                    .unwrap_or_default(),
                lips: context
                    .form(deviator)
                    .map(|found| throat(found.record, &found.route))
                    .unwrap_or_default(),
                cut_mm: None,
                is_bent: context
                    .form(deviator)
                    .is_some_and(|found| found.record.kind == Some(FormKind::BentPipe)),
                route,
                owner: Owner::Own,
                axis: Axis::Form,
                stays: at.stays(),
                stage,
            });
        }
    }
    assemblies
}

/// Whether parts that an end or a deviator states say more of the kind's parts than that they were gauged.
#[must_use]
pub(crate) fn changes_bodies(own: &[Part], kind: &[Part]) -> bool {
    own.iter().any(|part| {
        let is_of_kind = part.id.is_some() && kind.iter().any(|other| other.id == part.id);
        let gauging = Part {
            id: part.id.clone(),
            gauged_on: part.gauged_on,
            gauge_mandrel_mm: part.gauge_mandrel_mm,
            ..Part::default()
        };
        !is_of_kind || *part != gauging
    })
}

fn kind<'a>(
    context: &Context<'a>,
    record: &'a dyn Record,
    parts: &'a [Part],
    route: Route,
    axis: Axis,
) -> Assembly<'a> {
    let list = route.field("parts");
    Assembly {
        name: format!("{} {}", record.info().name, record.key().unwrap_or("without a name")),
        owner: Owner::Kind,
        axis,
        parts: parts
            .iter()
            .enumerate()
            .map(|(index, part)| ResolvedPart { part: Held::Stated(part), route: list.item(index) })
            .collect(),
        route,
        described: Vec::new(),
        lips: Vec::new(),
        cut_mm: None,
        is_bent: false,
        stays: false,
        stage: context.stage(),
    }
}

fn described_of_anchorage(anchorage: &Anchorage) -> Vec<Role> {
    let has_wedge_plate =
        anchorage.wedge_plate_outer_mm.is_some() || anchorage.wedge_plate_thickness_mm.is_some();
    let wedge_plate = has_wedge_plate.then_some(Role::WedgePlate);
    let bearing_plate = anchorage.bearing_bore_mm.map(|_| Role::BearingPlate);
    wedge_plate.into_iter().chain(bearing_plate).collect()
}

fn described_of_form(form: &Form) -> Vec<Role> {
    form.throat_mm.map(|_| Role::DeviatorForm).into_iter().collect()
}

/// Where the tendons that use an anchorage are cut.
#[derive(Debug, Clone, Copy)]
enum Cut {
    Unused,
    /// The one furthest into the span.
    At(f64),
    /// An end does not say.
    Unknown,
}

impl Cut {
    const fn and(self, stated_mm: Option<f64>) -> Self {
        match (self, stated_mm) {
            (Self::Unknown, _) | (_, None) => Self::Unknown,
            (Self::Unused, Some(cut_mm)) => Self::At(cut_mm),
            (Self::At(so_far), Some(cut_mm)) => Self::At(so_far.min(cut_mm)),
        }
    }
}

/// Difference of two diameters below which they are one, mm: both are written to a tenth or a hundredth.
const SAME_MM: f64 = 0.01;

/// The bore that the anchorage states for its bearing plate, where that is narrower than the plate's row says.
fn bearing_bore(anchorage: &Anchorage, route: &Route) -> Vec<ResolvedPart<'static>> {
    let is_plate = |part: &&Part| part.role == Some(Role::BearingPlate);
    let plate = anchorage.parts.iter().find(is_plate);
    lip(
        anchorage.bearing_bore_mm,
        plate,
        "bearing plate's bore",
        0.0,
        route.field("bearing_bore_mm"),
    )
}

/// The throat that the form states, where that is narrower than its parts say.
fn throat(form: &Form, route: &Route) -> Vec<ResolvedPart<'static>> {
    let least = |part: &Part| {
        let least = part.rear_inner_mm?.min(part.span_inner_mm?);
        (part.permanence == Some(Permanence::Permanent)).then_some(least)
    };
    let narrowest = form.parts.iter().filter(|part| least(part).is_some()).min_by(|one, other| {
        f64::total_cmp(&least(one).unwrap_or(0.0), &least(other).unwrap_or(0.0))
    });
    lip(form.throat_mm, narrowest, "throat", 0.0, route.field("throat_mm"))
}

fn lip(
    inner_mm: Option<f64>,
    part: Option<&Part>,
    name: &str,
    at_mm: f64,
    route: Route,
) -> Vec<ResolvedPart<'static>> {
    let Some(inner_mm) = inner_mm else { return Vec::new() };
    let of_part = part.and_then(|part| Some(part.rear_inner_mm?.min(part.span_inner_mm?)));
    if of_part.is_none_or(|of_part| inner_mm > of_part - SAME_MM) {
        return Vec::new();
    }
    let lip = Part {
        id: Some(name.into()),
        permanence: Some(Permanence::Permanent),
        from_mm: Some(at_mm),
        to_mm: Some(at_mm),
        rear_inner_mm: Some(inner_mm),
        span_inner_mm: Some(inner_mm),
        tolerance_mm: part.and_then(|part| part.tolerance_mm),
        ovality_mm: part.and_then(|part| part.ovality_mm),
        seam_mm: part.and_then(|part| part.seam_mm),
        ..Part::default()
    };
    vec![ResolvedPart { part: Held::Made(Box::new(lip)), route }]
}

impl Axis {
    /// The sign that brings a position onto an axis whose rear has the larger position.
    const fn sign(self) -> f64 {
        match self {
            Self::Anchorage => 1.0,
            Self::Form => -1.0,
        }
    }

    /// The part's stretch, the smaller position first, on an axis whose rear has the larger position.
    ///
    /// # Errors
    /// The field without which there is no stretch.
    pub fn stretch(self, part: &Part) -> Result<(f64, f64), &'static str> {
        let one = part.from_mm.ok_or("part.from_mm")? * self.sign();
        let other = part.to_mm.ok_or("part.to_mm")? * self.sign();
        Ok((one.min(other), one.max(other)))
    }

    /// A position of mechanics, back on the owner's axis.
    #[must_use]
    pub const fn position(self, at_mm: f64) -> f64 {
        // The sum with zero keeps a minus sign off a zero.
        at_mm * self.sign() + 0.0
    }

    /// The part as a body that is drawn out, with what is stated; what is not stated counts as nothing.
    ///
    /// # Errors
    /// The field without which there is no body.
    pub fn body(self, part: &Part) -> Result<Body, &'static str> {
        let (from_mm, to_mm) = self.stretch(part)?;
        Ok(Body {
            from_mm,
            to_mm,
            rear_outer_mm: part.rear_outer_mm.ok_or("part.rear_outer_mm")?,
            span_outer_mm: part.span_outer_mm.ok_or("part.span_outer_mm")?,
            greatest_outer_mm: part.greatest_outer_mm,
            greatest_outer_at_mm: part.greatest_outer_at_mm.map(|at| at * self.sign()),
            tolerance_mm: part.tolerance_mm.unwrap_or(0.0),
            ovality_mm: part.ovality_mm.unwrap_or(0.0),
        })
    }

    /// The part as a bore that is passed, with what is stated; what is not stated counts as nothing.
    ///
    /// # Errors
    /// The field without which there is no bore.
    pub fn bore(self, part: &Part) -> Result<Bore, &'static str> {
        let (from_mm, to_mm) = self.stretch(part)?;
        Ok(Bore {
            from_mm,
            to_mm,
            // A solid part has a bore that nothing passes.
            rear_inner_mm: part.rear_inner_mm.ok_or("part.rear_inner_mm")?.max(SMALLEST),
            span_inner_mm: part.span_inner_mm.ok_or("part.span_inner_mm")?.max(SMALLEST),
            tolerance_mm: part.tolerance_mm.unwrap_or(0.0),
            ovality_mm: part.ovality_mm.unwrap_or(0.0),
            seam_mm: part.seam_mm.unwrap_or(0.0),
        })
    }
}

impl Assembly<'_> {
    /// The parts of this permanence.
    pub fn of(&self, permanence: Permanence) -> impl Iterator<Item = &ResolvedPart<'_>> {
        self.parts.iter().filter(move |resolved| resolved.part.permanence == Some(permanence))
    }

    /// The field that lists the parts.
    #[must_use]
    pub const fn parts_field(&self) -> &'static str {
        match self.axis {
            Axis::Anchorage => "anchorage.parts",
            Axis::Form => "form.parts",
        }
    }

    /// Whether the part is stated here: a kind states all its parts, an end or deviator its own.
    #[must_use]
    pub fn states(&self, resolved: &ResolvedPart<'_>) -> bool {
        resolved.route.steps().starts_with(self.route.steps())
    }

    /// Whether the part is stated here only to change one of the kind's.
    #[must_use]
    pub fn changes(&self, resolved: &ResolvedPart<'_>) -> bool {
        self.owner == Owner::Own && self.states(resolved) && matches!(resolved.part, Held::Made(_))
    }
}

/// How people call a part: its name, or its role.
#[must_use]
pub fn call(part: &Part) -> String {
    match (part.id.as_deref(), part.role) {
        (Some(id), _) => id.to_owned(),
        (None, Some(role)) => role.to_string(),
        (None, None) => "a part without a name".to_owned(),
    }
}
