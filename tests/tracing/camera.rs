//! A phone held over the bow: a pinhole camera that looks down on a flat deck.

use spile::import::Piece;
use spile::shape::{Bezier, Point, Transformation};

/// Width and height of the picture, pixels.
pub(crate) const PICTURE: [f64; 2] = [3000.0, 4000.0];
/// Focal length, pixels: 64 degrees across.
const FOCAL: f64 = 2400.0;

type Space = [f64; 3];

fn dot(a: Space, b: Space) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn cross(a: Space, b: Space) -> Space {
    [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ]
}

fn unit(a: Space) -> Space {
    let length = dot(a, a).sqrt();
    a.map(|part| part / length)
}

/// From the deck (station aft, distance to starboard) to the pixels of a picture taken from `eye` (station,
/// to starboard, up) towards the point `at` of the deck.
pub(crate) fn view(eye: Space, at: Point) -> Transformation {
    let ahead = unit([at.x - eye[0], at.y - eye[1], -eye[2]]);
    let right = unit(cross(ahead, [0.0, 0.0, 1.0]));
    let down = cross(ahead, right);
    let row = |axis: Space, middle: f64| -> [f64; 3] {
        // Focal length times the part along `axis`, and the picture's middle times the depth.
        let part = |i: usize| FOCAL * axis[i] + middle * ahead[i];
        [
            part(0),
            part(1),
            -(part(0) * eye[0] + part(1) * eye[1] + part(2) * eye[2]),
        ]
    };
    Transformation {
        rows: [
            row(right, PICTURE[0] / 2.0),
            row(down, PICTURE[1] / 2.0),
            [ahead[0], ahead[1], -dot(ahead, eye)],
        ],
    }
}

/// The view that the demo photograph was taken with.
pub(crate) fn over_the_bow() -> Transformation {
    view([-700.0, 120.0, 1650.0], Point::new(1150.0, -20.0))
}

fn line(start: [f64; 2], end: [f64; 2]) -> Piece {
    Piece::Line {
        start: Point::new(start[0], start[1]),
        end: Point::new(end[0], end[1]),
    }
}

fn cubic(points: [[f64; 2]; 4]) -> Bezier {
    Bezier::new(&points.map(|[x, y]| Point::new(x, y))).expect("a curve")
}

/// The edge of a foredeck, as it truly is.
pub(crate) fn true_edge() -> Vec<Piece> {
    let forward = cubic([
        [0.0, 0.0],
        [260.0, 560.0],
        [900.0, 1010.0],
        [1900.0, 1130.0],
    ]);
    let after = cubic([
        [1900.0, 1130.0],
        [2300.0, 1178.0],
        [2800.0, 1190.0],
        [3200.0, 1180.0],
    ]);
    let mirror = Transformation::scale(1.0, -1.0);
    let other = |curve: &Bezier| {
        let image = curve.mapped(&mirror).expect("affine");
        Piece::Curve(image.reversed())
    };
    vec![
        Piece::Curve(forward.clone()),
        Piece::Curve(after.clone()),
        line([3200.0, 1180.0], [3200.0, -1180.0]),
        other(&after),
        other(&forward),
    ]
}

/// A rectangle with rounded corners about its centre.
pub(crate) fn true_rectangle(centre: Point, size: Point, radius: f64) -> Vec<Piece> {
    let (x, y) = (size.x / 2.0, size.y / 2.0);
    let corners = [[x, y], [-x, y], [-x, -y], [x, -y]];
    let inner =
        corners.map(|[x, y]| centre + Point::new(x - x.signum() * radius, y - y.signum() * radius));
    let mut pieces = Vec::new();
    let turn = std::f64::consts::FRAC_PI_2;
    for (i, middle) in inner.iter().enumerate() {
        let from = turn * f64::from(u8::try_from(i).expect("four"));
        let (u, v) = (Point::new(radius, 0.0), Point::new(0.0, radius));
        let quarter = &Bezier::ellipse(*middle, u, v, from, turn)[0];
        pieces.push(Piece::Curve(quarter.clone()));
        let next = inner[(i + 1) % 4] + Point::at_angle(from + turn) * radius;
        pieces.push(Piece::Line {
            start: quarter.end(),
            end: next,
        });
    }
    pieces
}

/// A circle, as four quarters.
pub(crate) fn true_circle(centre: Point, radius: f64) -> Vec<Piece> {
    let (u, v) = (Point::new(radius, 0.0), Point::new(0.0, radius));
    Bezier::ellipse(centre, u, v, 0.0, std::f64::consts::TAU)
        .into_iter()
        .map(Piece::Curve)
        .collect()
}

/// Path data of pieces seen through `view`, as somebody draws them: cubics of `parts` to each curve, whose
/// nodes `hand` puts down (it may tremble) and whose handles lie along the curve.
pub(crate) fn traced(
    pieces: &[Piece],
    view: &Transformation,
    parts: u8,
    hand: &mut dyn FnMut(Point) -> Point,
    decimals: usize,
) -> String {
    let seen: Vec<Piece> = pieces
        .iter()
        .flat_map(|piece| piece.mapped(view).expect("in sight"))
        .collect();
    let show = |point: Point| format!("{:.decimals$} {:.decimals$}", point.x, point.y);
    let start = hand(seen[0].start());
    let mut at = start;
    let mut data = format!("M {}", show(start));
    let last = seen.len() - 1;
    for (i, piece) in seen.iter().enumerate() {
        match piece {
            Piece::Curve(curve) => {
                for part in 0..parts {
                    let (from, to) = (
                        f64::from(part) / f64::from(parts),
                        f64::from(part + 1) / f64::from(parts),
                    );
                    let end = if i == last && part + 1 == parts {
                        start
                    } else {
                        hand(curve.point_at(to))
                    };
                    let third = (to - from) / 3.0;
                    let leave = at + curve.velocity_at(from) * third;
                    let meet = end - curve.velocity_at(to) * third;
                    data += &format!(" C {} {} {}", show(leave), show(meet), show(end));
                    at = end;
                }
            }
            _ if i == last => {}
            _ => {
                at = hand(piece.end());
                data += &format!(" L {}", show(at));
            }
        }
    }
    data + " Z"
}
