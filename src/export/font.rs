//! The typeface that travels with the program, so that a machine without fonts draws the same.

use std::sync::Arc;

use resvg::usvg::fontdb::{Database, Source};

/// What texts ask for: our own face where it is installed, else any without serifs.
pub(super) const FAMILY: &str = "Noto Sans, sans-serif";

/// A collection of exactly the two weights the drawings use; fonts of the machine never come in.
pub(super) fn database() -> Database {
    let mut fonts = Database::new();
    for bytes in [notosans::REGULAR_TTF, notosans::BOLD_TTF] {
        fonts.load_font_source(Source::Binary(Arc::new(bytes)));
    }
    fonts.set_sans_serif_family("Noto Sans");
    fonts
}
