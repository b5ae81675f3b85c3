//! The end: the proof with what the readings should be, what was seen, and the writing down of it all in one go or not at all.

use jiff::Timestamp;
use ledger::payload::{NoteWritten, PartEvent, ReadingTaken, WorkMark};
use ledger::{Entry as Written, Payload, Subject};
use maud::{Markup, html};
use reading::Event;
use serde_json::{Map, Value};
use service::{Action, JobCard, Outcome, Proof, Seen, Verdict, judge};

use super::super::how::Named;
use super::super::reading_form::{self, Spot};
use super::super::{photographs, readings, words};
use super::begin::above;
use super::once::Once;
use super::steps::leave;
use super::{Job, address, language, proof, title};
use crate::Response;
use crate::frame::ask::Ask;
use crate::frame::fields::Fields;
use crate::frame::figure::figure;
use crate::frame::form::{self, Entry, Faults};
use crate::frame::layout::Page;

/// The box that finishes a work whose proof does not pass.
const ANYWAY: &str = "anyway";
/// The longest text that a field may hold, characters.
const LONGEST: usize = 4000;

/// The proof's page; `judged` where what was typed was held against what it should be.
pub(super) fn page(ask: &Ask<'_>, job: &Job<'_>, judged: Option<&Proof>, faults: &Faults) -> Response {
    let say = ask.say;
    let own;
    let typed = if ask.sent.get("at").is_empty() {
        own = prefilled(ask, job);
        &own
    } else {
        &ask.sent
    };
    let spots = spots(ask, job, judged);
    let address = address(job.unit, job.under_way.id);
    let last = job.known.readings_until(ask.now());
    let heading = say.say("work-finish-title");
    let ended = job.card.steps.iter().filter(|step| step.n >= job.end());
    let body = html! {
        p.small { (title(ask, job.unit, &job.works)) }
        h1 { (heading) }
        progress max=(job.end()) value=(job.end()) aria-label=(say.say("work-all-done")) {}
        (faults.summary(ask, |name| label(ask, job, &spots, name)))
        @if let Some(proof) = judged { (verdict(ask, &spots, proof)) }
        @for step in ended {
            p.step { (step.text) }
            @if let Some(caution) = &step.caution { section.danger { h2 { (say.say("work-caution")) } p.step { (caution) } } }
            @if let Some(check) = &step.check { section.see { h2 { (say.say("work-see")) } p.step { (check) } } }
        }
        @if proves(job) { p { (say.say("work-finish-about")) } }
        form method="post" action=(address) enctype="multipart/form-data" data-keep=(job.under_way.id) {
            (form::hidden_id(ask))
            (reading_form::show(ask, &spots, last, &job.zone, typed, faults))
            @let seen = parts(job);
            @if !seen.is_empty() {
                h2 { (say.say("work-what-seen")) }
                @for part in &seen {
                    @let name = seen_name(part);
                    (seen_field(ask, job, part, &name).show(ask, typed, faults))
                }
            }
            (photographs::field(ask, faults))
            @if proves(job) {
                p { button name="do" value="judge" { (say.say("work-judge")) } }
                @if judged.is_some_and(|proof| proof.verdict != Verdict::Passes) { (anyway(ask, typed, faults)) }
            }
            p { button.first name="do" value="finish" { (say.say("work-finish")) } }
            p.small { (say.say("work-finish-one-go")) }
        }
        (accounts(ask, job, &spots))
        nav aria-label=(say.say("work-steps")) {
            ul.doing { li { a.button rel="prev" href={ (address) "?step=" (job.end().saturating_sub(1)) } { (say.say("work-back")) } } }
        }
        (leave(ask, job, &address))
    };
    Page {
        above: above(ask, job.unit),
        status: if faults.is_empty() { 200 } else { 422 },
        ..Page::new(&heading, "", body)
    }
    .answer(ask)
}

/// The ways to how what should be read was computed.
fn accounts(ask: &Ask<'_>, job: &Job<'_>, spots: &[Spot]) -> Markup {
    let told: Vec<&Spot> = spots.iter().filter(|spot| !spot.should.is_empty()).collect();
    html! {
        @if !told.is_empty() {
            details {
                summary { (ask.say.say("work-how-expected")) }
                ul {
                    @for spot in told {
                        li { (figure(&job.unit.id, Named::PROOF, &format!("{}.{}", job.under_way.id, spot.name), &spot.label)) }
                    }
                }
            }
        }
    }
}

/// Whether the card asks for readings at its end.
fn proves(job: &Job<'_>) -> bool {
    job.card.steps.iter().any(|step| step.action == Action::Read)
}

/// What can be read: what the card asks for first, each with what it should be.
fn spots(ask: &Ask<'_>, job: &Job<'_>, judged: Option<&Proof>) -> Vec<Spot> {
    let mut spots = reading_form::spots(ask, job.unit);
    let asked = match judged {
        Some(proof) => proof.readings.iter().map(|one| one.asked.clone()).collect(),
        None => {
            let expected = proof::expected(ask, job.unit, &job.works, None).unwrap_or_default();
            job.card.clone().expecting(&expected).readings_to_take
        }
    };
    for spot in &mut spots {
        let one = asked.iter().find(|one| one.field == spot.name);
        spot.more = one.is_none();
        let condition = proof::CONDITIONS.iter().any(|field| field.name() == spot.name);
        let Some((expected, low, high)) = one.and_then(|one| Some((one.expected?, one.low?, one.high?)))
        else {
            continue;
        };
        // The conditions are not proved: they say what may be expected.
        if !condition {
            let show = |value: f64| ask.measures.show(spot.kind, value);
            spot.should = ask.say.with(
                "work-should",
                &[
                    ("expected", show(expected).into()),
                    ("low", show(low).into()),
                    ("high", show(high).into()),
                ],
            );
        }
    }
    spots
}

/// The parts that something may have been seen at: those of the work, and those with a note at a step.
fn parts(job: &Job<'_>) -> Vec<String> {
    let mut parts: Vec<String> = Vec::new();
    let events = service::events(job.unit, &job.card, &[], Timestamp::UNIX_EPOCH);
    let of_events = events.iter().filter_map(|event| event.part.as_deref());
    let of_works = job.works.iter().filter_map(|work| work.part());
    let of_notes = job.under_way.notes.keys().filter_map(|n| job.part_of(*n));
    for part in of_events.chain(of_works).chain(of_notes) {
        if !parts.iter().any(|known| known == part) {
            parts.push(part.to_owned());
        }
    }
    parts
}

fn seen_field<'a>(ask: &Ask<'_>, job: &Job<'_>, part: &str, name: &'a str) -> form::Field<'a> {
    form::Field {
        name,
        label: words::part(ask, job.unit, part),
        hint: String::new(),
        unit: "",
        entry: Entry::Line,
        required: false,
    }
}

/// What the fields hold at first: now, and what was seen on the way.
fn prefilled(ask: &Ask<'_>, job: &Job<'_>) -> Fields {
    let mut typed = Fields::default();
    typed.set("at", reading_form::local(ask.now(), &job.zone));
    for part in parts(job) {
        let notes = job.under_way.notes.iter();
        let own: Vec<&str> = notes
            .filter(|(n, _)| job.part_of(**n) == Some(part.as_str()))
            .map(|(_, note)| note.as_str())
            .collect();
        typed.set(&seen_name(&part), own.join("; "));
    }
    typed
}

fn seen_name(part: &str) -> String {
    format!("seen.{part}")
}

fn label(ask: &Ask<'_>, job: &Job<'_>, spots: &[Spot], name: &str) -> String {
    match (name, name.strip_prefix("seen.")) {
        (_, Some(part)) => words::part(ask, job.unit, part),
        (photographs::FIELD, _) => ask.say.say("photo"),
        (ANYWAY, _) => ask.say.say("work-finish-title"),
        _ => reading_form::label(ask, spots, name),
    }
}

/// What the proof comes to, and what to look at.
fn verdict(ask: &Ask<'_>, spots: &[Spot], proof: &Proof) -> Markup {
    let say = ask.say;
    let (key, well) = match proof.verdict {
        Verdict::Passes => ("work-proof-passes", true),
        Verdict::LookAt => ("work-proof-look", false),
        Verdict::OtherDay => ("work-proof-other-day", false),
        Verdict::Incomplete => ("work-proof-incomplete", false),
        Verdict::Unjudged => ("work-proof-unjudged", false),
    };
    let outside = proof.readings.iter().filter(|one| one.look_at.is_some());
    html! {
        section.asked role="status" {
            h2 { @if well { span.well { (say.say(key)) } } @else { span.late { (say.say(key)) } } }
            ul {
                @for one in outside {
                    @let spot = spots.iter().find(|spot| spot.name == one.asked.field);
                    li {
                        a href={ "#" (form::field_id(&one.asked.field)) } { (spot.map_or(one.asked.field.as_str(), |spot| spot.label.as_str())) }
                        @if let (Some(spot), Some(read)) = (spot, one.read) { " " strong { (ask.measures.show(spot.kind, read)) } }
                        ": "
                        (say.say(match one.outcome { Outcome::Below => "work-below", Outcome::Above => "work-above", _ => "work-other-day" }))
                        @if let Some(words) = &one.look_at { " " (words) }
                    }
                }
            }
        }
    }
}

fn anyway(ask: &Ask<'_>, typed: &Fields, faults: &Faults) -> Markup {
    let id = form::field_id(ANYWAY);
    let error = format!("{id}-error");
    let wrong = faults.of(ANYWAY);
    html! {
        @if let Some(words) = wrong { p.wrong id=(error) { (words) } }
        label.choice for=(id) {
            input id=(id) type="checkbox" name=(ANYWAY) value="yes" data-unkept="" checked[typed.get(ANYWAY) == "yes"]
                aria-invalid=[wrong.map(|_| "true")] aria-describedby=[wrong.map(|_| error.as_str())];
            span { (ask.say.say("work-anyway")) }
        }
    }
}

/// Judges what was typed, or finishes.
pub(super) fn write(ask: &Ask<'_>, job: &Job<'_>) -> Response {
    // An old form, or another device took a step back: what stands is shown.
    if job.now() < job.end() {
        return crate::frame::layout::see(&address(job.unit, job.under_way.id));
    }
    let mut faults = Faults::default();
    let spots = reading_form::spots(ask, job.unit);
    let (at, taken) = reading_form::read_some(ask, job.unit, &spots, &mut faults);
    let photos = photographs::read(ask, &Subject::unit(&job.unit.id), &mut faults);
    let seen = seen(ask, job, &mut faults);
    if !faults.is_empty() {
        return page(ask, job, None, &faults);
    }
    let expected = proof::expected(ask, job.unit, &job.works, Some(&taken.reading)).unwrap_or_default();
    let card = job.card.clone().expecting(&expected);
    let proof = match judge(&card, &taken.reading, language(ask)) {
        Ok(proof) => proof,
        Err(error) => {
            faults.add(
                "at",
                ask.say
                    .with("work-unproved", &[("why", error.to_string().into())]),
            );
            return page(ask, job, None, &faults);
        }
    };
    if ask.sent.get("do") == "judge" {
        return page(ask, job, Some(&proof), &faults);
    }
    let passes = !proves(job) || proof.verdict == Verdict::Passes;
    if !passes && ask.sent.get(ANYWAY) != "yes" {
        faults.add(ANYWAY, ask.say.say("work-does-not-pass"));
        return page(ask, job, Some(&proof), &faults);
    }
    let mut entries = done(ask, job, &card, &seen, at);
    let unproved = (!passes).then(|| {
        let spots = self::spots(ask, job, Some(&proof));
        unproved(ask, &spots, &proof)
    });
    entries.extend(told(ask, job, &card, &seen, &taken, unproved, at));
    if !taken.reading.is_empty() {
        let learned = readings::units_learned(ask, &spots, &taken);
        entries.push(ask.entry("reading", at, &Payload::Reading(Box::new(taken))));
        entries.extend(learned.map(|chosen| ask.entry("units", ask.now(), &Payload::Settings(chosen))));
    }
    entries.push(job.mark(ask, "ended", WorkMark::Ended { finished: true }));
    let once = Once::new(ask, job);
    let mut entries: Vec<Written> = entries.into_iter().map(|entry| once.entry(entry)).collect();
    let (papers, contents) = photographs::written(ask, photos, Some(once.end), at);
    entries.extend(papers.into_iter().map(|entry| once.entry(entry)));
    Response {
        attachments: contents,
        ..ask.keep(entries, &address(job.unit, job.under_way.id))
    }
}

/// What was seen at each part.
fn seen(ask: &Ask<'_>, job: &Job<'_>, faults: &mut Faults) -> Vec<Seen> {
    let mut seen = Vec::new();
    for part in parts(job) {
        let name = seen_name(&part);
        let note = ask.sent.get(&name).trim();
        if note.chars().count() > LONGEST {
            faults.add(&name, ask.say.say("wrong-long"));
        }
        if !note.is_empty() {
            seen.push(Seen {
                note: note.to_owned(),
                part,
            });
        }
    }
    seen
}

/// One second before the readings that prove it: they are of the unit as it is now.
fn before(at: Timestamp) -> Timestamp {
    at.checked_sub(jiff::SignedDuration::from_secs(1)).unwrap_or(at)
}

/// The entries of what was done to the parts.
fn done(ask: &Ask<'_>, job: &Job<'_>, card: &JobCard, seen: &[Seen], at: Timestamp) -> Vec<Written> {
    let at = before(at);
    let events = service::events(job.unit, card, seen, at);
    let entry = |(number, event): (usize, &Event)| {
        let mut document: Map<String, Value> = Map::new();
        document.insert("kind".to_owned(), event.kind.name().into());
        if let Some(part) = &event.part {
            document.insert("part".to_owned(), part.as_str().into());
        }
        if !event.note.is_empty() {
            document.insert("note".to_owned(), event.note.as_str().into());
        }
        let event = PartEvent {
            unit: job.unit.id.clone(),
            document,
            from: None,
        };
        ask.entry(&format!("event-{number}"), at, &Payload::Event(event))
    };
    events.iter().enumerate().map(entry).collect()
}

/// "Finished although the proof does not pass: permeate flow 21 L/h (should be 38 L/h)."
fn unproved(ask: &Ask<'_>, spots: &[Spot], proof: &Proof) -> String {
    let outside: Vec<String> = proof
        .readings
        .iter()
        .filter(|one| matches!(one.outcome, Outcome::Below | Outcome::Above))
        .filter_map(|one| {
            let spot = spots.iter().find(|spot| spot.name == one.asked.field)?;
            let read = ask.measures.show(spot.kind, one.read?);
            Some(format!("{} {read} ({})", spot.label, spot.should))
        })
        .collect();
    if outside.is_empty() {
        return ask.say.say("work-said-unproved");
    }
    ask.say
        .with("work-said-outside", &[("values", outside.join("; ").into())])
}

/// The remarks: what was seen at a part without an event of its own, that the proof does not pass, and what was typed where
/// no reading carries it.
fn told(
    ask: &Ask<'_>,
    job: &Job<'_>,
    card: &JobCard,
    seen: &[Seen],
    taken: &ReadingTaken,
    unproved: Option<String>,
    at: Timestamp,
) -> Option<Written> {
    let events = service::events(job.unit, card, &[], at);
    let has_event = |part: &str| events.iter().any(|event| event.part.as_deref() == Some(part));
    let mut lines: Vec<String> = seen
        .iter()
        .filter(|one| !has_event(&one.part))
        .map(|one| format!("{}: {}", words::part(ask, job.unit, &one.part), one.note))
        .collect();
    lines.extend(unproved);
    if taken.reading.is_empty() && !taken.reading.note.is_empty() {
        lines.push(taken.reading.note.clone());
    }
    let note = NoteWritten {
        of: Subject::unit(&job.unit.id),
        text: lines.join("\n"),
    };
    (!lines.is_empty()).then(|| ask.entry("note", at, &Payload::Note(note)))
}
