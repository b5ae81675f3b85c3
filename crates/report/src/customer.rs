//! The plain card for a customer who changes cartridges alone: fewer words, larger type, whom to call at the end.

use service::CustomerCard;

use crate::About;
use crate::card::{before, boxed, head, heading, lists, waiting};
use crate::draft::{Block, Draft, Style};
use crate::error::ReportError;
use crate::face::Faces;
use crate::flow::Flow;
use crate::words::Words;

const INDENT: f32 = 46.0;

pub(crate) fn draft(card: &CustomerCard, about: &About<'_>, faces: &Faces) -> Result<Draft, ReportError> {
    let mut flow = Flow::new(faces, about.paper);
    let width = flow.width();
    let name = about.name.unwrap_or(&card.unit);
    let minutes: u32 = card.steps.iter().filter_map(|step| step.minutes).sum();
    let words = Words::of(about.language);
    flow.place(head(
        faces,
        width,
        words.customer_card,
        name,
        words.cartridges,
        &words.counted_plainly(card.steps.len(), minutes),
        about,
    )?);
    before(&mut flow, faces, width, words.before_you_begin, &card.cautions);
    lists(&mut flow, faces, words, &[], &card.parts);
    let mut title = Some(heading(faces, width, words.step_by_step));
    for step in &card.steps {
        let mut block = title.take().unwrap_or_else(|| Block::new(faces));
        if let Some(caution) = &step.caution {
            let texts = [
                (Style::strong(11.5), words.caution),
                (Style::plain(11.5), caution.as_str()),
            ];
            block.append(boxed(faces, INDENT, width - INDENT, &texts));
            block.space(3.0);
        }
        let style = Style::plain(12.5);
        block.tick(0.0, block.height, style);
        block.right(INDENT - 8.0, Style::strong(12.5), &step.n.to_string());
        block.text(INDENT, width - INDENT, style, &step.text);
        if let Some(minutes) = step.minutes {
            block.append(waiting(faces, words, INDENT, minutes));
        }
        block.space(9.0);
        flow.place(block);
    }
    let mut call = heading(faces, width, words.stop_and_call);
    call.append(boxed(
        faces,
        0.0,
        width,
        &[(Style::strong(12.0), card.call.as_str())],
    ));
    for what in words.to_fill_in {
        call.space(26.0);
        call.rule(0.0, width * 0.6, 0.5);
        call.text(0.0, width, Style::grey(9.0), what);
    }
    flow.place(call);
    Ok(flow.finish(&format!("{name}, {}", words.customer_card), words))
}
