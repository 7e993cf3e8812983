//! Ids that last: derived from names, the same in every run, and as IFC writes them.

use uuid::Uuid;

use crate::reflect::Record;
use crate::route::{Names, Route};
use crate::schedule::Schedule;
use crate::value::Value;

/// The member of a record's `extra` in which the id stands that a model gave it.
///
/// A workbook keeps it as a column of this header, so that it goes to and fro with its record.
pub const GLOBAL_ID: &str = "GlobalId";

/// Records that a model shows as elements of their own, so that each is selected by its id.
pub const ELEMENTS: &[&str] = &["tendon", "end", "deviator", "duct_run", "place"];

/// What all derived ids begin from: an arbitrary number that must never change.
const NAMESPACE: Uuid = Uuid::from_u128(0x6f0c_34a2_1f5b_4c8e_9d27_5b1e_8a40_c3f7);

/// The digits of a compressed id in order of their values, as ISO 16739-1 gives them.
const DIGITS: &[u8; 64] = b"0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz_$";

/// Characters of a compressed id.
const LENGTH: usize = 22;

/// The ids of one bridge.
///
/// They follow from the bridge's number, or else its name, and from the name of what bears them (UUID version 5 of RFC 9562),
/// not from the revision: the next issue of a schedule gives the same tendon the same id.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Ids {
    bridge: Uuid,
}

impl Ids {
    /// The ids of the bridge that the schedule is of.
    #[must_use]
    pub fn of(schedule: &Schedule) -> Self {
        let project = schedule.project.as_deref();
        let bridge = project
            .and_then(|project| project.structure_number.as_deref().or(project.bridge.as_deref()));
        Self { bridge: Uuid::new_v5(&NAMESPACE, bridge.unwrap_or_default().as_bytes()) }
    }

    /// The id of the bridge itself.
    #[must_use]
    pub const fn bridge(&self) -> Uuid {
        self.bridge
    }

    /// The id of what bears this name; of a record, the name is its route as people read it.
    #[must_use]
    pub fn named(&self, name: &str) -> Uuid {
        Uuid::new_v5(&self.bridge, name.as_bytes())
    }

    /// The id in a model of the record at the end of this route: the one that its source gave it, else the one of its
    /// name.
    ///
    /// ```
    /// use restrand_model::ifc::Ids;
    /// use restrand_model::route::{Names, Route};
    /// use restrand_model::schedule::{Schedule, Tendon};
    /// let tendon = Tendon { mark: Some("T1".into()), ..Tendon::default() };
    /// let schedule = Schedule { tendons: vec![tendon], ..Schedule::default() };
    /// let id = Ids::of(&schedule).of_record(&Route::to("tendons", 0), &schedule, &Names::of(&schedule));
    /// assert_eq!(id.len(), 22);
    /// ```
    #[must_use]
    pub fn of_record(&self, route: &Route, schedule: &Schedule, names: &Names) -> String {
        if let crate::View::Record(record) = route.view(schedule)
            && let Some(id) = stated(record)
        {
            return id.to_owned();
        }
        compressed(self.named(&names.show(route, schedule)))
    }
}

/// The innermost record on the way to the end of a route that a model shows as an element; none if there is none.
#[must_use]
pub fn element_of(route: &Route, schedule: &Schedule) -> Option<Route> {
    (1..=route.steps().len()).rev().map(|length| route.up_to(length)).find(|route| {
        match route.view(schedule) {
            crate::View::Record(record) => {
                ELEMENTS.contains(&record.info().name) || stated(record).is_some()
            }
            _ => false,
        }
    })
}

/// The id that a record's source gave it, if it is one of IFC.
#[must_use]
pub fn stated(record: &dyn Record) -> Option<&str> {
    match record.extra().get(GLOBAL_ID)? {
        Value::Text(id) if expanded(id).is_some() => Some(id),
        _ => None,
    }
}

/// The id of what bears this name, whatever bridge it is of.
#[must_use]
pub fn derived(name: &str) -> Uuid {
    Uuid::new_v5(&NAMESPACE, name.as_bytes())
}

/// The id in the 22 characters of IFC.
#[must_use]
pub fn compressed(id: Uuid) -> String {
    let mut rest = id.as_u128();
    let mut characters = [b'0'; LENGTH];
    for character in characters.iter_mut().rev() {
        // The lowest six bits, which index the 64 digits.
        *character = DIGITS[(rest & 0x3f) as usize];
        rest >>= 6;
    }
    characters.iter().copied().map(char::from).collect()
}

/// The id that the 22 characters stand for; none if they are not those of an id.
#[must_use]
pub fn expanded(characters: &str) -> Option<Uuid> {
    if characters.len() != LENGTH {
        return None;
    }
    let mut id: u128 = 0;
    for (position, character) in characters.bytes().enumerate() {
        let digit = DIGITS.iter().position(|digit| *digit == character)?;
        // The first character has two bits only.
        if position == 0 && digit > 3 {
            return None;
        }
        id = id << 6 | digit as u128;
    }
    Some(Uuid::from_u128(id))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::schedule::{Project, Tendon};
    use crate::value::Name;

    #[test]
    fn an_id_is_compressed_as_other_programs_do_it() {
        // ifcopenshell 0.9, ifcopenshell.guid.compress of these ids.
        for (id, characters) in [
            ("00000000-0000-0000-0000-000000000000", "0000000000000000000000"),
            ("ffffffff-ffff-ffff-ffff-ffffffffffff", "3$$$$$$$$$$$$$$$$$$$$$"),
            ("301fee1d-a3ac-40a7-abaa-8131cf967c64", "0m7_uTewn0fwkgWJ7Fbdna"),
            ("8b223cce-7c4b-5c73-900b-8b919940e344", "2B8ZpEV4jSSv0BYv6PGED4"),
        ] {
            let id = Uuid::parse_str(id).unwrap();
            assert_eq!(compressed(id), characters);
            assert_eq!(expanded(characters), Some(id));
        }
    }

    #[test]
    fn what_is_no_id_is_none() {
        for no_id in
            ["", "0", "4000000000000000000000", "xxxxxxxxxxxxxxxxxxxx54", "000000000000000000000é"]
        {
            assert_eq!(expanded(no_id), None, "{no_id}");
        }
    }

    fn schedule(bridge: &str, marks: &[&str]) -> Schedule {
        let tendon = |mark: &&str| Tendon { mark: Some((*mark).into()), ..Tendon::default() };
        let project = Project { bridge: Some(bridge.into()), ..Project::default() };
        Schedule {
            project: Some(Box::new(project)),
            tendons: marks.iter().map(tendon).collect(),
            ..Schedule::default()
        }
    }

    fn id(schedule: &Schedule, tendon: usize) -> String {
        Ids::of(schedule).of_record(&Route::to("tendons", tendon), schedule, &Names::of(schedule))
    }

    #[test]
    fn ids_follow_names_not_positions() {
        let one = schedule("Upper Bridge", &["T1", "T2"]);
        let turned = schedule("Upper Bridge", &["T2", "T1"]);
        let other = schedule("Lower Bridge", &["T1", "T2"]);
        assert_eq!(id(&one, 0), id(&turned, 1));
        assert_ne!(id(&one, 0), id(&one, 1));
        assert_ne!(id(&one, 0), id(&other, 0));
    }

    #[test]
    fn records_that_share_a_name_have_ids_of_their_own() {
        let shared = schedule("Upper Bridge", &["T1", "T1"]);
        assert_ne!(id(&shared, 0), id(&shared, 1));
    }

    #[test]
    fn a_value_belongs_to_the_innermost_element() {
        let mut schedule = schedule("Upper Bridge", &["T1"]);
        let tendon = Route::to("tendons", 0);
        let behind = tendon.field("ends").field("a").field("removal_space").field("behind_mm");
        assert_eq!(element_of(&behind, &schedule), Some(tendon.clone()));
        behind.set(&mut schedule, Some(Value::Number(600.0))).unwrap();
        assert_eq!(element_of(&behind, &schedule), Some(tendon.field("ends").field("a")));
        assert_eq!(element_of(&Route::to("project", 0), &schedule), None);
    }

    #[test]
    fn the_id_that_a_source_gave_holds_if_it_is_one() {
        let mut schedule = schedule("Upper Bridge", &["T1"]);
        let derived = id(&schedule, 0);
        let give = |schedule: &mut Schedule, id: &str| {
            schedule.tendons[0].extra = crate::Fields::default();
            schedule.tendons[0].extra.push(Name::Given(GLOBAL_ID.into()), Value::Text(id.into()));
        };
        give(&mut schedule, "2NGivUbDnHkA1cdwkBFzbW");
        assert_eq!(id(&schedule, 0), "2NGivUbDnHkA1cdwkBFzbW");
        give(&mut schedule, "none");
        assert_eq!(id(&schedule, 0), derived);
    }
}
