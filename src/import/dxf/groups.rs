//! The text of a DXF as its groups: a code on one line, a value on the next; and the records that the groups
//! make, each begun by a group 0. Comes in: the text. Goes out: records by section, with their lines, or what
//! is wrong with the file as such.
//!
//! After the DXF reference, "Group codes in numerical order" and "General DXF file structure".

use super::super::ImportFault;

/// What to do about a file that is damaged.
const SAVE_AGAIN: &str =
    "the file is damaged or cut short: save it again as DXF (text) and copy it whole";

/// One group.
#[derive(Debug, Clone, Copy)]
pub(super) struct Group<'t> {
    pub code: i32,
    /// Its value, without blanks about it.
    pub value: &'t str,
    /// The line of the value, from 1.
    pub line: usize,
}

/// A group 0 and all that belongs to it.
#[derive(Debug, Clone)]
pub(super) struct Record<'t> {
    /// The value of the group 0.
    pub kind: &'t str,
    /// The line it stands on.
    pub line: usize,
    pub groups: Vec<Group<'t>>,
}

/// The records of the sections that matter, each in the file's order.
#[derive(Debug, Default)]
pub(super) struct Sections<'t> {
    /// The header is one record, its groups the variables and their values.
    pub header: Vec<Record<'t>>,
    pub blocks: Vec<Record<'t>>,
    pub entities: Vec<Record<'t>>,
}

/// The groups, one after the other.
struct Groups<'t> {
    lines: std::str::Split<'t, char>,
    line: usize,
}

impl<'t> Groups<'t> {
    /// The next group that is no comment; none at the end of the text.
    fn next(&mut self) -> Result<Option<Group<'t>>, ImportFault> {
        const COMMENT: i32 = 999;
        loop {
            match self.any()? {
                Some(group) if group.code == COMMENT => {}
                group => return Ok(group),
            }
        }
    }

    /// The next group; none at the end of the text.
    fn any(&mut self) -> Result<Option<Group<'t>>, ImportFault> {
        let Some(first) = self.lines.next() else {
            return Ok(None);
        };
        self.line += 1;
        let text = first.trim();
        let Ok(code) = text.parse() else {
            // What follows the last line break is no line.
            if text.is_empty() && self.lines.clone().all(|rest| rest.trim().is_empty()) {
                return Ok(None);
            }
            let message = format!("a group code should stand here, not \"{}\"", shown(text));
            return Err(
                ImportFault::new(self.line, 0, message, "no whole number").with_help(SAVE_AGAIN)
            );
        };
        self.line += 1;
        let Some(value) = self.lines.next() else {
            let message = format!("the drawing ends after group code {code}, before its value");
            return Err(
                ImportFault::new(self.line - 1, 0, message, "the last line").with_help(SAVE_AGAIN)
            );
        };
        Ok(Some(Group {
            code,
            value: value.trim(),
            line: self.line,
        }))
    }
}

/// A value as it is shown in a message.
pub(super) fn shown(text: &str) -> String {
    const MOST: usize = 40;
    let mut shown: String = text
        .chars()
        .take(MOST)
        .map(|letter| {
            if letter.is_control() {
                '\u{fffd}'
            } else {
                letter
            }
        })
        .collect();
    if text.chars().nth(MOST).is_some() {
        shown.push_str("...");
    }
    shown
}

/// Sorts the groups of a file into records and sections.
pub(super) fn sections(text: &str) -> Result<Sections<'_>, ImportFault> {
    let mut groups = Groups {
        lines: text.split('\n'),
        line: 0,
    };
    let mut found = Sections::default();
    let mut section: Option<(&str, usize)> = None;
    let mut record: Option<Record<'_>> = None;
    // A section's name is the group 2 that follows its beginning.
    let mut begins: Option<usize> = None;
    let mut last = 0;
    while let Some(group) = groups.next()? {
        last = group.line;
        if let Some(line) = begins.take() {
            if group.code != 2 {
                return Err(ImportFault::new(
                    group.line - 1,
                    0,
                    "a section begins without its name",
                    "group code 2 should stand here",
                )
                .with_help(SAVE_AGAIN));
            }
            section = Some((group.value, line));
            record = Some(Record {
                kind: "",
                line: group.line,
                groups: Vec::new(),
            });
            continue;
        }
        if group.code != 0 {
            if let Some(record) = &mut record {
                record.groups.push(group);
            }
            continue;
        }
        if let (Some(done), Some((name, _))) = (record.take(), section) {
            keep(&mut found, name, done);
        }
        match (group.value, section) {
            ("SECTION", None) => begins = Some(group.line),
            ("SECTION" | "EOF", Some((name, line))) => {
                let message = format!("the section {} has no end", shown(name));
                return Err(ImportFault::new(line, 0, message, "begins here").with_help(SAVE_AGAIN));
            }
            ("ENDSEC", _) => section = None,
            ("EOF", None) => return Ok(found),
            (kind, Some((name, _))) if matters(name) => {
                record = Some(Record {
                    kind,
                    line: group.line,
                    groups: Vec::new(),
                });
            }
            _ => {}
        }
    }
    if last == 0 {
        return Err(
            ImportFault::new(1, 0, "the drawing is empty", "nothing here")
                .with_help("save it again as DXF (text)"),
        );
    }
    let message = match section {
        Some((name, line)) => format!(
            "the drawing ends inside the section {}, begun in line {line}",
            shown(name)
        ),
        None => "the drawing ends without EOF".to_owned(),
    };
    Err(ImportFault::new(last, 0, message, "the last line").with_help(SAVE_AGAIN))
}

fn matters(section: &str) -> bool {
    matches!(section, "HEADER" | "BLOCKS" | "ENTITIES")
}

fn keep<'t>(sections: &mut Sections<'t>, name: &str, record: Record<'t>) {
    match name {
        "HEADER" => sections.header.push(record),
        "BLOCKS" if !record.kind.is_empty() => sections.blocks.push(record),
        "ENTITIES" if !record.kind.is_empty() => sections.entities.push(record),
        _ => {}
    }
}

impl<'t> Record<'t> {
    /// The first group of this code.
    pub(super) fn group(&self, code: i32) -> Option<&Group<'t>> {
        self.groups.iter().find(|group| group.code == code)
    }

    /// The text of the first group of this code.
    pub(super) fn text(&self, code: i32) -> Option<&'t str> {
        self.group(code).map(|group| group.value)
    }

    /// The number of the first group of this code.
    pub(super) fn number(&self, code: i32) -> Result<Option<f64>, ImportFault> {
        self.group(code).map(Group::number).transpose()
    }

    /// The same, or a number that stands for it where it is left out.
    pub(super) fn number_or(&self, code: i32, default: f64) -> Result<f64, ImportFault> {
        Ok(self.number(code)?.unwrap_or(default))
    }

    /// The same, and a fault where it is left out.
    pub(super) fn required(&self, code: i32, what: &str) -> Result<f64, ImportFault> {
        self.number(code)?.ok_or_else(|| {
            let kind = shown(self.kind);
            self.fault(
                format!("this {kind} does not say {what} (group code {code})"),
                "incomplete",
            )
            .with_help(SAVE_AGAIN)
        })
    }

    /// The whole number of the first group of this code.
    pub(super) fn whole_or(&self, code: i32, default: i64) -> Result<i64, ImportFault> {
        self.group(code).map_or(Ok(default), Group::whole)
    }

    /// A fault of the record as a whole.
    pub(super) fn fault(&self, message: impl Into<String>, label: &str) -> ImportFault {
        ImportFault::new(self.line, 0, message, label)
    }
}

impl Group<'_> {
    /// Its value as a finite number.
    pub(super) fn number(&self) -> Result<f64, ImportFault> {
        match self.value.parse::<f64>() {
            Ok(number) if number.is_finite() => Ok(number),
            Ok(_) => Err(ImportFault::new(
                self.line,
                0,
                format!("{} is no number that can be drawn", shown(self.value)),
                "not a finite number",
            )
            .with_help(
                "delete the thing it belongs to in the program that drew it, or draw it anew",
            )),
            Err(_) => Err(ImportFault::new(
                self.line,
                0,
                format!(
                    "group code {} takes a number, not \"{}\"",
                    self.code,
                    shown(self.value)
                ),
                "no number",
            )
            .with_help(SAVE_AGAIN)),
        }
    }

    /// Its value as a whole number.
    pub(super) fn whole(&self) -> Result<i64, ImportFault> {
        // Some programs write every number with a fraction.
        let (whole, fraction) = self.value.split_once('.').unwrap_or((self.value, ""));
        let plain = if fraction.bytes().all(|digit| digit == b'0') {
            whole
        } else {
            self.value
        };
        plain.parse().map_err(|_| {
            ImportFault::new(
                self.line,
                0,
                format!(
                    "group code {} takes a whole number, not \"{}\"",
                    self.code,
                    shown(self.value)
                ),
                "no whole number",
            )
            .with_help(SAVE_AGAIN)
        })
    }
}
