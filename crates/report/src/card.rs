//! The job card on paper: cautions first, what to carry, the steps with boxes to tick, the proof, the signatures.

use service::{JobCard, PartToCarry, ReadingToTake, Step};

use crate::About;
use crate::code::code;
use crate::draft::{Block, Draft, Mark, Role, Shade, Style};
use crate::error::ReportError;
use crate::face::Faces;
use crate::flow::Flow;
use crate::paper::MM;
use crate::words::{self, Words};

/// Where a step's words begin: after its box and number.
const INDENT: f32 = 40.0;

pub(crate) fn draft(card: &JobCard, about: &About<'_>, faces: &Faces) -> Result<Draft, ReportError> {
    let mut flow = Flow::new(faces, about.paper);
    let width = flow.width();
    let words = Words::of(about.language);
    let waiting: u32 = card.steps.iter().filter_map(|step| step.minutes).sum();
    let name = about.name.unwrap_or(&card.unit);
    flow.place(head(
        faces,
        width,
        words.job_card,
        name,
        &words.works(&card.work),
        &words.counted(card.steps.len(), waiting),
        about,
    )?);
    before(&mut flow, faces, width, words.before_you_begin, &card.cautions);
    lists(&mut flow, faces, words, &card.tools, &card.parts);
    steps(&mut flow, faces, words, card);
    proof(&mut flow, faces, words, &card.readings_to_take);
    flow.place(signatures(faces, words, width));
    Ok(flow.finish(&format!("{name}, {}", words.job_card), words))
}

/// What kind of card, which unit, which work; at the right the code of the unit's address.
pub(crate) fn head<'f>(
    faces: &'f Faces,
    width: f32,
    kind: &str,
    name: &str,
    work: &str,
    counted: &str,
    about: &About<'_>,
) -> Result<Block<'f>, ReportError> {
    let mut block = Block::new(faces);
    let side = 27.0 * MM;
    let mut room = width;
    let mut least = 0.0;
    if let Some(address) = about.address {
        room = width - side - 14.0;
        block.marks.push(Mark::Code {
            x: width - side,
            y: 0.0,
            side,
            code: code(address)?,
            says: address.to_owned(),
        });
        let mut under = Block::new(faces);
        under.space(side + 3.0);
        under.text(width - side, side, Style::grey(6.5), address);
        least = under.height;
        block.marks.extend(under.marks);
    }
    block.text(0.0, room, Style::grey(10.0), kind);
    block.paragraph(Role::Title, 0.0, room, Style::strong(21.0), name);
    block.text(0.0, room, Style::strong(12.5), work);
    block.text(0.0, room, Style::grey(10.0), counted);
    block.space(4.0);
    let words = Words::of(about.language);
    let given = [(words.site, about.site), (words.date, about.date)];
    for (what, value) in given {
        if let Some(value) = value {
            block.text(0.0, room, Style::plain(10.0), &format!("{what}: {value}"));
        }
    }
    block.height = block.height.max(least);
    block.space(8.0);
    Ok(block)
}

pub(crate) fn heading<'f>(faces: &'f Faces, width: f32, text: &str) -> Block<'f> {
    let mut block = Block::new(faces);
    block.space(9.0);
    block.paragraph(Role::Heading, 0.0, width, Style::strong(13.0), text);
    block.space(1.5);
    block.rule(0.0, width, 0.8);
    block.space(5.0);
    block
}

/// The cautions on a pale ground with a black bar, in type as large as the steps'.
pub(crate) fn before<'f>(
    flow: &mut Flow<'f>,
    faces: &'f Faces,
    width: f32,
    title: &str,
    cautions: &[String],
) {
    let mut waiting = Some(heading(faces, width, title));
    for caution in cautions {
        let mut block = waiting.take().unwrap_or_else(|| Block::new(faces));
        block.append(boxed(
            faces,
            0.0,
            width,
            &[(Style::plain(10.5), caution.as_str())],
        ));
        block.space(3.0);
        flow.place(block);
    }
}

/// Text on a pale ground with a black bar at its left.
pub(crate) fn boxed<'f>(faces: &'f Faces, x: f32, width: f32, texts: &[(Style, &str)]) -> Block<'f> {
    let mut block = Block::new(faces);
    block.space(3.0);
    for (style, text) in texts {
        block.text(x + 11.0, width - 17.0, *style, text);
    }
    block.space(3.0);
    let h = block.height;
    let ground = |x, w, shade| Mark::Filled {
        x,
        y: 0.0,
        w,
        h,
        shade,
    };
    block.marks.insert(0, ground(x, width, Shade::Pale));
    block.marks.insert(1, ground(x, 4.0, Shade::Black));
    block
}

/// Tools and parts, each with a box.
pub(crate) fn lists<'f>(
    flow: &mut Flow<'f>,
    faces: &'f Faces,
    words: &Words,
    tools: &[String],
    parts: &[PartToCarry],
) {
    let width = flow.width();
    let style = Style::plain(10.5);
    let parts: Vec<String> = parts
        .iter()
        .map(|part| words.carried(part.count, &part.what, &part.id))
        .collect();
    for (title, items) in [(words.at_hand, tools), (words.carry, &parts)] {
        let mut waiting = Some(heading(faces, width, title));
        for item in items {
            let mut block = waiting.take().unwrap_or_else(|| Block::new(faces));
            let top = block.text(18.0, width - 18.0, style, item);
            block.tick(0.0, top, style);
            block.space(2.0);
            flow.place(block);
        }
    }
}

fn steps<'f>(flow: &mut Flow<'f>, faces: &'f Faces, words: &Words, card: &JobCard) {
    let width = flow.width();
    let mut phase = None;
    for (index, step) in card.steps.iter().enumerate() {
        let title = words.phase(step.phase);
        let mut block = Block::new(faces);
        if phase != Some(title) {
            block.append(heading(faces, width, title));
            phase = Some(title);
        }
        block.append(one_step(faces, words, width, step));
        let empty = |index: usize| card.pressurised_after.get(index).is_some_and(Vec::is_empty);
        if empty(index) && index.checked_sub(1).is_none_or(|before| !empty(before)) {
            block.text(INDENT, width - INDENT, Style::strong(10.5), words.relieved);
        }
        block.space(7.0);
        flow.place(block);
    }
}

fn one_step<'f>(faces: &'f Faces, words: &Words, width: f32, step: &Step) -> Block<'f> {
    let mut block = Block::new(faces);
    let room = width - INDENT;
    if let Some(caution) = &step.caution {
        let texts = [
            (Style::strong(10.5), words.caution),
            (Style::plain(10.5), caution.as_str()),
        ];
        block.append(boxed(faces, INDENT, room, &texts));
        block.space(3.0);
    }
    let style = Style::strong(11.0);
    block.tick(0.0, block.height, style);
    block.right(INDENT - 6.0, style, &step.n.to_string());
    block.text(INDENT, room, style, &step.text);
    if let Some(check) = &step.check {
        block.text(
            INDENT,
            room,
            Style::plain(10.5),
            &format!("{}: {check}", words.see),
        );
    }
    block.text(
        INDENT,
        room,
        Style::grey(9.5),
        &format!("{}: {}", words.why, step.why),
    );
    if let Some(minutes) = step.minutes {
        block.append(waiting(faces, words, INDENT, minutes));
    }
    block
}

/// How long, with room for when it began and ended.
pub(crate) fn waiting<'f>(faces: &'f Faces, words: &Words, x: f32, minutes: u32) -> Block<'f> {
    let mut block = Block::new(faces);
    let style = Style::plain(10.5);
    block.space(4.0);
    let time = format!("{}: {}", words.time, words.duration(minutes));
    let width = faces.width(style.weight, style.size, &time);
    for (left, what) in [(width + 22.0, words.begun), (width + 130.0, words.done)] {
        let before = block.height;
        block.text(x + left, 60.0, style, what);
        block.rule(x + left + 34.0, 56.0, 0.5);
        block.height = before;
    }
    block.text(x, width + 1.0, style, &time);
    block
}

fn proof<'f>(flow: &mut Flow<'f>, faces: &'f Faces, words: &Words, readings: &[ReadingToTake]) {
    let width = flow.width();
    if readings.is_empty() {
        return;
    }
    // Right ends of the columns of numbers, and where the room to write begins.
    let ends = [0.52, 0.64, 0.76].map(|share| share * width);
    let write = 0.80 * width;
    let mut block = heading(faces, width, words.proof);
    let style = Style::grey(9.0);
    for (end, what) in ends
        .iter()
        .zip([words.expected, words.passes_from, words.passes_to])
    {
        block.right(*end, style, what);
    }
    let before = block.height;
    block.text(write, width - write, style, words.read);
    block.height = before;
    block.text(0.0, width * 0.4, style, words.reading);
    block.space(3.0);
    let judged = readings.iter().any(|reading| reading.expected.is_some());
    for reading in readings {
        let (what, unit) = words.reading(&reading.field);
        let style = Style::plain(10.5);
        let decimals = words::decimals(reading.low, reading.high);
        for (end, value) in ends.iter().zip([reading.expected, reading.low, reading.high]) {
            block.right(*end, style, &words.number(value, decimals));
        }
        let before = block.height;
        block.text(width - 38.0, 40.0, style, unit);
        block.height = before;
        block.text(0.0, width * 0.42, style, &what);
        block.marks.push(Mark::Rule {
            x: write,
            y: block.height,
            w: width - 42.0 - write,
            line: 0.5,
        });
        block.space(6.0);
    }
    let note = if judged { words.judged } else { words.unjudged };
    block.text(0.0, width, Style::grey(9.5), note);
    flow.place(block);
}

fn signatures<'f>(faces: &'f Faces, words: &Words, width: f32) -> Block<'f> {
    let mut block = heading(faces, width, words.remarks);
    for _ in 0..3 {
        block.space(20.0);
        block.rule(0.0, width, 0.4);
    }
    block.space(38.0);
    let column = (width - 40.0) / 3.0;
    for (index, what) in words.signatures.into_iter().enumerate() {
        let x = index as f32 * (column + 20.0);
        block.rule(x, column, 0.6);
        let before = block.height;
        block.space(2.0);
        block.text(x, column, Style::grey(9.0), what);
        block.height = before;
    }
    block.space(14.0);
    block
}
