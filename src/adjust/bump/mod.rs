//! Which of the readings along a fair line is off, and by how much. Comes in: readings in order along a line, and
//! their precision. Goes out: the ones in error with the size of it, pairs of neighbours that were exchanged, and for
//! every reading the least error that would be found.
//!
//! Third divided differences of neighbours are taken; they vanish for any parabola, so they hold what makes a line
//! unfair and nothing else. They come from three things: the readings' precision, which is known; the line itself, whose
//! differences are small and change slowly; and errors. The reading whose correction makes the differences likeliest is
//! the suspect. Taking it that way, rather than as a distance from a curve through the others, does not blame the
//! neighbours, and weighs the ends for what they are.
//!
//! How fast a line's differences change is not known beforehand. Many kinds of line are tried, and each reading is judged
//! by all of them together, each weighed by how likely it makes the readings.

mod kinds;
mod search;

pub use kinds::Differences;
use search::{Correction, Search};

/// A reading along a line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// Where along the line; each further on than the one before.
    pub at: f64,
    /// What was read there, not negative.
    pub value: f64,
    /// Known without error, such as a zero where two lines meet.
    pub is_exact: bool,
}

/// What is wrong with one reading, or with two neighbours.
#[derive(Debug, Clone, PartialEq)]
pub enum Suspect {
    /// A reading is off.
    Off(Off),
    /// Two neighbours were exchanged.
    Exchanged(Exchanged),
}

/// A reading in error.
#[derive(Debug, Clone, PartialEq)]
pub struct Off {
    /// Its number in the list.
    pub index: usize,
    /// What the others say should be there.
    pub expected: f64,
    /// How far the reading exceeds that.
    pub error: f64,
    /// Standard deviation of `error`.
    pub deviation: f64,
    /// Other readings whose correction would do nearly as well, most likely first.
    pub rivals: Vec<usize>,
}

/// Two neighbours in each other's place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Exchanged {
    /// The first of the two.
    pub index: usize,
}

/// What was found along a line.
#[derive(Debug, Clone, PartialEq)]
pub struct Judged {
    /// What is wrong, in the order it was found, the worst first.
    pub suspects: Vec<Suspect>,
    /// For each reading, how large an error must be to be found; none where it cannot be.
    pub limits: Vec<Option<f64>>,
}

/// The fewest readings that can be judged: below, a fair line can be laid through almost anything.
pub const FEWEST: usize = 6;
/// The share of clean lists in which one reading may be blamed, were the kind of line known. Not knowing it spares most
/// lists, but not those of a bluff bow.
const FALSE_ALARM: f64 = 0.07;
/// Of readings whose corrections explain a list about as well, none is named alone: twice the logarithm of how much
/// likelier the named one must be (a ratio of 7).
const RIVAL: f64 = 4.0;
/// A pair may be any of twice as many as there are readings, so it has to explain that much more (twice the logarithm).
const PAIR_BEYOND: f64 = 4.0;
/// At most one reading in this many is blamed; more is no slip but another line.
const MOST_SHARE: usize = 4;
/// A longer list is judged in stretches of this many readings, each overlapping the next by twice `OVERLAP`.
const STRETCH: usize = 36;
const OVERLAP: usize = 5;

/// What is known of a line before it is judged.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Line {
    /// Standard deviation of every reading.
    pub noise: f64,
    /// It stands on end where it meets zero, as its own mirror image does.
    pub stands_on_end: bool,
}

/// Judges readings along a line. None where there are too few of them, where they
/// are not in order, or where a number is of no use.
#[must_use]
pub fn judge(readings: &[Reading], line: Line) -> Option<Judged> {
    let noise = line.noise;
    let is_usable = readings
        .iter()
        .all(|reading| reading.at.is_finite() && (0.0..1e9).contains(&reading.value));
    let in_order = readings.windows(2).all(|pair| pair[1].at > pair[0].at);
    if readings.len() < FEWEST || !is_usable || !in_order || noise.is_nan() || noise <= 0.0 {
        return None;
    }
    let limit = Limit::among(readings.iter().filter(|one| !one.is_exact).count());
    if readings.len() <= STRETCH + 2 * OVERLAP {
        return Stretch::new(readings, line, limit).judged();
    }
    let mut all = Judged {
        suspects: Vec::new(),
        limits: vec![None; readings.len()],
    };
    let mut from = 0;
    while from < readings.len() {
        let last = from + STRETCH + OVERLAP >= readings.len();
        let until = if last { readings.len() } else { from + STRETCH };
        let first = from.saturating_sub(OVERLAP);
        let stretch = &readings[first..(until + OVERLAP).min(readings.len())];
        let judged = Stretch::new(stretch, line, limit).judged()?;
        let own = from..until;
        for (index, found) in (first..).zip(judged.limits) {
            if own.contains(&index) {
                all.limits[index] = found;
            }
        }
        all.suspects.extend(
            judged
                .suspects
                .into_iter()
                .map(|suspect| suspect.moved(first))
                .filter(|suspect| own.contains(&suspect.index())),
        );
        from = until;
    }
    Some(all)
}

impl Suspect {
    /// The number of the reading, or of the first of two.
    #[must_use]
    pub const fn index(&self) -> usize {
        match self {
            Self::Off(off) => off.index,
            Self::Exchanged(pair) => pair.index,
        }
    }

    fn moved(self, by: usize) -> Self {
        match self {
            Self::Off(off) => Self::Off(Off {
                index: off.index + by,
                rivals: off.rivals.iter().map(|rival| rival + by).collect(),
                ..off
            }),
            Self::Exchanged(pair) => Self::Exchanged(Exchanged {
                index: pair.index + by,
            }),
        }
    }
}

/// How many standard deviations an error must have to be blamed on one reading of many: so many that the largest of
/// that many honest errors reaches it in a share `FALSE_ALARM` of lists.
#[derive(Debug, Clone, Copy)]
struct Limit(f64);

impl Limit {
    fn among(count: usize) -> Self {
        let honest = (1.0 - FALSE_ALARM).powf(1.0 / (count.max(1) as f64));
        Self(normal_quantile((1.0 - honest) / 2.0))
    }

    /// The same for twice the logarithm of a ratio of likelihoods.
    const fn of_ratio(self) -> f64 {
        self.0 * self.0
    }
}

/// What a standard normal variable exceeds with probability `tail`, below one half: Abramowitz and Stegun,
/// Handbook of Mathematical Functions, 26.2.23, to 4.5e-4 (from memory, checked below against known values).
fn normal_quantile(tail: f64) -> f64 {
    let t = (-2.0 * tail.ln()).sqrt();
    t - (2.515_517 + t * (0.802_853 + t * 0.010_328))
        / (1.0 + t * (1.432_788 + t * (0.189_269 + t * 0.001_308)))
}

/// Readings judged together.
struct Stretch {
    readings: Vec<Reading>,
    line: Line,
    limit: Limit,
}

impl Stretch {
    fn new(readings: &[Reading], line: Line, limit: Limit) -> Self {
        Self {
            readings: readings.to_vec(),
            line,
            limit,
        }
    }

    fn judged(mut self) -> Option<Judged> {
        let count = self.readings.len();
        let most = count / MOST_SHARE;
        let mut exchanged: Vec<usize> = Vec::new();
        let mut blamed: Vec<usize> = Vec::new();
        // Each round blames one more; one that settling takes back is not asked for again.
        for _ in 0..most {
            if count - blamed.len() < FEWEST {
                break;
            }
            let now = self.search(&blamed)?;
            let Some((worst, correction)) = now.worst() else {
                break;
            };
            if !self.is_alarming(&now, &correction) {
                break;
            }
            if let Some(pair) = self.exchange(&blamed, worst, &now, &correction) {
                self.readings_exchanged(pair);
                exchanged.push(pair);
                continue;
            }
            match self.pair(&blamed, &correction) {
                Some(pair) => blamed.extend(pair),
                None => blamed.push(worst),
            }
            self.settle(&mut blamed);
        }
        let rest = self.search(&blamed)?;
        let mut deviations = rest.deviations;
        let mut suspects: Vec<(f64, Suspect)> = exchanged
            .iter()
            .map(|index| {
                let apart = self.readings[*index].value - self.readings[index + 1].value;
                let pair = Exchanged { index: *index };
                (apart.abs(), Suspect::Exchanged(pair))
            })
            .collect();
        for index in &blamed {
            let others: Vec<usize> = blamed.iter().copied().filter(|one| one != index).collect();
            let found = self.search(&others)?;
            let Some(correction) = found.corrections[*index] else {
                continue;
            };
            deviations[*index] = correction.deviation;
            let mut rivals: Vec<(f64, usize)> = (0..count)
                .filter(|rival| rival != index)
                .filter_map(|rival| Some((found.corrections[rival]?, rival)))
                .filter(|(other, _)| correction.score - other.score < RIVAL)
                .map(|(other, rival)| (other.score, rival))
                .collect();
            rivals.sort_by(|one, other| other.0.total_cmp(&one.0));
            suspects.push((
                correction.error.abs(),
                Suspect::Off(Off {
                    index: *index,
                    expected: self.readings[*index].value - correction.error,
                    error: correction.error,
                    deviation: correction.deviation,
                    rivals: rivals.into_iter().map(|(_, rival)| rival).collect(),
                }),
            ));
        }
        suspects.sort_by(|one, other| other.0.total_cmp(&one.0));
        let limits = self
            .readings
            .iter()
            .zip(&deviations)
            .map(|(reading, deviation)| {
                (!reading.is_exact && deviation.is_finite()).then_some(deviation * self.limit.0)
            })
            .collect();
        Some(Judged {
            suspects: suspects.into_iter().map(|(_, suspect)| suspect).collect(),
            limits,
        })
    }

    /// Whether a correction explains more than chance would.
    fn is_alarming(&self, search: &Search, correction: &Correction) -> bool {
        correction.likelihood - search.plain > self.limit.of_ratio()
            && correction.ratio > self.limit.0
    }

    /// Two errors side by side make the reading between them, or an innocent neighbour, look guilty at first. Once
    /// another is blamed, each earlier one has to prove itself again, against all that is not blamed.
    fn settle(&self, blamed: &mut Vec<usize>) {
        for _ in 0..3 {
            let before = blamed.clone();
            if before.len() < 2 {
                return;
            }
            for index in before.clone() {
                let others: Vec<usize> =
                    blamed.iter().copied().filter(|one| *one != index).collect();
                let Some(search) = self.search(&others) else {
                    return;
                };
                match search.worst() {
                    Some((worst, correction)) if self.is_alarming(&search, &correction) => {
                        *blamed = others;
                        blamed.push(worst);
                    }
                    _ => *blamed = others,
                }
            }
            let (mut one, mut other) = (before, blamed.clone());
            one.sort_unstable();
            other.sort_unstable();
            if one == other {
                return;
            }
        }
    }

    /// Two errors of one size side by side hide each other: each single reading near them is blamed for less than it
    /// explains. The two whose correction explains so much more than one that the second counts as found, if there are such.
    fn pair(&self, blamed: &[usize], correction: &Correction) -> Option<[usize; 2]> {
        let room = self.readings.len() / MOST_SHARE > blamed.len() + 1;
        let search = room
            .then(|| Search::of(&self.readings, self.line, blamed, true))
            .flatten()?;
        let best = search.worst_pair()?;
        (best.likelihood - correction.likelihood > self.limit.of_ratio() + PAIR_BEYOND)
            .then_some(best.indices)
    }

    /// The neighbours near the suspect whose exchange explains the readings at least as well as its correction.
    fn exchange(
        &self,
        blamed: &[usize],
        worst: usize,
        now: &Search,
        correction: &Correction,
    ) -> Option<usize> {
        let best = (worst.saturating_sub(2)..(worst + 2).min(self.readings.len() - 1))
            .filter(|first| !blamed.contains(first) && !blamed.contains(&(first + 1)))
            .filter(|first| !self.readings[*first].is_exact && !self.readings[first + 1].is_exact)
            .filter_map(|first| {
                let mut tried = Self::new(&self.readings, self.line, self.limit);
                tried.readings_exchanged(first);
                let search = tried.search(blamed)?;
                let is_now_fair = search.worst().is_none_or(|(_, correction)| {
                    !tried.is_alarming(&search, &correction) || search.plain > now.plain + 100.0
                });
                is_now_fair.then_some((search.plain, first))
            })
            .max_by(|one, other| one.0.total_cmp(&other.0))?;
        (best.0 > correction.likelihood - 2.0 && best.0 - now.plain > self.limit.of_ratio())
            .then_some(best.1)
    }

    fn search(&self, blamed: &[usize]) -> Option<Search> {
        Search::of(&self.readings, self.line, blamed, false)
    }

    fn readings_exchanged(&mut self, first: usize) {
        let value = self.readings[first].value;
        self.readings[first].value = self.readings[first + 1].value;
        self.readings[first + 1].value = value;
    }
}
