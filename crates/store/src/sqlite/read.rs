//! Reading entries.

use std::cell::RefCell;
use std::collections::HashMap;
use std::sync::Arc;

use jiff::Timestamp;
use ledger::{Encoded, Entry, EventId, Kind, Subject};
use rusqlite::types::{FromSqlError, Type};
use rusqlite::{Connection, OptionalExtension, Row};

use super::SqliteStore;
use crate::{Cursor, Error};

/// Names by their keys, as far as they were asked for. They never change once they are committed.
#[derive(Debug, Default)]
pub(super) struct Names {
    people: RefCell<HashMap<i64, Arc<str>>>,
    devices: RefCell<HashMap<i64, Arc<str>>>,
    subjects: RefCell<HashMap<i64, Subject>>,
}

impl Names {
    fn name(
        known: &RefCell<HashMap<i64, Arc<str>>>,
        connection: &Connection,
        sql: &str,
        key: i64,
    ) -> rusqlite::Result<Arc<str>> {
        if let Some(name) = known.borrow().get(&key) {
            return Ok(Arc::clone(name));
        }
        let name: Arc<str> = connection
            .prepare_cached(sql)?
            .query_row([key], |row| row.get(0))?;
        known.borrow_mut().insert(key, Arc::clone(&name));
        Ok(name)
    }

    fn subject(&self, connection: &Connection, key: i64) -> rusqlite::Result<Subject> {
        if let Some(subject) = self.subjects.borrow().get(&key) {
            return Ok(subject.clone());
        }
        let sql = "SELECT sort, id FROM subject WHERE subject_id = ?1";
        let subject = connection.prepare_cached(sql)?.query_row([key], |row| {
            let (sort, id): (String, String) = (row.get(0)?, row.get(1)?);
            Subject::from_parts(&sort, &id).ok_or_else(|| wrong(0, Type::Text, format!("no subject: {sort}")))
        })?;
        self.subjects.borrow_mut().insert(key, subject.clone());
        Ok(subject)
    }
}

fn wrong(column: usize, kind: Type, what: String) -> rusqlite::Error {
    rusqlite::Error::FromSqlConversionFailure(column, kind, what.into())
}

const COLUMNS: &str = "id, happened_at, written_at, person_id, device_id, kind, subject_id, payload, arrival";

/// The entry of a row of [`COLUMNS`].
fn entry(connection: &Connection, names: &Names, row: &Row<'_>) -> rusqlite::Result<Entry> {
    let time = |column| {
        let at = row.get::<_, i64>(column)?;
        Timestamp::from_microsecond(at).map_err(|error| wrong(column, Type::Integer, error.to_string()))
    };
    let text = |column| -> rusqlite::Result<&str> {
        row.get_ref(column)?
            .as_str()
            .map_err(|error: FromSqlError| wrong(column, Type::Text, error.to_string()))
    };
    let id = EventId::from_bytes(row.get(0)?).map_err(|error| wrong(0, Type::Blob, error.to_string()))?;
    let people = "SELECT name FROM person WHERE person_id = ?1";
    let devices = "SELECT name FROM device WHERE device_id = ?1";
    let subject = match row.get::<_, Option<i64>>(6)? {
        Some(key) => Some(names.subject(connection, key)?),
        None => None,
    };
    Ok(Entry {
        id,
        happened_at: time(1)?,
        written_at: time(2)?,
        by: Names::name(&names.people, connection, people, row.get(3)?)?,
        device: Names::name(&names.devices, connection, devices, row.get(4)?)?,
        payload: Encoded::from_store(Kind::from_name(text(5)?), subject, text(7)?.into()),
    })
}

pub(super) fn entry_of(
    connection: &Connection,
    names: &Names,
    id: EventId,
) -> rusqlite::Result<Option<Entry>> {
    let sql = format!("SELECT {COLUMNS} FROM entry WHERE id = ?1");
    let mut statement = connection.prepare_cached(&sql)?;
    statement
        .query_row([id.as_bytes().as_slice()], |row| entry(connection, names, row))
        .optional()
}

impl SqliteStore {
    /// What went wrong while entries were read: what is there but makes no entry is damage.
    fn misread(&self, error: rusqlite::Error) -> Error {
        match error {
            rusqlite::Error::FromSqlConversionFailure(..) | rusqlite::Error::InvalidColumnType(..) => {
                Error::Damaged {
                    path: self.path.clone(),
                    what: format!("an entry cannot be read ({error})"),
                }
            }
            other => self.failed(other),
        }
    }

    pub(super) fn read_after(
        &self,
        after: Cursor,
        limit: usize,
        each: &mut dyn FnMut(Entry),
    ) -> Result<Cursor, Error> {
        let names = self.names.borrow();
        let mut cursor = after;
        let mut read = || -> rusqlite::Result<()> {
            let sql = format!("SELECT {COLUMNS} FROM entry WHERE arrival > ?1 ORDER BY arrival LIMIT ?2");
            let mut statement = self.connection.prepare_cached(&sql)?;
            let limit = i64::try_from(limit).unwrap_or(i64::MAX);
            let after = i64::try_from(after.0).unwrap_or(i64::MAX);
            let mut rows = statement.query((after, limit))?;
            while let Some(row) = rows.next()? {
                each(entry(&self.connection, &names, row)?);
                cursor = Cursor(row.get(8)?);
            }
            Ok(())
        };
        read().map_err(|error| self.misread(error))?;
        Ok(cursor)
    }

    pub(super) fn read_entry(&self, id: EventId) -> Result<Option<Entry>, Error> {
        entry_of(&self.connection, &self.names.borrow(), id).map_err(|error| self.misread(error))
    }

    pub(super) fn read_without_subject(&self) -> Result<Vec<Entry>, Error> {
        let names = self.names.borrow();
        let read = || -> rusqlite::Result<Vec<Entry>> {
            let sql = format!("SELECT {COLUMNS} FROM entry WHERE subject_id IS NULL ORDER BY arrival");
            let mut statement = self.connection.prepare_cached(&sql)?;
            let rows = statement.query_map([], |row| entry(&self.connection, &names, row))?;
            rows.collect()
        };
        read().map_err(|error| self.misread(error))
    }

    pub(super) fn read_outline(&self, each: &mut dyn FnMut(Entry)) -> Result<Cursor, Error> {
        let names = self.names.borrow();
        let mut read = || -> rusqlite::Result<Cursor> {
            // One moment of the log, whatever is appended meanwhile.
            let moment = self.connection.unchecked_transaction()?;
            let last: Option<u64> =
                moment.query_row("SELECT max(arrival) FROM entry", [], |row| row.get(0))?;
            let sql = format!(
                "SELECT {COLUMNS} FROM entry INDEXED BY entry_but_rows
                 WHERE kind <> 'reading' AND kind <> 'set_aside' ORDER BY arrival"
            );
            let mut statement = self.connection.prepare_cached(&sql)?;
            let mut rows = statement.query([])?;
            while let Some(row) = rows.next()? {
                each(entry(&self.connection, &names, row)?);
            }
            Ok(Cursor(last.unwrap_or(0)))
        };
        read().map_err(|error| self.misread(error))
    }

    pub(super) fn read_about(&self, subject: &Subject) -> Result<Vec<Entry>, Error> {
        let names = self.names.borrow();
        let read = || -> rusqlite::Result<Vec<Entry>> {
            let sql = format!(
                "SELECT {COLUMNS} FROM entry WHERE subject_id =
                 (SELECT subject_id FROM subject WHERE sort = ?1 AND id = ?2) ORDER BY arrival"
            );
            let mut statement = self.connection.prepare_cached(&sql)?;
            let rows = statement.query_map((subject.sort(), &**subject.id()), |row| {
                entry(&self.connection, &names, row)
            })?;
            rows.collect()
        };
        read().map_err(|error| self.misread(error))
    }
}
