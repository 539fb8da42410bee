//! What holds on every deck measured by half-breadths: a fair curve, mirrored, with a hatch on the
//! centreline and cleats on both sides.

mod common;

use common::mm;
use proptest::prelude::*;
use spile::layout::{self, Sources};
use spile::shape::{Point, Region};
use spile::{Job, work_out};

/// A deck as somebody might measure it: sharp or round forward, full amidships, drawn in aft.
#[derive(Debug, Clone)]
struct Boat {
    length: f64,
    beam: f64,
    fullness: f64,
    stations: u32,
    is_round_forward: bool,
    margin: f64,
    round: f64,
    hollow: f64,
    hatch: f64,
}

impl Boat {
    fn half_breadth(&self, share: f64) -> f64 {
        // A power of a quarter sine: bluff where the power is small.
        let rise = (std::f64::consts::FRAC_PI_2 * (share / 0.7).min(1.0)).sin();
        let aft = 1.0 - 0.15 * ((share - 0.7).max(0.0) / 0.3).powi(2);
        (self.beam / 2.0 * rise.powf(self.fullness) * aft).round()
    }

    fn text(&self) -> String {
        let table: Vec<String> = (0..=self.stations)
            .map(|index| {
                // Closer forward, where the curve bends most.
                let share = (f64::from(index) / f64::from(self.stations)).powf(1.5);
                format!(
                    "[{}, {}]",
                    (share * self.length).round(),
                    self.half_breadth(share)
                )
            })
            .collect();
        format!(
            "title = \"Any boat\"\n[[deck]]\nid = \"deck\"\n[deck.outline]\nhalf_breadths = [{}]\n\
             forward = \"{}\"\n[deck.margin]\nedge = {}\n[deck.radius]\nround = {}\nhollow = {}\n\
             [[deck.opening]]\nname = \"hatch\"\nrectangle = {{ at = [{}, 0], size = [{}, {}], radius = 40 }}\n\
             [[deck.fitting]]\nname = \"cleat\"\ncircle = {{ at = [{}, {}], diameter = 90 }}\nboth_sides = true\n\
             [[deck.strip]]\nwidth = 60\nalong_at = [0]\nacross_at = [{}]\n",
            table.join(", "),
            if self.is_round_forward {
                "round"
            } else {
                "sharp"
            },
            self.margin,
            self.round,
            self.hollow,
            self.length * 0.55,
            self.hatch,
            self.hatch,
            self.length * 0.75,
            self.beam * 0.3,
            self.length * 0.8,
        )
    }

    fn job(&self) -> Job {
        let text = self.text();
        let layout = layout::read(&text)
            .map_err(|faults| layout::render_faults("deck", &text, &faults))
            .expect("a layout without faults");
        work_out(layout, &Sources::default())
            .map_err(|faults| layout::render_faults("deck", &text, &faults))
            .expect("a layout without faults")
    }
}

fn boats() -> impl Strategy<Value = Boat> {
    (
        (
            2_500.0..9_000.0f64,
            1_600.0..4_000.0f64,
            0.45..1.0f64,
            6..16u32,
            any::<bool>(),
        ),
        (20.0..90.0f64, 10.0..60.0f64, 0.0..60.0f64, 300.0..600.0f64),
    )
        .prop_map(
            |(
                (length, beam, fullness, stations, is_round_forward),
                (margin, round, hollow, hatch),
            )| Boat {
                length,
                beam,
                fullness,
                stations,
                is_round_forward,
                margin,
                round,
                hollow,
                hatch,
            },
        )
}

/// Points along a boundary.
fn samples(region: &Region) -> Vec<Point> {
    region
        .segments()
        .flat_map(|segment| (0..5).map(|fifth| segment.point_at(f64::from(fifth) / 5.0)))
        .collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn port_is_the_mirror_image_of_starboard(boat in boats()) {
        let job = boat.job();
        let fields = job.decks[0].pattern.field_region();
        let image = fields.mirrored();
        for point in samples(&image) {
            prop_assert!(fields.boundary_distance(point) < mm(1e-6), "at {point:?}");
        }
    }

    #[test]
    fn areas_close_and_margins_are_kept(boat in boats()) {
        let job = boat.job();
        let deck = &job.decks[0];
        let pattern = &deck.pattern;
        let parts = pattern.field_region().area()
            + pattern.border.area()
            + pattern.openings.area()
            + pattern.fittings.area();
        let closure = (pattern.deck.area() - parts).abs() / pattern.deck.area();
        prop_assert!(closure < 1e-9, "closure {closure:e}");
        let excused = |name: &str| {
            pattern.warnings.iter().any(|said| said.code == "hollow-in-margin" && said.message.contains(name))
        };
        let edge = Region::inside(deck.plan.outline.ring.clone());
        let margin = deck.plan.outline.edges[0].margin.to_mm();
        for point in samples(&pattern.field_region()) {
            let clear = edge.boundary_distance(point).to_mm();
            prop_assert!(clear >= margin - 1e-6 || excused("edge"), "{clear} from the edge, margin {margin}");
            for placed in deck.plan.openings.iter().chain(&deck.plan.fittings) {
                let clear = Region::inside(placed.ring.clone()).boundary_distance(point).to_mm();
                prop_assert!(
                    clear >= placed.margin.to_mm() - 1e-6 || excused(&placed.name),
                    "{clear} from the {}", placed.name,
                );
            }
        }
    }

    #[test]
    fn every_field_boundary_is_lines_and_arcs_that_meet(boat in boats()) {
        let job = boat.job();
        for ring in job.decks[0].pattern.field_region().rings() {
            let segments = ring.segments();
            for (index, segment) in segments.iter().enumerate() {
                let next = &segments[(index + 1) % segments.len()];
                prop_assert!(segment.end().distance(next.start()) < 1e-9);
                if let spile::shape::Segment::Arc(arc) = segment {
                    for end in [arc.start, arc.end] {
                        let off = (end.distance(arc.centre) - arc.radius).abs();
                        prop_assert!(off < 1e-6 * (1.0 + arc.radius * 1e-6), "{off} mm off its circle, radius {}", arc.radius);
                    }
                }
            }
        }
    }
}
