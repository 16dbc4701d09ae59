//! Against numbers from outside programs.

mod alignments;
mod item_stats;
mod stl;

use serde_json::Value;
use std::path::PathBuf;

/// A file of check data: from the folder in `CHECKS_DIR` when it is there, else our own copy.
fn read(name: &str) -> Value {
    let ours = PathBuf::from(concat!(env!("CARGO_MANIFEST_DIR"), "/../../tests/data"));
    let given = std::env::var_os("CHECKS_DIR").map(|d| PathBuf::from(d).join(name)).filter(|p| p.is_file());
    let path = given.unwrap_or_else(|| ours.join(name));
    println!("read {}", path.display());
    serde_json::from_slice(&std::fs::read(&path).unwrap()).unwrap()
}

/// The list of a field.
fn list(v: &Value) -> &[Value] {
    v.as_array().expect("a list")
}
