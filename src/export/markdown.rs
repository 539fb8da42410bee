//! The summary that lies beside the drawings: what they show, the figures, the warnings in plain words,
//! what each figure means, and the cautions.

use super::cutting_list;
use super::document::{self, Block, Table, Words};
use super::grid::{self, Grid, all_passes, one_line};
use crate::figures::{DeckFigures, Figures};
use crate::layout::Origin;
use crate::takeoff::SettingUsed;
use crate::units::LengthUnit;

/// A drawing that lies in the same folder.
#[derive(Debug, Clone)]
pub struct Picture {
    /// What it shows, in a few words.
    pub caption: String,
    /// Its scale, as 1:20.
    pub scale: String,
    /// The picture to look at.
    pub png: String,
    /// The drawing to print.
    pub svg: String,
}

/// Another file that lies in the same folder.
#[derive(Debug, Clone)]
pub struct Companion {
    /// What it is, in a few words.
    pub caption: String,
    /// Its name.
    pub name: String,
}

/// The summary of one layout.
#[must_use]
pub fn summary(
    figures: &Figures,
    pictures: &[Picture],
    companions: &[Companion],
    cautions: &[&'static str],
) -> String {
    let units = figures.units;
    let mut text = format!("# {}\n", plain(&figures.title));
    if !pictures.is_empty() {
        text += &drawings(pictures);
    }
    if !companions.is_empty() {
        text += &others(companions);
    }
    text += &document::markdown(&warnings(figures));
    for deck in &figures.decks {
        let mut blocks = vec![Block::heading(2, deck.title.as_str())];
        blocks.extend(areas(deck, units));
        blocks.extend(fields(deck, units));
        blocks.extend(passes(deck, units));
        text += &document::markdown(&blocks);
    }
    text += &document::markdown(&all_decks(figures));
    text += &document::markdown(&cutting_list::section(figures));
    text += &document::markdown(&meanings(figures));
    let mut said: Vec<Words> = cautions.iter().copied().map(Words::own).collect();
    said.extend(of_the_drawing());
    text + &document::markdown(&[Block::heading(2, "Cautions"), Block::List(said)])
}

pub(super) fn drawings(pictures: &[Picture]) -> String {
    let mut text =
        "\n## Drawings\n\nSeen from above, bow to the left, starboard up. Print the SVG at \
                    100 % and check the scale bar with a rule.\n\n"
            .to_owned();
    for picture in pictures {
        text += &format!(
            "- {}, at {}: [{}]({}), [{}]({})\n",
            plain(&picture.caption),
            picture.scale,
            picture.svg,
            picture.svg,
            picture.png,
            picture.png
        );
    }
    if let Some(first) = pictures.first() {
        text += &format!("\n![{}]({})\n", plain(&first.caption), first.png);
    }
    text
}

fn others(companions: &[Companion]) -> String {
    let mut text = "\n## With this plan\n\nPrint a template at 100 % and measure the square on its first page before the \
                    rest; `spile template` fits it to other paper, a roll and your printer. `spile setout` adds ties \
                    from marks on the deck.\n\n"
        .to_owned();
    for Companion { caption, name } in companions {
        text += &format!("- [{name}]({name}): {}\n", plain(caption));
    }
    text
}

/// What to look at; nothing where nothing is to be.
pub(super) fn warnings(figures: &Figures) -> Vec<Block> {
    if figures.warnings.is_empty() {
        return Vec::new();
    }
    vec![
        Block::heading(2, "Look at these before you tape"),
        Block::list(figures.warnings.iter().map(|one| one.sentence())),
    ]
}

/// A deck's areas, whether they add up, and what is to be said of its surface.
pub(super) fn areas(deck: &DeckFigures, units: LengthUnit) -> Vec<Block> {
    let own = deck.surface.as_ref();
    let mut closure = vec![Words::from(grid::closure(&deck.areas))];
    closure.extend(own.map(|own| Words::from(grid::true_closure(&own.areas))));
    let mut blocks = vec![
        Block::table(
            "Areas",
            grid::areas(&deck.areas, own.map(|own| &own.areas), units),
        ),
        Block::Paragraph(closure),
    ];
    if let Some(own) = own {
        blocks.push(Block::list(grid::on_surface(own, units)));
        let heights = own.heights.iter();
        blocks.extend(heights.map(|fit| Block::table("Heights", grid::heights(fit, units))));
    }
    blocks
}

/// A deck's fields one by one.
fn fields(deck: &DeckFigures, units: LengthUnit) -> Vec<Block> {
    vec![if deck.fields.is_empty() {
        Block::paragraph(NO_FIELD)
    } else {
        Block::table("Fields", grid::fields(deck, units))
    }]
}

pub(super) const NO_FIELD: &str = "No field: all of this deck stays smooth.";

/// Tape and film of a deck's two passes.
pub(super) fn passes(deck: &DeckFigures, units: LengthUnit) -> Vec<Block> {
    let own = deck.surface.as_ref();
    let passes = grid::passes(
        [&deck.first, &deck.reversed],
        own.map(|own| [own.first, own.reversed]),
        units,
    );
    vec![Block::table(TAPE, passes)]
}

const TAPE: &str = "Tape and film of both passes";

/// All decks together; nothing where there is but one.
pub(super) fn all_decks(figures: &Figures) -> Vec<Block> {
    if figures.decks.len() < 2 {
        return Vec::new();
    }
    let on_surface = figures.true_areas();
    vec![
        Block::heading(2, format!("All {} decks", figures.decks.len())),
        Block::table(
            "Areas",
            grid::areas(&figures.areas(), on_surface.as_ref(), figures.units),
        ),
        Block::table(TAPE, all_passes(figures)),
    ]
}

/// What the printed figures mean.
pub(super) fn meanings(figures: &Figures) -> Vec<Block> {
    let of_surface = figures.has_surface().then_some(SURFACE_MEANINGS);
    let said = MEANINGS.into_iter().chain(of_surface.into_iter().flatten());
    vec![
        Block::heading(2, "What the figures mean"),
        Block::List(said.map(Words::own).collect()),
    ]
}

/// The cautions of the drawing itself, beside those of the job.
pub(super) fn of_the_drawing() -> impl Iterator<Item = Words> {
    CAUTIONS.into_iter().map(Words::own)
}

pub(super) fn pipes(grid: &Grid) -> String {
    piped(&grid.head, &grid.rows)
}

/// Settings with their values and where they come from.
pub(super) fn settings_table(settings: &[SettingUsed]) -> Block {
    let rows = settings.iter().map(|setting| {
        vec![
            Words::code(&setting.key),
            setting.title.as_str().into(),
            setting.value.as_str().into(),
            match setting.origin {
                Origin::Layout => "the layout".into(),
                Origin::Default(source) => Words::own("default: ").and_own(source),
            },
        ]
    });
    let table = Table {
        head: ["Setting", "What it is", "Value", "From"]
            .map(Words::from)
            .into(),
        rows: rows.collect(),
    };
    Block::table("Settings and where they come from", table)
}

/// The same of a head whose names are not known before.
pub(super) fn piped(head: &[&str], rows: &[Vec<String>]) -> String {
    let row = |cells: &mut dyn Iterator<Item = &str>| {
        let mut line = "|".to_owned();
        for cell in cells {
            line += &format!(" {cell} |");
        }
        line + "\n"
    };
    let mut text = row(&mut head.iter().copied());
    let mut rule = (0..head.len()).map(|column| {
        let mut cells = rows.iter().filter_map(|row| row.get(column));
        if column > 0 && cells.all(|cell| is_number(cell)) {
            "---:"
        } else {
            "---"
        }
    });
    text += &row(&mut rule);
    for cells in rows {
        text += &row(&mut cells.iter().map(String::as_str));
    }
    text
}

/// Whether a cell may stand among numbers, which end under each other; words begin so.
pub(super) fn is_number(cell: &str) -> bool {
    let begins = |sign: char| sign.is_ascii_digit() || matches!(sign, '-' | '+' | '−');
    cell.is_empty() || cell.starts_with(begins)
}

/// Text from the layout with nothing in it that Markdown would act on.
pub(super) fn plain(text: &str) -> String {
    let mut out = String::new();
    for c in one_line(text).chars() {
        if "\\`*_[]<>|#&!".contains(c) {
            out.push('\\');
        }
        out.push(c);
    }
    out
}

const MEANINGS: [&str; 11] = [
    "**Fields**: the closed areas that get non-skid. **Border**: everything that stays smooth, strips and the round of a\n\
     lifted fitting included.",
    "**Share**: a part's area in per cent of the deck inside its outline.",
    "**Closure**: the border is measured as a shape of its own, so the sum of the parts checks the whole.",
    "**Perimeter**: the length of all rings of a field; a field round a hatch has two **rings**.",
    "**Clearance**: the least distance from the finished field to the deck edge, an opening or a fitting.",
    "**Least round, least hollow**: the tightest outward and inward curve on a field's edge; tape must follow it.",
    "**Paint line**: where the border's paint and the non-skid meet; it leaves out what runs along the deck edge, an\n\
     opening or a fitting.",
    "**Line tape**: the tape whose edge makes the paint line, measured along its middle: on the field's side in the first\n\
     pass, on the border's side in the reversed one.",
    "**Edge tape**: tape on the deck edge, openings and fittings wherever they border what is painted in that pass.",
    "**with laps**: the same with one lap added for each run. Nothing is added for waste: buy more.",
    "**Film**: what the tape leaves uncovered of the area protected in that pass. Overlaps of film are not in it.",
];

const SURFACE_MEANINGS: [&str; 3] = [
    "**True** areas, perimeters and lengths are those on the deck's own surface, over camber and sheer; the others are seen\n\
     from above. Paint, non-skid and tape go by the true ones.",
    "**Girth**: the deck's breadth measured along its surface.",
    "**Laid flat**: a full-size template is a development of the deck. Girths keep their length in it; lengths fore and aft\n\
     are true half way up the camber, a little long below and a little short above it, or the other way about.",
];

const CAUTIONS: [&str; 2] = [
    "A smooth border is slippery when wet, and so is any deck being painted. These figures judge no one's footing: whether\n\
     a pattern is safe to walk on is for the owner and the rules that apply to the boat.",
    "Measure the boat again before the first strip of tape: a drawing is as right as the measurements in it.",
];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::figures::sample;

    #[test]
    fn the_summary_holds_the_drawing_the_warning_and_the_cautions() {
        let picture = Picture {
            caption: "The finished pattern".to_owned(),
            scale: "1:20".to_owned(),
            png: "pattern.png".to_owned(),
            svg: "pattern.svg".to_owned(),
        };
        let text = summary(&sample::figures(), &[picture], &[], &["Gloves."]);
        for part in [
            "- The finished pattern, at 1:20: [pattern.svg](pattern.svg)",
            "![The finished pattern](pattern.png)",
            "- fore: the passage is as wide as the round",
            "## Fore \\| deck",
            "| F1 | 1.200 m² |",
            "## Cautions\n\n- Gloves.\n- A smooth border is slippery",
        ] {
            assert!(text.contains(part), "{part} is missing:\n{text}");
        }
    }
}
