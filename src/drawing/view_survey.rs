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
use crate::figures::survey::{NetworkFigures, PointEllipse, PointFigures, PointState};
use crate::shape::{Bezier, Point, tangent_arcs};
use crate::units::{Length, LengthUnit};

/// How many times full size ellipses and residuals may be drawn.
const TIMES: [f64; 11] = [0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0];
/// Longest stroke of a residual, in heights of a note: a blunder's would cross the deck.
const LONGEST: f64 = 5.0;

/// Draws the view.
pub(super) fn draw(
    scene: &Scene<'_>,
    dimensions: &Dimensions,
    network: &NetworkFigures,
) -> Picture {
    let style = &scene.style;
    let mut lines = Canvas::default();
    scene.edges(&mut lines, Pen::solid(style.thick));
    scene.frame_of_reference(&mut lines, dimensions);
    let mut centreline = Canvas::default();
    scene.centreline(&mut centreline, &[]);
    let survey = Survey::new(scene, network);
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
    network: &'a NetworkFigures,
    /// Where each point stands on the sheet, if it was found.
    at: Vec<Option<Point>>,
    /// Millimetres on the sheet for one of an ellipse or a residual.
    times: f64,
    middle: Point,
}

impl<'a> Survey<'a> {
    fn new(scene: &'a Scene<'_>, network: &'a NetworkFigures) -> Self {
        let places = network.points.iter();
        Self {
            style: &scene.style,
            units: scene.units,
            network,
            at: places
                .map(|point| point.at.map(|at| scene.projection.point(at)))
                .collect(),
            times: times(&scene.style, network),
            middle: scene.deck_bounds().centre(),
        }
    }

    fn place(&self, name: &str) -> Option<Point> {
        let number = self
            .network
            .points
            .iter()
            .position(|point| point.name == name)?;
        self.at[number]
    }

    /// The ties: hair lines for those that hold, and those that look wrong drawn so that they are seen.
    fn ties(&self) -> (Vec<[Point; 2]>, Canvas) {
        let (mut hair, mut wrong) = (Vec::new(), Canvas::default());
        for (number, tie) in self.network.ties.iter().enumerate() {
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
        self.network
            .blunders
            .iter()
            .any(|blunder| blunder.tie == tie || blunder.suspects.contains(&tie))
    }

    /// Signs of the points, their ellipses, and strokes that show where each tie alone would have them.
    fn points(&self) -> Canvas {
        let mut canvas = Canvas::default();
        let size = self.style.note * 0.36;
        for (point, at) in self.network.points.iter().zip(&self.at) {
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
        canvas
    }

    fn residuals(&self, canvas: &mut Canvas, point: &PointFigures, at: Point) {
        let most = LONGEST * self.style.note;
        for tie in &self.network.ties {
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
            let stroke = (residual.to_mm() * self.times).clamp(-most, most);
            let end = at + (mark - at).unit() * stroke;
            let pen = Pen::solid(self.style.thick);
            canvas.line(Layer::Points, pen, &[at, end]);
        }
    }

    /// The name of every point.
    fn point_labels(&self) -> Vec<Label> {
        let style = self.style;
        let mut labels = Vec::new();
        for (point, at) in self.network.points.iter().zip(&self.at) {
            let Some(at) = *at else { continue };
            let weight = if point.state == PointState::Given {
                Weight::Bold
            } else {
                Weight::Regular
            };
            let words = Wording::new(style.note, &[(&point.name, weight)]);
            let (width, depth) = (words.width, words.depth);
            let mut label = Label::new(&format!("point {}", point.name), vec![words]);
            let out = (at - self.middle).unit();
            for gap in [1.0, 2.0, 3.5, 5.5, 8.0] {
                for step in 0..12 {
                    let way = Point::at_angle(f64::from(step) * std::f64::consts::TAU / 12.0);
                    let off = Point::new(way.x * (width / 2.0 + gap), way.y * (depth / 2.0 + gap));
                    label.at(0, at + off, 0.0, gap + 0.6 * (1.0 - way.dot(out)));
                }
            }
            label.around(0, &[(at, out)], Tip::Bare, style, 8.0);
            labels.push(label);
        }
        labels
    }

    /// What is wrong with the ties that stand out.
    fn wrong_labels(&self) -> Vec<Label> {
        let style = self.style;
        let mut labels = Vec::new();
        for blunder in &self.network.blunders {
            let Some(tie) = self.network.ties.get(blunder.tie) else {
                continue;
            };
            let (Some(from), Some(to)) = (self.place(&tie.from), self.place(&tie.to)) else {
                continue;
            };
            let size = Length::mm(blunder.too_long.to_mm().abs()).show_fine(self.units);
            let way = if blunder.too_long > Length::ZERO {
                "long"
            } else {
                "short"
            };
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

/// How many times full size: so that all but the few largest ellipses are as large as a name.
fn times(style: &Style, network: &NetworkFigures) -> f64 {
    let mut sizes: Vec<f64> = network
        .points
        .iter()
        .filter_map(|point| Some(point.ellipse?.long.to_mm()))
        .filter(|size| size.is_finite() && *size > 0.0)
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
pub(super) fn legend(decks: &[&DeckJob], style: &Style, network: &NetworkFigures) -> Vec<Row> {
    let mut rows = vec![Row::Heading("Legend".to_owned())];
    let mut add = |swatch, meaning: &str| rows.push(Row::Swatch(swatch, meaning.to_owned()));
    let times = times(style, network);
    add(Swatch::Mark, "mark whose place was given");
    add(Swatch::Point, "point found by its ties");
    if network.points.iter().any(|point| {
        matches!(
            point.state,
            PointState::Unchecked | PointState::Ambiguous { .. }
        )
    }) {
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
    super::view_pattern::common(decks, &mut add);
    rows
}

/// How well the whole agrees, and what to do about what does not.
pub(super) fn notes(network: &NetworkFigures, units: LengthUnit) -> Vec<Row> {
    let mut rows = vec![Row::Heading("How well it agrees".to_owned())];
    let mut say = |words: String| rows.push(Row::Paragraph(words));
    let used = network.ties.iter().filter(|tie| tie.used).count();
    say(format!(
        "{} points, {} ties of which {used} are used; {} more than the points need.",
        network.points.len(),
        network.ties.len(),
        network.spare_ties
    ));
    if let (Some(largest), Some(misfit)) = (network.largest_residual, network.misfit) {
        say(format!(
            "Largest residual {}; residuals are {misfit:.1} times what the stated precision promises.",
            largest.show_fine(units)
        ));
    }
    for blunder in &network.blunders {
        let Some(tie) = network.ties.get(blunder.tie) else {
            continue;
        };
        let size = Length::mm(blunder.too_long.to_mm().abs()).show_fine(units);
        let way = if blunder.too_long > Length::ZERO {
            "long"
        } else {
            "short"
        };
        let verdict = if blunder.is_left_out() {
            "left out; measure it again"
        } else {
            "or another tie of its point; one more tie would tell"
        };
        say(format!(
            "{} to {} looks {size} {way}: {verdict}.",
            tie.from, tie.to
        ));
    }
    say("Measure again what is doubted before cutting tape to it.".to_owned());
    rows
}
