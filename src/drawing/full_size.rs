//! The pattern at full size: every line that is carried onto a deck, in the deck's own millimetres. Comes in: a worked
//! out [`Job`] and what of it is wanted. Goes out: lines and arcs with what each of them is, for templates and cutters.
//!
//! Axes are the deck's: x aft, y to starboard. A deck with camber or sheer is laid flat first, since a template lies on
//! its surface; margins and radii were laid out there or in plan, as the layout says.

use std::fmt;

use super::developed::laid_flat;
use super::marks::Run;
use crate::masking::{Chain, field_lines};
use crate::outline::whereabouts;
use crate::shape::{BoundingBox, Point, Region, Ring, Rows, Segment};
use crate::surface::Development;
use crate::units::{Length, LengthUnit};
use crate::{DeckJob, Job, NoSuchDeck};

/// How far a pattern may be from its mirror image and still count as the same, millimetres.
const SYMMETRIC: f64 = 0.01;
/// Half a pattern begins here: what lies on the centreline belongs to it, millimetres.
const ON_CENTRELINE: f64 = -1e-6;
/// Beyond everything, millimetres.
const FAR: f64 = 1e7;

/// What of a job is wanted at full size.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Wanted {
    /// One deck by its id; none: all decks.
    pub deck: Option<String>,
    /// Fields by their names; empty: all.
    pub fields: Vec<String>,
    /// Paint lines alone.
    pub paint_lines_only: bool,
    /// The starboard half alone, to be turned over on the centreline for port.
    pub half: bool,
}

/// A job at full size.
#[derive(Debug, Clone, PartialEq)]
pub struct FullSize {
    /// Title of the job.
    pub title: String,
    /// Unit of what is said to people.
    pub units: LengthUnit,
    /// Its decks.
    pub decks: Vec<FullSizeDeck>,
}

/// A deck at full size, millimetres.
#[derive(Debug, Clone, PartialEq)]
pub struct FullSizeDeck {
    /// Its id.
    pub id: String,
    /// What people call it.
    pub title: String,
    /// Whether it has camber or sheer and is laid flat here.
    pub is_developed: bool,
    /// Its lines: each field's, then edge, openings, fittings and centreline.
    pub lines: Vec<FullSizeLine>,
    /// What its fields are called, and where they lie.
    pub names: Vec<FieldName>,
}

/// A line at full size.
#[derive(Debug, Clone, PartialEq)]
pub struct FullSizeLine {
    /// What it is.
    pub kind: LineKind,
    /// The field it belongs to, for paint lines and tape.
    pub field: Option<String>,
    /// Where it runs, open or closed.
    pub run: Run,
}

/// What a line at full size is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum LineKind {
    /// Where non-skid and border meet.
    PaintLine,
    /// The middle of the line tape of the first pass, in the field.
    TapeFirst,
    /// The middle of the line tape of the reversed pass, on the border.
    TapeReversed,
    /// The deck's edge.
    DeckEdge,
    /// The edge of an opening.
    Opening,
    /// The edge of a fitting, in place or lifted.
    Fitting,
    /// The centreline, as far as the deck reaches along it.
    Centreline,
}

/// A field's name and where it belongs.
#[derive(Debug, Clone, PartialEq)]
pub struct FieldName {
    /// `F1`, `F2`, …
    pub name: String,
    /// The field.
    pub region: Region,
}

/// Why nothing comes out at full size.
#[derive(Debug, Clone, PartialEq)]
pub enum FullSizeFault {
    /// The layout has no deck of this id.
    NoSuchDeck(NoSuchDeck),
    /// The decks asked for have no field of this name.
    NoSuchField {
        /// What was asked for.
        name: String,
        /// What there is.
        known: Vec<String>,
    },
    /// The decks asked for have no field at all.
    NoFields,
    /// Half of a pattern was asked for that is not the same on both sides.
    NotSymmetric {
        /// Title of the deck.
        deck: String,
        /// A place on its paint line.
        at: Point,
        /// How far the paint line on the other side is from its mirror image; none where there is none at all.
        off: Option<Length>,
        /// Unit of what is said.
        units: LengthUnit,
    },
}

impl fmt::Display for FullSizeFault {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoSuchDeck(fault) => fault.fmt(formatter),
            Self::NoSuchField { name, known } => write!(
                formatter,
                "there is no field {name:?}; there are {}",
                known.join(", ")
            ),
            Self::NoFields => formatter.write_str("there is no field to draw"),
            Self::NotSymmetric {
                deck,
                at,
                off,
                units,
            } => {
                write!(
                    formatter,
                    "the pattern of {deck} is not the same on both sides, so half of it is not enough: the paint line at \
                     {} ",
                    whereabouts(*at, *units)
                )?;
                match off {
                    Some(off) => write!(
                        formatter,
                        "has its like on the other side {} from its mirror image",
                        Length::show(*off, *units)
                    ),
                    None => write!(formatter, "has none like it on the other side"),
                }
            }
        }
    }
}

impl std::error::Error for FullSizeFault {}

/// Decks at full size.
///
/// # Errors
/// Where there is no such deck or field, or half of a pattern is wanted that is not the same on both sides to 0.01 mm.
pub fn full_size(job: &Job, wanted: &Wanted) -> Result<FullSize, FullSizeFault> {
    let chosen = job
        .decks_of(wanted.deck.as_deref())
        .map_err(FullSizeFault::NoSuchDeck)?;
    check_fields(&chosen, wanted)?;
    let mut decks = Vec::new();
    for deck in chosen {
        let lines = Lines::of(job, deck);
        if wanted.half {
            check_symmetry(&lines, deck)?;
        }
        let deck = lines.wanted(deck, wanted);
        if !deck.names.is_empty() {
            decks.push(deck);
        }
    }
    Ok(FullSize {
        title: job.layout.title.clone(),
        units: job.layout.units,
        decks,
    })
}

fn check_fields(decks: &[&DeckJob], wanted: &Wanted) -> Result<(), FullSizeFault> {
    let mut known: Vec<String> = Vec::new();
    for field in decks.iter().flat_map(|deck| &deck.pattern.fields) {
        if !known.contains(&field.id) {
            known.push(field.id.clone());
        }
    }
    if known.is_empty() {
        return Err(FullSizeFault::NoFields);
    }
    match wanted.fields.iter().find(|name| !known.contains(name)) {
        Some(name) => Err(FullSizeFault::NoSuchField {
            name: name.clone(),
            known,
        }),
        None => Ok(()),
    }
}

/// All lines of a deck.
struct Lines {
    is_developed: bool,
    lines: Vec<FullSizeLine>,
    names: Vec<FieldName>,
}

impl Lines {
    fn of(job: &Job, deck: &DeckJob) -> Self {
        match &deck.surface {
            None => Self::on(job, deck, None),
            Some(surface) => {
                let flat = laid_flat(job, deck, surface);
                let plan = deck.pattern.developed.is_none();
                let laid = plan.then_some((&flat.development, deck));
                let flat_deck = flat.job.decks.first().unwrap_or(deck);
                Self {
                    is_developed: true,
                    ..Self::on(job, flat_deck, laid)
                }
            }
        }
    }

    /// The lines of a flat deck. Where its pattern was laid out in plan and then laid flat, what of a field lies on an edge is
    /// known in plan alone: there its lines are those of the plan, laid flat.
    fn on(job: &Job, deck: &DeckJob, laid: Option<(&Development, &DeckJob)>) -> Self {
        let own = laid.map_or(deck, |(_, plan)| plan);
        let laid_run = |chain: &Chain| Run {
            segments: match laid {
                None => chain.segments.clone(),
                Some((development, _)) => chain
                    .segments
                    .iter()
                    .flat_map(|segment| development.laid_segment(segment))
                    .collect(),
            },
            closed: chain.is_closed,
        };
        let mut lines = Vec::new();
        for field in field_lines(&own.pattern, &job.layout.tape) {
            for (kind, chains) in [
                (LineKind::PaintLine, &field.paint_line),
                (LineKind::TapeFirst, &field.first),
                (LineKind::TapeReversed, &field.reversed),
            ] {
                lines.extend(chains.iter().map(|chain| FullSizeLine {
                    kind,
                    field: Some(field.field.clone()),
                    run: laid_run(chain),
                }));
            }
        }
        let mut add = |kind, ring: &Ring| {
            lines.push(FullSizeLine {
                kind,
                field: None,
                run: Run::closed(ring),
            });
        };
        for ring in deck.pattern.deck.rings() {
            add(LineKind::DeckEdge, ring);
        }
        for ring in deck.pattern.openings.rings() {
            add(LineKind::Opening, ring);
        }
        for fitting in &deck.plan.fittings {
            add(LineKind::Fitting, &fitting.ring);
        }
        let bounds = deck.pattern.deck.bounding_box();
        if bounds.least.y <= 0.0 && bounds.greatest.y >= 0.0 {
            lines.push(FullSizeLine {
                kind: LineKind::Centreline,
                field: None,
                run: Run::open(&[bounds.least.x, bounds.greatest.x].map(|x| Point::new(x, 0.0))),
            });
        }
        let fields = deck.pattern.fields.iter();
        Self {
            is_developed: false,
            lines,
            names: fields
                .map(|field| FieldName {
                    name: field.id.clone(),
                    region: field.region.clone(),
                })
                .collect(),
        }
    }

    fn wanted(self, deck: &DeckJob, wanted: &Wanted) -> FullSizeDeck {
        let is_wanted = |name: &String| wanted.fields.is_empty() || wanted.fields.contains(name);
        let mut lines = self.lines;
        lines.retain(|line| {
            let kept = match line.kind {
                LineKind::PaintLine => true,
                LineKind::Centreline => wanted.half || !wanted.paint_lines_only,
                _ => !wanted.paint_lines_only,
            };
            kept && line.field.as_ref().is_none_or(is_wanted)
        });
        let mut names = self.names;
        names.retain(|name| is_wanted(&name.name));
        if wanted.half {
            let starboard = BoundingBox {
                least: Point::new(-FAR, ON_CENTRELINE),
                greatest: Point::new(FAR, FAR),
            };
            lines = lines
                .into_iter()
                .flat_map(|line| {
                    let runs = line.run.parts_in(&starboard);
                    runs.into_iter().map(move |run| FullSizeLine {
                        run,
                        ..line.clone()
                    })
                })
                .collect();
            let half = Region::inside(starboard.rectangle());
            for name in &mut names {
                let bounds = name.region.bounding_box();
                if bounds.least.y < 0.0 {
                    name.region = name.region.intersection(&[&half]);
                }
            }
            names.retain(|name| !name.region.is_empty());
        }
        FullSizeDeck {
            id: deck.plan.id.clone(),
            title: deck.plan.title.clone(),
            is_developed: self.is_developed,
            lines,
            names,
        }
    }
}

/// Whether every place of the paint line has its like on the other side.
fn check_symmetry(lines: &Lines, deck: &DeckJob) -> Result<(), FullSizeFault> {
    let paint: Vec<&Segment> = lines
        .lines
        .iter()
        .filter(|line| line.kind == LineKind::PaintLine)
        .flat_map(|line| &line.run.segments)
        .collect();
    let boxes = paint.iter().map(|segment| segment.bounding_box()).collect();
    let rows = Rows::new(boxes);
    for segment in &paint {
        for step in 0..=4 {
            let at = segment.point_at(f64::from(step) / 4.0);
            let image = at.mirrored();
            let off = |index: usize| paint[index].nearest_point(image).distance(image);
            let mut found = false;
            let near = BoundingBox::of_points([image]).grown(SYMMETRIC);
            rows.touching(&near, |index| found = found || off(index) <= SYMMETRIC);
            if !found {
                let off = (0..paint.len()).map(off).fold(f64::INFINITY, f64::min);
                return Err(FullSizeFault::NotSymmetric {
                    deck: deck.plan.title.clone(),
                    at,
                    // Further off it is another line.
                    off: (off < 100.0).then(|| Length::mm(off)),
                    units: deck.plan.units,
                });
            }
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::layout::Sources;

    fn job(text: &str) -> Job {
        let layout = crate::layout::read(text).expect("a sound layout");
        crate::work_out(layout, &Sources::default()).expect("sound decks")
    }

    fn guillemot() -> Job {
        job(include_str!("../../layouts/guillemot.toml"))
    }

    fn length(deck: &FullSizeDeck, kind: LineKind) -> f64 {
        let of_kind = deck.lines.iter().filter(|line| line.kind == kind);
        of_kind
            .flat_map(|line| &line.run.segments)
            .map(Segment::length)
            .sum()
    }

    #[test]
    fn the_paint_line_at_full_size_is_the_working_edge() {
        let job = guillemot();
        let all = full_size(&job, &Wanted::default()).expect("it has fields");
        assert_eq!(all.decks.len(), job.decks.len());
        for (deck, own) in all.decks.iter().zip(&job.decks) {
            let edge = own.masking.first.working_edge.to_mm();
            assert!((length(deck, LineKind::PaintLine) - edge).abs() < 1e-3);
            assert_eq!(deck.names.len(), own.pattern.fields.len());
            assert!(!deck.is_developed);
        }
    }

    #[test]
    fn half_a_pattern_is_half_as_long() {
        let wanted = Wanted {
            deck: Some("foredeck".to_owned()),
            ..Wanted::default()
        };
        let job = guillemot();
        let whole = full_size(&job, &wanted).expect("it is there");
        let half = Wanted {
            half: true,
            ..wanted
        };
        let half = full_size(&job, &half).expect("it is symmetric");
        for kind in [LineKind::PaintLine, LineKind::DeckEdge, LineKind::Fitting] {
            let [whole, half] = [&whole, &half].map(|one| length(&one.decks[0], kind));
            assert!(
                (whole - 2.0 * half).abs() < 1e-3,
                "{kind:?}: {whole} {half}"
            );
        }
        for line in &half.decks[0].lines {
            let ends = line
                .run
                .segments
                .iter()
                .map(|one| one.bounding_box().least.y);
            assert!(ends.fold(0.0, f64::min) >= ON_CENTRELINE);
        }
    }

    #[test]
    fn half_of_a_pattern_that_differs_is_refused_with_the_place() {
        let wanted = Wanted {
            deck: Some("side-deck-port".to_owned()),
            half: true,
            ..Wanted::default()
        };
        let fault = full_size(&guillemot(), &wanted).expect_err("it lies to port alone");
        assert!(matches!(fault, FullSizeFault::NotSymmetric { .. }));
        assert!(fault.to_string().contains("not the same on both sides"));
    }

    #[test]
    fn fields_are_chosen_by_name_and_a_wrong_name_is_told_the_right_ones() {
        let job = guillemot();
        let only = |name: &str| Wanted {
            fields: vec![name.to_owned()],
            paint_lines_only: true,
            ..Wanted::default()
        };
        let second = full_size(&job, &only("F2")).expect("there is one");
        for deck in &second.decks {
            assert_eq!(deck.names.len(), 1);
            let of_it = |line: &FullSizeLine| {
                line.kind == LineKind::PaintLine && line.field.as_deref() == Some("F2")
            };
            assert!(deck.lines.iter().all(of_it));
        }
        let fault = full_size(&job, &only("F99")).expect_err("there is none");
        assert!(fault.to_string().contains("F1, F2"), "{fault}");
    }

    #[test]
    fn a_deck_with_camber_comes_laid_flat() {
        for text in [
            include_str!("../../layouts/sanderling.toml"),
            include_str!("../../layouts/garganey.toml"),
        ] {
            let job = job(text);
            let all = full_size(&job, &Wanted::default()).expect("it has fields");
            for (deck, own) in all.decks.iter().zip(&job.decks) {
                assert_eq!(deck.is_developed, own.surface.is_some());
                // On the surface a paint line is no shorter than in plan, and hardly longer.
                let in_plan = own.masking.first.working_edge.to_mm();
                let share = length(deck, LineKind::PaintLine) / in_plan;
                assert!((0.999..1.05).contains(&share), "{share}");
            }
        }
    }
}
