//! Walks the tree of an SVG's elements once, with the axes each stands in, follows every `use`, and collects
//! what carries an id. The standard: W3C, "Scalable Vector Graphics (SVG) 2", chapter 5, Document structure.

use std::str::FromStr;

use roxmltree::{Document, Node, NodeId};
use rustc_hash::FxHashMap;
use svgtypes::{AspectRatio, Length, ViewBox};

use super::super::{Drawn, DrawnPath, ImportFault, Unread};
use super::path::{self, Trouble};
use super::pen::{Course, Pen, Stopped};
use super::places::Places;
use super::shapes;
use super::viewport::{self, Of, PX, Viewport};
use crate::shape::{Point, Transformation};

/// Elements looked at, those of every `use` counted each time.
const MOST_VISITS: usize = 1_000_000;
/// Elements within elements, those a `use` brings in included.
const DEEPEST: usize = 200;
/// Lines and curves in one drawing.
const MOST_PIECES: usize = 2_000_000;

const SVG: &str = "http://www.w3.org/2000/svg";
const XLINK: &str = "http://www.w3.org/1999/xlink";

/// Style properties that move or shape an element, which nothing here reads.
const MOVING: [&str; 12] = [
    "transform",
    "transform-origin",
    "translate",
    "rotate",
    "scale",
    "offset-path",
    "d",
    "cx",
    "cy",
    "r",
    "rx",
    "ry",
];

/// How an element comes to stand where it does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Standing {
    /// It is drawn where it is written.
    Itself,
    /// A `use` draws it.
    Used,
    /// It is only defined.
    Defined,
}

/// What an element stands in.
#[derive(Clone, Copy)]
struct Within {
    map: Transformation,
    viewport: Viewport,
    standing: Standing,
    depth: usize,
}

/// A shape, drawn or not.
struct Made {
    courses: Result<Vec<Course>, ImportFault>,
    standing: Standing,
}

/// Something with an id.
struct Thing<'a, 'i> {
    id: &'a str,
    node: Node<'a, 'i>,
    standing: Standing,
    /// The shapes it holds, by their numbers.
    made: std::ops::Range<usize>,
    /// What is wrong with it as a whole.
    fault: Option<ImportFault>,
}

struct Walk<'a, 'i, 'p> {
    places: &'p Places<'i>,
    nodes: FxHashMap<&'a str, Node<'a, 'i>>,
    made: Vec<Made>,
    things: Vec<Thing<'a, 'i>>,
    /// The elements that the `use`s on the way here brought in.
    brought: Vec<NodeId>,
    visits: usize,
    pieces: usize,
}

/// Everything with an id in a document.
pub(super) fn things(document: &Document<'_>, places: &Places<'_>) -> Result<Drawn, ImportFault> {
    let root = document.root_element();
    if !is_svg(root) || root.tag_name().name() != "svg" {
        return Err(places
            .fault(
                root.range().start,
                "the drawing is not an SVG",
                format!(
                    "its outermost element is <{}>",
                    shown(root.tag_name().name())
                ),
            )
            .with_help("save it as SVG"));
    }
    let mut walk = Walk {
        places,
        nodes: FxHashMap::default(),
        made: Vec::new(),
        things: Vec::new(),
        brought: Vec::new(),
        visits: 0,
        pieces: 0,
    };
    for node in root.descendants().filter(Node::is_element) {
        if let Some(id) = node.attribute("id") {
            walk.nodes.entry(id).or_insert(node);
        }
        if node.tag_name().name() == "style" {
            walk.check_sheet(node)?;
        }
    }
    let (viewport, unit) = walk.window(root)?;
    let within = Within {
        map: Transformation::IDENTITY,
        viewport,
        standing: Standing::Itself,
        depth: 0,
    };
    walk.visit(root, &within)?;
    walk.sorted_out(unit)
}

impl<'a, 'i> Walk<'a, 'i, '_> {
    /// The viewport of the outermost element, and the millimetres in its unit.
    fn window(&self, root: Node<'a, 'i>) -> Result<(Viewport, Option<f64>), ImportFault> {
        let nowhere = Viewport {
            width: None,
            height: None,
        };
        let side = |name: &str| -> Result<Option<Length>, ImportFault> {
            match root.attribute(name) {
                None | Some("auto") => Ok(None),
                Some(_) => self.length_of(root, name),
            }
        };
        let (width, height) = (side("width")?, side("height")?);
        let rules = [width, height].map(|side| side.and_then(viewport::physical));
        let Some(view) = self.view_box(root)? else {
            let px = |side: Option<Length>, of| side.and_then(|side| nowhere.px(side, of).ok());
            let viewport = Viewport {
                width: px(width, Of::Width),
                height: px(height, Of::Height),
            };
            return Ok((viewport, rules.iter().flatten().next().map(|_| PX)));
        };
        let viewport = Viewport {
            width: Some(view.w),
            height: Some(view.h),
        };
        let scale = match rules {
            [Some(width), Some(height)] => {
                let (x, y) = viewport::scales(view, self.aspect(root)?, width, height);
                // Stretched unevenly it has no one scale.
                ((x - y).abs() <= 1e-9 * x.max(y)).then_some(x)
            }
            [Some(width), None] => Some(width / view.w),
            [None, Some(height)] => Some(height / view.h),
            [None, None] => None,
        };
        Ok((viewport, scale.map(|scale| scale * PX)))
    }

    /// Looks at an element and all it holds.
    fn visit(&mut self, node: Node<'a, 'i>, within: &Within) -> Result<(), ImportFault> {
        self.visits += 1;
        if self.visits > MOST_VISITS {
            return Err(self
                .fault(
                    node,
                    "the drawing comes to more than a million elements, those of every `use` counted",
                    "more than a million by here",
                )
                .with_help("keep in it only what is to be taken over"));
        }
        if within.depth > DEEPEST {
            return Err(self
                .fault(
                    node,
                    format!("the drawing's elements lie more than {DEEPEST} deep in each other"),
                    "too deep",
                )
                .with_help("ungroup what need not be grouped"));
        }
        let name = if is_svg(node) {
            node.tag_name().name()
        } else {
            ""
        };
        let thing = node.attribute("id").map(|id| {
            self.things.push(Thing {
                id,
                node,
                standing: within.standing,
                made: self.made.len()..self.made.len(),
                fault: None,
            });
            self.things.len() - 1
        });
        let fault = match self.placed(node, name, within) {
            Ok(inner) => self.enter(node, name, &inner)?,
            Err(fault) => {
                // Nothing it holds can be placed, so nothing of it is looked for.
                self.made.push(Made {
                    courses: Err(fault.clone()),
                    standing: within.standing,
                });
                Some(fault)
            }
        };
        if let Some(thing) = thing {
            let end = self.made.len();
            let thing = &mut self.things[thing];
            thing.made.end = end;
            thing.fault = fault;
        }
        Ok(())
    }

    /// Goes on into an element whose own axes are known. A fault of the element alone comes back as a value.
    fn enter(
        &mut self,
        node: Node<'a, 'i>,
        name: &str,
        inner: &Within,
    ) -> Result<Option<ImportFault>, ImportFault> {
        match name {
            "svg" | "g" | "a" | "switch" => self.children(node, inner)?,
            "use" => return self.follow(node, inner),
            "path" | "rect" | "circle" | "ellipse" | "line" | "polyline" | "polygon" => {
                let courses = self.shape(node, name, inner);
                if self.pieces > MOST_PIECES {
                    return Err(self
                        .fault(
                            node,
                            "the drawing comes to more than two million lines and curves",
                            "more than two million by here",
                        )
                        .with_help(
                            "simplify its paths, and keep in it only what is to be taken over",
                        ));
                }
                self.made.push(Made {
                    courses,
                    standing: inner.standing,
                });
            }
            "text" | "image" | "tspan" | "textPath" | "foreignObject" | "style" | "title" => {}
            // Definitions, and whatever else may hold a shape without drawing it.
            _ => {
                let defined = Within {
                    standing: Standing::Defined,
                    ..*inner
                };
                self.children(node, &defined)?;
            }
        }
        Ok(None)
    }

    fn children(&mut self, node: Node<'a, 'i>, inner: &Within) -> Result<(), ImportFault> {
        for child in node.children().filter(Node::is_element) {
            self.visit(child, inner)?;
        }
        Ok(())
    }

    /// The axes inside an element: its own transformation and, of an `svg` within, its window.
    fn placed(
        &self,
        node: Node<'a, 'i>,
        name: &str,
        within: &Within,
    ) -> Result<Within, ImportFault> {
        self.check_style(node)?;
        let mut inner = *within;
        inner.depth += 1;
        if let Some(text) = node.attribute("transform") {
            let map = viewport::transformation(text).map_err(|_| {
                self.at_attribute(
                    node,
                    "transform",
                    format!("\"{}\" is no transformation", shown(text)),
                    "cannot be read",
                )
                .with_help("write for example translate(10 20) rotate(30) scale(2)")
            })?;
            inner.map = inner.map.after(&map);
        }
        if name == "svg" && within.depth > 0 {
            let size = [node.attribute("width"), node.attribute("height")];
            self.open_window(node, node, size, &mut inner)?;
        }
        Ok(inner)
    }

    /// Opens the window of an `svg` or `symbol`, where `placing` says where and how large it is.
    fn open_window(
        &self,
        node: Node<'a, 'i>,
        placing: Node<'a, 'i>,
        size: [Option<&str>; 2],
        inner: &mut Within,
    ) -> Result<(), ImportFault> {
        let at = Point::new(
            self.px(node, "x", Of::Width, inner.viewport, 0.0)?,
            self.px(node, "y", Of::Height, inner.viewport, 0.0)?,
        );
        inner.map = inner.map.after(&Transformation::shift(at));
        let side = |given: Option<&str>, name: &str, of: Of| -> Result<Option<f64>, ImportFault> {
            match given {
                None | Some("auto") => Ok(match of {
                    Of::Width => inner.viewport.width,
                    _ => inner.viewport.height,
                }),
                // On the `use`, if it is given there, else on what it brings in.
                Some(_) => {
                    let bearer = if placing.has_attribute(name) {
                        placing
                    } else {
                        node
                    };
                    self.px(bearer, name, of, inner.viewport, 0.0).map(Some)
                }
            }
        };
        let (width, height) = (
            side(size[0], "width", Of::Width)?,
            side(size[1], "height", Of::Height)?,
        );
        let Some(view) = self.view_box(node)? else {
            inner.viewport = Viewport { width, height };
            return Ok(());
        };
        let (Some(width), Some(height)) = (width, height) else {
            return Err(self
                .fault(
                    node,
                    "this part of the drawing has a viewBox and no size",
                    "how wide and how high?",
                )
                .with_help("give it width and height, or the outermost svg a viewBox"));
        };
        let fitted = viewport::fitted(view, self.aspect(node)?, width, height);
        inner.map = inner.map.after(&fitted);
        inner.viewport = Viewport {
            width: Some(view.w),
            height: Some(view.h),
        };
        Ok(())
    }

    /// Brings in what a `use` refers to.
    fn follow(
        &mut self,
        node: Node<'a, 'i>,
        within: &Within,
    ) -> Result<Option<ImportFault>, ImportFault> {
        let (target, inner) = match self.brought_in(node, within) {
            Ok(found) => found,
            Err(fault) => {
                self.made.push(Made {
                    courses: Err(fault.clone()),
                    standing: within.standing,
                });
                return Ok(Some(fault));
            }
        };
        self.brought.push(target.id());
        let name = if is_svg(target) {
            target.tag_name().name()
        } else {
            ""
        };
        if matches!(name, "symbol" | "svg") {
            self.things_within(target, node, &inner)?;
        } else {
            self.visit(target, &inner)?;
        }
        self.brought.pop();
        Ok(None)
    }

    /// A `symbol` or `svg` brought in by a `use`, which may give it another size.
    fn things_within(
        &mut self,
        target: Node<'a, 'i>,
        placing: Node<'a, 'i>,
        within: &Within,
    ) -> Result<(), ImportFault> {
        let mut inner = *within;
        inner.depth += 1;
        let size = ["width", "height"]
            .map(|name| placing.attribute(name).or_else(|| target.attribute(name)));
        let opened = match target.attribute("transform").map(viewport::transformation) {
            Some(Ok(map)) => {
                inner.map = inner.map.after(&map);
                self.open_window(target, placing, size, &mut inner)
            }
            None => self.open_window(target, placing, size, &mut inner),
            Some(Err(_)) => Err(self.at_attribute(
                target,
                "transform",
                "this transformation cannot be read",
                "cannot be read",
            )),
        };
        match opened {
            Ok(()) => self.children(target, &inner),
            Err(fault) => {
                self.made.push(Made {
                    courses: Err(fault),
                    standing: within.standing,
                });
                Ok(())
            }
        }
    }

    /// What a `use` refers to, and the axes it puts it in.
    fn brought_in(
        &self,
        node: Node<'a, 'i>,
        within: &Within,
    ) -> Result<(Node<'a, 'i>, Within), ImportFault> {
        let href = node
            .attribute("href")
            .or_else(|| node.attribute((XLINK, "href")));
        let Some(href) = href else {
            return Err(self
                .fault(node, "this `use` refers to nothing", "no href")
                .with_help("write href=\"#...\" with the id of what it draws"));
        };
        let target = href
            .trim()
            .strip_prefix('#')
            .and_then(|id| self.nodes.get(id));
        let Some(target) = target.copied() else {
            return Err(self
                .fault(
                    node,
                    format!(
                        "this `use` refers to \"{}\", which is not in the drawing",
                        shown(href)
                    ),
                    "refers to nothing here",
                )
                .with_help("copy what it should draw into this file"));
        };
        let is_round = self.brought.contains(&target.id())
            || node.ancestors().any(|ancestor| ancestor == target);
        if is_round {
            return Err(self
                .fault(
                    node,
                    format!(
                        "this `use` of \"{}\" draws itself, over and over",
                        shown(href)
                    ),
                    "goes round in a circle",
                )
                .with_help("let it refer to something that does not hold it"));
        }
        let shift = Point::new(
            self.px(node, "x", Of::Width, within.viewport, 0.0)?,
            self.px(node, "y", Of::Height, within.viewport, 0.0)?,
        );
        let inner = Within {
            map: within.map.after(&Transformation::shift(shift)),
            standing: within.standing.max(Standing::Used),
            depth: within.depth + 1,
            viewport: within.viewport,
        };
        Ok((target, inner))
    }

    /// Draws a shape.
    fn shape(
        &mut self,
        node: Node<'a, 'i>,
        name: &str,
        within: &Within,
    ) -> Result<Vec<Course>, ImportFault> {
        let mut pen = Pen::new(&within.map, (MOST_PIECES + 1).saturating_sub(self.pieces));
        let drawn = self.draw(node, name, within.viewport, &mut pen)?;
        let courses = pen.lifted();
        self.pieces += courses
            .iter()
            .map(|course| course.pieces.len())
            .sum::<usize>();
        match drawn {
            Ok(()) => {}
            Err(Trouble::Grammar(at)) => {
                let attribute = node.attribute_node("d");
                let start = attribute.map_or(node.range().start, |d| d.range_value().start);
                let offset = self.places.onwards(start, at.unwrap_or(0));
                return Err(self
                    .places
                    .fault(
                        offset,
                        "this path cannot be read from here on",
                        "not path data",
                    )
                    .with_help("the file may be cut short or damaged: save it again as SVG"));
            }
            Err(Trouble::Pen(Stopped::TooMany)) => self.pieces = MOST_PIECES + 1,
            Err(Trouble::Pen(Stopped::TooFar)) => {
                return Err(self
                    .fault(
                        node,
                        "this reaches further than a thousand million units from the drawing's origin",
                        "no drawing is as large",
                    )
                    .with_help("check its numbers, and the transformations it stands in"));
            }
        }
        if courses.is_empty() {
            return Err(self
                .fault(node, "there is nothing drawn here", "has no size")
                .with_help("draw it again, or name something else"));
        }
        Ok(courses)
    }

    /// Draws a shape with a pen. The outer error is one of an attribute.
    fn draw(
        &self,
        node: Node<'a, 'i>,
        name: &str,
        viewport: Viewport,
        pen: &mut Pen<'_>,
    ) -> Result<Result<(), Trouble>, ImportFault> {
        let px = |name: &str, of: Of| self.px(node, name, of, viewport, 0.0);
        let point = |x: &str, y: &str| -> Result<Point, ImportFault> {
            Ok(Point::new(px(x, Of::Width)?, px(y, Of::Height)?))
        };
        let sized = |size: Point| size.x > 0.0 && size.y > 0.0;
        let drawn = match name {
            "path" => return Ok(path::draw(node.attribute("d").unwrap_or_default(), pen)),
            "rect" => {
                let (at, size) = (point("x", "y")?, point("width", "height")?);
                let radii = self.radii(node, viewport)?;
                if sized(size) {
                    shapes::rectangle(at, size, radii, pen)
                } else {
                    Ok(())
                }
            }
            "circle" => {
                let radius = px("r", Of::Diagonal)?;
                let radii = Point::new(radius, radius);
                let centre = point("cx", "cy")?;
                if sized(radii) {
                    shapes::ellipse(centre, radii, pen)
                } else {
                    Ok(())
                }
            }
            "ellipse" => {
                let (centre, radii) = (point("cx", "cy")?, self.radii(node, viewport)?);
                if sized(radii) {
                    shapes::ellipse(centre, radii, pen)
                } else {
                    Ok(())
                }
            }
            "line" => {
                let ends = [point("x1", "y1")?, point("x2", "y2")?];
                shapes::polyline(ends.into_iter(), false, pen)
            }
            _ => {
                let points = self.points(node)?;
                shapes::polyline(points.into_iter(), name == "polygon", pen)
            }
        };
        Ok(drawn.map_err(Trouble::from))
    }

    /// The points of a `polyline` or `polygon`.
    fn points(&self, node: Node<'a, 'i>) -> Result<Vec<Point>, ImportFault> {
        let text = node.attribute("points").unwrap_or_default();
        let mut stream = svgtypes::NumberListParser::from(text);
        let mut numbers = Vec::new();
        for number in &mut stream {
            numbers.push(number.map_err(|_| {
                self.at_attribute(
                    node,
                    "points",
                    format!(
                        "number {} of these points cannot be read",
                        numbers.len() + 1
                    ),
                    "not a list of points",
                )
                .with_help("write x and y of each point: points=\"0,0 10,0 10,5\"")
            })?);
        }
        if numbers.len() % 2 == 1 {
            return Err(self
                .at_attribute(
                    node,
                    "points",
                    "the last point lacks its y",
                    "an odd number of numbers",
                )
                .with_help("write x and y of each point: points=\"0,0 10,0 10,5\""));
        }
        Ok(numbers
            .chunks(2)
            .map(|pair| Point::new(pair[0], pair[1]))
            .collect())
    }

    /// `rx` and `ry`; one that is not given is as the other.
    fn radii(&self, node: Node<'a, 'i>, viewport: Viewport) -> Result<Point, ImportFault> {
        let one = |name: &str, of: Of| -> Result<Option<f64>, ImportFault> {
            match node.attribute(name) {
                None | Some("auto") => Ok(None),
                Some(_) => self.px(node, name, of, viewport, 0.0).map(Some),
            }
        };
        let (x, y) = (one("rx", Of::Width)?, one("ry", Of::Height)?);
        Ok(Point::new(
            x.or(y).unwrap_or_default(),
            y.or(x).unwrap_or_default(),
        ))
    }

    /// An attribute that is a length, in px.
    fn px(
        &self,
        node: Node<'a, 'i>,
        name: &str,
        of: Of,
        viewport: Viewport,
        absent: f64,
    ) -> Result<f64, ImportFault> {
        let Some(length) = self.length_of(node, name)? else {
            return Ok(absent);
        };
        viewport.px(length, of).map_err(|reason| {
            let text = shown(node.attribute(name).unwrap_or_default());
            self.at_attribute(
                node,
                name,
                format!("the length \"{text}\" is {reason}"),
                "how long?",
            )
            .with_help("write a plain number or one with mm, cm, in, pt or px")
        })
    }

    fn length_of(&self, node: Node<'a, 'i>, name: &str) -> Result<Option<Length>, ImportFault> {
        let Some(text) = node.attribute(name) else {
            return Ok(None);
        };
        match Length::from_str(text.trim()) {
            Ok(length) if length.number.is_finite() => Ok(Some(length)),
            _ => Err(self
                .at_attribute(
                    node,
                    name,
                    format!("\"{}\" is no length", shown(text)),
                    "cannot be read",
                )
                .with_help("write a plain number or one with mm, cm, in, pt or px")),
        }
    }

    fn view_box(&self, node: Node<'a, 'i>) -> Result<Option<ViewBox>, ImportFault> {
        let Some(text) = node.attribute("viewBox") else {
            return Ok(None);
        };
        ViewBox::from_str(text).map(Some).map_err(|_| {
            self.at_attribute(
                node,
                "viewBox",
                format!("\"{}\" is no viewBox", shown(text)),
                "cannot be read",
            )
            .with_help("write least x, least y, width and height: viewBox=\"0 0 300 200\"")
        })
    }

    fn aspect(&self, node: Node<'a, 'i>) -> Result<AspectRatio, ImportFault> {
        let Some(text) = node.attribute("preserveAspectRatio") else {
            return Ok(AspectRatio::default());
        };
        AspectRatio::from_str(text).map_err(|_| {
            self.at_attribute(
                node,
                "preserveAspectRatio",
                format!("\"{}\" says nothing of the aspect", shown(text)),
                "cannot be read",
            )
            .with_help("write for example xMidYMid meet, or none")
        })
    }

    /// Refuses a style that moves its element.
    fn check_style(&self, node: Node<'a, 'i>) -> Result<(), ImportFault> {
        if let Some(text) = node.attribute("transform-origin") {
            return Err(self
                .at_attribute(
                    node,
                    "transform-origin",
                    format!("transformations about \"{}\" are not followed", shown(text)),
                    "turned about another point",
                )
                .with_help("write the transformation about the origin, or apply it to the path"));
        }
        let Some(style) = node.attribute("style") else {
            return Ok(());
        };
        match declared(style).find(|name| MOVING.contains(name)) {
            None => Ok(()),
            Some(name) => Err(self
                .at_attribute(
                    node,
                    "style",
                    format!("a style gives `{name}`, and styles are not followed"),
                    "moved or shaped by a style",
                )
                .with_help(format!("write {name} as an attribute of the element"))),
        }
    }

    /// Refuses a style sheet that moves elements: which ones cannot be told here.
    fn check_sheet(&self, node: Node<'a, 'i>) -> Result<(), ImportFault> {
        let sheet = node.text().unwrap_or_default();
        match declared(sheet).find(|name| MOVING.contains(name)) {
            None => Ok(()),
            Some(name) => Err(self
                .fault(
                    node,
                    format!("the drawing's style sheet gives `{name}`, and style sheets are not followed"),
                    "may move or shape elements",
                )
                .with_help("save the drawing with its transformations as attributes, or applied to its paths")),
        }
    }

    /// What can be asked for, each id once.
    fn sorted_out(self, unit: Option<f64>) -> Result<Drawn, ImportFault> {
        let mut drawn = Drawn {
            unit,
            ..Drawn::default()
        };
        let mut order: Vec<(&str, Vec<usize>)> = Vec::new();
        let mut seen: FxHashMap<&str, usize> = FxHashMap::default();
        for (number, thing) in self.things.iter().enumerate() {
            let at = *seen.entry(thing.id).or_insert_with(|| {
                order.push((thing.id, Vec::new()));
                order.len() - 1
            });
            order[at].1.push(number);
        }
        let mut pieces = 0;
        for (id, numbers) in order {
            match self.the_one(&numbers) {
                Ok((thing, courses)) => {
                    let line = self.places.line(thing.node.range().start);
                    for course in courses {
                        pieces += course.pieces.len();
                        if pieces > MOST_PIECES {
                            return Err(self
                                .fault(
                                    thing.node,
                                    "the drawing comes to more than two million lines and curves, \
                                     those of every named group counted",
                                    "more than two million by here",
                                )
                                .with_help("simplify its paths, and keep in it only what is to be taken over"));
                        }
                        drawn.paths.push(DrawnPath {
                            id: Some(id.to_owned()),
                            layer: None,
                            pieces: course.pieces.clone(),
                            closed: course.closed,
                            line,
                        });
                    }
                }
                Err(fault) => drawn.unread.push(Unread {
                    id: Some(id.to_owned()),
                    layer: None,
                    fault,
                    only_by_name: false,
                }),
            }
        }
        Ok(drawn)
    }

    /// Of all the places where an id is met, the one that counts, and what is drawn there.
    fn the_one(&self, numbers: &[usize]) -> Result<(&Thing<'a, 'i>, &[Course]), ImportFault> {
        let things = || numbers.iter().filter_map(|number| self.things.get(*number));
        let Some(thing) = things().min_by_key(|thing| thing.standing) else {
            return Err(ImportFault::new(0, 0, "there is nothing drawn here", ""));
        };
        let mut rivals = things()
            .filter(|other| other.standing == thing.standing)
            .skip(1);
        if let Some(other) = rivals.next() {
            let again = self.fault(other.node, "", "");
            return Err(if other.node == thing.node {
                self.fault(
                    thing.node,
                    format!("\"{}\" is drawn more than once", shown(thing.id)),
                    "drawn by several `use`s",
                )
                .with_help("give the `use` that is meant an id, and name that")
            } else {
                self.fault(
                    thing.node,
                    format!(
                        "two things in the drawing have the id \"{}\"",
                        shown(thing.id)
                    ),
                    format!("and again in line {}", again.line),
                )
                .with_help("give one of them another id")
            });
        }
        if let Some(fault) = &thing.fault {
            return Err(fault.clone());
        }
        // What a group only defines is not in it.
        let most = thing.standing.max(Standing::Used);
        let held = self.made.get(thing.made.clone()).unwrap_or_default();
        let mut shapes = held.iter().filter(|made| made.standing <= most);
        let name = shown(thing.node.tag_name().name());
        match (shapes.next(), shapes.count()) {
            (None, _) => Err(self
                .fault(
                    thing.node,
                    format!("\"{}\" is a <{name}> and holds no path", shown(thing.id)),
                    "no path",
                )
                .with_help("name a path, rect, circle, ellipse, line, polyline or polygon; make text and pictures into paths first")),
            (Some(made), 0) => match &made.courses {
                Ok(courses) => Ok((thing, courses)),
                Err(fault) => Err(fault.clone()),
            },
            (Some(_), more) => Err(self
                .fault(
                    thing.node,
                    format!("\"{}\" is a <{name}> that holds {} shapes", shown(thing.id), more + 1),
                    "which of them?",
                )
                .with_help("name the shape that is meant, or combine them into one path")),
        }
    }

    /// A fault of an element.
    fn fault(
        &self,
        node: Node<'_, '_>,
        message: impl Into<String>,
        label: impl Into<String>,
    ) -> ImportFault {
        self.places.fault(node.range().start, message, label)
    }

    /// A fault of an element's attribute.
    fn at_attribute(
        &self,
        node: Node<'_, '_>,
        name: &str,
        message: impl Into<String>,
        label: impl Into<String>,
    ) -> ImportFault {
        let start = node
            .attribute_node(name)
            .map_or(node.range().start, |attribute| {
                attribute.range_value().start
            });
        self.places.fault(start, message, label)
    }
}

/// Whether an element is of the SVG namespace, or of none, as in files written by hand.
fn is_svg(node: Node<'_, '_>) -> bool {
    node.tag_name().namespace().is_none_or(|name| name == SVG)
}

/// The names of the properties that a style or a sheet declares.
fn declared(style: &str) -> impl Iterator<Item = &str> {
    style
        .split(['{', '}', ';'])
        .filter_map(|declaration| declaration.split_once(':'))
        .map(|(name, _)| name.trim())
}

/// The beginning of a text, for a message.
fn shown(text: &str) -> String {
    let mut short: String = text.chars().take(40).collect();
    if short.len() < text.len() {
        short.push_str("...");
    }
    short
}
