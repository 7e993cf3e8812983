//! What a drawing is of, and the sheet that all drawings share.

use restrand_model::reflect::Choice;
use restrand_plan::{Plan, StepId};
use restrand_rules::{Context, TendonAt};

use super::canvas::{self, CONTENT, Heading, Label, Scene, scale_words};
use super::numbers::Numbers;
use super::{Drawing, Drawings, Kind};

/// What every drawing says of itself; the plan beside it says more.
const DRAFT: &str = "Draft for the engineer in charge. It shows what follows from the stated data and no more; local \
                     codes and the owner's rules hold, and licensed engineers answer for them. Check every dimension \
                     at the bridge before anything is cut, ordered or stressed.";

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
    pub(super) step: StepId,
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

    /// Puts the sheet round a drawing.
    pub(super) fn done(&self, called: Called, scene: Scene) -> Drawing {
        let holes = scene.holes().to_vec();
        let title = format!("Tendon {}: {}", self.at.mark(), called.shows);
        let project = self.context().schedule.project.as_deref();
        let of_project = project.map(|project| {
            [
                project.bridge.as_deref().map(str::to_owned),
                project.structure_number.as_deref().map(str::to_owned),
                project.drawing.as_deref().map(|drawing| format!("drawing {drawing}")),
                project.revision.as_deref().map(|revision| format!("revision {revision}")),
                self.at
                    .tendon
                    .stage
                    .or(project.stage)
                    .map(|stage| format!("stage {}", stage.word().replace('_', " "))),
            ]
        });
        let scales: Vec<String> = called.scales.iter().map(|scale| scale_words(*scale)).collect();
        let mut under: Vec<String> = of_project.into_iter().flatten().flatten().collect();
        under.push(match scales.as_slice() {
            [] => "not to scale".to_owned(),
            scales => format!("scale {} on A3", scales.join(" and ")),
        });
        under.push(called.units);
        let name = self.name(called.kind, called.of.as_deref());
        let made = canvas::finish(
            scene,
            &Heading {
                name: &name,
                title: &title,
                under: &under.join(" · "),
                description: &called.description,
                draft: DRAFT,
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

    /// A name of its own: the tendon's position keeps marks apart whose letters are alike.
    fn name(&self, kind: Kind, of: Option<&str>) -> String {
        let slug = |text: &str| {
            let letters = text.chars().map(|letter| match letter {
                letter if letter.is_ascii_alphanumeric() => letter,
                _ => '-',
            });
            let text: String = letters.collect();
            let parts: Vec<_> = text.split('-').filter(|part| !part.is_empty()).collect();
            parts.join("-")
        };
        let mut name = format!("t{}", self.at.position + 1);
        for part in
            [slug(&self.at.mark()), kind.word().to_owned(), of.map(slug).unwrap_or_default()]
        {
            if !part.is_empty() {
                name.push('-');
                name.push_str(&part);
            }
        }
        name
    }
}

/// The middle of the room for drawing, where nothing else can be drawn: the words say why.
pub(super) fn nothing(scene: &mut Scene, words: &str) {
    let middle = [f64::midpoint(CONTENT.left, CONTENT.right), CONTENT.top + 12.0];
    scene.label(Label::new(middle, [0.0, 1.0], words));
    scene.place_labels(CONTENT);
}
