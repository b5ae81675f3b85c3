//! The causes that are told apart (`contract.md` 6).

macro_rules! causes {
    ($($(#[$doc:meta])* $variant:ident $name:literal $words:literal;)*) => {
        /// Why a unit's water is too little or too salty.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
        pub enum Cause { $($(#[$doc])* $variant,)* }

        impl Cause {
            /// All, in the contract's order.
            pub const ALL: &'static [Self] = &[$(Self::$variant,)*];

            /// How many there are.
            pub const COUNT: usize = Self::ALL.len();

            /// Its name in answers.
            pub fn name(self) -> &'static str {
                match self { $(Self::$variant => $name,)* }
            }

            /// What it is, as a clause that can follow "most likely".
            pub fn words(self) -> &'static str {
                match self { $(Self::$variant => $words,)* }
            }
        }
    };
}

causes! {
    /// Nothing wrong: conditions explain it.
    Sound "sound" "nothing is wrong with the unit";
    /// Supply pressure well under the baseline's.
    InletPressureLow "inlet_pressure_low" "the supply pressure is low";
    /// Sediment stage loaded.
    SedimentBlocked "sediment_blocked" "the sediment filter is blocked";
    /// Carbon stage clogged with fines or growth.
    CarbonBlocked "carbon_blocked" "the carbon filter is blocked";
    /// Oxidant passes the carbon.
    CarbonSpent "carbon_spent" "the carbon is spent and lets chlorine through";
    /// Booster does not reach its curve.
    PumpWeak "pump_weak" "the pump is weak";
    /// Particles, organics or growth on the lead element.
    MembraneFouled "membrane_fouled" "the membrane is fouled";
    /// Mineral scale, tail element first.
    MembraneScaled "membrane_scaled" "the membrane is scaled";
    /// Polyamide attacked by chlorine.
    MembraneOxidised "membrane_oxidised" "the membrane has been attacked by chlorine";
    /// O-ring of the core tube leaks.
    CoreSealLeak "core_seal_leak" "an O-ring on the membrane's core tube leaks";
    /// Feed passes round the element.
    BrineSealBypass "brine_seal_bypass" "feed passes round the membrane at its brine seal";
    /// Restrictor partly closed by scale.
    RestrictorBlocked "restrictor_blocked" "the restrictor is partly blocked";
    /// Restrictor passes too much, or the flush valve is open.
    RestrictorWorn "restrictor_worn" "the restrictor passes too much, or the flush valve is open";
    /// Check valve, float valve or full tank holds the permeate line up.
    PermeateBackPressure "permeate_back_pressure" "something holds the permeate line up";
    /// Feed salt content changed.
    FeedChanged "feed_changed" "the salt content of the feed has changed";
    /// One instrument reads wrong.
    MeterFault "meter_fault" "one instrument reads wrong";
    /// Stop tap, solenoid, low-pressure switch, transformer.
    NoFeed "no_feed" "no feed reaches the membranes";
    /// Shut-off or check valve leaks.
    ShutoffLeaking "shutoff_leaking" "the shut-off or the check valve leaks";
    /// Pressurised tank has lost its air.
    TankPrechargeLost "tank_precharge_lost" "the tank has lost its air";
    /// Hardness passes the softener.
    SoftenerExhausted "softener_exhausted" "the softener is exhausted";
    /// Polishing resin used up.
    ResinExhausted "resin_exhausted" "the polishing resin is used up";
    /// Standstill or preservative.
    JustStarted "just_started" "the unit has just been started";
    /// Seal missing or pinched, tubes swapped after work.
    SealAfterWork "seal_after_work" "a seal was pinched or a tube swapped in the last work";
    /// More is drawn than the unit makes.
    DemandUp "demand_up" "more water is drawn than before";
}

impl Cause {
    /// The cause of this name.
    pub fn from_name(name: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|cause| cause.name() == name)
    }
}
