//! The few colours, light and dark, and the contrast that they must keep.
//!
//! Text keeps at least 4.5:1 against its background (WCAG 2.2, success criterion 1.4.3) and what carries
//! meaning 3:1 (1.4.11), also where a tint lies under it.

/// A colour of eight bits a channel, sRGB.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Colour {
    /// Red, 0 to 255.
    pub red: u8,
    /// Green, 0 to 255.
    pub green: u8,
    /// Blue, 0 to 255.
    pub blue: u8,
}

impl Colour {
    const fn new(red: u8, green: u8, blue: u8) -> Self {
        Self { red, green, blue }
    }

    /// As CSS writes it: `#rrggbb`.
    pub fn css(self) -> String {
        format!("#{:02x}{:02x}{:02x}", self.red, self.green, self.blue)
    }

    /// Relative luminance, 0 (black) to 1 (white): WCAG 2.2, "relative luminance".
    pub fn luminance(self) -> f64 {
        let channel = |byte: u8| {
            let c = f64::from(byte) / 255.0;
            if c <= 0.040_45 {
                c / 12.92
            } else {
                ((c + 0.055) / 1.055).powf(2.4)
            }
        };
        0.2126 * channel(self.red) + 0.7152 * channel(self.green) + 0.0722 * channel(self.blue)
    }

    /// Contrast ratio, 1 to 21: WCAG 2.2, "contrast ratio".
    pub fn contrast(self, other: Self) -> f64 {
        let (a, b) = (self.luminance(), other.luminance());
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }

    /// This colour laid over another with an opacity of 0 to 1, mixed as browsers mix it (in sRGB).
    #[must_use]
    pub fn over(self, below: Self, opacity: f64) -> Self {
        let mix = |a: u8, b: u8| {
            let value = f64::from(a) * opacity + f64::from(b) * (1.0 - opacity);
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "the value is clamped to a byte"
            )]
            let byte = value.round().clamp(0.0, 255.0) as u8;
            byte
        };
        Self {
            red: mix(self.red, below.red),
            green: mix(self.green, below.green),
            blue: mix(self.blue, below.blue),
        }
    }
}

/// The colours of one theme.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Palette {
    /// Behind everything.
    pub paper: Colour,
    /// Words, axes and changes.
    pub ink: Colour,
    /// Less urgent words.
    pub quiet: Colour,
    /// Grid lines; they only guide the eye and carry nothing.
    pub grid: Colour,
    /// What was measured: readings and the baseline.
    pub measured: Colour,
    /// What is expected: forecast and due range.
    pub expected: Colour,
    /// What asks for care: limits and doubts.
    pub care: Colour,
    /// A fourth, for line charts.
    pub other: Colour,
}

/// Opacity of the baseline's band.
pub const BAND_OPACITY: f64 = 0.1;
/// Opacity of the forecast's fan and of a shaded need.
pub const FAN_OPACITY: f64 = 0.14;

/// On white paper and bright screens.
pub const LIGHT: Palette = Palette {
    paper: Colour::new(0xff, 0xff, 0xff),
    ink: Colour::new(0x1a, 0x1f, 0x24),
    quiet: Colour::new(0x4a, 0x54, 0x5e),
    grid: Colour::new(0xdd, 0xe2, 0xe6),
    measured: Colour::new(0x0b, 0x4f, 0x8f),
    expected: Colour::new(0x06, 0x5c, 0x41),
    care: Colour::new(0x9c, 0x28, 0x08),
    other: Colour::new(0x62, 0x35, 0x94),
};

/// On dark screens.
pub const DARK: Palette = Palette {
    paper: Colour::new(0x12, 0x17, 0x1b),
    ink: Colour::new(0xf2, 0xf4, 0xf5),
    quiet: Colour::new(0xb9, 0xc2, 0xca),
    grid: Colour::new(0x33, 0x3c, 0x44),
    measured: Colour::new(0x86, 0xbd, 0xf5),
    expected: Colour::new(0x6c, 0xd3, 0xab),
    care: Colour::new(0xff, 0xa1, 0x7d),
    other: Colour::new(0xcb, 0xab, 0xff),
};

#[cfg(test)]
mod tests {
    use super::{BAND_OPACITY, Colour, DARK, FAN_OPACITY, LIGHT, Palette};

    /// Everything that a word or a mark may lie on.
    fn grounds(p: &Palette) -> Vec<Colour> {
        // A need or a forecast first, then a baseline or a line's band over it.
        let mut grounds = vec![p.paper];
        for below in [p.paper, p.expected.over(p.paper, FAN_OPACITY)] {
            grounds.push(p.measured.over(below, BAND_OPACITY));
            grounds.extend([p.measured, p.expected, p.other].map(|tint| tint.over(below, FAN_OPACITY)));
        }
        grounds
    }

    #[test]
    fn val_contrast_ratio_of_known_pairs() {
        // WCAG 2.2: black on white is 21:1. #767676 on white is 4.54:1, the lightest grey that passes 1.4.3
        // (W3C, Understanding WCAG 2.2, technique G18 and common tables); two digits are published.
        let white = Colour::new(255, 255, 255);
        assert!((Colour::new(0, 0, 0).contrast(white) - 21.0).abs() < 1e-9); // exact by definition
        assert!((Colour::new(0x76, 0x76, 0x76).contrast(white) - 4.54).abs() < 0.005); // rounding of the table
        assert!((white.contrast(white) - 1.0).abs() < 1e-12); // exact by definition
    }

    #[test]
    fn val_text_and_marks_keep_wcag_contrast() {
        // WCAG 2.2, 1.4.3 (text 4.5:1) and 1.4.11 (graphical objects 3:1).
        for palette in [LIGHT, DARK] {
            for ground in grounds(&palette) {
                for text in [
                    palette.ink,
                    palette.quiet,
                    palette.measured,
                    palette.expected,
                    palette.care,
                    palette.other,
                ] {
                    let ratio = text.contrast(ground);
                    assert!(ratio >= 4.5, "{} on {}: {ratio:.2}", text.css(), ground.css());
                }
            }
        }
    }
}
