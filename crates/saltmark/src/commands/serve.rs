//! `serve`: the web application.

use std::io::Write;

use server::{Announcement, Error, Serving, listen_address, serve};

use super::ledger;
use crate::args::Serve;
use crate::failure::Failure;

pub(crate) fn run(args: &Serve) -> Result<(), Failure> {
    let listen = listen_address(&args.listen).map_err(|error| match error {
        Error::NoAddress { read } => {
            let accepted = format!(
                "an address of this machine and a port, such as {}",
                server::DEFAULT_ADDRESS
            );
            Failure::field("the command line", "--listen", format!("{read:?}"), accepted)
        }
        Error::NotThisMachine { address } => Failure::field(
            "the command line",
            "--listen",
            address.to_string(),
            format!(
                "an address of this machine, such as {}: there are no accounts yet, and anyone who reached it could \
                 read and write the whole ledger",
                server::DEFAULT_ADDRESS
            ),
        ),
        other => Failure::Impossible(other.to_string()),
    })?;
    let serving = Serving {
        ledger: ledger::path(&args.place)?,
        begin: args.new,
        listen,
    };
    let path = serving.ledger.display().to_string();
    serve(&serving, |announcement| announce(&path, announcement)).map_err(|error| match error {
        Error::Store(error) => error.into(),
        other => Failure::Impossible(other.to_string()),
    })
}

fn announce(ledger: &str, announcement: &Announcement) {
    let mut text = format!("Saltmark serves {ledger} at {}\n", announcement.address);
    if !announcement.works_offline {
        text.push_str(
            "This binary was built without the pages for the browser: they need the server all the time. `cargo xtask \
             field` builds them.\n",
        );
    }
    text.push_str("Interrupt it to end.\n");
    let mut out = std::io::stdout().lock();
    // Whoever started it may not be listening; the pages are served all the same.
    let _told = out.write_all(text.as_bytes()).and_then(|()| out.flush());
}
