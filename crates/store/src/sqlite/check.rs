//! Looks at every byte.

use ledger::{ContentHash, Encoded, EventId, Kind, Subject};
use rusqlite::Connection;

use super::SqliteStore;
use crate::Error;

/// More than this many sentences help nobody.
const MOST: usize = 100;

/// What is wrong, in sentences.
pub(super) fn check(store: &SqliteStore) -> Result<Vec<String>, Error> {
    let mut problems = Vec::new();
    let looked = pages(&store.connection, &mut problems).and_then(|()| {
        // Where pages are broken the rest says nothing more.
        if problems.is_empty() {
            entries(&store.connection, &mut problems)?;
            contents(&store.connection, &mut problems)?;
        }
        Ok(())
    });
    match looked.map_err(|error| store.failed(error)) {
        Ok(()) => {}
        Err(Error::Damaged { what, .. }) => problems.push(what),
        Err(other) => return Err(other),
    }
    problems.truncate(MOST);
    Ok(problems)
}

fn pages(connection: &Connection, problems: &mut Vec<String>) -> rusqlite::Result<()> {
    let mut statement = connection.prepare(&format!("PRAGMA integrity_check({MOST})"))?;
    for line in statement.query_map([], |row| row.get::<_, String>(0))? {
        let line = line?;
        if line != "ok" {
            problems.push(line);
        }
    }
    let mut statement = connection.prepare("PRAGMA foreign_key_check")?;
    for table in statement.query_map([], |row| row.get::<_, String>(0))? {
        problems.push(format!("a row of table {} refers to nothing", table?));
    }
    Ok(())
}

/// Every entry has an id, a payload, and stands where its payload says.
fn entries(connection: &Connection, problems: &mut Vec<String>) -> rusqlite::Result<()> {
    let mut statement = connection.prepare(
        "SELECT arrival, entry.id, kind, payload, sort, subject.id FROM entry LEFT JOIN subject USING (subject_id)",
    )?;
    let mut rows = statement.query([])?;
    while let Some(row) = rows.next()? {
        let arrival: i64 = row.get(0)?;
        let (kind, payload): (String, String) = (row.get(2)?, row.get(3)?);
        let (sort, id): (Option<String>, Option<String>) = (row.get(4)?, row.get(5)?);
        let subject = sort
            .zip(id)
            .and_then(|(sort, id)| Subject::from_parts(&sort, &id));
        let problem = match (EventId::from_bytes(row.get(1)?), Encoded::from_json(&payload)) {
            (Err(error), _) | (_, Err(error)) => error.to_string(),
            (Ok(_), Ok(encoded)) if encoded.kind() != Kind::from_name(&kind) => {
                format!("filed as {kind:?}, which it is not")
            }
            (Ok(_), Ok(encoded)) if encoded.subject() != subject.as_ref() => {
                "filed under another subject than its own".to_owned()
            }
            _ => continue,
        };
        problems.push(format!("entry {arrival}: {problem}"));
        if problems.len() >= MOST {
            break;
        }
    }
    Ok(())
}

/// Every content has the hash under which it is found.
fn contents(connection: &Connection, problems: &mut Vec<String>) -> rusqlite::Result<()> {
    let mut statement = connection.prepare("SELECT hash, bytes FROM attachment")?;
    let mut rows = statement.query([])?;
    while let Some(row) = rows.next()? {
        let hash = ContentHash::from_bytes(row.get(0)?);
        let bytes = row.get_ref(1)?.as_blob().unwrap_or_default();
        if ContentHash::of(bytes) != hash {
            problems.push(format!("the attachment {hash} is not what it was"));
        }
    }
    Ok(())
}
