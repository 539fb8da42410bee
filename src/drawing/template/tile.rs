//! One page of a template: the lines it shows, what joins it to its neighbours, and the square that shows whether it was
//! printed true.

use super::super::canvas::Canvas;
use super::super::full_size::{FullSizeDeck, LineKind};
use super::super::marks::{Anchor, Dash, Drawing, Fill, Layer, Pen, Run, Weight};
use super::super::obstacles::cross;
use super::super::paper::Scale;
use super::super::text;
use super::Book;
use super::ground::Ground;
use super::tiling::{Cell, Sheet, Side, Tiling};
use crate::shape::{Bezier, BoundingBox, Fitted, Point, Segment, tangent_arcs};

/// Pen of crosses, the square and where to cut.
pub(super) const LIGHT: f64 = 0.13;
/// Heights of capitals, millimetres.
const NAME: f64 = 7.0;
pub(super) const NOTE: f64 = 2.5;
pub(super) const SMALL: f64 = 1.8;
const FIELD: f64 = 6.0;
/// An arm of a cross reaches so far at most, millimetres.
const ARM: f64 = 4.0;
/// Crosses on a side stand no further apart, millimetres.
const APART: f64 = 500.0;
/// Arrowheads are so long.
const ARROW: f64 = 4.0;
/// Lines and arcs follow an arc that is drawn out of scale within this, millimetres.
const WITHIN: f64 = 0.002;

/// What a line is drawn with and on which layer.
pub(super) const fn pen_of(kind: LineKind) -> (Pen, Layer) {
    let (width, dash, layer) = match kind {
        LineKind::PaintLine => (0.5, Dash::Solid, Layer::Fields),
        LineKind::DeckEdge => (0.25, Dash::Solid, Layer::Outline),
        LineKind::Opening => (0.25, Dash::Dashed, Layer::Openings),
        LineKind::Fitting => (0.35, Dash::Dotted, Layer::Fittings),
        LineKind::Centreline => (0.18, Dash::Chain, Layer::Centreline),
        LineKind::TapeFirst | LineKind::TapeReversed => (0.18, Dash::Dotted, Layer::LineTape),
    };
    (Pen { width, dash }, layer)
}

/// The order lines are drawn in; the paint line lies uppermost.
pub(super) const KINDS: [LineKind; 5] = [
    LineKind::Centreline,
    LineKind::Fitting,
    LineKind::Opening,
    LineKind::DeckEdge,
    LineKind::PaintLine,
];

/// A page being drawn.
struct Page<'a> {
    book: &'a Book<'a>,
    sheet: Sheet,
    deck: &'a FullSizeDeck,
    tiling: &'a Tiling,
    cell: Cell,
    /// The page's own part of the paper.
    own: BoundingBox,
    canvas: Canvas,
    ground: Ground,
}

/// Draws a page.
pub(super) fn draw(
    book: &Book<'_>,
    sheet: Sheet,
    deck: &FullSizeDeck,
    tiling: &Tiling,
    cell: Cell,
) -> Drawing {
    let own = sheet.own();
    let mut page = Page {
        book,
        sheet,
        deck,
        tiling,
        cell,
        own,
        canvas: Canvas::default(),
        ground: Ground::new(own.grown(-0.5)),
    };
    page.lines();
    page.crosses();
    page.cuts();
    page.square();
    page.title();
    page.arrows();
    page.field_names();
    if book.request.half {
        page.flip();
    }
    let title = format!("{} {}", text::drawable(&deck.title), cell.name());
    Drawing {
        width: sheet.width,
        height: sheet.height,
        description: format!(
            "Page {} of the template of {} at full size",
            cell.name(),
            deck.title
        ),
        title,
        scale: Scale::FULL,
        frame: sheet.printable(),
        marks: page.canvas.marks,
        unplaced: Vec::new(),
    }
}

impl Page<'_> {
    /// Where a point of the deck lies on the paper.
    fn on_paper(&self, at: Point) -> Point {
        let off = at - self.tiling.own(self.cell).least;
        let scale = self.sheet.scale;
        self.own.least + Point::new(off.x * scale.x, off.y * scale.y)
    }

    /// Where a point of the paper lies on the deck.
    fn on_deck(&self, at: Point) -> Point {
        let off = at - self.own.least;
        let scale = self.sheet.scale;
        self.tiling.own(self.cell).least + Point::new(off.x / scale.x, off.y / scale.y)
    }

    fn lines(&mut self) {
        let printable = self.sheet.printable();
        let shown = BoundingBox {
            least: self.on_deck(printable.least),
            greatest: self.on_deck(printable.greatest),
        };
        for kind in KINDS {
            let mut runs = Vec::new();
            for line in self.deck.lines.iter().filter(|line| line.kind == kind) {
                for part in line.run.parts_in(&shown) {
                    runs.push(self.run_on_paper(&part));
                }
            }
            for segment in runs.iter().flat_map(|run| &run.segments) {
                self.ground.add_segment(segment);
            }
            let (pen, layer) = pen_of(kind);
            self.canvas.runs(layer, Some(pen), Fill::None, runs);
        }
    }

    fn run_on_paper(&self, run: &Run) -> Run {
        let is_true = self.sheet.scale == Point::new(1.0, 1.0);
        let mut segments = Vec::new();
        for segment in &run.segments {
            match segment {
                Segment::Line(from, to) => {
                    segments.push(Segment::Line(self.on_paper(*from), self.on_paper(*to)));
                }
                arc @ Segment::Arc(_) if is_true => {
                    segments.push(arc.moved(&|at| self.on_paper(at)));
                }
                Segment::Arc(arc) => {
                    // Out of scale a circle is an ellipse.
                    let scale = self.sheet.scale * arc.radius;
                    let axes = [Point::new(scale.x, 0.0), Point::new(0.0, scale.y)];
                    let centre = self.on_paper(arc.centre);
                    for piece in
                        Bezier::ellipse(centre, axes[0], axes[1], arc.start_angle(), arc.sweep)
                    {
                        let arcs = tangent_arcs(&piece, 0.0, 1.0, WITHIN);
                        segments.extend(arcs.into_iter().map(|Fitted { segment, .. }| segment));
                    }
                }
            }
        }
        Run {
            segments,
            closed: run.closed,
        }
    }

    /// Crosses where pages meet: at the corners of the page's own part and between them. On both sheets they
    /// mark the same points.
    fn crosses(&mut self) {
        let BoundingBox { least, greatest } = self.own;
        let (row, column) = (self.cell.row, self.cell.column);
        let mut places = Vec::new();
        for (at, row, column) in [
            (Point::new(least.x, greatest.y), row, column),
            (greatest, row, column + 1),
            (least, row + 1, column),
            (Point::new(greatest.x, least.y), row + 1, column + 1),
        ] {
            if self.tiling.at_corner(row, column) > 1 {
                places.push(at);
            }
        }
        for side in Side::ALL {
            if self.tiling.beside(self.cell, side).is_some() {
                let length = self.along(side, 0.0).distance(self.along(side, 1.0));
                let parts = (length / APART).ceil().max(2.0);
                let mut part = 1.0;
                while part < parts {
                    places.push(self.along(side, part / parts));
                    part += 1.0;
                }
            }
        }
        let arm = (self.sheet.overlap / 2.0 - 0.5).min(ARM);
        let (across, up) = (Point::new(arm, 0.0), Point::new(0.0, arm));
        for at in places {
            let runs = vec![
                Run::open(&[at - across, at + across]),
                Run::open(&[at - up, at + up]),
            ];
            self.canvas
                .runs(Layer::Sheet, Some(Pen::solid(LIGHT)), Fill::None, runs);
            self.ground.take(BoundingBox::of_points([at]).grown(arm));
        }
    }

    /// A place on a side of the page's own part, a share of the way from its left or its lower end.
    fn along(&self, side: Side, share: f64) -> Point {
        let BoundingBox { least, greatest } = self.own;
        let middle = least + Point::new(self.own.width(), self.own.height()) * share;
        match side {
            Side::Left => Point::new(least.x, middle.y),
            Side::Right => Point::new(greatest.x, middle.y),
            Side::Above => Point::new(middle.x, greatest.y),
            Side::Below => Point::new(middle.x, least.y),
        }
    }

    /// Where to cut: through the crosses, on the sides that come to lie on a neighbour.
    fn cuts(&mut self) {
        let pen = Pen {
            width: LIGHT,
            dash: Dash::Dotted,
        };
        for side in [Side::Left, Side::Above] {
            if self.tiling.beside(self.cell, side).is_some() {
                let line = [self.along(side, 0.0), self.along(side, 1.0)];
                self.canvas.line(Layer::Sheet, pen, &line);
            }
        }
    }

    /// The square, where the fewest lines cross its sides.
    fn square(&mut self) {
        let size = self.book.square();
        let mut best: Option<(usize, BoundingBox)> = None;
        let places = Ground::new(self.own.grown(-ARM - 1.0)).lattice(size, 8, 8);
        for least in places {
            let bounds = BoundingBox {
                least,
                greatest: least + size,
            };
            let crossed = self.crossings(&bounds);
            if best.as_ref().is_none_or(|(fewest, _)| crossed < *fewest) {
                best = Some((crossed, bounds));
            }
        }
        if let Some((_, bounds)) = best {
            square(&mut self.canvas, &mut self.ground, bounds);
        }
    }

    fn crossings(&self, bounds: &BoundingBox) -> usize {
        let BoundingBox { least, greatest } = *bounds;
        let corners = [
            least,
            Point::new(greatest.x, least.y),
            greatest,
            Point::new(least.x, greatest.y),
        ];
        let sides = [0, 1, 2, 3].map(|index| [corners[index], corners[(index + 1) % 4]]);
        self.ground.crossed_by(&sides)
    }

    /// The page's name, its deck, what to do.
    fn title(&mut self) {
        let name = self.cell.name();
        let measure = format!(
            "Print at 100 %. Measure the square: {} both ways.",
            self.book.square_name()
        );
        let most = self.own.width() * 0.6;
        let deck = text::drawable(&self.deck.title);
        let deck = text::shortened(&deck, NOTE, Weight::Regular, most);
        let rows = [
            (name.as_str(), NAME * self.larger(), Weight::Bold),
            (deck.as_str(), NOTE, Weight::Regular),
            (measure.as_str(), SMALL, Weight::Regular),
        ];
        let width = rows
            .iter()
            .map(|(words, height, weight)| text::width(words, *height, *weight))
            .fold(0.0, f64::max);
        let height: f64 = rows
            .iter()
            .map(|(_, height, _)| height * text::BOX_HEIGHT)
            .sum();
        let size = Point::new(width, height + 1.0);
        let places = self.ground.lattice(size, 12, 16);
        let Some(block) = self.ground.place(size, places, usize::MAX) else {
            return;
        };
        // A field's name keeps well away.
        self.ground.take(block.grown(NOTE));
        let mut top = block.greatest.y;
        for (words, height, weight) in rows {
            let depth = height * text::BOX_HEIGHT;
            let at = Point::new(block.least.x, top - depth + height * text::DESCENT);
            self.canvas
                .text(Layer::Sheet, at, Anchor::Start, height, weight, words);
            top -= depth + 0.5;
        }
    }

    /// How much larger names are on a large sheet than on the smallest.
    fn larger(&self) -> f64 {
        (self.own.width().min(self.own.height()) / 200.0).clamp(1.0, 4.0)
    }

    /// Arrows to the neighbours.
    fn arrows(&mut self) {
        for side in Side::ALL {
            let Some(beside) = self.tiling.beside(self.cell, side) else {
                continue;
            };
            let name = beside.name();
            let (width, height) = (
                text::width(&name, NOTE, Weight::Bold),
                NOTE * text::BOX_HEIGHT,
            );
            let lies = matches!(side, Side::Left | Side::Right);
            let size = if lies {
                Point::new(width + ARROW + 1.0, height)
            } else {
                Point::new(width.max(ARROW), height + ARROW + 0.6)
            };
            let inward = 1.0;
            let places = [0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.12, 0.88, 0.46, 0.54].map(|share| {
                let at = self.along(side, share);
                match side {
                    Side::Left => at + Point::new(inward, -size.y / 2.0),
                    Side::Right => at + Point::new(-inward - size.x, -size.y / 2.0),
                    Side::Above => at + Point::new(-size.x / 2.0, -inward - size.y),
                    Side::Below => at + Point::new(-size.x / 2.0, inward),
                }
            });
            let Some(block) = self.ground.place(size, places, usize::MAX) else {
                continue;
            };
            let middle = block.centre();
            let base = NOTE * text::DESCENT;
            let (tip, direction, at, anchor) = match side {
                Side::Left => (
                    Point::new(block.least.x, middle.y),
                    Point::new(-1.0, 0.0),
                    Point::new(block.greatest.x, block.least.y + base),
                    Anchor::End,
                ),
                Side::Right => (
                    Point::new(block.greatest.x, middle.y),
                    Point::new(1.0, 0.0),
                    Point::new(block.least.x, block.least.y + base),
                    Anchor::Start,
                ),
                Side::Above => (
                    Point::new(middle.x, block.greatest.y),
                    Point::new(0.0, 1.0),
                    Point::new(middle.x, block.least.y + base),
                    Anchor::Middle,
                ),
                Side::Below => (
                    Point::new(middle.x, block.least.y),
                    Point::new(0.0, -1.0),
                    Point::new(middle.x, block.greatest.y - height + base),
                    Anchor::Middle,
                ),
            };
            self.canvas.arrowhead(Layer::Sheet, tip, direction, ARROW);
            self.canvas
                .text(Layer::Sheet, at, anchor, NOTE, Weight::Bold, &name);
        }
    }

    /// Each field's name, once, inside it where there is room.
    fn field_names(&mut self) {
        let own = self.tiling.own(self.cell);
        for field in &self.deck.names {
            if !field.region.bounding_box().touches(&own) {
                continue;
            }
            for height in [FIELD * self.larger(), FIELD, NOTE] {
                let name = text::drawable(&field.name);
                let width = text::width(&name, height, Weight::Bold);
                let size = Point::new(width, height * text::BOX_HEIGHT);
                let places: Vec<Point> = self
                    .ground
                    .lattice(size, 10, 12)
                    .into_iter()
                    .filter(|least| {
                        let bounds = BoundingBox {
                            least: *least,
                            greatest: *least + size,
                        };
                        self.ground.is_free(&bounds) && self.ground.lines_through(&bounds) == 0
                    })
                    .collect();
                // Where no line runs through it, all of it lies in the field or none.
                let inside = places
                    .into_iter()
                    .find(|least| field.region.contains(self.on_deck(*least + size * 0.5)));
                let Some(least) = inside else {
                    continue;
                };
                self.ground.take(BoundingBox {
                    least,
                    greatest: least + size,
                });
                let at = least + Point::new(0.0, height * text::DESCENT);
                self.canvas.text(
                    Layer::Labels,
                    at,
                    Anchor::Start,
                    height,
                    Weight::Bold,
                    &name,
                );
                break;
            }
        }
    }

    /// What is done at the centreline of half a pattern.
    fn flip(&mut self) {
        let own = self.tiling.own(self.cell);
        if own.least.y > 0.0 || own.greatest.y < 0.0 {
            return;
        }
        let words = "Centreline: flip here for port";
        let width = text::width(words, NOTE, Weight::Bold);
        let size = Point::new(width, NOTE * text::BOX_HEIGHT);
        let y = self.on_paper(Point::new(own.least.x, 0.0)).y;
        let free = self.own.width() - width - 2.0;
        let places = [0.5, 0.3, 0.7, 0.1, 0.9, 0.0, 1.0]
            .into_iter()
            .flat_map(|share| {
                let x = self.own.least.x + 1.0 + free * share;
                [Point::new(x, y + 1.2), Point::new(x, y - 1.2 - size.y)]
            });
        let places: Vec<Point> = places.collect();
        if let Some(block) = self.ground.place(size, places, usize::MAX) {
            let at = block.least + Point::new(0.0, NOTE * text::DESCENT);
            self.canvas.text(
                Layer::Centreline,
                at,
                Anchor::Start,
                NOTE,
                Weight::Bold,
                words,
            );
        }
    }
}

/// A square to measure.
pub(super) fn square(canvas: &mut Canvas, ground: &mut Ground, bounds: BoundingBox) {
    let ring = bounds.rectangle();
    for side in ring.segments() {
        ground.add_segment(side);
        ground.take(side.bounding_box());
    }
    canvas.ring(Layer::Sheet, Pen::solid(LIGHT), &ring);
}

impl Ground {
    /// How often lines that stand here are crossed by others.
    fn crossed_by(&self, sides: &[[Point; 2]]) -> usize {
        let lines = self.lines();
        let crossed = |[a, b]: &[Point; 2]| {
            let crosses = lines.iter().filter(|[c, d]| cross(*a, *b, *c, *d));
            crosses.count()
        };
        sides.iter().map(crossed).sum()
    }
}
