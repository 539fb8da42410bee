//! What a survey found, for the person who measured: what to look at first, then every point and every tie.

use super::grid::{self, Grid};
use super::markdown::{Picture, drawings, pipes, plain};
use crate::figures::survey::{
    DeckHalfBreadths, DeckSurface, DrawingFigures, NetworkFigures, PointState, SurveyFigures,
};
use crate::outline::fairness::SideFairness;
use crate::units::{Length, LengthUnit};

/// The report of one layout's survey. `adjusted` is the name of the layout written beside it.
#[must_use]
pub fn survey_report(figures: &SurveyFigures, adjusted: &str, pictures: &[Picture]) -> String {
    let mut text = format!("# {}: survey\n", plain(&figures.title));
    text += &drawings(pictures);
    text += "\n## Look at these before you go on\n\n";
    if figures.warnings.is_empty() {
        text += "Nothing looks wrong.\n";
    }
    for warning in &figures.warnings {
        text += &format!("- {}\n", plain(&warning.sentence()));
    }
    if let Some(network) = &figures.network {
        text += &ties(network, figures.units);
    }
    for drawing in &figures.drawings {
        text += &drawing_section(drawing, figures.units);
    }
    for judged in &figures.half_breadths {
        text += &half_breadths(judged, figures.units);
    }
    for deck in &figures.surfaces {
        text += &surface(deck, figures.units);
    }
    text += &format!(
        "\n## The layout with what was found\n\n`{adjusted}` has the coordinates in the place of names, the lines and arcs \
         in the place of what was drawn, and one table of half-breadths in the place of two sides made one; the measurements stay in it. `spile plan {adjusted}` plans it.\n"
    );
    text
}

fn ties(network: &NetworkFigures, units: LengthUnit) -> String {
    let mut text = "\n## Points by their ties\n\n".to_owned();
    for said in network.verdict(units) {
        text += &format!("{}\n", plain(&said));
    }
    text += "\n";
    text += &pipes(&points(network, units));
    text += "\nPrecision is one standard deviation along the longer and the shorter axis of the point's ellipse, and the longer \
             axis' direction: degrees from aft towards starboard. Two times in five a point lies within its ellipse, nearly \
             nine times in ten within twice that.\n\n";
    text += &pipes(&residuals(network, units));
    text += "\nA residual is the distance as found less the one measured. Beside its own standard deviation it should stay \
             under 3.9. Redundancy is how much of a slip would show: 0 % none of it. The last column is the least slip that \
             would be noticed four times in five.\n";
    text
}

fn half_breadths(judged: &DeckHalfBreadths, units: LengthUnit) -> String {
    let mut text = format!("\n## {}: half-breadths\n", plain(&judged.title));
    for side in &judged.fairness.sides {
        let name = side.side.unwrap_or("both sides");
        let rows = side.stations.iter().enumerate().map(|(index, one)| {
            let bump = side.bumps.iter().find(|bump| bump.index == index);
            vec![
                one.station.show(units),
                one.breadth.show(units),
                bump.map_or_else(String::new, |bump| {
                    format!("**{}**", bump.passes.show(units))
                }),
                one.limit
                    .map_or_else(|| "-".to_owned(), |limit| limit.show_fine(units)),
            ]
        });
        text += &format!("\nMeasured for {name}.\n\n");
        text += &pipes(&Grid {
            head: vec![
                "Station",
                "Half-breadth",
                "A batten would pass at",
                "Noticed from",
            ],
            rows: rows.collect(),
        });
        text += &format!("\n{}\n", bends(side, units));
    }
    if judged.fairness.sides.iter().any(|side| side.is_too_short()) {
        text +=
            "\nToo few stations to judge how fair they are but for plain slips: eight at least.\n";
    }
    if !judged.fairness.differences.is_empty() {
        let rows = judged.fairness.differences.iter().map(|one| {
            vec![
                one.station.show(units),
                one.starboard.show(units),
                one.port.show(units),
                one.port_over_starboard().show_fine(units),
            ]
        });
        text += "\n";
        text += &pipes(&Grid {
            head: vec!["Station", "Starboard", "Port", "Port over starboard"],
            rows: rows.collect(),
        });
    }
    text
}

/// How a side bends, in a sentence or two.
fn bends(side: &SideFairness, units: LengthUnit) -> String {
    let Some(sharpest) = side.sharpest() else {
        return "It is straight from station to station.".to_owned();
    };
    let show = |mm: f64| Length::mm(mm).show(units);
    let way = if sharpest.curvature < 0.0 {
        " (hollow)"
    } else {
        ""
    };
    let turning: Vec<String> = side.inflections().map(|point| show(point.x)).collect();
    let turning = if turning.is_empty() {
        "Nowhere does it plainly turn from bulging to hollow or back.".to_owned()
    } else {
        format!(
            "It turns from bulging to hollow or back at station {}.",
            turning.join(", ")
        )
    };
    format!(
        "It bends most at station {}, half-breadth {}, with a radius of {}{way}. {turning}",
        show(sharpest.at.x),
        show(sharpest.at.y),
        show((1.0 / sharpest.curvature.abs()).round()),
    )
}

/// The heights as fitted, and how the deck laid flat is off.
fn surface(deck: &DeckSurface, units: LengthUnit) -> String {
    let own = &deck.surface;
    let mut text = format!("\n## {}: camber and sheer\n\n", plain(&deck.title));
    if let Some(fit) = &own.heights {
        text += &format!("{}\n\n", plain(&grid::from_heights(own, fit, units)));
        text += &pipes(&grid::heights(fit, units));
        text += "\n";
    }
    text += &format!("{}\n", plain(&grid::developed(own, units)));
    text
}

fn drawing_section(drawing: &DrawingFigures, units: LengthUnit) -> String {
    let mut text = format!(
        "\n## {}\n\nIt is {}.\n",
        plain(&drawing.file),
        plain(&drawing.verdict(units))
    );
    if drawing.marks().is_empty() {
        return text;
    }
    let rows = drawing.marks().iter().map(|mark| {
        vec![
            plain(&mark.name),
            Length::mm(mark.at.x).show(units),
            Length::mm(mark.at.y).show(units),
            Length::mm(mark.off.x).show_fine(units),
            Length::mm(mark.off.y).show_fine(units),
            mark.standardised
                .map_or_else(|| "-".to_owned(), |times| format!("{times:.1}")),
        ]
    });
    text += "\n";
    text += &pipes(&Grid {
        head: vec![
            "Mark",
            "Station",
            "To starboard",
            "Off aft",
            "Off to starboard",
            "Beside its deviation",
        ],
        rows: rows.collect(),
    });
    text += "\nOff is where the drawing as laid has the mark, less where it lies. Beside its own standard deviation it should stay \
             under 3.9.\n";
    text
}

fn points(network: &NetworkFigures, units: LengthUnit) -> Grid {
    let rows = network.points.iter().map(|point| {
        let place =
            |mm: Option<f64>| mm.map_or_else(|| "-".to_owned(), |mm| Length::mm(mm).show(units));
        let precision = point.ellipse.map_or_else(
            || "-".to_owned(),
            |ellipse| {
                format!(
                    "{} by {} at {:.0}°",
                    ellipse.long.show_fine(units),
                    ellipse.short.show_fine(units),
                    ellipse.towards_degrees
                )
            },
        );
        vec![
            plain(&point.name),
            place(point.at.map(|at| at.x)),
            place(point.at.map(|at| at.y)),
            precision,
            point.ties.to_string(),
            match point.state {
                PointState::Given => "given",
                PointState::Checked => "checked",
                PointState::Unchecked => "**unchecked**",
                PointState::Ambiguous { .. } => "**two places fit**",
                PointState::NotFound(_) => "**not found**",
            }
            .to_owned(),
        ]
    });
    Grid {
        head: vec!["Point", "Station", "To starboard", "Precision", "Ties", ""],
        rows: rows.collect(),
    }
}

fn residuals(network: &NetworkFigures, units: LengthUnit) -> Grid {
    let dash = || "-".to_owned();
    let rows = network.ties.iter().map(|tie| {
        vec![
            plain(&format!("{} to {}", tie.from, tie.to)),
            tie.measured.show(units),
            tie.residual
                .map_or_else(dash, |residual| residual.show_fine(units)),
            tie.standardised
                .map_or_else(dash, |times| format!("{times:.1}")),
            format!("{:.0} %", 100.0 * tie.redundancy),
            tie.detectable
                .map_or_else(dash, |least| least.show_fine(units)),
            if tie.used { "" } else { "**left out**" }.to_owned(),
        ]
    });
    Grid {
        head: vec![
            "Tie",
            "Measured",
            "Residual",
            "Beside its deviation",
            "Redundancy",
            "Would notice",
            "",
        ],
        rows: rows.collect(),
    }
}
