//! Decks with camber and sheer: girths, true lengths and areas against closed forms and a general-purpose
//! library, the deck laid flat, margins kept on the surface, and what is said of heights that do not agree.

#![expect(
    clippy::panic,
    reason = "a test shows the rendered faults when it fails"
)]

use std::f64::consts::{PI, TAU};

use proptest::prelude::*;
use spile::figures::Figures;
use spile::layout::{self, Sources, render_faults};
use spile::shape::{Arc, Point, Region, Ring, Segment};
use spile::surface::{Development, Surface};
use spile::units::Length;
use spile::{DeckJob, Job, work_out};

/// A whole layout of one deck with this outline and these further keys.
fn layout(outline: &str, keys: &str) -> String {
    format!("title = \"Dunnock\"\n[[deck]]\nid = \"deck\"\noutline = {{ {outline} }}\n{keys}\n")
}

fn worked(outline: &str, keys: &str) -> Job {
    let text = layout(outline, keys);
    layout::read(&text)
        .and_then(|layout| work_out(layout, &Sources::default()))
        .unwrap_or_else(|faults| panic!("{}", render_faults("dunnock.toml", &text, &faults)))
}

fn faults(outline: &str, keys: &str) -> String {
    let text = layout(outline, keys);
    let faults = layout::read(&text)
        .and_then(|layout| work_out(layout, &Sources::default()))
        .expect_err("it is at fault");
    render_faults("dunnock.toml", &text, &faults)
}

const WIDE: &str = "points = [[0, -1500], [4000, -1500], [4000, 1500], [0, 1500]]";

fn surface(keys: &str) -> Surface {
    let job = worked(WIDE, keys);
    job.decks[0].surface.clone().expect("it has a surface")
}

fn mm(length: f64) -> Length {
    Length::mm(length)
}

fn line(from: [f64; 2], to: [f64; 2]) -> Segment {
    Segment::Line(Point::new(from[0], from[1]), Point::new(to[0], to[1]))
}

fn polygon(corners: &[[f64; 2]]) -> Region {
    let corners: Vec<Point> = corners.iter().map(|[x, y]| Point::new(*x, *y)).collect();
    Region::inside(Ring::polygon(&corners))
}

fn disc(x: f64, y: f64, radius: f64) -> Region {
    Region::inside(Ring::circle(Point::new(x, y), radius))
}

fn near(found: f64, wanted: f64, relative: f64) {
    let off = (found - wanted).abs() / wanted.abs();
    assert!(off < relative, "{found} is not {wanted}: off by {off:e}");
}

/// Length of the parabola y = a t² from 0 to t: t/2 √(1 + 4a²t²) + asinh(2at)/(4a).
fn along_parabola(a: f64, t: f64) -> f64 {
    let slope = 2.0 * a * t;
    t / 2.0 * slope.hypot(1.0) + slope.asinh() / (4.0 * a)
}

#[test]
fn the_girth_of_a_parabolic_camber_is_the_parabolas_length() {
    for (rise, beam) in [
        (60.0, 3000.0),
        (300.0, 3000.0),
        (1.0, 9000.0),
        (900.0, 3600.0),
    ] {
        let surface = surface(&format!("camber = {{ rise = {rise}, beam = {beam} }}"));
        let a = 4.0 * rise / (beam * beam);
        for t in [0.1, 700.0, 1500.0, -1500.0] {
            near(surface.girth(mm(t)).to_mm(), along_parabola(a, t), 1e-12);
            let across = line([700.0, 0.0], [700.0, t]);
            near(
                surface.length(&across).to_mm(),
                along_parabola(a, t).abs(),
                1e-12,
            );
        }
    }
}

#[test]
fn the_girth_of_a_circular_camber_is_the_arcs_length() {
    let surface = surface("camber = { rise = 200, beam = 3000, form = \"circular\" }");
    let radius = (1500.0 * 1500.0 + 200.0 * 200.0) / 400.0;
    for y in [3.0, 900.0_f64, 1500.0] {
        near(
            surface.girth(mm(y)).to_mm(),
            radius * (y / radius).asin(),
            1e-12,
        );
    }
    // A cylinder patch: length times arc.
    let patch = polygon(&[
        [200.0, -800.0],
        [3200.0, -800.0],
        [3200.0, 1400.0],
        [200.0, 1400.0],
    ]);
    let arc = radius * ((800.0 / radius).asin() + (1400.0 / radius).asin());
    near(surface.area(&patch), 3000.0 * arc, 1e-12);
}

/// The area of a parabolic cylinder over a right-angled triangle, by hand: ∫₀ᵇ (1 - y/b) l √(1 + 4a²y²) dy.
#[test]
fn the_area_over_a_triangle_on_a_parabolic_camber_has_a_closed_form() {
    let surface = surface("camber = { rise = 150, beam = 3000 }");
    let a = 4.0 * 150.0 / 9e6;
    let (l, b) = (2000.0, 1400.0);
    let triangle = polygon(&[[500.0, 0.0], [500.0 + l, 0.0], [500.0, b]]);
    let cubed = (1.0 + 4.0 * a * a * b * b).powf(1.5);
    let wanted = l * along_parabola(a, b) - l / b * (cubed - 1.0) / (12.0 * a * a);
    near(surface.area(&triangle), wanted, 1e-11);
}

#[test]
fn a_plane_that_slopes_is_larger_by_one_factor_whatever_the_shape() {
    let surface = surface("sheer = { heights = [[0, 900], [3000, 0]] }");
    let factor = 0.3_f64.hypot(1.0);
    for region in [
        disc(1500.0, 300.0, 700.0),
        polygon(&[[0.0, -1500.0], [3900.0, 20.0], [100.0, 1400.0]]),
        disc(2000.0, -400.0, 900.0).difference(&[&disc(2100.0, -500.0, 200.0)]),
    ] {
        near(surface.area(&region), region.area() * factor, 1e-12);
    }
    let girth = surface.length(&line([0.0, -100.0], [0.0, 900.0])).to_mm();
    near(girth, 1000.0, 1e-14);
    near(
        surface.length(&line([0.0, 0.0], [1000.0, 0.0])).to_mm(),
        1000.0 * factor,
        1e-14,
    );
}

/// Heights of the paraboloid `high - k ((x - 2000)² + y²)`, which the heights' form fits exactly.
fn paraboloid(k: f64) -> Surface {
    let mut heights = Vec::new();
    for x in [0.0, 1000.0, 2000.0, 3000.0, 4000.0_f64] {
        for y in [-1400.0, -700.0, 0.0, 700.0, 1400.0_f64] {
            let height = 500.0 - k * ((x - 2000.0).powi(2) + y * y);
            heights.push(format!("[{x}, {y}, {height}]"));
        }
    }
    surface(&format!(
        "camber = {{ heights = [{}] }}",
        heights.join(", ")
    ))
}

/// Round both ways: the area of a paraboloid of revolution over a disc is π/(6k²) ((1 + 4k²r²)^(3/2) - 1).
#[test]
fn the_area_of_a_paraboloid_over_a_disc_has_a_closed_form() {
    let k = 1.0 / 40_000.0;
    let surface = paraboloid(k);
    for radius in [200.0, 900.0, 1400.0_f64] {
        let cubed = (1.0 + (2.0 * k * radius).powi(2)).powf(1.5);
        let wanted = PI / (6.0 * k * k) * (cubed - 1.0);
        near(surface.area(&disc(2000.0, 0.0, radius)), wanted, 1e-9);
        // Along its meridian and round its rim.
        let meridian = along_parabola(k, radius);
        let spoke = line([2000.0, 0.0], [2000.0 + radius * 0.6, radius * 0.8]);
        near(surface.length(&spoke).to_mm(), meridian, 1e-9);
        near(
            surface.perimeter(&disc(2000.0, 0.0, radius)).to_mm(),
            TAU * radius,
            1e-12,
        );
        // A spherical zone of the same curvature, 2πRh, parts from it by πR² t³/6 to the first order, t = (r/R)².
        let sphere = 1.0 / (2.0 * k);
        let t = (radius / sphere).powi(2);
        let zone = TAU * sphere * sphere * (1.0 - (1.0 - t).sqrt());
        let apart = (zone - surface.area(&disc(2000.0, 0.0, radius))) / (PI * sphere * sphere);
        assert!(
            (apart / (t.powi(3) / 6.0) - 1.0).abs() < 0.02 + 2.0 * t || t < 1e-3,
            "{apart:e}"
        );
    }
}

/// `tests/references/surface.py`, numpy 2.4.6 and scipy 1.17.1: dblquad and quad over a natural cubic sheer.
#[test]
fn areas_and_lengths_agree_with_scipy() {
    let sheer = "sheer = { heights = [[0, 310], [1200, 150], [2500, 60], [4000, 40]] }";
    for (form, area, triangle, length) in [
        (
            "circular",
            1_135_678.365886,
            4_735_920.788659,
            3861.718580815,
        ),
        (
            "parabolic",
            1_135_681.413555,
            4_735_932.601276,
            3861.721926387,
        ),
    ] {
        let surface = surface(&format!(
            "camber = {{ rise = 90, beam = 3000, form = \"{form}\" }}\n{sheer}"
        ));
        near(surface.area(&disc(1900.0, 700.0, 600.0)), area, 1e-11);
        let corners = [[300.0, -200.0], [3800.0, -1300.0], [3800.0, 1400.0]];
        near(surface.area(&polygon(&corners)), triangle, 1e-11);
        let slanted = line([300.0, -200.0], [3800.0, 1400.0]);
        near(surface.length(&slanted).to_mm(), length, 1e-11);
    }
}

/// Simpson's rule over girths, as the textbooks take a wetted surface: a deck whose half-breadths are a parabola over
/// its length (Wigley's waterline), true area = ∫ girth dx.
#[test]
fn true_areas_agree_with_simpsons_rule_over_girths() {
    let half = |x: f64| 1500.0 * (1.0 - ((x - 2000.0) / 2000.0).powi(2));
    let stations: Vec<String> = (0..=80)
        .map(|i| f64::from(i) * 50.0)
        .map(|x| format!("[{x}, {}]", half(x)))
        .collect();
    let outline = format!("half_breadths = [{}]", stations.join(", "));
    let job = worked(&outline, "camber = { rise = 90, beam = 3000 }");
    let surface = job.decks[0].surface.as_ref().expect("it has camber");
    let girth = |x: f64| 2.0 * along_parabola(4.0 * 90.0 / 9e6, half(x));
    let mut sum = 0.0;
    for i in 0..=400 {
        let weight = match i {
            0 | 400 => 1.0,
            i if i % 2 == 1 => 4.0,
            _ => 2.0,
        };
        sum += weight * girth(f64::from(i) * 10.0);
    }
    let simpson = sum * 10.0 / 3.0;
    let plan = job.decks[0].pattern.deck.area();
    let found = surface.area(&job.decks[0].pattern.deck);
    near(found, simpson, 1e-6);
    // What camber adds is some 20 times as much as the check may be off.
    assert!((found - plan) / plan > 2e-4);
}

/// Lengths of small steps in any direction, laid flat, are those on the surface: to 1e-9 by the map's own slopes,
/// and by steps taken.
#[test]
fn a_deck_round_one_way_only_is_laid_flat_without_distortion() {
    for keys in [
        "camber = { rise = 150, beam = 3000 }",
        "camber = { rise = 150, beam = 3000, form = \"circular\" }",
        "sheer = { heights = [[0, 310], [1200, 150], [2500, 60], [4000, 40]] }",
        // A cylinder that slopes: its rulings are not level.
        "camber = { rise = 150, beam = 3000 }\nsheer = { heights = [[0, 800], [4000, 0]] }",
    ] {
        let job = worked(WIDE, keys);
        let deck = &job.decks[0];
        let surface = deck.surface.as_ref().expect("it has a surface");
        assert!(surface.is_cylinder());
        let development = Development::of(surface, &deck.plan.outline.ring);
        let distortion = development.distortion(&deck.pattern.deck);
        assert!(
            distortion.greatest() < 1e-9 && distortion.angle.amount < 1e-9,
            "{distortion:?}"
        );
        assert!(distortion.places > 2000);
        for (x, y) in [
            (400.0, -1400.0),
            (1300.0, 700.0),
            (3900.0, 1450.0),
            (2500.0, 10.0),
        ] {
            let at = Point::new(x, y);
            assert!(development.raised(development.laid(at)).distance(at) < 1e-9);
            for step in 0..12 {
                let to = at + Point::at_angle(f64::from(step) * 0.5) * 20.0;
                // A geodesic of the surface is straight in the development: the straight line in plan is longer, by
                // the third power of the step.
                let laid = development.laid(at).distance(development.laid(to));
                let own = surface.length(&Segment::Line(at, to)).to_mm();
                assert!(
                    laid <= own + 1e-9 && own - laid < 2e-6 * own,
                    "{laid} {own}"
                );
            }
        }
    }
}

/// On a cap of curvature 1/R and radius a the development is off by a²/(4R²), either way: s''(c - c₀) with
/// s'' = 1/R and c from 0 to a²/(2R).
#[test]
fn the_distortion_of_a_spherical_patch_is_of_the_order_of_its_closed_form() {
    for (k, radius) in [
        (1.0 / 40_000.0, 1400.0),
        (1.0 / 80_000.0, 1400.0),
        (1.0 / 40_000.0, 700.0),
    ] {
        let surface = paraboloid(k);
        let cap = disc(2000.0, 0.0, radius);
        let development = Development::of(&surface, &cap.rings()[0]);
        let distortion = development.distortion(&cap);
        let wanted = (radius * 2.0 * k).powi(2) / 4.0;
        near(distortion.stretch.amount, wanted, 0.05);
        near(-distortion.shrink.amount, wanted, 0.05);
        // Where it is worst: on the centreline, and at the side.
        let [inner, outer] = [distortion.stretch.at, distortion.shrink.at].map(|at| at.y.abs());
        assert!(inner.min(outer) < 80.0 && inner.max(outer) > radius - 20.0);
    }
}

/// Why girths are laid out in their true shape: with the sheer's running length against the girth, angles are off by
/// s'c', and lengths along the diagonals by half of that.
#[test]
fn the_development_is_less_distorted_than_girth_against_running_length() {
    let job = worked(
        "half_breadths = [[0, 0], [400, 470], [900, 880], [1500, 1210], [2200, 1460], [3000, 1615], [3700, 1675]]",
        "camber = { rise = 70, beam = 3350 }\nsheer = { heights = [[0, 420], [1200, 280], [2500, 180], [3700, 120]] }",
    );
    let deck = &job.decks[0];
    let surface = deck.surface.as_ref().expect("it has a surface");
    let distortion =
        Development::of(surface, &deck.plan.outline.ring).distortion(&deck.pattern.deck);
    let mut plain = 0.0_f64;
    for segment in deck.plan.outline.ring.segments() {
        let slope = surface.slope(segment.start());
        let shear = (slope.x * slope.y).abs() / (slope.x.hypot(1.0) * slope.y.hypot(1.0));
        plain = plain.max(1.0 - (1.0 - shear).sqrt());
    }
    assert!(
        distortion.greatest() < 0.6 * plain,
        "{} against {plain}",
        distortion.greatest()
    );
}

/// Clearance of a place on a field's edge, measured along the surface to the nearest of many places of an edge.
fn clearance_on_surface(surface: &Surface, at: Point, edges: &[&Segment]) -> f64 {
    let mut least = f64::INFINITY;
    for edge in edges {
        let nearest = edge.nearest_point(at);
        if nearest.distance(at) > 400.0 {
            continue;
        }
        for step in -40..=40 {
            let along = edge.direction_at(0.5) * (f64::from(step) * 0.5);
            let there = edge.nearest_point(nearest + along);
            least = least.min(surface.length(&Segment::Line(at, there)).to_mm());
        }
    }
    least
}

const GUILLEMOT: &str = "half_breadths = [[0, 0], [400, 470], [900, 880], [1500, 1210], [2200, 1460], [3000, 1615], [3700, 1675]]";

const SURFACE: &str = "
camber = { rise = 70, beam = 3350 }
sheer = { heights = [[0, 420], [1200, 280], [2500, 180], [3700, 120]] }
margin = { edge = 60, opening = 55, fitting = 40, measured = \"surface\" }
radius = { round = 40, hollow = 25 }
[[deck.opening]]
name = \"hatch\"
rectangle = { at = [1900, 0], size = [600, 600], radius = 60 }
[[deck.fitting]]
name = \"cleat\"
slot = { from = [1160, 760], to = [1340, 850], width = 60 }
both_sides = true
[[deck.strip]]
width = 60
across_at = [2600]
along_at = [0]
";

#[test]
fn margins_on_the_surface_are_kept_there_within_the_distortion_that_is_stated() {
    let job = worked(GUILLEMOT, SURFACE);
    let DeckJob {
        plan,
        surface,
        pattern,
        ..
    } = &job.decks[0];
    let surface = surface.as_ref().expect("it has a surface");
    let figures = Figures::of(&job);
    let own = figures.decks[0].surface.as_ref().expect("they are there");
    assert!(own.measured_on_surface);
    let share = own.developed.distortion.greatest();
    let (mut nearest, mut looked_at) = (f64::INFINITY, 0);
    let of = |ring: &Ring| ring.segments().to_vec();
    let standing = plan.openings.iter().chain(&plan.fittings);
    let mut things = vec![(of(&plan.outline.ring), 60.0)];
    things.extend(standing.map(|one| (of(&one.ring), one.margin.to_mm())));
    for (edges, margin) in &things {
        let edges: Vec<&Segment> = edges.iter().collect();
        // 0.01 mm for lines and arcs, the distortion, and what steps of half a millimetre can miss.
        let least = margin * (1.0 - share) - 0.01 - 0.01;
        for segment in pattern
            .fields
            .iter()
            .flat_map(|field| field.region.segments())
        {
            for step in 0..3 {
                let at = segment.point_at(f64::from(step) / 3.0);
                let found = clearance_on_surface(surface, at, &edges);
                assert!(found > least, "{found} is less than {margin} at {at:?}");
                nearest = nearest.min(found - margin);
                looked_at += 1;
            }
        }
    }
    // And they are reached: the non-skid does not stop short.
    assert!(nearest < 0.1 && looked_at > 500, "{nearest} {looked_at}");
    for field in &pattern.fields {
        assert!(
            (field.clearance.distance.to_mm() - 40.0).abs() < 1e-6
                || field.clearance.distance >= mm(55.0 - 1e-6)
        );
        assert!((field.tightest_round.expect("rounded").to_mm() - 40.0).abs() < 1e-6);
    }
    // Strips keep their width on the surface: across the one athwartships, along the centreline.
    let starboard = |x: f64, y: f64| {
        pattern
            .fields
            .iter()
            .any(|field| field.region.contains(Point::new(x, y)))
    };
    let edge_of = |from: f64, way: f64| {
        let (mut near, mut far) = (0.0, 200.0);
        for _ in 0..50 {
            let middle = (near + far) / 2.0;
            if starboard(from + way * middle, 700.0) {
                far = middle;
            } else {
                near = middle;
            }
        }
        from + way * far
    };
    let (fore, aft) = (edge_of(2600.0, -1.0), edge_of(2600.0, 1.0));
    let width = surface.length(&line([fore, 700.0], [aft, 700.0])).to_mm();
    assert!((width - 60.0).abs() < 0.1, "{width}");
    assert!(aft - fore < 60.0);
}

/// A cylinder lies flat exactly, so margins on it can be worked out by hand.
#[test]
fn a_margin_on_a_parabolic_camber_ends_where_the_girth_says() {
    let job = worked(
        WIDE,
        "camber = { rise = 300, beam = 3000 }\nmargin = { edge = 100, measured = \"surface\" }",
    );
    let deck = &job.decks[0];
    let bounds = deck.pattern.fields[0].region.bounding_box();
    let a = 4.0 * 300.0 / 9e6;
    let edge = along_parabola(a, 1500.0);
    for y in [bounds.greatest.y, -bounds.least.y] {
        near(along_parabola(a, y), edge - 100.0, 1e-9);
    }
    near(bounds.least.x, 100.0, 1e-9);
    near(bounds.greatest.x, 3900.0, 1e-9);
    assert_eq!(deck.pattern.fields[0].region.segments().count(), 4);
    near(
        deck.pattern.fields[0].clearance.distance.to_mm(),
        100.0,
        1e-9,
    );
}

#[test]
fn a_field_that_reaches_the_edge_keeps_the_edge_itself() {
    let keys = SURFACE.replace("edge = 60, opening = 55", "edge = 0, opening = 0");
    let job = worked(GUILLEMOT, &keys);
    let deck = &job.decks[0];
    let figures = Figures::of(&job);
    let areas = &figures.decks[0].areas;
    assert!(areas.closes(), "{:?}", areas.closure());
    // No slivers of border along the edge: every edge of a field is the deck's edge, or well clear of it.
    let edge: Vec<&Segment> = deck.plan.outline.ring.segments().iter().collect();
    for segment in deck
        .pattern
        .fields
        .iter()
        .flat_map(|field| field.region.segments())
    {
        let at = segment.point_at(0.5);
        let off = edge
            .iter()
            .map(|edge| edge.nearest_point(at).distance(at))
            .fold(f64::INFINITY, f64::min);
        assert!(!(1e-6..=0.5).contains(&off), "{off} at {at:?}");
    }
    let paint: f64 = deck.masking.first.working_edge.to_mm();
    let all: f64 = deck
        .pattern
        .fields
        .iter()
        .map(|field| field.region.perimeter())
        .sum();
    assert!(all - paint > 6000.0, "{all} {paint}");
    let border = &deck.pattern.border;
    for piece in border.components() {
        assert!(piece.area() > 1.0, "a sliver of {} mm²", piece.area());
    }
}

/// Numbers between two others.
fn between(least: f64, most: f64) -> impl Strategy<Value = f64> {
    (0_u32..=1000).prop_map(move |share| least + (most - least) * f64::from(share) / 1000.0)
}

fn round_deck() -> impl Strategy<Value = String> {
    let camber = (between(5.0, 160.0), prop::bool::ANY).prop_map(|(rise, circular)| {
        let form = if circular { "circular" } else { "parabolic" };
        format!("camber = {{ rise = {rise}, beam = 3350, form = \"{form}\" }}\n")
    });
    let sheer = (
        between(0.0, 400.0),
        between(-60.0, 200.0),
        between(0.0, 100.0),
    )
        .prop_map(|(a, b, c)| {
            format!("sheer = {{ heights = [[-100, {a}], [1500, {b}], [2600, {c}], [3800, 60]] }}\n")
        });
    (camber, sheer, 0..3).prop_map(|(camber, sheer, which)| match which {
        0 => camber,
        1 => sheer,
        _ => camber + &sheer,
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn what_holds_on_every_deck_with_camber_or_sheer(keys in round_deck(), on_surface in prop::bool::ANY) {
        let measured = if on_surface { "surface" } else { "plan" };
        let rest = &SURFACE[SURFACE.find("margin").expect("there")..];
        let rest = rest.replace("\"surface\"", &format!("\"{measured}\""));
        let job = worked(GUILLEMOT, &(keys + &rest));
        let figures = Figures::of(&job);
        let deck = &figures.decks[0];
        let own = deck.surface.as_ref().expect("it has a surface");
        // Nothing is smaller on the surface than seen from above.
        let pairs = [
            (own.areas.deck.to_mm2(), deck.areas.deck.to_mm2()),
            (own.areas.field.to_mm2(), deck.areas.field.to_mm2()),
            (own.areas.border.to_mm2(), deck.areas.border.to_mm2()),
            (own.areas.openings.to_mm2(), deck.areas.openings.to_mm2()),
            (own.perimeter.to_mm(), deck.perimeter.to_mm()),
            (own.first.line_tape.to_mm(), deck.first.line_tape.length.to_mm()),
            (own.first.edge_tape.to_mm(), deck.first.edge_tape.length.to_mm()),
            (own.reversed.working_edge.to_mm(), deck.reversed.working_edge.to_mm()),
            (own.first.cover.to_mm2(), deck.first.cover.to_mm2()),
            (own.girth.girth.to_mm(), own.girth.breadth.to_mm()),
        ];
        for (on_surface, plan) in pairs {
            prop_assert!(on_surface >= plan * (1.0 - 1e-12), "{on_surface} < {plan}");
        }
        // Plan areas and true areas both close.
        prop_assert!(deck.areas.closes(), "{:?}", deck.areas.closure());
        prop_assert!(own.areas.closes(), "{:?}", own.areas.closure());
        // Port is the mirror image of starboard.
        let surface = job.decks[0].surface.as_ref().expect("it has a surface");
        let ring = &job.decks[0].plan.outline.ring;
        near(surface.ring_area(ring), surface.ring_area(&ring.mirrored()), 1e-12);
        let development = Development::of(surface, ring);
        let image = |ring: &Ring| development.laid_ring(&ring.mirrored()).mirrored();
        let fitting = &job.decks[0].plan.fittings[0].ring;
        near(image(fitting).length(), development.laid_ring(fitting).length(), 1e-9);
        let fields = &job.decks[0].pattern.fields;
        for field in fields {
            let twin = fields.iter().find(|other| {
                other.region.centroid().mirrored().distance(field.region.centroid()) < 0.1
            });
            prop_assert!(twin.is_some(), "{} has no image", field.id);
        }
        // There and back again.
        for segment in ring.segments() {
            let at = segment.point_at(0.3);
            prop_assert!(development.raised(development.laid(at)).distance(at) < 1e-8);
        }
    }
}

/// Numbers that look random and are the same on every run: Knuth's MMIX generator, the top bits (from memory),
/// and a normal deviate as the sum of twelve of them less six.
struct Noise(u64);

impl Noise {
    fn unit(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        f64::from(u32::try_from(self.0 >> 33).expect("31 bits")) / f64::from(1_u32 << 31)
    }

    fn normal(&mut self) -> f64 {
        (0..12).map(|_| self.unit()).sum::<f64>() - 6.0
    }
}

/// Fifteen heights of a deck that rises 60 over 3000, measured to 2 mm while she lay with a list of 8 mm a metre.
fn measured(noise: &mut Noise, slip: Option<f64>) -> String {
    let mut heights = Vec::new();
    for x in [300.0, 1500.0, 2800.0_f64] {
        for y in [-1400.0, -700.0, 0.0, 700.0, 1400.0_f64] {
            let height =
                400.0 - 60.0 * (y / 1500.0).powi(2) + 0.02 * (x - 1500.0).abs() + 0.008 * y;
            heights.push((x, y, height + 2.0 * noise.normal()));
        }
    }
    if let Some(slip) = slip {
        heights[7].2 += slip;
    }
    let list: Vec<String> = heights
        .iter()
        .map(|(x, y, height)| format!("[{x}, {y}, {:.0}]", height))
        .collect();
    format!("camber = {{ heights = [{}] }}", list.join(", "))
}

#[test]
fn a_camber_is_found_from_heights_and_a_slip_is_named() {
    let mut noise = Noise(7);
    let (mut rises, mut alarms, mut named) = (Vec::new(), 0, 0);
    for _ in 0..100 {
        let job = worked(WIDE, &measured(&mut noise, None));
        let surface = job.decks[0].surface.as_ref().expect("it has a surface");
        rises.push(surface.rise(mm(3000.0)).to_mm());
        let fit = surface.heights.as_ref().expect("from heights");
        let list = fit
            .list_per_metre
            .expect("both sides were measured")
            .to_mm();
        assert!((list - 8.0).abs() < 3.0, "{list}");
        alarms += usize::from(fit.suspect.is_some());
        let job = worked(WIDE, &measured(&mut noise, Some(20.0)));
        let fit = job.decks[0]
            .surface
            .as_ref()
            .and_then(|own| own.heights.as_ref());
        let suspect = fit.and_then(|fit| fit.suspect);
        named += usize::from(suspect.is_some_and(|one| one.index == 7));
        assert_eq!(
            suspect.is_some(),
            job.warnings.iter().any(|one| one.code == "height-slip")
        );
    }
    let count = 100.0;
    let mean = rises.iter().sum::<f64>() / count;
    let spread =
        (rises.iter().map(|rise| (rise - mean).powi(2)).sum::<f64>() / (count - 1.0)).sqrt();
    assert!(
        (mean - 60.0).abs() < 1.0 && spread < 2.5,
        "{mean} ± {spread}"
    );
    assert!(alarms <= 8, "{alarms} false alarms in a hundred");
    assert!(named >= 95, "{named} slips of 20 mm named of a hundred");
}

#[test]
fn what_is_wrong_with_camber_and_sheer_is_said_at_its_entry() {
    for (name, keys) in [
        (
            "camber_narrower_than_the_deck",
            "camber = { rise = 40, beam = 2400 }",
        ),
        (
            "camber_too_steep",
            "camber = { rise = 3000, beam = 3000, form = \"parabolic\" }",
        ),
        (
            "sheer_too_steep",
            "sheer = { heights = [[0, 4000], [1000, 0], [4000, 0]] }",
        ),
        (
            "camber_and_slope_alike",
            "camber = { heights = [[0, 0, 40], [1000, -900, 20], [1000, 900, 21]] }",
        ),
    ] {
        insta::with_settings!({ omit_expression => true, prepend_module_to_snapshot => false }, {
            insta::assert_snapshot!(name, faults(WIDE, keys));
        });
    }
}

#[test]
fn a_deck_beyond_the_stations_of_its_sheer_is_told_so() {
    let job = worked(
        WIDE,
        "sheer = { heights = [[0, 120], [1500, 60], [3000, 40]] }",
    );
    let said: Vec<&str> = job
        .warnings
        .iter()
        .map(|warning| warning.message.as_str())
        .collect();
    assert_eq!(
        said,
        [
            "The sheer is known from station 0 mm to 3000 mm, and the deck reaches 1000 mm beyond: there its \
          centreline is taken to go on straight."
        ]
    );
}

#[test]
fn arcs_of_every_sweep_are_measured_alike_in_parts_and_whole() {
    let surface = surface("camber = { rise = 200, beam = 3000 }");
    let whole = Arc::about(Point::new(2000.0, 100.0), 900.0, 0.3, 5.9);
    let [one, other] = [(0.3, 2.0), (2.3, 3.9)]
        .map(|(from, sweep)| Segment::Arc(Arc::about(whole.centre, 900.0, from, sweep)));
    let parts = surface.length(&one).to_mm() + surface.length(&other).to_mm();
    near(surface.length(&Segment::Arc(whole)).to_mm(), parts, 1e-12);
}
