//! Cells to one line of a ledger. Comes in: text; goes out: a line that no spreadsheet runs as a formula, and that reads back as it
//! was written.

/// What a spreadsheet would run, did a cell begin with it.
const RUN: [char; 4] = ['=', '+', '-', '@'];

/// A line of cells, its end included.
pub(super) fn join(cells: &[String], separator: char) -> String {
    let quoted = |cell: &String| {
        if cell.contains([separator, ',', ';', '\t', '"']) {
            format!("\"{}\"", cell.replace('"', "\"\""))
        } else {
            cell.clone()
        }
    };
    let cells: Vec<String> = cells.iter().map(quoted).collect();
    cells.join(&separator.to_string()) + "\r\n"
}

/// Text on one line: line breaks and control characters become spaces, several of them one.
pub(super) fn one_line(text: &str) -> String {
    let is_break = |c: char| c.is_control() || matches!(c, '\u{2028}' | '\u{2029}');
    text.split(is_break)
        .map(str::trim)
        .filter(|part| !part.is_empty())
        .collect::<Vec<_>>()
        .join(" ")
}

/// Text as it stands in a cell: behind an apostrophe where a spreadsheet would run it as a formula.
pub(super) fn guarded(text: &str) -> String {
    if would_run(text) {
        format!("'{text}")
    } else {
        text.to_owned()
    }
}

/// Text from a cell, without the apostrophe of [`guarded`].
pub(super) fn unguarded(text: &str) -> &str {
    text.strip_prefix('\'')
        .filter(|rest| would_run(rest))
        .unwrap_or(text)
}

/// Text that itself begins with an apostrophe before such a sign counts too, so that what is read is what was written.
fn would_run(text: &str) -> bool {
    text.trim_start_matches('\'').starts_with(RUN)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::import::cells::split;
    use proptest::prelude::*;

    #[test]
    fn what_a_spreadsheet_would_run_stands_behind_an_apostrophe() {
        for (text, cell) in [
            ("=1+1", "'=1+1"),
            ("@home", "'@home"),
            ("-5 C at dawn", "'-5 C at dawn"),
            ("'=1+1", "''=1+1"),
            ("'twas damp", "'twas damp"),
            ("plain", "plain"),
        ] {
            assert_eq!(guarded(text), cell);
            assert_eq!(unguarded(cell), text);
        }
    }

    proptest! {
        #[test]
        fn cells_read_back_as_they_were_written(
            texts in prop::collection::vec("['=+@\",; a-]{0,8}|\\PC{0,12}", 1..6),
            separator in prop::sample::select(vec![',', ';', '\t']),
        ) {
            let texts: Vec<String> = texts.iter().map(|text| one_line(text)).collect();
            let cells: Vec<String> = texts.iter().map(|text| guarded(text)).collect();
            let line = join(&cells, separator);
            let back = split(line.trim_end_matches("\r\n"), separator).expect("a sound line");
            let back: Vec<&str> = back.iter().map(|cell| unguarded(cell)).collect();
            prop_assert_eq!(back, texts);
        }
    }
}
