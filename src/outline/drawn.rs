//! What is taken from a drawing, as rings on the deck: closed, counter-clockwise, curves as lines and arcs.
//! Comes in: a drawing as it lies on the deck and what is asked of it. Goes out: rings, or the faults of the
//! layout with the line of the drawing that causes them.

use std::borrow::Cow;
use std::fmt;
use std::sync::Arc;

use super::drafting::{self, Drafting};
use super::findings::Findings;
use super::tracing::Tracing;
use super::walk::{Step, Walk};
use super::{Edge, EdgeRing};
use crate::import::{self, DrawnPath, ImportFault, Piece};
use crate::layout::{Drawn, Excerpt, Fault, Place, What};
use crate::shape::{Arc as Circular, Point, Ring, Segment, TOUCH, Transformation, tangent_arcs};
use crate::units::Length;

/// How near lines and arcs follow a drawn curve, millimetres.
const DRAWN_WITHIN: f64 = 0.01;
/// Ends of a path as near as this, millimetres, meet.
const GAP: f64 = 0.05;
/// Characters of a drawing's line that are shown.
const SHOWN: usize = 70;
/// Nothing lies further from the datum, millimetres.
const FARTHEST: f64 = 1e6;
/// An outline known less precisely than this, millimetres, is worth a word.
const COARSE: f64 = 10.0;

/// A drawing as it lies on the deck.
#[derive(Debug, Clone)]
pub struct FixedDrawing {
    /// Its file, as the layout calls it.
    pub file: String,
    /// What it holds, in its own axes.
    pub drawn: import::Drawn,
    /// How it lies on the deck.
    pub lie: Lie,
    /// The file itself, to show what is wrong in it.
    pub(super) bytes: Bytes,
}

/// How a drawing lies on the deck.
#[derive(Debug, Clone)]
#[allow(
    clippy::large_enum_variant,
    reason = "there are few drawings, and each is kept once"
)]
pub enum Lie {
    /// As a tracing, by its own units, a distance or marks.
    Traced(Tracing),
    /// As the coordinates of a DXF say.
    Drafted(Drafting),
}

impl FixedDrawing {
    /// From the drawing's axes to the deck's.
    #[must_use]
    pub const fn map(&self) -> &Transformation {
        match &self.lie {
            Lie::Traced(tracing) => &tracing.map,
            Lie::Drafted(drafting) => &drafting.map,
        }
    }

    /// A fault of the drawing as one of the layout, at the entry that asks for it.
    pub(super) fn told(&self, fault: &ImportFault, place: Place) -> Fault {
        told(fault, &self.file, &self.bytes.0, place)
    }
}

/// A file's bytes, shared.
#[derive(Clone)]
pub(super) struct Bytes(Arc<[u8]>);

impl Bytes {
    pub(super) fn of(bytes: &[u8]) -> Self {
        Self(Arc::from(bytes))
    }
}

impl fmt::Debug for Bytes {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} bytes", self.0.len())
    }
}

/// A fault of a drawing as one of the layout, at the entry that asks for it.
pub(super) fn told(fault: &ImportFault, file: &str, bytes: &[u8], place: Place) -> Fault {
    let excerpt = excerpt(fault, file, bytes);
    let label = if excerpt.is_some() {
        "taken from here"
    } else {
        fault.label.as_str()
    };
    let mut told = Fault::new(place, fault.message.as_str(), label);
    told.help.clone_from(&fault.help);
    told.excerpt = excerpt.map(Box::new);
    told
}

/// The line of the drawing at fault, cut to what is worth showing.
fn excerpt(fault: &ImportFault, file: &str, bytes: &[u8]) -> Option<Excerpt> {
    let line = bytes
        .split(|byte| *byte == b'\n')
        .nth(fault.line.checked_sub(1)?)?;
    // Enough bytes to hold the characters wanted, wherever in a long line they are.
    let before = fault.column.saturating_sub(1);
    let skipped = before.saturating_sub(SHOWN / 2);
    let text = String::from_utf8_lossy(line);
    let mut shown: String = text.chars().skip(skipped).take(SHOWN).collect();
    let start: usize = shown
        .chars()
        .take(before - skipped)
        .map(char::len_utf8)
        .sum();
    let end = if fault.column == 0 {
        shown.trim_end().len()
    } else {
        start + shown[start..].chars().next().map_or(0, char::len_utf8)
    };
    let mut part = start..end.max(start);
    if skipped > 0 {
        shown.insert_str(0, "...");
        part = part.start + 3..part.end + 3;
    }
    if text.chars().nth(skipped + SHOWN).is_some() {
        shown.push_str("...");
    }
    Some(Excerpt {
        file: file.to_owned(),
        line: fault.line,
        text: shown,
        part,
        label: fault.label.clone(),
    })
}

/// The closed rings, counter-clockwise, in the drawing's order; none and a fault where there is none.
pub(super) fn rings(drawn: &Drawn, findings: &mut Findings<'_>) -> Vec<Ring> {
    edge_rings(drawn, &|_| Length::ZERO, findings)
        .into_iter()
        .flatten()
        .map(|edge| edge.ring)
        .collect()
}

/// The deck's edge, from the one closed ring there must be.
pub(super) fn edge_ring(
    drawn: &Drawn,
    margin_of: &dyn Fn(Option<&str>) -> Length,
    findings: &mut Findings<'_>,
) -> Option<EdgeRing> {
    let mut rings = edge_rings(drawn, margin_of, findings)?;
    let ring = rings.pop()?;
    if !rings.is_empty() {
        let count = rings.len() + 1;
        rings.push(ring);
        let begins: Vec<String> = rings
            .iter()
            .filter_map(|edge| Some(edge.ring.segments().first()?.start()))
            .take(6)
            .map(|start| findings.whereabouts(start))
            .collect();
        findings.fault(
            Fault::new(
                drawn.place,
                format!(
                    "{} is {count} closed rings, and an outline is one (they pass {})",
                    asked(drawn),
                    begins.join("; ")
                ),
                "which of them is the deck's edge?",
            )
            .with_help("draw the deck's edge as a path of its own; what lies inside it goes under [[deck.opening]]"),
        );
        return None;
    }
    warn_where_coarse(drawn, findings);
    Some(ring)
}

/// What is asked of a drawing, in words.
pub(super) fn asked(drawn: &Drawn) -> String {
    match &drawn.what {
        What::Path(id) => format!("\"{}\"", id.value),
        What::Layer(layer) => format!("layer \"{}\"", layer.value),
        What::Handle(handle) => format!("entity {}", handle.value),
    }
}

/// Every ring, or none where there is any fault.
fn edge_rings(
    drawn: &Drawn,
    margin_of: &dyn Fn(Option<&str>) -> Length,
    findings: &mut Findings<'_>,
) -> Option<Vec<EdgeRing>> {
    let fixed = findings.fixed;
    let Some(drawing) = fixed.drawings.get(drawn.drawing) else {
        findings.fault(Fault::new(
            drawn.place,
            "the drawing this is taken from has not been laid on the deck",
            "taken from a drawing",
        ));
        return None;
    };
    let paths: Vec<Cow<'_, DrawnPath>> = match &drawn.what {
        What::Path(id) => match drawing.drawn.with_id(&id.value) {
            Ok(paths) => paths.into_iter().map(Cow::Borrowed).collect(),
            Err(fault) => {
                findings.fault(drawing.told(&fault, id.place));
                return None;
            }
        },
        What::Layer(_) | What::Handle(_) => {
            let joined = drafting::joined(drawing, drawn, findings)?;
            joined.into_iter().map(Cow::Owned).collect()
        }
    };
    let before = findings.faults.len();
    let rings: Vec<EdgeRing> = paths
        .iter()
        .filter_map(|path| on_deck(path, drawing, drawn, margin_of, findings))
        .collect();
    (findings.faults.len() == before).then_some(rings)
}

/// One path as a ring on the deck; none and a fault where it is none.
fn on_deck(
    path: &DrawnPath,
    drawing: &FixedDrawing,
    drawn: &Drawn,
    margin_of: &dyn Fn(Option<&str>) -> Length,
    findings: &mut Findings<'_>,
) -> Option<EdgeRing> {
    let mut fault = |message: String, label: &str, help: &str| {
        let fault = ImportFault::new(path.line, 0, message, label).with_help(help);
        findings.fault(drawing.told(&fault, drawn.place));
        None
    };
    let mut segments = Vec::new();
    for piece in &path.pieces {
        let Some(mapped) = piece.mapped(drawing.map()) else {
            return fault(
                format!(
                    "part of {} lies on the photograph's horizon or beyond, as the marks show it",
                    asked(drawn)
                ),
                "runs beyond the horizon",
                "check the marks, and that only the deck is traced",
            );
        };
        for piece in &mapped {
            lay(piece, &mut segments);
        }
    }
    let (Some(first), Some(last)) = (segments.first(), segments.last()) else {
        return fault(
            format!("{} is too small to see on the deck", asked(drawn)),
            "nothing there",
            "check the scale",
        );
    };
    let (start, end) = (first.start(), last.end());
    let is_far = |point: Point| !(point.x.abs() <= FARTHEST && point.y.abs() <= FARTHEST);
    if segments.iter().any(|segment| is_far(segment.end())) {
        return fault(
            format!("{} reaches over 1 km from the datum", asked(drawn)),
            "too far for any deck",
            "check the scale or the marks of the drawing",
        );
    }
    let apart = start.distance(end);
    if apart > GAP && !path.closed {
        let message = format!(
            "{} is open: its ends are {} apart, at {} and at {}",
            asked(drawn),
            findings.spoken(apart),
            findings.whereabouts(start),
            findings.whereabouts(end)
        );
        let fault = ImportFault::new(path.line, 0, message, "not closed")
            .with_help("close the path in the program that drew it");
        findings.fault(drawing.told(&fault, drawn.place));
        return None;
    }
    if apart > TOUCH {
        segments.push(Segment::Line(end, start));
    }
    if let Some(crossing) = crossing(&segments) {
        let message = format!(
            "{} crosses or touches itself near {}",
            asked(drawn),
            findings.whereabouts(crossing)
        );
        let fault = ImportFault::new(path.line, 0, message, "this path")
            .with_help("take out the loop in the program that drew it");
        findings.fault(drawing.told(&fault, drawn.place));
        return None;
    }
    let step = |segment| Step {
        segment,
        edge: 0,
        entry: 0,
    };
    let walk = Walk {
        steps: segments.into_iter().map(step).collect(),
        edges: vec![Edge {
            name: None,
            margin: margin_of(None),
        }],
    };
    walk.into_ring(&[drawn.place], drawn.place, false, findings)
}

/// A piece on the deck as lines and arcs.
fn lay(piece: &Piece, segments: &mut Vec<Segment>) {
    match piece {
        Piece::Line { start, end } => add(Segment::Line(*start, *end), segments),
        // A whole turn, or nearly, is easier to work with in halves.
        Piece::Arc(arc) if arc.sweep.abs() > 1.9 * std::f64::consts::PI => {
            let whole = Segment::Arc(*arc);
            add(whole.part(0.0, 0.5), segments);
            add(whole.part(0.5, 1.0), segments);
        }
        Piece::Arc(arc) => add(Segment::Arc(*arc), segments),
        Piece::Curve(curve) => {
            for fitted in tangent_arcs(curve, 0.0, 1.0, DRAWN_WITHIN) {
                add(fitted.segment, segments);
            }
        }
    }
}

/// Adds a segment where the last one ends; one too short to matter is left out.
fn add(segment: Segment, segments: &mut Vec<Segment>) {
    if segment.length() <= TOUCH {
        return;
    }
    let start = segments.last().map_or(segment.start(), Segment::end);
    let is_there = segment.start().distance(start) <= 2.0 * TOUCH;
    segments.push(match segment {
        Segment::Line(_, end) if is_there => Segment::Line(start, end),
        Segment::Arc(arc) if is_there => Segment::Arc(Circular { start, ..arc }),
        segment => segment,
    });
}

fn crossing(segments: &[Segment]) -> Option<Point> {
    let ring = Ring::new(segments.to_vec());
    ring.self_crossing().map(|crossing| crossing.at)
}

/// Says where the marks leave an outline too vague.
fn warn_where_coarse(drawn: &Drawn, findings: &mut Findings<'_>) {
    let fixed = findings.fixed;
    let (Some(drawing), What::Path(id)) = (fixed.drawings.get(drawn.drawing), &drawn.what) else {
        return;
    };
    let Lie::Traced(tracing) = &drawing.lie else {
        return;
    };
    let ends = drawing
        .drawn
        .paths
        .iter()
        .filter(|path| path.id.as_deref() == Some(id.value.as_str()))
        .flat_map(|path| &path.pieces)
        .map(Piece::start);
    let worst = ends
        .filter_map(|end| Some((tracing.precision_at(end)?, tracing.map.apply(end)?)))
        .max_by(|one, other| one.0.total_cmp(&other.0));
    if let Some((precision, at)) = worst
        && precision > COARSE
    {
        let message = format!(
            "the marks leave the outline uncertain by {} (one standard deviation) near {}; a mark there would help",
            findings.spoken(precision.ceil()),
            findings.whereabouts(at)
        );
        findings.warn("outline-uncertain", message, drawn.place, at);
    }
}
