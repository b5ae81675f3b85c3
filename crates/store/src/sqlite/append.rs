//! Appending: one transaction, whatever its size.

use std::collections::HashMap;
use std::sync::Arc;

use ledger::{Entry, Subject};
use rusqlite::{CachedStatement, Connection, OptionalExtension, TransactionBehavior};

use super::SqliteStore;
use super::read::{Names, entry_of};
use crate::{Appended, Error};

/// Appends entries, all or none.
pub(super) fn append(
    store: &mut SqliteStore,
    entries: &mut dyn Iterator<Item = Entry>,
) -> Result<Appended, Error> {
    let appended = append_in_one(&mut store.connection, entries);
    appended.map_err(|error| store.failed(error))
}

fn append_in_one(
    connection: &mut Connection,
    entries: &mut dyn Iterator<Item = Entry>,
) -> rusqlite::Result<Appended> {
    let transaction = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
    let mut appended = Appended::default();
    {
        let mut keys = Keys::of(&transaction)?;
        let mut insert = transaction.prepare_cached(
            "INSERT INTO entry (id, happened_at, written_at, person_id, device_id, kind, subject_id, payload)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8) ON CONFLICT (id) DO NOTHING",
        )?;
        for entry in entries {
            let person = keys.people.key(&entry.by)?;
            let device = keys.devices.key(&entry.device)?;
            let subject = entry
                .payload
                .subject()
                .map(|subject| keys.subject(subject))
                .transpose()?;
            let inserted = insert.execute((
                entry.id.as_bytes().as_slice(),
                entry.happened_at.as_microsecond(),
                entry.written_at.as_microsecond(),
                person,
                device,
                entry.payload.kind().name(),
                subject,
                entry.payload.json(),
            ))?;
            if inserted > 0 {
                appended.new += 1;
            } else if replace_if_earlier(&transaction, &entry, (person, device, subject))? {
                appended.replaced += 1;
            } else {
                appended.known += 1;
            }
        }
    }
    transaction.commit()?;
    Ok(appended)
}

/// Puts an entry in the place of one with its id that was first written later.
fn replace_if_earlier(
    connection: &Connection,
    entry: &Entry,
    (person, device, subject): (i64, i64, Option<i64>),
) -> rusqlite::Result<bool> {
    let names = Names::default();
    let Some(kept) = entry_of(connection, &names, entry.id)? else {
        return Ok(false);
    };
    if entry.precedence(&kept).is_ge() {
        return Ok(false);
    }
    let mut update = connection.prepare_cached(
        "UPDATE entry SET arrival = (SELECT max(arrival) + 1 FROM entry), happened_at = ?2, written_at = ?3,
             person_id = ?4, device_id = ?5, kind = ?6, subject_id = ?7, payload = ?8
         WHERE id = ?1",
    )?;
    update.execute((
        entry.id.as_bytes().as_slice(),
        entry.happened_at.as_microsecond(),
        entry.written_at.as_microsecond(),
        person,
        device,
        entry.payload.kind().name(),
        subject,
        entry.payload.json(),
    ))?;
    Ok(true)
}

/// Keys of the names that stand in one table, as far as they were asked for in this transaction.
struct Column<'a> {
    insert: CachedStatement<'a>,
    select: CachedStatement<'a>,
    known: HashMap<Arc<str>, i64>,
    /// The last one asked for: in an import they are all the same.
    last: Option<(Arc<str>, i64)>,
}

impl<'a> Column<'a> {
    fn of(connection: &'a Connection, insert: &str, select: &str) -> rusqlite::Result<Self> {
        let (insert, select) = (
            connection.prepare_cached(insert)?,
            connection.prepare_cached(select)?,
        );
        Ok(Self {
            insert,
            select,
            known: HashMap::new(),
            last: None,
        })
    }

    fn key(&mut self, name: &Arc<str>) -> rusqlite::Result<i64> {
        if let Some((last, key)) = &self.last
            && last == name
        {
            return Ok(*key);
        }
        let key = if let Some(key) = self.known.get(name) {
            *key
        } else {
            let found = self.select.query_row([&**name], |row| row.get(0)).optional()?;
            let key = match found {
                Some(key) => key,
                None => self.insert.insert([&**name])?,
            };
            self.known.insert(Arc::clone(name), key);
            key
        };
        self.last = Some((Arc::clone(name), key));
        Ok(key)
    }
}

struct Keys<'a> {
    people: Column<'a>,
    devices: Column<'a>,
    units: Column<'a>,
    sites: Column<'a>,
    customers: Column<'a>,
    persons: Column<'a>,
}

impl<'a> Keys<'a> {
    fn of(connection: &'a Connection) -> rusqlite::Result<Self> {
        let subject = |sort: &str| {
            let insert = format!("INSERT INTO subject (sort, id) VALUES ('{sort}', ?1)");
            let select = format!("SELECT subject_id FROM subject WHERE sort = '{sort}' AND id = ?1");
            Column::of(connection, &insert, &select)
        };
        Ok(Self {
            people: Column::of(
                connection,
                "INSERT INTO person (name) VALUES (?1)",
                "SELECT person_id FROM person WHERE name = ?1",
            )?,
            devices: Column::of(
                connection,
                "INSERT INTO device (name) VALUES (?1)",
                "SELECT device_id FROM device WHERE name = ?1",
            )?,
            units: subject("unit")?,
            sites: subject("site")?,
            customers: subject("customer")?,
            persons: subject("person")?,
        })
    }

    fn subject(&mut self, subject: &Subject) -> rusqlite::Result<i64> {
        match subject {
            Subject::Unit(id) => self.units.key(id),
            Subject::Site(id) => self.sites.key(id),
            Subject::Customer(id) => self.customers.key(id),
            Subject::Person(id) => self.persons.key(id),
        }
    }
}
