//! The cutting list: every run of tape, what to cut, from which roll, where it begins and how its ends
//! lie. A table for a person, rows for a spreadsheet.

use super::csv::push_row;
use super::document::{Block, Words};
use super::grid::Grid;
use super::tight_corners::tight_corners;
use crate::figures::{DeckFigures, Figures, PassFigures};
use crate::masking::{
    EXACT_UP_TO, FLAT, Footing, JOIN_CLEAR, Lap, Remedy, Rolls, RunEnd, RunName, TapeKind, TapeRun,
    flat_radius,
};
use crate::outline::whereabouts;
use crate::units::{Length, LengthUnit};

const COLUMNS: [&str; 24] = [
    "layout",
    "deck",
    "pass",
    "run",
    "tape",
    "field",
    "roll",
    "to_cut_m",
    "length_m",
    "true_length_m",
    "ring",
    "begin_x_mm",
    "begin_y_mm",
    "begin_lap",
    "begin_on",
    "begin_clear_mm",
    "end_x_mm",
    "end_y_mm",
    "end_lap",
    "end_on",
    "end_clear_mm",
    "cuts",
    "narrower_mm",
    "narrower_length_m",
];

/// A row for each run of one layout or several, in the order of laying.
#[must_use]
pub fn cutting_csv<'a>(layouts: impl IntoIterator<Item = &'a Figures>) -> String {
    let mut text = String::new();
    push_row(&mut text, COLUMNS);
    for figures in layouts {
        let rolls = figures.rolls.numbers();
        for (pass, of) in passes() {
            for deck in &figures.decks {
                for run in &of(deck).runs {
                    let roll = rolls.get(&run.name).copied();
                    let cells = cells(run, roll);
                    let head = [figures.title.as_str(), deck.id.as_str(), pass];
                    push_row(
                        &mut text,
                        head.into_iter().chain(cells.iter().map(String::as_str)),
                    );
                }
            }
        }
    }
    text
}

pub(super) type OfDeck = fn(&DeckFigures) -> &PassFigures;

pub(super) fn passes() -> [(&'static str, OfDeck); 2] {
    [
        ("first", |deck| &deck.first),
        ("reversed", |deck| &deck.reversed),
    ]
}

fn cells(run: &TapeRun, roll: Option<usize>) -> [String; COLUMNS.len() - 3] {
    let m = |length: Length| thousandths(length.to(LengthUnit::Metre));
    let mm = thousandths;
    let clear = |end: &RunEnd| {
        end.clear
            .map_or_else(String::new, |clear| mm(clear.to_mm()))
    };
    let bends = Bends::of(run);
    let [narrower, narrower_length] = bends.narrower.map_or_else(Default::default, |width| {
        [mm(width.to_mm()), m(bends.narrower_length)]
    });
    [
        run.name.to_string(),
        match run.name.kind {
            TapeKind::Line => "line",
            TapeKind::Edge => "edge",
        }
        .to_owned(),
        run.field.clone().unwrap_or_default(),
        roll.map_or_else(String::new, |roll| roll.to_string()),
        m(run.to_cut),
        m(run.length),
        m(run.true_length),
        run.is_ring.to_string(),
        mm(run.begin.at.x),
        mm(run.begin.at.y),
        lap(run.begin.lap).to_owned(),
        run.begin.footing.name().to_owned(),
        clear(&run.begin),
        mm(run.end.at.x),
        mm(run.end.at.y),
        lap(run.end.lap).to_owned(),
        run.end.footing.name().to_owned(),
        clear(&run.end),
        bends.cuts.to_string(),
        narrower,
        narrower_length,
    ]
}

/// As nobody cuts finer; the JSON has every digit.
fn thousandths(value: f64) -> String {
    // No minus before a nothing.
    let rounded = (value * 1000.0).round() / 1000.0 + 0.0;
    rounded.to_string()
}

const fn lap(lap: Lap) -> &'static str {
    match lap {
        Lap::Over => "over",
        Lap::Under => "under",
        Lap::TuckedUnder => "tucked under",
        Lap::Stop => "stop",
    }
}

/// The tight corners of a run, counted.
struct Bends {
    cuts: usize,
    /// The narrowest tape that any of them needs.
    narrower: Option<Length>,
    narrower_length: Length,
    narrower_count: usize,
}

impl Bends {
    fn of(run: &TapeRun) -> Self {
        let mut bends = Self {
            cuts: 0,
            narrower: None,
            narrower_length: Length::ZERO,
            narrower_count: 0,
        };
        for bend in &run.tight {
            match bend.remedy {
                Remedy::Cut => bends.cuts += 1,
                Remedy::Narrower(width) => {
                    let narrowest = bends.narrower.map_or(width, |known| known.min(width));
                    bends.narrower = Some(narrowest);
                    bends.narrower_length = bends.narrower_length + bend.length;
                    bends.narrower_count += 1;
                }
            }
        }
        bends
    }

    fn said(&self, units: LengthUnit) -> String {
        let cuts = match self.cuts {
            0 => None,
            1 => Some("1 cut".to_owned()),
            many => Some(format!("{many} cuts")),
        };
        let narrower = self.narrower.map(|width| {
            format!(
                "{} in {} tape, {}",
                self.narrower_count,
                width.show(units),
                self.narrower_length.show_run(units)
            )
        });
        let parts: Vec<String> = cuts.into_iter().chain(narrower).collect();
        if parts.is_empty() {
            "-".to_owned()
        } else {
            parts.join("; ")
        }
    }
}

/// The list of one pass of all decks.
pub(super) fn list(figures: &Figures, of: OfDeck) -> Grid {
    let rolls = figures.rolls.numbers();
    let units = figures.units;
    let mut rows: Vec<(&TapeRun, Vec<String>)> = Vec::new();
    for deck in &figures.decks {
        for run in &of(deck).runs {
            let place = match &run.field {
                Some(field) => format!("{} {field}", deck.id),
                None => deck.id.clone(),
            };
            let roll = rolls.get(&run.name);
            let cells = vec![
                run.name.to_string(),
                roll.map_or_else(|| "-".to_owned(), usize::to_string),
                cut(run.to_cut, units),
                place,
                format!(
                    "{}, heading {}",
                    whereabouts(run.begin.at, units),
                    heading(run)
                ),
                ends(run, units),
                Bends::of(run).said(units),
            ];
            rows.push((run, cells));
        }
    }
    rows.sort_by_key(|(run, _)| run.name);
    Grid {
        head: vec![
            "Run",
            "Roll",
            "Cut",
            "Deck, field",
            "Begin at",
            "Ends lie",
            "Tight corners",
        ],
        rows: rows.into_iter().map(|(_, cells)| cells).collect(),
    }
}

/// How both ends lie; a star where one is nearer to an arc or a corner than it should be.
fn ends(run: &TapeRun, units: LengthUnit) -> String {
    let place = |end: &RunEnd| {
        let star = if end.is_exception() { " *" } else { "" };
        match (end.lap, end.footing) {
            (Lap::Stop, _) | (_, Footing::Straight) if star.is_empty() => String::new(),
            (_, Footing::Bend) => format!(" on a bend{star}"),
            (_, Footing::Flat) if star.is_empty() => " on a flat curve".to_owned(),
            _ => {
                let clear = end.clear.unwrap_or(Length::ZERO);
                format!(" {} from a bend{star}", clear.show(units))
            }
        }
    };
    if run.is_ring {
        let side = match run.end.lap {
            Lap::Over => "over",
            _ => "under",
        };
        return format!("closes {side} its beginning{}", place(&run.end));
    }
    let [begin, end] = [&run.begin, &run.end].map(|end| format!("{}{}", lap(end.lap), place(end)));
    format!("{begin}, {end}")
}

fn is_exception(run: &TapeRun) -> bool {
    run.begin.is_exception() || run.end.is_exception()
}

/// A length to cut: up to the next centimetre, or the sixteenth of an inch.
pub(super) fn cut(length: Length, units: LengthUnit) -> String {
    if units.is_imperial() {
        length.show(units)
    } else {
        let hundredths = (length.to_mm() / 10.0 - 1e-6).ceil();
        format!("{:.2} m", hundredths / 100.0)
    }
}

/// What each run is cut to and where it begins, the corners too tight for it, the rolls; nothing where nothing is taped.
pub(super) fn section(figures: &Figures) -> Vec<Block> {
    let all = || {
        let decks = figures.decks.iter();
        decks.flat_map(|deck| deck.first.runs.iter().chain(&deck.reversed.runs))
    };
    if all().next().is_none() {
        return Vec::new();
    }
    let units = figures.units;
    let clear = Length::mm(JOIN_CLEAR).show(units);
    let same = Words::own("The same runs as in ").and_file("cutting-list.csv");
    let mut blocks = vec![
        Block::heading(2, "Tape, run by run"),
        Block::paragraph(same.and(format!(
            ", numbered in the order of laying: edge tape (E) first, then line tape (L). Lengths to cut hold half a lap at \
             either end. Ends stand on straights, the lap at least {clear} from any arc or corner. Laps lie as shingles do, \
             since water runs aft and outboard: the forward piece over the aft one, and athwartships the inboard piece over \
             the outboard one. Begin where the list says, in the direction it says, and the laps come out so (common \
             practice, no source)."
        ))),
        Block::paragraph(format!(
            "A curve is as good as straight where over the lap and {clear} to either side it departs from one by no more \
             than {}: from a radius of {} for line tape, {} for edge tape. A true straight is chosen before it.",
            Length::mm(FLAT).show(units),
            flat_radius(figures.tape.line.lap).show_run(units),
            flat_radius(figures.tape.edge.lap).show_run(units),
        )),
    ];
    let names = [
        "First pass: fields covered, border painted",
        "Reversed pass: border covered, fields painted",
    ];
    for (name, (_, of)) in names.into_iter().zip(passes()) {
        let list = list(figures, of);
        if !list.rows.is_empty() {
            blocks.push(Block::heading(3, name));
            blocks.push(Block::table("Runs of this pass", list));
        }
    }
    blocks.extend(exceptions(&all().collect::<Vec<_>>(), &clear));
    blocks.extend(tight_corners(figures));
    blocks.push(Block::heading(3, "Rolls"));
    blocks.push(Block::paragraph(
        "Both passes together: what a roll still holds after the first pass is cut up in the second. Runs are broken only \
         where a roll is too short. Nothing is added for waste: where a roll comes out with nothing left over, have one \
         more at hand.",
    ));
    blocks.push(Block::table("What comes off each roll", rolls(figures)));
    for (name, rolls) in kinds(figures) {
        if !rolls.rolls.is_empty() {
            blocks.push(Block::paragraph(format!("{name}: {}", proof(rolls))));
        }
    }
    blocks
}

/// How many joins stand nearer to a bend than asked, and why.
fn exceptions(runs: &[&TapeRun], clear: &str) -> Option<Block> {
    let all: Vec<_> = runs.iter().filter(|run| is_exception(run)).collect();
    if all.is_empty() {
        return None;
    }
    let is_on_bend = |end: &RunEnd| end.is_exception() && end.footing == Footing::Bend;
    let on_bends = all
        .iter()
        .filter(|run| is_on_bend(&run.begin) || is_on_bend(&run.end))
        .count();
    let on_straights = all.len() - on_bends;
    let places = [
        (on_straights, "in the middle of the longest straight"),
        (
            on_bends,
            "on the flattest bend, where no straight is as long as a lap (of a circle, on its after side)",
        ),
    ];
    let places: Vec<String> = places
        .iter()
        .filter(|(count, _)| *count > 0)
        .map(|(count, place)| format!("{count} {place}"))
        .collect();
    Some(Block::paragraph(format!(
        "* {} of {} runs, such as those round small fittings, have no straight with room for a lap {clear} from any arc or corner. \
         Their joins stand as far from one as there is: {}.",
        all.len(),
        runs.len(),
        places.join("; "),
    )))
}

fn kinds(figures: &Figures) -> [(&'static str, &Rolls); 2] {
    [
        ("Line tape", &figures.rolls.line),
        ("Edge tape", &figures.rolls.edge),
    ]
}

/// What comes off each roll.
fn rolls(figures: &Figures) -> Grid {
    let units = figures.units;
    let names = |runs: &[RunName]| {
        let names: Vec<String> = spans(runs);
        if names.is_empty() {
            "-".to_owned()
        } else {
            names.join(", ")
        }
    };
    let mut rows = Vec::new();
    for (name, rolls) in kinds(figures) {
        for (roll, number) in rolls.rolls.iter().zip(1..) {
            rows.push(vec![
                format!("{name}, roll {number} of {}", rolls.roll.show_run(units)),
                names(&roll.first),
                names(&roll.reversed),
                rolls.left_on(roll).show_run(units),
            ]);
        }
    }
    Grid {
        head: vec!["Roll", "First pass", "Reversed pass", "Left over"],
        rows,
    }
}

/// Names of runs, those that follow each other as from and to.
pub(super) fn spans(runs: &[RunName]) -> Vec<String> {
    let mut spans: Vec<[RunName; 2]> = Vec::new();
    for name in runs {
        match spans.last_mut() {
            Some([_, last]) if last.number + 1 == name.number => *last = *name,
            _ => spans.push([*name, *name]),
        }
    }
    let said = |[from, to]: &[RunName; 2]| match to.number - from.number {
        0 => from.to_string(),
        1 => format!("{from}, {to}"),
        _ => format!("{from} to {to}"),
    };
    spans.iter().map(said).collect()
}

/// Whether the count of rolls is the least.
fn proof(rolls: &Rolls) -> String {
    let count = rolls.rolls.len();
    if rolls.is_fewest {
        return format!("{count}; it is proved that fewer will not do.");
    }
    let least = rolls.at_least;
    if rolls.runs() <= EXACT_UP_TO {
        return format!(
            "{count} found; it is proved that at least {least} are needed. The search for a better way of cutting was stopped before \
             it had seen them all."
        );
    }
    format!(
        "{count} found; it is proved that at least {least} are needed. More than {EXACT_UP_TO} runs are cut longest first, each from \
         the first roll that holds it, which takes at most 11/9 of the fewest and 6/9 of one more (Dósa 2007)."
    )
}

/// The way that laying begins.
fn heading(run: &TapeRun) -> &'static str {
    let way = run.begin.direction;
    if way.x.abs() >= way.y.abs() {
        if way.x > 0.0 { "aft" } else { "forward" }
    } else if way.y > 0.0 {
        "to starboard"
    } else {
        "to port"
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::masking::Roll;

    fn rolls(each: &[usize], at_least: usize) -> Rolls {
        let mut numbers = 1..;
        let mut name = || RunName {
            kind: TapeKind::Line,
            number: numbers.next().unwrap_or(0),
        };
        Rolls {
            rolls: each
                .iter()
                .map(|count| Roll {
                    first: (0..*count).map(|_| name()).collect(),
                    ..Roll::default()
                })
                .collect(),
            at_least,
            is_fewest: at_least == each.len(),
            ..Rolls::default()
        }
    }

    #[test]
    fn of_rolls_no_more_is_said_than_is_proved() {
        assert!(proof(&rolls(&[3, 4], 2)).starts_with("2; it is proved"));
        let stopped = proof(&rolls(&[8, 8, 8], 2));
        assert!(stopped.contains("at least 2 are needed"), "{stopped}");
        assert!(stopped.contains("stopped before"), "{stopped}");
        assert!(!stopped.contains("More than"), "{stopped}");
        let many = proof(&rolls(&[8, 8, 9], 2));
        assert!(many.contains("More than 24 runs"), "{many}");
    }
}
