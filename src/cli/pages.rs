//! Pages as files: one PDF of all, or a picture a page.

use std::path::Path;

use super::sheet::Format;
use super::{Status, Stop};
use crate::drawing::Drawing;
use crate::export::files::NewFile;
use crate::export::{PngFault, pdf, png, svg};

/// Resolution of a page's picture, dots per inch.
const DPI: f64 = 150.0;

/// One PDF, or a file a page, with its number in the name where there are several.
pub(super) fn files(out: &Path, format: Format, pages: &[Drawing]) -> Result<Vec<NewFile>, Stop> {
    if format == Format::Pdf {
        let title = pages.first().map_or("", |page| page.title.as_str());
        let bytes = pdf(title, pages).map_err(|fault| Status::Usage.with(fault.to_string()))?;
        return Ok(vec![NewFile::new(out, bytes)]);
    }
    let stem = out.file_stem().unwrap_or_default().to_string_lossy();
    let extension = out.extension().unwrap_or_default().to_string_lossy();
    pages
        .iter()
        .zip(1..)
        .map(|(page, number)| {
            let path = match pages {
                [_] => out.to_owned(),
                _ => out.with_file_name(format!("{stem}-{number}.{extension}")),
            };
            let svg = svg(page);
            let bytes = match format {
                Format::Png => {
                    picture(&svg).map_err(|fault| Status::Usage.with(fault.to_string()))?
                }
                Format::Svg | Format::Pdf => svg.into_bytes(),
            };
            Ok(NewFile::new(path, bytes))
        })
        .collect()
}

/// A page of a roll may be too large for a picture of the usual resolution: then it has the finest there is.
fn picture(svg: &str) -> Result<Vec<u8>, PngFault> {
    match png(svg, DPI) {
        Err(PngFault::Resolution { most, .. }) => png(svg, most),
        picture => picture,
    }
}
