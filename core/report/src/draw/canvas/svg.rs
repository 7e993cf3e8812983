//! The drawing as SVG.

use std::fmt::Write;

use super::geometry::Point;
use super::letters::text_width_mm;
use super::pen::{Hatch, Pen};
use super::scene::{Anchor, Item, Scene};

/// Families whose letters are as wide as Helvetica's, the free ones among them.
const FONTS: &str = "'Liberation Sans',Arimo,Arial,Helvetica,sans-serif";

/// A number as it stands in the drawing: to a thousandth of a millimetre.
pub(super) fn number(value: f64) -> String {
    let text = format!("{value:.3}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

/// A text within XML.
pub(super) fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            // No character of XML, even escaped.
            '\u{fffe}' | '\u{ffff}' => out.push('\u{fffd}'),
            letter => out.push(letter),
        }
    }
    out
}

fn fill(hatch: Hatch, name: &str) -> String {
    match hatch {
        Hatch::None => String::new(),
        Hatch::White => " fill=\"#fff\"".to_owned(),
        Hatch::Black => " fill=\"#000\"".to_owned(),
        patterned => {
            format!(" fill=\"url(#{name}-{})\"", patterned.word().unwrap_or_default())
        }
    }
}

fn class(pen: Option<Pen>) -> String {
    pen.map(|pen| format!(" class=\"{}\"", pen.class())).unwrap_or_default()
}

fn path(points: &[Point], is_closed: bool) -> String {
    let mut data = String::new();
    for (index, [x, y]) in points.iter().enumerate() {
        let letter = if index == 0 { 'M' } else { 'L' };
        let _ = write!(data, "{letter}{} {}", number(*x), number(*y));
    }
    if is_closed {
        data.push('Z');
    }
    data
}

/// The whole document.
pub(super) fn document(
    scene: &Scene,
    name: &str,
    title: &str,
    description: &str,
    [width, height]: [f64; 2],
) -> String {
    let mut out = String::new();
    let (w, h) = (number(width), number(height));
    // Writing to a string cannot fail.
    let _ = write!(
        out,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" id=\"{name}\" role=\"img\" \
         aria-labelledby=\"{name}-title {name}-desc\" width=\"{w}mm\" height=\"{h}mm\" viewBox=\"0 0 {w} {h}\">\n\
         <title id=\"{name}-title\">{}</title>\n<desc id=\"{name}-desc\">{}</desc>\n",
        escaped(title),
        escaped(description)
    );
    styles(&mut out, scene, name);
    let _ = writeln!(out, "<rect width=\"{w}\" height=\"{h}\" fill=\"#fff\"/>");
    for item in &scene.items {
        write_item(&mut out, item, name);
    }
    out.push_str("</svg>");
    out
}

fn styles(out: &mut String, scene: &Scene, name: &str) {
    out.push_str("<style>");
    let _ = write!(
        out,
        "#{name} text{{font-family:{FONTS};fill:#000;stroke:none}}\
         #{name} .g{{stroke:#000;stroke-width:.3;stroke-linecap:round}}"
    );
    for pen in Pen::ALL {
        let width = pen.width_mm();
        let _ = write!(out, "#{name} .{}{{stroke:#000;stroke-width:{}", pen.class(), number(width));
        if !pen.dashes().is_empty() {
            let dashes: Vec<_> = pen.dashes().iter().map(|one| number(one * width)).collect();
            let _ = write!(out, ";stroke-dasharray:{}", dashes.join(" "));
        }
        out.push('}');
    }
    out.push_str("</style>\n<defs>");
    let used = |hatch: Hatch| {
        scene.items.iter().any(|item| match item {
            Item::Path { fill, .. } | Item::Circle { fill, .. } => *fill == hatch,
            _ => false,
        })
    };
    for hatch in Hatch::PATTERNS.into_iter().filter(|hatch| used(*hatch)) {
        let (side, turned, inside) = hatch.tile();
        let _ = write!(
            out,
            "<pattern id=\"{name}-{}\" patternUnits=\"userSpaceOnUse\" width=\"{side}\" height=\"{side}\" \
             patternTransform=\"rotate({turned})\"><g fill=\"none\">{inside}</g></pattern>",
            hatch.word().unwrap_or_default()
        );
    }
    out.push_str("</defs>\n");
}

fn write_item(out: &mut String, item: &Item, name: &str) {
    let _ = match item {
        Item::Path { points, is_closed, pen, fill: hatch } => {
            let none = if *hatch == Hatch::None { " fill=\"none\"" } else { "" };
            writeln!(
                out,
                "<path{}{none}{} d=\"{}\"/>",
                class(*pen),
                fill(*hatch, name),
                path(points, *is_closed)
            )
        }
        Item::Circle { middle: [x, y], radius, pen, fill: hatch } => {
            let none = if *hatch == Hatch::None { " fill=\"none\"" } else { "" };
            writeln!(
                out,
                "<circle{}{none}{} cx=\"{}\" cy=\"{}\" r=\"{}\"/>",
                class(*pen),
                fill(*hatch, name),
                number(*x),
                number(*y),
                number(*radius)
            )
        }
        Item::Text { at: [x, y], anchor, size, is_upright, text } => {
            let anchor = match anchor {
                Anchor::Start => "",
                Anchor::Middle => " text-anchor=\"middle\"",
                Anchor::End => " text-anchor=\"end\"",
            };
            let (x, y) = (number(*x), number(*y));
            let turned = match is_upright {
                true => format!(" transform=\"rotate(-90 {x} {y})\""),
                false => String::new(),
            };
            let width = text_width_mm(text, *size);
            // A width of nothing would press the letters into a point.
            let length = match width > 0.0 {
                true => {
                    format!(" textLength=\"{}\" lengthAdjust=\"spacingAndGlyphs\"", number(width))
                }
                false => String::new(),
            };
            writeln!(
                out,
                "<text x=\"{x}\" y=\"{y}\" font-size=\"{}\"{anchor}{length}{turned}>{}</text>",
                number(*size),
                escaped(text)
            )
        }
        Item::Open { class, data } => writeln!(out, "<g class=\"{class}\"{}>", data),
        Item::Close => writeln!(out, "</g>"),
    };
}
