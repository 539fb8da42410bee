//! What a text measures, from the drawing font's own metrics, and what of a text can be drawn at all.

use std::sync::LazyLock;

use ttf_parser::{Face, OutlineBuilder};

use super::marks::{Run, Text, Weight};
use crate::shape::{Point, Ring};

/// Noto Sans: height of a capital as a share of the font size (its OS/2 table: 714 of 1000).
pub const CAPITAL: f64 = 0.714;
/// How far a text's box reaches below the baseline, as a share of the height of its capitals.
pub(super) const DESCENT: f64 = 0.30;
/// Height of a text's box, accents and descenders included, as a share of the height of its capitals.
pub(super) const BOX_HEIGHT: f64 = 1.45;
/// Distance from baseline to baseline, as a share of the height of capitals.
pub(super) const LINE: f64 = 1.7;

/// Stands for a character that the font lacks.
const REPLACEMENT: char = '\u{fffd}';

static FACES: LazyLock<[Option<Face<'static>>; 2]> = LazyLock::new(|| {
    [notosans::REGULAR_TTF, notosans::BOLD_TTF].map(|bytes| Face::parse(bytes, 0).ok())
});

fn face(weight: Weight) -> Option<&'static Face<'static>> {
    let [regular, bold] = &*FACES;
    match weight {
        Weight::Regular => regular.as_ref(),
        Weight::Bold => bold.as_ref(),
    }
}

/// Width of `content` whose capitals are `height` millimetres high.
#[must_use]
pub(super) fn width(content: &str, height: f64, weight: Weight) -> f64 {
    let Some(face) = face(weight) else {
        return 0.0;
    };
    let units: f64 = content
        .chars()
        .filter_map(|character| face.glyph_index(character))
        .filter_map(|glyph| face.glyph_hor_advance(glyph))
        .map(f64::from)
        .sum();
    units / f64::from(face.units_per_em()) * height / CAPITAL
}

/// The outlines of a text's letters, as closed runs of straight lines: curves in steps that stay within 0.05 mm of letters
/// 25 mm high.
#[must_use]
pub(super) fn outlines(text: &Text) -> Vec<Run> {
    let Some(face) = face(text.weight) else {
        return Vec::new();
    };
    let size = text.height / CAPITAL / f64::from(face.units_per_em());
    let mut pen = LetterPen {
        start: text.start(),
        along: Point::at_angle(text.turn) * size,
        advance: 0.0,
        points: Vec::new(),
        runs: Vec::new(),
    };
    for glyph in text
        .content
        .chars()
        .filter_map(|character| face.glyph_index(character))
    {
        face.outline_glyph(glyph, &mut pen);
        pen.advance += face.glyph_hor_advance(glyph).map_or(0.0, f64::from);
    }
    pen.runs
}

/// Steps a letter's curve is drawn in.
const STEPS: u8 = 8;

/// Draws letters one after another.
struct LetterPen {
    start: Point,
    along: Point,
    advance: f64,
    points: Vec<Point>,
    runs: Vec<Run>,
}

impl LetterPen {
    fn place(&self, x: f32, y: f32) -> Point {
        self.start + self.along * (f64::from(x) + self.advance) + self.along.left() * f64::from(y)
    }

    fn add(&mut self, point: Point) {
        if self.points.last() != Some(&point) {
            self.points.push(point);
        }
    }

    fn curve(&mut self, at: impl Fn(Point, f64) -> Point) {
        if let Some(&from) = self.points.last() {
            for step in 1..=STEPS {
                self.add(at(from, f64::from(step) / f64::from(STEPS)));
            }
        }
    }
}

impl OutlineBuilder for LetterPen {
    fn move_to(&mut self, x: f32, y: f32) {
        let point = self.place(x, y);
        self.points = vec![point];
    }

    fn line_to(&mut self, x: f32, y: f32) {
        let point = self.place(x, y);
        self.add(point);
    }

    fn quad_to(&mut self, x1: f32, y1: f32, x: f32, y: f32) {
        let (b, c) = (self.place(x1, y1), self.place(x, y));
        self.curve(|a, t| a.towards(b, t).towards(b.towards(c, t), t));
    }

    fn curve_to(&mut self, x1: f32, y1: f32, x2: f32, y2: f32, x: f32, y: f32) {
        let (b, c, d) = (self.place(x1, y1), self.place(x2, y2), self.place(x, y));
        self.curve(|a, t| {
            let (ab, bc, cd) = (a.towards(b, t), b.towards(c, t), c.towards(d, t));
            ab.towards(bc, t).towards(bc.towards(cd, t), t)
        });
    }

    fn close(&mut self) {
        if self.points.len() > 1 && self.points.first() == self.points.last() {
            self.points.pop();
        }
        if self.points.len() > 2 {
            self.runs.push(Run::closed(&Ring::polygon(&self.points)));
        }
        self.points.clear();
    }
}

/// `content` as it can be drawn: white space of any kind as one space, control and formatting characters
/// left out, characters that the font lacks replaced by one that shows that something stood there.
#[must_use]
pub(super) fn drawable(content: &str) -> String {
    let mut drawn = String::with_capacity(content.len());
    for character in content.chars() {
        if character.is_whitespace() {
            if !drawn.ends_with(' ') && !drawn.is_empty() {
                drawn.push(' ');
            }
        } else if character.is_control() || is_invisible(character) {
        } else if has_glyph(character) {
            drawn.push(character);
        } else if has_glyph(REPLACEMENT) {
            drawn.push(REPLACEMENT);
        } else {
            drawn.push('?');
        }
    }
    drawn.truncate(drawn.trim_end().len());
    drawn
}

/// Characters that only steer the layout of text: joiners, direction marks, variation selectors.
const fn is_invisible(character: char) -> bool {
    matches!(
        character,
        '\u{ad}' | '\u{61c}' | '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}'
            | '\u{2060}'..='\u{206f}' | '\u{fe00}'..='\u{fe0f}' | '\u{feff}'
            | '\u{fff9}'..='\u{fffb}' | '\u{fffe}' | '\u{ffff}'
    )
}

fn has_glyph(character: char) -> bool {
    [Weight::Regular, Weight::Bold]
        .into_iter()
        .all(|weight| face(weight).is_some_and(|face| face.glyph_index(character).is_some()))
}

/// `content` cut, with an ellipsis, to at most `most` millimetres.
#[must_use]
pub(super) fn shortened(content: &str, height: f64, weight: Weight, most: f64) -> String {
    if width(content, height, weight) <= most {
        return content.to_owned();
    }
    let room = most - width("…", height, weight);
    let (mut used, mut end) = (0.0, 0);
    for (start, character) in content.char_indices() {
        let next = start + character.len_utf8();
        used += width(&content[start..next], height, weight);
        if used > room {
            break;
        }
        end = next;
    }
    if room < 0.0 {
        return String::new();
    }
    format!("{}…", content[..end].trim_end())
}

/// `content` broken at spaces into lines of at most `most` millimetres; a longer word is cut.
#[must_use]
pub(super) fn wrapped(content: &str, height: f64, weight: Weight, most: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in content.split(' ').filter(|word| !word.is_empty()) {
        let longer = lines.last().map(|line| format!("{line} {word}"));
        match (longer, lines.last_mut()) {
            (Some(longer), Some(line)) if width(&longer, height, weight) <= most => *line = longer,
            _ => lines.push(shortened(word, height, weight, most)),
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_measures_what_its_font_says() {
        // Read from the font's own tables by other means: 2048 units to the em, a digit 1171 wide.
        let expected = 4.0 * 1171.0 / 2048.0 * 2.5 / CAPITAL;
        assert!((width("2026", 2.5, Weight::Regular) - expected).abs() < 1e-9);
    }

    #[test]
    fn text_that_cannot_be_drawn_is_replaced_not_lost() {
        assert_eq!(drawable("a\u{0}\n\tb\u{202e}c"), "a bc");
        let drawn = drawable("甲板 deck");
        assert!(drawn.ends_with(" deck"));
        assert_eq!(drawn.chars().count(), 7);
        assert!(width(&drawn, 2.5, Weight::Regular) > width(" deck", 2.5, Weight::Regular));
    }

    #[test]
    fn a_long_text_is_cut_to_the_width_it_has() {
        let long = "wheelhouse top ".repeat(50);
        let cut = shortened(&long, 5.0, Weight::Bold, 80.0);
        assert!(cut.ends_with('…'));
        assert!(width(&cut, 5.0, Weight::Bold) <= 80.0);
    }

    #[test]
    fn the_signs_the_drawings_use_are_in_the_font() {
        for sign in "Ø°±×½¼¾²…–→".chars() {
            assert!(has_glyph(sign), "{sign}");
        }
    }
}
