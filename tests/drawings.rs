//! Drawings of decks made by hand: what a sheet must show, and what must never happen on one.

use spile::drawing::{Drawing, Mark, Paper, Scale, SheetFault, SheetRequest, View, draw};
use spile::export::{png, svg};
use spile::layout::{Layout, Place, Radii, Tape};
use spile::masking::{Masking, Pass};
use spile::outline::{DeckPlan, Edge, EdgeRing, Placement, StripShape};
use spile::pattern::{Clearance, Field, Pattern};
use spile::shape::{Arc, Point, Region, Ring, Segment};
use spile::units::{Length, LengthUnit};
use spile::{DeckJob, Job};

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

/// What of a convex polygon lies left of the line through `at` along `along`.
fn left_of(polygon: &[Point], at: Point, along: Point) -> Vec<Point> {
    let side = |one: Point| along.cross(one - at);
    let mut kept = Vec::new();
    for index in 0..polygon.len() {
        let (a, b) = (polygon[index], polygon[(index + 1) % polygon.len()]);
        if side(a) >= 0.0 {
            kept.push(a);
        }
        if side(a) * side(b) < 0.0 {
            kept.push(a.towards(b, side(a) / (side(a) - side(b))));
        }
    }
    kept
}

/// A convex polygon made smaller by `by` on every side.
fn inset(polygon: &[Point], by: f64) -> Vec<Point> {
    let mut kept = polygon.to_vec();
    for index in 0..polygon.len() {
        let (a, b) = (polygon[index], polygon[(index + 1) % polygon.len()]);
        let along = (b - a).unit();
        kept = left_of(&kept, a + along.left() * by, along);
    }
    kept
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
        is_mirror_image: false,
        place: Place::default(),
    }
}

/// A convex deck cut into fields by strips, with holes of known rings in them.
struct Plan {
    id: &'static str,
    title: String,
    outline: Vec<Point>,
    across: Vec<f64>,
    along: Vec<f64>,
    /// Openings with the hole each leaves in a field.
    openings: Vec<(Placement, Ring)>,
    fittings: Vec<(Placement, Ring)>,
}

const STRIP: f64 = 70.0;

fn deck(plan: Plan) -> DeckJob {
    let outline = Ring::polygon(&plan.outline);
    let deck_region = Region::inside(outline.clone());
    let mut pieces = vec![inset(&plan.outline, MARGIN)];
    let cut = |pieces: Vec<Vec<Point>>, at: Point, along: Point| -> Vec<Vec<Point>> {
        let left = along.left() * (STRIP / 2.0);
        pieces
            .iter()
            .flat_map(|piece| {
                [
                    left_of(piece, at + left, along),
                    left_of(piece, at - left, -along),
                ]
            })
            .filter(|piece| piece.len() > 2)
            .collect()
    };
    for x in &plan.across {
        pieces = cut(pieces, point(*x, 0.0), point(0.0, 1.0));
    }
    for y in &plan.along {
        pieces = cut(pieces, point(0.0, *y), point(1.0, 0.0));
    }
    let bounds = outline.bounding_box();
    let mut strips = Vec::new();
    for x in &plan.across {
        strips.push([point(*x, bounds.least.y), point(*x, bounds.greatest.y)]);
    }
    for y in &plan.along {
        strips.push([point(bounds.least.x, *y), point(bounds.greatest.x, *y)]);
    }
    let holes: Vec<&Ring> = plan
        .openings
        .iter()
        .chain(&plan.fittings)
        .map(|(_, hole)| hole)
        .collect();
    let mut regions: Vec<Region> = pieces
        .iter()
        .map(|piece| {
            let outer = rounded(piece, ROUND);
            let inside = holes
                .iter()
                .filter(|hole| outer.encloses(hole))
                .map(|hole| hole.reversed());
            Region::new(std::iter::once(outer.clone()).chain(inside).collect())
        })
        .collect();
    regions.sort_by(|a, b| a.centroid().x.total_cmp(&b.centroid().x));
    let rings = |of: &[(Placement, Ring)]| -> Vec<Ring> {
        of.iter().map(|(one, _)| one.ring.clone()).collect()
    };
    let openings = Region::new(rings(&plan.openings));
    let standing: Vec<Ring> = plan
        .fittings
        .iter()
        .filter(|(one, _)| one.in_place)
        .map(|(one, _)| one.ring.clone())
        .collect();
    let all_fields = Region::new(
        regions
            .iter()
            .flat_map(|one| one.rings().to_vec())
            .collect(),
    );
    let border = Region::new(
        std::iter::once(outline.clone())
            .chain(all_fields.rings().iter().map(Ring::reversed))
            .chain(openings.rings().iter().map(Ring::reversed))
            .chain(standing.iter().map(Ring::reversed))
            .collect(),
    );
    let band = |outer: &Region, by: f64| {
        // Bands of tape along each straight or round piece, good enough to look at.
        let rings = outer
            .rings()
            .iter()
            .flat_map(Ring::segments)
            .map(|segment| {
                let ends = [segment.start(), segment.end()];
                let off = [0.0, 1.0].map(|share| segment.direction_at(share).left() * by);
                match segment {
                    Segment::Line(..) => {
                        Ring::polygon(&[ends[0], ends[1], ends[1] + off[1], ends[0] + off[0]])
                    }
                    Segment::Arc(arc) => {
                        let far = Arc {
                            start: ends[1] + off[1],
                            end: ends[0] + off[0],
                            radius: (ends[1] + off[1]).distance(arc.centre),
                            sweep: -arc.sweep,
                            ..*arc
                        };
                        Ring::new(vec![
                            *segment,
                            Segment::Line(ends[1], far.start),
                            Segment::Arc(far),
                            Segment::Line(far.end, ends[0]),
                        ])
                    }
                }
            })
            .map(Ring::counter_clockwise)
            .collect();
        Region::new(rings)
    };
    let pass = |protected: &Region, painted: &Region, side: f64, edge: Region| Pass {
        working_edge: Length::mm(all_fields.perimeter()),
        line_tape: Length::mm(all_fields.perimeter() - 100.0),
        edge_tape: Length::mm(if edge.is_empty() {
            0.0
        } else {
            outline.length()
        }),
        line_runs: all_fields.rings().len(),
        edge_runs: 1,
        cover_mm2: protected.area() * 0.9,
        protected: protected.clone(),
        painted: painted.clone(),
        line_bodies: band(&all_fields, side * 19.0),
        edge_bodies: edge,
        clashes: Vec::new(),
    };
    let masking = Masking {
        first: pass(&all_fields, &border, 1.0, band(&deck_region, -36.0)),
        reversed: pass(&border, &all_fields, -1.0, Region::default()),
    };
    let fields = regions
        .into_iter()
        .enumerate()
        .map(|(number, region)| Field {
            id: format!("F{}", number + 1),
            region,
            clearance: Clearance {
                distance: Length::mm(MARGIN),
                on_field: Point::ORIGIN,
                on_obstacle: Point::ORIGIN,
            },
            tightest_round: Some(Length::mm(ROUND)),
            tightest_hollow: None,
        })
        .collect();
    DeckJob {
        plan: DeckPlan {
            id: plan.id.to_owned(),
            title: plan.title,
            outline: EdgeRing {
                edge_of_segment: vec![0; outline.segments().len()],
                ring: outline,
                edges: vec![Edge {
                    name: None,
                    margin: Length::mm(MARGIN),
                }],
            },
            openings: plan.openings.into_iter().map(|(one, _)| one).collect(),
            fittings: plan.fittings.into_iter().map(|(one, _)| one).collect(),
            smooth: Vec::new(),
            pads: Vec::new(),
            strips: strips
                .into_iter()
                .map(|middle| StripShape {
                    width: Length::mm(STRIP),
                    middle: middle.to_vec(),
                    region: Region::default(),
                })
                .collect(),
            blend: None,
            radius: Radii {
                round: Length::mm(ROUND),
                hollow: Length::ZERO,
            },
            least_width: Length::ZERO,
            least_area_mm2: 0.0,
        },
        pattern: Pattern {
            deck: deck_region,
            openings,
            fittings: Region::new(standing),
            border,
            fields,
            dropped: Vec::new(),
            warnings: Vec::new(),
        },
        masking,
    }
}

fn job(title: &str, units: LengthUnit, decks: Vec<DeckJob>) -> Job {
    Job {
        layout: Layout {
            title: title.to_owned(),
            units,
            decks: Vec::new(),
            tape: Tape::default(),
        },
        decks,
        warnings: Vec::new(),
    }
}

fn round_fitting(name: &str, at: Point, radius: f64, in_place: bool) -> (Placement, Ring) {
    (
        placement(name, Ring::circle(at, radius), 40.0, in_place),
        Ring::circle(at, radius + 40.0),
    )
}

fn hatch(name: &str, at: Point, along: f64, across: f64) -> (Placement, Ring) {
    (
        placement(name, box_ring(at, along, across, 50.0), 55.0, true),
        box_ring(at, along + 110.0, across + 110.0, 105.0),
    )
}

fn foredeck(x: f64) -> DeckJob {
    let corners = [
        (0.0, -200.0),
        (700.0, -800.0),
        (1800.0, -1250.0),
        (3400.0, -1400.0),
        (3400.0, 1400.0),
        (1800.0, 1250.0),
        (700.0, 800.0),
        (0.0, 200.0),
    ];
    deck(Plan {
        id: "foredeck",
        title: "Foredeck".to_owned(),
        outline: corners.iter().map(|(a, b)| point(x + a, *b)).collect(),
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
    let side = |sign: f64, id, title: &str| {
        let (low, high) = if sign < 0.0 {
            (-1400.0, -1010.0)
        } else {
            (1010.0, 1400.0)
        };
        deck(Plan {
            id,
            title: title.to_owned(),
            outline: vec![
                point(3500.0, low),
                point(8200.0, low + 60.0 * f64::from(sign < 0.0)),
                point(8200.0, high - 60.0 * f64::from(sign > 0.0)),
                point(3500.0, high),
            ],
            across: vec![4700.0, 5900.0, 7000.0],
            along: vec![],
            openings: vec![],
            fittings: vec![],
        })
    };
    let aft = deck(Plan {
        id: "aft",
        title: "Aft deck".to_owned(),
        outline: vec![
            point(8300.0, -1330.0),
            point(11_500.0, -1150.0),
            point(11_600.0, 0.0),
            point(11_500.0, 1150.0),
            point(8300.0, 1330.0),
        ],
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
    let work = deck(Plan {
        id: "work",
        title: "Work deck".to_owned(),
        outline: vec![
            point(0.0, -2200.0),
            point(9200.0, -2200.0),
            point(9200.0, 2200.0),
            point(0.0, 2200.0),
        ],
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
    draw(job, request).unwrap_or_else(|fault| panic!("{fault}"))
}

#[test]
fn no_text_lies_over_another_or_beyond_the_frame_on_any_sheet() {
    for (name, job) in fixtures() {
        for paper in Paper::ALL {
            for view in View::ALL {
                let drawing = drawn(&job, &request(paper, view));
                let texts: Vec<_> = drawing.texts().collect();
                for (index, text) in texts.iter().enumerate() {
                    let bounds = text.text_box().bounding_box();
                    let frame = drawing.frame;
                    assert!(
                        bounds.least.x >= frame.least.x
                            && bounds.least.y >= frame.least.y
                            && bounds.greatest.x <= frame.greatest.x
                            && bounds.greatest.y <= frame.greatest.y,
                        "{name} {paper} {view:?}: {:?} beyond the frame",
                        text.content
                    );
                    for other in &texts[index + 1..] {
                        assert!(
                            !text.text_box().overlaps(&other.text_box()),
                            "{name} {paper} {view:?}: {:?} over {:?}",
                            text.content,
                            other.content
                        );
                    }
                }
            }
        }
    }
}

#[test]
fn the_same_job_gives_the_same_bytes() {
    let request = request(Paper::A3, View::Pattern);
    let (first, second) = (
        svg(&drawn(&launch(), &request)),
        svg(&drawn(&launch(), &request)),
    );
    assert_eq!(first, second);
    let (first, second) = (png(&first, 60.0).unwrap(), png(&second, 60.0).unwrap());
    assert!(first == second);
}

#[test]
fn look_at_the_pictures() {
    let Ok(folder) = std::env::var("SPILE_LOOK") else {
        return;
    };
    for (name, job) in fixtures() {
        for paper in [Paper::A4, Paper::A3, Paper::A2, Paper::AnsiD] {
            for view in View::ALL {
                let start = std::time::Instant::now();
                let drawing = drawn(&job, &request(paper, view));
                let drawn = start.elapsed();
                let text = svg(&drawing);
                let wrote = start.elapsed();
                let picture = png(&text, 150.0).unwrap();
                let file = format!("{folder}/{name}-{paper}-{}", view.name());
                println!(
                    "{file}: draw {drawn:?}, svg {:?} {} B, png {:?} {} B, unplaced {:?}",
                    wrote - drawn,
                    text.len(),
                    start.elapsed() - wrote,
                    picture.len(),
                    drawing.unplaced
                );
                std::fs::write(format!("{file}.svg"), text).unwrap();
                std::fs::write(format!("{file}.png"), picture).unwrap();
            }
        }
    }
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
            Mark::Path(path) if path.layer == spile::drawing::Layer::Outline => Some(path),
            _ => None,
        })
        .expect("an outline");
    let length: f64 = outline.runs[0].segments.iter().map(Segment::length).sum();
    assert!((length - 2.0 * (9200.0 + 4400.0) / 50.0).abs() < 1e-9);
}
