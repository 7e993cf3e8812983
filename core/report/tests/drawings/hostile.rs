//! Schedules in which anything may be absent or absurd.

use serde_json::{Value, json};

use crate::sheet::elements;
use crate::{bytes, drawn, read};

/// An even spread of numbers, the same in every run.
struct Spread(u64);

impl Spread {
    fn below(&mut self, most: usize) -> usize {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
        usize::try_from(self.0 >> 33).unwrap() % most.max(1)
    }
}

/// Leaves out members, and puts numbers in that are none of this trade.
fn spoil(value: &mut Value, spread: &mut Spread) {
    match value {
        Value::Object(members) => {
            let keys: Vec<String> = members.keys().cloned().collect();
            for key in keys {
                if spread.below(20) == 0 {
                    members.remove(&key);
                } else {
                    spoil(&mut members[&key], spread);
                }
            }
        }
        Value::Array(items) => items.iter_mut().for_each(|item| spoil(item, spread)),
        Value::Number(_) if spread.below(30) == 0 => {
            let odd = [0.0, -1.0, 1e-9, 1e9, 1e300, 0.5, 1000.0, -4000.0];
            *value = json!(odd[spread.below(odd.len())]);
        }
        _ => {}
    }
}

#[test]
fn whatever_is_stated_something_is_drawn_that_can_be_read() {
    let mut document: Value = serde_json::from_slice(&bytes("quillmere.json")).unwrap();
    let tendons = document["tendons"].as_array_mut().unwrap();
    tendons.retain(|tendon| matches!(tendon["mark"].as_str(), Some("T11L" | "T22L")));
    let mut drawn_in_all = 0;
    for seed in 0..24 {
        let mut spoiled = document.clone();
        let mut spread = Spread(seed);
        for list in
            ["tendons", "anchorages", "forms", "jacks", "places", "bays", "openings", "ducts"]
        {
            spoil(&mut spoiled[list], &mut spread);
        }
        let schedule = read(serde_json::to_vec(&spoiled).unwrap()).schedule;
        for drawing in drawn(&schedule, |_| true) {
            let elements = elements(&drawing.svg);
            let numbers = elements.iter().flat_map(|element| {
                let names = ["x", "y", "cx", "cy", "r", "textLength"];
                names.into_iter().filter_map(|name| element.attributes.get(name))
            });
            for number in numbers {
                let number: f64 = number.parse().unwrap();
                assert!(
                    number.is_finite() && number.abs() < 1e6,
                    "{} of seed {seed}",
                    drawing.name
                );
            }
            drawn_in_all += 1;
        }
    }
    assert!(drawn_in_all > 300, "{drawn_in_all}");
}
