//! Where it listens.

use std::net::{Ipv4Addr, SocketAddr};

use crate::Error;

/// Where it listens unless told otherwise.
pub const DEFAULT_ADDRESS: &str = "127.0.0.1:7380";

/// Reads an address, such as `127.0.0.1:7380`, `[::1]:7380` or `localhost:7380`; port 0 is any free port.
///
/// # Errors
/// Text that is no address, and every address but this machine's own: until there are accounts, whoever reaches
/// the server may read and write the whole ledger.
pub fn listen_address(text: &str) -> Result<SocketAddr, Error> {
    let local = text
        .strip_prefix("localhost:")
        .and_then(|port| port.parse().ok())
        .map(|port: u16| SocketAddr::from((Ipv4Addr::LOCALHOST, port)));
    let address = local
        .or_else(|| text.parse().ok())
        .ok_or_else(|| Error::NoAddress {
            read: text.to_owned(),
        })?;
    if address.ip().is_loopback() {
        Ok(address)
    } else {
        Err(Error::NotThisMachine { address })
    }
}

#[cfg(test)]
mod tests {
    use super::{DEFAULT_ADDRESS, listen_address};

    #[test]
    fn regress_only_this_machine_is_listened_on() {
        for text in [DEFAULT_ADDRESS, "127.0.0.2:80", "[::1]:8080", "localhost:0"] {
            assert!(listen_address(text).unwrap().ip().is_loopback(), "{text}");
        }
        for text in ["0.0.0.0:80", "[::]:80", "192.168.1.4:80", "10.0.0.1:7380"] {
            let message = listen_address(text).unwrap_err().to_string();
            assert!(
                message.contains("accounts") && message.contains(text),
                "{message}"
            );
        }
        for text in [
            "",
            "7380",
            "127.0.0.1",
            "localhost:x",
            "localhost:70000",
            "unit.example:80",
        ] {
            let message = listen_address(text).unwrap_err().to_string();
            assert!(message.contains("127.0.0.1:7380"), "{message}");
        }
    }
}
