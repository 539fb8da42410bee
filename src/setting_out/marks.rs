//! What is wrong with marks before anything is measured from them.

use super::Mark;
use crate::Job;
use crate::units::Length;

/// Marks nearer to each other than this are one, millimetres.
const ONE_PLACE: f64 = 10.0;
/// How far off every deck a mark may be: on the covering board, the coaming, the rail; millimetres.
const OFF_DECK: f64 = 150.0;

/// Why ties cannot be measured from these marks, in a sentence.
#[must_use]
pub fn marks_fault(marks: &[Mark], job: &Job) -> Option<String> {
    let units = job.layout.units;
    for (number, mark) in marks.iter().enumerate() {
        for other in &marks[..number] {
            if mark.name == other.name {
                return Some(format!(
                    "--mark: two marks are called {}; name each differently",
                    mark.name
                ));
            }
            if mark.at.distance(other.at) < ONE_PLACE {
                return Some(format!(
                    "--mark: {} and {} are at one place, so together they fix nothing; put them well apart",
                    other.name, mark.name
                ));
            }
        }
        let is_on_one = job.decks.iter().any(|deck| {
            let region = &deck.pattern.deck;
            region.contains(mark.at) || region.boundary_distance(mark.at) < Length::mm(OFF_DECK)
        });
        let hole = job
            .decks
            .iter()
            .any(|deck| deck.pattern.openings.contains(mark.at));
        if hole {
            return Some(format!(
                "--mark: {} lies in an opening, where there is nothing to mark",
                mark.name
            ));
        }
        if !is_on_one {
            return Some(format!(
                "--mark: {} at station {}, {} off, lies on no deck; a mark has to stay where a tape can be held",
                mark.name,
                Length::mm(mark.at.x).show(units),
                Length::mm(mark.at.y).show(units),
            ));
        }
    }
    None
}
