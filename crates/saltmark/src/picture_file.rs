//! Pictures into files.

use std::path::Path;

use crate::failure::Failure;

/// Writes a picture beside its place first, so that nothing half-written ever stands there.
pub(crate) fn write(file: &Path, svg: &str) -> Result<(), Failure> {
    let failed = |error: std::io::Error| {
        Failure::Impossible(format!("{} could not be written: {error}", file.display()))
    };
    let draft = file.with_extension("svg.part");
    std::fs::write(&draft, svg)
        .and_then(|()| std::fs::rename(&draft, file))
        .map_err(|error| {
            // The draft is of no use to anyone; that it can't be taken away either changes nothing.
            let _left = std::fs::remove_file(&draft);
            failed(error)
        })
}
