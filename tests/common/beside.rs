//! The files beside the demo layouts that they name.

use spile::layout::{Layout, Sources};

/// What a demo layout names, read from beside it.
pub(crate) fn beside(layout: &Layout) -> Sources {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("layouts");
    let mut sources = Sources::default();
    for file in layout.named_files() {
        let name = &file.path.value;
        if let Ok(bytes) = std::fs::read(folder.join(name)) {
            sources.add(name.clone(), bytes);
        }
    }
    sources
}
