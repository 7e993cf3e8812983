//! Drawings within a page: which one shows what a rule found, each once.

use std::collections::{BTreeMap, HashMap};

use restrand_finding::{Severity, Where};
use restrand_model::reflect::Date;
use restrand_model::route::{Route, Step};
use restrand_rules::{Context, TendonAt};

use super::markup::escaped;
use crate::alike::Alike;
use crate::checked::Checked;
use crate::draw::{Drawing, Drawings, Kind};

/// Most drawings in a report of findings: what a browser lays out at once without a wait.
const MOST: usize = 60;
/// Most tendons whose drawings are looked through for an opening.
const SEARCHED: usize = 40;

/// What a finding shows as a drawing.
pub(super) enum Picture {
    /// The drawing.
    Drawn(Box<Drawing>),
    /// It stands with an earlier finding.
    With { number: usize, title: String },
    /// The report is full.
    Full { tendon: String },
}

impl Picture {
    pub(super) fn markup(&self) -> String {
        match self {
            Self::Drawn(drawing) => figure(drawing),
            Self::With { number, title } => format!(
                "<p>Drawing with finding <a href=\"#f{number}\">{number}</a>: {}.</p>",
                escaped(title)
            ),
            Self::Full { tendon } => format!(
                "<p>This report holds its {MOST} drawings already; the plan of tendon {} has this one.</p>",
                escaped(tendon)
            ),
        }
    }
}

/// A drawing with its title, and what is not drawn.
pub(super) fn figure(drawing: &Drawing) -> String {
    let holes: Vec<_> = drawing
        .holes
        .iter()
        .map(|hole| format!("{} ({})", hole.blocks, crate::plan::field(hole.field)))
        .collect();
    let holes = match holes.is_empty() {
        true => String::new(),
        false => format!(" Not drawn, as the schedule does not state it: {}.", holes.join("; ")),
    };
    format!(
        "<figure>\n{}\n<figcaption>{}.{}</figcaption>\n</figure>",
        drawing.svg,
        escaped(&drawing.title),
        escaped(&holes)
    )
}

/// The drawing that shows what each finding is about, by its position, where there is one.
pub(super) fn of_findings(
    checked: &Checked<'_>,
    groups: &[Alike<'_>],
    as_of: Date,
) -> BTreeMap<usize, Picture> {
    let mut pictures = BTreeMap::new();
    let (Some(reading), Some(in_force)) = (checked.reading, checked.rulebook) else {
        return pictures;
    };
    let context = Context::new(
        &reading.schedule,
        &reading.problems,
        &reading.questions,
        in_force.book,
        as_of,
    );
    let mut gallery = Gallery {
        drawings: Drawings::of(&context, checked.system),
        context: &context,
        tendons: context.tendons().collect(),
        of: HashMap::new(),
    };
    let mut shown: HashMap<String, usize> = HashMap::new();
    for (index, group) in groups.iter().enumerate() {
        let finding = &group.first.finding;
        let Some(kind) = kind_of(finding.rule) else { continue };
        if finding.severity == Severity::Note {
            continue;
        }
        let related = finding.related.iter().map(|related| &related.place);
        let routes: Vec<&Route> = std::iter::once(&finding.place)
            .chain(related)
            .filter_map(|place| match place {
                Where::Route(route) => Some(route),
                Where::File(_) | Where::Limit(_) => None,
            })
            .collect();
        let full = shown.len() >= MOST;
        let Some(subject) = routes.iter().find_map(|route| gallery.subject(kind, route, full))
        else {
            continue;
        };
        let picture = match (&subject, full) {
            (Subject { drawing: Some(drawing), .. }, _) if shown.contains_key(&drawing.name) => {
                Picture::With { number: shown[&drawing.name] + 1, title: drawing.title.clone() }
            }
            (Subject { tendon, .. }, true) => Picture::Full { tendon: tendon.clone() },
            (Subject { drawing: Some(drawing), .. }, false) => {
                shown.insert(drawing.name.clone(), index);
                Picture::Drawn(Box::new(drawing.clone()))
            }
            (Subject { drawing: None, .. }, false) => continue,
        };
        pictures.insert(index, picture);
    }
    pictures
}

/// What a rule is about, as a drawing.
fn kind_of(rule: &str) -> Option<Kind> {
    Some(match rule {
        "space/live-tendon-in-the-way" | "anchorage/edge-distance" => Kind::Face,
        "path/angle-mismatch" => Kind::Deviator,
        "replacement/cut-in-form" | "replacement/piece-too-long-or-heavy" => Kind::Tendon,
        "stressing/force-mismatch"
        | "stressing/friction-unusual"
        | "stressing/set-unusual"
        | "stressing/anchorage-stress-high"
        | "stressing/jacking-stress-high"
        | "stressing/service-stress-high"
        | "stressing/tendon-stress-high" => Kind::Force,
        "filler/vent-missing" | "filler/volume-mismatch" | "filler/pressure-or-rate" => Kind::Fill,
        _ => match rule.split_once('/')?.0 {
            "space" => Kind::Room,
            "anchorage" | "parts" => Kind::Anchorage,
            "deviator" => Kind::Deviator,
            "path" => Kind::Tendon,
            "access" => Kind::Opening,
            _ => return None,
        },
    })
}

struct Subject {
    tendon: String,
    drawing: Option<Drawing>,
}

/// The drawings of tendons, each tendon's made when the first finding asks.
struct Gallery<'c, 'a> {
    drawings: Drawings<'c, 'a>,
    context: &'c Context<'a>,
    tendons: Vec<TendonAt<'a>>,
    of: HashMap<usize, Vec<Drawing>>,
}

impl Gallery<'_, '_> {
    /// The drawing of a kind that shows what a route leads to; of a full report only what is drawn already.
    fn subject(&mut self, kind: Kind, route: &Route, full: bool) -> Option<Subject> {
        if kind == Kind::Opening {
            return self.opening(route, full);
        }
        let (index, of) = self.tendon_at(kind, route)?;
        let tendon = self.tendons[index].mark();
        if full && !self.of.contains_key(&index) {
            return Some(Subject { tendon, drawing: None });
        }
        let all = self.all(index);
        let found = match &of {
            Of::All(kind) => all.iter().find(|drawing| drawing.kind == *kind),
            Of::End(kind, call) => all
                .iter()
                .find(|drawing| drawing.kind == *kind && drawing.of.as_deref() == Some(call)),
            Of::Deviator(number) => {
                all.iter().filter(|drawing| drawing.kind == Kind::Deviator).nth(*number)
            }
        };
        Some(Subject { tendon, drawing: found.cloned() })
    }

    fn all(&mut self, index: usize) -> &[Drawing] {
        let at = &self.tendons[index];
        self.of
            .entry(index)
            .or_insert_with(|| self.drawings.of_tendon(at, &restrand_plan::plan(self.context, at)))
    }

    fn opening(&mut self, route: &Route, full: bool) -> Option<Subject> {
        let [Step::Field("openings"), Step::Item(position), ..] = route.steps() else {
            return None;
        };
        let id = self.context.schedule.openings.get(*position)?.id.as_deref()?;
        let begins = format!("{id}, ");
        for index in 0..self.tendons.len().min(SEARCHED) {
            if full && !self.of.contains_key(&index) {
                continue;
            }
            let tendon = self.tendons[index].mark();
            let is_it = |drawing: &&Drawing| {
                drawing.kind == Kind::Opening
                    && drawing.of.as_deref().is_some_and(|of| of.starts_with(&begins))
            };
            if let Some(drawing) = self.all(index).iter().find(is_it) {
                return Some(Subject { tendon, drawing: Some(drawing.clone()) });
            }
        }
        None
    }

    /// The tendon that a route is in, or the first one that uses what it is in, and of what of it the drawing is.
    fn tendon_at(&self, kind: Kind, route: &Route) -> Option<(usize, Of)> {
        let ends = matches!(kind, Kind::Anchorage | Kind::Room | Kind::Face);
        match route.steps() {
            [Step::Field("tendons"), Step::Item(index), rest @ ..] => {
                let at = self.tendons.get(*index)?;
                let of = match rest {
                    [Step::Field("ends"), Step::Field(_), ..] if ends => {
                        let end = at.ends().find(|end| route.is_within(&end.route))?;
                        Of::End(kind, end.call())
                    }
                    [Step::Field("deviators"), Step::Item(number), ..]
                        if matches!(kind, Kind::Deviator | Kind::Anchorage) =>
                    {
                        Of::Deviator(*number)
                    }
                    _ if ends || kind == Kind::Deviator => return None,
                    _ => Of::All(kind),
                };
                Some((*index, of))
            }
            [Step::Field("anchorages"), ..] => {
                self.tendons.iter().enumerate().find_map(|(index, at)| {
                    let end = at.ends().find(|end| {
                        let used = self.context.anchorage(end.end);
                        used.is_some_and(|used| route.is_within(&used.route))
                    })?;
                    Some((index, Of::End(kind, end.call())))
                })
            }
            [Step::Field("forms"), ..] => {
                self.tendons.iter().enumerate().find_map(|(index, at)| {
                    let number = at.tendon.deviators.iter().position(|deviator| {
                        let used = self.context.form(deviator);
                        used.is_some_and(|used| route.is_within(&used.route))
                    })?;
                    Some((index, Of::Deviator(number)))
                })
            }
            _ => None,
        }
    }
}

/// Of what of a tendon a drawing is.
enum Of {
    All(Kind),
    End(Kind, String),
    Deviator(usize),
}

#[cfg(test)]
mod tests {
    #[test]
    fn the_rules_named_here_are_in_the_catalogue() {
        let named = include_str!("figures.rs").split("fn kind_of").nth(1).unwrap();
        let named = named.split("\n}").next().unwrap();
        let named: Vec<_> = named.split('"').skip(1).step_by(2).collect();
        assert!(named.len() > 15, "{named:?}");
        for name in named {
            let known = restrand_rules::CATALOGUE.iter().any(|rule| {
                rule.id == name
                    || rule.id.strip_prefix(name).is_some_and(|rest| rest.starts_with('/'))
            });
            assert!(known, "{name}");
        }
    }
}
