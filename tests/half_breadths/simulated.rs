//! Random fair decks, their half-breadths rounded as people round them, with a mistake put in or none.

use spile::adjust::bump::{Judged, Line, Reading, Suspect, judge};

/// Small, quick, and the same on every machine (SplitMix64).
pub(crate) struct Random(pub(crate) u64);

impl Random {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    pub(crate) fn between(&mut self, low: f64, high: f64) -> f64 {
        let share = (self.next() >> 11) as f64 / (1_u64 << 53) as f64;
        low + share * (high - low)
    }

    pub(crate) fn below(&mut self, count: usize) -> usize {
        (self.next() % count as u64) as usize
    }
}

/// How a deck comes to its stem.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Bow {
    /// At an angle.
    Sharp,
    /// Steeply, full from the start: as a power between 0.55 and 0.8 of the station.
    Bluff,
    /// Square to the centreline, as an ellipse does.
    Round,
}

pub(crate) const BOWS: [Bow; 3] = [Bow::Sharp, Bow::Bluff, Bow::Round];

/// A fair deck of twelve stations: 3 to 12 m long, half-breadths unrounded. A third have equal stations, a third
/// unequal ones, a third stations that lie closer forward.
pub(crate) fn deck(bow: Bow, random: &mut Random) -> Vec<[f64; 2]> {
    let length = random.between(3000.0, 12_000.0);
    let beam = length * random.between(0.14, 0.24);
    let spacing = random.below(3);
    let mut shares = vec![0.0];
    let power = random.between(1.2, 1.6);
    for number in 1..12 {
        let before = shares[number - 1];
        shares.push(match spacing {
            0 => number as f64 / 11.0,
            1 => before + random.between(0.6, 1.4),
            _ => (number as f64 / 11.0).powf(power),
        });
    }
    let last = shares[11];
    let taper = random.between(0.05, 0.35);
    let form = random.below(3);
    let fullness = random.between(0.0, 1.0);
    let half = |share: f64| {
        let within = |low: f64, high: f64| low + fullness * (high - low);
        let fair = match (bow, form) {
            (Bow::Sharp, 0) => 1.0 - (-within(2.0, 4.5) * share).exp(),
            (Bow::Sharp, 1) => {
                return (std::f64::consts::FRAC_PI_2 * share / within(0.6, 0.9)).sin();
            }
            (Bow::Sharp, _) => 1.0 - (1.0 - share * 0.9).powi(4),
            (Bow::Bluff, _) => {
                (1.0 - (1.0 - 0.8 * share).powf(within(1.5, 3.0))).powf(0.55 + 0.25 * taper / 0.35)
            }
            (Bow::Round, 0) => (1.0 - (1.0 - share * within(0.8, 0.95)).powi(2)).sqrt(),
            (Bow::Round, 1) => (1.0 - (1.0 - share * 0.9).powf(within(2.0, 3.5))).sqrt(),
            (Bow::Round, _) => (within(2.0, 3.5) * share).tanh().sqrt(),
        };
        fair * (1.0 - taper * share * share)
    };
    let most = shares
        .iter()
        .map(|share| half(share / last))
        .fold(0.0, f64::max);
    shares
        .iter()
        .map(|share| {
            let station = (share / last * length / 10.0).round() * 10.0;
            [
                station,
                half(station / ((length / 10.0).round() * 10.0)) / most * beam,
            ]
        })
        .collect()
}

pub(crate) fn rounded(table: &[[f64; 2]], step: f64) -> Vec<[f64; 2]> {
    table
        .iter()
        .map(|[x, y]| [*x, (y / step).round() * step])
        .collect()
}

fn judged(bow: Bow, table: &[[f64; 2]], noise: f64) -> Judged {
    let readings: Vec<Reading> = table
        .iter()
        .map(|[at, value]| Reading {
            at: *at,
            value: *value,
            is_exact: *value == 0.0,
        })
        .collect();
    judge(
        &readings,
        Line {
            noise,
            stands_on_end: bow == Bow::Round,
        },
    )
    .expect("twelve stations can be judged")
}

#[test]
fn tune() {
    let runs: usize = std::env::var("RUNS")
        .ok()
        .and_then(|t| t.parse().ok())
        .unwrap_or(50);
    let step: f64 = std::env::var("STEP")
        .ok()
        .and_then(|t| t.parse().ok())
        .unwrap_or(2.0);
    let noise = (step * step / 12.0 + 0.25_f64).sqrt();
    for bow in BOWS {
        let mut random = Random(7);
        let (mut named, mut sized, mut false_alarm, mut first, mut silent, mut one, mut rival) =
            (0, 0, 0, 0, 0, 0, 0);
        let mut missed = [0; 12];
        for _ in 0..runs {
            let table = rounded(&deck(bow, &mut random), step);
            if !judged(bow, &table, noise).suspects.is_empty() {
                false_alarm += 1;
            }
            let mut bumped = table.clone();
            let at = 1 + random.below(10);
            let bump = if random.below(2) == 0 { 8.0 } else { -8.0 };
            bumped[at][1] += bump;
            let found = judged(bow, &bumped, noise).suspects;
            if found.is_empty() {
                silent += 1;
            }
            if found.len() == 1 {
                one += 1;
            }
            if let Some(Suspect::Off(off)) = found.iter().find(|s| s.index() == at) {
                named += 1;
                if (off.error - bump).abs() <= 3.0 {
                    sized += 1;
                }
                if found[0].index() == at {
                    first += 1;
                }
                if off.rivals.is_empty() {
                    rival += 1
                }
            } else {
                missed[at] += 1;
            }
        }
        println!(
            "{bow:?}: named {named} first {first} sized {sized} silent {silent} single {one} sure {rival} false {false_alarm} of {runs}; missed at {missed:?}"
        );
    }
}
