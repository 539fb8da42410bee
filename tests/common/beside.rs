//! The drawings beside the demo layouts.

use spile::layout::{Layout, Sources};

/// What a demo layout names, read from beside it.
pub(crate) fn beside(layout: &Layout) -> Sources {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("layouts");
    let mut sources = Sources::default();
    for drawing in &layout.drawings {
        let name = &drawing.file.value;
        if let Ok(bytes) = std::fs::read(folder.join(name)) {
            sources.add(name.clone(), bytes);
        }
    }
    sources
}
