//! A draft as PDF: text stays text, tagged in reading order; the same draft gives the same bytes.

use std::num::NonZeroU16;

use krilla::color::rgb;
use krilla::geom::{Path, PathBuilder, Point, Rect};
use krilla::metadata::Metadata;
use krilla::num::NormalizedF32;
use krilla::page::PageSettings;
use krilla::paint::{Fill, FillRule, Stroke};
use krilla::surface::Surface;
use krilla::tagging::{Artifact, ArtifactType, ContentTag, SpanTag, Tag, TagGroup, TagTree};
use krilla::{Document, SerializeSettings};

use crate::code::Code;
use crate::draft::{Draft, Mark, Role, Shade};
use crate::error::ReportError;
use crate::face::Faces;

/// The document as bytes.
pub(crate) fn print(draft: &Draft, faces: &Faces) -> Result<Vec<u8>, ReportError> {
    let mut document = Document::new_with(SerializeSettings::default());
    let mut tree = TagTree::new().with_lang(Some(draft.language.to_owned()));
    for leaf in &draft.leaves {
        let settings = PageSettings::from_wh(draft.size.0, draft.size.1)
            .ok_or_else(|| ReportError::Pdf("the page has no size".to_owned()))?;
        let mut page = document.start_page_with(settings);
        let mut surface = page.surface();
        for mark in leaf {
            if let Some(group) = draw(&mut surface, mark, faces) {
                tree.push(group);
            }
        }
        surface.finish();
        page.finish();
    }
    document.set_tag_tree(tree);
    document.set_metadata(
        Metadata::new()
            .title(draft.title.clone())
            .language(draft.language.to_owned())
            .creator("Saltmark".to_owned()),
    );
    document
        .finish()
        .map_err(|error| ReportError::Pdf(format!("{error:?}")))
}

fn draw(surface: &mut Surface<'_>, mark: &Mark, faces: &Faces) -> Option<TagGroup> {
    match mark {
        Mark::Text {
            role,
            weight,
            size,
            shade,
            lines,
        } => {
            let level = |level: u16| NonZeroU16::new(level).unwrap_or(NonZeroU16::MIN);
            let whole = || {
                lines
                    .iter()
                    .map(|line| line.2.as_str())
                    .collect::<Vec<_>>()
                    .join(" ")
            };
            let group = match role {
                Role::Title => Some(TagGroup::new(Tag::Hn(level(1), Some(whole())))),
                Role::Heading => Some(TagGroup::new(Tag::Hn(level(2), Some(whole())))),
                Role::Text => Some(TagGroup::new(Tag::P)),
                Role::Furniture => None,
            };
            let tag = match role {
                Role::Furniture => artifact(ArtifactType::Footer),
                _ => ContentTag::Span(SpanTag::empty()),
            };
            let identifier = surface.start_tagged(tag);
            surface.set_stroke(None);
            surface.set_fill(Some(fill(*shade)));
            for (x, y, line) in lines {
                surface.draw_glyphs(
                    Point::from_xy(*x, *y),
                    &faces.glyphs(*weight, line),
                    faces.font(*weight),
                    line,
                    *size,
                    false,
                );
            }
            surface.end_tagged();
            group.map(|mut group| {
                group.push(identifier);
                group
            })
        }
        Mark::Filled { x, y, w, h, shade } => decoration(surface, rectangle(*x, *y, *w, *h), *shade, None),
        Mark::Framed { x, y, w, h, line } => {
            decoration(surface, rectangle(*x, *y, *w, *h), Shade::Black, Some(*line))
        }
        Mark::Rule { x, y, w, line } => decoration(
            surface,
            rectangle(*x, y - line / 2.0, *w, *line),
            Shade::Black,
            None,
        ),
        Mark::Code {
            x,
            y,
            side,
            code,
            says,
        } => {
            let mut group = TagGroup::new(Tag::Figure(Some(format!("QR code of {says}"))));
            let identifier = surface.start_tagged(ContentTag::Other);
            surface.set_stroke(None);
            surface.set_fill(Some(fill(Shade::Black)));
            if let Some(path) = squares(*x, *y, *side, code) {
                surface.draw_path(&path);
            }
            surface.end_tagged();
            group.push(identifier);
            Some(group)
        }
    }
}

fn decoration(
    surface: &mut Surface<'_>,
    path: Option<Path>,
    shade: Shade,
    line: Option<f32>,
) -> Option<TagGroup> {
    let path = path?;
    // What only decorates belongs to nobody's reading order.
    let _artifact = surface.start_tagged(artifact(ArtifactType::Layout));
    match line {
        Some(width) => {
            surface.set_fill(None);
            surface.set_stroke(Some(Stroke {
                paint: colour(shade).into(),
                width,
                ..Stroke::default()
            }));
        }
        None => {
            surface.set_stroke(None);
            surface.set_fill(Some(fill(shade)));
        }
    }
    surface.draw_path(&path);
    surface.end_tagged();
    None
}

fn artifact(kind: ArtifactType) -> ContentTag<'static> {
    ContentTag::Artifact(Artifact::with_kind(kind))
}

fn rectangle(x: f32, y: f32, w: f32, h: f32) -> Option<Path> {
    let mut path = PathBuilder::new();
    path.push_rect(Rect::from_xywh(x, y, w, h)?);
    path.finish()
}

fn squares(x: f32, y: f32, side: f32, code: &Code) -> Option<Path> {
    let module = side / code.width as f32;
    let mut path = PathBuilder::new();
    for (row, column, length) in code.runs() {
        let (left, top) = (x + column as f32 * module, y + row as f32 * module);
        path.push_rect(Rect::from_xywh(left, top, length as f32 * module, module)?);
    }
    path.finish()
}

fn colour(shade: Shade) -> rgb::Color {
    match shade {
        Shade::Black => rgb::Color::new(0, 0, 0),
        Shade::Grey => rgb::Color::new(0x48, 0x48, 0x48),
        Shade::Pale => rgb::Color::new(0xec, 0xec, 0xec),
    }
}

fn fill(shade: Shade) -> Fill {
    Fill {
        paint: colour(shade).into(),
        opacity: NormalizedF32::ONE,
        rule: FillRule::NonZero,
    }
}
