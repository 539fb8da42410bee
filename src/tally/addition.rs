//! What is to be added to a ledger for an entry. Comes in: the bytes that are there and an entry; goes out: the bytes to
//! write behind them, in the form that the file has. Whoever has the file open writes them, all at once.

use super::columns::{Column, Form};
use super::entry::Entry;
use super::ledger::{form_of, read};
use super::values::Mistake;

/// The bytes that add `entry`: with a header where the file is empty, behind a line end where its last line lacks one.
///
/// Texts are written on one line (line breaks and control characters become a space). A text that a spreadsheet would run as
/// a formula, since it begins with `=`, `+`, `-` or `@`, stands behind an apostrophe, which reading takes off again.
///
/// # Errors
/// Where the file is something else, its header has no room for something that the entry says, or the entry would not read
/// back as it is.
pub fn addition(existing: &[u8], entry: &Entry) -> Result<Vec<u8>, Mistake> {
    let entry = entry.tidied();
    let mut added = String::new();
    if existing
        .last()
        .is_some_and(|last| *last != b'\n' && existing != b"\xef\xbb\xbf")
    {
        added += "\r\n";
    }
    let form = match form_of(existing) {
        None => {
            let form = Form::standard(',');
            added += &form.header();
            form
        }
        // Another file than a ledger would be spoilt by it: a layout, a text in UTF-16.
        Some(head) if !head.is_header => {
            return Err(Mistake::new(
                "this is no ledger: its first line names no columns",
                format!(
                    "give another file, or put this line first, in UTF-8: {}",
                    head.form.header().trim_end()
                ),
            ));
        }
        Some(head) => {
            let lacking = lacking(&entry, &head.form);
            if !lacking.is_empty() {
                return Err(Mistake::new(
                    format!(
                        "the ledger's header has no column `{}`",
                        lacking.join("`, `")
                    ),
                    format!(
                        "put its first line right: {}",
                        Form::standard(head.form.separator).header().trim_end()
                    ),
                ));
            }
            head.form
        }
    };
    let line = entry.line(&form);
    let back = read((form.header() + &line).as_bytes());
    if let Some(damaged) = back.damaged.first() {
        return Err(Mistake::new(
            damaged.problem.clone(),
            damaged.advice.clone(),
        ));
    }
    if back.entries.first().map(|one| &one.entry) != Some(&entry) {
        return Err(Mistake::new(
            "this would not read back as it was written",
            "write it in plainer words",
        ));
    }
    Ok((added + &line).into_bytes())
}

/// The columns that the entry needs and the form has not.
fn lacking(entry: &Entry, form: &Form) -> Vec<&'static str> {
    let mut lacking = form.lacks();
    for column in Column::ALL {
        let is_there = form.has(column) || lacking.contains(&column.name());
        if !is_there && !entry.cell(column, form).is_empty() {
            lacking.push(column.name());
        }
    }
    lacking
}
