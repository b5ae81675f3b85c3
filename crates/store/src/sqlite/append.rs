//! Appending: one transaction, whatever its size.

use std::collections::HashMap;
use std::sync::Arc;

use ledger::{Entry, Subject};
use rusqlite::{CachedStatement, Connection, OptionalExtension, Statement, ToSql, TransactionBehavior};

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

/// Entries that one statement puts in: the index of ids then stays open between them, where the next id nearly
/// always comes behind the last.
const AT_ONCE: usize = 64;

const COLUMNS: &str = "id, happened_at, written_at, person_id, device_id, kind, subject_id, payload";

/// Puts so many entries in; those whose id is there already change nothing.
fn insert(entries: usize) -> String {
    let rows = vec!["(?, ?, ?, ?, ?, ?, ?, ?)"; entries].join(", ");
    format!("INSERT INTO entry ({COLUMNS}) VALUES {rows} ON CONFLICT (id) DO NOTHING")
}

fn append_in_one(
    connection: &mut Connection,
    entries: &mut dyn Iterator<Item = Entry>,
) -> rusqlite::Result<Appended> {
    let transaction = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
    let mut appended = Appended::default();
    {
        let mut keys = Keys::of(&transaction)?;
        let mut many = transaction.prepare_cached(&insert(AT_ONCE))?;
        let mut batch: Vec<(Entry, KeysOf)> = Vec::with_capacity(AT_ONCE);
        loop {
            batch.clear();
            for entry in entries.take(AT_ONCE) {
                let of = keys.of_entry(&entry)?;
                batch.push((entry, of));
            }
            match batch.len() {
                0 => break,
                AT_ONCE => put_in(&transaction, &mut many, &batch, &mut appended)?,
                fewer => {
                    let mut fewer = transaction.prepare(&insert(fewer))?;
                    put_in(&transaction, &mut fewer, &batch, &mut appended)?;
                }
            }
        }
    }
    transaction.commit()?;
    Ok(appended)
}

/// Keys of an entry's person, device and subject.
type KeysOf = (i64, i64, Option<i64>);

/// Puts entries in with a statement for just so many.
fn put_in(
    connection: &Connection,
    statement: &mut Statement<'_>,
    batch: &[(Entry, KeysOf)],
    appended: &mut Appended,
) -> rusqlite::Result<()> {
    let mut at = 0;
    let mut bind = |value: &dyn ToSql| {
        at += 1;
        statement.raw_bind_parameter(at, value)
    };
    for (entry, (person, device, subject)) in batch {
        bind(&entry.id.as_bytes().as_slice())?;
        bind(&entry.happened_at.as_microsecond())?;
        bind(&entry.written_at.as_microsecond())?;
        bind(person)?;
        bind(device)?;
        bind(&entry.payload.kind().name())?;
        bind(subject)?;
        bind(&entry.payload.json())?;
    }
    let new = statement.raw_execute()?;
    appended.new += new as u64;
    if new == batch.len() {
        return Ok(());
    }
    // Some were there. Which of them does not matter: what has just been put in is as early as itself.
    let mut others = (batch.len() - new) as u64;
    for (entry, keys) in batch {
        if replace_if_earlier(connection, entry, *keys)? {
            appended.replaced += 1;
            others = others.saturating_sub(1);
        }
    }
    appended.known += others;
    Ok(())
}

/// Puts an entry in the place of one with its id that was first written later.
fn replace_if_earlier(
    connection: &Connection,
    entry: &Entry,
    (person, device, subject): KeysOf,
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

    fn of_entry(&mut self, entry: &Entry) -> rusqlite::Result<KeysOf> {
        let person = self.people.key(&entry.by)?;
        let device = self.devices.key(&entry.device)?;
        let subject = entry.payload.subject();
        let subject = subject.map(|subject| self.subject(subject)).transpose()?;
        Ok((person, device, subject))
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
