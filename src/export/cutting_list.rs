//! The cutting list: every run of tape, what to cut, from which roll, where it begins and how its ends
//! lie. A table for a person, rows for a spreadsheet.

use super::csv::push_row;
use super::grid::Grid;
use super::markdown::pipes;
use crate::figures::{DeckFigures, Figures, PassFigures};
use crate::masking::{
    EXACT_UP_TO, JOIN_CLEAR, Lap, Remedy, Rolls, RunEnd, RunName, TapeKind, TapeRun,
};
use crate::outline::whereabouts;
use crate::units::{Length, LengthUnit};

const COLUMNS: [&str; 22] = [
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
    "begin_clear_mm",
    "end_x_mm",
    "end_y_mm",
    "end_lap",
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

type OfDeck = fn(&DeckFigures) -> &PassFigures;

fn passes() -> [(&'static str, OfDeck); 2] {
    [
        ("first", |deck| &deck.first),
        ("reversed", |deck| &deck.reversed),
    ]
}

fn cells(run: &TapeRun, roll: Option<usize>) -> [String; COLUMNS.len() - 3] {
    let m = |length: Length| length.to(LengthUnit::Metre).to_string();
    let mm = |value: f64| value.to_string();
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
        clear(&run.begin),
        mm(run.end.at.x),
        mm(run.end.at.y),
        lap(run.end.lap).to_owned(),
        clear(&run.end),
        bends.cuts.to_string(),
        narrower,
        narrower_length,
    ]
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
                ends(run),
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
fn ends(run: &TapeRun) -> String {
    let star = if is_exception(run) { " \\*" } else { "" };
    if run.is_ring {
        let side = match run.end.lap {
            Lap::Over => "over",
            _ => "under",
        };
        return format!("closes {side} its beginning{star}");
    }
    format!("{}, {}{star}", lap(run.begin.lap), lap(run.end.lap))
}

fn is_exception(run: &TapeRun) -> bool {
    run.begin.is_exception() || run.end.is_exception()
}

/// A length to cut: up to the next centimetre, or the sixteenth of an inch.
fn cut(length: Length, units: LengthUnit) -> String {
    if units.is_imperial() {
        length.show(units)
    } else {
        let hundredths = (length.to_mm() / 10.0 - 1e-6).ceil();
        format!("{:.2} m", hundredths / 100.0)
    }
}

/// The section of the report.
pub(super) fn section(figures: &Figures) -> String {
    let all = || {
        let decks = figures.decks.iter();
        decks.flat_map(|deck| deck.first.runs.iter().chain(&deck.reversed.runs))
    };
    if all().next().is_none() {
        return String::new();
    }
    let units = figures.units;
    let clear = Length::mm(JOIN_CLEAR).show(units);
    let mut text = format!(
        "\n## Tape, run by run\n\nThe same runs as in [cutting-list.csv](cutting-list.csv), numbered in the order of laying: edge \
         tape (E) first, then line tape (L). Lengths to cut hold half a lap at either end. Ends stand on straights, the lap at \
         least {clear} from any arc or corner. Laps lie as shingles do, since water runs aft and outboard: the forward \
         piece over the aft one, and athwartships the inboard piece over the outboard one. Begin where the list \
         says, in the direction it says, and the laps come out so (common practice, no source).\n"
    );
    for (name, of) in [
        ("First pass: fields covered, border painted", passes()[0].1),
        (
            "Reversed pass: border covered, fields painted",
            passes()[1].1,
        ),
    ] {
        let list = list(figures, of);
        if !list.rows.is_empty() {
            text += &format!("\n### {name}\n\n{}", pipes(&list));
        }
    }
    let exceptions = all().filter(|run| is_exception(run)).count();
    if exceptions > 0 {
        text += &format!(
            "\n\\* No straight of its line is long enough ({exceptions} runs): the join stands at the straightest place.\n"
        );
    }
    if all().any(|run| !run.tight.is_empty()) {
        text += "\nTight corners: tighter than the tape bends (`least_radius` in the layout). Cut: lay the tape straight on to both \
                 sides, lapped, and cut along the line. Or go round in the narrower tape, that length in all.\n";
    }
    text += "\n### Rolls\n\nBoth passes together: what a roll still holds after the first pass is cut up in the second. \
             Runs are broken only where a roll is too short. Nothing is added for waste: where a roll comes out with nothing \
             left over, have one more at hand.\n\n";
    text += &pipes(&rolls(figures));
    for (name, rolls) in kinds(figures) {
        if !rolls.rolls.is_empty() {
            text += &format!("\n{name}: {}\n", proof(rolls));
        }
    }
    text
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
fn spans(runs: &[RunName]) -> Vec<String> {
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
    let least = rolls.fewest_is_at_least();
    if rolls.is_fewest && count == rolls.at_least {
        return format!("{count}, and no fewer hold the length.");
    }
    if rolls.is_fewest {
        return format!(
            "{count}, the fewest that hold these runs whole (every way of cutting tried)."
        );
    }
    format!(
        "{count}; at least {least} are needed. With more than {EXACT_UP_TO} runs they are cut longest first from the first roll \
         that holds them, which takes at most 11/9 of the fewest and 6/9 of one more (Dósa 2007)."
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
