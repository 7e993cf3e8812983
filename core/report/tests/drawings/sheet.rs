//! A drawing read back, as any program that reads XML reads it.

use std::collections::BTreeMap;

use quick_xml::Reader;
use quick_xml::events::{BytesStart, Event};

/// An element with its attributes and the text in it.
#[derive(Debug, Clone)]
pub(crate) struct Element {
    pub(crate) name: String,
    pub(crate) attributes: BTreeMap<String, String>,
    pub(crate) text: String,
    /// The dimension in which it stands, by its number in the drawing.
    pub(crate) dimension: Option<usize>,
}

/// A box, mm.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Bounds {
    pub(crate) left: f64,
    pub(crate) top: f64,
    pub(crate) right: f64,
    pub(crate) bottom: f64,
}

impl Bounds {
    pub(crate) fn overlaps(&self, other: &Self) -> bool {
        // What is left by writing to a thousandth of a millimetre is no overlap.
        const ROUNDING: f64 = 0.002;
        self.left + ROUNDING < other.right
            && other.left + ROUNDING < self.right
            && self.top + ROUNDING < other.bottom
            && other.top + ROUNDING < self.bottom
    }
}

impl Bounds {
    /// Whether a line comes into the box: any point of many on it.
    pub(crate) fn meets(&self, from: [f64; 2], to: [f64; 2]) -> bool {
        let is_beside = from[0].max(to[0]) < self.left
            || from[0].min(to[0]) > self.right
            || from[1].max(to[1]) < self.top
            || from[1].min(to[1]) > self.bottom;
        if is_beside {
            return false;
        }
        const STEPS: u32 = 400;
        (0..=STEPS).any(|step| {
            let share = f64::from(step) / f64::from(STEPS);
            let at = [0, 1].map(|axis| from[axis] + share * (to[axis] - from[axis]));
            self.left < at[0] && at[0] < self.right && self.top < at[1] && at[1] < self.bottom
        })
    }
}

impl Element {
    pub(crate) fn number(&self, name: &str) -> f64 {
        self.attributes[name].parse().unwrap()
    }

    /// The box of a text: its own width, three quarters of its size above the base line, and a quarter below.
    pub(crate) fn bounds(&self) -> Bounds {
        let (x, y, size) = (self.number("x"), self.number("y"), self.number("font-size"));
        let width = self.attributes.get("textLength").map_or(0.0, |width| width.parse().unwrap());
        let before = match self.attributes.get("text-anchor").map(String::as_str) {
            None => 0.0,
            Some("middle") => width / 2.0,
            Some("end") => width,
            Some(other) => panic!("an anchor of a text is {other}"),
        };
        let (above, below) = (0.75 * size, 0.22 * size);
        if self.attributes.contains_key("transform") {
            let (top, bottom) = (y - (width - before), y + before);
            Bounds { left: x - above, top, right: x + below, bottom }
        } else {
            let left = x - before;
            Bounds { left, top: y - above, right: left + width, bottom: y + below }
        }
    }

    /// The straight lines of a path.
    pub(crate) fn lines(&self) -> Vec<[[f64; 2]; 2]> {
        let data = &self.attributes["d"];
        let parts = data.split('M').filter(|part| !part.is_empty());
        parts
            .flat_map(|part| {
                let points = points(part);
                let closing = part.ends_with('Z').then(|| [points[points.len() - 1], points[0]]);
                let sides = points.windows(2).map(|pair| [pair[0], pair[1]]);
                sides.chain(closing).collect::<Vec<_>>()
            })
            .collect()
    }

    /// The points of a path of straight lines.
    pub(crate) fn points(&self) -> Vec<[f64; 2]> {
        points(&self.attributes["d"])
    }
}

fn points(data: &str) -> Vec<[f64; 2]> {
    let points = data.split(['M', 'L', 'Z']).filter(|point| !point.is_empty());
    points
        .map(|point| {
            let numbers: Vec<f64> = point.split(' ').map(|one| one.parse().unwrap()).collect();
            numbers.try_into().unwrap()
        })
        .collect()
}

/// The elements of a drawing, in their order; panics where it is not well-formed.
pub(crate) fn elements(svg: &str) -> Vec<Element> {
    let mut reader = Reader::from_str(svg);
    reader.config_mut().check_end_names = true;
    let mut elements: Vec<Element> = Vec::new();
    let mut open: Vec<usize> = Vec::new();
    let mut dimensions = 0;
    let mut inside: Vec<Option<usize>> = Vec::new();
    loop {
        match reader.read_event().unwrap() {
            Event::Start(start) => {
                let mut element = element(&start);
                let outer = inside.last().copied().flatten();
                let is_dimension =
                    element.attributes.get("class").is_some_and(|class| class == "dimension");
                let own = if is_dimension {
                    dimensions += 1;
                    Some(dimensions)
                } else {
                    outer
                };
                element.dimension = own;
                inside.push(own);
                open.push(elements.len());
                elements.push(element);
            }
            Event::Empty(start) => {
                let mut element = element(&start);
                element.dimension = inside.last().copied().flatten();
                elements.push(element);
            }
            Event::Text(text) => {
                let text = text.xml10_content();
                if let Some(index) = open.last() {
                    elements[*index].text.push_str(&text);
                }
            }
            Event::GeneralRef(reference) => {
                let letter = match &*reference.xml10_content() {
                    "amp" => '&',
                    "lt" => '<',
                    "gt" => '>',
                    "quot" => '"',
                    other => panic!("&{other}; is no reference that every reader knows"),
                };
                if let Some(index) = open.last() {
                    elements[*index].text.push(letter);
                }
            }
            Event::End(_) => {
                open.pop().unwrap();
                inside.pop();
            }
            Event::Eof => break,
            other => panic!("a drawing holds {other:?}"),
        }
    }
    assert!(open.is_empty(), "an element is not closed");
    elements
}

fn element(start: &BytesStart<'_>) -> Element {
    let mut attributes = BTreeMap::new();
    for attribute in start.attributes() {
        let attribute = attribute.unwrap();
        let name = attribute.key.as_ref().to_owned();
        let value = attribute.value.into_owned();
        assert!(attributes.insert(name, value).is_none(), "an attribute stands twice");
    }
    Element {
        name: start.name().as_ref().to_owned(),
        attributes,
        text: String::new(),
        dimension: None,
    }
}
