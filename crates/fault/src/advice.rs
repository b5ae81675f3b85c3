//! What to do about each cause, how urgent it is, and what happens if it is left.
//!
//! Common practice, no source, but where a comment names one.

use crate::cause::Cause;

use Urgency as U;

/// How soon something has to be done.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Urgency {
    /// Nothing has to be done.
    None,
    /// At the next visit.
    NextVisit,
    /// Within some weeks.
    Soon,
    /// At this visit.
    Now,
}

impl Urgency {
    /// Its name in answers.
    pub fn name(self) -> &'static str {
        match self {
            Self::None => "none",
            Self::NextVisit => "next_visit",
            Self::Soon => "soon",
            Self::Now => "now",
        }
    }

    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::None => "no hurry",
            Self::NextVisit => "at the next visit",
            Self::Soon => "within some weeks",
            Self::Now => "now",
        }
    }
}

/// What to do about a cause.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Advice {
    /// What to do.
    pub action: &'static str,
    /// How soon.
    pub urgency: Urgency,
    /// What happens if it is left.
    pub if_left: &'static str,
}

/// What to do about a cause.
pub fn advice(cause: Cause) -> Advice {
    let of = |action, urgency, if_left| Advice {
        action,
        urgency,
        if_left,
    };
    match cause {
        Cause::Sound => of("Change nothing", U::None, "it goes on as it is"),
        Cause::InletPressureLow => of(
            "Look for a tap half shut, a choked strainer or a supply that others draw on, and think of a booster pump",
            U::NextVisit,
            "it makes too little, and saltier water",
        ),
        Cause::SedimentBlocked => of(
            "Change the sediment cartridge, or wash a pleated one",
            U::Soon,
            "flow falls further, and a pump may run dry of feed",
        ),
        Cause::CarbonBlocked => of(
            "Change the carbon cartridge and rinse the new one to drain",
            U::Soon,
            "flow falls further, and growth goes on in it",
        ),
        Cause::CarbonSpent => of(
            "Change the carbon before the unit runs on",
            U::Now,
            "chlorine destroys the membranes, which cost many times the carbon, and no cleaning brings them back",
        ),
        Cause::PumpWeak => of(
            "Check the supply voltage and the pump's inlet strainer, then overhaul or change the pump; electrical work is for those licensed to do it",
            U::NextVisit,
            "it makes too little, and saltier water, until the pump stops",
        ),
        Cause::MembraneFouled => of(
            "Flush, clean at the pH that dissolves what is there, and find out why the filters before it let it through; else change the element",
            U::Soon,
            "the deposit packs down and no longer comes off",
        ),
        Cause::MembraneScaled => of(
            "Descale with acid soon, then lower the recovery or treat the hardness; else change the element",
            U::Soon,
            "the scale grows on itself and cuts the membrane",
        ),
        Cause::MembraneOxidised => of(
            "Find how chlorine got there and stop it, then change the membranes; new ones before that are lost too",
            U::Now,
            "the salt goes on rising",
        ),
        Cause::CoreSealLeak => of(
            "Change the O-rings of the core tube and look at the tube for scratches",
            U::Soon,
            "feed water gets into the permeate, with whatever is in it",
        ),
        Cause::BrineSealBypass => of(
            "Turn or change the brine seal, its lip against the feed",
            U::Soon,
            "the element is swept too slowly and fouls",
        ),
        Cause::RestrictorBlocked => of(
            "Change the restrictor, or clean the tube, and check the recovery",
            U::Soon,
            "the concentrate grows stronger and scales the membranes",
        ),
        Cause::RestrictorWorn => of(
            "Shut the flush valve; if it is shut, change the restrictor or the flush valve",
            U::NextVisit,
            "water is wasted, and the pressure may fall short",
        ),
        Cause::PermeateBackPressure => of(
            "Look at the check valve, the float valve, the tank and whatever the permeate passes",
            U::Soon,
            "it makes too little, and saltier water; permeate pressed backwards can burst a membrane's seams",
        ),
        Cause::FeedChanged => of(
            "Measure the feed, ask the supplier, and check scale and recovery for the new water",
            U::NextVisit,
            "the permeate follows the feed, and a harder feed may scale",
        ),
        Cause::MeterFault => of(
            "Check that instrument against a standard or another one before any part is changed",
            U::Now,
            "parts are changed by a wrong figure",
        ),
        Cause::NoFeed => of(
            "Look at the stop tap, the solenoid, the low-pressure switch and the plug, in this order",
            U::Now,
            "there is no water",
        ),
        Cause::ShutoffLeaking => of(
            "Change the check valve first, then the shut-off",
            U::Soon,
            "water runs to the drain day and night, and wears the filters",
        ),
        Cause::TankPrechargeLost => of(
            "Empty the tank and pump its air up to its label; a tank that gives water at the air valve is finished",
            U::NextVisit,
            "the tank gives little, and the unit starts too often",
        ),
        Cause::SoftenerExhausted => of(
            "Regenerate the softener, and look at its salt and its timer",
            U::Now,
            "hardness goes on to the membranes and scales them",
        ),
        Cause::ResinExhausted => of(
            "Change the resin",
            U::Soon,
            "the water after it is no better than the membranes make it, and may be worse",
        ),
        Cause::JustStarted => of(
            "Let it run a quarter to half an hour to drain and read again",
            U::None,
            "it passes by itself",
        ),
        Cause::SealAfterWork => of(
            "Go through what was done last: seals, O-rings and tubes, one by one",
            U::Now,
            "feed water gets into the permeate, or water onto the floor",
        ),
        Cause::DemandUp => of(
            "Ask what draws more, and work out whether a second element or a larger tank would do",
            U::NextVisit,
            "the tank runs empty",
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn regress_every_cause_has_its_advice() {
        for cause in Cause::ALL {
            let found = advice(*cause);
            assert!(found.action.len() > 8 && found.if_left.len() > 8, "{cause:?}");
            // Joined into "If it is left, ...": no capital, no full stop.
            assert!(
                !found.if_left.ends_with('.') && !found.action.ends_with('.'),
                "{cause:?}"
            );
            assert!(found.if_left.starts_with(char::is_lowercase), "{cause:?}");
            // Nothing is urgent where nothing is wrong.
            let harmless = matches!(cause, Cause::Sound | Cause::JustStarted);
            assert_eq!(found.urgency == Urgency::None, harmless, "{cause:?}");
        }
    }
}
