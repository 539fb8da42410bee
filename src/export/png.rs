//! An SVG as PNG, drawn with the program's own font only, its resolution noted in the file so that it
//! prints at size.

use std::fmt;
use std::sync::Arc;

use resvg::tiny_skia::{Color, Pixmap, Transform};
use resvg::usvg::{Options, Tree};

use super::font;

/// CSS pixels an inch, in which usvg gives sizes.
const CSS_PIXELS_PER_INCH: f64 = 96.0;
/// Past this a picture is a mistake in the resolution: 100 million pixels, 400 MB of memory.
const MOST_PIXELS: f64 = 1.0e8;

/// Why there is no PNG.
#[derive(Debug, Clone, PartialEq)]
pub enum PngFault {
    /// The SVG could not be read.
    Svg(String),
    /// The resolution gives no picture or one that is far too large.
    Resolution {
        /// Dots per inch asked for.
        dots_per_inch: f64,
        /// The most that this sheet can be drawn with.
        most: f64,
    },
    /// The bytes could not be written.
    Encoding(String),
}

impl fmt::Display for PngFault {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Svg(why) => write!(formatter, "the drawing could not be read back: {why}"),
            Self::Resolution {
                dots_per_inch,
                most,
            } => write!(
                formatter,
                "{dots_per_inch} dots per inch is not a resolution for this sheet; give 10 to {most:.0}"
            ),
            Self::Encoding(why) => write!(formatter, "the picture could not be encoded: {why}"),
        }
    }
}

impl std::error::Error for PngFault {}

/// The picture of an SVG at `dots_per_inch`, on white.
///
/// # Errors
/// Where the SVG cannot be read, or the resolution is out of all measure.
pub fn png(svg: &str, dots_per_inch: f64) -> Result<Vec<u8>, PngFault> {
    let options = Options {
        fontdb: Arc::new(font::database()),
        font_family: "Noto Sans".to_owned(),
        ..Options::default()
    };
    let tree = Tree::from_str(svg, &options).map_err(|fault| PngFault::Svg(fault.to_string()))?;
    let (width, height) = (
        f64::from(tree.size().width()),
        f64::from(tree.size().height()),
    );
    let most = (MOST_PIXELS / (width * height)).sqrt() * CSS_PIXELS_PER_INCH;
    let fault = PngFault::Resolution {
        dots_per_inch,
        most: most.floor(),
    };
    if !(dots_per_inch >= 10.0 && dots_per_inch <= most) {
        return Err(fault);
    }
    let zoom = dots_per_inch / CSS_PIXELS_PER_INCH;
    let mut pixels =
        Pixmap::new(whole(width * zoom), whole(height * zoom)).ok_or_else(|| fault.clone())?;
    pixels.fill(Color::WHITE);
    #[expect(
        clippy::cast_possible_truncation,
        reason = "the renderer works in f32; a zoom needs no more"
    )]
    let zoom = zoom as f32;
    resvg::render(
        &tree,
        Transform::from_scale(zoom, zoom),
        &mut pixels.as_mut(),
    );
    let bytes = pixels
        .encode_png()
        .map_err(|fault| PngFault::Encoding(fault.to_string()))?;
    Ok(with_resolution(&bytes, dots_per_inch))
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "checked against MOST_PIXELS before; `as` saturates"
)]
fn whole(value: f64) -> u32 {
    value.round().max(1.0) as u32
}

/// Puts a pHYs chunk (PNG specification 11.3.5.3: pixels per unit, the metre) behind the header chunk.
fn with_resolution(png: &[u8], dots_per_inch: f64) -> Vec<u8> {
    /// Signature of 8 bytes, then IHDR: 4 + 4 + 13 + 4.
    const HEADER: usize = 33;
    let Some((header, rest)) = png.split_at_checked(HEADER) else {
        return png.to_vec();
    };
    let per_metre = whole(dots_per_inch / 0.0254).to_be_bytes();
    let mut chunk = b"pHYs".to_vec();
    chunk.extend_from_slice(&per_metre);
    chunk.extend_from_slice(&per_metre);
    chunk.push(1);
    let mut out = header.to_vec();
    out.extend_from_slice(&9_u32.to_be_bytes());
    out.extend_from_slice(&chunk);
    out.extend_from_slice(&crc32(&chunk).to_be_bytes());
    out.extend_from_slice(rest);
    out
}

/// CRC-32 as PNG uses it (PNG specification, annex D).
fn crc32(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(u32::MAX, |crc, &byte| {
        (0..8).fold(crc ^ u32::from(byte), |crc, _| {
            (crc >> 1) ^ (0xedb8_8320 & 0_u32.wrapping_sub(crc & 1))
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_checksum_is_that_of_the_specification() {
        // The end chunk of every PNG: type IEND, no data, CRC AE 42 60 82.
        assert_eq!(crc32(b"IEND"), 0xae42_6082);
    }

    #[test]
    fn a_resolution_out_of_all_measure_is_refused() {
        let svg = "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"1189mm\" height=\"841mm\"/>";
        assert!(matches!(png(svg, 1.0e6), Err(PngFault::Resolution { .. })));
        assert!(matches!(
            png(svg, f64::NAN),
            Err(PngFault::Resolution { .. })
        ));
    }
}
