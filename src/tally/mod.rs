//! What was worked and spent, against what was planned.
//!
//! Comes in: the bytes of a ledger, a file of comma-separated lines to which lines are only ever added; and a
//! [`Plan`] as plain values. Goes out: a [`Ledger`] that holds every line either read or reported by its number, the
//! bytes that [`add`](addition) an entry, and a [`TallyReport`]: by step what was planned and worked, what is left, and
//! what hours, cost and days come to at the present pace.
//!
//! A ledger lives for years and passes through spreadsheets and text editors, so reading is lenient about form
//! (separator, line ends, order of columns) and strict about values: what could mean two things is reported, never guessed.

mod addition;
mod cells;
mod columns;
mod entry;
mod ledger;
mod plan;
mod report;
mod values;

pub use addition::addition;
pub use columns::Column;
pub use entry::{Entry, Paid};
pub use ledger::{DamagedLine, Ledger, NumberedEntry, read};
pub use plan::{CostRange, Plan, PlannedStep};
pub use report::{
    BudgetState, CurrencyTotal, DayRange, Extra, Forecast, StepReport, TallyReport, Totals,
};
pub use values::{Mistake, air_of, date_of, humidity_of, number_of, paid_of, within_a_day};
