//! A document before it has a format: headings, paragraphs, lists and tables, whose words are told apart from whatever a
//! format acts on. Comes in: what the writers of lists and summaries have to say. Goes out: Markdown here, the report's
//! HTML in [`report`](super::report). Text from a layout is a plain span, and each format escapes those in one place.

use super::grid::Grid;
use super::markdown::{is_number, piped, plain};

/// A piece of a document.
#[derive(Debug, Clone)]
pub(crate) enum Block {
    /// A heading: 1 is the document's title.
    Heading(usize, Words),
    /// A paragraph, line by line.
    Paragraph(Vec<Words>),
    /// A list.
    List(Vec<Words>),
    /// A list whose entries are ticked off.
    Boxes(Vec<Words>),
    /// A table and what it is called, where a format says that.
    Table(String, Table),
}

impl Block {
    /// A heading.
    pub(crate) fn heading(level: usize, words: impl Into<Words>) -> Self {
        Self::Heading(level, words.into())
    }

    /// A paragraph of one line.
    pub(crate) fn paragraph(words: impl Into<Words>) -> Self {
        Self::Paragraph(vec![words.into()])
    }

    /// A table and what it is called.
    pub(crate) fn table(caption: impl Into<String>, table: impl Into<Table>) -> Self {
        Self::Table(caption.into(), table.into())
    }

    /// A list of sentences.
    pub(crate) fn list(sentences: impl IntoIterator<Item = impl Into<Words>>) -> Self {
        Self::List(sentences.into_iter().map(Into::into).collect())
    }
}

/// Rows under a head; the first column names the row.
#[derive(Debug, Clone)]
pub(crate) struct Table {
    pub(crate) head: Vec<Words>,
    pub(crate) rows: Vec<Vec<Words>>,
}

impl Table {
    /// Whether a column holds numbers, which end under each other; words begin so.
    pub(crate) fn is_of_numbers(&self, column: usize) -> bool {
        let mut cells = self.rows.iter().filter_map(|row| row.get(column));
        column > 0 && cells.all(|cell| is_number(&cell.text()))
    }
}

impl From<Grid> for Table {
    fn from(grid: Grid) -> Self {
        let words = |cells: Vec<String>| cells.into_iter().map(Words::from).collect();
        Self {
            head: grid.head.into_iter().map(Words::from).collect(),
            rows: grid.rows.into_iter().map(words).collect(),
        }
    }
}

/// Words of one sentence or cell.
#[derive(Debug, Clone, Default)]
pub(crate) struct Words(Vec<Span>);

/// Words that are set alike.
#[derive(Debug, Clone)]
pub(crate) enum Span {
    /// Text, wherever it comes from.
    Plain(String),
    /// Our own text, in which no format finds anything to act on.
    Own(&'static str),
    /// Text that stands out.
    Strong(String),
    /// What is typed into a file.
    Code(String),
    /// A file that lies in the same folder, where there is one.
    File(&'static str),
    /// Where our own text breaks its line; a format may do without.
    Break,
}

impl Words {
    /// Our own text, with `**strong**`, `` `code` `` and line breaks; text from a layout never goes this way, which the
    /// lifetime sees to.
    pub(crate) fn own(text: &'static str) -> Self {
        Self::default().and_own(text)
    }

    /// The same behind what is there.
    pub(crate) fn and_own(mut self, text: &'static str) -> Self {
        for (index, line) in text.split('\n').enumerate() {
            if index > 0 {
                self.0.push(Span::Break);
            }
            for (index, part) in line.split("**").enumerate() {
                if index % 2 == 1 {
                    self.0.push(Span::Strong(part.to_owned()));
                    continue;
                }
                for (index, part) in part.split('`').enumerate() {
                    match (index % 2, part) {
                        (_, "") => {}
                        (1, code) => self.0.push(Span::Code(code.to_owned())),
                        (_, own) => self.0.push(Span::Own(own)),
                    }
                }
            }
        }
        self
    }

    /// Text that stands out.
    pub(crate) fn strong(text: &str) -> Self {
        Self(vec![Span::Strong(text.to_owned())])
    }

    /// What is typed into a file.
    pub(crate) fn code(text: &str) -> Self {
        Self(vec![Span::Code(text.to_owned())])
    }

    /// A file of the same folder behind what is there.
    pub(crate) fn and_file(mut self, name: &'static str) -> Self {
        self.0.push(Span::File(name));
        self
    }

    /// Text behind what is there.
    pub(crate) fn and(mut self, text: impl Into<String>) -> Self {
        self.0.push(Span::Plain(text.into()));
        self
    }

    /// Its spans.
    pub(crate) fn spans(&self) -> &[Span] {
        &self.0
    }

    /// What it says, without how.
    pub(crate) fn text(&self) -> String {
        let said = self.0.iter().map(|span| match span {
            Span::Plain(text) | Span::Strong(text) | Span::Code(text) => text.as_str(),
            Span::Own(text) | Span::File(text) => text,
            Span::Break => " ",
        });
        said.collect()
    }

    /// As Markdown, lines after the first set in by `indent`.
    fn markdown(&self, indent: &str) -> String {
        let said = self.0.iter().map(|span| match span {
            Span::Plain(text) => plain(text),
            Span::Own(text) => (*text).to_owned(),
            Span::Strong(text) => format!("**{}**", plain(text)),
            Span::Code(text) => format!("`{text}`"),
            Span::File(name) => format!("[{name}]({name})"),
            Span::Break => format!("\n{indent}"),
        });
        said.collect()
    }
}

impl From<String> for Words {
    fn from(text: String) -> Self {
        Self::default().and(text)
    }
}

impl From<&str> for Words {
    fn from(text: &str) -> Self {
        Self::default().and(text)
    }
}

/// The blocks as Markdown, an empty line before each.
pub(crate) fn markdown(blocks: &[Block]) -> String {
    let lines = |lines: &[Words], mark: &str, indent: &str| -> String {
        let lines = lines
            .iter()
            .map(|line| format!("{mark}{}\n", line.markdown(indent)));
        lines.collect()
    };
    let mut text = String::new();
    for block in blocks {
        text.push('\n');
        text += &match block {
            Block::Heading(level, words) => {
                format!("{} {}\n", "#".repeat(*level), words.markdown(""))
            }
            Block::Paragraph(said) => lines(said, "", ""),
            Block::List(entries) => lines(entries, "- ", "  "),
            Block::Boxes(entries) => lines(entries, "- [ ] ", "  "),
            Block::Table(_, table) => {
                let cells = |row: &[Words]| -> Vec<String> {
                    row.iter().map(|cell| cell.markdown("")).collect()
                };
                let head = cells(&table.head);
                let head: Vec<&str> = head.iter().map(String::as_str).collect();
                let rows: Vec<Vec<String>> = table.rows.iter().map(|row| cells(row)).collect();
                piped(&head, &rows)
            }
        };
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_from_a_layout_is_never_acted_on_and_our_own_is() {
        let blocks = [
            Block::heading(2, "A *deck*"),
            Block::List(vec![
                Words::strong("a_b").and(": `x`"),
                Words::own("**Share**: in `[[step]]`\nof the deck"),
            ]),
        ];
        assert_eq!(
            markdown(&blocks),
            "\n## A \\*deck\\*\n\n- **a\\_b**: \\`x\\`\n- **Share**: in `[[step]]`\n  of the deck\n"
        );
    }

    #[test]
    fn a_column_of_numbers_is_known_by_all_of_its_cells() {
        let table = Table::from(Grid {
            head: vec!["", "Area", "What"],
            rows: vec![
                vec!["1".into(), "1.2 m²".into(), "F1".into()],
                vec!["2".into(), String::new(), "3".into()],
            ],
        });
        assert_eq!(
            [0, 1, 2].map(|column| table.is_of_numbers(column)),
            [false, true, false]
        );
    }
}
