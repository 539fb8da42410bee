//! One line of a table to its cells. Comes in: a line without its end; goes out: cells, or why the line cannot be taken apart. No
//! cell ever holds a line break: a quote that is never closed damages its own line only.

use std::borrow::Cow;

/// Why a line cannot be taken apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Torn {
    /// A quote is opened and never closed.
    OpenQuote,
    /// Something stands between a closing quote and the next separator.
    AfterQuote,
}

impl Torn {
    /// What is wrong.
    pub(crate) const fn problem(self) -> &'static str {
        match self {
            Self::OpenQuote => "a quote is opened and never closed",
            Self::AfterQuote => "something stands behind a closing quote",
        }
    }

    /// What to write instead.
    pub(crate) const fn advice(self) -> &'static str {
        match self {
            Self::OpenQuote => {
                "close it at the end of its cell, or write it twice where it is meant"
            }
            Self::AfterQuote => "write a quote twice where it is meant",
        }
    }
}

/// The cells of a line, without the quotes round them. A quote inside a cell that does not begin with one is text.
pub(crate) fn split(line: &str, separator: char) -> Result<Vec<Cow<'_, str>>, Torn> {
    let mut cells = Vec::new();
    let mut rest = line;
    loop {
        let (cell, after) = match rest.trim_start_matches(' ').strip_prefix('"') {
            Some(quoted) => {
                let (cell, after) = quoted_cell(quoted, separator)?;
                (Cow::Owned(cell), after)
            }
            None => match rest.split_once(separator) {
                Some((cell, after)) => (Cow::Borrowed(cell), Some(after)),
                None => (Cow::Borrowed(rest), None),
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

#[cfg(test)]
mod tests {
    use super::*;

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
}
