//! Which anchors and conduits are which tendon's, and in which concrete they sit.
//!
//! A model says it by connections; where it does not, by a common assembly, by nesting, by names with a common
//! stem, and at last by where things lie. What was found in any but the first way is said.

use std::collections::{BTreeMap, HashMap};

use restrand_kit::Stopped;
use restrand_model::reading::ProblemKind;

use super::positions::ByPosition;
use super::reader::Reader;
use crate::terms::Kind;

/// A way by which it was found whose something is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Way {
    Connection,
    Assembly,
    Nesting,
    Name,
    Place,
}

impl Way {
    /// How people call it.
    const fn words(self) -> &'static str {
        match self {
            Self::Connection => "a connection",
            Self::Assembly => "being parts of one assembly",
            Self::Nesting => "being nested in it",
            Self::Name => "the beginning of their names",
            Self::Place => "lying where it ends",
        }
    }
}

/// Something of a tendon.
#[derive(Debug, Clone, Copy)]
pub(super) struct Member {
    pub(super) at: usize,
    /// The element in which it sits, where the model says so.
    pub(super) host: Option<usize>,
}

/// What belongs to which tendon.
#[derive(Debug, Default)]
pub(super) struct Links {
    /// By tendon, in the order in which they were found.
    members: ByPosition<Vec<Member>>,
    owners: ByPosition<usize>,
    ways: BTreeMap<Way, Vec<usize>>,
}

/// Names that end at one of these have what stands before it as stem.
const MARKS: [char; 6] = ['-', '_', '.', '/', ':', ' '];

impl Links {
    /// What belongs to a tendon.
    pub(super) fn of(&self, tendon: usize) -> &[Member] {
        self.members.get(&tendon).map_or(&[], Vec::as_slice)
    }

    /// Whether something belongs to a tendon.
    pub(super) fn has_owner(&self, at: usize) -> bool {
        self.owners.contains_key(&at)
    }

    /// Notes that something belongs to a tendon, if it belongs to none yet.
    pub(super) fn add(&mut self, tendon: usize, at: usize, host: Option<usize>, way: Way) {
        if let Some(owner) = self.owners.get(&at) {
            if *owner == tendon
                && let Some(members) = self.members.get_mut(&tendon)
                && let Some(member) = members.iter_mut().find(|member| member.at == at)
            {
                member.host = member.host.or(host);
            }
            return;
        }
        self.owners.insert(at, tendon);
        self.members.entry(tendon).or_default().push(Member { at, host });
        self.ways.entry(way).or_default().push(at);
    }
}

const fn is_member(kind: Kind) -> bool {
    matches!(kind, Kind::TendonAnchor | Kind::TendonConduit)
}

impl Reader<'_, '_> {
    /// Finds what belongs to which tendon by all that the model says; what lies where is for the tendons' axes.
    pub(super) fn links(&mut self) -> Result<Links, Stopped> {
        let mut links = Links::default();
        let tendons = self.graph.all(Kind::Tendon).to_vec();
        for tendon in &tendons {
            for connection in self.graph.connections.get(tendon).into_iter().flatten() {
                let members = connection.other.into_iter().chain(connection.by.iter().copied());
                for at in members.filter(|at| is_member(self.model.kind(*at))) {
                    let other = connection.other.filter(|other| *other != at);
                    let host = other.or_else(|| self.graph.wholes.get(&at).copied());
                    links.add(*tendon, at, host, Way::Connection);
                }
            }
        }
        let mut assemblies: Vec<_> = self.graph.parts.values().collect();
        assemblies.sort_unstable();
        for parts in assemblies {
            let model = self.model;
            let mut own = parts.iter().filter(|at| model.kind(**at) == Kind::Tendon);
            if let (Some(tendon), None) = (own.next(), own.next()) {
                for at in parts.iter().filter(|at| is_member(model.kind(**at))) {
                    links.add(*tendon, *at, None, Way::Assembly);
                }
            }
        }
        for tendon in &tendons {
            let parts = [&self.graph.nested, &self.graph.parts].map(|map| map.get(tendon));
            for at in parts.into_iter().flatten().flatten() {
                if is_member(self.model.kind(*at)) {
                    links.add(*tendon, *at, None, Way::Nesting);
                }
            }
        }
        self.by_connected(&mut links);
        self.by_name(&tendons, &mut links)?;
        Ok(links)
    }

    /// What is connected with something of one tendon, as a joint with its duct, is that tendon's too; what is
    /// connected with those of two tells neither.
    fn by_connected(&self, links: &mut Links) {
        let all = [Kind::TendonAnchor, Kind::TendonConduit].map(|kind| self.graph.all(kind));
        loop {
            let mut found = Vec::new();
            for at in all.into_iter().flatten().copied().filter(|at| !links.has_owner(*at)) {
                let connections = self.graph.connections.get(&at).into_iter().flatten();
                let others = connections.flat_map(|one| one.other.iter().chain(&one.by));
                let mut owners = others.filter_map(|other| links.owners.get(other).copied());
                if let Some(owner) = owners.next()
                    && owners.all(|other| other == owner)
                {
                    found.push((owner, at));
                }
            }
            if found.is_empty() {
                return;
            }
            for (owner, at) in found {
                links.add(owner, at, self.graph.wholes.get(&at).copied(), Way::Connection);
            }
        }
    }

    fn by_name(&mut self, tendons: &[usize], links: &mut Links) -> Result<(), Stopped> {
        let mut left = Vec::new();
        for kind in [Kind::TendonAnchor, Kind::TendonConduit] {
            left.extend(self.graph.all(kind).iter().filter(|at| !links.has_owner(**at)));
        }
        if left.is_empty() {
            return Ok(());
        }
        // A name that two tendons have tells neither.
        let mut names: HashMap<String, Option<usize>> = HashMap::new();
        for tendon in tendons {
            let Some(entity) = self.entity(*tendon)? else { continue };
            let mut own: Vec<&str> =
                ["Name", "Tag"].iter().filter_map(|name| entity.get(name).text()).collect();
            own.dedup();
            for name in own.into_iter().filter(|name| !name.is_empty()) {
                names
                    .entry(name.to_owned())
                    .and_modify(|known| {
                        if *known != Some(*tendon) {
                            *known = None;
                        }
                    })
                    .or_insert(Some(*tendon));
            }
        }
        for at in left {
            let Some(entity) = self.entity(at)? else { continue };
            let owner = ["Name", "Tag"].iter().find_map(|name| {
                let text = entity.get(name).text()?;
                let stems = text.match_indices(MARKS).map(|(end, _)| &text[..end]);
                // The longest stem is the nearest.
                stems.collect::<Vec<_>>().into_iter().rev().find_map(|stem| *names.get(stem)?)
            });
            if let Some(owner) = owner {
                let host = self.graph.wholes.get(&at).copied();
                links.add(owner, at, host, Way::Name);
            }
        }
        Ok(())
    }

    /// Says in which ways it was found whose things are, and of which it was not found.
    pub(super) fn say_links(&mut self, links: &Links) -> Result<(), Stopped> {
        for (way, found) in &links.ways {
            self.said.understood(format!(
                "{} anchors and conduits are those of their tendons by {}",
                found.len(),
                way.words()
            ));
            let Some(first) = found.first().filter(|_| *way != Way::Connection) else { continue };
            let why = format!(
                "{} anchors and conduits were taken for parts of their tendons by {}, as no connection says it",
                found.len(),
                way.words()
            );
            let help = "connect each with its tendon (IfcRelConnectsWithRealizingElements, IfcRelConnectsElements)";
            let what = "link";
            self.remark(*first, ProblemKind::Assumed, what, None, why, help)?;
        }
        for kind in [Kind::TendonAnchor, Kind::TendonConduit] {
            let left: Vec<usize> =
                self.graph.all(kind).iter().copied().filter(|at| !links.has_owner(*at)).collect();
            for at in left {
                let why = "nothing in the model tells to which tendon it belongs".to_owned();
                let help = "connect it with its tendon, or take it out; nothing of it is checked";
                self.remark(at, ProblemKind::OwnerMissing, "", None, why, help)?;
            }
        }
        Ok(())
    }
}
