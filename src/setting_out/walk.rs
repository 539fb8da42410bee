//! The order in which two people walk least: each time to the nearest place, then every stretch of the way turned round
//! (2-opt) for as long as that shortens it. The same places give the same way.

use crate::shape::Point;

/// Rounds of turning stretches round; each shortens the way.
const ROUNDS: usize = 60;
/// What counts as shorter, millimetres.
const SHORTER: f64 = 1e-6;

/// The numbers of `places` in the order of a short way through all of them that begins at the one nearest to `from`.
pub(super) fn order(places: &[Point], from: Point) -> Vec<usize> {
    let mut left: Vec<usize> = (0..places.len()).collect();
    let mut way = Vec::new();
    let mut at = from;
    while !left.is_empty() {
        let mut nearest = 0;
        for (index, place) in left.iter().enumerate() {
            if places[*place].distance(at) < places[left[nearest]].distance(at) - SHORTER {
                nearest = index;
            }
        }
        let place = left.remove(nearest);
        at = places[place];
        way.push(place);
    }
    for _ in 0..ROUNDS {
        if !shortened(&mut way, places) {
            break;
        }
    }
    way
}

/// One round over all stretches; whether any was better the other way round. The first place stays first.
fn shortened(way: &mut [usize], places: &[Point]) -> bool {
    let mut is_shorter = false;
    let apart = |a: usize, b: usize| places[a].distance(places[b]);
    for first in 1..way.len() {
        for last in first + 1..way.len() {
            let (before, a, b) = (way[first - 1], way[first], way[last]);
            let (mut now, mut then) = (apart(before, a), apart(before, b));
            if let Some(after) = way.get(last + 1) {
                now += apart(b, *after);
                then += apart(a, *after);
            }
            if then < now - SHORTER {
                way[first..=last].reverse();
                is_shorter = true;
            }
        }
    }
    is_shorter
}

/// Length of the way through `places`.
pub(super) fn length(places: impl IntoIterator<Item = Point>) -> f64 {
    let mut places = places.into_iter();
    let Some(mut at) = places.next() else {
        return 0.0;
    };
    let mut sum = 0.0;
    for place in places {
        sum += at.distance(place);
        at = place;
    }
    sum
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn points_round_a_square_are_walked_round_it() {
        let corners = [[0.0, 0.0], [1.0, 1.0], [0.0, 1.0], [1.0, 0.0]];
        let places = corners.map(|[x, y]| Point::new(x * 1000.0, y * 1000.0));
        let way = order(&places, Point::ORIGIN);
        assert_eq!(way[0], 0);
        assert_eq!(length(way.iter().map(|one| places[*one])), 3000.0);
    }
}
