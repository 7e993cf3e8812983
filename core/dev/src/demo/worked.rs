//! One tendon of the demo bridge with what it needs, as the worked example of the template.

use std::collections::BTreeSet;

use restrand_model::Record;
use restrand_model::reflect::{Shape, View};
use restrand_model::schedule::Schedule;

/// The tendon that is worked out; it passes both ways of composing an anchorage.
const MARK: &str = "T11L";

/// What of an edition of the demo bridge this one tendon and the bridge around it need.
#[must_use]
pub fn worked(edition: Schedule) -> Schedule {
    let mut schedule = edition;
    schedule.tendons.retain(|tendon| tendon.mark.as_deref() == Some(MARK));
    for tendon in &mut schedule.tendons {
        tendon.twin = None;
    }
    if let Some(project) = schedule.project.as_deref_mut() {
        project.bridge = Some("Worked example: an invented bridge".into());
    }
    let mut named = BTreeSet::new();
    for tendon in &schedule.tendons {
        links(tendon, &mut named);
    }
    keep(&mut schedule.strands, "strands", &named);
    keep(&mut schedule.ducts, "ducts", &named);
    keep(&mut schedule.anchorages, "anchorages", &named);
    keep(&mut schedule.forms, "forms", &named);
    for anchorage in &schedule.anchorages {
        links(anchorage, &mut named);
    }
    keep(&mut schedule.jacks, "jacks", &named);
    // A calibration has an age, and a template is filled whenever somebody takes it.
    for jack in &mut schedule.jacks {
        jack.calibrated_on = None;
    }
    // A section lives on the tendons that are not shown here as well.
    for section in &mut schedule.sections {
        section.internal_force_kn = Some(60_000.0);
    }
    schedule
}

fn keep<R: Record>(records: &mut Vec<R>, list: &'static str, named: &BTreeSet<(&str, String)>) {
    records.retain(|record| {
        let record: &dyn Record = record;
        record.key().is_some_and(|key| named.contains(&(list, key.to_owned())))
    });
}

/// Gathers what a record and all that it holds name, with the lists in which it stands.
fn links(record: &dyn Record, named: &mut BTreeSet<(&'static str, String)>) {
    for (index, field) in record.info().fields.iter().enumerate() {
        match (record.field(index).view(), field.shape) {
            (View::Text(key), Shape::Link(list)) => {
                named.insert((list, key.to_owned()));
            }
            (View::Record(inner), _) => links(inner, named),
            (View::List(list), shape) => {
                for index in 0..list.len() {
                    match (list.item(index), shape) {
                        (View::Record(inner), _) => links(inner, named),
                        (View::Text(key), Shape::Links(of)) => {
                            named.insert((of, key.to_owned()));
                        }
                        _ => {}
                    }
                }
            }
            _ => {}
        }
    }
}
