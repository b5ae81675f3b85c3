//! Text to a tree of values, from TOML or JSON.

use serde_json::{Map, Number, Value};

use crate::Invalid;

/// The two formats of case files.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Format {
    /// TOML.
    Toml,
    /// JSON.
    Json,
}

impl Format {
    /// By the extension of the name, else by content: JSON begins with a brace or a bracket that is no
    /// TOML table header.
    pub fn of(name: &str, text: &str) -> Self {
        let extension = name
            .rsplit_once('.')
            .map(|(_, extension)| extension.to_ascii_lowercase());
        match extension.as_deref() {
            Some("toml") => Self::Toml,
            Some("json" | "jsonl") => Self::Json,
            _ => {
                let text = text.trim_start();
                let bracket = text.strip_prefix('[').map(str::trim_start);
                let json_array = bracket.is_some_and(|rest| rest.starts_with(['{', '[', '"', ']']));
                if text.starts_with('{') || (json_array && !text.starts_with("[[")) {
                    Self::Json
                } else {
                    Self::Toml
                }
            }
        }
    }
}

/// A document: its name for messages, and its tree.
#[derive(Clone, Debug)]
pub struct Document {
    /// Name in messages.
    pub file: String,
    /// The tree; always an object at the top.
    pub tree: Map<String, Value>,
}

impl Document {
    /// Reads a document.
    ///
    /// # Errors
    /// Bytes that are no UTF-8 text, or text that is neither TOML nor JSON, with line and column; a top
    /// level that is no table.
    pub fn read(file: &str, bytes: &[u8]) -> Result<Self, Invalid> {
        let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
        let text = std::str::from_utf8(bytes).map_err(|error| {
            let read = format!("bytes that are no UTF-8 text (at byte {})", error.valid_up_to());
            Invalid::one(file, "", read, "a TOML or JSON document in UTF-8")
        })?;
        if text.trim().is_empty() {
            return Err(Invalid::one(
                file,
                "",
                "an empty document",
                "a TOML or JSON document",
            ));
        }
        let value = match Format::of(file, text) {
            Format::Json => serde_json::from_str(text)
                .map_err(|error| Invalid::one(file, "", error.to_string(), "a JSON document"))?,
            Format::Toml => from_toml(file, text)?,
        };
        match value {
            Value::Object(tree) => Ok(Self {
                file: file.to_owned(),
                tree,
            }),
            other => Err(Invalid::one(
                file,
                "",
                shown(&other),
                "a table of named fields at the top level",
            )),
        }
    }
}

fn from_toml(file: &str, text: &str) -> Result<Value, Invalid> {
    let table: toml::Table = toml::from_str(text).map_err(|error| {
        let line = error.span().map_or(1, |span| {
            let before = text.get(..span.start).unwrap_or_default();
            before.matches('\n').count() + 1
        });
        let read = format!("line {line}: {}", error.message().trim());
        Invalid::one(file, "", read, "a TOML document")
    })?;
    Ok(Value::Object(
        table
            .into_iter()
            .map(|(key, value)| (key, from_toml_value(value)))
            .collect(),
    ))
}

fn from_toml_value(value: toml::Value) -> Value {
    match value {
        toml::Value::String(text) => Value::String(text),
        toml::Value::Integer(number) => Value::from(number),
        // A number that JSON can't hold stays visible as text, so that the message can show it.
        toml::Value::Float(number) => {
            Number::from_f64(number).map_or_else(|| Value::String(number.to_string()), Value::Number)
        }
        toml::Value::Boolean(flag) => Value::Bool(flag),
        toml::Value::Datetime(time) => Value::String(time.to_string()),
        toml::Value::Array(items) => Value::Array(items.into_iter().map(from_toml_value).collect()),
        toml::Value::Table(table) => Value::Object(
            table
                .into_iter()
                .map(|(key, value)| (key, from_toml_value(value)))
                .collect(),
        ),
    }
}

/// A value as it is shown in a message: short, quoted where it was text.
pub(crate) fn shown(value: &Value) -> String {
    let text = match value {
        Value::Array(items) => format!("a list of {}", items.len()),
        Value::Object(fields) => {
            let names: Vec<_> = fields.keys().take(4).map(String::as_str).collect();
            format!("a table {{{}}}", names.join(", "))
        }
        other => other.to_string(),
    };
    if text.chars().count() > 80 {
        let short: String = text.chars().take(77).collect();
        format!("{short}...")
    } else {
        text
    }
}
