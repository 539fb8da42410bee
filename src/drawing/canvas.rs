//! Where views put their marks, and the map from the deck to the sheet.

use super::marks::{Anchor, FieldTag, Fill, Layer, Mark, Path, Pen, Run, Text, Weight};
use crate::shape::{Arc, BoundingBox, Point, Region, Ring, Segment};

/// Marks being collected, the first undermost.
#[derive(Debug, Default)]
pub(super) struct Canvas {
    pub(super) marks: Vec<Mark>,
}

impl Canvas {
    pub(super) fn runs(&mut self, layer: Layer, pen: Option<Pen>, fill: Fill, runs: Vec<Run>) {
        if !runs.is_empty() {
            self.marks.push(Mark::Path(Path {
                layer,
                runs,
                pen,
                fill,
                field: None,
            }));
        }
    }

    /// The edge of a field, which tells whose it is.
    pub(super) fn field(&mut self, pen: Pen, region: &Region, field: FieldTag) {
        self.marks.push(Mark::Path(Path {
            layer: Layer::Fields,
            runs: Run::rings(region),
            pen: Some(pen),
            fill: Fill::None,
            field: Some(field),
        }));
    }

    pub(super) fn line(&mut self, layer: Layer, pen: Pen, points: &[Point]) {
        self.runs(layer, Some(pen), Fill::None, vec![Run::open(points)]);
    }

    pub(super) fn region(&mut self, layer: Layer, pen: Option<Pen>, fill: Fill, region: &Region) {
        self.runs(layer, pen, fill, Run::rings(region));
    }

    pub(super) fn ring(&mut self, layer: Layer, pen: Pen, ring: &Ring) {
        self.runs(layer, Some(pen), Fill::None, vec![Run::closed(ring)]);
    }

    pub(super) fn rectangle(
        &mut self,
        layer: Layer,
        pen: Option<Pen>,
        fill: Fill,
        bounds: BoundingBox,
    ) {
        self.runs(layer, pen, fill, vec![Run::closed(&rectangle(bounds))]);
    }

    /// A filled arrowhead with its tip at `tip`, pointing along `direction`.
    pub(super) fn arrowhead(&mut self, layer: Layer, tip: Point, direction: Point, length: f64) {
        let back = tip - direction.unit() * length;
        let side = direction.unit().left() * (length / 6.0);
        let ring = Ring::polygon(&[tip, back + side, back - side]);
        self.runs(layer, None, Fill::Grey(0), vec![Run::closed(&ring)]);
    }

    /// A filled dot.
    pub(super) fn dot(&mut self, layer: Layer, at: Point, radius: f64) {
        let ring = Ring::circle(at, radius);
        self.runs(layer, None, Fill::Grey(0), vec![Run::closed(&ring)]);
    }

    pub(super) fn text(
        &mut self,
        layer: Layer,
        at: Point,
        anchor: Anchor,
        height: f64,
        weight: Weight,
        content: &str,
    ) {
        self.turned_text(layer, at, anchor, height, weight, content, 0.0);
    }

    #[expect(
        clippy::too_many_arguments,
        reason = "a text has that many properties, each named at the call"
    )]
    pub(super) fn turned_text(
        &mut self,
        layer: Layer,
        at: Point,
        anchor: Anchor,
        height: f64,
        weight: Weight,
        content: &str,
        turn: f64,
    ) {
        let content = super::text::drawable(content);
        if !content.is_empty() {
            self.marks.push(Mark::Text(Text {
                layer,
                at,
                height,
                anchor,
                turn,
                weight,
                content,
            }));
        }
    }
}

/// The ring round a box.
pub(super) fn rectangle(bounds: BoundingBox) -> Ring {
    let (least, greatest) = (bounds.least, bounds.greatest);
    Ring::polygon(&[
        least,
        Point::new(greatest.x, least.y),
        greatest,
        Point::new(least.x, greatest.y),
    ])
}

/// The map from the deck, millimetres, to the sheet, millimetres.
#[derive(Debug, Clone, Copy)]
pub(super) struct Projection {
    /// Millimetres on the sheet for one on the deck.
    pub(super) share: f64,
    /// Where the deck's origin stands on the sheet.
    pub(super) origin: Point,
}

impl Projection {
    pub(super) fn point(&self, point: Point) -> Point {
        self.origin + point * self.share
    }

    pub(super) fn segment(&self, segment: &Segment) -> Segment {
        match segment {
            Segment::Line(start, end) => Segment::Line(self.point(*start), self.point(*end)),
            Segment::Arc(arc) => Segment::Arc(Arc {
                start: self.point(arc.start),
                end: self.point(arc.end),
                centre: self.point(arc.centre),
                radius: arc.radius * self.share,
                sweep: arc.sweep,
            }),
        }
    }

    pub(super) fn ring(&self, ring: &Ring) -> Ring {
        Ring::new(
            ring.segments()
                .iter()
                .map(|segment| self.segment(segment))
                .collect(),
        )
    }

    pub(super) fn region(&self, region: &Region) -> Region {
        Region::new(region.rings().iter().map(|ring| self.ring(ring)).collect())
    }

    pub(super) fn bounds(&self, bounds: BoundingBox) -> BoundingBox {
        BoundingBox {
            least: self.point(bounds.least),
            greatest: self.point(bounds.greatest),
        }
    }
}
