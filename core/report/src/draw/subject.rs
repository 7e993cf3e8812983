//! What a drawing is of, and the sheet that all drawings share.

use restrand_model::reflect::Choice;
use restrand_model::schedule::{Project, Stage};
use restrand_plan::{Plan, StepId};
use restrand_rules::{Context, TendonAt};

use super::canvas::{self, CONTENT, Heading, Label, Scene, scale_words};
use super::numbers::Numbers;
use super::{Drawing, Drawings, Kind};

/// What every drawing is no more than.
const DRAFT: &str = "Draft for the engineer in charge";

/// What every drawing says of itself; the plan beside it says more.
const CAUTION: &str = "The drawing shows what follows from the stated data and no more; local codes and the owner's \
                       rules hold, and licensed engineers answer for them. Check every dimension at the bridge before \
                       anything is cut, ordered or stressed.";

/// In the place of what the schedule does not state.
const NOT_STATED: &str = "not stated";

/// A tendon with its plan, to be drawn.
pub(super) struct Subject<'d, 'a> {
    pub(super) drawings: &'d Drawings<'d, 'a>,
    pub(super) at: &'d TendonAt<'a>,
    pub(super) plan: &'d Plan,
}

/// What a drawing is called.
pub(super) struct Called {
    pub(super) kind: Kind,
    pub(super) of: Option<String>,
    pub(super) step: Option<StepId>,
    /// What it shows, after the tendon's mark.
    pub(super) shows: String,
    /// The scales of its views; none of a diagram.
    pub(super) scales: Vec<f64>,
    /// Which units its numbers have.
    pub(super) units: String,
    pub(super) description: String,
}

impl<'d, 'a> Subject<'d, 'a> {
    pub(super) const fn context(&self) -> &'d Context<'a> {
        self.drawings.context
    }

    pub(super) const fn numbers(&self) -> Numbers {
        self.drawings.numbers
    }

    /// Puts the sheet round a drawing of the tendon.
    pub(super) fn done(&self, called: Called, scene: Scene) -> Drawing {
        let mark = self.at.mark();
        let title = format!("Tendon {mark}: {}", called.shows);
        // The tendon's position keeps marks apart whose letters are alike.
        let name = named(
            &format!("t{}", self.at.position + 1),
            [mark.as_str(), called.kind.word(), called.of.as_deref().unwrap_or_default()],
        );
        self.drawings.done(name, title, self.at.tendon.stage, called, scene)
    }
}

impl Drawings<'_, '_> {
    /// Puts the sheet round a drawing.
    pub(super) fn done(
        &self,
        name: String,
        title: String,
        stage: Option<Stage>,
        called: Called,
        scene: Scene,
    ) -> Drawing {
        let holes = scene.holes().to_vec();
        let project = self.context.schedule.project.as_deref();
        let said = |field: fn(&Project) -> Option<&str>| project.and_then(field);
        let scales: Vec<String> = called.scales.iter().map(|scale| scale_words(*scale)).collect();
        let scales = match scales.as_slice() {
            [] => "not to scale".to_owned(),
            scales => format!("scale {} on A3, on other paper by the bar", scales.join(" and ")),
        };
        let under: Vec<&str> = said(|project| project.bridge.as_deref())
            .into_iter()
            .chain(said(|project| project.structure_number.as_deref()))
            .chain([scales.as_str(), called.units.as_str()])
            .collect();
        let stage = stage.or(project.and_then(|project| project.stage)).map(Choice::word);
        let foot = format!(
            "Document {} · revision {} · stage {} · sheet {name} · {}",
            said(|project| project.drawing.as_deref()).unwrap_or(NOT_STATED),
            said(|project| project.revision.as_deref()).unwrap_or(NOT_STATED),
            stage.unwrap_or(NOT_STATED).replace('_', " "),
            self.follows_from
        );
        let made = canvas::finish(
            scene,
            &Heading {
                name: &name,
                title: &title,
                under: &under.join(" · "),
                description: &called.description,
                draft: DRAFT,
                caution: CAUTION,
                foot: &foot,
            },
        );
        Drawing {
            kind: called.kind,
            of: called.of,
            step: called.step,
            name,
            title,
            description: called.description,
            size_mm: made.size_mm,
            holes,
            svg: made.svg,
        }
    }
}

/// A name of letters, digits and hyphens; `begins` with a letter, and tells it from all others.
pub(super) fn named<'t>(begins: &str, parts: impl IntoIterator<Item = &'t str>) -> String {
    let mut name = begins.to_owned();
    for part in parts {
        for word in part.split(|letter: char| !letter.is_ascii_alphanumeric()) {
            if !word.is_empty() {
                name.push('-');
                name.push_str(word);
            }
        }
    }
    name
}

/// The middle of the room for drawing, where nothing else can be drawn: the words say why.
pub(super) fn nothing(scene: &mut Scene, words: &str) {
    let middle = [f64::midpoint(CONTENT.left, CONTENT.right), CONTENT.top + 12.0];
    scene.label(Label::new(middle, [0.0, 1.0], words));
    scene.place_labels(CONTENT);
}
