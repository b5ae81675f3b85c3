//! The card as plain text, for a tired technician at arm's length: cautions, tools, parts, steps, proof.

use std::fmt::Write as _;

use crate::card::{JobCard, Phase, Step};

/// Columns of a line.
const WIDTH: usize = 78;

/// The whole card as plain text of at most 78 columns.
pub fn render_text(card: &JobCard) -> String {
    let mut out = String::new();
    let work: Vec<String> = card
        .work
        .iter()
        .map(|work| match work.part() {
            Some(part) => format!("{} {part}", work.name()),
            None => work.name().replace('_', " "),
        })
        .collect();
    heading(
        &mut out,
        &format!("JOB CARD - unit {} - {}", card.unit, work.join(", ")),
        '=',
    );
    let waiting: u32 = card.steps.iter().filter_map(|step| step.minutes).sum();
    wrap(
        &mut out,
        "",
        &format!(
            "{} steps; {} of it is waiting.",
            card.steps.len(),
            duration(waiting)
        ),
    );
    heading(&mut out, "BEFORE YOU BEGIN", '-');
    for caution in &card.cautions {
        wrap(&mut out, "  ! ", caution);
    }
    heading(&mut out, "HAVE AT HAND", '-');
    for tool in &card.tools {
        wrap(&mut out, "  [ ] ", tool);
    }
    if !card.parts.is_empty() {
        heading(&mut out, "CARRY IN", '-');
    }
    for part in &card.parts {
        wrap(
            &mut out,
            "  [ ] ",
            &format!("{} x {} (for {})", part.count, part.what, part.id),
        );
    }
    let mut phase = None;
    for (index, step) in card.steps.iter().enumerate() {
        let words = phase_words(step.phase);
        if phase != Some(words) {
            heading(&mut out, words, '-');
            phase = Some(words);
        }
        write_step(&mut out, step);
        let relieved = card.pressurised_after.get(index).is_some_and(Vec::is_empty);
        let before = index
            .checked_sub(1)
            .and_then(|before| card.pressurised_after.get(before));
        if relieved && before.is_none_or(|before| !before.is_empty()) {
            wrap(
                &mut out,
                "      ",
                "From here nothing in the unit is under pressure.",
            );
        }
    }
    proof(&mut out, card);
    out
}

fn write_step(out: &mut String, step: &Step) {
    out.push('\n');
    if let Some(caution) = &step.caution {
        wrap(out, "    ! ", caution);
    }
    wrap(out, &format!("{:>3}.  ", step.n), &step.text);
    wrap(out, "      why: ", &step.why);
    if let Some(check) = &step.check {
        wrap(out, "      SEE: ", check);
    }
    if let Some(minutes) = step.minutes {
        wrap(
            out,
            "      ",
            &format!("Time: {}, begun ______  done ______", duration(minutes)),
        );
    }
}

fn proof(out: &mut String, card: &JobCard) {
    heading(out, "PROOF", '-');
    let number = |value: Option<f64>| value.map_or_else(|| "-".to_owned(), short);
    let width = card
        .readings_to_take
        .iter()
        .map(|reading| reading.field.len())
        .max()
        .unwrap_or(0)
        .max(8);
    let _ = writeln!(
        out,
        "  {:<width$} {:>10} {:>10} {:>10}   read",
        "reading", "expected", "low", "high"
    );
    for reading in &card.readings_to_take {
        let _ = writeln!(
            out,
            "  {:<width$} {:>10} {:>10} {:>10}   ________",
            reading.field,
            number(reading.expected),
            number(reading.low),
            number(reading.high),
        );
    }
    if card
        .readings_to_take
        .iter()
        .all(|reading| reading.expected.is_none())
    {
        wrap(
            out,
            "  ",
            "Expected values need the water and the conditions of the day.",
        );
    }
    wrap(
        out,
        "  ",
        "Flows in L/h, pressures in kPa, temperature in C, conductivity in uS/cm, the rest in mg/L.",
    );
    let _ = writeln!(
        out,
        "\n  Done by _________________   date __________   customer _________________"
    );
}

/// Four significant digits, no trailing zeros.
fn short(value: f64) -> String {
    if !value.is_finite() {
        return "-".to_owned();
    }
    let magnitude = value.abs();
    let text = if magnitude >= 1000.0 {
        format!("{value:.0}")
    } else if magnitude >= 100.0 {
        format!("{value:.1}")
    } else if magnitude >= 10.0 {
        format!("{value:.2}")
    } else {
        format!("{value:.3}")
    };
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

fn duration(minutes: u32) -> String {
    match (minutes / 60, minutes % 60) {
        (0, 1) => "1 minute".to_owned(),
        (0, minutes) => format!("{minutes} minutes"),
        (hours, 0) => format!("{hours} h"),
        (hours, minutes) => format!("{hours} h {minutes} min"),
    }
}

fn phase_words(phase: Phase) -> &'static str {
    match phase {
        Phase::Isolate => "SHUT OFF",
        Phase::Relieve => "LET THE PRESSURE OUT",
        Phase::Open | Phase::Change | Phase::Close => "OPEN, CHANGE, CLOSE",
        Phase::Rinse => "RINSE",
        Phase::Flush => "FLUSH AND PUT BACK INTO SERVICE",
        Phase::Prove => "PROVE",
        Phase::Record => "RECORD",
    }
}

fn heading(out: &mut String, text: &str, rule: char) {
    if !out.is_empty() {
        out.push('\n');
    }
    wrap(out, "", text);
    out.extend(std::iter::repeat_n(rule, text.chars().count().min(WIDTH)));
    out.push('\n');
}

/// Writes `text` behind `lead`, broken between words, later lines under the first.
fn wrap(out: &mut String, lead: &str, text: &str) {
    let indent = lead.chars().count();
    out.push_str(lead);
    let mut column = indent;
    let mut first = true;
    for word in text.split_whitespace() {
        let length = word.chars().count();
        if !first && column + 1 + length > WIDTH {
            out.push('\n');
            out.extend(std::iter::repeat_n(' ', indent));
            column = indent;
            first = true;
        }
        if !first {
            out.push(' ');
            column += 1;
        }
        out.push_str(word);
        column += length;
        first = false;
    }
    out.push('\n');
}
