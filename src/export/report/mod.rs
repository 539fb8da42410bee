//! The report that an owner sends to the yard: one HTML file that asks nothing of anybody else, to look at, to point at and
//! to print. Comes in: the figures, the takeoff, the programme where there is one, the sheets as drawn. Goes out: text;
//! nothing is worked out here. Its words are those of the summary and the lists, written from the same blocks.

mod figure;
mod html;
mod policy;
mod short_path;

use super::cutting_list;
use super::document::{Block, Words};
use super::grid;
use super::markdown::{self, NO_FIELD, of_the_drawing};
use super::{programme as dated, takeoff as lists};
use crate::drawing::{Drawing, cost_bars, programme_bars};
use crate::figures::{DeckFigures, Figures};
use crate::programme::Programme;
use crate::takeoff::{Takeoff, cautions};
use html::{Html, Sheets};

/// What a report is made of.
#[derive(Debug, Clone, Copy)]
pub struct Report<'a> {
    /// What was counted.
    pub figures: &'a Figures,
    /// What it takes.
    pub takeoff: &'a Takeoff,
    /// On which days it is done, where the layout says from when.
    pub programme: Option<&'a Programme>,
    /// The finished pattern first, then the two masking passes.
    pub sheets: &'a [ReportSheet],
}

/// A drawing with what it shows.
#[derive(Debug, Clone)]
pub struct ReportSheet {
    /// What it shows, in a few words.
    pub title: String,
    /// The drawing; fields that tell whose they are can be pointed at.
    pub drawing: Drawing,
}

/// Looks, and what happens when something is pointed at; the same in every report, so that its policy can name them.
const STYLE: &str = include_str!("report.css");
const SCRIPT: &str = include_str!("report.js");

/// The report as one HTML file, well-formed as XML too; the same job gives the same bytes.
#[must_use]
pub fn report(report: &Report<'_>) -> String {
    let figures = report.figures;
    let mut sheets = Sheets::default();
    sheets.add("Cautions", |html| {
        html.blocks(&said_of_safety(report.takeoff))
    });
    for (index, sheet) in report.sheets.iter().enumerate() {
        sheets.add_drawn(&sheet.title, |html| {
            html.drawing(&sheet.drawing);
            if index == 0 {
                html.apart(|html| rows_of_fields(html, figures));
            }
        });
    }
    sheets.add("Figures", |html| html.blocks(&counted(figures)));
    let runs = cutting_list::section(figures);
    if !runs.is_empty() {
        sheets.add("Tape, run by run", |html| html.section(&runs));
    }
    sheets.add("What it takes", |html| {
        html.blocks(&lists::sections(report.takeoff));
        if let Some(bars) = cost_bars(report.takeoff) {
            html.picture(&bars);
        }
        html.blocks(&lists::settings(report.takeoff));
    });
    if let Some(programme) = report.programme {
        sheets.add("Programme", |html| {
            html.drawing(&programme_bars(programme));
            html.blocks(&dated::sections(programme, report.takeoff));
        });
    }
    let look = "Look at these before you tape";
    let warnings = markdown::warnings(figures);
    if !warnings.is_empty() {
        sheets.add(look, |html| html.section(&warnings));
    }
    let mut page = Html::default();
    page.begin(&figures.title, &policy::policy(STYLE, SCRIPT), STYLE);
    page.cover(&figures.title, &sheets, figures.warnings.len(), look);
    page.end(&sheets, SCRIPT);
    page.finished()
}

fn said_of_safety(takeoff: &Takeoff) -> Vec<Block> {
    let mut said: Vec<Words> = cautions(takeoff).into_iter().map(Words::own).collect();
    said.extend(of_the_drawing());
    vec![Block::List(said)]
}

/// The fields of all decks, each lit with its edge in the drawing.
fn rows_of_fields(html: &mut Html, figures: &Figures) {
    for deck in &figures.decks {
        let caption = match figures.decks.as_slice() {
            [_] => "Fields".to_owned(),
            _ => format!("Fields: {}", deck.title),
        };
        if deck.fields.is_empty() {
            html.blocks(&[Block::paragraph(format!("{caption}. {NO_FIELD}"))]);
        } else {
            let table = grid::fields(deck, figures.units);
            html.table(&caption, &table.into(), &names(deck));
        }
    }
}

/// What the fields of a deck are called in the drawing.
fn names(deck: &DeckFigures) -> Vec<String> {
    let fields = deck.fields.iter();
    fields
        .map(|field| figure::name_of(&deck.id, &field.id))
        .collect()
}

/// Areas and tape, deck by deck, then of all decks, and what the figures mean.
fn counted(figures: &Figures) -> Vec<Block> {
    let mut blocks = Vec::new();
    for deck in &figures.decks {
        blocks.push(Block::heading(2, deck.title.as_str()));
        blocks.extend(markdown::areas(deck, figures.units));
        blocks.extend(markdown::passes(deck, figures.units));
    }
    blocks.extend(markdown::all_decks(figures));
    blocks.extend(markdown::meanings(figures));
    blocks
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing::{SheetRequest, View, draw};
    use crate::layout::Sources;

    /// A report of this layout, with the three sheets that `plan` gives it.
    fn report_of(layout: &str) -> String {
        let layout = crate::layout::read(layout).expect("a sound layout");
        let job = crate::work_out(layout, &Sources::default()).expect("sound decks");
        let figures = Figures::of(&job);
        let takeoff = Takeoff::of(&job, &figures);
        let sheets = View::ALL.map(|view| ReportSheet {
            title: view.name().to_owned(),
            drawing: draw(
                &job,
                &SheetRequest {
                    view,
                    ..SheetRequest::default()
                },
            )
            .expect("it fits"),
        });
        report(&Report {
            figures: &figures,
            takeoff: &takeoff,
            programme: None,
            sheets: &sheets,
        })
    }

    const HOSTILE: &str = r#"
title = "</title><script>alert(1)</script>"
[[deck]]
id = "fore"
title = '<img src=x onerror=alert(1)> "&amp;'
outline = { half_breadths = [[0, 900], [1600, 1240], [3400, 1400]] }
[deck.margin]
edge = 60
"#;

    /// The report as an XML reader sees it: the texts of style and script are no XML.
    fn as_xml(html: &str) -> String {
        assert_eq!(html.matches(STYLE).count(), 1);
        assert_eq!(html.matches(SCRIPT).count(), 1);
        html.replace(STYLE, "").replace(SCRIPT, "")
    }

    #[test]
    fn names_from_the_layout_never_become_markup() {
        let html = as_xml(&report_of(HOSTILE));
        let options = roxmltree::ParsingOptions {
            allow_dtd: true,
            ..roxmltree::ParsingOptions::default()
        };
        let page = roxmltree::Document::parse_with_options(&html, options).expect("well-formed");
        let count = |name: &str| {
            page.descendants()
                .filter(|one| one.has_tag_name(name))
                .count()
        };
        assert_eq!([count("script"), count("img"), count("h1")], [1, 0, 1]);
        let said = |name: &str| page.descendants().find(|one| one.has_tag_name(name));
        let title = said("h1").and_then(|one| one.text());
        assert_eq!(title, Some("</title><script>alert(1)</script>"));
        let deck = page
            .descendants()
            .find(|one| one.text().is_some_and(|text| text.starts_with("<img")));
        let deck = deck.and_then(|one| one.text());
        assert_eq!(deck, Some(r#"<img src=x onerror=alert(1)> "&amp;"#));
        let lit = page
            .descendants()
            .filter(|one| one.attribute("data-of") == Some("fore F1"));
        let lit: Vec<&str> = lit.map(|one| one.tag_name().name()).collect();
        assert_eq!(lit, ["path", "tr"], "a field and its row are called alike");
    }

    #[test]
    fn the_policy_names_the_style_and_the_script_that_are_in_it_and_nothing_else() {
        let html = report_of(HOSTILE);
        let between = |from: &str, to: &str| {
            let begin = html.find(from).expect("it begins") + from.len();
            let length = html[begin..].find(to).expect("it ends");
            &html[begin..begin + length]
        };
        let (style, script) = (
            between("<style>", "</style>"),
            between("<script>", "</script>"),
        );
        let said = between("Content-Security-Policy\" content=\"", "\"");
        assert_eq!(said.replace("&#39;", "'"), policy::policy(style, script));
        assert!(
            said.starts_with("default-src 'none'; style-src 'sha256-"),
            "{said}"
        );
        for loose in [
            " style=",
            " onclick=",
            " onload=",
            "http://",
            "https://",
            "url(",
        ] {
            let found = html.matches(loose).count();
            let names = if loose == "http://" { 3 } else { 0 };
            assert_eq!(
                found, names,
                "{loose}: no more than the name of SVG's elements"
            );
        }
    }
}
