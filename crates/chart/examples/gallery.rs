//! Writes example pictures, from simulated values, into `target/gallery`.

use std::error::Error;
use std::path::{Path, PathBuf};

#[path = "../tests/simulated/mod.rs"]
mod simulated;

use chart::{Options, Theme};

fn main() -> Result<(), Box<dyn Error>> {
    let folder = std::env::args_os()
        .nth(1)
        .map_or_else(|| Path::new("target/gallery").to_owned(), PathBuf::from);
    std::fs::create_dir_all(&folder)?;
    for (place, width) in [("phone", chart::PHONE_PX), ("desk", chart::DESK_PX)] {
        for (shade, theme) in [("auto", Theme::Auto), ("dark", Theme::Dark)] {
            let options = Options {
                theme,
                ..Options::wide(width)
            };
            for (name, history) in simulated::histories() {
                let file = folder.join(format!("{name}-{place}-{shade}.svg"));
                std::fs::write(file, chart::history(&history, &options))?;
            }
            for (name, lines) in simulated::line_charts() {
                let file = folder.join(format!("{name}-{place}-{shade}.svg"));
                std::fs::write(file, chart::lines(&lines, &options))?;
            }
        }
    }
    Ok(())
}
