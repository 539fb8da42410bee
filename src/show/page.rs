//! The page itself: its files as they stand in `page/`, carried in the program, each with its type.

/// A file of the page.
#[derive(Debug, Clone, Copy)]
pub(super) struct PageFile {
    pub(super) name: &'static str,
    pub(super) mime: &'static str,
    pub(super) text: &'static str,
}

const SCRIPT: &str = "text/javascript; charset=utf-8";

macro_rules! file {
    ($name:literal, $mime:expr) => {
        PageFile {
            name: $name,
            mime: $mime,
            text: include_str!(concat!("page/", $name)),
        }
    };
}

/// All of them; the first stands at the address itself.
const FILES: [PageFile; 15] = [
    file!("index.html", "text/html; charset=utf-8"),
    file!("page.css", "text/css; charset=utf-8"),
    file!("main.js", SCRIPT),
    file!("anew.js", SCRIPT),
    file!("asking.js", SCRIPT),
    file!("state.js", SCRIPT),
    file!("board.js", SCRIPT),
    file!("hands.js", SCRIPT),
    file!("panels.js", SCRIPT),
    file!("form.js", SCRIPT),
    file!("outputs.js", SCRIPT),
    file!("beginning.js", SCRIPT),
    file!("dom.js", SCRIPT),
    file!("lengths.js", SCRIPT),
    file!("icon.svg", "image/svg+xml"),
];

/// A file of the page by its number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Name(usize);

impl Name {
    pub(super) const fn file(self) -> PageFile {
        FILES[self.0]
    }
}

/// The file of this name.
pub(super) fn named(name: &str) -> Option<Name> {
    let name = if name.is_empty() { FILES[0].name } else { name };
    FILES.iter().position(|file| file.name == name).map(Name)
}
