//! How long the geometry takes, by itself and from a layout's text to its figures: `cargo bench`.

use std::time::Duration;

use divan::counter::ItemsCount;
use divan::{Bencher, black_box};
use spile::figures::Figures;
use spile::layout::{self, Sources};
use spile::shape::{Point, Region, Ring, Spline, SplineEnd, tangent_arcs};
use spile::units::Length;

fn main() {
    // What is said on the command line goes before.
    divan::Divan::default()
        .max_time(Duration::from_secs(1))
        .config_with_args()
        .main();
}

const MANY: [u32; 3] = [10, 100, 1000];
const POINTS: [u32; 3] = [100, 1000, 10_000];

fn mm(length: f64) -> Length {
    Length::mm(length)
}

fn rectangle(x0: f64, y0: f64, x1: f64, y1: f64) -> Ring {
    Ring::polygon(&[
        Point::new(x0, y0),
        Point::new(x1, y0),
        Point::new(x1, y1),
        Point::new(x0, y1),
    ])
}

/// `count` discs of radius 30, `pitch` apart, in rows of 40.
fn discs(count: u32, pitch: f64) -> Vec<Ring> {
    (0..count)
        .map(|index| {
            let at = Point::new(f64::from(index % 40), f64::from(index / 40)) * pitch;
            Ring::circle(at + Point::new(200.0, 200.0), 30.0)
        })
        .collect()
}

/// A plate with so many round holes in it, each by itself.
fn holed(count: u32) -> Region {
    let plate = Region::inside(rectangle(0.0, 0.0, 6000.0, 4000.0));
    plate.less_rings(&discs(count, 140.0))
}

/// An outline longer than wide as a polygon, uneven by a few millimetres, so that it is hollow in places.
fn outline(points: u32) -> Ring {
    let corners: Vec<Point> = (0..points)
        .map(|index| {
            let angle = std::f64::consts::TAU * f64::from(index) / f64::from(points);
            let uneven = 1.0 + 3e-3 * (37.0 * angle).sin();
            let out = Point::at_angle(angle);
            Point::new(5000.0 * out.x, 1500.0 * out.y) * uneven
        })
        .collect();
    Ring::polygon(&corners)
}

/// A back with so many teeth, 12 wide and 8 apart.
fn comb(teeth: u32) -> Region {
    let last = f64::from(teeth) * 20.0 - 8.0;
    let mut points = vec![Point::new(0.0, -50.0), Point::new(last, -50.0)];
    for tooth in (0..teeth).rev() {
        let left = f64::from(tooth) * 20.0;
        if tooth + 1 < teeth {
            points.push(Point::new(left + 12.0, 0.0));
        }
        points.extend([Point::new(left + 12.0, 100.0), Point::new(left, 100.0)]);
        if tooth > 0 {
            points.push(Point::new(left, 0.0));
        }
    }
    Region::inside(Ring::polygon(&points))
}

mod combine {
    use super::*;

    #[divan::bench(args = MANY)]
    fn union_of_discs_that_touch(bencher: Bencher<'_, '_>, count: u32) {
        let rings = discs(count, 60.0);
        bencher.bench(|| Region::of_overlapping(black_box(&rings)));
    }

    #[divan::bench(args = MANY)]
    fn difference_of_discs_apart(bencher: Bencher<'_, '_>, count: u32) {
        let (plate, rings) = (holed(0), discs(count, 140.0));
        bencher.bench(|| plate.less_rings(black_box(&rings)));
    }

    #[divan::bench(args = MANY)]
    fn difference_of_discs_that_overlap(bencher: Bencher<'_, '_>, count: u32) {
        let (plate, rings) = (holed(0), discs(count, 45.0));
        bencher.bench(|| plate.less_rings(black_box(&rings)));
    }

    /// Chords by the thousand: two circles of 100 m that cross at a small angle.
    #[divan::bench]
    fn intersection_of_long_arcs(bencher: Bencher<'_, '_>) {
        let [one, other] =
            [0.0, 500.0].map(|x| Region::inside(Ring::circle(Point::new(x, 0.0), 100_000.0)));
        bencher.bench(|| one.intersection(&[black_box(&other)]));
    }

    /// Circles that run alongside each other within the chords' distance from them.
    #[divan::bench]
    fn difference_of_arcs_a_hair_apart(bencher: Bencher<'_, '_>) {
        let [one, other] =
            [0.0, 0.001].map(|x| Region::inside(Ring::circle(Point::new(x, 0.0), 1000.0)));
        bencher.bench(|| one.difference(&[black_box(&other)]));
    }
}

mod offset {
    use super::*;

    #[divan::bench(args = MANY)]
    fn eroded_with_holes(bencher: Bencher<'_, '_>, count: u32) {
        let region = holed(count);
        bencher.bench(|| black_box(&region).eroded(mm(35.0)));
    }

    #[divan::bench(args = MANY)]
    fn dilated_with_holes(bencher: Bencher<'_, '_>, count: u32) {
        let region = holed(count);
        bencher.bench(|| black_box(&region).dilated(mm(20.0)));
    }

    /// Holes' bands lap over, so that all of it goes through the overlay.
    #[divan::bench(args = MANY)]
    fn eroded_till_holes_meet(bencher: Bencher<'_, '_>, count: u32) {
        let region = holed(count);
        bencher.bench(|| black_box(&region).eroded(mm(45.0)));
    }

    #[divan::bench(args = POINTS)]
    fn eroded_by_points(bencher: Bencher<'_, '_>, points: u32) {
        let region = Region::inside(outline(points));
        bencher.bench(|| black_box(&region).eroded(mm(60.0)));
    }

    #[divan::bench(args = POINTS)]
    fn dilated_by_points(bencher: Bencher<'_, '_>, points: u32) {
        let region = Region::inside(outline(points));
        bencher.bench(|| black_box(&region).dilated(mm(60.0)));
    }
}

mod round {
    use super::*;

    #[divan::bench(args = MANY)]
    fn opened_comb(bencher: Bencher<'_, '_>, teeth: u32) {
        let region = comb(teeth);
        bencher.bench(|| black_box(&region).opened(mm(5.0)));
    }

    #[divan::bench(args = MANY)]
    fn hollows_of_a_comb_filled(bencher: Bencher<'_, '_>, teeth: u32) {
        let region = comb(teeth);
        bencher.bench(|| black_box(&region).hollows_filled(mm(3.0), |_| true));
    }

    #[divan::bench(args = POINTS)]
    fn opened_by_points(bencher: Bencher<'_, '_>, points: u32) {
        let region = Region::inside(outline(points));
        bencher.bench(|| black_box(&region).opened(mm(40.0)));
    }
}

mod ask {
    use super::*;

    #[divan::bench(args = MANY)]
    fn nearest_boundary(bencher: Bencher<'_, '_>, count: u32) {
        let region = holed(count);
        let shrunk = region.eroded(mm(20.0));
        bencher.bench(|| shrunk.nearest_boundary(black_box(&region)));
    }

    #[divan::bench(args = MANY)]
    fn contains(bencher: Bencher<'_, '_>, count: u32) {
        let region = holed(count);
        let points: Vec<Point> = (0..100)
            .map(|index| Point::new(f64::from(index) * 57.0, f64::from(index) * 31.0))
            .collect();
        bencher.counter(ItemsCount::new(points.len())).bench(|| {
            points
                .iter()
                .filter(|point| region.contains(**point))
                .count()
        });
    }

    #[divan::bench(args = MANY)]
    fn components(bencher: Bencher<'_, '_>, count: u32) {
        let region = holed(count);
        bencher.bench(|| black_box(&region).components());
    }

    #[divan::bench(args = POINTS)]
    fn self_crossing(bencher: Bencher<'_, '_>, points: u32) {
        let ring = outline(points);
        bencher.bench(|| black_box(&ring).self_crossing());
    }
}

/// A fair curve through so many points, as arcs within 0.01 mm.
#[divan::bench(args = [10, 100, 1000])]
fn tangent_arcs_of_a_curve(bencher: Bencher<'_, '_>, points: u32) {
    let points: Vec<Point> = (0..points)
        .map(|index| {
            let x = f64::from(index) / f64::from(points - 1);
            Point::new(
                11_000.0 * x,
                1800.0 * (3.0 * x * (1.0 - 0.55 * x)).min(1.7).sin(),
            )
        })
        .collect();
    let curve = Spline::through(&points, SplineEnd::Free, SplineEnd::Free).expect("a curve");
    bencher.bench(|| tangent_arcs(black_box(&curve), 0.0, curve.last(), 0.01));
}

mod pipeline {
    use super::*;

    fn figures(text: &str) -> Figures {
        let layout = layout::read(text).expect("a layout");
        Figures::of(&spile::work_out(layout, &Sources::default()).expect("a job"))
    }

    #[divan::bench(args = ["cormorant", "dabchick", "dunlin", "guillemot", "whimbrel"])]
    fn from_text_to_figures(bencher: Bencher<'_, '_>, boat: &str) {
        let path = format!("{}/layouts/{boat}.toml", env!("CARGO_MANIFEST_DIR"));
        let text = std::fs::read_to_string(path).expect("a demo layout");
        bencher.bench(|| figures(black_box(&text)));
    }

    #[divan::bench(args = MANY)]
    fn by_fittings(bencher: Bencher<'_, '_>, count: u32) {
        let mut text = "title = \"t\"\n[[deck]]\nid = \"d\"\n\
                        outline = { points = [[0, 0], [6000, 0], [6000, 4000], [0, 4000]] }\n\
                        margin = { edge = 60, fitting = 30 }\nradius = { round = 10, hollow = 10 }\n"
            .to_owned();
        for index in 0..count {
            let (x, y) = (200 + index % 40 * 140, 200 + index / 40 * 140);
            text.push_str(&format!(
                "[[deck.fitting]]\nname = \"f {index}\"\ncircle = {{ at = [{x}, {y}], radius = 15 }}\n"
            ));
        }
        bencher.bench(|| figures(black_box(&text)));
    }

    #[divan::bench(args = POINTS)]
    fn by_outline_points(bencher: Bencher<'_, '_>, points: u32) {
        let points: Vec<String> = outline(points)
            .segments()
            .iter()
            .map(|segment| format!("[{}, {}]", segment.start().x, segment.start().y))
            .collect();
        let text = format!(
            "title = \"t\"\n[[deck]]\nid = \"d\"\noutline = {{ points = [{}] }}\n\
             margin = {{ edge = 60 }}\nradius = {{ round = 40, hollow = 25 }}\n",
            points.join(", ")
        );
        bencher.bench(|| figures(black_box(&text)));
    }
}
