//! Everything an SVG may say of where a shape is, against closed forms and against another reader (usvg, which
//! draws the program's pictures; it keeps single precision).

use std::f64::consts::PI;

use resvg::usvg;
use spile::import::{Drawn, Piece};
use spile::shape::{BoundingBox, Point};

use super::{area, around, bounds, read};

/// The area of "a" in a drawing of `inside`.
fn area_of(inside: &str) -> f64 {
    area(&read(&around(inside)).with_id("a").expect("a path"))
}

fn box_of(inside: &str) -> [f64; 4] {
    let drawn = read(&around(inside));
    sides(&bounds(&drawn.with_id("a").expect("a path")))
}

fn sides(bounds: &BoundingBox) -> [f64; 4] {
    [
        bounds.least.x,
        bounds.least.y,
        bounds.greatest.x,
        bounds.greatest.y,
    ]
}

fn near(ours: f64, theirs: f64) {
    assert!(
        (ours - theirs).abs() <= 1e-9 * theirs.abs().max(1.0),
        "{ours} for {theirs}"
    );
}

fn boxed(inside: &str, expected: [f64; 4]) {
    let ours = box_of(inside);
    let off = ours
        .iter()
        .zip(expected)
        .map(|(one, other)| (one - other).abs());
    assert!(off.fold(0.0, f64::max) < 1e-9, "{inside}: {ours:?}");
}

#[test]
fn areas_follow_the_determinant_through_every_transformation() {
    let wrapped =
        |transform: &str, shape: &str| format!("<g transform=\"{transform}\">{shape}</g>");
    let ellipse = "<ellipse id=\"a\" cx=\"7\" cy=\"3\" rx=\"30\" ry=\"20\"/>";
    let rounded = "<rect id=\"a\" x=\"5\" y=\"6\" width=\"80\" height=\"50\" rx=\"12\" ry=\"9\"/>";
    for (transform, factor) in [
        ("translate(40 -7)", 1.0),
        ("translate(40)", 1.0),
        ("scale(2)", 4.0),
        ("scale(2, -0.5)", 1.0),
        ("rotate(33)", 1.0),
        ("rotate(33, 50, 60)", 1.0),
        ("skewX(25)", 1.0),
        ("skewY(-40)", 1.0),
        ("matrix(1 2 -3 0.5 9 9)", 6.5),
        ("rotate(20) skewX(10), scale(3 2) translate(1,2)", 6.0),
    ] {
        near(area_of(&wrapped(transform, ellipse)), factor * PI * 600.0);
        near(
            area_of(&wrapped(transform, rounded)),
            factor * (4000.0 - (4.0 - PI) * 108.0),
        );
        let nested = wrapped(transform, &wrapped(transform, ellipse));
        near(area_of(&nested), factor * factor * PI * 600.0);
    }
    near(
        area_of("<ellipse id=\"a\" rx=\"30\" ry=\"20\" transform=\"scale(2)\"/>"),
        4.0 * PI * 600.0,
    );
}

#[test]
fn a_rectangle_rounds_its_corners_as_the_standard_says() {
    let rect = |radii: &str| {
        area_of(&format!(
            "<rect id=\"a\" width=\"80\" height=\"50\" {radii}/>"
        ))
    };
    near(rect(""), 4000.0);
    near(rect("rx=\"10\""), 4000.0 - (4.0 - PI) * 100.0);
    near(rect("ry=\"10\""), 4000.0 - (4.0 - PI) * 100.0);
    near(rect("rx=\"0\" ry=\"10\""), 4000.0);
    // No more than half a side each: here a stadium, here an ellipse.
    near(rect("rx=\"25\" ry=\"200\""), 4000.0 - (4.0 - PI) * 625.0);
    near(rect("rx=\"400\" ry=\"300\""), PI * 1000.0);
}

#[test]
fn circles_stay_circles_where_shapes_are_kept_and_where_an_ellipse_is_pressed_to_one() {
    for (inside, radius) in [
        ("<circle id=\"a\" cx=\"10\" cy=\"20\" r=\"30\"/>", 30.0),
        (
            "<g transform=\"rotate(30) scale(-2 2)\"><circle id=\"a\" cx=\"10\" cy=\"20\" r=\"30\"/></g>",
            60.0,
        ),
        (
            "<g transform=\"scale(1 1.5)\"><ellipse id=\"a\" rx=\"30\" ry=\"20\"/></g>",
            30.0,
        ),
        (
            "<path id=\"a\" transform=\"scale(3)\" d=\"M10 0A10 10 0 0 1 -10 0A10 10 0 0 1 10 0\"/>",
            30.0,
        ),
    ] {
        let drawn = read(&around(inside));
        for path in drawn.with_id("a").expect("a path") {
            assert!(path.closed);
            for piece in &path.pieces {
                let Piece::Arc(arc) = piece else {
                    panic!("{inside}: {piece:?}")
                };
                near(arc.radius, radius);
            }
        }
        near(area_of(inside), PI * radius * radius);
    }
}

#[test]
fn path_data_is_followed_letter_by_letter() {
    // A square of 10, by every straight command.
    for data in [
        "M5 5L15 5L15 15L5 15Z",
        "m5 5l10 0 0 10-10 0z",
        "M5,5 15,5 15,15 5,15 z",
        "M5 5H15V15H5z",
        "m5 5h10v10h-10z",
    ] {
        near(area_of(&format!("<path id=\"a\" d=\"{data}\"/>")), 100.0);
    }
    // Under a parabola lie two thirds of its box; a cubic arch of height h holds 3/5 b h.
    near(
        area_of("<path id=\"a\" d=\"M0 0Q10 20 20 0Z\"/>"),
        2.0 / 3.0 * 20.0 * 10.0,
    );
    near(
        area_of("<path id=\"a\" d=\"M0 0C0 20 20 20 20 0Z\"/>"),
        0.6 * 20.0 * 20.0,
    );
    // Smooth ones go on from the last handle turned about: each wave's half is the first one's image.
    near(
        area_of("<path id=\"a\" d=\"M0 0C0 20 20 20 20 0S40 -20 40 0Z\"/>"),
        0.0,
    );
    boxed(
        "<path id=\"a\" d=\"M0 0Q10 20 20 0T40 0\"/>",
        [0.0, -10.0, 40.0, 10.0],
    );
    // Without a curve before it the handle is the point itself.
    boxed(
        "<path id=\"a\" d=\"M0 0T40 0L40 5\"/>",
        [0.0, 0.0, 40.0, 5.0],
    );
    // The four arcs between two points of a circle of radius 10, 60 degrees apart.
    let segment = 100.0 / 2.0 * (PI / 3.0 - (PI / 3.0).sin());
    for (flags, expected) in [
        ("0 0", segment),
        ("0 1", segment),
        ("1 0", PI * 100.0 - segment),
        ("1 1", PI * 100.0 - segment),
    ] {
        near(
            area_of(&format!(
                "<path id=\"a\" d=\"M0 0A10 10 0 {flags} 10 0Z\"/>"
            )),
            expected,
        );
    }
    // Radii too small are scaled up to a half turn; radii of 0 make a line.
    near(
        area_of("<path id=\"a\" d=\"M0 0A1 2 0 0 1 0 40Z\"/>"),
        PI * 20.0 * 10.0 / 2.0,
    );
    near(
        area_of("<path id=\"a\" d=\"M0 0A0 2 0 0 1 10 0L10 10Z\"/>"),
        50.0,
    );
    // Turned half ellipse.
    near(
        area_of("<path id=\"a\" d=\"M0 0A20 10 90 0 1 0 40Z\"/>"),
        PI * 200.0 / 2.0,
    );
}

#[test]
fn subpaths_are_rings_of_their_own_and_say_whether_they_close() {
    let drawn = read(&around(
        "<path id=\"a\" d=\"M0 0H10V10Zm20 0h5v5z l-1 1 m3 3 M50 50H60V60L50 50 M0 90H9 M7 7\"/>",
    ));
    let paths = drawn.with_id("a").expect("paths");
    let closed: Vec<bool> = paths.iter().map(|path| path.closed).collect();
    assert_eq!(closed, [true, true, false, true, false]);
    // After a `z` drawing goes on from where the ring began.
    assert_eq!(paths[2].pieces[0].start(), Point::new(20.0, 0.0));
    assert_eq!(paths[0].line, 2);
    let line = read(&around("<polyline id=\"a\" points=\"0,0 10,0 10,10\"/>"));
    assert!(!line.with_id("a").expect("a path")[0].closed);
    near(
        area_of("<polygon id=\"a\" points=\"0,0 10,0 10,10\"/>"),
        50.0,
    );
}

#[test]
fn lengths_carry_their_units() {
    for (length, px) in [
        ("10", 10.0),
        ("10px", 10.0),
        ("25.4mm", 96.0),
        ("2.54cm", 96.0),
        ("1in", 96.0),
        ("72pt", 96.0),
        ("6pc", 96.0),
        ("25%", 100.0),
    ] {
        boxed(
            &format!("<rect id=\"a\" width=\"{length}\" height=\"7\"/>"),
            [0.0, 0.0, px, 7.0],
        );
    }
    boxed(
        "<rect id=\"a\" width=\"1\" height=\"50%\"/>",
        [0.0, 0.0, 1.0, 150.0],
    );
    // Of the diagonal over √2.
    let radius = (400.0_f64.powi(2) + 300.0_f64.powi(2)).sqrt() / 2.0_f64.sqrt() / 10.0;
    near(
        area_of("<circle id=\"a\" r=\"10%\"/>"),
        PI * radius * radius,
    );
    let drawn = read(&around("<circle id=\"a\" r=\"2em\"/>"));
    assert!(
        drawn
            .with_id("a")
            .expect_err("no")
            .message
            .contains("typeface")
    );
}

#[test]
fn the_files_own_scale_is_that_of_its_width_and_view_box() {
    let unit = |attributes: &str| {
        read(&format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" {attributes}/>"
        ))
        .unit
    };
    assert_eq!(unit("viewBox=\"0 0 400 300\""), None);
    assert_eq!(
        unit("width=\"400\" height=\"300px\" viewBox=\"0 0 400 300\""),
        None
    );
    near(
        unit("width=\"200mm\" viewBox=\"0 0 400 300\"").expect("given"),
        0.5,
    );
    near(
        unit("height=\"30cm\" viewBox=\"0 0 400 300\"").expect("given"),
        1.0,
    );
    near(
        unit("width=\"4in\" height=\"3in\" viewBox=\"0 0 400 300\"").expect("given"),
        0.254,
    );
    // The narrower way counts, and with `none` there are two scales.
    near(
        unit("width=\"400mm\" height=\"200mm\" viewBox=\"0 0 400 400\"").expect("given"),
        0.5,
    );
    assert_eq!(
        unit(
            "width=\"400mm\" height=\"200mm\" viewBox=\"0 0 400 400\" preserveAspectRatio=\"none\""
        ),
        None
    );
    near(
        unit("width=\"400mm\" height=\"300mm\"").expect("px"),
        25.4 / 96.0,
    );
    assert_eq!(unit(""), None);
}

#[test]
fn ids_are_looked_for_where_they_mean_something() {
    // Drawn or not, a shape is where it stands.
    for inside in [
        "<g display=\"none\"><rect id=\"a\" width=\"5\" height=\"5\"/></g>",
        "<rect id=\"a\" width=\"5\" height=\"5\" fill=\"none\" visibility=\"hidden\"/>",
        "<defs><rect id=\"a\" width=\"5\" height=\"5\"/></defs>",
        "<g id=\"a\"><defs><circle id=\"b\" r=\"9\"/></defs><g><rect width=\"5\" height=\"5\"/></g></g>",
        "<defs><rect id=\"b\" width=\"5\" height=\"5\"/></defs><use id=\"a\" href=\"#b\"/>",
    ] {
        boxed(inside, [0.0, 0.0, 5.0, 5.0]);
    }
    // Defined and drawn once by a `use`: there. Drawn in place too: in place.
    boxed(
        "<defs><rect id=\"a\" width=\"5\" height=\"5\"/></defs><use href=\"#a\" x=\"7\"/>",
        [7.0, 0.0, 12.0, 5.0],
    );
    boxed(
        "<rect id=\"a\" width=\"5\" height=\"5\"/><use href=\"#a\" x=\"7\"/>",
        [0.0, 0.0, 5.0, 5.0],
    );
    for (inside, says) in [
        (
            "<defs><rect id=\"a\" width=\"5\" height=\"5\"/></defs><use href=\"#a\"/><use href=\"#a\" x=\"9\"/>",
            "more than once",
        ),
        (
            "<path id=\"a\" d=\"M0 0H1V1Z\"/>\n<path id=\"a\" d=\"M0 0H1V1Z\"/>",
            "two things",
        ),
        (
            "<g id=\"a\"><path d=\"M0 0H1V1Z\"/><path d=\"M0 0H1V1Z\"/></g>",
            "holds 2 shapes",
        ),
        ("<text id=\"a\">a</text>", "holds no path"),
        ("<use id=\"a\" href=\"other.svg#x\"/>", "not in the drawing"),
        ("<use id=\"a\"/>", "refers to nothing"),
    ] {
        let fault = read(&around(inside)).with_id("a").expect_err(says);
        assert!(fault.message.contains(says), "{}", fault.message);
        assert_eq!(fault.line, 2);
    }
    let fault = read(&around("<path id=\"hatch\" d=\"M0 0H1V1Z\"/>"))
        .with_id("mast")
        .expect_err("no");
    assert_eq!(fault.help.as_deref(), Some("it has \"hatch\""));
}

/// What usvg makes of the shapes with these ids: their boxes.
fn theirs(text: &str) -> Vec<(String, [f64; 4])> {
    fn walk(group: &usvg::Group, found: &mut Vec<(String, [f64; 4])>) {
        for node in group.children() {
            let id = node.id().to_owned();
            if !id.is_empty() {
                let bounds = node.abs_bounding_box();
                let sides = [bounds.left(), bounds.top(), bounds.right(), bounds.bottom()];
                found.push((id, sides.map(f64::from)));
            }
            if let usvg::Node::Group(group) = node {
                walk(group, found);
            }
        }
    }
    let tree = usvg::Tree::from_str(text, &usvg::Options::default()).expect("usvg reads it");
    let mut found = Vec::new();
    walk(tree.root(), &mut found);
    found
}

#[test]
fn another_reader_finds_everything_in_the_same_place() {
    let mut inside = String::from(
        "<defs><symbol id=\"sy\" viewBox=\"-5 -5 20 10\" preserveAspectRatio=\"xMaxYMin\"><path d=\"M-5 -5L15 5C3 9 -2 4 0 1Z\"/></symbol>\
         <g id=\"in-defs\"><rect x=\"3\" width=\"10\" height=\"5\" rx=\"2\"/></g></defs>\
         <g transform=\"translate(30 20) rotate(17) skewX(12) scale(1.5 0.8)\">\
         <path id=\"p1\" d=\"M1 2C30 40 -10 50 20 9S3 4 8 12Q-4 9 7 3T20 22Z\"/>\
         <path id=\"round-path\" d=\"M20 22A9 14 33 1 0 40 41A30 3 10 0 1 4 4Z\"/>\
         <ellipse id=\"round-ellipse\" cx=\"50\" cy=\"9\" rx=\"14\" ry=\"6\" transform=\"rotate(-41 50 9)\"/>\
         <polygon id=\"p3\" points=\"60 1 80,9 70 30\"/><line id=\"p4\" x1=\"1\" y1=\"60\" x2=\"50\" y2=\"70\"/></g>\
         <use id=\"p5\" xlink:href=\"#sy\" x=\"100\" y=\"100\" width=\"60\" height=\"60\"/>\
         <use id=\"round-use\" href=\"#in-defs\" x=\"7\" y=\"9\" transform=\"rotate(9) scale(2)\"/>",
    );
    let aligns = [
        "xMinYMin", "xMidYMin", "xMaxYMin", "xMinYMid", "xMidYMid", "xMaxYMid", "xMinYMax",
        "xMidYMax", "xMaxYMax",
    ];
    for (i, align) in aligns.iter().enumerate() {
        for (j, how) in ["meet", "slice"].iter().enumerate() {
            inside += &format!(
                "<svg x=\"{}\" y=\"{}\" width=\"50\" height=\"20\" viewBox=\"-3 2 11 13\" preserveAspectRatio=\"{align} {how}\" overflow=\"visible\">\
                 <rect id=\"w{i}{j}\" x=\"1\" y=\"3\" width=\"50%\" height=\"10%\"/></svg>",
                10 * i,
                100 * j
            );
        }
    }
    inside += "<svg x=\"10%\" y=\"5mm\" width=\"2cm\" height=\"25%\" viewBox=\"0 0 3 9\" preserveAspectRatio=\"none\" overflow=\"visible\"><circle id=\"round-none\" cx=\"1\" cy=\"2\" r=\"1\"/></svg>";
    let painted = format!("<g fill=\"#000\" stroke=\"none\">{inside}</g>");
    let text = around(&painted);
    let ours: Drawn = read(&text);
    let mut compared = 0;
    let mut worst = 0.0_f64;
    for (id, sides_of_theirs) in theirs(&text) {
        if !id.starts_with(['p', 'w', 'r']) {
            continue;
        }
        let paths = ours
            .with_id(&id)
            .unwrap_or_else(|fault| panic!("{id}: {}", fault.message));
        for (one, other) in sides(&bounds(&paths)).into_iter().zip(sides_of_theirs) {
            worst = worst.max((one - other).abs());
            // Single precision over some hundred units, and curves looked at in 400 places; ellipses are cubics
            // there, a ten-thousandth of their size out, those of path data to a tenth of a unit.
            let slack = if id.starts_with("round") { 0.05 } else { 2e-3 };
            assert!((one - other).abs() < slack, "{id}: {one} {other}");
        }
        compared += 1;
    }
    println!("{compared} shapes, at most {worst:.1e} apart");
    assert!(compared >= 24, "{compared}");
}
