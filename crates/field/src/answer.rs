//! A response, in the shapes that the worker's script takes.

use ledger::ContentHash;
use pages::Response;
use wasm_bindgen::prelude::wasm_bindgen;

/// What is answered, and what is to be kept before it is.
#[wasm_bindgen]
#[derive(Debug)]
pub struct Reply {
    response: Response,
}

#[wasm_bindgen]
impl Reply {
    /// HTTP status.
    #[wasm_bindgen(getter)]
    pub fn status(&self) -> u16 {
        self.response.status
    }

    /// Names and values of the headers in turn.
    #[wasm_bindgen(getter)]
    pub fn headers(&self) -> Vec<String> {
        let headers = self.response.headers.iter();
        headers
            .flat_map(|(name, value)| [(*name).to_owned(), value.clone()])
            .collect()
    }

    /// Takes the body out.
    pub fn take_body(&mut self) -> Vec<u8> {
        std::mem::take(&mut self.response.body)
    }

    /// Id and line of each entry to keep, in turn.
    #[wasm_bindgen(getter)]
    pub fn entries(&self) -> Vec<String> {
        let entries = self.response.entries.iter();
        entries
            .flat_map(|entry| [entry.id.to_string(), entry.to_json()])
            .collect()
    }

    /// How many contents are to be kept.
    #[wasm_bindgen(getter)]
    pub fn contents(&self) -> usize {
        self.response.attachments.len()
    }

    /// The hash of the content of this number.
    pub fn content_hash(&self, number: usize) -> Option<String> {
        let bytes = self.response.attachments.get(number)?;
        Some(ContentHash::of(bytes).to_string())
    }

    /// Takes the content of this number out.
    pub fn take_content(&mut self, number: usize) -> Vec<u8> {
        let content = self.response.attachments.get_mut(number);
        content.map(std::mem::take).unwrap_or_default()
    }

    /// Who is at this device from now on, where the request said so.
    #[wasm_bindgen(getter)]
    pub fn person(&self) -> Option<String> {
        self.response.person.clone()
    }
}

impl Reply {
    pub(crate) fn new(response: Response) -> Self {
        Self { response }
    }
}
