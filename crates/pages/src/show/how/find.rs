//! Which account an address names.

use account::Account;
use jiff::Timestamp;
use ledger::UnitHistory;
use reading::Field;
use unit::{Spot, Unit};
use water::{Mineral, Water};
use wear::d4516::Quantity;
use wear::explain::Cause;
use wear::verdict::standing;

use crate::frame::ask::Ask;
use crate::show::{trouble, words, work};

/// The names of figures, and what stands behind each in its address.
pub(crate) struct Named;

impl Named {
    /// Permeate flow of a reading against new; the reading's entry.
    pub(crate) const FLOW: &str = "relative-flow";
    /// Salt passage of a reading against new; the reading's entry.
    pub(crate) const SALT: &str = "relative-salt";
    /// Pressure drop of a reading against new; the reading's entry.
    pub(crate) const DROP: &str = "relative-drop";
    /// What changed in all; nothing.
    pub(crate) const CHANGE: &str = "change";
    /// A cause's share of it; the cause.
    pub(crate) const CAUSE: &str = "cause";
    /// Where the membranes stand; `water` or `salt`.
    pub(crate) const STANDING: &str = "standing";
    /// When a part is due; the part.
    pub(crate) const DUE: &str = "due";
    /// How much of its life is used; the part.
    pub(crate) const USED: &str = "used";
    /// How loaded a stage is; the stage.
    pub(crate) const LOAD: &str = "load";
    /// What the model says at a place; the place, and its part after a point.
    pub(crate) const EXPECTED: &str = "expected";
    /// Saturation in the feed; the mineral.
    pub(crate) const SATURATION: &str = "saturation";
    /// Saturation allowed in the concentrate; the mineral.
    pub(crate) const ALLOWED: &str = "allowed";
    /// The recovery to keep below; the mineral.
    pub(crate) const KEEP_BELOW: &str = "keep-below";
    /// What would fit where a value is in doubt; the reading's entry, a point, the field.
    pub(crate) const SUGGESTION: &str = "suggestion";
    /// The dose of a work on the whole unit; the work.
    pub(crate) const DOSE: &str = "dose";
    /// What a carbon is rinsed with; the stage.
    pub(crate) const RINSE: &str = "rinse";
    /// What a reading should be after a work; the work's entry, a point, the field.
    pub(crate) const PROOF: &str = "proof";
    // Of an interview, whose answers stand in the query of the address:
    /// The chance of a cause; the cause.
    pub(crate) const CHANCE: &str = "chance";
    /// The chance of all other causes; how many have a line of their own.
    pub(crate) const CHANCE_REST: &str = "chance-rest";
    /// The chance of two at once; both causes, a point between them.
    pub(crate) const CHANCE_PAIR: &str = "chance-pair";
    /// The permeate flow against the baseline's; nothing.
    pub(crate) const MADE: &str = "made";
    /// What conditions make of it; one of them, or `all`.
    pub(crate) const CONDITION: &str = "condition";
    /// How many times as likely something is with a cause; the cause, a point, the number of the reason.
    pub(crate) const WEIGHT: &str = "weight";
    /// What a cause would have a value be; the same.
    pub(crate) const TO_EXPECT: &str = "to-expect";
    /// What a test is expected to tell; its question's key.
    pub(crate) const TELLS: &str = "tells";
    /// What a cause would have a test show; the cause, a point, the question's key.
    pub(crate) const TEST_SHOWS: &str = "test-shows";
}

/// What was found.
pub(super) struct Found {
    /// The figure's own account first, then those that it stands on.
    pub(super) accounts: Vec<Account>,
    /// What it is a figure of, in words.
    pub(super) of_what: String,
    /// The time that counted as now.
    pub(super) as_of: Timestamp,
}

/// A place in the unit by its name in an address.
fn spot(of: &str) -> Option<Spot<'_>> {
    Some(match of.split_once('.') {
        Some(("after", id)) => Spot::After(id),
        Some(("element-flow", id)) => Spot::ElementFlow(id),
        Some(("element-salt", id)) => Spot::ElementSalt(id),
        Some(_) => return None,
        None => match of {
            "feed-flow" => Spot::FeedFlow,
            "membrane-pressure" => Spot::Membranes,
            "permeate-flow" => Spot::PermeateFlow,
            "permeate-conductivity" => Spot::PermeateConductivity,
            "concentrate-pressure" => Spot::ConcentratePressure,
            "concentrate-flow" => Spot::ConcentrateFlow,
            "concentrate-salt" => Spot::ConcentrateSalt,
            "recovery" => Spot::Recovery,
            _ => return None,
        },
    })
}

/// The accounts of a figure; none where there is no such figure.
pub(super) fn accounts(
    ask: &Ask<'_>,
    known: &UnitHistory,
    unit: &Unit,
    name: &str,
    of: &str,
) -> Option<Found> {
    let as_of = ask.today();
    if let Some((accounts, of_what)) = trouble::accounts(ask, unit, name, of) {
        return Some(Found {
            accounts,
            of_what,
            as_of,
        });
    }
    let whole = ask.whole(&unit.id)?;
    let history = ask.history(&unit.id)?;
    let evaluation = &whole.evaluation;
    let standardisation = &evaluation.standardisation;
    let zone = casefile::time_zone(unit);
    let of_entry = |entry: &str| {
        let id = entry.parse().ok()?;
        let place = known
            .reading_origins()
            .iter()
            .position(|origin| origin.entry == id)?;
        Some((place, ask.moment(history.readings.get(place)?.at, &zone)))
    };
    let part = || evaluation.parts.iter().find(|part| part.id == of);
    let mineral = || Mineral::from_name(of);
    let mineral_words = |mineral: Mineral| {
        ask.say
            .say(&format!("mineral-{}", mineral.name().replace('_', "-")))
    };
    let analysed = || Water::complete(history.water?).ok();
    let limit = |mineral: Mineral| {
        let report = whole.chemistry(&history)?.report.as_ref().ok()?;
        report
            .working_limits
            .iter()
            .find(|limit| limit.mineral == mineral)
            .copied()
    };
    let explanation = evaluation.explanation.as_ref();
    let between = || {
        let day = |index: usize| Some(ask.day(standardisation.readings.get(index)?.at, &zone));
        let (from, to) = explanation.map(|one| (day(one.from), day(one.to)))?;
        Some(format!("{} \u{2013} {}", from?, to?))
    };
    let (accounts, of_what) = match name {
        Named::FLOW | Named::SALT | Named::DROP => {
            let (index, moment) = of_entry(of)?;
            let quantity = match name {
                Named::FLOW => Quantity::Flow,
                Named::SALT => Quantity::Salt,
                _ => Quantity::Drop,
            };
            let accounts = wear::d4516::of_reading(&history, standardisation, index, quantity)?;
            (accounts, moment)
        }
        Named::CHANGE if of.is_empty() => {
            let accounts = wear::explain::of_change(&history, standardisation, explanation?)?;
            (accounts, between()?)
        }
        Named::CAUSE => {
            let cause = Cause::ALL.into_iter().find(|cause| cause.name() == of)?;
            let accounts = wear::explain::of_cause(&history, standardisation, explanation?, cause)?;
            let factors = explanation?.factors.iter();
            let ratio = factors
                .filter(|factor| factor.cause == cause)
                .map(|factor| factor.ratio)
                .next()?;
            let way = if ratio < 1.0 { "less" } else { "more" };
            let cause = ask
                .say
                .say(&format!("cause-{}-{way}", cause.name().replace('_', "-")));
            (accounts, format!("{cause}, {}", between()?))
        }
        Named::STANDING => {
            let salt = match of {
                "water" => false,
                "salt" => true,
                _ => return None,
            };
            let accounts = wear::verdict::of_standing(standardisation, &standing(standardisation), salt)?;
            (accounts, ask.day(as_of, &zone))
        }
        Named::DUE => (
            wear::forecast::of_due(&history, part()?, as_of)?,
            words::part(ask, unit, of),
        ),
        Named::USED => (
            wear::forecast::of_used(&history, part()?, as_of)?,
            words::part(ask, unit, of),
        ),
        Named::LOAD => (
            wear::forecast::of_load(&history, standardisation, of, as_of)?,
            words::part(ask, unit, of),
        ),
        Named::EXPECTED => {
            let expected = whole.expected(&history)?;
            let spot = spot(of)?;
            let accounts = unit::of_prediction(unit, &expected.conditions, &expected.prediction, spot)?;
            let day = ask.moment(expected.reading_at, &zone);
            let of_what = match spot {
                Spot::After(id) | Spot::ElementFlow(id) | Spot::ElementSalt(id) => {
                    format!("{}, {day}", words::part(ask, unit, id))
                }
                _ => day,
            };
            (accounts, of_what)
        }
        Named::SATURATION => (
            water::of_saturation(analysed()?.speciation(), mineral()?)?,
            mineral_words(mineral()?),
        ),
        Named::ALLOWED => (water::of_allowed(&limit(mineral()?)?), mineral_words(mineral()?)),
        Named::KEEP_BELOW => (water::of_limit(&limit(mineral()?)?)?, mineral_words(mineral()?)),
        Named::SUGGESTION => {
            let (entry, field) = of.split_once('.')?;
            let (index, moment) = of_entry(entry)?;
            let field = Field::from_name(field)?;
            let doubts = &standardisation.readings.get(index)?.doubts;
            let doubt = doubts.iter().find(|doubt| doubt.field == field)?;
            let accounts = wear::doubts::of_suggestion(doubt)?;
            (accounts, format!("{}, {moment}", words::field(ask, field)))
        }
        Named::DOSE => (service::of_dose(unit, of).ok()?, work::named(ask, unit, of)?),
        Named::RINSE => (service::of_rinse(unit, of).ok()?, words::part(ask, unit, of)),
        Named::PROOF => {
            let (entry, of) = of.split_once('.')?;
            let accounts = work::proof_accounts(ask, known, unit, entry.parse().ok()?, of)?;
            (accounts, ask.day(ask.now(), &zone))
        }
        _ => return None,
    };
    (!accounts.is_empty()).then_some(Found {
        accounts,
        of_what,
        as_of,
    })
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use account::FormulaError;

    use super::{Named, accounts};
    use crate::fixture::with_quillmere;
    use crate::frame::ask::Ask;
    use crate::memo::in_service;

    /// What is told in words because it is found by simulation (`docs/forecast.md`).
    const IN_WORDS: [&str; 9] = [
        "due-by-many",
        "due-by-volume",
        "due-by-drop",
        "due-by-chlorine",
        "due-by-flow",
        "due-by-salt",
        "due-by-channel",
        "due-by-need",
        "used",
    ];

    #[test]
    fn val_the_numbers_of_every_account_satisfy_its_equation() {
        // The check is outside of the code that computes: the formula is read as text and worked out with the numbers that
        // are shown beside it.
        let mut held = BTreeMap::new();
        with_quillmere("en", |ask| hold_all(ask, &mut held));
        assert!(held.len() > 35, "{held:?}");
    }

    fn hold_all(ask: &Ask<'_>, held: &mut BTreeMap<&'static str, usize>) {
        for id in in_service(ask.state) {
            let known = ask.state.unit(id).unwrap();
            let unit = known.unit().unwrap();
            let mut figures: Vec<(&str, String)> = vec![
                (Named::CHANGE, String::new()),
                (Named::STANDING, "water".to_owned()),
                (Named::STANDING, "salt".to_owned()),
            ];
            for origin in known.reading_origins() {
                for name in [Named::FLOW, Named::SALT, Named::DROP] {
                    figures.push((name, origin.entry.to_string()));
                }
                for field in reading::Field::ALL {
                    let of = format!("{}.{}", origin.entry, field.name());
                    figures.push((Named::SUGGESTION, of));
                }
            }
            for work in ["sanitise", "descale", "clean", "lay_up"] {
                figures.push((Named::DOSE, work.to_owned()));
            }
            for cause in wear::explain::Cause::ALL {
                figures.push((Named::CAUSE, cause.name().to_owned()));
            }
            for mineral in water::Mineral::ALL {
                for name in [Named::SATURATION, Named::ALLOWED, Named::KEEP_BELOW] {
                    figures.push((name, mineral.name().to_owned()));
                }
            }
            for part in unit.part_ids() {
                for name in [Named::DUE, Named::USED, Named::LOAD, Named::RINSE] {
                    figures.push((name, part.to_owned()));
                }
                for spot in ["after", "element-flow", "element-salt"] {
                    figures.push((Named::EXPECTED, format!("{spot}.{part}")));
                }
            }
            for spot in [
                "feed-flow",
                "membrane-pressure",
                "permeate-flow",
                "permeate-conductivity",
                "concentrate-pressure",
                "concentrate-flow",
                "concentrate-salt",
                "recovery",
            ] {
                figures.push((Named::EXPECTED, spot.to_owned()));
            }
            for (name, of) in figures {
                let Some(found) = accounts(ask, known, unit, name, &of) else {
                    continue;
                };
                for account in &found.accounts {
                    let equation = account.equation.name;
                    match account.holds() {
                        Ok(true) => {}
                        Ok(false) => panic!("{id} {name}/{of}: {account:#?}"),
                        Err(FormulaError::NoNumber(_) | FormulaError::InWords(_))
                            if IN_WORDS.contains(&equation) => {}
                        Err(error) => panic!("{id} {name}/{of}: {error}: {account:#?}"),
                    }
                    *held.entry(equation).or_insert(0) += 1;
                }
            }
        }
    }
}
