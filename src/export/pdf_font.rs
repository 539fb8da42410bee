//! The typeface inside a PDF: comes in the texts as they are written, goes out an embedded subset of the glyphs used,
//! with the table that turns glyphs back into letters.

use std::collections::BTreeMap;
use std::error::Error;
use std::fmt;

use pdf_writer::types::{CidFontType, FontFlags, SystemInfo, UnicodeCmap};
use pdf_writer::{Filter, Finish, Name, Pdf, Rect, Ref, Str};
use subsetter::GlyphRemapper;

/// The typeface could not be embedded.
#[derive(Debug)]
pub struct FontFault(String);

impl fmt::Display for FontFault {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "the typeface cannot be embedded: {}", self.0)
    }
}

impl Error for FontFault {}

const SYSTEM: SystemInfo<'static> = SystemInfo {
    registry: Str(b"Adobe"),
    ordering: Str(b"Identity"),
    supplement: 0,
};

/// One weight, and which of its glyphs are used.
pub(super) struct Face {
    bytes: &'static [u8],
    parsed: ttf_parser::Face<'static>,
    remapper: GlyphRemapper,
    /// Letter and advance, in thousandths of the size, of every glyph used, by its new number.
    used: BTreeMap<u16, (char, f32)>,
    name: &'static [u8],
}

impl Face {
    pub(super) fn new(bold: bool) -> Result<Self, FontFault> {
        let (bytes, name): (&'static [u8], &'static [u8]) = if bold {
            (notosans::BOLD_TTF, b"SPILEB+NotoSans-Bold")
        } else {
            (notosans::REGULAR_TTF, b"SPILER+NotoSans-Regular")
        };
        let parsed =
            ttf_parser::Face::parse(bytes, 0).map_err(|fault| FontFault(fault.to_string()))?;
        Ok(Self {
            bytes,
            parsed,
            remapper: GlyphRemapper::new(),
            used: BTreeMap::new(),
            name,
        })
    }

    /// The text as the subset's glyphs, two bytes each.
    pub(super) fn glyphs(&mut self, text: &str) -> Vec<u8> {
        let share = self.share();
        let mut out = Vec::with_capacity(2 * text.len());
        for letter in text.chars() {
            let Some(glyph) = self.parsed.glyph_index(letter) else {
                continue;
            };
            let number = self.remapper.remap(glyph.0);
            let advance = f32::from(self.parsed.glyph_hor_advance(glyph).unwrap_or(0));
            self.used.entry(number).or_insert((letter, advance * share));
            out.extend(number.to_be_bytes());
        }
        out
    }

    fn share(&self) -> f32 {
        1000.0 / f32::from(self.parsed.units_per_em())
    }

    pub(super) fn write(
        &self,
        file: &mut Pdf,
        font: Ref,
        fresh: &mut impl FnMut() -> Ref,
    ) -> Result<(), FontFault> {
        let (cid, descriptor, stream, cmap) = (fresh(), fresh(), fresh(), fresh());
        let subset = subsetter::subset(self.bytes, 0, &self.remapper)
            .map_err(|fault| FontFault(fault.to_string()))?;
        let name = Name(self.name);
        file.type0_font(font)
            .base_font(name)
            .encoding_predefined(Name(b"Identity-H"))
            .descendant_font(cid)
            .to_unicode(cmap);
        let mut written = file.cid_font(cid);
        written
            .subtype(CidFontType::Type2)
            .base_font(name)
            .system_info(SYSTEM)
            .font_descriptor(descriptor)
            .default_width(0.0)
            .cid_to_gid_map_predefined(Name(b"Identity"));
        let mut widths = written.widths();
        for (number, (_, advance)) in &self.used {
            widths.consecutive(*number, [*advance]);
        }
        widths.finish();
        written.finish();
        let share = self.share();
        let bounds = self.parsed.global_bounding_box();
        let ascent = f32::from(self.parsed.ascender()) * share;
        let capital = f32::from(self.parsed.capital_height().unwrap_or(0)) * share;
        file.font_descriptor(descriptor)
            .name(name)
            .flags(FontFlags::SYMBOLIC)
            .bbox(Rect::new(
                f32::from(bounds.x_min) * share,
                f32::from(bounds.y_min) * share,
                f32::from(bounds.x_max) * share,
                f32::from(bounds.y_max) * share,
            ))
            .italic_angle(0.0)
            .ascent(ascent)
            .descent(f32::from(self.parsed.descender()) * share)
            .cap_height(capital)
            .stem_v(80.0)
            .font_file2(stream);
        let packed = miniz_oxide::deflate::compress_to_vec_zlib(&subset, 6);
        file.stream(stream, &packed)
            .filter(Filter::FlateDecode)
            .pair(Name(b"Length1"), i32::try_from(subset.len()).unwrap_or(0));
        let mut letters = UnicodeCmap::new(Name(b"SpileLetters"), SYSTEM);
        for (number, (letter, _)) in &self.used {
            letters.pair(*number, *letter);
        }
        file.cmap(cmap, &letters.finish());
        Ok(())
    }
}
