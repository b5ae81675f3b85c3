//! Writes the pages of the demonstration ledger into a folder, to be looked at without a server:
//! `cargo run -p pages --example write_pages -- FOLDER [LANGUAGE]`.
#![expect(
    clippy::disallowed_methods,
    reason = "this is a shell: it reads arguments and writes files"
)]
#![expect(clippy::print_stdout, reason = "it prints where it wrote")]

use std::error::Error;
use std::path::Path;

use ledger::State;
use pages::{Circumstances, Memo, Method, Place, Request, respond};

fn main() -> Result<(), Box<dyn Error>> {
    let mut arguments = std::env::args().skip(1);
    let folder = arguments.next().ok_or("a folder is wanted")?;
    let language = arguments.next().unwrap_or_else(|| "en".to_owned());
    let now = "2026-11-20T10:00:00Z".parse()?;
    let mut state = State::new();
    state.extend(demo::entries(demo::SEED, now)?);
    let memo = Memo::new();
    while memo.warm(&state, now) > 0 {}
    let unit = "/units/fern-house";
    let mut addresses: Vec<String> = [
        "/",
        "/?q=lane",
        "/who",
        "/sites",
        "/sites/new",
        "/sites/water-lane",
        "/customers",
        "/customers/new",
        "/nothing",
    ]
    .map(str::to_owned)
    .to_vec();
    for rest in [
        "",
        "/log",
        "/water",
        "/readings/new",
        "/events/new",
        "/notes/new",
        "/history.svg",
        "/history.svg?wide=phone",
        "/saturation.svg",
    ] {
        addresses.push(format!("{unit}{rest}"));
    }
    let known = state.unit("fern-house").ok_or("no such unit")?;
    let last = known.reading_origins().last().ok_or("no reading")?.entry;
    addresses.push(format!("{unit}/readings/{last}"));
    addresses.push(format!("/entries/{last}"));
    for figure in [
        format!("relative-flow/{last}"),
        "due/carbon".to_owned(),
        "cause/membrane".to_owned(),
        "expected/concentrate-flow".to_owned(),
        "keep-below/calcite".to_owned(),
    ] {
        addresses.push(format!("{unit}/how/{figure}"));
    }
    for id in state.unit_ids() {
        addresses.push(format!("/units/{id}"));
        addresses.push(format!("/units/{id}/history.svg"));
    }
    addresses.extend(pages::asset_paths());
    for address in &addresses {
        let (path, query) = address.split_once('?').unwrap_or((address, ""));
        let request = Request {
            method: Method::Get,
            path,
            query,
            content_type: "",
            body: &[],
            origin: None,
            own_origin: "http://127.0.0.1:8080",
            accept_language: &language,
        };
        let circumstances = Circumstances {
            now,
            person: "Ines",
            device: "desk",
            random: [7; 16],
            place: Place::Server,
        };
        let response = respond(&state, &memo, &request, &circumstances);
        let file = match path {
            "/" => format!("index{}.html", query.replace('=', "-")),
            path if path.contains('.') => {
                format!("{}{}", path.trim_start_matches('/'), query.replace('=', "-"))
            }
            path => format!("{}.html", path.trim_start_matches('/')),
        };
        let file = Path::new(&folder).join(file.replace('/', "_"));
        // Absolute addresses would leave the folder.
        let body = String::from_utf8(response.body)?;
        let body = body
            .replace("href=\"/style-", "href=\"style-")
            .replace("src=\"/stopwatch-", "src=\"stopwatch-")
            .replace(&format!("{unit}/"), "units_fern-house_");
        std::fs::write(&file, body)?;
        println!("{} {} {}", response.status, address, file.display());
    }
    Ok(())
}
