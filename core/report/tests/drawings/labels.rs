//! What stands beside what it names.

use restrand_report::draw::Kind;

use crate::sheet::elements;
use crate::{DEMOS, demo, texts};

#[test]
fn every_label_and_dimension_of_the_demo_has_room() {
    for name in DEMOS {
        for drawing in demo(name) {
            let elements = elements(&drawing.svg);
            let put_off = texts(&elements).find(|element| element.text.starts_with("Without room"));
            assert_eq!(put_off.map(|element| &element.text), None, "{name}: {}", drawing.name);
        }
    }
}

#[test]
fn angles_are_read_in_degrees() {
    let mut read = 0;
    for drawing in demo("quillmere.json") {
        let elements = elements(&drawing.svg);
        for text in texts(&elements).map(|element| element.text.as_str()) {
            assert!(!text.split([' ', '.']).any(|word| word == "rad"), "{}: {text}", drawing.name);
            read += usize::from(text.contains('°'));
        }
    }
    assert!(read > 50, "{read}");
    // 13.65 m in which it falls by 1 m and goes 0.25 m aside, then level: atan(√(1² + 0.25²) / 13.65), by hand.
    let turned = demo("quillmere.json")
        .iter()
        .find(|drawing| {
            drawing.kind == Kind::Deviator && drawing.name.ends_with("T11L-deviator-D11")
        })
        .map(|drawing| elements(&drawing.svg))
        .unwrap();
    let says = |words: &str| texts(&turned).any(|element| element.text == words);
    assert!(says("The tendon turns by 4.32° in space."));
}
