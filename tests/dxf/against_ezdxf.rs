//! Drawings written by ezdxf 1.4.2 (tests/peers/dxf/write.py) and points along their entities as ezdxf computes them.
//! `SPILE_DXF_FILES` names another folder of such files.

use std::fs;
use std::path::PathBuf;

use serde_json::Value;
use spile::import::{Drawn, DrawnPath, Piece, dxf};
use spile::shape::{Bezier, Point};

/// How near spile's curves are to ezdxf's points, millimetres: ezdxf writes sixteen digits.
const NEAR: f64 = 1e-6;

fn files() -> Vec<(String, Drawn, Value)> {
    let folder = std::env::var("SPILE_DXF_FILES").map_or_else(
        |_| PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/dxf/files"),
        PathBuf::from,
    );
    let mut paths: Vec<PathBuf> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "dxf"))
        .collect();
    paths.sort();
    assert!(paths.len() >= 5, "only {} drawings", paths.len());
    let read = |path: &PathBuf| {
        let name = path.file_stem().unwrap().to_string_lossy().into_owned();
        let drawn =
            dxf::read(&fs::read(path).unwrap()).unwrap_or_else(|fault| panic!("{name}: {fault:?}"));
        let expected = fs::read_to_string(path.with_extension("json")).unwrap();
        (name, drawn, serde_json::from_str(&expected).unwrap())
    };
    paths.iter().map(read).collect()
}

fn point(value: &Value) -> Point {
    Point::new(value[0].as_f64().unwrap(), value[1].as_f64().unwrap())
}

/// Distance from a curve by narrowing down from 200 places.
fn off_curve(curve: &Bezier, at: Point) -> f64 {
    let off = |share: f64| curve.point_at(share).distance(at);
    let places = 200;
    let nearest = (0..=places)
        .map(|place| f64::from(place) / f64::from(places))
        .min_by(|one, other| off(*one).total_cmp(&off(*other)))
        .unwrap();
    let (mut low, mut high) = ((nearest - 0.005).max(0.0), (nearest + 0.005).min(1.0));
    for _ in 0..90 {
        let (one, other) = (low + (high - low) / 3.0, high - (high - low) / 3.0);
        if off(one) < off(other) {
            high = other
        } else {
            low = one
        }
    }
    off(nearest).min(off(f64::midpoint(low, high)))
}

fn off(piece: &Piece, at: Point) -> f64 {
    match piece {
        Piece::Line { start, end } => {
            let way = *end - *start;
            let share = ((at - *start).dot(way) / way.dot(way)).clamp(0.0, 1.0);
            start.towards(*end, share).distance(at)
        }
        Piece::Arc(arc) => {
            let ends = arc.start.distance(at).min(arc.end.distance(at));
            if arc.covers_angle((at - arc.centre).angle()) {
                ends.min((at.distance(arc.centre) - arc.radius).abs())
            } else {
                ends
            }
        }
        Piece::Curve(curve) => off_curve(curve, at),
    }
}

/// Signed area that a piece sweeps about the origin; of a curve by Gauss's rule of five places in 64 parts.
fn swept(piece: &Piece) -> f64 {
    match piece {
        Piece::Line { start, end } => start.cross(*end) / 2.0,
        Piece::Arc(arc) => {
            let segment = arc.radius * arc.radius * (arc.sweep - arc.sweep.sin()) / 2.0;
            arc.start.cross(arc.end) / 2.0 + segment
        }
        Piece::Curve(curve) => {
            const GAUSS: [[f64; 2]; 3] = [
                [0.0, 128.0 / 225.0],
                [0.538_469_310_105_683, 0.478_628_670_499_366_5],
                [0.906_179_845_938_664, 0.236_926_885_056_189_1],
            ];
            let mut sum = 0.0;
            for part in 0..64 {
                for [at, weight] in GAUSS {
                    let sides: &[f64] = if at == 0.0 { &[0.0] } else { &[-1.0, 1.0] };
                    for side in sides {
                        let share = (f64::from(part) + 0.5 + side * at / 2.0) / 64.0;
                        sum += weight / 128.0
                            * curve.point_at(share).cross(curve.velocity_at(share))
                            / 2.0;
                    }
                }
            }
            sum
        }
    }
}

#[test]
fn against_ezdxf_every_point_lies_on_what_was_read() {
    let mut kinds = std::collections::BTreeMap::new();
    let mut worst: f64 = 0.0;
    for (name, drawn, expected) in files() {
        assert!(drawn.unread.is_empty(), "{name}: {:?}", drawn.unread);
        for (handle, entity) in expected["entities"].as_object().unwrap() {
            let paths: Vec<&DrawnPath> = drawn
                .with_id(handle)
                .unwrap_or_else(|fault| panic!("{name}: {fault:?}"));
            let kind = entity["kind"].as_str().unwrap();
            *kinds.entry(kind.to_owned()).or_insert(0) += 1;
            assert_eq!(
                paths[0].layer.as_deref(),
                entity["layer"].as_str(),
                "{name} {handle}"
            );
            let pieces = || paths.iter().flat_map(|path| &path.pieces);
            let points = entity["points"].as_array().unwrap();
            for at in points.iter().map(point) {
                let apart = pieces()
                    .map(|piece| off(piece, at))
                    .fold(f64::INFINITY, f64::min);
                assert!(
                    apart < NEAR,
                    "{name}: {kind} {handle} is {apart} off {at:?}"
                );
                worst = worst.max(apart);
            }
            // It is no longer than what ezdxf draws: its ends are ezdxf's.
            if kind != "INSERT" && !paths[0].closed {
                let ends = [
                    pieces().next().unwrap().start(),
                    pieces().last().unwrap().end(),
                ];
                for end in ends {
                    let found =
                        [&points[0], &points[points.len() - 1]].map(|at| point(at).distance(end));
                    assert!(
                        found[0].min(found[1]) < NEAR,
                        "{name}: {kind} {handle} ends at {end:?}"
                    );
                }
            }
            for path in &paths {
                for pair in path.pieces.windows(2) {
                    assert!(
                        pair[0].end().distance(pair[1].start()) < 1e-9,
                        "{name} {handle}"
                    );
                }
            }
            if let Some(circle) = entity["circle"].as_array() {
                let Piece::Arc(arc) = &paths[0].pieces[0] else {
                    panic!("{kind} is no arc")
                };
                assert!(arc.centre.distance(point(&entity["circle"])) < 1e-9);
                assert!((arc.radius - circle[2].as_f64().unwrap()).abs() < 1e-9);
            }
            if let Some(area) = entity["area"].as_f64() {
                assert!(paths[0].closed, "{name}: {kind} {handle} is closed");
                let own = pieces().map(swept).sum::<f64>().abs();
                assert!(
                    (own / area - 1.0).abs() < 1e-9,
                    "{name}: {kind} {handle}: {own}, {area}"
                );
            }
        }
    }
    let all = [
        "ARC",
        "CIRCLE",
        "ELLIPSE",
        "INSERT",
        "LINE",
        "LWPOLYLINE",
        "POLYLINE",
        "SPLINE",
    ];
    assert_eq!(kinds.keys().map(String::as_str).collect::<Vec<_>>(), all);
    println!("worst {worst:e} mm of {kinds:?}");
}

#[test]
fn against_ezdxf_units_are_those_of_the_header() {
    for (name, drawn, expected) in files() {
        // Release 12 has no units in its header.
        let mm = expected["mm"].as_f64().filter(|_| name != "r12");
        assert_eq!(drawn.unit, mm, "{name}");
    }
}
