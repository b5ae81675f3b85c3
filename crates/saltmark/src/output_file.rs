//! Pictures and printed documents into files.

use std::path::Path;

use crate::failure::Failure;

/// Writes a file beside its place first, so that nothing half-written ever stands there.
pub(crate) fn write(file: &Path, content: impl AsRef<[u8]>) -> Result<(), Failure> {
    let failed = |error: std::io::Error| {
        Failure::Impossible(format!("{} could not be written: {error}", file.display()))
    };
    let ending = file.extension().unwrap_or_default().to_string_lossy();
    let draft = file.with_extension(format!("{ending}.part"));
    std::fs::write(&draft, content)
        .and_then(|()| std::fs::rename(&draft, file))
        .map_err(|error| {
            // The draft is of no use to anyone; that it can't be taken away either changes nothing.
            let _left = std::fs::remove_file(&draft);
            failed(error)
        })
}
