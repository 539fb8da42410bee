//! The measuring sheet: an empty form for what is measured on deck. Comes in: a
//! [`Measuring`](crate::outline::measuring::Measuring), what there is to measure. Goes out: its pages, with what to bring, how
//! to go about it, a line to write every figure on twice, and a squared page to plot them on before the tape is put away.

pub(super) mod pages;
mod plot;
mod sketches;

use super::figure;
use super::marks::Drawing;
use super::paper::Paper;
use crate::outline::measuring::{Measuring, ToMeasure};
use pages::{Blank, Pages, WRITING};

/// Rows left free below those that have a name.
const FREE_ROWS: usize = 3;
/// Columns of marks beside each other in a table of ties.
const MARKS_ABREAST: usize = 7;

/// The pages of the measuring sheet on upright `paper`.
#[must_use]
pub fn form(measuring: &Measuring, paper: Paper, date: Option<&str>) -> Vec<Drawing> {
    let units = figure::units_name(measuring.units);
    let title = format!("Measuring sheet: {}", measuring.title);
    let foot = format!("{title}. Every figure in {units}, as the tape shows it.");
    let mut pages = Pages::new(paper, &foot);
    beginning(&mut pages, measuring, date.unwrap_or(""));
    for deck in &measuring.decks {
        half_breadths(&mut pages, measuring, deck);
    }
    ties(&mut pages, measuring);
    for deck in &measuring.decks {
        standing(&mut pages, deck);
    }
    for deck in &measuring.decks {
        heights(&mut pages, measuring, deck);
    }
    for deck in &measuring.decks {
        plot::page(&mut pages, deck, measuring.units);
    }
    pages.finish(&title)
}

/// The sketches of the measuring sheet, each a drawing of its own with its file's name.
#[must_use]
pub fn sketches() -> Vec<(&'static str, Drawing)> {
    let drawn = sketches::all().into_iter().map(|sketch| {
        let (name, title) = (sketch.name, sketch.title);
        let size = (sketch.width, sketch.height);
        let words = format!("{title}, a sketch not to scale");
        let canvas = sketch.into_canvas();
        (name, pages::sheet(title, &words, canvas, size, 0.0))
    });
    drawn.collect()
}

/// What a heading calls a deck.
fn of_deck(heading: &str, deck: &ToMeasure) -> String {
    if deck.title.is_empty() {
        heading.to_owned()
    } else {
        format!("{heading}: {}", deck.title)
    }
}

fn beginning(pages: &mut Pages, measuring: &Measuring, date: &str) {
    pages.title("Measuring sheet", &measuring.title);
    pages.entries(
        &[
            ("Boat", ""),
            ("Date", date),
            ("Measured by", ""),
            ("Written down by", ""),
            ("Ashore or afloat", ""),
            ("Weather, wind", ""),
            ("Tape, and what it is divided in", ""),
            ("Read to the nearest", ""),
            ("The datum is", ""),
            ("Above the level of", ""),
        ],
        2,
    );
    pages.heading("Bring", 40.0);
    pages.ticks(&[
        "steel tape, longer than the deck (a cloth one stretches)",
        "a second tape, short",
        "thin string that does not stretch",
        "masking tape and a soft pencil",
        "big square, or a third tape for 3, 4, 5",
        "straight batten as long as the beam, and a level",
        "this sheet on a board, and a camera",
        "somebody to hold the other end",
    ]);
    pages.heading("Stretch the line", 90.0);
    pages.sketch(&sketches::line());
    pages.steps(&[
        "Choose the datum on the centreline: a point you will find again, usually the stem. Write above what it is.",
        "Measure the beam in two places, far apart, from edge to edge. Mark the middle of each on the deck.",
        "Stretch the string over both middles, not over fittings that only look centred. Tape both ends down.",
        "Lay the long tape along the string with its nought at the datum, and leave it there to the end.",
        "Read every figure, say it aloud, write it down, and hear it repeated. Fill the second column after the last row \
         of the first, without looking at the first.",
    ]);
    pages.heading("Take care", 30.0);
    pages.paragraph(
        "Wear what keeps you on board, and shoes that hold. Do not measure near an open edge alone, on a wet deck or in \
         wind that moves the string. Close or guard open hatches before you walk backwards with a tape. Ask the yard \
         before you go on a boat that stands ashore, and follow its rules and your local ones.",
    );
}

fn half_breadths(pages: &mut Pages, measuring: &Measuring, deck: &ToMeasure) {
    pages.turn();
    pages.heading(&of_deck("Stations and half-breadths", deck), 60.0);
    pages.sketch(&sketches::station());
    pages.paragraph(
        "A station is a distance aft of the datum, along the string. A half-breadth goes from the string to the deck's \
         edge, square off the string: 3 along, 4 across, 5 between, in any unit. Measure to the edge of what you will \
         paint. Move a station that meets a fitting, and write where it went. Boats are seldom the same on both sides: \
         measure both.",
    );
    let mut rows: Vec<Vec<String>> = deck
        .stations
        .iter()
        .map(|station| vec![figure::length(*station, measuring.units)])
        .collect();
    rows.resize_with(rows.len() + FREE_ROWS, Vec::new);
    let [one, one_again, other, other_again] = if deck.is_to_one_side() {
        ["Inner edge", "Inner, again", "Outer edge", "Outer, again"]
    } else {
        ["Starboard", "Starboard, again", "Port", "Port, again"]
    };
    pages.table(&Blank::new(
        &[
            ("Station", 1.3),
            (one, 1.3),
            (one_again, 1.3),
            (other, 1.3),
            (other_again, 1.3),
            ("Note", 2.0),
        ],
        rows,
    ));
    pages.paragraph(if deck.is_to_one_side() {
        "This deck lies to one side: measure from the string to both its edges. Into the layout: points, as pairs of \
         station and distance off the centreline, to port with a minus."
    } else {
        "Into the layout: half_breadths, or starboard and port apart, as pairs of station and half-breadth."
    });
}

fn ties(pages: &mut Pages, measuring: &Measuring) {
    pages.turn();
    pages.heading("Marks and ties", 60.0);
    pages.sketch(&sketches::ties());
    pages.steps(&[
        "Put down five marks: two on the centreline, far apart, the others to the sides and not on one line.",
        "Measure the check distances: every mark to every other.",
        "Measure each point from four or five marks that it sees from different sides. Two ties find a point and check \
         nothing, three show that one of them is wrong, and it takes a fourth to show which.",
        "Number the points round the edge, and write the numbers on the deck and on the plot.",
    ]);
    let mut rows: Vec<Vec<String>> = measuring
        .marks
        .iter()
        .map(|mark| vec![mark.clone()])
        .collect();
    rows.resize_with(rows.len() + 1, Vec::new);
    pages.table(&Blank::new(
        &[
            ("Mark", 0.8),
            ("Station, if it has one", 1.4),
            ("Off the centreline", 1.4),
            ("P or S", 0.6),
            ("What it is on", 2.4),
        ],
        rows,
    ));
    check_distances(pages, measuring);
    for (number, marks) in measuring.marks.chunks(MARKS_ABREAST).enumerate() {
        let heading = if number == 0 {
            "Ties: from each point to the marks"
        } else {
            "Ties to further marks"
        };
        pages.heading(heading, 40.0);
        let mut columns = vec![("Point".to_owned(), 1.0)];
        columns.extend(marks.iter().map(|mark| (format!("to {mark}"), 1.2)));
        columns.push(("What it is".to_owned(), 2.0));
        let mut rows: Vec<Vec<String>> = measuring
            .points
            .iter()
            .map(|point| vec![point.clone()])
            .collect();
        rows.resize_with(rows.len() + FREE_ROWS, Vec::new);
        pages.table(&Blank {
            columns,
            rows,
            height: WRITING,
        });
    }
    pages.paragraph(
        "Into the layout: [survey] with points and ties, one entry for each figure: [\"A\", \"7\", 1840].",
    );
}

/// Every mark to every other, half of the square table crossed out.
fn check_distances(pages: &mut Pages, measuring: &Measuring) {
    let last = measuring.marks.len().saturating_sub(1);
    for (number, marks) in measuring.marks[..last].chunks(MARKS_ABREAST).enumerate() {
        pages.heading("Check distances between marks", 40.0);
        let first = number * MARKS_ABREAST;
        let mut columns = vec![("From".to_owned(), 1.0)];
        columns.extend(marks.iter().map(|mark| (format!("to {mark}"), 1.2)));
        let rows = measuring
            .marks
            .iter()
            .enumerate()
            .skip(first + 1)
            .map(|(row, mark)| {
                let mut cells = vec![mark.clone()];
                let columns = first..first + marks.len();
                cells.extend(columns.map(|column| if column < row { "" } else { "×" }.to_owned()));
                cells
            })
            .collect();
        pages.table(&Blank {
            columns,
            rows,
            height: WRITING,
        });
    }
}

fn standing(pages: &mut Pages, deck: &ToMeasure) {
    pages.turn();
    pages.heading(&of_deck("Openings and fittings", deck), 60.0);
    pages.paragraph(
        "Openings are holes: hatches, the cockpit, lockers. Fittings stand on the deck: cleats, stanchions, the mast. \
         Measure the middle of each, its size both ways, the radius of its corners and how far it is turned; two ties \
         from marks or points check the middle. Where the tape cannot reach the middle, measure to an edge and note \
         which. Round ones need their diameter only. Note those that will be taken off before painting.",
    );
    let columns = [
        ("Name", 2.2),
        ("Station of its middle", 1.2),
        ("Off the centreline", 1.2),
        ("P or S", 0.6),
        ("Fore and aft", 1.1),
        ("Athwart", 1.1),
        ("Corner radius", 0.9),
        ("Turned", 0.8),
        ("Two ties, from where", 1.6),
    ];
    for (heading, names) in [("Openings", &deck.openings), ("Fittings", &deck.fittings)] {
        pages.heading(heading, 40.0);
        let mut rows: Vec<Vec<String>> = names.iter().map(|name| vec![name.clone()]).collect();
        let free = if names.is_empty() { 9 } else { FREE_ROWS };
        rows.resize_with(rows.len() + free, Vec::new);
        pages.table(&Blank::new(&columns, rows));
    }
}

fn heights(pages: &mut Pages, measuring: &Measuring, deck: &ToMeasure) {
    pages.turn();
    pages.heading(&of_deck("Camber and sheer", deck), 60.0);
    pages.sketch(&sketches::camber());
    pages.paragraph(
        "Camber is the round of the deck athwartships. Lay the batten across, level, touching the middle of the deck. \
         Measure how far the deck's edge lies below it on either side and the distance between the two places. Do it \
         where the deck is widest, and at two stations more to see whether one curve will do. The layout takes the mean \
         of both sides.",
    );
    let few = |count: usize| vec![Vec::new(); count];
    pages.table(&Blank::new(
        &[
            ("Station", 1.0),
            ("Beam between the two places", 1.4),
            ("Rise to port", 1.0),
            ("Rise to starboard", 1.0),
            ("Note", 1.6),
        ],
        few(5),
    ));
    pages.heading(&of_deck("Sheer", deck), 50.0);
    pages.paragraph(
        "Sheer is the curve of the centreline seen from the side. Stretch a level line over the string, or sight along \
         one, and measure down to the deck. The height of the deck is less where the distance down is more.",
    );
    let stations = [0, 1, 2, 3, 4].map(|quarter: usize| {
        let last = deck.stations.len().saturating_sub(1);
        deck.stations.get(last * quarter / 4)
    });
    let mut rows: Vec<Vec<String>> = stations
        .into_iter()
        .flatten()
        .map(|station| vec![figure::length(*station, measuring.units)])
        .collect();
    rows.resize_with(rows.len() + 2, Vec::new);
    pages.table(&Blank::new(
        &[
            ("Station", 1.0),
            ("Down to the deck", 1.4),
            ("Again", 1.4),
            ("Note", 2.2),
        ],
        rows,
    ));
    pages.paragraph("Into the layout: [deck.camber] with rise and beam, [deck.sheer] with heights along the centreline.");
}
