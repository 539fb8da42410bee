//! The technical drawing. Comes in: a worked out [`Job`](crate::Job) and a [`SheetRequest`]. Goes out: a
//! [`Drawing`], one list of marks in millimetres on the sheet, or the reason why there is none. No file
//! format is known here.

mod board;
mod canvas;
mod check_pages;
mod cost_bars;
mod cutting;
mod developed;
mod dimension;
mod features;
mod figure;
mod form;
mod full_size;
mod hatch;
mod label;
mod marks;
mod obstacles;
mod panel;
mod paper;
mod placing;
mod programme_bars;
mod scene;
mod set_out;
mod sheet;
mod shopping;
mod side_by_side;
mod signs;
mod template;
mod text;
mod title_block;
mod view_fairness;
mod view_masking;
mod view_order;
mod view_pattern;
mod view_survey;
mod view_underfoot;
mod weather_strip;

pub use board::{Board, BoardDeck, BoardMark, BoardPoint, BoardView, Covered, MarkKind, board};
pub use check_pages::check_pages;
pub use cost_bars::cost_bars;
pub use cutting::{
    BridgeFault, CutFault, CutFile, CutLayer, CutPath, CutRequest, Lettering, TightBend, cut,
};
pub use form::{form, sketches};
pub use full_size::{
    FieldName, FullSize, FullSizeDeck, FullSizeFault, FullSizeLine, LineKind, Wanted, full_size,
};
pub use marks::{
    Anchor, Dash, Drawing, FieldTag, Fill, Layer, Mark, Path, Pen, Run, Text, TextBox, Weight,
};
pub use paper::{Paper, Scale};
pub use programme_bars::programme_bars;
pub use set_out::{SetOutDeck, set_out_pages};
pub use sheet::{SheetFault, SheetRequest, View, draw};
pub use shopping::shopping_pages;
pub use side_by_side::side_by_side;
pub use template::{
    Roll, SheetCount, Template, TemplateFault, TemplateRequest, check_square, roll_length,
    sheet_counts, template,
};
pub use text::CAPITAL as CAPITAL_SHARE;
pub use view_underfoot::GripShade;
pub use weather_strip::weather_strip;
