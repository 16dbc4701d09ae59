//! Against numbers from outside programs.

mod alignments;
mod item_stats;
mod stl;

use serde_json::Value;
use std::ffi::OsString;
use std::path::PathBuf;

/// A file of check data: from the folder in `CHECKS_DIR` when it is there, else our own copy, which is told.
fn read(name: &str) -> Value {
    let given = asked(std::env::var_os("CHECKS_DIR"));
    let ours = PathBuf::from(concat!(env!("CARGO_MANIFEST_DIR"), "/../../tests/data")).join(name);
    let path = match given.map(|folder| folder.join(name)) {
        Some(theirs) if theirs.is_file() => theirs,
        Some(theirs) => {
            println!("{} is not there: our own copy is read", theirs.display());
            ours
        }
        None => ours,
    };
    println!("read {}", path.display());
    serde_json::from_slice(&std::fs::read(&path).unwrap()).unwrap()
}

/// The folder that `CHECKS_DIR` names, where it names one.
///
/// # Panics
/// When it is no folder: a misspelt name must not pass for a comparison with the data that it was to bring.
fn asked(named: Option<OsString>) -> Option<PathBuf> {
    let folder = PathBuf::from(named.filter(|n| !n.is_empty())?);
    assert!(
        folder.is_dir(),
        "CHECKS_DIR is {}, and there is no such folder; write its whole path, since a test runs in its crate's own",
        folder.display()
    );
    Some(folder)
}

/// Once a folder that is not there was passed over, and every test agreed with our own copies.
#[test]
#[should_panic(expected = "CHECKS_DIR is nowhere/to be found, and there is no such folder")]
fn a_folder_that_is_not_there_is_told() {
    asked(Some("nowhere/to be found".into()));
}

/// The list of a field.
fn list(v: &Value) -> &[Value] {
    v.as_array().expect("a list")
}
