//! A photograph simulated: eight marks on a foredeck of 3.2 m seen in a picture of 3,000 pixels, every mark and
//! every node of the traced outline a pixel out at random. The whole way from the file to the deck's area.

use std::fmt::Write;

use spile::import::Piece;
use spile::layout::{self, Sources};
use spile::outline::{DeckPlan, Lie, TracedBy, Warning};
use spile::shape::{Point, Segment, Transformation};

use super::Chance;
use super::camera::{over_the_bow, traced, true_edge};

const MARKS: [[f64; 2]; 8] = [
    [250.0, 250.0],
    [250.0, -250.0],
    [1100.0, 800.0],
    [1100.0, -800.0],
    [2100.0, 1000.0],
    [2100.0, -1000.0],
    [3100.0, 1050.0],
    [3100.0, -1050.0],
];

/// A photograph with marks seen at `seen`, measured at `at`, and this path traced in it; worked out.
fn worked(
    seen: &[Point],
    at: &[Point],
    path: &str,
) -> (DeckPlan, Vec<Warning>, TracedBy, Transformation) {
    let mut marks = String::new();
    for (seen, at) in seen.iter().zip(at) {
        let _ = write!(
            marks,
            "{{ drawn = [{}, {}], at = [{}, {}] }}, ",
            seen.x, seen.y, at.x, at.y
        );
    }
    let text = format!(
        "title = \"t\"\n[[drawing]]\nfile = \"a.svg\"\nmarks = [{marks}]\n\
         [[deck]]\nid = \"d\"\n[deck.outline]\ndrawn = {{ path = \"edge\" }}\n"
    );
    let svg = super::around(&format!("<path id=\"edge\" d=\"{path}\"/>"));
    let mut sources = Sources::default();
    sources.add("a.svg", svg.into_bytes());
    let layout = layout::read(&text).expect("a good layout");
    let fixed = spile::outline::fix(&layout, &sources)
        .unwrap_or_else(|faults| panic!("{}", layout::render_faults("t", &text, &faults)));
    let (plan, mut warnings) = spile::outline::trace(&layout.decks[0], &fixed)
        .unwrap_or_else(|faults| panic!("{}", layout::render_faults("t", &text, &faults)));
    warnings.extend(fixed.warnings.iter().cloned());
    #[allow(irrefutable_let_patterns, reason = "other formats lie otherwise")]
    let Lie::Traced(tracing) = &fixed.drawings[0].lie else {
        panic!("a tracing");
    };
    (plan, warnings, tracing.by.clone(), tracing.map)
}

fn places(
    view: &Transformation,
    chance: &mut Chance,
    pixels: f64,
    mm: f64,
) -> (Vec<Point>, Vec<Point>) {
    MARKS
        .iter()
        .map(|[x, y]| {
            let at = Point::new(*x, *y);
            let seen = view.apply(at).expect("in sight") + chance.normal_point(pixels);
            (seen, at + chance.normal_point(mm))
        })
        .unzip()
}

fn truth() -> f64 {
    true_edge().iter().map(super::swept).sum::<f64>().abs()
}

/// Relative errors of the area in many runs, sorted by size: marks out by `pixels` and `mm`, nodes by `trembling`
/// pixels.
fn errors(runs: usize, pixels: f64, mm: f64, trembling: f64) -> Vec<f64> {
    let view = over_the_bow();
    let mut chance = Chance(2026);
    let mut errors: Vec<f64> = (0..runs)
        .map(|_| {
            let (seen, at) = places(&view, &mut chance, pixels, mm);
            let mut hand = |point: Point| point + chance.normal_point(trembling);
            let path = traced(&true_edge(), &view, 3, &mut hand, 2);
            let (plan, ..) = worked(&seen, &at, &path);
            (plan.outline.ring.signed_area() / truth() - 1.0).abs()
        })
        .collect();
    errors.sort_by(f64::total_cmp);
    errors
}

/// The sizes of error that half, 95 of 100 and all runs stay within, per cent.
fn spread(errors: &[f64], what: &str) -> [f64; 3] {
    let spread = [50, 95, 100].map(|share| errors[(errors.len() - 1) * share / 100] * 100.0);
    println!(
        "area, {what}: median {:.3} %, 95 of 100 runs {:.3} %, at most {:.3} %",
        spread[0], spread[1], spread[2]
    );
    spread
}

#[test]
fn the_area_of_a_photographed_deck_is_right_within_three_parts_in_a_thousand() {
    let [_, most, all] = spread(&errors(400, 1.0, 0.0, 0.0), "marks out by a pixel");
    assert!(most < 0.3 && all < 0.5);
    let [half, most, _] = spread(&errors(400, 1.0, 0.0, 1.0), "every node of the path too");
    assert!(half < 0.15 && most < 0.4);
    let [half, most, _] = spread(&errors(400, 1.0, 3.0, 1.0), "and the marks taped to 3 mm");
    assert!(half < 0.3 && most < 0.6);
}

#[test]
fn without_noise_every_traced_curve_lies_within_a_twentieth_of_a_millimetre_both_ways() {
    let view = over_the_bow();
    let (seen, at) = places(&view, &mut Chance(1), 0.0, 0.0);
    let path = traced(&true_edge(), &view, 3, &mut |point| point, 6);
    let (plan, _, _, map) = worked(&seen, &at, &path);
    // The same path read and mapped exactly, looked at densely.
    let drawn = super::read(&super::around(&format!("<path id=\"edge\" d=\"{path}\"/>")));
    let mut exact = Vec::new();
    for piece in &drawn.with_id("edge").expect("there")[0].pieces {
        for piece in piece.mapped(&map).expect("in sight") {
            for i in 0..4000 {
                let share = f64::from(i) / 4000.0;
                exact.push(match &piece {
                    Piece::Curve(curve) => curve.point_at(share),
                    piece => piece.start().towards(piece.end(), share),
                });
            }
        }
    }
    let ring = &plan.outline.ring;
    let boundary = spile::shape::Region::inside(ring.clone());
    let outwards = exact
        .iter()
        .step_by(7)
        .map(|point| boundary.boundary_distance(*point).to_mm())
        .fold(0.0, f64::max);
    let to_exact = |point: Point| {
        exact
            .iter()
            .zip(exact.iter().cycle().skip(1))
            .map(|(a, b)| {
                let way = *b - *a;
                let share = way.dot(point - *a) / way.dot(way).max(1e-300);
                point.distance(a.towards(*b, share.clamp(0.0, 1.0)))
            })
            .fold(f64::INFINITY, f64::min)
    };
    let mut inwards = 0.0_f64;
    for segment in ring.segments() {
        for i in 0..8 {
            inwards = inwards.max(to_exact(segment.point_at(f64::from(i) / 8.0)));
        }
    }
    let arcs = ring
        .segments()
        .iter()
        .filter(|one| matches!(one, Segment::Arc(_)))
        .count();
    println!(
        "{outwards:.4} mm and {inwards:.4} mm with {arcs} arcs of {} segments",
        ring.segments().len()
    );
    assert!(
        outwards < 0.0101 && inwards < 0.0101,
        "{outwards} {inwards}"
    );
    assert!(ring.segments().len() < 150);
}

#[test]
fn the_stated_precision_is_the_scatter_of_many_photographs() {
    let view = over_the_bow();
    let mut chance = Chance(77);
    let probe = Point::new(0.0, 0.0);
    let in_picture = view.apply(probe).expect("in sight");
    let path = traced(&true_edge(), &view, 3, &mut |point| point, 3);
    let (mut sum, mut stated) = (0.0, 0.0);
    let runs = 300;
    for _ in 0..runs {
        // The noise that is assumed: 3 mm of tape, and 1/2000 of the marks' extent of pointing.
        let (seen, at) = places(&view, &mut chance, 1.12, 3.0);
        let (_, _, by, map) = worked(&seen, &at, &path);
        let TracedBy::Marks(_) = by else {
            panic!("by marks");
        };
        let found = map.apply(in_picture).expect("in sight");
        sum += (found - probe).dot(found - probe);
        stated += spile_precision(&seen, &at, in_picture).powi(2);
    }
    let (scatter, stated) = (
        (sum / f64::from(runs)).sqrt(),
        (stated / f64::from(runs)).sqrt(),
    );
    println!("the stem scatters by {scatter:.2} mm, stated {stated:.2} mm");
    // Scatter of both coordinates against the greatest direction: between 1 and √2 times it.
    assert!(scatter > 0.8 * stated && scatter < 1.5 * stated);
}

/// What the tracing says of its precision at a point of the picture.
fn spile_precision(seen: &[Point], at: &[Point], probe: Point) -> f64 {
    use spile::adjust::rectify::{Mark, Noise, projective};
    let marks: Vec<Mark> = seen
        .iter()
        .zip(at)
        .map(|(here, there)| Mark {
            here: here.mirrored(),
            there: *there,
        })
        .collect();
    let fit = projective(
        &marks,
        Noise {
            here: 1.12,
            there: 3.0,
        },
    )
    .expect("a map");
    fit.precision_at(probe.mirrored()).expect("in sight")
}

#[test]
fn a_mark_measured_wrong_is_named() {
    let view = over_the_bow();
    let mut chance = Chance(5);
    let path = traced(&true_edge(), &view, 3, &mut |point| point, 3);
    let (mut named, mut alarms) = (0, 0);
    let runs = 100;
    for run in 0..runs {
        let (seen, mut at) = places(&view, &mut chance, 1.0, 2.0);
        let (_, warnings, ..) = worked(&seen, &at, &path);
        if warnings
            .iter()
            .any(|warning| warning.code.starts_with("mark"))
        {
            alarms += 1;
        }
        let wrong = run % 8;
        at[wrong] = at[wrong] + Point::at_angle(chance.share() * 7.0) * 50.0;
        let (_, warnings, ..) = worked(&seen, &at, &path);
        let name = format!("mark [{}, {}]", seen[wrong].x, seen[wrong].y);
        if warnings
            .iter()
            .any(|warning| warning.code == "mark-off" && warning.message.contains(&name))
        {
            named += 1;
        }
    }
    println!("50 mm named in {named} of {runs}, false alarms in {alarms}");
    assert!(named >= 90 && alarms <= 5, "{named} {alarms}");
}
