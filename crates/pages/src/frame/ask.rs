//! A request with everything that is needed to answer it.

use std::cell::Cell;
use std::sync::Arc;

use jiff::Timestamp;
use jiff::tz::TimeZone;
use ledger::{ContentHash, Entry, EventId, Payload, State};
use wear::History;

use super::fields::Fields;
use super::language::Language;
use super::layout;
use super::measure::Measures;
use crate::memo::{Whole, end_of_day, history};
use crate::{Circumstances, Memo, Place, Request, Response};

/// Who asks, and where.
pub(crate) struct Asking<'a> {
    /// The name; empty where nobody has said.
    pub(crate) person: &'a str,
    pub(crate) place: Place,
}

/// A request with everything that is needed to answer it.
pub(crate) struct Ask<'a> {
    pub(crate) state: &'a State,
    pub(crate) memo: &'a Memo,
    pub(crate) request: &'a Request<'a>,
    pub(crate) at: Asking<'a>,
    circumstances: &'a Circumstances<'a>,
    /// Whether something was looked at that the next request does not share: the time, the device, random bytes.
    for_once: Cell<bool>,
    /// What stands behind the question mark.
    pub(crate) query: Fields,
    /// What was sent; empty where that is no form.
    pub(crate) sent: Fields,
    is_form: bool,
    /// The reader's language.
    pub(crate) say: Language,
    /// The reader's units of measure.
    pub(crate) measures: Measures,
}

impl<'a> Ask<'a> {
    pub(crate) fn new(
        state: &'a State,
        memo: &'a Memo,
        request: &'a Request<'a>,
        at: &'a Circumstances<'a>,
    ) -> Self {
        let person = state.person(at.person);
        let language = person
            .and_then(|person| person.settings.get("language")?.what.as_str())
            .and_then(Language::of_tag);
        let say = language.unwrap_or_else(|| Language::accepted(request.accept_language));
        let sent = Fields::of_body(request.content_type, request.body);
        Self {
            state,
            memo,
            request,
            at: Asking {
                person: at.person,
                place: at.place,
            },
            circumstances: at,
            for_once: Cell::new(false),
            query: Fields::urlencoded(request.query),
            is_form: sent.is_some(),
            sent: sent.unwrap_or_default(),
            say,
            measures: Measures::of(person, request.accept_language, say),
        }
    }

    /// Why a form is not taken: it comes from elsewhere, or is none.
    pub(crate) fn refusal(&self) -> Option<Response> {
        let ours = match self.request.origin {
            // Every browser of today names the origin of a form; what names none is no browser.
            None | Some("null") => false,
            Some(origin) => origin == self.request.own_origin,
        };
        if !ours {
            return Some(layout::message(self, 403, "refused-title", "refused-origin"));
        }
        (!self.is_form).then(|| layout::message(self, 400, "refused-title", "refused-no-form"))
    }

    /// Now. What is made with it is made anew for each request: where the day is enough, ask for [`Ask::today`].
    pub(crate) fn now(&self) -> Timestamp {
        self.for_once.set(true);
        self.circumstances.now
    }

    /// The end of this day, UTC, which all evaluations of a day are made as of.
    pub(crate) fn today(&self) -> Timestamp {
        end_of_day(self.circumstances.now)
    }

    /// Which device this is.
    pub(crate) fn device(&self) -> &'a str {
        self.for_once.set(true);
        self.circumstances.device
    }

    /// Whether the answer is for this request only; else it holds as long as what `kept` keys it by.
    pub(crate) fn is_for_once(&self) -> bool {
        self.for_once.get()
    }

    /// The evaluation of a unit as of today; none where the unit was never described.
    pub(crate) fn whole(&self, unit: &str) -> Option<Arc<Whole>> {
        self.memo.whole(self.state, unit, self.circumstances.now)
    }

    /// What that evaluation is made from.
    pub(crate) fn history(&self, unit: &str) -> Option<History<'a>> {
        history(self.state, unit, self.today())
    }

    /// A new form's hidden id: its time, and bytes that no other has.
    pub(crate) fn new_form_id(&self) -> EventId {
        let mut random = [0; 10];
        self.for_once.set(true);
        random.copy_from_slice(&self.circumstances.random[..10]);
        EventId::new(self.now(), random)
    }

    /// The id of the form that was sent; a new one where it has none.
    pub(crate) fn form_id(&self) -> EventId {
        self.sent
            .get("form")
            .parse()
            .unwrap_or_else(|_| self.new_form_id())
    }

    /// The id of the entry that this form, with what is in it, makes: the same when it is sent again, another when
    /// something in it was changed. A form may make several, told apart by `which`.
    pub(crate) fn entry_id(&self, which: &str) -> EventId {
        let files: Vec<(&str, String)> = self
            .sent
            .uploads
            .iter()
            .map(|upload| (upload.field.as_str(), ContentHash::of(&upload.bytes).to_string()))
            .collect();
        let form = self.form_id();
        let at = i64::try_from(form.unix_ms())
            .ok()
            .and_then(|ms| Timestamp::from_millisecond(ms).ok())
            .unwrap_or(self.now());
        let typed = self
            .sent
            .iter()
            .filter(|(name, _)| *name != "form")
            .flat_map(|(name, value)| [name.as_bytes(), value.as_bytes()]);
        let said = [
            form.as_bytes().as_slice(),
            self.request.path.as_bytes(),
            which.as_bytes(),
        ];
        let files = files
            .iter()
            .flat_map(|(field, hash)| [field.as_bytes(), hash.as_bytes()]);
        EventId::of_content(at, said.into_iter().chain(typed).chain(files))
    }

    /// The entry that this form makes.
    pub(crate) fn entry(&self, which: &str, happened_at: Timestamp, payload: &Payload) -> Entry {
        let by = if self.at.person.is_empty() {
            "?"
        } else {
            self.at.person
        };
        Entry::new(
            self.entry_id(which),
            happened_at,
            self.now(),
            by,
            self.device(),
            payload,
        )
    }

    /// Writes down, and goes on to another page. What was written down already is not written again.
    pub(crate) fn keep(&self, entries: Vec<Entry>, then: &str) -> Response {
        Response {
            entries: entries
                .into_iter()
                .filter(|entry| !self.state.contains(entry.id))
                .collect(),
            ..layout::see(then)
        }
    }

    /// A day in words.
    pub(crate) fn day(&self, at: Timestamp, zone: &TimeZone) -> String {
        let date = zone.to_datetime(at).date();
        let month = self.say.say(&format!("month-{}", date.month()));
        self.say.with(
            "date",
            &[
                ("day", date.day().to_string().into()),
                ("month", month.into()),
                ("year", date.year().to_string().into()),
            ],
        )
    }

    /// A day and a time of day.
    pub(crate) fn moment(&self, at: Timestamp, zone: &TimeZone) -> String {
        let time = zone.to_datetime(at).strftime("%H:%M").to_string();
        format!("{}, {time}", self.day(at, zone))
    }
}
