//! Reads a deck's camber and sheer, and checks what can be checked without its outline.

use super::super::table::{Reading, Table, Value};
use super::super::{
    Camber, CamberForm, Fault, Place, Placed, Rise, Sheer, SpotHeight, SpotHeights, StationHeight,
};
use crate::shape::Point;
use crate::units::Length;

/// Lengths nearer than this are the same measurement, mm.
const SAME: f64 = 1e-6;
/// Heights of one place that differ by more than this are not one measurement taken twice, mm.
const REPEATS: f64 = 10.0;

/// The camber; nothing where the deck has none, or it is at fault.
pub(super) fn camber<'t>(reading: &mut Reading<'t>, deck: &Table<'t>) -> Option<Camber> {
    let table = reading.table(deck, "camber")?;
    let rise = reading.length(&table, "rise");
    let beam = reading.length(&table, "beam");
    let form = match reading.word(&table, "form") {
        Some("circular") => CamberForm::Circular,
        _ => CamberForm::Parabolic,
    };
    if let Some(value) = table.get("heights") {
        for name in ["beam", "form"] {
            if table.get(name).is_some() && table.get("rise").is_none() {
                reading.report(
                    Fault::new(
                        table.place_of(name),
                        format!("`{name}` goes with `rise`, not with heights"),
                        "means nothing here",
                    )
                    .with_help("delete it: a parabola is laid through the heights"),
                );
            }
        }
        let heights = spot_heights(reading, value, table.place_of("heights"));
        return heights.map(Camber::Heights);
    }
    if table.get("rise").is_some() && table.get("beam").is_none() {
        reading.report(
            Fault::new(
                table.place_of("rise"),
                "a camber's rise needs the beam it was measured over",
                "over what breadth?",
            )
            .with_help("add the whole breadth, from edge to edge, for example `beam = 2400`"),
        );
    }
    let (rise, beam) = (rise?, beam?);
    let most = match form {
        CamberForm::Circular => beam.value / 2.0,
        CamberForm::Parabolic => beam.value,
    };
    if rise.value > most {
        let (what, help) = match form {
            CamberForm::Circular => (
                "a circular camber cannot rise by more than half its beam",
                "that would be more than half a circle",
            ),
            CamberForm::Parabolic => (
                "the camber rises by more than its beam",
                "steeper than a roof",
            ),
        };
        reading.report(
            Fault::new(rise.place, what, help)
                .with_mention(beam.place, "the beam")
                .with_help(
                    "a deck's camber is some fiftieth of its beam: 40 on 2000; check the units",
                ),
        );
        return None;
    }
    Some(Camber::Rise(Rise { rise, beam, form }))
}

fn spot_heights<'t>(
    reading: &mut Reading<'t>,
    value: &'t Value<'t>,
    place: Place,
) -> Option<SpotHeights> {
    let items = reading.items(
        value,
        "heights",
        "[station, distance from the centreline, height] of some places",
    )?;
    let count = items.len();
    let parts = ["station", "distance from the centreline", "height"];
    let mut heights: Vec<Placed<SpotHeight>> = Vec::with_capacity(count);
    for item in items {
        let Some([x, y, height]) = reading.group(item, "heights", parts, [None; 3]) else {
            continue;
        };
        let height = SpotHeight {
            at: Point::new(x.value.to_mm(), y.value.to_mm()),
            height: height.value,
        };
        heights.push(Placed::new(height, reading.place(item.span())));
    }
    if heights.len() < count {
        return None;
    }
    let mut is_sound = true;
    let mut sorted: Vec<&Placed<SpotHeight>> = heights.iter().collect();
    sorted.sort_by(|a, b| {
        let (one, other) = (a.value.at, b.value.at);
        one.x.total_cmp(&other.x).then(one.y.total_cmp(&other.y))
    });
    for pair in sorted.windows(2) {
        let [one, other] = pair else { continue };
        let apart = (one.value.height - other.value.height).to_mm().abs();
        if one.value.at.distance(other.value.at) <= SAME && apart > REPEATS {
            let (before, this) = if one.place.start < other.place.start {
                (one, other)
            } else {
                (other, one)
            };
            is_sound = false;
            let unit = reading.units;
            reading.report(
                Fault::new(
                    this.place,
                    format!(
                        "two heights of one place that differ by {}",
                        Length::mm(apart).show(unit)
                    ),
                    "the second",
                )
                .with_mention(
                    before.place,
                    format!("{} here", before.value.height.show(unit)),
                )
                .with_help("measure it again and keep the right one"),
            );
        }
    }
    let mut off: Vec<f64> = heights
        .iter()
        .map(|height| height.value.at.y.abs())
        .collect();
    off.sort_by(f64::total_cmp);
    off.dedup_by(|b, a| *b - *a <= SAME);
    if is_sound && (heights.len() < 3 || off.len() < 2) {
        reading.report(
            Fault::new(
                place,
                "these heights tell no camber",
                "three are needed at least, at different distances from the centreline",
            )
            .with_help(
                "measure at the centreline, half way out and at the edge, at three stations or more",
            ),
        );
        return None;
    }
    is_sound.then_some(SpotHeights { heights, place })
}

/// The sheer; nothing where the deck has none, or it is at fault.
pub(super) fn sheer<'t>(reading: &mut Reading<'t>, deck: &Table<'t>) -> Option<Sheer> {
    let table = reading.table(deck, "sheer")?;
    let value = table.get("heights")?;
    let place = table.place_of("heights");
    let items = reading.items(
        value,
        "heights",
        "[station, height] pairs such as [[0, 120], [1500, 60], [3000, 40]]",
    )?;
    let count = items.len();
    let mut heights: Vec<Placed<StationHeight>> = Vec::with_capacity(count);
    for item in items {
        if let Some([station, height]) =
            reading.group(item, "heights", ["station", "height"], [None; 2])
        {
            let (station, height) = (station.value, height.value);
            let at = reading.place(item.span());
            heights.push(Placed::new(StationHeight { station, height }, at));
        }
    }
    if heights.len() < count {
        return None;
    }
    let in_order = check_order(reading, &heights);
    heights
        .dedup_by(|this, before| (this.value.station - before.value.station).to_mm().abs() <= SAME);
    if in_order && heights.len() < 2 {
        reading.report(
            Fault::new(
                place,
                "a sheer has two stations at least",
                "one height tells no curve",
            )
            .with_help("measure the centreline's height at five stations or more; delete [deck.sheer] where it is level"),
        );
        return None;
    }
    in_order.then_some(Sheer { heights, place })
}

/// Stations run from forward to aft, each with one height.
fn check_order(reading: &mut Reading<'_>, heights: &[Placed<StationHeight>]) -> bool {
    let mut in_order = true;
    for pair in heights.windows(2) {
        let [before, this] = pair else { continue };
        let unit = reading.units;
        let station = this.value.station.show(unit);
        let step = (this.value.station - before.value.station).to_mm();
        let fault = if step < -SAME {
            Fault::new(
                this.place,
                format!("the sheer's heights are out of order at station {station}"),
                format!(
                    "forward of the station before it, {}",
                    before.value.station.show(unit)
                ),
            )
            .with_help("list the stations from forward to aft")
        } else if step <= SAME && this.value.height != before.value.height {
            Fault::new(
                this.place,
                format!("two heights of the centreline at station {station}"),
                format!("measured {} just before", before.value.height.show(unit)),
            )
            .with_help("keep one of them: a deck with a step is two decks")
        } else {
            continue;
        };
        in_order = false;
        reading.report(fault.with_mention(before.place, "the one before"));
    }
    in_order
}
