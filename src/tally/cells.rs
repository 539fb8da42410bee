//! One line of a ledger to its cells and back. Comes in: a line without its end; goes out: cells, or why the line cannot
//! be taken apart. No cell ever holds a line break: a quote that is never closed damages its own line only.

/// What a spreadsheet would run, did a cell begin with it.
const RUN: [char; 4] = ['=', '+', '-', '@'];

/// Why a line cannot be taken apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Torn {
    /// A quote is opened and never closed.
    OpenQuote,
    /// Something stands between a closing quote and the next separator.
    AfterQuote,
}

/// The cells of a line, without the quotes round them. A quote inside a cell that does not begin with one is text.
pub(super) fn split(line: &str, separator: char) -> Result<Vec<String>, Torn> {
    let mut cells = Vec::new();
    let mut rest = line;
    loop {
        let (cell, after) = match rest.trim_start_matches(' ').strip_prefix('"') {
            Some(quoted) => quoted_cell(quoted, separator)?,
            None => match rest.split_once(separator) {
                Some((cell, after)) => (cell.to_owned(), Some(after)),
                None => (rest.to_owned(), None),
            },
        };
        cells.push(cell);
        match after {
            Some(after) => rest = after,
            None => return Ok(cells),
        }
    }
}

/// A cell behind its opening quote, and what comes after its separator.
fn quoted_cell(text: &str, separator: char) -> Result<(String, Option<&str>), Torn> {
    let mut cell = String::new();
    let mut rest = text;
    loop {
        let (part, after) = rest.split_once('"').ok_or(Torn::OpenQuote)?;
        cell.push_str(part);
        if let Some(after) = after.strip_prefix('"') {
            cell.push('"');
            rest = after;
            continue;
        }
        let after = after.trim_start_matches(' ');
        return if after.is_empty() {
            Ok((cell, None))
        } else {
            let after = after.strip_prefix(separator).ok_or(Torn::AfterQuote)?;
            Ok((cell, Some(after)))
        };
    }
}

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
    use proptest::prelude::*;

    #[test]
    fn a_quote_stands_for_itself_only_where_none_opens_the_cell() {
        let split = |line| split(line, ',');
        assert_eq!(
            split("a,\"b, \"\"c\"\"\",").expect("sound"),
            ["a", "b, \"c\"", ""]
        );
        assert_eq!(split("4\" roller,b").expect("sound"), ["4\" roller", "b"]);
        assert_eq!(split("a,\"b,c"), Err(Torn::OpenQuote));
        assert_eq!(split("\"a\"b,c"), Err(Torn::AfterQuote));
    }

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
