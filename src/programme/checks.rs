//! What is looked at before the next stage of the work may start. Comes in: a takeoff. Goes out: [`CheckSheet`]s, one a stage, with what
//! to tick and what to read and write down. All of it is common practice, no source, but for what is named.

use crate::layout::Surface;
use crate::takeoff::{
    CoatTakeoff, Pass, Takeoff, WorkKind, WorkStep, cautions_of, pieces_in_words,
};
use crate::units::{LengthUnit, Time};
use crate::{Job, layout::Product};

/// What is looked at after a stage.
#[derive(Debug, Clone, PartialEq)]
pub struct CheckSheet {
    /// What the stage is.
    pub title: String,
    /// Its steps: their ids.
    pub steps: Vec<String>,
    /// The part of the deck that is worked on.
    pub on: Surface,
    /// What to tick before the work begins.
    pub before: Vec<String>,
    /// What to tick before the next stage may start.
    pub after: Vec<String>,
    /// What is read and written down.
    pub readings: Vec<Readings>,
    /// The cautions that go with it.
    pub cautions: Vec<&'static str>,
}

/// A table to be filled in.
#[derive(Debug, Clone, PartialEq)]
pub struct Readings {
    /// What it is.
    pub title: String,
    /// Its columns, each with its share of the width.
    pub columns: Vec<(String, f64)>,
    /// Its rows, with what is known before; cells at the end may be left out.
    pub rows: Vec<Vec<String>>,
}

/// The check sheets of a job, in the order of the work. Sanding and wiping that follow each other are one stage.
#[must_use]
pub fn check_sheets(job: &Job, takeoff: &Takeoff) -> Vec<CheckSheet> {
    let mut sheets = Vec::new();
    let mut steps = takeoff.steps.as_slice();
    while let Some(first) = steps.first() {
        let is_preparing =
            |step: &WorkStep| matches!(step.kind, WorkKind::Sand { .. } | WorkKind::Clean);
        let alike = steps
            .iter()
            .take_while(|step| is_preparing(first) && is_preparing(step))
            .count();
        let (stage, rest) = steps.split_at(alike.max(1));
        sheets.push(sheet(job, takeoff, stage));
        steps = rest;
    }
    sheets.extend(last(takeoff));
    sheets
}

fn sheet(job: &Job, takeoff: &Takeoff, stage: &[WorkStep]) -> CheckSheet {
    let mut before = Vec::new();
    let mut after = Vec::new();
    let mut readings = Vec::new();
    let say =
        |list: &[&str], to: &mut Vec<String>| to.extend(list.iter().map(|one| (*one).to_owned()));
    for step in stage {
        match &step.kind {
            WorkKind::SetOut => say(&SET_OUT, &mut after),
            WorkKind::Mask(pass) => {
                say(
                    &[
                        "The paint under the tape is dry enough to be taped; a piece of tape pulled off it takes nothing along",
                    ],
                    &mut before,
                );
                say(&MASKED, &mut after);
                say(mask_of(*pass), &mut after);
                let dwell = job.layout.work.programme.tape_dwell.value.show_days();
                after.push(format!(
                    "Tape laid on ______________; it may stay {dwell}, so off by ______________"
                ));
            }
            WorkKind::Unmask(_) => say(&UNMASKED, &mut after),
            WorkKind::Sand { grits, .. } => {
                let grits: Vec<String> = grits.iter().map(|grit| format!("P{grit}")).collect();
                after.push(format!(
                    "{}: sanded through {}, each grit's scratches gone before the next",
                    step.title,
                    grits.join(", ")
                ));
                say(&SANDED, &mut after);
            }
            WorkKind::Clean => say(
                &[
                    "Wiped in one direction with clean rags, turned often; the last rag stayed clean",
                ],
                &mut after,
            ),
            WorkKind::Coat => {
                if let Some(coats) = &step.coats {
                    let product = job.materials.product(&coats.product);
                    before.extend(before_coat(coats, product, takeoff.units));
                    say(&COATED, &mut after);
                    readings.extend(coat_readings(coats, takeoff));
                }
            }
            WorkKind::Caulk(_) => say(&CAULKED, &mut after),
        }
    }
    let mut known: Vec<String> = Vec::new();
    after.retain(|one| {
        let is_new = !known.contains(one);
        known.push(one.clone());
        is_new
    });
    CheckSheet {
        title: title(stage),
        steps: stage.iter().map(|step| step.id.clone()).collect(),
        on: stage.first().map_or(Surface::All, |step| step.on),
        before,
        after,
        readings,
        cautions: cautions_of(&stage.iter().collect::<Vec<_>>()),
    }
}

fn title(stage: &[WorkStep]) -> String {
    let titles: Vec<&str> = stage.iter().map(|step| step.title.as_str()).collect();
    match titles.as_slice() {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [first, .., last] => format!("{first}, to: {last}"),
    }
}

const SET_OUT: [&str; 6] = [
    "Centreline struck from end to end; datum where the sheet has it",
    "Stations squared off the centreline; both diagonals of a long rectangle agree",
    "Port and starboard have the same measures, or the sheet says why not",
    "Every arc swung from its own centre; it runs into its straights without a corner",
    "Two check measures across the pattern agree with the sheet: ________ and ________",
    "Looked at standing up, from forward and from aft: no line wanders",
];

const MASKED: [&str; 5] = [
    "Line tape's edge on the line all along; no crease in a curve, no tape stretched round one",
    "Edges pressed down with something hard; looked along with a lamp held low",
    "Laps and joins lie closed, joins on straights",
    "Film and paper closed to the tape; openings and fittings covered",
    "Somebody who did not lay it has looked along every line",
];

const fn mask_of(pass: Pass) -> &'static [&'static str] {
    match pass {
        Pass::First => {
            &["Fields covered, border bare: looked at beside the sheet of the first pass"]
        }
        Pass::Reversed => {
            &["Border covered, fields bare: looked at beside the sheet of the reversed pass"]
        }
        Pass::Edge => &["Both sides of the bead taped, as wide as the bead all along"],
    }
}

const UNMASKED: [&str; 5] = [
    "Pulled slowly, back over itself; where the film tore it was scored first",
    "No paint lifted; no glue left on the deck",
    "Edges sharp and closed; bleeds and holidays marked on the drawing",
    "Places to touch up marked on the drawing, with what they need",
    "Tape, film and rags gathered before the wind has them",
];

const SANDED: [&str; 3] = [
    "No gloss left where paint is to hold; edges and corners done by hand",
    "Sound all over: no blister, no soft place, no bare spot unprimed (marked on the drawing)",
    "Dust off: extracted, wiped, and out of the waterways and scuppers",
];

const COATED: [&str; 3] = [
    "No run, sag, miss or dry edge, or marked on the drawing and left until it is hard",
    "Ways to the deck closed off; a note says until when",
    "Left-over mix stands outside in the open until it has set",
];

const CAULKED: [&str; 4] = [
    "Joint dry, clean and free of dust before the bead",
    "Bead without a gap or bubble, tooled once, before it skins",
    "Tape off both sides before it skins, pulled away from the bead",
    "Water runs off along it: no dam at a scupper",
];

/// What is ticked before a coat is mixed.
fn before_coat(coats: &CoatTakeoff, product: Option<&Product>, units: LengthUnit) -> Vec<String> {
    let mut said = vec![
        "What lies below is dry enough to recoat, and not too old; too old: sanded".to_owned(),
        "Dust off, wiped, dry; tape edges pressed down once more".to_owned(),
    ];
    if let Some(product) = product {
        let weather = &product.weather;
        said.push(format!(
            "Weather read, now and about every four hours (MIL-HDBK-1110, 9.6.6): surface {} or more over the dew point and rising; humidity {:.0} % at most; air {} to {}",
            weather.spread.value.show(units),
            weather.humidity.value.to_per_cent(),
            weather.coldest.value.show(units),
            weather.warmest.value.show(units)
        ));
        if product.induction > Time::ZERO {
            said.push(format!(
                "Mixed whole, and stood {} before it is used",
                product.induction.show()
            ));
        }
    }
    said.push("The way off is agreed; nobody paints themselves in".to_owned());
    let gauge = coats.wet_film.show_film(units);
    said.push(format!("Comb gauge at hand: {gauge} wet is wanted"));
    said
}

fn coat_readings(coats: &CoatTakeoff, takeoff: &Takeoff) -> Vec<Readings> {
    let column = |name: &str, share: f64| (name.to_owned(), share);
    let several = takeoff.zones.len() > 1;
    let weather = Readings {
        title: "Weather, read beside the surface".to_owned(),
        columns: vec![
            column("Day, hour", 1.4),
            column("Air", 1.0),
            column("Humidity", 1.0),
            column("Dew point", 1.0),
            column("Surface", 1.0),
            column("Spread", 1.0),
            column("Rain, wind", 1.4),
        ],
        rows: vec![Vec::new(); 2 * coats.coats],
    };
    let mixes = (1..=coats.coats).flat_map(|coat| {
        coats.batches.iter().zip(1..).map(move |(batch, number)| {
            let where_to = pieces_in_words(&batch.pieces, several, takeoff.units);
            vec![coat.to_string(), number.to_string(), where_to]
        })
    });
    let by = coats.limit.map_or_else(String::new, |limit| {
        format!(" (within {})", limit.pot_life.show())
    });
    let mixes = Readings {
        title: "Each mix, and its wet film in five places".to_owned(),
        columns: vec![
            column("Coat", 0.5),
            column("Mix", 0.5),
            column("Where", 3.2),
            column("Mixed at", 0.9),
            column(&format!("Laid by{by}"), 1.3),
            column("Wet film read", 2.4),
        ],
        rows: mixes.collect(),
    };
    vec![weather, mixes]
}

/// What is looked at before the deck is walked on and loaded.
fn last(takeoff: &Takeoff) -> Option<CheckSheet> {
    let is_painted = takeoff.steps.iter().any(|step| step.coats.is_some());
    is_painted.then(|| CheckSheet {
        title: "Before the deck is walked on".to_owned(),
        steps: Vec::new(),
        on: Surface::All,
        before: Vec::new(),
        after: [
            "Everything marked on the sheets before this one is touched up",
            "Dry enough to walk on, by the data sheet and the temperature it had",
            "Loose grit swept off and out of the scuppers",
            "Trodden on wet, with the soles that are worn on board, at every place where people step: ladders, gates, hatch edges, beside the mast",
            "Fittings back, bedded; nothing stands on the non-skid that was planned beside it",
            "Water runs off: a bucket at each low point, no puddle left",
            "Cured, by the data sheet, before it bears its full load: ______________",
        ]
        .map(str::to_owned)
        .to_vec(),
        readings: Vec::new(),
        cautions: vec!["These sheets judge no one's footing: whether a deck is safe to walk on is for the owner and the rules that apply to the boat."],
    })
}
