//! What a person reads when a tracing cannot be laid on the deck: layouts and drawings at fault, each message as
//! it is shown.

use spile::layout::{self, Sources};

const DRAWING: &str = "<path id=\"edge\" d=\"M0 0H300V100H0Z\"/>\n<path id=\"open\" d=\"M0 0H300V100H0V1\"/>\n\
    <path id=\"eight\" d=\"M0 0L300 100V0L0 100Z\"/>\n<path id=\"two\" d=\"M0 0H9V9ZM20 0H29V9Z\"/>\n\
    <g id=\"group\"><circle r=\"5\"/><circle r=\"6\"/></g>\n<path id=\"damaged\" d=\"M0 0H300Q1 x\"/>\n\
    <circle id=\"m1\" cx=\"0\" cy=\"0\" r=\"3\"/><circle id=\"m2\" cx=\"300\" cy=\"0\" r=\"3\"/>";

/// What is said of a layout with this under `[[drawing]]` and this for an outline.
fn said(drawing: &str, outline: &str, svg: &str) -> String {
    let text = format!(
        "title = \"t\"\n\n[[drawing]]\nfile = \"a.svg\"\n{drawing}\n\n[[deck]]\nid = \"d\"\n\n[deck.outline]\ndrawn = {outline}\n"
    );
    let mut sources = Sources::default();
    sources.add("a.svg", svg.as_bytes().to_vec());
    let worked = layout::read(&text).and_then(|layout| spile::work_out(layout, &sources));
    match worked {
        Err(faults) => layout::render_faults("boat.toml", &text, &faults),
        Ok(job) => job
            .warnings
            .iter()
            .map(|warning| format!("{}: {}\n", warning.code, warning.message))
            .collect(),
    }
}

#[test]
fn every_fault_of_a_tracing_as_a_person_reads_it() {
    let edge = "{ path = \"edge\" }";
    let scale = "scale = { from = [0, 0], to = [300, 0], length = \"3 m\" }";
    let square = "marks = [{ drawn = [0, 0], at = [0, 0] }, { drawn = [300, 0], at = [3000, 0] }, \
                  { drawn = [300, 100], at = [3000, -1000] }, { drawn = [0, 100], at = [0, -1000] }]";
    let eight = |third: &str| {
        format!(
            "marks = [{{ drawn = [0, 0], at = [0, 0] }}, {{ drawn = [300, 0], at = [3000, 0] }}, \
             {{ drawn = [300, 100], at = {third} }}, {{ drawn = [0, 100], at = [0, -1000] }}, \
             {{ drawn = [150, 0], at = [1500, 0] }}, {{ drawn = [150, 80], at = [1500, -800] }}, \
             {{ drawn = [0, 50], at = [0, -500] }}, {{ drawn = [300, 50], at = [3000, -500] }}]"
        )
    };
    let mut all = String::new();
    let good = around(DRAWING);
    for (what, drawing, outline) in [
        ("no scale", "", edge),
        ("both", &*format!("{scale}\n{square}"), edge),
        (
            "one mark",
            "marks = [{ drawn = [0, 0], at = [0, 0] }]",
            edge,
        ),
        (
            "a mark that is not drawn",
            "marks = [{ drawn = \"m1\", at = [0, 0] }, { drawn = \"m3\", at = [3000, 0] }]",
            edge,
        ),
        (
            "a mark with units",
            "marks = [{ drawn = [\"1 mm\", 0], at = [0, 0] }, { drawn = \"m2\", at = [3000, 0] }]",
            edge,
        ),
        (
            "a distance of nothing",
            "scale = { from = \"m1\", to = [0, 0], length = 3000 }",
            edge,
        ),
        (
            "two marks in one place",
            &square.replace("[300, 100]", "[300, 0]"),
            edge,
        ),
        (
            "three on a line",
            &square.replace("[300, 100], at = [3000, -1000]", "[600, 0], at = [6000, 0]"),
            edge,
        ),
        (
            "crosswise",
            &square
                .replace("at = [3000, -1000]", "at = [0, -1000]")
                .replace("[0, 100], at = [0, -1000]", "[0, 100], at = [3000, -1000]"),
            edge,
        ),
        ("mirrored", &square.replace("-1000", "1000"), edge),
        ("four marks", square, edge),
        (
            "two marks",
            "marks = [{ drawn = \"m1\", at = [0, 0] }, { drawn = \"m2\", at = [3000, 0] }]",
            edge,
        ),
        ("a mark off", &eight("[3040, -1000]"), edge),
        (
            "marks exchanged",
            &eight("[1500, 0]").replace("[150, 0], at = [1500, 0]", "[150, 0], at = [3000, -1000]"),
            edge,
        ),
        ("not there", scale, "{ path = \"egde\" }"),
        ("open", scale, "{ path = \"open\" }"),
        ("crossing", scale, "{ path = \"eight\" }"),
        ("two rings", scale, "{ path = \"two\" }"),
        ("a group of two", scale, "{ path = \"group\" }"),
        ("damaged", scale, "{ path = \"damaged\" }"),
        ("a layer", scale, "{ layer = \"x\" }"),
        (
            "a slip of units",
            &scale.replace("[300, 0]", "[3, 0]").replace("3 m", "30 m"),
            "{ path = \"edge\" }",
        ),
    ] {
        all += &format!("==== {what}\n{}\n", said(drawing, outline, &good));
    }
    all += &format!("==== cut short\n{}\n", said(scale, edge, &good[..200]));
    insta::assert_snapshot!("faults_of_tracings", all);
}

/// The drawing with its own window.
fn around(inside: &str) -> String {
    super::around(inside)
}

#[test]
fn the_bow_points_where_it_is_said_to() {
    use spile::outline::{fix, trace};
    // A wedge whose sharp end is its bow, drawn four ways; its datum is the tip.
    for (bow, data, tip) in [
        ("left", "M10 50L110 20V80Z", "[10, 50]"),
        ("right", "M110 50L10 80V20Z", "[110, 50]"),
        ("up", "M50 10L80 110H20Z", "[50, 10]"),
        ("down", "M50 110L20 10H80Z", "[50, 110]"),
    ] {
        let text = format!(
            "title = \"t\"\n[[drawing]]\nfile = \"a.svg\"\nbow = \"{bow}\"\norigin = {tip}\n\
             scale = {{ from = [0, 0], to = [0, 100], length = \"1 m\" }}\n\
             [[deck]]\nid = \"d\"\n[deck.outline]\ndrawn = {{ path = \"a\" }}\n"
        );
        let layout = layout::read(&text).expect("a layout");
        let mut sources = Sources::default();
        sources.add(
            "a.svg",
            around(&format!("<path id=\"a\" d=\"{data}\"/>")).into_bytes(),
        );
        let fixed = fix(&layout, &sources).expect("a drawing");
        let (plan, _) = trace(&layout.decks[0], &fixed).expect("a deck");
        let bounds = plan.outline.ring.bounding_box();
        assert!(
            bounds.least.distance(spile::shape::Point::new(0.0, -300.0)) < 1e-9,
            "{bow}: {bounds:?}"
        );
        assert!(
            bounds
                .greatest
                .distance(spile::shape::Point::new(1000.0, 300.0))
                < 1e-9,
            "{bow}"
        );
        let tip = spile::shape::Point::ORIGIN;
        let starts = |segment: &spile::shape::Segment| segment.start().distance(tip) < 1e-9;
        assert!(plan.outline.ring.segments().iter().any(starts), "{bow}");
    }
}
