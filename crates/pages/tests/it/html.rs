//! What every page is checked for: a strict parser reads it, headings go down one at a time, every field has a label.

use std::collections::BTreeSet;

/// Elements of HTML that have no end (HTML Standard, 13.1.2, "void elements").
const VOID: [&str; 6] = ["br", "img", "input", "link", "meta", "source"];

/// A page as a tree: HTML as maud writes it is XML once void elements are closed and bare attributes have values.
pub(crate) fn as_xml(page: &str) -> String {
    let mut out = String::with_capacity(page.len());
    let mut rest = page.trim_start_matches("<!DOCTYPE html>");
    while let Some(start) = rest.find('<') {
        out.push_str(&rest[..start]);
        let tag_rest = &rest[start..];
        let mut quoted = false;
        let end = tag_rest
            .char_indices()
            .find(|(_, c)| {
                if *c == '"' {
                    quoted = !quoted;
                }
                *c == '>' && !quoted
            })
            .map(|(at, _)| at)
            .unwrap();
        let tag = &tag_rest[1..end];
        let name: String = tag.chars().take_while(char::is_ascii_alphanumeric).collect();
        let mut tag = tag.to_owned();
        for bare in [
            "required",
            "selected",
            "checked",
            "defer",
            "open",
            "multiple",
            "data-fill",
        ] {
            let with_space = format!(" {bare}");
            if let Some(at) = tag.find(&with_space) {
                let after = at + with_space.len();
                if !tag[after..].starts_with('=') && (tag.len() == after || tag[after..].starts_with(' ')) {
                    tag.insert_str(after, "=\"\"");
                }
            }
        }
        out.push('<');
        out.push_str(&tag);
        if VOID.contains(&name.as_str()) {
            out.push('/');
        }
        out.push('>');
        rest = &tag_rest[end + 1..];
    }
    out.push_str(rest);
    out
}

/// Checks a page.
pub(crate) fn check(address: &str, page: &str) {
    assert!(page.starts_with("<!DOCTYPE html>"), "{address}");
    let xml = as_xml(page);
    let tree = roxmltree::Document::parse(&xml).unwrap_or_else(|error| panic!("{address}: {error}\n{xml}"));
    let named = |name: &str| {
        tree.descendants()
            .filter(|node| node.has_tag_name(name))
            .collect::<Vec<_>>()
    };
    assert!(
        tree.root_element().attribute("lang").is_some(),
        "{address}: no language"
    );
    assert_eq!(named("h1").len(), 1, "{address}: one h1");
    assert_eq!(named("main").len(), 1, "{address}");
    assert_eq!(named("title").len(), 1, "{address}");

    // Headings never skip a level downwards (WCAG 2.2 technique G141).
    let mut level = 0;
    for node in tree.descendants().filter(roxmltree::Node::is_element) {
        if let Some(digit) = node
            .tag_name()
            .name()
            .strip_prefix('h')
            .and_then(|d| d.parse::<u32>().ok())
        {
            assert!(digit <= level + 1, "{address}: h{digit} after h{level}");
            level = digit;
        }
    }

    let mut ids = BTreeSet::new();
    for node in tree.descendants() {
        if let Some(id) = node.attribute("id") {
            assert!(ids.insert(id.to_owned()), "{address}: id {id} stands twice");
        }
        // The content-security policy would stop them.
        assert!(node.attribute("style").is_none(), "{address}: style in the page");
        for (name, _) in node.attributes().map(|a| (a.name(), a.value())) {
            assert!(!name.starts_with("on"), "{address}: script in the page");
        }
    }
    assert!(named("style").is_empty(), "{address}");
    for script in named("script") {
        assert!(
            script.text().is_none_or(str::is_empty),
            "{address}: script in the page"
        );
    }

    // Every field has a label of its own (WCAG 2.2, 1.3.1, 3.3.2, 4.1.2).
    let labels: BTreeSet<&str> = named("label")
        .iter()
        .filter_map(|label| label.attribute("for"))
        .collect();
    for field in ["input", "select", "textarea"].into_iter().flat_map(named) {
        if field.attribute("type") == Some("hidden") {
            continue;
        }
        let labelled = field.attribute("id").is_some_and(|id| labels.contains(id))
            || field.ancestors().any(|node| node.has_tag_name("label"))
            // In a table the headings are in sight, and the name is said in words (technique ARIA14).
            || field.attribute("aria-label").is_some_and(|label| label.len() > 2);
        assert!(labelled, "{address}: a field without a label: {field:?}");
        for described in field
            .attribute("aria-describedby")
            .unwrap_or_default()
            .split_whitespace()
        {
            assert!(
                ids.contains(described),
                "{address}: described by {described}, which is not there"
            );
        }
    }
    for image in named("img") {
        assert!(
            image.attribute("alt").is_some_and(|alt| !alt.is_empty()),
            "{address}: a picture without words"
        );
    }
    for node in named("th") {
        assert!(
            node.attribute("scope").is_some(),
            "{address}: a heading of a table without scope"
        );
    }
    // Nothing is fetched from elsewhere.
    for attribute in ["href", "src", "srcset", "action"] {
        for value in tree.descendants().filter_map(|node| node.attribute(attribute)) {
            assert!(
                value.starts_with('/') || value.starts_with('#'),
                "{address}: {attribute}={value}"
            );
            assert!(!value.starts_with("//"), "{address}: {attribute}={value}");
        }
    }
    for text in tree
        .descendants()
        .filter(roxmltree::Node::is_text)
        .filter_map(|node| node.text())
    {
        assert!(!text.contains("\u{2068}"), "{address}: a mark of direction");
    }
}

/// What a browser would send of the last form of a page, as it stands (HTML Standard, 4.10.22.4, "constructing the entry
/// list"); buttons and files are left out.
pub(crate) fn fields(page: &str) -> Vec<(String, String)> {
    let xml = as_xml(page);
    let tree = roxmltree::Document::parse(&xml).unwrap();
    let form = tree
        .descendants()
        .rfind(|node| node.has_tag_name("form"))
        .unwrap();
    let mut fields = Vec::new();
    for node in form.descendants() {
        let Some(name) = node.attribute("name") else {
            continue;
        };
        let value = match node.tag_name().name() {
            "input" => match node.attribute("type") {
                Some("checkbox") if node.attribute("checked").is_none() => None,
                Some("file") => None,
                _ => Some(node.attribute("value").unwrap_or("on").to_owned()),
            },
            "select" => {
                let mut options = node.children().filter(roxmltree::Node::is_element);
                let first = options.clone().next();
                let chosen = options
                    .find(|option| option.attribute("selected").is_some())
                    .or(first);
                chosen
                    .and_then(|option| option.attribute("value"))
                    .map(str::to_owned)
            }
            "textarea" => Some(node.text().unwrap_or_default().to_owned()),
            _ => None,
        };
        fields.extend(value.map(|value| (name.to_owned(), value)));
    }
    fields
}
