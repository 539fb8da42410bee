//! A comparison as a document: a table a section, a column a candidate; of a figure that differs from the first one's it
//! says by how much, of one that does not `=`.

use super::super::markdown::{piped, plain};
use crate::comparison::{
    Comparison, Difference, Row, Section, difference_in_words, value_in_words,
};

/// Columns that a page holds side by side beside the first; more go into further tables.
const ABREAST: usize = 5;

/// The document; with the name of a picture that stands beside it, if there is one.
#[must_use]
pub fn markdown(comparison: &Comparison, picture: Option<&str>) -> String {
    let mut text = match comparison.title() {
        Some(title) => format!("# {}: side by side\n", plain(title)),
        None => "# Side by side\n".to_owned(),
    };
    if let Some(picture) = picture {
        text += &format!("\n![Patterns side by side]({picture})\n");
    }
    text += "\nWhat stands in brackets is the difference from the first column, of a range from its likely figure; = is \
             no difference.\n";
    let others: Vec<usize> = (1..comparison.candidates.len()).collect();
    let mut abreast: Vec<Vec<usize>> = others
        .chunks(ABREAST)
        .map(|some| [&[0], some].concat())
        .collect();
    if abreast.is_empty() {
        abreast.push(vec![0]);
    }
    for section in Section::ALL {
        let rows: Vec<&Row> = comparison
            .rows
            .iter()
            .filter(|row| row.section == section)
            .collect();
        if rows.is_empty() {
            continue;
        }
        text += &format!("\n## {}\n", section.title());
        for columns in &abreast {
            text += &format!("\n{}", table(comparison, &rows, columns));
        }
    }
    text
}

fn table(comparison: &Comparison, rows: &[&Row], columns: &[usize]) -> String {
    let names: Vec<String> = columns
        .iter()
        .map(|column| plain(&comparison.candidates[*column].name))
        .collect();
    let mut head = vec![""];
    head.extend(names.iter().map(String::as_str));
    let rows: Vec<Vec<String>> = rows
        .iter()
        .map(|row| {
            let mut cells = vec![plain(&row.title)];
            cells.extend(columns.iter().map(|column| cell(comparison, row, *column)));
            cells
        })
        .collect();
    piped(&head, &rows)
}

fn cell(comparison: &Comparison, row: &Row, column: usize) -> String {
    let units = comparison.units;
    let Some(value) = &row.values[column] else {
        return "-".to_owned();
    };
    let words = plain(&value_in_words(value, units));
    if column == 0 {
        return words;
    }
    match row.difference(column) {
        Difference::Same => "=".to_owned(),
        Difference::Unlike => words,
        difference => match difference_in_words(&difference, units).as_str() {
            "=" => "=".to_owned(),
            by => format!("{words} (**{by}**)"),
        },
    }
}
