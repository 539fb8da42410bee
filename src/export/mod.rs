//! The leaves: each turns a drawing's marks or a layout's figures into the bytes of one format, and knows
//! nothing of the others.

pub mod append;
mod board;
pub mod comparison;
pub mod csv;
mod cut_svg;
mod cutting_list;
mod document;
mod dxf;
pub mod files;
mod font;
pub(crate) mod grid;
pub mod json;
mod listed;
pub mod markdown;
mod number;
pub mod order;
mod pdf;
mod pdf_font;
mod png;
pub mod programme;
mod report;
pub mod setting_out;
mod survey_json;
mod survey_report;
mod svg;
mod svg_path;
pub mod table;
pub mod takeoff;
mod tally_json;
mod tally_report;
mod tight_corners;

pub use board::BoardKeys;
pub use cut_svg::cut_svg;
pub use cutting_list::cutting_csv;
pub use dxf::dxf;
pub use listed::Listed;
pub use pdf::pdf;
pub use pdf_font::FontFault;
pub use png::{PngFault, png};
pub use report::{Report, ReportSheet, report};
pub use survey_json::survey_json;
pub use survey_report::survey_report;
pub use svg::svg;
pub use tally_json::tally_json;
pub use tally_report::{tally_markdown, tally_table};
