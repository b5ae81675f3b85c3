//! What is printed and left behind: job cards, plain cards for customers, and labels, as PDF.
//!
//! Architecture invariant: values in, bytes out; the same values give the same bytes. No clock, no file, no rule of the trade:
//! what a card says is `service`'s, here it only gets its place on the paper.
#![deny(clippy::disallowed_methods)]

mod card;
mod code;
mod customer;
mod draft;
mod error;
mod face;
mod flow;
mod labels;
mod paper;
mod print;
mod words;

use service::{CustomerCard, JobCard, Language};

pub use error::ReportError;
pub use labels::{HousingLabel, LabelSheet, Labels, UnitLabel};
pub use paper::Paper;

use face::Faces;

/// What stands on a card beside the card's own text.
#[derive(Clone, Copy, Debug)]
pub struct About<'a> {
    /// The paper it is for.
    pub paper: Paper,
    /// The language of the card's own texts.
    pub language: Language,
    /// Name of the unit; its id where there is none.
    pub name: Option<&'a str>,
    /// Where the unit stands.
    pub site: Option<&'a str>,
    /// The day of the work, as it shall stand there.
    pub date: Option<&'a str>,
    /// Address of the unit's page, for the QR code.
    pub address: Option<&'a str>,
}

/// A job card as PDF: cautions first, tools, parts, steps with boxes to tick, proof, room for signatures.
///
/// # Errors
/// [`ReportError::Address`], or [`ReportError::Pdf`], a fault of Saltmark.
pub fn job_card(card: &JobCard, about: &About<'_>) -> Result<Vec<u8>, ReportError> {
    let faces = Faces::load()?;
    print::print(&card::draft(card, about, &faces)?, &faces)
}

/// The plain card for a customer as PDF.
///
/// # Errors
/// As for [`job_card`].
pub fn customer_card(card: &CustomerCard, about: &About<'_>) -> Result<Vec<u8>, ReportError> {
    let faces = Faces::load()?;
    print::print(&customer::draft(card, about, &faces)?, &faces)
}

/// Sheets of labels as PDF.
///
/// # Errors
/// [`ReportError::NoRoom`] where a text does not fit: nothing is cut. [`ReportError::Skip`], [`ReportError::Address`] and
/// [`ReportError::Pdf`].
pub fn labels(labels: &Labels) -> Result<Vec<u8>, ReportError> {
    let faces = Faces::load()?;
    print::print(&labels::draft(labels, &faces)?, &faces)
}
