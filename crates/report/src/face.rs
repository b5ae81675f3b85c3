//! The two faces of text, their widths, and lines broken between words.
//!
//! Fira Sans, unmodified, under the SIL Open Font License 1.1 (`fonts/LICENSE-OFL.txt`). Glyphs are set without kerning, so
//! that what is measured is what is drawn.

use krilla::text::{Font, GlyphId, KrillaGlyph};
use skrifa::instance::{LocationRef, Size};
use skrifa::{FontRef, MetadataProvider};

use crate::error::ReportError;

const PLAIN: &[u8] = include_bytes!("../fonts/FiraSans-Regular.ttf");
const STRONG: &[u8] = include_bytes!("../fonts/FiraSans-SemiBold.ttf");

/// How heavy text is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Weight {
    Plain,
    Strong,
}

struct Face {
    metrics: FontRef<'static>,
    font: Font,
    units_per_em: f32,
}

/// Both faces.
pub(crate) struct Faces {
    plain: Face,
    strong: Face,
}

impl Face {
    fn load(bytes: &'static [u8]) -> Result<Self, ReportError> {
        let broken = || ReportError::Pdf("the font that is built in cannot be read".to_owned());
        let font = Font::new(bytes.into(), 0).ok_or_else(broken)?;
        Ok(Self {
            metrics: FontRef::new(bytes).map_err(|_| broken())?,
            units_per_em: font.units_per_em(),
            font,
        })
    }
}

impl Faces {
    pub(crate) fn load() -> Result<Self, ReportError> {
        Ok(Self {
            plain: Face::load(PLAIN)?,
            strong: Face::load(STRONG)?,
        })
    }

    fn face(&self, weight: Weight) -> &Face {
        match weight {
            Weight::Plain => &self.plain,
            Weight::Strong => &self.strong,
        }
    }

    pub(crate) fn font(&self, weight: Weight) -> Font {
        self.face(weight).font.clone()
    }

    /// The glyphs of a line, with widths as shares of the size. A character that the face lacks shows as an empty frame.
    pub(crate) fn glyphs(&self, weight: Weight, text: &str) -> Vec<KrillaGlyph> {
        let face = self.face(weight);
        let charmap = face.metrics.charmap();
        let widths = face
            .metrics
            .glyph_metrics(Size::unscaled(), LocationRef::default());
        text.char_indices()
            .map(|(at, character)| {
                let glyph = charmap.map(character).unwrap_or_default();
                let width = widths.advance_width(glyph).unwrap_or(face.units_per_em / 2.0);
                KrillaGlyph::new(
                    GlyphId::new(glyph.to_u32()),
                    width / face.units_per_em,
                    0.0,
                    0.0,
                    0.0,
                    at..at + character.len_utf8(),
                    None,
                )
            })
            .collect()
    }

    /// Width of a line, points.
    pub(crate) fn width(&self, weight: Weight, size: f32, text: &str) -> f32 {
        self.glyphs(weight, text)
            .iter()
            .map(|glyph| glyph.x_advance)
            .sum::<f32>()
            * size
    }

    /// The text in lines of at most this width. A word that is wider than a line is broken where the line is full,
    /// an address after a `/`.
    pub(crate) fn lines(&self, weight: Weight, size: f32, width: f32, text: &str) -> Vec<String> {
        let mut lines = Vec::new();
        let mut line = String::new();
        for word in text.split_whitespace() {
            let tried = if line.is_empty() {
                word.to_owned()
            } else {
                format!("{line} {word}")
            };
            if self.width(weight, size, &tried) <= width {
                line = tried;
                continue;
            }
            if !line.is_empty() {
                lines.push(std::mem::take(&mut line));
            }
            for character in word.chars() {
                line.push(character);
                if self.width(weight, size, &line) > width && line.chars().count() > 1 {
                    line.pop();
                    let cut = line.rfind('/').map_or(line.len(), |at| at + 1);
                    let mut rest = line.split_off(cut);
                    rest.push(character);
                    lines.push(std::mem::replace(&mut line, rest));
                }
            }
        }
        if !line.is_empty() {
            lines.push(line);
        }
        lines
    }
}
