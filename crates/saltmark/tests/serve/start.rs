//! What it says when it cannot start: one clear sentence, and the file untouched.

use std::net::TcpListener;

use crate::browser::{Server, program};

fn refused(arguments: &[&str]) -> (i32, String) {
    let output = program().arg("serve").args(arguments).output().unwrap();
    let said = String::from_utf8(output.stderr).unwrap();
    assert!(output.stdout.is_empty());
    (output.status.code().unwrap(), said)
}

#[test]
fn regress_addresses_that_others_reach_are_refused() {
    for address in ["0.0.0.0:7380", "[::]:7380", "192.168.1.20:7380"] {
        let (code, said) = refused(&["--ledger", "/nowhere/a.db", "--listen", address]);
        assert_eq!(code, 2, "{said}");
        assert!(said.contains("--listen") && said.contains("accounts"), "{said}");
    }
    let (code, said) = refused(&["--ledger", "/nowhere/a.db", "--listen", "here"]);
    assert_eq!(code, 2, "{said}");
    assert!(said.contains("127.0.0.1:7380"), "{said}");
}

#[test]
fn regress_a_ledger_that_is_none_is_said_and_left_alone() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("a.db");
    let name = path.to_str().unwrap();

    let (code, said) = refused(&["--ledger", name]);
    assert_eq!(code, 1, "{said}");
    assert!(said.contains("no ledger") && said.contains("--new"), "{said}");
    assert!(!path.exists());

    for (content, word) in [
        ("notes on water\n", "accepted"),
        ("SQLite format 3\0", "accepted"),
    ] {
        std::fs::write(&path, content).unwrap();
        let (code, said) = refused(&["--new", "--ledger", name]);
        assert_ne!(code, 0);
        assert!(said.contains(name) && said.contains(word), "{said}");
        assert_eq!(std::fs::read_to_string(&path).unwrap(), content);
    }
}

#[test]
fn regress_a_port_in_use_is_said() {
    let folder = tempfile::tempdir().unwrap();
    let taken = TcpListener::bind("127.0.0.1:0").unwrap();
    let address = taken.local_addr().unwrap().to_string();
    let name = folder.path().join("a.db");
    let (code, said) = refused(&["--new", "--ledger", name.to_str().unwrap(), "--listen", &address]);
    assert_eq!(code, 1);
    assert!(said.contains(&address) && said.contains("in use"), "{said}");
}

#[test]
fn regress_it_ends_when_it_is_told_to() {
    let folder = tempfile::tempdir().unwrap();
    let server = Server::start(&folder.path().join("a.db"));
    let (status, ..) = server.ask("GET /", b"").unwrap();
    assert_eq!(status, 200);
    server.end();
}
