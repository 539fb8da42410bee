//! The same template on a roll: each deck cut into as few pieces as the roll's width and the longest page allow, pieces
//! nested beside and behind each other, fore-and-aft along the roll or across it, never turned.

use super::super::full_size::{FullSize, FullSizeDeck};
use super::tiling::{Cell, Sheet, Tiling, asking, bounds_of};
use super::{Roll, TemplateRequest};
use crate::shape::Point;
use crate::units::{Length, LengthUnit};

/// No page is longer, millimetres: 14,400 points, the most that some viewers open, are 5.08 m.
const LONGEST: f64 = 5000.0;
/// A piece has room for the square and the crosses round it, millimetres on paper.
const LEAST_STEP: f64 = 124.0;

/// How a deck is cut for a roll: the size of a piece, and the grid.
pub(super) fn cut(deck: &FullSizeDeck, request: &TemplateRequest, roll: Roll) -> (Sheet, Tiling) {
    let mut sheet = Sheet::of_size(request, roll.width.to_mm(), roll.width.to_mm());
    let segments = asking(deck);
    let bounds = bounds_of(&segments);
    // What goes along an axis of the deck, and into how many equal parts that cuts it.
    let lost = sheet.overlap + 2.0 * sheet.margin;
    let step = |most: f64, length: f64, scale: f64| {
        let most = most - lost;
        let parts = (length * scale / most).ceil().max(1.0);
        // A hair more, so that rounding asks for no further part.
        (length * scale / parts * (1.0 + 1e-9)).max(LEAST_STEP.min(most)) / scale
    };
    let width = roll.width.to_mm();
    let (along_x, along_y) = if roll.is_across {
        (width, LONGEST)
    } else {
        (LONGEST, width)
    };
    let step = Point::new(
        step(along_x, bounds.width(), sheet.scale.x),
        step(along_y, bounds.height(), sheet.scale.y),
    );
    sheet.width = step.x * sheet.scale.x + lost;
    sheet.height = step.y * sheet.scale.y + lost;
    let spare = |step: f64, length: f64| {
        let parts = (length / step).ceil().max(1.0);
        (parts * step - length) / 2.0
    };
    let origin = bounds.least
        - Point::new(
            spare(step.x, bounds.width()),
            spare(step.y, bounds.height()),
        );
    (sheet, Tiling::at(origin, step, &bounds, &segments))
}

/// A piece to be nested.
#[derive(Debug, Clone, Copy)]
struct Piece {
    deck: usize,
    cell: Cell,
    /// How far it reaches along the roll, and across.
    along: f64,
    across: f64,
}

/// A piece in its place.
#[derive(Debug, Clone, Copy)]
pub(super) struct Placed {
    /// Which deck it is of.
    pub(super) deck: usize,
    pub(super) cell: Cell,
    /// How far along the panel and across it begins.
    pub(super) along: f64,
    pub(super) across: f64,
}

/// A length of the roll: one page.
#[derive(Debug, Clone)]
pub(super) struct Panel {
    pub(super) length: f64,
    pub(super) placed: Vec<Placed>,
}

/// Pieces one behind the other.
#[derive(Debug, Clone)]
struct Lane {
    from: f64,
    across: f64,
    used: f64,
}

/// Nests the pieces of some decks: the longest first, each in the first lane or panel that has room for it.
pub(super) fn nest(cuts: &[(Sheet, Tiling)], roll: Roll) -> Vec<Panel> {
    let mut pieces: Vec<Piece> = Vec::new();
    for (deck, (sheet, tiling)) in cuts.iter().enumerate() {
        let (along, across) = if roll.is_across {
            (sheet.height, sheet.width)
        } else {
            (sheet.width, sheet.height)
        };
        pieces.extend(tiling.used.iter().map(|cell| Piece {
            deck,
            cell: *cell,
            along,
            across,
        }));
    }
    pieces.sort_by(|a, b| {
        b.along
            .total_cmp(&a.along)
            .then(b.across.total_cmp(&a.across))
    });
    let width = roll.width.to_mm() + 1e-6;
    let mut panels: Vec<(Panel, Vec<Lane>)> = Vec::new();
    for piece in pieces {
        let place = |panel: &mut Panel, lane: &mut Lane| {
            panel.placed.push(Placed {
                deck: piece.deck,
                cell: piece.cell,
                along: lane.used,
                across: lane.from,
            });
            lane.used += piece.along;
        };
        let in_lane = panels.iter_mut().find_map(|(panel, lanes)| {
            let length = panel.length;
            let fits = |lane: &&mut Lane| {
                lane.across >= piece.across - 1e-6 && lane.used + piece.along <= length + 1e-6
            };
            lanes.iter_mut().find(fits).map(|lane| (panel, lane))
        });
        if let Some((panel, lane)) = in_lane {
            place(panel, lane);
            continue;
        }
        let mut lane = Lane {
            from: 0.0,
            across: piece.across,
            used: 0.0,
        };
        let taken = |lanes: &[Lane]| lanes.iter().map(|lane| lane.across).sum::<f64>();
        match panels
            .iter_mut()
            .find(|(_, lanes)| taken(lanes) + piece.across <= width)
        {
            Some((panel, lanes)) => {
                lane.from = taken(lanes);
                place(panel, &mut lane);
                lanes.push(lane);
            }
            None => {
                let mut panel = Panel {
                    length: piece.along,
                    placed: Vec::new(),
                };
                place(&mut panel, &mut lane);
                panels.push((panel, vec![lane]));
            }
        }
    }
    panels.into_iter().map(|(panel, _)| panel).collect()
}

/// The length of roll that some decks take.
pub(super) fn length(full: &FullSize, request: &TemplateRequest, roll: Roll) -> Length {
    let cuts: Vec<(Sheet, Tiling)> = full
        .decks
        .iter()
        .map(|deck| cut(deck, request, roll))
        .collect();
    total(&nest(&cuts, roll))
}

/// The length of some panels.
pub(super) fn total(panels: &[Panel]) -> Length {
    Length::mm(panels.iter().map(|panel| panel.length).sum())
}

/// The same in words.
pub(super) fn metres(panels: &[Panel], units: LengthUnit) -> String {
    total(panels).show_run(units)
}
