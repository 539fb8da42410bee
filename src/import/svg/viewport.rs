//! Axes and lengths: `transform` attributes, the window that an `svg` or `symbol` opens on what it holds, and
//! lengths with their units. Meaning: W3C, "Scalable Vector Graphics (SVG) 2", chapter 8, Coordinate systems,
//! and "CSS Values and Units Module Level 3", section 6.2 (96 px are an inch).

use svgtypes::{
    Align, AspectRatio, Length, LengthUnit, TransformListParser, TransformListToken, ViewBox,
};

use crate::shape::{Point, Transformation};

/// Millimetres in a px.
pub(super) const PX: f64 = 25.4 / 96.0;

/// The size, in px of its own axes, that percentages refer to; none where the file does not say.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Viewport {
    pub(super) width: Option<f64>,
    pub(super) height: Option<f64>,
}

/// What a percentage is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Of {
    /// The viewport's width.
    Width,
    /// Its height.
    Height,
    /// Its diagonal over the square root of two.
    Diagonal,
}

impl Viewport {
    fn of(self, of: Of) -> Option<f64> {
        match of {
            Of::Width => self.width,
            Of::Height => self.height,
            Of::Diagonal => Some(self.width?.hypot(self.height?) / std::f64::consts::SQRT_2),
        }
    }

    /// A length in px; the reason where it has none.
    pub(super) fn px(self, length: Length, of: Of) -> Result<f64, &'static str> {
        if let Some(unit) = px_in(length.unit) {
            return Ok(length.number * unit);
        }
        if length.unit == LengthUnit::Percent {
            return self
                .of(of)
                .map(|whole| length.number / 100.0 * whole)
                .ok_or("a percentage of a width or height that the file does not give");
        }
        Err("hangs on the size of a typeface; write px or mm")
    }
}

/// Px in a unit, where that is fixed.
fn px_in(unit: LengthUnit) -> Option<f64> {
    match unit {
        LengthUnit::None | LengthUnit::Px => Some(1.0),
        LengthUnit::In => Some(96.0),
        LengthUnit::Cm => Some(96.0 / 2.54),
        LengthUnit::Mm => Some(96.0 / 25.4),
        LengthUnit::Pt => Some(96.0 / 72.0),
        LengthUnit::Pc => Some(16.0),
        LengthUnit::Em | LengthUnit::Ex | LengthUnit::Percent => None,
    }
}

/// The length in px, if its unit is one that a ruler has.
pub(super) fn physical(length: Length) -> Option<f64> {
    let is_physical = !matches!(length.unit, LengthUnit::None | LengthUnit::Px);
    px_in(length.unit)
        .map(|unit| unit * length.number)
        .filter(|px| is_physical && *px > 0.0)
}

/// How a view box lies in a window of this size at the origin.
pub(super) fn fitted(
    view: ViewBox,
    aspect: AspectRatio,
    width: f64,
    height: f64,
) -> Transformation {
    let (x, y) = scales(view, aspect, width, height);
    // What is left over on each axis, shared out as the alignment says.
    let (over_x, over_y) = (width - view.w * x, height - view.h * y);
    let (share_x, share_y) = match aspect.align {
        Align::None | Align::XMinYMin => (0.0, 0.0),
        Align::XMidYMin => (0.5, 0.0),
        Align::XMaxYMin => (1.0, 0.0),
        Align::XMinYMid => (0.0, 0.5),
        Align::XMidYMid => (0.5, 0.5),
        Align::XMaxYMid => (1.0, 0.5),
        Align::XMinYMax => (0.0, 1.0),
        Align::XMidYMax => (0.5, 1.0),
        Align::XMaxYMax => (1.0, 1.0),
    };
    let origin = Point::new(over_x * share_x - view.x * x, over_y * share_y - view.y * y);
    Transformation::affine(Point::new(x, 0.0), Point::new(0.0, y), origin)
}

/// Factors from a view box's axes to those of a window of this size.
pub(super) fn scales(view: ViewBox, aspect: AspectRatio, width: f64, height: f64) -> (f64, f64) {
    let (x, y) = (width / view.w, height / view.h);
    if aspect.align == Align::None {
        (x, y)
    } else if aspect.slice {
        (x.max(y), x.max(y))
    } else {
        (x.min(y), x.min(y))
    }
}

/// The map a `transform` attribute describes; the reason where it describes none.
pub(super) fn transformation(text: &str) -> Result<Transformation, svgtypes::Error> {
    let mut map = Transformation::IDENTITY;
    if text.trim() == "none" {
        return Ok(map);
    }
    for token in TransformListParser::from(text) {
        let next = match token? {
            TransformListToken::Matrix { a, b, c, d, e, f } => {
                Transformation::affine(Point::new(a, b), Point::new(c, d), Point::new(e, f))
            }
            TransformListToken::Translate { tx, ty } => Transformation::shift(Point::new(tx, ty)),
            TransformListToken::Scale { sx, sy } => Transformation::scale(sx, sy),
            TransformListToken::Rotate { angle } => turn_degrees(angle),
            TransformListToken::SkewX { angle } => Transformation::affine(
                Point::new(1.0, 0.0),
                Point::new(angle.to_radians().tan(), 1.0),
                Point::ORIGIN,
            ),
            TransformListToken::SkewY { angle } => Transformation::affine(
                Point::new(1.0, angle.to_radians().tan()),
                Point::new(0.0, 1.0),
                Point::ORIGIN,
            ),
        };
        map = map.after(&next);
    }
    Ok(map)
}

/// A turn, exact at quarter turns.
fn turn_degrees(degrees: f64) -> Transformation {
    let quarters = [0.0, 90.0, 180.0, 270.0];
    let x = Point::new(1.0, 0.0);
    let turned = [x, x.left(), -x, -x.left()];
    match quarters
        .iter()
        .position(|quarter| *quarter == degrees.rem_euclid(360.0))
    {
        Some(quarter) => {
            let x = turned[quarter];
            Transformation::affine(x, x.left(), Point::ORIGIN)
        }
        None => Transformation::turn(degrees.to_radians()),
    }
}
