//! What can keep the demonstration from being made: only faults of its own data.

/// What went wrong.
#[derive(Debug, thiserror::Error)]
pub enum Error {
    /// A document of the demonstration is wrong.
    #[error(transparent)]
    Document(#[from] casefile::Invalid),
    /// A unit cannot be computed.
    #[error(transparent)]
    Predict(Box<unit::PredictError>),
    /// A water cannot be computed.
    #[error("the water of {site}: {}", .faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("; "))]
    Water {
        /// The site.
        site: String,
        /// What is wrong.
        faults: Vec<water::Error>,
    },
    /// A log of the demonstration cannot be read in.
    #[error("the log of {unit}")]
    Log {
        /// The unit.
        unit: String,
        /// Why.
        source: Box<intake::Error>,
    },
    /// No more ids.
    #[error(transparent)]
    Ledger(#[from] ledger::Error),
    /// A time beyond the calendar.
    #[error("the time that counts as now")]
    Time(#[from] jiff::Error),
}

impl From<unit::PredictError> for Error {
    fn from(error: unit::PredictError) -> Self {
        Self::Predict(Box::new(error))
    }
}
