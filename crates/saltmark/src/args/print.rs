//! What was typed for what is printed.

use std::path::PathBuf;

use clap::{ArgGroup, Args as ClapArgs, ValueEnum, ValueHint};

use super::{OnCase, Place};

/// A paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum Paper {
    /// 210 x 297 mm.
    A4,
    /// 8.5 x 11 in.
    Letter,
}

impl From<Paper> for report::Paper {
    fn from(paper: Paper) -> Self {
        match paper {
            Paper::A4 => Self::A4,
            Paper::Letter => Self::Letter,
        }
    }
}

/// A language of cards and labels, by its tag (RFC 5646).
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum CardLanguage {
    /// English.
    En,
    /// German.
    De,
}

impl From<CardLanguage> for service::Language {
    fn from(language: CardLanguage) -> Self {
        match language {
            CardLanguage::En => Self::English,
            CardLanguage::De => Self::German,
        }
    }
}

/// On which paper, in which language.
#[derive(Clone, Debug, ClapArgs)]
pub(crate) struct OnPaper {
    /// Language of the PDF.
    #[arg(long, value_enum, default_value_t = CardLanguage::En)]
    pub(crate) language: CardLanguage,
    /// Paper of the PDF.
    #[arg(long, value_enum, default_value_t = Paper::A4)]
    pub(crate) paper: Paper,
}

/// `jobcard`.
#[derive(Debug, ClapArgs)]
pub(crate) struct Jobcard {
    #[command(flatten)]
    pub(crate) case: OnCase,
    /// The plain card for a customer who changes cartridges alone; refused for work that is not for a customer.
    #[arg(long)]
    pub(crate) customer: bool,
    /// Writes the card into this file, to print and to leave with the customer.
    #[arg(long, value_name = "FILE.pdf", conflicts_with = "lines", value_hint = ValueHint::FilePath)]
    pub(crate) pdf: Option<PathBuf>,
    #[command(flatten)]
    pub(crate) on: OnPaper,
    /// Address of the unit's page, for the QR code on the PDF.
    #[arg(long, value_name = "URL", requires = "pdf", value_hint = ValueHint::Url)]
    pub(crate) address: Option<String>,
    /// Where the unit stands, as it shall be on the PDF.
    #[arg(long, value_name = "TEXT", requires = "pdf")]
    pub(crate) site: Option<String>,
    /// Day of the work, as it shall be on the PDF.
    #[arg(long, value_name = "DAY", requires = "pdf")]
    pub(crate) date: Option<String>,
}

/// `labels`.
#[derive(Debug, ClapArgs)]
#[command(group = ArgGroup::new("which").required(true).args(["unit", "unit_id"]))]
pub(crate) struct Labels {
    /// The unit, in TOML or JSON: the days stay open, to be written in by hand.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub(crate) unit: Option<PathBuf>,
    /// The unit of the ledger with this id: with the days when its parts went in, and by which they are due.
    #[arg(long, value_name = "ID")]
    pub(crate) unit_id: Option<String>,
    #[command(flatten)]
    pub(crate) place: Place,
    /// Address of the ledger's pages, for the QR code: `http://127.0.0.1:7380` gives `http://127.0.0.1:7380/units/ID`.
    #[arg(long, value_name = "URL", value_hint = ValueHint::Url)]
    pub(crate) base: String,
    /// The file to write.
    #[arg(long, value_name = "FILE.pdf", value_hint = ValueHint::FilePath)]
    pub(crate) pdf: PathBuf,
    #[command(flatten)]
    pub(crate) on: OnPaper,
    /// Size of a label: 99x68, 99x38 or 63x38 mm on A4; 102x85, 102x51 or 67x25 mm on Letter.
    ///
    /// 63x38 and 67x25 hold one kind of label: a unit's own, or with --part that of a housing with little to say, such as a
    /// sediment filter's. Those of a membrane have no room on them.
    #[arg(long, value_name = "SIZE")]
    pub(crate) size: Option<String>,
    /// Only the labels of these parts; may be given several times. The unit's and all its housings' where it is not.
    #[arg(long, value_name = "ID")]
    pub(crate) part: Vec<String>,
    /// Labels of the first sheet that are used already.
    #[arg(long, value_name = "N", default_value_t = 0)]
    pub(crate) skip: usize,
    /// Draws the labels' edges, for plain paper that is cut by hand.
    #[arg(long)]
    pub(crate) edges: bool,
    /// Whom to call, as it shall be on the unit's label.
    #[arg(long, value_name = "TEXT")]
    pub(crate) contact: Option<String>,
    /// The time that counts as now.
    #[arg(long, value_name = "TIME")]
    pub(crate) as_of: Option<String>,
    /// Answer with one JSON document.
    #[arg(long)]
    pub(crate) json: bool,
}
