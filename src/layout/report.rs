//! Faults and warnings as text for the person at the keyboard: file, line, column, the line itself, a
//! caret under the part at fault and what to write instead. Comes in: a file's text and its faults.
//! Goes out: text, plain unless colour is asked for.

use std::fmt::Write as _;
use std::ops::Range;

use annotate_snippets::{AnnotationKind, Level, Renderer, Snippet};

use super::{Fault, Place};

/// How many faults are shown before the rest is only counted.
const SHOWN: usize = 50;

/// A layout's file, ready to have its faults shown.
#[derive(Debug, Clone, Copy)]
pub struct Report<'a> {
    /// The file's name, as the person gave it.
    pub path: &'a str,
    /// Its text.
    pub text: &'a str,
    /// Whether the terminal shows colour.
    pub colour: bool,
}

/// All faults of a layout as plain text, in the file's order.
#[must_use]
pub fn render_faults(path: &str, text: &str, faults: &[Fault]) -> String {
    Report {
        path,
        text,
        colour: false,
    }
    .errors(faults)
}

impl Report<'_> {
    /// The faults as errors.
    #[must_use]
    pub fn errors(&self, faults: &[Fault]) -> String {
        self.all(&Level::ERROR, "errors", faults)
    }

    /// The faults as warnings: the layout can be worked with, but a person should look.
    #[must_use]
    pub fn warnings(&self, faults: &[Fault]) -> String {
        self.all(&Level::WARNING, "warnings", faults)
    }

    fn all(&self, level: &Level<'static>, kind: &str, faults: &[Fault]) -> String {
        let mut shown: Vec<_> = faults
            .iter()
            .take(SHOWN)
            .map(|fault| self.one(level, fault))
            .collect();
        if faults.len() > SHOWN {
            let mut more = String::new();
            let _ = write!(more, "and {} more {kind}", faults.len() - SHOWN);
            shown.push(more);
        }
        let mut text = shown.join("\n\n");
        if !text.is_empty() {
            text.push('\n');
        }
        text
    }

    fn one(&self, level: &Level<'static>, fault: &Fault) -> String {
        let primary = first_line(self.text, fault.place);
        let mention = fault
            .mention
            .as_ref()
            .map(|mention| (first_line(self.text, mention.place), mention.label.as_str()));
        // Only the lines needed are handed over: a long file would be walked once a fault.
        let first = mention
            .as_ref()
            .map_or(primary.start, |(at, _)| at.start.min(primary.start));
        let last = mention
            .as_ref()
            .map_or(primary.end, |(at, _)| at.end.max(primary.end));
        let from = self.text[..first].rfind('\n').map_or(0, |at| at + 1);
        let to = self.text[last..]
            .find('\n')
            .map_or(self.text.len(), |at| last + at);
        let line = 1 + self.text[..from].matches('\n').count();
        let moved = |range: &Range<usize>| range.start - from..range.end - from;

        let mut snippet = Snippet::source(&self.text[from..to])
            .path(self.path)
            .line_start(line)
            .annotation(
                AnnotationKind::Primary
                    .span(moved(&primary))
                    .label(&fault.label),
            );
        if let Some((range, label)) = &mention {
            snippet = snippet.annotation(AnnotationKind::Context.span(moved(range)).label(*label));
        }
        let mut group = level
            .clone()
            .primary_title(fault.message.as_str())
            .element(snippet);
        if let Some(excerpt) = &fault.excerpt {
            let part = Place::within(&excerpt.text, excerpt.part.clone());
            group = group.element(
                Snippet::source(excerpt.text.as_str())
                    .path(excerpt.file.as_str())
                    .line_start(excerpt.line)
                    .annotation(
                        AnnotationKind::Primary
                            .span(part.start..part.end)
                            .label(excerpt.label.as_str()),
                    ),
            );
        }
        if let Some(help) = &fault.help {
            group = group.element(Level::HELP.message(help.as_str()));
        }
        let renderer = if self.colour {
            Renderer::styled()
        } else {
            Renderer::plain()
        };
        renderer.render(&[group])
    }
}

/// The part of a place on its first line: a caret under one line reads better than a bracket over many.
fn first_line(text: &str, place: Place) -> Range<usize> {
    let Place { start, end } = Place::within(text, place.start..place.end);
    let line = text[start..end].lines().next().unwrap_or_default();
    start..start + line.len()
}
