//! The report's HTML: the page, its sheets, and blocks of a document as elements. Whatever is text goes through one
//! function that escapes it; every element is closed.

use super::super::document::{Block, Span, Table, Words};
use super::super::grid::one_line;
use super::super::svg::escaped;

/// Sheets in their order, each with a title and what stands on it.
#[derive(Debug, Default)]
pub(super) struct Sheets(Vec<Sheet>);

#[derive(Debug)]
struct Sheet {
    title: String,
    content: String,
    is_drawn: bool,
}

impl Sheets {
    /// A sheet of words.
    pub(super) fn add(&mut self, title: &str, write: impl FnOnce(&mut Html)) {
        self.push(title, false, write);
    }

    /// A sheet that is mostly a drawing, which lies across.
    pub(super) fn add_drawn(&mut self, title: &str, write: impl FnOnce(&mut Html)) {
        self.push(title, true, write);
    }

    fn push(&mut self, title: &str, is_drawn: bool, write: impl FnOnce(&mut Html)) {
        let mut html = Html {
            number: self.0.len() + 1,
            ..Html::default()
        };
        write(&mut html);
        self.0.push(Sheet {
            title: title.to_owned(),
            content: html.out,
            is_drawn,
        });
    }
}

/// Text of HTML being written.
#[derive(Debug, Default)]
pub(super) struct Html {
    out: String,
    /// The sheet's number, and how many tables and drawings it has so far: they name what is referred to.
    number: usize,
    count: usize,
}

impl Html {
    /// What is made of elements already.
    pub(super) fn raw(&mut self, elements: &str) {
        self.out += elements;
    }

    /// Text, in an element or in double quotes.
    pub(super) fn text(&mut self, text: &str) {
        self.out += &escaped(&one_line(text));
    }

    /// A name in this page that nothing else has.
    pub(super) fn id(&mut self, kind: &str) -> String {
        self.count += 1;
        format!("{kind}-{}-{}", self.number, self.count)
    }

    pub(super) fn finished(self) -> String {
        self.out
    }

    /// Everything before the body's first element.
    pub(super) fn begin(&mut self, title: &str, policy: &str, style: &str) {
        self.raw("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\"/>\n");
        self.raw("<meta http-equiv=\"Content-Security-Policy\" content=\"");
        self.text(policy);
        self.raw("\"/>\n<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>\n<title>");
        self.text(title);
        self.raw(": report</title>\n<style>");
        self.raw(style);
        self.raw("</style>\n</head>\n<body>\n");
    }

    /// What it is, what is to be looked at, and which sheets there are.
    pub(super) fn cover(&mut self, title: &str, sheets: &Sheets, warnings: usize, look: &str) {
        self.raw(
            "<header>\n<p class=\"kind\">Non-skid pattern: report for owner and yard</p>\n<h1>",
        );
        self.text(title);
        self.raw(
            "</h1>\n<p>Which part of the deck gets non-skid and which stays smooth, how it is masked in two passes, and what all of \
             it takes. Worked out by spile from the owner's measurements. Seen from above, bow to the left, starboard up.</p>\n",
        );
        if let Some(at) = sheets.0.iter().position(|sheet| sheet.title == look) {
            let number = at + 1;
            let many = match warnings {
                1 => "One thing".to_owned(),
                many => format!("{many} things"),
            };
            self.raw(&format!(
                "<p class=\"look\">{many} to look at before the first strip of tape: <a href=\"#sheet-{number}\">sheet \
                 {number}</a>.</p>\n"
            ));
        }
        self.raw("</header>\n<nav aria-label=\"Sheets\">\n<ol>\n");
        for (index, sheet) in sheets.0.iter().enumerate() {
            let number = index + 1;
            self.raw(&format!(
                "<li><span class=\"number\">Sheet {number}</span> <a href=\"#sheet-{number}\">"
            ));
            self.text(&sheet.title);
            self.raw("</a></li>\n");
        }
        self.raw("</ol>\n</nav>\n");
    }

    /// The sheets, and the end of the page.
    pub(super) fn end(&mut self, sheets: &Sheets, script: &str) {
        self.raw("<main>\n");
        for (index, sheet) in sheets.0.iter().enumerate() {
            let number = index + 1;
            let class = match (index, sheet.is_drawn) {
                (0, _) => "sheet first",
                (_, true) => "sheet drawn",
                (_, false) => "sheet",
            };
            self.raw(&format!(
                "<section class=\"{class}\" id=\"sheet-{number}\" aria-labelledby=\"title-{number}\">\n<header><h2 \
                 id=\"title-{number}\">"
            ));
            self.text(&sheet.title);
            self.raw(&format!(
                "</h2><p class=\"number\">Sheet {number} of {}</p></header>\n{}</section>\n",
                sheets.0.len(),
                sheet.content
            ));
        }
        self.raw("</main>\n<script>");
        self.raw(script);
        self.raw("</script>\n</body>\n</html>\n");
    }

    /// What stands on a page of its own when it is printed.
    pub(super) fn apart(&mut self, write: impl FnOnce(&mut Self)) {
        self.raw("<div class=\"apart\">\n");
        write(self);
        self.raw("</div>\n");
    }

    /// Blocks of a document; its headings stand one below those of the sheet.
    pub(super) fn blocks(&mut self, blocks: &[Block]) {
        self.set(blocks, 1);
    }

    /// A section that has a sheet to itself, whose title says what its first heading would.
    pub(super) fn section(&mut self, blocks: &[Block]) {
        self.set(blocks.get(1..).unwrap_or_default(), 0);
    }

    fn set(&mut self, blocks: &[Block], below: usize) {
        for block in blocks {
            match block {
                Block::Heading(level, words) => {
                    let level = level + below;
                    self.raw(&format!("<h{level}>"));
                    self.words(words);
                    self.raw(&format!("</h{level}>\n"));
                }
                Block::Paragraph(lines) => {
                    for line in lines {
                        self.raw("<p>");
                        self.words(line);
                        self.raw("</p>\n");
                    }
                }
                Block::List(entries) => self.list("<ul>", entries, ["<li>", "</li>\n"]),
                Block::Boxes(entries) => self.list(
                    "<ul class=\"boxes\">",
                    entries,
                    [
                        "<li><label><input type=\"checkbox\"/> <span>",
                        "</span></label></li>\n",
                    ],
                ),
                Block::Table(caption, table) => self.table(caption, table, &[]),
            }
        }
    }

    fn list(&mut self, begin: &str, entries: &[Words], [before, after]: [&str; 2]) {
        self.raw(begin);
        self.raw("\n");
        for entry in entries {
            self.raw(before);
            self.words(entry);
            self.raw(after);
        }
        self.raw("</ul>\n");
    }

    /// A table; where its rows are fields, they are called as the drawing calls them.
    pub(super) fn table(&mut self, caption: &str, table: &Table, fields: &[String]) {
        let id = self.id("table");
        self.raw(&format!(
            "<div class=\"scroll\" role=\"group\" aria-labelledby=\"{id}\"><table>\n<caption id=\"{id}\">"
        ));
        self.text(caption);
        self.raw("</caption>\n<thead><tr>");
        let numbers: Vec<&str> = (0..table.head.len())
            .map(|column| {
                if table.is_of_numbers(column) {
                    " class=\"n\""
                } else {
                    ""
                }
            })
            .collect();
        for (cell, class) in table.head.iter().zip(&numbers) {
            if cell.text().is_empty() {
                self.raw("<td></td>");
                continue;
            }
            self.raw(&format!("<th scope=\"col\"{class}>"));
            self.words(cell);
            self.raw("</th>");
        }
        self.raw("</tr></thead>\n<tbody>\n");
        for (index, row) in table.rows.iter().enumerate() {
            let field = fields.get(index);
            self.raw("<tr");
            if let Some(field) = field {
                self.raw(" data-of=\"");
                self.text(field);
                self.raw("\"");
            }
            self.raw(">");
            for (column, (cell, class)) in row.iter().zip(&numbers).enumerate() {
                match (column, field) {
                    (0, Some(_)) => {
                        self.raw(
                            "<th scope=\"row\"><button type=\"button\" aria-pressed=\"false\">",
                        );
                        self.words(cell);
                        self.raw("</button></th>");
                    }
                    (0, None) => {
                        self.raw("<th scope=\"row\">");
                        self.words(cell);
                        self.raw("</th>");
                    }
                    _ => {
                        self.raw(&format!("<td{class}>"));
                        self.words(cell);
                        self.raw("</td>");
                    }
                }
            }
            self.raw("</tr>\n");
        }
        self.raw("</tbody>\n</table></div>\n");
    }

    fn words(&mut self, words: &Words) {
        for span in words.spans() {
            match span {
                Span::Plain(text) => self.text(text),
                Span::Own(text) | Span::File(text) => self.text(text),
                Span::Strong(text) => {
                    self.raw("<strong>");
                    self.text(text);
                    self.raw("</strong>");
                }
                Span::Code(text) => {
                    self.raw("<code>");
                    self.text(text);
                    self.raw("</code>");
                }
                Span::Break => self.raw(" "),
            }
        }
    }
}
