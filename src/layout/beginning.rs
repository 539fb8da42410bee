//! A first layout from the few things a person knows of a deck before measuring it, or from half-breadths as a spreadsheet
//! has them. Comes in: what was typed. Goes out: the text of a layout with comments, or which of it cannot be read.

use super::starter::{Ends, Table, starter_of};
use crate::units::{Length, LengthUnit, parse_length};

/// What was typed, as it was typed.
#[derive(Debug, Clone, Copy)]
pub struct Beginning<'a> {
    /// Title of the job.
    pub title: &'a str,
    /// The unit of bare numbers: `mm`, `cm`, `m`, `in` or `ft`.
    pub units: &'a str,
    /// Length of the deck.
    pub length: &'a str,
    /// Its greatest beam.
    pub beam: &'a str,
    /// Shape of its forward end: `sharp`, `round` or `square`.
    pub bow: &'a str,
    /// Shape of its after end: `full`, `transom`, `round` or `sharp`.
    pub stern: &'a str,
    /// A line for each station, with its half-breadth behind it; then nothing is made of length, beam, bow and stern.
    pub half_breadths: &'a str,
}

/// Lines at most: nobody measures a deck at more stations.
const MOST_LINES: usize = 2000;

/// The text of a first layout.
///
/// # Errors
/// What cannot be read, and what to write instead.
pub fn begun(from: &Beginning<'_>) -> Result<String, String> {
    let units = match from.units {
        "mm" => LengthUnit::Millimetre,
        "cm" => LengthUnit::Centimetre,
        "m" => LengthUnit::Metre,
        "in" => LengthUnit::Inch,
        "ft" => LengthUnit::Foot,
        other => {
            return Err(format!(
                "the unit {other:?} is not known; choose mm, cm, m, in or ft"
            ));
        }
    };
    let table = if from.half_breadths.trim().is_empty() {
        shaped(from, units)?
    } else {
        pasted(from.half_breadths, units)?
    };
    Ok(starter_of(&table, units, from.title))
}

/// A plausible deck of that length and beam.
fn shaped(from: &Beginning<'_>, units: LengthUnit) -> Result<Table, String> {
    let length = size("length", from.length, units)?;
    let beam = size("beam", from.beam, units)?;
    let (bow, forward) = match from.bow {
        "sharp" => (0.0, "sharp"),
        "round" => (0.0, "round"),
        "square" => (0.5, "sharp"),
        other => {
            return Err(format!(
                "the bow {other:?} is not known; choose sharp, round or square"
            ));
        }
    };
    let (stern, aft) = match from.stern {
        "full" => (1.0, "sharp"),
        "transom" => (0.75, "sharp"),
        "round" => (0.0, "round"),
        "sharp" => (0.0, "sharp"),
        other => {
            return Err(format!(
                "the stern {other:?} is not known; choose full, transom, round or sharp"
            ));
        }
    };
    Ok(Table {
        points: shape(
            length,
            beam / 2.0,
            End {
                width: bow,
                is_round: forward == "round",
            },
            End {
                width: stern,
                is_round: aft == "round",
            },
        ),
        ends: Ends { forward, aft },
        is_guess: true,
    })
}

/// An end of a plausible deck.
#[derive(Clone, Copy)]
struct End {
    /// Its breadth, as a share of the greatest.
    width: f64,
    /// Whether the sides run round into each other.
    is_round: bool,
}

/// Half-breadths of a side that is one parabola from the greatest beam forward and another aft; an ellipse where an end is round.
fn shape(length: Length, half: Length, bow: End, stern: End) -> Vec<(Length, Length)> {
    let widest = if stern.width >= 1.0 { 1.0 } else { 0.58 };
    let stations: &[f64] = if stern.width >= 1.0 {
        &[0.0, 0.12, 0.27, 0.47, 0.75, 1.0]
    } else {
        &[0.0, 0.08, 0.18, 0.3, 0.44, 0.58, 0.72, 0.84, 0.93, 1.0]
    };
    let side = |along: f64| {
        let (end, share) = if along <= widest {
            (bow, (widest - along) / widest)
        } else {
            (stern, (along - widest) / (1.0 - widest))
        };
        let fall = if end.is_round {
            1.0 - (1.0 - share * share).max(0.0).sqrt()
        } else {
            // A little fuller than a parabola, as sides are.
            share.powf(2.2)
        };
        1.0 - (1.0 - end.width) * fall
    };
    stations
        .iter()
        .map(|along| (length * *along, half * side(*along)))
        .collect()
}

/// Half-breadths from lines as a spreadsheet copies them: cells behind tabs, semicolons, commas or spaces. A first line that
/// holds no number is a heading.
fn pasted(text: &str, units: LengthUnit) -> Result<Table, String> {
    let mut points = Vec::new();
    for (number, line) in text
        .lines()
        .enumerate()
        .filter(|(_, line)| !line.trim().is_empty())
    {
        if points.len() >= MOST_LINES {
            return Err(format!(
                "more than {MOST_LINES} lines; is this the right table?"
            ));
        }
        let cells = cells(line);
        let read: Vec<_> = cells.iter().map(|cell| cell_length(cell, units)).collect();
        let is_heading = points.is_empty() && read.iter().all(Option::is_none);
        match read.as_slice() {
            _ if is_heading => {}
            [Some(station), Some(breadth), ..] => points.push((*station, *breadth)),
            [Some(_)] => {
                return Err(format!(
                    "line {}: there is one number; write the station and its half-breadth behind it",
                    number + 1
                ));
            }
            _ => {
                return Err(format!(
                    "line {}: {:?} is no station with a half-breadth; write for example 400 470",
                    number + 1,
                    line.trim()
                ));
            }
        }
    }
    points.sort_by(|one, other| one.0.to_mm().total_cmp(&other.0.to_mm()));
    if points.len() < 2 {
        return Err("two stations are the least; paste a line for each".to_owned());
    }
    Ok(Table {
        points,
        ends: Ends {
            forward: "sharp",
            aft: "sharp",
        },
        is_guess: false,
    })
}

/// The cells of a line. Where there are tabs or semicolons a comma is a decimal one.
fn cells(line: &str) -> Vec<String> {
    let split: Vec<&str> = if line.contains('\t') {
        line.split('\t').collect()
    } else if line.contains(';') {
        line.split(';').collect()
    } else if line.contains(", ") || line.matches(',').count() == 1 && !line.trim().contains(' ') {
        line.split(',').collect()
    } else {
        line.split_whitespace().collect()
    };
    let cells = split
        .into_iter()
        .map(|cell| cell.trim().trim_matches('"').trim().to_owned());
    cells.filter(|cell| !cell.is_empty()).collect()
}

fn cell_length(cell: &str, units: LengthUnit) -> Option<Length> {
    let bare: Option<f64> = cell.replace(',', ".").parse().ok();
    match bare {
        Some(amount) if amount.is_finite() => Some(Length::of(amount, units)),
        Some(_) => None,
        None => parse_length(cell).ok(),
    }
}

fn size(what: &str, text: &str, units: LengthUnit) -> Result<Length, String> {
    let length = match text.trim().parse::<f64>() {
        Ok(amount) => Length::of(amount, units),
        Err(_) => parse_length(text).map_err(|fault| format!("the {what} {text:?}: {fault}"))?,
    };
    if length.to_mm() >= 300.0 && length.to_mm() <= 200_000.0 {
        Ok(length)
    } else {
        Err(format!(
            "the {what} {text:?}: a deck has between 30 cm and 200 m"
        ))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::layout::{Outline, read};

    const LAUNCH: Beginning<'_> = Beginning {
        title: "Guillemot",
        units: "mm",
        length: "11.6 m",
        beam: "3400",
        bow: "sharp",
        stern: "transom",
        half_breadths: "",
    };

    fn breadths(text: &str) -> Vec<[f64; 2]> {
        let layout = read(text).expect("it reads back");
        let points = match &layout.decks[0].outline {
            Outline::HalfBreadths(table) => table.points.iter().map(|point| point.value),
            _ => unreachable!("half-breadths were written"),
        };
        points
            .map(|one| [one.station.to_mm(), one.breadth.to_mm()])
            .collect()
    }

    #[test]
    fn every_bow_goes_with_every_stern_and_has_the_beam_asked_for() {
        for bow in ["sharp", "round", "square"] {
            for stern in ["full", "transom", "round", "sharp"] {
                for (units, length, beam) in [
                    ("mm", "11600", "3400"),
                    ("ft", "38", "11 ft 2 in"),
                    ("in", "456", "134"),
                ] {
                    let from = Beginning {
                        units,
                        length,
                        beam,
                        bow,
                        stern,
                        ..LAUNCH
                    };
                    let text = begun(&from).expect("it can be begun");
                    let breadths = breadths(&text);
                    let most = breadths.iter().map(|one| one[1]).fold(0.0, f64::max);
                    let half = if units == "mm" { 1700.0 } else { 1701.8 };
                    assert!((most - half).abs() < 4.0, "{bow} {stern} {units}: {most}");
                }
            }
        }
    }

    #[test]
    fn half_breadths_come_as_a_spreadsheet_has_them() {
        let expected = [[0.0, 0.0], [400.0, 470.5], [900.0, 880.0]];
        for pasted in [
            "station\thalf-breadth\n0\t0\n400\t470,5\n900\t880\n",
            "0;0\r\n400;470,5\r\n900;880",
            "0,0\n400,470.5\n900,880\n",
            "0 0\n400 470.5\n\n900 880\n",
            "900, 880\n0, 0\n400, 470.5",
            "\"0 mm\"\t0\n\"40 cm\"\t470.5\n0.9 m\t88 cm",
        ] {
            let text = begun(&Beginning {
                half_breadths: pasted,
                ..LAUNCH
            })
            .expect("it can be read");
            assert_eq!(breadths(&text), expected, "{pasted:?}");
        }
    }

    #[test]
    fn what_cannot_be_read_is_said_with_its_line() {
        let said = |half_breadths: &str| {
            begun(&Beginning {
                half_breadths,
                ..LAUNCH
            })
            .expect_err("it is refused")
        };
        assert!(said("0 0\n400\n").contains("line 2: there is one number"));
        assert!(said("0 0\n400 wide\n").contains("line 2"));
        assert!(said("0 0").contains("two stations"));
        assert!(said("0 0\ninf 5").contains("line 2"));
        let sized =
            |length: &str| begun(&Beginning { length, ..LAUNCH }).expect_err("it is refused");
        assert!(sized("").contains("length"));
        assert!(sized("12").contains("between 30 cm and 200 m"));
        assert!(
            begun(&Beginning {
                bow: "blunt",
                ..LAUNCH
            })
            .expect_err("refused")
            .contains("square")
        );
    }
}
