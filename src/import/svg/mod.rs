//! SVG as curves. Comes in: the bytes of a file. Goes out: everything that carries an `id` and is a path, with
//! all transformations done, in the user units of the outermost `svg` (the axes of its `viewBox`: x to the
//! right, y down); [`Drawn::unit`] where its width or height is given in a unit that a ruler has.
//!
//! What is hidden, unpainted or only defined counts as much as what is seen: a shape is asked for by its id.
//! Styles do not: one that moves something is refused, not ignored. The work is bounded whatever the file says.

mod path;
mod pen;
mod places;
mod shapes;
mod tree;
mod viewport;

use roxmltree::{Document, ParsingOptions};

use super::{Drawn, ImportFault};
use places::Places;

/// Larger files are refused.
const MOST_BYTES: usize = 64 << 20;
/// Files of more elements, comments and stretches of text are refused.
const MOST_NODES: u32 = 2_000_000;
/// Files whose entities, put in their places, are longer than this are refused.
const MOST_EXPANDED: usize = 16 << 20;

/// Reads an SVG file.
///
/// ```
/// use spile::import::{Piece, svg};
/// let file = br#"<svg xmlns="http://www.w3.org/2000/svg" width="100mm" viewBox="0 0 500 300">
///   <g transform="translate(100 0) scale(2)"><circle id="ring" cx="10" cy="20" r="30"/></g>
/// </svg>"#;
/// let drawn = svg::read(file).expect("a good file");
/// assert_eq!(drawn.unit, Some(0.2));
/// let ring = drawn.with_id("ring").expect("it is there")[0];
/// let Piece::Arc(arc) = ring.pieces[0] else { panic!("a circle stays one") };
/// assert_eq!((arc.centre.x, arc.centre.y, arc.radius), (120.0, 40.0, 60.0));
/// assert!(ring.closed);
/// // What is asked for by a mistaken name is said.
/// let fault = drawn.with_id("rung").expect_err("not there");
/// assert_eq!(fault.help.as_deref(), Some("did you mean \"ring\"?"));
/// ```
///
/// # Errors
/// What keeps the file from being read at all. What is wrong with one thing in it stands in [`Drawn::unread`].
pub fn read(bytes: &[u8]) -> Result<Drawn, ImportFault> {
    if bytes.len() > MOST_BYTES {
        return Err(ImportFault::new(
            0,
            0,
            "the drawing is larger than 64 MiB",
            "too large to read",
        )
        .with_help("leave pictures out of it (link them), and delete what is not needed"));
    }
    let text = text_of(bytes)?;
    let places = Places::of(text);
    check_entities(text, &places)?;
    let options = ParsingOptions {
        allow_dtd: true,
        nodes_limit: MOST_NODES,
        entity_resolver: None,
    };
    let document = Document::parse_with_options(text, options).map_err(|error| {
        use roxmltree::Error::{UnclosedRootNode, UnexpectedEndOfStream};
        match error {
            // The parser gives these no place; they are found at the end.
            UnclosedRootNode | UnexpectedEndOfStream => places
                .fault(
                    text.trim_end().len(),
                    "the drawing ends before its last element does",
                    "ends here",
                )
                .with_help("the file is cut short: save it again as SVG"),
            error => not_well_formed(&error),
        }
    })?;
    tree::things(&document, &places)
}

/// The file as text.
fn text_of(bytes: &[u8]) -> Result<&str, ImportFault> {
    let refused = |message, help: &str| {
        Err(ImportFault::new(0, 0, message, "not an SVG as text").with_help(help))
    };
    if bytes.is_empty() {
        return refused("the drawing is empty", "save it again as SVG");
    }
    if bytes.starts_with(&[0x1F, 0x8B]) {
        return refused(
            "the drawing is a compressed SVG",
            "save it as plain, uncompressed SVG",
        );
    }
    if bytes.starts_with(&[0xFE, 0xFF]) || bytes.starts_with(&[0xFF, 0xFE]) {
        return refused("the drawing is in UTF-16", "save it in UTF-8");
    }
    std::str::from_utf8(bytes).map_err(|error| {
        let read = bytes.get(..error.valid_up_to()).unwrap_or_default();
        let line = 1 + read.iter().filter(|byte| **byte == b'\n').count();
        ImportFault::new(
            line,
            0,
            "the drawing is not text in UTF-8",
            "unreadable from here",
        )
        .with_help("save it as plain SVG in UTF-8")
    })
}

/// Entities that stand for a little text are common in the headings of older files. Entities within entities,
/// or so many that the text would swell, are made to choke a reader.
fn check_entities(text: &str, places: &Places<'_>) -> Result<(), ImportFault> {
    let refused = |at: usize, message: &str| {
        Err(places
            .fault(at, message, "declared here")
            .with_help("save the drawing as plain SVG, which has no entities"))
    };
    let mut longest = 0;
    let mut first = None;
    for (at, _) in text.match_indices("<!ENTITY") {
        first = first.or(Some(at));
        let declaration = &text[at..];
        let value = declaration
            .find(['"', '\''])
            .and_then(|open| {
                let quote = declaration.as_bytes()[open];
                let value = &declaration[open + 1..];
                value.find(char::from(quote)).map(|close| &value[..close])
            })
            .unwrap_or_default();
        if value.contains(['&', '<', '%']) {
            return refused(
                at,
                "an entity of this drawing holds further entities or elements",
            );
        }
        longest = longest.max(value.len());
    }
    let uses = text.bytes().filter(|byte| *byte == b'&').count();
    match first {
        Some(at) if uses.saturating_mul(longest) > MOST_EXPANDED => refused(
            at,
            "the entities of this drawing would swell it beyond all measure",
        ),
        _ => Ok(()),
    }
}

/// What an XML parser found, in our words.
fn not_well_formed(error: &roxmltree::Error) -> ImportFault {
    let at = error.pos();
    let said = error.to_string();
    let place = format!(" at {}:{}", at.row, at.col);
    let said = said.replace(&place, "");
    let number = |value: u32| usize::try_from(value).unwrap_or_default();
    let (line, column) = (number(at.row), number(at.col));
    if matches!(error, roxmltree::Error::NodesLimitReached) {
        return ImportFault::new(
            0,
            0,
            "the drawing holds more than two million elements",
            "too many to read",
        )
        .with_help("keep in it only what is to be taken over");
    }
    ImportFault::new(
        line,
        column,
        format!("the drawing is not well-formed XML: {said}"),
        "here",
    )
    .with_help("the file may be cut short or damaged: save it again as SVG")
}
