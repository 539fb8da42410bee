//! Drawings of decks made by hand: what a sheet must show, and what must never happen on one.

#[path = "common/beside.rs"]
mod beside;
#[path = "../src/concurrent.rs"]
#[allow(dead_code, reason = "a test needs one of its ways")]
mod concurrent;
#[path = "common/stands_free.rs"]
mod stands_free;

use spile::drawing::{
    Anchor, Drawing, Layer, Mark, Paper, Roll, Scale, SheetFault, SheetRequest, TemplateRequest,
    View, Wanted, draw, form, full_size, sketches, template,
};
use spile::export::{png, svg};
use spile::layout::{Layout, Place, Radii, Sources, Tape};
use spile::masking::mask;
use spile::outline::measuring::{Counts, Measuring};
use spile::outline::{DeckPlan, Edge, EdgeRing, Placement, StripShape};
use spile::pattern::lay_out;
use spile::shape::{Arc, Point, Region, Ring, Segment};
use spile::units::{Length, LengthUnit};
use spile::{DeckJob, Job};
use stands_free::assert_drawing_stands_free;

const MARGIN: f64 = 60.0;
const ROUND: f64 = 40.0;

fn point(x: f64, y: f64) -> Point {
    Point::new(x, y)
}

/// A counter-clockwise polygon with its corners rounded.
fn rounded(corners: &[Point], radius: f64) -> Ring {
    let count = corners.len();
    let mut segments: Vec<Segment> = Vec::new();
    for index in 0..count {
        let (before, at, after) = (
            corners[(index + count - 1) % count],
            corners[index],
            corners[(index + 1) % count],
        );
        let (into, out) = ((at - before).unit(), (after - at).unit());
        let turn = into.cross(out).atan2(into.dot(out));
        let cut = radius * (turn / 2.0).tan();
        let (start, end) = (at - into * cut, at + out * cut);
        if let Some(last) = segments.last() {
            segments.push(Segment::Line(last.end(), start));
        }
        segments.push(Segment::Arc(Arc {
            start,
            end,
            centre: start + into.left() * radius,
            radius,
            sweep: turn,
        }));
    }
    let (first, last) = (segments[0].start(), segments[segments.len() - 1].end());
    segments.push(Segment::Line(last, first));
    Ring::new(segments)
}

fn box_ring(centre: Point, along: f64, across: f64, radius: f64) -> Ring {
    let (x, y) = (along / 2.0, across / 2.0);
    rounded(
        &[
            centre + point(-x, -y),
            centre + point(x, -y),
            centre + point(x, y),
            centre + point(-x, y),
        ],
        radius,
    )
}

fn placement(name: &str, ring: Ring, margin: f64, in_place: bool) -> Placement {
    Placement {
        name: name.to_owned(),
        ring,
        margin: Length::mm(margin),
        in_place,
        is_glazed: false,
        is_mirror_image: false,
        place: Place::default(),
    }
}

/// A deck as it was measured.
struct Measured {
    id: &'static str,
    title: &'static str,
    outline: Ring,
    across: Vec<f64>,
    along: Vec<f64>,
    openings: Vec<Placement>,
    fittings: Vec<Placement>,
}

const STRIP: f64 = 70.0;

fn deck(measured: Measured) -> DeckJob {
    let outline = measured.outline;
    let bounds = outline.bounding_box();
    let band = |from: Point, to: Point| {
        let side = (to - from).unit().left() * (STRIP / 2.0);
        StripShape {
            width: Length::mm(STRIP),
            middle: vec![from, to],
            region: Region::inside(Ring::polygon(&[
                from - side,
                to - side,
                to + side,
                from + side,
            ])),
            place: Place::default(),
        }
    };
    let across = measured
        .across
        .iter()
        .map(|x| band(point(*x, bounds.least.y), point(*x, bounds.greatest.y)));
    let along = measured
        .along
        .iter()
        .map(|y| band(point(bounds.least.x, *y), point(bounds.greatest.x, *y)));
    let plan = DeckPlan {
        id: measured.id.to_owned(),
        title: measured.title.to_owned(),
        units: LengthUnit::Millimetre,
        strips: across.chain(along).collect(),
        outline: EdgeRing {
            edge_of_segment: vec![0; outline.segments().len()],
            ring: outline,
            edges: vec![Edge {
                name: None,
                margin: Length::mm(MARGIN),
            }],
        },
        openings: measured.openings,
        fittings: measured.fittings,
        smooth: Vec::new(),
        pads: Vec::new(),
        walks: Vec::new(),
        footholds: Vec::new(),
        blend: None,
        radius: Radii {
            round: Length::mm(ROUND),
            hollow: Length::ZERO,
        },
        least_width: Length::ZERO,
        least_area_mm2: 0.0,
        ways_off: Vec::new(),
        fairness: None,
    };
    let pattern = lay_out(&plan);
    let masking = mask(&pattern, &Tape::default());
    DeckJob {
        plan,
        surface: None,
        pattern,
        masking,
    }
}

fn job(title: &str, units: LengthUnit, decks: Vec<DeckJob>) -> Job {
    Job {
        rolls: spile::masking::RollPlan::default(),
        fixed: spile::outline::Fixed::default(),
        layout: Layout {
            survey: None,
            drawings: Vec::new(),
            title: title.to_owned(),
            units,
            decks: Vec::new(),
            tape: Tape::default(),
            work: spile::layout::Work::default(),
            underfoot: spile::layout::UnderfootSettings::default(),
        },
        materials: spile::takeoff::Materials::default(),
        weather: None,
        decks,
        warnings: Vec::new(),
    }
}

fn round_fitting(name: &str, at: Point, radius: f64, in_place: bool) -> Placement {
    placement(name, Ring::circle(at, radius), 40.0, in_place)
}

fn hatch(name: &str, at: Point, along: f64, across: f64) -> Placement {
    placement(name, box_ring(at, along, across, 50.0), 55.0, true)
}

fn foredeck(x: f64) -> DeckJob {
    // A rounded shoulder on either side, a blunt bow.
    let at = |a: f64, b: f64| point(x + a, b);
    let side = |from: Point, through: Point, to: Point| {
        Segment::Arc(Arc::through(from, through, to).expect("three points of a curve"))
    };
    let outline = Ring::new(vec![
        side(at(0.0, -150.0), at(1300.0, -1090.0), at(3400.0, -1400.0)),
        Segment::Line(at(3400.0, -1400.0), at(3400.0, 1400.0)),
        side(at(3400.0, 1400.0), at(1300.0, 1090.0), at(0.0, 150.0)),
        Segment::Line(at(0.0, 150.0), at(0.0, -150.0)),
    ]);
    deck(Measured {
        id: "foredeck",
        title: "Foredeck",
        outline,
        across: vec![x + 1200.0, x + 2400.0],
        along: vec![0.0],
        openings: vec![
            hatch("fore hatch", point(x + 1800.0, 560.0), 600.0, 600.0),
            hatch("vent", point(x + 2900.0, -800.0), 250.0, 200.0),
        ],
        fittings: vec![
            round_fitting("cleat", point(x + 900.0, 560.0), 60.0, true),
            round_fitting("cleat", point(x + 900.0, -560.0), 60.0, true),
            round_fitting("windlass", point(x + 500.0, 250.0), 90.0, false),
            round_fitting("stanchion base", point(x + 3100.0, 1150.0), 35.0, true),
            round_fitting("stanchion base", point(x + 3100.0, -1150.0), 35.0, true),
        ],
    })
}

fn launch() -> Job {
    let side = |sign: f64, id, title| {
        let (low, high) = if sign < 0.0 {
            (-1400.0, -1010.0)
        } else {
            (1010.0, 1400.0)
        };
        deck(Measured {
            id,
            title,
            outline: Ring::polygon(&[
                point(3500.0, low),
                point(8200.0, low + 60.0 * f64::from(sign < 0.0)),
                point(8200.0, high - 60.0 * f64::from(sign > 0.0)),
                point(3500.0, high),
            ]),
            across: vec![4700.0, 5900.0, 7000.0],
            along: vec![],
            openings: vec![],
            fittings: vec![],
        })
    };
    let aft = deck(Measured {
        id: "aft",
        title: "Aft deck",
        outline: Ring::polygon(&[
            point(8300.0, -1330.0),
            point(11_500.0, -1150.0),
            point(11_600.0, 0.0),
            point(11_500.0, 1150.0),
            point(8300.0, 1330.0),
        ]),
        across: vec![9900.0],
        along: vec![0.0],
        openings: vec![hatch(
            "lazarette hatch",
            point(10_700.0, 500.0),
            500.0,
            450.0,
        )],
        fittings: vec![
            round_fitting("bitts", point(9200.0, 900.0), 80.0, true),
            round_fitting("bitts", point(9200.0, -900.0), 80.0, true),
        ],
    });
    job(
        "Guillemot, all decks",
        LengthUnit::Millimetre,
        vec![
            foredeck(0.0),
            side(-1.0, "port", "Port side deck"),
            side(1.0, "starboard", "Starboard side deck"),
            aft,
        ],
    )
}

fn workboat() -> Job {
    let mut fittings = Vec::new();
    for number in 0..15 {
        for y in [-1900.0_f64, -640.0, 640.0, 1900.0] {
            let x = 350.0 + 600.0 * f64::from(number);
            let name = if y.abs() > 1000.0 {
                "stanchion base"
            } else {
                "container lock"
            };
            fittings.push(round_fitting(name, point(x, y), 50.0, true));
        }
    }
    let work = deck(Measured {
        id: "work",
        title: "Work deck",
        outline: Ring::polygon(&[
            point(0.0, -2200.0),
            point(9200.0, -2200.0),
            point(9200.0, 2200.0),
            point(0.0, 2200.0),
        ]),
        across: vec![1250.0, 3050.0, 4850.0, 6650.0],
        along: vec![-1200.0, 0.0, 1200.0],
        openings: vec![hatch("hold hatch", point(2150.0, 1600.0), 300.0, 320.0)],
        fittings,
    });
    job("Razorbill, work deck", LengthUnit::Millimetre, vec![work])
}

fn small_boat() -> Job {
    job("Dabchick, foredeck", LengthUnit::Foot, vec![foredeck(0.0)])
}

fn hostile() -> Job {
    let mut bad = foredeck(0.0);
    bad.plan.title = "<b>Deck & \u{202e}more\u{0}</b> ".repeat(40);
    for (number, fitting) in bad.plan.fittings.iter_mut().enumerate() {
        fitting.name = format!("甲板 {number} {}", "very long name ".repeat(20));
    }
    bad.plan.openings[0].name = "\u{1}".to_owned();
    let title = "A title that goes on & on <without> \"end\" ".repeat(30);
    job(&title, LengthUnit::Metre, vec![bad])
}

fn fixtures() -> Vec<(&'static str, Job)> {
    vec![
        (
            "foredeck",
            job(
                "Guillemot, foredeck",
                LengthUnit::Millimetre,
                vec![foredeck(0.0)],
            ),
        ),
        ("launch", launch()),
        ("workboat", workboat()),
        ("small", small_boat()),
        ("hostile", hostile()),
    ]
}

fn request(paper: Paper, view: View) -> SheetRequest {
    SheetRequest {
        paper,
        view,
        ..SheetRequest::default()
    }
}

fn drawn(job: &Job, request: &SheetRequest) -> Drawing {
    draw(job, request).expect("a drawing that fits")
}

/// No text over another, none beyond the frame, on any sheet in any view.
fn assert_texts_stand_free(name: &str, job: &Job) {
    for paper in Paper::ALL {
        for view in View::ALL.into_iter().chain([
            View::Survey,
            View::Fairness,
            View::Developed,
            View::Underfoot,
            View::OrderAll,
            View::OrderBorder,
            View::OrderFields,
        ]) {
            // These take a while to work out: on the smallest, the usual and the largest sheet.
            let is_tried = [Paper::A4, Paper::A3, Paper::Tabloid, Paper::A0].contains(&paper);
            let takes_long = view == View::Underfoot || view.ordered().is_some();
            if takes_long && !is_tried {
                continue;
            }
            let drawing = match draw(job, &request(paper, view)) {
                Err(SheetFault::NoSurvey) if view == View::Survey => continue,
                Err(SheetFault::NoOrder) if view.ordered().is_some() => continue,
                Err(SheetFault::FlatAlready { .. } | SheetFault::SeveralDecks { .. })
                    if view == View::Developed =>
                {
                    continue;
                }
                Err(SheetFault::NoHalfBreadths) if view == View::Fairness => continue,
                drawing => drawing.expect("a drawing that fits"),
            };
            assert_drawing_stands_free(&format!("{name} {paper} {view:?}"), &drawing);
        }
    }
}

#[test]
fn nothing_on_a_measuring_sheet_lies_over_anything_else_or_off_the_page() {
    let long = "wheelhouse top, starboard quarter, abaft the funnel ".repeat(4);
    let metric = LengthUnit::Millimetre;
    for (length, beam, units) in [
        (3400.0, 2800.0, metric),
        (11_600.0, 3900.0, LengthUnit::Foot),
        (900.0, 5200.0, LengthUnit::Metre),
        (1e6, 20.0, metric),
    ] {
        for counts in [
            Counts::default(),
            Counts {
                stations: Some(90),
                marks: Some(30),
                points: Some(120),
            },
        ] {
            let (length, beam) = (Length::mm(length), Length::mm(beam));
            let measuring = Measuring::of_size(&long, length, beam, units, counts);
            for paper in Paper::ALL {
                let pages = form(&measuring, paper, Some("2031-04-02"));
                assert!(pages.len() >= 6, "{} pages", pages.len());
                for (number, page) in pages.iter().enumerate() {
                    let name = format!("{length:?} {units:?} {paper} page {}", number + 1);
                    assert_drawing_stands_free(&name, page);
                }
            }
        }
    }
    for (name, job) in fixtures() {
        let plans: Vec<&DeckPlan> = job.decks.iter().map(|deck| &deck.plan).collect();
        let measuring = Measuring::again(&job.layout, &plans, Counts::default());
        for paper in [Paper::A4, Paper::Letter, Paper::Tabloid] {
            for page in form(&measuring, paper, None) {
                assert_drawing_stands_free(name, &page);
            }
        }
    }
    for (name, sketch) in sketches() {
        assert_drawing_stands_free(name, &sketch);
    }
}

#[test]
fn nothing_on_a_template_lies_over_anything_else_or_off_the_page() {
    for (name, job) in fixtures() {
        for half in [false, true] {
            let wanted = Wanted {
                half,
                ..Wanted::default()
            };
            let Ok(full) = full_size(&job, &wanted) else {
                continue;
            };
            for (paper, roll) in [
                (Paper::A4, None),
                (Paper::Tabloid, None),
                (Paper::Letter, Some(Length::mm(610.0))),
            ] {
                let request = TemplateRequest {
                    paper,
                    half,
                    roll: roll.map(|width| Roll {
                        width,
                        is_across: half,
                    }),
                    ..TemplateRequest::default()
                };
                let made = template(&full, &request).expect("it can be");
                for (number, page) in made.pages.iter().enumerate() {
                    let name = format!("{name} {paper} {roll:?} page {}", number + 1);
                    assert_drawing_stands_free(&name, page);
                    assert_marks_lie_within(&name, page);
                }
            }
        }
    }
}

fn assert_marks_lie_within(name: &str, drawing: &Drawing) {
    let frame = drawing.frame.grown(1e-6);
    for mark in &drawing.marks {
        if let Mark::Path(path) = mark {
            for segment in path.runs.iter().flat_map(|run| &run.segments) {
                let bounds = segment.bounding_box();
                assert!(
                    frame.holds(bounds.least) && frame.holds(bounds.greatest),
                    "{name}: {:?} beyond the frame",
                    path.layer
                );
            }
        }
    }
}

#[test]
fn a_measuring_sheet_asks_for_every_station_point_opening_and_fitting_and_tells_no_figure() {
    let job = launch();
    let plans: Vec<&DeckPlan> = job.decks.iter().map(|deck| &deck.plan).collect();
    let measuring = Measuring::again(&job.layout, &plans, Counts::default());
    let pages = form(&measuring, Paper::A4, None);
    let all: Vec<&str> = pages
        .iter()
        .flat_map(Drawing::texts)
        .map(|text| text.content.as_str())
        .collect();
    for deck in &measuring.decks {
        for name in deck.openings.iter().chain(&deck.fittings) {
            assert!(all.contains(&name.as_str()), "{name}");
        }
        for station in &deck.stations {
            let shown = station.show_bare(measuring.units);
            assert!(all.contains(&shown.as_str()), "{shown}");
        }
    }
    assert!(all.iter().any(|text| text.contains("Take care")));
}

#[test]
fn the_squared_page_is_to_scale() {
    let metric = LengthUnit::Millimetre;
    let size = (Length::mm(3400.0), Length::mm(2800.0));
    let measuring = Measuring::of_size("Foredeck", size.0, size.1, metric, Counts::default());
    let pages = form(&measuring, Paper::A4, None);
    let plot = pages.last().expect("a page");
    assert!(
        plot.texts()
            .any(|text| text.content.starts_with("Plot, 1:20.")),
        "the largest standard scale that fits"
    );
    let along = |figure: &str| {
        let mut texts = plot.texts();
        let text = texts.find(|text| text.content == figure && text.anchor == Anchor::Middle);
        text.expect("a station's figure").at.x
    };
    assert!((along("2500") - along("0") - 125.0).abs() < 1e-9);
}

#[test]
fn no_text_lies_over_another_or_beyond_the_frame_on_any_sheet() {
    concurrent::each(&fixtures(), |(name, job)| {
        assert_texts_stand_free(name, job);
    });
}

#[test]
fn texts_stand_free_on_every_sheet_of_the_demo_boats() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/layouts");
    let mut files: Vec<_> = std::fs::read_dir(folder)
        .expect("the demo layouts")
        .map(|entry| entry.expect("a file").path())
        .filter(|path| path.extension().is_some_and(|end| end == "toml"))
        .collect();
    files.sort();
    assert!(files.len() >= 5);
    concurrent::each(&files, |file| {
        let text = std::fs::read_to_string(file).expect("a layout");
        let layout = spile::layout::read(&text).expect("no faults");
        let sources = beside::beside(&layout);
        let job = spile::work_out(layout, &sources).expect("no faults");
        assert_texts_stand_free(&file.display().to_string(), &job);
    });
}

/// A deck measured on both sides, port wider, with a half-breadth to starboard 40 mm too great.
const TWO_SIDES: &str = r#"
title = "Guillemot, foredeck"
[[deck]]
id = "foredeck"
[deck.outline]
starboard = [[0, 0], [300, 398], [600, 706], [1000, 994], [1500, 1258], [2000, 1356], [2500, 1440], [3000, 1494],
  [3500, 1526], [4000, 1544], [4500, 1548], [5000, 1540]]
port = [[0, 0], [300, 400], [600, 712], [1000, 1004], [1500, 1232], [2000, 1374], [2500, 1462], [3100, 1528],
  [3500, 1554], [4000, 1574], [4500, 1580], [5000, 1574]]
"#;

#[test]
fn the_sides_fairness_shows_what_disagrees_and_how_the_sides_differ() {
    let layout = spile::layout::read(TWO_SIDES).expect("no faults");
    let job = spile::work_out(layout, &Sources::default()).expect("no faults");
    assert_texts_stand_free("two sides", &job);
    let drawing = drawn(&job, &request(Paper::A3, View::Fairness));
    let says_some = |words: &str| drawing.texts().any(|text| text.content.contains(words));
    assert!(says_some("mm further in"), "the batten passes the bump");
    for figure in ["1258", "1232", "1528", "3100"] {
        assert!(says(&drawing, figure), "{figure}");
    }
    assert!(says_some("times enlarged") && says_some("a tooth of"));
    assert!(drawing.unplaced.is_empty(), "{:?}", drawing.unplaced);
    let none = draw(&workboat(), &request(Paper::A3, View::Fairness));
    assert_eq!(none, Err(SheetFault::NoHalfBreadths));
}

#[test]
fn the_same_job_gives_the_same_bytes() {
    let request = request(Paper::A3, View::Pattern);
    let (first, second) = (
        svg(&drawn(&launch(), &request)),
        svg(&drawn(&launch(), &request)),
    );
    assert_eq!(first, second);
    let (first, second) = (png(&first, 60.0), png(&second, 60.0));
    assert!(first.is_ok() && first == second);
}

#[test]
fn a_scale_that_is_too_large_names_the_one_that_fits() {
    let fault = draw(
        &launch(),
        &SheetRequest {
            scale: Scale::one_to(10),
            ..request(Paper::A3, View::Pattern)
        },
    )
    .expect_err("11.6 m at 1:10 is no A3");
    assert!(matches!(fault, SheetFault::TooLarge { .. }));
    assert!(fault.to_string().contains("1:50"), "{fault}");
}

#[test]
fn a_path_on_the_sheet_is_the_deck_at_scale() {
    let drawing = drawn(
        &workboat(),
        &SheetRequest {
            scale: Scale::one_to(50),
            ..request(Paper::A3, View::Pattern)
        },
    );
    let outline = drawing
        .marks
        .iter()
        .find_map(|mark| match mark {
            Mark::Path(path) if path.layer == Layer::Outline => Some(path),
            _ => None,
        })
        .expect("an outline");
    let length: f64 = outline.runs[0].segments.iter().map(Segment::length).sum();
    assert!((length - 2.0 * (9200.0 + 4400.0) / 50.0).abs() < 1e-9);
}

fn says(drawing: &Drawing, wanted: &str) -> bool {
    drawing.texts().any(|text| text.content == wanted)
}

#[test]
fn every_different_margin_strip_and_radius_is_on_the_sheet() {
    let job = fixtures().swap_remove(0).1;
    let drawing = drawn(&job, &request(Paper::A3, View::Pattern));
    // Margins of edge, hatches and fittings; the strips; the deck's own size.
    for figure in ["60", "55", "40", "70", "3400"] {
        assert!(says(&drawing, figure), "{figure}");
    }
    // Six fields with four corners each; round a cleat of 60 with a margin of 40.
    for radius in ["R40 (×24)", "R100 (×2)"] {
        assert!(says(&drawing, radius), "{radius}");
    }
    for (field, area) in job.decks[0]
        .pattern
        .fields
        .iter()
        .map(|field| (&field.id, field.region.area()))
    {
        let area = format!("{:.3} m²", area / 1e6);
        let named = drawing.texts().any(|text| text.content.starts_with(field));
        let measured = drawing.texts().any(|text| text.content.contains(&area));
        assert!(named && measured, "{field} {area}");
    }
    assert!(drawing.unplaced.is_empty(), "{:?}", drawing.unplaced);
}

#[test]
fn both_passes_say_in_the_zones_what_to_cover_and_what_to_paint() {
    let job = fixtures().swap_remove(0).1;
    for (view, field_word, border_word) in [
        (View::First, "COVER", "PAINT"),
        (View::Reversed, "PAINT", "COVER"),
    ] {
        let drawing = drawn(&job, &request(Paper::A3, view));
        let labels = |word: &str| {
            drawing
                .texts()
                .filter(|text| text.layer == Layer::Labels && text.content.ends_with(word))
                .count()
        };
        assert!(labels(field_word) >= job.decks[0].pattern.fields.len());
        assert!(labels(border_word) >= 3);
        let tape = drawing
            .marks
            .iter()
            .any(|mark| matches!(mark, Mark::Path(path) if path.layer == Layer::LineTape));
        assert!(tape);
    }
}

#[test]
fn the_svg_is_at_true_scale_with_true_arcs_and_no_styles() {
    let drawing = drawn(&launch(), &request(Paper::A3, View::First));
    let text = svg(&drawing);
    assert!(text.contains("width=\"420mm\" height=\"297mm\" viewBox=\"0 0 420 297\""));
    assert!(!text.contains("style"));
    // A corner of 40 mm at 1:50.
    assert!(text.contains("A0.8 0.8 0 0 "));
    assert_eq!(
        text.matches("<text ").count(),
        text.matches("textLength=").count()
    );
}

#[test]
fn hostile_names_are_shown_as_text_and_never_as_markup() {
    let drawing = drawn(&hostile(), &request(Paper::A4, View::Pattern));
    let text = svg(&drawing);
    assert!(!text.contains("<b>"));
    assert!(text.contains("&lt;"));
    // Characters that the font lacks leave a sign that something stood there.
    assert!(text.contains('\u{fffd}'));
    assert!(!text.chars().any(|one| one.is_control() && one != '\n'));
    assert!(png(&text, 72.0).is_ok());
}

#[test]
fn a_picture_has_the_size_of_its_sheet_and_says_its_resolution() {
    let text = svg(&drawn(&small_boat(), &request(Paper::A4, View::Pattern)));
    let picture = png(&text, 100.0).expect("a picture");
    let number =
        |at: usize| u32::from_be_bytes(picture[at..at + 4].try_into().expect("four bytes"));
    // 297 and 210 mm at 100 dots an inch.
    assert_eq!((number(16), number(20)), (1169, 827));
    assert_eq!(&picture[37..41], b"pHYs");
    // 100 / 0.0254 m.
    assert_eq!((number(41), picture[49]), (3937, 1));
}

#[test]
fn a_sheet_stands_upright_where_that_draws_larger() {
    let athwart = deck(Measured {
        id: "bridge",
        title: "Bridge deck",
        outline: Ring::polygon(&[
            point(0.0, -2000.0),
            point(1000.0, -2000.0),
            point(1000.0, 2000.0),
            point(0.0, 2000.0),
        ]),
        across: vec![],
        along: vec![-700.0, 700.0],
        openings: vec![],
        fittings: vec![],
    });
    let job = job("Bridge", LengthUnit::Millimetre, vec![athwart]);
    let drawing = drawn(&job, &request(Paper::A4, View::Pattern));
    assert!(drawing.height > drawing.width);
    let alone = SheetRequest {
        deck: Some("bridle".to_owned()),
        ..request(Paper::A4, View::Pattern)
    };
    let fault = draw(&job, &alone).expect_err("no such deck");
    assert!(fault.to_string().contains("bridge"), "{fault}");
}

#[test]
fn one_deck_alone_is_drawn_larger_than_all_together() {
    let all = drawn(&launch(), &request(Paper::A3, View::Pattern));
    let alone = SheetRequest {
        deck: Some("aft".to_owned()),
        ..request(Paper::A3, View::Pattern)
    };
    assert!(drawn(&launch(), &alone).scale < all.scale);
}

/// A deck with warnings that have a place, a clash, a pad and an area kept smooth.
fn faulty() -> Job {
    let text = r#"
title = "Teal"
[[deck]]
id = "deck"
[deck.outline]
points = [[0, -800], [2400, -800], [2400, 800], [0, 800]]
[deck.radius]
round = 30
hollow = 100
[deck.margin]
edge = 40
opening = 30
[[deck.opening]]
name = "hatch"
rectangle = { at = [1500, 0], size = [500, 500] }
[[deck.strip]]
width = 15
across_at = [1000]
[[deck.smooth]]
name = "anchor area"
slot = { from = [200, 0], to = [500, 0], width = 200 }
[[deck.pad]]
name = "walk"
rectangle = { at = [1200, 0], size = [2300, 1500], radius = 30 }
"#;
    let layout = spile::layout::read(text).expect("no faults");
    spile::work_out(layout, &Sources::default()).expect("no faults")
}

#[test]
fn a_warning_with_a_place_has_its_number_there_and_in_the_notes() {
    let job = faulty();
    let places = job
        .warnings
        .iter()
        .filter(|warning| warning.code != "tape-clash" && warning.at.is_some())
        .count();
    assert!(places > 0);
    let drawing = drawn(&job, &request(Paper::A3, View::Pattern));
    for number in 1..=places {
        let name = format!("W{number}");
        assert!(says(&drawing, &name), "{name}");
        let listed = drawing.texts().any(|text| {
            text.layer == Layer::Sheet && text.content.starts_with(&format!("{name} "))
        });
        assert!(listed, "{name}");
    }
    assert_texts_stand_free("faulty", &job);
}

#[test]
fn a_clash_is_ringed_in_the_pass_it_happens_in_with_the_tape_that_would_do() {
    let job = faulty();
    assert_eq!(job.decks[0].masking.reversed.clashes.len(), 1);
    assert!(says(
        &drawn(&job, &request(Paper::A3, View::Reversed)),
        "CLASH 15 mm"
    ));
    let first = drawn(&job, &request(Paper::A3, View::First));
    assert!(!first.texts().any(|text| text.content.contains("CLASH")));
}

#[test]
fn pads_and_areas_kept_smooth_are_outlined_named_and_explained() {
    let drawing = drawn(&faulty(), &request(Paper::A3, View::Pattern));
    let outlined = drawing
        .marks
        .iter()
        .filter(|mark| matches!(mark, Mark::Path(path) if path.layer == Layer::Areas))
        .count();
    assert_eq!(outlined, 2);
    let words: Vec<&str> = drawing.texts().map(|text| text.content.as_str()).collect();
    for wanted in ["walk, pad", "anchor area, smooth"] {
        assert!(words.contains(&wanted), "{wanted}: {words:?}");
    }
    assert!(
        words
            .iter()
            .any(|word| word.starts_with("area kept smooth"))
    );
}

#[test]
fn decks_that_meet_are_said_to_share_the_edge_tapes_ground() {
    // The side decks of the launch run from the foredeck's after edge to the aft deck's forward one.
    let text = include_str!("../layouts/guillemot.toml");
    let layout = spile::layout::read(text).expect("no faults");
    let job = spile::work_out(layout, &Sources::default()).expect("no faults");
    let said = |view, deck: Option<&str>| {
        let request = SheetRequest {
            deck: deck.map(str::to_owned),
            ..request(Paper::A3, view)
        };
        drawn(&job, &request)
            .texts()
            .any(|text| text.content.starts_with("Where decks meet"))
    };
    assert!(said(View::First, None));
    assert!(!said(View::First, Some("foredeck")));
    assert!(!said(View::Reversed, None));
}

#[test]
fn arcs_in_the_svg_read_back_as_the_fields_own_radii() {
    let job = fixtures().swap_remove(0).1;
    let drawing = drawn(&job, &request(Paper::A3, View::Pattern));
    let share = 1.0 / drawing.scale.divisor();
    let text = svg(&drawing);
    let fields = text
        .split("<g class=\"fields\">")
        .nth(1)
        .and_then(|rest| rest.split("</g>").next())
        .expect("the fields");
    let read: Vec<f64> = fields
        .split('A')
        .skip(1)
        .filter_map(|arc| arc.split(' ').next()?.parse().ok())
        .collect();
    let own: Vec<f64> = job.decks[0]
        .pattern
        .fields
        .iter()
        .flat_map(|field| field.region.segments())
        .filter_map(|segment| match segment {
            Segment::Arc(arc) => Some(arc.radius * share),
            Segment::Line(..) => None,
        })
        .collect();
    assert!(!read.is_empty());
    for radius in &read {
        assert!(
            own.iter().any(|one| (one - radius).abs() <= 0.0005 + 1e-9),
            "{radius}"
        );
    }
    for radius in &own {
        assert!(
            read.iter().any(|one| (one - radius).abs() <= 0.0005 + 1e-9),
            "{radius}"
        );
    }
}
