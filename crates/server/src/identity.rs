//! Who is at which device: two cookies that no script can read and no other site sends.

use axum::http::{HeaderMap, HeaderValue, header};

use crate::Error;
use crate::random;

/// Who is at the device. Also the name of the header in which a worker says and hears it.
pub(crate) const PERSON: &str = "saltmark-person";
/// Which device it is.
pub(crate) const DEVICE: &str = "saltmark-device";

/// The longest name that is kept, in characters.
const LONGEST_NAME: usize = 80;

/// Longer than any browser keeps a cookie: 400 days, in seconds.
const KEPT_FOR_S: u32 = 34_560_000;

/// Who asks, on which device.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Identity {
    /// Empty where nobody has said.
    pub(crate) person: String,
    /// Its name.
    pub(crate) device: String,
    /// Whether the device has its name from now on.
    pub(crate) is_new: bool,
}

impl Identity {
    /// Who asks. A device without a name is given one, which it keeps, unless the request came from another site:
    /// then the cookies were not sent, and may well be there.
    pub(crate) fn of(headers: &HeaderMap) -> Result<Self, Error> {
        let person = cookie(headers, PERSON).unwrap_or_default();
        if let Some(device) = cookie(headers, DEVICE) {
            return Ok(Self {
                person,
                device,
                is_new: false,
            });
        }
        let [high, low] = random::bytes()?;
        let foreign = headers
            .get("sec-fetch-site")
            .is_some_and(|site| site != "same-origin" && site != "none");
        Ok(Self {
            person,
            device: format!("browser {high:02x}{low:02x}"),
            is_new: !foreign,
        })
    }
}

/// A name as it is kept: no control characters, no blanks around it, not too long; none where nothing is left.
pub(crate) fn name(text: &str) -> Option<String> {
    let name: String = text
        .chars()
        .filter(|character| !character.is_control())
        .take(LONGEST_NAME)
        .collect();
    let name = name.trim();
    (!name.is_empty()).then(|| name.to_owned())
}

/// A name in letters that a header holds.
pub(crate) fn encoded(name: &str) -> String {
    form_urlencoded::byte_serialize(name.as_bytes()).collect()
}

/// A name out of a header.
pub(crate) fn decoded(text: &str) -> Option<String> {
    let mut pairs = form_urlencoded::parse(text.as_bytes());
    let (decoded, _) = pairs.next()?;
    name(&decoded)
}

fn cookie(headers: &HeaderMap, wanted: &str) -> Option<String> {
    let lines = headers.get_all(header::COOKIE).into_iter();
    let cookies = lines
        .filter_map(|line| line.to_str().ok())
        .flat_map(|line| line.split(';'))
        .filter_map(|cookie| cookie.trim().split_once('='));
    let mut values = cookies.filter(|(name, _)| *name == wanted);
    values.next().and_then(|(_, value)| decoded(value))
}

/// The header that keeps a name in the browser.
pub(crate) fn kept(cookie: &str, name: &str) -> Option<HeaderValue> {
    let value = encoded(name);
    HeaderValue::try_from(format!(
        "{cookie}={value}; Path=/; Max-Age={KEPT_FOR_S}; HttpOnly; SameSite=Strict"
    ))
    .ok()
}

#[cfg(test)]
mod tests {
    use axum::http::{HeaderMap, HeaderValue, header};

    use super::{DEVICE, Identity, PERSON, kept};

    #[test]
    fn regress_names_come_back_as_they_were() {
        let mut headers = HeaderMap::new();
        for (cookie, name) in [(PERSON, "Zoë & Søn; =%"), (DEVICE, "van 2")] {
            let kept = kept(cookie, name).unwrap();
            let text = kept.to_str().unwrap();
            assert!(text.ends_with("HttpOnly; SameSite=Strict"), "{text}");
            let pair = text.split("; ").next().unwrap();
            headers.append(header::COOKIE, HeaderValue::try_from(pair).unwrap());
        }
        let identity = Identity::of(&headers).unwrap();
        assert_eq!(
            (identity.person.as_str(), identity.device.as_str()),
            ("Zoë & Søn; =%", "van 2")
        );
        assert!(!identity.is_new);
    }

    #[test]
    fn regress_a_device_is_not_renamed_by_a_link_from_elsewhere() {
        let mut headers = HeaderMap::new();
        assert!(Identity::of(&headers).unwrap().is_new);
        headers.insert("sec-fetch-site", HeaderValue::from_static("cross-site"));
        assert!(!Identity::of(&headers).unwrap().is_new);
    }
}
