//! Reads the steps of the work.

use super::super::table::{Reading, Table};
use super::super::{
    AggregateLoad, COMMON_PRACTICE, Coat, CoatAmount, Fault, Method, Placed, Section, Setting,
    Step, Surface, Task,
};
use crate::units::{Length, MassPerArea, Quantity, Share, SpreadingRate};

/// What says how much a coat takes.
const AMOUNTS: [&str; 4] = ["film", "wet_film", "rate", "mass"];
/// Abrasive grits on sale (FEPA P grades and coarser and finer ones).
const GRITS: std::ops::RangeInclusive<usize> = 24..=3000;
/// How the names of steps begin that spile puts among the others; the tally needs them.
const OWN_STEPS: [&str; 4] = ["set-out", "mask-", "unmask-", "other"];

/// All steps, in the file's order.
pub(super) fn steps<'t>(reading: &mut Reading<'t>, layout: &Table<'t>) -> Vec<Step> {
    let tables = reading.tables(layout, "step");
    let mut steps: Vec<Step> = Vec::new();
    for table in &tables {
        let Some(step) = step(reading, table) else {
            continue;
        };
        if let Some(first) = steps.iter().find(|known| known.id.value == step.id.value) {
            let again = Fault::new(
                step.id.place,
                format!("two steps are called \"{}\"", step.id.value),
                "the second",
            );
            reading.report(
                again
                    .with_mention(first.id.place, "the first")
                    .with_help("the tally knows a step by its id; give each its own"),
            );
        }
        steps.push(step);
    }
    steps
}

fn step<'t>(reading: &mut Reading<'t>, table: &Table<'t>) -> Option<Step> {
    let id = reading.id(table, "id");
    if let Some(id) = &id
        && OWN_STEPS.iter().any(|own| id.value.starts_with(own))
    {
        reading.report(
            Fault::new(
                id.place,
                format!("\"{}\" is kept for a step that spile adds", id.value),
                "begins as setting out and masking do",
            )
            .with_help("choose another id"),
        );
    }
    let title = reading.line(table, "title");
    let on = match reading.word(table, "on") {
        Some("border") => Some(Surface::Border),
        Some("field") => Some(Surface::Field),
        Some("edge") => Some(Surface::Edge),
        Some(_) => Some(Surface::All),
        None => None,
    };
    let task = task(reading, table)?;
    if let Some(on) = on {
        fits(reading, table, on, &task);
    }
    Some(Step {
        id: id?,
        title: title.map(|title| title.value),
        on: on?,
        task,
        place: table.place,
    })
}

/// An edge is caulked, and nothing else is.
fn fits<'t>(reading: &mut Reading<'t>, table: &Table<'t>, on: Surface, task: &Task) {
    let is_caulked = matches!(task, Task::Caulk { .. });
    if is_caulked == (on == Surface::Edge) {
        return;
    }
    let (problem, help) = if is_caulked {
        ("a bead of caulk lies on the edge", "write `on = \"edge\"`")
    } else {
        (
            "the edge is for caulk alone",
            "write `on = \"border\"`, \"field\" or \"all\"",
        )
    };
    let place = table.place_of("on");
    reading.report(Fault::new(place, problem, "not here").with_help(help));
}

fn task<'t>(reading: &mut Reading<'t>, table: &Table<'t>) -> Option<Task> {
    let (kind, takes): (&str, &[&str]) = if table.has("sand") {
        ("sand", &["by"])
    } else if table.has("clean") {
        ("clean", &["rate"])
    } else if table.has("coat") {
        (
            "coat",
            &[
                "coats",
                "film",
                "wet_film",
                "rate",
                "mass",
                "method",
                "loss",
                "thin",
                "aggregate",
            ],
        )
    } else if table.has("caulk") {
        ("caulk", &["section", "along", "loss"])
    } else {
        return None;
    };
    let all = [
        "by",
        "coats",
        "film",
        "wet_film",
        "rate",
        "mass",
        "method",
        "loss",
        "thin",
        "aggregate",
        "section",
        "along",
    ];
    for name in all {
        if table.has(name) && !takes.contains(&name) {
            reading.report(
                Fault::new(
                    table.place_of(name),
                    format!("`{name}` means nothing beside `{kind}`"),
                    "not for this kind of step",
                )
                .with_help("delete it, or make it a step of its own"),
            );
        }
    }
    match kind {
        "sand" => sand(reading, table),
        "clean" => clean(reading, table),
        "coat" => coat(reading, table).map(Task::Coat),
        _ => caulk(reading, table),
    }
}

fn sand<'t>(reading: &mut Reading<'t>, table: &Table<'t>) -> Option<Task> {
    let grits = reading.counts(table, "sand");
    let by_machine = reading.word(table, "by")? == "machine";
    let grits = grits?;
    let place = table.place_of("sand");
    if grits.is_empty() {
        reading.report(
            Fault::new(place, "no grit to sand with", "an empty list")
                .with_help("write for example `sand = [80, 120, 180]`"),
        );
        return None;
    }
    if let Some(odd) = grits.iter().find(|grit| !GRITS.contains(grit)) {
        reading.report(
            Fault::new(
                place,
                format!("no abrasive of grit {odd} is sold"),
                "this grit",
            )
            .with_help("grits go from 24, coarse, to 3000, fine; for example [80, 120, 180]"),
        );
        return None;
    }
    if grits.windows(2).any(|pair| pair[1] <= pair[0]) {
        reading.report(
            Fault::new(place, "the grits do not go from coarse to fine", "out of order").with_help(
                "each grit takes out the scratches of the one before: write them upwards, for example [80, 120, 180]",
            ),
        );
        return None;
    }
    Some(Task::Sand {
        grits: grits
            .iter()
            .filter_map(|grit| u32::try_from(*grit).ok())
            .collect(),
        by_machine,
    })
}

fn clean<'t>(reading: &mut Reading<'t>, table: &Table<'t>) -> Option<Task> {
    let product = reading.line(table, "clean");
    let rate = reading.quantity::<SpreadingRate>(table, "rate");
    let default = SpreadingRate::square_metres_per_litre(15.0);
    Some(Task::Clean {
        product: product?,
        rate: Setting::default(default, COMMON_PRACTICE).or_given(rate.map(|rate| rate.value)),
    })
}

fn coat<'t>(reading: &mut Reading<'t>, table: &Table<'t>) -> Option<Coat> {
    let product = reading.line(table, "coat");
    let coats = reading.count(table, "coats");
    let amount = amount(reading, table);
    let method = match reading.word(table, "method") {
        Some("brush") => Method::Brush,
        Some("spray") => Method::Spray,
        Some("trowel") => Method::Trowel,
        _ => Method::Roll,
    };
    let loss = loss(reading, table);
    let thin = match table.get("thin") {
        None => Some(Placed::new(Share::NONE, table.place)),
        Some(_) => reading.share(
            table,
            "thin",
            0.0..=100.0,
            "write the thinner in per cent of the paint's volume, for example 5",
        ),
    };
    let aggregate = aggregate(reading, table);
    let usual = match method {
        Method::Spray => Share::per_cent(50.0),
        _ => Share::per_cent(15.0),
    };
    Some(Coat {
        product: product?,
        coats: coats?,
        amount: amount?,
        method,
        loss: Setting::default(usual, "a marine paint maker's note, its upper figure")
            .or_given(loss),
        thin: thin?,
        aggregate,
    })
}

fn loss<'t>(reading: &mut Reading<'t>, table: &Table<'t>) -> Option<Share> {
    let loss = reading.share(
        table,
        "loss",
        0.0..=90.0,
        "write what is lost on the way, for example 15; by air spray up to half",
    );
    loss.map(|loss| loss.value)
}

/// How much a coat takes: exactly one of the keys says so.
fn amount<'t>(reading: &mut Reading<'t>, table: &Table<'t>) -> Option<Placed<CoatAmount>> {
    let given: Vec<&str> = AMOUNTS.into_iter().filter(|name| table.has(name)).collect();
    match given.as_slice() {
        [] => {
            reading.report(
                Fault::new(
                    table.place,
                    "how much paint a coat takes is not said",
                    "one of `film`, `wet_film`, `rate`, `mass` is missing",
                )
                .with_help("add for example `film = \"50 um\"` from the data sheet"),
            );
            None
        }
        ["film"] => amount_of(reading, table, "film", |film: Length| {
            CoatAmount::DryFilm(film)
        }),
        ["wet_film"] => amount_of(reading, table, "wet_film", CoatAmount::WetFilm),
        ["rate"] => amount_of(reading, table, "rate", CoatAmount::Rate),
        [_] => amount_of(reading, table, "mass", |mass: MassPerArea| {
            CoatAmount::Mass(mass)
        }),
        [first, second, ..] => {
            reading.report(
                Fault::new(
                    table.place_of(second),
                    format!("`{second}` beside `{first}`: only one of them can hold"),
                    "the second",
                )
                .with_mention(table.place_of(first), "the first")
                .with_help("keep one of them and delete the other"),
            );
            None
        }
    }
}

fn amount_of<'t, Q: Quantity>(
    reading: &mut Reading<'t>,
    table: &Table<'t>,
    name: &str,
    make: impl Fn(Q) -> CoatAmount,
) -> Option<Placed<CoatAmount>> {
    let quantity = reading.quantity::<Q>(table, name)?;
    Some(Placed::new(make(quantity.value), quantity.place))
}

fn aggregate<'t>(reading: &mut Reading<'t>, table: &Table<'t>) -> Option<AggregateLoad> {
    let table = reading.table(table, "aggregate")?;
    let product = reading.line(&table, "product");
    let mass = reading.quantity(&table, "mass");
    let broadcast = reading.word(&table, "laid")? == "broadcast";
    Some(AggregateLoad {
        product: product?,
        mass: mass?.value,
        broadcast,
    })
}

fn caulk<'t>(reading: &mut Reading<'t>, table: &Table<'t>) -> Option<Task> {
    let product = reading.line(table, "caulk");
    let all_edges = reading.word(table, "along")? == "all edges";
    let loss = loss(reading, table);
    let Some(section) = reading.table(table, "section") else {
        if !table.has("section") {
            reading.report(
                Fault::new(
                    table.place,
                    "the bead has no `section`",
                    "`section` is missing",
                )
                .with_help("add for example `section = { width = \"6 mm\", depth = \"6 mm\" }`"),
            );
        }
        return None;
    };
    let width = reading.length(&section, "width");
    let depth = reading.length(&section, "depth");
    let is_triangle = reading.word(&section, "form")? == "triangle";
    Some(Task::Caulk {
        product: product?,
        section: Section {
            width: width?.value,
            depth: depth?.value,
            is_triangle,
        },
        all_edges,
        loss: Setting::default(Share::per_cent(10.0), COMMON_PRACTICE).or_given(loss),
    })
}
