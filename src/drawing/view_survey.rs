//! The survey: points with their names, the ties they hang on, how precisely each is known and how far each
//! tie is off, drawn larger than life; ties that look wrong stand out.

use super::canvas::Canvas;
use super::label::{Label, Tip, Wording, readable};
use super::marks::{Dash, Fill, Layer, Pen, Run, Weight};
use super::obstacles::Obstacles;
use super::panel::{self, Row, Swatch};
use super::paper::Style;
use super::placing;
use super::scene::{Dimensions, Scene};
use super::sheet::Picture;
use crate::DeckJob;
use crate::figures::survey::{
    BlunderFigures, MarkFigures, PointEllipse, PointFigures, PointState, SurveyFigures, TieFigures,
};
use crate::shape::{Bezier, Point, tangent_arcs};
use crate::units::{Length, LengthUnit};

/// How many times full size ellipses and residuals may be drawn.
const TIMES: [f64; 11] = [0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0];
/// Longest stroke of a residual, in heights of a note: a blunder's would cross the deck.
const LONGEST: f64 = 5.0;

/// Draws the view.
pub(super) fn draw(scene: &Scene<'_>, dimensions: &Dimensions, figures: &SurveyFigures) -> Picture {
    let style = &scene.style;
    let mut lines = Canvas::default();
    scene.edges(&mut lines, Pen::solid(style.thick));
    scene.frame_of_reference(&mut lines, dimensions);
    let mut centreline = Canvas::default();
    scene.centreline(&mut centreline, &[]);
    let survey = Survey::new(scene, figures);
    let (ties, wrong) = survey.ties();
    let marked = survey.points();

    let mut obstacles = Obstacles::new(scene.area);
    for canvas in [&lines, &centreline, &wrong, &marked] {
        obstacles.add(canvas);
    }
    let mut labels = survey.wrong_labels();
    labels.extend(scene.deck_labels());
    labels.extend(survey.point_labels());
    let placed = placing::place(labels, &mut obstacles, style);

    let mut all = Canvas::default();
    // Hair lines leave names white.
    for [start, end] in ties {
        let runs = super::hatch::outside_boxes(start, end, &placed.boxes);
        all.runs(Layer::Ties, Some(Pen::solid(HAIR)), Fill::None, runs);
    }
    scene.crosses(&mut all, &placed.boxes);
    scene.centreline(&mut all, &placed.boxes);
    for mut canvas in [lines, wrong, marked] {
        all.marks.append(&mut canvas.marks);
    }
    all.marks.extend(placed.canvas.marks);
    Picture {
        canvas: all,
        unplaced: placed.unplaced,
    }
}

/// Width of a tie's line, millimetres: there are hundreds.
const HAIR: f64 = 0.08;

/// A survey on the sheet.
struct Survey<'a> {
    style: &'a Style,
    units: LengthUnit,
    points: &'a [PointFigures],
    ties: &'a [TieFigures],
    blunders: &'a [BlunderFigures],
    /// Marks of drawings, each with where it stands on the sheet.
    marks: Vec<(&'a MarkFigures, Point)>,
    /// Where each point stands on the sheet, if it was found.
    at: Vec<Option<Point>>,
    /// Millimetres on the sheet for one of an ellipse or a residual.
    times: f64,
    middle: Point,
}

impl<'a> Survey<'a> {
    fn new(scene: &'a Scene<'_>, figures: &'a SurveyFigures) -> Self {
        let network = figures.network.as_ref();
        let points = network.map_or(&[][..], |network| &network.points);
        let marks = figures.drawings.iter().flat_map(|drawing| drawing.marks());
        Self {
            style: &scene.style,
            units: scene.units,
            points,
            ties: network.map_or(&[], |network| &network.ties),
            blunders: network.map_or(&[], |network| &network.blunders),
            marks: marks
                .map(|mark| (mark, scene.projection.point(mark.at)))
                .collect(),
            at: points
                .iter()
                .map(|point| point.at.map(|at| scene.projection.point(at)))
                .collect(),
            times: times(&scene.style, figures),
            middle: scene.deck_bounds().centre(),
        }
    }

    fn place(&self, name: &str) -> Option<Point> {
        let number = self.points.iter().position(|point| point.name == name)?;
        self.at[number]
    }

    /// The ties: hair lines for those that hold, and those that look wrong drawn so that they are seen.
    fn ties(&self) -> (Vec<[Point; 2]>, Canvas) {
        let (mut hair, mut wrong) = (Vec::new(), Canvas::default());
        for (number, tie) in self.ties.iter().enumerate() {
            let (Some(from), Some(to)) = (self.place(&tie.from), self.place(&tie.to)) else {
                continue;
            };
            if self.is_wrong(number) {
                let pen = Pen {
                    width: self.style.thick,
                    dash: Dash::Dashed,
                };
                wrong.line(Layer::Ties, pen, &[from, to]);
            } else {
                hair.push([from, to]);
            }
        }
        (hair, wrong)
    }

    fn is_wrong(&self, tie: usize) -> bool {
        self.blunders
            .iter()
            .any(|blunder| blunder.tie == tie || blunder.suspects.contains(&tie))
    }

    /// Signs of the points, their ellipses, and strokes that show where each tie alone would have them.
    fn points(&self) -> Canvas {
        let mut canvas = Canvas::default();
        let size = self.style.note * 0.36;
        for (point, at) in self.points.iter().zip(&self.at) {
            let Some(at) = *at else { continue };
            if point.state == PointState::Given {
                panel::triangle(&mut canvas, Layer::Points, at, size * 1.7);
                continue;
            }
            if let Some(ellipse) = &point.ellipse {
                let runs = vec![ellipse_run(at, ellipse, self.times)];
                canvas.runs(
                    Layer::Points,
                    Some(Pen::solid(self.style.thin)),
                    Fill::None,
                    runs,
                );
            }
            self.residuals(&mut canvas, point, at);
            match point.state {
                PointState::Checked | PointState::Given => {
                    canvas.dot(Layer::Points, at, size * 0.6)
                }
                _ => panel::doubt(&mut canvas, Layer::Points, self.style, at, size),
            }
        }
        for (mark, at) in &self.marks {
            panel::triangle(&mut canvas, Layer::Points, *at, size * 1.7);
            self.stroke(&mut canvas, *at, mark.off * self.times);
        }
        canvas
    }

    /// From where something was measured to where the whole would have it, cut where it is long.
    fn stroke(&self, canvas: &mut Canvas, at: Point, off: Point) {
        let length = off.length().min(LONGEST * self.style.note);
        if length > 0.0 {
            let pen = Pen::solid(self.style.thick);
            canvas.line(Layer::Points, pen, &[at, at + off.unit() * length]);
        }
    }

    fn residuals(&self, canvas: &mut Canvas, point: &PointFigures, at: Point) {
        for tie in self.ties {
            let other = if tie.from == point.name {
                &tie.to
            } else if tie.to == point.name {
                &tie.from
            } else {
                continue;
            };
            let (Some(residual), Some(mark), true) = (tie.residual, self.place(other), tie.used)
            else {
                continue;
            };
            self.stroke(
                canvas,
                at,
                (mark - at).unit() * (residual.to_mm() * self.times),
            );
        }
    }

    /// The name of every point and mark.
    fn point_labels(&self) -> Vec<Label> {
        let points = self.points.iter().zip(&self.at).filter_map(|(point, at)| {
            let is_given = point.state == PointState::Given;
            Some((point.name.as_str(), (*at)?, is_given))
        });
        let marks = self
            .marks
            .iter()
            .map(|(mark, at)| (mark.name.as_str(), *at, true));
        points
            .chain(marks)
            .map(|(name, at, is_given)| self.point_label(name, at, is_given))
            .collect()
    }

    fn point_label(&self, name: &str, at: Point, is_given: bool) -> Label {
        let style = self.style;
        let weight = if is_given {
            Weight::Bold
        } else {
            Weight::Regular
        };
        let words = Wording::new(style.note, &[(name, weight)]);
        let (width, depth) = (words.width, words.depth);
        let mut label = Label::new(&format!("point {name}"), vec![words]);
        let out = (at - self.middle).unit();
        for gap in [1.0, 2.0, 3.5, 5.5, 8.0] {
            for step in 0..12 {
                let way = Point::at_angle(f64::from(step) * std::f64::consts::TAU / 12.0);
                let off = Point::new(way.x * (width / 2.0 + gap), way.y * (depth / 2.0 + gap));
                label.at(0, at + off, 0.0, gap + 0.6 * (1.0 - way.dot(out)));
            }
        }
        label.around(0, &[(at, out)], Tip::Bare, style, 8.0);
        label
    }

    /// What is wrong with the ties that stand out.
    fn wrong_labels(&self) -> Vec<Label> {
        let style = self.style;
        let mut labels = Vec::new();
        for blunder in self.blunders {
            let Some(tie) = self.ties.get(blunder.tie) else {
                continue;
            };
            let (Some(from), Some(to)) = (self.place(&tie.from), self.place(&tie.to)) else {
                continue;
            };
            let size = Length::mm(blunder.too_long.to_mm().abs()).show_fine(self.units);
            let way = blunder.way();
            let doubt = if blunder.is_left_out() { "" } else { "?" };
            let name = format!("{} to {}: {size} {way}{doubt}", tie.from, tie.to);
            let mut label = Label::new(
                &name,
                vec![Wording::new(style.note, &[(&name, Weight::Bold)])],
            );
            let along = readable((to - from).unit());
            for share in [0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8] {
                let at = from.towards(to, share);
                let cost = (share - 0.5_f64).abs() * 4.0;
                label.at(0, at + along.left() * style.note, along.angle(), cost);
                label.around(0, &[(at, along.left())], Tip::Arrow, style, cost + 4.0);
            }
            labels.push(label);
        }
        labels
    }
}

/// A standard ellipse drawn so many times full size.
fn ellipse_run(at: Point, ellipse: &PointEllipse, times: f64) -> Run {
    let turn = ellipse.towards_degrees.to_radians();
    let along = Point::at_angle(turn) * (ellipse.long.to_mm() * times).max(0.02);
    let across = Point::at_angle(turn).left() * (ellipse.short.to_mm() * times).max(0.02);
    let curves = Bezier::ellipse(at, along, across, 0.0, std::f64::consts::TAU);
    Run {
        segments: curves
            .iter()
            .flat_map(|curve| tangent_arcs(curve, 0.0, 1.0, 0.02))
            .map(|fitted| fitted.segment)
            .collect(),
        closed: true,
    }
}

/// How many times full size: so that all but the few largest ellipses and residuals are as large as a name.
fn times(style: &Style, figures: &SurveyFigures) -> f64 {
    let points = figures.network.iter().flat_map(|network| &network.points);
    let ellipses = points.filter_map(|point| Some(point.ellipse?.long.to_mm()));
    let marks = figures.drawings.iter().flat_map(|drawing| drawing.marks());
    let mut sizes: Vec<f64> = ellipses
        .chain(marks.map(|mark| mark.off.length()))
        .filter(|size| size.is_finite() && *size > 1e-3)
        .collect();
    sizes.sort_by(f64::total_cmp);
    let Some(large) = sizes.get(sizes.len() * 9 / 10) else {
        return 1.0;
    };
    let most = style.note * 2.0 / large;
    TIMES
        .into_iter()
        .rev()
        .find(|times| *times <= most)
        .unwrap_or(TIMES[0])
}

/// What the legend explains.
pub(super) fn legend(decks: &[&DeckJob], style: &Style, figures: &SurveyFigures) -> Vec<Row> {
    let mut rows = vec![Row::Heading("Legend".to_owned())];
    let mut add = |swatch, meaning: &str| rows.push(Row::Swatch(swatch, meaning.to_owned()));
    let times = times(style, figures);
    add(Swatch::Mark, "mark whose place was given");
    if let Some(network) = &figures.network {
        add(Swatch::Point, "point found by its ties");
        let is_doubted = |point: &PointFigures| {
            matches!(
                point.state,
                PointState::Unchecked | PointState::Ambiguous { .. }
            )
        };
        if network.points.iter().any(is_doubted) {
            add(
                Swatch::Doubt,
                "point that nothing checks, or with a second place",
            );
        }
        add(
            Swatch::Ellipse,
            &format!("one standard deviation, {times} × full size"),
        );
        add(
            Swatch::Residual,
            &format!("from the point to where this tie alone would have it, {times} × full size"),
        );
        add(Swatch::Tie, "tie");
        if !network.blunders.is_empty() {
            add(Swatch::WrongTie, "tie that looks wrong, or may be");
        }
    }
    if figures
        .drawings
        .iter()
        .any(|drawing| !drawing.marks().is_empty())
    {
        add(
            Swatch::Residual,
            &format!("from a mark to where the drawing as laid has it, {times} × full size"),
        );
    }
    super::view_pattern::common(decks, &mut add);
    rows
}

/// How well the whole agrees, and what to do about what does not.
pub(super) fn notes(figures: &SurveyFigures) -> Vec<Row> {
    let mut rows = vec![Row::Heading("How well it agrees".to_owned())];
    let mut say = |words: String| rows.push(Row::Paragraph(words));
    if let Some(network) = &figures.network {
        for words in network.verdict(figures.units) {
            say(words);
        }
    }
    for drawing in &figures.drawings {
        say(format!(
            "{}: {}",
            drawing.file,
            drawing.verdict(figures.units)
        ));
    }
    say("Measure again what is doubted before cutting tape to it.".to_owned());
    rows
}
