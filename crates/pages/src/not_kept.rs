//! The page for when the shell could not keep what was entered.

use maud::{DOCTYPE, Markup, html};

use crate::frame::assets;
use crate::frame::fields::Fields;
use crate::frame::language::Language;
use crate::frame::layout;
use crate::{Method, Request, Response};

/// Why it could not be kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NotKept {
    /// No room is left where entries are kept: the disk, or the browser's storage.
    Full,
    /// Anything else; the shell knows more.
    Failed,
}

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
    let page = html! {
        (DOCTYPE)
        html lang=(say.tag()) {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                title { (say.say(title)) " \u{b7} Saltmark" }
                link rel="stylesheet" href=(assets::style().path);
            }
            body {
                main id="main" {
                    h1 { (say.say(title)) }
                    p role="alert" { (say.say(reason)) }
                    @if request.method == Method::Post { (typed(request, say)) }
                    p { a href="/" { (say.say("to-due")) } }
                }
            }
        }
    };
    layout::finish(Response::page(status, page.into_string()))
}

/// What was typed, ready to be sent again. A file cannot be put into a form again: its form is a step back.
fn typed(request: &Request<'_>, say: Language) -> Markup {
    let sent = Fields::of_body(request.content_type, request.body).unwrap_or_default();
    if !sent.uploads.is_empty() || sent.iter().next().is_none() {
        return html! { p { (say.say("not-kept-file")) } };
    }
    html! {
        form method="post" action=(request.path) {
            @for (name, value) in sent.iter() {
                @if value.is_empty() || name == "form" {
                    input type="hidden" name=(name) value=(value);
                } @else {
                    p {
                        label {
                            (name.replace(['_', '.'], " ")) " "
                            @if value.contains('\n') {
                                textarea name=(name) { (value) }
                            } @else {
                                input name=(name) value=(value);
                            }
                        }
                    }
                }
            }
            button type="submit" { (say.say("not-kept-again")) }
        }
    }
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
