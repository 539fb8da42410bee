//! A region, steps done to it, and what must come out.

use std::fs;
use std::path::Path;

use clipper2_rust::{
    EndType, FillRule, JoinType, Path64, Paths64, Point as Node, difference_64, inflate_paths_64,
    union_subjects_64,
};
use serde::Deserialize;
use spile::shape::{Point, Region, Ring, Segment};
use spile::units::Length;

use crate::formula::Names;
use crate::shapes::{self, Number, Shape, share};
use crate::{NOTHING, SECONDS, Task, is_near};

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    case: Vec<Case>,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
struct Case {
    name: String,
    /// Names and their values, each may use those before it.
    #[serde(default)]
    given: Vec<(String, Number)>,
    /// All shapes together.
    region: Vec<Shape>,
    #[serde(default)]
    steps: Vec<Step>,
    expect: Expect,
    /// Relative error of area and perimeter.
    tolerance: Option<Number>,
    seconds: Option<f64>,
    awaiting: Option<String>,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(rename_all = "snake_case")]
enum Step {
    Inset(Number),
    Outset(Number),
    Opened(Number),
    /// Inward corners filled.
    Filled(Number),
    Minus(Vec<Shape>),
    Plus(Vec<Shape>),
    Within(Vec<Shape>),
}

#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
struct Expect {
    area: Option<Number>,
    /// Bounds of the area where no closed form exists.
    between: Option<[Number; 2]>,
    perimeter: Option<Number>,
    rings: Option<usize>,
    /// Unconnected parts.
    parts: Option<usize>,
    segments: Option<usize>,
    fillets: Option<usize>,
    /// Least distance from the result's boundary to that of the region it began with.
    clearance: Option<Number>,
    /// Random points asked whether they keep to the definition of the one inset or outset.
    samples: Option<u32>,
    /// The area again by a polygon clipper of other descent, arcs as chords.
    clipper: Option<Clipper>,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
struct Clipper {
    /// Error of the chords, millimetres.
    chord: f64,
    /// How far the areas may differ, mm².
    within: Number,
}

/// The cases of a file.
pub(crate) fn tasks(path: &Path) -> Vec<Task> {
    let text = fs::read_to_string(path).expect("a data file");
    let file: File = match toml::from_str(&text) {
        Ok(file) => file,
        Err(why) => return vec![Task::unreadable(path, &why)],
    };
    file.case
        .into_iter()
        .map(|case| Task {
            name: case.name.clone(),
            awaiting: case.awaiting.clone(),
            seconds: case.seconds.unwrap_or(SECONDS),
            run: Box::new(move || case.run()),
        })
        .collect()
}

impl Case {
    fn run(&self) -> Result<(), String> {
        let mut names = Names::new();
        for (name, number) in &self.given {
            let value = number.value(&names)?;
            names.insert(name.clone(), value);
        }
        let rings = shapes::rings(&self.region, &names)?;
        let start = together(&rings);
        sound(&start).map_err(|why| format!("the region itself: {why}"))?;
        let mut region = start.clone();
        let mut fillets = 0;
        for (index, step) in self.steps.iter().enumerate() {
            region = step.done_to(&region, &names, &mut fillets)?;
            sound(&region).map_err(|why| format!("step {}: {why}", index + 1))?;
        }
        self.judge(&names, &rings, &start, &region, fillets)
    }

    fn judge(
        &self,
        names: &Names,
        rings: &[Ring],
        start: &Region,
        region: &Region,
        fillets: usize,
    ) -> Result<(), String> {
        let expect = &self.expect;
        let tolerance = match &self.tolerance {
            Some(tolerance) => tolerance.value(names)?,
            None => 1e-9,
        };
        let mut wrong = Vec::new();
        for (what, found, wanted) in [
            ("area", region.area(), &expect.area),
            ("perimeter", region.perimeter(), &expect.perimeter),
        ] {
            let Some(wanted) = wanted else { continue };
            let wanted = wanted.value(names)?;
            if !is_near(found, wanted, tolerance * wanted.abs() + NOTHING) {
                let off = found - wanted;
                wrong.push(format!("{what} {found}, not {wanted} ({off:.1e} off)"));
            }
        }
        if let Some([low, high]) = &expect.between {
            let (low, high) = (low.value(names)?, high.value(names)?);
            if !(low..=high).contains(&region.area()) {
                wrong.push(format!("area {} not in {low} .. {high}", region.area()));
            }
        }
        let segments = region.segments().count();
        for (what, found, wanted) in [
            ("rings", region.rings().len(), expect.rings),
            ("parts", region.components().len(), expect.parts),
            ("segments", segments, expect.segments),
            ("fillets", fillets, expect.fillets),
        ] {
            if let Some(wanted) = wanted
                && wanted != found
            {
                wrong.push(format!("{found} {what}, not {wanted}"));
            }
        }
        if let Some(wanted) = &expect.clearance {
            let wanted = wanted.value(names)?;
            let found = region
                .nearest_boundary(start)
                .ok_or("no boundary to be clear of")?
                .distance
                .to_mm();
            if !is_near(found, wanted, 1e-6) {
                wrong.push(format!("clearance {found}, not {wanted}"));
            }
        }
        if let Some(count) = expect.samples {
            self.sample(names, start, region, count)?;
        }
        if let Some(clipper) = &expect.clipper {
            let other = self.by_polygons(names, rings, clipper.chord)?;
            let within = clipper.within.value(names)?;
            if !is_near(region.area(), other, within) {
                wrong.push(format!("area {}, by polygons {other}", region.area()));
            }
        }
        if wrong.is_empty() {
            Ok(())
        } else {
            Err(wrong.join("; "))
        }
    }

    /// Points at random, and beside the result's boundary on both sides: in the result exactly where the
    /// definition of an inset or outset says.
    fn sample(
        &self,
        names: &Names,
        start: &Region,
        region: &Region,
        count: u32,
    ) -> Result<(), String> {
        let (distance, is_inset) = match &self.steps[..] {
            [Step::Inset(distance)] => (distance.value(names)?, true),
            [Step::Outset(distance)] => (distance.value(names)?, false),
            _ => return Err("samples need one inset or outset".to_owned()),
        };
        let bounds = start
            .bounding_box()
            .grown(if is_inset { 1.0 } else { 2.0 * distance });
        let segments: Vec<&Segment> = region.segments().collect();
        let mut dice = 11;
        for index in 0..count {
            let point = if index % 2 == 0 || segments.is_empty() {
                let (x, y) = (share(&mut dice), share(&mut dice));
                bounds.least + Point::new(x * bounds.width(), y * bounds.height())
            } else {
                // 0.1 to 10 µm aside.
                let which = (share(&mut dice) * segments.len() as f64).floor();
                let at = share(&mut dice);
                let aside = 10f64.powf(-4.0 + 2.0 * share(&mut dice));
                let side = if share(&mut dice) < 0.5 {
                    aside
                } else {
                    -aside
                };
                segments
                    .iter()
                    .enumerate()
                    .find(|(index, _)| *index as f64 == which)
                    .map_or(Point::ORIGIN, |(_, segment)| {
                        segment.point_at(at) + segment.direction_at(at).left() * side
                    })
            };
            let away = start.boundary_distance(point).to_mm();
            if (away - distance).abs() < 2e-6 {
                continue;
            }
            let wanted = if is_inset {
                start.contains(point) && away > distance
            } else {
                start.contains(point) || away < distance
            };
            if region.contains(point) != wanted {
                return Err(format!(
                    "({}, {}) is {away} from the boundary, so {} in the result",
                    point.x,
                    point.y,
                    if wanted { "must be" } else { "must not be" },
                ));
            }
        }
        Ok(())
    }

    fn by_polygons(&self, names: &Names, rings: &[Ring], chord: f64) -> Result<f64, String> {
        let flat = |rings: &[Ring]| -> Paths64 {
            let rings: Paths64 = rings.iter().map(|ring| polygon(ring, chord)).collect();
            union_subjects_64(&rings, FillRule::NonZero)
        };
        let moved = |paths: &Paths64, by: f64| {
            let (join, ends) = (JoinType::Round, EndType::Polygon);
            inflate_paths_64(paths, by * SCALE, join, ends, 2.0, chord * SCALE)
        };
        let mut paths = flat(rings);
        for step in &self.steps {
            paths = match step {
                Step::Inset(by) => moved(&paths, -by.value(names)?),
                Step::Outset(by) => moved(&paths, by.value(names)?),
                Step::Opened(by) => {
                    let by = by.value(names)?;
                    moved(&moved(&paths, -by), by)
                }
                Step::Minus(shapes) => difference_64(
                    &paths,
                    &flat(&shapes::rings(shapes, names)?),
                    FillRule::NonZero,
                ),
                _ => return Err("the polygons do not know every step".to_owned()),
            };
        }
        let doubled: f64 = paths
            .iter()
            .map(|path| {
                let next = path.iter().cycle().skip(1);
                path.iter()
                    .zip(next)
                    .map(|(a, b)| a.x as f64 * b.y as f64 - a.y as f64 * b.x as f64)
                    .sum::<f64>()
            })
            .sum();
        Ok(doubled / 2.0 / SCALE / SCALE)
    }
}

/// The polygons' grid nodes in a millimetre.
const SCALE: f64 = 1e5;

#[allow(
    clippy::cast_possible_truncation,
    reason = "regions are some hundred metres at most"
)]
fn polygon(ring: &Ring, chord: f64) -> Path64 {
    let mut path = Path64::new();
    for segment in ring.segments() {
        let steps = match segment {
            Segment::Line(..) => 1.0,
            Segment::Arc(arc) => {
                let angle = 2.0 * (1.0 - (chord / arc.radius).min(1.0)).acos();
                (arc.sweep.abs() / angle).ceil().max(1.0)
            }
        };
        let mut step = 0.0;
        while step < steps {
            let point = segment.point_at(step / steps) * SCALE;
            path.push(Node::new(point.x.round() as i64, point.y.round() as i64));
            step += 1.0;
        }
    }
    path
}

impl Step {
    fn done_to(
        &self,
        region: &Region,
        names: &Names,
        fillets: &mut usize,
    ) -> Result<Region, String> {
        let mm = |number: &Number| number.value(names).map(Length::mm);
        let each = |shapes: &[Shape]| -> Result<Vec<Region>, String> {
            let rings = shapes::rings(shapes, names)?;
            Ok(rings.into_iter().map(Region::inside).collect())
        };
        Ok(match self {
            Self::Inset(by) => region.eroded(mm(by)?),
            Self::Outset(by) => region.dilated(mm(by)?),
            Self::Opened(radius) => region.opened(mm(radius)?),
            Self::Filled(radius) => {
                let filled = region.hollows_filled(mm(radius)?, |_| true);
                *fillets += filled.fillets.len();
                filled.region
            }
            Self::Minus(shapes) => region.difference(&each(shapes)?.iter().collect::<Vec<_>>()),
            Self::Plus(shapes) => region.union(&each(shapes)?.iter().collect::<Vec<_>>()),
            Self::Within(shapes) => region.intersection(&each(shapes)?.iter().collect::<Vec<_>>()),
        })
    }
}

/// One ring as it is; several together.
fn together(rings: &[Ring]) -> Region {
    match rings {
        [ring] => Region::inside(ring.clone()),
        _ => Region::of_overlapping(rings),
    }
}

/// What every region must be: rings closed bit for bit, arcs with their ends on their circle, all of it
/// finite, more outside than holes.
fn sound(region: &Region) -> Result<(), String> {
    for ring in region.rings() {
        let segments = ring.segments();
        for (index, segment) in segments.iter().enumerate() {
            let next = &segments[(index + 1) % segments.len()];
            let (end, start) = (segment.end(), next.start());
            if !(end.x.is_finite() && end.y.is_finite()) {
                return Err(format!("segment {index} ends nowhere"));
            }
            if end != start {
                return Err(format!(
                    "a gap of {} at ({}, {})",
                    end.distance(start),
                    end.x,
                    end.y
                ));
            }
            if let Segment::Arc(arc) = segment {
                for point in [arc.start, arc.end] {
                    let off = (point.distance(arc.centre) - arc.radius).abs();
                    // As near as the coordinates' own digits allow.
                    let digits = 1e-15 * (point.length() + arc.radius);
                    if off > 1e-6 + 4.0 * digits {
                        return Err(format!("an arc of radius {} ends {off} off", arc.radius));
                    }
                }
            }
        }
        if ring.signed_area() == 0.0 {
            return Err("a ring without area".to_owned());
        }
    }
    if region.area() < 0.0 {
        return Err(format!("an area of {}", region.area()));
    }
    Ok(())
}
