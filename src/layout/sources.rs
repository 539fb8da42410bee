//! The files that a layout names, by the names it gives them. Whoever can read files fills it; the stages
//! only look things up, and so work without a file system.

use std::collections::BTreeMap;

/// What stands in the files that a layout names.
///
/// ```
/// use spile::layout::Sources;
/// let mut sources = Sources::default();
/// sources.add("foredeck.svg", b"<svg/>".to_vec());
/// assert_eq!(sources.get("foredeck.svg"), Some(&b"<svg/>"[..]));
/// assert_eq!(sources.get("aft.dxf"), None);
/// ```
#[derive(Debug, Clone, Default)]
pub struct Sources {
    files: BTreeMap<String, Vec<u8>>,
}

impl Sources {
    /// Adds a file, under the name that the layout gives it.
    pub fn add(&mut self, name: impl Into<String>, bytes: Vec<u8>) {
        self.files.insert(name.into(), bytes);
    }

    /// What stands in the file of that name.
    #[must_use]
    pub fn get(&self, name: &str) -> Option<&[u8]> {
        self.files.get(name).map(Vec::as_slice)
    }
}
