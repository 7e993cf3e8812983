//! The sheet round a drawing: its heading, its legend, its notes, and what is missing.

use super::geometry::Rect;
use super::letters::{LINE_MM, TEXT_MM, text_width_mm, wrapped};
use super::pen::{Hatch, Pen, Sample};
use super::scene::{Anchor, Scene};
use super::svg;

/// Width of every sheet, mm: what is left of a lying A3 sheet within its margins.
const WIDTH_MM: f64 = 390.0;
/// Margin inside the sheet, mm.
const MARGIN_MM: f64 = 6.0;
/// Size of the letters of a title, mm.
const TITLE_MM: f64 = 5.6;
/// Width of a sample of the legend, mm.
const SAMPLE_MM: f64 = 13.0;
/// From a line of text to a rule under or over it, mm.
const RULE_MM: f64 = 2.6;

/// Where a drawing has its room; how far down it goes is its own affair.
pub(in crate::draw) const CONTENT: Rect = Rect::new(MARGIN_MM, 23.0, WIDTH_MM - MARGIN_MM, 205.0);

/// What stands at the head and at the foot of a sheet.
pub(in crate::draw) struct Heading<'a> {
    pub(in crate::draw) name: &'a str,
    pub(in crate::draw) title: &'a str,
    /// Bridge, scale, units.
    pub(in crate::draw) under: &'a str,
    pub(in crate::draw) description: &'a str,
    /// What it is no more than, in a frame beside the title.
    pub(in crate::draw) draft: &'a str,
    /// What is to be kept in mind, after the notes.
    pub(in crate::draw) caution: &'a str,
    /// Document, revision, stage, and what the sheet follows from.
    pub(in crate::draw) foot: &'a str,
}

/// A drawing that is done.
pub(in crate::draw) struct Made {
    pub(in crate::draw) svg: String,
    pub(in crate::draw) size_mm: [f64; 2],
}

/// Puts the sheet round what is drawn.
pub(in crate::draw) fn finish(mut scene: Scene, heading: &Heading<'_>) -> Made {
    const RIGHT_MM: f64 = WIDTH_MM - MARGIN_MM;
    head(&mut scene, heading);
    // Notes have the room that the drawing leaves beside itself, or the right half below it.
    let beside = scene.beside.take();
    let noted =
        beside.map(|room| notes(&mut scene, heading.caution, room.top, [room.left, room.right]));
    let bottom = scene.bottom().max(CONTENT.top) + 4.0;
    scene.line(&[[MARGIN_MM, bottom], [RIGHT_MM, bottom]], Pen::Thin);
    let top = bottom + LINE_MM + 0.8;
    let below = match noted {
        Some(_) => legend(&mut scene, top, RIGHT_MM, 3),
        None => {
            let middle = MARGIN_MM + (RIGHT_MM - MARGIN_MM) / 2.0;
            let legend = legend(&mut scene, top, middle, 2);
            legend.max(notes(&mut scene, heading.caution, top, [middle + 4.0, RIGHT_MM]))
        }
    };
    let rule = below - LINE_MM + RULE_MM;
    scene.line(&[[MARGIN_MM, rule], [RIGHT_MM, rule]], Pen::Thin);
    let mut base = rule + LINE_MM + 0.4;
    for line in wrapped(&crate::plain::plain(heading.foot), RIGHT_MM - MARGIN_MM, TEXT_MM) {
        scene.text([MARGIN_MM, base], Anchor::Start, TEXT_MM, &line);
        base += LINE_MM;
    }
    let height = base - LINE_MM + RULE_MM + 1.2;
    scene.line(
        &[
            [1.0, 1.0],
            [WIDTH_MM - 1.0, 1.0],
            [WIDTH_MM - 1.0, height - 1.0],
            [1.0, height - 1.0],
            [1.0, 1.0],
        ],
        Pen::Edge,
    );
    let size_mm = [WIDTH_MM, height];
    let svg = svg::document(&scene, heading.name, heading.title, heading.description, size_mm);
    Made { svg, size_mm }
}

/// Title, what the sheet is no more than, and what is said under them.
fn head(scene: &mut Scene, heading: &Heading<'_>) {
    const RIGHT_MM: f64 = WIDTH_MM - MARGIN_MM;
    let base = 9.6;
    let draft = text_width_mm(heading.draft, TEXT_MM);
    scene.text([RIGHT_MM - 2.0, base - 0.4], Anchor::End, TEXT_MM, heading.draft);
    let left = RIGHT_MM - draft - 4.0;
    scene.line(
        &[[left, 4.0], [RIGHT_MM, 4.0], [RIGHT_MM, 11.4], [left, 11.4], [left, 4.0]],
        Pen::Edge,
    );
    let room = left - 3.0 - MARGIN_MM;
    for line in wrapped(&crate::plain::plain(heading.title), room, TITLE_MM).iter().take(1) {
        scene.text([MARGIN_MM, base], Anchor::Start, TITLE_MM, line);
    }
    let under = wrapped(&crate::plain::plain(heading.under), RIGHT_MM - MARGIN_MM, TEXT_MM);
    for line in under.iter().take(1) {
        scene.text([MARGIN_MM, 16.8], Anchor::Start, TEXT_MM, line);
    }
    scene.line(&[[MARGIN_MM, 19.6], [RIGHT_MM, 19.6]], Pen::Thin);
}

/// The legend in columns; returns where a further line would stand.
fn legend(scene: &mut Scene, top: f64, right: f64, columns: usize) -> f64 {
    let entries = std::mem::take(&mut scene.legend);
    #[expect(clippy::cast_precision_loss, reason = "a few columns")]
    let column = (right - MARGIN_MM) / columns as f64;
    let room = column - SAMPLE_MM - 5.0;
    let blocks: Vec<_> =
        entries.iter().map(|(sample, words)| (*sample, wrapped(words, room, TEXT_MM))).collect();
    let lines: usize = blocks.iter().map(|(_, lines)| lines.len()).sum();
    let mut base = top;
    let mut left = MARGIN_MM;
    let mut lowest = top;
    let (mut taken, mut full) = (0, 1);
    for (sample, words) in blocks {
        // The next column begins when those before it have their share.
        if full < columns && taken * columns >= lines * full && taken > 0 {
            full += 1;
            left += column;
            base = top;
        }
        taken += words.len();
        draw_sample(scene, sample, [left, base - TEXT_MM * 0.36]);
        for line in words {
            scene.text([left + SAMPLE_MM + 2.0, base], Anchor::Start, TEXT_MM, &line);
            base += LINE_MM;
        }
        base += 0.8;
        lowest = f64::max(lowest, base);
    }
    lowest
}

fn draw_sample(scene: &mut Scene, sample: Sample, [left, middle]: [f64; 2]) {
    let right = left + SAMPLE_MM;
    let centre = [left + SAMPLE_MM / 2.0, middle];
    let frame =
        [[left, middle - 1.9], [right, middle - 1.9], [right, middle + 1.9], [left, middle + 1.9]];
    match sample {
        Sample::Line(pen) => scene.line(&[[left, middle], [right, middle]], pen),
        Sample::Fill(Hatch::Black) => {
            scene.fill(
                &[
                    [left, middle - 0.4],
                    [right, middle - 0.4],
                    [right, middle + 0.4],
                    [left, middle + 0.4],
                ],
                Hatch::Black,
            );
        }
        // A sample shows the same stones wherever it stands.
        Sample::Fill(Hatch::Concrete) => {
            scene.shape(&frame, Pen::Edge, Hatch::None);
            scene.hatch(&frame, Hatch::Concrete, [left + 0.5, middle - 6.0]);
        }
        Sample::Fill(hatch) => scene.shape(&frame, Pen::Edge, hatch),
        Sample::ThinLeaves => {
            for up in [-0.6, 0.6] {
                scene.line(&[[left, middle + up], [right, middle + up]], Pen::Edge);
            }
        }
        Sample::Cut => {
            scene.line(&[[left, middle], [right, middle]], Pen::Tendon);
            super::super::marks::cut(scene, centre, [1.0, 0.0]);
        }
        Sample::Anchorage => {
            scene.line(&[[left + 4.0, middle], [right, middle]], Pen::Tendon);
            super::super::marks::anchorage(scene, [left + 4.0, middle], [1.0, 0.0]);
        }
        Sample::Number => {
            scene.circle(centre, 1.9, Pen::Thin, Hatch::White);
        }
        Sample::Inlet => super::super::marks::inlet(scene, centre),
        Sample::Vent => super::super::marks::vent(scene, centre),
        Sample::Drain => super::super::marks::drain(scene, centre),
        Sample::Lacking => super::super::marks::lacking(scene, centre),
        Sample::Arrow => {
            scene.line(&[[left, middle], [right, middle]], Pen::Thin);
            scene.arrow([left, middle], [right, middle]);
        }
    }
}

/// The notes; returns where a further line would stand.
fn notes(scene: &mut Scene, caution: &str, top: f64, [left, right]: [f64; 2]) -> f64 {
    let room = right - left;
    let mut paragraphs = std::mem::take(&mut scene.notes);
    let mut fields: Vec<&'static str> = scene.holes.iter().map(|hole| hole.field).collect();
    fields.dedup();
    for (index, field) in fields.iter().enumerate() {
        if fields[..index].contains(field) {
            continue;
        }
        let blocks = scene.holes.iter().filter(|hole| hole.field == *field);
        let blocks: Vec<&str> = blocks.map(|hole| hole.blocks.as_str()).collect();
        paragraphs.push(format!(
            "Not stated: {}. Not drawn without it: {}.",
            crate::plan::field(field),
            blocks.join("; ")
        ));
    }
    paragraphs.push(caution.to_owned());
    let mut base = top;
    for paragraph in paragraphs {
        for line in wrapped(&crate::plain::plain(&paragraph), room, TEXT_MM) {
            debug_assert!(text_width_mm(&line, TEXT_MM) <= room + 1e-9);
            scene.text([left, base], Anchor::Start, TEXT_MM, &line);
            base += LINE_MM;
        }
        base += 0.8;
    }
    base
}
