//! Versions of the schema: `PRAGMA user_version` counts the migrations that were carried out.

use ledger::EventId;
use rusqlite::{Connection, TransactionBehavior};

/// The four bytes in a file's header that tell a ledger from other SQLite databases: `SALT`.
pub(super) const APPLICATION_ID: i32 = 0x5341_4C54;

/// The migrations in order. What stands here is never edited, only added to.
pub(super) const MIGRATIONS: &[&str] = &[
    include_str!("../../migrations/0001_ledger.sql"),
    include_str!("../../migrations/0002_outline.sql"),
];

/// The newest version.
pub(super) fn newest() -> u32 {
    u32::try_from(MIGRATIONS.len()).unwrap_or(u32::MAX)
}

/// Makes an empty database a ledger of the newest version.
pub(super) fn set_up(connection: &mut Connection, identity: EventId) -> rusqlite::Result<()> {
    connection.pragma_update(None, "application_id", APPLICATION_ID)?;
    migrate(connection, MIGRATIONS)?;
    let sql = "INSERT INTO ledger (one, identity) VALUES (1, ?1)";
    connection.execute(sql, [identity.as_bytes()]).map(|_| ())
}

/// Carries out the migrations that were not yet, each in a transaction of its own.
pub(super) fn migrate(connection: &mut Connection, migrations: &[&str]) -> rusqlite::Result<()> {
    loop {
        // Looked up without a write lock first: nearly always there is nothing to do.
        if version(connection)? >= migrations.len() {
            return Ok(());
        }
        let transaction = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        // Another program may have carried it out while this one waited for the lock.
        let done = version(&transaction)?;
        if let Some(migration) = migrations.get(done) {
            transaction.execute_batch(migration)?;
            transaction.pragma_update(None, "user_version", done + 1)?;
        }
        transaction.commit()?;
    }
}

fn version(connection: &Connection) -> rusqlite::Result<usize> {
    connection.pragma_query_value(None, "user_version", |row| row.get(0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn regress_migrations_are_carried_out_once_and_in_order() {
        let mut connection = Connection::open_in_memory().unwrap();
        let first = ["CREATE TABLE a (x INTEGER) STRICT"];
        let both = [first[0], "ALTER TABLE a ADD COLUMN y INTEGER"];
        migrate(&mut connection, &first).unwrap();
        connection.execute("INSERT INTO a (x) VALUES (7)", []).unwrap();
        migrate(&mut connection, &both).unwrap();
        migrate(&mut connection, &both).unwrap();
        let row: (i64, Option<i64>) = connection
            .query_row("SELECT x, y FROM a", [], |row| Ok((row.get(0)?, row.get(1)?)))
            .unwrap();
        assert_eq!((row, version(&connection).unwrap()), ((7, None), 2));
    }

    #[test]
    fn regress_a_migration_that_fails_leaves_nothing() {
        let mut connection = Connection::open_in_memory().unwrap();
        let broken = ["CREATE TABLE a (x INTEGER) STRICT; CREATE TABLE a (x INTEGER) STRICT"];
        assert!(migrate(&mut connection, &broken).is_err());
        let tables: i64 = connection
            .query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0))
            .unwrap();
        assert_eq!((tables, version(&connection).unwrap()), (0, 0));
    }
}
