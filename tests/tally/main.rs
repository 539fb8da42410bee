//! The ledger of a job: nothing that could be read is lost, whatever happens to the file; writers do not tear each other's
//! lines; what is reported is what was entered.

mod damaged;
mod forecast;
mod spreadsheets;
mod writers;

use jiff::civil::date;
use spile::tally::{Entry, Ledger, addition, paid_of};
use spile::units::{Share, Temperature, Time};

/// The 64-bit linear congruential generator with Knuth's multiplier (MMIX; constants from memory), its high bits
/// used: the same damage on every machine.
struct Dice(u64);

impl Dice {
    fn below(&mut self, bound: usize) -> usize {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        usize::try_from(self.0 >> 33).expect("31 bits fit") % bound.max(1)
    }

    fn pick<'a, T>(&mut self, from: &'a [T]) -> &'a T {
        &from[self.below(from.len())]
    }
}

/// An entry of every kind that a job has.
fn random_entry(dice: &mut Dice) -> Entry {
    let hours = *dice.pick(&[0.0, 0.5, 1.25, 3.0, 8.0, 0.3333]);
    let day = i8::try_from(1 + dice.below(28)).expect("a day");
    let amount = [None, Some("42.50"), Some("-7"), Some("1250")][dice.below(4)];
    let mut entry = Entry {
        date: date(2026, 5, day),
        step: (*dice.pick(&["sand-80", "primer", "Tape, first", "unmask"])).to_owned(),
        hours: Time::hours(hours),
        people: 1 + dice.below(3),
        amount: amount.map(|amount| paid_of(amount, "EUR", false).expect("an amount")),
        product: (*dice.pick(&["", "Two-part primer", "grey; satin"])).to_owned(),
        batch_number: (*dice.pick(&["", "0042", "B-7/3", "=7"])).to_owned(),
        air: (dice.below(2) == 0).then(|| Temperature::celsius(17.8)),
        humidity: (dice.below(2) == 0).then(|| Share::per_cent(62.0)),
        is_done: dice.below(4) == 0,
        note: (*dice.pick(&["", "damp", "4\" roller, \"new\"", "@noon: größer", "-"])).to_owned(),
    };
    entry = entry.tidied();
    entry
}

/// The bytes of a ledger to which these entries were added one after the other.
fn ledger_of(entries: &[Entry]) -> Vec<u8> {
    let mut bytes = Vec::new();
    for entry in entries {
        let added = addition(&bytes, entry).expect("it can be added");
        bytes.extend(added);
    }
    bytes
}

/// What a ledger holds, without the numbers of the lines.
fn entries_of(ledger: &Ledger) -> Vec<Entry> {
    ledger.entries.iter().map(|one| one.entry.clone()).collect()
}
