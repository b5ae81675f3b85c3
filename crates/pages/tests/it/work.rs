//! "Do the work": from the choice of parts to the proof, mark by mark in the ledger.

use std::sync::LazyLock;

use jiff::SignedDuration;
use ledger::payload::WorkMark;
use ledger::{Entry, EventId, Payload};
use pages::Response;
use proptest::prelude::*;
use reading::{EventKind, Field};

use crate::html;
use crate::site::{Site, header, text};

const UNIT: &str = "fern-house";
const CARD: &str = "/units/fern-house/work/card?w=change%3Acarbon";

fn form(number: u8, site: &Site) -> String {
    format!("form={}", EventId::new(site.now, [number; 10]))
}

/// A page of the work, sound.
fn page(site: &Site, address: &str) -> String {
    let response = site.get(address);
    let page = text(&response);
    assert_eq!(response.status, 200, "{address}: {page}");
    html::check(address, &page);
    page
}

/// Begins to change the carbon filter; gives the address of the work.
fn begun(site: &mut Site) -> String {
    let body = format!("{}&w=change%3Acarbon&read=yes", form(1, site));
    site.keep(&format!("/units/{UNIT}/work"), &body)
}

/// The hidden number of the step that a page has a button for; none at the proof.
fn step(page: &str) -> Option<u32> {
    let rest = page.split("name=\"step\" value=\"").nth(1)?;
    rest.split('"').next()?.parse().ok()
}

/// Goes through all steps of the hand; gives how many there were, and how many took time.
fn through(site: &mut Site, address: &str) -> (u32, u32) {
    let (mut steps, mut waits) = (0, 0);
    for _ in 0..200 {
        let shown = page(site, address);
        let Some(n) = step(&shown) else {
            return (steps, waits);
        };
        steps += 1;
        assert_eq!(n, steps, "no step is left out");
        let seen = if shown.contains("name=\"seen\"") {
            "&seen=yes"
        } else {
            ""
        };
        let note = if shown.contains("name=\"note\"") {
            "&note=grey+slime"
        } else {
            ""
        };
        let body = |word: &str, site: &Site| {
            format!(
                "{}&step={n}&do={word}{seen}{note}",
                form(u8::try_from(n).unwrap(), site)
            )
        };
        if shown.contains("value=\"wait\"") {
            waits += 1;
            let asked = body("wait", site);
            site.keep(address, &asked);
            let waiting = page(site, address);
            assert!(waiting.contains("data-until=\""), "{waiting}");
            // Not before it is over.
            let early = site.send(address, &body("done", site));
            assert_eq!(early.status, 422);
            assert!(early.entries.is_empty());
            site.now = site.now.checked_add(SignedDuration::from_hours(2)).unwrap();
        }
        let asked = body("done", site);
        site.keep(address, &asked);
    }
    panic!("no end after two hundred steps");
}

/// The marks of a response.
fn marks(response: &Response) -> Vec<WorkMark> {
    let payload = |entry: &Entry| entry.payload.decode().unwrap();
    let marks = response.entries.iter().filter_map(|entry| match payload(entry) {
        Payload::Work(marked) => Some(marked.mark),
        _ => None,
    });
    marks.collect()
}

/// What the proof should be, as the page says it: a field's hint, in the unit of its field.
fn should(page: &str, field: &str) -> Option<f64> {
    let hint = page.split(&format!("id=\"f-{field}-hint\">Should be ")).nth(1)?;
    let number: String = hint
        .chars()
        .take_while(|c| c.is_ascii_digit() || *c == '.')
        .collect();
    number.parse().ok()
}

#[test]
fn regress_what_is_due_is_chosen_and_so_is_the_part_that_a_link_names() {
    let site = Site::quillmere();
    let chosen = |page: &str, id: &str| {
        let box_of = page.split(&format!("value=\"change:{id}\"")).nth(1).unwrap();
        box_of.split('>').next().unwrap().contains("checked")
    };
    let plain = page(&site, "/units/fern-house/work");
    let due = site.state.unit(UNIT).unwrap().unit().unwrap();
    for id in due.part_ids().filter(|id| *id != "sediment") {
        let named = page(&site, &format!("/units/fern-house/work?part={id}"));
        if named.contains(&format!("value=\"change:{id}\"")) {
            assert!(chosen(&named, id), "{id}");
        }
    }
    // Simulated: whatever says that it is due now is chosen.
    let evaluated = plain.matches("due now").count();
    assert!(plain.matches(" checked").count() >= evaluated, "{plain}");
}

#[test]
fn regress_cautions_come_first_and_have_to_be_read() {
    let site = Site::quillmere();
    let card = page(&site, CARD);
    assert!(card.find("class=\"danger\"").unwrap() < card.find("At hand").unwrap());
    let unread = site.send(
        "/units/fern-house/work",
        &format!("{}&w=change%3Acarbon", form(1, &site)),
    );
    assert_eq!(unread.status, 422);
    assert!(unread.entries.is_empty());
    html::check("unread", &text(&unread));
}

#[test]
fn regress_what_has_no_card_says_why() {
    let site = Site::quillmere();
    for query in ["", "?w=change%3Anothing", "?w=sanitise&w=descale", "?w=%3Cb%3E"] {
        let response = site.get(&format!("/units/fern-house/work/card{query}"));
        assert_eq!(response.status, 422, "{query}");
        html::check(query, &text(&response));
    }
}

#[test]
fn regress_a_step_with_a_caution_is_not_done_before_it_is_read() {
    let mut site = Site::quillmere();
    let address = begun(&mut site);
    for _ in 0..60 {
        let shown = page(&site, &address);
        let n = step(&shown).expect("a step with a caution before the proof");
        let body = format!("{}&step={n}&do=done", form(9, &site));
        if shown.contains("name=\"seen\"") {
            let refused = site.send(&address, &body);
            assert_eq!(refused.status, 422);
            assert!(refused.entries.is_empty());
            html::check("unread caution", &text(&refused));
            return;
        }
        if shown.contains("value=\"wait\"") {
            let wait = format!("{}&step={n}&do=wait", form(9, &site));
            site.keep(&address, &wait);
            site.now = site.now.checked_add(SignedDuration::from_hours(2)).unwrap();
        }
        let body = format!("{}&step={n}&do=done", form(9, &site));
        site.keep(&address, &body);
    }
    panic!("no step with a caution");
}

#[test]
fn regress_steps_go_back_and_an_old_form_skips_nothing() {
    let mut site = Site::quillmere();
    let address = begun(&mut site);
    let first = format!("{}&step=1&do=done&seen=yes", form(2, &site));
    let kept = site.send(&address, &first);
    assert_eq!(marks(&kept).len(), 1);
    site.state.extend(kept.entries);
    // The same again, and a step far ahead, write nothing and lead to what stands.
    for body in [
        first.as_str(),
        "step=9&do=done&seen=yes",
        "step=x&do=done",
        "do=sing",
    ] {
        let again = site.send(&address, body);
        assert_eq!(again.status, 303, "{body}");
        assert!(again.entries.is_empty(), "{body}");
    }
    assert_eq!(step(&page(&site, &address)), Some(2));
    let ahead = page(&site, &format!("{address}?step=4"));
    assert!(ahead.contains("Not yet"));
    let before = page(&site, &format!("{address}?step=1"));
    assert!(before.contains("It has to be done again"));
    let undo = format!("{}&step=1&do=undo", form(3, &site));
    site.keep(&address, &undo);
    assert_eq!(step(&page(&site, &address)), Some(1));
}

#[test]
fn val_a_whole_change_is_written_down_in_one_go() {
    let mut site = Site::quillmere();
    site.person = "Vera";
    let known = site.state.unit(UNIT).unwrap();
    let (events, readings, evaluated) = (known.events().len(), known.readings().len(), known.fingerprint());
    let address = begun(&mut site);
    let shown = page(&site, &format!("/units/{UNIT}"));
    assert!(
        shown.contains("Work under way") && shown.contains(&address),
        "{shown}"
    );
    assert!(page(&site, "/").contains(&address));
    let (steps, waits) = through(&mut site, &address);
    assert!(steps > 10 && waits >= 1, "{steps} steps, {waits} with a time");
    // A step done re-evaluates nothing, and no step stands in the log.
    assert_eq!(site.state.unit(UNIT).unwrap().fingerprint(), evaluated);
    let log = page(&site, &format!("/units/{UNIT}/log"));
    assert!(log.contains("Work begun: Change: Carbon filter") && !log.contains("A step of a work"));

    // Today's conditions first: what the others should be is then of today.
    let at = "at=2026-11-21T09%3A00";
    let day = "feed_temperature=9+C&inlet_pressure=400+kPa";
    let judge = format!("{}&{at}&{day}&do=judge", form(80, &site));
    let judged = site.send(&address, &judge);
    assert_eq!(judged.status, 200);
    assert!(judged.entries.is_empty());
    let judged = text(&judged);
    html::check("judged", &judged);
    assert!(judged.contains("Not proved: permeate flow"), "{judged}");
    let flow = should(&judged, "permeate_flow").unwrap_or_else(|| panic!("{judged}"));
    let salt = should(&judged, "permeate_conductivity").unwrap();
    let warm = judge.replace("9+C", "20+C");
    let warm = should(&text(&site.send(&address, &warm)), "permeate_flow").unwrap();
    // ASTM D4516's temperature factor for thin-film membranes: about 3 % a degree.
    assert!(
        (1.2..1.6).contains(&(warm / flow)),
        "{warm} L/h at 20 C, {flow} L/h at 9 C"
    );

    // What does not pass is refused, and nothing is written.
    let bad = format!(
        "{}&{at}&{day}&permeate_flow={}+L%2Fh&permeate_conductivity={salt}+uS%2Fcm&seen.carbon=grey+slime&do=finish",
        form(81, &site),
        flow / 4.0
    );
    let refused = site.send(&address, &bad);
    assert_eq!(refused.status, 422);
    assert!(refused.entries.is_empty());
    let refused = text(&refused);
    html::check("refused", &refused);
    assert!(
        refused.contains("less than it should be") && refused.contains("name=\"anyway\""),
        "{refused}"
    );

    let good = bad.replace(
        &format!("permeate_flow={}+L%2Fh", flow / 4.0),
        &format!("permeate_flow={flow}+L%2Fh&note=all+dry"),
    );
    let written = site.send(&address, &good);
    assert_eq!(written.status, 303, "{}", text(&written));
    assert!(matches!(
        marks(&written)[..],
        [WorkMark::Ended { finished: true }]
    ));
    site.state.extend(written.entries.iter().cloned());
    let unit = site.state.unit(UNIT).unwrap();
    let changed = &unit.events()[events..];
    assert_eq!(changed.len(), 1);
    assert_eq!(changed[0].kind, EventKind::Changed);
    assert_eq!(changed[0].part.as_deref(), Some("carbon"));
    assert_eq!(changed[0].note, "grey slime");
    assert_eq!(unit.readings().len(), readings + 1);
    let read = unit.readings().last().unwrap();
    assert!((read.get(Field::PermeateFlow).unwrap() - flow).abs() < 1e-9);
    assert_eq!(read.note, "all dry");
    assert!(read.at > changed[0].at, "the reading is of the new part");
    // Sent again, by an impatient thumb or from another device, it writes nothing more.
    assert!(site.send(&address, &good).entries.is_empty());
    let ended = page(&site, &address);
    assert!(
        ended.contains("Finished") && ended.contains("grey slime"),
        "{ended}"
    );
    assert!(!page(&site, &format!("/units/{UNIT}")).contains("Work under way"));
    assert!(page(&site, &format!("/units/{UNIT}/log")).contains("Work finished: Change: Carbon filter"));
}

#[test]
fn regress_a_proof_that_does_not_pass_is_finished_knowingly_and_says_so() {
    let mut site = Site::quillmere();
    let address = begun(&mut site);
    through(&mut site, &address);
    let notes = site.state.unit(UNIT).unwrap().papers.notes.len();
    let body = format!(
        "{}&at=2026-11-21T09%3A00&note=no+bucket&do=finish",
        form(81, &site)
    );
    assert_eq!(site.send(&address, &body).status, 422);
    let wrong = body.replace("&note", "&permeate_flow=bananas&note");
    let refused = site.send(&address, &wrong);
    assert_eq!(refused.status, 422);
    html::check("bananas", &text(&refused));
    site.keep(&address, &format!("{body}&anyway=yes"));
    let unit = site.state.unit(UNIT).unwrap();
    let note = &unit.papers.notes[notes].what;
    assert!(
        note.contains("Finished without a proof") && note.contains("no bucket"),
        "{note}"
    );
}

#[test]
fn regress_a_work_is_given_up_knowingly_and_its_card_ends_with_the_unit_as_it_was() {
    let mut site = Site::quillmere();
    let address = begun(&mut site);
    let unsure = site.send(&address, &format!("{}&do=give-up", form(4, &site)));
    assert!(unsure.entries.is_empty());
    let mut other = site.state.clone();
    let body = format!("{}&do=give-up&sure=yes", form(4, &site));
    site.keep(&address, &body);
    assert!(page(&site, &address).contains("Given up"));
    // Built otherwise since: the card no longer holds, and says so.
    let known = other.unit(UNIT).unwrap();
    let mut document = known.descriptions.last().unwrap().what.document.clone();
    let stages = document["stages"].as_array_mut().unwrap();
    stages.retain(|stage| stage["kind"] != "pump");
    let described = ledger::payload::UnitDescribed {
        unit: UNIT.to_owned(),
        site: None,
        installed: false,
        document,
    };
    let entry = Entry::new(
        EventId::new(site.now, [5; 10]),
        site.now,
        site.now,
        "Vera",
        "desk",
        &Payload::Unit(described),
    );
    other.extend([entry]);
    let altered = Site::of(other);
    let response = altered.get(&address);
    assert_eq!(response.status, 409, "{}", text(&response));
    html::check("no longer", &text(&response));
    let given_up = altered.send(&address, &body);
    assert!(matches!(
        marks(&given_up)[..],
        [WorkMark::Ended { finished: false }]
    ));
}

#[test]
fn regress_german_pages_of_the_work_are_german() {
    let mut site = Site::quillmere();
    site.language = "de";
    let address = begun(&mut site);
    let shown = page(&site, &address);
    assert!(
        shown.contains("Schritt 1 von") && shown.contains("Warum:"),
        "{shown}"
    );
    assert!(!shown.contains("Step 1") && !shown.contains("Why:"));
    let response = site.get(&format!("/units/{UNIT}/work/none"));
    assert_eq!(response.status, 404);
    assert_eq!(header(&response, "cache-control"), Some("no-store"));
}

/// A work that was just begun, one whose steps are all done, and the addresses of both.
static STAGES: LazyLock<[(Site, String); 2]> = LazyLock::new(|| {
    let stage = |whole: bool| {
        let mut site = Site::quillmere();
        let address = begun(&mut site);
        if whole {
            through(&mut site, &address);
        }
        (site, address)
    };
    [stage(false), stage(true)]
});

fn sent() -> impl Strategy<Value = String> {
    let names = prop::sample::select(vec![
        "w",
        "read",
        "seen",
        "sure",
        "anyway",
        "step",
        "do",
        "note",
        "at",
        "form",
        "seen.carbon",
        "seen.nothing",
        "feed_temperature",
        "inlet_pressure",
        "permeate_flow",
        "permeate_conductivity",
        "feed_conductivity",
    ]);
    let values = prop::sample::select(vec![
        "change:carbon",
        "lay_up",
        "yes",
        "1",
        "2",
        "4294967295",
        "-1",
        "wait",
        "done",
        "undo",
        "judge",
        "finish",
        "give-up",
        "2026-11-21T09:00",
        "9999-12-31T23:59",
        "9 C",
        "400 kPa",
        "36 L/h",
        "500 mL in 71 s",
        "1e999",
        "NaN",
        "0",
        "12 uS/cm",
        "",
    ]);
    (names, values).prop_map(|(name, value)| format!("{name}={}", value.replace(' ', "+")))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]
    #[test]
    fn prop_a_work_takes_any_form_and_ends_whole_or_not_at_all(
        stage in 0..2_usize,
        action in prop::sample::select(vec!["wait", "done", "undo", "judge", "finish", "give-up"]),
        fields in prop::collection::vec(sent(), 0..9),
        query in prop::collection::vec(sent(), 0..2),
        knowingly in any::<bool>(),
    ) {
        let (site, address) = &STAGES[stage];
        let knowingly = if knowingly { "at=2026-11-21T09:00&anyway=yes&sure=yes&" } else { "" };
        let body = format!("do={action}&{knowingly}{}", fields.join("&"));
        let response = site.send(&format!("{address}?{}", query.join("&")), &body);
        prop_assert!(response.status < 500, "{}", response.status);
        prop_assert!(response.status < 400 || response.entries.is_empty());
        let ends = marks(&response);
        let finished = ends.contains(&WorkMark::Ended { finished: true });
        let changed = response.entries.iter().filter(|entry| entry.payload.kind() == ledger::Kind::Event).count();
        // The part is written down with the end, and never without it; and never before the steps are done.
        prop_assert_eq!(changed, usize::from(finished));
        prop_assert!(!finished || stage == 1);
        // With nothing else in the form that could be wrong, it does end.
        if stage == 1 && action == "finish" && !knowingly.is_empty() && fields.is_empty() {
            prop_assert!(finished);
        }
    }
}

/// Finishes on a device of its own, without a signal: what it writes.
fn finished(device: &'static str, person: &'static str, number: u8, minutes: i64, more: &str) -> Vec<Entry> {
    let (ready, address) = &STAGES[1];
    let mut site = Site::of(ready.state.clone());
    site.device = device;
    site.person = person;
    site.now = ready.now.checked_add(SignedDuration::from_mins(minutes)).unwrap();
    let body = format!("{}&anyway=yes&do=finish{more}", form(number, &site));
    let response = site.send(address, &body);
    assert_eq!(response.status, 303, "{}", text(&response));
    assert!(!response.entries.is_empty());
    response.entries
}

/// What a unit's history tells of its last work: changes, readings, remarks.
fn told(state: &ledger::State) -> (usize, usize, usize) {
    let unit = state.unit(UNIT).unwrap();
    (
        unit.events().len(),
        unit.readings().len(),
        unit.papers.notes.len(),
    )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]
    /// Two devices that hear nothing of each other finish one work.
    #[test]
    fn prop_a_work_that_two_devices_finish_is_written_down_once(
        same in any::<bool>(),
        (first, second) in (0_i64..600, 0_i64..600),
        order in any::<bool>(),
        flow in prop::sample::select(vec!["", "&permeate_flow=36+L%2Fh", "&permeate_flow=36+L%2Fh&note=all+dry"]),
    ) {
        let at = "&at=2026-11-21T09%3A00";
        let one = finished("phone", "Vera", 81, first, &format!("{at}{flow}&seen.carbon=grey"));
        let typed = if same { "grey" } else { "black+fines" };
        let other = finished("tablet", "Ivo", 82, second, &format!("&at=2026-11-21T09%3A05{flow}&seen.carbon={typed}"));
        let before = &STAGES[1].0.state;
        let with = |lists: &[&[Entry]]| {
            let mut state = before.clone();
            for list in lists {
                state.extend(list.iter().cloned());
            }
            state
        };
        let both = if order { with(&[&one, &other]) } else { with(&[&other, &one]) };
        let turned = if order { with(&[&other, &one]) } else { with(&[&one, &other]) };
        prop_assert!(both == turned, "the order of arrival matters");
        let alone = with(&[&one]);
        prop_assert_eq!(told(&both), told(&alone));
        prop_assert_eq!(both.len(), alone.len());
        if first != second {
            let earlier = if first < second { &one } else { &other };
            prop_assert!(both == with(&[earlier]), "the one first written does not stand");
        }
        // Again, from either, and in any order: nothing more.
        prop_assert!(both == with(&[&one, &other, &one, &other]));
    }
}

#[test]
fn regress_two_people_who_read_something_else_are_both_believed() {
    let at = "&at=2026-11-21T09%3A00";
    let one = finished("phone", "Vera", 81, 0, &format!("{at}&permeate_flow=36+L%2Fh"));
    let other = finished("tablet", "Ivo", 82, 7, &format!("{at}&permeate_flow=31+L%2Fh"));
    let mut state = STAGES[1].0.state.clone();
    let (events, readings, _) = told(&state);
    state.extend(one);
    state.extend(other);
    let (changed, read, _) = told(&state);
    assert_eq!((changed, read), (events + 1, readings + 2));
}

#[test]
fn regress_what_should_be_read_opens_to_how_it_was_computed() {
    let (site, address) = &STAGES[1];
    let proof = page(site, address);
    let links: Vec<&str> = proof
        .split("href=\"")
        .filter_map(|rest| rest.split('"').next())
        .filter(|link| link.contains("/how/proof/"))
        .collect();
    assert!(links.len() >= 4, "{links:?}");
    for link in links {
        let account = page(site, link);
        assert!(account.contains("<math"), "{link}");
        assert!(
            !account.contains("how-") && !account.contains("symbol-"),
            "{link}: a text is missing"
        );
    }
    let none = site.get(&format!("/units/{UNIT}/how/proof/none.permeate_flow"));
    assert_eq!(none.status, 404);
}

#[test]
fn regress_the_card_of_a_customer_is_offered_only_where_it_is_one() {
    let site = Site::quillmere();
    // This unit has a pump: its electricity must be off for certain.
    let shown = page(&site, CARD);
    assert!(
        shown.contains("/print/card/fern-house?w=change%3Acarbon&amp;paper=a4"),
        "{shown}"
    );
    assert!(!shown.contains("/print/customer/"));
    let mut offered = 0;
    for id in site.state.unit_ids() {
        let shown = text(&site.get(&format!("/units/{id}/work/card?w=change%3Asediment")));
        offered += usize::from(shown.contains("/print/customer/"));
    }
    assert!(
        offered >= 1,
        "no unit of the yard is one whose customer may change a cartridge"
    );
}
