//! Sets are read by several threads: what comes of them is the same, and in the same order, whoever reads which.

#![allow(clippy::unwrap_used, reason = "a failure is a failure of the test")]

mod common;

use std::fmt::Write;

use common::{HEAD, Read, read, text};

/// Tendons that are enough for another thread to pay.
const TENDONS: usize = 200;

/// A model whose tendons each have a set with a value without a unit, and a property that all of them share and that
/// has an attribute too many.
fn model() -> String {
    let mut instances = HEAD.to_owned();
    instances.push_str("#900=IFCPROPERTYSINGLEVALUE('shared',$,IFCLABEL('x'),$,$);\n");
    for position in 0..TENDONS {
        let number = 1000 + 10 * position;
        let id = |of: usize| format!("0{:021}", number + of);
        let (tendon, mark, length, set) = (number, number + 1, number + 2, number + 3);
        write!(
            instances,
            "#{tendon}=IFCTENDON('{}',$,'T{position}',$,$,$,$,$,$,.STRAND.,$,$,$,$,$,$,$);\n\
             #{mark}=IFCPROPERTYSINGLEVALUE('mark',$,IFCLABEL('M{position}'),$);\n\
             #{length}=IFCPROPERTYSINGLEVALUE('length',$,IFCREAL({position}.5),$);\n\
             #{set}=IFCPROPERTYSET('{}',$,'Restrand_Tendon',$,(#{mark},#{length},#900));\n\
             #{}=IFCRELDEFINESBYPROPERTIES('{}',$,$,$,(#{tendon}),#{set});\n",
            id(0),
            id(3),
            number + 4,
            id(4),
        )
        .unwrap();
    }
    instances
}

#[test]
fn sets_that_are_read_ahead_are_handed_over_in_order() {
    let instances = model();
    for _ in 0..10 {
        let read: Read = read(&instances);
        let tendons = read.of("Tendons");
        let marks: Vec<_> = tendons.iter().map(|one| text(&one.fields, "mark")).collect();
        let names: Vec<String> = (0..TENDONS).map(|position| format!("M{position}")).collect();
        assert_eq!(marks, names.iter().map(|name| Some(&**name)).collect::<Vec<_>>());
        // Each value stands at its own property.
        for (position, tendon) in tendons.iter().enumerate() {
            let ways: Vec<String> = tendon.apart.iter().map(|one| one.way.join(".")).collect();
            assert_eq!(ways, ["mark", "shared"], "{position}");
        }
        // What they share is said once, with the first; the others each at their own.
        assert_eq!(read.said("it has 5 attributes").len(), 1, "{}", read.all_said());
        assert!(
            read.problems[0].why.contains("it has 5 attributes")
                || read.problems[1].why.contains("it has 5")
        );
        let given: Vec<_> =
            read.said("it is a bare number").iter().map(|one| one.given.clone()).collect();
        let numbers: Vec<_> = (0..TENDONS).map(|position| Some(format!("{position}.5"))).collect();
        assert_eq!(given, numbers);
        assert_eq!(read.problems.len(), TENDONS + 1);
    }
}
