//! Drawings within a page: which one shows what a rule found, each once.

use std::collections::{BTreeMap, HashMap, HashSet};

use restrand_finding::{Severity, Where};
use restrand_model::route::{Route, Step};
use restrand_rules::{Context, TendonAt};

use super::markup::escaped;
use super::stamp::Stamp;
use crate::alike::Alike;
use crate::checked::Checked;
use crate::draw::{Drawing, Drawings, Kind, Thing};

/// Most drawings in a report of findings: what a browser lays out at once without a wait.
const MOST: usize = 60;

/// What a finding shows as a drawing.
pub(super) enum Picture {
    /// The drawing.
    Drawn(Box<Drawing>),
    /// That of an earlier finding, by its name and title.
    With { name: String, title: String },
    /// The report is full; the plan of a tendon has the drawing, where it is of one.
    Full { tendon: Option<String> },
}

impl Picture {
    /// What stands with the finding: the drawings themselves come after all findings, each once.
    pub(super) fn markup(&self) -> String {
        let link = |name: &str, title: &str| {
            format!(
                "<p><strong>Drawing:</strong> <a href=\"#{}\">{}</a>.</p>",
                escaped(name),
                escaped(title)
            )
        };
        match self {
            Self::Drawn(drawing) => link(&drawing.name, &drawing.title),
            Self::With { name, title } => link(name, title),
            Self::Full { tendon: Some(tendon) } => format!(
                "<p>This report holds its {MOST} drawings already; the plan of tendon {} has this one.</p>",
                escaped(tendon)
            ),
            Self::Full { tendon: None } => format!(
                "<p>This report holds its {MOST} drawings already; the plans of the tendons whose jacks or pieces pass \
                 this opening have this one.</p>"
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
    stamp: &Stamp<'_>,
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
        stamp.as_of,
    );
    let mut gallery = Gallery {
        drawings: Drawings::of(&context, checked.system, stamp.identity),
        context: &context,
        tendons: context.tendons().collect(),
        of: HashMap::new(),
    };
    let mut shown: HashSet<String> = HashSet::new();
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
        let subject = match kind {
            Kind::Opening => gallery.opening(&routes, full),
            _ => routes.iter().find_map(|route| gallery.subject(kind, route, full)),
        };
        let Some(subject) = subject else { continue };
        let picture = match (&subject, full) {
            (Subject { drawing: Some(drawing), .. }, _) if shown.contains(&drawing.name) => {
                Picture::With { name: drawing.name.clone(), title: drawing.title.clone() }
            }
            (Subject { tendon, .. }, true) => Picture::Full { tendon: tendon.clone() },
            (Subject { drawing: Some(drawing), .. }, false) => {
                shown.insert(drawing.name.clone());
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
        "space/live-tendon-in-the-way" | "space/jack-envelope" | "anchorage/edge-distance" => {
            Kind::Face
        }
        "space/jack-stress" | "space/jack-take-off" | "space/jack-thread-on" => Kind::Jack,
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
    tendon: Option<String>,
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
        let (index, of) = self.tendon_at(kind, route)?;
        let tendon = Some(self.tendons[index].mark());
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

    /// The opening that a finding names, with the jack that it names, or with what the plan of the tendon that it names
    /// carries through it; alone where it names neither.
    fn opening(&self, routes: &[&Route], full: bool) -> Option<Subject> {
        let item = |list: &str| {
            routes.iter().find_map(|route| match route.steps() {
                [Step::Field(field), Step::Item(position), ..] if *field == list => Some(*position),
                _ => None,
            })
        };
        let opening = item("openings")?;
        if full {
            return Some(Subject { tendon: None, drawing: None });
        }
        let thing = item("jacks").map(Thing::Jack);
        let at = item("tendons").filter(|_| thing.is_none()).and_then(|one| self.tendons.get(one));
        let planned = at.map(|at| (at, restrand_plan::plan(self.context, at)));
        let planned = planned.iter().map(|(at, plan)| (*at, plan));
        let drawing = self.drawings.of_opening(opening, thing, planned);
        Some(Subject { tendon: None, drawing })
    }

    /// The tendon that a route is in, or the first one that uses what it is in, and of what of it the drawing is.
    fn tendon_at(&self, kind: Kind, route: &Route) -> Option<(usize, Of)> {
        let ends = matches!(kind, Kind::Anchorage | Kind::Room | Kind::Jack | Kind::Face);
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
