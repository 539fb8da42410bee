//! What a page asks, as it writes it: JSON with these keys and no others.

use serde::Deserialize;

use crate::drawing::BoardView;
use crate::layout::{Change, Edit, PartKind};
use crate::outline::Scrutiny;
use crate::shape::Point;

/// A text to be worked out, with what was done to it.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Work {
    pub(super) text: String,
    #[serde(default)]
    pub(super) edits: Vec<AskedEdit>,
    #[serde(default)]
    pub(super) view: View,
    /// Whether it is still being moved about.
    #[serde(default)]
    pub(super) moving: bool,
    /// The number of an answer that the page has: what stands in it need not be said again.
    #[serde(default)]
    pub(super) known: Option<u64>,
}

impl Work {
    pub(super) const fn scrutiny(&self) -> Scrutiny {
        if self.moving {
            Scrutiny::Quick
        } else {
            Scrutiny::Full
        }
    }
}

/// One thing done, millimetres, y to starboard.
#[derive(Debug, Clone, Deserialize)]
#[serde(tag = "do", rename_all = "kebab-case", deny_unknown_fields)]
pub(super) enum AskedEdit {
    Set {
        key: String,
        value: String,
    },
    TakeOut {
        key: String,
    },
    Move {
        what: String,
        to: [f64; 2],
    },
    Put {
        what: String,
        station: Option<String>,
        off: Option<String>,
    },
    Add {
        deck: usize,
        kind: Part,
        at: [f64; 2],
    },
    Split {
        after: String,
    },
    Drop {
        what: String,
    },
}

impl From<AskedEdit> for Edit {
    fn from(asked: AskedEdit) -> Self {
        let point = |[x, y]: [f64; 2]| Point::new(x, y);
        match asked {
            AskedEdit::Set { key, value } => Self::Change(Change::new(key, value)),
            AskedEdit::TakeOut { key } => Self::Change(Change::without(key)),
            AskedEdit::Move { what, to } => Self::Move {
                what,
                to: point(to),
            },
            AskedEdit::Put { what, station, off } => Self::Put { what, station, off },
            AskedEdit::Add { deck, kind, at } => Self::Add {
                deck,
                kind: kind.kind(),
                at: point(at),
            },
            AskedEdit::Split { after } => Self::Split { after },
            AskedEdit::Drop { what } => Self::Drop { what },
        }
    }
}

#[derive(Debug, Clone, Copy, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(super) enum Part {
    Opening,
    Fitting,
    Smooth,
    Pad,
    StripAcross,
    StripAlong,
}

impl Part {
    const fn kind(self) -> PartKind {
        match self {
            Self::Opening => PartKind::Opening,
            Self::Fitting => PartKind::Fitting,
            Self::Smooth => PartKind::Smooth,
            Self::Pad => PartKind::Pad,
            Self::StripAcross => PartKind::StripAcross,
            Self::StripAlong => PartKind::StripAlong,
        }
    }
}

#[derive(Debug, Clone, Copy, Default, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(super) enum View {
    #[default]
    Pattern,
    First,
    Reversed,
    SettingOut,
    Grip,
}

impl View {
    pub(super) const fn of_board(self) -> BoardView {
        match self {
            Self::Pattern => BoardView::Pattern,
            Self::First => BoardView::First,
            Self::Reversed => BoardView::Reversed,
            Self::SettingOut => BoardView::SettingOut,
            Self::Grip => BoardView::Grip,
        }
    }
}

/// What may be typed of a thing.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Form {
    pub(super) text: String,
    /// The ways to its tables, one below the other.
    pub(super) ways: Vec<String>,
}

/// A text to be saved.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Save {
    pub(super) text: String,
    /// The version of the file that it replaces.
    pub(super) over: u64,
}

/// Something to be made of a text.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Make {
    pub(super) text: String,
    pub(super) output: String,
    #[serde(default)]
    pub(super) options: Vec<[String; 2]>,
}

/// A first layout.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Begin {
    pub(super) title: String,
    pub(super) units: String,
    #[serde(default)]
    pub(super) length: String,
    #[serde(default)]
    pub(super) beam: String,
    #[serde(default)]
    pub(super) bow: String,
    #[serde(default)]
    pub(super) stern: String,
    /// Half-breadths as they come from a spreadsheet, a line each.
    #[serde(default)]
    pub(super) half_breadths: String,
}
