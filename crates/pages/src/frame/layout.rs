//! The layout of a page, and the headers that every answer has.

use maud::{DOCTYPE, Markup, html};

use super::ask::Ask;
use super::assets;
use crate::{Place, Response};

/// What a page may load and do: nothing from elsewhere, no script or style in the page itself.
const POLICY: &str = "default-src 'none'; style-src 'self'; img-src 'self' data:; script-src 'self'; \
    connect-src 'self'; worker-src 'self'; manifest-src 'self'; form-action 'self'; base-uri 'none'; \
    frame-ancestors 'none'";

/// Pictures carry a style of their own, and nothing else.
const PICTURE_POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'; frame-ancestors 'none'";

/// A page: its title and what stands in it.
pub(crate) struct Page<'a> {
    /// Stands in the browser's tab.
    pub(crate) title: &'a str,
    /// Which of the main addresses it belongs to.
    pub(crate) section: &'a str,
    /// The steps above it: address and words.
    pub(crate) above: Vec<(String, String)>,
    /// HTTP status.
    pub(crate) status: u16,
    /// Everything below the heading, the heading with it.
    pub(crate) body: Markup,
}

/// The main addresses with the keys of their words.
const MAIN: [(&str, &str); 4] = [
    ("/", "nav-due"),
    ("/sites", "nav-sites"),
    ("/customers", "nav-customers"),
    ("/settings", "nav-settings"),
];

impl Page<'_> {
    /// A page in its section.
    pub(crate) fn new<'a>(title: &'a str, section: &'a str, body: Markup) -> Page<'a> {
        Page {
            title,
            section,
            above: Vec::new(),
            status: 200,
            body,
        }
    }

    /// The response.
    pub(crate) fn answer(self, ask: &Ask<'_>) -> Response {
        let say = ask.say;
        let page = html! {
            (DOCTYPE)
            html lang=(say.tag()) {
                head {
                    meta charset="utf-8";
                    meta name="viewport" content="width=device-width, initial-scale=1";
                    meta name="color-scheme" content="light dark";
                    title { (self.title) " \u{b7} Saltmark" }
                    link rel="stylesheet" href=(assets::style().path);
                    script src=(assets::stopwatch().path) defer {}
                    script src=(assets::timer().path) defer {}
                    script src=(assets::kept().path) defer {}
                    // The shell's: the worker that answers without a signal, and what makes the pages installable.
                    script src="/register.js" defer {}
                    link rel="manifest" href="/manifest.webmanifest";
                    link rel="icon" href="/icon.svg" type="image/svg+xml";
                }
                body {
                    a.skip href="#main" { (say.say("skip")) }
                    header.top {
                        nav aria-label=(say.say("nav-main")) {
                            ul {
                                @for (href, key) in MAIN {
                                    li { a href=(href) aria-current=[(self.section == href).then_some("page")] { (say.say(key)) } }
                                }
                            }
                        }
                        p.who {
                            a href="/who" {
                                @if ask.at.person.is_empty() { (say.say("who-nobody")) } @else { (ask.at.person) }
                            }
                        }
                    }
                    @if let Place::Field { waiting } = ask.at.place {
                        p.waiting role="status" data-waiting=(waiting) {
                            @if waiting == 0 { (say.say("waiting-none")) }
                            @else { (say.with("waiting", &[("n", waiting.into())])) }
                        }
                    }
                    main id="main" tabindex="-1" {
                        @if !self.above.is_empty() {
                            nav.above aria-label=(say.say("nav-above")) {
                                ol { @for (href, words) in &self.above { li { a href=(href) { (words) } } } }
                            }
                        }
                        (self.body)
                    }
                    footer { p { (say.say("caution")) } }
                }
            }
        };
        Response::page(self.status, page.into_string())
    }
}

/// Puts the headers that every answer has.
pub(crate) fn finish(mut response: Response) -> Response {
    let picture = response
        .headers
        .iter()
        .any(|(name, value)| *name == "content-type" && value.starts_with("image/svg"));
    let usual = [
        (
            "content-security-policy",
            if picture { PICTURE_POLICY } else { POLICY },
        ),
        ("referrer-policy", "same-origin"),
        ("x-content-type-options", "nosniff"),
        ("cross-origin-opener-policy", "same-origin"),
        ("cross-origin-resource-policy", "same-origin"),
        ("permissions-policy", "camera=(), geolocation=(), microphone=()"),
        ("cache-control", "no-store"),
    ];
    for (name, value) in usual {
        if response.headers.iter().all(|(other, _)| *other != name) {
            response.headers.push((name, value.to_owned()));
        }
    }
    response
}

/// Goes on to another page (303): reloading that one writes nothing again.
pub(crate) fn see(address: &str) -> Response {
    Response {
        status: 303,
        headers: vec![("location", address.to_owned())],
        ..Response::default()
    }
}

/// A picture.
pub(crate) fn svg(picture: String) -> Response {
    Response {
        status: 200,
        headers: vec![("content-type", "image/svg+xml; charset=utf-8".to_owned())],
        body: picture.into_bytes(),
        ..Response::default()
    }
}

/// A page with one sentence.
pub(crate) fn message(ask: &Ask<'_>, status: u16, title: &str, sentence: &str) -> Response {
    let title = ask.say.say(title);
    let body = html! {
        h1 { (title) }
        p { (ask.say.say(sentence)) }
        p { a href="/" { (ask.say.say("to-due")) } }
    };
    Page {
        status,
        ..Page::new(&title, "", body)
    }
    .answer(ask)
}

/// There is nothing at this address.
pub(crate) fn not_found(ask: &Ask<'_>) -> Response {
    message(ask, 404, "not-found-title", "not-found")
}

/// The address is there, and can't be asked for in this way.
pub(crate) fn not_that_way(ask: &Ask<'_>) -> Response {
    message(ask, 405, "not-found-title", "not-that-way")
}
