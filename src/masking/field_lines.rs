//! Each field's own lines: its paint line, and the middle of the line tape of both passes, as chains of segments.

use super::{Side, line_tape};
use crate::layout::Tape;
use crate::pattern::{Field, Pattern};
use crate::shape::{Point, Segment, Stretch};
use crate::units::Length;

/// Ends nearer to each other than this are one, millimetres.
const SPECK: f64 = 1e-4;

/// The lines of one field.
#[derive(Debug, Clone, Default)]
pub struct FieldLines {
    /// Its name.
    pub field: String,
    /// The paint line: its rings, less what lies on the deck edge, an opening or a fitting.
    pub paint_line: Vec<Chain>,
    /// The middle of the line tape of the first pass.
    pub first: Vec<Chain>,
    /// The middle of the line tape of the reversed pass.
    pub reversed: Vec<Chain>,
}

/// Segments that follow each other.
#[derive(Debug, Clone)]
pub struct Chain {
    /// The segments.
    pub segments: Vec<Segment>,
    /// Whether the last joins the first.
    pub is_closed: bool,
}

impl Chain {
    /// Its length.
    #[must_use]
    pub fn length(&self) -> Length {
        Length::mm(self.segments.iter().map(Segment::length).sum())
    }
}

/// The lines of every field of a pattern, in its order.
#[must_use]
pub fn field_lines(pattern: &Pattern, tape: &Tape) -> Vec<FieldLines> {
    let paintable = super::paintable(pattern);
    let edges = paintable.boundary();
    let width = tape.line.width;
    let lines_of = |field: &Field| {
        let mut lines = FieldLines {
            field: field.id.clone(),
            ..FieldLines::default()
        };
        for ring in field.region.rings() {
            let cut = ring.cut_along(&edges);
            let first = line_tape::along(&cut, Side::IntoField, width).lines;
            let reversed = line_tape::along(&cut, Side::OutOfField, width).lines;
            lines.paint_line.extend(chains(&first.paint_line));
            for (tape, all) in [(&first, &mut lines.first), (&reversed, &mut lines.reversed)] {
                all.extend(chains(&less(&tape.line_tape, &tape.left_out)));
            }
        }
        lines
    };
    pattern.fields.iter().map(lines_of).collect()
}

/// What is left of some lines where parts of them are left out.
pub(super) fn less(lines: &[Segment], left_out: &[Segment]) -> Vec<Segment> {
    if left_out.is_empty() {
        return lines.to_vec();
    }
    let mut left = Vec::new();
    for line in lines {
        let mut gone: Vec<Stretch> = left_out
            .iter()
            .filter_map(|part| line.stretch_on(part))
            .collect();
        gone.sort_by(|a, b| a.from.total_cmp(&b.from));
        let mut done = 0.0;
        let mut keep = |from: f64, to: f64| {
            if from == 0.0 && to == 1.0 {
                left.push(*line);
            } else if (to - from) * line.length() > SPECK {
                left.push(line.part(from, to));
            }
        };
        for stretch in gone {
            keep(done, stretch.from);
            done = stretch.to.max(done);
        }
        keep(done, 1.0);
    }
    left
}

/// Segments as chains: joined where one begins at another's end.
pub(super) fn chains(segments: &[Segment]) -> Vec<Chain> {
    let mut open: Vec<Vec<Segment>> = Vec::new();
    let mut done = Vec::new();
    for segment in segments {
        let mut chain = match open.pop() {
            Some(before) if ends_at(&before, segment.start()) => before,
            Some(before) => {
                open.push(before);
                Vec::new()
            }
            None => Vec::new(),
        };
        chain.push(*segment);
        if closes(&chain) {
            done.push(chain);
        } else {
            open.push(chain);
        }
    }
    // What a ring's first joint parted.
    let mut index = 0;
    while index < open.len() {
        let start = open[index].first().map(Segment::start);
        let before = start.and_then(|start| open.iter().position(|one| ends_at(one, start)));
        match before {
            Some(before) if before != index => {
                let mut rest = std::mem::take(&mut open[index]);
                open[before].append(&mut rest);
                open.remove(index);
                index = 0;
            }
            _ => index += 1,
        }
    }
    done.extend(open);
    done.into_iter()
        .map(|segments| Chain {
            is_closed: closes(&segments),
            segments,
        })
        .collect()
}

fn ends_at(chain: &[Segment], at: Point) -> bool {
    chain
        .last()
        .is_some_and(|last| last.end().distance(at) < SPECK)
}

/// Whether a chain ends where it begins.
fn closes(chain: &[Segment]) -> bool {
    let length = chain.iter().map(Segment::length).sum::<f64>();
    length > 2.0 * SPECK
        && chain
            .first()
            .is_some_and(|first| ends_at(chain, first.start()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::layout::Sources;

    fn decks(text: &str) -> crate::Job {
        let layout = crate::layout::read(text).expect("a sound layout");
        crate::work_out(layout, &Sources::default()).expect("sound decks")
    }

    fn sum(chains: impl Iterator<Item = Chain>) -> f64 {
        chains.map(|chain| chain.length().to_mm()).sum()
    }

    #[test]
    fn the_lines_of_the_fields_are_as_long_as_the_figures_say() {
        for text in [
            include_str!("../../layouts/guillemot.toml"),
            include_str!("../../layouts/whimbrel.toml"),
            include_str!("../../layouts/dunlin.toml"),
        ] {
            let job = decks(text);
            for deck in &job.decks {
                let lines = field_lines(&deck.pattern, &job.layout.tape);
                let (first, reversed) = (&deck.masking.first, &deck.masking.reversed);
                let paint = sum(lines.iter().flat_map(|field| field.paint_line.clone()));
                assert!((paint - first.working_edge.to_mm()).abs() < 1e-3);
                let one = sum(lines.iter().flat_map(|field| field.first.clone()));
                assert!((one - first.line_tape.to_mm()).abs() < 1e-3);
                let other = sum(lines.iter().flat_map(|field| field.reversed.clone()));
                assert!((other - reversed.line_tape.to_mm()).abs() < 1e-3);
            }
        }
    }

    #[test]
    fn a_field_that_reaches_the_deck_edge_has_an_open_paint_line() {
        let job = decks(
            r#"
title = "Pads"
units = "mm"
[[deck]]
id = "deck"
[deck.outline]
points = [ [0, -500], [2000, -500], [2000, 500], [0, 500] ]
[deck.margin]
edge = 0
[deck.radius]
round = 40
hollow = 25
[[deck.strip]]
across_at = [1000]
width = 100
"#,
        );
        let lines = field_lines(&job.decks[0].pattern, &job.layout.tape);
        assert_eq!(lines.len(), 2);
        for field in lines {
            let closed: Vec<bool> = field.paint_line.iter().map(|one| one.is_closed).collect();
            assert!(closed.contains(&false), "{:?}", field.paint_line);
            for chain in &field.paint_line {
                for pair in chain.segments.windows(2) {
                    assert!(pair[0].end().distance(pair[1].start()) < SPECK);
                }
            }
        }
    }
}
