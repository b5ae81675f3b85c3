//! The page for when the shell could not keep what was entered.

use maud::{DOCTYPE, Markup, html};

use crate::frame::assets;
use crate::frame::language::Language;
use crate::{Method, Request, Response};

/// Why it could not be kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NotKept {
    /// No room is left where entries are kept: the disk, or the browser's storage.
    Full,
    /// Anything else; the shell knows more.
    Failed,
}

/// Fields of a form that are shown again; a longer one is no form of ours.
const MOST_FIELDS: usize = 500;

/// Says that nothing was kept, and shows what was typed in a form that sends it again.
///
/// The shell calls it in the place of the response of [`crate::respond`] when the entries in that response could
/// not be made durable. None of them is in the ledger then.
pub fn not_kept(request: &Request<'_>, why: NotKept) -> Response {
    let say = Language::accepted(request.accept_language);
    let (status, title, reason) = match why {
        NotKept::Full => (507, "not-kept-full-title", "not-kept-full"),
        NotKept::Failed => (500, "not-kept-title", "not-kept"),
    };
    let title = say.say(title);
    let page = html! {
        (DOCTYPE)
        html lang=(say.tag()) {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { (title) }
                link rel="stylesheet" href=(assets::style().path);
            }
            body {
                main {
                    h1 { (title) }
                    p role="alert" { (say.say(reason)) }
                    @if request.method == Method::Post { (typed(request, say)) }
                    p { a href="/" { (say.say("not-kept-first-page")) } }
                }
            }
        }
    };
    let mut response = Response::page(status, page.into_string());
    for (name, value) in [
        (
            "content-security-policy",
            "default-src 'none'; style-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'",
        ),
        ("referrer-policy", "same-origin"),
        ("x-content-type-options", "nosniff"),
        ("cache-control", "no-store"),
    ] {
        response.headers.push((name, value.to_owned()));
    }
    response
}

/// What was typed, ready to be sent again. A file cannot be put into a form again: its form is a step back.
fn typed(request: &Request<'_>, say: Language) -> Markup {
    if !request
        .content_type
        .starts_with("application/x-www-form-urlencoded")
    {
        return html! { p { (say.say("not-kept-step-back")) } };
    }
    let fields: Vec<_> = form_urlencoded::parse(request.body).take(MOST_FIELDS).collect();
    html! {
        form method="post" action=(request.path) {
            @for (name, value) in &fields {
                @if value.is_empty() || is_behind_the_scenes(name) {
                    input type="hidden" name=(name) value=(value);
                } @else {
                    p { label { (name.replace(['_', '-'], " ")) " " input name=(name) value=(value); } }
                }
            }
            button { (say.say("not-kept-send-again")) }
        }
    }
}

/// Names of fields that no person fills in.
fn is_behind_the_scenes(name: &str) -> bool {
    matches!(name, "form" | "form_id" | "id" | "token")
}

#[cfg(test)]
mod tests {
    use super::{NotKept, not_kept};
    use crate::{Method, Request};

    fn posted(content_type: &'static str, body: &'static [u8]) -> Request<'static> {
        Request {
            method: Method::Post,
            path: "/units/north/readings",
            query: "",
            content_type,
            body,
            origin: None,
            own_origin: "http://127.0.0.1:1",
            accept_language: "",
        }
    }

    #[test]
    fn regress_what_was_typed_is_kept_and_escaped() {
        let form = posted(
            "application/x-www-form-urlencoded",
            b"permeate_flow=41+L%2Fh&note=%3Cscript%3E&form=abc",
        );
        let response = not_kept(&form, NotKept::Full);
        let page = String::from_utf8(response.body).unwrap();
        assert_eq!(response.status, 507);
        assert!(page.contains(r#"value="41 L/h""#), "{page}");
        assert!(
            page.contains("&lt;script&gt;") && !page.contains("<script"),
            "{page}"
        );
        assert!(
            page.contains(r#"<input type="hidden" name="form" value="abc""#),
            "{page}"
        );
        assert!(page.contains(r#"action="/units/north/readings""#), "{page}");
    }

    #[test]
    fn regress_a_file_is_not_promised_to_be_there() {
        let response = not_kept(
            &posted("multipart/form-data; boundary=x", b"--x"),
            NotKept::Failed,
        );
        let page = String::from_utf8(response.body).unwrap();
        assert_eq!(response.status, 500);
        assert!(
            page.contains("one page back") && !page.contains("<form"),
            "{page}"
        );
    }
}
