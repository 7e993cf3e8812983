//! Anchorages and forms as sets of parts: each kind once, and each end or deviator that differs from its
//! kind.
//!
//! What is wrong with a kind is said once, at the kind, however many tendons use it.

use restrand_mechanics::SMALLEST;
use restrand_mechanics::passing::{Body, Bore};
use restrand_model::reflect::Record;
use restrand_model::resolve::ResolvedPart;
use restrand_model::route::Route;
use restrand_model::schedule::{Part, Permanence, Stage};

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
        assemblies.push(kind(context, anchorage, &anchorage.parts, route, Axis::Anchorage));
    }
    for (index, form) in schedule.forms.iter().enumerate() {
        assemblies.push(kind(context, form, &form.parts, Route::to("forms", index), Axis::Form));
    }
    // Which kinds are used, and by what; forms stand after the anchorages.
    let mut used: Vec<Option<(bool, Stage)>> = vec![None; assemblies.len()];
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
            }
        }
        for deviator in &at.tendon.deviators {
            let key = deviator.form.as_ref().map(|link| link.key());
            if let Some(index) = position("forms", key) {
                uses(anchorages + index);
            }
        }
    }
    for (assembly, used) in assemblies.iter_mut().zip(used) {
        if let Some((stays, stage)) = used {
            assembly.stays = stays;
            assembly.stage = stage;
        }
    }
    for at in context.tendons() {
        let stage = context.stage_of(at.tendon);
        for end in at.ends().filter(|end| !end.end.parts.is_empty()) {
            assemblies.push(Assembly {
                name: format!("end {} of {}", end.name, at.mark()),
                parts: context.end_parts(&end),
                route: end.route,
                owner: Owner::Own,
                axis: Axis::Anchorage,
                stays: at.stays(),
                stage,
            });
        }
        for (index, deviator) in at.tendon.deviators.iter().enumerate() {
            if deviator.parts.is_empty() {
                continue;
            }
            let route = at.route.field("deviators").item(index);
            let place = deviator.place.as_ref().map_or("", |place| place.key());
            assemblies.push(Assembly {
                name: format!("deviator {place} of {}", at.mark()),
                parts: context.deviator_parts(deviator, &route),
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
            .map(|(index, part)| ResolvedPart {
                part: std::borrow::Cow::Borrowed(part),
                route: list.item(index),
            })
            .collect(),
        route,
        stays: false,
        stage: context.stage(),
    }
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

    /// Whether the part is stated here: a kind states all its parts, an end or deviator its own.
    #[must_use]
    pub fn states(&self, resolved: &ResolvedPart<'_>) -> bool {
        resolved.route.steps().starts_with(self.route.steps())
    }

    /// Whether the part is stated here only to change one of the kind's.
    #[must_use]
    pub fn changes(&self, resolved: &ResolvedPart<'_>) -> bool {
        self.owner == Owner::Own
            && self.states(resolved)
            && matches!(resolved.part, std::borrow::Cow::Owned(_))
    }
}

/// How people call a part: its name, or its role.
pub(crate) fn call(part: &Part) -> String {
    match (part.id.as_deref(), part.role) {
        (Some(id), _) => id.to_owned(),
        (None, Some(role)) => role.to_string(),
        (None, None) => "a part without a name".to_owned(),
    }
}
