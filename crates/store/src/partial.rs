//! Parts of a ledger, for whoever cannot wait until all of it is read.
//!
//! A server answers before it has read hundreds of thousands of readings: from the outline (everything but
//! readings), from what it remembered of each unit ([`Store::remember`]) as far as nothing has come in about it
//! since ([`touched_since`]), and, where a unit itself is asked for, from that unit's entries alone.

use std::collections::BTreeSet;

use ledger::{EventId, Payload, State, Subject};

use crate::{Cursor, Error, Store};

/// A state without readings and rows set aside: units, sites, customers, people, events, waters, remarks,
/// visits, imports, and what was corrected. Histories of units have no readings but corrected ones: whoever
/// asks for a verdict takes [`load_unit`] or waits for [`crate::load`]. The cursor is that of the whole log.
///
/// # Errors
/// What the store says.
pub fn load_outline(store: &dyn Store) -> Result<(State, Cursor), Error> {
    let mut state = State::new();
    let cursor = store.outline(&mut |entry| {
        state.insert(entry);
    })?;
    complete_corrections(store, &mut state)?;
    Ok((state, cursor))
}

/// A state that tells of one unit, of its site and of the site's customer what the whole log does. It holds
/// little else.
///
/// # Errors
/// What the store says.
pub fn load_unit(store: &dyn Store, id: &str) -> Result<State, Error> {
    let mut state = State::new();
    state.extend(store.about(&Subject::unit(id))?);
    // Corrections are about no subject; one may also file an entry of another unit under this one.
    state.extend(store.without_subject()?);
    complete_corrections(store, &mut state)?;
    let site = state.unit(id).and_then(|history| history.site.clone());
    if let Some(site) = site {
        state.extend(store.about(&Subject::site(&site))?);
        let described = state.site(&site).and_then(|site| site.described.as_ref());
        if let Some(customer) = described.and_then(|described| described.what.customer.clone()) {
            state.extend(store.about(&Subject::customer(&customer))?);
        }
    }
    Ok(state)
}

/// Fetches what corrections name and is not there.
fn complete_corrections(store: &dyn Store, state: &mut State) -> Result<(), Error> {
    let mut missing: BTreeSet<EventId> = BTreeSet::new();
    loop {
        let named = state
            .waiting_corrections()
            .filter_map(|entry| match entry.payload.decode() {
                Ok(Payload::Correction(correction)) => Some(correction.corrects),
                _ => None,
            });
        let fresh: Vec<EventId> = named
            .filter(|id| !state.contains(*id) && !missing.contains(id))
            .collect();
        if fresh.is_empty() {
            return Ok(());
        }
        for id in fresh {
            match store.entry(id)? {
                Some(entry) => {
                    state.insert(entry);
                }
                // Written on a device that has not handed it over yet.
                None => {
                    missing.insert(id);
                }
            }
        }
    }
}

/// What something came in about after `after`, and up to where that is. Everything else is as it was.
///
/// # Errors
/// What the store says.
pub fn touched_since(store: &dyn Store, after: Cursor) -> Result<(BTreeSet<Subject>, Cursor), Error> {
    let (mut touched, mut corrected) = (BTreeSet::new(), Vec::new());
    let mut cursor = after;
    loop {
        let end = store.read(cursor, crate::AT_ONCE, &mut |entry| {
            if let Some(subject) = entry.payload.subject() {
                touched.insert(subject.clone());
            } else if let Ok(Payload::Correction(correction)) = entry.payload.decode() {
                corrected.push(correction.corrects);
                let replacement = correction
                    .replacement
                    .and_then(|one| one.payload.subject().cloned());
                touched.extend(replacement);
            }
        })?;
        if end == cursor {
            break;
        }
        cursor = end;
    }
    // A correction touches what it corrects, and what that one, if it is a correction, had said.
    let mut seen = BTreeSet::new();
    while let Some(id) = corrected.pop() {
        if !seen.insert(id) {
            continue;
        }
        let Some(entry) = store.entry(id)? else { continue };
        if let Some(subject) = entry.payload.subject() {
            touched.insert(subject.clone());
        } else if let Ok(Payload::Correction(correction)) = entry.payload.decode() {
            corrected.push(correction.corrects);
            touched.extend(
                correction
                    .replacement
                    .and_then(|one| one.payload.subject().cloned()),
            );
        }
    }
    Ok((touched, cursor))
}
