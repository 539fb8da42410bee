//! Which cans to buy. Comes in: a need and the sizes on sale. Goes out: how many of each size cost least and still
//! hold it.
//!
//! A dynamic programme over what is still wanted, in units of the sizes' greatest common divisor; millilitres and
//! grams are whole in it, the need rounded up and the cans down, so that nothing is short.

use std::ops::Sub;

use crate::units::{Mass, Money, Quantity, Volume};

/// What is sold by the whole millilitre or gram, which is its base unit.
pub trait Sold: Quantity + Sub<Output = Self> {}

impl Sold for Volume {}
impl Sold for Mass {}

/// A size on sale.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CanSize<A> {
    /// What one holds.
    pub holds: A,
    /// What one costs, where that is known.
    pub price: Option<Money>,
}

/// What to buy.
#[derive(Debug, Clone, PartialEq)]
pub struct Purchase<A> {
    /// How many of each size, in the order of the sizes.
    pub cans: Vec<u64>,
    /// What they hold together.
    pub holds: A,
    /// What of that is left over.
    pub left_over: A,
    /// What they cost; none where any size has no price.
    pub cost: Option<Money>,
}

/// The most entries of the table of [`buy`], 24 bytes each.
const MOST_ENTRIES: u64 = 4_000_000;

/// Beyond any can or need, in millilitres or grams.
const MOST: f64 = 1e9;

/// One size: its place in the list, its content in units of the common divisor, its price.
#[derive(Clone, Copy)]
struct Can {
    place: usize,
    holds: u64,
    price: u64,
}

/// How good a purchase is, the least being the best: its cost, then what it holds and so leaves over, then its cans.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Worth {
    cost: u64,
    holds: u64,
    cans: u64,
}

impl Worth {
    const NOTHING: Self = Self {
        cost: 0,
        holds: 0,
        cans: 0,
    };

    const fn with(self, can: Can) -> Self {
        Self {
            cost: self.cost.saturating_add(can.price),
            holds: self.holds + can.holds,
            cans: self.cans + 1,
        }
    }
}

/// The purchase that holds `need` at the least cost; among those the one with least left over, then the fewest cans,
/// then the most of the larger sizes. Where a size has no price, none counts, and the least left over comes first.
///
/// None where nothing can be bought: no size is on sale, one holds less than a millilitre or gram or has a negative
/// price, or an amount is none (below nothing, beyond 10⁹).
///
/// Of n sizes let c be the one cheapest by content and L the largest, both in units of the common divisor. The table
/// has at most min(need, c·L + c) entries, each of n steps: any c cans of other sizes have some among them that
/// together hold a multiple of c, and as many cans of c hold the same for no more. Where that is more than 4,000,000
/// (4,000 L and more, in sizes with no common millilitre), none is found.
#[must_use]
pub fn buy<A: Sold>(need: A, sizes: &[CanSize<A>]) -> Option<Purchase<A>> {
    let wanted = whole((need.to_base() - 1e-6).ceil())?;
    let mut contents = Vec::new();
    for size in sizes {
        contents.push(whole((size.holds.to_base() + 1e-6).floor()).filter(|holds| *holds > 0)?);
    }
    let mut prices = Vec::new();
    for price in sizes.iter().filter_map(|size| size.price) {
        prices.push(u64::try_from(price.to_smallest_units()).ok()?);
    }
    let priced = prices.len() == sizes.len();
    let divisor = contents.iter().copied().fold(0, common_divisor);
    let mut cans: Vec<Can> = contents
        .iter()
        .enumerate()
        .map(|(place, holds)| Can {
            place,
            holds: holds / divisor,
            price: if priced { prices[place] } else { 0 },
        })
        .collect();
    // Largest first, so that of equal purchases the one with larger cans is found.
    cans.sort_by(|one, other| {
        let order = other.holds.cmp(&one.holds);
        order.then(one.price.cmp(&other.price))
    });
    let mut counts = vec![0; sizes.len()];
    if wanted > 0 {
        let units = wanted.div_ceil(divisor.max(1));
        let (cheapest, sure) = taken_beforehand(units, &cans)?;
        counts[cheapest.place] = sure;
        for (place, count) in fewest(units - sure * cheapest.holds, &cans)? {
            counts[place] += count;
        }
    }
    let bought = || counts.iter().zip(sizes);
    let held: u64 = counts.iter().zip(&contents).map(|(n, one)| n * one).sum();
    let holds = A::from_base(held as f64);
    let cost =
        |(count, size): (&u64, &CanSize<A>)| Some(size.price? * usize::try_from(*count).ok()?);
    Some(Purchase {
        holds,
        left_over: holds - need,
        cost: if priced {
            bought().map(cost).sum()
        } else {
            None
        },
        cans: counts,
    })
}

/// The size cheapest by content, of equal ones the largest, and how many of it any best purchase has.
fn taken_beforehand(units: u64, cans: &[Can]) -> Option<(Can, u64)> {
    let cheapest = *cans.iter().min_by(|one, other| {
        let rate = |price: u64, holds: u64| u128::from(price) * u128::from(holds);
        rate(one.price, other.holds).cmp(&rate(other.price, one.holds))
    })?;
    let largest = cans.first()?.holds;
    let others = cheapest.holds * largest;
    Some((cheapest, units.saturating_sub(others) / cheapest.holds))
}

/// How many of each size make the best purchase of so many units.
fn fewest(units: u64, cans: &[Can]) -> Option<Vec<(usize, u64)>> {
    if units > MOST_ENTRIES {
        return None;
    }
    let units = usize::try_from(units).ok()?;
    let before = |wanted: usize, can: Can| {
        wanted.saturating_sub(usize::try_from(can.holds).unwrap_or(usize::MAX))
    };
    let mut best = vec![Worth::NOTHING];
    for wanted in 1..=units {
        let least = cans
            .iter()
            .map(|can| best[before(wanted, *can)].with(*can))
            .min()?;
        best.push(least);
    }
    let mut counts = Vec::new();
    let mut wanted = units;
    for can in cans {
        let mut count = 0;
        while wanted > 0 && best[before(wanted, *can)].with(*can) == best[wanted] {
            wanted = before(wanted, *can);
            count += 1;
        }
        counts.push((can.place, count));
    }
    Some(counts)
}

fn common_divisor(one: u64, other: u64) -> u64 {
    if other == 0 {
        one
    } else {
        common_divisor(other, one % other)
    }
}

/// A whole amount as a count; none where it is none.
fn whole(amount: f64) -> Option<u64> {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "whole already, and between nothing and the most"
    )]
    (0.0..=MOST).contains(&amount).then_some(amount as u64)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::cmp::Reverse;
    use std::time::{Duration, Instant};

    fn size(millilitres: f64, price: Option<i64>) -> CanSize<Volume> {
        CanSize {
            holds: Volume::millilitres(millilitres),
            price: price.map(Money::smallest_units),
        }
    }

    /// A generator of numbers that are the same on every machine: multiplier and increment of Knuth's MMIX (from
    /// memory).
    struct Numbers(u64);

    impl Numbers {
        fn up_to(&mut self, most: u64) -> u64 {
            self.0 = self
                .0
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            (self.0 >> 33) % most + 1
        }
    }

    /// Cost, what it holds, number of cans, and the counts from the largest size down, the more the better.
    type Key = (i64, u64, u64, Vec<Reverse<u64>>);

    /// The best of all purchases that hold the need and have no can too many, one by one. Sizes run from the largest
    /// down.
    fn tried_out(need: u64, sizes: &[(u64, i64)]) -> Key {
        fn go(need: u64, sizes: &[(u64, i64)], counts: &mut Vec<u64>, best: &mut Option<Key>) {
            let holds = |counts: &[u64]| -> u64 {
                counts
                    .iter()
                    .zip(sizes)
                    .map(|(count, size)| count * size.0)
                    .sum()
            };
            if counts.len() == sizes.len() {
                if holds(counts) >= need {
                    let cost = counts
                        .iter()
                        .zip(sizes)
                        .map(|(count, size)| i64::try_from(*count).expect("few") * size.1)
                        .sum();
                    let order = counts.iter().copied().map(Reverse).collect();
                    let key = (cost, holds(counts), counts.iter().sum(), order);
                    if best.as_ref().is_none_or(|best| key < *best) {
                        *best = Some(key);
                    }
                }
                return;
            }
            let most = need.div_ceil(sizes[counts.len()].0);
            for count in 0..=most {
                counts.push(count);
                go(need, sizes, counts, best);
                counts.pop();
            }
        }
        let mut best = None;
        go(need, sizes, &mut Vec::new(), &mut best);
        best.expect("any size holds any need")
    }

    #[test]
    fn no_purchase_tried_out_one_by_one_is_better() {
        let mut numbers = Numbers(7);
        for case in 0..1000 {
            let priced = case % 4 != 0;
            let kinds = numbers.up_to(5);
            let coarse = [1, 5, 50][case % 3];
            let mut sizes: Vec<(u64, i64)> = (0..kinds)
                .map(|_| {
                    let holds = (3 + numbers.up_to(40)) * coarse;
                    // Few prices, so that many purchases cost the same.
                    let price = i64::try_from(numbers.up_to(6) * 5).expect("small");
                    (holds, if priced { price } else { 0 })
                })
                .collect();
            sizes.sort_unstable();
            sizes.dedup_by_key(|size| size.0);
            sizes.reverse();
            let smallest = sizes.last().expect("a size").0;
            let need = numbers.up_to((smallest * 12).min(120 * coarse));
            let on_sale: Vec<CanSize<Volume>> = sizes
                .iter()
                .map(|(holds, price)| size(*holds as f64, priced.then_some(*price)))
                .collect();
            let found = buy(Volume::millilitres(need as f64), &on_sale).expect("a purchase");
            let (cost, holds, cans, order) = tried_out(need, &sizes);
            let order: Vec<u64> = order.into_iter().map(|Reverse(count)| count).collect();
            assert_eq!(
                found.cost,
                priced.then_some(Money::smallest_units(cost)),
                "{case}"
            );
            assert_eq!(found.holds, Volume::millilitres(holds as f64), "{case}");
            assert_eq!(
                found.left_over,
                Volume::millilitres((holds - need) as f64),
                "{case}"
            );
            assert_eq!(found.cans.iter().sum::<u64>(), cans, "{case}");
            assert_eq!(found.cans, order, "{case}");
        }
    }

    #[test]
    fn a_large_can_is_bought_where_it_is_cheaper_than_what_is_needed() {
        let sizes = [size(750.0, Some(3000)), size(2500.0, Some(7000))];
        let found = buy(Volume::litres(2.0), &sizes).expect("a purchase");
        assert_eq!(found.cans, [0, 1]);
        assert_eq!(found.cost, Some(Money::smallest_units(7000)));
        assert_eq!(found.left_over, Volume::millilitres(500.0));
    }

    #[test]
    fn without_prices_the_least_is_left_over() {
        let sizes = [size(750.0, None), size(2500.0, Some(7000))];
        let found = buy(Volume::litres(2.0), &sizes).expect("a purchase");
        assert_eq!((found.cans, found.cost), (vec![3, 0], None));
    }

    #[test]
    fn nothing_is_bought_for_no_need_nor_where_nothing_is_on_sale() {
        let sizes = [size(750.0, Some(3000))];
        let found = buy(Volume::ZERO, &sizes).expect("a purchase");
        assert_eq!((found.cans, found.cost), (vec![0], Some(Money::ZERO)));
        for (need, sizes) in [
            (1000.0, vec![]),
            (1000.0, vec![size(0.0, None)]),
            (1000.0, vec![size(500.0, Some(-1))]),
            (-1.0, vec![size(500.0, Some(1))]),
            (f64::NAN, vec![size(500.0, Some(1))]),
            (f64::INFINITY, vec![size(500.0, Some(1))]),
        ] {
            assert_eq!(buy(Volume::millilitres(need), &sizes), None);
        }
    }

    #[test]
    fn a_quart_is_not_taken_to_hold_more_than_it_does() {
        let quart = Volume::parse("1 qt").expect("a volume");
        let sizes = [CanSize {
            holds: quart,
            price: None,
        }];
        assert_eq!(buy(quart * 2.0, &sizes).expect("a purchase").cans, [3]);
        assert_eq!(
            buy(Volume::millilitres(1892.0), &sizes)
                .expect("a purchase")
                .cans,
            [2]
        );
    }

    /// Whatever the need, most of it is taken of the size cheapest by content.
    #[test]
    fn a_need_of_thousands_of_litres_is_no_harder() {
        let sizes = [(1.0, 1200), (2.5, 2500), (5.0, 4700), (20.0, 17_000)]
            .map(|(litres, price)| size(litres * 1000.0, Some(price)));
        let found = buy(Volume::litres(900_003.0), &sizes).expect("a purchase");
        assert_eq!(found.cans, [3, 0, 0, 45_000]);
    }

    #[test]
    fn two_hundred_litres_in_odd_sizes_take_no_time() {
        let sizes = [
            (250.0, 900),
            (473.0, 1500),
            (946.0, 2600),
            (3785.0, 8800),
            (20_000.0, 41_000),
        ]
        .map(|(holds, price)| size(holds, Some(price)));
        let start = Instant::now();
        let found = buy(Volume::litres(200.0), &sizes).expect("a purchase");
        assert!(
            start.elapsed() < Duration::from_millis(500),
            "{:?}",
            start.elapsed()
        );
        assert!(found.left_over >= Volume::ZERO);
    }
}
