//! Files and standard input.

use std::io::Read;
use std::path::Path;

use casefile::Document;

use crate::failure::Failure;

/// A file's bytes; `-` or no file is standard input.
pub(crate) fn bytes(file: Option<&Path>) -> Result<(String, Vec<u8>), Failure> {
    match file {
        Some(path) if path != Path::new("-") => {
            let name = path.display().to_string();
            match std::fs::read(path) {
                Ok(bytes) => Ok((name, bytes)),
                Err(error) => Err(Failure::field(
                    &name,
                    "",
                    error.to_string(),
                    "a file that can be read",
                )),
            }
        }
        _ => {
            let mut bytes = Vec::new();
            std::io::stdin()
                .lock()
                .read_to_end(&mut bytes)
                .map_err(|error| Failure::Impossible(format!("standard input could not be read: {error}")))?;
            Ok(("standard input".to_owned(), bytes))
        }
    }
}

/// A document from a file or standard input.
pub(crate) fn document(file: Option<&Path>) -> Result<Document, Failure> {
    let (name, bytes) = bytes(file)?;
    Ok(Document::read(&name, &bytes)?)
}
