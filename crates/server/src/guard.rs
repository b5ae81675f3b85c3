//! Who may ask: only this machine by its own names, and only this application's own pages may change anything.

use axum::http::{HeaderMap, HeaderValue, Method, StatusCode, header};

/// Names under which a browser on this machine reaches it.
const OWN_NAMES: [&str; 2] = ["localhost", "[::1]"];

/// The application's origin as the browser sees it, such as `http://127.0.0.1:7380`.
///
/// # Errors
/// A request that was meant for another host: a foreign site whose name was made to point here.
pub(crate) fn own_origin(headers: &HeaderMap) -> Result<String, StatusCode> {
    let host = headers.get(header::HOST).and_then(|host| host.to_str().ok());
    let host = host.ok_or(StatusCode::BAD_REQUEST)?;
    let name = match host.rsplit_once(':') {
        Some((name, port)) if port.parse::<u16>().is_ok() => name,
        _ => host,
    };
    let is_own = OWN_NAMES.contains(&name)
        || name
            .parse::<std::net::Ipv4Addr>()
            .is_ok_and(|address| address.is_loopback());
    if is_own {
        Ok(format!("http://{host}"))
    } else {
        Err(StatusCode::MISDIRECTED_REQUEST)
    }
}

/// Makes sure that what changes something comes from a page of our own. A browser says where a form comes from in
/// `Origin`, and in `Sec-Fetch-Site`; what says neither is no browser, and nobody's cookies are with it.
///
/// # Errors
/// A form of another origin.
pub(crate) fn may_change(method: &Method, headers: &HeaderMap, own_origin: &str) -> Result<(), StatusCode> {
    if matches!(*method, Method::GET | Method::HEAD) {
        return Ok(());
    }
    let is_own = match (headers.get(header::ORIGIN), headers.get("sec-fetch-site")) {
        (Some(origin), _) => origin.as_bytes() == own_origin.as_bytes(),
        (None, Some(site)) => site == HeaderValue::from_static("same-origin"),
        (None, None) => true,
    };
    if is_own {
        Ok(())
    } else {
        Err(StatusCode::FORBIDDEN)
    }
}

/// What to say with a status, for a person.
pub(crate) fn sentence(status: StatusCode) -> &'static str {
    match status {
        StatusCode::FORBIDDEN => "This was not sent by a page of Saltmark, and nothing was changed.",
        StatusCode::MISDIRECTED_REQUEST => "Saltmark answers at 127.0.0.1, [::1] and localhost only.",
        StatusCode::PAYLOAD_TOO_LARGE => {
            "This is too large; accepted are 20 MB for a photograph, a paper or a log. Nothing was kept."
        }
        StatusCode::REQUEST_TIMEOUT => "This took too long to arrive. Nothing was kept.",
        StatusCode::UNSUPPORTED_MEDIA_TYPE => {
            "This is no JPEG, PNG, WebP or PDF file, no workbook and no text. Nothing was kept."
        }
        StatusCode::METHOD_NOT_ALLOWED => "Accepted are GET and POST.",
        StatusCode::NOT_FOUND => "There is nothing here.",
        StatusCode::BAD_REQUEST => "This request was not understood. Nothing was kept.",
        _ => "It could not be done. Nothing was kept.",
    }
}

#[cfg(test)]
mod tests {
    use axum::http::{HeaderMap, HeaderValue, Method, header};

    use super::{may_change, own_origin};

    fn with(name: header::HeaderName, value: &'static str) -> HeaderMap {
        HeaderMap::from_iter([(name, HeaderValue::from_static(value))])
    }

    #[test]
    fn regress_only_own_names_are_answered() {
        for host in [
            "127.0.0.1:7380",
            "localhost:7380",
            "[::1]:1",
            "localhost",
            "127.0.0.1",
        ] {
            let origin = own_origin(&with(header::HOST, host)).unwrap();
            assert_eq!(origin, format!("http://{host}"));
        }
        for host in [
            "shop.example:7380",
            "127.0.0.1.shop.example",
            "192.168.0.2:7380",
            "",
            "[::2]:1",
        ] {
            assert!(own_origin(&with(header::HOST, host)).is_err(), "{host}");
        }
        assert!(own_origin(&HeaderMap::new()).is_err());
    }

    #[test]
    fn regress_foreign_forms_change_nothing() {
        let own = "http://127.0.0.1:7380";
        let post = |headers: &HeaderMap| may_change(&Method::POST, headers, own).is_ok();
        assert!(post(&with(header::ORIGIN, "http://127.0.0.1:7380")));
        for foreign in [
            "null",
            "http://127.0.0.1:7381",
            "http://shop.example",
            "https://127.0.0.1:7380",
            "",
        ] {
            assert!(!post(&with(header::ORIGIN, foreign)), "{foreign}");
        }
        let site = header::HeaderName::from_static("sec-fetch-site");
        assert!(!post(&with(site, "same-site")));
        assert!(post(&HeaderMap::new()));
        let foreign = with(header::ORIGIN, "http://shop.example");
        assert!(may_change(&Method::GET, &foreign, own).is_ok());
    }
}
