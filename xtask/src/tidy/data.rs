//! Rules for data files: where one row says its source, every row does.

use toml::Value;

use super::TextFile;

const COLUMN: &str = "source";

pub(super) fn breaches(file: &TextFile) -> Vec<String> {
    let found = if file.has_extension("csv") {
        csv_breaches(&file.text)
    } else if file.has_extension("toml") {
        toml_breaches(&file.text)
    } else {
        Vec::new()
    };
    found
        .into_iter()
        .map(|breach| format!("{}{breach}", file.path))
        .collect()
}

/// A table with a column `source` has it filled in every row. Other CSV files are not ours to judge: a reading log
/// may be as untidy as it likes.
fn csv_breaches(text: &str) -> Vec<String> {
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .flexible(true)
        .from_reader(text.as_bytes());
    let Some(column) = reader
        .headers()
        .ok()
        .and_then(|headers| headers.iter().position(|name| name == COLUMN))
    else {
        return Vec::new();
    };
    let mut breaches = Vec::new();
    for record in reader.records() {
        match record {
            Ok(record) if record.get(column).is_some_and(|source| !source.trim().is_empty()) => {}
            Ok(record) => {
                let line = record.position().map_or(0, csv::Position::line);
                breaches.push(format!(":{line}: the column {COLUMN} is empty"));
            }
            Err(error) => breaches.push(format!(": {error}")),
        }
    }
    breaches
}

fn toml_breaches(text: &str) -> Vec<String> {
    match text.parse::<toml::Table>() {
        Ok(table) => {
            let mut breaches = Vec::new();
            look_into(&Value::Table(table), "", &mut breaches);
            breaches
        }
        Err(error) => vec![format!(": is no TOML: {}", error.message())],
    }
}

/// Looks through arrays of tables at any depth.
fn look_into(value: &Value, path: &str, breaches: &mut Vec<String>) {
    match value {
        Value::Table(table) => {
            for (key, inner) in table {
                look_into(inner, &format!("{path}.{key}"), breaches);
            }
        }
        Value::Array(rows) => {
            let has_column = rows.iter().any(|row| row.get(COLUMN).is_some());
            for (index, row) in rows.iter().enumerate() {
                let source = row.get(COLUMN).and_then(Value::as_str).unwrap_or_default();
                if has_column && source.trim().is_empty() {
                    breaches.push(format!(
                        ": {}[{index}].{COLUMN} is empty",
                        path.trim_start_matches('.')
                    ));
                }
                look_into(row, &format!("{path}[{index}]"), breaches);
            }
        }
        _ => {}
    }
}

#[cfg(test)]
mod tests {
    use super::{csv_breaches, toml_breaches};

    #[test]
    fn a_csv_row_without_its_source_is_found_by_its_line() {
        let text = "# constants\nname,value,source\na,1,\"Smith, 1990\"\nb,2, \nc,3\n";
        assert_eq!(
            csv_breaches(text),
            [":4: the column source is empty", ":5: the column source is empty"]
        );
        assert!(csv_breaches("Date,RO ppm\n1,2\n").is_empty());
        assert!(csv_breaches("").is_empty());
    }

    #[test]
    fn a_toml_row_without_its_source_is_found_by_its_place() {
        let text =
            "[[minerals.list]]\nsource = \"x\"\n[[minerals.list]]\nname = \"b\"\n[[plain]]\nname = \"c\"\n";
        assert_eq!(toml_breaches(text), [": minerals.list[1].source is empty"]);
        assert_eq!(toml_breaches("a = ").len(), 1);
    }
}
