//! What is wrong with marks before anything is measured from them, and which of them a deck has.

use super::Mark;
use crate::DeckJob;
use crate::shape::BoundingBox;
use crate::units::{Length, LengthUnit};

/// Marks nearer to each other than this are one, millimetres.
const ONE_PLACE: f64 = 10.0;
/// How far off a deck a mark may be: on the covering board, the coaming, the rail; millimetres.
const OFF_DECK: f64 = 150.0;

/// Why ties cannot be measured from these marks on these decks, in a sentence.
#[must_use]
pub fn marks_fault(marks: &[Mark], decks: &[&DeckJob], units: LengthUnit) -> Option<String> {
    for (number, mark) in marks.iter().enumerate() {
        for other in &marks[..number] {
            if mark.name == other.name {
                return Some(format!(
                    "--mark: two marks are called {0}; name each differently, as in {0}1 and {0}2",
                    mark.name
                ));
            }
            if mark.at.distance(other.at) < ONE_PLACE {
                return Some(format!(
                    "--mark: {} and {} are at one place, so together they fix nothing; put them well apart, one on \
                     either side of what is set out",
                    other.name, mark.name
                ));
            }
        }
        let is_in_opening = |deck: &&DeckJob| deck.pattern.openings.contains(mark.at);
        if decks.iter().any(is_in_opening) {
            return Some(format!(
                "--mark: {} lies in an opening, where there is nothing to mark; put it beside it",
                mark.name
            ));
        }
        if !decks.iter().any(|deck| is_on(mark, deck)) {
            return Some(off_deck(mark, decks, units));
        }
    }
    match marks {
        [alone] => Some(format!(
            "--mark: {} alone fixes nothing; name a second, as in --mark {1}=0,0, so that two ties cross, or none for \
             station and distance off alone",
            alone.name,
            if alone.name == "A" { "B" } else { "A" }
        )),
        _ => None,
    }
}

fn off_deck(mark: &Mark, decks: &[&DeckJob], units: LengthUnit) -> String {
    let show = |mm: f64| Length::mm(mm).show(units);
    let reach = decks.iter().fold(BoundingBox::EMPTY, |all, deck| {
        all.joined(&deck.pattern.deck.bounding_box())
    });
    let whose = match decks {
        [deck] => format!("not on the deck {:?}", deck.plan.id),
        _ => "on no deck".to_owned(),
    };
    format!(
        "--mark: {} at station {}, {} off, lies {whose}; a mark has to stand where a tape can be held, between station \
         {} and {} and between {} and {} off (starboard positive)",
        mark.name,
        show(mark.at.x),
        show(mark.at.y),
        show(reach.least.x),
        show(reach.greatest.x),
        show(reach.least.y),
        show(reach.greatest.y),
    )
}

/// Those of some marks that stand on a deck, or close enough beside it.
#[must_use]
pub fn marks_on(marks: &[Mark], deck: &DeckJob) -> Vec<Mark> {
    let here = marks.iter().filter(|mark| is_on(mark, deck));
    here.cloned().collect()
}

fn is_on(mark: &Mark, deck: &DeckJob) -> bool {
    let region = &deck.pattern.deck;
    region.contains(mark.at) || region.boundary_distance(mark.at) < Length::mm(OFF_DECK)
}
