//! Drawing files as curves: what was drawn, as exact pieces, each with its name and its place in the file.
//! Comes in: the bytes of a file. Goes out: a [`Drawn`], the same for every format, in the drawing's own
//! units and axes, or an [`ImportFault`] that says where in the file something is wrong and what to do.
//!
//! It knows no deck word: what a shape is for, how big it is in truth and which way round it lies are said by
//! whoever asked for it.

pub(crate) mod cells;
pub mod dxf;
pub mod svg;

use crate::shape::{Arc, Bezier, Point, Segment, Transformation};

/// Everything in a drawing file that can be asked for by a name.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Drawn {
    /// The paths, in the file's order. Pieces of one thing follow each other and carry the same id.
    pub paths: Vec<DrawnPath>,
    /// What has a name and yet is no path, with the reason: it matters only if it is asked for.
    pub unread: Vec<Unread>,
    /// Millimetres in one of the drawing's units, where the file says so.
    pub unit: Option<f64>,
}

impl Drawn {
    /// The paths of the thing with this id or handle, one at least.
    ///
    /// # Errors
    /// Why the thing is no path, or what there is instead.
    pub fn with_id(&self, id: &str) -> Result<Vec<&DrawnPath>, ImportFault> {
        let paths: Vec<&DrawnPath> = self
            .paths
            .iter()
            .filter(|path| path.id.as_deref() == Some(id))
            .collect();
        if !paths.is_empty() {
            return Ok(paths);
        }
        let unread = self.unread.iter().find(|one| one.id.as_deref() == Some(id));
        if let Some(unread) = unread {
            return Err(unread.fault.clone());
        }
        let mut names: Vec<&str> = self
            .paths
            .iter()
            .filter_map(|path| path.id.as_deref())
            .collect();
        names.dedup();
        let near = names
            .iter()
            .map(|name| (strsim::osa_distance(name, id), *name))
            .filter(|(distance, name)| *distance <= 1.max(name.chars().count() / 3))
            .min_by_key(|(distance, _)| *distance);
        let help = match near {
            Some((_, name)) => format!("did you mean \"{name}\"?"),
            None if names.is_empty() => "nothing in it that could be taken has an id".to_owned(),
            None => {
                let shown: Vec<String> = names
                    .iter()
                    .take(12)
                    .map(|name| format!("\"{name}\""))
                    .collect();
                let more = match names.len().saturating_sub(shown.len()) {
                    0 => String::new(),
                    more => format!(" and {more} more"),
                };
                format!("it has {}{more}", shown.join(", "))
            }
        };
        Err(ImportFault::new(
            0,
            0,
            format!("the drawing has nothing called \"{id}\""),
            "not in the drawing",
        )
        .with_help(help))
    }
}

/// One unbroken course of lines and curves.
#[derive(Debug, Clone, PartialEq)]
pub struct DrawnPath {
    /// What the file calls it: an id or a handle.
    pub id: Option<String>,
    /// The layer it lies on, in formats that have layers.
    pub layer: Option<String>,
    /// Its pieces, one at least; each begins where the one before ends, but for rounding.
    pub pieces: Vec<Piece>,
    /// Whether the last piece ends where the first begins, or the file says that it is closed (the line that
    /// closes it is then among the pieces).
    pub closed: bool,
    /// Its line in the file, from 1.
    pub line: usize,
}

/// Something with a name that could not be taken as a path.
#[derive(Debug, Clone, PartialEq)]
pub struct Unread {
    /// What the file calls it.
    pub id: Option<String>,
    /// The layer it lies on, in formats that have layers.
    pub layer: Option<String>,
    /// What is wrong with it.
    pub fault: ImportFault,
    /// Whether it draws nothing an outline could be (lettering, a dimension): it matters only if it is asked for
    /// by its own name, not by its layer.
    pub only_by_name: bool,
}

/// A piece of a path.
#[derive(Debug, Clone, PartialEq)]
pub enum Piece {
    /// A straight line.
    Line {
        /// Where it begins.
        start: Point,
        /// Where it ends.
        end: Point,
    },
    /// An arc of a circle.
    Arc(Arc),
    /// Any other curve.
    Curve(Bezier),
}

impl Piece {
    /// Where it begins.
    #[must_use]
    pub fn start(&self) -> Point {
        match self {
            Self::Line { start, .. } => *start,
            Self::Arc(arc) => arc.start,
            Self::Curve(curve) => curve.start(),
        }
    }

    /// Where it ends.
    #[must_use]
    pub fn end(&self) -> Point {
        match self {
            Self::Line { end, .. } => *end,
            Self::Arc(arc) => arc.end,
            Self::Curve(curve) => curve.end(),
        }
    }

    /// The same piece travelled the other way.
    #[must_use]
    pub fn reversed(&self) -> Self {
        match self {
            Self::Line { start, end } => Self::Line {
                start: *end,
                end: *start,
            },
            Self::Arc(arc) => match Segment::Arc(*arc).reversed() {
                Segment::Arc(arc) => Self::Arc(arc),
                Segment::Line(start, end) => Self::Line { start, end },
            },
            Self::Curve(curve) => Self::Curve(curve.reversed()),
        }
    }

    /// Its image, exactly: a line stays a line, an arc stays an arc where the map keeps shapes and
    /// becomes conics elsewhere. None where part of it lies on the map's horizon or beyond.
    ///
    /// ```
    /// use spile::import::Piece;
    /// use spile::shape::{Arc, Point, Transformation};
    /// let half = Piece::Arc(Arc::about(Point::ORIGIN, 10.0, 0.0, std::f64::consts::PI));
    /// // Mirrored it runs the other way round.
    /// let image = half.mapped(&Transformation::scale(2.0, -2.0)).expect("no horizon");
    /// assert!(matches!(image[..], [Piece::Arc(Arc { radius: 20.0, sweep, .. })] if sweep < 0.0));
    /// let pressed = half.mapped(&Transformation::scale(2.0, 1.0)).expect("no horizon");
    /// assert!(matches!(pressed[..], [Piece::Curve(_), Piece::Curve(_)]));
    /// ```
    #[must_use]
    pub fn mapped(&self, map: &Transformation) -> Option<Vec<Self>> {
        match self {
            Self::Line { start, end } => Some(vec![Self::Line {
                start: map.apply(*start)?,
                end: map.apply(*end)?,
            }]),
            Self::Arc(arc) => match map.similarity() {
                Some(scale) => Some(vec![Self::Arc(Arc {
                    start: map.apply(arc.start)?,
                    end: map.apply(arc.end)?,
                    centre: map.apply(arc.centre)?,
                    radius: arc.radius * scale,
                    sweep: arc.sweep * map.determinant().signum(),
                })]),
                None => conics(arc)
                    .iter()
                    .map(|curve| curve.mapped(map).map(Self::Curve))
                    .collect(),
            },
            Self::Curve(curve) => Some(vec![Self::Curve(curve.mapped(map)?)]),
        }
    }
}

/// An arc as rational parabolas; its ends stay where they are but for rounding.
fn conics(arc: &Arc) -> Vec<Bezier> {
    let (u, v) = (arc.start - arc.centre, (arc.start - arc.centre).left());
    Bezier::ellipse(arc.centre, u, v, 0.0, arc.sweep)
}

/// What is wrong with a drawing file, where in it, and what to do.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ImportFault {
    /// Line in the file, from 1; 0 where it has no lines or nothing nearer is known.
    pub line: usize,
    /// Column in that line, in characters from 1; 0 for the whole line.
    pub column: usize,
    /// What is wrong, in one line.
    pub message: String,
    /// What stands under the caret.
    pub label: String,
    /// What to do about it.
    pub help: Option<String>,
}

impl ImportFault {
    /// A fault at a place of the file.
    pub fn new(
        line: usize,
        column: usize,
        message: impl Into<String>,
        label: impl Into<String>,
    ) -> Self {
        Self {
            line,
            column,
            message: message.into(),
            label: label.into(),
            help: None,
        }
    }

    /// The same fault with advice on what to do.
    #[must_use]
    pub fn with_help(mut self, help: impl Into<String>) -> Self {
        self.help = Some(help.into());
        self
    }
}
