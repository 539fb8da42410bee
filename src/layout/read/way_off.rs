//! Reads where people get off a deck, and on to which other deck.

use super::super::table::{Reading, Table, nearest, shown};
use super::super::{Deck, Fault, Placed, WayOff};

pub(super) fn ways_off<'t>(reading: &mut Reading<'t>, deck: &Table<'t>) -> Vec<WayOff> {
    let tables = reading.tables(deck, "way_off");
    let ways = tables.iter().filter_map(|way| {
        let name = reading.line(way, "name").map(|name| name.value);
        let onto = reading.line(way, "onto");
        let at = reading.position(way, "at")?;
        Some(WayOff { name, at, onto })
    });
    ways.collect()
}

/// Reports ways on to decks that there are not, and decks that lead on to each other in a ring: whichever is painted first
/// shuts in whoever paints the last.
pub(super) fn check_leads(reading: &mut Reading<'_>, decks: &[Deck]) {
    let position = |id: &str| decks.iter().position(|deck| deck.id.value == id);
    let mut leads: Vec<Vec<(usize, &Placed<String>)>> = vec![Vec::new(); decks.len()];
    for (number, deck) in decks.iter().enumerate() {
        for onto in deck.ways_off.iter().filter_map(|way| way.onto.as_ref()) {
            match position(&onto.value) {
                Some(other) if other != number => leads[number].push((other, onto)),
                Some(_) => reading.report(
                    Fault::new(onto.place, "this way off leads on to its own deck", "the same deck")
                        .with_help("name the deck that people come to, or leave `onto` out where they leave the boat"),
                ),
                None => reading.report(unknown(onto, decks)),
            }
        }
    }
    // Decks that lead nowhere any more are taken away; what is left goes round in a ring.
    let mut left: Vec<usize> = (0..decks.len()).collect();
    while let Some(end) = left.iter().position(|deck| {
        let mut onto = leads[*deck].iter();
        onto.all(|(other, _)| !left.contains(other))
    }) {
        left.remove(end);
    }
    let in_ring = left.first().and_then(|deck| {
        let mut onto = leads[*deck].iter();
        onto.find(|(other, _)| left.contains(other))
    });
    if let (Some(deck), Some((other, onto))) = (left.first(), in_ring) {
        reading.report(
            Fault::new(
                onto.place,
                format!(
                    "\"{}\" leads on to \"{}\", from where people come back to it",
                    shown(&decks[*deck].id.value),
                    shown(&decks[*other].id.value)
                ),
                "whichever is painted first shuts the other in",
            )
            .with_help("leave `onto` out at the deck that is painted last, and mark where people leave the boat from it"),
        );
    }
}

fn unknown(onto: &Placed<String>, decks: &[Deck]) -> Fault {
    let fault = Fault::new(
        onto.place,
        format!("no deck has the id \"{}\"", shown(&onto.value)),
        "no such deck",
    );
    let ids = || decks.iter().map(|deck| deck.id.value.as_str());
    fault.with_help(match nearest(&onto.value, ids()) {
        Some(near) => format!("did you mean \"{near}\"?"),
        None => format!(
            "the decks are \"{}\"",
            ids().collect::<Vec<_>>().join("\", \"")
        ),
    })
}
