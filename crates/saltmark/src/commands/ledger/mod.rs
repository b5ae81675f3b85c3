//! The commands on a ledger, and where it is found.

mod backtest;
mod backup;
mod demo;
mod export;
mod import;

use std::path::PathBuf;

use casefile::Invalid;
use etcetera::BaseStrategy;
use jiff::Timestamp;
use ledger::{Entry, EventId, State};
use store::{Error, Options, SqliteStore};
use wear::History;
use wear::forecast::pool::PastLives;
use wear::forecast::{past_lives, tellers};

use crate::args::Place;
use crate::failure::Failure;

pub(crate) use backtest::run as backtest;
pub(crate) use backup::{back_up, restore};
pub(crate) use demo::run as demo;
pub(crate) use export::run as export;
pub(crate) use import::run as import;

/// The file of a ledger: as asked for, by `SALTMARK_LEDGER`, else in the user's data folder.
pub(crate) fn path(place: &Place) -> Result<PathBuf, Failure> {
    let named = place.ledger.clone().or_else(|| {
        let named = std::env::var_os("SALTMARK_LEDGER")?;
        (!named.is_empty()).then(|| PathBuf::from(named))
    });
    if let Some(path) = named {
        let text = path.to_string_lossy();
        if text.starts_with("postgres://") || text.starts_with("postgresql://") {
            // The address may hold a password: it is not repeated.
            return Err(Failure::Impossible(
                "a shared ledger in PostgreSQL cannot be used yet; name a file with --ledger".to_owned(),
            ));
        }
        return Ok(path);
    }
    let folders = etcetera::base_strategy::choose_native_strategy().map_err(|_| {
        Failure::Impossible("this user has no data folder; name a file with --ledger".to_owned())
    })?;
    Ok(folders.data_dir().join("saltmark.db"))
}

/// Opens the ledger.
pub(crate) fn open(place: &Place) -> Result<SqliteStore, Failure> {
    Ok(SqliteStore::open(&path(place)?, Options::default())?)
}

/// Opens the ledger, or begins one.
fn open_or_begin(place: &Place) -> Result<SqliteStore, Failure> {
    let path = ready(place)?;
    Ok(SqliteStore::open_or_create(
        &path,
        new_id(Timestamp::now())?,
        Options::default(),
    )?)
}

/// Begins a ledger with these entries in it: with all of them, or there is none.
fn begin_with(place: &Place, entries: &mut (dyn Iterator<Item = Entry> + Send)) -> Result<(), Failure> {
    let path = ready(place)?;
    let identity = new_id(Timestamp::now())?;
    SqliteStore::create_with(&path, identity, Options::default(), entries)?;
    Ok(())
}

/// Where a ledger can be begun.
fn ready(place: &Place) -> Result<PathBuf, Failure> {
    let path = path(place)?;
    // Only the folder that nobody named is made: a wrong path should be said.
    if place.ledger.is_none()
        && let Some(folder) = path.parent()
        && !folder.as_os_str().is_empty()
    {
        std::fs::create_dir_all(folder).map_err(|error| {
            Failure::Impossible(format!("{} could not be made: {error}", folder.display()))
        })?;
    }
    Ok(path)
}

/// All that is in a ledger.
pub(crate) fn state(store: &SqliteStore) -> Result<State, Failure> {
    let (state, _) = store::load(store)?;
    if state.not_understood() > 0 {
        tell(&format!(
            "{} of the ledger come from a newer Saltmark and are left out of the answer",
            crate::present::counted(state.not_understood(), "entry", "entries")
        ));
    }
    Ok(state)
}

/// A warning on standard error.
fn tell(warning: &str) {
    use std::io::Write;
    // A lost warning must not lose the answer.
    let _told = writeln!(anstream::stderr().lock(), "saltmark: warning: {warning}");
}

/// The unit of this id has to be there.
pub(crate) fn known_unit(state: &State, file: &str, id: &str) -> Result<(), Failure> {
    if state.unit(id).is_some_and(|history| history.unit().is_some()) {
        return Ok(());
    }
    let known: Vec<&str> = state.unit_ids().collect();
    let accepted = if known.is_empty() {
        "nothing: the ledger has no unit yet; `saltmark import --unit FILE` puts one in".to_owned()
    } else {
        format!("one of the ledger's units: {}", known.join(", "))
    };
    Err(Failure::field(file, "--unit-id", format!("{id:?}"), accepted))
}

/// What the parts of all other units did, in lives that they had behind them by a time.
pub(crate) fn other_units(state: &State, id: &str, as_of: Timestamp) -> PastLives {
    let histories = state.unit_ids().filter_map(|other| {
        let known = state.unit(other)?;
        let history = History {
            unit: known.unit()?,
            water: state.water_at(other, as_of),
            readings: known.readings_until(as_of),
            events: known.events_until(as_of),
        };
        Some((other, history))
    });
    let mut others = tellers(histories, as_of);
    // In the order of the pages, so that both say the same to the last digit.
    others.sort_by_key(|(other, _)| *other);
    let mut lives = PastLives::default();
    for (other, history) in others {
        if other != id {
            lives.add(&past_lives(&history, as_of));
        }
    }
    lives
}

/// An id that nothing else has.
fn new_id(at: Timestamp) -> Result<EventId, Failure> {
    let mut random = [0; 10];
    getrandom::fill(&mut random)
        .map_err(|error| Failure::Impossible(format!("the system gives no random numbers: {error}")))?;
    Ok(EventId::new(at, random))
}

impl From<Error> for Failure {
    fn from(error: Error) -> Self {
        let wrong = |path: &std::path::Path, read: String, accepted: &str| {
            Self::Input(Invalid::one(&path.display().to_string(), "", read, accepted))
        };
        match &error {
            Error::Missing { path } => wrong(
                path,
                "nothing: there is no such file".to_owned(),
                "a Saltmark ledger",
            ),
            Error::NotALedger { path, read } => wrong(path, read.clone(), "a Saltmark ledger"),
            Error::Newer { path, found, ours } => wrong(
                path,
                format!("a ledger of version {found}, written by a newer Saltmark"),
                &format!("a ledger up to version {ours}"),
            ),
            Error::Truncated {
                path,
                found,
                expected,
            } => wrong(
                path,
                format!("a file that is cut off, {found} bytes of {expected}"),
                "a whole ledger; restore it from a backup",
            ),
            Error::Damaged { path, what } => wrong(
                path,
                format!("a damaged ledger: {what}"),
                "a sound ledger; restore it from a backup",
            ),
            Error::Database { path, source } => Self::Impossible(format!(
                "{}: the database could not do it: {source}",
                path.display()
            )),
            _ => Self::Impossible(error.to_string()),
        }
    }
}
