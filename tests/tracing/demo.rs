//! The demo tracing: the drawing beside its layout is made here, so that what it shows is known. The layout is
//! worked out and compared with that.

use std::fs;
use std::path::{Path, PathBuf};

use spile::layout::{self, Sources};
use spile::outline::{Lie, TracedBy};
use spile::shape::{Point, Region};

use super::Chance;
use super::camera::{PICTURE, over_the_bow, traced, true_circle, true_edge, true_rectangle};

/// Stations and distances to starboard of the marks, as they truly lie.
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

fn layouts() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("layouts")
}

/// The drawing: traced by a hand that is out by a pixel here and there.
fn drawing() -> String {
    let view = over_the_bow();
    let mut chance = Chance(11);
    let [width, height] = PICTURE;
    let mut marks = String::new();
    for (number, [x, y]) in MARKS.iter().enumerate() {
        let seen = view.apply(Point::new(*x, *y)).expect("in sight") + chance.normal_point(1.0);
        marks += &format!(
            "    <circle id=\"m{}\" cx=\"{:.1}\" cy=\"{:.1}\" r=\"16\"/>\n",
            number + 1,
            seen.x,
            seen.y
        );
    }
    let mut hand = |point: Point| point + chance.normal_point(0.7);
    // Everything traced stands in a group that was moved once.
    let moved = Point::new(-40.0, 25.0);
    let view = spile::shape::Transformation::shift(-moved).after(&view);
    let edge = traced(&true_edge(), &view, 3, &mut hand, 1);
    let hatch = true_rectangle(Point::new(1950.0, 0.0), Point::new(700.0, 620.0), 70.0);
    let hatch = traced(&hatch, &view, 1, &mut hand, 1);
    let post = true_rectangle(Point::new(640.0, 0.0), Point::new(170.0, 170.0), 20.0);
    let post = traced(&post, &view, 1, &mut hand, 1);
    let cleats = [[1330.0, 790.0], [1330.0, -790.0]].map(|[x, y]| {
        let circle = true_circle(Point::new(x, y), 65.0);
        traced(&circle, &view, 1, &mut hand, 1)
    });
    let lines = |data: &str| {
        data.replace(" C ", "\n        C ")
            .replace(" L ", "\n        L ")
    };
    format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>
<!-- The foredeck of the Turnstone, traced over a photograph of {width} by {height} pixels taken with a phone held over
     her bow, looking aft: her starboard side is on the left. The photograph itself is not kept. -->
<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}\" height=\"{height}\" viewBox=\"0 0 {width} {height}\">
  <g id=\"chalk-marks\" fill=\"none\" stroke=\"#0057b7\" stroke-width=\"4\">
{marks}  </g>
  <g id=\"tracing\" transform=\"translate({} {})\" fill=\"none\" stroke=\"#c1121f\" stroke-width=\"5\">
    <path id=\"deck-edge\" d=\"{}\"/>
    <path id=\"fore-hatch\" d=\"{}\"/>
    <path id=\"post\" d=\"{}\"/>
    <path id=\"cleats\" d=\"{} {}\"/>
  </g>
</svg>
",
        moved.x,
        moved.y,
        lines(&edge),
        lines(&hatch),
        lines(&post),
        lines(&cleats[0]),
        lines(&cleats[1]),
    )
}

#[test]
fn the_drawing_beside_the_layout_is_the_one_made_here() {
    let path = layouts().join("turnstone.svg");
    let made = drawing();
    if std::env::var_os("UPDATE_DEMO").is_some() {
        fs::write(&path, &made).expect("it can be written");
    }
    let kept = fs::read_to_string(&path).expect("it is there");
    assert!(
        kept == made,
        "run this test with UPDATE_DEMO=1 and look at the drawing"
    );
}

#[test]
fn the_traced_foredeck_is_the_true_one_within_what_its_marks_allow() {
    let text = fs::read_to_string(layouts().join("turnstone.toml")).expect("it is there");
    let layout = layout::read(&text).expect("a good layout");
    let mut sources = Sources::default();
    let drawing = fs::read(layouts().join("turnstone.svg")).expect("it is there");
    sources.add("turnstone.svg", drawing);
    let products = fs::read(layouts().join("chandler/paint.toml")).expect("it is there");
    sources.add("chandler/paint.toml", products);
    let job = spile::work_out(layout, &sources).unwrap_or_else(|faults| {
        panic!(
            "{}",
            layout::render_faults("turnstone.toml", &text, &faults)
        )
    });

    #[allow(irrefutable_let_patterns, reason = "other formats lie otherwise")]
    #[allow(irrefutable_let_patterns, reason = "other formats lie otherwise")]
    let Lie::Traced(tracing) = &job.fixed.drawings[0].lie else {
        panic!("it is a tracing");
    };
    let TracedBy::Marks(fit) = &tracing.by else {
        panic!("it lies by marks");
    };
    assert!(fit.is_photograph);
    assert_eq!(fit.redundancy, 8);
    for (mark, [x, y]) in fit.marks.iter().zip(MARKS) {
        // Taped to a few millimetres, and the map puts it back within what that allows.
        assert!(mark.at.distance(Point::new(x, y)) < 8.0, "{}", mark.name);
        assert!(
            mark.residual.off.length() < 10.0,
            "{}: {:?}",
            mark.name,
            mark.residual
        );
    }
    let ratio = fit.noise_ratio.expect("it is checked");
    assert!((0.3..1.6).contains(&ratio), "{ratio}");

    let plan = &job.decks[0].plan;
    let ring = &plan.outline.ring;
    let truth = true_edge().iter().map(super::swept).sum::<f64>().abs();
    let ratio = ring.signed_area() / truth;
    println!(
        "area {:.4} m2, truth {:.4} m2",
        ring.signed_area() / 1e6,
        truth / 1e6
    );
    assert!((ratio - 1.0).abs() < 0.003, "{ratio}");
    // Every point of the true edge lies near the traced one.
    let traced = Region::inside(ring.clone());
    let mut farthest = 0.0_f64;
    for piece in true_edge() {
        for i in 0..=50 {
            let share = f64::from(i) / 50.0;
            let point = match &piece {
                spile::import::Piece::Curve(curve) => curve.point_at(share),
                piece => piece.start().towards(piece.end(), share),
            };
            farthest = farthest.max(traced.boundary_distance(point).to_mm());
        }
    }
    println!("farthest {farthest:.2} mm");
    assert!(farthest < 12.0, "{farthest}");
    let hatch = &plan.openings[0].ring.bounding_box();
    assert!((hatch.width() - 700.0).abs() < 12.0 && (hatch.height() - 620.0).abs() < 12.0);
    assert_eq!(plan.fittings.len(), 3);
    assert_eq!(plan.fittings[1].name, "cleat 1");
    let codes: Vec<&str> = job.warnings.iter().map(|warning| warning.code).collect();
    println!("{codes:?}");
    assert!(
        !codes.iter().any(|code| code.starts_with("mark")),
        "{codes:?}"
    );
}
