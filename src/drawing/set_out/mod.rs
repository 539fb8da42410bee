//! Setting out on paper: what two people take on deck. Comes in: the tables of [`crate::setting_out`] and the decks they are
//! of. Goes out: pages; for each deck where its fields and marks are, the name of every point, how to measure, then field by
//! field points in the order they are marked, edges, offsets and checks.

mod names;

use super::form::pages::{Blank, Pages};
use super::marks::Drawing;
use super::paper::Paper;
use crate::DeckJob;
use crate::setting_out::{SettingOut, Table, said, tables};

/// Height of a row that is only read, millimetres, and of one that is written in too.
const READ: f64 = 6.0;
const WRITTEN: f64 = 7.5;

/// A deck with what sets it out.
#[derive(Debug, Clone, Copy)]
pub struct SetOutDeck<'a> {
    /// The deck.
    pub deck: &'a DeckJob,
    /// Its tables.
    pub out: &'a SettingOut,
}

/// The pages on upright `paper`, sheets of names lying on their side.
#[must_use]
pub fn set_out_pages(title: &str, decks: &[SetOutDeck<'_>], paper: Paper) -> Vec<Drawing> {
    let heading = format!("Setting out: {title}");
    let mut pages = Pages::new(
        paper,
        &format!("{heading}. Lengths as the tape shows them."),
    );
    for one in decks {
        if one.out.fields.is_empty() {
            pages.turn();
            pages.title("Setting out", &one.out.title);
            pages.paragraph("No field: there is nothing to set out.");
            continue;
        }
        names::sheets(&mut pages, one, paper);
        text(&mut pages, one.out);
    }
    pages.finish(&heading)
}

fn text(pages: &mut Pages, out: &SettingOut) {
    pages.turn();
    pages.title("How to measure", &out.title);
    let sentences = said(out);
    let sentences: Vec<&str> = sentences.iter().map(String::as_str).collect();
    pages.steps(&sentences);
    let mut section = String::new();
    for table in tables(out) {
        // A field begins a page of its own: it is put away when it is done.
        if table.section != section && !section.is_empty() {
            pages.turn();
        }
        section.clone_from(&table.section);
        let heading = if table.caption == section {
            section.clone()
        } else {
            format!("{section}: {}", lower(&table.caption))
        };
        let is_written = table
            .columns
            .iter()
            .any(|(head, _)| head == "Measured" || head == "Done");
        pages.heading(&heading, 20.0);
        if let Some(note) = &table.note {
            pages.paragraph(note);
        }
        let height = if is_written { WRITTEN } else { READ };
        pages.table(&abreast(table, height));
    }
}

/// A table of few columns and many rows in two halves beside each other.
fn abreast(table: Table, height: f64) -> Blank {
    const FEW: usize = 5;
    const MANY: usize = 8;
    let Table {
        mut columns,
        mut rows,
        ..
    } = table;
    if columns.len() <= FEW && rows.len() > MANY && columns.iter().all(|(head, _)| head != "How") {
        let second = rows.split_off(rows.len().div_ceil(2));
        for (row, beside) in rows.iter_mut().zip(second) {
            row.extend(beside);
        }
        columns.extend(columns.clone());
    }
    Blank {
        columns,
        rows,
        height,
    }
}

/// With its first letter small, as the rest of a heading.
fn lower(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_lowercase().chain(letters).collect()
    })
}
