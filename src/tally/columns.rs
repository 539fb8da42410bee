//! The columns of a ledger and how a file at hand has them: its separator, which column stands where. Comes in: the first
//! line; goes out: a [`Form`] to read and write lines by, and what was wrong with that line.

use std::borrow::Cow;

use super::cells;
use super::values::Mistake;
use crate::import::cells::split;

/// A column of a ledger.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Column {
    /// The day, as 2026-05-03.
    Date,
    /// The step's id.
    Step,
    /// Hours that each person worked.
    Hours,
    /// How many worked.
    People,
    /// What was paid, negative for a refund.
    Amount,
    /// The code of ISO 4217 of the amount.
    Currency,
    /// What was used.
    Product,
    /// Its batch number.
    BatchNumber,
    /// The air's temperature in degrees Celsius.
    AirC,
    /// Its relative humidity in per cent.
    HumidityPct,
    /// `yes` where the step is finished.
    Done,
    /// Anything else.
    Note,
}

impl Column {
    /// All of them, as they stand in a new ledger.
    pub const ALL: [Self; 12] = [
        Self::Date,
        Self::Step,
        Self::Hours,
        Self::People,
        Self::Amount,
        Self::Currency,
        Self::Product,
        Self::BatchNumber,
        Self::AirC,
        Self::HumidityPct,
        Self::Done,
        Self::Note,
    ];

    /// Without these no line can be read.
    const NEEDED: [Self; 4] = [Self::Date, Self::Step, Self::Hours, Self::People];

    /// Its name in the header line.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Date => "date",
            Self::Step => "step",
            Self::Hours => "hours",
            Self::People => "people",
            Self::Amount => "amount",
            Self::Currency => "currency",
            Self::Product => "product",
            Self::BatchNumber => "batch_number",
            Self::AirC => "air_c",
            Self::HumidityPct => "humidity_pct",
            Self::Done => "done",
            Self::Note => "note",
        }
    }

    fn of_name(name: &str) -> Option<Self> {
        let name = name.trim().trim_start_matches('\u{feff}');
        Self::ALL
            .into_iter()
            .find(|column| column.name().eq_ignore_ascii_case(name))
    }
}

/// Fewer names than this make no header: a line of values may hold the word `note`.
const FEWEST_NAMES: usize = 3;
/// What spreadsheets put between cells, the one that spile writes first.
const SEPARATORS: [char; 3] = [',', ';', '\t'];

/// How a ledger's lines are written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Form {
    /// Between two cells.
    pub(super) separator: char,
    /// Which column each cell is; none for one that spile does not know.
    pub(super) columns: Vec<Option<Column>>,
}

impl Form {
    /// As spile begins a ledger, with another separator perhaps.
    pub(super) fn standard(separator: char) -> Self {
        Self {
            separator,
            columns: Column::ALL.map(Some).to_vec(),
        }
    }

    /// The header line of a new ledger.
    pub(super) fn header(&self) -> String {
        let names: Vec<String> = self
            .columns
            .iter()
            .map(|column| column.map_or("", Column::name).to_owned())
            .collect();
        cells::join(&names, self.separator)
    }

    /// Where a comma separates cells, decimals come behind a point; elsewhere a comma may stand before them.
    pub(super) const fn has_decimal_comma(&self) -> bool {
        self.separator != ','
    }

    pub(super) fn has(&self, column: Column) -> bool {
        self.columns.contains(&Some(column))
    }

    /// Column names that the lines cannot be read without and that are not there.
    pub(super) fn lacks(&self) -> Vec<&'static str> {
        Column::NEEDED
            .into_iter()
            .filter(|column| !self.has(*column))
            .map(Column::name)
            .collect()
    }

    /// Whether every column that is known stands where spile puts it: another place was never chosen by anybody.
    fn is_in_order(&self) -> bool {
        self.columns
            .iter()
            .enumerate()
            .all(|(at, column)| column.is_none() || Column::ALL.get(at) == column.as_ref())
    }
}

/// What the first line of a ledger says of the others.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Head {
    /// How lines are read.
    pub(super) form: Form,
    /// How lines of as many cells as spile writes are read, where the first line is damaged.
    pub(super) instead: Option<Form>,
    /// Whether the line is a header at all; otherwise it is an entry like the others.
    pub(super) is_header: bool,
    /// What is wrong with it.
    pub(super) mistake: Option<Mistake>,
}

/// Judges the first line that is not empty.
pub(super) fn head_of(line: &str) -> Head {
    let (form, names) = SEPARATORS
        .into_iter()
        .map(|separator| read_names(line, separator))
        .reduce(|best, other| {
            if known(&other.0) > known(&best.0) {
                other
            } else {
                best
            }
        })
        .unwrap_or_else(|| (Form::standard(','), Vec::new()));
    if known(&form) < FEWEST_NAMES {
        return no_header(line);
    }
    let lacking: Vec<&str> = Column::ALL
        .into_iter()
        .filter(|column| !form.has(*column))
        .map(Column::name)
        .collect();
    if lacking.is_empty() {
        return Head {
            form,
            instead: None,
            is_header: true,
            mistake: None,
        };
    }
    let unknown: Vec<String> = names
        .iter()
        .zip(&form.columns)
        .filter(|(name, column)| column.is_none() && !name.trim().is_empty())
        .map(|(name, _)| format!("`{}`", name.trim().escape_debug()))
        .collect();
    let mut problem = format!("the header line lacks `{}`", lacking.join("`, `"));
    if !unknown.is_empty() {
        problem += &format!(" and has {}", unknown.join(", "));
    }
    let standard = Form::standard(form.separator);
    let in_order = form.is_in_order();
    let advice = if in_order {
        "lines of twelve cells are read in the order that spile writes; put the header right"
    } else {
        "put the names of the columns right"
    };
    let advice = format!("{advice}: {}", standard.header().trim_end());
    let instead = in_order.then_some(standard);
    let form = match &instead {
        Some(standard) if form.columns.len() == standard.columns.len() => standard.clone(),
        _ => form,
    };
    Head {
        form,
        instead,
        is_header: true,
        mistake: Some(Mistake { problem, advice }),
    }
}

fn no_header(line: &str) -> Head {
    let separator = SEPARATORS
        .into_iter()
        .find(|separator| {
            split(line, *separator).is_ok_and(|cells| cells.len() == Column::ALL.len())
        })
        .unwrap_or(',');
    let form = Form::standard(separator);
    Head {
        is_header: false,
        instead: None,
        mistake: Some(Mistake {
            problem: "there is no header line".into(),
            advice: format!(
                "lines are read in the order that spile writes; put this line first: {}",
                form.header().trim_end()
            ),
        }),
        form,
    }
}

/// The columns that a line names; a name that comes twice counts once.
fn read_names(line: &str, separator: char) -> (Form, Vec<String>) {
    let names: Vec<String> = match split(line, separator) {
        Ok(names) => names.into_iter().map(Cow::into_owned).collect(),
        Err(_) => {
            let rough = line.split(separator).map(|name| name.replace('"', ""));
            rough.collect()
        }
    };
    let mut columns: Vec<Option<Column>> = Vec::with_capacity(names.len());
    for name in &names {
        let column = Column::of_name(name).filter(|column| !columns.contains(&Some(*column)));
        columns.push(column);
    }
    (Form { separator, columns }, names)
}

fn known(form: &Form) -> usize {
    form.columns.iter().flatten().count()
}
