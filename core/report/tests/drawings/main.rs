//! Drawings of the demo bridge's tendons and of awkward ones, read back and measured.
#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

mod awkward;
mod hostile;
mod labels;
mod sheet;

use std::collections::BTreeSet;
use std::path::Path;
use std::sync::OnceLock;

use restrand_check::rulebook::built_in_force;
use restrand_intake::Reading;
use restrand_kit::{Budget, Bytes, Part, Parts};
use restrand_model::System;
use restrand_model::reflect::Date;
use restrand_model::schedule::{DisplayUnits, Schedule};
use restrand_report::Identity;
use restrand_report::draw::{Drawing, Drawings, Kind};
use restrand_rules::Context;
use sheet::{Element, elements};

const DEMOS: [&str; 3] = ["quillmere.json", "quillmere-us.json", "quillmere-faulty.json"];

fn bytes(name: &str) -> Vec<u8> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../fixtures/demo").join(name);
    std::fs::read(path).unwrap()
}

fn read(bytes: Vec<u8>) -> Reading {
    let bytes = Bytes::new("schedule.json", bytes);
    let parts: [&dyn Part; 1] = [&bytes];
    restrand_intake::read(&restrand_json::Json, Parts(&parts), Budget::default()).unwrap()
}

/// The drawings of those tendons of a schedule that are asked for.
fn drawn(schedule: &Schedule, wanted: impl Fn(&str) -> bool) -> Vec<Drawing> {
    let book = built_in_force("lrfd-2020").unwrap();
    let context = Context::new(schedule, &[], &[], &book, Date::new(2026, 11, 25).unwrap());
    let project = schedule.project.as_deref();
    let is_us = project.and_then(|project| project.display_units) == Some(DisplayUnits::Us);
    let identity = Identity::of("0", &[], None).unwrap();
    let system = if is_us { System::Us } else { System::Si };
    let drawings = Drawings::of(&context, system, &identity);
    let tendons: Vec<_> = context.tendons().filter(|at| wanted(&at.mark())).collect();
    let plans: Vec<_> = tendons.iter().map(|at| restrand_plan::plan(&context, at)).collect();
    drawings.of_plans(&tendons, &plans).all().cloned().collect()
}

/// One of each pair of the demo's tendons, and of the reserved pair; drawn once for all tests.
fn demo(name: &str) -> &'static [Drawing] {
    static DRAWN: [OnceLock<Vec<Drawing>>; DEMOS.len()] = [const { OnceLock::new() }; DEMOS.len()];
    let which = DEMOS.iter().position(|demo| *demo == name).unwrap();
    DRAWN[which].get_or_init(|| drawn_anew(name))
}

fn drawn_anew(name: &str) -> Vec<Drawing> {
    drawn(&read(bytes(name)).schedule, |mark| mark.ends_with('L'))
}

fn texts(elements: &[Element]) -> impl Iterator<Item = &Element> {
    elements.iter().filter(|element| element.name == "text")
}

/// What holds for every drawing, of whatever.
fn holds(drawing: &Drawing) {
    let name = &drawing.name;
    let elements = elements(&drawing.svg);
    let root = &elements[0];
    assert_eq!(root.name, "svg", "{name}");
    assert_eq!(root.attributes["role"], "img");
    assert_eq!(root.attributes["aria-labelledby"], format!("{name}-title {name}-desc"));
    for (element, id) in [(&elements[1], "title"), (&elements[2], "desc")] {
        assert_eq!(
            (element.name.as_str(), &element.attributes["id"]),
            (id, &format!("{name}-{id}"))
        );
        assert!(!element.text.trim().is_empty());
    }
    // What SVG 2 calls them, and nothing that loads, moves or runs.
    let known = ["svg", "title", "desc", "style", "g", "path", "rect", "circle", "text"];
    for element in &elements {
        assert!(known.contains(&element.name.as_str()), "{name}: {}", element.name);
        if let Some(id) = element.attributes.get("id") {
            assert!(id.starts_with(name.as_str()), "{id}");
        }
        let outside =
            element.attributes.keys().any(|key| key.contains("href") || key.starts_with("on"));
        assert!(!outside, "{name}: {element:?}");
    }
    let [width, height] = drawing.size_mm;
    // ISO 216: A3 is 420 by 297 and A4 is 297 by 210; with the margins of the page's style, 10 mm beside and 12 mm over
    // and under.
    assert!(width <= 400.0 && height <= 273.0, "{name} does not come on A3: {width} x {height}");
    let on_a4 = f64::min(277.0 / width, 186.0 / height);
    assert!(on_a4 >= 0.7, "{name} comes out too small on A4: {on_a4} for {width} x {height}");
    let bounds: Vec<_> =
        texts(&elements).map(|element| (element.bounds(), element.text.as_str())).collect();
    for (index, (one, text)) in bounds.iter().enumerate() {
        let is_inside = one.left >= 1.0
            && one.top >= 1.0
            && one.right <= width - 1.0
            && one.bottom <= height - 1.0;
        assert!(is_inside, "{name}: {text} leaves the sheet: {one:?}");
        for (other, over) in &bounds[..index] {
            assert!(!one.overlaps(other), "{name}: {text} lies over {over}");
        }
    }
    for element in elements.iter().filter(|element| element.name == "path") {
        // Grains and stones of concrete go from point to point within shapes that are looked at.
        if element.attributes["d"].contains(['h', 'l']) {
            continue;
        }
        for [x, y] in element.points() {
            assert!(
                (0.0..=width).contains(&x) && (0.0..=height).contains(&y),
                "{name}: a line leaves the sheet at {x} {y}"
            );
        }
    }
    // ISO 3098 (from memory): capitals of 2.5 mm at least; capitals are 0.714 of the size of these letters. On A4 more
    // than 2 mm are left: common practice, no source.
    for element in texts(&elements) {
        let capitals = element.number("font-size") * 0.714;
        assert!(capitals >= 2.499 && capitals * on_a4 > 2.0, "{name}: {}", element.text);
    }
    let foot: String = texts(&elements).map(|element| format!("{} ", element.text)).collect();
    for told in [
        "Draft for the engineer in charge",
        "Document ",
        "revision ",
        "stage ",
        "input ",
        "rulebook ",
        "restrand ",
    ] {
        assert!(foot.contains(told), "{name} does not say {told}");
    }
}

#[test]
fn every_sheet_of_the_demo_is_well_formed_legible_and_free_of_overlaps() {
    for name in DEMOS {
        let drawings = demo(name);
        assert!(drawings.len() > 100, "{name}: {}", drawings.len());
        drawings.iter().for_each(holds);
        let names: BTreeSet<_> = drawings.iter().map(|drawing| &drawing.name).collect();
        assert_eq!(names.len(), drawings.len(), "two drawings of {name} share a name");
        let kinds: BTreeSet<_> = drawings.iter().map(|drawing| drawing.kind).collect();
        assert_eq!(kinds.len(), 9, "{kinds:?}");
    }
}

#[test]
fn awkward_tendons_keep_to_the_sheet() {
    for (name, schedule) in awkward::all() {
        let drawings = drawn(&schedule, |_| true);
        assert!(!drawings.is_empty(), "{name}");
        drawings.iter().for_each(holds);
    }
}

/// Black on white is 21 to 1, the most there is; WCAG 2.2 asks for 4.5 to 1 of text and 3 to 1 of graphics.
#[test]
fn nothing_is_told_by_colour() {
    for drawing in demo("quillmere.json") {
        let colours = drawing.svg.match_indices('#').map(|(at, _)| {
            let rest = &drawing.svg[at + 1..];
            let end = rest.find(|letter: char| !letter.is_ascii_hexdigit()).unwrap();
            &rest[..end]
        });
        for colour in colours.filter(|colour| matches!(colour.len(), 3 | 4 | 6 | 8)) {
            // A pattern is named after the drawing, whose name begins with a letter that no colour has.
            assert!(matches!(colour, "000" | "fff"), "{}: #{colour}", drawing.name);
        }
        for word in ["rgb", "hsl", "opacity", "gradient"] {
            assert!(!drawing.svg.contains(word), "{}: {word}", drawing.name);
        }
    }
}

/// The scale that a drawing says it has.
fn scale(elements: &[Element]) -> Option<f64> {
    let under = texts(elements).find(|element| element.text.contains(" · "))?;
    let at = under.text.find("scale 1:")? + "scale 1:".len();
    under.text[at..].split(' ').next()?.parse().ok()
}

/// Measures every dimension of a drawing; returns how many there are.
fn measure(drawing: &Drawing, is_us: bool) -> usize {
    let elements = elements(&drawing.svg);
    let dimensions: BTreeSet<usize> =
        elements.iter().filter_map(|element| element.dimension).collect();
    if dimensions.is_empty() {
        return 0;
    }
    let scale = scale(&elements).unwrap();
    let unit_mm = match drawing.kind {
        Kind::Tendon | Kind::Fill if is_us => 304.8,
        Kind::Tendon | Kind::Fill => 1000.0,
        _ if is_us => 25.4,
        _ => 1.0,
    };
    for dimension in &dimensions {
        let own = || elements.iter().filter(|element| element.dimension == Some(*dimension));
        // The dimension line is the first that is drawn.
        let line = own().find(|element| element.name == "path").unwrap().points();
        let text = &own().find(|element| element.name == "text").unwrap().text;
        let printed = text.rsplit(' ').next().unwrap();
        let value: f64 = printed.parse().unwrap();
        let decimals = printed.split_once('.').map_or(0, |(_, decimals)| decimals.len());
        let half_digit = 0.5 * 10_f64.powi(-i32::try_from(decimals).unwrap());
        let paper_mm = (line[1][0] - line[0][0]).hypot(line[1][1] - line[0][1]);
        let real = paper_mm * scale / unit_mm;
        // Both ends of the line are written to half a thousandth of a millimetre.
        let rounding = 0.001 * scale / unit_mm;
        assert!(
            (real - value).abs() <= half_digit + rounding,
            "{}: {text} measures {real} at 1:{scale}",
            drawing.name
        );
    }
    dimensions.len()
}

#[test]
fn dimensions_measure_what_their_numbers_say() {
    let of_demo = DEMOS.iter().flat_map(|name| demo(name).iter().map(|one| (one, *name)));
    let measured: usize =
        of_demo.map(|(drawing, name)| measure(drawing, name.contains("-us"))).sum();
    assert!(measured > 1000, "{measured}");
    for (name, schedule) in awkward::all() {
        let drawings = drawn(&schedule, |_| true);
        let measured: usize =
            drawings.iter().map(|drawing| measure(drawing, name.contains("feet"))).sum();
        assert!(measured > 5 || name == "strange", "{name}: {measured}");
    }
}

#[test]
fn no_line_of_a_dimension_goes_through_a_number() {
    let awkward = awkward::all();
    let awkward = awkward.iter().flat_map(|(_, schedule)| drawn(schedule, |_| true));
    let all = DEMOS.iter().flat_map(|name| demo(name).iter().cloned()).chain(awkward);
    let mut looked_at = 0;
    for drawing in all {
        let elements = elements(&drawing.svg);
        let of_dimensions = || elements.iter().filter(|element| element.dimension.is_some());
        let lines: Vec<[[f64; 2]; 2]> = of_dimensions()
            // The heads of arrows, which are full, lie on their lines and lower than a number stands.
            .filter(|element| element.name == "path" && element.attributes["fill"] == "none")
            .flat_map(|element| {
                let points = element.points();
                points.windows(2).map(|pair| [pair[0], pair[1]]).collect::<Vec<_>>()
            })
            .collect();
        for text in of_dimensions().filter(|element| element.name == "text") {
            let bounds = text.bounds();
            let crossed = lines.iter().find(|[from, to]| bounds.meets(*from, *to));
            assert_eq!(crossed, None, "{}: {} is crossed", drawing.name, text.text);
            looked_at += 1;
        }
    }
    assert!(looked_at > 1000, "{looked_at}");
}

/// A label stands on a white ground over the lines that were drawn before it; what is drawn later keeps off it.
#[test]
fn nothing_is_drawn_over_a_text() {
    let awkward = awkward::all();
    let awkward = awkward.iter().flat_map(|(_, schedule)| drawn(schedule, |_| true));
    let all = DEMOS.iter().flat_map(|name| demo(name).iter().cloned()).chain(awkward);
    let mut looked_at = 0;
    for drawing in all {
        let elements = elements(&drawing.svg);
        let lines: Vec<(usize, Vec<[[f64; 2]; 2]>)> = elements
            .iter()
            .enumerate()
            .filter(|(_, element)| element.name == "path")
            .filter(|(_, element)| !element.attributes["d"].contains(['h', 'l']))
            // The heads of arrows are full.
            .filter(|(_, element)| element.attributes["fill"] != "#000")
            .map(|(index, element)| (index, element.lines()))
            .collect();
        for (index, text) in elements.iter().enumerate().filter(|(_, one)| one.name == "text") {
            let bounds = text.bounds();
            let later = lines.iter().filter(|(line, _)| *line > index);
            let over =
                later.flat_map(|(_, lines)| lines).find(|[from, to]| bounds.meets(*from, *to));
            assert_eq!(over, None, "{}: {} is drawn over", drawing.name, text.text);
            looked_at += 1;
        }
    }
    assert!(looked_at > 10_000, "{looked_at}");
}

#[test]
fn numbers_are_those_of_the_schedule() {
    let schedule = read(bytes("quillmere.json")).schedule;
    let drawings = drawn(&schedule, |_| true);
    let find = |tendon: usize, kind: Kind, of: &str| {
        let prefix = format!("t{}-", tendon + 1);
        let is_it = |drawing: &&Drawing| {
            drawing.name.starts_with(&prefix)
                && drawing.kind == kind
                && drawing.of.as_deref().unwrap_or_default().starts_with(of)
        };
        elements(&drawings.iter().find(is_it).unwrap().svg)
    };
    let says =
        |elements: &[Element], words: &str| texts(elements).any(|element| element.text == words);
    let mut compared = 0;
    for (index, tendon) in schedule.tendons.iter().enumerate() {
        for (name, end) in tendon.stated_ends() {
            let space = end.removal_space.as_deref().unwrap();
            let room = find(index, Kind::Room, &format!("end {name}"));
            if end.obstacles.is_empty() {
                let words = format!("clear behind the plate {}", space.behind_mm.unwrap());
                assert!(says(&room, &words), "{:?} end {name}: {words}", tendon.mark);
                compared += 1;
            }
            let section = find(index, Kind::Anchorage, &format!("end {name}"));
            let cut_mm = end.stub_cut_mm.unwrap();
            assert!(says(&section, &format!("cut at {cut_mm}")));
            assert!(
                says(&section, &format!("{}", -cut_mm)),
                "the length to the cut is dimensioned"
            );
        }
        let line = find(index, Kind::Tendon, "");
        for point in &tendon.points {
            for value in [point.station_m, point.lateral_m, point.elevation_m] {
                assert!(says(&line, &format!("{:.3}", value.unwrap())), "{:?}", tendon.mark);
                compared += 1;
            }
        }
        for deviator in &tendon.deviators {
            let place = deviator.place.as_ref().unwrap().key();
            let form = deviator.form.as_ref().unwrap().key();
            let form = schedule.forms.iter().find(|one| one.id.as_deref() == Some(form)).unwrap();
            let drawn = find(index, Kind::Deviator, place);
            let exit_mm = deviator.exit_rear_mm.or(form.exit_rear_mm).unwrap();
            assert!(says(&drawn, &format!("Ø {exit_mm}")), "{:?} {place}", tendon.mark);
            compared += 1;
        }
    }
    assert!(compared > 200, "{compared}");
}

#[test]
fn the_same_schedule_gives_the_same_bytes() {
    assert_eq!(demo("quillmere.json"), drawn_anew("quillmere.json"));
}

#[test]
fn what_is_not_stated_is_named_and_not_drawn() {
    let (_, schedule) = awkward::all().into_iter().find(|(name, _)| *name == "holes").unwrap();
    let drawings = drawn(&schedule, |_| true);
    let lacks = |kind: Kind, field: &str| {
        let holes = drawings.iter().filter(|drawing| drawing.kind == kind);
        holes.flat_map(|drawing| &drawing.holes).any(|hole| hole.field == field)
    };
    for (kind, field) in [
        (Kind::Anchorage, "part.rear_outer_mm"),
        (Kind::Anchorage, "end.stub_cut_mm"),
        (Kind::Room, "removal_space.behind_mm"),
        (Kind::Room, "jack.diameter_mm"),
        (Kind::Jack, "jack.diameter_mm"),
        (Kind::Face, "removal_space.left_mm"),
        (Kind::Deviator, "form.exit_rear_mm"),
        (Kind::Deviator, "form.pitch_rad"),
        (Kind::Force, "stressing.mu"),
        (Kind::Fill, "tendon.vents"),
    ] {
        assert!(lacks(kind, field), "{kind:?}: {field}");
    }
    for drawing in &drawings {
        let elements = elements(&drawing.svg);
        let notes: String = texts(&elements).map(|element| format!("{} ", element.text)).collect();
        assert_eq!(notes.contains("Not stated: "), !drawing.holes.is_empty(), "{}", drawing.name);
    }
}
