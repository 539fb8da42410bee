//! Decks at random, the same ones every time: number and kind name a deck.

use crate::deck::{Deck, Obstacle, Shape, Strip};

/// The two sets.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub enum Kind {
    /// Every measure a whole number of centimetres, things often placed so that keep-offs touch or leave
    /// exactly the room of a disc: ties are the rule.
    Grid,
    /// The same decks, every measure off its grid by up to 4 mm.
    Free,
}

impl Kind {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Grid, Self::Free];

    /// As it is written in tables.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Grid => "grid",
            Self::Free => "free",
        }
    }
}

/// Steele, Lea and Flood's SplitMix64 ("Fast splittable pseudorandom number generators", OOPSLA 2014).
#[derive(Debug, Clone)]
pub struct SplitMix(u64);

impl SplitMix {
    /// A generator that starts from `seed`.
    #[must_use]
    pub const fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// The next 64 bits.
    pub const fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    /// A whole number from `least` to `greatest`, both included.
    pub fn whole(&mut self, least: u32, greatest: u32) -> u32 {
        let span = u64::from(greatest.saturating_sub(least)) + 1;
        // Below 2³², so the remainder fits.
        least + u32::try_from(self.next() % span).unwrap_or(0)
    }

    /// A number from 0 up to 1.
    pub fn share(&mut self) -> f64 {
        f64::from(u32::try_from(self.next() >> 32).unwrap_or(0)) / 4_294_967_296.0
    }

    /// True `times` in a hundred.
    pub fn percent(&mut self, times: u32) -> bool {
        self.whole(1, 100) <= times
    }

    /// One of some.
    pub fn pick<T: Copy>(&mut self, some: &[T]) -> T {
        let last = u32::try_from(some.len() - 1).unwrap_or(0);
        some[self.whole(0, last) as usize]
    }

    /// A whole number of centimetres between two, in millimetres.
    fn centimetres(&mut self, least: u32, greatest: u32) -> f64 {
        10.0 * f64::from(self.whole(least, greatest))
    }
}

/// Deck number `number` of a kind.
#[must_use]
pub fn deck(kind: Kind, number: u64) -> Deck {
    let mut random = SplitMix::new(number.wrapping_mul(0xd134_2543_de82_ef95) ^ 0x0053_5049_4c45);
    let mut deck = on_grid(&mut random);
    if kind == Kind::Free {
        take_off_grid(&mut deck, &mut random);
    }
    deck
}

fn on_grid(random: &mut SplitMix) -> Deck {
    let (width, height) = (random.centimetres(80, 400), random.centimetres(50, 200));
    let outline = outline(random, width, height);
    let radius = |random: &mut SplitMix| {
        if random.percent(15) {
            0.0
        } else {
            random.centimetres(1, 12)
        }
    };
    let (round, hollow) = (radius(random), radius(random));
    let margin = random.centimetres(0, 12);
    let mut deck = Deck {
        margin,
        round,
        hollow,
        outline,
        obstacles: Vec::new(),
        strips: Vec::new(),
    };
    let base = if matches!(deck.outline, Shape::Hull { .. }) {
        -height / 2.0
    } else {
        0.0
    };
    for _ in 0..random.whole(0, 12) {
        let obstacle = obstacle(random, &deck, width, height, base);
        deck.obstacles.push(obstacle);
    }
    for _ in 0..random.pick(&[0, 0, 1, 1, 2, 3]) {
        let across = random.percent(50);
        let (least, extent) = if across { (0.0, width) } else { (base, height) };
        let steps = whole_tenths(extent);
        deck.strips.push(Strip {
            across,
            at: least + random.centimetres(5, steps - 5),
            width: 2.0 * random.centimetres(1, 6),
        });
    }
    deck
}

#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a deck's extent is a positive number of centimetres, a few hundred"
)]
fn whole_tenths(extent: f64) -> u32 {
    (extent / 10.0).round() as u32
}

fn outline(random: &mut SplitMix, width: f64, height: f64) -> Shape {
    let (along, across) = (whole_tenths(width), whole_tenths(height));
    match random.whole(0, 4) {
        0 => Shape::Rectangle {
            x: 0.0,
            y: 0.0,
            width,
            height,
            radius: 0.0,
        },
        1 => Shape::Rectangle {
            x: 0.0,
            y: 0.0,
            width,
            height,
            radius: random.centimetres(1, across / 2 - 1),
        },
        2 => {
            let notch_width = random.centimetres(15, along - 25);
            let notch_height = random.centimetres(10, across - 20);
            let most = whole_tenths(notch_width.min(notch_height)) - 1;
            Shape::Ell {
                width,
                height,
                notch_width,
                notch_height,
                radius: if random.percent(50) {
                    random.centimetres(1, most.min(30))
                } else {
                    0.0
                },
            }
        }
        3 => Shape::Chamfered {
            width,
            height,
            cut_along: random.centimetres(5, along - 20),
            cut_across: random.centimetres(3, across / 2 - 5),
        },
        _ => {
            // No blunter than a quarter of a circle, and some straight side left.
            let half = (across / 2).min(along - 20);
            Shape::Hull {
                length: width,
                shoulder: random.centimetres(half, along - 10),
                half_breadth: 10.0 * f64::from(half),
            }
        }
    }
}

/// An obstacle somewhere, or placed against something that is there already: its keep-off touching, a
/// centimetre in or out, or leaving just the room of the disc that the pattern is opened or closed with.
fn obstacle(random: &mut SplitMix, deck: &Deck, width: f64, height: f64, base: f64) -> Obstacle {
    let margin = random.pick(&[0.0, 10.0, 20.0, 30.0, 50.0, 50.0, 60.0, 100.0]);
    let (half_x, half_y, radius, is_disc) = match random.whole(0, 2) {
        0 => {
            let radius = random.centimetres(1, 20);
            (radius, radius, 0.0, true)
        }
        1 => (
            random.centimetres(1, 30),
            random.centimetres(1, 20),
            0.0,
            false,
        ),
        _ => {
            let (x, y) = (random.centimetres(2, 30), random.centimetres(2, 20));
            (
                x,
                y,
                random.centimetres(1, whole_tenths(x.min(y)) - 1),
                false,
            )
        }
    };
    let mut x = random.centimetres(0, whole_tenths(width));
    let mut y = base + random.centimetres(0, whole_tenths(height));
    if random.percent(60) {
        let gap = random.pick(&[
            0.0,
            2.0 * deck.round,
            2.0 * deck.hollow,
            2.0 * deck.round + 10.0,
            10.0,
            -10.0,
        ]);
        let beside = random.percent(50).then(|| last_box(deck)).flatten();
        let (bounds, keep, sign) = beside.map_or(
            ([0.0, base, width, base + height], deck.margin, -1.0),
            |(bounds, keep)| (bounds, keep, 1.0),
        );
        let away = keep + gap + margin;
        match random.whole(0, 3) {
            0 => x = bounds[0] - sign * (away + half_x),
            1 => x = bounds[2] + sign * (away + half_x),
            2 => y = bounds[1] - sign * (away + half_y),
            _ => y = bounds[3] + sign * (away + half_y),
        }
        if sign > 0.0 && random.percent(50) {
            // In line with its neighbour, on the axis that is still free.
            if x < bounds[0] || x > bounds[2] {
                y = f64::midpoint(bounds[1], bounds[3]);
            } else {
                x = f64::midpoint(bounds[0], bounds[2]);
            }
        }
    }
    let shape = if is_disc {
        Shape::Disc {
            x,
            y,
            radius: half_x,
        }
    } else {
        Shape::Rectangle {
            x: x - half_x,
            y: y - half_y,
            width: 2.0 * half_x,
            height: 2.0 * half_y,
            radius,
        }
    };
    Obstacle { margin, shape }
}

/// Least and greatest corner of the last obstacle, with its margin.
fn last_box(deck: &Deck) -> Option<([f64; 4], f64)> {
    let last = deck.obstacles.last()?;
    let bounds = match last.shape {
        Shape::Disc { x, y, radius } => [x - radius, y - radius, x + radius, y + radius],
        Shape::Rectangle {
            x,
            y,
            width,
            height,
            ..
        } => [x, y, x + width, y + height],
        _ => return None,
    };
    Some((bounds, last.margin))
}

/// Every measure off its round number; what is 0 (no margin, no radius) stays 0.
fn take_off_grid(deck: &mut Deck, random: &mut SplitMix) {
    let mut shift = |value: &mut f64| {
        let by = 8.0 * random.share() - 4.0;
        if *value != 0.0 {
            *value += by;
        }
    };
    shift(&mut deck.margin);
    shift(&mut deck.round);
    shift(&mut deck.hollow);
    deck.outline.measures_mut(&mut shift);
    for obstacle in &mut deck.obstacles {
        shift(&mut obstacle.margin);
        obstacle.shape.measures_mut(&mut shift);
    }
    for strip in &mut deck.strips {
        shift(&mut strip.at);
        shift(&mut strip.width);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_names_one_deck() {
        for kind in Kind::ALL {
            assert_eq!(deck(kind, 7), deck(kind, 7));
            assert_ne!(deck(kind, 7), deck(kind, 8));
        }
    }

    #[test]
    fn no_deck_is_larger_than_a_few_metres() {
        for kind in Kind::ALL {
            for number in 0..2000 {
                let deck = deck(kind, number);
                let mut check = |value: &mut f64| assert!(value.abs() < 5000.0, "{number}");
                deck.outline.clone().measures_mut(&mut check);
                assert!(
                    deck.outline.ring().self_crossing().is_none(),
                    "{kind:?} {number}"
                );
                for obstacle in &deck.obstacles {
                    obstacle.shape.clone().measures_mut(&mut check);
                    assert!(
                        obstacle.shape.ring().self_crossing().is_none(),
                        "{kind:?} {number}"
                    );
                }
            }
        }
    }

    #[test]
    fn decks_on_the_grid_are_in_whole_centimetres() {
        for number in 0..200 {
            let mut deck = deck(Kind::Grid, number);
            let mut check = |value: &mut f64| assert_eq!(*value % 5.0, 0.0, "deck {number}");
            deck.outline.measures_mut(&mut check);
            for obstacle in &mut deck.obstacles {
                obstacle.shape.measures_mut(&mut check);
            }
        }
    }

    // First output for seed 0, as the authors' reference implementation gives it (from memory).
    #[test]
    fn the_generator_is_splitmix() {
        assert_eq!(SplitMix::new(0).next(), 0xe220_a839_7b1d_cdaf);
    }
}
