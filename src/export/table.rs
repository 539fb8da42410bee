//! The figures for a person at a terminal: aligned columns in the units the layout is written in.

use super::grid::{self, Grid, all_passes, one_line};
use crate::figures::Figures;

/// The figures of one layout.
#[must_use]
pub fn table(figures: &Figures) -> String {
    let units = figures.units;
    let mut text = one_line(&figures.title) + "\n";
    for deck in &figures.decks {
        let title = one_line(&deck.title);
        let own = deck.surface.as_ref();
        text += &format!("\n{title}");
        if title != deck.id {
            text += &format!(" ({})", deck.id);
        }
        text += "\n\n";
        text += &aligned(&grid::areas(&deck.areas, own.map(|own| &own.areas), units));
        text += &format!("  {}\n", grid::closure(&deck.areas));
        if let Some(own) = own {
            text += &format!("  {}\n\n", grid::true_closure(&own.areas));
            for sentence in grid::on_surface(own, units) {
                text += &format!("  {sentence}\n");
            }
            if let Some(fit) = &own.heights {
                text += "\n";
                text += &aligned(&grid::heights(fit, units));
            }
        }
        if deck.fields.is_empty() {
            text += "\n  No field: all of this deck stays smooth.\n";
        } else {
            text += "\n";
            text += &aligned(&grid::fields(deck, units));
        }
        text += "\n";
        text += &aligned(&grid::passes(
            [&deck.first, &deck.reversed],
            own.map(|own| [own.first, own.reversed]),
            units,
        ));
    }
    if figures.decks.len() > 1 {
        text += &format!("\nAll {} decks\n\n", figures.decks.len());
        text += &aligned(&grid::areas(
            &figures.areas(),
            figures.true_areas().as_ref(),
            units,
        ));
        text += "\n";
        text += &aligned(&all_passes(figures));
    }
    text
}

/// The first column to the left, figures to the right under each other.
pub(super) fn aligned(grid: &Grid) -> String {
    let widths: Vec<usize> = grid
        .head
        .iter()
        .enumerate()
        .map(|(column, head)| {
            let cells = grid.rows.iter().map(|row| row[column].chars().count());
            cells.fold(head.chars().count(), usize::max)
        })
        .collect();
    let line = |cells: &mut dyn Iterator<Item = &str>| {
        let mut line = String::new();
        for (column, (cell, width)) in cells.zip(&widths).enumerate() {
            line += &if column == 0 {
                format!("  {cell:<width$}")
            } else {
                format!("  {cell:>width$}")
            };
        }
        line.trim_end().to_owned() + "\n"
    };
    let mut text = line(&mut grid.head.iter().copied());
    for row in &grid.rows {
        text += &line(&mut row.iter().map(String::as_str));
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::figures::sample;
    use crate::units::{Area, LengthUnit};

    #[test]
    fn a_metric_job_reads_like_this() {
        insta::assert_snapshot!(table(&sample::figures()), @r#"
        Foredeck, "wet"

        Fore | deck (fore)

                                 Area    Share
          Fields (non-skid)  1.200 m²   60.0 %
          Border (smooth)    0.550 m²   27.5 %
          Openings           0.250 m²   12.5 %
          Fittings in place  0.000 m²    0.0 %
          Deck               2.000 m²  100.0 %
          Closure 0.000000000 m²: the parts, each measured on its own shape, add up to the deck.

          Field      Area  Perimeter  Rings  Clearance  Least round  Least hollow
          F1     1.200 m²      5.0 m      2      60 mm        40 mm             -

          Pass                           Paint line  Line tape  with laps  Edge tape  with laps      Film
          1 first, paints the border          5.0 m      4.9 m      5.0 m      8.0 m      8.1 m  1.100 m²
          2 reversed, paints the fields       5.0 m      5.1 m      5.2 m      0.0 m      0.1 m  0.400 m²
        "#);
    }

    #[test]
    fn a_job_in_feet_and_inches_is_told_in_feet_and_inches() {
        let figures = Figures {
            units: LengthUnit::Inch,
            ..sample::figures()
        };
        let text = table(&figures);
        assert!(text.contains("12.9 ft²"), "{text}");
        assert!(text.contains("2 3/8″"), "{text}");
        assert!(!text.contains(" mm") && !text.contains(" m "), "{text}");
    }

    #[test]
    fn areas_that_do_not_add_up_are_said_to_be_useless() {
        let mut figures = sample::figures();
        figures.decks[0].areas.border = Area::ZERO;
        assert!(table(&figures).contains("do NOT add up"));
    }

    #[test]
    fn a_title_cannot_steer_the_terminal() {
        let mut figures = sample::figures();
        figures.title = "\u{1b}[31mred\nred".to_owned();
        let text = table(&figures);
        assert!(text.starts_with(" [31mred red\n"), "{text}");
    }
}
