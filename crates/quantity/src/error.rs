//! Why a text is no quantity.

use crate::Kind;

/// Why a text could not be read as the quantity that is wanted. Every message says what was read and
/// what is accepted.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum Error {
    /// Nothing but space.
    #[error("nothing was written where {} is wanted ({})", kind.name(), kind.accepted())]
    Empty {
        /// What was wanted.
        kind: Kind,
    },
    /// There is no number at its beginning, or its digits do not make one.
    #[error("`{text}` is not {}: accepted are {}", kind.name(), kind.accepted())]
    NotANumber {
        /// What was wanted.
        kind: Kind,
        /// What was read.
        text: String,
    },
    /// A comma that separates thousands or decimals.
    #[error(
        "`{text}` is ambiguous: it can be read as {decimal} or as {grouped}; \
         write {decimal} with a point, or {grouped} without a comma"
    )]
    AmbiguousNumber {
        /// What was read.
        text: String,
        /// The comma taken as the decimal sign.
        decimal: String,
        /// The comma taken as a separator of thousands.
        grouped: String,
    },
    /// A unit that means two things.
    #[error("`{text}` is ambiguous: `{unit}` can mean {first} or {second}; write which")]
    AmbiguousUnit {
        /// What was read.
        text: String,
        /// The part of it that means two things.
        unit: String,
        /// One meaning.
        first: String,
        /// The other.
        second: String,
    },
    /// A salt meter's ppm without the factor it was made with.
    #[error(
        "`{text}` is ambiguous: a meter's ppm depends on its factor; it is {at_05} uS/cm with the usual \
         factor 0.5 and {at_07} uS/cm with 0.7; write `{text} @0.5` or `{text} @0.7`, or state the meter's factor"
    )]
    NoMeterFactor {
        /// What was read.
        text: String,
        /// The conductivity with factor 0.5, uS/cm.
        at_05: String,
        /// The conductivity with factor 0.7, uS/cm.
        at_07: String,
    },
    /// A meter factor that no meter has.
    #[error("`{text}`: {factor} is no meter factor; accepted are 0.3 to 1, usually 0.5 or 0.7")]
    MeterFactor {
        /// What was read.
        text: String,
        /// The factor in it.
        factor: String,
    },
    /// A unit of another quantity.
    #[error("`{text}` is {}, and {} is wanted: accepted are {}", found.name(), kind.name(), kind.accepted())]
    WrongKind {
        /// What was wanted.
        kind: Kind,
        /// What was read.
        text: String,
        /// What its unit measures.
        found: Kind,
    },
    /// A unit that nobody knows.
    #[error("`{text}`: the unit `{unit}` is not known for {}: accepted are {}", kind.name(), kind.accepted())]
    UnknownUnit {
        /// What was wanted.
        kind: Kind,
        /// What was read.
        text: String,
        /// The part of it that is not known.
        unit: String,
    },
    /// Moles or equivalents of something whose molar mass is not known here.
    #[error("`{text}`: {unit} needs a single constituent of known molar mass; write mg/L")]
    NeedsConstituent {
        /// What was read.
        text: String,
        /// The unit.
        unit: String,
    },
    /// An absolute pressure.
    #[error("`{text}` is an absolute pressure; write the gauge's reading (absolute less about 101 kPa)")]
    Absolute {
        /// What was read.
        text: String,
    },
    /// `<0.1`, `about 5`: a bound or an estimate.
    #[error("`{text}` is a bound or an estimate and not a value; write the number alone")]
    NotAValue {
        /// What was read.
        text: String,
    },
    /// Physically impossible or beyond what a number can hold.
    #[error("`{text}` is impossible: {why}")]
    Impossible {
        /// What was read.
        text: String,
        /// Why.
        why: &'static str,
    },
}
