//! What was lost in reading, by header and by value.

use restrand_model::reading::Origin;

use super::*;

#[test]
fn a_headers_problem_leads_to_the_field_of_its_column() {
    let column = column_of("Ends: Removal space behind [mmm]");
    assert_eq!(column, Some(("end", "removal_space.behind_mm".to_owned())));
    assert_eq!(column_of("Ends: Tendon"), None);
    assert_eq!(column_of("Ends: Colour of paint"), None);
    assert_eq!(column_of("tendon.order"), None);
}

#[test]
fn what_is_inside_a_lost_value_is_lost() {
    let problem = |subject: &str| Problem {
        kind: ProblemKind::ValueLost,
        place: restrand_model::reading::Place::Part { part: String::new() },
        record: Origin::new(0, 4),
        subject: subject.to_owned(),
        given: None,
        why: String::new(),
        help: String::new(),
    };
    let problems = [problem("tendon.ends"), problem("tendon.spans[#1]")];
    let (schedule, book) = (Schedule::default(), Rulebook::default());
    let day = Date::new(2031, 5, 7).unwrap();
    let context = Context::new(&schedule, &problems, &[], &book, day);
    let record = Origin::new(0, 4);
    assert!(context.is_lost(record, "ends.a.jack"));
    assert!(context.is_lost(record, "spans"));
    assert!(!context.is_lost(record, "strand"));
    assert!(!context.is_lost(Origin::new(0, 5), "ends"));
}
