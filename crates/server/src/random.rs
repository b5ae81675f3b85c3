//! Random bytes, from the system.

use jiff::Timestamp;
use ledger::EventId;

use crate::Error;

/// Bytes that nobody can guess.
pub(crate) fn bytes<const N: usize>() -> Result<[u8; N], Error> {
    let mut bytes = [0; N];
    getrandom::fill(&mut bytes).map_err(|error| Error::NoRandomness(error.to_string()))?;
    Ok(bytes)
}

/// An id that nothing else has.
///
/// # Errors
/// The system gives no random bytes.
pub fn new_id(now: Timestamp) -> Result<EventId, Error> {
    Ok(EventId::new(now, bytes()?))
}
