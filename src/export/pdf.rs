//! Drawings as the pages of one PDF at true scale: comes in a slice of drawings, goes out the bytes of the file. Vectors
//! only, the typeface embedded as far as it is used, text that can be searched, and a wish that viewers print at 100 %.

use std::collections::BTreeMap;
use std::f64::consts::FRAC_PI_2;

use pdf_writer::{Content, Finish, Name, Pdf, Rect, Ref, Str, TextStr};

use super::pdf_font::{Face, FontFault};
use crate::drawing::{CAPITAL_SHARE, Drawing, Fill, Mark, Path, Run, Text, Weight};
use crate::shape::{Point, Segment};

/// Points of PDF in a millimetre.
const POINTS: f64 = 72.0 / 25.4;

/// The drawings as one PDF, a page each at its own size; the same drawings give the same bytes.
///
/// # Errors
/// Where the typeface cannot be embedded.
pub fn pdf(title: &str, drawings: &[Drawing]) -> Result<Vec<u8>, FontFault> {
    let mut faces = BTreeMap::new();
    for bold in [false, true] {
        faces.insert(bold, Face::new(bold)?);
    }
    let contents: Vec<Vec<u8>> = drawings
        .iter()
        .map(|drawing| page(drawing, &mut faces))
        .collect();
    let mut next = 1;
    let mut fresh = || {
        let reference = Ref::new(next);
        next += 1;
        reference
    };
    let (catalog, tree, info) = (fresh(), fresh(), fresh());
    let fonts = [fresh(), fresh()];
    let pages: Vec<(Ref, Ref)> = drawings.iter().map(|_| (fresh(), fresh())).collect();
    let mut file = Pdf::new();
    let mut root = file.catalog(catalog);
    root.pages(tree);
    root.viewer_preferences()
        .pair(Name(b"PrintScaling"), Name(b"None"));
    root.finish();
    file.document_info(info).title(TextStr(title));
    file.pages(tree)
        .kids(pages.iter().map(|(page, _)| *page))
        .count(i32::try_from(pages.len()).unwrap_or(i32::MAX));
    for ((drawing, (page, stream)), content) in drawings.iter().zip(&pages).zip(&contents) {
        let mut written = file.page(*page);
        written.parent(tree).contents(*stream).media_box(Rect::new(
            0.0,
            0.0,
            single(drawing.width * POINTS),
            single(drawing.height * POINTS),
        ));
        written
            .resources()
            .fonts()
            .pair(Name(b"R"), fonts[0])
            .pair(Name(b"B"), fonts[1]);
        written.finish();
        let packed = miniz_oxide::deflate::compress_to_vec_zlib(content, 6);
        file.stream(*stream, &packed)
            .filter(pdf_writer::Filter::FlateDecode);
    }
    for (face, reference) in faces.values().zip(fonts) {
        face.write(&mut file, reference, &mut fresh)?;
    }
    Ok(file.finish())
}

/// One drawing's marks, in points.
fn page(drawing: &Drawing, faces: &mut BTreeMap<bool, Face>) -> Vec<u8> {
    let mut content = Content::new();
    content.set_line_join(pdf_writer::types::LineJoinStyle::RoundJoin);
    for mark in &drawing.marks {
        match mark {
            Mark::Path(path) => draw(&mut content, path),
            Mark::Text(text) => write(&mut content, text, faces),
        }
    }
    content.finish().to_vec()
}

fn draw(content: &mut Content, path: &Path) {
    if let Fill::Grey(level) = path.fill {
        content.set_fill_gray(f32::from(level) / 255.0);
    }
    if let Some(pen) = path.pen {
        content.set_line_width(single(pen.width * POINTS));
        let dashes = pen.dash.pattern();
        content.set_dash_pattern(dashes.iter().map(|&one| single(one * POINTS)), 0.0);
    }
    for run in &path.runs {
        trace(content, run);
    }
    match (path.fill, path.pen) {
        (Fill::Grey(_), Some(_)) => content.fill_even_odd_and_stroke(),
        (Fill::Grey(_), None) => content.fill_even_odd(),
        (_, Some(_)) => content.stroke(),
        _ => content.end_path(),
    };
}

fn trace(content: &mut Content, run: &Run) {
    let Some(first) = run.segments.first() else {
        return;
    };
    let [x, y] = at(first.start());
    content.move_to(x, y);
    for segment in &run.segments {
        match segment {
            Segment::Line(_, end) => {
                let [x, y] = at(*end);
                content.line_to(x, y);
            }
            Segment::Arc(arc) => {
                let mut count = 1.0;
                while strays(arc.radius, arc.sweep / count) {
                    count += 1.0;
                }
                let step = arc.sweep / count;
                let reach = 4.0 / 3.0 * (step / 4.0).tan();
                let mut from = arc.start - arc.centre;
                let mut done = 0.0;
                while done < count {
                    let (sine, cosine) = step.sin_cos();
                    let to = from * cosine + from.left() * sine;
                    let [ax, ay] = at(arc.centre + from + from.left() * reach);
                    let [bx, by] = at(arc.centre + to - to.left() * reach);
                    let [x, y] = at(arc.centre + to);
                    content.cubic_to(ax, ay, bx, by, x, y);
                    from = to;
                    done += 1.0;
                }
            }
        }
    }
    if run.closed {
        content.close_path();
    }
}

/// Whether a cubic in place of an arc leaves it by half a micrometre or more. Over a quarter turn the standard cubic
/// strays by 2.73e-4 of the radius, and with the sixth power of the sweep.
fn strays(radius: f64, sweep: f64) -> bool {
    let share = sweep.abs() / FRAC_PI_2;
    share > 1.0 || 2.73e-4 * radius * share.powi(6) > 0.0005
}

fn write(content: &mut Content, text: &Text, faces: &mut BTreeMap<bool, Face>) {
    let bold = text.weight == Weight::Bold;
    let Some(face) = faces.get_mut(&bold) else {
        return;
    };
    let glyphs = face.glyphs(&text.content);
    let (sine, cosine) = text.turn.sin_cos();
    let [x, y] = at(text.start());
    content.begin_text().set_fill_gray(0.0);
    content.set_font(
        Name(if bold { b"B" } else { b"R" }),
        single(text.height / CAPITAL_SHARE * POINTS),
    );
    // Turns need more decimals than places do.
    let (sine, cosine) = (finer(sine), finer(cosine));
    content.set_text_matrix([cosine, sine, -sine, cosine, x, y]);
    content.show(Str(&glyphs)).end_text();
}

fn at(point: Point) -> [f32; 2] {
    [single(point.x * POINTS), single(point.y * POINTS)]
}

/// Three decimals of a point: 0.0004 mm.
fn single(value: f64) -> f32 {
    narrowed((value * 1e3).round() / 1e3)
}

fn finer(value: f64) -> f32 {
    narrowed((value * 1e6).round() / 1e6)
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "the file's numbers are single precision: 0.001 mm on a sheet of ten metres"
)]
const fn narrowed(value: f64) -> f32 {
    value as f32
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::layout::Sources;

    fn two_pages() -> Vec<u8> {
        let text = include_str!("../../layouts/dabchick.toml");
        let layout = crate::layout::read(text).expect("a sound layout");
        let job = crate::work_out(layout, &Sources::default()).expect("a sound deck");
        let page = |paper| {
            let request = crate::drawing::SheetRequest {
                paper,
                scale: None,
                view: crate::drawing::View::Pattern,
                date: None,
                deck: None,
            };
            crate::drawing::draw(&job, &request).expect("it fits")
        };
        let pages = [
            page(crate::drawing::Paper::A3),
            page(crate::drawing::Paper::A4),
        ];
        pdf("Dabchick", &pages).expect("the typeface embeds")
    }

    #[test]
    fn every_entry_of_the_cross_reference_table_points_at_its_object() {
        let file = two_pages();
        let text = String::from_utf8_lossy(&file);
        let start: usize = text
            .rsplit("startxref")
            .next()
            .and_then(|rest| rest.lines().nth(1))
            .and_then(|line| line.trim().parse().ok())
            .expect("a place of the table");
        let table = String::from_utf8_lossy(&file[start..]).into_owned();
        assert!(table.starts_with("xref"));
        let entries: Vec<&str> = table
            .lines()
            .skip(2)
            .take_while(|line| !line.starts_with("trailer"))
            .collect();
        assert!(entries.len() > 10);
        for (number, entry) in entries
            .iter()
            .enumerate()
            .filter(|(_, entry)| entry.trim_end().ends_with('n'))
        {
            let offset: usize = entry[..10].parse().expect("ten digits");
            assert!(
                file[offset..].starts_with(format!("{number} 0 obj").as_bytes()),
                "{entry}"
            );
        }
    }

    #[test]
    fn each_page_has_its_own_size_and_asks_to_be_printed_at_full_size() {
        let file = two_pages();
        let text = String::from_utf8_lossy(&file);
        assert_eq!(text.matches("/MediaBox").count(), 2);
        // 420 x 297 and 297 x 210 mm in points.
        assert!(text.contains("/MediaBox [0 0 1190.551 841.89]"));
        assert!(text.contains("/MediaBox [0 0 841.89 595.276]"));
        assert!(text.contains("/PrintScaling /None"));
        assert_eq!(file, two_pages(), "the same bytes twice");
    }

    #[test]
    fn a_cubic_stays_within_a_micrometre_of_its_arc() {
        for radius in [0.5, 60.0, 15_000.0] {
            let mut sweep = FRAC_PI_2;
            while strays(radius, sweep) {
                sweep *= 0.9;
            }
            let reach = 4.0 / 3.0 * (sweep / 4.0).tan();
            let (sine, cosine) = sweep.sin_cos();
            let controls = [
                (1.0, 0.0),
                (1.0, reach),
                (cosine + reach * sine, sine - reach * cosine),
                (cosine, sine),
            ];
            for step in 0..=100 {
                let t = f64::from(step) / 100.0;
                let s = 1.0 - t;
                let shares = [s * s * s, 3.0 * s * s * t, 3.0 * s * t * t, t * t * t];
                let sum = |part: fn(&(f64, f64)) -> f64| -> f64 {
                    controls
                        .iter()
                        .zip(shares)
                        .map(|(one, share)| part(one) * share)
                        .sum()
                };
                let off = radius * (sum(|one| one.0).hypot(sum(|one| one.1)) - 1.0);
                assert!(off.abs() < 0.001, "{radius}: {off}");
            }
        }
    }
}
