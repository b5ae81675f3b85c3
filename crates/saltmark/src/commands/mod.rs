//! One module for each command: from a request to an answer.

mod ask;
mod check;
mod diagnose;
mod explain;
mod forecast;
mod generate;
mod jobcard;
mod labels;
mod ledger;
mod predict;
mod serve;
mod standardise;
mod water;

use std::io::{BufRead, BufWriter, Write};

use casefile::Document;
use rayon::prelude::*;
use serde_json::json;

use crate::args::{Args, Command, OnCase};
use crate::failure::Failure;
use crate::output::{Answer, print, settled};
use crate::{input, present};

/// Runs what was typed.
pub(crate) fn run(args: Args) -> Result<(), Failure> {
    match args.command {
        Command::Check(args) => check::run(&args),
        Command::Standardise(args) => on_case(&args, standardise::answer),
        Command::Explain(args) => on_case(&args.case, |document| {
            explain::answer(document, args.from.as_deref(), args.to.as_deref())
        }),
        Command::Forecast(args) => on_case(&args.case, |document| {
            forecast::answer(document, args.as_of.as_deref())
        }),
        Command::Water(args) => {
            let asked = water::Asked {
                recovery: args.recovery,
                salt_passage: args.salt_passage,
                plot: args.plot.clone(),
            };
            on_case(&args.case, |document| water::answer(document, &asked))
        }
        Command::Jobcard(args) => on_case(&args.case, |document| jobcard::answer(document, &args)),
        Command::Labels(args) => labels::run(&args),
        Command::Predict(args) => {
            let asked = predict::Asked::new(&args)?;
            on_case(&args.case, |document| predict::answer(document, &asked))
        }
        Command::Diagnose(args) if args.ask => ask::run(&args.case),
        Command::Diagnose(args) => on_case(&args.case, diagnose::answer),
        Command::Import(args) => ledger::import(&args),
        Command::Export(args) => ledger::export(&args),
        Command::Backtest(args) => ledger::backtest(&args),
        Command::Backup(args) => ledger::back_up(&args),
        Command::Restore(args) => ledger::restore(&args),
        Command::Demo(args) => ledger::demo(&args),
        Command::Serve(args) => serve::run(&args),
        Command::Generate(args) => generate::run(&args),
    }
}

/// Answers one document, or one for each line of the input.
fn on_case(
    args: &OnCase,
    answer: impl Fn(&Document) -> Result<Answer, Failure> + Sync,
) -> Result<(), Failure> {
    if args.lines {
        return on_lines(args, answer);
    }
    let document = input::document(args.file.as_deref())?;
    print(&answer(&document)?, args.json)
}

/// Lines that are answered together: enough for all cores, few enough to stream.
const LINES_AT_ONCE: usize = 512;

fn on_lines(
    args: &OnCase,
    answer: impl Fn(&Document) -> Result<Answer, Failure> + Sync,
) -> Result<(), Failure> {
    let threads = args.jobs.map_or(0, usize::from);
    let pool = rayon::ThreadPoolBuilder::new()
        .num_threads(threads)
        .build()
        .map_err(|error| Failure::Impossible(format!("threads could not be started: {error}")))?;
    let reader: Box<dyn BufRead> = match args.file.as_deref() {
        Some(path) if path != std::path::Path::new("-") => {
            let name = path.display().to_string();
            let file = std::fs::File::open(path)
                .map_err(|error| Failure::field(&name, "", error.to_string(), "a file that can be read"))?;
            Box::new(std::io::BufReader::new(file))
        }
        _ => Box::new(std::io::stdin().lock()),
    };
    let mut out = BufWriter::new(std::io::stdout().lock());
    let mut lines = reader.split(b'\n').enumerate();
    let progress = present::progress("documents");
    loop {
        let mut batch = Vec::with_capacity(LINES_AT_ONCE);
        for (number, line) in lines.by_ref().take(LINES_AT_ONCE) {
            let line = line.map_err(|error| Failure::Impossible(format!("the input broke off: {error}")))?;
            batch.push((number + 1, line));
        }
        if batch.is_empty() {
            break;
        }
        let answers: Vec<String> = pool.install(|| {
            batch
                .par_iter()
                .map(|(number, line)| one_line(*number, line, &answer))
                .collect()
        });
        for line in &answers {
            settled(writeln!(out, "{line}"))?;
        }
        progress.inc(answers.len() as u64);
    }
    progress.finish_and_clear();
    settled(out.flush())
}

fn one_line(number: usize, line: &[u8], answer: impl Fn(&Document) -> Result<Answer, Failure>) -> String {
    let result = Document::read(&format!("line {number}.json"), line)
        .map_err(Failure::from)
        .and_then(|d| answer(&d));
    match result {
        Ok(answer) => answer.json.to_string(),
        Err(failure) => json!({"error": failure.one_line()}).to_string(),
    }
}
