//! What is taken from a drawing, as rings on the deck.

use super::EdgeRing;
use super::findings::Findings;
use crate::layout::{Drawn, Fault};
use crate::shape::Ring;
use crate::units::Length;

/// The closed rings, counter-clockwise, in the drawing's order; none and a fault where there is none.
pub(super) fn rings(drawn: &Drawn, findings: &mut Findings<'_>) -> Vec<Ring> {
    findings.fault(Fault::new(
        drawn.place,
        "drawings cannot be read yet",
        "taken from a drawing",
    ));
    Vec::new()
}

/// The deck's edge, from the one closed ring there must be.
pub(super) fn edge_ring(
    drawn: &Drawn,
    _margin_of: &dyn Fn(Option<&str>) -> Length,
    findings: &mut Findings<'_>,
) -> Option<EdgeRing> {
    rings(drawn, findings);
    None
}
