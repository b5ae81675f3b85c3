//! Why there is no document.

/// Why there is no document.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum ReportError {
    /// The address does not go into a QR code.
    #[error(
        "the address of {length} characters does not go into a QR code that a phone reads: at most {most}"
    )]
    Address {
        /// Characters of the address.
        length: usize,
        /// The most that are accepted.
        most: usize,
    },
    /// What must stand on a label has no room on it; nothing is cut from a label.
    #[error("what must stand on the label of {what} has no room on a label of {label}: take a larger one")]
    NoRoom {
        /// The unit or the part.
        what: String,
        /// Name of the label.
        label: &'static str,
    },
    /// More labels of a sheet are said to be used than it has.
    #[error("{skip} labels of the sheet are said to be used: a sheet of {label} has {count}")]
    Skip {
        /// How many are said to be used.
        skip: usize,
        /// Name of the label.
        label: &'static str,
        /// How many a sheet has.
        count: usize,
    },
    /// A fault of Saltmark: the writer of PDF did not take the document.
    #[error("the document could not be written as PDF: {0}")]
    Pdf(String),
}
