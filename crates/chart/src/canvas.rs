//! Writes SVG elements: the only place where markup and numbers become text.

use std::fmt::Write as _;

use crate::geometry::Stroke;
use crate::options::{Options, Theme};
use crate::palette::{BAND_OPACITY, DARK, FAN_OPACITY, LIGHT, Palette};
use crate::place::{Anchor, Spot};
use crate::text;

/// Elements in the order they are drawn.
#[derive(Debug, Default)]
pub(crate) struct Canvas {
    out: String,
}

/// A coordinate with one decimal; what is no number or far off is held near the drawing.
pub(crate) fn coordinate(value: f64) -> String {
    let held = if value.is_nan() {
        0.0
    } else {
        value.clamp(-99_999.0, 99_999.0)
    };
    // Adding zero turns -0 into 0.
    let rounded = (held * 10.0).round() / 10.0 + 0.0;
    format!("{rounded}")
}

/// A path through these points.
fn path_data(points: &[(f64, f64)], closed: bool) -> String {
    let mut data = String::new();
    for (i, (x, y)) in points.iter().enumerate() {
        let command = if i == 0 { 'M' } else { 'L' };
        let _ = write!(data, "{command}{} {}", coordinate(*x), coordinate(*y));
    }
    if closed {
        data.push('Z');
    }
    data
}

impl Canvas {
    pub(crate) fn rect(&mut self, class: &str, left: f64, top: f64, width: f64, height: f64) {
        let _ = writeln!(
            self.out,
            r#"<rect class="{class}" x="{}" y="{}" width="{}" height="{}"/>"#,
            coordinate(left),
            coordinate(top),
            coordinate(width.max(0.0)),
            coordinate(height.max(0.0)),
        );
    }

    pub(crate) fn line(&mut self, class: &str, from: (f64, f64), to: (f64, f64)) {
        let _ = writeln!(
            self.out,
            r#"<path class="{class}" d="{}"/>"#,
            path_data(&[from, to], false)
        );
    }

    /// A line through points, or the area within them.
    pub(crate) fn path(&mut self, class: &str, points: &[(f64, f64)], closed: bool) {
        if points.len() > 1 {
            let _ = writeln!(
                self.out,
                r#"<path class="{class}" d="{}"/>"#,
                path_data(points, closed)
            );
        }
    }

    /// Many short lines as one element.
    pub(crate) fn strokes(&mut self, class: &str, strokes: &[Stroke]) {
        if strokes.is_empty() {
            return;
        }
        let data: String = strokes.iter().map(|(a, b)| path_data(&[*a, *b], false)).collect();
        let _ = writeln!(self.out, r#"<path class="{class}" d="{data}"/>"#);
    }

    pub(crate) fn circle(&mut self, class: &str, (x, y): (f64, f64), radius: f64) {
        let _ = writeln!(
            self.out,
            r#"<circle class="{class}" cx="{}" cy="{}" r="{}"/>"#,
            coordinate(x),
            coordinate(y),
            coordinate(radius),
        );
    }

    pub(crate) fn text(&mut self, class: &str, spot: Spot, words: &str) {
        let anchor = match spot.anchor {
            Anchor::Start => "",
            Anchor::Middle => r#" text-anchor="middle""#,
            Anchor::End => r#" text-anchor="end""#,
        };
        let _ = write!(
            self.out,
            r#"<text class="{class}" x="{}" y="{}"{anchor}>"#,
            coordinate(spot.x),
            coordinate(spot.y),
        );
        text::escape(&mut self.out, words);
        self.out.push_str("</text>\n");
    }

    /// One line in two styles, the second where the first ends in the reader's own font.
    pub(crate) fn pair(&mut self, spot: Spot, first: (&str, &str), second: (&str, &str)) {
        let _ = write!(
            self.out,
            r#"<text x="{}" y="{}"><tspan class="{}">"#,
            coordinate(spot.x),
            coordinate(spot.y),
            first.0
        );
        text::escape(&mut self.out, first.1);
        let _ = write!(self.out, r#"</tspan><tspan class="{}" dx="12">"#, second.0);
        text::escape(&mut self.out, second.1);
        self.out.push_str("</tspan></text>\n");
    }

    /// Puts the elements drawn on another canvas after these.
    pub(crate) fn append(&mut self, later: &Self) {
        self.out.push_str(&later.out);
    }
}

/// Sizes of type, CSS pixels.
pub(crate) const TITLE: f64 = 25.0;
/// Heading of a panel.
pub(crate) const HEADING: f64 = 20.0;
/// Words in the drawing.
pub(crate) const LABEL: f64 = 17.0;
/// Numbers of the axes and notes.
pub(crate) const SMALL: f64 = 16.0;

/// The rules of one theme, for everything under the class `root`.
fn rules(out: &mut String, root: &str, p: &Palette) {
    let paint = [
        ("paper", format!("fill:{}", p.paper.css())),
        ("word", format!("fill:{}", p.ink.css())),
        ("note", format!("fill:{}", p.quiet.css())),
        ("wm", format!("fill:{}", p.measured.css())),
        ("we", format!("fill:{}", p.expected.css())),
        ("wc", format!("fill:{}", p.care.css())),
        ("wo", format!("fill:{}", p.other.css())),
        ("halo", format!("stroke:{}", p.paper.css())),
        ("grid", format!("stroke:{}", p.grid.css())),
        ("axis", format!("stroke:{}", p.quiet.css())),
        ("mark", format!("stroke:{}", p.ink.css())),
        ("sm", format!("stroke:{}", p.measured.css())),
        ("se", format!("stroke:{}", p.expected.css())),
        ("sc", format!("stroke:{}", p.care.css())),
        ("so", format!("stroke:{}", p.other.css())),
        ("fm", format!("fill:{}", p.measured.css())),
        ("fe", format!("fill:{}", p.expected.css())),
        ("fc", format!("fill:{}", p.care.css())),
        ("fo", format!("fill:{}", p.other.css())),
        ("open", format!("fill:{}", p.paper.css())),
    ];
    for (class, rule) in paint {
        let _ = writeln!(out, ".{root} .smc-{class}{{{rule}}}");
    }
}

/// The style sheet. Light is the default and what print takes; dark asks for a screen.
fn style(theme: Theme) -> String {
    let mut css = String::new();
    css.push_str(".saltmark-chart text{font-family:sans-serif;font-variant-numeric:tabular-nums}\n");
    for (class, size, weight) in [
        ("title", TITLE, 700),
        ("heading", HEADING, 700),
        ("label", LABEL, 400),
        ("strong", HEADING, 700),
        ("small", SMALL, 400),
    ] {
        let _ = writeln!(
            css,
            ".saltmark-chart .smc-{class}{{font-size:{size}px;font-weight:{weight}}}"
        );
    }
    let _ = write!(
        css,
        ".saltmark-chart path{{fill:none;stroke-linejoin:round}}\n\
         .saltmark-chart .smc-halo{{paint-order:stroke;stroke-width:4px;stroke-linejoin:round}}\n\
         .saltmark-chart .smc-under{{stroke-width:8px}}\n\
         .saltmark-chart .smc-thin{{stroke-width:1px}}\n\
         .saltmark-chart .smc-line{{stroke-width:2px}}\n\
         .saltmark-chart .smc-wide{{stroke-width:3px}}\n\
         .saltmark-chart .smc-dash{{stroke-dasharray:10 6}}\n\
         .saltmark-chart .smc-dots{{stroke-dasharray:2 5}}\n\
         .saltmark-chart .smc-longs{{stroke-dasharray:16 6}}\n\
         .saltmark-chart .smc-mixed{{stroke-dasharray:14 5 3 5}}\n\
         .saltmark-chart .smc-band{{fill-opacity:{BAND_OPACITY};stroke:none}}\n\
         .saltmark-chart .smc-fan{{fill-opacity:{FAN_OPACITY};stroke:none}}\n\
         .saltmark-chart .smc-faint{{stroke-opacity:.55}}\n"
    );
    match theme {
        Theme::Auto => {
            rules(&mut css, "smc-auto", &LIGHT);
            css.push_str("@media screen and (prefers-color-scheme:dark){\n");
            rules(&mut css, "smc-auto", &DARK);
            css.push_str("}\n");
        }
        Theme::Light => rules(&mut css, "smc-light", &LIGHT),
        Theme::Dark => rules(&mut css, "smc-dark", &DARK),
    }
    css
}

/// The whole file.
pub(crate) fn document(
    options: &Options,
    title: &str,
    description: &str,
    height: f64,
    body: &Canvas,
) -> String {
    let (width, id) = (options.width(), options.safe_id());
    let theme = match options.theme {
        Theme::Auto => "smc-auto",
        Theme::Light => "smc-light",
        Theme::Dark => "smc-dark",
    };
    let mut out = String::with_capacity(body.out.len() + 6000);
    let (w, h) = (coordinate(width), coordinate(height.ceil()));
    let _ = write!(
        out,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"saltmark-chart {theme}\" viewBox=\"0 0 {w} {h}\" \
         width=\"{w}\" height=\"{h}\" style=\"max-width:100%;height:auto\" role=\"img\" lang=\"en\" \
         aria-labelledby=\"{id}-title {id}-desc\">\n<title id=\"{id}-title\">"
    );
    text::escape(&mut out, if title.trim().is_empty() { "Chart" } else { title });
    let _ = write!(out, "</title>\n<desc id=\"{id}-desc\">");
    text::escape(&mut out, description);
    let _ = write!(out, "</desc>\n<style>\n{}</style>\n", style(options.theme));
    let mut paper = Canvas::default();
    paper.rect("smc-paper", 0.0, 0.0, width, height.ceil());
    out.push_str(&paper.out);
    out.push_str(&body.out);
    out.push_str("</svg>\n");
    out
}

#[cfg(test)]
mod tests {
    use super::coordinate;

    #[test]
    fn regress_coordinates_are_short_and_always_numbers() {
        assert_eq!(coordinate(1.25), "1.3");
        assert_eq!(coordinate(-0.01), "0");
        assert_eq!(coordinate(f64::NAN), "0");
        assert_eq!(coordinate(f64::NEG_INFINITY), "-99999");
    }
}
