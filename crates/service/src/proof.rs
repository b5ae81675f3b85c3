//! The proof at the end: what was read against what the card expects.

use reading::{Field, Reading};

use crate::card::{JobCard, ReadingToTake};
use crate::error::CardError;
use crate::texts::{Language, Texts};
use crate::work::Expected;

/// How one reading stands against the card.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// Between low and high.
    Passes,
    /// Under the lowest value that passes.
    Below,
    /// Over the highest value that passes.
    Above,
    /// A condition of the day (temperature, supply pressure, feed) that differs from the card's: nothing is wrong with the
    /// unit, but the expected values belong to another day.
    OtherDay,
    /// It was not read.
    NotRead,
    /// The card has no expected value for it.
    Unjudged,
}

/// One reading of the proof.
#[derive(Clone, Debug, PartialEq)]
pub struct Judged {
    /// The reading, with what the card expects.
    pub asked: ReadingToTake,
    /// What was read, in the field's base unit.
    pub read: Option<f64>,
    /// How it stands.
    pub outcome: Outcome,
    /// What to look at, in words; none where it passes or was not judged.
    pub look_at: Option<String>,
}

/// What the proof comes to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// All that was read passes, permeate flow and conductivity among it: it is the new baseline.
    Passes,
    /// Something lies outside its band.
    LookAt,
    /// The conditions differ from the card's: expected values for this day are needed.
    OtherDay,
    /// Permeate flow or conductivity was not read.
    Incomplete,
    /// The card has no expected values.
    Unjudged,
}

/// The proof of a work.
#[derive(Clone, Debug, PartialEq)]
pub struct Proof {
    /// What it comes to.
    pub verdict: Verdict,
    /// Every reading of the card, in its order.
    pub readings: Vec<Judged>,
}

/// The conditions of the day: they are not proved, they say what may be expected.
pub(crate) const CONDITIONS: [Field; 3] = [
    Field::FeedTemperature,
    Field::InletPressure,
    Field::FeedConductivity,
];
/// Without these nothing is proved.
const NEEDED: [Field; 2] = [Field::PermeateFlow, Field::PermeateConductivity];

/// Holds what was read against the card, and says what to look at where it does not pass.
///
/// Make the card with the water and the conditions of the day (or put today's in with [`JobCard::expecting`]): expected
/// values of another temperature prove nothing, and the verdict is then [`Verdict::OtherDay`].
///
/// # Errors
/// [`CardError::Texts`] where a built-in text is broken.
pub fn judge(card: &JobCard, reading: &Reading, language: Language) -> Result<Proof, CardError> {
    let texts = Texts::load(language)?;
    let readings = card
        .readings_to_take
        .iter()
        .map(|asked| {
            let read = value(reading, &asked.field);
            let outcome = outcome(asked, read);
            Ok(Judged {
                look_at: look_at(texts, &asked.field, outcome)?,
                asked: asked.clone(),
                read,
                outcome,
            })
        })
        .collect::<Result<Vec<Judged>, CardError>>()?;
    Ok(Proof {
        verdict: verdict(&readings),
        readings,
    })
}

fn outcome(asked: &ReadingToTake, read: Option<f64>) -> Outcome {
    let Some(read) = read.filter(|read| read.is_finite()) else {
        return Outcome::NotRead;
    };
    let (Some(low), Some(high)) = (asked.low, asked.high) else {
        return Outcome::Unjudged;
    };
    match (read < low, read > high) {
        (false, false) => Outcome::Passes,
        _ if is_condition(&asked.field) => Outcome::OtherDay,
        (true, _) => Outcome::Below,
        (_, true) => Outcome::Above,
    }
}

fn is_condition(field: &str) -> bool {
    CONDITIONS.iter().any(|condition| condition.name() == field)
}

fn verdict(readings: &[Judged]) -> Verdict {
    let any = |outcome: Outcome| readings.iter().any(|one| one.outcome == outcome);
    let needed = NEEDED.iter().all(|field| {
        readings
            .iter()
            .any(|one| one.asked.field == field.name() && one.outcome != Outcome::NotRead)
    });
    if readings.iter().all(|one| one.asked.expected.is_none()) {
        Verdict::Unjudged
    } else if any(Outcome::OtherDay) {
        Verdict::OtherDay
    } else if any(Outcome::Below) || any(Outcome::Above) {
        Verdict::LookAt
    } else if needed {
        Verdict::Passes
    } else {
        Verdict::Incomplete
    }
}

fn look_at(texts: &Texts, field: &str, outcome: Outcome) -> Result<Option<String>, CardError> {
    let side = match outcome {
        Outcome::Below => "low",
        Outcome::Above => "high",
        Outcome::OtherDay => return Ok(Some(texts.look("other_day", &[])?)),
        _ => return Ok(None),
    };
    let (name, part) = field.split_once('.').unwrap_or((field, ""));
    Ok(Some(texts.look(&format!("{name}_{side}"), &[("id", part)])?))
}

/// The value of a field of this name, as in [`ReadingToTake::field`].
pub fn value(reading: &Reading, field: &str) -> Option<f64> {
    if let Some(field) = Field::from_name(field) {
        return reading.get(field);
    }
    let (list, part) = field.split_once('.')?;
    let values = match list {
        "pressure_after" => &reading.pressure_after_kpa,
        "chlorine_after" => &reading.chlorine_after_mg_l,
        "conductivity_after" => &reading.conductivity_after_us_cm,
        "element_permeate_conductivity" => &reading.element_permeate_us_cm,
        _ => return None,
    };
    values.get(part).copied()
}

impl JobCard {
    /// The same card with other expected values: those of the day's conditions, read when the work was done. What is
    /// expected and was not on the list comes at its end.
    #[must_use]
    pub fn expecting(mut self, expected: &[Expected]) -> Self {
        for one in expected {
            if !self.readings_to_take.iter().any(|asked| asked.field == one.field) {
                self.readings_to_take.push(ReadingToTake {
                    field: one.field.clone(),
                    expected: None,
                    low: None,
                    high: None,
                });
            }
        }
        for asked in &mut self.readings_to_take {
            let known = expected.iter().find(|one| one.field == asked.field);
            asked.expected = known.map(|one| one.expected);
            asked.low = known.map(|one| one.low);
            asked.high = known.map(|one| one.high);
        }
        self
    }
}
