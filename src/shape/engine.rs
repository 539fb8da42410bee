//! The integer boolean engine, behind one door: directed edges with the name of the curve they came
//! from go in, the rings of the result with the names still on their edges come out. Topology is
//! decided on whole numbers here and nowhere else.

use i_overlay::core::edge_data::{EdgeDataMerge, OverlayEdgeData};
use i_overlay::core::edge_overlay::{EdgeOverlay, InputEdge};
use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay::ShapeType;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::i_float::int::point::IntPoint;
use i_overlay::segm::boolean::ShapeCountBoolean;

/// Which parts of two operands are kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Rule {
    /// In either.
    Union,
    /// In the first, not in the second.
    Difference,
    /// In both.
    Intersection,
}

/// The operand an edge belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Operand {
    /// The first.
    First,
    /// The second.
    Second,
}

/// A node of the integer grid.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub(super) struct Node {
    pub(super) x: i64,
    pub(super) y: i64,
}

/// A directed chord and the curve it is a chord of.
#[derive(Debug, Clone, Copy)]
pub(super) struct Chord {
    pub(super) from: Node,
    pub(super) to: Node,
    pub(super) curve: u32,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct CurveName(u32);

impl OverlayEdgeData for CurveName {
    type Store = ();

    // Of edges that coincide the curve named first stays: operands name theirs before helpers do.
    fn merge(both: EdgeDataMerge<ShapeCountBoolean, Self>, (): &mut ()) -> Self {
        Self(both.lhs_data.0.min(both.rhs_data.0))
    }
}

/// Combines closed chains of chords. A place counts as inside an operand where the chains wind round
/// it counter-clockwise. The rings that come back have the inside on their left.
pub(super) fn combine(
    chords: impl Iterator<Item = (Chord, Operand)>,
    rule: Rule,
) -> Vec<Vec<Chord>> {
    let point = |node: Node| IntPoint::new(node.x, node.y);
    let mut overlay = EdgeOverlay::<i64, CurveName>::new(chords.size_hint().0);
    for (chord, operand) in chords {
        let kind = match operand {
            Operand::First => ShapeType::Subject,
            Operand::Second => ShapeType::Clip,
        };
        let edge = InputEdge {
            a: point(chord.from),
            b: point(chord.to),
            data: CurveName(chord.curve),
        };
        overlay.add_edge(edge, kind);
    }
    let rule = match rule {
        Rule::Union => OverlayRule::Union,
        Rule::Difference => OverlayRule::Difference,
        Rule::Intersection => OverlayRule::Intersect,
    };
    overlay
        .build_vector_shapes(rule, FillRule::Positive)
        .into_iter()
        .flatten()
        .map(|ring| {
            ring.into_iter()
                .map(|edge| Chord {
                    from: Node {
                        x: edge.a.x,
                        y: edge.a.y,
                    },
                    to: Node {
                        x: edge.b.x,
                        y: edge.b.y,
                    },
                    curve: edge.data.0,
                })
                .collect()
        })
        .collect()
}
