//! Backup, restore and export by a button.

use std::fs;
use std::path::Path;

use ledger::sync::Offer;
use store::{Options, SqliteStore, Store};

use crate::browser::{Server, entry};

fn keep(server: &Server, numbers: std::ops::Range<u32>) {
    let offer = Offer {
        entries: numbers.map(entry).collect(),
        ..Offer::default()
    };
    let own = format!("POST /sync\norigin: http://{}", server.host);
    assert_eq!(server.ask(&own, offer.to_json().as_bytes()).unwrap().0, 200);
}

/// Sends a file to `/restore` as a browser does (RFC 7578).
fn restore(server: &Server, file: &[u8]) -> (u16, String, String) {
    let mut body =
        b"--mark\r\nContent-Disposition: form-data; name=\"backup\"; filename=\"a.db\"\r\n\r\n".to_vec();
    body.extend_from_slice(file);
    body.extend_from_slice(b"\r\n--mark--\r\n");
    let request = format!(
        "POST /restore\norigin: http://{}\ncontent-type: multipart/form-data; boundary=mark",
        server.host
    );
    let (status, head, body) = server.ask(&request, &body).unwrap();
    (status, head, String::from_utf8_lossy(&body).into_owned())
}

fn backup(server: &Server) -> Vec<u8> {
    let (status, head, body) = server.ask("GET /backup", b"").unwrap();
    assert_eq!(status, 200, "{head}");
    assert!(head.contains("attachment; filename=\"saltmark-"), "{head}");
    let length = format!("content-length: {}", body.len());
    assert!(head.contains(&length), "{head}");
    body
}

fn count(path: &Path) -> u64 {
    let store = SqliteStore::open(path, Options::default()).unwrap();
    assert_eq!(store.check().unwrap(), Vec::<String>::new());
    store.count().unwrap()
}

#[test]
fn regress_a_backup_is_one_whole_ledger_and_takes_its_place_again() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("a.db");
    let server = Server::start(&path);
    keep(&server, 0..50);
    let saved = backup(&server);
    let copy = folder.path().join("copy.db");
    fs::write(&copy, &saved).unwrap();
    assert_eq!(count(&copy), 50);

    keep(&server, 50..60);
    let before = server.ask("GET /export/ledger.jsonl", b"").unwrap().2;
    assert_eq!(
        before
            .split(|byte| *byte == b'\n')
            .filter(|line| !line.is_empty())
            .count(),
        60
    );
    let (status, head, body) = restore(&server, &saved);
    assert_eq!(status, 303, "{body}");
    assert!(head.contains("location: /settings?restored=50"), "{head}");
    let after = server.ask("GET /export/ledger.jsonl", b"").unwrap().2;
    assert_eq!(
        after
            .split(|byte| *byte == b'\n')
            .filter(|line| !line.is_empty())
            .count(),
        50
    );
    assert_eq!(
        count(&folder.path().join("a.db.before-restore-1")),
        60,
        "the one before is kept"
    );
    // It goes on being served: what comes now is kept in the restored ledger.
    keep(&server, 60..61);
    let customers = server.ask("GET /customers", b"").unwrap().2;
    let customers = String::from_utf8_lossy(&customers).into_owned();
    assert!(customers.contains("/customers/customer-60") && !customers.contains("/customers/customer-55"));
    let log = server.end();
    assert!(
        !log.contains("Marrow") && !log.contains("a.db"),
        "nothing of the ledger is in the log: {log}"
    );
    assert_eq!(count(&path), 51);
}

#[test]
fn regress_what_is_no_backup_leaves_the_ledger_as_it_is() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("a.db");
    let server = Server::start(&path);
    keep(&server, 0..30);
    let saved = backup(&server);
    let mut newer = saved.clone();
    // The SQLite file format, 1.3: the user version, a big-endian number at offset 60.
    newer[60..64].copy_from_slice(&9_000_u32.to_be_bytes());
    let mut damaged = saved.clone();
    let middle = damaged.len() / 2;
    damaged[middle..].fill(0x5a);
    for (what, file, status, words) in [
        ("nothing", Vec::new(), 422, "No file was sent"),
        ("a text", b"Dear all".to_vec(), 422, "no Saltmark ledger"),
        (
            "a picture",
            b"\xFF\xD8\xFF\xE0".repeat(400),
            422,
            "no Saltmark ledger",
        ),
        (
            "a newer ledger",
            newer,
            422,
            "of version 9000, written by a newer Saltmark",
        ),
        (
            "a cut off one",
            saved[..saved.len() - 4096].to_vec(),
            422,
            "cut off",
        ),
        ("a damaged one", damaged, 422, "damaged"),
    ] {
        let (got, _, page) = restore(&server, &file);
        assert_eq!(got, status, "{what}: {page}");
        assert!(page.contains(words), "{what}: {page}");
        assert!(page.contains("id=\"f-backup-error\""), "{what}: {page}");
    }
    // A form that did not come whole, one from elsewhere, and what is no form.
    let own = format!("POST /restore\norigin: http://{}", server.host);
    let cut = format!("{own}\ncontent-type: multipart/form-data; boundary=mark");
    let head = b"--mark\r\nContent-Disposition: form-data; name=\"backup\"; filename=\"a\"\r\n\r\nSQLite";
    assert_eq!(server.ask(&cut, head).unwrap().0, 500);
    assert_eq!(server.ask(&own, b"SQLite format 3").unwrap().0, 422);
    let foreign = cut.replace("origin: http://", "origin: http://shop.example/");
    assert_eq!(server.ask(&foreign, head).unwrap().0, 403);
    keep(&server, 30..31);
    drop(server);
    assert_eq!(count(&path), 31);
    let names: Vec<String> = fs::read_dir(folder.path())
        .unwrap()
        .map(|file| file.unwrap().file_name().to_string_lossy().into_owned())
        .collect();
    assert!(
        names
            .iter()
            .all(|name| !name.contains("draft") && !name.contains("before-restore")),
        "{names:?}"
    );
}

#[test]
fn regress_tables_come_out_as_files() {
    let folder = tempfile::tempdir().unwrap();
    let server = Server::start(&folder.path().join("a.db"));
    keep(&server, 0..3);
    for (name, media_type, starts) in [
        ("units.csv", "text/csv", b"unit".as_slice()),
        ("readings.csv", "text/csv", b"unit".as_slice()),
        // The ZIP application note, 4.3.7.
        (
            "ledger.xlsx",
            "application/vnd.openxmlformats",
            b"PK\x03\x04".as_slice(),
        ),
        ("ledger.jsonl", "application/jsonl", b"{\"id\":".as_slice()),
    ] {
        let (status, head, body) = server.ask(&format!("GET /export/{name}"), b"").unwrap();
        assert_eq!(status, 200, "{name}");
        assert!(head.contains(&format!("content-type: {media_type}")), "{head}");
        assert!(head.contains("attachment; filename=\"saltmark-"), "{head}");
        assert!(
            body.starts_with(starts),
            "{name}: {:?}",
            String::from_utf8_lossy(&body[..40])
        );
    }
    for name in ["nothing.csv", "../a.db", "ledger.db", ""] {
        assert_eq!(
            server.ask(&format!("GET /export/{name}"), b"").unwrap().0,
            404,
            "{name}"
        );
    }
}
