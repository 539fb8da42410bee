//! The summary that lies beside the drawings: what they show, the figures, the warnings in plain words,
//! what each figure means, and the cautions.

use super::cutting_list;
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
    cautions: &[&str],
) -> String {
    let units = figures.units;
    let mut text = format!("# {}\n", plain(&figures.title));
    if !pictures.is_empty() {
        text += &drawings(pictures);
    }
    if !companions.is_empty() {
        text += &others(companions);
    }
    if !figures.warnings.is_empty() {
        text += &warnings(figures);
    }
    for deck in &figures.decks {
        text += &deck_section(deck, units);
    }
    if figures.decks.len() > 1 {
        text += &format!("\n## All {} decks\n\n", figures.decks.len());
        text += &pipes(&grid::areas(
            &figures.areas(),
            figures.true_areas().as_ref(),
            units,
        ));
        text += "\n";
        text += &pipes(&all_passes(figures));
    }
    text += &cutting_list::section(figures);
    text += MEANINGS;
    if figures.has_surface() {
        text += SURFACE_MEANINGS;
    }
    text += "\n## Cautions\n\n";
    for caution in cautions {
        text += &format!("- {caution}\n");
    }
    text + CAUTIONS
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

fn warnings(figures: &Figures) -> String {
    let mut text = "\n## Look at these before you tape\n\n".to_owned();
    for warning in &figures.warnings {
        text += &format!("- {}\n", plain(&warning.sentence()));
    }
    text
}

fn deck_section(deck: &DeckFigures, units: LengthUnit) -> String {
    let mut text = format!("\n## {}\n\n", plain(&deck.title));
    let own = deck.surface.as_ref();
    text += &pipes(&grid::areas(&deck.areas, own.map(|own| &own.areas), units));
    text += &format!("\n{}\n", grid::closure(&deck.areas));
    if let Some(own) = own {
        text += &format!("{}\n\n", grid::true_closure(&own.areas));
        for sentence in grid::on_surface(own, units) {
            text += &format!("- {sentence}\n");
        }
        if let Some(fit) = &own.heights {
            text += "\n";
            text += &pipes(&grid::heights(fit, units));
        }
    }
    if deck.fields.is_empty() {
        text += "\nNo field: all of this deck stays smooth.\n";
    } else {
        text += "\n";
        text += &pipes(&grid::fields(deck, units));
    }
    text += "\n";
    text += &pipes(&grid::passes(
        [&deck.first, &deck.reversed],
        own.map(|own| [own.first, own.reversed]),
        units,
    ));
    text
}

pub(super) fn pipes(grid: &Grid) -> String {
    piped(&grid.head, &grid.rows)
}

/// Settings with their values and where they come from.
pub(super) fn settings_table(settings: &[SettingUsed]) -> String {
    let rows = settings.iter().map(|setting| {
        vec![
            format!("`{}`", setting.key),
            setting.title.clone(),
            setting.value.clone(),
            match setting.origin {
                Origin::Layout => "the layout".to_owned(),
                Origin::Default(source) => format!("default: {source}"),
            },
        ]
    });
    pipes(&Grid {
        head: vec!["Setting", "What it is", "Value", "From"],
        rows: rows.collect(),
    })
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
    // Numbers end under each other, words begin so.
    let is_number = |cell: &str| {
        cell.is_empty()
            || cell
                .starts_with(|sign: char| sign.is_ascii_digit() || matches!(sign, '-' | '+' | '−'))
    };
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

const MEANINGS: &str = "
## What the figures mean

- **Fields**: the closed areas that get non-skid. **Border**: everything that stays smooth, strips and the round of a
  lifted fitting included.
- **Share**: a part's area in per cent of the deck inside its outline.
- **Closure**: the border is measured as a shape of its own, so the sum of the parts checks the whole.
- **Perimeter**: the length of all rings of a field; a field round a hatch has two **rings**.
- **Clearance**: the least distance from the finished field to the deck edge, an opening or a fitting.
- **Least round, least hollow**: the tightest outward and inward curve on a field's edge; tape must follow it.
- **Paint line**: where the border's paint and the non-skid meet; it leaves out what runs along the deck edge, an
  opening or a fitting.
- **Line tape**: the tape whose edge makes the paint line, measured along its middle: on the field's side in the first
  pass, on the border's side in the reversed one.
- **Edge tape**: tape on the deck edge, openings and fittings wherever they border what is painted in that pass.
- **with laps**: the same with one lap added for each run. Nothing is added for waste: buy more.
- **Film**: what the tape leaves uncovered of the area protected in that pass. Overlaps of film are not in it.
";

const SURFACE_MEANINGS: &str = "\
- **True** areas, perimeters and lengths are those on the deck's own surface, over camber and sheer; the others are seen
  from above. Paint, non-skid and tape go by the true ones.
- **Girth**: the deck's breadth measured along its surface.
- **Laid flat**: a full-size template is a development of the deck. Girths keep their length in it; lengths fore and aft
  are true half way up the camber, a little long below and a little short above it, or the other way about.
";

/// Those of the drawing itself, beside those of the job.
const CAUTIONS: &str = "\
- A smooth border is slippery when wet, and so is any deck being painted. These figures judge no one's footing: whether
  a pattern is safe to walk on is for the owner and the rules that apply to the boat.
- Measure the boat again before the first strip of tape: a drawing is as right as the measurements in it.
";

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
