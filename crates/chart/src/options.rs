//! Size, theme, time zone and words of a picture.

use jiff::tz::TimeZone;

use crate::text;
use crate::words::Words;

/// Width that suits a desk or a printed page, in CSS pixels.
pub const DESK_PX: f64 = 920.0;
/// Width that suits a telephone held upright, in CSS pixels.
pub const PHONE_PX: f64 = 390.0;

/// Light or dark.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Theme {
    /// Light in print and by default, dark on a screen whose owner prefers dark.
    #[default]
    Auto,
    /// Light everywhere.
    Light,
    /// Dark everywhere, also in print.
    Dark,
}

/// How a picture is drawn. The type keeps its size whatever the width: a narrow picture has fewer ticks, not
/// smaller ones. So a page offers a picture of [`PHONE_PX`] to a telephone and one of [`DESK_PX`] to a desk.
#[derive(Clone, Debug, PartialEq)]
pub struct Options {
    /// Width of the drawing, CSS pixels; held to 320 to 2000. The height follows from the content.
    pub width_px: f64,
    /// Light or dark.
    pub theme: Theme,
    /// Prefix of the element ids, to be unique in a page with several pictures; letters, digits, `-` and `_`
    /// are kept. Default `chart`.
    pub id: String,
    /// Zone whose days and months the time axis shows. Default UTC.
    pub time_zone: TimeZone,
    /// The words that it puts in by itself. Default English.
    pub words: Words,
}

impl Default for Options {
    fn default() -> Self {
        Self {
            width_px: DESK_PX,
            theme: Theme::Auto,
            id: "chart".to_owned(),
            time_zone: TimeZone::UTC,
            words: Words::default(),
        }
    }
}

impl Options {
    /// The default at another width, CSS pixels.
    pub fn wide(width_px: f64) -> Self {
        Self {
            width_px,
            ..Self::default()
        }
    }

    /// The width that is really used.
    pub(crate) fn width(&self) -> f64 {
        if self.width_px.is_nan() {
            DESK_PX
        } else {
            self.width_px.clamp(320.0, 2000.0).round()
        }
    }

    /// Whether lines of text are short.
    pub(crate) fn narrow(&self) -> bool {
        self.width() < 600.0
    }

    /// The id prefix with nothing in it that an XML name may not hold.
    pub(crate) fn safe_id(&self) -> String {
        text::xml_name(&self.id, "chart")
    }
}
