//! Procedures computed from the plumbing of a unit, proved step by step, and written as job cards.
//!
//! [`job_card`] plans the shortest safe order for the named work; [`checker::check`] proves it by rules of
//! its own before anyone sees it.
//!
//! Architecture invariant: nothing here knows files, clocks, screens or JSON. `planner` and `checker` share
//! no code: only the types of the card and of the unit.
#![deny(clippy::disallowed_methods)]

mod card;
mod customer;
mod dose;
mod error;
mod expected;
mod finish;
mod housing;
mod planner;
mod proof;
mod reach;
mod render;
mod texts;
mod work;

pub mod checker;

pub use card::{Action, JobCard, PartToCarry, Phase, ReadingToTake, Step};
pub use customer::{CustomerCard, CustomerRefusal, customer_card};
pub use dose::{Dose, DoseOf, Doses, EQUATIONS, of_dose, of_rinse};
pub use error::{CardError, InputFault, Missing};
pub use expected::{BAND_EQUATIONS, after_work, expected, feed_of_the_day, of_band};
pub use finish::{Seen, events};
pub use housing::{HousingNote, housing_notes};
pub use planner::plan;
pub use proof::{Judged, Outcome, Proof, Verdict, judge, value};
pub use reach::{Reach, SafeWay, safe_way};
pub use render::render_text;
pub use texts::{Caution, Language, cautions, fixed_texts};
pub use work::{Expected, Site, Work};

use unit::Unit;

/// The ordered, proved procedure for this work on this unit.
///
/// `site` says what the caller knows beyond the unit: the supply's pressure and what the readings should be
/// with the new parts in (as `predict` gives them).
///
/// # Errors
///
/// [`CardError::Input`] where the work cannot be meant so (every fault is listed), [`CardError::Impossible`]
/// where the plumbing allows no safe order, with what must be added, and [`CardError::Unproved`] where the
/// checker did not agree with the planner: such a card is never handed out.
pub fn job_card(unit: &Unit, work: &[Work], site: &Site) -> Result<JobCard, CardError> {
    let card = plan(unit, work, site)?;
    let findings = checker::check(unit, &card);
    if findings.is_empty() {
        Ok(card)
    } else {
        Err(CardError::Unproved(findings))
    }
}
