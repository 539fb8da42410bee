//! Files for cutters: what `spile cut` writes, read back by spile's own import and by an SVG renderer, and what it says of
//! wishes that make no sense.

#![allow(
    clippy::panic,
    clippy::unwrap_used,
    clippy::print_stdout,
    reason = "a test ends where it fails, and says what it measured"
)]

#[path = "common/beside.rs"]
mod beside;

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use spile::drawing::{CutFile, CutLayer, CutRequest, Lettering, cut};
use spile::export::{cut_svg, dxf, png};
use spile::import::{self, Drawn, Piece};
use spile::layout::{self, Sources};
use spile::shape::{Ring, Segment};
use spile::units::Length;
use spile::{Job, work_out};

/// Relative difference of an area read back.
const NEAR: f64 = 1e-9;

fn layouts() -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("layouts");
    let mut paths: Vec<PathBuf> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "toml"))
        .collect();
    paths.sort();
    assert!(paths.len() >= 9);
    paths
}

fn job(path: &Path) -> Job {
    let layout = layout::read(&fs::read_to_string(path).unwrap()).unwrap();
    let sources = beside::beside(&layout);
    work_out(layout, &sources).unwrap()
}

fn demo(name: &str) -> Job {
    job(&Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("layouts/{name}.toml")))
}

fn of_text(text: &str) -> Job {
    work_out(layout::read(text).unwrap(), &Sources::default()).unwrap()
}

fn request(layers: &[CutLayer]) -> CutRequest {
    CutRequest {
        deck: None,
        fields: Vec::new(),
        layers: layers.to_vec(),
        lettering: Lettering::Text,
        bridge: None,
        weed_box: None,
    }
}

fn ring(pieces: &[Piece], unit: f64) -> Ring {
    let segment = |piece: &Piece| match piece {
        Piece::Line { start, end } => Segment::Line(*start * unit, *end * unit),
        Piece::Arc(arc) => Segment::Arc(spile::shape::Arc {
            start: arc.start * unit,
            end: arc.end * unit,
            centre: arc.centre * unit,
            radius: arc.radius * unit,
            sweep: arc.sweep,
        }),
        Piece::Curve(_) => panic!("an arc came back as a curve"),
    };
    Ring::new(pieces.iter().map(segment).collect())
}

/// Areas of the closed paths that were drawn, in their order.
fn areas(drawn: &Drawn, is_wanted: impl Fn(&import::DrawnPath) -> bool) -> Vec<f64> {
    let unit = drawn.unit.unwrap();
    let wanted = drawn.paths.iter().filter(|path| is_wanted(path));
    wanted
        .map(|path| {
            assert!(path.closed);
            ring(&path.pieces, unit).signed_area()
        })
        .collect()
}

fn own_areas(file: &CutFile, layer: CutLayer) -> Vec<f64> {
    let paths = file.paths.iter().filter(|path| path.layer == layer);
    paths
        .map(|path| Ring::new(path.run.segments.clone()).signed_area())
        .collect()
}

#[track_caller]
fn assert_alike(found: &[f64], expected: &[f64], what: &str) {
    assert_eq!(found.len(), expected.len(), "{what}");
    for (found, expected) in found.iter().zip(expected) {
        let off = (found - expected).abs() / expected.abs();
        assert!(off < NEAR, "{what}: {found} for {expected}, off by {off:e}");
    }
}

#[test]
fn every_field_of_every_demo_comes_back_from_its_files_with_its_area() {
    let mut count = 0;
    for path in layouts() {
        let job = job(&path);
        let file = cut(&job, &request(&[CutLayer::Field, CutLayer::DeckEdge])).unwrap();
        let expected = own_areas(&file, CutLayer::Field);
        count += expected.len();
        let name = path.display().to_string();
        let text = dxf(&file);
        assert_eq!(text, dxf(&file));
        let drawn = import::dxf::read(text.as_bytes()).unwrap();
        let imperial = job.layout.units.is_imperial();
        assert_eq!(drawn.unit, Some(if imperial { 25.4 } else { 1.0 }));
        let on_layer = |path: &import::DrawnPath| path.layer.as_deref() == Some("FIELD");
        assert_alike(&areas(&drawn, on_layer), &expected, &name);

        let text = cut_svg(&file);
        roxmltree::Document::parse(&text).expect("well-formed XML");
        assert!(!text.contains("style="));
        let drawn = import::svg::read(text.as_bytes()).unwrap();
        let in_group = |path: &import::DrawnPath| {
            path.id
                .as_deref()
                .is_some_and(|id| id.starts_with("FIELD-"))
        };
        // y runs down in an SVG: counter-clockwise there is clockwise here.
        let found: Vec<f64> = areas(&drawn, in_group).iter().map(|area| -area).collect();
        assert_alike(&found, &expected, &name);
    }
    println!("{count} rings");
    assert!(count > 60);
}

#[test]
fn a_field_cut_from_a_file_is_a_deck_of_its_own_with_the_same_area() {
    let job = demo("guillemot");
    let mut request = request(&[CutLayer::PaintLine]);
    request.deck = Some("side-deck-port".to_owned());
    let all = &job.decks_of(Some("side-deck-port")).unwrap()[0]
        .pattern
        .fields;
    let field = all
        .iter()
        .find(|field| field.region.rings().len() == 1)
        .unwrap();
    request.fields = vec![field.id.clone()];
    let file = cut(&job, &request).unwrap();
    let (from_dxf, from_svg) = (
        ("a.dxf", "", "{ layer = \"PAINT-LINE\" }", dxf(&file)),
        (
            "a.svg",
            "bow = \"left\"\norigin = [0, 0]\nscale = { from = [0, 0], to = [100, 0], length = 100 }\n",
            "{ path = \"PAINT-LINE-1\" }",
            cut_svg(&file),
        ),
    );
    for (name, fit, drawn, text) in [from_dxf, from_svg] {
        let layout = format!(
            "title = \"t\"\n[[drawing]]\nfile = \"{name}\"\n{fit}[[deck]]\nid = \"d\"\n[deck.outline]\ndrawn = {drawn}\n"
        );
        let mut sources = Sources::default();
        sources.add(name, text.into_bytes());
        let back = work_out(layout::read(&layout).unwrap(), &sources).unwrap();
        let area = back.decks[0].pattern.deck.area();
        let off = (area - field.region.area()).abs() / field.region.area();
        assert!(off < NEAR, "{name}: {off:e}");
    }
}

/// A deck of 2 m by 1 m with a hatch inside its one field.
const DECK: &str = r#"title = "Skerry dinghy, thwart deck"
units = "mm"

[[deck]]
id = "main"
[deck.outline]
points = [[0, -500], [2000, -500], [2000, 500], [0, 500]]
[deck.margin]
edge = 50
[deck.radius]
round = 30
[[deck.opening]]
name = "hatch"
rectangle = { at = [1000, 0], size = [400, 400], radius = 40 }
"#;

#[test]
fn bridges_hold_the_island_and_take_no_more_than_their_own_width() {
    let job = of_text(DECK);
    let whole = job.decks[0].pattern.fields[0].region.clone();
    assert_eq!(whole.rings().len(), 2);
    let request = CutRequest {
        bridge: Some(Length::mm(8.0)),
        ..request(&[CutLayer::Stencil])
    };
    let windows = own_areas(&cut(&job, &request).unwrap(), CutLayer::Stencil);
    // Cut by two bridges, the field is two windows, and neither goes round anything.
    assert_eq!(windows.len(), 2);
    assert!(windows.iter().all(|area| *area > 0.0));
    // From the hatch, 250 mm off the centreline with its margin, to the paint line at 450: 200 mm of bridge each.
    let lost = whole.area() - windows.iter().sum::<f64>();
    assert!((lost - 2.0 * 8.0 * 200.0).abs() < 1e-6, "{lost}");
}

#[test]
fn every_island_of_every_demo_is_held() {
    let mut islands = 0;
    for path in layouts() {
        let job = job(&path);
        let rings = |region: &spile::shape::Region| region.rings().len();
        let holes: usize = job
            .decks
            .iter()
            .flat_map(|deck| &deck.pattern.fields)
            .map(|field| rings(&field.region) - 1)
            .sum();
        islands += holes;
        let request = CutRequest {
            bridge: Some(Length::mm(8.0)),
            ..request(&[CutLayer::Stencil])
        };
        let file = cut(&job, &request).unwrap();
        let windows = own_areas(&file, CutLayer::Stencil);
        // Film that a window went all the way round would be a ring of its own, run clockwise.
        assert!(windows.iter().all(|area| *area > 0.0), "{}", path.display());
    }
    assert!(islands > 10, "{islands}");
}

#[test]
fn a_field_that_runs_to_the_edge_has_an_open_paint_line_and_a_closed_edge() {
    let job = of_text(
        &DECK
            .replace("edge = 50", "edge = 50\nedges = { aft = 0 }")
            .replace(
                "[2000, -500], [2000, 500]",
                "{ at = [2000, -500], edge = \"aft\" }, { at = [2000, 500], edge = \"side\" }",
            ),
    );
    let file = cut(&job, &request(&[CutLayer::PaintLine, CutLayer::Field])).unwrap();
    let is_open = |layer| {
        let paths = file.paths.iter().filter(move |path| path.layer == layer);
        paths.filter(|path| !path.run.closed).count()
    };
    assert_eq!(is_open(CutLayer::PaintLine), 1);
    assert_eq!(is_open(CutLayer::Field), 0);
}

#[test]
fn bends_tighter_than_the_cutter_are_named_with_their_place() {
    let job = of_text(DECK);
    let file = cut(&job, &request(&[CutLayer::PaintLine, CutLayer::Opening])).unwrap();
    assert!(file.tighter_than(Length::mm(30.0)).is_empty());
    let bends = file.tighter_than(Length::mm(31.0));
    assert_eq!(bends.len(), 4);
    let all: Vec<String> = bends
        .iter()
        .map(|bend| bend.sentence(job.layout.units))
        .collect();
    assert!(
        all.iter()
            .all(|bend| bend.starts_with("main F1, PAINT-LINE: an arc of radius 30")),
        "{all:?}"
    );
    // Square corners are sharper than any radius.
    let square = of_text(&DECK.replace("round = 30", "round = 0"));
    let file = cut(&square, &request(&[CutLayer::PaintLine])).unwrap();
    let corners = file.tighter_than(Length::mm(3.0));
    assert_eq!(
        corners.iter().filter(|bend| bend.radius.is_none()).count(),
        4
    );
}

#[test]
fn registration_crosses_lie_outside_and_fit_no_other_way_round() {
    let job = of_text(DECK);
    let file = cut(
        &job,
        &request(&[CutLayer::PaintLine, CutLayer::Registration]),
    )
    .unwrap();
    let bounds = |layer| {
        let paths = file.paths.iter().filter(move |path| path.layer == layer);
        paths
            .flat_map(|path| &path.run.segments)
            .map(Segment::bounding_box)
    };
    let paint = bounds(CutLayer::PaintLine)
        .reduce(|one, other| one.joined(&other))
        .unwrap();
    let centres: Vec<_> = bounds(CutLayer::Registration)
        .map(|cross| cross.centre())
        .collect();
    assert!(centres.len() >= 6);
    assert!(centres.iter().all(|at| !paint.grown(9.0).holds(*at)));
    let middle = paint.centre();
    for [x, y] in [[-1.0, 1.0], [1.0, -1.0], [-1.0, -1.0]] {
        let turned = |at: &spile::shape::Point| {
            let off = *at - middle;
            middle + spile::shape::Point::new(off.x * x, off.y * y)
        };
        let fits =
            |at: &spile::shape::Point| centres.iter().any(|other| other.distance(turned(at)) < 5.0);
        assert!(!centres.iter().all(fits));
    }
}

#[test]
fn weeding_boxes_never_run_through_a_field() {
    for path in layouts() {
        let job = job(&path);
        let request = CutRequest {
            weed_box: Some(Length::mm(40.0)),
            ..request(&[CutLayer::Field])
        };
        let file = cut(&job, &request).unwrap();
        let of = |layer| {
            file.paths
                .iter()
                .filter(move |one| one.layer == layer)
                .flat_map(|one| &one.run.segments)
        };
        assert!(of(CutLayer::WeedBox).count() >= 4);
        for side in of(CutLayer::WeedBox) {
            for edge in of(CutLayer::Field) {
                assert!(
                    side.nearest(edge).distance > Length::mm(39.9),
                    "{}",
                    path.display()
                );
            }
        }
    }
}

#[test]
fn letters_as_paths_are_closed_and_of_the_height_of_the_text() {
    let job = of_text(DECK);
    let as_text = cut(&job, &request(&[CutLayer::PaintLine])).unwrap();
    let request = CutRequest {
        lettering: Lettering::Outlines,
        ..request(&[CutLayer::PaintLine])
    };
    let file = cut(&job, &request).unwrap();
    assert!(file.texts.is_empty() && as_text.texts.len() == 1);
    let letters: Vec<_> = file
        .paths
        .iter()
        .filter(|path| path.layer == CutLayer::Text)
        .collect();
    // F and 1: an outline each.
    assert_eq!(letters.len(), 2);
    for letter in letters {
        assert!(letter.run.closed);
        let ring = Ring::new(letter.run.segments.clone());
        let height = ring.bounding_box().height();
        assert!((height - as_text.texts[0].height).abs() < 0.3, "{height}");
    }
}

#[test]
fn a_renderer_draws_the_files() {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("cut");
    fs::create_dir_all(&folder).unwrap();
    let layers = [
        CutLayer::TapeFirst,
        CutLayer::TapeReversed,
        CutLayer::DeckEdge,
        CutLayer::Opening,
        CutLayer::Fitting,
        CutLayer::Centreline,
        CutLayer::Registration,
    ];
    for (name, layer, bridge) in [
        ("lines", CutLayer::PaintLine, None),
        ("stencil", CutLayer::Stencil, Some(Length::mm(8.0))),
    ] {
        let mut request = CutRequest {
            deck: Some("foredeck".to_owned()),
            bridge,
            ..request(&[layer, CutLayer::Registration])
        };
        if bridge.is_none() {
            request.layers.extend(layers);
        } else {
            request.lettering = Lettering::Outlines;
            request.weed_box = Some(Length::mm(20.0));
        }
        let file = cut(&demo("guillemot"), &request).unwrap();
        // Hairlines are broadened, to be seen at this size.
        let svg = cut_svg(&file).replace("stroke-width=\"0.1\"", "stroke-width=\"3\"");
        let picture = png(&svg, 12.0).unwrap();
        assert!(picture.len() > 5_000);
        fs::write(folder.join(format!("{name}.png")), picture).unwrap();
    }
}

fn run(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_spile"))
        .current_dir(folder)
        .args(arguments)
        .output()
        .unwrap()
}

#[test]
fn wishes_that_make_no_sense_are_told_what_to_write() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("a.toml"), DECK).unwrap();
    for (arguments, said) in [
        (&["--out", "a.png"][..], "end the name in .dxf or .svg"),
        (
            &["--out", "a.dxf", "--only", "F7"],
            "there is no field \"F7\"; there are F1",
        ),
        (&["--out", "a.dxf", "--deck", "aft"], "main"),
        (
            &["--out", "a.dxf", "--layers", "paint,hull"],
            "possible values",
        ),
        (&["--out", "a.dxf", "--bridge", "8"], "--stencil"),
        (
            &["--out", "a.dxf", "--stencil", "--bridge", "600"],
            "too wide for the island",
        ),
        (
            &["--out", "a.dxf", "--stencil", "--bridge", "-3"],
            "--bridge -3",
        ),
        (&["--out", "a.dxf", "--weed-box", "much"], "--weed-box much"),
        (
            &["--out", "a.dxf", "--least-radius", "0"],
            "--least-radius 0",
        ),
        (&["--out", "a.dxf", "--layers", "fitting"], "no line"),
    ] {
        let output = run(folder.path(), &[&["cut", "a.toml"], arguments].concat());
        let error = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(2), "{arguments:?}: {error}");
        assert!(error.contains(said), "{arguments:?}: {error}");
        assert!(!folder.path().join("a.dxf").exists());
    }
    let good = ["cut", "a.toml", "--out", "a.dxf", "--least-radius", "50 mm"];
    let output = run(folder.path(), &good);
    assert_eq!(output.status.code(), Some(0));
    assert_eq!(String::from_utf8(output.stdout).unwrap(), "a.dxf\n");
    let error = String::from_utf8(output.stderr).unwrap();
    assert!(
        error.contains(
            "tighter than the cutter's 50.0 mm: main F1, PAINT-LINE: an arc of radius 30.0 mm at"
        ),
        "{error}"
    );
}
