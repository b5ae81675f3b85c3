//! QR codes (ISO/IEC 18004) of addresses.

use qrcode::{Color, EcLevel, QrCode};

use crate::error::ReportError;

/// Longer addresses make modules smaller than half a millimetre on a label, which a phone reads badly: common practice, no
/// source.
const MOST: usize = 300;

/// The dark and light squares of a code.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Code {
    /// Squares along a side.
    pub(crate) width: usize,
    /// Row by row, whether the square is dark.
    pub(crate) dark: Vec<bool>,
}

/// The code of an address, readable with 15 % of it soiled (level M).
pub(crate) fn code(address: &str) -> Result<Code, ReportError> {
    let length = address.chars().count();
    let too_long = || ReportError::Address { length, most: MOST };
    if length > MOST {
        return Err(too_long());
    }
    let code = QrCode::with_error_correction_level(address, EcLevel::M).map_err(|_| too_long())?;
    Ok(Code {
        width: code.width(),
        dark: code
            .to_colors()
            .into_iter()
            .map(|colour| colour == Color::Dark)
            .collect(),
    })
}

impl Code {
    /// Runs of dark squares: row, first column, length.
    pub(crate) fn runs(&self) -> Vec<(usize, usize, usize)> {
        let mut runs = Vec::new();
        for (row, squares) in self.dark.chunks(self.width).enumerate() {
            let mut column = 0;
            for run in squares.chunk_by(|a, b| a == b) {
                if run.first() == Some(&true) {
                    runs.push((row, column, run.len()));
                }
                column += run.len();
            }
        }
        runs
    }
}
