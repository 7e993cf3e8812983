//! Topics: what a finding, or several that say the same, is in a BCF archive.

use restrand_check::LocatedFinding;
use restrand_finding::{Source, Where, fill_in};
use restrand_model::ifc::{Ids, Uuid, element_of};
use restrand_model::route::{Names, Route};
use restrand_model::schedule::Schedule;
use restrand_model::shortened;

use super::camera::{Camera, Cameras, anywhere};
use super::users;
use crate::alike::Alike;
use crate::checked::Checked;
use crate::coverage::CLOSING;
use crate::json::{Lookup, at};
use crate::plain::plain;
use crate::spot;

/// A topic of the archive.
pub(crate) struct Topic {
    pub(crate) id: Uuid,
    /// How bad it is, in a word.
    pub(crate) severity: &'static str,
    pub(crate) title: String,
    /// The rule, and the kind of the finding.
    pub(crate) labels: [&'static str; 2],
    pub(crate) description: String,
    /// The name of the file that was checked.
    pub(crate) file: String,
    pub(crate) view: Option<View>,
}

/// What a viewer is to show of a model.
pub(crate) struct View {
    pub(crate) id: Uuid,
    /// The elements that are selected, by their ids in the model.
    pub(crate) elements: Vec<String>,
    pub(crate) camera: Camera,
}

/// Characters of a title.
const LONGEST_TITLE: usize = 250;
/// Places of findings that say the same, listed in a description.
const MOST_PLACES: usize = 200;

/// What the topics of one input have in common.
pub(crate) struct Topics<'c, 'a> {
    checked: &'c Checked<'a>,
    lookup: Lookup<'a>,
    ids: Ids,
    model: Option<Model<'a>>,
}

struct Model<'a> {
    schedule: &'a Schedule,
    names: Names,
    cameras: Option<Cameras>,
}

impl<'c, 'a> Topics<'c, 'a> {
    pub(crate) fn of(checked: &'c Checked<'a>) -> Self {
        let schedule = checked.reading.map(|reading| &reading.schedule);
        Self {
            checked,
            lookup: Lookup::of(checked),
            ids: schedule.map_or_else(|| Ids::of(&Schedule::default()), Ids::of),
            model: schedule.map(|schedule| Model {
                schedule,
                names: Names::of(schedule),
                cameras: checked.rulebook.map(|in_force| Cameras::of(schedule, in_force.book)),
            }),
        }
    }

    pub(crate) const fn ids(&self) -> Ids {
        self.ids
    }

    /// What stays the same about the findings from one run to the next.
    pub(crate) fn name(alike: &Alike<'_>) -> String {
        match alike.others.is_empty() {
            true => format!("finding {}", alike.first.fingerprint),
            false => format!("findings {}", alike.says()),
        }
    }

    /// The topic of findings that say the same, under this id.
    pub(crate) fn topic(&self, alike: &Alike<'_>, id: Uuid) -> Topic {
        let finding = &alike.first.finding;
        let message = self.filled(alike.first, &finding.message);
        let title = match alike.others.len() {
            0 => message,
            others => format!("{message} (and {others} more alike)"),
        };
        Topic {
            id,
            severity: finding.severity.word(),
            title: shortened(&title, LONGEST_TITLE).into_owned(),
            labels: [finding.rule, finding.kind.word()],
            description: self.description(alike),
            file: spot::base_name(self.checked.file),
            view: self.view(alike, id),
        }
    }

    fn filled(&self, found: &LocatedFinding, template: &str) -> String {
        plain(&fill_in(template, &found.finding.facts, self.checked.system))
    }

    fn place(&self, found: &LocatedFinding) -> String {
        let at = at(&found.place, found.record, &found.path, self.checked, &self.lookup);
        match &found.route {
            Some(route) => format!("{} ({})", spot::in_full(&at), plain(route)),
            None => spot::in_full(&at),
        }
    }

    fn description(&self, alike: &Alike<'_>) -> String {
        let found = alike.first;
        let finding = &found.finding;
        let mut lines =
            vec![self.filled(found, &finding.message), format!("Place: {}", self.place(found))];
        for other in alike.others.iter().take(MOST_PLACES) {
            lines.push(format!("Alike: {}", self.place(other)));
        }
        if let Some(more) = alike.others.len().checked_sub(MOST_PLACES).filter(|more| *more > 0) {
            lines.push(format!("Alike: and {more} more; restrand check --format json lists all"));
        }
        for related in &found.related {
            let place = related
                .place
                .as_ref()
                .map(|place| at(place, related.record, &related.path, self.checked, &self.lookup));
            let text = self.filled(found, &related.text);
            lines.push(match (place, &related.name) {
                (Some(place), _) => format!("Also: {}: {text}", spot::in_full(&place)),
                (None, Some(name)) => format!("Also: {}: {text}", plain(name)),
                (None, None) => format!("Also: {text}"),
            });
        }
        if !finding.help.is_empty() {
            lines.push(format!("Help: {}", self.filled(found, &finding.help)));
        }
        for (number, remedy) in finding.remedies.iter().enumerate() {
            let text = self.filled(found, &remedy.text);
            lines.push(format!("Remedy {}: {text}", number + 1));
        }
        for fact in finding.facts.iter().filter(|fact| fact.source == Source::Limit) {
            let shown = fact.shown(self.checked.system);
            lines.push(plain(&format!("Limit: {} {shown}", fact.label())));
        }
        for citation in &finding.citations {
            lines.push(plain(&format!("Source: {citation}")));
        }
        lines.push(format!("Rule: {}", finding.rule));
        lines.push(CLOSING.to_owned());
        lines.join("\n")
    }

    fn view(&self, alike: &Alike<'_>, topic: Uuid) -> Option<View> {
        let model = self.model.as_ref()?;
        let mut routes: Vec<Route> = Vec::new();
        let all = std::iter::once(alike.first).chain(alike.others.iter().copied());
        for found in all {
            let related = found.finding.related.iter().map(|related| &related.place);
            for place in std::iter::once(&found.finding.place).chain(related) {
                if let Where::Route(route) = place {
                    match element_of(route, model.schedule) {
                        Some(element) => routes.push(element),
                        None => routes.extend(users::of(route, model.schedule)),
                    }
                }
            }
        }
        let mut seen = std::collections::HashSet::new();
        routes.retain(|route| seen.insert(route.clone()));
        let of_place = model.cameras.as_ref().and_then(|cameras| {
            let own = match (&alike.first.finding.place, alike.others.is_empty()) {
                (Where::Route(route), true) => cameras.at(route),
                _ => None,
            };
            let only = || match routes.as_slice() {
                [only] => cameras.at(only),
                _ => None,
            };
            own.or_else(only).or_else(|| cameras.over_all())
        });
        if routes.is_empty() && of_place.is_none() {
            return None;
        }
        let elements = routes
            .iter()
            .map(|route| self.ids.of_record(route, model.schedule, &model.names))
            .collect();
        Some(View {
            id: Uuid::new_v5(&topic, b"view"),
            elements,
            camera: of_place.unwrap_or_else(anywhere),
        })
    }
}
