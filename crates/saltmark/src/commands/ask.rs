//! `diagnose --ask`: the interview on the terminal, one question at a time.

use std::io::{self, BufRead, Write};
use std::path::Path;

use casefile::Document;
use fault::interview::{
    Answer as Said, End, Given, InterviewError, Opens, Question, Standing, Step, interview,
};
use fault::{Diagnosis, Known};
use reading::Reading;
use serde_json::json;
use service::{Language, Reach, SafeWay, safe_way};
use unit::Unit;

use super::diagnose::{case_of, impossible, json_of, known, verdict};
use crate::args::OnCase;
use crate::case::{Case, as_of};
use crate::failure::Failure;
use crate::input;
use crate::output::{Answer, print, settled};

/// The longest answer that is read, bytes: no answer is longer, and no input may fill the memory.
const LONGEST: u64 = 4096;

pub(crate) fn run(args: &OnCase) -> Result<(), Failure> {
    let file = args.file.as_deref().filter(|path| *path != Path::new("-"));
    let Some(file) = file else {
        return Err(Failure::field(
            "the command line",
            "FILE",
            "standard input",
            "with --ask a file: standard input has the answers",
        ));
    };
    let document = input::document(Some(file))?;
    let asked = read(&document)?;
    let known = known(&asked.case, asked.reading.at);
    // With --json standard output is kept for the one document.
    let ended = if args.json {
        converse(
            &asked,
            &known,
            &mut io::stdin().lock(),
            &mut anstream::stderr().lock(),
        )
    } else {
        converse(
            &asked,
            &known,
            &mut io::stdin().lock(),
            &mut anstream::stdout().lock(),
        )
    }?;
    print(&answer(&asked, &ended), args.json)
}

/// What the interview is about.
struct Asked {
    case: Case,
    reading: Reading,
    baseline: Option<Reading>,
}

fn read(document: &Document) -> Result<Asked, Failure> {
    let (case, (reading, baseline)) = Case::read_with(document, |top, unit| {
        let (reading, baseline) = (top.table("reading"), top.table("baseline"));
        let unit = unit?;
        let baseline = baseline.map(|table| casefile::reading(table, unit));
        match reading {
            Some(table) => casefile::reading(table, unit).map(|found| (Some(found), baseline.flatten())),
            None => Some((None, baseline.flatten())),
        }
    })?;
    let reading = match reading {
        Some(reading) => reading,
        None => Reading::new(as_of(None, document, &case.unit)?),
    };
    Ok(Asked {
        case,
        reading,
        baseline,
    })
}

/// How the conversation ended.
struct Ended {
    standing: Standing,
    answers: Vec<Said>,
}

fn converse(
    asked: &Asked,
    known: &Known,
    input: &mut impl BufRead,
    out: &mut impl Write,
) -> Result<Ended, Failure> {
    let unit = &asked.case.unit;
    let mut answers: Vec<Said> = Vec::new();
    let mut ways: Vec<(usize, SafeWay)> = Vec::new();
    let mut number = 0_usize;
    loop {
        let case = case_of(&asked.case, &asked.reading, asked.baseline.as_ref());
        let standing = interview(&case, known, &answers).map_err(|error| refused(&error))?;
        let Step::Ask(question) = &standing.step else {
            return Ok(Ended { standing, answers });
        };
        let opens = question.test.opens();
        let way = match opens
            .as_ref()
            .map(|opens| (opens, safe_way(unit, &reach(opens), Language::English)))
        {
            None => None,
            Some((_, Ok(way))) => Some(way),
            // Permeate may be sampled without taking anything off; for all else a safe way there has to be.
            Some((Opens::ElementPermeate(_), Err(_))) => None,
            Some((_, Err(why))) => {
                settled(writeln!(
                    out,
                    "Left out: {} There is no safe way to it at this unit: {why}.\n",
                    question.test.how()
                ))?;
                answers.push(Said {
                    key: question.key.clone(),
                    given: Given::Skipped,
                });
                continue;
            }
        };
        number += 1;
        let way = way.map(|way| match ways.iter().find(|(_, shown)| *shown == way) {
            Some((before, _)) => Way::AsAt(*before),
            None => {
                ways.push((number, way.clone()));
                Way::New(way)
            }
        });
        settled(put(out, number, question, way.as_ref()))?;
        let Some(answer) = listen(question, unit, input, out)? else {
            settled(writeln!(out, "\nThe answers end here."))?;
            return Ok(Ended { standing, answers });
        };
        answers.push(answer);
        settled(writeln!(out))?;
    }
}

fn reach(opens: &Opens) -> Reach {
    match opens {
        Opens::Housing(part) => Reach::Housing(part.clone()),
        Opens::Restrictor => Reach::Restrictor,
        Opens::PermeateLine => Reach::PermeateLine,
        Opens::ElementPermeate(_) => Reach::ElementPermeate,
    }
}

fn refused(error: &InterviewError) -> Failure {
    match error {
        InterviewError::Diagnose(error) => impossible(error),
        other => {
            let why =
                std::error::Error::source(other).map_or_else(String::new, |source| format!(": {source}"));
            Failure::Impossible(format!("{other}{why}"))
        }
    }
}

/// The safe way to what a question opens.
enum Way {
    /// In full.
    New(SafeWay),
    /// The same as at an earlier question, which is still on the screen.
    AsAt(usize),
}

/// Puts a question: what to do, what it would mean, what to mind, and the way to it.
fn put(out: &mut impl Write, number: usize, question: &Question, way: Option<&Way>) -> io::Result<()> {
    writeln!(
        out,
        "{number}. {} (about {:.0} min)",
        question.test.how(),
        question.test.minutes()
    )?;
    let meaning = question.test.meaning();
    if !meaning.is_empty() {
        writeln!(out, "   {meaning}")?;
    }
    if let Some(caution) = question.test.caution() {
        writeln!(out, "   {}", caution.words())?;
    }
    match way {
        Some(Way::New(way)) => show_way(out, way)?,
        Some(Way::AsAt(before)) => writeln!(out, "   The safe way to it is that of question {before}.")?,
        None => {}
    }
    // What is put to the customer stands above already.
    let asked = if question.test.observed().is_some() {
        "Yes or no?".to_owned()
    } else {
        question.test.text()
    };
    writeln!(out, "   {asked} Enter skips it.")
}

/// The steps to what has to be opened; when none is needed stands before them.
fn show_way(out: &mut impl Write, way: &SafeWay) -> io::Result<()> {
    if let Some(first) = &way.first {
        writeln!(out, "   {first}")?;
    }
    writeln!(out, "   The safe way to it, step by step:")?;
    for step in &way.steps {
        if let Some(caution) = &step.caution {
            writeln!(out, "      ! {caution}")?;
        }
        let minutes = step
            .minutes
            .map_or_else(String::new, |minutes| format!(" ({minutes} min)"));
        writeln!(out, "   {:>3}. {}{minutes}", step.n, step.text)?;
        if let Some(check) = &step.check {
            writeln!(out, "        See: {check}")?;
        }
    }
    writeln!(out, "   {}", way.then)
}

/// The answer; asked again until it is one. None at the end of the input.
fn listen(
    question: &Question,
    unit: &Unit,
    input: &mut impl BufRead,
    out: &mut impl Write,
) -> Result<Option<Said>, Failure> {
    loop {
        settled(write!(out, "> ").and_then(|()| out.flush()))?;
        let mut line = Vec::new();
        let read = io::Read::take(&mut *input, LONGEST)
            .read_until(b'\n', &mut line)
            .map_err(|error| Failure::Impossible(format!("standard input could not be read: {error}")))?;
        if read == 0 {
            return Ok(None);
        }
        let text = String::from_utf8_lossy(&line);
        match question.parse(&text, unit) {
            Ok(answer) => return Ok(Some(answer)),
            Err(error) => settled(writeln!(out, "{error}."))?,
        }
    }
}

fn answer(asked: &Asked, ended: &Ended) -> Answer {
    let diagnosis = &ended.standing.diagnosis;
    let mut json = json_of(diagnosis);
    if let Some(fields) = json.as_object_mut() {
        let answers: Vec<String> = ended.answers.iter().map(ToString::to_string).collect();
        fields.insert("answers".to_owned(), json!(answers));
    }
    Answer {
        json,
        text: text(diagnosis, &ended.standing.step),
        warnings: asked.case.warnings.clone(),
    }
}

fn text(diagnosis: &Diagnosis, step: &Step) -> String {
    let why = match step {
        Step::End(End::BeyondDoubt) => "One cause is beyond doubt.",
        Step::End(End::NothingMoreHelps) => "Nothing more that can be done here would tell it any better.",
        Step::Ask(_) => "There is more to ask; by what is known so far:",
    };
    let mut text = format!("{why}\n\n{}", verdict(diagnosis));
    for warning in &diagnosis.warnings {
        text.push_str(&format!("\nNote: {warning}\n"));
    }
    text
}
