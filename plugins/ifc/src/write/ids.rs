//! GlobalIds of one model: the model's own for its records, and derived ones for what only stands in it.

use std::collections::HashSet;

use restrand_model::Record;
use restrand_model::ifc::{Ids, compressed, stated};
use restrand_model::schedule::Schedule;

/// Gives out the ids of one model, each once.
#[derive(Debug)]
pub(super) struct Given {
    ids: Ids,
    given: HashSet<String>,
}

impl Given {
    /// The ids of the bridge that a schedule is of.
    pub(super) fn of(schedule: &Schedule) -> Self {
        Self { ids: Ids::of(schedule), given: HashSet::new() }
    }

    /// The id of what bears this name; one that is asked for again is another's.
    pub(super) fn named(&mut self, name: &str) -> String {
        let mut id = compressed(self.ids.named(name));
        let mut times = 1;
        while !self.given.insert(id.clone()) {
            times += 1;
            id = compressed(self.ids.named(&format!("{name}\n{times}")));
        }
        id
    }

    /// The id of a record that is an element: the one that its source gave it, else the one of its name.
    pub(super) fn of_record(&mut self, record: &dyn Record, name: &str) -> String {
        match stated(record) {
            Some(id) if self.given.insert(id.to_owned()) => id.to_owned(),
            _ => self.named(name),
        }
    }
}

#[cfg(test)]
mod tests {
    use restrand_model::schedule::Tendon;
    use restrand_model::value::{Name, Value};

    use super::*;

    #[test]
    fn no_id_is_given_twice() {
        let mut ids = Given::of(&Schedule::default());
        let mut tendon = Tendon::default();
        tendon.extra.push(Name::Given("GlobalId".into()), Value::from("2NGivUbDnHkA1cdwkBFzbW"));
        let first = ids.of_record(&tendon, "tendons[T1]");
        assert_eq!(first, "2NGivUbDnHkA1cdwkBFzbW");
        // A copied row has the id of the other.
        let second = ids.of_record(&tendon, "tendons[T2]");
        assert_eq!(second, Given::of(&Schedule::default()).named("tendons[T2]"));
        assert_ne!(ids.named("tendons[T2]"), second);
    }
}
