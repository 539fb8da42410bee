//! The title block (ISO 7200, from memory: at most 180 mm wide, in the lower right corner): a title over
//! the whole width, then cells with a small caption over what they say. The date is given by the person
//! who asks, or left blank to write in, so that the same layout always gives the same sheet.

use super::canvas::Canvas;
use super::marks::{Anchor, Fill, Layer, Pen, Weight};
use super::paper::Style;
use super::text;
use crate::shape::{BoundingBox, Point};

/// Most that it may be wide, millimetres.
pub(super) const MOST_WIDTH: f64 = 180.0;

/// What it says.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct TitleBlock {
    pub(super) title: String,
    pub(super) deck: String,
    pub(super) view: String,
    pub(super) scale: String,
    pub(super) sheet: String,
    pub(super) units: String,
    pub(super) date: String,
}

impl TitleBlock {
    /// Its cells, row by row, each with its share of the width.
    fn rows(&self, width: f64, style: &Style) -> Vec<Vec<(&'static str, &str, f64)>> {
        let wide = width > style.small * 65.0;
        let (view, deck) = (self.view.as_str(), self.deck.as_str());
        let mut rows = if wide {
            vec![vec![("View", view, 0.5), ("Deck", deck, 0.5)]]
        } else {
            vec![vec![("View", view, 1.0)], vec![("Deck", deck, 1.0)]]
        };
        let small: Vec<(&'static str, &str)> = vec![
            ("Scale", &self.scale),
            ("Sheet", &self.sheet),
            ("Units", &self.units),
            ("Date", &self.date),
        ];
        let a_row: usize = if wide { 4 } else { 2 };
        for cells in small.chunks(a_row) {
            let share = if wide { 0.25 } else { 0.5 };
            rows.push(
                cells
                    .iter()
                    .map(|(name, what)| (*name, *what, share))
                    .collect(),
            );
        }
        rows
    }

    fn row_height(style: &Style) -> f64 {
        style.small * 1.9 + style.note * 2.0
    }

    fn title_height(style: &Style) -> f64 {
        style.title * 2.2
    }

    /// Its height at a width.
    pub(super) fn height(&self, width: f64, style: &Style) -> f64 {
        let rows = self.rows(width, style);
        rows.iter().fold(Self::title_height(style), |sum, _| {
            sum + Self::row_height(style)
        })
    }

    /// Draws it with its upper left corner at `corner`.
    pub(super) fn draw(&self, canvas: &mut Canvas, style: &Style, corner: Point, width: f64) {
        let layer = Layer::Sheet;
        let height = self.height(width, style);
        let bounds = BoundingBox {
            least: corner - Point::new(0.0, height),
            greatest: corner + Point::new(width, 0.0),
        };
        let thin = Pen::solid(style.thin);
        canvas.rectangle(layer, Some(Pen::solid(style.thick)), Fill::None, bounds);
        let pad = style.small * 0.8;
        // A long title is set smaller before it is cut.
        let title = text::drawable(&self.title);
        let room = width - 2.0 * pad;
        let size = [style.title, style.figure, style.note]
            .into_iter()
            .find(|size| text::width(&title, *size, Weight::Bold) <= room)
            .unwrap_or(style.note);
        let title = text::shortened(&title, size, Weight::Bold, room);
        let base = corner.y - Self::title_height(style) / 2.0 - size * 0.5;
        let at = Point::new(corner.x + pad, base);
        canvas.text(layer, at, Anchor::Start, size, Weight::Bold, &title);
        let mut top = corner.y - Self::title_height(style);
        for cells in self.rows(width, style) {
            let ends = [Point::new(corner.x, top), Point::new(corner.x + width, top)];
            canvas.line(layer, thin, &ends);
            let low = top - Self::row_height(style);
            let mut left = corner.x;
            for (name, what, share) in cells {
                if left > corner.x {
                    canvas.line(layer, thin, &[Point::new(left, top), Point::new(left, low)]);
                }
                let caption = Point::new(left + pad, top - style.small * 1.5);
                canvas.text(
                    layer,
                    caption,
                    Anchor::Start,
                    style.small,
                    Weight::Regular,
                    name,
                );
                let room = width * share - 2.0 * pad;
                let what = text::drawable(what);
                let size = [style.note, style.small]
                    .into_iter()
                    .find(|size| text::width(&what, *size, Weight::Bold) <= room)
                    .unwrap_or(style.small);
                let what = text::shortened(&what, size, Weight::Bold, room);
                let at = Point::new(left + pad, low + style.note * 0.7);
                canvas.text(layer, at, Anchor::Start, size, Weight::Bold, &what);
                left += width * share;
            }
            top = low;
        }
    }
}
