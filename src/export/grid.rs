//! Rows and columns of figures, the same for the terminal and for a document: which figures stand
//! beside which, in words. [`table`](super::table) and [`markdown`](super::markdown) only draw them.

use crate::figures::{
    Areas, DeckFigures, FieldFigures, Figures, PassFigures, PassOnSurface, SurfaceFigures,
};
use crate::outline::whereabouts;
use crate::surface::HeightFit;
use crate::units::{Area, Length, LengthUnit};

/// A heading and rows of as many cells; the first column names the row.
pub(crate) struct Grid {
    pub(crate) head: Vec<&'static str>,
    pub(crate) rows: Vec<Vec<String>>,
}

/// Where the deck's area goes, in plan and, where it has camber or sheer, on its surface.
pub(crate) fn areas(areas: &Areas, on_surface: Option<&Areas>, units: LengthUnit) -> Grid {
    let row = |name: &str, part: fn(&Areas) -> Area| {
        let plan = part(areas);
        let mut cells = vec![
            name.to_owned(),
            plan.show(units),
            format!("{:.1} %", areas.per_cent(plan)),
        ];
        cells.extend(on_surface.map(|own| part(own).show(units)));
        cells
    };
    Grid {
        head: if on_surface.is_some() {
            vec!["", "Plan area", "Share", "True area"]
        } else {
            vec!["", "Area", "Share"]
        },
        rows: vec![
            row("Fields (non-skid)", |areas| areas.field),
            row("Border (smooth)", |areas| areas.border),
            row("Openings", |areas| areas.openings),
            row("Fittings in place", |areas| areas.fittings),
            row("Deck", |areas| areas.deck),
        ],
    }
}

/// The fields one by one.
pub(crate) fn fields(deck: &DeckFigures, units: LengthUnit) -> Grid {
    let radius = |radius: Option<Length>| radius.map_or_else(|| "-".to_owned(), |r| r.show(units));
    let own = deck.surface.as_ref();
    let mut head = vec!["Field"];
    head.extend(if own.is_some() {
        ["Plan area", "True area", "Perimeter", "True perimeter"].as_slice()
    } else {
        &["Area", "Perimeter"]
    });
    head.extend(["Rings", "Clearance", "Least round", "Least hollow"]);
    let row = |(index, field): (usize, &FieldFigures)| {
        let own = own.and_then(|own| own.fields.get(index));
        let mut cells = vec![field.id.clone(), field.area.show(units)];
        cells.extend(own.map(|own| own.area.show(units)));
        cells.push(field.perimeter.show_run(units));
        cells.extend(own.map(|own| own.perimeter.show_run(units)));
        cells.extend([
            field.rings.to_string(),
            field.clearance.show(units),
            radius(field.tightest_round),
            radius(field.tightest_hollow),
        ]);
        cells
    };
    Grid {
        head,
        rows: deck.fields.iter().enumerate().map(row).collect(),
    }
}

/// Tape and film of both passes, in plan and, where there is camber or sheer, on the surface.
pub(crate) fn passes(
    plan: [&PassFigures; 2],
    on_surface: Option<[PassOnSurface; 2]>,
    units: LengthUnit,
) -> Grid {
    let names = [
        "1 first, paints the border",
        "2 reversed, paints the fields",
    ];
    let mut rows = Vec::new();
    for (index, (name, pass)) in names.into_iter().zip(plan).enumerate() {
        rows.push(vec![
            name.to_owned(),
            pass.working_edge.show_run(units),
            pass.line_tape.length.show_run(units),
            pass.line_tape.to_lay.show_run(units),
            pass.edge_tape.length.show_run(units),
            pass.edge_tape.to_lay.show_run(units),
            pass.cover.show(units),
        ]);
        rows.extend(on_surface.map(|own| {
            let own = own[index];
            vec![
                "… true, on the surface".to_owned(),
                own.working_edge.show_run(units),
                own.line_tape.show_run(units),
                own.line_to_lay.show_run(units),
                own.edge_tape.show_run(units),
                own.edge_to_lay.show_run(units),
                own.cover.show(units),
            ]
        }));
    }
    Grid {
        head: vec![
            "Pass",
            "Paint line",
            "Line tape",
            "with laps",
            "Edge tape",
            "with laps",
            "Film",
        ],
        rows,
    }
}

/// The passes of all decks together.
pub(crate) fn all_passes(figures: &Figures) -> Grid {
    let on_surface = figures.true_first().zip(figures.true_reversed());
    passes(
        [&figures.first(), &figures.reversed()],
        on_surface.map(|(first, reversed)| [first, reversed]),
        figures.units,
    )
}

/// One sentence on whether the areas add up.
pub(crate) fn closure(areas: &Areas) -> String {
    let closure = areas.closure().to_m2().abs();
    if areas.closes() {
        format!(
            "Closure {closure:.9} m²: the parts, each measured on its own shape, add up to the deck."
        )
    } else {
        format!(
            "Closure {closure:.9} m²: the parts do NOT add up to the deck. Do not rely on these areas."
        )
    }
}

/// The same sentence for the true areas.
pub(crate) fn true_closure(areas: &Areas) -> String {
    closure(areas).replacen("Closure", "Closure of the true areas", 1)
}

/// What is to be said of a deck's surface, a sentence each.
pub(crate) fn on_surface(own: &SurfaceFigures, units: LengthUnit) -> Vec<String> {
    let show = |length: Length| length.show(units);
    let girth = &own.girth;
    let mut said = Vec::new();
    if own.rise > Length::ZERO {
        said.push(format!(
            "Girth where the deck is widest, at station {}: {} over the camber, {} in plan.",
            show(girth.station),
            show(girth.girth),
            show(girth.breadth),
        ));
    }
    if own.centreline > own.centreline_in_plan {
        said.push(format!(
            "Centreline: {} over the sheer, {} in plan.",
            show(own.centreline),
            show(own.centreline_in_plan),
        ));
    }
    said.extend(
        own.heights
            .as_ref()
            .map(|fit| from_heights(own, fit, units)),
    );
    said.push(if own.measured_on_surface {
        "Margins, radii, strips and clearances are measured on the surface.".to_owned()
    } else {
        "Margins, radii, strips and clearances are measured in plan.".to_owned()
    });
    said.push(developed(own, units));
    said
}

/// How a camber was found from heights.
pub(crate) fn from_heights(own: &SurfaceFigures, fit: &HeightFit, units: LengthUnit) -> String {
    let with_sheer = if fit.with_sheer {
        " and its slope fore and aft"
    } else {
        ""
    };
    let off = match fit.deviation {
        Some(deviation) => format!(
            "they lie {} off it (standard deviation), {} at most",
            fine(deviation),
            fine(fit.furthest())
        ),
        None => "there is no height to spare, so nothing checks it".to_owned(),
    };
    let list = fit.list_per_metre.filter(|list| list.to_mm().abs() >= 0.5);
    let list = list.map_or_else(String::new, |list| {
        let (high, low) = if list > Length::ZERO {
            ("starboard", "port")
        } else {
            ("port", "starboard")
        };
        format!(
            " While they were measured {high} lay {} a metre higher than {low}; that is the boat's list and left out.",
            fine(Length::mm(list.to_mm().abs())),
        )
    });
    format!(
        "The camber{with_sheer} was found from {} heights: it rises {} over {}; {off}.{list}",
        fit.heights.len(),
        own.rise.show(units),
        own.girth.breadth.show(units),
    )
}

/// How the deck laid flat is off.
pub(crate) fn developed(own: &SurfaceFigures, units: LengthUnit) -> String {
    let developed = &own.developed;
    if developed.is_exact {
        return "The deck can be laid flat as it is: round one way only, its development has no distortion."
            .to_owned();
    }
    let distortion = &developed.distortion;
    let in_1000 = |share: f64| format!("{:.2}", 1000.0 * share);
    let furthest = own
        .fields
        .iter()
        .map(|field| Length::mm(field.developed_excess.to_mm().abs()))
        .fold(Length::ZERO, Length::max);
    format!(
        "Laid flat, lengths come out up to {} in 1000 too long (worst at {}) and {} in 1000 too short (worst at {}), \
         angles up to {:.3}° off; round a field that makes up to {}.",
        in_1000(distortion.stretch.amount),
        whereabouts(distortion.stretch.at, units),
        in_1000(-distortion.shrink.amount),
        whereabouts(distortion.shrink.at, units),
        distortion.angle.amount.to_degrees(),
        fine(furthest),
    )
}

/// The heights that a camber was found from, one by one.
pub(crate) fn heights(fit: &HeightFit, units: LengthUnit) -> Grid {
    let rows = fit.heights.iter().enumerate().map(|(index, height)| {
        let mark = match fit.suspect {
            Some(suspect) if suspect.index == index => " (measure again)",
            _ => "",
        };
        vec![
            whereabouts(height.at, units),
            height.height.show(units),
            format!("{:+.1} mm{mark}", height.above.to_mm()),
        ]
    });
    Grid {
        head: vec!["Height measured at", "Height", "Off the curve"],
        rows: rows.collect(),
    }
}

/// A length too small for the tape, so in millimetres whatever the unit.
fn fine(length: Length) -> String {
    format!("{:.1} mm", length.to_mm())
}

/// Text from a layout as one line that steers no terminal: control characters become spaces.
pub(crate) fn one_line(text: &str) -> String {
    text.chars()
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect()
}
