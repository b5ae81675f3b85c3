//! A disk that is full: a clear error, and nothing half there.

use std::process::Command;

use store::{Error, Options, SqliteStore, Store};
use tempfile::TempDir;

use crate::imports;
use crate::kill::whole_imports;

#[test]
fn regress_an_import_that_does_not_fit_is_not_there_at_all() {
    let folder = TempDir::new().unwrap();
    let path = folder.path().join("ledger.db");
    let options = Options {
        largest_size: Some(300_000),
        ..Options::default()
    };
    let mut store = SqliteStore::create(&path, imports::id(0, 0), options).unwrap();
    store.append(&mut imports::entries(1)).unwrap();
    let error = store
        .append(&mut (2..400).flat_map(imports::entries))
        .expect_err("it does not fit");
    assert!(matches!(error, Error::Full { .. }), "{error}");
    let alongside = store::append_alongside(&mut store, &mut (2..400).flat_map(imports::entries));
    assert!(matches!(alongside, Err(Error::Full { .. })), "{alongside:?}");
    assert!(error.to_string().ends_with("nothing was written"), "{error}");
    assert_eq!(
        (store.count().unwrap(), store.check().unwrap()),
        (imports::size(1), vec![])
    );
    // It goes on with what does fit, and once there is room.
    store.append(&mut imports::entries(2)).unwrap();
    drop(store);
    let mut store = SqliteStore::open(&path, Options::default()).unwrap();
    store.append(&mut (2..400).flat_map(imports::entries)).unwrap();
    assert_eq!(store.count().unwrap(), (1..400).map(imports::size).sum::<u64>());
    let photo = vec![7; 1 << 20];
    drop(store);
    let mut store = SqliteStore::open(&path, options).unwrap();
    assert!(matches!(store.attach(&photo), Err(Error::Full { .. })));
    assert_eq!(
        (store.attachments().unwrap(), store.check().unwrap()),
        (vec![], vec![])
    );
}

/// The system itself refuses to let the files grow, as a quota does.
#[cfg(unix)]
#[test]
fn regress_a_quota_leaves_whole_imports() {
    let folder = TempDir::new().unwrap();
    let path = folder.path().join("ledger.db");
    // The limit is in blocks of 512 or 1024 bytes. Its signal is ignored, so that writing fails instead.
    let script = r#"trap "" XFSZ; ulimit -f 2000; exec "$0" fill "$1" 1"#;
    let output = Command::new("sh")
        .args(["-c", script, env!("CARGO_BIN_EXE_ledger-filler")])
        .arg(&path)
        .output()
        .unwrap();
    let said = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(1), "{said}");
    assert!(said.contains("ledger.db: "), "{said}");
    let kept = String::from_utf8(output.stdout).unwrap().lines().count() as u64;
    assert!(kept > 5, "{kept} imports before the limit");
    let whole = whole_imports(&path);
    assert!(
        whole.len() as u64 == kept || whole.len() as u64 == kept + 1,
        "{kept} said, {} there",
        whole.len()
    );
}
