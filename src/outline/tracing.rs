//! A tracing: an SVG drawn over something, laid on the deck by its own units, by a distance known in it, or by
//! marks. Comes in: what the SVG holds and how the layout says it lies. Goes out: a [`Tracing`], the map from the
//! drawing to the deck with what it rests on; or why there is none.
//!
//! A drawing shows the deck from above, so bow, port and starboard lie in it as they do on the deck; its y axis runs
//! down the page, the deck's to starboard. Every map therefore first turns y over and from then on keeps handedness.

use super::{Warning, whereabouts};
use crate::adjust::rectify::{
    Mark, Noise, Rectified, Residual, Side, Suspicion, Unfit, projective, similarity,
};
use crate::import::{Drawn, DrawnPath, ImportFault, Piece};
use crate::layout::{Bow, DrawingFile, DrawnMark, Fault, Fit, KnownDistance, Placed, Spot};
use crate::shape::{BoundingBox, Point, Segment, Transformation};
use crate::units::{Length, LengthUnit};

/// Standard deviation of a mark's place on the deck, millimetres: a tape's.
const TAPE: f64 = 3.0;
/// Standard deviation of pointing at a mark, as a share of the extent of all marks in the drawing: a pixel
/// and a half of a photograph of 3,000.
const POINTING: f64 = 1.0 / 2000.0;
/// Marks that disagree by more than this many times what tape and pointing explain have another cause.
const DISAGREE: f64 = 2.0;
/// Marks up to this number are tried the other way about in pairs.
const MOST_TRIED: usize = 12;

/// An SVG as it lies on the deck.
#[derive(Debug, Clone)]
pub struct Tracing {
    /// From the drawing's axes to the deck's.
    pub map: Transformation,
    /// What it rests on.
    pub by: TracedBy,
}

/// What the place of a drawing on the deck rests on.
#[derive(Debug, Clone)]
pub enum TracedBy {
    /// The millimetres or inches that the file itself gives; how many millimetres one of its units is.
    OwnUnits(f64),
    /// A distance known in it; how many millimetres one of its units is.
    Distance(f64),
    /// Marks.
    Marks(Box<MarkFit>),
}

/// A drawing laid on the deck by marks.
#[derive(Debug, Clone)]
pub struct MarkFit {
    /// Whether it was taken for a photograph (four marks or more) and rectified; else it was shifted, turned
    /// and scaled.
    pub is_photograph: bool,
    /// The marks, in the layout's order.
    pub marks: Vec<FittedMark>,
    /// How many more numbers the marks give than are needed: with 0 nothing checks them.
    pub redundancy: usize,
    /// How many times as large as tape and pointing explain the residuals are; none without a check.
    pub noise_ratio: Option<f64>,
    rectified: Rectified,
}

/// A mark and how well it fits.
#[derive(Debug, Clone)]
pub struct FittedMark {
    /// What the layout calls it: an id, or its coordinates in the drawing.
    pub name: String,
    /// In the drawing.
    pub drawn: Point,
    /// On the deck, as measured.
    pub at: Point,
    /// What is left over there.
    pub residual: Residual,
}

impl Tracing {
    /// Standard deviation, millimetres, of a point of the deck that is traced at this point of the drawing, as
    /// far as the marks' noise moves it, in the direction where it is greatest. None without marks, or out of sight.
    #[must_use]
    pub fn precision_at(&self, drawn: Point) -> Option<f64> {
        match &self.by {
            TracedBy::Marks(fit) => fit.rectified.precision_at(upright(drawn)),
            TracedBy::OwnUnits(_) | TracedBy::Distance(_) => None,
        }
    }
}

/// A point of a drawing with its y upwards.
const fn upright(point: Point) -> Point {
    point.mirrored()
}

/// From a drawing's axes to the same with y upwards.
const UPRIGHT: Transformation = Transformation::scale(1.0, -1.0);

/// What is known while a drawing is laid on the deck.
pub(super) struct Laying<'a> {
    pub(super) file: &'a DrawingFile,
    pub(super) drawn: &'a Drawn,
    pub(super) units: LengthUnit,
    /// Where the points of the layout lie.
    pub(super) position: &'a dyn Fn(&crate::layout::Position) -> Option<Point>,
    /// Turns what is wrong with the drawing to a fault of the layout.
    pub(super) fault: &'a dyn Fn(ImportFault, crate::layout::Place) -> Fault,
}

impl Laying<'_> {
    /// Lays the drawing on the deck.
    pub(super) fn laid(&self, warnings: &mut Vec<Warning>) -> Result<Tracing, Vec<Fault>> {
        match &self.file.fit {
            Fit::Scaled { scale, bow, origin } => self
                .scaled(scale.as_ref(), *bow, origin.as_ref())
                .map_err(|fault| vec![fault]),
            // A drawing by coordinates alone is as large as its own units say.
            Fit::Coordinates { .. } => self
                .scaled(None, Bow::Left, None)
                .map_err(|fault| vec![fault]),
            Fit::Marks(marks) => {
                let fit = self.by_marks(marks, warnings)?;
                Ok(Tracing {
                    map: fit.rectified.map.after(&UPRIGHT),
                    by: TracedBy::Marks(Box::new(fit)),
                })
            }
        }
    }

    fn scaled(
        &self,
        scale: Option<&KnownDistance>,
        bow: Bow,
        origin: Option<&Placed<Spot>>,
    ) -> Result<Tracing, Fault> {
        let mut datum = Point::ORIGIN;
        let by = match scale {
            None => {
                let unit = self.drawn.unit.ok_or_else(|| {
                    Fault::new(
                        self.file.file.place,
                        format!("{} does not say how large it is", self.file.file.value),
                        "its width and height are not in mm, cm or in",
                    )
                    .with_help(
                        "add scale = { from = [x, y], to = [x, y], length = \"2.4 m\" }, or marks",
                    )
                })?;
                TracedBy::OwnUnits(unit)
            }
            Some(known) => {
                let (from, to) = (self.spot(&known.from)?, self.spot(&known.to)?);
                datum = from;
                let unit = known.length.value.to_mm() / from.distance(to);
                if !unit.is_finite() {
                    return Err(Fault::new(
                        known.to.place,
                        "the known distance begins and ends in one place of the drawing",
                        "the same place",
                    )
                    .with_mention(known.from.place, "as here")
                    .with_help("take two points that lie far apart"));
                }
                TracedBy::Distance(unit)
            }
        };
        if let Some(origin) = origin {
            datum = self.spot(origin)?;
        }
        let (TracedBy::OwnUnits(unit) | TracedBy::Distance(unit)) = by else {
            return Ok(Tracing { map: UPRIGHT, by });
        };
        // Where the way aft goes in the drawing with y upwards, there the x axis is taken from.
        let aft = match bow {
            Bow::Left => Point::new(1.0, 0.0),
            Bow::Right => Point::new(-1.0, 0.0),
            Bow::Up => Point::new(0.0, -1.0),
            Bow::Down => Point::new(0.0, 1.0),
        };
        let turn = Transformation::affine(
            Point::new(aft.x, -aft.y),
            Point::new(aft.y, aft.x),
            Point::ORIGIN,
        );
        let map = turn
            .after(&Transformation::scale(unit, -unit))
            .after(&Transformation::shift(-datum));
        Ok(Tracing { map, by })
    }

    /// Where a spot of the drawing is, in its own axes.
    fn spot(&self, spot: &Placed<Spot>) -> Result<Point, Fault> {
        match &spot.value {
            Spot::At(point) => Ok(*point),
            Spot::Middle(id) => self
                .drawn
                .with_id(id)
                .map(|paths| middle(&paths))
                .map_err(|fault| (self.fault)(fault, spot.place)),
        }
    }

    fn by_marks(
        &self,
        given: &[DrawnMark],
        warnings: &mut Vec<Warning>,
    ) -> Result<MarkFit, Vec<Fault>> {
        let mut faults = Vec::new();
        let mut pairs = Vec::new();
        for mark in given {
            let here = self.spot(&mark.drawn).map_err(|fault| faults.push(fault));
            let there = (self.position)(&mark.at.value);
            if there.is_none() {
                faults.push(
                    Fault::new(
                        mark.at.place,
                        "the ties do not say where this mark is",
                        "this point is not fixed",
                    )
                    .with_help("measure it from two marks at least, better from four"),
                );
            }
            if let (Ok(here), Some(there)) = (here, there) {
                pairs.push(Mark {
                    here: upright(here),
                    there,
                });
            }
        }
        if !faults.is_empty() {
            return Err(faults);
        }
        let is_photograph = pairs.len() >= 4;
        let noise = noise(&pairs);
        let rectified =
            fitted(&pairs, noise).map_err(|unfit| vec![self.unfit(unfit, given, &pairs)])?;
        if is_mirrored(&rectified, &pairs, noise) {
            return Err(vec![
                Fault::new(
                    self.file.file.place,
                    "the marks show the deck mirrored: port and starboard look exchanged",
                    "traced from below, or signs turned over",
                )
                .with_help("positive distances from the centreline are to starboard; check the signs of all marks"),
            ]);
        }
        if rectified.suspicion().is_some()
            && let Some([one, other]) = exchanged(&pairs)
        {
            let place =
                |number: usize| given.get(number).map_or(self.file.place, |mark| mark.place);
            return Err(vec![
                Fault::new(
                    place(other),
                    format!(
                        "marks {} and {} look exchanged: the other way about all marks fit",
                        one + 1,
                        other + 1
                    ),
                    "one of the two",
                )
                .with_mention(place(one), "the other")
                .with_help("exchange their `at`"),
            ]);
        }
        let name = |mark: &DrawnMark| match &mark.drawn.value {
            Spot::Middle(id) => id.clone(),
            Spot::At(at) => format!("[{}, {}]", at.x, at.y),
        };
        let fit = MarkFit {
            is_photograph,
            marks: given
                .iter()
                .zip(&pairs)
                .zip(&rectified.residuals)
                .map(|((mark, pair), residual)| FittedMark {
                    name: name(mark),
                    drawn: upright(pair.here),
                    at: pair.there,
                    residual: *residual,
                })
                .collect(),
            redundancy: rectified.redundancy,
            noise_ratio: rectified.noise_ratio,
            rectified,
        };
        self.remark(&fit, given, warnings);
        Ok(fit)
    }

    /// Why marks fix no map, in words.
    fn unfit(&self, unfit: Unfit, given: &[DrawnMark], pairs: &[Mark]) -> Fault {
        let place = |number: usize| given.get(number).map_or(self.file.place, |mark| mark.place);
        let of = |side: Side| match side {
            Side::Here => "in the drawing",
            Side::There => "on the deck",
        };
        match unfit {
            Unfit::Coincident([one, other], side) => Fault::new(
                place(other),
                format!("two marks lie in one place {}", of(side)),
                "the second",
            )
            .with_mention(place(one), "the first")
            .with_help("take marks that lie far apart"),
            Unfit::OnALine([one, _, last], side) => Fault::new(
                place(last),
                format!(
                    "marks {} lie on one line {}, so nothing says how the photograph leans across it",
                    numbers(&unfit),
                    of(side)
                ),
                "on a line with the others",
            )
            .with_mention(place(one), "the first of them")
            .with_help("four marks of which no three lie on a line: the corners of a large square do best"),
            Unfit::BeyondHorizon(mark) => {
                let fault = Fault::new(
                    place(mark),
                    "no camera sees the marks so: this one would lie behind it",
                    "does not go with the others",
                );
                fault.with_help(match exchanged(pairs) {
                    Some([one, other]) => format!(
                        "marks {} and {} look exchanged, counted from 1",
                        one + 1,
                        other + 1
                    ),
                    None => "marks may be exchanged: go round them in the drawing and on the deck, the same way round".to_owned(),
                })
            }
            Unfit::TooFew | Unfit::Unsettled => Fault::new(
                self.file.file.place,
                "these marks do not settle how the drawing lies",
                "no way to lay it on the deck",
            )
            .with_help("check their numbers, and take marks that lie far apart"),
        }
    }

    /// What is to be said of marks that do settle it.
    fn remark(&self, fit: &MarkFit, given: &[DrawnMark], warnings: &mut Vec<Warning>) {
        let place_of_marks = given.first().map_or(self.file.place, |mark| mark.place);
        let mut warn = |code, message, place, at| {
            warnings.push(Warning {
                deck: String::new(),
                code,
                message: format!("{}: {message}", self.file.file.value),
                place: Some(place),
                at,
            });
        };
        let mm = |mm: f64| Length::mm(mm).show(self.units);
        if fit.redundancy == 0 {
            let (few, more) = if fit.is_photograph {
                ("four marks rectify a photograph", "with six")
            } else {
                ("two marks scale a drawing", "with four")
            };
            warn(
                "marks-unchecked",
                format!(
                    "{few}, and nothing checks them: a wrong one would bend everything unseen; \
                     {more} it would be found and named"
                ),
                place_of_marks,
                None,
            );
        }
        let ratio = fit.noise_ratio.unwrap_or(0.0);
        if let Some(Suspicion { marks }) = fit.rectified.suspicion() {
            let said: Vec<String> = marks
                .iter()
                .filter_map(|number| {
                    let mark = fit.marks.get(*number)?;
                    let moved = mark.residual.if_wrong?;
                    Some(format!("{} by {}", mark.name, mm(moved.length())))
                })
                .collect();
            let worst = marks.first().copied().unwrap_or_default();
            let message = match said.as_slice() {
                [_] => format!(
                    "mark {} looks {} off, measured at {}; without it the others agree better",
                    fit.marks.get(worst).map_or("", |mark| mark.name.as_str()),
                    fit.marks
                        .get(worst)
                        .and_then(|mark| mark.residual.if_wrong)
                        .map_or_else(String::new, |moved| mm(moved.length())),
                    fit.marks
                        .get(worst)
                        .map_or_else(String::new, |mark| whereabouts(mark.at, self.units))
                ),
                several => format!(
                    "one of the marks looks off, and nothing tells which: {}; with one more mark it could be named",
                    several.join(", or ")
                ),
            };
            let place = given.get(worst).map_or(place_of_marks, |mark| mark.place);
            warn(
                "mark-off",
                message,
                place,
                fit.marks.get(worst).map(|mark| mark.at),
            );
        } else if ratio > DISAGREE {
            let largest = fit
                .marks
                .iter()
                .map(|mark| mark.residual.off.length())
                .fold(0.0, f64::max);
            let cause = if fit.is_photograph {
                "a lens that bends straight lines, or a deck that is not flat, shows so"
            } else {
                "a drawing or a photograph taken aslant shows so; with four marks it is rectified"
            };
            warn(
                "marks-disagree",
                format!(
                    "the marks disagree by up to {}, {ratio:.1} times what tape and pointing explain: {cause}",
                    mm(largest)
                ),
                place_of_marks,
                None,
            );
        }
    }
}

/// The numbers of the marks of an [`Unfit`], from 1, in words.
fn numbers(unfit: &Unfit) -> String {
    match unfit {
        Unfit::OnALine([a, b, c], _) => format!("{}, {} and {}", a + 1, b + 1, c + 1),
        _ => String::new(),
    }
}

fn fitted(pairs: &[Mark], noise: Noise) -> Result<Rectified, Unfit> {
    if pairs.len() >= 4 {
        projective(pairs, noise)
    } else {
        similarity(pairs, noise)
    }
}

/// The noise assumed of marks.
fn noise(pairs: &[Mark]) -> Noise {
    let bounds = BoundingBox::of_points(pairs.iter().map(|mark| mark.here));
    Noise {
        here: POINTING * bounds.width().hypot(bounds.height()),
        there: TAPE,
    }
}

/// Whether the marks show the deck from below.
fn is_mirrored(rectified: &Rectified, pairs: &[Mark], noise: Noise) -> bool {
    if pairs.len() >= 4 {
        // All marks are in sight, and a map turns over everywhere or nowhere on one side of its horizon.
        return pairs
            .first()
            .and_then(|mark| rectified.map.derivatives_at(mark.here))
            .is_some_and(|[x, y]| x.cross(y) < 0.0);
    }
    let turned: Vec<Mark> = pairs
        .iter()
        .map(|mark| Mark {
            here: mark.here.mirrored(),
            there: mark.there,
        })
        .collect();
    let ratio = |fit: &Rectified| fit.noise_ratio.unwrap_or(0.0);
    similarity(&turned, noise)
        .is_ok_and(|other| ratio(rectified) > 3.0 && ratio(&other) * 5.0 < ratio(rectified))
}

/// Two marks that, the other way about, let all fit.
fn exchanged(pairs: &[Mark]) -> Option<[usize; 2]> {
    if !(5..=MOST_TRIED).contains(&pairs.len()) {
        return None;
    }
    let noise = noise(pairs);
    for one in 0..pairs.len() {
        for other in one + 1..pairs.len() {
            let mut tried = pairs.to_vec();
            (tried[one].there, tried[other].there) = (tried[other].there, tried[one].there);
            let fits = projective(&tried, noise).is_ok_and(|fit| {
                fit.noise_ratio.is_some_and(|ratio| ratio < DISAGREE)
                    && !is_mirrored(&fit, &tried, noise)
            });
            if fits {
                return Some([one, other]);
            }
        }
    }
    None
}

/// Middle of the box round some paths, in the drawing's axes.
fn middle(paths: &[&DrawnPath]) -> Point {
    let mut bounds = BoundingBox::EMPTY;
    for piece in paths.iter().flat_map(|path| &path.pieces) {
        match piece {
            Piece::Line { start, end } => {
                bounds.include(*start);
                bounds.include(*end);
            }
            Piece::Arc(arc) => bounds = bounds.joined(&Segment::Arc(*arc).bounding_box()),
            Piece::Curve(curve) => {
                // A mark is small, and its middle found to a hundred-thousandth of its size.
                for i in 0..=128 {
                    bounds.include(curve.point_at(f64::from(i) / 128.0));
                }
            }
        }
    }
    bounds.centre()
}
