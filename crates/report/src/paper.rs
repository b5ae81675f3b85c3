//! Papers and their sizes, in PostScript points (1/72 inch).

/// Points in a millimetre.
pub(crate) const MM: f32 = 72.0 / 25.4;

/// A paper to print on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Paper {
    /// 210 x 297 mm (ISO 216).
    A4,
    /// 8.5 x 11 in (ANSI Y14.1).
    Letter,
}

impl Paper {
    /// Its name in options.
    pub fn name(self) -> &'static str {
        match self {
            Self::A4 => "a4",
            Self::Letter => "letter",
        }
    }

    /// The paper of this name.
    pub fn from_name(name: &str) -> Option<Self> {
        [Self::A4, Self::Letter]
            .into_iter()
            .find(|paper| paper.name() == name)
    }

    /// Width and height, points.
    pub(crate) fn size_pt(self) -> (f32, f32) {
        match self {
            Self::A4 => (210.0 * MM, 297.0 * MM),
            Self::Letter => (612.0, 792.0),
        }
    }
}
