//! The drawing as SVG.

use std::fmt::Write;

use super::geometry::Point;
use super::hatch::Marks;
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

const fn fill(hatch: Hatch) -> &'static str {
    match hatch.ground() {
        Hatch::White => " fill=\"#fff\"",
        Hatch::Black => " fill=\"#000\"",
        _ => " fill=\"none\"",
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
    styles(&mut out, name);
    let _ = writeln!(out, "<rect width=\"{w}\" height=\"{h}\" fill=\"#fff\"/>");
    for item in &scene.items {
        write_item(&mut out, item);
    }
    out.push_str("</svg>");
    out
}

fn styles(out: &mut String, name: &str) {
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
    out.push_str("</style>\n");
}

/// A number of a hatch: to a hundredth of a millimetre.
fn about(value: f64) -> String {
    number((value * 100.0).round() / 100.0)
}

fn write_marks(out: &mut String, marks: &Marks) {
    // Writing to a string cannot fail.
    if !(marks.lines.is_empty() && marks.stones.is_empty()) {
        out.push_str("<path class=\"n\" fill=\"none\" d=\"");
        for [from, to] in &marks.lines {
            let [a, b, c, d] = [from[0], from[1], to[0], to[1]].map(about);
            let _ = write!(out, "M{a} {b}L{c} {d}");
        }
        for [one, two, three] in &marks.stones {
            // From point to point: they are many, and each is small.
            let away = |from: &Point, to: &Point| [to[0] - from[0], to[1] - from[1]].map(about);
            let ([x, y], [a, b], [c, d]) = (one.map(about), away(one, two), away(two, three));
            let _ = write!(out, "M{x} {y}l{a} {b} {c} {d}z");
        }
        out.push_str("\"/>\n");
    }
    if !marks.grains.is_empty() {
        out.push_str("<path class=\"g\" fill=\"none\" d=\"");
        for [x, y] in &marks.grains {
            let _ = write!(out, "M{} {}h.01", about(*x), about(*y));
        }
        out.push_str("\"/>\n");
    }
}

fn write_item(out: &mut String, item: &Item) {
    let _ = match item {
        Item::Path { points, is_closed, pen, fill: hatch } => {
            writeln!(
                out,
                "<path{}{} d=\"{}\"/>",
                class(*pen),
                fill(*hatch),
                path(points, *is_closed)
            )
        }
        Item::Circle { middle: [x, y], radius, pen, fill: hatch } => {
            writeln!(
                out,
                "<circle{}{} cx=\"{}\" cy=\"{}\" r=\"{}\"/>",
                class(*pen),
                fill(*hatch),
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
        Item::Hatch(marks) => {
            write_marks(out, marks);
            Ok(())
        }
        Item::Open { class, data } => writeln!(out, "<g class=\"{class}\"{}>", data),
        Item::Close => writeln!(out, "</g>"),
    };
}
