//! What the equations accept of a value, as data: the program says it in English, the pages in the reader's language.

use std::fmt;

/// Declares what is accepted: each with its name in a message file and its English.
macro_rules! accepted {
    ($($key:ident $name:literal $english:literal)*) => {
        /// What is accepted where a value can't be used.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
        #[expect(missing_docs, reason = "each is said by its English text")]
        pub enum Accepted { $($key),* }

        impl Accepted {
            /// All of them.
            pub const ALL: &[Self] = &[$(Self::$key),*];

            /// Its name in a message file.
            pub fn name(self) -> &'static str {
                match self { $(Self::$key => $name),* }
            }
        }

        impl fmt::Display for Accepted {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(match self { $(Self::$key => $english),* })
            }
        }
    };
}

accepted! {
    Lift "lift" "-100 to 100 m"
    PermeatePressure "permeate-pressure" "-100 to 100000 kPa"
    OsmoticPressure "osmotic-pressure" "0 to 1 kPa"
    Leak "leak" "0 to 1000"
    TankPressure "tank-pressure" "0 to 10000 kPa"
    Pressure "pressure" "0 to 100000 kPa"
    Draw "draw" "0 to 1000000 L"
    Temperature "temperature" "0 to 60 C"
    RatedConcentration "rated-concentration" "a concentration above 0 and under 100 000 mg/L"
    Concentration "concentration" "a concentration above 0 and up to 50000 mg/L"
    State "state" "a factor between 0.000001 and 1000000 (1 is as new)"
    TemperatureCoefficient "temperature-coefficient" "a factor per degree from 0.9 to 1.2"
    Parameter "parameter" "a finite number; a logarithm between -40 and 40"
    RatedFlow "rated-flow" "a flow above 0 and under 100 000 L/h"
    Flow "flow" "a flow above 0 and up to 1000000 L/h"
    FractionBelowOne "fraction-below-one" "a fraction above 0 and under 1"
    FractionUpToOne "fraction-up-to-one" "a fraction above 0 and up to 1"
    Bypass "bypass" "a fraction from 0 to 0.99"
    RatedPressure "rated-pressure" "a pressure above 0 and under 100 000 kPa"
    PressureAboveNothing "pressure-above-nothing" "a pressure above 0 and up to 100000 kPa"
    Tank "tank" "a tank with a volume above 0 L: a day's cycle needs one"
    Area "area" "an area above 0 and up to 1000 m2"
    Exponent "exponent" "an exponent from 0.05 to 2"
    Neutral "neutral" "cations and anions within 80 % of each other: no permeate of this water could be neutral"
    Elements "elements" "one to eight elements"
    OwnParameters "own-parameters" "the parameters of this very unit"
    Stages "stages" "up to 16 stages"
}
