//! The program run over copies of the test pack on the bench of two valves, and what it said.

use std::fs;
use std::path::{Path, PathBuf};

/// The test pack.
pub fn pack() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/packs/bench")
}

/// The model run of the test pack: every mark is earned by it.
pub fn model() -> String {
    fs::read_to_string(pack().join("model.jsonl")).unwrap()
}

/// The model run as somebody else's.
pub fn log_of(trainee: &str) -> String {
    model().replace("\"trainee\":\"model\"", &format!("\"trainee\":\"{trainee}\""))
}

/// A folder that goes away again, with the test pack in `pack` and nothing in `logs`.
pub fn desk() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    fs::create_dir(folder.path().join("pack")).unwrap();
    fs::create_dir(folder.path().join("logs")).unwrap();
    for entry in fs::read_dir(pack()).unwrap() {
        let entry = entry.unwrap();
        fs::copy(entry.path(), folder.path().join("pack").join(entry.file_name())).unwrap();
    }
    folder
}

/// What the program said and how it ended.
pub struct Said {
    pub code: i32,
    pub out: String,
    pub err: String,
}

/// Runs the program in a folder.
pub fn run(folder: &Path, arguments: &[&str]) -> Said {
    run_with(folder, arguments, "")
}

/// Runs the program in a folder with these lines on its standard input.
pub fn run_with(folder: &Path, arguments: &[&str], input: &str) -> Said {
    let output = assert_cmd::Command::cargo_bin("faultwright")
        .unwrap()
        .current_dir(folder)
        .args(arguments)
        .write_stdin(input)
        .output()
        .unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    Said { code: output.status.code().expect("it ended by itself"), out: text(output.stdout), err: text(output.stderr) }
}

/// `class.json` of the folder's results.
pub fn class(folder: &Path) -> serde_json::Value {
    serde_json::from_slice(&fs::read(folder.join("out/class.json")).unwrap()).unwrap()
}

/// Every file below a folder with its bytes, by its path in it.
pub fn files_below(folder: &Path) -> std::collections::BTreeMap<String, Vec<u8>> {
    let mut all = std::collections::BTreeMap::new();
    let mut waiting = vec![folder.to_owned()];
    while let Some(next) = waiting.pop() {
        for entry in fs::read_dir(next).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                waiting.push(path);
            } else {
                let name = path.strip_prefix(folder).unwrap().to_string_lossy().into_owned();
                all.insert(name, fs::read(&path).unwrap());
            }
        }
    }
    all
}
