//! What holds on every deck. First decks in round numbers, where circles touch and edges lie on each
//! other: the case where floating-point engines fail without a word. Then decks without such ties,
//! where moving or mirroring the deck must move or mirror the pattern and nothing else.

mod common;

use common::{bare_deck, mm, placement, rectangle_ring, strip};
use proptest::prelude::*;
use spile::layout::{Radii, Tape};
use spile::outline::DeckPlan;
use spile::pattern::{Pattern, lay_out};
use spile::shape::{Point, Region, Ring, Segment, bands_along};
use spile::units::Length;

/// A thing on a lattice: where, how large, round or square.
#[derive(Debug, Clone)]
struct Thing {
    x: i32,
    y: i32,
    size: i32,
    is_round: bool,
    is_opening: bool,
    margin: i32,
}

#[derive(Debug, Clone)]
struct Wants {
    step: f64,
    width: i32,
    height: i32,
    notch: Option<(i32, i32)>,
    margin: i32,
    round: i32,
    hollow: i32,
    strips: Vec<(bool, i32, i32)>,
    things: Vec<Thing>,
    shift: Vec<f64>,
}

impl Wants {
    fn deck(&self) -> DeckPlan {
        let s = |units: i32| f64::from(units) * self.step;
        let mut jitter = self.shift.iter().copied().cycle();
        let mut j = |value: f64| value + jitter.next().unwrap_or(0.0);
        let (w, h) = (j(s(self.width)), j(s(self.height)));
        let ring = match self.notch {
            None => rectangle_ring(0.0, 0.0, w, h),
            Some((nx, ny)) => {
                let (x, y) = (w - j(s(nx)), h - j(s(ny)));
                Ring::polygon(&[
                    Point::new(0.0, 0.0),
                    Point::new(w, 0.0),
                    Point::new(w, y),
                    Point::new(x, y),
                    Point::new(x, h),
                    Point::new(0.0, h),
                ])
            }
        };
        let mut deck = bare_deck(ring, j(s(self.margin)).max(0.0));
        deck.radius = Radii {
            round: mm(j(s(self.round)).abs()),
            hollow: mm(j(s(self.hollow)).abs()),
        };
        for (is_across, at, width) in &self.strips {
            let (at, half) = (j(s(*at)), j(s(*width)).abs() / 2.0);
            deck.strips.push(if *is_across {
                strip(at - half, -1000.0, at + half, h + 1000.0)
            } else {
                strip(-1000.0, at - half, w + 1000.0, at + half)
            });
        }
        for (index, thing) in self.things.iter().enumerate() {
            let (x, y, size) = (j(s(thing.x)), j(s(thing.y)), j(s(thing.size)).abs());
            let ring = if thing.is_round {
                Ring::circle(Point::new(x, y), size)
            } else {
                rectangle_ring(x - size, y - size, x + size, y + size)
            };
            let placed = placement(&format!("thing {index}"), ring, j(s(thing.margin)).max(0.0));
            if thing.is_opening {
                deck.openings.push(placed)
            } else {
                deck.fittings.push(placed)
            }
        }
        deck
    }
}

fn things() -> impl Strategy<Value = Vec<Thing>> {
    let thing = (
        5..195i32,
        5..95i32,
        2..14i32,
        any::<bool>(),
        any::<bool>(),
        0..8i32,
    )
        .prop_map(|(x, y, size, is_round, is_opening, margin)| Thing {
            x,
            y,
            size,
            is_round,
            is_opening,
            margin,
        });
    prop::collection::vec(thing, 0..8)
}

/// Decks of 2 m by 1 m or so in steps of 10 mm.
fn wants(shift: impl Strategy<Value = Vec<f64>>) -> impl Strategy<Value = Wants> {
    let notch = prop::option::of((10..90i32, 10..60i32));
    let strips = prop::collection::vec((any::<bool>(), 10..180i32, 1..10i32), 0..4);
    (
        (120..200i32, 70..100i32),
        notch,
        0..10i32,
        0..8i32,
        0..8i32,
        strips,
        things(),
        shift,
    )
        .prop_map(
            |((width, height), notch, margin, round, hollow, strips, things, shift)| Wants {
                step: 10.0,
                width,
                height,
                notch,
                margin,
                round,
                hollow,
                strips,
                things,
                shift,
            },
        )
}

fn lattice() -> impl Strategy<Value = Wants> {
    wants(Just(vec![0.0]))
}

/// Every measure off its round number by up to 4 mm, so that nothing ties.
fn untied() -> impl Strategy<Value = Wants> {
    wants(prop::collection::vec(-4.0..4.0f64, 61))
}

fn closure(pattern: &Pattern) -> f64 {
    pattern.deck.area()
        - pattern.field_region().area()
        - pattern.border.area()
        - pattern.openings.area()
        - pattern.fittings.area()
}

fn sorted_areas(pattern: &Pattern) -> Vec<f64> {
    let mut areas: Vec<f64> = pattern
        .fields
        .iter()
        .map(|field| field.region.area())
        .collect();
    areas.sort_by(f64::total_cmp);
    areas
}

fn same_fields(one: &Pattern, other: &Pattern) -> Result<(), TestCaseError> {
    let (a, b) = (sorted_areas(one), sorted_areas(other));
    prop_assert_eq!(a.len(), b.len(), "{:?} {:?}", a, b);
    for (a, b) in a.iter().zip(&b) {
        prop_assert!((a - b).abs() < 1e-3, "areas {} and {}", a, b);
    }
    Ok(())
}

fn map_plan(deck: &DeckPlan, motion: &impl Fn(&Ring) -> Ring) -> DeckPlan {
    let mut moved = deck.clone();
    moved.outline.ring = motion(&deck.outline.ring);
    for placed in moved.openings.iter_mut().chain(&mut moved.fittings) {
        placed.ring = motion(&placed.ring);
    }
    for strip in &mut moved.strips {
        strip.region = Region::new(strip.region.rings().iter().map(motion).collect());
    }
    moved
}

/// Points along a boundary, ends and middles of its segments.
fn samples(region: &Region) -> Vec<Point> {
    region
        .segments()
        .flat_map(|segment| (0..4).map(|quarter| segment.point_at(f64::from(quarter) / 4.0)))
        .collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn areas_close_on_decks_in_round_numbers(wants in lattice()) {
        let pattern = lay_out(&wants.deck());
        let error = closure(&pattern).abs() / pattern.deck.area();
        prop_assert!(error < 1e-9, "closure {error:e}");
    }

    #[test]
    fn no_field_comes_nearer_than_a_margin_unless_a_warning_says_so(wants in lattice()) {
        let deck = wants.deck();
        let pattern = lay_out(&deck);
        let edge = std::iter::once(("the deck edge", &deck.outline.ring, deck.outline.edges[0].margin));
        let standing = deck
            .openings
            .iter()
            .chain(&deck.fittings)
            .map(|placed| (placed.name.as_str(), &placed.ring, placed.margin));
        for (name, ring, margin) in edge.chain(standing) {
            let boundary = Region::new(vec![ring.clone()]);
            for field in &pattern.fields {
                let excused = pattern.warnings.iter().any(|warning| {
                    warning.code == "hollow-in-margin"
                        && warning.message.contains(&format!("brings {} to", field.id))
                        && warning.message.contains(name)
                });
                // Another way than the construction: points of the field against the obstacle itself.
                for point in samples(&field.region) {
                    let clear = boundary.boundary_distance(point);
                    prop_assert!(
                        clear.to_mm() >= margin.to_mm() - 1e-6 || excused,
                        "{} is {} from an obstacle with margin {}", field.id, clear.to_mm(), margin.to_mm(),
                    );
                    let inside_obstacle = ring != &deck.outline.ring && ring.winding(point) != 0
                        && clear.to_mm() > 1e-6;
                    prop_assert!(!inside_obstacle, "{} lies on an obstacle", field.id);
                }
            }
        }
    }

    #[test]
    fn fields_stay_as_they_are_when_opened_again(wants in lattice()) {
        let deck = wants.deck();
        let pattern = lay_out(&deck);
        for field in &pattern.fields {
            // A hair less than the radius, so that a ring exactly as wide as the disc is no matter of rounding.
            let again = field.region.opened(deck.radius.round - mm(1e-6));
            let lost = (field.region.area() - again.area()).abs();
            prop_assert!(lost < 0.5, "{} loses {lost} mm²", field.id);
        }
    }

    #[test]
    fn every_outward_corner_has_at_least_its_radius(wants in lattice()) {
        let deck = wants.deck();
        let round = deck.radius.round.to_mm();
        let pattern = lay_out(&deck);
        for field in &pattern.fields {
            for segment in field.region.segments() {
                if let Segment::Arc(arc) = segment {
                    prop_assert!(arc.sweep < 0.0 || arc.radius >= round - 1e-6, "{} < {round}", arc.radius);
                }
            }
            for ring in field.region.rings() {
                let segments = ring.segments();
                for (index, segment) in segments.iter().enumerate() {
                    let next = &segments[(index + 1) % segments.len()];
                    let turn = segment.direction_at(1.0).cross(next.direction_at(0.0));
                    prop_assert!(round == 0.0 || turn < 1e-4, "a sharp outward corner turns by {turn}");
                }
            }
        }
    }

    #[test]
    fn no_strip_is_bridged(wants in lattice()) {
        let deck = wants.deck();
        let pattern = lay_out(&deck);
        for field in &pattern.fields {
            for strip in &deck.strips {
                let bounds = strip.region.bounding_box();
                // A field that lies on both sides of a strip from edge to edge has bridged it.
                let across = bounds.width() < bounds.height();
                let (least, greatest, low, high) = {
                    let field = field.region.bounding_box();
                    if across {
                        (bounds.least.x, bounds.greatest.x, field.least.x, field.greatest.x)
                    } else {
                        (bounds.least.y, bounds.greatest.y, field.least.y, field.greatest.y)
                    }
                };
                prop_assert!(low >= greatest - 1e-6 || high <= least + 1e-6, "{} bridges a strip", field.id);
            }
        }
    }

    #[test]
    fn a_deck_turned_and_moved_has_the_same_fields(wants in untied(), turn in -3.0..3.0f64, x in -9e3..9e3f64, y in -9e3..9e3f64) {
        let deck = wants.deck();
        let motion = |point: Point| point.turned(turn) + Point::new(x, y);
        let moved = map_plan(&deck, &|ring: &Ring| ring.moved(&motion));
        let (one, other) = (lay_out(&deck), lay_out(&moved));
        same_fields(&one, &other)?;
    }

    #[test]
    fn a_mirrored_deck_has_mirrored_fields(wants in untied()) {
        let deck = wants.deck();
        let mirrored = map_plan(&deck, &Ring::mirrored);
        let (one, other) = (lay_out(&deck), lay_out(&mirrored));
        same_fields(&one, &other)?;
        let (a, b) = (one.field_region().mirrored(), other.field_region());
        for point in samples(&a) {
            prop_assert!(b.boundary_distance(point) < mm(1e-6));
        }
    }

    #[test]
    fn where_the_outline_starts_does_not_matter(wants in untied(), start in 1..4usize) {
        let deck = wants.deck();
        let mut turned = deck.clone();
        let mut segments = deck.outline.ring.segments().to_vec();
        segments.rotate_left(start);
        turned.outline.ring = Ring::new(segments);
        same_fields(&lay_out(&deck), &lay_out(&turned))?;
    }

    #[test]
    fn the_loop_beside_a_boundary_bounds_what_its_bands_leave(wants in lattice(), distance in 1..12i32) {
        // The slow way: every band for itself, all taken away at once.
        let field = lay_out(&wants.deck()).deck.difference(&[&lay_out(&wants.deck()).openings]);
        let distance = mm(f64::from(distance) * 10.0);
        let bands: Vec<Ring> =
            field.rings().iter().flat_map(|ring| bands_along(ring, distance, |_| true)).collect();
        let slow = field.less_rings(&bands);
        let fast = field.eroded(distance);
        prop_assert!((slow.area() - fast.area()).abs() < 1e-3, "{} {}", slow.area(), fast.area());
        let beyond: Vec<Ring> =
            field.rings().iter().flat_map(|ring| bands_along(&ring.reversed(), distance, |_| true)).collect();
        let (slow, fast) = (field.with_rings(&beyond), field.dilated(distance));
        prop_assert!((slow.area() - fast.area()).abs() < 1e-3, "{} {}", slow.area(), fast.area());
    }

    #[test]
    fn both_passes_cover_what_they_say(wants in lattice()) {
        let pattern = lay_out(&wants.deck());
        let tape = Tape::default();
        let masking = spile::masking::mask(&pattern, &tape);
        for pass in [&masking.first, &masking.reversed] {
            prop_assert!(pass.cover_mm2 >= -1e-3);
            prop_assert!(pass.cover_mm2 <= pass.protected.area() + 1e-3);
            // The tape never lies on what is painted.
            let painted_over = pass.line_bodies.intersection(&[&pass.painted]).area();
            prop_assert!(painted_over < 0.5, "{painted_over} mm² of tape on paint");
            prop_assert!(pass.working_edge <= Length::mm(pattern.field_region().perimeter() + 1e-6));
        }
    }
}
